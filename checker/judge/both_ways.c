#include "judge/both_ways.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/domain.h"
#include "judge/weigh.h"

enum {
	UNKNOWN_MOST = 8,   /* inputs varied together */
	COMBINATIONS = 400, /* of their values; beyond that the later ones stay unknown */
	VERDICTS = VERDICT_NOT_APPLICABLE + 1
};

/* One thing that is not known: inputs that are one quantity of one item, or a word by which the rule selects or narrows. */
struct open {
	uint32_t inputs;
	const char *word; /* the name of the word, or NULL */
	bool border;	  /* known, and within its uncertainty of where the rule applies */
	struct domain domain;
	bool turns; /* does the action hang on it, whatever the others are? */
};

struct weighing {
	struct arena *scratch;
	const struct evaluation *first; /* as it was judged */
	struct judge_context context;	/* the same with the scratch arena */
	struct open open[UNKNOWN_MOST];
	size_t count;
	bool whole;  /* every value there can be is among those tried */
	bool silent; /* nothing is unknown: what silence is taken for is tried otherwise */
	size_t combinations;
	enum verdict *verdicts; /* of each combination: the first thing varies slowest */
	size_t counts[VERDICTS];
};

/* ---- what is not known ---- */

static uint32_t cited(const struct rule *rule)
{
	uint32_t bits = rule->judged >= 0 ? UINT32_C(1) << rule->judged : 0;
	for (size_t i = 0; i < rule->when.count; i++)
		bits |= rule->when.rows[i].cites;
	for (size_t i = 0; i < rule->met_if.count; i++)
		bits |= rule->met_if.rows[i].cites;
	bits |= rule->assertion ? rule->assertion->cites : 0;
	for (size_t i = 0; i < rule->limit_count; i++)
		bits |= rule->limits[i].when ? rule->limits[i].when->cites : 0;
	return bits;
}

static bool narrows(const struct rule *rule, const char *name)
{
	for (size_t i = 0; i < rule->limit_count; i++)
		for (size_t k = 0; k < rule->limits[i].narrowing.count; k++)
			if (strcmp(rule->limits[i].narrowing.rows[k].name, name) == 0)
				return true;
	return false;
}

/* The inputs that are the same quantity of the same item as input `i`: what is tried of one holds for all of them. */
static uint32_t same_quantity(const struct evaluation *evaluation, size_t i)
{
	const struct rule *rule = evaluation->rule;
	uint32_t bits = UINT32_C(1) << i;
	for (size_t k = 0; evaluation->holders[i] && k < rule->input_count; k++)
		if (!rule->inputs[k].constant && evaluation->holders[k] == evaluation->holders[i] &&
			strcmp(rule->inputs[k].quantity, rule->inputs[i].quantity) == 0)
			bits |= UINT32_C(1) << k;
	return bits;
}

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
			(cited(evaluation->rule) >> i & 1))
			bits |= same_quantity(evaluation, i);
	return bits;
}

static uint32_t open_inputs(const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	const uint32_t cites = cited(rule);
	uint32_t bits = 0;
	for (size_t i = 0; i < rule->input_count; i++)
		if (!rule->inputs[i].constant && is_open(evaluation->values[i]) &&
			((cites >> i & 1) || narrows(rule, rule->inputs[i].name)))
			bits |= same_quantity(evaluation, i);
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
	struct domain domain = domain_of(scratch, evaluation, inputs, calculated_inputs(evaluation),
		value->si - value->uncertainty, value->si + value->uncertainty);
	bool border = false;
	for (size_t i = 0; i < domain.count; i++)
		border = border || domain.rows[i]->reached;
	return border && domain.whole;
}

