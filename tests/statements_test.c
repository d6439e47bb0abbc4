/*
 * What is stated: owed values, assumed ones, notes, what a stream carries; and what nothing read, in one review (all of it:
 * unread_test.c).
 *
 * All units here are invented; no figure is a check value.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/statements.h"
#include "review_support.h"

static struct trial trial;
static struct arena kept; /* outlives the trial of one design */

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&kept);
}

TestSuite(statements, .init = begin, .fini = end);

/* ---- in one review ---- */

static const struct statement *unread(const char *item, const char *name)
{
	const struct statements *statements = &trial.review->statements;
	for (size_t i = 0; i < statements->unread_count; i++)
		if (strcmp(statements->unread[i]->item->tag, item) == 0 &&
			strcmp(statements->unread[i]->name, name) == 0)
			return statements->unread[i];
	return NULL;
}

static const struct owed *owed(const char *item, const char *name)
{
	const struct statements *statements = &trial.review->statements;
	for (size_t i = 0; i < statements->owed_count; i++)
		if (strcmp(statements->owed[i].statement->item->tag, item) == 0 &&
			strcmp(statements->owed[i].statement->name, name) == 0)
			return &statements->owed[i];
	return NULL;
}

/* An invented unit of two cases, in DEA; the body begins on line 1. */
static void review_unit(const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.01325 "
			"bara'>"
			"<case id='normal' title='design'/><case id='july' title='hot month'/></basis>"
			"<solvent amine='DEA' strength='30 wt%%'><in case='july' strength='31 "
			"wt%%'/></solvent>%s</unit>",
			body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

Test(statements, what_nothing_reads_is_listed_with_its_place)
{
	review_unit("<stream id='rich' service='rich' flow='40 t/h' temperature='60 degC'/>\n"
		    "<line tag='6-P-9' stream='rich' size='NPS 6' schedule='40' material='carbon steel'\n"
		    "  test-pressure='12 barg' length='40 m'><in case='july' test-pressure='13 barg'/></line>");
	const struct statement *test = unread("6-P-9", "test-pressure");
	cr_assert_not_null(test);
	cr_expect_eq(test->quantity->place.line, 3, "%d", test->quantity->place.line);
	cr_expect_str_eq(test->quantity->written, "12 barg");
	cr_expect_null(unread("6-P-9", "size"));
	cr_expect_null(unread("6-P-9", "material"));
	cr_expect_null(unread("rich", "flow"), "the velocity in the line rests on it");
	cr_expect_null(unread("6-P-9", "stream"), "a reference that is followed is used");
	size_t at = 0;
	while (strcmp(trial.review->statements.unread[at]->name, "test-pressure") != 0)
		at++;
	cr_expect_eq(statements_alike(&trial.review->statements, at), 2, "both are one row");
}

/* What is handed down to a part is read when the part is; copying alone reads nothing. */
Test(statements, what_is_inherited_is_read_by_the_part_alone)
{
	review_unit("<exchanger tag='E-9' pwht='no' carbon-content='0.2 wt%' material='carbon steel'>"
		    "<part material='carbon steel'/><weld material='carbon steel'/></exchanger>");
	cr_expect_null(unread("E-9", "pwht"));
	cr_expect_not_null(unread("E-9", "carbon-content"), "its parts have it, and nobody looks");
}

/* Two documents that state one thing are compared; what cannot be compared is not. */
Test(statements, what_two_documents_state_is_compared)
{
	review_unit("<line tag='6-P-9' test-pressure='12 barg' length='40 m'>"
		    "<stated document='LL' test-pressure='12 barg'/></line>"
		    "<sump tag='T-9' volume='&lt;9 m3'><stated document='DS' volume='&lt;8 m3'/></sump>");
	cr_expect_null(unread("6-P-9", "test-pressure"));
	cr_expect_not_null(unread("6-P-9", "length"));
	cr_expect_not_null(unread("T-9", "volume"), "two bounds are not held against each other");
}

Test(statements, notes_are_kept_printed_and_counted_as_unread)
{
	review_unit("<cooler tag='E-9'><note document='DS-9 rev B'>Tubes  to be\n "
		    "replaced.</note><note>Second.</note></cooler>"
		    "<claim about='E-9' quantity='duty' because='a'><note>Asked on the phone.</note></claim>");
	const struct statements *statements = &trial.review->statements;
	cr_assert_eq(statements->notes.count, 3);
	cr_expect_str_eq(statements->notes.rows[0]->text, "Tubes to be replaced.");
	cr_expect_str_eq(statements->notes.rows[0]->parent->tag, "E-9");
	const struct statement *text = unread("E-9 note", "text");
	cr_assert_not_null(text);
	cr_expect_str_eq(text->quantity->document, "DS-9 rev B");
	cr_expect_str_eq(statements->notes.rows[2]->parent->kind, "claim");
}

/* Every kind of item may carry notes, and a note is none itself. */
Test(statements, every_kind_of_item_takes_a_note)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *element = trial.vocabulary->elements[i];
		bool takes = vocabulary_child(element, "note") != NULL;
		cr_expect_eq(takes, strcmp(element->name, "note") != 0, "%s", element->name);
	}
}

