#include "quantity/quantity.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

static const struct {
	const char *name, *si, *shown, *second;
} kinds[] = {
#define KIND(code, name, si, shown, second, least, largest) {name, si, shown, second},
#include "quantity/kinds.def"
#undef KIND
};

const char *kind_name(enum kind kind)
{
	return kinds[kind].name;
}

bool kind_from_name(const char *name, enum kind *kind)
{
	for (int i = 0; i < QUANTITY_KINDS; i++)
		if (strcmp(kinds[i].name, name) == 0) {
			*kind = (enum kind)i;
			return true;
		}
	return false;
}

const char *kind_si(enum kind kind)
{
	return kinds[kind].si;
}

const char *kind_unit(enum kind kind)
{
	return kinds[kind].shown;
}

const char *kind_second(enum kind kind)
{
	return kinds[kind].second;
}

bool kind_counts_from_zero(enum kind kind)
{
	return kind != KIND_TEMPERATURE && kind != KIND_PRESSURE && kind != KIND_PH && kind != KIND_HARDNESS_ROCKWELL;
}

bool kind_is_number(enum kind kind)
{
	return kinds[kind].si[0] != '\0';
}

static struct quantity *new_quantity(struct arena *arena, enum knowledge known, enum kind kind)
{
	struct quantity *quantity = arena_alloc(arena, sizeof *quantity);
	quantity->known = known;
	quantity->kind = kind;
	quantity->document = "";
	return quantity;
}

const struct quantity *quantity_lacking(struct arena *arena, enum kind kind, struct missing missing)
{
	struct quantity *quantity = new_quantity(arena, UNKNOWN, kind);
	quantity->si = quantity->uncertainty = (double)NAN; /* nothing follows from it, by accident or otherwise */
	quantity_lacks(quantity, missing);
	return quantity;
}

const struct quantity *quantity_unknown(struct arena *arena, enum kind kind, const char *reason)
{
	return quantity_lacking(arena, kind, (struct missing){.reason = reason});
}

struct missing quantity_missing(const struct quantity *quantity)
{
	return (struct missing){quantity->missing_of, quantity->missing, quantity->reason};
}

void quantity_lacks(struct quantity *quantity, struct missing missing)
{
	quantity->missing_of = missing.item;
	quantity->missing = missing.quantity;
	quantity->reason = missing.reason;
}

const struct missing nothing_missing = {.reason = NULL};

const struct quantity *quantity_assumed(
	struct arena *arena, enum kind kind, double si, double uncertainty, const char *reason)
{
	struct quantity *quantity = new_quantity(arena, ASSUMED, kind);
	quantity->si = si;
	quantity->uncertainty = uncertainty;
	quantity->reason = reason;
	return quantity;
}

const struct quantity *quantity_constant(struct arena *arena, enum kind kind, double si, const char *document)
{
	struct quantity *quantity = new_quantity(arena, STATED, kind);
	quantity->si = si;
	quantity->document = document;
	return quantity;
}

struct quantity quantity_word(enum kind kind, const char *word, const char *reason)
{
	return (struct quantity){.known = ASSUMED,
		.kind = kind,
		.word = word,
		.si = kind == KIND_YES_NO && strcmp(word, "yes") == 0 ? 1 : 0,
		.document = "",
		.reason = reason};
}

const struct quantity *quantity_assumed_word(struct arena *arena, enum kind kind, const char *word, const char *reason)
{
	struct quantity *quantity = new_quantity(arena, ASSUMED, kind);
	*quantity = quantity_word(kind, word, reason);
	return quantity;
}

static const struct quantity *for_silence(struct arena *arena, const struct quantity *assumed)
{
	struct quantity *quantity = arena_alloc(arena, sizeof *quantity);
	*quantity = *assumed;
	quantity->silent = true;
	return quantity;
}

const struct quantity *quantity_default(
	struct arena *arena, enum kind kind, double si, double uncertainty, const char *reason)
{
	return for_silence(arena, quantity_assumed(arena, kind, si, uncertainty, reason));
}

