/*
 * The circuit as one line. A station is an item that is directly in the unit, with everything nested in it; its margin is that
 * of its gravest finding with a number, among equals of the one furthest beyond its governing limit or nearest to it.
 *
 * Margins of unlike quantities share one axis: per cent of the limit, and kelvin where the limit is a temperature (a share of a
 * temperature means nothing).
 */
#include "base/count.h"
#include "write/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/wording.h"
#include "write/svg.h"

enum {
	WIDTH = 800,
	TOP = 34,
	ROW = 17,
	FOOT = 34,
	SPINE = 7, /* the line of the circuit */
	TAGS = 20,
	MARKS = 196, /* the first of three columns of findings */
	MARK_COLUMN = 36,
	LEAST = 316, /* the ends of the axis of margins */
	MOST = 496,
	NUMBERS = 506,
	FULL = 100,	    /* per cent or kelvin at either end */
	ROWS_A_FIGURE = 50, /* as many as a page of Letter takes */
	ROWS_WANTED = 24,   /* without a finding a station is shown only among the so many nearest to their limits */
	TAG_CHARACTERS = 18,
	WORD_CHARACTERS = 46,
	PERCENT = 100,
	FLAGGED = 3, /* the actions that are in columns: Resolve, Justify, Consider */
};

struct station {
	const struct item *item;
	int rank;
	size_t counts[ACTION_KINDS];
	const struct finding *tightest; /* or NULL: nothing in numbers was judged here */
	enum action gravest;		/* what it asks for */
	double margin;			/* of it, per cent or K: positive beyond the limit */
};

/* ---- what is drawn ---- */

static bool is_of_the_circuit(const struct item *item)
{
	static const char outside[] =
		"unit basis code case document network deviation operating-limit contradiction monitoring "
		"battery-limit specification analysis";
	return !item->parent && !text_has_word(outside, item->kind);
}

static const struct item *root_of(const struct item *item)
{
	while (item->parent)
		item = item->parent;
	return item;
}

static bool margin_of(const struct finding *finding, double *margin)
{
	const struct limit_result *row = finding->governing;
	bool judged = finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_MEETS ||
		finding->verdict == VERDICT_ACCEPTED;
	if (!judged || !finding->value || !row || row->limit->says || finding->value->bound != BOUND_NONE)
		return false;
	/* A stress-relieved weld may be hotter than its threshold and meet the rule: that is no margin. */
	if (finding->verdict == VERDICT_MEETS && row->margin > 0)
		return false;
	double limit = fabs(row->at);
	switch (row->limit->value.kind) {
	case KIND_TEMPERATURE:
	case KIND_TEMPERATURE_DIFFERENCE:
		*margin = row->margin;
		return true;
	case KIND_PH:
	case KIND_COUNT:
		return false;
	default:
		*margin = PERCENT * row->margin / limit;
		return limit > 0;
	}
}

static void note_finding(struct station *station, const struct finding *finding)
{
	enum action action = finding_action(finding);
	if (action != ACTION_NONE)
		station->counts[action]++;
	double margin;
	if (!margin_of(finding, &margin))
		return;
	/* The gravest first: a required limit outweighs any margin beyond a recommended one. */
	if (!station->tightest || action < station->gravest ||
		(action == station->gravest && margin > station->margin)) {
		station->tightest = finding;
		station->gravest = action;
		station->margin = margin;
	}
}

static int by_flow(const void *left, const void *right)
{
	const struct station *a = left, *b = right;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	return a->item->index < b->item->index ? -1 : a->item->index > b->item->index;
}

static bool was_judged(const struct station *station)
{
	bool any = station->tightest != NULL;
	for (size_t i = 0; i < FLAGGED; i++)
		any = any || station->counts[i];
	return any;
}

