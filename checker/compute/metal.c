#include "compute/metal.h"

#include <string.h>

#include "base/text.h"
#include "compute/scene.h"
#include "compute/streams.h"

static const char things[] =
	"absorber treater flash-drum exchanger regenerator reboiler condenser reflux-drum pump cooler filter "
	"carbon-bed tank sump reclaimer knock-out-drum vessel line part zone nozzle weld repair tube-side "
	"shell-side plate-side tubesheet elbow fitting internals gasket seal bolting valve check-valve";

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
};

static void leave_open(struct heat *heat, const struct item *item, const char *name)
{
	heat->open_item = item;
	heat->open = name;
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
		leave_open(heat, item, name);
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
		leave_open(heat, scene->item, done);
		return;
	}
	if (answer->si <= 0)
		return;
	if (!scene_get(scene, temperature))
		leave_open(heat, scene->item, temperature);
	see(heat, scene, scene->item, temperature);
}

static bool washed_first(const struct scene *scene)
{
	const struct quantity *answer = scene_get(scene, "washed-before-steam-out");
	return answer && answer->known != UNKNOWN && answer->si > 0;
}

static void see_case(struct heat *heat, const struct scene *scene)
{
	see(heat, scene, scene->item, "temperature");
	see(heat, scene, scene->item, "upset-temperature");
	const struct item *stream;
	for (size_t i = 0; (stream = stream_touching(scene, i)) != NULL; i++) {
		see(heat, scene, stream, "temperature");
		if (!scene_stated(scene, "temperature") && !is_number(scene_get_of(scene, stream, "temperature")))
			leave_open(heat, stream, "temperature");
	}
	see_treatment(heat, scene, "traced", "tracing-temperature");
	if (!washed_first(scene))
		see_treatment(heat, scene, "steamed-out", "steam-out-temperature");
}

/* At least what is known; what is not stated stands among the inputs, unknown. */
static const struct quantity *left_open(
	const struct scene *scene, const struct quantity *computed, const struct heat *heat)
{
	struct arena *arena = table_arena(scene->table);
	struct quantity *open = arena_alloc(arena, sizeof *open);
	struct input *inputs = arena_alloc(arena, (computed->input_count + 1) * sizeof *inputs);
	memcpy(inputs, computed->inputs, computed->input_count * sizeof *inputs);
	inputs[computed->input_count] = scene_input_of(scene, heat->open_item, "t", heat->open);
	*open = *computed;
	open->bound = BOUND_ABOVE;
	open->reached = true;
	open->reason = inputs[computed->input_count].quantity->reason;
	open->inputs = inputs;
	open->input_count++;
	return open;
}

static void highest_metal(const struct scene *common)
{
	struct arena *arena = table_arena(common->table);
	struct heat heat = {.arena = arena};
	struct scene scene = *common;
	for (scene.operating_case = 0; scene.operating_case < (int)table_case_count(common->table);
		scene.operating_case++)
		see_case(&heat, &scene);
	if (heat.count == 0) {
		const char *reason = arena_format(arena, "temperature of %s is not stated", common->item->tag);
		scene_put(common, "metal-temperature", quantity_unknown(arena, KIND_TEMPERATURE, reason));
		return;
	}
	struct input *inputs = arena_alloc(arena, heat.count * sizeof *inputs);
	for (size_t i = 0; i < heat.count; i++)
		inputs[i] = heat.sources[i].input;
	const struct quantity *computed = quantity_computed(arena, KIND_TEMPERATURE, heat.highest, heat.uncertainty,
		&formulas[FORMULA_HIGHEST_METAL], inputs, heat.count);
	scene_put(common, "metal-reaches", computed);
	scene_put(common, "metal-temperature", heat.open ? left_open(common, computed, &heat) : computed);
}

/* ---- lean, rich, amine ---- */

struct contact {
	bool any, unclear, lean, rich, amine;
};

/* Services of streams, and those by which pumps and exchangers are known. */
static const char *const lean_services[] = {
	"lean", "semi-lean", "lean booster", "lean/rich", "lean cooler", "trim cooler"};
static const char *const rich_services[] = {"rich", "lean/rich", "power recovery turbine"};

static bool is_one_of(const char *word, const char *const *words, size_t count)
{
	for (size_t i = 0; word && i < count; i++)
		if (strcmp(word, words[i]) == 0)
			return true;
	return false;
}

