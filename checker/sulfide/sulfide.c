#include "sulfide/sulfide.h"

#include <math.h>
#include <stddef.h>

#include "base/count.h"
#include "base/memo.h"
#include "chemistry/constants.h"
#include "chemistry/reaction.h"

static const double hour = 3600;

/* ---- which solid is stable ---- */

static const struct {
	bool sulfide;
	double a[5];
} solids[SOLID_COUNT] = {
#define SOLID(code, shown, sulfide, a1, a2, a3, a4, a5) [SOLID_##code] = {sulfide, {a1, a2, a3, a4, a5}},
#include "sulfide/sulfide.def"
};

double sulfide_log_k(enum solid solid, double temperature)
{
	const double *a = solids[solid].a, t = temperature;
	return a[0] + a[1] * t + a[2] / t + a[3] * log10(t) + a[4] / (t * t);
}

double sulfide_log_k_star(enum solid solid, double temperature)
{
	if (!solids[solid].sulfide)
		return (double)NAN;
	return sulfide_log_k(solid, temperature) - reaction_ln_h2s(temperature) / LN10;
}

double sulfide_log_k_star_benning(double temperature)
{
	return BENNING_SLOPE / temperature + BENNING_OFFSET;
}

static double ln_activity(const struct solution *solution, enum species species)
{
	return log(solution->molality[species]) + solution->ln_gamma[species];
}

/* Kilograms of water in a kilogram of solution, gases not counted. */
static double water_share(const struct solution *solution)
{
	double amine = 0;
	for (size_t i = 0; i < AMINE_COUNT; i++)
		amine += solution->input.mass_fraction[i];
	return 1 - amine;
}

double sulfide_saturation_iron(enum solid solid, const struct solution *solution)
{
	enum species partner = solids[solid].sulfide ? SPECIES_HS : SPECIES_HCO3;
	if (!(solution->molality[partner] > 0))
		return (double)INFINITY;
	double ln_molality = LN10 * sulfide_log_k(solid, solution->input.temperature) +
		ln_activity(solution, SPECIES_H) - ln_activity(solution, partner);
	return exp(ln_molality) * MOLAR_MASS_IRON * water_share(solution);
}

/* ---- which sulfide is expected ---- */

static double arrhenius(double energy, double temperature, double reference)
{
	return exp(-energy / GAS_CONSTANT * (1 / temperature - 1 / reference));
}

double sulfide_rate_first(double temperature, double h2s)
{
	return pow(10, FIRST_LOG_RATE) * pow(h2s / FIRST_REFERENCE, FIRST_ORDER) *
		arrhenius(FIRST_ENERGY, temperature, RATE_REFERENCE);
}

/* A litre of solution is taken as a kilogram of water. */
double sulfide_rate_second(double temperature, double h2s)
{
	double rickard = RICKARD_RATE * arrhenius(RICKARD_ENERGY, temperature, RICKARD_REFERENCE);
	double nucleation = pow(10, NUCLEATION_LOG_RATE) * arrhenius(NUCLEATION_ENERGY, temperature, RATE_REFERENCE);
	return h2s / (1 / (pow(10, SECOND_LOG_SHARE) * rickard) + 1 / nucleation);
}

/*
 * P = k1 t exp(-k t) (1 - exp(-d))/d with k the slower rate and d = |k2 - k1| t: no difference of near equals, and its
 * limit k1 t exp(-k1 t) where the rates meet. Where they are apart the decays themselves are no near equals.
 */
static struct fractions of_decays(double first, double first_decay, double second, double second_decay, double age)
{
	double d = fabs(second - first) * age, slower = fmax(first_decay, second_decay),
	       faster = fmin(first_decay, second_decay);
	double part = d > RATES_APART ? (slower - faster) / d : d > 0 ? slower * -expm1(-d) / d : slower;
	struct fractions f = {.mackinawite = first_decay, .pyrrhotite = first * age * part};
	f.pyrite = fmax(0, 1 - f.mackinawite - f.pyrrhotite);
	return f;
}

