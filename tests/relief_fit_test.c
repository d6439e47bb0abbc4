/*
 * The basis of relief and what fits what: gas through open valves, reverse flow, lists of relief cases; walls, flanges and nozzles. Designs
 * are invented; the source of each figure, or its working by hand, stands beside it.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/blow_by.h"
#include "compute/fit.h"
#include "compute/wall.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(relief_fit, .init = begin, .fini = end);

static void unit(const char *body)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, "%s", body));
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

/* ---- formulas ---- */

/*
 * Example of Megyesy, Pressure Vessel Handbook (inside dimensions), from memory: 100 psi, 17500 psi, E 0.85, radius corroded 48.125 in:
 * 0.325 in. Pipe by hand: 114.3 mm, 68 bar, 137.9 MPa: 6.8 x 114.3 / (2 x (137.9 + 0.4 x 6.8)) is 2.7636 mm.
 */
Test(relief_fit, walls_by_the_formulas_of_the_codes)
{
	static const double PSI = 6894.757, INCH = 0.0254;
	cr_expect_float_eq(wall_of_shell(100 * PSI, 48.125 * INCH, 17500 * PSI * 0.85), 0.325 * INCH, 0.0005 * INCH);
	cr_expect_float_eq(wall_of_pipe(6.8e6, 0.1143, 137.9e6), 2.7636e-3, 1e-7);
	cr_expect(isnan(wall_of_shell(60e6, 0.5, 137.9e6)), "P over 0.385 S E");
	cr_expect(isnan(wall_of_pipe(80e6, 0.1143, 137.9e6)), "thicker than D/6");
}

/*
 * API RP 14E (1991), table 2.1, from memory: what A106 Grade B bears by ASME B31.3 at up to 400 degF (20 000 psi), an eighth of the wall
 * and 0.05 in set aside: 2489 psig of NPS 2 x 0.218 in, 2553 of NPS 3 x 0.300 and 2276 of NPS 4 x 0.337. Such a pipe needs just its wall.
 */
Test(relief_fit, pipes_of_a_published_table)
{
	static const double PSI = 6894.757, INCH = 0.0254;
	static const struct {
		double outside, wall, pressure;
	} rows[] = {{2.375, 0.218, 2489}, {3.5, 0.3, 2553}, {4.5, 0.337, 2276}};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_float_eq(wall_of_pipe(rows[i].pressure * PSI, rows[i].outside * INCH, 20000 * PSI),
			(0.875 * rows[i].wall - 0.05) * INCH, 1e-4 * INCH);
}

/*
 * IEC 60534-2-1, annex of examples, from memory: 3800 m3/h (normal) of CO2, 680 to 310 kPa, 433 K, Z 0.988, k 1.30, xT 0.60: Kv 62.7.
 * Density 680e3 x 0.04401 / (0.988 x 8.314 x 433) = 8.414 kg/m3; 3800 x 44.01 / 22.414 = 7461 kg/h.
 */
Test(relief_fit, gas_through_a_valve_as_the_standard_calculates_it)
{
	double coefficient = 62.7 / 3600 / sqrt(1e5), choked = 1.3 / 1.4 * 0.6;
	cr_expect_float_eq(blow_by_rate(coefficient, 680e3, 310e3, 8.414, choked) * 3600, 7461, 0.005 * 7461);
	cr_expect_float_eq(blow_by_rate(coefficient, 680e3, 100e3, 8.414, choked),
		blow_by_rate(coefficient, 680e3, 200e3, 8.414, choked), 1e-12, "choked");
	cr_expect_eq(blow_by_rate(coefficient, 680e3, 700e3, 8.414, choked), 0);
}

/* ASME B16.5-2017, tables 2-1.1 and 2-2.3, from memory: class 300 at 150 degC, class 150 between 100 and 150 degC. */
Test(relief_fit, ratings_of_flanges)
{
	cr_expect_float_eq(flange_rating(GROUP_1_1, 300, 423.15), 45.1e5, 1);
	cr_expect_float_eq(flange_rating(GROUP_1_1, 150, 398.15), (17.7e5 + 15.8e5) / 2, 1);
	cr_expect_float_eq(flange_rating(GROUP_2_3, 600, 293.15), 82.7e5, 1);
	cr_expect(isnan(flange_rating(GROUP_1_1, 300, 600)));
	cr_expect(isnan(flange_rating(GROUP_1_1, 400, 300)), "not held");
}

