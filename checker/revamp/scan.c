#include "revamp/scan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/evaluation.h"
#include "judge/late.h"
#include "judge/wording.h"
#include "pipeline/stages.h"
#include "revamp/bracket.h"

const char *point_verdict_word(enum point_verdict verdict)
{
	static const char *const words[] = {"clear", "departs", "not judged"};
	return words[verdict];
}

/* ---- one finding as a sample ---- */

static enum point_verdict point_verdict_of(enum verdict verdict)
{
	switch (verdict) {
	case VERDICT_DEPARTS:
	case VERDICT_ACCEPTED: /* a deviation accepts the departure, it does not move the limit */
		return POINT_DEPARTS;
	case VERDICT_NOT_JUDGED:
	case VERDICT_OUT_OF_RANGE:
		return POINT_OPEN;
	default:
		return POINT_CLEAR;
	}
}

/* Cases are declared once for all x: the id outlives the table. */
static const char *case_id(const struct scan *scan, int operating_case)
{
	return operating_case == EVERY_CASE ? NULL : scan->cases[operating_case];
}

/* A margin of zero that is no departure is one that a limit as it is printed leaves: the verdict turns at half its last digit. */
static double beyond_turn(const struct limit_result *governing, double value)
{
	const struct limit *limit = governing->limit;
	bool upper = limit->relation == RELATION_AT_MOST || limit->relation == RELATION_BELOW;
	bool excluded = limit->relation == RELATION_BELOW || limit->relation == RELATION_ABOVE;
	double beyond = upper ? value - governing->at : governing->at - value;
	return beyond - (excluded ? 0 : limit->half_digit);
}

static struct sample sample_of(const struct scan *scan, const struct finding *finding)
{
	const struct quantity *value = finding->value;
	struct sample sample = {
		.verdict = point_verdict_of(finding->verdict),
		.force = finding->force,
		.operating_case = case_id(scan, finding->operating_case),
		.has_value =
			value && value->known != UNKNOWN && kind_is_number(value->kind) && value->bound == BOUND_NONE,
	};
	if (finding->governing)
		sample.governing = finding->governing->limit;
	if (sample.has_value) {
		sample.value = value->si;
		sample.kind = value->kind;
	}
	sample.has_margin = sample.has_value && finding->governing && !finding->governing->limit->says;
	if (sample.has_margin) {
		enum relation relation = finding->governing->limit->relation;
		bool upper = relation == RELATION_AT_MOST || relation == RELATION_BELOW;
		sample.margin = finding->governing->margin;
		sample.limit = sample.value + (upper ? -sample.margin : sample.margin);
		sample.beyond = beyond_turn(finding->governing, sample.value);
	}
	return sample;
}

/* ---- evaluating ---- */

typedef void visit_finding(struct scan *scan, const struct finding *finding, void *data);

static bool is_wanted(const struct scan_setup *setup, const struct rule *rule)
{
	return !setup->only_judged ||
		(rule->judged >= 0 && strcmp(rule->inputs[rule->judged].quantity, setup->only_judged) == 0);
}

/* The rules whose findings are asked for: one, those that judge a quantity, or all. */
static bool is_asked(const struct scan *scan, const struct rule *only, const struct rule *rule)
{
	return only ? rule == only : is_wanted(scan->setup, rule);
}

/* What is told of deviations and claims rests on the findings of all rules. */
static bool asks_for_all(const struct scan *scan, const struct rule *only)
{
	return only ? rule_is_late(only) : !scan->setup->only_judged;
}

static void show(
	struct scan *scan, struct judgement judgement, const struct rule *only, visit_finding *visit, void *data)
{
	for (size_t i = 0; i < judgement.count; i++) {
		const struct finding *finding = &judgement.findings[i];
		if ((!scan->setup->only_item || strcmp(finding->item->tag, scan->setup->only_item) == 0) &&
			is_asked(scan, only, finding->rule))
			visit(scan, finding, data);
	}
}

/* The names of the cases, once: the table goes with its x. */
static void keep_cases(struct scan *scan, const struct table *table)
{
	size_t count = table_case_count(table);
	if (scan->cases)
		return;
	scan->cases = arena_alloc(scan->setup->arena, (count + 1) * sizeof *scan->cases);
	for (size_t c = 0; c < count; c++)
		scan->cases[c] = arena_copy(scan->setup->arena, table_case(table, (int)c)->id);
}

