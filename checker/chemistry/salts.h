/*
 * Heat-stable salts, sodium and potassium into equivalents: what analyses state as mass of ion per mass of solution,
 * the equilibrium needs as mol per mol of amine (solution_input.anion and .cation). The solution's mass is taken
 * without its gases (under 5 % heavier with them).
 *
 *   n_j = w_j/M_j per kg of solution,   b = (sum z_j n_j - n_Na - n_K)/n_amine   eq per mol of all amine
 *
 * Sodium and potassium free amine: b is the amine that is bound, and may be negative (excess strong base).
 *
 * A total beside the anions named, or alone, counts by equivalents: what is left of it when the equivalents named are taken
 * off. Counted as an amine or as one anion its equivalents follow; by mass of ions nobody says which, and what the anions
 * named leave of the mass is given their mean equivalent mass, or, where none is named, that of salts_assumed_anion().
 */
#ifndef LEANRICH_SALTS_H
#define LEANRICH_SALTS_H

#include "chemistry/solution.h"

/* Ions of a solution, per kg of it. */
struct salt_ions {
	double mass;	 /* kg of anions that are known by name */
	double anion[2]; /* mol, of singly and of doubly charged ones */
	double cation;	 /* mol of sodium and potassium */
};

/* Adds `mass_fraction` (kg/kg) of one anion; of sodium or potassium. */
void salt_ions_add(struct salt_ions *ions, const struct anion_row *anion, double mass_fraction);
void salt_ions_add_cation(struct salt_ions *ions, const struct cation_row *cation, double mass_fraction);

double salt_ions_equivalents(const struct salt_ions *ions); /* of the anions, eq/kg */
double salt_ions_net(const struct salt_ions *ions); /* less sodium and potassium; negative: excess strong base */

/*
 * Equivalents (eq/kg) of a total beyond the anions named, zero where they are more. `equivalent_mass` (kg/eq): that of the amine
 * or anion the total is counted as; NaN: the total is a mass of ions.
 */
double salts_remainder(const struct salt_ions *named, double total, double equivalent_mass);

/* The anion as which salts known only by mass of ions are taken: the lightest of the usual, so that the bound amine is not
 * understated. A named assumption. */
const char *salts_assumed_anion(void);

/* Per mol of all amine into a state; `amine`: mol of all amine per kg of solution. Nothing where there is no amine. */
void salts_into(struct solution_input *input, const struct salt_ions *ions, double amine);

/* Adds one anion, sodium or potassium, kg/kg, to a state. The amines of `input` must be set. */
void salts_add(struct solution_input *input, const struct anion_row *anion, double mass_fraction);
void salts_add_cation(struct solution_input *input, const struct cation_row *cation, double mass_fraction);

/* mol of all amine per kg of solution */
double salts_amine(const double mass_fraction[AMINE_COUNT]);

/* Amine bound by anions net of sodium and potassium, eq per mol of all amine: b above, negative for excess base. */
double salts_bound_amine(const struct solution_input *input);
double salts_anion_equivalents(const struct solution_input *input); /* of the anions alone */

#endif
