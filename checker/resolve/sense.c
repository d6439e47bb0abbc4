#include "resolve/sense.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"

/* What rounding in a document may make of figures that fit exactly: shares of 33.3 % three times. A choice. */
static const double ROUNDING = 0.005;

struct sense {
	const struct table *table;
	struct problems *problems;
	const struct item *item;
	int operating_case;
};

static const struct quantity *number_of(const struct sense *sense, const struct item *item, const char *name)
{
	const struct quantity *value = table_peek(sense->table, item, sense->operating_case, name);
	return value && value->known == STATED && kind_is_number(value->kind) ? value : NULL;
}

static const struct quantity *own(const struct sense *sense, const char *name)
{
	return number_of(sense, sense->item, name);
}

static const char *word_of(const struct sense *sense, const struct item *item, const char *name)
{
	const struct quantity *value = table_peek(sense->table, item, sense->operating_case, name);
	return value && value->known == STATED && !kind_is_number(value->kind) ? value->word : NULL;
}

static const char *show(const struct sense *sense, const struct quantity *quantity)
{
	return quantity_show_first(sense->problems->arena, quantity);
}

/* One fault for one statement, however many cases it holds in. */
static bool is_told(const struct sense *sense, const struct quantity *at)
{
	for (size_t i = 0; i < sense->problems->count; i++) {
		const struct problem *row = &sense->problems->rows[i];
		if (row->code == PROBLEM_CANNOT_BE && row->place.line == at->place.line &&
			row->place.column == at->place.column)
			return true;
	}
	return false;
}

/* ---- level ---- */

/* Over what a level may be measured: the length of a vertical vessel, the diameter of a horizontal one, the larger where nobody says. */
static const struct quantity *height_of(const struct sense *sense)
{
	const struct quantity *up = own(sense, "height") ? own(sense, "height") : own(sense, "length");
	const struct quantity *across = own(sense, "diameter");
	const char *stands = word_of(sense, sense->item, "orientation");
	if (own(sense, "depth"))
		return own(sense, "depth");
	if (stands)
		return strcmp(stands, "vertical") == 0 ? up : across;
	return up && across ? (up->si > across->si ? up : across) : NULL;
}

/* The largest a statement allows: a bound from above allows less than it says. */
static bool is_above(const struct quantity *level, const struct quantity *top)
{
	return level->bound != BOUND_BELOW && top->bound != BOUND_ABOVE && level->si > top->si * (1 + ROUNDING);
}

static void check_level(const struct sense *sense, const char *name)
{
	const struct quantity *level = own(sense, name), *height = height_of(sense);
	if (!level || is_told(sense, level))
		return;
	if (level->kind == KIND_SHARE && level->si > 1 + ROUNDING)
		problem_add(sense->problems, PROBLEM_CANNOT_BE, level->place, "%s of %s, %s, is above what is measured",
			name, sense->item->tag, show(sense, level));
	else if (level->kind == KIND_DISTANCE && height && is_above(level, height))
		problem_add(sense->problems, PROBLEM_CANNOT_BE, level->place,
			"%s of %s, %s, is above its height of %s (line %d)", name, sense->item->tag, show(sense, level),
			show(sense, height), height->place.line);
}

static void check_order(const struct sense *sense, const char *lower, const char *upper)
{
	const struct quantity *low = own(sense, lower), *high = own(sense, upper);
	if (!low || !high || low->kind != high->kind || !is_above(low, high) || is_told(sense, low))
		return;
	problem_add(sense->problems, PROBLEM_CANNOT_BE, low->place, "%s of %s, %s, is above its %s of %s (line %d)",
		lower, sense->item->tag, show(sense, low), upper, show(sense, high), high->place.line);
}

static void check_levels(const struct sense *sense)
{
	static const char *const names[] = {"low-level", "level", "high-level"};
	for (size_t i = 0; i < COUNT(names); i++)
		check_level(sense, names[i]);
	check_order(sense, "low-level", "level");
	check_order(sense, "level", "high-level");
}

/* ---- shares ---- */

/* What two items must have alike for their shares to be of one flow. */
static bool share_one_flow(const struct sense *sense, const struct item *one, const struct item *other)
{
	static const char *const references[] = {"from", "to", "stream", "inlet", "suction", "lean", "gas"};
	bool alike = false;
	if (!text_same(one->kind, other->kind))
		return false;
	for (size_t i = 0; i < COUNT(references); i++) {
		const char *a = word_of(sense, one, references[i]), *b = word_of(sense, other, references[i]);
		if (item_is(one, "stream") && strcmp(references[i], "to") == 0)
			continue; /* they go where they like */
		if ((a || b) && !text_same(a, b))
			return false;
		alike = alike || a;
	}
	return alike;
}

