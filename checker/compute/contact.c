#include "compute/contact.h"

#include <string.h>

#include "base/text.h"
#include "compute/scene.h"

static const char in_contact[] =
	"absorber treater flash-drum exchanger regenerator reboiler condenser reflux-drum pump cooler filter "
	"carbon-bed tank sump reclaimer knock-out-drum vessel line part zone nozzle weld repair tube-side "
	"shell-side plate-side tubesheet elbow fitting";
static const char exchangers[] = "exchanger cooler condenser reboiler reclaimer";
static const char sides[] = "tube-side shell-side plate-side";

static bool is_kind(const struct item *item, const char *kinds)
{
	return item && text_has_word(kinds, item->kind);
}

static const char *word_of(const struct scene *scene, const struct item *item, const char *name)
{
	return table_word(scene->table, item, scene->operating_case, name);
}

/* Stated of the item itself, not handed down by what it stands in. */
static bool is_own(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *stated = table_stated(scene->table, item, scene->operating_case, name);
	return stated &&
		(!item->parent || stated != table_stated(scene->table, item->parent, scene->operating_case, name));
}

/* ---- where the answer stands ---- */

/* A cell that names the metal, or why none does; or words that send the reader to the parts. */
struct metal {
	const struct item *from;
	const char *name;  /* of the cell: "cladding", "material" */
	const char *open;  /* NULL: known */
	const char *parts; /* "that of its sides", or NULL */
};

static struct metal not_stated(const struct scene *scene, const struct item *item, const char *name)
{
	return (struct metal){
		.open = arena_format(table_arena(scene->table), "%s of %s is not stated", name, item->tag)};
}

/* The cell of the item, as it is: a word, the words of metal_compute for its sides, or not stated. */
static struct metal cell(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *found = scene_get_of(scene, item, name);
	if (!found || found->known == UNKNOWN)
		return not_stated(scene, item, name);
	return (struct metal){
		.from = item, .name = name, .parts = strncmp(found->word, "that of", 7) == 0 ? found->word : NULL};
}

static const char *family_of(const struct scene *scene, struct metal metal)
{
	return metal.from && !metal.parts
		? word_of(scene, metal.from, arena_format(table_arena(scene->table), "%s-family", metal.name))
		: NULL;
}

static bool is_steel(const struct scene *scene, struct metal metal)
{
	const char *family = family_of(scene, metal);
	return text_same(family, "carbon steel") || text_same(family, "low-alloy steel");
}

static bool is_same(const struct scene *scene, struct metal a, struct metal b)
{
	return a.from && b.from && text_same(word_of(scene, a.from, a.name), word_of(scene, b.from, b.name));
}

/* ---- tubes and plates ---- */

static const struct item *exchanger_of(const struct item *item)
{
	while (item && !is_kind(item, exchangers))
		item = item->parent;
	return item;
}

static bool is_tubes(const struct scene *scene, const struct item *item)
{
	const char *name = is_kind(item, "part") ? word_of(scene, item, "name") : NULL;
	return name && (strstr(name, "ube") || strstr(name, "undle")) && !strstr(name, "heet");
}

/* Handed down together with a cladding it is the metal of a clad shell, and says nothing of tubes. */
static bool is_of_clad_shell(const struct scene *scene, const struct item *side)
{
	const char *cladding = word_of(scene, side, "cladding");
	return !is_own(scene, side, "material") && !is_own(scene, side, "cladding") && cladding &&
		strcmp(cladding, "none") != 0;
}

static struct metal surface_of(const struct scene *scene, const struct item *exchanger)
{
	const struct item *side = NULL;
	size_t behind = table_behind(scene->table, exchanger);
	for (size_t i = exchanger->index + 1; i < behind; i++) {
		const struct item *part = table_item(scene->table, i);
		if (is_tubes(scene, part) && is_own(scene, part, "material"))
			return cell(scene, part, "material");
		if (is_kind(part, "tube-side plate-side") && (!side || is_own(scene, part, "material")))
			side = part;
	}
	if (side && is_of_clad_shell(scene, side))
		return not_stated(scene, side, "material");
	if (side || is_kind(exchanger, "reboiler reclaimer")) /* its own material is that of the kettle */
		return cell(scene, side ? side : exchanger, side ? "material" : "material of the tubes");
	return cell(scene, exchanger, "material");
}

/* ---- one place ---- */

