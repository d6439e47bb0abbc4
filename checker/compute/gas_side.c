#include "compute/gas_side.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/absorber.h"
#include "compute/balance.h"
#include "compute/nodes.h"
#include "compute/solvent.h"

static const char *const gas_names[GAS_COUNT] = {"h2s", "co2"};

/* A contactor with its four ends, all numbers known that the bound wants. */
struct taking {
	const struct item *feed, *treated, *lean, *rich;
	struct stream_solution solution; /* of the lean */
	struct input flow;		 /* of the feed, mol/s */
	struct input mass;		 /* of the lean, kg/s */
	double amine, relative;		 /* mol/s */
	bool bounded;			 /* what the treated gas keeps is not known */
	struct missing missing;		 /* of the treated gas */
};

static bool states_loading(const struct scene *scene, const struct item *stream)
{
	return scene_get_of(scene, stream, "loading") || scene_get_of(scene, stream, "h2s") ||
		scene_get_of(scene, stream, "co2") || scene_get_of(scene, stream, "h2s-content");
}

static bool content_known(const struct scene *scene, const struct item *gas, const char *name)
{
	const struct quantity *content = gas ? scene_get_of(scene, gas, name) : NULL;

	return content && content->known != UNKNOWN && content->bound != BOUND_ABOVE &&
		strcmp(kind_si(content->kind), "mol/mol") == 0;
}

static bool find_taking(const struct scene *scene, struct taking *out)
{
	bool treater = item_is(scene->item, "treater");

	*out = (struct taking){.feed = absorber_names(scene, treater ? "hydrocarbon" : "gas"),
		.treated = absorber_names(scene, "treated"),
		.lean = absorber_names(scene, "lean"),
		.rich = absorber_names(scene, "rich")};
	if (!item_is_any(scene->item, "absorber treater") || absorber_names(scene, "semi-lean") || !out->feed ||
		!item_is(out->lean, "stream") || !item_is(out->rich, "stream") || states_loading(scene, out->rich) ||
		(!content_known(scene, out->feed, "h2s") && !content_known(scene, out->feed, "co2")))
		return false;
	out->solution = solvent_of_stream(scene, out->lean, false);
	absorber_gas_flow(scene, out->feed, &out->flow);
	out->mass = input_falls(scene_input_of(scene, out->lean, "m", "mass-flow"));
	out->amine = solvent_amine_flow(scene, out->lean, &out->solution, &out->relative);
	for (size_t gas = 0; gas < GAS_COUNT && !out->bounded; gas++)
		if (content_known(scene, out->feed, gas_names[gas]) &&
			!content_known(scene, out->treated, gas_names[gas])) {
			out->bounded = true;
			out->missing = item_lacks(table_arena(scene->table), out->treated ? out->treated : scene->item,
				out->treated ? gas_names[gas] : "treated");
		}
	return is_number(out->flow.quantity) && is_number(out->mass.quantity) && out->amine > 0;
}

static double content(const struct scene *scene, const struct item *gas, const char *name)
{
	return content_known(scene, gas, name) ? scene_get_of(scene, gas, name)->si : 0;
}

/* The larger the content of the treated gas, the less is taken; what it may be less than its bound says is within the uncertainty. */
static struct balance_sides sides_of(const struct scene *scene, const struct taking *taking)
{
	struct balance_sides sides = {.gas = taking->flow.quantity->si, .amine = taking->amine};

	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		sides.before[gas] = content(scene, taking->feed, gas_names[gas]);
		sides.after[gas] = content(scene, taking->treated, gas_names[gas]);
		sides.lean[gas] = taking->solution.state.loading[gas];
	}
	return sides;
}

/* As an upper bound, for want of what the treated gas keeps. */
static const struct quantity *at_most(const struct scene *scene, const struct quantity *most, struct missing missing)
{
	struct quantity *bound = arena_alloc(table_arena(scene->table), sizeof *bound);

	*bound = *most;
	if (bound->known != UNKNOWN) {
		bound->bound = BOUND_BELOW;
		bound->reached = true;
		quantity_lacks(bound, missing);
	}
	return bound;
}

static void put_of_gas(const struct scene *scene, const struct taking *taking, size_t gas, double taken)
{
	struct scene there = *scene;
	struct input inputs[6];
	size_t count = 0;
	const char *name = gas_names[gas];
	double loading = taking->solution.state.loading[gas] + taken / taking->amine;

	if (!content_known(scene, taking->feed, name))
		return;
	there.item = taking->rich;
	inputs[count++] = input_rises(taking->flow);
	inputs[count++] = input_rises(scene_input_of(scene, taking->feed, "y", name));
	if (content_known(scene, taking->treated, name))
		inputs[count++] = input_falls(scene_input_of(scene, taking->treated, "z", name));
	inputs[count++] = taking->mass;
	inputs[count++] = input_rises(scene_input_of(scene, taking->lean, "a_l", name));
	inputs[count++] = input_falls(solvent_input(scene, taking->lean, "w", "strength"));
	for (size_t i = 0; i < count; i++) /* a trace that is only a bound, of the lean or the treated gas */
		if (inputs[i].quantity->bound == BOUND_BELOW)
			inputs[i].effect = EFFECT_WITHIN;
	double relative = hypot(relative_uncertainty(inputs[0].quantity),
		hypot(relative_uncertainty(inputs[1].quantity), taking->relative));
	const struct quantity *found = quantity_computed(table_arena(scene->table), KIND_LOADING, loading,
		loading * relative, &formulas[FORMULA_RICH_BY_GAS], inputs, count);
	scene_put(&there, name, taking->bounded ? at_most(scene, found, taking->missing) : found);
}

