#include "judge/expression.h"

#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/expression_check.h"
#include "judge/expression_number.h"
#include "judge/expression_tree.h"

enum {
	OPERATIONS = 10000,  /* far above any rule's need, far below a noticeable time */
	TRIED_BOTH_WAYS = 4, /* unknown yes/no variables for which every combination is tried */
	WORDS_TRIED = 24,    /* that an unknown word may be */
	LONGEST_TRIED = 64   /* bytes of such a word */
};

/* Stands for every word that an expression does not name. No description holds a control character. */
static const char OTHER_WORD[] = "\x01";

/* SI: what is nearer to zero is zero for a divisor, so that no quotient overflows (expression_check.c). */
static const double LEAST_DIVISOR = 1e-30;

/* ---- compiling ---- */

/* What is kept of an expression: the tree, and what libxml2 made of it, which is NULL while the tree serves. */
struct compiled {
	struct expression_tree tree;
	xmlXPathCompExpr *path;
};

static struct compiled *compiled_new(const char *written, const struct variable *variables, size_t count)
{
	struct compiled *compiled = checked_calloc(sizeof *compiled);
	compiled->tree = tree_parse(written, variables, count);
	return compiled;
}

static void compiled_release(struct compiled *compiled)
{
	if (!compiled)
		return;
	tree_release(&compiled->tree);
	xmlXPathFreeCompExpr(compiled->path);
	free(compiled);
}

/* NULL: it is not XPath 1.0. */
static xmlXPathCompExpr *path_new(xmlXPathContext *context, const char *written)
{
	char *named = expression_numbers_named(written);
	xmlXPathCompExpr *path = xmlXPathCtxtCompile(context, (const xmlChar *)named);
	free(named);
	return path;
}

static void stay_silent(void *data, xmlErrorPtr error)
{
	(void)data, (void)error;
}

bool expression_compile(struct arena *arena, const char *written, struct place place, const struct variable *variables,
	size_t count, struct problems *problems, struct expression *out)
{
	*out = (struct expression){.written = written, .place = place};
	const char *fault = expression_fault(arena, written, variables, count, out);
	out->compiled = arena_alloc(arena, sizeof *out->compiled);
	if (!fault) {
		struct compiled *compiled = *out->compiled = compiled_new(written, variables, count);
		xmlXPathContext *context = xmlXPathNewContext(NULL);
		if (context) {
			context->error = stay_silent;
			compiled->path = path_new(context, written);
			xmlXPathFreeContext(context);
		}
		if (!compiled->path)
			fault = "the expression is not XPath 1.0";
	}
	if (!fault)
		return true;
	expression_release(out);
	problem_add(problems, PROBLEM_BAD_EXPRESSION, place, "%s: %s", text_quoted(arena, written), fault);
	return false;
}

void expression_release(const struct expression *expression)
{
	compiled_release(*expression->compiled);
	*expression->compiled = NULL;
}

/* ---- evaluating ---- */

struct evaluator {
	xmlXPathContext *context;
	const struct binding *binding;
	uint32_t tried; /* unknown yes/no variables given a trial answer */
	uint32_t trial; /* their answers, by bit of the variable */
	int guessed;	/* the unknown word that is given a trial value, or -1 */
	const char *guess;
};

static bool is_known(const struct quantity *value)
{
	return value && value->known != UNKNOWN && value->bound == BOUND_NONE;
}

static struct tree_value value_of(const struct evaluator *evaluator, int index)
{
	if (evaluator->tried >> index & 1)
		return (struct tree_value){.type = TREE_YES_NO, .yes = evaluator->trial >> index & 1};
	const struct quantity *value = evaluator->binding->values[index];
	const char *word = index == evaluator->guessed ? evaluator->guess : value->word;
	if (index != evaluator->guessed && value->kind == KIND_YES_NO)
		return (struct tree_value){.type = TREE_YES_NO, .yes = value->si > 0};
	if (index != evaluator->guessed && kind_is_number(value->kind))
		return (struct tree_value){.type = TREE_NUMBER, .number = expression_number(value->si)};
	word = word ? word : "";
	return (struct tree_value){.type = TREE_WORD, .word = word, .length = strlen(word)};
}

static bool knows(const struct evaluator *evaluator, int index)
{
	const struct quantity *value = index >= 0 ? evaluator->binding->values[index] : NULL;
	return value && value->known != UNKNOWN;
}

static struct tree_value read_value(const void *data, int index)
{
	return value_of(data, index);
}

static bool read_known(const void *data, int index)
{
	return knows(data, index);
}

static int index_of(const struct evaluator *evaluator, const xmlChar *name)
{
	const struct binding *binding = evaluator->binding;
	return name ? variable_index(binding->variables, binding->count, (const char *)name) : -1;
}

