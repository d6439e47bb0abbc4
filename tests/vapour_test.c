/*
 * Density of gases, vapour, steam and water in a description: from what it is computed, each by hand; what goes first; and what
 * stays unknown, with its reason. Here gases by what they consist of; the equation of state itself is held to published values
 * in gas_test.c.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "chemistry/gas.h"
#include "vapour_support.h"

/* ---- composition ---- */

Test(vapour, a_gas_by_its_analysis)
{
	review("<gas id='g' role='feed' flow='1000 kmol/h' temperature='40 degC' pressure='50 bara' "
	       "water-saturated='no' "
	       "methane='80 mol%' h2s='12 mol%' co2='8 mol%'/>");
	double mass = 0.8 * 16.043 + 0.12 * 34.081 + 0.08 * 44.009, z = z_of(0.8, 0.12, 0.08, 40, 50);
	expect_close(number("g", "molar-mass", "g/mol"), mass, 1e-6, "molar mass");
	expect_close(number("g", "compressibility", ""), z, 1e-9, "compressibility");
	expect_close(number("g", "density", "kg/m3"), by_hand(50, mass, z, 40), 1e-6, "density");
	expect_close(number("g", "mass-flow", "kg/h"), 1000 * mass, 1e-6, "mass flow");
	expect_close(number("g", "volume-flow", "am3/h"), 1000 * mass / by_hand(50, mass, z, 40), 1e-6, "volume flow");
	cr_expect_str_eq(trial_value(&trial, "g", NULL, "phase")->word, "gas");
}

/* An analysis that sums to 99.7 % is the whole. */
Test(vapour, rounding_of_an_analysis_is_no_rest)
{
	review("<gas id='g' temperature='40 degC' pressure='5 bara' water-saturated='no' methane='79.8 mol%' "
	       "h2s='11.95 mol%' "
	       "co2='7.95 mol%'/>");
	double mass = (0.798 * 16.043 + 0.1195 * 34.081 + 0.0795 * 44.009) / 0.997;
	expect_close(number("g", "molar-mass", "g/mol"), mass, 1e-6, "molar mass");
}

/* The rest of 88 % takes what 19.6 g/mol leave it: (19.6 - 0.12 x 34.081) / 0.88 = 17.63 g/mol, methane and ethane. */
Test(vapour, a_rest_by_molar_mass_or_gravity)
{
	double share[COMPONENT_COUNT] = {[COMPONENT_HYDROGEN_SULFIDE] = 0.12};
	struct gas_state state;

	cr_assert(gas_add_by_molar_mass(share, 0.88, (0.0196 - 0.12 * 0.034081) / 0.88));
	cr_assert_eq(gas_state_of(share, 313.15, 50e5, &state), GAS_FINE);
	review("<gas id='g' temperature='40 degC' pressure='50 bara' water-saturated='no' h2s='12 mol%' "
	       "molar-mass='19.6 g/mol'/>"
	       "<gas id='same' temperature='40 degC' pressure='50 bara' water-saturated='no' h2s='12 mol%' "
	       "gravity='0.67669'/>");
	expect_close(number("g", "density", "kg/m3"), state.density, 1e-6, "density");
	expect_close(number("same", "density", "kg/m3"), state.density, 1e-4, "by gravity"); /* 19.6 / 28.9647 */
	review("<gas id='g' temperature='40 degC' pressure='50 bara' h2s='12 mol%' molar-mass='5 g/mol'/>");
	expect_unknown("g", "density", "which is no gas");
}

Test(vapour, without_composition_there_is_no_density)
{
	review("<gas id='g' role='feed' flow='10 MMscfd' temperature='40 degC' pressure='50 bara' h2s='2 mol%'/>"
	       "<gas id='cold' pressure='50 bara' molar-mass='18 g/mol'/><gas id='open' temperature='40 degC' "
	       "molar-mass='18 g/mol'/>"
	       "<gas id='much' temperature='40 degC' pressure='5 bara' h2s='60 mol%' co2='60 mol%'/>"
	       "<gas id='hot' temperature='300 degC' pressure='5 bara' molar-mass='18 g/mol'/>"
	       "<gas id='wet' temperature='110 degC' pressure='1.2 bara' molar-mass='18 g/mol' "
	       "water-saturated='yes'/>");
	expect_unknown("g", "density", "molar-mass of g is not stated");
	expect_unknown("g", "mass-flow", "molar-mass of g is not stated");
	expect_unknown("g", "volume-flow", "molar-mass of g is not stated");
	expect_unknown("cold", "density", "temperature of cold is not stated");
	expect_unknown("open", "density", "pressure of open is not stated");
	expect_unknown("much", "density", "add up to 120");
	expect_unknown("hot", "density", "outside");
	expect_unknown("wet", "density", "would condense");
}

