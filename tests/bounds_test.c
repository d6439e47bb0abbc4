/*
 * Values stated as bounds, "<10 ppmw", through every chain of calculation; arrays that once dropped what did not fit; solvers
 * without an answer. The designs are invented; what is compared is the same unit with a number in the place of the bound.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
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

TestSuite(bounds, .init = begin, .fini = end);

/* A unit in 45 wt% MDEA with these anions, feed gas H2S, lean loading and H2S of the treated gas. */
static void review_loop(const char *anions, const char *feed_h2s, const char *lean_h2s, const char *treated_h2s)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'>"
			"<basis kind='new' barometric-pressure='1.01325 bara'><case id='normal'/></basis>"
			"<solvent amine='MDEA' strength='45 wt%%'>%s</solvent>"
			"<gas id='feed' flow='3000 kmol/h' pressure='40 bara' temperature='35 degC' h2s='%s' co2='6 "
			"mol%%'/>"
			"<gas id='sweet' pressure='39.5 bara' temperature='46 degC' h2s='%s' co2='2 mol%%'/>"
			"<specification gas='sweet' h2s='&lt;4 ppmv'/>"
			"<stream id='lean' service='lean' flow='230 t/h' temperature='45 degC' pressure='45 bara' "
			"h2s='%s' "
			"co2='0.004'/>"
			"<stream id='hot-lean' service='lean' flow='230 t/h' temperature='124 degC' pressure='2 bara' "
			"h2s='%s' "
			"co2='0.004'/>"
			"<stream id='rich' service='rich' flow='240 t/h' temperature='62 degC' pressure='39 bara' "
			"h2s='0.12' "
			"co2='0.19'/>"
			"<stream id='hot-rich' service='rich' flow='240 t/h' temperature='98 degC' pressure='6 bara' "
			"h2s='0.12' "
			"co2='0.19'/>"
			"<stream id='reflux' service='reflux' flow='5 t/h' temperature='45 degC'/>"
			"<absorber tag='C-1' gas='feed' treated='sweet' lean='lean' rich='rich' bottom-temperature='62 "
			"degC'/>"
			"<regenerator tag='C-2' lean='hot-lean' feed='hot-rich' reflux='reflux' trays='22' "
			"trays-below-feed='18' "
			"bottom-pressure='2 bara' top-pressure='1.8 bara' top-temperature='102 degC'/>"
			"<reboiler tag='E-2' regenerator='C-2' duty='16 MW'/>"
			"</unit>",
			anions, feed_h2s, treated_h2s, lean_h2s, lean_h2s));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct {
	const char *item, *name;
} chains[] = {{"rich", "bubble-pressure"}, {"hot-rich", "bubble-pressure"}, {"C-1", "h2s-over-lean"},
	{"C-2", "boiling-temperature"}, {"C-2", "reachable-loading"}, {"C-1", "equilibrium-rich-loading"}};
enum { CHAINS = COUNT(chains) };

#define SALTS "<anion name='formate' content='4000 ppmw'/><anion name='acetate' content='6000 ppmw'/>"

