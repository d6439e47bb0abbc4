#include "chemistry/enthalpy.h"

#include <math.h>

#include "chemistry/activity.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/reaction.h"
#include "chemistry/water.h"

/* Heats of the species, J/mol, against the gases, liquid water and the free amine; in molality order of species.def. */
static void heats_of_species(const struct terms *terms, const struct solution *solution, double *heat)
{
	double t = solution->input.temperature;
	double co2 = -reaction_heat(&reaction_henry[GAS_CO2], t), h2s = -reaction_heat(&reaction_henry[GAS_H2S], t);
	double bicarbonate = co2 + reaction_heat(&reaction_of_co2, t);

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		heat[i] = 0;
	heat[SPECIES_OH] = reaction_heat(&reaction_of_water, t);
	heat[SPECIES_CO2] = co2;
	heat[SPECIES_HCO3] = bicarbonate;
	heat[SPECIES_CO3] = bicarbonate + reaction_heat(&reaction_of_bicarbonate, t);
	heat[SPECIES_H2S] = h2s;
	heat[SPECIES_HS] = h2s + reaction_heat(&reaction_of_h2s, t);
	for (size_t p = 0; p < solution->amine_count; p++) {
		size_t am = SPECIES_AM + p * (SPECIES_AM_2 - SPECIES_AM);
		enum amine amine = solution->amine[p];
		struct reaction carbamate;

		heat[am + 1] = -reaction_heat(&reaction_of_amine[amine], t);
		if (!amine_rows[amine].carbamate)
			continue;
		carbamate = reaction_of_carbamate(amine, terms);
		heat[am + 2] = bicarbonate + reaction_heat(&carbamate, t);
	}
}

/* E of the header, J per mol of amine. */
static double reaction_enthalpy(const struct terms *terms, const struct solution *solution)
{
	const struct solution_input *input = &solution->input;
	struct solvent solvent = {.amines = solution->amine, .amine_count = solution->amine_count};
	struct activity by_temperature;
	double heat[SPECIES_COUNT], t = input->temperature, sum = 0, moles = 0;

	for (size_t p = 0; p < solution->amine_count; p++) {
		enum amine amine = solution->amine[p];

		solvent.share[p] = input->mass_fraction[amine] / amine_rows[amine].molar_mass;
		moles += solvent.share[p];
	}
	for (size_t p = 0; p < solution->amine_count; p++)
		solvent.share[p] /= moles;
	for (size_t k = 0; k < 2; k++)
		solvent.anion[k] = input->anion[k] > 0;
	solvent.cation = input->cation > 0;
	by_temperature = activity_by_temperature(terms, &solvent, t);
	heats_of_species(terms, solution, heat);
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		sum += solution->molality[i] * heat[i];
	return (sum - GAS_CONSTANT * t * t * activity_excess(&by_temperature, solution->molality)) /
		solution->amine_molality;
}

double enthalpy_absorbed(const struct terms *terms, const struct solution *solution)
{
	struct solution_input bare = solution->input;
	struct solution without;

	bare.loading[GAS_H2S] = bare.loading[GAS_CO2] = 0;
	return solution->fault == SOLUTION_FINE && solution_solve(terms, &bare, &without)
		? reaction_enthalpy(terms, &without) - reaction_enthalpy(terms, solution)
		: (double)NAN;
}

static double absorbed_in(const struct solution_input *liquid)
{
	struct solution solution;

	return solution_solve(&terms_own, liquid, &solution) ? enthalpy_absorbed(&terms_own, &solution) : (double)NAN;
}

double enthalpy_of_pick_up(const struct solution_input *lean, const struct solution_input *rich)
{
	return absorbed_in(rich) - absorbed_in(lean);
}

/* Three Gauss points, exact for the polynomials, between the zero and a temperature; the heat capacities at them. */
struct span {
	double half, middle, reach;
};

static struct span span_to(double temperature)
{
	const double half = (temperature - ENTHALPY_ZERO) / 2;

	return (struct span){half, (temperature + ENTHALPY_ZERO) / 2, half * sqrt(3.0 / 5)};
}

static double integral(const struct span *span, double middle, double before, double after)
{
	return span->half * (8 * middle + 5 * before + 5 * after) / 9;
}

/* Of one kilogram without gases from the zero to `temperature`. */
static double sensible(const double *mass_fraction, double temperature)
{
	const struct span span = span_to(temperature);

	return integral(&span, property_heat(mass_fraction, span.middle),
		property_heat(mass_fraction, span.middle - span.reach),
		property_heat(mass_fraction, span.middle + span.reach));
}

double enthalpy_water(double temperature)
{
	const struct span span = span_to(temperature);

	return MOLAR_MASS_WATER *
		integral(&span, property_heat_of_water(span.middle), property_heat_of_water(span.middle - span.reach),
			property_heat_of_water(span.middle + span.reach));
}

double enthalpy_steam(double temperature)
{
	return enthalpy_water(temperature) + MOLAR_MASS_WATER * water_latent_heat(temperature);
}

double enthalpy_gas(enum gas gas, double temperature)
{
	double t = temperature - ENTHALPY_ZERO;

	return gas == GAS_H2S ? t * (H2S_GAS_HEAT_CAPACITY_0 + t * H2S_GAS_HEAT_CAPACITY_1 / 2)
			      : t * (CO2_GAS_HEAT_CAPACITY_0 + t * CO2_GAS_HEAT_CAPACITY_1 / 2);
}

