#include "judge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "profile.h"
#include "text.h"
#include "wording.h"

/* Two numbers closer than this share are the same: unit conversion leaves that much. */
static const double SAME = 1e-9;

enum { MISSING_AT_MOST = 24 };

struct bench {
	struct arena *arena;
	const struct catalogue *catalogue;
	const struct table *table;
	struct evaluator *evaluator;
	int only_case; /* EVERY_CASE: all */
};

/* One rule before one item in one case. */
struct sitting {
	const struct bench *bench;
	const struct rule *rule;
	const struct item *item;
	int operating_case;
	const struct quantity *values[EXPRESSION_VARIABLES];
	const struct item *holders[EXPRESSION_VARIABLES]; /* whose value it is; NULL: no such item */
	struct binding binding;
	uint32_t unknown; /* inputs whose being unknown matters */
	struct missing missing[MISSING_AT_MOST];
	size_t missing_count;
	struct limit_result *limits;
	const struct limit_result *governing;
	enum truth result; /* does the item do what the rule asks */
};

/* ---- words of an item ---- */

static bool words_include(const char *alternatives, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = alternatives; *at; at += *at == '|') {
		size_t span = strcspn(at, "|");
		if (span == length && memcmp(at, word, length) == 0)
			return true;
		at += span;
	}
	return false;
}

static const char *side_of(const struct item *item)
{
	static const char *const sides[][2] = {{"tube-side", "tube"}, {"shell-side", "shell"}, {"plate-side", "plate"}};
	for (size_t i = 0; i < sizeof sides / sizeof *sides; i++)
		if (strcmp(item->kind, sides[i][0]) == 0)
			return sides[i][1];
	return "";
}

/* The word a limit is narrowed by: of the item itself, of the rule's input of that name, of the solvent or the basis. */
static const char *word_named(const struct sitting *sitting, const char *name)
{
	const struct table *table = sitting->bench->table;
	if (strcmp(name, "item") == 0)
		return sitting->item->kind;
	if (strcmp(name, "side") == 0)
		return side_of(sitting->item);
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		if (strcmp(sitting->rule->inputs[i].name, name) == 0)
			return sitting->values[i] && sitting->values[i]->known != UNKNOWN ? sitting->values[i]->word : NULL;
	const char *own = table_word(table, sitting->item, sitting->operating_case, name);
	if (own)
		return own;
	const struct item *solvent = table_sole(table, "solvent"), *basis = table_sole(table, "basis");
	const char *word = solvent ? table_word(table, solvent, sitting->operating_case, name) : NULL;
	return word || !basis ? word : table_word(table, basis, sitting->operating_case, name);
}

static void note_missing(struct sitting *sitting, const struct item *item, const char *quantity, const char *reason)
{
	for (size_t i = 0; i < sitting->missing_count; i++)
		if (strcmp(sitting->missing[i].reason, reason) == 0)
			return;
	if (sitting->missing_count < MISSING_AT_MOST)
		sitting->missing[sitting->missing_count++] =
			(struct missing){.item = item, .quantity = quantity, .reason = reason};
}

static const char *not_stated(const struct sitting *sitting, const struct item *item, const char *quantity)
{
	return arena_format(sitting->bench->arena, "%s of %s is not stated", quantity, item->tag);
}

/* All conditions hold, or one surely does not, or some cannot be known. */
static enum truth conditions_hold(struct sitting *sitting, struct conditions conditions, bool note)
{
	enum truth all = YES;
	for (size_t i = 0; i < conditions.count; i++) {
		const char *word = word_named(sitting, conditions.rows[i].name);
		all = truth_and(all, !word ? PERHAPS : words_include(conditions.rows[i].words, word) ? YES : NO);
	}
	for (size_t i = 0; note && all == PERHAPS && i < conditions.count; i++) {
		const char *name = conditions.rows[i].name;
		if (!word_named(sitting, name)) {
			const struct quantity *cell =
				table_get(sitting->bench->table, sitting->item, sitting->operating_case, name);
			const char *reason = cell && cell->reason ? cell->reason : not_stated(sitting, sitting->item, name);
			note_missing(sitting, sitting->item, name, reason);
		}
	}
	return all;
}

