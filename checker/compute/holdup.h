/*
 * What is held and for how long: liquid in the flash drum, solution in the carbon bed; what share of the circulation a side
 * stream takes; the soda of a reclaimer charge beside the amine that its salts bind.
 */
#ifndef LEANRICH_HOLDUP_H
#define LEANRICH_HOLDUP_H

#include "compute/scene.h"
#include "compute/vessel.h"

/*
 * A drum, tank or tower by its words and sizes, which become the inputs: orientation, heads, diameter, length; false: no such item.
 * Words that nobody states are as such a vessel is usually built; sizes may be NaN.
 */
bool holdup_shape(const struct scene *scene, struct vessel *vessel, struct input inputs[4]);

void holdup_compute(struct table *table);

#endif
