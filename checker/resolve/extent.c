#include "resolve/extent.h"

#include "base/count.h"
#include "base/text.h"

/* What rounding in a document may make of two heights that meet. A choice. */
static const double ROUNDING = 0.005;

static const struct quantity *number_of(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_get(table, item, EVERY_CASE, name);
	return value && value->known == STATED && value->bound == BOUND_NONE && kind_is_number(value->kind) ? value
													    : NULL;
}

bool extent_of(const struct table *table, const struct item *item, struct extent *extent)
{
	const struct quantity *begins = number_of(table, item, "begins-at"), *ends = number_of(table, item, "ends-at");
	if (!begins || !ends)
		return false;
	*extent = (struct extent){.begins = begins->si, .ends = ends->si};
	return true;
}

const struct quantity *extent_of_shell(const struct table *table, const struct item *item)
{
	const struct quantity *shell = NULL;
	for (; item && !shell; item = item->parent) {
		const struct quantity *height = number_of(table, item, "height");
		shell = height ? height : number_of(table, item, "length");
	}
	return shell;
}

/* The vessel, line or exchanger that the place is in, through zones and parts. */
static const struct item *holder_of(const struct item *item)
{
	const struct item *holder = item->parent;
	while (holder && item_is_any(holder, "zone part nozzle elbow") && holder->parent)
		holder = holder->parent;
	return holder;
}

const struct item *extent_part(const struct table *table, const struct item *item, const char *name)
{
	const struct item *holder = holder_of(item);
	size_t end = holder ? table_parts_end(table, holder) : 0;
	for (size_t i = holder ? holder->index + 1 : 0; i < end; i++) {
		const struct item *part = table_item(table, i);
		if (part != item && item_is(part, "part") &&
			text_same(table_word(table, part, EVERY_CASE, "name"), name))
			return part;
	}
	return NULL;
}

/* ---- faults ---- */

struct place_check {
	const struct table *table;
	struct problems *problems;
	const struct item *item;
};

static const char *show(const struct place_check *check, const struct quantity *quantity)
{
	return quantity_show_first(check->problems->arena, quantity);
}

static void check_order(const struct place_check *check)
{
	const struct quantity *begins = number_of(check->table, check->item, "begins-at"),
			      *ends = number_of(check->table, check->item, "ends-at");
	if (begins && ends && ends->si < begins->si)
		problem_add(check->problems, PROBLEM_CANNOT_BE, ends->place,
			"ends-at of %s, %s, is below its begins-at of %s (line %d)", check->item->tag,
			show(check, ends), show(check, begins), begins->place.line);
}

static void check_shell(const struct place_check *check, const char *name)
{
	const struct quantity *at = number_of(check->table, check->item, name);
	const struct quantity *shell = at ? extent_of_shell(check->table, check->item->parent) : NULL;
	if (shell && at->si > shell->si * (1 + ROUNDING))
		problem_add(check->problems, PROBLEM_CANNOT_BE, at->place,
			"%s of %s, %s, is beyond the %s between its tangent lines (line %d)", name, check->item->tag,
			show(check, at), show(check, shell), shell->place.line);
}

/* Of the zones and parts around it the nearest that says where it lies. */
static void check_within(const struct place_check *check, const char *name)
{
	const struct quantity *at = number_of(check->table, check->item, name);
	const struct item *around = NULL;
	struct extent extent = {0};
	for (const struct item *item = check->item->parent; item && !around; item = item->parent) {
		if (!item_is_any(item, "zone part"))
			return;
		around = extent_of(check->table, item, &extent) ? item : NULL;
	}
	if (!at || !around)
		return;
	double slack = ROUNDING * extent.ends;
	if (at->si < extent.begins - slack || at->si > extent.ends + slack)
		problem_add(check->problems, PROBLEM_CANNOT_BE, at->place,
			"%s of %s, %s, is outside %s, which lies from %.4g to %.4g m (line %d)", name, check->item->tag,
			show(check, at), around->tag, extent.begins, extent.ends, around->place.line);
}

static void check_part(const struct place_check *check)
{
	const struct quantity *part = table_get(check->table, check->item, EVERY_CASE, "part");
	const struct item *holder = holder_of(check->item);
	if (!holder || !part || part->known != STATED || !part->word)
		return;
	if (!extent_part(check->table, check->item, part->word))
		problem_add(check->problems, PROBLEM_NO_SUCH_ITEM, part->place,
			"%s names the part '%s', and %s has none of that name", check->item->tag, part->word,
			holder->tag);
}

/* Zones that never meet, whatever the vessel: those of one row lie over those of the other. */
static bool is_apart(const char *one, const char *other)
{
	static const char *const high[] = {"top", "upper", "vapour space"},
				 *const low[] = {"bottom", "lower", "liquid space", "boot", "bottom course"};
	bool one_high = false, one_low = false, other_high = false, other_low = false;
	for (size_t i = 0; i < COUNT(high); i++) {
		one_high = one_high || text_same(one, high[i]);
		other_high = other_high || text_same(other, high[i]);
	}
	for (size_t i = 0; i < COUNT(low); i++) {
		one_low = one_low || text_same(one, low[i]);
		other_low = other_low || text_same(other, low[i]);
	}
	return (one_high && other_low) || (one_low && other_high);
}

static void check_zone(const struct place_check *check)
{
	const struct quantity *zone = table_get(check->table, check->item, EVERY_CASE, "zone");
	const struct item *around = check->item->parent;
	while (around && item_is(around, "part"))
		around = around->parent;
	if (!zone || zone->known != STATED || !around || !item_is(around, "zone"))
		return;
	const char *name = table_word(check->table, around, EVERY_CASE, "name");
	if (is_apart(zone->word, name))
		problem_add(check->problems, PROBLEM_CANNOT_BE, zone->place,
			"%s stands in the zone '%s' and names the zone '%s' (line %d)", check->item->tag, name,
			zone->word, around->place.line);
}

void extent_check(const struct table *table, struct problems *problems)
{
	struct place_check check = {.table = table, .problems = problems};
	for (size_t i = 0; i < table_item_count(table); i++) {
		check.item = table_item(table, i);
		if (!item_is_any(check.item, "zone part weld repair"))
			continue;
		check_order(&check);
		check_shell(&check, "begins-at");
		check_shell(&check, "ends-at");
		check_within(&check, "begins-at");
		check_within(&check, "ends-at");
		check_part(&check);
		check_zone(&check);
	}
}
