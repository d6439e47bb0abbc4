/* Where the labels and values of a data sheet stand. Part of form_inside.h. */
#include "import/form_inside.h"

#include <string.h>

bool form_is_copy(const struct sheet *sheet, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(sheet, row, column);
	return column && cell->merged && strcmp(cell->text, sheet_at(sheet, row, column - 1)->text) == 0;
}

bool form_is_label(const struct form *form, const struct sheet_cell *cell)
{
	enum { LONGEST = 60 };
	return cell->kind == SHEET_TEXT && strlen(cell->text) <= LONGEST && !strchr("0123456789<>~", *cell->text) &&
		fields_find(form->arena, form->words, LISTS_EQUIPMENT, cell->text).name != NULL;
}

/* "Mantelseite", "Tube side" over values: which side they are of. */
bool form_heads_side(const struct form *form, const struct sheet_cell *cell)
{
	const char *concepts = cell->kind == SHEET_TEXT
		? words_concepts(form->arena, form->words, words_fold(form->arena, cell->text))
		: "";
	return text_has_word("tube-side shell-side hot-side cold-side tubes shells", concepts);
}

bool form_heads_notes(const struct form *form, const struct sheet_cell *cell)
{
	return words_are_one_of(form->arena, words_fold(form->arena, cell->text),
		"notes|note|remarks|remark|comments|bemerkungen|bemerkung|hinweise|anmerkungen|remarques|notas|"
		"observaciones|opmerkingen");
}

/* ---- pairs in one cell ---- */

static const char *trimmed(struct arena *arena, const char *from, const char *to)
{
	while (to > from && strchr(" ;|\n\t,", to[-1]))
		to--;
	return arena_copy_span(arena, from, (size_t)(to - from));
}

/* Are the words a label, and no more than that? */
static bool is_exact_label(const struct form *form, const char *from, const char *to)
{
	const struct sheet_cell label = {.text = trimmed(form->arena, from, to), .kind = SHEET_TEXT};
	return form_is_label(form, &label) && fields_find(form->arena, form->words, LISTS_EQUIPMENT, label.text).exact;
}

/*
 * Where the label begins that ends before `colon`: after the last sign that separates pairs, or with the one word in a capital
 * from which all is a label; at `text` where there is none.
 */
static const char *label_begins(const struct form *form, const char *text, const char *colon)
{
	enum { MOST_WORDS = 4 };
	const char *from = colon, *found = NULL;
	while (from > text && !strchr(";|\n\t", from[-1]) && !(from - text > 1 && from[-1] == ' ' && from[-2] == ' '))
		from--;
	from += strspn(from, " ");
	if (from > text)
		return from;
	size_t words = 0;
	for (const char *at = colon; at > text + 1 && words < MOST_WORDS; at--) {
		if (at[-1] != ' ' || *at == ' ')
			continue;
		words++;
		if (*at < 'A' || *at > 'Z' || !is_exact_label(form, at, colon))
			continue;
		if (found)
			return text;
		found = at;
	}
	return found ? found : text;
}

/* "Tubes: OD | 25.4": no pair, but a label with its value beside it. */
static bool is_label_of_two(const struct form *form, size_t row, size_t column, const char *value)
{
	const struct sheet_cell second = {.text = value, .kind = SHEET_TEXT};
	return column + 1 < form->sheet->columns && sheet_at(form->sheet, row, column + 1)->kind != SHEET_EMPTY &&
		form_is_label(form, &second);
}

size_t form_said(const struct form *form, size_t row, size_t column, struct form_said *said)
{
	const struct sheet_cell *cell = sheet_at(form->sheet, row, column);
	size_t count = 0, most = FORM_SAID;
	const char *value = NULL, *text = cell->text;
	if (cell->kind != SHEET_TEXT || form_is_copy(form->sheet, row, column))
		return 0;
	for (const char *colon = strchr(text, ':'); colon && count < most; colon = strchr(colon + 1, ':')) {
		const char *from = value ? label_begins(form, value, colon) : text + strspn(text, " ");
		const struct sheet_cell label = {.text = trimmed(form->arena, from, colon), .kind = SHEET_TEXT};
		bool known = *label.text && colon[1 + strspn(colon + 1, " ")] && form_is_label(form, &label);
		if (!known && !count)
			return 0;
		if (!known || from == value)
			continue;
		if (count)
			said[count - 1].value = trimmed(form->arena, value, from);
		value = colon + 1 + strspn(colon + 1, " ");
		said[count++] = (struct form_said){.label = label.text, .value = value};
	}
	if (count)
		said[count - 1].value = trimmed(form->arena, value, value + strlen(value));
	for (size_t i = 0; i < count; i++)
		if (!*said[i].value || is_label_of_two(form, row, column, said[i].value))
			return 0;
	return count;
}

static bool is_said(const struct form *form, size_t row, size_t column)
{
	struct form_said said[FORM_SAID];
	return form_said(form, row, column, said) > 0;
}

