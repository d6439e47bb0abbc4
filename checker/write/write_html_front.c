/* What the review rests on, and how its words are meant. */
#include "base/count.h"
#include "write/write_html.h"

#include <string.h>

#include "base/text.h"
#include "judge/wording.h"

static size_t count_verdict(const struct review *review, enum verdict verdict)
{
	size_t count = 0;
	for (size_t i = 0; i < review->judgement.count; i++)
		count += review->judgement.findings[i].verdict == verdict;
	return count;
}

static void add_tally(struct page *page, xmlNode *section)
{
	const struct review *review = page->review;
	html_add_text(section, "p", "tally",
		arena_format(page->arena,
			"Reviewed: %zu items, operating cases: %zu, rules: %zu. Rules met: %zu times, of these %zu "
			"within the "
			"uncertainty of the limit. Not judged: %zu times. Departures covered by a recorded deviation: "
			"%zu. Rules that apply to nothing in this unit: %zu.",
			review->item_count, table_case_count(review->table), review->judgement.considered,
			count_verdict(review, VERDICT_MEETS), review->near_count,
			count_verdict(review, VERDICT_NOT_JUDGED), review->accepted_count,
			review->judgement.idle_count));
}

/* ---- scope and basis ---- */

struct fact {
	const char *name, *words; /* of the description; for the reader */
};

static const struct fact basis_facts[] = {
	{"kind", "New or revamp"},
	{"plant", "Plant"},
	{"barometric-pressure", "Barometric pressure"},
	{"design-life", "Design life"},
	{"film-age", "Age of the sulfide film"},
	{NULL, NULL},
};

static const struct fact solvent_facts[] = {
	{"amine", "Amine"},
	{"strength", "Strength"},
	{"strength-basis", "counted as"},
	{"total-strength", "Total amine"},
	{"second-amine", "Second amine"},
	{"second-strength", "Its strength"},
	{"piperazine", "Piperazine"},
	{"salts", "Heat-stable salts"},
	{"salts-basis", "on the basis of"},
	{"salts-as", "counted as"},
	{"chloride", "Chloride"},
	{"sodium", "Sodium"},
	{"potassium", "Potassium"},
	{"bound-amine", "Amine bound by salts"},
	{"ph-by-salts", "pH of the lean with its salts"},
	{"h2s-pressure-by-salts", "H2S over the lean with its salts, factor"},
	{"bicine", "Bicine"},
	{"iron", "Iron"},
	{"chromium", "Chromium"},
	{"solids", "Suspended solids"},
	{"ph", "pH"},
	{NULL, NULL},
};

static void add_facts(
	struct page *page, xmlNode *parent, const char *caption, const char *kind, const struct fact *facts)
{
	static const char *const columns[] = {"Property", "Value", "Stated at", NULL};
	const struct item *item = table_sole(page->review->table, kind);
	xmlNode *table = page_table(parent, "facts", caption, columns);
	xmlNode *body = html_add(table, "tbody", NULL);
	for (; facts->name; facts++) {
		const struct quantity *value =
			item ? table_get(page->review->table, item, EVERY_CASE, facts->name) : NULL;
		if (!value)
			continue;
		xmlNode *row = html_add(body, "tr", NULL);
		html_set(html_add_text(row, "th", NULL, facts->words), "scope", "row");
		page_quantity(page, html_add(row, "td", NULL), value);
		html_name(html_add(row, "td", "place"),
			value->known == ASSUMED ? arena_format(page->arena, "assumed: %s", value->reason)
						: page_place(page, value->place));
	}
}

static xmlNode *add_list(xmlNode *parent, const char *heading)
{
	html_add_text(parent, "h3", NULL, heading);
	return html_add(parent, "ul", NULL);
}

static void add_cases(struct page *page, xmlNode *parent)
{
	xmlNode *list = add_list(parent, "Operating cases");
	for (size_t i = 0; i < table_case_count(page->review->table); i++) {
		const struct operating_case *row = table_case(page->review->table, (int)i);
		xmlNode *entry = html_add(list, "li", NULL);
		html_name(entry, row->title);
		if (strcmp(row->title, row->id) != 0) {
			html_say(entry, " (");
			html_name(entry, row->id);
			html_say(entry, ")");
		}
		html_say(entry, row->upset ? ": an upset, not a steady case" : "");
	}
}

static void add_word(struct page *page, xmlNode *entry, const struct item *item, const char *name, const char *before)
{
	const char *word = table_word(page->review->table, item, EVERY_CASE, name);
	if (!word)
		return;
	html_say(entry, before);
	html_name(entry, word);
}

static void add_codes(struct page *page, xmlNode *parent)
{
	const struct table *table = page->review->table;
	xmlNode *list = add_list(parent, "Codes the package claims");
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (!item_is(item, "code"))
			continue;
		count++;
		xmlNode *entry = html_add(list, "li", NULL);
		html_name(entry, item->text);
		add_word(page, entry, item, "edition", ", ");
	}
	if (!count)
		html_add_text(list, "li", "aside", "none");
}

