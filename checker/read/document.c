#include "read/document.h"

#include <errno.h>
#include <fcntl.h>
#include <libxml/SAX2.h>
#include <libxml/parser.h>
#include <libxml/parserInternals.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/count.h"
#include "base/text.h"

/* ---- bytes ---- */

static bool read_all(int fd, struct arena *arena, const char *path, struct problems *problems, struct text *out)
{
	struct place whole = {.file = path};
	char block[65536];
	*out = text_in(arena);
	for (;;) {
		ssize_t got = read(fd, block, sizeof block);
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0) {
			problem_add(problems, PROBLEM_UNREADABLE, whole, "%s", strerror(errno));
			return false;
		}
		if (got == 0)
			return true;
		if (out->length + (size_t)got > DOCUMENT_LARGEST) {
			problem_add(problems, PROBLEM_TOO_LARGE, whole,
				"more than %d MiB; the largest file read is %d MiB", DOCUMENT_LARGEST >> 20,
				DOCUMENT_LARGEST >> 20);
			return false;
		}
		text_add_span(out, block, (size_t)got);
	}
}

static void index_characters(struct arena *arena, struct document *document)
{
	size_t *characters = arena_alloc(arena, (document->size / PLACE_BLOCK + 1) * sizeof *characters), count = 0;
	for (size_t i = 0; i < document->size; i++) {
		if (i % PLACE_BLOCK == 0)
			characters[i / PLACE_BLOCK] = count;
		count += text_begins_character(document->bytes[i]);
	}
	document->characters = characters;
}

static size_t characters_before(const struct document *document, size_t offset)
{
	size_t block = offset / PLACE_BLOCK, count;
	if (block * PLACE_BLOCK >= document->size)
		block = (document->size - 1) / PLACE_BLOCK;
	count = document->characters[block];
	for (size_t i = block * PLACE_BLOCK; i < offset && i < document->size; i++)
		count += text_begins_character(document->bytes[i]);
	return count;
}

static void index_lines(struct arena *arena, struct document *document)
{
	size_t count = 1;
	for (size_t i = 0; i < document->size; i++)
		count += document->bytes[i] == '\n';
	size_t *lines = arena_alloc(arena, count * sizeof *lines);
	size_t line = 1;
	for (size_t i = 0; i < document->size; i++)
		if (document->bytes[i] == '\n')
			lines[line++] = i + 1;
	document->lines = lines;
	document->line_count = count;
}

static struct place place_of_offset(const struct document *document, size_t offset)
{
	size_t low = 0, high = document->line_count;
	while (high - low > 1) {
		size_t middle = low + (high - low) / 2;
		if (document->lines[middle] <= offset)
			low = middle;
		else
			high = middle;
	}
	size_t column = 1 + characters_before(document, offset) - characters_before(document, document->lines[low]);
	return (struct place){.file = document->file, .line = (int)low + 1, .column = (int)column};
}

/* How many bytes the character takes that begins here, of those that XML too takes for text; 0: none does. */
static size_t character_length(const unsigned char *at, size_t left)
{
	static const struct {
		unsigned char first, last, low, high; /* of the first byte, and of the second */
		size_t length;
	} forms[] = {{0x20, 0x7F, 0, 0, 1}, {'\t', '\n', 0, 0, 1}, {'\r', '\r', 0, 0, 1}, {0xC2, 0xDF, 0x80, 0xBF, 2},
		{0xE0, 0xE0, 0xA0, 0xBF, 3}, {0xE1, 0xEC, 0x80, 0xBF, 3}, {0xED, 0xED, 0x80, 0x9F, 3},
		{0xEE, 0xEF, 0x80, 0xBF, 3}, {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4},
		{0xF4, 0xF4, 0x80, 0x8F, 4}}; /* The Unicode Standard 15.0, table 3-7 */
	size_t i = 0, count = COUNT(forms);
	while (i < count && (*at < forms[i].first || *at > forms[i].last))
		i++;
	if (i == count || forms[i].length > left)
		return 0;
	for (size_t k = 1; k < forms[i].length; k++)
		if (at[k] < (k == 1 ? forms[i].low : 0x80) || at[k] > (k == 1 ? forms[i].high : 0xBF))
			return 0;
	bool none = at[0] == 0xEF && at[1] == 0xBF && at[2] >= 0xBE; /* U+FFFE and U+FFFF are no characters */
	return none ? 0 : forms[i].length;
}