/* One trace of chloride stated as a bound, and the salts are those of the same unit with that chloride as a number. */
Test(bounds, one_anion_stated_as_a_bound_leaves_the_salts_on)
{
	double with[CHAINS], without[CHAINS];
	review_loop(SALTS "<anion name='chloride' content='10 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	for (size_t i = 0; i < CHAINS; i++)
		with[i] = trial_si(&trial, chains[i].item, chains[i].name);
	review_loop("", "2 mol%", "0.004", "2 ppmv");
	for (size_t i = 0; i < CHAINS; i++)
		without[i] = trial_si(&trial, chains[i].item, chains[i].name);
	review_loop(SALTS "<anion name='chloride' content='&lt;10 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	for (size_t i = 0; i < CHAINS; i++) {
		cr_expect_float_eq(trial_si(&trial, chains[i].item, chains[i].name), with[i], 1e-9 * fabs(with[i]),
			"%s of %s", chains[i].name, chains[i].item);
		cr_expect(fabs(with[i] - without[i]) > 1e-6 * fabs(with[i]), "%s of %s does not see the salts at all",
			chains[i].name, chains[i].item);
	}
	const struct quantity *bound = trial_put(&trial, "solvent", "bound-amine");
	cr_expect(bound->reason && strstr(bound->reason, "stated only as a bound"), "the bound is not told");
}

/* All the salt there is may be there or not: the result is a bound on its careful side. */
Test(bounds, salts_that_are_all_bounds_make_the_results_bounds)
{
	review_loop("<anion name='acetate' content='30000 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	double at_bound = trial_si(&trial, "C-1", "h2s-over-lean");
	review_loop("<anion name='acetate' content='&lt;30000 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	cr_expect_eq(trial_put(&trial, "solvent", "bound-amine")->bound, BOUND_BELOW);
	const struct quantity *over = trial_put(&trial, "C-1", "h2s-over-lean"),
			      *lean = trial_put(&trial, "C-2", "reachable-loading");
	cr_expect_eq(over->bound, BOUND_BELOW); /* more salt, more H2S over the lean: so much at most */
	cr_expect_float_eq(over->si, at_bound, 1e-9 * at_bound);
	cr_expect_eq(lean->bound, BOUND_ABOVE); /* more salt strips better: without it the lean stays richer */
	cr_expect_eq(trial_put(&trial, "C-1", "h2s-specification-used")->bound, BOUND_BELOW);
	/* More than so much salt leaves no end to go to. */
	review_loop("<anion name='acetate' content='>30000 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	cr_expect_eq(trial_put(&trial, "solvent", "bound-amine")->bound, BOUND_ABOVE);
	over = trial_put(&trial, "C-1", "h2s-over-lean");
	cr_expect(over->known == UNKNOWN && strstr(over->reason, "content of"), "%s", over->reason);
}

/* A content nobody stated is no content of zero. */
Test(bounds, an_anion_without_a_content_does_not_switch_the_salts_off)
{
	review_loop(SALTS "<anion name='chloride'/>", "2 mol%", "0.004", "2 ppmv");
	for (size_t i = 0; i < CHAINS; i++) {
		const struct quantity *found = trial_put(&trial, chains[i].item, chains[i].name);
		cr_expect(found->known == UNKNOWN && strstr(found->reason, "content of"), "%s of %s: %s",
			chains[i].name, chains[i].item, found->known == UNKNOWN ? found->reason : "known");
	}
}

/* The same analysis by mass of the solution and by volume of it, at the 1000 kg/m3 that formulas of salts take. */
Test(bounds, anions_by_volume_count_as_those_by_mass)
{
	review_loop("<anion name='formate' content='5000 ppmw'/>", "2 mol%", "0.004", "2 ppmv");
	double by_mass = trial_si(&trial, "solvent", "bound-amine");
	review_loop("<anion name='formate' content='5000 mg/L'/>", "2 mol%", "0.004", "2 ppmv");
	cr_expect_float_eq(trial_si(&trial, "solvent", "bound-amine"), by_mass, 1e-9);
}

Test(bounds, a_small_lean_loading_stated_as_a_bound_serves_as_a_value)
{
	review_loop("", "2 mol%", "0.001", "2 ppmv");
	double picked = trial_si(&trial, "C-1", "acid-gas-picked-up"), taken = trial_si(&trial, "C-1", "amine-in");
	double duty = trial_si(&trial, "C-2", "duty-desorption"), column = trial_si(&trial, "C-2", "reachable-loading");
	review_loop("", "2 mol%", "&lt;0.001", "2 ppmv");
	cr_expect_float_eq(trial_si(&trial, "C-1", "acid-gas-picked-up"), picked, 1e-9 * picked);
	cr_expect_float_eq(trial_si(&trial, "C-1", "amine-in"), taken, 1e-9 * taken);
	cr_expect_float_eq(trial_si(&trial, "C-2", "duty-desorption"), duty, 1e-9 * duty);
	cr_expect_float_eq(trial_si(&trial, "C-2", "reachable-loading"), column, 1e-9 * column);
	/* Over the lean it is nearly everything: so much at most. */
	cr_expect_eq(trial_put(&trial, "C-1", "h2s-over-lean")->bound, BOUND_BELOW);
	cr_expect_eq(trial_put(&trial, "lean", "loading")->bound, BOUND_BELOW);
	cr_expect_eq(trial_put(&trial, "C-1", "acid-gas-difference")->known, COMPUTED);
}

Test(bounds, contents_of_gases_stated_as_bounds)
{
	review_loop("", "2 mol%", "0.004", "4 ppmv");
	double removed = trial_si(&trial, "C-1", "acid-gas-removed");
	review_loop("", "2 mol%", "0.004", "&lt;4 ppmv"); /* beside 2 mol% nothing */
	cr_expect_float_eq(trial_si(&trial, "C-1", "acid-gas-removed"), removed, 1e-9 * removed);
	review_loop("", "&lt;50 ppmv", "0.004", "2 ppmv");
	const struct quantity *partial = trial_put(&trial, "feed", "h2s-partial-pressure");
	cr_expect_eq(partial->bound, BOUND_BELOW);
	cr_expect_float_eq(partial->si, 50e-6 * 40e5, 1e-6);
	cr_expect_eq(trial_put(&trial, "feed", "h2s-share")->bound, BOUND_BELOW);
	cr_expect_eq(trial_put(&trial, "C-1", "equilibrium-rich-loading")->bound, BOUND_NONE); /* 6 mol% CO2 decides */
	/* A specification is written as a bound, and is the limit it names. */
	cr_expect(trial_si(&trial, "C-1", "h2s-specification-used") > 0);
}

/* Of a bound the rule asks for what was stated as one, not for what was calculated from it. */
Test(bounds, what_a_bound_leaves_open_asks_for_the_stated_value)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='s' service='lean' flow='>200 m3/h' temperature='50 degC' h2s='0.004' co2='0.004'/>"
		"<line tag='P-1' stream='s' size='NPS 10' schedule='40' material='carbon steel'/>");
	cr_expect_eq(trial_put(&trial, "P-1", "velocity")->bound, BOUND_ABOVE);
	cr_expect(strstr(trial_put(&trial, "P-1", "velocity")->reason, "flow of s is stated only as a bound"), "%s",
		trial_put(&trial, "P-1", "velocity")->reason);
}

Test(bounds, bounds_that_pull_opposite_ways_leave_nothing)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='l' service='lean' temperature='&lt;46 degC'/><stream id='r' service='rich'/>"
		"<gas id='g' temperature='&lt;40 degC' hydrocarbon-dew-point='30 degC'/>"
		"<absorber tag='C-1' gas='g' lean='l' rich='r'/>");
	const struct quantity *approach = trial_put(&trial, "C-1", "approach-to-gas");
	cr_expect(approach->known == UNKNOWN && strstr(approach->reason, "stated only as bounds"), "%s",
		approach->reason);
	cr_expect_eq(trial_put(&trial, "C-1", "approach-to-dew-point")->bound, BOUND_BELOW);
}

