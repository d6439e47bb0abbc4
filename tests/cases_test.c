/*
 * Published accidents and field accounts, written as designs (tests/designs), must come out as the account says; the shipped
 * designs must end as their scenario is meant to. What an account does not state is named in its file.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
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

TestSuite(cases, .init = begin, .fini = end);

static void review_case(const char *path)
{
	trial_review_file(&trial, path);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct finding *finding(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	cr_assert_not_null(found, "%s does not select %s", rule, item);
	return found;
}

static void expect_verdict(const char *rule, const char *item, enum verdict verdict, enum action action)
{
	const struct finding *found = finding(rule, item);
	cr_expect(found->verdict == verdict, "%s on %s: %s, not %s: %s", rule, item, verdict_word(found->verdict),
		verdict_word(verdict), found->message);
	cr_expect(finding_action(found) == action, "%s on %s: %s, not %s", rule, item,
		action_word(finding_action(found)), action_word(action));
}

/* The limit of a finding by the key of its source and its value in SI; 0: any. */
static const struct limit_result *limit_of(const struct finding *found, const char *source, double si)
{
	for (size_t i = 0; i < found->limit_count; i++) {
		const struct limit *limit = found->limits[i].limit;
		if (limit->source && strcmp(limit->source->key, source) == 0 &&
			(!(si > 0) || fabs(limit->value.si - si) < 1e-9))
			return &found->limits[i];
	}
	cr_assert_fail("%s shows no limit of %s", found->rule->id, source);
	return NULL;
}

/* ---- absorber ruptured in 1984 (US National Bureau of Standards account of the rupture of 23 July 1984) ---- */

Test(cases, the_absorber_of_1984_departs_in_stress_relief_hardness_and_hic)
{
	review_case("tests/designs/k01.xml");
	/* The lower course was replaced without heat treatment, in MEA: stress relief at any temperature (API RP 945, 3rd ed.). */
	expect_verdict("CRK-001", "C-1 zone shell course", VERDICT_DEPARTS, ACTION_RESOLVE);
	/* Heat-affected zone above 29 HRC with peaks of 40 to 48; 22 HRC is the limit. */
	expect_verdict("CRK-016", "C-1 zone shell course", VERDICT_DEPARTS, ACTION_RESOLVE);
	cr_expect(finding("CRK-016", "C-1 zone shell course")->governing->limit->value.si == 22);
	/* Plate of 1970 that blistered: owners ask for tested plate, no standard does. */
	expect_verdict("WHS-002", "C-1", VERDICT_DEPARTS, ACTION_JUSTIFY);
	expect_verdict(
		"WHS-008", "C-1", VERDICT_DEPARTS, ACTION_RESOLVE); /* API 579-1 and 510, from memory: assessed first */
	expect_verdict("CRK-019", "C-1 repair Replaced lower course", VERDICT_DEPARTS, ACTION_RESOLVE);
	/* What the account does not say is asked for, not guessed: the first welds of 1970. */
	expect_verdict("CRK-001", "C-1", VERDICT_NOT_JUDGED, ACTION_STATE);
}

/* ---- lean line that cracked at 50 degC (ASM handbook of failures, chapter on amine lines) ---- */

Test(cases, the_lean_line_departs_with_mea_at_any_temperature)
{
	review_case("tests/designs/k02-mea.xml");
	expect_verdict("CRK-001", "6-P-1", VERDICT_DEPARTS, ACTION_RESOLVE);
}

Test(cases, the_lean_line_meets_with_mdea_and_the_account_stands_beside_it)
{
	review_case("tests/designs/k02-mdea.xml");
	/* MDEA: stress relief from 82 degC (180 degF) on, API RP 945, 3rd ed. 2003, from memory. */
	expect_verdict("CRK-004", "6-P-1", VERDICT_MEETS, ACTION_NONE);
	const struct limit_result *account = limit_of(finding("CRK-004", "6-P-1"), "asm-failures", 0);
	cr_expect(account->limit->context && strstr(account->limit->says, "50 degC"));
}

