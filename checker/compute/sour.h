/*
 * Sour, lightly sour, sweet: decided once for each place and for the unit, with the reason.
 *
 * Puts `sourness` (a word) on everything that is wetted and on the unit:
 *	- sour: wet gas with 0.3 kPa (0.05 psia) of H2S or more (ISO 15156, from memory), water with more than 50 mg/kg of sulfide, or
 *	  with any of it below pH 4, or above pH 7.6 with 20 mg/kg of cyanide (NACE MR0103, from memory), rich amine that holds
 *	  more sulfide than such water, or where none of this can be ruled out;
 *	- lightly sour: H2S is there, and less; lean amine holds what it has by its alkalinity and counts here;
 *	- sweet: no H2S in any gas or stream of the unit, or no water with it reaches the place.
 * What is not stated is bounded: over rich amine no more H2S can be there than in the gas it met, while it is cold; once hot, no
 * more than the share of H2S in the acid gas of the gases fed, of the whole pressure. Unknown where no feed states its H2S.
 *
 * Which place holds H2S at all is told by `wet-h2s` (metal.h) and `holds-h2s` (reach.h): it comes after both.
 */
#ifndef LEANRICH_SOUR_H
#define LEANRICH_SOUR_H

#include "resolve/table.h"

/* After reach_compute. */
void sour_compute(struct table *table);

#endif