/* ---- the lean-side analysis ---- */

static const struct quantity *scale_with(const char *anions, const char *lean_h2s)
{
	review_loop(anions, "2 mol%", lean_h2s, "2 ppmv");
	const struct quantity *scale = trial_value(&trial, "E-2", "normal", "expected-scale");
	cr_assert_not_null(scale);
	return scale;
}

Test(bounds, the_scale_is_told_where_the_bound_does_not_matter)
{
	cr_expect_eq(scale_with(SALTS "<anion name='chloride' content='&lt;10 ppmw'/>", "0.004")->known, COMPUTED);
	const struct quantity *open = scale_with("<anion name='acetate' content='&lt;30000 ppmw'/>", "0.004");
	cr_expect(open->known == UNKNOWN && strstr(open->reason, "salts"), "%s", open->reason);
	open = scale_with(SALTS "<anion name='chloride'/>", "0.004");
	cr_expect(open->known == UNKNOWN && strstr(open->reason, "content of"), "%s", open->reason);
	open = scale_with("", "&lt;0.004");
	cr_expect(open->known == UNKNOWN && strstr(open->reason, "h2s of hot-lean is stated only as a bound"), "%s",
		open->reason);
}

/* ---- arrays that dropped what did not fit ---- */

Test(bounds, forty_anions_are_forty)
{
	struct text anions = text_in(&trial.arena);
	for (int i = 0; i < 40; i++) /* names repeat: what is listed twice is there twice */
		text_addf(&anions, "<anion name='%s' content='%d ppmw'/>", i % 2 ? "formate" : "acetate", 100 + i);
	review_loop(anions.data, "2 mol%", "0.004", "2 ppmv");
	double formate = 0, acetate = 0;
	for (int i = 0; i < 40; i++)
		*(i % 2 ? &formate : &acetate) += (100 + i) * 1e-6;
	cr_expect_float_eq(trial_si(&trial, "solvent", "anions-together"), formate + acetate, 1e-12);
	/* mol of charge over mol of amine: 45.017 and 59.044 g/mol (anions.def), MDEA 119.163 g/mol */
	cr_expect_float_eq(trial_si(&trial, "solvent", "bound-amine"),
		(formate / 0.045017 + acetate / 0.059044) / (0.45 / 0.119163), 1e-6);
	cr_expect_eq(trial_put(&trial, "solvent", "bound-amine")->input_count, 41);
}

