#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/salts.h"
#include "solution_states.h"

static struct solution salted(
	enum amine amine, double strength, double celsius, double h2s, double co2, double anion, double cation)
{
	struct solution_input input = state(amine, strength, celsius, h2s, co2);
	struct solution s = {0};

	input.anion[0] = anion;
	input.cation = cation;
	cr_assert(solution_solve(&terms_own, &input, &s));
	return s;
}

/* Lean MDEA, 45 wt%, 0.015 + 0.004: what bound amine does to pH and H2S pressure, computed independently with the other fit. */
Test(solution, bound_amine_lifts_the_pressure)
{
	static const struct {
		double celsius, bound, ph, factor;
	} rows[] = {{45, 0.02, -0.26, 1.66}, {45, 0.05, -0.47, 2.45}, {45, 0.10, -0.69, 3.6}, {120, 0.02, -0.31, 2.0},
		{120, 0.05, -0.55, 3.3}, {120, 0.10, -0.78, 5.1}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		struct solution clean = salted(AMINE_MDEA, 0.45, rows[i].celsius, 0.015, 0.004, 0, 0);
		struct solution s = salted(AMINE_MDEA, 0.45, rows[i].celsius, 0.015, 0.004, rows[i].bound, 0);

		cr_expect_float_eq(s.ph - clean.ph, rows[i].ph, 0.01);
		cr_expect_float_eq(s.partial_pressure[GAS_H2S] / clean.partial_pressure[GAS_H2S], rows[i].factor,
			0.02 * rows[i].factor);
	}
	cr_expect_float_eq(salted(AMINE_DEA, 0.3, 45, 0.01, 0.02, 0.05, 0).partial_pressure[GAS_H2S] /
			salted(AMINE_DEA, 0.3, 45, 0.01, 0.02, 0, 0).partial_pressure[GAS_H2S],
		2.2, 0.05);
	cr_expect_float_eq(salted(AMINE_MEA, 0.2, 45, 0.02, 0.1, 0.05, 0).partial_pressure[GAS_H2S] /
			salted(AMINE_MEA, 0.2, 45, 0.02, 0.1, 0, 0).partial_pressure[GAS_H2S],
		1.3, 0.05);
}

/* pH and pressure by hand from the amine's own equilibrium, whatever the salts: F_b with the activity coefficients. */
Test(solution, bound_amine_by_the_equation)
{
	for (int i = 0; i < 3; i++) {
		double b = 0.03 * i;
		struct solution_input input = state(AMINE_MDEA, 0.45, 60, 0.02, 0.01);
		struct solution s = {0};
		const double *m = s.molality, *g = s.ln_gamma;
		double kelvin = 60 + ZERO_CELSIUS;

		input.anion[0] = b;
		cr_assert(solution_solve(&terms_own, &input, &s));
		double pk = -(-59.55 - 1709 / kelvin + 8.01 * log(kelvin)) / LN10;
		double gases = (m[SPECIES_HS] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_OH] - m[SPECIES_H]) /
			s.amine_molality;

		cr_expect_float_eq(
			s.ph, pk + (log(m[SPECIES_AM] / m[SPECIES_AMH]) + g[SPECIES_AM] - g[SPECIES_AMH]) / LN10, 1e-6);
		cr_expect_float_eq(m[SPECIES_AMH] / s.amine_molality, gases + b, 1e-9);
	}
}

/*
 * By hand: 1 kg of 45 wt% MDEA holds 3.7763 mol of amine. 6000 ppmw formate (45.017 g/mol) is 0.13328 eq, 2000 ppmw
 * thiosulfate (112.122, two charges) 0.03568 eq, 1500 ppmw sodium (22.990) 0.06525 eq, 500 ppmw potassium (39.098)
 * 0.01279 eq: anions 0.04474, net 0.02408 eq per mol; meq/100 g net 9.092.
 */
