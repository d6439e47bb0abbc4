#include "compute/balance.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "compute/absorber.h"
#include "compute/analyses.h"
#include "compute/circulation.h"
#include "compute/solvent.h"

void balance_removed(const struct balance_sides *sides, double removed[GAS_COUNT])
{
	double inert = sides->gas * (1 - sides->before[GAS_H2S] - sides->before[GAS_CO2]);
	double out = inert / (1 - sides->after[GAS_H2S] - sides->after[GAS_CO2]);

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		removed[gas] = sides->gas * sides->before[gas] - out * sides->after[gas];
}

void balance_picked_up(const struct balance_sides *sides, double picked_up[GAS_COUNT])
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		picked_up[gas] = sides->amine * (sides->rich[gas] - sides->lean[gas]);
}

static double closure(const struct balance_sides *sides)
{
	double removed[GAS_COUNT] = {0}, picked_up[GAS_COUNT] = {0};

	balance_removed(sides, removed);
	balance_picked_up(sides, picked_up);
	return (removed[GAS_H2S] + removed[GAS_CO2]) / (picked_up[GAS_H2S] + picked_up[GAS_CO2]);
}

static void multiply(double values[GAS_COUNT], double factor)
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		values[gas] *= factor;
}

/* The figures a slip may have befallen: the sides with this one multiplied by `factor`. */
enum figure { GAS_FLOW, AMINE_FLOW, FEED_H2S, FEED_CO2, RICH_LOADINGS, LEAN_LOADINGS, FIGURES };

static const char *const figures[FIGURES] = {"flow of the gas", "flow of the amine", "H2S of the feed gas",
	"CO2 of the feed gas", "loadings of the rich", "loadings of the lean"};

static struct balance_sides corrected(const struct balance_sides *sides, enum figure figure, double factor)
{
	struct balance_sides moved = *sides;

	switch (figure) {
	case GAS_FLOW:
		moved.gas *= factor;
		break;
	case AMINE_FLOW:
		moved.amine *= factor;
		break;
	case FEED_H2S:
		moved.before[GAS_H2S] *= factor;
		break;
	case FEED_CO2:
		moved.before[GAS_CO2] *= factor;
		break;
	case RICH_LOADINGS:
		multiply(moved.rich, factor);
		break;
	default:
		multiply(moved.lean, factor);
	}
	return moved;
}

static bool may_befall(const struct slip *slip, enum figure figure)
{
	switch (slip->kind) {
	case SLIP_LIQUID:
		return figure == AMINE_FLOW;
	case SLIP_GAS:
		return figure == GAS_FLOW;
	case SLIP_UNIT:
	case SLIP_COUNT:
		return figure == GAS_FLOW || figure == AMINE_FLOW;
	case SLIP_HEAT:
	case SLIP_PRESSURE:
	case SLIP_RATED:
		return false;
	default:
		return true;
	}
}

const struct slip *balance_slip(const struct balance_sides *sides, const char **figure)
{
	const struct slip *found = NULL;
	double least = (double)INFINITY;

	for (size_t i = 0; slip_wanted(closure(sides)) && i < slip_count(); i++)
		for (int k = 0; k < 2 * FIGURES; k++) {
			const struct slip *slip = slip_row(i);
			enum figure at = (enum figure)(k / 2);
			struct balance_sides moved = corrected(sides, at, k % 2 == 0 ? slip->factor : 1 / slip->factor);
			double ratio = closure(&moved);

			if (!may_befall(slip, at) || !slip_closes(ratio) || fabs(log(ratio)) >= least ||
				moved.before[GAS_H2S] + moved.before[GAS_CO2] >= 1)
				continue;
			least = fabs(log(ratio));
			found = slip;
			*figure = figures[at];
		}
	return found;
}

/* An absorber and what it names. */
struct contactor {
	const struct item *gas, *treated, *lean, *rich;
	struct stream_solution lean_solution, rich_solution;
};

