#include "compute/streams.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/properties.h"
#include "compute/contents.h"
#include "compute/density.h"
#include "compute/flash.h"
#include "compute/loadings.h"
#include "compute/mixing.h"
#include "compute/share.h"
#include "compute/side_ends.h"
#include "compute/solvent.h"
#include "compute/vapour.h"
#include "resolve/equipment.h"
#include "resolve/service.h"

bool carries_flow(const struct item *item)
{
	return item_in(item, CLASS_FLOW);
}

/* ---- streams ---- */

/* The stream this one comes from, when it is the only one that does: then it carries all of its flow. */
static const struct item *source_stream(const struct scene *scene)
{
	const char *from = table_word(scene->table, scene->item, scene->operating_case, "from");
	const struct item *source = from ? table_find(scene->table, from) : NULL;
	return item_is(source, "stream") ? source : NULL;
}

static size_t streams_from(const struct scene *scene, const struct item *source)
{
	size_t count = 0;
	struct items streams = table_of_kind(scene->table, "stream");
	for (size_t i = 0; i < streams.count; i++) {
		const struct item *item = streams.rows[i];
		const char *from = table_word(scene->table, item, scene->operating_case, "from");
		count += from && strcmp(from, source->tag) == 0;
	}
	return count;
}

/* Does a split of the network part the source into this stream and others? Then nothing is between that changes it. */
static bool is_split_off(const struct scene *scene, const struct item *source)
{
	struct items splits = table_of_kind(scene->table, "split");
	for (size_t i = 0; i < splits.count; i++) {
		const char *from = table_word(scene->table, splits.rows[i], scene->operating_case, "from");
		const char *to = table_word(scene->table, splits.rows[i], scene->operating_case, "to");
		if (from && to && strcmp(from, source->tag) == 0 && text_has_word(to, scene->item->tag))
			return true;
	}
	return false;
}

static void carry(const struct scene *scene, const struct item *source, const char *name)
{
	if (!scene_stated(scene, name))
		scene_take(scene, name, source, name);
}

/*
 * What does not change on the way through a pump, a cooler or an exchanger. Temperature and pressure do, and what follows from
 * them (density, viscosity, pH, vapour); only a split leaves them as they are.
 */
static void take_from_source(const struct scene *scene)
{
	static const char *const carried[] = {"service", "gas", "strength", "h2s-content", "co2-content",
		"water-content", "nh4hs", "nh3", "hcn", "chloride", "carbonate", "dissolved-sulfide", "oxygen"};
	static const char *const loadings[] = {"h2s", "co2", "loading"};
	const struct item *source = source_stream(scene);
	if (!source)
		return;
	bool own_loading = scene_stated(scene, "loading") || scene_stated(scene, "h2s") || scene_stated(scene, "co2");
	for (size_t i = 0; i < COUNT(carried); i++)
		carry(scene, source, carried[i]);
	for (size_t i = 0; !own_loading && i < COUNT(loadings); i++)
		carry(scene, source, loadings[i]);
	if (is_split_off(scene, source)) {
		carry(scene, source, "temperature");
		carry(scene, source, "pressure");
	}
	bool shares = scene_stated(scene, "flow-share") && scene_get_of(scene, source, "mass-flow");
	if (!scene_stated(scene, "flow") && (shares || streams_from(scene, source) == 1))
		share_take(scene, source, "mass-flow");
}

/* A flow by moles as mass. Where the molar mass is not known, what the density lacks is what it lacks. */
static void mass_from_moles(const struct scene *scene, struct input density)
{
	bool of_gas = scene_get(scene, "molar-mass") || item_is(scene->item, "gas");
	struct input mass = of_gas ? input_rises(scene_input(scene, "M", "molar-mass")) : density;
	struct input inputs[] = {input_rises(scene_input(scene, "n", "flow")), mass};
	double flow = of_gas ? inputs[0].quantity->si * mass.quantity->si : (double)NAN;
	scene_compute(scene, "mass-flow", KIND_MASS_FLOW, flow,
		flow * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(mass.quantity)),
		FORMULA_MASS_FROM_MOLES, inputs, 2);
}

