/*
 * Replies that name values: what is read of them, what comes of it, and the description that they make.
 */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/reply_change.h"
#include "record/round.h"
#include "review_support.h"
#include "revamp/reply_tried.h"
#include "revamp/restate.h"

static struct trial trial;

/*
 * By hand: lean 97 m3/h in NPS 6 schedule 40 (154.05 mm bore, ASME B36.10M, 18.64e-3 m2) is 1.446 m/s, in NPS 4 (102.26 mm, 8.213e-3 m2)
 * 3.281 m/s, in NPS 3 (77.93 mm, 4.769e-3 m2) 5.650 m/s. The customary limit of lean lines in carbon steel is 6 ft/s, 1.829 m/s or more.
 */
static const char unit_text[] =
	"<unit xmlns='urn:leanrich:unit:1' number='U-7' name='Dabchick'>\n"
	"<basis kind='new' plant='refinery'><case id='normal'/><case id='turndown'/></basis>\n"
	"<solvent amine='MDEA' strength='45 wt%'/>\n"
	"<stream id='lean' service='lean' flow='97 m3/h' temperature='50 degC' h2s='0.006' co2='0.002'>\n"
	"<in case='turndown' flow='40 m3/h'/></stream>\n"
	"<stream id='rich' service='rich' flow='97 m3/h' temperature='95 degC' h2s='0.3' co2='0.02' two-phase='no'/>\n"
	"<vessel tag='V-1' service='lean' material='carbon steel' design-temperature='100 degC'/>\n"
	"<line tag='P-1' stream='lean' size='NPS 4' schedule='40' material='carbon steel' pwht='no'>\n"
	"<stated document='LL-7' size='NPS 4'/></line>\n"
	"<line tag='P-2' stream='rich' size='NPS 8' schedule='40' material='carbon steel' pwht='no'/>\n"
	"</unit>\n";

