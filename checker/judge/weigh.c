#include "judge/weigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/evidence.h"
#include "resolve/equipment.h"

/* Two numbers closer than this share are the same: unit conversion leaves that much. */
static const double SAME = 1e-9;

static bool is_upper(const struct limit *limit)
{
	return limit->relation == RELATION_AT_MOST || limit->relation == RELATION_BELOW;
}

static bool excludes_its_figure(const struct limit *limit)
{
	return limit->relation == RELATION_BELOW || limit->relation == RELATION_ABOVE;
}

/* A gauge limit was read at the standard atmosphere; here it refers to the barometric pressure of the site. */
double weigh_limit_at(const struct evaluation *evaluation, const struct limit *limit)
{
	const struct table *table = evaluation->context->table;
	const struct item *basis = limit->value.datum > 0 ? table_sole(table, "basis") : NULL;
	const struct quantity *site =
		basis ? table_get(table, basis, evaluation->operating_case, "barometric-pressure") : NULL;
	return site ? limit->value.si - limit->value.datum + site->si : limit->value.si;
}

/* A departure smaller than half of the last digit that the source prints is none: the value lies on the limit. */
static double distance_beyond(const struct limit_result *row, double value)
{
	double beyond = is_upper(row->limit) ? value - row->at : row->at - value;
	if (beyond > 0 && beyond < row->limit->half_digit)
		return 0;
	return fabs(beyond) <= SAME * fmax(fabs(value), fabs(row->at)) ? 0 : beyond;
}

static enum truth compare(const struct limit_result *row, const struct quantity *value)
{
	const struct limit *limit = row->limit;
	double beyond = distance_beyond(row, value->si);
	bool strict = excludes_its_figure(limit);
	if (value->bound == BOUND_NONE)
		return beyond < 0 || (!(beyond > 0) && !strict) ? YES : NO;
	/* A value stated as a bound decides only on one side of the limit. On the limit it hangs on who excludes it. */
	bool on_the_limit = !(beyond < 0) && !(beyond > 0);
	if ((value->bound == BOUND_BELOW) == is_upper(limit))
		return beyond < 0 || (on_the_limit && (!strict || !value->reached)) ? YES : PERHAPS;
	return beyond > 0 || (on_the_limit && (strict || !value->reached)) ? NO : PERHAPS;
}

bool limit_is_for_kind(const struct limit *limit, const char *kind)
{
	return !*limit->where || text_has_word(limit->where, equipment_classes(kind) & CLASS_TUBES ? "tube" : "pipe");
}

static const char *kind_in_words(enum kind kind)
{
	return kind_unit(kind)[0] ? kind_unit(kind) : kind_name(kind);
}

static enum truth limit_applies(struct evaluation *evaluation, const struct limit *limit, const char **aside)
{
	/* Only a rule that judges an input has limits with a number. */
	const struct quantity *value = limit->says ? NULL : evaluation->values[evaluation->rule->judged];
	struct arena *arena = evaluation->context->arena;
	*aside = "";
	if (!limit_is_for_kind(limit, evaluation->item->kind)) {
		*aside = arena_format(arena, "for %s", limit->where);
		return NO;
	}
	enum truth holds = evaluation_conditions(evaluation, limit->narrowing, false);
	if (limit->when && holds != NO)
		holds = truth_and(holds,
			expression_evaluate(evaluation->context->evaluator, limit->when, &evaluation->binding, NULL));
	if (holds == NO)
		*aside = "not for this case";
	if (!value || value->known == UNKNOWN || strcmp(kind_si(limit->value.kind), kind_si(value->kind)) == 0)
		return holds;
	*aside = arena_format(arena, "in %s; the value is stated in %s", kind_in_words(limit->value.kind),
		kind_in_words(value->kind));
	return NO;
}

/* Less than zero: `a` is stricter; both are upper or both lower. */
static int strictness(const struct limit *a, const struct limit *b)
{
	double difference = is_upper(a) ? b->value.si - a->value.si : a->value.si - b->value.si;
	if (difference > 0 || difference < 0)
		return difference > 0 ? -1 : 1;
	return (int)excludes_its_figure(b) - (int)excludes_its_figure(a);
}

