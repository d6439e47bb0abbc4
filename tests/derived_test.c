/*
 * What follows from a description is calculated before it is asked for, and beside what is stated. Each against a calculation by
 * hand; steam-table values are those of IAPWS-IF97 as tabulated by Wagner and Kretzschmar, International Steam Tables, 2008.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "compute/grade.h"
#include "compute/outlets.h"
#include "compute/overhead.h"
#include "compute/pump.h"
#include "compute/steam.h"
#include "compute/surface.h"
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

TestSuite(derived, .init = begin, .fini = end);

static double number(const char *item, const char *name, const char *unit)
{
	return trial_number(&trial, item, NULL, name, unit);
}

static enum verdict verdict(const char *rule, const char *item)
{
	const struct finding *finding = trial_finding(&trial, rule, item);
	cr_assert_not_null(finding, "%s on %s", rule, item);
	return finding->verdict;
}

#define NEAR(value, expected, share)                                                                                   \
	cr_expect(fabs((value) - (double)(expected)) <= fabs((double)(expected)) * (share), "%g, expected %g",         \
		(double)(value), (double)(expected))

/* ---- by hand ---- */

Test(derived, liquid_in_a_vessel)
{
	struct vessel lying = {.heads = HEADS_ELLIPTICAL, .diameter = 2, .length = 6};
	/* Half: (pi/4 2^2 6 + 2 pi 2^3/24) / 2 = (18.8496 + 2.0944) / 2. */
	NEAR(vessel_liquid(&lying, 1), 10.4720, 1e-5);
	/* A quarter up: 6 (acos 0.5 - 0.5 x 0.866025) = 3.68511; heads 2.0944 (3/16 - 2/64) = 0.32725. */
	NEAR(vessel_liquid(&lying, 0.5), 4.01236, 1e-5);
	NEAR(vessel_liquid(&lying, 2), 20.9440, 1e-5);
	NEAR(vessel_liquid(&lying, 3), 20.9440, 1e-5);
	cr_expect_float_eq(vessel_liquid(&lying, 0), 0, 1e-12);
	/* A sphere of 2 m cut at 0.5 m: pi h^2 (3 R - h) / 3 = 0.65450. */
	struct vessel sphere = {.heads = HEADS_HEMISPHERICAL, .diameter = 2, .length = 1e-9};
	NEAR(vessel_liquid(&sphere, 0.5), 0.65450, 1e-4);
	struct vessel standing = {.vertical = true, .heads = HEADS_HEMISPHERICAL, .diameter = 1, .length = 2};
	NEAR(vessel_liquid(&standing, 1), 1.04720, 1e-5); /* pi/4 + pi/12 */
	standing.heads = HEADS_TORISPHERICAL;
	NEAR(vessel_liquid(&standing, 1), 0.785398 + 0.0809, 1e-4); /* 0.0809 D^3, from memory of vessel handbooks */
	standing.heads = HEADS_FLAT;
	NEAR(vessel_liquid(&standing, 1), 0.785398, 1e-5);
	cr_expect_float_eq(vessel_height(&standing), 2, 1e-12);
	cr_expect_float_eq(vessel_height(&lying), 2, 1e-12);
}

Test(derived, surface_of_tubes)
{
	NEAR(surface_of_tubes(172, 1, 0.01905, 4.9, 2), 100.88, 1e-4); /* 172 pi 0.01905 4.9 2 */
	NEAR(surface_of_tubes(60, 2, 0.0254, 3, 1), 28.727, 1e-4);
}

Test(derived, shut_off_pressure)
{
	NEAR(pump_shut_off(3e5, 2e5, 65e5), 81.75e5, 1e-9); /* 3 + 1.25 (65 - 2) bar */
}

Test(derived, heat_of_steam)
{
	NEAR(steam_heat(4.5e5, (double)NAN), 2120.2e3, 1e-3); /* saturated at 4.5 bar */
	NEAR(steam_heat(4.5e5, 400), 2120.2e3, 1e-3);	      /* below saturation: taken as saturated */
	/* 200 degC at 4.5 bar: h = 2858.3 kJ/kg, saturated 2743.4: 114.9 more. */
	NEAR(steam_heat(4.5e5, 473.15), 2235.1e3, 2e-3);
}

