#include "judge/rule_read.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/change_read.h"
#include "judge/evidence.h"
#include "judge/late.h"
#include "compute/computed.h"
#include "resolve/equipment.h"

enum { LONGEST_ID = 40 };

/* The rule being read, with what its parts need of it. */
struct rule_reader {
	struct catalogue_builder *builder;
	const struct element *element;
	struct rule *rule;
	struct rule_input *inputs;
	struct variable variables[EXPRESSION_VARIABLES];
};

static bool is_yes(const struct element *element, const char *name)
{
	return strcmp(element_attribute_or(element, name, "no"), "yes") == 0;
}

static size_t count_children(const struct element *element, const char *name)
{
	size_t count = 0;
	for (size_t i = 0; i < element->child_count; i++)
		count += element_is(element->children[i], name);
	return count;
}

static const char *all_kinds(struct arena *arena)
{
	struct text text = text_in(arena);
	for (int kind = 0; kind < QUANTITY_KINDS; kind++)
		text_addf(&text, "%s%s", kind ? ", " : "", kind_name((enum kind)kind));
	return text.data;
}

static struct accepted kinds_of(struct catalogue_builder *builder, const struct element *element)
{
	struct accepted accepted = {.count = 0};
	const char *written = element_attribute_or(element, "kind", "");
	for (const char *at = written; *at;) {
		size_t length = strcspn(at, "|");
		const char *name = arena_copy_span(builder->arena, at, length);
		bool room = accepted.count < COUNT(accepted.kinds);
		if (!room || !kind_from_name(name, &accepted.kinds[accepted.count]))
			problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, "kind"),
				"'%s' is no kind of quantity; allowed, up to %zu separated by |: %s", name,
				COUNT(accepted.kinds), all_kinds(builder->arena));
		else
			accepted.count++;
		at += length + (at[length] == '|');
	}
	if (accepted.count == 0) {
		accepted.kinds[0] = KIND_TEXT;
		accepted.count = 1;
	}
	return accepted;
}

static void add_input(struct rule_reader *reader, struct rule_input input)
{
	struct rule *rule = reader->rule;
	for (size_t i = 0; i < rule->input_count; i++)
		if (strcmp(rule->inputs[i].name, input.name) == 0)
			problem_add(reader->builder->problems, PROBLEM_DUPLICATE, input.place,
				"'%s' occurs twice in %s", input.name, rule->id);
	if (rule->input_count == EXPRESSION_VARIABLES) {
		problem_add(reader->builder->problems, PROBLEM_BAD_RULE, input.place,
			"more than %d inputs and constants in %s", EXPRESSION_VARIABLES, rule->id);
		return;
	}
	reader->variables[rule->input_count] = (struct variable){.name = input.name, .kind = input.accepted.kinds[0]};
	reader->inputs[rule->input_count++] = input;
}

static bool is_only_computed(const char *quantity)
{
	for (size_t i = 0; computed_name(i); i++)
		if (strcmp(computed_name(i), quantity) == 0)
			return true;
	return false;
}

static void read_input(struct rule_reader *reader, const struct element *element)
{
	struct catalogue_builder *builder = reader->builder;
	const char *absent = element_attribute_or(element, "absent", "not judged");
	struct rule_input input = {
		.name = element_attribute(element, "name"),
		.quantity = element_attribute(element, "quantity"),
		.of = element_attribute_or(element, "of", ""),
		.as = element_attribute_or(element, "as", ""),
		.absent_why = element_attribute_or(element, "absent-why", ""),
		.accepted = kinds_of(builder, element),
		.place = element->place,
	};
	input.only_computed = *input.as && is_only_computed(input.quantity);
	if (strcmp(absent, "not judged") != 0) {
		const struct quantity *value = rule_value(builder->arena, absent, input.name, input.accepted,
			element_attribute_place(element, "absent"), builder->problems);
		struct quantity *assumed = arena_alloc(builder->arena, sizeof *assumed);
		if (value) {
			*assumed = *value;
			assumed->known = ASSUMED;
			assumed->silent = true;
			assumed->reason = arena_format(builder->arena, "taken by %s where it is not stated%s%s",
				reader->rule->id, *input.absent_why ? ": " : "", input.absent_why);
		}
		input.absent = assumed;
	} else if (*input.absent_why) {
		problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, "absent-why"),
			"%s says why '%s' may be absent, but not what is taken then (absent)", reader->rule->id,
			input.name);
	}
	add_input(reader, input);
}

