#include "compute/census.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

static void put_yes_no(const struct scene *scene, const char *name, bool yes, const char *why)
{
	scene_put_new_made(
		scene, name, quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, yes ? "yes" : "no", why));
}

static void put_open(const struct scene *scene, const char *name, struct missing missing)
{
	scene_put_new_made(scene, name, quantity_lacking(table_arena(scene->table), KIND_YES_NO, missing));
}

/* Words may hold spaces: each is fenced by bars, in the list and where it is looked for. */
static bool is_listed(const struct scene *scene, const char *list, const char *word)
{
	return strstr(list, arena_format(table_arena(scene->table), "|%s|", word)) != NULL;
}

/* ---- what a part is part of ---- */

static void put_part_of(const struct scene *scene)
{
	const struct item *outermost = scene->item;
	while (outermost->parent && !item_is(outermost->parent, "unit"))
		outermost = outermost->parent;
	if (outermost != scene->item)
		scene_put_new_made(scene, "part-of",
			quantity_assumed_word(
				table_arena(scene->table), KIND_WORD, outermost->kind, "what it stands in"));
}

/* ---- what the feed gases bring ---- */

static bool is_feed(const struct scene *scene, const struct item *item)
{
	if (!item_is(item, "gas"))
		return false;
	const char *role = scene_word_of(scene, item, "role");
	return !role || strcmp(role, "feed") == 0;
}

static const char *plant_of(const struct scene *scene)
{
	return scene_word_of(scene, table_sole(scene->table, "basis"), "plant");
}

/* Gas from a field holds neither ammonia nor cyanide unless somebody says so; refinery and coal gases may. */
static bool is_from_a_field(const struct scene *scene, const struct item *gas)
{
	const char *source = scene_word_of(scene, gas, "source");
	if (source)
		return strcmp(source, "gas field") == 0 || strcmp(source, "associated gas") == 0;
	return text_same(plant_of(scene), "natural gas");
}

/* A laboratory that reports less than so much has found none; common practice, no source (leanrich help choices). */
static const double NONE_FOUND = 1e-6; /* mol/mol */

/* Is the content stated as a bound that leaves it open whether there is any? */
static bool is_open_bound(const struct quantity *content)
{
	return content->bound == BOUND_BELOW && content->si > NONE_FOUND * (1 + 1e-9);
}

static void feed_brings(const struct scene *scene, const char *constituent, const char *name)
{
	bool any = false, brings = false, open = false;
	const struct quantity *bound = NULL;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *gas = table_item(scene->table, i);
		if (!is_feed(scene, gas))
			continue;
		const struct quantity *content = scene_get_of(scene, gas, constituent);
		bool known = content && content->known != UNKNOWN;
		any = true;
		brings = brings || (known && content->si > 0 && content->bound != BOUND_BELOW);
		open = open || (known ? is_open_bound(content) : !is_from_a_field(scene, gas));
		bound = known && is_open_bound(content) ? content : bound;
	}
	if (brings || (any && !open))
		put_yes_no(scene, name, brings,
			"from the gases to be treated; gas from a field brings none unless it is stated, and less than "
			"1 "
			"ppmv is none");
	else if (bound)
		put_open(scene, name,
			(struct missing){.reason = arena_format(table_arena(scene->table),
						 "%s of the feed gases is stated only as a bound (%s)", constituent,
						 quantity_show(table_arena(scene->table), bound, NULL))});
	else
		put_open(scene, name,
			(struct missing){NULL, constituent,
				arena_format(table_arena(scene->table), "%s of the feed gases is not stated%s",
					constituent, plant_of(scene) ? "" : ", nor the plant that they come from")});
}

/* The poorest in H2S of the gases to be treated: its absorber lives with the least sulfide. */
static void least_share_of_h2s(const struct scene *scene)
{
	const struct item *poorest = NULL;
	double least = HUGE_VAL;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *gas = table_item(scene->table, i);
		const struct quantity *share = is_feed(scene, gas) ? scene_get_of(scene, gas, "h2s-share") : NULL;
		if (!is_feed(scene, gas))
			continue;
		if (!share || !is_number(share)) {
			const struct input input = scene_input_of(scene, gas, "", "h2s-share");
			struct missing both = {.reason = arena_format(table_arena(scene->table),
						       "h2s and co2 of %s are not stated", gas->tag)};
			put_open(scene, "h2s-share",
				share && (is_bound(share) || share->reason)
					? input_missing(table_arena(scene->table), &input)
					: both);
			return;
		}
		if (share->si < least) {
			least = share->si;
			poorest = gas;
		}
	}
	if (poorest)
		scene_take(scene, "h2s-share", poorest, "h2s-share");
}

