#include "write/write_book.h"

#include <errno.h>
#include <math.h>
#include <string.h>
#include <xlsxwriter.h>

#include "base/count.h"
#include "base/text.h"
#include "import/book_words.h"
#include "import/kin.h"
#include "write/workbook_child.h"

struct row {
	const xmlNode *node; /* NULL: a comment that no element follows */
	size_t number;
	const char *kind; /* the sheet that it is on */
	const char *number_text, *word, *part_of, *text, *comment;
};

struct book {
	struct arena arena;
	const struct document *document;
	struct row *rows;
	size_t count, capacity;
	struct kin tags, ids;
	lxw_workbook *workbook;
	lxw_format *head, *cell, *words;
	lxw_error fault; /* the first */
};

static void note(struct book *book, lxw_error fault)
{
	if (book->fault == LXW_NO_ERROR)
		book->fault = fault;
}

/* ---- rows ---- */

static size_t how_many(const struct kin *kin, const char *name)
{
	size_t count = 0;
	for (size_t i = 0; i < kin->count; i++)
		count += strcmp(kin->rows[i].key, name) == 0;
	return count;
}

/* How a row calls the element that it is in: a tag or id that is no other's, else its number. */
static const char *called(struct book *book, const xmlNode *element, size_t number)
{
	const char *tag = kin_value(&book->arena, element, "tag");
	const char *name = tag ? tag : kin_value(&book->arena, element, "id");
	bool one = name && *name && *name != '#' && how_many(&book->tags, name) + how_many(&book->ids, name) == 1;
	return number == 1 ? "" : one ? name : arena_format(&book->arena, "#%zu", number);
}

static const char *row_kind(const xmlNode *element)
{
	while (book_is_row_word((const char *)element->name))
		element = element->parent;
	return (const char *)element->name;
}

static void add_row(struct book *book, struct row row)
{
	book->rows = arena_grow(&book->arena, book->rows, book->count, &book->capacity, sizeof *book->rows);
	row.number = book->count + 1;
	row.number_text = arena_format(&book->arena, "%zu", row.number);
	book->rows[book->count++] = row;
}

/* Without the blanks at its ends. */
static void add_comment(struct text *comments, const xmlNode *comment)
{
	static const char blanks[] = " \t\r\n";
	const char *words = (const char *)comment->content + strspn((const char *)comment->content, blanks);
	size_t length = strlen(words);
	while (length && strchr(blanks, words[length - 1]))
		length--;
	text_add(comments, comments->length ? BOOK_BETWEEN_COMMENTS : "");
	text_add_span(comments, words, length);
}

static void collect(struct book *book, const xmlNode *element, const char *part_of, const char *comment)
{
	const char *name = (const char *)element->name;
	add_row(book,
		(struct row){.node = element,
			.kind = row_kind(element),
			.word = book_is_row_word(name) ? name : "",
			.part_of = part_of,
			.text = kin_text(&book->arena, element),
			.comment = comment});
	const char *within = called(book, element, book->count);
	struct text comments = text_in(&book->arena);
	for (const xmlNode *node = element->children; node; node = node->next) {
		if (node->type == XML_COMMENT_NODE) {
			add_comment(&comments, node);
		} else if (node->type == XML_ELEMENT_NODE) {
			collect(book, node, within, comments.length ? comments.data : "");
			comments = text_in(&book->arena);
		}
	}
	if (comments.length)
		add_row(book,
			(struct row){.kind = row_kind(element),
				.word = BOOK_COMMENT_ROW,
				.part_of = within,
				.text = "",
				.comment = comments.data});
}

static void collect_all(struct book *book)
{
	const xmlNode *root = xmlDocGetRootElement(book->document->tree);
	struct text comments = text_in(&book->arena);
	for (const xmlNode *node = book->document->tree->children; node && node != root; node = node->next)
		if (node->type == XML_COMMENT_NODE)
			add_comment(&comments, node);
	book->tags = kin_with(&book->arena, root, "tag");
	book->ids = kin_with(&book->arena, root, "id");
	collect(book, root, "", comments.length ? comments.data : "");
}

/* ---- columns ---- */

struct column {
	const char *name;
	bool used;
	size_t widest; /* characters */
};

enum { OWN_FIRST = 3 }; /* number, part of, row */

struct columns {
	struct column *rows;
	size_t count, capacity;
};

static struct column *column_of(struct columns *columns, const char *name)
{
	for (size_t i = 0; i < columns->count; i++)
		if (strcmp(columns->rows[i].name, name) == 0)
			return &columns->rows[i];
	return NULL;
}

