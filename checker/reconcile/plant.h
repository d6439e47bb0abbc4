/*
 * The unknowns of one circuit in one operating case and the balances between them: what least squares solve (fit.h).
 *
 * Unknowns: ln of amine flow (mol/s) and of both loadings (mol/mol) and the temperature (K) of each class of streams, one strength
 * (mass fraction free of gas) for the whole solution, ln of flow (mol/s) and shares of each gas, ln of each duty (W), and of each
 * regenerator its reflux (ln kg/s), temperatures (K) and pressures (ln Pa) of top, drum and bottom. Six correction factors, shared
 * by the whole circuit: heat capacity, heat of absorption of each gas, vapour pressure, density, compressibility.
 *
 * Properties come from chemistry/ at the start and are carried on from there by their slopes. Closure tolerances (plant.c): set for
 * circuits simulated with other property relations, tests/circuits.
 */
#ifndef LEANRICH_PLANT_H
#define LEANRICH_PLANT_H

#include "chemistry/solution.h"
#include "reconcile/fit.h"
#include "reconcile/flowsheet.h"

#define NO_UNKNOWN ((size_t)-1)

enum factor {
	FACTOR_HEAT_CAPACITY,
	FACTOR_HEAT_H2S,
	FACTOR_HEAT_CO2,
	FACTOR_VAPOUR,
	FACTOR_DENSITY,
	FACTOR_GAS,
	FACTORS
};

/* A stream of amine: indices of its unknowns. */
struct liquid {
	const struct item *stream;
	size_t amine, loading[GAS_COUNT], temperature;
};

/* A gas, or a liquid hydrocarbon that gives off acid gas; `item` NULL: none is described, but it must be there. */
struct gas_stream {
	const struct item *item;
	size_t flow, share[GAS_COUNT], temperature;
	double pressure; /* Pa; NaN where not known */
	bool dry;	 /* shares are of the gas without its water */
	bool leaves;	 /* treated, flashed or acid gas */
	bool liquid;	 /* a hydrocarbon */
};

struct heater {
	const struct item *item, *steam; /* NULL: no steam */
	size_t duty, steam_flow, steam_pressure;
	double steam_temperature; /* K; NaN: saturated */
};

/* A regenerator with its condenser and reboilers. */
struct column {
	const struct junction *junction;
	const struct item *overhead, *reflux_stream, *drum_item, *condenser;
	double ln_returned; /* ln of the share of what condenses that goes back to the column; the rest is purged */
	size_t acid_gas; /* index of the gas */
	size_t reflux, condenser_duty;
	size_t top_temperature, top_pressure, drum_temperature, drum_pressure, bottom_pressure;
	struct heater *heaters;
	size_t heater_count;
};

struct linear {
	double value, at_temperature, at_strength, at_loading[GAS_COUNT]; /* reference */
	double by_temperature, by_strength, by_loading[GAS_COUNT];	  /* slopes */
};

struct plant {
	struct arena *arena;
	struct table *table;
	int operating_case;
	struct flowsheet sheet;
	struct fit *fit;

	/* Unknowns before they are given to `fit`, in the same order; start NaN: nothing states it. */
	struct fit_unknown *unknowns;
	size_t unknown_count, unknown_capacity;

	enum amine amine;
	double moles_per_strength; /* mol of amine in a kg of solution without gas, over its strength */
	double share_of_amine
		[AMINE_COUNT];	     /* by mass over the strength: more than 1 where that is of free amine alone */
	struct solution_input salts; /* the ions of the solution, per mol of amine; the rest is not used */
	bool present[GAS_COUNT];

	size_t strength, factor[FACTORS];
	struct liquid *liquids; /* in the order of sheet.streams */
	struct linear *density; /* ln of kg/m3, of each liquid */
	struct gas_stream *gases;
	size_t gas_count, gas_capacity;
	size_t *treated; /* of each junction the gas that leaves it, or NO_UNKNOWN */
	size_t *duties;	 /* of sheet.exchanges */
	struct column *columns;
	size_t column_count;
};

/* False, with the reason, where a circuit cannot be made: no amine whose chemistry is known, no strength, nothing connected. */
bool plant_new(struct arena *arena, struct table *table, int operating_case, struct plant *plant, const char **why);

/* Index of a gas by its item; gas_count: none. */
size_t plant_gas(const struct plant *plant, const struct item *item);

/* Fills the starts that nothing states, and gives all unknowns to `fit`. */
void plant_start(struct plant *plant);

/* Adds the balances as model rows, and the factors as property rows. After plant_start(). */
void plant_add_balances(struct plant *plant);

/* kg of solution, with its gas, per mole of amine. */
struct dual plant_mass(const struct plant *plant, const struct liquid *liquid, const struct dual *u);
/* ln kg/m3 of the i-th liquid. */
struct dual plant_ln_density(const struct plant *plant, size_t i, const struct dual *u);

#endif
