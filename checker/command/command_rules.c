#include "command/commands.h"

#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "command/options.h"
#include "judge/examples.h"
#include "resolve/equipment.h"
#include "write/write.h"

static const char rules_help[] =
	"usage: leanrich rules [--profile NAME] [--rules DIR] [--matrix | --table | --changes | --html FILE]\n"
	"       leanrich rules --check FOLDER\n"
	"\n"
	"Lists the rules of the catalogue: id, force, title. --matrix prints which families look at which kind of "
	"item,\n"
	"--table prints matter, consequence, evidence, force and why of every rule, separated by tabs,\n"
	"--changes prints what each remedy changes in a description, or why it is words only,\n"
	"--html writes the whole catalogue as a page. With --check reads the rule packs of a folder beside the\n"
	"built-in rules, runs every example of every rule, and reports what is wrong by file, line and column.\n";

static const char explain_help[] = "usage: leanrich explain RULE [--profile NAME] [--rules DIR]\n"
				   "       leanrich explain @[CLASS]\n"
				   "\n"
				   "One rule with its limits, their sources and how each is known, why, remedy and "
				   "examples; or the kinds of item\n"
				   "that a class stands for in rules; @ alone lists all classes.\n";

struct options {
	const char *profile, *rules, *check, *html;
	bool matrix, table, changes;
};

/* ---- rules ---- */

static void list_rules(const struct catalogue *catalogue)
{
	for (size_t f = 0; f < catalogue->family_count; f++) {
		printf("%s\n", catalogue->families[f].title);
		for (size_t i = 0; i < catalogue->rule_count; i++) {
			const struct rule *rule = &catalogue->rules[i];
			if (strcmp(rule->family, catalogue->families[f].name) == 0)
				printf("  %-8s %-12s %s\n", rule->id, force_word(rule->force), rule->title);
		}
	}
	printf("%zu rules, %zu sources, profile %s\n", catalogue->rule_count, catalogue->source_count,
		catalogue->profile_name);
}

static bool names_class(const char *words, const char *name)
{
	size_t length = strlen(name);
	for (const char *at = strchr(words, '@'); at; at = strchr(at + 1, '@'))
		if (strncmp(at + 1, name, length) == 0 && (at[1 + length] == '|' || !at[1 + length]))
			return true;
	return false;
}

static bool uses_class(const struct catalogue *catalogue, const char *name)
{
	for (size_t i = 0; i < catalogue->rule_count; i++)
		for (size_t k = 0; k < catalogue->rules[i].selection_count; k++)
			if (names_class(catalogue->rules[i].selections[k].written, name))
				return true;
	return false;
}

static void print_class(struct arena *arena, size_t i)
{
	printf("@%s: %s\n  %s\n", equipment_class_name(i), equipment_class_meaning(i), equipment_kinds_of(arena, i));
}

/* No fault: a pack may leave it out, and is told what is taken then. */
static void print_unplaced(const struct catalogue *catalogue)
{
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		if (!rule->placed)
			printf("%s: names no matter and consequence, or one of them: taken as %s, %s\n", rule->id,
				rule->matter, consequence_word(rule->consequence));
	}
}

/* A remedy that nobody can try, and that does not say why, is half a remedy. */
static void require_changes(const struct catalogue *catalogue, struct problems *problems)
{
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		if (!rule->change_count && !*rule->only)
			problem_add(problems, PROBLEM_BAD_RULE, rule->place,
				"the remedy of %s names no <change> that can be tried, and does not say that it is "
				"words only (only)",
				rule->id);
	}
}

static int check_rules(struct arena *arena, const struct catalogue *catalogue, struct problems *problems)
{
	size_t run = examples_run(arena, catalogue, problems);
	require_changes(catalogue, problems);
	if (problems->count)
		return report_problems(problems);
	for (size_t i = 0; equipment_class_name(i); i++)
		if (uses_class(catalogue, equipment_class_name(i)))
			print_class(arena, i);
	print_unplaced(catalogue);
	printf("%zu rules, %zu sources, %zu examples: all as they claim\n", catalogue->rule_count,
		catalogue->source_count, run);
	return STATUS_FINE;
}

