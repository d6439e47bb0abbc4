#include "compute/holdup.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/solvent_salts.h"
#include "resolve/equipment.h"

static const double PI = 3.14159265358979323846;
static const double MOLAR_MASS_SODA = 0.105988; /* kg/mol of Na2CO3, IUPAC 2021 atomic weights */

static const struct item *stream_of(const struct scene *scene, const char *reference)
{
	const struct quantity *named = scene_get(scene, reference);
	const struct item *stream =
		named && named->kind == KIND_REFERENCE ? table_find(scene->table, named->word) : NULL;
	return item_is(stream, "stream") ? stream : NULL;
}

static double error_of(const struct input *inputs, size_t count)
{
	double error = 0;
	for (size_t i = 0; i < count; i++)
		error += relative_uncertainty(inputs[i].quantity);
	return error;
}

/* The time liquid has to give off gas and let hydrocarbon rise. */
static void residence(const struct scene *scene)
{
	const struct item *stream =
		stream_of(scene, "rich-outlet") ? stream_of(scene, "rich-outlet") : stream_of(scene, "rich");
	if (scene_stated(scene, "residence-time") || !stream || !scene_get(scene, "liquid-volume"))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "V", "liquid-volume")),
		input_falls(scene_input_of(scene, stream, "Q", "volume-flow"))};
	double time = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(
		scene, "residence-time", KIND_DURATION, time, time * error_of(inputs, 2), FORMULA_RESIDENCE, inputs, 2);
}

static void carbon_bed(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "flow")),
		input_falls(scene_input(scene, "D", "diameter")), input_rises(scene_input(scene, "h", "depth")),
		input_rises(scene_input(scene, "V", "volume"))};
	double flow = inputs[0].quantity->si, diameter = inputs[1].quantity->si;
	double area = PI * diameter * diameter / 4;
	if (!scene_stated(scene, "flux"))
		scene_compute(scene, "flux", KIND_SURFACE_FLOW, flow / area, flow / area * error_of(inputs, 1),
			FORMULA_BED_FLUX, inputs, 2);
	if (scene_stated(scene, "contact-time"))
		return;
	if (scene_stated(scene, "volume")) {
		struct input of_volume[] = {inputs[3], input_falls(inputs[0])};
		scene_compute(scene, "contact-time", KIND_DURATION, inputs[3].quantity->si / flow,
			inputs[3].quantity->si / flow * error_of(inputs, 1), FORMULA_RESIDENCE, of_volume, 2);
		return;
	}
	double time = area * inputs[2].quantity->si / flow;
	inputs[0] = input_falls(inputs[0]);
	inputs[1] = input_rises(inputs[1]);
	scene_compute(
		scene, "contact-time", KIND_DURATION, time, time * error_of(inputs, 1), FORMULA_BED_CONTACT, inputs, 3);
}

/* The share of the circulation that a filter, a bed or a reclaimer takes. */
static void slip(const struct scene *scene)
{
	const struct item *stream = stream_of(scene, "stream");
	if (!item_in(scene->item, CLASS_SIDE_STREAM) || scene_stated(scene, "slip") || !stream)
		return;
	const struct quantity *flow = scene_get(scene, "flow");
	if (!flow)
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "q", "flow")),
		input_falls(scene_input_of(
			scene, stream, "Q", flow->kind == KIND_MASS_FLOW ? "mass-flow" : "volume-flow"))};
	double share = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "slip", KIND_SHARE, share, share * error_of(inputs, 2), FORMULA_SLIP, inputs, 2);
}

/* One mole of soda frees two of bound amine: what the salts of the charge need, and what it is given. */
static void soda(const struct scene *scene)
{
	struct solvent_ions ions = solvent_ions(scene);
	struct input *inputs = arena_alloc(table_arena(scene->table), (ions.count + 3) * sizeof *inputs);
	const struct item *solvent = table_sole(scene->table, "solvent");
	size_t count = 2;
	double net = 0, error = 0; /* eq in a kilogram of solution */

	if (!scene_get(scene, "soda-dose") || !solvent)
		return;
	inputs[0] = input_rises(scene_input(scene, "m", "soda-dose"));
	inputs[1] = input_falls(scene_input(scene, "m_c", "charge"));
	for (size_t i = 0; i < ions.count; i++) {
		const struct ion_part *part = &ions.parts[i];
		inputs[count++] = part->equivalents < 0 ? input_rises(part->input) : input_falls(part->input);
		net += part->equivalents;
		error += part->uncertainty;
	}
	if (ions.count == 0) /* nothing is said of salts: their analysis is asked for */
		inputs[count++] = scene_input_of(scene, solvent, "e", "bound-amine");
	double needed = inputs[1].quantity->si * net / 2 * MOLAR_MASS_SODA;
	double ratio = needed > 0 ? inputs[0].quantity->si / needed : (double)NAN;
	scene_compute(scene, "soda-over-need", KIND_RATIO, ratio, ratio * (error_of(inputs, 2) + error / net),
		FORMULA_SODA, inputs, count);
}

static void of_item(const struct scene *scene)
{
	slip(scene);
	if (item_is(scene->item, "flash-drum"))
		residence(scene);
	else if (item_is(scene->item, "carbon-bed"))
		carbon_bed(scene);
	else if (item_is(scene->item, "reclaimer"))
		soda(scene);
}

void holdup_compute(struct table *table)
{
	scene_each(table, of_item);
}
