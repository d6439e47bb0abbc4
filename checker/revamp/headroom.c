#include "revamp/headroom.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/pipe.h"
#include "resolve/resolve.h"
#include "resolve/service.h"

const double HEADROOM_LEAST = 0.3, HEADROOM_MOST = 3;

static const double TOLERANCE = 1e-6; /* of the factor */

/* ---- what the flow drives ---- */

enum drive { DRIVE_FLOW, DRIVE_HEAT };

static const struct {
	const char *attribute;
	double exponent;
	enum drive drive;
} drives[] = {
#define DRIVE(attribute, exponent, drive) {attribute, exponent, DRIVE_##drive},
#include "revamp/drives.def"
#undef DRIVE
};

static bool is_gas(const struct item *item, const char *service)
{
	return item_is(item, "gas") || item_is(item, "hydrocarbon-feed") || service_is(service, SERVICE_GAS);
}

/* Vessels say no service of their own: a flash drum holds rich solution. */
static bool holds_amine(const struct item *item)
{
	return item_is(item, "flash-drum");
}

static bool is_driven(const struct table *table, const struct item *item, enum drive drive, enum driver driver)
{
	const char *service = table_word(table, item, EVERY_CASE, "service");
	for (int c = 0; !service && c < (int)table_case_count(table); c++)
		service = table_word(table, item, c, "service");
	if (drive == DRIVE_HEAT)
		return driver == DRIVER_THROUGHPUT;
	if (service_is(service, SERVICE_CIRCULATED) || holds_amine(item))
		return driver != DRIVER_GAS;
	if (is_gas(item, service))
		return driver != DRIVER_CIRCULATION;
	return driver == DRIVER_THROUGHPUT &&
		(text_same(service, "reflux") || text_same(service, "steam") || text_same(service, "condensate"));
}

struct collecting {
	struct arena *arena;
	const struct table *table;
	enum driver driver;
	struct driven *rows;
	size_t count, capacity;
};

/* The item an element describes; an override or a restatement speaks of the one it is in. */
static const struct item *item_of(const struct table *table, const struct element *element)
{
	if (element_is(element, "in") || element_is(element, "stated"))
		element = element->parent;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (item->place.line == element->place.line && item->place.column == element->place.column &&
			strcmp(item->kind, element->meaning->name) == 0)
			return item;
	}
	return NULL;
}

static void collect(const struct element *element, void *data)
{
	struct collecting *to = data;
	const struct item *item = NULL;
	const char *operating_case = element_attribute(element, "case");
	for (size_t i = 0; i < COUNT(drives); i++) {
		const char *written = element_attribute(element, drives[i].attribute);
		if (written && !item)
			item = item_of(to->table, element);
		if (!written || !item || !is_driven(to->table, item, drives[i].drive, to->driver) ||
			!variant_scaled(to->arena, written, 1))
			continue;
		to->rows = arena_grow(to->arena, to->rows, to->count, &to->capacity, sizeof *to->rows);
		to->rows[to->count++] = (struct driven){.element = element,
			.item = item->tag,
			.name = drives[i].attribute,
			.written = written,
			.operating_case = operating_case ? operating_case : "",
			.exponent = drives[i].exponent};
	}
}

struct driven_list headroom_driven(
	struct arena *arena, const struct element *unit, const struct table *table, enum driver driver)
{
	struct collecting to = {.arena = arena, .table = table, .driver = driver};
	element_each(unit, collect, &to);
	return (struct driven_list){.rows = to.rows, .count = to.count};
}

const struct element *headroom_at(struct arena *arena, const struct element *unit, struct driven_list driven,
	const struct variant *more, double factor)
{
	struct variant variant = variant_in(arena);
	for (size_t i = 0; i < driven.count; i++)
		variant_set(&variant, driven.rows[i].element, driven.rows[i].name,
			variant_scaled(arena, driven.rows[i].written, pow(factor, driven.rows[i].exponent)));
	if (more)
		variant_append(&variant, more);
	return variant_build(arena, &variant, unit);
}