/* A calculated value that decides whether the rule applies, and lies within its uncertainty of where it begins to. */
static uint32_t border_inputs(struct arena *scratch, const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	uint32_t asks = 0, bits = 0;
	for (size_t i = 0; i < rule->when.count; i++)
		asks |= rule->when.rows[i].cites;
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct quantity *value = evaluation->values[i];
		if (!(asks >> i & 1) || is_open(value) || !(value->uncertainty > 0) || (int)i == rule->judged)
			continue;
		uint32_t same = same_quantity(evaluation, i);
		bool doubtful = value->kind == KIND_YES_NO ||
			(value->known == COMPUTED && kind_is_number(value->kind) &&
				straddles(scratch, evaluation, same, value));
		bits |= doubtful ? same : 0;
	}
	return bits;
}

static void limits_of(const struct quantity *value, bool border, double *least, double *largest)
{
	*least = value->range ? value->range->least : -HUGE_VAL;
	*largest = value->range ? value->range->largest : HUGE_VAL;
	if (border) {
		*least = value->si - value->uncertainty;
		*largest = value->si + value->uncertainty;
	} else if (value->known != UNKNOWN && value->bound == BOUND_BELOW) {
		*largest = value->si;
	} else if (value->known != UNKNOWN && value->bound == BOUND_ABOVE) {
		*least = value->si;
	}
}

static void add_open(struct weighing *weighing, struct open open)
{
	if (weighing->count < UNKNOWN_MOST)
		weighing->open[weighing->count++] = open;
	else
		weighing->whole = false;
}

static void collect_inputs(struct weighing *weighing, bool borders_only)
{
	const struct evaluation *evaluation = weighing->first;
	uint32_t unknown = open_inputs(evaluation);
	weighing->silent = !unknown && !borders_only;
	unknown = borders_only ? 0 : weighing->silent ? silent_inputs(evaluation) : unknown;
	uint32_t border = border_inputs(weighing->scratch, evaluation) & ~unknown;
	for (uint32_t left = unknown | border; left;) {
		size_t i = 0;
		while (!(left >> i & 1))
			i++;
		double least, largest;
		uint32_t bits = same_quantity(evaluation, i);
		const struct quantity *value = evaluation->values[i];
		bool at_border = !(unknown >> i & 1);
		limits_of(value, at_border && value->kind != KIND_YES_NO, &least, &largest);
		add_open(weighing,
			(struct open){.inputs = bits,
				.border = at_border,
				.domain = domain_of(
					weighing->scratch, evaluation, bits, unknown | border, least, largest)});
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
			(struct open){.word = name,
				.domain = domain_of_word(weighing->scratch, weighing->first->rule, name)});
	}
}

