/*
 * Within what a number lies that nobody states, whatever it is: bore, wall and velocity of a pipe whose schedule is not
 * known, by the schedules made in its size; shares between zero and all; partial pressures up to the pressure; air and
 * water as a site supplies them; temperature and pressure of a stream between those upstream and downstream, where only
 * what neither heats, cools nor pumps stands between; what runs into the drains no hotter than the hottest amine.
 *
 * The value of another operating case sets no range: a condition of this case may well lie outside those of all others.
 */
#ifndef LEANRICH_POSSIBLE_H
#define LEANRICH_POSSIBLE_H

#include "resolve/table.h"

struct possible {
	double least, largest; /* SI; -HUGE_VAL and HUGE_VAL: no more than physics says of its kind */
	const char *why;       /* "in every schedule of NPS 6"; NULL: nothing is known of it */
	bool stated;	       /* it follows from what the package states, and is evidence */
};

/* Of the unknown `value` that the table gives for `name` of the item in the case. What it looks at counts as read. */
struct possible possible_values(const struct table *table, const struct item *item, int operating_case,
	const char *name, const struct quantity *value);

#endif
