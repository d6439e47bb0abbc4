#include "resolve/resolve.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/extent.h"
#include "resolve/handed_down.h"
#include "resolve/history.h"
#include "resolve/instead.h"
#include "resolve/owner_rules.h"
#include "resolve/sense.h"
#include "resolve/stated_value.h"

const double STANDARD_BAROMETRIC_PRESSURE = 101325; /* Pa, the standard atmosphere by definition */

struct resolver {
	struct arena *arena;
	struct table *table;
	struct problems *problems;
	double barometric;	       /* Pa */
	const struct instead *instead; /* or NULL */
	const struct statement *known; /* as it is, in the order in which it is resolved */
	size_t known_count, known_at;
	bool derived; /* the description is a variant: an override that states nothing is no slip of a writer */
};

/* ---- putting values into the table ---- */

static bool is_replaced(const struct resolver *resolver, const struct item *item)
{
	return resolver->instead && text_same(resolver->instead->tag, item->tag);
}

static bool is_left_out(const struct resolver *resolver, const struct item *item, const struct attribute *attribute)
{
	return resolver->instead && is_replaced(resolver, item) && !resolver->instead->quantity &&
		strcmp(resolver->instead->name, attribute->meaning->name) == 0;
}

static void put(struct resolver *resolver, const struct item *item, int operating_case,
	const struct attribute *attribute, struct quantity *quantity)
{
	if (!is_left_out(resolver, item, attribute))
		stated_put(resolver->table, item, operating_case, attribute->meaning, quantity);
}

/* Tags, ids, and who says what of which case: they state nothing of an item. */
static bool is_bookkeeping(const struct attribute *attribute)
{
	const char *name = attribute->meaning->name;
	return text_is(name, "case") || text_is(name, "document") || text_is(name, "data") || text_is(name, "was") ||
		text_is(attribute->meaning->type->name, "tag");
}

static void note_statement(struct resolver *resolver, const struct item *item, int operating_case,
	const struct attribute *attribute, const struct quantity *quantity, bool restated)
{
	if (!is_bookkeeping(attribute))
		table_add_statement(resolver->table,
			(struct statement){.item = item,
				.operating_case = operating_case,
				.name = attribute->meaning->name,
				.quantity = quantity,
				.read = quantity->read,
				.restated = restated});
}

static int case_named(const struct resolver *resolver, const char *id)
{
	for (size_t i = 0; id && i < table_case_count(resolver->table); i++)
		if (strcmp(table_case(resolver->table, (int)i)->id, id) == 0)
			return (int)i;
	return EVERY_CASE;
}

static void no_case(struct resolver *resolver, const char *id, struct place place)
{
	size_t count = table_case_count(resolver->table);
	const char **ids = arena_alloc(resolver->arena, count * sizeof *ids);
	struct text known = text_in(resolver->arena);
	for (size_t i = 0; i < count; i++) {
		ids[i] = table_case(resolver->table, (int)i)->id;
		text_addf(&known, "%s%s", i ? ", " : "", ids[i]);
	}
	const char *nearest = text_nearest(id, ids, count);
	problem_add(resolver->problems, PROBLEM_NO_SUCH_CASE, place,
		"case '%s' is not declared%s%s%s; declared in <basis>: %s", id, nearest ? ", did you mean '" : "",
		nearest ? nearest : "", nearest ? "'" : "", known.data);
}

static bool check_case(struct resolver *resolver, const struct element *element)
{
	const char *id = element_attribute(element, "case");
	bool declared = !id || case_named(resolver, id) != EVERY_CASE;
	if (!declared && !written_is_owed(id)) /* owed: said with the structure */
		no_case(resolver, id, element->place);
	return declared;
}

/* What the same attribute came to when the description was resolved as it is; NULL: it states nothing, or was not. */
static const struct quantity *known_value(struct resolver *resolver, const struct attribute *attribute)
{
	const struct statement *next =
		resolver->known_at < resolver->known_count ? &resolver->known[resolver->known_at] : NULL;
	if (!next || next->quantity->place.line != attribute->place.line ||
		next->quantity->place.column != attribute->place.column ||
		strcmp(next->name, attribute->meaning->name) != 0)
		return NULL;
	resolver->known_at++;
	return next->quantity;
}

static struct quantity *value_again(struct resolver *resolver, const struct item *item, const struct quantity *known)
{
	struct quantity *value = arena_alloc(resolver->arena, sizeof *value);
	*value = *known;
	value->missing_of = known->missing_of ? item : NULL;
	value->read = arena_alloc(resolver->arena, sizeof *value->read);
	return value;
}

