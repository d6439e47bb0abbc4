#include "judge/domain.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/expression_check.h"
#include "read/vocabulary.h"
#include "judge/silence.h"
#include "judge/weigh.h"

static const char OTHER_WORD[] = "\x01";

struct gathering {
	struct arena *arena;
	const struct evaluation *evaluation;
	uint32_t inputs, others;
	enum kind kind;
	double least, largest; /* SI */
	double *borders;       /* figures that the input is compared with */
	size_t border_count, border_capacity;
	struct domain domain;
	size_t capacity;
};

static void add(struct gathering *gathering, struct quantity value)
{
	struct domain *domain = &gathering->domain;
	struct quantity *copy = arena_alloc(gathering->arena, sizeof *copy);
	value.known = STATED;
	value.kind = gathering->kind;
	value.document = "";
	*copy = value;
	domain->rows = arena_grow(
		gathering->arena, domain->rows, domain->count, &gathering->capacity, sizeof(struct quantity *));
	domain->rows[domain->count++] = copy;
}

/* ---- words ---- */

static void add_word(struct gathering *gathering, const char *word, size_t length)
{
	for (size_t i = 0; i < gathering->domain.count; i++)
		if (strlen(gathering->domain.rows[i]->word) == length &&
			memcmp(gathering->domain.rows[i]->word, word, length) == 0)
			return;
	const char *copy = arena_copy_span(gathering->arena, word, length);
	add(gathering, (struct quantity){.word = copy, .written = copy});
}

static void add_alternatives(struct gathering *gathering, const char *words)
{
	size_t length;
	for (const char *part; (part = text_alternative(&words, &length)) != NULL;)
		add_word(gathering, part, length);
}

static void add_conditions(struct gathering *gathering, struct conditions conditions, const char *name)
{
	for (size_t i = 0; i < conditions.count; i++)
		if (strcmp(conditions.rows[i].name, name) == 0)
			add_alternatives(gathering, conditions.rows[i].words);
}

static void add_words_of_conditions(struct gathering *gathering, const struct rule *rule, const char *name)
{
	for (size_t i = 0; i < rule->selection_count; i++)
		add_conditions(gathering, rule->selections[i].conditions, name);
	for (size_t i = 0; i < rule->limit_count; i++)
		add_conditions(gathering, rule->limits[i].narrowing, name);
}

/* ---- the choices of the schema ---- */

struct choices {
	const struct vocabulary_type *type; /* NULL: any word */
	bool families;
};

/* Of an attribute of the item; of NAME-family the families of its choices. */
static struct choices choices_of(struct arena *arena, const struct item *item, const char *name)
{
	struct choices choices = {.families = text_ends(name, "-family")};
	if (choices.families)
		name = arena_copy_span(arena, name, strlen(name) - strlen("-family"));
	const struct vocabulary_attribute *attribute =
		item && item->meaning ? vocabulary_attribute(item->meaning, name) : NULL;
	if (attribute && attribute->type->choice_count)
		choices.type = attribute->type;
	return choices;
}

/* NULL: a choice without a family, which has none of the words. */
static const char *choice_word(const struct choices *choices, size_t i)
{
	return choices->families ? choices->type->choices[i].family : choices->type->choices[i].word;
}

static bool is_choice(const struct choices *choices, const char *word)
{
	bool found = false;
	for (size_t i = 0; i < choices->type->choice_count; i++)
		found = found || text_same(choice_word(choices, i), word);
	return found;
}

static bool is_tried(const struct domain *domain, const char *word)
{
	bool found = false;
	for (size_t i = 0; word && i < domain->count; i++)
		found = found || strcmp(domain->rows[i]->word, word) == 0;
	return found;
}

/* What the schema does not have falls away; one word stands for all that it has more, or for any where it does not say. */
static void keep_choices(struct gathering *gathering, const struct choices *choices)
{
	struct domain *domain = &gathering->domain;
	bool more = !choices->type;
	size_t kept = 0;
	for (size_t i = 0; i < domain->count; i++)
		if (!choices->type || is_choice(choices, domain->rows[i]->word))
			domain->rows[kept++] = domain->rows[i];
	domain->count = kept;
	for (size_t i = 0; choices->type && i < choices->type->choice_count; i++)
		more = more || !is_tried(domain, choice_word(choices, i));
	if (more)
		add_word(gathering, OTHER_WORD, strlen(OTHER_WORD));
}

struct domain domain_of_word(struct arena *arena, const struct evaluation *evaluation, const char *name)
{
	struct gathering gathering = {.arena = arena, .kind = KIND_WORD, .domain = {.whole = true}};
	struct choices choices = choices_of(arena, evaluation->item, name);
	add_words_of_conditions(&gathering, evaluation->rule, name);
	keep_choices(&gathering, &choices);
	return gathering.domain;
}

bool domain_is_other(const struct quantity *quantity)
{
	return quantity->word && strcmp(quantity->word, OTHER_WORD) == 0;
}

/* ---- what an expression does with the input ---- */

struct token {
	const char *at;
	size_t length;
};

