#include "judge/both_ways.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/possible.h"
#include "judge/turning.h"
#include "judge/weigh.h"

/* ---- what is not known ---- */

static bool is_open(const struct quantity *value)
{
	return value->known == UNKNOWN || value->bound != BOUND_NONE;
}

/* What the rule takes for silence, where that alone is no evidence. */
static uint32_t silent_inputs(const struct evaluation *evaluation)
{
	uint32_t bits = 0;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (!evaluation->rule->inputs[i].constant && evaluation->values[i]->silent &&
			(rule_cites(evaluation->rule) >> i & 1))
			bits |= evaluation_same_quantity(evaluation, i);
	return bits;
}

/* What nobody states and the rule has a default for. */
static uint32_t defaulted_inputs(const struct evaluation *evaluation)
{
	uint32_t bits = 0, cites = rule_cites(evaluation->rule);
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (!evaluation->rule->inputs[i].constant && (cites >> i & 1) &&
			evaluation->values[i] == evaluation->rule->inputs[i].absent)
			bits |= evaluation_same_quantity(evaluation, i);
	return bits;
}

static uint32_t unknown_inputs(const struct evaluation *evaluation)
{
	uint32_t bits = 0;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		bits |= is_open(evaluation->values[i]) ? UINT32_C(1) << i : 0;
	return bits;
}

static uint32_t open_inputs(const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	const uint32_t decides = rule_decides(rule);
	uint32_t bits = 0;
	for (size_t i = 0; i < rule->input_count; i++)
		if (!rule->inputs[i].constant && is_open(evaluation->values[i]) && (decides >> i & 1))
			bits |= evaluation_same_quantity(evaluation, i);
	return bits;
}

static uint32_t calculated_inputs(const struct evaluation *evaluation)
{
	uint32_t bits = 0;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		bits |= evaluation->values[i]->known == COMPUTED ? UINT32_C(1) << i : 0;
	return bits;
}

/*
 * Does a figure that the value is compared with lie within its uncertainty? Not one that is calculated as well: what is
 * uncertain of the two they may have in common.
 */
static bool straddles(
	struct arena *scratch, const struct evaluation *evaluation, uint32_t inputs, const struct quantity *value)
{
	struct domain domain = domain_of(
		scratch, evaluation, inputs, calculated_inputs(evaluation), quantity_low(value), quantity_high(value));
	bool border = false;
	for (size_t i = 0; i < domain.count; i++)
		border = border || domain.rows[i]->reached;
	return border && domain.whole;
}

/* A calculated value that decides whether the rule applies, and lies within its uncertainty of where it begins to. */
static uint32_t border_inputs(struct arena *scratch, const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	uint32_t asks = 0, bits = 0, decides = rule->assertion ? rule->assertion->cites : 0;
	decides |= rule->judged >= 0 ? UINT32_C(1) << rule->judged : 0;
	for (size_t i = 0; i < rule->when.count; i++)
		asks |= rule->when.rows[i].cites;
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct quantity *value = evaluation->values[i];
		if (!(asks >> i & 1) || is_open(value) || !(value->uncertainty > 0))
			continue;
		uint32_t same = evaluation_same_quantity(evaluation, i);
		if (same & decides)
			continue; /* what decides the verdict as well is borderline, which is told otherwise */
		bool doubtful = value->kind == KIND_YES_NO ||
			(value->known == COMPUTED && kind_is_number(value->kind) &&
				straddles(scratch, evaluation, same, value));
		bits |= doubtful ? same : 0;
	}
	return bits;
}

static struct possible limits_of(const struct evaluation *evaluation, size_t i, bool border)
{
	const struct quantity *value = evaluation->values[i];
	struct possible range = {.least = -HUGE_VAL, .largest = HUGE_VAL};
	if (border) {
		range.least = quantity_low(value);
		range.largest = quantity_high(value);
	} else if (value->known == UNKNOWN) {
		range = possible_values(evaluation->context->table, evaluation->holders[i], evaluation->operating_case,
			evaluation->rule->inputs[i].quantity, value);
	} else if (value->bound == BOUND_BELOW) {
		range.largest = value->si;
	} else if (value->bound == BOUND_ABOVE) {
		range.least = value->si;
	}
	return range;
}

static void add_open(struct weighing *weighing, struct open open)
{
	if (weighing->count < UNKNOWN_MOST)
		weighing->open[weighing->count++] = open;
	else
		weighing->whole = false, weighing->left_out = true;
}

