/*
 * Where statements of one quantity meet: carriers and their streams, restatements, nodes, pumps, reboilers, cases, and the slip that
 * explains what differs. Every unit is invented; expected values are calculated by hand from exact conversions beside them.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/slips.h"
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

TestSuite(meeting, .init = begin, .fini = end);

#define CASES                                                                                                          \
	"<basis kind='new' barometric-pressure='1.01325 bara'><case id='normal'/><case id='summer' "                   \
	"title='Hot'/></basis>"
#define MDEA "<solvent amine='MDEA' strength='45 wt%%'/>"

static void review(const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'>" CASES MDEA
			"<line tag='Z'><in case='summer' velocity='1 m/s'/></line>%s</unit>",
			body));
	cr_assert_not_null(trial.review, "%s: %s", body, trial_messages(&trial));
}

static size_t contradictions(void)
{
	return table_of_kind(trial.table, "contradiction").count;
}

static const char *text_of(const char *item, const char *name)
{
	const struct item *found = table_find(trial.table, item);
	const char *word = found ? table_word(trial.table, found, EVERY_CASE, name) : NULL;
	return word ? word : "";
}

static const struct finding *finding(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	cr_assert_not_null(found, "%s does not select %s", rule, item);
	return found;
}

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
	for (size_t i = 0; i < sizeof flows / sizeof *flows; i++) {
		review(arena_format(&trial.arena,
			"<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' pressure='10 barg' "
			"h2s='0.004' "
			"co2='0.002'/><line tag='L' stream='s' flow='%s' size='NPS 3' schedule='40'/>",
			flows[i].flow));
		cr_expect_eq(contradictions(), flows[i].agrees ? 0 : 1, "%s: %zu", flows[i].flow, contradictions());
		const char *slip = text_of("L flow", "slip");
		cr_expect(*flows[i].slip ? strstr(slip, flows[i].slip) != NULL : !*slip, "%s: %s", flows[i].flow, slip);
	}
}

/* What the line states for no case in particular is of the first; in summer the stream says 30 t/h, and that runs in the line. */
Test(meeting, a_plain_value_of_a_line_hides_no_case_of_its_stream)
{
	review("<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' pressure='10 barg' h2s='0.004' "
	       "co2='0.002'>"
	       "<in case='summer' flow='30 t/h' temperature='52 degC' pressure='12 barg'/></stream>"
	       "<line tag='L' stream='s' flow='20 t/h' temperature='45 degC' pressure='10 barg' size='NPS 3' "
	       "schedule='40'/>"
	       "<line tag='M' stream='s' from='A' to='B' flow='8 t/h' size='NPS 3' schedule='40'/>"
	       "<line tag='N' stream='s' from='A' to='B' flow='12 t/h' size='NPS 3' schedule='40'/>"
	       "<vessel tag='A'/><vessel tag='B'/>");
	cr_expect_eq(contradictions(), 0);
	cr_expect_float_eq(trial_number(&trial, "L", "summer", "mass-flow", "t/h"), 30, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "L", "summer", "temperature", "degC"), 52, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "L", "summer", "pressure", "bara"), 13.01325, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "L", "normal", "mass-flow", "t/h"), 20, 1e-9);
	double normal = trial_number(&trial, "L", "normal", "velocity", "m/s"),
	       summer = trial_number(&trial, "L", "summer", "velocity", "m/s");
	cr_expect_float_eq(summer / normal, 1.5, 0.02, "%g", summer / normal);
	cr_expect_float_eq(trial_number(&trial, "M", "summer", "mass-flow", "t/h"), 8, 1e-9, "a part of it");
}

Test(meeting, a_line_that_states_a_case_meets_its_stream_there)
{
	review("<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'>"
	       "<in case='summer' flow='30 t/h'/></stream>"
	       "<line tag='L' stream='s' flow='20 t/h'><in case='summer' flow='23 t/h'/></line>"
	       "<line tag='M' stream='s' flow='30 t/h'/>");
	cr_expect_eq(contradictions(), 2);
	cr_expect_str_eq(text_of("L flow", "in-cases"), "Hot");
	cr_expect_str_eq(text_of("L flow", "first"), "23000 kg/h");
	cr_expect(strstr(text_of("M flow", "slip"), "Hot"), "%s", text_of("M flow", "slip"));
}

