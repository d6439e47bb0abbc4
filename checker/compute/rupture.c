#include "compute/rupture.h"

#include <math.h>

#include "base/count.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "resolve/equipment.h"
#include "resolve/piping.h"

/* Test over design pressure; from memory: ASME VIII-1 UG-99(b) before and since the 1999 addenda, ASME B31.3 345.4.2. */
static const double OLD_TEST = 1.5, NEW_TEST = 1.3;
static const double YEAR_OF_CHANGE = 1999;

static const struct item *holder_of(const struct item *item)
{
	return item && item_in(item, CLASS_SIDE) && item->parent ? item->parent : item;
}

bool rupture_is_tested_high(const struct scene *scene, const struct item *item)
{
	const struct quantity *own = scene_get_of(scene, item, "year-built"),
			      *whole = scene_get_of(scene, holder_of(item), "year-built");
	const struct quantity *built = own ? own : whole;
	return item_is(item, "line") || (is_number(built) && built->si < YEAR_OF_CHANGE);
}

double rupture_tested_at(const struct scene *scene, const struct item *item, double outside)
{
	const struct quantity *test = scene_get_of(scene, item, "test-pressure"),
			      *design = scene_get_of(scene, item, "design-pressure");
	if (is_number(test))
		return test->si - outside;
	if (!is_number(design))
		return (double)NAN;
	return (design->si - outside) * (rupture_is_tested_high(scene, item) ? OLD_TEST : NEW_TEST);
}

struct sides {
	const struct item *low, *high;
	double outside, high_design; /* Pa; the second as a gauge shows it */
};

static bool sides_of(const struct scene *scene, struct sides *sides)
{
	const struct item *both[INTERFACE_SIDES];
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER) || interface_sides(scene, both) != INTERFACE_SIDES)
		return false;
	const struct quantity *a = scene_get_of(scene, both[0], "design-pressure"),
			      *b = scene_get_of(scene, both[1], "design-pressure");
	if (!is_number(a) || !is_number(b))
		return false;
	bool first = a->si < b->si;
	sides->low = both[first ? 0 : 1];
	sides->high = both[first ? 1 : 0];
	sides->outside = interface_atmosphere(scene)->si;
	sides->high_design = fmax(a->si, b->si) - sides->outside;
	return sides->high_design > 0;
}

static void put_ratio(const struct scene *scene, const char *name, const struct sides *sides, const struct item *item)
{
	bool stated = is_number(scene_get_of(scene, item, "test-pressure"));
	struct input inputs[] = {
		input_rises(scene_input_of(scene, item, "P_1", stated ? "test-pressure" : "design-pressure")),
		input_falls(scene_input_of(scene, sides->high, "P_2", "design-pressure")),
		scene_input_is("p_s", "atmosphere at the site", interface_atmosphere(scene)),
		scene_input_is("k", "test over design pressure",
			quantity_assumed(table_arena(scene->table), KIND_RATIO,
				stated					      ? 1
					: rupture_is_tested_high(scene, item) ? OLD_TEST
									      : NEW_TEST,
				0,
				stated ? "the test pressure is stated"
					: rupture_is_tested_high(scene, item)
					? "tested at 1.5: piping, or built before 1999"
					: "tested at 1.3: a vessel, not known to be older than 1999"))};
	scene_compute(scene, name, KIND_RATIO, rupture_tested_at(scene, item, sides->outside) / sides->high_design, 0,
		FORMULA_TEST_OVER_HIGH_SIDE, inputs, COUNT(inputs));
}

/* Of all that hangs on the low side the one tested lowest; NULL: nothing is known of any. */
static const struct item *weakest(
	const struct scene *scene, const struct piping *piping, const struct sides *sides, unsigned passes)
{
	size_t start = piping_find(piping, sides->low, PIPING_WHOLE);
	const struct item *found = NULL;
	if (start == NO_NODE)
		return NULL;
	const bool *reached = piping_flood(table_arena(scene->table), piping, start, passes);
	for (size_t i = 0; i < piping->node_count; i++) {
		const struct item *item = piping->nodes[i].item;
		if (i == start || !reached[i] || !item_in(item, CLASS_WETTED))
			continue;
		double test = rupture_tested_at(scene, item, sides->outside);
		if (isfinite(test) && (!found || test < rupture_tested_at(scene, found, sides->outside)))
			found = item;
	}
	return found;
}

/* What keeps the design pressures from being compared keeps the test pressure from it too. */
static void put_why_not(const struct scene *scene)
{
	const struct quantity *ratio = scene_get(scene, "ratio-of-design-pressures");
	if (ratio && !is_number(ratio))
		scene_put(scene, "test-over-high-side", ratio);
}

void rupture_compute(struct table *table)
{
	struct piping piping = piping_of(table_arena(table), table);
	for (size_t i = 0; i < table_item_count(table); i++) {
		struct scene scene = {
			.table = table, .into = table, .item = table_item(table, i), .operating_case = EVERY_CASE};
		struct sides sides;
		if (!sides_of(&scene, &sides)) {
			put_why_not(&scene);
			continue;
		}
		put_ratio(&scene, "test-over-high-side", &sides, sides.low);
		const struct item *item = weakest(&scene, &piping, &sides, 0);
		/* Where a pressure that is only a bound tells what is connected nothing is put. */
		if (!item || item != weakest(&scene, &piping, &sides, PASS_UNSURE))
			continue;
		put_ratio(&scene, "weakest-test-over-high-side", &sides, item);
		scene_put_made(&scene, "weakest-on-low-side",
			quantity_assumed_word(table_arena(table), KIND_TEXT, item->tag,
				"tested lowest of what is connected with the low-pressure side"));
	}
}
