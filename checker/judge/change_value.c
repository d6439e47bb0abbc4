#include "judge/change_value.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/change_read.h"
#include "judge/wording.h"
#include "resolve/pipe.h"

enum { DIGITS = 3 };

static const double MUCH_BEYOND = 1.005; /* half a per cent: a factor so far past the limit lands on its good side */
static const double NOISE = 1e-12;	 /* relative: what expressions and conversions leave in the last digits */

static struct changed_value none(const char *why)
{
	return (struct changed_value){.why = why};
}

static struct changed_value as_written(const char *written)
{
	return (struct changed_value){.written = written};
}

const char *change_words(const struct change_context *context, const char *words)
{
	return strchr(words, '{') ? wording_fill(context->arena, words, context->finding, context->table) : words;
}

/* ---- what an expression sees ---- */

static const struct quantity *number(struct arena *arena, double si)
{
	struct quantity *value = arena_alloc(arena, sizeof *value);
	*value = (struct quantity){.known = isnan(si) ? UNKNOWN : STATED, .kind = KIND_RATIO, .si = si};
	return value;
}

static const struct limit_result *limit_of(const struct finding *finding)
{
	const struct limit_result *governing = finding->governing;
	return governing && !governing->limit->says ? governing : NULL;
}

/* What the finding has for an input of its rule; NULL: it says nothing of it. */
static const struct quantity *input_of(const struct finding *finding, const struct rule_input *input)
{
	for (size_t i = 0; i < finding->input_count; i++)
		if (strcmp(finding_input(finding, i).symbol, input->name) == 0)
			return finding->inputs[i].quantity;
	return input->constant ? input->constant : input->absent;
}

static double now_of(const struct change_context *context, const struct item *item, const char *name)
{
	const struct quantity *now = table_peek(context->table, item, context->finding->operating_case, name);
	return now && now->known != UNKNOWN && kind_is_number(now->kind) ? now->si : (double)NAN;
}

/* Evaluates over the inputs of the finding, `limit` and `now`; false: `*lacks` names what is not known. */
static bool express(const struct change_context *context, const struct expression *expression, double now,
	struct expressed *out, const char **lacks)
{
	const struct finding *finding = context->finding;
	const struct limit_result *limit = limit_of(finding);
	struct variable variables[EXPRESSION_VARIABLES];
	const struct quantity *values[EXPRESSION_VARIABLES + 2];
	size_t count = change_variables(finding->rule, variables), inputs = finding->rule->input_count;
	for (size_t i = 0; i < inputs; i++)
		values[i] = input_of(finding, &finding->rule->inputs[i]);
	values[inputs] = number(context->arena, limit ? limit->at : (double)NAN);
	values[inputs + 1] = number(context->arena, now);
	const struct binding binding = {.variables = variables, .values = values, .count = count};
	uint32_t unknown = 0;
	if (expression_value(context->arena, context->evaluator, expression, &binding, &unknown, out))
		return true;
	*lacks = "its value cannot be calculated";
	for (size_t i = 0; i < count; i++)
		if (unknown >> i & 1)
			*lacks = arena_format(context->arena, "%s is not known", variables[i].name);
	return false;
}

/* ---- numbers as a description writes them ---- */

struct unit {
	const char *spelling;
	double factor, offset; /* SI = written * factor + offset */
};

/* "10.5 barg +/- 2 %" has "barg"; "" where it is none of the kind. */
static const char *unit_written(struct arena *arena, const char *written)
{
	char *end;
	const char *digits = written + strcspn(written, "+-.0123456789");
	strtod(digits, &end);
	const char *unit = end + strspn(end, " \t"), *width = strstr(unit, "+/-");
	size_t length = width ? (size_t)(width - unit) : strlen(unit);
	while (length && unit[length - 1] == ' ')
		length--;
	return arena_copy_span(arena, unit, length);
}

static struct unit unit_for(struct arena *arena, enum kind kind, const struct quantity *now)
{
	struct unit unit = {.spelling = kind_unit(kind), .factor = 1};
	const char *written = now && now->written && now->kind == kind ? unit_written(arena, now->written) : "";
	if (*written && unit_find(kind, written, now->datum, &unit.factor, &unit.offset))
		unit.spelling = written;
	else if (!unit_find(kind, unit.spelling, 0, &unit.factor, &unit.offset))
		abort(); /* kinds.def shows units of units.def */
	return unit;
}

/* `noise`: steps that are none. */
static double round_toward(double steps, enum toward toward, double noise)
{
	if (toward == TOWARD_LOWER)
		return floor(steps + noise);
	return toward == TOWARD_HIGHER ? ceil(steps - noise) : round(steps);
}

/* `strict`: the figure itself is not good enough. `scale`: of the numbers that it was calculated from, in its own unit. */
static double rounded(double value, enum kind kind, enum toward toward, bool strict, double scale)
{
	double size = fabs(value) > 0 ? floor(log10(fabs(value))) : 0;
	double step = kind == KIND_COUNT ? 1 : pow(10, size - (DIGITS - 1));
	double number = step * round_toward(value / step, toward, NOISE * scale / step);
	if (strict && fabs(number - value) <= NOISE * scale)
		number += toward == TOWARD_LOWER ? -step : step;
	return number;
}

