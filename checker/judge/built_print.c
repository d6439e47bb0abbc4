#include "judge/built.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/*
 * What is pointed to is an array of its own, `rows_NUMBER`, printed before what points to it, and once where several catalogues
 * (or rules) have the same: profiles change little. A member that is zero is left out.
 */

/* A new member is printed below, or the built catalogue would lack it. */
#if UINTPTR_MAX == UINT64_MAX
_Static_assert(sizeof(struct rule) == 272, "members of a rule");
_Static_assert(sizeof(struct rule_input) == 136, "members of an input");
_Static_assert(sizeof(struct limit) == 272, "members of a limit");
_Static_assert(sizeof(struct selection) == 32, "members of a selection");
_Static_assert(sizeof(struct example) == 56, "members of an example");
_Static_assert(sizeof(struct source) == 88, "members of a source");
_Static_assert(sizeof(struct expression) == 56, "members of an expression");
_Static_assert(sizeof(struct force_change) == 24, "members of a change of force");
_Static_assert(sizeof(struct rule_change) == 40, "members of a change");
_Static_assert(sizeof(struct change_part) == 96, "members of a part of a change");
_Static_assert(sizeof(struct catalogue) == 104, "members of the catalogue");
_Static_assert(sizeof(struct quantity) == 152, "members of a quantity");
#endif

/* ---- members ---- */

/* An array, or the place of a compiled expression, that has its number: known by what it holds. */
struct object {
	const char *type, *rows;
	size_t number;
	struct object *next;
};

enum { BUCKETS = 4096 /* some five thousand objects */ };

struct printer {
	struct arena *arena;
	struct text *out;    /* whole declarations */
	struct text members; /* of what is being printed */
	struct object *objects[BUCKETS];
	size_t array_count, compiled_count;
	const struct catalogue *catalogue;
	size_t sources; /* number of its array */
};

/* The object of this type that holds these rows; `count` is how many of them there are, when it is new. */
static struct object *find_object(struct printer *printer, const char *type, const char *rows, size_t *count)
{
	struct object **bucket = &printer->objects[text_hash(rows) % BUCKETS];
	for (struct object *object = *bucket; object; object = object->next)
		if (strcmp(object->type, type) == 0 && strcmp(object->rows, rows) == 0)
			return object;
	struct object *object = arena_alloc(printer->arena, sizeof *object);
	*object = (struct object){.type = type, .rows = rows, .number = (*count)++, .next = *bucket};
	*bucket = object;
	return object;
}

/* Begins what another member points to; what was being printed is kept until it ends. */
static struct text begin_rows(struct printer *printer)
{
	struct text kept = printer->members;
	printer->members = text_in(printer->arena);
	return kept;
}

/* The number of its array. */
static size_t number_of_rows(struct printer *printer, struct text kept, const char *type)
{
	size_t before = printer->array_count;
	const struct object *object = find_object(printer, type, printer->members.data, &printer->array_count);
	if (printer->array_count > before)
		text_addf(printer->out, "static const %s rows_%zu[] = {%s};\n", type, object->number, object->rows);
	printer->members = kept;
	return object->number;
}

static void end_rows(struct printer *printer, struct text kept, const char *name, const char *type)
{
	if (printer->members.length)
		text_addf(&kept, ".%s = rows_%zu, ", name, number_of_rows(printer, kept, type));
	printer->members = kept;
}

static void put_word(struct printer *printer, const char *name, const char *word)
{
	if (!word)
		return;
	text_addf(&printer->members, ".%s = ", name);
	text_add_c_string(&printer->members, word);
	text_add(&printer->members, ", ");
}

/* Counts, flags and words of enumerations. */
static void put_count(struct printer *printer, const char *name, size_t count)
{
	if (count)
		text_addf(&printer->members, ".%s = %zu, ", name, count);
}

