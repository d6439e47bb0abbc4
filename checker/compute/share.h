/*
 * What runs side by side: the share of its stream that one of several like items takes, the tubes that are left open, the flow of
 * one pump beside what it is rated for.
 *
 * Before the streams: flow-share of every item of which several are in use, and of the sides and nozzles in it. Of items that say
 * nothing the share is the whole. Counts and shares are exact as stated.
 */
#ifndef LEANRICH_SHARE_H
#define LEANRICH_SHARE_H

#include "compute/scene.h"

void share_compute(struct table *table);

/* Takes the flow `name` of the stream, or the share of it that runs here. A part of what carries the stream has it from there whole. */
void share_take(const struct scene *scene, const struct item *stream, const char *name);

/*
 * The flow of one pump in use by its stream, where it is the only item that moves that stream, beside a flow that it states itself;
 * by mass or by volume as `like` is. False: it states none, or the stream tells nothing of one pump.
 */
bool share_of_sole_pump(const struct scene *scene, const struct quantity *like, struct input *flow);

/* After the streams: pumps in use, valves, and what each can pass. */
void capacity_compute(struct table *table);

#endif
