/*
 * Where a rising function crosses zero. The answer is the upper end of the forty-fold halved interval, to the bit, but
 * false position has narrowed the interval first, so that most of the halvings need no evaluation: about twelve
 * evaluations in place of forty.
 */
#ifndef LEANRICH_CROSSING_H
#define LEANRICH_CROSSING_H

/*
 * `of` rises from `low` to `high`, the nearer to a straight line the better; `at_low` and `at_high` are its values there,
 * the latter not below zero. Where it is not below zero at `low` either, the answer is `low` but for the last halving. NaN
 * from `of` ends the search, and is the answer.
 */
double crossing(double (*of)(double x, const void *data), const void *data, double low, double at_low, double high,
	double at_high);

#endif
