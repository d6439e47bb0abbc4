#include "compute/dissolved.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* Nickel to chromium by mass, up to which each family goes: dissolved.h. */
static const struct {
	const char *family;
	double most;
} families[] = {{"ferritic or martensitic", 0.12}, {"duplex", 0.35}, {"austenitic", 1.6}, {"nickel alloy", HUGE_VAL}};

enum { ITEMS_NAMED = 4 }; /* of one family; more are counted. A choice */

/* Beyond what the analyses let it be known by. */
static bool is_rising(const struct quantity *rise)
{
	return is_number(rise) && rise->si > 0 && rise->si > rise->uncertainty;
}

/* The items of a family that amine touches; how many there are. */
static size_t add_items(const struct scene *scene, const char *family, struct text *names)
{
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		const struct quantity *wetted = scene_get_of(scene, item, "wetted-by-amine");
		if (!wetted || wetted->known == UNKNOWN || wetted->si <= 0 ||
			!text_same(scene_word_of(scene, item, "wetted-material-family"), family))
			continue;
		if (count < ITEMS_NAMED)
			text_addf(names, "%s%s", count ? ", " : "", item->tag);
		count++;
	}
	if (count > ITEMS_NAMED)
		text_addf(names, " and %zu more", count - ITEMS_NAMED);
	return count;
}

/* Every family from the ratio `least` to `most`, with its items. */
static void put_families(const struct scene *scene, double least, double most)
{
	struct arena *arena = table_arena(scene->table);
	struct text words = text_in(arena);
	size_t described = 0;
	for (size_t i = 0; i < COUNT(families); i++) {
		double from = i ? families[i - 1].most : 0;
		struct text names = text_in(arena);
		if (families[i].most < least || from > most)
			continue;
		size_t count = add_items(scene, families[i].family, &names);
		described += count;
		text_addf(&words, "%s%s (%s)", words.length ? "; " : "", families[i].family,
			count ? names.data : "none described in amine");
	}
	scene_put_word(scene, "dissolving", KIND_TEXT, words.data, "by the ratio of nickel to chromium");
	scene_put_word(scene, "dissolving-described", KIND_YES_NO, described ? "yes" : "no",
		"from the metal that amine touches in every item");
}

static bool is_sweet(const struct scene *scene)
{
	return text_same(scene_word_of(scene, table_sole(scene->table, "unit"), "sourness"), "sweet");
}

static void of_solvent(const struct scene *scene)
{
	const struct quantity *chromium = scene_get(scene, "chromium-rise"), *nickel = scene_get(scene, "nickel-rise");
	struct input inputs[] = {
		scene_input(scene, "b_Ni", "nickel-rise"), scene_input(scene, "b_Cr", "chromium-rise")};
	if (!is_rising(chromium)) {
		if (is_rising(nickel) && is_number(chromium))
			put_families(scene, HUGE_VAL, HUGE_VAL);
		return;
	}
	if (!is_number(nickel) || nickel->kind != chromium->kind)
		return;
	double ratio = fmax(nickel->si, 0) / chromium->si;
	double aside = hypot(nickel->uncertainty, ratio * chromium->uncertainty) / chromium->si;
	scene_compute(scene, "nickel-to-chromium", KIND_RATIO, ratio, aside, FORMULA_QUOTIENT, inputs, COUNT(inputs));
	put_families(scene, ratio - aside, is_sweet(scene) ? ratio + aside : HUGE_VAL);
}

/* ---- the reflux ---- */

static bool is_by_mass(const struct quantity *content)
{
	return content &&
		(content->known == UNKNOWN || content->kind == KIND_TRACE || content->kind == KIND_MASS_FRACTION);
}

/* Iron of the solution that the amine in the reflux brought along. */
static void put_beyond_carried(const struct scene *scene)
{
	const struct item *solvent = table_sole(scene->table, "solvent");
	struct input inputs[] = {input_rises(scene_input(scene, "c", "iron")), scene_input(scene, "w", "strength"),
		scene_input_of(scene, solvent, "c_s", "iron"), scene_input_of(scene, solvent, "w_s", "strength")};
	for (size_t i = 0; i < COUNT(inputs); i++)
		if (!is_by_mass(inputs[i].quantity))
			return;
	double carried = inputs[2].quantity->si * inputs[1].quantity->si / inputs[3].quantity->si;
	double aside = hypot(inputs[0].quantity->uncertainty,
		carried * (relative_uncertainty(inputs[1].quantity) + relative_uncertainty(inputs[2].quantity)));
	scene_compute(scene, "iron-of-overhead", KIND_TRACE, fmax(inputs[0].quantity->si - carried, 0), aside,
		FORMULA_IRON_OF_OVERHEAD, inputs, COUNT(inputs));
}

static void of_reflux(const struct scene *scene)
{
	const struct quantity *iron = scene_get(scene, "iron");
	if (!text_same(scene_word_of(scene, scene->item, "service"), "reflux") || !iron || !is_by_mass(iron))
		return;
	if (scene_stated(scene, "strength"))
		put_beyond_carried(scene);
	else
		scene_take(scene, "iron-of-overhead", scene->item, "iron");
}

static void of_item(const struct scene *scene)
{
	if (item_is(scene->item, "solvent"))
		of_solvent(scene);
	if (item_is(scene->item, "stream"))
		of_reflux(scene);
}

void dissolved_compute(struct table *table)
{
	scene_each(table, of_item);
}
