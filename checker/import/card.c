#include "import/card.h"

#include <string.h>

#include "base/count.h"
#include "import/guess.h"
#include "import/list_cell.h"
#include "import/listed.h"

enum { MOST_COLUMNS = 40, MOST_ROWS = 2000, MOST_CARDS = 400, MOST_BESIDE = 12, HEAD_ROWS = 8 };

/* Columns of the list that is made. */
enum { DATE, POINT, PARAMETER, RESULT, UNIT, REMARK, MORE, WIDTH };

/* A cell, or the part of one after its colon. */
struct said {
	size_t row, column;
	const char *text; /* NULL: nothing is said */
};

/* One card beside others: its columns and its head. */
struct card {
	size_t from, to;
	struct said date, point;
};

/* What stands in the lines of a card below its head, by its headings. */
struct lines {
	bool headed;
	size_t head, unit, values[MOST_BESIDE];
	struct said points[MOST_BESIDE];
	size_t count;
};

struct cards {
	struct arena *arena;
	const struct words *words;
	const struct sheet *sheet;
	bool *taken; /* cells of the sheet that the list holds */
	struct sheet_cell *cells;
	struct sheet_origin *origins;
	size_t rows, capacity;
};

static const struct sheet_cell *cell_at(const struct cards *cards, size_t row, size_t column)
{
	return sheet_at(cards->sheet, row, column);
}

/* Another column of one merged cell. */
static bool is_copy(const struct cards *cards, size_t row, size_t column)
{
	const struct sheet_cell *cell = cell_at(cards, row, column);
	return column && cell->merged && strcmp(cell->text, cell_at(cards, row, column - 1)->text) == 0;
}

static const char *field_of(const struct cards *cards, enum sheet_lists lists, const char *text)
{
	const char *name = *text ? fields_find(cards->arena, cards->words, lists, text).name : NULL;
	return name ? name : "";
}

static bool is_date_label(const struct cards *cards, const char *text)
{
	static const char labels[] =
		"sampled|sampled on|date sampled|date of sampling|sampling date|entnommen|entnommen am|"
		"probenahme|probenahme am|probe vom|preleve le|muestreado|bemonsterd";
	const char *folded = words_fold(cards->arena, text);
	return *folded &&
		(strcmp(words_concepts(cards->arena, cards->words, folded), "date") == 0 ||
			words_are_one_of(cards->arena, folded, labels));
}

static bool is_point_label(const struct cards *cards, const char *text)
{
	static const char labels[] = "sample|probe|echantillon|muestra|monster|solution|losung|sample of|probe von";
	return strcmp(field_of(cards, LISTS_LABORATORY, text), "stream") == 0 ||
		words_are_one_of(cards->arena, words_fold(cards->arena, text), labels);
}

static bool is_parameter(const struct cards *cards, const struct sheet_cell *cell)
{
	const char *field = cell->kind == SHEET_TEXT ? field_of(cards, LISTS_LABORATORY, cell->text) : "";
	return *field && !text_has_word("date stream remark case", field) && !is_point_label(cards, cell->text);
}

static bool is_day(const struct cards *cards, const struct sheet_cell *cell)
{
	return cell->kind == SHEET_DATE ||
		(cell->kind == SHEET_TEXT && list_cell_date(cards->arena, cell->text, DAY_FIRST));
}

static bool is_figure(const struct sheet_cell *cell)
{
	return cell->kind == SHEET_NUMBER || (cell->kind == SHEET_TEXT && strchr("0123456789<>~", *cell->text));
}

/* The first cell to the right, before the column, that is no copy. */
static struct said beside(const struct cards *cards, size_t row, size_t column, size_t to)
{
	for (size_t k = column + 1; k < to; k++)
		if (cell_at(cards, row, k)->kind != SHEET_EMPTY && !is_copy(cards, row, k))
			return (struct said){.row = row, .column = k, .text = cell_at(cards, row, k)->text};
	return (struct said){.text = NULL};
}

