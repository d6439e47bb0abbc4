/*
 * More published accounts as designs (tests/designs): what each must be flagged for, and the controls that must not be. What an
 * account does not state is named in its file.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "compute/local.h"
#include "judge/answers.h"
#include "review_support.h"
#include "write/write.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(accounts, .init = begin, .fini = end);

static void review(const char *name)
{
	trial_review_file(&trial, arena_format(&trial.arena, "tests/designs/%s.xml", name));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct finding *expect(const char *rule, const char *item, enum verdict verdict)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	cr_assert_not_null(found, "%s does not select %s", rule, item);
	cr_expect(found->verdict == verdict, "%s on %s: %s, not %s: %s", rule, item, verdict_word(found->verdict),
		verdict_word(verdict), found->message);
	return found;
}

/* Whether the limit of this source (and name, if any) is met. */
static enum truth met(const struct finding *finding, const char *source, const char *name)
{
	for (size_t i = 0; i < finding->limit_count; i++) {
		const struct limit *limit = finding->limits[i].limit;
		if (strcmp(limit->source->key, source) == 0 && (!name || strcmp(limit->name, name) == 0))
			return finding->limits[i].met;
	}
	cr_assert_fail("%s shows no limit of %s", finding->rule->id, source);
	return PERHAPS;
}

/* Departures of the families that speak of metal and attack. */
static size_t corrosion_departures(void)
{
	static const char families[] = "CRK WHS VEL MAT LCV OVH TMP LOD SUL FAB FLS RBR";
	size_t count = 0;
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		char prefix[4] = {found->rule->id[0], found->rule->id[1], found->rule->id[2], 0};
		count += found->verdict == VERDICT_DEPARTS && strstr(families, prefix);
	}
	return count;
}

/* The liner did not cover the replaced course (TWI case study of the rupture of 1984). */
Test(accounts, the_liner_of_1984)
{
	review("k01");
	expect("MAT-030", "C-1 zone head", VERDICT_DEPARTS);
	cr_expect(expect("CRK-016", "C-1 zone shell course", VERDICT_DEPARTS)->value->si > 22);
}

/* NACE Task Group T-8-14, CORROSION/87: any carbon steel weld in lean amine is worth a word. */
Test(accounts, the_survey_stands_beside_every_amine)
{
	static const char *const rules[] = {"CRK-001", "CRK-002", "CRK-003", "CRK-004"};
	review("k03");
	expect("CRK-003", "4-P-1", VERDICT_DEPARTS);
	for (size_t i = 0; i < COUNT(rules); i++) {
		const struct rule *rule = catalogue_rule(trial.catalogue, rules[i]);
		bool cited = false;
		for (size_t k = 0; k < rule->limit_count; k++)
			cited = cited || strcmp(rule->limits[k].source->key, "nace-survey1987") == 0;
		cr_expect(cited, "%s does not cite the survey", rules[i]);
	}
}

/* US Chemical Safety Board 2024: a control, nothing on corrosion. */
Test(accounts, two_identical_trains)
{
	review("k04");
	expect("HLP-012", "basis", VERDICT_DEPARTS);
	cr_expect_eq(corrosion_departures(), 0);
}

/* Panahi 2017 */
Test(accounts, plates_of_304_under_the_gasket)
{
	review("k08");
	expect("MAT-007", "E-1 plate side", VERDICT_DEPARTS);
	expect("LOD-013", "solvent anion formate", VERDICT_DEPARTS);
}

/* Daughtry and Teletzke: 620 gpm against 660; 9 ft against 5 */
Test(accounts, a_pump_below_its_minimum_though_the_suction_head_suffices)
{
	review("k10");
	cr_expect_float_eq(expect("PMP-001", "P-1", VERDICT_DEPARTS)->value->si, 620. / 660, 1e-9);
	expect("PMP-002", "P-1", VERDICT_MEETS);
}

