/*
 * Where a value is stated and another follows from figures beside it, rules judge the more careful of the two: each rule that does,
 * on both sides. Calculations by hand; pipes by ASME B36.10M, steam by Wagner and Kretzschmar, International Steam Tables, 2008.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "compute/scene.h"
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

TestSuite(careful, .init = begin, .fini = end);

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

#define DEPARTS(rule, item)                                                                                            \
	cr_expect(verdict(rule, item) == VERDICT_DEPARTS, "%s on %s: %s", rule, item, verdict_word(verdict(rule, item)))
#define MEETS(rule, item)                                                                                              \
	cr_expect(verdict(rule, item) == VERDICT_MEETS, "%s on %s: %s", rule, item, verdict_word(verdict(rule, item)))
#define NEAR(value, expected, share)                                                                                   \
	cr_expect(fabs((value) - (double)(expected)) <= fabs((double)(expected)) * (share), "%g, expected %g",         \
		(double)(value), (double)(expected))

#define RICH                                                                                                           \
	"<stream id='r' service='rich' flow='20 m3/h' temperature='52 degC' pressure='9 barg' h2s='0.2' co2='0.2'/>"
#define LEAN                                                                                                           \
	"<stream id='l' service='lean' flow='20 m3/h' temperature='45 degC' pressure='9 barg' h2s='0.004' "            \
	"co2='0.002'/>"

/* ---- lines ---- */

/* 20 m3/h in 52.5 mm (NPS 2, 40): 2.566 m/s; in 102.26 mm (NPS 4, 40): 0.676 m/s. At most 1.5 m/s in carbon steel. */
Test(careful, velocity_of_a_line)
{
	trial_review_unit(&trial, "MDEA",
		RICH
		"<line tag='L-1' stream='r' size='NPS 2' schedule='40' material='carbon steel' velocity='0.9 m/s'/>"
		"<line tag='L-2' stream='r' size='NPS 4' schedule='40' material='carbon steel' velocity='2.2 m/s'/>"
		"<line tag='L-3' stream='r' size='NPS 4' schedule='40' material='carbon steel' velocity='0.68 "
		"m/s'/>"
		"<line tag='L-4' stream='r' size='NPS 4' material='carbon steel' velocity='0.7 m/s'/>");
	DEPARTS("VEL-002", "L-1");
	NEAR(trial_finding(&trial, "VEL-002", "L-1")->value->si, 2.566, 1e-3);
	cr_expect(
		strcmp(finding_id(&trial.arena, trial_finding(&trial, "VEL-002", "L-1")), "VEL-002/L-1/velocity") == 0,
		"replies of earlier rounds find it");
	DEPARTS("VEL-002", "L-2");
	NEAR(trial_finding(&trial, "VEL-002", "L-2")->value->si, 2.2, 1e-9);
	MEETS("VEL-002", "L-3");
	NEAR(trial_finding(&trial, "VEL-002", "L-3")->value->si, 0.68, 1e-9);
	MEETS("VEL-002", "L-4");
}

/* A bore stated as that of NPS 4 does not slow down what runs in NPS 2; a lined pipe is narrower than its size. */
Test(careful, bore_of_a_line)
{
	trial_review_unit(&trial, "MDEA",
		RICH "<line tag='L-1' stream='r' size='NPS 2' schedule='40' bore='102.3 mm' material='carbon steel'/>"
		     "<line tag='L-2' stream='r' size='NPS 4' schedule='40' bore='60 mm' material='carbon steel'/>"
		     "<line tag='L-3' stream='r' size='NPS 4' schedule='40' bore='102.3 mm' material='carbon steel'/>");
	NEAR(number("L-1", "velocity", "m/s"), 2.566, 1e-3);
	NEAR(number("L-2", "velocity", "m/s"), 1.965, 1e-3); /* 20/3600 over pi/4 0.06^2 */
	NEAR(number("L-3", "velocity", "m/s"), 0.676, 2e-3);
	DEPARTS("VEL-002", "L-1");
	DEPARTS("VEL-002", "L-2");
	MEETS("VEL-002", "L-3");
}