/* ---- owed ---- */

Test(statements, what_is_owed_is_unknown_and_listed)
{
	static const char *const words[] = {
		"t.b.d.", "tbd", "TBD", "T.B.D.", "t.b.d", "hold", "HOLD", "Later", " tbd "};
	for (size_t i = 0; i < COUNT(words); i++) {
		review_unit(arena_format(&trial.arena,
			"<exchanger tag='E-9' material='carbon steel' design-temperature='150 degC'>"
			"<tube-side material='%s' pwht='%s' design-temperature='%s' data='DS-9'/></exchanger>",
			words[i], words[i], words[i]));
		static const char *const names[] = {"material", "material-family", "pwht", "design-temperature"};
		for (size_t k = 0; k < COUNT(names); k++) {
			const struct quantity *value = trial_value(&trial, "E-9 tube side", NULL, names[k]);
			cr_assert_not_null(value, "%s", names[k]);
			cr_expect(value->known == UNKNOWN && value->owed, "%s, %s: not the value around", words[i],
				names[k]);
		}
		cr_expect_not_null(owed("E-9 tube side", "pwht"));
		cr_expect_null(unread("E-9 tube side", "pwht"));
	}
	cr_expect_str_eq(trial_value(&trial, "E-9 tube side", NULL, "pwht")->reason,
		"pwht of E-9 tube side is owed: stated as  tbd  in DS-9");
	cr_expect(written_is_owed("tbd") && !written_is_owed("t b d") && !written_is_owed("") &&
		!written_is_owed("tbdd") && !written_is_owed("...") && !written_is_owed("holder"));
}

/* In one case: neither the value of the others nor anything that was calculated from it. */
Test(statements, what_a_case_owes_never_falls_back)
{
	review_unit("<stream id='rich' service='rich' flow='40 t/h' temperature='60 degC' h2s='0.3' co2='0.1' "
		    "pressure='6 barg'>"
		    "<in case='july' flow='TBD'/></stream>"
		    "<line tag='6-P-9' stream='rich' size='NPS 6' schedule='40' material='carbon steel'/>");
	static const char *const names[] = {"mass-flow", "volume-flow", "velocity", "momentum-flux"};
	for (size_t i = 0; i < COUNT(names); i++) {
		cr_expect(trial_value(&trial, "6-P-9", "normal", names[i])->known == COMPUTED, "%s", names[i]);
		cr_expect(trial_value(&trial, "6-P-9", "july", names[i])->known == UNKNOWN, "%s", names[i]);
	}
	cr_expect_eq(trial_value(&trial, "rich", "july", "temperature")->known, STATED);
}

