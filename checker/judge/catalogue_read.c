#include "judge/catalogue.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "judge/profile.h"
#include "read/element.h"
#include "resolve/equipment.h"

enum { LONGEST_ID = 40 };

struct builder {
	struct arena *arena;
	struct problems *problems;
	struct catalogue *catalogue;
	struct rule *rules;
	size_t rule_capacity;
	struct source *sources;
	size_t source_capacity;
	struct family *families;
	size_t family_capacity;
	struct expression *every;
	size_t every_capacity;
};

/* The rule being read, with what its parts need of it. */
struct rule_reader {
	struct builder *builder;
	const struct element *element;
	struct rule *rule;
	struct rule_input *inputs;
	struct variable variables[EXPRESSION_VARIABLES];
};

static const char *attribute_or(const struct element *element, const char *name, const char *otherwise)
{
	const char *written = element_attribute(element, name);
	return written ? written : otherwise;
}

static bool is_yes(const struct element *element, const char *name)
{
	return strcmp(attribute_or(element, name, "no"), "yes") == 0;
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

static struct accepted kinds_of(struct builder *builder, const struct element *element)
{
	struct accepted accepted = {.count = 0};
	const char *written = attribute_or(element, "kind", "");
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
	struct builder *builder = reader->builder;
	const char *absent = attribute_or(element, "absent", "not judged");
	struct rule_input input = {
		.name = element_attribute(element, "name"),
		.quantity = element_attribute(element, "quantity"),
		.of = attribute_or(element, "of", ""),
		.as = attribute_or(element, "as", ""),
		.absent_why = attribute_or(element, "absent-why", ""),
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

static const struct source *find_source(const struct builder *builder, const char *key)
{
	for (size_t i = 0; builder->sources && i < builder->catalogue->source_count; i++)
		if (strcmp(builder->sources[i].key, key) == 0)
			return &builder->sources[i];
	return NULL;
}

static void no_source(struct builder *builder, const char *key, struct place place)
{
	size_t count = builder->catalogue->source_count;
	const char **keys = arena_alloc(builder->arena, count * sizeof *keys);
	for (size_t i = 0; i < count; i++)
		keys[i] = builder->sources[i].key;
	const char *nearest = text_nearest(key, keys, count);
	problem_add(builder->problems, PROBLEM_NO_SUCH_SOURCE, place, "no source has the key '%s'%s%s%s", key,
		nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

static const struct source *cited_source(struct builder *builder, const struct element *element)
{
	const char *key = element_attribute(element, "source");
	const struct source *source = key ? find_source(builder, key) : NULL;
	if (key && !source)
		no_source(builder, key, element_attribute_place(element, "source"));
	return source;
}

static void read_constant(struct rule_reader *reader, const struct element *element)
{
	struct builder *builder = reader->builder;
	struct rule_input input = {
		.name = element_attribute(element, "name"),
		.quantity = "",
		.of = "",
		.as = "",
		.absent_why = "",
		.accepted = kinds_of(builder, element),
		.source = cited_source(builder, element),
		.clause = attribute_or(element, "clause", ""),
		.reading = reading_from_word(element_attribute(element, "known")),
		.place = element->place,
	};
	input.constant = rule_value(builder->arena, element_attribute(element, "value"), input.name, input.accepted,
		element_attribute_place(element, "value"), builder->problems);
	add_input(reader, input);
}

/* The kinds that an attribute names, its classes expanded. */
static const char *read_kinds(struct builder *builder, const struct element *element, const char *attribute)
{
	return equipment_expand(builder->arena, element_attribute(element, attribute),
		element_attribute_place(element, attribute), builder->problems);
}

static struct conditions read_conditions(struct builder *builder, const struct element *element, const char *except)
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

static struct expression *compile(struct rule_reader *reader, const struct element *element, const char *attribute)
{
	struct builder *builder = reader->builder;
	struct expression *expression = arena_alloc(builder->arena, sizeof *expression);
	if (!expression_compile(builder->arena, element_attribute(element, attribute),
		    element_attribute_place(element, attribute), reader->variables, reader->rule->input_count,
		    builder->problems, expression))
		return expression;
	struct expressions *every = &builder->catalogue->every;
	builder->every = arena_grow(
		builder->arena, builder->every, every->count, &builder->every_capacity, sizeof *builder->every);
	builder->every[every->count++] = *expression;
	every->rows = builder->every;
	return expression;
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
		rows[expressions.count++].first = strcmp(attribute_or(element, "first", "no"), "yes") == 0;
	}
	return expressions;
}

static struct limit read_limit(struct rule_reader *reader, const struct element *element)
{
	struct builder *builder = reader->builder;
	struct limit limit = {
		.says = element_attribute(element, "says"),
		.name = attribute_or(element, "name", ""),
		.clause = attribute_or(element, "clause", ""),
		.confidence = attribute_or(element, "confidence", ""),
		.source = cited_source(builder, element),
		.reading = reading_from_word(element_attribute(element, "known")),
		.where = attribute_or(element, "where", ""),
		.narrowing = read_conditions(builder, element,
			"at-most below at-least above says name source clause known confidence where when context "
			"governs"),
		.context = is_yes(element, "context"),
		.governs = is_yes(element, "governs"),
		.place = element->place,
	};
	struct accepted accepted = {.kinds = {KIND_TEXT}, .count = 1};
	if (reader->rule->judged >= 0)
		accepted = reader->inputs[reader->rule->judged].accepted;
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
					.conditions = read_conditions(reader->builder, child, "kind")};
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
		struct conditions values = read_conditions(reader->builder, child, "verdict governing certainty");
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

/* An id is cited in deviations, replies and names of files: no blanks, no controls, nothing that a shell or a sheet reads. */
static void check_id(struct builder *builder, const struct element *element, const char *attribute)
{
	const char *id = element_attribute(element, attribute);
	size_t safe = strspn(id, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-");
	if (*id == '\0' || id[safe] || safe > LONGEST_ID)
		problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, attribute),
			"the %s %s: up to %d letters, digits and dashes make one", attribute,
			text_quoted(builder->arena, id), LONGEST_ID);
}

static void read_rule(struct builder *builder, const struct element *element, const struct family *family)
{
	const char *certainty = element_attribute(element, "certainty");
	struct rule rule = {
		.id = element_attribute(element, "id"),
		.since = element_attribute(element, "since"),
		.title = element_attribute(element, "title"),
		.family = family->name,
		.mechanism = attribute_or(element, "mechanism", ""),
		.force = force_from_word(element_attribute(element, "force")),
		.why_force = element_attribute(element, "why-force"),
		.upsets = strcmp(attribute_or(element, "cases", "steady"), "all") == 0,
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
	read_judged(&reader);
	read_selections(&reader);
	read_force_changes(&reader);
	rule.when = compile_all(&reader, "when");
	rule.met_if = compile_all(&reader, "met-if");
	const struct element *assertion = element_child(element, "assert");
	if (assertion)
		rule.assertion = compile(&reader, assertion, "test");
	read_limits(&reader);
	read_examples(&reader);
	check_rule(&reader);
	check_id(builder, element, "id");
	if (strncmp(rule.id, family->prefix, strlen(family->prefix)) != 0 || rule.id[strlen(family->prefix)] != '-')
		problem_add(builder->problems, PROBLEM_BAD_RULE, element_attribute_place(element, "id"),
			"the id '%s' does not start with the prefix of its family, '%s-'", rule.id, family->prefix);
	builder->rules = arena_grow(builder->arena, builder->rules, builder->catalogue->rule_count,
		&builder->rule_capacity, sizeof *builder->rules);
	builder->rules[builder->catalogue->rule_count++] = rule;
}

static void read_source(struct builder *builder, const struct element *element)
{
	struct source source = {
		.key = element_attribute(element, "key"),
		.author = element_attribute(element, "author"),
		.title = element_attribute(element, "title"),
		.year = attribute_or(element, "year", ""),
		.edition = attribute_or(element, "edition", ""),
		.publisher = attribute_or(element, "publisher", ""),
		.through = attribute_or(element, "through", ""),
		.reading = reading_from_word(element_attribute(element, "known")),
		.named = strcmp(attribute_or(element, "named", "yes"), "yes") == 0,
		.place = element->place,
	};
	if (find_source(builder, source.key)) {
		problem_add(
			builder->problems, PROBLEM_DUPLICATE, element->place, "source '%s' occurs twice", source.key);
		return;
	}
	builder->sources = arena_grow(builder->arena, builder->sources, builder->catalogue->source_count,
		&builder->source_capacity, sizeof *builder->sources);
	builder->sources[builder->catalogue->source_count++] = source;
}

static void read_sources_of(struct builder *builder, const struct element *root)
{
	for (size_t i = 0; root && i < root->child_count; i++)
		if (element_is(root->children[i], "source"))
			read_source(builder, root->children[i]);
}

static void read_rules_of(struct builder *builder, const struct element *root)
{
	if (!root || !element_is(root, "rules"))
		return;
	struct family family = {.name = element_attribute(root, "family"),
		.prefix = element_attribute(root, "prefix"),
		.title = element_attribute(root, "title")};
	builder->families = arena_grow(builder->arena, builder->families, builder->catalogue->family_count,
		&builder->family_capacity, sizeof *builder->families);
	builder->families[builder->catalogue->family_count++] = family;
	check_id(builder, root, "prefix");
	for (size_t i = 0; i < root->child_count; i++)
		read_rule(builder, root->children[i], &family);
}

static int by_id(const void *a, const void *b)
{
	return strcmp(((const struct rule *)a)->id, ((const struct rule *)b)->id);
}

static int by_key(const void *a, const void *b)
{
	return strcmp(((const struct source *)a)->key, ((const struct source *)b)->key);
}

static void check_ids(const struct builder *builder)
{
	for (size_t i = 1; builder->rules && i < builder->catalogue->rule_count; i++)
		if (strcmp(builder->rules[i - 1].id, builder->rules[i].id) == 0)
			problem_add(builder->problems, PROBLEM_DUPLICATE, builder->rules[i].place,
				"the rule id '%s' occurs twice, first at %s:%d", builder->rules[i].id,
				builder->rules[i - 1].place.file, builder->rules[i - 1].place.line);
}

/* A file with faults of structure is not read further. */
static const struct element *parse_file(
	struct builder *builder, const struct rule_file *file, const struct vocabulary *vocabulary)
{
	size_t before = builder->problems->count;
	struct vocabulary proven = *vocabulary;
	proven.proven = true;
	const struct element *root = element_parse(builder->arena, file->name, file->bytes, file->size,
		file->built_in ? &proven : vocabulary, builder->problems);
	return builder->problems->count == before ? root : NULL;
}

const struct catalogue *catalogue_read(struct arena *arena, const struct rule_file *files, size_t file_count,
	const struct rule_file *profile, const struct vocabulary *vocabulary, struct problems *problems)
{
	struct catalogue *catalogue = arena_alloc(arena, sizeof *catalogue);
	struct builder builder = {.arena = arena, .problems = problems, .catalogue = catalogue};
	size_t before = problems->count;
	const struct element **roots = arena_alloc(arena, file_count * sizeof *roots);
	for (size_t i = 0; i < file_count; i++)
		roots[i] = parse_file(&builder, &files[i], vocabulary);
	const struct element *chosen = profile ? parse_file(&builder, profile, vocabulary) : NULL;
	for (size_t i = 0; i < file_count; i++)
		read_sources_of(&builder, roots[i]);
	read_sources_of(&builder, chosen);
	if (builder.sources)
		qsort(builder.sources, catalogue->source_count, sizeof *builder.sources,
			by_key); /* before rules point to them */
	for (size_t i = 0; i < file_count; i++)
		read_rules_of(&builder, roots[i]);
	if (builder.rules)
		qsort(builder.rules, catalogue->rule_count, sizeof *builder.rules, by_id);
	check_ids(&builder);
	catalogue->rules = builder.rules;

	catalogue->sources = builder.sources;
	catalogue->families = builder.families;
	if (chosen)
		profile_apply(arena, catalogue, builder.rules, chosen, problems);
	if (problems->count == before)
		return catalogue;
	catalogue_release(catalogue);
	return NULL;
}
