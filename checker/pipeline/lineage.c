#include "pipeline/lineage.h"

#include <string.h>

#include "base/name_index.h"
#include "base/text.h"
#include "pipeline/works.h"
#include "resolve/alike.h"

enum doing { RESTING, LEARNING, VARYING, ASKING };

enum { TURNS_MOST = 64 }; /* passes of one module */

/* A value of the description as it was, and as it is. */
struct renewed {
	const struct quantity *before, *now;
};

struct lineage {
	struct arena *arena;
	enum doing doing;
	bool learnt, unfit; /* unfit: nothing follows from what was seen */
	struct watcher learner, varier;
	struct table *base, *table; /* as it is; with other values */
	struct name_index names;
	size_t item_count;
	struct seen *modules, *running; /* the last is judging; running: NULL between them */
	struct work *outside;		/* what is put by no module */
	bits *known, *moved;		/* looks: of the work that is open; that may come to something else */
	bits *skipped, *asked, *chosen; /* pairs */
	uintptr_t visitors[TURNS_MOST]; /* of the passes of the module so far */
	size_t visitor_count, between_count;
	struct pass *pass;
	bool in_pass, everything, misled, taking;
	struct work *work;	 /* that is open, or NULL */
	struct work **place;	 /* where a new one will be found, if it comes to anything; NULL: it is not new */
	struct work *spare;	 /* one that came to nothing */
	size_t position;	 /* in its puts */
	struct renewed *renewed; /* open addressing, a power of two; by `before` */
	size_t renewed_capacity;
};

/* ---- pairs ---- */

static uint32_t pair_of(struct lineage *lineage, const struct item *item, const char *name, uint32_t hash)
{
	size_t number = name_index_of(&lineage->names, name, hash);
	if (number >= WORKS_NAMES) {
		lineage->unfit = lineage->everything = true;
		number = 0;
	}
	return (uint32_t)(item->index * WORKS_NAMES + number);
}

static bits *bits_new(const struct lineage *lineage, size_t of_each)
{
	return arena_alloc(lineage->arena, (lineage->item_count * WORKS_NAMES * of_each / 64 + 1) * sizeof(bits));
}

static void bits_clear(const struct lineage *lineage, bits *set, size_t of_each)
{
	memset(set, 0, (lineage->item_count * WORKS_NAMES * of_each / 64 + 1) * sizeof *set);
}

static void note_moved(struct lineage *lineage, uint32_t pair)
{
	bits_add(lineage->moved, 2 * pair);
}

/* Whether the item differs by case, which hangs on what is put for one. */
static void note_varying(struct lineage *lineage, const struct item *item)
{
	note_moved(lineage, pair_of(lineage, item, "", 0));
}

/* ---- the work that is open ---- */

static bool is_base(const struct lineage *lineage)
{
	return lineage->doing == LEARNING;
}

/* A work that was done otherwise: all that it put before, and does not now, has moved. */
static void note_missed(struct lineage *lineage, const struct work *work)
{
	for (size_t i = lineage->position; i < work->first_count; i++) {
		note_moved(lineage, work->puts[i].pair);
		if (work->puts[i].operating_case != EVERY_CASE)
			note_varying(lineage, table_item(lineage->base, work->puts[i].item));
	}
}

static bool is_empty(const struct work *work)
{
	return !work->look_count && !work->put_count && !work->whole;
}

static void close_work(struct lineage *lineage)
{
	struct work *work = lineage->work, **place = lineage->place;
	lineage->work = NULL;
	lineage->place = NULL;
	for (size_t i = 0; work && i < work->look_count; i++)
		lineage->known[work->looks[i] / 64] = 0;
	if (work && !is_base(lineage))
		note_missed(lineage, work);
	if (place && is_empty(work)) {
		lineage->spare = work;
	} else if (place) {
		*place = work;
		works_add(lineage->arena, lineage->running, work);
	}
}

static void open_work(struct lineage *lineage, struct work *work)
{
	lineage->work = work;
	lineage->position = 0;
	for (size_t i = 0; work && i < work->look_count; i++)
		bits_add(lineage->known, work->looks[i]);
}

static void open_new(struct lineage *lineage, struct work **place)
{
	struct work *work = lineage->spare ? lineage->spare : arena_alloc(lineage->arena, sizeof *work);
	lineage->spare = NULL;
	open_work(lineage, work);
	lineage->place = place;
}

