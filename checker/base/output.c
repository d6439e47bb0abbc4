#include "base/output.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *volatile open_temporary; /* at most one output is open at a time; a signal may ask */

void output_abandon(void)
{
	const char *temporary = open_temporary;
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

struct output output_open(struct arena *arena, const char *path)
{
	struct output output = {.path = path};
	output.temporary = arena_format(arena, "%s.%ld.part", path, (long)getpid());
	int fd = make_folders(arena, path)
		? open(output.temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666)
		: -1;
	if (fd >= 0) {
		open_temporary = output.temporary;
		output.stream = fdopen(fd, "w");
	}
	if (!output.stream) {
		output.reason = arena_copy(arena, strerror(errno));
		if (fd >= 0)
			close(fd);
		output_abandon();
	}
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