/* Little that nobody names is light hydrocarbon, and its spread is in the uncertainty. */
Test(vapour, a_small_rest_is_taken_and_counted)
{
	review("<gas id='g' role='acid gas' temperature='45 degC' pressure='1.6 bara' water-saturated='no' h2s='60 +/- "
	       "0 mol%' "
	       "co2='36 +/- 0 mol%'/>"
	       "<gas id='more' role='acid gas' temperature='45 degC' pressure='1.6 bara' h2s='60 mol%' co2='30 "
	       "mol%'/>");
	const struct quantity *mass = trial_value(&trial, "g", NULL, "molar-mass");
	expect_close(mass->si, 0.60 * 0.034081 + 0.36 * 0.044009 + 0.04 * 0.030, 1e-6, "molar mass");
	expect_close(mass->uncertainty, 0.04 * 0.014, 1e-6, "of the rest");
	expect_unknown("more", "density", "molar-mass of more is not stated");
}

/* A treated gas keeps what its feed has beside H2S and CO2: (20 - 0.1 x 34.081 - 0.05 x 44.009) / 0.85 = 16.931 g/mol. */
Test(vapour, a_treated_gas_is_its_feed_without_the_acid_gas)
{
	review("<gas id='in' role='feed' temperature='40 degC' pressure='50 bara' h2s='10 mol%' co2='5 mol%' "
	       "molar-mass='20 g/mol'/>"
	       "<gas id='out' role='treated' temperature='45 degC' pressure='50 bara' h2s='0 ppmv' co2='2 mol%' "
	       "water='0 ppmv'/>"
	       "<absorber tag='C-1' gas='in' treated='out'/>");
	double rest = (20 - 0.1 * 34.081 - 0.05 * 44.009) / 0.85;
	expect_close(number("out", "molar-mass", "g/mol"), 0.98 * rest + 0.02 * 44.009, 1e-6, "molar mass");
	review("<gas id='in' role='feed' temperature='40 degC' pressure='50 bara' h2s='10 mol%'/>"
	       "<gas id='out' role='treated' temperature='45 degC' pressure='50 bara' h2s='0 ppmv'/>"
	       "<absorber tag='C-1' gas='in' treated='out'/>");
	expect_unknown("out", "density", "molar-mass of out is not stated");
}

Test(vapour, absorbers_in_series_are_followed_and_a_circle_of_them_ends)
{
	review("<gas id='in' role='feed' temperature='40 degC' pressure='50 bara' h2s='10 mol%' co2='0 mol%' "
	       "molar-mass='20 g/mol'/>"
	       "<gas id='mid' role='treated' temperature='45 degC' pressure='50 bara' h2s='2 mol%' co2='0 mol%' "
	       "water='0 ppmv'/>"
	       "<gas id='out' role='treated' temperature='45 degC' pressure='50 bara' h2s='0 ppmv' water='0 ppmv'/>"
	       "<absorber tag='C-1' gas='in' treated='mid'/><absorber tag='C-2' gas='mid' treated='out'/>");
	expect_close(number("out", "molar-mass", "g/mol"), (20 - 0.1 * 34.081) / 0.9, 1e-6, "molar mass");
	review("<gas id='a' temperature='40 degC' pressure='50 bara' h2s='10 mol%'/>"
	       "<gas id='b' temperature='45 degC' pressure='50 bara' h2s='2 mol%'/>"
	       "<absorber tag='C-1' gas='a' treated='b'/><absorber tag='C-2' gas='b' treated='a'/>");
	expect_unknown("b", "density", "molar-mass of b is not stated");
}

static const struct quantity *treated_mass(const char *of_feed, const char *of_treated)
{
	review(arena_format(&trial.arena,
		"<gas id='in' role='feed' temperature='40 degC' pressure='50 bara' %s/>"
		"<gas id='out' role='treated' temperature='45 degC' pressure='50 bara' water-saturated='no' %s/>"
		"<absorber tag='C-1' gas='in' treated='out'/>",
		of_feed, of_treated));
	return trial_value(&trial, "out", NULL, "molar-mass");
}