Test(bounds, the_hardest_of_a_hundred_nozzles_counts)
{
	struct text nozzles = text_in(&trial.arena);
	for (int i = 0; i < 100; i++)
		text_addf(
			&nozzles, "<nozzle tag='N-%d' flow='%d m3/h' density='1000 kg/m3' bore='100 mm'/>", i, 20 + i);
	trial_review_unit(&trial, "MDEA",
		arena_format(
			&trial.arena, "<exchanger tag='E-1'><shell-side>%s</shell-side></exchanger>", nozzles.data));
	cr_expect_float_eq(
		trial_si(&trial, "E-1 shell side", "momentum-flux"), trial_si(&trial, "N-99", "momentum-flux"), 1e-9);
	/* One of them of a stream whose flow nobody states: at least so much. */
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena,
			"<stream id='s' service='lean'/><exchanger tag='E-1'><shell-side>%s<nozzle tag='N-x' "
			"stream='s' "
			"bore='80 mm'/></shell-side></exchanger>",
			nozzles.data));
	const struct quantity *flux = trial_put(&trial, "E-1 shell side", "momentum-flux");
	cr_expect_eq(flux->bound, BOUND_ABOVE);
	cr_expect(strstr(flux->reason, "not stated"), "%s", flux->reason);
}

Test(bounds, the_poorest_of_a_hundred_feeds_counts)
{
	struct text feeds = text_in(&trial.arena);
	for (int i = 0; i < 100; i++)
		text_addf(&feeds, "<gas id='g-%d' role='feed' h2s='%d ppmv' co2='5 mol%%'/>", i, 2000 - i);
	trial_review_unit(&trial, "MDEA", feeds.data);
	cr_expect_float_eq(trial_si(&trial, "unit", "h2s-share"), 1901e-6 / (1901e-6 + 0.05), 1e-9);
}