static bool is_gas(const struct scene *scene)
{
	const char *phase = table_word(scene->table, scene->item, scene->operating_case, "phase");
	return phase && strcmp(phase, "gas") == 0;
}

/* What a mass flow lacks: of a flow by moles what its working names, else the flow, else the density. */
static struct input to_be_stated(struct input mass, struct input flow, struct input density)
{
	if (mass.quantity->formula == &formulas[FORMULA_MASS_FROM_MOLES])
		return mass;
	if (flow.quantity->known == UNKNOWN)
		return flow;
	return density.quantity->known == UNKNOWN ? density : mass;
}

static void volume_of_mass(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "m", "mass-flow")), input_falls(scene_input(scene, "rho", "density"))};
	double volume = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "volume-flow", is_gas(scene) ? KIND_GAS_FLOW : KIND_LIQUID_FLOW, volume,
		volume * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_VOLUME_FLOW, inputs, 2);
}

/* Density of what is none of amine, gas, steam and water stays unknown unless stated. */
static void flows_of(const struct scene *scene)
{
	bool amine =
		service_is(table_word(scene->table, scene->item, scene->operating_case, "service"), SERVICE_STREAM);
	struct input flow = input_rises(scene_input(scene, "Q", "flow")),
		     density = input_rises(scene_input(scene, "rho", "density"));
	const struct quantity *stated = flow.quantity;
	if (stated->known != UNKNOWN && stated->kind == KIND_MASS_FLOW)
		scene_take(scene, "mass-flow", scene->item, "flow");
	else if (stated->known != UNKNOWN && stated->kind == KIND_MOLAR_FLOW && !amine)
		mass_from_moles(scene, density);
	else if (stated->known != UNKNOWN && (stated->kind == KIND_LIQUID_FLOW || stated->kind == KIND_GAS_FLOW)) {
		scene_take(scene, "volume-flow", scene->item, "flow");
		struct input inputs[] = {density, flow};
		scene_compute(scene, "mass-flow", KIND_MASS_FLOW, stated->si * density.quantity->si,
			stated->uncertainty * density.quantity->si + stated->si * density.quantity->uncertainty,
			FORMULA_MASS_FLOW, inputs, 2);
		return;
	}
	struct input inputs[] = {input_rises(scene_input(scene, "m", "mass-flow")), input_falls(density)};
	double mass = inputs[0].quantity->si, rho = density.quantity->si, volume = mass / rho;
	if (inputs[0].quantity->known == UNKNOWN)
		inputs[0] = to_be_stated(inputs[0], flow, density);
	scene_compute(scene, "volume-flow", is_gas(scene) ? KIND_GAS_FLOW : KIND_LIQUID_FLOW, volume,
		volume * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(density.quantity)),
		FORMULA_VOLUME_FLOW, inputs, 2);
}

static void of_stream(const struct scene *scene)
{
	take_from_source(scene);
	mixing_of_stream(scene);
	loadings_of_stream(scene);
	bool amine =
		service_is(table_word(scene->table, scene->item, scene->operating_case, "service"), SERVICE_STREAM);
	if (!flash_stream(scene) && amine)
		density_of_solution(scene);
	if (!amine)
		vapour_of_service(scene);
	flows_of(scene);
}

/* By moles, for the balances: from a flow by mass or actual volume. */
static void molar_flow(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "m", "mass-flow")), input_falls(scene_input(scene, "M", "molar-mass"))};
	const struct quantity *stated = scene_get(scene, "flow");
	if (!stated || stated->known == UNKNOWN)
		return;
	if (stated->kind == KIND_MOLAR_FLOW) {
		scene_take(scene, "molar-flow", scene->item, "flow");
		return;
	}
	double flow = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "molar-flow", KIND_MOLAR_FLOW, flow,
		flow * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_MOLES_FROM_MASS, inputs, 2);
}

static void of_gas(const struct scene *scene)
{
	if (!item_is(scene->item, "gas"))
		return;
	vapour_of_gas(scene);
	flows_of(scene);
	molar_flow(scene);
}

