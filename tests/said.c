#include "said.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"

struct said said_by(struct arena *arena, int (*act)(void))
{
	int ends[2], status = 0;
	char block[4096];
	struct text text = text_in(arena);
	fflush(NULL); /* else the process would write again what is still in the buffers */
	cr_assert_eq(pipe(ends), 0);
	pid_t process = fork();
	cr_assert(process >= 0);
	if (process == 0) {
		dup2(ends[1], STDERR_FILENO);
		close(ends[0]);
		close(ends[1]);
		_Exit(act());
	}
	close(ends[1]);
	for (ssize_t got; (got = read(ends[0], block, sizeof block)) > 0;)
		text_add_span(&text, block, (size_t)got);
	close(ends[0]);
	cr_assert_eq(waitpid(process, &status, 0), process);
	return (struct said){.signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0,
		.status = WIFEXITED(status) ? WEXITSTATUS(status) : 0,
		.text = text.data};
}
