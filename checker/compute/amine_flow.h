/*
 * Amine that each amine stream carries, by moles: its mass over the mass of solution and gas for each mole of amine. Puts
 * `amine-flow`, the circulation in kmol/h.
 */
#ifndef LEANRICH_AMINE_FLOW_H
#define LEANRICH_AMINE_FLOW_H

#include "resolve/table.h"

/* After streams_compute. */
void amine_flow_compute(struct table *table);

#endif
