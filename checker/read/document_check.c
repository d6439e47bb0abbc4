/* The structure of a file: against the vocabulary with words of its own, then against the XSD. */
#include "read/document.h"

#include <libxml/xmlschemas.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

bool document_is_for_editors(const xmlAttr *attribute)
{
	static const char instance[] = "http://www.w3.org/2001/XMLSchema-instance";
	const char *name = (const char *)attribute->name;
	return attribute->ns && text_same((const char *)attribute->ns->href, instance) &&
		(text_same(name, "schemaLocation") || text_same(name, "noNamespaceSchemaLocation"));
}

struct check {
	const struct document *document;
	const struct vocabulary *vocabulary;
	struct problems *problems;
	size_t faults;
};

static struct text nearest_of(struct check *check, const char *word, const char *const *allowed, size_t count)
{
	struct text text = text_in(check->problems->arena);
	const char *nearest = text_nearest(word, allowed, count);
	if (nearest)
		text_addf(&text, "did you mean '%s'? ", nearest);
	return text;
}

/* "did you mean 'size'? " or "", then what is allowed. */
static const char *advice(struct check *check, const char *word, const char *const *allowed, size_t count)
{
	struct text text = nearest_of(check, word, allowed, count);
	text_add(&text, count ? "allowed:" : "none is allowed");
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s %s", i ? "," : "", allowed[i]);
	return text.data;
}

/* The attributes of an item of a unit are too many for one line; those of a case are attributes of what it is part of. */
static const char *advice_on_attribute(
	struct check *check, const xmlNode *node, const char *word, const char *const *allowed, size_t count)
{
	enum { MOST = 20 };
	if (!check->vocabulary->owing || count <= MOST)
		return advice(check, word, allowed, count);
	bool override = text_has_word("in stated", (const char *)node->name);
	struct text text = nearest_of(check, word, allowed, count);
	text_addf(&text, "`leanrich help describing %s` lists what is allowed", (override ? node->parent : node)->name);
	return text.data;
}

static void fault(struct check *check, enum problem_code code, struct place place, const char *message)
{
	check->faults++;
	problem_add(check->problems, code, place, "%s", message);
}

/* What says which item, document or case a statement speaks of cannot be owed: without it nothing is stated. */
static void check_owed(
	struct check *check, const xmlNode *node, const struct vocabulary_attribute *attribute, const char *written)
{
	const char *why = attribute->required ? "the attribute is required"
		: type_says_of_what(attribute->type) || strcmp(attribute->name, "case") == 0
		? "it says what is spoken of"
		: NULL;
	if (why)
		fault(check, PROBLEM_OWED, document_attribute_place(check->document, node, attribute->name),
			arena_format(check->problems->arena, "%s: '%s' may stand for a value, not here: %s%s",
				attribute->name, written, why,
				attribute->required ? "; give a provisional one" : "; leave it out until it is known"));
}

/* Yes or no, and choices; an id must not be empty. Numbers and dates are for those who resolve them. */
static void check_value(
	struct check *check, const xmlNode *node, const struct vocabulary_attribute *attribute, const char *written)
{
	static const char *const yes_no[] = {"yes", "no"};
	struct arena *arena = check->problems->arena;
	const struct vocabulary_type *type = attribute->type;
	if (strcmp(type->name, "tag") == 0 && strspn(written, " \t\r\n") == strlen(written))
		fault(check, PROBLEM_MISSING, document_attribute_place(check->document, node, attribute->name),
			arena_format(arena, "the attribute '%s' is empty", attribute->name));
	if (check->vocabulary->owing && written_is_owed(written)) {
		check_owed(check, node, attribute, written);
		return;
	}
	size_t count = type->accepted.kinds[0] == KIND_YES_NO ? 2 : type->choice_count;
	for (size_t i = 0; i < count; i++)
		if (strcmp(type->choice_count ? type->choices[i].word : yes_no[i], written) == 0)
			return;
	const char **words = arena_alloc(arena, (count + 1) * sizeof *words);
	for (size_t i = 0; i < count; i++)
		words[i] = type->choice_count ? type->choices[i].word : yes_no[i];
	if (count)
		fault(check, PROBLEM_NOT_A_CHOICE, document_attribute_place(check->document, node, attribute->name),
			arena_format(arena, "%s: '%s' is not known: %s", attribute->name, written,
				advice(check, written, words, count)));
}

