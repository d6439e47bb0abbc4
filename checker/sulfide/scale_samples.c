#include "sulfide/scale_samples.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>

#include "base/parallel.h"
#include "chemistry/constants.h"
#include "chemistry/nearby.h"
#include "chemistry/range.h"

#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
CONSTANT(HALF_WIDTH_DEVIATIONS, 2, "", 0, 0, "own-choice", INFERRED)
CONSTANT(AGE_FACTOR_STATED, 2, "", 0, 0, "own-choice", INFERRED)
CONSTANT(AGE_FACTOR_ASSUMED, 3, "", 0, 0, "own-choice", INFERRED)
#undef CONSTANT

enum what { OF_TEMPERATURE, OF_H2S, OF_CO2, OF_AGE, OF_PRESSURE, OF_FIRST_RATE, OF_SECOND_RATE, DIMENSIONS };

/* Points of the unit cube as normal deviates, but for the age, which stays uniform in its logarithm. */
struct points {
	double at[SCALE_SAMPLES][DIMENSIONS];
};

/* The shift moves every point alike around the cube; it also keeps all of them off its faces. */
static bool fill_points(struct points *points, unsigned long seed)
{
	gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, DIMENSIONS);
	gsl_rng *generator = gsl_rng_alloc(gsl_rng_mt19937);
	bool made = sequence && generator;
	double shift[DIMENSIONS] = {0};
	if (made) {
		gsl_rng_set(generator, seed);
		for (int k = 0; k < DIMENSIONS; k++)
			shift[k] = gsl_rng_uniform_pos(generator);
	}
	for (int i = 0; i < SCALE_SAMPLES && made; i++) {
		double point[DIMENSIONS];
		made = gsl_qrng_get(sequence, point) == 0;
		for (int k = 0; k < DIMENSIONS; k++) {
			double u = fmod(point[k] + shift[k], 1);
			u = fmin(fmax(u, 0.5 / SCALE_SAMPLES), 1 - 0.5 / SCALE_SAMPLES);
			points->at[i][k] = k == OF_AGE ? 2 * u - 1 : gsl_cdf_ugaussian_Pinv(u);
		}
	}
	if (sequence)
		gsl_qrng_free(sequence);
	if (generator)
		gsl_rng_free(generator);
	return made;
}

static double deviation(const struct input *input)
{
	return input->quantity->uncertainty / HALF_WIDTH_DEVIATIONS;
}

static struct offset deviations(const struct reading_at *reading)
{
	return (struct offset){.temperature = deviation(&reading->temperature),
		.loading = {[GAS_H2S] = deviation(&reading->h2s), [GAS_CO2] = deviation(&reading->co2)}};
}

/* One sample; false: no state there (a temperature or loading outside the chemistry). */
static bool sample(const struct reading_at *reading, const struct nearby *nearby, double ln_factor, const double *at,
	enum scale *scale)
{
	struct offset offset = deviations(reading);
	struct solution s;
	offset.temperature *= at[OF_TEMPERATURE];
	offset.loading[GAS_H2S] *= at[OF_H2S];
	offset.loading[GAS_CO2] *= at[OF_CO2];
	if (!nearby_solve(nearby, offset, &s))
		return false;
	double t = s.input.temperature;
	double pressure_factor = exp(ln_factor / SPREAD_DEVIATIONS * at[OF_PRESSURE]);
	double molecular = s.molality[SPECIES_H2S] * pressure_factor;
	double age_factor = reading->age.assumed ? AGE_FACTOR_ASSUMED : AGE_FACTOR_STATED;
	double age = reading->age.seconds * exp(log(age_factor) * at[OF_AGE]);
	struct fractions fractions = {0};
	if (molecular > 0)
		fractions = sulfide_point_fractions(
			sulfide_rate_first(t, molecular) * exp(LN10 * RATE_SCATTER * at[OF_FIRST_RATE]),
			sulfide_rate_second(t, molecular) * exp(LN10 * RATE_SCATTER * at[OF_SECOND_RATE]), age);
	*scale = sulfide_scale(sulfide_saturation_iron(SOLID_MACKINAWITE, &s),
		sulfide_saturation_iron(SOLID_SIDERITE, &s), reading->iron, fractions);
	return true;
}

/* What is sampled, in the order of the readings, and into what. */
struct sampling {
	const struct points *points;
	const struct reading_at **readings;
	struct scale_shares **shares;
	size_t count;
};

static void fill_shares(size_t index, void *data)
{
	const struct sampling *sampling = data;
	const struct reading_at *reading = sampling->readings[index];
	const struct points *points = sampling->points;
	struct scale_shares *shares = sampling->shares[index];
	size_t found[SCALE_COUNT] = {0};
	double ln_factor = log(range_factor(&reading->solution, GAS_H2S));
	struct nearby nearby;
	nearby_open(&nearby, &terms_own, &reading->solution, deviations(reading));
	for (int i = 0; i < SCALE_SAMPLES; i++) {
		enum scale scale;
		if (!sample(reading, &nearby, ln_factor, points->at[i], &scale))
			continue;
		found[scale]++;
		shares->samples++;
	}
	for (int i = 0; i < SCALE_COUNT && shares->samples; i++)
		shares->share[i] = (double)found[i] / (double)shares->samples;
}

/* Many places hold the same solution at the same temperature: what was sampled once is taken again. */
static bool alike(const struct reading_at *a, const struct reading_at *b)
{
	return a->age.assumed == b->age.assumed &&
		number_same(a->temperature.quantity->uncertainty, b->temperature.quantity->uncertainty) &&
		number_same(a->h2s.quantity->uncertainty, b->h2s.quantity->uncertainty) &&
		number_same(a->co2.quantity->uncertainty, b->co2.quantity->uncertainty);
}

static const struct reading_at *sampled_before(const struct reading_at *reading)
{
	const struct reading_at *before = circuit_alike_before(reading);
	while (before && !alike(before, reading))
		before = circuit_alike_before(before);
	return before;
}

bool scale_samples(
	struct arena *arena, const struct circuit *circuit, unsigned long seed, const struct scale_shares **out)
{
	size_t readings = circuit->reading_count;
	struct scale_shares *shares = arena_alloc(arena, (readings + 1) * sizeof *shares);
	struct points *points = arena_alloc(arena, sizeof *points);
	struct sampling sampling = {.points = points,
		.readings = arena_alloc(arena, (readings + 1) * sizeof *sampling.readings),
		.shares = arena_alloc(arena, (readings + 1) * sizeof *sampling.shares)};
	*out = shares;
	if (!fill_points(points, seed))
		return false;
	for (size_t i = 0; i < readings; i++)
		if (!circuit->readings[i].missing.reason && !sampled_before(&circuit->readings[i])) {
			sampling.readings[sampling.count] = &circuit->readings[i];
			sampling.shares[sampling.count++] = &shares[i];
		}
	parallel_each(sampling.count, fill_shares, &sampling);
	for (size_t i = 0; i < readings; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		const struct reading_at *before = reading->missing.reason ? NULL : sampled_before(reading);
		if (before)
			shares[i] = shares[before - circuit->readings];
	}
	return true;
}