/* Parallel lines carry the stream together; one alone not more than all of it. */
Test(meeting, parallel_lines_are_summed)
{
	static const struct {
		const char *first, *second;
		size_t contradictions;
	} rows[] = {{"8 t/h", "12 t/h", 0}, {"8 t/h", "8 t/h", 1}, {"20 t/h", "20 t/h", 1}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		review(arena_format(&trial.arena,
			"<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
			"<vessel tag='A'/><vessel tag='B'/><line tag='L' stream='s' from='A' to='B' flow='%s'/>"
			"<line tag='M' stream='s' from='A' to='B' flow='%s'/>",
			rows[i].first, rows[i].second));
		cr_expect_eq(contradictions(), rows[i].contradictions, "%s and %s: %zu", rows[i].first, rows[i].second,
			contradictions());
	}
	review("<stream id='s' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
	       "<vessel tag='A'/><vessel tag='B'/><line tag='L' stream='s' from='A' to='B' flow='8 t/h'/>"
	       "<line tag='M' stream='s' from='A' to='B'/><line tag='N' stream='s' to='B' flow='25 t/h'/>");
	cr_expect_eq(contradictions(), 1, "only one of them carries too much");
	cr_expect_not_null(table_find(trial.table, "N flow"));
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
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		review(arena_format(&trial.arena,
			"<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' pressure='5 barg' h2s='0.2' "
			"co2='0.1'><in case='summer' temperature='70 degC'/></stream><line tag='L' stream='s' %s/>",
			rows[i].line));
		cr_expect_eq(contradictions(), rows[i].contradictions, "%s: %zu", rows[i].line, contradictions());
	}
	cr_assert(strstr(rows[4].line, "140"));
	review("<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' h2s='0.2' co2='0.1'/>"
	       "<line tag='L' stream='s' temperature='140 degC'/>");
	cr_expect(strstr(text_of("L temperature", "slip"), "Fahrenheit"), "%s", text_of("L temperature", "slip"));
	review("<stream id='s' service='rich' flow='20 t/h' temperature='60 degC' pressure='5 barg' h2s='0.2' "
	       "co2='0.1'/>"
	       "<line tag='L' stream='s' pressure='5 bara'/>");
	cr_expect(strstr(text_of("L pressure", "slip"), "gauge"), "%s", text_of("L pressure", "slip"));
}

/* Nobody can compare kilograms with cubic metres of what has no density; that is asked for, and nothing else goes wrong. */
Test(meeting, what_cannot_be_compared_is_asked_for)
{
	review("<stream id='s' service='condensate' flow='20 t/h'><stated document='X' flow='20 m3/h'/></stream>");
	cr_expect_eq(contradictions(), 1);
	const struct finding *found = finding("DAT-001", "s flow");
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
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		review(arena_format(&trial.arena, "<stream id='s' service='lean' temperature='45 degC' %s %s</stream>",
			strncmp(rows[i].stream, "h2s", 3) == 0 ? "co2='0.002'" : "h2s='0.004' co2='0.002'",
			rows[i].stream));
		cr_expect_eq(contradictions(), rows[i].contradictions, "%s: %zu", rows[i].stream, contradictions());
	}
}

Test(meeting, the_first_of_two_overrides_of_a_case_is_used)
{
	review("<stream id='s' service='lean' flow='20 t/h'><in case='summer' flow='30 t/h'/><in case='summer' "
	       "flow='33 "
	       "t/h'/></stream>");
	cr_expect_float_eq(trial_number(&trial, "s", "summer", "mass-flow", "t/h"), 30, 1e-9);
}

