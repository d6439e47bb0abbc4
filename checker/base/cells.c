#include "base/cells.h"

#include <stdlib.h>
#include <string.h>

static const char MARK[] = "\xEF\xBB\xBF";

/* ---- writing ---- */

void cells_begin(struct text *out)
{
	text_add(out, MARK);
}

/* A spreadsheet would run it as a formula; a plain number it takes as that. */
static bool would_run(const char *content)
{
	char *end;
	if (!*content || !strchr("=+-@\t\r", *content))
		return false;
	strtod(content, &end);
	return end == content || *end;
}

static void add_cell(struct text *out, const char *content)
{
	bool formula = would_run(content), quote = formula || strpbrk(content, ",\"\r\n") != NULL;
	if (quote)
		text_add_char(out, '"');
	if (formula)
		text_add_char(out, '\'');
	for (const char *c = content; *c; c++) {
		if (*c == '"')
			text_add_char(out, '"');
		text_add_char(out, *c);
	}
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

static const char *trimmed(struct arena *arena, const struct text *text)
{
	const char *from = text->data, *to = from + text->length;
	while (from < to && strchr(" \t\r\n", *from))
		from++;
	while (to > from && strchr(" \t\r\n", to[-1]))
		to--;
	if (to - from > 1 && *from == '\'' && would_run(from + 1))
		from++;
	return arena_copy_span(arena, from, (size_t)(to - from));
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
		text_add_char(&cell, *reader->at); /* what stands behind a closing quote is kept too */
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
