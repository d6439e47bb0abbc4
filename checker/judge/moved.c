#include "judge/moved.h"

#include <string.h>

#include "base/text.h"
#include "compute/no_data.h"
#include "judge/evaluation.h"

struct moved {
	struct arena *arena;
	const char **names; /* open addressing, a power of two */
	size_t count, capacity;
	bool everything;
};

/* One walk over the cells of one table beside another. */
struct walk {
	struct moved *moved;
	const struct table *own, *other;
};

/* ---- the set of names ---- */

static size_t place_of(const struct moved *moved, const char *name)
{
	size_t at = text_hash(name) & (moved->capacity - 1);
	while (moved->names[at] && strcmp(moved->names[at], name) != 0)
		at = (at + 1) & (moved->capacity - 1);
	return at;
}

static void make_room(struct moved *moved)
{
	const char **before = moved->names;
	size_t old = moved->capacity;
	if (2 * (moved->count + 1) <= old)
		return;
	moved->capacity = old ? 2 * old : 128;
	moved->names = arena_alloc(moved->arena, moved->capacity * sizeof *moved->names);
	for (size_t i = 0; i < old; i++)
		if (before[i])
			moved->names[place_of(moved, before[i])] = before[i];
}

static bool has(const struct moved *moved, const char *name)
{
	return moved->count && moved->names[place_of(moved, name)];
}

static void add(struct moved *moved, const char *name)
{
	make_room(moved);
	size_t at = place_of(moved, name);
	moved->count += !moved->names[at];
	moved->names[at] = name;
}

/* ---- two values ---- */

static bool same_knowledge(const struct quantity *a, const struct quantity *b)
{
	return a->known == b->known && a->kind == b->kind && a->bound == b->bound && a->reached == b->reached &&
		a->owed == b->owed && a->unrecorded == b->unrecorded && a->of_case == b->of_case &&
		a->of_normal == b->of_normal && a->silent == b->silent && a->formula == b->formula &&
		!a->reason == !b->reason;
}

static bool is_same(const struct quantity *a, const struct quantity *b);

static bool is_open(const struct quantity *quantity)
{
	return quantity && (quantity->known == UNKNOWN || quantity->bound != BOUND_NONE);
}

/* What is asked for in place of an unknown value lies at its roots: what it was to be calculated from, as far as that is open. */
static bool same_roots(const struct quantity *a, const struct quantity *b)
{
	bool same = text_same(a->reason, b->reason) && text_same(a->missing, b->missing) &&
		a->input_count == b->input_count;
	for (size_t i = 0; same && i < a->input_count; i++) {
		const struct input *x = &a->inputs[i], *y = &b->inputs[i];
		bool open = is_open(x->quantity) || is_open(y->quantity);
		same = text_same(x->name, y->name) && x->effect == y->effect &&
			(!open || is_same(x->quantity, y->quantity));
	}
	return same;
}

static bool is_same(const struct quantity *a, const struct quantity *b)
{
	if (a == b || !a || !b)
		return a == b;
	return (!is_open(a) || same_roots(a, b)) && same_knowledge(a, b) && number_same(a->si, b->si) &&
		number_same(a->uncertainty, b->uncertainty) && number_same(a->undecided, b->undecided) &&
		number_same(a->datum, b->datum) && text_same(a->word, b->word) && is_same(a->second, b->second);
}

/* ---- two tables ---- */

static void compare(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct walk *walk = data;
	const struct table *lowest = table_lowest(walk->own);
	(void)quantity;
	if (item->index >= table_item_count(lowest))
		return; /* a contradiction */
	const struct item *there = table_item(walk->other, item->index);
	if (is_same(table_peek(walk->own, item, operating_case, name),
		    table_peek(walk->other, there, operating_case, name)))
		return;
	add(walk->moved, name);
	walk->moved->everything = walk->moved->everything || item_is(item, "deviation");
}

/* Every cell of each table of the one, be it found in the other or not. */
static void walk_over(struct moved *moved, const struct table *own, const struct table *other)
{
	struct walk walk = {.moved = moved, .own = own, .other = other};
	table_each_cell(own, compare, &walk);
	table_each_cell(table_lowest(own), compare, &walk);
}

static bool has_same_items(const struct table *before, const struct table *after)
{
	const struct table *a = table_lowest(before), *b = table_lowest(after);
	bool same = table_item_count(a) == table_item_count(b) && table_case_count(a) == table_case_count(b);
	for (size_t i = 0; same && i < table_item_count(a); i++) {
		const struct item *x = table_item(a, i), *y = table_item(b, i);
		same = text_same(x->tag, y->tag) && text_same(x->kind, y->kind) && text_same(x->text, y->text);
	}
	for (size_t c = 0; same && c < table_case_count(a); c++) {
		const struct operating_case *x = table_case(a, (int)c), *y = table_case(b, (int)c);
		same = text_same(x->id, y->id) && x->upset == y->upset;
	}
	return same;
}

const struct moved *moved_between(struct arena *arena, const struct table *before, const struct table *after)
{
	struct moved *moved = arena_alloc(arena, sizeof *moved);
	moved->arena = arena;
	if (!has_same_items(before, after) || no_data_of(arena, before) || no_data_of(arena, after))
		return NULL;
	walk_over(moved, before, after);
	walk_over(moved, after, before);
	return moved->everything || has(moved, "barometric-pressure") || has(moved, "date") ? NULL : moved;
}

/* ---- rules ---- */

static bool any_has(const struct moved *moved, struct conditions conditions)
{
	bool any = false;
	for (size_t i = 0; i < conditions.count; i++)
		any = any || has(moved, conditions.rows[i].name);
	return any;
}

bool moved_by(const struct moved *moved, const struct rule *rule)
{
	bool moves = rule_selects_kind(rule, "contradiction");
	for (size_t i = 0; i < rule->input_count && !moves; i++)
		moves = has(moved, rule->inputs[i].quantity) || has(moved, rule->inputs[i].of) ||
			strcmp(rule->inputs[i].of, "contradiction") == 0;
	for (size_t i = 0; i < rule->selection_count; i++)
		moves = moves || any_has(moved, rule->selections[i].conditions);
	for (size_t i = 0; i < rule->limit_count; i++)
		moves = moves || any_has(moved, rule->limits[i].narrowing);
	return moves;
}