Test(derived, reflux_ratio_three_ways)
{
	/* p_s(45 degC) = 9.595 kPa; over 160 kPa c = 9.595/150.405 = 0.06379. */
	double carried = overhead_carried(318.15, 160e3);
	NEAR(carried, 0.06379, 2e-4);
	NEAR(overhead_ratio_by_water(0.55, carried), 1.15843, 1e-4); /* 0.55/0.45 - c */
	/* p_s(100 degC) = 101.42 kPa under 176.3 kPa: 101.42/74.88 = 1.35443. */
	NEAR(overhead_ratio_by_dew_point(373.15, 176.3e3, carried), 1.29064, 1e-3);
	NEAR(overhead_ratio_by_flow(0.3603, 10), 2.0, 1e-4); /* 0.3603 kg/s over 18.015 g/mol and 10 mol/s */
	cr_expect(isnan(overhead_ratio_by_dew_point(393.15, 150e3, carried)), "boils: no acid gas is left");
}

Test(derived, condensing_duty)
{
	/*
	 * 10 mol/s acid gas, R = 2, c = 0.0638, from 100 to 45 degC. Steam 2675.6 kJ/kg, water at 45 degC 188.4: 20 mol/s x
	 * 0.018015 x 2487.2 = 896.1 kW. Vapour that stays: 0.638 x 0.018015 x (2675.6 - 2582.4) = 1.1 kW. Gas: 10 mol/s x 55 K x
	 * 37 J/(mol K), half H2S (34.7) and half CO2 (39.2 at 70 degC, NIST Chemistry WebBook, Shomate) = 20.3 kW. Sum 917.5 kW.
	 */
	NEAR(overhead_condensing_duty(10, 0.5, 2, 0.0638, 373.15, 318.15), 917.5e3, 0.005);
}

Test(derived, two_phases_at_one_velocity)
{
	/* 1 / (0.1/1.2 + 0.9/940) = 11.863 kg/m3. */
	NEAR(outlets_mixture(0.1, 1.2, 940), 11.8637, 1e-4);
	NEAR(outlets_mixture(1, 1.2, 940), 1.2, 1e-12);
	/* Latent heat at 121 degC 2198.9 kJ/kg: 600 kW make 0.27286 kg/s. */
	NEAR(outlets_boil_up(600e3, 394.15), 0.27286, 1e-3);
}

Test(derived, classes_and_grades_by_name)
{
	cr_expect_str_eq(pump_class_in("S-6")->impeller, "410");
	cr_expect_str_eq(pump_class_in("API 610 class A-8, 11th ed.")->casing_family, "austenitic");
	cr_expect_str_eq(pump_class_in("D-1")->impeller_family, "duplex");
	cr_expect_null(pump_class_in("S-61"));
	cr_expect_null(pump_class_in("special"));
	cr_expect_str_eq(bolting_grade_in("A193 Gr. B7M, nuts 2HM")->name, "B7M");
	cr_expect_str_eq(bolting_grade_in("A193-B7/A194-2H")->name, "B7");
	cr_expect_str_eq(bolting_grade_in("B7M or B7")->name, "B7", "the harder one");
	cr_expect_float_eq(bolting_grade_in("A320 L7M")->most_rockwell, 22, 1e-9);
	cr_expect_null(bolting_grade_in("8.8"));
}

/* ---- nobody is asked any more ---- */

#define RICH "<stream id='r' service='rich' flow='21 t/h' temperature='52 degC' pressure='6 barg' h2s='0.2' co2='0.2'/>"
#define LEAN                                                                                                           \
	"<stream id='l' service='lean' flow='20 t/h' temperature='45 degC' pressure='6 barg' h2s='0.004' "             \
	"co2='0.002'/>"

