/* Sheets as files hold them: CSV in several dialects, workbooks with what makes them hard to read. All are invented. */
#include <criterion/criterion.h>
#include <string.h>
#include <xlsxwriter.h>
#include <zip.h>

#include "base/count.h"
#include "import/fields.h"
#include "import/list_cell.h"
#include "import/sheet.h"
#include "import/words.h"
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

TestSuite(sheet, .init = begin, .fini = end);

static struct problems doubts;

static bool parse(const char *name, const char *bytes, size_t size, struct workbook *workbook)
{
	trial.problems.arena = &trial.arena;
	doubts = (struct problems){.arena = &trial.arena};
	return workbook_parse(&trial.arena, name, bytes, size, &trial.problems, &doubts, workbook);
}

static const char *said(const struct problems *problems)
{
	struct text text = text_in(&trial.arena);
	for (size_t i = 0; i < problems->count; i++)
		text_addf(&text, "%s\n", problem_line(problems, &problems->rows[i]));
	return text.data;
}

/* ---- CSV ---- */

Test(sheet, csv_is_read_in_any_dialect)
{
	static const struct {
		const char *bytes;
		size_t size;
		const char *a2, *b2;
	} rows[] = {
#define BYTES(text) text, sizeof(text) - 1
		{BYTES("Tag,Size\nP-1,6\n"), "P-1", "6"},
		{BYTES("Tag;Größe\nP-1;6,5\n"), "P-1", "6,5"},
		{BYTES("Tag\tSize\r\nP-1\t6\r\n"), "P-1", "6"},
		{BYTES("sep=|\nTag|Size\nP-1|6\n"), "Tag", "Size"},
		{BYTES("List, of lines, rev B\nP-1;6\nP-2;8\n"), "P-1", "6"},
		{BYTES("Tag;Gr\xF6\xDF"
		       "e\nP-1;\xD8 6\n"),
			"P-1", "Ø 6"},
		{BYTES("\xFF\xFET\0a\0g\0;\0S\0\n\0P\0;\0\xE9\0\n\0"), "P", "é"},
		{BYTES("\xFE\xFF\0T\0;\0S\0\n\0P\0;\0"
		       "6\0\n"),
			"P", "6"},
		{BYTES("T\0;\0S\0\n\0P\0;\0"
		       "6\0\n\0"),
			"P", "6"},
#undef BYTES
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct workbook workbook;
		cr_assert(
			parse("list.csv", rows[i].bytes, rows[i].size, &workbook), "%zu: %s", i, said(&trial.problems));
		const struct sheet *sheet = &workbook.sheets[0];
		cr_expect_str_eq(sheet_at(sheet, 1, 0)->text, rows[i].a2, "%zu: %s", i, sheet_at(sheet, 1, 0)->text);
		cr_expect_str_eq(sheet_at(sheet, 1, 1)->text, rows[i].b2, "%zu: %s", i, sheet_at(sheet, 1, 1)->text);
	}
}

Test(sheet, cells_are_named_as_a_spreadsheet_does)
{
	const struct sheet sheet = {.name = "Streams"};
	cr_expect_str_eq(sheet_cell_name(&trial.arena, &sheet, 6, 1), "Streams!B7");
	cr_expect_str_eq(sheet_column_name(&trial.arena, 25), "Z");
	cr_expect_str_eq(sheet_column_name(&trial.arena, 26), "AA");
	cr_expect_str_eq(sheet_column_name(&trial.arena, 701), "ZZ");
	cr_expect_str_eq(sheet_column_name(&trial.arena, 702), "AAA");
}

Test(sheet, faults_and_formulas_are_no_text)
{
	static const struct {
		const char *text;
		enum sheet_kind kind;
	} rows[] = {{"#REF!", SHEET_FAULT}, {"#N/A", SHEET_FAULT}, {"#####", SHEET_FAULT},
		{"=A1+B1", SHEET_UNCALCULATED}, {"6#", SHEET_TEXT}, {"#4", SHEET_TEXT}, {"", SHEET_EMPTY},
		{"= steam", SHEET_TEXT}};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_eq(sheet_kind_of(rows[i].text), rows[i].kind, "%s", rows[i].text);
}

