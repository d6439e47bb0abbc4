#include "import/form.h"

#include <string.h>

#include "import/form_inside.h"

enum { WIDTH = 4, LABEL = 0, UNIT = 1, VALUE = 2 };

static void put(struct form *form, size_t at, size_t row, size_t column)
{
	size_t place = form->rows * WIDTH + at;
	form->cells[place] = *sheet_at(form->sheet, row, column);
	form->origins[place] = sheet_origin(form->sheet, row, column);
}

/* An empty row. */
static void begin(struct form *form, size_t row, size_t column)
{
	for (size_t k = 0; k < WIDTH; k++) {
		form->cells[form->rows * WIDTH + k] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
		form->origins[form->rows * WIDTH + k] = sheet_origin(form->sheet, row, column);
	}
}

/* "Flow | kg/h | 150000 | 146000" under the names of two sides: a label for each, "Shell side Flow". */
static bool unfold_sides(struct form *form, size_t row, size_t from, size_t to)
{
	size_t unit = SIZE_MAX, begun = form->rows;
	const struct sheet_cell *label = sheet_at(form->sheet, row, from);
	bool sided = false;
	for (size_t k = from + 1; k < to && k < FORM_COLUMNS; k++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
		bool side = form->band->sides[k] && cell->kind != SHEET_EMPTY && !form_is_copy(form->sheet, row, k);
		bool both = side && k + 1 < to && form->band->sides[k + 1] && form_is_copy(form->sheet, row, k + 1);
		sided = sided || (side && !both);
		if (!form->band->sides[k] && cell->kind != SHEET_EMPTY &&
			words_unit(form->arena, form->words, cell->text, true))
			unit = k;
		if (form_heads_side(form, cell))
			return false;
	}
	if (!sided || label->kind != SHEET_TEXT || table_is_tag(label->text))
		return false;
	for (size_t k = from + 1; k < to && k < FORM_COLUMNS; k++) {
		if (!form->band->sides[k] || sheet_at(form->sheet, row, k)->kind == SHEET_EMPTY ||
			form_is_copy(form->sheet, row, k))
			continue;
		begin(form, row, k);
		put(form, LABEL, row, from);
		form->cells[form->rows * WIDTH + LABEL].text =
			arena_join(form->arena, form->band->sides[k], " ", label->text, "");
		if (unit != SIZE_MAX)
			put(form, UNIT, row, unit);
		for (size_t i = 0; i < VALUE; i++)
			form->cells[form->rows * WIDTH + i].merged = form->rows > begun;
		put(form, VALUE, row, k);
		form->rows++;
	}
	return true;
}

/* "Item: E-412   Service: Rich/lean" in one cell: a row for each. */
static bool unfold_said(struct form *form, size_t row, size_t column)
{
	struct form_said said[FORM_SAID];
	size_t count = form_said(form, row, column, said);
	for (size_t i = 0; i < count; i++) {
		struct sheet_cell *cells = form->cells + form->rows * WIDTH;
		begin(form, row, column);
		put(form, LABEL, row, column);
		put(form, VALUE, row, column);
		cells[LABEL].text = said[i].label;
		cells[LABEL].merged = true;
		cells[VALUE].text = said[i].value;
		cells[VALUE].merged = false;
		form->rows++;
	}
	return count > 0;
}

/* ---- labels that go on with what stands before them ---- */

/* What a label says of the tubes where it stands after "Tubes: OD", or below the title "Tube bundle". Common practice, no source. */
static const struct {
	const char *whole, *written;
} of_tubes[] = {
	{"Tube OD",
		"od|o d|outside diameter|outer diameter|da|d a|aussendurchmesser|durchmesser|dia|diameter|diametre|"
		"diametre exterieur|size od"},
	{"Number of tubes", "number|no|anzahl|nombre|numero|qty|quantity|count|stuck|stuckzahl"},
	{"Tube wall",
		"wall|wall thickness|thickness|wandstarke|wanddicke|wand|s|bwg|thk|wt|wall "
		"thk|epaisseur|espesor|gauge"},
	{"Tube length", "length|straight length|lange|longueur|longitud|effective length|len"},
	{"Tube material", "material|werkstoff|matl|materiau|metallurgy"}};

static bool is_of_tubes(const struct form *form, const char *text)
{
	return words_are_one_of(form->arena, words_fold(form->arena, text),
		"tube|tubes|tube bundle|bundle|rohr|rohre|rohrbundel|bundel|heizrohre|tubes "
		"faisceau|faisceau|tubos|heat "
		"exchanger tubes|tube data|tube details|rohrdaten");
}

static void relabel(struct form *form)
{
	struct sheet_cell *label = form->cells + form->rows * WIDTH + LABEL;
	const char *colon = strpbrk(label->text, ":,-"), *text = label->text;
	if (colon && is_of_tubes(form, arena_copy_span(form->arena, text, (size_t)(colon - text)))) {
		form->of_tubes = true;
		text = colon + 1;
	}
	const char *folded = words_fold(form->arena, text);
	for (size_t i = 0; form->of_tubes && i < sizeof of_tubes / sizeof *of_tubes; i++)
		if (words_are_one_of(form->arena, folded, of_tubes[i].written))
			label->text = of_tubes[i].whole;
}

