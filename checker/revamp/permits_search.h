/*
 * The search for completions of one open verdict. Shared by who asks for all of them (permits.c); nobody else needs it.
 */
#ifndef LEANRICH_PERMITS_SEARCH_H
#define LEANRICH_PERMITS_SEARCH_H

#include "revamp/permits_values.h"
#include "revamp/watched.h"

/* The unit as it is, and what variants of it are held against. */
struct asking {
	struct arena *arena;
	const struct element *unit;
	const struct review *review;
	const struct permits_asked *asked;
	struct permit_source source;
	struct watched watched;
	size_t contradictions;
};

/* The verdict is open, and lacks something. */
struct permit permit_search(const struct asking *asking, const struct finding *finding);

size_t permit_contradictions(const struct table *table);

#endif