/* Which separator a gas passes before the unit: "none" when the unit describes separators and none names this gas. */
static void separator_of(const struct scene *scene)
{
	static const char why[] = "from the separators that name this gas";
	const char *found = NULL;
	const struct item *open = NULL; /* one that names the gas and not its type */
	bool any = false;
	if (!is_feed(scene, scene->item))
		return;
	struct items drums = table_of_kind(scene->table, "knock-out-drum");
	for (size_t i = 0; i < drums.count; i++) {
		const struct item *drum = drums.rows[i];
		any = true;
		const char *gas = scene_word_of(scene, drum, "gas"), *type = scene_word_of(scene, drum, "type");
		bool finer = type && strstr(type, "coalescer");
		if (!gas || strcmp(gas, scene->item->tag) != 0)
			continue;
		open = type ? open : drum;
		found = type && (!found || finer) ? type : found;
	}
	if (open && !(found && strstr(found, "coalescer")))
		scene_put_new_made(scene, "separator",
			quantity_lacking(table_arena(scene->table), KIND_WORD,
				item_lacks(table_arena(scene->table), open, "type")));
	else if (any)
		scene_put_new_made(scene, "separator",
			quantity_assumed_word(table_arena(scene->table), KIND_WORD, found ? found : "none", why));
}

/* ---- isolation ---- */

static void isolation_of_unit(const struct scene *scene)
{
	static const char positive[] = "|spectacle blind|removable spool|double block and bleed|";
	bool any = false, found = false;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *isolation = table_item(scene->table, i);
		const char *by = item_is(isolation, "isolation") ? scene_word_of(scene, isolation, "by") : NULL;
		any = any || by;
		found = found || (by && is_listed(scene, positive, by));
	}
	if (any)
		put_yes_no(scene, "positive-isolation", found, "from the isolations described");
}

/* ---- cladding of zones ---- */

/* Clad, or of an alloy that needs none; no: bare steel; PERHAPS where the metal is not known. */
static enum truth is_protected(const struct scene *scene, const struct item *item)
{
	const char *family = scene_word_of(scene, item, "material-family"),
		   *cladding = scene_word_of(scene, item, "cladding");
	if (cladding && strcmp(cladding, "none") != 0)
		return YES;
	if (!family)
		return PERHAPS;
	return strcmp(family, "carbon steel") == 0 || strcmp(family, "low-alloy steel") == 0 ? NO : YES;
}

/* Is nothing said of cladding, of the item or of the metal of a zone so named? Silence is then read as bare steel. */
static bool is_silent_on_cladding(const struct scene *scene, const char *zones)
{
	bool silent = !scene_word_of(scene, scene->item, "cladding");
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end && silent; i++) {
		const struct item *zone = table_item(scene->table, i);
		const char *which = item_is(zone, "zone") && zone->parent == scene->item
			? scene_word_of(scene, zone, "name")
			: NULL;
		if (which && is_listed(scene, zones, which))
			silent = !scene_word_of(scene, zone, "cladding") && !scene_owns(scene, zone, "material");
	}
	return silent;
}

/* Bare in one of the zones so named is not protected; where none is described the shell decides. */
static void protection_of(const struct scene *scene, const char *zones, const char *name)
{
	enum truth answer = is_protected(scene, scene->item), of_zones = PERHAPS;
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const struct item *zone = table_item(scene->table, i);
		const char *which = item_is(zone, "zone") && zone->parent == scene->item
			? scene_word_of(scene, zone, "name")
			: NULL;
		enum truth own = which && is_listed(scene, zones, which) ? is_protected(scene, zone) : PERHAPS;
		if (own != PERHAPS && of_zones != NO)
			of_zones = own;
	}
	answer = of_zones != PERHAPS ? of_zones : answer;
	if (answer == NO && is_silent_on_cladding(scene, zones))
		scene_put_new_made(scene, name,
			quantity_default_word(table_arena(scene->table), KIND_YES_NO, "no", "no cladding is stated"));
	else if (answer != PERHAPS)
		put_yes_no(scene, name, answer == YES, "from the metal and cladding of its zones, else of its shell");
	else
		put_open(scene, name, item_lacks(table_arena(scene->table), scene->item, "material"));
}

/* Plate of the top: of the zones so named the worst, else that of the vessel. */
static void hic_of_top(const struct scene *scene)
{
	const struct quantity *answer = NULL;
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const struct item *zone = table_item(scene->table, i);
		const char *which = item_is(zone, "zone") && zone->parent == scene->item
			? scene_word_of(scene, zone, "name")
			: NULL;
		const struct quantity *own = which && is_listed(scene, "|top|upper|head|", which)
			? scene_get_of(scene, zone, "hic-tested")
			: NULL;
		if (own && (!answer || own->si < answer->si))
			answer = own;
	}
	answer = answer ? answer : scene_get(scene, "hic-tested");
	if (answer)
		scene_put(scene, "top-hic-tested", answer);
	else
		put_open(scene, "top-hic-tested", item_lacks(table_arena(scene->table), scene->item, "hic-tested"));
}

