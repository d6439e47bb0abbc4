#include "read/built_vocabulary.h"

#include <stdint.h>
#include <string.h>

/* A new member is printed below, or the built vocabulary would lack it. */
#if UINTPTR_MAX == UINT64_MAX
_Static_assert(sizeof(struct choice) == 16, "members of a choice");
_Static_assert(sizeof(struct vocabulary_type) == 88, "members of a type");
_Static_assert(sizeof(struct vocabulary_attribute) == 32, "members of an attribute");
_Static_assert(sizeof(struct vocabulary_element) == 56, "members of an element");
_Static_assert(sizeof(struct vocabulary) == 56, "members of a vocabulary");
#endif

/* What others point to stands in one array of its sort, in the order in which it was met; those within it have its number. */
struct printer {
	struct arena *arena;
	struct text *out;
	const void **types, **elements;
	size_t type_count, element_count, type_capacity, element_capacity;
};

static size_t number_of(const void *const *rows, size_t count, const void *row)
{
	size_t i = 0;
	while (i < count && rows[i] != row)
		i++;
	return i;
}

static size_t element_number(const struct printer *printer, const struct vocabulary_element *element)
{
	return number_of(printer->elements, printer->element_count, element);
}

static void collect(struct printer *printer, const struct vocabulary_element *element)
{
	if (element_number(printer, element) < printer->element_count)
		return;
	printer->elements = arena_grow(printer->arena, printer->elements, printer->element_count,
		&printer->element_capacity, sizeof *printer->elements);
	printer->elements[printer->element_count++] = element;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct vocabulary_type *type = element->attributes[i].type;
		if (number_of(printer->types, printer->type_count, type) < printer->type_count)
			continue;
		printer->types = arena_grow(printer->arena, printer->types, printer->type_count,
			&printer->type_capacity, sizeof *printer->types);
		printer->types[printer->type_count++] = type;
	}
	for (size_t i = 0; i < element->child_count; i++)
		collect(printer, element->children[i]);
}

static void put_word(struct text *out, const char *name, const char *word)
{
	if (!word)
		return;
	text_addf(out, ".%s = ", name);
	text_add_c_string(out, word);
	text_add(out, ", ");
}

/* ---- types ---- */

static void put_choices(struct text *out, const struct vocabulary_type *type, size_t number)
{
	if (!type->choice_count)
		return;
	text_addf(out, "static const struct choice choices_%zu[] = {\n", number);
	for (size_t i = 0; i < type->choice_count; i++) {
		text_add(out, "{");
		put_word(out, "word", type->choices[i].word);
		put_word(out, "family", type->choices[i].family);
		text_add(out, "},\n");
	}
	text_add(out, "};\n");
}

static void put_type(struct text *out, const struct vocabulary_type *type, size_t number)
{
	text_add(out, "{");
	put_word(out, "name", type->name);
	text_addf(out, ".accepted = {.count = %zu, .kinds = {", type->accepted.count);
	for (size_t i = 0; i < type->accepted.count; i++)
		text_addf(out, "%d,", (int)type->accepted.kinds[i]);
	text_addf(out, "}}, .uncertainty = %a, .uncertainty_is_relative = %d, ", type->uncertainty,
		type->uncertainty_is_relative);
	if (type->choice_count)
		text_addf(out, ".choices = choices_%zu, .choice_count = %zu, ", number, type->choice_count);
	put_word(out, "documentation", type->documentation);
	put_word(out, "example", type->example);
	text_add(out, "},\n");
}

static void put_types(const struct printer *printer)
{
	for (size_t i = 0; i < printer->type_count; i++)
		put_choices(printer->out, printer->types[i], i);
	text_add(printer->out, "static const struct vocabulary_type types[] = {\n");
	for (size_t i = 0; i < printer->type_count; i++)
		put_type(printer->out, printer->types[i], i);
	text_add(printer->out, "};\n");
}

/* ---- elements ---- */

static void put_attributes(const struct printer *printer, const struct vocabulary_element *element, size_t number)
{
	struct text *out = printer->out;
	if (!element->attribute_count)
		return;
	text_addf(out, "static const struct vocabulary_attribute attributes_%zu[] = {\n", number);
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct vocabulary_attribute *attribute = &element->attributes[i];
		text_add(out, "{");
		put_word(out, "name", attribute->name);
		text_addf(out, ".type = &types[%zu], .required = %d, .inherited = %d, .condition = %d, ",
			number_of(printer->types, printer->type_count, attribute->type), attribute->required,
			attribute->inherited, attribute->condition);
		put_word(out, "documentation", attribute->documentation);
		text_add(out, "},\n");
	}
	text_add(out, "};\n");
}

static void put_list(
	const struct printer *printer, const char *name, const struct vocabulary_element *const *rows, size_t count)
{
	if (!count)
		return;
	text_addf(printer->out, "static const struct vocabulary_element *const %s[] = {", name);
	for (size_t i = 0; i < count; i++)
		text_addf(printer->out, "&elements[%zu], ", element_number(printer, rows[i]));
	text_add(printer->out, "};\n");
}

static void put_element(const struct printer *printer, const struct vocabulary_element *element, size_t number)
{
	struct text *out = printer->out;
	text_add(out, "{");
	put_word(out, "name", element->name);
	if (element->attribute_count)
		text_addf(out, ".attributes = attributes_%zu, .attribute_count = %zu, ", number,
			element->attribute_count);
	if (element->child_count)
		text_addf(out, ".children = children_%zu, .child_count = %zu, ", number, element->child_count);
	text_addf(out, ".text = %d, .any_attribute = %d, ", element->text, element->any_attribute);
	put_word(out, "documentation", element->documentation);
	text_add(out, "},\n");
}

static void put_elements(const struct printer *printer)
{
	text_addf(printer->out, "static const struct vocabulary_element elements[%zu];\n", printer->element_count);
	for (size_t i = 0; i < printer->element_count; i++) {
		const struct vocabulary_element *element = printer->elements[i];
		put_attributes(printer, element, i);
		put_list(printer, arena_format(printer->arena, "children_%zu", i), element->children,
			element->child_count);
	}
	text_addf(printer->out, "static const struct vocabulary_element elements[%zu] = {\n", printer->element_count);
	for (size_t i = 0; i < printer->element_count; i++)
		put_element(printer, printer->elements[i], i);
	text_add(printer->out, "};\n");
}

/* ---- the whole ---- */

void built_vocabulary_print(struct arena *arena, const struct vocabulary *vocabulary, struct text *out)
{
	struct printer printer = {.arena = arena, .out = out};
	for (size_t i = 0; i < vocabulary->element_count; i++)
		collect(&printer, vocabulary->elements[i]);
	text_add(out, "#include \"read/built_vocabulary.h\"\n");
	put_types(&printer);
	put_elements(&printer);
	put_list(&printer, "globals", vocabulary->elements, vocabulary->element_count);
	text_add(out, "const struct vocabulary built_units = {.elements = globals, ");
	put_word(out, "namespace_uri", vocabulary->namespace_uri);
	put_word(out, "roots", vocabulary->roots);
	text_addf(out, ".element_count = %zu, .owing = %d, .proven = %d};\n", vocabulary->element_count,
		vocabulary->owing, vocabulary->proven);
}
