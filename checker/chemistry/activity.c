#include "chemistry/activity.h"

#include <math.h>

#include "chemistry/constants.h"

static double debye_slope(double temperature)
{
	double celsius = temperature - ZERO_CELSIUS;

	return DEBYE_D0 + celsius * (DEBYE_D1 + celsius * DEBYE_D2);
}

/* The species of a term, in the place its amine has in this solution. */
static enum species placed(enum species species, size_t place)
{
	bool own = species == SPECIES_AM || species == SPECIES_AMH || species == SPECIES_AMCOO;

	return own ? (enum species)(species + place * (SPECIES_AM_2 - SPECIES_AM)) : species;
}

struct activity activity_at(const struct terms *terms, const enum amine *amines, size_t amine_count, double temperature)
{
	struct activity activity = {.slope = debye_slope(temperature)};
	double u = (temperature - TERM_CENTRE) / TERM_SPAN;

	for (size_t place = 0; place < amine_count; place++)
		for (size_t k = 0; k < terms->count; k++) {
			const struct pair_term *term = &terms->pairs[k];

			if (term->amine != amine_rows[amines[place]].terms_of)
				continue;
			activity.pairs[activity.count++] = (struct pair){placed(term->i, place), placed(term->j, place),
				term->at_centre + term->slope * u, term->saturation};
		}
	return activity;
}

static void add_pairs(const struct activity *activity, const double *molality, double share, struct coefficients *out)
{
	for (size_t k = 0; k < activity->count; k++) {
		const struct pair *pair = &activity->pairs[k];
		double value = 2 * share * pair->beta;

		out->pair_slope[k] = 0;
		if (pair->saturation > 0) {
			value /= 1 + out->ionic_strength / pair->saturation;
			out->pair_slope[k] = -value / (pair->saturation + out->ionic_strength);
		}
		out->pair[k] = value;
		out->ln_gamma[pair->i] += value * molality[pair->j];
		out->ln_gamma[pair->j] += value * molality[pair->i];
	}
}

void activity_coefficients(
	const struct activity *activity, const double *molality, double share, struct coefficients *out)
{
	double ionic = 0, sum = 0, root, f;

	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		int z = species_rows[i].charge;

		sum += molality[i];
		ionic += z * z * molality[i];
	}
	ionic /= 2;
	root = sqrt(ionic);
	f = -activity->slope * (root / (1 + DEBYE_B * root) + 2 / DEBYE_B * log1p(DEBYE_B * root));
	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		int z = species_rows[i].charge;

		out->ln_gamma[i] = z * z * f;
	}
	out->ionic_strength = ionic;
	out->ln_water = -MOLAR_MASS_WATER * sum;
	out->debye_slope = -activity->slope / (2 * root) *
		(1 / ((1 + DEBYE_B * root) * (1 + DEBYE_B * root)) + 2 / (1 + DEBYE_B * root));
	add_pairs(activity, molality, share, out);
}