/* The zone of the same vessel that a nozzle, part, weld or repair names. */
static const struct item *zone_named(const struct scene *scene, const struct item *item)
{
	const char *name = is_kind(item, "zone") ? NULL : word_of(scene, item, "zone");
	for (const struct item *holder = item->parent; name && holder; holder = holder->parent) {
		size_t behind = table_behind(scene->table, holder);
		for (size_t i = holder->index + 1; i < behind; i++) {
			const struct item *zone = table_item(scene->table, i);
			if (is_kind(zone, "zone") && text_same(word_of(scene, zone, "name"), name))
				return zone;
		}
	}
	return NULL;
}

/* A lining or facing that covers the place, or NULL. A cladding that is handed down does not cover a part of an alloy of its own. */
static const char *cover_of(const struct scene *scene, const struct item *item)
{
	static const char *const covers[] = {"lined-with", "faced-with", "cladding"};
	for (size_t i = 0; i < sizeof covers / sizeof *covers; i++) {
		const char *word = word_of(scene, item, covers[i]);
		if (!word || strcmp(word, "none") == 0)
			continue;
		if (!is_own(scene, item, covers[i]) && is_own(scene, item, "material") &&
			!is_steel(scene, cell(scene, item, "material")))
			continue;
		return covers[i];
	}
	return NULL;
}

static struct metal metal_at(const struct scene *scene, const struct item *item)
{
	const struct item *zone = NULL;
	if (is_kind(item, "tube-side plate-side") && exchanger_of(item))
		return surface_of(scene, exchanger_of(item));
	if (!is_own(scene, item, "material") && !is_own(scene, item, "cladding"))
		zone = zone_named(scene, item);
	if (zone)
		return metal_at(scene, zone);
	const char *cover = cover_of(scene, item);
	if (cover && is_kind(item, "repair") && !is_own(scene, item, cover)) {
		const struct quantity *again = scene_get_of(scene, item, "re-lined");
		if (!again || again->known == UNKNOWN)
			return not_stated(scene, item, "re-lined");
		cover = again->si > 0 ? cover : NULL;
	}
	return cell(scene, item, cover ? cover : "material");
}

/* ---- a vessel and its zones ---- */

enum { UPPER = 1, MIDDLE = 2, LOWER = 4, HALVES = 8 };

static int part_of_height(const char *zone)
{
	static const struct {
		const char *name;
		int part;
	} rows[] = {{"upper", UPPER | HALVES}, {"lower", LOWER | HALVES}, {"vapour space", UPPER | HALVES},
		{"liquid space", LOWER | HALVES}, {"top", UPPER}, {"head", UPPER}, {"bottom", LOWER},
		{"feed zone", MIDDLE}, {"middle", MIDDLE}, {"shell course", MIDDLE}};
	for (size_t i = 0; zone && i < sizeof rows / sizeof *rows; i++)
		if (strcmp(zone, rows[i].name) == 0)
			return rows[i].part;
	return 0;
}

/* What the zones of an item say together. */
struct zones {
	struct metal first, steel; /* .from NULL: none */
	size_t count;
	int upper, middle, lower; /* described? 2: as a half of the whole height */
	bool all_known, alike;
};

static struct zones zones_of(const struct scene *scene, const struct item *vessel,
	struct metal (*at)(const struct scene *, const struct item *))
{
	struct zones zones = {.all_known = true, .alike = true};
	size_t behind = table_behind(scene->table, vessel);
	for (size_t i = vessel->index + 1; i < behind; i++) {
		const struct item *zone = table_item(scene->table, i);
		if (!is_kind(zone, "zone") || zone->parent != vessel)
			continue;
		struct metal metal = at(scene, zone);
		int part = part_of_height(word_of(scene, zone, "name")), half = part & HALVES ? 2 : 1;
		zones.upper = part & UPPER && half > zones.upper ? half : zones.upper;
		zones.middle = part & MIDDLE ? 1 : zones.middle;
		zones.lower = part & LOWER && half > zones.lower ? half : zones.lower;
		zones.all_known = zones.all_known && metal.from;
		zones.steel = !zones.steel.from && is_steel(scene, metal) ? metal : zones.steel;
		zones.alike = zones.alike && (!zones.count || is_same(scene, zones.first, metal));
		zones.first = zones.count++ ? zones.first : metal;
	}
	return zones;
}

/* Do the zones leave nothing of the height over? A top and a bottom do, where a shell between them is stated. */
static bool are_whole(const struct zones *zones, bool shell_stated)
{
	bool ends = zones->upper && zones->lower && zones->all_known;
	return ends && (!shell_stated || zones->middle || (zones->upper == 2 && zones->lower == 2));
}

