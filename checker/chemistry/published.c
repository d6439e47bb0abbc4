#include "chemistry/published.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/reaction.h"

static bool within(double value, double least, double most)
{
	return value >= least && value <= most;
}

/* The strength of a solution of this amine alone; NaN: it holds another. */
static double strength_of(const struct solution_input *input, enum amine amine)
{
	double all = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		all += input->mass_fraction[i];
	return input->mass_fraction[amine] > 0 && fabs(all - input->mass_fraction[amine]) <= 0 ? all : (double)NAN;
}

/* ---- Posey, Tapperson and Rochelle ---- */

static void posey(const struct solution_input *input, double partial[GAS_COUNT])
{
	static const double rows[GAS_COUNT][4] = {[GAS_H2S] = {POSEY_H2S_A, POSEY_H2S_B, POSEY_H2S_C, POSEY_H2S_D},
		[GAS_CO2] = {POSEY_CO2_A, POSEY_CO2_B, POSEY_CO2_C, POSEY_CO2_D}};
	double water = property_water_per_amine(input->mass_fraction), pascal = 1e3; /* in a kilopascal */
	double total = input->loading[GAS_H2S] + input->loading[GAS_CO2], bare = 1 / (1 + water);

	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		const double *row = rows[gas];
		double ln_k =
			row[0] + row[1] / input->temperature + row[2] * total * bare + row[3] * sqrt(total * bare);

		partial[gas] = pascal * exp(ln_k) * input->loading[gas] / (1 + water + total) * total / (1 - total);
	}
}

/* ---- Kent and Eisenberg ---- */

/* Concentrations in mol/L of solution, as the correlation has them; constants to match. */
struct kent {
	double amine, h2s, co2, anions; /* mol/L in total */
	double water, first, second, sulfide, protonation, carbamate;
};

/* At one ln of the concentration of H+: positive charge less negative; the molecular gases besides. */
static double charge(const struct kent *k, double ln_h, double *h2s, double *co2)
{
	double h = exp(ln_h), forms = 1 + h / k->first + k->second / h, bound = 1 + h / k->protonation;
	/* Bicarbonate from the balances of CO2 and amine: forms b + A b/Kc = co2, A (bound + b/Kc) = amine. */
	double linear = forms * bound + (k->amine - k->co2) / k->carbamate;
	double root = sqrt(linear * linear + 4 * forms / k->carbamate * k->co2 * bound);
	double bicarbonate = 2 * k->co2 * bound / (linear + root);
	double free_amine = k->amine / (bound + bicarbonate / k->carbamate);
	double bisulfide = k->h2s / (1 + h / k->sulfide);

	*h2s = bisulfide * h / k->sulfide;
	*co2 = bicarbonate * h / k->first;
	return free_amine * h / k->protonation + h - k->water / h - bicarbonate - 2 * bicarbonate * k->second / h -
		free_amine * bicarbonate / k->carbamate - bisulfide - k->anions;
}

static void kent_eisenberg(const struct solution_input *input, double partial[GAS_COUNT])
{
	static const double none[GAS_COUNT] = {0, 0};
	enum { HALVINGS = 60 };
	const double litre = 1e-3, temperature_of_strength = 298.15; /* m3; K */
	double t = input->temperature, ln_t = log(t);
	double density = property_density(input->mass_fraction, temperature_of_strength, none).value;
	double amine = litre * density * input->mass_fraction[AMINE_DEA] / amine_rows[AMINE_DEA].molar_mass;
	const struct kent kent = {.amine = amine,
		.h2s = amine * input->loading[GAS_H2S],
		.co2 = amine * input->loading[GAS_CO2],
		.anions = amine * (input->anion[0] + 2 * input->anion[1] - input->cation),
		.water = exp(reaction_ln(&reaction_of_water, t, ln_t)),
		.first = exp(reaction_ln(&reaction_of_co2, t, ln_t)),
		.second = exp(reaction_ln(&reaction_of_bicarbonate, t, ln_t)),
		.sulfide = exp(reaction_ln(&reaction_of_h2s, t, ln_t)),
		.protonation = exp(KENT_DEA_PROTONATION_0 + KENT_DEA_PROTONATION_1 / t),
		.carbamate = exp(-DEA_CARBAMATE_C0 - DEA_CARBAMATE_C1 / t)};
	double low = log(PUBLISHED_LEAST_ACID), high = log(PUBLISHED_MOST_ACID), molecular[GAS_COUNT] = {0, 0};

	for (int i = 0; i < HALVINGS; i++) {
		double middle = (low + high) / 2;

		if (charge(&kent, middle, &molecular[GAS_H2S], &molecular[GAS_CO2]) > 0)
			high = middle;
		else
			low = middle;
	}
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		partial[gas] = molecular[gas] * exp(reaction_ln(&reaction_henry[gas], t, ln_t));
}

/* ---- either ---- */

bool published_pressures(const struct solution_input *input, struct published *out)
{
	double total = input->loading[GAS_H2S] + input->loading[GAS_CO2], celsius = input->temperature - ZERO_CELSIUS;

	if (within(strength_of(input, AMINE_MDEA), POSEY_LEAST_STRENGTH, POSEY_MOST_STRENGTH) &&
		within(celsius, POSEY_COLDEST, POSEY_HOTTEST) &&
		within(total, POSEY_LEAST_LOADING, POSEY_MOST_LOADING)) {
		*out = (struct published){.source = "posey1996", .name = "Posey and others 1996"};
		posey(input, out->partial_pressure);
		return true;
	}
	if (within(strength_of(input, AMINE_DEA), KENT_LEAST_STRENGTH, KENT_MOST_STRENGTH) &&
		within(celsius, KENT_COLDEST, KENT_HOTTEST) && within(total, KENT_LEAST_LOADING, KENT_MOST_LOADING)) {
		*out = (struct published){.source = "kent1976", .name = "Kent and Eisenberg 1976"};
		kent_eisenberg(input, out->partial_pressure);
		return true;
	}
	return false;
}

bool published_state(
	const struct terms *terms, const struct solution_input *input, struct solution_input *out, struct published *by)
{
	struct solution own;

	*out = *input;
	memset(out->pressure_factor, 0, sizeof out->pressure_factor);
	if (!published_pressures(input, by) || !solution_solve(terms, out, &own))
		return false;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (own.partial_pressure[gas] > 0)
			out->pressure_factor[gas] = by->partial_pressure[gas] / own.partial_pressure[gas];
	return true;
}