/* ---- the columns of a band ---- */

static bool is_filled(const struct form *form, size_t row, size_t column)
{
	return sheet_at(form->sheet, row, column)->kind != SHEET_EMPTY && !form_is_copy(form->sheet, row, column);
}

static size_t filled_in(const struct form *form, size_t row)
{
	size_t filled = 0;
	for (size_t k = 0; k < form->sheet->columns; k++)
		filled += is_filled(form, row, k);
	return filled;
}

/* What stands beside it, up to the next column of labels, is one value, with its unit or without; or one for each of two sides. */
static bool has_value(const struct form *form, size_t row, size_t column)
{
	size_t values = 0, of_sides = 0;
	for (size_t k = column + 1; k < form->sheet->columns && !form->band->labels[k]; k++) {
		bool filled = is_filled(form, row, k), of_side = k < FORM_COLUMNS && form->band->sides[k];
		values += filled && !of_side;
		of_sides += filled && of_side;
	}
	return of_sides ? values <= 1 : values == 1 || values == 2;
}

/* Columns most of whose words are labels, two of them at least in each; in a band among others one is enough. */
static void find_labels(const struct form *form, struct form_band *band)
{
	const struct sheet *sheet = form->sheet;
	size_t least = band->first == 0 && band->after == sheet->rows ? 2 : 1;
	for (size_t k = 0; k < sheet->columns && k < FORM_COLUMNS; k++) {
		size_t known = 0, others = 0;
		for (size_t i = band->first; i < band->after; i++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			bool label = form_is_label(form, cell) && !form_is_copy(sheet, i, k);
			bool title = cell->kind == SHEET_TEXT && table_is_tag(cell->text);
			known += label;
			bool alone = filled_in(form, i) == 1; /* a title, or a note at the foot */
			others += is_filled(form, i, k) && !label && !title && !alone && !is_said(form, i, k);
		}
		band->labels[k] = known >= least && known >= others && !band->sides[k];
		band->label_columns += band->labels[k];
	}
}

/* Words with a label at their left in the same row and a value of their own at their right. */
static bool is_pair(const struct form *form, size_t row, size_t first, size_t k)
{
	const struct sheet *sheet = form->sheet;
	const struct sheet_cell *cell = sheet_at(sheet, row, k);
	return cell->kind == SHEET_TEXT && !words_unit(form->arena, form->words, cell->text, true) &&
		!strchr("0123456789<>~", *cell->text) && sheet_at(sheet, row, first)->kind == SHEET_TEXT &&
		sheet_at(sheet, row, first + 1)->kind + sheet_at(sheet, row, first + 2)->kind != SHEET_EMPTY &&
		(sheet_at(sheet, row, k + 1)->kind != SHEET_EMPTY ||
			(k + 2 < sheet->columns && sheet_at(sheet, row, k + 2)->kind != SHEET_EMPTY));
}

/*
 * "Oper. press. btm | 165", "Foam factor | 0.75" beside labels that are known: columns of words, some of them known, each of which
 * has a label at its left in the same row and its own value at its right.
 */
static void find_paired_labels(const struct form *form, struct form_band *band)
{
	const struct sheet *sheet = form->sheet;
	size_t first = 0, known_columns = band->label_columns;
	size_t least = band->first == 0 && band->after == sheet->rows ? 2 : 1;
	while (first < sheet->columns && first < FORM_COLUMNS && !band->labels[first])
		first++;
	for (size_t k = first + 2; known_columns && k + 1 < sheet->columns && k < FORM_COLUMNS; k++) {
		size_t known = 0, paired = 0, others = 0;
		for (size_t i = band->first; i < band->after && !band->labels[k] && !band->sides[k]; i++) {
			if (!is_filled(form, i, k))
				continue;
			bool pair = is_pair(form, i, first, k);
			known += form_is_label(form, sheet_at(sheet, i, k));
			paired += pair;
			others += !pair;
		}
		if (known >= least && paired > 3 * others) {
			band->labels[k] = true;
			band->label_columns++;
		}
	}
}

/* ---- bands ---- */

/* How many of the cells of the row name a side, at the right of its first column; `*last`: the column of the last. */
static size_t sides_headed(const struct form *form, size_t row, size_t *last)
{
	size_t found = 0;
	for (size_t k = 1; k < form->sheet->columns && k < FORM_COLUMNS; k++)
		if (form_heads_side(form, sheet_at(form->sheet, row, k)) && !form_is_copy(form->sheet, row, k)) {
			*last = k;
			found++;
		}
	return found;
}

/* Units or labels where the values of a side would be, or labels beside them: other columns than those of the sides. */
static bool is_otherwise(const struct form *form, const struct form_band *band, size_t row)
{
	bool beside = false;
	for (size_t k = 0; k < form->sheet->columns && k < FORM_COLUMNS; k++) {
		const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
		bool words = is_filled(form, row, k) && cell->kind == SHEET_TEXT;
		bool unit = words && words_unit(form->arena, form->words, cell->text, true);
		beside = beside || band->sides[k];
		if (words && ((band->sides[k] && unit) || (beside && form_is_label(form, cell))))
			return true;
	}
	return false;
}

