/* The questions that the review asks: one row each, and what is behind it. */
#include "write/write_html.h"

#include <string.h>

#include "base/text.h"
#include "record/action_list.h"

enum { ITEMS_SHOWN = 6, FIRST_QUESTIONS = 3, RULES_SHOWN = 8, LONGEST_ITEMS = 90 };

static void say_rules(struct page *page, xmlNode *cell, const struct question *question)
{
	for (size_t i = 0; i < question->rule_count && i < RULES_SHOWN; i++) {
		html_say(cell, i ? " " : "");
		html_add_text(cell, "span", "rule", question->rules[i]->id);
	}
	if (question->rule_count > RULES_SHOWN)
		html_say(cell, arena_format(page->arena, " and %zu more", question->rule_count - RULES_SHOWN));
}

static void say_stake(struct page *page, xmlNode *cell, const struct question *question)
{
	page_action(cell, (enum action)question->force);
	html_say(cell,
		arena_format(page->arena, " %zu verdict%s: ", question->verdicts, question->verdicts == 1 ? "" : "s"));
	say_rules(page, cell, question);
	if (*question->turns)
		html_name(html_add(cell, "span", "line"), question->turns);
}

static void add_question(struct page *page, xmlNode *body, const struct question *question)
{
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(row, "id", anchor_of_question(page->arena, question));
	xmlNode *asked = page_row_head(row, NULL);
	html_say(asked, question->words);
	html_name(html_add(asked, "span", "others"), question->what);
	html_set(html_add_text(row, "td", "tags", question_items(page->arena, question, ITEMS_SHOWN)), "dir", "auto");
	html_add_text(row, "td", NULL, answerer_word(question->who));
	say_stake(page, html_add(row, "td", NULL), question);
	page_reply(page, row, round_of_question(page->review, question));
}

/* On screen only: on paper the action list has them. */
static void add_behind(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Question", "What is missing", NULL};
	const struct questions *questions = &page->review->questions;
	xmlNode *fold = html_add(section, "details", "of-met");
	html_add_text(fold, "summary", NULL,
		arena_format(page->arena, "The %zu values behind these questions", page->review->request_count));
	xmlNode *body = page_rows(fold, "behind", "Values behind the questions", columns);
	for (size_t i = 0; i < questions->count; i++)
		for (size_t k = 0; k < questions->rows[i].request_count; k++) {
			xmlNode *row = html_add(body, "tr", "behind");
			html_add_text(row, "td", NULL, questions->rows[i].words);
			html_set(html_add_text(row, "td", NULL, questions->rows[i].requests[k]->reason), "dir", "auto");
		}
}

static void add_later(struct page *page, xmlNode *section)
{
	const struct questions *questions = &page->review->questions;
	size_t later = questions->count - questions->now;
	if (!later)
		return;
	struct text text = text_in(page->arena);
	for (size_t i = questions->now; i < questions->count; i++)
		text_addf(&text, "%s%s", i > questions->now ? " " : "", questions->rows[i].words);
	html_add_text(section, "p", "more",
		arena_format(
			page->arena, "%zu more can be answered at a later stage of the project: %s", later, text.data));
}

void page_questions(struct page *page)
{
	static const char *const columns[] = {
		"Question", "Of", "Who can answer", "What depends on the answer", "Reply", NULL};
	const struct questions *questions = &page->review->questions;
	xmlNode *section = page_section(page, "state", "Questions");
	if (!questions->count) {
		html_add_text(section, "p", NULL, "None: no missing answer would change an action.");
		page_judged_if_stated(page, section);
		return;
	}
	html_add_text(section, "p", NULL,
		"Nothing requested here is stated in the description in a usable form, and the answer can change an "
		"action. Those with the most severe possible action come first.");
	if (questions->now) {
		xmlNode *body = page_rows(section, "questions", "Questions", columns);
		for (size_t i = 0; i < questions->now; i++)
			add_question(page, body, &questions->rows[i]);
	}
	add_later(page, section);
	add_behind(page, section);
	page_judged_if_stated(page, section);
}

/* ---- on the first page ---- */

void page_first_questions(struct page *page, xmlNode *section)
{
	const struct questions *questions = &page->review->questions;
	html_add_text(section, "h3", NULL, "What to ask first");
	if (!questions->now) {
		html_add_text(section, "p", NULL, "Nothing: no answer missing now would change an action.");
		return;
	}
	xmlNode *list = html_add(section, "ol", "first-questions");
	for (size_t i = 0; i < questions->now && i < FIRST_QUESTIONS; i++) {
		const struct question *question = &questions->rows[i];
		xmlNode *entry = html_add(list, "li", NULL);
		html_set(html_add_text(entry, "a", NULL, question->words), "href",
			arena_format(page->arena, "#%s", anchor_of_question(page->arena, question)));
		html_say(entry, " ");
		html_name(entry,
			text_cut(page->arena, question_items(page->arena, question, FIRST_QUESTIONS), LONGEST_ITEMS));
		html_say(entry, arena_format(page->arena, " (%s; can lead to ", answerer_word(question->who)));
		html_say(entry, action_word((enum action)question->force));
		html_say(entry, ")");
	}
	if (questions->now > FIRST_QUESTIONS)
		html_add_text(section, "p", "more",
			arena_format(page->arena, "And %zu more under Questions.", questions->now - FIRST_QUESTIONS));
}
