#include "import/parts.h"

#include <string.h>

#include "import/listed.h"

enum { HEAD_ROWS = 12, FEWEST = 3, MOST = 6 };

/* Where the number stands: the row of its heading, the columns of its parts, and which of them numbers the lines. */
struct number {
	size_t row, first, count, sequence;
	bool inches[MOST]; /* a size without the mark of inches */
};

static bool is_filled(const struct sheet *sheet, size_t row, size_t column)
{
	return sheet_at(sheet, row, column)->kind != SHEET_EMPTY;
}

/* What stands over the column is the heading to its left, merged or left blank. */
static bool goes_on(const struct sheet *sheet, size_t row, size_t first, size_t column)
{
	const struct sheet_cell *cell = sheet_at(sheet, row, column);
	return cell->kind == SHEET_EMPTY ||
		(cell->merged && strcmp(cell->text, sheet_at(sheet, row, first)->text) == 0);
}

static bool is_sequence(struct arena *arena, const char *heading)
{
	static const char words[] =
		"seq|seq no|sequence|sequence no|sequence number|no|nr|number|num|numero|serial|serial no|"
		"running no|lfd nr|laufende nr|ltg nr|line no|volgnr|secuencia";
	return words_are_one_of(arena, words_fold(arena, heading), words);
}

/* Are there three parts or more under the heading, one that numbers the lines and one that is known? */
static bool find_parts(struct arena *arena, const struct words *words, const struct sheet *sheet, struct number *number)
{
	bool known = false, numbered = false;
	for (size_t k = number->first; k < sheet->columns && number->count < MOST; k++) {
		const char *below = sheet_at(sheet, number->row + 1, k)->text;
		if ((k > number->first && !goes_on(sheet, number->row, number->first, k)) || !*below)
			break;
		struct field field = fields_find(arena, words, LISTS_LINES, below);
		bool size = field.name && strcmp(field.name, "size") == 0;
		known = known || size || text_same(field.name, "piping-class");
		number->inches[number->count] = size && text_same(field.unit, "in");
		if (is_sequence(arena, below)) {
			if (numbered)
				return false;
			numbered = true;
			number->sequence = k;
		}
		number->count++;
	}
	return known && numbered && number->count >= FEWEST;
}

static bool find_number(
	struct arena *arena, const struct words *words, const struct sheet *sheet, struct number *number)
{
	for (size_t i = 0; i + 2 < sheet->rows && i < HEAD_ROWS; i++)
		for (size_t k = 0; k + FEWEST < sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			*number = (struct number){.row = i, .first = k};
			if (cell->kind == SHEET_TEXT && is_filled(sheet, i + 1, k) && is_filled(sheet, i + 1, k + 1) &&
				listed_is_key(arena, words, LISTS_LINES, cell->text) &&
				find_parts(arena, words, sheet, number))
				return true;
		}
	return false;
}

/* "10", "SG", "4001", "6A1S": 10"-SG-4001-6A1S; NULL where nothing numbers the line. */
static const char *tag_of(struct arena *arena, const struct sheet *sheet, const struct number *number, size_t row)
{
	struct text tag = text_in(arena);
	if (!is_filled(sheet, row, number->sequence))
		return NULL;
	for (size_t i = 0; i < number->count; i++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, number->first + i);
		if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED)
			return NULL;
		if (cell->kind == SHEET_EMPTY || strcmp(cell->text, "-") == 0)
			continue;
		text_addf(&tag, "%s%s%s", tag.length ? "-" : "", cell->text,
			number->inches[i] && !strchr(cell->text, '"') ? "\"" : "");
	}
	return tag.data;
}

const struct sheet *parts_join(struct arena *arena, const struct words *words, const struct sheet *sheet)
{
	struct number number;
	if (sheet->columns <= FEWEST || !find_number(arena, words, sheet, &number))
		return sheet;
	size_t count = sheet->rows * sheet->columns;
	struct sheet_cell *cells = arena_alloc(arena, count * sizeof *cells);
	struct sheet_origin *origins = arena_alloc(arena, count * sizeof *origins);
	for (size_t i = 0; i < count; i++) {
		cells[i] = *sheet_at(sheet, i / sheet->columns, i % sheet->columns);
		origins[i] = sheet_origin(sheet, i / sheet->columns, i % sheet->columns);
	}
	struct sheet_cell *head = cells + number.row * sheet->columns, *below = head + sheet->columns;
	const struct sheet_cell empty = {.text = "", .kind = SHEET_EMPTY};
	const char *key = head[number.first].text;
	for (size_t k = number.first; k < number.first + number.count; k++) {
		head[k] = below[k];
		head[k].merged = false;
		below[k] = empty;
	}
	head[number.sequence].text = key;
	for (size_t row = number.row + 2; row < sheet->rows; row++) {
		const char *tag = tag_of(arena, sheet, &number, row);
		if (tag)
			cells[row * sheet->columns + number.sequence] = (struct sheet_cell){.text = tag,
				.kind = SHEET_TEXT,
				.hidden = sheet_at(sheet, row, number.sequence)->hidden};
	}
	struct sheet *out = arena_alloc(arena, sizeof *out);
	*out = *sheet;
	out->cells = cells;
	out->origins = origins;
	out->widths = NULL;
	return out;
}
