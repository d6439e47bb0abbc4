/*
 * Temperature and pressure at the ends of vessels, from the streams that leave there, where the vessel states none: bottom of an
 * absorber and of a regenerator, top of a regenerator, flash drum, reflux drum. What leaves a vessel is as warm as its end and under
 * its pressure; how far a nozzle is below the level is left out. What enters tells nothing of pressure: a valve lies before it.
 */
#ifndef LEANRICH_ENDS_H
#define LEANRICH_ENDS_H

#include "resolve/table.h"

/* After streams_compute. */
void ends_compute(struct table *table);

#endif
