#include "chemistry/equilibrium.h"

#include <math.h>

#include "chemistry/constants.h"

/* The start: charge balance at fixed activity coefficients, one unknown. */

enum { PLACE = SPECIES_AM_2 - SPECIES_AM, START_STEPS = 60, WIDENINGS = 12 };

/* What each species is a multiple of at frozen activity coefficients; the power of a_H goes on top. */
struct frozen {
	double co2, co3, h2s; /* molecular and carbonate per bicarbonate, molecular per HS- */
	double protonated[2], carbamate[2];
	double molecular[GAS_COUNT]; /* mol/kg, where the pressure is given */
	double h, oh;
};

static struct frozen freeze(const struct equilibrium *e)
{
	const double *g = e->coefficients.ln_gamma, ln_water = e->coefficients.ln_water;
	struct frozen frozen = {.h = exp(-g[SPECIES_H]), .oh = exp(e->ln_k[0] + ln_water - g[SPECIES_OH])};

	if (e->present[GAS_CO2]) {
		frozen.co2 = exp(-e->ln_k[1] - ln_water + g[SPECIES_HCO3] - g[SPECIES_CO2]);
		frozen.co3 = exp(e->ln_k[2] + g[SPECIES_HCO3] - g[SPECIES_CO3]);
		frozen.molecular[GAS_CO2] =
			e->by_pressure[GAS_CO2] ? exp(e->ln_molecular[GAS_CO2] - g[SPECIES_CO2]) : 0;
	}
	if (e->present[GAS_H2S]) {
		frozen.h2s = exp(-e->ln_k[3] + g[SPECIES_HS] - g[SPECIES_H2S]);
		frozen.molecular[GAS_H2S] =
			e->by_pressure[GAS_H2S] ? exp(e->ln_molecular[GAS_H2S] - g[SPECIES_H2S]) : 0;
	}
	for (size_t p = 0; p < e->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		frozen.protonated[p] = exp(-e->ln_amine[p] + g[am] - g[am + 1]);
		if (e->forms_carbamate[p] && e->present[GAS_CO2])
			frozen.carbamate[p] = exp(e->ln_carbamate[p] - ln_water + g[am] + g[SPECIES_HCO3] - g[am + 2]);
	}
	return frozen;
}

/* The amine that forms a carbamate (at most one does), its free molality: b (1 + c) + k b a = C, a (1 + r) + k b a = A. */
static double free_amine(double amine, double protonated, double carbon, double per_bicarbonate, double carbamate)
{
	double p = (1 + protonated) * per_bicarbonate, q = carbamate * (carbon - amine) + p;

	/* k (1+r) a^2 + [k (C-A) + (1+r)(1+c)] a - A (1+c) = 0; the form that does not cancel */
	double c = amine * per_bicarbonate, root = sqrt(q * q + 4 * carbamate * (1 + protonated) * c);

	return q > 0 ? 2 * c / (q + root) : (root - q) / (2 * carbamate * (1 + protonated));
}

static void compose_carbon_and_amines(struct equilibrium *e, const struct frozen *frozen, double a_h)
{
	double *m = e->molality, bound = 0, co2 = frozen->co2 * a_h, co3 = frozen->co3 / a_h, bicarbonate = 0;
	bool by_loading = e->present[GAS_CO2] && !e->by_pressure[GAS_CO2];

	if (e->by_pressure[GAS_CO2])
		bicarbonate = frozen->molecular[GAS_CO2] / co2;
	for (size_t p = 0; p < e->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;
		double protonated = frozen->protonated[p] * a_h, carbamate = frozen->carbamate[p];

		m[am] = by_loading && carbamate > 0
			? free_amine(e->amine[p], protonated, e->gas[GAS_CO2], 1 + co2 + co3, carbamate)
			: e->amine[p] / (1 + protonated + carbamate * bicarbonate);
		m[am + 1] = m[am] * protonated;
		bound += carbamate * m[am];
	}
	if (by_loading)
		bicarbonate = e->gas[GAS_CO2] / (1 + co2 + co3 + bound);
	for (size_t p = 0; p < e->amine_count; p++)
		m[SPECIES_AMCOO + p * PLACE] = m[SPECIES_AM + p * PLACE] * frozen->carbamate[p] * bicarbonate;
	m[SPECIES_HCO3] = bicarbonate;
	m[SPECIES_CO2] = bicarbonate * co2;
	m[SPECIES_CO3] = bicarbonate * co3;
}

