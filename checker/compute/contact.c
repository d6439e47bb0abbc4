#include "compute/contact.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/coverage.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* ---- where the answer is ---- */

/* A cell that names the metal, or why none does; or words that send the reader to the parts. */
struct metal {
	const struct item *from;
	const char *name;    /* of the cell: "cladding", "material" */
	struct missing open; /* without a reason: known */
	const char *parts;   /* "that of its sides", or NULL */
};

static struct metal not_stated(const struct scene *scene, const struct item *item, const char *name)
{
	return (struct metal){.open = item_lacks(table_arena(scene->table), item, name)};
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
		? scene_word_of(scene, metal.from, arena_format(table_arena(scene->table), "%s-family", metal.name))
		: NULL;
}

bool contact_is_steel(const char *family)
{
	return text_same(family, "carbon steel") || text_same(family, "low-alloy steel");
}

static bool is_steel(const struct scene *scene, struct metal metal)
{
	return contact_is_steel(family_of(scene, metal));
}

static bool is_same(const struct scene *scene, struct metal a, struct metal b)
{
	return a.from && b.from &&
		text_same(scene_word_of(scene, a.from, a.name), scene_word_of(scene, b.from, b.name));
}

/* ---- tubes and plates ---- */

static const struct item *exchanger_of(const struct item *item)
{
	while (item && !item_in(item, CLASS_HEAT_EXCHANGER))
		item = item->parent;
	return item;
}

static bool is_tubes(const struct scene *scene, const struct item *item)
{
	const char *name = item_is_any(item, "part") ? scene_word_of(scene, item, "name") : NULL;
	return name && (strstr(name, "ube") || strstr(name, "undle")) && !strstr(name, "heet");
}

/* Handed down with a cladding, or as the steel of a kettle, it is the metal of a shell, and says nothing of tubes. */
static bool is_of_shell(const struct scene *scene, const struct item *side, const struct item *exchanger)
{
	const char *cladding = scene_word_of(scene, side, "cladding");
	bool clad = !scene_owns(scene, side, "cladding") && cladding && strcmp(cladding, "none") != 0;
	bool kettle = item_in(exchanger, CLASS_KETTLE) && is_steel(scene, cell(scene, side, "material"));
	return !scene_owns(scene, side, "material") && (clad || kettle);
}

static struct metal surface_of(const struct scene *scene, const struct item *exchanger)
{
	const struct item *side = NULL;
	size_t end = table_parts_end(scene->table, exchanger);
	for (size_t i = exchanger->index + 1; i < end; i++) {
		const struct item *part = table_item(scene->table, i);
		if (is_tubes(scene, part) && scene_owns(scene, part, "material"))
			return cell(scene, part, "material");
		if (item_in(part, CLASS_TUBES) && (!side || scene_owns(scene, part, "material")))
			side = part;
	}
	if (side && is_of_shell(scene, side, exchanger))
		return not_stated(scene, side, "material");
	if (side || item_in(exchanger, CLASS_KETTLE)) /* its own material is that of the kettle */
		return cell(scene, side ? side : exchanger, side ? "material" : "material of the tubes");
	return cell(scene, exchanger, "material");
}

/* ---- one place ---- */

/* The zone of the same vessel that a nozzle, part, weld or repair names. */
static const struct item *zone_named(const struct scene *scene, const struct item *item)
{
	const char *name = item_is_any(item, "zone") ? NULL : scene_word_of(scene, item, "zone");
	for (const struct item *holder = item->parent; name && holder; holder = holder->parent) {
		size_t end = table_parts_end(scene->table, holder);
		for (size_t i = holder->index + 1; i < end; i++) {
			const struct item *zone = table_item(scene->table, i);
			if (item_is_any(zone, "zone") && text_same(scene_word_of(scene, zone, "name"), name))
				return zone;
		}
	}
	return NULL;
}

/* A lining or facing that covers the place, or NULL. A cladding that is handed down does not cover a part of an alloy of its own. */
static const char *cover_of(const struct scene *scene, const struct item *item)
{
	static const char *const covers[] = {"lined-with", "faced-with", "cladding"};
	for (size_t i = 0; i < COUNT(covers); i++) {
		const char *word = scene_word_of(scene, item, covers[i]);
		if (!word || strcmp(word, "none") == 0)
			continue;
		if (!scene_owns(scene, item, covers[i]) && scene_owns(scene, item, "material") &&
			!is_steel(scene, cell(scene, item, "material")))
			continue;
		return covers[i];
	}
	return NULL;
}

