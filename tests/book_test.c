/* A description as a workbook and back, and workbooks as people change them. */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/count.h"
#include "command/commands.h"
#include "import/book.h"
#include "read/element.h"
#include "review_support.h"
#include "write/write_book.h"

static struct arena arena;

static void release(void)
{
	shell_end();
	arena_release(&arena);
}

TestSuite(book, .init = shell_begin, .fini = release);

/* ---- there and back ---- */

static const struct element *element_of(const char *name, const char *text, const struct vocabulary *unit)
{
	struct problems problems = {.arena = &arena};
	const struct element *element = element_parse(&arena, name, text, strlen(text), unit, &problems);
	cr_assert(element && problems.count == 0, "%s\n%s", problem_lines(&arena, &problems), text);
	return element;
}

/* All that a review takes from a description but places and the order of attributes. */
static bool same(const struct element *one, const struct element *other)
{
	bool is = one->meaning == other->meaning && one->attribute_count == other->attribute_count &&
		one->child_count == other->child_count && strcmp(one->text, other->text) == 0;
	for (size_t i = 0; i < one->attribute_count && is; i++)
		is = text_same(one->attributes[i].written, element_attribute(other, one->attributes[i].meaning->name));
	for (size_t i = 0; i < one->child_count && is; i++)
		is = same(one->children[i], other->children[i]);
	return is;
}

static struct workbook workbook_of(const char *text, const char *name, const char *path)
{
	struct problems problems = {.arena = &arena};
	struct document document = document_parse(&arena, name, text, strlen(text), &problems);
	cr_assert(document.tree && write_book_fits(&document, &problems), "%s", problem_lines(&arena, &problems));
	cr_assert(write_book(&document, path));
	document_release(&document);
	struct workbook workbook;
	cr_assert(workbook_read(&arena, path, &problems, &problems, &workbook) && problems.count == 0, "%s",
		problem_lines(&arena, &problems));
	return workbook;
}

static const char *back(const char *text, const char *name)
{
	char path[] = "/tmp/leanrich-book-XXXXXX";
	int fd = mkstemp(path);
	cr_assert_geq(fd, 0);
	close(fd);
	struct problems problems = {.arena = &arena};
	struct workbook workbook = workbook_of(text, name, path);
	unlink(path);
	const char *made = book_read(&arena, &workbook, unit_vocabulary(&arena), &problems, &problems);
	cr_assert(made && problems.count == 0, "%s: %s", name, problem_lines(&arena, &problems));
	return made;
}

Test(book, descriptions_come_back_as_they_were)
{
	static const char *const designs[] = {"designs/tern-quay.xml", "designs/saltmarsh-lea.xml",
		"designs/cobble-hythe-revamp.xml", "designs/curlew-spit.xml", "designs/heron-gate.xml",
		"designs/marram-point.xml", "tests/designs/odds-history.xml", "tests/designs/stated-twice.xml",
		"tests/designs/capability.xml", "tests/designs/relief-loads.xml"};
	const struct vocabulary *unit = unit_vocabulary(&arena);
	for (size_t i = 0; i < COUNT(designs); i++) {
		const char *text = file_text(&arena, designs[i]), *made = back(text, designs[i]);
		cr_expect(same(element_of("first", text, unit), element_of("second", made, unit)), "%s", designs[i]);
		cr_expect_str_eq(back(made, "again"), made, "%s", designs[i]);
	}
}

