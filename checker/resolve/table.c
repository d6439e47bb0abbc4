#include "resolve/table.h"

#include <stdlib.h>
#include <string.h>

#include "base/name.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/owing.h"

struct cell {
	const struct name *name; /* NULL: free */
	const struct quantity *quantity;
	uint32_t item; /* by its index */
	int operating_case;
};

/* The items of one kind. */
struct same_kind {
	const struct name *kind; /* NULL: free */
	const struct item **rows;
	size_t count, capacity;
};

/* Of one item in one table: which names it carries, as far as a few bits of their numbers tell. Most looks find nothing. */
struct carried {
	uint64_t bits[4];
};

struct table {
	struct arena *arena;
	const struct table *under;
	const struct table *first; /* which this one is a copy of; NULL: none */
	const struct operating_case *cases;
	size_t case_count;
	const struct item **items; /* those of the table below too */
	size_t item_count, item_capacity;
	struct same_kind *kinds; /* open addressing, a power of two */
	size_t kind_count, kind_capacity;
	struct cell *cells; /* open addressing, a power of two */
	size_t cell_count, cell_capacity;
	struct carried *carried; /* by item */
	size_t carried_capacity;
	struct carried **of_case; /* by item: what is put for one case; NULL: nothing */
	size_t of_case_capacity;
	struct statement *statements;
	size_t statement_count, statement_capacity;
	struct contradiction *contradictions;
	size_t contradiction_count, contradiction_capacity;
	const struct watcher *watcher;
	struct table **lacking; /* what is not stated, a kind in the place of a case; made when it is first asked for */
	struct owing *owing;	/* NULL: nothing is owed for one case */
	size_t *by_tag;		/* open addressing over item index + 1 */
	size_t tag_count, tag_capacity;
};

static struct same_kind *kind_at(const struct table *table, const struct name *kind)
{
	size_t at = kind->hash & (table->kind_capacity - 1);
	while (table->kinds[at].kind && table->kinds[at].kind != kind)
		at = (at + 1) & (table->kind_capacity - 1);
	return &table->kinds[at];
}

static void make_room_for_kind(struct table *table)
{
	struct same_kind *before = table->kinds;
	size_t old = table->kind_capacity;
	if (2 * (table->kind_count + 1) <= old)
		return;
	table->kind_capacity = old ? 2 * old : 64;
	table->kinds = arena_alloc(table->arena, table->kind_capacity * sizeof *table->kinds);
	for (size_t i = 0; i < old; i++)
		if (before[i].kind)
			*kind_at(table, before[i].kind) = before[i];
}

static void remember_kind(struct table *table, const struct item *item)
{
	make_room_for_kind(table);
	const struct name *kind = name_find(item->kind);
	struct same_kind *same = kind_at(table, kind);
	table->kind_count += !same->kind;
	same->kind = kind;
	same->rows = arena_grow(table->arena, same->rows, same->count, &same->capacity, sizeof *same->rows);
	same->rows[same->count++] = item;
}

struct table *table_new(struct arena *arena, const struct operating_case *cases, size_t case_count)
{
	struct table *table = arena_alloc(arena, sizeof *table);
	*table = (struct table){.arena = arena,
		.cases = cases,
		.case_count = case_count,
		.lacking = arena_alloc(arena, sizeof(struct table *))};
	return table;
}

struct table *table_overlay(struct arena *arena, const struct table *under)
{
	struct table *table = table_new(arena, under->cases, under->case_count);
	table->under = under;
	table->watcher = under->watcher;
	table->owing = under->owing;
	table->item_count = table->item_capacity = under->item_count;
	table->items = arena_alloc(arena, (under->item_count + 1) * sizeof *table->items);
	memcpy(table->items, under->items, under->item_count * sizeof *table->items);
	for (size_t i = 0; i < under->item_count; i++)
		remember_kind(table, table->items[i]);
	return table;
}