/* The unit at one x. */
struct at {
	struct arena *arena;
	struct table *resolved;
	const struct table *table; /* as far as it is computed */
	bool whole;
};

static void compute_whole(const struct scan *scan, struct at *at)
{
	at->table = lineage_vary(scan->lineage, at->arena, at->resolved);
	at->whole = true;
}

/* Judged by all rules beside the unit as it was at first, from which what has not moved is taken over. */
static struct judgement judge_whole(const struct scan *scan, struct at *at)
{
	compute_whole(scan, at);
	return judge_verdicts(at->arena, scan->setup->catalogue, at->table, EVERY_CASE, &scan->first);
}

/* As far as the wanted rules ask of the one item. */
static void compute_asked(const struct scan *scan, const struct rule *only, const struct item *item, struct at *at)
{
	const struct catalogue *catalogue = scan->setup->catalogue;
	bool known = true;
	lineage_ask_nothing(scan->lineage);
	for (size_t i = 0; i < catalogue->rule_count; i++)
		if (is_asked(scan, only, &catalogue->rules[i]) && rule_selects_kind(&catalogue->rules[i], item->kind))
			known = known && lineage_ask(scan->lineage, &catalogue->rules[i], item);
	at->table = known ? lineage_table(scan->lineage, at->arena, at->resolved) : NULL;
	if (!at->table || lineage_misled(scan->lineage))
		compute_whole(scan, at);
}

/* One rule on one item; again on the whole table where it looked at what was not computed. */
static bool judge_alone(
	const struct scan *scan, const struct rule *rule, const char *tag, struct at *at, struct finding *finding)
{
	const struct catalogue *catalogue = scan->setup->catalogue;
	const struct item *item = table_find(at->table, tag);
	bool judged = judge_verdict(at->arena, catalogue, at->table, rule, item, finding);
	if (at->whole || !lineage_misled(scan->lineage))
		return judged;
	compute_whole(scan, at);
	return judge_verdict(at->arena, catalogue, at->table, rule, item, finding);
}

/* `item`: of which `only`, or the wanted rules, are asked; NULL: every finding. */
static void judge_and_show(struct scan *scan, struct at *at, const struct rule *only, const struct item *item,
	visit_finding *visit, void *data)
{
	const struct catalogue *catalogue = scan->setup->catalogue;
	if (!item) {
		struct judgement judgement = judge_whole(scan, at);
		keep_cases(scan, at->table);
		show(scan, judgement, only, visit, data);
		return;
	}
	compute_asked(scan, only, item, at);
	keep_cases(scan, at->table);
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		struct finding finding;
		if (is_asked(scan, only, &catalogue->rules[i]) &&
			judge_alone(scan, &catalogue->rules[i], item->tag, at, &finding))
			visit(scan, &finding, data);
	}
}

/* What can be judged by itself: an item of the description, by a rule that looks at nothing that computing or judging adds. */
static const struct item *asked_item(
	const struct scan *scan, const struct rule *only, const char *tag, const struct table *resolved)
{
	return asks_for_all(scan, only) ? NULL : table_find(resolved, tag);
}

/*
 * Computes the unit at x and shows the findings of `only` (NULL: of every wanted rule), of others than the item with that tag (NULL: of
 * any) as well or not. Gives the fault, or NULL.
 */
static const char *evaluate(
	struct scan *scan, double x, const struct rule *only, const char *tag, visit_finding *visit, void *data)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct scan_setup *setup = scan->setup;
	const struct element *unit = setup->at(&arena, x, setup->data);
	struct at at = {.arena = &arena, .resolved = unit ? stages_resolve(&arena, unit, &problems) : NULL};
	const char *fault = NULL;
	scan->evaluations++;
	if (at.resolved)
		judge_and_show(scan, &at, only, asked_item(scan, only, tag, at.resolved), visit, data);
	else
		fault = problems.count ? arena_copy(setup->arena, problems.rows[0].message)
				       : "the value cannot be written into the description";
	arena_release(&arena);
	return fault;
}

/* ---- tracks ---- */