const struct quantity *quantity_default_word(struct arena *arena, enum kind kind, const char *word, const char *reason)
{
	return for_silence(arena, quantity_assumed_word(arena, kind, word, reason));
}

static const struct input *with_input(struct arena *arena, const struct quantity *value, const struct input *more)
{
	struct input *inputs = arena_alloc(arena, (value->input_count + 1) * sizeof *inputs);
	if (value->input_count)
		memcpy(inputs, value->inputs, value->input_count * sizeof *inputs);
	inputs[value->input_count] = *more;
	return inputs;
}

const struct quantity *quantity_at_least(
	struct arena *arena, const struct quantity *value, struct missing missing, const struct input *open)
{
	if (value->known == UNKNOWN)
		return value;
	if (value->bound == BOUND_BELOW)
		return quantity_lacking(arena, value->kind, missing);
	struct quantity *least = arena_alloc(arena, sizeof *least);
	*least = *value;
	least->bound = BOUND_ABOVE;
	least->reached = true;
	quantity_lacks(least, missing);
	if (open) {
		least->inputs = with_input(arena, value, open);
		least->input_count++;
	}
	return least;
}

static bool all_silent(const struct input *inputs, size_t count)
{
	bool all = count > 0;
	for (size_t i = 0; i < count; i++)
		all = all && inputs[i].quantity && inputs[i].quantity->silent;
	return all;
}

static bool is_known(const struct input *input)
{
	return input->quantity && input->quantity->known != UNKNOWN;
}

enum truth quantity_truth(const struct quantity *quantity)
{
	return !quantity || quantity->known == UNKNOWN ? PERHAPS : quantity->si > 0 ? YES : NO;
}

bool inputs_known(const struct input *inputs, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (!is_known(&inputs[i]) ||
			(inputs[i].quantity->bound != BOUND_NONE && inputs[i].effect == EFFECT_UNSAID))
			return false;
	return true;
}

const char *input_name(struct arena *arena, const struct input *input)
{
	return input->whose ? arena_of(arena, input->name, input->whose) : input->name;
}

const char *input_property(const struct input *input)
{
	return input->whose ? input->name : NULL;
}

bool input_same_name(const struct input *a, const struct input *b)
{
	if (!a->whose == !b->whose)
		return strcmp(a->name, b->name) == 0 && text_same(a->whose, b->whose);
	struct arena scratch = {0};
	bool same = strcmp(input_name(&scratch, a), input_name(&scratch, b)) == 0;
	arena_release(&scratch);
	return same;
}

struct missing input_missing(struct arena *arena, const struct input *input)
{
	if (input->quantity && input->quantity->reason)
		return quantity_missing(input->quantity);
	if (!is_known(input))
		return (struct missing){input->item, input_property(input),
			arena_format(arena, "%s is not stated", input_name(arena, input))};
	return (struct missing){.reason = arena_format(arena, "%s is stated only as a bound (%s)",
					input_name(arena, input), quantity_show(arena, input->quantity, NULL))};
}

/* Why nothing can be computed: what the first input lacks that is no number and no bound of known effect. */
static struct missing missing_input(struct arena *arena, const struct input *inputs, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (!inputs_known(&inputs[i], 1))
			return input_missing(arena, &inputs[i]);
	return (struct missing){.reason = NULL};
}

/* Which way a bound among the inputs bounds the result. */
static enum bound push_of(const struct input *input)
{
	if (input->quantity->bound == BOUND_NONE || input->effect == EFFECT_WITHIN)
		return BOUND_NONE;
	return (input->quantity->bound == BOUND_BELOW) == (input->effect == EFFECT_RISES) ? BOUND_BELOW : BOUND_ABOVE;
}

