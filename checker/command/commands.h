/*
 * The commands of the program. Each reads its own options, runs the stages in order, and returns an exit status.
 */
#ifndef LEANRICH_COMMANDS_H
#define LEANRICH_COMMANDS_H

#include <stdio.h>

#include "base/arena.h"
#include "base/problem.h"
#include "judge/catalogue.h"
#include "read/element.h"
#include "read/vocabulary.h"
#include "resolve/table.h"

enum status {
	STATUS_FINE,	 /* nothing open at or above --fail-on */
	STATUS_FINDINGS, /* findings at or above it */
	STATUS_USAGE,	 /* bad command line */
	STATUS_UNUSABLE, /* design or rules unusable */
	STATUS_IO	 /* cannot read or write, or out of memory */
};

int command_review(int argc, char **argv);
int command_watch(int argc, char **argv);
int command_rules(int argc, char **argv);
int command_explain(int argc, char **argv);
int command_template(int argc, char **argv);
int command_solution(int argc, char **argv);
int command_compare(int argc, char **argv);
int command_headroom(int argc, char **argv);
int command_sweep(int argc, char **argv);
int command_plan(int argc, char **argv);
int command_cases(int argc, char **argv);
int command_permits(int argc, char **argv);
int command_portfolio(int argc, char **argv);
int command_import(int argc, char **argv);
int command_book(int argc, char **argv);
int command_help(int argc, char **argv);
int command_schema(int argc, char **argv);

/* Can the command be run as asked? Reads its command line as it does itself, and nothing else; writes nothing. */
struct command_line;
bool review_can_run(struct command_line *line);
bool watch_can_run(struct command_line *line);
bool rules_can_run(struct command_line *line);
bool explain_can_run(struct command_line *line);
bool compare_can_run(struct command_line *line);
bool headroom_can_run(struct command_line *line);
bool sweep_can_run(struct command_line *line);
bool plan_can_run(struct command_line *line);
bool cases_can_run(struct command_line *line);
bool permits_can_run(struct command_line *line);
bool portfolio_can_run(struct command_line *line);
bool import_can_run(struct command_line *line);
bool book_can_run(struct command_line *line);
bool help_can_run(struct command_line *line);

/* ---- shared by the commands (commands.c) ---- */

/* The vocabularies of the two languages, from the schemas inside the program. */
const struct vocabulary *unit_vocabulary(struct arena *arena);
const struct vocabulary *rules_vocabulary(struct arena *arena);

/*
 * The built-in catalogue with the packs of a folder (NULL: none) and a profile: the name of a built-in one, or a file
 * (NULL: "default"). NULL after faults, which are in `problems`.
 */
const struct catalogue *load_catalogue(
	struct arena *arena, const char *folder, const char *profile, struct problems *problems);

/* The same, read from XML even where the program carries it as data (judge/built.h): what it carries was made by this. */
const struct catalogue *read_catalogue(
	struct arena *arena, const char *folder, const char *profile, struct problems *problems);

/*
 * What a command that works on descriptions has open: rules and vocabulary for all of them, one arena for all. Starts with
 * `arena` and `problems` set by workspace_open; workspace_close gives everything back.
 */
struct workspace {
	struct arena arena;
	struct problems problems;
	const struct catalogue *catalogue;
	const struct vocabulary *vocabulary;
};

/* False after faults of the rules, which are in `problems`. */
bool workspace_open(struct workspace *workspace, const char *rules, const char *profile);
void workspace_close(struct workspace *workspace);

/* The description of a file and its table with everything computed. NULL after faults. */
const struct element *workspace_read(struct workspace *workspace, const char *path, const struct table **table);

/*
 * Writes one document of a command as a whole: "DIR/<unit>/NAME", where the unit's number is cut down to what is safe in the
 * name of a folder. Gives the path in `written`. STATUS_IO with a line on standard error when it cannot.
 */
const char *unit_folder(struct arena *arena, const char *output, const char *number);
int write_whole(struct arena *arena, const char *path, bool (*writer)(const void *data, FILE *out), const void *data);

/* One line on standard error; returns STATUS_IO. */
int cannot_write(const char *path, const char *reason);

/* Prints every problem to standard error, sorted; returns the exit status they mean. */
int report_problems(struct problems *problems);

/* One line on standard error, "leanrich COMMAND: ...", then how to get help. Returns STATUS_USAGE. */
int usage_fault(const char *command, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Flushes standard output; STATUS_IO with a line on standard error when it did not take everything. */
int finish_output(int status);

#endif