/* D = 1.2 m, L = 3 m, 0.45 m of 2:1 heads: 1.16214 + 0.14314 = 1.30528 m3 (acos 0.25 = 1.31812), over 19.44 m3/h: 4.03 min. */
Test(derived, residence_of_a_flash_drum_by_its_size)
{
	trial_review_unit(&trial, "MDEA",
		RICH "<flash-drum tag='V-1' rich='r' diameter='1.2 m' length='3 m' level='0.45 m' "
		     "hydrocarbon-skimmed='no'/>");
	NEAR(number("V-1", "liquid-volume", "m3"), 1.30528, 1e-4);
	double flow = number("r", "volume-flow", "m3/h");
	NEAR(number("V-1", "residence-time", "min"), 1.30528 / flow * 60, 1e-4);
	cr_expect(verdict("FLF-001", "V-1") == VERDICT_DEPARTS, "4 min where 5 are asked for");
	cr_expect(verdict("BAL-021", "V-1") == VERDICT_NOT_APPLICABLE, "nothing is stated beside it");
}

Test(derived, a_stated_time_is_held_against_the_size)
{
	trial_review_unit(&trial, "MDEA",
		RICH "<flash-drum tag='V-1' rich='r' diameter='1.2 m' length='3 m' level='0.45 m' "
		     "hydrocarbon-skimmed='no' residence-time='20 min'/>"
		     "<flash-drum tag='V-2' rich='r' diameter='1.2 m' length='3 m' level='0.9 m' "
		     "hydrocarbon-skimmed='no' residence-time='9.2 min'/>");
	cr_expect(verdict("BAL-021", "V-1") == VERDICT_DEPARTS);
	cr_expect(strstr(trial_finding(&trial, "BAL-021", "V-1")->message, "residence-time 20 min stated"));
	cr_expect(verdict("FLF-001", "V-1") == VERDICT_DEPARTS, "the shorter time is judged");
	cr_expect(
		strstr(finding_id(&trial.arena, trial_finding(&trial, "FLF-001", "V-1")), "/residence-time") != NULL &&
			!strstr(finding_id(&trial.arena, trial_finding(&trial, "FLF-001", "V-1")), "judged"),
		"replies of earlier rounds find it");
	cr_expect(verdict("BAL-021", "V-2") == VERDICT_MEETS);
	cr_expect(verdict("FLF-001", "V-2") == VERDICT_MEETS);
	cr_expect_float_eq(number("V-2", "residence-time-judged", "min"), 9.2, 1e-9);
}

/* Half full 2.149 m3 (1.6965 + 0.2262 of the heads ... in all 3.8453 m3 full), for 5.93 min; full for 11.9 min. */
Test(derived, half_full_overrules_only_what_no_level_can_give)
{
	trial_review_unit(&trial, "MDEA",
		RICH "<flash-drum tag='V-1' rich='r' diameter='1.2 m' length='3 m' hydrocarbon-skimmed='no' "
		     "residence-time='9 min'/>"
		     "<flash-drum tag='V-2' rich='r' diameter='1.2 m' length='3 m' hydrocarbon-skimmed='no' "
		     "residence-time='20 min'/>"
		     "<flash-drum tag='V-3' rich='r' diameter='1.2 m' length='3 m' hydrocarbon-skimmed='no'/>");
	double full = 3.141593 / 4 * 1.44 * 3 + 2 * 3.141593 * 1.728 / 24;
	NEAR(number("V-3", "liquid-volume", "m3"), full / 2, 1e-5);
	cr_expect(verdict("BAL-021", "V-1") == VERDICT_MEETS);
	cr_expect_float_eq(number("V-1", "residence-time-judged", "min"), 9, 1e-9);
	cr_expect(verdict("BAL-021", "V-2") == VERDICT_DEPARTS, "20 min do not fit even when it is full");
	cr_expect(number("V-2", "residence-time-judged", "min") < 7);
	const struct quantity *volume = trial_value(&trial, "V-3", NULL, "liquid-volume");
	bool said = false;
	for (size_t i = 0; i < volume->input_count; i++)
		said = said ||
			(volume->inputs[i].quantity->known == ASSUMED && volume->inputs[i].quantity->reason &&
				strstr(volume->inputs[i].quantity->reason, "half full"));
	cr_expect(said, "half full is said");
}

