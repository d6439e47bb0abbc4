/*
 * What the tests of quantities share: an arena and a list of problems for each test, and one value read.
 */
#ifndef LEANRICH_TESTS_QUANTITY_SUPPORT_H
#define LEANRICH_TESTS_QUANTITY_SUPPORT_H

#include "quantity/quantity.h"

enum { BAROMETRIC = 100500 }; /* Pa, of the invented site */

extern struct arena arena;
extern struct problems problems;

bool parse(enum kind kind, const char *written, struct quantity *out);
/* As far as `relative` of the larger one. */
bool same_within(double a, double b, double relative);
/* From 0 to 1, by a linear congruential generator. */
double next_share(unsigned long long *state);

#endif
