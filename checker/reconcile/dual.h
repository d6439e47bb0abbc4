/*
 * A number with its slope along one direction: forward-mode differentiation, exact to rounding. A model row is written once with
 * these and gives both its value and its derivative by whichever unknown carries the slope 1.
 */
#ifndef LEANRICH_DUAL_H
#define LEANRICH_DUAL_H

#include <math.h>

struct dual {
	double value, slope;
};

static inline struct dual dual_of(double constant)
{
	return (struct dual){constant, 0};
}

static inline struct dual dual_add(struct dual a, struct dual b)
{
	return (struct dual){a.value + b.value, a.slope + b.slope};
}

static inline struct dual dual_less(struct dual a, struct dual b)
{
	return (struct dual){a.value - b.value, a.slope - b.slope};
}

static inline struct dual dual_times(struct dual a, struct dual b)
{
	return (struct dual){a.value * b.value, a.slope * b.value + a.value * b.slope};
}

static inline struct dual dual_over(struct dual a, struct dual b)
{
	return (struct dual){a.value / b.value, (a.slope - a.value / b.value * b.slope) / b.value};
}

static inline struct dual dual_scale(struct dual a, double factor)
{
	return (struct dual){a.value * factor, a.slope * factor};
}

static inline struct dual dual_plus(struct dual a, double constant)
{
	return (struct dual){a.value + constant, a.slope};
}

static inline struct dual dual_exp(struct dual a)
{
	double value = exp(a.value);

	return (struct dual){value, value * a.slope};
}

static inline struct dual dual_log(struct dual a)
{
	return (struct dual){log(a.value), a.slope / a.value};
}

#endif
