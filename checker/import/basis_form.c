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
	size_t at;    /* column of the parameters */
	size_t value; /* of the values: beside it, or after columns that are blank there */
	bool units;   /* and the units beside these */
	struct sheet_cell *cells;
	struct sheet_origin *origins;
	size_t rows, columns;
};

static bool is_parameter(const struct unfolding *all, size_t row, size_t column, size_t value)
{
	const struct sheet_cell *cell = sheet_at(all->sheet, row, column), *beside = sheet_at(all->sheet, row, value);
	for (size_t k = column + 1; k < value; k++)
		if (sheet_at(all->sheet, row, k)->kind != SHEET_EMPTY)
			return false;
	return cell->kind == SHEET_TEXT && (beside->kind == SHEET_TEXT || beside->kind == SHEET_NUMBER) &&
		basis_parameter(all->arena, all->words, cell->text).subject;
}

static bool heads_values(const struct unfolding *all, const char *text)
{
	return *text && text_same(fields_find(all->arena, all->words, LISTS_BASIS, text).name, "value");
}

/* How many parameters the column has with their values in that other; `*units`: how many of these have units beside them. */
static size_t parameters_in(const struct unfolding *all, size_t column, size_t value, size_t *units)
{
	size_t known = 0;
	*units = 0;
	for (size_t i = 0; i < all->sheet->rows; i++) {
		bool is = is_parameter(all, i, column, value);
		known += is;
		*units += is && value + 1 < all->sheet->columns &&
			words_unit(all->arena, all->words, sheet_at(all->sheet, i, value + 1)->text, true) != NULL;
	}
	return known;
}

/* The column with the most parameters, four at least; false: there is none, or a heading stands over its values. */
static bool find_column(struct unfolding *all)
{
	enum { LEAST = 4, FARTHEST = 3 };
	size_t most = 0, units;
	for (size_t k = 0; k + 1 < all->sheet->columns; k++) {
		for (size_t v = k + 1; v < all->sheet->columns && v <= k + FARTHEST; v++) {
			size_t known = parameters_in(all, k, v, &units);
			if (known <= most)
				continue;
			most = known;
			all->at = k;
			all->value = v;
			all->units = units > 0;
		}
	}
	for (size_t i = 0; i < all->sheet->rows && !is_parameter(all, i, all->at, all->value); i++)
		if (heads_values(all, sheet_at(all->sheet, i, all->value)->text))
			return false;
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
	const struct sheet_cell *cell = sheet_at(all->sheet, row, all->value);
	const struct sheet_origin origin = sheet_origin(all->sheet, row, all->value);
	struct sheet_cell value = *cell, bound = {.text = "", .kind = SHEET_EMPTY};
	for (size_t i = 0; i < sizeof bounds / sizeof *bounds && cell->kind == SHEET_TEXT; i++)
		if (text_ends(cell->text, bounds[i])) {
			size_t length = strlen(cell->text) - strlen(bounds[i]);
			value.text = arena_copy_span(all->arena, cell->text, length);
			bound = (struct sheet_cell){.text = bounds[i] + 1, .kind = SHEET_TEXT, .hidden = cell->hidden};
		}
	put(all, all->at + VALUE, value, origin);
	if (bound.kind == SHEET_TEXT)
		put(all, all->at + REMARK, bound, origin);
}

static bool is_unit(const struct unfolding *all, const struct sheet_cell *cell)
{
	return cell->kind == SHEET_TEXT &&
		(strspn(cell->text, "-[]() ") == strlen(cell->text) ||
			words_unit(all->arena, all->words, cell->text, true));
}

/* "2.1" before a parameter numbers the rows, and says nothing. */
static void put_number(struct unfolding *all, size_t row, size_t column)
{
	struct sheet_cell cell = *sheet_at(all->sheet, row, column);
	if (strspn(cell.text, "0123456789.()") == strlen(cell.text))
		cell = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
	put(all, column, cell, sheet_origin(all->sheet, row, column));
}

static void unfold_row(struct unfolding *all, size_t row)
{
	size_t extra = all->at + NAMED; /* what stands left of the parameters stays there */
	for (size_t k = 0; k < all->columns; k++)
		put(all, k, (struct sheet_cell){.text = "", .kind = SHEET_EMPTY},
			sheet_origin(all->sheet, row, all->at));
	for (size_t k = 0; k < all->sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(all->sheet, row, k);
		const struct sheet_origin origin = sheet_origin(all->sheet, row, k);
		bool unit = k == all->value + 1 && all->units && is_unit(all, cell);
		bool remark = k > all->value && k <= all->value + 1 + all->units &&
			all->cells[all->rows * all->columns + all->at + REMARK].kind == SHEET_EMPTY;
		if (cell->kind == SHEET_EMPTY)
			continue;
		if (k < all->at)
			put_number(all, row, k);
		else if (k == all->at)
			put(all, all->at + PARAMETER, *cell, origin);
		else if (k == all->value)
			put_value(all, row);
		else if (unit)
			put(all, all->at + UNIT, *cell, origin);
		else if (remark)
			put(all, all->at + REMARK, *cell, origin);
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
			(struct sheet_cell){
				.text = k < all->at ? "Section" : headings[k - all->at < NAMED ? k - all->at : REMARK],
				.kind = SHEET_TEXT},
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
