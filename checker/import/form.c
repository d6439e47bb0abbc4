#include "import/form.h"

#include <string.h>

#include "import/listed.h"

enum { MOST_COLUMNS = 40, WIDTH = 4, LABEL = 0, UNIT = 1, VALUE = 2 };

struct form {
	struct arena *arena;
	const struct words *words;
	const struct sheet *sheet;
	bool labels[MOST_COLUMNS];	 /* of the columns that hold labels */
	const char *sides[MOST_COLUMNS]; /* what the columns of values of a side are headed with; NULL: of none */
	size_t label_columns, keys, titles, side_columns;
	struct sheet_cell *cells;
	struct sheet_origin *origins;
	size_t rows;
};

static bool is_copy(const struct sheet *sheet, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(sheet, row, column);
	return column && cell->merged && strcmp(cell->text, sheet_at(sheet, row, column - 1)->text) == 0;
}

static bool is_label(const struct form *form, const struct sheet_cell *cell)
{
	enum { LONGEST = 60 };
	return cell->kind == SHEET_TEXT && strlen(cell->text) <= LONGEST && !strchr("0123456789<>~", *cell->text) &&
		fields_find(form->arena, form->words, LISTS_EQUIPMENT, cell->text).name != NULL;
}

/* "Mantelseite", "Tube side" over values: which side they are of. */
static bool heads_side(const struct form *form, const struct sheet_cell *cell)
{
	const char *concepts = cell->kind == SHEET_TEXT
		? words_concepts(form->arena, form->words, words_fold(form->arena, cell->text))
		: "";
	return text_has_word("tube-side shell-side hot-side cold-side tubes shells", concepts);
}

/* What stands beside it, up to the next column of labels, is one value, with its unit or without; or one for each of two sides. */
static bool has_value(const struct form *form, size_t row, size_t column)
{
	size_t values = 0, of_sides = 0;
	for (size_t k = column + 1; k < form->sheet->columns && !form->labels[k]; k++) {
		bool filled = sheet_at(form->sheet, row, k)->kind != SHEET_EMPTY && !is_copy(form->sheet, row, k);
		bool of_side = k < MOST_COLUMNS && form->sides[k];
		values += filled && !of_side;
		of_sides += filled && of_side;
	}
	return of_sides ? values <= 1 : values == 1 || values == 2;
}

/* Two columns beside each other, one headed with each of two sides, no values above that. */
static void find_sides(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	for (size_t i = 0; i < sheet->rows && !form->side_columns; i++) {
		size_t found = 0, last = 0;
		for (size_t k = 1; k < sheet->columns && k < MOST_COLUMNS; k++)
			if (heads_side(form, sheet_at(sheet, i, k)) && !is_copy(sheet, i, k)) {
				last = k;
				found++;
			}
		if (found != 2 || form->labels[last])
			continue;
		for (size_t k = 1; k <= last; k++)
			if (heads_side(form, sheet_at(sheet, i, k)) && !is_copy(sheet, i, k))
				form->sides[k] = sheet_at(sheet, i, k)->text;
		form->side_columns = found;
	}
}

/* Columns most of whose words are labels, two of them at least in each. */
static void find_labels(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	for (size_t k = 0; k < sheet->columns && k < MOST_COLUMNS; k++) {
		size_t known = 0, others = 0;
		for (size_t i = 0; i < sheet->rows; i++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			bool label = is_label(form, cell) && !is_copy(sheet, i, k);
			bool title = cell->kind == SHEET_TEXT && table_is_tag(cell->text);
			known += label;
			others += cell->kind != SHEET_EMPTY && !label && !title && !is_copy(sheet, i, k);
		}
		form->labels[k] = known > 1 && known >= others;
		form->label_columns += form->labels[k];
	}
}

/*
 * "Oper. press. btm | 165", "Foam factor | 0.75" beside labels that are known: columns of words, some of them known, each of which
 * has a label at its left in the same row and its own value at its right.
 */