/* 20 t/h of lean at 76 and 6 t/h at 110 degC: (20 76 + 6 110) / 26 = 83.8 degC. */
Test(careful, temperature_of_a_header)
{
	static const char unit[] =
		"<stream id='a' service='lean' flow='20 t/h' temperature='%s' pressure='9 barg' h2s='0.004' "
		"co2='0.002'/>"
		"<stream id='b' service='lean' flow='6 t/h' temperature='110 degC' pressure='9 barg' h2s='0.004' "
		"co2='0.002'/>"
		"<stream id='c' service='lean' to='C-1' temperature='48 degC' pressure='9 barg' h2s='0.004' "
		"co2='0.002'/>"
		"<network><mix tag='M-1' from='a b' to='c'/></network><gas id='g' role='feed' h2s='1 mol%%'/>"
		"<absorber tag='C-1' gas='g' lean='c'/>"
		"<line tag='L-1' stream='c' size='NPS 4' schedule='40' material='carbon steel'/>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, unit, "40 degC"));
	NEAR(number("c", "temperature-judged", "degC"), 56.15, 2e-3); /* (20 40 + 6 110) / 26 */
	MEETS("TMP-011", "C-1");
	NEAR(number("L-1", "metal-reaches", "degC"), 56.15, 2e-3);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, unit, "76 degC"));
	DEPARTS("TMP-011", "C-1");
	NEAR(number("L-1", "temperature-judged", "degC"), 83.85, 2e-3);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, unit, "30 degC"));
	NEAR(number("c", "temperature-judged", "degC"), 48, 1e-6); /* 48.5 by mixing: no more than rounding */
}

/* ---- exchangers ---- */

/* 20 m3/h through 60 tubes of 16 mm in 2 passes: 20/3600 / (30 x 2.0106e-4) = 0.921 m/s; 30 of them plugged: 1.842. */
Test(careful, velocity_in_tubes)
{
	trial_review_unit(&trial, "MDEA",
		RICH LEAN "<exchanger tag='E-1' service='lean/rich' type='shell and tube'><tube-side inlet='r' "
			  "tubes='60' passes='2' "
			  "tube-od='20 mm' tube-wall='2 mm' material='carbon steel' velocity='0.6 m/s' "
			  "tubes-plugged='30'/></exchanger>"
			  "<exchanger tag='E-2' service='lean/rich' type='shell and tube'><tube-side inlet='r' "
			  "tubes='60' passes='2' "
			  "tube-od='20 mm' tube-wall='2 mm' material='carbon steel' velocity='0.92 m/s'/></exchanger>"
			  "<exchanger tag='E-3' service='lean/rich' type='shell and tube'><tube-side inlet='r' "
			  "tubes='60' passes='2' "
			  "u-tubes='yes' tube-od='20 mm' tube-wall='2 mm' material='carbon steel'/></exchanger>");
	NEAR(number("E-1 tube side", "velocity-judged", "m/s"), 1.842, 1e-3);
	DEPARTS("VEL-009", "E-1 tube side");
	NEAR(number("E-2 tube side", "velocity-judged", "m/s"), 0.92, 1e-9);
	MEETS("VEL-009", "E-2 tube side");
	NEAR(number("E-3 tube side", "velocity", "m/s"), 0.4605, 1e-3); /* 60 legs there, 60 back */
	MEETS("VEL-009", "E-3 tube side");
}

/* 101 plates: 50 channels of 3 mm by 0.5 m take 20 m3/h at 0.0741 m/s; 20 of them at 0.185. */
Test(careful, velocity_between_plates)
{
	trial_review_unit(&trial, "MDEA",
		RICH "<exchanger tag='E-1' type='plate'><plate-side inlet='r' plates='101' plate-gap='3 mm' "
		     "plate-width='500 mm'/></exchanger>"
		     "<exchanger tag='E-2' type='plate'><plate-side inlet='r' channels='20' plate-gap='3 mm' "
		     "plate-width='500 mm' channel-velocity='0.1 m/s'/></exchanger>"
		     "<exchanger tag='E-3' type='plate'><plate-side inlet='r' channels='20' plate-gap='3 mm' "
		     "plate-width='500 mm' channel-velocity='0.4 m/s'/></exchanger>");
	NEAR(number("E-1 plate side", "velocity", "m/s"), 0.07407, 1e-3);
	NEAR(number("E-2 plate side", "velocity", "m/s"), 0.1, 1e-9);
	NEAR(number("E-2 plate side", "velocity-judged", "m/s"), 0.18519, 1e-3);
	NEAR(number("E-3 plate side", "velocity-judged", "m/s"), 0.4, 1e-9);
}