static struct track *track_of(struct scan *scan, const struct finding *finding, size_t *hint)
{
	for (size_t k = 0; k < scan->track_count; k++) {
		size_t i = (*hint + k) % scan->track_count; /* findings come in the same order each time */
		struct track *track = &scan->tracks[i];
		if (track->rule == finding->rule && strcmp(track->item, finding->item->tag) == 0) {
			*hint = i + 1;
			return track;
		}
	}
	struct arena *arena = scan->setup->arena;
	scan->tracks = arena_grow(arena, scan->tracks, scan->track_count, &scan->track_capacity, sizeof *scan->tracks);
	struct track *track = &scan->tracks[scan->track_count++];
	*track = (struct track){
		.rule = finding->rule,
		.item = arena_copy(arena, finding->item->tag),
		.kind = arena_copy(arena, finding->item->kind),
		.limit = "",
		.action = ACTION_NONE,
		.samples = arena_alloc(arena, scan->setup->count * sizeof *track->samples),
	};
	return track;
}

struct filling {
	size_t point, hint;
};

static void fill(struct scan *scan, const struct finding *finding, void *data)
{
	struct filling *filling = data;
	struct track *track = track_of(scan, finding, &filling->hint);
	track->samples[filling->point] = sample_of(scan, finding);
	if (!*track->limit && finding->governing)
		track->limit = wording_limit(scan->setup->arena, finding->governing->limit);
	track->action = (enum action)finding->force;
}

bool scan_differs(const struct sample *a, const struct sample *b)
{
	const double same = 1e-9; /* relative: below it two runs of the same numbers */
	if (a->verdict != b->verdict || a->has_value != b->has_value)
		return true;
	return a->has_value && fabs(a->value - b->value) > same * fmax(fabs(a->value), fabs(b->value));
}

/* ---- locating a turn ---- */

struct sought {
	const struct track *track;
	struct sample sample;
};

static void seek(struct scan *scan, const struct finding *finding, void *data)
{
	struct sought *sought = data;
	if (strcmp(finding->item->tag, sought->track->item) == 0)
		sought->sample = sample_of(scan, finding);
}

static struct spot look_at(struct scan *scan, const struct track *track, double x)
{
	struct sought sought = {.track = track}; /* a rule that no longer selects the item is clear */
	if (evaluate(scan, x, track->rule, track->item, seek, &sought))
		sought.sample.verdict = POINT_OPEN;
	return (struct spot){.x = x, .sample = sought.sample};
}

static void add_turn(struct scan *scan, struct track *track, const struct spot *a, const struct spot *b)
{
	const struct sample *beyond = b->sample.verdict == POINT_DEPARTS ? &b->sample : &a->sample;
	track->turns = arena_grow(
		scan->setup->arena, track->turns, track->turn_count, &track->turn_capacity, sizeof *track->turns);
	track->turns[track->turn_count++] = (struct turn){.at = 0.5 * (a->x + b->x),
		.from = a->sample.verdict,
		.to = b->sample.verdict,
		.operating_case = beyond->verdict == POINT_DEPARTS ? beyond->operating_case : NULL,
		.limit = beyond->governing ? wording_limit(scan->setup->arena, beyond->governing) : ""};
}

static void locate(struct scan *scan, struct track *track, struct bracket bracket, int depth)
{
	enum { STEPS = 60, DEPTH = 4 };
	for (int step = 0; step < STEPS && !bracket_is_narrow(&bracket, scan->setup->tolerance); step++) {
		struct spot c = look_at(scan, track, bracket_guess(&bracket, scan->setup->tolerance));
		bool left = c.sample.verdict == bracket.a.sample.verdict;
		if (left || c.sample.verdict == bracket.b.sample.verdict) {
			bracket_close(&bracket, &c, left);
		} else if (depth < DEPTH) { /* a third verdict between the two: each boundary by itself */
			locate(scan, track, (struct bracket){.a = bracket.a, .b = c}, depth + 1);
			locate(scan, track, (struct bracket){.a = c, .b = bracket.b}, depth + 1);
			return;
		} else {
			break;
		}
	}
	add_turn(scan, track, &bracket.a, &bracket.b);
}

/* Does the margin come nearest to the limit at the middle of three points, and could it cross between them? */
static bool may_touch(const struct sample *before, const struct sample *middle, const struct sample *after)
{
	if (before->verdict != middle->verdict || after->verdict != middle->verdict || !before->has_margin ||
		!middle->has_margin || !after->has_margin)
		return false;
	double near = fabs(middle->margin), left = fabs(before->margin), right = fabs(after->margin);
	return near < left && near < right && near <= fmax(left, right) - near;
}

