/* CSV: what a spreadsheet of any country makes of a cell, by readers written for the purpose. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "base/names.h"

static struct arena arena;

static void end(void)
{
	arena_release(&arena);
}

TestSuite(cells, .fini = end);

static const char *written(const char *cell)
{
	struct text text = text_in(&arena);
	const char *cells[] = {"head", cell, "tail"};
	cells_row(&text, cells, COUNT(cells));
	return text.data;
}

Test(cells, what_would_run_is_guarded_and_a_number_stays_one)
{
	static const struct {
		const char *cell, *line;
	} rows[] = {
		{"plain", "head,plain,tail\r\n"},
		{"a;b", "head,\"a;b\",tail\r\n"},
		{"a\tb", "head,\"a\tb\",tail\r\n"},
		{"a,b", "head,\"a,b\",tail\r\n"},
		{"=1+1", "head,\"'=1+1\",tail\r\n"},
		{"@SUM(A1)", "head,\"'@SUM(A1)\",tail\r\n"},
		{"+31 20", "head,\"'+31 20\",tail\r\n"},
		{"-5.5", "head,-5.5,tail\r\n"},
		{"+5", "head,+5,tail\r\n"},
		{"-1.2e-3", "head,-1.2e-3,tail\r\n"},
		{"-5 K", "head,\"'-5 K\",tail\r\n"},
		{"-5,5", "head,\"'-5,5\",tail\r\n"},
		{"-inf", "head,\"'-inf\",tail\r\n"},
		{"-0x1p3", "head,\"'-0x1p3\",tail\r\n"},
		{"-.", "head,\"'-.\",tail\r\n"},
		{"-1e", "head,\"'-1e\",tail\r\n"},
		{"-1.", "head,\"'-1.\",tail\r\n"},
		{"\t=1", "head,\"'\t'=1\",tail\r\n"},
		{"  =1", "head,  '=1,tail\r\n"},
		{"\"=1\"", "head,\"\"\"'=1\"\"\",tail\r\n"},
		{"steam; =1+1", "head,\"steam; '=1+1\",tail\r\n"},
		{"two\n-lines", "head,\"two\n'-lines\",tail\r\n"},
		{"a\t@b", "head,\"a\t'@b\",tail\r\n"},
		{"\xEF\xBC\x9D"
		 "1",
			"head,\"'\xEF\xBC\x9D"
			"1\",tail\r\n"},
		{"a;\xEF\xBC\xA0"
		 "b",
			"head,\"a;'\xEF\xBC\xA0"
			"b\",tail\r\n"},
		{"2 - 1 = 1", "head,2 - 1 = 1,tail\r\n"},
		{"from -5, -3 K", "head,\"from -5, -3 K\",tail\r\n"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_str_eq(written(rows[i].cell), rows[i].line, "%s: %s", rows[i].cell, written(rows[i].cell));
}

/* As a program with this separator reads it: a quote counts only where a cell begins. Gives 1 where a cell would run. */
static bool runs(const char *line, char separator)
{
	for (const char *at = line;;) {
		const char *cell = at + strspn(at, " ");
		bool quoted = *at == '"';
		const char *content = quoted ? at + 1 : cell;
		while (*content == '"' || *content == ' ')
			content++;
		bool number = !quoted && strspn(content, "+-.0123456789e") == strcspn(content, ",;\t\r\n");
		if (!number && *content && strchr("=+-@", *content))
			return true;
		if (quoted)
			for (at++; *at && !(*at == '"' && at[1] != '"'); at++)
				at += *at == '"';
		while (*at && *at != separator && *at != '\r' && *at != '\n')
			at++;
		if (!*at || !at[1])
			return false;
		at++;
	}
}

Test(cells, no_cell_of_any_separator_runs_and_all_come_back)
{
	static const char *const parts[] = {
		"", "a", "=", "-", "+", "@", ";", "\t", ",", "\n", "\r", "\"", " ", "1", "'"};
	enum { PARTS = COUNT(parts) };
	for (size_t i = 0; i < (size_t)PARTS * PARTS * PARTS * PARTS; i++) {
		const char *cell = arena_format(&arena, "%s%s%s%s", parts[i % PARTS], parts[i / PARTS % PARTS],
			parts[i / PARTS / PARTS % PARTS], parts[i / PARTS / PARTS / PARTS]);
		const char *line = written(cell);
		for (const char *separator = ",;\t"; *separator; separator++)
			cr_assert_not(runs(line, *separator), "%s", line);
		const struct cells_file read = cells_read(&arena, line, ',');
		cr_assert(read.count == 1 && read.lines[0].count == 3, "%s", line);
		/* What writing and reading give is what they give again. */
		const struct cells_file again = cells_read(&arena, written(read.lines[0].cells[1]), ',');
		cr_assert_str_eq(again.lines[0].cells[1], read.lines[0].cells[1], "%s", line);
		if (!strchr(cell, '\'') && *cell && !strchr(" \t\r\n", *cell) &&
			!strchr(" \t\r\n", cell[strlen(cell) - 1]))
			cr_assert_str_eq(read.lines[0].cells[1], cell);
		if (i % 1000 == 0)
			arena_release(&arena);
	}
}

/* ---- names ---- */

Test(cells, names_are_found_by_their_first_letters_and_in_order)
{
	static const char *const words[] = {"E-1", "E-10", "", "C", "E-1", "E", "E-1 tube", "C"};
	struct names names = {0};
	for (size_t i = 0; i < COUNT(words); i++)
		names_add(&arena, &names, words[i], i);
	names_sort(&names);
	for (size_t i = 0; i < COUNT(words); i++) {
		size_t first = names_first(&names, words[i], strlen(words[i])), after = names_next(&names, first),
		       at = 0;
		cr_assert_lt(first, names.count);
		for (size_t k = 0; k < COUNT(words); k++)
			if (strcmp(words[k], words[i]) == 0)
				cr_expect(first + at < after && names.rows[first + at++].at == k, "%s", words[i]);
		cr_expect_eq(first + at, after);
	}
	cr_expect_eq(names_first(&names, "E-1 shell", 3), names_first(&names, "E-1", 3));
	cr_expect_eq(names_first(&names, "E-2", 3), names.count);
	cr_expect_eq(names_first(&(struct names){0}, "E", 1), 0);
}
