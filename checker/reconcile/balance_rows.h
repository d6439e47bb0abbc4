/*
 * The balances of a circuit as rows of least squares: what each calculates from the unknowns, at constants that balances.c takes
 * from chemistry/ before the solution starts. Each row is zero where it closes: a share, a difference of ln, or K.
 */
#ifndef LEANRICH_BALANCE_ROWS_H
#define LEANRICH_BALANCE_ROWS_H

#include "reconcile/plant.h"

extern const double STEAM_HEAT_CAPACITY; /* J/(kg K) */

/* ln of a saturation pressure as a straight line in 1/T through the start. */
struct saturation {
	double ln, at, slope; /* Pa, K, K */
};

/* A row: of which junction, exchange, column or heater, and the constants it needs. */
struct balance {
	const struct plant *plant;
	const struct junction *junction;
	const struct exchange *exchange;
	const struct column *column;
	const struct heater *heater;
	size_t duty, gas_in, gas_out; /* unknown; indices of gases or NO_UNKNOWN */
	enum gas gas;
	bool of_feed;
	double hot_capacity, cold_capacity, zero; /* J/(kg K), J/(kg K), K */
	double gas_capacity;			  /* J/(mol K) */
	double heat[GAS_COUNT];			  /* J/mol */
	struct saturation in, out, top, drum;
	struct linear boiling;			/* ln Pa of the lean solution */
	double latent, latent_slope, latent_at; /* J/kg, by ln Pa */
	const size_t *exchanges;		/* heat taken up by the feed of a column */
	size_t exchange_count, cold_inlet;
};

fit_value row_amine;
fit_value row_gas;
fit_value row_inert;
fit_value row_bottom;
fit_value row_mixed;
fit_value row_top_of_absorber;
fit_value row_hot_side;
fit_value row_cold_side;
fit_value row_fractions;
fit_value row_top;
fit_value row_condenser;
fit_value row_column;
fit_value row_boiling;
fit_value row_steam;
fit_value row_factor;

#endif
