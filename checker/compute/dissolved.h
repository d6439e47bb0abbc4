/*
 * What the metals in the solution and in the reflux say of the alloys that dissolve.
 *
 * Puts on the solvent, where chromium or nickel rises beyond the scatter of its analyses: `dissolving` (text: the families whose
 * ratio of nickel to chromium fits, with the items of them that amine touches), `dissolving-described` (yes or no: is any described)
 * and, where chromium rises, `nickel-to-chromium` (mass ratio of the two rises). The families by their nominal compositions (ASTM
 * A240 and the data of the nickel alloys, from memory): nickel to chromium below 0.12 in 12 % chromium steels, to 0.35 in duplex, to
 * 1.6 in austenitic steels, above in nickel alloys. In sour solution nickel falls out as sulfide more readily than chromium: the
 * ratio is the least that the alloy has, so families that are richer in nickel are named too.
 *
 * Puts on a reflux whose iron is stated `iron-of-overhead` (mass fraction): iron beyond what solution carried over brings along. Iron is
 * not volatile: the rest was dissolved in the overhead. Where no amine in it is stated, none is taken to be carried over.
 */
#ifndef LEANRICH_DISSOLVED_H
#define LEANRICH_DISSOLVED_H

#include "resolve/table.h"

/* After contact_compute and sour_compute. */
void dissolved_compute(struct table *table);

#endif
