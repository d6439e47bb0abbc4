/*
 * The flagged items: for each rule departed from, who departs, every published limit beside the value, what to do, and
 * room for the designer's reply.
 *
 * The limits of a rule carry letters. The table of items has one narrow column per letter; the table of limits says what the
 * letter stands for, who published it and how that is known.
 */
#include "write_html.h"

#include <math.h>
#include <string.h>

#include "text.h"
#include "wording.h"

enum { LETTERS = 26, PERCENT = 100, CASUAL_COLUMNS = 5 };

static const char *limit_letter(struct page *page, size_t index)
{
	int letter = 'a' + (int)(index % LETTERS);
	return index < LETTERS ? arena_format(page->arena, "%c", letter)
			       : arena_format(page->arena, "%c%zu", letter, index / LETTERS);
}

static bool is_upper(const struct limit *limit)
{
	return limit->relation == RELATION_AT_MOST || limit->relation == RELATION_BELOW;
}

static const char *relation_sign(enum relation relation)
{
	static const char *const signs[] = {"≤", "<", "≥", ">"};
	return signs[relation];
}

/* ---- the items that depart ---- */

/* How a value stands to one limit, in a word or two. */
static const char *standing(const struct limit_result *row)
{
	if (!row->applied)
		return "–";
	if (row->met == PERHAPS)
		return row->limit->context ? "beside" : "open";
	if (row->met == YES)
		return row->borderline ? "met, just" : "met";
	if (row->limit->says)
		return "not met";
	return row->borderline ? "on it" : is_upper(row->limit) ? "over" : "under";
}

static void add_limit_heads(struct page *page, xmlNode *row, const struct flag *flag)
{
	const struct rule *rule = flag->rule;
	for (size_t i = 0; i < rule->limit_count; i++) {
		const struct limit *limit = &rule->limits[i];
		xmlNode *head = html_add(row, "th", "limit");
		html_set(head, "scope", "col");
		html_add_text(head, "span", "letter", limit_letter(page, i));
		if (!limit->says && rule->limit_count <= CASUAL_COLUMNS)
			html_add_text(head, "span", "bound",
				arena_format(page->arena, " %s %s", relation_sign(limit->relation),
					quantity_show(page->arena, &limit->value, NULL)));
	}
}

static xmlNode *add_heads(struct page *page, xmlNode *parent, const struct flag *flag)
{
	static const char *const before[] = {"Item", "Case", "Judged on", NULL};
	static const char *const after[] = {"Margin", "Stands at"};
	xmlNode *table = page_table(parent, "items",
		arena_format(page->arena, "%s: what departs, against limits a to %s", flag->rule->id,
			limit_letter(page, flag->rule->limit_count ? flag->rule->limit_count - 1 : 0)),
		before);
	xmlNode *row = xmlGetLastChild(xmlGetLastChild(table)); /* of the head, the last thing added so far */
	add_limit_heads(page, row, flag);
	for (size_t i = 0; i < sizeof after / sizeof *after; i++)
		html_set(html_add_text(row, "th", NULL, after[i]), "scope", "col");
	return table;
}

/* The judged value first, then what else the rule looked at and found known; a constant of the rule is no evidence. */
static void add_evidence(struct page *page, xmlNode *cell, const struct finding *finding)
{
	if (finding->value)
		page_quantity(page, cell, finding->value);
	xmlNode *others = NULL;
	for (size_t i = 0; i < finding->input_count; i++) {
		const struct input *input = &finding->inputs[i];
		const struct rule_input *meaning = &finding->rule->inputs[i];
		if (input->quantity == finding->value || input->quantity->known == UNKNOWN || meaning->constant)
			continue;
		if (others)
			html_say(others, "; ");
		else
			others = html_add(cell, "span", "others");
		html_say(others, arena_format(page->arena, "%s ", meaning->quantity));
		html_name(others, quantity_show(page->arena, input->quantity, NULL));
		html_say(others, input->quantity->known == ASSUMED ? " (assumed)" : "");
	}
}

static void add_margin(struct page *page, xmlNode *cell, const struct finding *finding)
{
	const struct limit_result *row = finding->governing;
	if (!row || row->limit->says || !finding->value) {
		html_add_text(cell, "span", "aside", "none in numbers");
		return;
	}
	double limit = fabs(row->limit->value.si);
	html_add_text(cell, "span", "value", page_difference(page, fabs(row->margin), row->limit->value.kind));
	html_say(cell, row->margin < 0 ? " inside" : is_upper(row->limit) ? " over" : " under");
	if (limit > 0 && row->limit->value.kind != KIND_TEMPERATURE && row->limit->value.kind != KIND_PH)
		html_say(cell, arena_format(page->arena, ", %.0f %%", PERCENT * fabs(row->margin) / limit));
}

