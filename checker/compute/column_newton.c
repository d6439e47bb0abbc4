#include "compute/column_tower.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"

enum { NEWTON_STEPS = 40, RELAXATION_STEPS = 80, HALVINGS = 10, SWEEPS = 10, STEPS_AT_MOST = 400 };

/* ---- the block-tridiagonal solution ---- */

/* Solves a x = b for the columns of `upper` and the vector `b`, in place; false where singular. */
static bool eliminate(double (*a)[UNKNOWNS], double (*upper)[UNKNOWNS], double *b)
{
	for (size_t c = 0; c < UNKNOWNS; c++) {
		size_t pivot = c;

		for (size_t r = c + 1; r < UNKNOWNS; r++)
			if (fabs(a[r][c]) > fabs(a[pivot][c]))
				pivot = r;
		if (!(fabs(a[pivot][c]) > SINGULAR_PIVOT))
			return false;
		for (size_t k = 0; k < UNKNOWNS; k++) {
			double swap = a[c][k];

			a[c][k] = a[pivot][k];
			a[pivot][k] = swap;
			swap = upper[c][k];
			upper[c][k] = upper[pivot][k];
			upper[pivot][k] = swap;
		}
		double swap = b[c];

		b[c] = b[pivot];
		b[pivot] = swap;
		for (size_t r = 0; r < UNKNOWNS; r++) {
			double factor = r == c ? 0 : a[r][c] / a[c][c];

			for (size_t k = 0; k < UNKNOWNS && r != c; k++) {
				a[r][k] -= factor * a[c][k];
				upper[r][k] -= factor * upper[c][k];
			}
			b[r] -= factor * b[c];
		}
	}
	for (size_t r = 0; r < UNKNOWNS; r++) {
		for (size_t k = 0; k < UNKNOWNS; k++)
			upper[r][k] /= a[r][r];
		b[r] /= a[r][r];
	}
	return true;
}

/* The Newton step into tower->step. */
static bool solve_blocks(struct tower *tower)
{
	for (int j = 0; j < tower->stages; j++) {
		for (size_t r = 0; r < UNKNOWNS; r++)
			tower->step[j][r] = -tower->residual[j][r];
		for (size_t r = 0; j > 0 && r < UNKNOWNS; r++)
			for (size_t m = 0; m < UNKNOWNS; m++) {
				for (size_t k = 0; k < UNKNOWNS; k++)
					tower->diagonal[j][r][k] -= tower->lower[j][r][m] * tower->upper[j - 1][m][k];
				tower->step[j][r] -= tower->lower[j][r][m] * tower->step[j - 1][m];
			}
		if (!eliminate(tower->diagonal[j], tower->upper[j], tower->step[j]))
			return false;
	}
	for (int j = tower->stages - 2; j >= 0; j--)
		for (size_t r = 0; r < UNKNOWNS; r++)
			for (size_t k = 0; k < UNKNOWNS; k++)
				tower->step[j][r] -= tower->upper[j][r][k] * tower->step[j + 1][k];
	return true;
}

/* ---- Newton and relaxation ---- */

/* The largest step as a multiple of what is allowed: loadings may move by orders of magnitude, the others may not. */
static double largest_step(const struct tower *tower)
{
	double largest = 0;

	for (int j = 0; j < tower->stages; j++)
		for (size_t k = 0; k < UNKNOWNS; k++)
			largest = fmax(largest,
				fabs(tower->step[j][k]) /
					(k < GAS_COUNT ? COLUMN_LARGEST_IN_LOADING : COLUMN_LARGEST_STEP));
	return largest;
}

/* One step, shortened until the residual falls. */
static bool improve(struct tower *tower, double *sum)
{
	double start[COLUMN_STAGES_AT_MOST][UNKNOWNS], whole, fresh = (double)NAN;

	if (tower->iterations >= STEPS_AT_MOST || !tower_jacobian(tower) || !solve_blocks(tower))
		return false;
	tower->iterations++;
	memcpy(start, tower->x, sizeof start);
	whole = 1 / fmax(largest_step(tower), 1);
	for (int halving = 0; halving < HALVINGS; halving++) {
		for (int j = 0; j < tower->stages; j++)
			for (size_t k = 0; k < UNKNOWNS; k++)
				tower->x[j][k] = start[j][k] + ldexp(whole, -halving) * tower->step[j][k];
		fresh = tower_residuals(tower);
		if (fresh < *sum)
			break;
	}
	*sum = fresh;
	return isfinite(fresh);
}

