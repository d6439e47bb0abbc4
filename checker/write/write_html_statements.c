/* What the description contradicts and owes, what nothing read of it, and notes that are beside no finding. */
#include "base/count.h"
#include "write/write_html.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "compute/title.h"

static const char *case_of(struct page *page, const struct statement *statement)
{
	return statement->operating_case == EVERY_CASE ? ""
						       : table_case(page->review->table, statement->operating_case)->id;
}

/* ---- owed ---- */

static void add_owed(struct page *page, xmlNode *body, const struct owed *owed)
{
	const struct statement *statement = owed->statement;
	xmlNode *row = html_add(body, "tr", NULL);
	page_tag(page, page_row_head(row, "tag"), statement->item->tag, SIZE_MAX);
	html_add_text(row, "td", NULL, title_of(page->arena, statement->name));
	html_name(html_add(row, "td", NULL), case_of(page, statement));
	xmlNode *where = html_add(row, "td", NULL);
	html_name(where, statement->quantity->written);
	html_say(where, *statement->quantity->document ? ", " : "");
	html_name(where, statement->quantity->document);
	html_say(where, ", ");
	page_tag(page, html_add(where, "span", "place"), page_place(page, statement->quantity->place), SIZE_MAX);
	xmlNode *instead = html_add(row, "td", NULL);
	if (!owed->instead) {
		html_say(instead, "unknown");
		return;
	}
	page_quantity(page, instead, owed->instead);
	html_say(instead, ", by ");
	html_name(instead, *owed->instead->document ? owed->instead->document : "the description itself");
}

static void add_rows(
	struct page *page, xmlNode *section, const char *id, const char *caption, const struct owed *rows, size_t count)
{
	static const char *const columns[] = {"Item", "Value", "Case", "Stated as", "Taken", NULL};
	xmlNode *body = page_rows(section, id, caption, columns);
	for (size_t i = 0; i < count; i++)
		add_owed(page, body, &rows[i]);
}

static void add_unrecorded(struct page *page, xmlNode *section)
{
	const struct statements *statements = &page->review->statements;
	if (!statements->unrecorded_count)
		return;
	html_add_text(section, "h3", NULL, "Not recorded");
	html_add_text(section, "p", NULL,
		"The package says that there is no record of these. They will not follow: until they are measured they "
		"are unknown, in every case.");
	add_rows(page, section, "unrecorded", "Values not recorded", statements->unrecorded,
		statements->unrecorded_count);
}

static void add_all_owed(struct page *page, xmlNode *section)
{
	const struct statements *statements = &page->review->statements;
	html_add_text(section, "h3", NULL, "Values to follow");
	if (!statements->owed_count) {
		html_add_text(section, "p", NULL, "No value is stated as t.b.d., hold or later.");
		return;
	}
	html_add_text(section, "p", NULL,
		"The package says that these will follow. Until then they are unknown: they are not taken from the "
		"normal case, from the surrounding item or from a default of a rule.");
	add_rows(page, section, "owed", "Values owed", statements->owed, statements->owed_count);
}

/* ---- unread ---- */

/* "E-302 (line 41, 43), 6-P-1 (line 50)" */
static void add_places(struct page *page, xmlNode *cell, const struct statement *const *rows, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		bool same = i > 0 && rows[i]->item == rows[i - 1]->item;
		if (!same) {
			html_say(cell, i ? ") " : "");
			page_tag(page, cell, rows[i]->item->tag, SIZE_MAX);
		}
		html_say(cell, same ? ", " : " (");
		html_say(cell, arena_format(page->arena, "%d", rows[i]->quantity->place.line));
	}
	html_say(cell, ")");
}

static void add_all_unread(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Stated", "Of", "Items, with the lines", NULL};
	const struct statements *statements = &page->review->statements;
	html_add_text(section, "h3", NULL, "Stated but not used");
	if (!statements->unread_count) {
		html_add_text(section, "p", NULL, "None: every statement was judged, compared or used.");
		return;
	}
	html_add_text(section, "p", NULL,
		"No calculation and no rule that applies to the item uses these, and no other document restates them: "
		"the review would be the same whatever they say. A person has to read them.");
	xmlNode *body = page_rows(section, "unread", "Statements not used", columns);
	for (size_t i = 0, count; i < statements->unread_count; i += count) {
		const struct statement *first = statements->unread[i];
		count = statements_alike(statements, i);
		xmlNode *row = html_add(body, "tr", NULL);
		html_say(page_row_head(row, NULL), title_of(page->arena, first->name));
		html_add_text(row, "td", NULL, title_of(page->arena, first->item->kind));
		add_places(page, html_add(row, "td", NULL), &statements->unread[i], count);
	}
}

