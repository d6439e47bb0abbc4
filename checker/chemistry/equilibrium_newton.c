#include "chemistry/equilibrium.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"

/*
 * Newton on the logarithms of all molalities. The slopes leave out what H+ and the dissolved gases do to activity
 * coefficients and water (the gases through the water alone, two per cent at a mol/kg): steps converge a little slower
 * there, to the same residuals.
 */

enum { PLACE = SPECIES_AM_2 - SPECIES_AM, UNKNOWNS = EQUILIBRIUM_UNKNOWNS };

typedef double row[UNKNOWNS];

/* The left-hand sides; then factored. */
struct slopes {
	size_t unknown_count, folded_count;
	row matrix[UNKNOWNS]; /* the equations; then their factors */
	size_t pivot[UNKNOWNS];
	/* a folded species: its step is folded . steps - its right-hand side; it is in one balance with a share */
	row folded[EQUILIBRIUM_FOLDED];
	double share[EQUILIBRIUM_FOLDED];
	size_t into[EQUILIBRIUM_FOLDED];
};

/* What one step of a state is taken from. */
struct step {
	double x[SPECIES_COUNT];	/* ln of the molalities */
	size_t column[SPECIES_COUNT];	/* where an unknown is */
	double m[UNKNOWNS];		/* the molalities of the unknowns */
	double by_water[SPECIES_COUNT]; /* d ln a_w/dm */
	double right[UNKNOWNS], folded_right[EQUILIBRIUM_FOLDED];
};

static void open_step(const struct equilibrium *e, struct step *step)
{
	for (size_t k = 0; k < e->unknown_count; k++)
		step->x[e->unknown[k]] = log(e->molality[e->unknown[k]]);
	for (size_t f = 0; f < e->folded_count; f++)
		step->x[e->folded_away[f]] = log(e->molality[e->folded_away[f]]);
}

/* Right-hand sides; the rows in the order in which slopes() fills them: reactions, H2S, CO2, amines, charge. */

static double missing(const struct equilibrium *e, const struct mass_action *reaction, const double *x)
{
	const struct coefficients *c = &e->coefficients;
	double sum = reaction->ln_constant - reaction->water * c->ln_water;

	for (int s = 0; s < reaction->parts; s++)
		sum -= reaction->nu[s] * (x[reaction->species[s]] + c->ln_gamma[reaction->species[s]]);
	return sum;
}

static double missing_gas(const struct equilibrium *e, enum gas gas, const double *x)
{
	const double *m = e->molality;
	enum species molecular = equilibrium_molecular(gas);

	if (e->by_pressure[gas])
		return e->ln_molecular[gas] - x[molecular] - e->coefficients.ln_gamma[molecular];
	return 1 -
		(gas == GAS_H2S ? m[SPECIES_H2S] + m[SPECIES_HS]
				: m[SPECIES_CO2] + m[SPECIES_HCO3] + m[SPECIES_CO3] + m[SPECIES_AMCOO] +
					m[SPECIES_AMCOO_2]) /
		e->gas[gas];
}

static double positive_charge(const double *m)
{
	return m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2] + m[SPECIES_CATION];
}

static double missing_charge(const double *m)
{
	double negative = m[SPECIES_OH] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_HS] + m[SPECIES_AMCOO] +
		m[SPECIES_AMCOO_2] + m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2];

	return negative / positive_charge(m) - 1;
}

static double larger(double most, double of)
{
	return fabs(of) > most ? fabs(of) : most;
}

/* Returns the largest of them; NaN where one is not a number. */
static double residuals(const struct equilibrium *e, struct step *step)
{
	const double *m = e->molality;
	size_t r = 0;
	double sum = 0, most = 0;

	for (size_t f = 0; f < e->folded_count; f++) {
		step->folded_right[f] = missing(e, &e->folded[f], step->x);
		most = larger(most, step->folded_right[f]);
		sum += step->folded_right[f];
	}
	for (size_t k = 0; k < e->reaction_count; k++)
		step->right[r++] = missing(e, &e->reactions[k], step->x);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		if (e->present[gas])
			step->right[r++] = missing_gas(e, gas, step->x);
	for (size_t p = 0; p < e->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		step->right[r++] = 1 - (m[am] + m[am + 1] + m[am + 2]) / e->amine[p];
	}
	step->right[r++] = missing_charge(m);
	for (size_t k = 0; k < r; k++) {
		most = larger(most, step->right[k]);
		sum += step->right[k];
	}
	return isnan(sum) ? (double)NAN : most;
}

/* Left-hand sides */

