/*
 * Where high pressure meets low pressure: the two sides of an exchanger by design pressure, a pump by what it is between
 * and by its least flow.
 */
#ifndef LEANRICH_INTERFACE_H
#define LEANRICH_INTERFACE_H

#include "compute/scene.h"

/*
 * The sides of the exchanger at hand, the first two of them, and how many there are; a shell without an element of its own is the
 * item itself.
 */
enum { INTERFACE_SIDES = 2 };
size_t interface_sides(const struct scene *scene, const struct item *sides[INTERFACE_SIDES]);

/* The barometric pressure of the site, else the standard atmosphere. */
const struct quantity *interface_atmosphere(const struct scene *scene);

void interface_compute(struct table *table);

#endif
