/*
 * Where statements of one quantity meet: carriers and their streams, restatements, the slip that explains what differs, and what
 * hangs on it. Every unit is invented; expected values are calculated by hand from exact conversions beside them.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/basis.h"
#include "meeting_support.h"

TestSuite(meeting, .init = meeting_begin, .fini = meeting_end);

/* ---- a line and its stream ---- */

/*
 * 20 t/h of 45 wt% MDEA: 75.5 kmol/h of amine (119.163 g/mol) without gas. Its density at 45 degC is about 1026 kg/m3, so that
 * it is 19.5 m3/h or 85.8 US gpm (0.2271247 m3/h each). 44.1 t/h is 20 t/h by pounds, 88 m3/h is 88 gpm for 88 m3/h.
 */
static const struct {
	const char *flow;
	bool agrees;
	const char *slip; /* a word of it */
} flows[] = {
	{"20000 kg/h", true, ""},
	{"20.3 t/h", true, ""},
	{"19.5 m3/h", true, ""},
	{"86 gpm", true, ""},
	{"75.2 kmol/h", true, ""},
	{"44.1 t/h", false, "pounds"},
	{"56 m3/h", false, ""},
	{"86 m3/h", false, "gpm"},
	{"19.5 gpm", false, "gpm"},
	{"195 m3/h", false, "decimal"},
	{"60 kmol/h", false, ""},
	{"26 t/h", false, ""},
};

Test(meeting, a_line_meets_its_stream_in_every_unit)
{
	for (size_t i = 0; i < COUNT(flows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' pressure='10 barg' "
			"h2s='0.004' "
			"co2='0.002'/><line tag='L' stream='s' flow='%s' size='NPS 3' schedule='40'/>",
			flows[i].flow));
		cr_expect_eq(meeting_contradictions(), flows[i].agrees ? 0 : 1, "%s: %zu", flows[i].flow,
			meeting_contradictions());
		const char *slip = meeting_text("L flow", "slip");
		cr_expect(*flows[i].slip ? strstr(slip, flows[i].slip) != NULL : !*slip, "%s: %s", flows[i].flow, slip);
	}
}

/* What the line states for no case in particular is of the first; in summer the stream says 30 t/h, and that runs in the line. */
Test(meeting, a_plain_value_of_a_line_hides_no_case_of_its_stream)
{
	meeting_review(
		"<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' pressure='10 barg' h2s='0.004' "
		"co2='0.002'>"
		"<in case='summer' flow='30 t/h' temperature='52 degC' pressure='12 barg'/></stream>"
		"<line tag='L' stream='s' flow='20 t/h' temperature='45 degC' pressure='10 barg' size='NPS 3' "
		"schedule='40'/>"
		"<line tag='M' stream='s' from='A' to='B' flow='8 t/h' size='NPS 3' schedule='40'/>"
		"<line tag='N' stream='s' from='A' to='B' flow='12 t/h' size='NPS 3' schedule='40'/>"
		"<vessel tag='A'/><vessel tag='B'/>");
	cr_expect_eq(meeting_contradictions(), 0);
	cr_expect_float_eq(trial_number(&meeting, "L", "summer", "mass-flow", "t/h"), 30, 1e-9);
	cr_expect_float_eq(trial_number(&meeting, "L", "summer", "temperature", "degC"), 52, 1e-9);
	cr_expect_float_eq(trial_number(&meeting, "L", "summer", "pressure", "bara"), 13.01325, 1e-9);
	cr_expect_float_eq(trial_number(&meeting, "L", "normal", "mass-flow", "t/h"), 20, 1e-9);
	double normal = trial_number(&meeting, "L", "normal", "velocity", "m/s"),
	       summer = trial_number(&meeting, "L", "summer", "velocity", "m/s");
	cr_expect_float_eq(summer / normal, 1.5, 0.02, "%g", summer / normal);
	cr_expect_float_eq(trial_number(&meeting, "M", "summer", "mass-flow", "t/h"), 8, 1e-9, "a part of it");
}

