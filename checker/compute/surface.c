#include "compute/surface.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/water.h"
#include "compute/derived.h"
#include "compute/discrepancy.h"
#include "compute/exchange_side.h"
#include "compute/medium.h"
#include "resolve/equipment.h"

static const double PI = 3.14159265358979323846;

double surface_of_tubes(double tubes, double legs, double diameter, double length, double shells)
{
	return tubes * legs * PI * diameter * length * shells;
}

/* ---- area ---- */

static const struct item *tube_side(const struct scene *scene)
{
	size_t behind = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *item = table_item(scene->table, i);
		if (item->parent == scene->item && item_is(item, "tube-side"))
			return item;
	}
	return NULL;
}

/* One, where the item states no shells or its kind has none. */
static struct input shells_of(const struct scene *scene)
{
	struct input shells = input_rises(scene_input(scene, "N_s", "shells"));
	if (!scene_get(scene, "shells"))
		shells.quantity = quantity_assumed(
			table_arena(scene->table), KIND_COUNT, 1, 0, "no number of shells is stated: one");
	return shells;
}

struct input surface_legs(const struct scene *scene, const struct item *tubes)
{
	const struct quantity *bent = scene_get_of(scene, tubes, "u-tubes");
	bool is_bent = quantity_truth(bent) == YES;
	return scene_input_is("k", "legs of a tube",
		quantity_assumed(table_arena(scene->table), KIND_COUNT, is_bent ? 2 : 1, 0,
			is_bent ? "the tubes are bent to a U" : "straight tubes, as no U is stated"));
}

/*
 * Both are in use: N counts each U once and L is of one leg, or N counts legs, or L is of the whole U. Where the surface stated is that
 * of the second or third, it is read so.
 */
static void count_legs_as_stated(const struct scene *scene, struct input *legs, double once)
{
	const double same = 0.15; /* as much as the rule on stated values allows */
	const struct quantity *stated = scene_stated(scene, "area") ? scene_get(scene, "area") : NULL;
	if (!stated || !is_number(stated) || !(legs->quantity->si > 1) ||
		!(fabs(stated->si - once) <= same * fmax(stated->si, once)))
		return;
	legs->quantity = quantity_assumed(table_arena(scene->table), KIND_COUNT, 1, 0,
		"the surface stated is that of tubes counted by legs, or of the whole length of a U");
}

static void area(const struct scene *scene)
{
	const struct item *tubes = tube_side(scene);
	if (!tubes || !scene_get_of(scene, tubes, "tube-length") || !scene_get_of(scene, tubes, "tubes"))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, tubes, "N", "tubes")), surface_legs(scene, tubes),
		input_rises(scene_input_of(scene, tubes, "d", "tube-od")),
		input_rises(scene_input_of(scene, tubes, "L", "tube-length")), shells_of(scene)};
	double once = surface_of_tubes(
		inputs[0].quantity->si, 1, inputs[2].quantity->si, inputs[3].quantity->si, inputs[4].quantity->si);
	count_legs_as_stated(scene, &inputs[1], once);
	double surface = once * inputs[1].quantity->si;
	derived_compute(scene, "area", CAREFUL_SMALLER, KIND_AREA, surface, 0, FORMULA_TUBE_AREA, inputs, 5);
}

/* ---- what runs through ---- */

/* The two ends of what runs on one side; symbols as in the formulas of LMTD. */
struct ends {
	const struct item *side, *in, *out;
	struct input from, to;
};

static bool is_process(const struct scene *scene, const struct item *stream)
{
	static const char *const services[] = {
		"lean", "rich", "semi-lean", "acid gas", "reflux", "sour gas", "treated gas", "flash gas"};
	const char *service = table_word(scene->table, stream, scene->operating_case, "service");
	for (size_t i = 0; service && i < COUNT(services); i++)
		if (strcmp(service, services[i]) == 0)
			return true;
	return false;
}

static const struct item *stream_at(const struct scene *scene, const char *reference)
{
	struct items streams = table_of_kind(scene->table, "stream");
	for (size_t i = 0; i < streams.count; i++) {
		const char *word = table_word(scene->table, streams.rows[i], scene->operating_case, reference);
		if (word && scene->item->tag && strcmp(word, scene->item->tag) == 0 &&
			is_process(scene, streams.rows[i]))
			return streams.rows[i];
	}
	return NULL;
}