static bool kind_selected(const struct rule *rule, const char *kind)
{
	for (size_t i = 0; i < rule->selection_count; i++)
		if (strcmp(rule->selections[i].kinds, "*") == 0 || words_include(rule->selections[i].kinds, kind))
			return true;
	return false;
}

static enum truth selected(struct sitting *sitting)
{
	enum truth any = NO;
	for (size_t i = 0; i < sitting->rule->selection_count; i++) {
		const struct selection *selection = &sitting->rule->selections[i];
		if (strcmp(selection->kinds, "*") == 0 || words_include(selection->kinds, sitting->item->kind))
			any = truth_or(any, conditions_hold(sitting, selection->conditions, false));
	}
	for (size_t i = 0; any == PERHAPS && i < sitting->rule->selection_count; i++) {
		const struct selection *selection = &sitting->rule->selections[i];
		if (words_include(selection->kinds, sitting->item->kind) || strcmp(selection->kinds, "*") == 0)
			conditions_hold(sitting, selection->conditions, true);
	}
	return any;
}

/* ---- inputs ---- */

static bool accepts(const struct accepted *accepted, enum kind kind)
{
	for (size_t i = 0; i < accepted->count; i++) {
		enum kind wanted = accepted->kinds[i];
		if (wanted == kind || (kind_is_number(wanted) && kind_is_number(kind) && strcmp(kind_si(wanted), kind_si(kind)) == 0))
			return true;
		if (!kind_is_number(wanted) && !kind_is_number(kind) && wanted != KIND_YES_NO && kind != KIND_YES_NO)
			return true;
	}
	return false;
}

static const struct quantity *unknown_input(
	struct sitting *sitting, const struct rule_input *input, const struct item *holder, const struct quantity *found)
{
	struct arena *arena = sitting->bench->arena;
	enum kind kind = input->accepted.kinds[0];
	if (found && found->known != UNKNOWN)
		return quantity_unknown(arena, kind,
			arena_format(arena, "%s of %s is given as %s, which %s cannot use", input->quantity, holder->tag,
				quantity_show(arena, found, NULL), sitting->rule->id));
	if (found)
		return found;
	if (!holder)
		return quantity_unknown(arena, kind,
			arena_format(arena, "%s is not stated: no %s is given for %s", input->quantity, input->of, sitting->item->tag));
	return quantity_unknown(arena, kind, not_stated(sitting, holder, input->quantity));
}

static void bind_inputs(struct sitting *sitting)
{
	const struct table *table = sitting->bench->table;
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		if (input->constant) {
			sitting->values[i] = input->constant;
			continue;
		}
		const struct item *holder = table_follow(table, sitting->item, sitting->operating_case, input->of);
		const struct quantity *found =
			holder ? table_get(table, holder, sitting->operating_case, input->quantity) : NULL;
		sitting->holders[i] = holder;
		if (found && found->known != UNKNOWN && accepts(&input->accepted, found->kind))
			sitting->values[i] = found;
		else if ((!found || found->known == UNKNOWN) && input->absent)
			sitting->values[i] = input->absent;
		else
			sitting->values[i] = unknown_input(sitting, input, holder, found);
	}
}

static void set_binding(struct sitting *sitting, struct variable *variables)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		variables[i] = (struct variable){
			.name = sitting->rule->inputs[i].name, .kind = sitting->rule->inputs[i].accepted.kinds[0]};
	sitting->binding =
		(struct binding){.variables = variables, .values = sitting->values, .count = sitting->rule->input_count};
}

/* "steamed-out" of "steamed-out of T-304": inputs are named for the reader. */
static const char *quantity_in_name(struct arena *arena, const char *name)
{
	const char *of = strstr(name, " of ");
	return of ? arena_copy_span(arena, name, (size_t)(of - name)) : name;
}

/* What lies at the root of an unknown or merely bounded value: the inputs of inputs that nobody stated. */
static void note_roots(struct sitting *sitting, const struct item *holder, const char *name, const struct quantity *value)
{
	bool deeper = false;
	for (size_t i = 0; i < value->input_count; i++) {
		const struct quantity *input = value->inputs[i].quantity;
		if (input && (input->known == UNKNOWN || (input->bound != BOUND_NONE && input->reason))) {
			note_roots(sitting, holder, value->inputs[i].name, input);
			deeper = true;
		}
	}
	if (!deeper)
		note_missing(sitting, holder, quantity_in_name(sitting->bench->arena, name),
			value->reason ? value->reason
				      : arena_format(sitting->bench->arena, "%s of %s is given only as a bound, %s", name,
						holder ? holder->tag : sitting->item->tag,
						quantity_show(sitting->bench->arena, value, NULL)));
}