/* Hot end 118 - 103, cold end 60 - 52. At least 17 K in shell and tube. */
#define ENDS                                                                                                           \
	"<stream id='r2' service='rich' flow='20 m3/h' temperature='%s' pressure='9 barg' h2s='0.2' co2='0.2'/>"       \
	"<stream id='l1' service='lean' flow='20 m3/h' temperature='118 degC' pressure='1 barg' h2s='0.004' "          \
	"co2='0.002'/><stream id='l2' service='lean' flow='20 m3/h' temperature='80 degC' pressure='1 barg' "          \
	"h2s='0.004' co2='0.002'/><exchanger tag='E-1' service='lean/rich' type='shell and tube' approach='%s'>"       \
	"<tube-side inlet='r' outlet='r2'/><shell-side inlet='l1' outlet='l2'/></exchanger>"
Test(careful, approach_of_an_exchanger)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, RICH ENDS, "110 degC", "20 K"));
	DEPARTS("EXC-001", "E-1");
	NEAR(number("E-1", "approach-judged", "K"), 8, 1e-6);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, RICH ENDS, "95 degC", "9 K"));
	DEPARTS("EXC-001", "E-1");
	NEAR(number("E-1", "approach-judged", "K"), 9, 1e-6);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, RICH ENDS, "95 degC", "23 K"));
	MEETS("EXC-001", "E-1");
}

/* A nozzle states a slower velocity than 20 m3/h have in NPS 2: 1030 x 2.566^2 is some 6800 kg/(m s2), at most 744. */
Test(careful, impact_of_a_nozzle)
{
	static const char unit[] =
		RICH "<exchanger tag='E-1' service='lean/rich' type='shell and tube'><shell-side inlet='r' "
		     "impingement-plate='no'><nozzle tag='N1' stream='r' size='%s' schedule='40' velocity='0.7 m/s'/>"
		     "</shell-side></exchanger>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, unit, "NPS 2"));
	DEPARTS("VEL-016", "E-1 shell side");
	cr_expect(number("N1", "momentum-flux", "kg/(m s2)") > 6500);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, unit, "NPS 4"));
	MEETS("VEL-016", "E-1 shell side");
}

/* ---- regenerator and reboiler ---- */

#define STILL                                                                                                          \
	"<stream id='f' service='rich' flow='21 t/h' temperature='97 degC' pressure='5 barg' h2s='0.2' co2='0.2'/>"    \
	"<stream id='lean' service='lean' flow='20 t/h' temperature='%s' pressure='%s' h2s='0.004' "                   \
	"co2='0.002'/>"

/* Steam saturated at 3.5 barg (4.513 bara): 148.0 degC. At most 10 K of superheat. */
Test(careful, superheat_of_steam)
{
	trial_review_unit(&trial, "MDEA",
		"<reboiler tag='E-1' steam-pressure='3.5 barg' steam-temperature='190 degC' superheat='5 K'/>"
		"<reboiler tag='E-2' steam-pressure='3.5 barg' steam-temperature='150 degC' superheat='5 K'/>"
		"<reboiler tag='E-3' steam-pressure='3.5 barg' steam-temperature='150 degC' superheat='30 K'/>"
		"<reboiler tag='E-4' superheat='5 K'/>");
	NEAR(number("E-1", "superheat-judged", "K"), 42.0, 2e-3);
	DEPARTS("TMP-008", "E-1");
	MEETS("TMP-008", "E-2");
	DEPARTS("TMP-008", "E-3");
	MEETS("TMP-008", "E-4");
}

