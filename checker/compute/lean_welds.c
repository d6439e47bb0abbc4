#include "compute/lean_welds.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"
#include "compute/solvent.h"
#include "resolve/equipment.h"

static const double DEA_FROM = 333.15, MDEA_FROM = 355.15; /* K: 60 and 82 degC, API RP 945, 2003, from memory */

static bool is(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *answer = scene_get_of(scene, item, name);
	return quantity_truth(answer) == YES;
}

/* K from which older practice asks for stress relief: 0 at every temperature, infinite where it names none. */
static double asked_from(const struct scene *scene)
{
	const struct item *solvent = table_sole(scene->table, "solvent"), *basis = table_sole(scene->table, "basis");
	const char *amine = scene_word_of(scene, solvent, "amine"), *second = solvent_blended_with(scene->table);
	const struct quantity *owner = scene_get_of(scene, basis, "pwht-from");
	if (!amine || text_has_word("MEA DIPA", amine) || (second && text_has_word("MEA DIPA", second)))
		return 0;
	if (!second && text_same(amine, "DEA"))
		return DEA_FROM;
	if (!second && text_same(amine, "MDEA") && !is(scene, solvent, "activated"))
		return MDEA_FROM;
	return is_number(owner) ? owner->si : HUGE_VAL;
}

/*
 * A storage tank built at its place holds little more than its own head, and nobody stress relieves it: common practice, no source.
 * Where it runs as hot as older practice asks for, other rules do.
 */
static bool is_of_storage_tank(const struct scene *scene, const struct item *item)
{
	const double storage = 1.2e5; /* Pa, absolute: up to 2.5 psig, the largest of API 650, from memory */
	const struct item *whole = item;
	while (whole->parent)
		whole = whole->parent;
	const struct quantity *design = scene_get_of(scene, whole, "design-pressure");
	return item_is(whole, "tank") && !(is_number(design) && design->si > storage);
}

static bool is_bare_lean_steel(const struct scene *scene, const struct item *item)
{
	return item_in(item, CLASS_AMINE_STEEL) && !is_of_storage_tank(scene, item) &&
		text_same(scene_word_of(scene, item, "wall-material-family"), "carbon steel") &&
		is(scene, item, "amine-wetted") && is(scene, item, "sees-lean") && !is(scene, item, "wall-clad");
}

/* What says of a part only what it says of that which it is in. */
static bool repeats(const struct scene *scene, const struct item *item)
{
	const struct item *holder = item->parent;
	return holder && is_bare_lean_steel(scene, holder) &&
		scene_get_of(scene, item, "stress-relieved") == scene_get_of(scene, holder, "stress-relieved");
}

struct welds {
	struct text names;
	size_t count;
	const struct quantity *open; /* of a place of which it is not known */
};

static void look_at(struct welds *welds, const struct scene *scene, const struct item *item, double from)
{
	const struct quantity *relieved = scene_get_of(scene, item, "stress-relieved");
	const struct quantity *reached = scene_get_of(scene, item, "metal-reaches");
	if (!is_bare_lean_steel(scene, item) || repeats(scene, item) || !relieved ||
		(reached && reached->known != UNKNOWN && reached->si >= from))
		return;
	if (relieved->known == UNKNOWN)
		welds->open = welds->open ? welds->open : relieved;
	else if (relieved->si <= 0)
		text_addf(&welds->names, "%s%s", welds->count++ ? ", " : "", item->tag);
}

static const char *const EDITIONS_BEFORE[] = {"1st", "2nd", "2003", "2011"};

static bool asks_everywhere(const struct scene *scene, const struct item *code)
{
	const char *edition = scene_word_of(scene, code, "edition");
	if (!code->text || !strstr(code->text, "RP 571"))
		return false;
	for (size_t i = 0; edition && i < sizeof EDITIONS_BEFORE / sizeof *EDITIONS_BEFORE; i++)
		if (strstr(edition, EDITIONS_BEFORE[i]))
			return false;
	return true;
}

static void put_claim(const struct scene *scene)
{
	bool claimed = false;
	struct items codes = table_of_kind(scene->table, "code");
	for (size_t i = 0; i < codes.count; i++)
		claimed = claimed || asks_everywhere(scene, codes.rows[i]);
	scene_put_word(scene, "lean-relief-claimed", KIND_YES_NO, claimed ? "yes" : "no",
		"from the codes that the package claims");
}

static void of_unit(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	struct welds welds = {.names = text_in(arena)};
	double from = asked_from(scene);
	for (size_t i = 0; i < table_item_count(scene->table); i++)
		look_at(&welds, scene, table_item(scene->table, i), from);
	put_claim(scene);
	if (!welds.count && welds.open) {
		scene_put(scene, "steel-as-welded-in-lean", welds.open);
		return;
	}
	scene_put_word(scene, "steel-as-welded-in-lean", KIND_YES_NO, welds.count ? "yes" : "no",
		"from the condition of every place in lean amine");
	scene_put_word(scene, "lean-as-welded", KIND_TEXT, welds.count ? welds.names.data : "none",
		"from the condition of every place in lean amine");
}

void lean_welds_compute(struct table *table)
{
	const struct item *unit = table_sole(table, "unit");
	if (unit)
		of_unit(&(struct scene){.table = table, .into = table, .item = unit, .operating_case = EVERY_CASE});
}
