#include "expression.h"

#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <stdlib.h>
#include <string.h>

#include "text.h"

enum {
	OPERATIONS = 10000, /* far above any rule's need, far below a noticeable time */
	TRIED_BOTH_WAYS = 4 /* unknown yes/no variables for which every combination is tried */
};

/* Core functions that look at values only. `known` is ours. */
static const char functions[] =
	"not contains starts-with concat string-length number string boolean floor ceiling round true "
	"false translate normalize-space substring substring-before substring-after known";
static const char operators[] = "and or div mod";

/* ---- compiling ---- */

struct lexer {
	const char *start, *at;
	struct arena *arena;
	const struct variable *variables;
	size_t count;
	uint32_t cites;
	const char *fault;
};

static bool name_start(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static bool name_part(char c)
{
	return name_start(c) || (c >= '0' && c <= '9') || c == '-';
}

static char *take_name(struct lexer *lexer)
{
	size_t length = 0;
	while (name_part(lexer->at[length]))
		length++;
	char *name = arena_copy_span(lexer->arena, lexer->at, length);
	lexer->at += length;
	return name;
}

static int variable_index(const struct variable *variables, size_t count, const char *name)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(variables[i].name, name) == 0)
			return (int)i;
	return -1;
}

static const char *no_variable(struct lexer *lexer, const char *name)
{
	const char **names = arena_alloc(lexer->arena, (lexer->count + 1) * sizeof *names);
	for (size_t i = 0; i < lexer->count; i++)
		names[i] = lexer->variables[i].name;
	const char *nearest = text_nearest(name, names, lexer->count);
	return arena_format(lexer->arena, "$%s is no input or constant of this rule%s%s%s", name,
		nearest ? "; did you mean $" : "", nearest ? nearest : "", nearest ? "?" : "");
}

static void take_variable(struct lexer *lexer)
{
	lexer->at++;
	char *name = take_name(lexer);
	int index = variable_index(lexer->variables, lexer->count, name);
	if (index < 0)
		lexer->fault = no_variable(lexer, name);
	else
		lexer->cites |= (uint32_t)1 << index;
}

static void take_word(struct lexer *lexer)
{
	char *word = take_name(lexer);
	size_t blanks = strspn(lexer->at, " \t\r\n");
	if (text_has_word(operators, word) || (lexer->at[blanks] == '(' && text_has_word(functions, word)))
		return;
	lexer->fault = arena_format(lexer->arena,
		"'%s': only variables ($name), text in quotes, numbers and the functions %s may stand here; an "
		"expression has no "
		"document to look at",
		word, functions);
}

