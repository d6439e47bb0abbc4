/* Which iron scale where: solubilities, kinetics and their calibration, the solid that can form. */
#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "first_terms.h"
#include "sulfide/calibration.h"
#include "sulfide/sulfide.h"

static const double hour = 3600;

/* ---- solubilities: Thermoddem 2020 as carried by the USGS PHREEQC database folder; Edwards 1978 for pK1 ---- */

Test(sulfide, solubilities_of_the_one_set)
{
	static const struct {
		double celsius, mackinawite, pyrrhotite;
	} rows[] = {{25, 3.463, 3.324}, {60, 2.851, 2.711}, {100, 2.412, 2.240}, {120, 2.266, 2.068}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		double t = rows[i].celsius + ZERO_CELSIUS;
		cr_expect_float_eq(sulfide_log_k_star(SOLID_MACKINAWITE, t), rows[i].mackinawite, 0.005);
		cr_expect_float_eq(sulfide_log_k_star(SOLID_PYRRHOTITE, t), rows[i].pyrrhotite, 0.005);
	}
	/* log K at 25 degC of the same set, as tabulated. */
	static const double at_25[SOLID_COUNT] = {-2.990, -3.540, -3.679, -3.874, -0.273};
	for (int solid = 0; solid < SOLID_COUNT; solid++)
		cr_expect_float_eq(sulfide_log_k((enum solid)solid, 298.15), at_25[solid], 0.005);
	cr_expect(isnan(sulfide_log_k_star(SOLID_SIDERITE, 298.15)));
	/* Benning, Wilkin and Barnes 2000, Chem. Geol. 167:25: 3.21 at 25 degC; 1.4 decades below at 120 degC. */
	cr_expect_float_eq(sulfide_log_k_star_benning(298.15), 3.21, 0.005);
	cr_expect_float_eq(
		sulfide_log_k_star(SOLID_MACKINAWITE, 393.15) - sulfide_log_k_star_benning(393.15), 1.37, 0.05);
}

/* Mackinawite wins over siderite below these ratios of HCO3- to HS- (the same set). */
Test(sulfide, where_carbonate_takes_over)
{
	static const double rows[][2] = {{25, 1850}, {75, 660}, {100, 425}, {120, 306}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		double t = rows[i][0] + ZERO_CELSIUS;
		double ratio = pow(10, sulfide_log_k(SOLID_SIDERITE, t) - sulfide_log_k(SOLID_MACKINAWITE, t));
		cr_expect_float_eq(ratio / rows[i][1], 1, 0.01, "%g degC: %g", rows[i][0], ratio);
	}
}

/* ---- kinetics ---- */

/* Computed with the first regression's terms by a program independent of this one; 8,000 h, 0.03 absolute. */
static const struct {
	enum amine amine;
	double strength, h2s, co2, celsius, mackinawite, pyrrhotite, pyrite;
} along[] = {
	{AMINE_MDEA, 0.45, 0.015, 0.004, 122, 0.00, 0.74, 0.26},
	{AMINE_MDEA, 0.45, 0.015, 0.004, 105, 0.06, 0.90, 0.04},
	{AMINE_MDEA, 0.45, 0.015, 0.004, 95, 0.36, 0.64, 0.00},
	{AMINE_MDEA, 0.45, 0.015, 0.004, 85, 0.78, 0.22, 0.00},
	{AMINE_MDEA, 0.45, 0.015, 0.004, 65, 0.99, 0.01, 0.00},
	{AMINE_MDEA, 0.45, 0.015, 0.004, 45, 1.00, 0.00, 0.00},
	{AMINE_MEA, 0.20, 0.08, 0.05, 122, 0.00, 0.31, 0.69},
	{AMINE_MEA, 0.20, 0.08, 0.05, 105, 0.02, 0.78, 0.19},
	{AMINE_MEA, 0.20, 0.08, 0.05, 85, 0.68, 0.32, 0.00},
	{AMINE_MEA, 0.20, 0.08, 0.05, 55, 1.00, 0.00, 0.00},
	{AMINE_MDEA, 0.45, 0.35, 0.10, 99, 0.01, 0.11, 0.88},
};

