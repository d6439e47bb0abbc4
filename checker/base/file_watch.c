#include "base/file_watch.h"

#include <errno.h>
#include <poll.h>
#include <stdalign.h>
#include <string.h>
#include <sys/inotify.h>
#include <sys/signalfd.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
	SETTLED = 50, /* ms: no one who saves a file pauses so long between two parts of it */
	LONGEST_WRITING =
		40,	     /* events that are waited for after the first, before the file is looked at all the same */
	MOST_LINKS = 8,	     /* from one symbolic link to the next */
	LONGEST_NAME = 4096, /* bytes of what a link points to */
	EVENTS = IN_CLOSE_WRITE | IN_MOVED_TO | IN_CREATE | IN_MODIFY | IN_DELETE_SELF | IN_MOVE_SELF
};

/* ---- what is watched ---- */

static const char *folder_of(struct arena *arena, const char *path)
{
	const char *slash = strrchr(path, '/');
	return !slash ? "." : slash == path ? "/" : arena_copy_span(arena, path, (size_t)(slash - path));
}

static const char *name_of(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash ? slash + 1 : path;
}

/* What the link at `path` points to, seen from where the program runs; NULL: it is no link. */
static const char *link_target(struct arena *arena, const char *path)
{
	char target[LONGEST_NAME];
	ssize_t length = readlink(path, target, sizeof target - 1);
	if (length < 0)
		return NULL;
	target[length] = '\0';
	return *target == '/' ? arena_copy(arena, target)
			      : arena_format(arena, "%s/%s", folder_of(arena, path), target);
}

/* A link on the way that leads nowhere now is no fault: only the folder of the file as it is named must be there. */
static bool add_folders(struct file_watch *watch)
{
	const char *path = watch->path;
	arena_release(&watch->arena);
	watch->names = NULL;
	watch->count = watch->capacity = 0;
	for (int i = 0; path && i < MOST_LINKS; i++) {
		if (inotify_add_watch(watch->events, folder_of(&watch->arena, path), EVENTS) < 0 && i == 0)
			return false;
		watch->names =
			arena_grow(&watch->arena, watch->names, watch->count, &watch->capacity, sizeof *watch->names);
		watch->names[watch->count++] = name_of(path);
		path = link_target(&watch->arena, path);
	}
	return true;
}

static void find_ending(sigset_t *ending)
{
	static const int numbers[] = {SIGHUP, SIGINT, SIGTERM};
	struct sigaction now;
	sigemptyset(ending);
	for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
		if (sigaction(numbers[i], NULL, &now) == 0 && now.sa_handler != SIG_IGN)
			sigaddset(ending, numbers[i]);
}

bool file_watch_open(struct file_watch *watch, const char *path)
{
	*watch = (struct file_watch){.path = path, .events = inotify_init1(IN_CLOEXEC | IN_NONBLOCK), .signals = -1};
	find_ending(&watch->ending);
	watch->signals = signalfd(-1, &watch->ending, SFD_CLOEXEC);
	return watch->events >= 0 && watch->signals >= 0 && add_folders(watch);
}

void file_watch_close(struct file_watch *watch)
{
	int fault = errno;
	if (watch->events >= 0)
		close(watch->events);
	if (watch->signals >= 0)
		close(watch->signals);
	arena_release(&watch->arena);
	errno = fault;
}

/* ---- waiting ---- */

void file_watch_hold_signals(struct file_watch *watch)
{
	sigprocmask(SIG_BLOCK, &watch->ending, &watch->before);
}

void file_watch_free_signals(struct file_watch *watch)
{
	sigprocmask(SIG_SETMASK, &watch->before, NULL);
}

/* A file that comes to be is written yet, save a link to one that was there. */
static bool is_link(const char *path)
{
	struct stat status;
	return lstat(path, &status) == 0 && (S_ISLNK(status.st_mode) || status.st_nlink > 1);
}

static bool concerns(const struct file_watch *watch, const struct inotify_event *event)
{
	if (event->mask & (IN_Q_OVERFLOW | IN_DELETE_SELF | IN_MOVE_SELF | IN_IGNORED))
		return true;
	bool written =
		event->mask & (IN_CLOSE_WRITE | IN_MOVED_TO) || (event->mask & IN_CREATE && is_link(watch->path));
	bool named = false;
	for (size_t i = 0; event->len && i < watch->count; i++)
		named = named || strcmp(watch->names[i], event->name) == 0;
	return written && named;
}

/* Takes all events there are; true when one of them concerns the file. */
static bool take_events(const struct file_watch *watch)
{
	alignas(struct inotify_event) char events[8192];
	bool found = false;
	for (ssize_t length; (length = read(watch->events, events, sizeof events)) > 0;)
		for (const char *at = events; at < events + length;) {
			const struct inotify_event *event = (const void *)at;
			found = concerns(watch, event) || found;
			at += sizeof *event + event->len;
		}
	return found;
}

enum file_event file_watch_wait(struct file_watch *watch)
{
	struct pollfd both[] = {{.fd = watch->signals, .events = POLLIN}, {.fd = watch->events, .events = POLLIN}};
	bool written = false;
	for (int events = 0; !written || events < LONGEST_WRITING; events += written) {
		int ready = poll(both, 2, written ? SETTLED : -1);
		if (ready < 0 && errno != EINTR)
			return FILE_EVENT_LOST;
		if (ready > 0 && both[0].revents)
			return FILE_EVENT_SIGNAL;
		if (ready == 0)
			break;
		if (ready > 0)
			written = take_events(watch) || written;
	}
	return add_folders(watch) ? FILE_EVENT_WRITTEN : FILE_EVENT_LOST;
}
