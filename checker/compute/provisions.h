/*
 * What the package provides already against what its own chemistry makes, once for the unit: the largest share of the lean amine
 * that a particle filter takes (no basket strainer), the ammonium bisulfide stated of a reflux, and whether it claims that sulfide
 * protects its steel, in words or by a least content of H2S in lean amine.
 *
 * A unit without lean filter, or without a stated reflux, gets no such value. After the shares of filters are known.
 */
#ifndef LEANRICH_PROVISIONS_H
#define LEANRICH_PROVISIONS_H

#include "resolve/table.h"

void provisions_compute(struct table *table);

#endif
