/*
 * The working: each computed number a finding rests on, as on a calculation sheet. Formula in symbols, the same with numbers
 * and units, the result, the source, and where every input came from.
 *
 * The numbers are put into the formula in SI units, so that it can be followed with a calculator whatever unit the
 * values were stated in. A value that a line takes over from its stream is followed to where it is: it is no
 * calculation, and all that take over the same value are one row at the end.
 */
#include "base/count.h"
#include "write/write_html.h"

#include <ctype.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "compute/title.h"
#include "compute/formula.h"
#include "compute/no_data.h"
#include "sulfide/lean_side.h"
#include "judge/wording.h"

/* ---- the formula with numbers ---- */

static bool starts_symbol(char c)
{
	return isalpha((unsigned char)c);
}

static size_t symbol_length(const char *at)
{
	size_t length = 0;
	while (isalnum((unsigned char)at[length]) || at[length] == '_' || at[length] == '\'')
		length++;
	return length;
}

static const struct quantity *input_called(const struct quantity *quantity, const char *symbol, size_t length)
{
	for (size_t i = 0; i < quantity->input_count; i++)
		if (strlen(quantity->inputs[i].symbol) == length &&
			memcmp(quantity->inputs[i].symbol, symbol, length) == 0)
			return quantity->inputs[i].quantity;
	return NULL;
}

static bool is_pi(const char *at, size_t length)
{
	return length == 2 && memcmp(at, "pi", length) == 0;
}

/* What every calculator has: the words stay as they are. */
static bool is_function(const char *at, size_t length)
{
	static const char *const names[] = {"ln", "min", "max"};
	for (size_t i = 0; i < COUNT(names); i++)
		if (strlen(names[i]) == length && memcmp(at, names[i], length) == 0 && at[length] == '(')
			return true;
	return false;
}

/* The right-hand side can be written with numbers only when every word in it is the symbol of an input, pi or a function. */
static bool is_arithmetic(const struct quantity *quantity, const char *formula)
{
	for (const char *at = formula; *at;) {
		if (!starts_symbol(*at)) {
			at++;
			continue;
		}
		size_t length = symbol_length(at);
		const struct quantity *input = input_called(quantity, at, length);
		if (!is_pi(at, length) && !is_function(at, length) && (!input || !kind_is_number(input->kind)))
			return false;
		at += length;
	}
	return strchr(formula, ':') == NULL;
}

/* Two digits more than a result shows, so that following by hand gives the same result; 5900500 as "5.9005e6". */
static const char *enough_digits(struct page *page, double value)
{
	char *number = arena_format(page->arena, "%.6g", value);
	char *exponent = strchr(number, 'e');
	if (!exponent)
		return number;
	*exponent = '\0';
	return arena_format(page->arena, "%se%ld", number, strtol(exponent + 1, NULL, 10));
}

static const char *in_si(struct page *page, const struct quantity *quantity)
{
	const char *unit = kind_si(quantity->kind);
	const char *number = enough_digits(page, quantity->si);
	bool bare = strcmp(unit, "1") == 0;
	return arena_format(page->arena, "%s%s%s", number, bare ? "" : " ", bare ? "" : unit);
}

static void add_operand(struct page *page, struct text *text, const struct quantity *input, const char *after)
{
	bool raised = *after == '^' || input->si < 0;
	text_addf(text, "%s%s%s", raised ? "(" : "", in_si(page, input), raised ? ")" : "");
}

/* Blanks between two factors of the formula stand for a multiplication: with numbers it must be seen. */
static const char *with_numbers(struct page *page, const struct quantity *quantity, const char *formula)
{
	struct text text = text_in(page->arena);
	bool operand = false; /* the last thing written can be multiplied */
	for (const char *at = formula; *at;) {
		if (*at == ' ') {
			at++;
			bool factor = isalnum((unsigned char)*at) || *at == '(';
			text_add(&text, operand && factor ? " × " : " ");
			continue;
		}
		size_t length = starts_symbol(*at) ? symbol_length(at) : 0;
		if (length && is_pi(at, length))
			text_add(&text, "π");
		else if (length && is_function(at, length))
			text_add_span(&text, at, length);
		else if (length)
			add_operand(page, &text, input_called(quantity, at, length), at + length);
		else
			text_add_char(&text, *at);
		operand = (length && !is_function(at, length)) || isdigit((unsigned char)*at) || *at == ')';
		at += length ? length : 1;
	}
	return text.data;
}

/* "v = 4 Q / (pi D^2)": what follows the equals sign. */
static const char *right_side(const struct formula *formula)
{
	const char *equals = strstr(formula->text, "= ");
	return equals ? equals + 2 : formula->text;
}