Test(book, what_xml_and_spreadsheets_mind_comes_back)
{
	static const char text[] =
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
		"<!-- first --><!-- second, with = and - -->\n"
		"<unit xmlns=\"urn:leanrich:unit:1\" number=\"=1+1\" name=\"a &lt; &quot;b&quot; &amp; 'c' \u00e9\">\n"
		"\t<!-- of the stream -->\n"
		"\t<stream id=\"S\" service=\"lean\">\n\t\t<in case=\"w\" flow=\"1 t/h\"/>\n"
		"\t\t<stated document=\"D\" case=\"w\" flow=\"2 t/h\"/>\n\t\t<!-- last of S -->\n\t</stream>\n"
		"\t<line tag=\"3/4\" name=\"0012\" size=\"NPS 3/4\">\n\t\t<note document=\"D\">x &lt; y &amp; "
		"z</note>\n"
		"\t\t<alternative material=\"316L\">\n\t\t\t<note>if cheap</note>\n\t\t</alternative>\n"
		"\t\t<nozzle>\n\t\t\t<note>no tag</note>\n\t\t</nozzle>\n\t</line>\n\t<line tag=\"S\"/>\n\t<!-- end "
		"-->\n</unit>\n";
	const struct vocabulary *unit = unit_vocabulary(&arena);
	const char *made = back(text, "odd");
	cr_expect(same(element_of("first", text, unit), element_of("second", made, unit)), "%s", made);
	static const char *const comments[] = {"<!-- first -->", "<!-- second, with = and - -->",
		"<!-- of the stream -->", "<!-- last of S -->", "<!-- end -->"};
	for (size_t i = 0; i < COUNT(comments); i++)
		cr_expect(strstr(made, comments[i]), "%s\n%s", comments[i], made);
}

/* ---- as people change them ---- */

/* Rows of cells separated by bars. */
static struct sheet sheet_of(const char *name, const char *rows)
{
	static const size_t most = 200, wide = 10;
	struct sheet_cell *cells = arena_alloc(&arena, most * wide * sizeof *cells);
	struct sheet sheet = {.file = "b.xlsx", .name = name, .columns = wide, .cells = cells};
	for (size_t i = 0; i < most * wide; i++)
		cells[i].text = "";
	size_t at = 0;
	for (const char *c = rows; *c;) {
		size_t length = strcspn(c, "|\n");
		cells[sheet.rows * wide + at].text = arena_copy_span(&arena, c, length);
		cells[sheet.rows * wide + at].kind =
			strncmp(c, "#REF!", length) == 0 && length ? SHEET_FAULT : SHEET_TEXT;
		at = c[length] == '|' ? at + 1 : 0;
		sheet.rows += c[length] == '\n';
		c += length + (c[length] != '\0');
	}
	return sheet;
}

struct given {
	const char *name, *rows;
};

static const char *read_sheets(const struct given *given, size_t count, const char **said)
{
	struct sheet *sheets = arena_alloc(&arena, count * sizeof *sheets);
	for (size_t i = 0; i < count; i++)
		sheets[i] = sheet_of(given[i].name, given[i].rows);
	const struct workbook workbook = {.sheets = sheets, .count = count};
	struct problems faults = {.arena = &arena}, doubts = {.arena = &arena};
	const char *made = book_read(&arena, &workbook, unit_vocabulary(&arena), &faults, &doubts);
	*said = arena_join(&arena, problem_lines(&arena, &faults), problem_lines(&arena, &doubts), "", "");
	return made;
}

Test(book, rows_and_columns_may_be_added_and_moved)
{
	static const struct given sheets[] = {
		{"line", "size|tag|No.|Part of|pwht\nNPS 3|L-2|9\nNPS 2|L-1|3|#1\n\nNPS 4|L-0||||\n|L-9|4||no\n"},
		{"note", "Text|Part of\nto be washed|L-1\n"},
		{"in", "case\nx\n"},
		{"Remarks", "anything\n"},
		{"unit", "No.|number|Row|Comment\n1|U-7||mine\n"},
		{"stream", "id|Part of|Row|case|flow|No.\nS|||||2\n|S|in|w|3 t/h\n"},
	};
	const char *said, *made = read_sheets(sheets, COUNT(sheets), &said);
	cr_assert(made, "%s", said);
	cr_expect_str_eq(made,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- mine -->\n"
		"<unit xmlns=\"urn:leanrich:unit:1\" number=\"U-7\">\n"
		"\t<stream id=\"S\">\n\t\t<in case=\"w\" flow=\"3 t/h\"/>\n\t</stream>\n"
		"\t<line size=\"NPS 2\" tag=\"L-1\">\n\t\t<note>to be washed</note>\n\t</line>\n"
		"\t<line tag=\"L-9\" pwht=\"no\"/>\n\t<line size=\"NPS 3\" tag=\"L-2\"/>\n\t<line size=\"NPS 4\" "
		"tag=\"L-0\"/>\n"
		"</unit>\n");
	cr_expect(strstr(said, "the sheet 'Remarks' is passed over") && strstr(said, "the sheet 'in' is passed over"),
		"%s", said);
}