Test(derived, hold_up_of_other_vessels)
{
	trial_review_unit(&trial, "MDEA",
		LEAN
		"<tank tag='TK-1' stream='l' diameter='3 m' height='4 m' level='75 %'/>"
		"<sump tag='SU-1' volume='6 m3' level='30 %'/><sump tag='SU-2' length='3 m' width='2 m' depth='1.5 m' "
		"level='0.5 m'/>"
		"<regenerator tag='C-1' lean='l' diameter='1.2 m' level='1.5 m'/>"
		"<reflux-drum tag='V-1' orientation='vertical' heads='hemispherical' diameter='0.8 m' length='2 m'/>");
	NEAR(number("TK-1", "liquid-volume", "m3"), 21.2058, 1e-4); /* pi/4 9 3 */
	NEAR(number("TK-1", "volume", "m3"), 28.2743, 1e-4);
	NEAR(number("SU-1", "liquid-volume", "m3"), 1.8, 1e-6);
	NEAR(number("SU-2", "liquid-volume", "m3"), 3.0, 1e-6);
	NEAR(number("SU-2", "volume", "m3"), 9.0, 1e-6);
	NEAR(number("C-1", "liquid-volume", "m3"), 1.92265, 1e-4); /* pi/4 1.44 1.5 + pi 1.728/24 */
	NEAR(number("V-1", "liquid-volume", "m3"), 0.63670, 1e-4); /* pi/4 0.64 1 + pi 0.512/12 */
	NEAR(number("C-1", "residence-time", "min"), 1.92265 / number("l", "volume-flow", "m3/h") * 60, 1e-4);
}

/* 15 % of the stream; pi/4 0.64 = 0.50265 m2, 3.1 m deep: 1.5582 m3. */
Test(derived, carbon_bed_by_its_share_of_the_flow)
{
	trial_review_unit(&trial, "MDEA",
		LEAN "<carbon-bed tag='V-4' service='lean' stream='l' slip='15 %' diameter='0.8 m' depth='3.1 m'/>");
	double flow = 0.15 * number("l", "volume-flow", "m3/h");
	NEAR(number("V-4", "flow", "m3/h"), flow, 1e-9);
	NEAR(number("V-4", "flux", "m/h"), flow / 0.502655, 1e-5);
	NEAR(number("V-4", "contact-time", "min"), 1.558230 / flow * 60, 1e-5);
	cr_expect(verdict("FIL-006", "V-4") == VERDICT_MEETS);
	cr_expect(verdict("FIL-007", "V-4") == VERDICT_MEETS);
	cr_expect(verdict("FIL-008", "V-4") == VERDICT_MEETS);
}

Test(derived, a_stated_contact_time_is_held_against_the_bed)
{
	trial_review_unit(&trial, "MDEA",
		LEAN "<carbon-bed tag='V-4' service='lean' stream='l' flow='9 m3/h' slip='10 %' diameter='0.8 m' "
		     "depth='3.1 m' contact-time='30 min'/>");
	cr_expect(verdict("FIL-008", "V-4") == VERDICT_DEPARTS, "10.4 min by its own size");
	cr_expect(verdict("BAL-021", "V-4") == VERDICT_DEPARTS);
	cr_expect(strstr(trial_finding(&trial, "BAL-021", "V-4")->message, "slip"), "both are named");
}

/* ---- reboiler, in each case ---- */

#define STILL                                                                                                          \
	"<stream id='f' service='rich' flow='21 t/h' temperature='97 degC' pressure='5 barg' h2s='0.2' co2='0.2'/>"    \
	"<stream id='lean' service='lean' flow='20 t/h' temperature='121 degC' pressure='0.85 barg' h2s='0.004' "      \
	"co2='0.002'/>"

/* 2.4 t/h of saturated steam at 4.513 bara (latent heat 2119.9 kJ/kg): 1413 kW; 90 tubes, 25.4 mm, 2 legs of 3 m: 43.1 m2. */
Test(derived, duty_from_steam_and_heat_flux_without_duty_or_area)
{
	trial_review_unit(&trial, "MDEA",
		STILL "<regenerator tag='C-2' feed='f' lean='lean'/>"
		      "<reboiler tag='E-5' regenerator='C-2' lean='lean' type='kettle' heating-medium='steam' "
		      "steam-flow='2.4 t/h' steam-pressure='3.5 barg' bulk-temperature='121 degC'>"
		      "<tube-side tubes='90' tube-od='25.4 mm' tube-wall='2.11 mm' tube-length='3 m' "
		      "u-tubes='yes'/></reboiler>");
	NEAR(number("E-5", "duty", "kW"), 1413.3, 1e-3);
	NEAR(number("E-5", "area", "m2"), 43.090, 1e-4);
	NEAR(number("E-5", "heat-flux", "kW/m2"), 1413.3 / 43.090, 1e-3);
	/* Steam 147.99 degC less 121; U = 32.80 / 26.99. */
	NEAR(number("E-5", "lmtd", "K"), 27.0, 5e-3);
	NEAR(number("E-5", "heat-transfer", "W/(m2 K)"), 1214.6, 5e-3);
	cr_expect(verdict("REG-005", "E-5") == VERDICT_DEPARTS, "33 kW/m2");
	cr_expect(verdict("REG-002", "E-5") != VERDICT_NOT_JUDGED, "heat for each volume of lean");
	cr_expect(
		verdict("BAL-008", "E-5") == VERDICT_NOT_APPLICABLE || verdict("BAL-008", "E-5") == VERDICT_NOT_JUDGED,
		"steam is not held against itself");
}

