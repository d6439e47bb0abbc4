/*
 * Cases that a package leaves out: which are made, what they change, and which verdicts turn. Figures are by hand,
 * from the descriptions.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "judge/judge.h"
#include "pipeline/stages.h"
#include "review_support.h"
#include "revamp/cases.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

static void end_shell(void)
{
	shell_end();
	trial_close(&trial);
}

static const struct cases_asked nothing_asked = {(double)NAN, (double)NAN};

static struct cases cases_from(const struct element *unit, struct cases_asked asked)
{
	const struct table *table = unit ? stages_table(&trial.arena, unit, ANALYSES_SULFIDE, &trial.problems) : NULL;
	cr_assert(table && trial.problems.count == 0, "%s", trial_messages(&trial));
	return cases_of(&trial.arena, unit, table, trial.catalogue, asked);
}

static struct cases cases_of_file(const char *path)
{
	return cases_from(element_read(&trial.arena, path, trial.vocabulary, &trial.problems), nothing_asked);
}

static struct cases cases_of_text(const char *description, struct cases_asked asked)
{
	return cases_from(element_parse(&trial.arena, "unit.xml", description, strlen(description), trial.vocabulary,
				  &trial.problems),
		asked);
}

static const struct solved_case *row(const struct cases *cases, const char *id)
{
	for (size_t i = 0; i < cases->count; i++)
		if (strcmp(cases->rows[i].id, id) == 0)
			return &cases->rows[i];
	return NULL;
}

static const struct case_turn *turn(const struct solved_case *row, const char *rule, const char *item)
{
	for (size_t i = 0; row && i < row->turn_count; i++)
		if (strcmp(row->turns[i].rule->id, rule) == 0 && strcmp(row->turns[i].item, item) == 0)
			return &row->turns[i];
	return NULL;
}

static double value(const struct solved_case *row, const char *item, const char *name)
{
	for (size_t i = 0; row && i < row->value_count; i++)
		if (strcmp(row->values[i].of->tag, item) == 0 && strcmp(row->values[i].name, name) == 0)
			return row->values[i].value;
	return (double)NAN;
}

static bool left_out(const struct cases *cases, const char *words)
{
	for (size_t i = 0; i < cases->left_out_count; i++)
		if (strstr(cases->left_out[i], words))
			return true;
	return false;
}

/* ---- what turns ---- */

/*
 * designs/cobble-hythe.xml: lean at 46 degC, 8 K over its gas. Its cooler is assumed to have water of 36 degC, and
 * 10/45 of the way is left; with water of 41 degC and a lean of 81 to 83 degC before it that is 41 + 0.222 x 41 = 50.1
 * degC, 12.1 K over the gas, where 11 K is the most in use. One verdict turns that is about the lean's temperature,
 * and those on the hot side do not.
 */
Test(revamp_cases, a_hotter_site_turns_what_it_does_by_hand, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases = cases_of_file("designs/cobble-hythe.xml");
	cr_assert_null(cases.fault, "%s", cases.fault);
	const struct solved_case *hottest = row(&cases, "solved-hottest");
	cr_assert_not_null(hottest);
	cr_expect_float_eq(value(hottest, "lean-cold", "temperature") - ZERO_CELSIUS, 50.2, 0.4);
	const struct case_turn *turned = turn(hottest, "TMP-014", "C-221");
	cr_assert_not_null(turned);
	cr_expect_eq(turned->from, VERDICT_MEETS);
	cr_expect_eq(turned->to, VERDICT_DEPARTS);
	cr_expect(strstr(turned->message, "C-221"), "%s", turned->message);
	for (size_t i = 0; i < hottest->turn_count; i++)
		cr_expect(&hottest->turns[i] == turned || hottest->turns[i].to != VERDICT_DEPARTS, "%s %s departs too",
			hottest->turns[i].rule->id, hottest->turns[i].item);
	/*
	 * lean cooling lost: lean before the cooler goes on as it is, and the rich solution gets hotter than 104 degC
	 */
	const struct solved_case *lost = row(&cases, "solved-no-lean-cooling");
	cr_expect_not_null(turn(lost, "TMP-001", "8-P-2202"));
	cr_expect_gt(value(lost, "lean-cold", "temperature"), value(lost, "lean-warm", "temperature") - 0.01);
	/* the treated gas: 50 ppmv in the base, 100 ppmv specified, and the lean solution 50 K hotter */
	cr_assert_eq(lost->off_count, 1);
	cr_expect_str_eq(lost->off[0].name, "h2s");
	cr_expect_float_eq(lost->off[0].limit, 100e-6, 1e-9);
	cr_expect_gt(lost->off[0].value, 500e-6);
	cr_expect_eq(hottest->off_count, 0);
	cr_expect(left_out(&cases, "turndown: stated as case turndown"));
	cr_expect(left_out(&cases, "there is one absorber"));
}

