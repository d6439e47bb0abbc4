#include "compute/solvent.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"
#include "chemistry/salts.h"

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
	if (!is_number(strength))
		return (double)NAN;
	return strength->kind == KIND_CONCENTRATION ? property_mass_fraction(amine, strength->si) : strength->si;
}

static void add_unknown(const struct scene *scene, struct stream_solution *out, const char *reason)
{
	out->inputs[out->count++] =
		scene_input_is("amine", "the amine", quantity_unknown(table_arena(scene->table), KIND_TEXT, reason));
}

/* Of a strength without a mass fraction. */
static const char *why_no_strength(const struct quantity *strength)
{
	return strength->known == UNKNOWN ? strength->reason : "the strength is more than a solution can hold";
}

/* The strength of one amine, or why there is none. */
static void add_strength(
	const struct scene *scene, struct stream_solution *out, struct input strength, enum amine amine)
{
	double fraction = solvent_mass_fraction(strength.quantity, amine);
	out->inputs[out->count++] = strength;
	out->state.mass_fraction[amine] = fraction;
	if (isnan(fraction) && strength.quantity->known != UNKNOWN)
		add_unknown(scene, out, why_no_strength(strength.quantity));
}

static void add_amine(const struct scene *scene, const struct item *stream, struct stream_solution *out)
{
	enum amine amine, second;

	if (!solvent_amine(scene, &amine)) {
		add_unknown(scene, out, "the amine of the solvent is not stated, or not one whose chemistry is known");
		return;
	}
	if (solvent_activated(scene)) {
		add_unknown(scene, out, "the solvent is activated, and the chemistry here knows no activator");
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

	if (!bound || (!is_number(bound) && !bound->owed)) /* what is owed leaves the solution unknown */
		return;
	out->inputs[out->count++] = scene_input_of(scene, solvent, "b", "bound-amine");
	out->state.anion[0] = bound->si;
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
	out.known = inputs_known(out.inputs, out.count);
	return out;
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
		double apart = value(&moved, data) - base;
		sum += isfinite(apart) ? apart * apart : 0;
	}
	return sqrt(sum);
}

double solvent_amine_flow(
	const struct scene *scene, const struct item *stream, const struct stream_solution *solution, double *relative)
{
	const struct quantity *flow = scene_get_of(scene, stream, "mass-flow");

	if (!is_number(flow) || !solution->known)
		return (double)NAN;
	*relative = relative_uncertainty(flow);
	return flow->si / property_loaded_mass(solution->state.mass_fraction, solution->state.loading);
}

static const char *add_second(const struct scene *scene, struct solution_input *out)
{
	enum amine second;
	const char *word = solvent_word(scene, "second-amine");
	if (!word)
		return NULL;
	if (!amine_find(word, &second))
		return "the second amine of the solvent is not one whose chemistry is known";
	struct input strength = scene_input_of(scene, the_solvent(scene), "w", "second-strength");
	out->mass_fraction[second] += solvent_mass_fraction(strength.quantity, second);
	return isnan(out->mass_fraction[second]) ? why_no_strength(strength.quantity) : NULL;
}

/* Anions by name; what a total of salts leaves beyond them is taken as salts_assumed_anion(). */
static void add_anions(const struct scene *scene, struct solution_input *out)
{
	const struct item *solvent = the_solvent(scene);
	double named = 0;
	struct items anions = table_of_kind(scene->table, "anion");
	for (size_t i = 0; i < anions.count; i++) {
		const struct item *item = anions.rows[i];
		if (item->parent != solvent)
			continue;
		const char *name = table_word(scene->table, item, scene->operating_case, "name");
		const struct quantity *content = scene_get_of(scene, item, "content");
		const struct anion_row *anion = name ? anion_find(name) : NULL;
		if (!anion || !is_number(content) || strcmp(kind_si(content->kind), "kg/kg") != 0)
			continue;
		salts_add(out, anion, content->si);
		named += content->si;
	}
	const struct quantity *total = scene_get_of(scene, solvent, "salts-on-solution");
	if (is_number(total) && total->si > named)
		salts_add_unnamed(out, total->si - named);
}

/* An anion that is there in an amount that is owed: without it the solution would be taken as free of it. */
static const char *owed_anion(const struct scene *scene)
{
	struct items anions = table_of_kind(scene->table, "anion");
	for (size_t i = 0; i < anions.count; i++) {
		const struct quantity *content = scene_get_of(scene, anions.rows[i], "content");
		if (content && content->owed)
			return content->reason;
	}
	return NULL;
}

const char *solvent_solution(const struct scene *scene, const struct item *stream, struct solution_input *out)
{
	enum amine amine;
	*out = (struct solution_input){0};
	if (!the_solvent(scene))
		return "the solvent is not described";
	if (!solvent_amine(scene, &amine))
		return "the amine of the solvent is not stated, or not one whose chemistry is known";
	struct input strength = solvent_input(scene, stream, "w", "strength");
	out->mass_fraction[amine] = solvent_mass_fraction(strength.quantity, amine);
	if (isnan(out->mass_fraction[amine]))
		return why_no_strength(strength.quantity);
	const char *missing = add_second(scene, out);
	if (!missing)
		missing = owed_anion(scene);
	if (!missing)
		add_anions(scene, out);
	return missing;
}

double solvent_iron(const struct scene *scene)
{
	const double kg_per_m3_of_amine = 1000; /* where iron is stated by volume: 5 % either way */
	const struct quantity *iron = scene_get_of(scene, the_solvent(scene), "iron");
	if (!is_number(iron) || !(iron->si > 0))
		return (double)NAN;
	return iron->kind == KIND_MASS_CONCENTRATION ? iron->si / kg_per_m3_of_amine : iron->si;
}

bool solvent_activated(const struct scene *scene)
{
	const struct quantity *piperazine = scene_get_of(scene, the_solvent(scene), "piperazine");
	const char *activated = solvent_word(scene, "activated");
	return (is_number(piperazine) && piperazine->si > 0) || (activated && strcmp(activated, "yes") == 0);
}
