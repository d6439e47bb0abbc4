#include "reconcile/suspects.h"

#include <gsl/gsl_cdf.h>
#include <stdlib.h>
#include <string.h>

#include "reconcile/common_bias.h"

const double UNTESTABLE_REDUNDANCY = 0.002, WEAK_REDUNDANCY = 0.1;

static const double quantile_of = 0.80, normal_quantile = 1.28, least_kappa = 0.25;
static const double few = 10; /* statements: so many and less give no measure of their scatter but their own s */
static const double suspect_from = 4.75; /* score: of one sound simulated package in twenty at most */
enum { MOST_RIVALS = 8 };
static const double gross = 100; /* T from which rivals are tried */
static const double clearly = 0.05,
		    nothing = 1e-6; /* by how much J must fall further: relative, and where nothing is left of it */
static const double group_margin = 2, set_margin = 6, equivalent = 0.95;
static const double chance = 0.05, power_quantile = 0.84; /* 80 % power */

static double z_of(const struct fit *fit, size_t row)
{
	double r = fit_redundancy(fit, row);

	return r > UNTESTABLE_REDUNDANCY ? fit_residual(fit, row) / sqrt(r) : 0;
}

static bool testable(const struct fit *fit, size_t row)
{
	return statement_is_in(fit_row(fit, row)) && fit_redundancy(fit, row) > UNTESTABLE_REDUNDANCY;
}

static int by_size(const void *a, const void *b)
{
	double left = *(const double *)a, right = *(const double *)b;

	return (left > right) - (left < right);
}

/* ---- single and common biases ---- */

static double bias_of(const struct fit *fit, size_t row)
{
	double r = fit_redundancy(fit, row);

	return r > UNTESTABLE_REDUNDANCY ? fit_row(fit, row)->sigma * fit_residual(fit, row) / r : 0;
}

/* rho: how alike two biases look in the residuals. */
static double likeness(const struct fit *fit, size_t a, size_t b)
{
	double r = fit_redundancy(fit, a) * fit_redundancy(fit, b);

	return r > 0 ? -fit_leverage(fit, a, b) / sqrt(r) : 0;
}

/* ---- the first suspect of one solution ---- */

/* By how much s grows or shrinks where the package scatters by `kappa`: what printing rounds off stays. */
static double scaled(const struct fit_row *row, double kappa)
{
	double rounding = row->rounding / row->sigma;

	return sqrt(kappa * kappa * (1 - rounding * rounding) + rounding * rounding);
}

/* To thirty bits: two that explain as much differ in their last digits only, and these must not choose between them. */
static double to_compare(double number)
{
	enum { BITS = 30 };
	int exponent;
	double fraction = frexp(number, &exponent);

	return ldexp(rint(ldexp(fraction, BITS)), exponent - BITS);
}

/* The statement with the largest T over its scatter, of equals the last; its T in `statistic`. */
static size_t largest_single(const struct fit *fit, double kappa, double *statistic)
{
	double largest = 0;
	size_t found = fit_row_count(fit);

	*statistic = 0;
	for (size_t i = 0; i < fit_row_count(fit); i++) {
		double z = testable(fit, i) ? z_of(fit, i) : 0;
		double over = z / scaled(fit_row(fit, i), kappa), square = to_compare(over * over);
		if (square > 0 && square >= largest) {
			largest = square;
			*statistic = z * z;
			found = i;
		}
	}
	return found;
}

/* The quantity whose common bias explains more than any single one; false: none does. */
static bool largest_group(const struct quantities *quantities, double above, struct suspect *out)
{
	const struct fit *fit = quantities->fit;
	bool found = false;

	for (size_t i = 0; i < fit_row_count(fit); i++) {
		const struct fit_row *row = fit_row(fit, i);
		if (!statement_is_in(row) || quantities->all[quantities->first[i]].row != i)
			continue;
		const struct common *common = quantities->common[i];
		if (common->count < 2 || common->statistic <= above)
			continue;
		above = common->statistic;
		*out = (struct suspect){.of_group = true,
			.row = i,
			.z = copysign(sqrt(common->statistic), common->bias),
			.bias = common->bias,
			.variance = 1 / common->weight,
			.shared = row->sigma * row->sigma * (1 - 1 / (double)common->count)};
		found = true;
	}
	return found;
}

/* ---- the scatter of what is left ---- */

/* The |z| that the largest of so many exceeds by chance once in twenty. */
static double critical_of(const struct fit *fit)
{
	size_t count = 0;

	for (size_t i = 0; i < fit_row_count(fit); i++)
		count += testable(fit, i);
	return count ? gsl_cdf_ugaussian_Pinv(1 - (1 - pow(1 - chance, 1 / (double)count)) / 2) : (double)INFINITY;
}