/* ---- which are made ---- */

/* A unit with a cooler against air of 25 degC, whose cases and feeds are as given. */
static const char *unit_with(const char *cases, const char *high, const char *low, const char *more)
{
	return arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='W'><basis kind='new' barometric-pressure='1.01325 bara' "
		"air-temperature='25 degC'>%s</basis><solvent amine='DEA' strength='28 wt%%'/>"
		"<gas id='high' role='feed' flow='1500 kmol/h' temperature='35 degC' pressure='50 barg' "
		"water-saturated='yes' "
		"h2s='2 mol%%' co2='1 mol%%'>%s</gas>"
		"<gas id='low' role='feed' flow='200 kmol/h' temperature='40 degC' pressure='4 barg' "
		"water-saturated='yes' %s</gas>"
		"<stream id='warm' service='lean' flow='90 t/h' temperature='80 degC' h2s='0.02' co2='0.005'/>"
		"<stream id='lean' service='lean' flow='90 t/h' temperature='43 degC' h2s='0.02' co2='0.005'/>"
		"<stream id='lean-1' service='lean' flow='66 t/h' temperature='43 degC' h2s='0.02' co2='0.005'/>"
		"<stream id='lean-2' service='lean' flow='24 t/h' temperature='43 degC' h2s='0.02' co2='0.005'/>"
		"<stream id='rich-1' service='rich'/><stream id='rich-2' service='rich'/>"
		"<network><split tag='S' from='lean' to='lean-1 lean-2'/></network>"
		"<cooler tag='K' service='lean' type='air cooled' cooling-medium='air'>"
		"<tube-side inlet='warm' outlet='lean'/></cooler>"
		"<absorber tag='C-1' gas='high' lean='lean-1' rich='rich-1'/>"
		"<absorber tag='C-2' gas='low' lean='lean-2' rich='rich-2'/>%s</unit>",
		cases, high, low, more);
}

static const char plain_low[] = "h2s='4 mol%' co2='0.5 mol%'>";

/* Air as warm as it is: a case that changes nothing turns nothing, and moves no value. */
Test(revamp_cases, a_case_without_a_change_turns_nothing, .fini = end)
{
	trial_open(&trial, NULL);
	const struct cases_asked same = {25 + ZERO_CELSIUS, 25 + ZERO_CELSIUS};
	struct cases cases = cases_of_text(unit_with("", "", plain_low, ""), same);
	const struct solved_case *hottest = row(&cases, "solved-hottest");
	cr_assert_not_null(hottest);
	cr_expect_null(hottest->why, "%s", hottest->why);
	cr_expect_eq(hottest->turn_count, 0, "%zu", hottest->turn_count);
	for (size_t i = 0; i < hottest->value_count; i++)
		if (isfinite(hottest->values[i].stated))
			cr_expect_float_eq(hottest->values[i].value, hottest->values[i].stated, 1e-4, "%s %s",
				hottest->values[i].of->tag, hottest->values[i].name);
}

