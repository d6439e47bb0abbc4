/*
 * What metal sees: the highest temperature over every case, lean or rich amine or neither.
 *
 * The temperature to hold against a cracking limit is the highest the part can see with amine present: every operating case, upset,
 * tracing, and steam-out unless it is washed first (API RP 581; API RP 945). Where nobody says whether a part is
 * traced or steamed out the result is a lower bound: it can condemn, it cannot acquit.
 */
#ifndef LEANRICH_METAL_H
#define LEANRICH_METAL_H

#include "resolve/table.h"

void metal_compute(struct table *table);

#endif