static bool newton(struct tower *tower, int steps)
{
	double sum = tower_residuals(tower);

	for (int i = 0; i < steps && isfinite(sum); i++) {
		double before = sum;

		if (tower_largest_residual(tower) < COLUMN_TOLERANCE)
			return true;
		if (!improve(tower, &sum))
			return false;
		if (sum > before && i > steps / 2)
			return tower_largest_residual(tower) < COLUMN_TOLERANCE;
	}
	return isfinite(sum) && tower_largest_residual(tower) < COLUMN_TOLERANCE;
}

/* From tower->x, with hold-ups that shrink as the steps succeed, until Newton finds the steady state. */
static bool relax(struct tower *tower)
{
	double holdup = COLUMN_FIRST_HOLDUP;

	for (int i = 0; i < RELAXATION_STEPS && holdup < 1 / COLUMN_LEAST_HOLDUP; i++) {
		bool moved;

		tower->holdup = 0;
		if (!isfinite(tower_residuals(tower)))
			return false;
		memcpy(tower->held, tower->leaving, sizeof tower->held);
		memcpy(tower->before, tower->x, sizeof tower->before);
		tower->holdup = holdup;
		moved = newton(tower, NEWTON_STEPS / 4);
		tower->holdup = 0;
		if (!moved) {
			memcpy(tower->x, tower->before, sizeof tower->x);
			holdup *= 8;
			continue;
		}
		if (holdup < COLUMN_LEAST_HOLDUP)
			return newton(tower, NEWTON_STEPS);
		holdup /= 4;
	}
	return false;
}

/* Loadings fall geometrically from the feed to a tenth of it; every stage at its bubble point. */
static bool guess(struct tower *tower, double lean)
{
	struct leaving top;
	double latent = MOLAR_MASS_WATER * water_latent_heat(COLUMN_GUESS_TEMPERATURE), boil;

	for (int j = tower->stages - 1; j >= 0; j--) {
		double down = (double)(tower->stages - j) / tower->stages, *x = tower->x[j];
		struct solution_input liquid;

		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			x[gas] = tower->present[gas] ? log(tower->feed[gas]) + down * log(lean) : 0;
		x[WATER] = log(tower->feed[WATER]);
		x[HEAT] = x[VAPOUR] = 1;
		liquid = tower_liquid(tower, x);
		x[HEAT] =
			phase_bubble_temperature(tower->terms, &liquid, tower->pressure[j]) / COLUMN_TEMPERATURE_SCALE;
		tower->solved[j] = false;
		if (!tower_stage(tower, j))
			return false;
	}
	/* The heat that is left for steam when the lean is hot and stripped. */
	top = tower->leaving[0];
	boil = (tower->duty + tower->feed_heat - top.liquid_heat) / latent;
	for (int j = 0; j < tower->stages; j++)
		tower->x[j][VAPOUR] = log(fmax(boil, COLUMN_LEAST_VAPOUR));
	return true;
}

/* Loadings that balance one gas when each stage strips the share it strips now: a tridiagonal system. */
static void balance_gas(struct tower *tower, size_t gas)
{
	double strip[COLUMN_STAGES_AT_MOST], pivot[COLUMN_STAGES_AT_MOST], loading;
	int top = tower->stages - 1;

	for (int j = 0; j <= top; j++)
		strip[j] = tower->leaving[j].vapour[gas] / tower->leaving[j].liquid[gas];
	/* From the bottom up, a[j + 1] = pivot[j] a[j]; then from the feed down. */
	for (int j = 0; j <= top; j++)
		pivot[j] = 1 + strip[j] - (j > 0 ? strip[j - 1] / pivot[j - 1] : 0);
	loading = tower->feed[gas];
	for (int j = top; j >= 0; j--) {
		loading /= pivot[j];
		tower->x[j][gas] += COLUMN_SWEEP_SHARE * (log(loading) - tower->x[j][gas]);
	}
}

/* A guess that already balances the gases roughly, so that Newton has not to carry a gas down by orders of magnitude. */
static bool sweep(struct tower *tower)
{
	for (int i = 0; i < SWEEPS; i++) {
		for (int j = 0; j < tower->stages; j++) {
			if (!tower_flows(tower, j))
				return false;
			tower->x[j][HEAT] -= tower->leaving[j].bubble * COLUMN_BUBBLE_SLOPE / COLUMN_TEMPERATURE_SCALE;
		}
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			if (tower->present[gas])
				balance_gas(tower, gas);
	}
	return true;
}

bool tower_solve(struct tower *tower)
{
	static const double lean[] = {0.1, 0.4};

	for (size_t i = 0; i < COUNT(lean); i++) {
		tower->holdup = 0;
		if (guess(tower, lean[i]) && sweep(tower) && newton(tower, NEWTON_STEPS))
			return true;
	}
	return guess(tower, lean[1]) && relax(tower);
}