static struct quantity *value_of(struct resolver *resolver, const struct item *item, int operating_case,
	const struct attribute *attribute, const char *document)
{
	const struct quantity *known = known_value(resolver, attribute);
	if (known)
		return value_again(resolver, item, known);
	struct stating stating = {.item = item, .document = document, .barometric = resolver->barometric};
	if (operating_case != EVERY_CASE)
		stating.case_title = table_case(resolver->table, operating_case)->title;
	return stated_value(resolver->arena, attribute, &stating, resolver->problems);
}

/* What the row of a case says of one thing; EVERY_CASE: of a case that nobody declared. */
static void resolve_in_case(struct resolver *resolver, const struct item *item, int operating_case,
	const struct attribute *attribute, const char *document)
{
	struct quantity *value = value_of(resolver, item, operating_case, attribute, document);
	if (!value || operating_case == EVERY_CASE)
		return;
	const struct quantity *common = table_peek(resolver->table, item, EVERY_CASE, attribute->meaning->name);
	const struct quantity *before = table_peek(resolver->table, item, operating_case, attribute->meaning->name);
	bool other = !common || !text_same(common->written, value->written);
	bool again = before && before != common;
	note_statement(resolver, item, operating_case, attribute, value, again);
	if (again) /* a second <in> of the case: the first is used, and the two are compared */
		return;
	if (other || attribute->meaning->condition) /* said to be as usual, it is no longer assumed */
		put(resolver, item, operating_case, attribute, value);
	else
		value->read = common->read ? common->read : value->read;
}

/*
 * An override sets what holds in one case. One without a value is a slip of the writer; one whose values are all as in the normal case
 * says so of the case, and may itself be copied (compute/copied.h).
 */
static void resolve_case(struct resolver *resolver, const struct item *item, const struct element *element)
{
	const char *document = stated_document(element_attribute(element, "data") ? element : element->parent, "data");
	bool faulty = !check_case(resolver, element) || element->incomplete;
	int operating_case = case_named(resolver, element_attribute(element, "case"));
	size_t values = 0;
	for (size_t i = 0; i < element->attribute_count; i++)
		if (!is_bookkeeping(&element->attributes[i])) {
			values++;
			resolve_in_case(resolver, item, operating_case, &element->attributes[i], document);
		}
	if (!values && !faulty && !resolver->derived)
		problem_add(resolver->problems, PROBLEM_EMPTY_CASE, element->place,
			"<in case=\"%s\"> of %s states nothing: give what holds in the case, or remove it",
			element_attribute(element, "case"), item->tag);
}

static const struct quantity *text_quantity(struct resolver *resolver, const char *word, struct place place)
{
	struct quantity *quantity = arena_alloc(resolver->arena, sizeof *quantity);
	*quantity = (struct quantity){
		.known = STATED, .kind = KIND_TEXT, .word = word, .written = word, .place = place, .document = ""};
	return quantity;
}

/* The same value said by another document: fills a gap, also of what is owed; what it says else is compared when all is known. */
static void resolve_restatement(struct resolver *resolver, const struct item *item, const struct element *element)
{
	const char *document = stated_document(element, "document");
	int operating_case = case_named(resolver, element_attribute(element, "case"));
	if (!check_case(resolver, element))
		return;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		if (is_bookkeeping(attribute))
			continue;
		struct quantity *value = value_of(resolver, item, operating_case, attribute, document);
		if (!value)
			continue;
		note_statement(resolver, item, operating_case, attribute, value, true);
		const struct quantity *own =
			table_peek(resolver->table, item, operating_case, attribute->meaning->name);
		if (!own || (own->owed && !value->owed))
			put(resolver, item, operating_case, attribute, value);
	}
}

/* ---- items ---- */

static const char *own_tag(const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->type->name, "tag") == 0)
			return element->attributes[i].written;
	return NULL;
}

/*
 * A tag for what has none of its own: "E-302 tube side", "monitoring analysis of iron", "C-301 weld (line 41)" where there are
 * several.
 */
static const char *generated_tag(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	char *kind = arena_copy(resolver->arena, element->meaning->name);
	for (char *c = kind; *c; c++)
		if (*c == '-')
			*c = ' ';
	const char *name = element_attribute(element, "name");
	const char *of = name ? " " : " of ";
	name = name ? name : element_attribute(element, "what");
	name = name && !written_is_owed(name) ? name : NULL;
	const char *tag = arena_format(resolver->arena, "%s%s%s%s%s", parent ? parent->tag : "", parent ? " " : "",
		kind, name ? of : "", name ? name : "");
	if (table_find(resolver->table, tag))
		tag = arena_format(resolver->arena, "%s (line %d)", tag, element->place.line);
	for (int k = 2; table_find(resolver->table, tag); k++)
		tag = arena_format(resolver->arena, "%s (line %d, %d)", kind, element->place.line, k);
	return tag;
}