/* ---- workbooks ---- */

static const char *scratch(const char *name)
{
	return arena_format(&trial.arena, "%s/%s", getenv("SCRATCH"), name);
}

static struct workbook opened(const char *path)
{
	struct workbook workbook;
	trial.problems.arena = &trial.arena;
	doubts = (struct problems){.arena = &trial.arena};
	workbook_read(&trial.arena, path, &trial.problems, &doubts, &workbook);
	return workbook;
}

Test(sheet, a_workbook_shows_what_its_cells_show)
{
	const char *path = scratch("book.xlsx");
	lxw_workbook *book = workbook_new(path);
	lxw_worksheet *first = workbook_add_worksheet(book, "Lines");
	lxw_worksheet *second = workbook_add_worksheet(book, "Lab & more");
	lxw_format *percent = workbook_add_format(book), *barg = workbook_add_format(book),
		   *date = workbook_add_format(book), *month = workbook_add_format(book);
	format_set_num_format(percent, "0.0%");
	format_set_num_format(barg, "0.0 \"barg\";-0.0 \"barg\"");
	format_set_num_format(date, "[$-407]dd/mm/yyyy;@");
	format_set_num_format(month, "mmm\\-yy");
	worksheet_write_string(first, 0, 0, " P-1 ", NULL);
	worksheet_write_number(first, 0, 1, 0.1 + 0.2, NULL);
	worksheet_write_number(first, 0, 2, 0.445, percent);
	worksheet_write_number(first, 0, 3, 12.5, barg);
	worksheet_write_number(first, 0, 4, 1e-5, NULL);
	worksheet_write_formula_num(first, 0, 5, "=B1*2", NULL, 84000);
	worksheet_merge_range(first, 1, 0, 2, 1, "both", NULL);
	worksheet_write_boolean(first, 3, 0, 1, NULL);
	worksheet_write_string(first, 4, 0, "superseded", NULL);
	lxw_row_col_options hide = {.hidden = 1};
	worksheet_set_row_opt(first, 4, LXW_DEF_ROW_HEIGHT, NULL, &hide);
	worksheet_write_number(second, 0, 0, 46000, date);
	worksheet_write_number(second, 0, 1, 46000, month);
	worksheet_write_number(second, 0, 2, 59, date);
	workbook_close(book);
	struct workbook read = opened(path);
	cr_assert(read.count == 2, "%s", said(&trial.problems));
	static const struct {
		size_t sheet, row, column;
		enum sheet_kind kind;
		const char *text;
	} rows[] = {{0, 0, 0, SHEET_TEXT, "P-1"}, {0, 0, 1, SHEET_NUMBER, "0.3"}, {0, 0, 2, SHEET_NUMBER, "44.5 %"},
		{0, 0, 3, SHEET_NUMBER, "12.5 barg"}, {0, 0, 4, SHEET_NUMBER, "0.00001"},
		{0, 0, 5, SHEET_NUMBER, "84000"}, {0, 2, 1, SHEET_TEXT, "both"}, {0, 3, 0, SHEET_TEXT, "yes"},
		{0, 4, 0, SHEET_TEXT, "superseded"}, {0, 9, 9, SHEET_EMPTY, ""}, {1, 0, 0, SHEET_DATE, "2025-12-09"},
		{1, 0, 1, SHEET_DATE, "2025-12"}, {1, 0, 2, SHEET_DATE, "1900-02-28"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct sheet_cell *cell = sheet_at(&read.sheets[rows[i].sheet], rows[i].row, rows[i].column);
		cr_expect(cell->kind == rows[i].kind, "%zu: kind %d", i, (int)cell->kind);
		cr_expect_str_eq(cell->text, rows[i].text, "%zu: %s", i, cell->text);
	}
	cr_expect_str_eq(read.sheets[1].name, "Lab & more");
	cr_expect(!sheet_at(&read.sheets[0], 1, 0)->merged && sheet_at(&read.sheets[0], 2, 1)->merged);
	cr_expect(sheet_at(&read.sheets[0], 4, 0)->hidden && !sheet_at(&read.sheets[0], 3, 0)->hidden);
}

/* An archive of parts: name, content, name, content, NULL. */
static const char *archive(const char *name, const char *const *parts)
{
	const char *path = scratch(name);
	zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);
	for (size_t i = 0; parts[i]; i += 2)
		zip_file_add(
			zip, parts[i], zip_source_buffer(zip, parts[i + 1], strlen(parts[i + 1]), 0), ZIP_FL_OVERWRITE);
	zip_close(zip);
	return path;
}

