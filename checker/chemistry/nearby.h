/*
 * States near a solved one: the temperature and loadings differ a little, the solvent and its salts do not. Each is
 * started where the slopes of the logarithms of the molalities and their bends lead, and solved by the inverse of the equations
 * at the solved state; to the same residuals as any other, by Newton's steps or from the first start where that does not
 * converge.
 */
#ifndef LEANRICH_NEARBY_H
#define LEANRICH_NEARBY_H

#include "chemistry/equilibrium.h"
#include "chemistry/solution.h"

/* What differs: a loading (mol/mol), or the temperature (K). */
enum { NEARBY_TEMPERATURE = GAS_COUNT, NEARBY_DIRECTIONS };

struct nearby {
	const struct terms *terms;
	struct solution at;
	double x[SPECIES_COUNT]; /* ln m */
	/*
	 * The terms of a series in each direction and pair of directions (half the second ones where both are the same), of
	 * ln m less what a gas's own species owe to there being more of it.
	 */
	double slope[NEARBY_DIRECTIONS][SPECIES_COUNT];
	double bend[NEARBY_DIRECTIONS][NEARBY_DIRECTIONS]
		   [SPECIES_COUNT]; /* the second index is the lower one, or equal */
	struct equilibrium_inverse inverse;
	bool has_inverse;
};

/* How far off another state is: K, and mol of gas per mol of amine. */
struct offset {
	double temperature, loading[GAS_COUNT];
};

/*
 * `at`: solved, by loadings. `usual`: the offsets that are to come, about; slopes and bends are taken over each, and are
 * none where it is 0 or no state is there.
 */
void nearby_open(struct nearby *nearby, const struct terms *terms, const struct solution *at, struct offset usual);

/* The state at an offset, as by solution_solve(). A loading below 0 is taken as 0. */
bool nearby_solve(const struct nearby *nearby, struct offset offset, struct solution *out);

#endif