/* Every digit of it. */
static void put_number(struct printer *printer, const char *name, double number)
{
	if (number < 0 || number > 0)
		text_addf(&printer->members, ".%s = %a, ", name, number);
	else if (isnan(number))
		text_addf(&printer->members, ".%s = NAN, ", name);
}

static void put_place(struct printer *printer, struct place place)
{
	if (!place.file)
		return;
	text_add(&printer->members, ".place = {");
	put_word(printer, "file", place.file);
	text_addf(&printer->members, ".line = %d, .column = %d}, ", place.line, place.column);
}

static void put_source(struct printer *printer, const struct source *source)
{
	if (source)
		text_addf(&printer->members, ".source = &rows_%zu[%td], ", printer->sources,
			source - printer->catalogue->sources);
}

static void close_braces(struct printer *printer)
{
	text_add(&printer->members, "}, ");
}

/* ---- parts of rules ---- */

static void put_accepted(struct printer *printer, const struct accepted *accepted)
{
	text_addf(&printer->members, ".accepted = {.count = %zu, .kinds = {", accepted->count);
	for (size_t i = 0; i < accepted->count; i++)
		text_addf(&printer->members, "%d,", (int)accepted->kinds[i]);
	text_add(&printer->members, "}}, ");
}

/* The members of one; rules hold nothing that was computed or owed. */
static void put_members_of_quantity(struct printer *printer, const struct quantity *quantity)
{
	if (quantity->formula || quantity->inputs || quantity->read || quantity->missing || quantity->missing_of ||
		quantity->second || quantity->owed || quantity->unrecorded || quantity->of_case || quantity->of_normal)
		abort();
	put_count(printer, "known", quantity->known);
	put_count(printer, "kind", quantity->kind);
	put_count(printer, "bound", quantity->bound);
	put_count(printer, "reached", quantity->reached);
	put_number(printer, "si", quantity->si);
	put_word(printer, "word", quantity->word);
	put_number(printer, "uncertainty", quantity->uncertainty);
	put_number(printer, "undecided", quantity->undecided);
	put_number(printer, "datum", quantity->datum);
	put_place(printer, quantity->place);
	put_word(printer, "written", quantity->written);
	put_word(printer, "document", quantity->document);
	put_word(printer, "reason", quantity->reason);
	put_count(printer, "silent", quantity->silent);
}

static void put_quantity(struct printer *printer, const char *name, const struct quantity *quantity)
{
	if (!quantity)
		return;
	struct text kept = begin_rows(printer);
	text_add_char(&printer->members, '{');
	put_members_of_quantity(printer, quantity);
	text_add_char(&printer->members, '}');
	end_rows(printer, kept, name, "struct quantity");
}

static void put_condition_rows(
	struct printer *printer, const char *name, const struct condition *conditions, size_t count)
{
	if (!count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < count; i++) {
		text_add_char(&printer->members, '{');
		put_word(printer, "name", conditions[i].name);
		put_word(printer, "words", conditions[i].words);
		close_braces(printer);
	}
	end_rows(printer, kept, name, "struct condition");
}

static void put_conditions(struct printer *printer, const char *name, struct conditions conditions)
{
	if (!conditions.count)
		return;
	text_addf(&printer->members, ".%s = {", name);
	put_condition_rows(printer, "rows", conditions.rows, conditions.count);
	put_count(printer, "count", conditions.count);
	close_braces(printer);
}

/* The same words in another rule are of other variables. */
static const char *expression_in_its_rule(struct printer *printer, const struct expression *expression)
{
	const struct place place = expression->place;
	return arena_format(printer->arena, "%s:%d:%d: %s", place.file ? place.file : "", place.line, place.column,
		expression->written);
}

