#include "import/package_rest.h"

#include <string.h>

#include "base/count.h"
#include "import/sentence.h"
#include "import/trip_list.h"

bool rest_is_sentence(const char *text)
{
	enum { LONGEST_TAG = 24, MOST_WORDS = 3 };
	size_t blanks = 0;
	for (const char *c = text; *c; c++)
		blanks += *c == ' ';
	return strlen(text) > LONGEST_TAG || blanks >= MOST_WORDS || !strpbrk(text, "0123456789");
}

/* Sentences outside of the tables, below the first heading, are notes; figures there are left. */
static void read_around(struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	size_t from = tables[0].head + 1;
	for (size_t t = 0; t < count && tables[t].turned; t++)
		for (size_t k = 0; k < tables[t].count; k++)
			from = t == 0 && k == 0			  ? tables[t].columns[k].at + 1
				: tables[t].columns[k].at >= from ? tables[t].columns[k].at + 1
								  : from;

	struct package *package = sheet->package;
	for (size_t i = from; i < sheet->sheet->rows; i++)
		for (size_t k = 0; k < sheet->sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet->sheet, i, k);
			enum cell_outcome *outcome = &sheet->outcomes[i * sheet->sheet->columns + k];
			if (*outcome || cell->kind != SHEET_TEXT || cell->merged || cell->hidden ||
				!rest_is_sentence(cell->text) || !strchr(cell->text, ' '))
				continue;
			*outcome = OUTCOME_ARRIVED;
			sentence_read(package, sheet->sheet, sheet->document, i, k);
			draft_add_note(&package->draft, NULL, cell->text,
				arena_join(package->arena, sheet->document, "!",
					sheet_cell_name(package->arena, sheet->sheet, i, k) +
						strlen(sheet->sheet->name) + 1,
					""));
		}
}

/* The item that a cell of the row names by its tag; NULL: none does. */
static struct draft_item *item_in(const struct package *package, const struct sheet *sheet, size_t row)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		size_t length = strcspn(cell->text, " :,;(\n");
		bool bare = strspn(cell->text, "0123456789.,") ==
			strlen(cell->text); /* a figure, though streams have such numbers */
		if (cell->kind != SHEET_TEXT || cell->hidden || bare || !strpbrk(cell->text, "0123456789"))
			continue;
		struct draft_item *whole = draft_find(&package->draft, cell->text);
		struct draft_item *first = length > 2
			? draft_find(&package->draft, arena_copy_span(package->arena, cell->text, length))
			: NULL;
		if (whole || first)
			return whole ? whole : first;
	}
	return NULL;
}

/* Cells of one row that no table reads. */
struct rest_row {
	size_t at, first, last, count;
	bool headed; /* its cells go by the headings above them */
	struct text words;
};

/*
 * Takes what has no outcome yet, hidden cells and errors of the spreadsheet apart. Below the row of headings `head` each cell goes
 * by its own; `head` is the number of rows where there is none.
 */
static struct rest_row rest_of(const struct package *package, const struct sheet *sheet, size_t row,
	const enum cell_outcome *outcomes, size_t head)
{
	struct rest_row rest = {.at = row, .headed = row > head, .words = text_in(package->arena)};
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		if (outcomes[row * sheet->columns + k] || cell->kind == SHEET_EMPTY || cell->merged)
			continue;
		rest.first = rest.count++ ? rest.first : k;
		rest.last = k;
		if (!cell->hidden && cell->kind != SHEET_FAULT && cell->kind != SHEET_UNCALCULATED)
			text_addf(&rest.words, "%s%s%s%s", rest.words.length ? " | " : "",
				rest.headed ? sheet_at(sheet, head, k)->text : "",
				rest.headed && *sheet_at(sheet, head, k)->text ? ": " : "", cell->text);
	}
	return rest;
}

static const char *span_of(const struct package *package, const struct sheet *sheet, const struct rest_row *rest)
{
	const char *first = sheet_cell_name(package->arena, sheet, rest->at, rest->first);
	return arena_join(
		package->arena, first, " to ", sheet_cell_name(package->arena, sheet, rest->at, rest->last), "");
}

