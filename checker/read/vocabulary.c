#include "read/vocabulary.h"

#include <libxml/parser.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/count.h"
#include "base/text.h"

/* A growing list of T kept in the arena. */
#define LIST(T)                                                                                                        \
	struct {                                                                                                       \
		T *rows;                                                                                               \
		size_t count, capacity;                                                                                \
	}
#define LIST_ADD(arena, list, row)                                                                                     \
	((list)->rows = arena_grow((arena), (list)->rows, (list)->count, &(list)->capacity, sizeof *(list)->rows),     \
		(list)->rows[(list)->count++] = (row))

struct attributes {
	LIST(struct vocabulary_attribute) list;
	bool any;
};

struct choice_list {
	struct choice *rows;
	size_t count, capacity;
};

struct group {
	const char *name;
	struct attributes attributes;
};

struct global {
	const char *name;
	xmlNode *node;
};

struct reader {
	struct arena *arena;
	xmlNode *schema;
	struct global *globals; /* open addressing, a power of two */
	size_t capacity;
	LIST(struct vocabulary_type *) types;
	LIST(const struct vocabulary_element *) elements;
	LIST(struct group *) groups;
};

_Noreturn static void not_understood(const xmlNode *node, const char *why)
{
	fprintf(stderr, "leanrich: schema line %ld: %s\n", xmlGetLineNo(node), why);
	abort();
}

static bool is_named(const xmlNode *node, const char *name)
{
	return node->type == XML_ELEMENT_NODE && strcmp((const char *)node->name, name) == 0;
}

static xmlNode *first(xmlNode *parent, const char *name)
{
	for (xmlNode *child = parent ? parent->children : NULL; child; child = child->next)
		if (is_named(child, name))
			return child;
	return NULL;
}

static xmlNode *after(xmlNode *node, const char *name)
{
	for (node = node->next; node; node = node->next)
		if (is_named(node, name))
			return node;
	return NULL;
}

static const char *attribute(struct reader *reader, const xmlNode *node, const char *name)
{
	xmlChar *value = xmlGetNoNsProp(node, (const xmlChar *)name);
	if (!value)
		return NULL;
	char *copy = arena_copy(reader->arena, (const char *)value);
	xmlFree(value);
	return copy;
}

/* Global declarations by sort and name, so that a large schema is not searched from the top for each. */
static void index_globals(struct reader *reader)
{
	size_t count = 0;
	for (xmlNode *node = reader->schema->children; node; node = node->next)
		count += node->type == XML_ELEMENT_NODE;
	for (reader->capacity = 64; reader->capacity < 2 * count; reader->capacity *= 2)
		;
	reader->globals = arena_alloc(reader->arena, reader->capacity * sizeof *reader->globals);
	for (xmlNode *node = reader->schema->children; node; node = node->next) {
		const char *name = node->type == XML_ELEMENT_NODE ? attribute(reader, node, "name") : NULL;
		if (!name)
			continue;
		size_t at = text_hash(name) & (reader->capacity - 1);
		while (reader->globals[at].node)
			at = (at + 1) & (reader->capacity - 1);
		reader->globals[at] = (struct global){.name = name, .node = node};
	}
}

static xmlNode *global(struct reader *reader, const char *sort, const char *name)
{
	size_t at = text_hash(name) & (reader->capacity - 1);
	for (; reader->globals[at].node; at = (at + 1) & (reader->capacity - 1))
		if (strcmp(reader->globals[at].name, name) == 0 && is_named(reader->globals[at].node, sort))
			return reader->globals[at].node;
	return NULL;
}

static const char *documentation(struct reader *reader, xmlNode *node)
{
	xmlNode *words = first(first(node, "annotation"), "documentation");
	if (!words)
		return "";
	xmlChar *content = xmlNodeGetContent(words);
	struct text line = text_in(reader->arena);
	bool gap = false;
	for (const xmlChar *c = content; c && *c; c++) {
		bool blank = *c == ' ' || *c == '\n' || *c == '\t' || *c == '\r';
		if (!blank && gap && line.length)
			text_add_char(&line, ' ');
		if (!blank)
			text_add_char(&line, (char)*c);
		gap = blank;
	}
	xmlFree(content);
	return line.data;
}

