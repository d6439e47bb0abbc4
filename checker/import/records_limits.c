/* Limits of a package: of a design basis, and the rows or columns of limits of a laboratory. Part of records.h. */
#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/guess.h"

struct draft_item *record_state_limit(struct record *record, const struct field_column *column, const char *about,
	const char *quantity, const char *bound, const char *value)
{
	struct arena *arena = record_arena(record);
	const char *of_case = column->of_case ? column->of_case : record->of_case;
	const char *identity =
		arena_format(arena, "limit of %s of %s in %s", quantity, about, of_case ? of_case : "every case");
	struct draft_item *limit = draft_item(record_draft(record), NULL, "operating-limit", NULL, NULL, identity);
	struct field_column of_all = *column;
	const char *of_record = record->of_case;
	of_all.of_case = record->of_case = NULL;
	record_state_value(record, &of_all, limit, "about", about);
	record_state_value(record, &of_all, limit, "quantity", quantity);
	if (of_case)
		record_state_value(record, &of_all, limit, "case", of_case);
	bool stated = record_state_value(record, &of_all, limit, bound, value);
	record->of_case = of_record;
	return stated ? limit : NULL;
}

bool record_is_of_limits(const struct record *record, const char *name)
{
	return guess_bound(record_arena(record), name) != NULL;
}

/* One figure, with what stands before it: "< 0.012", "max. 2". NULL: none that is certain. `*bound` may be told by it. */
static const char *figure(struct record *record, const struct field_column *column,
	const struct vocabulary_attribute *limited, const char *text, const char **bound)
{
	static const char *const signs[][2] = {{"<=", "at-most"}, {"\u2264", "at-most"}, {"<", "at-most"},
		{">=", "at-least"}, {"\u2265", "at-least"}, {">", "at-least"}, {"max.", "at-most"}, {"max", "at-most"},
		{"min.", "at-least"}, {"min", "at-least"}};
	text += strspn(text, " ");
	for (size_t i = 0; i < COUNT(signs); i++)
		if (strncmp(text, signs[i][0], strlen(signs[i][0])) == 0) {
			text += strlen(signs[i][0]);
			text += strspn(text, " ");
			*bound = signs[i][1];
			break;
		}
	if (!strchr("0123456789", *text) || !*text)
		return NULL;
	struct cell_value value = list_cell(record_arena(record), text, limited->type, &column->rules);
	return value.fate == CELL_TAKEN ? value.value : NULL;
}

/* "43 - 46": the two ends. */
static bool two_ends(struct arena *arena, const char *text, const char *ends[2])
{
	static const char *const signs[] = {" - ", " \u2013 ", " to ", " bis ", "-", "\u2013"};
	for (size_t i = 0; i < COUNT(signs); i++) {
		const char *at = strstr(text, signs[i]);
		if (!at || at == text)
			continue;
		ends[0] = arena_copy_span(arena, text, (size_t)(at - text));
		ends[1] = at + strlen(signs[i]);
		return strpbrk(ends[0], "0123456789") && strpbrk(ends[1], "0123456789") && !strstr(ends[1], signs[i]);
	}
	return false;
}

bool record_state_limit_of_lean(struct record *record, const struct field_column *column, const char *called)
{
	struct arena *arena = record_arena(record);
	struct draft *draft = record_draft(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const struct vocabulary_element *analysis =
		vocabulary_child(vocabulary_child(draft->unit, "solvent"), "dated-analysis");
	const struct vocabulary_attribute *limited = analysis ? vocabulary_attribute(analysis, column->field) : NULL;
	const char *section = column->column->section, *of = section ? guess_service(arena, section) : NULL, *ends[2];
	static const char of_solvent[] = "strength salts chloride iron solids ph bicine degradation chromium nickel "
					 "sodium potassium oxygen ammonia";
	bool several;
	const struct draft_item *lean =
		strcmp(column->field, "loading") == 0 ? record_stream_of(draft, "lean", &several) : NULL;
	const char *about = lean ? lean->key : text_has_word(of_solvent, column->field) ? "solvent" : NULL;
	if (!limited || !about || cell->hidden || !*cell->text || (of && strcmp(of, "lean") != 0))
		return false;
	draft_item(draft, NULL, "solvent", NULL, NULL, "solvent");
	if (two_ends(arena, cell->text, ends)) {
		const char *bound = "", *low = figure(record, column, limited, ends[0], &bound),
			   *high = figure(record, column, limited, ends[1], &bound);
		if (!low || !high || *bound ||
			!record_state_limit(record, column, about, column->field, "at-least", low) ||
			!record_state_limit(record, column, about, column->field, "at-most", high))
			return false;
		record_interpreted(
			record, column, arena_join(arena, low, " to ", high, ""), "the limits of the solution");
		return true;
	}
	const char *bound = called, *value = figure(record, column, limited, cell->text, &bound);
	if (!value || !*bound || !record_state_limit(record, column, about, column->field, bound, value))
		return false;
	record_interpreted(record, column, arena_join(arena, bound, " ", value, ""), "a limit of the solution");
	return true;
}

void record_read_limits(struct record *record, const char *name)
{
	const char *called = guess_bound(record_arena(record), name);
	bool any = false;
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));) {
		if (strcmp(column->field, "date") == 0)
			continue;
		any = record_state_limit_of_lean(record, column, called) || any;
	}
	if (any)
		record_pass(record, record_column(record, "date"), OUTCOME_STRUCTURE);
	record_keep(record, any ? "no certain limit of the solution" : "limits, and none of them is certain");
}
