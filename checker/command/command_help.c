#include "command/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "base/text.h"
#include "command/options.h"
#include "write/write.h"

static const char help[] =
	"usage: leanrich help [TOPIC]\n"
	"       leanrich help describing [ELEMENT] [--html FILE]\n"
	"\n"
	"Prints a topic; without one, lists the topics. Of an element: every attribute with its meaning, units,\n"
	"choices, an example and the rules that read it; --html writes the page of all elements.\n";

static const char schema_help[] = "usage: leanrich schema > unit.xsd\n"
				  "\n"
				  "Writes the schema of unit descriptions (XML Schema 1.0) to standard output.\n";

static const char TOPICS[] = "checker/help/";

/* ---- topics: the files of checker/help, named after them ---- */

static bool is_topic(const struct embedded_file *file)
{
	return strncmp(file->name, TOPICS, sizeof TOPICS - 1) == 0;
}

static const char *topic_name(struct arena *arena, const struct embedded_file *file)
{
	const char *name = file->name + sizeof TOPICS - 1;
	return arena_copy_span(arena, name, strcspn(name, "."));
}

static const struct embedded_file *topic_named(struct arena *arena, const char *name)
{
	for (size_t i = 0; i < embedded_count; i++)
		if (is_topic(&embedded_files[i]) && strcmp(topic_name(arena, &embedded_files[i]), name) == 0)
			return &embedded_files[i];
	return NULL;
}

/* Each topic begins with a line that says what it is about. */
static int list_topics(struct arena *arena)
{
	printf("leanrich help TOPIC:\n\n");
	for (size_t i = 0; i < embedded_count; i++) {
		const char *data = (const char *)embedded_files[i].data;
		if (is_topic(&embedded_files[i]))
			printf("  %-12s %.*s\n", topic_name(arena, &embedded_files[i]), (int)strcspn(data, "\n"), data);
	}
	printf("\nleanrich COMMAND --help tells the options of a command.\n");
	return STATUS_FINE;
}

static int no_such(const char *what, const char *given, const char *const *names, size_t count)
{
	const char *nearest = text_nearest(given, names, count);
	return usage_fault("help", "there is no %s '%s'%s%s%s", what, given, nearest ? "; did you mean '" : "",
		nearest ? nearest : "", nearest ? "'?" : "");
}

/* Topics that tell of a command of another name; NULL: none does, and its own --help tells all. */
static const struct {
	const char *command, *topic;
} told_in[] = {{"review", "findings"}, {"watch", "findings"}, {"compare", "revamps"}, {"headroom", "revamps"},
	{"sweep", "revamps"}, {"plan", "revamps"}, {"replies", "rounds"}, {"import", "sheets"}, {"book", "workbook"},
	{"explain", "findings"}, {"template", "describing"}, {"schema", "describing"}, {"solution", NULL},
	{"help", NULL}};

/* True: it is the name of a command, or of what a command does, and what tells of it has been named. */
static bool name_command(const char *given)
{
	for (size_t i = 0; i < COUNT(told_in); i++) {
		const char *command = told_in[i].command, *topic = told_in[i].topic;
		bool is_option = strcmp(command, "replies") == 0;
		if (strcmp(command, given) != 0)
			continue;
		usage_fault("help", "there is no topic '%s'; %s%s%sleanrich %s --help", given,
			topic ? "read leanrich help " : "read ", topic ? topic : "", topic ? ", or " : "",
			is_option ? "review" : command);
		return true;
	}
	return false;
}

static int no_such_topic(struct arena *arena, const char *given)
{
	const char **names = arena_alloc(arena, embedded_count * sizeof *names);
	size_t count = 0;
	if (name_command(given))
		return STATUS_USAGE;
	for (size_t i = 0; i < embedded_count; i++)
		if (is_topic(&embedded_files[i]))
			names[count++] = topic_name(arena, &embedded_files[i]);
	return no_such("topic", given, names, count);
}

static void print_file(const struct embedded_file *file)
{
	if (!file)
		abort(); /* the program carries it */
	fwrite(file->data, 1, file->size, stdout);
}

