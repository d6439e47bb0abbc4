/*
 * Heat-stable salts, sodium and potassium into equivalents: what analyses state as mass of ion per mass of solution,
 * the equilibrium needs as mol per mol of amine (solution_input.anion and .cation). The solution's mass is taken
 * without its gases (under 5 % heavier with them).
 *
 *   n_j = (w_j/M_j)/(w_Am/M_Am),   b = sum z_j n_j - n_Na - n_K   eq per mol of all amine
 *
 * Sodium and potassium free amine: b is the amine that is bound, and may be negative (excess strong base).
 */
#ifndef LEANRICH_SALTS_H
#define LEANRICH_SALTS_H

#include "chemistry/solution.h"

/* Adds one anion, `mass_fraction` in kg/kg. The amines of `input` must be set. */
void salts_add(struct solution_input *input, const struct anion_row *anion, double mass_fraction);

/*
 * Adds salts known only in total, or what a total leaves beyond the anions named. Taken as formate, the lightest of
 * the usual anions, so that the bound amine is not understated: a named assumption, salts_assumed_anion().
 */
void salts_add_unnamed(struct solution_input *input, double mass_fraction);
const char *salts_assumed_anion(void);

/* Adds sodium or potassium, kg/kg. */
void salts_add_cation(struct solution_input *input, const struct cation_row *cation, double mass_fraction);

/* Amine bound by anions net of sodium and potassium, eq per mol of all amine: b above, negative for excess base. */
double salts_bound_amine(const struct solution_input *input);
double salts_anion_equivalents(const struct solution_input *input); /* of the anions alone */

#endif