/* ---- contradictions ---- */

static void add_word(struct page *page, xmlNode *row, const struct item *item, const char *name)
{
	const char *word = table_word(page->review->table, item, EVERY_CASE, name);
	html_add_text(row, "td", NULL, word ? word : "");
}

static const struct finding *finding_of(const struct review *review, const struct item *contradiction)
{
	for (size_t i = 0; i < review->judgement.count; i++)
		if (review->judgement.findings[i].item == contradiction)
			return &review->judgement.findings[i];
	return NULL;
}

static void add_contradiction(struct page *page, xmlNode *body, const struct item *item)
{
	static const char *const words[] = {"first", "first-document", "second", "second-document", "in-cases"};
	const struct finding *finding = finding_of(page->review, item);
	xmlNode *row = html_add(body, "tr", NULL);
	page_tag(page, page_row_head(row, "tag"), item->parent->tag, SIZE_MAX);
	const char *quantity = table_word(page->review->table, item, EVERY_CASE, "quantity");
	html_add_text(row, "td", NULL, title_of(page->arena, quantity ? quantity : ""));
	for (size_t i = 0; i < COUNT(words); i++)
		add_word(page, row, item, words[i]);
	html_add_text(row, "td", NULL,
		!finding				      ? ""
			: finding->verdict == VERDICT_DEPARTS ? finding->why_force
							      : "cannot be compared");
}

static void add_all_contradictions(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {
		"Item", "Value", "Used", "By", "Other", "By", "Case", "What depends on it", NULL};
	struct items all = table_of_kind(page->review->table, "contradiction");
	html_add_text(section, "h3", NULL, "Contradictions");
	if (!all.count) {
		html_add_text(section, "p", NULL, "None: all values stated more than once agree.");
		return;
	}
	html_add_text(section, "p", NULL,
		"The unit was judged with both values. A contradiction has the force of the worst verdict that "
		"differs; "
		"where none differs it is listed here only.");
	xmlNode *body = page_rows(section, "contradictions", "Two values of one quantity", columns);
	for (size_t i = 0; i < all.count; i++)
		add_contradiction(page, body, all.rows[i]);
}

/* ---- notes ---- */

static void say_note(struct page *page, xmlNode *parent, const struct item *note)
{
	const struct quantity *document = table_peek(page->review->table, note, EVERY_CASE, "document");
	html_add_text(parent, "b", NULL, "Note");
	if (document && document->known != UNKNOWN) {
		html_say(parent, ", ");
		html_name(parent, document->word);
	}
	html_say(parent, ": ");
	html_name(parent, note->text);
	html_say(parent, " ");
	page_tag(page, html_add(parent, "span", "place"), page_place(page, note->place), SIZE_MAX);
}

void page_notes_of(struct page *page, xmlNode *parent, const struct item *item)
{
	struct items notes = page->review->statements.notes;
	for (size_t i = 0; i < notes.count; i++)
		if (notes.rows[i]->parent == item)
			say_note(page, html_add(parent, "p", "note"), notes.rows[i]);
}

bool page_has_notes(const struct page *page, const struct item *item)
{
	struct items notes = page->review->statements.notes;
	for (size_t i = 0; i < notes.count; i++)
		if (notes.rows[i]->parent == item)
			return true;
	return false;
}

static bool is_flagged(const struct review *review, const struct item *item)
{
	for (size_t i = 0; item && i < review->flag_count; i++)
		for (size_t k = 0; k < review->flags[i].count; k++)
			if (review->flags[i].findings[k]->item == item)
				return true;
	return false;
}

static void add_other_notes(struct page *page, xmlNode *section)
{
	struct items notes = page->review->statements.notes;
	xmlNode *list = NULL;
	for (size_t i = 0; i < notes.count; i++) {
		const struct item *item = notes.rows[i]->parent;
		if (is_flagged(page->review, item))
			continue;
		if (!list) {
			html_add_text(section, "h3", NULL, "Notes on items without a finding");
			list = html_add(section, "ul", "notes");
		}
		xmlNode *row = html_add(list, "li", NULL);
		page_tag(page, row, item ? item->tag : "the unit", SIZE_MAX);
		html_say(row, ". ");
		say_note(page, row, notes.rows[i]);
	}
}

void page_statements(struct page *page)
{
	xmlNode *section =
		page_section(page, "statements", "Contradictions, values to follow, and statements not used");
	add_all_contradictions(page, section);
	add_all_owed(page, section);
	add_unrecorded(page, section);
	add_all_unread(page, section);
	add_other_notes(page, section);
}