/* A side of the item with streams at both ends, of the process or not. */
static struct ends side_of(const struct scene *scene, bool process)
{
	size_t behind = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *side = table_item(scene->table, i);
		if (side->parent != scene->item || !item_in(side, CLASS_SIDE))
			continue;
		const struct item *in = table_follow(scene->table, side, scene->operating_case, "inlet");
		const struct item *out = table_follow(scene->table, side, scene->operating_case, "outlet");
		if (item_is(in, "stream") && item_is(out, "stream") && is_process(scene, in) == process)
			return (struct ends){.side = side, .in = in, .out = out};
	}
	return (struct ends){.side = NULL};
}

/* Of the process: by its side, the streams that run from and to the item, or the overhead. */
static struct ends process_of(const struct scene *scene)
{
	struct ends ends = side_of(scene, true);
	if (!ends.in)
		ends.in = item_is(scene->item, "condenser")
			? table_follow(scene->table, scene->item, scene->operating_case, "acid-gas")
			: stream_at(scene, "to");
	if (!ends.out)
		ends.out = stream_at(scene, "from");
	ends.in = item_is(ends.in, "stream") ? ends.in : NULL;
	return ends;
}

static struct input temperature_of(
	const struct scene *scene, const struct item *stream, const char *symbol, const char *own)
{
	return stream && !scene_stated(scene, own) ? scene_input_of(scene, stream, symbol, "temperature")
						   : scene_input(scene, symbol, own);
}

static void cooler_duty(const struct scene *scene)
{
	struct ends ends = process_of(scene);
	if (!item_is_any(scene->item, "cooler exchanger") || !ends.in || !ends.out)
		return;
	const char *service = table_word(scene->table, scene->item, scene->operating_case, "service");
	if (service && strcmp(service, "lean/rich") == 0)
		return;
	struct side side = side_between(scene, ends.side, ends.in, ends.out);
	const struct quantity *duty = side_duty(scene, &side, 1);
	if (duty->known != UNKNOWN && duty->si > 0)
		derived_put(scene, "duty", CAREFUL_NEITHER, duty, 0);
}

static void of_item(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER))
		return;
	area(scene);
	cooler_duty(scene);
}

void surface_compute(struct table *table)
{
	scene_each(table, of_item);
}

/* ---- heat flux, temperature difference, U ---- */

/* By its stated duty, else what its lean side gives off; of a reboiler the larger duty over the smaller surface. */
static void heat_flux(const struct scene *scene)
{
	bool by_side = !scene_get(scene, "duty") && scene_get(scene, "lean-duty");
	bool asked = item_is(scene->item, "reboiler");
	const char *duty = by_side ? "lean-duty" : asked && scene_get(scene, "duty-judged") ? "duty-judged" : "duty";
	const char *area = asked && scene_get(scene, "area-judged") ? "area-judged" : "area";
	struct input inputs[] = {
		input_rises(scene_input(scene, "Q", duty)), input_falls(scene_input(scene, "A", area))};
	double flux = inputs[0].quantity->si / inputs[1].quantity->si;
	if (asked || inputs_known(inputs, 2))
		derived_compute(scene, "heat-flux", asked ? CAREFUL_LARGER : CAREFUL_NEITHER, KIND_HEAT_FLUX, flux,
			flux * derived_error(inputs, 2), FORMULA_HEAT_FLUX, inputs, 2);
}

static void put_transfer(const struct scene *scene, const struct quantity *lmtd, struct input correction)
{
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "duty")),
		input_falls(scene_input(scene, "A", "area")), correction,
		input_falls(scene_input_is("T_lm", "temperature difference", lmtd))};
	double transfer =
		inputs[0].quantity->si / (inputs[1].quantity->si * inputs[2].quantity->si * inputs[3].quantity->si);
	if (inputs_known(inputs, 4) && isfinite(transfer))
		derived_compute(scene, "heat-transfer", CAREFUL_NEITHER, KIND_HEAT_TRANSFER, transfer,
			transfer * (derived_error(inputs, 2) + relative_uncertainty(lmtd)), FORMULA_HEAT_TRANSFER,
			inputs, 4);
}

static struct input no_correction(const struct scene *scene, const char *reason)
{
	return scene_input_is("F", "correction", quantity_assumed(table_arena(scene->table), KIND_RATIO, 1, 0, reason));
}

