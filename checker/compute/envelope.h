/*
 * What pressure each item can see from what it is connected with (piping.h), beside what it is designed for.
 *
 * A vessel is taken to reach the set pressure of the relief that opens first, else its design pressure; it holds what is beyond it apart
 * (common practice). What hangs on several vessels surely sees the lowest of these (`connected-pressure`), since the lowest holds
 * them all while the way to it is open, and at most the highest (`connected-pressure-most`), if a valve can shut the way. A vessel sees
 * what lies upstream of it. The shut-off pressure of a pump goes through valves to the first vessel. Between a letdown valve and a
 * block valve downstream of it stands what is upstream of the letdown. Below the level of a vessel its liquid adds to it.
 *
 * Design values are no conditions: all of this stands for every case. The operating pressure is per case. Pa throughout.
 */
#ifndef LEANRICH_ENVELOPE_H
#define LEANRICH_ENVELOPE_H

#include "resolve/piping.h"

/* After interface_compute, pump_compute and relief_compute. */
void envelope_compute(struct table *table);

/* The lowest set pressure of relief valves of the item, else its design pressure: whose it is, and its name. */
struct pressure_level {
	const struct item *item; /* NULL: neither is stated */
	const char *name;
	double si;
};
struct pressure_level envelope_level(const struct table *table, const struct item *vessel);

/* Yes: a relief valve of its own, or a relief case of this name that is covered; no: one that is not; NULL: nobody says. */
const struct quantity *envelope_own_relief(const struct table *table, const struct item *item, const char *relief);

#endif