static void add_calculation(struct page *page, xmlNode *cell, const struct quantity *quantity)
{
	const char *right = right_side(quantity->formula);
	if (!is_arithmetic(quantity, right))
		return;
	html_add_text(cell, "span", "calculation", with_numbers(page, quantity, right));
	html_add_text(cell, "span", "calculation", arena_format(page->arena, "= %s", in_si(page, quantity)));
}

/* ---- where the inputs came from ---- */

static bool is_taken(const struct quantity *quantity)
{
	return quantity->known == COMPUTED && quantity->formula == &formulas[FORMULA_TAKEN] &&
		quantity->input_count == 1;
}

/* The value that one was taken over from, over however many steps, and what it is called; itself when it was not. */
static struct input origin_of(const struct input *value)
{
	struct input origin = *value;
	while (is_taken(origin.quantity))
		origin = origin.quantity->inputs[0];
	return origin;
}

/* As written, where that is not what is before it anyway. */
static void add_written(struct page *page, xmlNode *parent, const struct quantity *quantity)
{
	html_say(parent, "stated ");
	if (!quantity->written || text_same(quantity->written, quantity_show(page->arena, quantity, NULL)))
		return;
	html_name(parent, quantity->written);
	html_say(parent, ", ");
}

static void add_origin(struct page *page, xmlNode *parent, const struct quantity *quantity)
{
	switch (quantity->known) {
	case STATED:
		if (!quantity->place.file) {
			html_say(parent, arena_format(page->arena, "constant, %s", quantity->document));
			return;
		}
		add_written(page, parent, quantity);
		if (quantity->document && *quantity->document) {
			html_name(parent, quantity->document);
			html_say(parent, ", ");
		}
		page_tag(page, html_add(parent, "span", "place"), page_place(page, quantity->place), SIZE_MAX);
		return;
	case COMPUTED:
		html_say(parent, arena_format(page->arena, "calculated: %s", quantity->formula->name));
		return;
	case ASSUMED:
		html_say(parent, "assumed: ");
		html_name(parent, quantity->reason ? quantity->reason : "");
		return;
	case UNKNOWN:
		html_say(parent, "not known");
		return;
	}
}

/* The same property, of whichever item: then the item says it all. */
static bool same_property(const struct input *a, const struct input *b)
{
	return a->item && b->item && text_same(input_property(a), input_property(b));
}

/* What it is called in the words of the trade: "velocity of 2-P-1". */
static const char *called(struct page *page, const struct input *input)
{
	if (!input->item || !input->whose)
		return input_name(page->arena, input);
	return arena_of(page->arena, title_of(page->arena, input->name), input->item->tag);
}

static void add_input(struct page *page, xmlNode *cell, const struct input *input, const char *assumed)
{
	xmlNode *line = html_add(cell, "span", "line");
	html_add_text(line, "i", NULL, input->symbol);
	html_say(line, ": ");
	html_name(line, called(page, input));
	html_say(line, " = ");
	if (kind_is_number(input->quantity->kind))
		html_add_text(line, "span", "value", quantity_show(page->arena, input->quantity, NULL));
	else
		html_name(line, quantity_show(page->arena, input->quantity, NULL));
	struct input origin = origin_of(input);
	if (origin.quantity != input->quantity) {
		html_say(line, ", as ");
		html_name(line, same_property(&origin, input) ? origin.item->tag : called(page, &origin));
	}
	html_say(line, "; ");
	add_origin(page, line, origin.quantity);
	if (assumed) {
		html_say(line, "; ");
		html_name(line, assumed);
	}
}

/* Two inputs that are one value: named alike, or both taken over from the same place. */
static bool same_input(const struct input *a, const struct input *b)
{
	const struct quantity *x = origin_of(a).quantity, *y = origin_of(b).quantity;
	if (!text_same(a->symbol, b->symbol))
		return false;
	return x == y ||
		(x->known == STATED && y->known == STATED && x->place.line > 0 && x->place.line == y->place.line &&
			x->place.column == y->place.column && text_same(x->written, y->written));
}

static bool same_constant(const struct quantity *a, const struct quantity *b)
{
	return a->known == STATED && b->known == STATED && !a->place.file && !b->place.file && a->si == b->si &&
		a->kind == b->kind;
}

