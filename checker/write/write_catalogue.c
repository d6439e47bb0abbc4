#include <string.h>

#include "base/text.h"
#include "judge/wording.h"
#include "write/style.h"
#include "write/write.h"
#include "write/write_html.h"

/* ---- one rule ---- */

static void add_pair(xmlNode *list, const char *name, const char *words)
{
	html_add_text(list, "dt", NULL, name);
	html_add_text(list, "dd", NULL, words);
}

static void add_conditions(struct text *text, struct conditions conditions)
{
	for (size_t i = 0; i < conditions.count; i++)
		text_addf(text, ", %s %s", conditions.rows[i].name, conditions.rows[i].words);
}

static const char *selections_of(struct arena *arena, const struct rule *rule)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < rule->selection_count; i++) {
		text_addf(&text, "%s%s", i ? "; or " : "", wording_kinds(arena, &rule->selections[i]));
		add_conditions(&text, rule->selections[i].conditions);
	}
	return text.data;
}

static const char *expressions_of(struct arena *arena, const struct rule *rule)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < rule->when.count; i++)
		text_addf(&text, "%swhen %s", text.length ? "; " : "", rule->when.rows[i].written);
	for (size_t i = 0; i < rule->met_if.count; i++)
		text_addf(&text, "%smet in any case if %s", text.length ? "; " : "", rule->met_if.rows[i].written);
	if (rule->assertion)
		text_addf(&text, "%sasserts %s", text.length ? "; " : "", rule->assertion->written);
	return text.length ? text.data : "its limits decide";
}

static const char *inputs_of(struct arena *arena, const struct rule *rule)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		text_addf(&text, "%s%s", i ? "; " : "", input->name);
		if (input->constant)
			text_addf(&text, " = %s", wording_constant(arena, input));
		else
			text_addf(&text, ": %s%s%s", input->quantity, *input->of ? " of " : "", input->of);
		if (input->absent)
			text_addf(&text, ", taken as %s where not stated%s%s%s",
				quantity_show(arena, input->absent, NULL), *input->absent_why ? " (" : "",
				input->absent_why, *input->absent_why ? ")" : "");
	}
	return text.length ? text.data : "none";
}

static void add_limit(struct page *page, xmlNode *body, const struct limit *limit)
{
	xmlNode *row = html_add(body, "tr", NULL);
	html_set(html_add_text(row, "th", NULL, wording_limit(page->arena, limit)), "scope", "row");
	xmlNode *source = html_add(row, "td", NULL);
	page_source(page, source, limit->source);
	if (*limit->clause)
		html_add_text(source, "span", "others", limit->clause);
	html_add_text(row, "td", NULL, wording_reading(page->arena, limit));
	struct text use = text_in(page->arena);
	text_addf(&use, "%s%s%s",
		limit->governs		 ? "governs"
			: limit->context ? "context only"
					 : "may govern",
		*limit->where ? ", for " : "", limit->where);
	add_conditions(&use, limit->narrowing);
	text_addf(&use, "%s%s%s", limit->when ? ", when " : "", limit->when ? limit->when->written : "",
		limit->overridden ? ", set by the profile" : "");
	html_add_text(row, "td", NULL, use.data);
}

static void add_examples(struct page *page, xmlNode *parent, const struct rule *rule)
{
	xmlNode *list = html_add(parent, "ul", "examples");
	for (size_t i = 0; i < rule->example_count; i++) {
		struct text text = text_in(page->arena);
		text_addf(&text, "%s:", verdict_word(rule->examples[i].verdict));
		for (size_t k = 0; k < rule->examples[i].count; k++)
			text_addf(&text, "%s %s %s", k ? "," : "", rule->examples[i].values[k].name,
				rule->examples[i].values[k].words);
		html_add_text(list, "li", NULL, text.data);
	}
}

