/*
 * The inside of a lean/rich exchanger: what the two sides and the wall between them see from the hot end to the cold,
 * in slices of equal duty. Countercurrent, no loss; each side gives or takes the same share of its own duty in every
 * slice, by its heat capacity, so that the four temperatures of the design are met exactly at the ends. The wall is
 * taken in the middle between the two (equal film coefficients: an assumption). Heat taken by flashing on the rich side
 * is not modelled: where the solution flashes is told by its bubble pressure against the stated pressure.
 */
#ifndef LEANRICH_EXCHANGER_H
#define LEANRICH_EXCHANGER_H

#include "sulfide/circuit.h"

enum { EXCHANGER_SLICES = 40, EXCHANGER_NODES = EXCHANGER_SLICES + 1 };

struct slice_side {
	double temperature;
	double ph, h2s_pressure, h2s_aq;
	double tendency; /* as in struct reading_at */
	struct scale_answer answer;
	struct scale_answer by_age[FILM_AGES];
};

struct slice {
	double duty; /* share of the duty transferred, from the hot end: 0 to 1 */
	double wall; /* K */
	struct slice_side lean, rich;
	bool flashes; /* bubble pressure of the rich solution above its stated pressure */
};

struct profile_of {
	const struct item *exchanger;
	int operating_case;
	struct missing missing; /* why there is no profile; without a reason: there is one */
	const struct reading_at *lean_in, *lean_out, *rich_in, *rich_out;
	bool pressure_known;
	const struct slice *slices; /* EXCHANGER_NODES of them, from the hot end; NULL when missing */
};

struct exchangers {
	const struct profile_of *profiles; /* exchanger by exchanger, case by case */
	size_t count;
};

/* `shown`: with what a review shows and no rule cites, the answers by age and where the rich solution flashes. */
struct exchangers exchanger_profiles(struct arena *arena, const struct circuit *circuit, bool shown);

#endif