struct fractions sulfide_point_fractions(double first, double second, double age)
{
	return of_decays(first, exp(-first * age), second, exp(-second * age), age);
}

/* Gauss-Hermite, nine points: nodes and weights over sqrt(pi) (Abramowitz and Stegun 1964, table 25.10). */
enum { NODES = 9 };
static const double nodes[NODES] = {-3.190993201781528, -2.266580584531843, -1.468553289216668, -0.7235510187528376, 0,
	0.7235510187528376, 1.468553289216668, 2.266580584531843, 3.190993201781528};
static const double weights[NODES] = {2.234584400774658e-05, 0.002789141321231769, 0.04991640676521787,
	0.24409750289493942, 0.40634920634920635, 0.24409750289493942, 0.04991640676521787, 0.002789141321231769,
	2.234584400774658e-05};

static void fill_scatter(double *scatter)
{
	for (size_t i = 0; i < NODES; i++)
		scatter[i] = pow(10, RATE_SCATTER * sqrt(2) * nodes[i]);
}

/* The pairs of nodes share their two times nine rates and decays: each is calculated once. */
static struct fractions fractions_at(double temperature, double h2s, double age, double faster)
{
	struct fractions mean = {0};
	double first = faster * sulfide_rate_first(temperature, h2s);
	double second = faster * sulfide_rate_second(temperature, h2s);
	double scatter[NODES], second_rate[NODES], second_decay[NODES];
	fill_scatter(scatter);
	for (size_t k = 0; k < NODES; k++) {
		second_rate[k] = second * scatter[k];
		second_decay[k] = exp(-second_rate[k] * age);
	}
	for (size_t i = 0; i < NODES; i++) {
		double rate = first * scatter[i], decay = exp(-rate * age);
		for (size_t k = 0; k < NODES; k++) {
			struct fractions at = of_decays(rate, decay, second_rate[k], second_decay[k], age);
			double weight = weights[i] * weights[k];
			mean.mackinawite += weight * at.mackinawite;
			mean.pyrrhotite += weight * at.pyrrhotite;
			mean.pyrite += weight * at.pyrite;
		}
	}
	return mean;
}

struct fractions sulfide_fractions(double temperature, double h2s, double age, double faster)
{
	const double key[] = {temperature, h2s, age, faster};
	static struct memo solved = {.numbers = COUNT(key), .value = sizeof(struct fractions), .places = 4096};
	const struct fractions *known = memo_find(&solved, key);
	if (known)
		return *known;
	struct fractions fractions = fractions_at(temperature, h2s, age, faster);
	memo_keep(&solved, key, &fractions);
	return fractions;
}

double sulfide_dense_share(double temperature, double h2s, double age)
{
	double exponent = sulfide_rate_first(temperature, h2s) * age, dense = 0, scatter[NODES];
	fill_scatter(scatter);
	for (size_t i = 0; i < NODES; i++)
		dense -= weights[i] * expm1(-exponent * scatter[i]);
	return dense;
}

double fractions_dense(struct fractions fractions)
{
	return fractions.pyrrhotite + fractions.pyrite;
}

bool sulfide_in_calibration(double temperature, double h2s, double age)
{
	return temperature >= CALIBRATED_COLDEST && temperature <= CALIBRATED_HOTTEST && h2s >= CALIBRATED_LEAST_H2S &&
		h2s <= CALIBRATED_MOST_H2S && age >= CALIBRATED_SHORTEST * hour && age <= CALIBRATED_LONGEST * hour;
}

enum scale sulfide_by_temperature(double temperature)
{
	return temperature < TEMPERATURE_RULE ? SCALE_MACKINAWITE : SCALE_DENSE;
}

double sulfide_film_age(double exposure, double corrosion_rate)
{
	if (!(corrosion_rate > 0))
		return exposure;
	return fmin(exposure, FILM_THICKNESS / (FILM_VOLUME_RATIO * corrosion_rate));
}

/* ---- the answer ---- */