static xmlXPathObject *look_up(void *data, const xmlChar *name, const xmlChar *space)
{
	(void)space;
	const struct evaluator *evaluator = data;
	double number = 0;
	if (expression_number_named((const char *)name, &number))
		return xmlXPathNewFloat(number);
	int index = index_of(evaluator, name);
	if (index < 0)
		abort(); /* expression_check.c refuses what is no variable */
	const struct tree_value value = value_of(evaluator, index);
	return value.type == TREE_NUMBER    ? xmlXPathNewFloat(value.number)
		: value.type == TREE_YES_NO ? xmlXPathNewBoolean(value.yes)
					    : xmlXPathNewCString(value.word);
}

/*
 * known('name'): is anything known of the input of this name, be it only a bound? The parameters have the names that
 * CHECK_ARITY asks for.
 */
static void function_known(xmlXPathParserContext *ctxt, int nargs)
{
	CHECK_ARITY(1);
	xmlChar *name = xmlXPathPopString(ctxt);
	const struct evaluator *evaluator = ctxt->context->funcLookupData;
	int index = index_of(evaluator, name);
	xmlFree(name);
	valuePush(ctxt, xmlXPathNewBoolean(knows(evaluator, index)));
}

struct evaluator *evaluator_new(void)
{
	struct evaluator *evaluator = checked_calloc(sizeof *evaluator);
	evaluator->context = xmlXPathNewContext(NULL);
	if (!evaluator->context)
		abort();
	evaluator->guessed = -1;
	evaluator->context->error = stay_silent;
	evaluator->context->opLimit = OPERATIONS;
	evaluator->context->funcLookupData = evaluator;
	xmlXPathRegisterVariableLookup(evaluator->context, look_up, evaluator);
	xmlXPathRegisterFunc(evaluator->context, (const xmlChar *)"known", function_known);
	return evaluator;
}

void evaluator_release(struct evaluator *evaluator)
{
	xmlXPathFreeContext(evaluator->context);
	free(evaluator);
}

/* What is built in was compiled once, when the program was built: it is so again. */
static struct compiled *compiled_of(const struct evaluator *evaluator, const struct expression *expression)
{
	const struct binding *binding = evaluator->binding;
	if (!*expression->compiled)
		*expression->compiled = compiled_new(expression->written, binding->variables, binding->count);
	return *expression->compiled;
}

static xmlXPathCompExpr *path_of(const struct evaluator *evaluator, const struct expression *expression)
{
	struct compiled *compiled = compiled_of(evaluator, expression);
	if (!compiled->path)
		compiled->path = path_new(evaluator->context, expression->written);
	if (!compiled->path)
		abort();
	return compiled->path;
}

static enum truth evaluate_by_path(struct evaluator *evaluator, const struct expression *expression)
{
	xmlXPathCompExpr *path = path_of(evaluator, expression);
	evaluator->context->opCount = 0;
	int answer = xmlXPathCompiledEvalToBoolean(path, evaluator->context);
	return answer < 0 ? PERHAPS : answer ? YES : NO;
}

static enum truth evaluate_once(struct evaluator *evaluator, const struct expression *expression)
{
	const struct compiled *compiled = compiled_of(evaluator, expression);
	const struct binding *binding = evaluator->binding;
	const struct tree_reader reader = {.variables = binding->variables,
		.count = binding->count,
		.value = read_value,
		.known = read_known,
		.data = evaluator};
	enum truth answer = compiled->tree.nodes ? tree_evaluate(&compiled->tree, &reader) : PERHAPS;
	return answer == PERHAPS ? evaluate_by_path(evaluator, expression) : answer;
}

/* Counts through the subsets of the bits of `all`; after the last comes the empty one. */
static uint32_t next_subset(uint32_t subset, uint32_t all)
{
	return (subset - all) & all;
}

/* Every combination of answers to the unknown yes/no variables: one result for all of them is the result. */
static enum truth evaluate_both_ways(struct evaluator *evaluator, const struct expression *expression, uint32_t tried)
{
	evaluator->tried = tried;
	evaluator->trial = 0;
	enum truth common = evaluate_once(evaluator, expression);
	for (uint32_t trial = next_subset(0, tried); trial && common != PERHAPS; trial = next_subset(trial, tried)) {
		evaluator->trial = trial;
		if (evaluate_once(evaluator, expression) != common)
			common = PERHAPS;
	}
	evaluator->tried = 0;
	return common;
}

/* The words that tell an unknown one from others: those written in the expression and those of its known words. */
struct words {
	char written[WORDS_TRIED][LONGEST_TRIED];
	size_t count;
	bool whole; /* all of them found room */
};