static void declare(struct book *book, struct columns *columns, const char *name)
{
	if (column_of(columns, name))
		return;
	columns->rows =
		arena_grow(&book->arena, columns->rows, columns->count, &columns->capacity, sizeof *columns->rows);
	columns->rows[columns->count++] = (struct column){.name = name, .widest = text_columns(name)};
}

/* A column that is not there, before the one at `at`. */
static void insert(struct book *book, struct columns *columns, size_t at, const char *name)
{
	declare(book, columns, name);
	const struct column column = columns->rows[columns->count - 1];
	memmove(&columns->rows[at + 1], &columns->rows[at], (columns->count - 1 - at) * sizeof *columns->rows);
	columns->rows[at] = column;
}

static const char *value_of(struct book *book, const struct row *row, const char *column)
{
	const struct {
		const char *column, *value;
	} own[] = {{BOOK_NUMBER, row->number_text}, {BOOK_PART_OF, row->part_of}, {BOOK_ROW, row->word},
		{BOOK_TEXT, row->text}, {BOOK_COMMENT, row->comment}};
	for (size_t i = 0; i < COUNT(own); i++)
		if (strcmp(own[i].column, column) == 0)
			return own[i].value;
	xmlChar *value = row->node ? xmlGetNoNsProp(row->node, (const xmlChar *)column) : NULL;
	const char *copy = value ? arena_copy(&book->arena, (const char *)value) : "";
	xmlFree(value);
	return copy;
}

/* As the rows have them: an attribute that no row had before comes after the one it follows in its element. */
static void declare_attributes(struct book *book, struct columns *columns, const char *kind)
{
	for (size_t i = 0; i < book->count; i++) {
		const struct row *row = &book->rows[i];
		size_t after = columns->count - 1;
		bool first = true;
		if (!row->node || strcmp(row->kind, kind) != 0)
			continue;
		for (const xmlAttr *attribute = row->node->properties; attribute; attribute = attribute->next) {
			if (document_is_for_editors(attribute))
				continue;
			const char *name = (const char *)attribute->name;
			const struct column *known = column_of(columns, name);
			after = known ? (size_t)(known - columns->rows) : first ? OWN_FIRST - 1 : after;
			if (!known)
				insert(book, columns, ++after, arena_copy(&book->arena, name));
			first = false;
		}
	}
}

static struct columns columns_of(struct book *book, const char *kind)
{
	struct columns all = {.rows = NULL}, used = {.rows = NULL};
	declare(book, &all, BOOK_NUMBER);
	declare(book, &all, BOOK_PART_OF);
	declare(book, &all, BOOK_ROW);
	declare_attributes(book, &all, kind);
	declare(book, &all, BOOK_TEXT);
	declare(book, &all, BOOK_COMMENT);
	for (size_t i = 0; i < all.count; i++) {
		struct column *column = &all.rows[i];
		for (size_t k = 0; k < book->count; k++)
			if (strcmp(book->rows[k].kind, kind) == 0) {
				size_t wide = text_columns(value_of(book, &book->rows[k], column->name));
				column->widest = wide > column->widest ? wide : column->widest;
				column->used = column->used || wide;
			}
		if (!column->used)
			continue;
		declare(book, &used, column->name);
		used.rows[used.count - 1].widest = column->widest;
	}
	return used;
}

/* ---- sheets ---- */

static void put(
	struct book *book, lxw_worksheet *sheet, size_t row, size_t column, const char *words, lxw_format *format)
{
	if (*words)
		note(book, worksheet_write_string(sheet, (lxw_row_t)row, (lxw_col_t)column, words, format));
}

static void add_sheet(struct book *book, const char *kind)
{
	enum { WIDEST = 40, MARGIN = 2 };
	struct columns columns = columns_of(book, kind);
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, kind);
	size_t at = 1;
	for (size_t k = 0; k < columns.count; k++) {
		double width = fmin((double)columns.rows[k].widest, WIDEST) + MARGIN;
		note(book, worksheet_set_column(sheet, (lxw_col_t)k, (lxw_col_t)k, width, book->cell));
		put(book, sheet, 0, k, columns.rows[k].name, book->head);
	}
	for (size_t i = 0; i < book->count; i++) {
		if (strcmp(book->rows[i].kind, kind) != 0)
			continue;
		for (size_t k = 0; k < columns.count; k++)
			put(book, sheet, at, k, value_of(book, &book->rows[i], columns.rows[k].name), book->cell);
		at++;
	}
	worksheet_freeze_panes(sheet, 1, OWN_FIRST < columns.count ? OWN_FIRST : 1);
	note(book, worksheet_autofilter(sheet, 0, 0, (lxw_row_t)(at - 1), (lxw_col_t)(columns.count - 1)));
}

