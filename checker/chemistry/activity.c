#include "chemistry/activity.h"

#include <math.h>

#include "chemistry/constants.h"

static const double square_of_charge[SPECIES_COUNT] = {
#define SPECIES(code, shown, charge) (charge) * (charge),
#include "chemistry/species.def"
#undef SPECIES
};

enum { FROM_PLACE_TO_PLACE = SPECIES_AM_2 - SPECIES_AM };

/* Setting up */

/* The species of a term, in the place its amine has in this solution. */
static enum species placed(enum species species, size_t place)
{
	bool own = species == SPECIES_AM || species == SPECIES_AMH || species == SPECIES_AMCOO;

	return own ? (enum species)(species + place * FROM_PLACE_TO_PLACE) : species;
}

static void add_pair(struct activity *activity, enum species i, enum species j, double beta, double saturation)
{
	activity->pairs[activity->count++] = (struct pair){i, j, beta, saturation > 0 ? 1 / saturation : 0};
}

/* What the salts that are present take over from a term of protonated amine. */
static void add_salts(struct activity *activity, const struct solvent *solvent, size_t place,
	const struct pair_term *term, double beta)
{
	static const enum species anions[] = {SPECIES_ANION_1, SPECIES_ANION_2};
	double s = term->saturation, of_sodium = beta * solvent->share[place];

	if (term->i != SPECIES_AMH)
		return;
	if (solvent->cation)
		add_pair(activity, SPECIES_CATION, placed(term->j, place), of_sodium, s);
	if (term->j != SPECIES_HS)
		return;
	for (int k = 0; k < 2; k++)
		if (solvent->anion[k])
			add_pair(activity, placed(SPECIES_AMH, place), anions[k], (k + 1) * beta, s);
	for (int k = 0; k < 2; k++)
		if (solvent->cation && solvent->anion[k])
			add_pair(activity, SPECIES_CATION, anions[k], (k + 1) * of_sodium, s);
}

static void add_terms(struct activity *activity, const struct terms *terms, const struct solvent *solvent, double u,
	bool by_temperature)
{
	for (size_t place = 0; place < solvent->amine_count; place++) {
		enum amine of = amine_rows[solvent->amines[place]].terms_of;
		const struct medium_term *medium = &terms->medium[of];

		for (size_t k = 0; k < terms->count; k++) {
			const struct pair_term *term = &terms->pairs[k];
			double beta = by_temperature ? (term->slope + 2 * u * term->bend) / TERM_SPAN
						     : term->at_centre + u * (term->slope + u * term->bend);

			if (term->amine != of)
				continue;
			add_pair(activity, placed(term->i, place), placed(term->j, place), beta, term->saturation);
			add_salts(activity, solvent, place, term, beta);
		}
		activity->medium[place] =
			by_temperature ? medium->slope / TERM_SPAN : medium->at_centre + medium->slope * u;
		activity->inverse_reach[place] = medium->reach > 0 ? 1 / medium->reach : 0;
	}
}

struct activity activity_at(const struct terms *terms, const struct solvent *solvent, double temperature)
{
	struct activity activity;
	double celsius = temperature - ZERO_CELSIUS;

	activity.count = 0;
	activity.medium[1] = activity.inverse_reach[1] = 0;
	activity.slope = DEBYE_D0 + celsius * (DEBYE_D1 + celsius * DEBYE_D2);
	add_terms(&activity, terms, solvent, (temperature - TERM_CENTRE) / TERM_SPAN, false);
	return activity;
}

struct activity activity_by_temperature(const struct terms *terms, const struct solvent *solvent, double temperature)
{
	struct activity activity;

	activity.count = 0;
	activity.medium[1] = activity.inverse_reach[1] = 0;
	activity.slope = DEBYE_D1 + 2 * (temperature - ZERO_CELSIUS) * DEBYE_D2;
	add_terms(&activity, terms, solvent, (temperature - TERM_CENTRE) / TERM_SPAN, true);
	return activity;
}

/* The parts of g: each adds to ln gamma what it gives, and returns sum m ln gamma less g, which the water takes. */

static double ionic_strength(const double *molality)
{
	double sum = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		sum += square_of_charge[i] * molality[i];
	return sum / 2;
}

static double debye_hueckel(double slope, struct coefficients *out)
{
	double ionic = out->ionic_strength, root = sqrt(ionic), over = 1 + DEBYE_B * root;
	double ln_over = log1p(DEBYE_B * root), f = -slope * (root / over + 2 / DEBYE_B * ln_over);

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		out->ln_gamma[i] = square_of_charge[i] * f;
	out->curvature = -slope * (1 / over + 2) / (4 * root * over);
	return 2 * ionic * (f + 2 * slope / DEBYE_B * ln_over);
}

static double add_pairs(const struct activity *activity, const double *molality, double share, struct coefficients *out)
{
	double ionic = out->ionic_strength, sum_slope = 0, sum_bend = 0, gap = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		out->by_ionic[i] = 0;
	for (size_t k = 0; k < activity->count; k++) {
		const struct pair *pair = &activity->pairs[k];
		double a = molality[pair->i], b = molality[pair->j], falls = pair->inverse_saturation;
		double over = 1 / (1 + ionic * falls), lambda = share * pair->beta * over,
		       slope = -lambda * falls * over;

		out->pair[k] = 2 * lambda;
		out->ln_gamma[pair->i] += 2 * lambda * b;
		out->ln_gamma[pair->j] += 2 * lambda * a;
		out->by_ionic[pair->i] += slope * b;
		out->by_ionic[pair->j] += slope * a;
		sum_slope += slope * a * b;
		sum_bend -= slope * falls * over * a * b;
		gap += 2 * lambda * a * b;
	}
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		out->ln_gamma[i] += square_of_charge[i] * sum_slope;
	out->curvature += sum_bend; /* lambda''/2 */
	return gap + 2 * ionic * sum_slope;
}

