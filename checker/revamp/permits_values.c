#include "revamp/permits_values.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/domain.h"
#include "judge/possible.h"
#include "read/vocabulary.h"
#include "resolve/pipe.h"

enum { NUMBERS_MOST = 9, WORDS_MOST = 14 };

enum spread { BY_DIFFERENCE, BY_RATIO };

static const struct {
	enum kind kind;
	double least, largest;
	enum spread spread;
} usual[] = {
#define RANGE(code, least, largest, spread) {KIND_##code, least, largest, spread},
#include "revamp/permits_range.def"
};

/* ---- of what attribute ---- */

/* "wall-material-family" is known by the attribute "material", "pwht" by itself; NULL: nothing that the item may carry. */
static const struct vocabulary_attribute *attribute_of(
	struct arena *arena, const struct item *item, const char *quantity)
{
	static const char family[] = "-family";
	static const char *const parts[] = {"wall-", "wetted-"};
	const struct vocabulary_attribute *found = vocabulary_attribute(item->meaning, quantity);
	if (found || !text_ends(quantity, family))
		return found;
	const char *name = arena_copy_span(arena, quantity, strlen(quantity) - strlen(family));
	found = vocabulary_attribute(item->meaning, name);
	for (size_t i = 0; i < COUNT(parts) && !found; i++)
		if (strncmp(name, parts[i], strlen(parts[i])) == 0)
			found = vocabulary_attribute(item->meaning, name + strlen(parts[i]));
	return found;
}

static bool has(const struct permit_unknowns *unknowns, const struct item *item, const char *name)
{
	for (size_t i = 0; i < unknowns->count; i++)
		if (unknowns->rows[i].item == item && strcmp(unknowns->rows[i].name, name) == 0)
			return true;
	return false;
}

/* ---- words ---- */

static void add_word(struct permit_unknown *unknown, const char **words, const char *word)
{
	words[unknown->count++] = word;
}

/* Of choices with families one of each family: what differs within it is looked at by no rule that waits for the family. */
static bool is_first_of_family(const struct vocabulary_type *type, size_t at)
{
	for (size_t i = 0; i < at && type->choices[at].family; i++)
		if (text_same(type->choices[i].family, type->choices[at].family))
			return false;
	return true;
}

/* The schedules that the size of the item is made in. */
static void add_schedules(
	const struct permit_source *source, int operating_case, struct permit_unknown *unknown, const char **words)
{
	const char *size = table_word(source->table, unknown->item, operating_case, "size");
	struct pipe pipe;
	for (size_t i = 0; i < pipe_schedule_count() && unknown->count < WORDS_MOST; i++)
		if (size && pipe_find(size, pipe_schedule(i), &pipe))
			add_word(unknown, words, pipe_schedule(i));
}

/* Sizes that lines are laid in, each once; those within reach of what flows are found by the search. */
static void add_sizes(struct permit_unknown *unknown, const char **words)
{
	static const char *const laid[] = {
		"NPS 1", "NPS 2", "NPS 3", "NPS 4", "NPS 6", "NPS 8", "NPS 10", "NPS 12", "NPS 16", "NPS 20", "NPS 24"};
	for (size_t i = 0; i < COUNT(laid); i++)
		add_word(unknown, words, laid[i]);
}

static bool fill_words(const struct permit_source *source, int operating_case, const struct vocabulary_type *type,
	struct permit_unknown *unknown, bool *whole)
{
	const char **words = arena_alloc(source->arena, WORDS_MOST * sizeof *words);
	enum kind kind = type->accepted.kinds[0];
	if (kind == KIND_YES_NO) {
		add_word(unknown, words, "no");
		add_word(unknown, words, "yes");
	} else if (strcmp(type->name, "schedule") == 0) {
		add_schedules(source, operating_case, unknown, words);
	} else if (strcmp(type->name, "pipe-size") == 0) {
		add_sizes(unknown, words);
		*whole = false;
	}
	for (size_t i = 0; kind == KIND_WORD && i < type->choice_count; i++) {
		if (!is_first_of_family(type, i))
			continue;
		if (unknown->count < WORDS_MOST)
			add_word(unknown, words, type->choices[i].word);
		else
			*whole = false;
	}
	unknown->words = words;
	return unknown->count > 0;
}

/* ---- numbers ---- */

static int by_size(const void *a, const void *b)
{
	double one = *(const double *)a, other = *(const double *)b;
	return one < other ? -1 : one > other;
}

/* Figures that a rule compares an input with, and one between each two. */
struct figures {
	double rows[NUMBERS_MOST];
	bool border[NUMBERS_MOST]; /* one that it is compared with */
	size_t count;
	bool whole; /* they stand for all values that the rule can tell apart */
};

static void add_figures(struct figures *figures, const struct domain *domain, enum kind kind)
{
	figures->whole = domain->whole;
	for (size_t i = 0; i < domain->count; i++) {
		const struct quantity *row = domain->rows[i];
		if (row->kind != kind || !isfinite(row->si))
			continue;
		if (figures->count == NUMBERS_MOST) {
			figures->whole = false;
			return;
		}
		figures->border[figures->count] = row->reached;
		figures->rows[figures->count++] = row->si;
	}
}

