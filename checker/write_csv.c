#include "write.h"

#include <string.h>

#include "text.h"
#include "wording.h"

/* RFC 4180 with a byte order mark, which spreadsheets need to read UTF-8. */

static void cell(struct text *line, const char *content, bool last)
{
	bool formula = *content && strchr("=+-@\t\r", *content) != NULL; /* a spreadsheet would run it */
	bool quote = formula || strpbrk(content, ",\"\r\n") != NULL;
	if (quote)
		text_add_char(line, '"');
	if (formula)
		text_add_char(line, '\'');
	for (const char *c = content; *c; c++) {
		if (*c == '"')
			text_add_char(line, '"');
		text_add_char(line, *c);
	}
	if (quote)
		text_add_char(line, '"');
	text_add(line, last ? "\r\n" : ",");
}

static void row(struct text *out, const char *const *cells, size_t count)
{
	for (size_t i = 0; i < count; i++)
		cell(out, cells[i], i + 1 == count);
}

static const char *const head[] = {"Id", "Action", "Rule", "Item", "Case", "Finding", "Value", "Governing limit",
	"Source", "How known", "Certainty", "What to do", "Description line", "Reply", "Status"};

enum { COLUMNS = sizeof head / sizeof *head };

static void finding_row(
	struct arena *arena, struct text *out, const struct review *review, const struct finding *finding)
{
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	const char *cells[COLUMNS] = {
		finding_id(arena, finding),
		action_word(finding_action(finding)),
		finding->rule->id,
		finding->item->tag,
		finding_case(review, finding),
		finding->message,
		finding->value ? quantity_show_both(arena, finding->value) : "",
		limit ? wording_limit(arena, limit) : "",
		limit && limit->source ? wording_source(arena, limit->source) : "",
		limit ? wording_reading(arena, limit) : "",
		certainty_word(finding->certainty),
		finding->remedy,
		arena_format(arena, "%s:%d", finding->item->place.file, finding->item->place.line),
		"",
		"open",
	};
	row(out, cells, COLUMNS);
}

static void request_row(struct arena *arena, struct text *out, const struct request *request)
{
	struct text rules = text_in(arena);
	for (size_t i = 0; i < request->rule_count; i++)
		text_addf(&rules, "%s%s", i ? " " : "", request->rules[i]->id);
	const struct item *item = request->item;
	const char *cells[COLUMNS] = {
		arena_format(arena, "STATE/%s/%s", item ? item->tag : "unit", request->quantity),
		action_word(ACTION_STATE),
		rules.data,
		item ? item->tag : "",
		"",
		request->reason,
		"",
		"",
		"",
		"",
		"",
		"State it in the description.",
		item ? arena_format(arena, "%s:%d", item->place.file, item->place.line) : "",
		"",
		"open",
	};
	row(out, cells, COLUMNS);
}

bool write_csv(const struct review *review, FILE *out)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);
	text_add(&text, "\xEF\xBB\xBF");
	row(&text, head, COLUMNS);
	for (size_t i = 0; i < review->flag_count; i++)
		for (size_t k = 0; k < review->flags[i].count; k++)
			finding_row(&arena, &text, review, review->flags[i].findings[k]);
	for (size_t i = 0; i < review->request_count; i++)
		request_row(&arena, &text, &review->requests[i]);
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}
