#include "simulate.h"

#include <math.h>
#include <string.h>

enum { H2S, CO2 };

static const double gas_mass[2] = {0.03408, 0.04401}, water_mass = 0.018015, zero_celsius = 273.15, gas_heat = 41;

/* Molar mass kg/mol; heat capacity of the loaded solution at 40 degC, J/(kg K); heats of absorption, J/mol; usual strength. From
 * memory, rounded. */
static const struct {
	double molar_mass, heat_capacity, heat[2], strength[2], rich[2];
} amines[SIMULATED_AMINES] = {
	{0.06108, 3750, {46e3, 84e3}, {0.15, 0.25}, {0.33, 0.42}},
	{0.10514, 3730, {42e3, 70e3}, {0.25, 0.35}, {0.34, 0.44}},
	{0.11916, 3500, {38e3, 57e3}, {0.38, 0.50}, {0.34, 0.48}},
};

double chance_uniform(struct chance *chance, double low, double high)
{
	chance->state = chance->state * 6364136223846793005u + 1442695040888963407u;
	return low + (high - low) * ((double)(chance->state >> 11) / 9007199254740992.0);
}

double chance_normal(struct chance *chance)
{
	double u = chance_uniform(chance, 1e-12, 1), v = chance_uniform(chance, 0, 1);

	return sqrt(-2 * log(u)) * cos(2 * 3.14159265358979 * v);
}

/* ---- properties ---- */

/* Pa, degC; Antoine, coefficients from memory. */
static double water_pressure(double t)
{
	return t < 99 ? 133.322 * pow(10, 8.07131 - 1730.63 / (233.426 + t))
		      : 133.322 * pow(10, 8.14019 - 1810.94 / (244.485 + t));
}

static double water_temperature(double pressure)
{
	double low = 1, high = 200;

	for (int i = 0; i < 60; i++) {
		double middle = (low + high) / 2;
		if (water_pressure(middle) < pressure)
			low = middle;
		else
			high = middle;
	}
	return low;
}

/* J/kg; after Watson, 2257 kJ/kg at 100 degC, the exponent that fits steam tables at 45 degC. */
static double latent(double t)
{
	return 2.257e6 * pow((647.1 - zero_celsius - t) / (647.1 - zero_celsius - 100), 0.32);
}

static double mass_of(const struct simulated_design *d, const double *loading)
{
	return amines[d->amine].molar_mass / d->strength + loading[H2S] * gas_mass[H2S] + loading[CO2] * gas_mass[CO2];
}

/* J/(kg K): falls with gas, rises with temperature. */
static double heat_capacity(const struct simulated_design *d, double t, const double *loading)
{
	double usual = (amines[d->amine].strength[0] + amines[d->amine].strength[1]) / 2;
	double cp = amines[d->amine].heat_capacity - 2300 * (d->strength - usual) + 3.0 * (t - 40);

	return d->heat_capacity * cp * (1 - 0.28 * d->strength * (loading[H2S] + loading[CO2]));
}

double simulate_density(const struct simulated_design *d, double t, const double *loading)
{
	static const double by_strength[SIMULATED_AMINES] = {20, 90, 85};
	double w = d->strength, amine = w / amines[d->amine].molar_mass;
	double gas = amine * (loading[H2S] * gas_mass[H2S] + loading[CO2] * gas_mass[CO2]);
	double clear = 1000.5 - 0.0035 * (t - 4) * (t - 4) - 0.1 * (t - 4) * w * 4.0 + by_strength[d->amine] * w;

	return d->density * clear * (1 + (d->amine == SIMULATED_MEA ? 0.72 : 0.95) * gas);
}

/* ---- design ---- */

struct simulated_design simulate_draw(struct chance *c)
{
	struct simulated_design d = {.amine = (enum simulated_amine)(int)chance_uniform(c, 0, SIMULATED_AMINES - 1e-9)};
	double acid = chance_uniform(c, 0.01, 0.08), sour = chance_uniform(c, 0.2, 0.8);

