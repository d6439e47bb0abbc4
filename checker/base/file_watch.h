/*
 * Waits until a file is written again, however that is done: in place, by another that takes its name, through a symbolic link, or
 * after it was gone for a while. What is watched are the folders that hold the file and the links to it, so that its name counts and
 * not what once bore it. Changes made by another machine on a shared disk are not seen: the kernel does not tell them.
 */
#ifndef LEANRICH_FILE_WATCH_H
#define LEANRICH_FILE_WATCH_H

#include <signal.h>
#include <stdbool.h>

#include "base/arena.h"

enum file_event {
	FILE_EVENT_WRITTEN, /* or something happened that may be so: the caller looks whether the bytes differ */
	FILE_EVENT_SIGNAL,  /* the run was asked to end, by SIGHUP, SIGINT or SIGTERM */
	FILE_EVENT_LOST	    /* the folder of the file is gone, or can be watched no more */
};

struct file_watch {
	const char *path;
	struct arena arena; /* of the names */
	const char **names; /* that the file and the links to it have in their folders */
	size_t count, capacity;
	int events, signals; /* descriptors */
	sigset_t ending;     /* the signals that end the run; one that is ignored stays so */
	sigset_t before;
};

/* False when it cannot be watched: errno says why. Either way file_watch_close() gives everything back. */
bool file_watch_open(struct file_watch *watch, const char *path);
void file_watch_close(struct file_watch *watch);

/*
 * Between the two a signal that would end the run is kept for file_watch_wait(). What happened since the last wait, or since the
 * watch was opened, counts; writes that follow each other closely are one.
 */
void file_watch_hold_signals(struct file_watch *watch);
void file_watch_free_signals(struct file_watch *watch);
enum file_event file_watch_wait(struct file_watch *watch);

#endif