static struct carried **copy_of_case(struct arena *arena, const struct table *of)
{
	struct carried **copy = arena_alloc(arena, of->of_case_capacity * sizeof(struct carried *));
	for (size_t i = 0; i < of->of_case_capacity; i++)
		if (of->of_case[i])
			*(copy[i] = arena_alloc(arena, sizeof(struct carried))) = *of->of_case[i];
	return copy;
}

struct table *table_copy(struct arena *arena, const struct table *of)
{
	static const struct watcher unmarked = {.unmarked = true};
	if (of->under)
		abort();
	if (of->owing)
		return NULL;
	struct table *table = arena_alloc(arena, sizeof *table);
	*table = *of;
	table->arena = arena;
	table->first = of;
	table->watcher = &unmarked;
	table->lacking = arena_alloc(arena, sizeof(struct table *));
	table->cells = arena_alloc(arena, of->cell_capacity * sizeof *table->cells);
	table->carried = arena_alloc(arena, of->carried_capacity * sizeof *table->carried);
	if (of->cell_count) {
		memcpy(table->cells, of->cells, of->cell_capacity * sizeof *table->cells);
		memcpy(table->carried, of->carried, of->carried_capacity * sizeof *table->carried);
	}
	table->of_case = copy_of_case(arena, of);
	return table;
}

struct arena *table_arena(const struct table *table)
{
	return table->arena;
}

size_t table_case_count(const struct table *table)
{
	return table->case_count;
}

const struct operating_case *table_case(const struct table *table, int operating_case)
{
	return &table->cases[operating_case];
}

/* ---- items ---- */

bool item_is(const struct item *item, const char *kind)
{
	return item && text_is(item->kind, kind);
}

bool item_is_any(const struct item *item, const char *kinds)
{
	return item && text_has_word(kinds, item->kind);
}

bool item_in(const struct item *item, unsigned classes)
{
	return item && (item->classes & classes) != 0;
}

struct missing item_lacks(struct arena *arena, const struct item *item, const char *name)
{
	return (struct missing){item, name, arena_join(arena, name, " of ", item->tag, " is not stated")};
}

static void index_tag(struct table *table, size_t index)
{
	size_t mask = table->tag_capacity - 1, at = text_hash(table->items[index]->tag) & mask;
	while (table->by_tag[at])
		at = (at + 1) & mask;
	table->by_tag[at] = index + 1;
	table->tag_count++;
}

static void remember_tag(struct table *table, size_t index)
{
	if (2 * (table->tag_count + 1) > table->tag_capacity) {
		size_t *before = table->by_tag, old = table->tag_capacity;
		table->tag_capacity = old ? 2 * old : 64;
		table->by_tag = arena_alloc(table->arena, table->tag_capacity * sizeof *table->by_tag);
		table->tag_count = 0;
		for (size_t i = 0; i < old; i++)
			if (before[i])
				index_tag(table, before[i] - 1);
	}
	index_tag(table, index);
}

const struct item *table_add_item(struct table *table, struct item item)
{
	if (table->first)
		abort(); /* its items are those of the first */
	struct item *copy = arena_alloc(table->arena, sizeof *copy);
	*copy = item;
	copy->classes = equipment_classes(item.kind);
	copy->index = table->item_count;
	table->items =
		arena_grow(table->arena, table->items, table->item_count, &table->item_capacity, sizeof *table->items);
	table->items[table->item_count++] = copy;
	remember_kind(table, copy);
	if (copy->tag)
		remember_tag(table, copy->index);
	return copy;
}

size_t table_item_count(const struct table *table)
{
	return table->item_count;
}

const struct item *table_item(const struct table *table, size_t index)
{
	return table->items[index];
}

/* The item of this tag that was added to this very table. */
static const struct item *find_here(const struct table *table, const char *tag)
{
	if (!table->tag_capacity)
		return NULL;
	size_t mask = table->tag_capacity - 1;
	for (size_t at = text_hash(tag) & mask; table->by_tag[at]; at = (at + 1) & mask)
		if (strcmp(table->items[table->by_tag[at] - 1]->tag, tag) == 0)
			return table->items[table->by_tag[at] - 1];
	return NULL;
}