	d.absorbers = 1 + (size_t)chance_uniform(c, 0, MOST_ABSORBERS - 1e-9);
	d.strength = chance_uniform(c, amines[d.amine].strength[0], amines[d.amine].strength[1]);
	d.lean_loading[H2S] =
		d.amine == SIMULATED_MDEA ? chance_uniform(c, 0.002, 0.008) : chance_uniform(c, 0.004, 0.02);
	d.lean_loading[CO2] =
		d.amine == SIMULATED_MDEA ? chance_uniform(c, 0.002, 0.006) : chance_uniform(c, 0.02, 0.10);
	d.lean_temperature = chance_uniform(c, 38, 50);
	for (size_t i = 0; i < d.absorbers; i++) {
		double share = acid * chance_uniform(c, 0.6, 1.5);
		d.gas[i] = exp(chance_uniform(c, log(80), log(1200)));
		d.before[i][H2S] = share * sour;
		d.before[i][CO2] = share * (1 - sour);
		d.after[i][H2S] = chance_uniform(c, 2e-6, 5e-5);
		d.after[i][CO2] = d.before[i][CO2] *
			(d.amine == SIMULATED_MDEA ? chance_uniform(c, 0.25, 0.6) : chance_uniform(c, 0.002, 0.05));
		d.pressure[i] = chance_uniform(c, 10e5, 70e5);
		d.gas_temperature[i] = d.lean_temperature - chance_uniform(c, 4, 12);
		d.warmer[i] = chance_uniform(c, 0, 5);
		d.rich_loading[i] = chance_uniform(c, amines[d.amine].rich[0], amines[d.amine].rich[1]);
	}
	d.rich_approach = chance_uniform(c, 12, 25);
	d.top_pressure = chance_uniform(c, 1.55e5, 2.0e5);
	d.column_drop = chance_uniform(c, 0.1e5, 0.25e5);
	d.drum_drop = chance_uniform(c, 0.1e5, 0.3e5);
	d.drum_temperature = chance_uniform(c, 38, 52);
	d.reflux_ratio = chance_uniform(c, 1.0, 2.8);
	d.steam_pressure = chance_uniform(c, 3.2e5, 5.5e5);
	d.flashed = chance_uniform(c, 0.0005, 0.004);
	d.flash_methane = chance_uniform(c, 0.002, 0.01);
	d.heat_capacity = 1 + chance_uniform(c, -0.02, 0.02);
	d.heats[H2S] = 1 + chance_uniform(c, -0.05, 0.05);
	d.heats[CO2] = 1 + chance_uniform(c, -0.05, 0.05);
	d.loss = chance_uniform(c, 0, 0.02);
	d.vaporised = chance_uniform(c, 0, 0.04);
	d.density = 1 + chance_uniform(c, -0.005, 0.005);
	d.vapour_pressure = 1 + chance_uniform(c, -0.02, 0.02);
	return d;
}

struct simulated_design simulate_other_case(const struct simulated_design *design, struct chance *c)
{
	struct simulated_design d = *design;
	double throughput = chance_uniform(c, 0.55, 0.9), acid = chance_uniform(c, 0.7, 1.25),
	       warmer = chance_uniform(c, 3, 9);

	for (size_t i = 0; i < d.absorbers; i++) {
		d.gas[i] *= throughput;
		d.before[i][H2S] *= acid;
		d.before[i][CO2] *= acid * chance_uniform(c, 0.85, 1.15);
		d.after[i][CO2] *= acid * chance_uniform(c, 0.7, 1.3);
		d.gas_temperature[i] += warmer;
		d.rich_loading[i] *= chance_uniform(c, 0.8, 1.05);
	}
	d.lean_temperature += warmer;
	d.drum_temperature += warmer;
	d.reflux_ratio *= chance_uniform(c, 0.85, 1.3);
	d.rich_approach *= chance_uniform(c, 0.7, 1);
	d.top_pressure *= chance_uniform(c, 0.95, 1.15);
	d.lean_loading[H2S] *= chance_uniform(c, 0.6, 1.4);
	return d;
}

/* ---- the circuit ---- */

/* What leaves at the bottom, degC: heat of absorption, gas warmed or cooled, water evaporated or condensed. */
static double bottom(const struct simulated *s, size_t i, const double *taken)
{
	const struct simulated_design *d = &s->design;
	double out = d->lean_temperature + d->warmer[i], in = d->gas_temperature[i];
	double heat = taken[H2S] * d->heats[H2S] * amines[d->amine].heat[H2S] +
		taken[CO2] * d->heats[CO2] * amines[d->amine].heat[CO2];

	heat += s->lean_mass[i] * heat_capacity(d, d->lean_temperature, d->lean_loading) * d->lean_temperature;
	heat += d->gas[i] * gas_heat * in - s->treated[i] * gas_heat * out;
	heat += latent(out) * water_mass * (d->gas[i] * water_pressure(in) - s->treated[i] * water_pressure(out)) /
		d->pressure[i];
	double t = d->lean_temperature + 15;
	for (int k = 0; k < 20; k++)
		t = heat / (s->rich_mass[i] * heat_capacity(d, (t + d->lean_temperature) / 2, s->rich[i]));
	return t;
}

static void solve_absorbers(struct simulated *s)
{
	const struct simulated_design *d = &s->design;
	double heat = 0, mass = 0;

	for (size_t i = 0; i < d->absorbers; i++) {
		double taken[2], inert = d->gas[i] * (1 - d->before[i][H2S] - d->before[i][CO2]);
		s->treated[i] = inert / (1 - d->after[i][H2S] - d->after[i][CO2]);
		for (int g = 0; g < 2; g++)
			taken[g] = d->gas[i] * d->before[i][g] - s->treated[i] * d->after[i][g];
		s->amine[i] =
			(taken[H2S] + taken[CO2]) / (d->rich_loading[i] - d->lean_loading[H2S] - d->lean_loading[CO2]);
		for (int g = 0; g < 2; g++)
			s->rich[i][g] = d->lean_loading[g] + taken[g] / s->amine[i];
		s->lean_mass[i] = s->amine[i] * mass_of(d, d->lean_loading);
		s->rich_mass[i] = s->amine[i] * mass_of(d, s->rich[i]);
		s->rich_temperature[i] = bottom(s, i, taken);
		s->amine_total += s->amine[i];
		for (int g = 0; g < 2; g++)
			s->mixed[g] += s->amine[i] * s->rich[i][g];
		heat += s->rich_mass[i] * s->rich_temperature[i];
		mass += s->rich_mass[i];
	}
	s->mixed_temperature = heat / mass - 0.1;
	for (int g = 0; g < 2; g++)
		s->mixed[g] /= s->amine_total;
}

