/*
 * The action list as a workbook: a sheet to be answered row by row, one with the questions alone, and one that says
 * what it is. Cells hold text only, so nothing that a design says is ever a formula.
 */
#include "base/count.h"
#include "write/write.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <xlsxwriter.h>

#include "base/text.h"
#include "judge/answers.h"
#include "judge/wording.h"
#include "record/action_list.h"
#include "record/reply_sheet.h"
#include "record/round.h"
#include "write/workbook_child.h"

enum {
	CELL_CHARACTERS = 8000, /* a quarter of what a cell can hold: characters may take more than one unit each */
	COLUMN_ANSWER = COLUMN_REPLY, /* the workbook has one column more than the CSV, before the reply in words */
	SHEET_COLUMNS = ACTION_COLUMNS + 1,
	HEAD_ROW = 0,
};

static const char *const answers[] = {"design changed", "shown to be met", "value stated", "deviation asked for",
	"does not apply", "not agreed", NULL};

struct book {
	struct arena arena;
	lxw_workbook *workbook;
	lxw_format *head, *text, *link, *blank, *title;
	lxw_error fault; /* the first */
};

static void note(struct book *book, lxw_error fault)
{
	if (book->fault == LXW_NO_ERROR)
		book->fault = fault;
}

static void say(
	struct book *book, lxw_worksheet *sheet, size_t row, size_t column, const char *words, lxw_format *format)
{
	note(book,
		worksheet_write_string(sheet, (lxw_row_t)row, (lxw_col_t)column,
			text_cut(&book->arena, words, CELL_CHARACTERS), format));
}

/* ---- formats ---- */

static lxw_format *plain(struct book *book)
{
	lxw_format *format = workbook_add_format(book->workbook);
	format_set_text_wrap(format);
	format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
	return format;
}

static void make_formats(struct book *book)
{
	enum { INK = 0x1B2426, PANEL = 0xE9E6DA, PAPER = 0xFCFBF7, HAIR = 0x8D9496, TITLE_POINTS = 14 };
	book->head = plain(book);
	format_set_bold(book->head);
	format_set_bg_color(book->head, PANEL);
	format_set_bottom(book->head, LXW_BORDER_MEDIUM);
	book->text = plain(book);
	book->link = plain(book);
	format_set_underline(book->link, LXW_UNDERLINE_SINGLE);
	format_set_font_color(book->link, INK);
	book->blank = plain(book);
	format_set_bg_color(book->blank, PAPER);
	format_set_border(book->blank, LXW_BORDER_HAIR);
	format_set_border_color(book->blank, HAIR);
	format_set_unlocked(book->blank);
	book->title = plain(book);
	format_set_bold(book->title);
	format_set_font_size(book->title, TITLE_POINTS);
}

/* ---- the sheet to be answered ---- */

/* In letters of the standard font. */
static const double widths[SHEET_COLUMNS] = {
	22, 9, 9, 15, 12, 42, 15, 19, 19, 20, 10, 34, 17, 15, 30, 14, 14, 24, 9, 10, 24};

/* A column of the action list, moved by the one that the workbook has more. */
static size_t place_of(size_t column)
{
	return column < COLUMN_ANSWER ? column : column + 1;
}

static void add_head(struct book *book, lxw_worksheet *sheet)
{
	for (size_t i = 0; i < SHEET_COLUMNS; i++)
		note(book, worksheet_set_column(sheet, (lxw_col_t)i, (lxw_col_t)i, widths[i], NULL));
	for (size_t i = 0; i < ACTION_COLUMNS; i++)
		say(book, sheet, HEAD_ROW, place_of(i), action_heads[i], book->head);
	say(book, sheet, HEAD_ROW, COLUMN_ANSWER, "Answer", book->head);
	worksheet_freeze_panes(sheet, HEAD_ROW + 1, COLUMN_RULE);
}

/* Not every program finds the height of a row with wrapped text by itself. In points; words break early, hence the share. */
static double height_of(const struct action_row *row)
{
	static const double line = 15, most = 400, filled = 0.9;
	double lines = 1;
	for (size_t i = 0; i < ACTION_COLUMNS; i++)
		lines = fmax(lines, ceil((double)text_columns(row->cells[i]) / (filled * widths[place_of(i)])));
	return fmin(lines * line, most);
}

static bool is_filled_in(size_t column)
{
	return column == COLUMN_REPLY || column == COLUMN_ATTRIBUTE || column == COLUMN_NEW_VALUE ||
		column == COLUMN_STATUS;
}