static bool write_page(const void *data, FILE *out)
{
	return write_catalogue(data, out);
}

static int show_rules(struct arena *arena, const struct catalogue *catalogue, const struct options *options)
{
	if (options->html)
		return write_whole(arena, options->html, write_page, catalogue);
	if (options->matrix)
		return write_matrix(catalogue, stdout) ? STATUS_FINE : STATUS_IO;
	if (options->table)
		return write_rule_table(catalogue, stdout) ? STATUS_FINE : STATUS_IO;
	if (options->changes)
		return write_rule_changes(catalogue, stdout) ? STATUS_FINE : STATUS_IO;
	list_rules(catalogue);
	return STATUS_FINE;
}

static bool ask_rules(struct command_line *line, struct options *options)
{
	*options = (struct options){.profile = NULL};
	const struct option_row rows[] = {{"profile", &options->profile, NULL}, {"rules", &options->rules, NULL},
		{"check", &options->check, NULL}, {"html", &options->html, NULL}, {"matrix", NULL, &options->matrix},
		{"table", NULL, &options->table}, {"changes", NULL, &options->changes}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	return line->first == line->argc || options_fault(line, "%s is not expected here", line->argv[line->first]);
}

bool rules_can_run(struct command_line *line)
{
	struct options options;
	return ask_rules(line, &options);
}

int command_rules(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct options options;
	if (!ask_rules(&line, &options))
		return options_end(&line, rules_help);
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	int status;
	const char *folder = options.check ? options.check : options.rules;
	const struct catalogue *catalogue = load_catalogue(&arena, folder, options.profile, &problems);
	if (!catalogue)
		status = report_problems(&problems);
	else if (options.check)
		status = check_rules(&arena, catalogue, &problems);
	else
		status = show_rules(&arena, catalogue, &options);
	catalogue_release(catalogue);
	arena_release(&arena);
	return finish_output(status);
}

/* ---- explain ---- */

static int no_such_rule(struct arena *arena, const struct catalogue *catalogue, const char *id)
{
	const char *nearest = catalogue_nearest_rule(catalogue, arena, id);
	return usage_fault("explain", "there is no rule %s%s%s%s", id, nearest ? "; did you mean " : "",
		nearest ? nearest : "", nearest ? "?" : "");
}

static int explain_class(struct arena *arena, const char *name)
{
	size_t index = equipment_class_named(name);
	const char *nearest = equipment_nearest_class(name);
	for (size_t i = 0; !*name && equipment_class_name(i); i++)
		print_class(arena, i);
	if (!*name)
		return STATUS_FINE;
	if (!equipment_class_name(index))
		return usage_fault("explain", "there is no class of kinds @%s%s%s%s", name,
			nearest ? "; did you mean @" : "", nearest ? nearest : "", nearest ? "?" : "");
	print_class(arena, index);
	return STATUS_FINE;
}

static bool ask_explain(struct command_line *line, struct options *options)
{
	*options = (struct options){.profile = NULL};
	const struct option_row rows[] = {{"profile", &options->profile, NULL}, {"rules", &options->rules, NULL}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	return line->first + 1 == line->argc || options_fault(line, "one rule id is expected");
}

bool explain_can_run(struct command_line *line)
{
	struct options options;
	return ask_explain(line, &options);
}

int command_explain(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct options options;
	if (!ask_explain(&line, &options))
		return options_end(&line, explain_help);
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	int status = STATUS_FINE;
	const struct catalogue *catalogue = load_catalogue(&arena, options.rules, options.profile, &problems);
	const struct rule *rule = catalogue ? catalogue_rule(catalogue, argv[line.first]) : NULL;
	if (!catalogue)
		status = report_problems(&problems);
	else if (*argv[line.first] == '@')
		status = explain_class(&arena, argv[line.first] + 1);
	else if (!rule)
		status = no_such_rule(&arena, catalogue, argv[line.first]);
	else
		write_rule(&arena, catalogue, rule, stdout);
	catalogue_release(catalogue);
	arena_release(&arena);
	return finish_output(status);
}
