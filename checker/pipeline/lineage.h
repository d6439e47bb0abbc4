/*
 * What of a unit depends on what, learnt by watching how it is computed and judged, so that with other values only that is done
 * again which may come to something else.
 *
 * The unit as it is, is watched once, piece by piece (works.h). With other values a piece that looks at nothing that
 * moved is left out, and what it put is taken over; what a piece that is done again puts has moved where it is not what
 * it was. So it is with judging: a rule on an item is judged again where anything moved that it looked at, be it an
 * input, a word by which it selects, or what bounds an unknown. Where only some rules on some items are asked for, what
 * none of them rests on is left out altogether.
 *
 * A look that nobody has seen before is learnt. Everything is done again where the items are not the same, where
 * computing adds a first contradiction, where something is owed in one case only (whose traces are followed by where
 * they are), and in a unit larger than WORKS_ITEMS.
 */
#ifndef LEANRICH_LINEAGE_H
#define LEANRICH_LINEAGE_H

#include "judge/catalogue.h"
#include "pipeline/compute_unit.h"

struct lineage; /* opaque; in the arena, as is all it knows */

struct lineage *lineage_new(struct arena *arena);

/*
 * Watches the unit as it is: the table that computing begins with, each module, then its judging. Once; the arena of
 * the table has to live as long as the lineage. Until lineage_rest what is done with the table is told to the lineage.
 */
void lineage_watch(struct lineage *lineage, struct table *table);
void lineage_run(struct lineage *lineage, size_t module);
void lineage_enter(struct lineage *lineage, size_t module);
void lineage_leave(struct lineage *lineage);
void lineage_judging(struct lineage *lineage);
void lineage_rest(struct lineage *lineage);

/* As compute_table with the sulfide analysis, watched up to judging. */
const struct table *lineage_learn(struct lineage *lineage, struct arena *arena, const struct table *resolved);

/*
 * As compute_table with the sulfide analysis, of the same unit with other values; to be judged beside the unit as it is
 * (judge_verdicts), before anything else is asked of the lineage. NULL lineage: anew.
 */
const struct table *lineage_vary(struct lineage *lineage, struct arena *arena, const struct table *resolved);

/*
 * The same table as far as it takes to judge the rules on the items that were asked for since lineage_ask_nothing.
 * False, NULL: it is not known what they rest on.
 */
void lineage_ask_nothing(struct lineage *lineage);
bool lineage_ask(struct lineage *lineage, const struct rule *rule, const struct item *item);
const struct table *lineage_table(struct lineage *lineage, struct arena *arena, const struct table *resolved);

/* Did anything look at what is not in the last lineage_table and may have to be? Then it is learnt for the next. */
bool lineage_misled(const struct lineage *lineage);

#endif
