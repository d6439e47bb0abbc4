/* Operating limits beside the limits of the catalogue, and claims beside each other. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/answers.h"
#include "judge/claim_figure.h"
#include "judge/claim_subject.h"
#include "judge/wording.h"

/* ---- beside the catalogue ---- */

static bool is_looser(const struct figures *figures, const struct limit_result *row)
{
	const double equal = 1e-9; /* of the larger: 1.8 wt% and 18000 ppmw are one */
	bool at_most = row->limit->relation == RELATION_AT_MOST || row->limit->relation == RELATION_BELOW;
	double own = at_most ? figures->most : figures->least, over = at_most ? own - row->at : row->at - own;
	return !isnan(own) && over > equal * fmax(fabs(own), fabs(row->at));
}

/* Has the limit a figure on the side on which it states one? */
static bool is_comparable(const struct figures *figures, const struct limit_result *row)
{
	bool at_most = row->limit->relation == RELATION_AT_MOST || row->limit->relation == RELATION_BELOW;
	return !isnan(at_most ? figures->most : figures->least);
}

static void beside_finding(const struct table *table, struct answer *answer, const struct finding *finding)
{
	const struct limit_result *row = finding->governing;
	struct figures figures = claim_figures(table, answer->claim, row->limit->value.kind);
	if (row->limit->says || !is_comparable(&figures, row))
		return;
	bool looser = is_looser(&figures, row);
	if (!looser) {
		if (strcmp(answer->beside, "looser") != 0)
			answer->beside = "not looser";
		return;
	}
	if (strcmp(answer->beside, "looser") == 0 && answer->looser_force <= finding->force)
		return;
	answer->beside = "looser";
	answer->looser_force = finding->force;
	answer->looser_than = arena_format(table_arena(table), "%s for %s, %s", finding->rule->id, finding->item->tag,
		wording_limit(table_arena(table), row->limit));
}

static void beside_catalogue(const struct table *table, const struct judgement *judgement, struct answer *answer)
{
	const char *name = table_word(table, answer->claim, EVERY_CASE, "quantity");
	if (!item_is(answer->claim, "operating-limit") || !name)
		return;
	struct subjects subjects = claim_subjects(table, answer->claim, name);
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (!finding->governing || !rule_judges(finding->rule, name))
			continue;
		for (size_t k = 0; k < subjects.count; k++)
			if (subjects.rows[k] == finding->item)
				beside_finding(table, answer, finding);
	}
}

/* ---- beside each other ---- */

static bool speak_of_one_case(const struct table *table, const struct item *a, const struct item *b)
{
	for (int c = 0; c < (int)table_case_count(table); c++)
		if (claim_is_for_case(table, a, c) && claim_is_for_case(table, b, c))
			return true;
	return false;
}

/* The first item that both speak of, or NULL. */
static const struct item *in_common(const struct subjects *a, const struct subjects *b)
{
	for (size_t i = 0; i < a->count; i++)
		for (size_t k = 0; k < b->count; k++)
			if (a->rows[i] == b->rows[k])
				return a->rows[i];
	return NULL;
}

/* Some value of the kind of `value` that both allow there is not. Words: none of the one is among those of the other. */
static bool exclude(const struct table *table, const struct item *a, const struct item *b, const struct quantity *value)
{
	struct figures one = claim_figures(table, a, value->kind), other = claim_figures(table, b, value->kind);
	if (one.is && other.is) {
		const struct quantity word = {
			.known = STATED, .kind = KIND_TEXT, .word = other.is, .bound = BOUND_NONE};
		return !strchr(other.is, '|') && figures_hold(&one, &word).holds == NO;
	}
	double least = fmax(one.least, other.least), most = fmin(one.most, other.most);
	return least > most;
}

static const struct quantity *any_value(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_get(table, item, EVERY_CASE, name);
	for (int c = 0; !value && c < (int)table_case_count(table); c++)
		value = table_get(table, item, c, name);
	return value;
}

static bool contradict(const struct table *table, const struct item *a, const struct item *b)
{
	const char *name = table_word(table, a, EVERY_CASE, "quantity");
	if (!name || !text_same(name, table_word(table, b, EVERY_CASE, "quantity")) || !speak_of_one_case(table, a, b))
		return false;
	struct subjects one = claim_subjects(table, a, name), other = claim_subjects(table, b, name);
	const struct item *item = in_common(&one, &other);
	const struct quantity *value = item ? any_value(table, item, name) : NULL;
	return value && exclude(table, a, b, value);
}

void answers_beside(const struct table *table, const struct judgement *judgement, struct answers *answers)
{
	struct arena *arena = table_arena(table);
	for (size_t i = 0; i < answers->count; i++) {
		struct answer *answer = &answers->rows[i];
		beside_catalogue(table, judgement, answer);
		for (size_t k = 0; k < i; k++) /* a pair is told of once, of the later */
			if (strcmp(answer->against, "none") == 0 &&
				contradict(table, answer->claim, answers->rows[k].claim))
				answer->against = arena_format(arena, "line %d, %s", answers->rows[k].claim->place.line,
					answers->rows[k].words);
	}
}
