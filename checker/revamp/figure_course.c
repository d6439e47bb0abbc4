#include "revamp/figure_course.h"

#include <float.h>
#include <math.h>

#include "base/text.h"
#include "write/svg.h"

enum {
	ACROSS = 2,
	PANEL_WIDTH = 460,
	PANEL_HEIGHT = 172,
	LEFT = 62, /* room for the figures of the upright axis */
	RIGHT = 16,
	TOP = 26,
	BOTTOM = 30,
	TITLE_CHARACTERS = 58
};

/* One curve: numbers in the unit shown, NaN where there is none. */
struct panel {
	const char *title;
	enum kind kind;
	const double *values, *limits; /* by point; limits NULL: none */
	const struct track *track;     /* or NULL */
	double least, most;
};

static double along(double from, double to, double least, double most, double value)
{
	return from + (to - from) * (value - least) / (most - least);
}

static double in_unit(double si, enum kind kind)
{
	return quantity_in(si, kind, kind_unit(kind));
}

static void widen(struct panel *panel, double value)
{
	if (!isfinite(value))
		return;
	panel->least = fmin(panel->least, value);
	panel->most = fmax(panel->most, value);
}

static void set_range(struct panel *panel, size_t count)
{
	panel->least = DBL_MAX;
	panel->most = -DBL_MAX;
	for (size_t i = 0; i < count; i++) {
		widen(panel, panel->values[i]);
		if (panel->limits)
			widen(panel, panel->limits[i]);
	}
	double margin = panel->most > panel->least ? 0.06 * (panel->most - panel->least)
						   : fmax(0.05 * fabs(panel->most), DBL_MIN);
	panel->least -= margin;
	panel->most += margin;
}

/* A polyline through the points that are there, broken where there is none. */
static void add_curve(struct page *page, xmlNode *group, const struct panel *panel, const struct course *course,
	const double *values, const char *class)
{
	struct text points = text_in(page->arena);
	for (size_t i = 0; i <= course->count; i++) {
		if (i < course->count && isfinite(values[i])) {
			text_addf(&points, "%s%.1f,%.1f", points.length ? " " : "",
				along(LEFT, PANEL_WIDTH - RIGHT, course->grid[0], course->grid[course->count - 1],
					course->grid[i]),
				along(PANEL_HEIGHT - BOTTOM, TOP, panel->least, panel->most, values[i]));
		} else if (points.length) {
			html_set(html_add(group, "polyline", class), "points", points.data);
			points = text_in(page->arena);
		}
	}
}

/* 1, 2 or 5 times a power of ten, so that some three to six steps span the range. */
static double round_step(double span)
{
	enum { STEPS = 4 };
	const double ten = 10, two = 2, five = 5, below_two = 1.5, below_five = 3.5, below_ten = 7.5;
	double power = pow(ten, floor(log10(span / STEPS))), share = span / STEPS / power;
	return power * (share < below_two ? 1 : share < below_five ? two : share < below_ten ? five : ten);
}

/* The multiples of the step within a range; false where they differ by less than can be told from each other. */
static bool ticks_in(double least, double most, double step, int *lowest, int *highest)
{
	const double summed = 1e-9, most_steps = 1e8; /* the ends of a range are sums of many; what an int counts */
	if (!(fmax(fabs(least), fabs(most)) < most_steps * step))
		return false;
	*lowest = (int)ceil(least / step - summed);
	*highest = (int)floor(most / step + summed);
	return true;
}

static void add_axes(struct page *page, xmlNode *group, const struct panel *panel, const struct course *course)
{
	double from = course->grid[0], to = course->grid[course->count - 1];
	double across = round_step(to - from), up = round_step(panel->most - panel->least);
	int lowest = 0, highest = -1, leftmost = 0, rightmost = -1;
	ticks_in(panel->least, panel->most, up, &lowest, &highest);
	ticks_in(from, to, across, &leftmost, &rightmost);
	for (int i = lowest; i <= highest; i++) {
		double y = along(PANEL_HEIGHT - BOTTOM, TOP, panel->least, panel->most, i * up);
		svg_line(page, group, "grid", LEFT, y, PANEL_WIDTH - RIGHT, y);
		svg_words(page, group, "tick end", LEFT - 5, y + 4, number_show(page->arena, i * up));
	}
	for (int i = leftmost; i <= rightmost; i++)
		svg_words(page, group, "tick", along(LEFT, PANEL_WIDTH - RIGHT, from, to, i * across),
			PANEL_HEIGHT - BOTTOM + 15, number_show(page->arena, i * across));
}

