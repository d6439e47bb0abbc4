/*
 * What rules of practice are judged by, by hand: pumps and draws, relief losses, towers at both ends, what builds up in the solution; and
 * the force of rules on each side of where it changes. Designs are invented.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/ledger.h"
#include "compute/suction.h"
#include "pipeline/stages.h"
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

TestSuite(practice, .init = begin, .fini = end);

static void unit(const char *body)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, "%s", body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

/* ---- by hand ---- */

/* 0.9 m/s in 154.05 mm: 0.9 / (9.80665 x 0.15405)^0.5 = 0.7322; 0.31 is 0.381 m/s there. */
Test(practice, a_draw_that_vents_itself_by_its_froude_number)
{
	cr_expect_float_eq(suction_froude(0.9, 0.15405), 0.7322, 1e-4);
	cr_expect_float_eq(suction_froude(0.381, 0.15405), 0.31, 1e-3);
	unit("<stream id='L' service='lean' flow='20 m3/h' temperature='120 degC'/>"
	     "<line tag='A' stream='L' size='NPS 6' schedule='40' place='hot lean draw'/>"
	     "<line tag='B' stream='L' size='NPS 8' schedule='40' place='hot lean draw'/>"
	     "<line tag='C' stream='L' size='NPS 6' schedule='40'/>");
	/* 20 m3/h in 154.05 mm is 0.298 m/s, Fr 0.2425; 30 m3/h would depart */
	cr_expect_float_eq(trial_number(&trial, "A", NULL, "froude", ""), 0.2425, 5e-4);
	cr_expect_eq(trial_finding(&trial, "VEL-007", "A")->verdict, VERDICT_MEETS);
	cr_expect_eq(trial_finding(&trial, "VEL-007", "C")->verdict, VERDICT_NOT_APPLICABLE);
}

/* 57 of 95 m3/h; two in use share the flow. */
Test(practice, a_pump_beside_its_best_flow)
{
	unit("<pump tag='P' service='lean' flow='57 m3/h' best-efficiency-flow='95 m3/h'/>"
	     "<pump tag='Q' service='lean' flow='90 m3/h' best-efficiency-flow='95 m3/h'/>");
	cr_expect_float_eq(trial_number(&trial, "P", NULL, "flow-over-best", ""), 0.6, 1e-9);
	cr_expect_eq(trial_finding(&trial, "PRA-018", "P")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(trial_finding(&trial, "PRA-018", "Q")->verdict, VERDICT_MEETS);
}

/* As gauges show it: 0.45 of 15 bar is 3 %, whatever the atmosphere. */
Test(practice, losses_of_a_relief_valve_over_its_set_pressure)
{
	unit("<vessel tag='V' design-pressure='15 barg'><relief-valve tag='S' set-pressure='15 barg' inlet-loss='0.3 "
	     "bar' "
	     "back-pressure='3 bar' balanced='yes'/></vessel>"
	     "<vessel tag='W' design-pressure='15 barg'><relief-valve tag='T' set-pressure='15 barg' inlet-loss='0.6 "
	     "bar' "
	     "back-pressure='3 bar'/></vessel>");
	cr_expect_float_eq(trial_number(&trial, "S", NULL, "inlet-loss-over-set", "%"), 2, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "S", NULL, "back-pressure-over-set", "%"), 20, 1e-6);
	cr_expect_eq(trial_finding(&trial, "PRA-019", "S")->verdict, VERDICT_MEETS);
	cr_expect_eq(trial_finding(&trial, "PRA-020", "S")->verdict, VERDICT_MEETS);
	cr_expect_eq(trial_finding(&trial, "PRA-019", "T")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(trial_finding(&trial, "PRA-020", "T")->verdict, VERDICT_DEPARTS);
}

/* 36 m3/h through 0.1 m2 is 0.1 m/s. */
Test(practice, downcomers_by_the_liquid_that_leaves)
{
	unit("<stream id='R' service='rich' flow='36 m3/h' temperature='60 degC'/>"
	     "<absorber tag='C' rich='R' downcomer-area='0.1 m2'/><absorber tag='D' rich='R' downcomer-area='0.2 "
	     "m2'/>");
	cr_expect_float_eq(trial_number(&trial, "C", NULL, "downcomer-velocity", "m/s"), 0.1, 1e-9);
	cr_expect_eq(trial_finding(&trial, "CAP-016", "C")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(trial_finding(&trial, "CAP-016", "D")->verdict, VERDICT_MEETS);
}

/* Treated gas of a low pressure that expands on its way up loads the top more than the bottom, and the top is judged. */
Test(practice, the_end_of_a_tower_that_is_loaded_more_is_judged)
{
	static const char tower[] =
		"<gas id='G' role='feed' flow='20 MMscfd' temperature='40 degC' pressure='%s' h2s='1 mol%%' "
		"molar-mass='20 g/mol'/>"
		"<gas id='T' role='treated' flow='20 MMscfd' temperature='44 degC' pressure='5.5 barg' "
		"molar-mass='19.8 g/mol'/>"
		"<stream id='R' service='rich' flow='31 t/h' temperature='60 degC' h2s='0.3' co2='0.05'/>"
		"<stream id='L' service='lean' flow='30 t/h' temperature='45 degC' h2s='0.005' co2='0.002'/>"
		"<absorber tag='C' gas='G' treated='T' rich='R' lean='L' contact='trays' tray-spacing='610 mm' "
		"diameter='1.6 m'/>";
	static const struct {
		const char *feed;
		bool top;
	} rows[] = {{"9 barg", true}, {"4 barg", false}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena, tower, rows[i].feed));
		double top = trial_number(&trial, "C", NULL, "flooding-at-top", "%"),
		       bottom = trial_number(&trial, "C", NULL, "flooding-screened", "%"),
		       judged = trial_number(&trial, "C", NULL, "flooding-judged", "%");
		cr_expect_eq(top > bottom, rows[i].top, "%s: %g and %g", rows[i].feed, top, bottom);
		cr_expect_float_eq(judged, fmax(top, bottom), 1e-9);
	}
}