/* None where the unknown is no input of the rule itself. */
static struct figures figures_of(
	const struct permit_source *source, const struct finding *finding, const struct permit_unknown *unknown)
{
	struct judge_context context = judge_context_open(source->arena, source->catalogue, source->table, EVERY_CASE);
	struct variable variables[EXPRESSION_VARIABLES];
	struct evaluation evaluation = {.context = &context, .rule = finding->rule, .item = finding->item};
	struct figures figures = {.count = 0};
	bool within = *unknown->within != '\0';
	context.wordless = true;
	evaluation.operating_case = finding->operating_case == EVERY_CASE ? 0 : finding->operating_case;
	evaluation_bind(&evaluation);
	evaluation_name_variables(&evaluation, variables);
	for (size_t i = 0; i < finding->rule->input_count; i++) {
		const struct rule_input *input = &finding->rule->inputs[i];
		if (input->constant || evaluation.holders[i] != unknown->item ||
			strcmp(input->quantity, unknown->name) != 0)
			continue;
		uint32_t same = evaluation_same_quantity(&evaluation, i);
		struct domain domain = domain_of(source->arena, &evaluation, same, same,
			within ? unknown->least : -HUGE_VAL, within ? unknown->largest : HUGE_VAL);
		add_figures(&figures, &domain, unknown->kind);
		break;
	}
	evaluator_release(context.evaluator);
	return figures;
}

/* What is usual ends nowhere short of a figure that the rule compares with: a stress relief is hotter than any stream. */
static void widen(struct permit_unknown *unknown, const struct figures *figures)
{
	static const double room = 0.1,
			    edge = 1e-4; /* of the figure; of physics, by which rules write "none" (-273 degC) */
	double least, largest;
	kind_range(unknown->kind, &least, &largest);
	double margin = edge * (largest - least);
	for (size_t i = 0; i < figures->count && !*unknown->within; i++) {
		double figure = figures->rows[i], beyond = room * fabs(figure);
		if (!figures->border[i])
			continue;
		if (figure < unknown->least && figure > least + margin)
			unknown->least = fmax(least, figure - beyond);
		if (figure >= unknown->largest && figure < largest - margin)
			unknown->largest = fmin(largest, figure + beyond);
	}
}

/* Between the ends as far as the kind is spread. */
static double between(const struct permit_unknown *unknown, enum spread spread, double share)
{
	double least = unknown->least, largest = unknown->largest;
	if (spread == BY_RATIO && least > 0)
		return least * pow(largest / least, share);
	return least + share * (largest - least);
}

/* What another case states of it: where one owes a value, that is a place to begin, though no bound. NaN: no case does. */
static double of_another_case(const struct permit_source *source, const struct permit_unknown *unknown)
{
	for (int c = EVERY_CASE; c < (int)table_case_count(source->table); c++) {
		const struct quantity *value = table_stated(source->table, unknown->item, c, unknown->name);
		if (value && value->known != UNKNOWN && value->bound == BOUND_NONE && value->kind == unknown->kind)
			return value->si;
	}
	return (double)NAN;
}

static void fill_numbers(const struct permit_source *source, const struct finding *finding,
	struct permit_unknown *unknown, enum spread spread, bool *whole)
{
	static const double shares[] = {0, 0.25, 0.5, 0.75, 1};
	double *numbers = arena_alloc(source->arena, (NUMBERS_MOST + COUNT(shares) + 1) * sizeof *numbers);
	double elsewhere = of_another_case(source, unknown);
	const struct figures figures = figures_of(source, finding, unknown);
	*whole = *whole && figures.whole && figures.count > 0;
	widen(unknown, &figures);
	for (size_t i = 0; i < figures.count; i++)
		if (figures.rows[i] > unknown->least && figures.rows[i] < unknown->largest)
			numbers[unknown->count++] = figures.rows[i];
	for (size_t i = 0; i < COUNT(shares); i++)
		if (!figures.count || i == 0 || i + 1 == COUNT(shares))
			numbers[unknown->count++] = between(unknown, spread, shares[i]);
	if (elsewhere > unknown->least && elsewhere < unknown->largest)
		numbers[unknown->count++] = elsewhere;
	qsort(numbers, unknown->count, sizeof *numbers, by_size);
	size_t kept = 0;
	for (size_t i = 0; i < unknown->count; i++) {
		double one = unknown->kind == KIND_COUNT ? rint(numbers[i]) : numbers[i];
		if (!kept || one > numbers[kept - 1])
			numbers[kept++] = one;
	}
	unknown->count = kept;
	unknown->numbers = numbers;
}

static const struct estimate *estimate_of(
	const struct permit_source *source, const struct permit_unknown *unknown, int operating_case)
{
	for (size_t i = 0; source->reconciled && i < source->reconciled->count; i++) {
		const struct reconciliation *one = &source->reconciled->cases[i];
		if (operating_case == EVERY_CASE || one->operating_case == operating_case)
			return estimates_find(&one->estimates, unknown->item, unknown->name);
	}
	return NULL;
}

