#include "revamp/difference.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "quantity/quantity.h"
#include "resolve/resolve.h"

const char *group_word(enum input_group group)
{
	static const char *const words[] = {
		"conditions", "flow", "solvent", "size", "material", "limits", "items added or removed"};
	return words[group];
}

/* ---- which group ---- */

static const struct {
	const char *key;
	enum input_group group;
} of_element[] =
	{
#define GROUP_OF_ELEMENT(element, group) {element, GROUP_##group},
#include "revamp/groups.def"
},
  of_name[] =
	  {
#define GROUP_OF_NAME(name, group) {name, GROUP_##group},
#include "revamp/groups.def"
},
  of_type[] = {
#define GROUP_OF_TYPE(type, group) {type, GROUP_##group},
#include "revamp/groups.def"
};

static bool is_override(const struct element *element)
{
	return element_is(element, "in") || element_is(element, "stated");
}

static enum input_group group_of(const struct element *element, const struct attribute *attribute)
{
	const struct element *owner = is_override(element) ? element->parent : element;
	for (size_t i = 0; i < COUNT(of_element); i++)
		if (element_is(owner, of_element[i].key))
			return of_element[i].group;
	for (size_t i = 0; i < COUNT(of_name); i++)
		if (strcmp(attribute->meaning->name, of_name[i].key) == 0)
			return of_name[i].group;
	for (size_t i = 0; i < COUNT(of_type); i++)
		if (strcmp(attribute->meaning->type->name, of_type[i].key) == 0)
			return of_type[i].group;
	return GROUP_CONDITIONS;
}

/* ---- which element is which ---- */

static const char *own_tag(const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->type->name, "tag") == 0)
			return element->attributes[i].written;
	return NULL;
}

static void add_pair(struct differences *to, const struct element *base, const struct element *revamp)
{
	to->pairs = arena_grow(to->arena, to->pairs, to->pair_count, &to->pair_capacity, sizeof *to->pairs);
	to->pairs[to->pair_count++] = (struct pairing){.base = base, .revamp = revamp};
}

const struct element *paired_with(const struct differences *differences, const struct element *element)
{
	for (size_t i = 0; i < differences->pair_count; i++)
		if (differences->pairs[i].base == element)
			return differences->pairs[i].revamp;
	return NULL;
}

static bool is_taken(const struct differences *differences, const struct element *revamp)
{
	for (size_t i = 0; i < differences->pair_count; i++)
		if (differences->pairs[i].revamp == revamp)
			return true;
	return false;
}

const char *renamed(const struct differences *differences, const char *tag)
{
	for (size_t i = 0; tag && i < differences->pair_count; i++) {
		const char *base = own_tag(differences->pairs[i].base);
		const char *revamp = own_tag(differences->pairs[i].revamp);
		if (base && revamp && strcmp(base, tag) == 0)
			return revamp;
	}
	return tag;
}

static bool same_key(const struct element *base, const struct element *revamp)
{
	static const char *const keys[] = {"case", "document", "name", "id"};
	const char *before = own_tag(base), *after = own_tag(revamp);
	if (strcmp(base->meaning->name, revamp->meaning->name) != 0)
		return false;
	if (before || after) {
		const char *was = element_attribute(revamp, "was");
		return before && after && strcmp(before, was ? was : after) == 0;
	}
	for (size_t i = 0; i < COUNT(keys); i++)
		if (!text_same(element_attribute(base, keys[i]), element_attribute(revamp, keys[i])))
			return false;
	return !*base->text || strcmp(base->text, revamp->text) == 0;
}

static void pair_children(struct differences *to, const struct element *base, const struct element *revamp)
{
	add_pair(to, base, revamp);
	for (size_t i = 0; i < base->child_count; i++)
		for (size_t k = 0; k < revamp->child_count; k++)
			if (same_key(base->children[i], revamp->children[k]) && !is_taken(to, revamp->children[k])) {
				pair_children(to, base->children[i], revamp->children[k]);
				break;
			}
}

/* ---- values that differ ---- */

