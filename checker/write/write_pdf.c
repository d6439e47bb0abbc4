/*
 * The review document as sheets: the same page as write_html(), laid out by WeasyPrint in a process of its own, which reads
 * the page from its standard input and writes the document to its standard output. The description is attached as it was
 * read, which may have been from standard input or a pipe: from a copy in a folder of its own, gone when this returns.
 */
#include "write/write.h"

#include <ctype.h>
#include <errno.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/embedded.h"
#include "base/output.h"
#include "base/text.h"

extern char **environ;

static const char layout_program[] = "weasyprint";

enum { LONGEST_NAME = 200 };

/* The copy that is attached. */
struct attached {
	char *folder;
	const char *path; /* NULL: nothing to attach */
};

/* Its name in the document: that of the file, less what is no plain letter of a file name. */
static const char *attached_name(struct arena *arena, const char *file)
{
	const char *slash = strrchr(file, '/');
	char *name = arena_copy(arena, slash ? slash + 1 : file);
	for (char *at = name; *at; at++)
		if (!isalnum((unsigned char)*at) && !strchr("._-", *at))
			*at = '_';
	bool plain = *name && *name != '.' && strlen(name) < LONGEST_NAME;
	return plain && strrchr(name, '.') ? name : "description.xml";
}

/* False, with the reason in errno, when there is no room for it. */
static bool attach(struct arena *arena, const struct review *review, struct attached *attached)
{
	const struct text *bytes = review->description;
	if (!bytes)
		return true;
	const char *base = getenv("TMPDIR");
	sigset_t before;
	attached->folder = arena_format(arena, "%s/leanrich-XXXXXX", base && *base == '/' ? base : "/tmp");
	output_block_signals(&before);
	if (!mkdtemp(attached->folder))
		attached->folder = NULL;
	else
		attached->path = arena_format(arena, "%s/%s", attached->folder, attached_name(arena, review->file));
	output_scratch(attached->path, attached->folder);
	output_unblock_signals(&before);
	if (!attached->folder)
		return false;
	FILE *copy = fopen(attached->path, "wb");
	if (!copy)
		return false;
	bool whole = fwrite(bytes->data, 1, bytes->length, copy) == bytes->length;
	return fclose(copy) == 0 && whole;
}

static void detach(const struct attached *attached)
{
	if (attached->path)
		unlink(attached->path);
	if (attached->folder)
		rmdir(attached->folder);
	output_scratch(NULL, NULL);
}

/* "/usr/bin/python3": what runs the script of this path, where that is a Python without options; or NULL. */
static const char *python_of(struct arena *arena, const char *path)
{
	enum { LONGEST_LINE = 256 };
	char line[LONGEST_LINE] = "";
	FILE *script = fopen(path, "r");
	if (!script)
		return NULL;
	bool any = fgets(line, sizeof line, script);
	fclose(script);
	line[strcspn(line, "\n")] = '\0';
	return any && strncmp(line, "#!/", 3) == 0 && strstr(line, "/python3") && !strchr(line, ' ')
		? arena_copy(arena, line + 2)
		: NULL;
}

/* The first layout program of PATH, as posix_spawnp() finds it; NULL: none, or no script in Python. */
static const char *python_of_program(struct arena *arena)
{
	const char *folders = getenv("PATH");
	while (folders && *folders) {
		size_t length = strcspn(folders, ":");
		const char *path = arena_format(arena, "%.*s/%s", (int)length, folders, layout_program);
		if (access(path, X_OK) == 0)
			return python_of(arena, path);
		folders += length + (folders[length] == ':');
	}
	return NULL;
}

/*
 * The program called, or its Python with a script that does the same in less time (layout.py). `arguments` is NULL-terminated
 * and has room for what both take.
 */
static void call(struct arena *arena, const struct attached *attached, char **arguments)
{
	const char *python = python_of_program(arena);
	const struct embedded_file *script = embedded_find("checker/write/layout.py");
	size_t count = 0;
	if (python && script) {
		arguments[count++] = arena_copy(arena, python);
		arguments[count++] = arena_copy(arena, "-c");
		arguments[count++] = arena_copy(arena, (const char *)script->data);
		if (attached->path)
			arguments[count++] = arena_copy(arena, attached->path);
	} else {
		arguments[count++] = arena_copy(arena, layout_program);
		arguments[count++] = arena_copy(arena, "--quiet");
		if (attached->path)
			arguments[count++] = arena_format(arena, "--attachment=%s", attached->path);
		arguments[count++] = arena_copy(arena, "-");
		arguments[count++] = arena_copy(arena, "-");
	}
	arguments[count] = NULL;
}

/* 0, or the error number. The child gets `page` as standard input, `out` as standard output, and the signals `mask`. */
static int start(
	struct arena *arena, const struct attached *attached, FILE *page, FILE *out, const sigset_t *mask, pid_t *child)
{
	enum { ARGUMENTS = 8 };
	char *arguments[ARGUMENTS] = {0};
	call(arena, attached, arguments);
	posix_spawn_file_actions_t streams;
	int fault = posix_spawn_file_actions_init(&streams);
	if (fault)
		return fault;
	fault = posix_spawn_file_actions_adddup2(&streams, fileno(page), STDIN_FILENO);
	if (!fault)
		fault = posix_spawn_file_actions_adddup2(&streams, fileno(out), STDOUT_FILENO);
	posix_spawnattr_t signals;
	if (!fault)
		fault = posix_spawnattr_init(&signals);
	if (!fault) {
		posix_spawnattr_setsigmask(&signals, mask);
		posix_spawnattr_setflags(&signals, POSIX_SPAWN_SETSIGMASK);
		fault = posix_spawnp(child, arguments[0], &streams, &signals, arguments, environ);
		posix_spawnattr_destroy(&signals);
	}
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

static const char *lay_out(struct arena *arena, const struct attached *attached, FILE *page, FILE *out)
{
	/* Dates in the fonts that are embedded would be those of the day: the same review gives the same bytes. */
	setenv("SOURCE_DATE_EPOCH", "0", 0);
	pid_t child = 0;
	sigset_t before;
	output_block_signals(&before);
	int fault = start(arena, attached, page, out, &before, &child);
	output_written_by(fault ? 0 : child);
	output_unblock_signals(&before);
	if (fault == ENOENT)
		return arena_format(arena, "it is made by %s, which is not installed (Debian: apt-get install %s)",
			layout_program, layout_program);
	if (fault)
		return arena_format(arena, "%s: %s", layout_program, strerror(fault));
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
	struct attached attached = {0};
	if (!reason && !attach(arena, review, &attached))
		reason = arena_format(arena, "the copy to attach: %s", strerror(errno));
	if (!reason)
		reason = lay_out(arena, &attached, page, out);
	detach(&attached);
	fclose(page);
	return reason;
}