Test(bounds, eighty_cases_are_all_calculated)
{
	struct text cases = text_in(&trial.arena), flows = text_in(&trial.arena);
	for (int i = 0; i < 80; i++) {
		text_addf(&cases, "<case id='c%d'/>", i);
		if (i > 0)
			text_addf(&flows, "<in case='c%d' flow='%d m3/h'/>", i, 20 + i);
	}
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'>%s</basis>"
			"<line tag='P-1' flow='20 m3/h' bore='100 mm'>%s</line></unit>",
			cases.data, flows.data));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	double first = trial_number(&trial, "P-1", "c0", "velocity", "m/s");
	cr_expect_float_eq(trial_number(&trial, "P-1", "c79", "velocity", "m/s"), first * 99 / 20, 1e-9);
}

/* ---- solvers without an answer ---- */

Test(bounds, a_column_of_more_stages_than_are_solved_says_so)
{
	review_loop("", "2 mol%", "0.004", "2 ppmv");
	cr_expect(trial_si(&trial, "C-2", "reachable-loading") > 0);
	trial_review_unit(&trial, "MDEA",
		"<stream id='l' service='lean' flow='230 t/h' temperature='124 degC' pressure='2 bara' h2s='0.004' "
		"co2='0.004'/>"
		"<stream id='f' service='rich' flow='240 t/h' temperature='98 degC' pressure='6 bara' h2s='0.12' "
		"co2='0.19'/>"
		"<stream id='x' service='reflux' flow='5 t/h' temperature='45 degC'/>"
		"<regenerator tag='C-2' lean='l' feed='f' reflux='x' trays='200' bottom-pressure='2 bara' "
		"top-pressure='1.8 "
		"bara'/><reboiler tag='E-2' regenerator='C-2' duty='16 MW'/>");
	cr_expect_float_eq(trial_si(&trial, "C-2", "equilibrium-stages"), 91, 1e-9);
	const struct quantity *lean = trial_put(&trial, "C-2", "reachable-loading");
	cr_expect(lean->known == UNKNOWN && strstr(lean->reason, "91 equilibrium stages"), "%s", lean->reason);
}

/*
 * Nobody states the lean loading: the column needs none and has its numbers (it once had none, for want of the moles of amine,
 * which the rich flow gives as well); what compares with the stated loading stays unknown.
 */
Test(bounds, a_regenerator_without_a_lean_loading)
{
	static const char *const names[] = {"lean-over-reachable", "duty-asked", "acid-gas-stripped"};
	static const struct {
		const char *name;
		double least, most; /* SI */
	} column[] = {{"reachable-loading", 1e-4, 0.02}, {"stripping-in-reboiler", 1e-4, 0.1},
		{"column-bottom-temperature", 390, 405}, {"column-top-temperature", 350, 395},
		{"column-reflux-ratio", 0.5, 10}, {"column-condensing-duty", 1e6, 16e6}};
	trial_review_unit(&trial, "MDEA",
		"<stream id='l' service='lean' flow='230 t/h' temperature='124 degC' pressure='2 bara'/>"
		"<stream id='f' service='rich' flow='240 t/h' temperature='98 degC' pressure='6 bara' h2s='0.12' "
		"co2='0.19'/>"
		"<stream id='x' service='reflux' flow='5 t/h' temperature='45 degC'/>"
		"<regenerator tag='C-2' lean='l' feed='f' reflux='x' trays='20' bottom-pressure='2 bara' "
		"top-pressure='1.8 bara' "
		"top-temperature='102 degC' reflux-ratio='2'/><reboiler tag='E-2' regenerator='C-2' duty='16 MW'/>");
	for (size_t i = 0; i < COUNT(names); i++) {
		const struct quantity *found = trial_put(&trial, "C-2", names[i]);
		cr_expect(found->known == UNKNOWN && strstr(found->reason, "of l is not stated"), "%s: %s", names[i],
			found->known == UNKNOWN ? found->reason : "known");
	}
	for (size_t i = 0; i < COUNT(column); i++) {
		const struct quantity *found = trial_put(&trial, "C-2", column[i].name);
		cr_expect(found->known == COMPUTED && found->si > column[i].least && found->si < column[i].most,
			"%s: %g", column[i].name, found->si);
	}
}

