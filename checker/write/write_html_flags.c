/*
 * The flagged items: for each rule departed from, who departs, every published limit beside the value, what to do, and
 * room for the designer's reply.
 *
 * The limits of a rule carry letters. The table of items has one narrow column per letter; the table of limits
 * (write_html_limits.c) says what the letter stands for, who published it and how that is known.
 */
#include "base/count.h"
#include "write/write_html.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "judge/outcomes.h"
#include "judge/wording.h"
#include "record/action_list.h"

enum {
	PERCENT = 100,
	BOUNDS_AT_MOST = 5, /* limits whose figures still fit into the heads of their columns */
	OTHER_COLUMNS = 5,  /* beside those of the limits */
	ROWS_TOGETHER = 4,  /* a table of so few items is not split over pages */
};

static bool is_upper(const struct limit *limit)
{
	return limit->relation == RELATION_AT_MOST || limit->relation == RELATION_BELOW;
}

static const char *relation_sign(enum relation relation)
{
	static const char *const signs[] = {"≤", "<", "≥", ">"};
	return signs[relation];
}

static void add_remedy(xmlNode *parent, const char *remedy)
{
	xmlNode *line = html_add(parent, "p", "remedy");
	html_add_text(line, "b", NULL, "What to do:");
	html_say(line, " ");
	html_say(line, remedy);
}

/* ---- the items that depart ---- */

/* How a value compares with one limit, in a word or two. */
static const char *standing(const struct limit_result *row)
{
	if (!row->applied)
		return "–";
	if (row->met == PERHAPS)
		return row->limit->context ? "beside" : "open";
	if (row->met == YES)
		return row->borderline ? "just met" : "met";
	if (row->limit->says)
		return "not met";
	return row->borderline ? "on the limit" : is_upper(row->limit) ? "over" : "under";
}

/* On paper a row is a line (paper.h), of which what decides nothing takes no room: the limits are listed below it. */
static bool is_told(const struct page *page, const struct limit_result *row)
{
	return !page->paper || (row->applied && !row->limit->context);
}

/* A limit that is for none of the items has no column: a rule may hold those of every amine. */
static size_t columns_of_limits(const struct flag *flag)
{
	size_t count = 0;
	for (size_t i = 0; i < flag->rule->limit_count; i++)
		count += page_limit_applies(flag, i);
	return count;
}

static void add_limit_heads(struct page *page, xmlNode *row, const struct flag *flag)
{
	const struct rule *rule = flag->rule;
	size_t columns = columns_of_limits(flag);
	for (size_t i = 0; i < rule->limit_count; i++) {
		const struct limit *limit = &rule->limits[i];
		if (!page_limit_applies(flag, i))
			continue;
		xmlNode *head = html_add(row, "th", "limit");
		html_set(head, "scope", "col");
		html_add_text(head, "span", "letter", page_limit_letter(page, i));
		if (!limit->says && columns <= BOUNDS_AT_MOST)
			html_add_text(head, "span", "bound",
				arena_format(page->arena, " %s %s", relation_sign(limit->relation),
					page_first(page, &limit->value)));
	}
}

static xmlNode *add_heads(struct page *page, xmlNode *parent, const struct flag *flag)
{
	static const char *const before[] = {"Item", "Case", "Judged on", NULL};
	static const char *const after[] = {"Margin", "Reply"};
	xmlNode *table = page_table(parent, flag->count > ROWS_TOGETHER ? "items" : "items short",
		arena_format(page->arena, "%s: what departs%s", flag->rule->id,
			flag->rule->limit_count ? ", with the limits lettered below" : ""),
		before);
	xmlNode *row = xmlGetLastChild(xmlGetLastChild(table)); /* of the head, the last thing added so far */
	add_limit_heads(page, row, flag);
	for (size_t i = 0; i < COUNT(after); i++)
		html_set(html_add_text(row, "th", NULL, after[i]), "scope", "col");
	return table;
}

/* What else a rule looked at and found known; a constant of the rule is no evidence, and the judged value is shown separately. */
static bool is_evidence(const struct finding *finding, size_t index)
{
	const struct quantity *quantity = finding->inputs[index].quantity;
	return quantity != finding->value && quantity->known != UNKNOWN && !finding->rule->inputs[index].constant;
}

