#include "command/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"

static const char help[] = "usage: leanrich template > DESIGN.xml\n"
			   "\n"
			   "Writes a commented starter description to standard output. It is valid as it is.\n";

int command_template(int argc, char **argv)
{
	if (argc == 2 && strcmp(argv[1], "--help") == 0) {
		fputs(help, stdout);
		return finish_output(STATUS_FINE);
	}
	if (argc > 1)
		return usage_fault("template", "%s is no option", argv[1]);
	const struct embedded_file *file = embedded_find("checker/read/template.xml");
	if (!file)
		abort();
	fwrite(file->data, 1, file->size, stdout);
	return finish_output(STATUS_FINE);
}