/* Has each stream been done that this one comes from, or that is mixed into it? */
static bool sources_done(const struct scene *scene, const bool *done)
{
	const struct item *sources[MIXING_MOST], *source = source_stream(scene);
	size_t count = mixing_sources(scene, sources);
	bool all = !source || done[source->index];
	for (size_t i = 0; i < count; i++)
		all = all && done[sources[i]->index];
	return all;
}

static void of_every_case(struct scene scene)
{
	for (; scene.operating_case < (int)table_case_count(scene.table); scene.operating_case++)
		of_stream(&scene);
}

/* Streams in such an order that the one another comes from is done first; a ring of streams is cut at its first. */
static void streams_in_order(struct table *table)
{
	size_t count = table_item_count(table);
	bool *done = arena_alloc(table_arena(table), (count + 1) * sizeof *done);
	table_pass(table, (uintptr_t)of_stream);
	for (bool progress = true, forced = false; progress || !forced;) {
		forced = !progress;
		progress = false;
		for (size_t i = 0; i < count; i++) {
			struct scene scene = {.table = table,
				.into = table,
				.item = table_item(table, i),
				.operating_case = EVERY_CASE};
			if (done[i] || !item_is(scene.item, "stream"))
				continue;
			if (!forced && !sources_done(&scene, done))
				continue;
			if (table_visits(table, scene.item))
				of_every_case(scene);
			done[i] = progress = true;
		}
	}
	table_pass(table, 0);
}

/* ---- a flow stated further on ---- */

/* The stream that all of an item becomes; NULL: none, several, or one that others join. */
static const struct item *sole_follower(const struct scene *scene, const struct item *stream)
{
	const struct item *sources[MIXING_MOST];
	struct items streams = table_of_kind(scene->table, "stream"), splits = table_of_kind(scene->table, "split");
	if (!stream->tag || streams_from(scene, stream) != 1)
		return NULL;
	for (size_t i = 0; i < splits.count; i++)
		if (text_same(scene_word_of(scene, splits.rows[i], "from"), stream->tag))
			return NULL;
	for (size_t i = 0; i < streams.count; i++) {
		struct scene there = *scene;
		there.item = streams.rows[i];
		if (text_same(scene_word_of(scene, there.item, "from"), stream->tag))
			return scene_get(&there, "flow-share") || mixing_sources(&there, sources) ? NULL : there.item;
	}
	return NULL;
}

static bool states_flow(const struct scene *scene, const struct item *stream)
{
	return table_stated(scene->table, stream, scene->operating_case, "flow") != NULL;
}

/* Does a stream that this one comes from state its flow? */
static bool is_told_upstream(const struct scene *scene)
{
	struct scene above = *scene;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		above.item = source_stream(&above);
		if (!above.item || states_flow(scene, above.item))
			return above.item != NULL;
	}
	return true;
}

/* What a stream becomes has its mass: a flow stated of the cooled lean is that of the hot lean. */
static void flow_stated_further_on(const struct scene *scene)
{
	const struct item *sources[MIXING_MOST], *next = scene->item;
	const struct quantity *own = scene_get(scene, "mass-flow");
	bool known = is_number(own) && own->formula != &formulas[FORMULA_TAKEN];
	if (!item_is(scene->item, "stream") || known || is_told_upstream(scene) || mixing_sources(scene, sources))
		return;
	for (size_t i = 0; next && !states_flow(scene, next) && i < table_item_count(scene->table); i++)
		next = sole_follower(scene, next);
	if (!next || next == scene->item || !is_number(scene_get_of(scene, next, "mass-flow")))
		return;
	scene_take(scene, "mass-flow", next, "mass-flow");
	volume_of_mass(scene);
}

/* ---- what carries a stream ---- */

