#include "record/workings.h"

#include <stdint.h>
#include <string.h>

#include "base/count.h"
#include "record/columns.h"

struct collecting {
	struct arena *arena;
	struct working *rows;
	size_t count, capacity;
	bool of_met;	      /* of what is added from now on */
	size_t *heads, *next; /* rows of one hash, the last first: index + 1, 0 ends; heads: a power of two */
	size_t places;
};

/* Workings that are the same have the same value and formula. Of zero there are two. */
static size_t *head_of(const struct collecting *workings, const struct quantity *quantity)
{
	double value = quantity->si + 0.0;
	uint64_t bits;
	memcpy(&bits, &value, sizeof bits);
	bits = (bits ^ (uintptr_t)quantity->formula >> 4) * UINT64_C(0x9E3779B97F4A7C15);
	return &workings->heads[bits >> 32 & (workings->places - 1)];
}

static void chain(struct collecting *workings, size_t row)
{
	size_t *head = head_of(workings, workings->rows[row].value.quantity);
	workings->next[row] = *head;
	*head = row + 1;
}

static void add_row(struct collecting *workings, struct working row)
{
	workings->rows = arena_grow(
		workings->arena, workings->rows, workings->count, &workings->capacity, sizeof *workings->rows);
	workings->rows[workings->count++] = row;
	if (workings->count <= workings->places) {
		chain(workings, workings->count - 1);
		return;
	}
	workings->places = workings->places ? 2 * workings->places : 64;
	workings->heads = arena_alloc(workings->arena, workings->places * sizeof *workings->heads);
	workings->next = arena_alloc(workings->arena, workings->places * sizeof *workings->next);
	for (size_t i = 0; i < workings->count; i++)
		chain(workings, i);
}

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

/* The first of them; NULL: there is none. */
static struct working *same_working(const struct collecting *workings, const struct input *value)
{
	struct working *first = NULL;
	for (size_t at = workings->places ? *head_of(workings, value->quantity) : 0; at; at = workings->next[at - 1])
		if (is_same_working(&workings->rows[at - 1], value))
			first = &workings->rows[at - 1];
	return first;
}

/* A number that went into another as "LMTD" is called "lmtd of E-402" where it is in the table too. */
static void call_by_item(struct working *row, const struct input *value)
{
	if (row->value.quantity == value->quantity && !row->value.property && value->property)
		row->value = *value;
}

static void add_working(
	struct collecting *workings, const struct item *item, int operating_case, const struct input *value)
{
	const struct quantity *quantity = value->quantity;
	if (!quantity || quantity->known != COMPUTED)
		return;
	struct working *same = same_working(workings, value);
	if (same) {
		call_by_item(same, value);
		return;
	}
	for (size_t i = 0; i < quantity->input_count; i++)
		add_working(workings, item, operating_case, &quantity->inputs[i]);
	add_row(workings,
		(struct working){
			.item = item, .operating_case = operating_case, .value = *value, .of_met = workings->of_met});
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

/* ---- what findings rest on ---- */

/* Something is to be done about it, was accepted, or lies within its uncertainty of the limit. */
static bool is_of_interest(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_ACCEPTED ||
		(finding->verdict == VERDICT_MEETS && finding->governing && finding->governing->borderline);
}

/* A number is shown whichever way it was judged: what is met rests on it as well as what departs. */
static void add_findings(
	struct collecting *workings, const struct finding *const *findings, size_t count, bool of_interest)
{
	for (size_t i = 0; i < count; i++) {
		bool wanted = of_interest ? is_of_interest(findings[i]) : findings[i]->verdict == VERDICT_MEETS;
		for (size_t k = 0; wanted && k < findings[i]->input_count; k++)
			add_working(workings, findings[i]->item, findings[i]->operating_case, &findings[i]->inputs[k]);
	}
}

/* ---- what is always shown ---- */

/* What the columns give is always shown. */
static void add_columns(struct collecting *workings, const struct table *table)
{
	struct items regenerators = table_of_kind(table, "regenerator");
	for (size_t i = 0; i < regenerators.count; i++)
		for (int c = 0; c < (int)table_case_count(table); c++)
			for (size_t k = 0; column_is_reported(table, regenerators.rows[i], c) && column_names[k]; k++) {
				struct input value = {
					.name = arena_of(workings->arena, column_names[k], regenerators.rows[i]->tag),
					.item = regenerators.rows[i],
					.property = column_names[k],
					.quantity = table_peek(table, regenerators.rows[i], c, column_names[k])};
				add_working(workings, value.item, c, &value);
			}
}

/* Of these the calculated value is shown although no rule may look at it, and so is what is beside a stated one. */
static const char *const always[] = {"acid-gas-stripped", "ammonia-load", "amine-flow", "area", "boil-up",
	"chloride-load", "contact-time", "cyanide-load", "duty", "flow", "flow-met", "flux", "heat-flux",
	"heat-transfer", "lean-duty", "liquid-volume", "lmtd", "lmtd-correction", "oxygen-load", "reflux-ratio",
	"reflux-ratio-by-composition", "reflux-ratio-by-dew-point", "reflux-ratio-by-flow", "residence-time",
	"rich-duty", "shut-off-pressure", "slip", "sodium-load", "steam-duty", "steam-flow", "steam-out-temperature",
	"temperature", "volume"};

/* Values from streams from a stream are no calculation; a temperature is one only where streams are mixed. */
static bool is_calculation(const struct quantity *quantity)
{
	return quantity && quantity->known == COMPUTED && kind_is_number(quantity->kind) && quantity->formula &&
		strcmp(quantity->formula->name, "taken over") != 0;
}

static void add_value(struct collecting *workings, const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *every = table_peek(table, item, EVERY_CASE, name);
	for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
		const struct quantity *own = table_peek(table, item, c, name);
		if (!is_calculation(own) || (c != EVERY_CASE && own == every))
			continue;
		struct input value = {.symbol = name,
			.name = arena_of(workings->arena, name, item->tag),
			.item = item,
			.property = name,
			.quantity = own};
		add_working(workings, item, c, &value);
	}
}

static void add_always(struct collecting *workings, const struct table *table)
{
	for (size_t i = 0; i < table_item_count(table); i++)
		for (size_t k = 0; k < COUNT(always); k++) {
			add_value(workings, table, table_item(table, i), always[k]);
			add_value(workings, table, table_item(table, i),
				arena_format(workings->arena, "%s-calculated", always[k]));
		}
}

struct workings workings_collect(
	struct arena *arena, const struct table *table, const struct finding *const *findings, size_t count)
{
	struct collecting workings = {.arena = arena};
	add_findings(&workings, findings, count, true);
	add_columns(&workings, table);
	workings.of_met = true;
	add_findings(&workings, findings, count, false);
	add_always(&workings, table);
	return (struct workings){.rows = workings.rows, .count = workings.count};
}
