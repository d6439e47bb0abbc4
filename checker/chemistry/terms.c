#include "terms.h"

#define PAIR(amine, i, j, at_centre, slope, saturation)                                                                \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, saturation},
#define CARBAMATE(amine, offset, slope)
static const struct pair_term own_pairs[] = {
#include "terms.def"
};
#undef PAIR
#undef CARBAMATE
_Static_assert(sizeof own_pairs / sizeof *own_pairs <= TERMS_LARGEST, "raise TERMS_LARGEST");

const struct terms terms_own = {
	.pairs =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)                                                                \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, saturation},
#define CARBAMATE(amine, offset, slope)
#include "terms.def"
#undef PAIR
#undef CARBAMATE
		},
	.count = sizeof own_pairs / sizeof *own_pairs,
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "terms.def"
#undef PAIR
#undef CARBAMATE
		},
};
