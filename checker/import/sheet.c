#include "import/sheet.h"

#include <stdint.h>
#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "read/document.h"

/* ---- cells ---- */

const struct sheet_cell *sheet_at(const struct sheet *sheet, size_t row, size_t column)
{
	static const struct sheet_cell nothing = {.text = "", .kind = SHEET_EMPTY};
	return row < sheet->rows && column < sheet->columns ? &sheet->cells[row * sheet->columns + column] : &nothing;
}

const char *sheet_column_name(struct arena *arena, size_t column)
{
	enum { LETTERS = 26, LONGEST = 16 };
	char name[LONGEST], *at = name + LONGEST;
	*--at = '\0';
	for (size_t left = column + 1; left; left = (left - 1) / LETTERS)
		*--at = (char)('A' + (left - 1) % LETTERS);
	return arena_copy(arena, at);
}

struct sheet_origin sheet_origin(const struct sheet *sheet, size_t row, size_t column)
{
	if (sheet->origins && row < sheet->rows && column < sheet->columns)
		return sheet->origins[row * sheet->columns + column];
	return (struct sheet_origin){.row = (uint32_t)row, .column = (uint32_t)column};
}

const struct sheet *sheet_part(
	struct arena *arena, const struct sheet *sheet, struct sheet_origin from, struct sheet_origin to)
{
	struct sheet *part = arena_alloc(arena, sizeof *part);
	*part = *sheet;
	part->rows = to.row - from.row;
	part->columns = to.column - from.column;
	struct sheet_cell *cells = arena_alloc(arena, (part->rows * part->columns + 1) * sizeof *cells);
	struct sheet_origin *origins = arena_alloc(arena, (part->rows * part->columns + 1) * sizeof *origins);
	for (size_t i = 0; i < part->rows; i++)
		for (size_t k = 0; k < part->columns; k++) {
			cells[i * part->columns + k] = *sheet_at(sheet, from.row + i, from.column + k);
			origins[i * part->columns + k] = sheet_origin(sheet, from.row + i, from.column + k);
		}
	part->cells = cells;
	part->origins = origins;
	part->widths = NULL;
	return part;
}

const char *sheet_cell_name(struct arena *arena, const struct sheet *sheet, size_t row, size_t column)
{
	struct sheet_origin at = sheet_origin(sheet, row, column);
	return arena_format(arena, "%s!%s%zu", sheet->name, sheet_column_name(arena, at.column), (size_t)at.row + 1);
}

const char *sheet_span(struct arena *arena, const struct sheet *sheet)
{
	size_t name = strlen(sheet->name) + 1;
	const char *first = sheet_cell_name(arena, sheet, 0, 0) + name;
	return arena_join(
		arena, first, ":", sheet_cell_name(arena, sheet, sheet->rows - 1, sheet->columns - 1) + name, "");
}

struct place sheet_place(const struct sheet *sheet, size_t row, size_t column)
{
	struct sheet_origin at = sheet_origin(sheet, row, column);
	return (struct place){.file = sheet->file, .line = (int)at.row + 1, .column = (int)at.column + 1};
}

enum sheet_kind sheet_kind_of(const char *text)
{
	static const char *const faults[] = {"#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!",
		"#BEZUG!", "#WERT!", "#NV", "#SPILL!"};
	if (!*text)
		return SHEET_EMPTY;
	for (size_t i = 0; i < COUNT(faults); i++)
		if (strcmp(text, faults[i]) == 0)
			return SHEET_FAULT;
	if (strspn(text, "#") == strlen(text) && strlen(text) > 2)
		return SHEET_FAULT; /* a column too narrow for its number, saved as shown */
	bool formula = *text == '=' && ((text[1] >= 'A' && text[1] <= 'Z') || text[1] == '$' || text[1] == '(');
	return formula ? SHEET_UNCALCULATED : SHEET_TEXT;
}

/* ---- encodings ---- */

/* A code point as UTF-8 (The Unicode Standard 15.0, table 3-6). */
static void add_code_point(struct text *out, uint32_t code)
{
	enum { ONE = 0x80, TWO = 0x800, THREE = 0x10000, SIX_BITS = 6, LOW = 0x3F, MORE = 0x80 };
	if (code < ONE) {
		text_add_char(out, (char)code);
		return;
	}
	size_t more = code < TWO ? 1 : code < THREE ? 2 : 3;
	uint32_t lead = more == 1 ? 0xC0 : more == 2 ? 0xE0 : 0xF0;
	text_add_char(out, (char)(lead | code >> SIX_BITS * more));
	while (more-- > 0)
		text_add_char(out, (char)(MORE | (code >> SIX_BITS * more & LOW)));
}