static void note_unknown_inputs(struct sitting *sitting)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		if (sitting->unknown >> i & 1)
			note_roots(sitting, sitting->holders[i], sitting->rule->inputs[i].quantity, sitting->values[i]);
}

/* ---- limits ---- */

static bool is_upper(const struct limit *limit)
{
	return limit->relation == RELATION_AT_MOST || limit->relation == RELATION_BELOW;
}

static double distance_beyond(const struct limit *limit, double value)
{
	double beyond = is_upper(limit) ? value - limit->value.si : limit->value.si - value;
	return fabs(beyond) <= SAME * fmax(fabs(value), fabs(limit->value.si)) ? 0 : beyond;
}

static enum truth compare(const struct limit *limit, const struct quantity *value)
{
	double beyond = distance_beyond(limit, value->si);
	bool strict = limit->relation == RELATION_BELOW || limit->relation == RELATION_ABOVE;
	if (value->bound == BOUND_NONE)
		return beyond < 0 || (!(beyond > 0) && !strict) ? YES : NO;
	/* A value stated as a bound decides only on one side of the limit. */
	bool towards_meeting = (value->bound == BOUND_BELOW) == is_upper(limit);
	if (towards_meeting)
		return beyond <= 0 ? YES : PERHAPS;
	return beyond > 0 || (!(beyond < 0) && strict) ? NO : PERHAPS;
}

static const char *place_of_flow(const struct item *item)
{
	return strcmp(item->kind, "tube-side") == 0 || strcmp(item->kind, "plate-side") == 0 ? "tube" : "pipe";
}

static const char *kind_in_words(enum kind kind)
{
	return kind_unit(kind)[0] ? kind_unit(kind) : kind_name(kind);
}

static enum truth limit_applies(struct sitting *sitting, const struct limit *limit, const char **aside)
{
	const struct quantity *value = sitting->rule->judged >= 0 ? sitting->values[sitting->rule->judged] : NULL;
	struct arena *arena = sitting->bench->arena;
	*aside = "";
	if (*limit->where && !text_has_word(limit->where, place_of_flow(sitting->item))) {
		*aside = arena_format(arena, "for %s", limit->where);
		return NO;
	}
	enum truth holds = conditions_hold(sitting, limit->narrowing, false);
	if (limit->when && holds != NO)
		holds = truth_and(
			holds, expression_evaluate(sitting->bench->evaluator, limit->when, &sitting->binding, NULL));
	if (holds == NO)
		*aside = "not for this case";
	if (holds == NO || limit->says || !value || value->known == UNKNOWN)
		return holds;
	if (strcmp(kind_si(limit->value.kind), kind_si(value->kind)) == 0)
		return holds;
	*aside = arena_format(arena, "in %s; the value is stated in %s", kind_in_words(limit->value.kind), kind_in_words(value->kind));
	return NO;
}

static int strictness(const struct limit *a, const struct limit *b)
{
	double difference = is_upper(a) ? b->value.si - a->value.si : a->value.si - b->value.si;
	if (difference > 0 || difference < 0)
		return difference > 0 ? 1 : -1;
	bool strict_a = a->relation == RELATION_BELOW || a->relation == RELATION_ABOVE;
	bool strict_b = b->relation == RELATION_BELOW || b->relation == RELATION_ABOVE;
	return (int)strict_a - (int)strict_b;
}

static size_t narrowness(const struct limit *limit)
{
	return limit->narrowing.count + (limit->when != NULL) + (*limit->where && !strchr(limit->where, ' '));
}

