/*
 * What heat exchangers are rated for beside what each case needs of them, and the steam of all reboilers beside what the plant
 * can give.
 *
 * Needed is the duty stated for the case; else the calculated one: of a condenser by the overhead, of a cooler by its amine,
 * of a lean/rich exchanger by its lean side, of reboilers by the heat balance of their regenerator. A duty stated for one
 * case says nothing of another.
 */
#ifndef LEANRICH_RATING_H
#define LEANRICH_RATING_H

#include "resolve/table.h"

/* After the duties, overhead_condensing among them. */
void rating_compute(struct table *table);

#endif
