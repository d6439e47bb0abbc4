#include <string.h>

#include "base/text.h"
#include "write/write_html.h"

static void add_mechanism(struct page *page, xmlNode *body, const struct mechanism_row *mechanism)
{
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(html_add_text(row, "th", NULL, mechanism->name), "scope", "row");
	html_add_text(row, "td", NULL, mechanism->where);
	html_add_text(row, "td", NULL, mechanism->how);
	page_source(page, html_add(row, "td", NULL), catalogue_source(page->review->catalogue, mechanism->source));
}

static void add_mechanisms(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Mechanism", "Where it begins", "How to look for it", "Source", NULL};
	xmlNode *body = html_add(
		page_table(section, "mechanisms", "What can happen in amine service, and where to look", columns),
		"tbody", NULL);
	for (int m = 0; m < MECHANISM_COUNT; m++)
		add_mechanism(page, body, &mechanisms[m]);
}

/* Mechanisms with one answer and one reason stand together, with the reason once. */
static void add_answers(struct page *page, xmlNode *cell, const struct damage *damage, enum truth credible)
{
	bool told[MECHANISM_COUNT] = {false}, any = false;
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		const struct damage_answer *answer = &damage->answers[m];
		if (answer->credible != credible || told[m])
			continue;
		struct text names = text_in(page->arena);
		text_add(&names, mechanisms[m].name);
		for (int k = m + 1; k < MECHANISM_COUNT; k++)
			if (damage->answers[k].credible == credible &&
				strcmp(damage->answers[k].why, answer->why) == 0) {
				text_addf(&names, ", %s", mechanisms[k].name);
				told[k] = true;
			}
		xmlNode *line = html_add(cell, "span", "line");
		html_add_text(line, credible == YES ? "b" : "span", NULL, names.data);
		html_say(line, ": ");
		html_say(line, answer->why);
		any = true;
	}
	if (!any)
		html_add_text(cell, "span", "aside", "none");
}

static void add_item(struct page *page, xmlNode *body, const struct damage *damage)
{
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *tag = html_add(row, "th", "tag");
	html_set(tag, "scope", "row");
	page_tag(page, tag, damage->item->tag, SIZE_MAX);
	add_answers(page, html_add(row, "td", NULL), damage, YES);
	add_answers(page, html_add(row, "td", NULL), damage, PERHAPS);
	add_answers(page, html_add(row, "td", "others"), damage, NO);
}

void page_damage(struct page *page)
{
	static const char *const columns[] = {
		"Item", "Credible, and why", "To be stated first", "Not credible as described, and why", NULL};
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "damage", "Credible damage");
	html_add_text(section, "p", NULL,
		"For the inspection plan and for the questions that follow from it. It says nothing of time or rate, "
		"changes no "
		"finding above, and waives no stress relief: what is not credible is so only as described, until a "
		"repair, a "
		"steam-out or another stream.");
	if (!review->damage_count) {
		html_add_text(section, "p", NULL, "The description names no item with metal.");
		return;
	}
	add_mechanisms(page, section);
	xmlNode *body =
		html_add(page_table(section, "damage", "Item by item, in the order of flow", columns), "tbody", NULL);
	for (size_t i = 0; i < review->damage_count; i++)
		add_item(page, body, &review->damage[i]);
}
