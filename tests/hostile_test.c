/*
 * Input from strangers: rule packs made to exhaust, sheets that are no text, command lines of any kind, the inputs on which the
 * fuzz programs once stopped, and a sample of designs spoilt one value at a time (all of them: make mutate-designs).
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/cells.h"
#include "base/count.h"
#include "base/text.h"
#include "command/commands.h"
#include "command/options.h"
#include "mutation.h"
#include "quantity/quantity.h"
#include "read/document.h"
#include "record/round.h"
#include "review_support.h"

static struct trial trial;
static struct arena words; /* outlives a trial that is opened again */

static void begin(void)
{
	shell_begin();
	trial.problems.arena = &trial.arena;
}

static void end(void)
{
	shell_end();
	trial_close(&trial);
	arena_release(&words);
}

TestSuite(hostile, .init = begin, .fini = end);

/* ---- rule packs ---- */

static struct text pack_begun(const char *prefix)
{
	struct text pack = text_in(&trial.arena);
	text_addf(&pack, "<rules xmlns='urn:leanrich:rules:1' family='f' prefix='%s' title='Test pack'>\n", prefix);
	return pack;
}

static void add_rule(struct text *pack, const char *id, const char *test)
{
	text_addf(pack,
		"<rule id='%s' since='1' title='T' force='advisory' why-force='t'><select kind='line'/>"
		"<input name='v' quantity='velocity' kind='velocity'/><assert test=\"%s\"/>"
		"<message>m</message><why>w</why><remedy>r</remedy></rule>\n",
		id, test);
}

static const struct catalogue *read_pack(struct text *pack)
{
	text_add(pack, "</rules>");
	const struct rule_file file = {.name = "pack.xml", .bytes = pack->data, .size = pack->length};
	return catalogue_read(&trial.arena, &file, 1, NULL, rules_vocabulary(&trial.arena), &trial.problems);
}

static void expect_seconds(clock_t begun, double most)
{
	double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
	cr_expect(seconds < most, "%g s", seconds);
}

/* Ten seconds under sanitizers on a busy machine; half a second without. */
Test(hostile, ten_thousand_rules_are_read_and_judged)
{
	enum { RULES = 10000 };
	clock_t begun = clock();
	struct text pack = pack_begun("BIG");
	for (int i = 0; i < RULES; i++)
		add_rule(&pack, arena_format(&trial.arena, "BIG-%05d", i), "$v &lt; 2");
	const struct catalogue *catalogue = read_pack(&pack);
	cr_assert_not_null(catalogue, "%s", trial_messages(&trial));
	cr_expect(catalogue->rule_count == RULES);
	catalogue_release(catalogue);
	expect_seconds(begun, 10);
}

Test(hostile, a_folder_of_packs_has_a_most)
{
	struct run run = shell(&trial.arena,
		"mkdir $SCRATCH/many $SCRATCH/large; for i in $(seq 1001); do : >$SCRATCH/many/$i.xml; done; "
		"for i in 1 2; do { echo '<!--'; head -c 9000000 /dev/zero | tr '\\0' ' '; echo '-->'; } "
		">$SCRATCH/large/$i.xml; "
		"done; \"$LEANRICH\" rules --check $SCRATCH/many 2>&1 | grep -c 'many.*too-large.*1001 .xml files.*at "
		"most 1000'; "
		"\"$LEANRICH\" rules --check $SCRATCH/large 2>&1 | grep -c 'large: too-large.*16 MiB'");
	cr_expect_str_eq(run.output, "1\n1\n", "%s%s", run.output, run.errors);
}

static void expect_refused(const char *test, const char *message)
{
	trial_close(&trial);
	trial.problems.arena = &trial.arena;
	clock_t begun = clock();
	struct text pack = pack_begun("BAD");
	add_rule(&pack, "BAD-001", test);
	cr_expect_null(read_pack(&pack));
	const char *said = trial_messages(&trial);
	cr_expect(strstr(said, message), "%s", said);
	cr_expect(trial.problems.count == 1 && trial.problems.rows[0].place.line == 2);
	expect_seconds(begun, 5);
}

