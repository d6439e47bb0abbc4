/*
 * The record and what is written of it: the same bytes from the same input, JSON and CSV that others can read, a summary that
 * fits a terminal. The HTML is read back in write_html_test.c.
 */
#include <criterion/criterion.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "review_support.h"
#include "write/write.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(review, .init = begin, .fini = end);

static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml", "designs/saltmarsh-lea.xml",
	"designs/heron-gate.xml", "tests/designs/k01.xml", "tests/designs/two-absorbers.xml"};
enum { DESIGNS = COUNT(designs) };

static void review_design(const char *path)
{
	trial_review_file(&trial, path);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

/* What a writer writes, in the arena of the trial. */
static const char *written(const struct trial *of, bool (*writer)(const struct review *, FILE *))
{
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);
	cr_assert_not_null(out);
	cr_expect(writer(of->review, out));
	fclose(out);
	cr_expect(strlen(bytes) == size);
	const char *copy = arena_copy(&trial.arena, bytes);
	free(bytes);
	return copy;
}

static bool write_summary(const struct review *review, FILE *out)
{
	return write_text(review, out, 0, false);
}

/* ---- the same bytes ---- */

Test(review, the_same_input_gives_the_same_bytes)
{
	static bool (*const writers[])(const struct review *, FILE *) = {
		write_html, write_json, write_csv, write_summary};
	struct trial again = {.review = NULL};
	for (size_t i = 0; i < DESIGNS; i++) {
		review_design(designs[i]);
		trial_open(&again, NULL);
		arena_alloc(&again.arena, 12345); /* other addresses */
		trial_review_file(&again, designs[i]);
		for (size_t k = 0; k < COUNT(writers); k++) {
			const char *first = written(&trial, writers[k]);
			cr_expect(
				strcmp(first, written(&trial, writers[k])) == 0, "%s, writer %zu twice", designs[i], k);
			cr_expect(
				strcmp(first, written(&again, writers[k])) == 0, "%s, writer %zu anew", designs[i], k);
		}
	}
	trial_close(&again);
}

Test(review, neither_place_nor_clock_nor_language_changes_a_byte, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" review --quiet --output \"$SCRATCH/a\" designs/tern-quay.xml; "
		"LC_ALL=de_DE.UTF-8 TZ=Asia/Kathmandu COLUMNS=40 NO_COLOR=1 TMPDIR=/nowhere "
		"\"$LEANRICH\" review --quiet --output \"$SCRATCH/b\" designs/tern-quay.xml; "
		"diff -r \"$SCRATCH/a\" \"$SCRATCH/b\" && find \"$SCRATCH/a\" -type f | wc -l");
	cr_expect_str_eq(run.output, "3\n", "%s%s", run.output, run.errors);
}

/* ---- JSON ---- */

static json_t *record(void)
{
	json_error_t error;
	json_t *root = json_loads(written(&trial, write_json), JSON_REJECT_DUPLICATES, &error);
	cr_assert_not_null(root, "line %d: %s", error.line, error.text);
	return root;
}

static const char *word(const json_t *object, const char *name)
{
	const char *value = json_string_value(json_object_get(object, name));
	cr_assert_not_null(value, "'%s' is no word", name);
	return value;
}

static bool is_one_of(const char *word_, const char *const *words)
{
	for (; *words; words++)
		if (strcmp(word_, *words) == 0)
			return true;
	return false;
}

static void check_limit(const json_t *limit, const char *where)
{
	static const char *const relations[] = {"at most", "below", "at least", "above", NULL};
	static const char *const answers[] = {"yes", "no", "unknown", NULL};
	static const char *const readings[] = {"read", "secondary", "memory", "common practice", NULL};
	cr_expect(*word(limit, "source") && is_one_of(word(limit, "known"), readings), "%s", where);
	cr_expect(is_one_of(word(limit, "met"), answers), "%s", where);
	if (json_object_get(limit, "says"))
		return;
	cr_expect(is_one_of(word(limit, "relation"), relations), "%s", where);
	cr_expect(json_is_number(json_object_get(limit, "value")) && json_is_string(json_object_get(limit, "unit")),
		"%s", where);
}

static void check_limits(const json_t *limits, const struct finding *finding, const char *id)
{
	cr_expect(json_array_size(limits) == finding->limit_count, "%s: %zu of %u limits", id, json_array_size(limits),
		finding->limit_count);
	size_t governing = 0;
	for (size_t i = 0; i < json_array_size(limits); i++) {
		check_limit(json_array_get(limits, i), id);
		governing += json_is_true(json_object_get(json_array_get(limits, i), "governs"));
	}
	cr_expect(finding->governing ? governing >= 1 : governing == 0, "%s: %zu govern", id, governing);
}

