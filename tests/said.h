/* What a function says on standard error and how it ends, in a process of its own: a test stays quiet and still knows. */
#ifndef LEANRICH_TESTS_SAID_H
#define LEANRICH_TESTS_SAID_H

#include "base/arena.h"

struct said {
	int signal;	  /* that ended it, or 0 */
	int status;	  /* it ended with, where no signal did */
	const char *text; /* all of it, in the arena */
};

/* `act` gives the exit status. */
struct said said_by(struct arena *arena, int (*act)(void));

#endif