/* 0.183 + 0.216 is 0.399, printed 0.40. */
Test(meeting, a_loading_meets_its_parts)
{
	static const struct {
		const char *loading;
		size_t contradictions;
	} rows[] = {{"0.40", 0}, {"0.399", 0}, {"0.42", 1}, {"39.9", 1}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		review(arena_format(&trial.arena,
			"<stream id='s' service='rich' loading='%s' h2s='0.183' co2='0.216' flow='20 t/h' "
			"temperature='60 degC'/>",
			rows[i].loading));
		cr_expect_eq(contradictions(), rows[i].contradictions, "%s: %zu", rows[i].loading, contradictions());
		cr_expect_float_eq(
			trial_number(&trial, "s", NULL, "loading", "mol/mol"), 0.399, 1e-9, "the parts are used");
	}
	cr_expect(strstr(text_of("s loading", "slip"), "per cent"), "%s", text_of("s loading", "slip"));
	review("<stream id='s' service='rich' loading='0.40' h2s='0.183' flow='20 t/h' temperature='60 degC'/>");
	cr_expect_float_eq(trial_number(&trial, "s", NULL, "loading", "mol/mol"), 0.40, 1e-9, "one part is not all");
}

/* ---- nodes ---- */

/* Three quarters of 60 t/h are 45; strengths and loadings are alike, so that moles of amine stand as masses do. */
Test(meeting, a_header_that_loses_a_quarter_is_found_once)
{
	static const char body[] =
		"<stream id='a' service='lean' from='P-1' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='b' service='lean' to='C-1' flow='%s' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='c' service='lean' to='C-2' flow='20 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<vessel tag='C-1'/><vessel tag='C-2'/><pump tag='P-1'/>%s";
	static const char *const described[] = {"<network><split tag='H' from='a' to='b c'/></network>",
		"<network><split tag='H' from='a' to='b c'/><split tag='H2' from='a' to='c b'/></network>"};
	for (size_t i = 0; i < 2; i++) {
		review(arena_format(&trial.arena, body, "40 t/h", described[i]));
		cr_expect_eq(finding("BAL-016", "H")->verdict, VERDICT_MEETS);
		review(arena_format(&trial.arena, body, "25 t/h", described[i]));
		const struct finding *found = finding("BAL-016", "H");
		cr_expect_eq(found->verdict, VERDICT_DEPARTS);
		cr_expect_float_eq(found->value->si, 0.25, 1e-6);
		size_t departs = 0;
		for (size_t k = 0; k < trial.review->judgement.count; k++)
			departs += strcmp(trial.review->judgement.findings[k].rule->id, "BAL-016") == 0 &&
				trial.review->judgement.findings[k].verdict == VERDICT_DEPARTS;
		cr_expect_eq(departs, 1, "%zu", departs);
	}
}