static void solve_flash(struct simulated *s)
{
	const struct simulated_design *d = &s->design;
	double lost[2];

	s->flash_gas = d->flash_methane * s->amine_total;
	for (int g = 0; g < 2; g++) {
		lost[g] = s->mixed[g] * d->flashed * (g == CO2 ? 1 : 0.7);
		s->flash_out[g] = s->mixed[g] - lost[g];
		s->flash_gas += lost[g] * s->amine_total;
	}
	for (int g = 0; g < 2; g++)
		s->flash_share[g] = lost[g] * s->amine_total / s->flash_gas;
	s->rich_mass_total = s->amine_total * mass_of(d, s->flash_out);
	s->lean_mass_total = s->amine_total * mass_of(d, d->lean_loading);
}

/* Water's share over the lean solution by moles; the amine is not volatile, what gas there is adds a little. */
static double boiling(const struct simulated_design *d)
{
	double amine = d->strength / amines[d->amine].molar_mass, water = (1 - d->strength) / water_mass;
	double share = water / (water + amine * (1 + d->lean_loading[H2S] + d->lean_loading[CO2]));
	double gas = 1 + 0.6 * d->lean_loading[H2S] + 0.6 * d->lean_loading[CO2];

	return water_temperature((d->top_pressure + d->column_drop) / (share * gas * d->vapour_pressure));
}

static void solve_exchange(struct simulated *s)
{
	const struct simulated_design *d = &s->design;

	s->hot_lean = boiling(d);
	s->hot_rich = s->hot_lean - d->rich_approach;
	double rich = s->rich_mass_total * heat_capacity(d, (s->hot_rich + s->mixed_temperature) / 2, s->flash_out);
	s->exchange = rich * (s->hot_rich - s->mixed_temperature) * (1 + d->vaporised);
	s->warm_lean = s->hot_lean - 40;
	for (int k = 0; k < 20; k++)
		s->warm_lean = s->hot_lean -
			s->exchange /
				(s->lean_mass_total *
					heat_capacity(d, (s->hot_lean + s->warm_lean) / 2, d->lean_loading));
	s->cooler = s->lean_mass_total * heat_capacity(d, (s->warm_lean + d->lean_temperature) / 2, d->lean_loading) *
		(s->warm_lean - d->lean_temperature);
}

static void solve_regenerator(struct simulated *s)
{
	const struct simulated_design *d = &s->design;
	double stripped[2], sum = 0, cold = s->mixed_temperature;

	for (int g = 0; g < 2; g++)
		sum += stripped[g] = s->amine_total * (s->flash_out[g] - d->lean_loading[g]);
	s->drum_pressure = d->top_pressure - d->drum_drop;
	s->bottom_pressure = d->top_pressure + d->column_drop;
	double water = water_pressure(d->drum_temperature) / s->drum_pressure;
	s->acid_gas = sum / (1 - water);
	for (int g = 0; g < 2; g++)
		s->acid_share[g] = stripped[g] / s->acid_gas;
	s->reflux = d->reflux_ratio * s->acid_gas * water_mass;
	double steam = s->reflux / water_mass + water * s->acid_gas;
	s->top_temperature = water_temperature(d->top_pressure * steam / (steam + sum) / d->vapour_pressure);
	s->overhead = s->reflux + stripped[H2S] * gas_mass[H2S] + stripped[CO2] * gas_mass[CO2] +
		water * s->acid_gas * water_mass;
	double cooled = s->top_temperature - d->drum_temperature;
	s->condenser = s->reflux * (latent(d->drum_temperature) + 1900 * cooled) + s->acid_gas * 36 * cooled;
	double heat =
		s->lean_mass_total * heat_capacity(d, (s->hot_lean + cold) / 2, d->lean_loading) * (s->hot_lean - cold);
	heat += stripped[H2S] * d->heats[H2S] * amines[d->amine].heat[H2S] +
		stripped[CO2] * d->heats[CO2] * amines[d->amine].heat[CO2];
	heat += s->condenser + sum * 36 * (d->drum_temperature - cold) +
		water * s->acid_gas * latent(d->drum_temperature) * water_mass;
	s->reboiler = (heat - s->exchange) / (1 - d->loss);
	s->steam = s->reboiler / latent(water_temperature(d->steam_pressure));
}

struct simulated simulate(const struct simulated_design *design)
{
	struct simulated s = {.design = *design};

	solve_absorbers(&s);
	solve_flash(&s);
	solve_exchange(&s);
	solve_regenerator(&s);
	return s;
}