/* Does `a` govern rather than `b` (both apply, both upper or both lower)? */
static bool governs_before(const struct catalogue *catalogue, const struct limit *a, const struct limit *b)
{
	bool pin_a = a->governs && (!catalogue->strictest || a->overridden);
	bool pin_b = b->governs && (!catalogue->strictest || b->overridden);
	if (pin_a != pin_b)
		return pin_a;
	if (catalogue->strictest)
		return strictness(a, b) > 0;
	bool read_a = a->reading == READING_READ, read_b = b->reading == READING_READ;
	/* Never a looser remembered or unsourced number over a stricter one that was read, however narrow. */
	if (read_a != read_b && !pin_a && strictness(read_a ? a : b, read_a ? b : a) > 0)
		return read_a;
	if (narrowness(a) != narrowness(b))
		return narrowness(a) > narrowness(b);
	if (read_a != read_b)
		return read_a;
	return strictness(a, b) > 0;
}

static struct limit_result *govern(struct sitting *sitting, bool upper)
{
	struct limit_result *first = NULL;
	for (size_t i = 0; i < sitting->rule->limit_count; i++) {
		struct limit_result *row = &sitting->limits[i];
		if (!row->applied || row->limit->context || row->limit->says || is_upper(row->limit) != upper)
			continue;
		if (!first || governs_before(sitting->bench->catalogue, row->limit, first->limit))
			first = row;
	}
	if (first)
		first->governs = true;
	return first;
}

/* Whether all limits that may or may not apply would say the same as the governing one; else it cannot be judged. */
static enum truth with_doubtful(struct sitting *sitting, const enum truth *applies, enum truth answer)
{
	for (size_t i = 0; i < sitting->rule->limit_count; i++) {
		const struct limit_result *row = &sitting->limits[i];
		if (applies[i] == PERHAPS && !row->limit->context && !row->limit->says && row->met != answer) {
			conditions_hold(sitting, row->limit->narrowing, true);
			if (row->limit->when)
				expression_evaluate(sitting->bench->evaluator, row->limit->when, &sitting->binding, &sitting->unknown);
			answer = PERHAPS;
		}
	}
	return answer;
}

static enum truth judge_limits(struct sitting *sitting)
{
	const struct quantity *value = sitting->values[sitting->rule->judged];
	enum truth *applies = arena_alloc(sitting->bench->arena, (sitting->rule->limit_count + 1) * sizeof *applies);
	bool known = value && value->known != UNKNOWN;
	for (size_t i = 0; i < sitting->rule->limit_count; i++) {
		struct limit_result *row = &sitting->limits[i];
		applies[i] = limit_applies(sitting, row->limit, &row->aside);
		row->applied = applies[i] == YES;
		if (!known || row->limit->says || applies[i] == NO)
			continue;
		row->met = compare(row->limit, value);
		row->margin = distance_beyond(row->limit, value->si);
		row->borderline = value->bound == BOUND_NONE &&
			fabs(row->margin) <= fmax(value->uncertainty, SAME * fabs(row->limit->value.si));
	}
	struct limit_result *upper = govern(sitting, true), *lower = govern(sitting, false);
	sitting->governing = upper ? upper : lower;
	if (upper && lower && (lower->met == NO || (upper->met != NO && lower->margin > upper->margin)))
		sitting->governing = lower;
	if (!known)
		sitting->unknown |= (uint32_t)1 << sitting->rule->judged;
	if (!known || (!upper && !lower)) {
		if (known)
			note_missing(sitting, sitting->item, sitting->rule->inputs[sitting->rule->judged].quantity,
				arena_format(sitting->bench->arena, "no limit of %s can be compared with %s of %s as stated",
					sitting->rule->id, sitting->rule->inputs[sitting->rule->judged].quantity,
					sitting->item->tag));
		return PERHAPS;
	}
	enum truth answer = truth_and(upper ? upper->met : YES, lower ? lower->met : YES);
	if (answer == PERHAPS)
		sitting->unknown |= (uint32_t)1 << sitting->rule->judged;
	return with_doubtful(sitting, applies, answer);
}

static enum truth judge_assertion(struct sitting *sitting)
{
	enum truth answer = expression_evaluate(
		sitting->bench->evaluator, sitting->rule->assertion, &sitting->binding, &sitting->unknown);
	for (size_t i = 0; i < sitting->rule->limit_count; i++) {
		struct limit_result *row = &sitting->limits[i];
		row->applied = limit_applies(sitting, row->limit, &row->aside) == YES;
		if (row->limit->says && row->applied && !row->limit->context) {
			row->met = answer;
			row->governs = !sitting->governing;
			sitting->governing = sitting->governing ? sitting->governing : row;
		}
	}
	return answer;
}