static void collect(struct weighing *weighing, bool borders_only)
{
	const struct rule *rule = weighing->first->rule;
	weighing->count = 0;
	weighing->whole = true;
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

/* Which value of thing `k` stands in the combination. */
static size_t choice_of(const struct weighing *weighing, size_t combination, size_t k)
{
	for (size_t i = weighing->count; i-- > k + 1;)
		combination /= weighing->open[i].domain.count ? weighing->open[i].domain.count : 1;
	return weighing->open[k].domain.count ? combination % weighing->open[k].domain.count : 0;
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
		.supposed = supposed};
	evaluation_bind(other);
	for (size_t k = 0; k < weighing->count; k++) {
		const struct open *open = &weighing->open[k];
		if (!open->domain.count)
			continue;
		const struct quantity *value = open->domain.rows[choice_of(weighing, combination, k)];
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

/* The combinations from one value of thing `k` to the next, the others as they are. */
static size_t step_of(const struct weighing *weighing, size_t k)
{
	size_t step = 1;
	for (size_t i = k + 1; i < weighing->count; i++)
		step *= weighing->open[i].domain.count ? weighing->open[i].domain.count : 1;
	return step;
}

/* Does a departure come or go with it, the others staying as they are? What was left unknown may always turn it. */
static bool turns_with(const struct weighing *weighing, size_t k)
{
	size_t step = step_of(weighing, k), count = weighing->open[k].domain.count;
	if (!count)
		return weighing->counts[VERDICT_NOT_JUDGED] > 0;
	for (size_t c = 0; c < weighing->combinations; c++) {
		bool last = choice_of(weighing, c, k) + 1 == count;
		enum verdict a = weighing->verdicts[c], b = last ? a : weighing->verdicts[c + step];
		bool open_end = a == VERDICT_NOT_JUDGED || b == VERDICT_NOT_JUDGED;
		if (a != b && (a == VERDICT_DEPARTS || b == VERDICT_DEPARTS || open_end))
			return true;
	}
	return false;
}

/* ---- words ---- */

static const char *plain_name(struct arena *arena, const char *quantity)
{
	char *words = arena_copy(arena, quantity);
	for (char *at = words; *at; at++)
		*at = *at == '-' ? ' ' : *at;
	return words;
}

/* What a rule does to an item, as the end of a sentence. */
static const char *says(enum verdict verdict)
{
	return verdict == VERDICT_NOT_APPLICABLE ? "does not apply"
		: verdict == VERDICT_NOT_JUDGED	 ? "cannot be judged"
						 : verdict_word(verdict);
}

static const char *name_of(struct arena *arena, const struct weighing *weighing, const struct open *open)
{
	size_t i = 0;
	while (!open->word && !(open->inputs >> i & 1))
		i++;
	const char *name = open->word ? open->word : weighing->first->rule->inputs[i].quantity;
	if (text_ends(name, "-family"))
		name = arena_copy_span(arena, name, strlen(name) - strlen("-family"));
	return plain_name(arena, name);
}

/* The combination with another value of thing `k`. */
static size_t with_value(const struct weighing *weighing, size_t combination, size_t k, size_t value)
{
	size_t step = step_of(weighing, k);
	return combination - choice_of(weighing, combination, k) * step + value * step;
}

/* The figure at one end of a run of values: itself where it is a border, else the border beside it. */
static const char *figure(struct arena *arena, const struct quantity *value)
{
	return quantity_show_si(arena, value->si, value->kind, NULL);
}

/* "above 1.8 m/s", "at most 82 degC", "from 1 to 2": the values from place `from` to place `to`, all of one kind. */
static void say_numbers(struct text *text, const struct domain *domain, size_t from, size_t to)
{
	const struct quantity *low = domain->rows[from], *high = domain->rows[to];
	bool counts = low->kind == KIND_COUNT;
	bool below = from == 0 || domain->rows[from - 1]->kind != low->kind,
	     above = to + 1 == domain->count || domain->rows[to + 1]->kind != low->kind;
	bool low_in = counts || low->reached, high_in = counts || high->reached;
	if (counts && !above && (from == to || (below && !(high->si > 0)))) {
		text_add(text, figure(text->arena, high));
		return;
	}
	if (!below)
		text_addf(text, "%s %s", low_in ? "at least" : "above",
			figure(text->arena, low_in ? low : domain->rows[from - 1]));
	text_add(text, !below && !above ? " and " : "");
	if (!above)
		text_addf(text, "%s %s", high_in ? "at most" : "below",
			figure(text->arena, high_in ? high : domain->rows[to + 1]));
	text_add(text, below && above ? "any figure" : "");
}

static bool gives(const struct weighing *weighing, size_t k, size_t combination, size_t value, enum verdict verdict)
{
	return weighing->verdicts[with_value(weighing, combination, k, value)] == verdict;
}

/* "carbon steel or 304L"; where a word that the rule does not name gives it too, "anything but 316L". */
static void say_words(
	struct text *text, const struct weighing *weighing, size_t k, size_t combination, enum verdict verdict)
{
	enum { SAID_MOST = 4 };
	const struct domain *domain = &weighing->open[k].domain;
	const struct quantity *last = domain->rows[domain->count - 1];
	bool others = domain_is_other(last) && gives(weighing, k, combination, domain->count - 1, verdict);
	size_t said = 0;
	for (size_t i = 0; i < domain->count; i++) {
		if (domain_is_other(domain->rows[i]) || gives(weighing, k, combination, i, verdict) == others)
			continue;
		if (said++ < SAID_MOST)
			text_addf(text, "%s%s",
				said > 1	 ? " or "
					: others ? "anything but "
						 : "",
				domain->rows[i]->word);
	}
	text_add(text, said > SAID_MOST ? " or others" : !said && others ? "anything" : "");
}

/* The values of thing `k` that give `verdict` while the others stay as in the combination. */
static void say_values(
	struct text *text, const struct weighing *weighing, size_t k, size_t combination, enum verdict verdict)
{
	const struct domain *domain = &weighing->open[k].domain;
	size_t said = 0;
	if (!kind_is_number(domain->rows[0]->kind)) {
		say_words(text, weighing, k, combination, verdict);
		return;
	}
	for (size_t from = 0, to; from < domain->count; from = to + 1) {
		to = from;
		if (!gives(weighing, k, combination, from, verdict))
			continue;
		while (to + 1 < domain->count && domain->rows[to + 1]->kind == domain->rows[from]->kind &&
			gives(weighing, k, combination, to + 1, verdict))
			to++;
		text_add(text, said++ ? " or " : "");
		say_numbers(text, domain, from, to);
	}
}

static size_t first_with(const struct weighing *weighing, enum verdict verdict)
{
	size_t c = 0;
	while (weighing->verdicts[c] != verdict)
		c++;
	return c;
}

/* Does the verdict differ with the value of thing `k`, the others being as in the combination? */
static bool matters_here(const struct weighing *weighing, size_t k, size_t combination)
{
	for (size_t i = 0; i < weighing->open[k].domain.count; i++)
		if (!gives(weighing, k, combination, i, weighing->verdicts[combination]))
			return true;
	return false;
}

/* "departs if velocity is above 1.8 m/s and two phase is no" */
static void say_verdict(struct text *text, struct weighing *weighing, enum verdict verdict, bool instance)
{
	const char *before = " if ";
	if (!weighing->counts[verdict])
		return;
	size_t c = first_with(weighing, verdict);
	text_addf(text, "%s%s%s", text->length ? "; " : "", says(verdict), instance ? ", for instance," : "");
	for (size_t k = 0; k < weighing->count; k++) {
		if (!weighing->open[k].turns || !matters_here(weighing, k, c))
			continue;
		text_addf(text, "%s%s is ", before, name_of(text->arena, weighing, &weighing->open[k]));
		say_values(text, weighing, k, c, verdict);
		before = " and ";
	}
}

static const char *turning_words(struct weighing *weighing, struct arena *arena)
{
	struct text text = text_in(arena);
	size_t turning = 0;
	for (size_t k = 0; k < weighing->count; k++)
		turning += weighing->open[k].turns && weighing->open[k].domain.count;
	if (!turning || !weighing->whole || !weighing->counts[VERDICT_DEPARTS])
		return NULL; /* of a sample nothing is said: the turn may lie between the values tried */
	say_verdict(&text, weighing, VERDICT_DEPARTS, turning > 1);
	say_verdict(&text, weighing, VERDICT_MEETS, turning > 1);
	if (!weighing->counts[VERDICT_MEETS])
		say_verdict(&text, weighing, VERDICT_NOT_APPLICABLE, turning > 1);
	return text.data;
}

/* "whatever is stated of hic tested and sulfur content" */
static const char *whatever_words(struct weighing *weighing, struct arena *arena)
{
	struct text text = text_in(arena);
	for (size_t k = 0; k < weighing->count; k++)
		text_addf(&text, "%s%s", k ? " and " : "whatever is stated of ",
			name_of(arena, weighing, &weighing->open[k]));
	return text.data;
}

/* ---- what comes of it ---- */

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
		asking.unknown |= open->inputs & open_inputs(first);
		if (open->word)
			evaluation_note_word(&asking, open->word);
	}
	evaluation_note_unknown(&asking);
	if (asking.missing_count) {
		own->missing = asking.missing;
		own->missing_count = asking.missing_count;
	}
}

