/*
 * What heats and cools: its temperatures and flow where streams or the site say them, the duty it takes or gives, and how near
 * the process comes to it.
 *
 * Water by IAPWS-IF97; any medium with the heat capacity that is stated; else dry air, sea water of 35 g/kg, hot oil and glycol
 * with as much water with a general one whose uncertainty is counted.
 */
#ifndef LEANRICH_MEDIUM_H
#define LEANRICH_MEDIUM_H

#include "compute/scene.h"

/* After the streams, before anything that asks for the temperature of a medium. */
void medium_compute(struct table *table);

/* Was this duty calculated from the medium alone? */
bool medium_is_duty(const struct quantity *duty);

#endif