/* ---- one sitting ---- */

static enum truth all_hold(struct sitting *sitting, struct expressions expressions)
{
	enum truth all = YES;
	for (size_t i = 0; i < expressions.count; i++)
		all = truth_and(all,
			expression_evaluate(sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, NULL));
	for (size_t i = 0; all == PERHAPS && i < expressions.count; i++)
		expression_evaluate(sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, &sitting->unknown);
	return all;
}

static enum truth any_holds(struct sitting *sitting, struct expressions expressions, uint32_t *unknown)
{
	enum truth any = NO;
	for (size_t i = 0; i < expressions.count; i++)
		any = truth_or(any,
			expression_evaluate(sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, unknown));
	return any;
}

/* The verdict of a rule that applies as far as `applies` says. Everything unknown that matters is noted. */
static enum verdict hear(struct sitting *sitting, enum truth applies)
{
	struct arena *arena = sitting->bench->arena;
	sitting->limits = arena_alloc(arena, (sitting->rule->limit_count + 1) * sizeof *sitting->limits);
	for (size_t i = 0; i < sitting->rule->limit_count; i++)
		sitting->limits[i] =
			(struct limit_result){.limit = &sitting->rule->limits[i], .met = PERHAPS, .aside = ""};
	applies = truth_and(applies, all_hold(sitting, sitting->rule->when));
	if (applies == NO)
		return VERDICT_NOT_APPLICABLE;
	uint32_t unknown_met = 0;
	enum truth met = any_holds(sitting, sitting->rule->met_if, &unknown_met);
	uint32_t before = sitting->unknown;
	size_t missing_before = sitting->missing_count;
	enum truth judged = sitting->rule->assertion ? judge_assertion(sitting) : judge_limits(sitting);
	sitting->result = truth_or(met, judged);
	if (sitting->result == YES) {
		sitting->unknown = before;
		sitting->missing_count = missing_before;
	} else if (sitting->result == PERHAPS && met == PERHAPS) {
		sitting->unknown |= unknown_met;
	}
	if (sitting->result == YES)
		return VERDICT_MEETS;
	if (sitting->result == NO && applies == YES)
		return VERDICT_DEPARTS;
	note_unknown_inputs(sitting);
	return VERDICT_NOT_JUDGED;
}

/* ---- findings ---- */

static bool claims_code(const struct table *table, const char *code)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (strcmp(item->kind, "code") == 0 && strncmp(item->text, code, strlen(code)) == 0)
			return true;
	}
	return false;
}

static void set_force(const struct bench *bench, struct finding *finding)
{
	const struct rule *rule = finding->rule;
	finding->force = rule->force;
	finding->why_force = rule->why_force;
	for (size_t i = 0; i < rule->force_change_count; i++)
		if (rule->force_changes[i].force < finding->force && claims_code(bench->table, rule->force_changes[i].code)) {
			finding->force = rule->force_changes[i].force;
			finding->why_force = rule->force_changes[i].why;
		}
}

/* A finding that rests on secondary, remembered or unsourced text alone is never firm. */
static enum certainty certainty_of(const struct sitting *sitting)
{
	const struct rule *rule = sitting->rule;
	if (rule->capped && rule->certainty == CERTAINTY_DISPUTED)
		return CERTAINTY_DISPUTED;
	if (sitting->governing && sitting->governing->borderline)
		return CERTAINTY_BORDERLINE;
	if (rule->capped)
		return rule->certainty;
	bool any_limit = false, rests_on_read = false;
	for (size_t i = 0; i < rule->limit_count; i++) {
		const struct limit_result *row = &sitting->limits[i];
		if (!row->applied || row->limit->context)
			continue;
		any_limit = true;
		rests_on_read = rests_on_read || (row->limit->reading == READING_READ && row->met == sitting->result);
	}
	return any_limit && !rests_on_read ? CERTAINTY_SCREENING : CERTAINTY_FIRM;
}

static void copy_inputs(const struct sitting *sitting, struct finding *finding)
{
	struct arena *arena = sitting->bench->arena;
	struct input *inputs = arena_alloc(arena, (sitting->rule->input_count + 1) * sizeof *inputs);
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		const struct item *holder = sitting->holders[i];
		const char *name = input->constant ? "a constant of the rule"
			: holder                   ? arena_format(arena, "%s of %s", input->quantity, holder->tag)
						   : input->quantity;
		inputs[i] = (struct input){.symbol = input->name, .name = name, .quantity = sitting->values[i]};
	}
	finding->inputs = inputs;
	finding->input_count = sitting->rule->input_count;
}