/* The finding of one combination, which shows what is known and not what was tried. */
static struct finding finding_with(const struct weighing *weighing, size_t combination, const struct finding *own)
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
	finding.inputs = own->inputs ? own->inputs : finding.inputs;
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
	uint32_t tried = 0, cites = cited(rule);
	for (size_t k = 0; k < weighing->count; k++)
		tried |= weighing->open[k].inputs;
	for (size_t i = 0; i < rule->input_count; i++)
		if ((cites & ~tried) >> i & 1 && !rule->inputs[i].constant &&
			weighing->first->values[i]->known != UNKNOWN && !weighing->first->values[i]->silent &&
			weighing->first->values[i] != rule->inputs[i].absent)
			return true;
	return false;
}

static struct finding of_unknown(struct weighing *weighing, struct finding own)
{
	struct arena *arena = weighing->first->context->arena;
	const size_t *counts = weighing->counts, all = weighing->combinations;
	if (weighing->whole && !weighing->silent && counts[VERDICT_DEPARTS] == all) {
		struct finding finding = finding_with(weighing, 0, &own);
		finding.whatever = whatever_words(weighing, arena);
		return finding;
	}
	if (weighing->whole && !weighing->silent && counts[VERDICT_MEETS] == all && has_evidence(weighing)) {
		struct finding finding = finding_with(weighing, 0, &own);
		finding.whatever = whatever_words(weighing, arena);
		return finding;
	}
	own.idle = weighing->whole && !counts[VERDICT_DEPARTS] && !counts[VERDICT_NOT_JUDGED];
	own.turns = turning_words(weighing, arena);
	if (!own.idle && !weighing->silent)
		ask_for_what_turns(weighing, &own);
	return own;
}

