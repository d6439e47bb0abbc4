/*
 * What a side of an exchanger states of its own ends, where no stream is named there: the hotter end is its temperature, as it is
 * of two streams (streams.h), and the inlet has its pressure. Of one end alone it is as hot as that at least.
 *
 * What the side states of itself as a whole holds; whether its ends agree with the streams that it names is asked in carried.h.
 */
#ifndef LEANRICH_SIDE_ENDS_H
#define LEANRICH_SIDE_ENDS_H

#include "compute/scene.h"

void side_ends_compute(struct table *table); /* before streams_compute */

/* The side of the scene's exchanger that says of itself that this service runs in it; NULL: none, or several. */
const struct item *side_of_service(const struct scene *scene, const char *service);

#endif
