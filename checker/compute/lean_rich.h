/*
 * The lean/rich exchanger: what each side's heat balance says, whether the two agree, and what the surface does.
 *
 * Duty of a side: its flow times the change of its enthalpy (chemistry/enthalpy.h), flashing on the rich side included
 * where its pressure is stated. closure = (lean - rich) / the larger; its own uncertainty, of temperatures, flows and
 * heat capacities, comes with it. LMTD for counterflow, corrected for shells and passes; U = duty / (area F LMTD).
 *
 * Pure functions first (SI, plain doubles, no allocation), then the module that fills the table.
 */
#ifndef LEANRICH_LEAN_RICH_H
#define LEANRICH_LEAN_RICH_H

#include "chemistry/enthalpy.h"
#include "resolve/table.h"

/* One side of the exchanger. Mass flow with gases, kg/s; temperatures in K; outlet pressure Pa, NaN: taken as liquid. */
struct exchange_side {
	struct solution_input solution; /* its temperature is not looked at */
	double mass_flow, inlet, outlet, outlet_pressure;
};

/* Heat that the side gives off, W: negative when it takes heat up; NaN where there is no answer. */
double exchange_duty(const struct terms *terms, const struct exchange_side *side);

/* The part of it that went into vapour at the outlet, W. */
double exchange_flashing(const struct terms *terms, const struct exchange_side *side);

/* Flow times heat capacity at the mean temperature, W/K. */
double exchange_capacity(const struct exchange_side *side);

/* Logarithmic mean of the two end differences, K; NaN unless both are above zero. */
double exchange_lmtd(double end, double other_end);

/*
 * Correction of the LMTD for `shells` in series, each of one shell pass and 2, 4 ... tube passes (Bowman, Mueller and
 * Nagle 1940); 1 for a single tube pass or plates in counterflow. NaN where the surface cannot do it.
 */
double exchange_correction(int shells, int passes, double hot_in, double hot_out, double cold_in, double cold_out);

/*
 * The same flows and inlets with `share` of the conductance U A F (W/K) lost: what the cold side leaves at, K.
 */
double exchange_fouled_outlet(
	double hot_capacity, double cold_capacity, double conductance, double hot_in, double cold_in, double share);

void lean_rich_compute(struct table *table);

#endif