static void find_paired_labels(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	size_t first = 0, known_columns = form->label_columns;
	while (first < sheet->columns && first < MOST_COLUMNS && !form->labels[first])
		first++;
	for (size_t k = first + 2; known_columns && k + 1 < sheet->columns && k < MOST_COLUMNS; k++) {
		size_t known = 0, paired = 0, others = 0;
		for (size_t i = 0; i < sheet->rows && !form->labels[k] && !form->sides[k]; i++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			bool words = cell->kind == SHEET_TEXT &&
				!words_unit(form->arena, form->words, cell->text, true) &&
				!strchr("0123456789<>~", *cell->text);
			bool pair = words && sheet_at(sheet, i, first)->kind == SHEET_TEXT &&
				sheet_at(sheet, i, first + 1)->kind + sheet_at(sheet, i, first + 2)->kind !=
					SHEET_EMPTY &&
				(sheet_at(sheet, i, k + 1)->kind != SHEET_EMPTY ||
					(k + 2 < sheet->columns && sheet_at(sheet, i, k + 2)->kind != SHEET_EMPTY));
			if (cell->kind == SHEET_EMPTY || is_copy(sheet, i, k))
				continue;
			known += is_label(form, cell);
			paired += pair;
			others += !pair;
		}
		if (known > 1 && paired > 3 * others) {
			form->labels[k] = true;
			form->label_columns++;
		}
	}
}

/* "C-1201 Absorber" over labels, nothing beside it: the item that they are of. */
static bool is_title(const struct form *form, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(form->sheet, row, column);
	if (cell->kind != SHEET_TEXT || !table_is_tag(cell->text) || is_copy(form->sheet, row, column))
		return false;
	for (size_t k = column + 1; k < form->sheet->columns && !form->labels[k]; k++)
		if (sheet_at(form->sheet, row, k)->kind != SHEET_EMPTY && !is_copy(form->sheet, row, k))
			return false;
	return row + 1 < form->sheet->rows && sheet_at(form->sheet, row + 1, column)->kind == SHEET_TEXT;
}

/* Does each label have a value, and does one of them name the item? A list with one record a column has many values. */
static bool is_form(struct form *form)
{
	size_t with = 0, without = 0;
	for (size_t i = 0; i < form->sheet->rows; i++)
		for (size_t k = 0; k < form->sheet->columns && k < MOST_COLUMNS; k++) {
			const struct sheet_cell *cell = sheet_at(form->sheet, i, k);
			form->titles += form->labels[k] && is_title(form, i, k);
			if (!form->labels[k] || !is_label(form, cell) || is_copy(form->sheet, i, k))
				continue;
			bool value = has_value(form, i, k);
			with += value;
			without += !value;
			form->keys += value && listed_is_key(form->arena, form->words, LISTS_EQUIPMENT, cell->text);
		}
	return with > 3 * without && (form->titles || ((form->label_columns > 1 || form->side_columns) && form->keys));
}

static void put(struct form *form, size_t at, size_t row, size_t column)
{
	size_t place = form->rows * WIDTH + at;
	form->cells[place] = *sheet_at(form->sheet, row, column);
	form->origins[place] = sheet_origin(form->sheet, row, column);
}

/* "Flow | kg/h | 150000 | 146000" under the names of two sides: a label for each, "Shell side Flow". */
static bool unfold_sides(struct form *form, size_t row, size_t from, size_t to)
{
	size_t unit = SIZE_MAX, begun = form->rows;
	const struct sheet_cell *label = sheet_at(form->sheet, row, from);
	bool sided = false;
	for (size_t k = from + 1; k < to && k < MOST_COLUMNS; k++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
		bool side = form->sides[k] && cell->kind != SHEET_EMPTY && !is_copy(form->sheet, row, k);
		bool both = side && k + 1 < to && form->sides[k + 1] && is_copy(form->sheet, row, k + 1);
		sided = sided || (side && !both);
		if (!form->sides[k] && cell->kind != SHEET_EMPTY &&
			words_unit(form->arena, form->words, cell->text, true))
			unit = k;
		if (heads_side(form, cell))
			return false;
	}
	if (!sided || !is_label(form, label))
		return false;
	for (size_t k = from + 1; k < to && k < MOST_COLUMNS; k++) {
		if (!form->sides[k] || sheet_at(form->sheet, row, k)->kind == SHEET_EMPTY ||
			is_copy(form->sheet, row, k))
			continue;
		for (size_t i = 0; i < WIDTH; i++) {
			form->cells[form->rows * WIDTH + i] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
			form->origins[form->rows * WIDTH + i] = sheet_origin(form->sheet, row, k);
		}
		put(form, LABEL, row, from);
		form->cells[form->rows * WIDTH + LABEL].text =
			arena_join(form->arena, form->sides[k], " ", label->text, "");
		if (unit != SIZE_MAX)
			put(form, UNIT, row, unit);
		for (size_t i = 0; i < VALUE; i++)
			form->cells[form->rows * WIDTH + i].merged = form->rows > begun;
		put(form, VALUE, row, k);
		form->rows++;
	}
	return true;
}

