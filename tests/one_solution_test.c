/*
 * One solution everywhere: at every place of every design that the sulfide analysis has a state of, the other chapters have the same
 * pH, partial pressures and species. And the salts of a solution by hand.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/phase.h"
#include "chemistry/salts.h"
#include "compute/solvent.h"
#include "resolve/resolve.h"
#include "review_support.h"
#include "state.h"
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
	cr_expect(fabs(a - b) <= 1e-9 * fmax(fmax(fabs(a), fabs(b)), least), "%s, %s: %s is %.12g and %.12g", path, place,
		what, a, b);
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
	const struct scene scene = {
		.table = (struct table *)table, .item = location->item, .operating_case = reading->operating_case};
	const struct solution *s = &reading->solution;

	if (item_is(location->item, "absorber") && called(&scene, "lean", location->stream)) {
		expect_computed(table, reading, location->item, "h2s-over-lean", s->partial_pressure[GAS_H2S], path);
		expect_computed(table, reading, location->item, "co2-over-lean", s->partial_pressure[GAS_CO2], path);
		struct stream_solution top = solvent_state(&scene, location->item, PLACE_TOP);
		expect_chapter(reading, &top, path);
	}
	if (item_is(location->item, "regenerator")) {
		struct stream_solution feed = solvent_state(&scene, location->item,
			called(&scene, "feed", location->stream) ? PLACE_FEED : PLACE_BOTTOM);
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
	const struct scene scene = {
		.table = (struct table *)table, .item = stream, .operating_case = reading->operating_case};
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

static void of_design(const char *path)
{
	struct arena own = {0};
	struct problems problems = {.arena = &own};
	const struct element *unit = element_read(&own, path, trial.vocabulary, &problems);
	const struct table *resolved = unit ? resolve(&own, unit, &problems) : NULL;

	cr_assert_not_null(resolved, "%s", path);
	const struct state state = state_compute(&own, resolved, (struct wishes){.no_samples = true});
	const struct circuit *circuit = state.lean_side->circuit;
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		if (reading->missing.reason || circuit->activated)
			continue;
		expect_item(state.table, reading, path);
		expect_stream(state.table, reading, path);
		expect_boiling(state.table, reading, path);
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

	json_array_foreach(circuit, i, row) {
		if (strcmp(json_string_value(json_object_get(row, "place")), place) == 0 &&
			strcmp(json_string_value(json_object_get(row, "case")), operating_case) == 0)
			return row;
	}
	cr_assert_fail("no place %s", place);
	return NULL;
}

static double working_of(const json_t *root, const char *name)
{
	const json_t *workings = json_object_get(root, "workings"), *row;
	size_t i;

	json_array_foreach(workings, i, row) {
		if (strcmp(json_string_value(json_object_get(row, "name")), name) == 0)
			return member(row, "value");
	}
	cr_assert_fail("no working of %s", name);
	return NAN;
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
	double over = working_of(root, "over the lean solution");

	expect_shown(member(top, "h2s_partial_pressure_kPa"), over, "H2S over the lean");
	expect_shown(working_of(root, "h2s-specification-used of C-1"), over / (8e-6 * 3950), "share of 8 ppmv");
	/* The exchanger's slices begin and end where the circuit's places are. */
	const json_t *slices = json_object_get(json_array_get(json_object_get(sulfide, "exchangers"), 0), "slices");
	const json_t *hot = json_object_get(json_array_get(slices, 0), "lean");
	const json_t *cold = json_object_get(json_array_get(slices, json_array_size(slices) - 1), "lean");
	static const char *const names[] = {"ph", "h2s_partial_pressure_kPa", "h2s_aq_mol_kg"};
	for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
		expect_shown(member(hot, names[i]), member(place_of(root, "E-1 shell side lean inlet", "normal"), names[i]), names[i]);
		expect_shown(member(hot, names[i]), member(place_of(root, "C-2 bottom", "normal"), names[i]), names[i]);
		expect_shown(member(cold, names[i]), member(place_of(root, "E-1 shell side lean outlet", "normal"), names[i]), names[i]);
	}
	/* The most lean H2S that the specification allows is the loading at which the pressure over the lean is the specified one. */
	const json_t *allowance =
		json_array_get(json_object_get(json_object_get(sulfide, "overstripping"), "allowances"), 0);
	struct solution_input at = {0};
	const struct circuit *circuit = trial.review->lean_side->circuit;
	for (size_t i = 0; i < circuit->reading_count; i++)
		if (strcmp(circuit->readings[i].location->name, "C-1 top") == 0 && circuit->readings[i].operating_case == 0)
			at = circuit->readings[i].solution.input;
	struct solution solved;
	at.loading[GAS_H2S] = member(allowance, "largest_loading_mol_mol");
	cr_assert(solution_solve(&terms_own, &at, &solved));
	cr_expect_float_eq(solved.partial_pressure[GAS_H2S], 8e-6 * 39.5e5, 1e-3 * 8e-6 * 39.5e5);
	json_decref(root);
}