static struct solution state(enum amine amine, double strength, double celsius, double h2s, double co2)
{
	struct solution_input input = {.temperature = celsius + ZERO_CELSIUS, .loading = {h2s, co2}};
	struct solution solution;
	input.mass_fraction[amine] = strength;
	cr_assert(solution_solve(&terms_first, &input, &solution));
	return solution;
}

Test(sulfide, fractions_along_the_lean_side)
{
	for (size_t i = 0; i < COUNT(along); i++) {
		struct solution s =
			state(along[i].amine, along[i].strength, along[i].celsius, along[i].h2s, along[i].co2);
		struct scale_answer answer = sulfide_answer(&s, IRON_ASSUMED, 8000 * hour, SIDE_LEAN);
		cr_expect_float_eq(answer.fractions.mackinawite, along[i].mackinawite, 0.03, "%g", along[i].celsius);
		cr_expect_float_eq(answer.fractions.pyrrhotite, along[i].pyrrhotite, 0.03, "%g", along[i].celsius);
		cr_expect_float_eq(answer.fractions.pyrite, along[i].pyrite, 0.03, "%g", along[i].celsius);
		cr_expect(answer.scale == (along[i].mackinawite < 0.5 ? SCALE_DENSE : SCALE_MACKINAWITE));
		cr_expect(answer.barrier != YES, "never on the lean side");
	}
}

/* P(t) solved by small steps of the two reactions in series, away from and at equal rates. */
Test(sulfide, two_reactions_in_series)
{
	static const double rates[][2] = {{1e-6, 3e-7}, {3e-7, 1e-6}, {5e-7, 5e-7}, {5e-7, 5.0000001e-7}, {1e-12, 1e-3},
		{1e-3, 1e-12}, {1e-3, 1e-4}};
	for (size_t i = 0; i < COUNT(rates); i++) {
		double a = rates[i][0], b = rates[i][1], age = 3e6, m = 1, p = 0;
		enum { STEPS = 400000 };
		double dt = age / STEPS, ea = exp(-a * dt), eb = exp(-b * dt);
		for (int k = 0; k < STEPS; k++) {
			double made = m * (1 - ea);
			p = p * eb + made * exp(-b * dt / 2);
			m *= ea;
		}
		struct fractions f = sulfide_point_fractions(a, b, age);
		cr_expect_float_eq(f.mackinawite, m, 1e-6);
		cr_expect_float_eq(f.pyrrhotite, p, 2e-4, "%g %g: %g, by steps %g", a, b, f.pyrrhotite, p);
		cr_expect_float_eq(f.mackinawite + f.pyrrhotite + f.pyrite, 1, 1e-12);
	}
	struct fractions fresh = sulfide_point_fractions(1e-6, 1e-6, 0), forever = sulfide_point_fractions(1, 2, 1e12);
	cr_expect_float_eq(fresh.mackinawite, 1, 1e-15);
	cr_expect_float_eq(forever.pyrite, 1, 1e-15);
}

/* On both sides of where the decays count as apart, near it and far off: the same by the form with expm1, to the last digits. */
Test(sulfide, rates_near_and_apart_agree)
{
	static const double apart[] = {1e-9, 0.1, 0.4999999, 0.5000001, 0.7, 3, 40};
	const double age = 2000 * hour, low = 1.3 / age;

	for (size_t i = 0; i < sizeof apart / sizeof apart[0]; i++) {
		double high = low + apart[i] / age, expected = 1.3 * exp(-1.3) * -expm1(-apart[i]) / apart[i];
		struct fractions faster = sulfide_point_fractions(low, high, age);
		struct fractions slower = sulfide_point_fractions(high, low, age);

		cr_expect_float_eq(faster.pyrrhotite / expected, 1, 1e-13, "%g", apart[i]);
		cr_expect_float_eq(slower.pyrrhotite / (expected * (1.3 + apart[i]) / 1.3), 1, 1e-13, "%g", apart[i]);
	}
}