static void cladding_of(const struct scene *scene)
{
	if (item_is(scene->item, "regenerator")) {
		protection_of(scene, "|top|upper|head|", "top-clad");
		hic_of_top(scene);
		protection_of(scene, "|bottom|lower|", "bottom-clad");
	} else if (item_is(scene->item, "reboiler")) {
		protection_of(scene, "|vapour space|top|", "vapour-space-clad");
	} else if (item_is(scene->item, "flash-drum")) {
		protection_of(scene, "|bottom|liquid space|lower|", "bottom-clad");
	}
}

/* ---- how the unit is watched ---- */

static bool is_watched(const struct scene *scene)
{
	for (size_t i = 0; i < table_item_count(scene->table); i++)
		if (item_in(table_item(scene->table, i), CLASS_MONITORING))
			return true;
	return false;
}

static bool says_complete(const struct scene *scene, const struct item *list)
{
	const struct quantity *complete = scene_get_of(scene, list, "complete");
	return complete && complete->known != UNKNOWN && complete->si > 0;
}

/* Does the package say that what it lists of the monitoring is all there is? Only then is silence a no. */
static bool is_complete(const struct scene *scene)
{
	struct items lists = table_of_kind(scene->table, "monitoring");
	for (size_t i = 0; i < lists.count; i++)
		if (says_complete(scene, lists.rows[i]))
			return true;
	return false;
}

static struct missing may_be_more(const struct scene *scene, const char *list)
{
	struct items lists = table_of_kind(scene->table, "monitoring");
	return (struct missing){lists.count ? lists.rows[0] : NULL, "complete",
		arena_format(table_arena(scene->table),
			"complete of monitoring is not stated, and it lists none for: %s", list)};
}

/* A coupon in the overhead hangs in what leaves the top of the regenerator. */
static bool serves(const char *wanted, const char *word)
{
	return strcmp(word, wanted) == 0 || (strcmp(wanted, "regenerator top") == 0 && strcmp(word, "overhead") == 0);
}

/* The words that no item of the kind has, for the reader, but for one that is excused; "none" when all are there. */
static void missing_of(const struct scene *scene, const char *kind, const char *attribute, const char *const *wanted,
	size_t count, const char *excused, const char *name)
{
	struct arena *arena = table_arena(scene->table);
	struct text list = text_in(arena);
	for (size_t k = 0; k < count; k++) {
		bool found = false;
		for (size_t i = 0; i < table_item_count(scene->table) && !found; i++) {
			const struct item *item = table_item(scene->table, i);
			const char *word = item_is(item, kind) ? scene_word_of(scene, item, attribute) : NULL;
			found = word && serves(wanted[k], word);
		}
		if (!found && !text_same(wanted[k], excused))
			text_addf(&list, "%s%s", list.length ? ", " : "", wanted[k]);
	}
	const bool complete = is_complete(scene);
	struct missing missing = is_watched(scene)
		? may_be_more(scene, list.data)
		: (struct missing){NULL, "monitoring", "monitoring of the unit is not stated"};
	bool known = complete || (is_watched(scene) && !list.length);
	scene_put_new(scene, name,
		known ? quantity_assumed_word(
				arena, KIND_TEXT, list.length ? list.data : "none", "from the monitoring described")
		      : quantity_lacking(arena, KIND_TEXT, missing));
}

/* Is gas or liquid hydrocarbon washed with water downstream of the amine? */
static bool washes(const struct scene *scene)
{
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		const char *name = item_is(item, "absorber") ? "wash-trays"
			: item_is(item, "treater")	     ? "water-wash"
							     : NULL;
		const struct quantity *wash = name ? scene_get_of(scene, item, name) : NULL;
		if (wash && wash->known != UNKNOWN && wash->si > 0)
			return true;
	}
	return false;
}

/* Condensate or demineralised water of stated analysis is sampled where it is made. */
static bool makes_up_with_clean_water(const struct scene *scene)
{
	struct items waters = table_of_kind(scene->table, "make-up-water");
	for (size_t i = 0; i < waters.count; i++) {
		const char *quality = scene_word_of(scene, waters.rows[i], "quality");
		const struct quantity *solids = scene_get_of(scene, waters.rows[i], "dissolved-solids");
		if (!quality || !(strstr(quality, "condensate") || strstr(quality, "demineralised")) ||
			!is_number(solids))
			return false;
	}
	return waters.count > 0;
}

