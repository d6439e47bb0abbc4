/*
 * leanrich: review of the design of an amine gas-treating unit.
 * Copyright (C) 2026 the leanrich maintainers. Licence: GPL-3.0-or-later, see LICENSE.
 */
#include <gsl/gsl_errno.h>
#include <libxml/parser.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/heap.h"
#include "base/json_text.h"
#include "base/output.h"
#include "command/commands.h"

static const struct {
	const char *name;
	int (*run)(int argc, char **argv);
	const char *does;
} commands[] = {
	{"review", command_review, "review one or more unit descriptions"},
	{"watch", command_watch, "review a description again whenever it is saved"},
	{"compare", command_compare, "a base and a revamp: what is new, worse, better, resolved, and why"},
	{"headroom", command_headroom, "by what factor the flow can grow before each limit is reached"},
	{"sweep", command_sweep, "one value varied over a range"},
	{"plan", command_plan, "the fewest changes that clear what is to be resolved"},
	{"cases", command_cases, "operating cases that are left out, solved: which verdicts turn"},
	{"permits", command_permits, "what open verdicts can still come to"},
	{"portfolio", command_portfolio, "many descriptions in one table"},
	{"import", command_import, "a draft description from a line list"},
	{"book", command_book, "a description as a workbook, and back"},
	{"rules", command_rules, "list the rules, or check a folder of rule packs"},
	{"explain", command_explain, "explain one rule: limits, sources, examples"},
	{"template", command_template, "write a commented starter description"},
	{"schema", command_schema, "print the schema of descriptions (XSD), for an editor"},
	{"help", command_help, "a topic at length, and every element and attribute of a description"},
	{"solution", command_solution, "the chemistry of one amine solution from options"},
};

static void print_help(FILE *out)
{
	fprintf(out,
		"leanrich: review of the design of an amine gas-treating unit\n\nusage: leanrich COMMAND "
		"[OPTION...]\n\n");
	for (size_t i = 0; i < COUNT(commands); i++)
		fprintf(out, "  %-10s %s\n", commands[i].name, commands[i].does);
	fprintf(out, "\n`leanrich COMMAND --help` tells more. A screening aid: a licensed engineer decides.\n");
}

static void out_of_memory(void)
{
	output_abandon();
	fputs("leanrich: out of memory\n", stderr);
	_Exit(STATUS_IO);
}

/* An interrupted run leaves no half of a report; the signal then ends the program as it would have. */
static void interrupted(int number)
{
	output_abandon();
	signal(number, SIG_DFL);
	raise(number); /* pending until this returns */
}

/* A file that may not grow further is an error of that write, with its own message, not the end of the program. */
static void set_signals(void)
{
	static const int ending[] = {SIGHUP, SIGINT, SIGTERM};
	struct sigaction clean = {.sa_handler = interrupted};
	struct sigaction ignore = {.sa_handler = SIG_IGN}, before;
	for (size_t i = 0; i < COUNT(ending); i++)
		if (sigaction(ending[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
			sigaction(ending[i], &clean, NULL);
	sigaction(SIGXFSZ, &ignore, NULL);
}

/* What libxml2 has to say comes through the problems of the file it reads. */
static void stay_silent(void *context, const char *message, ...)
{
	(void)context, (void)message;
}

/* libxml2 and jansson end the run as the arena does when there is no more memory: neither is left with half a tree. */
static void set_memory(void)
{
	heap_prepare();
	arena_on_exhaustion(out_of_memory);
	xmlMemSetup(free, checked_malloc, checked_realloc, checked_strdup);
	json_memory();
}

static int run(int argc, char **argv)
{
	if (argc < 2) {
		print_help(stderr);
		return STATUS_USAGE;
	}
	for (size_t i = 0; i < COUNT(commands); i++)
		if (strcmp(argv[1], commands[i].name) == 0)
			return commands[i].run(argc - 1, argv + 1);
	if (strcmp(argv[1], "--help") == 0) {
		print_help(stdout);
		return finish_output(STATUS_FINE);
	}
	fprintf(stderr, "leanrich: there is no command '%s'; `leanrich --help` lists them\n", argv[1]);
	return STATUS_USAGE;
}

int main(int argc, char **argv)
{
	set_memory();
	set_signals();
	gsl_set_error_handler_off();
	xmlInitParser();
	xmlSetGenericErrorFunc(NULL, stay_silent);
	int status = run(argc, argv);
	xmlCleanupParser();
	return status;
}