/* Whether every working by this formula has this input: then it is shown once, above them. */
static bool is_common(const struct working *workings, size_t count, const struct input *input)
{
	const struct formula *formula = workings->value.quantity->formula;
	size_t rows = 0;
	for (size_t i = 0; i < count; i++) {
		const struct quantity *quantity = workings[i].value.quantity;
		if (quantity->formula != formula)
			continue;
		rows++;
		if (working_assumes(&workings[i], input)) /* it is to be said beside the one that does */
			return false;
		const struct quantity *same = input_called(quantity, input->symbol, strlen(input->symbol));
		if (!same || (same != input->quantity && !same_constant(same, input->quantity)))
			return false;
	}
	return rows > 1;
}

static void add_inputs(struct page *page, xmlNode *cell, const struct working *workings, size_t count,
	const struct working *working, bool common)
{
	const struct quantity *quantity = working->value.quantity;
	for (size_t i = 0; i < quantity->input_count; i++) {
		bool said = is_common(workings, count, &quantity->inputs[i]) != common;
		for (size_t k = 0; k < i && !said; k++)
			said = same_input(&quantity->inputs[i], &quantity->inputs[k]);
		if (!said)
			add_input(page, cell, &quantity->inputs[i],
				working_assumption(page->arena, page->review->table, working, &quantity->inputs[i]));
	}
}

/* ---- one formula and all that was calculated by it ---- */

static const char *working_case(const struct review *review, const struct working *working)
{
	return working->operating_case == EVERY_CASE ? "every case"
						     : table_case(review->table, working->operating_case)->id;
}

/* `workings`: those from the first by this formula on. */
static void add_working(struct page *page, xmlNode *body, const struct working *workings, size_t count,
	const struct working *working, bool arithmetic)
{
	xmlNode *row = html_add(body, "tr", working->of_met ? "of-met" : NULL);
	xmlNode *what = page_row_head(row, NULL);
	html_name(what, called(page, &working->value));
	html_name(html_add(what, "span", "others"), working_case(page->review, working));
	if (arithmetic)
		add_calculation(page, html_add(row, "td", NULL), working->value.quantity);
	xmlNode *result = html_add(row, "td", "result");
	page_quantity(page, result, working->value.quantity);
	if (working->value.quantity->uncertainty > 0)
		html_add_text(result, "span", "others", page_uncertainty(page, working->value.quantity));
	const struct quantity *second = working->value.quantity->second;
	if (second)
		html_add_text(result, "span", "others",
			arena_format(page->arena, "%s by %s", page_first(page, second), second->formula->name));
	if (page->review->lean_side->circuit->no_data && no_data_reaches(working->value.quantity))
		html_add_text(result, "span", "others", "estimated: no data of this solvent were read");
	add_inputs(page, html_add(row, "td", "inputs"), workings, count, working, false);
}

static void add_formula_words(struct page *page, xmlNode *section, const struct formula *formula)
{
	const struct source *source =
		*formula->source ? catalogue_source(page->review->catalogue, formula->source) : NULL;
	xmlNode *words = html_add(section, "p", "formula");
	struct text symbols = text_in(page->arena); /* without the braces around the name of an input */
	for (const char *at = formula->text; *at; at++)
		if (*at != '{' && *at != '}')
			text_add_char(&symbols, *at);
	html_add_text(words, "span", "symbols", symbols.data);
	if (*formula->note)
		html_say(words, arena_format(page->arena, "; %s", formula->note));
	html_say(words, *formula->source ? "; source: " : "; by definition");
	if (source)
		page_source(page, words, source);
	else
		html_say(words, formula->source);
	html_say(words, ".");
}

/* Everything in `workings` that was calculated by the formula of the first. */
static void add_formula(struct page *page, xmlNode *section, const struct working *workings, size_t count)
{
	static const char *const with[] = {
		"Value", "With numbers, SI", "Result", "Inputs and where they come from", NULL};
	static const char *const without[] = {"Value", "Result", "Inputs and where they come from", NULL};
	const struct formula *formula = workings->value.quantity->formula;
	bool arithmetic = is_arithmetic(workings->value.quantity, right_side(formula)), of_met = true;
	for (size_t i = 0; i < count; i++)
		of_met = of_met && (workings[i].of_met || workings[i].value.quantity->formula != formula);
	char *name = arena_copy(page->arena, formula->name);
	*name = (char)toupper((unsigned char)*name);
	xmlNode *head = html_add(section, "div", of_met ? "formula-head of-met" : "formula-head");
	html_add_text(head, "h3", NULL, name);
	html_say(head, " ");
	add_formula_words(page, head, formula);
	bool shared = false;
	for (size_t i = 0; i < workings->value.quantity->input_count && !shared; i++)
		shared = is_common(workings, count, &workings->value.quantity->inputs[i]);
	if (shared) {
		xmlNode *common = html_add_text(head, "p", "inputs shared", "For all below: ");
		add_inputs(page, common, workings, count, workings, true);
	}
	xmlNode *body = page_rows(section,
		arena_format(page->arena, "working%s%s", arithmetic ? "" : " plain", of_met ? " of-met" : ""),
		arena_format(page->arena, "%s, calculated", name), arithmetic ? with : without);
	for (size_t i = 0; i < count; i++)
		if (workings[i].value.quantity->formula == formula)
			add_working(page, body, workings, count, &workings[i], arithmetic);
}