/* Stations of which something can be said, in the order of flow. */
static size_t collect_stations(struct page *page, struct station **out)
{
	const struct review *review = page->review;
	size_t all = table_item_count(review->table), count = 0;
	struct station *stations = arena_alloc(page->arena, (all + 1) * sizeof *stations);
	for (size_t i = 0; i < all; i++) {
		const struct item *item = table_item(review->table, i);
		stations[i] = (struct station){.item = item, .rank = flow_rank(review->table, item)};
	}
	for (size_t i = 0; i < review->judgement.count; i++)
		note_finding(
			&stations[root_of(review->judgement.findings[i].item)->index], &review->judgement.findings[i]);
	for (size_t i = 0; i < all; i++)
		if (is_of_the_circuit(stations[i].item) && was_judged(&stations[i]))
			stations[count++] = stations[i];
	qsort(stations, count, sizeof *stations, by_flow);
	*out = stations;
	return count;
}

static bool is_flagged(const struct station *station)
{
	for (size_t i = 0; i < FLAGGED; i++)
		if (station->counts[i])
			return true;
	return false;
}

/* Is it among those nearest to their limits, as far as there is room beside what has findings? */
static bool is_near(const struct station *stations, size_t count, const struct station *station)
{
	size_t before = 0;
	for (size_t i = 0; i < count; i++) {
		const struct station *other = &stations[i];
		bool nearer = other->margin > station->margin || (other->margin == station->margin && other < station);
		before += is_flagged(other) || (other->tightest && nearer);
	}
	return station->tightest && before < ROWS_WANTED;
}

/* Those worth a row, in the order of flow. What is met by more than others would only make the figure long. */
static size_t choose(struct page *page, const struct station *stations, size_t count, const struct station **out)
{
	struct station *chosen = arena_alloc(page->arena, (count + 1) * sizeof *chosen);
	size_t kept = 0;
	for (size_t i = 0; i < count; i++)
		if (is_flagged(&stations[i]) || is_near(stations, count, &stations[i]))
			chosen[kept++] = stations[i];
	*out = chosen;
	return kept;
}

/* ---- drawing ---- */

static double across(double margin)
{
	return (LEAST + MOST) / 2.0 + fmax(-FULL, fmin(FULL, margin)) * (MOST - LEAST) / (2.0 * FULL);
}

static void add_axis(struct page *page, xmlNode *svg, double bottom)
{
	static const double ticks[] = {-100, -50, 0, 50, 100};
	for (size_t i = 0; i < COUNT(ticks); i++) {
		double x = across(ticks[i]);
		bool limit = ticks[i] > -1 && ticks[i] < 1;
		svg_line(page, svg, limit ? "edge" : "grid", x, TOP - 8, x, bottom);
		svg_words(
			page, svg, "tick", x, TOP - 14, limit ? "limit" : arena_format(page->arena, "%+.0f", ticks[i]));
	}
	svg_words(page, svg, "unit", NUMBERS + 0.5 * MARK_COLUMN, TOP - 14, "% of the limit; K for temperatures");
	svg_line(page, svg, "spine", SPINE, TOP - 8, SPINE, bottom);
}

/* "2.15 m/s; at most 1.5 m/s, VEL-002" */
static const char *margin_words(struct page *page, const struct station *station)
{
	const struct finding *finding = station->tightest;
	if (!finding)
		return "nothing in numbers";
	return arena_format(page->arena, "%s; %s %s, %s", page_first(page, finding->value),
		relation_word(finding->governing->limit->relation), page_limit_for(page, finding), finding->rule->id);
}

static void add_bar(struct page *page, xmlNode *group, enum action action, double margin, double y)
{
	enum { HALF = 4, POINT = 7 };
	const char *class = arena_format(page->arena, "bar %s", page_action_class(action));
	double from = across(0), to = across(margin);
	xmlNode *bar = html_add(group, "rect", class);
	svg_set(page, bar, "x", fmin(from, to));
	svg_set(page, bar, "y", y - HALF);
	svg_set(page, bar, "width", fmax(fabs(to - from), 1));
	svg_set(page, bar, "height", 2 * HALF);
	if (fabs(margin) <= FULL)
		return;
	/* Further than the axis goes: a point at its end. */
	double end = margin > 0 ? to + POINT : to - POINT;
	xmlNode *point = html_add(group, "path", class);
	html_set(point, "d",
		arena_format(page->arena, "M%.1f %.1fL%.1f %.1fL%.1f %.1fz", to, y - HALF, end, y, to, y + HALF));
}

