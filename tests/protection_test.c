/*
 * What protects and what shares: relief valves, trips, flow coefficients, items in parallel, what heats and cools, and the film in a
 * reboiler.
 *
 * All units here are invented; figures are worked by hand beside each check, steam and water by IAPWS-IF97 where said.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/water.h"
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

TestSuite(protection, .init = begin, .fini = end);

static void review_unit(const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.01325 "
			"bara' "
			"air-temperature='35 degC' water-temperature='26 degC'><case id='normal'/><case id='hot'/>"
			"<in case='hot' air-temperature='43 degC' water-temperature='31 degC'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%'/>%s</unit>",
			body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static double number(const char *item, const char *name, const char *unit)
{
	return trial_number(&trial, item, "normal", name, unit);
}

static const struct quantity *value(const char *item, const char *name)
{
	return trial_value(&trial, item, "normal", name);
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

/* ---- relief ---- */

Test(protection, a_relief_valve_opens_at_the_design_pressure_at_most)
{
	static const char body[] =
		"<flash-drum tag='D' design-pressure='7 barg'><relief-valve tag='A' set-pressure='%s'/>"
		"<relief-valve tag='B' set-pressure='7.3 barg'/></flash-drum>";
	review_unit(arena_format(&trial.arena, body, "7 barg"));
	cr_expect_eq(verdict("RLF-001", "A"), VERDICT_MEETS);
	cr_expect_eq(verdict("RLF-001", "B"), VERDICT_NOT_APPLICABLE, "the second may be set higher");
	cr_expect_eq(verdict("RLF-033", "B"), VERDICT_MEETS, "by 5 %%: 7.35 barg");
	cr_expect_eq(verdict("RLF-033", "A"), VERDICT_NOT_APPLICABLE);
	review_unit(arena_format(&trial.arena, body, "7.2 barg"));
	cr_expect_eq(verdict("RLF-001", "A"), VERDICT_DEPARTS);
	review_unit("<flash-drum tag='D'><relief-valve tag='A' set-pressure='7 barg'/></flash-drum>");
	cr_expect_eq(verdict("RLF-001", "A"), VERDICT_NOT_JUDGED);
}

Test(protection, a_valve_sized_for_a_case_covers_it_if_it_can)
{
	static const struct {
		const char *inside, *covered;
	} rows[] = {{"sized-for='gas blow-by' capacity='5 t/h' required='4 t/h'/>", "yes"},
		{"sized-for='gas blow-by' capacity='5 t/h' required='6 t/h'/>", "no"},
		{"sized-for='gas blow-by'/>", "yes"}, {"sized-for='fire'/>", NULL},
		{"capacity='5 t/h'><relief-case name='gas blow-by' required='4 t/h'/></relief-valve>", "yes"},
		{"capacity='5 t/h'><relief-case name='gas blow-by' required='4 t/h' covered='no'/></relief-valve>",
			"no"},
		{"capacity='3 t/h'><relief-case name='gas blow-by' required='4 t/h'/></relief-valve>", "no"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<flash-drum tag='D' design-pressure='7 barg'><relief-valve tag='A' %s</flash-drum>",
			rows[i].inside));
		const struct quantity *covers = value("D", "covers-blow-by");
		if (rows[i].covered)
			cr_expect_str_eq(covers->word, rows[i].covered, "%s", rows[i].inside);
		else
			cr_expect_eq(covers->known, UNKNOWN, "%s", rows[i].inside);
	}
	cr_expect_eq(verdict("RLF-002", "A relief case gas blow-by"), VERDICT_DEPARTS);
	review_unit("<flash-drum tag='D'><relief-valve tag='A' capacity='5 t/h' required='90 kmol/h'/></flash-drum>");
	cr_expect_eq(verdict("RLF-002", "A"), VERDICT_NOT_JUDGED, "by mass and by moles");
}

/* ---- trips ---- */