/* From a label to the next: label, unit, value, and what more there is. */
static void unfold(struct form *form, size_t row, size_t from, size_t to)
{
	size_t values = 0, filled = 0;
	for (size_t k = from; k < to; k++)
		if (form->side_columns && heads_side(form, sheet_at(form->sheet, row, k)) && k < MOST_COLUMNS &&
			form->sides[k] && !is_label(form, sheet_at(form->sheet, row, from)))
			return; /* the names of the sides */
	if (unfold_sides(form, row, from, to))
		return;
	for (size_t k = 0; k < WIDTH; k++) {
		form->cells[form->rows * WIDTH + k] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
		form->origins[form->rows * WIDTH + k] = sheet_origin(form->sheet, row, from);
	}
	for (size_t k = from; k < to; k++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
		if (cell->kind == SHEET_EMPTY || (k > from && is_copy(form->sheet, row, k)))
			continue;
		bool unit =
			filled && cell->kind == SHEET_TEXT && words_unit(form->arena, form->words, cell->text, true);
		if (filled && !unit && VALUE + values >= WIDTH) {
			form->rows++; /* no pair: it is kept on a row of its own */
			values = 0;
		}
		put(form, !filled ? LABEL : unit ? UNIT : VALUE + values++, row, k);
		filled++;
	}
	form->rows += filled > 0;
}

/* A title as the tag of what stands below it: a label that the sheet does not have, and the cell. */
static void unfold_title(struct form *form, size_t row, size_t column)
{
	struct sheet_cell *cells = form->cells + form->rows * WIDTH;
	for (size_t k = 0; k < WIDTH; k++) {
		cells[k] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
		form->origins[form->rows * WIDTH + k] = sheet_origin(form->sheet, row, column);
	}
	cells[LABEL] = (struct sheet_cell){.text = "Tag", .kind = SHEET_TEXT, .merged = true};
	put(form, VALUE, row, column);
	form->cells[form->rows * WIDTH + VALUE].merged = false;
	form->rows++;
}

/* Under titles each column of labels by itself; else row by row. */
static void unfold_all(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	size_t passes = form->titles ? sheet->columns : 1;
	for (size_t pass = 0; pass < passes; pass++)
		for (size_t i = 0; i < sheet->rows; i++)
			for (size_t from = 0, to; from < sheet->columns; from = to) {
				for (to = from + 1; to < sheet->columns && !form->labels[to]; to++)
					;
				if (form->titles && from != pass)
					continue;
				if (form->labels[from] && is_title(form, i, from))
					unfold_title(form, i, from);
				else
					unfold(form, i, from, to);
			}
}

/* ---- one parameter of one item a row ---- */

struct long_list {
	size_t head, key, parameter, value, unit; /* the row of headings; columns; unit SIZE_MAX: none */
};

/* Of a row of headings: the column that names the items, where dates of samples stand in none. */
static bool find_long_key(const struct form *form, size_t row, size_t *key)
{
	bool found = false;
	for (size_t k = 0; k < form->sheet->columns; k++) {
		const char *text = sheet_at(form->sheet, row, k)->text;
		if (listed_is_key(form->arena, form->words, LISTS_LABORATORY, text) &&
			!listed_is_key(form->arena, form->words, LISTS_EQUIPMENT, text) &&
			strcmp(words_concepts(form->arena, form->words, words_fold(form->arena, text)), "date") == 0)
			return false;
		if (!found && listed_is_key(form->arena, form->words, LISTS_EQUIPMENT, text)) {
			*key = k;
			found = true;
		}
	}
	return found;
}

/* How many cells of the column, below the row, are labels; none where a word is no label. */
static size_t labels_below(const struct form *form, size_t row, size_t column)
{
	size_t labels = 0, others = 0;
	for (size_t i = row + 1; i < form->sheet->rows; i++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, i, column);
		labels += is_label(form, cell);
		others += cell->kind != SHEET_EMPTY && !is_label(form, cell);
	}
	return labels > 2 * others ? labels : 0;
}

static bool has_tags_below(const struct form *form, size_t row, size_t column)
{
	size_t tags = 0, filled = 0;
	for (size_t i = row + 1; i < form->sheet->rows; i++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, i, column);
		filled += cell->kind != SHEET_EMPTY;
		tags += cell->kind == SHEET_TEXT && table_is_tag(cell->text);
	}
	return tags && tags * 2 > filled;
}