Test(relief_fit, a_grade_as_it_is_written)
{
	static const struct {
		const char *written;
		enum wall_form form;
		double stress; /* MPa; 0: not held */
	} rows[] = {{"A106 Gr.B", FORM_PIPE, 137.9}, {"ASTM A106B", FORM_PIPE, 137.9},
		{"SA-106 Grade B", FORM_PIPE, 137.9}, {"API 5L Gr. B", FORM_PIPE, 137.9}, {"API 5L X52", FORM_PIPE, 0},
		{"A312 TP316/316L", FORM_PIPE, 115.1}, {"A312 TP316", FORM_PIPE, 0}, {"A516 Gr.70N", FORM_PLATE, 137.9},
		{"SA516-60", FORM_PLATE, 117.9}, {"SA 516 Gr 60 or 70", FORM_PLATE, 117.9}, {"A516", FORM_PLATE, 0},
		{"A240 316L", FORM_PLATE, 115.1}, {"A516 Gr.70", FORM_PIPE, 0}, {"A335 P5", FORM_PIPE, 0},
		{"A1060 B", FORM_PIPE, 0}, {"B", FORM_PIPE, 0}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct allowable *found = wall_allowable_in(rows[i].written, rows[i].form);
		cr_expect_float_eq(found ? found->stress : 0, rows[i].stress * 1e6, 1, "%s", rows[i].written);
	}
	cr_expect_null(wall_allowable_in(NULL, FORM_PIPE));
	const struct allowable *cold = wall_allowable_in("A312 TP316L", FORM_PIPE);
	cr_expect_eq(wall_allowable_at(cold, 420), cold);
	cr_expect_float_eq(wall_allowable_at(cold, 440)->stress, 108.2e6, 1);
	cr_expect_float_eq(wall_allowable_at(cold, 500)->highest, 477.15, 1e-9, "no hotter is held");
	const struct allowable *carbon = wall_allowable_in("A106 Gr.B", FORM_PIPE);
	cr_expect_eq(wall_allowable_at(carbon, 440), carbon);
}

/* ---- the design of the families ---- */

Test(relief_fit, of_each_matter_one_item_departs_and_another_meets)
{
	static const struct {
		const char *rule, *departs, *meets;
	} rows[] = {{"FIT-001", "C-1-N1", "C-1-N2"}, {"FIT-002", "C-1-N2", "C-1-N1"}, {"FIT-003", "L-4", "L-1"},
		{"FIT-004", "L-4", "L-2"}, {"FIT-005", "D-1", "D-2"}, {"HLP-002", "P-1", "P-2"},
		{"RLF-020", "LV-1", "LV-2"}, {"RLF-021", "LV-3", "LV-2"}, {"RLF-022", "LSLL-1", "LSLL-2"},
		{"RLF-023", "D-1 relief case fire", "D-2 relief case fire"}};
	trial_review_file(&trial, "tests/designs/relief-fit.xml");
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect_eq(verdict(rows[i].rule, rows[i].departs), VERDICT_DEPARTS, "%s", rows[i].rule);
		cr_expect_eq(verdict(rows[i].rule, rows[i].meets), VERDICT_MEETS, "%s", rows[i].rule);
	}
	cr_expect_eq(verdict("FIT-004", "L-5"), VERDICT_NOT_JUDGED, "a grade that is not held");
	cr_expect_eq(verdict("RLF-034", "LV-1"), VERDICT_DEPARTS, "40 of 30 Cv");
	/* 20 Cv each, 61.0 bara, choked: two thirds of 40 x 7.598e-7 sqrt(0.6964 x 61.01e5 x 999.1 rho), rho near 52.7 kg/m3. */
	cr_expect_float_eq(trial_number(&trial, "LV-1", NULL, "blow-by-flow", "kg/h"), 34090, 700);
}

/* ---- blow-by ---- */

