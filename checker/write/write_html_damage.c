/*
 * Credible damage, twice: by place, for the plan of inspection, and by mechanism, with the reason of every answer. Places with
 * the same answers, and answers with the same reason, are together; of what can wait the plan tells what is credible where, and
 * the appendix the condition.
 */
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "write/write_html.h"

/* ---- by place ---- */

/* What a row tells: a plan says where to look and for what, the rest is in the appendix. */
struct plan {
	bool (*belongs)(const struct damage *damage);
	bool (*same)(const struct damage *a, const struct damage *b); /* stand in one row */
	bool whole;						      /* condition, and what is not known */
	const char *caption;
};

static bool same_credible(const struct damage *a, const struct damage *b)
{
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if ((a->answers[m].credible == YES) != (b->answers[m].credible == YES))
			return false;
	return a->urgency == b->urgency;
}

static bool same_answers(const struct damage *a, const struct damage *b)
{
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (a->answers[m].credible != b->answers[m].credible)
			return false;
	return a->urgency == b->urgency && strcmp(a->condition, b->condition) == 0 && strcmp(a->open, b->open) == 0;
}

static bool is_urgent(const struct damage *damage)
{
	return damage->urgency < URGENCY_NORMAL;
}

static bool can_wait(const struct damage *damage)
{
	return !is_urgent(damage);
}

static bool is_normal(const struct damage *damage)
{
	return damage->urgency == URGENCY_NORMAL;
}

static bool is_calm(const struct damage *damage)
{
	return damage->urgency == URGENCY_NONE;
}

static size_t count_belonging(const struct review *review, bool (*belongs)(const struct damage *damage))
{
	size_t count = 0;
	for (size_t i = 0; i < review->damage_count; i++)
		count += belongs(&review->damage[i]);
	return count;
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

static void add_places(struct page *page, xmlNode *body, const struct plan *plan, size_t first)
{
	const struct review *review = page->review;
	const struct damage *damage = &review->damage[first];
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *tags = page_row_head(row, "tags");
	for (size_t i = first; i < review->damage_count; i++)
		if (plan->belongs(&review->damage[i]) && plan->same(&review->damage[i], damage))
			add_tag(page, tags, &review->damage[i], i == first);
	html_add_text(row, "td", NULL, urgency_word(damage->urgency));
	add_names(page, row, damage, YES);
	if (!plan->whole)
		return;
	html_add_text(row, "td", NULL, damage->condition);
	bool open = *damage->open;
	html_add_text(row, "td", open ? NULL : "aside", open ? damage->open : "none");
}

static void add_plan(struct page *page, xmlNode *section, const struct plan *plan)
{
	static const char *const whole[] = {"Locations", "Inspect", "Credible", "Condition", "Not known", NULL};
	static const char *const brief[] = {"Locations", "Inspect", "Credible", NULL};
	const struct review *review = page->review;
	if (!count_belonging(review, plan->belongs))
		return;
	xmlNode *body =
		page_rows(section, plan->whole ? "damage" : "damage brief", plan->caption, plan->whole ? whole : brief);
	for (size_t i = 0; i < review->damage_count; i++) {
		bool told = !plan->belongs(&review->damage[i]);
		for (size_t k = 0; k < i && !told; k++)
			told = plan->belongs(&review->damage[k]) && plan->same(&review->damage[k], &review->damage[i]);
		if (!told)
			add_places(page, body, plan, i);
	}
}

/* Places of which nothing is to be inspected more than the code asks need no row. */
static void add_calm(struct page *page, xmlNode *section)
{
	const struct review *review = page->review;
	if (!count_belonging(review, is_calm))
		return;
	xmlNode *words = html_add_text(section, "p", "tags", "Nothing is credible as described at: ");
	bool first = true;
	for (size_t i = 0; i < review->damage_count; i++)
		if (is_calm(&review->damage[i])) {
			add_tag(page, words, &review->damage[i], first);
			first = false;
		}
	html_say(words, ".");
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
		"A screening, based on the description, of what could fail first; the condition of each location and "
		"the inspection method of each mechanism are in the appendix. It does not predict rates, change any "
		"finding or waive stress relief: a mechanism is not credible only as described, until a repair, a "
		"steam-out or another stream.");
	if (!page->review->damage_count) {
		html_add_text(section, "p", NULL, "The description names no item with metal.");
		return;
	}
	static const struct plan urgent = {is_urgent, same_answers, true,
		"The most urgent first, then in the order of flow; anything else is not credible as described"};
	static const struct plan normal = {is_normal, same_credible, false, "At the interval of the code"};
	add_plan(page, section, &urgent);
	add_plan(page, section, &normal);
	add_calm(page, section);
}

void page_mechanisms(struct page *page)
{
	static const struct plan rest = {can_wait, same_answers, true, "By location: what can wait, and its condition"};
	if (!page->review->damage_count)
		return;
	xmlNode *section = page_section(page, "mechanisms", "Damage by mechanism");
	add_by_mechanism(page, section);
	add_plan(page, section, &rest);
}