static void add_panel(struct page *page, xmlNode *svg, struct panel *panel, const struct course *course, size_t at)
{
	xmlNode *group = html_add(svg, "g", NULL);
	html_set(group, "transform",
		arena_format(page->arena, "translate(%d %d)", PANEL_WIDTH * (int)(at % ACROSS),
			PANEL_HEIGHT * (int)(at / ACROSS)));
	set_range(panel, course->count);
	add_axes(page, group, panel, course);
	const char *unit = kind_unit(panel->kind);
	const char *title = text_cut(page->arena, panel->title, TITLE_CHARACTERS);
	svg_words(page, group, NULL, 4, 14, *unit ? arena_format(page->arena, "%s, %s", title, unit) : title);
	for (size_t i = 0; panel->track && i < panel->track->turn_count; i++) {
		double x = along(LEFT, PANEL_WIDTH - RIGHT, course->grid[0], course->grid[course->count - 1],
			panel->track->turns[i].at);
		svg_line(page, group, "turn", x, TOP, x, PANEL_HEIGHT - BOTTOM);
	}
	if (panel->limits)
		add_curve(page, group, panel, course, panel->limits, "curve limit dashed");
	add_curve(page, group, panel, course, panel->values, "curve");
}

static bool panel_of_track(
	struct page *page, const struct course *course, const struct track *track, struct panel *panel)
{
	double *values = arena_alloc(page->arena, course->count * sizeof *values);
	double *limits = arena_alloc(page->arena, course->count * sizeof *limits);
	size_t there = 0;
	*panel = (struct panel){.values = values, .limits = limits, .track = track};
	panel->title = arena_format(page->arena, "%s %s: %s", track->rule->id, track->item, track->rule->title);
	for (size_t i = 0; i < course->count; i++) {
		const struct sample *sample = &track->samples[i];
		values[i] = sample->has_value ? in_unit(sample->value, sample->kind) : (double)NAN;
		limits[i] = sample->has_margin ? in_unit(sample->limit, sample->kind) : (double)NAN;
		panel->kind = sample->has_value ? sample->kind : panel->kind;
		there += sample->has_value;
	}
	return there >= 2;
}

static bool panel_of_show(
	struct page *page, const struct course *course, const struct course_show *show, struct panel *panel)
{
	double *values = arena_alloc(page->arena, course->count * sizeof *values);
	size_t there = 0;
	*panel = (struct panel){.values = values, .kind = show->kind};
	panel->title = arena_format(page->arena, "%s of %s", show->name, show->item);
	for (size_t i = 0; i < course->count; i++) {
		const struct quantity *value = show->values[i];
		bool known = value && value->known != UNKNOWN && kind_is_number(value->kind);
		values[i] = known ? in_unit(value->si, value->kind) : (double)NAN;
		there += known;
	}
	return there >= 2;
}

void figure_course(struct page *page, xmlNode *parent, const struct course *course)
{
	struct panel *panels =
		arena_alloc(page->arena, (course->show_count + course->track_count + 1) * sizeof *panels);
	size_t count = 0;
	for (size_t i = 0; i < course->show_count; i++)
		count += panel_of_show(page, course, &course->shows[i], &panels[count]);
	for (size_t i = 0; i < course->track_count; i++)
		count += panel_of_track(page, course, course->tracks[i], &panels[count]);
	if (!count)
		return;
	size_t rows = (count + ACROSS - 1) / ACROSS;
	const struct svg head = {.id = "sweep-figure",
		.title = "Quantities along the sweep",
		.description =
			"One panel for each quantity, over the value swept; the same numbers are in the tables and "
			"in the CSV file.",
		.caption = arena_format(page->arena,
			"Across: %s%s%s. Full line: the quantity in the case in which it is worst. Long dashes: the "
			"limit that "
			"governs it. Vertical dots: where the verdict changes.",
			course->what, *course->unit ? ", " : "", course->unit),
		.width = ACROSS * PANEL_WIDTH,
		.height = (double)(rows * PANEL_HEIGHT)};
	xmlNode *svg = svg_open(page, parent, &head);
	for (size_t i = 0; i < count; i++)
		add_panel(page, svg, &panels[i], course, i);
}
