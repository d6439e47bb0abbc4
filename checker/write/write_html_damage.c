/*
 * Credible damage, twice: by place, for the plan of inspection, and by mechanism, with the reason of every answer. Places with
 * the same answers, and answers with the same reason, are together.
 */
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "write/write_html.h"

/* ---- by item ---- */

static bool same_answers(const struct damage *a, const struct damage *b)
{
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (a->answers[m].credible != b->answers[m].credible)
			return false;
	return a->urgency == b->urgency && strcmp(a->condition, b->condition) == 0 && strcmp(a->open, b->open) == 0;
}

static void add_names(struct page *page, xmlNode *row, const struct damage *damage, enum truth credible)
{
	struct text names = text_in(page->arena);
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (damage->answers[m].credible == credible && damage_concerns(page->review->table, (enum mechanism)m))
			text_addf(&names, "%s%s", names.length ? ", " : "", mechanisms[m].name);
	html_add_text(row, "td", names.length ? NULL : "aside", names.length ? names.data : "none");
}

static void add_tag(struct page *page, xmlNode *parent, const struct damage *damage, bool first)
{
	if (!first)
		html_say(parent, ", ");
	page_tag(page, parent, damage->item->tag, SIZE_MAX);
}

static void add_items(struct page *page, xmlNode *body, size_t first)
{
	const struct review *review = page->review;
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *tags = page_row_head(row, "tags");
	for (size_t i = first; i < review->damage_count; i++)
		if (same_answers(&review->damage[i], &review->damage[first]))
			add_tag(page, tags, &review->damage[i], i == first);
	html_add_text(row, "td", NULL, urgency_word(review->damage[first].urgency));
	add_names(page, row, &review->damage[first], YES);
	html_add_text(row, "td", NULL, review->damage[first].condition);
	bool open = *review->damage[first].open;
	html_add_text(row, "td", open ? NULL : "aside", open ? review->damage[first].open : "none");
}

static void add_by_item(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Locations", "Inspect", "Credible", "Condition", "Not known", NULL};
	const struct review *review = page->review;
	xmlNode *body = page_rows(section, "damage",
		"By location, the most urgent first, then in the order of flow; anything else "
		"is not credible as described",
		columns);
	for (size_t i = 0; i < review->damage_count; i++) {
		bool told = false;
		for (size_t k = 0; k < i && !told; k++)
			told = same_answers(&review->damage[k], &review->damage[i]);
		if (!told)
			add_items(page, body, i);
	}
}

/* ---- by mechanism ---- */

enum { ALL_OTHERS = 5 }; /* from so many on the commonest reason names no items */

static bool same_reason(const struct damage_answer *a, const struct damage_answer *b)
{
	return a->credible == b->credible && strcmp(a->why, b->why) == 0;
}

static size_t count_of(const struct review *review, int m, const struct damage_answer *answer)
{
	size_t count = 0;
	for (size_t i = 0; i < review->damage_count; i++)
		count += same_reason(&review->damage[i].answers[m], answer);
	return count;
}

/* The reason that excludes most items, told once for "all others"; the first where several do. */
static const struct damage_answer *most_common_no(const struct review *review, int m)
{
	const struct damage_answer *most = NULL;
	for (size_t i = 0; i < review->damage_count; i++) {
		const struct damage_answer *answer = &review->damage[i].answers[m];
		if (answer->credible == NO && (!most || count_of(review, m, answer) > count_of(review, m, most)))
			most = answer;
	}
	return most;
}

static void add_reason(struct page *page, xmlNode *body, int m, size_t first)
{
	static const char *const words[] = {[NO] = "not credible", [YES] = "credible", [PERHAPS] = "not known"};
	const struct review *review = page->review;
	const struct damage_answer *answer = &review->damage[first].answers[m];
	enum truth credible = answer->credible;
	xmlNode *row = html_add(body, "tr", NULL);
	html_add_text(row, "td", credible == YES ? "credible" : NULL, words[credible]);
	html_add_text(row, "td", NULL, answer->why);
	xmlNode *tags = html_add(row, "td", "tags");
	size_t count = count_of(review, m, answer);
	if (credible == NO && count > ALL_OTHERS && same_reason(answer, most_common_no(review, m))) {
		html_say(tags, arena_format(page->arena, "all %zu others", count));
		return;
	}
	for (size_t i = first; i < review->damage_count; i++)
		if (same_reason(&review->damage[i].answers[m], answer))
			add_tag(page, tags, &review->damage[i], i == first);
}

/* Every answer of one sort, each reason once. */
static void add_reasons(struct page *page, xmlNode *body, int m, enum truth credible)
{
	const struct review *review = page->review;
	for (size_t i = 0; i < review->damage_count; i++) {
		const struct damage_answer *answer = &review->damage[i].answers[m];
		bool told = answer->credible != credible;
		for (size_t k = 0; k < i && !told; k++)
			told = same_reason(&review->damage[k].answers[m], answer);
		if (!told)
			add_reason(page, body, m, i);
	}
}

static void add_mechanism(struct page *page, xmlNode *table, int m)
{
	enum { COLUMNS = 3 };
	const struct mechanism_row *mechanism = &mechanisms[m];
	xmlNode *body = html_add(table, "tbody", NULL);
	xmlNode *head = html_add(html_add(body, "tr", "of-item"), "th", NULL);
	html_set(head, "scope", "rowgroup");
	html_set(head, "colspan", arena_format(page->arena, "%d", COLUMNS));
	char *name = arena_copy(page->arena, mechanism->name);
	if (*name >= 'a' && *name <= 'z')
		*name = (char)(*name - 'a' + 'A');
	html_say(head, name);
	xmlNode *where = html_add_text(head, "span", "mechanism",
		arena_format(page->arena, " begins: %s. Inspect by: %s. Source: ", mechanism->where, mechanism->how));
	page_source(page, where, catalogue_source(page->review->catalogue, mechanism->source));
	add_reasons(page, body, m, YES);
	add_reasons(page, body, m, PERHAPS);
	add_reasons(page, body, m, NO);
}

static void add_by_mechanism(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Answer", "Why", "Items", NULL};
	xmlNode *table = page_table(
		section, "mechanisms", "By mechanism: where it begins, how to look for it, and why", columns);
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (damage_concerns(page->review->table, (enum mechanism)m))
			add_mechanism(page, table, m);
}

void page_damage(struct page *page)
{
	xmlNode *section = page_section(page, "damage", "Inspection plan: credible damage");
	html_add_text(section, "p", NULL,
		"For the inspection plan: a screening, based on the description, of what could fail first. The "
		"inspection method of each mechanism is in the appendix. It does not predict rates, change any finding "
		"or waive stress relief: a mechanism is not credible only as described, until a repair, a steam-out or "
		"another stream.");
	if (!page->review->damage_count) {
		html_add_text(section, "p", NULL, "The description names no item with metal.");
		return;
	}
	add_by_item(page, section);
}

void page_mechanisms(struct page *page)
{
	if (page->review->damage_count)
		add_by_mechanism(page, page_section(page, "mechanisms", "Damage by mechanism"));
}
