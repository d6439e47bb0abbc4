/*
 * Replies to the action list, read back and held against the next review.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "record/round.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

/* ---- rounds ---- */

static const struct round_row *round_row(const struct round *round, const char *id)
{
	static const struct round_row none = {.state = ROUND_STATES, .id = "", .reply = "", .why = ""};
	for (size_t i = 0; i < round->count; i++)
		if (strcmp(round->rows[i].id, id) == 0)
			return &round->rows[i];
	return &none;
}

static const char sheet[] = "Action list;of;the last round\r\n"
			    "Id;Action;Value;Answer;Reply;Status\r\n"
			    "CRK-002/8-P-2204/metal-temperature;Resolve;;design changed;new line, relieved;answered\r\n"
			    "VEL-005/8-P-2204/velocity;Consider;;;;open\r\n"
			    "WHS-001/C-221/hydrogen-induced cracking;Resolve;;;certificates;closed\r\n"
			    "VEL-008/E-222 tube side/velocity;Justify;1.685 m/s (5.53 ft/s);;;closed\r\n"
			    "VEL-002/6-P-2201/velocity;Justify;;;read yearly;answered\r\n"
			    "VEL-999/X/velocity;;;;done;\r\n"
			    "VEL-002/no-such-line/velocity;;;;done;\r\n"
			    "STATE/E-225/corrosion-allowance;State;;;3 mm;answered\r\n"
			    "STATE/C-221/thickness;State;;;stated;answered\r\n";

Test(revamp, replies_are_held_against_the_review, .fini = end)
{
	static const struct {
		const char *id;
		enum round_state state;
	} rows[] = {
		{"CRK-002/10-P-2204/metal-temperature", ROUND_CLOSED},
		{"VEL-005/10-P-2204/velocity", ROUND_CLOSED},
		{"WHS-001/C-221/hydrogen-induced cracking", ROUND_REOPENED},
		{"VEL-008/E-222 tube side/velocity", ROUND_REOPENED},
		{"VEL-002/6-P-2201/velocity", ROUND_ANSWERED},
		{"VEL-006/6-P-2205/velocity", ROUND_NEW},
		{"VEL-999/X/velocity", ROUND_UNKNOWN},
		{"VEL-002/no-such-line/velocity", ROUND_UNKNOWN},
		{"STATE/E-225/corrosion-allowance", ROUND_ANSWERED},
		{"STATE/C-221/thickness", ROUND_CLOSED},
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	const struct round *round = round_make(&trial.arena, trial.review, "replies.csv", sheet, &trial.problems);
	cr_assert_not_null(round);
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct round_row *row = round_row(round, rows[i].id);
		cr_expect(row->state == rows[i].state, "%s is %s", rows[i].id, round_word(row->state));
	}
	cr_expect_str_eq(round_row(round, rows[0].id)->reply, "design changed: new line, relieved");
	cr_expect(strstr(round_row(round, rows[2].id)->why, "nothing has changed"));
	cr_expect(strstr(round_row(round, rows[3].id)->why, "1.685 m/s (5.53 ft/s) before, 2.28"));
	cr_expect_str_eq(trial_messages(&trial),
		"replies.csv:8:1: unknown-reply: 'VEL-999/X/velocity': there is no rule 'VEL-999'\n"
		"replies.csv:9:1: unknown-reply: 'VEL-002/no-such-line/velocity': this unit has no item "
		"'no-such-line'\n");
}