static bool is_name(char c)
{
	return isalnum((unsigned char)c) || c == '-' || c == '_' || c == '.';
}

/* A variable, a word between quotes, a number, a name or an operator; without length at the end. */
static struct token next_token(const char *at)
{
	at += strspn(at, " \t\r\n");
	size_t length = *at ? 1 : 0;
	if (*at == '\'' || *at == '"')
		length = (size_t)(strchr(at + 1, *at) - at) + 1;
	else if (*at == '$' || isalnum((unsigned char)*at) || *at == '.')
		while (is_name(at[length]))
			length++;
	else if ((*at == '<' || *at == '>' || *at == '!') && at[1] == '=')
		length = 2;
	return (struct token){at, length};
}

static bool is(struct token token, const char *word)
{
	return token.length == strlen(word) && memcmp(token.at, word, token.length) == 0;
}

static bool compares(struct token token)
{
	return token.length &&
		(is(token, "<=") || is(token, ">=") || is(token, "!=") ||
			(token.length == 1 && strchr("<>=", *token.at)));
}

/* What may stand beside a comparison: beside anything else its sides are calculated. */
static bool ends_comparison(struct token token)
{
	return !token.length || is(token, "and") || is(token, "or") || (token.length == 1 && strchr("()", *token.at));
}

static int variable_of(const struct gathering *gathering, struct token token)
{
	if (!token.length || *token.at != '$')
		return -1;
	const struct binding *binding = &gathering->evaluation->binding;
	for (size_t i = 0; i < binding->count; i++)
		if (strlen(binding->variables[i].name) == token.length - 1 &&
			memcmp(binding->variables[i].name, token.at + 1, token.length - 1) == 0)
			return (int)i;
	return -1;
}

static void add_border(struct gathering *gathering, double si)
{
	gathering->borders = arena_grow(gathering->arena, gathering->borders, gathering->border_count,
		&gathering->border_capacity, sizeof(double));
	gathering->borders[gathering->border_count++] = si;
}

/* The other side of a comparison: a figure or a word that is known; else the values at hand are but a sample. */
static void take_other_side(struct gathering *gathering, struct token token)
{
	int other = variable_of(gathering, token);
	if (other >= 0) {
		const struct quantity *value = gathering->evaluation->values[other];
		bool known = !(gathering->others >> other & 1) && value->known != UNKNOWN && value->bound == BOUND_NONE;
		gathering->domain.whole = gathering->domain.whole && known;
		if (known && value->word && !kind_is_number(gathering->kind))
			add_word(gathering, value->word, strlen(value->word));
		else if (known)
			add_border(gathering, value->si);
	} else if (*token.at == '\'' || *token.at == '"') {
		add_word(gathering, token.at + 1, token.length - 2);
	} else if (isdigit((unsigned char)*token.at) || *token.at == '.') {
		add_border(gathering, strtod(token.at, NULL));
	} else {
		gathering->domain.whole = false;
	}
}

/* Of four tokens in a row, of which the second or the third but one is the input: "before $x < other after". */
static void take_expression(struct gathering *gathering, const struct expression *expression)
{
	enum { AROUND = 3, LAST = 6 };
	struct token row[LAST + 1] = {{NULL, 0}}; /* three before, the token, three after */
	if (!expression || !(expression->cites & gathering->inputs))
		return;
	gathering->domain.whole = gathering->domain.whole && !expression->reads_letters;
	const char *at = expression->written;
	for (size_t fill = AROUND; fill <= LAST; fill++) {
		row[fill] = next_token(at);
		at = row[fill].at + row[fill].length;
	}
	while (row[AROUND].length) {
		int variable = variable_of(gathering, row[AROUND]);
		if (variable >= 0 && (gathering->inputs >> variable & 1)) {
			const struct token *here = &row[AROUND];
			if (compares(here[1]) && ends_comparison(here[-1]) && ends_comparison(here[3]))
				take_other_side(gathering, here[2]);
			else if (compares(here[-1]) && ends_comparison(here[1]) && ends_comparison(here[-3]))
				take_other_side(gathering, here[-2]);
			else if (gathering->kind != KIND_YES_NO)
				gathering->domain.whole = false;
		}
		memmove(row, row + 1, LAST * sizeof *row);
		row[LAST] = next_token(at);
		at = row[LAST].at + row[LAST].length;
	}
}

static void take_expressions(struct gathering *gathering)
{
	const struct rule *rule = gathering->evaluation->rule;
	for (size_t i = 0; i < rule->when.count; i++)
		take_expression(gathering, &rule->when.rows[i]);
	for (size_t i = 0; i < rule->met_if.count; i++)
		take_expression(gathering, &rule->met_if.rows[i]);
	take_expression(gathering, rule->assertion);
	for (size_t i = 0; i < rule->limit_count; i++)
		take_expression(gathering, rule->limits[i].when);
}

/* ---- numbers ---- */

static int by_size(const void *left, const void *right)
{
	const double *a = left, *b = right;
	return *a < *b ? -1 : *a > *b;
}