/* ---- the scan ---- */

struct unit_at {
	const struct element *unit;
	struct driven_list driven;
	const struct variant *more;
};

static const struct element *at_factor(struct arena *arena, double x, void *data)
{
	const struct unit_at *at = data;
	return headroom_at(arena, at->unit, at->driven, at->more, x);
}

/* Evenly spaced in the logarithm, with 1 among the points: the unit as it is. */
static size_t fill_grid(double *grid, size_t count)
{
	for (size_t i = 0; i < count; i++)
		grid[i] = HEADROOM_LEAST * pow(HEADROOM_MOST / HEADROOM_LEAST, (double)i / (double)(count - 1));
	size_t nearest = 0;
	for (size_t i = 0; i < count; i++)
		if (fabs(log(grid[i])) < fabs(log(grid[nearest])))
			nearest = i;
	grid[nearest] = 1;
	return nearest;
}

static enum point_verdict point_verdict_at(const struct scan *scan, const struct track *track, double x)
{
	for (size_t i = 0; i < scan->setup->count; i++)
		if (!(scan->setup->grid[i] < x))
			return track->samples[i].verdict;
	return POINT_OPEN;
}

/* The first turn into a departure with the factor rising. */
static const struct turn *first_reached(const struct track *track)
{
	for (size_t i = 0; i < track->turn_count; i++)
		if (track->turns[i].to == POINT_DEPARTS)
			return &track->turns[i];
	return NULL;
}

/* ---- what would move a limit ---- */

struct mover {
	struct arena *arena;
	struct unit_at at;
	const struct table *table;
	const struct catalogue *catalogue;
	struct lineage *lineage;
	const double *grid;
	size_t points, unit_point; /* unit_point: of factor 1, in the grid of the tracks */
	struct move *rows;
	size_t count, capacity;
};

/* Does the edit change the value or the verdict of the rule at all? Asked of the unit as it is. */
static bool moves_anything(struct mover *mover, const struct track *track, struct unit_at *at)
{
	const double one = 1;
	struct scan_setup setup = {.arena = mover->arena,
		.catalogue = mover->catalogue,
		.lineage = mover->lineage,
		.at = at_factor,
		.data = at,
		.grid = &one,
		.count = 1,
		.tolerance = TOLERANCE,
		.only_item = track->item,
		.only_judged = track->rule->inputs[track->rule->judged].quantity};
	struct scan scan = scan_run(&setup);
	const struct sample *before = &track->samples[mover->unit_point];
	for (size_t t = 0; t < scan.track_count; t++)
		if (scan.tracks[t].rule == track->rule)
			return scan_differs(&scan.tracks[t].samples[0], before);
	return true; /* it cannot be computed, or the rule no longer selects the item */
}

/* The first factor at which any rule on the same quantity of the same item is departed from. */
static void try_move(struct mover *mover, const struct track *track, const struct variant *edits, const char *what)
{
	struct unit_at at = mover->at;
	struct move move = {.what = what};
	at.more = edits;
	if (!moves_anything(mover, track, &at))
		return;
	struct scan_setup setup = {.arena = mover->arena,
		.catalogue = mover->catalogue,
		.lineage = mover->lineage,
		.at = at_factor,
		.data = &at,
		.grid = mover->grid,
		.count = mover->points,
		.tolerance = TOLERANCE,
		.only_item = track->item,
		.only_judged = track->rule->inputs[track->rule->judged].quantity};
	struct scan scan = scan_run(&setup);
	for (size_t i = 0; i < scan.setup->count && !move.fault; i++)
		move.fault = scan.faults[i];
	for (size_t t = 0; t < scan.track_count; t++) {
		const struct track *other = &scan.tracks[t];
		const struct turn *turn = first_reached(other);
		bool always = !turn && other->samples[0].verdict == POINT_DEPARTS;
		double factor = always ? HEADROOM_LEAST : turn ? turn->at : 0;
		if ((turn || always) && (!move.reached || factor < move.factor)) {
			move.reached = true;
			move.factor = factor;
			move.rule = other->rule->id;
		}
	}
	mover->rows = arena_grow(mover->arena, mover->rows, mover->count, &mover->capacity, sizeof *mover->rows);
	mover->rows[mover->count++] = move;
}

