#include "command/options.h"

#include <getopt.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "command/commands.h"

enum { OPTIONS_MOST = 24, HELP = OPTIONS_MOST + 1 };

bool options_fault(struct command_line *line, const char *format, ...)
{
	va_list arguments;
	struct text text = text_in(&line->arena);
	va_start(arguments, format);
	text_addv(&text, format, arguments);
	va_end(arguments);
	line->fault = text.data;
	return false;
}

struct parser {
	struct command_line *line;
	const struct option_row *rows;
	size_t count;
	struct option known[OPTIONS_MOST + 2]; /* the rows, the lists, help, an end */
	size_t known_count;
	bool seen[OPTIONS_MOST + 1]; /* by the value of getopt */
};

static void know(struct parser *parser, const char *name, bool takes_value, int value)
{
	if (parser->known_count > OPTIONS_MOST)
		abort();
	parser->known[parser->known_count++] =
		(struct option){.name = name, .has_arg = takes_value ? required_argument : no_argument, .val = value};
}

/* The names that begin so, "--h2s, --h2s-pressure"; gives how many. */
static size_t begin_so(const struct parser *parser, const char *name, size_t length, struct text *names)
{
	size_t found = 0;
	for (size_t i = 0; i < parser->known_count; i++)
		if (strncmp(parser->known[i].name, name, length) == 0)
			text_addf(names, "%s--%s", found++ ? ", " : "", parser->known[i].name);
	return found;
}

/* What getopt does not take. A short option is within its word, which optind does not name. */
static bool no_option(struct parser *parser)
{
	struct command_line *line = parser->line;
	const char *names[OPTIONS_MOST + 2], *word = line->argv[optind - 1];
	struct text several = text_in(&line->arena);
	size_t length = strcspn(word, "=");
	if (optopt < 0 || optopt > HELP)
		return options_fault(line, "-%c is no option", optopt);
	if (optopt > 0)
		return options_fault(line, "%.*s takes no value", (int)length, word);
	if (length > 2 && begin_so(parser, word + 2, length - 2, &several) > 1)
		return options_fault(line, "%.*s is short for several: %s", (int)length, word, several.data);
	for (size_t i = 0; i < parser->known_count; i++)
		names[i] = parser->known[i].name;
	const char *near = length > 2
		? text_nearest(arena_copy_span(&line->arena, word + 2, length - 2), names, parser->known_count)
		: NULL;
	return options_fault(
		line, "%.*s is no option%s%s", (int)length, word, near ? ": did you mean --" : "", near ? near : "");
}

/* A switch is set as often as it is given; what takes a value is given once. */
static bool take_row(struct command_line *line, const struct option_row *row, const char *value, bool again)
{
	if (row->flag)
		return *row->flag = true;
	if (again)
		return options_fault(line, "--%s is given more often than it can be", row->name);
	*row->text = value;
	return true;
}

static bool take(struct parser *parser, int found, const char *value)
{
	struct command_line *line = parser->line;
	size_t at = (size_t)found - 1;
	bool again = parser->seen[found];
	parser->seen[found] = true;
	if (at < parser->count)
		return take_row(line, &parser->rows[at], value, again);
	struct option_list *list = &line->lists[at - parser->count];
	if (list->most && list->count == list->most)
		return options_fault(line, "--%s is given more often than it can be", list->name);
	list->values = arena_grow(&line->arena, list->values, list->count, &list->capacity, sizeof *list->values);
	list->values[list->count++] = value;
	return true;
}

static int index_of(const struct option_row *rows, size_t count, const char *name)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(rows[i].name, name) == 0)
			return (int)i + 1;
	return 0;
}

bool options_read(struct command_line *line, const struct option_row *rows, size_t count)
{
	struct parser parser = {.line = line, .rows = rows, .count = count};
	for (size_t i = 0; i < count; i++)
		know(&parser, rows[i].name, rows[i].text != NULL, (int)i + 1);
	for (size_t i = 0; i < line->list_count; i++)
		know(&parser, line->lists[i].name, true, (int)(count + i) + 1);
	know(&parser, "help", false, HELP);
	opterr = 0;
	optind = 0; /* 1 would go on within the word at which an earlier reading stopped */
	const int output = index_of(rows, count, "output"); /* which alone has a short form */
	for (int found;
		(found = getopt_long(line->argc, line->argv, output ? ":o:" : ":", parser.known, NULL)) != -1;) {
		found = found == 'o' ? output : found;
		if (found == HELP) {
			line->help = true;
			return false;
		}
		if (found == ':')
			return options_fault(line, "%s needs a value", line->argv[optind - 1]);
		if (found < 1 || found > (int)(count + line->list_count))
			return no_option(&parser);
		if (!take(&parser, found, optarg))
			return false;
	}
	line->first = optind;
	return true;
}

int options_end(struct command_line *line, const char *help)
{
	int status;
	if (line->help) {
		fputs(help, stdout);
		status = finish_output(STATUS_FINE);
	} else {
		status = usage_fault(line->argv[0], "%s", line->fault);
	}
	arena_release(&line->arena);
	return status;
}

bool options_whole(const char *text, size_t least, size_t most, size_t *number)
{
	char *end;
	double value = strtod(text, &end);
	if (end == text || *end || !(value >= (double)least && value <= (double)most))
		return false;
	*number = (size_t)value;
	return (double)*number >= value;
}
