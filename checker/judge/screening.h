/*
 * Why a finding is screening at most, in words that can follow "because": it balances what one case states with what
 * another does, it rests on chemistry of which no data were read, or it departs by one of two published correlations only; or
 * because a text that was not read could turn it.
 */
#ifndef LEANRICH_SCREENING_H
#define LEANRICH_SCREENING_H

#include "judge/evaluation.h"

/* Of a balance: a condition that its case does not state and takes from the normal one. NULL: there is none. */
const char *screening_assumed(const struct evaluation *evaluation);

/* Does the rule hold two sides against each other, so that it is worth no more than the lesser known of them? */
bool screening_is_balance(const struct rule *rule);

/* Does an input name a slip that would explain the value judged? Then that is under suspicion, and nothing firm rests on it. */
bool screening_names_slip(const struct evaluation *evaluation);

/* Of a judged or asserted value: why its chemistry rests on no measurement. NULL: it does, or the value has none of it. */
const char *screening_without_data(const struct evaluation *evaluation);

/*
 * Could a text that was not read turn the verdict? Not where a limit that was read, or that is physics or arithmetic, says the
 * same; nor where two works of different authors do; nor where the value is so far from the governing figure that no
 * misquotation of it would do: a fifth of it, or 20 K. An unnamed source and common practice are no texts to be held to.
 */
bool screening_text_could_turn(const struct evaluation *evaluation);

/* Is there a value by another correlation beside any of the inputs? And the words where only one of the two departs. */
bool screening_has_second(const struct evaluation *evaluation);
const char *screening_by_one_only(const struct evaluation *evaluation);

#endif
