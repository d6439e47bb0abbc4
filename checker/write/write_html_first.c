/* The first page: what a lead engineer reads in two minutes; and the actions, a row for each matter. */
#include "base/count.h"
#include "write/write_html.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "record/action_list.h"
#include "record/first_page.h"
#include "sulfide/lean_side.h"

enum {
	FRONT_PLACES = 3,
	BENEATH_PLACES = 2,
	FRONT_REMEDY = 150,
	FRONT_MESSAGE = 390,
	ACTION_PLACES = 6,
	FOLDED_PLACES = 2,
	FOLDED_COLUMNS = 72,
	RULES_SHOWN = 12
};

static const char *const action_meanings[ACTION_KINDS] = {
	"a required rule is departed from: change the design, or show that the rule is met",
	"recommended practice is departed from: change the design, or record why not",
	"advice is not followed: consider it, and say what was decided",
	"a question whose answer can change an action",
};

/* ---- a matter ---- */

static const char *anchor_of_finding(struct page *page, const struct finding *finding)
{
	return arena_format(
		page->arena, "#%s", anchor_of_flag(page->arena, (enum action)finding->force, finding->rule));
}

static void say_where(struct page *page, xmlNode *cell, const struct open_matter *matter, size_t most)
{
	html_name(cell, matter_places(page->arena, matter, most));
	if (*matter_case(page->arena, page->review, matter->lead))
		html_name(html_add(cell, "span", "others"), finding_case(page->review, matter->lead));
}

static void say_lead(struct page *page, xmlNode *cell, const struct open_matter *matter, size_t most)
{
	html_set(html_add_text(cell, "a", NULL, matter->cause), "href", anchor_of_finding(page, matter->lead));
	html_set(
		html_add_text(cell, "span", "line", text_cut(page->arena, matter->lead->message, most)), "dir", "auto");
}

static void add_front_row(struct page *page, xmlNode *body, const struct open_matter *matter)
{
	xmlNode *row = html_add(body, "tr", NULL);
	page_action(html_add(row, "td", NULL), (enum action)matter->lead->force);
	xmlNode *where = html_add(row, "th", NULL);
	html_set(where, "scope", "row");
	say_where(page, where, matter, FRONT_PLACES);
	say_lead(page, html_add(row, "td", NULL), matter, FRONT_MESSAGE);
	html_add_text(row, "td", NULL, consequence_word(matter->consequence));
	html_set(html_add_text(row, "td", NULL, first_advice(page->arena, matter->lead->remedy, FRONT_REMEDY)), "dir",
		"auto");
}

static void add_beneath(struct page *page, xmlNode *section)
{
	const char *others = also_to_resolve(page->arena, page->review, BENEATH_PLACES);
	const char *fewer = fewer_matters(page->arena, page->review);
	if (*others) {
		xmlNode *line = html_add(section, "p", "more");
		html_add_text(line, "b", NULL, "Also to resolve:");
		html_say(line, " ");
		html_name(line, others);
		html_say(line, ".");
	}
	if (*fewer)
		html_set(html_add_text(html_add(section, "p", "more"), "a", NULL,
				 arena_format(page->arena, "And %s.", fewer)),
			"href", "#actions");
}

static void add_front(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Action", "Where", "What", "Can lead to", "What to do", NULL};
	const struct open_matters *matters = &page->review->matters;
	if (!matters->count)
		return;
	xmlNode *body = page_rows(section, "front", "What matters most", columns);
	for (size_t i = 0; i < matters->count && i < FIRST_MATTERS; i++)
		add_front_row(page, body, &matters->rows[i]);
	add_beneath(page, section);
}

static void add_scope(struct page *page, xmlNode *section)
{
	xmlNode *line = html_add_text(section, "p", "tally", described_sentence(page->arena, page->review));
	html_say(line, " ");
	html_say(line, not_looked_at(page->arena, page->review));
	html_add_text(section, "p", "tally",
		"A screening aid: local codes, the editions in force and a licensed engineer decide. Hydrogen sulfide "
		"is "
		"lethal; the cautions are in Scope and basis.");
}

void page_front(struct page *page)
{
	xmlNode *section = page_section(page, "found", "What was found");
	html_set(html_add_text(section, "p", "verdict", verdict_sentence(page->arena, page->review)), "dir", "auto");
	add_front(page, section);
	page_first_questions(page, section);
	if (!page->review->lean_side->circuit->sweet)
		page_first_answer(page, section);
	add_scope(page, section);
}

/* ---- the actions ---- */

