/*
 * One solution everywhere: at every place of every design that the sulfide analysis has a state of, the other chapters
 * have the same pH, partial pressures and species; so has the record of a unit with salts. Density, moles and heat are
 * of that solution too, and the circuit is reconciled with it. A blend has the properties of both its amines.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/enthalpy.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/column.h"
#include "compute/formula.h"
#include "compute/solvent.h"
#include "resolve/equipment.h"
#include "resolve/resolve.h"
#include "review_support.h"
#include "pipeline/compute_unit.h"
#include "reconcile/reconcile.h"
#include "sulfide/lean_side.h"
#include "write/write.h"

static struct arena arena;
static struct trial trial;
static size_t compared;

static void begin(void)
{
	trial_open(&trial, NULL);
	compared = 0;
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&arena);
}

TestSuite(one_solution, .init = begin, .fini = end);

static void expect_same(double a, double b, const char *what, const char *path, const char *place)
{
	const double least = 1e-30;

	compared++;
	cr_expect(fabs(a - b) <= 1e-9 * fmax(fmax(fabs(a), fabs(b)), least), "%s, %s: %s is %.12g and %.12g", path,
		place, what, a, b);
}

static void expect_same_state(const struct solution *a, const struct solution *b, const char *path, const char *place)
{
	expect_same(a->ph, b->ph, "pH", path, place);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		expect_same(a->partial_pressure[gas], b->partial_pressure[gas], gas ? "CO2" : "H2S", path, place);
	expect_same(a->water_pressure, b->water_pressure, "steam", path, place);
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		expect_same(a->molality[i], b->molality[i], species_rows[i].shown, path, place);
}

/* A number of the table, NaN where there is none to compare with: unknown, a bound, stated. */
static double computed_number(const struct table *table, const struct item *item, int at, const char *name)
{
	const struct quantity *found = item ? table_peek(table, item, at, name) : NULL;

	return found && found->known == COMPUTED && found->bound == BOUND_NONE ? found->si : (double)NAN;
}

static void expect_computed(const struct table *table, const struct reading_at *reading, const struct item *item,
	const char *name, double value, const char *path)
{
	double found = computed_number(table, item, reading->operating_case, name);

	if (isfinite(found))
		expect_same(found, value, name, path, reading->location->name);
}

/* The solution of a chapter, at the temperature it has there. */
static void expect_chapter(const struct reading_at *reading, const struct stream_solution *chapter, const char *path)
{
	struct solution_input input = chapter->state;
	struct solution solved;

	if (!chapter->known)
		return;
	input.temperature = reading->solution.input.temperature;
	cr_assert(solution_solve(&terms_own, &input, &solved), "%s", path);
	expect_same_state(&reading->solution, &solved, path, reading->location->name);
}

static bool called(const struct scene *scene, const char *reference, const struct item *stream)
{
	return table_follow(scene->table, scene->item, scene->operating_case, reference) == stream;
}

/* Both ends of a side say the same of the loadings, or only one does. */
static bool one_loading(const struct scene *scene)
{
	const struct item *in = table_follow(scene->table, scene->item, scene->operating_case, "inlet");
	const struct item *out = table_follow(scene->table, scene->item, scene->operating_case, "outlet");
	static const char *const names[] = {"h2s", "co2"};
	bool same = in && out;

	for (size_t i = 0; i < GAS_COUNT && same; i++) {
		const struct quantity *a = scene_get_of(scene, in, names[i]), *b = scene_get_of(scene, out, names[i]);
		same = !a || !b || !(fabs(a->si - b->si) > 0);
	}
	return same;
}

