/*
 * A round of review: sheets of any length, rows given twice, sheets that belong elsewhere. What becomes of a reply:
 * revamp_round_test.c.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/reply_sheet.h"
#include "record/round.h"
#include "review_support.h"

static const char DESIGN[] = "designs/cobble-hythe-revamp.xml"; /* U-220 */

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
	trial_review_file(&trial, DESIGN);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(round, .init = begin, .fini = end);

/* Rows of lines that there are not, of one that is met, and of items renamed since. */
static const char *long_sheet(struct arena *arena, size_t count)
{
	struct text text = text_in(arena);
	text_add(&text, "Id,Reply,Status,Value,Unit\n");
	for (size_t i = 0; i < count; i++)
		text_addf(&text,
			i % 3 ? "VEL-002/4-P-%zu/velocity,reply %zu,answered,2 m/s,U-220\n"
			      : "CRK-002/8-P-2204 %zu/metal-temperature,reply %zu,closed,,U-220\n",
			i, i);
	return text.data;
}

/* Memory, as the arena counts it, grows with the rows: twice the rows cost twice as much and no more. */
Test(round, the_cost_of_a_sheet_goes_with_its_rows)
{
	enum { ROWS = 4000, SIZES = 3 };
	size_t bytes[SIZES];
	for (size_t i = 0; i < SIZES; i++) {
		struct arena arena = {0};
		size_t rows = (size_t)ROWS << i;
		const char *sheet = long_sheet(&trial.arena, rows);
		trial.problems.count = 0;
		const struct round *round = round_make(&arena, trial.review, "r.csv", sheet, &trial.problems);
		cr_assert_not_null(round);
		cr_expect(round->count >= rows && round->counts[ROUND_UNKNOWN] == rows, "%zu",
			round->counts[ROUND_UNKNOWN]);
		bytes[i] = arena.bytes;
		arena_release(&arena);
	}
	double first = (double)(bytes[1] - bytes[0]) / ROWS, second = (double)(bytes[2] - bytes[1]) / (2.0 * ROWS);
	cr_expect(second < 1.3 * first && second < 6000, "%.0f bytes a row, then %.0f", first, second);
}

/* Whoever writes the review asks for the reply to each finding: what is found is what a search of all rows finds. */
Test(round, the_row_of_a_finding_is_found)
{
	const struct review *review = trial.review;
	struct review answered = *review;
	answered.round = round_make(&trial.arena, review, "r.csv",
		"Id,Reply,Status\nVEL-002/6-P-2201/velocity,read yearly,answered\n", &trial.problems);
	cr_assert_not_null(answered.round);
	size_t open = 0;
	for (size_t i = 0; i < review->judgement.count; i++) {
		const struct finding *finding = &review->judgement.findings[i];
		const struct round_row *row = round_of_finding(&answered, finding), *searched = NULL;
		for (size_t k = 0; k < answered.round->count && !searched; k++)
			if (answered.round->rows[k].finding == finding)
				searched = &answered.round->rows[k];
		cr_expect(row == searched, "finding %zu", i);
		open += row != NULL;
	}
	for (size_t i = 0; i < review->questions.now; i++) {
		const struct round_row *row = round_of_question(&answered, &review->questions.rows[i]);
		cr_assert(row && row->question == &review->questions.rows[i]);
		open++;
	}
	cr_expect_eq(open, answered.round->count);
	cr_expect_null(round_of_finding(review, &review->judgement.findings[0]), "there was no round");
}

/* What is a "-difference" was "-apart" in sheets of version 0.1.0; elsewhere in an id the word means nothing. */
Test(round, a_reply_to_a_difference_by_its_old_name_is_found)
{
	static const char text[] = "Id,Reply,Status\nBAL-001/C-221/acid-gas-apart,flow corrected,open\n"
				   "BAL-001/C-221/no-such-apart,x,open\nVEL-002/6-P-2201-apart/velocity,y,open\n";
	struct reply_sheet replies;
	cr_assert(reply_sheet_read(&trial.arena, trial.review, "r.csv", text, &trial.problems, &replies));
	const struct reply_row *row = reply_sheet_take(&replies, "BAL-001/C-221/acid-gas-difference", &trial.problems);
	cr_assert_not_null(row);
	cr_expect_str_eq(row->cells[REPLY_WORDS], "flow corrected");
	cr_expect_null(reply_sheet_take(&replies, "BAL-001/C-221/acid-gas-apart", &trial.problems));
	cr_expect_not_null(reply_sheet_take(&replies, "VEL-002/6-P-2201-apart/velocity", &trial.problems));
}