/* Keeps a row as a note of the item that it names, else of the unit; what cannot be kept is left. */
static enum cell_outcome keep(struct package *package, const struct sheet *sheet, const char *document,
	const struct rest_row *rest, const char *why)
{
	struct draft_item *item = item_in(package, sheet, rest->at);
	const char *span = span_of(package, sheet, rest), *bare = sheet->name;
	const char *cells = sheet_cell_name(package->arena, sheet, rest->at, rest->first) + strlen(bare) + 1;
	if (!rest->words.length) {
		problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, sheet_place(sheet, rest->at, rest->first),
			"%s: %zu cell%s left out: %s", span, rest->count, rest->count == 1 ? "" : "s", why);
		return OUTCOME_LEFT;
	}
	if (rest->headed && rest->last > rest->first)
		cells = arena_join(package->arena, cells, ":",
			sheet_cell_name(package->arena, sheet, rest->at, rest->last) + strlen(bare) + 1, "");
	item = item && vocabulary_child(item->element, "note") ? item : NULL;
	for (size_t k = rest->first; k <= rest->last; k++)
		sentence_read(package, sheet, document, rest->at, k);
	draft_add_note(&package->draft, item, rest->words.data, arena_join(package->arena, document, "!", cells, ""));
	problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, sheet_place(sheet, rest->at, rest->first),
		"%s: %zu cell%s kept as a note: of %s; %s", span, rest->count, rest->count == 1 ? "" : "s",
		item ? item->identity : "the unit", why);
	return OUTCOME_INTERPRETED;
}

/* "Note | see hold list", "Hinweis: ..." above the headings: no title, whatever stands in its row. */
static bool is_remark(const struct package *package, const struct sheet *sheet, size_t row)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		if (cell->kind == SHEET_EMPTY || cell->merged)
			continue;
		const char *word = arena_copy_span(package->arena, cell->text, strcspn(cell->text, ":"));
		return cell->kind == SHEET_TEXT &&
			strcmp(words_concepts(package->arena, package->words, words_fold(package->arena, word)),
				"remark") == 0;
	}
	return false;
}

/* What stands outside of the tables and is neither heading, title nor note: kept row by row, and said. */
static void keep_rest(struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	const struct sheet *all = sheet->sheet;
	for (size_t i = 0; i < all->rows; i++) {
		bool above = i < tables[0].head && !(!tables[0].turned && is_remark(sheet->package, all, i));
		for (size_t k = 0; k < all->columns; k++) {
			enum cell_outcome *outcome = &sheet->outcomes[i * all->columns + k];
			bool title = sheet_at(all, i, k)->kind == SHEET_TEXT && (above || tables[0].turned);
			for (size_t t = 0; t < count; t++)
				title = title || (tables[t].turned && k < tables[t].first);
			if (title && !*outcome) {
				*outcome = OUTCOME_STRUCTURE;
				sentence_read(sheet->package, all, sheet->document, i, k);
			}
		}
		struct rest_row rest = rest_of(sheet->package, all, i, sheet->outcomes, all->rows);
		enum cell_outcome outcome = rest.count ? keep(sheet->package, all, sheet->document, &rest,
								 "it stands outside of what is read as a table")
						       : OUTCOME_NONE;
		for (size_t k = 0; k < all->columns && rest.count; k++)
			if (!sheet->outcomes[i * all->columns + k] && sheet_at(all, i, k)->kind != SHEET_EMPTY)
				sheet->outcomes[i * all->columns + k] = outcome;
	}
}

void rest_read(struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	read_around(sheet, tables, count);
	keep_rest(sheet, tables, count);
}

static void say_passed(struct package *package, const struct sheet *sheet, size_t count, const char *why)
{
	package->left += count;
	problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, sheet_place(sheet, 0, 0),
		"%s to %s: all %zu cells left out: %s", sheet_cell_name(package->arena, sheet, 0, 0),
		sheet_cell_name(package->arena, sheet, sheet->rows - 1, sheet->columns - 1), count, why);
}

void rest_pass(struct package *package, const struct sheet *sheet, bool mapped)
{
	enum { MOST_ROWS = 200 }; /* more is no page of notes, but a list that the map ought to read */
	size_t count = 0, rows = 0;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++)
		count += sheet->cells[i].kind != SHEET_EMPTY && !sheet->cells[i].merged;
	for (size_t i = 0; i < sheet->rows; i++)
		for (size_t k = 0; k < sheet->columns; k++)
			if (sheet_at(sheet, i, k)->kind != SHEET_EMPTY) {
				rows++;
				break;
			}
	if (!count)
		return;
	if (rows > MOST_ROWS || sheet->hidden || !mapped) {
		say_passed(package, sheet, count,
			!mapped ? "the map has no sheet of this name" : "the map passes the sheet over");
		return;
	}
	const enum cell_outcome *none = arena_alloc(package->arena, (sheet->rows * sheet->columns + 1) * sizeof *none);
	const char *document =
		arena_join(package->arena, sheet->file, sheet->csv ? "" : ", ", sheet->csv ? "" : sheet->name, "");
	size_t head = trip_list_head(package->arena, sheet);
	for (size_t i = 0; i < sheet->rows; i++) {
		if (i == head)
			continue; /* each of its words stands before what is below */
		struct rest_row rest = rest_of(package, sheet, i, none, head);
		bool left = rest.count &&
			keep(package, sheet, document, &rest, "the map reads no list there") == OUTCOME_LEFT;
		package->left += left ? rest.count : 0;
		package->interpreted += left ? 0 : rest.count;
	}
}