static void review_letdown(const char *valves, const char *drum, const char *relief)
{
	unit(arena_format(&trial.arena,
		"<gas id='g' role='feed' flow='9 MMscfd' temperature='30 degC' pressure='60 barg' molar-mass='18 "
		"g/mol'/>"
		"<stream id='r' service='rich' from='C' to='D' flow='20 t/h' temperature='50 degC' pressure='60 barg'/>"
		"<absorber tag='C' gas='g' rich='r' design-pressure='70 barg'>%s</absorber>"
		"<flash-drum tag='D' rich='r' pressure='6 barg' design-pressure='%s'>"
		"<relief-valve tag='PSV' set-pressure='%s' sized-for='gas blow-by' %s/></flash-drum>",
		valves, drum, drum, relief));
}

#define LETDOWN "<valve tag='LV' role='letdown' to='D' upstream-pressure='60 barg' downstream-pressure='6 barg' "

Test(relief_fit, both_valves_count_and_a_bypass_of_unknown_size_leaves_it_open)
{
	static const struct {
		const char *valves, *relief;
		int verdict;
	} rows[] = {
		{LETDOWN "cv='20 Cv'/>", "capacity='20000 kg/h'", VERDICT_MEETS},
		{LETDOWN "cv='20 Cv'/>", "capacity='15000 kg/h'", VERDICT_DEPARTS},
		{LETDOWN "cv='20 Cv'/><valve tag='HV' role='bypass' cv='20 Cv'/>", "capacity='20000 kg/h'",
			VERDICT_DEPARTS},
		{LETDOWN "cv='20 Cv'/><valve tag='HV' role='bypass'/>", "capacity='20000 kg/h'", VERDICT_NOT_JUDGED},
		{LETDOWN "cv='20 Cv'/><valve tag='HV' role='bypass'/>", "capacity='15000 kg/h'", VERDICT_DEPARTS},
		{LETDOWN "/>", "capacity='20000 kg/h'", VERDICT_NOT_JUDGED},
		{LETDOWN "cv='20 Cv'/>", "capacity='30 m3/h'", VERDICT_NOT_JUDGED},
		{LETDOWN "cv='20 Cv'/>", "capacity='1200 kmol/h'", VERDICT_MEETS},
		{LETDOWN "cv='20 Cv'/>", "capacity='800 kmol/h'", VERDICT_DEPARTS},
		{LETDOWN "cv='20 Cv'/>", "", VERDICT_NOT_APPLICABLE},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_letdown(rows[i].valves, "10 barg", rows[i].relief);
		cr_expect_eq(verdict("RLF-020", "LV"), rows[i].verdict, "row %zu", i);
	}
}

Test(relief_fit, a_relief_sized_for_one_valve_is_not_sized_for_two)
{
	static const struct {
		const char *valves;
		int one, together;
	} rows[] = {{LETDOWN "cv='60 Cv' relief-cv='60 Cv'/>", VERDICT_MEETS, VERDICT_NOT_APPLICABLE},
		{LETDOWN "cv='60 Cv' relief-cv='60 Cv'/><valve tag='HV' role='bypass' cv='60 Cv'/>", VERDICT_MEETS,
			VERDICT_DEPARTS},
		{LETDOWN "cv='60 Cv' relief-cv='60 Cv'/><valve tag='HV' role='bypass' cv='40 Cv' relief-cv='60 Cv'/>",
			VERDICT_MEETS, VERDICT_MEETS},
		{LETDOWN "cv='60 Cv' relief-cv='120 Cv'/><valve tag='HV' role='bypass' cv='60 Cv'/>", VERDICT_MEETS,
			VERDICT_MEETS},
		{LETDOWN "cv='60 Cv' relief-cv='60 Cv'/><valve tag='HV' role='bypass'/>", VERDICT_MEETS,
			VERDICT_NOT_JUDGED},
		{LETDOWN "cv='60 Cv' relief-cv='50 Cv'/><valve tag='HV' role='bypass'/>", VERDICT_DEPARTS,
			VERDICT_DEPARTS},
		{LETDOWN "cv='60 Cv'/><valve tag='HV' role='bypass' cv='60 Cv'/>", VERDICT_NOT_APPLICABLE,
			VERDICT_NOT_APPLICABLE}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_letdown(rows[i].valves, "10 barg", "");
		cr_expect_eq(verdict("RLF-003", "LV"), rows[i].one, "row %zu", i);
		cr_expect_eq(verdict("RLF-034", "LV"), rows[i].together, "row %zu", i);
	}
}

