/* Line lists as people keep them, and the sheets they come on. All lists are invented. */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "base/text.h"
#include "import/list_cell.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	shell_begin();
}

static void end(void)
{
	shell_end();
	trial_close(&trial);
}

TestSuite(import, .init = begin, .fini = end);

/* ---- cells ---- */

Test(import, a_word_of_nothing_stands_in_no_list)
{
	/* On the heap, to its last byte: the sanitizer sees who looks past the end. */
	static const char words[] = "tube-side shell-side";
	char *list = malloc(sizeof words);
	cr_assert_not_null(list);
	memcpy(list, words, sizeof words);
	cr_expect(!text_has_word(list, "") && !text_has_word("", "") && !text_has_word("", "tube-side"));
	cr_expect(text_has_word(list, "tube-side") && text_has_word(list, "shell-side"));
	cr_expect(!text_has_word(list, "shell") && !text_has_word(list, "side") &&
		!text_has_word(list, "tube-side shell"));
	free(list);
}

Test(import, cells_come_back_as_they_were_written)
{
	static const char *const cells[] = {
		"plain", "with, comma", "with \"quotes\"", "two\nlines", "=1+1", "-5.5", "+mark", "@x", "", "é"};
	enum { COUNT = COUNT(cells) };
	struct text text = text_in(&trial.arena);
	cells_begin(&text);
	cells_row(&text, cells, COUNT);
	cells_row(&text, cells, COUNT);
	cr_expect(strstr(text.data, "\"'=1+1\"") && strstr(text.data, ",-5.5,"));
	struct cells_file file = cells_read(&trial.arena, text.data, 0);
	cr_assert(file.count == 2 && file.lines[1].count == COUNT && file.separator == ',');
	for (size_t i = 0; i < COUNT; i++)
		cr_expect_str_eq(file.lines[1].cells[i], cells[i]);
	cr_expect(file.lines[1].row == 2 && file.lines[1].line == 3);
	cr_expect_eq(cells_read(&trial.arena, "a,\"b\n", 0).unclosed, 1);
}

Test(import, cells_of_a_line_list_are_taken_interpreted_or_left_out)
{
	static const struct {
		const char *field, *cell;
		bool comma;
		enum cell_fate fate;
		const char *value;
	} rows[] = {
		{"temperature", "45", false, CELL_TAKEN, "45 degC"},
		{"temperature", "45,5", true, CELL_TAKEN, "45.5 degC"},
		{"temperature", "45,5", false, CELL_INTERPRETED, "45.5 degC"},
		{"temperature", "-10", false, CELL_TAKEN, "-10 degC"},
		{"temperature", "-10/-5", false, CELL_INTERPRETED, "-5 degC"},
		{"temperature", "45-60", false, CELL_INTERPRETED, "60 degC"},
		{"temperature", "1,234", false, CELL_LEFT_OUT, NULL},
		{"temperature", "1,234.5", false, CELL_INTERPRETED, "1234.5 degC"},
		{"temperature", "AMB", false, CELL_LEFT_OUT, NULL},
		{"temperature", "n/a", false, CELL_NOT_STATED, NULL},
		{"temperature", "", false, CELL_EMPTY, NULL},
		{"temperature", "12 barg", false, CELL_LEFT_OUT, NULL},
		{"temperature", "TBD", false, CELL_TAKEN, "t.b.d."},
		{"temperature", "Hold", false, CELL_TAKEN, "t.b.d."},
		{"temperature", "??", false, CELL_INTERPRETED, "t.b.d."},
		{"size", "t.b.d.", false, CELL_TAKEN, "t.b.d."},
		{"pwht", "later", false, CELL_TAKEN, "t.b.d."},
		{"material", "TBC", false, CELL_INTERPRETED, "t.b.d."},
		{"tag", "TBD", false, CELL_LEFT_OUT, NULL},
		{"stream", "TBD", false, CELL_LEFT_OUT, NULL},
		{"size", "6\"", false, CELL_TAKEN, "NPS 6"},
		{"size", "DN150", false, CELL_TAKEN, "NPS 6"},
		{"size", "1-1/2\"", false, CELL_TAKEN, "NPS 1-1/2"},
		{"size", "1\u00bd\"", false, CELL_TAKEN, "NPS 1-1/2"},
		{"size", "6", false, CELL_LEFT_OUT, NULL},
		{"size", "6x4", false, CELL_LEFT_OUT, NULL},
		{"schedule", "Sch. 40", false, CELL_TAKEN, "40"},
		{"pwht", "Y", false, CELL_TAKEN, "yes"},
		{"pwht", "x", false, CELL_INTERPRETED, "yes"},
		{"pwht", "perhaps", false, CELL_LEFT_OUT, NULL},
		{"material", "Carbon Steel", false, CELL_TAKEN, "carbon steel"},
		{"material", "CS", false, CELL_LEFT_OUT, NULL},
	};
	trial_open(&trial, NULL);
	const struct vocabulary_element *line = vocabulary_child(vocabulary_root(trial.vocabulary, "unit"), "line");
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct vocabulary_type *type = vocabulary_attribute(line, rows[i].field)->type;
		bool temperature = strcmp(rows[i].field, "temperature") == 0;
		const struct cell_rules rules = {.decimal_comma = rows[i].comma, .unit = temperature ? "degC" : NULL};
		struct cell_value value = list_cell(&trial.arena, rows[i].cell, type, &rules);
		cr_expect(value.fate == rows[i].fate, "%s '%s': fate %d", rows[i].field, rows[i].cell, (int)value.fate);
		if (rows[i].value)
			cr_expect_str_eq(
				value.value, rows[i].value, "%s '%s': %s", rows[i].field, rows[i].cell, value.value);
	}
}

