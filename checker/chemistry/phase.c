#include "chemistry/phase.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"

enum { VOLATILES = GAS_COUNT + 1, WATER = GAS_COUNT, FLASH_STEPS = 60, FLASH_HALVINGS = 14, BUBBLE_STEPS = 100 };

double phase_bubble_pressure(const struct terms *terms, const struct solution_input *input)
{
	struct solution solution;

	return solution_solve(terms, input, &solution) ? solution_pressure(&solution) : (double)NAN;
}

/* ln of the bubble pressure against 1/T is nearly straight: regula falsi with halving needs few steps. */
double phase_bubble_temperature(const struct terms *terms, const struct solution_input *input, double pressure)
{
	struct solution_input at = *input;
	double x[2] = {1 / DOMAIN_HIGHEST_TEMPERATURE, 1 / DOMAIN_LOWEST_TEMPERATURE}, f[2];
	int last = -1;

	for (int i = 0; i < 2; i++) {
		at.temperature = i == 0 ? DOMAIN_HIGHEST_TEMPERATURE : DOMAIN_LOWEST_TEMPERATURE;
		f[i] = log(phase_bubble_pressure(terms, &at) / pressure);
	}
	if (!(f[0] >= 0 && f[1] <= 0))
		return (double)NAN;
	for (int i = 0; i < BUBBLE_STEPS; i++) {
		double middle = (x[0] * f[1] - x[1] * f[0]) / (f[1] - f[0]), value;
		int side;

		at.temperature = 1 / middle;
		value = log(phase_bubble_pressure(terms, &at) / pressure);
		if (isnan(value))
			return (double)NAN;
		if (fabs(value) < BUBBLE_TOLERANCE)
			return at.temperature;
		side = value > 0 ? 0 : 1;
		x[side] = middle;
		f[side] = value;
		if (side == last)
			f[1 - side] /= 2;
		last = side;
	}
	return (double)NAN;
}

double phase_heat_of_desorption(const struct terms *terms, const struct solution_input *input, enum gas gas)
{
	struct solution_input at = *input;
	struct solution low, high;
	const double step = HEAT_TEMPERATURE_STEP;

	if (at.loading[gas] == 0)
		at.loading[gas] = HEAT_TRACE_LOADING;
	at.temperature = input->temperature - step;
	if (!solution_solve(terms, &at, &low))
		return (double)NAN;
	at.temperature = input->temperature + step;
	if (!solution_solve(terms, &at, &high))
		return (double)NAN;
	return -GAS_CONSTANT * log(high.partial_pressure[gas] / low.partial_pressure[gas]) /
		(1 / (input->temperature + step) - 1 / (input->temperature - step));
}

/* Flash */

struct split {
	const struct terms *terms;
	struct solution_input feed;
	double amount[VOLATILES]; /* mol per mol amine in all: H2S, CO2, water */
	double amine_mass;	  /* kg per mol */
	double inert, pressure;
	bool present[VOLATILES];
	double vapour[VOLATILES];
	struct solution liquid;
	bool solved; /* `liquid` holds one to start the next from */
};

/* So little apart that a search from one for the other is shorter than one from a start of its own. */
static bool is_near(const struct solution_input *a, const struct solution_input *b)
{
	bool near = fabs(a->temperature - b->temperature) < FLASH_NEAR_TEMPERATURE;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		near = near && fabs(a->loading[gas] - b->loading[gas]) <= FLASH_NEAR_LOADING * b->loading[gas];
	return near;
}

/* What the liquid is when `vapour` has left it. */
static bool drain(struct split *split)
{
	struct solution_input input = split->feed;
	double water = (split->amount[WATER] - split->vapour[WATER]) * MOLAR_MASS_WATER;
	double total = split->amine_mass + water, before = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		before += split->feed.mass_fraction[i];
	for (size_t i = 0; i < AMINE_COUNT; i++)
		input.mass_fraction[i] = split->feed.mass_fraction[i] / before * split->amine_mass / total;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		input.loading[gas] = split->amount[gas] - split->vapour[gas];
	const struct solution last = split->liquid;
	split->solved = split->solved && is_near(&input, &last.input)
		? solution_near(split->terms, &input, &last, &split->liquid)
		: solution_solve(split->terms, &input, &split->liquid);
	return split->solved;
}

static double liquid_pressure(const struct split *split, size_t i)
{
	return i == WATER ? split->liquid.water_pressure : split->liquid.partial_pressure[i];
}

/* Where q = ln(vapour/liquid) of each: residuals ln(p_i/(y_i P)). */
static bool evaluate(struct split *split, const double *q, double *residual)
{
	double total = split->inert;

	for (size_t i = 0; i < VOLATILES; i++) {
		split->vapour[i] = split->present[i] ? split->amount[i] / (1 + exp(-q[i])) : 0;
		total += split->vapour[i];
	}
	if (!drain(split))
		return false;
	for (size_t i = 0; i < VOLATILES; i++)
		residual[i] = split->present[i]
			? log(liquid_pressure(split, i) * total / (split->vapour[i] * split->pressure))
			: 0;
	return true;
}

