#include "pipeline/lineage.h"

#include <string.h>

#include "base/name.h"
#include "pipeline/renewed.h"
#include "pipeline/works.h"
#include "resolve/alike.h"

enum doing { RESTING, LEARNING, VARYING, ASKING };

enum { TURNS_MOST = 64 }; /* passes of one module */

struct lineage {
	struct arena *arena;
	enum doing doing;
	bool learnt, unfit; /* unfit: nothing follows from what was seen */
	struct watcher learner, varier;
	struct table *base, *table;	/* as it is; with other values */
	size_t item_count;		/* of the description */
	size_t items_before;		/* the module that runs added any */
	struct seen *modules, *running; /* the last is judging; running: NULL between them */
	struct work *outside;		/* what is put by no module */
	bits *known, *moved;		/* looks: of the work that is open; that may come to something else */
	bits *skipped, *asked, *chosen; /* pairs */
	uintptr_t visitors[TURNS_MOST]; /* of the passes of the module so far */
	size_t visitor_count, between_count;
	struct pass *pass;
	bool in_pass, everything, misled, taking;
	struct work *work;   /* that is open, or NULL */
	struct work **place; /* where a new one will be found, if it comes to anything; NULL: it is not new */
	struct work *spare;  /* one that came to nothing */
	size_t position;     /* in its puts */
	struct renewed renewed;
};

/* ---- pairs ---- */

/* An item that computing added: a contradiction. */
static bool is_added(const struct lineage *lineage, const struct item *item)
{
	return item->index >= lineage->item_count;
}

/* What is added need not be the same again: all of them are one item. */
static uint32_t pair_of(struct lineage *lineage, const struct item *item, const struct name *name)
{
	size_t number = name->number;
	size_t index = is_added(lineage, item) ? lineage->item_count : item->index;
	if (number >= WORKS_NAMES) {
		lineage->unfit = lineage->everything = true;
		number = 0;
	}
	return (uint32_t)(index * WORKS_NAMES + number);
}

static size_t bits_size(const struct lineage *lineage, size_t of_each)
{
	return (lineage->item_count + 1) * WORKS_NAMES * of_each / 64 * sizeof(bits);
}

static bits *bits_new(const struct lineage *lineage, size_t of_each)
{
	return arena_alloc(lineage->arena, bits_size(lineage, of_each));
}

static void bits_clear(const struct lineage *lineage, bits *set, size_t of_each)
{
	memset(set, 0, bits_size(lineage, of_each));
}

static void note_moved(struct lineage *lineage, uint32_t pair)
{
	bits_add(lineage->moved, 2 * pair);
}

/* Whether the item differs by case, which hangs on what is put for one. */
static void note_varying(struct lineage *lineage, const struct item *item)
{
	note_moved(lineage, pair_of(lineage, item, name_find("")));
}

static void note_stated(const struct item *item, int operating_case, const char *name, void *data)
{
	struct lineage *lineage = data;
	uint32_t pair = pair_of(lineage, item, name_find(name));
	bits_add(lineage->moved, 2 * pair);
	bits_add(lineage->moved, 2 * pair + 1);
	if (operating_case != EVERY_CASE)
		note_varying(lineage, item);
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
	if (!work)
		return;
	for (size_t i = 0; i < work->look_count; i++)
		lineage->known[work->looks[i] / 64] = 0;
	if (!is_base(lineage))
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

/* What is done with an added item by itself is no work: its module runs in any case. */
static void note_beyond(struct lineage *lineage)
{
	if (lineage->running)
		lineage->running->beyond = true;
}

static void peek(const struct item *item, const struct name *name, bool stated, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING)
		return;
	if (!lineage->work && is_added(lineage, item))
		note_beyond(lineage);
	uint32_t pair = pair_of(lineage, item, name), look = 2 * pair + stated;
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
static void compare_put(struct lineage *lineage, const struct item *item, int operating_case, const struct name *name,
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
		works_put(lineage->arena, work, (struct put){item->index, operating_case, name->text, pair, NULL});
}

/* The module that runs adds items, whose values are followed from there on. */
static bool is_adding(const struct lineage *lineage)
{
	return lineage->work && lineage->running &&
		(is_base(lineage) ? table_item_count(lineage->base) > lineage->items_before : lineage->running->adds);
}

/* What another module puts on an added item is taken to move. */
static void note_put_beyond(struct lineage *lineage, uint32_t pair)
{
	if (lineage->work)
		lineage->work->whole = true;
	note_beyond(lineage);
	note_moved(lineage, pair);
}

static void put(const struct item *item, int operating_case, const struct name *name, const struct quantity *quantity,
	void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || lineage->taking)
		return;
	uint32_t pair = pair_of(lineage, item, name);
	if (is_added(lineage, item) && !is_adding(lineage))
		note_put_beyond(lineage, pair);
	else if (!is_base(lineage))
		compare_put(lineage, item, operating_case, name, pair, quantity);
	else if (lineage->work)
		works_put(lineage->arena, lineage->work,
			(struct put){item->index, operating_case, name->text, pair, quantity});
}

static size_t turns_of(const struct lineage *lineage, uintptr_t visitor)
{
	size_t turns = 0;
	for (size_t i = 0; i < lineage->visitor_count; i++)
		turns += lineage->visitors[i] == visitor;
	return turns;
}

static bool is_judging(const struct lineage *lineage)
{
	return lineage->running == &lineage->modules[compute_module_count()];
}

