/*
 * Where statements meet in the circuit: splits and mixes, pumps, columns, reboilers, cases, and what the gas says of the amine.
 * Every unit is invented; expected values are calculated by hand from exact conversions beside them.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "meeting_support.h"

TestSuite(meeting_nodes, .init = meeting_begin, .fini = meeting_end);

/* ---- nodes ---- */

/* Three quarters of 60 t/h are 45; strengths and loadings are alike, so that moles of amine relate as masses do. */
Test(meeting_nodes, a_header_that_loses_a_quarter_is_found_once)
{
	static const char body[] =
		"<stream id='a' service='lean' from='P-1' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='b' service='lean' to='C-1' flow='%s' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='c' service='lean' to='C-2' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<vessel tag='C-1'/><vessel tag='C-2'/><pump tag='P-1'/>%s";
	static const char *const described[] = {"<network><split tag='H' from='a' to='b c'/></network>",
		"<network><split tag='H' from='a' to='b c'/><split tag='H2' from='a' to='c b'/></network>"};
	for (size_t i = 0; i < 2; i++) {
		meeting_review(arena_format(&meeting.arena, body, "40 t/h", described[i]));
		cr_expect_eq(meeting_finding("BAL-016", "H")->verdict, VERDICT_MEETS);
		meeting_review(arena_format(&meeting.arena, body, "25 t/h", described[i]));
		const struct finding *found = meeting_finding("BAL-016", "H");
		cr_expect_eq(found->verdict, VERDICT_DEPARTS);
		cr_expect_float_eq(found->value->si, 0.25, 1e-6);
		size_t departs = 0;
		for (size_t k = 0; k < meeting.review->judgement.count; k++)
			departs += strcmp(meeting.review->judgement.findings[k].rule->id, "BAL-016") == 0 &&
				meeting.review->judgement.findings[k].verdict == VERDICT_DEPARTS;
		cr_expect_eq(departs, 1, "%zu", departs);
	}
}

/* The same by `from` alone, and through the sides of an exchanger, a drum and a treater. */
Test(meeting_nodes, nodes_are_found_without_a_network)
{
	meeting_review(
		"<stream id='a' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='b' service='lean' from='a' flow='25 t/h' temperature='45 degC'/>"
		"<stream id='c' service='lean' from='a' flow='20 t/h' temperature='45 degC'/>"
		"<stream id='r1' service='rich' to='V' flow='30 t/h' h2s='0.2' co2='0.1' temperature='50 degC'/>"
		"<stream id='r2' service='rich' to='V' flow='20 t/h' h2s='0.2' co2='0.1' temperature='50 degC'/>"
		"<stream id='r3' service='rich' from='V' to='E' flow='40 t/h' h2s='0.2' co2='0.1' temperature='50 "
		"degC'/>"
		"<stream id='r4' service='rich' from='E' flow='30 t/h' h2s='0.2' co2='0.1' temperature='90 degC'/>"
		"<stream id='t1' service='lean' flow='8 t/h' h2s='0.004' co2='0.002' temperature='45 degC'/>"
		"<stream id='t2' service='rich' flow='5 t/h' h2s='0.2' co2='0.002' temperature='45 degC'/>"
		"<flash-drum tag='V'/><treater tag='T' lean='t1' rich='t2'/>"
		"<exchanger tag='E' service='lean/rich'><tube-side inlet='r3' outlet='r4'/></exchanger>");
	static const char *const items[] = {"a", "V", "E tube side", "T"};
	for (size_t i = 0; i < COUNT(items); i++)
		cr_expect_eq(meeting_finding("BAL-016", items[i])->verdict, VERDICT_DEPARTS, "%s", items[i]);
}

