#include "compute/lean_rich.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"
#include "compute/discrepancy.h"
#include "compute/derived.h"
#include "compute/exchange_side.h"
#include "compute/side_ends.h"

/* ---- pure functions ---- */

static double amine_flow(const struct exchange_side *side)
{
	return side->mass_flow / property_loaded_mass(side->solution.mass_fraction, side->solution.loading);
}

static double enthalpy_of(const struct exchange_side *side, double temperature)
{
	struct solution_input at = side->solution;

	at.temperature = temperature;
	return enthalpy_liquid(&at);
}

double exchange_flashing(const struct terms *terms, const struct exchange_side *side)
{
	struct solution_input at = side->solution;

	at.temperature = side->outlet;
	return isnan(side->outlet_pressure)
		? 0
		: amine_flow(side) * (enthalpy_at(terms, &at, side->outlet_pressure) - enthalpy_liquid(&at));
}

double exchange_duty(const struct terms *terms, const struct exchange_side *side)
{
	return amine_flow(side) * (enthalpy_of(side, side->inlet) - enthalpy_of(side, side->outlet)) -
		exchange_flashing(terms, side);
}

double exchange_capacity(const struct exchange_side *side)
{
	struct solution_input at = side->solution;

	at.temperature = (side->inlet + side->outlet) / 2;
	return amine_flow(side) * enthalpy_heat_capacity(&at);
}

double exchange_lmtd(double end, double other_end)
{
	const double alike = 1e-6;

	if (!(end > 0 && other_end > 0))
		return (double)NAN;
	return fabs(end - other_end) < alike * end ? (end + other_end) / 2 : (end - other_end) / log(end / other_end);
}

double exchange_correction(int shells, int passes, double hot_in, double hot_out, double cold_in, double cold_out)
{
	const double alike = 1e-6;
	double r = (hot_in - hot_out) / (cold_out - cold_in), p = (cold_out - cold_in) / (hot_in - cold_in);
	double s = sqrt(r * r + 1), one, f;

	if (passes < 2)
		return 1;
	/* The effectiveness of each of the shells in series that together do p. */
	if (fabs(r - 1) < alike) {
		one = p / (shells - (shells - 1) * p);
		f = s * one / (1 - one) / log((2 - one * (2 - s)) / (2 - one * (2 + s)));
	} else {
		double w = pow((1 - p * r) / (1 - p), 1.0 / shells);

		one = (1 - w) / (r - w);
		f = s / (r - 1) * log((1 - one) / (1 - one * r)) /
			log((2 - one * (1 + r - s)) / (2 - one * (1 + r + s)));
	}
	return f > 0 && f <= 1 + alike ? f : (double)NAN;
}

double exchange_fouled_outlet(
	double hot_capacity, double cold_capacity, double conductance, double hot_in, double cold_in, double share)
{
	const double alike = 1e-6;
	double least = fmin(hot_capacity, cold_capacity), ratio = least / fmax(hot_capacity, cold_capacity);
	double units = conductance * (1 - share) / least, e = exp(-units * (1 - ratio));
	double effectiveness = 1 - ratio < alike ? units / (1 + units) : (1 - e) / (1 - ratio * e);

	return cold_in + effectiveness * least * (hot_in - cold_in) / cold_capacity;
}

/* ---- the table ---- */

static const struct quantity *put_difference(
	const struct scene *scene, const char *name, struct input hot, struct input cold)
{
	struct input inputs[] = {input_rises(hot), input_falls(cold)};

	return scene_compute(scene, name, KIND_TEMPERATURE_DIFFERENCE, inputs[0].quantity->si - inputs[1].quantity->si,
		hypot(inputs[0].quantity->uncertainty, inputs[1].quantity->uncertainty), FORMULA_DIFFERENCE, inputs, 2);
}

static const struct quantity *put_end(
	const struct scene *scene, const char *name, const struct item *hot, const struct item *cold)
{
	return put_difference(scene, name, scene_input_of(scene, hot, "x", "temperature"),
		scene_input_of(scene, cold, "y", "temperature"));
}