Test(derived, steam_from_duty_in_the_case_that_states_it)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	NEAR(trial_number(&trial, "E-505", "normal", "duty", "kW"), 1416, 2e-3);
	NEAR(trial_number(&trial, "E-505", "low", "duty", "kW"), 900, 1e-9);
	/* Steam of 150 degC is 2.0 K superheated: 2119.9 + 4.7 = 2124.6 kJ/kg; 900 kW ask for 0.42361 kg/s. */
	NEAR(trial_number(&trial, "E-505", "low", "steam-flow", "kg/h"), 1525, 2e-3);
	NEAR(trial_number(&trial, "E-505", "low", "heat-flux-calculated", "kW/m2"), 15.0, 1e-6);
}

/* ---- overhead ---- */

Test(derived, reflux_ratio_of_a_top_without_reflux)
{
	trial_review_unit(&trial, "MDEA",
		STILL "<stream id='reflux' service='reflux' temperature='45 degC'/>"
		      "<regenerator tag='C-2' feed='f' lean='lean' reflux='reflux' top-temperature='100 degC' "
		      "top-pressure='0.75 barg'/>"
		      "<reflux-drum tag='V-3' reflux='reflux' pressure='0.6 barg'/>");
	/* 101.42/(176.325 - 101.42) = 1.35398, less 9.595/(161.325 - 9.595) = 0.06324. */
	NEAR(number("C-2", "reflux-ratio", ""), 1.29074, 2e-3);
	cr_expect(verdict("REG-003", "C-2") != VERDICT_NOT_JUDGED);
	cr_expect(trial_value(&trial, "C-2", NULL, "top-difference") == NULL,
		"the temperature is not held against itself");
}

Test(derived, reflux_by_volume_and_overhead_by_composition)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	/* 0.7 m3/h of 990.2 kg/m3 are 693.2 kg/h, 38.48 kmol/h; 75.46 (0.397 - 0.006) = 29.50 kmol/h of acid gas. */
	NEAR(number("C-502", "reflux-ratio-by-flow", ""), 1.304, 2e-3);
	NEAR(number("C-502", "reflux-ratio-by-composition", ""), 1.159, 2e-3);
	cr_expect(verdict("BAL-021", "C-502") == VERDICT_DEPARTS, "2.0 is stated");
	cr_expect(strstr(trial_finding(&trial, "BAL-021", "E-504")->message, "duty 900 kW stated"));
}

/* ---- exchangers, mixing, outlets ---- */

Test(derived, coolers_have_duty_and_u)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	/* 20 t/h of 45 wt% MDEA from 76 to 38 degC; between 3.61 (40 wt%) and 3.44 kJ/(kg K) (50 wt%; Weiland 1997, from memory). */
	NEAR(number("E-503", "duty-calculated", "kW"), 20e3 / 3600 * 3.525 * 38, 0.02);
	NEAR(number("E-503", "area", "m2"), 29.923, 1e-4); /* 100 pi 0.01905 5 */
	NEAR(number("E-503", "lmtd", "K"), 23.26, 1e-3);   /* (40 - 12) / ln(40/12) */
	cr_expect(verdict("BAL-021", "E-503") == VERDICT_DEPARTS, "0.4 MW is stated");
	/* U = 400 kW / (29.92 x 0.857 x 23.26). */
	NEAR(number("E-503", "heat-transfer", "W/(m2 K)"), 670.9, 2e-3);
	/* 120 tubes bent to a U, 2 legs of 4 m, 2 shells: 114.91 m2 where 80 are stated. */
	NEAR(number("E-502", "area-calculated", "m2"), 114.91, 1e-4);
}

