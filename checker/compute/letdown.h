/*
 * What a rich letdown valve needs of its flow coefficient when what it lets down flashes inside: beyond a pressure drop that
 * its bubble pressure sets, more drop brings no more liquid through. The bubble pressure stands for the vapour pressure of the
 * equation for liquids, which is on the careful side where most of it is dissolved gas that leaves slowly.
 */
#ifndef LEANRICH_LETDOWN_H
#define LEANRICH_LETDOWN_H

#include "resolve/table.h"

/* Pa: the most that drives the flow, of a globe valve; NaN where it boils ahead of the valve. Pressures absolute, Pa. */
double letdown_choked_drop(double upstream, double bubble);

/* After the bubble pressures and capacity_compute. */
void letdown_compute(struct table *table);

#endif
