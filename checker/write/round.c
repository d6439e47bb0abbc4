#include "write/round.h"

#include <string.h>

#include "base/cells.h"
#include "base/text.h"

const char *round_word(enum round_state state)
{
	static const char *const words[] = {
		"new", "reopened", "answered", "open", "cannot be confirmed", "closed", "closed before", "unknown"};
	return words[state];
}

const char *round_status(enum round_state state)
{
	if (state == ROUND_CLOSED || state == ROUND_STAYS)
		return "closed";
	return state == ROUND_ANSWERED ? "answered" : "open";
}

/* ---- the sheet ---- */

enum sheet_column { SHEET_ID, SHEET_REPLY, SHEET_STATUS, SHEET_ANSWER, SHEET_VALUE, SHEET_COLUMNS };

struct sheet_row {
	const char *cells[SHEET_COLUMNS];
	int line;
	bool used;
};

struct sheet {
	struct cells_file file;
	size_t head; /* index of the line that names the columns */
	size_t at[SHEET_COLUMNS];
};

struct replies {
	struct arena *arena;
	const struct review *review;
	struct problems *problems;
	const char *file;
	struct sheet_row *sheet;
	size_t sheet_count;
	bool has_values; /* the sheet has the column Value */
	struct round *round;
	struct round_row *rows;
	size_t capacity;
};

static const char *const sheet_heads[SHEET_COLUMNS] = {"Id", "Reply", "Status", "Answer", "Value"};

/* Where each column stands; the count of cells where it does not. Gives how many of Id and Reply are there. */
static int find_columns(const struct cells_line *line, size_t at[SHEET_COLUMNS])
{
	for (size_t k = 0; k < SHEET_COLUMNS; k++) {
		at[k] = line->count;
		for (size_t i = line->count; i-- > 0;)
			if (text_same_nocase(line->cells[i], sheet_heads[k]))
				at[k] = i;
	}
	return (at[SHEET_ID] < line->count) + (at[SHEET_REPLY] < line->count);
}

/* A cell as a spreadsheet counts: row, and column from 1. */
static void refuse(struct replies *to, int row, size_t column, const char *what)
{
	problem_add(to->problems, PROBLEM_NOT_REPLIES,
		(struct place){.file = to->file, .line = row, .column = (int)column + 1}, "%s", what);
}

/* The middle of an id: "rule/item/cause", where the item may hold slashes and the two others do not. */
static const char *item_in(struct arena *arena, const char *id)
{
	const char *first = strchr(id, '/'), *last = strrchr(id, '/');
	return first && last > first ? arena_copy_span(arena, first + 1, (size_t)(last - first - 1)) : "";
}

/* The id as it would be now, where the item was renamed since and says so. */
static const char *id_now(const struct replies *to, const char *id)
{
	const struct table *table = to->review->table;
	const char *item = item_in(to->arena, id);
	for (size_t i = 0; *item && !table_find(table, item) && i < table_item_count(table); i++) {
		const struct item *other = table_item(table, i);
		const char *was = table_word(table, other, EVERY_CASE, "was");
		size_t length = was ? strlen(was) : 0;
		if (length && strncmp(item, was, length) == 0 && (!item[length] || item[length] == ' '))
			return arena_format(to->arena, "%.*s/%s%s%s", (int)strcspn(id, "/"), id, other->tag,
				item + length, strrchr(id, '/'));
	}
	return id;
}