/* Molalities at ln a_H = y and frozen coefficients; returns ln(positive/negative charge), which rises with y. */
static double compose(struct equilibrium *e, const struct frozen *frozen, double y)
{
	double *m = e->molality, a_h = exp(y);

	compose_carbon_and_amines(e, frozen, a_h);
	if (e->present[GAS_H2S]) {
		double h2s = frozen->h2s * a_h;

		m[SPECIES_HS] =
			e->by_pressure[GAS_H2S] ? frozen->molecular[GAS_H2S] / h2s : e->gas[GAS_H2S] / (1 + h2s);
		m[SPECIES_H2S] = m[SPECIES_HS] * h2s;
	}
	m[SPECIES_H] = a_h * frozen->h;
	m[SPECIES_OH] = frozen->oh / a_h;
	return log((m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2] + m[SPECIES_CATION]) /
		(m[SPECIES_OH] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_HS] + m[SPECIES_AMCOO] +
			m[SPECIES_AMCOO_2] + m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2]));
}

/* Widens [low, high] until the charge changes sign in it, or it is as wide as any solution's a_H. */
static void bracket_charge(
	struct equilibrium *e, const struct frozen *frozen, double *low, double *at_low, double *high, double *at_high)
{
	double reach = START_REACH;

	*at_low = compose(e, frozen, *low);
	*at_high = compose(e, frozen, *high);
	for (int i = 0; i < WIDENINGS && !(*at_low <= 0 && *at_high >= 0); i++) {
		if (*at_low > 0) {
			*high = *low;
			*at_high = *at_low;
			*low -= reach;
			*at_low = compose(e, frozen, *low);
		} else {
			*low = *high;
			*at_low = *at_high;
			*high += reach;
			*at_high = compose(e, frozen, *high);
		}
		reach *= 2;
	}
}

/* Regula falsi with the Illinois halving; the function is nearly a straight line in y at either end. Returns y. */
static double balance_charge(struct equilibrium *e, double y)
{
	struct frozen frozen = freeze(e);
	double low = y - START_REACH, high = y + START_REACH, at_low, at_high;
	int side = 0;

	bracket_charge(e, &frozen, &low, &at_low, &high, &at_high);
	for (int i = 0; i < START_STEPS; i++) {
		double at;

		y = (low * at_high - high * at_low) / (at_high - at_low);
		at = compose(e, &frozen, y);
		if (fabs(at) < START_TOLERANCE || high - low < START_TOLERANCE)
			break;
		if (at > 0) {
			high = y;
			at_high = at;
			if (side == 1)
				at_low /= 2;
			side = 1;
		} else {
			low = y;
			at_low = at;
			if (side == -1)
				at_high /= 2;
			side = -1;
		}
	}
	return y;
}

/* A first composition, good enough for activity coefficients: each gas as its usual ion. Returns the protonated amine. */
static double first_ions(const struct equilibrium *e, double *guess)
{
	double amine = e->amine[0] + e->amine[1];
	double sulfide = e->by_pressure[GAS_H2S] ? amine / 4 : e->gas[GAS_H2S];
	double carbon = e->by_pressure[GAS_CO2] ? amine / 4 : e->gas[GAS_CO2];
	double bound = sulfide + carbon + e->molality[SPECIES_ANION_1] + 2 * e->molality[SPECIES_ANION_2] -
		e->molality[SPECIES_CATION];
	double protonated = fmin(fmax(bound, START_IONS * amine), START_LARGEST_SHARE * amine);

	guess[SPECIES_ANION_1] = e->molality[SPECIES_ANION_1];
	guess[SPECIES_ANION_2] = e->molality[SPECIES_ANION_2];
	guess[SPECIES_CATION] = e->molality[SPECIES_CATION];
	guess[SPECIES_AMH] = protonated;
	guess[SPECIES_AM] = fmax(amine - protonated, 0);
	guess[SPECIES_HS] = fmin(sulfide, amine);
	if (e->forms_carbamate[0])
		guess[SPECIES_AMCOO] = fmin(carbon, guess[SPECIES_AM] / 2);
	guess[SPECIES_HCO3] = fmin(carbon, amine) - guess[SPECIES_AMCOO];
	return protonated;
}

void equilibrium_start(struct equilibrium *e, double share, int rounds)
{
	double guess[SPECIES_COUNT] = {0}, protonated = first_ions(e, guess), amine = e->amine[0] + e->amine[1], y;

	activity_coefficients(&e->activity, guess, share, &e->coefficients);
	y = e->ln_amine[0] + log(protonated / (amine - protonated));
	for (int i = 0; i < rounds; i++) {
		struct coefficients fresh;

		y = balance_charge(e, y);
		activity_coefficients(&e->activity, e->molality, share, &fresh);
		for (size_t k = 0; k < SPECIES_COUNT; k++)
			e->coefficients.ln_gamma[k] =
				START_KEPT * e->coefficients.ln_gamma[k] + (1 - START_KEPT) * fresh.ln_gamma[k];
		e->coefficients.ln_water = fresh.ln_water;
	}
	balance_charge(e, y);
}