Test(cases, the_lean_line_departs_with_mdea_when_it_is_steamed_out)
{
	review_case("tests/designs/k02-mdea-steamed.xml");
	expect_verdict("CRK-004", "6-P-1", VERDICT_DEPARTS, ACTION_RESOLVE);
	cr_expect_float_eq(finding("CRK-004", "6-P-1")->value->si, 273.15 + 120, 1e-9);
}

/* ---- loading that contradicts the composition (practitioners' discussion; common practice, no published source) ---- */

Test(cases, an_impossible_loading_is_a_finding_and_the_rest_is_judged)
{
	review_case("tests/designs/f04.xml");
	/* 2.5/3.4081 + 1/4.4009 = 0.9608 mol gas, 7.5/10.5137 = 0.7134 mol amine in 100 g x 10: 1.347 mol/mol. */
	expect_verdict("LOD-009", "feed", VERDICT_DEPARTS,
		ACTION_JUSTIFY); /* one of two figures is wrong, not yet the plant */
	cr_expect_float_eq(trial_number(&trial, "feed", NULL, "loading-from-composition", "mol/mol"), 1.347, 5e-4);
	expect_verdict("DAT-003", "feed", VERDICT_DEPARTS, ACTION_JUSTIFY);
	expect_verdict("LOD-007", "solvent", VERDICT_DEPARTS, ACTION_CONSIDER);
	expect_verdict("WHS-007", "C-1", VERDICT_DEPARTS, ACTION_CONSIDER); /* steel of the 1960s */
	expect_verdict("CRK-002", "C-1", VERDICT_MEETS, ACTION_NONE);	    /* it had been stress relieved */
	expect_verdict(
		"WHS-003", "C-1", VERDICT_NOT_JUDGED, ACTION_STATE); /* nobody says whether the plate was tested */
}

/* ---- regenerator of a newsletter's worked case: 285 US gpm, 17,000 lb/h of 50 psig steam, 15.5 MMBtu/h ---- */

Test(cases, the_newsletter_regenerator_meets_in_steam_and_stands_at_the_rich_limit)
{
	review_case("tests/designs/e37.xml");
	expect_verdict("REG-001", "E-1", VERDICT_MEETS, ACTION_NONE);
	/* 17,000 lb over 285 gpm is 0.99 lb/gal, 0.119 kg/L. */
	cr_expect_float_eq(trial_number(&trial, "E-1", NULL, "steam-rate", "kg/L"), 0.119, 0.0006);
	expect_verdict("BAL-008", "E-1", VERDICT_MEETS, ACTION_NONE); /* steam and duty are one heat */
	const struct finding *rich = finding("LOD-003", "rich");
	/* 0.45 mol/mol: the cautious figure of one supplier, below the upper end of what is published (0.50). */
	cr_expect(rich->verdict == VERDICT_MEETS);
	cr_expect_str_eq(rich->governing->limit->source->key, "dupart1993");
}

/* ---- psig written as psia: bottom of the regenerator and steam (invented) ---- */

Test(cases, gauge_pressures_read_as_absolute_are_named)
{
	review_case("tests/designs/psig-as-psia.xml");
	expect_verdict("BAL-006", "C-1", VERDICT_DEPARTS, ACTION_JUSTIFY);
	cr_expect(strstr(finding("BAL-006", "C-1")->message, "a gauge pressure read as absolute"), "%s",
		finding("BAL-006", "C-1")->message);
	const struct quantity *slip = trial_value(&trial, "E-1", NULL, "pressure-slip");
	cr_assert_not_null(slip);
	cr_expect(strstr(slip->word, "a gauge pressure read as absolute"), "%s", slip->word);
}

/* ---- DEA plant published by Berthier 1959 (Kohl and Nielsen, 5th ed. 1997, table 2-24) ---- */

