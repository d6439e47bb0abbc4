#include "write/vocabulary_entry.h"

#include <string.h>

#include "base/text.h"
#include "compute/computed.h"

/* ---- how a value is written ---- */

enum { UNITS_SHOWN = 6, SAMPLE_ATTRIBUTES = 5 };

static void add_units(struct text *text, const struct accepted *accepted)
{
	size_t shown = 0;
	for (size_t k = 0; k < accepted->count; k++) {
		size_t of_kind = 0, most = accepted->count > 1 ? 2 : UNITS_SHOWN;
		for (size_t i = 0; i < unit_count() && of_kind < most; i++) {
			enum kind kind;
			const char *spelling = unit_spelling(i, &kind);
			if (kind != accepted->kinds[k] || !*spelling)
				continue;
			text_addf(text, "%s%s", shown++ ? ", " : "; in ", spelling);
			of_kind++;
		}
	}
}

static void add_choices(struct text *text, const struct vocabulary_type *type)
{
	text_add(text, "one of: ");
	for (size_t i = 0; i < type->choice_count; i++)
		text_addf(text, "%s%s", i ? ", " : "", type->choices[i].word);
}

static bool takes_bare_number(const struct vocabulary_type *type)
{
	double factor, offset;
	return unit_find(type->accepted.kinds[0], "", 0, &factor, &offset);
}

static void add_uncertainty(struct arena *arena, struct text *text, const struct vocabulary_type *type)
{
	const char *shown = type->uncertainty_is_relative
		? quantity_show_si(arena, type->uncertainty, KIND_SHARE, "%")
		: quantity_show_si(arena, type->uncertainty,
			  type->accepted.kinds[0] == KIND_TEMPERATURE ? KIND_TEMPERATURE_DIFFERENCE
								      : type->accepted.kinds[0],
			  NULL);
	text_addf(text, "; taken as +/- %s where no uncertainty is stated", shown);
}

static const char *written_as(struct arena *arena, const struct vocabulary_type *type)
{
	struct text text = text_in(arena);
	if (type->choice_count) {
		add_choices(&text, type);
		return text.data;
	}
	text_add(&text, *type->documentation ? type->documentation : "Free text.");
	if (text_ends(text.data, "."))
		text.data[--text.length] = '\0';
	if (!kind_is_number(type->accepted.kinds[0]))
		return text.data;
	add_units(&text, &type->accepted);
	if (takes_bare_number(type))
		text_add(&text, "; a bare number will do");
	if (type->uncertainty > 0)
		add_uncertainty(arena, &text, type);
	return text.data;
}

/* ---- one attribute ---- */

static bool may_differ_by_case(const struct vocabulary_element *kind, const char *name)
{
	const struct vocabulary_element *in = vocabulary_child(kind, "in");
	return in && vocabulary_attribute(in, name);
}

static const char *traits_of(
	struct arena *arena, const struct vocabulary_element *kind, const struct vocabulary_attribute *attribute)
{
	struct text text = text_in(arena);
	if (attribute->required)
		text_add(&text, "required");
	if (attribute->inherited)
		text_addf(&text, "%salso applies to parts that do not state it", text.length ? "; " : "");
	if (may_differ_by_case(kind, attribute->name))
		text_addf(&text, "%smay differ by operating case", text.length ? "; " : "");
	return text.data;
}

static const char *read_by(struct arena *arena, const struct readers *readers)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < readers->count; i++) {
		const struct reader *reader = &readers->rows[i];
		text_addf(&text, "%s%s", i ? ", " : "", reader->rule->id);
		if (reader->absent)
			text_addf(&text, " (takes %s where not stated)", quantity_show(arena, reader->absent, NULL));
	}
	return readers->count ? text.data : "no rule directly";
}

static const char *used_for(struct arena *arena, const struct vocabulary_element *kind, const char *attribute)
{
	struct text text = text_in(arena);
	for (size_t i = 0; computed_row(i); i++)
		if (computed_reads(computed_row(i), kind->name, attribute))
			text_addf(&text, "%s%s", text.length ? ", " : "", computed_row(i)->name);
	return text.data;
}

static const char *sample_value(struct arena *arena, const struct vocabulary_attribute *attribute)
{
	return arena_format(arena, "%s=\"%s\"", attribute->name, attribute->type->example);
}

struct vocabulary_entries vocabulary_entries(struct arena *arena, const struct vocabulary *units,
	const struct catalogue *catalogue, const struct vocabulary_element *kind)
{
	struct vocabulary_entry *rows = arena_alloc(arena, (kind->attribute_count + 1) * sizeof *rows);
	for (size_t i = 0; i < kind->attribute_count; i++) {
		const struct vocabulary_attribute *attribute = &kind->attributes[i];
		struct readers readers = readers_of(arena, catalogue, units, kind, attribute->name);
		rows[i] = (struct vocabulary_entry){.attribute = attribute,
			.written = written_as(arena, attribute->type),
			.traits = traits_of(arena, kind, attribute),
			.example = sample_value(arena, attribute),
			.read_by = read_by(arena, &readers),
			.used_for = used_for(arena, kind, attribute->name)};
	}
	return (struct vocabulary_entries){.rows = rows, .count = kind->attribute_count};
}

/* ---- the element ---- */

static void add_name(struct text *text, const char *name)
{
	text_addf(text, "%s%s", text->length ? ", " : "", name);
}

const char *vocabulary_holders(
	struct arena *arena, const struct vocabulary *units, const struct vocabulary_element *kind)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < units->element_count; i++)
		if (vocabulary_child(units->elements[i], kind->name) == kind)
			add_name(&text, units->elements[i]->name);
	return text.data;
}

const char *vocabulary_parts(struct arena *arena, const struct vocabulary_element *kind)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < kind->child_count; i++)
		add_name(&text, kind->children[i]->name);
	return text.data;
}

/* A tag once only, and no reference to what may not be there, unless they are required. */
static bool is_sampled(const struct vocabulary_attribute *attribute, bool required)
{
	bool names = strcmp(attribute->type->name, "tag") == 0 || attribute->type->accepted.kinds[0] == KIND_REFERENCE;
	return attribute->required == required && (required || !names);
}

static size_t add_samples(struct arena *arena, struct text *text, const struct vocabulary_element *kind, bool required)
{
	size_t added = 0;
	for (size_t i = 0; i < kind->attribute_count && (required || added < SAMPLE_ATTRIBUTES); i++)
		if (is_sampled(&kind->attributes[i], required)) {
			text_addf(text, " %s", sample_value(arena, &kind->attributes[i]));
			added++;
		}
	return added;
}

const char *vocabulary_sample(struct arena *arena, const struct vocabulary_element *kind)
{
	struct text text = text_in(arena);
	text_addf(&text, "<%s", kind->name);
	add_samples(arena, &text, kind, true);
	add_samples(arena, &text, kind, false);
	text_add(&text, kind->text ? arena_format(arena, ">...</%s>", kind->name) : "/>");
	return text.data;
}
