#include "compute/copied.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "compute/still.h"

/* A driver of two cases is another above this share, a temperature above so many K; results are the same within rounding of units. */
static const double OTHER_SHARE = 0.02, OTHER_K = 2, SAME = 1e-9;

/* How many results must repeat before it looks like copying: one may be equal by chance. */
enum { REPEATED_LEAST = 2, VALUES_MOST = 24 };

/* Values of what an item names, "" of itself: what drives it, and what comes out. */
static const struct sort_of_row {
	const char *kind, *reference, *names;
	bool drives;
} sorts[] = {
	{"absorber", "gas", "flow temperature h2s co2", true},
	{"absorber", "lean", "flow temperature h2s co2 loading", true},
	{"absorber", "rich", "flow temperature h2s co2 loading", false},
	{"absorber", "treated", "flow temperature h2s co2", false},
	{"absorber", "", "bottom-temperature top-temperature", false},
	{"treater", "hydrocarbon", "flow temperature h2s co2", true},
	{"treater", "lean", "flow temperature h2s co2 loading", true},
	{"treater", "rich", "flow temperature h2s co2 loading", false},
	{"treater", "treated", "flow temperature h2s co2", false},
	{"regenerator", "feed", "flow temperature h2s co2 loading", true},
	{"regenerator", "lean", "flow", true},
	{"regenerator", "reboiler", "duty steam-flow", false},
	{"regenerator", "acid-gas", "flow temperature", false},
	{"regenerator", "reflux", "flow", false},
	{"regenerator", "", "top-temperature bottom-temperature", false},
	{"exchanger", "inlet", "flow temperature", true},
	{"exchanger", "outlet", "temperature", false},
	{"exchanger", "", "duty", false},
};

/* One value of an item in question. */
struct value_of {
	const struct item *item;
	const char *name;
	bool drives;
};

struct values {
	struct value_of rows[2 * VALUES_MOST];
	size_t count;
};

static void add_names(
	struct values *values, const struct scene *scene, const struct item *item, const struct sort_of_row *sort)
{
	for (const char *at = sort->names; item && *at && values->count < COUNT(values->rows);) {
		size_t length = strcspn(at, " ");
		values->rows[values->count++] =
			(struct value_of){item, arena_copy_span(table_arena(scene->table), at, length), sort->drives};
		at += length + (at[length] == ' ');
	}
}

static const struct item *named(const struct scene *scene, const struct item *item, const char *reference)
{
	const struct quantity *word = scene_get_of(scene, item, reference);

	return word && word->known != UNKNOWN && word->word ? table_find(scene->table, word->word) : NULL;
}

/* Of an exchanger the ends that its sides name. */
static void add_sides(struct values *values, const struct scene *scene, const struct sort_of_row *sort)
{
	size_t end = table_parts_end(scene->table, scene->item);

	for (size_t i = scene->item->index + 1; i < end; i++)
		add_names(values, scene, named(scene, table_item(scene->table, i), sort->reference), sort);
}

static void collect(struct values *values, const struct scene *scene)
{
	for (size_t i = 0; i < COUNT(sorts); i++) {
		const struct sort_of_row *sort = &sorts[i];
		if (!item_is(scene->item, sort->kind))
			continue;
		if (!*sort->reference)
			add_names(values, scene, scene->item, sort);
		else if (strcmp(sort->reference, "inlet") == 0 || strcmp(sort->reference, "outlet") == 0)
			add_sides(values, scene, sort);
		else if (strcmp(sort->reference, "reboiler") == 0)
			add_names(values, scene, still_reboiler(scene, scene->item, 0), sort);
		else
			add_names(values, scene, named(scene, scene->item, sort->reference), sort);
	}
}

/* What the case states by name; for the first case what is plain. */
static const struct quantity *stated_in(const struct scene *scene, const struct value_of *value, int operating_case)
{
	const struct quantity *own = table_stated(scene->table, value->item, operating_case, value->name);
	const struct quantity *plain = table_stated(scene->table, value->item, EVERY_CASE, value->name);

	return is_number(own) && (operating_case == 0 || own != plain) ? own : NULL;
}

static bool is_other(const struct quantity *a, const struct quantity *b)
{
	if (a->kind == KIND_TEMPERATURE)
		return fabs(a->si - b->si) > OTHER_K;
	return a->kind == b->kind && fabs(a->si - b->si) > OTHER_SHARE * fmax(fabs(a->si), fabs(b->si));
}

static bool is_same(const struct quantity *a, const struct quantity *b)
{
	return a->kind == b->kind && fabs(a->si - b->si) <= SAME * fmax(fabs(a->si), fabs(b->si));
}

struct comparison {
	size_t results, repeated, drivers;
	struct text results_named, drivers_named;
};

static void note(struct text *text, size_t count, const struct value_of *value)
{
	text_addf(text, "%s%s of %s", count ? ", " : "", value->name, value->item->tag);
}

static struct comparison compare(const struct scene *scene, const struct values *values, int earlier)
{
	struct arena *arena = table_arena(scene->table);
	struct comparison out = {.results_named = text_in(arena), .drivers_named = text_in(arena)};

	for (size_t i = 0; i < values->count; i++) {
		const struct value_of *value = &values->rows[i];
		const struct quantity *here = stated_in(scene, value, scene->operating_case),
				      *there = stated_in(scene, value, earlier);
		if (!here || !there)
			continue;
		if (value->drives && is_other(here, there))
			note(&out.drivers_named, out.drivers++, value);
		if (value->drives)
			continue;
		out.results++;
		if (is_same(here, there))
			note(&out.results_named, out.repeated++, value);
	}
	return out;
}

static void put_word(const struct scene *scene, const char *name, enum kind kind, const char *word)
{
	scene_put_made(scene, name,
		quantity_assumed_word(table_arena(scene->table), kind, word, "the cases beside each other"));
}

static void of_item(const struct scene *scene)
{
	struct values values = {.count = 0};
	bool any = false, copied = false;

	if (scene->operating_case <= 0 || !item_is_any(scene->item, "absorber treater regenerator exchanger"))
		return;
	collect(&values, scene);
	for (int c = 0; c < scene->operating_case && !copied; c++) {
		struct comparison found = compare(scene, &values, c);
		if (found.results < REPEATED_LEAST || !found.drivers)
			continue;
		any = true;
		copied = found.repeated == found.results;
		put_word(scene, "results-of-case", KIND_TEXT,
			found.repeated ? found.results_named.data : "none repeats");
		put_word(scene, "drivers-of-case", KIND_TEXT, found.drivers_named.data);
		if (copied)
			put_word(scene, "copied-from", KIND_TEXT, table_case(scene->table, c)->title);
	}
	if (any)
		put_word(scene, "copied", KIND_YES_NO, copied ? "yes" : "no");
}

void copied_compute(struct table *table)
{
	scene_each(table, of_item);
}
