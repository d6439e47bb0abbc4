#include "judge/outcomes.h"

#include "base/text.h"
#include "judge/wording.h"

/* ---- causes ---- */

static bool same_value(const struct quantity *a, const struct quantity *b)
{
	return a == b ||
		(a->known == b->known && a->bound == b->bound && !(a->si < b->si) && !(a->si > b->si) &&
			text_same(a->word, b->word));
}

/* Of an assertion: the inputs it cites that are known and other than in the worst case; "" where there are none. */
static const char *other_inputs(struct arena *arena, const struct finding *one, const struct finding *worst)
{
	const struct rule *rule = one->rule;
	struct text text = text_in(arena);
	for (size_t i = 0; i < one->input_count; i++) {
		const struct quantity *value = one->inputs[i].quantity;
		if ((rule->assertion->cites >> i & 1) && value->known != UNKNOWN &&
			!same_value(value, worst->inputs[i].quantity))
			text_addf(&text, "%s%s %s", text.length ? ", " : "", rule->inputs[i].quantity,
				quantity_show_both(arena, value));
	}
	return text.length ? text.data : "";
}

static const char *other_cause(struct arena *arena, const struct finding *one, const struct finding *worst)
{
	const struct limit *limit = one->governing ? one->governing->limit : NULL;
	const struct limit *other = worst->governing ? worst->governing->limit : NULL;
	if (one->verdict != VERDICT_DEPARTS || one->operating_case == worst->operating_case)
		return "";
	if (one->rule->assertion)
		return other_inputs(arena, one, worst);
	return limit && limit != other ? wording_limit(arena, limit) : "";
}

/* ---- keeping ---- */

void outcomes_keep(struct arena *arena, const struct finding *by_case, size_t count, bool alike, struct finding *worst)
{
	bool other = false;
	if (worst->verdict != VERDICT_DEPARTS || count < 2)
		return;
	for (size_t i = 0; i < count; i++)
		other = other || *other_cause(arena, &by_case[i], worst);
	if (alike && !other)
		return;
	struct outcome *rows = arena_alloc(arena, count * sizeof *rows);
	uint32_t kept = 0;
	for (size_t i = 0; i < count; i++)
		if (i == 0 || by_case[i].verdict == VERDICT_DEPARTS)
			rows[kept++] = (struct outcome){.operating_case = by_case[i].operating_case,
				.verdict = by_case[i].verdict,
				.value = by_case[i].value,
				.cause = other_cause(arena, &by_case[i], worst)};
	if (kept == 1 && rows[0].operating_case == worst->operating_case)
		return; /* it says no more than the finding */
	worst->cases = rows;
	worst->outcome_count = kept;
}

/* ---- words ---- */

/* Does the finding itself speak of it: no departure, its own case, or one like all others? */
static bool is_told_by(const struct finding *finding, const struct outcome *row)
{
	return row->verdict != VERDICT_DEPARTS || row->operating_case == finding->operating_case ||
		(finding->operating_case == EVERY_CASE && !*row->cause);
}

const char *outcomes_words(struct arena *arena, const struct finding *finding, const struct table *table, bool others)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < finding->outcome_count; i++) {
		const struct outcome *row = &finding->cases[i];
		if (others && is_told_by(finding, row))
			continue;
		text_addf(&text, "%s%s: ", text.length ? "; " : "", table_case(table, row->operating_case)->title);
		if (row->value)
			text_addf(&text, "%s, ", quantity_show_both(arena, row->value));
		text_addf(&text, "%s%s%s", verdict_word(row->verdict),
			!*row->cause			   ? ""
				: finding->rule->assertion ? ", with "
							   : ", from ",
			row->cause);
	}
	return text.length ? text.data : NULL;
}