static void begin(void)
{
	trial_open(&trial, NULL);
	trial_review(&trial, unit_text);
	cr_assert(trial.review, "%s", trial_messages(&trial));
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(reply, .init = begin, .fini = end);

static const char *changes_of(const char *item, const char *rule, const struct reply_cells *cells)
{
	const struct reply_changes changes = reply_changes_read(&trial.arena, trial.table,
		table_find(trial.table, item), rule ? catalogue_rule(trial.catalogue, rule) : NULL, NULL, cells);
	return changes.fault ? changes.fault : reply_changes_words(&trial.arena, &changes);
}

Test(reply, words_are_read_as_values_or_left)
{
	static const struct {
		const char *item, *words, *read;
	} rows[] = {
		{"P-1", "now NPS 8, welds stress relieved",
			"pwht of P-1 yes (interpreted) and size of P-1 NPS 8 (interpreted)"},
		{"P-1", "size changed to NPS 6 and schedule 80",
			"size of P-1 NPS 6 (interpreted) and schedule of P-1 80 (interpreted)"},
		{"P-1", "material changed to 316L", "material of P-1 316L (interpreted)"},
		{"P-1", "316L", "material of P-1 316L (interpreted)"},
		{"V-1", "design temperature 150 degC", "design-temperature of V-1 150 degC (interpreted)"},
		{"V-1", "Design temperature is now 150 degC.", "design-temperature of V-1 150 degC (interpreted)"},
		{"P-1", "design changed: now NPS 8", "size of P-1 NPS 8 (interpreted)"},
		/* asked, conditional, denied, without a unit, of something else, of nothing */
		{"V-1", "design temperature 150 degC?", ""},
		{"V-1", "design temperature could be 150 degC", ""},
		{"V-1", "design temperature not 150 degC", ""},
		{"V-1", "design temperature above 150 degC", ""},
		{"V-1", "design temperature 150", ""},
		{"V-1", "150 degC", ""},
		{"V-1", "flange temperature 150 degC", ""},
		{"P-1", "size NPS 6, size NPS 8", "it names two values of one attribute"},
		{"P-1", "read yearly", ""},
		{"P-1", "not agreed: now NPS 8", ""},
		{"P-1", "see revision 3 of the line list", ""},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct reply_cells cells = {.attribute = "", .value = "", .answer = "", .words = rows[i].words};
		cr_expect_str_eq(changes_of(rows[i].item, "MAT-013", &cells), rows[i].read, "%s: %s", rows[i].words,
			changes_of(rows[i].item, "MAT-013", &cells));
	}
}

/* The columns go before the words; what they cannot be is said. */
Test(reply, columns_are_taken_or_refused_with_the_reason)
{
	static const struct {
		const char *attribute, *value, *read;
	} rows[] = {
		{"size", "NPS 6", "size of P-1 NPS 6"},
		{"Size; PWHT", "NPS 6; yes", "size of P-1 NPS 6 and pwht of P-1 yes"},
		{"V-1.design temperature", "150 degC", "design-temperature of V-1 150 degC"},
		{"size", "", "'' is no value of size"},
		{"size;pwht", "NPS 6", "the columns Attribute and New value do not have one value for each attribute"},
		{"size", "NPS 6; yes", "the columns Attribute and New value do not have one value for each attribute"},
		{"colour", "red", "P-1 has no attribute 'colour'"},
		{"Z-9.size", "NPS 6", "there is no item 'Z-9'"},
		{"pwht", "perhaps", "'perhaps' is no value of pwht"},
		{"pwht", "t.b.d.", "'t.b.d.' is no value of pwht"},
		{"material", "unobtainium", "'unobtainium' is no value of material"},
		{"tag", "P-7", "'P-7' is no value of tag"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct reply_cells cells = {
			.attribute = rows[i].attribute, .value = rows[i].value, .answer = "", .words = "now NPS 12"};
		cr_expect_str_eq(changes_of("P-1", NULL, &cells), rows[i].read, "%s: %s", rows[i].attribute,
			changes_of("P-1", NULL, &cells));
	}
	const struct reply_cells unit = {.attribute = "size", .value = "six", .answer = "", .words = ""};
	cr_expect(strstr(changes_of("P-1", NULL, &unit), "six"), "%s", changes_of("P-1", NULL, &unit));
}

/* ---- tried ---- */

static const struct element *description(void)
{
	return element_parse(&trial.arena, "u.xml", unit_text, strlen(unit_text), trial.vocabulary, &trial.problems);
}

static const struct round *round_of(const char *sheet)
{
	const struct round *round = round_make(&trial.arena, trial.review, "r.csv", sheet, &trial.problems);
	cr_assert(round, "%s", trial_messages(&trial));
	return replies_try(&trial.arena, description(), trial.review, round);
}

static const struct round_row *row_of(const struct round *round, const char *id)
{
	static const struct round_row none = {.state = ROUND_STATES, .id = "", .reply = "", .why = ""};
	for (size_t i = 0; i < round->count; i++)
		if (strcmp(round->rows[i].id, id) == 0)
			return &round->rows[i];
	return &none;
}

Test(reply, a_value_that_clears_is_told_from_one_that_does_not)
{
	static const struct {
		const char *reply, *attribute, *value;
		enum reply_outcome outcome;
		const char *says;
	} rows[] = {
		{"", "size", "NPS 6", REPLY_CLEARS, "the description says size NPS 4"},
		{"now NPS 6", "", "", REPLY_CLEARS, "(interpreted): closes"},
		{"", "size", "NPS 3", REPLY_DEPARTS, "P-1"},
		{"", "size", "NPS 4", REPLY_STATED, "stated by now"},
		{"", "size", "very large", REPLY_NOT_UNDERSTOOD, "it stays open"},
		{"", "lean.flow", "400 m3/h", REPLY_DEPARTS, "the description says flow 97 m3/h"},
		{"", "size; P-2.size", "NPS 6; NPS 3", REPLY_BREAKS, "VEL-002 on P-2"},
	};
	cr_assert_eq(trial_finding(&trial, "VEL-001", "P-1")->verdict, VERDICT_DEPARTS);
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct round *round = round_of(arena_format(&trial.arena,
			"Id,Reply,Attribute,New value,Status\nVEL-001/P-1/velocity,%s,%s,%s,closed\n", rows[i].reply,
			rows[i].attribute, rows[i].value));
		const struct round_row *row = row_of(round, "VEL-001/P-1/velocity");
		cr_assert(row->applied, "row %zu", i);
		cr_expect_eq(row->applied->outcome, rows[i].outcome, "row %zu: %s", i, row->applied->words);
		cr_expect(strstr(row->applied->words, rows[i].says), "row %zu: %s", i, row->applied->words);
		cr_expect_eq(row->state, ROUND_REOPENED, "nothing closes by words alone");
		cr_expect(round->outcomes[rows[i].outcome] == 1 && strstr(row->why, row->applied->words));
		cr_expect_eq(round_of_finding(&(struct review){.round = round, .judgement = trial.review->judgement},
				     trial_finding(&trial, "VEL-001", "P-1")),
			row);
	}
}

Test(reply, words_without_a_value_and_an_answer_without_one_are_two_things)
{
	const struct round *round = round_of("Id,Reply,Answer,Status\nVEL-001/P-1/velocity,read yearly,,answered\n");
	cr_expect_null(row_of(round, "VEL-001/P-1/velocity")->applied);
	round = round_of("Id,Reply,Answer,Status\nVEL-001/P-1/velocity,as agreed by phone,design changed,closed\n");
	const struct round_row *row = row_of(round, "VEL-001/P-1/velocity");
	cr_assert_not_null(row->applied);
	cr_expect_eq(row->applied->outcome, REPLY_NOT_UNDERSTOOD);
	cr_expect_str_eq(row->reply, "design changed: as agreed by phone");
}

/* ---- everywhere it is stated ---- */

/* lean has a flow in itself and one of the case turndown; another document says the size of P-1 again. */
Test(reply, a_value_is_changed_wherever_it_stands)
{
	static const struct {
		const char *item, *name;
		int operating_case;
		size_t edits;
		const char *first, *set; /* the element that is set, and to what */
	} rows[] = {
		{"lean", "flow", EVERY_CASE, 2, "stream", "50 m3/h"},
		{"lean", "flow", 0, 1, "stream", "50 m3/h"},
		{"lean", "flow", 1, 1, "in", "50 m3/h"},
		{"P-1", "size", EVERY_CASE, 2, "line", "NPS 8"},
		{"P-1", "size", 1, 2, "line", "NPS 8"},
		{"P-1", "area", EVERY_CASE, 0, NULL, NULL},
	};
	const struct element *unit = description();
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct restated_list list = restate(&trial.arena, unit, trial.table,
			table_find(trial.table, rows[i].item), rows[i].name, rows[i].set, rows[i].operating_case);
		cr_assert_eq(list.count, rows[i].edits, "row %zu: %zu", i, list.count);
		if (!list.count)
			continue;
		cr_expect(element_is(list.rows[0].element, rows[i].first), "row %zu", i);
		cr_expect_str_eq(list.rows[0].written, rows[i].set, "row %zu", i);
		for (size_t k = 1; k < list.count; k++)
			cr_expect_null(list.rows[k].written, "row %zu: what else states it goes", i);
	}
}

