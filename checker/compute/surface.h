/*
 * Surface and heat transfer of every exchanger: area of its tubes, duty, heat flux, temperature difference, F and U.
 *
 * Area by tubes: N tubes of one shell, outside, times their shells (one where none are stated) and the legs of a U, unless the
 * surface stated is that of legs counted one by one. Duty of a
 * cooler: the amine between its two streams. Temperature difference: counterflow between the process side and the medium that is
 * described by a side with two streams; of a steam reboiler saturation of the steam less the bulk. Lean/rich exchangers: the
 * area and heat flux here, the rest in lean_rich.
 */
#ifndef LEANRICH_SURFACE_H
#define LEANRICH_SURFACE_H

#include "compute/scene.h"

/* m2 from tubes of one shell, legs of a tube (2: a U), outside diameter and length of a leg in m, shells. */
double surface_of_tubes(double tubes, double legs, double diameter, double length, double shells);

/* "k": 2 where the tubes of a side are said to be bent to a U, else 1. `tubes` counts each U once. */
struct input surface_legs(const struct scene *scene, const struct item *tubes);

/* Area and the duty of coolers: after streams_compute, before lean_rich_compute. */
void surface_compute(struct table *table);

/* Heat flux, LMTD, F and U: after the duties of condensers are known. */
void surface_transfer(struct table *table);

#endif
