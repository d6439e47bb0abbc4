/*
 * The phase map: regions by the dominant phase at one film age, and the circuit of the first steady case drawn on it as
 * a path in the order of flow. Numbers at the marks are those of the table of places.
 */
#include "base/count.h"
#include "write/figure.h"

#include <math.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "record/scale_groups.h"
#include "write/plot.h"

enum { WIDTH = 800, HEIGHT = 470, LEFT = 74, RIGHT = 780, TOP = 16, BOTTOM = 388, KEY = 448 };

static const double kilo = 1e3, hour = 3600;

struct borders {
	double celsius[PHASE_MAP_NODES], dense[PHASE_MAP_NODES], pyrite[PHASE_MAP_NODES];
	double calibrated[PHASE_MAP_NODES], top[PHASE_MAP_NODES];
};

/* Logarithms of kPa; a border beyond the frame lies on its edge, so that the regions stay whole. */
static struct borders borders_of(const struct phase_map *map)
{
	struct borders b;
	for (size_t i = 0; i < PHASE_MAP_NODES; i++) {
		const struct phase_border *border = &map->borders[i];
		double most = log10(map->most / kilo);
		b.celsius[i] = border->temperature - ZERO_CELSIUS;
		b.top[i] = most;
		b.dense[i] = isnan(border->dense) ? most : log10(border->dense / kilo);
		b.pyrite[i] = isnan(border->pyrite) ? most : log10(border->pyrite / kilo);
		b.calibrated[i] = log10(border->calibrated / kilo);
	}
	return b;
}

static void add_ticks(const struct plot *plot)
{
	struct arena *arena = plot->page->arena;
	enum { COLDEST = 40, HOTTEST = 140, STEP = 20 };
	for (int t = COLDEST; t <= HOTTEST; t += STEP)
		plot_tick_x(plot, t, arena_format(arena, "%d", t));
	for (int decade = (int)ceil(plot->y0); decade <= (int)plot->y1; decade++)
		plot_tick_y(plot, decade, arena_format(arena, "%g", pow(10, decade)));
	svg_words(plot->page, plot->svg, "unit", RIGHT - 36, BOTTOM + 32, "degC");
	svg_words(plot->page, plot->svg, "unit", LEFT + 8, TOP + 12, "kPa of H2S");
}

static void add_regions(const struct plot *plot, const struct borders *b)
{
	plot_band(plot, "region-dense", b->celsius, b->dense, b->pyrite, PHASE_MAP_NODES);
	plot_band(plot, "region-pyrite", b->celsius, b->pyrite, b->top, PHASE_MAP_NODES);
}

/* A border is drawn inside the frame only: on its edge it is none. */
static void add_border(const struct plot *plot, const char *class, const struct borders *b, const double *border)
{
	double inside[PHASE_MAP_NODES];
	for (size_t i = 0; i < PHASE_MAP_NODES; i++)
		inside[i] = border[i] > plot->y0 + 1e-6 && border[i] < plot->y1 - 1e-6 ? border[i] : (double)NAN;
	plot_curve(plot, class, b->celsius, inside, PHASE_MAP_NODES);
}

static void add_borders(const struct plot *plot, const struct borders *b)
{
	add_border(plot, "border", b, b->dense);
	add_border(plot, "border thin", b, b->pyrite);
	plot_curve(plot, "border dashed", b->celsius, b->calibrated, PHASE_MAP_NODES);
	plot_words(plot, NULL, 33, -2.4, "mackinawite, loose");
	plot_words(plot, "end", 139, -3.6, "pyrrhotite");
	plot_words(plot, "end", 139, 2.6, "pyrite");
	plot_words(plot, "unit", 33, b->calibrated[0] - 0.32, "below the dashed line: extrapolated");
}

/* Where the marks and numbers of the circuit are, in the figure's own units. */
struct spots {
	const double *x, *y; /* of the marks */
	size_t count;
	double *label_x, *label_y; /* of the numbers placed so far */
	size_t labels;
};

static bool stands_near(double x, double y, double other_x, double other_y)
{
	enum { WIDE = 20, HIGH = 12 }; /* a number of two digits and its mark */
	return fabs(x - other_x) < WIDE && fabs(y - other_y) < HIGH;
}

static bool is_free(const struct spots *spots, size_t own, double x, double y)
{
	enum { TO_MIDDLE = 4 }; /* from the foot of a number up */
	for (size_t i = 0; i < spots->labels; i++)
		if (stands_near(x, y, spots->label_x[i], spots->label_y[i]))
			return false;
	for (size_t i = 0; i < spots->count; i++)
		if (i != own && stands_near(x, y - TO_MIDDLE, spots->x[i], spots->y[i]))
			return false;
	return true;
}