static void take_string(struct lexer *lexer)
{
	const char *end = strchr(lexer->at + 1, *lexer->at);
	if (end)
		lexer->at = end + 1;
	else
		lexer->fault = "a quote is not closed";
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* A lone dot is the context node. */
static bool in_number(const struct lexer *lexer)
{
	return is_digit(lexer->at[1]) || (lexer->at > lexer->start && is_digit(lexer->at[-1]));
}

/* An asterisk multiplies when something stands before it; else it means any element. */
static bool after_operand(const struct lexer *lexer)
{
	const char *before = lexer->at;
	while (before > lexer->start && strchr(" \t\r\n", before[-1]))
		before--;
	return before > lexer->start && (name_part(before[-1]) || strchr(")'\"", before[-1]));
}

/* The checks libxml2 cannot make: what is cited, and that nothing but values is looked at. */
static void lex(struct lexer *lexer)
{
	while (*lexer->at && !lexer->fault) {
		char c = *lexer->at;
		if (c == '$')
			take_variable(lexer);
		else if (c == '\'' || c == '"')
			take_string(lexer);
		else if (name_start(c))
			take_word(lexer);
		else if (strchr("0123456789 \t\r\n()=!<>+-,", c) || (c == '.' && in_number(lexer)) ||
			(c == '*' && after_operand(lexer)))
			lexer->at++;
		else
			lexer->fault =
				arena_format(lexer->arena, "'%c' may not stand in an expression: paths are refused", c);
	}
}

static void stay_silent(void *data, xmlErrorPtr error)
{
	(void)data, (void)error;
}

bool expression_compile(struct arena *arena, const char *written, struct place place, const struct variable *variables,
	size_t count, struct problems *problems, struct expression *out)
{
	struct lexer lexer = {.start = written, .at = written, .arena = arena, .variables = variables, .count = count};
	lex(&lexer);
	*out = (struct expression){.written = written, .cites = lexer.cites, .place = place};
	if (!lexer.fault) {
		xmlXPathContext *context = xmlXPathNewContext(NULL);
		if (context) {
			context->error = stay_silent;
			out->compiled = xmlXPathCtxtCompile(context, (const xmlChar *)written);
			xmlXPathFreeContext(context);
		}
		if (!out->compiled)
			lexer.fault = "the expression is not XPath 1.0";
	}
	if (lexer.fault)
		problem_add(problems, PROBLEM_BAD_EXPRESSION, place, "%s: %s", written, lexer.fault);
	return !lexer.fault;
}

void expression_release(const struct expression *expression)
{
	xmlXPathFreeCompExpr(expression->compiled);
}

/* ---- evaluating ---- */

struct evaluator {
	xmlXPathContext *context;
	const struct binding *binding;
	uint32_t tried; /* unknown yes/no variables given a trial answer */
	uint32_t trial; /* their answers, by bit of the variable */
};

static bool is_known(const struct quantity *value)
{
	return value && value->known != UNKNOWN && value->bound == BOUND_NONE;
}

static xmlXPathObject *look_up(void *data, const xmlChar *name, const xmlChar *space)
{
	(void)space;
	const struct evaluator *evaluator = data;
	const struct binding *binding = evaluator->binding;
	int index = variable_index(binding->variables, binding->count, (const char *)name);
	if (index < 0)
		return NULL;
	if (evaluator->tried >> index & 1)
		return xmlXPathNewBoolean((int)(evaluator->trial >> index & 1));
	const struct quantity *value = binding->values[index];
	if (value->kind == KIND_YES_NO)
		return xmlXPathNewBoolean(value->si > 0);
	return kind_is_number(value->kind) ? xmlXPathNewFloat(value->si) : xmlXPathNewCString(value->word);
}

/* known('name'): is anything known of the input of this name, be it only a bound? The parameters have the names that CHECK_ARITY asks for. */
static void function_known(xmlXPathParserContext *ctxt, int nargs)
{
	CHECK_ARITY(1);
	xmlChar *name = xmlXPathPopString(ctxt);
	const struct evaluator *evaluator = ctxt->context->funcLookupData;
	const struct binding *binding = evaluator->binding;
	int index = name ? variable_index(binding->variables, binding->count, (const char *)name) : -1;
	xmlFree(name);
	const struct quantity *value = index >= 0 ? binding->values[index] : NULL;
	valuePush(ctxt, xmlXPathNewBoolean(value && value->known != UNKNOWN));
}

struct evaluator *evaluator_new(void)
{
	struct evaluator *evaluator = arena_system_alloc(sizeof *evaluator);
	evaluator->context = xmlXPathNewContext(NULL);
	if (!evaluator->context)
		abort();
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

static enum truth evaluate_once(struct evaluator *evaluator, const struct expression *expression)
{
	evaluator->context->opCount = 0;
	int answer = xmlXPathCompiledEvalToBoolean(expression->compiled, evaluator->context);
	return answer < 0 ? PERHAPS : answer ? YES : NO;
}

/* Every combination of answers to the unknown yes/no variables: one result for all of them is the result. */
static enum truth evaluate_both_ways(struct evaluator *evaluator, const struct expression *expression, uint32_t tried)
{
	enum truth common = PERHAPS;
	evaluator->tried = tried;
	uint32_t trial = 0;
	do {
		evaluator->trial = trial;
		enum truth one = evaluate_once(evaluator, expression);
		if (one == PERHAPS || (trial && one != common)) {
			common = PERHAPS;
			break;
		}
		common = one;
		trial = (trial - tried) & tried; /* next subset of `tried` */
	} while (trial);
	evaluator->tried = 0;
	return common;
}

enum truth expression_evaluate(struct evaluator *evaluator, const struct expression *expression,
	const struct binding *binding, uint32_t *unknown)
{
	uint32_t missing = 0;
	bool all_yes_no = true;
	size_t missing_count = 0;
	for (size_t i = 0; i < binding->count; i++)
		if ((expression->cites >> i & 1) && !is_known(binding->values[i])) {
			missing |= (uint32_t)1 << i;
			missing_count++;
			all_yes_no = all_yes_no && binding->variables[i].kind == KIND_YES_NO;
		}
	evaluator->binding = binding;
	enum truth answer = PERHAPS;
	if (!missing)
		answer = evaluate_once(evaluator, expression);
	else if (all_yes_no && missing_count <= TRIED_BOTH_WAYS)
		answer = evaluate_both_ways(evaluator, expression, missing);
	if (unknown && answer == PERHAPS)
		*unknown |= missing;
	return answer;
}

enum truth truth_and(enum truth a, enum truth b)
{
	return a == NO || b == NO ? NO : a == YES && b == YES ? YES : PERHAPS;
}

enum truth truth_or(enum truth a, enum truth b)
{
	return a == YES || b == YES ? YES : a == NO && b == NO ? NO : PERHAPS;
}