Test(cases, the_published_dea_plant_closes_and_is_flagged_for_its_rich_loading)
{
	review_case("tests/designs/lacq.xml");
	expect_verdict("BAL-001", "C-1", VERDICT_MEETS, ACTION_NONE);
	cr_expect_lt(trial_number(&trial, "C-1", NULL, "acid-gas-difference", "%"), 3);
	expect_verdict("LOD-002", "rich", VERDICT_DEPARTS, ACTION_CONSIDER); /* 0.697; one published figure, 0.40 */
	cr_expect(finding("LOD-002", "rich")->certainty == CERTAINTY_FIRM);
	cr_expect_float_eq(trial_number(&trial, "feed", NULL, "h2s-partial-pressure", "kPa"), 1049, 1);
}

/* The same plant with its circulation copied as m3/h: both sides, the figure and the slip are in the message. */
Test(cases, us_gpm_written_as_cubic_metres_is_named)
{
	review_case("tests/designs/gpm-as-m3h.xml");
	expect_verdict("BAL-001", "C-1", VERDICT_DEPARTS, ACTION_RESOLVE);
	cr_expect(finding("BAL-001", "C-1")->certainty == CERTAINTY_FIRM);
	cr_expect(strstr(finding("BAL-001", "C-1")->message,
			  "flow of the amine, US gpm and m3/h mistaken for each other (4.403)"),
		"%s", finding("BAL-001", "C-1")->message);
}

/* ---- rich DEA in carbon steel tubes (Dailey 1970, Smith and Younger 1972, in Kohl and Nielsen, 5th ed. 1997, table 3-5) ---- */

/* m; NIST Handbook 44 and ISO 31-1, exact. */
static const double FOOT = 0.3048;

static void expect_governed_by_the_dea_limit(const struct finding *found)
{
	cr_assert_not_null(found->governing);
	cr_expect_str_eq(found->governing->limit->source->key, "dailey1970");
	cr_expect_float_eq(found->governing->limit->value.si, 3.3 * FOOT, 1e-12);
}

Test(cases, rich_dea_at_1_7_departs_and_meets_only_the_figures_of_1_8)
{
	review_case("tests/designs/k15.xml");
	const struct finding *found = finding("VEL-008", "E-17 tube side");
	expect_verdict("VEL-008", "E-17 tube side", VERDICT_DEPARTS, ACTION_JUSTIFY);
	cr_expect_float_eq(found->value->si, 1.7, 1e-4);
	cr_expect(found->certainty == CERTAINTY_FIRM);
	expect_governed_by_the_dea_limit(found);
	size_t met = 0;
	for (size_t i = 0; i < found->limit_count; i++)
		if (found->limits[i].met == YES) {
			cr_expect_float_eq(found->limits[i].limit->value.si, 6 * FOOT, 0.03); /* or 1.8 m/s */
			met++;
		}
	cr_expect(met == 3, "%zu figures are met", met);
	/* Severe attack above 5.25 ft/s (1.6 m/s): note 2 of the table. */
	cr_expect(limit_of(found, "dailey1970", 1.6)->met == NO && limit_of(found, "dailey1970", 1.6)->limit->context);
	cr_expect(strstr(found->message, "Severe attack") && strstr(found->message, "above 1.6 m/s"), "%s",
		found->message);
}

Test(cases, rich_dea_at_1_2_departs_from_the_dea_limit)
{
	review_case("tests/designs/k15.xml");
	const struct finding *found = finding("VEL-008", "E-12 tube side");
	expect_verdict("VEL-008", "E-12 tube side", VERDICT_DEPARTS, ACTION_JUSTIFY);
	expect_governed_by_the_dea_limit(found);
	cr_expect(limit_of(found, "dailey1970", 1.6)->met == YES);
}

Test(cases, rich_dea_at_0_85_departs_from_no_limit)
{
	review_case("tests/designs/k15.xml");
	const struct finding *found = finding("VEL-008", "E-085 tube side");
	expect_verdict("VEL-008", "E-085 tube side", VERDICT_MEETS, ACTION_NONE);
	for (size_t i = 0; i < found->limit_count; i++)
		cr_expect(!found->limits[i].applied || found->limits[i].met == YES, "limit %zu", i);
}

