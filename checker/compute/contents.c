#include "compute/contents.h"

#include <math.h>
#include <string.h>

#include "chemistry/gas.h"
#include "compute/solvent_salts.h"

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
	bool gas = item_is(scene->item, "gas");
	if (!gas && !item_is(scene->item, "specification"))
		return;
	to_mole_fractions(scene);
	if (!gas)
		return;
	partial_pressure(scene, "h2s", "h2s-partial-pressure");
	partial_pressure(scene, "co2", "co2-partial-pressure");
	share_of_h2s(scene);
}

/* Piperazine is the activator: a solution that holds some is activated, unless it is said not to be. */
static void activator(const struct scene *scene)
{
	const struct quantity *piperazine = scene_get(scene, "piperazine");
	if (!scene_get(scene, "activated") && is_number(piperazine) && piperazine->si > 0)
		scene_put_word(scene, "activated", KIND_YES_NO, "yes", "piperazine is in the solution");
}

static void of_solvent(const struct scene *scene)
{
	if (!item_is(scene->item, "solvent"))
		return;
	activator(scene);
	solvent_salts_compute(scene);
}

/* Does any gas to be treated bring liquid hydrocarbon: asked by what is in the amine loop, which sees them all. */
static void of_unit(const struct scene *scene)
{
	bool any = false, brings = false, open = false;
	if (!item_is(scene->item, "unit"))
		return;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *gas = table_item(scene->table, i);
		const char *role = table_word(scene->table, gas, scene->operating_case, "role");
		if (!item_is(gas, "gas") || (role && strcmp(role, "feed") != 0))
			continue;
		const struct quantity *answer = scene_get_of(scene, gas, "hydrocarbon-liquid");
		any = true;
		brings = brings || (answer && answer->si > 0);
		open = open || !answer || answer->known == UNKNOWN;
	}
	struct arena *arena = table_arena(scene->table);
	if (brings || (any && !open))
		scene_put_word(scene, "hydrocarbon-liquid", KIND_YES_NO, brings ? "yes" : "no",
			"from the gases to be treated");
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