/* A title above the table may hold a comma where the table has semicolons: the separator is the one that gives the heads. */
static bool find_head(struct replies *to, const char *bytes, struct sheet *sheet)
{
	static const char separators[] = ",;\t";
	const struct cells_line *nearest = NULL;
	size_t at[SHEET_COLUMNS];
	for (const char *separator = separators; *separator; separator++) {
		sheet->file = cells_read(to->arena, bytes, *separator);
		for (sheet->head = 0; sheet->head < sheet->file.count; sheet->head++) {
			const struct cells_line *line = &sheet->file.lines[sheet->head];
			int found = find_columns(line, sheet->at);
			if (found == 2)
				return true;
			nearest = found ? line : nearest;
		}
	}
	if (!nearest) {
		problem_add(to->problems, PROBLEM_NOT_REPLIES, (struct place){.file = to->file},
			"no line names the columns Id and Reply, as the action list does");
		return false;
	}
	find_columns(nearest, at);
	refuse(to, nearest->row, 0,
		at[SHEET_ID] < nearest->count ? "the column Reply is missing" : "the column Id is missing");
	return false;
}

static void check_head(struct replies *to, const struct sheet *sheet)
{
	const struct cells_line *line = &sheet->file.lines[sheet->head];
	for (size_t k = 0; k < SHEET_COLUMNS; k++)
		for (size_t i = sheet->at[k] + 1; i < line->count; i++)
			if (text_same_nocase(line->cells[i], sheet_heads[k]))
				refuse(to, line->row, i,
					arena_format(to->arena, "a second column is headed %s", sheet_heads[k]));
	if (sheet->at[SHEET_STATUS] == line->count)
		refuse(to, line->row, 0, "the column Status is missing: what was closed cannot be told");
}

static bool is_status(const char *word)
{
	return !*word || text_same_nocase(word, "open") || text_same_nocase(word, "answered") ||
		text_same_nocase(word, "closed");
}

static void check_row(
	struct replies *to, const struct sheet *sheet, const struct cells_line *line, const struct sheet_row *row)
{
	size_t columns = sheet->file.lines[sheet->head].count;
	for (size_t i = columns; i < line->count; i++)
		if (*line->cells[i]) {
			refuse(to, line->row, i,
				"a cell beyond the last column: is a reply with a separator in it not quoted?");
			return;
		}
	if (!*row->cells[SHEET_ID] && (*row->cells[SHEET_REPLY] || *row->cells[SHEET_ANSWER]))
		refuse(to, line->row, sheet->at[SHEET_ID], "a reply without an id: nobody knows what it is for");
	if (*row->cells[SHEET_ID] && !is_status(row->cells[SHEET_STATUS]))
		refuse(to, line->row, sheet->at[SHEET_STATUS],
			arena_format(to->arena, "status %s: allowed are open, answered, closed",
				text_quoted(to->arena, row->cells[SHEET_STATUS])));
}

/* False when anything in it could be read wrongly: every such cell is told. */
static bool read_sheet(struct replies *to, const char *bytes)
{
	struct sheet sheet;
	size_t before = to->problems->count;
	if (!find_head(to, bytes, &sheet))
		return false;
	check_head(to, &sheet);
	if (sheet.file.unclosed)
		problem_add(to->problems, PROBLEM_MALFORMED,
			(struct place){.file = to->file, .line = sheet.file.unclosed, .column = 1},
			"a quote is opened here and never closed");
	to->sheet = arena_alloc(to->arena, (sheet.file.count + 1) * sizeof *to->sheet);
	for (size_t i = sheet.head + 1; i < sheet.file.count; i++) {
		const struct cells_line *line = &sheet.file.lines[i];
		struct sheet_row *row = &to->sheet[to->sheet_count];
		for (size_t k = 0; k < SHEET_COLUMNS; k++)
			row->cells[k] = sheet.at[k] < line->count ? line->cells[sheet.at[k]] : "";
		check_row(to, &sheet, line, row);
		row->cells[SHEET_ID] = id_now(to, row->cells[SHEET_ID]);
		row->line = line->row;
		to->sheet_count += *row->cells[SHEET_ID] != '\0';
	}
	to->has_values = sheet.at[SHEET_VALUE] < sheet.file.lines[sheet.head].count;
	return to->problems->count == before;
}

static const char *reply_words(struct arena *arena, const struct sheet_row *row)
{
	const char *answer = row->cells[SHEET_ANSWER], *reply = row->cells[SHEET_REPLY];
	return *answer && *reply ? arena_format(arena, "%s: %s", answer, reply) : *answer ? answer : reply;
}

