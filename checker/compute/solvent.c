#include "compute/solvent.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"
#include "compute/solvent_salts.h"

static const struct item *the_solvent(const struct scene *scene)
{
	return table_sole(scene->table, "solvent");
}

struct input solvent_input(const struct scene *scene, const struct item *item, const char *symbol, const char *what)
{
	const struct item *solvent = table_sole(scene->table, "solvent");
	const struct item *holder = scene_get_of(scene, item, what) || !solvent ? item : solvent;

	return scene_input_of(scene, holder, symbol, what);
}

static const char *solvent_word(const struct scene *scene, const char *name)
{
	const struct item *solvent = table_sole(scene->table, "solvent");

	return solvent ? table_word(scene->table, solvent, scene->operating_case, name) : NULL;
}

bool solvent_amine(const struct scene *scene, enum amine *amine)
{
	const char *word = solvent_word(scene, "amine");

	return word && amine_find(word, amine);
}

const char *solvent_blended_with(const struct table *table)
{
	const struct item *solvent = table_sole(table, "solvent");
	const char *word = solvent ? table_word(table, solvent, EVERY_CASE, "second-amine") : NULL;

	return word && strcmp(word, "none") != 0 ? word : NULL;
}

bool solvent_second_amine(const struct scene *scene, enum amine *amine)
{
	const char *word = solvent_word(scene, "second-amine");

	return word && amine_find(word, amine);
}

double solvent_mass_fraction(const struct quantity *strength, enum amine amine)
{
	if (!strength || strength->known == UNKNOWN)
		return (double)NAN;
	return strength->kind == KIND_CONCENTRATION ? property_mass_fraction(amine, strength->si) : strength->si;
}

static void add_unknown(const struct scene *scene, struct stream_solution *out, const char *reason)
{
	out->inputs[out->count++] =
		scene_input_is("amine", "the amine", quantity_unknown(table_arena(scene->table), KIND_TEXT, reason));
}

/* Of a strength without a mass fraction. */
static const char too_strong[] = "the strength is more than a solution can hold";
const char solvent_beyond[] = "the solvent is activated, and the chemistry here has no activator";
static const char no_amine[] = "the amine of the solvent is not stated, or not one whose chemistry is known";

/* The strength of one amine, or why there is none. */
static void add_strength(
	const struct scene *scene, struct stream_solution *out, struct input strength, enum amine amine)
{
	double fraction = solvent_mass_fraction(strength.quantity, amine);
	out->inputs[out->count++] = strength;
	out->state.mass_fraction[amine] += fraction;
	if (isnan(fraction) && strength.quantity->known != UNKNOWN)
		add_unknown(scene, out, too_strong);
}

static void add_second(const struct scene *scene, struct stream_solution *out)
{
	enum amine second;

	if (!solvent_blended_with(scene->table))
		return;
	if (solvent_second_amine(scene, &second))
		add_strength(scene, out, scene_input_of(scene, the_solvent(scene), "w_2", "second-strength"), second);
	else
		add_unknown(scene, out, "the second amine of the solvent is not one whose chemistry is known");
}

static void add_amine(const struct scene *scene, const struct item *stream, struct stream_solution *out)
{
	enum amine amine;

	if (!the_solvent(scene)) {
		add_unknown(scene, out, "the solvent is not described");
		return;
	}
	if (!solvent_amine(scene, &amine)) {
		add_unknown(scene, out, no_amine);
		return;
	}
	out->activated = solvent_activated(scene);
	if (out->activated)
		add_unknown(scene, out, solvent_beyond);
	add_strength(scene, out, solvent_input(scene, stream, "w", "strength"), amine);
	add_second(scene, out);
}

void solvent_fractions(const struct scene *scene, double fraction[AMINE_COUNT])
{
	enum amine amine, second;
	const struct item *solvent = the_solvent(scene);

	for (size_t i = 0; i < AMINE_COUNT; i++)
		fraction[i] = 0;
	if (!solvent_amine(scene, &amine))
		return;
	fraction[amine] = solvent_mass_fraction(scene_get_of(scene, solvent, "strength"), amine);
	if (solvent_second_amine(scene, &second))
		fraction[second] += solvent_mass_fraction(scene_get_of(scene, solvent, "second-strength"), second);
}