Test(cases, a_velocity_on_the_limit_is_borderline_and_listed_among_the_near)
{
	review_case("tests/designs/k15.xml");
	const struct finding *found = finding("VEL-008", "E-10 tube side");
	cr_expect(found->verdict == VERDICT_MEETS && found->certainty == CERTAINTY_BORDERLINE);
	bool near = false;
	for (size_t i = 0; i < trial.review->near_count; i++)
		near = near || trial.review->near[i] == found;
	cr_expect(near);
}

Test(cases, every_published_figure_stands_beside_the_velocity)
{
	/* Kohl and Nielsen, 5th ed. 1997, table 3-5 and p. 215; an amine operations guide. m/s. */
	static const struct {
		const char *source;
		double si;
		bool applies; /* to tubes */
	} figures[] = {
		{"dailey1970", 3.3 * 0.3048, true}, {"smith-younger1972", 3 * 0.3048, true},
		{"dailey1970", 1.6, true},		    /* attack reported above */
		{"manning-thompson1991", 4 * 0.3048, true}, /* upper end of 2 to 4 ft/s, tubes */
		{"api1990", 6 * 0.3048, true},		    /* piping and tubes */
		{"kohl-nielsen1997", 1.8, true},	    /* p. 215 */
		{"operations-guide", 6 * 0.3048, true}, {"campbell1981", 3 * 0.3048, false}, /* piping */
		{"dupart1993", 5 * 0.3048, false},					     /* piping */
	};
	review_case("tests/designs/k15.xml");
	static const char *const items[] = {"E-17 tube side", "E-12 tube side", "E-085 tube side", "E-10 tube side"};
	for (size_t k = 0; k < COUNT(items); k++)
		for (size_t i = 0; i < COUNT(figures); i++) {
			const struct limit_result *row =
				limit_of(finding("VEL-008", items[k]), figures[i].source, figures[i].si);
			cr_expect(row->applied == figures[i].applies, "%s of %s", items[k], figures[i].source);
			cr_expect(row->applied || *row->aside, "%s: why not is not told", figures[i].source);
		}
}

/* ---- a network, and a case that overrides one stream ---- */

Test(cases, two_absorbers_and_a_treater_on_one_regenerator)
{
	review_case("tests/designs/two-absorbers.xml");
	/* NPS 3 schedule 40: 88.90 mm outside, 5.49 mm wall (ASME B36.10M), so 77.92 mm bore and 4.7686e-3 m2. */
	double area = 3.14159265358979 / 4 * 0.07792 * 0.07792;
	cr_expect_float_eq(trial_number(&trial, "3-P-2", "normal", "velocity", "m/s"), 20 / 3600. / area, 1e-3);
	cr_expect_float_eq(trial_number(&trial, "3-P-2", "rich-feed", "velocity", "m/s"), 34 / 3600. / area, 1e-3);
	const struct finding *found = finding("VEL-002", "3-P-2");
	expect_verdict("VEL-002", "3-P-2", VERDICT_DEPARTS, ACTION_JUSTIFY);
	cr_expect_float_eq(found->value->si, 1.98, 5e-3);
	cr_assert(found->operating_case >= 0, "no case is named");
	cr_expect_str_eq(table_case(trial.table, found->operating_case)->id, "rich-feed");
	/* What does not hang on the case is said of every case. */
	cr_expect(finding("VEL-002", "4-P-1")->operating_case == EVERY_CASE);
	expect_verdict("VEL-002", "4-P-1", VERDICT_MEETS, ACTION_NONE);
	expect_verdict("VEL-002", "2-P-3", VERDICT_MEETS, ACTION_NONE);
	/* Each absorber is judged with its own gas: 2 mol% of 41.01 bara, 4 mol% of 9.01 bara. */
	cr_expect_float_eq(trial_number(&trial, "gas-1", NULL, "h2s-partial-pressure", "kPa"), 0.02 * 4101.3, 0.1);
	cr_expect_float_eq(trial_number(&trial, "gas-2", NULL, "h2s-partial-pressure", "kPa"), 0.04 * 901.3, 0.1);
	cr_expect_not_null(trial_finding(&trial, "WHS-001", "C-1"));
	cr_expect_not_null(trial_finding(&trial, "WHS-001", "C-2"));
}

