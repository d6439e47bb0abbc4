/*
 * The review document as sheets: the same page as write_html(), laid out by WeasyPrint in a process of its own, which reads
 * the page from its standard input and writes the document to its standard output. The description reviewed is attached.
 */
#include "write/write.h"

#include <errno.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/output.h"
#include "base/text.h"

extern char **environ;

static const char layout_program[] = "weasyprint";

/* "--attachment=./designs/tern-quay.xml", which can be no address; NULL for a description that is no file. */
static const char *attachment(struct arena *arena, const struct review *review)
{
	if (!review->file || text_same(review->file, "-") || access(review->file, R_OK) != 0)
		return NULL;
	return arena_format(arena, "--attachment=%s%s", *review->file == '/' ? "" : "./", review->file);
}

/* 0, or the error number. The child gets `page` as standard input and `out` as standard output. */
static int start(struct arena *arena, const struct review *review, FILE *page, FILE *out, pid_t *child)
{
	enum { ARGUMENTS = 6 };
	char *arguments[ARGUMENTS] = {arena_copy(arena, layout_program), arena_copy(arena, "--quiet")};
	size_t count = 2;
	const char *attached = attachment(arena, review);
	if (attached)
		arguments[count++] = arena_copy(arena, attached);
	arguments[count++] = arena_copy(arena, "-");
	arguments[count] = arguments[count - 1];
	posix_spawn_file_actions_t streams;
	int fault = posix_spawn_file_actions_init(&streams);
	if (fault)
		return fault;
	fault = posix_spawn_file_actions_adddup2(&streams, fileno(page), STDIN_FILENO);
	if (!fault)
		fault = posix_spawn_file_actions_adddup2(&streams, fileno(out), STDOUT_FILENO);
	if (!fault)
		fault = posix_spawnp(child, layout_program, &streams, NULL, arguments, environ);
	posix_spawn_file_actions_destroy(&streams);
	return fault;
}

static const char *end_of(struct arena *arena, pid_t child)
{
	int status;
	while (waitpid(child, &status, 0) < 0)
		if (errno != EINTR)
			return arena_copy(arena, strerror(errno));
	if (WIFSIGNALED(status))
		return arena_format(arena, "%s was ended by signal %d", layout_program, WTERMSIG(status));
	if (WEXITSTATUS(status) == 127)
		return arena_format(arena, "%s could not be started", layout_program);
	return WEXITSTATUS(status)
		? arena_format(arena, "%s failed with exit status %d", layout_program, WEXITSTATUS(status))
		: NULL;
}

static const char *lay_out(struct arena *arena, const struct review *review, FILE *page, FILE *out)
{
	/* Dates in the fonts that are embedded would be those of the day: the same review gives the same bytes. */
	setenv("SOURCE_DATE_EPOCH", "0", 0);
	pid_t child;
	int fault = start(arena, review, page, out, &child);
	if (fault == ENOENT)
		return arena_format(arena, "it is made by %s, which is not installed (Debian: apt-get install %s)",
			layout_program, layout_program);
	if (fault)
		return arena_format(arena, "%s: %s", layout_program, strerror(fault));
	output_written_by(child);
	const char *reason = end_of(arena, child);
	output_written_by(0);
	return reason;
}

const char *write_pdf(struct arena *arena, const struct review *review, const char *sheet, FILE *out)
{
	FILE *page = tmpfile();
	if (!page)
		return arena_format(arena, "no temporary file: %s", strerror(errno));
	const char *reason = NULL;
	if (!write_html_for_paper(review, sheet, page) || fflush(page) != 0 || fseek(page, 0, SEEK_SET) != 0)
		reason = arena_format(arena, "the temporary page: %s", strerror(errno));
	else
		reason = lay_out(arena, review, page, out);
	fclose(page);
	return reason;
}
