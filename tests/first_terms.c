#include "first_terms.h"

#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, saturation) FIRST_##amine##_##i##_##j,
enum {
#include "data/first_terms.def"
	FIRST_PAIRS
};
#undef PAIR
#undef CARBAMATE

const struct terms terms_first = {
	.pairs =
		{
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, saturation)                                                                \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, saturation},
#include "data/first_terms.def"
#undef PAIR
#undef CARBAMATE
		},
	.count = FIRST_PAIRS,
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "data/first_terms.def"
#undef PAIR
#undef CARBAMATE
		},
};