/* Where the columns of the sides end: before a run of rows, after a blank one or a title, most of which stand otherwise. */
static size_t sides_end(const struct form *form, const struct form_band *band)
{
	const struct sheet *sheet = form->sheet;
	size_t last;
	for (size_t i = band->first + 1; i < sheet->rows; i++) {
		if (sides_headed(form, i, &last) == 2)
			return i;
		if (filled_in(form, i) > 1)
			continue;
		size_t rows = 0, otherwise = 0;
		for (size_t r = i + 1; r < sheet->rows && filled_in(form, r) > 1; r++) {
			rows++;
			otherwise += is_otherwise(form, band, r);
		}
		if (otherwise && 2 * otherwise >= rows)
			return i;
	}
	return sheet->rows;
}

/* Two columns beside each other, one headed with each of two sides. */
static void set_sides(const struct form *form, struct form_band *band, size_t last)
{
	for (size_t k = 1; k <= last; k++)
		if (form_heads_side(form, sheet_at(form->sheet, band->first, k)) &&
			!form_is_copy(form->sheet, band->first, k))
			band->sides[k] = sheet_at(form->sheet, band->first, k)->text;
	band->side_columns = 2;
}

static void add_band(struct form *form, struct form_band band)
{
	if (band.after > band.first && form->band_count < FORM_BANDS)
		form->bands[form->band_count++] = band;
}

/* False: more of them than a form has. */
static bool find_bands(struct form *form)
{
	const struct sheet *sheet = form->sheet;
	struct form_band whole = {.after = sheet->rows};
	size_t from = 0, last = 0;
	find_labels(form, &whole);
	for (size_t i = 0; i < sheet->rows && form->band_count < FORM_BANDS; i++) {
		if (sides_headed(form, i, &last) != 2 || whole.labels[last])
			continue;
		struct form_band band = {.first = i};
		set_sides(form, &band, last);
		band.after = sides_end(form, &band);
		add_band(form, (struct form_band){.first = from, .after = i});
		add_band(form, band);
		from = band.after;
		i = band.after - 1;
	}
	add_band(form, (struct form_band){.first = from, .after = sheet->rows});
	return form->band_count < FORM_BANDS;
}

/* "C-1201 Absorber" over labels, nothing beside it: the item that they are of. */
bool form_is_title(const struct form *form, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(form->sheet, row, column);
	if (cell->kind != SHEET_TEXT || !table_is_tag(cell->text) || form_is_copy(form->sheet, row, column))
		return false;
	for (size_t k = column + 1; k < form->sheet->columns && !form->band->labels[k]; k++)
		if (is_filled(form, row, k))
			return false;
	return row + 1 < form->sheet->rows && sheet_at(form->sheet, row + 1, column)->kind == SHEET_TEXT;
}

struct count {
	size_t with, without, said;
};

static void count_cell(struct form *form, struct count *count, size_t row, size_t k)
{
	const struct sheet_cell *cell = sheet_at(form->sheet, row, k);
	struct form_said said[FORM_SAID];
	size_t pairs = form_said(form, row, k, said);
	for (size_t p = 0; p < pairs; p++)
		form->keys += listed_is_key(form->arena, form->words, LISTS_EQUIPMENT, said[p].label) &&
			table_is_tag(said[p].value);
	count->said += pairs;
	form->titles += form->band->labels[k] && form_is_title(form, row, k);
	if (pairs || !form->band->labels[k] || !form_is_label(form, cell) || form_is_copy(form->sheet, row, k))
		return;
	bool value = has_value(form, row, k);
	if (!value && form_heads_notes(form, cell))
		return;
	count->with += value;
	count->without += !value;
	form->keys += value && listed_is_key(form->arena, form->words, LISTS_EQUIPMENT, cell->text);
}

/* Does each label have a value, and does one of them name the item? A list with one record a column has many values. */
bool form_find(struct form *form)
{
	enum { FEWEST_SAID = 4 };
	size_t label_columns = 0, side_columns = 0;
	struct count count = {.with = 0};
	if (!find_bands(form))
		return false;
	for (size_t b = 0; b < form->band_count; b++) {
		struct form_band *band = &form->bands[b];
		form->band = band;
		find_labels(form, band);
		find_paired_labels(form, band);
		label_columns = band->label_columns > label_columns ? band->label_columns : label_columns;
		side_columns += band->side_columns;
		for (size_t i = band->first; i < band->after; i++)
			for (size_t k = 0; k < form->sheet->columns && k < FORM_COLUMNS; k++)
				count_cell(form, &count, i, k);
	}
	bool beside = label_columns > 1 || side_columns || count.said >= FEWEST_SAID;
	form->said = count.said;
	return count.with + count.said > 3 * count.without && (form->titles || (beside && form->keys));
}