/* Each feed brings most in a case of its own: together they are a case that no column of the package has. */
Test(revamp_cases, absorbers_at_their_worst_at_once, .fini = end)
{
	static const char two[] = "<case id='normal'/><case id='a'/><case id='b'/><case id='u' upset='yes'/>";
	trial_open(&trial, NULL);
	struct cases cases = cases_of_text(unit_with(two, "<in case='a' h2s='3 mol%'/>",
						   "h2s='4 mol%' co2='0.5 mol%'><in case='b' h2s='6 mol%'/>", ""),
		nothing_asked);
	const struct solved_case *worst = row(&cases, "solved-worst-feeds");
	cr_assert_not_null(worst);
	cr_expect_null(worst->why, "%s", worst->why);
	cr_expect(strstr(worst->what, "C-1 as in case a, C-2 as in case b"), "%s", worst->what);
	for (size_t i = 0; i < worst->circuit.count; i++) {
		const struct circuit_unit *unit = &worst->circuit.units[i];
		double share = unit->gas.acid[GAS_H2S] / (unit->gas.inert + unit->gas.acid[0] + unit->gas.acid[1]);
		if (unit->sort == CIRCUIT_ABSORBER)
			cr_expect_float_eq(share, strcmp(unit->item->tag, "C-1") == 0 ? 0.03 : 0.06, 1e-6);
	}
	cr_expect_null(row(&cases, "u"), "an upset is no steady state to be solved");
	cr_expect_not_null(row(&cases, "a"));
	cases = cases_of_text(unit_with("<case id='normal'/><case id='a'/>", "<in case='a' h2s='3 mol%'/>",
				      "h2s='4 mol%' co2='0.5 mol%'><in case='a' h2s='6 mol%'/>", ""),
		nothing_asked);
	cr_expect_null(row(&cases, "solved-worst-feeds"));
	cr_expect(left_out(&cases, "one stated case has it"));
}

/* Half the feed, and no less circulation than the pump allows: 60 of 90 m3/h. */
Test(revamp_cases, turndown_keeps_the_least_flow_of_the_pump, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases = cases_of_text(
		unit_with("", "", plain_low, "<pump tag='P' service='lean' flow='90 m3/h' minimum-flow='60 m3/h'/>"),
		nothing_asked);
	const struct solved_case *turndown = row(&cases, "solved-turndown");
	cr_assert_not_null(turndown);
	cr_expect_float_eq(turndown->circulation, 2 / 3.0, 1e-9);
	cr_expect_float_eq(turndown->feed, 0.5, 1e-9);
	cr_expect(strstr(turndown->what, "least flow of the lean pump"), "%s", turndown->what);
	/* 2 mol% H2S and 1 mol% CO2 of half the gas, to 2/3 of the amine: 0.75 of the pick-up */
	double stated = value(row(&cases, "solved-more-flow"), "rich-1", "h2s");
	cr_expect_float_eq((value(turndown, "rich-1", "h2s") - 0.02) / (stated - 0.02), 0.75, 0.02);
}

/* What cannot be: a feed that would be more than all acid gas is not solved, and has neither values nor turns. */
Test(revamp_cases, what_is_not_solved_has_a_reason_and_no_numbers, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases = cases_of_text(unit_with("", "", "h2s='4 mol%' co2='91 mol%'>", ""), nothing_asked);
	cr_assert_null(cases.fault, "%s", cases.fault);
	const struct solved_case *richer = row(&cases, "solved-richer-feed");
	cr_assert_not_null(richer);
	cr_expect_not_null(richer->why);
	cr_expect_eq(richer->value_count, 0);
	cr_expect_eq(richer->turn_count, 0);
	cases = cases_of_text(
		"<unit xmlns='urn:leanrich:unit:1' number='E'><solvent amine='DEA' strength='28 wt%'/></unit>",
		nothing_asked);
	cr_expect_not_null(cases.fault);
	cr_expect_eq(cases.count, 0);
}

/* ---- what is not stated, what the base misses, and statements against statements ---- */

