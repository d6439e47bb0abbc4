#include "base/parallel.h"

#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <unistd.h>

#include "base/memo.h"

enum { THREADS_MOST = 16 };

struct crew {
	void (*work)(size_t index, void *data);
	void *data;
	size_t count;
	atomic_size_t next;
};

static size_t limit;

void parallel_limit(size_t most)
{
	limit = most;
}

static void *take_part(void *data)
{
	struct crew *crew = data;
	bool paused = memo_pause(true);
	for (size_t i = atomic_fetch_add(&crew->next, 1); i < crew->count; i = atomic_fetch_add(&crew->next, 1))
		crew->work(i, crew->data);
	memo_pause(paused);
	return NULL;
}

static size_t threads_for(size_t count)
{
	size_t threads = count < THREADS_MOST ? count : THREADS_MOST;
	if (threads < 2 || limit == 1)
		return 1;
	long processors = sysconf(_SC_NPROCESSORS_ONLN);
	size_t most = limit ? limit : processors > 1 ? (size_t)processors : 1;
	return threads < most ? threads : most;
}

/* Signals are for the thread that began: their handlers know of no other. */
void parallel_each(size_t count, void (*work)(size_t index, void *data), void *data)
{
	struct crew crew = {.work = work, .data = data, .count = count};
	pthread_t others[THREADS_MOST];
	size_t wanted = threads_for(count) - 1, begun = 0;
	sigset_t all, before;
	sigfillset(&all);
	pthread_sigmask(SIG_SETMASK, &all, &before);
	while (begun < wanted && pthread_create(&others[begun], NULL, take_part, &crew) == 0)
		begun++;
	pthread_sigmask(SIG_SETMASK, &before, NULL);
	take_part(&crew);
	for (size_t i = 0; i < begun; i++)
		pthread_join(others[i], NULL);
}