/* ---- salts by hand ---- */

static const struct quantity *of_solvent(const char *operating_case, const char *name)
{
	const struct quantity *found = trial_value(&trial, "solvent", operating_case, name);

	cr_assert_not_null(found, "%s", name);
	return found;
}

static void solvent(const char *attributes, const char *anions)
{
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
			"<solvent %s>%s</solvent>"
			"<stream id='s' service='lean' temperature='45 degC' pressure='5 bara' h2s='0.004' co2='0.004'/>"
			"</unit>",
			attributes, anions));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

/* eq per kg of solution of a solvent with `moles` of amine, as stated, in a kilogram */
static double equivalents(double moles)
{
	return of_solvent(NULL, "bound-amine")->si * moles;
}

/*
 * The design by hand, molar masses of IUPAC 2021. A kilogram holds 450 g / 119.163 g/mol = 3.77634 mol of amine.
 *   named    3000 mg formate / 45.017 = 0.066641; 2500 mg acetate / 59.044 = 0.042341; 1400 mg thiosulfate 2 / 112.122 =
 *            0.024973 eq: 6900 mg, 0.133955 eq
 *   chloride 700 mg / 35.453 = 0.019744 eq: 7600 mg, 0.153699 eq, 49.447 g/eq
 *   left     (13000 - 7600) mg / 49.447 g/eq = 0.109207 eq; all anions 0.262906 eq
 *   cations  900 mg Na / 22.990 = 0.039148; 300 mg K / 39.098 = 0.007673 eq
 *   net      0.216085 eq: 5.7221 % of the amine. Were the 45 wt% free amine: 3.992425 mol, 47.575 wt%.
 * Titrated: 13 g as MDEA / 119.163 = 0.109094 eq, less than the anions named, so nothing is left: 0.153699 - 0.046821 =
 * 0.106878 eq of 3.77634 + 0.106878 = 3.883218 mol: 2.7523 %, 46.274 wt% in all.
 */
Test(one_solution, salts_by_hand)
{
	trial_review_file(&trial, "tests/designs/salts.xml");
	cr_expect_float_eq(of_solvent("normal", "bound-amine")->si, 0.057221, 1e-6);
	cr_expect_float_eq(of_solvent("normal", "total-strength")->si, 0.47575, 1e-5);
	cr_expect_str_eq(of_solvent("normal", "strength-basis")->word, "total");
	cr_expect_eq(of_solvent("normal", "strength-basis")->known, ASSUMED);
	cr_expect(strstr(of_solvent("normal", "strength-basis")->reason, "5.722 % more"), "%s",
		of_solvent("normal", "strength-basis")->reason);
	cr_expect_float_eq(of_solvent("titrated", "bound-amine")->si, 0.027523, 1e-6);
	cr_expect_float_eq(of_solvent("titrated", "total-strength")->si, 0.46274, 1e-5);
	cr_expect_float_eq(of_solvent("titrated", "bound-amine-content")->si, 0.106878 * 0.119163, 1e-6);
	/* 5 t of charge need 5000 x 0.216085 / 2 mol of soda, 105.988 g/mol: 57.256 kg; 60 kg are given */
	cr_expect_float_eq(trial_number(&trial, "X-2", "normal", "soda-over-need", ""), 60 / 57.256, 1e-4);
}

