/*
 * Sodium of the solvent, through what is calculated of the solution and through the lean-side analysis: it frees amine that
 * anions bind, and stays an ion. The designs are invented; molar masses of IUPAC 2021 (22.990, formate 45.017, MDEA 119.163).
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/salts.h"
#include "review_support.h"
#include "sulfide/lean_side.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(sodium, .init = begin, .fini = end);

#define FORMATE "<anion name='formate' content='9000 ppmw'/>"
static const double formate = 9000e-6 / 0.045017, amine = 0.45 / 0.119163; /* mol per kg of solution */

/* Sodium, ppmw, that stands for so much of the formate. */
static double ppmw_for(double share)
{
	return share * formate * 0.022990 * 1e6;
}

static void review_with(const char *sodium, const char *anions)
{
	const char *stated = *sodium ? arena_format(&trial.arena, "sodium='%s'", sodium) : "";

	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'>"
			"<basis kind='new' barometric-pressure='1.01325 bara'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%' %s>%s</solvent>"
			"<gas id='feed' flow='3000 kmol/h' pressure='40 bara' temperature='35 degC' h2s='2 mol%%' "
			"co2='6 mol%%'/>"
			"<gas id='sweet' pressure='39.5 bara' temperature='46 degC' h2s='2 ppmv' co2='2 mol%%'/>"
			"<stream id='lean' service='lean' flow='230 t/h' temperature='45 degC' pressure='45 bara' "
			"h2s='0.004' "
			"co2='0.004'/>"
			"<stream id='rich' service='rich' flow='240 t/h' temperature='62 degC' pressure='39 bara' "
			"h2s='0.12' "
			"co2='0.19'/>"
			"<absorber tag='C-1' gas='feed' treated='sweet' lean='lean' rich='rich' bottom-temperature='62 "
			"degC'/>"
			"</unit>",
			stated, anions));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const char *ppmw(double content)
{
	return arena_format(&trial.arena, "%.6f ppmw", content);
}

static const struct reading_at *lean_reading(void)
{
	const struct circuit *circuit = trial.review->lean_side->circuit;

	for (size_t i = 0; i < circuit->reading_count; i++)
		if (circuit->readings[i].location->side == SIDE_LEAN)
			return &circuit->readings[i];
	cr_assert_fail("no lean place");
	return NULL;
}

Test(sodium, frees_the_amine_it_stands_for)
{
	review_with("", FORMATE);
	cr_expect_float_eq(trial_si(&trial, "solvent", "bound-amine"), formate / amine, 1e-6);
	review_with(ppmw(ppmw_for(0.25)), FORMATE);
	cr_expect_float_eq(trial_si(&trial, "solvent", "bound-amine"), 0.75 * formate / amine, 1e-6);
	review_with(ppmw(ppmw_for(1.5)), FORMATE);
	cr_expect_float_eq(
		trial_si(&trial, "solvent", "bound-amine"), -0.5 * formate / amine, 1e-6, "excess strong base");
}

/* More salt, more H2S over the lean; sodium takes that back; and neutralised salts are not as none: they make ions.
 * By Davies 1962 (from memory) a 1:1 electrolyte of 0.04 to 0.4 mol/kg takes two ions to 0.77; the program says 0.66 here. */
Test(sodium, gas_over_the_lean_falls_with_it)
{
	review_with("", FORMATE);
	double bound = trial_si(&trial, "C-1", "h2s-over-lean");
	review_with(ppmw(ppmw_for(0.5)), FORMATE);
	double half = trial_si(&trial, "C-1", "h2s-over-lean");
	review_with(ppmw(ppmw_for(1)), FORMATE);
	double neutral = trial_si(&trial, "C-1", "h2s-over-lean");
	review_with("", "");
	double none = trial_si(&trial, "C-1", "h2s-over-lean");

	cr_expect(neutral < 0.8 * half && half < 0.8 * bound, "%g, %g, %g Pa", neutral, half, bound);
	cr_expect(neutral < none && neutral > 0.6 * none, "%g, %g Pa", neutral, none);
}

/* The two ways to a solution, of a stream and of the lean-side analysis, hold the same ions. */
Test(sodium, the_lean_side_sees_the_same_solution)
{
	review_with(ppmw(ppmw_for(0.4)), FORMATE);
	const struct solution_input *state = &lean_reading()->solution.input;

	cr_assert_null(lean_reading()->missing.reason);
	cr_expect_float_eq(state->anion[0], formate / amine, 1e-6);
	cr_expect_float_eq(state->cation, 0.4 * formate / amine, 1e-6);
	cr_expect_float_eq(salts_bound_amine(state), trial_si(&trial, "solvent", "bound-amine"), 1e-9);
}

/* Without an analysis of the anions nothing is known of what it is beside: it is left out, not called excess base. */
Test(sodium, alone_changes_nothing)
{
	review_with("", "");
	double none = trial_si(&trial, "C-1", "h2s-over-lean");
	review_with("3000 ppmw", "");
	cr_expect_float_eq(trial_si(&trial, "C-1", "h2s-over-lean"), none, 1e-9 * none);
	cr_expect(!(lean_reading()->solution.input.cation > 0));
}

/* A trace stated as a bound serves as a value; one that may free much of the amine, or any amount, leaves nothing to follow. */
Test(sodium, stated_as_a_bound)
{
	review_with("&lt;2 ppmw", FORMATE);
	cr_expect_float_eq(trial_si(&trial, "solvent", "bound-amine"), formate / amine, 1e-3);
	cr_expect(trial_si(&trial, "C-1", "h2s-over-lean") > 0);
	cr_expect_null(lean_reading()->missing.reason);
	review_with("&lt;4000 ppmw", FORMATE);
	cr_expect_eq(trial_put(&trial, "solvent", "bound-amine")->bound, BOUND_ABOVE);
	cr_expect_eq(trial_put(&trial, "C-1", "h2s-over-lean")->known, UNKNOWN);
	cr_expect(lean_reading()->missing.reason && strstr(lean_reading()->missing.reason, "only as bounds"));
	review_with(">100 ppmw", FORMATE);
	cr_expect_eq(trial_put(&trial, "solvent", "bound-amine")->bound, BOUND_BELOW);
	cr_expect_eq(trial_put(&trial, "C-1", "h2s-over-lean")->known, UNKNOWN);
	cr_expect(lean_reading()->missing.reason && strstr(lean_reading()->missing.reason, "sodium"));
}

/* Anions that may be none leave the sodium as excess base: what follows is a bound on the side of all of them. */
Test(sodium, beside_anions_that_are_bounds)
{
	review_with(ppmw(ppmw_for(0.5)), FORMATE);
	double all = trial_si(&trial, "C-1", "h2s-over-lean");
	review_with(ppmw(ppmw_for(0.5)), "<anion name='formate' content='&lt;9000 ppmw'/>");
	const struct quantity *over = trial_put(&trial, "C-1", "h2s-over-lean");

	cr_expect_eq(over->bound, BOUND_BELOW);
	cr_expect_float_eq(over->si, all, 1e-9 * all);
	cr_expect(lean_reading()->missing.reason && strstr(lean_reading()->missing.reason, "only as bounds"));
}