/* The least protected of shell and zones. */
static struct metal least_protected(const struct scene *scene, struct metal shell, const struct zones *zones)
{
	struct metal together = zones->first;
	if (!zones->alike)
		together.parts = "that of its zones";
	if (zones->steel.from && !is_steel(scene, shell))
		return zones->steel;
	if (!zones->steel.from && are_whole(zones, shell.from != NULL) && (!shell.from || is_steel(scene, shell)))
		return together;
	return shell;
}

static struct metal base_at(const struct scene *scene, const struct item *item)
{
	return cell(scene, item, "material");
}

/* ---- putting ---- */

static void put_words(const struct scene *scene, const char *name, const char *words)
{
	scene_put(scene, name, quantity_assumed_word(table_arena(scene->table), KIND_WORD, words, words));
}

static void put_metal(const struct scene *scene, const char *name, struct metal metal)
{
	struct arena *arena = table_arena(scene->table);
	const char *family = arena_format(arena, "%s-family", name);
	if (metal.parts) {
		put_words(scene, name, metal.parts);
		put_words(scene, family, metal.parts);
		return;
	}
	if (metal.from)
		scene_take(scene, name, metal.from, metal.name);
	else
		scene_put(scene, name, quantity_unknown(arena, KIND_WORD, metal.open));
	if (family_of(scene, metal))
		scene_take(scene, family, metal.from, arena_format(arena, "%s-family", metal.name));
	else
		scene_put(scene, family,
			quantity_unknown(arena, KIND_WORD,
				metal.open
					? metal.open
					: arena_format(arena, "%s of %s is not stated", metal.name, metal.from->tag)));
}

/* Amine on any side of the exchanger; on one of which only one side is described, its own service tells of the other. */
static const struct quantity *amine_on_any_side(const struct scene *scene, const struct item *exchanger)
{
	const struct quantity *whole = scene_get_of(scene, exchanger, "amine-wetted"), *answer = NULL;
	size_t count = 0, behind = table_behind(scene->table, exchanger);
	for (size_t i = exchanger->index + 1; i < behind; i++) {
		const struct item *side = table_item(scene->table, i);
		const struct quantity *there = is_kind(side, sides) ? scene_get_of(scene, side, "amine-wetted") : NULL;
		if (!there)
			continue;
		count++;
		if (there->known != UNKNOWN && there->si > 0)
			return there;
		answer = !answer || there->known == UNKNOWN ? there : answer;
	}
	return count < 2 ? whole : answer;
}

/* Does amine touch one face or the other? */
static void amine_on_a_face(const struct scene *scene)
{
	const struct item *exchanger = exchanger_of(scene->item);
	const struct quantity *answer = scene_get(scene, "amine-wetted"), *other = NULL;
	bool known = answer && answer->known != UNKNOWN;
	if (exchanger && (is_kind(scene->item, "tube-side plate-side tubesheet") || is_tubes(scene, scene->item)))
		other = amine_on_any_side(scene, exchanger);
	if (!answer || (other && !(known && answer->si > 0)))
		answer = other;
	if (answer && answer->known == UNKNOWN)
		scene_put(scene, "wetted-by-amine", answer);
	else if (answer)
		scene_put(scene, "wetted-by-amine",
			quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, answer->si > 0 ? "yes" : "no",
				other ? "tubes and plates are wetted on both faces" : answer->reason));
}

/* Metals hardly ever differ by operating case: what was found for all of them stands unless something here does. */
static bool stands(const struct scene *scene)
{
	bool varies = scene->operating_case == EVERY_CASE;
	const struct item *outermost = scene->item;
	while (outermost->parent)
		outermost = outermost->parent;
	size_t behind = table_behind(scene->table, outermost);
	for (size_t i = outermost->index; i < behind && !varies; i++)
		varies = table_varies(scene->table, table_item(scene->table, i));
	return !varies;
}

static void of_item(const struct scene *scene)
{
	const struct item *exchanger = exchanger_of(scene->item);
	if (!is_kind(scene->item, in_contact) || stands(scene))
		return;
	struct zones plain = zones_of(scene, scene->item, base_at);
	if (plain.count && !scene_get(scene, "material"))
		put_metal(scene, "material", least_protected(scene, base_at(scene, scene->item), &plain));
	struct zones zones = zones_of(scene, scene->item, metal_at);
	struct metal metal = metal_at(scene, scene->item);
	put_metal(scene, "wetted-material", zones.count ? least_protected(scene, metal, &zones) : metal);
	if (exchanger && (scene->item == exchanger || is_kind(scene->item, sides)))
		put_metal(scene, "surface-material", surface_of(scene, exchanger));
	amine_on_a_face(scene);
}

void contact_compute(struct table *table)
{
	scene_each(table, of_item);
}