const struct item *table_find(const struct table *table, const char *tag)
{
	if (!tag) /* a reference that is owed or unknown names nothing */
		return NULL;
	const struct item *found = find_here(table, tag);
	while (!found && table->under) {
		table = table->under;
		found = find_here(table, tag);
	}
	return found;
}

struct items table_of_kind(const struct table *table, const char *kind)
{
	const struct same_kind *same = table->kind_capacity ? kind_at(table, name_find(kind)) : NULL;
	return same && same->kind ? (struct items){same->rows, same->count} : (struct items){NULL, 0};
}

const struct item *table_sole(const struct table *table, const char *kind)
{
	struct items all = table_of_kind(table, kind);
	return all.count == 1 ? all.rows[0] : NULL;
}

size_t table_parts_end(const struct table *table, const struct item *item)
{
	for (size_t i = item->index + 1; i < table->item_count; i++) {
		const struct item *holder = table->items[i]->parent;
		while (holder && holder != item)
			holder = holder->parent;
		if (!holder)
			return i;
	}
	return table->item_count;
}

/* ---- cells ---- */

static uint32_t key_hash(size_t item, int operating_case, uint32_t name)
{
	uint32_t hash = name ^ (uint32_t)item * 2654435761u ^ (uint32_t)(operating_case + 1) * 40503u;
	return hash ^ hash >> 15;
}

static inline struct cell *cell_at(const struct table *table, size_t item, int operating_case, const struct name *name)
{
	size_t mask = table->cell_capacity - 1;
	size_t at = key_hash(item, operating_case, name->hash) & mask;
	for (;; at = (at + 1) & mask) {
		struct cell *cell = &table->cells[at];
		if (!cell->name || (cell->name == name && cell->item == item && cell->operating_case == operating_case))
			return cell;
	}
}

static bool has_room(const struct table *table, size_t cells)
{
	return 4 * cells <= 3 * table->cell_capacity;
}

static void make_room(struct table *table, size_t cells)
{
	if (has_room(table, cells))
		return;
	struct cell *before = table->cells;
	size_t old = table->cell_capacity;
	do
		table->cell_capacity = table->cell_capacity ? 2 * table->cell_capacity : 256;
	while (!has_room(table, cells));
	table->cells = arena_alloc(table->arena, table->cell_capacity * sizeof *table->cells);
	for (size_t i = 0; i < old; i++)
		if (before[i].name)
			*cell_at(table, before[i].item, before[i].operating_case, before[i].name) = before[i];
	arena_give_back(table->arena, before, old * sizeof *before);
}

void table_reserve(struct table *table, size_t cells)
{
	make_room(table, cells);
}

static inline bool may_have(const struct carried *carried, const struct name *name)
{
	return carried->bits[name->number >> 6 & 3] >> (name->number & 63) & 1;
}

static void note(struct carried *carried, const struct name *name)
{
	carried->bits[name->number >> 6 & 3] |= UINT64_C(1) << (name->number & 63);
}

static inline bool may_carry(const struct table *table, size_t index, const struct name *name)
{
	return index < table->carried_capacity && may_have(&table->carried[index], name);
}

bool table_may_carry(const struct table *table, const struct item *item, const char *name)
{
	const struct name *known = name_find(name);
	while (table && !may_carry(table, item->index, known))
		table = table->under;
	return table != NULL;
}

static void note_carried(struct table *table, size_t index, const struct name *name)
{
	if (index >= table->carried_capacity) {
		size_t twice = 2 * index + 64, larger = twice < table->item_count ? table->item_count : twice;
		struct carried *moved = arena_alloc(table->arena, larger * sizeof *moved);
		if (table->carried_capacity)
			memcpy(moved, table->carried, table->carried_capacity * sizeof *moved);
		table->carried = moved;
		table->carried_capacity = larger;
	}
	note(&table->carried[index], name);
}