static char *repeated(const char *what, size_t times)
{
	struct text text = text_in(&words);
	for (size_t i = 0; i < times; i++)
		text_add(&text, what);
	return text.data;
}

Test(hostile, an_expression_has_a_length_a_depth_and_no_infinity)
{
	expect_refused(repeated("$v &lt; 2 and ", 80000), "an expression is at most 2000 characters long");
	expect_refused(repeated("(", 900), "more than 100 parentheses in each other");
	expect_refused(repeated("not(", 450), "more than 100 parentheses in each other");
	expect_refused(arena_format(&words, "$v &lt; %s", repeated("9", 400)), "a number has at most 15 digits");
	expect_refused(arena_format(&words, "not($v%s &gt; 1)", repeated(" * $v", 9)),
		"more than 8 multiplications and divisions");
	expect_refused(arena_format(&words, "%s1 &lt; $v", repeated("$v[", 100)), "paths are refused");
}

/* A thousand signs before a number are within the length; they cost the parser no depth. */
Test(hostile, many_signs_are_an_expression)
{
	struct text pack = pack_begun("SGN");
	add_rule(&pack, "SGN-001", arena_format(&trial.arena, "%s2 &gt; $v", repeated("-", 1000)));
	const struct catalogue *catalogue = read_pack(&pack);
	cr_assert_not_null(catalogue, "%s", trial_messages(&trial));
	catalogue_release(catalogue);
}

Test(hostile, elements_within_elements_and_crowds_of_attributes_are_refused)
{
	struct text deep = pack_begun("DEP"), crowd = pack_begun("CRD");
	text_add(&deep, repeated("<rule>", 5000));
	cr_expect_null(read_pack(&deep));
	cr_expect(strstr(trial_messages(&trial), "Excessive depth in document"), "%s", trial_messages(&trial));
	trial.problems.count = 0;
	text_add(&crowd, "<rule");
	for (int i = 0; i < 100000; i++)
		text_addf(&crowd, " a%d=''", i);
	text_add(&crowd, "/>");
	clock_t begun = clock();
	cr_expect_null(read_pack(&crowd));
	expect_seconds(begun, 5);
	cr_expect_str_eq(
		trial_messages(&trial), "pack.xml:2:1: too-large: an element with more than 1000 attributes\n");
}

/* Every place in one long line: found without counting the line from its start each time. */
Test(hostile, fifty_thousand_faults_in_one_line_have_their_columns)
{
	struct text pack = pack_begun("LNG");
	text_add(&pack, repeated("<x/>", 50000));
	clock_t begun = clock();
	cr_expect_null(read_pack(&pack));
	expect_seconds(begun, 10);
	cr_assert(trial.problems.count == 50000);
	cr_expect(trial.problems.rows[49999].place.line == 2);
	cr_expect(trial.problems.rows[49999].place.column == 1 + 4 * 49999);
}

/* ---- sheets ---- */

Test(hostile, what_is_no_text_is_no_sheet)
{
	static const struct {
		const char *bytes;
		size_t size;
		const char *message;
	} rows[] = {
		{"a\n45 \xC2\xB0\n45 \xB0\n", 14, "x.csv:3:4: not-xml: byte 0xB0"},
		{"a\nb\0c\n", 6, "x.csv:2:2: not-xml: byte 0x00"}, {"a\n\x1B[2J\n", 7, "x.csv:2:1: not-xml: byte 0x1B"},
		{"\xED\xA0\x80", 3, "x.csv:1:1: not-xml: byte 0xED"}, /* half of a pair */
		{"\xC0\xAF", 2, "x.csv:1:1: not-xml: byte 0xC0"},     /* a longer form than needed */
		{"\xEF\xBF\xBE", 3, "x.csv:1:1: not-xml: byte 0xEF"},
		{"ab\xE2\x82", 4, "x.csv:1:3: not-xml: byte 0xE2"}, /* cut off */
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial.problems.count = 0;
		cr_expect(!document_is_text("x.csv", rows[i].bytes, rows[i].size, &trial.problems), "row %zu", i);
		const char *said = trial_messages(&trial);
		cr_expect(strncmp(said, rows[i].message, strlen(rows[i].message)) == 0, "%s", said);
	}
	trial.problems.count = 0;
	cr_expect(document_is_text("x.csv", "\xEF\xBB\xBF\tÅ\r\n\xF0\x9F\x94\xA7", 12, &trial.problems));
}