static double passes_of(const struct scene *scene, const struct side *lean, const struct side *rich)
{
	const struct side *sides[] = {lean, rich};

	for (size_t i = 0; i < 2; i++) {
		const struct quantity *passes = scene_get_of(scene, sides[i]->item, "passes");

		if (is_number(passes) && item_is(sides[i]->item, "tube-side"))
			return passes->si;
	}
	return 0;
}

/* F, where shells and passes are stated or the exchanger is made of plates. Passes are those of one shell. */
static const struct quantity *put_correction(
	const struct scene *scene, const struct side *lean, const struct side *rich)
{
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	const struct item *tubes = item_is(lean->item, "tube-side") ? lean->item : rich->item;
	bool plates = item_is(rich->item, "plate-side") || (type && strstr(type, "plate"));
	struct input shells = scene_input(scene, "N", "shells"), passes = scene_input_of(scene, tubes, "n", "passes");
	struct input inputs[] = {scene_input_of(scene, lean->in, "t_1", "temperature"),
		scene_input_of(scene, lean->out, "t_2", "temperature"),
		scene_input_of(scene, rich->in, "t_3", "temperature"),
		scene_input_of(scene, rich->out, "t_4", "temperature"), shells, passes};
	size_t count = plates ? 4 : 6;
	double f = (double)NAN;
	bool known = inputs_known(inputs, count);

	if (known)
		f = exchange_correction(plates ? 1 : (int)shells.quantity->si,
			plates ? 1 : (int)passes_of(scene, lean, rich), inputs[0].quantity->si, inputs[1].quantity->si,
			inputs[2].quantity->si, inputs[3].quantity->si);
	/* Where the shells cannot do it the formula has no value: zero, which departs from any least F. */
	return scene_compute(scene, "lmtd-correction", KIND_RATIO, known && isnan(f) ? 0 : f, 0,
		FORMULA_LMTD_CORRECTION, inputs, count);
}

static void put_transfer(const struct scene *scene, const struct quantity *duty, const struct quantity *lmtd,
	const struct quantity *correction, const struct side *lean, const struct side *rich)
{
	struct input inputs[] = {input_rises(scene_input_is("Q", "duty of the lean side", duty)),
		input_falls(scene_input(scene, "A", "area")),
		input_falls(scene_input_is("F", "correction of the LMTD", correction)),
		input_falls(scene_input_is("T_lm", "LMTD", lmtd))};
	double mean = correction->si * lmtd->si, area = inputs[1].quantity->si, transfer = duty->si / (area * mean);
	const struct quantity *u = derived_compute(scene, "heat-transfer", CAREFUL_NEITHER, KIND_HEAT_TRANSFER,
		mean > 0 ? transfer : (double)NAN, transfer * (relative_uncertainty(duty) + relative_uncertainty(lmtd)),
		FORMULA_HEAT_TRANSFER, inputs, 4);
	/* Fouled: the stated allowance of the coefficient is lost, flows and inlets stay. */
	struct input fouled[] = {scene_input_is("U", "coefficient", u), scene_input(scene, "A", "area"),
		scene_input_is("F", "correction of the LMTD", correction),
		scene_input(scene, "f", "fouling-allowance")};
	if (fouled[3].quantity->known == UNKNOWN)
		return;
	double outlet = lean->known && rich->known
		? exchange_fouled_outlet(exchange_capacity(&lean->side), exchange_capacity(&rich->side),
			  u->si * area * correction->si, lean->side.inlet, rich->side.inlet, fouled[3].quantity->si)
		: (double)NAN;
	scene_compute(scene, "fouled-rich-outlet", KIND_TEMPERATURE, outlet, 2, FORMULA_FOULED_OUTLET, fouled, 4);
}

/* The smaller of the two ends. Of a bound, as far as it decides which that is; else nobody knows the smaller. */
static void put_approach(
	const struct scene *scene, const char *name, const struct quantity *hot, const struct quantity *cold)
{
	const struct quantity *smaller = hot->si < cold->si ? hot : cold, *larger = smaller == hot ? cold : hot;
	bool open = larger->bound == BOUND_BELOW || (is_bound(smaller) && smaller->bound == BOUND_ABOVE);

	if (open)
		scene_put(scene, name,
			quantity_lacking(table_arena(scene->table), KIND_TEMPERATURE_DIFFERENCE,
				quantity_missing(larger->bound == BOUND_BELOW ? larger : smaller)));
	else
		scene_take(scene, name, scene->item, smaller == hot ? "hot-end-approach" : "cold-end-approach");
}