Test(careful, temperature_of_a_reboiler)
{
	static const char body[] = STILL "<regenerator tag='C-1' lean='lean' bottom-pressure='%s' "
					 "bottom-temperature='%s'/><reboiler tag='E-1' regenerator='C-1' lean='lean' "
					 "heating-medium='hot oil' bulk-temperature='119 degC'/>";
	/* What leaves it at 134 degC is not made at 119; water boils at 134 degC at 3.04 bara, so the solution needs less pressure. */
	trial_review_unit(
		&trial, "MDEA", arena_format(&trial.arena, body, "134 degC", "0.9 barg", "0.9 barg", "120 degC"));
	DEPARTS("TMP-003", "E-1");
	NEAR(number("E-1", "bulk-temperature-judged", "degC"), 134, 1e-6);
	trial_review_unit(
		&trial, "MDEA", arena_format(&trial.arena, body, "118 degC", "0.9 barg", "0.9 barg", "120 degC"));
	MEETS("TMP-003", "E-1");
	MEETS("TMP-004", "C-1");
	/* At 2.0 barg water alone boils at 133.7 degC: the bottom is not at 120. */
	trial_review_unit(
		&trial, "MDEA", arena_format(&trial.arena, body, "118 degC", "2.0 barg", "2.0 barg", "120 degC"));
	DEPARTS("TMP-004", "C-1");
	cr_expect(number("C-1", "bottom-temperature-judged", "degC") > 133);
}

/* 2.4 t/h at 3.5 barg: 1413 kW; 90 tubes of 25.4 mm, two legs of 3 m: 43.1 m2. At most 32 kW/m2. */
Test(careful, heat_flux_by_the_larger_duty_over_the_smaller_surface)
{
	static const char body[] =
		STILL "<reboiler tag='E-1' type='kettle' heating-medium='steam' steam-flow='%s' "
		      "steam-pressure='3.5 barg' duty='1000 kW' area='%s'><tube-side tubes='90' "
		      "tube-od='25.4 mm' tube-wall='2.11 mm' tube-length='3 m' u-tubes='yes'/></reboiler>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "121 degC", "0.9 barg", "2.4 t/h", "60 m2"));
	NEAR(number("E-1", "heat-flux", "kW/m2"), 32.8, 2e-3);
	DEPARTS("REG-005", "E-1");
	trial_review_unit(
		&trial, "MDEA", arena_format(&trial.arena, body, "121 degC", "0.9 barg", "1.7 t/h", "43.1 m2"));
	NEAR(number("E-1", "heat-flux", "kW/m2"), 23.2, 5e-3);
	NEAR(number("E-1", "duty-judged", "kW"), 1000, 1e-6);
}

/* ---- heat of oil, water and glycol ---- */

/* 60 t/h of oil from 240 to 205 degC: 60000/3600 x 2.35 x 35 = 1371 kW within 15 %; with 2.55 kJ/(kg K): 1487.5 kW. */
Test(careful, duty_from_hot_oil)
{
	trial_review_unit(&trial, "MDEA",
		"<reboiler tag='E-1' type='hot oil' heating-medium='hot oil' medium-flow='60 t/h' "
		"hot-oil-temperature='240 "
		"degC' medium-outlet-temperature='205 degC' area='50 m2'/>"
		"<reboiler tag='E-2' type='hot oil' heating-medium='hot oil' medium-flow='60 t/h' "
		"medium-inlet-temperature='240 degC' medium-outlet-temperature='205 degC' "
		"medium-heat-capacity='2.55 kJ/(kg K)' area='50 m2'/>"
		"<reboiler tag='E-3' type='hot oil' heating-medium='hot oil' medium-flow='60 t/h' "
		"medium-inlet-temperature='240 degC' medium-outlet-temperature='205 degC' "
		"medium-heat-capacity='2.55 kJ/(kg K)' area='50 m2' duty='1 MW'/>");
	NEAR(number("E-1", "duty", "kW"), 1370.8, 1e-3);
	cr_expect(trial_value(&trial, "E-1", NULL, "duty")->uncertainty > 0.15 * 1370e3);
	NEAR(number("E-2", "duty", "kW"), 1487.5, 1e-4);
	NEAR(number("E-2", "heat-flux", "kW/m2"), 29.75, 1e-4);
	cr_expect(verdict("REG-005", "E-2") != VERDICT_NOT_JUDGED, "its duty is no longer asked for");
	DEPARTS("CLG-004", "E-3");
	NEAR(number("E-3", "heat-flux", "kW/m2"), 29.75, 1e-4);
}

