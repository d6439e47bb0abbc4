/*
 * The published limits of a rule below the items that depart from it: what each letter stands for, who published it and
 * where, how that is known, and what use was made of it here.
 */
#include "write/write_html.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "judge/wording.h"

enum { LETTERS = 26, TITLE_CHARACTERS = 64 };

const char *page_limit_letter(struct page *page, size_t index)
{
	int letter = 'a' + (int)(index % LETTERS);
	return index < LETTERS ? arena_format(page->arena, "%c", letter)
			       : arena_format(page->arena, "%c%zu", letter, index / LETTERS);
}

bool page_limit_applies(const struct flag *flag, size_t index)
{
	for (size_t i = 0; i < flag->count; i++)
		if (flag->findings[i]->limits[index].applied)
			return true;
	return false;
}

/* ---- the use made of a limit ---- */

static const char *why_governs(const struct catalogue *catalogue, const struct limit *limit)
{
	if (limit->governs && limit->overridden)
		return "governs, set by the profile";
	if (catalogue->strictest)
		return "governs, as the strictest";
	return limit->governs ? "governs, named by the rule" : "governs, by rank";
}

static const char *use_of(struct page *page, const struct finding *finding, size_t index)
{
	const struct limit_result *row = &finding->limits[index];
	if (!row->applied)
		return *row->aside ? arena_format(page->arena, "not applied: %s", row->aside) : "not applied";
	if (row->governs)
		return why_governs(page->review->catalogue, row->limit);
	return row->limit->context ? "beside" : "applies";
}

static bool same_use(struct page *page, const struct flag *flag, size_t index, size_t i, size_t k)
{
	return text_same(use_of(page, flag->findings[i], index), use_of(page, flag->findings[k], index));
}

static size_t users(struct page *page, const struct flag *flag, size_t index, size_t as)
{
	size_t count = 0;
	for (size_t i = 0; i < flag->count; i++)
		count += same_use(page, flag, index, i, as);
	return count;
}

/* Each use once, with the items it holds for where that is not all of them. */
static void add_uses(struct page *page, xmlNode *cell, const struct flag *flag, size_t index)
{
	for (size_t i = 0; i < flag->count; i++) {
		bool said = false;
		for (size_t k = 0; k < i && !said; k++)
			said = same_use(page, flag, index, i, k);
		if (said)
			continue;
		xmlNode *line = html_add_text(cell, "span", "line", use_of(page, flag->findings[i], index));
		if (users(page, flag, index, i) == flag->count)
			continue;
		html_say(line, " (");
		for (size_t k = i, any = 0; k < flag->count; k++) {
			if (!same_use(page, flag, index, i, k))
				continue;
			html_say(line, any++ ? ", " : "");
			page_tag(page, line, flag->findings[k]->item->tag, SIZE_MAX);
		}
		html_say(line, ")");
	}
}

/* ---- the limits ---- */

/* The number of a standard, or a whole title that has no comma: enough to tell two works of one author apart. */
static const char *short_title(struct page *page, const struct source *source)
{
	const char *title = arena_copy_span(page->arena, source->title, strcspn(source->title, ","));
	return text_cut(page->arena, title, TITLE_CHARACTERS);
}

/* "American Petroleum Institute 2022; RP 945, 5.2; from memory: check against a licensed copy" */
static void add_source(struct page *page, xmlNode *cell, const struct limit *limit)
{
	bool published = limit->source && !text_same(limit->source->key, "common-practice");
	page_source(page, cell, limit->source);
	struct text text = text_in(page->arena);
	if (published)
		text_addf(&text, "; %s", short_title(page, limit->source));
	if (*limit->clause)
		text_addf(&text, "%s %s", published ? "," : ";", limit->clause);
	const char *reading = wording_reading(page->arena, limit);
	if (published)
		text_addf(&text, "; %s", reading);
	else if (strchr(reading, ';'))
		text_add(&text, strchr(reading, ';'));
	html_add_text(cell, "span", "others", text.data ? text.data : "");
}

static void add_limit(struct page *page, xmlNode *body, const struct flag *flag, size_t index)
{
	const struct limit *limit = &flag->rule->limits[index];
	xmlNode *row = html_add(body, "tr", page_limit_applies(flag, index) ? NULL : "of-met");
	html_set(html_add_text(row, "th", "letter", page_limit_letter(page, index)), "scope", "row");
	xmlNode *says = html_add_text(row, "td", NULL, wording_limit(page->arena, limit));
	if (*limit->name)
		html_add_text(says, "span", "others", arena_format(page->arena, "; %s", limit->name));
	add_source(page, html_add(row, "td", NULL), limit);
	add_uses(page, html_add(row, "td", NULL), flag, index);
}

/* One limit that simply governs: on paper its use need not be told. */
static bool is_plain(struct page *page, const struct flag *flag)
{
	return flag->rule->limit_count == 1 && flag->findings[0]->limits[0].governs &&
		users(page, flag, 0, 0) == flag->count && !flag->rule->limits[0].governs;
}

void page_limits(struct page *page, xmlNode *parent, const struct flag *flag)
{
	static const char *const columns[] = {"", "Limit", "Source, where, how known", "Use here", NULL};
	if (!flag->rule->limit_count)
		return;
	xmlNode *body = page_rows(parent, is_plain(page, flag) ? "limits single" : "limits",
		arena_format(page->arena, "%s: published limits", flag->rule->id), columns);
	for (size_t i = 0; i < flag->rule->limit_count; i++)
		add_limit(page, body, flag, i);
}