/*
 * One total on each basis, 40 wt% DEA: 400 g / 105.136 g/mol = 3.80460 mol in a kilogram.
 *   as DEA of the solution   15 g / 105.136 = 0.142672 eq
 *   as MDEA of the solution  15 g / 119.163 = 0.125878 eq
 *   of the amine, as itself  3 % of 3.80460 mol = 0.114138 eq
 *   as acetate               15 g / 59.044 = 0.254048 eq
 *   as ions, none named      15 g / 45.017 = 0.333207 eq, as formate
 *   as ions beside 4 g acetate (0.067746 eq): 11 g at 59.044 g/eq, 0.254048 eq again
 *   as DEA beside the same   0.142672 eq, of which 0.067746 are the acetate
 */
Test(one_solution, a_total_counts_by_its_basis)
{
	static const struct {
		const char *total, *anions;
		double eq;
	} rows[] = {{"salts='1.5 wt%' salts-basis='solution' salts-as='DEA'", "", 0.142672},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='amine'", "", 0.142672},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='MDEA'", "", 0.125878},
		{"salts='3 wt%' salts-basis='amine'", "", 0.114138},
		{"salts='3 wt%' salts-basis='amine' salts-as='DEA'", "", 0.114138},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='acetate'", "", 0.254048},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='ions'", "", 0.333207},
		{"salts='15 g/L' salts-basis='solution' salts-as='ions'", "", 0.333207},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='ions'", "<anion name='acetate' content='4000 ppmw'/>",
			0.254048},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='DEA'", "<anion name='acetate' content='4000 ppmw'/>",
			0.142672},
		{"salts='0.3 wt%' salts-basis='solution' salts-as='DEA'", "<anion name='acetate' content='4000 ppmw'/>",
			0.067746}};

	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		solvent(arena_format(&arena, "amine='DEA' strength='40 wt%%' %s", rows[i].total), rows[i].anions);
		cr_expect_float_eq(equivalents(3.80460), rows[i].eq, 2e-6, "%s %s: %.6f", rows[i].total, rows[i].anions,
			equivalents(3.80460));
	}
}

/* Where nobody says what the total is of or as, it is the most it may be, and its uncertainty reaches down to the least. */
Test(one_solution, a_total_without_its_basis_is_uncertain)
{
	solvent("amine='DEA' strength='40 wt%' salts='1.5 wt%'", "");
	const struct quantity *bound = of_solvent(NULL, "bound-amine");
	double most = 0.333207, least = 0.015 * 0.4 / 0.105136; /* as ions of the solution; as DEA of the amine */

	cr_expect_float_eq(bound->si * 3.80460, most, 2e-6);
	cr_expect((bound->si - bound->uncertainty) * 3.80460 <= least, "%g", bound->uncertainty);
	cr_expect_eq(of_solvent(NULL, "salts-on-solution")->known, UNKNOWN, "the basis is still asked for");
	solvent("amine='DEA' strength='40 wt%' salts='1.5 wt%' salts-basis='solution' salts-as='ions'", "");
	cr_expect(of_solvent(NULL, "bound-amine")->uncertainty < 0.2 * bound->uncertainty);
}