/* Every statement of the value: the item's own, and those for single cases. What other documents say is left out. */
static void set_everywhere(struct variant *edits, const struct element *element, const char *name, const char *written)
{
	variant_set(edits, element, name, written);
	for (size_t i = 0; i < element->child_count; i++)
		if ((element_is(element->children[i], "in") || element_is(element->children[i], "stated")) &&
			element_attribute(element->children[i], name))
			variant_set(edits, element->children[i], name, NULL);
}

static void try_next_size(
	struct mover *mover, const struct track *track, const struct element *element, const struct item *item)
{
	const char *size = table_word(mover->table, item, EVERY_CASE, "size");
	const char *schedule = table_word(mover->table, item, EVERY_CASE, "schedule");
	struct pipe pipe;
	if (!size || !schedule || !pipe_next(size, schedule, &pipe) || element_attribute(element, "bore"))
		return;
	struct variant edits = variant_in(mover->arena);
	set_everywhere(&edits, element, "size", pipe.size);
	set_everywhere(&edits, element, "schedule", pipe.schedule);
	try_move(mover, track, &edits,
		arena_format(mover->arena, "next pipe size: %s schedule %s", pipe.size, pipe.schedule));
}

static void double_value(struct mover *mover, struct variant *edits, const struct element *element, const char *name)
{
	const char *written = element ? element_attribute(element, name) : NULL;
	const char *twice = written ? variant_scaled(mover->arena, written, 2) : NULL;
	if (twice)
		set_everywhere(edits, element, name, twice);
}

/* A second shell beside the first: each takes half of the flow. */
static void try_second_shell(struct mover *mover, const struct track *track, const struct element *element)
{
	struct variant edits = variant_in(mover->arena);
	bool side = element_is(element, "tube-side");
	const struct element *whole = side ? element->parent : element;
	unsigned classes = equipment_classes(whole->meaning->name);
	bool shell = (classes & CLASS_HEAT_EXCHANGER) && !(classes & CLASS_SIDE_STREAM);
	const struct element *tubes = side ? element : element_child(element, "tube-side");
	if (!shell || !(element_attribute(whole, "area") || (tubes && element_attribute(tubes, "tubes"))))
		return;
	double_value(mover, &edits, tubes, "tubes");
	double_value(mover, &edits, whole, "area");
	double_value(mover, &edits, whole, "shells");
	try_move(mover, track, &edits, "a second shell in parallel");
}

static void try_stainless(
	struct mover *mover, const struct track *track, const struct element *element, const struct item *item)
{
	if (!text_same(table_word(mover->table, item, EVERY_CASE, "material-family"), "carbon steel") ||
		!vocabulary_attribute(element->meaning, "material"))
		return;
	struct variant edits = variant_in(mover->arena);
	set_everywhere(&edits, element, "material", "316L");
	try_move(mover, track, &edits, element_is(element, "tube-side") ? "tubes of 316L" : "316L");
}

static void find_moves(struct mover *mover, struct limit_row *row)
{
	const struct item *item = table_find(mover->table, row->track->item);
	const struct element *element = item ? resolve_element(mover->at.unit, item) : NULL;
	mover->rows = NULL;
	mover->count = mover->capacity = 0;
	if (!element || row->track->rule->judged < 0)
		return;
	try_next_size(mover, row->track, element, item);
	try_second_shell(mover, row->track, element);
	try_stainless(mover, row->track, element, item);
	row->moves = mover->rows;
	row->move_count = mover->count;
}

/* ---- sorting ---- */

