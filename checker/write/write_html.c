#include "write/write.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "write/write_html.h"
#include "base/digest.h"
#include "base/embedded.h"
#include "base/text.h"
#include "judge/wording.h"
#include "write/figure.h"
#include "write/paper.h"
#include "write/style.h"

/* ---- pieces that recur ---- */

/* "4" in the body, "A2" in the appendices. */
static const char *next_number(struct page *page)
{
	page->sections++;
	return arena_format(page->arena, page->appendices ? "A%d" : "%d", page->sections);
}

xmlNode *page_section(struct page *page, const char *id, const char *title)
{
	const char *number = next_number(page);
	xmlNode *entry = html_add(html_add(page->contents, "li", NULL), "a", NULL);
	html_set(entry, "href", arena_format(page->arena, "#%s", id));
	html_add_text(entry, "span", "number", number);
	html_say(entry, arena_format(page->arena, " %s", title));

	const char *heading_id = arena_format(page->arena, "%s-heading", id);
	xmlNode *section = html_add(page->main, "section", NULL);
	html_set(section, "id", id);
	html_set(section, "aria-labelledby", heading_id);
	xmlNode *heading = html_add(section, "h2", NULL);
	html_set(heading, "id", heading_id);
	html_add_text(heading, "span", "number", number);
	html_say(heading, arena_format(page->arena, " %s", title));
	return section;
}

xmlNode *page_table(xmlNode *parent, const char *class, const char *caption, const char *const *columns)
{
	xmlNode *region = html_add(parent, "div", "region");
	html_set(region, "role", "region");
	html_set(region, "tabindex", "0");
	html_set(region, "aria-label", caption);
	xmlNode *table = html_add(region, "table", class);
	html_add_text(table, "caption", NULL, caption);
	xmlNode *row = html_add(html_add(table, "thead", NULL), "tr", NULL);
	for (size_t i = 0; columns[i]; i++)
		html_set(html_add_text(row, "th", NULL, columns[i]), "scope", "col");
	return table;
}

xmlNode *page_rows(xmlNode *parent, const char *class, const char *caption, const char *const *columns)
{
	return html_add(page_table(parent, class, caption, columns), "tbody", NULL);
}

xmlNode *page_row_head(xmlNode *row, const char *class)
{
	xmlNode *head = html_add(row, "th", class);
	html_set(head, "scope", "row");
	return head;
}

const char *page_first(struct page *page, const struct quantity *quantity)
{
	return quantity_show_first(page->arena, quantity);
}

const char *page_limit_for(struct page *page, const struct finding *finding)
{
	const struct quantity *limit = &finding->governing->limit->value;
	const char *published = page_first(page, limit);
	const char *unit = strchr(published, ' '), *unit_of_value = strchr(page_first(page, finding->value), ' ');
	return !unit || text_same(unit, unit_of_value) ? published : quantity_show(page->arena, limit, NULL);
}

void page_quantity(struct page *page, xmlNode *parent, const struct quantity *quantity)
{
	if (!quantity || quantity->known == UNKNOWN) {
		html_add_text(parent, "span", "aside", "not known");
		return;
	}
	if (!kind_is_number(quantity->kind)) {
		html_name(parent, quantity_show(page->arena, quantity, NULL));
		return;
	}
	const char *first = page_first(page, quantity), *both = quantity_show_both(page->arena, quantity);
	html_add_text(parent, "span", "value", first);
	if (strlen(both) > strlen(first)) {
		html_say(parent, " ");
		html_add_text(parent, "span", "value second", both + strlen(first) + 1);
	}
}

static struct quantity difference_of(double si, enum kind kind)
{
	if (kind == KIND_TEMPERATURE)
		kind = KIND_TEMPERATURE_DIFFERENCE;
	if (kind == KIND_PRESSURE)
		kind = KIND_PRESSURE_DIFFERENCE;
	return (struct quantity){.known = STATED, .kind = kind, .si = si};
}

const char *page_difference(struct page *page, double si, enum kind kind)
{
	const struct quantity difference = difference_of(si, kind);
	return quantity_show_both(page->arena, &difference);
}

const char *page_difference_first(struct page *page, double si, enum kind kind)
{
	const struct quantity difference = difference_of(si, kind);
	return quantity_show_first(page->arena, &difference);
}

const char *page_uncertainty(struct page *page, const struct quantity *quantity)
{
	if (!quantity->by_factor)
		return arena_format(page->arena, "± %s", page_difference(page, quantity->uncertainty, quantity->kind));
	return arena_format(page->arena, "%s to %s",
		quantity_show_si(page->arena, quantity_low(quantity), quantity->kind, NULL),
		quantity_show_si(page->arena, quantity_high(quantity), quantity->kind, NULL));
}

const char *page_place(struct page *page, struct place place)
{
	if (!place.file)
		return "";
	if (place.line <= 0)
		return place.file;
	return text_same(place.file, page->review->file) ? arena_format(page->arena, "line %d", place.line)
							 : arena_format(page->arena, "%s:%d", place.file, place.line);
}