/* The last row of an id counts, of what is open and of what is settled; the others are told. */
Test(round, of_rows_that_stand_twice_the_last_counts)
{
	static const char sheet[] = "Id,Reply,Status\n"
				    "STATE/C-221/thickness,first,open\nSTATE/C-221/thickness,last,closed\n"
				    "VEL-002/6-P-2201/velocity,first,open\nVEL-002/6-P-2201/velocity,last,answered\n";
	const struct round *round = round_make(&trial.arena, trial.review, "r.csv", sheet, &trial.problems);
	cr_assert_not_null(round);
	size_t found = 0;
	for (size_t i = 0; i < round->count; i++)
		if (*round->rows[i].reply) {
			cr_expect_str_eq(round->rows[i].reply, "last", "%s", round->rows[i].id);
			found++;
		}
	cr_expect_eq(found, 2);
	cr_expect_str_eq(trial_messages(&trial),
		"r.csv:3:1: duplicate: 'STATE/C-221/thickness' is at line 2 too; this one counts\n"
		"r.csv:5:1: duplicate: 'VEL-002/6-P-2201/velocity' is at line 4 too; this one counts\n");
}

/* Tags repeat from unit to unit, so the number decides where the sheet has it; without it, whether any item is known. */
Test(round, replies_of_another_unit_are_refused)
{
	static const struct {
		const char *sheet, *said; /* "": taken */
	} rows[] = {
		{"Id,Reply,Status,Unit\nVEL-002/6-P-2201/velocity,x,open,U-310\n",
			"r.csv:2:4: not-replies: replies of another unit: the sheet is of \"U-310\", the description "
			"of "
			"'U-220'; if the unit was renumbered, leave out the column Unit\n"},
		{"Id,Reply,Status,Unit\nVEL-002/6-P-2201/velocity,x,open,\nVEL-002/6-P-2201/velocity,x,open,U-22\n",
			"r.csv:3:4: not-replies: replies of another unit: the sheet is of \"U-22\", the description of "
			"'U-220'; if the unit was renumbered, leave out the column Unit\n"},
		{"Title\nId;Reply;Status\nVEL-002/4-P-3101/velocity;x;open\nSTATE/K-1/pwht;;open\n",
			"r.csv:3:1: not-replies: replies of another unit: not one item that the sheet names is in unit "
			"'U-220'\n"},
		{"Id,Reply,Status,Unit\nVEL-002/6-P-2201/velocity,x,open,u-220\n", ""},
		{"Id,Reply,Status\nVEL-002/6-P-2201/velocity,x,open\nSTATE/unit/date,x,open\n", ""},
		{"Id,Reply,Status\nSTATE/unit/date,x,open\n", ""},
		{"Id,Reply,Status\nCRK-002/8-P-2204/metal-temperature,x,open\n", ""}, /* renamed since */
		{"Id,Reply,Status,Unit\n", ""},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial.problems.count = 0;
		const struct round *round =
			round_make(&trial.arena, trial.review, "r.csv", rows[i].sheet, &trial.problems);
		bool refused = strstr(trial_messages(&trial), "another unit") != NULL;
		cr_expect_eq(round == NULL, *rows[i].said != '\0', "row %zu", i);
		cr_expect_eq(refused, *rows[i].said != '\0', "row %zu: %s", i, trial_messages(&trial));
		if (*rows[i].said)
			cr_expect_str_eq(trial_messages(&trial), rows[i].said);
	}
}

Test(round, a_sheet_that_went_to_the_wrong_unit_leaves_no_review, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH review --quiet --no-samples\"; $R --output $SCRATCH/a designs/heron-gate.xml; "
		"$R --output $SCRATCH/b --replies $SCRATCH/a/*/review.csv designs/curlew-spit.xml; echo $?; "
		"test -e $SCRATCH/b || echo nothing written; "
		"$R --output $SCRATCH/b --replies $SCRATCH/a/*/review.csv designs/heron-gate.xml; echo $?; "
		"head -n 1 $SCRATCH/b/*/review.csv | tail -c 14");
	cr_expect_str_eq(run.output, "3\nnothing written\n0\n,Unit,Matter\r\n", "%s%s", run.output, run.errors);
	cr_expect(strstr(run.errors, "review.csv:2:19: not-replies: replies of another unit: the sheet is of "), "%s",
		run.errors);
	trial_close(&trial);
}

/*
 * The answer to a question comes back by its id, from the action list or from the sheet of questions; so does one of
 * before there were any.
 */
Test(round, an_answer_to_a_question_comes_back)
{
	const struct review *review = trial.review;
	cr_assert(review->questions.now > 0 && review->request_count > 0);
	const struct question *question = &review->questions.rows[0];
	const char *sheet = arena_format(&trial.arena,
		"Id,Question,Who can answer,Answer,Reply,Status\n%s,x,process,value stated,yes all of "
		"them,answered\n%s,,,,by hand,open\n",
		question_id(&trial.arena, question), request_id(&trial.arena, &review->requests[0]));
	struct review answered = *review;
	answered.round = round_make(&trial.arena, review, "r.csv", sheet, &trial.problems);
	cr_assert_not_null(answered.round);
	const struct round_row *row = round_of_question(&answered, question);
	cr_assert_not_null(row);
	cr_expect_eq(row->state, ROUND_ANSWERED);
	cr_expect_str_eq(row->reply, "value stated: yes all of them");
	bool old = false;
	for (size_t i = 0; i < answered.round->count; i++)
		old = old || answered.round->rows[i].request == &review->requests[0];
	cr_expect(old);
}
