#include "chemistry/reaction.h"

#include <math.h>

#include "chemistry/constants.h"

double reaction_ln_water(double temperature)
{
	return WATER_ION_A1 / temperature + WATER_ION_A2 * log(temperature) + WATER_ION_A4;
}

double reaction_ln_co2_first(double temperature)
{
	return CO2_FIRST_A1 / temperature + CO2_FIRST_A2 * log(temperature) + CO2_FIRST_A4;
}

double reaction_ln_co2_second(double temperature)
{
	return CO2_SECOND_A1 / temperature + CO2_SECOND_A2 * log(temperature) + CO2_SECOND_A4;
}

double reaction_ln_h2s(double temperature)
{
	return H2S_FIRST_A1 / temperature + H2S_FIRST_A2 * log(temperature) + H2S_FIRST_A4;
}

double reaction_ln_amine(enum amine amine, double temperature)
{
	double pk = MEA_PK_P1 / temperature + MEA_PK_P2 + MEA_PK_P3 * temperature;

	switch (amine) {
	case AMINE_MEA:
		return -LN10 * pk;
	case AMINE_DGA:
		return -LN10 * (pk - DGA_PK_BELOW_MEA);
	case AMINE_DEA:
		return DEA_LNK_Q0 + DEA_LNK_Q1 / temperature + DEA_LNK_Q2 * log(temperature);
	case AMINE_MDEA:
		return MDEA_LNK_Q0 + MDEA_LNK_Q1 / temperature + MDEA_LNK_Q2 * log(temperature);
	case AMINE_DIPA:
		return -LN10 * DIPA_PK_25 -
			DIPA_HEAT_OF_DISSOCIATION / GAS_CONSTANT * (1 / temperature - 1 / DIPA_REFERENCE_TEMPERATURE);
	case AMINE_COUNT:
		break;
	}
	return (double)NAN;
}

double reaction_ln_henry(enum gas gas, double temperature)
{
	double ln_atm = gas == GAS_CO2 ? HENRY_CO2_B1 / temperature + HENRY_CO2_B2 * log(temperature) +
			HENRY_CO2_B3 * temperature + HENRY_CO2_B4
				       : HENRY_H2S_B1 / temperature + HENRY_H2S_B2 * log(temperature) +
			HENRY_H2S_B3 * temperature + HENRY_H2S_B4;

	return ln_atm + log(ATMOSPHERE);
}

double reaction_ln_carbamate(enum amine amine, const struct terms *terms, double temperature)
{
	enum amine source = amine_rows[amine].terms_of;
	struct carbamate_term term = terms->carbamate[source];
	double base = source == AMINE_MEA
		? MEA_CARBAMATE_C0 + MEA_CARBAMATE_C1 / temperature + MEA_CARBAMATE_C2 * temperature
		: DEA_CARBAMATE_C0 + DEA_CARBAMATE_C1 / temperature;

	return base + term.offset + term.slope * TERM_KILO * (1 / temperature - 1 / TERM_CENTRE);
}

double reaction_henry_co2_difference(double temperature)
{
	double over = 1 / temperature;
	double carroll = exp(HENRY_CO2_CARROLL_C0 +
		over * (HENRY_CO2_CARROLL_C1 + over * (HENRY_CO2_CARROLL_C2 + over * HENRY_CO2_CARROLL_C3)));

	/* MPa on mole fraction to Pa kg/mol. */
	carroll *= 1e6 * MOLAR_MASS_WATER;
	return exp(reaction_ln_henry(GAS_CO2, temperature)) / carroll - 1;
}