static bool accepts(const struct vocabulary_type *type, enum kind kind)
{
	for (size_t i = 0; i < type->accepted.count; i++)
		if (type->accepted.kinds[i] == kind)
			return true;
	return false;
}

static void narrow(struct permit_unknown *unknown, double least, double largest, const char *within)
{
	if (fmax(least, unknown->least) < fmin(largest, unknown->largest)) {
		unknown->least = fmax(least, unknown->least);
		unknown->largest = fmin(largest, unknown->largest);
		unknown->within = within;
	}
}

/* What bounds it: a statement ("<10 ppmw"), the circuit, schedules and physics. */
static void bound(const struct permit_source *source, const struct finding *finding, const struct vocabulary_type *type,
	struct permit_unknown *unknown)
{
	static const double deviations = 3; /* beyond which a balance that closes can hardly lie */
	int c = finding->operating_case == EVERY_CASE ? 0 : finding->operating_case;
	const struct quantity *value = table_peek(source->table, unknown->item, c, unknown->name);
	const struct estimate *estimate = estimate_of(source, unknown, finding->operating_case);
	if (estimate && accepts(type, estimate->kind)) {
		double reach = deviations * estimate->deviation;
		unknown->kind = estimate->kind;
		unknown->least = fmax(0, estimate->si - reach);
		unknown->largest = estimate->si + reach;
		unknown->within = "by the balances of the circuit";
	} else if (value && value->known != UNKNOWN && value->bound != BOUND_NONE && value->kind == unknown->kind) {
		narrow(unknown, value->bound == BOUND_ABOVE ? value->si : -HUGE_VAL,
			value->bound == BOUND_BELOW ? value->si : HUGE_VAL, "by what is stated");
	} else if (!value || value->known == UNKNOWN) {
		const struct quantity *open =
			value ? value : table_lacking(source->table, unknown->item, unknown->kind, unknown->name);
		struct possible possible = possible_values(source->table, unknown->item, c, unknown->name, open);
		if (possible.why)
			narrow(unknown, possible.least, possible.largest, possible.why);
	}
}

static bool fill_number(const struct permit_source *source, const struct finding *finding,
	const struct vocabulary_type *type, struct permit_unknown *unknown, bool *whole)
{
	enum spread spread = BY_DIFFERENCE;
	unknown->number = true;
	unknown->within = "";
	unknown->kind = type->accepted.kinds[source->kind_choice % type->accepted.count];
	unknown->least = (double)NAN;
	for (size_t i = 0; i < COUNT(usual); i++)
		if (usual[i].kind == unknown->kind) {
			unknown->least = usual[i].least;
			unknown->largest = usual[i].largest;
			spread = usual[i].spread;
		}
	if (isnan(unknown->least))
		return false;
	bound(source, finding, type, unknown);
	fill_numbers(source, finding, unknown, spread, whole);
	return unknown->count > 0;
}

/* ---- all that a finding lacks ---- */

static const char *add_missing(const struct permit_source *source, const struct finding *finding,
	const struct missing *missing, struct permit_unknowns *unknowns)
{
	const struct item *item = missing->item;
	const struct vocabulary_attribute *attribute = item && item->meaning && missing->quantity
		? attribute_of(source->arena, item, missing->quantity)
		: NULL;
	if (!attribute)
		return arena_format(source->arena, "no single value to fill in: %s", missing->reason);
	if (has(unknowns, item, attribute->name))
		return NULL;
	if (unknowns->count == PERMITS_UNKNOWNS)
		return "more is unknown than is filled in together";
	struct permit_unknown unknown = {.item = item, .name = attribute->name, .within = ""};
	enum kind kind = attribute->type->accepted.kinds[0];
	bool filled = kind_is_number(kind)
		? fill_number(source, finding, attribute->type, &unknown, &unknowns->whole)
		: fill_words(source, finding->operating_case == EVERY_CASE ? 0 : finding->operating_case,
			  attribute->type, &unknown, &unknowns->whole);
	if (!filled)
		return arena_format(source->arena, "no values to try of %s of %s", attribute->name, item->tag);
	unknowns->rows[unknowns->count++] = unknown;
	if (attribute->type->accepted.count > unknowns->kinds)
		unknowns->kinds = attribute->type->accepted.count;
	return NULL;
}

size_t permit_unknowns_add(
	const struct permit_source *source, const struct finding *finding, struct permit_unknowns *unknowns)
{
	size_t before = unknowns->count;
	for (size_t i = 0; i < finding->missing_count && !unknowns->why_not; i++)
		unknowns->why_not = add_missing(source, finding, &finding->missing[i], unknowns);
	return unknowns->count - before;
}

const char *permit_written(struct arena *arena, enum kind kind, double si)
{
	if (kind == KIND_COUNT)
		return arena_format(arena, "%.0f", si);
	return arena_format(arena, "%.6g %s", quantity_in(si, kind, kind_unit(kind)), kind_unit(kind));
}
