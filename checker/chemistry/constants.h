/*
 * The coefficients of constants.def as plain doubles, by name, and as rows for whoever prints or checks them.
 * Each is in the unit its row names; the modules that use them turn them into SI where their equations are.
 */
#ifndef LEANRICH_CONSTANTS_H
#define LEANRICH_CONSTANTS_H

#include <stddef.h>

#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
#include "chemistry/constants.def"
#undef CONSTANT

enum how_known { KNOWN_READ, KNOWN_SECONDARY, KNOWN_MEMORY, KNOWN_INFERRED };

struct constant {
	const char *name;
	double value;
	const char *unit;
	double lowest_C, highest_C; /* range of the correlation; both 0: none given */
	const char *source;	    /* key into rules/sources.xml */
	enum how_known known;
};

size_t constant_count(void);
const struct constant *constant_row(size_t i); /* i below constant_count() */

#endif