/* The same three rows as spreadsheets of several countries, and people, hand them back. */
Test(revamp, a_sheet_is_read_however_a_spreadsheet_saved_it, .fini = end)
{
	static const char *const sheets[] = {
		/* commas, LF */
		"Id,Value,Reply,Status\nVEL-002/6-P-2201/velocity,2.413 m/s (7.916 ft/s),read yearly,answered\n"
		"WHS-001/C-221/hydrogen-induced cracking,,\"certificates, two\",closed\n",
		/* semicolons, byte order mark, CRLF, other order, blank columns after, a line of nothing */
		"\xEF\xBB\xBFStatus;Reply;Id;Value;;\r\nanswered;read yearly;VEL-002/6-P-2201/velocity;2,413 m/s "
		"(7,916 ft/s);;"
		"\r\n;;;;;\r\nCLOSED;certificates, two;WHS-001/C-221/hydrogen-induced cracking;;;\r\n",
		/* tabs, quotes everywhere, CR alone, a title with commas above */
		"\"Action list, U-220, round "
		"2\"\r\"ID\"\t\"reply\"\t\"status\"\t\"value\"\r\"VEL-002/6-P-2201/velocity\"\t\"read "
		"yearly\"\t\"answered\"\t\"2.413 m/s (7.916 ft/s)\"\r\"WHS-001/C-221/hydrogen-induced cracking\"\t"
		"\"certificates, two\"\t\"closed\"\t\r",
		/* a title with a comma over semicolons; the mark of the separator that some write first */
		"sep=;\nAction list, round 2\nId;Reply;Status;Value\nVEL-002/6-P-2201/velocity;read "
		"yearly;answered;2.413 m/s (7.916 "
		"ft/s)\nWHS-001/C-221/hydrogen-induced cracking;certificates, two;closed;\n",
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	for (size_t i = 0; i < COUNT(sheets); i++) {
		const struct round *round = round_make(&trial.arena, trial.review, "r.csv", sheets[i], &trial.problems);
		cr_assert(round, "sheet %zu: %s", i, trial_messages(&trial));
		const struct round_row *read = round_row(round, "VEL-002/6-P-2201/velocity");
		const struct round_row *closed = round_row(round, "WHS-001/C-221/hydrogen-induced cracking");
		cr_expect(read->state == ROUND_ANSWERED && closed->state == ROUND_REOPENED, "sheet %zu", i);
		cr_expect_str_eq(read->reply, "read yearly", "sheet %zu", i);
		cr_expect_str_eq(read->why, "replied to; the value is the same", "sheet %zu: %s", i, read->why);
		cr_expect_str_eq(closed->reply, "certificates, two", "sheet %zu", i);
	}
	cr_expect_eq(trial.problems.count, 0);
}

/* What could be read wrongly is not read: by row and column of the spreadsheet. */
Test(revamp, a_sheet_that_could_be_read_wrongly_is_refused, .fini = end)
{
	static const struct {
		const char *sheet, *expected;
	} rows[] = {
		{"a,b\n1,2\n", "x.csv: not-replies: no line names the columns Id and Reply, as the action list does\n"},
		{"", "x.csv: not-replies: no line names the columns Id and Reply, as the action list does\n"},
		{"Title\nId;Status\nVEL-001/X/velocity;open\n",
			"x.csv:2:1: not-replies: the column Reply is missing\n"},
		{"Reply,Status\nx,open\n", "x.csv:1:1: not-replies: the column Id is missing\n"},
		{"Id,Reply\nVEL-001/X/velocity,x\n",
			"x.csv:1:1: not-replies: the column Status is missing: what was closed cannot be told\n"},
		{"Id,Reply,Status,Reply\nVEL-001/X/velocity,x,open,y\n",
			"x.csv:1:4: not-replies: a second column is headed Reply\n"},
		{"Id,Reply,Status\nVEL-001/X/velocity,new line, relieved,open\n",
			"x.csv:2:4: not-replies: a cell beyond the last column: is a reply with a separator in it not "
			"quoted?\n"},
		{"Id,Reply,Status\n\"VEL-001/X/velocity\",\"two\nlines\",open\nVEL-002/X/velocity,x,Done\n",
			"x.csv:3:3: not-replies: status \"Done\": allowed are open, answered, closed\n"},
		{"Id,Reply,Status\n,for what,open\n",
			"x.csv:2:1: not-replies: a reply without an id: nobody knows what it is for\n"},
		{"Id,Reply,Status\nVEL-001/X/velocity,\"never closed,open\nVEL-002/X/velocity,x,open\n",
			"x.csv:2:1: malformed: a quote is opened here and never closed\n"},
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/curlew-spit.xml");
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial.problems.count = 0;
		cr_expect_null(
			round_make(&trial.arena, trial.review, "x.csv", rows[i].sheet, &trial.problems), "%zu", i);
		cr_expect_str_eq(trial_messages(&trial), rows[i].expected, "%zu: %s", i, trial_messages(&trial));
	}
}

/* Without the column of values nobody can say that nothing has changed. */
Test(revamp, a_sheet_without_values_claims_no_sameness, .fini = end)
{
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	const struct round *round = round_make(&trial.arena, trial.review, "r.csv",
		"Id,Reply,Status\nWHS-001/C-221/hydrogen-induced "
		"cracking,x,closed\nVEL-002/6-P-2201/velocity,y,closed\n",
		&trial.problems);
	cr_assert_not_null(round);
	cr_expect_str_eq(round_row(round, "WHS-001/C-221/hydrogen-induced cracking")->why,
		"closed, and it still departs: whether anything has changed is not in the sheet");
	cr_expect(strstr(round_row(round, "VEL-002/6-P-2201/velocity")->why, "now, what it was is not in the sheet"));
}
