/*
 * The inside of a lean/rich exchanger, hot end at the left: temperatures of both sides and of the wall; how far iron is
 * beyond what mackinawite would leave dissolved; and bands of the scale to expect on either side at four film ages.
 */
#include "write/figure.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "record/scale_groups.h"
#include "write/plot.h"

enum {
	WIDTH = 800,
	LEFT = 130,
	RIGHT = 672,
	TOP = 16,
	BOTTOM = 216,
	TENDENCY_TOP = 262,
	TENDENCY_BOTTOM = 322,
	BANDS = 366,
	BAND = 20,
	GAP = 4,
	SHADES = 3,
	STEP = 20,
};

static const double mostly_loose = 0.2, mostly_dense = 0.8;

struct curves {
	double duty[EXCHANGER_NODES], lean[EXCHANGER_NODES], rich[EXCHANGER_NODES], wall[EXCHANGER_NODES];
	double lean_tendency[EXCHANGER_NODES], rich_tendency[EXCHANGER_NODES];
};

static struct curves curves_of(const struct profile_of *profile)
{
	struct curves c;
	for (size_t i = 0; i < EXCHANGER_NODES; i++) {
		const struct slice *slice = &profile->slices[i];
		c.duty[i] = slice->duty;
		c.lean[i] = slice->lean.temperature - ZERO_CELSIUS;
		c.rich[i] = slice->rich.temperature - ZERO_CELSIUS;
		c.wall[i] = slice->wall - ZERO_CELSIUS;
		c.lean_tendency[i] = slice->lean.tendency;
		c.rich_tendency[i] = slice->rich.tendency;
	}
	return c;
}

static void add_temperatures(struct plot *plot, const struct curves *c)
{
	struct arena *arena = plot->page->arena;
	double coldest = fmin(c->rich[EXCHANGER_SLICES], c->lean[EXCHANGER_SLICES]),
	       hottest = fmax(c->lean[0], c->rich[0]);
	plot->y0 = STEP * floor(coldest / STEP);
	plot->y1 = STEP * ceil(hottest / STEP);
	for (int i = 0; i * STEP <= (int)lround(plot->y1 - plot->y0); i++)
		plot_tick_y(plot, plot->y0 + i * STEP, arena_format(arena, "%.0f", plot->y0 + i * STEP));
	for (int i = 0; i <= 4; i++)
		plot_tick_x(plot, i / 4.0, arena_format(arena, "%g", i / 4.0));
	plot_frame(plot);
	plot_curve(plot, "curve lean", c->duty, c->lean, EXCHANGER_NODES);
	plot_curve(plot, "curve wall", c->duty, c->wall, EXCHANGER_NODES);
	plot_curve(plot, "curve rich", c->duty, c->rich, EXCHANGER_NODES);
	svg_words(plot->page, plot->svg, NULL, RIGHT + 8, plot_y(plot, c->lean[EXCHANGER_SLICES]) + 4,
		arena_format(arena, "lean %.1f degC", c->lean[EXCHANGER_SLICES]));
	svg_words(plot->page, plot->svg, NULL, RIGHT + 8, plot_y(plot, c->rich[EXCHANGER_SLICES]) + 4,
		arena_format(arena, "rich %.1f degC", c->rich[EXCHANGER_SLICES]));
	svg_words(plot->page, plot->svg, "service", LEFT - 34, TOP + 4, "degC");
	svg_words(plot->page, plot->svg, "unit", LEFT, BOTTOM + 32, "hot end");
	svg_words(plot->page, plot->svg, "tick", (LEFT + RIGHT) / 2.0, BOTTOM + 32, "share of the duty transferred");
	svg_words(plot->page, plot->svg, "service", RIGHT, BOTTOM + 32, "cold end");
}

static void add_tendency(struct plot plot, const struct curves *c)
{
	struct arena *arena = plot.page->arena;
	double least = (double)INFINITY, most = -(double)INFINITY;
	plot.top = TENDENCY_TOP;
	plot.bottom = TENDENCY_BOTTOM;
	for (size_t i = 0; i < EXCHANGER_NODES; i++) {
		least = fmin(least, fmin(c->lean_tendency[i], c->rich_tendency[i]));
		most = fmax(most, fmax(c->lean_tendency[i], c->rich_tendency[i]));
	}
	svg_words(plot.page, plot.svg, "service", LEFT - 34, (TENDENCY_TOP + TENDENCY_BOTTOM) / 2.0, "FeS tendency");
	if (!isfinite(least) || !isfinite(most)) {
		svg_words(plot.page, plot.svg, "unit", LEFT + 8, (TENDENCY_TOP + TENDENCY_BOTTOM) / 2.0,
			"no HS-: no iron sulfide on one side or both");
		return;
	}
	plot.y0 = floor(least);
	plot.y1 = ceil(most) > floor(least) ? ceil(most) : floor(least) + 1;
	plot_tick_y(&plot, plot.y0, arena_format(arena, "%.0f", plot.y0));
	plot_tick_y(&plot, plot.y1, arena_format(arena, "%.0f", plot.y1));
	plot_curve(&plot, "curve lean", c->duty, c->lean_tendency, EXCHANGER_NODES);
	plot_curve(&plot, "curve rich", c->duty, c->rich_tendency, EXCHANGER_NODES);
}

