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

/*
 * Of which stream a filter, bed or reclaimer takes its share: of the circulation. That is the stream it names, unless that one is the
 * share itself: drawn from another stream, or by a split, of which its flow is the `slip` that is stated.
 */
const struct item *holdup_circulation(const struct scene *scene, const struct item *stream);

void holdup_compute(struct table *table);

#endif
