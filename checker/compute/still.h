/*
 * A regenerator and what belongs to it: reboiler, reflux drum, the streams round it, the solutions that enter and leave.
 */
#ifndef LEANRICH_STILL_H
#define LEANRICH_STILL_H

#include "compute/solvent.h"

/* A regenerator with what belongs to it; NULL where it is not described. */
struct still {
	const struct scene *scene;
	const struct item *item, *reboiler /* the first */, *lean, *feed, *acid_gas, *reflux, *drum;
	struct stream_solution lean_solution, feed_solution;
};

enum { REBOILERS_MOST = 8 };

/* The i-th reboiler of this regenerator, or NULL. One that names none belongs to the only regenerator there is. */
const struct item *still_reboiler(const struct scene *scene, const struct item *regenerator, size_t i);

/*
 * What all reboilers of a regenerator have together under this name (duty); of one alone its own. What is
 * missing of one is missing of all.
 */
struct input still_together(
	const struct scene *scene, const struct item *regenerator, const char *symbol, const char *name);

/* Does every reboiler of the regenerator state the value for this case (scene_describes)? */
bool still_describes(const struct scene *scene, const struct item *regenerator, const char *name);

struct still still_of(const struct scene *scene, const struct item *regenerator);

/*
 * mol water over mol acid gas in what leaves the reflux drum, from its temperature and pressure, which become the two inputs;
 * not a number where one is unknown.
 */
double still_carried_off(
	const struct scene *scene, const struct still *still, struct input *temperature, struct input *pressure);

#endif
