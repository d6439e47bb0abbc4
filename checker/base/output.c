#include "base/output.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *volatile open_temporary; /* at most one output is open at a time; a signal may ask */

static volatile pid_t writing;
static const char *volatile scratch_path, *volatile scratch_folder;

void output_block_signals(sigset_t *before)
{
	sigset_t ending;
	sigemptyset(&ending);
	sigaddset(&ending, SIGHUP);
	sigaddset(&ending, SIGINT);
	sigaddset(&ending, SIGTERM);
	sigprocmask(SIG_BLOCK, &ending, before);
}

void output_unblock_signals(const sigset_t *before)
{
	int fault = errno;
	sigprocmask(SIG_SETMASK, before, NULL);
	errno = fault;
}

void output_scratch(const char *path, const char *folder)
{
	scratch_path = path;
	scratch_folder = folder;
}

void output_written_by(pid_t process)
{
	writing = process;
}

void output_abandon(void)
{
	const char *temporary = open_temporary;
	if (writing > 0)
		kill(writing, SIGTERM);
	if (scratch_path)
		unlink(scratch_path);
	if (scratch_folder)
		rmdir(scratch_folder);
	open_temporary = NULL;
	if (temporary)
		unlink(temporary);
}

static bool make_folders(struct arena *arena, const char *path)
{
	char *partial = arena_copy(arena, path);
	for (char *slash = strchr(partial + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
		*slash = '\0';
		if (mkdir(partial, 0777) != 0 && errno != EEXIST)
			return false;
		*slash = '/';
	}
	return true;
}

/* A name that nothing has yet: PATH.PID.part, with a number where a killed run of the same number left its own. */
static int open_new(struct arena *arena, struct output *output)
{
	enum { NAMES = 1000 };
	int fd = -1;
	errno = EEXIST;
	for (int i = 0; i < NAMES && fd < 0 && errno == EEXIST; i++) {
		const char *number = i ? arena_format(arena, ".%d", i) : "";
		output->temporary = arena_format(arena, "%s.%ld%s.part", output->path, (long)getpid(), number);
		fd = open(output->temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
	}
	return fd;
}

struct output output_open(struct arena *arena, const char *path)
{
	struct output output = {.path = path};
	sigset_t before;
	int fd = -1;
	if (make_folders(arena, path)) { /* a signal finds the file either not there or known */
		output_block_signals(&before);
		fd = open_new(arena, &output);
		open_temporary = fd >= 0 ? output.temporary : NULL;
		output_unblock_signals(&before);
	}
	output.stream = fd >= 0 ? fdopen(fd, "w") : NULL;
	if (!output.stream) {
		output.reason = arena_copy(arena, strerror(errno));
		if (fd >= 0)
			close(fd);
		output_abandon();
	}
	errno = 0; /* what a writer leaves there is its own */
	return output;
}

bool output_close(struct arena *arena, struct output *output, bool whole)
{
	int fault = whole ? 0 : errno;
	if (fflush(output->stream) != 0 && !fault)
		fault = errno;
	if (fclose(output->stream) != 0 && !fault)
		fault = errno;
	output->stream = NULL;
	if (!fault && whole && rename(output->temporary, output->path) != 0)
		fault = errno;
	if (!fault && whole) {
		open_temporary = NULL;
		return true;
	}
	output_abandon();
	output->reason = fault ? arena_copy(arena, strerror(fault)) : "the document could not be made";
	return false;
}
