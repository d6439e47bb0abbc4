#include "chemistry/salts.h"

static const char assumed[] = "formate";

/* Mol per mol of all amine; nothing where there is no amine. */
static double per_amine(const struct solution_input *input, double mass_fraction, double molar_mass)
{
	double amine = 0; /* mol per kg of solution */

	for (size_t i = 0; i < AMINE_COUNT; i++)
		amine += input->mass_fraction[i] / amine_rows[i].molar_mass;
	return amine > 0 ? mass_fraction / molar_mass / amine : 0;
}

void salts_add(struct solution_input *input, const struct anion_row *anion, double mass_fraction)
{
	input->anion[anion->charge - 1] += per_amine(input, mass_fraction, anion->molar_mass);
}

void salts_add_cation(struct solution_input *input, const struct cation_row *cation, double mass_fraction)
{
	input->cation += per_amine(input, mass_fraction, cation->molar_mass);
}

void salts_add_unnamed(struct solution_input *input, double mass_fraction)
{
	salts_add(input, anion_find(assumed), mass_fraction);
}

const char *salts_assumed_anion(void)
{
	return assumed;
}

double salts_anion_equivalents(const struct solution_input *input)
{
	return input->anion[0] + 2 * input->anion[1];
}

double salts_bound_amine(const struct solution_input *input)
{
	return salts_anion_equivalents(input) - input->cation;
}