Test(relief_fit, a_vessel_that_bears_the_gas_needs_no_relief_for_it)
{
	static const char valve[] = LETDOWN "blow-by-relief='no'/>";
	review_letdown(valve, "10 barg", "");
	cr_expect_eq(verdict("HLP-001", "LV"), VERDICT_DEPARTS);
	review_letdown(valve, "72 barg", "");
	cr_expect_eq(verdict("HLP-001", "LV"), VERDICT_MEETS);
}

/* ---- reverse flow ---- */

/* 70 barg into 3.5 barg, tested at 1.3 of it: 15.4; into 60 barg: 0.9. */
Test(relief_fit, one_check_valve_is_given_no_credit)
{
	static const struct {
		const char *upstream, *pump, *relief;
		int verdict;
	} rows[] = {
		{"design-pressure='3.5 barg'", "check-valves='1'", "", VERDICT_DEPARTS},
		{"design-pressure='60 barg'", "check-valves='1'", "", VERDICT_MEETS},
		{"design-pressure='60 barg'", "check-valves='0'", "", VERDICT_DEPARTS},
		{"", "check-valves='1'", "", VERDICT_NOT_JUDGED},
		{"design-pressure='3.5 barg'", "check-valves='2' dissimilar-check-valves='yes'", "", VERDICT_DEPARTS},
		{"design-pressure='3.5 barg'", "check-valves='2' low-flow-shut-off='yes'", "", VERDICT_DEPARTS},
		{"design-pressure='3.5 barg'", "check-valves='2' dissimilar-check-valves='yes' low-flow-shut-off='yes'",
			"", VERDICT_MEETS},
		{"", "check-valves='2' dissimilar-check-valves='yes' low-flow-shut-off='yes'", "", VERDICT_MEETS},
		{"design-pressure='3.5 barg'", "check-valves='1'", "<relief-case name='reverse flow' covered='yes'/>",
			VERDICT_MEETS},
		{"design-pressure='3.5 barg'", "check-valves='1'", "<relief-case name='reverse flow' covered='no'/>",
			VERDICT_DEPARTS},
		{"design-pressure='3.5 barg'", "", "", VERDICT_NOT_JUDGED},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<stream id='l' service='lean' from='V' to='P' flow='19 t/h' temperature='45 degC' pressure='1 "
			"barg'/>"
			"<stream id='m' service='lean' from='P' to='C' flow='19 t/h' temperature='45 degC' "
			"pressure='62 barg'/>"
			"<absorber tag='C' lean='m' design-pressure='70 barg'/><vessel tag='V' service='lean' "
			"%s>%s</vessel>"
			"<pump tag='P' service='lean' suction='l' discharge='m' %s/>",
			rows[i].upstream, rows[i].relief, rows[i].pump));
		cr_expect_eq(verdict("HLP-002", "P"), rows[i].verdict, "row %zu", i);
	}
}

/* ---- relief cases ---- */

Test(relief_fit, cases_are_asked_in_one_question_and_only_where_relief_is_spoken_of)
{
	unit("<flash-drum tag='D'/><regenerator tag='R'/>");
	cr_expect_eq(verdict("RLF-024", "unit"), VERDICT_NOT_APPLICABLE);
	unit("<flash-drum tag='D'><relief-case name='fire' covered='yes'/></flash-drum>");
	cr_expect_eq(trial_value(&trial, "unit", NULL, "relief-cases-listed")->known, UNKNOWN);
	cr_expect_not_null(
		strstr(trial_value(&trial, "unit", NULL, "relief-cases-listed")->reason, "blocked outlet of D"));
	unit("<flash-drum tag='D'><relief-case name='fire' covered='yes'/><relief-case name='blocked "
	     "outlet'/></flash-drum>");
	cr_expect_str_eq(trial_value(&trial, "unit", NULL, "relief-cases-listed")->word, "yes");
	unit("<flash-drum tag='D'><relief-valve tag='A' sized-for='fire'><relief-case name='blocked "
	     "outlet'/></relief-valve>"
	     "</flash-drum><cooler tag='E' service='lean'><isolation tag='B' by='manual valve'/></cooler>");
	cr_expect_not_null(
		strstr(trial_value(&trial, "unit", NULL, "relief-cases-listed")->reason, "thermal expansion of E"));
}

