#include "chemistry/reaction.h"

#include <math.h>

#include "chemistry/constants.h"

const struct reaction reaction_of_water = {WATER_ION_A1, WATER_ION_A2, 0, WATER_ION_A4};
const struct reaction reaction_of_co2 = {CO2_FIRST_A1, CO2_FIRST_A2, 0, CO2_FIRST_A4};
const struct reaction reaction_of_bicarbonate = {CO2_SECOND_A1, CO2_SECOND_A2, 0, CO2_SECOND_A4};
const struct reaction reaction_of_h2s = {H2S_FIRST_A1, H2S_FIRST_A2, 0, H2S_FIRST_A4};

const struct reaction reaction_henry[GAS_COUNT] = {
	[GAS_H2S] = {HENRY_H2S_B1, HENRY_H2S_B2, HENRY_H2S_B3, HENRY_H2S_B4 + LN_ATMOSPHERE},
	[GAS_CO2] = {HENRY_CO2_B1, HENRY_CO2_B2, HENRY_CO2_B3, HENRY_CO2_B4 + LN_ATMOSPHERE}};

const struct reaction reaction_of_amine[AMINE_COUNT] = {
	[AMINE_MEA] = {-LN10 * MEA_PK_P1, 0, -LN10 *MEA_PK_P3, -LN10 *MEA_PK_P2},
	[AMINE_DGA] = {-LN10 * MEA_PK_P1, 0, -LN10 *MEA_PK_P3, -LN10 *(MEA_PK_P2 - DGA_PK_BELOW_MEA)},
	[AMINE_DEA] = {DEA_LNK_Q1, DEA_LNK_Q2, 0, DEA_LNK_Q0},
	[AMINE_MDEA] = {MDEA_LNK_Q1, MDEA_LNK_Q2, 0, MDEA_LNK_Q0},
	[AMINE_DIPA] = {-DIPA_HEAT_OF_DISSOCIATION / GAS_CONSTANT, 0, 0,
		DIPA_HEAT_OF_DISSOCIATION / GAS_CONSTANT / DIPA_REFERENCE_TEMPERATURE - LN10 *DIPA_PK_25}};

struct reaction reaction_of_carbamate(enum amine amine, const struct terms *terms)
{
	enum amine source = amine_rows[amine].terms_of;
	struct carbamate_term term = terms->carbamate[source];
	struct reaction reaction = source == AMINE_MEA
		? (struct reaction){MEA_CARBAMATE_C1, 0, MEA_CARBAMATE_C2, MEA_CARBAMATE_C0}
		: (struct reaction){DEA_CARBAMATE_C1, 0, 0, DEA_CARBAMATE_C0};

	reaction.over += term.slope * TERM_KILO;
	reaction.fixed += term.offset - term.slope * TERM_KILO / TERM_CENTRE;
	return reaction;
}

double reaction_ln(const struct reaction *reaction, double temperature, double ln_temperature)
{
	return reaction->over / temperature + reaction->log * ln_temperature + reaction->linear * temperature +
		reaction->fixed;
}

double reaction_heat(const struct reaction *reaction, double temperature)
{
	return GAS_CONSTANT * (-reaction->over + temperature * (reaction->log + temperature * reaction->linear));
}

static double ln_at(const struct reaction *reaction, double temperature)
{
	return reaction_ln(reaction, temperature, log(temperature));
}

double reaction_ln_water(double temperature)
{
	return ln_at(&reaction_of_water, temperature);
}

double reaction_ln_co2_first(double temperature)
{
	return ln_at(&reaction_of_co2, temperature);
}

double reaction_ln_co2_second(double temperature)
{
	return ln_at(&reaction_of_bicarbonate, temperature);
}

double reaction_ln_h2s(double temperature)
{
	return ln_at(&reaction_of_h2s, temperature);
}

double reaction_ln_amine(enum amine amine, double temperature)
{
	return ln_at(&reaction_of_amine[amine], temperature);
}

double reaction_ln_henry(enum gas gas, double temperature)
{
	return ln_at(&reaction_henry[gas], temperature);
}

double reaction_ln_carbamate(enum amine amine, const struct terms *terms, double temperature)
{
	struct reaction reaction = reaction_of_carbamate(amine, terms);

	return ln_at(&reaction, temperature);
}

double reaction_henry_co2_difference(double temperature)
{
	double over = 1 / temperature;
	double ln_carroll = HENRY_CO2_CARROLL_C0 +
		over * (HENRY_CO2_CARROLL_C1 + over * (HENRY_CO2_CARROLL_C2 + over * HENRY_CO2_CARROLL_C3));

	return expm1(reaction_ln_henry(GAS_CO2, temperature) - ln_carroll - LN_MOLALITY_IN_MPA);
}
