#include "compute/limits.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/scene.h"

/* The kinds in which a figure for the value may be written: those of its SI unit, its own first. */
static struct accepted kinds_like(enum kind kind)
{
	struct accepted accepted = {.kinds = {kind}, .count = 1};
	const size_t most = COUNT(accepted.kinds);
	for (int other = 0; other < QUANTITY_KINDS && accepted.count < most; other++)
		if (other != (int)kind && kind_is_number((enum kind)other) &&
			strcmp(kind_si((enum kind)other), kind_si(kind)) == 0)
			accepted.kinds[accepted.count++] = (enum kind)other;
	return accepted;
}

static double barometric(const struct scene *scene)
{
	const double standard = 101325; /* Pa, the standard atmosphere by definition */
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *pressure = basis ? scene_get_of(scene, basis, "barometric-pressure") : NULL;
	return pressure && is_number(pressure) ? pressure->si : standard;
}

/* The figure of the limit, as the kind of value it speaks of; NaN: none, or not to be read as one. */
static double figure(const struct scene *scene, const char *name, const struct quantity *value)
{
	const struct quantity *text = scene_get(scene, name);
	struct problems unheard = {.arena = table_arena(scene->table)}; /* told of when claims are checked */
	struct quantity read;
	if (!text || text->known == UNKNOWN || !text->word || !kind_is_number(value->kind) ||
		!quantity_parse(table_arena(scene->table), text->word, name, kinds_like(value->kind), barometric(scene),
			text->place, &unheard, &read))
		return (double)NAN;
	return read.si;
}

/*
 * PERHAPS: the value is a bound on the side on which the limit does not lie, or calculated to no better than its distance
 * from the limit. A stated value is taken as it is written.
 */
static enum truth on_side(const struct quantity *value, double limit, bool at_most)
{
	bool is_estimate = value->known == COMPUTED && value->formula != &formulas[FORMULA_TAKEN];
	if (is_estimate && fabs(value->si - limit) < value->uncertainty)
		return PERHAPS;
	const double equal = 1e-9; /* of the larger, as rules compare: 1.8 wt% and 18000 ppmw are one */
	double over = at_most ? value->si - limit : limit - value->si;
	bool beyond = over > equal * fmax(fabs(value->si), fabs(limit));
	enum bound towards = at_most ? BOUND_ABOVE : BOUND_BELOW, away = at_most ? BOUND_BELOW : BOUND_ABOVE;
	if (beyond)
		return value->bound == away ? PERHAPS : NO;
	return value->bound == towards ? PERHAPS : YES;
}

static enum truth is_kept(const struct scene *scene, const struct quantity *value, bool *any)
{
	double most = figure(scene, "at-most", value), least = figure(scene, "at-least", value);
	enum truth upper = isnan(most) ? YES : on_side(value, most, true);
	enum truth lower = isnan(least) ? YES : on_side(value, least, false);
	*any = !isnan(most) || !isnan(least);
	return truth_and(upper, lower);
}

static void of_limit(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const char *about = table_word(scene->table, scene->item, scene->operating_case, "about");
	const char *name = table_word(scene->table, scene->item, scene->operating_case, "quantity");
	const struct item *item = about ? table_find(scene->table, about) : table_sole(scene->table, "solvent");
	bool any = false;
	if (!item_is(scene->item, "operating-limit") || !scene_get(scene, "set-by") || !name || !item)
		return;
	const struct quantity *value = scene_get_of(scene, item, name);
	if (!value || value->known == UNKNOWN || !kind_is_number(value->kind)) {
		scene_put(scene, "limit-kept",
			quantity_lacking(
				arena, KIND_YES_NO, value ? quantity_missing(value) : item_lacks(arena, item, name)));
		return;
	}
	enum truth kept = is_kept(scene, value, &any);
	if (!any)
		return;
	scene_put(scene, "limited-value",
		quantity_assumed_word(arena, KIND_TEXT, quantity_show_first(arena, value), "as it is"));
	scene_put(scene, "limit-kept",
		kept == PERHAPS
			? quantity_unknown(arena, KIND_YES_NO,
				  arena_format(arena, "%s of %s is known no better than its distance from the limit",
					  name, item->tag))
			: quantity_assumed_word(arena, KIND_YES_NO, kept == YES ? "yes" : "no",
				  arena_format(arena, "%s of %s beside the figure", name, item->tag)));
}

void limits_compute(struct table *table)
{
	scene_each(table, of_limit);
}