/* Does the suspect take this statement with it? */
static bool is_of(const struct fit *fit, const struct suspect *suspect, size_t row)
{
	return row == suspect->row ||
		(suspect->of_group && fit_row(fit, row)->group == fit_row(fit, suspect->row)->group);
}

/*
 * |z| of a statement as it would be without the suspect, whose bias moves every residual; NaN of the suspect itself. To first
 * order in what the suspect moves: exact where the circuit is linear.
 */
static double z_without(const struct quantities *quantities, const struct suspect *suspect, size_t row)
{
	const struct fit *fit = quantities->fit;
	const struct statement *group = &quantities->all[quantities->first[suspect->row]];
	size_t count = suspect->of_group ? quantities->common[suspect->row]->count : 1;
	double share = 0;

	if (is_of(fit, suspect, row))
		return (double)NAN;
	for (size_t k = 0; k < count; k++) {
		size_t of = suspect->of_group ? group[k].row : suspect->row;
		share -= fit_leverage(fit, row, of) / fit_row(fit, of)->sigma;
	}
	double left = fit_redundancy(fit, row) - share * share * suspect->variance;
	return left > UNTESTABLE_REDUNDANCY ? fabs(fit_residual(fit, row) - suspect->bias * share) / sqrt(left)
					    : (double)NAN;
}

static double quantile(double *sizes, size_t count)
{
	qsort(sizes, count, sizeof *sizes, by_size);
	double at = quantile_of * (double)(count - 1);
	size_t below = (size_t)at, above = below + 1 < count ? below + 1 : below;
	return sizes[below] + (at - (double)below) * (sizes[above] - sizes[below]);
}

/* kappa: the scatter that the package shows without its suspect. */
static double scatter(struct arena *arena, const struct quantities *quantities, const struct suspect *without)
{
	const struct fit *fit = quantities->fit;
	double *sizes = arena_alloc(arena, (fit_row_count(fit) + 1) * sizeof *sizes);
	size_t count = 0;

	for (size_t i = 0; i < fit_row_count(fit); i++) {
		double z = testable(fit, i) ? z_without(quantities, without, i) : (double)NAN;
		if (isfinite(z))
			sizes[count++] = z;
	}
	double least = fmin(1, fmax(least_kappa, few / (double)(count + 1)));
	return count ? fmax(least, quantile(sizes, count) / normal_quantile) : 1;
}

/* ---- the suspect of one solution ---- */

static void add_member(struct suspect *suspect, const struct fit *fit, size_t row, double statistic, double bias)
{
	if (suspect->member_count < MOST_MEMBERS)
		suspect->members[suspect->member_count++] = (struct member){
			.row = row, .statistic = statistic, .bias = bias, .closing = fit_row(fit, row)->stated - bias};
}

/*
 * A statement as what could be meant in place of the suspect: by itself, or with all others of its value where these agree, as a figure
 * copied from sheet to sheet does; then none of them is accused alone, each being held by the others.
 */
static struct member rival(const struct fit *fit, size_t row, const struct common *common)
{
	double z = z_of(fit, row);

	if (common->count > 1 && common->statistic > z * z)
		return (struct member){.statistic = common->statistic, .bias = common->bias};
	return (struct member){.statistic = z * z, .bias = bias_of(fit, row)};
}

/* By how much of what it may be wrong by each would have to change: of several that explain as much the least is the likeliest. */
static void sort_rivals(struct suspect *suspect, const struct fit *fit)
{
	for (size_t i = 2; i < suspect->member_count; i++)
		for (size_t k = i; k > 1; k--) {
			struct member *one = &suspect->members[k - 1], *next = &suspect->members[k], held = *one;
			if (to_compare(fabs(one->bias) / fit_row(fit, one->row)->sigma) <=
				to_compare(fabs(next->bias) / fit_row(fit, next->row)->sigma))
				break;
			*one = *next;
			*next = held;
		}
}

/* The suspect itself, then what could be meant in its place. */
static void fill_members(struct suspect *suspect, const struct quantities *quantities)
{
	const struct fit *fit = quantities->fit;
	double top = suspect->z * suspect->z, margin = set_margin * fmin(1, suspect->kappa * suspect->kappa);

	add_member(suspect, fit, suspect->row, top, suspect->bias);
	for (size_t i = 0; i < fit_row_count(fit); i++) {
		if (i == suspect->row || !testable(fit, i))
			continue;
		bool same = suspect->of_group && fit_row(fit, i)->group == fit_row(fit, suspect->row)->group;
		struct member other = rival(fit, i, quantities->common[i]);
		if (same)
			add_member(suspect, fit, i, top, suspect->bias);
		else if (top - other.statistic <= margin || fabs(likeness(fit, suspect->row, i)) >= equivalent)
			add_member(suspect, fit, i, other.statistic, other.bias);
	}
	sort_rivals(suspect, fit);
}