static void expect_item(const struct table *table, const struct reading_at *reading, const char *path)
{
	const struct location *location = reading->location;
	const struct scene scene = {.table = table, .item = location->item, .operating_case = reading->operating_case};
	const struct solution *s = &reading->solution;

	if (item_is(location->item, "absorber") && called(&scene, "lean", location->stream)) {
		expect_computed(table, reading, location->item, "h2s-over-lean", s->partial_pressure[GAS_H2S], path);
		expect_computed(table, reading, location->item, "co2-over-lean", s->partial_pressure[GAS_CO2], path);
		struct stream_solution top = solvent_state(&scene, location->item, PLACE_TOP);
		expect_chapter(reading, &top, path);
	}
	if (item_is(location->item, "regenerator")) {
		struct stream_solution feed = solvent_state(
			&scene, location->item, called(&scene, "feed", location->stream) ? PLACE_FEED : PLACE_BOTTOM);
		expect_chapter(reading, &feed, path);
	}
	if (location->end != END_NONE && one_loading(&scene)) {
		struct stream_solution side = solvent_state(&scene, location->item, PLACE_SIDE);
		expect_chapter(reading, &side, path);
	}
}

/* What the flash puts on a rich stream is the pressure of the solution there. */
static void expect_stream(const struct table *table, const struct reading_at *reading, const char *path)
{
	const struct item *stream = reading->location->stream;
	const struct scene scene = {.table = table, .item = stream, .operating_case = reading->operating_case};
	struct stream_solution chapter = solvent_of_stream(&scene, stream, false);

	expect_chapter(reading, &chapter, path);
	if (reading->temperature.item == stream && reading->location->side == SIDE_RICH)
		expect_computed(table, reading, stream, "bubble-pressure", solution_pressure(&reading->solution), path);
}

/* The bottoms boil at what the regenerator calculates. */
static void expect_boiling(const struct table *table, const struct reading_at *reading, const char *path)
{
	const struct item *item = reading->location->item;
	double at = computed_number(table, item, reading->operating_case, "boiling-temperature");
	const struct quantity *pressure = table_peek(table, item, reading->operating_case, "bottom-pressure");
	struct solution_input input = reading->solution.input;

	if (!item_is(item, "regenerator") || reading->location->side != SIDE_LEAN || isnan(at) || !pressure)
		return;
	input.temperature = at;
	expect_same(phase_bubble_pressure(&terms_own, &input), pressure->si, "boiling at the bottom", path,
		reading->location->name);
}

/* ---- properties ---- */

/*
 * Of every stream in every case: what is calculated of its mass and volume is of the solution that the other chapters
 * have there.
 */
static void expect_properties(
	const struct table *table, const struct item *stream, int operating_case, const char *path)
{
	const struct scene scene = {.table = table, .item = stream, .operating_case = operating_case};
	const struct stream_solution of = solvent_of_stream(&scene, stream, true);
	const struct quantity *density = table_peek(table, stream, operating_case, "density");
	double amine = computed_number(table, stream, operating_case, "amine-flow");
	const struct quantity *mass = table_get(table, stream, operating_case, "mass-flow");

	if (!of.known)
		return;
	for (size_t i = 0; i < of.count; i++)
		if (!is_number(of.inputs[i].quantity))
			return;
	if (isfinite(amine) && mass && is_number(mass))
		expect_same(amine, mass->si / property_loaded_mass(of.state.mass_fraction, of.state.loading),
			"mol/s of amine", path, stream->tag);
	if (density && density->known == COMPUTED && density->bound == BOUND_NONE &&
		(density->formula == &formulas[FORMULA_SOLUTION_DENSITY] ||
			density->formula == &formulas[FORMULA_BLEND_DENSITY]))
		expect_same(density->si,
			property_density(of.state.mass_fraction, of.state.temperature, of.state.loading).value,
			"density", path, stream->tag);
}