/* Perdu, Kittel and Bonis 2014 */
Test(accounts, dea_on_gas_with_co2_alone)
{
	review("k12");
	expect("LOD-019", "sweet", VERDICT_DEPARTS);
	expect("LOD-017", "solvent", VERDICT_NOT_APPLICABLE); /* the figure is one for solution that holds H2S */
	expect("MAT-016", "C-1 internals", VERDICT_DEPARTS);
	expect("MAT-016", "C-2 internals", VERDICT_DEPARTS);
	expect("EXC-005", "E-1", VERDICT_DEPARTS);
}

/* Keaton and Bourke 1983, in Kohl and Nielsen 1997, p. 253: a control. */
Test(accounts, a_carbon_filter_as_designed)
{
	review("k16");
	expect("FIL-006", "V-1", VERDICT_MEETS);
	expect("FIL-007", "V-1", VERDICT_MEETS);
	expect("FIL-008", "V-1", VERDICT_MEETS);
	expect("FIL-010", "V-1", VERDICT_NOT_JUDGED); /* the temperature is not stated */
	for (size_t i = 0; i < trial.review->judgement.count; i++)
		cr_expect(trial.review->judgement.findings[i].verdict != VERDICT_DEPARTS, "%s",
			trial.review->judgement.findings[i].message);
}

/* Practitioners: 1140 degF is inside 1100 to 1200, below 1150; 620 degC is just missed. */
Test(accounts, every_range_of_stress_relief_stands_beside_1140_degf)
{
	review("f01");
	const struct finding *coldest = expect("CRK-010", "C-1", VERDICT_DEPARTS);
	cr_expect(met(coldest, "api945-quoted", NULL) == YES);
	cr_expect(met(coldest, "api582", NULL) == NO);
	cr_expect(met(coldest, "sp0472", NULL) == NO);
	expect("CRK-009", "C-1", VERDICT_MEETS); /* 1155 degF is 623.9 degC */
	expect("CRK-015", "C-1", VERDICT_MEETS);
}

/* Practitioners: 4 h 07 for 262 mm, where an hour for 25 mm asks for 10.48 h. */
Test(accounts, a_thick_vessel_held_too_short)
{
	review("f02");
	expect("CRK-012", "C-1", VERDICT_DEPARTS);
}

Test(accounts, a_clad_head_with_cracked_seams)
{
	review("f07");
	expect("CRK-021", "C-1 part Clad seams of the top head", VERDICT_DEPARTS);
	expect("CRK-019", "C-1 repair Ground and welded seams", VERDICT_DEPARTS);
	expect("CRK-024", "C-1", VERDICT_DEPARTS);
}

Test(accounts, a_refinery_unit_that_corrodes)
{
	review("f11");
	expect("LOD-003", "rich-hot", VERDICT_DEPARTS);
	expect("VEL-002", "4-P-1", VERDICT_DEPARTS);
	expect("LOD-011", "solvent", VERDICT_DEPARTS);
	expect("OVH-001", "V-1", VERDICT_DEPARTS);
}

/* Kept at 4 K: nothing is said of the case; at 2 K foam. */
Test(accounts, an_approach_that_foams)
{
	review("f13");
	const struct finding *found = expect("TMP-012", "C-1", VERDICT_DEPARTS);
	cr_expect_float_eq(found->value->si, 2, 1e-9);
	cr_expect_str_eq(table_case(trial.table, found->operating_case)->id, "cold");
}

/* The demo has faults of every family: still no item is flagged for one cause by two rules. */
Test(accounts, one_cause_is_said_once)
{
	static const char *const pairs[][2] = {{"ABS-001", "ABS-003"}, {"ABS-005", "ABS-004"}, {"CRK-004", "CRK-009"},
		{"CRK-004", "CRK-012"}, {"CRK-004", "CRK-020"}, {"TMP-001", "TMP-002"}, {"TMP-006", "TMP-007"},
		{"WHS-006", "WHS-007"}, {"VEL-014", "MAT-021"}, {"TMP-001", "MAT-021"}, {"VEL-002", "LCV-002"},
		{"VEL-006", "LCV-003"}};
	trial_review_file(&trial, "designs/tern-quay.xml");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct judgement *judgement = &trial.review->judgement;
	for (size_t p = 0; p < COUNT(pairs); p++)
		for (size_t i = 0; i < judgement->count; i++) {
			const struct finding *first = &judgement->findings[i];
			if (first->verdict != VERDICT_DEPARTS || strcmp(first->rule->id, pairs[p][0]) != 0)
				continue;
			const struct finding *second = trial_finding(&trial, pairs[p][1], first->item->tag);
			cr_expect(!second || second->verdict != VERDICT_DEPARTS, "%s and %s on %s", pairs[p][0],
				pairs[p][1], first->item->tag);
		}
}