/* Beside a stated approach that of the four temperatures; the smaller is judged. */
static void approach_of(const struct scene *scene, const struct quantity *hot, const struct quantity *cold)
{
	const char *beside = scene_stated(scene, "approach") ? "approach-calculated" : "approach";
	if (hot->known == UNKNOWN || cold->known == UNKNOWN)
		return;
	put_approach(scene, beside, hot, cold);
	derived_judge(scene, "approach", CAREFUL_SMALLER, beside, 0);
}

static const struct quantity *put_lmtd(
	const struct scene *scene, const struct quantity *hot, const struct quantity *cold)
{
	struct input ends[] = {input_rises(scene_input_is("d_1", "hot end", hot)),
		input_rises(scene_input_is("d_2", "cold end", cold))};
	approach_of(scene, hot, cold);
	return scene_compute(scene, "lmtd", KIND_TEMPERATURE_DIFFERENCE, exchange_lmtd(hot->si, cold->si),
		fmax(hot->uncertainty, cold->uncertainty) / 2, FORMULA_LMTD, ends, 2);
}

/* The four temperatures of two items by these names: lean in and out, rich in and out. False: one is not stated. */
static bool of_four(
	const struct scene *scene, const struct item *lean, const struct item *rich, const char *const names[4])
{
	const struct item *const items[] = {lean, lean, rich, rich};

	for (size_t i = 0; i < 4; i++)
		if (!scene_get_of(scene, items[i], names[i]))
			return false;
	put_lmtd(scene,
		put_difference(scene, "hot-end-approach", scene_input_of(scene, lean, "x", names[0]),
			scene_input_of(scene, rich, "y", names[3])),
		put_difference(scene, "cold-end-approach", scene_input_of(scene, lean, "x", names[1]),
			scene_input_of(scene, rich, "y", names[2])));
	return true;
}

/* Where the sides name no streams: by what they state of their own ends, else by what the exchanger states of what is hot and cold. */
static void of_own_ends(const struct scene *scene)
{
	static const char *const ends[] = {
		"inlet-temperature", "outlet-temperature", "inlet-temperature", "outlet-temperature"};
	static const char *const by_heat[] = {
		"hot-inlet-temperature", "hot-outlet-temperature", "cold-inlet-temperature", "cold-outlet-temperature"};

	if (!of_four(scene, side_of_service(scene, "lean"), side_of_service(scene, "rich"), ends))
		of_four(scene, scene->item, scene->item, by_heat);
}

static void of_exchanger(const struct scene *scene)
{
	const char *service = table_word(scene->table, scene->item, scene->operating_case, "service");

	if (!item_is(scene->item, "exchanger") || !service || strcmp(service, "lean/rich") != 0)
		return;
	derived_judge_as_stated(scene, "approach", KIND_TEMPERATURE_DIFFERENCE);
	struct side lean = side_called(scene, "lean"), rich = side_called(scene, "rich");
	if (!lean.item || !rich.item) {
		of_own_ends(scene);
		return;
	}
	const struct quantity *given = side_duty(scene, &lean, 1), *taken = side_duty(scene, &rich, -1);
	scene_put(scene, "lean-duty", given);
	scene_put(scene, "rich-duty", taken);
	discrepancy_put_and_explain(scene, "duty-difference",
		scene_input_is("x", "heat given off by the lean side", given),
		scene_input_is("y", "heat taken up by the rich side", taken));
	if (scene_describes(scene, scene->item, "duty"))
		discrepancy_put(scene, "stated-duty-difference", scene_input(scene, "x", "duty"),
			scene_input_is("y", "heat given off by the lean side", given));
	const struct quantity *hot = put_end(scene, "hot-end-approach", lean.in, rich.out);
	const struct quantity *cold = put_end(scene, "cold-end-approach", lean.out, rich.in);
	const struct quantity *lmtd = put_lmtd(scene, hot, cold);
	put_transfer(scene, given, lmtd, put_correction(scene, &lean, &rich), &lean, &rich);
}

void lean_rich_compute(struct table *table)
{
	scene_each(table, of_exchanger);
}
