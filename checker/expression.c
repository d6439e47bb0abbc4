#include "expression.h"

#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "text.h"

enum {
	LONGEST = 2000,	    /* bytes: some ten times a long rule's; also bounds how deep libxml2's parser goes */
	OPERATIONS = 10000, /* far above any rule's need, far below a noticeable time */
	TRIED_BOTH_WAYS = 4 /* unknown yes/no variables for which every combination is tried */
};

/*
 * Core functions that look at values only. `known` is ours. There is no `number`: of a word it makes NaN, which no comparison
 * holds for and every negated one does.
 */
static const char functions[] = "not contains starts-with concat string-length string boolean floor ceiling round true "
				"false translate normalize-space substring substring-before substring-after known";
static const char of_yes_no[] = "not boolean true false contains starts-with known";
static const char of_number[] = "string-length floor ceiling round";
static const char operators[] = "and or div mod";

/* What an operand is. XPath would compare across sorts by converting: a word to NaN, 'no' to true. */
enum sort { SORT_ANY, SORT_NUMBER, SORT_WORD, SORT_YES_NO };

/* A parenthesis that is open: of a call with its result, or of a group (SORT_ANY). */
struct open {
	enum sort result;
	bool compares; /* the group holds a comparison: it is a yes or no */
};

enum { DEEPEST = 100 };

/* ---- compiling ---- */

struct lexer {
	const char *start, *at;
	struct arena *arena;
	const struct variable *variables;
	size_t count;
	uint32_t cites, divides;
	enum sort last;	  /* of the operand just read; SORT_ANY behind an operator */
	enum sort wanted; /* of the next operand */
	bool compares;	  /* since the innermost parenthesis */
	struct open open[DEEPEST];
	size_t depth;
	const char *fault;
};

static const char *sort_word(enum sort sort)
{
	return sort == SORT_NUMBER ? "a number" : sort == SORT_WORD ? "a word" : "a yes or no";
}

static void take_operand(struct lexer *lexer, enum sort sort)
{
	if (lexer->wanted != SORT_ANY && lexer->wanted != sort)
		lexer->fault = arena_format(
			lexer->arena, "%s stands where %s is needed", sort_word(sort), sort_word(lexer->wanted));
	lexer->last = sort;
	lexer->wanted = SORT_ANY;
}

/* Between the operands of arithmetic and of < and > stand numbers, of = and != two of one sort. */
static void take_operator(struct lexer *lexer, enum sort sort, bool compares)
{
	if (sort == SORT_NUMBER && lexer->last != SORT_ANY && lexer->last != SORT_NUMBER)
		lexer->fault = arena_format(lexer->arena, "%s stands where a number is needed", sort_word(lexer->last));
	lexer->wanted = sort;
	lexer->last = SORT_ANY;
	lexer->compares = lexer->compares || compares;
}

static void open_parenthesis(struct lexer *lexer, enum sort result)
{
	if (lexer->depth == DEEPEST) {
		lexer->fault = arena_format(lexer->arena, "more than %d parentheses in each other", DEEPEST);
		return;
	}
	lexer->open[lexer->depth++] = (struct open){.result = result, .compares = lexer->compares};
	lexer->compares = false;
	lexer->last = SORT_ANY;
}

static void close_parenthesis(struct lexer *lexer)
{
	if (lexer->depth == 0)
		return; /* XPath's own parser says so */
	struct open open = lexer->open[--lexer->depth];
	lexer->last = open.result != SORT_ANY ? open.result : lexer->compares ? SORT_YES_NO : lexer->last;
	lexer->compares = open.compares;
	lexer->wanted = SORT_ANY;
}

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

static enum sort sort_of(enum kind kind)
{
	return kind == KIND_YES_NO ? SORT_YES_NO : kind_is_number(kind) ? SORT_NUMBER : SORT_WORD;
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
	if (index >= 0)
		take_operand(lexer, sort_of(lexer->variables[index].kind));
}

static const char *after_blanks(const char *at)
{
	return at + strspn(at, " \t\r\n");
}

/* known(...) asks by name, in quotes: a misspelt one would always be unknown. */
static void check_known(struct lexer *lexer, const char *argument)
{
	const char *end = strchr("'\"", *argument) && *argument ? strchr(argument + 1, *argument) : NULL;
	if (!end || *after_blanks(end + 1) != ')') {
		lexer->fault = "known() takes one name in quotes";
		return;
	}
	const char *name = arena_copy_span(lexer->arena, argument + 1, (size_t)(end - argument - 1));
	if (variable_index(lexer->variables, lexer->count, name) < 0)
		lexer->fault = no_variable(lexer, name);
}

