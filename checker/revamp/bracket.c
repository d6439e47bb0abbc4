#include "revamp/bracket.h"

#include <math.h>

bool bracket_is_narrow(const struct bracket *bracket, double tolerance)
{
	return bracket->b.x - bracket->a.x <= tolerance * fmax(fabs(bracket->a.x), fabs(bracket->b.x));
}

/* Do the distances of three spots go on in one direction? */
static bool goes_on(const struct spot *first, const struct spot *second, const struct spot *third)
{
	return first->sample.has_margin && second->sample.has_margin && third->sample.has_margin &&
		(second->sample.beyond - first->sample.beyond) * (third->sample.beyond - second->sample.beyond) > 0;
}

/* Where x is when the distance is zero, from spots whose distances all differ (Neville's scheme on the inverse). */
static double inverse(const struct spot *spots, size_t count)
{
	double x[4] = {0};
	for (size_t i = 0; i < count; i++)
		x[i] = spots[i].x;
	for (size_t order = 1; order < count; order++)
		for (size_t i = 0; i + order < count; i++) {
			double from = spots[i].sample.beyond, to = spots[i + order].sample.beyond;
			x[i] = (to * x[i] - from * x[i + 1]) / (to - from);
		}
	return x[0];
}

/* A curve through both ends and through what lay beyond them, where all of it rises or falls; NaN where it does not. */
static double by_both_ends(const struct bracket *bracket)
{
	const struct spot *a = &bracket->a, *b = &bracket->b;
	struct spot spots[4];
	size_t count = 0;
	if (!a->sample.has_margin || !b->sample.has_margin || !(a->sample.beyond * b->sample.beyond < 0))
		return (double)NAN;
	if (goes_on(&bracket->before_a, a, b))
		spots[count++] = bracket->before_a;
	spots[count++] = *a;
	spots[count++] = *b;
	if (goes_on(a, b, &bracket->after_b))
		spots[count++] = bracket->after_b;
	double curve = inverse(spots, count);
	return curve > a->x && curve < b->x ? curve : inverse((struct spot[]){*a, *b}, 2);
}

/* The line of one end, for a distance that leaps at the turn; NaN where it does not lead between the two. */
static double by_one_end(const struct bracket *bracket)
{
	const struct spot *ends[2][2] = {{&bracket->before_a, &bracket->a}, {&bracket->after_b, &bracket->b}};
	double found = (double)NAN, least = (double)INFINITY;
	for (size_t i = 0; i < 2; i++) {
		const struct sample *outer = &ends[i][0]->sample, *inner = &ends[i][1]->sample;
		if (!outer->has_margin || !inner->has_margin ||
			!(fabs(inner->beyond) < fmin(least, fabs(outer->beyond))))
			continue;
		double x = inverse((struct spot[]){*ends[i][0], *ends[i][1]}, 2);
		if (!(x > bracket->a.x && x < bracket->b.x))
			continue;
		found = x;
		least = fabs(inner->beyond);
	}
	return found;
}

/* A little beyond the guess as seen from the nearer end, so that both ends close in; on this side of it where that was seen. */
static double nudged(const struct bracket *bracket, double tolerance, double guess)
{
	double a = bracket->a.x, b = bracket->b.x, middle = 0.5 * (a + b);
	double nudge = 0.4 * tolerance * fabs(guess) * (guess < middle ? 1 : -1);
	double beyond = guess + nudge;
	return beyond > a && beyond < b ? beyond : guess - nudge;
}

double bracket_guess(struct bracket *bracket, double tolerance)
{
	double a = bracket->a.x, b = bracket->b.x, guess = (double)NAN;
	if (bracket->guessing == BY_BOTH_ENDS)
		guess = by_both_ends(bracket);
	if (bracket->guessing != HALFWAY && isnan(guess)) {
		bracket->guessing = BY_ONE_END;
		guess = by_one_end(bracket);
	}
	if (!isnan(guess))
		guess = nudged(bracket, tolerance, guess);
	if (guess > a && guess < b)
		return guess;
	bracket->guessing = HALFWAY;
	return 0.5 * (a + b);
}

void bracket_close(struct bracket *bracket, const struct spot *c, bool left)
{
	double width = bracket->b.x - bracket->a.x;
	if (left) {
		bracket->before_a = bracket->a;
		bracket->a = *c;
	} else {
		bracket->after_b = bracket->b;
		bracket->b = *c;
	}
	if (bracket->guessing == HALFWAY || 4 * (bracket->b.x - bracket->a.x) > width)
		bracket->guessing = (enum guessing)((bracket->guessing + 1) % GUESSINGS);
}
