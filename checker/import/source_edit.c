#include "import/source_edit.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

struct source_edit {
	struct source_span span; /* what goes */
	const char *with;	 /* what comes */
	size_t order;
};

static const char BLANKS[] = " \t\r\n";

struct source_edits source_edits_of(struct arena *arena, const struct document *document)
{
	return (struct source_edits){.arena = arena, .document = document};
}

/* ---- places ---- */

static size_t after_text(const char *bytes, size_t at, const char *end)
{
	const char *found = strstr(bytes + at, end);
	return found ? (size_t)(found - bytes) + strlen(end) : at + strlen(bytes + at);
}

/* From a "<" to after its ">"; quotes may hold another. */
static size_t tag_end(const char *bytes, size_t at)
{
	char quote = 0;
	for (; bytes[at] && (quote || bytes[at] != '>'); at++)
		if (quote)
			quote = bytes[at] == quote ? 0 : quote;
		else if (bytes[at] == '"' || bytes[at] == '\'')
			quote = bytes[at];
	return bytes[at] ? at + 1 : at;
}

static size_t start_of(const xmlNode *element)
{
	return (size_t)(uintptr_t)element->_private - 1;
}

struct source_span source_start_tag(const struct document *document, const xmlNode *element)
{
	size_t start = start_of(element);
	return (struct source_span){.start = start, .end = tag_end(document->bytes, start)};
}

static bool is_empty_tag(const struct document *document, struct source_span tag)
{
	return document->bytes[tag.end - 2] == '/';
}

struct source_span source_element(const struct document *document, const xmlNode *element)
{
	const char *bytes = document->bytes;
	struct source_span span = source_start_tag(document, element);
	size_t depth = !is_empty_tag(document, span);
	while (depth && bytes[span.end]) {
		const char *at = strchr(bytes + span.end, '<');
		if (!at)
			break;
		size_t start = (size_t)(at - bytes);
		if (strncmp(at, "<!--", 4) == 0) {
			span.end = after_text(bytes, start, "-->");
		} else if (strncmp(at, "<![CDATA[", 9) == 0) {
			span.end = after_text(bytes, start, "]]>");
		} else if (at[1] == '?') {
			span.end = after_text(bytes, start, "?>");
		} else {
			span.end = tag_end(bytes, start);
			depth = at[1] == '/' ? depth - 1 : depth + (bytes[span.end - 2] != '/');
		}
	}
	return span;
}

static size_t before_blanks(const char *bytes, size_t at)
{
	while (at && strchr(BLANKS, bytes[at - 1]))
		at--;
	return at;
}

struct source_span source_comment_before(const struct document *document, const xmlNode *element)
{
	const char *bytes = document->bytes;
	size_t end = before_blanks(bytes, start_of(element)), start = end;
	if (end < 3 || strncmp(bytes + end - 3, "-->", 3) != 0)
		return (struct source_span){.start = end, .end = end};
	while (start && strncmp(bytes + start, "<!--", 4) != 0)
		start--;
	return (struct source_span){.start = start, .end = end};
}

size_t source_after(const struct document *document, const xmlNode *element)
{
	const char *bytes = document->bytes;
	size_t end = source_element(document, element).end, at = end + strspn(bytes + end, " \t");
	if (strncmp(bytes + at, "<!--", 4) != 0)
		return end;
	at = after_text(bytes, at, "-->");
	bool same_line = !memchr(bytes + end, '\n', at - end);
	return same_line && strchr("\r\n", bytes[at + strspn(bytes + at, " \t")]) ? at : end;
}

const char *source_indent(struct arena *arena, const struct document *document, size_t at)
{
	size_t start = at;
	while (start && strchr(" \t", document->bytes[start - 1]))
		start--;
	bool alone = start && document->bytes[start - 1] == '\n';
	return alone ? arena_copy_span(arena, document->bytes + start, at - start) : NULL;
}

/* ---- text ---- */

void source_add_value(struct text *out, const char *words)
{
	for (const char *c = words; *c; c++)
		if (*c == '&')
			text_add(out, "&amp;");
		else if (*c == '<')
			text_add(out, "&lt;");
		else if (*c == '"')
			text_add(out, "&quot;");
		else if ((unsigned char)*c < ' ')
			text_addf(out, "&#%d;", *c);
		else
			text_add_char(out, *c);
}

void source_add_comment(struct text *out, const char *words)
{
	for (const char *c = words; *c; c++) {
		text_add_char(out, (unsigned char)*c < ' ' ? ' ' : *c);
		if (*c == '-' && (c[1] == '-' || !c[1]))
			text_add_char(out, ' ');
	}
}

/* ---- changes ---- */

void source_replace(struct source_edits *edits, struct source_span span, const char *with)
{
	edits->rows = arena_grow(edits->arena, edits->rows, edits->count, &edits->capacity, sizeof *edits->rows);
	edits->rows[edits->count] =
		(struct source_edit){.span = span, .with = arena_copy(edits->arena, with), .order = edits->count};
	edits->count++;
}

