#include "revamp/permits_search.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/screening.h"
#include "pipeline/stages.h"
#include "revamp/permits_values.h"
#include "revamp/restate.h"

/* A place in the space of the unknowns: of each number its value, of each word its index. */
struct point {
	double at[PERMITS_UNKNOWNS];
};

/* What the unit comes to there. */
struct tried {
	bool consistent;
	struct completion completion;
};

struct search {
	const struct asking *asking;
	const struct finding *finding;
	struct permit_source source;
	struct permit_unknowns unknowns;
	struct permit permit;
	struct point worst_at, best_at, spoilt_at, sound_at;
	struct completion worst, best;
	bool has_worst, has_best, has_spoilt, has_sound; /* spoilt: departs and is not consistent */
	struct finding lacking;				 /* of the last completion with which it is still not judged */
	size_t judged, open, budget; /* completions with which it is judged; and not, of the last combinations */
};

/* ---- one completion ---- */

static const char *written_at(struct arena *arena, const struct permit_unknown *unknown, double at)
{
	return unknown->number ? permit_written(arena, unknown->kind, at) : unknown->words[(size_t)at];
}

static const struct element *description_at(struct arena *arena, const struct search *search, const struct point *point)
{
	const struct asking *asking = search->asking;
	struct variant variant = variant_in(arena);
	for (size_t i = 0; i < search->unknowns.count; i++) {
		const struct permit_unknown *unknown = &search->unknowns.rows[i];
		restate_in(&variant,
			restate(arena, asking->unit, asking->review->table, unknown->item, unknown->name,
				written_at(arena, unknown, point->at[i]), search->finding->operating_case));
	}
	return variant_build(arena, &variant, asking->unit);
}

/* Does a balance depart that did not before? Findings are in the order of rules and items in both. */
static bool breaks_a_balance(const struct judged_before *before, const struct judgement *judgement)
{
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		bool departed = false;
		if (finding->verdict != VERDICT_DEPARTS || !screening_is_balance(finding->rule))
			continue;
		for (size_t k = 0; k < before->count && !departed; k++) {
			const struct finding *was = judged_finding(before, k);
			departed = was->rule == finding->rule && was->verdict == VERDICT_DEPARTS &&
				text_same(was->item->tag, finding->item->tag);
		}
		if (!departed)
			return true;
	}
	return false;
}

static const struct finding *same_finding(const struct judgement *judgement, const struct finding *finding)
{
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].rule == finding->rule &&
			text_same(judgement->findings[i].item->tag, finding->item->tag))
			return &judgement->findings[i];
	return NULL;
}

static struct completion completion_of(const struct finding *finding)
{
	struct completion out = {.verdict = VERDICT_NOT_APPLICABLE};
	if (!finding)
		return out;
	const struct quantity *value = finding->value;
	out.verdict = finding->verdict;
	out.force = finding->force;
	out.has_value = value && value->known != UNKNOWN && kind_is_number(value->kind);
	out.value = out.has_value ? value->si : 0;
	out.kind = value ? value->kind : KIND_RATIO;
	out.has_margin = out.has_value && finding->governing && !finding->governing->limit->says;
	out.margin = out.has_margin ? finding->governing->margin : 0;
	return out;
}

size_t permit_contradictions(const struct table *table)
{
	size_t count;
	table_contradictions(table, &count);
	return count;
}

/* The lacking values of a verdict, by the items of the unit as it is: those of the variant go with it. */
static void keep_lacking(struct search *search, const struct finding *finding)
{
	struct arena *arena = search->asking->arena;
	const struct table *table = search->asking->review->table;
	struct missing *rows = arena_alloc(arena, (finding->missing_count + 1) * sizeof *rows);
	for (size_t i = 0; i < finding->missing_count; i++) {
		const struct missing *one = &finding->missing[i];
		rows[i].item = one->item ? table_find(table, one->item->tag) : NULL;
		rows[i].quantity = one->quantity ? arena_copy(arena, one->quantity) : NULL;
		rows[i].reason = arena_copy(arena, one->reason ? one->reason : "");
	}
	search->lacking = *search->finding;
	search->lacking.missing = rows;
	search->lacking.missing_count = finding->missing_count;
}

