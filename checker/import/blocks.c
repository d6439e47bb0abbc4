#include "import/blocks.h"

#include <string.h>

#include "import/basis.h"
#include "import/card.h"
#include "import/form.h"
#include "import/listed.h"
#include "import/parts.h"

enum { DEPTH = 4, MOST_PARTS = 200, HEAD_ROWS = 6 };

struct cutting {
	struct arena *arena;
	const struct words *words;
	const struct sheet **blocks;
	size_t count, capacity;
};

/* From one row, or column, up to another, that one excluded. */
struct span {
	size_t from, to;
};

struct spans {
	struct span *rows;
	size_t count, capacity;
};

static void add_span(struct cutting *cutting, struct spans *spans, size_t from, size_t to)
{
	spans->rows = arena_grow(cutting->arena, spans->rows, spans->count, &spans->capacity, sizeof *spans->rows);
	spans->rows[spans->count++] = (struct span){.from = from, .to = to};
}

/* How many different things stand in the row, those of one merged cell counted once. */
static size_t filled_in(const struct sheet *sheet, size_t row)
{
	size_t filled = 0;
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		bool copy = k && cell->merged && strcmp(cell->text, sheet_at(sheet, row, k - 1)->text) == 0;
		filled += cell->kind != SHEET_EMPTY && !copy;
	}
	return filled;
}

static const struct sheet *part_of(struct cutting *cutting, const struct sheet *sheet, struct span span, bool columns)
{
	struct sheet_origin from = {
		.row = columns ? 0 : (uint32_t)span.from, .column = columns ? (uint32_t)span.from : 0};
	struct sheet_origin to = {.row = columns ? (uint32_t)sheet->rows : (uint32_t)span.to,
		.column = columns ? (uint32_t)span.to : (uint32_t)sheet->columns};
	return sheet_part(cutting->arena, sheet, from, to);
}

/* Does a cell near its top name the records of such a list? */
static bool names_records(struct cutting *cutting, const struct sheet *sheet, enum sheet_lists lists)
{
	for (size_t i = 0; i < sheet->rows && i < HEAD_ROWS; i++)
		for (size_t k = 0; k < sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			if (cell->kind == SHEET_TEXT && filled_in(sheet, i) > 1 &&
				listed_is_key(cutting->arena, cutting->words, lists, cell->text))
				return true;
		}
	return false;
}

static const char *first_in(const struct sheet *sheet, size_t row)
{
	for (size_t k = 0; k < sheet->columns; k++)
		if (sheet_at(sheet, row, k)->kind != SHEET_EMPTY)
			return sheet_at(sheet, row, k)->text;
	return "";
}

static bool is_of_words(const struct sheet *sheet, size_t row)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		if (cell->kind != SHEET_EMPTY && (cell->kind != SHEET_TEXT || strchr("0123456789<>~-", *cell->text)))
			return false;
	}
	return filled_in(sheet, row) > 1;
}

/* Words, and below them in the first column tags of items. */
static bool stands_over_tags(const struct sheet *sheet, size_t row)
{
	return row + 1 < sheet->rows && is_of_words(sheet, row) && !table_is_tag(first_in(sheet, row)) &&
		table_is_tag(first_in(sheet, row + 1));
}

/* Words, most of which head fields of one kind of list. */
static bool heads_fields(struct cutting *cutting, const struct sheet *sheet, size_t row)
{
	enum { LEAST = 3 };
	size_t words = filled_in(sheet, row);
	if (words < LEAST || !is_of_words(sheet, row))
		return false;
	for (int i = LISTS_LINES; i < LISTS_COUNT; i++) {
		size_t known = 0;
		for (size_t k = 0; k < sheet->columns; k++) {
			const char *text = sheet_at(sheet, row, k)->text;
			known += *text &&
				fields_find(cutting->arena, cutting->words, (enum sheet_lists)i, text).name != NULL;
		}
		if (known >= LEAST && known * 2 > words)
			return true;
	}
	return false;
}

