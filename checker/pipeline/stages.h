/*
 * The stages in their order, for every command: read, resolve, check; then compute, judge, make the record. A command that has
 * something to say between two of them calls them one by one.
 */
#ifndef LEANRICH_STAGES_H
#define LEANRICH_STAGES_H

#include "base/problem.h"
#include "base/text.h"
#include "judge/catalogue.h"
#include "pipeline/compute_unit.h"
#include "read/element.h"
#include "record/review.h"

/* A description without faults: as written, and what it states. */
struct resolved_unit {
	const struct element *unit;
	const struct table *table;
};

/*
 * Read, resolve, check: faults of structure, of values and references, deviations from rules that the catalogue does not have, and
 * claims on what no item has are told in one run. False after any fault. `name` is the file in them; `bytes` must end in NUL.
 */
bool stages_read(struct arena *arena, const char *name, const struct text *bytes, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct problems *problems, struct resolved_unit *out);

/* The same of a file, or of standard input ("-"). */
bool stages_read_file(struct arena *arena, const char *path, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct problems *problems, struct resolved_unit *out);

/*
 * Compute, judge, record. `path` names the file in the record, which is without the sulfide analysis and the reconciled circuit: of
 * those only the table has what rules cite. It is for findings and counts, not for a review document.
 */
const struct review *stages_review(
	struct arena *arena, const char *path, const struct resolved_unit *unit, const struct catalogue *catalogue);

/* ---- the variants of a description that was checked (revamp/variant.h) ---- */

/* A description judged, without the record. Everything is in the arena it was made in. */
struct assessed {
	const struct table *table; /* NULL: the description has faults */
	struct judgement judgement;
};

/* Resolve, compute, judge. Faults go to `problems`. */
struct assessed stages_judge(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems);

/* Resolve alone; NULL after faults. */
struct table *stages_resolve(struct arena *arena, const struct element *unit, struct problems *problems);

/* Resolve and compute alone; NULL after faults. */
const struct table *stages_table(
	struct arena *arena, const struct element *unit, enum analyses analyses, struct problems *problems);

/* Which of the analyses the rule cites, so that it cannot be judged without. */
enum analyses stages_analyses_of(const struct rule *rule);

#endif
