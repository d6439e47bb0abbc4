#include "write/workbook_child.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/output.h"

enum { FAULT_UNKNOWN = 255, FAULT_MEMORY = 4 /* the status with which main ends a run without memory */ };

/*
 * The exit status of the process is the number of the error. Without memory the library leaves out some of what it was given and
 * only prints that (1.1.4: links between sheets), so a word on its standard error is a fault as well.
 */
_Noreturn static void work(bool (*write)(const void *data, const char *path), const void *data, const char *path)
{
	int ends[2];
	char said;
	bool listening = pipe(ends) == 0 && fcntl(ends[0], F_SETFL, O_NONBLOCK) == 0 &&
		fcntl(ends[1], F_SETFL, O_NONBLOCK) == 0 && dup2(ends[1], STDERR_FILENO) >= 0;
	bool whole = listening && write(data, path);
	if (whole && read(ends[0], &said, 1) > 0)
		exit(FAULT_MEMORY);
	exit(whole ? EXIT_SUCCESS : errno > 0 && errno < FAULT_UNKNOWN ? errno : FAULT_UNKNOWN);
}

static bool written_by_child(bool (*write)(const void *data, const char *path), const void *data, const char *path)
{
	fflush(NULL); /* else the process would write again what is still in the buffers */
	sigset_t before;
	output_block_signals(&before);
	pid_t process = fork();
	if (process > 0)
		output_written_by(process);
	output_unblock_signals(&before);
	if (process == 0)
		work(write, data, path);
	if (process < 0)
		return false;
	int status = 0;
	while (waitpid(process, &status, 0) < 0 && errno == EINTR)
		continue;
	output_written_by(0);
	bool starved = WIFSIGNALED(status) || WEXITSTATUS(status) == FAULT_MEMORY;
	errno = starved ? ENOMEM : WEXITSTATUS(status) == FAULT_UNKNOWN ? 0 : WEXITSTATUS(status);
	return status == 0;
}

/* FNV-1a of the bytes of a file, without taking memory. */
static bool sum_of(const char *path, uint64_t *sum)
{
	unsigned char bytes[4096];
	ssize_t count = 0;
	int file = open(path, O_RDONLY | O_CLOEXEC);
	*sum = UINT64_C(0xcbf29ce484222325);
	while (file >= 0 && (count = read(file, bytes, sizeof bytes)) > 0)
		for (ssize_t i = 0; i < count; i++)
			*sum = (*sum ^ bytes[i]) * UINT64_C(0x100000001b3);
	if (file >= 0)
		close(file);
	return file >= 0 && count == 0;
}

/* What was to be written, and how many blocks of memory to take before that: a lack of memory does not meet the same step twice. */
struct delayed {
	bool (*write)(const void *data, const char *path);
	const void *data;
	size_t blocks;
};

static bool write_delayed(const void *data, const char *path)
{
	const struct delayed *delayed = data;
	for (size_t i = 0; i < delayed->blocks; i++) {
		void *volatile block = malloc(1); /* volatile: a pair that comes to nothing would be left out */
		if (!block)
			return false;
		free(block);
	}
	return delayed->write(delayed->data, path);
}

bool workbook_in_child(bool (*write)(const void *data, const char *path), const void *data, const char *path)
{
	const struct delayed again = {write, data, 5};
	uint64_t first, second;
	if (!written_by_child(write, data, path) || !sum_of(path, &first) ||
		!written_by_child(write_delayed, &again, path) || !sum_of(path, &second))
		return false;
	if (first != second)
		errno = ENOMEM;
	return first == second;
}