const struct item *stream_next(const struct scene *scene, size_t *at)
{
	static const char *const references[] = {"stream", "inlet", "outlet", "lean", "semi-lean", "rich",
		"rich-outlet", "feed", "gas", "treated", "hydrocarbon", "acid-gas", "reflux", "steam", "suction",
		"discharge"};
	const char *own_service = table_word(scene->table, scene->item, scene->operating_case, "service");
	bool own_stream = carries_flow(scene->item), is_part = scene->item->parent != NULL;
	while (*at < COUNT(references)) {
		const char *name = references[(*at)++];
		const struct item *item = NULL;
		for (const struct item *holder = scene->item; holder && !item;
			holder = own_stream ? NULL : holder->parent) {
			const struct quantity *reference = scene_get_of(scene, holder, name);
			if (reference && reference->kind == KIND_REFERENCE)
				item = table_find(scene->table, reference->word);
		}
		if (!item_is(item, "stream") && !item_is(item, "gas") && !item_is(item, "hydrocarbon-feed"))
			continue;
		const char *service = table_word(scene->table, item, scene->operating_case, "service");
		if (!own_service || !is_part || !service || strcmp(own_service, service) == 0)
			return item;
	}
	return NULL;
}

const struct item *stream_touching(const struct scene *scene)
{
	size_t at = 0;
	return stream_next(scene, &at);
}

static bool same_reference(const struct scene *scene, const struct item *other, const char *name)
{
	const char *own = table_word(scene->table, scene->item, scene->operating_case, name);
	return own && text_same(own, table_word(scene->table, other, scene->operating_case, name));
}

bool stream_beside(const struct scene *scene, const struct item *other)
{
	if (!item_is(other, scene->item->kind))
		return false;
	if (item_is(other, "line"))
		return same_reference(scene, other, "stream") &&
			(same_reference(scene, other, "from") || same_reference(scene, other, "to"));
	if (item_in(other, CLASS_SIDE))
		return same_reference(scene, other, "inlet") && same_reference(scene, other, "outlet");
	return same_reference(scene, other, "stream") && other->parent == scene->item->parent;
}

static const struct item *hotter(const struct scene *scene, const struct item *a, const struct item *b)
{
	const struct quantity *ta = scene_get_of(scene, a, "temperature"), *tb = scene_get_of(scene, b, "temperature");
	if (!b || !is_number(tb))
		return a;
	return !a || !is_number(ta) || tb->si > ta->si ? b : a;
}

/*
 * Does the item's own value go before that of its stream? What it states for no case in particular describes the first one: in a
 * case of which the stream says something else by name, that holds.
 */
static bool keeps_own(const struct scene *scene, const struct item *stream, const char *name)
{
	if (!scene_stated(scene, name))
		return false;
	return scene->operating_case <= 0 || scene_states_case(scene, scene->item, name) || !stream ||
		!(item_is(stream, "stream") || item_is(stream, "gas")) || !scene_states_case(scene, stream, name);
}

static void take_new(const struct scene *scene, const struct item *from, const char *name)
{
	if (from && !keeps_own(scene, from, name))
		scene_take(scene, name, from, name);
}

/* Of two ends one has no temperature: what it carries is at least as hot as the other, and may be hotter. */
static void temperature_of_one_end(const struct scene *scene, const struct item *known, const struct item *unknown)
{
	struct arena *arena = table_arena(scene->table);
	struct input *end = arena_alloc(arena, sizeof *end);
	*end = scene_input_of(scene, known, "from", "temperature");
	struct input other = scene_input_of(scene, unknown, "from", "temperature");
	struct quantity taken = *end->quantity;
	if (is_bound(other.quantity) && other.quantity->bound == BOUND_BELOW && other.quantity->si <= taken.si) {
		take_new(scene, known, "temperature"); /* the other is certainly no hotter */
		return;
	}
	taken.known = COMPUTED;
	taken.formula = &formulas[FORMULA_TAKEN];
	taken.inputs = end;
	taken.input_count = 1;
	scene_put_new(scene, "temperature", quantity_at_least(arena, &taken, input_missing(arena, &other), &other));
}

static bool is_bounded(const struct quantity *quantity, enum bound bound)
{
	return is_bound(quantity) && quantity->bound == bound;
}