/* Nothing states or gives the lean loading, nor the CO2 of the rich: neither is a value of any case. */
Test(revamp_cases, what_nobody_states_or_solves_stays_unknown, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases =
		cases_of_text("<unit xmlns='urn:leanrich:unit:1' number='H'><solvent amine='MDEA' strength='45 wt%'/>"
			      "<stream id='lean' service='lean' to='C' temperature='40 degC' flow='50 t/h'/>"
			      "<stream id='rich' service='rich' from='C' temperature='60 degC' h2s='0.4'/>"
			      "<absorber tag='C' lean='lean' rich='rich'/></unit>",
			nothing_asked);
	cr_assert_null(cases.fault, "%s", cases.fault);
	cr_expect_not(cases.filled);
	cr_expect_null(row(&cases, "solved-base"));
	for (size_t i = 0; i < cases.value_count; i++)
		cr_expect(isfinite(cases.values[i].stated), "%s %s", cases.values[i].of->tag, cases.values[i].name);
	/* with a feed it could be solved, but for the lean loading: it is held, and its rich solution stays unknown */
	cases = cases_of_text("<unit xmlns='urn:leanrich:unit:1' number='H'><solvent amine='MDEA' strength='45 wt%'/>"
			      "<gas id='feed' role='feed' flow='900 kmol/h' temperature='35 degC' pressure='40 barg' "
			      "h2s='1 mol%' co2='6 mol%'/>"
			      "<stream id='lean' service='lean' temperature='40 degC' flow='50 t/h'/>"
			      "<stream id='rich' service='rich'/>"
			      "<absorber tag='C' gas='feed' lean='lean' rich='rich'/></unit>",
		nothing_asked);
	cr_assert_eq(cases.circuit.count, 1);
	cr_assert_not_null(cases.circuit.units[0].held);
	cr_expect(strstr(cases.circuit.units[0].held, "neither stated nor solved"));
	cr_expect_eq(cases.value_count, 1, "the lean temperature alone");
	cr_expect_not(cases.filled);
}

/* An exchanger and a cooler with duties and medium stated; the rich solution is stated 20 K hotter than is solved. */
static const char *trim_unit(void)
{
	return arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='Q'><basis kind='new' barometric-pressure='1.01325 bara'/>"
		"<solvent amine='DEA' strength='28 wt%%'/>"
		"<gas id='feed' role='feed' flow='900 kmol/h' temperature='35 degC' pressure='40 barg' "
		"water-saturated='yes' h2s='4 mol%%' co2='1 mol%%'/>%s%s%s%s%s"
		"<exchanger tag='E' service='lean/rich' duty='2470 kW' rated-duty='2600 kW'>"
		"<shell-side inlet='lean-hot' outlet='lean-warm'/><tube-side inlet='rich' outlet='rich-hot'/>"
		"</exchanger><cooler tag='K' service='lean' cooling-medium='cooling water' medium-flow='163 t/h' "
		"medium-inlet-temperature='28 degC' medium-outlet-temperature='40 degC' duty='2280 kW'>"
		"<shell-side inlet='lean-warm' outlet='lean'/></cooler>"
		"<pump tag='P' service='reflux' suction='lean' flow='60 t/h' rated-flow='60 t/h'/>"
		"<carbon-bed tag='F' stream='lean' depth='2 m' diameter='2 m' flow='24 m3/h'/>"
		"<absorber tag='C' gas='feed' lean='lean' rich='rich'/></unit>",
		"<stream id='lean-hot' service='lean' flow='60 t/h' temperature='120 degC' h2s='0.01' co2='0.005'/>",
		"<stream id='lean-warm' service='lean' flow='60 t/h' temperature='80 degC' h2s='0.01' co2='0.005'/>",
		"<stream id='lean' service='lean' flow='60 t/h' temperature='43 degC' h2s='0.01' co2='0.005'/>",
		"<stream id='rich' service='rich' temperature='72 degC' h2s='0.24' co2='0.06'/>",
		"<stream id='rich-hot' service='rich' temperature='106 degC' h2s='0.24' co2='0.06'/>");
}

/*
 * Half the flow moves about half the heat (0.5 to 0.55: U falls by less than the flow), 1.1 times about 1.1 times. The
 * flow of the medium does not follow the duty of a case, and the package is not at odds with itself for that.
 */