static bool contactor_of(const struct scene *scene, struct contactor *out)
{
	*out = (struct contactor){.gas = absorber_names(scene, "gas"),
		.treated = absorber_names(scene, "treated"),
		.lean = absorber_names(scene, "lean"),
		.rich = absorber_names(scene, "rich")};
	if (!item_is(scene->item, "absorber") || !item_is(out->gas, "gas") || !item_is(out->treated, "gas") ||
		!item_is(out->lean, "stream") || !item_is(out->rich, "stream"))
		return false;
	out->lean_solution = solvent_of_stream(scene, out->lean, false);
	out->rich_solution = solvent_of_stream(scene, out->rich, false);
	return true;
}

/* ---- acid gas ---- */

/* A content stated as "<..." may be none at all: H2S and CO2 of the gas, then of the treated gas. */
static void weigh_contents(struct input *contents, const struct balance_sides *sides, double total, double *error)
{
	for (size_t i = 0; i < (size_t)2 * GAS_COUNT; i++) {
		struct balance_sides none = *sides;
		double removed[GAS_COUNT];

		if (contents[i].quantity->bound != BOUND_BELOW)
			continue;
		*(i < GAS_COUNT ? &none.before[i] : &none.after[i - GAS_COUNT]) = 0;
		balance_removed(&none, removed);
		input_weigh(&contents[i], total, removed[GAS_H2S] + removed[GAS_CO2], error);
	}
}

static const struct quantity *put_removed(
	const struct scene *scene, const struct contactor *c, struct balance_sides *sides)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, c->gas, "G", "flow")),
		input_rises(scene_input_of(scene, c->gas, "y_H2S", "h2s")),
		input_rises(scene_input_of(scene, c->gas, "y_CO2", "co2")),
		scene_input_of(scene, c->treated, "z_H2S", "h2s"), scene_input_of(scene, c->treated, "z_CO2", "co2")};
	double removed[GAS_COUNT], error = 0;

	sides->gas = absorber_gas_flow(scene, c->gas, &inputs[0]);
	inputs[0] = input_rises(inputs[0]);
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		sides->before[gas] = inputs[1 + gas].quantity->si;
		sides->after[gas] = inputs[3 + gas].quantity->si;
	}
	balance_removed(sides, removed);
	for (size_t i = 1; i < COUNT(inputs); i++)
		error = hypot(error, sides->gas * inputs[i].quantity->uncertainty);
	double total = removed[GAS_H2S] + removed[GAS_CO2];
	error = hypot(error, total * relative_uncertainty(inputs[0].quantity));
	weigh_contents(inputs + 1, sides, total, &error);
	return scene_computed(
		scene, "acid-gas-removed", KIND_MOLAR_FLOW, total, error, FORMULA_ACID_GAS_REMOVED, inputs, 5);
}

static size_t pick_up_inputs(const struct scene *scene, const struct contactor *c, struct input *inputs)
{
	size_t count = 0;

	inputs[count++] =
		input_rises(solvent_or_missing(scene_input_of(scene, c->lean, "m", "mass-flow"), &c->lean_solution));
	inputs[count++] = input_rises(solvent_input(scene, c->lean, "w", "strength"));
	inputs[count++] = input_rises(scene_input_of(scene, c->rich, "r_H2S", "h2s"));
	inputs[count++] = input_rises(scene_input_of(scene, c->rich, "r_CO2", "co2"));
	inputs[count++] = scene_input_of(scene, c->lean, "l_H2S", "h2s");
	inputs[count++] = scene_input_of(scene, c->lean, "l_CO2", "co2");
	return count;
}

