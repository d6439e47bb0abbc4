#include "import/book.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/book_words.h"
#include "import/source_edit.h"

struct row {
	const struct sheet *sheet;
	size_t at;				  /* row of the sheet */
	const char *kind;			  /* of the sheet */
	const char *name;			  /* of the element; NULL: a comment */
	const struct vocabulary_element *meaning; /* NULL until it is known what it is in */
	size_t order, given;			  /* given: its number, or 0 */
	const char *part_of, *text, *comment;
	const char *called; /* its tag or id, or "" */
	uint32_t called_hash;
	struct row *parent;
	struct row **children;
	size_t child_count, child_capacity;
	bool placed;
};

struct reading {
	struct arena *arena;
	const struct vocabulary *unit;
	struct problems *faults, *doubts;
	struct row **rows;
	size_t count, capacity;
	struct row *root;
	struct text out;
};

static const char *const own_headings[] = {BOOK_NUMBER, BOOK_PART_OF, BOOK_ROW, BOOK_TEXT, BOOK_COMMENT};

static const char *heading(const struct sheet *sheet, size_t column)
{
	return sheet_at(sheet, 0, column)->text;
}

static const char *cell_under(const struct sheet *sheet, size_t row, const char *name)
{
	for (size_t k = 0; k < sheet->columns; k++)
		if (strcmp(heading(sheet, k), name) == 0)
			return sheet_at(sheet, row, k)->text;
	return "";
}

/* "unit.xlsx!line", row and column. */
static struct place place_at(const struct reading *reading, const struct sheet *sheet, size_t row, size_t column)
{
	struct place place = sheet_place(sheet, row, column);
	place.file = arena_join(reading->arena, sheet->file, "!", sheet->name, "");
	return place;
}

/* The place of the cell under a heading, or of the row where there is no such column. */
static struct place place_under(const struct reading *reading, const struct row *row, const char *name)
{
	size_t k = 0;
	while (k < row->sheet->columns && strcmp(heading(row->sheet, k), name) != 0)
		k++;
	return place_at(reading, row->sheet, row->at, k < row->sheet->columns ? k : 0);
}

static bool is_own(const char *name)
{
	for (size_t i = 0; i < COUNT(own_headings); i++)
		if (strcmp(own_headings[i], name) == 0)
			return true;
	return false;
}

/* ---- sheets and rows ---- */

static bool is_kind(const struct vocabulary *unit, const char *name)
{
	for (size_t i = 0; i < unit->element_count; i++)
		if (strcmp(unit->elements[i]->name, name) == 0)
			return true;
	return false;
}

static void check_headings(struct reading *reading, const struct sheet *sheet)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const char *name = heading(sheet, k);
		struct place place = place_at(reading, sheet, 0, k);
		size_t filled = 0;
		for (size_t i = 1; i < sheet->rows; i++)
			filled += *sheet_at(sheet, i, k)->text != '\0';
		if (!*name && filled)
			problem_add(reading->faults, PROBLEM_MISSING, place,
				"the column has values and no heading; the first row names the attribute");
		for (size_t before = 0; before < k && *name; before++)
			if (strcmp(heading(sheet, before), name) == 0)
				problem_add(reading->faults, PROBLEM_DUPLICATE, place, "'%s' heads two columns", name);
	}
}

static bool is_blank(const struct sheet *sheet, size_t at)
{
	for (size_t k = 0; k < sheet->columns; k++)
		if (*sheet_at(sheet, at, k)->text)
			return false;
	return true;
}

/* What a spreadsheet could not calculate is no value. */
static void check_cells(struct reading *reading, const struct sheet *sheet, size_t at)
{
	for (size_t k = 0; k < sheet->columns; k++) {
		const struct sheet_cell *cell = sheet_at(sheet, at, k);
		if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED)
			problem_add(reading->faults, PROBLEM_MALFORMED, place_at(reading, sheet, at, k),
				"%s: the cell holds a formula without a value", heading(sheet, k));
	}
}