Test(revamp_cases, duties_follow_and_statements_are_not_held_against_them, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases = cases_of_text(trim_unit(), nothing_asked);
	const struct solved_case *more = row(&cases, "solved-more-flow");
	double half = value(row(&cases, "solved-turndown"), "E", "duty") / 2.47e6;
	cr_expect(half > 0.5 && half < 0.56, "%g", half);
	cr_expect_float_eq(value(more, "E", "duty") / 2.47e6, 1.09, 0.01);
	const struct case_turn *rated = turn(more, "CAP-001", "E");
	cr_assert_not_null(rated, "2.69 MW of 2.6 MW rated");
	cr_expect(strstr(rated->base, "from what is stated"), "%s", rated->base);
	const struct case_turn *pump = turn(more, "PMP-008", "P");
	cr_assert_not_null(pump, "66 t/h of 60 t/h");
	for (size_t i = 0; i < cases.count; i++)
		for (size_t k = 0; k < cases.rows[i].turn_count; k++) {
			cr_expect_str_neq(cases.rows[i].turns[k].rule->id, "CLG-004");
			cr_expect_null(strstr(cases.rows[i].turns[k].message, "slip"));
		}
}

/* A cooler that does nothing: what leaves it is what enters it, although the base misses that by 8 K. */
Test(revamp_cases, what_rests_on_what_the_base_misses_says_so, .fini = end)
{
	trial_open(&trial, NULL);
	struct cases cases = cases_of_text(trim_unit(), nothing_asked);
	const struct solved_case *lost = row(&cases, "solved-no-lean-cooling");
	cr_expect_float_eq(value(lost, "K", "duty"), 0, 1e-6);
	cr_expect_float_eq(value(lost, "lean", "temperature"), value(lost, "lean-warm", "temperature"), 1e-6);
	const struct case_turn *rich = turn(lost, "ABS-004", "C"), *lean = turn(lost, "TMP-011", "C");
	cr_assert(rich && lean);
	cr_expect(strstr(rich->base, "K from what is stated (temperature of rich)"), "%s", rich->base);
	cr_expect_str_eq(lean->base, "", "the lean leaves its cooler as stated");
	/* depth is judged, and the time of contact turned it: 2 m x 3.14 m2 / 24 m3/h is 15.7 min, and 14.3 of 26.4 */
	const struct case_turn *bed = turn(row(&cases, "solved-more-flow"), "FIL-009", "F");
	cr_assert_not_null(bed);
	cr_expect(strstr(bed->moved, "contact-time-judged of F 15.7") && !strstr(bed->moved, "constant"), "%s",
		bed->moved);
}

/* ---- the command ---- */

Test(revamp_cases, the_command_prints_cautions_and_refuses_what_is_no_temperature, .init = shell_begin,
	.fini = end_shell)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" cases --output $SCRATCH/o designs/heron-gate.xml; "
		"grep -c '\"record\": \"leanrich cases\"' $SCRATCH/o/U-050/cases.json");
	cr_expect(strstr(run.output, "solved beside what the package states"), "%s", run.output);
	cr_expect(strstr(run.output, "C-54: held as stated: pressure of rich-hot is not stated"), "%s", run.output);
	cr_expect(strstr(run.output, "A licensed engineer"), "%s", run.output);
	cr_expect(strstr(run.output, "\n1\n"), "%s", run.output);
	run = shell(&trial.arena, "\"$LEANRICH\" cases --air '45 m' --water cold designs/heron-gate.xml");
	cr_expect_eq(run.status, 2, "%d", run.status);
	cr_expect(strstr(run.errors, "--air") && strstr(run.errors, "--water"), "%s", run.errors);
	run = shell(&trial.arena,
		"\"$LEANRICH\" cases --json --air '45 degC' designs/marram-point.xml | grep -c 'solved-turndown'");
	cr_expect_str_eq(run.output, "1\n", "%s", run.output);
}
