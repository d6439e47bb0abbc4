#include "command/options.h"

#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "command/commands.h"

enum { OPTIONS_MOST = 24 };

int options_read(int argc, char **argv, const struct option_row *rows, size_t count, const char *help)
{
	struct option known[OPTIONS_MOST + 2] = {{NULL, 0, NULL, 0}};
	if (count > OPTIONS_MOST)
		abort();
	for (size_t i = 0; i < count; i++)
		known[i] = (struct option){.name = rows[i].name,
			.has_arg = rows[i].text ? required_argument : no_argument,
			.val = (int)i + 1};
	known[count] = (struct option){.name = "help", .has_arg = no_argument, .val = OPTIONS_MOST + 1};
	opterr = 0;
	optind = 1;
	for (int found; (found = getopt_long(argc, argv, ":", known, NULL)) != -1;) {
		if (found == OPTIONS_MOST + 1) {
			fputs(help, stdout);
			return finish_output(STATUS_FINE);
		}
		if (found == ':')
			return usage_fault(argv[0], "%s needs a value", argv[optind - 1]);
		if (found < 1 || found > (int)count)
			return usage_fault(argv[0], "%s is no option", argv[optind - 1]);
		const struct option_row *row = &rows[found - 1];
		if (row->text)
			*row->text = optarg;
		else
			*row->flag = true;
	}
	return -1;
}

bool options_number(const char *text, double *number)
{
	char *end;
	*number = strtod(text, &end);
	return end != text && !*end && isfinite(*number);
}
