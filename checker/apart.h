/*
 * Two figures for one thing: how far they are apart, and the one slip of unit, gauge or basis that would explain it.
 *
 * A package reviewer finds such slips daily: US gpm read as m3/h (0.2271), pounds as kilograms (2.2046), degrees Fahrenheit
 * as Celsius (1.8), a decimal point (10). slips.def lists them; a slip explains a ratio when one factor brings the
 * two within SLIP_CLOSE of each other, and is named only then.
 */
#ifndef LEANRICH_APART_H
#define LEANRICH_APART_H

#include "scene.h"

/* Words for the slip that makes `ratio` (the one figure over the other) 1, or NULL: none does, or they agree. */
const char *slip_name(double ratio);

/*
 * Puts `name`: |x - y| over the larger, with its uncertainty; and beside it the text "slip" where it is more than 5 % and one
 * slip explains it. Inputs are to carry the symbols x and y. Numbers of different sign count as wholly apart.
 */
const struct quantity *apart_put(const struct scene *scene, const char *name, struct input x, struct input y);

#endif