Test(meeting, a_line_that_states_a_case_meets_its_stream_there)
{
	meeting_review("<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'>"
		       "<in case='summer' flow='30 t/h'/></stream>"
		       "<line tag='L' stream='s' flow='20 t/h'><in case='summer' flow='23 t/h'/></line>"
		       "<line tag='M' stream='s' flow='30 t/h'/>");
	cr_expect_eq(meeting_contradictions(), 2);
	cr_expect_str_eq(meeting_text("L flow", "in-cases"), "Hot");
	cr_expect_str_eq(meeting_text("L flow", "first"), "23000 kg/h");
	cr_expect(strstr(meeting_text("M flow", "slip"), "Hot"), "%s", meeting_text("M flow", "slip"));
}

/* Parallel lines carry the stream together; one alone not more than all of it. */
Test(meeting, parallel_lines_are_summed)
{
	static const struct {
		const char *first, *second;
		size_t contradictions;
	} rows[] = {{"8 t/h", "12 t/h", 0}, {"8 t/h", "8 t/h", 1}, {"20 t/h", "20 t/h", 1}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
			"<vessel tag='A'/><vessel tag='B'/><line tag='L' stream='s' from='A' to='B' flow='%s'/>"
			"<line tag='M' stream='s' from='A' to='B' flow='%s'/>",
			rows[i].first, rows[i].second));
		cr_expect_eq(meeting_contradictions(), rows[i].contradictions, "%s and %s: %zu", rows[i].first,
			rows[i].second, meeting_contradictions());
	}
	meeting_review("<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		       "<vessel tag='A'/><vessel tag='B'/><line tag='L' stream='s' from='A' to='B' flow='8 t/h'/>"
		       "<line tag='M' stream='s' from='A' to='B'/><line tag='N' stream='s' to='B' flow='25 t/h'/>");
	cr_expect_eq(meeting_contradictions(), 1, "only one of them carries too much");
	cr_expect_not_null(table_find(meeting.table, "N flow"));
}

/* Temperature within 5 K of its stream or that of the hottest case; pressure within friction, but not 5 bara for 5 barg. */
Test(meeting, temperature_pressure_and_service_of_a_line)
{
	static const struct {
		const char *line;
		size_t contradictions;
	} rows[] = {
		{"temperature='62 degC'", 0},
		{"temperature='71 degC'", 0}, /* as in summer */
		{"temperature='80 degC'", 1},
		{"temperature='50 degC'", 1},
		{"temperature='140 degC'", 1}, /* 60 degC is 140 degF */
		{"pressure='5.6 barg'", 0},
		{"pressure='5 bara'", 1},
		{"pressure='9 barg'", 1},
		{"service='rich'", 0},
		{"service='lean'", 1},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' pressure='5 barg' h2s='0.2' "
			"co2='0.1'><in case='summer' temperature='70 degC'/></stream><line tag='L' stream='s' %s/>",
			rows[i].line));
		cr_expect_eq(meeting_contradictions(), rows[i].contradictions, "%s: %zu", rows[i].line,
			meeting_contradictions());
	}
	cr_assert(strstr(rows[4].line, "140"));
	meeting_review("<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' h2s='0.2' co2='0.1'/>"
		       "<line tag='L' stream='s' temperature='140 degC'/>");
	cr_expect(strstr(meeting_text("L temperature", "slip"), "Fahrenheit"), "%s",
		meeting_text("L temperature", "slip"));
	meeting_review("<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' pressure='5 barg' h2s='0.2' "
		       "co2='0.1'/>"
		       "<line tag='L' stream='s' pressure='5 bara'/>");
	cr_expect(strstr(meeting_text("L pressure", "slip"), "gauge"), "%s", meeting_text("L pressure", "slip"));
}

/* Nobody can compare kilograms with cubic metres of what has no density; that is asked for, and nothing else goes wrong. */
Test(meeting, what_cannot_be_compared_is_asked_for)
{
	meeting_review(
		"<stream id='s' service='condensate' flow='20 t/h'><stated document='X' flow='20 m3/h'/></stream>");
	cr_expect_eq(meeting_contradictions(), 1);
	const struct finding *found = meeting_finding("DAT-001", "s flow");
	cr_expect_eq(found->verdict, VERDICT_NOT_JUDGED);
	cr_assert(found->missing_count);
	cr_expect_str_eq(found->missing[0].item->tag, "s");
}