/* ---- walls ---- */

/* D 1.6 m, 10 barg, A516-60, c 3 mm: 1 x 803 / (117.9 E - 0.6) is 6.85 mm at E 1 and 9.80 mm at E 0.7. */
Test(relief_fit, what_is_not_stated_of_a_shell_is_taken_both_ways)
{
	static const struct {
		const char *drum;
		int verdict;
	} rows[] = {
		{"thickness='13 mm' corrosion-allowance='3 mm' year-built='2020'", VERDICT_MEETS},
		{"thickness='12 mm' corrosion-allowance='3 mm' year-built='2020'", VERDICT_NOT_JUDGED},
		{"thickness='12 mm' corrosion-allowance='3 mm' year-built='2020' joint-efficiency='1'", VERDICT_MEETS},
		{"thickness='12 mm' corrosion-allowance='3 mm' year-built='2020' joint-efficiency='0.7'",
			VERDICT_DEPARTS},
		{"thickness='9.5 mm' corrosion-allowance='3 mm' year-built='2020'", VERDICT_DEPARTS},
		{"thickness='10.5 mm' corrosion-allowance='3 mm' year-built='1980' joint-efficiency='1'",
			VERDICT_DEPARTS},
		{"thickness='10.5 mm' corrosion-allowance='3 mm' joint-efficiency='1'", VERDICT_MEETS}, /* a new unit */
		{"thickness='13 mm' year-built='2020'", VERDICT_NOT_JUDGED},
		{"thickness='6 mm' year-built='2020'", VERDICT_DEPARTS},
		{"thickness='13 mm' corrosion-allowance='3 mm' year-built='2020' cladding='316L'", VERDICT_NOT_JUDGED},
		{"thickness='13 mm' corrosion-allowance='3 mm' year-built='2020' construction-code='EN 13445'",
			VERDICT_NOT_JUDGED},
		{"thickness='13 mm' corrosion-allowance='3 mm' cladding='316L' required-thickness='9 mm'",
			VERDICT_MEETS},
		{"corrosion-allowance='3 mm' year-built='2020'", VERDICT_NOT_APPLICABLE},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<flash-drum tag='D' diameter='1.6 m' grade='A516 Gr.60' design-pressure='10 barg' "
			"design-temperature='110 degC' %s/>",
			rows[i].drum));
		cr_expect_eq(verdict("FIT-005", "D"), rows[i].verdict, "row %zu", i);
	}
	unit("<flash-drum tag='D' diameter='1.6 m' grade='A516 Gr.60' design-pressure='10 barg' thickness='13 mm' "
	     "corrosion-allowance='3 mm' year-built='2020' design-temperature='300 degC'/>");
	cr_expect_eq(verdict("FIT-005", "D"), VERDICT_NOT_JUDGED, "hotter than is held");
}

/* ---- jets ---- */

/* 100 t/h of 1000 kg/m3: by NPS 4 over 744 kg/(m s2) in the thinnest schedule, by NPS 10 under it in the thickest. */
Test(relief_fit, a_jet_is_judged_whatever_the_schedule)
{
	static const struct {
		const char *nozzle;
		int verdict;
	} rows[] = {{"size='NPS 4'", VERDICT_DEPARTS}, {"size='NPS 10'", VERDICT_MEETS},
		{"size='NPS 8'", VERDICT_NOT_JUDGED}, {"size='NPS 8' schedule='40'", VERDICT_MEETS},
		{"", VERDICT_NOT_JUDGED}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<stream id='l' service='lean' flow='100 t/h' temperature='60 degC' density='1000 kg/m3'/>"
			"<exchanger tag='E' service='lean/rich'><shell-side inlet='l' impingement-plate='no'>"
			"<nozzle tag='N' stream='l' %s/></shell-side></exchanger>",
			rows[i].nozzle));
		cr_expect_eq(verdict("VEL-016", "E shell side"), rows[i].verdict, "row %zu", i);
	}
}