/* Notes about a description and how its items are called. */
static bool is_note(const struct element *element, const struct attribute *attribute)
{
	static const char notes[] = "was data document case client revision date document-number number title";
	return text_has_word(notes, attribute->meaning->name) || strcmp(attribute->meaning->type->name, "tag") == 0 ||
		(element_is(element, "unit") && strcmp(attribute->meaning->name, "name") == 0);
}

static bool parse(struct arena *arena, const struct attribute *attribute, struct quantity *out)
{
	struct problems ignored = {.arena = arena}; /* both descriptions were resolved before */
	return quantity_parse(arena, attribute->written, attribute->meaning->name, attribute->meaning->type->accepted,
		STANDARD_BAROMETRIC_PRESSURE, attribute->place, &ignored, out);
}

static bool same_value(struct differences *to, const struct attribute *before, const struct attribute *after)
{
	const double same = 1e-9; /* relative: two spellings of one number */
	const struct vocabulary_type *type = before->meaning->type;
	struct quantity a, b;
	if (strcmp(before->written, after->written) == 0)
		return true;
	if (strcmp(type->name, "reference") == 0)
		return strcmp(renamed(to, before->written), after->written) == 0;
	if (!kind_is_number(type->accepted.kinds[0]) || !parse(to->arena, before, &a) || !parse(to->arena, after, &b))
		return false;
	return a.kind == b.kind && a.bound == b.bound && fabs(a.si - b.si) <= same * fmax(fabs(a.si), fabs(b.si));
}

static const struct attribute *attribute_of(const struct element *element, const char *name)
{
	for (size_t i = 0; element && i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->name, name) == 0)
			return &element->attributes[i];
	return NULL;
}

/* How the reader finds the place: the nearest tag, and the kind of what is in it without one. */
static const char *item_words(struct arena *arena, const struct element *element)
{
	if (is_override(element))
		element = element->parent;
	const char *tag = own_tag(element);
	if (tag || !element->parent)
		return tag ? tag : "the unit";
	const char *name = element_attribute(element, "name");
	const char *outer = element->parent->parent ? item_words(arena, element->parent) : "";
	char *kind =
		arena_copy(arena, element->meaning->name); /* as the tags that are made for such items: "tube side" */
	for (char *dash = kind; (dash = strchr(dash, '-')) != NULL;)
		*dash = ' ';
	return arena_format(arena, "%s%s%s%s%s", outer, *outer ? " " : "", kind, name ? " " : "", name ? name : "");
}

static void add_difference(struct differences *to, struct difference row)
{
	const struct element *shown = row.revamp ? row.revamp : row.base;
	const char *operating_case = is_override(shown) ? element_attribute(shown, "case") : NULL;
	row.item = item_words(to->arena, shown);
	row.operating_case = operating_case ? operating_case : "";
	to->rows = arena_grow(to->arena, to->rows, to->count, &to->capacity, sizeof *to->rows);
	to->rows[to->count++] = row;
	to->of_group[row.group]++;
}

static void add_value(struct differences *to, const struct element *base, const struct element *revamp,
	const struct element *parent, const struct attribute *before, const struct attribute *after)
{
	const struct attribute *either = after ? after : before;
	struct difference row = {.group = group_of(after ? revamp : base, either),
		.base = base,
		.revamp = revamp,
		.parent = parent,
		.name = either->meaning->name};
	if (before) {
		row.before = before->written;
		row.before_place = before->place;
	}
	if (after) {
		row.after = after->written;
		row.after_place = after->place;
	}
	add_difference(to, row);
}

/* The attributes of two elements, either of which may be missing. */
static void compare_attributes(
	struct differences *to, const struct element *base, const struct element *revamp, const struct element *parent)
{
	for (size_t i = 0; revamp && i < revamp->attribute_count; i++) {
		const struct attribute *after = &revamp->attributes[i];
		const struct attribute *before = attribute_of(base, after->meaning->name);
		if (!is_note(revamp, after) && !(before && same_value(to, before, after)))
			add_value(to, base, revamp, parent, before, after);
	}
	for (size_t i = 0; base && i < base->attribute_count; i++) {
		const struct attribute *before = &base->attributes[i];
		if (!is_note(base, before) && !attribute_of(revamp, before->meaning->name))
			add_value(to, base, revamp, parent, before, NULL);
	}
}

