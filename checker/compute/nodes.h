/*
 * Points where streams part, join or pass through: what flows in against what flows out, of solution, amine, acid gas and heat.
 *
 * A node is a <split> or a <mix>, a stream that others come from or go to, a side of an exchanger, and a drum, tank, filter, bed,
 * cooler, pump, treater or regenerator with the streams that its references, or `from` and `to` of the streams, give it. Streams that
 * several descriptions of one place join in the same way are balanced once. Two streams of one flow between the same two items may be one
 * stream at two states (beside a valve) or two in parallel: whichever closes counts. Of amine the moles are balanced, of
 * other liquids and steam the mass. A node of which a flow is unknown is left open.
 */
#ifndef LEANRICH_NODES_H
#define LEANRICH_NODES_H

#include "compute/scene.h"

enum { NODE_STREAMS_MOST = 24 };

/* The streams that enter and leave the node that the scene's item stands for, room for NODE_STREAMS_MOST; false: it is none. */
bool node_streams(const struct scene *scene, const struct item **in, size_t *in_count, const struct item **out,
	size_t *out_count);

void nodes_compute(struct table *table);

#endif
