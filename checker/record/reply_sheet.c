#include "record/reply_sheet.h"

#include <string.h>

#include "base/cells.h"
#include "base/text.h"

static const char *const heads[REPLY_COLUMNS] = {
	"Id", "Reply", "Status", "Answer", "Value", "Unit", "Attribute", "New value"};

struct reader {
	struct arena *arena;
	const struct review *review;
	struct problems *problems;
	struct reply_sheet *sheet;
	struct cells_file file;
	size_t head; /* index of the line that names the columns */
	size_t at[REPLY_COLUMNS];
	struct names was; /* the names that items of this unit had before */
};

/* Where each column is; the count of cells where it is missing. Gives how many of Id and Reply are there. */
static int find_columns(const struct cells_line *line, size_t at[REPLY_COLUMNS])
{
	for (size_t k = 0; k < REPLY_COLUMNS; k++) {
		at[k] = line->count;
		for (size_t i = line->count; i-- > 0;)
			if (text_same_nocase(line->cells[i], heads[k]))
				at[k] = i;
	}
	return (at[REPLY_ID] < line->count) + (at[REPLY_WORDS] < line->count);
}

/* A cell as a spreadsheet counts: row, and column from 1. */
static void refuse(struct reader *reader, int row, size_t column, const char *what)
{
	problem_add(reader->problems, PROBLEM_NOT_REPLIES,
		(struct place){.file = reader->sheet->file, .line = row, .column = (int)column + 1}, "%s", what);
}

/* A title above the table may hold a comma where the table has semicolons: the separator is the one that gives the heads. */
static bool find_head(struct reader *reader, const char *bytes)
{
	static const char separators[] = ",;\t";
	const struct cells_line *nearest = NULL;
	size_t at[REPLY_COLUMNS];
	for (const char *separator = separators; *separator; separator++) {
		reader->file = cells_read(reader->arena, bytes, *separator);
		for (reader->head = 0; reader->head < reader->file.count; reader->head++) {
			const struct cells_line *line = &reader->file.lines[reader->head];
			int found = find_columns(line, reader->at);
			if (found == 2)
				return true;
			nearest = found ? line : nearest;
		}
	}
	if (!nearest) {
		problem_add(reader->problems, PROBLEM_NOT_REPLIES, (struct place){.file = reader->sheet->file},
			"no line names the columns Id and Reply, as the action list does");
		return false;
	}
	find_columns(nearest, at);
	refuse(reader, nearest->row, 0,
		at[REPLY_ID] < nearest->count ? "the column Reply is missing" : "the column Id is missing");
	return false;
}

static void check_head(struct reader *reader)
{
	const struct cells_line *line = &reader->file.lines[reader->head];
	for (size_t k = 0; k < REPLY_COLUMNS; k++)
		for (size_t i = reader->at[k] + 1; i < line->count; i++)
			if (text_same_nocase(line->cells[i], heads[k]))
				refuse(reader, line->row, i,
					arena_format(reader->arena, "a second column is headed %s", heads[k]));
	if (reader->at[REPLY_STATUS] == line->count)
		refuse(reader, line->row, 0, "the column Status is missing: what was closed cannot be told");
}

const char *const reply_statuses[] = {"open", "answered", "closed", NULL};

static bool is_status(const char *word)
{
	bool known = !*word;
	for (size_t i = 0; reply_statuses[i]; i++)
		known = known || text_same_nocase(word, reply_statuses[i]);
	return known;
}

static void check_row(struct reader *reader, const struct cells_line *line, const struct reply_row *row)
{
	size_t columns = reader->file.lines[reader->head].count;
	for (size_t i = columns; i < line->count; i++)
		if (*line->cells[i]) {
			refuse(reader, line->row, i,
				"a cell beyond the last column: is a reply with a separator in it not quoted?");
			return;
		}
	if (!*row->cells[REPLY_ID] && (*row->cells[REPLY_WORDS] || *row->cells[REPLY_ANSWER]))
		refuse(reader, line->row, reader->at[REPLY_ID], "a reply without an id: nobody knows what it is for");
	if (*row->cells[REPLY_ID] && !is_status(row->cells[REPLY_STATUS]))
		refuse(reader, line->row, reader->at[REPLY_STATUS],
			arena_format(reader->arena, "status %s: allowed are open, answered, closed",
				text_quoted(reader->arena, row->cells[REPLY_STATUS])));
}

/* ---- of which unit ---- */

/* The first row that names another unit. */
static void check_unit(struct reader *reader)
{
	const char *number = reader->review->number;
	for (size_t i = 0; *number && i < reader->sheet->count; i++) {
		const struct reply_row *row = &reader->sheet->rows[i];
		const char *unit = row->cells[REPLY_UNIT];
		if (!*unit || text_same_nocase(unit, number))
			continue;
		refuse(reader, row->line, reader->at[REPLY_UNIT],
			arena_format(reader->arena,
				"replies of another unit: the sheet is of %s, the description of '%s'; if the unit was "
				"renumbered, leave out the column Unit",
				text_quoted(reader->arena, unit), number));
		return;
	}
}

static bool names_an_item(struct reader *reader, const struct reply_row *row)
{
	const char *item = reply_item(reader->arena, row->cells[REPLY_ID]);
	return strcmp(item, "unit") == 0 || table_find(reader->review->table, item) != NULL;
}