static size_t number_of(struct reading *reading, const struct row *row)
{
	const char *written = cell_under(row->sheet, row->at, BOOK_NUMBER);
	char *end;
	long number = strtol(written, &end, 10);
	if (!*written)
		return 0;
	if (*end || number <= 0)
		problem_add(reading->faults, PROBLEM_NOT_A_NUMBER, place_under(reading, row, BOOK_NUMBER),
			"'%s': the number of a row is a whole one, or the cell is empty", written);
	return *end || number <= 0 ? 0 : (size_t)number;
}

static void add_row(struct reading *reading, const struct sheet *sheet, size_t at)
{
	struct row *row = arena_alloc(reading->arena, sizeof *row);
	*row = (struct row){.sheet = sheet, .at = at, .kind = sheet->name, .order = reading->count};
	const char *word = cell_under(sheet, at, BOOK_ROW);
	bool comment = strcmp(word, BOOK_COMMENT_ROW) == 0;
	row->name = comment ? NULL : *word ? word : sheet->name;
	row->given = number_of(reading, row);
	row->part_of = cell_under(sheet, at, BOOK_PART_OF);
	row->text = cell_under(sheet, at, BOOK_TEXT);
	row->comment = cell_under(sheet, at, BOOK_COMMENT);
	const char *tag = cell_under(sheet, at, "tag");
	bool item = row->name && !book_is_row_word(row->name);
	row->called = !item ? "" : *tag ? tag : cell_under(sheet, at, "id");
	row->called_hash = text_hash(row->called);
	if (*word && !comment && !book_is_row_word(word))
		problem_add(reading->faults, PROBLEM_NOT_A_CHOICE, place_under(reading, row, BOOK_ROW),
			"'%s': a row is empty here, or in, stated, alternative, comment", word);
	check_cells(reading, sheet, at);
	reading->rows =
		arena_grow(reading->arena, reading->rows, reading->count, &reading->capacity, sizeof *reading->rows);
	reading->rows[reading->count++] = row;
}

static void read_sheet(struct reading *reading, const struct sheet *sheet)
{
	if (!is_kind(reading->unit, sheet->name)) {
		if (strcmp(sheet->name, BOOK_ABOUT) != 0)
			problem_add(reading->doubts, PROBLEM_CELL_LEFT_OUT, place_at(reading, sheet, 0, 0),
				"the sheet '%s' is passed over: it has not the name of a kind of item", sheet->name);
		return;
	}
	check_headings(reading, sheet);
	for (size_t at = 1; at < sheet->rows; at++)
		if (!is_blank(sheet, at))
			add_row(reading, sheet, at);
}

/* ---- order and place ---- */

/* By number; those without one come after, in the order of the workbook. */
static int by_order(const void *a, const void *b)
{
	const struct row *one = *(struct row *const *)a, *other = *(struct row *const *)b;
	if (one->given != other->given && one->given && other->given)
		return one->given < other->given ? -1 : 1;
	if (!one->given != !other->given)
		return one->given ? -1 : 1;
	return one->order < other->order ? -1 : 1;
}

static void check_numbers(struct reading *reading)
{
	for (size_t i = 1; i < reading->count; i++) {
		const struct row *row = reading->rows[i], *before = reading->rows[i - 1];
		if (row->given && row->given == before->given)
			problem_add(reading->faults, PROBLEM_DUPLICATE, place_under(reading, row, BOOK_NUMBER),
				"number %zu stands in %s too", row->given,
				sheet_cell_name(reading->arena, before->sheet, before->at, 0));
	}
}

static bool is_numbered(const struct row *row, const char *name)
{
	char *end;
	unsigned long number = strtoul(name + 1, &end, 10);
	return !*end && row->given == number && number;
}