/* ---- what was taken over ---- */

/* In which cases the value holds: "every case", or their names; the finding's own where the table does not tell. */
static const char *cases_of(struct page *page, const struct input *origin, const struct working *working)
{
	const struct table *table = page->review->table;
	size_t all = table_case_count(table), count = 0;
	struct text text = text_in(page->arena);
	for (int c = 0; origin->item && c < (int)all; c++)
		if (table_get(table, origin->item, c, input_property(origin)) == origin->quantity)
			text_addf(&text, "%s%s", count++ ? ", " : "", table_case(table, c)->id);
	return count == all ? "every case" : count ? text.data : working_case(page->review, working);
}

static void add_taken(struct page *page, xmlNode *body, const struct working *workings, size_t count)
{
	const struct input origin = origin_of(&workings->value);
	xmlNode *row = html_add(body, "tr", workings->of_met ? "taken of-met" : "taken");
	xmlNode *what = page_row_head(row, NULL);
	html_name(what, called(page, &origin));
	html_say(what, ", ");
	html_name(what, cases_of(page, &origin, workings));
	page_quantity(page, html_add(row, "td", NULL), origin.quantity);
	add_origin(page, html_add(row, "td", "inputs"), origin.quantity);
	xmlNode *takers = html_add(row, "td", "inputs");
	for (size_t i = 0; i < count; i++) {
		if (!is_taken(workings[i].value.quantity) || origin_of(&workings[i].value).quantity != origin.quantity)
			continue;
		if (i > 0)
			html_say(takers, ", ");
		const struct input *value = &workings[i].value;
		page_tag(page, html_add(takers, "span", "taker"),
			same_property(value, &origin) ? value->item->tag : called(page, value), SIZE_MAX);
	}
}

static bool was_taken_before(const struct working *workings, size_t index)
{
	const struct quantity *origin = origin_of(&workings[index].value).quantity;
	for (size_t i = 0; i < index; i++)
		if (is_taken(workings[i].value.quantity) && origin_of(&workings[i].value).quantity == origin)
			return true;
	return false;
}

static void add_all_taken(struct page *page, xmlNode *section)
{
	static const char *const columns[] = {"Value", "Result", "Where it comes from", "Used for", NULL};
	const struct review *review = page->review;
	xmlNode *body = NULL;
	for (size_t i = 0; i < review->working_count; i++) {
		if (!is_taken(review->workings[i].value.quantity) || was_taken_before(review->workings, i))
			continue;
		if (!body) {
			html_add_text(section, "h3", NULL, "Taken over");
			html_add_text(section, "p", "formula",
				"Values that an item takes from the stream it carries, unchanged.");
			body = page_rows(section, "working takes", "Values from streams", columns);
		}
		add_taken(page, body, &review->workings[i], review->working_count - i);
	}
}

void page_working(struct page *page)
{
	const struct review *review = page->review;
	xmlNode *section = page_section(page, "working", "Working of the computed numbers");
	if (!review->working_count) {
		html_add_text(section, "p", NULL, "No finding uses a calculated number.");
		return;
	}
	html_add_text(section, "p", NULL,
		"Every calculated number that a finding uses, whether its rule is departed from or met. Values are put "
		"into the formulas "
		"in SI units; "
		"pressures are absolute, temperatures in kelvin. Cases have the short names explained in the scope; "
		"\"line 41\" is a line of the description reviewed.");
	html_add_text(section, "p", "on-paper",
		"Omitted on paper: numbers used only by rules that are met or by no rule. They are on the screen page "
		"and in the record.");
	for (size_t i = 0; i < review->working_count; i++) {
		const struct formula *formula = review->workings[i].value.quantity->formula;
		bool seen = !formula || is_taken(review->workings[i].value.quantity);
		for (size_t k = 0; k < i && !seen; k++)
			seen = review->workings[k].value.quantity->formula == formula;
		if (!seen)
			add_formula(page, section, &review->workings[i], review->working_count - i);
	}
	add_all_taken(page, section);
}