Test(protection, a_trip_shuts_what_it_closes)
{
	static const struct {
		const char *trip, *shut;
	} rows[] = {{"on='low level' closes='LV'", "yes"}, {"on='low level' closes='XV other'", "yes"},
		{"on='low level' closes='L-1'", "yes"}, {"on='low level' closes='other'", NULL},
		{"on='high level' closes='LV'", NULL}, {"on='low level' closes='LV' independent='no'", NULL},
		{"on='low level' closes='LV' independent='yes'", "yes"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<absorber tag='C'><trip tag='LSLL' %s/></absorber><line tag='L-1'><valve tag='LV' "
			"role='letdown'/>"
			"<valve tag='XV' role='emergency shut-off'/></line><line tag='other'/>",
			rows[i].trip));
		const struct quantity *shut = value("LV", "low-level-shut-off");
		cr_expect(rows[i].shut ? shut && text_same(shut->word, rows[i].shut) : !shut, "%s", rows[i].trip);
	}
	review_unit(
		"<pump tag='P' service='lean'><trip on='low flow' stops='P' closes='L-1'/></pump><line tag='L-1'/>");
	cr_expect_str_eq(value("P", "minimum-flow-protection")->word, "yes");
	cr_expect_str_eq(value("P", "low-flow-shut-off")->word, "yes");
}

/* ---- flow coefficients ---- */

/*
 * 100 US gpm of water (999.1 kg/m3) over 25 psi needs 100 / 5 = 20 Cv, by the definition of the coefficient. A valve of 25 Cv is
 * then at 0.8.
 */
Test(protection, a_flow_coefficient_by_its_definition)
{
	static const char body[] =
		"<line tag='L' service='lean' flow='100 gpm' density='999.1 kg/m3'><valve tag='LV' role='letdown' "
		"upstream-pressure='125 psia' downstream-pressure='100 psia' cv='%s' relief-cv='20 Cv'/></line>";
	review_unit(arena_format(&trial.arena, body, "25 Cv"));
	cr_expect_float_eq(number("LV", "cv-needed", "Cv"), 20, 1e-6);
	cr_expect_float_eq(number("LV", "cv-used", ""), 0.8, 1e-6);
	cr_expect_eq(verdict("RLF-004", "LV"), VERDICT_MEETS);
	cr_expect_eq(verdict("RLF-003", "LV"), VERDICT_DEPARTS, "the relief was sized for less");
	review_unit(arena_format(&trial.arena, body, "15 Kv"));
	cr_expect_eq(verdict("RLF-004", "LV"), VERDICT_DEPARTS, "15 Kv are 17.3 Cv");
	cr_expect_eq(verdict("RLF-003", "LV"), VERDICT_MEETS);
}

/* ---- in parallel ---- */

/* 80 m3/h through two lines of 100 mm: 80 / 2 / 3600 / (pi 0.1^2 / 4) is 1.4147 m/s; of 60 % 1.6977; of the whole 2.8294. */
Test(protection, each_of_several_takes_its_share)
{
	static const char body[] =
		"<stream id='s' service='lean' flow='80 m3/h' density='1000 kg/m3' temperature='50 degC'/>"
		"<line tag='L' stream='s' bore='100 mm' %s><elbow bore='100 mm'/></line>";
	static const struct {
		const char *shares;
		double velocity;
	} rows[] = {{"", 2.8294}, {"installed='2' in-use='2'", 1.4147}, {"flow-share='60 %'", 1.6977},
		{"installed='3' in-use='1'", 2.8294}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena, body, rows[i].shares));
		cr_expect_float_eq(number("L", "velocity", "m/s"), rows[i].velocity, 2e-4, "%s", rows[i].shares);
		cr_expect_float_eq(
			number("L elbow", "velocity", "m/s"), rows[i].velocity, 2e-4, "its elbow takes no share of it");
	}
	review_unit("<stream id='s' service='lean' flow='80 t/h'/><stream id='t' from='s' flow-share='30 %'/>"
		    "<stream id='u' from='s' flow-share='70 %'/>");
	cr_expect_float_eq(number("t", "mass-flow", "t/h"), 24, 1e-9);
	cr_expect_float_eq(number("u", "mass-flow", "t/h"), 56, 1e-9);
	review_unit("<stream id='s' service='lean' flow='80 t/h'/><exchanger tag='E' installed='2' "
		    "in-use='2'><tube-side inlet='s'>"
		    "<nozzle tag='N' stream='s'/></tube-side></exchanger>");
	cr_expect_float_eq(number("E tube side", "mass-flow", "t/h"), 40, 1e-9);
	cr_expect_float_eq(number("N", "mass-flow", "t/h"), 40, 1e-9);
}

