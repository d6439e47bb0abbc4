#include "record/workings.h"

#include <string.h>

#include "record/columns.h"

struct collecting {
	struct arena *arena;
	struct working *rows;
	size_t count, capacity;
};

/* The same number, calculated anew for another item or case from the same inputs, is printed once. */
static bool is_same_working(const struct working *row, const struct input *value)
{
	const struct quantity *other = row->value.quantity, *quantity = value->quantity;
	if (other == quantity)
		return true;
	if (other->formula != quantity->formula || other->si != quantity->si ||
		strcmp(row->value.name, value->name) != 0 || other->input_count != quantity->input_count)
		return false;
	for (size_t i = 0; i < quantity->input_count; i++) {
		const struct quantity *a = other->inputs[i].quantity, *b = quantity->inputs[i].quantity;
		if (a != b &&
			(a->known != STATED || b->known != STATED || a->place.file || b->place.file || a->si != b->si))
			return false;
	}
	return true;
}

static void add_working(
	struct collecting *workings, const struct item *item, int operating_case, const struct input *value)
{
	const struct quantity *quantity = value->quantity;
	if (!quantity || quantity->known != COMPUTED)
		return;
	for (size_t i = 0; i < workings->count; i++)
		if (is_same_working(&workings->rows[i], value))
			return;
	for (size_t i = 0; i < quantity->input_count; i++)
		add_working(workings, item, operating_case, &quantity->inputs[i]);
	workings->rows = arena_grow(
		workings->arena, workings->rows, workings->count, &workings->capacity, sizeof *workings->rows);
	workings->rows[workings->count++] =
		(struct working){.item = item, .operating_case = operating_case, .value = *value};
}

bool working_assumes(const struct working *working, const struct input *input)
{
	return working->operating_case > 0 && quantity_is_mixed(working->value.quantity) &&
		input->quantity->of_normal && !input->quantity->of_case;
}

const char *working_assumption(
	struct arena *arena, const struct table *table, const struct working *working, const struct input *input)
{
	if (!working_assumes(working, input))
		return NULL;
	return arena_format(arena, "assumed as in %s, since %s states none", table_case(table, 0)->id,
		table_case(table, working->operating_case)->id);
}

static bool is_shown(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_ACCEPTED ||
		(finding->verdict == VERDICT_MEETS && finding->governing && finding->governing->borderline);
}

/* What the columns give is always shown. */
static void add_columns(struct collecting *workings, const struct table *table)
{
	struct items regenerators = table_of_kind(table, "regenerator");
	for (size_t i = 0; i < regenerators.count; i++)
		for (int c = 0; c < (int)table_case_count(table); c++)
			for (size_t k = 0; column_is_reported(table, regenerators.rows[i], c) && column_names[k]; k++) {
				struct input value = {.name = arena_format(workings->arena, "%s of %s", column_names[k],
							      regenerators.rows[i]->tag),
					.item = regenerators.rows[i],
					.property = column_names[k],
					.quantity = table_peek(table, regenerators.rows[i], c, column_names[k])};
				add_working(workings, value.item, c, &value);
			}
}

struct workings workings_collect(
	struct arena *arena, const struct table *table, const struct finding *const *findings, size_t count)
{
	struct collecting workings = {.arena = arena};
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; is_shown(findings[i]) && k < findings[i]->input_count; k++)
			add_working(&workings, findings[i]->item, findings[i]->operating_case, &findings[i]->inputs[k]);
	add_columns(&workings, table);
	return (struct workings){.rows = workings.rows, .count = workings.count};
}