/* The offset of a byte with which no character of text begins; `size` when all is text. */
static size_t first_not_text(const char *bytes, size_t size)
{
	size_t i = 0;
	for (size_t length; i < size; i += length)
		if (!(length = character_length((const unsigned char *)bytes + i, size - i)))
			return i;
	return size;
}

bool document_is_text(const char *name, const char *bytes, size_t size, struct problems *problems)
{
	size_t strange = first_not_text(bytes, size);
	struct place place = {.file = name, .line = 1, .column = 1};
	for (size_t i = 0; i < strange; i++) {
		place.line += bytes[i] == '\n';
		place.column = bytes[i] == '\n' ? 1 : place.column + text_begins_character(bytes[i]);
	}
	if (strange < size)
		problem_add(problems, PROBLEM_NOT_XML, place,
			"byte 0x%02X is no text in UTF-8; save the file as CSV in UTF-8",
			(unsigned char)bytes[strange]);
	return strange == size;
}

enum { ATTRIBUTES_MOST = 1000 }; /* of one element: who reads them compares each with each */

/* The offset of a start tag with more attributes than anything here has; `size` when there is none. */
static size_t crowded_tag(const char *bytes, size_t size)
{
	size_t tag = 0, equals = 0;
	char quote = 0;
	bool within = false;
	for (size_t i = 0; i < size; i++) {
		char c = bytes[i];
		if (!within) {
			within = c == '<' && i + 1 < size && bytes[i + 1] != '!' && bytes[i + 1] != '?';
			tag = i;
			equals = 0;
		} else if (quote) {
			quote = c == quote || c == '<' ? 0
						       : quote; /* no value holds a '<': it was text, or malformed */
		} else if (c == '"' || c == '\'') {
			quote = c;
		} else if (c == '=' && ++equals > ATTRIBUTES_MOST) {
			return tag;
		} else if (c == '>') {
			within = false;
		}
	}
	return size;
}

/* ---- parsing ---- */

/* What the callbacks of one parse share; the parser context points to it. */
struct parse {
	const struct document *document;
	struct problems *problems;
	bool refused; /* and why is told already */
	size_t elements, most_elements;
	bool broken; /* a fatal fault was met; the first one is kept: later ones are its echoes */
	struct place break_place;
	const char *break_message;
};

static size_t offset_now(const xmlParserCtxt *context)
{
	const xmlParserInput *input = context->input;
	return (size_t)input->consumed + (size_t)(input->cur - input->base);
}

/* The callback runs at the end of the start tag; a raw `<` cannot be inside one, so the nearest before is its own. */
static void note_element(void *data, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri, int namespaces,
	const xmlChar **declared, int attributes, int defaulted, const xmlChar **values)
{
	xmlParserCtxt *context = data;
	xmlSAX2StartElementNs(data, name, prefix, uri, namespaces, declared, attributes, defaulted, values);
	struct parse *parse = context->_private;
	const struct document *document = parse->document;
	size_t at = offset_now(context);
	if (at >= document->size)
		at = document->size - 1;
	while (at > 0 && document->bytes[at] != '<')
		at--;
	if (context->node)
		context->node->_private = (void *)(uintptr_t)(at + 1);
	bool counts = ++parse->elements == parse->most_elements + 1 && context->nodeNr > 0;
	if (counts &&
		strcmp((const char *)context->nodeTab[0]->name, "unit") == 0) { /* rules cost less and may be more */
		parse->refused = true;
		problem_add(parse->problems, PROBLEM_TOO_LARGE, place_of_offset(document, at),
			"more than %zu elements; divide the description: a review takes about 100 KiB for each line",
			parse->most_elements);
		xmlStopParser(context);
	}
}