/* ---- in the file ---- */

/* What another document says of a size that changes would contradict it: it goes, and with it a row that would say nothing else. */
Test(reply, the_file_is_changed_in_place)
{
	struct review answered = *trial.review;
	const struct text bytes = {.data = arena_copy(&trial.arena, unit_text), .length = strlen(unit_text)};
	answered.round =
		round_of("Id,Reply,Attribute,New value,Status\nVEL-001/P-1/velocity,,size;V-1.design-temperature,"
			 "NPS 6;150 degC,answered\n");
	struct patched patched = replies_patch(&trial.arena, description(), &answered, "u.xml", &bytes);
	cr_expect_eq(patched.values, 2);
	cr_expect(strstr(patched.text.data, "<line tag='P-1' stream='lean' size=\"NPS 6\" schedule='40'"), "%s",
		patched.text.data);
	cr_expect(strstr(patched.text.data, "design-temperature=\"150 degC\""));
	cr_expect_null(strstr(patched.text.data, "LL-7"));
	trial_review(&trial, patched.text.data);
	cr_assert(trial.review, "%s", trial_messages(&trial));
	const struct finding *finding = trial_finding(&trial, "VEL-001", "P-1");
	cr_expect(!finding || finding->verdict != VERDICT_DEPARTS);
}

