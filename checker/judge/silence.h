/*
 * What a rule makes of silence: the values that an input nobody states could have, and the defaults (`absent`) that such a
 * value would turn against.
 *
 * A default that meets a rule which some other value departs from is favourable: it has to say why silence may be taken so
 * (`absent-why`).
 */
#ifndef LEANRICH_SILENCE_H
#define LEANRICH_SILENCE_H

#include "judge/judge.h"

struct values {
	const struct quantity **rows;
	size_t count;
};

/*
 * Values that the quantity `name` of this kind can have, as far as the rule can tell them apart: yes and no; the choices of the
 * schema, else the words the rule names and one that it does not; zero and numbers on both sides of every limit and constant of its
 * dimension and of every number in the inputs of `beside` (SI), near and far. `units` may be NULL: no choices are known then.
 * `beside`: a finding of the rule, or NULL.
 */
struct values values_possible(struct arena *arena, const struct rule *rule, const char *name, enum kind kind,
	const struct finding *beside, const struct vocabulary *units);

/* Is a verdict one that nobody need act on: met, or not applicable without a word of what would make it apply? */
bool verdict_is_silent(const struct finding *finding);

/* The example without a word of this input. */
struct example example_without(struct arena *arena, const struct example *example, const char *name);

/*
 * The first example of the rule that the default of this input lets pass while another value departs; NULL: none, or the input
 * has no default. `against` (may be NULL) gets that value.
 */
const struct example *default_is_favourable(struct arena *arena, const struct catalogue *catalogue,
	const struct rule *rule, size_t input, const struct vocabulary *units, const struct quantity **against);

#endif