static const char *tag_of(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	const char *tag = element->parent ? own_tag(element) : NULL;
	if (!tag)
		return generated_tag(resolver, element, parent);
	const struct item *taken = table_find(resolver->table, tag);
	if (!taken)
		return tag;
	problem_add(resolver->problems, PROBLEM_DUPLICATE, element->place,
		"tag '%s' of <%s> is used already on <%s> at line %d; every tag and id is used once", tag,
		element->meaning->name, taken->kind, taken->place.line);
	return generated_tag(resolver, element, parent);
}

/* What an item states for one case alone it keeps there. */
static void inherit_value(struct resolver *resolver, const struct item *item, const struct item *from, const char *name)
{
	struct table *table = resolver->table;
	if (!table_may_carry(table, from, name))
		return;
	const struct quantity *common = table_peek(table, from, EVERY_CASE, name);
	for (int c = 0; c < (int)table_case_count(table); c++) {
		const struct quantity *value = table_peek(table, from, c, name);
		if (value && value != common && !table_peek(table, item, c, name))
			table_put(table, item, c, name, value);
	}
	if (common)
		table_put(table, item, EVERY_CASE, name, common);
}

static void inherit(struct resolver *resolver, const struct element *element, const struct item *item)
{
	if (!item->parent)
		return;
	for (size_t i = 0; i < element->meaning->attribute_count; i++) {
		const struct vocabulary_attribute *attribute = &element->meaning->attributes[i];
		if (!attribute->inherited || table_peek(resolver->table, item, EVERY_CASE, attribute->name))
			continue;
		inherit_value(resolver, item, item->parent, attribute->name);
		if (type_has_families(attribute->type))
			inherit_value(resolver, item, item->parent,
				arena_format(resolver->arena, "%s-family", attribute->name));
	}
}

static void put_own(struct resolver *resolver, const struct element *element, const struct item *item)
{
	const char *document = stated_document(element, "data");
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		struct quantity *value = value_of(resolver, item, EVERY_CASE, attribute, document);
		if (!value)
			continue;
		put(resolver, item, EVERY_CASE, attribute, value);
		note_statement(resolver, item, EVERY_CASE, attribute, value, false);
	}
}

/* What it does not say of itself is as with the first choice, in every case. */
static void take_from_first_choice(
	struct resolver *resolver, const struct element *first, const struct item *from, const struct item *item)
{
	for (size_t i = 0; i < first->meaning->attribute_count; i++) {
		const struct vocabulary_attribute *attribute = &first->meaning->attributes[i];
		if (strcmp(attribute->type->name, "tag") == 0 ||
			table_peek(resolver->table, item, EVERY_CASE, attribute->name))
			continue;
		inherit_value(resolver, item, from, attribute->name);
		if (type_has_families(attribute->type))
			inherit_value(
				resolver, item, from, arena_format(resolver->arena, "%s-family", attribute->name));
	}
}

static void replace(struct resolver *resolver, const struct item *item, const struct element *element)
{
	const struct instead *instead = resolver->instead;
	if (instead && instead->quantity && is_replaced(resolver, item))
		instead_put(resolver->table, item, element->meaning, instead);
}

static void add_item(struct resolver *resolver, const struct element *element, const struct item *parent);

/* A choice that the package leaves open is an item of the same kind beside the first: every rule looks at it too. */
static void add_alternative(struct resolver *resolver, const struct element *first, const struct item *of,
	const struct element *element, size_t number)
{
	struct item entry = {
		.kind = of->kind, .parent = of->parent, .text = "", .place = element->place, .meaning = first->meaning};
	entry.tag = arena_format(resolver->arena, "%s, alternative %zu", of->tag, number);
	const struct item *item = table_add_item(resolver->table, entry);
	put_own(resolver, element, item);
	take_from_first_choice(resolver, first, of, item);
	for (size_t i = 0; i < element->child_count; i++)
		add_item(resolver, element->children[i], item); /* notes */
}