/* A rule that takes something where nothing is stated takes it not where the package says that it will follow. */
Test(statements, a_default_of_a_rule_does_not_stand_for_what_is_owed)
{
	static const char rule[] =
		"<rule id='TST-001' since='1' title='Wet' force='required' why-force='a'><select kind='line'/>"
		"<input name='wet' quantity='traced' kind='yes-no' absent='yes' absent-why='a trial'/><assert "
		"test='$wet'/>"
		"<limit says='a' source='read' known='read' "
		"confidence='high'/><message>m</message><why>w</why><remedy>r</remedy>"
		"<example verdict='departs' wet='no'/><example verdict='meets' wet='yes'/></rule>";
	static const struct {
		const char *line;
		enum verdict verdict;
	} sides[] = {{"<line tag='L'/>", VERDICT_MEETS}, {"<line tag='L' traced='no'/>", VERDICT_DEPARTS},
		{"<line tag='L' traced='hold'/>", VERDICT_NOT_JUDGED}};
	trial_close(&trial);
	trial_open_with(&trial, rule, NULL);
	for (size_t i = 0; i < COUNT(sides); i++) {
		review_unit(sides[i].line);
		cr_expect_eq(trial_finding(&trial, "TST-001", "L")->verdict, sides[i].verdict, "%s", sides[i].line);
	}
	cr_assert_eq(trial.review->request_count, 1);
	cr_expect_str_eq(trial.review->requests[0].quantity, "traced");
	cr_expect_str_eq(trial.review->requests[0].item->tag, "L");
}

/* Another document fills the gap, and the list says which; a second one that owes it too does not. */
Test(statements, another_document_fills_what_one_owes)
{
	review_unit("<line tag='L' size='t.b.d.' pwht='later' data='DS'><stated document='LL' size='NPS 8'/>"
		    "<stated document='WM' pwht='TBD'/></line>"
		    "<line tag='M' size='NPS 4'><stated document='LL' size='tbd'/></line>");
	cr_expect_str_eq(trial_value(&trial, "L", NULL, "size")->word, "NPS 8");
	const struct owed *size = owed("L", "size"), *pwht = owed("L", "pwht");
	cr_assert(size && size->instead && pwht);
	cr_expect_str_eq(size->instead->document, "LL");
	cr_expect_null(pwht->instead);
	cr_expect_str_eq(trial_value(&trial, "M", NULL, "size")->word, "NPS 4");
	cr_expect_not_null(owed("M", "size"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 0);
}

/* What a part states for one case alone it keeps there, though what it is part of states that case too. */
Test(statements, a_part_keeps_what_it_states_for_one_case)
{
	review_unit("<exchanger tag='E-9' temperature='60 degC'><in case='july' temperature='70 degC'/>"
		    "<tube-side><in case='july' temperature='90 degC'/></tube-side>"
		    "<shell-side><in case='july' temperature='t.b.d.'/></shell-side><plate-side/></exchanger>");
	cr_expect_float_eq(trial_number(&trial, "E-9 tube side", "july", "temperature", "degC"), 90, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "E-9 tube side", "normal", "temperature", "degC"), 60, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "E-9 plate side", "july", "temperature", "degC"), 70, 1e-6);
	cr_expect_eq(trial_value(&trial, "E-9 shell side", "july", "temperature")->known, UNKNOWN);
}

/* ---- assumed ---- */

static const char exchanger[] =
	"<stream id='lh' service='lean' flow='50 t/h' temperature='118 degC' pressure='3 bara' h2s='0.01' "
	"co2='0.005'>%s</stream>"
	"<stream id='lw' service='lean' flow='50 t/h' temperature='%s degC' pressure='2 bara' h2s='0.01' "
	"co2='0.005'>%s</stream>"
	"<stream id='rc' service='rich' flow='53 t/h' temperature='60 degC' pressure='12 bara' h2s='0.2' "
	"co2='0.1'>%s</stream>"
	"<stream id='rh' service='rich' flow='53 t/h' temperature='88 degC' pressure='11 bara' h2s='0.2' "
	"co2='0.1'>%s</stream>"
	"<exchanger tag='E-9' service='lean/rich' area='200 m2'><tube-side inlet='rc' outlet='rh'/>"
	"<shell-side inlet='lh' outlet='lw'/></exchanger>";

