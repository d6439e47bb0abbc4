#include "compute/solvent.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"
#include "chemistry/salts.h"
#include "compute/analyses.h"

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
static const char no_amine[] = "the amine of the solvent is not stated, or not one whose chemistry is known";

/* The strength of one amine, or why there is none. */
static void add_strength(
	const struct scene *scene, struct stream_solution *out, struct input strength, enum amine amine)
{
	double fraction = solvent_mass_fraction(strength.quantity, amine);
	out->inputs[out->count++] = strength;
	out->state.mass_fraction[amine] = fraction;
	if (isnan(fraction) && strength.quantity->known != UNKNOWN)
		add_unknown(scene, out, too_strong);
}

static void add_amine(const struct scene *scene, const struct item *stream, struct stream_solution *out)
{
	enum amine amine, second;

	if (!solvent_amine(scene, &amine)) {
		add_unknown(scene, out, no_amine);
		return;
	}
	if (solvent_activated(scene)) {
		add_unknown(scene, out, "the solvent is activated, and the chemistry here has no activator");
		return;
	}
	add_strength(scene, out, solvent_input(scene, stream, "w", "strength"), amine);
	if (!solvent_word(scene, "second-amine"))
		return;
	if (!amine_find(solvent_word(scene, "second-amine"), &second)) {
		add_unknown(scene, out, "the second amine of the solvent is not one whose chemistry is known");
		return;
	}
	add_strength(scene, out, scene_input_of(scene, the_solvent(scene), "w_2", "second-strength"), second);
}