static void add_number(struct gathering *gathering, double si, bool border)
{
	struct domain *domain = &gathering->domain;
	const struct quantity *last = domain->count ? domain->rows[domain->count - 1] : NULL;
	if (!(si >= gathering->least && si <= gathering->largest) ||
		(last && last->kind == gathering->kind && !(si > last->si)))
		return;
	add(gathering, (struct quantity){.si = si, .reached = border});
}

/* Each border, what lies between them, and the ends. Of a count the whole numbers beside each border. */
static void add_numbers(struct gathering *gathering)
{
	bool whole_numbers = gathering->kind == KIND_COUNT;
	double *borders = gathering->borders;
	size_t count = gathering->border_count;
	if (count)
		qsort(borders, count, sizeof *borders, by_size);
	add_number(gathering, gathering->least, false);
	for (size_t i = 0; i < count; i++) {
		double before = i ? borders[i - 1] : fmax(gathering->least, borders[i] - fmax(fabs(borders[i]), 1));
		add_number(gathering, whole_numbers ? ceil(borders[i]) - 1 : (before + borders[i]) / 2, false);
		add_number(gathering, whole_numbers ? ceil(borders[i]) : borders[i], !whole_numbers);
		if (whole_numbers)
			add_number(gathering, floor(borders[i]) + 1, false);
	}
	if (count)
		add_number(gathering, fmin(gathering->largest, borders[count - 1] + fmax(fabs(borders[count - 1]), 1)),
			false);
	add_number(gathering, gathering->largest, false);
}

/* The figures of the limits that a value of this kind is held against. */
static void add_limits(struct gathering *gathering)
{
	const struct rule *rule = gathering->evaluation->rule;
	if (rule->judged < 0 || !(gathering->inputs >> rule->judged & 1))
		return;
	for (size_t i = 0; i < rule->limit_count; i++)
		if (!rule->limits[i].says && kind_is_number(rule->limits[i].value.kind) &&
			strcmp(kind_si(rule->limits[i].value.kind), kind_si(gathering->kind)) == 0)
			add_border(gathering, weigh_limit_at(gathering->evaluation, &rule->limits[i]));
}

/* Where the rule calculates with it, what lies beside every figure at hand is tried as well. */
static void add_sample(struct gathering *gathering, const struct rule_input *input)
{
	if (gathering->domain.whole)
		return;
	struct values values = values_possible(
		gathering->arena, gathering->evaluation->rule, input->quantity, gathering->kind, NULL, NULL);
	for (size_t i = 0; i < values.count; i++)
		add_border(gathering, values.rows[i]->si);
}

static void add_numbers_of_kind(struct gathering *gathering, const struct rule_input *input, enum kind kind)
{
	const double least = gathering->least, largest = gathering->largest;
	gathering->kind = kind;
	gathering->border_count = 0;
	take_expressions(gathering);
	add_limits(gathering);
	add_sample(gathering, input);
	kind_range(kind, &gathering->least, &gathering->largest);
	gathering->least = fmax(gathering->least, least);
	gathering->largest = fmin(gathering->largest, largest);
	add_numbers(gathering);
	gathering->least = least;
	gathering->largest = largest;
}

/* ---- both ---- */

static void add_words(struct gathering *gathering, size_t first)
{
	const struct rule *rule = gathering->evaluation->rule;
	struct choices choices =
		choices_of(gathering->arena, gathering->evaluation->holders[first], rule->inputs[first].quantity);
	take_expressions(gathering);
	for (size_t i = 0; i < rule->input_count; i++)
		if (gathering->inputs >> i & 1)
			add_words_of_conditions(gathering, rule, rule->inputs[i].name);
	keep_choices(gathering, &choices);
}

static void add_answers(struct gathering *gathering)
{
	static const char *const words[] = {"no", "yes"};
	gathering->kind = KIND_YES_NO;
	for (size_t i = 0; i < 2; i++)
		add(gathering, (struct quantity){.si = (double)i, .word = words[i], .written = words[i]});
}

struct domain domain_of(struct arena *arena, const struct evaluation *evaluation, uint32_t inputs, uint32_t others,
	double least, double largest)
{
	struct gathering gathering = {.arena = arena,
		.evaluation = evaluation,
		.inputs = inputs,
		.others = others,
		.least = least,
		.largest = largest,
		.domain = {.whole = true}};
	size_t first = 0;
	while (!(inputs >> first & 1))
		first++;
	const struct rule_input *input = &evaluation->rule->inputs[first];
	gathering.kind = input->accepted.kinds[0];
	if (gathering.kind == KIND_YES_NO)
		add_answers(&gathering);
	else if (gathering.kind == KIND_WORD || gathering.kind == KIND_TEXT)
		add_words(&gathering, first);
	for (size_t k = 0; kind_is_number(gathering.kind) && k < input->accepted.count; k++)
		if (kind_is_number(input->accepted.kinds[k]))
			add_numbers_of_kind(&gathering, input, input->accepted.kinds[k]);
	gathering.domain.whole = gathering.domain.whole && gathering.domain.count > 0;
	return gathering.domain;
}