/* Of shells and passes; one pass, plates and air need none. */
static struct input correction_of(const struct scene *scene, const struct input t[4])
{
	const struct item *tubes = tube_side(scene);
	struct input passes = tubes ? scene_input_of(scene, tubes, "n", "passes") : scene_input(scene, "n", "passes");
	struct input shells = shells_of(scene);
	struct input inputs[] = {t[0], t[1], t[2], t[3], shells, passes};
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	if (type && (strstr(type, "plate") || strstr(type, "air")))
		return no_correction(scene, strstr(type, "air") ? "cross flow of several passes: near one" : "plates");
	double f = inputs_known(inputs, 6)
		? exchange_correction((int)shells.quantity->si, (int)passes.quantity->si, t[0].quantity->si,
			  t[1].quantity->si, t[2].quantity->si, t[3].quantity->si)
		: (double)NAN;
	const struct quantity *put = scene_computed(scene, "lmtd-correction", KIND_RATIO,
		inputs_known(inputs, 6) && isnan(f) ? 0 : f, 0, FORMULA_LMTD_CORRECTION, inputs, 6);
	return scene_input_is("F", "correction of the LMTD", put);
}

static void against_medium(const struct scene *scene)
{
	struct ends process = process_of(scene), medium = side_of(scene, false);
	if (!process.in || (!medium.side && !scene_get(scene, "medium-inlet-temperature")))
		return;
	struct input t[] = {temperature_of(scene, process.in, "T_1", "inlet-temperature"),
		temperature_of(scene, process.out, "T_2", "outlet-temperature"),
		temperature_of(scene, medium.in, "t_1", "medium-inlet-temperature"),
		temperature_of(scene, medium.out, "t_2", "medium-outlet-temperature")};
	if (!inputs_known(t, 4))
		return;
	double sign = t[2].quantity->si > t[0].quantity->si ? -1 : 1; /* a heater: the medium is the warmer one */
	double hot = sign * (t[0].quantity->si - t[3].quantity->si),
	       cold = sign * (t[1].quantity->si - t[2].quantity->si);
	const struct quantity *lmtd =
		scene_computed(scene, "lmtd", KIND_TEMPERATURE_DIFFERENCE, exchange_lmtd(hot, cold),
			(t[0].quantity->uncertainty + t[1].quantity->uncertainty) / 2, FORMULA_LMTD_OF_ENDS, t, 4);
	put_transfer(scene, lmtd, correction_of(scene, t));
}

/* Steam condenses and amine boils, each at one temperature. */
static void against_steam(const struct scene *scene)
{
	const struct item *steam = table_follow(scene->table, scene->item, scene->operating_case, "steam");
	struct input inputs[] = {input_rises(scene_stated(scene, "steam-pressure") || !steam
						 ? scene_input(scene, "p", "steam-pressure")
						 : scene_input_of(scene, steam, "p", "pressure")),
		input_falls(scene_input(scene, "t_b", "bulk-temperature"))};
	if (!inputs_known(inputs, 2))
		return;
	double difference = water_saturation_temperature(inputs[0].quantity->si) - inputs[1].quantity->si;
	const struct quantity *lmtd = scene_computed(scene, "lmtd", KIND_TEMPERATURE_DIFFERENCE, difference,
		inputs[1].quantity->uncertainty, FORMULA_LMTD_OF_BOILING, inputs, 2);
	put_transfer(scene, lmtd, no_correction(scene, "one side of each at one temperature"));
}

/* The heat of the medium against that of the process side, where nobody states a duty. */
static void against_heat_of_medium(const struct scene *scene)
{
	const struct quantity *medium = scene_get(scene, "medium-duty"), *duty = scene_get(scene, "duty");
	if (is_number(medium) && is_number(duty) && !scene_stated(scene, "duty") && !medium_is_duty(duty))
		discrepancy_put_and_explain(scene, "medium-duty-difference", scene_input(scene, "x", "medium-duty"),
			scene_input(scene, "y", "duty"));
}

static void transfer_of(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER))
		return;
	const char *service = table_word(scene->table, scene->item, scene->operating_case, "service");
	heat_flux(scene);
	against_heat_of_medium(scene);
	if (item_is(scene->item, "reboiler"))
		against_steam(scene);
	else if (!service || strcmp(service, "lean/rich") != 0)
		against_medium(scene);
}

void surface_transfer(struct table *table)
{
	scene_each(table, transfer_of);
}
