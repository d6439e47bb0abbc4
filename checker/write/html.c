#include "write/html.h"

#include <libxml/xmlsave.h>
#include <string.h>

#include "base/text.h"

/* What follows looks for no NULL: the tree takes its memory as the arena does, which ends the run where there is no more. */
xmlNode *html_add(xmlNode *parent, const char *name, const char *class)
{
	xmlNode *node = xmlNewChild(parent, NULL, (const xmlChar *)name, NULL);
	if (class)
		html_set(node, "class", class);
	return node;
}

static void append(xmlNode *parent, const char *text, size_t length)
{
	xmlAddChild(parent, xmlNewDocTextLen(parent->doc, (const xmlChar *)text, (int)length));
}

static const char BLANKS[] = " \n";

/* The bytes of `word` up to the next blank, and of those the ones that are shown. */
static size_t word_length(const char *word, size_t longest, size_t *shown)
{
	enum { CONTINUES = 0x80, CONTINUES_MASK = 0xC0 }; /* the bytes of UTF-8 that start no character */
	size_t length = strcspn(word, BLANKS), characters = 0;
	for (*shown = 0; *shown < length; ++*shown)
		if (((unsigned char)word[*shown] & CONTINUES_MASK) != CONTINUES && longest && characters++ == longest)
			break;
	return length;
}

static void say_span(xmlNode *parent, const char *text, size_t length)
{
	const char *start = text, *at = text;
	while (at < text + length) {
		size_t control_length = text_control_length(at);
		if (!control_length) {
			at++;
			continue;
		}
		append(parent, start, (size_t)(at - start));
		append(parent, "\xEF\xBF\xBD", strlen("\xEF\xBF\xBD"));
		start = at += control_length;
	}
	if (at > start)
		append(parent, start, (size_t)(at - start));
}

void html_say(xmlNode *parent, const char *text)
{
	const struct html *html = parent->doc->_private;
	if (!html->longest_word) {
		say_span(parent, text, strlen(text));
		return;
	}
	while (*text) {
		size_t blanks = strspn(text, BLANKS), shown;
		size_t length = word_length(text + blanks, html->longest_word, &shown);
		say_span(parent, text, blanks + shown);
		if (shown < length)
			say_span(parent, "…", strlen("…"));
		text += blanks + length;
	}
}

xmlNode *html_add_text(xmlNode *parent, const char *name, const char *class, const char *text)
{
	xmlNode *node = html_add(parent, name, class);
	html_say(node, text);
	return node;
}

void html_name(xmlNode *parent, const char *text)
{
	html_add_text(parent, "bdi", NULL, text);
}

void html_set(xmlNode *node, const char *attribute, const char *value)
{
	xmlNewProp(node, (const xmlChar *)attribute, (const xmlChar *)value);
}

/* The root by hand: libxml2's own maker of HTML documents writes the document type of HTML 4. */
static xmlNode *make_root(struct html *html)
{
	html->tree = xmlNewDoc((const xmlChar *)"1.0");
	html->tree->type = XML_HTML_DOCUMENT_NODE;
	html->tree->_private = html;
	xmlCreateIntSubset(html->tree, (const xmlChar *)"html", NULL, NULL);
	xmlNode *root = xmlNewDocNode(html->tree, NULL, (const xmlChar *)"html", NULL);
	xmlDocSetRootElement(html->tree, root);
	return root;
}

void html_open(struct html *html)
{
	*html = (struct html){0};
	xmlNode *root = make_root(html);
	html_set(root, "lang", "en");
	html->head = html_add(root, "head", NULL);
	html->body = html_add(root, "body", NULL);
}

void html_release(struct html *html)
{
	xmlFreeDoc(html->tree);
	*html = (struct html){0};
}

/* By way of memory: written straight to the file, libxml2 would print a line of its own when the disk is full. */
bool html_save(const struct html *html, FILE *out)
{
	xmlBuffer *buffer = xmlBufferCreate();
	xmlSaveCtxt *save = xmlSaveToBuffer(buffer, "UTF-8", XML_SAVE_AS_HTML);
	bool saved = xmlSaveDoc(save, html->tree) >= 0;
	saved = xmlSaveClose(save) >= 0 && saved;
	size_t size = (size_t)xmlBufferLength(buffer);
	saved = saved && fwrite(xmlBufferContent(buffer), 1, size, out) == size && fflush(out) == 0;
	xmlBufferFree(buffer);
	return saved;
}