/* d ln a_w/dm_k = -M_w [1 + sum m_i d ln gamma_i/dm_k] (Gibbs and Duhem) */
static void water_slopes(const struct equilibrium *e, double *slope)
{
	activity_slopes(&e->activity, &e->coefficients, e->molality, slope);
	for (size_t k = 0; k < SPECIES_COUNT; k++)
		slope[k] = -MOLAR_MASS_WATER * (1 + slope[k]);
}

/* Of one reaction, its folded species left out. */
static void reaction_slopes(
	const struct equilibrium *e, const struct mass_action *reaction, int first, const struct step *step, double *to)
{
	double slope[SPECIES_COUNT], water = reaction->water;

	activity_slopes_of(&e->activity, &e->coefficients, reaction->species, reaction->nu, reaction->parts, slope);
	for (size_t k = 0; k < e->unknown_count; k++)
		to[k] = step->m[k] * (slope[e->unknown[k]] + water * step->by_water[e->unknown[k]]);
	for (int s = first; s < reaction->parts; s++)
		to[step->column[reaction->species[s]]] += reaction->nu[s];
}

/* A folded species in a balance: its own equation says what its step is. */
static void unfold(struct slopes *slopes, size_t f, double share, size_t into)
{
	for (size_t k = 0; k < slopes->unknown_count; k++)
		slopes->matrix[into][k] += share * slopes->folded[f][k];
	slopes->share[f] = share;
	slopes->into[f] = into;
}

static void add_share(
	const struct equilibrium *e, const struct step *step, enum species species, double over, double *to)
{
	to[step->column[species]] = e->molality[species] * over;
}

static void gas_slopes(
	const struct equilibrium *e, const struct step *step, enum gas gas, size_t f, size_t r, struct slopes *slopes)
{
	double over = 1 / e->gas[gas], *to = slopes->matrix[r];

	for (size_t k = 0; k < e->unknown_count; k++)
		to[k] = 0;
	if (e->by_pressure[gas]) {
		unfold(slopes, f, 1, r);
		return;
	}
	if (gas == GAS_H2S) {
		add_share(e, step, SPECIES_HS, over, to);
	} else {
		add_share(e, step, SPECIES_HCO3, over, to);
		add_share(e, step, SPECIES_CO3, over, to);
		for (size_t p = 0; p < e->amine_count; p++)
			if (e->forms_carbamate[p])
				add_share(e, step, (enum species)(SPECIES_AMCOO + p * PLACE), over, to);
	}
	unfold(slopes, f, e->molality[equilibrium_molecular(gas)] * over, r);
}

static void amine_slopes(const struct equilibrium *e, const struct step *step, size_t place, double *to)
{
	for (size_t k = 0; k < e->unknown_count; k++)
		to[k] = 0;
	for (size_t k = 0; k < (e->forms_carbamate[place] ? PLACE : PLACE - 1); k++)
		add_share(e, step, (enum species)(SPECIES_AM + place * PLACE + k), 1 / e->amine[place], to);
}

static void charge_slopes(const struct equilibrium *e, const struct step *step, size_t r, struct slopes *slopes)
{
	double over = 1 / positive_charge(e->molality);

	for (size_t k = 0; k < e->unknown_count; k++)
		slopes->matrix[r][k] = species_rows[e->unknown[k]].charge * step->m[k] * over;
	unfold(slopes, 0, e->molality[SPECIES_H] * over, r);
}

/* The left-hand sides; H+ is folded first, then the gases in the order CO2, H2S. */
static void fill_slopes(const struct equilibrium *e, struct step *step, struct slopes *slopes)
{
	size_t r = 0;

	slopes->unknown_count = e->unknown_count;
	slopes->folded_count = e->folded_count;
	for (size_t k = 0; k < e->unknown_count; k++) {
		step->column[e->unknown[k]] = k;
		step->m[k] = e->molality[e->unknown[k]];
	}
	water_slopes(e, step->by_water);
	for (size_t f = 0; f < e->folded_count; f++)
		reaction_slopes(e, &e->folded[f], 1, step, slopes->folded[f]);
	for (size_t k = 0; k < e->reaction_count; k++)
		reaction_slopes(e, &e->reactions[k], 0, step, slopes->matrix[r++]);
	if (e->present[GAS_H2S])
		gas_slopes(e, step, GAS_H2S, e->folded_count - 1, r++, slopes);
	if (e->present[GAS_CO2])
		gas_slopes(e, step, GAS_CO2, 1, r++, slopes);
	for (size_t p = 0; p < e->amine_count; p++)
		amine_slopes(e, step, p, slopes->matrix[r++]);
	charge_slopes(e, step, r, slopes);
}

