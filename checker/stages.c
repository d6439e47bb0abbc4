#include "stages.h"

#include <string.h>

#include "judge/claims.h"
#include "reconcile/finding.h"
#include "resolve/resolve.h"
#include "state.h"
#include "sulfide/lean_side.h"
#include "unsettled.h"

bool stages_reads_analyses(const struct rule *rule)
{
	bool reads = false;
	for (size_t i = 0; lean_side_names[i]; i++)
		reads = reads || rule_reads(rule, lean_side_names[i]);
	for (size_t i = 0; reconcile_names[i]; i++)
		reads = reads || rule_reads(rule, reconcile_names[i]);
	return reads;
}

const struct table *stages_table(
	struct arena *arena, const struct element *unit, bool analyses, struct problems *problems)
{
	size_t before = problems->count;
	const struct table *resolved = resolve(arena, unit, problems);
	return resolved && problems->count == before ? state_table(arena, resolved, analyses) : NULL;
}

void stages_check_deviations(const struct table *table, const struct catalogue *catalogue, struct problems *problems)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		const struct quantity *rule = table_get(table, item, EVERY_CASE, "rule");
		if (strcmp(item->kind, "deviation") != 0 || !rule || !rule->word ||
			catalogue_rule(catalogue, rule->word))
			continue;
		const char *nearest = catalogue_nearest_rule(catalogue, problems->arena, rule->word);
		problem_add(problems, PROBLEM_NO_SUCH_RULE, rule->place,
			"there is no rule '%s'%s%s%s; `leanrich rules` lists them", rule->word,
			nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
	}
}

struct assessed stages_judge(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems)
{
	struct assessed assessed = {.table = stages_table(arena, unit, true, problems)};
	if (assessed.table)
		assessed.judgement = judge(arena, catalogue, assessed.table, EVERY_CASE);
	return assessed;
}

const struct review *stages_review(struct arena *arena, const char *path, const struct element *unit,
	const struct catalogue *catalogue, struct problems *problems)
{
	size_t before = problems->count;
	const struct table *resolved = resolve(arena, unit, problems);
	if (resolved)
		stages_check_deviations(resolved, catalogue, problems);
	claims_check(unit, resolved, catalogue, problems);
	if (!resolved || problems->count != before)
		return NULL;
	struct state state = {.table = state_table(arena, resolved, true)};
	struct judgement judgement = judge(arena, catalogue, state.table, EVERY_CASE);
	judgement = unsettled_weigh(arena, unit, catalogue, state.table, judgement, EVERY_CASE);
	return review_make(arena, path, state, catalogue, judgement);
}
