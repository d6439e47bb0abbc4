#include "base/progress.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"

enum { PATIENCE = 1 /* seconds */, LINE_COLUMNS = 70 };

static bool shown;

static bool is_watched(void)
{
	const char *terminal = getenv("TERM");
	return isatty(STDERR_FILENO) && !text_same(terminal, "dumb");
}

static bool takes_long(void)
{
	static struct timespec start;
	struct timespec now;
	clock_gettime(CLOCK_MONOTONIC, &now);
	if (!start.tv_sec)
		start = now;
	return now.tv_sec - start.tv_sec > PATIENCE;
}

static void show(const char *words)
{
	struct arena arena = {0};
	progress_wipe();
	fprintf(stderr, "\r%s", text_cut(&arena, text_plain(&arena, words), LINE_COLUMNS));
	fflush(stderr);
	shown = true;
	arena_release(&arena);
}

void progress_design(size_t number, size_t total, const char *path)
{
	if (total < 2 || !is_watched() || !takes_long())
		return;
	struct arena arena = {0};
	show(arena_format(&arena, "%zu of %zu: %s", number, total, path));
	arena_release(&arena);
}

void progress_step(const char *what)
{
	if (is_watched())
		show(what);
}

void progress_wipe(void)
{
	if (shown)
		fputs("\r\033[K", stderr);
	shown = false;
}