/* The nine-point average against a plain sum over the scatter. */
Test(sulfide, scatter_against_a_fine_sum)
{
	double t = 378.15, h = 2e-4, age = 8000 * hour, sum = 0, mean = 0;
	for (int i = -600; i <= 600; i++) {
		double z = i / 100.0, weight = exp(-z * z / 2);
		sum += weight;
		mean += weight * exp(-sulfide_rate_first(t, h) * pow(10, RATE_SCATTER * z) * age);
	}
	cr_expect_float_eq(sulfide_fractions(t, h, age, 1).mackinawite, mean / sum, 0.005);
	struct fractions f = sulfide_fractions(t, h, age, 1);
	cr_expect_float_eq(f.mackinawite + f.pyrrhotite + f.pyrite, 1, 1e-9);
}

/* Rickard 1997, Geochim. Cosmochim. Acta 61:115: 3.20e-3 L/mol/s at 125 degC; with h far from nucleation-limited. */
Test(sulfide, more_heat_time_and_h2s_make_more_dense_scale)
{
	double before = -1;
	for (int celsius = 30; celsius <= 140; celsius += 5) {
		double dense = fractions_dense(sulfide_fractions(celsius + ZERO_CELSIUS, 3e-4, 8000 * hour, 1));
		cr_expect(dense >= before);
		before = dense;
	}
	before = -1;
	for (int i = 0; i < 15; i++) {
		double h = 1e-7 * pow(3, i), dense = fractions_dense(sulfide_fractions(363.15, h, 8000 * hour, 1));
		cr_expect(dense >= before);
		before = dense;
	}
	before = -1;
	for (int i = 0; i < 10; i++) {
		double age = 100 * pow(2, i), dense = fractions_dense(sulfide_fractions(363.15, 3e-4, age * hour, 1));
		cr_expect(dense >= before);
		before = dense;
	}
}

/* Robust: mackinawite 0.86 at 75 degC, 10 kPa of H2S and 8,000 h. */
Test(sulfide, mackinawite_stays_at_75_degrees)
{
	double t = 348.15,
	       henry_bar = 22.5; /* bar kg/mol at 75 degC, Edwards 1978: between 18.68 at 60 and 23.55 at 80 */
	cr_expect_float_eq(sulfide_fractions(t, 0.1 / henry_bar, 8000 * hour, 1).mackinawite, 0.86, 0.03);
}

/* ---- self-consistency: the rows of the calibration, their provenance in checker/sulfide/sulfide_points.def ---- */

Test(sulfide, self_consistency_of_the_calibration)
{
	struct calibration_score fit = calibration_score(CALIBRATION_FIT), check = calibration_score(CALIBRATION_CHECK);
	cr_expect_eq(fit.rows, 18);
	cr_expect_eq(fit.hits, 17);
	cr_expect_eq(fit.temperature_hits, 18, "the plain rule by temperature scores better in sample");
	cr_expect_eq(check.rows, 2);
	cr_expect_eq(check.hits, 0, "known misses: fresh fine FeS at 100 degC, a rate law at face value at 25 degC");
	for (size_t i = 0; i < calibration_count(); i++) {
		const struct calibration_point *point = calibration_point(i);
		cr_expect(*point->provenance && *point->source && *point->trust, "%s", point->id);
		cr_expect(
			point->use == CALIBRATION_CHECK || point->h2s > 0 || point->pressure_bar > 0, "%s", point->id);
	}
}

/* ---- what can form ---- */

Test(sulfide, no_sulfide_without_h2s)
{
	struct solution some = state(AMINE_MDEA, 0.45, 122, 0, 0.004), trace = state(AMINE_MDEA, 0.45, 122, 0, 1e-8),
			none = state(AMINE_MDEA, 0.45, 122, 0, 0);
	cr_expect(sulfide_answer(&some, IRON_ASSUMED, 8000 * hour, SIDE_LEAN).scale == SCALE_SIDERITE);
	cr_expect(sulfide_answer(&some, IRON_ASSUMED, 8000 * hour, SIDE_RICH).barrier == NO);
	cr_expect(sulfide_answer(&trace, IRON_ASSUMED, 8000 * hour, SIDE_LEAN).scale == SCALE_NONE);
	cr_expect(sulfide_answer(&none, IRON_ASSUMED, 8000 * hour, SIDE_LEAN).scale == SCALE_NONE);
	cr_expect(isinf(sulfide_answer(&none, IRON_ASSUMED, 8000 * hour, SIDE_LEAN).saturation_sulfide));
}