/* Of windows-1252: what is not there as it is in Latin-1; NULL when a byte is none of it. */
static const char *from_western(struct arena *arena, const char *bytes, size_t size)
{
	static const uint16_t upper[] = {0x20AC, 0, 0x201A, 0x192, 0x201E, 0x2026, 0x2020, 0x2021, 0x2C6, 0x2030, 0x160,
		0x2039, 0x152, 0, 0x17D, 0, 0, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014, 0x2DC, 0x2122,
		0x161, 0x203A, 0x153, 0, 0x17E, 0x178};
	enum { FIRST = 0x80, LAST = 0x9F };
	struct text out = text_in(arena);
	for (size_t i = 0; i < size; i++) {
		unsigned char byte = (unsigned char)bytes[i];
		uint32_t code = byte >= FIRST && byte <= LAST ? upper[byte - FIRST] : byte;
		if (!code)
			return NULL;
		add_code_point(&out, code);
	}
	return out.data;
}

/* Of UTF-16; NULL when a surrogate stands alone, or a byte. */
static const char *from_wide(struct arena *arena, const char *bytes, size_t size, bool big)
{
	enum { HIGH = 0xD800, LOW = 0xDC00, AFTER = 0xE000, BITS = 10, BEYOND = 0x10000, BYTE = 8 };
	struct text out = text_in(arena);
	uint32_t before = 0;
	if (size % 2)
		return NULL;
	for (size_t i = 0; i < size; i += 2) {
		uint32_t first = (unsigned char)bytes[i], second = (unsigned char)bytes[i + 1];
		uint32_t code = big ? first << BYTE | second : second << BYTE | first;
		bool high = code >= HIGH && code < LOW, low = code >= LOW && code < AFTER;
		if (low != (before != 0) || !code)
			return NULL;
		if (low)
			add_code_point(&out, BEYOND + ((before - HIGH) << BITS) + (code - LOW));
		else if (!high)
			add_code_point(&out, code);
		before = high ? code : 0;
	}
	return before ? NULL : out.data;
}

static bool has_mark(const char *bytes, size_t size, unsigned char first, unsigned char second)
{
	return size >= 2 && (unsigned char)bytes[0] == first && (unsigned char)bytes[1] == second;
}

/* A text of UTF-16 without a mark: every second byte of its start is zero. */
static bool is_wide_without_mark(const char *bytes, size_t size, bool *big)
{
	enum { LOOKED_AT = 64 };
	size_t even = 0, odd = 0, looked = size < LOOKED_AT ? size / 2 * 2 : LOOKED_AT;
	for (size_t i = 0; i < looked; i++)
		*(i % 2 ? &odd : &even) += bytes[i] == '\0';
	*big = even >= odd;
	return looked >= 4 && even + odd >= looked / 3;
}

/* The text as UTF-8, or NULL after saying why it is none. */
static const char *decoded(struct arena *arena, const char *name, const char *bytes, size_t size,
	struct problems *faults, struct problems *doubts)
{
	struct problems odd = {.arena = arena};
	bool big = has_mark(bytes, size, 0xFE, 0xFF), marked = big || has_mark(bytes, size, 0xFF, 0xFE);
	bool wide = marked || is_wide_without_mark(bytes, size, &big);
	size_t skipped = marked ? 2 : 0;
	const char *text = bytes;
	if (wide) {
		text = from_wide(arena, bytes + skipped, size - skipped, big);
	} else if (!document_is_text(name, bytes, size, &odd) && !memchr(bytes, 0, size)) {
		text = from_western(arena, bytes, size);
		if (text)
			problem_add(doubts, PROBLEM_CELL_INTERPRETED, (struct place){.file = name},
				"not UTF-8: read as Western European text (windows-1252)");
	}
	if (!text)
		problem_add(faults, PROBLEM_NOT_XML, (struct place){.file = name},
			"no text in UTF-8, UTF-16 or windows-1252, and no workbook");
	else if (!document_is_text(name, text, text == bytes ? size : strlen(text), faults))
		text = NULL;
	return text;
}

/* ---- CSV ---- */

static size_t separators_in(const char **at, char separator)
{
	size_t count = 0;
	bool quoted = false;
	const char *c = *at;
	for (; *c && (quoted || !strchr("\r\n", *c)); c++) {
		quoted = quoted != (*c == '"');
		count += !quoted && *c == separator;
	}
	*at = c + strspn(c, "\r\n");
	return count;
}

/* How many cells the lines are parted into that are parted alike. */
static size_t parts_alike(const char *text, char separator)
{
	enum { LOOKED_AT = 400, MOST = 256 };
	size_t lines[MOST] = {0}, best = 0;
	for (size_t i = 0; *text && i < LOOKED_AT; i++) {
		size_t count = separators_in(&text, separator);
		lines[count < MOST ? count : MOST - 1]++;
	}
	for (size_t k = 1; k < MOST; k++)
		best = lines[k] * k > best ? lines[k] * k : best;
	return best;
}