static double norm(const double *residual)
{
	return fmax(fabs(residual[0]), fmax(fabs(residual[1]), fabs(residual[2])));
}

/* Cramer's rule on the three residuals; false where singular. */
static bool solve_three(double (*a)[VOLATILES], const double *b, double *x)
{
	double c0 = a[1][1] * a[2][2] - a[1][2] * a[2][1], c1 = a[1][2] * a[2][0] - a[1][0] * a[2][2];
	double c2 = a[1][0] * a[2][1] - a[1][1] * a[2][0];
	double det = a[0][0] * c0 + a[0][1] * c1 + a[0][2] * c2;

	if (!(fabs(det) > SINGULAR_PIVOT))
		return false;
	x[0] = (b[0] * c0 + a[0][1] * (a[1][2] * b[2] - b[1] * a[2][2]) + a[0][2] * (b[1] * a[2][1] - a[1][1] * b[2])) /
		det;
	x[1] = (a[0][0] * (b[1] * a[2][2] - a[1][2] * b[2]) + b[0] * c1 + a[0][2] * (a[1][0] * b[2] - b[1] * a[2][0])) /
		det;
	x[2] = (a[0][0] * (a[1][1] * b[2] - b[1] * a[2][1]) + a[0][1] * (b[1] * a[2][0] - a[1][0] * b[2]) + b[0] * c2) /
		det;
	return isfinite(x[0]) && isfinite(x[1]) && isfinite(x[2]);
}

/* The start: what the pressures over the feed itself would carry, V from sum n K V/(1 + K V) + inert = V. */
static void guess(const struct split *split, double *q)
{
	double k[VOLATILES], low = log(1e-12), high = log(1e6);

	for (size_t i = 0; i < VOLATILES; i++)
		k[i] = split->present[i] ? liquid_pressure(split, i) / (split->pressure * split->amount[i]) : 0;
	for (int step = 0; step < 60; step++) {
		double middle = (low + high) / 2, v = exp(middle), sum = split->inert;

		for (size_t i = 0; i < VOLATILES; i++)
			sum += split->amount[i] * k[i] * v / (1 + k[i] * v);
		if (sum > v)
			low = middle;
		else
			high = middle;
	}
	for (size_t i = 0; i < VOLATILES; i++)
		q[i] = split->present[i] ? log(k[i]) + low : 0;
}

struct search {
	struct split *split;
	double q[VOLATILES], residual[VOLATILES], slopes[VOLATILES][VOLATILES]; /* d residual i / d q j */
	bool measured; /* the slopes were measured at q itself, not carried along */
};

static bool measure_slopes(struct search *search)
{
	const double nudge = FLASH_NUDGE;
	double next[VOLATILES], fresh[VOLATILES];

	for (size_t j = 0; j < VOLATILES; j++) {
		for (size_t i = 0; i < VOLATILES; i++) {
			next[i] = search->q[i] + (i == j ? nudge : 0);
			search->slopes[i][j] = i == j;
		}
		if (!search->split->present[j])
			continue;
		if (!evaluate(search->split, next, fresh))
			return false;
		for (size_t i = 0; i < VOLATILES; i++)
			if (search->split->present[i])
				search->slopes[i][j] = (fresh[i] - search->residual[i]) / nudge;
	}
	search->measured = true;
	return true;
}

/* Takes the point over and corrects the slopes along the step by what was found there (Broyden's update). */
static void move(struct search *search, const double *next, const double *fresh)
{
	double step[VOLATILES], square = 0;

	for (size_t k = 0; k < VOLATILES; k++) {
		step[k] = next[k] - search->q[k];
		square += step[k] * step[k];
	}
	for (size_t i = 0; i < VOLATILES && square > 0; i++) {
		double missed = fresh[i] - search->residual[i];

		for (size_t j = 0; j < VOLATILES; j++)
			missed -= search->slopes[i][j] * step[j];
		for (size_t j = 0; j < VOLATILES; j++)
			search->slopes[i][j] += missed * step[j] / square;
	}
	memcpy(search->q, next, sizeof search->q);
	memcpy(search->residual, fresh, sizeof search->residual);
	search->measured = false;
}

/* One step on q, shortened until the residual falls; along slopes that were carried it has to fall to a half at once. */
static bool improve(struct search *search)
{
	double step[VOLATILES], next[VOLATILES], fresh[VOLATILES];
	double least = norm(search->residual) / (search->measured ? 1 : 2), whole;

	if (!solve_three(search->slopes, search->residual, step))
		return false;
	whole = fmin(1, FLASH_LARGEST_STEP / (norm(step) + SINGULAR_PIVOT));
	for (int i = 0; i < (search->measured ? FLASH_HALVINGS : 1); i++) {
		for (size_t k = 0; k < VOLATILES; k++)
			next[k] = search->q[k] - ldexp(whole, -i) * step[k];
		if (!evaluate(search->split, next, fresh) || !(norm(fresh) < least))
			continue;
		move(search, next, fresh);
		return true;
	}
	return false;
}