static struct tried look_at(struct search *search, const struct point *point)
{
	const struct asking *asking = search->asking;
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	struct tried tried = {.completion = {.verdict = VERDICT_NOT_JUDGED}};
	struct assessed_unit varied =
		watched_vary(&asking->watched, &another, description_at(&another, search, point), &problems);
	search->permit.tries++;
	if (varied.table) {
		const struct judged_before before = watched_before(&asking->watched);
		const struct finding *finding = same_finding(&varied.judgement, search->finding);
		tried.completion = completion_of(finding);
		tried.consistent = permit_contradictions(varied.table) <= asking->contradictions &&
			!breaks_a_balance(&before, &varied.judgement);
		if (finding && finding->verdict == VERDICT_NOT_JUDGED)
			keep_lacking(search, finding);
	}
	arena_release(&another);
	return tried;
}

/* ---- what was seen ---- */

static bool is_clear(enum verdict verdict)
{
	return verdict == VERDICT_MEETS || verdict == VERDICT_NOT_APPLICABLE;
}

static void note_range(struct permit *permit, const struct completion *completion)
{
	if (!completion->has_value)
		return;
	bool first = !permit->has_range;
	permit->least = first ? completion->value : fmin(permit->least, completion->value);
	permit->largest = first ? completion->value : fmax(permit->largest, completion->value);
	permit->kind = completion->kind;
	permit->has_range = true;
}

/*
 * Of two departures that of the higher force, then the one farther from its limit; the first of equals. Where the package bounds none of
 * the numbers it is the nearest to the limit: how far beyond an unbounded one may lie says nothing.
 */
static bool is_worse(const struct search *search, const struct completion *one)
{
	const struct completion *other = &search->worst;
	if (one->force != other->force || !one->has_margin || !other->has_margin)
		return one->force < other->force;
	return search->permit.bounded ? one->margin > other->margin : one->margin < other->margin;
}

/* What meets says more than what the rule does not apply to. */
static bool is_better(const struct search *search, const struct completion *one)
{
	const struct completion *other = &search->best;
	if (one->verdict != other->verdict)
		return one->verdict == VERDICT_MEETS;
	if (!one->has_margin || !other->has_margin)
		return false;
	return search->permit.bounded ? one->margin < other->margin : one->margin > other->margin;
}

static struct tried try_at(struct search *search, const struct point *point)
{
	struct tried tried = look_at(search, point);
	const struct completion *got = &tried.completion;
	bool departs = got->verdict == VERDICT_DEPARTS;
	search->judged += departs || is_clear(got->verdict);
	search->open += !departs && !is_clear(got->verdict);
	if (!tried.consistent) {
		if (departs && !search->has_spoilt)
			search->spoilt_at = *point;
		search->has_spoilt = search->has_spoilt || departs;
		return tried;
	}
	search->permit.consistent++;
	if (!search->has_sound)
		search->sound_at = *point;
	search->has_sound = true;
	note_range(&search->permit, got);
	if (departs && (!search->has_worst || is_worse(search, got))) {
		search->worst = *got;
		search->worst_at = *point;
		search->has_worst = true;
	}
	if (is_clear(got->verdict) && (!search->has_best || is_better(search, got))) {
		search->best = *got;
		search->best_at = *point;
		search->has_best = true;
	}
	return tried;
}

static bool has_tries(const struct search *search)
{
	return search->permit.tries < search->budget;
}

/* ---- corners and what is between ---- */

static size_t common_divisor(size_t a, size_t b)
{
	while (b) {
		size_t rest = a % b;
		a = b;
		b = rest;
	}
	return a;
}

static double value_of(const struct permit_unknown *unknown, size_t index)
{
	return unknown->number ? unknown->numbers[index] : (double)index;
}

static struct point combination(const struct search *search, size_t index)
{
	struct point point = {{0}};
	for (size_t i = 0; i < search->unknowns.count; i++) {
		const struct permit_unknown *unknown = &search->unknowns.rows[i];
		point.at[i] = value_of(unknown, index % unknown->count);
		index /= unknown->count;
	}
	return point;
}

/* All combinations, or as many as half the tries that are left, evenly strewn: the step has no divisor in common with their number. */
static bool try_combinations(struct search *search)
{
	static const double golden = 0.6180339887498949;
	size_t all = 1, most = (search->budget - search->permit.tries + 1) / 2, step;
	for (size_t i = 0; i < search->unknowns.count; i++)
		all *= search->unknowns.rows[i].count;
	if (!all)
		return true; /* no unknown is without values */
	step = (size_t)((double)all * golden) | 1;
	while (all > most && common_divisor(step, all) > 1)
		step += 2;
	size_t count = all > most ? most : all;
	for (size_t k = 0; k < count; k++) {
		struct point point = combination(search, all > most ? k * step % all : k);
		try_at(search, &point);
	}
	return all <= most;
}