static bool may_be_list(struct cutting *cutting, const struct sheet *sheet)
{
	for (size_t i = 0; i < sheet->rows && i < HEAD_ROWS; i++)
		if (stands_over_tags(sheet, i) || heads_fields(cutting, sheet, i))
			return true;
	for (int i = LISTS_LINES; i < LISTS_COUNT; i++)
		if (names_records(cutting, sheet, (enum sheet_lists)i))
			return true;
	return false;
}

/* What the part lists by itself; LISTS_NOTHING: nothing that has headings, a key and records of its own. */
static struct proposed list_of(struct cutting *cutting, const struct sheet *part)
{
	const struct proposed nothing = {.lists = LISTS_NOTHING};
	if (!may_be_list(cutting, part))
		return nothing;
	struct proposed found = listed_find(cutting->arena, cutting->words, part);
	const struct table *first = found.count ? found.tables : NULL;
	bool whole = found.lists != LISTS_NOTHING && first && first->first < first->last && first->known > 1 &&
		(names_records(cutting, part, found.lists) || (!first->turned && first->head < HEAD_ROWS));
	return whole ? found : nothing;
}

/* Do the two lists have most of their headings in common? */
static bool are_alike(struct cutting *cutting, const struct proposed *a, const struct proposed *b)
{
	enum { MOST_OF = 60, ALL = 100 };
	const struct table *one = a->tables, *other = b->tables;
	size_t common = 0, least = one->known < other->known ? one->known : other->known;
	if (a->lists != b->lists || one->turned != other->turned)
		return false;
	for (size_t i = 0; i < one->count; i++)
		for (size_t k = 0; one->columns[i].known_as && k < other->count; k++)
			if (other->columns[k].known_as &&
				strcmp(words_fold(cutting->arena, one->columns[i].known_as),
					words_fold(cutting->arena, other->columns[k].known_as)) == 0) {
				common++;
				break;
			}
	return one->turned || common * ALL >= least * MOST_OF;
}

/* Titles alone, before the list that they are of. */
static bool are_titles(const struct sheet *sheet, struct span span)
{
	enum { LONGEST = 60 };
	for (size_t i = span.from; i < span.to; i++)
		for (size_t k = 0; k < sheet->columns; k++)
			if (filled_in(sheet, i) > 1 || strlen(sheet_at(sheet, i, k)->text) > LONGEST)
				return false;
	return span.to - span.from <= 2;
}

/* A title alone, and below it words two of which head fields: a table of something else, as of metals by service. */
static bool is_other_table(struct cutting *cutting, const struct sheet *sheet, struct span span)
{
	enum { LEAST = 2 };
	size_t head = span.from + 1, known = 0;
	if (head + 1 >= span.to || filled_in(sheet, span.from) != 1 || !is_of_words(sheet, head) ||
		filled_in(sheet, head) <= LEAST || table_is_tag(first_in(sheet, head)))
		return false;
	for (size_t k = 0; k < sheet->columns; k++) {
		const char *text = sheet_at(sheet, head, k)->text;
		known += *text && fields_find(cutting->arena, cutting->words, LISTS_EQUIPMENT, text).name != NULL;
	}
	return known >= LEAST;
}

