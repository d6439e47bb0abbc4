#include "compute/metal.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "compute/streams.h"
#include "resolve/equipment.h"
#include "resolve/service.h"

/* ---- lean, rich, amine ---- */

struct contact {
	bool any, unclear, lean, rich, amine;
	bool overhead; /* acid gas with water, reflux, sour water */
	bool sour;     /* wet H2S, if the unit holds any */
};

static void touch(struct contact *contact, const char *service)
{
	contact->any = true;
	bool lean = service_is(service, SERVICE_LEAN), rich = service_is(service, SERVICE_RICH);
	contact->unclear = contact->unclear || !service || strcmp(service, "other") == 0;
	contact->lean = contact->lean || lean;
	contact->rich = contact->rich || rich;
	contact->amine = contact->amine || lean || rich;
	contact->overhead = contact->overhead || service_is(service, SERVICE_OVERHEAD);
	contact->sour = contact->sour || service_is(service, SERVICE_SOUR);
}

/* A drum upstream of the amine is wet where its gas is. */
static bool is_dry(const struct scene *scene)
{
	const struct item *gas = table_follow(scene->table, scene->item, scene->operating_case, "gas");
	const struct quantity *wet = scene_get_of(scene, gas, "water-saturated");
	return quantity_truth(wet) == NO;
}

/* What the kind of the item, or of what it is part of, tells without a stream. */
static void touch_by_kind(struct contact *contact, const struct scene *scene)
{
	for (const struct item *item = scene->item; item; item = carries_flow(item) ? NULL : item->parent) {
		bool amine = item_in(item, CLASS_AMINE), overhead = item_in(item, CLASS_OVERHEAD);
		bool drum = item_is(item, "knock-out-drum");
		contact->any = contact->any || amine || overhead || drum;
		contact->amine = contact->amine || amine;
		contact->overhead = contact->overhead || overhead;
		contact->sour =
			contact->sour || overhead || item_in(item, CLASS_AMINE_VESSEL) || (drum && !is_dry(scene));
	}
}

static struct contact contact_of(const struct scene *scene)
{
	struct contact contact = {.any = false};
	const char *own = table_word(scene->table, scene->item, scene->operating_case, "service");
	const struct item *stream;
	if (own)
		touch(&contact, own);
	for (size_t at = 0; (stream = stream_next(scene, &at)) != NULL;)
		if (item_is(stream, "stream"))
			touch(&contact, table_word(scene->table, stream, scene->operating_case, "service"));
	for (const struct item *holder = scene->item->parent; holder && !contact.any; holder = holder->parent) {
		const char *service = table_word(scene->table, holder, scene->operating_case, "service");
		if (service)
			touch(&contact, service);
	}
	if (!service_is(own, SERVICE_UTILITY))
		touch_by_kind(&contact, scene);
	return contact;
}

/* ---- tubes and plates: two faces ---- */

static const struct item *exchanger_holding(const struct item *item)
{
	while (item && !item_in(item, CLASS_HEAT_EXCHANGER))
		item = item->parent;
	return item;
}

static bool has_amine_on_the_other_face_only(const struct scene *scene)
{
	const struct item *exchanger = exchanger_holding(scene->item);
	if (!exchanger || !(item_in(scene->item, CLASS_TUBES) || item_is(scene->item, "tubesheet")) ||
		contact_of(scene).amine)
		return false;
	struct scene other = *scene;
	size_t end = table_parts_end(scene->table, exchanger);
	for (size_t i = exchanger->index; i < end; i++) {
		other.item = table_item(scene->table, i);
		bool side = other.item == exchanger || (other.item->parent == exchanger && carries_flow(other.item));
		if (side && contact_of(&other).amine)
			return true;
	}
	return false;
}

/* ---- highest temperature ---- */

/* One temperature of one item, in the case in which it is highest. */
struct source {
	const struct item *item;
	const char *name;
	struct input input;
};

