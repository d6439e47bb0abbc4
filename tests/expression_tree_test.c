/*
 * What the tree of an expression answers is what libxml2 answers to the same expression, over every expression of the
 * built-in catalogue and over others that rules may hold, each with values on and beside the numbers and words it names.
 */
#include <criterion/criterion.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/expression_check.h"
#include "judge/expression_number.h"
#include "judge/expression_tree.h"
#include "review_support.h"

/* The values that one trial gives to the variables, and which of them known() says are known. */
struct given {
	const struct variable *variables;
	size_t count;
	struct tree_value values[EXPRESSION_VARIABLES];
	uint32_t known;
};

/* ---- by libxml2 ---- */

static xmlXPathObject *look_up(void *data, const xmlChar *name, const xmlChar *space)
{
	(void)space;
	const struct given *given = data;
	double number = 0;
	if (expression_number_named((const char *)name, &number))
		return xmlXPathNewFloat(number);
	int index = variable_index(given->variables, given->count, (const char *)name);
	cr_assert(index >= 0, "%s", (const char *)name);
	const struct tree_value *value = &given->values[index];
	return value->type == TREE_NUMBER    ? xmlXPathNewFloat(value->number)
		: value->type == TREE_YES_NO ? xmlXPathNewBoolean(value->yes)
					     : xmlXPathNewCString(value->word);
}

/* The parameters have the names that CHECK_ARITY asks for. */
static void function_known(xmlXPathParserContext *ctxt, int nargs)
{
	CHECK_ARITY(1);
	xmlChar *name = xmlXPathPopString(ctxt);
	const struct given *given = ctxt->context->funcLookupData;
	int index = variable_index(given->variables, given->count, (const char *)name);
	xmlFree(name);
	valuePush(ctxt, xmlXPathNewBoolean((int)(given->known >> index & 1)));
}

static int by_path(const char *written, struct given *given)
{
	xmlXPathContext *context = xmlXPathNewContext(NULL);
	context->funcLookupData = given;
	xmlXPathRegisterVariableLookup(context, look_up, given);
	xmlXPathRegisterFunc(context, (const xmlChar *)"known", function_known);
	char *named = expression_numbers_named(written);
	xmlXPathObject *result = xmlXPathEval((const xmlChar *)named, context);
	free(named);
	cr_assert(result, "%s", written);
	int yes = xmlXPathCastToBoolean(result);
	xmlXPathFreeObject(result);
	xmlXPathFreeContext(context);
	return yes;
}

/* ---- by the tree ---- */

static struct tree_value read_value(const void *data, int variable)
{
	return ((const struct given *)data)->values[variable];
}

static bool read_known(const void *data, int variable)
{
	return ((const struct given *)data)->known >> variable & 1;
}

static enum truth by_tree(const struct expression_tree *tree, const struct given *given)
{
	const struct tree_reader reader = {.variables = given->variables,
		.count = given->count,
		.value = read_value,
		.known = read_known,
		.data = given};
	return tree_evaluate(tree, &reader);
}

/* ---- values ---- */

static uint64_t seed = 7;

static size_t random_below(size_t count)
{
	seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return (size_t)(seed >> 33) % count;
}

static struct tree_value a_word(const char *word)
{
	return (struct tree_value){.type = TREE_WORD, .word = word, .length = strlen(word)};
}

/* One of the words that the expression names, part of one, or none of them. */
static struct tree_value random_word(struct arena *arena, const char *written)
{
	const char *words[32] = {"", "x"};
	size_t count = 2;
	for (const char *at = written; (at = strpbrk(at, "'\"")) != NULL && count < COUNT(words);) {
		const char *end = strchr(at + 1, *at);
		words[count++] = arena_copy_span(arena, at + 1, (size_t)(end - at - 1));
		at = end + 1;
	}
	const char *word = words[random_below(count)];
	size_t length = strlen(word);
	return a_word(random_below(4) || !length ? word : arena_copy_span(arena, word, random_below(length)));
}

/* One of the numbers that the expression names, to the last digit or a little beside it, or any. */
static double random_number(const char *written)
{
	static const double beside[] = {1, 1, 1 + 1e-15, 1 - 1e-15, 1.5, 0.5, -1};
	double numbers[32] = {0, 1, 2};
	size_t count = 3;
	for (const char *at = written; *at && count < COUNT(numbers);) {
		char *end = NULL;
		double number = strtod(at, &end);
		if (end == at || !strchr("0123456789.", *at)) {
			at++;
			continue;
		}
		numbers[count++] = number;
		at = end;
	}
	return numbers[random_below(count)] * beside[random_below(COUNT(beside))];
}

static void give(struct arena *arena, const char *written, struct given *given)
{
	given->known = (uint32_t)random_below(UINT32_MAX);
	for (size_t i = 0; i < given->count; i++) {
		enum kind kind = given->variables[i].kind;
		given->values[i] = kind == KIND_YES_NO
			? (struct tree_value){.type = TREE_YES_NO, .yes = random_below(2) == 1}
			: kind_is_number(kind)
			? (struct tree_value){.type = TREE_NUMBER, .number = expression_number(random_number(written))}
			: random_word(arena, written);
	}
}