static void collect_inputs(struct weighing *weighing, bool borders_only)
{
	const struct evaluation *evaluation = weighing->first;
	uint32_t unknown = open_inputs(evaluation);
	weighing->silent = !unknown && !borders_only;
	unknown = borders_only ? 0 : weighing->silent ? silent_inputs(evaluation) : unknown;
	unknown |= weighing->defaults ? defaulted_inputs(evaluation) : 0;
	uint32_t border = border_inputs(weighing->scratch, evaluation) & ~unknown;
	for (uint32_t left = unknown | border; left;) {
		size_t i = 0;
		while (!(left >> i & 1))
			i++;
		uint32_t bits = evaluation_same_quantity(evaluation, i);
		const struct quantity *value = evaluation->values[i];
		bool at_border = !(unknown >> i & 1);
		struct possible range = limits_of(evaluation, i, at_border && value->kind != KIND_YES_NO);
		add_open(weighing,
			(struct open){.inputs = bits,
				.border = at_border,
				.within = range.why,
				.evidence = range.stated,
				.domain = domain_of(weighing->scratch, evaluation, bits, unknown | border, range.least,
					range.largest)});
		left &= ~bits;
	}
}

static bool has_word(const struct weighing *weighing, const char *name)
{
	for (size_t i = 0; i < weighing->count; i++)
		if (weighing->open[i].word && strcmp(weighing->open[i].word, name) == 0)
			return true;
	return false;
}

static void collect_words(struct weighing *weighing, struct conditions conditions)
{
	for (size_t i = 0; i < conditions.count; i++) {
		const char *name = conditions.rows[i].name;
		if (!evaluation_lacks_word(weighing->first, name) || has_word(weighing, name))
			continue;
		add_open(weighing,
			(struct open){
				.word = name, .domain = domain_of_word(weighing->scratch, weighing->first, name)});
	}
}

static void collect(struct weighing *weighing, bool borders_only)
{
	const struct rule *rule = weighing->first->rule;
	weighing->count = 0;
	weighing->whole = true;
	weighing->left_out = false;
	collect_inputs(weighing, borders_only);
	if (borders_only)
		return;
	for (size_t i = 0; i < rule->selection_count; i++)
		collect_words(weighing, rule->selections[i].conditions);
	for (size_t i = 0; i < rule->limit_count; i++)
		collect_words(weighing, rule->limits[i].narrowing);
}

/* ---- every combination ---- */

/* What has no values to try, and what would be too many combinations, stays unknown: the verdict has three values for that. */
static void bound_combinations(struct weighing *weighing)
{
	weighing->combinations = 1;
	for (size_t i = 0; i < weighing->count; i++) {
		struct domain *domain = &weighing->open[i].domain;
		if (domain->count && weighing->combinations * domain->count <= COMBINATIONS)
			weighing->combinations *= domain->count;
		else
			*domain = (struct domain){.count = 0, .whole = true}; /* unknown stands for every value */
		weighing->whole = weighing->whole && domain->whole;
	}
}

/* The evaluation with the values of one combination; `supposed` has room for the words. */
static void with_combination(const struct weighing *weighing, const struct judge_context *context, size_t combination,
	struct variable *variables, struct condition *supposed, struct evaluation *other)
{
	const struct evaluation *first = weighing->first;
	*other = (struct evaluation){.context = context,
		.rule = first->rule,
		.item = first->item,
		.operating_case = first->operating_case,
		.supposed = supposed,
		.asked_instead = first->asked_instead};
	memcpy(other->values, first->values, first->rule->input_count * sizeof(first->values[0]));
	memcpy(other->holders, first->holders, first->rule->input_count * sizeof(first->holders[0]));
	for (size_t k = 0; k < weighing->count; k++) {
		const struct open *open = &weighing->open[k];
		if (!open->domain.count)
			continue;
		const struct quantity *value = open->domain.rows[turning_choice(weighing, combination, k)];
		for (size_t i = 0; i < first->rule->input_count; i++)
			other->values[i] = (open->inputs >> i & 1) ? value : other->values[i];
		if (open->word)
			supposed[other->supposed_count++] =
				(struct condition){.name = open->word, .words = value->word};
	}
	evaluation_name_variables(other, variables);
}

static enum verdict verdict_of(struct evaluation *evaluation)
{
	enum truth selected = evaluation_selected(evaluation);
	return selected == NO ? VERDICT_NOT_APPLICABLE : judge_evaluation(evaluation, selected);
}

static void judge_all(struct weighing *weighing)
{
	memset(weighing->counts, 0, sizeof weighing->counts);
	weighing->verdicts = arena_alloc(weighing->scratch, weighing->combinations * sizeof *weighing->verdicts);
	for (size_t c = 0; c < weighing->combinations; c++) {
		struct variable variables[EXPRESSION_VARIABLES];
		struct condition supposed[UNKNOWN_MOST];
		struct evaluation one;
		with_combination(weighing, &weighing->context, c, variables, supposed, &one);
		weighing->verdicts[c] = verdict_of(&one);
		weighing->counts[weighing->verdicts[c]]++;
	}
}