struct heat {
	struct arena *arena;
	struct source *sources;
	size_t count, capacity;
	double highest, uncertainty;
	const struct item *open_item; /* whose */
	const char *open;	      /* value could still be hotter, or NULL: "steamed-out" */
	bool owed;		      /* the package says that this value will follow */
	bool beyond;		      /* one is stated only as a bound: it may be the highest */
};

/* What is owed goes before what is merely not stated. */
static void leave_open(struct heat *heat, const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *value = scene_get_of(scene, item, name);
	bool owed = value && value->owed;
	if (heat->owed && !owed)
		return;
	heat->open_item = item;
	heat->open = name;
	heat->owed = owed;
}

static struct source *source_of(struct heat *heat, const struct item *item, const char *name)
{
	for (size_t i = 0; i < heat->count; i++)
		if (heat->sources[i].item == item && strcmp(heat->sources[i].name, name) == 0)
			return &heat->sources[i];
	heat->sources = arena_grow(heat->arena, heat->sources, heat->count, &heat->capacity, sizeof *heat->sources);
	heat->sources[heat->count] = (struct source){.item = item, .name = name};
	return &heat->sources[heat->count++];
}

static void see(struct heat *heat, const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *value = scene_get_of(scene, item, name);
	if (!value || value->known == UNKNOWN || value->kind != KIND_TEMPERATURE)
		return;
	if (value->bound != BOUND_NONE) {
		heat->beyond = true;
		leave_open(heat, scene, item, name);
		return;
	}
	if (heat->count == 0 || value->si > heat->highest) {
		heat->highest = value->si;
		heat->uncertainty = value->uncertainty;
	}
	struct source *source = source_of(heat, item, name);
	if (!source->input.quantity || value->si > source->input.quantity->si)
		source->input = scene_input_of(scene, item, "t", name);
}

/* Steam-out or tracing: counts where it is done, leaves the result open where nobody says. */
static void see_treatment(struct heat *heat, const struct scene *scene, const char *done, const char *temperature)
{
	const struct quantity *answer = scene_get(scene, done);
	if (!answer || answer->known == UNKNOWN) {
		leave_open(heat, scene, scene->item, done);
		return;
	}
	if (answer->si <= 0)
		return;
	const struct quantity *value = scene_get(scene, temperature);
	if (!value || value->known == UNKNOWN)
		leave_open(heat, scene, scene->item, temperature);
	see(heat, scene, scene->item, temperature);
}

/* Steam at its stated pressure condenses at a temperature of its own, whatever is stated of the metal. */
static void see_steam_out(struct heat *heat, const struct scene *scene)
{
	const struct quantity *done = scene_get(scene, "steamed-out");
	see_treatment(heat, scene, "steamed-out", "steam-out-temperature");
	if (done && done->known != UNKNOWN && done->si > 0)
		see(heat, scene, scene->item, "steam-out-temperature-calculated");
}

static bool washed_first(const struct scene *scene)
{
	const struct quantity *answer = scene_get(scene, "washed-before-steam-out");
	return quantity_truth(answer) == YES;
}

/* ---- one end of a column ---- */

static const struct item *column_of(const struct scene *scene)
{
	const struct item *holder = scene->item;
	while (holder && !item_is_any(holder, "absorber treater regenerator"))
		holder = holder->parent;
	return holder == scene->item ? NULL : holder;
}

/* The temperature of the end at which a zone, or what names one, lies; NULL: at neither, or nothing is known of that end. */
static const char *end_here(const struct scene *scene)
{
	const struct item *column = column_of(scene);
	const char *zone = NULL;
	for (const struct item *holder = scene->item; column && holder != column && !zone; holder = holder->parent)
		zone = scene_word_of(scene, holder, item_is(holder, "zone") ? "name" : "zone");
	const char *end = !zone						    ? NULL
		: text_same(zone, "top") || text_same(zone, "wash section") ? "top-temperature"
		: text_same(zone, "bottom")				    ? "bottom-temperature"
									    : NULL;
	return end && is_number(scene_get_of(scene, column, end)) ? end : NULL;
}