static void check_value(const json_t *row, const struct finding *finding)
{
	const json_t *value = json_object_get(row, "value");
	if (finding->value && kind_is_number(finding->value->kind))
		cr_expect_float_eq(json_number_value(value),
			quantity_in(finding->value->si, finding->value->kind, word(row, "unit")),
			1e-8 * (1 + fabs(json_number_value(value))), "%s", finding->message);
}

static void expect_word(const json_t *row, const char *name, const char *expected)
{
	cr_expect_str_eq(word(row, name), expected);
}

static void check_finding(const json_t *row, const struct finding *finding)
{
	/* The names other programs rely on. */
	static const char *const names[] = {"rule", "item", "case", "verdict", "action", "certainty", "value", "unit",
		"limits", "governing", "message", "line", NULL};
	for (size_t i = 0; names[i]; i++)
		cr_expect(json_object_get(row, names[i]), "%s is absent", names[i]);
	const char *id = word(row, "id");
	expect_word(row, "rule", finding->rule->id);
	expect_word(row, "item", finding->item->tag);
	expect_word(row, "verdict", verdict_word(finding->verdict));
	expect_word(row, "certainty", certainty_word(finding->certainty));
	expect_word(row, "message", finding->message);
	cr_expect(json_integer_value(json_object_get(row, "line")) == finding->item->place.line, "%s", id);
	check_limits(json_object_get(row, "limits"), finding, id);
	check_value(row, finding);
}

Test(review, json_parses_and_says_what_was_found)
{
	for (size_t d = 0; d < DESIGNS; d++) {
		review_design(designs[d]);
		const struct judgement *judgement = &trial.review->judgement;
		json_t *root = record();
		const json_t *rows = json_object_get(root, "findings");
		size_t at = 0;
		for (size_t i = 0; i < judgement->count; i++)
			if (judgement->findings[i].verdict != VERDICT_NOT_APPLICABLE)
				check_finding(json_array_get(rows, at++), &judgement->findings[i]);
		cr_expect(at == json_array_size(rows), "%s: %zu rows, %zu findings", designs[d], json_array_size(rows),
			at);
		static const char *const counts[] = {"resolve", "justify", "consider", "state"};
		for (size_t k = 0; k < ACTION_KINDS; k++)
			cr_expect((size_t)json_integer_value(json_object_get(
					  json_object_get(root, "counts"), counts[k])) == trial.review->counts[k],
				"%s, %s", designs[d], counts[k]);
		cr_expect(json_array_size(json_object_get(root, "cautions")) >= 6);
		cr_expect(json_array_size(json_object_get(root, "requests")) == trial.review->request_count);
		cr_expect(json_array_size(json_object_get(root, "questions")) == trial.review->questions.count);
		json_decref(root);
	}
}

/* ---- CSV, read by the letter of RFC 4180 ---- */

struct sheet {
	const char *cells[8192];
	size_t columns, rows;
};

/* One field; `at` is moved after it, to a comma or a line end. */
static const char *read_field(const char **at)
{
	struct text field = text_in(&trial.arena);
	if (**at != '"') {
		size_t length = strcspn(*at, ",\r\n\"");
		text_add_span(&field, *at, length);
		*at += length;
		return field.data;
	}
	for ((*at)++; **at; (*at)++) {
		if (**at == '"' && (*at)[1] != '"')
			break;
		*at += **at == '"';
		text_add_char(&field, **at);
	}
	cr_assert(**at == '"', "a quote is not closed");
	(*at)++;
	return field.data;
}

static void read_sheet(const char *csv, struct sheet *sheet)
{
	*sheet = (struct sheet){.rows = 0};
	cr_assert(strncmp(csv, "\xEF\xBB\xBF", 3) == 0, "no mark of UTF-8");
	size_t count = 0, column = 0;
	for (const char *at = csv + 3; *at;) {
		cr_assert(count < COUNT(sheet->cells));
		sheet->cells[count++] = read_field(&at);
		column++;
		if (*at == ',') {
			at++;
			continue;
		}
		cr_assert(at[0] == '\r' && at[1] == '\n', "row %zu ends in byte %d", sheet->rows, *at);
		at += 2;
		sheet->columns = sheet->rows ? sheet->columns : column;
		cr_assert(column == sheet->columns, "row %zu has %zu columns, not %zu", sheet->rows, column,
			sheet->columns);
		sheet->rows++;
		column = 0;
	}
	cr_assert(column == 0, "the last row has no end");
}

static const char *cell(const struct sheet *sheet, size_t row, const char *column)
{
	for (size_t i = 0; i < sheet->columns; i++)
		if (strcmp(sheet->cells[i], column) == 0)
			return sheet->cells[row * sheet->columns + i];
	cr_assert_fail("no column '%s'", column);
	return NULL;
}

