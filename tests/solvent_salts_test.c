/*
 * The salts of a solvent by hand: bases, equivalents, chloride, sodium and potassium, bounds, what the strength counts and what
 * salts do. Molar masses of IUPAC 2021.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/solvent.h"
#include "compute/solvent_salts.h"
#include "review_support.h"
#include "sulfide/lean_side.h"

static struct arena arena;
static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&arena);
}

TestSuite(solvent_salts, .init = begin, .fini = end);

static void expect_same(double a, double b)
{
	cr_expect(fabs(a - b) <= 1e-9 * fabs(b), "%.12g and %.12g", a, b);
}

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
			"<stream id='s' service='lean' temperature='45 degC' pressure='5 bara' h2s='0.004' "
			"co2='0.004'/>"
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
Test(solvent_salts, salts_by_hand)
{
	trial_review_file(&trial, "tests/designs/salts.xml");
	cr_expect_float_eq(of_solvent("normal", "bound-amine")->si, 0.057221, 1e-6);
	cr_expect_float_eq(of_solvent("normal", "total-strength")->si, 0.47575, 1e-5);
	cr_expect_str_eq(of_solvent("normal", "strength-basis")->word, "total");
	cr_expect_eq(of_solvent("normal", "strength-basis")->known, ASSUMED);
	cr_expect(strstr(of_solvent("normal", "strength-basis")->reason, "5.722 % higher"), "%s",
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
Test(solvent_salts, a_total_counts_by_its_basis)
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
		{"salts='1.5 wt%' salts-basis='solution' salts-as='ions'",
			"<anion name='acetate' content='4000 ppmw'/>", 0.254048},
		{"salts='1.5 wt%' salts-basis='solution' salts-as='DEA'", "<anion name='acetate' content='4000 ppmw'/>",
			0.142672},
		{"salts='0.3 wt%' salts-basis='solution' salts-as='DEA'", "<anion name='acetate' content='4000 ppmw'/>",
			0.067746}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		solvent(arena_format(&arena, "amine='DEA' strength='40 wt%%' %s", rows[i].total), rows[i].anions);
		cr_expect_float_eq(equivalents(3.80460), rows[i].eq, 2e-6, "%s %s: %.6f", rows[i].total, rows[i].anions,
			equivalents(3.80460));
	}
}

/* Where nobody says what the total is of or as, it is the most it may be, and its uncertainty reaches down to the least. */
Test(solvent_salts, a_total_without_its_basis_is_uncertain)
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
Test(solvent_salts, chloride_is_an_acid_unless_sodium_comes_with_it)
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
Test(solvent_salts, potassium_counts_as_sodium_does)
{
	const double moles = 0.45 / 0.119163;

	solvent("amine='MDEA' strength='45 wt%' sodium='229.90 ppmw'", "<anion name='formate' content='3000 ppmw'/>");
	double by_sodium = equivalents(moles);
	solvent("amine='MDEA' strength='45 wt%' potassium='390.98 ppmw'",
		"<anion name='formate' content='3000 ppmw'/>");
	cr_expect_float_eq(equivalents(moles), by_sodium, 1e-12);
	cr_expect_float_eq(by_sodium, 3000e-6 / 0.045017 - 0.01, 2e-7);
}

/* A bound on a total is the most there may be: nothing of it is left at the other end. */
Test(solvent_salts, a_total_stated_as_a_bound)
{
	solvent("amine='MDEA' strength='45 wt%' salts='&lt;1 wt%' salts-basis='solution' salts-as='ions'",
		"<anion name='formate' content='500 ppmw'/>");
	const struct quantity *bound = of_solvent(NULL, "bound-amine");

	cr_expect_eq(bound->bound, BOUND_BELOW);
	cr_expect_float_eq(bound->si * 0.45 / 0.119163, 0.01 / 0.045017, 1e-6);
	/* The least is what is named. */
	const struct scene scene = {
		.table = trial.review->table, .item = table_find(trial.review->table, "s"), .operating_case = 0};
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
	const struct scene scene = {
		.table = trial.review->table, .item = table_find(trial.review->table, "C-1"), .operating_case = 0};
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
Test(solvent_salts, the_careful_reading_of_a_strength)
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
	expect_same(h2s_of(&all.state), h2s_of(&open.state));
	cr_expect(!solvent_other_basis(&all, &other));
	cr_expect_eq(trial_finding(&trial, "LOD-006", "solvent")->verdict, VERDICT_MEETS);
	cr_expect(uncertainty > trial_value(&trial, "C-1", NULL, "h2s-over-lean")->uncertainty);

	struct stream_solution free_amine = lean_with("strength-basis='free'", "9000 ppmw");
	cr_expect_float_eq(free_amine.state.mass_fraction[AMINE_MDEA], 0.55382, 1e-5);
	cr_expect_float_eq(salts_bound_amine(&free_amine.state), 0.199924 / (4.44769 + 0.199924), 1e-6);
	cr_expect_eq(trial_finding(&trial, "LOD-006", "solvent")->verdict, VERDICT_DEPARTS);
}