static void open_between(struct lineage *lineage)
{
	struct seen *seen = lineage->running;
	size_t at = lineage->between_count++;
	if (is_base(lineage)) {
		seen->between = arena_grow(lineage->arena, seen->between, seen->between_count, &seen->between_capacity,
			sizeof(struct work *));
		open_new(lineage, &seen->between[seen->between_count++]);
	} else {
		lineage->everything = lineage->everything || at >= seen->between_count;
		open_work(lineage, at < seen->between_count ? seen->between[at] : NULL);
	}
}

/* ---- watching ---- */

/* Of an item that computing added no value is followed. */
static bool is_beyond(struct lineage *lineage, const struct item *item)
{
	if (item->index < lineage->item_count)
		return false;
	if (lineage->work)
		lineage->work->whole = true;
	if (lineage->running)
		lineage->running->beyond = true;
	return true;
}

static void peek(const struct item *item, const char *name, uint32_t hash, bool stated, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || is_beyond(lineage, item))
		return;
	uint32_t pair = pair_of(lineage, item, name, hash), look = 2 * pair + stated;
	if (lineage->doing == ASKING && !stated && bits_have(lineage->skipped, pair))
		lineage->misled = true;
	if (!lineage->work || bits_have(lineage->known, look))
		return;
	bits_add(lineage->known, look);
	works_look(lineage->arena, lineage->work, look);
}

static void all(void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing != RESTING && lineage->work)
		lineage->work->whole = true;
}

/* What the work put at this place before: the same value is nothing new. */
static void compare_put(struct lineage *lineage, const struct item *item, int operating_case, const char *name,
	uint32_t pair, const struct quantity *quantity)
{
	struct work *work = lineage->work;
	const struct put *before =
		work && lineage->position < work->first_count ? &work->puts[lineage->position] : NULL;
	bool same = before && before->pair == pair && before->operating_case == operating_case;
	if (same)
		lineage->position++;
	if (same && alike_values(before->quantity, quantity))
		return;
	note_moved(lineage, pair);
	if (!same && operating_case != EVERY_CASE)
		note_varying(lineage, item);
	if (!same && work && !works_has_put(work, pair, operating_case))
		works_put(lineage->arena, work,
			(struct put){item->index, operating_case, arena_copy(lineage->arena, name), pair, NULL});
}

static void put(const struct item *item, int operating_case, const char *name, uint32_t hash,
	const struct quantity *quantity, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || lineage->taking || is_beyond(lineage, item))
		return;
	uint32_t pair = pair_of(lineage, item, name, hash);
	if (!is_base(lineage))
		compare_put(lineage, item, operating_case, name, pair, quantity);
	else if (lineage->work)
		works_put(
			lineage->arena, lineage->work, (struct put){item->index, operating_case, name, pair, quantity});
}

static size_t turns_of(const struct lineage *lineage, uintptr_t visitor)
{
	size_t turns = 0;
	for (size_t i = 0; i < lineage->visitor_count; i++)
		turns += lineage->visitors[i] == visitor;
	return turns;
}

static void begin_pass(struct lineage *lineage, uintptr_t visitor)
{
	bool judging = lineage->running == &lineage->modules[compute_module_count()];
	size_t turn = judging ? 0 : turns_of(lineage, visitor);
	close_work(lineage);
	if (lineage->in_pass || lineage->visitor_count == TURNS_MOST)
		lineage->unfit = lineage->everything = true;
	else if (!judging)
		lineage->visitors[lineage->visitor_count++] = visitor;
	lineage->in_pass = true;
	lineage->pass = works_pass(lineage->running, visitor, turn);
	if (is_base(lineage) && !lineage->pass)
		lineage->pass = works_add_pass(lineage->arena, lineage->running, visitor, turn, lineage->item_count);
}

static void pass(uintptr_t visitor, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || !lineage->running)
		return;
	if (visitor) {
		begin_pass(lineage, visitor);
		return;
	}
	close_work(lineage);
	lineage->in_pass = false;
	if (lineage->running != &lineage->modules[compute_module_count()])
		open_between(lineage);
}

/* ---- what is taken over ---- */

