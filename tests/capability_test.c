/*
 * What equipment can do beside what it needs to: flooding, suction head, letdown valves, rated duties, gas loads. The
 * source of each figure, or its working by hand, stands beside it; designs are invented.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/gas_load.h"
#include "compute/letdown.h"
#include "compute/overhead.h"
#include "compute/suction.h"
#include "compute/tower.h"
#include "pipeline/stages.h"
#include "revamp/headroom.h"
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

TestSuite(capability, .init = begin, .fini = end);

static const double INCH = 0.0254, FOOT = 0.3048, POUND_PER_FT3 = 16.018463;

static void unit(const char *body)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, "%s", body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

/* ---- columns ---- */

/*
 * Seader, Henley and Roper, Separation Process Principles, 3rd edition 2011, sieve-tray tower of the ethanol absorber
 * (chapter 6), from memory: spacing 24 in, F_LV 0.0167, surface tension 70 mN/m, densities 0.116 and 61.6 lb/ft3:
 * capacity factor 0.39 ft/s read off Fair's chart, 0.50 with the surface tension; flooding velocity 11.5 ft/s before
 * the foaming factor of 0.9, 10.2 with it. A chart is read, and fitted, to some 10 %.
 */
Test(capability, flooding_of_trays_by_fairs_chart)
{
	double velocity = tower_tray_flooding(24 * INCH, 0.0167, 0.070, 0.116 * POUND_PER_FT3, 61.6 * POUND_PER_FT3);
	cr_expect_float_eq(velocity, 11.5 * FOOT, 0.1 * 11.5 * FOOT, "%g ft/s", velocity / FOOT);
	/* The fit of Lygeros and Magoulas itself, by hand: 610 mm, F 0.1: 0.0105 + 8.127e-4 x 126.8 x exp(-1.463 x 0.1439) is 0.0940 m/s. */
	cr_expect_float_eq(tower_tray_flooding(0.610, 0.1, 0.02, 10, 20), 0.0940, 2e-4);
	/* More liquid, closer trays, denser gas: less. */
	cr_expect_lt(tower_tray_flooding(0.61, 0.5, 0.05, 10, 1000), tower_tray_flooding(0.61, 0.1, 0.05, 10, 1000));
	cr_expect_lt(tower_tray_flooding(0.45, 0.1, 0.05, 10, 1000), tower_tray_flooding(0.61, 0.1, 0.05, 10, 1000));
}

/*
 * The same book, the packed ammonia absorber (example 6.13), from memory: 1 in ceramic Raschig rings, packing factor
 * 179 ft2/ft3, 1140 lb/h of gas of 0.0738 lb/ft3 and 3030 lb/h of water: F_LV 0.0913, flooding velocity some 4.5 ft/s
 * from the chart; with metal rings of 41 ft2/ft3 it is (179/41)^0.5 as much.
 */
Test(capability, flooding_of_packing_by_levas_chart)
{
	double gas = 0.0738 * POUND_PER_FT3, water = 62.4 * POUND_PER_FT3;
	double parameter = tower_flow_parameter(3030, 1140, gas, water);
	cr_expect_float_eq(parameter, 0.0914, 2e-4);
	double rings = tower_packing_flooding(179 / FOOT, parameter, 1.0e-3, gas, water);
	cr_expect_float_eq(rings, 4.5 * FOOT, 0.1 * 4.5 * FOOT, "%g ft/s", rings / FOOT);
	cr_expect_float_eq(
		tower_packing_flooding(41 / FOOT, parameter, 1.0e-3, gas, water) / rings, sqrt(179.0 / 41), 1e-9);
	cr_expect(isnan(tower_packing_flooding(179 / FOOT, 20, 1.0e-3, gas, water)), "outside the chart");
}

static const char tower[] =
	"<gas id='G' role='feed' flow='40 MMscfd' temperature='35 degC' pressure='60 barg' h2s='1 mol%%' co2='2 mol%%' "
	"molar-mass='18.6 g/mol'/>"
	"<stream id='rich' service='rich' flow='40 t/h' temperature='55 degC' pressure='60 barg' h2s='0.2' co2='0.2'/>"
	"<absorber tag='C' gas='G' rich='rich' contact='trays' tray-spacing='%s' diameter='%s' %s/>";

