/*
 * The sweep of the lean H2S loading: the dense share of the sulfide at every lean place that differs, and the window
 * that the gas specification leaves.
 */
#include "write/figure.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "record/scale_groups.h"
#include "write/plot.h"

enum { WIDTH = 800, HEIGHT = 430, LEFT = 70, RIGHT = 640, TOP = 48, BOTTOM = 360, LEAST_DISTANCE = 14 };

static const double hour = 3600;

static double celsius(const struct sweep *sweep)
{
	return sweep->window->reading->solution.input.temperature - ZERO_CELSIUS;
}

static int hotter_first(const void *left, const void *right)
{
	const struct sweep *const *a = left, *const *b = right;
	double x = celsius(*a), y = celsius(*b);
	return x > y ? -1 : x < y;
}

size_t sweep_curves(struct page *page, const struct sweep ***out)
{
	const struct overstripping *all = page->review->lean_side->overstripping;
	const struct sweep **curves = arena_alloc(page->arena, (all->sweep_count + 1) * sizeof *curves);
	size_t count = 0;
	for (size_t i = 0; i < all->sweep_count; i++) {
		const struct sweep *sweep = &all->sweeps[i];
		size_t known = 0;
		while (known < count &&
			(fabs(celsius(curves[known]) - celsius(sweep)) > 0.05 ||
				fabs(curves[known]->window->governing.age - sweep->window->governing.age) > hour))
			known++;
		if (known == count)
			curves[count++] = sweep;
	}
	qsort(curves, count, sizeof *curves, hotter_first);
	*out = curves;
	return count;
}

static void add_window(const struct plot *plot, double ceiling, bool by_specification)
{
	if (!by_specification || !(ceiling < plot->x1))
		return;
	double x = plot_x(plot, ceiling);
	xmlNode *window = html_add(plot->svg, "rect", "window");
	svg_set(plot->page, window, "x", LEFT);
	svg_set(plot->page, window, "y", TOP);
	svg_set(plot->page, window, "width", x - LEFT);
	svg_set(plot->page, window, "height", BOTTOM - TOP);
	svg_line(plot->page, plot->svg, "border dashed", x, TOP, x, BOTTOM);
	svg_words(plot->page, plot->svg, NULL, x + 5, (TOP + BOTTOM) / 2.0,
		arena_format(plot->page->arena, "allowed up to %s mol/mol", number_show(plot->page->arena, ceiling)));
}

static void add_curves(const struct plot *plot, const struct sweep *const *curves, size_t count)
{
	struct arena *arena = plot->page->arena;
	double last = (double)INFINITY;
	for (size_t i = count; i-- > 0;) {
		const struct sweep *sweep = curves[i];
		double dense[SWEEP_NODES];
		for (size_t k = 0; k < SWEEP_NODES; k++)
			dense[k] = isnan(sweep->h2s[k]) ? (double)NAN : fractions_dense(sweep->governing[k]);
		plot_curve(plot, "curve lean", sweep->loading, dense, SWEEP_NODES);
		double at = fmin(plot_y(plot, dense[SWEEP_NODES - 1]), last - LEAST_DISTANCE);
		last = at;
		svg_words(plot->page, plot->svg, NULL, RIGHT + 8, at + 4,
			arena_format(arena, "%.1f degC, %.0f h", celsius(sweep), sweep->window->governing.age / hour));
	}
}

static void add_ticks(const struct plot *plot)
{
	struct arena *arena = plot->page->arena;
	for (int i = 0; i <= 5; i++)
		plot_tick_x(plot, i / 100.0, arena_format(arena, "%g", i / 100.0));
	for (int i = 0; i <= 4; i++)
		plot_tick_y(plot, i / 4.0, arena_format(arena, "%g", i / 4.0));
	plot_frame(plot);
	svg_words(plot->page, plot->svg, "tick", (LEFT + RIGHT) / 2.0, BOTTOM + 34, "lean H2S loading, mol/mol");
	svg_words(plot->page, plot->svg, "unit", LEFT - 60, TOP - 16, "dense fraction");
}

void figure_sweep(struct page *page, xmlNode *parent)
{
	const struct sweep **curves;
	size_t count = sweep_curves(page, &curves);
	if (!count)
		return;
	const struct window *window = curves[0]->window;
	for (size_t i = 1; i < count; i++)
		if (curves[i]->window->ceiling < window->ceiling)
			window = curves[i]->window;
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "At %.1f degC the fraction of dense sulfide rises from 0 to %.2f. ",
			celsius(curves[i]), fractions_dense(curves[i]->governing[SWEEP_NODES - 1]));
	const struct svg figure = {.id = "loading-sweep",
		.class = "plot",
		.title = "Fraction of dense sulfide against the lean H2S loading",
		.description = text.data,
		.caption = "Each curve is a lean location in its hottest steady case, at the governing film age; the "
			   "shaded range is what the treated gas specification allows (the strictest case). All curves "
			   "are extrapolated: lean amine lies below the H2S range of the kinetics. Dense sulfide is no "
			   "proof of protection.",
		.width = WIDTH,
		.height = HEIGHT};
	struct plot plot = {.page = page,
		.svg = svg_open(page, parent, &figure),
		.left = LEFT,
		.right = RIGHT,
		.top = TOP,
		.bottom = BOTTOM,
		.x1 = curves[0]->loading[SWEEP_NODES - 1],
		.y1 = 1};
	add_window(&plot, window->ceiling, window->by_specification);
	add_ticks(&plot);
	add_curves(&plot, curves, count);
}
