#include "write/sheet.h"

#include "base/count.h"
#include "base/embedded.h"
#include "write/style.h"

/* Nothing is fetched and no script runs. */
static void add_head(xmlNode *head, const char *title, const char *style)
{
	static const char *const metas[][2] = {{"viewport", "width=device-width, initial-scale=1"},
		{"color-scheme", "light dark"}, {"generator", "leanrich"}};
	xmlNode *policy = html_add(head, "meta", NULL);
	html_set(policy, "http-equiv", "Content-Security-Policy");
	html_set(policy, "content",
		"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'");
	for (size_t i = 0; i < COUNT(metas); i++) {
		xmlNode *meta = html_add(head, "meta", NULL);
		html_set(meta, "name", metas[i][0]);
		html_set(meta, "content", metas[i][1]);
	}
	html_add_text(head, "title", NULL, title);
	const struct embedded_file *more = embedded_find("checker/write/sheet.css");
	html_add_text(head, "style", NULL, style);
	html_add_text(head, "style", NULL, more ? (const char *)more->data : "");
}

static void add_fact(xmlNode *list, const struct sheet_fact *fact)
{
	xmlNode *pair = html_add(list, "div", NULL);
	html_add_text(pair, "dt", NULL, fact->name);
	html_name(html_add(pair, "dd", NULL), fact->value);
}

void sheet_open(
	struct sheet *sheet, const char *kind, const char *number, const char *name, const struct sheet_fact *facts)
{
	*sheet = (struct sheet){.page = {.arena = &sheet->arena}};
	html_open(&sheet->html);
	add_head(sheet->html.head, arena_format(&sheet->arena, "%s: %s %s", kind, number, name),
		style_for_screen(&sheet->arena));
	xmlNode *body = sheet->html.body, *header = html_add(body, "header", "title-block alone");
	xmlNode *title = html_add(header, "div", "title");
	html_add_text(title, "p", "kind", kind);
	xmlNode *heading = html_add(title, "h1", NULL);
	html_name(heading, number);
	html_say(heading, " ");
	html_name(heading, name);
	xmlNode *list = html_add(header, "dl", "facts");
	for (; facts->name; facts++)
		add_fact(list, facts);
	xmlNode *nav = html_add(body, "nav", NULL);
	html_set(nav, "aria-label", "Contents");
	sheet->page.contents = html_add(nav, "ol", NULL);
	sheet->page.main = html_add(body, "main", NULL);
}

static void add_cautions(struct page *page)
{
	xmlNode *section = page_section(page, "cautions", "Cautions");
	xmlNode *list = html_add(section, "ul", NULL);
	for (size_t i = 0; review_cautions[i]; i++)
		html_add_text(list, "li", NULL, review_cautions[i]);
}

bool sheet_close(struct sheet *sheet, FILE *out)
{
	add_cautions(&sheet->page);
	html_add_text(sheet->html.body, "footer", NULL, "A screening aid; a licensed engineer decides.");
	bool written = html_save(&sheet->html, out);
	html_release(&sheet->html);
	arena_release(&sheet->arena);
	return written;
}

xmlNode *sheet_row(xmlNode *body, const char *const *cells, size_t count)
{
	xmlNode *row = html_add(body, "tr", NULL);
	for (size_t i = 0; i < count; i++) {
		xmlNode *cell = html_add(row, i ? "td" : "th", i ? NULL : "tag");
		if (!i)
			html_set(cell, "scope", "row");
		html_name(cell, cells[i]);
	}
	return row;
}
