/*
 * Rich loadings that follow from the gas: what the feed loses over the amine that takes it up, on top of the lean loading.
 *
 * Only of a rich stream that states no loading and takes none over. Where the contents of the treated gas or hydrocarbon are not
 * known, all H2S and CO2 of the feed are an upper bound. The loadings go on downstream, through the sides of exchangers,
 * drums, pumps and mixes, to streams that state none.
 */
#ifndef LEANRICH_GAS_SIDE_H
#define LEANRICH_GAS_SIDE_H

#include "resolve/table.h"

/* After streams_compute; true: something was put, and the streams are to be computed again. */
bool gas_side_compute(struct table *table);

#endif