static void read_uncertainty(struct vocabulary_type *type, const xmlNode *node, const char *written)
{
	char *end;
	double value = strtod(written, &end);
	while (*end == ' ')
		end++;
	type->uncertainty_is_relative = strcmp(end, "%") == 0;
	if (type->uncertainty_is_relative) {
		type->uncertainty = value / 100;
		return;
	}
	double factor, offset;
	if (!unit_find(type->accepted.kinds[0], end, 0, &factor, &offset) &&
		!unit_find(KIND_TEMPERATURE_DIFFERENCE, end, 0, &factor, &offset))
		not_understood(node, "the uncertainty has an unknown unit");
	type->uncertainty = value * factor;
}

static void read_quantity_type(struct reader *reader, struct vocabulary_type *type, xmlNode *quantity)
{
	const char *kinds = attribute(reader, quantity, "kinds");
	const char *uncertainty = attribute(reader, quantity, "uncertainty");
	const char *example = attribute(reader, quantity, "example");
	for (const char *at = kinds; at && *at;) {
		size_t length = strcspn(at, " ");
		char *name = arena_copy_span(reader->arena, at, length);
		if (type->accepted.count == COUNT(type->accepted.kinds) ||
			!kind_from_name(name, &type->accepted.kinds[type->accepted.count++]))
			not_understood(quantity, "an unknown kind of quantity, or too many");
		at += length + (at[length] == ' ');
	}
	if (type->accepted.count == 0)
		not_understood(quantity, "a quantity type without kinds");
	if (example)
		type->example = example;
	if (uncertainty)
		read_uncertainty(type, quantity, uncertainty);
}

static struct vocabulary_type *type_named(struct reader *reader, const xmlNode *user, const char *name);

/* The other types of a union, "owed material", whose words come first; what is owed is no word. */
static void read_members(struct reader *reader, xmlNode *restriction, struct choice_list *choices)
{
	xmlNode *members = restriction->parent->parent;
	const char *names = attribute(reader, members, "memberTypes");
	for (const char *at = names ? names : ""; *at;) {
		size_t length = strcspn(at, " ");
		const char *name = arena_copy_span(reader->arena, at, length);
		at += length + (at[length] == ' ');
		if (strcmp(name, "owed") == 0)
			continue;
		const struct vocabulary_type *member = type_named(reader, members, name);
		for (size_t i = 0; i < member->choice_count; i++)
			LIST_ADD(reader->arena, choices, member->choices[i]);
	}
}

static void read_choices(struct reader *reader, struct vocabulary_type *type, xmlNode *restriction)
{
	struct choice_list choices = {0};
	read_members(reader, restriction, &choices);
	for (xmlNode *node = first(restriction, "enumeration"); node; node = after(node, "enumeration")) {
		xmlNode *family = first(first(first(node, "annotation"), "appinfo"), "family");
		struct choice choice = {
			.word = attribute(reader, node, "value"),
			.family = family ? attribute(reader, family, "name") : NULL,
		};
		LIST_ADD(reader->arena, &choices, choice);
	}
	type->choices = choices.rows;
	type->choice_count = choices.count;
	type->example = type->choice_count ? type->choices[0].word : "";
}

/* Types that are not numbers and not choices, by their name in the schema. */
static void read_plain_type(struct vocabulary_type *type)
{
	static const struct {
		const char *name;
		enum kind kind;
		const char *example;
	} plain[] = {
		{"yes-no", KIND_YES_NO, "no"},
		{"reference", KIND_REFERENCE, "E-302"},
		{"references", KIND_REFERENCE, "E-302 E-303"},
		{"date", KIND_DATE, "2026-09-14"},
		{"tag", KIND_TEXT, "E-302"},
		{"pipe-size", KIND_TEXT, "NPS 6"},
		{"schedule", KIND_TEXT, "40"},
	};
	type->accepted = (struct accepted){.kinds = {KIND_TEXT}, .count = 1};
	for (size_t i = 0; i < COUNT(plain); i++)
		if (strcmp(plain[i].name, type->name) == 0) {
			type->accepted.kinds[0] = plain[i].kind;
			type->example = plain[i].example;
		}
}

