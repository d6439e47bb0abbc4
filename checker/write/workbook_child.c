#include "write/workbook_child.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
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

bool workbook_in_child(bool (*write)(const void *data, const char *path), const void *data, const char *path)
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