/* "{tests/data/pilot_table.txt}": the file that a line of a topic names, or NULL. */
static const struct embedded_file *named_by_line(struct arena *arena, const char *line, size_t length)
{
	if (length < 2 || line[0] != '{' || line[length - 1] != '}')
		return NULL;
	return embedded_find(arena_copy_span(arena, line + 1, length - 2));
}

/*
 * Where a line names a file that the program carries, that file: a table that the tests write exists once. What is calculated
 * follows the words of its topic.
 */
static int print_topic(struct arena *arena, const struct embedded_file *topic, const char *name)
{
	const char *line = (const char *)topic->data;
	while (*line) {
		size_t length = strcspn(line, "\n");
		const struct embedded_file *table = named_by_line(arena, line, length);
		if (table)
			print_file(table);
		else
			printf("%.*s\n", (int)length, line);
		line += length + (line[length] == '\n');
	}
	return strcmp(name, "calculated") != 0 || write_calculated(stdout) ? STATUS_FINE : STATUS_IO;
}

/* ---- elements ---- */

static const struct vocabulary_element *element_named(const struct vocabulary *units, const char *name)
{
	for (size_t i = 0; i < units->element_count; i++)
		if (strcmp(units->elements[i]->name, name) == 0)
			return units->elements[i];
	return NULL;
}

static int no_such_element(struct arena *arena, const struct vocabulary *units, const char *given)
{
	const char **names = arena_alloc(arena, units->element_count * sizeof *names);
	for (size_t i = 0; i < units->element_count; i++)
		names[i] = units->elements[i]->name;
	return no_such("element", given, names, units->element_count);
}

static bool write_page(const void *data, FILE *out)
{
	const struct workspace *workspace = data;
	return write_vocabulary_page(workspace->vocabulary, workspace->catalogue, out);
}

static int print_element(struct workspace *workspace, const char *name)
{
	const struct vocabulary_element *kind = name ? element_named(workspace->vocabulary, name) : NULL;
	if (name && !kind)
		return no_such_element(&workspace->arena, workspace->vocabulary, name);
	if (!name)
		print_file(topic_named(&workspace->arena, "describing"));
	return write_vocabulary_kind(workspace->vocabulary, workspace->catalogue, kind, stdout) ? STATUS_FINE
												: STATUS_IO;
}

static int describe(const char *name, const char *page)
{
	struct workspace workspace;
	if (!workspace_open(&workspace, NULL, NULL)) {
		int status = report_problems(&workspace.problems);
		workspace_close(&workspace);
		return status;
	}
	int status =
		page ? write_whole(&workspace.arena, page, write_page, &workspace) : print_element(&workspace, name);
	workspace_close(&workspace);
	return status;
}

/* ---- the commands ---- */

static bool ask(struct command_line *line, const char **page)
{
	const struct option_row rows[] = {{"html", page, NULL}};
	*page = NULL;
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	int words = line->argc - line->first;
	bool describing = words > 0 && strcmp(line->argv[line->first], "describing") == 0;
	if (words > (describing && !*page ? 2 : 1))
		return options_fault(line, "%s is not expected here", line->argv[line->argc - 1]);
	return !*page || describing || options_fault(line, "--html belongs to `help describing`");
}

bool help_can_run(struct command_line *line)
{
	const char *page;
	return ask(line, &page);
}

int command_help(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct arena arena = {0};
	const char *page;
	if (!ask(&line, &page))
		return options_end(&line, help);
	const char *topic = line.first < argc ? argv[line.first] : NULL;
	const struct embedded_file *file = topic ? topic_named(&arena, topic) : NULL;
	int status = STATUS_FINE;
	if (topic && strcmp(topic, "describing") == 0)
		status = describe(line.first + 1 < argc ? argv[line.first + 1] : NULL, page);
	else if (file)
		status = print_topic(&arena, file, topic);
	else
		status = topic ? no_such_topic(&arena, topic) : list_topics(&arena);
	arena_release(&arena);
	return finish_output(status);
}

int command_schema(int argc, char **argv)
{
	if (argc == 2 && strcmp(argv[1], "--help") == 0) {
		fputs(schema_help, stdout);
		return finish_output(STATUS_FINE);
	}
	if (argc > 1)
		return usage_fault("schema", "%s is no option", argv[1]);
	print_file(embedded_find("checker/read/unit.xsd"));
	return finish_output(STATUS_FINE);
}
