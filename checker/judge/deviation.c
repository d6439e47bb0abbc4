#include "judge/deviation.h"

#include <string.h>

#include "base/count.h"
#include "base/date.h"
#include "base/text.h"
#include "judge/claim_figure.h"

const char DEVIATION_STATE[] = "deviation-state", DEVIATION_LACKS[] = "deviation-lacks";

const char *deviation_word(enum deviation_state state)
{
	static const char *const words[] = {"applies", "lapsed", "matches nothing", "incomplete", "beyond its cap",
		"its cap cannot be checked", "departs in another case"};
	return words[state];
}

/* What makes an acceptance of it, in the order in which it is asked for. */
static const struct {
	const char *name, *words;
} parts[] = {{"because", "its reason"}, {"approved", "its approver"}, {"until", "its expiry date"}};
enum { PARTS = COUNT(parts) };

static bool is_stated(const struct table *table, const struct item *deviation, const char *name)
{
	const char *word = table_word(table, deviation, EVERY_CASE, name);
	return word && word[strspn(word, " \t\r\n")] != '\0';
}

static bool is_complete(const struct table *table, const struct item *deviation)
{
	size_t stated = 0;
	for (size_t i = 0; i < PARTS; i++)
		stated += is_stated(table, deviation, parts[i].name);
	return stated == PARTS;
}

const char *deviation_lacks(struct arena *arena, const struct table *table, const struct item *deviation)
{
	const char *lacking[PARTS];
	size_t count = 0;
	struct text text = text_in(arena);
	for (size_t i = 0; i < PARTS; i++)
		if (!is_stated(table, deviation, parts[i].name))
			lacking[count++] = parts[i].words;
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s%s", i == 0 ? "" : i + 1 == count ? " and " : ", ", lacking[i]);
	return count ? text.data : "nothing";
}

/* It lapses when what it names is over: of a year alone, with the year. In a unit without a date none lapses here. */
static bool in_force(const struct table *table, const struct item *deviation)
{
	const char *until = table_word(table, deviation, EVERY_CASE, "until");
	const struct item *unit = table_sole(table, "unit");
	const char *today = unit ? table_word(table, unit, EVERY_CASE, "date") : NULL;
	struct date end, now;
	return is_complete(table, deviation) &&
		(!today || (date_read(until, &end) && date_read(today, &now) && !date_is_before(&end, &now)));
}

static bool is_for(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	return text_same(finding->rule->id, table_word(table, deviation, EVERY_CASE, "rule")) &&
		text_same(finding->item->tag, table_word(table, deviation, EVERY_CASE, "item"));
}

/* ---- up to which value, and in which case ---- */

static bool has_cap(const struct table *table, const struct item *deviation)
{
	return table_word(table, deviation, EVERY_CASE, "at-least") ||
		table_word(table, deviation, EVERY_CASE, "at-most");
}

static enum truth within(const struct table *table, const struct item *deviation, const struct quantity *value)
{
	if (!value || value->known == UNKNOWN)
		return PERHAPS;
	struct figures figures = claim_figures(table, deviation, value->kind);
	return figures_hold(&figures, value).holds;
}

/* Every case in which it departs. */
static enum truth within_cap(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	if (!has_cap(table, deviation))
		return YES;
	enum truth all = within(table, deviation, finding->value);
	for (size_t i = 0; i < finding->outcome_count; i++)
		if (finding->cases[i].verdict == VERDICT_DEPARTS)
			all = truth_and(all, within(table, deviation, finding->cases[i].value));
	return all;
}

static bool departs_elsewhere(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	const char *named = table_word(table, deviation, EVERY_CASE, "case");
	if (!named || (finding->operating_case == EVERY_CASE && table_case_count(table) == 1))
		return false;
	bool elsewhere = finding->operating_case == EVERY_CASE ||
		!text_same(table_case(table, finding->operating_case)->id, named);
	for (size_t i = 0; i < finding->outcome_count; i++)
		elsewhere = elsewhere ||
			(finding->cases[i].verdict == VERDICT_DEPARTS &&
				!text_same(table_case(table, finding->cases[i].operating_case)->id, named));
	return elsewhere;
}

/* What a deviation for this departure comes to. */
static enum deviation_state state_for(
	const struct table *table, const struct item *deviation, const struct finding *finding)
{
	if (!in_force(table, deviation))
		return DEVIATION_LAPSED;
	if (departs_elsewhere(table, deviation, finding))
		return DEVIATION_OTHER_CASE;
	enum truth held = within_cap(table, deviation, finding);
	return held == YES ? DEVIATION_APPLIES : held == NO ? DEVIATION_BEYOND_CAP : DEVIATION_CAP_OPEN;
}

void deviation_accept(const struct table *table, struct finding *finding)
{
	struct items deviations = table_of_kind(table, "deviation");
	for (size_t i = 0; finding->verdict == VERDICT_DEPARTS && i < deviations.count; i++) {
		const struct item *deviation = deviations.rows[i];
		if (in_force(table, deviation) && is_for(table, deviation, finding) &&
			state_for(table, deviation, finding) == DEVIATION_APPLIES) {
			finding->verdict = VERDICT_ACCEPTED;
			finding->deviation = deviation;
		}
	}
}

const struct finding *deviation_finding(
	const struct table *table, const struct judgement *judgement, const struct item *deviation)
{
	const struct finding *found = NULL;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->deviation == deviation)
			return finding;
		if (finding->verdict == VERDICT_DEPARTS && is_for(table, deviation, finding))
			found = finding;
	}
	return found;
}

enum deviation_state deviation_state_of(
	const struct table *table, const struct judgement *judgement, const struct item *deviation)
{
	if (!is_complete(table, deviation))
		return DEVIATION_INCOMPLETE;
	const struct finding *finding = deviation_finding(table, judgement, deviation);
	if (!finding)
		return DEVIATION_MATCHES_NOTHING;
	return finding->deviation == deviation ? DEVIATION_APPLIES : state_for(table, deviation, finding);
}

struct table *deviations_in_table(struct arena *arena, const struct table *table, const struct judgement *judgement)
{
	static const char basis[] = "from the findings it is for, and the date of the description";
	struct table *told = table_overlay(arena, table);
	struct items deviations = table_of_kind(table, "deviation");
	for (size_t i = 0; i < deviations.count; i++) {
		const struct item *item = deviations.rows[i];
		const char *state = deviation_word(deviation_state_of(table, judgement, item));
		table_put(
			told, item, EVERY_CASE, DEVIATION_STATE, quantity_assumed_word(arena, KIND_WORD, state, basis));
		table_put(told, item, EVERY_CASE, DEVIATION_LACKS,
			quantity_assumed_word(arena, KIND_TEXT, deviation_lacks(arena, table, item),
				"from the record of the deviation"));
	}
	return told;
}