/* What a slice is drawn as. */
struct shade {
	const char *class, *words;
};

static struct shade shade_of(const struct scale_answer *answer)
{
	double dense = fractions_dense(answer->fractions);
	if (answer->scale == SCALE_NONE)
		return (struct shade){"band none", "none"};
	if (answer->scale == SCALE_SIDERITE)
		return (struct shade){"band siderite", "siderite"};
	if (dense < mostly_loose)
		return (struct shade){"band loose", "mackinawite"};
	return dense > mostly_dense ? (struct shade){"band dense", "dense"} : (struct shade){"band mixed", "mixed"};
}

static const struct scale_answer *answer_at(const struct slice *slice, enum side side, int age)
{
	const struct slice_side *at = side == SIDE_LEAN ? &slice->lean : &slice->rich;
	return age < 0 ? &at->answer : &at->by_age[age];
}

static void add_band(const struct plot *plot, const struct profile_of *profile, enum side side, int age, double y)
{
	enum { NARROW = 70, DOWN = 14 };
	struct page *page = plot->page;
	for (size_t from = 0, to; from < EXCHANGER_NODES; from = to) {
		struct shade shade = shade_of(answer_at(&profile->slices[from], side, age));
		for (to = from + 1; to < EXCHANGER_NODES; to++)
			if (strcmp(shade_of(answer_at(&profile->slices[to], side, age)).class, shade.class) != 0)
				break;
		double half = 0.5 / EXCHANGER_SLICES;
		double x0 = plot_x(plot, fmax(0, profile->slices[from].duty - half));
		double x1 = plot_x(plot, fmin(1, profile->slices[to - 1].duty + half));
		xmlNode *bar = html_add(plot->svg, "rect", shade.class);
		svg_set(page, bar, "x", x0);
		svg_set(page, bar, "y", y);
		svg_set(page, bar, "width", x1 - x0);
		svg_set(page, bar, "height", BAND);
		if (x1 - x0 > NARROW)
			svg_words(page, plot->svg,
				strcmp(shade.class, "band dense") == 0 ? "tick on-dark" : "tick on-light",
				(x0 + x1) / 2, y + DOWN, shade.words);
	}
}

static double add_bands(const struct plot *plot, const struct profile_of *profile)
{
	double y = BANDS;
	for (int side = 0; side < 2; side++)
		for (int age = 0; age < FILM_AGES; age++) {
			add_band(plot, profile, side ? SIDE_RICH : SIDE_LEAN, age, y);
			svg_words(plot->page, plot->svg, "service", LEFT - 8, y + 14,
				arena_format(plot->page->arena, "%s, %.0f h", side ? "rich" : "lean", *film_ages[age]));
			y += BAND + (age == FILM_AGES - 1 ? 3 * GAP : GAP);
		}
	return y;
}

static const char *told(struct page *page, const struct profile_of *profile)
{
	struct text text = text_in(page->arena);
	enum { EVERY = 5 };
	for (size_t i = 0; i < EXCHANGER_NODES; i += EVERY) {
		const struct slice *slice = &profile->slices[i];
		text_addf(&text, "At %.3f of the duty: lean %.1f degC, %s; rich %.1f degC, %s. ", slice->duty,
			slice->lean.temperature - ZERO_CELSIUS, scale_word(slice->lean.answer.scale),
			slice->rich.temperature - ZERO_CELSIUS, scale_word(slice->rich.answer.scale));
	}
	return text.data;
}

void figure_profile(struct page *page, xmlNode *parent, const struct profile_of *profile)
{
	struct curves curves = curves_of(profile);
	const char *tag = profile->exchanger->tag;
	const struct svg figure = {
		.id = arena_format(page->arena, "profile-%zu-%d", profile->exchanger->index, profile->operating_case),
		.class = "plot",
		.title = arena_format(page->arena, "%s from its hot end to its cold end", tag),
		.description = told(page, profile),
		.caption = arena_format(page->arena,
			"%s, case %s. Solid: lean, dotted: rich, thin: wall, taken in the middle. FeS tendency is "
			"log10 of "
			"the iron there over the iron in equilibrium with mackinawite. Bands: mackinawite where less "
			"than "
			"0.2 of the sulfide is dense, dense where more than 0.8 is, mixed between. Every lean slice is "
			"extrapolated.",
			tag, table_case(page->review->table, profile->operating_case)->title),
		.width = WIDTH,
		.height = BANDS + 2 * FILM_AGES * (BAND + GAP) + 5 * GAP};
	struct plot plot = {.page = page,
		.svg = svg_open(page, parent, &figure),
		.left = LEFT,
		.right = RIGHT,
		.top = TOP,
		.bottom = BOTTOM,
		.x1 = 1};
	add_temperatures(&plot, &curves);
	add_tendency(plot, &curves);
	add_bands(&plot, profile);
}
