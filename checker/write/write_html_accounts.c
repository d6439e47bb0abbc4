/*
 * Published failures nearest to the findings. On a screen folded beneath the findings of a rule: what is alike, what is not. In the
 * appendix each account once, with the findings that it is nearest to and, on paper, what is alike there.
 */
#include "base/text.h"
#include "write/write_html.h"

static const char *anchor_of_account(struct page *page, const struct account *account)
{
	size_t index = 0;
	while (account_at(index) != account)
		index++;
	return arena_format(page->arena, "account-%zu", index + 1);
}

static const struct likeness *likeness_to(const struct nearest *nearest, const struct account *account)
{
	for (size_t i = 0; nearest && i < nearest->count; i++)
		if (nearest->rows[i].account == account)
			return &nearest->rows[i];
	return NULL;
}

/* ---- beneath the findings of a rule ---- */

static bool same_likeness(const struct likeness *a, const struct likeness *b)
{
	return a && b && text_same(a->alike, b->alike) && text_same(a->unlike, b->unlike) &&
		text_same(a->unknown, b->unknown);
}

static const struct likeness *likeness_of(
	struct page *page, const struct flag *flag, size_t index, const struct account *account)
{
	return likeness_to(review_nearest(page->review, flag->findings[index]), account);
}

static void add_part(xmlNode *line, const char *before, const char *words)
{
	if (!*words)
		return;
	html_add_text(line, "b", NULL, before);
	html_name(line, words);
}

/* One line for all findings of the rule, from the first on, that are as much alike. */
static void add_line(
	struct page *page, xmlNode *fold, const struct flag *flag, size_t first, const struct likeness *likeness)
{
	xmlNode *line = html_add(fold, "p", NULL);
	for (size_t i = first; i < flag->count; i++) {
		if (!same_likeness(likeness_of(page, flag, i, likeness->account), likeness))
			continue;
		html_say(line, i > first ? ", " : "");
		page_tag(page, line, flag->findings[i]->item->tag, SIZE_MAX);
	}
	html_say(line, ": ");
	html_set(html_add_text(line, "a", NULL, likeness->account->name), "href",
		arena_format(page->arena, "#%s", anchor_of_account(page, likeness->account)));
	add_part(line, ". Alike: ", likeness->alike);
	add_part(line, ". Not: ", likeness->unlike);
	add_part(line, ". Not known here: ", likeness->unknown);
	html_say(line, ".");
}

static bool is_told(struct page *page, const struct flag *flag, size_t before, const struct likeness *likeness)
{
	for (size_t i = 0; i < before; i++)
		if (same_likeness(likeness_of(page, flag, i, likeness->account), likeness))
			return true;
	return false;
}

void page_nearest(struct page *page, xmlNode *parent, const struct flag *flag)
{
	xmlNode *fold = NULL;
	for (size_t i = 0; !page->paper && i < flag->count; i++) {
		const struct nearest *nearest = review_nearest(page->review, flag->findings[i]);
		for (size_t k = 0; nearest && k < nearest->count; k++) {
			if (is_told(page, flag, i, &nearest->rows[k]))
				continue;
			if (!fold) {
				fold = html_add(parent, "details", "fold");
				html_add_text(fold, "summary", NULL, "Nearest published failures");
			}
			add_line(page, fold, flag, i, &nearest->rows[k]);
		}
	}
}

/* ---- the appendix ---- */

/* "CRK-001 on 4-P-1, 4-P-2; CRK-015 on V-305" */
static void add_findings(struct page *page, xmlNode *words, const struct account *account)
{
	const struct review *review = page->review;
	const char *last = "";
	for (size_t i = 0; i < review->nearest_count; i++) {
		const struct finding *finding = review->nearest[i].finding;
		if (!likeness_to(&review->nearest[i], account))
			continue;
		bool same_rule = text_same(last, finding->rule->id);
		html_say(words, same_rule ? ", " : *last ? "; " : "");
		if (!same_rule)
			html_say(words, arena_format(page->arena, "%s on ", finding->rule->id));
		page_tag(page, words, finding->item->tag, SIZE_MAX);
		last = finding->rule->id;
	}
}

/* The one of all findings to which it is nearest, or NULL. */
static const struct likeness *nearest_of_all(const struct review *review, const struct account *account)
{
	const struct likeness *nearest = NULL;
	for (size_t i = 0; i < review->nearest_count; i++) {
		const struct likeness *likeness = likeness_to(&review->nearest[i], account);
		if (likeness && (!nearest || likeness->alike_count > nearest->alike_count))
			nearest = likeness;
	}
	return nearest;
}

static void add_account(struct page *page, xmlNode *section, const struct account *account)
{
	const struct likeness *likeness = nearest_of_all(page->review, account);
	if (!likeness)
		return;
	xmlNode *words = html_add(section, "p", NULL);
	html_set(words, "id", anchor_of_account(page, account));
	html_add_text(words, "b", NULL, arena_format(page->arena, "%s.", account->name));
	html_say(words, arena_format(page->arena, " %s ", account->happened));
	page_source(page, words, likeness->source);
	html_say(words, *account->clause ? arena_format(page->arena, ", %s. ", account->clause) : ". ");
	html_add_text(words, "b", NULL, "Nearest to: ");
	add_findings(page, words, account);
	add_part(words, "; at most alike: ", likeness->alike);
	html_say(words, ".");
}

void page_accounts(struct page *page)
{
	if (!page->review->nearest_count)
		return;
	xmlNode *section = page_section(page, "accounts", "Published failures nearest to what was found");
	html_add_text(section, "p", NULL,
		"At most two beside a finding, and only where more is alike than the matter; most alike first, then "
		"least "
		"unlike, counted without weights. They judge nothing: what failed elsewhere need not fail here.");
	const struct account *account;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++)
		add_account(page, section, account);
}