/* 1 kg/d into 100 t: 30.4375 kg a month, 304.4 ppmw. */
Test(practice, what_comes_in_over_what_the_circuit_holds)
{
	cr_expect_float_eq(ledger_rise(1 / 86400.0, 100e3), 304.375e-6, 1e-9);
	unit("<gas id='G' role='feed' flow='1000 kmol/h' o2='100 ppmv' h2s='1 mol%'/>"
	     "<reclaimer tag='X' type='ion exchange' salts-removed='10 kg/d'/>");
	cr_expect_null(
		trial_value(&trial, "solvent", NULL, "salts-by-oxygen")); /* nobody says what the circuit holds */
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis/><solvent amine='MDEA' inventory='100 t' "
		"chloride='100 ppmw'>"
		"<make-up-water flow='100 kg/h' chloride='20 ppmw'/></solvent>"
		"<gas id='G' role='feed' flow='1000 kmol/h' o2='100 ppmv' h2s='1 mol%'/>"
		"<reclaimer tag='X' type='ion exchange' salts-removed='10 kg/d'/></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	/* 0.1 kmol/h of oxygen, mole for mole 4.5017 kg/h of formate: 730.5 h x 4.5017 / 100 t = 3.288 wt% */
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "salts-by-oxygen", "wt%"), 3.288, 2e-3);
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "salts-out", "wt%"), 0.3044, 1e-4);
	/* 2 g/h x 730.5 h / 100 t = 14.61 ppmw; 400 ppmw to go: 27 months */
	cr_expect_float_eq(trial_number(&trial, "solvent", NULL, "chloride-rise-by-sources", "ppmw"), 14.61, 1e-2);
	cr_expect_eq(trial_finding(&trial, "PRA-025", "solvent")->verdict, VERDICT_MEETS);
	cr_expect_eq(trial_finding(&trial, "PRA-026", "solvent")->verdict, VERDICT_DEPARTS);
}

