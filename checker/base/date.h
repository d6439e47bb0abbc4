/*
 * A date as people write it: a day (2026-09-14), a month (2026-09) or a year alone (2026).
 *
 * What is not written is not known: a month and a year stand for their middle, give or take half of their length. The
 * proleptic Gregorian calendar throughout.
 */
#ifndef LEANRICH_DATE_H
#define LEANRICH_DATE_H

#include <stdbool.h>

struct date {
	double middle;	   /* days since 1970-01-01 */
	double half_width; /* days */
};

/* False, and `date` untouched, when it is no date: 2026-02-30 is none. */
bool date_read(const char *written, struct date *date);

/* From one to the other in seconds, of the years of 365.25 days; `*uncertainty` is half the width of what may be meant. */
double date_apart(const struct date *from, const struct date *to, double *uncertainty);

/* Does it end before the other begins? Two that overlap are not told apart. */
bool date_is_before(const struct date *one, const struct date *other);

#endif