Test(protection, pumps_in_use_share_the_flow_of_the_case)
{
	review_unit("<stream id='s' service='lean' flow='80 m3/h' density='1000 kg/m3'><in case='hot' flow='110 "
		    "m3/h'/></stream>"
		    "<pump tag='P' service='lean' stream='s' installed='3' in-use='2' rated-flow='50 m3/h' "
		    "minimum-flow='45 m3/h'/>"
		    "<pump tag='Q' service='lean' stream='s' rated-flow='90 m3/h'/>");
	cr_expect_float_eq(number("P", "flow-over-rated", ""), 0.8, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "P", "hot", "flow-over-rated", ""), 1.1, 1e-9);
	cr_expect_float_eq(number("P", "flow-over-minimum", ""), 40 / 45.0, 1e-9);
	cr_expect_eq(verdict("PMP-005", "P"), VERDICT_DEPARTS, "in the hot case");
	cr_expect_float_eq(number("Q", "flow-over-rated", ""), 80 / 90.0, 1e-9, "one pump moves it all");
}

/* ---- what cools ---- */

/* 100 t/h of water from 26 to 36 degC at 4.179 kJ/(kg K): 1160.8 kW (IAPWS-IF97). */
Test(protection, heat_of_cooling_water)
{
	review_unit("<cooler tag='E' service='lean' cooling-medium='cooling water' outlet-temperature='40 degC' "
		    "medium-flow='100 t/h' "
		    "medium-outlet-temperature='36 degC' duty='1.15 MW'/>"
		    "<cooler tag='F' service='lean' cooling-medium='cooling water' medium-flow='440 gpm' "
		    "medium-outlet-temperature='36 degC' duty='5 MW'/>");
	cr_expect_float_eq(number("E", "medium-inlet-temperature", "degC"), 26, 1e-6, "of the site");
	cr_expect_float_eq(trial_number(&trial, "E", "hot", "medium-inlet-temperature", "degC"), 31, 1e-6);
	cr_expect_float_eq(number("E", "medium-duty", "kW"), 1160.8, 1);
	cr_expect_float_eq(number("E", "approach-to-medium", "K"), 14, 1e-6);
	cr_expect_eq(verdict("CLG-004", "E"), VERDICT_MEETS);
	cr_expect_eq(verdict("CLG-004", "F"), VERDICT_DEPARTS);
}

/* 40 degC by air of 35 degC is an approach of 5 K; by the 43 degC of the hot case it cannot be. */
Test(protection, nothing_is_cooled_below_what_cools_it)
{
	static const char body[] =
		"<cooler tag='E' service='lean' cooling-medium='air' outlet-temperature='40 degC'>%s</cooler>";
	review_unit(arena_format(&trial.arena, body, ""));
	cr_expect_eq(verdict("CLG-001", "E"), VERDICT_DEPARTS);
	review_unit(arena_format(&trial.arena, body, "<in case='hot' outlet-temperature='52 degC'/>"));
	cr_expect_eq(verdict("CLG-001", "E"), VERDICT_MEETS);
	cr_expect_eq(verdict("CLG-002", "E"), VERDICT_DEPARTS, "5 K to air in the normal case");
}