static struct finding finding_of(const struct sitting *sitting, enum verdict verdict)
{
	struct arena *arena = sitting->bench->arena;
	struct finding finding = {
		.rule = sitting->rule,
		.item = sitting->item,
		.operating_case = sitting->operating_case,
		.verdict = verdict,
		.limits = sitting->limits,
		.limit_count = sitting->rule->limit_count,
		.governing = sitting->governing,
		.missing_count = sitting->missing_count,
	};
	if (sitting->rule->judged >= 0 && sitting->values[sitting->rule->judged]->known != UNKNOWN)
		finding.value = sitting->values[sitting->rule->judged];
	if (sitting->missing_count) {
		struct missing *missing = arena_alloc(arena, sitting->missing_count * sizeof *missing);
		memcpy(missing, sitting->missing, sitting->missing_count * sizeof *missing);
		finding.missing = missing;
	}
	finding.certainty = certainty_of(sitting);
	copy_inputs(sitting, &finding);
	set_force(sitting->bench, &finding);
	return finding;
}

static void put_in_words(const struct bench *bench, struct finding *finding)
{
	finding->message = wording_fill(bench->arena, finding->rule->message, finding, bench->table);
	finding->remedy = wording_fill(bench->arena, finding->rule->remedy, finding, bench->table);
}

/* Beyond which of two results of the same rule on the same item the review should speak of. */
static bool is_worse(const struct finding *a, const struct finding *b)
{
	if (a->verdict != b->verdict)
		return a->verdict < b->verdict;
	if (a->governing && b->governing)
		return a->governing->margin > b->governing->margin;
	return false;
}

/* The same verdict on the same value: naming one case would mislead. */
static bool says_the_same(const struct finding *a, const struct finding *b)
{
	if (a->verdict != b->verdict || (a->value == NULL) != (b->value == NULL))
		return false;
	return !a->value || (!(a->value->si < b->value->si) && !(a->value->si > b->value->si));
}

static bool same_inputs(const struct sitting *a, const struct sitting *b)
{
	for (size_t i = 0; i < a->rule->input_count; i++)
		if (a->values[i] != b->values[i] &&
			!(a->values[i] && b->values[i] && a->values[i]->known == UNKNOWN && b->values[i]->known == UNKNOWN))
			return false;
	return true;
}

/* One rule on one item over all cases. False: the rule does not select the item in any. */
static bool judge_item(const struct bench *bench, const struct rule *rule, const struct item *item, struct finding *worst)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct sitting sitting, last;
	bool heard = false, alike = true;
	bool all = bench->only_case == EVERY_CASE;
	int first = all ? 0 : bench->only_case, end = all ? (int)table_case_count(bench->table) : first + 1;
	bool varies = table_varies(bench->table, item);
	for (int c = first; c < end; c++) {
		sitting = (struct sitting){.bench = bench, .rule = rule, .item = item, .operating_case = c};
		bind_inputs(&sitting);
		set_binding(&sitting, variables);
		if (c > first && !varies && same_inputs(&sitting, &last))
			continue;
		enum truth applies = selected(&sitting);
		if (applies != NO) {
			enum verdict verdict = hear(&sitting, applies);
			struct finding finding = finding_of(&sitting, verdict);
			alike = alike && (!heard ? c == first : says_the_same(&finding, worst));
			if (!heard || is_worse(&finding, worst))
				*worst = finding;
			heard = true;
		} else if (heard) {
			alike = false;
		}
		last = sitting;
	}
	if (heard && alike && all)
		worst->operating_case = EVERY_CASE;
	if (heard)
		put_in_words(bench, worst);
	return heard;
}

/* ---- accepted deviations ---- */

/* ISO dates compare as text. A deviation without a date, or a unit without one, does not lapse here. */
static bool in_force(const struct table *table, const struct item *deviation)
{
	const char *until = table_word(table, deviation, EVERY_CASE, "until");
	const struct item *unit = table_sole(table, "unit");
	const char *today = unit ? table_word(table, unit, EVERY_CASE, "date") : NULL;
	return !until || !today || strcmp(today, until) <= 0;
}