/* ---- lists ---- */

Test(import, a_line_list_of_three_hundred_lines)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" import tests/data/line_list.csv --map tests/data/line_list_map.xml --output "
		"$SCRATCH/draft.xml --quiet "
		"2>&1 | sed -E 's/^[^:]*:([0-9]+:[0-9]+: [a-z-]+):.*/\\1/'; \"$LEANRICH\" review --quiet --output "
		"$SCRATCH "
		"$SCRATCH/draft.xml >&2; echo $? >&2; grep -c '<line ' $SCRATCH/draft.xml >&2");
	cr_expect_str_eq(run.output, file_text(&trial.arena, "tests/data/line_list.expected"));
	cr_expect(strstr(run.errors, "297"), "%s", run.errors);
}

/* What a list owes is a statement: the review lists it as owed, and takes no other value for it. */
Test(import, what_a_line_list_owes_is_owed_by_the_draft)
{
	struct run run = shell(&trial.arena,
		"echo '<map xmlns=\"urn:leanrich:map:1\" document=\"LL-1\"><column heading=\"Tag\" "
		"field=\"tag\"/><column heading=\"Size\" field=\"size\"/><column heading=\"T\" field=\"temperature\" "
		"unit=\"degC\"/></map>' >$SCRATCH/m.xml; printf 'Tag,Size,T\\nA,TBD,45\\nTBD,6\",50\\n' "
		">$SCRATCH/l.csv; "
		"\"$LEANRICH\" import $SCRATCH/l.csv --quiet --map $SCRATCH/m.xml --output $SCRATCH/d.xml; echo $?; "
		"grep '<line' $SCRATCH/d.xml; \"$LEANRICH\" review --json --no-samples $SCRATCH/d.xml | "
		"/usr/bin/python3 -c 'import json,sys; print(*[(o[\"item\"], o[\"statement\"]) for o in "
		"json.load(sys.stdin)[\"owed\"]])'");
	cr_expect_str_eq(run.output,
		"1\n  <line tag=\"A\" size=\"t.b.d.\" temperature=\"45 degC\" data=\"LL-1\"/>\n('A', 'size')\n", "%s%s",
		run.output, run.errors);
}

Test(import, two_columns_of_a_list_that_give_one_field_are_refused)
{
	struct run run = shell(&trial.arena,
		"printf 'Line No.,Schedule,PWHT,Sched.,PWHT\\n6-P-1,40,yes,80,no\\n' >$SCRATCH/x; "
		"\"$LEANRICH\" import $SCRATCH/x --map tests/data/line_list_map.xml 2>&1 | sed 's/.*x:/x:/'");
	cr_expect_str_eq(run.output,
		"x:1:4: duplicate: 'Sched.' gives 'schedule', which 'Schedule' in column 2 gives already: head one of "
		"them "
		"otherwise, or let the map pass it over\n"
		"x:1:5: duplicate: 'PWHT' gives 'pwht', which 'PWHT' in column 3 gives already: head one of them "
		"otherwise, or let the map pass it over\n",
		"%s%s", run.output, run.errors);
}

