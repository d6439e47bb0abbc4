#include "compute/loads.h"

#include <string.h>

#include "base/count.h"
#include "compute/derived.h"
#include "compute/solvent.h"

/* kg/mol, IUPAC 2021. */
static const struct contaminant {
	const char *load, *in_gas, *in_water;
	double molar_mass;
} contaminants[] = {
	{"oxygen-load", "o2", "oxygen", 31.998e-3},
	{"cyanide-load", "hcn", NULL, 27.026e-3},
	{"ammonia-load", "nh3", NULL, 17.031e-3},
	{"chloride-load", NULL, "chloride", 0},
	{"sodium-load", NULL, "sodium", 0},
};

enum { CONTAMINANTS = COUNT(contaminants), SOURCES_MOST = 16 };

static void of_gas(const struct scene *scene, const struct contaminant *row)
{
	const char *role = table_word(scene->table, scene->item, scene->operating_case, "role");
	if (!row->in_gas || (role && strcmp(role, "feed") != 0) || !scene_get(scene, row->in_gas))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "G", "molar-flow")),
		input_rises(scene_input(scene, "y", row->in_gas)),
		scene_input_is("M", "its molar mass",
			quantity_constant(table_arena(scene->table), KIND_MOLAR_MASS, row->molar_mass, "IUPAC 2021"))};
	double load = inputs[0].quantity->si * inputs[1].quantity->si * row->molar_mass;
	scene_compute(scene, row->load, KIND_MASS_FLOW, load, load * derived_error(inputs, 2), FORMULA_SOURCE_LOAD,
		inputs, 3);
}

static void of_water(const struct scene *scene, const struct contaminant *row)
{
	if (!row->in_water || !scene_get(scene, row->in_water))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "m_w", "mass-flow")),
		input_rises(scene_input(scene, "c", row->in_water))};
	double load = inputs[0].quantity->si * solvent_content(inputs[1].quantity);
	scene_compute(
		scene, row->load, KIND_MASS_FLOW, load, load * derived_error(inputs, 2), FORMULA_WATER_LOAD, inputs, 2);
}

static void of_source(const struct scene *scene)
{
	for (size_t i = 0; i < CONTAMINANTS; i++)
		if (item_is(scene->item, "gas"))
			of_gas(scene, &contaminants[i]);
		else if (item_is(scene->item, "make-up-water"))
			of_water(scene, &contaminants[i]);
}

/* The sources that are known; `*open`: what is missing of another that states only a part. */
static size_t sources_of(
	const struct scene *scene, const char *load, struct input inputs[SOURCES_MOST], struct missing *open)
{
	static const char *const kinds[] = {"gas", "make-up-water"};
	size_t count = 0;
	for (size_t k = 0; k < COUNT(kinds); k++) {
		struct items items = table_of_kind(scene->table, kinds[k]);
		for (size_t i = 0; i < items.count && count < SOURCES_MOST; i++) {
			const struct quantity *own = scene_get_of(scene, items.rows[i], load);
			struct input input = scene_input_of(scene, items.rows[i], "m_i", load);
			if (own && own->known == UNKNOWN)
				*open = input_missing(table_arena(scene->table), &input);
			else if (own)
				inputs[count++] = input_rises(input);
		}
	}
	return count;
}

static void of_solvent(const struct scene *scene)
{
	if (!item_is(scene->item, "solvent"))
		return;
	for (size_t i = 0; i < CONTAMINANTS; i++) {
		struct input inputs[SOURCES_MOST];
		struct missing open = nothing_missing;
		size_t count = sources_of(scene, contaminants[i].load, inputs, &open);
		double sum = 0, error = 0;
		for (size_t k = 0; k < count; k++) {
			sum += inputs[k].quantity->si;
			error += inputs[k].quantity->uncertainty;
		}
		if (count == 0)
			continue;
		const struct quantity *total = scene_computed(
			scene, contaminants[i].load, KIND_MASS_FLOW, sum, error, FORMULA_SUM_OF_LOADS, inputs, count);
		if (!open.reason || !is_number(total))
			continue;
		struct quantity *least = arena_alloc(table_arena(scene->table), sizeof *least);
		*least = *total;
		least->bound = BOUND_ABOVE;
		least->reached = true;
		quantity_lacks(least, open);
		scene_put(scene, contaminants[i].load, least);
	}
}

void loads_compute(struct table *table)
{
	scene_each(table, of_source);
	scene_each(table, of_solvent);
}
