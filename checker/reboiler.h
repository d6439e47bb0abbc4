/*
 * The heating side of the reboiler: superheat of its steam over saturation at its own pressure (IAPWS-IF97, region 4).
 */
#ifndef LEANRICH_REBOILER_H
#define LEANRICH_REBOILER_H

#include "table.h"

void reboiler_compute(struct table *table);

#endif