/* By hand: 40 MMscfd is 1993 kmol/h, 37.1 t/h; near 50 kg/m3 some 0.2 m3/s. */
Test(capability, a_column_that_can_be_screened_is_and_what_its_maker_states_goes_first)
{
	unit(arena_format(&trial.arena, tower, "610 mm", "1.6 m", ""));
	double wide = trial_si(&trial, "C", "flooding-screened");
	cr_expect(wide > 0.2 && wide < 0.7, "%g", wide);
	cr_expect_eq(verdict("CAP-005", "C"), VERDICT_MEETS);
	unit(arena_format(&trial.arena, tower, "610 mm", "0.8 m", ""));
	cr_expect_float_eq(trial_si(&trial, "C", "flooding-screened"), 4 * wide, 1e-9);
	cr_expect_eq(verdict("CAP-006", "C"), VERDICT_DEPARTS);
	unit(arena_format(&trial.arena, tower, "610 mm", "0.8 m", "flooding='72 %'"));
	cr_expect_float_eq(trial_si(&trial, "C", "flooding-judged"), 0.72, 1e-12);
	cr_expect_eq(verdict("CAP-006", "C"), VERDICT_MEETS);
	unit(arena_format(&trial.arena, tower, "610 mm", "0.8 m", "installed='2' in-use='2'"));
	cr_expect_eq(verdict("CAP-006", "C"), VERDICT_NOT_APPLICABLE, "what each of two takes is not known");
}

/* ---- suction head ---- */

/*
 * GPSA Engineering Data Book, section 12, the pump that draws a liquid at its bubble point from a vessel, in its form
 * and from memory: only height less friction is left. 3.05 m (10 ft) above the pump and 0.61 m of friction: 2.44 m,
 * whatever the pressure. Open tank by hand: (101325 - 7384) / (992.2 x 9.80665) + 2 - 0.5 of water at 40 degC is 11.155
 * m (IAPWS-IF97: 7384 Pa, 992.2 kg/m3).
 */
Test(capability, suction_head_of_a_boiling_and_of_a_cold_liquid)
{
	cr_expect_float_eq(suction_head_available(5e5, 5e5, 800, 3.05, 0.61), 2.44, 1e-12);
	cr_expect_float_eq(suction_head_available(101325, 7384, 992.2, 2, 0.5), 11.155, 1e-3);
}

static const char booster[] =
	"<stream id='lean' service='lean' from='C' flow='60 t/h' temperature='122 degC' pressure='0.95 barg' "
	"h2s='0.005' co2='0.003'/>"
	"<regenerator tag='C' lean='lean' bottom-pressure='0.95 barg' bottom-temperature='122 degC'/>"
	"<pump tag='P' service='lean booster' suction='lean' %s/>";

Test(capability, what_boils_in_its_vessel_has_only_its_height)
{
	unit(arena_format(&trial.arena, booster, "static-head='5 m' suction-loss='0.8 m' npsh-required='3 m'"));
	cr_expect_float_eq(trial_si(&trial, "P", "npsh-available"), 4.2, 1e-12);
	cr_expect_eq(verdict("PMP-002", "P"), VERDICT_MEETS);
	cr_expect_eq(verdict("CAP-003", "P"), VERDICT_MEETS);
	unit(arena_format(&trial.arena, booster, "static-head='5 m' suction-loss='1.5 m' npsh-required='3 m'"));
	cr_expect_eq(verdict("PMP-002", "P"), VERDICT_MEETS);
	cr_expect_eq(verdict("CAP-003", "P"), VERDICT_DEPARTS, "0.5 m to spare");
	/* Ten metres counted from the pressure of the vessel are not there. */
	unit(arena_format(&trial.arena, booster,
		"static-head='5 m' suction-loss='2.5 m' npsh-required='3 m' npsh-available='12 m'"));
	cr_expect_eq(verdict("PMP-002", "P"), VERDICT_MEETS);
	cr_expect_eq(verdict("CAP-004", "P"), VERDICT_DEPARTS);
	/* Friction unknown: at most the height, which is too little already, or says nothing. */
	unit(arena_format(&trial.arena, booster, "static-head='2.5 m' npsh-required='3 m'"));
	cr_expect_eq(verdict("PMP-002", "P"), VERDICT_DEPARTS);
	unit(arena_format(&trial.arena, booster, "static-head='5 m' npsh-required='3 m'"));
	cr_expect_eq(verdict("PMP-002", "P"), VERDICT_NOT_JUDGED);
}