static const char *told(struct page *page, const struct station *station)
{
	struct text text = text_in(page->arena);
	text_addf(&text, "%s:", station->item->tag);
	for (enum action action = ACTION_RESOLVE; action < ACTION_STATE; action++)
		if (station->counts[action])
			text_addf(&text, " %s %zu;", action_word(action), station->counts[action]);
	text_addf(&text, " %s", margin_words(page, station));
	return text.data;
}

static void add_station(struct page *page, xmlNode *svg, const struct station *station, double y)
{
	enum { NODE = 4, DOWN = 4, AFTER_MARK = 9 };
	xmlNode *group = html_add(svg, "g", NULL);
	html_add_text(group, "title", NULL, told(page, station));
	svg_line(page, group, "node", SPINE - NODE, y, SPINE + NODE, y);
	svg_words(page, group, "tag", TAGS, y + DOWN, text_cut(page->arena, station->item->tag, TAG_CHARACTERS));
	for (enum action action = ACTION_RESOLVE; action < ACTION_STATE; action++) {
		if (!station->counts[action])
			continue;
		double x = MARKS + MARK_COLUMN * (double)action;
		svg_mark(page, group, action, x, y);
		svg_words(page, group, "many", x + AFTER_MARK, y + DOWN,
			arena_format(page->arena, "%zu", station->counts[action]));
	}
	if (station->tightest)
		add_bar(page, group, station->gravest, station->margin, y);
	svg_words(page, group, station->tightest ? "numbers" : "numbers none", NUMBERS + AFTER_MARK, y + DOWN,
		text_cut(page->arena, margin_words(page, station), WORD_CHARACTERS));
}

static void add_key(struct page *page, xmlNode *svg, double y)
{
	enum { DOWN = 4, AFTER_MARK = 12, COLUMN = 86 };
	xmlNode *key = html_add(svg, "g", "key");
	for (enum action action = ACTION_RESOLVE; action < ACTION_STATE; action++) {
		svg_mark(page, key, action, TAGS + COLUMN * (double)action, y);
		svg_words(page, key, NULL, TAGS + AFTER_MARK + COLUMN * (double)action, y + DOWN, action_word(action));
	}
	svg_words(page, key, "inward", (LEAST + MOST) / 2.0 - AFTER_MARK, y + DOWN, "inside the limit");
	svg_words(page, key, NULL, (LEAST + MOST) / 2.0 + AFTER_MARK, y + DOWN, "beyond it");
}

static void add_strip(struct page *page, xmlNode *parent, const struct station *stations, size_t count, size_t part)
{
	double bottom = TOP + (double)count * ROW;
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s. ", told(page, &stations[i]));
	const struct svg figure = {.id = arena_format(page->arena, "circuit-%zu", part),
		.class = "strip",
		.title = "The circuit in the order of flow, with findings and margins",
		.description = text.data,
		.caption = "From the gas inlet through the rich side and the regenerator back to the absorber, then "
			   "auxiliaries. Marks count the findings at each station and on its parts. The bar shows the "
			   "value of the most severe finding that has one; among equals that furthest beyond its "
			   "governing limit or nearest to it.",
		.width = WIDTH,
		.height = bottom + FOOT};
	xmlNode *svg = svg_open(page, parent, &figure);
	add_axis(page, svg, bottom);
	for (size_t i = 0; i < count; i++)
		add_station(page, svg, &stations[i], TOP + ((double)i + 0.5) * ROW);
	add_key(page, svg, bottom + ROW);
}

void figure_circuit(struct page *page, xmlNode *parent)
{
	struct station *all;
	const struct station *stations;
	size_t judged = collect_stations(page, &all), count = choose(page, all, judged, &stations);
	if (!count)
		html_add_text(parent, "p", NULL, "Nothing was judged at any station of the circuit.");
	size_t parts = (count + ROWS_A_FIGURE - 1) / ROWS_A_FIGURE;
	for (size_t part = 0; part < parts; part++) {
		size_t from = count * part / parts, to = count * (part + 1) / parts;
		add_strip(page, parent, &stations[from], to - from, part + 1);
	}
	if (judged > count)
		html_add_text(parent, "p", "aside",
			arena_format(page->arena,
				"%zu station%s not shown: without a finding, and further inside the limits.",
				judged - count, judged - count == 1 ? " is" : "s are"));
}