/* The strength is read as all the amine: how much more there is if it is free amine alone. */
static double other_basis(const struct scene *scene, double stated, const struct salt_ions *ions)
{
	const struct item *solvent = the_solvent(scene);
	const struct quantity *said = table_stated(scene->table, solvent, scene->operating_case, "strength-basis");
	double ratio = solvent_all_amine(stated, ions, true) / stated;

	return (said && said->known != UNKNOWN) || !(ratio > 1 + STRENGTH_BASIS_MATTERS) ? 1 : ratio;
}

/* The ions by the solvent's own amine: where a stream is stronger or weaker, water makes the difference. */
static void add_salts(const struct scene *scene, struct stream_solution *out)
{
	const struct item *solvent = the_solvent(scene);
	double fraction[AMINE_COUNT], stated;

	out->other_basis = 1;
	if (!scene_get_of(scene, solvent, "bound-amine"))
		return;
	struct solvent_ions ions = solvent_ions(scene);
	out->inputs[out->count++] = scene_input_of(scene, solvent, "b", "bound-amine");
	out->no_salts = ions.missing;
	solvent_fractions(scene, fraction);
	stated = salts_amine(fraction);
	bool is_free = solvent_strength_is_free(scene);
	double all = solvent_all_amine(stated, &ions.most, is_free);
	for (size_t i = 0; i < AMINE_COUNT && is_free; i++)
		out->state.mass_fraction[i] *= all / stated;
	salts_into(&out->state, &ions.most, all);
	out->least_anion[0] = ions.least.anion[0] / all;
	out->least_anion[1] = ions.least.anion[1] / all;
	out->most_cation = ions.least.cation / all;
	out->other_basis = other_basis(scene, stated, &ions.most);
}

/* Bounds too: what follows from them is for whoever computes to say. */
static bool known_or_bounds(const struct stream_solution *solution)
{
	bool known = true;

	for (size_t i = 0; i < solution->count; i++)
		known = known && solution->inputs[i].quantity->known != UNKNOWN;
	return known;
}

void solvent_replace(struct stream_solution *solution, size_t at, struct input input)
{
	solution->inputs[at] = input;
	if (at == solution->temperature_at)
		solution->state.temperature = input.quantity->si;
	solution->known = known_or_bounds(solution);
}

struct input solvent_or_missing(struct input input, const struct stream_solution *solution)
{
	for (size_t i = 0; i < solution->count && input.quantity->known != UNKNOWN; i++)
		if (solution->inputs[i].quantity->known == UNKNOWN)
			input.quantity = solution->inputs[i].quantity;
	return input;
}

/* A loading by the stream; where it says nothing, by the one that carries the same solution. */
static struct input loading_of(const struct scene *scene, const struct item *stream, const struct item *same,
	const char *symbol, const char *name)
{
	bool there = scene_get_of(scene, stream, name) || !scene_get_of(scene, same, name);

	return scene_input_of(scene, there ? stream : same, symbol, name);
}

static struct stream_solution solution_of(const struct scene *scene, const struct item *stream, const struct item *same)
{
	struct stream_solution out = {.stream = stream};

	add_amine(scene, stream, &out);
	add_salts(scene, &out);
	out.inputs[out.count] = loading_of(scene, stream, same, "a_H2S", "h2s");
	out.state.loading[GAS_H2S] = out.inputs[out.count++].quantity->si;
	out.inputs[out.count] = loading_of(scene, stream, same, "a_CO2", "co2");
	out.state.loading[GAS_CO2] = out.inputs[out.count++].quantity->si;
	out.temperature_at = out.count;
	out.known = known_or_bounds(&out);
	return out;
}

struct stream_solution solvent_without_gases(const struct scene *scene)
{
	struct stream_solution out = {.count = 0};

	add_amine(scene, the_solvent(scene), &out);
	add_salts(scene, &out);
	out.known = known_or_bounds(&out);
	return out;
}

