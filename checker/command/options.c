#include "command/options.h"

#include <getopt.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

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

/* A short option: getopt stands within its word, which optind does not name. */
static bool no_option(struct command_line *line)
{
	if (optopt < 0 || optopt > HELP)
		return options_fault(line, "-%c is no option", optopt);
	return options_fault(line, "%s is no option", line->argv[optind - 1]);
}

bool options_read(struct command_line *line, const struct option_row *rows, size_t count)
{
	struct option known[OPTIONS_MOST + 2] = {{NULL, 0, NULL, 0}};
	if (count > OPTIONS_MOST)
		abort();
	for (size_t i = 0; i < count; i++)
		known[i] = (struct option){.name = rows[i].name,
			.has_arg = rows[i].text ? required_argument : no_argument,
			.val = (int)i + 1};
	known[count] = (struct option){.name = "help", .has_arg = no_argument, .val = HELP};
	opterr = 0;
	optind = 0; /* 1 would go on within the word at which an earlier reading stopped */
	for (int found; (found = getopt_long(line->argc, line->argv, ":", known, NULL)) != -1;) {
		if (found == HELP) {
			line->help = true;
			return false;
		}
		if (found == ':')
			return options_fault(line, "%s needs a value", line->argv[optind - 1]);
		if (found < 1 || found > (int)count)
			return no_option(line);
		const struct option_row *row = &rows[found - 1];
		if (row->text)
			*row->text = optarg;
		else
			*row->flag = true;
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
