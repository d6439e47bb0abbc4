/*
 * Two figures for one thing: how far they are apart, and the one slip of unit, gauge or basis that would explain it.
 *
 * A package reviewer finds such slips daily: US gpm read as m3/h (4.403), pounds as kilograms (2.2046), degrees Fahrenheit
 * as Celsius (1.8), a decimal point (10). slips.def lists them; a slip is named when one factor brings the two within
 * 4 % of each other, and only where they are more than 5 % apart.
 */
#ifndef LEANRICH_DISCREPANCY_H
#define LEANRICH_DISCREPANCY_H

#include "compute/scene.h"

enum slip_kind { SLIP_UNIT, SLIP_HEAT, SLIP_LIQUID, SLIP_GAS, SLIP_DIGITS };

struct slip {
	double factor; /* below 1 */
	enum slip_kind kind;
	const char *what;
};

size_t slip_count(void);
const struct slip *slip_row(size_t i);

/* Are two figures whose ratio this is the same for a slip's purposes; are they apart enough to look for one? */
bool slip_closes(double ratio);
bool slip_wanted(double ratio);

/* The slip that makes `ratio` (the one figure over the other) 1, or NULL: none does, or they agree. */
const struct slip *slip_find(double ratio);

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
