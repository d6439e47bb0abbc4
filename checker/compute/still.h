/*
 * A regenerator and what belongs to it: reboiler, reflux drum, the streams round it, the solutions that enter and leave.
 */
#ifndef LEANRICH_STILL_H
#define LEANRICH_STILL_H

#include "compute/solvent.h"

/* A regenerator with what belongs to it; NULL where it is not described. */
struct still {
	const struct scene *scene;
	const struct item *item, *reboiler, *lean, *feed, *acid_gas, *reflux, *drum;
	struct stream_solution lean_solution, feed_solution;
};

struct still still_of(const struct scene *scene, const struct item *regenerator);

/*
 * mol water over mol acid gas in what leaves the reflux drum, from its temperature and pressure, which become the two inputs;
 * not a number where one is unknown.
 */
double still_carried_off(
	const struct scene *scene, const struct still *still, struct input *temperature, struct input *pressure);

#endif