/* Neither end has a number. Above one the hotter of both is above that; below both it is below the higher; else nobody knows. */
static void temperature_of_open_ends(const struct scene *scene, const struct item *one, const struct item *other)
{
	const struct quantity *a = scene_get_of(scene, one, "temperature"),
			      *b = scene_get_of(scene, other, "temperature");
	for (enum bound bound = BOUND_BELOW; bound <= BOUND_ABOVE; bound++)
		if (is_bounded(a, bound) && is_bounded(b, bound)) {
			take_new(scene, b->si > a->si ? other : one, "temperature");
			return;
		}
	bool above = is_bounded(a, BOUND_ABOVE) || is_bounded(b, BOUND_ABOVE);
	if (above || (!is_bound(a) && !is_bound(b))) {
		take_new(scene, is_bounded(b, BOUND_ABOVE) ? other : one, "temperature");
		return;
	}
	struct input open = scene_input_of(scene, is_bound(a) ? other : one, "from", "temperature");
	scene_put_new(scene, "temperature",
		quantity_lacking(
			table_arena(scene->table), KIND_TEMPERATURE, input_missing(table_arena(scene->table), &open)));
}

/* Why nobody knows whether the other end is hotter than `hot`; without a reason: it is not. */
static struct missing maybe_hotter(const struct scene *scene, const struct item *hot, const struct item *other)
{
	if (!other || !hot)
		return nothing_missing;
	struct input ends[] = {
		scene_input_of(scene, hot, "t", "temperature"), scene_input_of(scene, other, "t", "temperature")};
	const struct quantity *end = ends[1].quantity;
	bool colder = end->known != UNKNOWN && end->bound != BOUND_ABOVE && end->si <= ends[0].quantity->si;
	return is_number(end) || colder ? nothing_missing : input_missing(table_arena(scene->table), &ends[1]);
}

/* What the end that may be the hotter one would say of vapour nobody can tell by the other. */
static void put_open_vapour(const struct scene *scene, const struct item *hot, struct missing missing)
{
	static const char *const of_vapour[] = {
		"two-phase", "vapour-fraction", "bubble-pressure", "bubble-margin", "density"};
	const char *service = table_word(scene->table, hot, scene->operating_case, "service");
	if (!service_is(service, SERVICE_RICH | SERVICE_STREAM))
		return;
	for (size_t i = 0; i < COUNT(of_vapour); i++) {
		const struct quantity *there = scene_get_of(scene, hot, of_vapour[i]);
		if (there && !(there->kind == KIND_YES_NO && there->si > 0))
			scene_put_new(
				scene, of_vapour[i], quantity_lacking(table_arena(scene->table), there->kind, missing));
	}
}

/* Nor can the density be told by one end to better than it changes with temperature. */
static void widen_density(const struct scene *scene)
{
	const double by_temperature = 0.07; /* of a solution, from 20 to 130 degC */
	const struct quantity *density = scene_get(scene, "density");
	if (!is_number(density) || scene_stated(scene, "density"))
		return;
	struct quantity *wide = arena_alloc(table_arena(scene->table), sizeof *wide);
	*wide = *density;
	wide->uncertainty = fmax(wide->uncertainty, by_temperature * wide->si);
	scene_put(scene, "density", wide);
}

/* Do others carry the same stream beside it? Then each carries a part of it, in every case. */
static bool carries_part(const struct scene *scene, const struct item *stream)
{
	struct items others = table_of_kind(scene->table, scene->item->kind);
	bool beside = false;
	for (size_t i = 0; i < others.count && stream && !beside; i++)
		beside = others.rows[i] != scene->item && stream_beside(scene, others.rows[i]);
	return beside;
}

/*
 * Is the flow of a carrier its own? Not in a case of which its stream says more, unless the item carries a part of the stream; nor
 * where it is stated as moles of amine, which make no mass without the loading that the stream has.
 */
