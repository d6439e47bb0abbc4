/* The sections that are lists: values near a limit, deviations, rules, sources. */
#include "base/count.h"
#include "write/write_html.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "compute/title.h"
#include "judge/wording.h"
#include "record/action_list.h"

/* ---- values within their uncertainty of a limit ---- */

static const char *uncertainty_words(struct page *page, const struct quantity *value)
{
	if (!value || !(value->uncertainty > 0))
		return "exact, on the limit";
	return page_uncertainty(page, value);
}

void page_near(struct page *page)
{
	static const char *const columns[] = {"Item", "Case", "Rule", "Value", "Uncertainty", "Limit", "Source", NULL};
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "near", "Values within their uncertainty of a limit");
	if (!review->near_count) {
		html_add_text(section, "p", NULL, "No rule is met by less than the uncertainty of the value.");
		return;
	}
	html_add_text(section, "p", NULL,
		"Met as stated, but a better value could decide otherwise: confirm these before relying on them.");
	xmlNode *body = page_rows(section, "near headed", "Met within the uncertainty", columns);
	for (size_t i = 0; i < review->near_count; i++) {
		const struct finding *finding = review->near[i];
		xmlNode *row = html_add(body, "tr", NULL);
		xmlNode *tag = page_row_head(row, "tag");
		page_tag(page, tag, finding->item->tag, SIZE_MAX);
		html_name(html_add(row, "td", NULL), finding_case(review, finding));
		html_add_text(html_add(row, "td", NULL), "span", "rule", finding->rule->id);
		page_quantity(page, html_add(row, "td", NULL), finding->value);
		html_add_text(row, "td", NULL, uncertainty_words(page, finding->value));
		html_add_text(row, "td", NULL, wording_limit(page->arena, finding->governing->limit));
		page_source(page, html_add(row, "td", NULL), finding->governing->limit->source);
	}
}

/* ---- accepted deviations ---- */

static const char *deviation_state_words(enum deviation_state state)
{
	static const char *const words[] = {
		"applies: the departure is accepted",
		"expired: the departure is among the flagged items again",
		"matches no departure found in this review",
		"incomplete: it has no effect",
		"beyond its cap: the departure is among the flagged items",
		"its cap cannot be checked: the departure is among the flagged items",
		"departs in another case too: it is among the flagged items",
		"holds for one of several places: the finding that lists them is among the flagged items",
	};
	_Static_assert(COUNT(words) == DEVIATION_IN_PART + 1, "each state has its words");
	return words[state];
}

static void add_deviation(struct page *page, xmlNode *body, const struct deviation *deviation)
{
	static const char *const names[] = {"item", "because", "approved", "until"};
	const struct table *table = page->review->table;
	xmlNode *row = html_add(body, "tr", NULL);
	const char *rule = table_word(table, deviation->item, EVERY_CASE, "rule");
	xmlNode *head = page_row_head(row, NULL);
	html_name(head, rule ? rule : "");
	for (size_t i = 0; i < COUNT(names); i++) {
		const char *word = table_word(table, deviation->item, EVERY_CASE, names[i]);
		html_name(html_add(row, "td", NULL), word ? word : "not stated");
	}
	const char *lacks = deviation->state == DEVIATION_INCOMPLETE
		? arena_format(page->arena, "; it lacks %s", deviation_lacks(page->arena, table, deviation->item))
		: "";
	html_add_text(
		row, "td", NULL, arena_format(page->arena, "%s%s", deviation_state_words(deviation->state), lacks));
	html_name(html_add(row, "td", "place"), page_place(page, deviation->item->place));
}

void page_deviations(struct page *page)
{
	static const char *const columns[] = {
		"Rule", "Item", "Because", "Approved by", "Valid until", "State", "Stated at", NULL};
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "deviations", "Accepted deviations");
	if (!review->deviation_count) {
		html_add_text(section, "p", NULL, "The description records none.");
		return;
	}
	xmlNode *body = page_rows(section, "deviations", "Deviations recorded in the description", columns);
	for (size_t i = 0; i < review->deviation_count; i++)
		add_deviation(page, body, &review->deviations[i]);
	if (!review->accepted_count)
		return;
	html_add_text(section, "h3", NULL, "What they cover");
	xmlNode *list = html_add(section, "ul", NULL);
	for (size_t i = 0; i < review->accepted_count; i++) {
		xmlNode *entry = html_add(list, "li", NULL);
		html_add_text(entry, "span", "rule", review->accepted[i]->rule->id);
		html_say(entry, " ");
		html_name(entry, review->accepted[i]->message);
	}
}

/* ---- rules ---- */

/* The findings of one rule are together: their range, from `first`. */
static size_t range_of_rule(const struct judgement *judgement, size_t first)
{
	size_t end = first;
	while (end < judgement->count && judgement->findings[end].rule == judgement->findings[first].rule)
		end++;
	return end;
}

