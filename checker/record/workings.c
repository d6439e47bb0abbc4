#include "record/workings.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/columns.h"

struct entry;

struct collecting {
	struct arena *arena;
	struct working *rows;
	size_t count, capacity;
	bool of_met; /* of what is added from now on */

	/* Entries of one hash, the last first: index + 1, 0 ends. */
	struct entry *entries;
	size_t entry_count, entry_capacity;
	size_t *heads, places; /* a power of two */
};

/* A row is found by its quantity, and by what else makes it the same: value, formula and name. */
struct entry {
	uint64_t hash;
	size_t row, next;
};

static uint64_t mixed(uint64_t bits)
{
	bits *= UINT64_C(0x9E3779B97F4A7C15);
	return bits ^ bits >> 32;
}

static uint64_t hash_of_quantity(const struct input *value)
{
	return mixed((uintptr_t)value->quantity >> 4);
}

/* Of the name in full: a value of the table may be called as one is that has no place there. */
static uint64_t hash_of_name(const struct input *value)
{
	struct arena scratch = {0};
	char brief[128];
	int length = snprintf(brief, sizeof brief, "%s%s%s", value->name, value->whose ? " of " : "",
		value->whose ? value->whose : "");
	bool fits = length >= 0 && (size_t)length < sizeof brief;
	uint64_t hash = text_hash(fits ? brief : input_name(&scratch, value));
	arena_release(&scratch);
	return hash;
}

/* Of zero there are two. */
static uint64_t hash_of_working(const struct input *value)
{
	double number = value->quantity->si + 0.0;
	uint64_t bits;
	memcpy(&bits, &number, sizeof bits);
	return mixed(bits ^ (uintptr_t)value->quantity->formula >> 4 ^ hash_of_name(value) << 16);
}

static void chain(struct collecting *workings, size_t entry)
{
	size_t *head = &workings->heads[workings->entries[entry].hash & (workings->places - 1)];
	workings->entries[entry].next = *head;
	*head = entry + 1;
}

static void add_entry(struct collecting *workings, uint64_t hash, size_t row)
{
	workings->entries = arena_grow(workings->arena, workings->entries, workings->entry_count,
		&workings->entry_capacity, sizeof *workings->entries);
	workings->entries[workings->entry_count++] = (struct entry){.hash = hash, .row = row};
	if (workings->entry_count <= workings->places) {
		chain(workings, workings->entry_count - 1);
		return;
	}
	workings->places = workings->places ? 2 * workings->places : 64;
	workings->heads = arena_alloc(workings->arena, workings->places * sizeof *workings->heads);
	for (size_t i = 0; i < workings->entry_count; i++)
		chain(workings, i);
}

static void add_row(struct collecting *workings, struct working row)
{
	workings->rows = arena_grow(
		workings->arena, workings->rows, workings->count, &workings->capacity, sizeof *workings->rows);
	workings->rows[workings->count] = row;
	add_entry(workings, hash_of_quantity(&row.value), workings->count);
	add_entry(workings, hash_of_working(&row.value), workings->count);
	workings->count++;
}

/* The same number, calculated anew for another item or case from the same inputs, is printed once. */
static bool is_same_working(const struct working *row, const struct input *value)
{
	const struct quantity *other = row->value.quantity, *quantity = value->quantity;
	if (other == quantity)
		return true;
	if (other->formula != quantity->formula || other->si != quantity->si || !input_same_name(&row->value, value) ||
		other->input_count != quantity->input_count)
		return false;
	for (size_t i = 0; i < quantity->input_count; i++) {
		const struct quantity *a = other->inputs[i].quantity, *b = quantity->inputs[i].quantity;
		if (a != b &&
			(a->known != STATED || b->known != STATED || a->place.file || b->place.file || a->si != b->si))
			return false;
	}
	return true;
}

/* The first of those with this hash, or `first` where that is before it. */
static size_t first_with(const struct collecting *workings, uint64_t hash, const struct input *value, size_t first)
{
	size_t at = workings->places ? workings->heads[hash & (workings->places - 1)] : 0;
	for (const struct entry *entry; at; at = entry->next) {
		entry = &workings->entries[at - 1];
		if (entry->hash == hash && entry->row < first && is_same_working(&workings->rows[entry->row], value))
			first = entry->row;
	}
	return first;
}

/* The first of them; NULL: there is none. */
static struct working *same_working(const struct collecting *workings, const struct input *value)
{
	size_t first = first_with(workings, hash_of_quantity(value), value, workings->count);
	first = first_with(workings, hash_of_working(value), value, first);
	return first < workings->count ? &workings->rows[first] : NULL;
}

/* A number that went into another as "LMTD" is called "lmtd of E-402" where it is in the table too. */
static void call_by_item(struct collecting *workings, struct working *row, const struct input *value)
{
	if (row->value.quantity != value->quantity || row->value.whose || !value->whose)
		return;
	row->value = *value;
	add_entry(workings, hash_of_working(value), (size_t)(row - workings->rows));
}

static void add_working(
	struct collecting *workings, const struct item *item, int operating_case, const struct input *value)
{
	const struct quantity *quantity = value->quantity;
	if (!quantity || quantity->known != COMPUTED)
		return;
	struct working *same = same_working(workings, value);
	if (same) {
		call_by_item(workings, same, value);
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
		for (size_t k = 0; wanted && k < findings[i]->input_count; k++) {
			const struct input input = finding_input(findings[i], k);
			add_working(workings, findings[i]->item, findings[i]->operating_case, &input);
		}
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
				struct input value = {.name = column_names[k],
					.whose = regenerators.rows[i]->tag,
					.item = regenerators.rows[i],
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
	if (!table_may_carry(table, item, name))
		return;
	const struct quantity *every = table_peek(table, item, EVERY_CASE, name);
	for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
		const struct quantity *own = table_peek(table, item, c, name);
		if (!is_calculation(own) || (c != EVERY_CASE && own == every))
			continue;
		struct input value = {.symbol = name, .name = name, .whose = item->tag, .item = item, .quantity = own};
		add_working(workings, item, c, &value);
	}
}

static void add_always(struct collecting *workings, const struct table *table)
{
	const char *calculated[COUNT(always)];
	for (size_t k = 0; k < COUNT(always); k++)
		calculated[k] = arena_join(workings->arena, always[k], "-calculated", "", "");
	for (size_t i = 0; i < table_item_count(table); i++)
		for (size_t k = 0; k < COUNT(always); k++) {
			add_value(workings, table, table_item(table, i), always[k]);
			add_value(workings, table, table_item(table, i), calculated[k]);
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
