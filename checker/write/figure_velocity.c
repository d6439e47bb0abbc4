#include "write/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/wording.h"
#include "write/svg.h"

/* The paper of the velocity figure, in units of its own view box. */
enum {
	WIDTH = 800,
	LEFT = 236,  /* where the scale starts; tags are left of it */
	RIGHT = 660, /* where it ends; values in figures are right of it */
	TOP = 40,    /* the scale's numbers are above */
	ROW = 22,
	FOOT = 84, /* the key */
	ROWS_A_FIGURE = 30,
	TAG_CHARACTERS = 21,
	BAR = 5, /* half of the bar across the ring of an accepted deviation */
};

/* One distinct figure among the limits of an item. */
struct mark_at {
	double si;
	enum reading reading;
	bool governs;
	const char *source; /* who gives it, several separated by commas */
};

/* One item that something flows through. */
struct track {
	const struct item *item;
	const struct quantity *value; /* the highest over the cases */
	int operating_case;
	enum action action;    /* the gravest that its velocity gave rise to */
	bool judged, accepted; /* accepted: it departs, and a recorded deviation covers it */
	struct mark_at *limits;
	size_t limit_count, limit_capacity;
	int rank;
};

/* ---- what is drawn ---- */

static bool is_velocity(const struct finding *finding)
{
	if (!finding->value || finding->value->kind != KIND_VELOCITY || finding->verdict == VERDICT_NOT_APPLICABLE)
		return false;
	const char *judged = finding->rule->inputs[finding->rule->judged].quantity;
	return strcmp(judged, "velocity-judged") == 0 || strcmp(judged, "liquid-velocity") == 0;
}

static void add_limit_to(struct page *page, struct track *track, const struct limit_result *row)
{
	const struct limit *limit = row->limit;
	if (!row->applied || limit->says || limit->value.kind != KIND_VELOCITY)
		return;
	const char *source = wording_source(page->arena, limit->source);
	for (size_t i = 0; i < track->limit_count; i++) {
		struct mark_at *mark = &track->limits[i];
		if (fabs(mark->si - limit->value.si) > 1e-6 * limit->value.si)
			continue;
		mark->governs = mark->governs || row->governs;
		mark->reading = limit->reading < mark->reading ? limit->reading : mark->reading;
		if (!strstr(mark->source, source))
			mark->source = arena_format(page->arena, "%s, %s", mark->source, source);
		return;
	}
	track->limits = arena_grow(
		page->arena, track->limits, track->limit_count, &track->limit_capacity, sizeof *track->limits);
	track->limits[track->limit_count++] = (struct mark_at){
		.si = limit->value.si, .reading = limit->reading, .governs = row->governs, .source = source};
}

static void add_findings_to(struct page *page, struct track *track)
{
	const struct judgement *judgement = &page->review->judgement;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->item != track->item || !is_velocity(finding))
			continue;
		enum action action = finding_action(finding);
		track->judged = true;
		track->accepted = track->accepted || finding->verdict == VERDICT_ACCEPTED;
		track->action = action < track->action ? action : track->action;
		for (size_t k = 0; k < finding->limit_count; k++)
			add_limit_to(page, track, &finding->limits[k]);
	}
}

static bool fill_track(struct page *page, const struct item *item, struct track *track)
{
	const struct table *table = page->review->table;
	*track = (struct track){.item = item, .action = ACTION_NONE, .operating_case = EVERY_CASE};
	for (int c = 0; c < (int)table_case_count(table); c++) {
		const struct quantity *value = table_get(table, item, c, "velocity-judged");
		if (!value || value->known == UNKNOWN || value->kind != KIND_VELOCITY || !(value->si > 0) ||
			!isfinite(value->si))
			continue;
		if (!track->value || value->si > track->value->si) {
			track->value = value;
			track->operating_case = c;
		}
	}
	if (!track->value)
		return false;
	if (table_get(table, item, EVERY_CASE, "velocity-judged") == track->value && !table_varies(table, item))
		track->operating_case = EVERY_CASE;
	add_findings_to(page, track);
	track->rank = flow_rank(table, item);
	return true;
}

