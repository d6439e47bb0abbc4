#include "import/line_list.h"

#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "import/draft.h"
#include "import/list_cell.h"

/* What a line is reviewed by: a draft says which of these it lacks. */
static const char *const wanted[] = {"stream", "size", "schedule", "material", "pwht", "temperature", "pressure",
	"design-temperature", "design-pressure", "corrosion-allowance", "traced", "steamed-out", "insulated"};

struct column {
	const struct element *map;
	const struct vocabulary_attribute *attribute; /* NULL: passed over */
	struct cell_rules rules;
};

struct list {
	struct arena *arena;
	const char *file;
	const struct element *map;
	const struct vocabulary_element *line; /* of descriptions */
	struct problems *faults, *doubts;
	struct cells_file cells;
	size_t head; /* the row of headings */
	struct column *columns;
	size_t column_count;
	const char **tags;
	size_t tag_count, tag_capacity;
	struct text draft;
	struct line_list out;
};

/* ---- headings ---- */

static bool names(const char *headings, const char *cell)
{
	for (const char *at = headings; *at;) {
		size_t length = strcspn(at, "|"), i = 0;
		while (i < length && cell[i] &&
			(at[i] == cell[i] || ((at[i] | 0x20) == (cell[i] | 0x20) && (cell[i] | 0x20) >= 'a')))
			i++;
		if (i == length && !cell[i])
			return true;
		at += length + (at[length] == '|');
	}
	return false;
}

static const struct element *column_called(const struct list *list, const char *heading)
{
	for (size_t i = 0; i < list->map->child_count; i++)
		if (names(element_attribute(list->map->children[i], "heading"), heading))
			return list->map->children[i];
	return NULL;
}

/* The row in which most headings of the map are; lists begin with titles and revisions. */
static bool find_head(struct list *list)
{
	size_t most = 0;
	for (size_t i = 0; i < list->cells.count; i++) {
		size_t found = 0;
		for (size_t k = 0; k < list->cells.lines[i].count; k++)
			found += column_called(list, list->cells.lines[i].cells[k]) != NULL;
		if (found > most) {
			most = found;
			list->head = i;
		}
	}
	return most > 0;
}

static struct column column_of(struct list *list, const struct element *map)
{
	struct column column = {.map = map};
	const char *field = element_attribute(map, "field");
	if (strcmp(field, "-") == 0)
		return column;
	column.attribute = vocabulary_attribute(list->line, field);
	column.rules = (struct cell_rules){
		.decimal_comma = strcmp(element_attribute_or(list->map, "decimal", "point"), "comma") == 0,
		.lowest = strcmp(element_attribute_or(map, "of-range", "highest"), "lowest") == 0,
		.unit = element_attribute(map, "unit"),
		.ambient = element_attribute(list->map, "ambient")};
	return column;
}

static void check_map(struct list *list)
{
	for (size_t i = 0; i < list->map->child_count; i++) {
		const struct element *map = list->map->children[i];
		const char *field = element_attribute(map, "field");
		if (strcmp(field, "-") != 0 && !vocabulary_attribute(list->line, field))
			problem_add(list->faults, PROBLEM_UNKNOWN_ATTRIBUTE, element_attribute_place(map, "field"),
				"a line has no '%s'", field);
	}
}

/* Of two columns that give one field, which holds is not ours to choose. */
static void refuse_second(struct list *list, size_t second)
{
	const struct vocabulary_attribute *field = list->columns[second].attribute;
	size_t first = 0;
	while (first < second && list->columns[first].attribute != field)
		first++;
	if (!field || first == second)
		return;
	const struct cells_line *head = &list->cells.lines[list->head];
	problem_add(list->faults, PROBLEM_DUPLICATE,
		(struct place){.file = list->file, .line = head->row, .column = (int)second + 1},
		"'%s' gives '%s', which '%s' in column %zu gives already: head one of them otherwise, or let the map "
		"pass it "
		"over",
		head->cells[second], field->name, head->cells[first], first + 1);
}

static void read_heads(struct list *list)
{
	const struct cells_line *head = &list->cells.lines[list->head];
	list->column_count = head->count;
	list->columns = arena_alloc(list->arena, (head->count + 1) * sizeof *list->columns);
	bool tag = false;
	for (size_t k = 0; k < head->count; k++) {
		const struct element *map = column_called(list, head->cells[k]);
		struct place place = {.file = list->file, .line = head->row, .column = (int)k + 1};
		if (map)
			list->columns[k] = column_of(list, map);
		else if (*head->cells[k])
			problem_add(list->doubts, PROBLEM_CELL_LEFT_OUT, place,
				"the map does not know the heading '%s'; the column is passed over", head->cells[k]);
		refuse_second(list, k);
		tag = tag || (list->columns[k].attribute && strcmp(list->columns[k].attribute->name, "tag") == 0);
	}
	if (!tag)
		problem_add(list->faults, PROBLEM_MISSING, (struct place){.file = list->file, .line = head->row},
			"no column gives the tag of a line");
}