static const char *border_words(const struct weighing *weighing, const char *verdict)
{
	struct arena *arena = weighing->first->context->arena;
	struct text text = text_in(arena);
	for (size_t k = 0; k < weighing->count; k++) {
		const struct open *open = &weighing->open[k];
		size_t i = 0;
		while (open->border && !(open->inputs >> i & 1))
			i++;
		if (!open->border)
			continue;
		const struct quantity *value = weighing->first->values[i];
		text_addf(&text, "%s%s (%s)", text.length ? " and " : "", name_of(arena, weighing, open),
			quantity_show(arena, value, NULL));
	}
	return arena_format(arena,
		"Unsettled: %s is within its uncertainty of where the rule begins to apply; beyond that the rule %s.",
		text.data, verdict);
}

/* Known on both sides of where the rule begins to apply: the graver of the two stands, and is not firm. */
static struct finding of_border(struct weighing *weighing, struct finding own)
{
	const size_t *counts = weighing->counts;
	if (own.verdict == VERDICT_DEPARTS && counts[VERDICT_DEPARTS] == weighing->combinations)
		return own;
	if (!counts[VERDICT_DEPARTS])
		return own;
	const char *other = says(own.verdict);
	if (own.verdict != VERDICT_DEPARTS)
		own = finding_with(weighing, first_with(weighing, VERDICT_DEPARTS), &own);
	else
		other = says(counts[VERDICT_MEETS] ? VERDICT_MEETS : VERDICT_NOT_APPLICABLE);
	own.unsettled = border_words(weighing, other);
	if (own.certainty < CERTAINTY_SCREENING)
		own.certainty = CERTAINTY_SCREENING;
	return own;
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

/* A rule that is switched off by a border only, and not judged beyond it: what turns it there is asked for. */
static struct finding beyond_border(struct weighing *weighing, struct finding own)
{
	const char *words = border_words(weighing, says(VERDICT_NOT_APPLICABLE));
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

struct finding both_ways(const struct evaluation *evaluation, struct finding own)
{
	struct arena scratch = {0};
	if (is_settled(evaluation, &own))
		return own;
	struct weighing weighing = {.scratch = &scratch, .first = evaluation, .context = *evaluation->context};
	weighing.context.arena = &scratch;
	own = weigh(&weighing, own);
	arena_release(&scratch);
	return own;
}