/* False: it is beyond the tree. */
static bool agrees(const char *written, const struct variable *variables, size_t count)
{
	enum { TRIALS = 60 };
	struct arena arena = {0};
	struct given given = {.variables = variables, .count = count};
	struct expression_tree tree = tree_parse(written, variables, count);
	bool whole = tree.nodes != NULL;
	for (int i = 0; i < TRIALS && whole; i++) {
		give(&arena, written, &given);
		enum truth answer = by_tree(&tree, &given);
		whole = answer != PERHAPS;
		cr_assert(!whole || (answer == YES) == by_path(written, &given), "%s is not %s", written,
			answer == YES ? "yes" : "no");
	}
	tree_release(&tree);
	arena_release(&arena);
	return whole;
}

/* ---- the catalogue ---- */

static size_t tried, beyond;

static void try_all(const struct expressions *expressions, const struct variable *variables, size_t count)
{
	for (size_t i = 0; i < expressions->count; i++) {
		tried++;
		beyond += !agrees(expressions->rows[i].written, variables, count);
	}
}

Test(expression_tree, answers_what_libxml2_answers_to_every_expression_of_the_catalogue)
{
	static struct trial trial;
	trial_open(&trial, NULL);
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		struct variable variables[EXPRESSION_VARIABLES];
		for (size_t k = 0; k < rule->input_count; k++)
			variables[k] = (struct variable){rule->inputs[k].name, rule->inputs[k].accepted.kinds[0]};
		try_all(&rule->when, variables, rule->input_count);
		try_all(&rule->met_if, variables, rule->input_count);
		if (rule->assertion)
			try_all(&(struct expressions){.rows = rule->assertion, .count = 1}, variables,
				rule->input_count);
	}
	cr_expect(tried > 400, "%zu expressions", tried);
	cr_expect(20 * beyond < tried, "%zu of %zu are left to libxml2", beyond, tried);
	trial_close(&trial);
}

/* ---- others ---- */

static const struct variable own[] = {{"v", KIND_VELOCITY}, {"limit", KIND_VELOCITY}, {"a", KIND_YES_NO},
	{"b", KIND_YES_NO}, {"w", KIND_WORD}, {"v-1", KIND_VELOCITY}, {"and", KIND_YES_NO}};

Test(expression_tree, answers_what_libxml2_answers_to_others)
{
	static const char *const written[] = {"$v<=0.1", "$v = 1.05", "$v = 0.35 or $v=.35",
		"$v > 2.675 and $limit < 3.", "$v-1 > 2", "$v -1 > 2", "$v - -1 = 3", "- - $v > 1",
		"-$v * 2 + 3 < $limit div 2 - 1", "$v mod 2 = 1", "$v * 2 mod 3 = $limit", "($v + 1) * 2 > $limit",
		"$v > 1 = $a", "$v >= 1 != ($limit <= 2)", "$a or $b and not($a)", "($a or $b) and not($a)",
		"$and and$and", "$a = $b", "$a != true()", "boolean($v)", "not($w)", "$w", "$v",
		"$w = 'a\"b' or $w = \"it's\"", "contains($w, '')", "contains('abcabd', $w) and $a",
		"contains($w, 'abd')", "starts-with($w, 'ab')", "starts-with('ab', $w)",
		"known('v') and not(known( \"w\" ))", "$w != 'x' and $w != ''", "12345678.1234567 > $v", "\t( $a\n)\r"};
	for (size_t i = 0; i < COUNT(written); i++)
		cr_expect(agrees(written[i], own, COUNT(own)), "%s is left to libxml2", written[i]);
}

/* What another function looks at, what XPath would convert, and what is no expression. */
Test(expression_tree, leaves_what_is_beyond_it)
{
	static const char *const written[] = {"string-length($w) > 2", "concat($w, 'x') = 'ax'", "$a = $b = $w",
		"$v < $limit < 2", "$v = $a", "$v.5 > 1", "$v > 1e3", "$v > 1.2.3", "$v > ", "$v $limit", "($a",
		"not($a", "not($a, $b)", "contains($w)", "known($w)", "known('v' )x", "$x", "'open", "", "line",
		"$v | 1", "1 and2", "$v:x"};
	for (size_t i = 0; i < COUNT(written); i++)
		cr_expect(!agrees(written[i], own, COUNT(own)), "taken: %s", written[i]);
}

/* Two rules may hold the same words and name their inputs in another order. */
Test(expression_tree, is_of_the_variables_it_was_parsed_with)
{
	static const struct variable other[] = {{"limit", KIND_VELOCITY}, {"v", KIND_VELOCITY}};
	struct expression_tree tree = tree_parse("$v > $limit", own, COUNT(own));
	struct given given = {.variables = other, .count = COUNT(other)};
	cr_expect(by_tree(&tree, &given) == PERHAPS);
	given = (struct given){.variables = own, .count = COUNT(own)};
	given.values[0] = (struct tree_value){.type = TREE_NUMBER, .number = 2};
	given.values[1] = (struct tree_value){.type = TREE_NUMBER, .number = 1};
	cr_expect(by_tree(&tree, &given) == YES);
	tree_release(&tree);
}
