/*
 * Which statement is wrong: tests on the corrections of a reconciliation, and elimination one after the other.
 *
 * Of each statement: z = e / sqrt(r), bias b = s e / r, T = z^2 (what J falls by when the statement is left out). Of a bias
 * common to all statements of a quantity (wrong at its source, copied): T_g = (sum e_i/s_i)^2 / sum (delta_ij - q_i.q_j)/(s_i s_j),
 * named in their place when it exceeds the largest T by 2. kappa scales z to the scatter that the package shows without
 * the suspect: its 80 % quantile of |z| over that of a normal distribution, 0.25 at least; what printing rounds off is not scaled, since
 * it does not shrink where the rest of a package closes well. A statement is suspect when |z| over its scaled uncertainty exceeds
 * 4.75, in conflict when |z| exceeds the 95 % limit of the largest of N too. The first is removed, the rest solved again, until
 * none is left, five at most; then each that was removed is taken in again where the rest now bears it out.
 *
 * The measurement test: Mah and Tamhane 1982; serial elimination: Ripps 1965; generalised likelihood ratio: Narasimhan and
 * Mah 1987; all from memory. kappa, 4.75 and the margins are this program's, set on simulated packages (tests/README.md).
 */
#ifndef LEANRICH_SUSPECTS_H
#define LEANRICH_SUSPECTS_H

#include "reconcile/fit.h"

enum { MOST_SUSPECTS = 5, MOST_MEMBERS = 24 };

/* r below the first: nothing tests the statement; below the second: weakly. */
extern const double UNTESTABLE_REDUNDANCY, WEAK_REDUNDANCY;

/* One statement in the first solution, nothing removed. */
struct examined {
	size_t row;
	double model;	   /* the reconciled value, metric of the statement */
	double redundancy; /* r */
	double z, bias;	   /* e / sqrt(r), s e / r; 0 where r is zero */
	double smallest;   /* bias that is seen with 80 % probability */
	bool testable, weak;
};

/* One that could be the culprit. */
struct member {
	size_t row;
	double statistic; /* T */
	double bias;
	double closing; /* what it would have to say: m(u) without it, metric of the statement */
};

/* One suspect, alone or one of a set. */
struct suspect {
	bool suspicious; /* beyond the scatter of the package */
	bool of_group;	 /* all statements of one quantity together */
	bool conflict;	 /* beyond the limit of chance too */
	size_t row;	 /* the first; of a group, any of it */
	double z, bias;	 /* in units of s; metric */
	double score;	 /* z over the scatter of the package when it was found */
	double variance; /* of that bias where kappa is 1 */
	double shared; /* what copies scatter by together, so that their number makes them no surer; 0 of one statement */
	double kappa; /* scatter of the rest */
	struct member members[MOST_MEMBERS];
	size_t member_count; /* the first is `row`; more than one: one of these, nothing says which */
};

struct suspects {
	struct fit_end first;  /* with every statement */
	struct examined *rows; /* of statements, in the order of the rows */
	size_t row_count;
	double kappa, critical; /* scatter of what is left in the end; limit of chance of the first solution */
	struct suspect *found;	/* what stays removed, in the order in which they were found */
	size_t found_count;
	bool sure;	  /* solved with every statement; or it was not for a gross error, and is solved without that */
	bool *determined; /* of each unknown, in the first solution */
	size_t null_space;
};

/* The least likely statement, or quantity, of a solution, suspicious or not; false: nothing can be tested. */
bool suspects_first(struct arena *arena, const struct fit *fit, struct suspect *out);

/* Leaves `fit` at the last solution, with the suspects removed. */
struct suspects suspects_find(struct arena *arena, struct fit *fit);

#endif