/* ---- shipped designs, through the program ---- */

static void expect_exit(const char *arguments, int status)
{
	struct run run = shell(&trial.arena,
		arena_format(&trial.arena, "\"$LEANRICH\" review --quiet --output \"$SCRATCH/out\" %s", arguments));
	cr_expect(run.status == status, "exit %d, not %d: %s\n%s", run.status, status, arguments, run.errors);
	cr_expect_str_eq(run.errors, "");
}

Test(cases, each_scenario_ends_as_it_is_meant_to, .init = shell_begin, .fini = shell_end)
{
	expect_exit("designs/saltmarsh-lea.xml", 0); /* well made */
	expect_exit("designs/tern-quay.xml", 1);     /* faults of every family */
	expect_exit("designs/cobble-hythe.xml", 1);  /* DEA */
	expect_exit("designs/heron-gate.xml", 0);    /* half the data missing */
	expect_exit("--fail-on state designs/heron-gate.xml", 1);
	expect_exit("--fail-on resolve tests/designs/k15.xml", 0);
	expect_exit("--fail-on justify tests/designs/k15.xml", 1);
	expect_exit("designs/saltmarsh-lea.xml designs/tern-quay.xml designs/heron-gate.xml", 1);
}

Test(cases, the_well_made_unit_has_nothing_to_resolve_and_nothing_to_state)
{
	review_case("designs/saltmarsh-lea.xml");
	cr_expect(trial.review->counts[ACTION_RESOLVE] == 0);
	cr_expect(trial.review->counts[ACTION_STATE] == 0);
}

/* A case that is declared and never spoken of is told of, and keeps nothing from being reviewed. */
Test(cases, a_case_without_a_value_is_told_of)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'><case id='normal'/>"
		"<case id='summer'/><case id='winter'/></basis><solvent amine='MDEA' strength='45 wt%'/>"
		"<line tag='L' velocity='2 m/s'><in case='summer' velocity='2 m/s'/></line></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_eq(trial_finding(&trial, "DAT-041", "summer")->verdict, VERDICT_MEETS);
	const struct finding *found = trial_finding(&trial, "DAT-041", "winter");
	cr_expect(found->verdict == VERDICT_DEPARTS && found->force == FORCE_ADVISORY, "%s", found->message);
}

Test(cases, the_early_unit_gets_a_list_of_what_to_state)
{
	review_case("designs/heron-gate.xml");
	cr_expect(trial.review->counts[ACTION_RESOLVE] == 0);
	cr_expect(trial.review->request_count > 20);
	for (size_t i = 0; i < trial.review->request_count; i++)
		cr_expect(*trial.review->requests[i].reason && trial.review->requests[i].rule_count > 0);
}

static size_t departures_in(const char *family)
{
	size_t departures = 0;
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *found = &trial.review->judgement.findings[i];
		departures += found->verdict == VERDICT_DEPARTS && strcmp(found->rule->family, family) == 0;
	}
	return departures;
}

/*
 * Faults of every family that the catalogue has, so that the sample shows what the program can see; but what equipment is rated for
 * the sample does not state, and a design of its own does.
 */
Test(cases, the_faulty_unit_departs_in_every_family)
{
	review_case("designs/tern-quay.xml");
	for (size_t f = 0; f < trial.catalogue->family_count; f++) {
		const char *family = trial.catalogue->families[f].name;
		if (strcmp(family, "capability") != 0)
			cr_expect(departures_in(family) > 0, "nothing departs in the family %s", family);
	}
	review_case("tests/designs/capability.xml");
	cr_expect(departures_in("capability") > 0);
}
