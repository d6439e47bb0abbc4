/* What importing makes of a sheet of CSV by the map that is proposed for it. */
#ifndef LEANRICH_TESTS_DRAFTED_H
#define LEANRICH_TESTS_DRAFTED_H

#include "base/arena.h"

/* Forgets the schemas, which lived in the arena of another test. */
void drafted_begin(void);

/* The draft, and in `said` all that is said of it, a line each. */
const char *drafted(struct arena *arena, const char *sheet, const char **said);

#endif
