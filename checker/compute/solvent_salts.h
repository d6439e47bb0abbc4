/*
 * The ions of the solvent as its analysis has them: anions by name, chloride, what a total leaves beyond them, sodium and
 * potassium, in equivalents per kg of solution and per mole of amine.
 *
 * A total counts by its basis (of the solution, of the amine) and by what it is counted as (ions, an amine, one anion).
 * Where neither is said the reading with the most bound amine is taken, by mass of the solution as ions, and the
 * uncertainty reaches down to the least: as so much amine of the solvent, on the amine. Chloride is an acid like any
 * other anion unless sodium comes with it. Sodium and potassium without any other salt free no more than the chloride
 * there is: nobody knows what they are beside.
 *
 * A strength stated without its basis is read as all the amine: with the same analysis of gases and salts that leaves
 * the least of it free, and so the most H2S over the solution and the lowest boiling point. Where the other reading,
 * free amine alone, has more than 1 % more amine it is calculated too: it widens what is uncertain (solvent_spread),
 * and the upper limits of strength take it (total-strength).
 */
#ifndef LEANRICH_SOLVENT_SALTS_H
#define LEANRICH_SOLVENT_SALTS_H

#include "chemistry/salts.h"
#include "compute/scene.h"

/* One stated content, and what it is in equivalents, eq per kg of solution: negative for sodium and potassium. */
struct ion_part {
	struct input input;
	double equivalents, uncertainty;
};

struct solvent_ions {
	struct ion_part *parts;
	size_t count;
	struct missing missing; /* why the ions are not known; a bound from below is no reason */
	struct salt_ions most;	/* contents stated as "<..." at their bounds, sodium and potassium so stated at none */
	struct salt_ions least; /* such anions at none, such sodium and potassium at their bounds */
};

/* Of the solvent in a case. No parts: the description says nothing of salts. */
struct solvent_ions solvent_ions(const struct scene *scene);

/* Readings of a strength that differ by less are one, as a share. */
extern const double STRENGTH_BASIS_MATTERS;

/* Is the strength stated as what salts leave free? */
bool solvent_strength_is_free(const struct scene *scene);

/* mol of all amine per kg of solution, from what a strength states: `stated`, or with the amine that salts bind where that is
 * free amine alone. */
double solvent_all_amine(double stated, const struct salt_ions *ions, bool is_free);

/*
 * salts-on-solution, bound-amine, its content, strength-basis, and total-strength, the most amine that there may be, of
 * the solvent.
 */
void solvent_salts_compute(const struct scene *scene);

#endif