/* ---- on what the action hangs ---- */

/* Does a departure come or go with it, the others staying as they are? What was left unknown may always turn it. */
static bool turns_with(const struct weighing *weighing, size_t k)
{
	size_t step = turning_step(weighing, k), count = weighing->open[k].domain.count;
	if (!count)
		return weighing->counts[VERDICT_NOT_JUDGED] > 0;
	if (!weighing->open[k].domain.whole)
		return true;
	for (size_t c = 0; c < weighing->combinations; c++) {
		bool last = turning_choice(weighing, c, k) + 1 == count;
		enum verdict a = weighing->verdicts[c], b = last ? a : weighing->verdicts[c + step];
		bool open_end = a == VERDICT_NOT_JUDGED || b == VERDICT_NOT_JUDGED;
		if (a != b && (a == VERDICT_DEPARTS || b == VERDICT_DEPARTS || open_end))
			return true;
	}
	return false;
}

/* ---- what comes of it ---- */

/* What the rule takes where nothing is stated, and does not say why it may. */
static void note_defaults(const struct weighing *weighing, struct evaluation *asking, uint32_t inputs)
{
	uint32_t taken = weighing->defaults ? inputs & defaulted_inputs(weighing->first) : 0;
	for (size_t i = 0; i < asking->rule->input_count; i++)
		if ((taken >> i & 1) && !*asking->rule->inputs[i].absent_why)
			evaluation_note_default(asking, i);
}

/* Only what turns the action is asked for. Where that cannot be told apart, all is. */
static void ask_for_what_turns(struct weighing *weighing, struct finding *own)
{
	const struct evaluation *first = weighing->first;
	struct evaluation asking = *first;
	asking.missing = NULL;
	asking.missing_count = asking.missing_capacity = 0;
	asking.unknown = 0;
	for (size_t k = 0; k < weighing->count; k++) {
		const struct open *open = &weighing->open[k];
		if (!open->turns || open->border)
			continue;
		asking.unknown |= open->inputs & unknown_inputs(first);
		note_defaults(weighing, &asking, open->inputs);
		if (open->word)
			evaluation_note_word(&asking, open->word);
	}
	evaluation_note_unknown(&asking);
	if (asking.missing_count) {
		own->missing = asking.missing;
		own->missing_count = (uint32_t)asking.missing_count;
	}
}

/* The finding of one combination, which shows what is known and not what was tried. */
static struct finding finding_with(const struct weighing *weighing, size_t combination)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct condition supposed[UNKNOWN_MOST];
	struct evaluation one;
	with_combination(weighing, weighing->first->context, combination, variables, supposed, &one);
	enum verdict verdict = verdict_of(&one);
	struct finding finding = judge_finding_of(&one, verdict);
	uint32_t tried = 0;
	for (size_t k = 0; k < weighing->count; k++)
		tried |= weighing->open[k].domain.count ? weighing->open[k].inputs : 0;
	judge_show_inputs(weighing->first, &finding);
	if (finding.rule->judged >= 0 && (tried >> finding.rule->judged & 1)) {
		finding.value = NULL;
		for (size_t i = 0; i < one.limit_count; i++) {
			one.limits[i].margin = 0;
			one.limits[i].borderline = false;
		}
	}
	return finding;
}

/* Met whatever it is; but not by values that were only tried, where nothing else that it rests on is known. */
static bool has_evidence(const struct weighing *weighing)
{
	const struct rule *rule = weighing->first->rule;
	uint32_t tried = 0, cites = rule_cites(rule);
	for (size_t k = 0; k < weighing->count; k++) {
		tried |= weighing->open[k].inputs;
		if (weighing->open[k].evidence)
			return true;
	}
	for (size_t i = 0; i < rule->input_count; i++)
		if ((cites & ~tried) >> i & 1 && !rule->inputs[i].constant &&
			weighing->first->values[i]->known != UNKNOWN && !weighing->first->values[i]->silent &&
			weighing->first->values[i] != rule->inputs[i].absent)
			return true;
	return false;
}

/* Collects, and judges every combination; false: there is nothing to vary. */
static bool try_all(struct weighing *weighing, bool borders_only)
{
	collect(weighing, borders_only);
	if (!weighing->count)
		return false;
	bound_combinations(weighing);
	judge_all(weighing);
	for (size_t k = 0; k < weighing->count; k++)
		weighing->open[k].turns = turns_with(weighing, k);
	return true;
}

