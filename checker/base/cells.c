#include "base/cells.h"

#include <string.h>

#include "base/count.h"

static const char MARK[] = "\xEF\xBB\xBF", DIGITS[] = "0123456789";

/* ---- writing ---- */

void cells_begin(struct text *out)
{
	text_add(out, MARK);
}

/* A plain number, as a spreadsheet takes it: -12.5e3. Nothing of a country's own, no "inf", no hexadecimal. */
static bool is_number(const char *at)
{
	size_t whole, part;
	at += *at == '+' || *at == '-';
	at += whole = strspn(at, DIGITS);
	if (*at == '.') {
		at += 1 + (part = strspn(at + 1, DIGITS));
		if (!part)
			return false;
	}
	if (whole && (*at == 'e' || *at == 'E')) {
		at += 1 + (at[1] == '+' || at[1] == '-');
		at += part = strspn(at, DIGITS);
		if (!part)
			return false;
	}
	return whole && *at == '\0';
}

/* What makes a formula of the cell that it begins: in the East also the wide forms U+FF1D, FF0B, FF0D and FF20. */
static bool opens_formula(const char *at)
{
	static const char *const wide[] = {"\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\xA0"};
	if (*at && strchr("=+-@", *at))
		return true;
	for (size_t i = 0; i < COUNT(wide); i++)
		if (strncmp(at, wide[i], strlen(wide[i])) == 0)
			return true;
	return false;
}

/*
 * Could a cell begin at the character that follows `c`? After the start of one (`begins`) and what a program passes over there, and
 * after what ends a cell in another country: there the quotes around the whole cell are not seen, because no cell begins with them.
 */
static bool may_begin_after(char c, bool begins)
{
	return strchr(";\t\r\n", c) || (begins && strchr(" \"", c));
}

static void add_guarded(struct text *out, const char *content)
{
	bool begins = !is_number(content);
	if (*content == '\t' || *content == '\r')
		text_add_char(out, '\'');
	for (const char *c = content; *c; c++) {
		if (begins && opens_formula(c))
			text_add_char(out, '\'');
		if (*c == '"')
			text_add_char(out, '"');
		text_add_char(out, *c);
		begins = may_begin_after(*c, begins);
	}
}

static void add_cell(struct text *out, const char *content)
{
	bool quote = strpbrk(content, ",;\t\"\r\n") != NULL || (opens_formula(content) && !is_number(content));
	if (quote)
		text_add_char(out, '"');
	add_guarded(out, content);
	if (quote)
		text_add_char(out, '"');
}

void cells_row(struct text *out, const char *const *cells, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		add_cell(out, cells[i]);
		text_add(out, i + 1 == count ? "\r\n" : ",");
	}
}

/* ---- reading ---- */

struct reader {
	struct arena *arena;
	const char *at;
	char separator;
	int line, unclosed;
};

static char likely_separator(const char *bytes)
{
	static const char candidates[] = ",;\t";
	for (const char *line = bytes; *line;) {
		size_t length = strcspn(line, "\r\n"), most = 0;
		char found = 0;
		for (const char *candidate = candidates; *candidate; candidate++) {
			size_t many = 0;
			bool quoted = false;
			for (size_t i = 0; i < length; i++) {
				quoted = quoted != (line[i] == '"');
				many += !quoted && line[i] == *candidate;
			}
			if (many > most) {
				most = many;
				found = *candidate;
			}
		}
		if (found)
			return found;
		line += length;
		line += strspn(line, "\r\n");
	}
	return ',';
}

/* Blanks at both ends taken off, and the apostrophes that writing puts before what would open a formula. */
static const char *trimmed(struct arena *arena, const struct text *text)
{
	const char *from = text->data, *to = from + text->length;
	while (from < to && strchr(" \t\r\n", *from))
		from++;
	while (to > from && strchr(" \t\r\n", to[-1]))
		to--;
	char *cell = arena_copy_span(arena, from, (size_t)(to - from)), *end = cell;
	bool begins = true;
	for (const char *c = cell; *c; c++) {
		bool guard =
			*c == '\'' && begins && (opens_formula(c + 1) || (c == cell && strchr("\t\r", c[1]) && c[1]));
		begins = guard || may_begin_after(*c, begins);
		if (!guard)
			*end++ = *c;
	}
	*end = '\0';
	return cell;
}

static void read_quoted(struct reader *reader, struct text *cell)
{
	int begun = reader->line;
	for (reader->at++; *reader->at; reader->at++) {
		if (*reader->at == '"' && reader->at[1] != '"') {
			reader->at++;
			return;
		}
		reader->at += *reader->at == '"';
		reader->line += *reader->at == '\n';
		text_add_char(cell, *reader->at);
	}
	if (!reader->unclosed)
		reader->unclosed = begun;
}

static const char *read_cell(struct reader *reader)
{
	struct text cell = text_in(reader->arena);
	const char *start = reader->at + strspn(reader->at, " ");
	if (*start == '"') {
		reader->at = start;
		read_quoted(reader, &cell);
	}
	for (; *reader->at && *reader->at != reader->separator && !strchr("\r\n", *reader->at); reader->at++)
		text_add_char(&cell, *reader->at); /* what follows a closing quote is kept too */
	return trimmed(reader->arena, &cell);
}

static struct cells_line read_line(struct reader *reader)
{
	struct cells_line line = {.line = reader->line};
	const char **cells = NULL;
	size_t capacity = 0;
	for (bool more = true; more;) {
		cells = arena_grow(reader->arena, cells, line.count, &capacity, sizeof *cells);
		cells[line.count++] = read_cell(reader);
		more = *reader->at && *reader->at == reader->separator;
		reader->at += more;
	}
	if (*reader->at == '\r')
		reader->at++;
	if (*reader->at == '\n')
		reader->at++;
	reader->line++;
	line.cells = cells;
	return line;
}

struct cells_file cells_read(struct arena *arena, const char *bytes, char separator)
{
	struct cells_file csv = {.count = 0};
	struct cells_line *lines = NULL;
	size_t capacity = 0;
	if (strncmp(bytes, MARK, sizeof MARK - 1) == 0)
		bytes += sizeof MARK - 1;
	csv.separator = separator ? separator : likely_separator(bytes);
	struct reader reader = {.arena = arena, .at = bytes, .separator = csv.separator, .line = 1};
	for (int row = 1; *reader.at; row++) {
		struct cells_line line = read_line(&reader);
		line.row = row;
		bool empty = true;
		for (size_t i = 0; i < line.count; i++)
			empty = empty && !*line.cells[i];
		if (empty)
			continue;
		lines = arena_grow(arena, lines, csv.count, &capacity, sizeof *lines);
		lines[csv.count++] = line;
	}
	csv.lines = lines;
	csv.unclosed = reader.unclosed;
	return csv;
}
