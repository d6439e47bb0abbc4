/*
 * The solver behind solution.h: one equilibrium as a set of equations, a start for it, and Newton steps.
 *
 * The equations: one mass action per reaction, ln K = sum nu (ln m + ln gamma) + nu_w ln a_w; one balance per gas (or
 * its fugacity, where a gas of known partial pressure is over the solution), one per amine, and the charge. The
 * species of a gas that is absent are no unknowns; their molality is zero. H+, CO2 and H2S are in one reaction each and
 * weigh little in the activity coefficients: a step finds them after the others.
 */
#ifndef LEANRICH_EQUILIBRIUM_H
#define LEANRICH_EQUILIBRIUM_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/activity.h"
#include "chemistry/species.h"
#include "chemistry/terms.h"

struct solution_input;

/* EQUILIBRIUM_ALL is even: places are added two by two. */
enum { EQUILIBRIUM_UNKNOWNS = 10, EQUILIBRIUM_FOLDED = 3, EQUILIBRIUM_ALL = 14, REACTION_PARTS = 4 };

/* ln K = sum nu (x + ln gamma) + water ln a_w; a reaction has at most four dissolved species. */
struct mass_action {
	double ln_constant;
	int water;
	enum species species[REACTION_PARTS];
	int nu[REACTION_PARTS];
	int parts;
};

/* The inverse of the left-hand sides at one state: a step there or at a state near by is taken by it. */
struct equilibrium_inverse {
	size_t unknown_count, folded_count;
	enum species unknown[EQUILIBRIUM_UNKNOWNS];
	/* By right-hand side: what the step is where that is 1. Folded species first in both, zeros in the place that is over. */
	double by[EQUILIBRIUM_ALL][EQUILIBRIUM_ALL];
};

/* One state while it is being solved. x is ln of a molality. */
struct equilibrium {
	size_t amine_count;
	struct solvent solvent;
	struct activity activity;
	struct mass_action reactions[2 + 3]; /* the second amine's exchange, two carbamates */
	size_t reaction_count;
	struct mass_action folded[EQUILIBRIUM_FOLDED]; /* each with one species of its own, nu -1 */
	enum species folded_away[EQUILIBRIUM_FOLDED];  /* that species: H+ and the dissolved gases that are present */
	size_t folded_count;
	double ln_k[4];			     /* water, CO2 first, CO2 second, H2S: for the start */
	double ln_henry[GAS_COUNT];	     /* Pa kg/mol */
	double ln_amine[2], ln_carbamate[2]; /* of each place */
	bool forms_carbamate[2];
	double amine[2];		/* mol/kg water in all forms */
	double gas[GAS_COUNT];		/* mol/kg water in all forms, where the loading is given */
	double ln_molecular[GAS_COUNT]; /* ln of m gamma of the molecular gas, where the pressure is given */
	bool by_pressure[GAS_COUNT], present[GAS_COUNT];
	enum species unknown[EQUILIBRIUM_UNKNOWNS];
	size_t unknown_count;
	double molality[SPECIES_COUNT];
	struct coefficients coefficients;
	int iterations;
};

/*
 * Sets up the equations. partial_pressure[gas] (Pa) decides where it is not NaN, else the loading of `input`; `amines`
 * are those of the input in the order of their places and must outlive `e`. `input` must lie in the domain.
 */
void equilibrium_prepare(struct equilibrium *e, const struct terms *terms, const struct solution_input *input,
	const double *partial_pressure, const enum amine *amines, size_t amine_count);

/*
 * A start: the charge balance at fixed activity coefficients, `rounds` times with coefficients brought nearer in between;
 * `share` as in activity.h.
 */
void equilibrium_start(struct equilibrium *e, double share, int rounds);

/* Newton steps on the logarithms of all molalities, at most so many; `share` as in activity.h. False: not solved. */
bool equilibrium_newton(struct equilibrium *e, double share, int at_most);

/* At the molalities and coefficients that are in `e`. False: singular. */
bool equilibrium_invert(const struct equilibrium *e, struct equilibrium_inverse *inverse);

/*
 * The same equations to the same residuals by the inverse of a state near by, with Broyden's corrections of it (1965,
 * Math. Comp. 19, 577-593): no slopes are set up or factored. `x`: where it starts, ln of the molalities of the species
 * that are in `e`. False: that inverse is of other species, or leads nowhere; `e` then holds no answer.
 */
bool equilibrium_chord(struct equilibrium *e, const struct equilibrium_inverse *inverse, const double *x);

/* Solves them to 1e-11 in every equation. False: not converged, and what is in `e` is not an answer. */
bool equilibrium_solve(struct equilibrium *e);

/* Whether a species carries a molecule of the gas; in sight, so that a loop over all species asks at no cost. */
static inline bool equilibrium_carries(enum species species, enum gas gas)
{
	switch (species) {
	case SPECIES_H2S:
	case SPECIES_HS:
		return gas == GAS_H2S;
	case SPECIES_CO2:
	case SPECIES_HCO3:
	case SPECIES_CO3:
	case SPECIES_AMCOO:
	case SPECIES_AMCOO_2:
		return gas == GAS_CO2;
	default:
		return false;
	}
}

/* Which species is the dissolved gas itself. */
enum species equilibrium_molecular(enum gas gas);

#endif
