/*
 * What the letters of the tag of an instrument say: what it measures, and whether it trips, alarms or only shows.
 *
 * Letters by ISA 5.1, Instrumentation Symbols and Identification, and DIN 19227, both from memory. It does not tell a tag of
 * two letters, "LA-101", from the number of a line or a vessel: those are none.
 */
#ifndef LEANRICH_IMPORT_INSTRUMENT_H
#define LEANRICH_IMPORT_INSTRUMENT_H

#include <stdbool.h>

#include "base/arena.h"

struct instrument {
	bool is;	/* else the rest says nothing */
	char measures;	/* F flow, L level, P pressure, T temperature, D pressure drop, A analysis */
	bool low, high; /* its letters end in L or H; where they say neither, both are false */
	bool trips;	/* LL, HH, or a switch of safety (Z, SL, SH) */
};

/* Of "38-LALL-103", "TICA-3011", "PDAHH 12". Relief and control valves are no instruments here. */
struct instrument instrument_read(const char *tag);

#endif