static bool is_of_other_end(const char *end, const char *name)
{
	return end && strcmp(end, name) != 0 && text_has_word("top-temperature bottom-temperature", name);
}

/* What leaves the column at its bottom does not heat its top. */
static bool leaves_other_end(const struct scene *scene, const char *end, const struct item *stream)
{
	const struct item *column = end && strcmp(end, "top-temperature") == 0 ? column_of(scene) : NULL;
	const char *leaves = item_is(column, "regenerator") ? "lean" : "rich";
	return column && table_follow(scene->table, column, scene->operating_case, leaves) == stream;
}

/* What is stated of the item or, unless it carries a flow of its own, of what it is part of. */
static void see_stated(struct heat *heat, const struct scene *scene)
{
	static const char *const of_vessels[] = {
		"bottom-temperature", "top-temperature", "bulk-temperature", "kettle-temperature"};
	const struct item *holder = scene->item;
	const char *end = end_here(scene);
	see(heat, scene, holder, "temperature");
	for (; holder; holder = carries_flow(holder) ? NULL : holder->parent)
		for (size_t i = 0; i < COUNT(of_vessels); i++)
			if (!is_of_other_end(end, of_vessels[i]))
				see(heat, scene, holder, of_vessels[i]);
}

/* Steam, oil or water that a vessel names is in its tubes and leaves the temperature of its shell alone. */
static bool is_in_the_tubes(const struct scene *scene, const struct item *stream)
{
	const char *service = table_word(scene->table, stream, scene->operating_case, "service");
	const char *own = table_word(scene->table, scene->item, scene->operating_case, "service");
	const struct quantity *steam = NULL;
	for (const struct item *holder = scene->item; holder && !steam; holder = holder->parent)
		steam = scene_get_of(scene, holder, "steam");
	bool heats = steam && text_same(steam->word, stream->tag);
	return !carries_flow(scene->item) && (heats || service_is(service, SERVICE_UTILITY)) &&
		!text_same(own, service);
}

static void see_streams(struct heat *heat, const struct scene *scene)
{
	const struct item *stream;
	const char *end = end_here(scene);
	for (size_t at = 0; (stream = stream_next(scene, &at)) != NULL;) {
		if (is_in_the_tubes(scene, stream) || leaves_other_end(scene, end, stream))
			continue;
		see(heat, scene, stream, "temperature");
		see(heat, scene, stream, "temperature-calculated"); /* of a header, by what is mixed */
		if (!scene_stated(scene, "temperature") && !is_number(scene_get_of(scene, stream, "temperature")))
			leave_open(heat, scene, stream, "temperature");
	}
}

/*
 * Tubes with amine on their other face only: the metal is as hot as the amine at least, and hotter by what heats it. How hot
 * the film is nobody can tell but the designer; the heating medium itself is hotter than any metal that amine touches.
 */
static void see_other_face(struct heat *heat, const struct scene *scene)
{
	struct scene other = *scene;
	const struct item *exchanger = exchanger_holding(scene->item);
	size_t end = table_parts_end(scene->table, exchanger);
	const char *own = table_word(scene->table, scene->item, scene->operating_case, "service");
	bool heated = service_is(own, SERVICE_HEATING) || item_in(exchanger, CLASS_KETTLE);
	const struct quantity *skin = scene_get_of(scene, exchanger, "skin-temperature");
	for (size_t i = exchanger->index; i < end; i++) {
		other.item = table_item(scene->table, i);
		bool side = other.item->parent == exchanger && carries_flow(other.item) && contact_of(&other).amine;
		if (other.item != exchanger && !side)
			continue;
		see_stated(heat, &other);
		see_streams(heat, &other);
	}
	if (heated && is_number(skin))
		see(heat, scene, exchanger, "skin-temperature");
	else if (heated)
		leave_open(heat, scene, exchanger, "skin-temperature");
}

/*
 * An exchanger of which only the sides are described is as hot as they are; a side rated by itself is not what rates it, nor is
 * what heats a reboiler.
 */