static void place_number(const struct plot *plot, xmlNode *at, struct spots *spots, size_t i, const char *number)
{
	/* Above, below, beside, and the corners: of the foot of the number from the middle of the mark. */
	static const double sides[][2] = {
		{0, -9}, {0, 18}, {18, 4}, {-18, 4}, {16, -9}, {-16, -9}, {16, 18}, {-16, 18}};
	size_t side = 0, last = COUNT(sides) - 1;
	while (side < last && !is_free(spots, i, spots->x[i] + sides[side][0], spots->y[i] + sides[side][1]))
		side++;
	double x = spots->x[i] + sides[side][0], y = spots->y[i] + sides[side][1];
	spots->label_x[spots->labels] = x;
	spots->label_y[spots->labels++] = y;
	svg_words(plot->page, at, "tick on-light", x, y, number);
}

/* Places on one spot are one mark with all their numbers; any other number is on the side where there is room. */
static void add_point(const struct plot *plot, const struct scale_groups *groups, struct spots *spots, size_t i)
{
	enum { ONE_SPOT = 6 };
	struct text names = text_in(plot->page->arena), numbers = text_in(plot->page->arena);
	for (size_t k = 0; k < groups->count; k++) {
		if (hypot(spots->x[i] - spots->x[k], spots->y[i] - spots->y[k]) >= ONE_SPOT)
			continue;
		if (k < i)
			return;
		text_addf(&names, "%s%d: %s", k > i ? "; " : "", groups->rows[k].number, groups->rows[k].names);
		text_addf(&numbers, "%s%d", k > i ? ", " : "", groups->rows[k].number);
	}
	xmlNode *at = html_add(plot->svg, "g", NULL);
	html_add_text(at, "title", NULL, names.data);
	plot_scale_mark(plot->page, at, groups->rows[i].reading->answer.scale, spots->x[i], spots->y[i]);
	place_number(plot, at, spots, i, numbers.data);
}

static void add_path(const struct plot *plot, const struct scale_groups *groups)
{
	struct arena *arena = plot->page->arena;
	double *x = arena_alloc(arena, (groups->count + 1) * sizeof *x);
	double *y = arena_alloc(arena, (groups->count + 1) * sizeof *y);
	size_t count = 0;
	for (size_t i = 0; i < groups->count; i++) {
		const struct solution *s = &groups->rows[i].reading->solution;
		double pressure = s->partial_pressure[GAS_H2S] / kilo;
		x[count] = fmin(fmax(s->input.temperature - ZERO_CELSIUS, plot->x0), plot->x1);
		y[count++] = pressure > 0 ? fmin(fmax(log10(pressure), plot->y0), plot->y1) : plot->y0;
	}
	plot_curve(plot, "path", x, y, count);
	for (size_t i = 0; i < count; i++) {
		x[i] = plot_x(plot, x[i]);
		y[i] = plot_y(plot, y[i]);
	}
	struct spots spots = {.x = x,
		.y = y,
		.count = count,
		.label_x = arena_alloc(arena, (count + 1) * sizeof *spots.label_x),
		.label_y = arena_alloc(arena, (count + 1) * sizeof *spots.label_y)};
	for (size_t i = 0; i < count; i++)
		add_point(plot, groups, &spots, i);
}

void figure_phase_map(struct page *page, xmlNode *parent)
{
	const struct lean_side *all = page->review->lean_side;
	struct scale_groups groups = scale_groups_of(page->arena, all, 0);
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < groups.count; i++) {
		const struct reading_at *reading = groups.rows[i].reading;
		text_addf(&text, "%d %s: %.1f degC, %.3g kPa, %s. ", groups.rows[i].number, groups.rows[i].names,
			reading->solution.input.temperature - ZERO_CELSIUS,
			reading->solution.partial_pressure[GAS_H2S] / kilo, scale_word(reading->answer.scale));
	}
	const struct svg figure = {.id = "phase-map",
		.class = "plot",
		.title = "Phase map with the circuit as a path",
		.description = text.length ? text.data : "No point of the circuit has a known state.",
		.caption = arena_format(page->arena,
			"Temperature against partial pressure of H2S at a film age of %.0f h. Heavy line: half of the "
			"sulfide is dense. Thin line, of low confidence: pyrite exceeds pyrrhotite. The path is the "
			"circuit in the order of flow, case %s; numbers refer to the table.",
			all->map.age / hour,
			table_case(page->review->table, all->circuit->case_count ? all->circuit->cases[0] : 0)->title),
		.width = WIDTH,
		.height = HEIGHT};
	struct plot plot = {.page = page,
		.svg = svg_open(page, parent, &figure),
		.left = LEFT,
		.right = RIGHT,
		.top = TOP,
		.bottom = BOTTOM,
		.x0 = all->map.coldest - ZERO_CELSIUS,
		.x1 = all->map.hottest - ZERO_CELSIUS,
		.y0 = log10(all->map.least / kilo),
		.y1 = log10(all->map.most / kilo)};
	struct borders borders = borders_of(&all->map);
	add_regions(&plot, &borders);
	add_ticks(&plot);
	plot_frame(&plot);
	add_borders(&plot, &borders);
	if (groups.count)
		add_path(&plot, &groups);
	plot_scale_key(page, plot.svg, LEFT + 10, KEY);
}