static const char one_sheet[] = "<w:workbook xmlns:w=\"u:w\" xmlns:r=\"u:r\"><w:sheets><w:sheet name=\"S\" "
				"r:id=\"a\"/></w:sheets></w:workbook>";
static const char its_place[] = "<Relationships><Relationship Id=\"a\" Target=\"/xl/s.xml\"/></Relationships>";
#define BOOK "xl/workbook.xml", one_sheet, "xl/_rels/workbook.xml.rels", its_place

Test(sheet, a_formula_without_its_value_is_told_from_nothing)
{
	static const char cells[] =
		"<worksheet><sheetData><row><c><f>1+1</f></c><c><f>1+1</f><v>2</v></c><c t=\"inlineStr\"><is><r><t>two "
		"</t></r><r><t>runs</t></r></is></c>"
		"<c r=\"E1\" t=\"e\"><v>#REF!</v></c></row></sheetData></worksheet>";
	static const char *const parts[] = {BOOK, "xl/s.xml", cells, "xl/vbaProject.bin", "macros", NULL};
	struct workbook read = opened(archive("f.xlsm", parts));
	cr_assert(read.count == 1, "%s", said(&trial.problems));
	cr_expect_eq(sheet_at(&read.sheets[0], 0, 0)->kind, SHEET_UNCALCULATED);
	cr_expect_str_eq(sheet_at(&read.sheets[0], 0, 1)->text, "2");
	cr_expect_str_eq(sheet_at(&read.sheets[0], 0, 2)->text, "two runs");
	cr_expect_eq(sheet_at(&read.sheets[0], 0, 4)->kind, SHEET_FAULT);
	cr_expect(strstr(said(&doubts), "macros"), "%s", said(&doubts));
}