static void no_source(struct catalogue_builder *builder, const char *key, struct place place)
{
	size_t count = builder->catalogue->source_count;
	const char **keys = arena_alloc(builder->arena, count * sizeof *keys);
	for (size_t i = 0; i < count; i++)
		keys[i] = builder->sources[i].key;
	const char *nearest = text_nearest(key, keys, count);
	problem_add(builder->problems, PROBLEM_NO_SUCH_SOURCE, place, "no source has the key '%s'%s%s%s", key,
		nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

static const struct source *cited_source(struct catalogue_builder *builder, const struct element *element)
{
	const char *key = element_attribute(element, "source");
	const struct source *source = key ? catalogue_builder_source(builder, key) : NULL;
	if (key && !source)
		no_source(builder, key, element_attribute_place(element, "source"));
	return source;
}

static void read_constant(struct rule_reader *reader, const struct element *element)
{
	struct catalogue_builder *builder = reader->builder;
	struct rule_input input = {
		.name = element_attribute(element, "name"),
		.quantity = "",
		.of = "",
		.as = "",
		.absent_why = "",
		.accepted = kinds_of(builder, element),
		.source = cited_source(builder, element),
		.clause = element_attribute_or(element, "clause", ""),
		.reading = reading_from_word(element_attribute(element, "known")),
		.place = element->place,
	};
	input.constant = rule_value(builder->arena, element_attribute(element, "value"), input.name, input.accepted,
		element_attribute_place(element, "value"), builder->problems);
	add_input(reader, input);
}

/* The kinds that an attribute names, its classes expanded. */
static const char *read_kinds(struct catalogue_builder *builder, const struct element *element, const char *attribute)
{
	return equipment_expand(builder->arena, element_attribute(element, attribute),
		element_attribute_place(element, attribute), builder->problems);
}

struct conditions catalogue_builder_conditions(
	struct catalogue_builder *builder, const struct element *element, const char *except)
{
	struct condition *rows = arena_alloc(builder->arena, element->attribute_count * sizeof *rows);
	struct conditions conditions = {.rows = rows};
	for (size_t i = 0; i < element->attribute_count; i++) {
		const char *name = element->attributes[i].meaning->name;
		if (!text_has_word(except, name))
			rows[conditions.count++] = (struct condition){.name = name,
				.words = strcmp(name, "item") == 0 && element_is(element, "limit")
					? read_kinds(builder, element, name)
					: element->attributes[i].written};
	}
	return conditions;
}

const struct expression *catalogue_builder_compile(struct catalogue_builder *builder, const struct element *element,
	const char *attribute, const struct variable *variables, size_t count)
{
	struct expression *expression = arena_alloc(builder->arena, sizeof *expression);
	if (!expression_compile(builder->arena, element_attribute(element, attribute),
		    element_attribute_place(element, attribute), variables, count, builder->problems, expression))
		return expression;
	struct expressions *every = &builder->catalogue->every;
	builder->every = arena_grow(
		builder->arena, builder->every, every->count, &builder->every_capacity, sizeof *builder->every);
	builder->every[every->count++] = *expression;
	every->rows = builder->every;
	return expression;
}

static const struct expression *compile(
	struct rule_reader *reader, const struct element *element, const char *attribute)
{
	return catalogue_builder_compile(
		reader->builder, element, attribute, reader->variables, reader->rule->input_count);
}

static struct expressions compile_all(struct rule_reader *reader, const char *name)
{
	size_t count = count_children(reader->element, name);
	struct expression *rows = arena_alloc(reader->builder->arena, count * sizeof *rows);
	struct expressions expressions = {.rows = rows};
	for (size_t i = 0; i < reader->element->child_count; i++) {
		const struct element *element = reader->element->children[i];
		if (!element_is(element, name))
			continue;
		rows[expressions.count] = *compile(reader, element, "test");
		rows[expressions.count++].first = strcmp(element_attribute_or(element, "first", "no"), "yes") == 0;
	}
	return expressions;
}

/*
 * Half of the last digit of a figure as its source prints it, in SI: of "6 ft/s" half a foot per second, of "0.35" 0.005. The zero that
 * ends a whole number is no digit: of "1150 degF" 5 degF. Read as the difference of the figure and the one that follows it.
 */
static double half_digit_of(struct catalogue_builder *builder, const struct element *element, const struct limit *limit,
	struct accepted accepted)
{
	const char *written = limit->value.written;
	size_t digits = strspn(written, "-0123456789."), whole = strcspn(written, ".");
	double step = 1, number = strtod(written, NULL);
	for (size_t i = whole + 1; i < digits; i++)
		step /= 10;
	if (whole >= digits && digits > 1 && written[digits - 1] == '0')
		step *= 10;
	const char *next = arena_format(builder->arena, "%.12g%s", number + step, written + digits);
	const struct quantity *value =
		rule_value(builder->arena, next, "as-printed", accepted, element->place, builder->problems);
	return value ? fabs(value->si - limit->value.si) / 2 : 0;
}

static struct limit read_limit(struct rule_reader *reader, const struct element *element)
{
	struct catalogue_builder *builder = reader->builder;
	struct limit limit = {
		.says = element_attribute(element, "says"),
		.name = element_attribute_or(element, "name", ""),
		.clause = element_attribute_or(element, "clause", ""),
		.confidence = element_attribute_or(element, "confidence", ""),
		.source = cited_source(builder, element),
		.reading = reading_from_word(element_attribute(element, "known")),
		.where = element_attribute_or(element, "where", ""),
		.narrowing = catalogue_builder_conditions(builder, element,
			"at-most below at-least above says name source clause known confidence where when context "
			"governs evidence as-printed"),
		.context = is_yes(element, "context"),
		.governs = is_yes(element, "governs"),
		.place = element->place,
	};
	struct accepted accepted = {.kinds = {KIND_TEXT}, .count = 1};
	if (reader->rule->judged >= 0)
		accepted = reader->inputs[reader->rule->judged].accepted;
	const char *evidence = element_attribute(element, "evidence");
	limit.evidence = evidence ? evidence_from_word(evidence)
		: limit.source	  ? limit.source->evidence
				  : EVIDENCE_PRACTICE;
	size_t before = builder->problems->count;
	bool numbered = limit_value(builder->arena, element, accepted, builder->problems, &limit);
	bool faulty = builder->problems->count != before;
	if (numbered && !element_attribute(reader->element, "judged"))
		problem_add(builder->problems, PROBLEM_BAD_RULE, element->place,
			"%s has a limit with a number but does not say which input is judged", reader->rule->id);
	if (!faulty && numbered == (limit.says != NULL))
		problem_add(builder->problems, PROBLEM_BAD_RULE, element->place,
			"a limit of %s needs a number (at-most, below, at-least, above) or words (says), one of them",
			reader->rule->id);
	bool printed = is_yes(element, "as-printed");
	if (printed && (!numbered || limit.relation == RELATION_BELOW || limit.relation == RELATION_ABOVE))
		problem_add(builder->problems, PROBLEM_BAD_RULE, element->place,
			"a limit of %s is held as printed (as-printed) only at its own figure: at-most or at-least",
			reader->rule->id);
	else if (printed && !faulty)
		limit.half_digit = half_digit_of(builder, element, &limit, accepted);
	if (element_attribute(element, "when"))
		limit.when = compile(reader, element, "when");
	return limit;
}

static void read_limits(struct rule_reader *reader)
{
	size_t count = count_children(reader->element, "limit");
	struct limit *limits = arena_alloc(reader->builder->arena, count * sizeof *limits);
	for (size_t i = 0; i < reader->element->child_count; i++)
		if (element_is(reader->element->children[i], "limit"))
			limits[reader->rule->limit_count++] = read_limit(reader, reader->element->children[i]);
	reader->rule->limits = limits;
}

static void read_selections(struct rule_reader *reader)
{
	size_t count = count_children(reader->element, "select");
	struct selection *rows = arena_alloc(reader->builder->arena, count * sizeof *rows);
	for (size_t i = 0; i < reader->element->child_count; i++) {
		const struct element *child = reader->element->children[i];
		if (element_is(child, "select"))
			rows[reader->rule->selection_count++] =
				(struct selection){.kinds = read_kinds(reader->builder, child, "kind"),
					.written = element_attribute(child, "kind"),
					.conditions = catalogue_builder_conditions(reader->builder, child, "kind")};
	}
	reader->rule->selections = rows;
	if (count == 0)
		problem_add(reader->builder->problems, PROBLEM_BAD_RULE, reader->element->place,
			"%s selects nothing: it needs a <select>", reader->rule->id);
}

static void read_force_changes(struct rule_reader *reader)
{
	size_t count = count_children(reader->element, "force");
	struct force_change *rows = arena_alloc(reader->builder->arena, count * sizeof *rows);
	for (size_t i = 0; i < reader->element->child_count; i++) {
		const struct element *child = reader->element->children[i];
		if (element_is(child, "force"))
			rows[reader->rule->force_change_count++] =
				(struct force_change){.force = force_from_word(element_attribute(child, "is")),
					.code = element_attribute(child, "when-code"),
					.why = element_attribute(child, "why")};
	}
	reader->rule->force_changes = rows;
}

static void read_examples(struct rule_reader *reader)
{
	size_t count = count_children(reader->element, "example");
	struct example *rows = arena_alloc(reader->builder->arena, count * sizeof *rows);
	for (size_t i = 0; i < reader->element->child_count; i++) {
		const struct element *child = reader->element->children[i];
		if (!element_is(child, "example"))
			continue;
		struct conditions values =
			catalogue_builder_conditions(reader->builder, child, "verdict governing certainty");
		rows[reader->rule->example_count++] =
			(struct example){.verdict = verdict_from_word(element_attribute(child, "verdict")),
				.values = values.rows,
				.count = values.count,
				.governing = element_attribute(child, "governing"),
				.certainty = element_attribute(child, "certainty"),
				.place = child->place};
	}
	reader->rule->examples = rows;
}

static void read_judged(struct rule_reader *reader)
{
	const char *judged = element_attribute(reader->element, "judged");
	reader->rule->judged = -1;
	for (size_t i = 0; judged && i < reader->rule->input_count; i++)
		if (strcmp(reader->inputs[i].name, judged) == 0)
			reader->rule->judged = (int)i;
	if (judged && reader->rule->judged < 0)
		problem_add(reader->builder->problems, PROBLEM_BAD_RULE,
			element_attribute_place(reader->element, "judged"),
			"%s judges '%s', which is none of its inputs", reader->rule->id, judged);
}

static const char *words_of(const struct element *element, const char *name)
{
	const struct element *child = element_child(element, name);
	return child ? child->text : "";
}

/* Every {place} in a text must be an input or one of the words the judge fills in. */
static void check_places(struct rule_reader *reader, const char *part)
{
	static const char own[] = "item case kind limit limit-value size-that-meets value";
	const char *text = words_of(reader->element, part);
	for (const char *open = strchr(text, '{'); open; open = strchr(open + 1, '{')) {
		const char *name = arena_copy_span(reader->builder->arena, open + 1, strcspn(open + 1, "}"));
		bool known = text_has_word(own, name);
		for (size_t i = 0; i < reader->rule->input_count; i++)
			known = known || strcmp(reader->inputs[i].name, name) == 0;
		if (!known)
			problem_add(reader->builder->problems, PROBLEM_BAD_RULE,
				element_child(reader->element, part)->place,
				"{%s} in the %s of %s is none of its inputs", name, part, reader->rule->id);
	}
}

static void check_rule(struct rule_reader *reader)
{
	const struct rule *rule = reader->rule;
	struct problems *problems = reader->builder->problems;
	bool numbered = false;
	for (size_t i = 0; i < rule->limit_count; i++)
		numbered = numbered || (!rule->limits[i].says && !rule->limits[i].context);
	if (!numbered && !rule->assertion)
		problem_add(problems, PROBLEM_BAD_RULE, rule->place,
			"%s asserts nothing: it needs an <assert> or a limit that can govern", rule->id);
	if (numbered && rule->assertion)
		problem_add(problems, PROBLEM_BAD_RULE, rule->place,
			"%s has both an <assert> and limits with numbers; one of them decides", rule->id);
	if (!*rule->message || !*rule->why || !*rule->remedy)
		problem_add(
			problems, PROBLEM_BAD_RULE, rule->place, "%s needs a message, a why and a remedy", rule->id);
	check_places(reader, "message");
	check_places(reader, "remedy");
}

void rule_check_id(struct catalogue_builder *builder, const struct element *element, const char *attribute)
{
	const char *id = element_attribute(element, attribute);
	size_t safe = strspn(id, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-");
	if (*id == '\0' || id[safe] || safe > LONGEST_ID)
		problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, attribute),
			"the %s %s: up to %d letters, digits and dashes make one", attribute,
			text_quoted(builder->arena, id), LONGEST_ID);
}

void rule_read(struct catalogue_builder *builder, const struct element *element, const struct family *family)
{
	const char *certainty = element_attribute(element, "certainty"), *force = element_attribute(element, "force");
	struct rule rule = {
		.id = element_attribute(element, "id"),
		.since = element_attribute(element, "since"),
		.title = element_attribute(element, "title"),
		.family = family->name,
		.mechanism = element_attribute_or(element, "mechanism", ""),
		.matter = element_attribute_or(element, "matter", "other"),
		.consequence = consequence_from_word(
			element_attribute_or(element, "consequence", consequence_word(CONSEQUENCE_RELIABILITY))),
		.held = force != NULL,
		.force = force ? force_from_word(force) : FORCE_ADVISORY,
		.why_force = element_attribute(element, "why-force"),
		.placed = element_attribute(element, "matter") && element_attribute(element, "consequence"),
		.upsets = strcmp(element_attribute_or(element, "cases", "steady"), "all") == 0,
		.message = words_of(element, "message"),
		.why = words_of(element, "why"),
		.remedy = words_of(element, "remedy"),
		.capped = certainty && *certainty,
		.certainty = certainty && *certainty ? certainty_from_word(certainty) : CERTAINTY_FIRM,
		.place = element->place,
	};
	struct rule_reader reader = {.builder = builder, .element = element, .rule = &rule};
	size_t inputs = count_children(element, "input") + count_children(element, "constant");
	reader.inputs = arena_alloc(builder->arena, inputs * sizeof *reader.inputs);
	rule.inputs = reader.inputs;
	for (size_t i = 0; i < element->child_count; i++) {
		if (element_is(element->children[i], "input"))
			read_input(&reader, element->children[i]);
		else if (element_is(element->children[i], "constant"))
			read_constant(&reader, element->children[i]);
	}
	rule.late = late_asked_for(rule.inputs, rule.input_count);
	read_judged(&reader);
	read_selections(&reader);
	read_force_changes(&reader);
	rule.when = compile_all(&reader, "when");
	rule.met_if = compile_all(&reader, "met-if");
	const struct element *assertion = element_child(element, "assert");
	if (assertion)
		rule.assertion = compile(&reader, assertion, "test");
	read_limits(&reader);
	rule.evidence = evidence_of_limits(rule.limits, rule.limit_count);
	if (!rule.held)
		rule.force = evidence_force(rule.evidence, rule.consequence);
	change_read(builder, element, &rule);
	read_examples(&reader);
	check_rule(&reader);
	rule_check_id(builder, element, "id");
	if (strncmp(rule.id, family->prefix, strlen(family->prefix)) != 0 || rule.id[strlen(family->prefix)] != '-')
		problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, "id"),
			"the id '%s' does not start with the prefix of its family, '%s-'", rule.id, family->prefix);
	builder->rules = arena_grow(builder->arena, builder->rules, builder->catalogue->rule_count,
		&builder->rule_capacity, sizeof *builder->rules);
	builder->rules[builder->catalogue->rule_count++] = rule;
}
