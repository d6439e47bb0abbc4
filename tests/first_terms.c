#include "first_terms.h"

/* The rows of the table one kind at a time: the other kinds expand to nothing. */
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation) FIRST_##amine##_##i##_##j,
enum {
#include "data/first_terms.def"
	FIRST_PAIRS
};
#undef PAIR
#undef CARBAMATE
#undef MEDIUM

const struct terms terms_first = {
	.pairs =
		{
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)                                                          \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, bend, saturation},
#include "data/first_terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
	.count = FIRST_PAIRS,
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "data/first_terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
};