/* ---- deviations ---- */

Test(accounts, deviations_that_set_nothing_aside_are_findings)
{
	review("odds-mea");
	size_t departs = 0;
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		if (strcmp(found->rule->id, "DAT-009") == 0 && found->verdict == VERDICT_DEPARTS)
			departs++;
		if (i > 0) /* kept by rule, then item */
			cr_expect(found->rule >= trial.review->judgement.findings[i - 1].rule);
	}
	cr_expect_eq(departs, 2);
	trial_review_file(&trial, "designs/curlew-spit.xml"); /* its deviation applies */
	for (size_t i = 0; i < trial.review->judgement.count; i++)
		if (strcmp(trial.review->judgement.findings[i].rule->id, "DAT-009") == 0)
			cr_expect(trial.review->judgement.findings[i].verdict == VERDICT_MEETS);
}

#define BY_UNIT(body)                                                                                                  \
	"<unit xmlns='urn:leanrich:unit:1' number='T' date='2026-01-01'><basis kind='new'><case id='normal'/></basis>" \
	"<solvent amine='MDEA' strength='45 wt%'/><stream id='lean' service='lean' temperature='45 degC'/>"            \
	"<line tag='L-1' stream='lean' material='carbon steel' pwht='no' steamed-out='no' traced='no'/>"               \
	"<line tag='L-2' stream='lean' material='carbon steel' pwht='no' steamed-out='no' traced='no'/>"               \
	"<line tag='L-3' stream='lean' material='316L' steamed-out='no' traced='no'/>" body "</unit>"
#define SET_ASIDE(item, until)                                                                                         \
	"<deviation rule='CRK-026' item='" item "' because='cold' approved='A. N. Engineer' until='" until "'/>"

/* A finding on the unit lists places: it is accepted once each has a deviation in force, and not before. */
Test(accounts, places_that_a_finding_on_the_unit_lists_are_accepted_one_by_one)
{
	static const struct {
		const char *design;
		enum verdict verdict;
		enum deviation_state first;
	} rows[] = {
		{BY_UNIT(SET_ASIDE("L-1", "2027-01-01") SET_ASIDE("L-2", "2027-01-01")), VERDICT_ACCEPTED,
			DEVIATION_APPLIES},
		{BY_UNIT(SET_ASIDE("L-1", "2027-01-01")), VERDICT_DEPARTS, DEVIATION_IN_PART},
		{BY_UNIT(SET_ASIDE("L-1", "2027-01-01") SET_ASIDE("L-2", "2025-01-01")), VERDICT_DEPARTS,
			DEVIATION_IN_PART},
		{BY_UNIT(SET_ASIDE("L-1", "2025-01-01")), VERDICT_DEPARTS, DEVIATION_LAPSED},
		{BY_UNIT(SET_ASIDE("L-3", "2027-01-01")), VERDICT_DEPARTS, DEVIATION_MATCHES_NOTHING},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, rows[i].design);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const char *unit = table_sole(trial.table, "unit")->tag;
		cr_expect_eq(trial_finding(&trial, "CRK-026", unit)->verdict, rows[i].verdict, "%zu", i);
		for (size_t k = 0; k < trial.review->deviation_count; k++)
			cr_expect(rows[i].verdict != VERDICT_ACCEPTED ||
					trial.review->deviations[k].state == DEVIATION_APPLIES,
				"%zu", i);
		cr_expect_eq(trial.review->deviations[0].state, rows[i].first, "%zu: %s", i,
			deviation_word(trial.review->deviations[0].state));
	}
}