static bool flow_is_own(const struct scene *scene, const struct item *stream)
{
	const struct quantity *own = scene_get(scene, "flow");
	const char *service = table_word(scene->table, scene->item, scene->operating_case, "service");
	if (!scene_stated(scene, "flow"))
		return false;
	bool moles = own->known != UNKNOWN && own->kind == KIND_MOLAR_FLOW &&
		(service_is(service, SERVICE_LEAN | SERVICE_STREAM) ||
			service_is(service, SERVICE_RICH | SERVICE_STREAM));
	return !(moles && stream) && (keeps_own(scene, stream, "flow") || carries_part(scene, stream));
}

/* Properties come from the hotter end, the flow from the inlet. An item that states its own flow keeps it. */
static void of_carrier(const struct scene *scene)
{
	static const char *const of_hot_end[] = {"service", "density", "liquid-density", "h2s", "co2", "loading",
		"two-phase", "vapour-fraction", "ph", "nh4hs", "bubble-pressure", "bubble-margin", "phase",
		"molar-mass"};
	if (!carries_flow(scene->item))
		return;
	size_t at = 0;
	const struct item *stream = stream_next(scene, &at), *other = stream ? stream_next(scene, &at) : NULL;
	if (!stream && scene->item->parent && carries_flow(scene->item->parent))
		stream = scene->item->parent; /* an elbow, a nozzle of a side */
	const struct item *hot = hotter(scene, stream, other);
	const struct item *cold = hot == stream ? other : stream;
	if (cold && is_number(scene_get_of(scene, hot, "temperature")) &&
		!is_number(scene_get_of(scene, cold, "temperature")))
		temperature_of_one_end(scene, hot, cold);
	else if (cold && !is_number(scene_get_of(scene, hot, "temperature")))
		temperature_of_open_ends(scene, stream, other);
	else
		take_new(scene, hot, "temperature");
	for (size_t i = 0; i < COUNT(of_hot_end); i++)
		take_new(scene, hot, of_hot_end[i]);
	struct missing open = maybe_hotter(scene, hot, cold);
	if (open.reason) {
		put_open_vapour(scene, hot, open);
		widen_density(scene);
	}
	take_new(scene, stream, "pressure");
	bool own_flow = flow_is_own(scene, stream);
	if (stream && !own_flow) {
		share_take(scene, stream, "mass-flow");
		if (hot == stream && !open.reason)
			share_take(scene, stream, "volume-flow");
	}
	if (!stream && !scene_stated(scene, "density"))
		vapour_of_service(scene); /* at conditions of its own */
	const struct quantity *volume = scene_get(scene, "volume-flow"), *mass = scene_get(scene, "mass-flow");
	bool wanted = !volume || (volume->known == UNKNOWN && mass && mass->known != UNKNOWN);
	if (own_flow || (!scene_stated(scene, "flow") && (hot != stream || open.reason || wanted)))
		flows_of(scene);
	else if (!own_flow && hot != stream)
		volume_of_mass(scene);
}

static void of_vessel(const struct scene *scene)
{
	const struct item *stream = NULL;
	if (carries_flow(scene->item) || item_is(scene->item, "stream") || scene_stated(scene, "service"))
		return;
	if (item_in(scene->item, CLASS_STREAM_SERVICE))
		stream = stream_touching(scene);
	take_new(scene, stream, "service");
}

/* A pump is as warm as what it draws, else as the stream it moves. */
static void of_pump(const struct scene *scene)
{
	const struct item *suction = table_follow(scene->table, scene->item, scene->operating_case, "suction");
	const struct item *moved = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	if (item_is(scene->item, "pump") && (item_is(suction, "stream") || item_is(moved, "stream")))
		take_new(scene, item_is(suction, "stream") ? suction : moved, "temperature");
}

/* What neither heats nor cools what passes through it is as warm as that. */
static void of_passage(const struct scene *scene)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	if (item_is_any(scene->item, "filter carbon-bed") && item_is(stream, "stream"))
		take_new(scene, stream, "temperature");
}

void streams_compute(struct table *table)
{
	scene_each(table, of_gas);
	streams_in_order(table);
	scene_each(table, flow_stated_further_on);
	side_ends_compute(table);
	scene_each(table, of_carrier);
	scene_each(table, of_vessel);
	scene_each(table, of_pump);
	scene_each(table, of_passage);
}
