#include "pipeline/stages.h"

#include <string.h>

#include "judge/claims.h"
#include "pipeline/compute_unit.h"
#include "pipeline/assumed.h"
#include "pipeline/unsettled.h"
#include "reconcile/finding.h"
#include "resolve/resolve.h"
#include "sulfide/lean_side.h"

/* ---- read, resolve, check ---- */

/* A deviation from a rule that is not in the catalogue would silently accept nothing. */
static void check_deviations(const struct table *table, const struct catalogue *catalogue, struct problems *problems)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		const struct quantity *rule = table_get(table, item, EVERY_CASE, "rule");
		if (!item_is(item, "deviation") || !rule || !rule->word || catalogue_rule(catalogue, rule->word))
			continue;
		const char *nearest = catalogue_nearest_rule(catalogue, problems->arena, rule->word);
		problem_add(problems, PROBLEM_NO_SUCH_RULE, rule->place,
			"there is no rule '%s'%s%s%s; `leanrich rules` lists them", rule->word,
			nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
	}
}

/* `before`: the faults there were before the description was read. */
static bool resolve_and_check(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	struct problems *problems, size_t before, struct resolved_unit *out)
{
	*out = (struct resolved_unit){.unit = unit, .table = unit ? resolve(arena, unit, problems) : NULL};
	if (out->table)
		check_deviations(out->table, catalogue, problems);
	if (unit)
		claims_check(unit, out->table, catalogue, problems);
	return out->table && problems->count == before;
}

bool stages_read(struct arena *arena, const char *name, const struct text *bytes, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct problems *problems, struct resolved_unit *out)
{
	size_t before = problems->count;
	const struct element *unit = element_parse(arena, name, bytes->data, bytes->length, vocabulary, problems);
	return resolve_and_check(arena, unit, catalogue, problems, before, out);
}

bool stages_read_file(struct arena *arena, const char *path, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct problems *problems, struct resolved_unit *out)
{
	size_t before = problems->count;
	const struct element *unit = element_read(arena, path, vocabulary, problems);
	return resolve_and_check(arena, unit, catalogue, problems, before, out);
}

/* ---- compute, judge, record ---- */

const struct review *stages_review(
	struct arena *arena, const char *path, const struct resolved_unit *unit, const struct catalogue *catalogue)
{
	const struct table *table = compute_table(arena, unit->table, ANALYSES_ALL);
	struct judgement judgement = judge(arena, catalogue, table, EVERY_CASE);
	judgement = unsettled_weigh(arena, unit->unit, catalogue, table, NULL, judgement, EVERY_CASE);
	judgement = assumed_weigh(arena, unit->unit, catalogue, table, NULL, judgement, EVERY_CASE);
	return review_make(arena, path, table, NULL, NULL, catalogue, judgement);
}

/* ---- variants ---- */

static bool reads_any(const struct rule *rule, const char *const *names)
{
	bool reads = false;
	for (size_t i = 0; names[i]; i++)
		reads = reads || rule_reads(rule, names[i]);
	return reads;
}

enum analyses stages_analyses_of(const struct rule *rule)
{
	return reads_any(rule, reconcile_names)	   ? ANALYSES_ALL
		: reads_any(rule, lean_side_names) ? ANALYSES_SULFIDE
						   : ANALYSES_NONE;
}

struct table *stages_resolve(struct arena *arena, const struct element *unit, struct problems *problems)
{
	size_t before = problems->count;
	struct table *resolved = resolve(arena, unit, problems);
	return problems->count == before ? resolved : NULL;
}

const struct table *stages_table(
	struct arena *arena, const struct element *unit, enum analyses analyses, struct problems *problems)
{
	const struct table *resolved = stages_resolve(arena, unit, problems);
	return resolved ? compute_table(arena, resolved, analyses) : NULL;
}

struct assessed stages_judge(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems)
{
	struct assessed assessed = {.table = stages_table(arena, unit, ANALYSES_ALL, problems)};
	if (assessed.table)
		assessed.judgement = judge(arena, catalogue, assessed.table, EVERY_CASE);
	return assessed;
}