void source_insert(struct source_edits *edits, size_t at, const char *what)
{
	source_replace(edits, (struct source_span){.start = at, .end = at}, what);
}

static size_t name_length(const char *at)
{
	return strcspn(at, " \t\r\n=/>");
}

struct attribute_spans {
	struct source_span whole, value; /* whole: with the blanks before it; value: between the quotes */
	size_t last;			 /* the end of the last attribute, or of the name of the element */
	bool found;
};

static struct attribute_spans find_attribute(const struct document *document, const xmlNode *element, const char *name)
{
	const char *bytes = document->bytes;
	struct attribute_spans spans = {.found = false};
	size_t at = start_of(element) + 1;
	at += name_length(bytes + at);
	spans.last = at;
	for (;;) {
		size_t start = at + strspn(bytes + at, BLANKS), length = name_length(bytes + start);
		if (!length)
			return spans;
		size_t quote = start + length + strcspn(bytes + start + length, "\"'");
		const char *end = strchr(bytes + quote + 1, bytes[quote]);
		if (!end)
			return spans;
		if (strlen(name) == length && strncmp(bytes + start, name, length) == 0) {
			spans.found = true;
			spans.value = (struct source_span){.start = quote + 1, .end = (size_t)(end - bytes)};
			spans.whole = (struct source_span){.start = at, .end = (size_t)(end - bytes) + 1};
		}
		at = (size_t)(end - bytes) + 1;
		spans.last = at;
	}
}

void source_set(struct source_edits *edits, const xmlNode *element, const char *name, const char *value)
{
	struct attribute_spans spans = find_attribute(edits->document, element, name);
	struct text text = text_in(edits->arena);
	if (!value) {
		if (spans.found)
			source_replace(edits, spans.whole, "");
		return;
	}
	text_addf(&text, "%s%s%s", spans.found ? "" : " ", spans.found ? "" : name, spans.found ? "" : "=\"");
	source_add_value(&text, value);
	if (spans.found && edits->document->bytes[spans.value.end] == '"') {
		source_replace(edits, spans.value, text.data);
	} else if (spans.found) { /* other quotes: the value may hold one */
		source_replace(edits, (struct source_span){spans.value.start - 1, spans.value.end + 1},
			arena_format(edits->arena, "\"%s\"", text.data));
	} else {
		text_add_char(&text, '"');
		source_insert(edits, spans.last, text.data);
	}
}

void source_remove(struct source_edits *edits, const xmlNode *element, bool with_comment)
{
	const char *bytes = edits->document->bytes;
	struct source_span span = source_element(edits->document, element);
	struct source_span comment = source_comment_before(edits->document, element);
	if (with_comment && comment.end > comment.start)
		span.start = comment.start;
	while (span.start && strchr(" \t", bytes[span.start - 1]))
		span.start--;
	span.start -= span.start && bytes[span.start - 1] == '\n';
	span.start -= span.start && bytes[span.start - 1] == '\r';
	source_replace(edits, span, "");
}

void source_append(struct source_edits *edits, const xmlNode *element, const char *children, const char *indent)
{
	const char *bytes = edits->document->bytes;
	struct source_span tag = source_start_tag(edits->document, element);
	if (is_empty_tag(edits->document, tag)) {
		struct source_span end = {.start = tag.end - 2, .end = tag.end};
		while (strchr(BLANKS, bytes[end.start - 1]))
			end.start--;
		source_replace(edits, end,
			arena_format(edits->arena, ">%s\n%s</%s>", children, indent, (const char *)element->name));
		return;
	}
	size_t end = source_element(edits->document, element).end;
	while (bytes[end - 1] != '<')
		end--;
	size_t at = before_blanks(bytes, end - 1);
	source_insert(edits, at, children);
	if (at == end - 1) /* the end tag stood on the same line */
		source_insert(edits, at, arena_format(edits->arena, "\n%s", indent));
}

/* ---- the file ---- */

static int by_place(const void *a, const void *b)
{
	const struct source_edit *one = a, *other = b;
	if (one->span.start != other->span.start)
		return one->span.start < other->span.start ? -1 : 1;
	return one->order < other->order ? -1 : 1;
}

struct text source_changed(const struct source_edits *edits)
{
	struct text out = text_in(edits->arena);
	struct source_edit *rows = arena_alloc(edits->arena, (edits->count + 1) * sizeof *rows);
	size_t at = 0;
	if (edits->count) {
		memcpy(rows, edits->rows, edits->count * sizeof *rows);
		qsort(rows, edits->count, sizeof *rows, by_place);
	}
	for (size_t i = 0; i < edits->count; i++) {
		if (rows[i].span.start > at)
			text_add_span(&out, edits->document->bytes + at, rows[i].span.start - at);
		text_add(&out, rows[i].with);
		at = rows[i].span.end > at ? rows[i].span.end : at;
	}
	text_add_span(&out, edits->document->bytes + at, edits->document->size - at);
	return out;
}