/* 30 m3/h from 95 to 80 degC: water 962.3 kg/m3 at 95 degC, h 398.7 less 335.7 kJ/kg: 505.2 kW; glycol 1045 x 3.5 x 15: 457.2 kW. */
Test(careful, duty_from_hot_water_and_glycol)
{
	trial_review_unit(&trial, "MDEA",
		"<reboiler tag='E-1' heating-medium='hot water' medium-flow='30 m3/h' medium-inlet-temperature='95 "
		"degC' "
		"medium-outlet-temperature='80 degC'/>"
		"<reboiler tag='E-2' heating-medium='glycol water' medium-flow='30 m3/h' medium-inlet-temperature='95 "
		"degC' "
		"medium-outlet-temperature='80 degC'/>"
		"<reboiler tag='E-3' heating-medium='glycol water' medium-flow='30 m3/h' medium-inlet-temperature='95 "
		"degC' "
		"medium-outlet-temperature='80 degC' medium-heat-capacity='0.88 kcal/(kg degC)' medium-density='1030 "
		"kg/m3'/>");
	NEAR(number("E-1", "duty", "kW"), 505.2, 2e-3);
	NEAR(number("E-2", "duty", "kW"), 457.2, 1e-3);
	NEAR(number("E-3", "duty", "kW"), 474.4, 1e-3); /* 30/3600 x 1030 x 0.88 x 4.1868 x 15 */
}

/* The amine gives 20 t/h x 3.6 kJ/(kg K) x 30 K, some 600 kW; the water takes up 60 t/h x 4.18 x 3 K = 209 kW. */
Test(careful, heat_of_the_water_against_the_amine_without_a_stated_duty)
{
	static const char body[] =
		"<stream id='a' service='lean' flow='20 t/h' temperature='76 degC' pressure='9 barg' h2s='0.004' "
		"co2='0.002'/><stream id='b' service='lean' flow='20 t/h' temperature='46 degC' pressure='9 barg' "
		"h2s='0.004' "
		"co2='0.002'/><cooler tag='E-1' service='lean' cooling-medium='cooling water' medium-flow='60 t/h' "
		"medium-inlet-temperature='25 degC' medium-outlet-temperature='%s'><tube-side inlet='a' outlet='b'/>"
		"</cooler>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "28 degC"));
	NEAR(number("E-1", "medium-duty", "kW"), 209, 5e-3);
	DEPARTS("CLG-004", "E-1");
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "33.6 degC"));
	MEETS("CLG-004", "E-1");
}

/* Water of 165 degC makes no skin of 177; oil of 240 may. */
Test(careful, skin_by_what_heats)
{
	trial_review_unit(&trial, "MDEA",
		"<reboiler tag='E-1' heating-medium='hot water' medium-inlet-temperature='165 degC'/>"
		"<reboiler tag='E-2' heating-medium='hot oil' hot-oil-temperature='240 degC'/>"
		"<reboiler tag='E-3' heating-medium='hot water' medium-inlet-temperature='165 degC' "
		"skin-temperature='180 "
		"degC'/>"
		"<reboiler tag='E-4' heating-medium='steam' steam-pressure='3.5 barg'/>");
	MEETS("TMP-005", "E-1");
	cr_expect(verdict("TMP-005", "E-2") == VERDICT_NOT_JUDGED);
	DEPARTS("TMP-005", "E-3");
	cr_expect(verdict("TMP-005", "E-4") == VERDICT_NOT_APPLICABLE);
	cr_expect(
		trial_finding(&trial, "TMP-016", "E-2")->verdict != VERDICT_NOT_APPLICABLE, "the film is judged still");
}

/* ---- metal ---- */