static const struct quantity *put_picked_up(
	const struct scene *scene, const struct contactor *c, struct balance_sides *sides)
{
	struct input inputs[6];
	size_t count = pick_up_inputs(scene, c, inputs);
	double relative = 0, picked[GAS_COUNT], error = 0;

	sides->amine = solvent_amine_flow(scene, c->lean, &c->lean_solution, &relative);
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		sides->rich[gas] = inputs[2 + gas].quantity->si;
		sides->lean[gas] = inputs[4 + gas].quantity->si;
	}
	balance_picked_up(sides, picked);
	for (size_t i = 2; i < count; i++)
		error = hypot(error, sides->amine * inputs[i].quantity->uncertainty);
	double total = picked[GAS_H2S] + picked[GAS_CO2];
	error = hypot(error, total * hypot(relative, relative_uncertainty(inputs[1].quantity)));
	for (size_t i = 2; i < count; i++) { /* a loading stated as "<..." may be none at all */
		double one = sides->amine * inputs[i].quantity->si;
		if (inputs[i].quantity->bound == BOUND_BELOW)
			input_weigh(&inputs[i], total, i < 2 + GAS_COUNT ? total - one : total + one, &error);
	}
	return scene_computed(
		scene, "acid-gas-picked-up", KIND_MOLAR_FLOW, total, error, FORMULA_PICKED_UP, inputs, count);
}

/* Each gas by itself, against the larger total: one may be wrong one way and the other the other way. */
static void put_each_gas(const struct scene *scene, const struct quantity *out_of_gas,
	const struct quantity *into_amine, const struct balance_sides *sides)
{
	struct input inputs[] = {scene_input_is("x", "taken out of the gas", out_of_gas),
		scene_input_is("y", "taken up by the amine", into_amine)};
	double larger = fmax(fabs(out_of_gas->si), fabs(into_amine->si)), difference = 0, removed[GAS_COUNT],
	       picked[GAS_COUNT];

	balance_removed(sides, removed);
	balance_picked_up(sides, picked);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		difference = fmax(difference, fabs(removed[gas] - picked[gas]) / larger);
	scene_compute(scene, "either-gas-difference", KIND_SHARE, difference,
		hypot(out_of_gas->uncertainty, into_amine->uncertainty) / larger, FORMULA_EITHER_GAS, inputs, 2);
}

/* The value that the figure of a slip stands for, and the item that states it; NULL: it is not one value. */
static const struct quantity *stated_figure(const struct scene *scene, const struct contactor *c, const char *figure,
	const struct item **of, const char **name)
{
	const bool amine = strcmp(figure, figures[AMINE_FLOW]) == 0, h2s = strcmp(figure, figures[FEED_H2S]) == 0,
		   co2 = strcmp(figure, figures[FEED_CO2]) == 0;

	*of = amine ? c->lean : c->gas;
	*name = h2s ? "h2s" : co2 ? "co2" : "flow";
	if (!amine && !h2s && !co2 && strcmp(figure, figures[GAS_FLOW]) != 0)
		return NULL;
	const struct quantity *stated = table_stated(scene->table, *of, scene->operating_case, *name);
	return stated && stated->known == STATED && stated->bound == BOUND_NONE ? stated : NULL;
}

/* What the figure would be without the slip: everything that rests on it is judged with that too. */
static void suspect(const struct scene *scene, const struct contactor *c, const struct balance_sides *sides,
	const struct slip *slip, const char *figure)
{
	const struct item *of;
	const char *name;
	const struct quantity *stated = stated_figure(scene, c, figure, &of, &name);

	if (!stated)
		return;
	bool smaller = closure(sides) > 1;
	if (strcmp(figure, figures[AMINE_FLOW]) == 0)
		smaller = !smaller;
	struct quantity *meant = arena_alloc(table_arena(scene->table), sizeof *meant);
	*meant = *stated;
	meant->si *= smaller ? slip->factor : 1 / slip->factor;
	meant->uncertainty *= smaller ? slip->factor : 1 / slip->factor;
	meant->written = quantity_show_si(table_arena(scene->table), meant->si, meant->kind, NULL);
	table_add_contradiction(scene->into,
		(struct contradiction){.item = scene->item,
			.of = of,
			.name = name,
			.operating_case = EVERY_CASE,
			.used = stated,
			.other = meant});
}