Test(review, csv_holds_every_action_in_the_order_of_the_review)
{
	static struct sheet sheet;
	for (size_t d = 0; d < DESIGNS; d++) {
		review_design(designs[d]);
		read_sheet(written(&trial, write_csv), &sheet);
		size_t row = 1;
		for (size_t i = 0; i < trial.review->matters.count; i++)
			for (size_t k = 0; k < trial.review->matters.rows[i].count; k++, row++) {
				const struct finding *finding = trial.review->matters.rows[i].findings[k];
				cr_expect_str_eq(cell(&sheet, row, "Rule"), finding->rule->id);
				cr_expect_str_eq(cell(&sheet, row, "Item"), finding->item->tag);
				cr_expect_str_eq(cell(&sheet, row, "Action"), action_word(finding_action(finding)));
				cr_expect_str_eq(cell(&sheet, row, "Finding"), finding->message);
			}
		for (size_t i = 0; i < trial.review->questions.now; i++, row++) {
			const struct question *question = &trial.review->questions.rows[i];
			cr_expect_str_eq(cell(&sheet, row, "Action"), "State");
			cr_expect_not_null(strstr(cell(&sheet, row, "Finding"), question->words));
			cr_expect_str_eq(cell(&sheet, row, "Id"), question_id(&trial.arena, question));
		}
		const size_t answers = trial.review->judgement.answer_count; /* after the actions, without an id */
		cr_expect(row + answers == sheet.rows, "%s: %zu rows, %zu actions, %zu answers", designs[d],
			sheet.rows - 1, row - 1, answers);
		for (size_t i = 0; i < answers && row + answers == sheet.rows; i++)
			cr_expect_str_empty(cell(&sheet, row + i, "Id"));
		cr_expect(trial.review->counts[ACTION_RESOLVE] + trial.review->counts[ACTION_JUSTIFY] +
					trial.review->counts[ACTION_CONSIDER] + trial.review->counts[ACTION_STATE] ==
				row - 1,
			"%s", designs[d]);
	}
}

/* Names that a spreadsheet would run, and names that would break a row. */
static const char hostile[] =
	"<line tag='=HYPERLINK(&quot;http://x.invalid&quot;)' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='+1+1' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='-2-3' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='@SUM(A1)' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='&#9;=1' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='a,b&#13;&#10;\"c\";d' velocity='9 m/s' service='rich' material='carbon steel'/>"
	"<line tag='x&#10;Resolve   everything &#155;31m&#8238;' velocity='9 m/s' service='rich' material='carbon "
	"steel'/>";

Test(review, csv_runs_nothing_and_keeps_its_rows)
{
	static struct sheet sheet;
	trial_review_unit(&trial, "MDEA", hostile);
	read_sheet(written(&trial, write_csv), &sheet);
	size_t guarded = 0, broken = 0;
	for (size_t i = 0; i < sheet.rows * sheet.columns; i++) {
		cr_expect(!*sheet.cells[i] || !strchr("=+-@\t\r", *sheet.cells[i]), "runs: %s", sheet.cells[i]);
		guarded += *sheet.cells[i] == '\'';
		broken += strcmp(sheet.cells[i], "a,b\r\n\"c\";d") == 0;
	}
	cr_expect(guarded >= 5, "%zu", guarded);
	cr_expect(broken >= 1, "the name with a line end in it came out otherwise");
}

Test(review, json_keeps_hostile_names_as_they_are)
{
	trial_review_unit(&trial, "MDEA", hostile);
	json_t *root = record();
	const json_t *rows = json_object_get(root, "findings");
	size_t found = 0;
	for (size_t i = 0; i < json_array_size(rows); i++)
		found += strcmp(word(json_array_get(rows, i), "item"), "=HYPERLINK(\"http://x.invalid\")") == 0;
	cr_expect(found > 0);
	json_decref(root);
}

/* ---- the summary ---- */

static const char *summary(int columns, bool colour)
{
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);
	cr_assert_not_null(out);
	cr_expect(write_text(trial.review, out, columns, colour));
	fclose(out);
	const char *copy = arena_copy(&trial.arena, bytes);
	free(bytes);
	return copy;
}

/* The longest line, without those that are one word which cannot be broken. */
static size_t widest(const char *text)
{
	size_t most = 0;
	for (const char *line = text; *line; line += strcspn(line, "\n") + 1) {
		const char *copy = arena_copy_span(&trial.arena, line, strcspn(line, "\n"));
		const char *words = copy + strspn(copy, " ");
		if (strchr(words, ' ') && text_columns(copy) > most)
			most = text_columns(copy);
	}
	return most;
}

