/*
 * Loads of relief cases, and what a fire wets. Designs are invented; the source of each figure, or its working by hand, stands beside it.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "compute/relief_load.h"
#include "compute/vessel.h"
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

TestSuite(relief_load, .init = begin, .fini = end);

static void unit(const char *body)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, "%s", body));
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

/* ---- geometry ---- */

/*
 * Heads: a hemisphere has pi D^2/2, a 2:1 ellipsoid 1.084 D^2 (as tables of vessel heads give it, from memory), a flat one pi D^2/4. Half
 * full a horizontal vessel wets half of everything.
 */
Test(relief_load, surface_that_a_level_wets)
{
	const double pi = acos(-1);
	struct vessel drum = {.vertical = false, .heads = HEADS_ELLIPTICAL, .diameter = 2, .length = 6};
	cr_expect_float_eq(vessel_wetted(&drum, 1), pi * 6 + 1.084 * 4, 1e-3);
	cr_expect_float_eq(vessel_wetted(&drum, 2), 2 * vessel_wetted(&drum, 1), 1e-9, "full");
	cr_expect_float_eq(vessel_wetted(&drum, 0), 0, 1e-9);
	struct vessel column = {.vertical = true, .heads = HEADS_HEMISPHERICAL, .diameter = 2, .length = 10};
	cr_expect_float_eq(vessel_wetted(&column, 3), pi * 2 * 3 + pi * 2, 1e-9);
	column.heads = HEADS_FLAT;
	cr_expect_float_eq(vessel_wetted(&column, 3), pi * 2 * 3 + pi, 1e-9);
}

/* ---- fire ---- */

/*
 * API Std 521, from memory: 43.2 A^0.82 kW, m2, and 21 000 A^0.82 Btu/h, ft2, are one formula: 50 m2 are 538.2 ft2 and take
 * 21 000 x 538.2^0.82 = 3.644e6 Btu/h, 1068 kW.
 */
Test(relief_load, heat_of_a_fire_in_both_systems_of_units)
{
	const double btu_per_hour = 0.29307107, square_foot = 0.09290304;
	double other = 21000 * pow(50 / square_foot, 0.82) * btu_per_hour;
	cr_expect_float_eq(relief_load_fire(50), other, 0.002 * other);
	cr_expect_float_eq(relief_load_fire(50), 1068e3, 1e3);
}

static const char drum[] =
	"<flash-drum tag='D' diameter='2 m' length='6 m' heads='2:1 elliptical' orientation='horizontal' %s "
	"design-pressure='7 barg'><relief-valve tag='PSV' set-pressure='7 barg' sized-for='fire' "
	"%s/></flash-drum>";

/* 23.19 m2, 43.2 x 23.19^0.82 = 569 kW; water boils at 9.48 bara with 2023 kJ/kg: 1012 kg/h, of which the screening leaves 15 % open: 860. */
Test(relief_load, a_fire_at_a_drum)
{
	static const struct {
		const char *drum, *relief;
		int verdict;
	} rows[] = {{"level='1 m'", "required='850 kg/h'", VERDICT_DEPARTS},
		{"level='1 m'", "required='1150 kg/h'", VERDICT_MEETS},
		{"level='1 m'", "required='880 kg/h'", VERDICT_MEETS},
		{"level='50 %'", "required='850 kg/h'", VERDICT_DEPARTS},
		{"level='1 m'", "capacity='1150 kg/h'", VERDICT_MEETS},
		{"level='1 m'", "capacity='850 kg/h'", VERDICT_DEPARTS},
		{"level='1 m'", "capacity='5000 kg/h' required='850 kg/h'", VERDICT_DEPARTS},
		{"level='1 m'", "required='40 kmol/h'", VERDICT_NOT_JUDGED},
		{"level='1 m'", "", VERDICT_NOT_APPLICABLE}, {"", "required='850 kg/h'", VERDICT_NOT_APPLICABLE}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena, drum, rows[i].drum, rows[i].relief));
		cr_expect_eq(verdict("RLF-032", "PSV"), rows[i].verdict, "row %zu", i);
	}
	unit(arena_format(&trial.arena, drum, "level='1 m'", "required='900 kg/h'"));
	cr_expect_float_eq(trial_number(&trial, "D", NULL, "fire-load", "kg/h"), 1012, 3);
}

/* What stands higher than 7.6 m over grade is not wetted by the fire. */
Test(relief_load, a_fire_reaches_no_higher_than_it_burns)
{
	static const char tall[] =
		"<vessel tag='V' diameter='2 m' length='12 m' orientation='vertical' heads='flat' level='%s' "
		"design-pressure='7 barg'/>";
	unit(arena_format(&trial.arena, tall, "7.6 m"));
	double to_there = trial_number(&trial, "V", NULL, "fire-load", "kg/h");
	unit(arena_format(&trial.arena, tall, "11 m"));
	cr_expect_float_eq(trial_number(&trial, "V", NULL, "fire-load", "kg/h"), to_there, 1e-6);
	unit(arena_format(&trial.arena, tall, "5 m"));
	cr_expect_lt(trial_number(&trial, "V", NULL, "fire-load", "kg/h"), to_there);
}