static char separator_of(const char *text)
{
	static const char candidates[] = ";\t|,";
	char chosen = ',';
	size_t most = 0;
	for (const char *c = candidates; *c; c++) {
		size_t parts = parts_alike(text, *c);
		if (parts > most) {
			most = parts;
			chosen = *c;
		}
	}
	return chosen;
}

static const char *base_name(struct arena *arena, const char *path)
{
	const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path, *dot = strrchr(name, '.');
	return arena_copy_span(arena, name, dot && dot != name ? (size_t)(dot - name) : strlen(name));
}

static void fill(struct arena *arena, struct sheet *sheet, const struct cells_file *csv)
{
	struct sheet_cell *cells = arena_alloc(arena, (sheet->rows * sheet->columns + 1) * sizeof *cells);
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++)
		cells[i].text = "";
	size_t *widths = arena_alloc(arena, (sheet->rows + 1) * sizeof *widths);
	sheet->widths = widths;
	for (size_t i = 0; i < csv->count; i++) {
		widths[csv->lines[i].row - 1] = csv->lines[i].count;
		for (size_t k = 0; k < csv->lines[i].count; k++) {
			struct sheet_cell *cell = &cells[(size_t)(csv->lines[i].row - 1) * sheet->columns + k];
			*cell = (struct sheet_cell){
				.text = csv->lines[i].cells[k], .kind = sheet_kind_of(csv->lines[i].cells[k])};
		}
	}
	sheet->cells = cells;
}

static bool read_csv(
	struct arena *arena, const char *name, const char *text, struct problems *faults, struct workbook *workbook)
{
	static const char said[] = "sep="; /* as spreadsheets put before a list that is parted otherwise */
	static const char mark[] = "\xEF\xBB\xBF";
	const char *from = strncmp(text, mark, sizeof mark - 1) == 0 ? text + sizeof mark - 1 : text;
	bool says =
		strncmp(from, said, sizeof said - 1) == 0 && from[sizeof said - 1] && strchr("\r\n", from[sizeof said]);
	struct cells_file csv = cells_read(arena, text, says ? from[sizeof said - 1] : separator_of(text));
	struct sheet *sheet = arena_alloc(arena, sizeof *sheet);
	*sheet = (struct sheet){.file = name,
		.name = base_name(arena, name),
		.csv = true,
		.separator = csv.separator,
		.unclosed = csv.unclosed};
	if (csv.count)
		sheet->rows = (size_t)csv.lines[csv.count - 1].row;
	for (size_t i = 0; i < csv.count; i++)
		sheet->columns = csv.lines[i].count > sheet->columns ? csv.lines[i].count : sheet->columns;
	if (sheet->columns && sheet->rows > SHEET_MOST_CELLS / sheet->columns) {
		problem_add(faults, PROBLEM_TOO_LARGE, (struct place){.file = name}, "more than %d cells",
			SHEET_MOST_CELLS);
		return false;
	}
	fill(arena, sheet, &csv);
	*workbook = (struct workbook){.sheets = sheet, .count = 1};
	return true;
}

/* ---- files ---- */

static bool begins_with(const char *bytes, size_t size, const char *magic, size_t length)
{
	return size >= length && memcmp(bytes, magic, length) == 0;
}

bool workbook_parse(struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *faults,
	struct problems *doubts, struct workbook *workbook)
{
	static const char compound[] = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", encrypted[] = "E\0n\0c\0r\0y\0p\0t\0e\0d\0P";
	*workbook = (struct workbook){.count = 0};
	if (begins_with(bytes, size, "PK\x03\x04", 4) || begins_with(bytes, size, "PK\x05\x06", 4))
		return workbook_unpack(arena, name, bytes, size, faults, doubts, workbook);
	if (begins_with(bytes, size, compound, sizeof compound - 1)) {
		bool locked = false;
		for (size_t i = 0; i + sizeof encrypted <= size && !locked; i++)
			locked = bytes[i] == 'E' && memcmp(bytes + i, encrypted, sizeof encrypted - 1) == 0;
		problem_add(faults, PROBLEM_MALFORMED, (struct place){.file = name},
			locked ? "the workbook is protected by a password: have it taken off, and save it as XLSX"
			       : "a workbook of the old binary kind: save it as XLSX or CSV");
		return false;
	}
	const char *text = decoded(arena, name, bytes, size, faults, doubts);
	return text && read_csv(arena, name, text, faults, workbook);
}

bool workbook_read(struct arena *arena, const char *path, struct problems *faults, struct problems *doubts,
	struct workbook *workbook)
{
	struct text bytes;
	return document_bytes(arena, path, faults, &bytes) &&
		workbook_parse(arena, path, bytes.data, bytes.length, faults, doubts, workbook);
}