static struct row *find_parent(struct reading *reading, const struct row *row)
{
	struct row *found = NULL;
	size_t count = 0;
	uint32_t hash = text_hash(row->part_of);
	if (!*row->part_of)
		return reading->root;
	for (size_t i = 0; i < reading->count; i++) {
		struct row *other = reading->rows[i];
		bool named = *row->part_of == '#'
			? is_numbered(other, row->part_of)
			: other->called_hash == hash && strcmp(other->called, row->part_of) == 0;
		found = named && !found ? other : found;
		count += named;
	}
	if (count != 1)
		problem_add(reading->faults, count ? PROBLEM_DUPLICATE : PROBLEM_NO_SUCH_ITEM,
			place_under(reading, row, BOOK_PART_OF),
			count ? "'%s' is the name of %zu rows: name it by #number"
			      : "'%s' is no tag, id or #number of a row",
			row->part_of, count);
	return count == 1 ? found : NULL;
}

static void place_row(struct reading *reading, struct row *row)
{
	if (row == reading->root)
		return;
	row->parent = find_parent(reading, row);
	struct row *parent = row->parent;
	if (!parent)
		return;
	parent->children = arena_grow(reading->arena, parent->children, parent->child_count, &parent->child_capacity,
		sizeof *parent->children);
	parent->children[parent->child_count++] = row;
}

static struct row *find_root(struct reading *reading)
{
	struct row *root = NULL;
	for (size_t i = 0; i < reading->count; i++) {
		struct row *row = reading->rows[i];
		if (strcmp(row->kind, "unit") != 0 || !row->name || book_is_row_word(row->name))
			continue;
		if (root)
			problem_add(reading->faults, PROBLEM_DUPLICATE, place_under(reading, row, BOOK_NUMBER),
				"a second unit: a description has one");
		root = root ? root : row;
	}
	return root;
}

/* ---- what may be there ---- */

static void check_attributes(struct reading *reading, const struct row *row)
{
	const struct vocabulary_element *meaning = row->meaning;
	for (size_t k = 0; k < row->sheet->columns; k++) {
		const char *name = heading(row->sheet, k);
		if (*sheet_at(row->sheet, row->at, k)->text && *name && !is_own(name) &&
			!vocabulary_attribute(meaning, name))
			problem_add(reading->faults, PROBLEM_UNKNOWN_ATTRIBUTE,
				place_at(reading, row->sheet, row->at, k),
				"'%s' is no attribute of <%s>; `leanrich help describing %s` lists them", name,
				row->name, row->kind);
	}
	for (size_t i = 0; i < meaning->attribute_count; i++)
		if (meaning->attributes[i].required && !*cell_under(row->sheet, row->at, meaning->attributes[i].name))
			problem_add(reading->faults, PROBLEM_MISSING,
				place_under(reading, row, meaning->attributes[i].name),
				"<%s> needs the attribute '%s': %s", row->name, meaning->attributes[i].name,
				meaning->attributes[i].documentation);
	if (*row->text && !meaning->text)
		problem_add(reading->faults, PROBLEM_STRAY_TEXT, place_under(reading, row, BOOK_TEXT),
			"<%s> holds no text", row->name);
}

static void check_row(struct reading *reading, struct row *row, const struct vocabulary_element *parent)
{
	row->placed = true;
	if (!row->name)
		return;
	row->meaning = parent ? vocabulary_child(parent, row->name) : vocabulary_root(reading->unit, row->name);
	if (!row->meaning) {
		problem_add(reading->faults, PROBLEM_UNKNOWN_ELEMENT, place_under(reading, row, BOOK_PART_OF),
			"<%s> cannot be in <%s>", row->name, row->parent ? row->parent->name : "");
		return;
	}
	check_attributes(reading, row);
	for (size_t i = 0; i < row->child_count; i++)
		check_row(reading, row->children[i], row->meaning);
}