static size_t with_verdict(
	struct page *page, size_t first, size_t end, enum verdict verdict, const struct finding ***out)
{
	const struct judgement *judgement = &page->review->judgement;
	const struct finding **rows = arena_alloc(page->arena, (end - first + 1) * sizeof *rows);
	size_t count = 0;
	for (size_t i = first; i < end; i++)
		if (judgement->findings[i].verdict == verdict)
			rows[count++] = &judgement->findings[i];
	*out = rows;
	return count;
}

static xmlNode *add_rule_row(xmlNode *body, const struct rule *rule)
{
	xmlNode *row = html_add(body, "tr", NULL);
	xmlNode *head = html_add_text(row, "th", "rule", rule->id);
	html_set(head, "scope", "row");
	html_add_text(row, "td", NULL, rule->title);
	return row;
}

/* "velocity 1.20 m/s, service rich": the inputs a verdict rests on, with their values; constants of the rule are with its limits. */
static const char *rests_on(struct page *page, const struct finding *finding)
{
	struct text text = text_in(page->arena);
	size_t count = 0;
	for (size_t i = 0; i < finding->input_count; i++) {
		const struct quantity *value = finding->inputs[i].quantity;
		if (finding->rule->inputs[i].constant || value->known == UNKNOWN || value->kind == KIND_TEXT)
			continue;
		text_addf(&text, "%s%s %s%s", count++ ? ", " : "",
			title_of(page->arena, finding->rule->inputs[i].quantity),
			quantity_show(page->arena, value, NULL), value->known == ASSUMED ? " (assumed)" : "");
	}
	return count ? text.data : "a bound that decides, or none of its values";
}

/* Items that rest on the same values are together, with the values once. */
static void add_met_items(struct page *page, xmlNode *cell, const struct finding **rows, size_t count)
{
	const char **words = arena_alloc(page->arena, (count + 1) * sizeof *words);
	for (size_t i = 0; i < count; i++)
		words[i] = rests_on(page, rows[i]);
	for (size_t i = 0; i < count; i++) {
		const struct finding **same = arena_alloc(page->arena, (count + 1) * sizeof *same);
		size_t alike = 0;
		for (size_t k = i; k < count; k++)
			if (words[k] && words[i] && (k == i || strcmp(words[k], words[i]) == 0))
				same[alike++] = rows[k];
		if (!alike)
			continue;
		xmlNode *line = html_add(cell, "span", "line");
		page_tags(page, line, same, alike, alike);
		html_say(line, ": ");
		html_name(line, words[i]);
		for (size_t k = count; k-- > i;)
			if (words[k] && k != i && strcmp(words[k], words[i]) == 0)
				words[k] = NULL;
		words[i] = NULL;
	}
}

static void add_rules_by_verdict(
	struct page *page, xmlNode *section, enum verdict verdict, const char *caption, const char *none)
{
	static const char *const with_values[] = {
		"Rule", "What it requires", "Items, and what the verdict rests on", NULL};
	static const char *const plain[] = {"Rule", "What it requires", "Items", NULL};
	const char *const *columns = verdict == VERDICT_MEETS ? with_values : plain;
	const struct judgement *judgement = &page->review->judgement;
	xmlNode *body = NULL;
	for (size_t first = 0, end; first < judgement->count; first = end) {
		end = range_of_rule(judgement, first);
		const struct finding **rows;
		size_t count = with_verdict(page, first, end, verdict, &rows);
		if (!count)
			continue;
		if (!body)
			body = page_rows(section, "rules", caption, columns);
		xmlNode *row = add_rule_row(body, judgement->findings[first].rule);
		if (verdict == VERDICT_MEETS)
			add_met_items(page, html_add(row, "td", "tags"), rows, count);
		else
			page_tags(page, html_add(row, "td", "tags"), rows, count, count);
	}
	if (!body)
		html_add_text(section, "p", NULL, none);
}

/* "line, nozzle with service rich" */
static const char *selects_words(struct page *page, const struct rule *rule)
{
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < rule->selection_count; i++) {
		const struct selection *selection = &rule->selections[i];
		text_add(&text, i ? "; or " : "");
		for (const char *at = selection->kinds; *at; at++)
			text_add(&text, *at == '|' ? ", " : *at == '-' ? " " : arena_copy_span(page->arena, at, 1));
		for (size_t k = 0; k < selection->conditions.count; k++) {
			text_addf(&text, "%s %s ", k ? "," : ":", selection->conditions.rows[k].name);
			for (const char *at = selection->conditions.rows[k].words; *at; at++)
				text_add(&text, *at == '|' ? " or " : arena_copy_span(page->arena, at, 1));
		}
	}
	return text.data;
}

static bool only_not_applicable(const struct judgement *judgement, size_t first, size_t end)
{
	for (size_t i = first; i < end; i++)
		if (judgement->findings[i].verdict != VERDICT_NOT_APPLICABLE)
			return false;
	return true;
}