/* Mackinawite stands for any sulfide. */
static enum scale stable_scale(double saturation_sulfide, double saturation_carbonate, double iron)
{
	if (saturation_carbonate < iron && saturation_carbonate < saturation_sulfide)
		return SCALE_SIDERITE;
	return saturation_sulfide < iron ? SCALE_MACKINAWITE : SCALE_NONE;
}

static enum scale sulfide_of(struct fractions fractions)
{
	return fractions_dense(fractions) >= DENSE_SHARE ? SCALE_DENSE : SCALE_MACKINAWITE;
}

enum scale sulfide_scale(
	double saturation_sulfide, double saturation_carbonate, double iron, struct fractions fractions)
{
	enum scale stable = stable_scale(saturation_sulfide, saturation_carbonate, iron);
	return stable == SCALE_MACKINAWITE ? sulfide_of(fractions) : stable;
}

static enum confidence confidence_of(const struct scale_answer *answer, double temperature)
{
	if (answer->scale == SCALE_NONE || answer->scale == SCALE_SIDERITE)
		return CONFIDENCE_SATURATION;
	if (answer->scale == SCALE_MACKINAWITE && temperature < ROBUST_BELOW)
		return CONFIDENCE_ROBUST;
	return answer->extrapolated ? CONFIDENCE_EXTRAPOLATED : CONFIDENCE_CALIBRATED;
}

/* On the lean side never yes: there every answer lies outside the calibration or rests on its edge. */
static enum truth barrier_of(const struct scale_answer *answer, enum side side)
{
	if (answer->scale != SCALE_DENSE)
		return NO;
	return side == SIDE_RICH && !answer->extrapolated ? YES : PERHAPS;
}

/* What the solution decides before any rate does. */
static struct scale_answer by_saturation(const struct solution *solution)
{
	struct scale_answer answer = {
		.by_temperature = sulfide_by_temperature(solution->input.temperature),
		.saturation_sulfide = sulfide_saturation_iron(SOLID_MACKINAWITE, solution),
		.saturation_carbonate = sulfide_saturation_iron(SOLID_SIDERITE, solution),
	};
	answer.carbonate_share = isinf(answer.saturation_carbonate) ? 0
		: isinf(answer.saturation_sulfide)		    ? (double)INFINITY
						   : answer.saturation_sulfide / answer.saturation_carbonate;
	return answer;
}

/* Completes an answer by saturation; the rates are asked only where a sulfide is stable. */
static void complete(
	struct scale_answer *answer, const struct solution *solution, double iron, double age, enum side side)
{
	double t = solution->input.temperature, h2s = solution->molality[SPECIES_H2S];
	answer->extrapolated = !sulfide_in_calibration(t, h2s, age);
	answer->scale = stable_scale(answer->saturation_sulfide, answer->saturation_carbonate, iron);
	if (answer->scale == SCALE_MACKINAWITE) {
		if (h2s > 0)
			answer->fractions = sulfide_fractions(t, h2s, age, 1);
		answer->scale = sulfide_of(answer->fractions);
	}
	answer->confidence = confidence_of(answer, t);
	answer->barrier = barrier_of(answer, side);
}

void sulfide_answers(const struct solution *solution, double iron, enum side side, const double *ages, size_t count,
	struct scale_answer *answers)
{
	const struct scale_answer common = by_saturation(solution);
	for (size_t i = 0; i < count; i++) {
		answers[i] = common;
		complete(&answers[i], solution, iron, ages[i], side);
	}
}

struct scale_answer sulfide_answer(const struct solution *solution, double iron, double age, enum side side)
{
	struct scale_answer answer;
	sulfide_answers(solution, iron, side, &age, 1, &answer);
	return answer;
}

const char *scale_word(enum scale scale)
{
	static const char *const words[SCALE_COUNT] = {"none", "siderite", "mackinawite", "dense"};
	return words[scale];
}

const char *barrier_word(enum truth barrier)
{
	static const char *const words[] = {[NO] = "no", [PERHAPS] = "doubtful", [YES] = "yes"};
	return words[barrier];
}

const char *confidence_word(enum confidence confidence)
{
	static const char *const words[] = {"robust", "calibrated", "extrapolated", "by saturation"};
	return words[confidence];
}
