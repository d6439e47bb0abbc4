/*
 * Metals by the number of their standard and their grade, as sheets write them in many ways: "SA-312 TP316L", "A 240-316L",
 * "ASTM A516 Gr.70N", "P355NH", "1.0425". What only a list of names can tell (means.def) is looked up there.
 *
 * Sources: ASTM titles of the standards named in metal.c, EN 10027-2:2015 (1.00xx to 1.07xx are non-alloy steels), EN 10028-2 and -3
 * and EN 10216 for names; from memory.
 */
#ifndef LEANRICH_IMPORT_METAL_H
#define LEANRICH_IMPORT_METAL_H

#include "base/arena.h"

/* The word of a description for a folded text that is a metal and nothing else; NULL: it is none, or which is not plain. */
const char *metal_by_standard(struct arena *arena, const char *folded);

#endif
