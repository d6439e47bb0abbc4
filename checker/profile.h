/*
 * A profile: which of several published limits governs, and what a company changes by reference with its own source.
 * Applied to the rules while the catalogue is read (catalogue.h).
 */
#ifndef LEANRICH_PROFILE_H
#define LEANRICH_PROFILE_H

#include "catalogue.h"
#include "element.h"

/* `rules` are the catalogue's own rows, still writable. Faults go to `problems`, with their place in the profile. */
void profile_apply(struct arena *arena, struct catalogue *catalogue, struct rule *rules, const struct element *profile,
	struct problems *problems);

/* Shared with the reader of rules (catalogue.c). */
enum force force_from_word(const char *word);
enum reading reading_from_word(const char *word);
bool limit_value(struct arena *arena, const struct element *element, struct accepted accepted,
	struct problems *problems, struct limit *limit);

/*
 * A value written in a rule or an example: a number with its unit, yes or no, or a word, as the kind asks. NULL after a
 * fault. `what` names it in the message.
 */
const struct quantity *rule_value(struct arena *arena, const char *written, const char *what, struct accepted accepted,
	struct place place, struct problems *problems);

#endif