static const char *evidence_words(struct page *page, const struct finding *finding, size_t index)
{
	const struct quantity *quantity = finding->inputs[index].quantity;
	return arena_format(
		page->arena, "%s%s", page_first(page, quantity), quantity->known == ASSUMED ? " (assumed)" : "");
}

/* Evidence that is the same for several items is said once above their table. */
static bool is_common(struct page *page, const struct flag *flag, size_t index)
{
	const struct finding *first = flag->findings[0];
	for (size_t i = 0; i < flag->count; i++)
		if (!is_evidence(flag->findings[i], index) ||
			strcmp(evidence_words(page, flag->findings[i], index), evidence_words(page, first, index)) != 0)
			return false;
	return flag->count > 1;
}

static void add_evidence(struct page *page, xmlNode *parent, const char *before, const struct flag *flag,
	const struct finding *finding, bool common)
{
	xmlNode *words = NULL;
	for (size_t i = 0; i < finding->input_count; i++) {
		if (!is_evidence(finding, i) || is_common(page, flag, i) != common)
			continue;
		if (words)
			html_say(words, "; ");
		else
			words = html_add_text(parent, "span", "others", before);
		html_say(words, arena_format(page->arena, "%s ", finding->rule->inputs[i].quantity));
		html_name(words, evidence_words(page, finding, i));
	}
}

static void add_margin(struct page *page, xmlNode *cell, const struct finding *finding)
{
	const struct limit_result *row = finding->governing;
	if (!row || row->limit->says || !finding->value) {
		if (!page->paper)
			html_add_text(cell, "span", "aside", "–");
		return;
	}
	double limit = fabs(row->at);
	/* In one unit: the value and the limit are beside it in both. */
	html_say(cell, page_difference_first(page, fabs(row->margin), row->limit->value.kind));
	html_say(cell, row->margin < 0 ? " inside" : is_upper(row->limit) ? " over" : " under");
	/* Kinds of which a share means nothing; a count may be a year. */
	enum kind kind = row->limit->value.kind;
	if (limit > 0 && kind != KIND_TEMPERATURE && kind != KIND_PH && kind != KIND_COUNT)
		html_say(cell, arena_format(page->arena, ", %.0f %%", PERCENT * fabs(row->margin) / limit));
}

/* What is said of this item alone, under its row; what holds for all is above the table. */
static void add_own_words(struct page *page, xmlNode *body, size_t columns, const struct finding *finding,
	const char *message, const char *remedy)
{
	bool notes = page_has_notes(page, finding->item);
	if (!message && !(remedy && *remedy) && !notes && !finding->assumed)
		return;
	xmlNode *cell = html_add(html_add(body, "tr", "own-words"), "td", NULL);
	html_set(cell, "colspan", arena_format(page->arena, "%zu", columns));
	if (message)
		html_set(html_add_text(cell, "p", "message", message), "dir", "auto");
	if (remedy && *remedy)
		add_remedy(cell, remedy);
	if (finding->assumed)
		html_set(html_add_text(cell, "p", "assumed",
				 arena_format(page->arena, "Screening at most: %s.", finding->assumed)),
			"dir", "auto");
	page_notes_of(page, cell, finding->item);
}

static void add_item(
	struct page *page, xmlNode *body, const struct flag *flag, const struct finding *finding, bool certainty)
{
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *tag = page_row_head(row, "tag");
	page_tag(page, tag, finding->item->tag, SIZE_MAX);
	html_say(tag, " ");
	page_tag(page, html_add(tag, "span", "place under"), page_place(page, finding->item->place), SIZE_MAX);
	xmlNode *where = html_add(row, "td", "case");
	html_name(where, finding_case(page->review, finding));
	if (certainty)
		html_add_text(where, "span", "others", certainty_word(finding->certainty));
	xmlNode *judged = html_add(row, "td", NULL);
	if (finding->value)
		page_quantity(page, judged, finding->value);
	add_evidence(page, judged, "", flag, finding, false);
	const char *cases = outcomes_words(page->arena, finding, page->review->table, false);
	if (cases)
		html_add_text(judged, "span", "others", arena_format(page->arena, "By case: %s", cases));
	for (size_t i = 0; i < finding->limit_count; i++) {
		const struct limit_result *result = &finding->limits[i];
		if (!page_limit_applies(flag, i) || !is_told(page, result))
			continue;
		xmlNode *cell = html_add(row, "td", result->governs ? "limit governs" : "limit");
		if (page->paper) /* there are no heads of columns */
			html_say(cell, arena_format(page->arena, "%s ", page_limit_letter(page, i)));
		html_say(cell, standing(result));
		if (result->governs && finding->governing == result)
			html_add_text(cell, "span", "others", "governs");
	}
	add_margin(page, html_add(row, "td", "margin"), finding);
	page_reply(page, row, round_of_finding(page->review, finding));
}