static void put_members_of_expression(struct printer *printer, const struct expression *expression)
{
	put_word(printer, "written", expression->written);
	const struct object *place =
		find_object(printer, "compiled", expression_in_its_rule(printer, expression), &printer->compiled_count);
	text_addf(&printer->members, ".compiled = &compiled[%zu], ", place->number);
	put_count(printer, "cites", expression->cites);
	put_count(printer, "divides", expression->divides);
	put_count(printer, "reads_letters", expression->reads_letters);
	put_count(printer, "asks_for", expression->asks_for);
	put_count(printer, "first", expression->first);
	put_place(printer, expression->place);
}

static void put_expression_rows(
	struct printer *printer, const char *name, const struct expression *expressions, size_t count)
{
	if (!expressions || !count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < count; i++) {
		text_add_char(&printer->members, '{');
		put_members_of_expression(printer, &expressions[i]);
		close_braces(printer);
	}
	end_rows(printer, kept, name, "struct expression");
}

static void put_expressions(struct printer *printer, const char *name, const struct expressions *expressions)
{
	if (!expressions->count)
		return;
	text_addf(&printer->members, ".%s = {", name);
	put_expression_rows(printer, "rows", expressions->rows, expressions->count);
	put_count(printer, "count", expressions->count);
	close_braces(printer);
}

static void put_inputs(struct printer *printer, const struct rule *rule)
{
	if (!rule->input_count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		text_add(&printer->members, "\n{");
		put_word(printer, "name", input->name);
		put_word(printer, "quantity", input->quantity);
		put_word(printer, "of", input->of);
		put_word(printer, "as", input->as);
		put_count(printer, "only_computed", input->only_computed);
		put_accepted(printer, &input->accepted);
		put_quantity(printer, "absent", input->absent);
		put_word(printer, "absent_why", input->absent_why);
		put_quantity(printer, "constant", input->constant);
		put_source(printer, input->source);
		put_word(printer, "clause", input->clause);
		put_count(printer, "reading", input->reading);
		put_place(printer, input->place);
		close_braces(printer);
	}
	end_rows(printer, kept, "inputs", "struct rule_input");
}

static void put_members_of_limit(struct printer *printer, const struct limit *limit)
{
	put_word(printer, "says", limit->says);
	put_count(printer, "relation", limit->relation);
	if (!limit->says) {
		text_add(&printer->members, ".value = {");
		put_members_of_quantity(printer, &limit->value);
		close_braces(printer);
	}
	put_source(printer, limit->source);
	put_word(printer, "name", limit->name);
	put_word(printer, "clause", limit->clause);
	put_word(printer, "confidence", limit->confidence);
	put_count(printer, "reading", limit->reading);
	put_count(printer, "evidence", limit->evidence);
	put_word(printer, "where", limit->where);
	put_conditions(printer, "narrowing", limit->narrowing);
	put_expression_rows(printer, "when", limit->when, limit->when != NULL);
	put_number(printer, "half_digit", limit->half_digit);
	put_count(printer, "context", limit->context);
	put_count(printer, "governs", limit->governs);
	put_count(printer, "overridden", limit->overridden);
	put_place(printer, limit->place);
}

static void put_limits(struct printer *printer, const struct rule *rule)
{
	if (!rule->limit_count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->limit_count; i++) {
		text_add(&printer->members, "\n{");
		put_members_of_limit(printer, &rule->limits[i]);
		close_braces(printer);
	}
	end_rows(printer, kept, "limits", "struct limit");
}

static void put_selections(struct printer *printer, const struct rule *rule)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->selection_count; i++) {
		text_add_char(&printer->members, '{');
		put_word(printer, "kinds", rule->selections[i].kinds);
		put_word(printer, "written", rule->selections[i].written);
		put_conditions(printer, "conditions", rule->selections[i].conditions);
		close_braces(printer);
	}
	end_rows(printer, kept, "selections", "struct selection");
}

static void put_force_changes(struct printer *printer, const struct rule *rule)
{
	if (!rule->force_change_count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->force_change_count; i++) {
		text_add_char(&printer->members, '{');
		put_count(printer, "force", rule->force_changes[i].force);
		put_word(printer, "code", rule->force_changes[i].code);
		put_word(printer, "why", rule->force_changes[i].why);
		close_braces(printer);
	}
	end_rows(printer, kept, "force_changes", "struct force_change");
}

