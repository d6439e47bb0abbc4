/*
 * How far a state can be trusted: whether it lies inside the range of the data its terms were fitted to
 * (range.def), and both ends of its partial pressures and pH (spread.h), between which a measured value lies nine
 * times in ten.
 *
 * The ends of the pH are not tested against data: what several fits of the same partial pressures differ by, with
 * the amine's pK, growing with the distance from the data as the partial pressure of H2S does.
 */
#ifndef LEANRICH_RANGE_H
#define LEANRICH_RANGE_H

#include "chemistry/solution.h"

struct interval {
	double low, high;
};

/*
 * Fills in_fitted_range and validated of a solved state. validated: data of this amine, alone, were read, and its
 * terms fitted to them. in_fitted_range, which follows only where that is so: this state has the strength,
 * temperature and loading of those data, and like them one gas and no salts.
 */
void range_judge(struct solution *solution);

/* Why a state is not in the fitted range, and what that means for its ends; "" where it is, or where there is no state. */
const char *range_outside(const struct solution *solution);

/* Of the partial pressure of one gas over a solved state, F: it lies between p/F and p F. NaN where there is no state. */
double range_factor(const struct solution *solution, enum gas gas);

struct interval range_pressure(const struct solution *solution, enum gas gas); /* Pa */
double range_ph(const struct solution *solution);			       /* half width */

/*
 * Of the loading in equilibrium with a given partial pressure of the gas, F: the pressure's own, to the power of
 * what the loading moves with it. 1 where there is none of the gas.
 */
double range_loading_factor(const struct solution *solution, enum gas gas);

#endif