/* ---- valves, condensers, drums ---- */

/*
 * Water at 80 degC, 6.8 bar, bubble pressure 0.4737 bar, F_L 0.9: 0.81 x (6.8 - (0.96 - 0.28 x (0.4737/220.64)^0.5) x 0.4737) is
 * 5.145 bar, by hand.
 */
Test(capability, flashing_caps_the_drop_that_drives_a_valve)
{
	cr_expect_float_eq(letdown_choked_drop(6.8e5, 0.4737e5), 5.145e5, 100);
	cr_expect(isnan(letdown_choked_drop(5e5, 6e5)));
}

Test(capability, a_letdown_valve_with_what_flashes_in_it)
{
	static const char body[] = "<stream id='rich' service='rich' from='C' flow='60 m3/h' temperature='60 degC' "
				   "pressure='%s' h2s='%s' co2='%s'/>"
				   "<absorber tag='C' rich='rich'><valve tag='LV' role='letdown' "
				   "upstream-pressure='%s' downstream-pressure='1.2 barg' cv='%s'/></absorber>";
	/* Hardly loaded it flashes late: 60 m3/h over 18.8 bar is 13.9 Kv, 16 Cv. */
	unit(arena_format(&trial.arena, body, "20 barg", "0.1", "0.05", "20 barg", "30 Cv"));
	double light = trial_si(&trial, "LV", "cv-needed-flashing");
	cr_expect_float_eq(light / 7.598054e-7, 17.8, 0.8, "%g Cv", light / 7.598054e-7);
	cr_expect_eq(verdict("CAP-007", "LV"), VERDICT_MEETS);
	unit(arena_format(&trial.arena, body, "20 barg", "0.4", "0.35", "20 barg", "19 Cv"));
	cr_expect_gt(trial_si(&trial, "LV", "cv-needed-flashing"), 1.02 * light);
	cr_expect_eq(verdict("CAP-007", "LV"), VERDICT_DEPARTS);
}

/*
 * Steam tables (IAPWS-IF97): 100 mol/s of water condensed from 100 to 45 degC give 4.488 MW: 2675.6 kJ/kg less 188.4,
 * times 18.015 g/mol. The acid gas, 50 mol/s of H2S at 34.6 J/(mol K), adds 0.095 MW, by hand (heat capacity at 345 K
 * from memory).
 */
Test(capability, a_condenser_by_steam_tables)
{
	double duty = overhead_condensing_duty(50, 1, 2, 0, 373.15, 318.15);
	cr_expect_float_eq(duty, 4.481e6 + 0.095e6, 0.01e6, "%g MW", duty / 1e6);
}

Test(capability, a_rating_is_held_against_every_case)
{
	static const char body[] =
		"<stream id='w' service='lean' to='E' flow='%s' temperature='80 degC' h2s='0.005' co2='0.003'/>"
		"<stream id='c' service='lean' from='E' flow='%s' temperature='45 degC' h2s='0.005' co2='0.003'/>"
		"<cooler tag='E' service='lean' cooling-medium='air' rated-duty='2.2 MW'/>";
	/* 57 t/h x 3.6 kJ/(kg K) x 35 K is 2.0 MW. */
	unit(arena_format(&trial.arena, body, "57 t/h", "57 t/h"));
	cr_expect_float_eq(trial_si(&trial, "E", "duty-over-rated"), 2.0 / 2.2, 0.05);
	cr_expect_eq(verdict("CAP-001", "E"), VERDICT_MEETS);
	unit(arena_format(&trial.arena, body, "80 t/h", "80 t/h"));
	cr_expect_eq(verdict("CAP-001", "E"), VERDICT_DEPARTS);
}

