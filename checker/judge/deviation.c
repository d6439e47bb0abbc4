#include "judge/deviation.h"

#include <string.h>

#include "base/text.h"

const char DEVIATION_STATE[] = "deviation-state";

const char *deviation_word(enum deviation_state state)
{
	static const char *const words[] = {"applies", "lapsed", "matches nothing"};
	return words[state];
}

/* ISO dates compare as text. A deviation without a date, or a unit without one, does not lapse here. */
static bool in_force(const struct table *table, const struct item *deviation)
{
	const char *until = table_word(table, deviation, EVERY_CASE, "until");
	const struct item *unit = table_sole(table, "unit");
	const char *today = unit ? table_word(table, unit, EVERY_CASE, "date") : NULL;
	return !until || !today || strcmp(today, until) <= 0;
}

void deviation_accept(const struct table *table, struct finding *finding)
{
	struct items deviations = table_of_kind(table, "deviation");
	for (size_t i = 0; finding->verdict == VERDICT_DEPARTS && i < deviations.count; i++) {
		const struct item *deviation = deviations.rows[i];
		if (!in_force(table, deviation))
			continue;
		const char *rule = table_word(table, deviation, EVERY_CASE, "rule");
		const char *item = table_word(table, deviation, EVERY_CASE, "item");
		if (text_same(rule, finding->rule->id) && text_same(item, finding->item->tag)) {
			finding->verdict = VERDICT_ACCEPTED;
			finding->deviation = deviation;
		}
	}
}

static bool is_for(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	return text_same(finding->rule->id, table_word(table, deviation, EVERY_CASE, "rule")) &&
		text_same(finding->item->tag, table_word(table, deviation, EVERY_CASE, "item"));
}

enum deviation_state deviation_state_of(
	const struct table *table, const struct judgement *judgement, const struct item *deviation)
{
	enum deviation_state state = DEVIATION_MATCHES_NOTHING;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->deviation == deviation)
			return DEVIATION_APPLIES;
		if (finding->verdict == VERDICT_DEPARTS && is_for(table, deviation, finding))
			state = DEVIATION_LAPSED;
	}
	return state;
}

const struct table *deviations_told(struct arena *arena, const struct table *table, const struct judgement *judgement)
{
	struct table *told = table_over(arena, table);
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (strcmp(item->kind, "deviation") == 0)
			table_put(told, item, EVERY_CASE, DEVIATION_STATE,
				quantity_assumed_word(arena, KIND_WORD,
					deviation_word(deviation_state_of(table, judgement, item)),
					"from the findings it is for, and the date of the description"));
	}
	return told;
}

bool deviation_is_asked_by(const struct rule *rule)
{
	for (size_t i = 0; i < rule->input_count; i++)
		if (strcmp(rule->inputs[i].quantity, DEVIATION_STATE) == 0)
			return true;
	return false;
}
