#define _GNU_SOURCE /* memmem */

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "chemistry/constants.h"
#include "chemistry/reaction.h"

static double pk(double ln_constant)
{
	return -ln_constant / LN10;
}

static double henry_bar(enum gas gas, double celsius)
{
	const double bar = 1e5;

	return exp(reaction_ln_henry(gas, celsius + ZERO_CELSIUS)) / bar;
}

/* Computed from Edwards, Maurer, Newman & Prausnitz 1978, AIChE J 24:966, independently of this program. */
Test(reaction, water_and_hydrogen_sulfide_over_temperature)
{
	static const double rows[][4] = {/* degC, pKw, pK1 of H2S, Henry's constant of H2S in bar kg/mol */
		{25, 13.998, 7.003, 9.868}, {40, 13.539, 6.812, 13.56}, {60, 13.024, 6.632, 18.68},
		{80, 12.601, 6.522, 23.55}, {100, 12.252, 6.468, 27.84}, {120, 11.966, 6.459, 31.44}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double t = rows[i][0] + ZERO_CELSIUS;

		cr_expect_float_eq(pk(reaction_ln_water(t)), rows[i][1], 0.01, "pKw at %g degC", rows[i][0]);
		cr_expect_float_eq(pk(reaction_ln_h2s(t)), rows[i][2], 0.01, "pK1 of H2S at %g degC", rows[i][0]);
		cr_expect_float_eq(henry_bar(GAS_H2S, rows[i][0]), rows[i][3], 0.005 * rows[i][3],
			"Henry's constant of H2S at %g degC", rows[i][0]);
	}
}

/* The same source for CO2. */
Test(reaction, carbon_dioxide_at_25)
{
	cr_expect_float_eq(pk(reaction_ln_co2_first(298.15)), 6.359, 0.01);
	cr_expect_float_eq(pk(reaction_ln_co2_second(298.15)), 10.332, 0.01);
	cr_expect_float_eq(henry_bar(GAS_CO2, 25), 29.05, 0.005 * 29.05);
}

/* Hershey 1988, ln K = -98.08 + 5765.4/T + 15.0455 ln T written as pK of H2S (from memory): within 0.025. */
Test(reaction, hydrogen_sulfide_against_hershey)
{
	for (int celsius = 25; celsius <= 120; celsius += 5) {
		double t = celsius + ZERO_CELSIUS, hershey = -98.08 + 5765.4 / t + 15.0455 * log(t);

		cr_expect_float_eq(pk(reaction_ln_h2s(t)), hershey, 0.025, "%d degC: %.3f against %.3f", celsius,
			pk(reaction_ln_h2s(t)), hershey);
	}
}

/* MEA: Bates & Pinching 1951; DEA, MDEA: Posey 1996; DGA and DIPA inferred from measured relatives. */
Test(reaction, amines_at_25)
{
	static const double pk_25[AMINE_COUNT] = {[AMINE_MEA] = 9.496,
		[AMINE_DEA] = 8.874,
		[AMINE_MDEA] = 8.531,
		[AMINE_DGA] = 9.44,
		[AMINE_DIPA] = 8.82};

	for (size_t i = 0; i < AMINE_COUNT; i++)
		cr_expect_float_eq(pk(reaction_ln_amine((enum amine)i, 298.15)), pk_25[i], 0.01, "%s: %.4f",
			amine_rows[i].name, pk(reaction_ln_amine((enum amine)i, 298.15)));
	/* Kamps & Maurer 1996 measured 8.551 for MDEA. */
	cr_expect_float_eq(pk(reaction_ln_amine(AMINE_MDEA, 298.15)), 8.551, 0.03);
}

/* Above 80 C the row used is 6-11 % above Carroll, Slupsky & Mather 1991; that goes into the uncertainty. */
Test(reaction, carbon_dioxide_solubility_against_carroll)
{
	for (int celsius = 85; celsius <= 125; celsius += 5) {
		double over = reaction_henry_co2_difference(celsius + ZERO_CELSIUS);

		cr_expect(over > 0.05 && over < 0.12, "%d degC: %.3f", celsius, over);
	}
	cr_expect(fabs(reaction_henry_co2_difference(298.15)) < 0.03);
}

Test(constants, rows_are_complete)
{
	for (size_t i = 0; i < constant_count(); i++) {
		const struct constant *row = constant_row(i);

		cr_expect(isfinite(row->value) && row->source[0] != '\0' && row->lowest_C <= row->highest_C, "%s",
			row->name);
		for (size_t k = 0; k < i; k++)
			cr_expect_str_neq(row->name, constant_row(k)->name);
	}
}

static bool is_source(const char *key)
{
	char attribute[64];

	snprintf(attribute, sizeof attribute, "<source key=\"%s\"", key);
	for (size_t i = 0; i < embedded_count; i++)
		if (strncmp(embedded_files[i].name, "rules/sources", 13) == 0 &&
			memmem(embedded_files[i].data, embedded_files[i].size, attribute, strlen(attribute)) != NULL)
			return true;
	return false;
}

Test(constants, every_source_is_in_the_list_of_sources)
{
	for (size_t i = 0; i < constant_count(); i++)
		cr_expect(is_source(constant_row(i)->source), "%s: %s", constant_row(i)->name, constant_row(i)->source);
}