/* CO2 that nobody states is none only where a whole analysis, or the feed, leaves no room for it. */
Test(vapour, co2_nobody_states_is_not_taken_for_none)
{
	const struct quantity *mass = treated_mass("h2s='10 mol%' molar-mass='20 g/mol'", "h2s='4 ppmv' co2='0 mol%'");
	cr_expect(mass->known == UNKNOWN && strstr(mass->reason, "co2 of in is not stated"), "%s", mass->reason);
	mass = treated_mass("h2s='10 mol%' co2='8 mol%' molar-mass='20 g/mol'", "h2s='4 ppmv'");
	cr_expect(mass->known == UNKNOWN && strstr(mass->reason, "co2 of out is not stated"), "%s", mass->reason);
	mass = treated_mass("h2s='10 mol%' methane='90 mol%'", "h2s='4 ppmv'");
	expect_close(mass->si, 0.016043, 1e-4, "a whole analysis without any");
	mass = treated_mass("h2s='10 mol%' co2='0.2 mol%' methane='89.8 mol%'", "h2s='4 ppmv'");
	expect_close(mass->si, 0.016043, 1e-4, "a little");
	cr_expect(mass->uncertainty >= 0.002 * (0.044009 - 0.016043), "its %g is not counted", mass->uncertainty);
}

/* ---- bounds ---- */

#define DRY_GAS "flow='1000 kmol/h' methane='88 mol%' co2='12 mol%' "

static const struct quantity *density_of(const char *given, const char *more)
{
	review(arena_format(&trial.arena, "<gas id='g' water-saturated='no' %s %s/>", given, more));
	return trial_value(&trial, "g", NULL, "density");
}

/* A bound of a condition gives the density at it, as a bound, and the flow by volume the other way. */
Test(vapour, a_condition_that_is_a_bound_bounds_the_density)
{
	double at = density_of(DRY_GAS, "temperature='40 degC' pressure='50 bara'")->si;
	const struct quantity *found = density_of(DRY_GAS, "temperature='40 degC' pressure='&lt;50 bara'");
	cr_expect_eq(found->bound, BOUND_BELOW);
	expect_close(found->si, at, 1e-9, "at the bound");
	cr_expect_eq(trial_value(&trial, "g", NULL, "volume-flow")->bound, BOUND_ABOVE);
	cr_expect_eq(trial_value(&trial, "g", NULL, "compressibility")->known, UNKNOWN);
	cr_expect_eq(density_of(DRY_GAS, "temperature='40 degC' pressure='>50 bara'")->bound, BOUND_ABOVE);
	cr_expect_eq(density_of(DRY_GAS, "temperature='>40 degC' pressure='50 bara'")->bound, BOUND_BELOW);
	found = density_of(DRY_GAS, "temperature='&lt;40 degC' pressure='&lt;50 bara'");
	cr_expect(found->known == UNKNOWN && strstr(found->reason, "leave it open"), "%s", found->reason);
}

#define WET_GAS                                                                                                        \
	"<gas id='g' water-saturated='yes' hydrogen='%s mol%%' methane='%s mol%%' temperature='%s' pressure='%s'/>"

static enum bound bound_of_wet(const char *hydrogen, const char *methane, const char *temperature, const char *pressure)
{
	review(arena_format(&trial.arena, WET_GAS, hydrogen, methane, temperature, pressure));
	const struct quantity *found = trial_value(&trial, "g", NULL, "density");
	return found->known == UNKNOWN ? (enum bound) - 1 : found->bound;
}

/* Vapour of water makes hydrogen heavier: the warmer, the more of it, and then which way the density goes is not said. */
Test(vapour, water_of_saturation_beside_a_bound)
{
	cr_expect_eq(bound_of_wet("0", "100", "60 degC", "&lt;5 bara"), BOUND_BELOW);
	cr_expect_eq(bound_of_wet("90", "10", "60 degC", "&lt;5 bara"), BOUND_BELOW);
	cr_expect_eq(bound_of_wet("90", "10", "&lt;60 degC", "5 bara"), (enum bound) - 1);
}

/* A trace that may be none serves as a value; a share that counts bounds the molar mass where its place is known. */
Test(vapour, contents_that_are_bounds)
{
	static const char body[] = "temperature='40 degC' pressure='5 bara' methane='80 mol%'";
	double at = density_of(body, "co2='20 mol%' h2s='10 ppmv'")->si;
	const struct quantity *found = density_of(body, "co2='20 mol%' h2s='&lt;10 ppmv'");
	cr_expect_eq(found->bound, BOUND_NONE);
	expect_close(found->si, at, 1e-9, "a trace");
	found = density_of(body, "co2='&lt;20 mol%'"); /* and what else, if it is less? */
	cr_expect(found->known == UNKNOWN && strstr(found->reason, "co2 of g is stated only as a bound"), "%s",
		found->reason);
	/* Of a treated gas the rest is known: 16.0 g/mol beside 44 and, within the uncertainty, 28. */
	found = treated_mass("h2s='10 mol%' methane='90 mol%'", "h2s='4 ppmv' co2='&lt;5 mol%'");
	cr_expect_eq(found->bound, BOUND_BELOW);
	cr_expect_eq(trial_value(&trial, "out", NULL, "density")->bound, BOUND_BELOW);
	expect_close(found->si, 0.95 * 0.016043 + 0.05 * 0.044009, 1e-4, "at the bound");
	found = treated_mass("h2s='10 mol%' methane='90 mol%'", "h2s='4 ppmv' nitrogen='&lt;0.1 mol%'");
	cr_expect_eq(found->bound, BOUND_NONE);
	found = density_of(body, "co2='t.b.d.'");
	cr_expect(found->known == UNKNOWN && found->owed, "owed");
}