static void refuse_doctype(void *data, const xmlChar *name, const xmlChar *external, const xmlChar *system)
{
	(void)name, (void)external, (void)system;
	xmlParserCtxt *context = data;
	struct parse *parse = context->_private;
	const char *stands = strstr(parse->document->bytes, "<!DOCTYPE");
	size_t at = stands ? (size_t)(stands - parse->document->bytes) : offset_now(context);
	parse->refused = true;
	problem_add(parse->problems, PROBLEM_DOCTYPE, place_of_offset(parse->document, at),
		"a document type declaration is refused, and every entity with it; remove the <!DOCTYPE ...>");
	xmlStopParser(context);
}

/* libxml2's message on one line, without its newline. */
const char *document_one_line(struct arena *arena, const char *message)
{
	char *line = arena_copy(arena, message ? message : "unknown fault");
	for (char *c = line; *c; c++)
		if (*c == '\n' || *c == '\r')
			*c = c[1] ? ' ' : '\0';
	return line;
}

static void note_break(void *data, xmlErrorPtr error)
{
	struct parse *parse = ((xmlParserCtxt *)data)->_private;
	if (parse->broken || error->level < XML_ERR_ERROR)
		return;
	parse->broken = true;
	((xmlParserCtxt *)data)->disableSAX = 1; /* nothing after the break enters the tree */
	parse->break_message = document_one_line(parse->problems->arena, error->message);
	parse->break_place = (struct place){.file = parse->document->file,
		.line = error->line > 0 ? error->line : 1,
		.column = error->int2 > 0 ? error->int2 : 1};
}

static bool other_encoding(const xmlDoc *tree)
{
	return tree->encoding && !text_same_nocase((const char *)tree->encoding, "UTF-8") &&
		!text_same_nocase((const char *)tree->encoding, "US-ASCII") &&
		!text_same_nocase((const char *)tree->encoding, "ASCII");
}

static xmlDoc *parse_tree(struct document *document, size_t most_elements, struct problems *problems)
{
	struct parse parse = {.document = document, .most_elements = most_elements, .problems = problems};
	xmlParserCtxt *context = xmlCreateMemoryParserCtxt(document->bytes, (int)document->size);
	if (!context) {
		problem_add(problems, PROBLEM_MALFORMED, (struct place){.file = document->file},
			"the parser could not start");
		return NULL;
	}
	xmlCtxtUseOptions(context, XML_PARSE_NONET | XML_PARSE_BIG_LINES | XML_PARSE_NOCDATA);
	context->_private = &parse;
	context->sax->startElementNs = note_element;
	context->sax->internalSubset = refuse_doctype;
	context->sax->serror = note_break;
	xmlParseDocument(context);
	xmlDoc *tree = context->myDoc;
	bool sound = !parse.refused && context->wellFormed && !parse.broken && tree && xmlDocGetRootElement(tree);
	if (!sound && !parse.refused)
		problem_add(problems, PROBLEM_MALFORMED,
			parse.broken ? parse.break_place : place_of_offset(document, 0),
			"%s; nothing after this place was read",
			parse.broken ? parse.break_message : "no root element");
	if (sound && other_encoding(tree)) {
		problem_add(problems, PROBLEM_NOT_XML, place_of_offset(document, 0), "encoding %s: only UTF-8 is read",
			(const char *)tree->encoding);
		sound = false;
	}
	context->myDoc = NULL;
	xmlFreeParserCtxt(context);
	document->cut_off = parse.broken && !parse.refused && tree && xmlDocGetRootElement(tree);
	if (sound || document->cut_off)
		return tree;
	if (tree)
		xmlFreeDoc(tree);
	return NULL;
}

struct document document_parse(
	struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *problems)
{
	return document_parse_up_to(arena, name, bytes, size, DOCUMENT_MOST_ELEMENTS, problems);
}