/* Of a suspect whose kappa is known. */
static void weigh(const struct quantities *quantities, struct suspect *suspect)
{
	const struct fit *fit = quantities->fit;

	suspect->score = suspect->bias /
		(scaled(fit_row(fit, suspect->row), suspect->kappa) * sqrt(suspect->variance + suspect->shared));
	suspect->suspicious = fabs(suspect->score) > suspect_from;
	suspect->conflict = suspect->suspicious && fabs(suspect->z) > critical_of(fit);
	fill_members(suspect, quantities);
}

/* A statement by itself, with the scatter of the rest. */
static struct suspect single(struct arena *arena, const struct quantities *quantities, size_t row)
{
	const struct fit *fit = quantities->fit;
	double sigma = fit_row(fit, row)->sigma;
	struct suspect suspect = {.row = row,
		.z = z_of(fit, row),
		.bias = bias_of(fit, row),
		.variance = sigma * sigma / fmax(fit_redundancy(fit, row), UNTESTABLE_REDUNDANCY)};

	suspect.kappa = scatter(arena, quantities, &suspect);
	return suspect;
}

static void suspect_row(struct arena *arena, const struct fit *fit, size_t row, struct suspect *out)
{
	const struct quantities quantities = quantities_of(arena, fit);

	*out = single(arena, &quantities, row);
	weigh(&quantities, out);
}

bool suspects_first(struct arena *arena, const struct fit *fit, struct suspect *out)
{
	double statistic;
	size_t row = largest_single(fit, 1, &statistic);

	if (row == fit_row_count(fit))
		return false;
	const struct quantities quantities = quantities_of(arena, fit);
	*out = single(arena, &quantities, row);
	row = largest_single(fit, out->kappa, &statistic);
	if (largest_group(&quantities, statistic + group_margin, out))
		out->kappa = scatter(arena, &quantities, out);
	else if (row != out->row)
		*out = single(arena, &quantities, row);
	weigh(&quantities, out);
	return true;
}

/* ---- elimination ---- */

static void leave_out(struct fit *fit, const struct suspect *suspect, bool removed)
{
	fit_remove(fit, suspect->row, removed);
	for (size_t i = 0; suspect->of_group && i < suspect->member_count; i++)
		if (fit_row(fit, suspect->members[i].row)->group == fit_row(fit, suspect->row)->group)
			fit_remove(fit, suspect->members[i].row, removed);
}

/* Does the rest, with its other suspects left out, bear out what was removed? */
static bool borne_out(struct arena *arena, const struct fit *fit, const struct suspect *suspect)
{
	struct suspect next;
	double kappa = suspects_first(arena, fit, &next) ? next.kappa : suspect->kappa;
	double spread = hypot(1, fit_prediction_sd(fit, suspect->row));

	return fabs(fit_residual(fit, suspect->row)) / spread <= suspect_from * kappa;
}

static void reinstate(struct arena *arena, struct fit *fit, struct suspects *out)
{
	for (size_t i = out->found_count; i-- > 0 && out->found_count > 1;) {
		if (!borne_out(arena, fit, &out->found[i]))
			continue;
		leave_out(fit, &out->found[i], false);
		fit_solve(fit);
		memmove(&out->found[i], &out->found[i + 1], (out->found_count - i - 1) * sizeof *out->found);
		out->found_count--;
	}
}

/* A statement left out by itself: J of the rest, and what it would have to say. */
struct rival {
	size_t row;
	double objective, closing;
};

/* Solved again from where the solution is now; the solution stays there. */
static struct rival without(struct arena *arena, struct fit *fit, size_t row)
{
	double *here = arena_alloc(arena, (fit_unknown_count(fit) + 1) * sizeof *here);
	struct rival rival = {.row = row};

	for (size_t i = 0; i < fit_unknown_count(fit); i++)
		here[i] = fit_at(fit, i);
	fit_remove(fit, row, true);
	rival.objective = fit_settle(fit).objective;
	rival.closing = fit_model(fit, row);
	fit_remove(fit, row, false);
	fit_move(fit, here);
	return rival;
}

static int by_statistic(const void *a, const void *b)
{
	const struct rival *left = a, *right = b;

	double of_left = to_compare(left->objective), of_right = to_compare(right->objective);

	if (of_left != of_right)
		return of_left < of_right ? 1 : -1;
	return (left->row < right->row) - (left->row > right->row);
}

/*
 * The statements with the largest T, MOST_RIVALS at most, their T in `objective`; and as many that nothing tests where the solution
 * is: a content printed ten times too small hides after what it is compared with.
 */
static struct rival *gather_rivals(struct arena *arena, const struct fit *fit, size_t *count)
{
	struct rival *all = arena_alloc(arena, (fit_row_count(fit) + 1) * sizeof *all);

