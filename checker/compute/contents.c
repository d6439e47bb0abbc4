#include "compute/contents.h"

#include <math.h>
#include <string.h>

#include "chemistry/gas.h"
#include "chemistry/species.h"
#include "compute/analyses.h"
#include "compute/solvent.h"

const double MOLAR_MASS_H2S = 0.034081, MOLAR_MASS_CO2 = 0.044009;

/* Any content of a gas may be stated by mass per standard volume; mercaptans and acids are no one substance and stay so. */
static bool is_one_substance(size_t i)
{
	return i != COMPONENT_METHANETHIOL && i != COMPONENT_ACETIC_ACID;
}

/* Contents stated by mass per volume of gas become mole fractions under the same name. */
static void to_mole_fractions(const struct scene *scene)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		const struct component_row *row = &component_rows[i];
		if (!is_one_substance(i))
			continue;
		struct input stated = scene_input(scene, "c", row->name);
		if (stated.quantity->known == UNKNOWN || stated.quantity->kind != KIND_GAS_MASS_CONTENT)
			continue;
		struct arena *arena = table_arena(scene->table);
		const struct quantity *molar_mass =
			quantity_assumed(arena, KIND_MOLAR_MASS, row->molar_mass, 0, "molar mass, IUPAC 2021");
		struct input inputs[] = {input_rises(stated), scene_input_is("M", "molar mass", molar_mass)};
		scene_compute(scene, row->name, KIND_MOLE_FRACTION, stated.quantity->si / row->molar_mass,
			stated.quantity->uncertainty / row->molar_mass, FORMULA_FAMILY_OF_CONTENT, inputs, 2);
	}
}

static void partial_pressure(const struct scene *scene, const char *constituent, const char *name)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "y", constituent)), input_rises(scene_input(scene, "P", "pressure"))};
	double y = inputs[0].quantity->si, pressure = inputs[1].quantity->si;
	scene_compute(scene, name, KIND_PARTIAL_PRESSURE, y * pressure,
		y * pressure * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_PARTIAL_PRESSURE, inputs, 2);
}

static void share_of_h2s(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "y_H2S", "h2s")), input_falls(scene_input(scene, "y_CO2", "co2"))};
	double h2s = inputs[0].quantity->si, co2 = inputs[1].quantity->si;
	double share = h2s + co2 > 0 ? h2s / (h2s + co2) : 0;
	double error = relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity);
	scene_compute(
		scene, "h2s-share", KIND_SHARE, share, share * (1 - share) * error, FORMULA_SHARE_OF_H2S, inputs, 2);
}

static void of_gas(const struct scene *scene)
{
	bool gas = strcmp(scene->item->kind, "gas") == 0;
	if (!gas && strcmp(scene->item->kind, "specification") != 0)
		return;
	to_mole_fractions(scene);
	if (!gas)
		return;
	partial_pressure(scene, "h2s", "h2s-partial-pressure");
	partial_pressure(scene, "co2", "co2-partial-pressure");
	share_of_h2s(scene);
}

/* Salts stated as a share of the amine: the limits are by mass of the solution. */
static void salts_on_solution(const struct scene *scene)
{
	const char *basis = table_word(scene->table, scene->item, scene->operating_case, "salts-basis");
	struct input inputs[] = {
		input_rises(scene_input(scene, "s_amine", "salts")), input_rises(scene_input(scene, "w", "strength"))};
	const struct quantity *salts = inputs[0].quantity, *strength = inputs[1].quantity;
	if (!basis) {
		scene_put(scene, "salts-on-solution",
			salts->known == UNKNOWN ? quantity_lacking(table_arena(scene->table), KIND_MASS_FRACTION,
							  quantity_missing(salts))
						: quantity_unknown(table_arena(scene->table), KIND_MASS_FRACTION,
							  "salts-basis of the solvent is not stated (by mass of "
							  "solution or of amine)"));
		return;
	}
	if (strcmp(basis, "solution") == 0) {
		scene_take(scene, "salts-on-solution", scene->item, "salts");
		return;
	}
	if (strength->kind == KIND_CONCENTRATION)
		return;
	double share = salts->si * strength->si;
	scene_compute(scene, "salts-on-solution", KIND_MASS_FRACTION, share,
		share * (relative_uncertainty(salts) + relative_uncertainty(strength)), FORMULA_SALTS_ON_SOLUTION,
		inputs, 2);
}

/* The anions listed under a solvent, as inputs named after the anion; `inputs` holds one for each part at least. */
static size_t anions_of(
	const struct scene *scene, const struct item *solvent, struct input *inputs, const struct anion_row **rows)
{
	size_t count = 0;
	const struct item *holder = analyses_anions(scene, solvent);
	struct items anions = table_of_kind(scene->table, "anion");
	for (size_t i = 0; i < anions.count; i++) {
		const struct item *item = anions.rows[i];
		const char *name = table_word(scene->table, item, scene->operating_case, "name");
		if (item->parent != holder)
			continue;
		rows[count] = name ? anion_find(name) : NULL;
		inputs[count] = scene_input_of(scene, item, "c", "content");
		if (!rows[count])
			inputs[count].quantity = quantity_lacking(table_arena(scene->table), KIND_TRACE,
				item_lacks(table_arena(scene->table), item, "name"));
		count++;
	}
	return count;
}