static double add_medium(
	const struct activity *activity, const double *molality, double share, struct coefficients *out)
{
	double z = molality[SPECIES_HCO3] + 4 * molality[SPECIES_CO3], gap = 0;

	out->bicarbonates = z;
	for (size_t p = 0; p < ACTIVITY_PLACES; p++) {
		size_t am = SPECIES_AM + p * FROM_PLACE_TO_PLACE;
		double total, over, b = share * activity->medium[p];

		if (activity->medium[p] == 0)
			continue;
		total = molality[am] + molality[am + 1];
		over = 1 / (1 + total * activity->inverse_reach[p]);
		out->phi[p][0] = b * total * over;
		out->phi[p][1] = b * over * over;
		out->phi[p][2] = -2 * b * over * over * over * activity->inverse_reach[p];
		out->ln_gamma[SPECIES_HCO3] += out->phi[p][0];
		out->ln_gamma[SPECIES_CO3] += 4 * out->phi[p][0];
		out->ln_gamma[am] += out->phi[p][1] * z;
		out->ln_gamma[am + 1] += out->phi[p][1] * z;
		gap += total * out->phi[p][1] * z;
	}
	return gap;
}

void activity_coefficients(
	const struct activity *activity, const double *molality, double share, struct coefficients *out)
{
	double sum = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		sum += molality[i];
	out->ionic_strength = ionic_strength(molality);
	sum += debye_hueckel(activity->slope, out);
	sum += add_pairs(activity, molality, share, out);
	sum += add_medium(activity, molality, share, out);
	out->ln_water = -MOLAR_MASS_WATER * sum;
}

double activity_excess(const struct activity *activity, const double *molality)
{
	double ionic = ionic_strength(molality);
	double g = -activity->slope * 4 * ionic / DEBYE_B * log1p(DEBYE_B * sqrt(ionic));
	double z = molality[SPECIES_HCO3] + 4 * molality[SPECIES_CO3];

	for (size_t k = 0; k < activity->count; k++) {
		const struct pair *pair = &activity->pairs[k];

		g += 2 * pair->beta / (1 + ionic * pair->inverse_saturation) * molality[pair->i] * molality[pair->j];
	}
	for (size_t p = 0; p < ACTIVITY_PLACES; p++) {
		size_t am = SPECIES_AM + p * FROM_PLACE_TO_PLACE;
		double total = molality[am] + molality[am + 1];

		g += activity->medium[p] * total / (1 + total * activity->inverse_reach[p]) * z;
	}
	return g;
}

/* `charges` and `by_ionic`: the sums over the weights of z^2 and of by_ionic. */
static void slopes_of(const struct activity *activity, const struct coefficients *c, const double *weight,
	double charges, double by_ionic, double *slope)
{
	by_ionic += c->curvature * charges;
	for (size_t k = 0; k < SPECIES_COUNT; k++)
		slope[k] = square_of_charge[k] * by_ionic + charges * c->by_ionic[k];
	for (size_t k = 0; k < activity->count; k++) {
		enum species i = activity->pairs[k].i, j = activity->pairs[k].j;

		slope[i] += c->pair[k] * weight[j];
		slope[j] += c->pair[k] * weight[i];
	}
	for (size_t p = 0; p < ACTIVITY_PLACES; p++) {
		size_t am = SPECIES_AM + p * FROM_PLACE_TO_PLACE;
		double of_amine, own;

		if (activity->medium[p] == 0)
			continue;
		of_amine = c->phi[p][1] * (weight[am] + weight[am + 1]);
		own = c->phi[p][1] * (weight[SPECIES_HCO3] + 4 * weight[SPECIES_CO3]) +
			c->phi[p][2] * c->bicarbonates * (weight[am] + weight[am + 1]);
		slope[SPECIES_HCO3] += of_amine;
		slope[SPECIES_CO3] += 4 * of_amine;
		slope[am] += own;
		slope[am + 1] += own;
	}
}

void activity_slopes(
	const struct activity *activity, const struct coefficients *coefficients, const double *weight, double *slope)
{
	double charges = 0, by_ionic = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		charges += weight[i] * square_of_charge[i];
		by_ionic += weight[i] * coefficients->by_ionic[i];
	}
	slopes_of(activity, coefficients, weight, charges, by_ionic, slope);
}

void activity_slopes_of(const struct activity *activity, const struct coefficients *coefficients,
	const enum species *species, const int *nu, int parts, double *slope)
{
	double weight[SPECIES_COUNT] = {0}, charges = 0, by_ionic = 0;

	for (int s = 0; s < parts; s++) {
		weight[species[s]] = nu[s];
		charges += nu[s] * square_of_charge[species[s]];
		by_ionic += nu[s] * coefficients->by_ionic[species[s]];
	}
	slopes_of(activity, coefficients, weight, charges, by_ionic, slope);
}
