/*
 * A unit as it is, computed and judged once, so that variants of it do again only what moved (pipeline/lineage.h). Nothing is
 * weighed with other values: what only weighing decides is said of neither.
 */
#ifndef LEANRICH_WATCHED_H
#define LEANRICH_WATCHED_H

#include "judge/judge.h"
#include "read/element.h"

/* Computed and judged. */
struct assessed_unit {
	const struct table *table;
	struct judgement judgement;
};

struct watched {
	const struct catalogue *catalogue;
	struct lineage *lineage; /* NULL: nothing is watched yet */
	struct assessed_unit as_it_is;
};

/* `unit` is free of faults. All is kept in the arena. */
struct watched watched_open(struct arena *arena, const struct element *unit, const struct catalogue *catalogue);

/* A variant, in an arena that the caller gives back. Table NULL: it has faults, which are in `problems`. */
struct assessed_unit watched_vary(
	const struct watched *watched, struct arena *arena, const struct element *variant, struct problems *problems);

/* What a variant is held against. */
struct judged_before watched_before(const struct watched *watched);

#endif
