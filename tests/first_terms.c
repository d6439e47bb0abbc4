#include "first_terms.h"

#define CARBAMATE(amine, offset, slope)
const struct terms terms_first = {
	.pairs =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)                                                                \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, saturation},
#include "data/first_terms.def"
#undef PAIR
		},
#define PAIR(amine, i, j, at_centre, slope, saturation) +1
	.count = 0
#include "data/first_terms.def"
	,
#undef PAIR
#undef CARBAMATE
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "data/first_terms.def"
#undef PAIR
#undef CARBAMATE
		},
};