struct document document_parse_up_to(struct arena *arena, const char *name, const char *bytes, size_t size,
	size_t most_elements, struct problems *problems)
{
	struct document document = {.file = name, .bytes = bytes, .size = size};
	struct place whole = {.file = name};
	if (size > DOCUMENT_LARGEST) {
		problem_add(problems, PROBLEM_TOO_LARGE, whole, "%zu MiB; the largest file read is %d MiB", size >> 20,
			DOCUMENT_LARGEST >> 20);
		return document;
	}
	if (strspn(bytes, " \t\r\n") == size) {
		document.empty = true;
		return document;
	}
	index_lines(arena, &document);
	index_characters(arena, &document);
	size_t strange = first_not_text(bytes, size);
	if (strange < size) {
		problem_add(problems, PROBLEM_NOT_XML, place_of_offset(&document, strange),
			"byte 0x%02X is not UTF-8 text; a description is XML in UTF-8", (unsigned char)bytes[strange]);
		return document;
	}
	size_t crowded = crowded_tag(bytes, size);
	if (crowded < size) {
		problem_add(problems, PROBLEM_TOO_LARGE, place_of_offset(&document, crowded),
			"an element with more than %d attributes", ATTRIBUTES_MOST);
		return document;
	}
	document.tree = parse_tree(&document, most_elements, problems);
	return document;
}

bool document_bytes(struct arena *arena, const char *path, struct problems *problems, struct text *out)
{
	bool standard_input = strcmp(path, "-") == 0;
	path = standard_input ? "standard input" : path;
	int fd = standard_input ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
	if (fd < 0) {
		problem_add(problems, PROBLEM_UNREADABLE, (struct place){.file = path}, "%s", strerror(errno));
		return false;
	}
	struct stat status;
	bool whole = true;
	if (fstat(fd, &status) == 0 && S_ISREG(status.st_mode) && status.st_size > DOCUMENT_LARGEST) {
		problem_add(problems, PROBLEM_TOO_LARGE, (struct place){.file = path},
			"%lld MiB; the largest file read is %d MiB", (long long)status.st_size >> 20,
			DOCUMENT_LARGEST >> 20);
		whole = false;
	}
	whole = whole && read_all(fd, arena, path, problems, out);
	if (!standard_input)
		close(fd);
	return whole;
}

bool document_text(struct arena *arena, const char *path, struct problems *problems, struct text *out)
{
	return document_bytes(arena, path, problems, out) && document_is_text(path, out->data, out->length, problems);
}

struct document document_read(struct arena *arena, const char *path, struct problems *problems)
{
	return document_read_up_to(arena, path, DOCUMENT_MOST_ELEMENTS, problems);
}

struct document document_read_up_to(
	struct arena *arena, const char *path, size_t most_elements, struct problems *problems)
{
	struct document document = {.file = path};
	struct text bytes = {0};
	if (document_bytes(arena, path, problems, &bytes))
		document = document_parse_up_to(arena, strcmp(path, "-") == 0 ? "standard input" : path, bytes.data,
			bytes.length, most_elements, problems);
	return document;
}

void document_release(struct document *document)
{
	if (document->tree)
		xmlFreeDoc(document->tree);
	document->tree = NULL;
}

/* ---- places ---- */

struct place document_place(const struct document *document, const xmlNode *element)
{
	if (!element->_private)
		return (struct place){.file = document->file, .line = (int)xmlGetLineNo(element), .column = 1};
	return place_of_offset(document, (size_t)(uintptr_t)element->_private - 1);
}

/* Attributes have no position of their own in the tree: the start tag is scanned, quoted values skipped. */
static bool is_blank(char c)
{
	return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

struct place document_attribute_place(const struct document *document, const xmlNode *element, const char *attribute)
{
	if (!element->_private)
		return document_place(document, element);
	size_t start = (size_t)(uintptr_t)element->_private - 1, length = strlen(attribute);
	for (size_t i = start + 1; i < document->size && document->bytes[i] != '>'; i++) {
		char c = document->bytes[i];
		if (c == '"' || c == '\'') {
			const char *end = memchr(document->bytes + i + 1, c, document->size - i - 1);
			if (!end)
				break;
			i = (size_t)(end - document->bytes);
		} else if (is_blank(c) && document->size - i > length &&
			strncmp(document->bytes + i + 1, attribute, length) == 0 &&
			strchr(" \t\r\n=", document->bytes[i + 1 + length])) {
			return place_of_offset(document, i + 1);
		}
	}
	return document_place(document, element);
}