/* 350 ppmw chloride are 0.0098722 eq of acid; with 0.6 of their sodium 0.4 of that; of twice the sodium no more than all. */
Test(one_solution, chloride_is_an_acid_unless_sodium_comes_with_it)
{
	const double acid = 350e-6 / 0.035453, moles = 0.45 / 0.119163;

	solvent("amine='MDEA' strength='45 wt%' chloride='350 ppmw'", "");
	cr_expect_float_eq(equivalents(moles), acid, 2e-7);
	solvent(arena_format(&arena, "amine='MDEA' strength='45 wt%%' chloride='350 ppmw' sodium='%.9f ppmw'",
			0.6 * acid * 0.022990e6),
		"");
	cr_expect_float_eq(equivalents(moles), 0.4 * acid, 2e-7);
	solvent("amine='MDEA' strength='45 wt%' chloride='350 ppmw' sodium='460 ppmw'", "");
	cr_expect_float_eq(equivalents(moles), 0, 2e-7, "what else it stands beside nobody knows");
	/* Beside anions that are listed the rest of it is a base; a chloride among the anions is not counted twice. */
	solvent("amine='MDEA' strength='45 wt%' chloride='350 ppmw' sodium='460 ppmw'",
		"<anion name='formate' content='500 ppmw'/><anion name='chloride' content='350 ppmw'/>");
	cr_expect_float_eq(equivalents(moles), acid + 500e-6 / 0.045017 - 460e-6 / 0.022990, 2e-7);
}

/* Potassium stands for as much as sodium, by moles. */
Test(one_solution, potassium_counts_as_sodium_does)
{
	const double moles = 0.45 / 0.119163;

	solvent("amine='MDEA' strength='45 wt%' sodium='229.90 ppmw'", "<anion name='formate' content='3000 ppmw'/>");
	double by_sodium = equivalents(moles);
	solvent("amine='MDEA' strength='45 wt%' potassium='390.98 ppmw'", "<anion name='formate' content='3000 ppmw'/>");
	cr_expect_float_eq(equivalents(moles), by_sodium, 1e-12);
	cr_expect_float_eq(by_sodium, 3000e-6 / 0.045017 - 0.01, 2e-7);
}

/* A bound on a total is the most there may be: nothing of it is left at the other end. */
Test(one_solution, a_total_stated_as_a_bound)
{
	solvent("amine='MDEA' strength='45 wt%' salts='&lt;1 wt%' salts-basis='solution' salts-as='ions'",
		"<anion name='formate' content='500 ppmw'/>");
	const struct quantity *bound = of_solvent(NULL, "bound-amine");

	cr_expect_eq(bound->bound, BOUND_BELOW);
	cr_expect_float_eq(bound->si * 0.45 / 0.119163, 0.01 / 0.045017, 1e-6);
	/* The least is what is named. */
	const struct scene scene = {
		.table = (struct table *)trial.review->table, .item = table_find(trial.review->table, "s"), .operating_case = 0};
	struct stream_solution s = solvent_state(&scene, scene.item, PLACE_STREAM);
	struct solution_input least;
	cr_assert(solvent_least_salts(&s, &least));
	cr_expect_float_eq(salts_bound_amine(&least) * 0.45 / 0.119163, 500e-6 / 0.045017, 2e-7);
}

/* ---- strength ---- */

/* The first lean of a unit whose formate binds about 5 % of the amine, in this reading of its strength. */
static struct stream_solution lean_with(const char *basis, const char *formate)
{
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='53 wt%%' %s><anion name='formate' content='%s'/></solvent>"
			"<gas id='g' pressure='40 bara' h2s='2 mol%%' co2='6 mol%%'/><gas id='t' pressure='40 bara'/>"
			"<stream id='l' service='lean' temperature='45 degC' h2s='0.004' co2='0.004'/>"
			"<absorber tag='C-1' gas='g' treated='t' lean='l'/></unit>",
			basis, formate));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct scene scene = {.table = (struct table *)trial.review->table,
		.item = table_find(trial.review->table, "C-1"),
		.operating_case = 0};
	return solvent_state(&scene, scene.item, PLACE_TOP);
}

