#include "compute/loadings.h"

#include <math.h>
#include <string.h>

#include "compute/contents.h"
#include "compute/solvent_salts.h"
#include "compute/solvent.h"

/*
 * Of a stated loading and of the two parts that make it the parts are used, on which every equilibrium rests; a loading that is
 * stated for this case alone goes before parts that are not.
 */
static bool loading_is_kept(const struct scene *scene)
{
	if (!scene_stated(scene, "loading"))
		return false;
	bool both = scene_stated(scene, "h2s") && scene_stated(scene, "co2") && is_number(scene_get(scene, "h2s")) &&
		is_number(scene_get(scene, "co2"));
	bool later = scene_states_case(scene, scene->item, "loading") &&
		!scene_states_case(scene, scene->item, "h2s") && !scene_states_case(scene, scene->item, "co2");
	return !both || (later && scene->operating_case > 0);
}

void loadings_total(const struct scene *scene)
{
	bool stated = scene_stated(scene, "loading");
	if (loading_is_kept(scene))
		return;
	struct input inputs[] = {
		input_rises(scene_input(scene, "a_H2S", "h2s")), input_rises(scene_input(scene, "a_CO2", "co2"))};
	if (inputs[0].quantity->known == UNKNOWN && inputs[1].quantity->known == UNKNOWN)
		return;
	double sum = inputs[0].quantity->si + inputs[1].quantity->si;
	double error = inputs[0].quantity->uncertainty + inputs[1].quantity->uncertainty;
	for (size_t i = 0; i < 2; i++)
		if (inputs[i].quantity->bound == BOUND_BELOW)
			input_weigh(&inputs[i], sum, sum - inputs[i].quantity->si, &error);
	if (stated)
		scene_compute(scene, "loading-by-parts", KIND_LOADING, sum, error, FORMULA_SUM_OF_LOADINGS, inputs, 2);
	scene_compute(scene, "loading", KIND_LOADING, sum, error, FORMULA_SUM_OF_LOADINGS, inputs, 2);
}

static bool is_mass_fraction(const struct quantity *quantity)
{
	return quantity->known != UNKNOWN && strcmp(kind_si(quantity->kind), "kg/kg") == 0;
}

/* How far the stated loading is from the computed one, as a share of the larger. A stated bound that holds is no distance. */
static void put_loading_difference(const struct scene *scene, const struct quantity *computed)
{
	const struct quantity *stated = table_stated(scene->table, scene->item, scene->operating_case, "loading");
	if (!stated || stated->known == UNKNOWN || computed->known == UNKNOWN)
		return;
	table_read(scene->table, scene->item, "loading", stated);
	double apart = stated->si - computed->si;
	if ((stated->bound == BOUND_BELOW && apart > 0) || (stated->bound == BOUND_ABOVE && apart < 0))
		apart = 0;
	double larger = fmax(stated->si, computed->si);
	struct quantity *edge = arena_alloc(table_arena(scene->table), sizeof *edge);
	*edge = *stated;
	edge->bound = BOUND_NONE; /* the nearest the stated bound allows */
	struct input inputs[] = {scene_input_is("x", "loading as stated", edge),
		scene_input_is("y", "loading from composition", computed)};
	scene_compute(scene, "loading-difference", KIND_SHARE, larger > 0 ? fabs(apart) / larger : 0,
		relative_uncertainty(computed), FORMULA_RELATIVE_DIFFERENCE, inputs, 2);
}

/* A gas in the solution of a stream, and the amines it is divided by. */
struct composition_of {
	struct input contents[GAS_COUNT], amines[2];
	size_t amine_count;
	double moles[GAS_COUNT], amine; /* mol in a kilogram */
	double relative;		/* uncertainty of the amine */
};

static struct composition_of composition_here(const struct scene *scene)
{
	const struct stream_solution solution = solvent_of_stream(scene, scene->item, false);
	struct composition_of out = {.contents = {input_rises(scene_input(scene, "w_H2S", "h2s-content")),
					     input_rises(scene_input(scene, "w_CO2", "co2-content"))}};

	for (size_t i = 0; i < solution.count; i++)
		if (solution.inputs[i].symbol[0] == 'w') {
			out.relative += relative_uncertainty(solution.inputs[i].quantity);
			out.amines[out.amine_count++] = input_falls(solution.inputs[i]);
		}
	out.amine = salts_amine(solution.state.mass_fraction);
	out.moles[GAS_H2S] = out.contents[GAS_H2S].quantity->si / MOLAR_MASS_H2S;
	out.moles[GAS_CO2] = out.contents[GAS_CO2].quantity->si / MOLAR_MASS_CO2;
	return out;
}

static const struct quantity *put_loading(const struct scene *scene, const char *name, const struct composition_of *of,
	const struct input *contents, size_t count, double moles)
{
	struct input inputs[GAS_COUNT + 2];
	double loading = moles / of->amine, error = loading * of->relative;

	memcpy(inputs, contents, count * sizeof *inputs);
	memcpy(inputs + count, of->amines, of->amine_count * sizeof *inputs);
	for (size_t i = 0; i < count; i++) {
		double own = contents[i].quantity->si > 0 && count > 1 ? of->moles[i] / of->amine : loading;
		error += own * relative_uncertainty(contents[i].quantity);
	}
	for (size_t i = 0; i < count; i++)
		if (contents[i].quantity->bound == BOUND_BELOW)
			input_weigh(&inputs[i], loading, count > 1 ? loading - of->moles[i] / of->amine : 0, &error);
	return scene_computed(scene, name, KIND_LOADING, loading, error, FORMULA_LOADING_FROM_COMPOSITION, inputs,
		count + of->amine_count);
}

/* Stated, or taken from another stream, and not calculated here for every case. */
static bool is_said(const struct scene *scene, const char *name)
{
	const struct quantity *there = scene_get(scene, name);

	return there && there->formula != &formulas[FORMULA_LOADING_FROM_COMPOSITION] &&
		there->formula != &formulas[FORMULA_SUM_OF_LOADINGS];
}

static void from_composition(const struct scene *scene)
{
	static const char *const names[] = {"h2s", "co2"};
	const struct composition_of of = composition_here(scene);
	bool known[] = {
		is_mass_fraction(of.contents[GAS_H2S].quantity), is_mass_fraction(of.contents[GAS_CO2].quantity)};
	bool stated = is_said(scene, "loading") || is_said(scene, "h2s") || is_said(scene, "co2");

	if (of.amine_count == 0)
		return;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		if (known[gas] && !stated)
			put_loading(scene, names[gas], &of, &of.contents[gas], 1, of.moles[gas]);
	if (known[GAS_H2S] && known[GAS_CO2])
		put_loading_difference(scene,
			put_loading(scene, "loading-from-composition", &of, of.contents, GAS_COUNT,
				of.moles[GAS_H2S] + of.moles[GAS_CO2]));
}

void loadings_of_stream(const struct scene *scene)
{
	from_composition(scene);
	loadings_total(scene);
}
