/*
 * Two figures for one thing: how far they are apart, and the one slip of unit, gauge or basis that would explain it.
 *
 * Which slips there are, and when one is named: compute/slips.h.
 */
#ifndef LEANRICH_DISCREPANCY_H
#define LEANRICH_DISCREPANCY_H

#include "compute/scene.h"
#include "compute/slips.h"

/*
 * Puts `name`: |x - y| over the larger, with its uncertainty. Inputs are to carry the symbols x and y. Numbers of
 * different sign count as wholly apart.
 */
const struct quantity *discrepancy_put(const struct scene *scene, const char *name, struct input x, struct input y);

/* The same, and puts the text "slip" beside it where one slip explains it. */
const struct quantity *discrepancy_put_and_explain(
	const struct scene *scene, const char *name, struct input x, struct input y);

/* Puts the text `name`: "One slip would explain it: <words>." An item carries one of each name: put it once. */
void slip_put(const struct scene *scene, const char *name, const char *words);

#endif