static void add_documents(struct page *page, xmlNode *parent)
{
	const struct table *table = page->review->table;
	xmlNode *list = add_list(parent, "Documents of the package");
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (!item_is(item, "document"))
			continue;
		count++;
		xmlNode *entry = html_add(list, "li", NULL);
		html_name(entry, item->tag);
		add_word(page, entry, item, "title", ": ");
		add_word(page, entry, item, "revision", ", revision ");
		add_word(page, entry, item, "date", ", ");
	}
	if (!count)
		html_add_text(list, "li", "aside", "none named");
}

static void add_profile(struct page *page, xmlNode *section)
{
	const struct catalogue *catalogue = page->review->catalogue;
	html_add_text(section, "h3", NULL, "Which limit governs");
	xmlNode *text = html_add(section, "p", NULL);
	if (catalogue->profile_name && *catalogue->profile_name) {
		html_say(text, "Profile ");
		html_name(text, catalogue->profile_name);
		html_say(text, ". ");
	}
	html_say(text,
		catalogue->strictest
			? "The strictest of the published limits that apply governs. All others are shown beside it."
			: "Where sources disagree, the rule or the profile names the limit that governs; otherwise the "
			  "most specific (amine, side, item) governs, and among equals the strictest that was read. A "
			  "looser figure "
			  "from memory or from "
			  "practice never governs over a stricter one that was read. All others are shown beside it.");
}

/* What the profile changed, rule by rule, on whose word: nothing is overridden unseen. */
static void add_changes(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Rule", "What the profile changes", "Why", NULL};
	const struct catalogue *catalogue = page->review->catalogue;
	if (!catalogue->change_count)
		return;
	xmlNode *body = page_rows(section, "changes", "Changed by the profile", columns);
	for (size_t i = 0; i < catalogue->change_count; i++) {
		const struct profile_change *change = &catalogue->changes[i];
		xmlNode *row = html_add(body, "tr", NULL);
		xmlNode *head = page_row_head(row, NULL);
		html_add_text(head, "span", "rule", change->rule->id);
		html_say(head, " ");
		html_say(head, change->rule->title);
		html_name(html_add(row, "td", NULL), change->what);
		html_name(html_add(row, "td", NULL), change->why);
	}
}

/* What comes before what when limits disagree. */
static void add_precedence(xmlNode *section)
{
	static const char *const steps[] = {
		"a limit that the profile makes govern",
		"with the profile strictest: the strictest that applies, and the steps below do not count",
		"a limit that the rule makes govern",
		"a stricter limit that was read before a looser one that was not",
		"the most specific: amine, side, item, material, place",
		"a limit that was read before one that was not; then the stricter",
	};
	html_add_text(section, "p", NULL, "In this order:");
	xmlNode *list = html_add(section, "ol", NULL);
	for (size_t i = 0; i < COUNT(steps); i++)
		html_add_text(list, "li", NULL, steps[i]);
}

static void add_words(xmlNode *section)
{
	static const char *const words[][2] = {
		{"firm",
			"the value is beyond the limit by more than its uncertainty, and a source that was read says "
			"so"},
		{"borderline", "the value is within its uncertainty of the limit"},
		{"screening",
			"the limit rests on a secondary text, on memory or on practice alone, or the method is coarse"},
		{"disputed", "sources contradict each other on the matter itself"},
	};
	html_add_text(section, "h3", NULL, "How certain a finding is");
	xmlNode *list = html_add(section, "dl", "words");
	for (size_t i = 0; i < COUNT(words); i++) {
		html_add_text(list, "dt", NULL, words[i][0]);
		html_add_text(list, "dd", NULL, words[i][1]);
	}
}

static void add_cautions(xmlNode *section)
{
	xmlNode *cautions = html_add(section, "aside", "cautions");
	html_set(cautions, "aria-labelledby", "cautions-heading");
	html_set(html_add_text(cautions, "h3", NULL, "Cautions"), "id", "cautions-heading");
	xmlNode *list = html_add(cautions, "ul", NULL);
	for (size_t i = 0; review_cautions[i]; i++)
		html_add_text(list, "li", NULL, review_cautions[i]);
}

void page_scope(struct page *page)
{
	xmlNode *section = page_section(page, "scope", "Scope and basis");
	add_cautions(section);
	xmlNode *pair = html_add(section, "div", "pair");
	add_facts(page, html_add(pair, "div", NULL), "Basis", "basis", basis_facts);
	add_facts(page, html_add(pair, "div", NULL), "Amine solution", "solvent", solvent_facts);
	xmlNode *said = html_add(section, "div", "pair");
	add_cases(page, html_add(said, "div", NULL));
	add_codes(page, html_add(said, "div", NULL));
	add_documents(page, html_add(section, "div", "documents"));
}

void page_weighing(struct page *page)
{
	xmlNode *section = page_section(page, "weighing", "How findings are weighed");
	add_profile(page, section);
	add_precedence(section);
	add_changes(page, section);
	add_words(section);
	add_tally(page, section);
}