/* ---- rows ---- */

static const char *meant(struct arena *arena, const struct element *map, const char *cell)
{
	for (size_t i = 0; i < map->child_count; i++)
		if (names(element_attribute(map->children[i], "written"), cell))
			return arena_copy(arena, element_attribute(map->children[i], "means"));
	return cell;
}

static const char *heading_of(const struct list *list, size_t column)
{
	return list->cells.lines[list->head].cells[column];
}

static void doubt(struct list *list, const struct cells_line *row, size_t column, const struct cell_value *value)
{
	struct place place = {.file = list->file, .line = row->row, .column = (int)column + 1};
	bool left = value->fate == CELL_LEFT_OUT;
	list->out.doubtful++;
	problem_add(list->doubts, left ? PROBLEM_CELL_LEFT_OUT : PROBLEM_CELL_INTERPRETED, place, "%s: %s %s%s%s: %s",
		heading_of(list, column), text_quoted(list->arena, row->cells[column]), left ? "left out" : "read as '",
		left ? "" : value->value, left ? "" : "'", value->why);
}

struct drafted {
	const char *tag;
	struct text attributes, marks; /* marks: what is doubtful or refers to what the draft has not */
	bool *stated;		       /* by `wanted` */
	bool vacuum;
};

static void note_stated(struct drafted *line, const char *name)
{
	for (size_t i = 0; i < COUNT(wanted); i++)
		if (strcmp(wanted[i], name) == 0)
			line->stated[i] = true;
}

static void read_field(struct list *list, const struct cells_line *row, size_t k, struct drafted *line)
{
	const struct column *column = &list->columns[k];
	const char *cell = meant(list->arena, column->map, row->cells[k]), *name = column->attribute->name;
	struct cell_value value = list_cell(list->arena, cell, column->attribute->type, &column->rules);
	list->out.cells += *row->cells[k] != '\0';
	line->vacuum = line->vacuum || value.vacuum;
	if (value.fate == CELL_INTERPRETED || value.fate == CELL_LEFT_OUT) {
		doubt(list, row, k, &value);
		text_addf(&line->marks, "; %s '%s' %s", name, row->cells[k],
			value.fate == CELL_LEFT_OUT ? "left out" : "interpreted");
	}
	if (value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED)
		return;
	if (strcmp(name, "tag") == 0) {
		line->tag = value.value;
	} else if (strncmp(column->attribute->type->name, "reference", 9) == 0) {
		text_addf(&line->marks, "; %s %s, to be described", name, value.value);
	} else {
		text_addf(&line->attributes, " %s=\"", name);
		draft_escape(&line->attributes, value.value, false);
		text_add_char(&line->attributes, '"');
		note_stated(line, name);
	}
}

static bool is_taken(struct list *list, const char *tag)
{
	for (size_t i = 0; i < list->tag_count; i++)
		if (strcmp(list->tags[i], tag) == 0)
			return true;
	list->tags = arena_grow(list->arena, list->tags, list->tag_count, &list->tag_capacity, sizeof *list->tags);
	list->tags[list->tag_count++] = tag;
	return false;
}

static void leave_row_out(struct list *list, const struct cells_line *row, const char *why)
{
	list->out.left_out++;
	list->out.doubtful++;
	problem_add(list->doubts, PROBLEM_CELL_LEFT_OUT,
		(struct place){.file = list->file, .line = row->row, .column = 1}, "the row is left out: %s", why);
	text_addf(&list->draft, "\n  <!-- row %d left out: ", row->row);
	draft_escape(&list->draft, why, true);
	text_add(&list->draft, " -->");
}

static bool has(const struct list *list, const struct drafted *line, const char *name)
{
	return strstr(line->attributes.data, arena_format(list->arena, " %s=\"", name)) != NULL;
}