/* ---- along the numbers ---- */

/* From what is consistent towards what departs and is not: numbers half way, words as they are where it departs. */
static void reach_for_departure(struct search *search)
{
	enum { HALVINGS = 10 };
	struct point sound = search->sound_at, spoilt = search->spoilt_at;
	for (size_t i = 0; i < search->unknowns.count; i++)
		sound.at[i] = search->unknowns.rows[i].number ? sound.at[i] : spoilt.at[i];
	for (int k = 0; k < HALVINGS && has_tries(search) && !search->has_worst; k++) {
		struct point middle = sound;
		for (size_t i = 0; i < search->unknowns.count; i++)
			if (search->unknowns.rows[i].number)
				middle.at[i] = (sound.at[i] + spoilt.at[i]) / 2;
		struct tried tried = try_at(search, &middle);
		if (tried.consistent)
			sound = middle;
		else
			spoilt = middle;
	}
}

/* One number moved by `step`, within its ends; false: it is at that end. */
static bool moved(const struct search *search, size_t i, double step, struct point *point)
{
	const struct permit_unknown *unknown = &search->unknowns.rows[i];
	double to = fmin(unknown->largest, fmax(unknown->least, point->at[i] + step));
	to = unknown->kind == KIND_COUNT ? rint(to) : to;
	bool is_moved = to > point->at[i] || to < point->at[i];
	point->at[i] = to;
	return is_moved;
}

/* Each number by a step up and down from the worst, or from the best, so long as that betters it; then by half of it. */
static void climb(struct search *search, bool to_worst)
{
	enum { HALVINGS = 5 };
	double share = 0.25;
	for (int round = 0; round < HALVINGS; round++) {
		for (size_t i = 0; i < 2 * search->unknowns.count && has_tries(search); i++) {
			const struct permit_unknown *unknown = &search->unknowns.rows[i / 2];
			struct point point = to_worst ? search->worst_at : search->best_at;
			double step = (i % 2 ? -share : share) * (unknown->largest - unknown->least);
			if (unknown->number && moved(search, i / 2, step, &point))
				try_at(search, &point);
		}
		share /= 2;
	}
}

/*
 * Where nothing says how far a value may lie and the rule gives no distance from its limit: the turn between what departs and what does not,
 * words being the same, by halving.
 */
static void approach_turn(struct search *search)
{
	enum { HALVINGS = 9 };
	for (size_t i = 0; i < search->unknowns.count; i++) {
		double apart = search->worst_at.at[i] - search->best_at.at[i];
		if (!search->unknowns.rows[i].number && (apart > 0 || apart < 0))
			return;
	}
	for (int k = 0; k < HALVINGS && has_tries(search); k++) {
		struct point middle = search->worst_at;
		for (size_t i = 0; i < search->unknowns.count; i++)
			middle.at[i] = (search->worst_at.at[i] + search->best_at.at[i]) / 2;
		struct tried tried = try_at(search, &middle);
		if (!tried.consistent)
			return;
		if (tried.completion.verdict == VERDICT_DEPARTS) {
			search->worst = tried.completion;
			search->worst_at = middle;
		} else if (is_clear(tried.completion.verdict)) {
			search->best = tried.completion;
			search->best_at = middle;
		}
	}
}

/* ---- one verdict ---- */

static const char *const *shown_at(const struct search *search, const struct point *point)
{
	struct arena *arena = search->asking->arena;
	const char **shown = arena_alloc(arena, (search->unknowns.count + 1) * sizeof *shown);
	for (size_t i = 0; i < search->unknowns.count; i++) {
		const struct permit_unknown *unknown = &search->unknowns.rows[i];
		shown[i] = unknown->number ? quantity_show_si(arena, point->at[i], unknown->kind, NULL)
					   : unknown->words[(size_t)point->at[i]];
	}
	return shown;
}

/* The whole computation with the circuit reconciled: does it bring a suspect, or a balance that departs? Then in words. */
static bool is_borne_out(struct search *search, const struct point *point, struct completion *completion)
{
	const struct asking *asking = search->asking;
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	const struct assessed whole =
		stages_judge(&another, description_at(&another, search, point), asking->review->catalogue, &problems);
	const struct judged_before before = judgement_before(asking->review->table, &asking->review->judgement);
	const struct finding *finding = whole.table ? same_finding(&whole.judgement, search->finding) : NULL;
	bool borne_out = whole.table &&
		permit_contradictions(whole.table) <= permit_contradictions(asking->review->table) &&
		!breaks_a_balance(&before, &whole.judgement) &&
		(finding ? finding->verdict : VERDICT_NOT_APPLICABLE) == completion->verdict;
	completion->message = arena_copy(asking->arena, finding ? finding->message : "");
	arena_release(&another);
	return borne_out;
}

