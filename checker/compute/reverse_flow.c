#include "compute/reverse_flow.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/envelope.h"
#include "compute/interface.h"
#include "compute/rupture.h"
#include "resolve/equipment.h"

struct ends {
	struct pressure_level high;	      /* item NULL: not known */
	const struct item *weakest, *unrated; /* on the suction side */
	double weakest_test;		      /* Pa gauge */
	const struct item *stopped_by;	      /* a pump downstream that lets nothing back; NULL: none */
};

/* ---- pumps in series ---- */

/* Two unlike check valves and a shut-off, as stated: nothing is taken to run back past them. */
static bool lets_nothing_back(const struct scene *scene, const struct item *pump)
{
	const struct quantity *checks = scene_get_of(scene, pump, "check-valves");
	return is_number(checks) && checks->si >= 2 &&
		quantity_truth(scene_get_of(scene, pump, "dissimilar-check-valves")) == YES &&
		quantity_truth(scene_get_of(scene, pump, "low-flow-shut-off")) == YES;
}

/* One more flood, from the far end of the pump; did it reach anything new? */
static bool add_flood(
	const struct scene *scene, const struct piping *piping, size_t start, unsigned passes, bool *reached)
{
	const bool *more = piping_flood(table_arena(scene->table), piping, start, passes);
	bool any = false;
	for (size_t i = 0; i < piping->node_count; i++) {
		any = any || (more[i] && !reached[i]);
		reached[i] = reached[i] || more[i];
	}
	return any;
}

/* What is reached from a pump, other pumps that stand in the way passed: they stand still too. `stops`: one that lets nothing back. */
static const bool *flood_past_pumps(const struct scene *scene, const struct piping *piping, enum piping_end end,
	unsigned passes, const struct item **stops)
{
	struct items pumps = table_of_kind(scene->table, "pump");
	enum piping_end near = end == PIPING_DISCHARGE ? PIPING_SUCTION : PIPING_DISCHARGE;
	bool *reached = piping_flood(table_arena(scene->table), piping, piping_find(piping, scene->item, end), passes);
	for (size_t round = 0, more = 1; more && round <= pumps.count; round++) {
		more = 0;
		for (size_t i = 0; i < pumps.count; i++) {
			size_t at = piping_find(piping, pumps.rows[i], near);
			if (pumps.rows[i] == scene->item || at == NO_NODE || !reached[at])
				continue;
			if (lets_nothing_back(scene, pumps.rows[i]))
				*stops = pumps.rows[i];
			else
				more += add_flood(
					scene, piping, piping_find(piping, pumps.rows[i], end), passes, reached);
		}
	}
	return reached;
}

/* ---- both ends ---- */

/* Of several vessels that it may discharge into the one at the highest pressure. */
static void look_downstream(const struct scene *scene, const struct piping *piping, struct ends *ends)
{
	size_t start = piping_find(piping, scene->item, PIPING_DISCHARGE);
	const bool *reached = flood_past_pumps(
		scene, piping, PIPING_DISCHARGE, PASS_DOWN | PASS_DEVICES | PASS_PERHAPS, &ends->stopped_by);
	for (size_t i = 0; i < piping->node_count && start != NO_NODE; i++) {
		const struct item *item = piping->nodes[i].item;
		if (!reached[i] || !item || !piping_is_vessel(item))
			continue;
		struct pressure_level level = envelope_level(scene->table, item);
		const struct quantity *operating = scene_get_of(scene, item, "operating-pressure");
		if (!level.item && is_number(operating))
			level = (struct pressure_level){item, "operating-pressure", operating->si};
		if (level.item && (!ends->high.item || level.si > ends->high.si))
			ends->high = level;
	}
}

static void look_upstream(const struct scene *scene, const struct piping *piping, struct ends *ends)
{
	double outside = interface_atmosphere(scene)->si;
	size_t start = piping_find(piping, scene->item, PIPING_SUCTION);
	const struct item *stops = NULL;
	const bool *reached = flood_past_pumps(scene, piping, PIPING_SUCTION, PASS_UP, &stops);
	for (size_t i = 0; i < piping->node_count && start != NO_NODE; i++) {
		const struct item *item = piping->nodes[i].item;
		if (!reached[i] || !item || item == scene->item || !item_in(item, CLASS_WETTED))
			continue;
		double test = rupture_tested_at(scene, item, outside);
		if (isnan(test) && piping_is_vessel(item))
			ends->unrated = item;
		if (isnan(test) || (ends->weakest && test >= ends->weakest_test))
			continue;
		ends->weakest = item;
		ends->weakest_test = test;
	}
}

static const struct quantity *bounded(const struct scene *scene, const struct quantity *ratio, const struct ends *ends)
{
	struct arena *arena = table_arena(scene->table);
	if (text_same(ends->high.name, "operating-pressure"))
		return quantity_at_least(arena, ratio, item_lacks(arena, ends->high.item, "design-pressure"), NULL);
	if (ends->unrated)
		return quantity_at_least(arena, ratio, item_lacks(arena, ends->unrated, "design-pressure"), NULL);
	return ratio;
}

