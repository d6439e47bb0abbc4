/* What happened since the last round, and the replies beside what they reply to. */
#include "record/round.h"
#include "write/write_html.h"

static void add_rows(struct page *page, xmlNode *table, const struct round *round, enum round_state state)
{
	enum { COLUMNS = 4 };
	if (!round->counts[state])
		return;
	xmlNode *body = html_add(table, "tbody", NULL);
	xmlNode *head = html_add_text(html_add(body, "tr", "of-item"), "th", NULL,
		arena_format(page->arena, "%s (%zu)", round_word(state), round->counts[state]));
	html_set(head, "scope", "rowgroup");
	html_set(head, "colspan", arena_format(page->arena, "%d", COLUMNS));
	for (size_t i = 0; i < round->count; i++) {
		const struct round_row *row = &round->rows[i];
		if (row->state != state)
			continue;
		xmlNode *line = html_add(body, "tr", NULL);
		html_name(html_add(line, "td", NULL), row->id);
		html_name(html_add(line, "td", NULL),
			row->finding		? row->finding->rule->title
				: row->question ? row->question->words
				: row->request	? row->request->reason
						: "");
		html_name(html_add(line, "td", NULL), row->reply);
		html_name(html_add(line, "td", NULL), row->why);
	}
}

void page_round(struct page *page)
{
	static const char *const columns[] = {"Finding", "What it is about", "Reply", "What decided it", NULL};
	const struct round *round = page->review->round;
	if (!round)
		return;
	xmlNode *section = page_section(page, "round", "Since the last round");
	xmlNode *said = html_add_text(section, "p", NULL, "Replies were read from ");
	html_name(said, round->file);
	html_say(said, ". ");
	for (int s = 0; s < ROUND_STATES; s++)
		html_say(said,
			arena_format(page->arena, "%s%s %zu", s ? ", " : "", round_word((enum round_state)s),
				round->counts[s]));
	html_say(said,
		". Items now met or stated are closed; items that were closed but still depart are open again. Open "
		"items without a reply are with the flagged items and are not repeated here.");
	xmlNode *table = page_table(section, "round", "Since the last round, by result", columns);
	for (int s = 0; s < ROUND_STATES; s++)
		if (s != ROUND_OPEN)
			add_rows(page, table, round, (enum round_state)s);
}

void page_reply(struct page *page, xmlNode *row, const struct round_row *reply)
{
	xmlNode *cell = html_add(row, "td", "blank");
	if (!reply)
		return;
	if (*reply->reply)
		html_name(cell, reply->reply);
	const char *state = round_word(reply->state);
	if (reply->state == ROUND_REOPENED)
		state = arena_format(page->arena, "reopened: %s", reply->why);
	else if (reply->applied)
		state = arena_format(page->arena, "%s; as replied: %s", state, reply->applied->words);
	html_add_text(cell, "span", "others", state);
}