Test(review, the_summary_fits_the_terminal)
{
	static const int widths[] = {60, 72, 80, 100, 120, 200};
	for (size_t d = 0; d < DESIGNS; d++) {
		review_design(designs[d]);
		for (size_t i = 0; i < COUNT(widths); i++) {
			size_t most = widest(summary(widths[i], false));
			cr_expect(most <= (size_t)widths[i], "%s: %zu columns in %d", designs[d], most, widths[i]);
		}
		cr_expect(widest(summary(0, false)) <= 120);
		cr_expect(widest(summary(10, false)) <= 60, "narrower than a summary can be");
	}
}

Test(review, colour_is_only_there_when_asked_for)
{
	review_design("designs/tern-quay.xml");
	cr_expect_null(strchr(summary(100, false), '\033'));
	const char *coloured = summary(100, true);
	cr_expect_not_null(strchr(coloured, '\033'));
	struct text plain = text_in(&trial.arena);
	for (const char *at = coloured; *at;) {
		if (*at == '\033')
			at += strcspn(at, "m") + 1;
		else
			text_add_char(&plain, *at++);
	}
	cr_expect_str_eq(plain.data, summary(100, false), "colour changes more than colour");
}

Test(review, the_summary_obeys_no_name)
{
	trial_review_unit(&trial, "MDEA", hostile);
	const char *text = summary(100, false);
	for (const char *at = text; *at; at++)
		cr_expect(!text_control_length(at) && (*at == '\n' || (unsigned char)*at >= ' '), "byte %d",
			(unsigned char)*at);
	for (const char *line = text; *line; line += strcspn(line, "\n") + 1)
		cr_expect(strncmp(line, "Resolve   everything", 20) != 0, "a name made a line of its own");
}

Test(review, messages_obey_no_name)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'/>"
		"<line tag='a' stream='x&#10;&#155;31m&#8238;y'/></unit>");
	cr_assert(trial.problems.count == 1);
	cr_expect_str_eq(trial_messages(&trial),
		"test.xml:1:79: no-such-item: stream: there is no 'x \xEF\xBF\xBD"
		"31m\xEF\xBF\xBDy' in this unit\n");
}

/* ---- the record ---- */

Test(review, the_summary_counts_what_the_record_lists)
{
	review_design("designs/tern-quay.xml");
	const struct review *review = trial.review;
	size_t counts[ACTION_KINDS] = {0};
	for (size_t i = 0; i < review->flag_count; i++) {
		counts[review->flags[i].action] += review->flags[i].count;
		cr_expect(review->flags[i].count > 0);
		cr_expect(i == 0 || review->flags[i - 1].action <= review->flags[i].action, "flag %zu", i);
		for (size_t k = 0; k < review->flags[i].count; k++)
			cr_expect(finding_action(review->flags[i].findings[k]) == review->flags[i].action &&
				review->flags[i].findings[k]->rule == review->flags[i].rule);
	}
	counts[ACTION_STATE] = review->questions.now;
	for (size_t i = 0; i < ACTION_KINDS; i++)
		cr_expect(counts[i] == review->counts[i], "%s", action_word((enum action)i));
}

Test(review, every_finding_has_an_id_of_its_own)
{
	review_design("designs/tern-quay.xml");
	const struct judgement *judgement = &trial.review->judgement;
	const char **ids = arena_alloc(&trial.arena, (judgement->count + 1) * sizeof *ids);
	for (size_t i = 0; i < judgement->count; i++) {
		ids[i] = finding_id(&trial.arena, &judgement->findings[i]);
		for (size_t k = 0; k < i; k++)
			cr_expect(strcmp(ids[i], ids[k]) != 0, "%s occurs twice", ids[i]);
	}
}

/* What asks for an action says it in words, with a remedy, and carries what it was judged by. */
Test(review, every_action_can_be_followed)
{
	for (size_t d = 0; d < DESIGNS; d++) {
		review_design(designs[d]);
		for (size_t i = 0; i < trial.review->judgement.count; i++) {
			const struct finding *finding = &trial.review->judgement.findings[i];
			if (finding->verdict == VERDICT_NOT_JUDGED)
				cr_expect(finding->missing_count > 0, "%s on %s misses nothing", finding->rule->id,
					finding->item->tag);
			if (finding->verdict != VERDICT_DEPARTS)
				continue;
			cr_expect(*finding->message && *finding->remedy && finding->item->place.line > 0);
			cr_expect(!strchr(finding->message, '{') && !strchr(finding->remedy, '{'), "%s: %s %s",
				finding->rule->id, finding->message, finding->remedy);
			cr_expect(
				!strstr(finding->message, "not stated"), "%s: %s", finding->rule->id, finding->message);
			cr_expect(finding->governing != NULL, "%s on %s: nothing governs", finding->rule->id,
				finding->item->tag);
		}
	}
}
