#include <errno.h>
#include <poll.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "revamp/portfolio.h"

/*
 * Processes, not threads: the rules' compiled expressions belong to one thread of libxml2, and a process that dies takes
 * nothing else with it. Tickets, which are numbers of designs, lie in one pipe; a process takes one when it has nothing to
 * do, so that none waits while another has a row of large designs before it. It writes "number TAB" into its own pipe,
 * then, when the design is reviewed, "line LF": what it was at when it died is known by what it wrote last. As many tickets
 * are in hand as there are processes, one more for each line that comes, so that the pipe never fills.
 */

static const size_t no_more = SIZE_MAX; /* the ticket of who may go */

struct worker {
	pid_t process; /* 0: none */
	int pipe;
	struct text received; /* what has come and is no whole line yet */
};

struct worker_pool {
	struct arena *arena;
	const char *const *paths;
	const struct vocabulary *vocabulary;
	const struct catalogue *catalogue;
	struct worker *workers;
	size_t jobs, count, next; /* `next`: the first design without a ticket */
	int tickets[2];
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

static bool take_ticket(const struct worker_pool *pool, size_t *design)
{
	ssize_t got;

	do
		got = read(pool->tickets[0], design, sizeof *design);
	while (got < 0 && errno == EINTR);
	return got == (ssize_t)sizeof *design && *design < pool->count;
}

/* What a process does; it does not return. */
_Noreturn static void work(const struct worker_pool *pool, int out)
{
	size_t design;

	while (take_ticket(pool, &design)) {
		struct arena arena = {0};
		const char *ticket = arena_format(&arena, "%zu\t", design);
		if (!write_all(out, ticket, strlen(ticket)))
			_Exit(EXIT_FAILURE);
		const char *line = portfolio_line(&arena, pool->paths[design], pool->vocabulary, pool->catalogue);
		const char *message = arena_format(&arena, "%s\n", line ? line : "");
		if (!line || !write_all(out, message, strlen(message)))
			_Exit(EXIT_FAILURE);
		arena_release(&arena);
	}
	_Exit(EXIT_SUCCESS);
}

static bool give_ticket(struct worker_pool *pool)
{
	size_t ticket = pool->next < pool->count ? pool->next++ : no_more;

	return write_all(pool->tickets[1], (const char *)&ticket, sizeof ticket);
}

static bool start_worker(struct worker_pool *pool, struct worker *worker)
{
	int ends[2];
	worker->received = text_in(pool->arena);
	if (pool->next == pool->count)
		return true;
	if (!give_ticket(pool) || pipe(ends) != 0)
		return false;
	fflush(NULL); /* else a process that dies may write it again */
	pid_t process = fork();
	if (process == 0) {
		close(ends[0]);
		close(pool->tickets[1]); /* so that who gives no more tickets, for whatever reason, is not waited for */
		work(pool, ends[1]);
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

static bool receive_lines(struct worker_pool *pool, struct worker *worker)
{
	char *at = worker->received.data, *end;
	bool good = true;

	for (; good && (end = strchr(at, '\n')) != NULL; at = end + 1) {
		char *tab = strchr(at, '\t');
		size_t design = (size_t)strtoull(at, NULL, 10);
		if (tab && tab < end && design < pool->count)
			pool->lines[design] = arena_copy_span(pool->arena, tab + 1, (size_t)(end - tab - 1));
		good = give_ticket(pool);
	}
	struct text rest = text_in(pool->arena);
	text_add(&rest, at);
	worker->received = rest;
	return good;
}

static const char *how_it_ended(struct arena *arena, int status)
{
	if (WIFSIGNALED(status))
		return arena_format(arena, "the review was ended by signal %d", WTERMSIG(status));
	return arena_format(arena, "the review ended with status %d", WEXITSTATUS(status));
}

static void lose(struct worker_pool *pool, size_t design, const char *why)
{
	if (design < pool->count && !pool->lines[design])
		pool->lines[design] = portfolio_failed_line(pool->arena, pool->paths[design], why, false);
}

/* The process is gone: the design it was at, if any, has failed, and another process takes its place. */
static bool finish_worker(struct worker_pool *pool, struct worker *worker)
{
	int status = 0;
	close(worker->pipe);
	while (waitpid(worker->process, &status, 0) < 0 && errno == EINTR)
		continue;
	worker->process = 0;
	if (worker->received.length == 0 && status == 0)
		return true;
	if (worker->received.length)
		lose(pool, (size_t)strtoull(worker->received.data, NULL, 10), how_it_ended(pool->arena, status));
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
			if (!receive_lines(pool, worker))
				return false;
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

/* Designs whose process died before it told what it was at. */
static void lose_the_rest(struct worker_pool *pool)
{
	for (size_t i = 0; i < pool->count; i++)
		lose(pool, i, "the process that was to review it ended");
}

bool portfolio_lines(struct arena *arena, const char *const *paths, size_t count, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, size_t jobs, const char **lines)
{
	jobs = jobs > count ? count : jobs;
	struct worker_pool pool = {.arena = arena,
		.paths = paths,
		.count = count,
		.vocabulary = vocabulary,
		.catalogue = catalogue,
		.jobs = jobs,
		.lines = lines,
		.workers = arena_alloc(arena, (jobs + 1) * sizeof *pool.workers)};
	struct pollfd *polls = arena_alloc(arena, (jobs + 1) * sizeof *polls);
	if (pipe(pool.tickets) != 0)
		return false;
	bool good = true;
	for (size_t i = 0; i < count; i++)
		lines[i] = NULL;
	for (size_t i = 0; good && i < jobs; i++)
		good = start_worker(&pool, &pool.workers[i]);
	while (good && any_works(&pool))
		good = poll_once(&pool, polls);
	close(pool.tickets[0]);
	close(pool.tickets[1]);
	if (good)
		lose_the_rest(&pool);
	return good;
}