/* Gauss with row pivoting; the factors stay below the diagonal, its inverse on it. False: singular. */
static bool factor(struct slopes *slopes)
{
	row *a = slopes->matrix; /* rows are added whole, which compiles to less */
	size_t n = slopes->unknown_count;

	for (size_t k = 0; k < n; k++) {
		size_t best = k;

		for (size_t i = k + 1; i < n; i++)
			if (fabs(a[i][k]) > fabs(a[best][k]))
				best = i;
		if (!(fabs(a[best][k]) > SINGULAR_PIVOT))
			return false;
		slopes->pivot[k] = best;
		for (size_t j = 0; best != k && j < UNKNOWNS; j++) {
			double swap = a[k][j];

			a[k][j] = a[best][j];
			a[best][j] = swap;
		}
		a[k][k] = 1 / a[k][k];
		for (size_t i = k + 1; i < n; i++) {
			double times = a[i][k] * a[k][k];

			if (times == 0)
				continue;
			/* Two by two, from an even column on: column k is written over below. */
			for (size_t j = (k + 1) / 2 * 2; j < n; j += 2) {
				a[i][j] -= times * a[k][j];
				a[i][j + 1] -= times * a[k][j + 1];
			}
			a[i][k] = times;
		}
	}
	return true;
}

/* The steps of the unknowns in place of the right-hand sides. False: not finite. */
static bool substitute(const struct slopes *slopes, struct step *step)
{
	size_t n = slopes->unknown_count;
	double *x = step->right, sum = 0;

	for (size_t f = 0; f < slopes->folded_count; f++)
		x[slopes->into[f]] += slopes->share[f] * step->folded_right[f];

	for (size_t k = 0; k < n; k++) {
		double value = x[slopes->pivot[k]];

		x[slopes->pivot[k]] = x[k];
		x[k] = value;
	}
	for (size_t k = 0; k < n; k++)
		for (size_t i = k + 1; i < n; i++)
			x[i] -= slopes->matrix[i][k] * x[k];
	for (size_t k = n; k-- > 0;) {
		double value = x[k] * slopes->matrix[k][k];

		x[k] = value;
		sum += value;
		for (size_t i = 0; i < k; i++)
			x[i] -= slopes->matrix[i][k] * value;
	}
	return isfinite(sum);
}

/* m exp d of a small d: the fourth power is below the last digit. */
static double grown(double molality, double d)
{
	return molality * (1 + d * (1 + d / 2 * (1 + d / 3)));
}

static void move(struct equilibrium *e, struct step *step, enum species species, double by)
{
	step->x[species] += by;
	e->molality[species] = fabs(by) < NEWTON_SMALL_STEP ? grown(e->molality[species], by) : exp(step->x[species]);
}

/* All that a step changes: the folded species, then the unknowns. */
struct change {
	double of[EQUILIBRIUM_ALL];
};

/* From the steps of the unknowns, which are on the right. */
static struct change unfolded(const struct slopes *slopes, const struct step *step)
{
	size_t n = slopes->unknown_count, folded = slopes->folded_count;
	struct change change = {{0}};

	for (size_t f = 0; f < folded; f++) {
		change.of[f] = -step->folded_right[f];
		for (size_t k = 0; k < n; k++)
			change.of[f] += slopes->folded[f][k] * step->right[k];
	}
	for (size_t k = 0; k < n; k++)
		change.of[folded + k] = step->right[k];
	return change;
}

/* Takes a step, held to a factor e^2 in any molality. */
static void take(struct equilibrium *e, struct step *step, const struct change *change)
{
	size_t n = e->unknown_count, folded = e->folded_count;
	double most = 0, scale;

	for (size_t k = 0; k < folded + n; k++)
		most = larger(most, change->of[k]);
	scale = most > NEWTON_LARGEST_STEP ? NEWTON_LARGEST_STEP / most : 1;
	for (size_t f = 0; f < folded; f++)
		move(e, step, e->folded_away[f], scale * change->of[f]);
	for (size_t k = 0; k < n; k++)
		move(e, step, e->unknown[k], scale * change->of[folded + k]);
	e->iterations++;
}

bool equilibrium_newton(struct equilibrium *e, double share, int at_most)
{
	struct step step;
	struct slopes slopes;
	bool fresh = false;

	memset(slopes.matrix, 0, sizeof slopes.matrix);
	open_step(e, &step);
	for (int i = 0; i < at_most; i++) {
		double residual;

		activity_coefficients(&e->activity, e->molality, share, &e->coefficients);
		residual = residuals(e, &step);
		if (residual < NEWTON_RESIDUAL)
			return true;
		if (!isfinite(residual))
			return false;
		/* Near the end the slopes of the step before serve again. */
		fresh = !(fresh && residual < NEWTON_NEAR);
		if (fresh) {
			fill_slopes(e, &step, &slopes);
			if (!factor(&slopes))
				return false;
		}
		if (!substitute(&slopes, &step))
			return false;
		const struct change change = unfolded(&slopes, &step);
		take(e, &step, &change);
	}
	return false;
}