static void begin_pass(struct lineage *lineage, uintptr_t visitor)
{
	bool judging = is_judging(lineage);
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

static bool has_moved(const struct lineage *lineage, const struct work *work)
{
	return work->whole || works_looks_at(work, lineage->moved);
}

static bool any_to_judge(const struct lineage *lineage)
{
	const struct pass *pass = lineage->pass;
	bool any = lineage->doing != VARYING || lineage->everything || !pass;
	for (size_t i = any ? 0 : pass->begin; !any && i < pass->end; i++)
		any = works_of(pass, i) && has_moved(lineage, works_of(pass, i));
	return any;
}

static bool pass(uintptr_t visitor, void *data)
{
	struct lineage *lineage = data;
	if (lineage->doing == RESTING || !lineage->running)
		return true;
	if (visitor) {
		begin_pass(lineage, visitor);
		return !is_judging(lineage) || any_to_judge(lineage);
	}
	close_work(lineage);
	lineage->in_pass = false;
	if (!is_judging(lineage))
		open_between(lineage);
	return true;
}

/* ---- what is taken over ---- */

/* What was stated is taken as it is stated now, so that who compares where a value comes from sees the same. */
static void take(struct lineage *lineage, const struct work *work)
{
	lineage->taking = true;
	for (size_t i = 0; i < work->first_count; i++)
		table_put(lineage->table, table_item(lineage->table, work->puts[i].item), work->puts[i].operating_case,
			work->puts[i].name, renewed_of(&lineage->renewed, work->puts[i].quantity));
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
	struct work *work = works_of(lineage->pass, item->index);
	if (lineage->doing == ASKING) {
		if (work)
			open_work(lineage, work);
		return true;
	}
	if (work && (lineage->everything || has_moved(lineage, work))) {
		open_work(lineage, work);
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
		open_new(lineage, works_place(lineage->arena, lineage->pass, item->index));
		return true;
	}
	if (is_judging(lineage))
		return visit_to_judge(lineage, item);
	return is_done_again(lineage, works_of(lineage->pass, item->index));
}

/* ---- the unit as it is ---- */

struct lineage *lineage_new(struct arena *arena)
{
	struct lineage *lineage = arena_alloc(arena, sizeof *lineage);
	*lineage = (struct lineage){.arena = arena};
	lineage->learner =
		(struct watcher){.peek = peek, .all = all, .put = put, .pass = pass, .visit = visit, .data = lineage};
	lineage->renewed = (struct renewed){.arena = arena, .moved = note_stated, .data = lineage};
	lineage->varier = lineage->learner;
	lineage->varier.unmarked = true;
	return lineage;
}

void lineage_watch(struct lineage *lineage, struct table *table)
{
	lineage->base = table;
	lineage->item_count = table_item_count(table);
	lineage->unfit = lineage->item_count > WORKS_ITEMS || renewed_owes(table_lowest(table));
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
	lineage->items_before = table_item_count(lineage->base);
	if (lineage->doing == LEARNING)
		enter(lineage, module);
}

void lineage_leave(struct lineage *lineage)
{
	struct seen *seen = lineage->running;
	if (lineage->doing != LEARNING)
		return;
	leave(lineage);
	seen->adds = table_item_count(lineage->base) > lineage->items_before;
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

/* What is stated otherwise, and what no module puts. */
static void note_all_moved(struct lineage *lineage, const struct table *resolved)
{
	bits_clear(lineage, lineage->moved, 2);
	renewed_fill(&lineage->renewed, table_lowest(lineage->base), resolved);
	for (size_t i = 0; i < lineage->outside->put_count; i++)
		note_moved(lineage, lineage->outside->puts[i].pair);
}

/* False: nothing follows from the unit as it was. */
static bool begin(struct lineage *lineage, struct arena *arena, const struct table *resolved, enum doing doing)
{
	lineage_rest(lineage);
	if (!lineage->learnt || lineage->unfit || !alike_items(lineage->base, resolved))
		return false;
	note_all_moved(lineage, resolved);
	if (lineage->renewed.owed)
		return false;
	lineage->table = compute_begin(arena, resolved);
	if (doing == VARYING)
		table_reserve(lineage->table, table_cell_count(lineage->base));
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

/*
 * Computing adds contradictions: what visits them one by one is done again in any case, and what looks at their values where any of
 * them moved. Where there was none before, nobody knows what that would be.
 */
static bool adds_the_first(const struct lineage *lineage)
{
	return table_item_count(lineage->base) == lineage->item_count &&
		table_item_count(lineage->table) > lineage->item_count;
}

static void run_again(struct lineage *lineage, size_t module)
{
	enter(lineage, module);
	compute_module(lineage->table, module);
	leave(lineage);
	lineage->everything = lineage->everything || adds_the_first(lineage);
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
	const struct work *work = pass ? works_of(pass, item->index) : NULL;
	for (size_t i = 0; work && i < work->look_count; i++)
		bits_add(lineage->asked, work->looks[i] / 2);
	return work && !work->whole;
}

const struct table *lineage_table(struct lineage *lineage, struct arena *arena, const struct table *resolved)
{
	if (!begin(lineage, arena, resolved, ASKING))
		return NULL;
	bits_clear(lineage, lineage->skipped, 1);
	memcpy(lineage->chosen, lineage->asked, bits_size(lineage, 1));
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
