/*
 * Partial pressures over a loaded solution by another published correlation than the one of this program, each inside
 * its own range, to be held beside it.
 *
 * MDEA: Posey, Tapperson and Rochelle 1996 (secondary), 35-50 wt%, 40-120 C, 0.003-0.8 mol/mol together, mixtures too:
 *   p_i = K_i x_i L/(1 - L) kPa,  ln K_i = A + B/T + C L x0 + D sqrt(L x0);  L total loading, x0 amine in the unloaded
 *   solution, x_i gas in the loaded one, by moles. About 22 % of its data. The terms of this program were fitted with
 *   an eye on it: it is a second opinion, not an independent one.
 * DEA: Kent and Eisenberg 1976 (from memory), 15-40 wt%, 25-140 C, 0.05-1.0 mol/mol: equilibrium in concentrations,
 *   all activity coefficients one, protonation and carbamate fitted to partial pressures; the other constants here are those
 *   of Edwards and others 1978, where theirs were others of infinite dilution too.
 *
 * Heat-stable salts count in the second as strong ions, in the first not at all.
 */
#ifndef LEANRICH_PUBLISHED_H
#define LEANRICH_PUBLISHED_H

#include "chemistry/solution.h"

struct published {
	const char *source;		    /* key of sources-chemistry.xml */
	const char *name;		    /* "Posey and others 1996" */
	double partial_pressure[GAS_COUNT]; /* Pa */
};

/* False: no correlation is at hand for this solvent, or the state lies outside its range. */
bool published_pressures(const struct solution_input *input, struct published *out);

/*
 * The same solution with the factors on its partial pressures that make them those of the correlation at this state: what
 * flashes of it follows the correlation nearby. False: none.
 */
bool published_state(const struct terms *terms, const struct solution_input *input, struct solution_input *out,
	struct published *by);

#endif