Test(derived, a_heater_has_a_temperature_difference_too)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='a' service='rich' temperature='50 degC'/><stream id='b' service='rich' temperature='70 "
		"degC'/>"
		"<stream id='w' service='condensate' temperature='120 degC'/><stream id='x' service='condensate' "
		"temperature='80 degC'/>"
		"<exchanger tag='E-1' service='other' duty='100 kW' area='5 m2'><tube-side inlet='a' outlet='b' "
		"passes='1'/>"
		"<shell-side inlet='w' outlet='x'/></exchanger>");
	NEAR(number("E-1", "lmtd", "K"), 20 / log(50.0 / 30), 1e-6); /* ends of 50 and 30 K: 39.15 */
	NEAR(number("E-1", "heat-transfer", "W/(m2 K)"), 20000 / 39.152, 1e-3);
}

Test(derived, a_stated_velocity_is_held_against_size_and_flow)
{
	trial_review_unit(&trial, "MDEA",
		RICH
		"<line tag='L-1' stream='r' size='NPS 3' schedule='40' velocity='0.7 m/s' material='carbon steel'/>"
		"<line tag='L-2' stream='r' size='NPS 4' schedule='40' bore='102.3 mm' velocity='0.66 m/s' "
		"material='carbon steel'/>");
	double flow = number("r", "volume-flow", "m3/h");
	/* NPS 3 schedule 40 is 88.9 - 2 x 5.49 = 77.92 mm (ASME B36.10M). */
	NEAR(number("L-1", "velocity-calculated", "m/s"), flow / 3600 / (3.141593 / 4 * 0.07792 * 0.07792), 1e-3);
	cr_expect(verdict("BAL-021", "L-1") == VERDICT_DEPARTS);
	cr_expect(strstr(trial_finding(&trial, "BAL-021", "L-1")->message, "velocity 0.7 m/s stated"));
	cr_expect(verdict("BAL-021", "L-2") == VERDICT_MEETS, "102.26 mm");
}

Test(derived, an_air_cooler_by_the_temperatures_of_its_air)
{
	trial_review_unit(&trial, "MDEA",
		LEAN "<stream id='c' service='lean' from='E-1' temperature='35 degC' h2s='0.004' co2='0.002'/>"
		     "<cooler tag='E-1' service='lean' type='air cooled' area='25 m2' medium-inlet-temperature='20 "
		     "degC' medium-outlet-temperature='30 degC'>"
		     "<tube-side inlet='l' outlet='c' tubes='80' passes='4'/></cooler>");
	/* Both ends 15 K. 20 t/h of 40 wt% MDEA, 3.61 kJ/(kg K) (Weiland, Dingman and Cronin 1997, from memory), by 10 K: 200.6 kW. */
	NEAR(number("E-1", "lmtd", "K"), 15, 1e-6);
	NEAR(number("E-1", "duty", "kW"), 200.6, 0.02);
	NEAR(number("E-1", "heat-transfer", "W/(m2 K)"), number("E-1", "duty", "W") / 375, 1e-6);
}

Test(derived, a_normal_duty_is_not_held_against_another_case)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1'><basis><case id='normal'/><case id='low'/></basis><solvent "
		"amine='MDEA' strength='45 wt%'/>"
		"<stream id='r' service='rich' flow='20 m3/h' temperature='50 degC' pressure='6 barg' h2s='0.2' "
		"co2='0.2'><in case='low' flow='5 m3/h'/></stream>"
		"<flash-drum tag='V-1' rich='r' diameter='1.2 m' length='3 m' level='0.6 m' residence-time='6 min' "
		"hydrocarbon-skimmed='no'/></unit>");
	/* 1.9227 m3: 5.77 min, and 23.1 min at a quarter of the flow. */
	cr_expect(verdict("BAL-021", "V-1") == VERDICT_MEETS);
	NEAR(trial_number(&trial, "V-1", "low", "residence-time-calculated", "min"), 23.07, 2e-3);
}