static void put_acid_gas(const struct scene *scene, const struct contactor *c, const struct quantity *out_of_gas,
	const struct quantity *into_amine, const struct balance_sides *sides, const struct slip *amine_slip)
{
	const struct quantity *difference = discrepancy_put(scene, "acid-gas-difference",
		scene_input_is("x", "acid gas taken out of the gas", out_of_gas),
		scene_input_is("y", "acid gas taken up by the amine", into_amine));
	const char *figure = "";
	const struct slip *slip = is_number(difference) ? balance_slip(sides, &figure) : NULL;

	if (slip)
		slip_put(scene, "slip", arena_format(table_arena(scene->table), "%s, %s", figure, slip->what));
	else if (amine_slip)
		slip_put(scene, "slip", amine_slip->what);
	if (slip && scene->operating_case == EVERY_CASE)
		suspect(scene, c, sides, slip, figure);
	put_each_gas(scene, out_of_gas, into_amine, sides);
}

/* ---- amine ---- */

static double moles_of(const struct solution_input *state, void *mass)
{
	return *(const double *)mass / property_loaded_mass(state->mass_fraction, state->loading);
}

static struct input put_amine(const struct scene *scene, const char *name, const char *symbol,
	const struct item *stream, const struct stream_solution *solution)
{
	struct stream_solution weighed = *solution;
	struct input inputs[SOLVENT_INPUTS + 1], mass = input_rises(scene_input_of(scene, stream, "m", "mass-flow"));
	size_t count = solution->count;
	double relative = 0, amine = solvent_amine_flow(scene, stream, solution, &relative), error = amine * relative;
	double kilograms = mass.quantity->si;

	solvent_weigh(&weighed, moles_of, &kilograms, &error);
	memcpy(inputs, weighed.inputs, count * sizeof *inputs);
	inputs[count++] = mass;
	return scene_input_is(symbol, arena_format(table_arena(scene->table), "amine in %s", stream->tag),
		scene_computed(scene, name, KIND_MOLAR_FLOW, amine, error, FORMULA_AMINE_FLOW, inputs, count));
}

/* ---- circulation ---- */

static void put_circulation(const struct scene *scene, const struct contactor *c, const struct quantity *removed)
{
	struct input inputs[] = {input_rises(scene_input_is("n", "acid gas to take out", removed)),
		input_falls(scene_input_of(scene, c->rich, "a_r", "loading")),
		scene_input_of(scene, c->lean, "a_l", "loading"),
		input_falls(solvent_or_missing(solvent_input(scene, c->lean, "w", "strength"), &c->lean_solution))};
	double pick_up = inputs[1].quantity->si - inputs[2].quantity->si, flow = (double)NAN;
	enum amine amine;

	if (!solvent_amine(scene, &amine))
		return;
	if (c->lean_solution.known) {
		const double *w = c->lean_solution.state.mass_fraction;
		double strength = 0,
		       density = property_density(w, REFERENCE_LEAN_TEMPERATURE, c->lean_solution.state.loading).value;

		for (size_t i = 0; i < AMINE_COUNT; i++)
			strength += w[i];
		/* Density is that of the solution with what gas the lean holds, strength that without. */
		density *= property_mass_per_amine(w) / property_loaded_mass(w, c->lean_solution.state.loading);
		flow = circulation_exact(
			removed->si, pick_up, strength, density, strength * property_mass_per_amine(w));
	}
	double error = flow *
		(relative_uncertainty(removed) +
			(inputs[1].quantity->uncertainty + inputs[2].quantity->uncertainty) / fabs(pick_up));
	if (inputs[2].quantity->bound == BOUND_BELOW)
		input_weigh(&inputs[2], flow, flow * pick_up / inputs[1].quantity->si, &error);
	scene_compute(scene, "circulation-exact", KIND_LIQUID_FLOW, flow, error, FORMULA_CIRCULATION_EXACT, inputs, 4);
}

