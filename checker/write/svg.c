#include "write/svg.h"

#include "write/style.h"

xmlNode *svg_open(struct page *page, xmlNode *parent, const struct svg *svg)
{
	const char *title_id = arena_format(page->arena, "%s-title", svg->id);
	const char *description_id = arena_format(page->arena, "%s-description", svg->id);
	xmlNode *figure = html_add(parent, "figure", NULL);
	xmlNode *region = html_add(figure, "div", "region");
	html_set(region, "tabindex", "0");
	html_set(region, "role", "region");
	html_set(region, "aria-label", svg->title);
	xmlNode *drawing = html_add(region, "svg", svg->class);
	html_set(drawing, "viewBox", arena_format(page->arena, "0 0 %.0f %.0f", svg->width, svg->height));
	html_set(drawing, "role", "img");
	html_set(drawing, "aria-labelledby", arena_format(page->arena, "%s %s", title_id, description_id));
	html_set(html_add_text(drawing, "title", NULL, svg->title), "id", title_id);
	html_set(html_add_text(drawing, "desc", NULL, svg->description), "id", description_id);
	if (page->paper)
		html_add_text(drawing, "style", NULL, style_for_figure(page->arena));
	html_add_text(figure, "figcaption", NULL, svg->caption);
	return drawing;
}

void svg_set(struct page *page, xmlNode *node, const char *attribute, double value)
{
	html_set(node, attribute, arena_format(page->arena, "%.1f", value));
}

void svg_line(struct page *page, xmlNode *parent, const char *class, double x1, double y1, double x2, double y2)
{
	xmlNode *line = html_add(parent, "line", class);
	svg_set(page, line, "x1", x1);
	svg_set(page, line, "y1", y1);
	svg_set(page, line, "x2", x2);
	svg_set(page, line, "y2", y2);
}

void svg_words(struct page *page, xmlNode *parent, const char *class, double x, double y, const char *words)
{
	xmlNode *text = html_add_text(parent, "text", class, words);
	svg_set(page, text, "x", x);
	svg_set(page, text, "y", y);
}

void svg_mark(struct page *page, xmlNode *parent, enum action action, double x, double y)
{
	/* Rounds as curves: some programs that lay out paper draw an arc as a polygon. */
	static const char *const shapes[] = {"M-5.5-5.5h11v11h-11z", "M0-6.8L6.4 5H-6.4z",
		"M-5.8 0C-5.8-3.2-3.2-5.8 0-5.8C3.2-5.8 5.8-3.2 5.8 0C5.8 3.2 3.2 5.8 0 5.8C-3.2 5.8-5.8 3.2-5.8 0z",
		"M0-6.5L6.5 0L0 6.5L-6.5 0z",
		"M-5 0C-5-2.76-2.76-5 0-5C2.76-5 5-2.76 5 0C5 2.76 2.76 5 0 5C-2.76 5-5 2.76-5 0z"};
	xmlNode *path = html_add(parent, "path", arena_format(page->arena, "mark %s", page_action_class(action)));
	html_set(path, "d", shapes[action]);
	html_set(path, "transform", arena_format(page->arena, "translate(%.1f %.1f)", x, y));
}

void svg_limit(struct page *page, xmlNode *parent, enum reading reading, bool governs, double x, double y)
{
	static const char *const classes[] = {"read", "secondary", "memory", "memory"};
	enum { SHORT = 7, TALL = 9, FOOT = 4 };
	double half = governs ? TALL : SHORT;
	const char *class = arena_format(page->arena, "limit %s%s", classes[reading], governs ? " governs" : "");
	svg_line(page, parent, class, x, y - half, x, y + half);
	if (!governs)
		return;
	svg_line(page, parent, "limit serif", x - FOOT, y - half, x + FOOT, y - half);
	svg_line(page, parent, "limit serif", x - FOOT, y + half, x + FOOT, y + half);
}