/* "Date | 12 May 2025", "Datum: 12.05.2025": what follows a label that `is`; NULL: it is none, or nothing does. */
static struct said after_label(const struct cards *cards, size_t row, size_t column, size_t to,
	bool (*is)(const struct cards *cards, const char *text))
{
	const struct sheet_cell *cell = cell_at(cards, row, column);
	const char *colon = cell->kind == SHEET_TEXT ? strchr(cell->text, ':') : NULL;
	if (cell->kind != SHEET_TEXT || is_copy(cards, row, column))
		return (struct said){.text = NULL};
	if (colon && colon[1 + strspn(colon + 1, " ")]) {
		const char *label = arena_copy_span(cards->arena, cell->text, (size_t)(colon - cell->text));
		return is(cards, label)
			? (struct said){.row = row, .column = column, .text = colon + 1 + strspn(colon + 1, " ")}
			: (struct said){.text = NULL};
	}
	return is(cards, cell->text) ? beside(cards, row, column, to) : (struct said){.text = NULL};
}

/* A date that stands alone beside its label; a row of several days is the head of a list. */
static struct said date_at(const struct cards *cards, size_t row, size_t column, size_t to)
{
	struct said date = after_label(cards, row, column, to, is_date_label);
	if (!date.text)
		return date;
	const struct sheet_cell *cell = cell_at(cards, date.row, date.column);
	const struct said next = beside(cards, row, date.column, to);
	bool in_label = date.column == column, several = next.text && is_day(cards, cell_at(cards, row, next.column));
	bool day = in_label ? list_cell_date(cards->arena, date.text, DAY_FIRST) != NULL : is_day(cards, cell);
	if (!day || (several && !in_label))
		date.text = NULL;
	return date;
}

static bool has_date(const struct cards *cards, size_t row)
{
	for (size_t k = 0; k < cards->sheet->columns; k++)
		if (date_at(cards, row, k, cards->sheet->columns).text)
			return true;
	return false;
}

static bool is_blank(const struct cards *cards, size_t row)
{
	for (size_t k = 0; k < cards->sheet->columns; k++)
		if (cell_at(cards, row, k)->kind != SHEET_EMPTY)
			return false;
	return true;
}

/* A parameter with a figure beside it. */
static bool is_line(const struct cards *cards, size_t row, size_t column, size_t to)
{
	if (!is_parameter(cards, cell_at(cards, row, column)) || is_copy(cards, row, column))
		return false;
	for (size_t k = column + 1; k < to; k++)
		if (is_figure(cell_at(cards, row, k)))
			return true;
	return false;
}

static bool has_line(const struct cards *cards, size_t row)
{
	for (size_t k = 0; k < cards->sheet->columns; k++)
		if (is_line(cards, row, k, cards->sheet->columns))
			return true;
	return false;
}

/* The first row of the head in which the date of the row stands: back to a blank row or a line of results. */
static size_t head_begins(const struct cards *cards, size_t row, size_t least)
{
	size_t from = row;
	while (from > least && row - from < HEAD_ROWS && !is_blank(cards, from - 1) && !has_line(cards, from - 1))
		from--;
	return from;
}

/* ---- the cards beside each other in a band of rows ---- */

/* Columns in which parameters stand, two lines of results at least in each. */
static size_t label_columns(const struct cards *cards, size_t first, size_t last, size_t columns[MOST_BESIDE])
{
	size_t count = 0;
	for (size_t k = 0; k + 1 < cards->sheet->columns; k++) {
		size_t lines = 0;
		for (size_t i = first; i < last; i++)
			lines += is_line(cards, i, k, cards->sheet->columns);
		if (lines > 1 && count < MOST_BESIDE)
			columns[count++] = k;
	}
	return count;
}