/* gpm = K Q y / x, with the gas in MMscfd; y: acid gas taken out of it. */
static void put_short_form(const struct scene *scene, const struct contactor *c, const struct quantity *removed)
{
	struct input inputs[] = {input_rises(scene_input_is("n", "acid gas to take out", removed)),
		input_falls(solvent_input(scene, c->lean, "x", "strength"))};
	enum short_form form;
	enum amine amine;

	if (!solvent_amine(scene, &amine) || !circulation_form(amine, &form) ||
		inputs[1].quantity->kind == KIND_CONCENTRATION || removed->known == UNKNOWN)
		return;
	double acid_gas_MMscfd = quantity_in(removed->si, KIND_MOLAR_FLOW, "MMscfd");
	double gpm = circulation_short(form, acid_gas_MMscfd, 100, 100 * inputs[1].quantity->si);
	double factor, offset;
	unit_find(KIND_LIQUID_FLOW, "gpm", 0, &factor, &offset);
	const struct quantity *flow = scene_computed(scene, "circulation-by-short-form", KIND_LIQUID_FLOW, gpm * factor,
		gpm * factor * relative_uncertainty(removed), FORMULA_SHORT_FORM, inputs, 2);
	struct input ratio[] = {input_rises(scene_input_of(scene, c->lean, "v", "volume-flow")),
		input_falls(scene_input_is("v_e", "by the short form", flow))};
	scene_compute(scene, "circulation-over-short-form", KIND_RATIO, ratio[0].quantity->si / flow->si,
		ratio[0].quantity->si / flow->si *
			(relative_uncertainty(ratio[0].quantity) + relative_uncertainty(flow)),
		FORMULA_RATIO, ratio, 2);
}

/* The balance wants gas, treated gas, lean and rich: what is not named makes it unknown. */
static void say_what_is_missing(const struct scene *scene, const struct contactor *c)
{
	const struct item *const items[] = {c->gas, c->treated, c->lean, c->rich};
	static const char *const names[] = {"gas", "treated", "lean", "rich"};
	static const char *const wanting[] = {
		"acid-gas-difference", "either-gas-difference", "circulation-over-short-form"};
	struct arena *arena = table_arena(scene->table);

	for (size_t i = 0; item_is(scene->item, "absorber") && i < COUNT(items); i++) {
		if (items[i])
			continue;
		struct missing missing = item_lacks(arena, scene->item, names[i]);
		for (size_t k = 0; k < COUNT(wanting); k++)
			scene_put_made(scene, wanting[k], quantity_lacking(arena, KIND_RATIO, missing));
		return;
	}
}

static void of_absorber(const struct scene *scene)
{
	struct contactor c;
	struct balance_sides sides = {.gas = 0};

	if (!contactor_of(scene, &c)) {
		say_what_is_missing(scene, &c);
		return;
	}
	struct input in = put_amine(scene, "amine-in", "x", c.lean, &c.lean_solution);
	struct input out = put_amine(scene, "amine-out", "y", c.rich, &c.rich_solution);
	const struct quantity *amine = discrepancy_put(scene, "amine-difference", in, out);
	const struct slip *slip = is_number(amine) ? slip_find(in.quantity->si / out.quantity->si) : NULL;
	const struct quantity *out_of_gas = put_removed(scene, &c, &sides),
			      *into_amine = put_picked_up(scene, &c, &sides);
	put_acid_gas(scene, &c, out_of_gas, into_amine, &sides, slip);
	put_circulation(scene, &c, out_of_gas);
	put_short_form(scene, &c, out_of_gas);
}

/* ---- acid gas of the regenerator ---- */