static inline const struct carried *of_case(const struct table *table, size_t index)
{
	return index < table->of_case_capacity ? table->of_case[index] : NULL;
}

static struct carried *note_varying(struct table *table, size_t index)
{
	if (index >= table->of_case_capacity) {
		size_t larger = 2 * index + 64;
		struct carried **moved = arena_alloc(table->arena, larger * sizeof(struct carried *));
		if (table->of_case_capacity)
			memcpy(moved, table->of_case, table->of_case_capacity * sizeof(struct carried *));
		table->of_case = moved;
		table->of_case_capacity = larger;
	}
	if (!table->of_case[index])
		table->of_case[index] = arena_alloc(table->arena, sizeof(struct carried));
	return table->of_case[index];
}

static void tell_peek(const struct table *table, const struct item *item, const struct name *name, bool stated)
{
	if (table->watcher && table->watcher->peek)
		table->watcher->peek(item, name, stated, table->watcher->data);
}

static void tell_all(const struct table *table)
{
	if (table->watcher && table->watcher->all)
		table->watcher->all(table->watcher->data);
}

bool table_varies(const struct table *table, const struct item *item)
{
	tell_peek(table, item, name_find(""), false);
	for (; table; table = table->under)
		if (of_case(table, item->index))
			return true;
	return false;
}

void table_set_varying(struct table *table, const struct item *item)
{
	note_varying(table, item->index);
}

static void put(struct table *table, const struct item *item, int operating_case, const struct name *name,
	const struct quantity *quantity)
{
	if (item->index > UINT32_MAX)
		abort(); /* no description has so many */
	make_room(table, table->cell_count + 1);
	if (operating_case != EVERY_CASE)
		note(note_varying(table, item->index), name);
	if (table->watcher && table->watcher->put)
		table->watcher->put(item, operating_case, name, quantity, table->watcher->data);
	note_carried(table, item->index, name);
	struct cell *cell = cell_at(table, item->index, operating_case, name);
	table->cell_count += cell->name == NULL;
	*cell = (struct cell){
		.name = name, .quantity = quantity, .item = (uint32_t)item->index, .operating_case = operating_case};
}

void table_put(struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity)
{
	put(table, item, operating_case, name_find(name), quantity);
}

/* Of a table that may carry it: what is put for this very case, or for all. */
static inline const struct quantity *put_for(
	const struct table *table, size_t index, int operating_case, const struct name *name)
{
	const struct cell *cell = cell_at(table, index, operating_case, name);
	return cell->name ? cell->quantity : NULL;
}

static const struct quantity *look_here(
	const struct table *table, const struct item *item, int operating_case, const struct name *name)
{
	const struct carried *varying = operating_case == EVERY_CASE ? NULL : of_case(table, item->index);
	bool may =
		operating_case == EVERY_CASE ? may_carry(table, item->index, name) : varying && may_have(varying, name);
	return may ? put_for(table, item->index, operating_case, name) : NULL;
}

/* `table`: the first, from above, that may carry it. */
static const struct quantity *peek_case(
	const struct table *table, size_t index, int operating_case, const struct name *name)
{
	const struct quantity *found = NULL;
	for (; table && !found; table = table->under) {
		const struct carried *varying = of_case(table, index);
		if (varying && may_have(varying, name))
			found = put_for(table, index, operating_case, name);
	}
	return found;
}

static const struct quantity *peek_from(
	const struct table *table, size_t index, int operating_case, const struct name *name, struct owing *owing)
{
	const struct quantity *quantity =
		operating_case == EVERY_CASE ? NULL : peek_case(table, index, operating_case, name);
	if (quantity)
		return quantity;
	quantity = put_for(table, index, EVERY_CASE, name);
	while (!quantity && (table = table->under) != NULL)
		if (may_carry(table, index, name))
			quantity = put_for(table, index, EVERY_CASE, name);
	const struct quantity *owed =
		quantity && owing && operating_case != EVERY_CASE ? owing_in(owing, quantity, operating_case) : NULL;
	return owed ? owed : quantity;
}