/* ---- one rule ---- */

/*
 * What is said of several items is said once where it is the same but for what the table shows beside each: the tag, and
 * the values judged on. These are masked before comparing.
 */
static const char TAG_MASK = '\x01', VALUE_MASK = '\x02';

static const char *masked(struct page *page, const char *words, const char *what, char mask)
{
	struct text text = text_in(page->arena);
	size_t length = strlen(what);
	for (const char *at = words; *at;) {
		const char *next = length ? strstr(at, what) : NULL;
		text_add_span(&text, at, next ? (size_t)(next - at) : strlen(at));
		if (next)
			text_add_char(&text, mask);
		at = next ? next + length : at + strlen(at);
	}
	return text.data ? text.data : "";
}

static const char *without_tag(struct page *page, const char *words, const struct finding *finding)
{
	return masked(page, words, finding->item->tag, TAG_MASK);
}

static const char *without_values(struct page *page, const char *words, const struct finding *finding)
{
	words = without_tag(page, words, finding);
	for (size_t i = 0; i < finding->input_count; i++) {
		const struct quantity *input = finding->inputs[i].quantity;
		if (input->known != UNKNOWN && kind_is_number(input->kind))
			words = masked(page, words, quantity_show_both(page->arena, input), VALUE_MASK);
	}
	return words;
}

static const char *message_of(const struct finding *finding)
{
	return finding->message;
}

static const char *remedy_of(const struct finding *finding)
{
	return finding->remedy;
}

static bool all_alike(struct page *page, const struct flag *flag, const char *(*words)(const struct finding *),
	const char *(*without)(struct page *, const char *, const struct finding *))
{
	const char *first = without(page, words(flag->findings[0]), flag->findings[0]);
	for (size_t i = 1; i < flag->count; i++)
		if (strcmp(first, without(page, words(flag->findings[i]), flag->findings[i])) != 0)
			return false;
	return true;
}

static const char *said_of_each(
	struct page *page, const struct flag *flag, const char *(*words)(const struct finding *))
{
	struct text text = text_in(page->arena);
	const char *first = without_tag(page, words(flag->findings[0]), flag->findings[0]);
	for (const char *at = first; *at; at++)
		if (*at == TAG_MASK)
			text_add(&text, at == first ? "Each item below" : "each item below");
		else
			text_add_char(&text, *at);
	return text.data ? text.data : "";
}

/* The words that hold for all items of a flag, or NULL where each needs its own. */
static const char *common_words(
	struct page *page, const struct flag *flag, const char *(*words)(const struct finding *))
{
	if (flag->count == 1)
		return words(flag->findings[0]);
	if (all_alike(page, flag, words, without_tag))
		return said_of_each(page, flag, words);
	if (!all_alike(page, flag, words, without_values))
		return NULL;
	const char *others = flag->count == 2 ? "item" : arena_format(page->arena, "%zu items", flag->count - 1);
	return arena_format(page->arena, "%s The same applies to the other %s below, each with its own figures.",
		words(flag->findings[0]), others);
}

static bool same_certainty(const struct flag *flag)
{
	for (size_t i = 1; i < flag->count; i++)
		if (flag->findings[i]->certainty != flag->findings[0]->certainty)
			return false;
	return true;
}

/* Why the rule is there, how much weight it has and from whom. */
static void add_terms(struct page *page, xmlNode *article, const struct flag *flag)
{
	const struct finding *first = flag->findings[0];
	xmlNode *terms = html_add(article, "p", "terms");
	if (*flag->rule->why) {
		xmlNode *why = html_add(terms, "span", "why");
		html_add_text(why, "b", NULL, "Why it matters:");
		html_say(why, " ");
		html_say(why, flag->rule->why);
		html_say(terms, " ");
	}
	char *force = arena_copy(page->arena, force_word(first->force));
	*force = (char)toupper((unsigned char)*force);
	html_add_text(terms, "b", NULL, force);
	html_say(terms, *first->why_force ? arena_format(page->arena, ": %s. ", first->why_force) : ". ");
	if (*flag->rule->mechanism)
		html_say(terms, arena_format(page->arena, "Mechanism: %s. ", flag->rule->mechanism));
}

