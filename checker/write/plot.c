#include "write/plot.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"

double plot_x(const struct plot *plot, double x)
{
	return plot->left + (x - plot->x0) / (plot->x1 - plot->x0) * (plot->right - plot->left);
}

double plot_y(const struct plot *plot, double y)
{
	return plot->bottom + (y - plot->y0) / (plot->y1 - plot->y0) * (plot->top - plot->bottom);
}

void plot_tick_x(const struct plot *plot, double x, const char *words)
{
	enum { BELOW = 16 };
	double at = plot_x(plot, x);
	svg_line(plot->page, plot->svg, "grid", at, plot->top, at, plot->bottom);
	svg_words(plot->page, plot->svg, "tick", at, plot->bottom + BELOW, words);
}

void plot_tick_y(const struct plot *plot, double y, const char *words)
{
	enum { BESIDE = 6, DOWN = 4 };
	double at = plot_y(plot, y);
	svg_line(plot->page, plot->svg, "grid", plot->left, at, plot->right, at);
	svg_words(plot->page, plot->svg, "service", plot->left - BESIDE, at + DOWN, words);
}

void plot_frame(const struct plot *plot)
{
	svg_line(plot->page, plot->svg, "edge", plot->left, plot->top, plot->left, plot->bottom);
	svg_line(plot->page, plot->svg, "edge", plot->left, plot->bottom, plot->right, plot->bottom);
}

static bool stands(double x, double y)
{
	return isfinite(x) && isfinite(y);
}

static void add_path(const struct plot *plot, const char *class, const struct text *d)
{
	if (d->length)
		html_set(html_add(plot->svg, "path", class), "d", d->data);
}

void plot_curve(const struct plot *plot, const char *class, const double *x, const double *y, size_t count)
{
	struct text d = text_in(plot->page->arena);
	bool drawing = false;
	for (size_t i = 0; i < count; i++) {
		bool here = stands(x[i], y[i]);
		if (here)
			text_addf(&d, "%s%.1f %.1f", drawing ? "L" : "M", plot_x(plot, x[i]), plot_y(plot, y[i]));
		drawing = here;
	}
	add_path(plot, class, &d);
}

void plot_band(const struct plot *plot, const char *class, const double *x, const double *low, const double *high,
	size_t count)
{
	struct text d = text_in(plot->page->arena);
	for (size_t from = 0, to; from < count; from = to + 1) {
		for (to = from; to < count && stands(x[to], low[to]) && stands(x[to], high[to]); to++)
			text_addf(
				&d, "%s%.1f %.1f", to == from ? "M" : "L", plot_x(plot, x[to]), plot_y(plot, high[to]));
		for (size_t k = to; k-- > from;)
			text_addf(&d, "L%.1f %.1f", plot_x(plot, x[k]), plot_y(plot, low[k]));
		if (to > from)
			text_add(&d, "z");
	}
	add_path(plot, class, &d);
}

void plot_words(const struct plot *plot, const char *class, double x, double y, const char *words)
{
	svg_words(plot->page, plot->svg, class, plot_x(plot, x), plot_y(plot, y), words);
}

void plot_scale_mark(struct page *page, xmlNode *parent, enum scale scale, double x, double y)
{
	static const char *const shapes[SCALE_COUNT] = {"M-4-4L4 4M-4 4L4-4", "M0-5.5L5.5 0L0 5.5L-5.5 0z",
		"M-4.5 0C-4.5-6 4.5-6 4.5 0C4.5 6-4.5 6-4.5 0z", "M-4.5-4.5h9v9h-9z"};
	xmlNode *path = html_add(parent, "path", arena_format(page->arena, "scale %s", scale_word(scale)));
	html_set(path, "d", shapes[scale]);
	html_set(path, "transform", arena_format(page->arena, "translate(%.1f %.1f)", x, y));
}

void plot_scale_key(struct page *page, xmlNode *svg, double x, double y)
{
	static const struct {
		enum scale scale;
		const char *words;
	} marks[] = {{SCALE_MACKINAWITE, "mackinawite: loose"}, {SCALE_DENSE, "dense: pyrrhotite or pyrite"},
		{SCALE_SIDERITE, "siderite"}, {SCALE_NONE, "none"}};
	static const double widths[] = {150, 200, 90, 60};
	enum { AFTER = 10, DOWN = 4 };
	xmlNode *key = html_add(svg, "g", "key");
	for (size_t i = 0; i < COUNT(marks); i++) {
		plot_scale_mark(page, key, marks[i].scale, x, y);
		svg_words(page, key, NULL, x + AFTER, y + DOWN, marks[i].words);
		x += widths[i];
	}
}