/* The link first, then the words over it: given with the link, the library would turn their slashes. */
static void add_row(struct book *book, lxw_worksheet *sheet, size_t at, const struct action_row *row)
{
	const char *where = arena_format(&book->arena, "external:review.html#%s", row->anchor);
	note(book,
		worksheet_write_url_opt(
			sheet, (lxw_row_t)at, COLUMN_ID, where, book->link, NULL, "Where it is in the review"));
	for (size_t i = 0; i < ACTION_COLUMNS; i++)
		say(book, sheet, at, place_of(i), row->cells[i],
			i == COLUMN_ID		  ? book->link
				: is_filled_in(i) ? book->blank
						  : book->text);
	say(book, sheet, at, COLUMN_ANSWER, "", book->blank);
	note(book, worksheet_set_row(sheet, (lxw_row_t)at, height_of(row), NULL));
}

static void allow(struct book *book, lxw_worksheet *sheet, size_t column, size_t count, const char *const *words,
	const char *prompt)
{
	char *list[8] = {0};
	for (size_t i = 0; words[i]; i++)
		list[i] = arena_copy(&book->arena, words[i]);
	lxw_data_validation validation = {
		.validate = LXW_VALIDATION_TYPE_LIST,
		.value_list = list,
		.input_title = arena_copy(&book->arena, action_heads[COLUMN_REPLY]),
		.input_message = arena_copy(&book->arena, prompt),
		.error_title = arena_copy(&book->arena, "Not in the list"),
		.error_message = arena_copy(&book->arena, "Choose one of the list; put comments in the reply."),
	};
	note(book,
		worksheet_data_validation_range(
			sheet, HEAD_ROW + 1, (lxw_col_t)column, (lxw_row_t)count, (lxw_col_t)column, &validation));
}

/* By the word, and a tint beside it. */
static void tint_actions(struct book *book, lxw_worksheet *sheet, size_t count)
{
	static const struct {
		lxw_color_t ink, ground;
	} tints[ACTION_KINDS] = {
		{0x7D1D12, 0xF6E3DF}, {0x644200, 0xF5EBD3}, {0x1C4467, 0xE2EBF3}, {0x483B60, 0xECE8F2}};
	for (enum action action = ACTION_RESOLVE; action < ACTION_NONE; action++) {
		lxw_format *format = workbook_add_format(book->workbook);
		format_set_bold(format);
		format_set_font_color(format, tints[action].ink);
		format_set_bg_color(format, tints[action].ground);
		lxw_conditional_format rule = {.type = LXW_CONDITIONAL_TYPE_CELL,
			.criteria = LXW_CONDITIONAL_CRITERIA_EQUAL_TO,
			.value_string = arena_format(&book->arena, "\"%s\"", action_word(action)),
			.format = format};
		note(book,
			worksheet_conditional_format_range(
				sheet, HEAD_ROW + 1, COLUMN_ACTION, (lxw_row_t)count, COLUMN_ACTION, &rule));
	}
}

/* What is closed steps back. */
static void tint_closed(struct book *book, lxw_worksheet *sheet, size_t count)
{
	enum { SOFT = 0x8D9496 };
	lxw_format *format = workbook_add_format(book->workbook);
	format_set_font_color(format, SOFT);
	const char *column = arena_format(&book->arena, "%c", 'A' + (int)place_of(COLUMN_STATUS));
	lxw_conditional_format rule = {.type = LXW_CONDITIONAL_TYPE_FORMULA,
		.value_string = arena_format(&book->arena, "=$%s%d=\"closed\"", column, HEAD_ROW + 2),
		.format = format};
	note(book,
		worksheet_conditional_format_range(sheet, HEAD_ROW + 1, 0, (lxw_row_t)count, SHEET_COLUMNS - 1, &rule));
}

static void lay_out(struct book *book, lxw_worksheet *sheet)
{
	enum { PAPER_A3 = 8 };
	static const double margin_inches = 0.4;
	worksheet_set_landscape(sheet);
	worksheet_set_paper(sheet, PAPER_A3);
	worksheet_set_margins(sheet, margin_inches, margin_inches, 2 * margin_inches, 2 * margin_inches);
	worksheet_fit_to_pages(sheet, 1, 0);
	note(book, worksheet_repeat_rows(sheet, HEAD_ROW, HEAD_ROW));
	note(book, worksheet_set_footer(sheet, "&LA screening aid; a licensed engineer decides&R&P / &N"));
}