Test(sheet, what_is_no_workbook_is_refused_and_said)
{
	static const char corners[] =
		"<worksheet><sheetData><row r=\"1\"><c r=\"A1\"><v>1</v></c></row><row r=\"1048576\"><c "
		"r=\"XFD1048576\"><v>1</v></c></row></sheetData></worksheet>";
	static const char own_entity[] =
		"<!DOCTYPE a [<!ENTITY b "
		"\"c\">]><worksheet><sheetData><row><c><v>&b;</v></c></row></sheetData></worksheet>";
	static const char *const wide[] = {BOOK, "xl/s.xml", corners, NULL};
	static const char *const entity[] = {BOOK, "xl/s.xml", own_entity, NULL};
	static const char *const broken[] = {BOOK, "xl/s.xml", "<worksheet><sheetData><row><c><v>1</v>", NULL};
	static const char *const other[] = {"mimetype", "application/x-other", NULL};
	const struct {
		const char *path, *said;
	} rows[] = {{archive("wide.xlsx", wide), "spans more than"},
		{archive("entity.xlsx", entity), "entities of its own"}, {archive("broken.xlsx", broken), "is broken"},
		{archive("other.zip", other), "no workbook"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial.problems.count = 0;
		opened(rows[i].path);
		cr_expect(strstr(said(&trial.problems), rows[i].said), "%zu: %s", i, said(&trial.problems));
	}
}

Test(sheet, a_locked_or_old_workbook_is_refused_and_said)
{
	static const char locked[] =
		"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1....E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e\0";
	static const char old[] = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1....W\0o\0r\0k\0b\0o\0o\0k\0";
	static const char cut[] = "PK\x03\x04 and nothing more";
	struct workbook workbook;
	cr_expect(!parse("a.xlsx", locked, sizeof locked - 1, &workbook) && strstr(said(&trial.problems), "password"));
	cr_expect(!parse("b.xls", old, sizeof old - 1, &workbook) && strstr(said(&trial.problems), "old binary kind"));
	cr_expect(!parse("c.xlsx", cut, sizeof cut - 1, &workbook) &&
		strstr(said(&trial.problems), "archive of the workbook is broken"));
}

/* ---- headings ---- */

Test(sheet, headings_are_understood_in_several_languages)
{
	static const struct {
		enum sheet_lists lists;
		const char *heading, *field, *of, *unit; /* field "": nothing that is known */
	} rows[] = {
		{LISTS_LINES, "Line No.", "tag", NULL, NULL},
		{LISTS_LINES, "Rohrleitungsnummer", "tag", NULL, NULL},
		{LISTS_LINES, "N° de ligne", "tag", NULL, NULL},
		{LISTS_LINES, "Op. temp. (°C)", "temperature", NULL, "degC"},
		{LISTS_LINES, "Betriebstemperatur [°C]", "temperature", NULL, "degC"},
		{LISTS_LINES, "Auslegungsdruck, bar(ü)", "design-pressure", NULL, "barg"},
		{LISTS_LINES, "Pression de calcul (bar g)", "design-pressure", NULL, "barg"},
		{LISTS_LINES, "Presión de diseño / barg", "design-pressure", NULL, "barg"},
		{LISTS_LINES, "Ontwerptemperatuur", "design-temperature", NULL, NULL},
		{LISTS_LINES, "Nennweite DN", "size", NULL, "DN"},
		{LISTS_LINES, "C.A. mm", "corrosion-allowance", NULL, "mm"},
		{LISTS_LINES, "De", "from", NULL, NULL},
		{LISTS_LINES, "Température de service", "temperature", NULL, NULL},
		{LISTS_LINES, "Max. temp.", "", NULL, NULL},
		{LISTS_LINES, "Start-up temperature", "", NULL, NULL},
		{LISTS_LINES, "Tracing temperature", "tracing-temperature", NULL, NULL},
		{LISTS_LINES, "Steam temperature", "", NULL, NULL},
		{LISTS_EQUIPMENT, "Tube side / Design press. (barg)", "design-pressure", "tube-side", "barg"},
		{LISTS_EQUIPMENT, "Mantelseite Werkstoff", "material", "shell-side", NULL},
		{LISTS_EQUIPMENT, "Wärmeleistung kW", "duty", NULL, "kW"},
		{LISTS_EQUIPMENT, "NPSHr (m)", "npsh-required", NULL, "m"},
		{LISTS_EQUIPMENT, "Tubes: T in (°C)", "inlet-temperature", "tube-side", "degC"},
		{LISTS_EQUIPMENT, "No. of tubes", "tubes", NULL, NULL},
		{LISTS_EQUIPMENT, "I.D.", "diameter", NULL, NULL},
		{LISTS_EQUIPMENT, "ID, in", "diameter", NULL, "in"},
		{LISTS_EQUIPMENT, "ID", "tag", NULL, NULL},
		{LISTS_STREAMS, "C3", "propane", NULL, NULL},
		{LISTS_STREAMS, "C3+", "", NULL, NULL},
		{LISTS_STREAMS, "H2S loading (calc), mol/mol", "h2s loading", NULL, "mol/mol"},
		{LISTS_STREAMS, "H₂S, mol-%", "h2s", NULL, "mol%"},
		{LISTS_STREAMS, "Massenstrom [kg/h]", "flow", NULL, "kg/h"},
		{LISTS_STREAMS, "Mol. wt.", "molar-mass", NULL, NULL},
		{LISTS_LABORATORY, "HSS (wt% as MDEA)", "salts", NULL, "wt%"},
		{LISTS_LABORATORY, "Eisen (mg/kg)", "iron", NULL, "ppmw"},
		{LISTS_RELIEF, "Ansprechdruck barü", "set-pressure", NULL, "barg"},
	};
	const struct words *words = words_open(&trial.arena);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct field field = fields_find(&trial.arena, words, rows[i].lists, rows[i].heading);
		cr_expect(
			text_same(field.name ? field.name : "", rows[i].field), "%s: %s", rows[i].heading, field.name);
		cr_expect(!*rows[i].field || (text_same(field.of, rows[i].of) && text_same(field.unit, rows[i].unit)),
			"%s: %s in %s", rows[i].heading, field.of, field.unit);
	}
}

