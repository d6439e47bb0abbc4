/* What the package claims and limits, each once with its answer. Deviations have a table of their own. */
#include "judge/answers.h"
#include "write/write_html.h"

static bool is_shown(const struct answer *answer)
{
	return !item_is(answer->claim, "deviation");
}

static void add_answer(struct page *page, xmlNode *body, const struct answer *answer)
{
	static const char *const before[] = {"Borne out by ", "Contradicted by ", "Not checkable here, because "};
	const struct table *table = page->review->table;
	const char *by = table_word(table, answer->claim, EVERY_CASE, "set-by");
	const char *because = table_word(table, answer->claim, EVERY_CASE, "because");
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *head = page_row_head(row, NULL);
	html_name(head, answer->words);
	html_name(html_add(row, "td", NULL),
		by					  ? arena_format(page->arena, "limit of the %s", by)
			: item_is(answer->claim, "claim") ? "claim"
							  : "limit");
	xmlNode *cell = html_add(row, "td", NULL);
	html_say(cell, before[answer->state]);
	html_name(cell, answer->found);
	if (*answer->looser_than)
		html_name(html_add(cell, "span", "others"),
			arena_format(page->arena, "looser than %s", answer->looser_than));
	html_name(html_add(row, "td", NULL), because ? because : "no reason given");
	html_name(html_add(row, "td", "place"), page_place(page, answer->claim->place));
}

void page_claims(struct page *page)
{
	static const char *const columns[] = {"Claim or limit", "As", "Answer", "Because", "Stated at", NULL};
	const struct judgement *judgement = &page->review->judgement;
	xmlNode *body = NULL;
	for (size_t i = 0; i < judgement->answer_count; i++) {
		if (!is_shown(&judgement->answers[i]))
			continue;
		if (!body) {
			xmlNode *section = page_section(page, "claims", "Claims and limits of the package, answered");
			body = page_rows(section, "claims", "Claims and operating limits", columns);
		}
		add_answer(page, body, &judgement->answers[i]);
	}
}