static void add_rule(struct page *page, xmlNode *section, const struct rule *rule)
{
	static const char *const columns[] = {"Limit", "Source and clause", "How known", "Use", NULL};
	struct arena *arena = page->arena;
	xmlNode *article = html_add(section, "article", NULL);
	html_set(article, "id", rule->id);
	html_add_text(article, "h3", NULL, arena_format(arena, "%s  %s", rule->id, rule->title));
	xmlNode *words = html_add(article, "dl", "words");
	add_pair(words, "Matter", arena_format(arena, "%s (%s)", rule->matter, consequence_word(rule->consequence)));
	add_pair(words, "Force", arena_format(arena, "%s: %s", force_word(rule->force), rule->why_force));
	add_pair(words, "Evidence", evidence_meaning(rule->evidence));
	for (size_t i = 0; i < rule->force_change_count; i++)
		add_pair(words, "Or",
			arena_format(arena, "%s where the package claims %s: %s",
				force_word(rule->force_changes[i].force), rule->force_changes[i].code,
				rule->force_changes[i].why));
	if (*rule->mechanism)
		add_pair(words, "Mechanism", rule->mechanism);
	if (rule->capped)
		add_pair(words, "Certainty", arena_format(arena, "%s at best", certainty_word(rule->certainty)));
	add_pair(words, "Looks at", selections_of(arena, rule));
	add_pair(words, "Inputs", inputs_of(arena, rule));
	add_pair(words, "Decides", expressions_of(arena, rule));
	add_pair(words, "Why", rule->why);
	add_pair(words, "What to do", rule->remedy);
	xmlNode *body = page_rows(article, "limits", arena_format(arena, "%s: published limits", rule->id), columns);
	for (size_t i = 0; i < rule->limit_count; i++)
		add_limit(page, body, &rule->limits[i]);
	html_add_text(article, "p", NULL, "Examples, run by the tests:");
	add_examples(page, article, rule);
}

/* ---- the page ---- */

static void add_family(struct page *page, const struct catalogue *catalogue, const struct family *family)
{
	xmlNode *section = page_section(page, arena_format(page->arena, "family-%s", family->prefix), family->title);
	for (size_t i = 0; i < catalogue->rule_count; i++)
		if (strcmp(catalogue->rules[i].family, family->name) == 0)
			add_rule(page, section, &catalogue->rules[i]);
}

/* How the limits of its rules are known, and what the best founded of them rests on. */
static void add_matter(struct page *page, xmlNode *body, const struct catalogue *catalogue, const char *matter)
{
	size_t rules = 0, limits[READING_COMMON_PRACTICE + 1] = {0};
	enum evidence best = EVIDENCE_PRACTICE;
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		if (strcmp(rule->matter, matter) != 0)
			continue;
		rules++;
		best = rule->evidence < best ? rule->evidence : best;
		for (size_t k = 0; k < rule->limit_count; k++)
			limits[rule->limits[k].reading] += !rule->limits[k].context;
	}
	if (!rules)
		return;
	xmlNode *row = html_add(body, "tr", NULL);
	html_add_text(row, "td", NULL, matter);
	html_add_text(row, "td", NULL, rule_matter_meaning(matter));
	html_add_text(row, "td", "number", arena_format(page->arena, "%zu", rules));
	html_add_text(row, "td", NULL, evidence_meaning(best));
	for (int reading = 0; reading <= READING_COMMON_PRACTICE; reading++)
		html_add_text(row, "td", "number", arena_format(page->arena, "%zu", limits[reading]));
}

static void add_matters(struct page *page, const struct catalogue *catalogue)
{
	static const char *const columns[] = {"Matter", "What it covers", "Rules", "Best evidence", "Limits read",
		"Secondary", "Memory", "Practice", NULL};
	xmlNode *section = page_section(page, "matters", "Evidence for each subject");
	html_add_text(section, "p", NULL,
		"For each subject: how many rules cover it, the best evidence among them, and how the limits that can "
		"govern are known.");
	xmlNode *body = page_rows(section, "matters", "Every subject of the catalogue", columns);
	for (size_t i = 0; rule_matter_word(i); i++)
		add_matter(page, body, catalogue, rule_matter_word(i));
}

static void add_sources(struct page *page, const struct catalogue *catalogue)
{
	static const char *const columns[] = {"Cited as", "Title", "Known through", "How known", NULL};
	xmlNode *section = page_section(page, "sources", "Sources");
	html_add_text(section, "p", NULL,
		"Check what is known from memory or from a secondary text against a licensed copy; an unnamed source "
		"cannot be looked up, and no finding based on it alone is called firm.");
	xmlNode *body = page_rows(section, "sources", "Every source of the catalogue", columns);
	for (size_t i = 0; i < catalogue->source_count; i++)
		page_source_row(page, body, &catalogue->sources[i]);
}