static size_t narrowness(const struct limit *limit)
{
	return limit->narrowing.count + (limit->when != NULL) + (*limit->where && !strchr(limit->where, ' '));
}

static int by_narrowness(const struct limit *a, const struct limit *b)
{
	return narrowness(a) > narrowness(b) ? -1 : narrowness(a) < narrowness(b);
}

static bool was_read(const struct limit *limit)
{
	return limit->reading == READING_READ;
}

static int by_reading(const struct limit *a, const struct limit *b)
{
	return (int)was_read(b) - (int)was_read(a);
}

/* Of two that are worth the same, for a review that does not hang on the order in a file. */
static int by_name(const struct limit *a, const struct limit *b)
{
	int order = strcmp(a->source ? a->source->key : "", b->source ? b->source->key : "");
	order = order ? order : strcmp(a->clause, b->clause);
	order = order ? order : strcmp(a->name, b->name);
	return order ? order : (int)a->reading - (int)b->reading;
}

static bool is_pinned(const struct catalogue *catalogue, const struct limit *limit)
{
	return limit->governs && (!catalogue->strictest || limit->overridden);
}

/* The total order of those that may govern: less than zero where `a` comes first. */
static int order_of(const struct catalogue *catalogue, const struct limit *a, const struct limit *b)
{
	int order = catalogue->strictest ? strictness(a, b) : 0;
	order = order ? order : by_narrowness(a, b);
	order = order ? order : by_reading(a, b);
	order = order ? order : strictness(a, b);
	return order ? order : by_name(a, b);
}

static bool any_pinned(const struct catalogue *catalogue, const struct limit *const *limits, size_t count)
{
	bool any = false;
	for (size_t i = 0; i < count; i++)
		any = any || is_pinned(catalogue, limits[i]);
	return any;
}

/* One company's figure or practice; what the owner's profile sets is the owner's word. */
static bool is_unfounded(const struct limit *limit)
{
	return !evidence_is_founded(limit->evidence) && !limit->overridden;
}

static bool any_founded(const struct limit *const *limits, size_t count)
{
	bool any = false;
	for (size_t i = 0; i < count; i++)
		any = any || !is_unfounded(limits[i]);
	return any;
}

/* Not read, and looser than one that was; with `founded` only what is better founded than a company's figure or practice counts. */
static bool is_overruled(const struct limit *limit, const struct limit *const *limits, size_t count, bool founded)
{
	bool overruled = false;
	for (size_t i = 0; i < count && !was_read(limit); i++)
		overruled = overruled ||
			(!(founded && is_unfounded(limits[i])) && was_read(limits[i]) &&
				strictness(limits[i], limit) < 0);
	return overruled;
}

const struct limit *limit_that_governs(
	const struct catalogue *catalogue, const struct limit *const *limits, size_t count)
{
	const struct limit *first = NULL;
	bool pinned = any_pinned(catalogue, limits, count), founded = any_founded(limits, count);
	for (size_t i = 0; i < count; i++) {
		bool aside = pinned ? !is_pinned(catalogue, limits[i])
				    : !catalogue->strictest &&
				((founded && is_unfounded(limits[i])) ||
					is_overruled(limits[i], limits, count, founded));
		if (!aside && (!first || order_of(catalogue, limits[i], first) < 0))
			first = limits[i];
	}
	return first;
}

static struct limit_result *govern(struct evaluation *evaluation, bool upper)
{
	const size_t all = evaluation->rule->limit_count;
	const struct limit **limits = checked_malloc(all * sizeof *limits);
	size_t count = 0;
	for (size_t i = 0; i < all; i++) {
		const struct limit_result *row = &evaluation->limits[i];
		if (row->applied && !row->limit->context && !row->limit->says && is_upper(row->limit) == upper)
			limits[count++] = row->limit;
	}
	const struct limit *first = limit_that_governs(evaluation->context->catalogue, limits, count);
	free(limits);
	if (!first)
		return NULL;
	struct limit_result *row = &evaluation->limits[first - evaluation->rule->limits];
	row->governs = true;
	return row;
}