/*
 * No departure comes of silence alone: it departs with what could be stated in place of each default, too. Else on that it hangs, and
 * `weighing` becomes the wider one.
 */
static bool departs_without_defaults(struct weighing *weighing)
{
	struct weighing wider = *weighing;
	wider.defaults = true;
	if (!try_all(&wider, false) || !wider.whole)
		return false;
	if (wider.counts[VERDICT_DEPARTS] == wider.combinations)
		return true;
	*weighing = wider;
	return false;
}

static struct finding of_unknown(struct weighing *weighing, struct finding own)
{
	struct arena *arena = weighing->first->context->arena;
	bool settled = weighing->whole && !weighing->silent;
	bool departs = settled && weighing->counts[VERDICT_DEPARTS] == weighing->combinations;
	bool meets = settled && weighing->counts[VERDICT_MEETS] == weighing->combinations;
	if ((departs && departs_without_defaults(weighing)) || (meets && has_evidence(weighing))) {
		struct finding finding = finding_with(weighing, 0);
		finding.whatever = turning_whatever(weighing, arena);
		return finding;
	}
	own.idle = weighing->whole && !weighing->counts[VERDICT_DEPARTS] && !weighing->counts[VERDICT_NOT_JUDGED];
	own.turns = turning_words(weighing, arena);
	if (!own.idle && !weighing->silent && !weighing->left_out)
		ask_for_what_turns(weighing, &own);
	return own;
}

/* Known on both sides of where the rule begins to apply: the graver of the two stands, and is not firm. */
static struct finding of_border(struct weighing *weighing, struct finding own)
{
	const size_t *counts = weighing->counts;
	if (own.verdict == VERDICT_DEPARTS && counts[VERDICT_DEPARTS] == weighing->combinations)
		return own;
	if (!counts[VERDICT_DEPARTS])
		return own;
	const char *other = turning_says(own.verdict);
	if (own.verdict != VERDICT_DEPARTS)
		own = finding_with(weighing, turning_first(weighing, VERDICT_DEPARTS));
	else
		other = turning_says(counts[VERDICT_MEETS] ? VERDICT_MEETS : VERDICT_NOT_APPLICABLE);
	own.unsettled = turning_border(weighing, other);
	if (own.certainty < CERTAINTY_SCREENING)
		own.certainty = CERTAINTY_SCREENING;
	return own;
}

/* A rule that is switched off by a border only, and not judged beyond it: what turns it there is asked for. */
static struct finding beyond_border(struct weighing *weighing, struct finding own)
{
	const char *words = turning_border(weighing, turning_says(VERDICT_NOT_APPLICABLE));
	if (!try_all(weighing, false) || !weighing->counts[VERDICT_DEPARTS])
		return own;
	for (size_t k = 0; k < weighing->count; k++)
		weighing->open[k].turns = weighing->open[k].turns && !weighing->open[k].border;
	own.verdict = VERDICT_NOT_JUDGED;
	own.unsettled = words;
	own.turns = turning_words(weighing, weighing->first->context->arena);
	ask_for_what_turns(weighing, &own);
	return own;
}

static struct finding weigh(struct weighing *weighing, struct finding own)
{
	bool known = own.verdict != VERDICT_NOT_JUDGED;
	if (!try_all(weighing, known))
		return own;
	if (!known)
		return of_unknown(weighing, own);
	bool off = own.verdict == VERDICT_NOT_APPLICABLE && !weighing->counts[VERDICT_DEPARTS];
	return off && weighing->counts[VERDICT_NOT_JUDGED] ? beyond_border(weighing, own) : of_border(weighing, own);
}

/* Nothing that is not known, and nothing that is calculated, to vary. */
static bool is_settled(const struct evaluation *evaluation, const struct finding *own)
{
	bool varies = own->verdict == VERDICT_NOT_JUDGED;
	for (size_t i = 0; i < evaluation->rule->input_count && !varies; i++) {
		const struct quantity *value = evaluation->values[i];
		varies = value->uncertainty > 0 && (value->known == COMPUTED || value->kind == KIND_YES_NO);
	}
	return !varies;
}

struct finding both_ways(struct evaluation *evaluation, struct finding own)
{
	struct arena scratch = {0};
	if (is_settled(evaluation, &own))
		return own;
	evaluation_put_lacking(evaluation, UINT32_MAX);
	struct weighing weighing = {.scratch = &scratch, .first = evaluation, .context = *evaluation->context};
	weighing.context.arena = &scratch;
	own = weigh(&weighing, own);
	arena_release(&scratch);
	return own;
}