/* The parts of which each is a list; what is none goes with the one before it, titles with the one after. */
static struct spans join(struct cutting *cutting, const struct sheet *sheet, const struct spans *parts, bool columns)
{
	struct spans joined = {.count = 0};
	struct proposed last = {.lists = LISTS_NOTHING};
	size_t waiting = SIZE_MAX;
	for (size_t i = 0; i < parts->count; i++) {
		struct span span = parts->rows[i];
		struct proposed own = list_of(cutting, part_of(cutting, sheet, span, columns));
		if (own.lists == LISTS_NOTHING && !columns && are_titles(sheet, span)) {
			waiting = waiting == SIZE_MAX ? span.from : waiting;
			continue;
		}
		size_t from = waiting == SIZE_MAX ? span.from : waiting;
		bool goes_on = last.lists != LISTS_NOTHING && own.lists != LISTS_NOTHING && !columns &&
			are_alike(cutting, &last, &own);
		bool begins = own.lists != LISTS_NOTHING && !goes_on && last.lists != LISTS_NOTHING;
		begins = begins ||
			(own.lists == LISTS_NOTHING && last.lists != LISTS_NOTHING && !columns &&
				is_other_table(cutting, sheet, span));
		waiting = SIZE_MAX;
		if (!joined.count || begins)
			add_span(cutting, &joined, from, span.to);
		joined.rows[joined.count - 1].to = span.to;
		last = own.lists != LISTS_NOTHING ? own : last;
	}
	if (joined.count) {
		joined.rows[0].from = 0;
		joined.rows[joined.count - 1].to = columns ? sheet->columns : sheet->rows;
	}
	return joined;
}

/* A row of words three of which head such lists, one of them what names the records; "PWHT | Yes" has its answer beside it. */
static bool is_head(struct cutting *cutting, const struct sheet *sheet, size_t row)
{
	enum { LEAST = 3 };
	size_t words = 0;
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, row, k);
		if (cell->kind != SHEET_EMPTY &&
			(cell->kind != SHEET_TEXT || strchr("0123456789<>~-", *cell->text) ||
				words_are_one_of(cutting->arena, words_fold(cutting->arena, cell->text),
					"yes|ja|oui|si|nein|non")))
			return false;
		words += cell->kind == SHEET_TEXT;
	}
	for (int i = LISTS_LINES; i < LISTS_COUNT && words >= LEAST; i++) {
		size_t known = 0;
		bool key = false;
		for (size_t k = 0; k < sheet->columns; k++) {
			const char *text = sheet_at(sheet, row, k)->text;
			const enum sheet_lists lists = (enum sheet_lists)i;
			if (!*text || !fields_find(cutting->arena, cutting->words, lists, text).name)
				continue;
			known++;
			key = key || listed_is_key(cutting->arena, cutting->words, lists, text);
		}
		if (key && known >= LEAST && known * 2 >= words)
			return true;
	}
	return false;
}

/* Where a row of headings follows records without a blank row, with the titles above it. */
static void cut_at_heads(struct cutting *cutting, const struct sheet *sheet, struct span run, struct spans *parts)
{
	size_t from = run.from;
	for (size_t i = run.from + HEAD_ROWS / 2; i < run.to; i++) {
		if (i < from + HEAD_ROWS / 2 || filled_in(sheet, i) < 2 || !is_head(cutting, sheet, i) ||
			is_head(cutting, sheet, i - 1))
			continue;
		size_t begins = i;
		while (begins > from + 1 && filled_in(sheet, begins - 1) == 1)
			begins--;
		add_span(cutting, parts, from, begins);
		from = begins;
		i += 2;
	}
	add_span(cutting, parts, from, run.to);
}

static struct spans row_parts(struct cutting *cutting, const struct sheet *sheet)
{
	struct spans runs = {.count = 0}, parts = {.count = 0};
	for (size_t i = 0; i < sheet->rows;) {
		while (i < sheet->rows && !filled_in(sheet, i))
			i++;
		size_t from = i;
		while (i < sheet->rows && filled_in(sheet, i))
			i++;
		if (i > from)
			add_span(cutting, &runs, from, i);
	}
	enum { LONGEST = 2000 }; /* rows that are looked through for headings */
	bool small = runs.count <= MOST_PARTS && sheet->rows <= LONGEST;
	for (size_t i = 0; i < runs.count && small; i++)
		cut_at_heads(cutting, sheet, runs.rows[i], &parts);
	return parts;
}