/* Whether all limits that may or may not apply would say the same as the governing one; else it cannot be judged. */
static enum truth with_doubtful(struct evaluation *evaluation, const enum truth *applies, enum truth answer)
{
	for (size_t i = 0; i < evaluation->rule->limit_count; i++) {
		const struct limit_result *row = &evaluation->limits[i];
		if (applies[i] == PERHAPS && !row->limit->context && !row->limit->says && row->met != answer) {
			evaluation_conditions(evaluation, row->limit->narrowing, true);
			if (row->limit->when)
				expression_evaluate(evaluation->context->evaluator, row->limit->when,
					&evaluation->binding, &evaluation->unknown);
			answer = PERHAPS;
		}
	}
	return answer;
}

/*
 * Within the uncertainty of the limit. Of a figure that is uncertain by half of itself or more a factor is known: it may be so
 * many times less, but not zero, so that what is hundreds of times its limit is not close to it.
 */
static bool is_close(const struct limit_result *row, const struct quantity *value)
{
	static const double FACTOR_FROM = 0.5;
	double uncertainty = fmax(value->uncertainty, 0);
	if (fabs(row->margin) > quantity_reach(value, row->at))
		return false;
	bool by_factor = kind_counts_from_zero(value->kind) && row->at > 0 && value->si > row->at &&
		uncertainty >= FACTOR_FROM * value->si;
	return !by_factor || value->si / (1 + uncertainty / value->si) <= row->at;
}

enum truth weigh_limits(struct evaluation *evaluation)
{
	const struct quantity *value = evaluation->values[evaluation->rule->judged];
	enum truth *applies = arena_alloc(evaluation->context->arena, evaluation->rule->limit_count * sizeof *applies);
	bool known = value && value->known != UNKNOWN;
	for (size_t i = 0; i < evaluation->rule->limit_count; i++) {
		struct limit_result *row = &evaluation->limits[i];
		applies[i] = limit_applies(evaluation, row->limit, &row->aside);
		row->applied = applies[i] == YES;
		if (!known || row->limit->says || applies[i] == NO)
			continue;
		row->at = weigh_limit_at(evaluation, row->limit);
		row->met = compare(row, value);
		row->margin = distance_beyond(row, value->si);
		/* A stated bound is what it says; a calculated one is as uncertain as any calculated value. */
		row->borderline = (value->bound == BOUND_NONE || value->known == COMPUTED) && is_close(row, value);
	}
	struct limit_result *upper = govern(evaluation, true), *lower = govern(evaluation, false);
	evaluation->governing = upper ? upper : lower;
	if (upper && lower && (lower->met == NO || (upper->met != NO && lower->margin > upper->margin)))
		evaluation->governing = lower;
	if (!known)
		evaluation->unknown |= (uint32_t)1 << evaluation->rule->judged;
	if (!known || (!upper && !lower)) {
		if (known)
			evaluation_note_missing(evaluation, evaluation->item,
				evaluation->rule->inputs[evaluation->rule->judged].quantity,
				arena_format(evaluation->context->arena,
					"no limit of %s can be compared with %s of %s as stated", evaluation->rule->id,
					evaluation->rule->inputs[evaluation->rule->judged].quantity,
					evaluation->item->tag));
		return PERHAPS;
	}
	enum truth answer = truth_and(upper ? upper->met : YES, lower ? lower->met : YES);
	if (answer == PERHAPS)
		evaluation->unknown |= (uint32_t)1 << evaluation->rule->judged;
	return with_doubtful(evaluation, applies, answer);
}

enum truth weigh_assertion(struct evaluation *evaluation)
{
	enum truth answer = expression_evaluate(evaluation->context->evaluator, evaluation->rule->assertion,
		&evaluation->binding, &evaluation->unknown);
	for (size_t i = 0; i < evaluation->rule->limit_count; i++) {
		struct limit_result *row = &evaluation->limits[i];
		row->applied = limit_applies(evaluation, row->limit, &row->aside) == YES;
		if (row->limit->says && row->applied && !row->limit->context) {
			row->met = answer;
			row->governs = !evaluation->governing;
			evaluation->governing = evaluation->governing ? evaluation->governing : row;
		}
	}
	return answer;
}