/* ---- said twice ---- */

Test(meeting, what_is_said_twice_is_held_against_every_case)
{
	static const struct {
		const char *stream;
		size_t contradictions;
	} rows[] = {
		/* One document: what printing rounds off. Two: 3 % of a flow, 10 % of a loading. */
		{"flow='20.0 t/h' data='A'><stated document='A' flow='20.05 t/h'/>", 0},
		{"flow='20.0 t/h' data='A'><stated document='A' flow='20.4 t/h'/>", 1},
		{"flow='20.0 t/h' data='A'><stated document='B' flow='20.4 t/h'/>", 0},
		{"flow='20.0 t/h' data='A'><stated document='B' flow='20.8 t/h'/>", 1},
		{"><stated document='A' flow='20.0 t/h'/><stated document='A' flow='20.3 t/h'/>", 1},
		{"h2s='0.200' data='A'><stated document='A' h2s='0.21'/>", 1},
		{"h2s='0.200' data='A'><stated document='B' h2s='0.21'/>", 0},
		/* A mass, a volume at 1026 kg/m3, moles of amine. */
		{"flow='20 t/h'><stated document='B' flow='19.5 m3/h'/>", 0},
		{"flow='20 t/h'><stated document='B' flow='25 m3/h'/>", 1},
		{"flow='20 t/h'><stated document='B' flow='75.2 kmol/h'/>", 0},
		/* Without its case: of the first; of one of those that are stated, where there is no plain value. */
		{"flow='20 t/h'><in case='summer' flow='30 t/h'/><stated document='B' flow='20 t/h'/>", 0},
		{"flow='20 t/h'><in case='summer' flow='30 t/h'/><stated document='B' flow='30 t/h'/>", 1},
		{"><in case='normal' flow='20 t/h'/><in case='summer' flow='30 t/h'/><stated document='B' flow='20 "
		 "t/h'/>",
			0},
		{"><in case='normal' flow='20 t/h'/><in case='summer' flow='30 t/h'/><stated document='B' flow='26 "
		 "t/h'/>",
			1},
		/* Of a case by name, and one case twice. */
		{"flow='20 t/h'><in case='summer' flow='30 t/h'/><stated document='B' case='summer' flow='30 t/h'/>",
			0},
		{"flow='20 t/h'><in case='summer' flow='30 t/h'/><stated document='B' case='summer' flow='20 t/h'/>",
			1},
		{"flow='20 t/h'><in case='summer' flow='30 t/h'/><in case='summer' flow='33 t/h'/>", 1},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='lean' temperature='45 degC' %s %s</stream>",
			strncmp(rows[i].stream, "h2s", 3) == 0 ? "co2='0.002'" : "h2s='0.004' co2='0.002'",
			rows[i].stream));
		cr_expect_eq(meeting_contradictions(), rows[i].contradictions, "%s: %zu", rows[i].stream,
			meeting_contradictions());
	}
}

Test(meeting, the_first_of_two_overrides_of_a_case_is_used)
{
	meeting_review("<stream id='s' service='lean' flow='20 t/h'><in case='summer' flow='30 t/h'/><in case='summer' "
		       "flow='33 "
		       "t/h'/></stream>");
	cr_expect_float_eq(trial_number(&meeting, "s", "summer", "mass-flow", "t/h"), 30, 1e-9);
}

/* 0.183 + 0.216 is 0.399, printed 0.40. */
Test(meeting, a_loading_meets_its_parts)
{
	static const struct {
		const char *loading;
		size_t contradictions;
	} rows[] = {{"0.40", 0}, {"0.399", 0}, {"0.42", 1}, {"39.9", 1}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		meeting_review(arena_format(&meeting.arena,
			"<stream id='s' service='rich' loading='%s' h2s='0.183' co2='0.216' flow='20 t/h' "
			"temperature='60 degC'/>",
			rows[i].loading));
		cr_expect_eq(meeting_contradictions(), rows[i].contradictions, "%s: %zu", rows[i].loading,
			meeting_contradictions());
		cr_expect_float_eq(
			trial_number(&meeting, "s", NULL, "loading", "mol/mol"), 0.399, 1e-9, "the parts are used");
	}
	cr_expect(strstr(meeting_text("s loading", "slip"), "per cent"), "%s", meeting_text("s loading", "slip"));
	meeting_review(
		"<stream id='s' service='rich' loading='0.40' h2s='0.183' flow='20 t/h' temperature='60 degC'/>");
	cr_expect_float_eq(trial_number(&meeting, "s", NULL, "loading", "mol/mol"), 0.40, 1e-9, "one part is not all");
}

