#include "judge/screening.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/formula.h"
#include "compute/no_data.h"

bool screening_is_balance(const struct rule *rule)
{
	return strcmp(rule->family, "balance") == 0 ||
		(rule->judged >= 0 && text_ends(rule->inputs[rule->judged].quantity, "-difference"));
}

/* The first condition at the root of a value that is stated for the normal case only: "flow of rich". */
static const char *assumed_in(struct arena *arena, const struct input *input)
{
	const struct quantity *quantity = input->quantity;
	if (!quantity || !quantity->of_normal)
		return NULL;
	for (size_t i = 0; i < quantity->input_count; i++) {
		const char *deeper = assumed_in(arena, &quantity->inputs[i]);
		if (deeper)
			return deeper;
	}
	return input_name(arena, input);
}

/*
 * A case that states nothing for a condition takes the normal one. A balance of such with what the case does state may fail to
 * close for that reason alone.
 */
const char *screening_assumed(const struct evaluation *evaluation)
{
	const struct table *table = evaluation->context->table;
	const bool concerned = evaluation->operating_case > 0 && screening_is_balance(evaluation->rule);
	for (size_t i = 0; concerned && i < evaluation->rule->input_count; i++) {
		const struct quantity *value = evaluation->values[i];
		if (!quantity_is_mixed(value))
			continue;
		return arena_format(evaluation->context->arena, "%s is assumed as in %s, since %s states none",
			assumed_in(evaluation->context->arena,
				&(struct input){.name = evaluation->rule->inputs[i].quantity, .quantity = value}),
			table_case(table, 0)->id, table_case(table, evaluation->operating_case)->id);
	}
	return NULL;
}

/* That two sides of a balance disagree stays as sure as it was. */
bool screening_names_slip(const struct evaluation *evaluation)
{
	const bool balance = screening_is_balance(evaluation->rule);
	for (size_t i = 0; !balance && i < evaluation->rule->input_count; i++) {
		const struct rule_input *input = &evaluation->rule->inputs[i];
		bool text = input->accepted.kinds[0] == KIND_TEXT && evaluation->values[i]->known != UNKNOWN &&
			evaluation->values[i] != input->absent;
		if (text && (strcmp(input->quantity, "slip") == 0 || text_ends(input->quantity, "-slip")))
			return true;
	}
	return false;
}

/* What is judged or asserted is a figure of a chemistry of which no data were read. */
const char *screening_without_data(const struct evaluation *evaluation)
{
	const char *words = evaluation->context->no_data;
	const struct rule *rule = evaluation->rule;
	bool reached = words && rule->judged >= 0 && no_data_reaches(evaluation->values[rule->judged]);
	for (size_t i = 0; words && rule->assertion && i < rule->input_count && !reached; i++)
		reached = (rule->assertion->cites >> i & 1) && no_data_reaches(evaluation->values[i]);
	return reached ? words : NULL;
}

/* ---- texts that were not read ---- */

/* How far a figure kept in memory, or quoted by another, may be from what its source says: a choice of this program. */
static const double MISQUOTED = 0.2, MISQUOTED_KELVIN = 20;

static bool is_text(const struct limit *limit)
{
	return limit->source && limit->source->named &&
		(limit->reading == READING_MEMORY || limit->reading == READING_SECONDARY);
}

static bool is_sure(const struct limit *limit)
{
	bool read = limit->reading == READING_READ && limit->source && limit->source->named;
	return read || limit->evidence == EVIDENCE_PHYSICS;
}

/* Is the value beyond the figure, or inside it, by more than that can be misquoted and the value be wrong? */
static bool is_far_from(const struct limit_result *row, const struct quantity *value)
{
	if (!row || !value || row->limit->says || !is_text(row->limit))
		return false;
	double misquoted = row->limit->value.kind == KIND_TEMPERATURE ? MISQUOTED_KELVIN : MISQUOTED * fabs(row->at);
	return fabs(row->margin) > misquoted + quantity_reach(value, row->at);
}

bool screening_text_could_turn(const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	const char *author = NULL;
	bool any = false;
	for (size_t i = 0; i < evaluation->limit_count; i++) {
		const struct limit_result *row = &evaluation->limits[i];
		if (!row->applied || row->limit->context)
			continue;
		any = true;
		if (row->met != evaluation->result)
			continue;
		if (is_sure(row->limit))
			return false;
		if (!is_text(row->limit))
			continue;
		if (author && !text_same(author, row->limit->source->author))
			return false;
		author = row->limit->source->author;
	}
	return any && !is_far_from(evaluation->governing, rule->judged >= 0 ? evaluation->values[rule->judged] : NULL);
}

/* ---- at another correlation ---- */

bool screening_has_second(const struct evaluation *evaluation)
{
	bool any = false;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		any = any || evaluation->values[i]->second;
	return any;
}

/* "-0.20 bar by this program, 0.45 bar by Kent and Eisenberg 1976: it departs by one of the two only" */
const char *screening_by_one_only(const struct evaluation *evaluation)
{
	struct arena *arena = evaluation->context->arena;
	const struct quantity *own = NULL;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (evaluation->values[i]->second && (!own || (int)i == evaluation->rule->judged))
			own = evaluation->values[i];
	if (!own)
		return NULL;
	return arena_format(arena, "%s by the chemistry of this program, %s by %s: it departs by one of the two only",
		quantity_show_first(arena, own), quantity_show_first(arena, own->second), own->second->formula->name);
}