static void add_reply(
	xmlNode *body, size_t columns, struct page *page, const struct finding *finding, bool message, bool remedy)
{
	xmlNode *row = html_add(body, "tr", "reply");
	xmlNode *cell = html_add(row, "td", NULL);
	html_set(cell, "colspan", arena_format(page->arena, "%zu", columns));
	if (message)
		html_set(html_add_text(cell, "p", "message", finding->message), "dir", "auto");
	if (remedy) {
		xmlNode *line = html_add(cell, "p", "remedy");
		html_add_text(line, "b", NULL, "What to do: ");
		html_say(line, finding->remedy);
	}
	html_add_text(cell, "p", "blank", "Reply");
}

static void add_item(struct page *page, xmlNode *table, const struct flag *flag, const struct finding *finding,
	bool message, bool remedy, bool certainty)
{
	xmlNode *body = html_add(table, "tbody", NULL);
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *tag = html_add(row, "th", "tag");
	html_set(tag, "scope", "row");
	html_name(tag, finding->item->tag);
	xmlNode *where = html_add(row, "td", NULL);
	html_name(where, finding_case(page->review, finding));
	if (certainty)
		html_add_text(where, "span", "others", certainty_word(finding->certainty));
	add_evidence(page, html_add(row, "td", NULL), finding);
	for (size_t i = 0; i < finding->limit_count; i++) {
		const struct limit_result *result = &finding->limits[i];
		xmlNode *cell = html_add_text(row, "td", result->governs ? "limit governs" : "limit", standing(result));
		if (result->governs && finding->governing == result)
			html_add_text(cell, "span", "others", "governs");
	}
	add_margin(page, html_add(row, "td", NULL), finding);
	html_name(html_add(row, "td", "place"), page_place(page, finding->item->place));
	enum { OTHER_COLUMNS = 5 };
	add_reply(body, flag->rule->limit_count + OTHER_COLUMNS, page, finding, message, remedy);
}

/* ---- the limits ---- */

static const char *why_governs(const struct catalogue *catalogue, const struct limit *limit)
{
	if (limit->governs && limit->overridden)
		return "governs: set by the profile";
	if (catalogue->strictest)
		return "governs: the strictest that applies";
	if (limit->governs)
		return "governs: named by the rule for this service";
	return "governs: the most specific that applies, then the strictest that was read";
}

static const char *use_of(struct page *page, const struct finding *finding, size_t index)
{
	const struct limit_result *row = &finding->limits[index];
	if (!row->applied)
		return *row->aside ? arena_format(page->arena, "not applied: %s", row->aside) : "not applied";
	if (row->governs)
		return why_governs(page->review->catalogue, row->limit);
	return row->limit->context ? "shown beside; never governs" : "applies";
}

/* Says it once where all items agree, else item by item. */
static void add_uses(struct page *page, xmlNode *cell, const struct flag *flag, size_t index)
{
	bool alike = true;
	for (size_t i = 1; i < flag->count; i++)
		alike = alike &&
			strcmp(use_of(page, flag->findings[i], index), use_of(page, flag->findings[0], index)) == 0;
	for (size_t i = 0; i < (alike ? 1 : flag->count); i++) {
		xmlNode *line = html_add(cell, "span", "line");
		if (!alike) {
			html_name(line, flag->findings[i]->item->tag);
			html_say(line, ": ");
		}
		html_say(line, use_of(page, flag->findings[i], index));
	}
}

static void add_limit(struct page *page, xmlNode *body, const struct flag *flag, size_t index)
{
	const struct limit *limit = &flag->rule->limits[index];
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(html_add_text(row, "th", "letter", limit_letter(page, index)), "scope", "row");
	xmlNode *says = html_add_text(row, "td", NULL, wording_limit(page->arena, limit));
	if (*limit->name)
		html_add_text(says, "span", "others", limit->name);
	xmlNode *source = html_add(row, "td", NULL);
	page_source(page, source, limit->source);
	if (*limit->clause)
		html_add_text(source, "span", "others", limit->clause);
	xmlNode *known = html_add_text(row, "td", NULL, reading_word(limit->reading));
	if (*limit->confidence)
		html_add_text(known, "span", "others", arena_format(page->arena, "confidence %s", limit->confidence));
	add_uses(page, html_add(row, "td", NULL), flag, index);
}