static void find_head(const struct cards *cards, struct card *card, size_t first, size_t last, size_t to)
{
	for (size_t i = first; i < last && i < first + HEAD_ROWS; i++)
		for (size_t k = card->from; k < to; k++) {
			struct said date = date_at(cards, i, k, to),
				    point = after_label(cards, i, k, to, is_point_label);
			card->date = card->date.text ? card->date : date;
			card->point = card->point.text ? card->point : point;
		}
	for (size_t i = first; i < last && !card->point.text && !is_line(cards, i, card->from, to); i++)
		for (size_t k = card->from; k < to && !card->point.text; k++) {
			const struct sheet_cell *cell = cell_at(cards, i, k);
			if (cell->kind == SHEET_TEXT && !beside(cards, i, k, to).text && i < card->date.row &&
				guess_service(cards->arena, cell->text)) /* a title alone in its row */
				card->point = (struct said){.row = i, .column = k, .text = cell->text};
		}
}

/* How many cards stand beside each other from row to row; 0: none, or which date is whose is not plain. */
static size_t cards_beside(const struct cards *cards, size_t first, size_t last, struct card found[MOST_BESIDE])
{
	size_t columns[MOST_BESIDE], count = label_columns(cards, first, last, columns), dates = 0;
	for (size_t i = first; i < last; i++)
		for (size_t k = 0; k < cards->sheet->columns; k++)
			dates += date_at(cards, i, k, cards->sheet->columns).text != NULL;
	for (size_t i = 0; i < count; i++) {
		found[i] =
			(struct card){.from = columns[i], .to = i + 1 < count ? columns[i + 1] : cards->sheet->columns};
		struct card whole = {.from = 0};
		if (dates > 1)
			find_head(cards, &found[i], first, last, found[i].to);
		else
			find_head(cards, &whole, first, last, cards->sheet->columns);
		if (dates == 1) {
			found[i].date = whole.date;
			found[i].point = whole.point;
		}
		if (!found[i].date.text)
			return 0;
	}
	return dates == 1 || dates == count ? count : 0;
}

/* ---- the lines of one card ---- */

static void add_column(const struct cards *cards, struct lines *lines, size_t row, size_t column, bool point)
{
	if (lines->count == MOST_BESIDE)
		return;
	lines->points[lines->count] =
		(struct said){.row = row, .column = column, .text = point ? cell_at(cards, row, column)->text : NULL};
	lines->values[lines->count++] = column;
}

static bool is_unit(const struct cards *cards, const struct sheet_cell *cell)
{
	const char *text = cell->text, *blank = strchr(text, ' ');
	if (cell->kind != SHEET_TEXT || is_figure(cell))
		return false;
	return words_unit(cards->arena, cards->words, text, true) || strcmp(text, "-") == 0 ||
		(blank &&
			words_unit(cards->arena, cards->words,
				arena_copy_span(cards->arena, text, (size_t)(blank - text)), true));
}

/* The column, without a heading or under a date, in which most lines have a unit; SIZE_MAX: none. */
static size_t column_of_units(
	const struct cards *cards, const struct card *card, const struct lines *lines, size_t last)
{
	for (size_t k = card->from + 1; k < card->to; k++) {
		size_t units = 0, filled = 0;
		for (size_t i = lines->head + 1; i < last && !is_blank(cards, i); i++) {
			const struct sheet_cell *cell = cell_at(cards, i, k);
			filled += cell->kind != SHEET_EMPTY;
			units += is_unit(cards, cell);
		}
		if (units > 1 && 2 * units > filled)
			return k;
	}
	return SIZE_MAX;
}

/* "Sample point | SC-1 | SC-2" between the headings and the results: where each was taken. */
static bool names_points(const struct cards *cards, const struct card *card, size_t row)
{
	const struct sheet_cell *label = cell_at(cards, row, card->from);
	size_t filled = 0;
	for (size_t k = card->from + 1; k < card->to; k++)
		filled += cell_at(cards, row, k)->kind != SHEET_EMPTY;
	return row > card->date.row && filled > 1 && label->kind == SHEET_TEXT && is_point_label(cards, label->text);
}