static int limit_before(const void *left, const void *right)
{
	const struct limit_row *a = left, *b = right;
	double fa = a->has_factor ? a->factor : 0, fb = b->has_factor ? b->factor : 0;
	if (fa < fb || fa > fb)
		return fa < fb ? -1 : 1;
	int rules = strcmp(a->track->rule->id, b->track->rule->id);
	return rules ? rules : strcmp(a->track->item, b->track->item);
}

/* When flow alone is multiplied what was stated of the rest no longer fits it: a fact of the question, not of the plant. */
static bool is_balance(const struct rule *rule)
{
	return strcmp(rule->family, "balance") == 0;
}

static void sort_tracks(struct headroom *headroom, struct arena *arena)
{
	size_t count = headroom->scan.track_count;
	struct limit_row *limits = arena_alloc(arena, (count + 1) * sizeof *limits);
	const struct track **opposite = arena_alloc(arena, (count + 1) * sizeof *opposite);
	const struct track **open = arena_alloc(arena, (count + 1) * sizeof *open);
	const struct track **balances = arena_alloc(arena, (count + 1) * sizeof *balances);
	for (size_t i = 0; i < count; i++) {
		const struct track *track = &headroom->scan.tracks[i];
		const struct turn *turn = first_reached(track);
		bool passed = point_verdict_at(&headroom->scan, track, 1) == POINT_DEPARTS;
		bool ever = track->samples[0].verdict == POINT_DEPARTS;
		if (!track->moves)
			continue;
		if (is_balance(track->rule) && (ever || track->turn_count))
			balances[headroom->balance_count++] = track;
		else if (turn || (ever && !track->turn_count))
			limits[headroom->limit_count++] = (struct limit_row){.track = track,
				.passed = passed,
				.has_factor = turn != NULL,
				.factor = turn ? turn->at : 0,
				.operating_case = turn ? turn->operating_case : track->samples[0].operating_case,
				.limit = turn ? turn->limit : track->limit};
		else if (track->turn_count && ever)
			opposite[headroom->opposite_count++] = track;
		else if (track->samples[0].has_margin)
			open[headroom->free_count++] = track;
	}
	qsort(limits, headroom->limit_count, sizeof *limits, limit_before);
	headroom->limits = limits;
	headroom->balances = balances;
	headroom->opposite = opposite;
	headroom->free = open;
}

struct headroom headroom_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct catalogue *catalogue, enum driver driver, bool moves)
{
	enum {
		MOVE_POINTS = 9,
		MOVED_MOST = 12
	}; /* the first limits: those further on would come after other changes */
	struct headroom headroom = {.driven = headroom_driven(arena, unit, table, driver)};
	struct unit_at *at = arena_alloc(arena, sizeof *at);
	struct scan_setup *setup = arena_alloc(arena, sizeof *setup);
	double *grid = arena_alloc(arena, HEADROOM_POINTS * sizeof *grid);
	double coarse[MOVE_POINTS];
	*at = (struct unit_at){.unit = unit, .driven = headroom.driven};
	size_t unit_point = fill_grid(grid, HEADROOM_POINTS);
	fill_grid(coarse, MOVE_POINTS);
	*setup = (struct scan_setup){.arena = arena,
		.catalogue = catalogue,
		.at = at_factor,
		.data = at,
		.grid = grid,
		.count = HEADROOM_POINTS,
		.tolerance = TOLERANCE};
	headroom.scan = scan_run(setup);
	sort_tracks(&headroom, arena);
	struct mover mover = {.arena = arena,
		.at = *at,
		.table = table,
		.catalogue = catalogue,
		.lineage = headroom.scan.lineage,
		.grid = coarse,
		.points = MOVE_POINTS,
		.unit_point = unit_point};
	for (size_t i = 0; moves && i < headroom.limit_count && i < MOVED_MOST; i++) {
		headroom.limits[i].asked = true;
		find_moves(&mover, &headroom.limits[i]);
	}
	return headroom;
}