/* Several ages at once are the ages one by one; where no sulfide is stable no share of one is told. */
Test(sulfide, answers_at_several_ages)
{
	static const double ages[] = {500 * 3600.0, 8000 * 3600.0, 25000 * 3600.0};
	const struct solution states[] = {state(AMINE_MDEA, 0.45, 122, 0.005, 0.004),
		state(AMINE_MDEA, 0.45, 122, 0, 0.004), state(AMINE_MDEA, 0.45, 60, 0.3, 0.1)};
	for (size_t i = 0; i < COUNT(states); i++) {
		struct scale_answer all[COUNT(ages)];
		sulfide_answers(&states[i], IRON_ASSUMED, SIDE_LEAN, ages, COUNT(ages), all);
		for (size_t k = 0; k < COUNT(ages); k++) {
			struct scale_answer one = sulfide_answer(&states[i], IRON_ASSUMED, ages[k], SIDE_LEAN);
			const struct fractions *f = &all[k].fractions;
			bool sulfide = one.scale == SCALE_MACKINAWITE || one.scale == SCALE_DENSE;
			cr_expect(all[k].scale == one.scale && all[k].confidence == one.confidence);
			cr_expect(f->pyrite == one.fractions.pyrite && f->mackinawite == one.fractions.mackinawite);
			cr_expect_float_eq(f->mackinawite + f->pyrrhotite + f->pyrite, sulfide ? 1 : 0, 1e-9);
			cr_expect_eq(sulfide, states[i].input.loading[GAS_H2S] > 0);
		}
	}
}

/* Saturation of siderite in real lean and rich amines lies between 1e-5 and 3e-4 mg/kg (MEA up to 7e-4). */
Test(sulfide, siderite_can_stand_nearly_everywhere)
{
	for (size_t i = 0; i < COUNT(along); i++) {
		struct solution s =
			state(along[i].amine, along[i].strength, along[i].celsius, along[i].h2s, along[i].co2);
		double iron = 1e6 * sulfide_saturation_iron(SOLID_SIDERITE, &s);
		cr_expect(iron > 1e-5 && iron < 1e-3, "%g mg/kg", iron);
	}
}

/* Vanishing H2S: mackinawite is stable until its iron is more than is there, and siderite takes over before that. */
Test(sulfide, sulfide_gives_way_where_h2s_vanishes)
{
	enum scale before = SCALE_MACKINAWITE;
	for (int i = 0; i < 19; i++) {
		struct solution s = state(AMINE_MDEA, 0.45, 45, 1e-3 / pow(3, i), 0.004);
		enum scale scale = sulfide_answer(&s, IRON_ASSUMED, 8000 * hour, SIDE_LEAN).scale;
		cr_expect(scale == SCALE_MACKINAWITE || scale == SCALE_SIDERITE);
		cr_expect(!(before == SCALE_SIDERITE && scale == SCALE_MACKINAWITE));
		before = scale;
	}
	cr_expect(before == SCALE_SIDERITE);
}

Test(sulfide, film_age_from_the_corrosion_rate)
{
	const double mm_y = 1e-3 / (8760 * 3600.0);
	/* 30 um over 2.6 times the loss of metal: 0.013 mm/y 8,000 h, 0.1 mm/y 1,000 h, 0.25 mm/y 400 h, rounded. */
	cr_expect_float_eq(sulfide_film_age(1e9, 0.013 * mm_y) / hour, 8000, 300);
	cr_expect_float_eq(sulfide_film_age(1e9, 0.1 * mm_y) / hour, 1000, 20);
	cr_expect_float_eq(sulfide_film_age(1e9, 0.25 * mm_y) / hour, 400, 10);
	cr_expect_float_eq(sulfide_film_age(2000 * hour, 0.013 * mm_y), 2000 * hour, 1);
	cr_expect_float_eq(sulfide_film_age(2000 * hour, (double)NAN), 2000 * hour, 1);
}