/* A row of headings, and below the one that names the items their tags: a list with one item a row. */
static bool is_list(const struct form *form)
{
	enum { HEAD_ROWS = 8, LEAST = 3 };
	const struct sheet *sheet = form->sheet;
	for (size_t i = 0; i < sheet->rows && i < HEAD_ROWS; i++) {
		size_t key, labels = 0, tags = 0;
		for (size_t k = 0; k < sheet->columns; k++)
			labels += is_label(form, sheet_at(sheet, i, k)) && !is_copy(sheet, i, k);
		if (labels < LEAST || !find_long_key(form, i, &key) || !has_tags_below(form, i, key))
			continue;
		for (size_t k = i + 1; k < sheet->rows; k++)
			tags += sheet_at(sheet, k, key)->kind == SHEET_TEXT &&
				table_is_tag(sheet_at(sheet, k, key)->text);
		if (tags > 1)
			return true;
	}
	return false;
}

static bool find_long_list(const struct form *form, struct long_list *list)
{
	enum { HEAD_ROWS = 6, FEWEST = 3 };
	const struct sheet *sheet = form->sheet;
	for (size_t i = 0; i < sheet->rows && i < HEAD_ROWS; i++) {
		if (!find_long_key(form, i, &list->key) || !has_tags_below(form, i, list->key))
			continue;
		list->head = i;
		for (size_t k = list->key + 1; k + 1 < sheet->columns; k++) {
			if (labels_below(form, i, k) < FEWEST || labels_below(form, i, k + 1))
				continue;
			list->parameter = k;
			list->value = k + 1;
			list->unit = SIZE_MAX;
			for (size_t u = k + 1; u < sheet->columns; u++) {
				struct field field = fields_find(
					form->arena, form->words, LISTS_RESULTS, sheet_at(sheet, i, u)->text);
				if (text_same(field.name, "unit"))
					list->unit = u;
				if (text_same(field.name, "value"))
					list->value = u;
			}
			return list->unit != list->value && sheet_at(sheet, i + 1, list->key)->kind != SHEET_EMPTY;
		}
	}
	return false;
}

/* The rows as pairs under the tag of each item, which comes again where another item begins. */
static void unfold_long(struct form *form, const struct long_list *list)
{
	const struct sheet *sheet = form->sheet;
	const char *last = "";
	for (size_t i = list->head + 1; i < sheet->rows; i++) {
		const struct sheet_cell *tag = sheet_at(sheet, i, list->key);
		bool same = !*tag->text || strcmp(tag->text, last) == 0;
		if (!same)
			unfold_title(form, i, list->key);
		last = same ? last : tag->text;
		for (size_t k = 0; k < WIDTH; k++) {
			form->cells[form->rows * WIDTH + k] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
			form->origins[form->rows * WIDTH + k] = sheet_origin(sheet, i, list->parameter);
		}
		put(form, LABEL, i, list->parameter);
		put(form, VALUE, i, list->value);
		if (list->unit != SIZE_MAX)
			put(form, UNIT, i, list->unit);
		form->rows++;
		for (size_t k = 0; k < sheet->columns; k++) {
			bool taken = k == list->parameter || k == list->value || k == list->unit || k == list->key;
			if (!taken && sheet_at(sheet, i, k)->kind != SHEET_EMPTY)
				put(form, VALUE + 1, i, k); /* the last of them, beside the value */
		}
	}
}

const struct sheet *form_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet)
{
	enum { MOST_ROWS = 2000 };
	struct form form = {.arena = arena, .words = words, .sheet = sheet};
	if (sheet->columns < 2 || sheet->columns > MOST_COLUMNS || sheet->rows > MOST_ROWS)
		return sheet;
	struct long_list list = {.unit = SIZE_MAX};
	bool is_long = find_long_list(&form, &list);
	find_labels(&form);
	find_sides(&form);
	find_paired_labels(&form);
	if (!is_long && (is_list(&form) || !is_form(&form)))
		return sheet;
	size_t most = sheet->rows * sheet->columns + 1;
	form.cells = arena_alloc(arena, most * WIDTH * sizeof *form.cells);
	form.origins = arena_alloc(arena, most * WIDTH * sizeof *form.origins);
	if (is_long)
		unfold_long(&form, &list);
	else
		unfold_all(&form);
	for (size_t i = 0; i < form.rows * WIDTH; i++)
		form.cells[i].text = form.cells[i].text ? form.cells[i].text : "";
	struct sheet *out = arena_alloc(arena, sizeof *out);
	*out = *sheet;
	out->rows = form.rows;
	out->columns = WIDTH;
	out->cells = form.cells;
	out->origins = form.origins;
	out->widths = NULL;
	return out;
}