static void add_counts(struct page *page, xmlNode *section)
{
	xmlNode *list = html_add(section, "ul", "counts");
	for (enum action action = ACTION_RESOLVE; action < ACTION_NONE; action++) {
		size_t many = action == ACTION_STATE ? page->review->questions.now : matter_count(page->review, action);
		xmlNode *count = html_add(list, "li", NULL);
		html_set(count, "class", many ? "count" : "count none");
		html_add_text(count, "span", "many", arena_format(page->arena, "%zu", many));
		html_say(count, " ");
		page_action(count, action);
		html_say(count, " ");
		html_add_text(count, "span", "meaning", action_meanings[action]);
	}
}

static bool is_named(const struct open_matter *matter, size_t end, const struct rule *rule)
{
	for (size_t i = 0; i < end; i++)
		if (matter->findings[i]->rule == rule)
			return true;
	return false;
}

/* The rules behind it, each a link to its limits and working. */
static void say_rules(struct page *page, xmlNode *cell, const struct open_matter *matter)
{
	xmlNode *list = html_add(cell, "span", "others");
	size_t shown = 0;
	for (size_t i = 0; i < matter->count; i++) {
		if (is_named(matter, i, matter->findings[i]->rule) || shown++ >= RULES_SHOWN)
			continue;
		html_say(list, shown > 1 ? " " : "");
		html_set(html_add_text(list, "a", "rule", matter->findings[i]->rule->id), "href",
			anchor_of_finding(page, matter->findings[i]));
	}
	if (shown > RULES_SHOWN)
		html_say(list, arena_format(page->arena, " and %zu more", shown - RULES_SHOWN));
}

/* In a line what it is; all else when it is opened. */
static void say_folded(struct page *page, xmlNode *cell, const struct open_matter *matter)
{
	xmlNode *fold = html_add(cell, "details", "fold");
	xmlNode *summary = html_add(fold, "summary", NULL);
	html_add_text(summary, "b", NULL, matter->cause);
	html_say(summary, " ");
	html_set(html_add_text(summary, "span", NULL, first_advice(page->arena, matter->lead->message, FOLDED_COLUMNS)),
		"dir", "auto");
	html_set(html_add_text(fold, "p", NULL, matter->lead->message), "dir", "auto");
	if (*matter->lead->remedy)
		html_set(html_add_text(
				 fold, "p", NULL, arena_format(page->arena, "What to do: %s", matter->lead->remedy)),
			"dir", "auto");
	if (matter->place_count > FOLDED_PLACES)
		html_name(html_add(fold, "p", NULL),
			arena_format(page->arena, "Where: %s.", matter_places(page->arena, matter, SIZE_MAX - 1)));
	say_rules(page, fold, matter);
}

/* On paper nothing is folded; the words of every finding are in the appendix. */
static void say_what(struct page *page, xmlNode *row, const struct open_matter *matter)
{
	xmlNode *what = html_add(row, "td", NULL);
	const char *remedy = matter->lead->remedy;
	if (page->paper) {
		say_lead(page, what, matter, SIZE_MAX);
		say_rules(page, what, matter);
	} else {
		say_folded(page, what, matter);
		remedy = first_advice(page->arena, remedy, FOLDED_COLUMNS);
	}
	html_set(html_add_text(row, "td", NULL, remedy), "dir", "auto");
}

static void add_action(struct page *page, xmlNode *body, size_t index)
{
	const struct open_matter *matter = &page->review->matters.rows[index];
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(row, "id", arena_format(page->arena, "matter-%zu", index + 1));
	xmlNode *first = html_add_text(row, "td", NULL, arena_format(page->arena, "%zu ", index + 1));
	page_action(first, (enum action)matter->lead->force);
	html_add_text(first, "span", "others", certainty_word(matter->lead->certainty));
	xmlNode *where = html_add(row, "th", "tag");
	html_set(where, "scope", "row");
	say_where(page, where, matter, page->paper ? ACTION_PLACES : FOLDED_PLACES);
	say_what(page, row, matter);
	page_reply(page, row, round_of_finding(page->review, matter->lead));
}

void page_actions(struct page *page)
{
	static const char *const columns[] = {"Action", "Where", "What", "What to do", "Reply", NULL};
	const struct open_matters *matters = &page->review->matters;
	xmlNode *section = page_section(page, "actions", "Actions");
	add_counts(page, section);
	if (!matters->count) {
		html_add_text(section, "p", NULL, "No departure was found in what is stated.");
		return;
	}
	html_add_text(section, "p", NULL,
		"Findings with one cause are one row, the most severe first: by consequence, then by certainty. Each "
		"rule links to every published limit next to the value.");
	html_add_text(section, "p", "tally of-met", "Open a row for its full text, places and rules.");
	xmlNode *body = page_rows(section, "actions", "Actions", columns);
	for (size_t i = 0; i < matters->count; i++)
		add_action(page, body, i);
}