/* Near a solved state */

enum { CHORD_STEPS = 8 }; /* a usual state takes four */

bool equilibrium_invert(const struct equilibrium *e, struct equilibrium_inverse *inverse)
{
	struct step step;
	struct slopes slopes;
	size_t folded = e->folded_count, n = e->unknown_count;

	memset(slopes.matrix, 0, sizeof slopes.matrix);
	memset(inverse->by, 0, sizeof inverse->by);
	fill_slopes(e, &step, &slopes);
	if (!factor(&slopes))
		return false;
	inverse->unknown_count = n;
	inverse->folded_count = folded;
	memcpy(inverse->unknown, e->unknown, sizeof inverse->unknown);
	for (size_t r = 0; r < folded + n; r++) {
		for (size_t f = 0; f < folded; f++)
			step.folded_right[f] = r == f;
		for (size_t k = 0; k < n; k++)
			step.right[k] = r == folded + k;
		if (!substitute(&slopes, &step))
			return false;
		const struct change change = unfolded(&slopes, &step);
		memcpy(inverse->by[r], change.of, sizeof change.of);
	}
	return true;
}

/* The steps taken so far, and the squares of their lengths. */
struct taken {
	struct change change[CHORD_STEPS];
	double square[CHORD_STEPS];
	int count;
};

static double product(const struct change *a, const struct change *b)
{
	double even = 0, odd = 0;

	for (size_t k = 0; k < EQUILIBRIUM_ALL; k += 2) {
		even += a->of[k] * b->of[k];
		odd += a->of[k + 1] * b->of[k + 1];
	}
	return even + odd;
}

static void add(double *to, double times, const double *of)
{
	for (size_t k = 0; k < EQUILIBRIUM_ALL; k++)
		to[k] += times * of[k];
}

/* By the inverse as it is. */
static struct change changed(const struct equilibrium_inverse *inverse, const struct step *step)
{
	struct change change = {{0}};

	for (size_t f = 0; f < inverse->folded_count; f++)
		add(change.of, step->folded_right[f], inverse->by[f]);
	for (size_t k = 0; k < inverse->unknown_count; k++)
		add(change.of, step->right[k], inverse->by[inverse->folded_count + k]);
	return change;
}

/*
 * A step by the inverse as it was, corrected so that it agrees with what each step taken did: H+ = H + (s - H y) s'H /
 * (s'H y), of which only the steps s need be kept (Kelley 1995, Iterative Methods for Linear and Nonlinear Equations,
 * section 7.3).
 */
static void correct(struct change *change, const struct taken *taken)
{
	double along;

	if (taken->count == 0)
		return;
	for (int j = 0; j + 1 < taken->count; j++)
		add(change->of, product(&taken->change[j], change) / taken->square[j], taken->change[j + 1].of);
	along = product(&taken->change[taken->count - 1], change) / taken->square[taken->count - 1];
	for (size_t k = 0; k < EQUILIBRIUM_ALL; k++)
		change->of[k] /= 1 - along;
}

static bool same_species(const struct equilibrium *e, const struct equilibrium_inverse *inverse)
{
	return e->unknown_count == inverse->unknown_count && e->folded_count == inverse->folded_count &&
		memcmp(e->unknown, inverse->unknown, e->unknown_count * sizeof *e->unknown) == 0;
}

static void start_at(struct equilibrium *e, struct step *step, const double *x, enum species species)
{
	step->x[species] = x[species];
	e->molality[species] = exp(x[species]);
}

/* A step has to bring the residuals down to this of what they were, or Newton's way is the shorter one. */
static bool contracts(double residual, double before)
{
	return residual < before * CHORD_CONTRACTION;
}

bool equilibrium_chord(struct equilibrium *e, const struct equilibrium_inverse *inverse, const double *x)
{
	double before = CHORD_WIDEST / CHORD_CONTRACTION;
	struct taken taken = {.count = 0};
	struct step step;

	if (!same_species(e, inverse))
		return false;
	for (size_t k = 0; k < e->unknown_count; k++)
		start_at(e, &step, x, e->unknown[k]);
	for (size_t f = 0; f < e->folded_count; f++)
		start_at(e, &step, x, e->folded_away[f]);
	while (taken.count < CHORD_STEPS) {
		double residual;

		activity_coefficients(&e->activity, e->molality, 1, &e->coefficients);
		residual = residuals(e, &step);
		if (residual < NEWTON_RESIDUAL)
			return true;
		if (!contracts(residual, before))
			return false;
		before = residual;
		struct change change = changed(inverse, &step);
		correct(&change, &taken);
		take(e, &step, &change);
		taken.square[taken.count] = product(&change, &change);
		taken.change[taken.count++] = change;
	}
	return false;
}
