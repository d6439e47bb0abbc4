#include "chemistry/salts.h"

static const char assumed[] = "formate";

void salts_add(struct solution_input *input, const struct anion_row *anion, double mass_fraction)
{
	double amine = 0; /* mol per kg of solution */

	for (size_t i = 0; i < AMINE_COUNT; i++)
		amine += input->mass_fraction[i] / amine_rows[i].molar_mass;
	if (amine > 0)
		input->anion[anion->charge - 1] += mass_fraction / anion->molar_mass / amine;
}

void salts_add_unnamed(struct solution_input *input, double mass_fraction)
{
	salts_add(input, anion_find(assumed), mass_fraction);
}

const char *salts_assumed_anion(void)
{
	return assumed;
}

double salts_bound_amine(const struct solution_input *input)
{
	return input->anion[0] + 2 * input->anion[1];
}