/* "Target (lean)", "Limit": what should be found, and nothing that was. */
static bool heads_limits(const struct cards *cards, const char *heading)
{
	static const char words[] = "target|targets|limit|limits|max|maximum|min|minimum|spec|specification|guideline|"
				    "guidelines|range|normal "
				    "range|allowable|grenzwert|grenzwerte|sollwert|sollwerte|zielwert|richtwert|limite|"
				    "limites|objectif|cible|"
				    "objetivo|previous|last|vorher|letzte";
	return words_within(cards->arena, words_fold(cards->arena, heading), words) > 0;
}

/* "Parameter | Unit | Lean | Rich", "Test | Method | Result | Unit": the row of words over the lines. */
static struct lines find_headings(
	const struct cards *cards, const struct card *card, size_t first, size_t line, size_t last)
{
	enum { LONGEST = 40 };
	struct lines lines = {.unit = SIZE_MAX};
	size_t row = line;
	while (row > first && (is_blank(cards, row - 1) || names_points(cards, card, row - 1)))
		row--;
	if (row == first || row - 1 <= card->date.row)
		return lines;
	lines.head = row - 1;
	for (size_t k = card->from + 1; k < card->to; k++) {
		const struct sheet_cell *cell = cell_at(cards, lines.head, k);
		if (cell->kind != SHEET_TEXT || is_copy(cards, lines.head, k))
			continue;
		const char *field = field_of(cards, LISTS_RESULTS, cell->text);
		bool point = strlen(cell->text) <= LONGEST && !heads_limits(cards, cell->text) &&
			guess_service(cards->arena, cell->text) != NULL;
		if (strcmp(field, "unit") == 0)
			lines.unit = k;
		else if (strcmp(field, "value") == 0 || point)
			add_column(cards, &lines, lines.head, k, point);
	}
	lines.headed = lines.count > 0;
	if (lines.headed && lines.unit == SIZE_MAX)
		lines.unit = column_of_units(cards, card, &lines, last);
	return lines;
}

/* Without headings: one figure and its unit. False where there are several figures. */
static bool read_plain(const struct cards *cards, const struct card *card, size_t row, struct lines *lines)
{
	size_t others = 0, word = SIZE_MAX;
	for (size_t k = card->from + 1; k < card->to; k++) {
		const struct sheet_cell *cell = cell_at(cards, row, k);
		if (cell->kind == SHEET_EMPTY || is_copy(cards, row, k))
			continue;
		if (is_figure(cell) && !(lines->unit == SIZE_MAX && lines->count && is_unit(cards, cell)))
			add_column(cards, lines, row, k, false);
		else if (lines->unit == SIZE_MAX && is_unit(cards, cell))
			lines->unit = k;
		else if (!others++)
			word = k;
	}
	if (!lines->count && word != SIZE_MAX)
		add_column(cards, lines, row, word, false); /* "Appearance | clear" */
	for (size_t i = 0; i < lines->count; i++)
		lines->points[i].text = NULL;
	return lines->count < 2;
}

/* ---- the list ---- */

static void put(struct cards *cards, size_t at, size_t row, size_t column)
{
	size_t place = cards->rows * WIDTH + at, there = row * cards->sheet->columns + column;
	cards->cells[place] = *cell_at(cards, row, column);
	cards->cells[place].merged = cards->taken[there];
	cards->taken[there] = true;
	cards->origins[place] = sheet_origin(cards->sheet, row, column);
}

static void put_said(struct cards *cards, size_t at, struct said said)
{
	size_t place = cards->rows * WIDTH + at;
	if (!said.text)
		return;
	put(cards, at, said.row, said.column);
	cards->cells[place].text = said.text;
}

/* An empty row of the list. */
static void begin(struct cards *cards, size_t row, size_t column)
{
	for (size_t k = 0; k < WIDTH; k++) {
		cards->cells[cards->rows * WIDTH + k] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
		cards->origins[cards->rows * WIDTH + k] = sheet_origin(cards->sheet, row, column);
	}
}