/* The heat that the lean gives off in a lean/rich exchanger, by the one enthalpy at both its ends. */
static void expect_duty(const struct table *table, const struct item *side, int operating_case, const char *path)
{
	const struct scene scene = {.table = table, .item = side, .operating_case = operating_case};
	const struct item *in = table_follow(table, side, operating_case, "inlet");
	const struct item *out = table_follow(table, side, operating_case, "outlet");
	double duty = side->parent ? computed_number(table, side->parent, operating_case, "lean-duty") : (double)NAN;
	const char *service = item_is(in, "stream") ? table_word(table, in, operating_case, "service") : NULL;

	if (!isfinite(duty) || !service || strcmp(service, "lean") != 0 || !item_is(out, "stream"))
		return;
	const struct stream_solution of = solvent_state(&scene, side, PLACE_SIDE);
	struct solution_input hot = of.state, cold = of.state;
	hot.temperature = table_get(table, in, operating_case, "temperature")->si;
	cold.temperature = table_get(table, out, operating_case, "temperature")->si;
	double amine = table_get(table, in, operating_case, "mass-flow")->si /
		property_loaded_mass(of.state.mass_fraction, of.state.loading);
	expect_same(
		duty, amine * (enthalpy_liquid(&hot) - enthalpy_liquid(&cold)), "heat of the lean", path, side->tag);
}

static void expect_everywhere(const struct table *table, const char *path)
{
	for (size_t i = 0; i < table_item_count(table); i++)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
			const struct item *item = table_item(table, i);

			if (item_is(item, "stream"))
				expect_properties(table, item, c, path);
			else if (item_in(item, CLASS_SIDE))
				expect_duty(table, item, c, path);
		}
}

static void of_design(const char *path)
{
	struct arena own = {0};
	struct problems problems = {.arena = &own};
	const struct element *unit = element_read(&own, path, trial.vocabulary, &problems);
	const struct table *resolved = unit ? resolve(&own, unit, &problems) : NULL;

	cr_assert_not_null(resolved, "%s", path);
	const struct computed_unit computed =
		compute_unit(&own, resolved, (struct compute_options){.no_samples = true});
	const struct circuit *circuit = computed.lean_side->circuit;
	expect_everywhere(computed.table, path);
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		if (reading->missing.reason || circuit->activated)
			continue;
		expect_item(computed.table, reading, path);
		expect_stream(computed.table, reading, path);
		expect_boiling(computed.table, reading, path);
	}
	arena_release(&own);
}

Test(one_solution, every_place_of_every_design_in_all_chapters)
{
	glob_t found;

	cr_assert_eq(glob("designs/*.xml", 0, NULL, &found), 0);
	cr_assert_eq(glob("tests/designs/*.xml", GLOB_APPEND, NULL, &found), 0);
	for (size_t i = 0; i < found.gl_pathc; i++)
		of_design(found.gl_pathv[i]);
	globfree(&found);
	cr_log_info("%zu numbers compared", compared);
	cr_expect_gt(compared, 5000);
}

/* ---- the record of a unit with 1.3 wt% salts ---- */

static json_t *record(void)
{
	char *text = NULL;
	size_t size = 0;
	FILE *stream = open_memstream(&text, &size);

	cr_assert(stream && write_json(trial.review, stream));
	fclose(stream);
	json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
	free(text);
	cr_assert_not_null(root);
	return root;
}

static double member(const json_t *object, const char *name)
{
	const json_t *value = json_object_get(object, name);
	cr_assert(json_is_number(value), "%s", name);
	return json_number_value(value);
}

static const json_t *place_of(const json_t *root, const char *place, const char *operating_case)
{
	const json_t *circuit = json_object_get(json_object_get(root, "sulfide"), "circuit"), *row;
	size_t i;

	json_array_foreach(circuit, i, row)
	{
		if (strcmp(json_string_value(json_object_get(row, "place")), place) == 0 &&
			strcmp(json_string_value(json_object_get(row, "case")), operating_case) == 0)
			return row;
	}
	cr_assert_fail("no place %s", place);
	return NULL;
}

/* In the normal case: what another case meets is worked beside it. */
static double working_of(const json_t *root, const char *name)
{
	const json_t *workings = json_object_get(root, "workings"), *row;
	size_t i;

	json_array_foreach(workings, i, row)
	{
		const char *operating_case = json_string_value(json_object_get(row, "case"));
		bool normal = !operating_case || strcmp(operating_case, "normal") == 0;
		if (normal && strcmp(json_string_value(json_object_get(row, "name")), name) == 0)
			return member(row, "value");
	}
	cr_assert_fail("no working of %s", name);
	return 0;
}

