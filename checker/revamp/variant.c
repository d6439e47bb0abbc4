#include "revamp/variant.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

enum edit_kind { EDIT_SET, EDIT_REMOVE, EDIT_ADD };

struct variant_edit {
	enum edit_kind kind;
	const struct element *element;
	const char *name, *written;  /* EDIT_SET */
	const struct element *child; /* EDIT_ADD */
};

struct variant variant_in(struct arena *arena)
{
	return (struct variant){.arena = arena};
}

static void add_edit(struct variant *variant, struct variant_edit edit)
{
	variant->edits =
		arena_grow(variant->arena, variant->edits, variant->count, &variant->capacity, sizeof *variant->edits);
	variant->edits[variant->count++] = edit;
}

void variant_set(struct variant *variant, const struct element *element, const char *name, const char *written)
{
	add_edit(
		variant, (struct variant_edit){.kind = EDIT_SET, .element = element, .name = name, .written = written});
}

void variant_remove(struct variant *variant, const struct element *element)
{
	add_edit(variant, (struct variant_edit){.kind = EDIT_REMOVE, .element = element});
}

void variant_add(struct variant *variant, const struct element *parent, const struct element *child)
{
	add_edit(variant, (struct variant_edit){.kind = EDIT_ADD, .element = parent, .child = child});
}

void variant_append(struct variant *variant, const struct variant *more)
{
	for (size_t i = 0; i < more->count; i++)
		add_edit(variant, more->edits[i]);
}

/* ---- building ---- */

struct builder {
	struct arena *arena;
	const struct variant *variant;
};

static bool is_removed(const struct builder *builder, const struct element *element)
{
	for (size_t i = 0; i < builder->variant->count; i++)
		if (builder->variant->edits[i].kind == EDIT_REMOVE && builder->variant->edits[i].element == element)
			return true;
	return false;
}

static void set_attribute(struct element *element, struct attribute *rows, const struct variant_edit *edit)
{
	size_t at = 0;
	while (at < element->attribute_count && strcmp(rows[at].meaning->name, edit->name) != 0)
		at++;
	if (!edit->written) {
		if (at == element->attribute_count)
			return;
		memmove(&rows[at], &rows[at + 1], (element->attribute_count - at - 1) * sizeof *rows);
		element->attribute_count--;
		return;
	}
	const struct vocabulary_attribute *meaning = vocabulary_attribute(element->meaning, edit->name);
	if (at < element->attribute_count)
		rows[at].written = edit->written;
	else if (meaning)
		rows[element->attribute_count++] =
			(struct attribute){.meaning = meaning, .written = edit->written, .place = element->place};
}

static void edit_attributes(
	const struct builder *builder, const struct element *original, struct element *element, size_t edits)
{
	struct attribute *rows = arena_alloc(builder->arena, (original->attribute_count + edits + 1) * sizeof *rows);
	if (original->attribute_count)
		memcpy(rows, original->attributes, original->attribute_count * sizeof *rows);
	for (size_t i = 0; edits && i < builder->variant->count; i++) {
		const struct variant_edit *edit = &builder->variant->edits[i];
		if (edit->kind == EDIT_SET && edit->element == original)
			set_attribute(element, rows, edit);
	}
	element->attributes = rows;
}

static struct element *build(
	const struct builder *builder, const struct element *original, const struct element *parent)
{
	struct element *element = arena_alloc(builder->arena, sizeof *element);
	size_t edits = 0;
	*element = *original;
	element->parent = parent;
	for (size_t i = 0; i < builder->variant->count; i++)
		edits += builder->variant->edits[i].element == original;
	edit_attributes(builder, original, element, edits);
	const struct element **children =
		arena_alloc(builder->arena, (original->child_count + edits + 1) * sizeof *children);
	element->child_count = 0;
	for (size_t i = 0; i < original->child_count; i++)
		if (!is_removed(builder, original->children[i]))
			children[element->child_count++] = build(builder, original->children[i], element);
	for (size_t i = 0; edits && i < builder->variant->count; i++) {
		const struct variant_edit *edit = &builder->variant->edits[i];
		if (edit->kind == EDIT_ADD && edit->element == original)
			children[element->child_count++] = build(builder, edit->child, element);
	}
	element->children = children;
	return element;
}

const struct element *variant_build(struct arena *arena, const struct variant *variant, const struct element *root)
{
	struct builder builder = {.arena = arena, .variant = variant};
	struct element *built = build(&builder, root, NULL);
	built->derived = true;
	return built;
}

void element_each(const struct element *root, void (*visit)(const struct element *element, void *data), void *data)
{
	visit(root, data);
	for (size_t i = 0; i < root->child_count; i++)
		element_each(root->children[i], visit, data);
}

/* ---- a value times a factor ---- */

/* Adds the number at `at` times the factor to the text; gives what follows it, or NULL where there is no number. */
static const char *scale_number(struct text *text, const char *at, double factor)
{
	char *end;
	if (!strchr("+-.0123456789", *at))
		return NULL;
	double number = strtod(at, &end);
	if (end == at)
		return NULL;
	text_addf(text, "%.15g", number * factor);
	return end;
}

static const char *find_width(const char *written)
{
	static const char *const signs[] = {"+/-", "\u00b1"};
	for (size_t i = 0; i < COUNT(signs); i++) {
		const char *found = strstr(written, signs[i]);
		if (found)
			return found + strlen(signs[i]) + strspn(found + strlen(signs[i]), " \t");
	}
	return NULL;
}

static bool is_percentage(const char *number)
{
	const char *unit = number + strspn(number, "+-.0123456789eE");
	return unit[strspn(unit, " \t")] == '%';
}

const char *variant_scaled(struct arena *arena, const char *written, double factor)
{
	static const char signs[] = " \t<>=\u2264\u2265"; /* of a bound; none of their bytes begins a number */
	struct text text = text_in(arena);
	size_t sign = strspn(written, signs);
	text_add_span(&text, written, sign);
	const char *rest = scale_number(&text, written + sign, factor);
	if (!rest)
		return NULL;
	const char *width = find_width(rest);
	if (width && !is_percentage(width)) {
		text_add_span(&text, rest, (size_t)(width - rest));
		const char *after = scale_number(&text, width, factor);
		rest = after ? after : width;
	}
	text_add(&text, rest);
	return text.data;
}
