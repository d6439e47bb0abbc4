#include "compute/ledger.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"

static const double SECONDS_OF_A_MONTH = 365.25 * 86400 / 12;
static const double FORMATE_FOR_OXYGEN = 45.017 / 31.998; /* kg/kg, mole for mole: IUPAC 2021 */

enum { RECLAIMERS_MOST = 8 };

double ledger_rise(double load, double inventory)
{
	return load * SECONDS_OF_A_MONTH / inventory;
}

/* The first lean stream of which the density is known. */
static const struct item *a_lean_stream(const struct scene *scene)
{
	struct items streams = table_of_kind(scene->table, "stream");
	for (size_t i = 0; i < streams.count; i++)
		if (text_same(scene_word_of(scene, streams.rows[i], "service"), "lean") &&
			is_number(scene_get_of(scene, streams.rows[i], "density")))
			return streams.rows[i];
	return NULL;
}

/* By mass; a volume by the density of lean amine. */
static struct input inventory_of(const struct scene *scene)
{
	struct input inventory = input_falls(scene_input(scene, "I", "inventory"));
	const struct item *lean = a_lean_stream(scene);
	if (inventory.quantity->known == UNKNOWN || inventory.quantity->kind == KIND_MASS)
		return inventory;
	struct input inputs[] = {
		input_rises(inventory), scene_input_of(scene, lean ? lean : scene->item, "rho", "density")};
	double mass = inputs[0].quantity->si * inputs[1].quantity->si;
	return input_falls(scene_input_is("I", "solution in the circuit",
		quantity_computed(table_arena(scene->table), KIND_MASS, mass,
			mass * relative_uncertainty(inputs[0].quantity), &formulas[FORMULA_MASS_OF_VOLUME], inputs,
			2)));
}

static void gain(
	const struct scene *scene, const char *name, const char *load, double factor, enum formula_code formula)
{
	if (!scene_get(scene, load))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "m", load)), inventory_of(scene)};
	double rise = factor * ledger_rise(inputs[0].quantity->si, inputs[1].quantity->si);
	scene_compute(scene, name, KIND_TRACE, rise,
		rise * hypot(relative_uncertainty(inputs[0].quantity), relative_uncertainty(inputs[1].quantity)),
		formula, inputs, COUNT(inputs));
}

/* One that is hired for a campaign says what it can take out, not what is taken out now. */
static bool is_in_place(const struct scene *scene, const struct item *reclaimer)
{
	const struct quantity *permanent = scene_get_of(scene, reclaimer, "permanent");
	return quantity_truth(permanent) != NO;
}

/* Of all reclaimers in place that say how much. */
static void taken_out(const struct scene *scene)
{
	struct items reclaimers = table_of_kind(scene->table, "reclaimer");
	struct input inputs[RECLAIMERS_MOST + 1], inventory = inventory_of(scene);
	size_t count = 1;
	double sum = 0;
	inputs[0] = inventory;
	for (size_t i = 0; i < reclaimers.count && count <= RECLAIMERS_MOST; i++) {
		const struct quantity *out = scene_get_of(scene, reclaimers.rows[i], "salts-removed");
		if (!out || !is_in_place(scene, reclaimers.rows[i]) ||
			(out->known != UNKNOWN && out->kind != KIND_MASS_FLOW))
			continue;
		inputs[count] = input_rises(scene_input_of(scene, reclaimers.rows[i], "m_i", "salts-removed"));
		sum += out->si;
		count++;
	}
	if (count == 1)
		return;
	scene_compute(scene, "salts-out", KIND_TRACE, ledger_rise(sum, inventory.quantity->si), 0, FORMULA_TAKEN_OUT,
		inputs, count);
}

static void of_item(const struct scene *scene)
{
	if (!item_is(scene->item, "solvent") || !scene_get(scene, "inventory"))
		return;
	gain(scene, "chloride-rise-by-sources", "chloride-load", 1, FORMULA_GAIN);
	gain(scene, "salts-by-oxygen", "oxygen-load", FORMATE_FOR_OXYGEN, FORMULA_GAIN_BY_OXYGEN);
	taken_out(scene);
}

void ledger_compute(struct table *table)
{
	scene_each(table, of_item);
}