Test(vapour, a_molar_mass_that_is_a_bound_bounds_the_density)
{
	static const char body[] = "temperature='40 degC' pressure='20 bara'";
	double at = density_of(body, "h2s='2 mol%' molar-mass='19 g/mol'")->si;
	const struct quantity *found = density_of(body, "h2s='2 mol%' molar-mass='&lt;19 g/mol'");
	cr_expect_eq(found->bound, BOUND_BELOW);
	expect_close(found->si, at, 1e-9, "at the bound");
	cr_expect_eq(density_of(body, "h2s='2 mol%' gravity='>0.65'")->bound, BOUND_ABOVE);
	found = density_of(body, "h2s='2 mol%' molar-mass='t.b.d.'");
	cr_expect(found->known == UNKNOWN && found->owed, "owed");
	/* What the feed's H2S leaves to the rest: the more of it, the lighter that is. */
	found = treated_mass("h2s='&lt;10 mol%' co2='0 mol%' molar-mass='20 g/mol'", "h2s='0 ppmv' co2='0 mol%'");
	cr_expect_eq(found->bound, BOUND_ABOVE);
	expect_close(found->si, (0.020 - 0.1 * 0.034081) / 0.9, 1e-6, "at the bound");
}

/* ---- water ---- */

/* Acid gas off the drum: p_s(45 degC) = 9.59 kPa (steam table) of 1.6 bar. */
Test(vapour, acid_gas_is_saturated_unless_its_water_is_stated)
{
	review("<gas id='g' role='acid gas' temperature='45 degC' pressure='1.6 bara' h2s='100 mol%'/>"
	       "<gas id='dry' role='acid gas' temperature='45 degC' pressure='1.6 bara' h2s='100 mol%' "
	       "water-saturated='no'/>"
	       "<gas id='some' role='acid gas' temperature='45 degC' pressure='1.6 bara' h2s='97 mol%' water='3 "
	       "mol%'/>");
	double water = 0.0959 / 1.6;
	expect_close(number("g", "water-vapour", "mol/mol"), water, 1e-3, "water");
	expect_close(number("g", "molar-mass", "g/mol"), 34.081 * (1 - water) + 18.0153 * water, 1e-4, "molar mass");
	expect_close(number("dry", "molar-mass", "g/mol"), 34.081, 1e-6, "molar mass, dry");
	expect_close(number("some", "molar-mass", "g/mol"), 34.081 * 0.97 + 18.0153 * 0.03, 1e-6, "as stated");
	cr_expect(number("g", "density", "kg/m3") < number("some", "density", "kg/m3"));
}

/* Where nobody says whether a feed is wet, what that would change is in the uncertainty. */
Test(vapour, water_nobody_speaks_of_is_uncertainty)
{
	review("<gas id='g' role='feed' temperature='60 degC' pressure='1.2 bara' molar-mass='17 g/mol' h2s='0.1 "
	       "mol%'/>"
	       "<gas id='dry' role='feed' temperature='60 degC' pressure='1.2 bara' molar-mass='17 g/mol' h2s='0.1 "
	       "mol%' "
	       "water-saturated='no'/>"
	       "<gas id='heavy' role='feed' temperature='60 degC' pressure='1.2 bara' molar-mass='40 g/mol' h2s='0.1 "
	       "mol%'/>"
	       "<gas id='heavy-wet' role='feed' temperature='60 degC' pressure='1.2 bara' molar-mass='40 g/mol' "
	       "h2s='0.1 mol%' "
	       "water-saturated='yes'/>");
	expect_close(number("g", "density", "kg/m3"), number("dry", "density", "kg/m3"), 1e-9, "taken as dry");
	const struct quantity *open = trial_value(&trial, "heavy", NULL, "density");
	double wet = number("heavy-wet", "density", "kg/m3");
	cr_expect(fabs(open->si - wet) <= open->uncertainty, "%g +/- %g, wet %g", open->si, open->uncertainty, wet);
}