/* What the unit does not reach is in itself, or in a comment, or in a row that has its own fault. */
static void check_placed(struct reading *reading)
{
	for (size_t i = 0; i < reading->count; i++) {
		const struct row *row = reading->rows[i], *within = row;
		for (size_t steps = 0; within && steps <= reading->count; steps++)
			within = within->parent;
		if (within && !row->placed)
			problem_add(reading->faults, PROBLEM_CANNOT_BE, place_under(reading, row, BOOK_PART_OF),
				"the row is part of itself");
		if (row->parent && !row->parent->name)
			problem_add(reading->faults, PROBLEM_CANNOT_BE, place_under(reading, row, BOOK_PART_OF),
				"nothing can be part of a comment");
		if (row->name && book_is_row_word(row->name) && row->parent && row->parent->kind != row->kind &&
			strcmp(row->parent->kind, row->kind) != 0)
			problem_add(reading->faults, PROBLEM_CANNOT_BE, place_under(reading, row, BOOK_PART_OF),
				"'%s' is no %s: the row belongs on the sheet '%s'", row->part_of, row->kind,
				row->parent->kind);
	}
}

/* ---- the description ---- */

static void write_comments(struct text *out, const char *comments, const char *indent)
{
	while (*comments) {
		const char *between = strstr(comments, BOOK_BETWEEN_COMMENTS);
		size_t length = between ? (size_t)(between - comments) : strlen(comments);
		text_addf(out, "%s<!-- ", indent);
		for (size_t i = 0; i < length; i++) {
			text_add_char(out, comments[i]);
			if (comments[i] == '-' && i + 1 < length && comments[i + 1] == '-')
				text_add_char(out, ' ');
		}
		text_add(out, " -->\n");
		comments += length + (between ? strlen(BOOK_BETWEEN_COMMENTS) : 0);
	}
}

static void write_text(struct text *out, const char *words)
{
	for (const char *c = words; *c; c++)
		if (*c == '&')
			text_add(out, "&amp;");
		else if (*c == '<')
			text_add(out, "&lt;");
		else if (*c == '>')
			text_add(out, "&gt;");
		else
			text_add_char(out, *c);
}

static void write_row(struct text *out, const struct row *row, size_t depth)
{
	char indent[32];
	size_t tabs = depth < sizeof indent ? depth : sizeof indent - 1;
	memset(indent, '\t', tabs);
	indent[tabs] = '\0';
	write_comments(out, row->comment, indent);
	if (!row->name)
		return;
	text_addf(out, "%s<%s%s", indent, row->name, depth ? "" : " xmlns=\"urn:leanrich:unit:1\"");
	for (size_t k = 0; k < row->sheet->columns; k++) {
		const char *name = heading(row->sheet, k), *value = sheet_at(row->sheet, row->at, k)->text;
		if (!*value || is_own(name))
			continue;
		text_addf(out, " %s=\"", name);
		source_add_value(out, value);
		text_add_char(out, '"');
	}
	bool empty = !*row->text && !row->child_count;
	text_add(out, empty ? "/>\n" : ">");
	write_text(out, row->text);
	text_add(out, row->child_count ? "\n" : "");
	for (size_t i = 0; i < row->child_count; i++)
		write_row(out, row->children[i], depth + 1);
	if (!empty)
		text_addf(out, "%s</%s>\n", row->child_count ? indent : "", row->name);
}

const char *book_read(struct arena *arena, const struct workbook *workbook, const struct vocabulary *unit,
	struct problems *faults, struct problems *doubts)
{
	struct reading reading = {
		.arena = arena, .unit = unit, .faults = faults, .doubts = doubts, .out = text_in(arena)};
	size_t before = faults->count;
	for (size_t i = 0; i < workbook->count; i++)
		read_sheet(&reading, &workbook->sheets[i]);
	if (reading.count)
		qsort(reading.rows, reading.count, sizeof *reading.rows, by_order);
	check_numbers(&reading);
	reading.root = find_root(&reading);
	if (!reading.root) {
		const char *file = workbook->count ? workbook->sheets[0].file : "the workbook";
		problem_add(faults, PROBLEM_MISSING, (struct place){.file = file},
			"no sheet 'unit' with a row: it is no description's workbook");
		return NULL;
	}
	for (size_t i = 0; i < reading.count; i++)
		place_row(&reading, reading.rows[i]);
	check_row(&reading, reading.root, NULL);
	check_placed(&reading);
	if (faults->count != before)
		return NULL;
	text_add(&reading.out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
	write_row(&reading.out, reading.root, 0);
	return reading.out.data;
}