static void put_examples(struct printer *printer, const struct rule *rule)
{
	if (!rule->example_count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->example_count; i++) {
		const struct example *example = &rule->examples[i];
		text_add(&printer->members, "\n{");
		put_count(printer, "verdict", example->verdict);
		put_condition_rows(printer, "values", example->values, example->count);
		put_count(printer, "count", example->count);
		put_word(printer, "governing", example->governing);
		put_word(printer, "certainty", example->certainty);
		put_place(printer, example->place);
		close_braces(printer);
	}
	end_rows(printer, kept, "examples", "struct example");
}

static void put_parts(struct printer *printer, const struct rule_change *change)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < change->part_count; i++) {
		const struct change_part *part = &change->parts[i];
		text_add(&printer->members, "\n{");
		put_count(printer, "verb", part->verb);
		put_word(printer, "name", part->name);
		put_word(printer, "of", part->of);
		put_word(printer, "is", part->is);
		put_expression_rows(printer, "to", part->to, part->to != NULL);
		put_expression_rows(printer, "times", part->times, part->times != NULL);
		put_word(printer, "step", part->step);
		put_word(printer, "toward", part->toward);
		put_conditions(printer, "attributes", part->attributes);
		put_place(printer, part->place);
		close_braces(printer);
	}
	end_rows(printer, kept, "parts", "struct change_part");
}

static void put_rule_changes(struct printer *printer, const struct rule *rule)
{
	if (!rule->change_count)
		return;
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < rule->change_count; i++) {
		text_add(&printer->members, "\n{");
		put_word(printer, "says", rule->changes[i].says);
		put_parts(printer, &rule->changes[i]);
		put_count(printer, "part_count", rule->changes[i].part_count);
		put_place(printer, rule->changes[i].place);
		close_braces(printer);
	}
	end_rows(printer, kept, "changes", "struct rule_change");
}

static void put_rule(struct printer *printer, const struct rule *rule)
{
	text_add(&printer->members, "\n{");
	put_word(printer, "id", rule->id);
	put_word(printer, "since", rule->since);
	put_word(printer, "title", rule->title);
	put_word(printer, "family", rule->family);
	put_word(printer, "mechanism", rule->mechanism);
	put_word(printer, "matter", rule->matter);
	put_count(printer, "force", rule->force);
	put_count(printer, "consequence", rule->consequence);
	put_word(printer, "why_force", rule->why_force);
	put_force_changes(printer, rule);
	put_count(printer, "force_change_count", rule->force_change_count);
	put_selections(printer, rule);
	put_count(printer, "selection_count", rule->selection_count);
	put_inputs(printer, rule);
	put_count(printer, "input_count", rule->input_count);
	put_count(printer, "upsets", rule->upsets);
	put_count(printer, "late", rule->late);
	put_count(printer, "placed", rule->placed);
	put_count(printer, "held", rule->held);
	put_count(printer, "evidence", rule->evidence);
	text_addf(&printer->members, ".judged = %d, ", rule->judged);
	put_expressions(printer, "when", &rule->when);
	put_expressions(printer, "met_if", &rule->met_if);
	put_expression_rows(printer, "assertion", rule->assertion, rule->assertion != NULL);
	put_limits(printer, rule);
	put_count(printer, "limit_count", rule->limit_count);
	put_word(printer, "message", rule->message);
	put_word(printer, "why", rule->why);
	put_word(printer, "remedy", rule->remedy);
	put_word(printer, "only", rule->only);
	put_rule_changes(printer, rule);
	put_count(printer, "change_count", rule->change_count);
	put_count(printer, "capped", rule->capped);
	put_count(printer, "certainty", rule->certainty);
	put_examples(printer, rule);
	put_count(printer, "example_count", rule->example_count);
	put_place(printer, rule->place);
	close_braces(printer);
}