/* Runs of columns between such as are blank but for titles. */
static struct spans column_parts(struct cutting *cutting, const struct sheet *sheet)
{
	struct spans parts = {.count = 0};
	size_t from = SIZE_MAX;
	bool *used = arena_alloc(cutting->arena, sheet->columns + 1);
	for (size_t i = 0; i < sheet->rows; i++) {
		if (filled_in(sheet, i) < 2)
			continue;
		for (size_t k = 0; k < sheet->columns; k++)
			used[k] = used[k] || sheet_at(sheet, i, k)->kind != SHEET_EMPTY;
	}
	for (size_t k = 0; k <= sheet->columns; k++) {
		if (used[k] && from == SIZE_MAX)
			from = k;
		if (!used[k] && from != SIZE_MAX) {
			add_span(cutting, &parts, from, k);
			from = SIZE_MAX;
		}
	}
	return parts;
}

/* Where a list begins, as of nozzles, below a form that its rows would hide; 0: there is none. */
static size_t list_below_form(struct cutting *cutting, const struct sheet *sheet)
{
	enum { LEAST = 3, MOST_ROWS = 200 }; /* more are no data sheet */
	for (size_t i = LEAST; i < sheet->rows && sheet->rows <= MOST_ROWS; i++) {
		if (filled_in(sheet, i) < LEAST || !is_head(cutting, sheet, i))
			continue;
		size_t begins = i;
		while (begins > 1 && filled_in(sheet, begins - 1) == 1)
			begins--;
		const struct sheet *above = part_of(cutting, sheet, (struct span){.from = 0, .to = begins}, false);
		if (begins >= LEAST && form_unfold(cutting->arena, cutting->words, above) != above)
			return begins;
	}
	return 0;
}

static void cut(struct cutting *cutting, const struct sheet *sheet, size_t depth)
{
	const struct sheet *card = card_unfold(cutting->arena, cutting->words, sheet);
	const struct sheet *basis = card != sheet ? card : basis_unfold(cutting->arena, cutting->words, sheet);
	const struct sheet *unfolded = basis != sheet ? basis : form_unfold(cutting->arena, cutting->words, sheet);
	size_t below = depth && card == sheet ? list_below_form(cutting, sheet) : 0;
	if (below) {
		cut(cutting, part_of(cutting, sheet, (struct span){.from = 0, .to = below}, false), depth - 1);
		cut(cutting, part_of(cutting, sheet, (struct span){.from = below, .to = sheet->rows}, false),
			depth - 1);
		return;
	}
	depth = unfolded != sheet ? 0 : depth; /* its items are no lists */
	for (int columns = 1; columns >= 0 && depth; columns--) {
		struct spans parts = columns ? column_parts(cutting, sheet) : row_parts(cutting, sheet);
		struct spans joined = {.count = 0};
		if (parts.count > 1 && parts.count <= MOST_PARTS)
			joined = join(cutting, sheet, &parts, columns);
		if (joined.count < 2)
			continue;
		for (size_t i = 0; i < joined.count; i++) {
			struct span span = joined.rows[i];
			if (i + 1 < joined.count)
				span.to = joined.rows[i + 1].from;
			cut(cutting, part_of(cutting, sheet, span, columns), depth - 1);
		}
		return;
	}
	cutting->blocks = arena_grow(
		cutting->arena, cutting->blocks, cutting->count, &cutting->capacity, sizeof *cutting->blocks);
	cutting->blocks[cutting->count++] =
		unfolded == sheet ? parts_join(cutting->arena, cutting->words, sheet) : unfolded;
}

size_t blocks_find(
	struct arena *arena, const struct words *words, const struct sheet *sheet, const struct sheet ***blocks)
{
	struct cutting cutting = {.arena = arena, .words = words};
	cut(&cutting, sheet, DEPTH);
	*blocks = cutting.blocks;
	return cutting.count;
}