static void expect_shown(double a, double b, const char *what)
{
	cr_expect(fabs(a - b) <= 2e-8 * fabs(b), "%s: %.10g and %.10g", what, a, b); /* nine digits in the record */
}

/* The sulfide analysis, the absorber, the exchanger and the limit of the specification speak of one lean solution. */
Test(one_solution, a_unit_with_salts_has_one_lean_solution_in_its_record)
{
	trial_review_file(&trial, "tests/designs/salts.xml");
	json_t *root = record();
	const json_t *top = place_of(root, "C-1 top", "normal"), *sulfide = json_object_get(root, "sulfide");
	double over = working_of(root, "h2s-over-lean of C-1");

	expect_shown(member(top, "h2s_partial_pressure_kPa"), over, "H2S over the lean");
	expect_shown(working_of(root, "h2s-specification-used of C-1"), over / (8e-6 * 3950), "share of 8 ppmv");
	/* The exchanger's slices begin and end where the circuit's places are. */
	const json_t *slices = json_object_get(json_array_get(json_object_get(sulfide, "exchangers"), 0), "slices");
	const json_t *hot = json_object_get(json_array_get(slices, 0), "lean");
	const json_t *cold = json_object_get(json_array_get(slices, json_array_size(slices) - 1), "lean");
	static const char *const names[] = {"ph", "h2s_partial_pressure_kPa", "h2s_aq_mol_kg"};
	for (size_t i = 0; i < COUNT(names); i++) {
		expect_shown(member(hot, names[i]),
			member(place_of(root, "E-1 shell side lean inlet", "normal"), names[i]), names[i]);
		expect_shown(member(hot, names[i]), member(place_of(root, "C-2 bottom", "normal"), names[i]), names[i]);
		expect_shown(member(cold, names[i]),
			member(place_of(root, "E-1 shell side lean outlet", "normal"), names[i]), names[i]);
	}
	/* The most lean H2S that the specification allows is the loading at which the pressure over the lean is the specified one. */
	const json_t *allowance =
		json_array_get(json_object_get(json_object_get(sulfide, "overstripping"), "allowances"), 0);
	struct solution_input at = {0};
	const struct circuit *circuit = trial.review->lean_side->circuit;
	for (size_t i = 0; i < circuit->reading_count; i++)
		if (strcmp(circuit->readings[i].location->name, "C-1 top") == 0 &&
			circuit->readings[i].operating_case == 0)
			at = circuit->readings[i].solution.input;
	struct solution solved;
	at.loading[GAS_H2S] = member(allowance, "largest_loading_mol_mol");
	cr_assert(solution_solve(&terms_own, &at, &solved));
	cr_expect_float_eq(solved.partial_pressure[GAS_H2S], 8e-6 * 39.5e5, 1e-3 * 8e-6 * 39.5e5);
	json_decref(root);
}

/* ---- the circuit as a whole ---- */

/* The reconciled temperature of the bottoms, K, of a lean solution with salts that is stated to be at `celsius`. */
static double reconciled_bottoms(const char *basis, double celsius)
{
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%' %s><anion name='formate' content='22000 "
			"ppmw'/></solvent>"
			"<stream id='rich' service='rich' flow='110 t/h' temperature='95 degC' pressure='4 bara' "
			"h2s='0.2' "
			"co2='0.2'/>"
			"<stream id='hot-lean' service='lean' flow='105 t/h' temperature='%.9g degC' pressure='2 bara' "
			"h2s='0.03' "
			"co2='0.03'/><regenerator tag='C-2' feed='rich' lean='hot-lean' bottom-pressure='2 "
			"bara'/></unit>",
			basis, celsius));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct reconciliation *found = &trial.review->reconciled->cases[0];
	for (size_t i = 0; i < found->count; i++)
		if (strcmp(found->rows[i].statement->item->tag, "hot-lean") == 0 &&
			strcmp(found->rows[i].statement->name, "temperature") == 0)
			return found->rows[i].value;
	cr_assert_fail("the bottoms are not reconciled");
	return 0;
}