/* What stands beside a result, under its heading: "Method: ICP". */
static void put_beside(struct cards *cards, size_t at, size_t row, size_t column, const struct lines *lines)
{
	const struct sheet_cell *cell = cell_at(cards, row, column), *heading = cell_at(cards, lines->head, column);
	put(cards, at, row, column);
	if (lines->headed && heading->kind == SHEET_TEXT && cell->kind == SHEET_TEXT &&
		!list_says_nothing(cards->arena, cell->text) &&
		strspn(cell->text, "-\u2013\u2014 ") != strlen(cell->text))
		cards->cells[cards->rows * WIDTH + at].text =
			arena_join(cards->arena, heading->text, ": ", cell->text, "");
}

static void put_result(
	struct cards *cards, const struct card *card, size_t row, const struct lines *lines, size_t which)
{
	struct said point = lines->points[which].text ? lines->points[which] : card->point;
	begin(cards, row, card->from);
	put_said(cards, DATE, card->date);
	put_said(cards, POINT, point);
	put(cards, PARAMETER, row, card->from);
	put(cards, RESULT, row, lines->values[which]);
	if (lines->unit != SIZE_MAX && cell_at(cards, row, lines->unit)->kind != SHEET_EMPTY)
		put(cards, UNIT, row, lines->unit);
	size_t at = REMARK;
	for (size_t k = card->from + 1; k < card->to && !which; k++) {
		bool value = k == lines->unit;
		for (size_t i = 0; i < lines->count; i++)
			value = value || k == lines->values[i];
		if (!value && at < WIDTH && cell_at(cards, row, k)->kind != SHEET_EMPTY && !is_copy(cards, row, k) &&
			!cards->taken[row * cards->sheet->columns + k])
			put_beside(cards, at++, row, k, lines);
	}
	cards->rows++;
}

/* Are more of the lines with a figure results of a laboratory than not? A design basis has some of them too. */
static bool is_of_results(const struct cards *cards, const struct card *card, size_t first, size_t last)
{
	size_t known = 0, others = 0;
	for (size_t i = first; i < last; i++) {
		const struct sheet_cell *label = cell_at(cards, i, card->from);
		bool line = is_line(cards, i, card->from, card->to), figure = false;
		for (size_t k = card->from + 1; k < card->to; k++)
			figure = figure || is_figure(cell_at(cards, i, k));
		known += line;
		others += !line && figure && label->kind == SHEET_TEXT && i > card->date.row;
	}
	return known > others;
}

/* False: what is the result of a line is not plain. */
static bool put_card(struct cards *cards, const struct card *card, size_t first, size_t last)
{
	size_t line = first;
	while (line < last && !is_line(cards, line, card->from, card->to))
		line++;
	const struct lines headed = find_headings(cards, card, first, line, last);
	for (size_t i = headed.headed ? headed.head + 1 : card->date.row + 1; i < last; i++) {
		struct lines lines = headed;
		const struct sheet_cell *label = cell_at(cards, i, card->from);
		bool said = cards->taken[i * cards->sheet->columns + card->from] ||
			after_label(cards, i, card->from, card->to, is_point_label).text;
		if (label->kind != SHEET_TEXT || said || !beside(cards, i, card->from, card->to).text)
			continue;
		if (!headed.headed) {
			lines = (struct lines){.unit = SIZE_MAX};
			if (!read_plain(cards, card, i, &lines) || !lines.count)
				return false;
		}
		for (size_t k = 0; k < lines.count; k++)
			if (cell_at(cards, i, lines.values[k])->kind != SHEET_EMPTY)
				put_result(cards, card, i, &lines, k);
	}
	return true;
}