/* Cold lean steel as welded: what a lost cooler brings is told, and the rule on stress relief itself stays as it was. */
Test(practice, lost_cooling_of_lean_steel_as_welded)
{
	static const char body[] =
		"<stream id='H' service='lean' to='K' flow='50 t/h' temperature='%s'/>"
		"<stream id='C' service='lean' from='K' flow='50 t/h' temperature='45 degC'/>"
		"<cooler tag='K' service='lean' cooling-medium='cooling water'><shell-side inlet='H' outlet='C' "
		"material='316L'/></cooler>"
		"<line tag='L' stream='C' material='carbon steel' pwht='%s' traced='no' steamed-out='no'/>";
	static const struct {
		const char *hot, *pwht;
		enum verdict verdict;
	} rows[] = {{"92 degC", "no", VERDICT_DEPARTS}, {"70 degC", "no", VERDICT_MEETS},
		{"92 degC", "yes", VERDICT_MEETS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena, body, rows[i].hot, rows[i].pwht));
		cr_expect_eq(trial_finding(&trial, "PRA-016", "L")->verdict, rows[i].verdict, "row %zu", i);
		cr_expect_neq(trial_finding(&trial, "CRK-004", "L")->verdict, VERDICT_DEPARTS);
	}
}

/* Acid gas lowers the pH by itself: what a clean solution of this loading has is no sign of salts. */
Test(practice, a_ph_is_held_against_that_of_the_clean_solution)
{
	static const char design[] = "<unit xmlns='urn:leanrich:unit:1' number='T'><basis/><solvent amine='MDEA' "
				     "strength='45 wt%%' ph='%s'/>"
				     "<stream id='L' service='lean' temperature='45 degC' h2s='%s' co2='%s'/></unit>";
	static const struct {
		const char *ph, *h2s, *co2;
		enum verdict verdict;
	} rows[] = {{"10.3", "0.01", "0.01", VERDICT_MEETS}, {"9.2", "0.01", "0.01", VERDICT_DEPARTS},
		{"10.3", "0", "0", VERDICT_DEPARTS}, {"11.2", "0.001", "0.001", VERDICT_MEETS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, arena_format(&trial.arena, design, rows[i].ph, rows[i].h2s, rows[i].co2));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct quantity *clean = trial_value(&trial, "solvent", NULL, "ph-of-clean");
		cr_expect(trial_finding(&trial, "LOD-020", "solvent")->verdict == rows[i].verdict, "row %zu: clean %g",
			i, clean ? clean->si : (double)NAN);
	}
}

/* ---- force, on each side ---- */

#define UNIT(basis, solvent, body)                                                                                     \
	"<unit xmlns='urn:leanrich:unit:1' number='T'><basis " basis "/><solvent " solvent "/>" body "</unit>"
#define SAMPLE(what, h2s)                                                                                              \
	UNIT("", "amine='MDEA'",                                                                                       \
		"<gas id='G' role='feed' h2s='" h2s "' co2='2 mol%' pressure='20 barg'/><monitoring>"                  \
		"<sample-point tag='SP' what='" what "' closed-loop='no' cooled='yes'/></monitoring>"),                \
		"SP"
#define HOT_RICH(metal)                                                                                                \
	UNIT("", "amine='MDEA' strength='45 wt%'",                                                                     \
		"<stream id='R' service='rich' temperature='110 degC' pressure='1.5 barg' h2s='0.3' co2='0.1'/>"       \
		"<line tag='L' stream='R' material='" metal "'/>"),                                                    \
		"L"

#define RICH(amine, loading)                                                                                           \
	UNIT("", "amine='" amine "'", "<stream id='R' service='rich' temperature='60 degC' loading='" loading "'/>"),  \
		"R"
#define LETDOWN(where, design)                                                                                         \
	UNIT("", "amine='MDEA'",                                                                                       \
		"<stream id='R' service='rich' from='C' to='V'/><flash-drum tag='V' rich='R' design-pressure='" design \
		"'/><absorber tag='C' rich='R' design-pressure='60 barg'/><line tag='L' stream='R'>"                   \
		"<valve tag='LV' role='letdown' upstream-pressure='55 barg' downstream-pressure='6 barg' "             \
		"specification-break='" where "'/></line>"),                                                           \
		"LV"
