/*
 * What follows from the state of a solution where a vapour is over it: bubble point, flash, heat of desorption.
 * The amine is taken as not volatile, the vapour as an ideal gas. Units as in solution.h. No allocation.
 *
 * A function that finds no answer returns NaN, or a fault; it never returns a number that did not converge.
 */
#ifndef LEANRICH_PHASE_H
#define LEANRICH_PHASE_H

#include <stdbool.h>

#include "chemistry/solution.h"

/* Sum of the partial pressures at input->temperature, Pa. */
double phase_bubble_pressure(const struct terms *terms, const struct solution_input *input);

/* Temperature at which they sum to `pressure` (Pa), within 0-180 C, K; input->temperature is not looked at. */
double phase_bubble_temperature(const struct terms *terms, const struct solution_input *input, double pressure);

/*
 * Heat of desorption of one gas at constant loadings, J/mol: R T^2 d ln p/dT (van 't Hoff, Gibbs-Helmholtz), by
 * central difference. A gas that is absent is taken at a trace.
 */
double phase_heat_of_desorption(const struct terms *terms, const struct solution_input *input, enum gas gas);

/* A flash at given temperature and pressure. Amounts in mol per mol of amine; the amine itself stays liquid. */
struct flash {
	enum solution_fault fault;
	bool vapour;		/* false: all liquid, the amounts of vapour are 0 */
	struct solution liquid; /* what stays */
	double gas[GAS_COUNT];	/* in the vapour */
	double water;		/* in the vapour */
	double inert;		/* in the vapour: all of the feed's */
};

/*
 * `feed` describes the whole: strength without gases, loadings, anions, and the temperature of the flash; `inert` is
 * gas that does not dissolve (hydrocarbon), mol per mol amine; `pressure` in Pa. Returns fault == SOLUTION_FINE.
 */
bool phase_flash(
	const struct terms *terms, const struct solution_input *feed, double inert, double pressure, struct flash *out);

/*
 * The same to the same residuals without inert gas, from a flash nearby of the same feed (at another temperature, say) where that
 * holds vapour: for who takes many steps. The last digits may be others than those of phase_flash.
 */
bool phase_flash_near(const struct terms *terms, const struct solution_input *feed, double pressure,
	const struct flash *near, struct flash *out);

#endif
