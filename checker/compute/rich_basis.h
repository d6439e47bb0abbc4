/*
 * Lean plus gas against rich, round a regenerator: the rich solution is described by its loading, and once more by its lean
 * and the acid gas that the absorbers take out of their gas. The column takes the stated loading; where there is none, the
 * lean's with the gas. The two are compared, and it is said which of them was used.
 *
 * What treaters take up, and what leaves in a flash drum, is not known: with treaters, or with several regenerators,
 * nothing is compared.
 */
#ifndef LEANRICH_RICH_BASIS_H
#define LEANRICH_RICH_BASIS_H

#include "compute/still.h"

enum { RICH_ABSORBERS = 8 };

struct rich_basis {
	struct input removed[RICH_ABSORBERS]; /* acid gas taken out of the gas of each absorber */
	size_t absorbers;
	double gas[GAS_COUNT]; /* mol/s, all absorbers; NaN where not known */
	const char *not_known; /* why it is not; NULL: it is */
	bool by_gas;	       /* the rich loadings were made of lean plus gas */
};

/* Fills loadings that nobody stated in `feed` with lean plus gas, where both are known. */
struct rich_basis rich_basis_of(const struct scene *scene, const struct still *still, struct stream_solution *feed);

/*
 * Puts column-basis and lean-plus-gas-difference. `amine`, mol/s; `reached`: the lean loading of the column, used where
 * none is stated; `heat`: what the words are to say of the heat, or "". True: the two are apart by more than 5 %, and
 * `state` is given the loadings by lean plus gas.
 */
bool rich_basis_put(const struct scene *scene, const struct still *still, const struct rich_basis *basis, double amine,
	double reached, const char *heat, struct solution_input *state);

#endif
