/*
 * A side of an exchanger in which amine runs: its streams, its solution, and the heat it gives off or takes up with its trace.
 */
#ifndef LEANRICH_EXCHANGE_SIDE_H
#define LEANRICH_EXCHANGE_SIDE_H

#include "compute/lean_rich.h"
#include "compute/solvent.h"

struct side {
	const struct item *item, *in, *out; /* NULL: not described */
	struct stream_solution solution;
	struct input inputs[SOLVENT_INPUTS + 4];
	size_t count;
	struct exchange_side side;
	bool known;
};

/* Amine that runs from stream `in` to stream `out`, `item`: the side it runs in, or NULL. */
struct side side_between(
	const struct scene *scene, const struct item *item, const struct item *in, const struct item *out);

/* The side of the exchanger at hand whose inlet has the service; without an item where there is none. */
struct side side_called(const struct scene *scene, const char *service);

/* W: given off (`sign` 1) or taken up (-1); not put anywhere. */
const struct quantity *side_duty(const struct scene *scene, struct side *side, double sign);

#endif