/*
 * Bottoms that boil where the regenerator says are as the circuit has them: its solution has the same amine and the
 * same salts.
 */
Test(one_solution, a_circuit_reconciles_the_solution_with_its_salts)
{
	static const char *const bases[] = {"strength-basis='total'", "strength-basis='free'"};

	for (size_t i = 0; i < COUNT(bases); i++) {
		reconciled_bottoms(bases[i], 118);
		double boils = trial_number(&trial, "C-2", NULL, "boiling-temperature", "degC");
		double found = reconciled_bottoms(bases[i], boils);

		cr_expect_float_eq(found - 273.15, boils, 0.02, "%s: %.3f, %.3f", bases[i], found - 273.15, boils);
	}
}

/* ---- blends ---- */

/*
 * 38 wt% MDEA and 7 wt% DEA at 40 degC, 0.1 H2S and 0.2 CO2, by hand: a kilogram holds 380 / 119.163 = 3.18891 and 70 /
 * 105.136 = 0.66580 mol of amine and 550 / 18.01528 = 30.5296 mol of water. Pure MDEA and DEA (Hsu and Li 1997, from
 * memory) 1025.20 and 1088.00 kg/m3, water 992.2 (IAPWS-IF97): 0.55/992.2 + 0.38/1025.20 + 0.07/1088.00 less 6.0e-6
 * (MDEA) and 3.3e-6 m3/mol (DEA, both inferred from Haji-Sulaiman 1998) of n_i n_w/n = 2.83141 and 0.59116 mol:
 * 9.70382e-4 m3; gas 3.85471 mol x (0.1 x 34.081 + 0.2 x 44.009) g/mol = 47.066 g.
 */
Test(one_solution, a_blend_has_the_density_and_molar_mass_of_both_amines)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
		"<solvent amine='MDEA' strength='38 wt%' second-amine='DEA' second-strength='7 wt%'>"
		"<anion name='formate' content='4501.7 ppmw'/></solvent>"
		"<stream id='s' service='lean' temperature='40 degC' h2s='0.1' co2='0.2'/>"
		"<stream id='c' service='lean' temperature='40 degC' h2s-content='1.31374 wt%' co2-content='3.3928 "
		"wt%'/></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(trial_number(&trial, "s", NULL, "density", "kg/m3"), 1079.02, 0.1);
	/* 0.1 eq of formate over 3.85471 mol; the contents are 0.1 and 0.2 mol a mole of all amine. */
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "bound-amine", ""), 0.1 / 3.85471, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "c", NULL, "h2s", ""), 0.1, 1e-5);
	cr_expect_float_eq(trial_number(&trial, "c", NULL, "co2", ""), 0.2, 1e-5);
	cr_expect_float_eq(trial_number(&trial, "c", NULL, "loading", ""), 0.3, 2e-5);
}

/* ---- reflux ---- */

/* One reflux ratio in the description, the dew point and the column: the water that returns, not all that leaves the top. */
Test(one_solution, a_reflux_ratio_is_of_the_water_that_returns)
{
	struct column_input input = {
		.feed = {.mass_fraction = {[AMINE_MDEA] = 0.45}, .temperature = 372.15, .loading = {0.2, 0.1}},
		.feed_pressure = 2e5,
		.stages = 8,
		.bottom_pressure = 2e5,
		.top_pressure = 1.8e5,
		.duty = 9e4,
		.drum_temperature = 318.15,
		.drum_pressure = 1.7e5};
	struct column column;
	double partial = water_saturation_pressure(318.15) / 1.7e5;

	cr_assert(column_solve(&terms_own, &input, &column));
	const struct column_stage *top = &column.stage[column.stages - 1];
	double acid = top->gas[GAS_H2S] + top->gas[GAS_CO2];
	expect_same(column.reflux_ratio, column.reflux / acid, "reflux", "", "");
	expect_same(top->steam / acid, column.reflux_ratio + partial / (1 - partial), "steam at the top", "", "");
}