static void put_ratio(const struct scene *scene, const struct ends *ends)
{
	struct arena *arena = table_arena(scene->table);
	bool stated = is_number(scene_get_of(scene, ends->weakest, "test-pressure"));
	bool high = rupture_is_tested_high(scene, ends->weakest);
	const struct quantity *outside = interface_atmosphere(scene);
	struct input rated =
		input_falls(scene_input_of(scene, ends->weakest, "P_d", stated ? "test-pressure" : "design-pressure"));
	struct input inputs[] = {input_rises(scene_input_of(scene, ends->high.item, "P", ends->high.name)), rated,
		scene_input_is("P_a", "outside pressure", outside),
		scene_input_is("f", "test over design pressure",
			quantity_assumed(arena, KIND_RATIO, ends->weakest_test / (rated.quantity->si - outside->si), 0,
				stated	       ? "the test pressure is stated"
					: high ? "tested at 1.5: piping, or built before 1999"
					       : "tested at 1.3: a vessel, not known to be older than 1999"))};
	const struct quantity *ratio =
		quantity_computed(arena, KIND_RATIO, (ends->high.si - outside->si) / ends->weakest_test, 0,
			&formulas[FORMULA_REVERSE_OVER_TEST], inputs, COUNT(inputs));
	scene_put(scene, "reverse-over-test", bounded(scene, ratio, ends));
	scene_put_word(scene, "weakest-at-suction", KIND_TEXT, ends->weakest->tag,
		"tested lowest of what is open to the suction");
}

/* Yes and no where the ratio, or what is known of it, decides. */
static void put_held(const struct scene *scene, const struct ends *ends)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *ratio = scene_get(scene, "reverse-over-test");
	struct missing missing = {.quantity = "design-pressure",
		.reason = arena_format(arena, "design-pressure of what %s draws from and discharges into is not stated",
			scene->item->tag)};
	if (!scene_get(scene, "check-valves"))
		missing = item_lacks(arena, scene->item, "check-valves"); /* first of all */
	else if (ends->unrated)
		missing = item_lacks(arena, ends->unrated, "design-pressure");
	const char *answer = !ends->high.item && ends->stopped_by ? "yes"
		: !ratio || ratio->known == UNKNOWN		  ? NULL
		: ratio->si > 1					  ? "no" /* of what is at least so much, too */
		: is_number(ratio)				  ? "yes"
								  : NULL;
	if (answer)
		scene_put_word(scene, "suction-holds-discharge", KIND_YES_NO, answer,
			ends->stopped_by && !ends->high.item
				? arena_format(arena, "%s lets nothing back", ends->stopped_by->tag)
				: "by the pressure that can run back and the test pressure of the suction "
				  "side");
	else
		scene_put(scene, "suction-holds-discharge", quantity_lacking(arena, KIND_YES_NO, missing));
}

/* ---- relief ---- */

static bool is_at_suction(
	const struct piping *piping, const bool *reached, const struct item *pump, const struct item *part)
{
	const struct item *holder = part->parent;
	if (item_is(holder, "relief-valve"))
		holder = holder->parent;
	for (size_t i = 0; i < piping->node_count; i++)
		if (reached[i] && piping->nodes[i].item == holder)
			return true;
	return holder == pump;
}

/* Every relief case of the name and every valve sized for it counts: one that is not covered says no. */
static void put_relief(const struct scene *scene, const struct piping *piping)
{
	static const char reverse[] = "reverse flow";
	size_t start = piping_find(piping, scene->item, PIPING_SUCTION);
	const bool *reached = piping_flood(table_arena(scene->table), piping, start, PASS_UP);
	enum truth all = PERHAPS;
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *part = table_item(scene->table, i);
		bool is_case = item_is(part, "relief-case");
		if ((!is_case && !item_is(part, "relief-valve")) ||
			!text_same(scene_word_of(scene, part, is_case ? "name" : "sized-for"), reverse) ||
			!is_at_suction(piping, reached, scene->item, part))
			continue;
		enum truth one = is_case ? quantity_truth(scene_get_of(scene, part, "covered")) : YES;
		all = count++ ? truth_and(all, one) : one;
	}
	if (all != PERHAPS)
		scene_put_word(scene, "covers-reverse-flow", KIND_YES_NO, all == YES ? "yes" : "no",
			"from the relief cases of its suction");
}

void reverse_flow_compute(struct table *table)
{
	struct piping piping = piping_of(table_arena(table), table);
	struct items pumps = table_of_kind(table, "pump");
	for (size_t i = 0; i < pumps.count; i++) {
		struct scene scene = {
			.table = table, .into = table, .item = pumps.rows[i], .operating_case = EVERY_CASE};
		struct ends ends = {.weakest = NULL};
		look_downstream(&scene, &piping, &ends);
		look_upstream(&scene, &piping, &ends);
		if (ends.high.item && ends.weakest && ends.weakest_test > 0)
			put_ratio(&scene, &ends);
		put_held(&scene, &ends);
		put_relief(&scene, &piping);
	}
}
