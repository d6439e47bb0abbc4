/* The circuit reconciled, of each steady case: the suspects, every statement beside what the rest says, what nothing tests. */
#include "write/write_html.h"

#include <math.h>

#include "reconcile/finding.h"

static const char *case_name(struct page *page, const struct reconciliation *of)
{
	return table_case(page->review->table, of->operating_case)->title;
}

static const char *shown(struct page *page, const struct reconciled *row, double si)
{
	enum kind kind = row->statement->quantity->kind;

	return quantity_show_si(page->arena, si, kind, kind_unit(kind));
}

/* The error that would be seen four times in five. */
static const char *smallest(struct page *page, const struct reconciled *row)
{
	if (!row->testable)
		return "not tested by any balance";
	if (row->linear)
		return page_difference_first(page, row->smallest, row->statement->quantity->kind);
	return arena_format(page->arena, row->smallest < 1 ? "%.0f %%" : "a factor of %.3g",
		row->smallest < 1 ? 100 * row->smallest : 1 + row->smallest);
}

static void add_row(struct page *page, xmlNode *body, const struct reconciled *reconciled)
{
	xmlNode *row = html_add(body, "tr", NULL), *head = html_add(row, "th", "tag");

	html_set(head, "scope", "row");
	page_tag(page, head, reconciled->statement->item->tag, SIZE_MAX);
	html_add_text(row, "td", NULL, reconciled->statement->name);
	xmlNode *stated = html_add(row, "td", NULL);
	html_name(stated, reconciled->statement->quantity->written);
	html_say(stated, *reconciled->statement->quantity->document ? ", " : "");
	html_name(stated, reconciled->statement->quantity->document);
	html_add_text(row, "td", "number", shown(page, reconciled, reconciled->value));
	html_add_text(row, "td", "number",
		reconciled->testable ? arena_format(page->arena, "%.1f", reconciled->score) : "\xE2\x80\x93");
	html_add_text(row, "td", "number", smallest(page, reconciled));
}

/* The balances that close with the value that the circuit would have: told here, asked for at the finding on it. */
static void add_beneath(struct page *page, xmlNode *parent, const struct item *item)
{
	const struct judgement *judgement = &page->review->judgement;
	xmlNode *list = NULL;

	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (!finding->beneath || finding->beneath->item != item)
			continue;
		if (!list)
			list = html_add(parent, "ul", NULL);
		html_name(html_add(list, "li", NULL),
			arena_format(
				page->arena, "%s on %s: %s", finding->rule->id, finding->item->tag, finding->message));
	}
}

static void add_suspects(struct page *page, xmlNode *section, const struct reconciliation *of)
{
	if (!of->accusation_count) {
		html_add_text(
			section, "p", NULL, "No statement stands out: the package closes within its own scatter.");
		return;
	}
	xmlNode *list = html_add(section, "ol", NULL);
	for (size_t i = 0; i < of->accusation_count; i++) {
		const struct accusation *accusation = &of->accusations[i];
		xmlNode *row = html_add(list, "li", NULL);
		html_name(row,
			arena_format(page->arena, "%s. %s, %.1f times its scatter.",
				reconcile_words(page->arena, accusation),
				accusation->conflict ? "Beyond chance" : "To be checked; may be chance",
				fabs(accusation->score)));
		if (accusation->conflict)
			add_beneath(page, row, accusation->accused[0].statement->item);
	}
}

static void add_untested(struct page *page, xmlNode *section, const struct reconciliation *of)
{
	xmlNode *list = NULL;

	for (size_t i = 0; i < of->count; i++)
		if (!of->rows[i].testable) {
			if (!list) {
				html_add_text(section, "p", NULL,
					"No balance tests these values: an error in them would not be detected.");
				list = html_add(section, "ul", NULL);
			}
			html_name(html_add(list, "li", NULL),
				reconcile_statement_words(page->arena, of->rows[i].statement));
		}
	for (size_t i = 0; i < of->note_count; i++) {
		if (i == 0) {
			html_add_text(section, "p", NULL, "Left out of the circuit:");
			list = html_add(section, "ul", NULL);
		}
		html_name(html_add(list, "li", NULL), of->notes[i]);
	}
}

static void add_undetermined(xmlNode *section, const struct reconciliation *of)
{
	if (!of->undetermined_count)
		return;
	if (2 * of->undetermined_count > of->unknowns) {
		html_add_text(section, "p", NULL,
			"Most of the circuit is not determined in this case, for which little is stated.");
		return;
	}
	html_add_text(section, "p", NULL, "Neither stated nor determined by the balances:");
	xmlNode *list = html_add(section, "ul", NULL);
	for (size_t i = 0; i < of->undetermined_count; i++)
		html_name(html_add(list, "li", NULL), of->undetermined[i]);
}

static void add_case(struct page *page, xmlNode *section, const struct reconciliation *of)
{
	static const char *const columns[] = {
		"Item", "Value", "Stated", "Reconciled", "Correction over scatter", "Detectable error", NULL};

	html_name(html_add(section, "h3", NULL), case_name(page, of));
	if (of->why_not) {
		html_add_text(
			section, "p", NULL, arena_format(page->arena, "Not reconciled, because %s.", of->why_not));
		add_untested(page, section, of);
		return;
	}
	if (!of->converged && of->accusation_count == 0)
		html_add_text(section, "p", NULL,
			"The iteration did not converge: the figures are those of its last step, and no finding uses "
			"them.");
	add_suspects(page, section, of);
	xmlNode *body = page_rows(section, "reconciled headed",
		arena_format(page->arena, "%zu statements, %zu of them tested by others, against %zu balances",
			of->count, of->testable, of->balances),
		columns);
	for (size_t i = 0; i < of->count; i++)
		add_row(page, body, &of->rows[i]);
	add_untested(page, section, of);
	add_undetermined(section, of);
}

void page_reconciliation(struct page *page)
{
	const struct reconciliations *all = page->review->reconciled;

	if (!all)
		return;
	xmlNode *section = page_section(page, "reconciliation", "The circuit reconciled");
	html_add_text(section, "p", NULL,
		"Flows, strength, loadings, compositions, temperatures, pressures and duties of all documents are "
		"corrected by the least amount that closes every balance of amine, acid gas and heat; a value that the "
		"others contradict takes the largest correction. This is a screening: rated values, another basis or "
		"another case look like errors. The correction is given over its own uncertainty and the scatter of "
		"the "
		"package; "
		"above 4.75 a statement is suspect. Values of another case than the first count only where that case "
		"states "
		"them.");
	for (size_t i = 0; i < all->count; i++)
		add_case(page, section, &all->cases[i]);
}