/* Streams of the sides say it all: 120 t/h of dry air from 35 to 55 degC is 120 / 3.6 x 1.007 x 20 = 671 kW. */
Test(protection, a_medium_by_its_streams)
{
	review_unit("<stream id='a' service='air' flow='120 t/h' temperature='35 degC' pressure='1 bara'/>"
		    "<stream id='b' service='air' from='a' temperature='55 degC' pressure='1 bara'/>"
		    "<stream id='l' service='lean' temperature='53 degC'/><stream id='m' service='lean' from='l' "
		    "temperature='45 degC'/>"
		    "<cooler tag='E' service='lean' duty='0.67 MW'><tube-side inlet='l' outlet='m'/>"
		    "<shell-side inlet='a' outlet='b'/></cooler>");
	cr_expect_float_eq(number("E", "medium-duty", "kW"), 671.3, 1);
	cr_expect_float_eq(number("E", "approach-to-medium", "K"), 10, 1e-6);
	cr_expect_float_eq(number("E", "medium-over-process", "K"), 2, 1e-6);
	cr_expect_eq(verdict("CLG-003", "E"), VERDICT_DEPARTS);
}

/* UNESCO 1983: 1023.343 kg/m3 at 25 degC and a salinity of 35, the check value of the equation (from memory). */
Test(protection, density_of_sea_water)
{
	cr_expect_float_eq(water_sea_density(298.15), 1023.343, 0.02);
	cr_expect(isnan(water_sea_density(330)) && isnan(water_sea_density(260)));
	review_unit("<stream id='s' service='sea water' temperature='25 degC'/><stream id='w' service='wash water'/>"
		    "<stream id='t' service='sea water'/>");
	cr_expect_float_eq(number("s", "density", "kg/m3"), 1023.343, 0.02);
	cr_expect_float_eq(number("w", "density", "kg/m3"), 994, 8);
	cr_expect_lt(
		value("w", "density")->uncertainty, 20, "known to two hundredths though nobody states its temperature");
	cr_expect_float_eq(number("t", "density", "kg/m3"), 1024.8, 1);
}

/* ---- reboilers ---- */

/* Steam of 4.5 bara saturates at 147.9 degC (IAPWS-IF97): (121 + 147.9) / 2 is 134.5 degC. 24 kW/m2 over 2 kW/(m2 K): 12 K. */
Test(protection, bulk_and_film_whatever_heats_it)
{
	static const struct {
		const char *reboiler;
		double film; /* degC */
	} rows[] = {{"heating-medium='steam' steam-pressure='4.5 bara'", 134.5},
		{"heating-medium='hot oil' hot-oil-temperature='221 degC'", 171},
		{"type='hot oil' medium-inlet-temperature='221 degC'", 171},
		{"heating-medium='hot water' medium-inlet-temperature='161 degC'", 141},
		{"heating-medium='process stream' type='forced circulation' medium-inlet-temperature='181 degC'", 151},
		{"type='fired' heat-flux='24 kW/m2'", 133},
		{"heating-medium='electricity' duty='2.4 MW' area='100 m2'", 133},
		{"type='internal bundle' heating-medium='flue gas' heat-flux='24 kW/m2'", 133},
		{"heating-medium='steam' heat-flux='24 kW/m2'", 133}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<stream id='l' service='lean' temperature='121 degC'/><reboiler tag='E' lean='l' %s/>",
			rows[i].reboiler));
		cr_expect_float_eq(number("E", "bulk-temperature", "degC"), 121, 1e-6, "%s", rows[i].reboiler);
		cr_expect_float_eq(number("E", "film-temperature", "degC"), rows[i].film, 0.1, "%s", rows[i].reboiler);
		cr_expect_eq(verdict("TMP-016", "E"), VERDICT_MEETS, "%s", rows[i].reboiler);
	}
	review_unit("<reboiler tag='E' bulk-temperature='125 degC' heating-medium='process stream' "
		    "medium-inlet-temperature='280 degC'/>");
	cr_expect_eq(verdict("TMP-016", "E"), VERDICT_DEPARTS);
	review_unit("<regenerator tag='C' bottom-temperature='134 degC'/><reboiler tag='E' regenerator='C' "
		    "heating-medium='hot oil'/>");
	cr_expect_float_eq(number("E", "bulk-temperature", "degC"), 134, 1e-6, "of the tower it serves");
	cr_expect_eq(verdict("TMP-003", "E"), VERDICT_DEPARTS);
	cr_expect_eq(verdict("TMP-016", "E"), VERDICT_NOT_JUDGED, "nobody says how hot the oil is");
}