/* The kind in which the number is stated: that of the value there, of what is judged, else the first its type accepts. */
static enum kind kind_for(
	const struct change_context *context, const struct accepted *accepted, const struct quantity *now)
{
	const struct quantity *judged = context->finding->value;
	for (size_t i = 0; now && i < accepted->count; i++)
		if (accepted->kinds[i] == now->kind)
			return now->kind;
	for (size_t i = 0; judged && i < accepted->count; i++)
		if (accepted->kinds[i] == judged->kind)
			return judged->kind;
	return accepted->kinds[0];
}

static enum toward toward_of(const struct change_context *context, const struct change_part *part)
{
	const struct limit_result *limit = limit_of(context->finding);
	if (*part->toward)
		return strcmp(part->toward, "lower") == 0 ? TOWARD_LOWER : TOWARD_HIGHER;
	if (!limit)
		return TOWARD_ANY;
	enum relation relation = limit->limit->relation;
	return relation == RELATION_AT_MOST || relation == RELATION_BELOW ? TOWARD_LOWER : TOWARD_HIGHER;
}

static bool is_strict(const struct finding *finding)
{
	const struct limit_result *limit = limit_of(finding);
	return limit && (limit->limit->relation == RELATION_BELOW || limit->limit->relation == RELATION_ABOVE);
}

static struct changed_value write_number(const struct change_context *context, const struct change_part *part,
	const struct item *item, const struct accepted *accepted, double si)
{
	const struct quantity *now = table_peek(context->table, item, context->finding->operating_case, part->name);
	enum kind kind = kind_for(context, accepted, now);
	struct unit unit = unit_for(context->arena, kind, now);
	enum toward toward = toward_of(context, part);
	double shown = rounded((si - unit.offset) / unit.factor, kind, toward, is_strict(context->finding),
		(fabs(si) + fabs(unit.offset)) / unit.factor);
	double least, largest;
	kind_range(kind, &least, &largest);
	si = shown * unit.factor + unit.offset;
	if (!(si >= least && si <= largest))
		return none("the value calculated is not possible");
	return (struct changed_value){
		.written = arena_format(context->arena, "%.6g%s%s", shown, *unit.spelling ? " " : "", unit.spelling),
		.number = true,
		.si = si,
		.toward = toward};
}

/* ---- the ways to say a value ---- */

static struct changed_value calculated(
	const struct change_context *context, const struct change_part *part, const struct item *item)
{
	const struct vocabulary_attribute *attribute = vocabulary_attribute(item->meaning, part->name);
	const char *lacks = NULL;
	struct expressed value;
	if (!express(context, part->to, now_of(context, item, part->name), &value, &lacks))
		return none(lacks);
	bool number = kind_is_number(attribute->type->accepted.kinds[0]);
	if (number != (value.kind != KIND_TEXT))
		return none("what is calculated is of another sort than the attribute");
	if (number)
		return write_number(context, part, item, &attribute->type->accepted, value.si);
	return as_written(value.word);
}

static struct changed_value multiplied(
	const struct change_context *context, const struct change_part *part, const struct item *item)
{
	const char *lacks = NULL;
	struct expressed value;
	double now = part->verb == CHANGE_SET ? now_of(context, item, part->name) : (double)NAN;
	if (!express(context, part->times, now, &value, &lacks))
		return none(lacks);
	if (value.kind == KIND_TEXT || !(value.si > 0))
		return none("the factor calculated is none");
	bool rises = value.si > 1;
	double factor = rises ? value.si * MUCH_BEYOND : value.si / MUCH_BEYOND;
	return (struct changed_value){
		.factor = rounded(factor, KIND_RATIO, rises ? TOWARD_HIGHER : TOWARD_LOWER, false, factor)};
}

static struct changed_value next_of_table(
	const struct change_context *context, const struct change_part *part, const struct item *item)
{
	int operating_case = context->finding->operating_case;
	const struct quantity *size = table_peek(context->table, item, operating_case, "size"),
			      *schedule = table_peek(context->table, item, operating_case, "schedule");
	struct pipe pipe;
	if (strcmp(part->step, "size-that-meets") == 0)
		return wording_pipe_that_meets(context->finding, context->table, &pipe)
			? as_written(pipe.size)
			: none("no pipe of the table meets the limit, or its schedule is not known");
	if (!size || !size->word || !schedule || !schedule->word)
		return none("size and schedule are not both known");
	if (strcmp(part->step, "next-size") == 0)
		return pipe_next(size->word, schedule->word, &pipe) ? as_written(pipe.size)
								    : none("no larger pipe is in the table");
	return pipe_next_schedule(size->word, schedule->word, &pipe) ? as_written(pipe.schedule)
								     : none("no heavier schedule is in the table");
}

struct changed_value change_value(
	const struct change_context *context, const struct change_part *part, const struct item *item)
{
	if (part->verb == CHANGE_SET && !(item->meaning && vocabulary_attribute(item->meaning, part->name)))
		return none(arena_format(context->arena, "a %s carries no %s", item->kind, part->name));
	if (part->times)
		return multiplied(context, part, item);
	if (part->to)
		return calculated(context, part, item);
	if (*part->step)
		return next_of_table(context, part, item);
	const char *words = change_words(context, part->is);
	return *words ? as_written(words) : none("what it is to become is not known");
}
