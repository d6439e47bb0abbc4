/*
 * Command lines: the bytes are words separated by line ends, the first of which names the command. Each is read as the command
 * reads it, and no further; `solution`, whose options are all its input, is run.
 */
#include <gsl/gsl_errno.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/count.h"
#include "command/commands.h"
#include "command/options.h"
#include "command/solution_command.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { WORDS_MOST = 64 };

static const struct {
	const char *name;
	bool (*can_run)(struct command_line *line);
} commands[] = {
	{"review", review_can_run},
	{"watch", watch_can_run},
	{"rules", rules_can_run},
	{"explain", explain_can_run},
	{"compare", compare_can_run},
	{"headroom", headroom_can_run},
	{"sweep", sweep_can_run},
	{"plan", plan_can_run},
	{"cases", cases_can_run},
	{"permits", permits_can_run},
	{"portfolio", portfolio_can_run},
	{"import", import_can_run},
	{"book", book_can_run},
};

static void run_solution(int argc, char **argv)
{
	FILE *nowhere = fopen("/dev/null", "w");
	if (!nowhere)
		abort();
	for (int i = 0; i < argc; i++)
		if (strcmp(argv[i], "--steps") == 0 && i + 1 < argc && strlen(argv[i + 1]) > 1)
			argv[i + 1][1] = '\0'; /* ten states are as good as ten thousand */
	int status = solution_command(argc, argv, nowhere, nowhere);
	if (status != STATUS_FINE && status != STATUS_USAGE && status != STATUS_UNUSABLE)
		abort();
	fclose(nowhere);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena arena = {0};
	char *words = arena_copy_span(&arena, (const char *)data, size), *argv[WORDS_MOST + 1] = {NULL};
	int argc = 0;
	gsl_set_error_handler_off();
	for (char *at = words; argc < WORDS_MOST;) {
		size_t length = strcspn(at, "\n");
		bool last = !at[length];
		at[length] = '\0';
		argv[argc++] = at;
		if (last)
			break;
		at += length + 1;
	}
	if (strcmp(argv[0], "solution") == 0)
		run_solution(argc, argv);
	for (size_t i = 0; i < COUNT(commands); i++) {
		struct command_line line = {.argc = argc, .argv = argv};
		if (strcmp(argv[0], commands[i].name) != 0)
			continue;
		if (commands[i].can_run(&line) == (line.help || line.fault))
			abort(); /* it can be run, or a reason is given, never both */
		if (!line.help && !line.fault && (line.first < 1 || line.first > argc))
			abort();
		arena_release(&line.arena);
	}
	arena_release(&arena);
	return 0;
}