/* A sheet from before the column Unit, or without it. */
static void check_items(struct reader *reader)
{
	const struct reply_sheet *sheet = reader->sheet;
	for (size_t i = 0; i < sheet->count; i++)
		if (*sheet->rows[i].cells[REPLY_UNIT] || names_an_item(reader, &sheet->rows[i]))
			return;
	if (sheet->count)
		refuse(reader, sheet->rows[0].line, reader->at[REPLY_ID],
			arena_format(reader->arena,
				"replies of another unit: not one item that the sheet names is in unit '%s'",
				reader->review->number));
}

/* ---- ids ---- */

const char *reply_item(struct arena *arena, const char *id)
{
	const char *first = strchr(id, '/'), *last = strrchr(id, '/');
	return first && last > first ? arena_copy_span(arena, first + 1, (size_t)(last - first - 1)) : "";
}

static void collect_former_names(struct reader *reader)
{
	const struct table *table = reader->review->table;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const char *was = table_word(table, table_item(table, i), EVERY_CASE, "was");
		if (was && *was)
			names_add(reader->arena, &reader->was, was, i);
	}
	names_sort(&reader->was);
}

/* The item that had this name before, or a name with which it begins: "E-1" and "E-1 tube side". The first of several. */
static const struct item *renamed(const struct reader *reader, const char *item, size_t *length)
{
	const struct item *found = NULL;
	for (size_t end = 1; *item && reader->was.count; end++) {
		if (item[end] == '\0' || item[end] == ' ') {
			size_t at = names_first(&reader->was, item, end);
			bool is = at < reader->was.count && (!found || reader->was.rows[at].at < found->index);
			found = is ? table_item(reader->review->table, reader->was.rows[at].at) : found;
			*length = is ? end : *length;
		}
		if (item[end] == '\0')
			break;
	}
	return found;
}

/* Sheets of version 0.1.0 name by "-apart" what is a "-difference" now. */
static const char *cause_now(struct arena *arena, const char *id)
{
	static const char was[] = "-apart";
	return text_ends(id, was) ? arena_format(arena, "%.*s-difference", (int)(strlen(id) - strlen(was)), id) : id;
}

/* The id as it would be now, where the item was renamed since and says so. */
static const char *id_now(const struct reader *reader, const char *id)
{
	const char *item = reader->was.count ? reply_item(reader->arena, id) : "";
	size_t length = 0;
	const struct item *now =
		*item && !table_find(reader->review->table, item) ? renamed(reader, item, &length) : NULL;
	return now ? arena_format(reader->arena, "%.*s/%s%s%s", (int)strcspn(id, "/"), id, now->tag, item + length,
			     strrchr(id, '/'))
		   : id;
}

/* ---- the sheet ---- */

static void read_rows(struct reader *reader)
{
	struct reply_sheet *sheet = reader->sheet;
	sheet->rows = arena_alloc(reader->arena, (reader->file.count + 1) * sizeof *sheet->rows);
	for (size_t i = reader->head + 1; i < reader->file.count; i++) {
		const struct cells_line *line = &reader->file.lines[i];
		struct reply_row *row = &sheet->rows[sheet->count];
		*row = (struct reply_row){.line = line->row};
		for (size_t k = 0; k < REPLY_COLUMNS; k++)
			row->cells[k] = reader->at[k] < line->count ? line->cells[reader->at[k]] : "";
		check_row(reader, line, row);
		if (!*row->cells[REPLY_ID])
			continue;
		row->cells[REPLY_ID] = id_now(reader, cause_now(reader->arena, row->cells[REPLY_ID]));
		names_add(reader->arena, &sheet->by_id, row->cells[REPLY_ID], sheet->count++);
	}
	names_sort(&sheet->by_id);
}

bool reply_sheet_read(struct arena *arena, const struct review *review, const char *file, const char *bytes,
	struct problems *problems, struct reply_sheet *sheet)
{
	size_t before = problems->count;
	struct reader reader = {.arena = arena, .review = review, .problems = problems, .sheet = sheet};
	*sheet = (struct reply_sheet){.file = file};
	if (!find_head(&reader, bytes))
		return false;
	check_head(&reader);
	if (reader.file.unclosed)
		problem_add(problems, PROBLEM_MALFORMED,
			(struct place){.file = file, .line = reader.file.unclosed, .column = 1},
			"a quote is opened here and never closed");
	collect_former_names(&reader);
	read_rows(&reader);
	sheet->has_values = reader.at[REPLY_VALUE] < reader.file.lines[reader.head].count;
	if (problems->count == before)
		check_unit(&reader);
	if (problems->count == before)
		check_items(&reader);
	return problems->count == before;
}

struct reply_row *reply_sheet_take(struct reply_sheet *sheet, const char *id, struct problems *problems)
{
	struct reply_row *found = NULL;
	size_t first = names_first(&sheet->by_id, id, strlen(id));
	size_t end = first < sheet->by_id.count ? names_next(&sheet->by_id, first) : first;
	for (size_t i = first; i < end; i++) {
		struct reply_row *row = &sheet->rows[sheet->by_id.rows[i].at];
		if (found)
			problem_add(problems, PROBLEM_DUPLICATE,
				(struct place){.file = sheet->file, .line = row->line, .column = 1},
				"'%s' is at line %d too; this one counts", id, found->line);
		row->used = true;
		found = row;
	}
	return found;
}
