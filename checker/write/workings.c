#include "write/workings.h"

#include <string.h>

#include "base/count.h"
#include "quantity/quantity.h"

struct workings {
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

/* A number that went into another as "LMTD" is called "lmtd of E-402" where it is in the table too. */
static void call_by_item(struct working *row, const struct input *value)
{
	if (row->value.quantity == value->quantity && !row->value.property && value->property)
		row->value = *value;
}

/* What goes into a number stands before it. */
static void add_working(
	struct workings *workings, const struct item *item, int operating_case, const struct input *value)
{
	const struct quantity *quantity = value->quantity;
	if (!quantity || quantity->known != COMPUTED)
		return;
	for (size_t i = 0; i < workings->count; i++)
		if (is_same_working(&workings->rows[i], value)) {
			call_by_item(&workings->rows[i], value);
			return;
		}
	for (size_t i = 0; i < quantity->input_count; i++)
		add_working(workings, item, operating_case, &quantity->inputs[i]);
	workings->rows = arena_grow(
		workings->arena, workings->rows, workings->count, &workings->capacity, sizeof *workings->rows);
	workings->rows[workings->count++] =
		(struct working){.item = item, .operating_case = operating_case, .value = *value};
}

/* ---- what findings rest on ---- */

/* A number is shown whichever way it was judged: what is met rests on it as well as what departs. */
static bool is_shown(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_ACCEPTED ||
		finding->verdict == VERDICT_MEETS;
}

static void add_finding(struct workings *workings, const struct finding *finding)
{
	for (size_t k = 0; is_shown(finding) && k < finding->input_count; k++)
		add_working(workings, finding->item, finding->operating_case, &finding->inputs[k]);
}

/* ---- what is always shown ---- */

/* Of these the calculated value is shown although no rule may look at it, and so is what stands beside a stated one. */
static const char *const always[] = {"acid-gas-stripped", "ammonia-load", "amine-flow", "area", "boil-up",
	"chloride-load", "contact-time", "cyanide-load", "duty", "flow", "flow-met", "flux", "heat-flux",
	"heat-transfer", "lean-duty", "liquid-volume", "lmtd", "lmtd-correction", "oxygen-load", "reflux-ratio",
	"reflux-ratio-by-composition", "reflux-ratio-by-dew-point", "reflux-ratio-by-flow", "residence-time",
	"rich-duty", "shut-off-pressure", "slip", "sodium-load", "steam-duty", "steam-flow", "steam-out-temperature",
	"temperature", "volume"};

/* Values taken over from a stream are no calculation; a temperature is one only where streams are mixed. */
static bool is_calculation(const struct quantity *quantity)
{
	return quantity && quantity->known == COMPUTED && kind_is_number(quantity->kind) && quantity->formula &&
		strcmp(quantity->formula->name, "taken over") != 0;
}

static void add_value(struct workings *workings, const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *every = table_peek(table, item, EVERY_CASE, name);
	for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
		const struct quantity *own = table_peek(table, item, c, name);
		struct input value = {.symbol = name,
			.name = arena_format(workings->arena, "%s of %s", name, item->tag),
			.item = item,
			.property = name,
			.quantity = own};
		if (is_calculation(own) && (c == EVERY_CASE || own != every))
			add_working(workings, item, c, &value);
	}
}

static void add_always(struct workings *workings, const struct table *table)
{
	for (size_t i = 0; i < table_item_count(table); i++)
		for (size_t k = 0; k < COUNT(always); k++) {
			add_value(workings, table, table_item(table, i), always[k]);
			add_value(workings, table, table_item(table, i),
				arena_format(workings->arena, "%s-calculated", always[k]));
		}
}

const struct working *workings_collect(struct arena *arena, const struct table *table,
	const struct finding *const *findings, size_t finding_count, size_t *count)
{
	struct workings workings = {.arena = arena};
	for (size_t i = 0; i < finding_count; i++)
		add_finding(&workings, findings[i]);
	add_always(&workings, table);
	*count = workings.count;
	return workings.rows;
}

bool working_assumes(const struct working *working, const struct input *input)
{
	return working->operating_case > 0 && quantity_is_mixed(working->value.quantity) &&
		input->quantity->of_normal && !input->quantity->of_case;
}

const char *working_assumption(
	struct arena *arena, const struct review *review, const struct working *working, const struct input *input)
{
	if (!working_assumes(working, input))
		return NULL;
	return arena_format(arena, "assumed as in %s, since %s states none", table_case(review->table, 0)->id,
		table_case(review->table, working->operating_case)->id);
}