/* Searches for the place of least distance; two turns where another verdict is found on the way. */
static void search_touch(struct scan *scan, struct track *track, struct spot a, struct spot b)
{
	enum { STEPS = 24 };
	const double golden = 0.6180339887498949; /* (sqrt 5 - 1)/2 */
	struct spot low = a, high = b;
	struct spot left = look_at(scan, track, b.x - golden * (b.x - a.x));
	struct spot right = look_at(scan, track, a.x + golden * (b.x - a.x));
	for (int step = 0; step < STEPS; step++) {
		const struct spot *other = left.sample.verdict != a.sample.verdict ? &left
			: right.sample.verdict != a.sample.verdict		   ? &right
										   : NULL;
		if (other) {
			locate(scan, track, (struct bracket){.a = a, .b = *other}, 0);
			locate(scan, track, (struct bracket){.a = *other, .b = b}, 0);
			return;
		}
		if (fabs(left.sample.margin) < fabs(right.sample.margin)) {
			high = right;
			right = left;
			left = look_at(scan, track, high.x - golden * (high.x - low.x));
		} else {
			low = left;
			left = right;
			right = look_at(scan, track, low.x + golden * (high.x - low.x));
		}
	}
}

/* Beyond the grid no margin is known. */
static struct spot grid_spot(const struct scan *scan, const struct track *track, size_t i)
{
	return i < scan->setup->count && !scan->faults[i]
		? (struct spot){.x = scan->setup->grid[i], .sample = track->samples[i]}
		: (struct spot){.x = 0};
}

static struct bracket grid_bracket(const struct scan *scan, const struct track *track, size_t i)
{
	return (struct bracket){.a = grid_spot(scan, track, i),
		.b = grid_spot(scan, track, i + 1),
		.before_a = grid_spot(scan, track, i - 1),
		.after_b = grid_spot(scan, track, i + 2)};
}

static int turn_before(const void *left, const void *right)
{
	const struct turn *a = left, *b = right;
	return a->at < b->at ? -1 : a->at > b->at;
}

static void find_turns(struct scan *scan, struct track *track)
{
	size_t count = scan->setup->count;
	for (size_t i = 0; i + 1 < count; i++)
		if (!scan->faults[i] && !scan->faults[i + 1] &&
			track->samples[i].verdict != track->samples[i + 1].verdict)
			locate(scan, track, grid_bracket(scan, track, i), 0);
	for (size_t i = 1; i + 1 < count; i++)
		if (!scan->faults[i - 1] && !scan->faults[i] && !scan->faults[i + 1] &&
			may_touch(&track->samples[i - 1], &track->samples[i], &track->samples[i + 1]))
			search_touch(scan, track, grid_spot(scan, track, i - 1), grid_spot(scan, track, i + 1));
	if (track->turn_count)
		qsort(track->turns, track->turn_count, sizeof *track->turns, turn_before);
}

/* The unit at the first point that can be computed, for the judging of the others. It lives as long as the scan. */
static void judge_first(struct scan *scan)
{
	struct arena *arena = scan->setup->arena;
	for (size_t i = 0; i < scan->setup->count && !scan->first.table && asks_for_all(scan, NULL); i++) {
		struct problems problems = {.arena = arena};
		const struct element *unit = scan->setup->at(arena, scan->setup->grid[i], scan->setup->data);
		struct at at = {.arena = arena, .resolved = unit ? stages_resolve(arena, unit, &problems) : NULL};
		if (!at.resolved)
			continue;
		at.table = lineage_learn(scan->lineage, arena, at.resolved);
		struct judgement judgement = judge_verdicts(arena, scan->setup->catalogue, at.table, EVERY_CASE, NULL);
		scan->first = judgement_before(at.table, &judgement);
	}
}

struct scan scan_run(const struct scan_setup *setup)
{
	struct scan scan = {.setup = setup,
		.lineage = setup->lineage ? setup->lineage : lineage_new(setup->arena),
		.faults = arena_alloc(setup->arena, setup->count * sizeof *scan.faults)};
	judge_first(&scan);
	for (size_t i = 0; i < setup->count; i++) {
		struct filling filling = {.point = i};
		scan.faults[i] = evaluate(&scan, setup->grid[i], NULL, setup->only_item, fill, &filling);
	}
	for (size_t t = 0; t < scan.track_count; t++) {
		struct track *track = &scan.tracks[t];
		for (size_t i = 1; i < setup->count; i++)
			track->moves = track->moves ||
				(!scan.faults[i] && !scan.faults[0] &&
					scan_differs(&track->samples[0], &track->samples[i]));
		if (track->moves)
			find_turns(&scan, track);
	}
	return scan;
}
