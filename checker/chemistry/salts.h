/*
 * Heat-stable salts into bound amine: what analyses state as mass of anion per mass of solution, the equilibrium needs
 * as mol per mol of amine (solution_input.anion). The solution's mass is taken without its gases (under 5 % heavier
 * with them). Salts neutralised with sodium or potassium bind no amine: state only what is not.
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

/* Amine bound by anions, mol charge per mol amine. */
double salts_bound_amine(const struct solution_input *input);

#endif
