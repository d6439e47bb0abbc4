/*
 * A profile: which of several published limits governs, and what a company changes by reference with its own source.
 * Applied to the rules while the catalogue is read (catalogue.h).
 */
#ifndef LEANRICH_PROFILE_H
#define LEANRICH_PROFILE_H

#include "judge/catalogue.h"
#include "read/element.h"

/* `rules` are the catalogue's own rows, still writable. Faults go to `problems`, with their place in the profile. */
void profile_apply(struct arena *arena, struct catalogue *catalogue, struct rule *rules, const struct element *profile,
	struct problems *problems);

#endif