/* The same by `from` alone, and through the sides of an exchanger, a drum and a treater. */
Test(meeting, nodes_are_found_without_a_network)
{
	review("<stream id='a' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
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
	for (size_t i = 0; i < sizeof items / sizeof *items; i++)
		cr_expect_eq(finding("BAL-016", items[i])->verdict, VERDICT_DEPARTS, "%s", items[i]);
}

/* 40 t/h at 60 degC and 20 t/h at 45 degC mix to 55 degC. */
Test(meeting, what_mixes_has_one_temperature_and_all_acid_gas)
{
	static const char body[] =
		"<stream id='a' service='rich' flow='40 t/h' temperature='60 degC' h2s='0.2' co2='0.1'/>"
		"<stream id='b' service='rich' flow='20 t/h' temperature='45 degC' h2s='0.2' co2='0.1'/>"
		"<stream id='c' service='rich' flow='60 t/h' temperature='%s' h2s='%s' co2='0.1'/>"
		"<network><mix tag='M' from='a b' to='c'/></network>";
	review(arena_format(&trial.arena, body, "55 degC", "0.2"));
	cr_expect_float_eq(trial_number(&trial, "M", NULL, "mixed-temperature", "degC"), 55, 1e-6);
	cr_expect_eq(finding("BAL-018", "M")->verdict, VERDICT_MEETS);
	cr_expect_eq(finding("BAL-017", "M")->verdict, VERDICT_MEETS);
	review(arena_format(&trial.arena, body, "66 degC", "0.26"));
	cr_expect_eq(finding("BAL-018", "M")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(finding("BAL-017", "M")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(finding("BAL-016", "M")->verdict, VERDICT_MEETS);
}

/* A ring, a stream that ends in itself, a flow that nobody knows, a branch of which the case says nothing: no finding, no fault. */
Test(meeting, circuits_that_do_not_close_harm_nothing)
{
	review("<stream id='a' service='lean' from='b' flow='10 t/h'/><stream id='b' service='lean' from='c' to='a'/>"
	       "<stream id='c' service='lean' from='a' to='c' flow='10 t/h'/>"
	       "<stream id='d' service='lean' flow='60 t/h'><in case='summer' flow='70 t/h'/></stream>"
	       "<stream id='e' service='lean' flow='20 t/h'/><stream id='f' service='lean' flow='40 t/h'/>"
	       "<stream id='g' service='lean'/><stream id='h' service='lean'/>"
	       "<network><split tag='H' from='d' to='e f'/><split tag='I' from='d' to='g h'/><mix tag='J' from='g' "
	       "to='g'/></network>");
	for (size_t k = 0; k < trial.review->judgement.count; k++) {
		const struct finding *found = &trial.review->judgement.findings[k];
		cr_expect(strncmp(found->rule->id, "BAL-01", 6) != 0 || found->verdict != VERDICT_DEPARTS, "%s",
			found->message);
	}
}

/* ---- pumps, columns, reboilers ---- */

Test(meeting, a_pump_below_its_stream_is_found_with_its_slip)
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
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		review(arena_format(&trial.arena,
			"<stream id='s' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
			"<pump tag='P' service='lean' discharge='s' %s/>",
			rows[i].pumps));
		const struct finding *found = finding("PMP-005", "P");
		cr_expect_eq(found->verdict, rows[i].verdict, "%s: %s", rows[i].pumps, found->message);
		cr_expect(!*rows[i].slip || strstr(found->message, rows[i].slip), "%s: %s", rows[i].pumps,
			found->message);
		cr_expect(!*rows[i].slip || found->certainty >= CERTAINTY_SCREENING,
			"nothing firm rests on a slip: %s, %s", certainty_word(found->certainty), found->message);
	}
	review("<stream id='s' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
	       "<pump tag='P' service='lean' discharge='s' flow='30 m3/h'/><pump tag='Q' service='lean' discharge='s' "
	       "flow='30 m3/h'/>");
	cr_expect_eq(finding("PMP-005", "P")->verdict, VERDICT_MEETS, "two in parallel");
	cr_expect_eq(finding("PMP-005", "Q")->verdict, VERDICT_MEETS);
}

/* 45 wt% MDEA boils near 127 degC at 1.9 barg = 2.9 bara; read as 1.9 bara it would boil near 121 degC. */
Test(meeting, a_bottom_read_as_gauge_is_named)
{
	static const char body[] =
		"<stream id='rich' service='rich' flow='62 t/h' temperature='100 degC' pressure='4 barg' h2s='0.2' "
		"co2='0.1'/>"
		"<stream id='lean' service='lean' flow='60 t/h' temperature='%s' pressure='%s' h2s='0.004' "
		"co2='0.002'/>"
		"<regenerator tag='C' feed='rich' lean='lean' bottom-temperature='%s' bottom-pressure='%s'/>";
	review(arena_format(&trial.arena, body, "120 degC", "1.9 bara", "120 degC", "1.9 bara"));
	double boils = trial_number(&trial, "C", NULL, "boiling-temperature", "degC");
	const char *right = arena_format(&trial.arena, "%.1f degC", boils);
	review(arena_format(&trial.arena, body, right, "1.9 bara", right, "1.9 bara"));
	cr_expect_eq(finding("BAL-006", "C")->verdict, VERDICT_MEETS);
	review(arena_format(&trial.arena, body, right, "1.9 barg", right, "1.9 barg"));
	const struct finding *found = finding("BAL-006", "C");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect(strstr(found->message, "gauge"), "%s", found->message);
	cr_expect_eq(contradictions(), 0, "once");
}

/* Two of 3 MW and 4 t/h stand for one of 6 MW and 8 t/h, whether both name their regenerator or none does. */
Test(meeting, reboilers_of_one_regenerator_are_summed)
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
	review(arena_format(&trial.arena, body, one));
	double stripping = trial_number(&trial, "C", NULL, "duty-stripping", "kW"),
	       apart = trial_number(&trial, "C", NULL, "duty-balance-apart", "%"),
	       rate = trial_number(&trial, "E", NULL, "heat-rate", "MJ/m3"),
	       steam = trial_number(&trial, "E", NULL, "steam-rate", "kg/L");
	for (size_t i = 0; i < 2; i++) {
		review(arena_format(&trial.arena, body, two[i]));
		cr_expect_float_eq(trial_number(&trial, "C", NULL, "duty-stripping", "kW"), stripping, 1e-6);
		cr_expect_float_eq(trial_number(&trial, "C", NULL, "duty-balance-apart", "%"), apart, 1e-6);
		if (i == 0) {
			cr_expect_float_eq(trial_number(&trial, "F", NULL, "heat-rate", "MJ/m3"), rate, 1e-6);
			cr_expect_float_eq(trial_number(&trial, "F", NULL, "steam-rate", "kg/L"), steam, 1e-9);
		}
	}
	review(arena_format(&trial.arena, body,
		"<reboiler tag='E' regenerator='C' duty='3 MW'/><reboiler tag='F' regenerator='C' "
		"heating-medium='steam'/>"));
	const struct quantity *unknown = trial_value(&trial, "C", NULL, "duty-stripping");
	cr_expect(!unknown || unknown->known == UNKNOWN, "of one the duty is not stated");
}