Test(solution, salts_by_equivalents)
{
	struct solution_input input = state(AMINE_MDEA, 0.45, 45, 0.01, 0.005);

	salts_add(&input, anion_find("formate"), 6000e-6);
	salts_add(&input, anion_find("thiosulfate"), 2000e-6);
	cr_expect_float_eq(salts_bound_amine(&input), 0.04474, 2e-5);
	salts_add_cation(&input, cation_find("Sodium"), 1500e-6);
	salts_add_cation(&input, cation_find("potassium"), 500e-6);
	cr_expect_float_eq(salts_anion_equivalents(&input), 0.04474, 2e-5);
	cr_expect_float_eq(salts_bound_amine(&input), 0.02408, 2e-5);
	cr_expect_float_eq(100 * salts_bound_amine(&input) * 0.45 / 0.119163, 9.092, 0.01);
	cr_expect_null(cation_find("calcium"));
	salts_add_cation(&input, cation_find("sodium"), 3000e-6);
	cr_expect_lt(salts_bound_amine(&input), 0, "excess strong base");
}

/* Salts neutralised with as much sodium bind no amine but make ions: pH2S falls to 0.7-0.9 of itself. */
Test(solution, neutralised_salts_act_by_ionic_strength)
{
	static const struct {
		enum amine amine;
		double strength, h2s, co2;
	} rows[] = {{AMINE_MDEA, 0.45, 0.015, 0.004}, {AMINE_DEA, 0.30, 0.01, 0.02}, {AMINE_MEA, 0.20, 0.02, 0.10}};

	for (size_t i = 0; i < COUNT(rows); i++)
		for (int celsius = 45; celsius <= 120; celsius += 75) {
			struct solution clean =
				salted(rows[i].amine, rows[i].strength, celsius, rows[i].h2s, rows[i].co2, 0, 0);
			struct solution s =
				salted(rows[i].amine, rows[i].strength, celsius, rows[i].h2s, rows[i].co2, 0.05, 0.05);
			double factor = s.partial_pressure[GAS_H2S] / clean.partial_pressure[GAS_H2S];

			cr_expect(factor > 0.65 && factor < 0.95, "%s %d degC: %.3f", amine_rows[rows[i].amine].name,
				celsius, factor);
			cr_expect_float_eq(s.ionic_strength - clean.ionic_strength, 0.05 * s.amine_molality,
				0.02 * s.amine_molality, "the sodium counts");
		}
}

/* More sodium than anions holds that much acid gas: least lean loading, MDEA at 122 degC and 0.2 kPa of H2S. */
Test(solution, excess_sodium_holds_gas)
{
	static const double cation[] = {0, 0.005, 0.01, 0.02}, least[] = {0.0062, 0.0093, 0.0131, 0.0215};
	static const double over[GAS_COUNT] = {200, (double)NAN};

	for (size_t i = 0; i < 4; i++) {
		struct solution_input input = state(AMINE_MDEA, 0.45, 122, 0, 0);
		struct solution s, back;

		input.cation = cation[i];
		cr_assert(solution_absorb(&terms_own, &input, over, &s));
		cr_expect_float_eq(s.loading[GAS_H2S], least[i], 0.04 * least[i], "%.4f", s.loading[GAS_H2S]);
		input.loading[GAS_H2S] = s.loading[GAS_H2S];
		cr_assert(solution_solve(&terms_own, &input, &back));
		cr_expect(close_to(back.partial_pressure[GAS_H2S], 200, 1e-8));
	}
	for (int i = 1; i < 6; i++) {
		struct solution clean = salted(AMINE_MDEA, 0.45, 45, 0.015, 0.004, 0, 0);
		double rise = salted(AMINE_MDEA, 0.45, 45, 0.015, 0.004, 0.002, 0.002 + 0.0025 * i).ph - clean.ph;

		cr_expect(rise > 0 && rise < 0.6, "%d: %.3f", i, rise);
	}
}
