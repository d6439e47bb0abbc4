#include "judge/turning.h"

#include <string.h>

#include "base/text.h"
#include "compute/title.h"

/* Which value of thing `k` stands in the combination. */
size_t turning_choice(const struct weighing *weighing, size_t combination, size_t k)
{
	for (size_t i = weighing->count; i-- > k + 1;)
		combination /= weighing->open[i].domain.count ? weighing->open[i].domain.count : 1;
	return weighing->open[k].domain.count ? combination % weighing->open[k].domain.count : 0;
}

/* The combinations from one value of thing `k` to the next, the others as they are. */
size_t turning_step(const struct weighing *weighing, size_t k)
{
	size_t step = 1;
	for (size_t i = k + 1; i < weighing->count; i++)
		step *= weighing->open[i].domain.count ? weighing->open[i].domain.count : 1;
	return step;
}

/* What a rule does to an item, as the end of a sentence. */
const char *turning_says(enum verdict verdict)
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
	return title_of(arena, open->word ? open->word : weighing->first->rule->inputs[i].quantity);
}

/* The combination with another value of thing `k`. */
static size_t with_value(const struct weighing *weighing, size_t combination, size_t k, size_t value)
{
	size_t step = turning_step(weighing, k);
	return combination - turning_choice(weighing, combination, k) * step + value * step;
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
				*domain->rows[i]->word ? domain->rows[i]->word : "blank");
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

size_t turning_first(const struct weighing *weighing, enum verdict verdict)
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

static bool some_matters(const struct weighing *weighing, size_t combination)
{
	for (size_t k = 0; k < weighing->count; k++)
		if (weighing->open[k].turns && matters_here(weighing, k, combination))
			return true;
	return false;
}

/* A combination with this verdict at which one value alone changes it; where there is none, the first with the verdict. */
static size_t telling_combination(const struct weighing *weighing, enum verdict verdict)
{
	size_t first = turning_first(weighing, verdict);
	for (size_t c = first; c < weighing->combinations; c++)
		if (weighing->verdicts[c] == verdict && some_matters(weighing, c))
			return c;
	return first;
}

/* "departs if velocity is above 1.8 m/s and two phase is no" */
static void say_verdict(struct text *text, struct weighing *weighing, enum verdict verdict, bool instance)
{
	const char *before = " if ";
	if (!weighing->counts[verdict])
		return;
	size_t c = telling_combination(weighing, verdict);
	instance = instance && some_matters(weighing, c);
	text_addf(text, "%s%s%s", text->length ? "; " : "", turning_says(verdict), instance ? ", for instance," : "");
	for (size_t k = 0; k < weighing->count; k++) {
		if (!weighing->open[k].turns || !matters_here(weighing, k, c))
			continue;
		text_addf(text, "%s%s is ", before, name_of(text->arena, weighing, &weighing->open[k]));
		say_values(text, weighing, k, c, verdict);
		before = " and ";
	}
}

const char *turning_words(struct weighing *weighing, struct arena *arena)
{
	struct text text = text_in(weighing->scratch);
	size_t turning = 0;
	for (size_t k = 0; k < weighing->count; k++)
		turning += weighing->open[k].turns && weighing->open[k].domain.count;
	if (!turning || !weighing->whole || !weighing->counts[VERDICT_DEPARTS])
		return NULL; /* of a sample nothing is said: the turn may lie between the values tried */
	say_verdict(&text, weighing, VERDICT_DEPARTS, turning > 1);
	say_verdict(&text, weighing, VERDICT_MEETS, turning > 1);
	if (!weighing->counts[VERDICT_MEETS])
		say_verdict(&text, weighing, VERDICT_NOT_APPLICABLE, turning > 1);
	return arena_copy(arena, text.data);
}

/* "whatever is stated of hic tested and sulfur content" */
const char *turning_whatever(struct weighing *weighing, struct arena *arena)
{
	struct text text = text_in(weighing->scratch);
	for (size_t k = 0; k < weighing->count; k++)
		text_addf(&text, "%s%s%s%s%s", k ? " and " : "whatever is stated of ",
			name_of(weighing->scratch, weighing, &weighing->open[k]), weighing->open[k].within ? " (" : "",
			weighing->open[k].within ? weighing->open[k].within : "", weighing->open[k].within ? ")" : "");
	return arena_copy(arena, text.data);
}

const char *turning_border(const struct weighing *weighing, const char *verdict)
{
	struct arena *scratch = weighing->scratch;
	struct text text = text_in(scratch);
	for (size_t k = 0; k < weighing->count; k++) {
		const struct open *open = &weighing->open[k];
		size_t i = 0;
		while (open->border && !(open->inputs >> i & 1))
			i++;
		if (!open->border)
			continue;
		const struct quantity *value = weighing->first->values[i];
		text_addf(&text, "%s%s (%s)", text.length ? " and " : "", name_of(scratch, weighing, open),
			quantity_show(scratch, value, NULL));
	}
	return arena_format(weighing->first->context->arena,
		"Unsettled: %s is within its uncertainty of where the rule begins to apply; beyond that the rule %s.",
		text.data, verdict);
}
