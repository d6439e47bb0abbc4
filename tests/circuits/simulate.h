/*
 * Amine circuits made up and solved: a second implementation, with property relations of its own, that writes what a package would
 * state of them. Nothing of the program is used; so that the program is not tested against itself.
 *
 * One to three absorbers, flash drum, lean/rich exchanger, regenerator with condenser and reboiler, cooler. Heat capacities differ by
 * 2 %, heats of absorption by 5 %, losses are 0-2 %, 0-4 % of the heat that the rich takes up goes into vapour.
 */
#ifndef LEANRICH_TESTS_SIMULATE_H
#define LEANRICH_TESTS_SIMULATE_H

#include <stddef.h>
#include <stdint.h>

enum { MOST_ABSORBERS = 3, TEXT = 24, MOST_STATED = 400 };

struct chance {
	uint64_t state;
};

double chance_uniform(struct chance *chance, double low, double high);
double chance_normal(struct chance *chance);

enum simulated_amine { SIMULATED_MEA, SIMULATED_DEA, SIMULATED_MDEA, SIMULATED_AMINES };

/* The design: drawn once for a unit. Flows mol/s, temperatures degC, pressures Pa absolute. */
struct simulated_design {
	enum simulated_amine amine;
	size_t absorbers;
	double strength, lean_loading[2];
	double gas[MOST_ABSORBERS], before[MOST_ABSORBERS][2], after[MOST_ABSORBERS][2], pressure[MOST_ABSORBERS],
		gas_temperature[MOST_ABSORBERS], warmer[MOST_ABSORBERS], rich_loading[MOST_ABSORBERS];
	double lean_temperature, rich_approach, top_pressure, column_drop, drum_drop, drum_temperature, reflux_ratio,
		steam_pressure, flashed, flash_methane;
	double heat_capacity, heats[2], loss, vaporised, density,
		vapour_pressure; /* factors of the property relations */
};

/* The circuit solved. Flows mol/s and kg/s, temperatures degC, duties W. */
struct simulated {
	struct simulated_design design;
	double treated[MOST_ABSORBERS], amine[MOST_ABSORBERS], rich[MOST_ABSORBERS][2],
		rich_temperature[MOST_ABSORBERS], lean_mass[MOST_ABSORBERS], rich_mass[MOST_ABSORBERS];
	double amine_total, mixed[2], flash_out[2], flash_gas, flash_share[2];
	double lean_mass_total, rich_mass_total, mixed_temperature, hot_rich, hot_lean, warm_lean, bottom_pressure;
	double exchange, cooler, condenser, reboiler, steam;
	double acid_gas, acid_share[2], reflux, top_temperature, drum_pressure, overhead;
};

struct simulated_design simulate_draw(struct chance *chance);
/* The same unit at another throughput, gas and season. */
struct simulated_design simulate_other_case(const struct simulated_design *design, struct chance *chance);
struct simulated simulate(const struct simulated_design *design);

double simulate_density(const struct simulated_design *design, double temperature, const double *loading); /* kg/m3 */

/* ---- what a package states of it ---- */

enum stated_sort {
	SORT_FLOW,
	SORT_TEMPERATURE,
	SORT_PRESSURE,
	SORT_LOADING,
	SORT_COMPOSITION,
	SORT_DUTY,
	SORT_STRENGTH,
	SORT_RATIO,
	SORT_DENSITY
};

struct simulated_value {
	const char *item, *attribute;
	enum stated_sort sort;
	const char *unit;
	int document; /* 0: the heat and material balance */
	int digits;   /* significant; of a temperature decimals */
	double value; /* in its unit */
	char written[TEXT];
};

struct simulated_package {
	struct simulated truth;
	struct simulated_value values[MOST_STATED];
	size_t count;
};

/* With scatter: the relative one of flows; temperatures 50 K times it, loadings twice, compositions 1.5 times. */
void simulate_package(
	const struct simulated *truth, double scatter, struct chance *chance, struct simulated_package *out);
void simulate_print_value(struct simulated_value *value);
/* The description as XML; false when `size` bytes are not enough. */
int simulate_describe(const struct simulated_package *package, char *out, size_t size);

#endif