static struct renewed *renewed_at(const struct lineage *lineage, const struct quantity *before)
{
	size_t mask = lineage->renewed_capacity - 1, at = ((uintptr_t)before >> 4) * 2654435761u & mask;
	while (lineage->renewed[at].before && lineage->renewed[at].before != before)
		at = (at + 1) & mask;
	return &lineage->renewed[at];
}

/* What was stated is the value of the description as it is now, so that who compares where a value comes from sees the same. */
static const struct quantity *renew(const struct lineage *lineage, const struct quantity *before)
{
	const struct renewed *found = renewed_at(lineage, before);
	return found->before ? found->now : before;
}

static void take(struct lineage *lineage, const struct work *work)
{
	lineage->taking = true;
	for (size_t i = 0; i < work->first_count; i++)
		table_put(lineage->table, table_item(lineage->table, work->puts[i].item), work->puts[i].operating_case,
			work->puts[i].name, renew(lineage, work->puts[i].quantity));
	lineage->taking = false;
}

/* What a work that is left out would have put may not be looked at; its items differ by case as they would have. */
static void skip(struct lineage *lineage, const struct work *work)
{
	for (size_t i = 0; i < work->put_count; i++) {
		bits_add(lineage->skipped, work->puts[i].pair);
		if (work->puts[i].operating_case != EVERY_CASE)
			table_set_varying(lineage->table, table_item(lineage->table, work->puts[i].item));
	}
}

static bool has_moved(const struct lineage *lineage, const struct work *work)
{
	return work->whole || works_looks_at(work, lineage->moved);
}

/* Of a module that runs: is the work done again? */
static bool is_done_again(struct lineage *lineage, struct work *work)
{
	bool forced = lineage->everything || lineage->running->adds;
	if (!work)
		return forced;
	if (!forced && lineage->doing == ASKING && !work->needed) {
		skip(lineage, work);
		return false;
	}
	if (!forced && !has_moved(lineage, work)) {
		take(lineage, work);
		return false;
	}
	open_work(lineage, work);
	return true;
}

static bool visit_to_judge(struct lineage *lineage, const struct item *item)
{
	struct work **place = &lineage->pass->of_item[item->index];
	if (lineage->doing == ASKING) {
		if (*place)
			open_work(lineage, *place);
		return true;
	}
	if (*place && (lineage->everything || has_moved(lineage, *place))) {
		open_work(lineage, *place);
		return true;
	}
	return lineage->everything;
}

static bool visit(const struct item *item, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || !lineage->running)
		return true;
	close_work(lineage);
	if (!lineage->pass || item->index >= lineage->item_count)
		return true;
	if (is_base(lineage)) {
		open_new(lineage, &lineage->pass->of_item[item->index]);
		return true;
	}
	if (lineage->running == &lineage->modules[compute_module_count()])
		return visit_to_judge(lineage, item);
	return is_done_again(lineage, lineage->pass->of_item[item->index]);
}

/* ---- the unit as it is ---- */

struct lineage *lineage_new(struct arena *arena)
{
	struct lineage *lineage = arena_alloc(arena, sizeof *lineage);
	*lineage = (struct lineage){.arena = arena, .names = {.arena = arena}};
	lineage->learner =
		(struct watcher){.peek = peek, .all = all, .put = put, .pass = pass, .visit = visit, .data = lineage};
	lineage->varier = lineage->learner;
	lineage->varier.unmarked = true;
	return lineage;
}

/* Is there a value that is owed in one case and not in the others? */
static void note_owed(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	bool *owed = data;
	(void)item, (void)name;
	*owed = *owed || (operating_case != EVERY_CASE && quantity->known == UNKNOWN);
}

static bool owes_by_case(const struct table *table)
{
	bool owed = false;
	table_each_cell(table_lowest(table), note_owed, &owed);
	return owed;
}

void lineage_watch(struct lineage *lineage, struct table *table)
{
	lineage->base = table;
	lineage->item_count = table_item_count(table);
	lineage->unfit = lineage->item_count > WORKS_ITEMS || owes_by_case(table);
	lineage->learnt = true;
	if (lineage->unfit)
		return;
	lineage->modules = arena_alloc(lineage->arena, (compute_module_count() + 1) * sizeof *lineage->modules);
	lineage->outside = arena_alloc(lineage->arena, sizeof *lineage->outside);
	lineage->known = bits_new(lineage, 2);
	lineage->moved = bits_new(lineage, 2);
	lineage->skipped = bits_new(lineage, 1);
	lineage->asked = bits_new(lineage, 1);
	lineage->chosen = bits_new(lineage, 1);
	lineage->doing = LEARNING;
	open_work(lineage, lineage->outside);
	table_watch(table, &lineage->learner);
}