Test(book, what_cannot_be_read_is_said_with_its_cell_and_nothing_is_made)
{
	static const struct {
		const char *name, *rows, *expected;
	} faults[] = {
		{"line", "tag|colour\nL-1|red\n",
			"b.xlsx!line:2:2: unknown-attribute: 'colour' is no attribute of <line>"},
		{"line", "tag|Part of\nL-1|V-9\n", "no-such-item: 'V-9' is no tag, id or #number of a row"},
		{"line", "tag|Part of\nL-1|L-1\n", "cannot-be: the row is part of itself"},
		{"line", "tag|Part of\nL-1|L-2\nL-2|L-1\n", "cannot-be: the row is part of itself"},
		{"line", "tag|Part of\nL-1|\nL-2|L-1\n", "unknown-element: <line> cannot be in <line>"},
		{"line", "tag|pwht\n|yes\n", "missing: <line> needs the attribute 'tag'"},
		{"line", "tag|size\nL-1|#REF!\n", "malformed: size: the cell holds a formula without a value"},
		{"line", "tag|No.\nL-1|x\n", "not-a-number: 'x'"},
		{"line", "tag|No.\nL-1|1\n", "duplicate: number 1 stands in"},
		{"line", "tag|tag\nL-1|L-2\n", "duplicate: 'tag' heads two columns"},
		{"line", "tag|\nL-1|L-2\n", "missing: the column has values and no heading"},
		{"line", "tag|Row\nL-1|case\n", "not-a-choice: 'case'"},
		{"line", "tag|Row|pwht|case\nL-1|in|no|w\n", "cannot-be: '' is no line"},
		{"line", "tag|Text\nL-1|words\n", "stray-text: <line> holds no text"},
		{"note", "Text|Part of\nwords|L-7\n", "no-such-item"},
		{"unit", "number\nU-1\nU-2\n", "duplicate: a second unit"},
	};
	for (size_t i = 0; i < COUNT(faults); i++) {
		const struct given sheets[] = {{"unit", "No.|number\n1|U-7\n"}, {faults[i].name, faults[i].rows}};
		const char *said, *made = read_sheets(sheets, COUNT(sheets), &said);
		cr_expect(!made && strstr(said, faults[i].expected), "%s\n%s", faults[i].rows, said);
	}
	const char *said;
	const struct given none = {"Tabelle1", "a|b\n1|2\n"};
	cr_expect(!read_sheets(&none, 1, &said) && strstr(said, "it is no description's workbook"), "%s", said);
}

Test(book, the_command_goes_both_ways)
{
	struct run run = shell(&arena,
		"P=$LEANRICH; S=$SCRATCH; \"$P\" book designs/curlew-spit.xml --output $S/b.xlsx; echo $?; "
		"\"$P\" book $S/b.xlsx >$S/b.xml; echo $?; \"$P\" book $S/b.xlsx --output $S/c.xml; cmp $S/b.xml "
		"$S/c.xml; "
		"\"$P\" book designs/curlew-spit.xml --output $S/c.xlsx; cmp $S/b.xlsx $S/c.xlsx; "
		"\"$P\" book designs/curlew-spit.xml; echo $?; \"$P\" book; echo $?; \"$P\" book $S/none.xml --output "
		"$S/n.xlsx; echo "
		"$?; "
		"echo '<unit xmlns=\"urn:leanrich:unit:1\"><lin/></unit>' >$S/bad.xml; \"$P\" book $S/bad.xml --output "
		"$S/n.xlsx; echo $?; head -c 999 $S/b.xlsx >$S/cut.xlsx; \"$P\" book $S/cut.xlsx --output $S/n.xml; "
		"echo $?; ls $S");
	cr_expect_str_eq(run.output,
		"0\n0\n2\n2\n4\n3\n3\nb.xlsx\nb.xml\nbad.xml\nc.xlsx\nc.xml\ncut.xlsx\nstderr.log\nstdout.log\n",
		"%s%s", run.output, run.errors);
	cr_expect(strstr(run.errors, "--output is needed for the workbook"), "%s", run.errors);
}