/* Most looks find nothing. */
static inline const struct quantity *peek(
	const struct table *table, const struct item *item, int operating_case, const struct name *name)
{
	struct owing *owing = table->owing;
	const size_t index = item->index;
	while (table && !may_carry(table, index, name))
		table = table->under;
	return table ? peek_from(table, index, operating_case, name, owing) : NULL;
}

const struct quantity *table_peek(
	const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct name *known = name_find(name);
	tell_peek(table, item, known, false);
	return peek(table, item, operating_case, known);
}

bool table_says_none(const struct table *table, const struct item *item, int operating_case)
{
	const struct quantity *type =
		item_is(item, "reclaimer") ? table_peek(table, item, operating_case, "type") : NULL;
	return type && type->known != UNKNOWN && type->word && strcmp(type->word, "none") == 0;
}

static bool counts_as_read(const struct table *table)
{
	return !(table->watcher && table->watcher->unmarked);
}

void table_read_text(const struct table *table, const struct item *item)
{
	if (item->text_read && counts_as_read(table))
		*item->text_read = true;
}

void table_read(const struct table *table, const struct item *item, const char *name, const struct quantity *quantity)
{
	if (table->watcher && table->watcher->look)
		table->watcher->look(item, name, table->watcher->data);
	if (quantity && quantity->read && counts_as_read(table))
		*quantity->read = true;
}

const struct quantity *table_get(
	const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct quantity *quantity = table_peek(table, item, operating_case, name);
	table_read(table, item, name, quantity);
	return quantity;
}

const struct quantity *table_lacking(
	const struct table *table, const struct item *item, enum kind kind, const char *name)
{
	if (!*table->lacking)
		*table->lacking = table_new(table->arena, NULL, 0);
	const struct quantity *known = table_peek(*table->lacking, item, (int)kind, name);
	if (known)
		return known;
	const char *kept = name_find(name)->text; /* a rule that asks may be gone before the table */
	known = quantity_lacking(table->arena, kind, item_lacks(table->arena, item, kept));
	table_put(*table->lacking, item, (int)kind, kept, known);
	return known;
}

void table_owe(struct table *table, int operating_case, const struct quantity *common, const struct quantity *owed)
{
	if (!table->owing)
		table->owing = owing_new(table->arena);
	owing_add(table->owing, common, operating_case, owed);
}

void table_watch(struct table *table, const struct watcher *watcher)
{
	table->watcher = watcher;
}

bool table_pass(const struct table *table, uintptr_t visitor)
{
	return !table->watcher || !table->watcher->pass || table->watcher->pass(visitor, table->watcher->data);
}

bool table_visits(const struct table *table, const struct item *item)
{
	return !table->watcher || !table->watcher->visit || table->watcher->visit(item, table->watcher->data);
}

void table_add_statement(struct table *table, struct statement statement)
{
	table->statements = arena_grow(table->arena, table->statements, table->statement_count,
		&table->statement_capacity, sizeof *table->statements);
	table->statements[table->statement_count++] = statement;
}

const struct statement *table_statements(const struct table *table, size_t *count)
{
	tell_all(table);
	while (table->under)
		table = table->under;
	*count = table->statement_count;
	return table->statements;
}

void table_add_contradiction(struct table *table, struct contradiction contradiction)
{
	table->contradictions = arena_grow(table->arena, table->contradictions, table->contradiction_count,
		&table->contradiction_capacity, sizeof *table->contradictions);
	table->contradictions[table->contradiction_count++] = contradiction;
}

const struct contradiction *table_contradictions(const struct table *table, size_t *count)
{
	tell_all(table);
	while (!table->contradiction_count && table->under)
		table = table->under;
	*count = table->contradiction_count;
	return table->contradictions;
}

