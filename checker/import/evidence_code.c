/* What the codes of a sheet stand for: a legend of services or fluids. Part of evidence.h. */
#include "import/evidence.h"

#include <string.h>

static const char begin[] =
	"service code|service codes|services|fluid codes|fluid code|codes|code|legend|key|abbreviations|medien|"
	"medium|medienkurzel|kurzel|legende|abkurzungen|service legend|fluid legend|line services|service "
	"key|fluids|legende medien|fluid list|list of fluids|codes fluides|fluides|abreviations|fluidos|codigos";

/* "RX reflux", "RX = reflux", "RX: reflux": what follows the code in an entry; NULL: it is of another. */
static const char *after_code(const char *entry, const char *code)
{
	size_t length = strlen(code);
	entry += strspn(entry, " ");
	if (strncmp(entry, code, length) != 0 || !strchr(" =:-", entry[length]))
		return NULL;
	const char *rest = entry + length + strspn(entry + length, " =:-");
	return *rest ? rest : NULL;
}

/* "Legend: RA = rich amine; LA = lean amine" */
static const char *in_one_cell(struct arena *arena, const struct sheet *sheet, const char *code)
{
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		const char *colon = cell->kind == SHEET_TEXT && !cell->merged ? strchr(cell->text, ':') : NULL;
		if (!colon ||
			!words_are_one_of(arena,
				words_fold(arena, arena_copy_span(arena, cell->text, (size_t)(colon - cell->text))),
				begin))
			continue;
		for (const char *at = colon + 1; *at; at += strspn(at, ",; \n")) {
			size_t length = evidence_entry_length(at);
			const char *meaning = after_code(arena_copy_span(arena, at, length), code);
			if (meaning)
				return meaning;
			at += length;
		}
	}
	return NULL;
}

/* The words before the colon, or all of the cell, begin a legend. */
static bool is_beginning(struct arena *arena, const struct sheet_cell *cell)
{
	const char *text = cell->kind == SHEET_TEXT && !cell->merged ? cell->text : "";
	return words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, text, strcspn(text, ":"))), begin);
}

/* "RA = rich amine" in the cells at the right of a word for a legend, and in those of the rows below it. */
static const char *in_cells(struct arena *arena, const struct sheet *sheet, const char *code)
{
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		if (!is_beginning(arena, &sheet->cells[i]))
			continue;
		size_t row = i / sheet->columns, from = i % sheet->columns + 1;
		for (bool goes_on = true; goes_on && row < sheet->rows; row++, from = 0) {
			goes_on = from > 0;
			for (size_t k = from; k < sheet->columns; k++) {
				const struct sheet_cell *cell = sheet_at(sheet, row, k);
				bool entry = cell->kind == SHEET_TEXT && !cell->merged && strchr(cell->text, '=');
				const char *meaning = entry ? after_code(cell->text, code) : NULL;
				if (meaning)
					return meaning;
				goes_on = goes_on || entry;
			}
		}
	}
	return NULL;
}

/* How many cells of the row hold something. */
static size_t filled(const struct sheet *sheet, size_t row)
{
	size_t count = 0;
	for (size_t k = 0; k < sheet->columns; k++)
		count += sheet_at(sheet, row, k)->kind != SHEET_EMPTY && !sheet_at(sheet, row, k)->merged;
	return count;
}

static bool is_code(const char *text)
{
	enum { LONGEST = 4 };
	return *text && strlen(text) <= LONGEST &&
		strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == strlen(text) &&
		strspn(text, "0123456789") < strlen(text);
}

/* A code with its meaning beside it, and nothing else in its row. */
static bool is_entry(const struct sheet *sheet, size_t row, size_t column)
{
	return filled(sheet, row) == 2 && sheet_at(sheet, row, column)->kind == SHEET_TEXT &&
		is_code(sheet_at(sheet, row, column)->text) && column + 1 < sheet->columns &&
		sheet_at(sheet, row, column + 1)->kind == SHEET_TEXT;
}

/* Does the row begin a legend: a cell of words for it, alone or over both columns? */
static bool begins(struct arena *arena, const struct sheet *sheet, size_t row)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		if (cell->kind == SHEET_TEXT && words_are_one_of(arena, words_fold(arena, cell->text), begin))
			return true;
	}
	return false;
}

/* "RA | Rich amine" in rows of their own, two at least, below a word for a legend. */
static const char *in_rows(struct arena *arena, const struct sheet *sheet, const char *code)
{
	for (size_t i = 0; i < sheet->rows; i++)
		for (size_t k = 0; k + 1 < sheet->columns; k++) {
			if (!is_entry(sheet, i, k) || strcmp(sheet_at(sheet, i, k)->text, code) != 0)
				continue;
			size_t first = i, last = i;
			while (first > 0 && is_entry(sheet, first - 1, k))
				first--;
			while (last + 1 < sheet->rows && is_entry(sheet, last + 1, k))
				last++;
			while (first > 0 && !filled(sheet, first - 1))
				first--;
			if (last > first && first > 0 && begins(arena, sheet, first - 1))
				return sheet_at(sheet, i, k + 1)->text;
		}
	return NULL;
}

const char *evidence_code(struct arena *arena, const struct sheet *sheet, const char *code)
{
	const char *meaning = is_code(code) ? in_one_cell(arena, sheet, code) : NULL;
	meaning = meaning || !is_code(code) ? meaning : in_cells(arena, sheet, code);
	return meaning || !is_code(code) ? meaning : in_rows(arena, sheet, code);
}