/* A case that states a flow of its own keeps it, and two replies that differ change nothing. */
Test(reply, a_case_keeps_its_own_value_and_replies_that_differ_change_nothing)
{
	struct review answered = *trial.review;
	const struct text bytes = {.data = arena_copy(&trial.arena, unit_text), .length = strlen(unit_text)};
	answered.round =
		round_of("Id,Reply,Attribute,New value,Status\nVEL-001/P-1/velocity,,lean.flow,50 m3/h,open\n");
	struct patched patched = replies_patch(&trial.arena, description(), &answered, "u.xml", &bytes);
	cr_expect(strstr(patched.text.data, "flow=\"50 m3/h\" temperature='50 degC'"), "%s", patched.text.data);
	cr_expect(strstr(patched.text.data, "<in case='turndown' flow='40 m3/h'/>"), "%s", patched.text.data);
	const char *other = NULL;
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *finding = &trial.review->judgement.findings[i];
		if (finding->verdict == VERDICT_DEPARTS && strcmp(finding->item->tag, "P-2") == 0)
			other = finding_id(&trial.arena, finding);
	}
	cr_assert_not_null(other);
	answered.round = round_of(arena_format(&trial.arena,
		"Id,Reply,Attribute,New value,Status\nVEL-001/P-1/velocity,,size,NPS 6,open\n%s,,P-1.size,NPS 8,open\n",
		other));
	patched = replies_patch(&trial.arena, description(), &answered, "u.xml", &bytes);
	cr_expect(patched.conflicts >= 1 && strstr(patched.text.data, "size='NPS 4'"), "%s", patched.text.data);
}

Test(reply, a_patched_description_closes_in_the_next_round, .init = shell_begin, .fini = shell_end)
{
	FILE *file = fopen(arena_format(&trial.arena, "%s/u.xml", getenv("SCRATCH")), "w");
	cr_assert(file && fputs(unit_text, file) != EOF && fclose(file) == 0);
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH review --quiet --no-samples\"; D=$SCRATCH/u.xml; I=VEL-001/P-1/velocity; "
		"printf \"Id,Reply,Attribute,New value,Status\\n$I,now NPS 6,,,answered\\n\" > $SCRATCH/r.csv; "
		"$R --replies $SCRATCH/r.csv --amended $SCRATCH/p.xml --output $SCRATCH/a $D; "
		"diff $D $SCRATCH/p.xml | grep -o 'size=.NPS [0-9]*.'; "
		"grep -o \"$I.*interpreted): [a-z ]*\" $SCRATCH/a/*/review.csv | grep -o 'size of.*'; "
		"$R --replies $SCRATCH/a/*/review.csv --output $SCRATCH/b $SCRATCH/p.xml; "
		"grep -A3 \"$I\" $SCRATCH/b/*/review.json | grep -o '\"state\": \"closed\"' | head -n 1; $R --amended "
		"$SCRATCH/p.xml $D; echo $?");
	cr_expect_str_eq(run.output,
		"size='NPS 4'\nsize='NPS 4'\nsize=\"NPS 6\"\nsize of P-1 NPS 6 (interpreted): closes\n"
		"\"state\": \"closed\"\n2\n",
		"%s%s", run.output, run.errors);
	trial_close(&trial);
}