/* The gas that gives flow and composition of what leaves the overhead: that of the stream, else the only acid gas there is. */
static const struct item *acid_gas_of(const struct scene *scene)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "acid-gas"),
			  *found = NULL;
	struct items gases = table_of_kind(scene->table, "gas");
	size_t count = 0;

	if (item_is(stream, "gas"))
		return stream;
	if (item_is(stream, "stream")) {
		const struct item *named = table_follow(scene->table, stream, scene->operating_case, "gas");
		if (item_is(named, "gas"))
			return named;
	}
	for (size_t i = 0; i < gases.count; i++)
		if (text_same(table_word(scene->table, gases.rows[i], scene->operating_case, "role"), "acid gas")) {
			found = gases.rows[i];
			count++;
		}
	return count == 1 && table_of_kind(scene->table, "regenerator").count == 1 ? found : NULL;
}

/* What leaves as acid gas against what the amine sets free. */
static void of_regenerator(const struct scene *scene)
{
	const struct item *gas = item_is(scene->item, "regenerator") ? acid_gas_of(scene) : NULL;
	const struct quantity *stripped = gas ? scene_get(scene, "acid-gas-stripped") : NULL;

	if (!gas || !stripped || !scene_describes(scene, gas, "flow"))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, gas, "G", "flow")),
		input_rises(scene_input_of(scene, gas, "y_H2S", "h2s")),
		input_rises(scene_input_of(scene, gas, "y_CO2", "co2"))};
	absorber_gas_flow(scene, gas, &inputs[0]);
	inputs[0] = input_rises(inputs[0]);
	if (!inputs_known(inputs, 3) || inputs[1].quantity->kind == KIND_GAS_MASS_CONTENT)
		return;
	double out = inputs[0].quantity->si * (inputs[1].quantity->si + inputs[2].quantity->si);
	const struct quantity *leaves = scene_computed(scene, "acid-gas-out", KIND_MOLAR_FLOW, out,
		out * relative_uncertainty(inputs[0].quantity), FORMULA_ACID_GAS_OUT, inputs, 3);
	const struct quantity *difference =
		discrepancy_put(scene, "acid-gas-out-difference", scene_input_is("x", "acid gas that leaves", leaves),
			scene_input_is("y", "acid gas set free by the amine", stripped));
	const struct slip *slip = is_number(difference) ? slip_find(leaves->si / stripped->si) : NULL;
	if (slip)
		slip_put(scene, "acid-gas-slip", slip->what);
}

/* ---- salts ---- */

/* The anions listed, by mass of the solution. */
static void of_solvent(const struct scene *scene)
{
	if (!item_is(scene->item, "solvent"))
		return;
	struct items anions = table_of_kind(scene->table, "anion");
	struct input *inputs = arena_alloc(table_arena(scene->table), (anions.count + 1) * sizeof *inputs);
	const struct item *holder = analyses_anions(scene, scene->item);
	size_t count = 0;
	double sum = 0, error = 0;

	for (size_t i = 0; i < anions.count; i++) {
		if (anions.rows[i]->parent != holder)
			continue;
		inputs[count] = scene_input_of(scene, anions.rows[i], "c", "content");
		const struct quantity *content = inputs[count++].quantity;
		sum += solvent_content(content);
		error = hypot(error, solvent_content(content) * relative_uncertainty(content));
	}
	if (count == 0)
		return;
	for (size_t i = 0; i < count; i++)
		if (inputs[i].quantity->bound == BOUND_BELOW)
			input_weigh(&inputs[i], sum, sum - solvent_content(inputs[i].quantity), &error);
		else
			inputs[i].effect = EFFECT_RISES;
	scene_compute(scene, "anions-together", KIND_MASS_FRACTION, sum, error, FORMULA_ANIONS_TOGETHER, inputs, count);
}

void balance_compute(struct table *table)
{
	scene_each(table, of_solvent);
	scene_each(table, of_absorber);
}

void balance_of_regenerators(struct table *table)
{
	scene_each(table, of_regenerator);
}