static struct vocabulary_type *type_named(struct reader *reader, const xmlNode *user, const char *name)
{
	for (size_t i = 0; i < reader->types.count; i++)
		if (strcmp(reader->types.rows[i]->name, name) == 0)
			return reader->types.rows[i];
	struct vocabulary_type *type = arena_alloc(reader->arena, sizeof *type);
	type->name = name;
	xmlNode *node = global(reader, "simpleType", name);
	if (!node && strncmp(name, "xs:", 3) != 0)
		not_understood(user, "a type that is not declared");
	xmlNode *quantity = first(first(first(node, "annotation"), "appinfo"), "quantity");
	xmlNode *inside =
		first(first(node, "union"), "simpleType"); /* of a choice in whose place a value may be owed */
	xmlNode *restriction = first(inside ? inside : node, "restriction");
	type->documentation = node ? documentation(reader, node) : "";
	type->example = "as the document says it";
	if (quantity) {
		read_quantity_type(reader, type, quantity);
	} else {
		read_plain_type(type);
		if (type->accepted.kinds[0] == KIND_TEXT && first(restriction, "enumeration")) {
			type->accepted.kinds[0] = KIND_WORD;
			read_choices(reader, type, restriction);
		}
	}
	LIST_ADD(reader->arena, &reader->types, type);
	return type;
}

static void read_attributes(struct reader *reader, xmlNode *owner, struct attributes *out);

/* A group is read once, however many elements carry it. */
static const struct group *group_named(struct reader *reader, const xmlNode *user, const char *name)
{
	for (size_t i = 0; i < reader->groups.count; i++)
		if (strcmp(reader->groups.rows[i]->name, name) == 0)
			return reader->groups.rows[i];
	xmlNode *node = global(reader, "attributeGroup", name);
	if (!node)
		not_understood(user, "an attribute group that is not declared");
	struct group *group = arena_alloc(reader->arena, sizeof *group);
	group->name = name;
	read_attributes(reader, node, &group->attributes);
	bool passes_on = first(first(first(node, "annotation"), "appinfo"), "inherited") != NULL;
	for (size_t i = 0; passes_on && i < group->attributes.list.count; i++)
		group->attributes.list.rows[i].inherited = true;
	LIST_ADD(reader->arena, &reader->groups, group);
	return group;
}

static void add_group(struct reader *reader, const xmlNode *node, struct attributes *out)
{
	const char *name = attribute(reader, node, "ref");
	if (!name)
		not_understood(node, "an attribute group without a name");
	const struct group *group = group_named(reader, node, name);
	for (size_t i = 0; i < group->attributes.list.count; i++)
		LIST_ADD(reader->arena, &out->list, group->attributes.list.rows[i]);
	out->any = out->any || group->attributes.any;
}

static void add_attribute(struct reader *reader, xmlNode *node, struct attributes *out)
{
	const char *type = attribute(reader, node, "type");
	const char *use = attribute(reader, node, "use");
	struct vocabulary_attribute row = {
		.name = attribute(reader, node, "name"),
		.required = use && strcmp(use, "required") == 0,
		.condition = first(first(first(node, "annotation"), "appinfo"), "condition") != NULL,
		.documentation = documentation(reader, node),
	};
	if (!row.name || !type)
		not_understood(node, "an attribute without a name or a type");
	row.type = type_named(reader, node, type);
	LIST_ADD(reader->arena, &out->list, row);
}

static void read_attributes(struct reader *reader, xmlNode *owner, struct attributes *out)
{
	for (xmlNode *node = owner->children; node; node = node->next) {
		if (is_named(node, "attributeGroup"))
			add_group(reader, node, out);
		else if (is_named(node, "attribute"))
			add_attribute(reader, node, out);
		else if (is_named(node, "anyAttribute"))
			out->any = true;
	}
}

static const struct vocabulary_element *element_named(struct reader *reader, const xmlNode *user, const char *name);

static void fill_element(struct reader *reader, xmlNode *declared, xmlNode *complex, struct vocabulary_element *element)
{
	struct attributes attributes = {0};
	LIST(const struct vocabulary_element *) children = {0};
	const char *mixed = attribute(reader, complex, "mixed");
	read_attributes(reader, complex, &attributes);
	xmlNode *content = first(complex, "choice");
	if (!content)
		content = first(complex, "sequence");
	for (xmlNode *node = content ? first(content, "element") : NULL; node; node = after(node, "element")) {
		const char *ref = attribute(reader, node, "ref");
		const struct vocabulary_element *child;
		if (ref) {
			child = element_named(reader, node, ref);
		} else {
			struct vocabulary_element *local = arena_alloc(reader->arena, sizeof *local);
			xmlNode *inside = first(node, "complexType");
			local->name = attribute(reader, node, "name");
			if (!inside || !local->name)
				not_understood(node, "a local element without a name or a complexType of its own");
			fill_element(reader, node, inside, local);
			child = local;
		}
		LIST_ADD(reader->arena, &children, child);
	}
	element->attributes = attributes.list.rows;
	element->attribute_count = attributes.list.count;
	element->any_attribute = attributes.any;
	element->children = children.rows;
	element->child_count = children.count;
	element->text = mixed && strcmp(mixed, "true") == 0;
	element->documentation = documentation(reader, declared);
}