static double h2s_of(const struct solution_input *state)
{
	struct solution solved;

	cr_assert(solution_solve(&terms_own, state, &solved));
	return solved.partial_pressure[GAS_H2S];
}

/* Read as all the amine less of it is free: more H2S over the same analysis. The other reading is within the uncertainty, and the
 * limit of strength takes it. */
Test(one_solution, the_careful_reading_of_a_strength)
{
	struct stream_solution open = lean_with("", "9000 ppmw");
	const struct quantity *over = trial_value(&trial, "C-1", NULL, "h2s-over-lean");
	struct solution_input other;

	cr_assert(over && solvent_other_basis(&open, &other));
	cr_expect(h2s_of(&other) < h2s_of(&open.state), "%g and %g Pa", h2s_of(&other), h2s_of(&open.state));
	double uncertainty = over->uncertainty;
	/* 9000 mg formate are 0.199924 eq; 530 g / 119.163 = 4.44769 mol: 53 wt% free amine are 55.382 wt% in all */
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "total-strength", "wt%"), 55.382, 1e-3);
	cr_expect_eq(trial_finding(&trial, "LOD-006", "solvent")->verdict, VERDICT_DEPARTS);

	struct stream_solution all = lean_with("strength-basis='total'", "9000 ppmw");
	expect_same(h2s_of(&all.state), h2s_of(&open.state), "H2S", "", "");
	cr_expect(!solvent_other_basis(&all, &other));
	cr_expect_eq(trial_finding(&trial, "LOD-006", "solvent")->verdict, VERDICT_MEETS);
	cr_expect(uncertainty > trial_value(&trial, "C-1", NULL, "h2s-over-lean")->uncertainty);

	struct stream_solution free_amine = lean_with("strength-basis='free'", "9000 ppmw");
	cr_expect_float_eq(free_amine.state.mass_fraction[AMINE_MDEA], 0.55382, 1e-5);
	cr_expect_float_eq(salts_bound_amine(&free_amine.state), 0.199924 / (4.44769 + 0.199924), 1e-6);
	cr_expect_eq(trial_finding(&trial, "LOD-006", "solvent")->verdict, VERDICT_DEPARTS);
}

/* Below 1 % the basis makes no difference, and none is told. */
Test(one_solution, a_strength_with_few_salts_is_one)
{
	struct stream_solution few = lean_with("", "500 ppmw");
	struct solution_input other;

	cr_expect(!solvent_other_basis(&few, &other));
	cr_expect(strstr(of_solvent(NULL, "strength-basis")->reason, "within 1 %"));
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "total-strength", "wt%"), 53, 1e-9);
}

/* What salts do is told once, of the lean at the top of the absorber; by the equilibrium itself. */
Test(one_solution, what_salts_do)
{
	trial_review_file(&trial, "tests/designs/salts.xml");
	const struct circuit *circuit = trial.review->lean_side->circuit;
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		struct solution_input clean = reading->solution.input;
		struct solution fresh;

		if (strcmp(reading->location->name, "C-1 top") != 0 || reading->operating_case != 0)
			continue;
		memset(clean.anion, 0, sizeof clean.anion);
		clean.cation = 0;
		cr_assert(solution_solve(&terms_own, &clean, &fresh));
		expect_same(of_solvent("normal", "ph-by-salts")->si, reading->solution.ph - fresh.ph, "pH", "", "");
		expect_same(of_solvent("normal", "h2s-pressure-by-salts")->si,
			reading->solution.partial_pressure[GAS_H2S] / fresh.partial_pressure[GAS_H2S], "H2S", "", "");
	}
	cr_expect_eq(compared, 2);
	cr_expect(of_solvent("normal", "ph-by-salts")->si < -0.3 && of_solvent("normal", "h2s-pressure-by-salts")->si > 2);
}
