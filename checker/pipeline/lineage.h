/*
 * Which modules of computing make what from what, learnt by watching whole computations of one description, so that the same
 * description with other values is computed only as far as some rules ask.
 *
 * A module is needed where it puts a name that a needed module after it, or a rule, looks at; the others are skipped. While a table
 * of some modules is computed and judged every look is watched: who looks at a name that a skipped module puts is told by
 * lineage_misled, the look is learnt, and the caller computes the whole. What a module puts is taken from the whole
 * computations seen so far; the caller learns at values on both sides of those it asks about.
 */
#ifndef LEANRICH_LINEAGE_H
#define LEANRICH_LINEAGE_H

#include "judge/catalogue.h"
#include "pipeline/compute_unit.h"

struct lineage; /* opaque */

struct lineage *lineage_new(struct arena *arena);

/* As compute_table with the sulfide analysis; what each module looks at and puts is learnt. */
const struct table *lineage_learn(struct lineage *lineage, struct arena *arena, struct table *resolved);

/* What `rule` reads is asked for, beside what was asked for since lineage_ask_nothing. */
void lineage_ask_nothing(struct lineage *lineage);
void lineage_ask(struct lineage *lineage, const struct rule *rule);

/* The table as far as it is asked for; NULL: nothing was learnt, or something speaks against skipping anything. */
const struct table *lineage_table(struct lineage *lineage, struct arena *arena, struct table *resolved);

/* Did anything look at what is not in the last lineage_table and may have to be? */
bool lineage_misled(const struct lineage *lineage);

#endif