/* ---- the regenerator ---- */

/* 9 MW at 121 degC with 2199 kJ/kg are 14.73 t/h; 100 kmol/h of acid gas and 1.5 of water: 3408 + 150 x 18.015 = 6110 kg/h. */
Test(relief_load, a_regenerator_without_cooling_or_reflux)
{
	static const struct {
		const char *relief;
		double required;
		int operation, reboiler;
	} rows[] = {{"cooling failure", 4, VERDICT_DEPARTS, VERDICT_NOT_APPLICABLE},
		{"cooling failure", 9, VERDICT_MEETS, VERDICT_DEPARTS},
		{"reflux failure", 16, VERDICT_MEETS, VERDICT_MEETS},
		{"reflux failure", 4, VERDICT_DEPARTS, VERDICT_NOT_APPLICABLE},
		{"blocked outlet", 4, VERDICT_NOT_APPLICABLE, VERDICT_NOT_APPLICABLE}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<stream id='r' service='rich' to='C' flow='80 t/h' temperature='95 degC' h2s='0.2' co2='0.2'/>"
			"<stream id='l' service='lean' from='C' flow='76 t/h' temperature='121 degC' h2s='0.002' "
			"co2='0.003'/>"
			"<regenerator tag='C' feed='r' lean='l' bottom-temperature='121 degC' reflux-ratio='1.5' "
			"design-pressure='3.5 barg'><relief-case name='%s' required='%g t/h'/></regenerator>"
			"<reboiler tag='E' regenerator='C' type='kettle' duty='9 MW'/>",
			rows[i].relief, rows[i].required));
		const char *item = arena_format(&trial.arena, "C relief case %s", rows[i].relief);
		cr_expect_eq(verdict("RLF-030", item), rows[i].operation, "row %zu", i);
		cr_expect_eq(verdict("RLF-031", item), rows[i].reboiler, "row %zu", i);
	}
	double gas = trial_number(&trial, "C", NULL, "acid-gas-stripped", "kmol/h");
	cr_expect_float_eq(trial_number(&trial, "C", NULL, "overhead-vapour", "kg/h"), gas * (34.08 + 1.5 * 18.015), 1);
	cr_expect_float_eq(trial_number(&trial, "C", NULL, "reboiler-vapour", "kg/h"), 14730, 30);
}

/* Two reboilers raise what both raise; one of unknown duty leaves the sum unknown, and nobody is asked. */
Test(relief_load, all_reboilers_count)
{
	static const char two[] =
		"<stream id='l' service='lean' from='C' flow='76 t/h' temperature='121 degC'/>"
		"<regenerator tag='C' lean='l' bottom-temperature='121 degC' design-pressure='3.5 barg'>"
		"<relief-case name='cooling failure' required='16 t/h'/></regenerator>"
		"<reboiler tag='E' regenerator='C' duty='9 MW'/><reboiler tag='F' regenerator='C' %s/>";
	unit(arena_format(&trial.arena, two, "duty='9 MW'"));
	cr_expect_eq(verdict("RLF-031", "C relief case cooling failure"), VERDICT_DEPARTS);
	unit(arena_format(&trial.arena, two, ""));
	cr_expect_eq(verdict("RLF-031", "C relief case cooling failure"), VERDICT_NOT_APPLICABLE);
	cr_expect_eq(verdict("RLF-030", "C relief case cooling failure"), VERDICT_NOT_APPLICABLE);
}

/* ---- the design ---- */

Test(relief_load, of_each_matter_one_item_departs_and_another_meets)
{
	static const struct {
		const char *rule, *departs, *meets;
	} rows[] = {{"RLF-030", "PSV-2", "PSV-3"}, {"RLF-031", "PSV-2 relief case reflux failure", "PSV-3"},
		{"RLF-032", "PSV-4", "PSV-5"}, {"RLF-033", "PSV-7", "PSV-6"},
		{"MAT-060", "P-1 seal O-rings", "P-2 seal O-rings"}, {"MAT-061", "FV-3", "FV-4"},
		{"MAT-064", "FV-3", "FV-4"}, {"MAT-062", "D-1 gasket manway", "D-2 gasket manway"},
		{"MAT-063", "TK-1", "TK-2"}};
	trial_review_file(&trial, "tests/designs/relief-loads.xml");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect_eq(verdict(rows[i].rule, rows[i].departs), VERDICT_DEPARTS, "%s", rows[i].rule);
		cr_expect_eq(verdict(rows[i].rule, rows[i].meets), VERDICT_MEETS, "%s", rows[i].rule);
	}
}
