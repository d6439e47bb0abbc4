/*
 * The state of an aqueous amine with H2S and CO2: every species, pH, activity coefficients and partial pressures.
 *
 * Chemistry: water, CO2 (both steps), H2S (first step), amine protonation and carbamate (reaction.h), activity
 * coefficients (activity.h), Henry's law, ideal gas, water by IAPWS-IF97 times its activity. Amines MEA, DEA, MDEA,
 * DGA, DIPA, and MDEA blended with one of the others. Heat-stable salt anions, sodium and potassium are strong ions:
 * net of sodium and potassium, the anions take their charge in protonated amine away from the gases; more sodium and
 * potassium than anions is excess strong base, and legal.
 *
 * Method: a start from the charge balance at fixed activity coefficients, bracketed in ln a_H, then Newton steps on
 * the logarithms of all molalities at once. Where that fails the pair terms are brought in by degrees. A state that
 * does not converge has a fault and every number NaN.
 *
 * Units: K, Pa, mol/kg of water, mol/mol amine, kg/kg. A state that was solved before in this run is not solved again
 * (base/memo.h); nothing else is kept between calls.
 *
 * Validity: solution.in_fitted_range says whether the terms were fitted there; how uncertain a state is: range.h.
 */
#ifndef LEANRICH_SOLUTION_H
#define LEANRICH_SOLUTION_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/species.h"
#include "chemistry/terms.h"

struct solution_input {
	double mass_fraction[AMINE_COUNT]; /* of the solution without gases; one amine, or MDEA with one other */
	double temperature;		   /* K */
	double loading[GAS_COUNT];	   /* mol gas per mol of all amine; 0 is legal */
	double anion[2];		   /* mol of singly and of doubly charged anions per mol of all amine */
	double cation;			   /* mol of sodium and potassium per mol of all amine */
	double pressure_factor
		[GAS_COUNT]; /* on the partial pressure at a given loading, as another correlation has it; 0: 1 */
};

enum solution_fault {
	SOLUTION_FINE,
	SOLUTION_NO_AMINE,	    /* none, or two that are not MDEA with another, or more than two */
	SOLUTION_STRENGTH_RANGE,    /* amine together outside 0.001-0.75 kg/kg */
	SOLUTION_TEMPERATURE_RANGE, /* outside 0-180 C */
	SOLUTION_LOADING_RANGE,	    /* negative, NaN, or above 1.5 together */
	SOLUTION_ANION_RANGE,	    /* negative, NaN, or above 0.9 eq per amine: sodium, or anions net of it */
	SOLUTION_PRESSURE_RANGE,    /* negative, NaN or above 10 MPa */
	SOLUTION_BOILS_DRY,	    /* of a flash: what stays liquid would be stronger than 0.75 kg/kg */
	SOLUTION_NOT_CONVERGED,
	SOLUTION_FAULT_COUNT
};

struct solution {
	enum solution_fault fault; /* unless SOLUTION_FINE every number below is NaN */
	struct solution_input input;
	size_t amine_count;
	enum amine amine[2];   /* in their places */
	double amine_molality; /* of all forms of all amines, mol/kg water */
	double molality[SPECIES_COUNT];
	double ln_gamma[SPECIES_COUNT];
	double ln_water_activity;
	double ionic_strength; /* mol/kg water */
	double ph;	       /* -log10 of the activity of H+ */
	double loading[GAS_COUNT];
	double partial_pressure[GAS_COUNT]; /* Pa */
	double water_pressure;		    /* Pa */

	bool in_fitted_range;
	bool validated; /* false: DGA, DIPA and blends, for which no data were read */
	int iterations; /* Newton steps taken */
};

/* Returns fault == SOLUTION_FINE. */
bool solution_solve(const struct terms *terms, const struct solution_input *input, struct solution *out);

/*
 * The same to the same residuals, from a state nearby that is solved and holds the same amines and gases: for who takes
 * many small steps, as a column does. The last digits may be others than those of solution_solve; no memo is asked.
 */
bool solution_near(const struct terms *terms, const struct solution_input *input, const struct solution *near,
	struct solution *out);

/*
 * The same near a solved state, by the inverse of its slopes: for who asks for a thousand about one state. `x`: ln of the
 * molalities it starts at. solution_inverse(): false where `solved` is no answer by loadings. solution_chord(): false where
 * it does not converge from there or lies outside the domain; `out` then holds no answer.
 */
struct equilibrium_inverse;
bool solution_inverse(const struct terms *terms, const struct solution *solved, struct equilibrium_inverse *inverse);
bool solution_chord(const struct terms *terms, const struct solution_input *input,
	const struct equilibrium_inverse *inverse, const double x[SPECIES_COUNT], struct solution *out);

/* The start of that search alone, pressures within a per cent or so, a third at the worst: for a guess. */
bool solution_rough(const struct terms *terms, const struct solution_input *input, struct solution *out);

/*
 * The same in equilibrium with a gas: where partial_pressure[gas] (Pa) is not NaN it decides, else input->loading
 * does. The loadings found are in out->loading, and may lie above those solution_solve() takes.
 */
bool solution_absorb(const struct terms *terms, const struct solution_input *input,
	const double partial_pressure[GAS_COUNT], struct solution *out);

double solution_pressure(const struct solution *solution); /* sum of the three partial pressures, Pa */

/* What is wrong, as words that can follow "because": "the temperature is outside 0-180 C". "" when fine. */
const char *solution_fault_words(enum solution_fault fault);

#endif