/* NORSOK P-002, from memory: 175 x 50^-0.43 is 32.6 m/s; light gas 60. K by hand: 2 m/s x (50 / 950)^0.5. */
Test(capability, gas_in_lines_and_drums)
{
	cr_expect_float_eq(gas_load_velocity(50), 32.55, 0.01);
	cr_expect_float_eq(gas_load_velocity(1), 60, 1e-12);
	cr_expect_float_eq(gas_load_factor(2, 50), 0.4588, 1e-4);
}

/* ---- a case that a data sheet leaves out ---- */

Test(capability, a_sheet_that_lists_cases_lists_all_of_them)
{
	static const char design[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis><case id='n'/><case id='s'/><case id='w'/>"
		"<case id='steam-out' upset='yes'/></basis><solvent amine='MDEA' strength='45 wt%%'/>"
		"<stream id='a' service='lean' flow='50 t/h' temperature='60 degC'><in case='s' flow='60 t/h'/>%s"
		"<in case='steam-out' flow='1 t/h'/></stream>"
		"<pump tag='P' service='lean' stream='a' flow='50 m3/h'>%s</pump></unit>";
	static const struct {
		const char *stream, *pump;
		int verdict;
	} rows[] = {
		{"<in case='w' flow='70 t/h'/>", "<in case='s' flow='60 m3/h'/>", VERDICT_DEPARTS},
		{"<in case='w' flow='70 t/h'/>", "<in case='s' flow='60 m3/h'/><in case='w' flow='70 m3/h'/>",
			VERDICT_MEETS},
		{"<in case='w' temperature='65 degC'/>", "<in case='s' flow='60 m3/h'/>", VERDICT_MEETS},
		{"<in case='w' flow='70 t/h'/>", "", VERDICT_NOT_APPLICABLE},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, design, rows[i].stream, rows[i].pump));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_eq(verdict("CAP-013", "P"), rows[i].verdict, "row %zu", i);
	}
}

/* ---- headroom ---- */

static double reached(const struct headroom *headroom, const char *rule, const char *item)
{
	for (size_t i = 0; i < headroom->limit_count; i++)
		if (strcmp(headroom->limits[i].track->rule->id, rule) == 0 &&
			strcmp(headroom->limits[i].track->item, item) == 0 && headroom->limits[i].has_factor)
			return headroom->limits[i].factor;
	return (double)NAN;
}

/* The duty of a cooler goes with the flow, friction with its square: 5 m - 0.8 m x f^2 - 3 m is 0.9 m at f = (1.1 / 0.8)^0.5. */
Test(capability, headroom_names_the_rating_that_is_reached)
{
	static const char body[] =
		"<stream id='w' service='lean' from='C' to='E' flow='57 t/h' temperature='80 degC' h2s='0.005' "
		"co2='0.003'/>"
		"<stream id='c' service='lean' from='E' flow='57 t/h' temperature='45 degC' h2s='0.005' co2='0.003'/>"
		"<regenerator tag='C' lean='w' bottom-pressure='0.95 barg'/>"
		"<cooler tag='E' service='lean' cooling-medium='air' rated-duty='2.4 MW'/>"
		"<pump tag='P' service='lean' suction='w' static-head='5 m' suction-loss='0.8 m' npsh-required='3 m'/>";
	const char *design = arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis><case id='n'/></basis><solvent amine='MDEA' "
		"strength='45 "
		"wt%%'/>%s</unit>",
		body);
	const struct element *unit =
		element_parse(&trial.arena, "test.xml", design, strlen(design), trial.vocabulary, &trial.problems);
	const struct table *table = stages_table(&trial.arena, unit, true, &trial.problems);
	cr_assert_not_null(table, "%s", trial_messages(&trial));
	struct headroom headroom = headroom_of(&trial.arena, unit, table, trial.catalogue, DRIVER_CIRCULATION, false);
	const struct quantity *used = table_get(table, table_find(table, "E"), 0, "duty-over-rated");
	cr_expect_float_eq(reached(&headroom, "CAP-001", "E"), 1 / used->si, 1e-5);
	cr_expect_float_eq(reached(&headroom, "CAP-003", "P"), sqrt(1.1 / 0.8), 1e-5);
}