static void check_values(struct check *check, const xmlNode *node, const struct vocabulary_element *element)
{
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next) {
		const struct vocabulary_attribute *known = vocabulary_attribute(element, (const char *)attr->name);
		if (!known || attr->ns)
			continue;
		xmlChar *value = xmlNodeListGetString(check->document->tree, attr->children, 1);
		check_value(check, node, known, value ? (const char *)value : "");
		xmlFree(value);
	}
}

static void check_attributes(struct check *check, const xmlNode *node, const struct vocabulary_element *element)
{
	struct arena *arena = check->problems->arena;
	const char **names = arena_alloc(arena, (element->attribute_count + 1) * sizeof *names);
	for (size_t i = 0; i < element->attribute_count; i++)
		names[i] = element->attributes[i].name;
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next) {
		const char *name = (const char *)attr->name;
		if ((!attr->ns && vocabulary_attribute(element, name)) || element->any_attribute ||
			document_is_for_editors(attr))
			continue;
		fault(check, PROBLEM_UNKNOWN_ATTRIBUTE, document_attribute_place(check->document, node, name),
			arena_format(arena, "attribute '%s' on <%s>: %s", name, element->name,
				advice_on_attribute(check, node, name, names, element->attribute_count)));
	}
	for (size_t i = 0; i < element->attribute_count; i++) {
		if (!element->attributes[i].required || xmlHasProp(node, (const xmlChar *)names[i]))
			continue;
		fault(check, PROBLEM_MISSING, document_place(check->document, node),
			arena_format(arena, "<%s> needs the attribute '%s': %s", element->name, names[i],
				element->attributes[i].documentation));
	}
}

static void refuse_child(struct check *check, const xmlNode *child, const struct vocabulary_element *element, bool ours)
{
	struct arena *arena = check->problems->arena;
	const char *name = (const char *)child->name;
	struct place place = document_place(check->document, child);
	if (!ours) {
		fault(check, PROBLEM_NAMESPACE, place,
			arena_format(arena, "element <%s> is in namespace '%s'; expected '%s'", name,
				child->ns ? (const char *)child->ns->href : "", check->vocabulary->namespace_uri));
		return;
	}
	const char **names = arena_alloc(arena, (element->child_count + 1) * sizeof *names);
	for (size_t i = 0; i < element->child_count; i++)
		names[i] = element->children[i]->name;
	fault(check, PROBLEM_UNKNOWN_ELEMENT, place,
		arena_format(arena, "element <%s> in <%s>: %s", name, element->name,
			advice(check, name, names, element->child_count)));
}

static const char *stray_text(struct arena *arena, const xmlNode *text)
{
	const char *content = (const char *)text->content;
	const char *start = content + strspn(content, " \t\r\n"), *end = start + strlen(start);
	while (end > start && strchr(" \t\r\n", end[-1]))
		end--;
	return text_quoted(arena, arena_copy_span(arena, start, (size_t)(end - start)));
}

static void check_element(struct check *check, const xmlNode *node, const struct vocabulary_element *element)
{
	check_attributes(check, node, element);
	check_values(check, node, element);
	const xmlNode *stray = NULL;
	for (const xmlNode *child = node->children; child; child = child->next) {
		if (!stray && child->type == XML_TEXT_NODE && !element->text && !xmlIsBlankNode(child))
			stray = child;
		if (child->type != XML_ELEMENT_NODE)
			continue;
		bool ours = child->ns && text_same((const char *)child->ns->href, check->vocabulary->namespace_uri);
		const struct vocabulary_element *known =
			ours ? vocabulary_child(element, (const char *)child->name) : NULL;
		if (known)
			check_element(check, child, known);
		else
			refuse_child(check, child, element, ours);
	}
	if (stray)
		fault(check, PROBLEM_STRAY_TEXT, document_place(check->document, node),
			arena_format(check->problems->arena, "text %s inside <%s>, where only elements are allowed",
				stray_text(check->problems->arena, stray), element->name));
}

static void note_schema_fault(void *data, xmlErrorPtr error)
{
	struct check *check = data;
	const xmlNode *node = error->node;
	while (node && node->type != XML_ELEMENT_NODE)
		node = node->parent;
	struct place place =
		node ? document_place(check->document, node) : (struct place){.file = check->document->file};
	check->faults++;
	problem_add(check->problems, PROBLEM_SCHEMA, place, "%s",
		document_one_line(check->problems->arena, error->message));
}

/* The schema that was prepared last, with the text it was made of: most documents of a run are in one language. */
static struct {
	char *xsd;
	size_t size;
	xmlSchema *schema;
} prepared;