/* ---- the whole ---- */

static size_t number_of_sources(struct printer *printer)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < printer->catalogue->source_count; i++) {
		const struct source *source = &printer->catalogue->sources[i];
		text_add(&printer->members, "\n{");
		put_word(printer, "key", source->key);
		put_word(printer, "author", source->author);
		put_word(printer, "title", source->title);
		put_word(printer, "year", source->year);
		put_word(printer, "edition", source->edition);
		put_word(printer, "publisher", source->publisher);
		put_word(printer, "through", source->through);
		put_count(printer, "reading", source->reading);
		put_count(printer, "evidence", source->evidence);
		put_count(printer, "named", source->named);
		put_place(printer, source->place);
		close_braces(printer);
	}
	return number_of_rows(printer, kept, "struct source");
}

static size_t number_of_rules(struct printer *printer)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < printer->catalogue->rule_count; i++)
		put_rule(printer, &printer->catalogue->rules[i]);
	return number_of_rows(printer, kept, "struct rule");
}

static void put_families(struct printer *printer)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < printer->catalogue->family_count; i++) {
		text_add(&printer->members, "\n{");
		put_word(printer, "name", printer->catalogue->families[i].name);
		put_word(printer, "prefix", printer->catalogue->families[i].prefix);
		put_word(printer, "title", printer->catalogue->families[i].title);
		close_braces(printer);
	}
	end_rows(printer, kept, "families", "struct family");
}

static void put_changes(struct printer *printer, size_t rules)
{
	struct text kept = begin_rows(printer);
	for (size_t i = 0; i < printer->catalogue->change_count; i++) {
		const struct profile_change *change = &printer->catalogue->changes[i];
		text_addf(&printer->members, "\n{.rule = &rows_%zu[%td], ", rules,
			change->rule - printer->catalogue->rules);
		put_word(printer, "what", change->what);
		put_word(printer, "why", change->why);
		close_braces(printer);
	}
	end_rows(printer, kept, "changes", "struct profile_change");
}

static void put_catalogue(struct printer *printer)
{
	const struct catalogue *catalogue = printer->catalogue;
	printer->sources = number_of_sources(printer); /* before the rules, which point to them */
	size_t rules = number_of_rules(printer);
	text_addf(&printer->members, ".rules = rows_%zu, .sources = rows_%zu, ", rules, printer->sources);
	put_count(printer, "rule_count", catalogue->rule_count);
	put_count(printer, "source_count", catalogue->source_count);
	put_families(printer);
	put_count(printer, "family_count", catalogue->family_count);
	put_word(printer, "profile_name", catalogue->profile_name);
	put_word(printer, "profile_title", catalogue->profile_title);
	put_changes(printer, rules);
	put_count(printer, "change_count", catalogue->change_count);
	put_count(printer, "strictest", catalogue->strictest);
	put_expressions(printer, "every", &catalogue->every);
}

void built_print(struct arena *arena, const struct built_catalogue *rows, size_t count, struct text *out)
{
	struct printer *printer = arena_alloc(arena, sizeof *printer);
	struct text declarations = text_in(arena);
	printer->arena = arena;
	printer->out = &declarations;
	printer->members = text_in(arena);
	for (size_t i = 0; i < count; i++) {
		struct text kept = begin_rows(printer);
		printer->catalogue = rows[i].catalogue;
		put_catalogue(printer);
		text_addf(&kept, "{.profile = \"%s\", .catalogue = &(const struct catalogue){%s}},\n", rows[i].profile,
			printer->members.data);
		printer->members = kept;
	}
	text_addf(out, "#include \"judge/built.h\"\nstatic void *compiled[%zu];\n%s", printer->compiled_count,
		declarations.data);
	text_addf(out, "const struct built_catalogue built_catalogues[] = {\n%s{.profile = NULL}};\n",
		printer->members.data);
}