Test(hostile, a_sheet_cut_short_by_a_byte_is_refused_as_a_whole)
{
	struct run list = shell(&trial.arena,
		"printf 'Line No.;Size\\n1-P-1;NPS 6\\n\\000;\\n2-P-2;NPS 8\\n' >\"$SCRATCH/list.csv\"; \"$LEANRICH\" "
		"import "
		"--map tests/data/line_list_map.xml \"$SCRATCH/list.csv\"");
	cr_expect(list.status == 3 && !*list.output, "%d: %s", list.status, list.output);
	cr_expect(strstr(list.errors, "list.csv:3:1: not-xml: byte 0x00 is no text in UTF-8"), "%s", list.errors);
	struct run replies = shell(&trial.arena,
		"printf 'Id,Reply\\nVEL-002/x/velocity,\"agreed\\nVEL-003/x/velocity,\\n' >\"$SCRATCH/replies.csv\"; "
		"\"$LEANRICH\" review --output \"$SCRATCH\" --replies \"$SCRATCH/replies.csv\" "
		"designs/curlew-spit.xml");
	cr_expect(replies.status == 3, "%d", replies.status);
	cr_expect(strstr(replies.errors, "replies.csv:2:1: malformed: a quote is opened here and never closed"), "%s",
		replies.errors);
}

/* ---- command lines ---- */

static const char *said_of(bool (*can_run)(struct command_line *), char **argv)
{
	struct command_line line = {.argv = argv};
	while (argv[line.argc])
		line.argc++;
	bool can = can_run(&line);
	const char *said = can ? "runs" : line.help ? "help" : arena_copy(&trial.arena, line.fault);
	arena_release(&line.arena);
	return said;
}