double enthalpy_solution(const struct terms *terms, const struct solution *solution)
{
	const struct solution_input *liquid = &solution->input;
	double sum =
		property_mass_per_amine(liquid->mass_fraction) * sensible(liquid->mass_fraction, liquid->temperature);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += solution->loading[gas] * enthalpy_gas(gas, liquid->temperature);
	return sum + reaction_enthalpy(terms, solution);
}

double enthalpy_liquid(const struct solution_input *liquid)
{
	struct solution solution;

	return solution_solve(&terms_own, liquid, &solution) ? enthalpy_solution(&terms_own, &solution) : (double)NAN;
}

double enthalpy_heat_capacity(const struct solution_input *liquid)
{
	struct solution_input below = *liquid, above = *liquid;

	below.temperature = fmax(liquid->temperature - CAPACITY_TEMPERATURE_STEP, DOMAIN_LOWEST_TEMPERATURE);
	above.temperature = fmin(liquid->temperature + CAPACITY_TEMPERATURE_STEP, DOMAIN_HIGHEST_TEMPERATURE);
	return (enthalpy_liquid(&above) - enthalpy_liquid(&below)) / (above.temperature - below.temperature);
}

static double flash_enthalpy(const struct terms *terms, const struct flash *flash)
{
	double temperature = flash->liquid.input.temperature, sum = enthalpy_solution(terms, &flash->liquid);

	if (!flash->vapour)
		return sum;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += flash->gas[gas] * enthalpy_gas(gas, temperature);
	return sum + flash->water * enthalpy_steam(temperature);
}

double enthalpy_flash(const struct flash *flash)
{
	return flash_enthalpy(&terms_own, flash);
}

double enthalpy_at(const struct terms *terms, const struct solution_input *feed, double pressure)
{
	struct flash flash;

	return phase_flash(terms, feed, 0, pressure, &flash) ? flash_enthalpy(terms, &flash) : (double)NAN;
}

/*
 * How far the flash at `temperature` is above the enthalpy, J; NaN where it boils dry or does not converge. `out` holds the flash
 * found before, at another temperature.
 */
static double excess(const struct terms *terms, const struct solution_input *feed, double temperature, double enthalpy,
	double pressure, struct flash *out)
{
	struct solution_input at = *feed;
	const struct flash before = *out;

	at.temperature = temperature;
	return phase_flash_near(terms, &at, pressure, &before, out) ? flash_enthalpy(terms, out) - enthalpy
								    : (double)NAN;
}

/* A bracket of the root, grown from the temperature of the feed; above the root a flash may boil dry (NaN). */
static bool bracket(const struct terms *terms, const struct solution_input *feed, double enthalpy, double pressure,
	double x[2], double f[2], struct flash *out)
{
	enum { DOUBLINGS = 8 };
	double at = feed->temperature, value = excess(terms, feed, at, enthalpy, pressure, out),
	       reach = ADIABATIC_REACH;
	int low = value < 0 ? 0 : 1;

	for (int i = 0; i < DOUBLINGS; i++) {
		x[low] = at;
		f[low] = value;
		at = fmin(
			fmax(at + (low == 0 ? reach : -reach), DOMAIN_LOWEST_TEMPERATURE), DOMAIN_HIGHEST_TEMPERATURE);
		reach *= 2;
		value = excess(terms, feed, at, enthalpy, pressure, out);
		x[1 - low] = at;
		f[1 - low] = value;
		if (low == 0 ? !(value < 0) : value <= 0)
			return isfinite(f[0]);
	}
	return false;
}

/* Regula falsi with halving, and bisection while the upper end boils dry. */
bool enthalpy_let_down(const struct terms *terms, const struct solution_input *feed, double enthalpy, double pressure,
	struct flash *out)
{
	enum { STEPS = 80 };
	double x[2], f[2],
		close = ADIABATIC_TOLERANCE * property_mass_per_amine(feed->mass_fraction) *
		property_heat_capacity(feed->mass_fraction, feed->temperature).value;
	int last = -1;

	*out = (struct flash){.vapour = false};
	if (!bracket(terms, feed, enthalpy, pressure, x, f, out)) {
		out->fault = out->fault == SOLUTION_FINE ? SOLUTION_TEMPERATURE_RANGE : out->fault;
		return false;
	}
	for (int i = 0; i < STEPS; i++) {
		bool straight = isfinite(f[1]) && f[1] - f[0] > 0;
		double middle = straight ? x[0] - f[0] * (x[1] - x[0]) / (f[1] - f[0]) : (x[0] + x[1]) / 2;
		double value = excess(terms, feed, middle, enthalpy, pressure, out);
		int side = value < 0 ? 0 : 1;

		if (fabs(value) < close || (isfinite(value) && x[1] - x[0] < ADIABATIC_TOLERANCE))
			return true;
		x[side] = middle;
		f[side] = value;
		if (side == last && straight)
			f[1 - side] /= 2;
		last = side;
	}
	out->fault = SOLUTION_NOT_CONVERGED;
	return false;
}
