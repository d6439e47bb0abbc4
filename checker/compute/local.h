/*
 * Velocity where the flow turns or narrows, beside the mean of the line.
 *
 * A bend is a plane free vortex, v r = constant: at its inner wall the flow runs at
 *	v_max / v = 1 / ((x - 1/2) ln((x + 1/2) / (x - 1/2))),  x = R/D > 1/2,
 * 1.44 times the mean in a long-radius elbow (x = 1.5) and 1.82 times in a short one (x = 1). An orifice plate is a free jet,
 * contracted to pi / (pi + 2) of its bore; a thermowell is a cylinder across the flow, at twice the mean on its flanks.
 * All three are potential flow: good to some ten per cent at the wall and without what separation adds downstream.
 *
 * Published velocities are means of lines whose elbows are long-radius ones: `equivalent-velocity` is the mean at which such a
 * line has the same local velocity, and may be held against them. Compute after hydraulics.
 */
#ifndef LEANRICH_LOCAL_H
#define LEANRICH_LOCAL_H

#include "resolve/table.h"

void local_compute(struct table *table);

/* v_max / v at the inner wall of a bend of radius `x` diameters; not above zero where x is not above one half. */
double bend_factor(double x);

#endif