static bool is_closed(const struct sheet_row *row)
{
	return text_same_nocase(row->cells[SHEET_STATUS], "closed");
}

/* The last row of this id; those before it are said to be passed over. */
static struct sheet_row *take(struct replies *to, const char *id)
{
	struct sheet_row *found = NULL;
	for (size_t i = 0; i < to->sheet_count; i++) {
		struct sheet_row *row = &to->sheet[i];
		if (strcmp(row->cells[SHEET_ID], id) != 0)
			continue;
		if (found)
			problem_add(to->problems, PROBLEM_DUPLICATE,
				(struct place){.file = to->file, .line = row->line, .column = 1},
				"'%s' stands at line %d too; this one counts", id, found->line);
		row->used = true;
		found = row;
	}
	return found;
}

/* ---- rows ---- */

static void add(struct replies *to, struct round_row row)
{
	to->rows = arena_grow(to->arena, to->rows, to->round->count, &to->capacity, sizeof *to->rows);
	to->rows[to->round->count++] = row;
	to->round->counts[row.state]++;
}

/* A spreadsheet of a country with decimal commas writes the plain numbers so. */
static bool same_value(const char *a, const char *b)
{
	for (; *a && (*a == *b || (*a == ',' && *b == '.')); a++, b++)
		continue;
	return *a == *b;
}

/* "; 1.7 m/s before, 2.3 m/s now" */
static const char *moved_words(struct replies *to, const struct sheet_row *row, const char *now, bool *same)
{
	const char *before = row->cells[SHEET_VALUE];
	*same = to->has_values && same_value(before, now);
	if (!to->has_values)
		return *now ? arena_format(to->arena, "%s now, what it was is not in the sheet", now)
			    : "whether anything has changed is not in the sheet";
	return arena_format(to->arena, "%s before, %s now", *before ? before : "no value", *now ? now : "no value");
}

/* `now`: the value as the action list shows it. */
static struct round_row open_row(struct replies *to, const char *id, const struct sheet_row *row, const char *now)
{
	struct round_row out = {.id = id, .reply = "", .why = "not in the last round"};
	bool same;
	if (!row)
		return out;
	const char *moved = moved_words(to, row, now, &same);
	out.reply = reply_words(to->arena, row);
	out.line = row->line;
	out.state = is_closed(row) ? ROUND_REOPENED : *out.reply ? ROUND_ANSWERED : ROUND_OPEN;
	if (out.state == ROUND_REOPENED)
		out.why = same ? "closed, and nothing has changed"
			       : arena_format(to->arena, "closed, and it still departs: %s", moved);
	else if (out.state == ROUND_ANSWERED)
		out.why = same ? "replied to; the value is the same" : arena_format(to->arena, "replied to; %s", moved);
	else
		out.why = "no reply";
	return out;
}

static void add_open(struct replies *to)
{
	const struct review *review = to->review;
	for (size_t i = 0; i < review->flag_count; i++)
		for (size_t k = 0; k < review->flags[i].count; k++) {
			const struct finding *finding = review->flags[i].findings[k];
			const char *id = finding_id(to->arena, finding);
			const char *now = finding->value ? quantity_show_both(to->arena, finding->value) : "";
			struct round_row row = open_row(to, id, take(to, id), now);
			row.finding = finding;
			add(to, row);
		}
	for (size_t i = 0; i < review->request_count; i++) {
		const char *id = request_id(to->arena, &review->requests[i]);
		struct round_row row = open_row(to, id, take(to, id), "");
		row.request = &review->requests[i];
		add(to, row);
	}
}