/* Below 1 % the basis makes no difference, and none is told. */
Test(solvent_salts, a_strength_with_few_salts_is_one)
{
	struct stream_solution few = lean_with("", "500 ppmw");
	struct solution_input other;

	cr_expect(!solvent_other_basis(&few, &other));
	cr_expect(strstr(of_solvent(NULL, "strength-basis")->reason, "less than 1 %"));
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "total-strength", "wt%"), 53, 1e-9);
}

/* What salts do is told once, of the lean at the top of the absorber; by the equilibrium itself. */
Test(solvent_salts, what_salts_do)
{
	trial_review_file(&trial, "tests/designs/salts.xml");
	const struct circuit *circuit = trial.review->lean_side->circuit;
	size_t found = 0;
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		struct solution_input clean = reading->solution.input;
		struct solution fresh;

		if (strcmp(reading->location->name, "C-1 top") != 0 || reading->operating_case != 0)
			continue;
		found++;
		memset(clean.anion, 0, sizeof clean.anion);
		clean.cation = 0;
		cr_assert(solution_solve(&terms_own, &clean, &fresh));
		expect_same(of_solvent("normal", "ph-by-salts")->si, reading->solution.ph - fresh.ph);
		expect_same(of_solvent("normal", "h2s-pressure-by-salts")->si,
			reading->solution.partial_pressure[GAS_H2S] / fresh.partial_pressure[GAS_H2S]);
	}
	cr_expect_eq(found, 1);
	cr_expect(of_solvent("normal", "ph-by-salts")->si < -0.3 &&
		of_solvent("normal", "h2s-pressure-by-salts")->si > 2);
}

/*
 * 45 wt% MDEA and 13500 ppmw formate: 3.77634 mol of amine and 0.299887 eq in a kilogram, so that there are 7.94 % more amine if
 * the 45 wt% are free of it. 100 t/h of lean then carry 377.1 or 407.0 kmol/h, and 0.398 mol/mol picked up is 150.1 or 162.0 kmol/h.
 */
static const struct finding *balance_of(const char *basis, const char *flow)
{
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%' %s><anion name='formate' content='13500 "
			"ppmw'/></solvent>"
			"<gas id='sour' role='feed' flow='%s' temperature='35 degC' pressure='40 bara' h2s='7 mol%%' "
			"co2='8 mol%%'/>"
			"<gas id='sweet' role='treated' temperature='46 degC' pressure='40 bara' h2s='0 ppmv' co2='0 "
			"ppmv'/>"
			"<stream id='lean' service='lean' flow='100 t/h' temperature='45 degC' pressure='45 bara' "
			"h2s='0.004' co2='0.004'/>"
			"<stream id='rich' service='rich' temperature='65 degC' pressure='39 bara' h2s='0.19' "
			"co2='0.216'/>"
			"<absorber tag='C-1' gas='sour' treated='sweet' lean='lean' rich='rich'/></unit>",
			basis, flow));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "BAL-001", "C-1");
}

static bool basis_is_asked(void)
{
	bool asked = false;

	for (size_t k = 0; k < trial.review->judgement.assumption_count; k++)
		asked = asked || strcmp(trial.review->judgement.assumptions[k].quantity, "strength-basis") == 0;
	return asked;
}

struct turn {
	const char *basis, *figure;
	enum verdict verdict;
	bool unsettled;
};