static int by_flow(const void *left, const void *right)
{
	const struct track *a = left, *b = right;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	return a->item->index < b->item->index ? -1 : a->item->index > b->item->index;
}

static size_t collect_tracks(struct page *page, struct track **out)
{
	const struct table *table = page->review->table;
	size_t count = 0, all = table_item_count(table);
	struct track *tracks = arena_alloc(page->arena, (all + 1) * sizeof *tracks);
	for (size_t i = 0; i < all; i++)
		if (!item_is(table_item(table, i), "stream"))
			count += fill_track(page, table_item(table, i), &tracks[count]);
	qsort(tracks, count, sizeof *tracks, by_flow);
	*out = tracks;
	return count;
}

/* ---- drawing ---- */

struct scale {
	double least, most; /* m/s, on a logarithmic axis */
};

static double across(const struct scale *scale, double velocity)
{
	double share = log(velocity / scale->least) / log(scale->most / scale->least);
	return LEFT + share * (RIGHT - LEFT);
}

/* Wide enough for all that is drawn, on steps of 1, 2 and 5. */
static struct scale scale_for(const struct track *tracks, size_t count)
{
	double least = 0.5, most = 2;
	for (size_t i = 0; i < count; i++) {
		least = fmin(least, tracks[i].value->si);
		most = fmax(most, tracks[i].value->si);
		for (size_t k = 0; k < tracks[i].limit_count; k++) {
			least = fmin(least, tracks[i].limits[k].si);
			most = fmax(most, tracks[i].limits[k].si);
		}
	}
	enum { STEPS = 3, DECADES = 12 };
	static const double steps[STEPS] = {1, 2, 5};
	struct scale scale = {.least = least, .most = most};
	for (int i = -DECADES * STEPS; i < DECADES * STEPS; i++) {
		int decade = (i + DECADES * STEPS) / STEPS - DECADES, step = (i + DECADES * STEPS) % STEPS;
		double at = steps[step] * pow(10, decade);
		if (at <= least)
			scale.least = at;
		if (at >= most) {
			scale.most = at;
			break;
		}
	}
	return scale;
}

static void add_axis(struct page *page, xmlNode *svg, const struct scale *scale, double bottom)
{
	static const double steps[] = {1, 2, 5};
	enum { DECADES = 6 };
	for (int decade = -DECADES; decade < DECADES; decade++)
		for (size_t i = 0; i < COUNT(steps); i++) {
			double at = steps[i] * pow(10, decade);
			if (at < scale->least * (1 - 1e-9) || at > scale->most * (1 + 1e-9))
				continue;
			double x = across(scale, at);
			svg_line(page, svg, "grid", x, TOP - 6, x, bottom);
			svg_words(page, svg, "tick", x, TOP - 12, number_show(page->arena, at));
		}
	svg_words(page, svg, "unit end", WIDTH, TOP - 12, "m/s, log scale");
}

static const char *told(struct page *page, const struct track *track)
{
	struct text text = text_in(page->arena);
	text_addf(&text, "%s: %s", track->item->tag, quantity_show_both(page->arena, track->value));
	for (size_t i = 0; i < track->limit_count; i++)
		text_addf(&text, "%s%s m/s (%s)%s",
			i ? "; " : "; limits: ", number_show(page->arena, track->limits[i].si), track->limits[i].source,
			track->limits[i].governs ? ", governs" : "");
	return text.data;
}

static void add_track(struct page *page, xmlNode *svg, const struct scale *scale, const struct track *track, double y)
{
	xmlNode *group = html_add(svg, "g", NULL);
	html_add_text(group, "title", NULL, told(page, track));
	const char *service = table_word(page->review->table, track->item, EVERY_CASE, "service");
	svg_words(page, group, "tag", 0, y + 4, text_cut(page->arena, track->item->tag, TAG_CHARACTERS));
	if (service)
		svg_words(page, group, "service", LEFT - 10, y + 4, service);
	svg_line(page, group, "row", LEFT, y, RIGHT, y);
	for (size_t i = 0; i < track->limit_count; i++) {
		const struct mark_at *limit = &track->limits[i];
		svg_limit(page, group, limit->reading, limit->governs, across(scale, limit->si), y);
	}
	double x = across(scale, track->value->si);
	svg_mark(page, group, track->action, x, y);
	if (track->accepted && track->action == ACTION_NONE)
		svg_line(page, group, "accepted", x - BAR, y, x + BAR, y);
	svg_words(page, group, track->judged ? "figure" : "figure unjudged", WIDTH, y + 4,
		arena_format(page->arena, "%s%s", quantity_show(page->arena, track->value, NULL),
			track->judged ? "" : ", no limit"));
}