static void resolve_children(struct resolver *resolver, const struct element *element, const struct item *item)
{
	for (size_t i = 0; i < element->child_count; i++) {
		const struct element *child = element->children[i];
		if (element_is(child, "in"))
			resolve_case(resolver, item, child);
		else if (element_is(child, "stated"))
			resolve_restatement(resolver, item, child);
	}
	replace(resolver, item, element);
	inherit(resolver, element, item);
	for (size_t i = 0; i < element->child_count; i++) {
		const struct element *child = element->children[i];
		if (!element_is(child, "in") && !element_is(child, "stated") && !element_is(child, "alternative"))
			add_item(resolver, child, element->parent ? item : NULL);
	}
	for (size_t i = 0, number = 1; i < element->child_count; i++)
		if (element_is(element->children[i], "alternative"))
			add_alternative(resolver, element, item, element->children[i], number++);
}

static void note_text(struct resolver *resolver, const struct item *item, const struct element *element)
{
	struct quantity *text = arena_alloc(resolver->arena, sizeof *text);
	resolver->known_at +=
		resolver->known_at < resolver->known_count && text_is(resolver->known[resolver->known_at].name, "text");
	*text = *text_quantity(resolver, item->text, item->place);
	text->document = stated_document(element, "document");
	table_add_statement(resolver->table,
		(struct statement){.item = item,
			.operating_case = EVERY_CASE,
			.name = "text",
			.quantity = text,
			.read = item->text_read});
}

static void add_item(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	struct item entry = {.kind = element->meaning->name,
		.parent = parent,
		.text = element->text,
		.place = element->place,
		.meaning = element->meaning};
	entry.tag = tag_of(resolver, element, parent);
	entry.text_read = *entry.text ? arena_alloc(resolver->arena, sizeof *entry.text_read) : NULL;
	const struct item *item = table_add_item(resolver->table, entry);
	if (item->text_read)
		note_text(resolver, item, element);
	put_own(resolver, element, item);
	resolve_children(resolver, element, item);
}

/* ---- what must be known first, and what can be checked only last ---- */

static void read_cases(struct resolver *resolver, const struct element *basis)
{
	size_t count = 0, all = basis ? basis->child_count : 0;
	struct operating_case *cases =
		arena_alloc(resolver->arena, (all + 1) * sizeof *cases); /* or the one there always is */
	for (size_t i = 0; i < all; i++) {
		const struct element *child = basis->children[i];
		if (!element_is(child, "case") || !element_attribute(child, "id"))
			continue;
		const char *title = element_attribute(child, "title"), *upset = element_attribute(child, "upset");
		cases[count++] = (struct operating_case){.id = element_attribute(child, "id"),
			.title = title && !written_is_owed(title) ? title : element_attribute(child, "id"),
			.upset = upset && strcmp(upset, "yes") == 0};
	}
	if (count == 0)
		cases[count++] = (struct operating_case){.id = "normal", .title = "normal"};
	resolver->table = table_new(resolver->arena, cases, count);
}

static void read_barometric(struct resolver *resolver, const struct element *basis)
{
	resolver->barometric = STANDARD_BAROMETRIC_PRESSURE;
	for (size_t i = 0; basis && i < basis->attribute_count; i++)
		if (strcmp(basis->attributes[i].meaning->name, "barometric-pressure") == 0) {
			struct problems ignored = {.arena = resolver->arena}; /* reported when the basis is resolved */
			struct quantity value;
			const struct attribute *attribute = &basis->attributes[i];
			if (quantity_parse(resolver->arena, attribute->written, attribute->meaning->name,
				    attribute->meaning->type->accepted, STANDARD_BAROMETRIC_PRESSURE, attribute->place,
				    &ignored, &value))
				resolver->barometric = value.si;
		}
}

static void assume_barometric(struct resolver *resolver)
{
	const struct item *basis = table_sole(resolver->table, "basis");
	const struct quantity *stated =
		basis ? table_peek(resolver->table, basis, EVERY_CASE, "barometric-pressure") : NULL;
	if (basis && (!stated || stated->owed))
		table_put(resolver->table, basis, EVERY_CASE, "barometric-pressure",
			quantity_default(resolver->arena, KIND_PRESSURE, STANDARD_BAROMETRIC_PRESSURE, 0,
				stated ? "standard atmosphere, since the site's barometric pressure is to follow"
				       : "standard atmosphere, since the site's barometric pressure is not stated"));
}