/* Cases and documents are declarations: without them the revamp could not be read. */
static bool is_declaration(const struct element *element)
{
	return element_is(element, "case") || element_is(element, "document");
}

static void only_one(struct differences *to, const struct element *element, bool of_base, const struct element *parent)
{
	if (is_declaration(element))
		return;
	if (is_override(element)) {
		compare_attributes(to, of_base ? element : NULL, of_base ? NULL : element, parent);
		return;
	}
	struct difference row = {.group = GROUP_ITEMS, .parent = parent, .name = ""};
	*(of_base ? &row.base : &row.revamp) = element;
	*(of_base ? &row.before : &row.after) = "described";
	*(of_base ? &row.before_place : &row.after_place) = element->place;
	add_difference(to, row);
}

struct differences differences_of(struct arena *arena, const struct element *base, const struct element *revamp)
{
	struct differences to = {.arena = arena, .base = base, .revamp = revamp};
	pair_children(&to, base, revamp);
	for (size_t i = 0; i < to.pair_count; i++) {
		const struct element *before = to.pairs[i].base, *after = to.pairs[i].revamp;
		if (!is_declaration(before))
			compare_attributes(&to, before, after, after->parent);
		for (size_t k = 0; k < after->child_count; k++)
			if (!is_taken(&to, after->children[k]))
				only_one(&to, after->children[k], false, after);
		for (size_t k = 0; k < before->child_count; k++)
			if (!paired_with(&to, before->children[k]))
				only_one(&to, before->children[k], true, after);
	}
	return to;
}

/* ---- putting back ---- */

static bool declares_case(const struct element *unit, const char *id)
{
	const struct element *basis = element_child(unit, "basis");
	for (size_t i = 0; id && basis && i < basis->child_count; i++)
		if (element_is(basis->children[i], "case") &&
			text_same(element_attribute(basis->children[i], "id"), id))
			return true;
	return !id;
}

/* An override that only the base has, with the values of one group alone. */
static const struct element *part_of(struct arena *arena, const struct element *override, enum input_group group)
{
	struct element *part = arena_alloc(arena, sizeof *part);
	struct attribute *rows = arena_alloc(arena, (override->attribute_count + 1) * sizeof *rows);
	*part = *override;
	part->attribute_count = 0;
	for (size_t i = 0; i < override->attribute_count; i++)
		if (is_note(override, &override->attributes[i]) ||
			group_of(override, &override->attributes[i]) == group)
			rows[part->attribute_count++] = override->attributes[i];
	part->attributes = rows;
	return part;
}

static void put_back(struct variant *variant, const struct differences *differences, const struct difference *row)
{
	const struct attribute *before = attribute_of(row->base, row->name);
	if (row->group == GROUP_ITEMS) {
		if (row->base)
			variant_add(variant, row->parent, row->base);
		else
			variant_remove(variant, row->revamp);
	} else if (row->revamp) {
		bool reference = before && strcmp(before->meaning->type->name, "reference") == 0;
		variant_set(
			variant, row->revamp, row->name, reference ? renamed(differences, row->before) : row->before);
	}
}

const struct element *difference_put_back(
	struct arena *arena, const struct differences *differences, enum input_group group)
{
	struct variant variant = variant_in(arena);
	const struct element *last = NULL;
	for (size_t i = 0; i < differences->count; i++) {
		const struct difference *row = &differences->rows[i];
		if (row->group != group)
			continue;
		put_back(&variant, differences, row);
		bool lone = group != GROUP_ITEMS && !row->revamp && row->base != last;
		if (lone && declares_case(differences->revamp, element_attribute(row->base, "case")))
			variant_add(&variant, row->parent, part_of(arena, row->base, group));
		last = row->revamp ? last : row->base;
	}
	return variant_build(arena, &variant, differences->revamp);
}