static void expect_turns(
	const struct finding *(*judged)(const char *, const char *), const struct turn *rows, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct finding *finding = judged(rows[i].basis, rows[i].figure);

		cr_assert_not_null(finding);
		cr_expect_eq(finding->verdict, rows[i].verdict, "%s, %s: %s", rows[i].basis, rows[i].figure,
			finding->message);
		cr_expect_eq(finding->unsettled != NULL, rows[i].unsettled, "%s, %s: %s", rows[i].basis, rows[i].figure,
			finding->message);
		cr_expect_eq(basis_is_asked(), rows[i].unsettled, "%s, %s", rows[i].basis, rows[i].figure);
	}
}

/* A balance that closes with all the amine speaks for that reading; one that closes with the other only is unsettled. */
Test(solvent_salts, a_balance_speaks_for_a_basis)
{
	static const struct turn rows[] = {{"", "1000 kmol/h", VERDICT_MEETS, false},
		{"strength-basis='total'", "1000 kmol/h", VERDICT_MEETS, false},
		{"strength-basis='free'", "1000 kmol/h", VERDICT_DEPARTS, false},
		{"", "1080 kmol/h", VERDICT_DEPARTS, true},
		{"strength-basis='free'", "1080 kmol/h", VERDICT_MEETS, false},
		{"", "700 kmol/h", VERDICT_DEPARTS, false}};

	expect_turns(balance_of, rows, COUNT(rows));
}

/* The bottom of a regenerator boils at 123.8 degC with 45 wt% in all, at 124.3 with 45 wt% free; MAT-024 turns at 124. */
static const struct finding *bottom_of(const char *basis, const char *pressure)
{
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%' %s><anion name='formate' content='13500 "
			"ppmw'/></solvent>"
			"<gas id='sour' role='feed' h2s='5 mol%%' co2='3 mol%%'/>"
			"<stream id='rich' service='rich' temperature='95 degC' pressure='4 bara' h2s='0.2' co2='0.2'/>"
			"<stream id='hot-lean' service='lean' h2s='0.002' co2='0.002'/>"
			"<regenerator tag='C-2' feed='rich' lean='hot-lean' bottom-pressure='%s' material='carbon "
			"steel'/>"
			"</unit>",
			basis, pressure));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "MAT-024", "C-2");
}

/* What is hotter with the other reading is judged there too, takes the graver verdict, and the basis is asked for. */
Test(solvent_salts, a_verdict_that_turns_with_the_basis_is_the_graver)
{
	static const struct turn rows[] = {{"", "2.02 bara", VERDICT_DEPARTS, true},
		{"strength-basis='total'", "2.02 bara", VERDICT_MEETS, false},
		{"strength-basis='free'", "2.02 bara", VERDICT_DEPARTS, false}, {"", "1.95 bara", VERDICT_MEETS, false},
		{"", "2.1 bara", VERDICT_DEPARTS, false}};

	expect_turns(bottom_of, rows, COUNT(rows));
	cr_expect(strstr(bottom_of("", "2.02 bara")->message, "this verdict is with strength basis free"));
}

static double h2s_over(const struct solution_input *state, void *unused)
{
	(void)unused;
	return h2s_of(state);
}

static double spread_with(const char *strength)
{
	solvent(arena_format(&arena, "amine='MDEA' strength='%s'", strength), "");
	const struct scene scene = {
		.table = trial.review->table, .item = table_find(trial.review->table, "s"), .operating_case = 0};
	const struct stream_solution lean = solvent_of_stream(&scene, scene.item, true);

	cr_assert(lean.known, "%s", strength);
	return solvent_spread(&lean, h2s_over, NULL) / h2s_of(&lean.state);
}

/* A strength by volume is as uncertain as the same by mass: a tenth of 3.85 mol/L is a tenth of its 45.1 wt%. */
Test(solvent_salts, a_strength_by_volume_is_uncertain_too)
{
	double exact = spread_with("3.85 mol/L +/- 0.0001 mol/L"),
	       by_volume = spread_with("3.85 mol/L +/- 0.385 mol/L"), by_mass = spread_with("45.1 wt% +/- 4.51 wt%");

	cr_expect(by_volume > exact + 0.001, "%.4f, %.4f", by_volume, exact);
	cr_expect_float_eq(by_volume, by_mass, 0.05 * by_mass, "%.4f, %.4f", by_volume, by_mass);
}