/* A row of one cell begins something else, and so does a blank one. */
static void begin_section(struct form *form, size_t row)
{
	const struct sheet_cell *only = NULL;
	size_t filled = 0;
	for (size_t k = 0; k < form->sheet->columns; k++)
		if (sheet_at(form->sheet, row, k)->kind != SHEET_EMPTY && !form_is_copy(form->sheet, row, k)) {
			only = sheet_at(form->sheet, row, k);
			filled++;
		}
	if (filled < 2)
		form->of_tubes = filled && only->kind == SHEET_TEXT && is_of_tubes(form, only->text);
	form->notes = filled == 1 && only->kind == SHEET_TEXT && (form->notes || form_heads_notes(form, only));
}

/* "1. Rich amine in the tubes" below the heading of the notes, on the sheet of one item: a remark of it. */
static bool unfold_note(struct form *form, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(form->sheet, row, column);
	struct sheet_cell *cells = form->cells + form->rows * WIDTH;
	if (!form->notes || form->keys + form->titles != 1 || cell->kind != SHEET_TEXT || form_heads_notes(form, cell))
		return false;
	begin(form, row, column);
	cells[LABEL] = (struct sheet_cell){.text = "Remarks", .kind = SHEET_TEXT, .merged = true};
	put(form, VALUE, row, column);
	cells[VALUE].merged = false;
	form->rows++;
	return true;
}

/* The names of the sides stand in the row. */
static bool names_sides(const struct form *form, size_t row, size_t from, size_t to)
{
	for (size_t k = from; k < to && k < FORM_COLUMNS; k++)
		if (form->band->sides[k] && form_heads_side(form, sheet_at(form->sheet, row, k)) &&
			!form_is_label(form, sheet_at(form->sheet, row, from)))
			return true;
	return false;
}

/* From a label to the next: label, unit, value, and what more there is. */
static void unfold(struct form *form, size_t row, size_t from, size_t to)
{
	size_t values = 0, filled = 0;
	if (names_sides(form, row, from, to) || unfold_note(form, row, from) || unfold_sides(form, row, from, to))
		return;
	begin(form, row, from);
	for (size_t k = from; k < to; k++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
		struct form_said said[FORM_SAID];
		if (cell->kind == SHEET_EMPTY || (k > from && form_is_copy(form->sheet, row, k)))
			continue;
		if (form_said(form, row, k, said)) {
			form->rows += filled > 0;
			unfold_said(form, row, k);
			begin(form, row, k);
			values = filled = 0;
			continue;
		}
		bool unit =
			filled && cell->kind == SHEET_TEXT && words_unit(form->arena, form->words, cell->text, true);
		if (filled && !unit && VALUE + values >= WIDTH) {
			form->rows++; /* no pair: it is kept on a row of its own */
			begin(form, row, k);
			values = 0;
		}
		put(form, !filled ? LABEL : unit ? UNIT : VALUE + values++, row, k);
		if (!filled++)
			relabel(form);
	}
	form->rows += filled > 0;
}

/* A title as the tag of what stands below it: a label that the sheet does not have, and the cell. */
static void unfold_title(struct form *form, size_t row, size_t column)
{
	struct sheet_cell *cells = form->cells + form->rows * WIDTH;
	begin(form, row, column);
	cells[LABEL] = (struct sheet_cell){.text = "Tag", .kind = SHEET_TEXT, .merged = true};
	put(form, VALUE, row, column);
	form->cells[form->rows * WIDTH + VALUE].merged = false;
	form->rows++;
}

static const struct form_band *band_of(const struct form *form, size_t row)
{
	size_t b = 0;
	while (b + 1 < form->band_count && row >= form->bands[b].after)
		b++;
	return &form->bands[b];
}

/* Under titles each column of labels by itself; else row by row. */
static void unfold_all(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	size_t passes = form->titles ? sheet->columns : 1;
	for (size_t pass = 0; pass < passes; pass++)
		for (size_t i = 0; i < sheet->rows; i++) {
			form->band = band_of(form, i);
			begin_section(form, i);
			for (size_t from = 0, to; from < sheet->columns; from = to) {
				for (to = from + 1; to < sheet->columns && !form->band->labels[to]; to++)
					;
				if (form->titles && from != pass)
					continue;
				if (form->band->labels[from] && form_is_title(form, i, from))
					unfold_title(form, i, from);
				else
					unfold(form, i, from, to);
			}
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
		labels += form_is_label(form, cell);
		others += cell->kind != SHEET_EMPTY && !form_is_label(form, cell);
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
			labels += form_is_label(form, sheet_at(sheet, i, k)) && !form_is_copy(sheet, i, k);
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
		begin(form, i, list->parameter);
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
	if (sheet->columns < 2 || sheet->columns > FORM_COLUMNS || sheet->rows > MOST_ROWS)
		return sheet;
	struct long_list list = {.unit = SIZE_MAX};
	bool is_long = find_long_list(&form, &list);
	bool is_form = form_find(&form);
	if (!is_long && (is_list(&form) || !is_form))
		return sheet;
	size_t most = sheet->rows * sheet->columns + form.said + 1;
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
	out->form = !is_long;
	return out;
}
