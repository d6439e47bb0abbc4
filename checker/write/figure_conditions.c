/*
 * Temperature and loading along the circuit: a row for each stream of amine, from the foot of the absorber over the rich side
 * and the regenerator back to its top. The bar is the spread over the operating cases, the mark the first of them.
 */
#include "base/count.h"
#include "write/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "resolve/service.h"
#include "write/svg.h"

enum {
	WIDTH = 800,
	TOP = 34,
	ROW = 24,
	FOOT = 60,
	ROWS_A_FIGURE = 34,
	TAG_CHARACTERS = 20,
	SERVICE = 176, /* where its word ends */
	TRACKS = 2,
	DOWN = 4,
};

/* One of the two axes of the figure. */
struct axis {
	const char *name, *words, *unit; /* of the value in the table; for the reader */
	enum kind kind;
	bool logarithmic;
	double left, right, numbers; /* on the paper */
	double least, most;	     /* SI */
	double step;		     /* of a linear axis */
};

struct governed {
	double si;
	enum reading reading;
};

/* One value of one stream over the operating cases. */
struct track {
	const struct quantity *first; /* of the first case that has it; NULL: not known in any */
	double least, most;
	enum action action; /* the gravest that it gave rise to */
	struct governed *limits;
	size_t limit_count, limit_capacity;
};

struct station {
	const struct item *item;
	int rank;
	struct track tracks[TRACKS];
};

/* ---- what is drawn ---- */

static void note_value(struct track *track, const struct quantity *value, enum kind kind)
{
	if (!value || value->known == UNKNOWN || value->kind != kind || value->bound != BOUND_NONE ||
		!isfinite(value->si))
		return;
	if (!track->first)
		*track = (struct track){.first = value, .least = value->si, .most = value->si, .action = ACTION_NONE};
	track->least = fmin(track->least, value->si);
	track->most = fmax(track->most, value->si);
}

static void note_limit(struct page *page, struct track *track, const struct limit_result *row, enum kind kind)
{
	if (!row || row->limit->says || row->limit->value.kind != kind)
		return;
	for (size_t i = 0; i < track->limit_count; i++)
		if (fabs(track->limits[i].si - row->limit->value.si) <= 1e-9 * fabs(row->limit->value.si))
			return;
	track->limits = arena_grow(
		page->arena, track->limits, track->limit_count, &track->limit_capacity, sizeof *track->limits);
	track->limits[track->limit_count++] =
		(struct governed){.si = row->limit->value.si, .reading = row->limit->reading};
}

static void note_findings(struct page *page, struct station *station, const struct axis *axes)
{
	const struct judgement *judgement = &page->review->judgement;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->item != station->item || finding->verdict == VERDICT_NOT_APPLICABLE ||
			finding->rule->judged < 0)
			continue;
		const char *judged = finding->rule->inputs[finding->rule->judged].quantity;
		for (size_t k = 0; k < TRACKS; k++) {
			struct track *track = &station->tracks[k];
			if (!track->first || strcmp(judged, axes[k].name) != 0)
				continue;
			enum action action = finding_action(finding);
			track->action = action < track->action ? action : track->action;
			note_limit(page, track, finding->governing, axes[k].kind);
		}
	}
}

static bool fill_station(struct page *page, const struct item *item, const struct axis *axes, struct station *station)
{
	const struct table *table = page->review->table;
	const char *service = table_word(table, item, EVERY_CASE, "service");
	if (!item_is(item, "stream") || !service_is(service, SERVICE_STREAM))
		return false;
	*station = (struct station){.item = item, .rank = flow_rank(table, item)};
	for (int c = 0; c < (int)table_case_count(table); c++)
		for (size_t k = 0; k < TRACKS; k++)
			note_value(&station->tracks[k], table_get(table, item, c, axes[k].name), axes[k].kind);
	note_findings(page, station, axes);
	return station->tracks[0].first || station->tracks[1].first;
}

static int by_flow(const void *left, const void *right)
{
	const struct station *a = left, *b = right;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	return a->item->index < b->item->index ? -1 : a->item->index > b->item->index;
}

static size_t collect(struct page *page, const struct axis *axes, struct station **out)
{
	const struct table *table = page->review->table;
	size_t count = 0, all = table_item_count(table);
	struct station *stations = arena_alloc(page->arena, (all + 1) * sizeof *stations);
	for (size_t i = 0; i < all; i++)
		count += fill_station(page, table_item(table, i), axes, &stations[count]);
	qsort(stations, count, sizeof *stations, by_flow);
	*out = stations;
	return count;
}