/* Carries the bounds of the inputs over to the result. NULL, or why bounds that pull opposite ways leave nothing. */
static const char *take_bounds(struct arena *arena, struct quantity *result, const struct input *inputs, size_t count)
{
	const struct input *first = NULL;
	for (size_t i = 0; i < count; i++) {
		enum bound push = push_of(&inputs[i]);
		if (inputs[i].quantity->bound != BOUND_NONE && !result->reason)
			quantity_lacks(result, input_missing(arena, &inputs[i]));
		if (push == BOUND_NONE)
			continue;
		if (first && push != result->bound)
			return arena_format(arena, "%s and %s are stated only as bounds, which leave it open",
				input_name(arena, first), input_name(arena, &inputs[i]));
		result->reached = inputs[i].quantity->reached && (!first || result->reached);
		if (!first)
			quantity_lacks(result, input_missing(arena, &inputs[i]));
		result->bound = push;
		first = &inputs[i];
	}
	return NULL;
}

const char quantity_no_number[] = "gives no number here";

static void make_unknown(struct quantity *quantity, struct missing missing)
{
	quantity->known = UNKNOWN;
	quantity->bound = BOUND_NONE;
	quantity->reached = false;
	quantity_lacks(quantity, missing);
	quantity->si = quantity->uncertainty = (double)NAN;
}

/* What is computed from something owed is owed itself; and which conditions went into it. */
static void quantity_mix(struct quantity *quantity, const struct input *inputs, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct quantity *input = inputs[i].quantity;
		if (!input)
			continue;
		quantity->owed = quantity->owed || (quantity->known == UNKNOWN && input->owed);
		quantity->of_case = quantity->of_case || input->of_case;
		quantity->of_normal = quantity->of_normal || input->of_normal;
	}
}

static struct quantity *compute(struct arena *arena, enum kind kind, double si, double uncertainty,
	const struct formula *formula, const struct input *inputs, size_t count)
{
	struct quantity *quantity = new_quantity(arena, COMPUTED, kind);
	quantity->si = si;
	quantity->uncertainty = uncertainty;
	struct missing missing = missing_input(arena, inputs, count);
	if (!missing.reason && (!isfinite(si) || !isfinite(uncertainty)))
		missing.reason =
			arena_format(arena, "%s %s", formula ? formula->name : "the calculation", quantity_no_number);
	if (!missing.reason)
		missing.reason = take_bounds(arena, quantity, inputs, count);
	if (missing.reason)
		make_unknown(quantity, missing);
	quantity->formula = formula;
	quantity->silent = all_silent(inputs, count);
	quantity_mix(quantity, inputs, count);
	if (count > 0) {
		struct input *copies = arena_alloc(arena, count * sizeof *copies);
		memcpy(copies, inputs, count * sizeof *copies);
		quantity->inputs = copies;
		quantity->input_count = (uint32_t)count;
	}
	return quantity;
}

const struct quantity *quantity_computed(struct arena *arena, enum kind kind, double si, double uncertainty,
	const struct formula *formula, const struct input *inputs, size_t count)
{
	return compute(arena, kind, si, uncertainty, formula, inputs, count);
}

const struct quantity *quantity_computed_by_factor(struct arena *arena, enum kind kind, double si, double uncertainty,
	const struct formula *formula, const struct input *inputs, size_t count)
{
	struct quantity *quantity = compute(arena, kind, si, uncertainty, formula, inputs, count);
	quantity->by_factor = quantity->si > 0;
	return quantity;
}

double quantity_low(const struct quantity *quantity)
{
	double wide = fmax(quantity->uncertainty, 0);
	return quantity->by_factor ? quantity->si / (1 + wide / quantity->si) : quantity->si - wide;
}

double quantity_high(const struct quantity *quantity)
{
	return quantity->si + fmax(quantity->uncertainty, 0);
}

double quantity_reach(const struct quantity *quantity, double figure)
{
	return quantity->by_factor && figure < quantity->si ? quantity->si - quantity_low(quantity)
							    : fmax(quantity->uncertainty, 0);
}

bool quantity_is_mixed(const struct quantity *quantity)
{
	return quantity->of_case && quantity->of_normal;
}
