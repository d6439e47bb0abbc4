#include "revamp/course.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "pipeline/stages.h"
#include "resolve/equipment.h"
#include "resolve/resolve.h"

static const double TOLERANCE = 1e-5; /* of the value swept */

/* ---- what is varied ---- */

struct finding_targets {
	struct arena *arena;
	const struct table *table;
	const char *what, *tag, *name; /* tag and name: of TAG.NAME */
	struct course_target *rows;
	size_t count, capacity;
};

/* Is the stream what some absorber or treater takes as its lean? */
static bool feeds_an_absorber(const struct table *table, const struct item *stream)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (item_in(item, CLASS_CONTACTOR) &&
			text_same(table_word(table, item, EVERY_CASE, "lean"), stream->tag))
			return true;
	}
	return false;
}

/* The attribute that a shortcut means on this item, or NULL. */
static const char *meant(const struct finding_targets *find, const struct item *item)
{
	const char *service = table_word(find->table, item, EVERY_CASE, "service");
	const char *role = table_word(find->table, item, EVERY_CASE, "role");
	bool stream = item_is(item, "stream");
	if (text_same(find->tag, item->tag))
		return find->name;
	if (strcmp(find->what, "lean-loading") == 0)
		return stream && text_same(service, "lean") ? "h2s" : NULL;
	if (strcmp(find->what, "strength") == 0)
		return item_is(item, "solvent") ? "strength" : NULL;
	if (strcmp(find->what, "lean-temperature") == 0)
		return stream && feeds_an_absorber(find->table, item) ? "temperature" : NULL;
	if (strcmp(find->what, "steam") == 0)
		return item_is(item, "reboiler") ? "steam-flow" : NULL;
	if (strcmp(find->what, "gas-h2s") == 0)
		return item_is(item, "gas") && (!role || text_same(role, "feed")) ? "h2s" : NULL;
	return NULL;
}

static void find_target(const struct element *element, void *data)
{
	struct finding_targets *find = data;
	const struct item *item = resolve_item(find->table, element);
	const char *name = item ? meant(find, item) : NULL;
	if (!name || !element_attribute(element, name))
		return;
	find->rows = arena_grow(find->arena, find->rows, find->count, &find->capacity, sizeof *find->rows);
	find->rows[find->count++] = (struct course_target){.element = element, .item = item->tag, .name = name};
}

bool course_find(struct arena *arena, const struct element *unit, const struct table *table, const char *what,
	struct course *course)
{
	struct finding_targets find = {.arena = arena, .table = table, .what = what};
	const char *dot = strrchr(what, '.'); /* tags may hold dots, names do not */
	if (dot) {
		find.tag = arena_copy_span(arena, what, (size_t)(dot - what));
		find.name = dot + 1;
	}
	element_each(unit, find_target, &find);
	course->what = what;
	course->targets = find.rows;
	course->target_count = find.count;
	return find.count > 0;
}

/* ---- running ---- */

struct swept {
	const struct element *unit;
	const struct course *course;
};

static const struct element *at_value(struct arena *arena, double x, void *data)
{
	const struct swept *swept = data;
	const struct course *course = swept->course;
	struct variant variant = variant_in(arena);
	const char *written = arena_format(arena, "%.15g%s%s", x, *course->unit ? " " : "", course->unit);
	for (size_t i = 0; i < course->target_count; i++) {
		const struct element *element = course->targets[i].element;
		variant_set(&variant, element, course->targets[i].name, written);
		for (size_t k = 0; k < element->child_count; k++)
			if (element_is(element->children[k], "in") || element_is(element->children[k], "stated"))
				variant_set(&variant, element->children[k], course->targets[i].name, NULL);
	}
	return variant_build(arena, &variant, swept->unit);
}

/* The quantities asked for, in the case that plain values describe. */
static void compute_shows(struct arena *arena, struct swept *swept, struct course *course)
{
	for (size_t i = 0; course->show_count && i < course->count; i++) {
		struct problems problems = {.arena = arena};
		const struct table *table =
			stages_table(arena, at_value(arena, course->grid[i], swept), ANALYSES_ALL, &problems);
		for (size_t s = 0; table && s < course->show_count; s++) {
			struct course_show *show = &course->shows[s];
			const struct item *item = table_find(table, show->item);
			show->values[i] = item ? table_get(table, item, 0, show->name) : NULL;
			if (show->values[i])
				show->kind = show->values[i]->kind;
		}
	}
}

static int turn_before(const void *left, const void *right)
{
	const struct course_turn *a = left, *b = right;
	if (a->turn->at < b->turn->at || a->turn->at > b->turn->at)
		return a->turn->at < b->turn->at ? -1 : 1;
	int rules = strcmp(a->track->rule->id, b->track->rule->id);
	return rules ? rules : strcmp(a->track->item, b->track->item);
}

static void collect_turns(struct arena *arena, struct course *course)
{
	size_t count = 0;
	for (size_t t = 0; t < course->track_count; t++)
		count += course->tracks[t]->turn_count;
	struct course_turn *turns = arena_alloc(arena, (count + 1) * sizeof *turns);
	for (size_t t = 0; t < course->track_count; t++)
		for (size_t k = 0; k < course->tracks[t]->turn_count; k++)
			turns[course->turn_count++] =
				(struct course_turn){course->tracks[t], &course->tracks[t]->turns[k]};
	qsort(turns, count, sizeof *turns, turn_before);
	course->turns = turns;
}

void course_run(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct course *course)
{
	struct swept *swept = arena_alloc(arena, sizeof *swept);
	struct scan_setup *setup = arena_alloc(arena, sizeof *setup);
	*swept = (struct swept){.unit = unit, .course = course};
	*setup = (struct scan_setup){.arena = arena,
		.catalogue = catalogue,
		.at = at_value,
		.data = swept,
		.grid = course->grid,
		.count = course->count,
		.tolerance = TOLERANCE};
	course->scan = scan_run(setup);
	course->tracks = arena_alloc(arena, (course->scan.track_count + 1) * sizeof *course->tracks);
	for (int turning = 1; turning >= 0; turning--)
		for (size_t i = 0; i < course->scan.track_count; i++) {
			const struct track *track = &course->scan.tracks[i];
			if (track->moves && (track->turn_count > 0) == (turning == 1) &&
				(track->turn_count || track->samples[0].has_margin))
				course->tracks[course->track_count++] = track;
		}
	collect_turns(arena, course);
	for (size_t s = 0; s < course->show_count; s++)
		course->shows[s].values = arena_alloc(arena, course->count * sizeof *course->shows[s].values);
	compute_shows(arena, swept, course);
}