static void set_temperature(struct stream_solution *out, struct input temperature)
{
	out->count = out->temperature_at + 1;
	solvent_replace(out, out->temperature_at, temperature);
}

struct stream_solution solvent_of_stream(const struct scene *scene, const struct item *stream, bool temperature)
{
	struct stream_solution out = solution_of(scene, stream, NULL);

	if (temperature)
		set_temperature(&out, scene_input_of(scene, stream, "t", "temperature"));
	return out;
}

struct stream_solution solvent_at(
	const struct scene *scene, const struct item *stream, const struct item *item, const char *own_temperature)
{
	bool own = own_temperature && scene_get_of(scene, item, own_temperature);
	struct stream_solution out = solution_of(scene, stream, NULL);

	set_temperature(&out, scene_input_of(scene, own ? item : stream, "t", own ? own_temperature : "temperature"));
	return out;
}

/* What flows through a side of an exchanger: it enters and leaves with the same loadings. */
static struct stream_solution of_side(const struct scene *scene, const struct item *side, bool outlet)
{
	const struct item *in = table_follow(scene->table, side, scene->operating_case, "inlet");
	const struct item *out = table_follow(scene->table, side, scene->operating_case, "outlet");

	if (!item_is(in, "stream"))
		return (struct stream_solution){.count = 0};
	struct stream_solution solution = solution_of(scene, in, item_is(out, "stream") ? out : NULL);
	if (outlet)
		set_temperature(&solution, scene_input_of(scene, out, "t", "temperature"));
	return solution;
}

struct stream_solution solvent_state(const struct scene *scene, const struct item *item, enum solution_place place)
{
	const bool tower = item_is(item, "regenerator");
	const struct {
		const char *reference, *temperature;
	} rows[] = {[PLACE_STREAM] = {"", NULL},
		[PLACE_TOP] = {"lean", "top-temperature"},
		[PLACE_BOTTOM] = {tower ? "lean" : "rich", "bottom-temperature"},
		[PLACE_FEED] = {"feed", NULL}};

	if (place == PLACE_SIDE || place == PLACE_OUTLET)
		return of_side(scene, item, place == PLACE_OUTLET);
	const struct item *stream = table_follow(scene->table, item, scene->operating_case, rows[place].reference);
	return item_is(stream, "stream") ? solvent_at(scene, stream, item, rows[place].temperature)
					 : (struct stream_solution){.count = 0};
}

bool solvent_least_salts(const struct stream_solution *solution, struct solution_input *least)
{
	*least = solution->state;
	memcpy(least->anion, solution->least_anion, sizeof least->anion);
	least->cation = solution->most_cation;
	return salts_bound_amine(least) < salts_bound_amine(&solution->state);
}

bool solvent_other_basis(const struct stream_solution *solution, struct solution_input *other)
{
	double more = solution->other_basis;

	*other = solution->state;
	for (size_t i = 0; i < AMINE_COUNT; i++)
		other->mass_fraction[i] *= more;
	other->anion[0] /= more;
	other->anion[1] /= more;
	other->cation /= more;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		other->loading[gas] /= more; /* as much gas in a kilogram, which is what is analysed */
	return more > 1;
}

/* Takes out of a state what an input stands for; false: that has no end at none of it. */
static bool take_out(const struct stream_solution *solution, struct solution_input *state, const struct input *input)
{
	if (strcmp(input->symbol, "a_H2S") == 0) {
		state->loading[GAS_H2S] = 0;
	} else if (strcmp(input->symbol, "a_CO2") == 0) {
		state->loading[GAS_CO2] = 0;
	} else if (strcmp(input->symbol, "b") == 0) {
		/* sodium stays: excess base, the far end of anions that are bounds */
		memcpy(state->anion, solution->least_anion, sizeof state->anion);
	} else {
		return false;
	}
	return true;
}

/* Salts of which one content is stated as ">..." may be any. */
static bool no_end(const struct stream_solution *solution, const struct input *input)
{
	return strcmp(input->symbol, "b") == 0 && solution->no_salts.reason;
}