static void add_frame(struct page *page, xmlNode *body, const struct catalogue *catalogue)
{
	xmlNode *header = html_add(body, "header", "title-block");
	xmlNode *name = html_add(header, "div", "title");
	html_add_text(name, "p", "kind", "Rules for the design review of amine gas-treating units");
	html_add_text(name, "h1", NULL, "The catalogue");
	html_add_text(name, "p", NULL,
		arena_format(page->arena,
			"%zu rules, %zu sources; profile: %s. Standards are to be read in the edition in "
			"force; local codes and a licensed engineer decide.",
			catalogue->rule_count, catalogue->source_count, catalogue->profile_title));
	xmlNode *nav = html_add(body, "nav", NULL);
	html_set(nav, "aria-label", "Contents");
	page->contents = html_add(nav, "ol", NULL);
	page->main = html_add(body, "main", NULL);
}

bool write_catalogue(const struct catalogue *catalogue, FILE *out)
{
	struct arena arena = {0};
	struct html html;
	struct page page = {.arena = &arena, .paper = true}; /* no script */
	html_open(&html);
	page_head(&page, html.head, "The catalogue of rules", "", style_for_screen(&arena));
	add_frame(&page, html.body, catalogue);
	add_matters(&page, catalogue);
	for (size_t i = 0; i < catalogue->family_count; i++)
		add_family(&page, catalogue, &catalogue->families[i]);
	add_sources(&page, catalogue);
	bool written = html_save(&html, out);
	html_release(&html);
	arena_release(&arena);
	return written;
}

/* ---- the matrix ---- */

struct kinds {
	const char **rows;
	size_t count, capacity;
};

/* Kinds in the order of the alphabet. */
static void add_kind(struct arena *arena, struct kinds *kinds, const char *kind)
{
	size_t at = 0;
	while (at < kinds->count && strcmp(kinds->rows[at], kind) < 0)
		at++;
	if (at < kinds->count && strcmp(kinds->rows[at], kind) == 0)
		return;
	kinds->rows = arena_grow(arena, kinds->rows, kinds->count, &kinds->capacity, sizeof *kinds->rows);
	memmove(&kinds->rows[at + 1], &kinds->rows[at], (kinds->count - at) * sizeof kinds->rows[0]);
	kinds->rows[at] = kind;
	kinds->count++;
}

static void add_kinds(struct arena *arena, struct kinds *kinds, const char *words)
{
	for (const char *at = words; *at;) {
		size_t length = strcspn(at, "|");
		add_kind(arena, kinds, arena_copy_span(arena, at, length));
		at += length + (at[length] == '|');
	}
}

static bool selects(const struct rule *rule, const char *kind)
{
	for (size_t i = 0; i < rule->selection_count; i++) {
		const char *at = rule->selections[i].kinds;
		if (strcmp(at, "*") == 0)
			return true;
		for (; *at; at += *at == '|') {
			size_t span = strcspn(at, "|");
			if (span == strlen(kind) && strncmp(at, kind, span) == 0)
				return true;
			at += span;
		}
	}
	return false;
}

static size_t rules_on(const struct catalogue *catalogue, const char *family, const char *kind)
{
	size_t count = 0;
	for (size_t i = 0; i < catalogue->rule_count; i++)
		count += strcmp(catalogue->rules[i].family, family) == 0 && selects(&catalogue->rules[i], kind);
	return count;
}

bool write_matrix(const struct catalogue *catalogue, FILE *out)
{
	struct arena arena = {0};
	struct kinds kinds = {.count = 0};
	struct text text = text_in(&arena);
	for (size_t i = 0; i < catalogue->rule_count; i++)
		for (size_t k = 0; k < catalogue->rules[i].selection_count; k++)
			add_kinds(&arena, &kinds, catalogue->rules[i].selections[k].kinds);
	text_addf(&text, "%-18s", "");
	for (size_t f = 0; f < catalogue->family_count; f++)
		text_addf(&text, " %4s", catalogue->families[f].prefix);
	text_add(&text, "\n");
	for (size_t k = 0; k < kinds.count; k++) {
		text_addf(&text, "%-18s", kinds.rows[k]);
		for (size_t f = 0; f < catalogue->family_count; f++) {
			size_t count = rules_on(catalogue, catalogue->families[f].name, kinds.rows[k]);
			text_addf(&text, " %4s", count ? arena_format(&arena, "%zu", count) : "-");
		}
		text_add(&text, "\n");
	}
	bool written = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return written;
}
