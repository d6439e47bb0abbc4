/*
 * The two ends of an absorber: how much warmer the lean amine enters than the gas leaves hydrocarbon to condense.
 *
 * approach-to-gas = lean temperature - feed gas temperature; approach-to-dew-point = lean temperature - hydrocarbon
 * dew point of the feed gas. K, of each operating case; the two uncertainties are independent.
 */
#ifndef LEANRICH_ABSORBER_H
#define LEANRICH_ABSORBER_H

#include "table.h"

void absorber_compute(struct table *table);

#endif
