#include "chemistry/salts.h"

#include <math.h>

static const char assumed[] = "formate";

void salt_ions_add(struct salt_ions *ions, const struct anion_row *anion, double mass_fraction)
{
	ions->mass += mass_fraction;
	ions->anion[anion->charge - 1] += mass_fraction / anion->molar_mass;
}

void salt_ions_add_cation(struct salt_ions *ions, const struct cation_row *cation, double mass_fraction)
{
	ions->cation += mass_fraction / cation->molar_mass;
}

double salt_ions_equivalents(const struct salt_ions *ions)
{
	return ions->anion[0] + 2 * ions->anion[1];
}

double salt_ions_net(const struct salt_ions *ions)
{
	return salt_ions_equivalents(ions) - ions->cation;
}

/* NaN stays what it is. */
static double at_least_none(double x)
{
	return x < 0 ? 0 : x;
}

double salts_remainder(const struct salt_ions *named, double total, double equivalent_mass)
{
	double equivalents = salt_ions_equivalents(named);

	if (!isnan(equivalent_mass))
		return at_least_none(total / equivalent_mass - equivalents);
	double each = equivalents > 0 ? named->mass / equivalents : anion_find(assumed)->molar_mass;
	return at_least_none(total - named->mass) / each;
}

const char *salts_assumed_anion(void)
{
	return assumed;
}

void salts_into(struct solution_input *input, const struct salt_ions *ions, double amine)
{
	if (!(amine > 0))
		return;
	input->anion[0] += ions->anion[0] / amine;
	input->anion[1] += ions->anion[1] / amine;
	input->cation += ions->cation / amine;
}

double salts_amine(const double mass_fraction[AMINE_COUNT])
{
	double amine = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		amine += mass_fraction[i] / amine_rows[i].molar_mass;
	return amine;
}

void salts_add(struct solution_input *input, const struct anion_row *anion, double mass_fraction)
{
	struct salt_ions ions = {0};

	salt_ions_add(&ions, anion, mass_fraction);
	salts_into(input, &ions, salts_amine(input->mass_fraction));
}

void salts_add_cation(struct solution_input *input, const struct cation_row *cation, double mass_fraction)
{
	struct salt_ions ions = {0};

	salt_ions_add_cation(&ions, cation, mass_fraction);
	salts_into(input, &ions, salts_amine(input->mass_fraction));
}

double salts_anion_equivalents(const struct solution_input *input)
{
	return input->anion[0] + 2 * input->anion[1];
}

double salts_bound_amine(const struct solution_input *input)
{
	return salts_anion_equivalents(input) - input->cation;
}