static struct metal metal_at(const struct scene *scene, const struct item *item)
{
	const struct item *zone = NULL;
	if (item_in(item, CLASS_TUBES) && exchanger_of(item))
		return surface_of(scene, exchanger_of(item));
	if (!scene_owns(scene, item, "material") && !scene_owns(scene, item, "cladding"))
		zone = zone_named(scene, item);
	if (zone)
		return metal_at(scene, zone);
	const char *cover = cover_of(scene, item);
	if (cover && item_is_any(item, "repair") && !scene_owns(scene, item, cover)) {
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
	for (size_t i = 0; zone && i < COUNT(rows); i++)
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
	bool covered;		/* one of them is of an alloy, or lined with one */
	enum coverage coverage; /* by their heights */
	struct extent gap;	/* between two that are covered, where one is; else the lowest */
	bool between;
};

/* Does a zone of an alloy, or lined with one, lie below the gap, and another above it? */
static bool is_between(const struct scene *scene, const struct item *vessel, const struct extent *gap,
	struct metal (*at)(const struct scene *, const struct item *))
{
	bool below = false, above = false;
	for (size_t i = vessel->index + 1; i < table_parts_end(scene->table, vessel); i++) {
		const struct item *zone = table_item(scene->table, i);
		struct extent extent;
		if (!item_is_any(zone, "zone") || zone->parent != vessel || !extent_of(scene->table, zone, &extent))
			continue;
		struct metal metal = at(scene, zone);
		bool covered = metal.from && !is_steel(scene, metal);
		below = below || (covered && extent.begins < gap->begins);
		above = above || (covered && extent.ends > gap->ends);
	}
	return below && above;
}

static void find_gap(const struct scene *scene, const struct item *vessel, struct zones *zones,
	struct metal (*at)(const struct scene *, const struct item *))
{
	struct extent gap;
	zones->coverage = coverage_of(scene, vessel, 0, &zones->gap);
	gap = zones->gap;
	for (enum coverage found = zones->coverage; found == COVERAGE_GAP && !zones->between;) {
		zones->between = is_between(scene, vessel, &gap, at);
		zones->gap = zones->between ? gap : zones->gap;
		found = coverage_of(scene, vessel, gap.ends, &gap);
	}
}

static struct zones zones_of(const struct scene *scene, const struct item *vessel,
	struct metal (*at)(const struct scene *, const struct item *))
{
	struct zones zones = {.all_known = true, .alike = true};
	find_gap(scene, vessel, &zones, at);
	size_t end = table_parts_end(scene->table, vessel);
	for (size_t i = vessel->index + 1; i < end; i++) {
		const struct item *zone = table_item(scene->table, i);
		if (!item_is_any(zone, "zone") || zone->parent != vessel)
			continue;
		struct metal metal = at(scene, zone);
		int part = part_of_height(scene_word_of(scene, zone, "name")), half = part & HALVES ? 2 : 1;
		zones.upper = part & UPPER && half > zones.upper ? half : zones.upper;
		zones.middle = part & MIDDLE ? 1 : zones.middle;
		zones.lower = part & LOWER && half > zones.lower ? half : zones.lower;
		zones.all_known = zones.all_known && metal.from;
		zones.steel = !zones.steel.from && is_steel(scene, metal) ? metal : zones.steel;
		zones.covered = zones.covered || (metal.from && !is_steel(scene, metal));
		zones.alike = zones.alike && (!zones.count || is_same(scene, zones.first, metal));
		zones.first = zones.count++ ? zones.first : metal;
	}
	return zones;
}

/* Do the zones leave nothing of the height over? By their heights; else a top and a bottom do, where a shell between them is stated. */
static bool are_whole(const struct zones *zones, bool shell_stated)
{
	if (zones->coverage != COVERAGE_NOT_STATED)
		return zones->coverage == COVERAGE_WHOLE && zones->all_known;
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
	scene_put_word(scene, name, KIND_WORD, words, words);
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
		scene_put(scene, name, quantity_lacking(arena, KIND_WORD, metal.open));
	if (family_of(scene, metal))
		scene_take(scene, family, metal.from, arena_format(arena, "%s-family", metal.name));
	else
		scene_put(scene, family,
			quantity_lacking(arena, KIND_WORD,
				metal.from ? not_stated(scene, metal.from, metal.name).open : metal.open));
}

/* The answer of any side of the exchanger; where only one side is described, that of the whole tells of the other. */
static const struct quantity *of_any_side(const struct scene *scene, const struct item *exchanger, const char *name)
{
	const struct quantity *whole = scene_get_of(scene, exchanger, name), *answer = NULL;
	size_t count = 0, end = table_parts_end(scene->table, exchanger);
	for (size_t i = exchanger->index + 1; i < end; i++) {
		const struct item *side = table_item(scene->table, i);
		const struct quantity *there = item_in(side, CLASS_SIDE) ? scene_get_of(scene, side, name) : NULL;
		if (!there)
			continue;
		count++;
		if (there->known != UNKNOWN && there->si > 0)
			return there;
		answer = !answer || there->known == UNKNOWN ? there : answer;
	}
	return count < 2 ? whole : answer;
}

/* Does it touch one face or the other? `name` of one face, put as `both`. */
static void on_either_face(const struct scene *scene, const char *name, const char *both)
{
	const struct item *exchanger = exchanger_of(scene->item);
	const struct quantity *answer = scene_get(scene, name), *other = NULL;
	bool known = answer && answer->known != UNKNOWN;
	if (exchanger &&
		(item_in(scene->item, CLASS_TUBES) || item_is(scene->item, "tubesheet") ||
			is_tubes(scene, scene->item)))
		other = of_any_side(scene, exchanger, name);
	if (!answer || (other && !(known && answer->si > 0)))
		answer = other;
	if (answer && answer->known == UNKNOWN)
		scene_put(scene, both, answer);
	else if (answer)
		scene_put_word(scene, both, KIND_YES_NO, answer->si > 0 ? "yes" : "no",
			other ? "tubes and plates are wetted on both faces" : answer->reason);
}

/* Where zones of another metal leave the shell to the fluid. */
static void put_gap(const struct scene *scene, const struct zones *zones)
{
	struct arena *arena = table_arena(scene->table);
	if (zones->coverage != COVERAGE_GAP || !zones->covered)
		return;
	const char *words = arena_format(arena, "%.3g to %.3g m", zones->gap.begins, zones->gap.ends);
	scene_put_word(scene, "left-by-zones", KIND_TEXT, words, "by the heights at which its zones begin and end");
	scene_put_word(scene, "left-between-zones", KIND_YES_NO, zones->between ? "yes" : "no",
		zones->between ? "covered zones lie below and above it" : "covered zones lie on one side of it alone");
}

/* ---- the wall that is welded ---- */

static bool is_channel(const struct scene *scene, const struct item *item)
{
	const char *name = item_is_any(item, "part zone") ? scene_word_of(scene, item, "name") : NULL;
	return name && (strstr(name, "hannel") || strstr(name, "eader") || strstr(name, "onnet"));
}

/* Of tubes it is the channel or header that has welds. Nobody puts an alloy channel on tubes of steel. */
static struct metal channel_of(const struct scene *scene, const struct item *side)
{
	const struct item *exchanger = exchanger_of(side);
	size_t end = table_parts_end(scene->table, exchanger);
	struct metal tubes = surface_of(scene, exchanger);
	if (scene_word_of(scene, side, "channel-material"))
		return cell(scene, side, "channel-material");
	for (size_t i = exchanger->index + 1; i < end; i++)
		if (is_channel(scene, table_item(scene->table, i)) &&
			scene_owns(scene, table_item(scene->table, i), "material"))
			return cell(scene, table_item(scene->table, i), "material");
	if (table_stated(scene->table, exchanger, scene->operating_case, "material"))
		return cell(scene, exchanger, "material");
	return is_steel(scene, tubes) ? tubes : not_stated(scene, side, "channel-material");
}

static bool is_channel_clad(const struct scene *scene, const struct item *side)
{
	const char *own = scene_word_of(scene, side, "channel-cladding");
	const char *cladding = own		      ? own
		: scene_owns(scene, side, "cladding") ? scene_word_of(scene, side, "cladding")
						      : NULL;
	size_t end = table_parts_end(scene->table, side);
	for (size_t i = side->index + 1; i < end && !cladding; i++)
		if (is_channel(scene, table_item(scene->table, i)))
			cladding = scene_word_of(scene, table_item(scene->table, i), "cladding");
	return cladding && strcmp(cladding, "none") != 0;
}

/* The metal that is welded, and whether a cladding keeps the fluid from it everywhere. */
static void wall_of(const struct scene *scene, struct metal touched)
{
	bool tubes = item_is_any(scene->item, "tube-side") && exchanger_of(scene->item);
	struct metal wall = tubes ? channel_of(scene, scene->item) : cell(scene, scene->item, "material");
	bool other = touched.from && !touched.parts && strcmp(touched.name, "material") != 0;
	bool clad = tubes ? is_channel_clad(scene, scene->item)
			  : other && is_steel(scene, wall) && !is_steel(scene, touched);
	put_metal(scene, "wall-material", wall);
	if (!tubes && touched.open.reason)
		scene_put(scene, "wall-clad", quantity_lacking(table_arena(scene->table), KIND_YES_NO, touched.open));
	else
		scene_put_word(scene, "wall-clad", KIND_YES_NO, clad ? "yes" : "no",
			clad ? "its cladding covers it" : "no cladding that covers it is stated");
}

/* Metals hardly ever differ by operating case: what was found for all of them holds unless something here does. */
static bool stands(const struct scene *scene)
{
	bool varies = scene->operating_case == EVERY_CASE;
	const struct item *outermost = scene->item;
	while (outermost->parent)
		outermost = outermost->parent;
	size_t end = table_parts_end(scene->table, outermost);
	for (size_t i = outermost->index; i < end && !varies; i++)
		varies = table_varies(scene->table, table_item(scene->table, i));
	return !varies;
}

/* The line in which a stream runs: of several the first of steel. NULL: none. */
static const struct item *line_of(const struct scene *scene, const char *stream)
{
	struct items lines = table_of_kind(scene->table, "line");
	const struct item *found = NULL;
	for (size_t i = 0; stream && i < lines.count; i++) {
		const char *family = scene_word_of(scene, lines.rows[i], "wetted-material-family");
		bool steel = text_same(family, "carbon steel") || text_same(family, "low-alloy steel");
		if (text_same(scene_word_of(scene, lines.rows[i], "stream"), stream) && (!found || steel || !family))
			found = lines.rows[i];
		if (found == lines.rows[i] && steel)
			break;
	}
	return found;
}

/* What is dosed meets the metal stated of the place, else that of what it is nested in or of the line it goes into. */
static void of_injection(const struct scene *scene)
{
	const char *stream = scene_word_of(scene, scene->item, "into");
	const struct item *into =
		item_in(scene->item->parent, CLASS_WETTED) ? scene->item->parent : line_of(scene, stream);
	if (scene_stated(scene, "material"))
		put_metal(scene, "wetted-material", cell(scene, scene->item, "material"));
	else if (into)
		scene_take(scene, "wetted-material", into, "wetted-material");
	if (!scene_stated(scene, "material") && into)
		scene_take(scene, "wetted-material-family", into, "wetted-material-family");
	if (!scene_stated(scene, "pwht") && into)
		scene_take(scene, "pwht", into, "pwht");
}

static void of_item(const struct scene *scene)
{
	const struct item *exchanger = exchanger_of(scene->item);
	if (!item_in(scene->item, CLASS_WETTED) || stands(scene))
		return;
	struct zones plain = zones_of(scene, scene->item, base_at);
	if (plain.count && !scene_get(scene, "material"))
		put_metal(scene, "material", least_protected(scene, base_at(scene, scene->item), &plain));
	struct zones zones = zones_of(scene, scene->item, metal_at);
	struct metal metal = metal_at(scene, scene->item);
	metal = zones.count ? least_protected(scene, metal, &zones) : metal;
	put_gap(scene, &zones);
	put_metal(scene, "wetted-material", metal);
	wall_of(scene, metal);
	if (exchanger && (scene->item == exchanger || item_in(scene->item, CLASS_SIDE)))
		put_metal(scene, "surface-material", surface_of(scene, exchanger));
	on_either_face(scene, "amine-wetted", "wetted-by-amine");
	on_either_face(scene, "overhead-wetted", "wetted-by-overhead");
}

static void of_dosing(const struct scene *scene)
{
	if (item_is_any(scene->item, "injection"))
		of_injection(scene);
}

void contact_compute(struct table *table)
{
	scene_each(table, of_item);
	scene_each(table, of_dosing);
}