#define EXPECT_SAID(command, message, ...)                                                                             \
	cr_expect_str_eq(said_of(command##_can_run, (char *[]){(char[]){#command}, __VA_ARGS__, NULL}), message)

/* NOLINTBEGIN: words of a command line are not constant */
Test(hostile, a_command_line_is_read_without_a_word_written)
{
	static char xy[] = "-xy", output[] = "--output", file[] = "f", help[] = "--help", paper[] = "--paper",
		    json3[] = "--json=3", age[] = "--film-age", age_word[] = "3 degC", from[] = "--from", to[] = "--to",
		    one[] = "1", two[] = "2", vary[] = "--vary", jobs[] = "--jobs", slice[] = "--slice",
		    slice_word[] = "3/2", map[] = "--map";
	EXPECT_SAID(review, "runs", file);
	EXPECT_SAID(review, "which design?", output, file);
	EXPECT_SAID(review, "-x is no option", xy);
	EXPECT_SAID(review, "--output needs a value", output);
	EXPECT_SAID(review, "--json takes no value", json3);
	EXPECT_SAID(review, "--paper f: allowed are A4, letter", paper, file, file);
	EXPECT_SAID(review, "--film-age 3 degC: a time is needed, such as \"8000 h\"", age, age_word, file);
	EXPECT_SAID(rules, "help", help);
	EXPECT_SAID(rules, "f is not expected here", file);
	EXPECT_SAID(explain, "one rule id is expected", file, file);
	EXPECT_SAID(compare, "two designs are needed, the base and the revamp", file);
	EXPECT_SAID(headroom, "one design is needed", file, file);
	EXPECT_SAID(plan, "one design is needed", file, file);
	EXPECT_SAID(cases, "one design is needed", file, file);
	EXPECT_SAID(sweep, "--to must be above --from", vary, file, from, two, to, one, file);
	EXPECT_SAID(portfolio, "--jobs f: a number from 1 to 1024 is needed", jobs, file, file);
	EXPECT_SAID(portfolio, "--slice 3/2: K/N is needed, with K from 1 to N", slice, slice_word, file);
	EXPECT_SAID(import, "sheets are needed, and one of --map and --propose", map, file);
}
/* NOLINTEND */

/* A message quotes what it was given: bytes that continue a character which never began are no place to cut, and no end. */
Test(hostile, what_is_no_utf8_can_be_quoted)
{
	char bytes[101];
	memset(bytes, 0xB0, sizeof bytes - 1);
	bytes[sizeof bytes - 1] = '\0';
	cr_expect_str_eq(text_quoted(&trial.arena, bytes), "\"...\"");
	cr_expect(strlen(text_quoted(&trial.arena, repeated("\xC3\xA9", 50))) == 60 + 5);
	cr_expect_str_eq(text_quoted(&trial.arena, "short\xB0"), "\"short\xB0\"");
}

/* ---- numbers ---- */

/* A flow of nothing has a spread that is 0/0: what rests on it is not known, where its number would have been 0. */
Test(hostile, a_number_whose_spread_is_none_is_not_known)
{
	struct input none = {.symbol = "x"};
	const struct quantity *q = quantity_computed(&trial.arena, KIND_POWER, 0, strtod("nan", NULL), NULL, &none, 0);
	cr_expect(q->known == UNKNOWN && strstr(q->reason, "gives no number here"));
}

/* ---- an end without a temperature ---- */

static const char side[] = "<solvent amine='MDEA' strength='45 wt%%'/>"
			   "<stream id='in' service='rich' temperature='70 degC'/><stream id='out' service='rich' %s/>"
			   "<exchanger tag='E-1' service='lean/rich'><tube-side inlet='in' outlet='out' "
			   "material='carbon steel' pwht='no' traced='no' steamed-out='no'/></exchanger>";

static void review_side(const char *outlet)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena, "<unit xmlns='urn:leanrich:unit:1' number='U' name='n'>%s</unit>",
			arena_format(&trial.arena, side, outlet)));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

/* The cooler end alone meets 104 degC (TMP-001); the other may not. */
Test(hostile, one_end_without_a_temperature_leaves_the_hotter_end_open)
{
	review_side("temperature='95 degC'");
	cr_expect(trial_finding(&trial, "TMP-001", "E-1 tube side")->verdict == VERDICT_MEETS);
	review_side("");
	const struct finding *finding = trial_finding(&trial, "TMP-001", "E-1 tube side");
	cr_expect(finding->verdict == VERDICT_NOT_JUDGED, "%s", verdict_word(finding->verdict));
	cr_assert(finding->missing_count == 1);
	cr_expect_str_eq(finding->missing[0].reason, "temperature of out is not stated");
	const struct quantity *metal = trial_value(&trial, "E-1 tube side", NULL, "metal-temperature");
	cr_expect(metal && metal->bound == BOUND_ABOVE && metal->si > 343 && metal->si < 344);
}

/* ---- designs spoilt one value at a time ---- */

Test(hostile, a_spoilt_design_is_refused_or_judged_and_never_passes_in_silence)
{
	struct mutation_counts counts = {.faults = 0};
	char *said = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&said, &size);
	trial_open(&trial, NULL);
	mutate_design("designs/curlew-spit.xml", 8, 3, trial.vocabulary, trial.catalogue, &counts, out);
	fclose(out);
	cr_expect(counts.faults == 0, "%s", said);
	cr_expect(counts.fates[MUTATION_REMOVED][FATE_STATE] > 0 && counts.fates[MUTATION_NAN][FATE_REFUSED] > 0);
	free(said);
}