Test(sheet, dates_are_read_where_they_can_be_told)
{
	static const struct {
		const char *written;
		enum date_order order;
		const char *date;
	} rows[] = {{"14.09.2026", DATES_UNDECIDED, "2026-09-14"}, {"03.04.2026", DATES_UNDECIDED, "2026-04-03"},
		{"03/04/2026", DATES_UNDECIDED, NULL}, {"03/04/2026", DAY_FIRST, "2026-04-03"},
		{"03/04/2026", MONTH_FIRST, "2026-03-04"}, {"14/09/26", DATES_UNDECIDED, "2026-09-14"},
		{"Sep-26", DATES_UNDECIDED, "2026-09"}, {"14 mars 2025", DATES_UNDECIDED, "2025-03-14"},
		{"2026", DATES_UNDECIDED, "2026"}, {"March 3, 2026", DATES_UNDECIDED, "2026-03-03"},
		{"März 2026", DATES_UNDECIDED, "2026-03"}, {"last week", DATES_UNDECIDED, NULL},
		{"32.01.2026", DATES_UNDECIDED, NULL}, {"01/2026", DATES_UNDECIDED, "2026-01"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *date = list_cell_date(&trial.arena, rows[i].written, rows[i].order);
		cr_expect(text_same(date, rows[i].date), "%s: %s", rows[i].written, date);
	}
}

/* Arithmetic: 9 ft is 108 in, 1/16 in 0.0625. */
Test(sheet, feet_and_fractions_of_inches_are_lengths)
{
	static const struct {
		const char *written, *unit, *inches;
	} rows[] = {{"1/16", "in", "0.0625 in"}, {"1/16", "mm", NULL}, {"1/16", NULL, NULL},
		{"1/8\"", NULL, "0.125 in"}, {"1-1/2", "in", "1.5 in"}, {"1 1/4 in", NULL, "1.25 in"},
		{"9'-0\"", "ft", "108 in"}, {"12'-6 1/2\"", NULL, "150.5 in"}, {"18'", NULL, "216 in"},
		{"60 / 48", "in", NULL}, {"16/1", "in", NULL}, {"1/3", "in", NULL}, {"6", "in", NULL},
		{"12-14", "in", NULL}, {"", "in", NULL}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *inches = list_cell_inches(&trial.arena, rows[i].written, rows[i].unit);
		cr_expect(text_same(inches, rows[i].inches), "%s: %s", rows[i].written, inches);
	}
}

/* "Case A: summer" over a block and "A" over a column are one case; maxima, means and remarks are none. */
Test(sheet, cases_are_called_by_a_letter_or_in_full)
{
	static const struct {
		const char *text, *letter;
		bool none;
	} rows[] = {{"CASE A DESIGN (100 %)", "a", false}, {"A", "a", false}, {"Fall 2: Teillast", "2", false},
		{"Winter", NULL, false}, {"A cold day", NULL, false}, {"max. all cases", NULL, true},
		{"Remarks", NULL, true}, {"Mittelwert", NULL, true}, {"maximum", NULL, false}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect(
			text_same(fields_case_letter(&trial.arena, rows[i].text), rows[i].letter), "%s", rows[i].text);
		cr_expect(fields_no_case(&trial.arena, rows[i].text) == rows[i].none, "%s", rows[i].text);
	}
	cr_expect(fields_case(&trial.arena, "to be verified against the blowdown case") == NULL);
	cr_expect(fields_case(&trial.arena, "Blowdown case") != NULL);
}