/* ---- what hangs on it ---- */

/* Steel of a hot rich line: NPS 4 at 40 t/h departs from the velocity limit, NPS 8 does not. */
Test(meeting, a_contradiction_weighs_what_it_turns)
{
	static const char body[] = "<stream id='s' service='rich' flow='40 t/h' temperature='60 degC' pressure='10 "
				   "barg' h2s='0.2' co2='0.1'/>"
				   "<line tag='L' stream='s' size='%s' schedule='40' material='carbon steel' "
				   "data='A'><stated document='B' size='%s'/></line>";
	meeting_review(arena_format(&meeting.arena, body, "NPS 3", "NPS 8"));
	const struct finding *turns = meeting_finding("DAT-001", "L size"), *velocity = meeting_finding("VEL-002", "L");
	cr_expect(!turns->remark && strstr(turns->message, "VEL-002"), "%s", turns->message);
	cr_expect_eq(turns->force, velocity->force);
	cr_expect_eq(velocity->verdict, VERDICT_DEPARTS);
	cr_expect(velocity->unsettled && velocity->certainty >= CERTAINTY_SCREENING, "%s", velocity->message);
	/* The other way round the graver verdict is kept too. */
	meeting_review(arena_format(&meeting.arena, body, "NPS 8", "NPS 3"));
	velocity = meeting_finding("VEL-002", "L");
	cr_expect_eq(velocity->verdict, VERDICT_DEPARTS);
	cr_expect(velocity->unsettled && strstr(velocity->message, "Unsettled"), "%s", velocity->message);
	cr_expect_eq(finding_action(meeting_finding("DAT-001", "L size")), finding_action(velocity));
	/* Where both meet nothing is asked. */
	meeting_review(arena_format(&meeting.arena, body, "NPS 8", "NPS 10"));
	cr_expect(meeting_finding("DAT-001", "L size")->remark, "%s", meeting_finding("DAT-001", "L size")->message);
	cr_expect_eq(finding_action(meeting_finding("DAT-001", "L size")), ACTION_NONE);
	for (size_t i = 0; i < meeting.review->flag_count; i++)
		cr_expect(strcmp(meeting.review->flags[i].rule->id, "DAT-001") != 0);
}

/* ---- slips ---- */