/* Sodium as stated frees the amine it stands for, mol per kg of solution; nothing where it is not stated. */
static double freed(const struct scene *scene, struct input *inputs, size_t *count, double charge, double *error)
{
	struct input *sodium = &inputs[*count];

	if (!scene_get(scene, "sodium"))
		return 0;
	*sodium = input_falls(scene_input(scene, "c_Na", "sodium"));
	++*count;
	double each = solvent_content(sodium->quantity) / cation_find("sodium")->molar_mass;
	*error += each * relative_uncertainty(sodium->quantity);
	if (sodium->quantity->bound != BOUND_ABOVE)
		input_weigh(sodium, charge - each, charge, error);
	return each;
}

/* Every anion listed under the solvent takes its charge, net of sodium, in amine away from the gases. */
static void bound_amine(const struct scene *scene)
{
	enum amine amine;
	struct arena *arena = table_arena(scene->table);
	const char *word = table_word(scene->table, scene->item, scene->operating_case, "amine");
	size_t listed = table_of_kind(scene->table, "anion").count;
	struct input *inputs = arena_alloc(arena, (listed + 2) * sizeof *inputs);
	const struct anion_row **rows = arena_alloc(arena, (listed + 1) * sizeof *rows);
	size_t count = anions_of(scene, scene->item, inputs, rows);
	double charge = 0, error = 0; /* mol per kg of solution */
	if (count == 0 || !word || !amine_find(word, &amine))
		return;
	for (size_t i = 0; i < count; i++) {
		const struct quantity *content = inputs[i].quantity;
		double each = rows[i] ? rows[i]->charge / rows[i]->molar_mass : (double)NAN;
		charge += solvent_content(content) * each;
		error += solvent_content(content) * relative_uncertainty(content) * each;
	}
	for (size_t i = 0; i < count; i++)
		if (inputs[i].quantity->bound == BOUND_ABOVE)
			inputs[i].effect = EFFECT_RISES;
		else if (rows[i] && is_bound(inputs[i].quantity))
			input_weigh(&inputs[i], charge,
				charge - solvent_content(inputs[i].quantity) * rows[i]->charge / rows[i]->molar_mass,
				&error);
	charge -= freed(scene, inputs, &count, charge, &error);
	inputs[count++] = input_falls(scene_input(scene, "w", "strength"));
	double strength = solvent_mass_fraction(inputs[count - 1].quantity, amine);
	double amine_moles = strength / amine_rows[amine].molar_mass;
	scene_compute(scene, "bound-amine", KIND_SHARE, charge / amine_moles, error / amine_moles, FORMULA_BOUND_AMINE,
		inputs, count);
}

/* Piperazine is the activator: a solution that holds some is activated, unless it is said not to be. */
static void activator(const struct scene *scene)
{
	const struct quantity *piperazine = scene_get(scene, "piperazine");
	if (!scene_get(scene, "activated") && is_number(piperazine) && piperazine->si > 0)
		scene_put(scene, "activated",
			quantity_assumed_word(
				table_arena(scene->table), KIND_YES_NO, "yes", "piperazine is in the solution"));
}

static void of_solvent(const struct scene *scene)
{
	if (strcmp(scene->item->kind, "solvent") != 0)
		return;
	activator(scene);
	salts_on_solution(scene);
	bound_amine(scene);
}

/* Does any gas to be treated bring liquid hydrocarbon: asked by what stands in the amine loop, which sees them all. */
static void of_unit(const struct scene *scene)
{
	bool any = false, brings = false, open = false;
	if (strcmp(scene->item->kind, "unit") != 0)
		return;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *gas = table_item(scene->table, i);
		const char *role = table_word(scene->table, gas, scene->operating_case, "role");
		if (strcmp(gas->kind, "gas") != 0 || (role && strcmp(role, "feed") != 0))
			continue;
		const struct quantity *answer = scene_get_of(scene, gas, "hydrocarbon-liquid");
		any = true;
		brings = brings || (answer && answer->si > 0);
		open = open || !answer || answer->known == UNKNOWN;
	}
	struct arena *arena = table_arena(scene->table);
	if (brings || (any && !open))
		scene_put(scene, "hydrocarbon-liquid",
			quantity_assumed_word(
				arena, KIND_YES_NO, brings ? "yes" : "no", "from the gases to be treated"));
	else
		scene_put(scene, "hydrocarbon-liquid",
			quantity_lacking(arena, KIND_YES_NO,
				(struct missing){NULL, "hydrocarbon-liquid",
					"hydrocarbon-liquid of the feed gases is not stated"}));
}

void contents_compute(struct table *table)
{
	scene_each(table, of_gas);
	scene_each(table, of_solvent);
	scene_each(table, of_unit);
}