static const struct finding *sides_differing(
	const char *lean_out, const char *lh, const char *lw, const char *rc, const char *rh)
{
	review_unit(arena_format(&trial.arena, exchanger, lh, lean_out, lw, rc, rh));
	const struct finding *finding = trial_finding(&trial, "BAL-004", "E-9");
	cr_assert_not_null(finding);
	return finding;
}

static bool working_says(const char *what)
{
	for (size_t i = 0; i < trial.review->working_count; i++) {
		const struct working *working = &trial.review->workings[i];
		for (size_t k = 0; k < working->value.quantity->input_count; k++) {
			const char *says = working_assumption(
				&trial.arena, trial.review->table, working, &working->value.quantity->inputs[k]);
			if (says && strcmp(input_name(&trial.arena, &working->value.quantity->inputs[k]), what) == 0)
				return strcmp(says, "assumed as in normal, since july states none") == 0;
		}
	}
	return false;
}

/* july states the lean side, hotter, and says nothing of the rich: what fails to close there may be the silence. */
Test(statements, a_balance_of_stated_and_assumed_is_screening)
{
	static const char hot[] = "<in case='july' temperature='118.1 degC'/>";
	const struct finding *mixed = sides_differing("89", "", "<in case='july' temperature='108 degC'/>", "", "");
	cr_expect_eq(mixed->verdict, VERDICT_DEPARTS);
	cr_expect_eq(mixed->operating_case, 1);
	cr_expect_eq(mixed->certainty, CERTAINTY_SCREENING);
	cr_assert_not_null(mixed->assumed);
	cr_expect(strstr(mixed->assumed, "is assumed as in normal, since july states none"), "%s", mixed->assumed);
	cr_expect(working_says("heat taken up by the rich side"));

	const struct finding *normal = sides_differing("110", "", "", "", "");
	cr_expect_eq(normal->verdict, VERDICT_DEPARTS);
	enum certainty of_normal = normal->certainty;
	cr_expect_null(normal->assumed);
	const struct finding *first = sides_differing("110", hot, "<in case='july' temperature='112 degC'/>", "", "");
	cr_expect_eq(first->operating_case, 0, "the finding of the first case is not hidden by what is assumed");
	cr_expect_eq(first->certainty, of_normal);
	cr_expect_null(first->assumed);
}

/* Sizes and metals are the same in every case, and a case that says a value is as usual has stated it. */
Test(statements, what_is_fixed_or_stated_as_usual_is_not_assumed)
{
	static const char lean[] =
		"<in case='july' flow='50 t/h' temperature='%s degC' pressure='3 bara' h2s='0.01' co2='0.005'/>";
	static const char rich[] =
		"<in case='july' flow='53 t/h' temperature='%s degC' pressure='11.9 bara' h2s='0.2' co2='0.1'/>";
	char lh[200], lw[200], rc[200], rh[200];
	snprintf(lh, sizeof lh, lean, "118.1");
	snprintf(lw, sizeof lw, lean, "108");
	snprintf(rc, sizeof rc, rich, "60");
	snprintf(rh, sizeof rh, rich, "88");
	const struct finding *whole = sides_differing("89", lh, lw, rc, rh);
	cr_expect_eq(whole->verdict, VERDICT_DEPARTS);
	cr_expect_eq(whole->operating_case, 1);
	cr_expect_null(whole->assumed, "%s", whole->assumed);

	review_unit("<stream id='r' service='rich' flow='40 t/h' temperature='60 degC' h2s='0.3' co2='0.1'>"
		    "<in case='july' flow='80 t/h' temperature='70 degC'/></stream>"
		    "<line tag='L' stream='r' size='NPS 4' schedule='40' material='carbon steel'/>");
	const struct quantity *velocity = trial_value(&trial, "L", "july", "velocity");
	cr_assert(velocity && velocity->known == COMPUTED);
	for (size_t i = 0; i < velocity->input_count; i++)
		cr_expect(strcmp(velocity->inputs[i].symbol, "D") != 0 || !velocity->inputs[i].quantity->of_normal,
			"a bore is no condition");
}