/* ---- cases ---- */

Test(meeting, a_copied_case_is_told)
{
	static const char body[] =
		"<gas id='feed' role='feed' flow='1000 kmol/h' temperature='35 degC' pressure='40 barg' h2s='2 mol%%' "
		"co2='1 mol%%'>"
		"<in case='summer' flow='%s'/></gas><gas id='sweet' role='treated' h2s='4 ppmv' co2='0.3 mol%%'/>"
		"<stream id='lean' service='lean' flow='60 t/h' temperature='45 degC' h2s='0.004' co2='0.002'/>"
		"<stream id='rich' service='rich' flow='61.1 t/h' temperature='58 degC' h2s='0.09' co2='0.034'>"
		"<in case='summer' flow='%s' temperature='%s' h2s='%s' co2='0.034'/></stream>"
		"<absorber tag='C' gas='feed' treated='sweet' lean='lean' rich='rich'/>";
	review(arena_format(&trial.arena, body, "1150 kmol/h", "61.1 t/h", "58 degC", "0.09"));
	const struct finding *found = finding("BAL-019", "C");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect(
		strstr(found->message, "flow of feed") && strstr(found->message, "h2s of rich"), "%s", found->message);
	review(arena_format(&trial.arena, body, "1150 kmol/h", "61.3 t/h", "60 degC", "0.103"));
	cr_expect_eq(finding("BAL-019", "C")->verdict, VERDICT_MEETS);
	review(arena_format(&trial.arena, body, "1005 kmol/h", "61.1 t/h", "58 degC", "0.09"));
	cr_expect_eq(finding("BAL-019", "C")->verdict, VERDICT_NOT_APPLICABLE, "nothing that drives it differs");
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

Test(meeting, the_gas_gives_a_rich_loading)
{
	review(GAS_SIDE("", "h2s='4 ppmv' co2='0.5 mol%'"));
	static const char *const streams[] = {"rich", "hot"};
	for (size_t i = 0; i < 2; i++) {
		cr_expect_float_eq(
			trial_number(&trial, streams[i], NULL, "h2s", "mol/mol"), 0.2701, 2e-4, "%s", streams[i]);
		cr_expect_float_eq(
			trial_number(&trial, streams[i], NULL, "co2", "mol/mol"), 0.0709, 2e-4, "%s", streams[i]);
		cr_expect_float_eq(
			trial_number(&trial, streams[i], NULL, "loading", "mol/mol"), 0.3410, 3e-4, "%s", streams[i]);
	}
	review(GAS_SIDE("<in case='summer' flow='1300 kmol/h'/>", "h2s='4 ppmv' co2='0.5 mol%'"));
	cr_expect_float_eq(trial_number(&trial, "hot", "summer", "h2s", "mol/mol"), 0.005 + 1.3 * 0.2651, 4e-4);
	cr_expect_float_eq(trial_number(&trial, "hot", "normal", "h2s", "mol/mol"), 0.2701, 2e-4);
}

/* A case whose feed is owed has no loading, rather than that of the normal case. */
Test(meeting, a_case_whose_feed_is_owed_has_no_rich_loading)
{
	review(GAS_SIDE("<in case='summer' flow='t.b.d.'/>", "h2s='4 ppmv' co2='0.5 mol%'"));
	const struct quantity *loading = trial_value(&trial, "rich", "summer", "h2s");
	cr_expect(loading && loading->known == UNKNOWN);
	cr_expect_float_eq(trial_number(&trial, "rich", "normal", "h2s", "mol/mol"), 0.2701, 2e-4);
}

/* Nobody says what the treated gas keeps: at most all, (20 + 10) / 75.44 + 0.008. */
Test(meeting, without_the_treated_gas_it_is_a_bound)
{
	review(GAS_SIDE("", ""));
	const struct quantity *loading = trial_value(&trial, "rich", NULL, "loading");
	cr_assert(loading && loading->known == COMPUTED);
	cr_expect_eq(loading->bound, BOUND_BELOW);
	cr_expect_float_eq(loading->si, 30 / 75.44 + 0.008, 1e-3);
}

/* What is stated stays. */
Test(meeting, a_stated_rich_loading_stays)
{
	review("<gas id='feed' role='feed' flow='1000 kmol/h' h2s='2 mol%' co2='1 mol%'/><gas id='sweet' "
	       "role='treated' h2s='4 ppmv' "
	       "co2='0.5 mol%'/><stream id='lean' service='lean' flow='20 t/h' temperature='45 degC' h2s='0.005' "
	       "co2='0.003'/>"
	       "<stream id='rich' service='rich' h2s='0.1' temperature='60 degC'/>"
	       "<absorber tag='C' gas='feed' treated='sweet' lean='lean' rich='rich'/>");
	cr_expect_float_eq(trial_number(&trial, "rich", NULL, "h2s", "mol/mol"), 0.1, 1e-12);
	cr_expect_null(trial_value(&trial, "rich", NULL, "co2"));
}

/* 159 kmol/h leave, where 20 t/h at 0.27 less 0.008 set 20 free. */
Test(meeting, acid_gas_leaves_as_it_is_set_free)
{
	static const char body[] = "<stream id='rich' service='rich' flow='21 t/h' temperature='100 degC' pressure='4 "
				   "barg' h2s='0.27' co2='0.07'/>"
				   "<stream id='lean' service='lean' flow='20 t/h' temperature='121 degC' "
				   "pressure='1.9 bara' h2s='0.005' co2='0.003'/>"
				   "<stream id='reflux' service='reflux' flow='1 t/h' temperature='45 degC'/>"
				   "<gas id='ag' role='acid gas' flow='%s' h2s='80 mol%%' co2='20 mol%%'/>"
				   "<regenerator tag='C' feed='rich' lean='lean' reflux='reflux'/>";
	review(arena_format(&trial.arena, body, "25 kmol/h"));
	cr_expect_eq(finding("BAL-020", "C")->verdict, VERDICT_MEETS, "%s", finding("BAL-020", "C")->message);
	review(arena_format(&trial.arena, body, "55.2 kmol/h"));
	cr_expect_eq(finding("BAL-020", "C")->verdict, VERDICT_DEPARTS);
	cr_expect(strstr(finding("BAL-020", "C")->message, "pounds"), "%s", finding("BAL-020", "C")->message);
}

/* ---- what hangs on it ---- */

/* Steel of a hot rich line: NPS 4 at 40 t/h departs from the velocity limit, NPS 8 does not. */
Test(meeting, a_contradiction_weighs_what_it_turns)
{
	static const char body[] = "<stream id='s' service='rich' flow='40 t/h' temperature='60 degC' pressure='10 "
				   "barg' h2s='0.2' co2='0.1'/>"
				   "<line tag='L' stream='s' size='%s' schedule='40' material='carbon steel' "
				   "data='A'><stated document='B' size='%s'/></line>";
	review(arena_format(&trial.arena, body, "NPS 3", "NPS 8"));
	const struct finding *turns = finding("DAT-001", "L size"), *velocity = finding("VEL-002", "L");
	cr_expect(!turns->remark && strstr(turns->message, "VEL-002"), "%s", turns->message);
	cr_expect_eq(turns->force, velocity->force);
	cr_expect_eq(velocity->verdict, VERDICT_DEPARTS);
	cr_expect(velocity->unsettled && velocity->certainty >= CERTAINTY_SCREENING, "%s", velocity->message);
	/* The other way round the graver verdict stands too. */
	review(arena_format(&trial.arena, body, "NPS 8", "NPS 3"));
	velocity = finding("VEL-002", "L");
	cr_expect_eq(velocity->verdict, VERDICT_DEPARTS);
	cr_expect(velocity->unsettled && strstr(velocity->message, "Unsettled"), "%s", velocity->message);
	cr_expect_eq(finding_action(finding("DAT-001", "L size")), finding_action(velocity));
	/* Where both meet nothing is asked. */
	review(arena_format(&trial.arena, body, "NPS 8", "NPS 10"));
	cr_expect(finding("DAT-001", "L size")->remark, "%s", finding("DAT-001", "L size")->message);
	cr_expect_eq(finding_action(finding("DAT-001", "L size")), ACTION_NONE);
	for (size_t i = 0; i < trial.review->flag_count; i++)
		cr_expect(strcmp(trial.review->flags[i].rule->id, "DAT-001") != 0);
}

/* ---- slips ---- */

Test(meeting, slips_of_every_kind_are_named_and_no_others)
{
	const double atm = 101325;
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
		{KIND_LIQUID_FLOW, 10, 14, NULL},
		{KIND_TEMPERATURE, 333.15, 360, NULL},
		{KIND_PRESSURE, 6e5, 7.6e5, NULL},
		{KIND_LOADING, 0.4, 0.2, NULL}, /* there are no two trains of a loading */
		{KIND_POWER, 1, 1.3, NULL},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		const char *slip = slip_between(&trial.arena, rows[i].kind, slips_of_kind(rows[i].kind, false),
			rows[i].a, rows[i].b, 0.01, atm);
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
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
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
	static const char rules[] = "BAL-016 BAL-017 BAL-018 BAL-019 BAL-020 PMP-005 DAT-001";
	for (size_t i = 0; i < sizeof designs / sizeof *designs; i++) {
		trial_review_file(&trial, designs[i]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		for (size_t k = 0; k < trial.review->judgement.count; k++) {
			const struct finding *found = &trial.review->judgement.findings[k];
			cr_expect(!text_has_word(rules, found->rule->id) || found->verdict != VERDICT_DEPARTS, "%s: %s",
				designs[i], found->message);
		}
	}
}
