/*
 * States near a solved one: the temperature and loadings differ a little, the solvent and its salts do not. Each is
 * started where the slopes of the logarithms of the molalities lead, which spares the first start and a step or two of
 * the solver; it is solved to the same residuals as any other, and from the first start where that does not converge.
 */
#ifndef LEANRICH_NEARBY_H
#define LEANRICH_NEARBY_H

#include "chemistry/solution.h"

struct nearby {
	const struct terms *terms;
	struct solution at;
	/* d ln m by K and by mol/mol; by a loading less what the gas's own species owe to there being more of it */
	double by_temperature[SPECIES_COUNT], by_loading[GAS_COUNT][SPECIES_COUNT];
};

/* How far off another state is: K, and mol of gas per mol of amine. */
struct offset {
	double temperature, loading[GAS_COUNT];
};

/*
 * `at`: solved, by loadings. `usual`: the offsets that are to come, about; a slope is taken over each, and is none where it
 * is 0 or no state is there.
 */
void nearby_open(struct nearby *nearby, const struct terms *terms, const struct solution *at, struct offset usual);

/* The state at an offset, as by solution_solve(). A loading below 0 is taken as 0. */
bool nearby_solve(const struct nearby *nearby, struct offset offset, struct solution *out);

#endif
