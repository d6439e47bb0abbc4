#include "judge/claim_figure.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/formula.h"
#include "resolve/resolve.h"

/* The kinds in which a figure for the value may be written: those of its SI unit, its own first. */
static struct accepted kinds_like(enum kind kind)
{
	struct accepted accepted = {.kinds = {kind}, .count = 1};
	const size_t most = COUNT(accepted.kinds);
	for (int other = 0; other < QUANTITY_KINDS && accepted.count < most; other++)
		if (other != (int)kind && kind_is_number((enum kind)other) &&
			strcmp(kind_si((enum kind)other), kind_si(kind)) == 0)
			accepted.kinds[accepted.count++] = (enum kind)other;
	return accepted;
}

static double barometric(const struct table *table)
{
	const struct item *basis = table_sole(table, "basis");
	const struct quantity *pressure = basis ? table_get(table, basis, EVERY_CASE, "barometric-pressure") : NULL;
	return pressure && pressure->known != UNKNOWN ? pressure->si : STANDARD_BAROMETRIC_PRESSURE;
}

static double figure(const struct table *table, const struct item *by, const char *name, enum kind kind)
{
	const struct quantity *text = table_get(table, by, EVERY_CASE, name);
	struct problems unheard = {.arena = table_arena(table)}; /* told of when claims are checked */
	struct quantity read;
	if (!text || text->known == UNKNOWN || !text->word || !kind_is_number(kind) ||
		!quantity_parse(table_arena(table), text->word, name, kinds_like(kind), barometric(table), text->place,
			&unheard, &read))
		return (double)NAN;
	return read.si;
}

struct figures claim_figures(const struct table *table, const struct item *by, enum kind kind)
{
	return (struct figures){.least = figure(table, by, "at-least", kind),
		.most = figure(table, by, "at-most", kind),
		.is = kind_is_number(kind) ? NULL : table_word(table, by, EVERY_CASE, "is")};
}

bool figures_any(const struct figures *figures)
{
	return !isnan(figures->least) || !isnan(figures->most) || figures->is;
}

/* What a calculated value is uncertain by on the side of the figure. */
static double figure_uncertainty(const struct quantity *value, double limit)
{
	return value->known == COMPUTED && value->formula != &formulas[FORMULA_TAKEN] ? quantity_reach(value, limit)
										      : 0;
}

static enum truth on_side(const struct quantity *value, double limit, bool at_most)
{
	if (fabs(value->si - limit) < figure_uncertainty(value, limit))
		return PERHAPS;
	const double equal = 1e-9; /* of the larger, as rules compare: 1.8 wt% and 18000 ppmw are one */
	double over = at_most ? value->si - limit : limit - value->si;
	bool beyond = over > equal * fmax(fabs(value->si), fabs(limit));
	enum bound towards = at_most ? BOUND_ABOVE : BOUND_BELOW, away = at_most ? BOUND_BELOW : BOUND_ABOVE;
	if (beyond)
		return value->bound == away ? PERHAPS : NO;
	return value->bound == towards ? PERHAPS : YES;
}

static bool is_among(const char *words, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = words; *at;) {
		size_t span = strcspn(at, "|");
		const char *first = at + strspn(at, " ");
		size_t own = first < at + span ? (size_t)(at + span - first) : 0;
		while (own && first[own - 1] == ' ')
			own--;
		if (own == length && strncmp(first, word, length) == 0)
			return true;
		at += span + (at[span] == '|');
	}
	return false;
}

struct held figures_hold(const struct figures *figures, const struct quantity *value)
{
	struct held held = {.holds = PERHAPS, .beyond = (double)NAN};
	if (!kind_is_number(value->kind)) {
		const char *word = value->word;
		if (value->kind == KIND_YES_NO)
			word = value->si > 0 ? "yes" : "no";
		if (figures->is && word)
			held.holds = is_among(figures->is, word) ? YES : NO;
		return held;
	}
	if (isnan(figures->least) && isnan(figures->most))
		return held;
	held.holds = truth_and(isnan(figures->most) ? YES : on_side(value, figures->most, true),
		isnan(figures->least) ? YES : on_side(value, figures->least, false));
	held.beyond =
		fmax(value->si - figures->most, figures->least - value->si); /* of one that is not stated: the other */
	return held;
}