void solvent_weigh(struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data,
	double *uncertainty)
{
	double base = (double)NAN;

	for (size_t i = 0; solution->known && i < solution->count; i++) {
		struct input *input = &solution->inputs[i];
		struct solution_input moved = solution->state;

		/* A bound from above leaves everything down to none; where it leaves no end to go to, nothing follows. */
		if (input->quantity->bound != BOUND_BELOW || no_end(solution, input) ||
			!take_out(solution, &moved, input))
			continue;
		base = isnan(base) ? value(&solution->state, data) : base;
		input_weigh(input, base, value(&moved, data), uncertainty);
	}
}

/* By the uncertainty of its strength: by mass as it is, by volume in proportion. */
static void strengthen(double mass_fraction[AMINE_COUNT], const struct quantity *strength)
{
	bool by_volume = strength->kind == KIND_CONCENTRATION;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		if (mass_fraction[i] > 0)
			mass_fraction[i] +=
				by_volume ? mass_fraction[i] * relative_uncertainty(strength) : strength->uncertainty;
}

double solvent_spread(
	const struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data)
{
	double base = value(&solution->state, data), sum = 0;
	struct solution_input other;

	if (solvent_other_basis(solution, &other)) {
		double difference = value(&other, data) - base;
		sum += isfinite(difference) ? difference * difference : 0;
	}
	for (size_t i = 0; i < solution->count; i++) {
		struct solution_input moved = solution->state;
		const struct input *input = &solution->inputs[i];
		double up = input->quantity->uncertainty;

		if (strcmp(input->symbol, "t") == 0)
			moved.temperature += up;
		else if (strcmp(input->symbol, "a_H2S") == 0)
			moved.loading[GAS_H2S] += up;
		else if (strcmp(input->symbol, "a_CO2") == 0)
			moved.loading[GAS_CO2] += up;
		else if (strcmp(input->symbol, "b") == 0)
			moved.anion[0] += up;
		else if (strcmp(input->symbol, "w") == 0)
			strengthen(moved.mass_fraction, input->quantity);
		else
			continue;
		double difference = value(&moved, data) - base;
		sum += isfinite(difference) ? difference * difference : 0;
	}
	return sqrt(sum);
}

double solvent_amine_flow(
	const struct scene *scene, const struct item *stream, const struct stream_solution *solution, double *relative)
{
	const struct quantity *flow = scene_get_of(scene, stream, "mass-flow");

	if (!flow || flow->known == UNKNOWN || !solution->known)
		return (double)NAN;
	*relative = relative_uncertainty(flow);
	return flow->si / property_loaded_mass(solution->state.mass_fraction, solution->state.loading);
}

double solvent_content(const struct quantity *content)
{
	const double kg_per_m3_of_amine = 1000; /* where it is stated by volume: 5 % either way */
	if (content->known == UNKNOWN)
		return (double)NAN;
	return content->kind == KIND_MASS_CONCENTRATION ? content->si / kg_per_m3_of_amine : content->si;
}

double solvent_iron(const struct scene *scene)
{
	const struct quantity *iron = scene_get_of(scene, the_solvent(scene), "iron");
	return is_number(iron) && iron->si > 0 ? solvent_content(iron) : (double)NAN;
}

double solvent_iron_assumed(const struct scene *scene, double usual)
{
	const struct quantity *iron = scene_get_of(scene, the_solvent(scene), "iron");
	if (!is_bound(iron) || !(iron->si > 0))
		return usual;
	double at = solvent_content(iron);
	return iron->bound == BOUND_BELOW ? fmin(usual, at) : fmax(usual, at);
}

bool solvent_activated(const struct scene *scene)
{
	const struct quantity *piperazine = scene_get_of(scene, the_solvent(scene), "piperazine");
	const char *activated = solvent_word(scene, "activated");
	bool holds =
		piperazine && piperazine->known != UNKNOWN && piperazine->bound != BOUND_BELOW && piperazine->si > 0;
	return holds || (activated && strcmp(activated, "yes") == 0);
}