/* ---- the axes ---- */

static void widen(struct axis *axis, double value)
{
	if (axis->logarithmic && !(value > 0))
		return;
	axis->least = fmin(axis->least, value);
	axis->most = fmax(axis->most, value);
}

/* To whole steps: of the axis, or powers of ten. */
static void fit(struct axis *axis, size_t index, const struct station *stations, size_t count)
{
	enum { DECADE = 10 };
	for (size_t i = 0; i < count; i++) {
		const struct track *track = &stations[i].tracks[index];
		if (!track->first)
			continue;
		widen(axis, track->least);
		widen(axis, track->most);
		for (size_t k = 0; k < track->limit_count; k++)
			widen(axis, track->limits[k].si);
	}
	if (axis->logarithmic) {
		axis->least = pow(DECADE, floor(log10(axis->least) + 1e-9));
		axis->most = pow(DECADE, ceil(log10(axis->most) - 1e-9));
		return;
	}
	double zero = quantity_in(0, axis->kind, axis->unit); /* the scale's own zero */
	axis->least = floor((axis->least + zero) / axis->step) * axis->step - zero;
	axis->most = ceil((axis->most + zero) / axis->step) * axis->step - zero;
}

static double across(const struct axis *axis, double si)
{
	double value = fmax(axis->least, fmin(axis->most, si));
	double share = axis->logarithmic ? log(value / axis->least) / log(axis->most / axis->least)
					 : (value - axis->least) / (axis->most - axis->least);
	return axis->left + share * (axis->right - axis->left);
}

static void add_tick(struct page *page, xmlNode *svg, const struct axis *axis, double si, double bottom)
{
	double x = across(axis, si);
	svg_line(page, svg, "grid", x, TOP - 6, x, bottom);
	svg_words(page, svg, "tick", x, TOP - 12, number_show(page->arena, quantity_in(si, axis->kind, axis->unit)));
}

static void add_axis(struct page *page, xmlNode *svg, const struct axis *axis, double bottom)
{
	enum { DECADE = 10 };
	double steps = axis->logarithmic ? log10(axis->most / axis->least) : (axis->most - axis->least) / axis->step;
	for (int i = 0; i <= (int)lround(steps); i++)
		add_tick(page, svg, axis,
			axis->logarithmic ? axis->least * pow(DECADE, i) : axis->least + i * axis->step, bottom);
	svg_words(page, svg, "unit", axis->numbers, TOP - 12, axis->words);
}

/* ---- drawing ---- */

static const char *number_in(struct page *page, const struct axis *axis, double si)
{
	enum { TENTHS = 10, THOUSANDTHS = 1000 };
	double value = quantity_in(si, axis->kind, axis->unit);
	double finest = axis->logarithmic ? THOUSANDTHS * TENTHS : TENTHS;
	return number_show(page->arena, round(value * finest) / finest);
}

/* "54.5", or "104 to 111" over the cases. */
static const char *spread(struct page *page, const struct axis *axis, const struct track *track)
{
	const char *least = number_in(page, axis, track->least), *most = number_in(page, axis, track->most);
	return text_same(least, most) ? least : arena_format(page->arena, "%s to %s", least, most);
}

static void say_track(struct page *page, struct text *text, const struct axis *axis, const struct track *track)
{
	if (!track->first)
		return;
	text_addf(text, " %s %s %s", axis->name, spread(page, axis, track), axis->unit);
	for (size_t i = 0; i < track->limit_count; i++)
		text_addf(text, "%s %s", i ? "," : ", limit", number_in(page, axis, track->limits[i].si));
	text_add(text, ";");
}

static const char *told(struct page *page, const struct station *station, const struct axis *axes)
{
	struct text text = text_in(page->arena);
	text_addf(&text, "%s:", station->item->tag);
	for (size_t k = 0; k < TRACKS; k++)
		say_track(page, &text, &axes[k], &station->tracks[k]);
	return text.data;
}

static void add_track(struct page *page, xmlNode *group, const struct axis *axis, const struct track *track, double y)
{
	svg_line(page, group, "row", axis->left, y, axis->right, y);
	if (!track->first) {
		svg_words(page, group, "none", axis->numbers, y + DOWN, "not known");
		return;
	}
	for (size_t i = 0; i < track->limit_count; i++)
		svg_limit(page, group, track->limits[i].reading, true, across(axis, track->limits[i].si), y);
	double from = across(axis, track->least), to = across(axis, track->most);
	if (to > from)
		svg_line(page, group, "spread", from, y, to, y);
	svg_mark(page, group, track->action, across(axis, track->first->si), y);
	svg_words(page, group, "numbers", axis->numbers, y + DOWN, spread(page, axis, track));
}