/* Copies without the blanks between tags; gives where the copy ends. */
static char *copy_tags(char *out, const char *from, const char *end)
{
	static const char blanks[] = " \t\r\n";
	for (const char *tag; (tag = memchr(from, '>', (size_t)(end - from))) != NULL;) {
		size_t length = (size_t)(tag + 1 - from), between = strspn(tag + 1, blanks);
		memcpy(out, from, length);
		out += length;
		from = tag + 1 + (tag[1 + between] == '<' ? between : 0);
	}
	memcpy(out, from, (size_t)(end - from));
	return out + (end - from);
}

/* What the schema says to people, and how it is laid out, says nothing of what is valid, and is half of it. Gives how much is left. */
static size_t leave_out_annotations(char *out, const char *xsd, size_t size)
{
	static const char begins[] = "<xs:annotation>", ends[] = "</xs:annotation>";
	const char *at = xsd;
	char *to = out;
	for (const char *from, *after; (from = strstr(at, begins)) != NULL && (after = strstr(from, ends)) != NULL;
		at = after + sizeof ends - 1)
		to = copy_tags(to, at, from);
	return (size_t)(copy_tags(to, at, xsd + size) - out);
}

/* NULL: it could not be prepared. */
static xmlSchema *schema_of(const struct vocabulary *vocabulary)
{
	if (prepared.schema && prepared.size == vocabulary->xsd_size &&
		memcmp(prepared.xsd, vocabulary->xsd, prepared.size) == 0)
		return prepared.schema;
	xmlSchemaFree(prepared.schema);
	prepared.size = vocabulary->xsd_size;
	prepared.xsd = checked_realloc(prepared.xsd, prepared.size + 1);
	memcpy(prepared.xsd, vocabulary->xsd, prepared.size);
	prepared.xsd[prepared.size] = '\0';
	char *brief = checked_malloc(prepared.size);
	size_t size = leave_out_annotations(brief, prepared.xsd, prepared.size);
	xmlSchemaParserCtxt *parser = xmlSchemaNewMemParserCtxt(brief, (int)size);
	prepared.schema = parser ? xmlSchemaParse(parser) : NULL;
	if (parser)
		xmlSchemaFreeParserCtxt(parser);
	free(brief);
	return prepared.schema;
}

/* The net under the vocabulary: whatever else the XSD forbids. */
static void validate(struct check *check)
{
	xmlSchema *schema = schema_of(check->vocabulary);
	xmlSchemaValidCtxt *context = schema ? xmlSchemaNewValidCtxt(schema) : NULL;
	if (context) {
		xmlSchemaSetValidStructuredErrors(context, note_schema_fault, check);
		xmlSchemaValidateDoc(context, check->document->tree);
		xmlSchemaFreeValidCtxt(context);
	} else {
		check->faults++;
		problem_add(check->problems, PROBLEM_SCHEMA, (struct place){.file = check->document->file},
			"the built-in schema could not be prepared");
	}
}

static const char *allowed_roots(struct arena *arena, const struct vocabulary *vocabulary)
{
	struct text text = text_in(arena);
	for (const char *at = vocabulary->roots; *at; at++)
		text_add(&text, *at == ' ' ? "> or <" : (char[]){*at, '\0'});
	return arena_format(arena, "<%s>", text.data);
}

bool document_check(const struct document *document, const struct vocabulary *vocabulary, struct problems *problems)
{
	if (document->empty) {
		problem_add(problems, PROBLEM_EMPTY, (struct place){.file = document->file},
			"the file holds nothing; it starts with %s%s", allowed_roots(problems->arena, vocabulary),
			vocabulary_root(vocabulary, "unit") ? ": `leanrich template` writes a start" : "");
		return false;
	}
	struct check check = {.document = document, .vocabulary = vocabulary, .problems = problems};
	const xmlNode *root = xmlDocGetRootElement(document->tree);
	const char *space = root->ns ? (const char *)root->ns->href : "";
	const struct vocabulary_element *known = vocabulary_root(vocabulary, (const char *)root->name);
	if (!known || !text_same(space, vocabulary->namespace_uri)) {
		problem_add(problems, PROBLEM_NAMESPACE, document_place(document, root),
			"the root is <%s> in namespace '%s'; expected %s in namespace '%s'", (const char *)root->name,
			space, allowed_roots(problems->arena, vocabulary), vocabulary->namespace_uri);
		return false;
	}
	check_element(&check, root, known);
	if (check.faults == 0 && !document->cut_off)
		validate(&check);
	return check.faults == 0;
}