/* Of those in use under one tag together. */
static double share_of(const struct sense *sense, const struct item *item)
{
	const struct quantity *share = number_of(sense, item, "flow-share"), *count = number_of(sense, item, "in-use");
	return share && share->bound != BOUND_BELOW ? share->si * (count && count->si > 1 ? count->si : 1) : 0;
}

/* An exchanger says no stream of its own; its first side does, and is told of in place of it. */
static const struct item *bearer(const struct sense *sense, const struct item *item)
{
	if (!item_in(item, CLASS_HEAT_EXCHANGER))
		return item;
	for (size_t i = item->index + 1; i < table_parts_end(sense->table, item); i++)
		if (table_item(sense->table, i)->parent == item && item_in(table_item(sense->table, i), CLASS_SIDE))
			return table_item(sense->table, i);
	return item;
}

/* Said at the last of them, which completes the sum. */
static void check_shares(const struct sense *sense)
{
	const struct quantity *last = own(sense, "flow-share");
	double sum = last ? share_of(sense, sense->item) : 0;
	size_t count = 1;
	if (!last || is_told(sense, last))
		return;
	for (size_t i = 0; i < sense->item->index; i++) {
		const struct item *item = table_item(sense->table, i);
		if (!number_of(sense, item, "flow-share") ||
			!share_one_flow(sense, bearer(sense, item), bearer(sense, sense->item)))
			continue;
		sum += share_of(sense, item);
		count++;
	}
	if (sum > 1 + ROUNDING)
		problem_add(sense->problems, PROBLEM_CANNOT_BE, last->place,
			"flow-share of %s, %s: with %zu other%s of the same flow and all in use it makes %.4g %%, more "
			"than the whole",
			sense->item->tag, show(sense, last), count - 1, count == 2 ? "" : "s", 100 * sum);
}

/* ---- counts ---- */

static void check_count(const struct sense *sense, const char *name, const char *of)
{
	const struct quantity *part = own(sense, name), *whole = own(sense, of);
	if (!part || !whole || part->bound == BOUND_BELOW || whole->bound == BOUND_ABOVE || part->si <= whole->si ||
		is_told(sense, part))
		return;
	problem_add(sense->problems, PROBLEM_CANNOT_BE, part->place,
		"%s of %s, %s, is more than its %s of %s (line %d)", name, sense->item->tag, show(sense, part), of,
		show(sense, whole), whole->place.line);
}

/* ---- set pressures ---- */

static bool is_same_pressure(const struct quantity *one, const struct quantity *other)
{
	return fabs(one->si - other->si) <= ROUNDING * fmax(one->si, other->si);
}

/*
 * A relief case says at what pressure the relief opens that covers it: that of the valve it is in, else of one of the valves of
 * the item, where all of them say theirs.
 */
static void check_set_pressure(const struct sense *sense)
{
	const struct quantity *said = own(sense, "set-pressure"), *other = NULL;
	const struct item *holder = sense->item->parent;
	if (!item_is(sense->item, "relief-case") || !said || is_told(sense, said))
		return;
	if (item_is(holder, "relief-valve"))
		other = number_of(sense, holder, "set-pressure");
	for (size_t i = holder->index + 1;
		!item_is(holder, "relief-valve") && i < table_parts_end(sense->table, holder); i++) {
		const struct item *valve = table_item(sense->table, i);
		if (!item_is(valve, "relief-valve") || valve->parent != holder)
			continue;
		const struct quantity *set = number_of(sense, valve, "set-pressure");
		if (!set || is_same_pressure(said, set))
			return;
		other = set;
	}
	if (other && !is_same_pressure(said, other))
		problem_add(sense->problems, PROBLEM_CANNOT_BE, said->place,
			"set-pressure of %s, %s: the relief valve is set at %s (line %d)", sense->item->tag,
			show(sense, said), show(sense, other), other->place.line);
}

void sense_check(const struct table *table, struct problems *problems)
{
	struct sense sense = {.table = table, .problems = problems};
	for (size_t i = 0; i < table_item_count(table); i++) {
		sense.item = table_item(table, i);
		for (sense.operating_case = 0; sense.operating_case < (int)table_case_count(table);
			sense.operating_case++) {
			check_levels(&sense);
			check_shares(&sense);
			check_count(&sense, "in-use", "installed");
			check_count(&sense, "tubes-plugged", "tubes");
			check_set_pressure(&sense);
		}
	}
}