static void add_actions(struct book *book, const struct review *review)
{
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, "Actions");
	const struct action_row *rows;
	size_t count = action_list(&book->arena, review, &rows);
	add_head(book, sheet);
	for (size_t i = 0; i < count; i++)
		add_row(book, sheet, HEAD_ROW + 1 + i, &rows[i]);
	lay_out(book, sheet);
	note(book, worksheet_autofilter(sheet, HEAD_ROW, 0, (lxw_row_t)count, SHEET_COLUMNS - 1));
	if (!count)
		return;
	allow(book, sheet, COLUMN_ANSWER, count, answers, "What the design does about it.");
	allow(book, sheet, place_of(COLUMN_STATUS), count, reply_statuses, "Set by the reviewer.");
	tint_actions(book, sheet, count);
	tint_closed(book, sheet, count);
}

/* ---- the questions ---- */

enum question_column {
	ASK_ID,
	ASK_WORDS,
	ASK_WHAT,
	ASK_OF,
	ASK_WHO,
	ASK_WORST,
	ASK_TURNS,
	ASK_RULES,
	ASK_ANSWER,
	ASK_REPLY,
	ASK_ATTRIBUTE,
	ASK_NEW_VALUE,
	ASK_STATUS,
	ASK_UNIT,
	ASK_COLUMNS
};

static const struct {
	const char *head;
	double width; /* in letters of the standard font */
} question_columns[ASK_COLUMNS] = {{"Id", 18}, {"Question", 34}, {"What is missing", 28}, {"Of", 40},
	{"Who can answer", 14}, {"Can lead to", 11}, {"What changes the verdict", 40}, {"Rules", 20}, {"Answer", 16},
	{"Reply", 34}, {"Attribute", 14}, {"New value", 14}, {"Status", 9}, {"Unit", 10}};

static void add_question(struct book *book, lxw_worksheet *sheet, size_t at, const struct review *review,
	const struct question *question)
{
	const struct round_row *reply = round_of_question(review, question);
	struct text rules = text_in(&book->arena);
	for (size_t i = 0; i < question->rule_count; i++)
		text_addf(&rules, "%s%s", i ? " " : "", question->rules[i]->id);
	const char *const cells[ASK_COLUMNS] = {question_id(&book->arena, question), question->words, question->what,
		question_items(&book->arena, question, question->request_count), answerer_word(question->who),
		action_word((enum action)question->force), question->turns, rules.data, "", reply ? reply->reply : "",
		reply && reply->cells.attribute ? reply->cells.attribute : "",
		reply && reply->cells.value ? reply->cells.value : "", reply ? round_status(reply->state) : "open",
		review->number};
	for (size_t i = 0; i < ASK_COLUMNS; i++)
		say(book, sheet, at, i, cells[i], i >= ASK_ANSWER && i <= ASK_STATUS ? book->blank : book->text);
}

/* To be answered by whoever is asked, without the rest: saved as CSV the next review takes it as it takes the action list. */
static void add_questions(struct book *book, const struct review *review)
{
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, "Questions");
	size_t count = review->questions.now;
	for (size_t i = 0; i < ASK_COLUMNS; i++) {
		note(book, worksheet_set_column(sheet, (lxw_col_t)i, (lxw_col_t)i, question_columns[i].width, NULL));
		say(book, sheet, HEAD_ROW, i, question_columns[i].head, book->head);
	}
	for (size_t i = 0; i < count; i++)
		add_question(book, sheet, HEAD_ROW + 1 + i, review, &review->questions.rows[i]);
	worksheet_freeze_panes(sheet, HEAD_ROW + 1, ASK_WHAT);
	lay_out(book, sheet);
	note(book, worksheet_autofilter(sheet, HEAD_ROW, 0, (lxw_row_t)count, ASK_COLUMNS - 1));
	if (count)
		allow(book, sheet, ASK_STATUS, count, reply_statuses, "Set by the reviewer.");
}

/* ---- claims, limits and deviations ---- */