static void enter(struct lineage *lineage, size_t module)
{
	close_work(lineage);
	lineage->running = &lineage->modules[module];
	lineage->visitor_count = lineage->between_count = 0;
	lineage->in_pass = false;
	open_between(lineage);
}

static void leave(struct lineage *lineage)
{
	close_work(lineage);
	lineage->running = NULL;
}

void lineage_enter(struct lineage *lineage, size_t module)
{
	if (lineage->doing == LEARNING)
		enter(lineage, module);
}

void lineage_leave(struct lineage *lineage)
{
	struct seen *seen = lineage->running;
	if (lineage->doing != LEARNING)
		return;
	leave(lineage);
	seen->items_after = table_item_count(lineage->base);
	size_t before = seen == lineage->modules ? lineage->item_count : seen[-1].items_after;
	seen->adds = seen->items_after > before;
	open_work(lineage, lineage->outside);
}

void lineage_run(struct lineage *lineage, size_t module)
{
	lineage_enter(lineage, module);
	compute_module(lineage->base, module);
	lineage_leave(lineage);
}

static void judging(struct lineage *lineage)
{
	close_work(lineage);
	lineage->running = &lineage->modules[compute_module_count()];
	lineage->in_pass = false;
}

void lineage_judging(struct lineage *lineage)
{
	if (lineage->doing == LEARNING)
		judging(lineage);
}

void lineage_rest(struct lineage *lineage)
{
	if (lineage->doing == RESTING)
		return;
	leave(lineage);
	lineage->doing = RESTING;
}

const struct table *lineage_learn(struct lineage *lineage, struct arena *arena, const struct table *resolved)
{
	struct table *table = compute_begin(arena, resolved);
	lineage_watch(lineage, table);
	for (size_t m = 0; m < compute_module_count(); m++)
		lineage_run(lineage, m);
	lineage_judging(lineage);
	return table;
}

/* ---- with other values ---- */

static void note_renewed(struct lineage *lineage, const struct quantity *before, const struct quantity *now)
{
	struct renewed *place = renewed_at(lineage, before);
	if (!place->before)
		*place = (struct renewed){before, now};
}

struct comparing {
	struct lineage *lineage;
	const struct table *own, *other;
	size_t count;
};

static void count_cell(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	(void)item, (void)operating_case, (void)name, (void)quantity;
	++*(size_t *)data;
}

/* A value stated for one case is not that of all cases, be it the same. */
static bool has_own(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	return operating_case == EVERY_CASE ||
		table_peek(table, item, operating_case, name) != table_peek(table, item, EVERY_CASE, name);
}

static void compare_stated(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct comparing *comparing = data;
	struct lineage *lineage = comparing->lineage;
	const struct item *there = table_item(comparing->other, item->index);
	const struct quantity *other = table_peek(comparing->other, there, operating_case, name);
	bool own = has_own(comparing->own, item, operating_case, name) ==
		has_own(comparing->other, there, operating_case, name);
	if (other && comparing->own == table_lowest(lineage->base))
		note_renewed(lineage, quantity, other);
	if (own && alike_values(quantity, other))
		return;
	uint32_t pair = pair_of(lineage, item, name, text_hash(name));
	bits_add(lineage->moved, 2 * pair);
	bits_add(lineage->moved, 2 * pair + 1);
	if (operating_case != EVERY_CASE)
		note_varying(lineage, item);
}

/* Every value of each description, be it found in the other or not; and what no module puts. */
static void note_all_moved(struct lineage *lineage, const struct table *resolved)
{
	const struct table *base = table_lowest(lineage->base);
	struct comparing there = {.lineage = lineage, .own = base, .other = resolved},
			 back = {.lineage = lineage, .own = resolved, .other = base};
	bits_clear(lineage, lineage->moved, 2);
	if (!lineage->renewed) {
		size_t count = 0, capacity = 64;
		table_each_cell(base, count_cell, &count);
		while (capacity < 2 * count)
			capacity *= 2;
		lineage->renewed_capacity = capacity;
		lineage->renewed = arena_alloc(lineage->arena, capacity * sizeof *lineage->renewed);
	}
	memset(lineage->renewed, 0, lineage->renewed_capacity * sizeof *lineage->renewed);
	table_each_cell(base, compare_stated, &there);
	table_each_cell(resolved, compare_stated, &back);
	for (size_t i = 0; i < lineage->outside->put_count; i++)
		note_moved(lineage, lineage->outside->puts[i].pair);
}