static void add_word(struct words *words, const char *word, size_t length)
{
	words->whole = words->whole && words->count < WORDS_TRIED && length < LONGEST_TRIED;
	if (!words->whole)
		return;
	memcpy(words->written[words->count], word, length);
	words->written[words->count++][length] = '\0';
}

static bool is_word(const struct variable *variable)
{
	return variable->kind == KIND_WORD || variable->kind == KIND_TEXT;
}

static void collect_words(
	const struct expression *expression, const struct binding *binding, int unknown, struct words *words)
{
	*words = (struct words){.whole = !expression->reads_letters};
	for (const char *at = expression->written; (at = strpbrk(at, "'\"")) != NULL;) {
		const char *end = strchr(at + 1, *at);
		add_word(words, at + 1, (size_t)(end - at) - 1);
		at = end + 1;
	}
	for (size_t i = 0; i < binding->count; i++)
		if ((expression->cites >> i & 1) && (int)i != unknown && is_word(&binding->variables[i]))
			add_word(words, binding->values[i]->word, strlen(binding->values[i]->word));
	add_word(words, OTHER_WORD, sizeof OTHER_WORD - 1);
}

/* An unknown word is compared with finitely many: one result for each of them, and for any other, is the result. */
static enum truth evaluate_with_any_word(
	struct evaluator *evaluator, const struct expression *expression, int unknown, uint32_t yes_no)
{
	struct words words;
	enum truth common = PERHAPS;
	collect_words(expression, evaluator->binding, unknown, &words);
	evaluator->guessed = unknown;
	for (size_t i = 0; words.whole && i < words.count; i++) {
		evaluator->guess = words.written[i];
		enum truth one = evaluate_both_ways(evaluator, expression, yes_no);
		if (one == PERHAPS || (i && one != common)) {
			common = PERHAPS;
			break;
		}
		common = one;
	}
	evaluator->guessed = -1;
	return common;
}

/* What an expression cites and is not known: yes/no and one word can be tried out, all else cannot. */
struct gaps {
	uint32_t all, yes_no;
	size_t yes_no_count, other_count;
	int word; /* an unknown word, or -1 */
};

static struct gaps gaps_of(const struct expression *expression, const struct binding *binding)
{
	struct gaps gaps = {.word = -1};
	for (size_t i = 0; i < binding->count && expression->cites >> i; i++) {
		uint32_t bit = (uint32_t)1 << i;
		if (!(expression->cites & bit))
			continue;
		bool known = is_known(binding->values[i]);
		bool zero = known && (expression->divides & bit) && !(fabs(binding->values[i]->si) > LEAST_DIVISOR);
		if (known && !zero)
			continue;
		gaps.all |= bit;
		if (!known && binding->variables[i].kind == KIND_YES_NO) {
			gaps.yes_no |= bit;
			gaps.yes_no_count++;
		} else if (!known && is_word(&binding->variables[i]) && gaps.word < 0)
			gaps.word = (int)i;
		else
			gaps.other_count++;
	}
	return gaps;
}

enum truth expression_evaluate(struct evaluator *evaluator, const struct expression *expression,
	const struct binding *binding, uint32_t *unknown)
{
	struct gaps gaps = gaps_of(expression, binding);
	enum truth answer = PERHAPS;
	evaluator->binding = binding;
	if (!gaps.all)
		answer = evaluate_once(evaluator, expression);
	else if (!gaps.other_count && gaps.yes_no_count <= TRIED_BOTH_WAYS)
		answer = gaps.word < 0 ? evaluate_both_ways(evaluator, expression, gaps.yes_no)
				       : evaluate_with_any_word(evaluator, expression, gaps.word, gaps.yes_no);
	if (unknown && answer == PERHAPS)
		*unknown |= gaps.all;
	return answer;
}

bool expression_value(struct arena *arena, struct evaluator *evaluator, const struct expression *expression,
	const struct binding *binding, uint32_t *unknown, struct expressed *out)
{
	struct gaps gaps = gaps_of(expression, binding);
	evaluator->binding = binding;
	*unknown |= gaps.all;
	if (gaps.all)
		return false;
	xmlXPathCompExpr *path = path_of(evaluator, expression);
	evaluator->context->opCount = 0;
	xmlXPathObject *value = xmlXPathCompiledEval(path, evaluator->context);
	*out = (struct expressed){.kind = KIND_RATIO, .si = value && value->type == XPATH_NUMBER ? value->floatval : 0};
	bool number = value && value->type == XPATH_NUMBER && isfinite(out->si);
	bool word = value && value->type == XPATH_STRING;
	if (word)
		*out = (struct expressed){.kind = KIND_TEXT, .word = arena_copy(arena, (const char *)value->stringval)};
	xmlXPathFreeObject(value);
	return number || word;
}
