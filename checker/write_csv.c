#include "write.h"

#include <string.h>

#include "action_list.h"
#include "text.h"

/* RFC 4180 with a byte order mark, which spreadsheets need to read UTF-8. */

static void cell(struct text *line, const char *content, bool last)
{
	bool formula = *content && strchr("=+-@\t\r", *content) != NULL; /* a spreadsheet would run it */
	bool quote = formula || strpbrk(content, ",\"\r\n") != NULL;
	if (quote)
		text_add_char(line, '"');
	if (formula)
		text_add_char(line, '\'');
	for (const char *c = content; *c; c++) {
		if (*c == '"')
			text_add_char(line, '"');
		text_add_char(line, *c);
	}
	if (quote)
		text_add_char(line, '"');
	text_add(line, last ? "\r\n" : ",");
}

static void row(struct text *out, const char *const *cells)
{
	for (size_t i = 0; i < ACTION_COLUMNS; i++)
		cell(out, cells[i], i + 1 == ACTION_COLUMNS);
}

bool write_csv(const struct review *review, FILE *out)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);
	const struct action_row *rows;
	size_t count = action_list(&arena, review, &rows);
	text_add(&text, "\xEF\xBB\xBF");
	row(&text, action_heads);
	for (size_t i = 0; i < count; i++)
		row(&text, rows[i].cells);
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}