/* 6 mm in 2020, 4 mm in 2026: 0.333 mm/y, where 0.05 is stated. */
Test(careful, rate_of_loss_by_readings)
{
	static const char body[] =
		"<stream id='lean' service='lean' flow='20 t/h' temperature='121 degC' pressure='1 barg' h2s='0.002' "
		"co2='0.001'/>"
		"<reboiler tag='E-1' lean='lean' material='carbon steel' corrosion-rate='%s'><wall-reading "
		"date='2020-06-01' "
		"thickness='6.0 mm'/><wall-reading date='2026-06-01' thickness='%s'/></reboiler>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "0.05 mm/y", "4.0 mm"));
	NEAR(number("E-1", "corrosion-rate-judged", "mm/y"), 0.3333, 2e-3);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "0.6 mm/y", "4.0 mm"));
	NEAR(number("E-1", "corrosion-rate-judged", "mm/y"), 0.6, 1e-6);
}

/* Steam saturated at 4 barg (5.013 bara) is 151.9 degC, whatever is said of the metal. */
Test(careful, metal_in_steam_out)
{
	static const char body[] =
		LEAN "<vessel tag='V-1' service='lean' stream='l' material='carbon steel' traced='no' "
		     "steamed-out='%s' steam-out-pressure='4 barg' steam-out-temperature='100 degC'/>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "yes"));
	NEAR(number("V-1", "metal-reaches", "degC"), 151.9, 2e-3);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "no"));
	NEAR(number("V-1", "metal-reaches", "degC"), 45, 1e-6);
}

/* ---- pumps, solution, carbon ---- */

/* One pump is said to move 18 m3/h where its stream has 20: over 19 rated and over 19.5 least. */
Test(careful, flow_of_a_pump)
{
	static const char body[] = LEAN
		"<pump tag='P-1' service='lean' stream='l' flow='%s' rated-flow='19 m3/h' minimum-flow='19.5 m3/h'/>%s";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "18 m3/h", ""));
	DEPARTS("PMP-005", "P-1");
	DEPARTS("PMP-001", "P-1");
	NEAR(number("P-1", "flow-over-rated-judged", ""), 20 / 19.0, 1e-6);
	NEAR(number("P-1", "flow-over-minimum-judged", ""), 18 / 19.5, 1e-6);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "24 m3/h", ""));
	NEAR(number("P-1", "flow-over-minimum-judged", ""), 20 / 19.5, 1e-6);
	DEPARTS("PMP-005", "P-1");
	/* Two that share the stream: what each states stands. */
	trial_review_unit(&trial, "MDEA",
		arena_format(
			&trial.arena, body, "10 m3/h", "<pump tag='P-2' service='lean' stream='l' flow='10 m3/h'/>"));
	MEETS("PMP-005", "P-1");
}

/* 0.2 and 0.2 mol/mol are 0.4; 0.55 is stated. At most 0.50 for MDEA. */
Test(careful, loading_of_rich_amine)
{
	static const char body[] =
		"<stream id='r' service='rich' flow='20 t/h' temperature='52 degC' pressure='9 barg' "
		"h2s='0.2' co2='%s' loading='%s'/>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "0.2", "0.58"));
	DEPARTS("LOD-003", "r");
	NEAR(number("r", "loading", "mol/mol"), 0.4, 1e-6);
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "0.2", "0.38"));
	MEETS("LOD-003", "r");
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, "0.36", "0.38"));
	DEPARTS("LOD-003", "r");
}

