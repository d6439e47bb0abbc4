/*
 * The overhead of a regenerator by arithmetic: the reflux ratio that each statement of it makes, and the duty of its condenser.
 *
 * Reflux ratio R: mol of water returned per mol of acid gas. Water in the overhead is what is returned and what the acid gas
 * carries out of the drum, c = p_s(t_d) / (P_d - p_s(t_d)) mol per mol. Heat of solution and H2S or CO2 in the reflux are left out.
 * Pure functions first (SI, plain doubles), then the module that fills the table.
 */
#ifndef LEANRICH_OVERHEAD_H
#define LEANRICH_OVERHEAD_H

#include <stddef.h>

#include "chemistry/species.h"
#include "resolve/table.h"

/* From kg/s of water returned and mol/s of acid gas; from the mole fraction of water; from the dew point (K) at a pressure (Pa). */
double overhead_ratio_by_flow(double reflux, double acid_gas);
double overhead_ratio_by_water(double water, double carried);
double overhead_ratio_by_dew_point(double temperature, double pressure, double carried);

/* Water that a gas saturated with it carries, mol/mol, at K and Pa: c of the drum, R + c of the top; NaN where water boils. */
double overhead_carried(double temperature, double pressure);

/*
 * W taken from mol/s of acid gas (`share`: of H2S in it) and its water between the top and the drum (K): water condenses until
 * `carried` is left.
 */
double overhead_condensing_duty(
	double acid_gas, double share_of_h2s, double ratio, double carried, double top, double drum);

/* After streams_compute, before regenerator_compute, which takes the reflux ratio. */
void overhead_compute(struct table *table);

/* After regenerator_compute, with the acid gas stripped: the duty of the condenser. */
void overhead_condensing(struct table *table);

#endif
