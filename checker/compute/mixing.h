/*
 * Streams where lines meet and part, by the splits and mixes of the network: what one branch is left with, what a header carries
 * and how warm it is.
 *
 * Flow by mass is conserved; of a split with one branch that states no flow that branch has the rest. The temperature of a mix is
 * that of its flows with equal heat capacities (one solution in all of them), nothing lost. What is stated stays; the calculated
 * temperature then is beside it as `temperature-calculated`, and the flow as `flow-met`.
 */
#ifndef LEANRICH_MIXING_H
#define LEANRICH_MIXING_H

#include "compute/scene.h"

enum { MIXING_MOST = 12 };

/* The streams that a mix leads into this one, at most MIXING_MOST; 0: none. */
size_t mixing_sources(const struct scene *scene, const struct item *sources[MIXING_MOST]);

/* Of a stream: flow and temperature of a mix that leads to it, or what a split leaves it. Once its sources are known. */
void mixing_of_stream(const struct scene *scene);

#endif