/* False: nothing follows from the unit as it was. */
static bool begin(struct lineage *lineage, struct arena *arena, const struct table *resolved, enum doing doing)
{
	lineage_rest(lineage);
	if (!lineage->learnt || lineage->unfit || !alike_items(lineage->base, resolved) || owes_by_case(resolved))
		return false;
	note_all_moved(lineage, resolved);
	lineage->table = compute_begin(arena, resolved);
	lineage->everything = lineage->misled = false;
	lineage->doing = doing;
	table_watch(lineage->table, &lineage->varier);
	return true;
}

static bool any_moved(const struct lineage *lineage, const struct seen *seen)
{
	bool any = seen->adds || seen->beyond || lineage->everything;
	for (size_t i = 0; i < seen->work_count && !any; i++)
		any = has_moved(lineage, seen->works[i]);
	return any;
}

static bool adds_the_same(const struct lineage *lineage, const struct seen *seen)
{
	bool same = table_item_count(lineage->table) == seen->items_after;
	size_t before = seen == lineage->modules ? lineage->item_count : seen[-1].items_after;
	for (size_t i = before; same && i < seen->items_after; i++)
		same = text_same(table_item(lineage->table, i)->tag, table_item(lineage->base, i)->tag);
	return same;
}

static void run_again(struct lineage *lineage, size_t module)
{
	enter(lineage, module);
	compute_module(lineage->table, module);
	leave(lineage);
	lineage->everything = lineage->everything || !adds_the_same(lineage, &lineage->modules[module]);
}

const struct table *lineage_vary(struct lineage *lineage, struct arena *arena, const struct table *resolved)
{
	if (!lineage || !begin(lineage, arena, resolved, VARYING))
		return compute_table(arena, resolved, ANALYSES_SULFIDE);
	for (size_t m = 0; m < compute_module_count(); m++) {
		const struct seen *seen = &lineage->modules[m];
		if (any_moved(lineage, seen))
			run_again(lineage, m);
		else
			for (size_t i = 0; i < seen->work_count; i++)
				take(lineage, seen->works[i]);
	}
	judging(lineage);
	return lineage->table;
}

/* ---- asking ---- */

void lineage_ask_nothing(struct lineage *lineage)
{
	if (lineage->learnt && !lineage->unfit)
		bits_clear(lineage, lineage->asked, 1);
}

bool lineage_ask(struct lineage *lineage, const struct rule *rule, const struct item *item)
{
	if (!lineage->learnt || lineage->unfit || item->index >= lineage->item_count)
		return false;
	const struct pass *pass = works_pass(&lineage->modules[compute_module_count()], (uintptr_t)rule, 0);
	const struct work *work = pass ? pass->of_item[item->index] : NULL;
	for (size_t i = 0; work && i < work->look_count; i++)
		bits_add(lineage->asked, work->looks[i] / 2);
	return work && !work->whole;
}

const struct table *lineage_table(struct lineage *lineage, struct arena *arena, const struct table *resolved)
{
	if (!begin(lineage, arena, resolved, ASKING))
		return NULL;
	bits_clear(lineage, lineage->skipped, 1);
	memcpy(lineage->chosen, lineage->asked, (lineage->item_count * WORKS_NAMES / 64 + 1) * sizeof(bits));
	works_choose(lineage->modules, compute_module_count(), lineage->chosen);
	for (size_t m = 0; m < compute_module_count() && !lineage->misled; m++) {
		const struct seen *seen = &lineage->modules[m];
		if (seen->needed)
			run_again(lineage, m);
		else
			for (size_t i = 0; i < seen->work_count; i++)
				skip(lineage, seen->works[i]);
	}
	judging(lineage);
	return lineage->everything ? NULL : lineage->table;
}

bool lineage_misled(const struct lineage *lineage)
{
	return lineage->misled;
}