static void add_about(struct book *book)
{
	static const char *const words[] = {
		"A description of an amine unit, to be edited in a spreadsheet and read back by `leanrich book`.",
		"One sheet for each kind of item, one row for each item, values with their units as the description "
		"writes them.",
		"Columns are found by their headings, which are attributes: any that `leanrich help describing KIND` "
		"lists may be added.",
		"No.: the order in the file. Leave it empty in a new row.",
		"Part of: the tag or id of the item that the row is in, or # and its number; empty: the unit.",
		"Row: empty for an item. in: values of the item in one operating case. stated: as another document "
		"states them. "
		"alternative: another choice that is left open.",
		"Sheets may be added for other kinds, named as the description names them. This sheet is not read.",
		"A screening aid: a licensed engineer decides, and local codes govern.",
	};
	enum { WIDE = 120 };
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, BOOK_ABOUT);
	note(book, worksheet_set_column(sheet, 0, 0, WIDE, book->words));
	for (size_t i = 0; i < COUNT(words); i++)
		put(book, sheet, i, 0, words[i], book->words);
}

static void add_sheets(struct book *book)
{
	for (size_t i = 0; i < book->count; i++) {
		size_t first = 0;
		while (strcmp(book->rows[first].kind, book->rows[i].kind) != 0)
			first++;
		if (first == i)
			add_sheet(book, book->rows[i].kind);
	}
	add_about(book);
}

static void make_formats(struct book *book)
{
	enum { PANEL = 0xE9E6DA };
	lxw_format **const formats[] = {&book->head, &book->cell, &book->words};
	for (size_t i = 0; i < COUNT(formats); i++) {
		*formats[i] = workbook_add_format(book->workbook);
		format_set_align(*formats[i], LXW_ALIGN_VERTICAL_TOP);
	}
	format_set_bold(book->head);
	format_set_bg_color(book->head, PANEL);
	format_set_num_format(book->cell, "@"); /* what is typed stays as typed: 3/4 is no date */
	format_set_text_wrap(book->words);
}

bool write_book(const struct document *document, const char *path)
{
	enum {
		DATED = 315532800
	}; /* 1980-01-01, the first a ZIP file knows: the library would write the time of the day */
	struct book book = {.document = document, .workbook = workbook_new(path)};
	if (!book.workbook)
		return false;
	lxw_doc_properties properties = {
		.title = arena_copy(&book.arena, "Description of an amine unit"), .created = DATED};
	note(&book, workbook_set_properties(book.workbook, &properties));
	make_formats(&book);
	collect_all(&book);
	add_sheets(&book);
	errno = 0;
	note(&book, workbook_close(book.workbook));
	arena_release(&book.arena);
	return book.fault == LXW_NO_ERROR;
}

static bool write_job(const void *document, const char *path)
{
	return write_book(document, path);
}

bool write_book_in_child(const struct document *document, const char *path)
{
	return workbook_in_child(write_job, document, path);
}

bool write_book_fits(const struct document *document, struct problems *problems)
{
	enum { CELL_CHARACTERS = 16000 }; /* half of what a cell can hold: characters may take two units each */
	struct book book = {.document = document};
	size_t before = problems->count;
	collect_all(&book);
	for (size_t i = 0; i < book.count; i++) {
		const struct row *row = &book.rows[i];
		size_t longest = text_columns(row->text) > text_columns(row->comment) ? text_columns(row->text)
										      : text_columns(row->comment);
		for (const xmlAttr *attribute = row->node ? row->node->properties : NULL; attribute;
			attribute = attribute->next) {
			size_t length = text_columns(value_of(&book, row, (const char *)attribute->name));
			longest = length > longest ? length : longest;
		}
		if (longest > CELL_CHARACTERS)
			problem_add(problems, PROBLEM_TOO_LARGE,
				row->node ? document_place(document, row->node)
					  : (struct place){.file = document->file},
				"a value of %zu characters; a cell of a workbook is given at most %d", longest,
				CELL_CHARACTERS);
	}
	arena_release(&book.arena);
	return problems->count == before;
}
