/* The names of operating cases in headings. Part of table_heading.h. */
#include "import/table_heading.h"

#include <string.h>

#include "base/count.h"
#include "import/fields.h"

static const struct sheet_cell *cell(const struct finding *finding, size_t row, size_t column)
{
	return table_at(&finding->view, row, column);
}

/* The name of a case that stands first where strokes separate several; NULL: none does. `*length`: of what is written. */
static const char *first_case(const struct finding *finding, const char *names, size_t *length)
{
	struct arena *arena = finding->arena;
	*length = strcspn(names, "/|()\n");
	size_t begins = strspn(names, " "), ends = *length;
	while (ends > begins && names[ends - 1] == ' ')
		ends--;
	const char *name = arena_copy_span(arena, names + begins, ends > begins ? ends - begins : 0);
	if (words_are_one_of(arena, words_fold(arena, name), "norm|nor|nom|norm."))
		return "normal";
	return fields_case(arena, name) ? name : NULL;
}

/* The names of cases at the start of the text, two at least with strokes between: how long they are; 0: there are none. */
static size_t cases_length(const struct finding *finding, const char *text, const char **cases)
{
	struct text names = text_in(finding->arena);
	size_t length = 0, count = 0, one;
	for (const char *name; (name = first_case(finding, text + length, &one));) {
		text_addf(&names, "%s%s", count++ ? "/" : "", name);
		length += one;
		if (!text[length] || !strchr("/|", text[length]))
			break;
		length++;
	}
	*cases = names.data;
	return count > 1 && !strchr("/|", text[length - 1]) ? length : 0;
}

/* "Temperature normal / summer (degC)", "Flow (min/max)": the names of cases taken out of the heading. */
const char *heading_take_cases(const struct finding *finding, const char *text, const char **cases)
{
	struct arena *arena = finding->arena;
	if (text_has_word(table_concepts_of(finding, text), "design"))
		return text; /* what it is designed for does not differ from case to case: they are the ends of a range */
	for (const char *at = text; *at; at++) {
		const char *found;
		if (at > text && !strchr(" (\n", at[-1]))
			continue;
		size_t length = cases_length(finding, at, &found);
		if (!length)
			continue;
		*cases = found;
		bool bracket = at > text && at[-1] == '(' && at[length] == ')';
		size_t before = (size_t)(at - text) - (bracket ? 1 : 0);
		while (before && text[before - 1] == ' ')
			before--;
		const char *rest = at + length + (bracket ? 1 : 0);
		return arena_join(arena, arena_copy_span(arena, text, before),
			*rest && before && *rest != ' ' ? " " : "", rest, "");
	}
	return text;
}

/* The case that a heading names among those of cases alone; NULL: it does not. "Normal", "Rated", "Max" are none. */
static const char *case_word(const struct finding *finding, const char *text, bool *sure)
{
	static const char *const words[][2] = {{"Turndown", "td|turndown|turn down|t d|teillast|minderlast"},
		{"Summer", "sum|summer|sommer|smr|ete|verano|zomer"}, {"Winter", "win|winter|wtr|hiver|invierno"},
		{"Design", "des|design|dsgn|auslegung|ausl|ausleg"}, {"Normal", "norm|normal|nor|nrm"}};
	enum { DESIGN = 3 };
	const char *folded = words_fold(finding->arena, text);
	for (size_t i = 0; i < COUNT(words); i++)
		if (words_are_one_of(finding->arena, folded, words[i][1])) {
			*sure = *sure || i < DESIGN;
			return words[i][0];
		}
	return words_are_one_of(finding->arena, folded, "max|min|maximum|minimum") || !fields_case(finding->arena, text)
		? NULL
		: text;
}

/* "Duty | Design | Turndown | Summer": the names of cases under one heading, "Des" and "Design" among them; NULL: not these. */
const char *heading_among_cases(const struct finding *finding, const struct band *band, size_t row, size_t at)
{
	bool sure = false;
	size_t from = at, to = at + 1, names = 0;
	const char *own = row > band->first ? case_word(finding, cell(finding, row, at)->text, &sure) : NULL;
	if (!own)
		return NULL;
	const struct sheet_cell *over = cell(finding, row - 1, at);
	while (from > 0 &&
		(over->kind == SHEET_EMPTY ||
			(over->merged && strcmp(over->text, cell(finding, row - 1, from - 1)->text) == 0)))
		over = cell(finding, row - 1, --from);
	while (to < finding->columns &&
		(cell(finding, row - 1, to)->kind == SHEET_EMPTY ||
			(cell(finding, row - 1, to)->merged &&
				strcmp(over->text, cell(finding, row - 1, to)->text) == 0)))
		to++;
	for (size_t k = from; k < to; k++) {
		const char *text = cell(finding, row, k)->text;
		if (*text && !case_word(finding, text, &sure))
			return NULL;
		names += *text != '\0';
	}
	return over->kind == SHEET_EMPTY || names < 2 || !sure ? NULL : own;
}
