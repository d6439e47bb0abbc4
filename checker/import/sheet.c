#include "import/sheet.h"

#include <iconv.h>
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

const char *sheet_cell_name(struct arena *arena, const struct sheet *sheet, size_t row, size_t column)
{
	return arena_format(arena, "%s!%s%zu", sheet->name, sheet_column_name(arena, column), row + 1);
}

struct place sheet_place(const struct sheet *sheet, size_t row, size_t column)
{
	return (struct place){.file = sheet->file, .line = (int)row + 1, .column = (int)column + 1};
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

static const char *converted(struct arena *arena, const char *encoding, const char *bytes, size_t size, size_t *length)
{
	enum { AT_MOST = 3 }; /* bytes of UTF-8 for one of a single-byte or two-byte encoding */
	iconv_t to = iconv_open("UTF-8", encoding);
	if (to == (iconv_t)-1)
		return NULL;
	size_t room = size * AT_MOST + 1, left = room - 1, unread = size;
	char *out = arena_alloc(arena, room), *end = out, *in = arena_copy_span(arena, bytes, size);
	size_t done = iconv(to, &in, &unread, &end, &left);
	iconv_close(to);
	*end = '\0';
	*length = (size_t)(end - out);
	return done == (size_t)-1 ? NULL : out;
}

static bool has_mark(const char *bytes, size_t size, unsigned char first, unsigned char second)
{
	return size >= 2 && (unsigned char)bytes[0] == first && (unsigned char)bytes[1] == second;
}

/* A text of UTF-16 without a mark: every second byte of its start is zero. */
static const char *wide_without_mark(const char *bytes, size_t size)
{
	enum { LOOKED_AT = 64 };
	size_t even = 0, odd = 0, looked = size < LOOKED_AT ? size / 2 * 2 : LOOKED_AT;
	for (size_t i = 0; i < looked; i++)
		*(i % 2 ? &odd : &even) += bytes[i] == '\0';
	if (looked < 4 || even + odd < looked / 3)
		return NULL;
	return odd > even ? "UTF-16LE" : "UTF-16BE";
}

/* The text as UTF-8, or NULL after saying why it is none. */
static const char *decoded(struct arena *arena, const char *name, const char *bytes, size_t size,
	struct problems *faults, struct problems *doubts)
{
	struct problems odd = {.arena = arena};
	const char *wide = has_mark(bytes, size, 0xFF, 0xFE) ? "UTF-16LE"
		: has_mark(bytes, size, 0xFE, 0xFF)	     ? "UTF-16BE"
							     : wide_without_mark(bytes, size);
	bool marked = has_mark(bytes, size, 0xFF, 0xFE) || has_mark(bytes, size, 0xFE, 0xFF);
	size_t skipped = marked ? 2 : 0, length = size;
	const char *text = bytes;
	if (wide)
		text = converted(arena, wide, bytes + skipped, size - skipped, &length);
	else if (!document_is_text(name, bytes, size, &odd) && !memchr(bytes, 0, size)) {
		text = converted(arena, "WINDOWS-1252", bytes, size, &length);
		if (text)
			problem_add(doubts, PROBLEM_CELL_INTERPRETED, (struct place){.file = name},
				"not UTF-8: read as Western European text (windows-1252)");
	}
	if (!text)
		problem_add(faults, PROBLEM_NOT_XML, (struct place){.file = name},
			"no text in UTF-8, UTF-16 or windows-1252, and no workbook");
	else if (!document_is_text(name, text, length, faults))
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