static void monitoring_of(const struct scene *scene)
{
	static const char *const coupons[] = {"hot lean", "reboiler return", "rich after lean/rich exchanger",
		"regenerator top", "reflux", "cold lean", "absorber bottom"};
	static const char *const samples[] = {"lean", "rich", "reflux", "make-up", "wash water"};
	const char *excused = makes_up_with_clean_water(scene) ? "make-up" : NULL;
	static const char *const analyses[] = {
		"strength", "loading", "ph", "iron", "heat-stable salts", "anions", "chloride"};
	missing_of(scene, "coupon", "place", coupons, COUNT(coupons), NULL, "coupons-missing");
	missing_of(scene, "sample-point", "what", samples, COUNT(samples) - !washes(scene), excused, "samples-missing");
	missing_of(scene, "analysis", "what", analyses, COUNT(analyses), NULL, "analyses-missing");
}

/* A detector of hydrogen sulfide in the description answers for the basis that says nothing. */
static void detection_of(const struct scene *scene)
{
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *detector = table_item(scene->table, i);
		const char *what = item_is(detector, "detector") ? scene_word_of(scene, detector, "what") : NULL;
		if (what && strcmp(what, "hydrogen sulfide") == 0) {
			put_yes_no(scene, "h2s-detection", true, "from the detectors described");
			return;
		}
	}
}

/* Damage of plate is looked for and reported of the vessel: nobody is asked for it pipe by pipe and zone by zone. */
static void survey_of(const struct scene *scene)
{
	if (item_is(scene->item, "line") || item_is(scene->item, "part") || item_is(scene->item, "zone"))
		put_yes_no(scene, "surveyed-by-itself", false, "plate is surveyed, and reported of the vessel");
}

/* What heats a reboiler, where its type, its steam or its tubes tell. */
static void heating_of(const struct scene *scene)
{
	static const char *const of_steam[] = {"steam", "steam-pressure", "steam-flow", "steam-temperature"};
	const char *type = scene_word_of(scene, scene->item, "type"), *medium = NULL;
	size_t end = table_parts_end(scene->table, scene->item);
	if (!item_is(scene->item, "reboiler") || scene_word_of(scene, scene->item, "heating-medium"))
		return;
	for (size_t i = 0; i < COUNT(of_steam); i++)
		medium = scene_get(scene, of_steam[i]) ? "steam" : medium;
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const char *service = scene_word_of(scene, table_item(scene->table, i), "service");
		if (service && (strcmp(service, "steam") == 0 || strcmp(service, "hot oil") == 0))
			medium = service;
	}
	medium = !type			       ? medium
		: strcmp(type, "fired") == 0   ? "fire"
		: strcmp(type, "hot oil") == 0 ? "hot oil"
					       : medium;
	medium = !medium && scene_get(scene, "hot-oil-temperature") ? "hot oil" : medium;
	if (medium)
		scene_put_new_made(scene, "heating-medium",
			quantity_assumed_word(table_arena(scene->table), KIND_WORD, medium,
				"from its type, its steam or what its sides carry"));
}

/* ---- what is measured at a part ---- */

static double rate_of(const struct scene *scene, const struct item *item)
{
	const struct quantity *rate = scene_get_of(scene, item, "corrosion-rate-judged");
	return is_number(rate) ? rate->si : 0;
}

/* A reboiler loses metal where it loses most: the highest rate measured at its zones, sides and parts. */
static void fastest_loss(const struct scene *scene)
{
	const struct item *fastest = NULL;
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const struct item *part = table_item(scene->table, i);
		if (rate_of(scene, part) > (fastest ? rate_of(scene, fastest) : 0))
			fastest = part;
	}
	if (fastest && !scene_stated(scene, "corrosion-rate"))
		scene_take(scene, "corrosion-rate", fastest, "corrosion-rate-judged");
	if (fastest && rate_of(scene, fastest) > rate_of(scene, scene->item))
		scene_take(scene, "corrosion-rate-judged", fastest, "corrosion-rate-judged");
}

/* ---- each item ---- */

static void of_item(const struct scene *scene)
{
	const char *service;
	put_part_of(scene);
	cladding_of(scene);
	separator_of(scene);
	survey_of(scene);
	heating_of(scene);
	if (item_is(scene->item, "reboiler")) {
		fastest_loss(scene);
	} else if (item_is(scene->item, "unit")) {
		feed_brings(scene, "nh3", "ammonia-in-feed");
		feed_brings(scene, "hcn", "cyanide-in-feed");
		least_share_of_h2s(scene);
		monitoring_of(scene);
	} else if (item_is(scene->item, "basis")) {
		isolation_of_unit(scene);
		detection_of(scene);
	} else if (item_is(scene->item, "tube-side") && item_is(scene->item->parent, "exchanger") &&
		(service = scene_word_of(scene, scene->item, "service")) != NULL) {
		struct scene exchanger = *scene;
		exchanger.item = scene->item->parent;
		put_yes_no(
			&exchanger, "rich-on-tube-side", strcmp(service, "rich") == 0, "from the stream in the tubes");
	}
}

void census_compute(struct table *table)
{
	scene_each(table, of_item);
}
