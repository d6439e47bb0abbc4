#include "check_terms.h"

/* The rows of the table one kind at a time: the other kinds expand to nothing. */
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation) CHECK_##amine##_##i##_##j,
enum {
#include "data/check_terms.def"
	CHECK_PAIRS
};
#undef PAIR
#undef CARBAMATE
#undef MEDIUM

const struct terms terms_check = {
	.pairs =
		{
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)                                                          \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, bend, saturation},
#include "data/check_terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
	.count = CHECK_PAIRS,
	.medium =
		{
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)
#define CARBAMATE(amine, offset, slope)
#define MEDIUM(amine, at_centre, slope, reach) [AMINE_##amine] = {at_centre, slope, reach},
#include "data/check_terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "data/check_terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
};