/* The page says what became of such a deviation. */
Test(accounts, the_page_tells_a_deviation_that_holds_for_one_of_several_places)
{
	char *page = NULL;
	size_t size;
	trial_review(&trial, BY_UNIT(SET_ASIDE("L-1", "2027-01-01")));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	FILE *out = open_memstream(&page, &size);
	cr_assert(out && write_html(trial.review, out));
	fclose(out);
	cr_expect_not_null(strstr(page, "holds for one of several places"));
	free(page);
}

/* What such a finding says of a place is said of a claim about it too; of a place that it does not list it says nothing. */
Test(accounts, a_finding_on_the_unit_answers_a_claim_about_a_place_that_it_lists)
{
	static const struct {
		const char *design;
		bool contradicted;
	} rows[] = {
		{BY_UNIT("<claim about='L-1' says='no stress relief needed'/>"), true},
		{BY_UNIT("<claim about='L-3' says='no stress relief needed'/>"), false},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial, rows[i].design);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct judgement *judgement = &trial.review->judgement;
		cr_assert_eq(judgement->answer_count, 1);
		cr_expect_eq(judgement->answers[0].state == ANSWER_CONTRADICTED, rows[i].contradicted, "%zu: %s", i,
			judgement->answers[0].found);
	}
}

/* Who approved it and until when is asked for by the rule on that, and by that alone. */
Test(accounts, a_deviation_without_approver_or_date_is_told_so)
{
	trial_review_unit(&trial, "DEA",
		"<line tag='P-1' service='rich' velocity='9 m/s' size='NPS 2' schedule='40' material='carbon steel'/>"
		"<deviation rule='VEL-002' item='P-1' because='thickness read yearly'/>"
		"<deviation rule='VEL-001' item='P-1' because='thickness read yearly' approved='piping lead'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_eq(trial_finding(&trial, "VEL-002", "P-1")->verdict, VERDICT_DEPARTS);
	struct items deviations = table_of_kind(trial.table, "deviation");
	const struct finding *first = trial_finding(&trial, "DAT-007", deviations.rows[0]->tag);
	const struct finding *second = trial_finding(&trial, "DAT-007", deviations.rows[1]->tag);
	cr_expect_str_eq(first->message,
		"The deviation from VEL-002 on P-1 lacks its approver and its expiry date. It has no effect.");
	cr_expect_str_eq(second->message, "The deviation from VEL-001 on P-1 lacks its expiry date. It has no effect.");
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		bool on_state = strcmp(found->rule->id, "DAT-009") == 0;
		cr_expect(!on_state || found->verdict == VERDICT_NOT_APPLICABLE, "%s", found->message);
		cr_expect(!strstr(found->message, "9999"), "%s", found->message);
	}
}

/* ---- what is computed ---- */

/* The integral of v r = k over the section gives the mean: f = 1 / ((x - 1/2) ln((x + 1/2)/(x - 1/2))), here by quadrature. */
Test(accounts, a_bend_keeps_its_flow)
{
	static const double radii[] = {0.8, 1, 1.5, 3, 5};
	for (size_t i = 0; i < COUNT(radii); i++) {
		enum { STRIPS = 100000 };
		double x = radii[i], inner = x - 0.5, flow = 0;
		for (int k = 0; k < STRIPS; k++)
			flow += inner / (inner + (k + 0.5) / STRIPS) / STRIPS; /* peak of 1 at the inner wall */
		cr_expect_float_eq(bend_factor(x), 1 / flow, 1e-8);
	}
	cr_expect_float_eq(bend_factor(1.5), 1 / log(2), 1e-12);
	cr_expect(!(bend_factor(0.5) > 0));
}