/* Titles, and what else of the head is no date and no point, above the list as they stood. */
static void put_rest(struct cards *cards, struct sheet *out)
{
	const struct sheet *sheet = cards->sheet;
	size_t results = cards->rows, left = 0, width = sheet->columns > WIDTH ? sheet->columns : WIDTH;
	for (size_t i = 0; i < sheet->rows; i++) {
		bool any = false;
		for (size_t k = 0; k < sheet->columns; k++)
			any = any ||
				(cell_at(cards, i, k)->kind != SHEET_EMPTY && !cards->taken[i * sheet->columns + k]);
		left += any;
	}
	size_t rows = left + 1 + results;
	struct sheet_cell *cells = arena_alloc(cards->arena, rows * width * sizeof *cells);
	struct sheet_origin *origins = arena_alloc(cards->arena, rows * width * sizeof *origins);
	for (size_t i = 0; i < rows * width; i++) {
		cells[i] = (struct sheet_cell){.text = "", .kind = SHEET_EMPTY};
		origins[i] = cards->origins[0];
	}
	size_t at = 0;
	for (size_t i = 0; i < sheet->rows; i++) {
		bool any = false;
		for (size_t k = 0; k < sheet->columns; k++) {
			origins[at * width + k] = sheet_origin(sheet, i, k);
			if (cell_at(cards, i, k)->kind == SHEET_EMPTY || cards->taken[i * sheet->columns + k])
				continue;
			cells[at * width + k] = *cell_at(cards, i, k);
			any = true;
		}
		at += any;
	}
	static const char *const headings[WIDTH] = {
		"Date", "Sample point", "Parameter", "Result", "Unit", "Remarks", "Remarks"};
	for (size_t k = 0; k < WIDTH; k++) {
		cells[left * width + k] = (struct sheet_cell){.text = headings[k], .kind = SHEET_TEXT, .merged = true};
		origins[left * width + k] = cards->origins[k];
	}
	for (size_t i = 0; i < results; i++) {
		memcpy(cells + (left + 1 + i) * width, cards->cells + i * WIDTH, WIDTH * sizeof *cells);
		memcpy(origins + (left + 1 + i) * width, cards->origins + i * WIDTH, WIDTH * sizeof *origins);
	}
	out->rows = rows;
	out->columns = width;
	out->cells = cells;
	out->origins = origins;
	out->widths = NULL;
}

const struct sheet *card_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet)
{
	struct cards cards = {.arena = arena, .words = words, .sheet = sheet};
	size_t begins[MOST_CARDS + 1] = {0}, bands = 0;
	if (sheet->columns < 2 || sheet->columns > MOST_COLUMNS || sheet->rows > MOST_ROWS)
		return sheet;
	for (size_t i = 0; i < sheet->rows && bands < MOST_CARDS; i++) {
		size_t least = bands ? begins[bands - 1] + 1 : 0;
		if (has_date(&cards, i)) {
			begins[bands++] = head_begins(&cards, i, least);
			while (i + 1 < sheet->rows && !has_line(&cards, i + 1))
				i++; /* the rest of the head */
		}
	}
	begins[bands] = sheet->rows;
	if (!bands)
		return sheet;
	cards.taken = arena_alloc(arena, sheet->rows * sheet->columns * sizeof *cards.taken);
	memset(cards.taken, 0, sheet->rows * sheet->columns * sizeof *cards.taken);
	size_t most = sheet->rows * sheet->columns + 1;
	cards.cells = arena_alloc(arena, most * WIDTH * sizeof *cards.cells);
	cards.origins = arena_alloc(arena, most * WIDTH * sizeof *cards.origins);
	for (size_t b = 0; b < bands; b++) {
		struct card found[MOST_BESIDE];
		size_t count = cards_beside(&cards, begins[b], begins[b + 1], found);
		if (!count)
			return sheet;
		for (size_t i = 0; i < count; i++)
			if (!is_of_results(&cards, &found[i], begins[b], begins[b + 1]) ||
				!put_card(&cards, &found[i], begins[b], begins[b + 1]))
				return sheet;
	}
	struct sheet *out = arena_alloc(arena, sizeof *out);
	*out = *sheet;
	put_rest(&cards, out);
	return out;
}