static void see_sides(struct heat *heat, const struct scene *scene)
{
	struct scene side = *scene;
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		side.item = table_item(scene->table, i);
		if (side.item->parent != scene->item || !item_in(side.item, CLASS_SIDE) ||
			scene_owns(&side, side.item, "design-temperature"))
			continue;
		see_stated(heat, &side);
		see_streams(heat, &side);
	}
}

/* Which of the temperatures count. */
enum which { WITH_AMINE, OF_ALL, RUNNING };

static void see_case(struct heat *heat, const struct scene *scene, enum which which)
{
	if (which == WITH_AMINE && has_amine_on_the_other_face_only(scene)) {
		see_other_face(heat, scene);
	} else {
		size_t before = heat->count;
		see_stated(heat, scene);
		see_streams(heat, scene);
		if (which == OF_ALL && heat->count == before && item_is_any(scene->item, "exchanger cooler"))
			see_sides(heat, scene);
	}
	see_treatment(heat, scene, "traced", "tracing-temperature");
	if (which == RUNNING)
		return;
	see(heat, scene, scene->item, "upset-temperature");
	if (!washed_first(scene))
		see_steam_out(heat, scene);
}

/* At least what is known; what is not stated is among the inputs, unknown. */
static const struct quantity *left_open(
	const struct scene *scene, const struct quantity *computed, const struct heat *heat)
{
	struct input open = scene_input_of(scene, heat->open_item, "t", heat->open);
	return quantity_at_least(table_arena(scene->table), computed, quantity_missing(open.quantity), &open);
}

static const struct quantity *highest_of(const struct scene *scene, const struct heat *heat)
{
	struct arena *arena = table_arena(scene->table);
	struct input *inputs = arena_alloc(arena, (heat->count + 1) * sizeof *inputs);
	if (heat->count == 0)
		return quantity_lacking(arena, KIND_TEMPERATURE, item_lacks(arena, scene->item, "temperature"));
	for (size_t i = 0; i < heat->count; i++)
		inputs[i] = heat->sources[i].input;
	return quantity_computed(arena, KIND_TEMPERATURE, heat->highest, heat->uncertainty,
		&formulas[FORMULA_HIGHEST_METAL], inputs, heat->count);
}

static struct heat over_all_cases(const struct scene *common, enum which which)
{
	struct heat heat = {.arena = table_arena(common->table)};
	struct scene scene = *common;
	for (scene.operating_case = 0; scene.operating_case < (int)table_case_count(common->table);
		scene.operating_case++)
		see_case(&heat, &scene, which);
	return heat;
}

/* An exchanger that states no rating, and each of its sides one: they are held against how hot it gets, and not it. */
static bool is_rated_by_sides(const struct scene *scene)
{
	const struct item *sides[INTERFACE_SIDES];
	size_t count = item_in(scene->item, CLASS_HEAT_EXCHANGER) ? interface_sides(scene, sides) : 0;
	bool rated = count > 0 && !scene_stated(scene, "design-temperature");
	for (size_t i = 0; i < count && i < INTERFACE_SIDES; i++)
		rated = rated && sides[i] != scene->item &&
			is_number(scene_get_of(scene, sides[i], "design-temperature"));
	return rated;
}

static void highest_metal(const struct scene *common)
{
	struct heat heat = over_all_cases(common, WITH_AMINE), all = over_all_cases(common, OF_ALL);
	const struct quantity *computed = highest_of(common, &heat);
	if (heat.count)
		scene_put(common, "metal-reaches", computed);
	scene_put(common, "metal-temperature", heat.count && heat.open ? left_open(common, computed, &heat) : computed);
	if (is_rated_by_sides(common))
		return;
	const struct quantity *highest = highest_of(common, &all);
	scene_put(common, "highest-temperature",
		all.count && (all.owed || all.beyond) ? left_open(common, highest, &all) : highest);
}

