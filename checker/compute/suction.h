/*
 * Head and power of a pump: the suction head it has, from the liquid it draws from or from the pressure at its suction; the head
 * that its pressures ask for beside the rated one; what its power leaves for losses; and its least flow with what the
 * minimum-flow line brings back.
 *
 * Where the liquid comes from a vessel in which it boils or gives off gas (regenerator, reboiler, flash drum, reflux drum) its
 * vapour pressure is the pressure of that vessel, and only height less friction is left, whatever a model of the solution
 * says. The velocity head, some centimetres, is left out.
 */
#ifndef LEANRICH_SUCTION_H
#define LEANRICH_SUCTION_H

#include "resolve/table.h"

/* m of liquid: (pressure - vapour pressure) / (density g) + height - loss; Pa, kg/m3, m. */
double suction_head_available(double pressure, double vapour, double density, double height, double loss);

/* Froude number of liquid that fills a pipe: velocity in m/s over the root of g times the bore in m. */
double suction_froude(double velocity, double bore);

/* After densities and flows; before the margin of suction head (interface.h). */
void suction_compute(struct table *table);

/* What is to spare of suction head, and the least flow with the minimum-flow line: after interface_compute. */
void suction_spare(struct table *table);

#endif