static void add_key(struct page *page, xmlNode *svg, double y)
{
	static const struct {
		enum action action;
		const char *words;
	} marks[] = {{ACTION_RESOLVE, "Resolve"}, {ACTION_JUSTIFY, "Justify"}, {ACTION_CONSIDER, "Consider"},
		{ACTION_NONE, "met, or no limit"}};
	enum { COLUMN = 104, LIMIT = 452, SPREAD = 606, MARK = 8, WORDS = 22, SPREAD_LONG = 26 };
	xmlNode *key = html_add(svg, "g", "key");
	for (size_t i = 0; i < COUNT(marks); i++) {
		double x = (double)i * COLUMN;
		svg_mark(page, key, marks[i].action, x + MARK, y);
		svg_words(page, key, NULL, x + WORDS, y + DOWN, marks[i].words);
	}
	svg_limit(page, key, READING_READ, true, LIMIT, y);
	svg_words(page, key, NULL, LIMIT + WORDS - MARK, y + DOWN, "limit that governs");
	svg_line(page, key, "spread", SPREAD, y, SPREAD + SPREAD_LONG, y);
	svg_words(page, key, NULL, SPREAD + SPREAD_LONG + MARK, y + DOWN, "spread over the cases");
}

static void add_chart(struct page *page, xmlNode *parent, const struct axis *axes, const struct station *stations,
	size_t count, size_t part)
{
	enum { SERVICE_GAP = 8 };
	double bottom = TOP + (double)count * ROW;
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s ", told(page, &stations[i], axes));
	const struct svg figure = {.id = arena_format(page->arena, "conditions-%zu", part),
		.class = "conditions",
		.title = "Temperature and loading of every amine stream in the order of flow",
		.description = text.data,
		.caption =
			"Streams of amine in the order of flow: temperature and total loading in the first operating "
			"case that has them, and their spread over all. A vertical mark is a governing limit of the "
			"stream itself; those of lines and equipment are in the strip above.",
		.width = WIDTH,
		.height = bottom + FOOT - ROW};
	xmlNode *svg = svg_open(page, parent, &figure);
	for (size_t k = 0; k < TRACKS; k++)
		add_axis(page, svg, &axes[k], bottom);
	for (size_t i = 0; i < count; i++) {
		double y = TOP + ((double)i + 0.5) * ROW;
		xmlNode *group = html_add(svg, "g", NULL);
		html_add_text(group, "title", NULL, told(page, &stations[i], axes));
		const char *tag = stations[i].item->tag;
		svg_words(page, group, "tag", 0, y + DOWN, text_cut(page->arena, tag, TAG_CHARACTERS));
		svg_words(page, group, "service", SERVICE - SERVICE_GAP, y + DOWN,
			table_word(page->review->table, stations[i].item, EVERY_CASE, "service"));
		for (size_t k = 0; k < TRACKS; k++)
			add_track(page, group, &axes[k], &stations[i].tracks[k], y);
	}
	add_key(page, svg, bottom + ROW);
}

void figure_conditions(struct page *page, xmlNode *parent)
{
	struct axis axes[TRACKS] = {
		{.name = "temperature",
			.words = "degC",
			.unit = "degC",
			.kind = KIND_TEMPERATURE,
			.left = SERVICE + 10,
			.right = 400,
			.numbers = 414,
			.least = 313.15,
			.most = 353.15,
			.step = 20},
		{.name = "loading",
			.words = "mol/mol, log",
			.unit = "mol/mol",
			.kind = KIND_LOADING,
			.logarithmic = true,
			.left = 500,
			.right = 690,
			.numbers = 704,
			.least = 0.01,
			.most = 0.5},
	};
	struct station *stations;
	size_t count = collect(page, axes, &stations);
	if (!count) {
		html_add_text(parent, "p", NULL, "No temperature or loading of an amine stream is known.");
		return;
	}
	for (size_t k = 0; k < TRACKS; k++)
		fit(&axes[k], k, stations, count);
	size_t parts = (count + ROWS_A_FIGURE - 1) / ROWS_A_FIGURE;
	for (size_t part = 0; part < parts; part++) {
		size_t from = count * part / parts, to = count * (part + 1) / parts;
		add_chart(page, parent, axes, &stations[from], to - from, part + 1);
	}
}
