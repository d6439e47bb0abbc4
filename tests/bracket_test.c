/*
 * Where a verdict turns is found between two values of x, whatever the distance from the limit does there. Functions and turns are
 * invented; how many looks each takes was counted, halving would take twenty.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "revamp/bracket.h"

enum { LOOKS_OF_HALVING = 21 };
static const double TOLERANCE = 1e-6;

/* How far beyond its limit a value is; what is no number is not known. */
typedef double distance_at(double x);

static struct spot spot_at(distance_at *distance, double x, double turn)
{
	double beyond = distance(x);
	return (struct spot){.x = x,
		.sample = {.verdict = x < turn ? POINT_CLEAR : POINT_DEPARTS,
			.has_margin = !isnan(beyond),
			.beyond = isnan(beyond) ? 0 : beyond}};
}

/* Looks at what is between 1 and 2 until the turn is found, and checks that it is. Gives the number of looks. */
static int looks(distance_at *distance, double turn, bool surrounded)
{
	struct bracket bracket = {.a = spot_at(distance, 1, turn), .b = spot_at(distance, 2, turn)};
	int count = 0;
	if (surrounded) {
		bracket.before_a = spot_at(distance, 0.5, turn);
		bracket.after_b = spot_at(distance, 2.5, turn);
	}
	while (!bracket_is_narrow(&bracket, TOLERANCE) && count < 100) {
		double x = bracket_guess(&bracket, TOLERANCE);
		cr_assert(x > bracket.a.x && x < bracket.b.x, "%.17g is not between the ends", x);
		const struct spot spot = spot_at(distance, x, turn);
		bracket_close(&bracket, &spot, spot.sample.verdict == POINT_CLEAR);
		count++;
	}
	cr_expect(
		bracket.a.x < turn && bracket.b.x >= turn, "the turn is not in %.9g to %.9g", bracket.a.x, bracket.b.x);
	return count;
}

static double straight(double x)
{
	return 4 * x - 5;
}

static double falling_power(double x)
{
	return 1 / (1.4 * 1.4 * 1.4) - 1 / (x * x * x);
}

/* Another case is the worst from the turn on. */
static double leaping(double x)
{
	return x < 1.7 ? x * x - 1.7 * 1.7 : 3 + 1 / x;
}

static double nothing_known(double x)
{
	return x * (double)NAN;
}

/* It is beyond its limit all along: the verdict turns by something else. */
static double never_zero(double x)
{
	return 1 + x;
}

/* So flat at the turn that every line misleads. */
static double flat(double x)
{
	double d = x - 1.3;
	return d * d * d * d * d;
}

Test(bracket, a_distance_that_goes_on_is_found_in_a_few_looks)
{
	cr_expect_leq(looks(straight, 1.25, false), 2);
	cr_expect_leq(looks(falling_power, 1.4, false), 8);
	cr_expect_leq(looks(falling_power, 1.4, true), 8);
}

Test(bracket, a_distance_that_leaps_is_found_by_the_side_that_leads_to_the_turn)
{
	cr_expect_leq(looks(leaping, 1.7, true), 12);
	cr_expect_leq(looks(leaping, 1.7, false), 12);
}

Test(bracket, verdicts_alone_are_halved)
{
	cr_expect_leq(looks(nothing_known, 1.6180339, true), LOOKS_OF_HALVING);
	cr_expect_leq(looks(never_zero, 1.1, true), LOOKS_OF_HALVING);
}

Test(bracket, what_misleads_costs_no_more_than_three_times_halving)
{
	cr_expect_leq(looks(flat, 1.3, true), 3 * LOOKS_OF_HALVING);
}