/* Rich amine let down to a tower so far below its bubble point that nothing liquid is left to be solved for. */
Test(bounds, a_flash_without_an_answer_has_no_density)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='f' service='rich' flow='240 t/h' temperature='190 degC' pressure='0.05 bara' h2s='0.12' "
		"co2='0.19'/>"
		"<line tag='P-1' stream='f' size='NPS 10' schedule='40'/>");
	const struct quantity *density = trial_put(&trial, "f", "density"),
			      *velocity = trial_put(&trial, "P-1", "velocity");
	cr_expect(density->known == UNKNOWN && *density->reason, "%g kg/m3", density->si);
	cr_expect(velocity->known == UNKNOWN, "%g m/s", velocity->si);
}

/* Elbows and fittings of a line without flow have no velocity, and not one of zero. */
Test(bounds, parts_of_a_line_without_flow_have_no_velocity)
{
	static const char *const names[] = {"velocity", "local-velocity", "equivalent-velocity"};
	trial_review_unit(&trial, "MDEA",
		"<stream id='s' service='rich' temperature='60 degC'/>"
		"<line tag='P-1' stream='s' size='NPS 10' schedule='40' material='carbon steel'>"
		"<elbow radius='1'/><fitting type='thermowell'/></line>");
	for (size_t i = 0; i < COUNT(names); i++) {
		cr_expect_eq(trial_put(&trial, "P-1 elbow", names[i])->known, UNKNOWN, "%s of an elbow", names[i]);
		cr_expect_eq(trial_put(&trial, "P-1 fitting", names[i])->known, UNKNOWN, "%s of a fitting", names[i]);
	}
}

/* ---- two ends of one side ---- */

static const struct quantity *side_between(const char *inlet, const char *outlet)
{
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena,
			"<stream id='a' service='rich' flow='9 t/h' %s/><stream id='b' service='rich' flow='9 t/h' %s/>"
			"<exchanger tag='E-1'><tube-side inlet='a' outlet='b'/></exchanger>",
			inlet, outlet));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_value(&trial, "E-1 tube side", NULL, "temperature");
}

Test(bounds, an_end_below_a_value_tells_of_the_hotter_one_only_where_the_other_is_known)
{
	const struct quantity *side = side_between("temperature='60 degC'", "temperature='&lt;50 degC'");
	cr_assert(side && side->known == COMPUTED && side->bound == BOUND_NONE, "the other end is certainly no hotter");
	cr_expect_float_eq(side->si, 333.15, 1e-9);
	side = side_between("temperature='60 degC'", "temperature='&lt;70 degC'");
	cr_assert(side && side->known == COMPUTED && side->bound == BOUND_ABOVE, "it may be hotter");
	cr_expect_float_eq(side->si, 333.15, 1e-9);
	side = side_between("temperature='60 degC'", "");
	cr_assert(side && side->known == COMPUTED && side->bound == BOUND_ABOVE, "so it may where nothing is said");
	side = side_between("temperature='&lt;60 degC'", "");
	cr_expect(!side || side->known == UNKNOWN, "below 60 degC and anything is anything");
	side = side_between("", "temperature='&lt;60 degC'");
	cr_expect(!side || side->known == UNKNOWN);
	side = side_between("temperature='&lt;60 degC'", "temperature='&lt;70 degC'");
	cr_assert(side && side->bound == BOUND_BELOW);
	cr_expect_float_eq(side->si, 343.15, 1e-9, "below the higher of both");
	side = side_between("temperature='&gt;60 degC'", "temperature='&lt;70 degC'");
	cr_assert(side && side->bound == BOUND_ABOVE);
	cr_expect_float_eq(side->si, 333.15, 1e-9, "one of them is above 60 degC");
}
