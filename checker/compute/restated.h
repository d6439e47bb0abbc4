/*
 * What the description states more than once of one item: by another document, by a second <in> of one case, in another kind of
 * unit; and of a stream its loading beside H2S and CO2.
 *
 * A statement of one case is held against what is used in that case. One of no case in particular is held against the value that
 * holds for all; where the item states its values case by case, against each of them: a condition (flow, temperature) must be that
 * of one case, what does not change (a size, a metal) that of every case. Flows of different kinds are compared through the
 * density or the amine of the item, strengths and contents through the density of the solution.
 */
#ifndef LEANRICH_RESTATED_H
#define LEANRICH_RESTATED_H

#include "compute/agreement.h"

/* After density, loadings and flows are computed. */
void restated_compute(struct table *table);

/*
 * A stated flow as kg/s of what the item or stream carries: its factor to kg/s by density, molar mass or amine, which is 1 for a
 * mass flow. False: it cannot be, and `missing` says for want of what. `through`: how, for the reader.
 */
bool flow_to_mass(const struct scene *scene, const struct item *carrier, struct side_stated *side, const char **through,
	struct missing *missing);

#endif