	*count = 0;
	for (size_t i = 0; i < fit_row_count(fit); i++)
		if (testable(fit, i))
			all[(*count)++] = (struct rival){.row = i, .objective = z_of(fit, i) * z_of(fit, i)};
	qsort(all, *count, sizeof *all, by_statistic);
	*count = *count < MOST_RIVALS ? *count : MOST_RIVALS;
	size_t most = *count + MOST_RIVALS;
	for (size_t i = 0; i < fit_row_count(fit) && *count < most; i++)
		if (statement_is_in(fit_row(fit, i)) && !testable(fit, i))
			all[(*count)++] = (struct rival){.row = i};
	return all;
}

/* The best rival first, then those without which the rest closes as well. */
static void set_members(
	struct suspect *suspect, const struct fit *fit, const struct rival *rivals, size_t count, size_t best)
{
	suspect->member_count = 0;
	for (size_t k = 0; k < count; k++) {
		const struct rival *rival = &rivals[k == 0 ? best : k <= best ? k - 1 : k];
		if (rival->objective <= rivals[best].objective + set_margin)
			add_member(suspect, fit, rival->row, suspect->z * suspect->z,
				fit_row(fit, rival->row)->stated - rival->closing);
	}
}

/*
 * A gross error bends the circuit so far that the first order misleads: of the statements with the largest T the one without which
 * the rest closes best, by solving again.
 */
static void try_rivals(struct arena *arena, struct fit *fit, struct suspect *suspect)
{
	size_t count, best = 0;
	struct rival *rivals = gather_rivals(arena, fit, &count);

	for (size_t k = 0; k < count; k++) {
		rivals[k] = without(arena, fit, rivals[k].row);
		if (rivals[k].objective < rivals[best].objective * (1 - clearly) - nothing)
			best = k;
	}
	double fall = fit_solve(fit).objective - rivals[best].objective;
	if (rivals[best].row != suspect->row)
		suspect_row(arena, fit, rivals[best].row, suspect);
	suspect->z = copysign(sqrt(fmax(fall, 0)), fit_row(fit, suspect->row)->stated - rivals[best].closing);
	suspect->score = suspect->z / scaled(fit_row(fit, suspect->row), suspect->kappa);
	suspect->suspicious = true;
	suspect->conflict = fabs(suspect->z) > critical_of(fit);
	set_members(suspect, fit, rivals, count, best);
}

/* What the suspect would have to say by the solution without it, not to first order. */
static void close_exactly(const struct fit *fit, struct suspect *suspect)
{
	struct member *member = &suspect->members[0];

	member->closing = fit_model(fit, member->row);
	member->bias = fit_row(fit, member->row)->stated - member->closing;
}

/* What the whole package says of each statement. */
static void examine(struct arena *arena, const struct fit *fit, struct suspects *out)
{
	out->rows = arena_alloc(arena, (fit_row_count(fit) + 1) * sizeof *out->rows);
	out->critical = critical_of(fit);
	for (size_t i = 0; i < fit_row_count(fit); i++) {
		if (fit_row(fit, i)->sort != FIT_STATEMENT)
			continue;
		double r = fit_redundancy(fit, i);
		out->rows[out->row_count++] = (struct examined){.row = i,
			.model = fit_model(fit, i),
			.redundancy = r,
			.z = z_of(fit, i),
			.bias = bias_of(fit, i),
			.smallest = (out->critical + power_quantile) * fit_row(fit, i)->sigma / sqrt(fmax(r, 0)),
			.testable = testable(fit, i),
			.weak = r < WEAK_REDUNDANCY};
	}
}

struct suspects suspects_find(struct arena *arena, struct fit *fit)
{
	struct suspects out = {.first = fit_solve(fit)};

	out.found = arena_alloc(arena, MOST_SUSPECTS * sizeof *out.found);
	out.determined = arena_alloc(arena, (fit_unknown_count(fit) + 1) * sizeof *out.determined);
	if (!isfinite(out.first.objective))
		return out;
	examine(arena, fit, &out);
	out.null_space = fit_null_space(fit, out.determined);
	out.kappa = 1;
	out.sure = out.first.converged;
	for (struct suspect next; suspects_first(arena, fit, &next);) {
		out.kappa = next.kappa;
		if (!next.suspicious || out.found_count == MOST_SUSPECTS)
			break;
		bool is_gross = next.z * next.z > gross && !next.of_group;
		if (is_gross)
			try_rivals(arena, fit, &next);
		out.found[out.found_count++] = next;
		leave_out(fit, &next, true);
		struct fit_end rest = fit_solve(fit);
		out.sure = out.sure || (is_gross && rest.converged);
		if (!isfinite(rest.objective))
			break;
		if (!next.of_group)
			close_exactly(fit, &out.found[out.found_count - 1]);
	}
	reinstate(arena, fit, &out);
	return out;
}