static void accept_deviation(const struct table *table, struct finding *finding)
{
	for (size_t i = 0; finding->verdict == VERDICT_DEPARTS && i < table_item_count(table); i++) {
		const struct item *deviation = table_item(table, i);
		if (strcmp(deviation->kind, "deviation") != 0 || !in_force(table, deviation))
			continue;
		const char *rule = table_word(table, deviation, EVERY_CASE, "rule");
		const char *item = table_word(table, deviation, EVERY_CASE, "item");
		if (text_same(rule, finding->rule->id) && text_same(item, finding->item->tag)) {
			finding->verdict = VERDICT_ACCEPTED;
			finding->deviation = deviation;
		}
	}
}

/* ---- the whole unit ---- */

struct judgement judge(
	struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case)
{
	struct bench bench = {.arena = arena,
		.catalogue = catalogue,
		.table = table,
		.evaluator = evaluator_new(),
		.only_case = only_case};
	struct judgement judgement = {.considered = catalogue->rule_count};
	struct finding *findings = NULL;
	size_t capacity = 0;
	judgement.idle = arena_alloc(arena, (catalogue->rule_count + 1) * sizeof *judgement.idle);
	for (size_t r = 0; r < catalogue->rule_count; r++) {
		size_t before = judgement.count;
		for (size_t i = 0; i < table_item_count(table); i++) {
			struct finding finding;
			const struct item *item = table_item(table, i);
			if (!kind_selected(&catalogue->rules[r], item->kind) ||
				!judge_item(&bench, &catalogue->rules[r], item, &finding))
				continue;
			accept_deviation(table, &finding);
			findings = arena_grow(arena, findings, judgement.count, &capacity, sizeof *findings);
			findings[judgement.count++] = finding;
		}
		if (judgement.count == before)
			judgement.idle[judgement.idle_count++] = &catalogue->rules[r];
	}
	judgement.findings = findings;
	evaluator_release(bench.evaluator);
	return judgement;
}

/* ---- examples ---- */

static const char *first_kind(struct arena *arena, const struct rule *rule)
{
	const char *kinds = rule->selections[0].kinds;
	return arena_copy_span(arena, kinds, strcspn(kinds, "|"));
}

struct finding judge_example(struct arena *arena, const struct rule *rule, const struct catalogue *catalogue,
	const struct example *example, struct problems *problems)
{
	static const struct operating_case normal = {.id = "normal", .title = "normal"};
	struct table *table = table_new(arena, &normal, 1);
	struct item entry = {.kind = first_kind(arena, rule), .tag = "example", .text = "", .place = example->place};
	for (size_t k = 0; k < example->count; k++)
		if (strcmp(example->values[k].name, "item") == 0)
			entry.kind = example->values[k].words;
	const struct item *item = table_add_item(table, entry);
	struct bench bench = {.arena = arena, .catalogue = catalogue, .table = table, .evaluator = evaluator_new()};
	struct sitting sitting = {.bench = &bench, .rule = rule, .item = item, .operating_case = 0};
	struct variable variables[EXPRESSION_VARIABLES];
	const struct accepted word = {.kinds = {KIND_WORD}, .count = 1};
	for (size_t k = 0; k < example->count; k++)
		table_put(table, item, EVERY_CASE, example->values[k].name,
			rule_value(arena, example->values[k].words, example->values[k].name, word, example->place, problems));
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		sitting.holders[i] = item;
		sitting.values[i] = input->constant ? input->constant : input->absent;
		for (size_t k = 0; k < example->count; k++)
			if (strcmp(example->values[k].name, input->name) == 0)
				sitting.values[i] = rule_value(arena, example->values[k].words, input->name, input->accepted,
					example->place, problems);
		if (!sitting.values[i])
			sitting.values[i] = quantity_unknown(
				arena, input->accepted.kinds[0], arena_format(arena, "%s is not given", input->name));
	}
	set_binding(&sitting, variables);
	enum verdict verdict = hear(&sitting, YES);
	struct finding finding = finding_of(&sitting, verdict);
	put_in_words(&bench, &finding);
	evaluator_release(bench.evaluator);
	return finding;
}
