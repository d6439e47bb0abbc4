/*
 * What the column of a regenerator is calculated from, as the description has it or, where it is silent, by a default that
 * the working names: stages, pressures, heat, flow of amine, the drum its overhead is cooled to. The lean loading is not
 * among them.
 */
#ifndef LEANRICH_REGENERATOR_INPUTS_H
#define LEANRICH_REGENERATOR_INPUTS_H

#include "compute/column.h"
#include "compute/still.h"

enum { REGENERATOR_INPUTS = 12 };

struct regenerator_inputs {
	struct input rows[REGENERATOR_INPUTS];
	size_t count;
	bool known; /* every row is a number, and so is the feed */
	struct column_input column;
	bool heat_assumed; /* the duty is that of the normal case: this one states neither duty nor steam */
	double reflux_ratio,
		reflux; /* where neither duty nor steam is stated: what decides it instead, the latter mol/s; else NaN */
	double amine;	/* mol/s; of what flows lean without a stated loading, as if it held no gas */
	double lean_mass_flow; /* kg/s, where the amine is yet to be found with the loading that the column reaches; else NaN */
};

/* `feed`: the rich solution, its gases by loading. The reboiler is described. Puts equilibrium-stages. */
struct regenerator_inputs regenerator_inputs(
	const struct scene *scene, const struct still *still, const struct stream_solution *feed);

/* Heat lost by the column, W, as stated or none. */
struct input regenerator_heat_loss(const struct scene *scene);

#endif