static bool of_contactor(const struct scene *scene)
{
	struct taking taking;
	double removed[GAS_COUNT];

	if (!find_taking(scene, &taking))
		return false;
	struct balance_sides sides = sides_of(scene, &taking);
	balance_removed(&sides, removed);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		put_of_gas(scene, &taking, gas, fmax(removed[gas], 0));
	return true;
}

/* In a case of which the gas or the lean is not known the common loading must not show through. */
static void leave_open(const struct scene *scene, const struct item *rich)
{
	struct arena *arena = table_arena(scene->table);
	struct scene there = *scene;

	bool open = !states_loading(scene, rich);
	there.item = rich;
	for (size_t gas = 0; gas < GAS_COUNT && open; gas++)
		scene_put_made(&there, gas_names[gas],
			quantity_lacking(arena, KIND_LOADING, item_lacks(arena, rich, "loading")));
}

/* ---- downstream ---- */

static bool has_loading(const struct scene *scene, const struct item *stream)
{
	const struct quantity *h2s = scene_get_of(scene, stream, "h2s"), *co2 = scene_get_of(scene, stream, "co2");

	return (h2s && h2s->known != UNKNOWN) || (co2 && co2->known != UNKNOWN);
}

/* What one stream hands on to another as it is. */
static bool hand_on(const struct scene *scene, const struct item *from, const struct item *to)
{
	struct scene there = *scene;

	there.item = to;
	if (!item_is(from, "stream") || !item_is(to, "stream") || from == to || states_loading(scene, to) ||
		!has_loading(scene, from))
		return false;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		scene_take(&there, gas_names[gas], from, gas_names[gas]);
	return true;
}

/* Of a mix: by the mass of each that joins, whose strengths are taken alike. A bound of one is a bound of all. */
static bool hand_on_mixed(
	const struct scene *scene, const struct item *const *from, size_t count, const struct item *to)
{
	struct arena *arena = table_arena(scene->table);
	struct input *inputs = arena_alloc(arena, 2 * count * sizeof *inputs);
	struct scene there = *scene;

	there.item = to;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		double sum = 0, mass = 0, error = 0;
		for (size_t i = 0; i < count; i++) {
			inputs[2 * i] = scene_input_of(scene, from[i], "m", "mass-flow");
			inputs[2 * i + 1] = input_rises(scene_input_of(scene, from[i], "a", gas_names[gas]));
			sum += inputs[2 * i].quantity->si * inputs[2 * i + 1].quantity->si;
			error += inputs[2 * i].quantity->si * inputs[2 * i + 1].quantity->uncertainty;
			mass += inputs[2 * i].quantity->si;
		}
		scene_compute(&there, gas_names[gas], KIND_LOADING, sum / mass, error / mass, FORMULA_MIXED_LOADING,
			inputs, 2 * count);
	}
	return true;
}

static bool pass_on(const struct scene *scene)
{
	const struct item *in[NODE_STREAMS_MOST], *out[NODE_STREAMS_MOST];
	size_t in_count, out_count;
	bool known = true;

	if (item_is_any(scene->item, "absorber treater regenerator") ||
		!node_streams(scene, in, &in_count, out, &out_count) || !in_count || out_count != 1 ||
		states_loading(scene, out[0]))
		return false;
	if (in_count == 1)
		return hand_on(scene, in[0], out[0]);
	for (size_t i = 0; i < in_count; i++)
		known = known && has_loading(scene, in[i]) && is_number(scene_get_of(scene, in[i], "mass-flow"));
	return known && hand_on_mixed(scene, in, in_count, out[0]);
}

/* The streams that carry on one another by `from` were done by the streams; here by what is between them. */
static bool pass_round(struct table *table)
{
	bool progress = false;

	for (size_t i = 0; i < table_item_count(table); i++)
		for (int c = (int)table_case_count(table) - 1; c >= EVERY_CASE;
			c--) /* the common one last: all would see it */
			progress = pass_on(&(struct scene){.table = table,
					   .into = table,
					   .item = table_item(table, i),
					   .operating_case = c}) ||
				progress;
	return progress;
}

bool gas_side_compute(struct table *table)
{
	bool put = false;

	for (size_t i = 0; i < table_item_count(table); i++) {
		struct scene scene = {
			.table = table, .into = table, .item = table_item(table, i), .operating_case = EVERY_CASE};
		struct taking taking;
		if (!find_taking(&scene, &taking))
			continue;
		/* Before the common one is put, which all would see. */
		for (int c = 0; c < (int)table_case_count(table); c++) {
			struct scene there = {.table = table, .into = table, .item = scene.item, .operating_case = c};
			if (!of_contactor(&there))
				leave_open(&there, taking.rich);
		}
		put = of_contactor(&scene) || put;
	}
	while (put && pass_round(table)) {
	}
	return put;
}