/* In one steady case: no upset, no steam-out. */
static void running(const struct scene *scene)
{
	struct heat heat = {.arena = table_arena(scene->table)};
	see_case(&heat, scene, RUNNING);
	const struct quantity *computed = highest_of(scene, &heat);
	scene_put(scene, "running-temperature", heat.count && heat.open ? left_open(scene, computed, &heat) : computed);
}

/* ---- answers ---- */

static void put_answer(const struct scene *scene, const char *name, bool yes, bool clear, const char *why)
{
	struct arena *arena = table_arena(scene->table);
	if (yes || clear)
		scene_put_new(scene, name, quantity_assumed_word(arena, KIND_YES_NO, yes ? "yes" : "no", why));
	else
		scene_put_new(scene, name,
			quantity_lacking(arena, KIND_YES_NO, item_lacks(arena, scene->item, "stream or service")));
}

static void amine_contact(const struct scene *scene)
{
	struct contact contact = contact_of(scene);
	bool clear = contact.any && !contact.unclear;
	bool is_tower = item_in(scene->item, CLASS_TOWER);
	put_answer(scene, "amine-wetted", contact.amine, clear, "from the service of what it touches");
	put_answer(scene, "sees-lean", contact.lean || is_tower, clear,
		is_tower ? "sees lean and rich: rated as lean" : "from the service of what it touches");
	put_answer(scene, "overhead-wetted", contact.overhead, clear, "from the service of what it touches");
	put_answer(scene, "wet-h2s", contact.sour, clear, "from the service of what it touches");
	put_answer(scene, "sees-rich", contact.rich || is_tower, clear, "from the service of what it touches");
}

/* ---- things whose metal is stated by their parts ---- */

static bool has_sides(const struct scene *scene)
{
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const struct item *part = table_item(scene->table, i);
		if (part->parent == scene->item && item_in(part, CLASS_SIDE))
			return true;
	}
	return false;
}

/* An exchanger described by its sides has no metal of its own to be asked for; a pump has that of its casing. */
static void metal_of_parts(const struct scene *scene)
{
	static const char sides[] = "its sides are described one by one";
	if (scene_get(scene, "material"))
		return;
	if (scene_get(scene, "casing")) {
		scene_take(scene, "material", scene->item, "casing");
		scene_take(scene, "material-family", scene->item, "casing-family");
	} else if (has_sides(scene)) {
		scene_put_word(scene, "material", KIND_WORD, "that of its sides", sides);
		scene_put_word(scene, "material-family", KIND_WORD, "that of its sides", sides);
	}
}

/* Up to this design pressure (Pa gauge; 10 bar, rounded) no welded wall of such a unit is thicker (m); common practice, no source. */
static const double LOW_PRESSURE = 10.05e5, LOW_WALL = 0.025;

/*
 * The thickness that the holding time was set by is that of its own wall where nobody says otherwise of it. Of a wall that nobody
 * states the careful end is taken, where the design pressure shows one.
 */
static void holding_thickness(const struct scene *scene)
{
	const struct quantity *design = scene_get(scene, "design-pressure");
	if (scene_owns(scene, scene->item, "pwht-hold-thickness"))
		return;
	if (scene_get(scene, "thickness"))
		scene_take(scene, "pwht-hold-thickness", scene->item, "thickness");
	else if (!scene_get(scene, "pwht-hold-thickness") && is_number(design) && design->bound == BOUND_NONE &&
		design->si - interface_atmosphere(scene)->si <= LOW_PRESSURE)
		scene_put(scene, "pwht-hold-thickness",
			quantity_assumed(table_arena(scene->table), KIND_LENGTH, LOW_WALL, 0,
				"no welded wall for such a design pressure is thicker"));
}

static void of_thing(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_METAL))
		return;
	if (scene->operating_case == EVERY_CASE)
		highest_metal(scene);
	running(scene);
	holding_thickness(scene);
	metal_of_parts(scene);
	amine_contact(scene);
}

void metal_compute(struct table *table)
{
	scene_each(table, of_thing);
}
