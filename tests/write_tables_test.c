/* The tables of the action list: CSV and workbook. What LibreOffice reads back is checked by `make check-document`. */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "record/action_list.h"
#include "review_support.h"
#include "said.h"
#include "write/write.h"

static const char demo[] = "designs/tern-quay.xml";

Test(write_tables, every_finding_and_request_is_a_row)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	trial_review_file(&trial, demo);
	const struct action_row *rows;
	const struct review *review = trial.review;
	size_t count = action_list(&trial.arena, review, &rows), wanted = 0;
	long last = 0;
	for (size_t i = 0; i < ACTION_KINDS; i++)
		wanted += review->counts[i];
	cr_expect_eq(count, wanted);
	for (size_t i = 0; i < count; i++) {
		long number = strtol(rows[i].cells[COLUMN_MATTER], NULL, 10);
		cr_expect(number ? number >= last : rows[i].action == ACTION_STATE,
			"row %zu: in the order of the matters", i);
		last = number;
		cr_expect_str_not_empty(rows[i].anchor);
		for (size_t k = 0; k < ACTION_COLUMNS; k++)
			cr_expect_not_null(rows[i].cells[k], "row %zu, %s", i, action_heads[k]);
		for (size_t k = 0; k < i; k++)
			cr_expect_str_neq(rows[i].cells[COLUMN_ID], rows[k].cells[COLUMN_ID]);
	}
	trial_close(&trial);
}

static size_t rows_with(const char *text, const char *words)
{
	size_t count = 0;
	for (const char *at = text; (at = strstr(at, words)) != NULL; at++)
		count++;
	return count;
}

/* Each claim, limit and deviation is a row of the CSV with its answer, and as replies the sheet is read back without them. */
Test(write_tables, claims_are_rows_of_the_sheet_and_take_no_reply)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	shell_begin();
	struct run run = shell(&trial.arena,
		"D=tests/designs/claims-answered.xml; \"$LEANRICH\" review --no-samples --quiet --output $SCRATCH/o "
		"$D; "
		"cat $SCRATCH/o/*/review.csv; "
		"\"$LEANRICH\" review --no-samples --output $SCRATCH/p --replies $SCRATCH/o/*/review.csv $D >&2");
	cr_expect_eq(run.status, 1, "%s", run.errors);
	cr_expect_eq(rows_with(run.output, "\n,borne out,") + rows_with(run.output, "\n,contradicted,") +
			rows_with(run.output, "\n,not checkable,"),
		34, "%s", run.output);
	cr_expect_not_null(strstr(run.output, "looser than "));
	cr_expect_null(strstr(run.errors, "not-replies"), "%s", run.errors);
	shell_end();
	trial_close(&trial);
}

static char *bytes_of(const char *path, size_t *size)
{
	FILE *file = fopen(path, "r");
	cr_assert_not_null(file);
	fseek(file, 0, SEEK_END);
	*size = (size_t)ftell(file);
	rewind(file);
	char *bytes = checked_calloc(*size + 1);
	cr_assert_eq(fread(bytes, 1, *size, file), *size);
	fclose(file);
	return bytes;
}

Test(write_tables, the_same_review_gives_the_same_workbook)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	trial_review_file(&trial, demo);
	char path[] = "/tmp/leanrich-workbook-XXXXXX";
	int fd = mkstemp(path);
	cr_assert_geq(fd, 0);
	close(fd);
	size_t sizes[2];
	char *bytes[2];
	for (size_t i = 0; i < 2; i++) {
		cr_assert(write_xlsx(trial.review, path));
		bytes[i] = bytes_of(path, &sizes[i]);
	}
	unlink(path);
	cr_expect(sizes[0] == sizes[1] && memcmp(bytes[0], bytes[1], sizes[0]) == 0);
	free(bytes[0]);
	free(bytes[1]);
	trial_close(&trial);
}

/* What a reviewer may choose in the workbook comes back by --replies: the two have one list. */
Test(write_tables, every_status_that_the_workbook_offers_is_read_back)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	shell_begin();
	struct run run = shell(&trial.arena,
		"D=designs/curlew-spit.xml; \"$LEANRICH\" review --no-samples --quiet --xlsx --output $SCRATCH/o $D; "
		"cd "
		"$SCRATCH/o/*; "
		"/usr/bin/python3 -c 'import re, zipfile; "
		"print(*re.findall(\"<formula1>\\\"(.*?)\\\"</formula1>\", "
		"zipfile.ZipFile(\"review.xlsx\").read(\"xl/worksheets/sheet1.xml\").decode())[-1].split(\",\"))'");
	cr_expect_str_eq(run.output, "open answered closed\n", "%s%s", run.output, run.errors);
	shell_end();
	trial_close(&trial);
}

static struct trial full_trial;

static int write_to_full_device(void)
{
	return write_xlsx(full_trial.review, "/dev/full");
}

static int write_to_no_folder(void)
{
	return write_xlsx(full_trial.review, "/nonexistent/review.xlsx");
}

/* The library of workbooks says on standard error what went wrong. */
Test(write_tables, a_place_that_takes_nothing_is_noticed)
{
	trial_open(&full_trial, NULL);
	trial_review_file(&full_trial, demo);
	struct said full_device = said_by(&full_trial.arena, write_to_full_device);
	struct said no_folder = said_by(&full_trial.arena, write_to_no_folder);
	cr_expect(full_device.signal == 0 && full_device.status == false, "%s", full_device.text);
	cr_expect(strstr(full_device.text, "No space left on device"), "%s", full_device.text);
	cr_expect(no_folder.signal == 0 && no_folder.status == false, "%s", no_folder.text);
	cr_expect(strstr(no_folder.text, "No such file or directory"), "%s", no_folder.text);
	FILE *full = fopen("/dev/full", "w");
	cr_assert_not_null(full);
	cr_expect_not(write_csv(full_trial.review, full) && fflush(full) == 0);
	fclose(full);
	trial_close(&full_trial);
}
