/*
 * What heats and cools: its temperatures and flow where streams or the site say them, the duty it takes or gives, and how near
 * the process comes to it.
 *
 * Water by IAPWS-IF97; dry air, sea water of 35 g/kg and hot oil with a constant heat capacity whose uncertainty is counted.
 */
#ifndef LEANRICH_MEDIUM_H
#define LEANRICH_MEDIUM_H

#include "resolve/table.h"

/* After the streams, before anything that asks for the temperature of a medium. */
void medium_compute(struct table *table);

#endif
