/* Quantities along a sweep as small panels over one axis: the value, its limit, and where the verdict turns. */
#ifndef LEANRICH_FIGURE_SWEEP_H
#define LEANRICH_FIGURE_SWEEP_H

#include "sweep.h"
#include "write_html.h"

void figure_sweep(struct page *page, xmlNode *parent, const struct sweep *sweep);

#endif
