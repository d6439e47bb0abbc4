#include "record/round.h"

#include <string.h>

#include "base/text.h"
#include "record/reply_sheet.h"

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

const char *reply_outcome_word(enum reply_outcome outcome)
{
	static const char *const words[] = {"not understood", "stated by now", "closes", "breaks something else",
		"still departs", "cannot be judged"};
	return words[outcome];
}

struct replies {
	struct arena *arena;
	const struct review *review;
	struct problems *problems;
	struct reply_sheet sheet;
	struct names findings; /* their ids, by place in the judgement */
	struct round *round;
	struct round_row *rows;
	size_t capacity;
};

static const char *reply_words(struct arena *arena, const struct reply_row *row)
{
	const char *answer = row->cells[REPLY_ANSWER], *reply = row->cells[REPLY_WORDS];
	return *answer && *reply ? arena_format(arena, "%s: %s", answer, reply) : *answer ? answer : reply;
}

static struct reply_cells cells_of(const struct reply_row *row)
{
	return (struct reply_cells){.attribute = row->cells[REPLY_ATTRIBUTE],
		.value = row->cells[REPLY_NEW_VALUE],
		.answer = row->cells[REPLY_ANSWER],
		.words = row->cells[REPLY_WORDS]};
}

static bool is_closed(const struct reply_row *row)
{
	return text_same_nocase(row->cells[REPLY_STATUS], "closed");
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
static const char *moved_words(struct replies *to, const struct reply_row *row, const char *now, bool *same)
{
	const char *before = row->cells[REPLY_VALUE];
	*same = to->sheet.has_values && same_value(before, now);
	if (!to->sheet.has_values)
		return *now ? arena_format(to->arena, "%s now, what it was is not in the sheet", now)
			    : "whether anything has changed is not in the sheet";
	return arena_format(to->arena, "%s before, %s now", *before ? before : "no value", *now ? now : "no value");
}

/* `now`: the value as the action list shows it. */
static struct round_row open_row(struct replies *to, const char *id, const struct reply_row *row, const char *now)
{
	struct round_row out = {.id = id, .reply = "", .why = "not in the last round"};
	bool same;
	if (!row)
		return out;
	const char *moved = moved_words(to, row, now, &same);
	out.reply = reply_words(to->arena, row);
	out.line = row->line;
	out.cells = cells_of(row);
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
			struct round_row row = open_row(to, id, reply_sheet_take(&to->sheet, id, to->problems), now);
			row.finding = finding;
			add(to, row);
		}
	for (size_t i = 0; i < review->questions.count; i++) {
		const struct question *question = &review->questions.rows[i];
		const char *id = question_id(to->arena, question);
		const struct reply_row *reply = reply_sheet_take(&to->sheet, id, to->problems);
		struct round_row row = open_row(to, id, reply, "");
		row.question = question;
		if (reply || !question->later)
			add(to, row);
	}
	for (size_t i = 0; i < review->request_count; i++) {
		const char *id = request_id(to->arena, &review->requests[i]);
		const struct reply_row *reply = reply_sheet_take(&to->sheet, id, to->problems);
		if (!reply)
			continue;
		struct round_row row = open_row(to, id, reply, "");
		row.request = &review->requests[i];
		add(to, row);
	}
}

/* What the sheet has and is open no more: judged otherwise now. */
static struct round_row settled_row(struct replies *to, const struct reply_row *row, const struct finding *finding)
{
	struct round_row out = {.id = row->cells[REPLY_ID],
		.reply = reply_words(to->arena, row),
		.line = row->line,
		.cells = cells_of(row),
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

static const struct finding *finding_called(const struct replies *to, const char *id)
{
	size_t at = names_first(&to->findings, id, strlen(id));
	return at < to->findings.count ? &to->review->judgement.findings[to->findings.rows[at].at] : NULL;
}

/* The sheet's row is of no finding that was made now: the rule selects the item no more, or one of the two is not there. */
static struct round_row absent_row(struct replies *to, const struct reply_row *row)
{
	const char *id = row->cells[REPLY_ID], *item = reply_item(to->arena, id);
	const char *rule = arena_copy_span(to->arena, id, strcspn(id, "/"));
	bool question = strcmp(rule, "ASK") == 0, request = question || strcmp(rule, "STATE") == 0;
	bool item_there = question || table_find(to->review->table, item) || (request && strcmp(item, "unit") == 0);
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

static void tell_unknown(struct replies *to, const struct round_row *row)
{
	problem_add(to->problems, PROBLEM_UNKNOWN_REPLY,
		(struct place){.file = to->sheet.file, .line = row->line, .column = 1}, "'%s': %s", row->id, row->why);
}

/* What nothing open has taken: first what is settled, then what this unit cannot have. */
static void add_settled(struct replies *to)
{
	struct round_row *unknown = arena_alloc(to->arena, (to->sheet.count + 1) * sizeof *unknown);
	size_t unknown_count = 0;
	for (size_t i = 0; i < to->sheet.count; i++) {
		if (to->sheet.rows[i].used)
			continue;
		const char *id = to->sheet.rows[i].cells[REPLY_ID];
		const struct reply_row *row = reply_sheet_take(&to->sheet, id, to->problems);
		const struct finding *finding = finding_called(to, id);
		struct round_row out = finding ? settled_row(to, row, finding) : absent_row(to, row);
		if (out.state == ROUND_UNKNOWN)
			unknown[unknown_count++] = out;
		else
			add(to, out);
	}
	for (size_t i = 0; i < unknown_count; i++) {
		add(to, unknown[i]);
		tell_unknown(to, &unknown[i]);
	}
}

static void name_findings(struct replies *to)
{
	const struct judgement *judgement = &to->review->judgement;
	for (size_t i = 0; i < judgement->count; i++)
		names_add(to->arena, &to->findings, finding_id(to->arena, &judgement->findings[i]), i);
	names_sort(&to->findings);
}

/* The rows of what is open now, by its place, so that who writes of it finds its row at once. */
static void index_rows(struct replies *to)
{
	const struct review *review = to->review;
	struct round *round = to->round;
	size_t findings = review->judgement.count, questions = review->questions.count;
	round->of_finding = arena_alloc(to->arena, (findings + 1) * sizeof *round->of_finding);
	round->of_question = arena_alloc(to->arena, (questions + 1) * sizeof *round->of_question);
	for (size_t i = round->count; i-- > 0;) {
		const struct round_row *row = &round->rows[i];
		if (row->finding)
			round->of_finding[row->finding - review->judgement.findings] = row;
		if (row->question)
			round->of_question[row->question - review->questions.rows] = row;
	}
}

const struct round *round_make(struct arena *arena, const struct review *review, const char *file, const char *bytes,
	struct problems *problems)
{
	struct round *round = arena_alloc(arena, sizeof *round);
	struct replies to = {.arena = arena, .review = review, .problems = problems, .round = round};
	*round = (struct round){.file = file};
	if (!reply_sheet_read(arena, review, file, bytes, problems, &to.sheet))
		return NULL;
	name_findings(&to);
	add_open(&to);
	add_settled(&to);
	round->rows = to.rows;
	index_rows(&to);
	return round;
}

const struct round_row *round_of_finding(const struct review *review, const struct finding *finding)
{
	return review->round ? review->round->of_finding[finding - review->judgement.findings] : NULL;
}

const struct round_row *round_of_question(const struct review *review, const struct question *question)
{
	return review->round ? review->round->of_question[question - review->questions.rows] : NULL;
}