/* What the importer says of a line by itself gives way to the column that says it. */
Test(import, a_column_of_a_list_is_stated_once_beside_what_the_importer_adds)
{
	struct run run = shell(&trial.arena,
		"printf '<map xmlns=\"urn:leanrich:map:1\" document=\"LL-1\"><column heading=\"Tag\" field=\"tag\"/>"
		"<column heading=\"P\" field=\"design-pressure\" unit=\"barg\"/><column heading=\"FV\" "
		"field=\"vacuum-design\"/><column heading=\"Doc\" field=\"data\"/></map>' >$SCRATCH/map.xml; "
		"printf 'Tag,P,FV,Doc\\nA,10/FV,no,own\\nB,10/FV,,\\n' >$SCRATCH/x; "
		"\"$LEANRICH\" import $SCRATCH/x --quiet --map $SCRATCH/map.xml --output $SCRATCH/draft.xml >&2; "
		"grep '<line' $SCRATCH/draft.xml");
	cr_expect_str_eq(run.output,
		"  <line tag=\"A\" design-pressure=\"10 barg\" vacuum-design=\"no\" data=\"own\"/>\n"
		"  <line tag=\"B\" design-pressure=\"10 barg\" vacuum-design=\"yes\" data=\"LL-1\"/>\n",
		"%s%s", run.output, run.errors);
}

/*
 * A line list may hold anything: signs of XML come through as the text they are, in an attribute and in a comment, and a heading
 * that the map does not know is passed over and told.
 */
Test(import, signs_of_xml_in_a_line_list_are_text)
{
	struct run run = shell(&trial.arena,
		"echo '<map xmlns=\"urn:leanrich:map:1\" document=\"L &amp; M\"><column heading=\"Tag\" "
		"field=\"tag\"/></map>' "
		">$SCRATCH/m.xml; printf 'Tag,Room\\nA & <B>,1\\n\"6\"\" -- x\",2\\n' >$SCRATCH/l.csv; "
		"\"$LEANRICH\" import $SCRATCH/l.csv --map $SCRATCH/m.xml --output $SCRATCH/d.xml; echo $?; "
		"xmllint --noout $SCRATCH/d.xml && xmllint --xpath '//@tag' $SCRATCH/d.xml");
	cr_expect(strstr(run.errors,
			  "l.csv:1:2: cell-left-out: the map does not know the heading 'Room'; the column is passed "
			  "over\n"),
		"%s", run.errors);
	cr_expect_str_eq(
		run.output, "1\n tag=\"A &amp; &lt;B&gt;\"\n tag=\"6&quot; -- x\"\n", "%s%s", run.output, run.errors);
}

/* Without a tag a line has no name; a field that no line has is a slip in the map. */
Test(import, a_line_list_or_a_map_without_sense_is_refused)
{
	static const struct {
		const char *map, *list, *said;
	} rows[] = {
		{"<column heading=\"Tag\" field=\"tag\"/>", "Number,Size\n1,2\n",
			"l.csv: missing: no row holds a heading that the map knows\n"},
		{"<column heading=\"Size\" field=\"size\"/>", "Size\nNPS 6\n",
			"l.csv:1:0: missing: no column gives the tag of a line\n"},
		{"<column heading=\"Tag\" field=\"taq\"/>", "Tag\nA\n",
			"m.xml:1:68: unknown-attribute: a line has no 'taq'\n"},
		{"<column heading=\"Tag\" field=\"tag\"/>", "Tag\n\"A\n",
			"l.csv:2:0: malformed: a quote is opened here and never closed"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"cd $SCRATCH; echo '<map xmlns=\"urn:leanrich:map:1\" document=\"L\">%s</map>' >m.xml; "
				"printf '%s' "
				">l.csv; \"$LEANRICH\" import l.csv --map m.xml --output d.xml; echo $?; test -e d.xml "
				"|| echo "
				"nothing written",
				rows[i].map, rows[i].list));
		cr_expect_str_eq(run.output, "3\nnothing written\n", "%zu: %s", i, run.output);
		cr_expect(strstr(run.errors, rows[i].said), "%zu: %s", i, run.errors);
	}
}
