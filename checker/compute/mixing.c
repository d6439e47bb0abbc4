#include "compute/mixing.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/derived.h"

/* The streams that a list of references names; 0 where one of them is none. */
static size_t streams_named(const struct scene *scene, const char *list, const struct item *streams[MIXING_MOST])
{
	size_t count = 0;
	for (const char *at = list; at && *at;) {
		size_t length = strcspn(at, " ");
		const struct item *item =
			table_find(scene->table, arena_copy_span(table_arena(scene->table), at, length));
		if (length && (!item_is(item, "stream") || count == MIXING_MOST))
			return 0;
		if (length)
			streams[count++] = item;
		at += length + (at[length] == ' ');
	}
	return count;
}

size_t mixing_sources(const struct scene *scene, const struct item *sources[MIXING_MOST])
{
	struct items mixes = table_of_kind(scene->table, "mix");
	for (size_t i = 0; i < mixes.count; i++) {
		const char *to = table_word(scene->table, mixes.rows[i], scene->operating_case, "to");
		if (to && scene->item->tag && strcmp(to, scene->item->tag) == 0)
			return streams_named(
				scene, table_word(scene->table, mixes.rows[i], scene->operating_case, "from"), sources);
	}
	return 0;
}

/* ---- a header ---- */

static void carry_service(const struct scene *scene, const struct item *const *sources, size_t count)
{
	const char *first = table_word(scene->table, sources[0], scene->operating_case, "service");
	for (size_t i = 1; i < count; i++) {
		const char *other = table_word(scene->table, sources[i], scene->operating_case, "service");
		if (!first || !other || strcmp(first, other) != 0)
			return;
	}
	if (!scene_stated(scene, "service"))
		scene_take(scene, "service", sources[0], "service");
}

static void mix(const struct scene *scene, const struct item *const *sources, size_t count)
{
	struct input inputs[2 * MIXING_MOST];
	double flow = 0, heat = 0, error = 0, warm = 0;
	for (size_t i = 0; i < count; i++) {
		inputs[i] = input_rises(scene_input_of(scene, sources[i], "m_i", "mass-flow"));
		inputs[count + i] = input_rises(scene_input_of(scene, sources[i], "t_i", "temperature"));
		const struct quantity *mass = inputs[i].quantity, *temperature = inputs[count + i].quantity;
		flow += mass->si;
		heat += mass->si * temperature->si;
		error = hypot(error, mass->uncertainty);
		warm = hypot(warm, mass->si * temperature->uncertainty);
	}
	carry_service(scene, sources, count);
	scene_compute(scene, scene_stated(scene, "flow") ? "flow-met" : "mass-flow", KIND_MASS_FLOW, flow, error,
		FORMULA_MIXED_FLOW, inputs, count);
	for (size_t i = 0; i < count; i++)
		inputs[i].effect = EFFECT_UNSAID; /* which way a flow moves it depends on the temperatures */
	scene_compute(scene, scene_stated(scene, "temperature") ? "temperature-calculated" : "temperature",
		KIND_TEMPERATURE, heat / flow, warm / flow, FORMULA_MIXED_TEMPERATURE, inputs, 2 * count);
}

/* ---- a branch ---- */

/* The split that leads to the stream at hand: its source and its branches. */
static size_t branches(const struct scene *scene, const struct item **source, const struct item *streams[MIXING_MOST])
{
	struct items splits = table_of_kind(scene->table, "split");
	for (size_t i = 0; i < splits.count; i++) {
		const char *from = table_word(scene->table, splits.rows[i], scene->operating_case, "from");
		const char *to = table_word(scene->table, splits.rows[i], scene->operating_case, "to");
		if (!from || !to || !scene->item->tag || !text_has_word(to, scene->item->tag))
			continue;
		*source = table_find(scene->table, from);
		return item_is(*source, "stream") ? streams_named(scene, to, streams) : 0;
	}
	return 0;
}

/* Of all branches but this one the flows must be stated by mass, or by a volume of the density of the source. */
static struct input branch_flow(const struct scene *scene, const struct item *branch, const struct item *source)
{
	struct input flow = scene_input_of(scene, branch, "m_i", "flow");
	const struct quantity *density = scene_get_of(scene, source, "density");
	if (flow.quantity->known == UNKNOWN || flow.quantity->kind != KIND_LIQUID_FLOW || !is_number(density))
		return flow;
	struct input parts[] = {input_rises(scene_input_of(scene, source, "rho", "density")), input_rises(flow)};
	flow.quantity = quantity_computed(table_arena(scene->table), KIND_MASS_FLOW, flow.quantity->si * density->si,
		flow.quantity->uncertainty * density->si, &formulas[FORMULA_MASS_FLOW], parts, 2);
	return flow;
}

static void rest_of_split(const struct scene *scene)
{
	const struct item *source = NULL, *streams[MIXING_MOST];
	size_t found = branches(scene, &source, streams), count = 1;
	struct input inputs[MIXING_MOST + 1];
	if (found < 2 || scene_stated(scene, "flow"))
		return;
	inputs[0] = input_rises(scene_input_of(scene, source, "m_0", "mass-flow"));
	double rest = inputs[0].quantity->si, error = inputs[0].quantity->uncertainty;
	for (size_t i = 0; i < found; i++) {
		if (streams[i] == scene->item)
			continue;
		inputs[count] = input_falls(branch_flow(scene, streams[i], source));
		if (inputs[count].quantity->known != UNKNOWN && inputs[count].quantity->kind != KIND_MASS_FLOW)
			return;
		rest -= inputs[count].quantity->si;
		error = hypot(error, inputs[count++].quantity->uncertainty);
	}
	if (inputs_known(inputs, count) && rest >= 0)
		scene_compute(scene, "mass-flow", KIND_MASS_FLOW, rest, error, FORMULA_REST_FLOW, inputs, count);
}

void mixing_of_stream(const struct scene *scene)
{
	const struct item *sources[MIXING_MOST];
	size_t count = mixing_sources(scene, sources);
	if (count)
		mix(scene, sources, count);
	else
		rest_of_split(scene);
}