/* From a start; without slopes yet the first step fails and has them measured. */
static bool find_split(struct split *split, const double *start)
{
	struct search search = {.split = split};

	memcpy(search.q, start, sizeof search.q);
	if (!evaluate(split, search.q, search.residual))
		return false;
	for (int i = 0; i < FLASH_STEPS && norm(search.residual) > FLASH_TOLERANCE; i++)
		if (!improve(&search) && (search.measured || !measure_slopes(&search)))
			return false;
	return norm(search.residual) <= FLASH_TOLERANCE; /* what was evaluated last is what was found */
}

static void open_split(struct split *split, const struct terms *terms, const struct solution_input *feed, double inert,
	double pressure)
{
	double amine = 0, mass = 0;

	*split = (struct split){.terms = terms, .feed = *feed, .inert = inert, .pressure = pressure};
	for (size_t i = 0; i < AMINE_COUNT; i++) {
		mass += feed->mass_fraction[i];
		amine += feed->mass_fraction[i] / amine_rows[i].molar_mass;
	}
	split->amine_mass = mass / amine;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		split->amount[gas] = feed->loading[gas];
	split->amount[WATER] = (1 - mass) / MOLAR_MASS_WATER / amine;
	for (size_t i = 0; i < VOLATILES; i++)
		split->present[i] = split->amount[i] > 0;
}

/* Does the strongest solution that the chemistry takes, without any gas, still boil? Then no liquid of it is at rest there. */
static bool boils_dry(const struct split *split)
{
	struct solution_input strongest = split->feed;
	double mass = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		mass += strongest.mass_fraction[i];
	for (size_t i = 0; i < AMINE_COUNT; i++)
		strongest.mass_fraction[i] *= (DOMAIN_HIGHEST_STRENGTH - FLASH_NUDGE) / mass;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		strongest.loading[gas] = 0;
	return phase_bubble_pressure(split->terms, &strongest) > split->pressure;
}

/* From a flash nearby of as much feed. False: it holds no vapour, or nothing was found from there. */
static bool split_near(struct split *split, const struct flash *near)
{
	double q[VOLATILES] = {0};

	if (near->fault != SOLUTION_FINE || !near->vapour)
		return false;
	for (size_t i = 0; i < VOLATILES; i++) {
		double vapour = i == WATER ? near->water : near->gas[i];
		if (split->present[i])
			q[i] = log(vapour / (split->amount[i] - vapour));
		if (!isfinite(q[i]))
			return false;
	}
	split->liquid = near->liquid;
	split->solved = true;
	return find_split(split, q);
}

static bool split_anew(struct split *split)
{
	double q[VOLATILES];

	guess(split, q);
	split->solved = true;
	return find_split(split, q);
}

static void report(const struct split *split, struct flash *out)
{
	out->liquid = split->liquid;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		out->gas[gas] = split->vapour[gas];
	out->water = split->vapour[WATER];
}

bool phase_flash_near(const struct terms *terms, const struct solution_input *feed, double pressure,
	const struct flash *near, struct flash *out)
{
	struct split split;

	open_split(&split, terms, feed, 0, pressure);
	if (!(pressure > 0 && pressure <= DOMAIN_HIGHEST_PRESSURE) || !split_near(&split, near))
		return phase_flash(terms, feed, 0, pressure, out);
	*out = (struct flash){.vapour = true};
	report(&split, out);
	return true;
}

bool phase_flash(
	const struct terms *terms, const struct solution_input *feed, double inert, double pressure, struct flash *out)
{
	struct split split;

	*out = (struct flash){.inert = inert};
	open_split(&split, terms, feed, inert, pressure);
	if (!(pressure > 0 && pressure <= DOMAIN_HIGHEST_PRESSURE && inert >= 0)) {
		out->fault = SOLUTION_PRESSURE_RANGE;
		return false;
	}
	if (!solution_solve(terms, feed, &split.liquid)) {
		out->fault = split.liquid.fault;
		return false;
	}
	out->vapour = inert > 0 || solution_pressure(&split.liquid) > pressure;
	if (out->vapour && !split_anew(&split)) {
		*out = (struct flash){.fault = boils_dry(&split) ? SOLUTION_BOILS_DRY : SOLUTION_NOT_CONVERGED,
			.water = (double)NAN,
			.inert = (double)NAN,
			.gas = {(double)NAN, (double)NAN}};
		return false;
	}
	report(&split, out);
	return true;
}