/* 40 t/h at 60 degC and 20 t/h at 45 degC mix to 55 degC. */
Test(meeting_nodes, what_mixes_has_one_temperature_and_all_acid_gas)
{
	static const char body[] =
		"<stream id='a' service='rich' flow='40 t/h' temperature='60 degC' h2s='0.2' co2='0.1'/>"
		"<stream id='b' service='rich' flow='20 t/h' temperature='45 degC' h2s='0.2' co2='0.1'/>"
		"<stream id='c' service='rich' flow='60 t/h' temperature='%s' h2s='%s' co2='0.1'/>"
		"<network><mix tag='M' from='a b' to='c'/></network>";
	meeting_review(arena_format(&meeting.arena, body, "55 degC", "0.2"));
	cr_expect_float_eq(trial_number(&meeting, "M", NULL, "mixed-temperature", "degC"), 55, 1e-6);
	cr_expect_eq(meeting_finding("BAL-018", "M")->verdict, VERDICT_MEETS);
	cr_expect_eq(meeting_finding("BAL-017", "M")->verdict, VERDICT_MEETS);
	meeting_review(arena_format(&meeting.arena, body, "66 degC", "0.26"));
	cr_expect_eq(meeting_finding("BAL-018", "M")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(meeting_finding("BAL-017", "M")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(meeting_finding("BAL-016", "M")->verdict, VERDICT_MEETS);
}

/* A ring, a stream that ends in itself, a flow that nobody knows, a branch of which the case says nothing: no finding, no fault. */
Test(meeting_nodes, circuits_that_do_not_close_harm_nothing)
{
	meeting_review(
		"<stream id='a' service='lean' from='b' flow='10 t/h'/><stream id='b' service='lean' from='c' to='a'/>"
		"<stream id='c' service='lean' from='a' to='c' flow='10 t/h'/>"
		"<stream id='d' service='lean' flow='60 t/h'><in case='summer' flow='70 t/h'/></stream>"
		"<stream id='e' service='lean' flow='20 t/h'/><stream id='f' service='lean' flow='40 t/h'/>"
		"<stream id='g' service='lean'/><stream id='h' service='lean'/>"
		"<network><split tag='H' from='d' to='e f'/><split tag='I' from='d' to='g h'/><mix tag='J' from='g' "
		"to='g'/></network>");
	for (size_t k = 0; k < meeting.review->judgement.count; k++) {
		const struct finding *found = &meeting.review->judgement.findings[k];
		cr_expect(strncmp(found->rule->id, "BAL-01", 6) != 0 || found->verdict != VERDICT_DEPARTS, "%s",
			found->message);
	}
}

/* ---- pumps, columns, reboilers ---- */

Test(meeting_nodes, a_pump_below_its_stream_is_found_with_its_slip)
{
	static const struct {
		const char *pumps;
		enum verdict verdict;
		const char *slip;
	} rows[] = {
		{"flow='60 m3/h'", VERDICT_MEETS, ""},
		{"flow='75 m3/h'", VERDICT_MEETS, ""}, /* to spare */
		{"flow='45 m3/h'", VERDICT_DEPARTS, ""},
		{"flow='29.3 m3/h'", VERDICT_DEPARTS, "two trains"},
		{"flow='58 gpm'", VERDICT_DEPARTS, "gpm"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
			"<pump tag='P' service='lean' discharge='s' %s/>",
			rows[i].pumps));
		const struct finding *found = meeting_finding("PMP-008", "P");
		cr_expect_eq(found->verdict, rows[i].verdict, "%s: %s", rows[i].pumps, found->message);
		cr_expect(!*rows[i].slip || strstr(found->message, rows[i].slip), "%s: %s", rows[i].pumps,
			found->message);
		cr_expect(!*rows[i].slip || found->certainty >= CERTAINTY_SCREENING,
			"nothing firm rests on a slip: %s, %s", certainty_word(found->certainty), found->message);
	}
	meeting_review(
		"<stream id='s' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<pump tag='P' service='lean' discharge='s' flow='30 m3/h'/><pump tag='Q' service='lean' discharge='s' "
		"flow='30 m3/h'/>");
	cr_expect_eq(meeting_finding("PMP-008", "P")->verdict, VERDICT_MEETS, "two in parallel");
	cr_expect_eq(meeting_finding("PMP-008", "Q")->verdict, VERDICT_MEETS);
}

/* 45 wt% MDEA boils near 127 degC at 1.9 barg = 2.9 bara; read as 1.9 bara it would boil near 121 degC. */
Test(meeting_nodes, a_bottom_read_as_gauge_is_named)
{
	static const char body[] =
		"<stream id='rich' service='rich' flow='62 t/h' temperature='100 degC' pressure='4 barg' h2s='0.2' "
		"co2='0.1'/>"
		"<stream id='lean' service='lean' flow='60 t/h' temperature='%s' pressure='%s' h2s='0.004' "
		"co2='0.002'/>"
		"<regenerator tag='C' feed='rich' lean='lean' bottom-temperature='%s' bottom-pressure='%s'/>";
	meeting_review(arena_format(&meeting.arena, body, "120 degC", "1.9 bara", "120 degC", "1.9 bara"));
	double boils = trial_number(&meeting, "C", NULL, "boiling-temperature", "degC");
	const char *right = arena_format(&meeting.arena, "%.1f degC", boils);
	meeting_review(arena_format(&meeting.arena, body, right, "1.9 bara", right, "1.9 bara"));
	cr_expect_eq(meeting_finding("BAL-006", "C")->verdict, VERDICT_MEETS);
	meeting_review(arena_format(&meeting.arena, body, right, "1.9 barg", right, "1.9 barg"));
	const struct finding *found = meeting_finding("BAL-006", "C");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect(strstr(found->message, "gauge"), "%s", found->message);
	cr_expect_eq(meeting_contradictions(), 0, "once");
}

/* Two of 3 MW and 4 t/h stand for one of 6 MW and 8 t/h, whether both name their regenerator or none does. */
Test(meeting_nodes, reboilers_of_one_regenerator_are_summed)
{
	static const char body[] = "<stream id='rich' service='rich' flow='62 t/h' temperature='100 degC' pressure='4 "
				   "barg' h2s='0.2' co2='0.1'/>"
				   "<stream id='lean' service='lean' flow='60 t/h' temperature='121 degC' "
				   "pressure='1.9 bara' h2s='0.004' co2='0.002'/>"
				   "<stream id='reflux' service='reflux' flow='2 t/h' temperature='45 degC' "
				   "pressure='4 barg' density='990 kg/m3'/>"
				   "<regenerator tag='C' feed='rich' lean='lean' reflux='reflux' top-temperature='100 "
				   "degC' top-pressure='0.8 barg'/>%s";
	static const char one[] =
		"<reboiler tag='E' regenerator='C' heating-medium='steam' duty='6 MW' steam-flow='8 t/h'/>";
	static const char *const two[] = {
		"<reboiler tag='E' regenerator='C' heating-medium='steam' duty='3 MW' steam-flow='4 t/h'/>"
		"<reboiler tag='F' regenerator='C' heating-medium='steam' duty='3 MW' steam-flow='4 t/h'/>",
		"<reboiler tag='E' heating-medium='steam' duty='3 MW' steam-flow='4 t/h'/>"
		"<reboiler tag='F' heating-medium='steam' duty='3 MW' steam-flow='4 t/h'/>"};
	meeting_review(arena_format(&meeting.arena, body, one));
	double stripping = trial_number(&meeting, "C", NULL, "duty-stripping", "kW"),
	       apart = trial_number(&meeting, "C", NULL, "duty-balance-difference", "%"),
	       rate = trial_number(&meeting, "E", NULL, "heat-rate", "MJ/m3"),
	       steam = trial_number(&meeting, "E", NULL, "steam-rate", "kg/L");
	for (size_t i = 0; i < 2; i++) {
		meeting_review(arena_format(&meeting.arena, body, two[i]));
		cr_expect_float_eq(trial_number(&meeting, "C", NULL, "duty-stripping", "kW"), stripping, 1e-6);
		cr_expect_float_eq(trial_number(&meeting, "C", NULL, "duty-balance-difference", "%"), apart, 1e-6);
		if (i == 0) {
			cr_expect_float_eq(trial_number(&meeting, "F", NULL, "heat-rate", "MJ/m3"), rate, 1e-6);
			cr_expect_float_eq(trial_number(&meeting, "F", NULL, "steam-rate", "kg/L"), steam, 1e-9);
		}
	}
	meeting_review(arena_format(&meeting.arena, body,
		"<reboiler tag='E' regenerator='C' duty='3 MW'/><reboiler tag='F' regenerator='C' "
		"heating-medium='steam'/>"));
	const struct quantity *unknown = trial_value(&meeting, "C", NULL, "duty-stripping");
	cr_expect(!unknown || unknown->known == UNKNOWN, "of one the duty is not stated");
}

/* ---- cases ---- */

Test(meeting_nodes, a_copied_case_is_told)
{
	static const char body[] =
		"<gas id='feed' role='feed' flow='1000 kmol/h' temperature='35 degC' pressure='40 barg' h2s='2 mol%%' "
		"co2='1 mol%%'>"
		"<in case='summer' flow='%s'/></gas><gas id='sweet' role='treated' h2s='4 ppmv' co2='0.3 mol%%'/>"
		"<stream id='lean' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='rich' service='rich' flow='61.1 t/h' temperature='58 degC' h2s='0.09' co2='0.034'>"
		"<in case='summer' flow='%s' temperature='%s' h2s='%s' co2='0.034'/></stream>"
		"<absorber tag='C' gas='feed' treated='sweet' lean='lean' rich='rich'/>";
	meeting_review(arena_format(&meeting.arena, body, "1150 kmol/h", "61.1 t/h", "58 degC", "0.09"));
	const struct finding *found = meeting_finding("BAL-019", "C");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect(
		strstr(found->message, "flow of feed") && strstr(found->message, "h2s of rich"), "%s", found->message);
	meeting_review(arena_format(&meeting.arena, body, "1150 kmol/h", "61.3 t/h", "60 degC", "0.103"));
	cr_expect_eq(meeting_finding("BAL-019", "C")->verdict, VERDICT_MEETS);
	meeting_review(arena_format(&meeting.arena, body, "1005 kmol/h", "61.1 t/h", "58 degC", "0.09"));
	cr_expect_eq(
		meeting_finding("BAL-019", "C")->verdict, VERDICT_NOT_APPLICABLE, "nothing that drives it differs");
}

/* ---- from the gas ---- */

/*
 * 20 t/h of 45 wt% MDEA at 0.005 and 0.003: 20000 / (264.807 + 0.005 34.081 + 0.003 44.010) = 75.44 kmol/h of amine (119.163 / 0.45
 * = 264.807). Of 1000 kmol/h with 2 % H2S 970 are inert; 4 ppmv and 0.5 % stay: 970 / (1 - 0.005004) = 974.88, so that H2S gives
 * 20 - 0.0039 = 19.996 and CO2 10 - 4.8744 = 5.1256 kmol/h: 0.2651 + 0.005 and 0.0679 + 0.003.
 */
#define GAS_SIDE(gas, treated)                                                                                         \
	"<gas id='feed' role='feed' flow='1000 kmol/h' temperature='35 degC' pressure='40 barg' h2s='2 mol%' co2='1 "  \
	"mol%'>" gas "</gas><gas id='sweet' role='treated' " treated                                                   \
	"/><stream id='lean' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.005' co2='0.003'/>"             \
	"<stream id='rich' service='rich' temperature='60 degC' pressure='6 barg'/>"                                   \
	"<stream id='hot' service='rich' temperature='100 degC' pressure='5 barg'/>"                                   \
	"<absorber tag='C' gas='feed' treated='sweet' lean='lean' rich='rich'/>"                                       \
	"<exchanger tag='E' service='lean/rich'><tube-side inlet='rich' outlet='hot'/></exchanger>"

Test(meeting_nodes, the_gas_gives_a_rich_loading)
{
	meeting_review(GAS_SIDE("", "h2s='4 ppmv' co2='0.5 mol%'"));
	static const char *const streams[] = {"rich", "hot"};
	for (size_t i = 0; i < 2; i++) {
		cr_expect_float_eq(
			trial_number(&meeting, streams[i], NULL, "h2s", "mol/mol"), 0.2701, 2e-4, "%s", streams[i]);
		cr_expect_float_eq(
			trial_number(&meeting, streams[i], NULL, "co2", "mol/mol"), 0.0709, 2e-4, "%s", streams[i]);
		cr_expect_float_eq(
			trial_number(&meeting, streams[i], NULL, "loading", "mol/mol"), 0.3410, 3e-4, "%s", streams[i]);
	}
	meeting_review(GAS_SIDE("<in case='summer' flow='1300 kmol/h'/>", "h2s='4 ppmv' co2='0.5 mol%'"));
	cr_expect_float_eq(trial_number(&meeting, "hot", "summer", "h2s", "mol/mol"), 0.005 + 1.3 * 0.2651, 4e-4);
	cr_expect_float_eq(trial_number(&meeting, "hot", "normal", "h2s", "mol/mol"), 0.2701, 2e-4);
}

/* A case whose feed is owed has no loading, rather than that of the normal case. */
Test(meeting_nodes, a_case_whose_feed_is_owed_has_no_rich_loading)
{
	meeting_review(GAS_SIDE("<in case='summer' flow='t.b.d.'/>", "h2s='4 ppmv' co2='0.5 mol%'"));
	const struct quantity *loading = trial_value(&meeting, "rich", "summer", "h2s");
	cr_expect(loading && loading->known == UNKNOWN);
	cr_expect_float_eq(trial_number(&meeting, "rich", "normal", "h2s", "mol/mol"), 0.2701, 2e-4);
}

/* Nobody says what the treated gas keeps: at most all, (20 + 10) / 75.44 + 0.008. */
Test(meeting_nodes, without_the_treated_gas_it_is_a_bound)
{
	meeting_review(GAS_SIDE("", ""));
	const struct quantity *loading = trial_value(&meeting, "rich", NULL, "loading");
	cr_assert(loading && loading->known == COMPUTED);
	cr_expect_eq(loading->bound, BOUND_BELOW);
	cr_expect_float_eq(loading->si, 30 / 75.44 + 0.008, 1e-3);
}

/* What is stated stays. */
Test(meeting_nodes, a_stated_rich_loading_stays)
{
	meeting_review(
		"<gas id='feed' role='feed' flow='1000 kmol/h' h2s='2 mol%' co2='1 mol%'/><gas id='sweet' "
		"role='treated' h2s='4 ppmv' "
		"co2='0.5 mol%'/><stream id='lean' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.005' "
		"co2='0.003'/>"
		"<stream id='rich' service='rich' h2s='0.1' temperature='60 degC'/>"
		"<absorber tag='C' gas='feed' treated='sweet' lean='lean' rich='rich'/>");
	cr_expect_float_eq(trial_number(&meeting, "rich", NULL, "h2s", "mol/mol"), 0.1, 1e-12);
	cr_expect_null(trial_value(&meeting, "rich", NULL, "co2"));
}

/* 159 kmol/h leave, where 20 t/h at 0.27 less 0.008 set 20 free. */
Test(meeting_nodes, acid_gas_leaves_as_it_is_set_free)
{
	static const char body[] = "<stream id='rich' service='rich' flow='21 t/h' temperature='100 degC' pressure='4 "
				   "barg' h2s='0.27' co2='0.07'/>"
				   "<stream id='lean' service='lean' flow='20 t/h' temperature='121 degC' "
				   "pressure='1.9 bara' h2s='0.005' co2='0.003'/>"
				   "<stream id='reflux' service='reflux' flow='1 t/h' temperature='45 degC'/>"
				   "<gas id='ag' role='acid gas' flow='%s' h2s='80 mol%%' co2='20 mol%%'/>"
				   "<regenerator tag='C' feed='rich' lean='lean' reflux='reflux'/>";
	meeting_review(arena_format(&meeting.arena, body, "25 kmol/h"));
	cr_expect_eq(meeting_finding("BAL-020", "C")->verdict, VERDICT_MEETS, "%s",
		meeting_finding("BAL-020", "C")->message);
	meeting_review(arena_format(&meeting.arena, body, "55.2 kmol/h"));
	cr_expect_eq(meeting_finding("BAL-020", "C")->verdict, VERDICT_DEPARTS);
	cr_expect(strstr(meeting_finding("BAL-020", "C")->message, "pounds"), "%s",
		meeting_finding("BAL-020", "C")->message);
}
