#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "revamp/portfolio.h"

/*
 * Processes, not threads: the rules' compiled expressions belong to one thread of libxml2, and a process that dies takes
 * nothing else with it. Each is given its designs when it starts and writes "index TAB line LF" into its pipe.
 */

struct worker {
	pid_t process; /* 0: none */
	int pipe;
	size_t *designs;
	size_t count, done;
	struct text received; /* what has come and is no whole line yet */
};

struct worker_pool {
	struct arena *arena;
	const char *const *paths;
	const struct vocabulary *vocabulary;
	const struct catalogue *catalogue;
	struct worker *workers;
	size_t jobs;
	const char **lines;
};

static bool write_all(int pipe, const char *bytes, size_t length)
{
	while (length) {
		ssize_t written = write(pipe, bytes, length);
		if (written < 0 && errno != EINTR)
			return false;
		if (written > 0) {
			bytes += written;
			length -= (size_t)written;
		}
	}
	return true;
}

/* What a process does; it does not return. */
_Noreturn static void work(const struct worker_pool *pool, const struct worker *worker, int out)
{
	for (size_t i = 0; i < worker->count; i++) {
		struct arena arena = {0};
		size_t design = worker->designs[i];
		const char *line = portfolio_line(&arena, pool->paths[design], pool->vocabulary, pool->catalogue);
		const char *message = arena_format(&arena, "%zu\t%s\n", design, line ? line : "");
		if (!line || !write_all(out, message, strlen(message)))
			_Exit(EXIT_FAILURE);
		arena_release(&arena);
	}
	_Exit(EXIT_SUCCESS);
}

static bool start_worker(struct worker_pool *pool, struct worker *worker)
{
	int ends[2];
	worker->done = 0;
	worker->received = text_in(pool->arena);
	if (worker->count == 0)
		return true;
	if (pipe(ends) != 0)
		return false;
	fflush(NULL); /* else a process that dies may write it again */
	pid_t process = fork();
	if (process == 0) {
		close(ends[0]);
		work(pool, worker, ends[1]);
	}
	close(ends[1]);
	if (process < 0) {
		close(ends[0]);
		return false;
	}
	worker->process = process;
	worker->pipe = ends[0];
	return true;
}

static void receive_lines(struct worker_pool *pool, struct worker *worker)
{
	char *at = worker->received.data, *end;
	for (; (end = strchr(at, '\n')) != NULL; at = end + 1) {
		char *tab = strchr(at, '\t');
		if (tab && tab < end && worker->done < worker->count)
			pool->lines[worker->designs[worker->done++]] =
				arena_copy_span(pool->arena, tab + 1, (size_t)(end - tab - 1));
	}
	struct text rest = text_in(pool->arena);
	text_add(&rest, at);
	worker->received = rest;
}

static const char *how_it_ended(struct arena *arena, int status)
{
	if (WIFSIGNALED(status))
		return arena_format(arena, "the review was ended by signal %d", WTERMSIG(status));
	return arena_format(arena, "the review ended with status %d", WEXITSTATUS(status));
}

/* The process is gone: the design it was at has failed, and another process takes the rest. */
static bool finish_worker(struct worker_pool *pool, struct worker *worker)
{
	int status = 0;
	close(worker->pipe);
	while (waitpid(worker->process, &status, 0) < 0 && errno == EINTR)
		continue;
	worker->process = 0;
	if (worker->done == worker->count)
		return true;
	size_t lost = worker->designs[worker->done];
	pool->lines[lost] =
		portfolio_failed_line(pool->arena, pool->paths[lost], how_it_ended(pool->arena, status), false);
	worker->designs += worker->done + 1;
	worker->count -= worker->done + 1;
	return start_worker(pool, worker);
}

static bool poll_once(struct worker_pool *pool, struct pollfd *polls)
{
	enum { BLOCK = 65536 };
	static char block[BLOCK];
	nfds_t count = 0;
	for (size_t i = 0; i < pool->jobs; i++)
		if (pool->workers[i].process)
			polls[count++] = (struct pollfd){.fd = pool->workers[i].pipe, .events = POLLIN};
	if (poll(polls, count, -1) < 0)
		return errno == EINTR;
	for (size_t i = 0, p = 0; i < pool->jobs; i++) {
		struct worker *worker = &pool->workers[i];
		if (!worker->process || !polls[p++].revents)
			continue;
		ssize_t got = read(worker->pipe, block, sizeof block);
		if (got > 0) {
			text_add_span(&worker->received, block, (size_t)got);
			receive_lines(pool, worker);
		} else if (got == 0 || errno != EINTR) {
			if (!finish_worker(pool, worker))
				return false;
		}
	}
	return true;
}

static bool any_works(const struct worker_pool *pool)
{
	for (size_t i = 0; i < pool->jobs; i++)
		if (pool->workers[i].process)
			return true;
	return false;
}

bool portfolio_lines(struct arena *arena, const char *const *paths, size_t count, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, size_t jobs, const char **lines)
{
	jobs = jobs > count ? count : jobs;
	struct worker_pool pool = {.arena = arena,
		.paths = paths,
		.vocabulary = vocabulary,
		.catalogue = catalogue,
		.jobs = jobs,
		.lines = lines,
		.workers = arena_alloc(arena, (jobs + 1) * sizeof *pool.workers)};
	struct pollfd *polls = arena_alloc(arena, (jobs + 1) * sizeof *polls);
	bool good = true;
	for (size_t i = 0; i < count; i++) { /* dealt out in turn: neighbours are often alike in size */
		struct worker *worker = &pool.workers[i % jobs];
		if (!worker->designs)
			worker->designs = arena_alloc(arena, (count / jobs + 1) * sizeof *worker->designs);
		worker->designs[worker->count++] = i;
	}
	for (size_t i = 0; good && i < jobs; i++)
		good = start_worker(&pool, &pool.workers[i]);
	while (good && any_works(&pool))
		good = poll_once(&pool, polls);
	return good;
}