Test(accounts, a_short_elbow_counts_as_a_faster_line)
{
	trial_review_unit(&trial, "MDEA",
		"<line tag='P-1' velocity='1.3 m/s' service='rich' material='carbon steel' elbow-radius='1.0'>"
		"<fitting tag='FO-1' type='orifice plate'/></line>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	double factor = 1 / (0.5 * log(3));
	cr_expect_float_eq(trial_number(&trial, "P-1", NULL, "local-velocity", "m/s"), 1.3 * factor, 1e-9);
	cr_expect_float_eq(
		trial_number(&trial, "P-1", NULL, "equivalent-velocity", "m/s"), 1.3 * factor * log(2), 1e-9);
	cr_expect_float_eq(trial_number(&trial, "FO-1", NULL, "local-velocity", "m/s"),
		1.3 * (3.14159265358979 + 2) / 3.14159265358979, 1e-9);
	expect("LCV-002", "P-1", VERDICT_DEPARTS);
	expect("LCV-004", "FO-1", VERDICT_DEPARTS);
}

/*
 * A tee turns the flow no better than a long-radius elbow, whose inside runs at v/ln 2; beside a cylinder across the flow it runs
 * twice as fast (potential flow: Milne-Thomson, Theoretical Hydrodynamics); a reducer is a pipe with a mean of its own.
 */
Test(accounts, a_fitting_turns_or_narrows_the_flow_of_its_line)
{
	trial_review_unit(&trial, "MDEA",
		"<line tag='P-1' velocity='1.2 m/s' service='rich'><fitting tag='T-1' type='tee'/>"
		"<fitting tag='W-1' type='thermowell'/><fitting tag='F-1'/><elbow radius='1.0'/></line>"
		"<line tag='P-2' velocity='1.2 m/s' service='rich'><elbow/></line>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(trial_number(&trial, "T-1", NULL, "local-velocity", "m/s"), 1.2 / log(2), 1e-9);
	cr_expect_float_eq(trial_number(&trial, "T-1", NULL, "equivalent-velocity", "m/s"), 1.2, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "W-1", NULL, "local-velocity", "m/s"), 2.4, 1e-9);
	cr_expect_float_eq(
		trial_number(&trial, "P-1 elbow", NULL, "local-velocity", "m/s"), 1.2 / (0.5 * log(3)), 1e-9);
	cr_expect(trial_value(&trial, "F-1", NULL, "local-velocity")->known == UNKNOWN, "its kind is not stated");
	cr_expect(trial_value(&trial, "P-2 elbow", NULL, "local-velocity")->known == UNKNOWN, "its radius is not");
}

/* 12 barg beside 4 barg: 4/12 as gauges show them, whatever the barometer. */
Test(accounts, sides_are_compared_as_gauges_show_them)
{
	trial_review_unit(&trial, "MDEA",
		"<exchanger tag='E-1' type='shell and tube'><tube-side design-pressure='12 barg'/>"
		"<shell-side design-pressure='4 barg'/></exchanger>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(trial_number(&trial, "E-1", NULL, "ratio-of-design-pressures", ""), 4. / 12, 1e-9);
	expect("HLP-005", "E-1", VERDICT_DEPARTS);
}

/* By hand: 2 m wide and 3 m deep is 9.425 m3; 20 m3/h over 3.1416 m2 is 6.366 m/h, 28.27 min. */
Test(accounts, a_carbon_bed)
{
	trial_review_unit(&trial, "MDEA", "<carbon-bed tag='V-1' flow='20 m3/h' diameter='2 m' depth='3 m'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(trial_number(&trial, "V-1", NULL, "flux", "m/h"), 6.3662, 1e-4);
	cr_expect_float_eq(trial_number(&trial, "V-1", NULL, "contact-time", "min"), 28.274, 1e-3);
}

/*
 * By hand: 5 t at 18 wt% MEA hold 5000 x 0.18 / 0.06108 = 14735 mol of amine; 4000 ppmw formate (45.017 g/mol) bind
 * 4e-3 / 0.045017 x 5000 = 444.3 mol of it; soda for them 222.1 mol, 23.55 kg.
 */
Test(accounts, soda_for_a_reclaimer_charge)
{
	review("odds-mea");
	cr_expect_float_eq(trial_number(&trial, "X-1", NULL, "soda-over-need", ""), 50 / 23.55, 5e-3);
}