static void add_salts(const struct scene *scene, struct stream_solution *out)
{
	const struct item *solvent = table_sole(scene->table, "solvent");
	const struct quantity *bound = solvent ? scene_get_of(scene, solvent, "bound-amine") : NULL;

	if (!bound)
		return;
	out->inputs[out->count++] = scene_input_of(scene, solvent, "b", "bound-amine");
	out->state.anion[0] = bound->si;
	if (!scene_get_of(scene, solvent, "sodium"))
		return;
	struct input sodium = scene_input_of(scene, solvent, "c_Na", "sodium");
	out->inputs[out->count++] = sodium;
	salts_add_cation(&out->state, cation_find("sodium"), solvent_content(sodium.quantity));
	out->state.anion[0] += out->state.cation;
	if (out->state.anion[0] < 0)
		out->state.anion[0] = 0; /* by rounding, where there is nothing but sodium */
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

struct stream_solution solvent_of_stream(const struct scene *scene, const struct item *stream, bool temperature)
{
	struct stream_solution out = {.count = 0};

	add_amine(scene, stream, &out);
	add_salts(scene, &out);
	out.inputs[out.count] = scene_input_of(scene, stream, "a_H2S", "h2s");
	out.state.loading[GAS_H2S] = out.inputs[out.count++].quantity->si;
	out.inputs[out.count] = scene_input_of(scene, stream, "a_CO2", "co2");
	out.state.loading[GAS_CO2] = out.inputs[out.count++].quantity->si;
	out.temperature_at = out.count;
	if (temperature) {
		out.inputs[out.count] = scene_input_of(scene, stream, "t", "temperature");
		out.state.temperature = out.inputs[out.count++].quantity->si;
	}
	out.known = known_or_bounds(&out);
	return out;
}

/* Takes out of a state what an input stands for; false: that has no end at none of it. */
static bool take_out(struct solution_input *state, const struct input *input)
{
	if (strcmp(input->symbol, "a_H2S") == 0) {
		state->loading[GAS_H2S] = 0;
	} else if (strcmp(input->symbol, "a_CO2") == 0) {
		state->loading[GAS_CO2] = 0;
	} else if (strcmp(input->symbol, "b") == 0) {
		state->anion[0] = 0; /* and sodium stays: excess base, the far end of anions that are bounds */
	} else if (strcmp(input->symbol, "c_Na") == 0) {
		/* the bound amine, net of sodium, stays */
		state->anion[0] -= state->cation;
		state->cation = 0;
	} else {
		return false;
	}
	return true;
}

void solvent_weigh(struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data,
	double *uncertainty)
{
	double base = (double)NAN;

	for (size_t i = 0; solution->known && i < solution->count; i++) {
		struct input *input = &solution->inputs[i];
		struct solution_input moved = solution->state;

		/* A bound from above leaves everything down to none; where it leaves no end to go to, nothing follows. */
		if (input->quantity->bound != BOUND_BELOW || !take_out(&moved, input))
			continue;
		base = isnan(base) ? value(&solution->state, data) : base;
		input_weigh(input, base, value(&moved, data), uncertainty);
	}
}

double solvent_spread(
	const struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data)
{
	double base = value(&solution->state, data), sum = 0;

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
		else if (strcmp(input->symbol, "w") == 0 && input->quantity->kind != KIND_CONCENTRATION)
			for (size_t a = 0; a < AMINE_COUNT; a++)
				moved.mass_fraction[a] += moved.mass_fraction[a] > 0 ? up : 0;
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

static struct missing no_strength(const struct scene *scene, const struct input *strength, double fraction)
{
	if (is_bound(strength->quantity) || (isnan(fraction) && strength->quantity->known == UNKNOWN))
		return input_missing(table_arena(scene->table), strength);
	return (struct missing){.reason = isnan(fraction) ? too_strong : NULL};
}

static struct missing add_second(const struct scene *scene, struct solution_input *out)
{
	enum amine second;
	const char *word = solvent_word(scene, "second-amine");
	if (!word)
		return nothing_missing;
	if (!amine_find(word, &second))
		return (struct missing){
			.reason = "the second amine of the solvent is not one whose chemistry is known"};
	struct input strength = scene_input_of(scene, the_solvent(scene), "w", "second-strength");
	out->mass_fraction[second] += solvent_mass_fraction(strength.quantity, second);
	return no_strength(scene, &strength, out->mass_fraction[second]);
}

/* Sodium, a bound at none of it or, with `least`, at its bound. Gives why it is not known; no reason: it is. */
static struct missing add_sodium(const struct scene *scene, struct solution_input *out, bool least)
{
	if (!scene_get_of(scene, the_solvent(scene), "sodium"))
		return nothing_missing;
	const struct input sodium = scene_input_of(scene, the_solvent(scene), "c_Na", "sodium");
	if (sodium.quantity->known == UNKNOWN)
		return quantity_missing(sodium.quantity);
	if (sodium.quantity->bound == BOUND_ABOVE)
		return input_missing(table_arena(scene->table), &sodium);
	if (least || !is_bound(sodium.quantity))
		salts_add_cation(out, cation_find("sodium"), solvent_content(sodium.quantity));
	return nothing_missing;
}

/*
 * Anions by name, a bound at its bound or, with `least`, at none of it; what a total of salts leaves beyond them is taken as salts_assumed_anion(). Gives
 * why the salts are not known: a content nobody stated is not a content of zero.
 */
static struct missing add_anions(const struct scene *scene, struct solution_input *out, bool least)
{
	const struct item *solvent = the_solvent(scene);
	const struct item *holder = solvent ? analyses_anions(scene, solvent) : NULL;
	double named = 0;
	struct items anions = table_of_kind(scene->table, "anion");
	for (size_t i = 0; i < anions.count; i++) {
		const struct item *item = anions.rows[i];
		if (item->parent != holder)
			continue;
		const char *name = table_word(scene->table, item, scene->operating_case, "name");
		const struct input content = scene_input_of(scene, item, "c", "content");
		const struct anion_row *anion = name ? anion_find(name) : NULL;
		if (content.quantity->known == UNKNOWN)
			return quantity_missing(content.quantity);
		if (!anion)
			return item_lacks(table_arena(scene->table), item, "name");
		if (content.quantity->bound == BOUND_ABOVE)
			return input_missing(table_arena(scene->table), &content);
		if (least && is_bound(content.quantity))
			continue;
		salts_add(out, anion, solvent_content(content.quantity));
		named += solvent_content(content.quantity);
	}
	const struct quantity *total = scene_get_of(scene, solvent, "salts-on-solution");
	if (is_bound(total) && total->bound == BOUND_ABOVE)
		return total->reason
			? quantity_missing(total)
			: (struct missing){.reason = "the salts of the solvent are stated only as a bound"};
	if (total && total->known != UNKNOWN && total->si > named && !(least && is_bound(total)))
		salts_add_unnamed(out, total->si - named);
	return anions.count || salts_anion_equivalents(out) > 0 ? add_sodium(scene, out, least) : nothing_missing;
}

struct missing solvent_solution(const struct scene *scene, const struct item *stream, struct solution_input *out)
{
	enum amine amine;
	*out = (struct solution_input){0};
	if (!the_solvent(scene))
		return (struct missing){.reason = "the solvent is not described"};
	if (!solvent_amine(scene, &amine))
		return (struct missing){.reason = no_amine};
	struct input strength = solvent_input(scene, stream, "w", "strength");
	out->mass_fraction[amine] = solvent_mass_fraction(strength.quantity, amine);
	struct missing missing = no_strength(scene, &strength, out->mass_fraction[amine]);
	if (!missing.reason)
		missing = add_second(scene, out);
	return missing.reason ? missing : add_anions(scene, out, false);
}

bool solvent_least_salts(const struct scene *scene, struct solution_input *state)
{
	double at_bound = salts_bound_amine(state);
	memset(state->anion, 0, sizeof state->anion);
	state->cation = 0;
	return !add_anions(scene, state, true).reason && salts_bound_amine(state) < at_bound;
}

double solvent_content(const struct quantity *content)
{
	const double kg_per_m3_of_amine = 1000; /* where it is stated by volume: 5 % either way */
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
