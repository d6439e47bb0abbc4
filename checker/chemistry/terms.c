#include "chemistry/terms.h"

/* The rows of the table one kind at a time: the other kinds expand to nothing. */
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation) OWN_##amine##_##i##_##j,
enum {
#include "chemistry/terms.def"
	OWN_PAIRS
};
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
_Static_assert((int)OWN_PAIRS <= (int)TERMS_LARGEST, "raise TERMS_LARGEST");

const struct terms terms_own = {
	.pairs =
		{
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope)
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)                                                          \
	{AMINE_##amine, SPECIES_##i, SPECIES_##j, at_centre, slope, bend, saturation},
#include "chemistry/terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
	.count = OWN_PAIRS,
	.medium =
		{
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)
#define CARBAMATE(amine, offset, slope)
#define MEDIUM(amine, at_centre, slope, reach) [AMINE_##amine] = {at_centre, slope, reach},
#include "chemistry/terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
	.carbamate =
		{
#define PAIR(amine, i, j, at_centre, slope, bend, saturation)
#define MEDIUM(amine, at_centre, slope, reach)
#define CARBAMATE(amine, offset, slope) [AMINE_##amine] = {offset, slope},
#include "chemistry/terms.def"
#undef PAIR
#undef CARBAMATE
#undef MEDIUM
		},
};