static void add_claims(struct book *book, const struct review *review)
{
	static const char *const heads[] = {
		"Claim or limit", "As", "Answer", "By whom, or why not", "Looser than", "Because", "Line"};
	static const double wide[] = {44, 16, 16, 60, 40, 40, 8};
	const struct judgement *judgement = &review->judgement;
	if (!judgement->answer_count)
		return;
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, "Claims");
	for (size_t k = 0; k < COUNT(heads); k++) {
		note(book, worksheet_set_column(sheet, (lxw_col_t)k, (lxw_col_t)k, wide[k], NULL));
		say(book, sheet, HEAD_ROW, k, heads[k], book->head);
	}
	for (size_t i = 0; i < judgement->answer_count; i++) {
		const struct answer *answer = &judgement->answers[i];
		const char *because = table_word(review->table, answer->claim, EVERY_CASE, "because");
		const char *const cells[] = {answer->words, answer->claim->kind, answer_word(answer->state),
			answer->found, answer->looser_than, because ? because : "",
			arena_format(&book->arena, "%d", answer->claim->place.line)};
		for (size_t k = 0; k < COUNT(cells); k++)
			say(book, sheet, HEAD_ROW + 1 + i, k, cells[k], book->text);
	}
	worksheet_fit_to_pages(sheet, 1, 0);
}

/* ---- the sheet that says what it is ---- */

static void add_about(struct book *book, const struct review *review)
{
	enum { NAMES_WIDE = 24, WORDS_WIDE = 90 };
	lxw_worksheet *sheet = workbook_add_worksheet(book->workbook, "About");
	const char *const facts[][2] = {
		{"Unit", arena_format(&book->arena, "%s %s", review->number, review->name)},
		{"Document number", review->document_number},
		{"Revision", review->revision},
		{"Date", review->date},
		{"Description reviewed", review->file ? review->file : ""},
		{"Answer", "filled in by the designer, with the reply in words beside it"},
		{"Attribute, New value",
			"where the reply changes or states values: size and NPS 8; several separated by semicolons; of "
			"another item E-302.area. The next review tries them before anything closes"},
		{"Status", "kept by the reviewer: open, answered, closed"},
		{"Id", "leads to the item in review.html, which must lie in the same folder"},
	};
	size_t row = 0;
	note(book, worksheet_set_column(sheet, 0, 0, NAMES_WIDE, NULL));
	note(book, worksheet_set_column(sheet, 1, 1, WORDS_WIDE, NULL));
	say(book, sheet, row++, 0, "Action list", book->title);
	for (size_t i = 0; i < COUNT(facts); i++, row++) {
		say(book, sheet, row, 0, facts[i][0], book->head);
		say(book, sheet, row, 1, facts[i][1], book->text);
	}
	say(book, sheet, ++row, 0, "Cautions", book->title);
	for (size_t i = 0; review_cautions[i]; i++)
		say(book, sheet, ++row, 1, review_cautions[i], book->text);
	worksheet_fit_to_pages(sheet, 1, 0);
}

/* ---- the workbook ---- */

/*
 * Midnight of "2026-09-14" in seconds since 1970; where no date is stated, that of 1980-01-01, the first a ZIP file knows. The
 * library would write the time of the day for 0. Days by the calendar of years that start in March.
 */
static time_t created(const char *date)
{
	enum { DAY = 86400, ERA_DAYS = 146097, ERA_YEARS = 400, TO_1970 = 719468 };
	long year = 1980, month = 1, day = 1;
	if (*date) {
		char *end;
		year = strtol(date, &end, 10);
		month = strtol(end + 1, &end, 10);
		day = strtol(end + 1, NULL, 10);
	}
	year -= month <= 2;
	long era = (year >= 0 ? year : year - ERA_YEARS + 1) / ERA_YEARS, of_era = year - era * ERA_YEARS;
	long of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
	long days = era * ERA_DAYS + of_era * 365 + of_era / 4 - of_era / 100 + of_year - TO_1970;
	time_t seconds = (time_t)days * DAY;
	return seconds ? seconds : 1;
}

bool write_xlsx(const struct review *review, const char *path)
{
	struct book book = {.workbook = workbook_new(path)};
	if (!book.workbook)
		return false;
	lxw_doc_properties properties = {
		.title = arena_format(&book.arena, "Action list of %s %s", review->number, review->name),
		.created = created(review->date)};
	note(&book, workbook_set_properties(book.workbook, &properties));
	make_formats(&book);
	add_actions(&book, review);
	add_questions(&book, review);
	add_claims(&book, review);
	add_about(&book, review);
	errno = 0;
	note(&book, workbook_close(book.workbook));
	arena_release(&book.arena);
	return book.fault == LXW_NO_ERROR;
}

static bool write_review(const void *review, const char *path)
{
	return write_xlsx(review, path);
}

bool write_xlsx_in_child(const struct review *review, const char *path)
{
	return workbook_in_child(write_review, review, path);
}
