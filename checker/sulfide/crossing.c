#include "sulfide/crossing.h"

#include <math.h>

enum { HALVINGS = 40, NARROWINGS = 16 };

struct bracket {
	double low, at_low, high, at_high;
};

/* The value at x becomes the end that it belongs to. */
static double evaluate(double (*of)(double, const void *), const void *data, double x, struct bracket *bracket)
{
	double at = of(x, data);
	if (at < 0)
		bracket->low = x;
	else
		bracket->high = x;
	return at;
}

/* False position with the Illinois halving, down to the width that the halvings would leave. */
static double narrow(double (*of)(double, const void *), const void *data, struct bracket *bracket)
{
	double at_low = bracket->at_low, at_high = bracket->at_high, at = at_high;
	double width = ldexp(bracket->high - bracket->low, -HALVINGS);
	int side = 0;
	for (int i = 0; i < NARROWINGS && bracket->high - bracket->low > width && !isnan(at); i++) {
		double x = (bracket->low * at_high - bracket->high * at_low) / (at_high - at_low);
		if (!(x > bracket->low && x < bracket->high))
			break;
		at = evaluate(of, data, x, bracket);
		if (at < 0) {
			at_low = at;
			at_high = side < 0 ? at_high / 2 : at_high;
			side = -1;
		} else {
			at_high = at;
			at_low = side > 0 ? at_low / 2 : at_low;
			side = 1;
		}
	}
	return at;
}

double crossing(double (*of)(double x, const void *data), const void *data, double low, double at_low, double high,
	double at_high)
{
	struct bracket bracket = {low, at_low, at_low < 0 ? high : low, at_high};
	double at = narrow(of, data, &bracket);
	for (int i = 0; i < HALVINGS && !isnan(at); i++) {
		double middle = (low + high) / 2;
		if (middle > bracket.low && middle < bracket.high)
			at = evaluate(of, data, middle, &bracket);
		*(middle <= bracket.low ? &low : &high) = middle;
	}
	return isnan(at) ? at : high;
}