Test(derived, header_and_bypass)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	NEAR(number("lean-header", "mass-flow", "t/h"), 20, 1e-9);
	NEAR(number("lean-header", "temperature", "degC"), 49.4, 1e-6); /* (14 x 38 + 6 x 76) / 20 */
	NEAR(number("lean-other", "mass-flow", "t/h"), 11, 1e-9);
	NEAR(number("lean-other", "temperature", "degC"), 49.4, 1e-6);
	NEAR(number("lean-hot", "amine-flow", "kmol/h"), 75.46, 2e-3); /* 20 t/h x 0.45 / 119.16, less 0.1 % of gas */
}

Test(derived, condenser_outlet_and_reboiler_returns_have_a_velocity)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	/*
	 * Overhead, 98 degC and 1.763 bara: 94.4 kPa of water, y = 0.5354; dry acid gas 22 : 23 of H2S and CO2, 39.16 g/mol. At
	 * 45 degC and 1.613 bara y = 0.0595. Of 39.16 + 1.1524 x 18.015 = 59.92 g the 39.16 + 0.0633 x 18.015 = 40.30 g stay gas.
	 */
	NEAR(number("8-P-5010", "vapour-fraction", "wt%"), 67.25, 2e-3);
	/* Vapour 37.87 g/mol: 2.326 kg/m3 (Z 0.993); 1 / (0.6725/2.329 + 0.3275/990.2) = 3.46. */
	NEAR(number("8-P-5010", "density", "kg/m3"), 3.46, 0.01);
	NEAR(number("8-P-5010", "velocity", "m/s"), 4.34, 0.01); /* 549 m3/h in 211.6 mm */
	NEAR(number("12-P-5011", "mass-flow", "kg/h"), 1416 / 2198.9 * 3600, 2e-3);
	NEAR(number("12-P-5012", "vapour-fraction", "wt%"), 6.547, 2e-3); /* 982 of 15000 kg/h */
	NEAR(number("12-P-5012", "density", "kg/m3"), 16.27, 0.005);
	NEAR(trial_number(&trial, "12-P-5011", "low", "mass-flow", "kg/h"), 900 / 2198.9 * 3600, 2e-3);
}

Test(derived, a_return_whose_flow_is_owed_or_in_other_units_has_no_share)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='a' service='lean' from='E-1' to='C-1' flow='t.b.d.' temperature='121 degC' pressure='0.9 "
		"barg'/>"
		"<stream id='b' service='acid gas' from='E-2' to='C-1' flow='40 kmol/h' temperature='121 degC' "
		"pressure='0.9 barg'/>"
		"<regenerator tag='C-1'/><reboiler tag='E-1' duty='600 kW'/><reboiler tag='E-2' duty='600 kW'/>"
		"<line tag='L-1' stream='a' size='NPS 12' schedule='STD'/><line tag='L-2' stream='b' size='NPS 12' "
		"schedule='STD'/>");
	const struct quantity *a = trial_value(&trial, "L-1", NULL, "velocity");
	cr_expect(!a || a->known == UNKNOWN);
	const struct quantity *b = trial_value(&trial, "L-2", NULL, "velocity");
	cr_expect(!b || b->known == UNKNOWN);
}

/* ---- metals, hardness, pressure, contaminants, steam-out ---- */

Test(derived, metals_of_a_pump_by_its_class)
{
	trial_review_unit(&trial, "MDEA",
		"<pump tag='P-1' service='lean' material-class='S-6'><part name='Shaft'/><part name='Wear "
		"rings'/></pump><pump tag='P-2' service='lean' "
		"material-class='A-8'/>"
		"<pump tag='P-3' service='lean' material-class='S-8' casing='316' impeller='316'/>");
	cr_expect(verdict("PMP-003", "P-1") == VERDICT_DEPARTS, "a carbon steel casing");
	cr_expect(verdict("PMP-003", "P-2") == VERDICT_MEETS);
	cr_expect(verdict("PMP-006", "P-2") == VERDICT_NOT_APPLICABLE, "nothing is stated beside the class");
	cr_expect(verdict("PMP-006", "P-3") == VERDICT_DEPARTS, "S-8 has a carbon steel casing");
	cr_expect_str_eq(trial_value(&trial, "P-1", NULL, "impeller-family")->word, "ferritic or martensitic");
	cr_expect_str_eq(trial_value(&trial, "P-1 part Shaft", NULL, "material-family")->word, "low-alloy steel");
	cr_expect_str_eq(trial_value(&trial, "P-1 part Wear rings", NULL, "material")->word, "410");
	cr_expect_str_eq(trial_value(&trial, "P-1", NULL, "material-family")->word, "carbon steel");
}