/* Without an argument most functions look at the node they stand on, and there is none. */
static void take_call(struct lexer *lexer, const char *function)
{
	bool constant = strcmp(function, "true") == 0 || strcmp(function, "false") == 0;
	lexer->at = after_blanks(lexer->at) + 1;
	const char *argument = after_blanks(lexer->at);
	if ((*argument == ')') != constant)
		lexer->fault = arena_format(
			lexer->arena, "%s() %s", function, constant ? "takes no argument" : "needs an argument");
	else if (strcmp(function, "known") == 0)
		check_known(lexer, argument);
	enum sort result = text_has_word(of_yes_no, function) ? SORT_YES_NO
		: text_has_word(of_number, function)	      ? SORT_NUMBER
							      : SORT_WORD;
	take_operand(lexer, result);
	open_parenthesis(lexer, result);
	if (result == SORT_NUMBER && strcmp(function, "string-length") != 0)
		lexer->wanted = SORT_NUMBER;
}

/* 0 div 0 is NaN: a divisor is one variable or number, so that a zero is seen before it divides. */
static void check_divisor(struct lexer *lexer)
{
	const char *divisor = after_blanks(lexer->at);
	if (*divisor == '$') {
		struct lexer ahead = *lexer;
		ahead.at = divisor + 1;
		int index = variable_index(lexer->variables, lexer->count, take_name(&ahead));
		if (index >= 0)
			lexer->divides |= (uint32_t)1 << index;
	} else if (!(strtod(divisor, NULL) > 0)) {
		lexer->fault = "div and mod take one variable or one number above zero behind them";
	}
}

/* A word is an operator, and an asterisk multiplies, only behind an operand: elsewhere they mean elements. */
static void take_word(struct lexer *lexer)
{
	char *word = take_name(lexer);
	const char *next = after_blanks(lexer->at);
	if (*next == '(' && text_has_word(functions, word)) {
		take_call(lexer, word);
		return;
	}
	if (text_has_word(operators, word) && lexer->last != SORT_ANY) {
		bool divides = strcmp(word, "div") == 0 || strcmp(word, "mod") == 0;
		take_operator(lexer, divides ? SORT_NUMBER : SORT_ANY, !divides);
		if (divides)
			check_divisor(lexer);
		return;
	}
	lexer->fault = arena_format(lexer->arena,
		"'%s': only variables ($name), text in quotes, numbers and the functions %s may stand here; an "
		"expression has no "
		"document to look at",
		word, functions);
}

static void take_string(struct lexer *lexer)
{
	const char *end = strchr(lexer->at + 1, *lexer->at);
	if (!end) {
		lexer->fault = "a quote is not closed";
		return;
	}
	lexer->at = end + 1;
	take_operand(lexer, SORT_WORD);
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

static void take_number(struct lexer *lexer)
{
	while (is_digit(*lexer->at) || *lexer->at == '.')
		lexer->at++;
	take_operand(lexer, SORT_NUMBER);
}

static void take_comparison(struct lexer *lexer)
{
	bool order = *lexer->at == '<' || *lexer->at == '>';
	lexer->at += lexer->at[0] != '=' && lexer->at[1] == '=' ? 2 : 1;
	take_operator(lexer, order ? SORT_NUMBER : lexer->last, true);
}

static void take_sign(struct lexer *lexer)
{
	char c = *lexer->at++;
	if (c == '(')
		open_parenthesis(lexer, SORT_ANY);
	else if (c == ')')
		close_parenthesis(lexer);
	else if (c == ',')
		take_operator(lexer, SORT_ANY, false);
	else
		take_operator(lexer, SORT_NUMBER, false);
}

/* The checks libxml2 cannot make: what is cited, that nothing but values is looked at, and that sorts agree. */
static void lex(struct lexer *lexer)
{
	while (*lexer->at && !lexer->fault) {
		char c = *lexer->at;
		if (strchr(" \t\r\n", c))
			lexer->at++;
		else if (c == '$')
			take_variable(lexer);
		else if (c == '\'' || c == '"')
			take_string(lexer);
		else if (name_start(c))
			take_word(lexer);
		else if (is_digit(c) || (c == '.' && in_number(lexer)))
			take_number(lexer);
		else if (strchr("<>=!", c))
			take_comparison(lexer);
		else if (strchr("()+-,", c) || (c == '*' && lexer->last != SORT_ANY))
			take_sign(lexer);
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
	if (strlen(written) > LONGEST)
		lexer.fault = arena_format(arena, "an expression is at most %d characters long", LONGEST);
	else
		lex(&lexer);
	*out = (struct expression){.written = written, .cites = lexer.cites, .divides = lexer.divides, .place = place};
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
		problem_add(
			problems, PROBLEM_BAD_EXPRESSION, place, "%s: %s", text_quoted(arena, written), lexer.fault);
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
	for (size_t i = 0; i < binding->count; i++)
		if ((expression->divides >> i & 1) && is_known(binding->values[i]) &&
			!(fabs(binding->values[i]->si) > 0)) {
			missing |= (uint32_t)1 << i;
			all_yes_no = false;
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