static void add_rules_not_applicable(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Rule", "What it requires", "Why it does not apply", NULL};
	const struct judgement *judgement = &page->review->judgement;
	xmlNode *body = page_rows(section, "rules of-met", "Rules considered that do not apply", columns);
	for (size_t first = 0, end; first < judgement->count; first = end) {
		end = range_of_rule(judgement, first);
		if (only_not_applicable(judgement, first, end))
			html_add_text(add_rule_row(body, judgement->findings[first].rule), "td", NULL,
				arena_format(page->arena, "its conditions apply to none of %zu item%s", end - first,
					end - first == 1 ? "" : "s"));
	}
	for (size_t i = 0; i < judgement->idle_count; i++)
		html_add_text(add_rule_row(body, judgement->idle[i]), "td", NULL,
			arena_format(
				page->arena, "nothing in the unit is %s", selects_words(page, judgement->idle[i])));
}

/* "hardness base, socket welds" */
static const char *missing_words(struct page *page, const struct finding *finding)
{
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < finding->missing_count; i++)
		text_addf(&text, "%s%s", i ? ", " : "", title_of_request(page->arena, finding->missing[i].quantity));
	return text.data;
}

static xmlNode *begin_judged_if_stated(xmlNode *section)
{
	static const char *const columns[] = {"Rule", "What it requires", "Judged once stated", "Items", NULL};
	xmlNode *fold = html_add(section, "details", "of-met");
	html_add_text(fold, "summary", NULL, "Not requested, but judged once stated");
	return page_rows(fold, "rules", "Rules that apply only where a value is stated, and it is not", columns);
}

/* What is silent because nobody stated it is not passed over in silence; on screen, since no answer is known to change an action. */
void page_judged_if_stated(struct page *page, xmlNode *section)
{
	const struct judgement *judgement = &page->review->judgement;
	xmlNode *body = NULL;
	for (size_t first = 0, end; first < judgement->count; first = end) {
		end = range_of_rule(judgement, first);
		const struct finding **rows;
		size_t count = with_verdict(page, first, end, VERDICT_NOT_APPLICABLE, &rows), kept = 0;
		for (size_t i = 0; i < count; i++)
			if (rows[i]->missing_count)
				rows[kept++] = rows[i];
		if (!kept)
			continue;
		if (!body)
			body = begin_judged_if_stated(section);
		xmlNode *row = add_rule_row(body, rows[0]->rule);
		html_set(row, "class", "behind");
		html_add_text(row, "td", NULL, missing_words(page, rows[0]));
		page_tags(page, html_add(row, "td", "tags"), rows, kept, kept);
	}
}

void page_rules(struct page *page)
{
	xmlNode *met = page_section(page, "met", "Rules considered and met");
	add_rules_by_verdict(page, met, VERDICT_MEETS, "Rules met, with the items that meet them", "No rule is met.");
	add_rules_by_verdict(page, met, VERDICT_OUT_OF_RANGE,
		"Not judged: the value lies outside the range in which the figure may be used",
		"No rule was left unjudged because a value was outside its range.");
	xmlNode *others = page_section(page, "not-applicable", "Rules that do not apply");
	html_add_text(others, "p", "on-paper",
		"Omitted on paper: the rules that do not apply. They are on the screen page and in the record.");
	add_rules_not_applicable(page, others);
}

/* ---- sources ---- */

void page_source_row(struct page *page, xmlNode *body, const struct source *source)
{
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(row, "id", arena_format(page->arena, "source-%s", source->key));
	xmlNode *head = html_add_text(row, "th", NULL, wording_source(page->arena, source));
	html_set(head, "scope", "row");
	xmlNode *title = html_add(row, "td", NULL);
	html_add_text(title, "cite", NULL, source->title);
	html_say(title, *source->publisher ? arena_format(page->arena, ". %s", source->publisher) : "");
	const char *otherwise = source->reading == READING_READ ? "the text itself" : "–";
	html_add_text(row, "td", NULL, *source->through ? source->through : otherwise);
	html_add_text(row, "td", source->reading == READING_MEMORY ? "remembered" : NULL,
		source->named ? wording_known(source->reading)
			      : arena_format(page->arena, "%s; unnamed source, never firm alone",
					wording_known(source->reading)));
}

void page_sources(struct page *page)
{
	static const char *const columns[] = {"Cited as", "Title", "Known through", "How known", NULL};
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "sources", "Sources cited");
	html_add_text(section, "p", NULL,
		"Read standards in the edition in force; only references to them are printed here, not their text.");
	xmlNode *body = page_rows(section, "sources", "Sources of the limits and formulas used", columns);
	for (size_t i = 0; i < review->source_count; i++)
		page_source_row(page, body, review->sources[i]);
}