Test(derived, hardness_of_bolts_by_their_grade)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='g' role='feed' h2s='1 mol%'/><absorber tag='C-1' gas='g'><bolting name='a' grade='A193 B7' "
		"covered='yes'/>"
		"<bolting name='b' grade='A193 B7M' covered='yes'/><bolting name='c' material='low-alloy steel' "
		"covered='yes'/></absorber>");
	cr_expect(verdict("CRK-018", "C-1 bolting a") == VERDICT_DEPARTS, "B7 is 26 HRC at least");
	cr_expect(verdict("CRK-018", "C-1 bolting b") == VERDICT_MEETS);
	cr_expect(verdict("CRK-018", "C-1 bolting c") == VERDICT_NOT_JUDGED, "without a grade it is asked for");
}

Test(derived, shut_off_of_the_highest_suction)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	/* Highest suction 1.5 barg; rated 53 - 0.5: 1.5 + 1.25 x 52.5 = 67.125 barg. */
	NEAR(trial_number(&trial, "P-503", "normal", "shut-off-pressure-calculated", "bara"), 67.125 + 1.013, 1e-4);
	cr_expect(verdict("BAL-021", "P-503") == VERDICT_MEETS, "60 barg is between rated and that");
}

Test(derived, discharge_line_against_the_shut_off_pressure)
{
	trial_review_unit(&trial, "MDEA",
		"<pump tag='P-1' service='lean' suction-pressure='1 barg' discharge-pressure='41 barg'/>"
		"<pump tag='P-2' service='lean' suction-pressure='1 barg' discharge-pressure='41 barg' "
		"shut-off-pressure='45 barg'/>"
		"<line tag='L-1' from='P-1' design-pressure='48 barg'/><line tag='L-2' from='P-2' design-pressure='48 "
		"barg'/>");
	cr_expect(verdict("PMP-007", "L-1") == VERDICT_DEPARTS, "1 + 1.25 x 40 = 51 barg");
	cr_expect(verdict("PMP-007", "L-2") == VERDICT_MEETS, "its curve is stated");
}

Test(derived, contaminants_by_source)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	NEAR(number("north-gas", "oxygen-load", "kg/h"), 0.28798, 1e-4); /* 900 x 10e-6 x 31.998 */
	NEAR(number("solvent", "oxygen-load", "kg/h"), 0.67437,
		1e-3); /* and 600 x 20e-6 x 31.998, and 0.4 m3/h x 6 g/m3 */
	NEAR(number("solvent", "cyanide-load", "kg/h"), 0.081078, 1e-4); /* 1500 x 2e-6 x 27.026 */
	NEAR(number("solvent", "chloride-load", "kg/h"), 0.0048, 5e-3);	 /* 0.4 x 12 g */
	trial_review_unit(&trial, "MDEA",
		"<gas id='a' role='feed' flow='900 kmol/h' o2='10 ppmv'/><gas id='b' role='feed' o2='9 ppmv'/>");
	const struct quantity *least = trial_value(&trial, "solvent", NULL, "oxygen-load");
	cr_assert_not_null(least);
	cr_expect(least->bound == BOUND_ABOVE, "at least so much: the flow of the other is not known");
}

Test(derived, metal_of_a_steam_out_by_its_pressure)
{
	trial_review_file(&trial, "tests/designs/derived.xml");
	NEAR(number("C-502", "steam-out-temperature", "degC"), 138.99, 1e-3); /* saturated at 3.513 bara */
	cr_expect(verdict("TMP-017", "C-501") == VERDICT_DEPARTS, "120 degC is stated");
	cr_expect(verdict("TMP-017", "C-502") == VERDICT_NOT_APPLICABLE);
	NEAR(number("C-502", "highest-temperature", "degC"), 138.99, 1e-3);
}
