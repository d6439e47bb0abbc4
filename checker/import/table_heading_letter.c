/* "Flow A | Flow B | Flow C", "Duty A | B | C", where the package names its cases by letters. Part of table_heading.h. */
#include "import/table_heading.h"

#include <string.h>

#include "base/text.h"

/* Is it the letter, or number, of a case of the package? As it is folded; NULL: it is not. */
static const char *letter_of(const struct finding *finding, const char *text)
{
	size_t length = strlen(text), from = strspn(text, "("), to = length;
	while (to > from && strchr(")", text[to - 1]))
		to--;
	const char *letter = words_fold(finding->arena, arena_copy_span(finding->arena, text + from, to - from));
	return *letter && text_has_word(words_case_letters(finding->words), letter) ? letter : NULL;
}

static const char cases[] = "case|cas|fall|lastfall|caso|geval";

/* "A", "(2)": it may name a case where a word for that stands before it. */
static bool is_letter(const char *text)
{
	size_t length = strcspn(text, ")"), from = strspn(text, "(");
	return length == from + 1 && strchr("ABCDEFGH123456789", text[from]) && text[from];
}

/* "Vel A m/s", "Flow / A", "Duty (B)", "Flow case A": what stands before the letter in `*rest`, and the letter; NULL: it ends with none. */
static const char *letter_at_end(const struct finding *finding, const char *heading, const char **rest)
{
	const char *unit, *bare = words_without_unit(finding->arena, finding->words, heading, &unit);
	size_t end = strlen(bare);
	while (end && bare[end - 1] == ' ')
		end--;
	size_t from = end;
	while (from && !strchr(" /\n", bare[from - 1]))
		from--;
	const char *last = arena_copy_span(finding->arena, bare + from, end - from);
	const char *letter = letter_of(finding, last);
	while (from && strchr(" /-\n", bare[from - 1]))
		from--;
	*rest = arena_copy_span(finding->arena, bare, from);
	const char *blank = strrchr(*rest, ' ');
	if (!blank || !is_letter(last) ||
		!words_are_one_of(finding->arena, words_fold(finding->arena, blank + 1), cases))
		return letter;
	letter = arena_join(finding->arena, blank + 1, " ", last, "");
	*rest = arena_copy_span(finding->arena, *rest, (size_t)(blank - *rest));
	return letter;
}

/* A number may count anything: only where the next column goes on counting does it name a case. */
static bool goes_on(const struct finding *finding, const struct table *table, size_t at, const char *letter)
{
	const char *rest,
		*next = at + 1 < table->count ? letter_at_end(finding, table->columns[at + 1].heading, &rest) : NULL;
	return next && strcmp(next, letter) != 0;
}

void heading_find_letters(const struct finding *finding, struct table *table)
{
	const struct table_column *before = NULL; /* the last that was of a case by its letter */
	for (size_t k = 0; k < table->count; k++) {
		struct table_column *column = &table->columns[k];
		const char *rest, *letter = letter_at_end(finding, column->heading, &rest);
		bool alone = letter && !*rest, number = letter && strchr("0123456789", *letter);
		bool known = column->known_as && strcmp(column->known_as, column->heading) == 0;
		if (!letter || column->of_case || column->cases || (known && !alone)) {
			before = NULL;
			continue;
		}
		if (alone && before && before + 1 == column && before->known_as &&
			strcmp(before->of_case, letter) != 0) {
			column->known_as = before->known_as;
			column->unit = column->unit ? column->unit : before->unit;
		} else if (!alone && heading_varies(finding, rest) && heading_knows(finding, rest) &&
			(!number || goes_on(finding, table, k, letter) || before)) {
			column->known_as = rest;
		} else {
			before = NULL;
			continue;
		}
		column->of_case = letter;
		before = column;
	}
}
