/*
 * An allocator for LD_PRELOAD that fails: the STARVE_AT-th call of malloc, calloc or realloc and, unless STARVE_ONCE is
 * set, all that follow give NULL. Counts over the whole program and every library in it; a process that it starts
 * counts on from there. Without STARVE_AT it fails nothing, and each process adds its count to the file STARVE_COUNT as
 * a line when it ends. starve_no_longer() ends both (counts.c).
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *memory, size_t size);

static long calls, fail_at;
static bool once, over;

void starve_no_longer(void);

void starve_no_longer(void)
{
	over = true;
}

__attribute__((constructor)) static void begin(void)
{
	const char *at = getenv("STARVE_AT");
	once = getenv("STARVE_ONCE") != NULL;
	calls = 0; /* what the loader and other constructors took is not counted */
	fail_at = at ? strtol(at, NULL, 10) : 0;
}

__attribute__((destructor)) static void end(void)
{
	const char *path = getenv("STARVE_COUNT");
	char line[32];
	int fd = path ? open(path, O_WRONLY | O_CREAT | O_APPEND, 0666) : -1;
	if (fd < 0)
		return;
	int length = snprintf(line, sizeof line, "%ld\n", calls);
	if (write(fd, line, (size_t)length) != length)
		_exit(EXIT_FAILURE);
	close(fd);
}

static bool starved(void)
{
	if (over)
		return false;
	calls++;
	bool fails = fail_at && (once ? calls == fail_at : calls >= fail_at);
	if (fails)
		errno = ENOMEM;
	return fails;
}

void *malloc(size_t size)
{
	return starved() ? NULL : __libc_malloc(size);
}

void *calloc(size_t nmemb, size_t size)
{
	return starved() ? NULL : __libc_calloc(nmemb, size);
}

void *realloc(void *ptr, size_t size)
{
	return starved() ? NULL : __libc_realloc(ptr, size);
}