/* What the sheet has and is open no more: judged otherwise now. */
static struct round_row settled_row(struct replies *to, const struct sheet_row *row, const struct finding *finding)
{
	struct round_row out = {.id = row->cells[SHEET_ID],
		.reply = reply_words(to->arena, row),
		.line = row->line,
		.finding = finding,
		.state = is_closed(row) ? ROUND_STAYS : ROUND_CLOSED};
	if (finding->verdict == VERDICT_NOT_JUDGED || finding->verdict == VERDICT_OUT_OF_RANGE) {
		out.state = ROUND_UNCERTAIN;
		out.why = finding->message;
	} else if (finding->verdict == VERDICT_ACCEPTED) {
		out.why = "accepted by a recorded deviation";
	} else {
		out.why = finding->verdict == VERDICT_MEETS ? arena_format(to->arena, "met now: %s", finding->message)
							    : "the rule no longer applies";
	}
	return out;
}

static const struct finding *finding_called(struct replies *to, const char *id)
{
	for (size_t i = 0; i < to->review->judgement.count; i++)
		if (strcmp(finding_id(to->arena, &to->review->judgement.findings[i]), id) == 0)
			return &to->review->judgement.findings[i];
	return NULL;
}

/* The sheet's row is of no finding that was made now: the rule selects the item no more, or one of the two is not there. */
static struct round_row absent_row(struct replies *to, const struct sheet_row *row)
{
	const char *id = row->cells[SHEET_ID], *item = item_in(to->arena, id);
	const char *rule = arena_copy_span(to->arena, id, strcspn(id, "/"));
	bool request = strcmp(rule, "STATE") == 0;
	bool item_there = table_find(to->review->table, item) || (request && strcmp(item, "unit") == 0);
	bool rule_there = request || catalogue_rule(to->review->catalogue, rule);
	struct round_row out = {
		.id = id, .reply = reply_words(to->arena, row), .line = row->line, .state = ROUND_UNKNOWN};
	if (rule_there && item_there) {
		out.state = is_closed(row) ? ROUND_STAYS : ROUND_CLOSED;
		out.why = request ? "stated now, or asked for no more" : "the rule no longer applies to the item";
	} else if (!rule_there) {
		out.why = arena_format(to->arena, "there is no rule '%s'", rule);
	} else {
		out.why = arena_format(to->arena, "this unit has no item '%s'", item);
	}
	return out;
}

static void add_settled(struct replies *to, bool unknown)
{
	for (size_t i = 0; i < to->sheet_count; i++) {
		struct sheet_row *row = &to->sheet[i];
		if (row->used)
			continue;
		const struct finding *finding = finding_called(to, row->cells[SHEET_ID]);
		struct round_row out = finding ? settled_row(to, row, finding) : absent_row(to, row);
		if ((out.state == ROUND_UNKNOWN) != unknown)
			continue;
		take(to, row->cells[SHEET_ID]);
		add(to, out);
		if (unknown)
			problem_add(to->problems, PROBLEM_UNKNOWN_REPLY,
				(struct place){.file = to->file, .line = row->line, .column = 1}, "'%s': %s", out.id,
				out.why);
	}
}

const struct round *round_make(struct arena *arena, const struct review *review, const char *file, const char *bytes,
	struct problems *problems)
{
	struct round *round = arena_alloc(arena, sizeof *round);
	struct replies to = {.arena = arena, .review = review, .problems = problems, .file = file, .round = round};
	*round = (struct round){.file = file};
	if (!read_sheet(&to, bytes))
		return NULL;
	add_open(&to);
	add_settled(&to, false);
	add_settled(&to, true);
	round->rows = to.rows;
	return round;
}

const struct round_row *round_of_finding(const struct review *review, const struct finding *finding)
{
	for (size_t i = 0; review->round && i < review->round->count; i++)
		if (review->round->rows[i].finding == finding)
			return &review->round->rows[i];
	return NULL;
}

const struct round_row *round_of_request(const struct review *review, const struct request *request)
{
	for (size_t i = 0; review->round && i < review->round->count; i++)
		if (review->round->rows[i].request == request)
			return &review->round->rows[i];
	return NULL;
}