static const struct vocabulary_element *element_named(struct reader *reader, const xmlNode *user, const char *name)
{
	for (size_t i = 0; i < reader->elements.count; i++)
		if (strcmp(reader->elements.rows[i]->name, name) == 0)
			return reader->elements.rows[i];
	xmlNode *declared = global(reader, "element", name);
	if (!declared)
		not_understood(user, "an element that is not declared");
	struct vocabulary_element *element = arena_alloc(reader->arena, sizeof *element);
	element->name = name;
	LIST_ADD(reader->arena, &reader->elements, element); /* before its content: elements may nest */
	const char *type = attribute(reader, declared, "type");
	xmlNode *complex = type ? global(reader, "complexType", type) : first(declared, "complexType");
	if (!complex)
		not_understood(declared, "an element without a complex type");
	fill_element(reader, declared, complex, element);
	return element;
}

const struct vocabulary *vocabulary_read(struct arena *arena, const char *xsd, size_t size, const char *roots)
{
	xmlDoc *tree = xmlReadMemory(xsd, (int)size, "schema", NULL, XML_PARSE_NONET);
	if (!tree)
		abort();
	struct reader reader = {.arena = arena, .schema = xmlDocGetRootElement(tree)};
	struct vocabulary *vocabulary = arena_alloc(arena, sizeof *vocabulary);
	index_globals(&reader);
	for (xmlNode *node = first(reader.schema, "element"); node; node = after(node, "element"))
		element_named(&reader, node, attribute(&reader, node, "name"));
	*vocabulary = (struct vocabulary){
		.namespace_uri = attribute(&reader, reader.schema, "targetNamespace"),
		.roots = roots,
		.elements = reader.elements.rows,
		.element_count = reader.elements.count,
		.xsd = xsd,
		.xsd_size = size,
		.owing = global(&reader, "simpleType", "owed") != NULL,
	};
	xmlFreeDoc(tree);
	return vocabulary;
}

const struct vocabulary_element *vocabulary_root(const struct vocabulary *vocabulary, const char *name)
{
	for (size_t i = 0; i < vocabulary->element_count && text_has_word(vocabulary->roots, name); i++)
		if (text_is(vocabulary->elements[i]->name, name))
			return vocabulary->elements[i];
	return NULL;
}

const struct vocabulary_attribute *vocabulary_attribute(const struct vocabulary_element *element, const char *name)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (text_is(element->attributes[i].name, name))
			return &element->attributes[i];
	return NULL;
}

const struct vocabulary_element *vocabulary_child(const struct vocabulary_element *element, const char *name)
{
	for (size_t i = 0; i < element->child_count; i++)
		if (text_is(element->children[i]->name, name))
			return element->children[i];
	return NULL;
}

const struct choice *vocabulary_choice(const struct vocabulary_type *type, const char *word)
{
	for (size_t i = 0; i < type->choice_count; i++)
		if (text_is(type->choices[i].word, word))
			return &type->choices[i];
	return NULL;
}

bool type_says_of_what(const struct vocabulary_type *type)
{
	return text_has_word("tag reference references", type->name);
}

static bool is_one_of(const char *written, const char *const *words, size_t count)
{
	const char *start = written + strspn(written, " \t\r\n");
	size_t length = strlen(start);
	while (length && strchr(" \t\r\n", start[length - 1]))
		length--;
	for (size_t i = 0; i < count; i++)
		if (strlen(words[i]) == length && strncasecmp(words[i], start, length) == 0)
			return true;
	return false;
}

bool written_is_unrecorded(const char *written)
{
	static const char *const words[] = {"not recorded"};
	return is_one_of(written, words, 1);
}

bool written_is_owed(const char *written)
{
	static const char *const words[] = {
		"t.b.d.", "t.b.d", "tbd.", "tbd", "tb.d.", "tb.d", "t.bd.", "t.bd", "hold", "later"};
	return is_one_of(written, words, COUNT(words)) || written_is_unrecorded(written);
}
