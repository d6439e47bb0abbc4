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
		"its cap cannot be checked", "departs in another case", "one of several places"};
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

/* ---- a finding on the unit that lists places ---- */

/* The next of "A, B, C" as an item; `at` moves on. NULL: it is none, or the list is at its end, which makes `at` NULL. */
static const struct item *next_listed(const struct table *table, const char **at)
{
	const char *end = strstr(*at, ", "), *from = *at;
	size_t length = end ? (size_t)(end - from) : strlen(from);
	*at = end ? end + 2 : NULL;
	return table_find(table, arena_copy_span(table_arena(table), from, length));
}

/* The text among its inputs that lists items and nothing else, or NULL. */
static const char *listed_by(const struct table *table, const struct finding *finding)
{
	for (size_t i = 0; item_is(finding->item, "unit") && i < finding->input_count; i++) {
		const struct quantity *input = finding->inputs[i].quantity;
		const char *at = input && input->known != UNKNOWN && input->kind == KIND_TEXT ? input->word : NULL;
		bool places = at != NULL;
		while (places && at)
			places = next_listed(table, &at) != NULL;
		if (places)
			return input->word;
	}
	return NULL;
}

bool finding_lists(const struct table *table, const struct finding *finding, const struct item *item)
{
	bool listed = false;
	for (const char *at = listed_by(table, finding); at && !listed;)
		listed = next_listed(table, &at) == item;
	return listed;
}

static bool is_for_rule(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	return text_same(finding->rule->id, table_word(table, deviation, EVERY_CASE, "rule"));
}

static const struct item *item_of(const struct table *table, const struct item *deviation)
{
	const char *tag = table_word(table, deviation, EVERY_CASE, "item");
	return tag ? table_find(table, tag) : NULL;
}

static bool is_for(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	return is_for_rule(table, deviation, finding) &&
		(text_same(finding->item->tag, table_word(table, deviation, EVERY_CASE, "item")) ||
			finding_lists(table, finding, item_of(table, deviation)));
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

/* Is there a deviation for this place that holds? */
static bool is_covered(const struct table *table, const struct finding *finding, const struct item *place)
{
	struct items deviations = table_of_kind(table, "deviation");
	for (size_t i = 0; place && i < deviations.count; i++)
		if (is_for_rule(table, deviations.rows[i], finding) && item_of(table, deviations.rows[i]) == place &&
			in_force(table, deviations.rows[i]) && !departs_elsewhere(table, deviations.rows[i], finding) &&
			within_cap(table, deviations.rows[i], finding) == YES)
			return true;
	return false;
}

/* A deviation for one place leaves the others open; one for the item of the finding covers it. */
static bool covers(const struct table *table, const struct item *deviation, const struct finding *finding)
{
	bool all = true;
	if (item_of(table, deviation) == finding->item)
		return true;
	for (const char *at = listed_by(table, finding); at && all;)
		all = is_covered(table, finding, next_listed(table, &at));
	return all;
}

/* What a deviation for this departure comes to. */
static enum deviation_state state_for(
	const struct table *table, const struct item *deviation, const struct finding *finding)
{
	if (!in_force(table, deviation))
		return DEVIATION_LAPSED;
	if (departs_elsewhere(table, deviation, finding))
		return DEVIATION_OTHER_CASE;
	if (!covers(table, deviation, finding))
		return DEVIATION_IN_PART;
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
		bool shared = finding->verdict == VERDICT_ACCEPTED && item_is(finding->item, "unit");
		if ((finding->verdict == VERDICT_DEPARTS || shared) && is_for(table, deviation, finding))
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