static void check_reference(struct resolver *resolver, const struct attribute *attribute, const char *tag)
{
	if (!*tag || table_find(resolver->table, tag) || written_is_owed(tag)) /* owed: said with the structure */
		return;
	size_t count = table_item_count(resolver->table);
	const char **tags = arena_alloc(resolver->arena, count * sizeof *tags);
	for (size_t i = 0; i < count; i++)
		tags[i] = table_item(resolver->table, i)->tag;
	const char *nearest = text_nearest(tag, tags, count);
	problem_add(resolver->problems, PROBLEM_NO_SUCH_ITEM, attribute->place,
		"%s: there is no '%s' in this unit%s%s%s", attribute->meaning->name, tag,
		nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

static void check_references(struct resolver *resolver, const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		const char *type = attribute->meaning->type->name;
		if (strcmp(type, "reference") == 0)
			check_reference(resolver, attribute, attribute->written);
		if (strcmp(type, "references") != 0)
			continue;
		for (const char *at = attribute->written; *at;) {
			size_t length = strcspn(at, " \t\r\n");
			check_reference(resolver, attribute, arena_copy_span(resolver->arena, at, length));
			at += length + strspn(at + length, " \t\r\n");
		}
	}
	for (size_t i = 0; i < element->child_count; i++)
		check_references(resolver, element->children[i]);
}

/* The review speaks of one solvent and one basis: a second would make every value of the first doubtful. */
static void check_single(struct resolver *resolver, const struct element *unit, const char *name)
{
	const struct element *first = element_child(unit, name);
	for (size_t i = 0; i < unit->child_count; i++)
		if (element_is(unit->children[i], name) && unit->children[i] != first)
			problem_add(resolver->problems, PROBLEM_DUPLICATE, unit->children[i]->place,
				"a second <%s>; the first is at line %d, and a unit has one", name, first->place.line);
}

/* Only when all is put: another document may have filled the gap, or stated the common value. */
static void note_owing(struct resolver *resolver)
{
	size_t count;
	const struct statement *all = table_statements(resolver->table, &count);
	for (size_t i = 0; i < count; i++) {
		const struct statement *statement = &all[i];
		if (!statement->quantity->owed || statement->operating_case == EVERY_CASE)
			continue;
		const char *names[] = {statement->name, arena_format(resolver->arena, "%s-family", statement->name)};
		for (size_t k = 0; k < COUNT(names); k++) {
			const struct quantity *here =
				table_peek(resolver->table, statement->item, statement->operating_case, names[k]);
			const struct quantity *common =
				table_peek(resolver->table, statement->item, EVERY_CASE, names[k]);
			if (here && common && here->owed && here != common)
				table_owe(resolver->table, statement->operating_case, common, here);
		}
	}
}

static struct table *resolve_all(
	struct arena *arena, const struct element *unit, const struct instead *instead, struct problems *problems)
{
	struct resolver resolver = {
		.arena = arena, .problems = problems, .instead = instead, .derived = unit->derived || instead};
	if (instead && instead->as_is)
		resolver.known = table_statements(instead->as_is, &resolver.known_count);
	size_t before = problems->count;
	const struct element *basis = element_child(unit, "basis");
	read_cases(&resolver, basis);
	read_barometric(&resolver, basis);
	check_single(&resolver, unit, "basis");
	check_single(&resolver, unit, "solvent");
	add_item(&resolver, unit, NULL);
	owner_rules(resolver.table, unit, resolver.barometric);
	hand_down(resolver.table, unit);
	history_check(resolver.table, problems);
	assume_barometric(&resolver);
	note_owing(&resolver);
	if (!unit->cut_off) {
		check_references(&resolver, unit);
		if (!resolver.derived) {
			sense_check(resolver.table, problems);
			extent_check(resolver.table, problems);
		}
	}
	return problems->count == before ? resolver.table : NULL;
}

struct table *resolve(struct arena *arena, const struct element *unit, struct problems *problems)
{
	return resolve_all(arena, unit, NULL, problems);
}

const struct table *resolve_instead(struct arena *arena, const struct element *unit, const struct instead *instead)
{
	struct problems ignored = {.arena = arena};
	const struct table *alone = instead_alone(arena, unit, instead);
	return alone ? alone : resolve_all(arena, unit, instead, &ignored);
}

static bool became(const struct element *element, const struct item *item)
{
	return item->place.line == element->place.line && item->place.column == element->place.column &&
		(element_is(element, "alternative") || text_same(item->kind, element->meaning->name));
}

const struct element *resolve_element(const struct element *unit, const struct item *item)
{
	if (became(unit, item))
		return unit;
	const struct element *found = NULL;
	for (size_t i = 0; !found && i < unit->child_count; i++)
		found = resolve_element(unit->children[i], item);
	return found;
}

const struct item *resolve_item(const struct table *table, const struct element *element)
{
	for (size_t i = 0; i < table_item_count(table); i++)
		if (became(element, table_item(table, i)))
			return table_item(table, i);
	return NULL;
}
