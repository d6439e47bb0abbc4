/*
 * Numbers as the expressions of rules compare them: twelve digits of them, be they written in the expression or the value of a
 * variable. What sums and conversions of units leave in the last digits decides nothing, so that 0.1 is at most 0.1 wherever
 * it comes from.
 *
 * libxml2 reads the numbers of an expression itself and to the last digit; it gets each of them as a variable instead, whose name is
 * the number. Such a name has a point in it, and no variable of a rule may (expression_check.c).
 */
#ifndef LEANRICH_EXPRESSION_NUMBER_H
#define LEANRICH_EXPRESSION_NUMBER_H

#include <stdbool.h>

double expression_number(double value);

/* The number at `*at`, digits with or without a point, after which `*at` stands then. */
double expression_number_read(const char **at);

/* The expression for libxml2; free it. */
char *expression_numbers_named(const char *written) __attribute__((returns_nonnull));

/* Is this the name of a number, and of which? */
bool expression_number_named(const char *name, double *out);

#endif