static void add_flag(struct page *page, xmlNode *parent, const struct flag *flag)
{
	xmlNode *article = html_add(parent, "article", "flag");
	const char *anchor = anchor_of_flag(page->arena, flag->action, flag->rule);
	html_set(article, "id", anchor);
	html_set(article, "data-action", action_word(flag->action));
	html_set(article, "data-rule", flag->rule->id);
	html_set(article, "aria-labelledby", arena_format(page->arena, "%s-title", anchor));
	xmlNode *heading = html_add(article, "h4", NULL);
	html_set(heading, "id", arena_format(page->arena, "%s-title", anchor));
	page_action(heading, flag->action);
	html_say(heading, " ");
	html_add_text(heading, "span", "rule", flag->rule->id);
	html_say(heading, arena_format(page->arena, " %s", flag->rule->title));
	if (same_certainty(flag)) {
		html_say(heading, " ");
		html_add_text(heading, "span", "certainty", certainty_word(flag->findings[0]->certainty));
	}

	const char *message = common_words(page, flag, message_of), *remedy = common_words(page, flag, remedy_of);
	if (message)
		html_set(html_add_text(article, "p", "message", message), "dir", "auto");
	if (remedy && *remedy)
		add_remedy(article, remedy);
	add_evidence(page, html_add(article, "p", "common"), "Common to all below: ", flag, flag->findings[0], true);
	xmlNode *table = add_heads(page, article, flag);
	for (size_t i = 0; i < flag->count; i++) {
		const struct finding *finding = flag->findings[i];
		xmlNode *body = html_add(table, "tbody", NULL);
		html_set(body, "data-case", finding_case(page->review, finding));
		html_set(body, "data-certainty", certainty_word(finding->certainty));
		add_item(page, body, flag, finding, !same_certainty(flag));
		add_own_words(page, body, columns_of_limits(flag) + OTHER_COLUMNS, finding,
			message ? NULL : finding->message, remedy ? NULL : finding->remedy);
	}
	page_limits(page, article, flag);
	page_trials(page, article, flag);
	page_nearest(page, article, flag);
	add_terms(page, article, flag);
}

/* The words of standing() and of the use of a limit, explained once. */
static void add_legend(xmlNode *section)
{
	static const char *const words[][2] = {
		{"over, under", "beyond that limit"},
		{"on the limit", "beyond it, by less than the uncertainty of the value"},
		{"just met", "met, by less than the uncertainty of the value"},
		{"open", "not known: something is not stated"},
		{"beside", "text or figures shown for comparison; they never govern"},
		{"–", "does not apply to the item; the last column of the limits says why"},
		{"governs",
			"decides: named by the rule for this service or set by the profile; otherwise the most "
			"specific that applies, then the strictest that was read"},
	};
	html_add_text(section, "p", NULL,
		"Most severe first, then in the order of flow. Under each rule are the items that depart from it; the "
		"letters a, b, c refer to the published limits listed below them, each with its source and clause, how "
		"it is known, and its use here. Confidence in a figure is high unless stated otherwise. \"line 41\" is "
		"a line of the description reviewed.");
	xmlNode *list = html_add(section, "dl", "words");
	for (size_t i = 0; i < COUNT(words); i++) {
		html_add_text(list, "dt", NULL, words[i][0]);
		html_add_text(list, "dd", NULL, words[i][1]);
	}
}

void page_flags(struct page *page)
{
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "flagged", "The findings in detail");
	if (!review->flag_count)
		html_add_text(section, "p", NULL, "None: every rule that could be judged is met.");
	else
		add_legend(section);
	enum action last = ACTION_NONE;
	for (size_t i = 0; i < review->flag_count; i++) {
		const struct flag *flag = &review->flags[i];
		if (flag->action != last)
			html_add_text(section, "h3", "group",
				arena_format(page->arena, "%s (%zu)", action_word(flag->action),
					review->counts[flag->action]));
		last = flag->action;
		add_flag(page, section, flag);
	}
}