#define COLD(amine)                                                                                                    \
	UNIT("kind='new'", amine,                                                                                      \
		"<line tag='P' service='lean' material='carbon steel' pwht='no' temperature='45 degC' traced='no' "    \
		"steamed-out='no'/>"),                                                                                 \
		"T"
#define DUTY(stated)                                                                                                   \
	UNIT("", "amine='MDEA'",                                                                                       \
		"<reboiler tag='E' heating-medium='steam' steam-pressure='3.5 barg' steam-flow='10 t/h' duty='" stated \
		"'/>"),                                                                                                \
		"E"

/* 10 t/h of dry saturated steam of 3.5 barg, latent heat 2120 kJ/kg: 5.889 MW. */
Test(practice, the_force_of_rules_on_each_side)
{
	static const struct {
		const char *design, *item, *rule;
		enum verdict verdict;
		enum force force;
	} rows[] = {
		{RICH("MDEA", "0.48"), "LOD-003", VERDICT_MEETS, FORCE_ADVISORY},
		{RICH("MDEA", "0.53"), "LOD-003", VERDICT_DEPARTS, FORCE_ADVISORY},
		{RICH("MDEA", "0.95"), "LOD-003", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{RICH("DEA", "0.60"), "LOD-002", VERDICT_DEPARTS, FORCE_ADVISORY},
		{RICH("DEA", "0.80"), "LOD-002", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{LETDOWN("at the control valve", "8 barg"), "HLP-006", VERDICT_DEPARTS, FORCE_REQUIRED},
		{LETDOWN("at the last block valve", "8 barg"), "HLP-006", VERDICT_MEETS, FORCE_REQUIRED},
		{LETDOWN("at the control valve", "61 barg"), "HLP-006", VERDICT_MEETS, FORCE_REQUIRED},
		{SAMPLE("rich", "1 mol%"), "MON-004", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{SAMPLE("lean", "1 mol%"), "MON-004", VERDICT_DEPARTS, FORCE_ADVISORY},
		{HOT_RICH("carbon steel"), "FLS-001", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{HOT_RICH("316L"), "FLS-001", VERDICT_DEPARTS, FORCE_ADVISORY},
		{COLD("amine='MDEA'"), "CRK-026", VERDICT_DEPARTS, FORCE_ADVISORY},
		{COLD("amine='MDEA' activated='yes'"), "CRK-026", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{COLD("amine='DEA'"), "CRK-026", VERDICT_DEPARTS, FORCE_RECOMMENDED},
		{DUTY("5.9 MW"), "BAL-008", VERDICT_MEETS, FORCE_REQUIRED},
		{DUTY("6.4 MW"), "BAL-008", VERDICT_DEPARTS, FORCE_ADVISORY},
		{DUTY("7.2 MW"), "BAL-008", VERDICT_DEPARTS, FORCE_REQUIRED},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, rows[i].design);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct item *unit_itself = table_sole(trial.table, "unit");
		const char *item = strcmp(rows[i].item, "T") == 0 ? unit_itself->tag : rows[i].item;
		const struct finding *found = trial_finding(&trial, rows[i].rule, item);
		cr_assert_not_null(found, "row %zu", i);
		cr_expect_eq(found->verdict, rows[i].verdict, "row %zu: %s", i, verdict_word(found->verdict));
		cr_expect(found->verdict != VERDICT_DEPARTS || found->force == rows[i].force, "row %zu: %s", i,
			force_word(found->force));
	}
}

/* A force that its evidence does not give is held by a rule that has been seen to depart and to be met. */
Test(practice, what_is_held_has_an_example_on_each_side)
{
	size_t held = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		bool departs = false, meets = false;
		for (size_t k = 0; k < rule->example_count; k++) {
			departs = departs || rule->examples[k].verdict == VERDICT_DEPARTS;
			meets = meets || rule->examples[k].verdict == VERDICT_MEETS;
		}
		held += rule->held;
		cr_expect(!rule->held || (departs && meets), "%s", rule->id);
	}
	cr_expect(held > 20, "%zu", held);
}
