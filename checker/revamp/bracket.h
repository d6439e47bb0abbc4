/*
 * Between two values of x of different verdict: where to look next for the turn, from how far beyond it the judged
 * value is.
 *
 * Both ends close in on it. The guess is where a curve through the ends, and through what lay beyond them, meets the
 * limit; where that leaves more than a quarter, where the line of one end meets it, for a distance that leaps at the
 * turn (another case is the worst there); then halfway, as where nothing is known but the verdicts.
 */
#ifndef LEANRICH_BRACKET_H
#define LEANRICH_BRACKET_H

#include "revamp/scan.h"

struct spot {
	double x;
	struct sample sample;
};

enum guessing { BY_BOTH_ENDS, BY_ONE_END, HALFWAY, GUESSINGS };

struct bracket {
	struct spot a, b, before_a, after_b; /* those without a margin are not known */
	enum guessing guessing;
};

/* Do the ends lie closer than the tolerance, relative to x? */
bool bracket_is_narrow(const struct bracket *bracket, double tolerance);

/* Strictly between the ends. */
double bracket_guess(struct bracket *bracket, double tolerance);

/* What was seen at the guess takes the place of one end: `left`, of `a`. */
void bracket_close(struct bracket *bracket, const struct spot *c, bool left);

#endif
