#include "judge/expression.h"

#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/expression_check.h"

enum {
	OPERATIONS = 10000, /* far above any rule's need, far below a noticeable time */
	TRIED_BOTH_WAYS = 4 /* unknown yes/no variables for which every combination is tried */
};

/* SI: what is nearer to zero is zero for a divisor, so that no quotient overflows (expression_check.c). */
static const double LEAST_DIVISOR = 1e-30;

/* ---- compiling ---- */

static void stay_silent(void *data, xmlErrorPtr error)
{
	(void)data, (void)error;
}

bool expression_compile(struct arena *arena, const char *written, struct place place, const struct variable *variables,
	size_t count, struct problems *problems, struct expression *out)
{
	*out = (struct expression){.written = written, .place = place};
	const char *fault = expression_fault(arena, written, variables, count, out);
	if (!fault) {
		xmlXPathContext *context = xmlXPathNewContext(NULL);
		if (context) {
			context->error = stay_silent;
			out->compiled = xmlXPathCtxtCompile(context, (const xmlChar *)written);
			xmlXPathFreeContext(context);
		}
		if (!out->compiled)
			fault = "the expression is not XPath 1.0";
	}
	if (fault)
		problem_add(problems, PROBLEM_BAD_EXPRESSION, place, "%s: %s", text_quoted(arena, written), fault);
	return !fault;
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
			!(fabs(binding->values[i]->si) > LEAST_DIVISOR)) {
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