static void touch(struct contact *contact, const char *service)
{
	contact->any = true;
	bool lean = is_one_of(service, lean_services, sizeof lean_services / sizeof *lean_services);
	bool rich = is_one_of(service, rich_services, sizeof rich_services / sizeof *rich_services);
	contact->unclear = contact->unclear || !service || strcmp(service, "other") == 0;
	contact->lean = contact->lean || lean;
	contact->rich = contact->rich || rich;
	contact->amine = contact->amine || lean || rich;
}

static struct contact contact_of(const struct scene *scene)
{
	static const char *const in_amine[] = {
		"absorber", "treater", "flash-drum", "regenerator", "reboiler", "reclaimer"};
	struct contact contact = {.any = false};
	const char *own = table_word(scene->table, scene->item, scene->operating_case, "service");
	const struct item *stream;
	if (own)
		touch(&contact, own);
	for (size_t i = 0; (stream = stream_touching(scene, i)) != NULL; i++)
		if (strcmp(stream->kind, "stream") == 0)
			touch(&contact, table_word(scene->table, stream, scene->operating_case, "service"));
	for (const struct item *holder = scene->item->parent; holder && !contact.any; holder = holder->parent) {
		const char *service = table_word(scene->table, holder, scene->operating_case, "service");
		if (service)
			touch(&contact, service);
	}
	for (const struct item *item = scene->item; item; item = carries_flow(item) ? NULL : item->parent)
		for (size_t i = 0; i < sizeof in_amine / sizeof *in_amine; i++)
			if (strcmp(item->kind, in_amine[i]) == 0)
				contact.any = contact.amine = true;
	return contact;
}

static void put_answer(const struct scene *scene, const char *name, bool yes, bool clear, const char *why)
{
	struct arena *arena = table_arena(scene->table);
	if (yes || clear)
		scene_put_new(scene, name, quantity_assumed_word(arena, KIND_YES_NO, yes ? "yes" : "no", why));
	else
		scene_put_new(scene, name,
			quantity_unknown(arena, KIND_YES_NO,
				arena_format(arena, "stream or service of %s is not stated", scene->item->tag)));
}

static void amine_contact(const struct scene *scene)
{
	struct contact contact = contact_of(scene);
	bool clear = contact.any && !contact.unclear;
	bool is_vessel = strcmp(scene->item->kind, "absorber") == 0 || strcmp(scene->item->kind, "regenerator") == 0 ||
		strcmp(scene->item->kind, "treater") == 0;
	put_answer(scene, "amine-wetted", contact.amine, clear, "from the service of what it touches");
	put_answer(scene, "sees-lean", contact.lean || is_vessel, clear,
		is_vessel ? "sees lean and rich: rated as lean" : "from the service of what it touches");
	put_answer(scene, "sees-rich", contact.rich || is_vessel, clear, "from the service of what it touches");
}

/* ---- things whose metal is stated by their parts ---- */

static bool has_sides(const struct scene *scene)
{
	size_t behind = table_behind(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *part = table_item(scene->table, i);
		if (part->parent == scene->item &&
			(strcmp(part->kind, "tube-side") == 0 || strcmp(part->kind, "shell-side") == 0 ||
				strcmp(part->kind, "plate-side") == 0))
			return true;
	}
	return false;
}

/* An exchanger described by its sides has no metal of its own to be asked for; a pump has that of its casing. */
static void metal_of_parts(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	static const char sides[] = "its sides are described one by one";
	if (scene_get(scene, "material"))
		return;
	if (scene_get(scene, "casing")) {
		scene_take(scene, "material", scene->item, "casing");
		scene_take(scene, "material-family", scene->item, "casing-family");
	} else if (has_sides(scene)) {
		scene_put(scene, "material", quantity_assumed_word(arena, KIND_WORD, "that of its sides", sides));
		scene_put(
			scene, "material-family", quantity_assumed_word(arena, KIND_WORD, "that of its sides", sides));
	}
}

static void of_thing(const struct scene *scene)
{
	if (!text_has_word(things, scene->item->kind))
		return;
	if (scene->operating_case == EVERY_CASE)
		highest_metal(scene);
	metal_of_parts(scene);
	amine_contact(scene);
}

void metal_compute(struct table *table)
{
	scene_each(table, of_thing);
}
