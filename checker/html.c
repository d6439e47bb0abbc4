#include "html.h"

#include <libxml/xmlsave.h>

static xmlNode *noted(const xmlNode *parent, xmlNode *node)
{
	struct html *html = parent->doc->_private;
	html->failed = html->failed || !node;
	return node;
}

xmlNode *html_add(xmlNode *parent, const char *name, const char *class)
{
	if (!parent)
		return NULL;
	xmlNode *node = noted(parent, xmlNewChild(parent, NULL, BAD_CAST name, NULL));
	if (class)
		html_set(node, "class", class);
	return node;
}

void html_say(xmlNode *parent, const char *text)
{
	if (!parent || !*text)
		return;
	xmlNode *node = noted(parent, xmlNewDocText(parent->doc, BAD_CAST text));
	if (node && !xmlAddChild(parent, node)) {
		noted(parent, NULL);
		xmlFreeNode(node);
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
	if (node && !xmlNewProp(node, BAD_CAST attribute, BAD_CAST value))
		noted(node, NULL);
}

/* The root by hand: libxml2's own maker of HTML documents writes the document type of HTML 4. */
static xmlNode *make_root(struct html *html)
{
	html->tree = xmlNewDoc(BAD_CAST "1.0");
	if (!html->tree)
		return NULL;
	html->tree->type = XML_HTML_DOCUMENT_NODE;
	html->tree->_private = html;
	if (!xmlCreateIntSubset(html->tree, BAD_CAST "html", NULL, NULL))
		return NULL;
	xmlNode *root = xmlNewDocNode(html->tree, NULL, BAD_CAST "html", NULL);
	if (root)
		xmlDocSetRootElement(html->tree, root);
	return root;
}

void html_open(struct html *html)
{
	*html = (struct html){0};
	xmlNode *root = make_root(html);
	html->failed = !root;
	html_set(root, "lang", "en");
	html->head = html_add(root, "head", NULL);
	html->body = html_add(root, "body", NULL);
}

void html_release(struct html *html)
{
	xmlFreeDoc(html->tree);
	*html = (struct html){0};
}

static int write_bytes(void *context, const char *bytes, int count)
{
	FILE *out = context;
	return fwrite(bytes, 1, (size_t)count, out) == (size_t)count ? count : -1;
}

bool html_save(const struct html *html, FILE *out)
{
	if (html->failed)
		return false;
	xmlSaveCtxt *save = xmlSaveToIO(write_bytes, NULL, out, "UTF-8", XML_SAVE_AS_HTML);
	if (!save)
		return false;
	bool saved = xmlSaveDoc(save, html->tree) >= 0;
	saved = xmlSaveClose(save) >= 0 && saved;
	return fflush(out) == 0 && !ferror(out) && saved;
}
