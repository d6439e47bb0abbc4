/* A design basis without headings, "2.1 | Feed gas flow | 92 MMSCFD", as a table with them. Part of basis.h. */
#include "import/basis.h"

#include <string.h>

#include "base/text.h"
#include "import/fields.h"
#include "import/listed.h"

enum { PARAMETER, VALUE, UNIT, REMARK, NAMED };

struct unfolding {
	struct arena *arena;
	const struct words *words;
	const struct sheet *sheet;
	size_t at;  /* column of the parameters; the values stand beside it */
	bool units; /* and the units beside these */
	struct sheet_cell *cells;
	struct sheet_origin *origins;
	size_t rows, columns;
};

static bool is_parameter(const struct unfolding *all, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(all->sheet, row, column),
				*beside = sheet_at(all->sheet, row, column + 1);
	return cell->kind == SHEET_TEXT && (beside->kind == SHEET_TEXT || beside->kind == SHEET_NUMBER) &&
		basis_parameter(all->arena, all->words, cell->text).subject;
}

static bool heads_values(const struct unfolding *all, const char *text)
{
	return *text && text_same(fields_find(all->arena, all->words, LISTS_BASIS, text).name, "value");
}

/* The column with the most parameters, four at least; false: there is none, or a heading stands over its values. */
static bool find_column(struct unfolding *all)
{
	enum { LEAST = 4 };
	size_t most = 0;
	for (size_t k = 0; k + 1 < all->sheet->columns; k++) {
		size_t known = 0, units = 0;
		for (size_t i = 0; i < all->sheet->rows; i++) {
			if (heads_values(all, sheet_at(all->sheet, i, k + 1)->text))
				return false;
			known += is_parameter(all, i, k);
			units += is_parameter(all, i, k) &&
				words_unit(all->arena, all->words, sheet_at(all->sheet, i, k + 2)->text, true) != NULL;
		}
		if (known > most) {
			most = known;
			all->at = k;
			all->units = units * 2 > known;
		}
	}
	return most >= LEAST;
}

static void put(struct unfolding *all, size_t column, struct sheet_cell cell, struct sheet_origin origin)
{
	all->cells[all->rows * all->columns + column] = cell;
	all->origins[all->rows * all->columns + column] = origin;
}

/* "4 ppmv max": the bound goes where remarks stand. */
static void put_value(struct unfolding *all, size_t row)
{
	static const char *const bounds[] = {" max", " max.", " maximum", " min", " min.", " minimum"};
	const struct sheet_cell *cell = sheet_at(all->sheet, row, all->at + 1);
	const struct sheet_origin origin = sheet_origin(all->sheet, row, all->at + 1);
	struct sheet_cell value = *cell, bound = {.text = "", .kind = SHEET_EMPTY};
	for (size_t i = 0; i < sizeof bounds / sizeof *bounds && cell->kind == SHEET_TEXT; i++)
		if (text_ends(cell->text, bounds[i])) {
			size_t length = strlen(cell->text) - strlen(bounds[i]);
			value.text = arena_copy_span(all->arena, cell->text, length);
			bound = (struct sheet_cell){.text = bounds[i] + 1, .kind = SHEET_TEXT, .hidden = cell->hidden};
		}
	put(all, VALUE, value, origin);
	if (bound.kind == SHEET_TEXT)
		put(all, REMARK, bound, origin);
}

static void unfold_row(struct unfolding *all, size_t row)
{
	size_t extra = NAMED;
	for (size_t k = 0; k < all->columns; k++)
		put(all, k, (struct sheet_cell){.text = "", .kind = SHEET_EMPTY},
			sheet_origin(all->sheet, row, all->at));
	for (size_t k = 0; k < all->sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(all->sheet, row, k);
		const struct sheet_origin origin = sheet_origin(all->sheet, row, k);
		bool remark = k == all->at + 2 + all->units &&
			all->cells[all->rows * all->columns + REMARK].kind == SHEET_EMPTY;
		if (cell->kind == SHEET_EMPTY)
			continue;
		if (k == all->at)
			put(all, PARAMETER, *cell, origin);
		else if (k == all->at + 1)
			put_value(all, row);
		else if (k == all->at + 2 && all->units)
			put(all, UNIT, *cell, origin);
		else if (remark)
			put(all, REMARK, *cell, origin);
		else
			put(all, extra++, *cell, origin);
	}
	all->rows++;
}

static void put_headings(struct unfolding *all)
{
	static const char *const headings[NAMED] = {"Parameter", "Value", "Unit", "Remark"};
	for (size_t k = 0; k < all->columns; k++)
		put(all, k,
			k < NAMED ? (struct sheet_cell){.text = headings[k], .kind = SHEET_TEXT}
				  : (struct sheet_cell){.text = "", .kind = SHEET_EMPTY},
			sheet_origin(all->sheet, 0, all->at));
	all->rows++;
}

const struct sheet *basis_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet)
{
	enum { MOST_ROWS = 400, MOST_COLUMNS = 12 };
	struct unfolding all = {.arena = arena, .words = words, .sheet = sheet};
	if (sheet->columns < 2 || sheet->columns > MOST_COLUMNS || sheet->rows > MOST_ROWS || !find_column(&all) ||
		listed_find(arena, words, sheet).lists != LISTS_NOTHING)
		return sheet;
	all.columns = NAMED + sheet->columns;
	all.cells = arena_alloc(arena, (sheet->rows + 1) * all.columns * sizeof *all.cells);
	all.origins = arena_alloc(arena, (sheet->rows + 1) * all.columns * sizeof *all.origins);
	put_headings(&all);
	for (size_t i = 0; i < sheet->rows; i++)
		unfold_row(&all, i);
	all.origins[0] = sheet_origin(sheet, 0, 0); /* from its first cell to its last: the block is named by them */
	all.origins[all.rows * all.columns - 1] = sheet_origin(sheet, sheet->rows - 1, sheet->columns - 1);
	struct sheet *out = arena_alloc(arena, sizeof *out);
	*out = *sheet;
	out->rows = all.rows;
	out->columns = all.columns;
	out->cells = all.cells;
	out->origins = all.origins;
	out->widths = NULL;
	return out;
}