static const struct table *lowest(const struct table *table)
{
	while (table->under)
		table = table->under;
	return table;
}

const struct table *table_lowest(const struct table *table)
{
	tell_all(table);
	return lowest(table);
}

const struct quantity *table_stated(
	const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct name *known = name_find(name);
	tell_peek(table, item, known, true);
	return peek(lowest(table), item, operating_case, known);
}

static bool same_quantity(const struct quantity *a, const struct quantity *b)
{
	return a == b ||
		(a && b && a->known == b->known && a->kind == b->kind && a->bound == b->bound &&
			a->reached == b->reached && a->of_case == b->of_case && a->of_normal == b->of_normal &&
			!(a->si < b->si) && !(a->si > b->si) && text_same(a->word, b->word) &&
			text_same(a->reason, b->reason));
}

static bool puts_other(const struct table *table, const struct item *item, int operating_case, const struct name *name,
	const struct quantity *quantity)
{
	if (operating_case == EVERY_CASE)
		return true;
	tell_peek(table, item, name, false);
	if (look_here(table, item, operating_case, name))
		return true;
	tell_peek(table, item, name, false);
	return !same_quantity(peek(table, item, EVERY_CASE, name), quantity);
}

bool table_puts(const struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity)
{
	return puts_other(table, item, operating_case, name_find(name), quantity);
}

bool table_put_if_other(struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity)
{
	const struct name *known = name_find(name);
	bool other = puts_other(table, item, operating_case, known, quantity);
	if (other)
		put(table, item, operating_case, known, quantity);
	return other;
}

const char *table_word(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct quantity *quantity = table_get(table, item, operating_case, name);
	return quantity && quantity->known != UNKNOWN ? quantity->word : NULL;
}

const char *table_unit_word(const struct table *table, const char *name)
{
	const struct item *unit = table_sole(table, "unit");
	const struct quantity *said = unit ? table_peek(table, unit, EVERY_CASE, name) : NULL;
	return said && said->known != UNKNOWN && said->word ? said->word : "";
}

const struct item *table_follow(const struct table *table, const struct item *item, int operating_case, const char *of)
{
	if (!*of)
		return item;
	if (strcmp(of, "parent") == 0)
		return item->parent;
	for (const struct item *holder = item; holder; holder = holder->parent) {
		const struct quantity *reference = table_get(table, holder, operating_case, of);
		if (reference && reference->kind == KIND_REFERENCE && reference->word)
			return table_find(table, reference->word);
	}
	return table_sole(table, of);
}

size_t table_cell_count(const struct table *table)
{
	return table->cell_count;
}

void table_each_cell(const struct table *table,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *quantity,
		void *data),
	void *data)
{
	tell_all(table);
	for (size_t i = 0; i < table->cell_capacity; i++) {
		const struct cell *cell = &table->cells[i];
		if (cell->name)
			visit(table->items[cell->item], cell->operating_case, cell->name->text, cell->quantity, data);
	}
}

bool table_each_other(const struct table *copy, const struct table *first,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *before,
		const struct quantity *now, void *data),
	void *data)
{
	if (copy->first != first)
		return false;
	tell_all(copy);
	for (size_t i = 0; i < copy->cell_capacity; i++) {
		const struct cell *cell = &copy->cells[i];
		if (!cell->name)
			continue;
		const struct quantity *before = put_for(first, cell->item, cell->operating_case, cell->name);
		if (before != cell->quantity)
			visit(copy->items[cell->item], cell->operating_case, cell->name->text, before, cell->quantity,
				data);
	}
	return true;
}

void table_each_name(const struct table *table, void (*visit)(const char *name, void *data), void *data)
{
	for (; table; table = table->under)
		for (size_t i = 0; i < table->cell_capacity; i++)
			if (table->cells[i].name)
				visit(table->cells[i].name->text, data);
}
