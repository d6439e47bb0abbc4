#include "chemistry/terms.h"

#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, saturation) OWN_##amine##_##i##_##j,
enum {
#include "chemistry/terms.def"
	OWN_PAIRS
};
#undef PAIR
#undef CARBAMATE
_Static_assert((int)OWN_PAIRS <= (int)TERMS_LARGEST, "raise TERMS_LARGEST");

const struct terms terms_own = {
	.pairs =
		{
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, saturation)                                                                \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, saturation},
#include "chemistry/terms.def"
#undef PAIR
#undef CARBAMATE
		},
	.count = OWN_PAIRS,
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, saturation)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "chemistry/terms.def"
#undef PAIR
#undef CARBAMATE
		},
};