Test(meeting, slips_of_every_kind_are_named_and_no_others)
{
	struct slip_site site = slip_site_of(101325);
	static const struct {
		enum kind kind;
		double a, b; /* SI */
		const char *word;
	} rows[] = {
		{KIND_PRESSURE, 6e5, 6e5 + 101325, "gauge"},
		{KIND_PRESSURE, 14.504e5, 1e5, "psi and bar"},
		{KIND_PRESSURE, 6.895e5, 1e5, "psi and kPa"},
		{KIND_PRESSURE, 20e5, 19.613e5, "kg/cm2"},
		{KIND_TEMPERATURE, 333.15, 413.15, "Fahrenheit"}, /* 60 degC, 140 degF read as degC */
		{KIND_TEMPERATURE, 413.15, 333.15, "Fahrenheit"},
		{KIND_TEMPERATURE, 300, 573.15, "kelvin"},
		{KIND_MASS_FLOW, 10, 4.5359, "pounds"},
		{KIND_LIQUID_FLOW, 10, 44.03, "gpm"},
		{KIND_MASS_FLOW, 10, 11, "rated"},
		{KIND_POWER, 1, 3.412, "kBtu"},
		{KIND_LOADING, 0.4, 40, "per cent"},
		{KIND_MASS_FLOW, 10, 10 * 4.403 * 2, "two trains"}, /* a pair */
		/* H2S of 34.08 g/mol in a gas of 20, 45 wt% MDEA of 1030 kg/m3 (M 119.16): 87.2 m3/m3 for each mol/mol */
		{KIND_MOLE_FRACTION, 0.02, 0.02 * 34.08 / 20, "by mass and by mole"},
		{KIND_GAS_TRACE, 4e-6 * 34.08 / 20, 4e-6, "ppm by mass"},
		{KIND_LOADING, 0.4, 0.4 * 87.2, "m3 of gas"},
		{KIND_MASS_FRACTION, 0.009, 0.02, "share of the amine"},
		{KIND_MASS_FRACTION, 0.009, 0.2, "share of the amine"}, /* and a decimal point: a pair */
		{KIND_MOLE_FRACTION, 0.02, 0.0283, NULL},
		{KIND_LIQUID_FLOW, 10, 14, NULL},
		{KIND_TEMPERATURE, 333.15, 360, NULL},
		{KIND_PRESSURE, 6e5, 7.6e5, NULL},
		{KIND_LOADING, 0.4, 0.2, NULL}, /* there are no two trains of a loading */
		{KIND_POWER, 1, 1.3, NULL},
	};
	site.basis[SLIP_BASIS_MASS_SHARE] = 20 / 34.08;
	site.basis[SLIP_BASIS_STRENGTH] = 0.45;
	site.basis[SLIP_BASIS_GAS_VOLUME] = basis_gas_volume(0.45, 1030, 0.11916);
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *slip = slip_between(&meeting.arena, rows[i].kind, slips_of_kind(rows[i].kind, false),
			rows[i].a, rows[i].b, 0.01, &site);
		cr_expect(rows[i].word ? slip && strstr(slip, rows[i].word) : !slip, "%g and %g: %s", rows[i].a,
			rows[i].b, slip ? slip : "none");
	}
}

Test(meeting, the_last_digit_printed)
{
	static const struct {
		const char *written;
		enum kind kind;
		double half;
	} rows[] = {{"0.183", KIND_LOADING, 0.0005}, {"90.5 t/h", KIND_MASS_FLOW, 0.05 / 3.6},
		{"23600 kg/h", KIND_MASS_FLOW, 50. / 3600}, {"45 degC", KIND_TEMPERATURE, 0.5},
		{"100 degC", KIND_TEMPERATURE, 0.5}, {"212 degF", KIND_TEMPERATURE, 0.5 / 1.8},
		{"1.20e3 kg/h", KIND_MASS_FLOW, 5. / 3600}, {"<5 ppmw", KIND_TRACE, 0.5e-6},
		{"4 +/- 0.5 wt%", KIND_MASS_FRACTION, 0.005}, {"5.0 barg", KIND_PRESSURE, 5e3}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct quantity quantity = {.known = STATED, .kind = rows[i].kind, .written = rows[i].written};
		cr_expect_float_eq(quantity_half_digit(&quantity), rows[i].half, 1e-9 + 1e-6 * rows[i].half, "%s: %g",
			rows[i].written, quantity_half_digit(&quantity));
	}
	cr_expect(quantity_states_uncertainty(&(struct quantity){.written = "4 +/- 0.5 wt%"}));
	cr_expect_not(quantity_states_uncertainty(&(struct quantity){.written = "4 wt%"}));
}

/* ---- sound designs ---- */

Test(meeting, sound_designs_stay_quiet)
{
	static const char *const designs[] = {"designs/saltmarsh-lea.xml", "designs/cobble-hythe.xml",
		"designs/heron-gate.xml", "checker/read/template.xml"};
	static const char rules[] = "BAL-016 BAL-017 BAL-018 BAL-019 BAL-020 PMP-008 DAT-001";
	for (size_t i = 0; i < COUNT(designs); i++) {
		trial_review_file(&meeting, designs[i]);
		cr_assert_not_null(meeting.review, "%s", trial_messages(&meeting));
		for (size_t k = 0; k < meeting.review->judgement.count; k++) {
			const struct finding *found = &meeting.review->judgement.findings[k];
			cr_expect(!text_has_word(rules, found->rule->id) || found->verdict != VERDICT_DEPARTS, "%s: %s",
				designs[i], found->message);
		}
	}
}