/* What the reconciled circuit does not bear out is looked for again half way to what is consistent, numbers only. */
static bool draw_back(struct search *search, struct point *point, struct completion *completion)
{
	enum { HALVINGS = 5 };
	for (int k = 0; k < HALVINGS; k++) {
		for (size_t i = 0; i < search->unknowns.count; i++)
			if (search->unknowns.rows[i].number)
				point->at[i] = (point->at[i] + search->sound_at.at[i]) / 2;
		struct tried tried = look_at(search, point);
		bool same = tried.consistent && tried.completion.verdict == completion->verdict;
		if (!same)
			continue;
		*completion = tried.completion;
		if (is_borne_out(search, point, completion))
			return true;
	}
	return false;
}

static const struct completion *kept(
	struct search *search, bool found, struct point *point, struct completion *completion)
{
	if (!found || (!is_borne_out(search, point, completion) && !draw_back(search, point, completion)))
		return NULL;
	struct completion *copy = arena_alloc(search->asking->arena, sizeof *copy);
	*copy = *completion;
	copy->shown = shown_at(search, point);
	return copy;
}

static void close_permit(struct search *search)
{
	struct permit *permit = &search->permit;
	struct permit_unknown *rows = arena_alloc(search->asking->arena, (search->unknowns.count + 1) * sizeof *rows);
	memcpy(rows, search->unknowns.rows, search->unknowns.count * sizeof *rows);
	permit->unknowns = rows;
	permit->unknown_count = search->unknowns.count;
	permit->worst = kept(search, search->has_worst, &search->worst_at, &search->worst);
	permit->best = kept(search, search->has_best, &search->best_at, &search->best);
	if (!search->judged && permit->tries)
		permit->why_not = "it cannot be judged with any values tried";
}

/* What was found before has to have some value of the unknowns that came later; that it still holds is seen in the end. */
static void carry_on(struct search *search, size_t before)
{
	for (size_t i = before; i < search->unknowns.count; i++) {
		const struct permit_unknown *unknown = &search->unknowns.rows[i];
		double middle = value_of(unknown, unknown->count / 2);
		search->best_at.at[i] = search->sound_at.at[i] = search->spoilt_at.at[i] = middle;
	}
}

/* With what is lacking filled in, more may turn out to be lacking: it is filled in as well. */
static bool try_all(struct search *search)
{
	enum { ROUNDS = 3 };
	bool all = false;
	for (int round = 0; round < ROUNDS; round++) {
		size_t before = search->unknowns.count;
		search->open = 0;
		all = try_combinations(search);
		bool more = !search->has_worst && search->open && search->lacking.missing_count &&
			permit_unknowns_add(&search->source, &search->lacking, &search->unknowns) > 0;
		carry_on(search, before);
		if (!more || search->unknowns.why_not || !has_tries(search))
			break;
	}
	return all;
}

static void note_bounded(struct search *search)
{
	for (size_t i = 0; i < search->unknowns.count; i++)
		search->permit.bounded = search->permit.bounded || *search->unknowns.rows[i].within;
}

static void run_search(struct search *search)
{
	permit_unknowns_add(&search->source, search->finding, &search->unknowns);
	search->permit.why_not = search->unknowns.why_not;
	if (search->permit.why_not || !search->unknowns.count)
		return;
	note_bounded(search);
	bool all = try_all(search);
	if (!search->has_worst && search->has_spoilt && search->has_sound)
		reach_for_departure(search);
	if (search->has_worst)
		climb(search, true);
	if (search->has_best)
		climb(search, false);
	if (search->has_worst && search->has_best && !search->permit.bounded && !search->worst.has_margin)
		approach_turn(search);
	close_permit(search);
	search->permit.whole = all && search->unknowns.whole && !search->open;
}

/* A value that can be stated in several kinds is tried in one after the other, until the rule can judge it. */
struct permit permit_search(const struct asking *asking, const struct finding *finding)
{
	struct search search;
	size_t kind = 0;
	do {
		search = (struct search){.asking = asking,
			.source = asking->source,
			.finding = finding,
			.budget = asking->asked->tries,
			.permit.finding = finding,
			.unknowns.whole = true};
		search.source.kind_choice = kind;
		run_search(&search);
	} while (!search.judged && search.permit.tries && ++kind < search.unknowns.kinds);
	return search.permit;
}