void page_tag(struct page *page, xmlNode *parent, const char *tag, size_t most)
{
	enum { UNBROKEN = 24 };
	bool whole = text_columns(tag) <= UNBROKEN;
	html_add_text(parent, "bdi", whole ? "whole" : NULL, whole ? tag : text_cut(page->arena, tag, most));
}

const char *page_action_class(enum action action)
{
	static const char *const classes[] = {"resolve", "justify", "consider", "state", "met"};
	return classes[action];
}

void page_action(xmlNode *parent, enum action action)
{
	xmlNode *action_node = html_add(parent, "span", "action");
	xmlNode *mark = html_add_text(action_node, "span", "mark", action_shape(action));
	html_set(mark, "aria-hidden", "true");
	html_say(action_node, " ");
	html_add_text(action_node, "b", page_action_class(action), action_word(action));
}

void page_tags(struct page *page, xmlNode *parent, const struct finding *const *findings, size_t count, size_t most)
{
	enum { TAG_CHARACTERS = 40 };
	for (size_t i = 0; i < count && i < most; i++) {
		if (i > 0)
			html_say(parent, ", ");
		page_tag(page, parent, findings[i]->item->tag, TAG_CHARACTERS);
	}
	if (count > most)
		html_say(parent, arena_format(page->arena, " and %zu more", count - most));
}

void page_source(struct page *page, xmlNode *parent, const struct source *source)
{
	if (!source) {
		html_say(parent, "no source");
		return;
	}
	xmlNode *link = html_add_text(parent, "a", NULL, wording_source(page->arena, source));
	html_set(link, "href", arena_format(page->arena, "#source-%s", source->key));
}

/* ---- the page ---- */

static const char *title_of(struct page *page)
{
	const struct review *review = page->review;
	return arena_format(page->arena, "Review of %s%s%s%s%s", *review->number ? review->number : "an amine unit",
		*review->name ? " " : "", review->name, *review->revision ? ", revision " : "", review->revision);
}

static const char *script_of(const struct page *page)
{
	const struct embedded_file *script = page->paper ? NULL : embedded_find("checker/write/review.js");
	return script ? (const char *)script->data : "";
}

/* Nothing is fetched, and no script runs but the one below, which must be this one to the byte. */
static void add_policy(struct page *page, xmlNode *head)
{
	const char *script = script_of(page);
	xmlNode *policy = html_add(head, "meta", NULL);
	html_set(policy, "http-equiv", "Content-Security-Policy");
	html_set(policy, "content",
		arena_format(page->arena,
			"default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-%s'; base-uri 'none'; "
			"form-action 'none'",
			digest_base64(page->arena, script, strlen(script))));
}

void page_head(struct page *page, xmlNode *head, const char *title, const char *date, const char *style)
{
	const char *metas[][2] = {
		{"viewport", "width=device-width, initial-scale=1"},
		{"color-scheme", "light dark"},
		{"generator", "leanrich"},
		{"dcterms.created", date},
	};
	add_policy(page, head);
	for (size_t i = 0; i < COUNT(metas); i++) {
		if (!*metas[i][1])
			continue;
		xmlNode *meta = html_add(head, "meta", NULL);
		html_set(meta, "name", metas[i][0]);
		html_set(meta, "content", metas[i][1]);
	}
	html_add_text(head, "title", NULL, title);
	html_add_text(head, "style", NULL, style);
}

/* It only adds a bar for filtering and sorting; the page is whole without. */
static void add_script(struct page *page, xmlNode *body)
{
	if (!page->paper)
		html_add_text(body, "script", NULL, script_of(page));
}

static void add_fact(xmlNode *list, const char *name, const char *value)
{
	xmlNode *pair = html_add(list, "div", NULL);
	html_add_text(pair, "dt", NULL, name);
	xmlNode *said = html_add(pair, "dd", *value ? NULL : "aside");
	if (*value)
		html_name(said, value);
	else
		html_say(said, "not stated");
}

/* Blank on purpose: people sign, a program does not. */
static void add_signatures(xmlNode *parent)
{
	static const char *const rows[] = {"Prepared", "Checked", "Approved"};
	static const char *const columns[] = {"", "Name", "Signature", "Date", NULL};
	xmlNode *table = html_add(parent, "table", "signatures");
	html_add_text(table, "caption", NULL, "To be signed");
	xmlNode *row = html_add(html_add(table, "thead", NULL), "tr", NULL);
	for (size_t i = 0; columns[i]; i++)
		html_set(html_add_text(row, *columns[i] ? "th" : "td", NULL, columns[i]),
			*columns[i] ? "scope" : "class", *columns[i] ? "col" : "corner");
	xmlNode *body = html_add(table, "tbody", NULL);
	for (size_t i = 0; i < COUNT(rows); i++) {
		row = html_add(body, "tr", NULL);
		html_set(html_add_text(row, "th", NULL, rows[i]), "scope", "row");
		for (size_t k = 1; columns[k]; k++)
			html_add(row, "td", NULL);
	}
}