static void add_key(struct page *page, xmlNode *svg, double y)
{
	static const struct {
		enum action action;
		bool accepted;
		const char *words;
	} marks[] = {{ACTION_RESOLVE, false, "Resolve"}, {ACTION_JUSTIFY, false, "Justify"},
		{ACTION_CONSIDER, false, "Consider"}, {ACTION_STATE, false, "not judged"},
		{ACTION_NONE, false, "met, or no limit"}, {ACTION_NONE, true, "accepted deviation"}};
	static const struct {
		enum reading reading;
		bool governs;
		const char *words;
	} limits[] = {{READING_READ, true, "limit that governs"}, {READING_READ, false, "limit, read"},
		{READING_SECONDARY, false, "from a secondary text"},
		{READING_MEMORY, false, "from memory or practice"}};
	enum { MARK_COLUMN = 132, LIMIT_COLUMN = 164, LINE = 30, MARK = 8, WORDS = 22, DOWN = 4 };
	xmlNode *key = html_add(svg, "g", "key");
	for (size_t i = 0; i < COUNT(marks); i++) {
		double x = (double)i * MARK_COLUMN;
		svg_mark(page, key, marks[i].action, x + MARK, y);
		if (marks[i].accepted)
			svg_line(page, key, "accepted", x + MARK - BAR, y, x + MARK + BAR, y);
		svg_words(page, key, NULL, x + WORDS, y + DOWN, marks[i].words);
	}
	for (size_t i = 0; i < COUNT(limits); i++) {
		double x = (double)i * LIMIT_COLUMN;
		svg_limit(page, key, limits[i].reading, limits[i].governs, x + MARK, y + LINE);
		svg_words(page, key, NULL, x + WORDS, y + LINE + DOWN, limits[i].words);
	}
}

static void add_chart(struct page *page, xmlNode *parent, const struct scale *scale, const struct track *tracks,
	size_t count, size_t part)
{
	double bottom = TOP + (double)count * ROW;
	struct text text = text_in(page->arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s. ", told(page, &tracks[i]));
	const struct svg figure = {.id = arena_format(page->arena, "velocity-%zu", part),
		.class = "velocity",
		.title = "Velocity of every line, nozzle and tube side against its limits",
		.description = text.data,
		.caption =
			"Velocity in lines, nozzles and tubes, the highest over the operating cases, in the order of "
			"flow. "
			"Vertical marks are the published limits that apply to the item; the one with end bars "
			"governs.",
		.width = WIDTH,
		.height = bottom + FOOT};
	xmlNode *svg = svg_open(page, parent, &figure);
	add_axis(page, svg, scale, bottom);
	for (size_t i = 0; i < count; i++)
		add_track(page, svg, scale, &tracks[i], TOP + ((double)i + 0.5) * ROW);
	add_key(page, svg, bottom + ROW);
}

void figure_velocity(struct page *page, xmlNode *parent)
{
	struct track *tracks;
	size_t count = collect_tracks(page, &tracks);
	if (!count) {
		html_add_text(parent, "p", NULL, "No velocity could be calculated: sizes or flows are not stated.");
		return;
	}
	struct scale scale = scale_for(tracks, count);
	size_t parts = (count + ROWS_A_FIGURE - 1) / ROWS_A_FIGURE;
	for (size_t part = 0; part < parts; part++) {
		size_t from = count * part / parts, to = count * (part + 1) / parts;
		add_chart(page, parent, &scale, &tracks[from], to - from, part + 1);
	}
}
