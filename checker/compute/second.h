/*
 * A second opinion on the hot rich end: where another published correlation (published.h) puts the bubble pressure of a rich
 * solution more than a quarter from this program's, what follows from it is calculated by that one too, and is
 * beside the value as its `second`: bubble pressure and margin, whether it boils, where flashing starts, the mixture, its
 * density, velocity and momentum flux, and what a letdown valve lets go. A rule is judged at both (judge.c).
 */
#ifndef LEANRICH_SECOND_H
#define LEANRICH_SECOND_H

#include "resolve/table.h"

void second_compute(struct table *table);

#endif
