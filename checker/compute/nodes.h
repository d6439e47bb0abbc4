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

#include "resolve/table.h"

void nodes_compute(struct table *table);

#endif
