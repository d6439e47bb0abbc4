/*
 * Streams of the unit and what is in them: what a stream takes over from the one it comes from, total
 * loading, composition against loading, density, mass and volume flow; then what lines, nozzles and sides of exchangers take over
 * from the streams they carry.
 *
 * A side of an exchanger with an inlet and an outlet stream has the hotter one's temperature and the inlet's flow: for
 * velocity and attack the hot end counts. Density is that of the solution at that temperature; of gas, steam and water
 * that of vapour.
 */
#ifndef LEANRICH_STREAMS_H
#define LEANRICH_STREAMS_H

#include "compute/scene.h"

void streams_compute(struct table *table);

/*
 * The next stream, gas or hydrocarbon that the item, or one it is nested in, names by a reference; NULL when there are
 * no more. `at` is zero at first. A nested item with a service of its own is touched only by the streams of that
 * service.
 */
const struct item *stream_next(const struct scene *scene, size_t *at);
const struct item *stream_touching(const struct scene *scene); /* the first */

/* Does `other` run beside the scene's item, so that both carry parts of one stream: lines, sides and nozzles in parallel? */
bool stream_beside(const struct scene *scene, const struct item *other);

bool carries_flow(const struct item *item); /* line, nozzle, tube-side, shell-side, plate-side */

#endif