static void add_limits(struct page *page, xmlNode *parent, const struct flag *flag)
{
	static const char *const columns[] = {"", "Limit", "Source and clause", "How known", "Use here", NULL};
	if (!flag->rule->limit_count)
		return;
	xmlNode *table = page_table(
		parent, "limits", arena_format(page->arena, "%s: published limits", flag->rule->id), columns);
	xmlNode *body = html_add(table, "tbody", NULL);
	for (size_t i = 0; i < flag->rule->limit_count; i++)
		add_limit(page, body, flag, i);
}

/* ---- one rule ---- */

/* Words that differ only by the item's own tag are the same: then they are said once. */
static const char *without_tag(struct page *page, const char *words, const struct item *item)
{
	struct text text = text_in(page->arena);
	size_t length = strlen(item->tag);
	for (const char *at = words; *at;) {
		const char *next = length ? strstr(at, item->tag) : NULL;
		text_add_span(&text, at, next ? (size_t)(next - at) : strlen(at));
		text_add(&text, next ? "\x01" : "");
		at = next ? next + length : at + strlen(at);
	}
	return text.data ? text.data : "";
}

static const char *message_of(const struct finding *finding)
{
	return finding->message;
}

static const char *remedy_of(const struct finding *finding)
{
	return finding->remedy;
}

/* The words common to all findings with "each" for the tag, or NULL where they differ. */
static const char *common_words(
	struct page *page, const struct flag *flag, const char *(*words)(const struct finding *))
{
	const char *first = without_tag(page, words(flag->findings[0]), flag->findings[0]->item);
	for (size_t i = 1; i < flag->count; i++)
		if (strcmp(first, without_tag(page, words(flag->findings[i]), flag->findings[i]->item)) != 0)
			return NULL;
	if (flag->count == 1)
		return words(flag->findings[0]);
	struct text text = text_in(page->arena);
	for (const char *at = first; *at; at++)
		if (*at == '\x01')
			text_add(&text, at == first ? "Each item below" : "each item below");
		else
			text_add_char(&text, *at);
	return text.data ? text.data : "";
}

static bool same_certainty(const struct flag *flag)
{
	for (size_t i = 1; i < flag->count; i++)
		if (flag->findings[i]->certainty != flag->findings[0]->certainty)
			return false;
	return true;
}

static void add_terms(struct page *page, xmlNode *article, const struct flag *flag)
{
	const struct finding *first = flag->findings[0];
	xmlNode *terms = html_add(article, "p", "terms");
	html_add_text(terms, "b", NULL, force_word(first->force));
	html_say(terms, *first->why_force ? arena_format(page->arena, ": %s. ", first->why_force) : ". ");
	if (same_certainty(flag)) {
		html_add_text(terms, "b", NULL, certainty_word(first->certainty));
		html_say(terms, ". ");
	}
	if (*flag->rule->mechanism)
		html_say(terms, arena_format(page->arena, "Mechanism: %s. ", flag->rule->mechanism));
}

static void add_flag(struct page *page, xmlNode *parent, const struct flag *flag)
{
	xmlNode *article = html_add(parent, "article", "flag");
	const char *anchor = page_anchor(page, flag);
	html_set(article, "id", anchor);
	html_set(article, "aria-labelledby", arena_format(page->arena, "%s-title", anchor));
	xmlNode *heading = html_add(article, "h4", NULL);
	html_set(heading, "id", arena_format(page->arena, "%s-title", anchor));
	page_action(heading, flag->action);
	html_say(heading, " ");
	html_add_text(heading, "span", "rule", flag->rule->id);
	html_say(heading, arena_format(page->arena, " %s", flag->rule->title));
	add_terms(page, article, flag);

	const char *message = common_words(page, flag, message_of), *remedy = common_words(page, flag, remedy_of);
	if (message)
		html_set(html_add_text(article, "p", "message", message), "dir", "auto");
	if (remedy && *remedy) {
		xmlNode *line = html_add(article, "p", "remedy");
		html_add_text(line, "b", NULL, "What to do: ");
		html_say(line, remedy);
	}
	xmlNode *table = add_heads(page, article, flag);
	for (size_t i = 0; i < flag->count; i++)
		add_item(page, table, flag, flag->findings[i], !message, !remedy, !same_certainty(flag));
	add_limits(page, article, flag);
	if (*flag->rule->why) {
		xmlNode *why = html_add(article, "p", "why");
		html_add_text(why, "b", NULL, "Why it matters: ");
		html_say(why, flag->rule->why);
	}
}

void page_flags(struct page *page)
{
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "flagged", "Flagged items");
	if (!review->flag_count)
		html_add_text(section, "p", NULL, "None: no rule that could be judged is departed from.");
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