/* ---- what a stream carries on ---- */

Test(statements, a_stream_carries_on_what_the_schema_says)
{
	review_unit("<stream id='a' service='sour water' flow='9 t/h' temperature='60 degC' pressure='4 barg' nh4hs='2 "
		    "wt%' "
		    "chloride='40 ppmw' ph='8' density='990 kg/m3'><in case='july' nh4hs='3 wt%'/></stream>"
		    "<stream id='b' from='a'/><stream id='c' from='b' nh4hs='t.b.d.' temperature='40 degC'/>");
	cr_expect_str_eq(trial_value(&trial, "b", NULL, "service")->word, "sour water");
	cr_expect_float_eq(trial_number(&trial, "b", NULL, "nh4hs", "wt%"), 2, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "b", "july", "nh4hs", "wt%"), 3, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "c", NULL, "chloride", "ppmw"), 40, 1e-9);
	cr_expect_float_eq(trial_number(&trial, "b", NULL, "mass-flow", "t/h"), 9, 1e-9);
	static const char *const not_carried[] = {"temperature", "pressure", "ph"};
	for (size_t i = 0; i < COUNT(not_carried); i++)
		cr_expect_null(trial_value(&trial, "b", NULL, not_carried[i]), "%s", not_carried[i]);
	const struct quantity *water = trial_value(&trial, "b", NULL, "density");
	cr_expect_eq(water->known, COMPUTED, "not carried: that of water, of whatever temperature");
	cr_expect_float_eq(water->si, 988, 1);
	cr_expect_eq(trial_value(&trial, "c", NULL, "nh4hs")->known, UNKNOWN, "owed, not carried");
}

Test(statements, temperature_and_pressure_pass_a_split_alone)
{
	review_unit("<stream id='a' service='lean' temperature='45 degC' pressure='20 barg'><in case='july' "
		    "temperature='51 degC'/></stream>"
		    "<stream id='b' from='a'/><stream id='c' from='a' pressure='7 barg'/><stream id='d' from='a'/>"
		    "<network><split tag='S' from='a' to='b c'/></network>");
	cr_expect_float_eq(trial_number(&trial, "b", NULL, "temperature", "degC"), 45, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "b", "july", "temperature", "degC"), 51, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "b", NULL, "pressure", "bara"), 21.01325, 1e-6);
	cr_expect_float_eq(trial_number(&trial, "c", NULL, "pressure", "bara"), 8.01325, 1e-6);
	cr_expect_null(trial_value(&trial, "d", NULL, "temperature"), "an item may stand between");
}

/* ---- many cases ---- */

Test(statements, a_thousand_cases_are_reviewed)
{
#ifdef __SANITIZE_ADDRESS__
	enum { CASES = 100 };
#else
	enum { CASES = 1000 };
#endif
	struct text design = text_in(&kept);
	text_add(&design, "<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'>");
	for (int i = 0; i < CASES; i++)
		text_addf(&design, "<case id='c%d'/>", i);
	text_add(&design,
		"</basis><solvent amine='DEA' strength='30 wt%'/><stream id='r' service='rich' flow='40 t/h' "
		"temperature='60 degC'>");
	for (int i = 1; i < CASES; i++)
		text_addf(&design, "<in case='c%d' temperature='%.3f degC' flow='%s'/>", i, 50 + 0.005 * i,
			i == CASES / 2 ? "hold" : "41 t/h");
	text_add(&design,
		"</stream><line tag='L' stream='r' size='NPS 6' schedule='40' material='carbon steel'/></unit>");
	trial_review(&trial, design.data);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(trial_number(&trial, "L", arena_format(&kept, "c%d", CASES - 1), "temperature", "degC"),
		50 + 0.005 * (CASES - 1), 1e-6);
	cr_expect_eq(trial_value(&trial, "L", arena_format(&kept, "c%d", CASES / 2), "velocity")->known, UNKNOWN);
	cr_expect_eq(trial.review->statements.owed_count, 1);
}