/* Formate and acetate listed: 2.5 wt%, where the total is stated as 0.8; at most 2 wt%. */
Test(careful, salts_by_the_anions_listed)
{
	static const char unit[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/></basis>"
		"<solvent amine='MDEA' strength='40 wt%%' %s><anion name='formate' content='%s'/>"
		"<anion name='acetate' content='1 wt%%'/></solvent></unit>";
	trial_review(&trial, arena_format(&trial.arena, unit, "salts='0.8 wt%' salts-basis='solution'", "1.5 wt%"));
	DEPARTS("LOD-011", "solvent");
	trial_review(&trial, arena_format(&trial.arena, unit, "salts='1.8 wt%' salts-basis='solution'", "0.1 wt%"));
	MEETS("LOD-011", "solvent");
	trial_review(&trial, arena_format(&trial.arena, unit, "", "1.5 wt%"));
	DEPARTS("LOD-011", "solvent"); /* without a total at least the anions */
	trial_review(&trial, arena_format(&trial.arena, unit, "", "0.1 wt%"));
	cr_expect(verdict("LOD-011", "solvent") == VERDICT_NOT_JUDGED, "others may come to it");
}

/* pi/4 0.64 m2 x 3.1 m = 1.558 m3, where 4 m3 are stated; over 9 m3/h: 10.4 min. At least 15 min. */
Test(careful, volume_of_a_carbon_bed)
{
	trial_review_unit(&trial, "MDEA",
		LEAN "<carbon-bed tag='V-1' service='lean' stream='l' flow='9 m3/h' diameter='0.8 m' depth='3.1 m' "
		     "volume='4 m3'/><carbon-bed tag='V-2' service='lean' stream='l' flow='4 m3/h' diameter='0.8 m' "
		     "depth='3.1 m' volume='1.5 m3'/><carbon-bed tag='V-3' service='lean' stream='l' flow='4 m3/h' "
		     "volume='1.5 m3'/>");
	NEAR(number("V-1", "contact-time", "min"), 10.39, 1e-3);
	DEPARTS("FIL-008", "V-1");
	NEAR(number("V-2", "contact-time", "min"), 22.5, 1e-6);
	MEETS("FIL-008", "V-2");
	NEAR(number("V-3", "contact-time", "min"), 22.5, 1e-6);
}

/* ---- what is no longer asked for ---- */

/* B7M is 22 HRC at most, B7 26 to 35: ASTM A193, from memory. */
Test(careful, hardness_of_bolts_against_their_grade)
{
	trial_review_unit(&trial, "MDEA",
		"<absorber tag='C-1'><bolting name='a' grade='A193 B7M' hardness='30 HRC'/><bolting name='b' "
		"grade='A193 B7' hardness='30 HRC'/><bolting name='c' grade='A193 B7' hardness='38 HRC'/><bolting "
		"name='d' "
		"grade='A193 B7' hardness='18 HRC'/><bolting name='e' grade='L7M' hardness='229 HBW'/><bolting "
		"name='f' "
		"grade='L7M' hardness='260 HBW'/><bolting name='g' grade='A193 B7M'/></absorber>");
	DEPARTS("FAB-020", "C-1 bolting a");
	MEETS("FAB-020", "C-1 bolting b");
	DEPARTS("FAB-020", "C-1 bolting c");
	DEPARTS("FAB-020", "C-1 bolting d");
	MEETS("FAB-020", "C-1 bolting e");
	DEPARTS("FAB-020", "C-1 bolting f");
	cr_expect(verdict("FAB-020", "C-1 bolting g") == VERDICT_NOT_APPLICABLE, "nothing is stated beside the grade");
}

/* The hot lean becomes the cooled one, whose flow is stated; where it parts or another joins, nothing follows. */
Test(careful, flow_of_a_stream_by_what_it_becomes)
{
	static const char body[] =
		"<stream id='a' service='lean' temperature='121 degC' pressure='1 barg' h2s='0.004' "
		"co2='0.002'/>"
		"<stream id='b' service='lean' from='a' temperature='80 degC' pressure='1 barg'/>"
		"<stream id='c' service='lean' from='b' flow='20 t/h' temperature='45 degC' pressure='9 barg'/>%s"
		"<line tag='L-1' stream='a' size='NPS 4' schedule='40' material='carbon steel'/>";
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, body, ""));
	NEAR(number("a", "mass-flow", "t/h"), 20, 1e-9);
	NEAR(number("b", "mass-flow", "t/h"), 20, 1e-9);
	cr_expect(verdict("VEL-001", "L-1") != VERDICT_NOT_JUDGED);
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena, body, "<stream id='d' service='lean' from='b' temperature='45 degC'/>"));
	cr_expect(!is_number(trial_value(&trial, "b", NULL, "mass-flow")));
	cr_expect(verdict("VEL-001", "L-1") == VERDICT_NOT_JUDGED);
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena, body,
			"<stream id='d' service='lean' flow='5 t/h' temperature='45 degC'/><network><mix tag='M-1' "
			"from='b d' "
			"to='c'/></network>"));
	cr_expect(!is_number(trial_value(&trial, "a", NULL, "mass-flow")));
}