static void write_line(struct list *list, const struct cells_line *row, struct drafted *line)
{
	struct text lacking = text_in(list->arena);
	for (size_t i = 0; i < COUNT(wanted); i++)
		if (!line->stated[i])
			text_addf(&lacking, "%s %s", lacking.length ? "," : "", wanted[i]);
	text_addf(&list->draft, "\n  <!-- row %d", row->row);
	if (lacking.length)
		text_addf(&list->draft, "; not stated:%s", lacking.data);
	draft_escape(&list->draft, line->marks.data, true);
	text_add(&list->draft, " -->\n  <line tag=\"");
	draft_escape(&list->draft, line->tag, false);
	text_addf(&list->draft, "\"%s%s", line->attributes.data,
		line->vacuum && !has(list, line, "vacuum-design") ? " vacuum-design=\"yes\"" : "");
	const char *document = element_attribute(list->map, "document");
	if (document && !has(list, line, "data")) {
		text_add(&list->draft, " data=\"");
		draft_escape(&list->draft, document, false);
		text_add_char(&list->draft, '"');
	}
	text_add(&list->draft, "/>");
	list->out.lines++;
}

static void read_row(struct list *list, const struct cells_line *row)
{
	struct drafted line = {.attributes = text_in(list->arena),
		.marks = text_in(list->arena),
		.stated = arena_alloc(list->arena, COUNT(wanted))};
	if (row->count > list->column_count) {
		struct place place = {.file = list->file, .line = row->row, .column = (int)list->column_count + 1};
		list->out.doubtful++;
		problem_add(
			list->doubts, PROBLEM_CELL_LEFT_OUT, place, "more cells than headings: an unquoted separator?");
	}
	for (size_t k = 0; k < row->count && k < list->column_count; k++)
		if (list->columns[k].attribute)
			read_field(list, row, k, &line);
	if (!line.tag)
		leave_row_out(list, row, "no tag");
	else if (is_taken(list, line.tag))
		leave_row_out(list, row, arena_format(list->arena, "the tag '%s' occurs above already", line.tag));
	else
		write_line(list, row, &line);
}

/* The rows of the sheet that hold anything. */
static struct cells_file rows_of(struct arena *arena, const struct sheet *sheet)
{
	struct cells_file rows = {.unclosed = sheet->unclosed};
	struct cells_line *lines = arena_alloc(arena, (sheet->rows + 1) * sizeof *lines);
	for (size_t i = 0; i < sheet->rows; i++) {
		struct cells_line line = {
			.row = (int)i + 1, .count = sheet->widths ? sheet->widths[i] : sheet->columns};
		const char **cells = arena_alloc(arena, (line.count + 1) * sizeof *cells);
		bool any = false;
		for (size_t k = 0; k < line.count; k++)
			any = *(cells[k] = sheet_at(sheet, i, k)->text) || any;
		line.cells = cells;
		if (any)
			lines[rows.count++] = line;
	}
	rows.lines = lines;
	return rows;
}

/* ---- the draft ---- */

static void begin_draft(struct list *list)
{
	text_add(&list->draft, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!--\nA draft made from ");
	draft_escape(&list->draft, list->file, true);
	text_add(&list->draft,
		". Solvent, streams and equipment are not in a line list: describe them, then give each line its "
		"stream and\n"
		"its ends. What the list does not state, and what had to be interpreted, is said before each "
		"line.\n-->\n"
		"<unit xmlns=\"urn:leanrich:unit:1\" number=\"");
	draft_escape(&list->draft, element_attribute_or(list->map, "number", "draft"), false);
	text_add(&list->draft, "\" name=\"");
	draft_escape(&list->draft, element_attribute_or(list->map, "name", "Draft from a line list"), false);
	text_add(&list->draft, "\">\n  <!-- not stated: basis, solvent, gas, streams, equipment -->");
}

struct line_list line_list_read(struct arena *arena, const struct sheet *sheet, const struct element *map,
	const struct vocabulary *unit, struct problems *faults, struct problems *doubts)
{
	const struct vocabulary_element *root = vocabulary_root(unit, "unit");
	struct list list = {.arena = arena,
		.file = sheet->file,
		.map = map,
		.line = vocabulary_child(root, "line"),
		.faults = faults,
		.doubts = doubts,
		.cells = rows_of(arena, sheet),
		.draft = text_in(arena)};
	size_t before = faults->count;
	check_map(&list);
	if (list.cells.unclosed)
		problem_add(faults, PROBLEM_MALFORMED, (struct place){.file = sheet->file, .line = list.cells.unclosed},
			"a quote is opened here and never closed");
	if (!find_head(&list))
		problem_add(faults, PROBLEM_MISSING, (struct place){.file = sheet->file},
			"no row holds a heading that the map knows");
	else
		read_heads(&list);
	if (faults->count != before)
		return list.out;
	begin_draft(&list);
	for (size_t i = list.head + 1; i < list.cells.count; i++)
		read_row(&list, &list.cells.lines[i]);
	text_add(&list.draft, "\n</unit>\n");
	list.out.draft = list.draft.data;
	return list.out;
}