static void add_title_block(struct page *page, xmlNode *body)
{
	const struct review *review = page->review;
	xmlNode *header = html_add(body, "header", "title-block");
	xmlNode *name = html_add(header, "div", "title");
	html_add_text(name, "p", "kind", "Design review of an amine gas-treating unit");
	xmlNode *heading = html_add(name, "h1", NULL);
	html_name(heading, *review->number ? review->number : "Unit without a number");
	if (*review->name) {
		html_say(heading, " ");
		html_name(heading, review->name);
	}
	xmlNode *facts = html_add(header, "dl", "facts");
	add_fact(facts, "Document number", review->document_number);
	add_fact(facts, "Revision", review->revision);
	add_fact(facts, "Date", review->date);
	add_fact(facts, "Description reviewed", review->file ? review->file : "");
	const struct catalogue *catalogue = review->catalogue;
	add_fact(facts, "Profile",
		catalogue->profile_title && *catalogue->profile_title	      ? catalogue->profile_title
			: catalogue->profile_name && *catalogue->profile_name ? catalogue->profile_name
									      : "the rules' own choice of limits");
	add_signatures(header);
}

static void add_frame(struct page *page, xmlNode *body)
{
	xmlNode *skip = html_add_text(body, "a", "skip", "To the findings");
	html_set(skip, "href", "#found");
	add_title_block(page, body);
	xmlNode *nav = html_add(body, "nav", NULL);
	html_set(nav, "aria-label", "Contents");
	page->contents = html_add(nav, "ol", NULL);
	page->main = html_add(body, "main", NULL);
}

static void add_foot(struct page *page, xmlNode *body)
{
	xmlNode *foot = html_add(body, "footer", NULL);
	html_say(foot, "End of the review of ");
	html_name(foot, *page->review->number ? page->review->number : "the unit");
	html_say(foot, ". A screening aid; a licensed engineer decides.");
}

void page_figures(struct page *page)
{
	xmlNode *section = page_section(page, "circuit", "The circuit against its limits");
	html_add_text(section, "h3", NULL, "In the order of flow");
	figure_circuit(page, section);
	html_add_text(section, "h3", NULL, "Closure of its balances");
	figure_closure(page, section);
	html_add_text(section, "h3", NULL, "Temperature and loading along the circuit");
	figure_conditions(page, section);
	html_add_text(section, "h3", NULL, "Velocities");
	figure_velocity(page, section);
}

/* Programs that lay out paper take minutes over a name of thousands of letters; the description that is attached has it whole. */
enum { LONGEST_ON_PAPER = 120 };

static bool write_page(struct page *page, const char *style, FILE *out)
{
	struct html html;
	html_open(&html);
	page_head(page, html.head, title_of(page), page->review->date, style);
	html.longest_word = page->paper ? LONGEST_ON_PAPER : 0;
	add_frame(page, html.body);
	page_front(page);
	page_actions(page);
	page_round(page);
	page_claims(page);
	page_deviations(page);
	page_figures(page);
	page_questions(page);
	page_damage(page);
	page_sulfide(page);
	page_scope(page);
	page->sections = 0;
	page->appendices = true;
	page_flags(page);
	page_accounts(page);
	page_weighing(page);
	page_near(page);
	page_statements(page);
	page_reconciliation(page);
	page_mechanisms(page);
	page_sulfide_details(page);
	page_working(page);
	page_rules(page);
	page_calibration(page);
	page_sources(page);
	add_foot(page, html.body);
	add_script(page, html.body);
	if (page->paper)
		paper_prepare(&html);
	bool written = html_save(&html, out);
	html_release(&html);
	return written;
}

bool write_html(const struct review *review, FILE *out)
{
	struct arena arena = {0};
	struct page page = {.review = review, .arena = &arena};
	bool written = write_page(&page, style_for_screen(&arena), out);
	arena_release(&arena);
	return written;
}

bool write_html_for_paper(const struct review *review, const char *sheet, FILE *out)
{
	struct arena arena = {0};
	struct page page = {.review = review, .arena = &arena, .paper = true};
	bool written = write_page(&page, style_for_paper(&arena, sheet), out);
	arena_release(&arena);
	return written;
}

/* ---- cells and cases ---- */

void page_cell(xmlNode *row, const char *words)
{
	html_add_text(row, "td", NULL, words);
}

const char *page_shown(struct page *page, double value, const char *format)
{
	if (!isfinite(value))
		return "-";
	char *text = arena_alloc(page->arena, 32);
	if (strcmp(format, "3 digits") == 0)
		return quantity_show_si(page->arena, value, KIND_RATIO, "");
	int decimals = format[0] - '0';
	snprintf(text, 32, "%.*f", decimals, value);
	return text;
}

/* In tables a case has its short name; the scope tells what it is. */
const char *page_case_name(struct page *page, int operating_case)
{
	return table_case(page->review->table, operating_case)->id;
}

const char *page_case_title(struct page *page, int operating_case)
{
	return table_case(page->review->table, operating_case)->title;
}
