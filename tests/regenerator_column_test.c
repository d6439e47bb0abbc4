/*
 * The regenerator's column as a description gives it: without a stated lean loading, by duty or by steam, with heat lost and
 * trays above the feed, from the reflux in any form; and its figures in the record in every case. The unit is invented.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "review_support.h"
#include "write/write.h"

static struct arena kept;

static void end(void)
{
	arena_release(&kept);
}

TestSuite(regenerator_column, .fini = end);

/* What a test may say otherwise; NULL: as below. */
struct tale {
	const char *lean, *rich, *tower, *reboiler, *reflux, *overhead, *more;
};

/* 40 wt% MDEA, 20 t/h lean; 18 trays below the feed; heated by 1.6 MW or as much steam. */
static void tell(struct trial *trial, struct tale tale)
{
	const char *lean = tale.lean ? tale.lean : "flow='20 t/h' h2s='0.004' co2='0.001'";
	const char *rich = tale.rich ? tale.rich : "flow='21.2 t/h' h2s='0.25' co2='0.15'";
	const char *tower = tale.tower ? tale.tower : "trays-below-feed='18'";
	const char *reboiler = tale.reboiler ? tale.reboiler : "duty='1.6 MW'";
	const char *reflux = tale.reflux ? tale.reflux : "flow='0.9 t/h'";
	const char *overhead = tale.overhead ? tale.overhead : "";

	trial_review_unit(trial, "MDEA",
		arena_format(&trial->arena,
			"<stream id='lean' service='lean' from='C-1' temperature='121 degC' pressure='1.9 bara' %s/>"
			"<stream id='rich' service='rich' to='C-1' temperature='97 degC' pressure='5 bara' %s/>"
			"<gas id='off-gas' role='acid gas' %s/>"
			"<stream id='overhead' service='acid gas' from='C-1' gas='off-gas' temperature='103 degC' "
			"pressure='1.75 bara'/>"
			"<stream id='reflux' service='reflux' to='C-1' temperature='45 degC' pressure='3 bara' %s/>"
			"<regenerator tag='C-1' feed='rich' lean='lean' acid-gas='overhead' reflux='reflux' "
			"bottom-pressure='1.9 bara' top-pressure='1.75 bara' %s/>"
			"<reboiler tag='E-1' regenerator='C-1' lean='lean' %s/>"
			"<reflux-drum tag='V-1' reflux='reflux' pressure='1.55 bara'/>%s",
			lean, rich, overhead, reflux, tower, reboiler, tale.more ? tale.more : ""));
}

static double number(const struct trial *trial, const char *name, const char *unit)
{
	return trial_number(trial, "C-1", NULL, name, unit);
}

static double lean_reached(struct trial *trial, struct tale tale)
{
	trial_open(trial, NULL);
	tell(trial, tale);
	double lean = number(trial, "reachable-loading", "mol/mol");
	trial_close(trial);
	return lean;
}

/* ---- what it needs ---- */

/*
 * The flow of amine is all that a lean loading was wanted for. The rich flow gives it as well; and where only the lean flow is
 * known, the loading that the column reaches. A lean that states that very loading gives the same again.
 */
Test(regenerator_column, needs_no_lean_loading)
{
	struct trial trial = {0};
	double by_rich = lean_reached(&trial, (struct tale){.lean = "flow='20 t/h'"});
	double by_lean = lean_reached(&trial, (struct tale){.lean = "flow='20 t/h'", .rich = "h2s='0.25' co2='0.15'"});

	cr_expect(by_rich > 0.002 && by_rich < 0.05, "%g", by_rich);
	cr_expect_float_eq(by_rich, by_lean, 0.02 * by_rich, "%g, %g", by_rich, by_lean);
	struct arena arena = {0};
	const char *stated = arena_format(&arena, "flow='20 t/h' h2s='%.9g' co2='0'", by_lean);
	double again = lean_reached(&trial, (struct tale){.lean = stated, .rich = "h2s='0.25' co2='0.15'"});
	cr_expect_float_eq(by_lean, again, 1e-4 * by_lean, "%g, %g", by_lean, again);
	arena_release(&arena);
}

/* 2.7 t/h of saturated steam at 4.5 bar: 2120.16 kJ/kg by IAPWS-IF97, 1590.1 kW. */
Test(regenerator_column, steam_takes_the_place_of_duty)
{
	struct trial trial = {0};
	double by_steam = lean_reached(&trial,
		(struct tale){.reboiler = "heating-medium='steam' steam-flow='2.7 t/h' steam-pressure='4.5 bara'"});
	double by_duty = lean_reached(&trial, (struct tale){.reboiler = "duty='1590.1 kW'"});

	cr_expect_float_eq(by_steam, by_duty, 1e-3 * by_duty, "%g, %g", by_steam, by_duty);
}

/* Where one pressure is stated the other follows by the customary drop, and the working names it. */
Test(regenerator_column, one_pressure_will_do)
{
	struct trial trial = {0};

	trial_open(&trial, NULL);
	trial_review_unit(&trial, "MDEA",
		"<stream id='lean' service='lean' flow='20 t/h' temperature='121 degC' pressure='1.9 bara'/>"
		"<stream id='rich' service='rich' flow='21.2 t/h' temperature='97 degC' pressure='5 bara' h2s='0.25' "
		"co2='0.15'/>"
		"<regenerator tag='C-1' feed='rich' lean='lean' bottom-pressure='1.9 bara' trays-below-feed='18'/>"
		"<reboiler tag='E-1' regenerator='C-1' duty='1.6 MW'/>");
	const struct quantity *top = NULL, *reached = trial_value(&trial, "C-1", NULL, "reachable-loading");
	cr_assert(reached && reached->known == COMPUTED);
	for (size_t i = 0; i < reached->input_count; i++)
		if (strcmp(reached->inputs[i].symbol, "P_t") == 0)
			top = reached->inputs[i].quantity;
	cr_assert_not_null(top);
	cr_expect_float_eq(top->si, 170e3, 1, "%g", top->si);
	cr_assert_eq(top->input_count, 2);
	cr_expect_eq(top->inputs[1].quantity->known, ASSUMED);
	trial_close(&trial);
}

/* ---- what it counts ---- */

Test(regenerator_column, heat_lost_strips_less)
{
	struct trial trial = {0};
	double none = lean_reached(&trial, (struct tale){.tower = "trays-below-feed='18'"});
	double some = lean_reached(&trial, (struct tale){.tower = "trays-below-feed='18' heat-loss='80 kW'"});
	double said = lean_reached(&trial, (struct tale){.tower = "trays-below-feed='18' heat-loss='0 kW'"});

	cr_expect(some > 1.02 * none, "%g, %g", none, some);
	cr_expect_float_eq(none, said, 1e-12);
}

/* The duty that the heat balance asks for is more by just what is lost. */
Test(regenerator_column, heat_lost_is_asked_of_the_reboiler)
{
	struct trial trial = {0};
	const char *towers[] = {"trays-below-feed='18' top-temperature='103 degC' reflux-ratio='1.4'",
		"trays-below-feed='18' top-temperature='103 degC' reflux-ratio='1.4' heat-loss='80 kW'"};
	double asked[2];

	for (int i = 0; i < 2; i++) {
		trial_open(&trial, NULL);
		tell(&trial, (struct tale){.tower = towers[i]});
		asked[i] = number(&trial, "duty-asked", "kW");
		trial_close(&trial);
	}
	cr_expect_float_eq(asked[1] - asked[0], 80, 1e-6, "%g", asked[1] - asked[0]);
}

/* 22 trays of which 4 are above the feed, said in three ways, and what makes no difference to them. */
Test(regenerator_column, trays_above_the_feed)
{
	static const char *const ways[] = {"trays='22' wash-trays='4'", "trays='22' trays-below-feed='18'",
		"trays='22' feed-tray='5'", "trays-below-feed='18' wash-trays='4'"};
	struct trial trial = {0};
	double none = lean_reached(&trial, (struct tale){.tower = "trays-below-feed='18'"}), first = 0;

	for (size_t i = 0; i < COUNT(ways); i++) {
		double lean = lean_reached(&trial, (struct tale){.tower = ways[i]});

		first = i ? first : lean;
		cr_expect_float_eq(lean, first, 1e-12, "%s: %g, %g", ways[i], lean, first);
	}
	cr_expect(first < none && first > 0.9 * none, "%g, %g", first, none);
}

/* ---- reflux ---- */

static double reflux_ratio(struct trial *trial, struct tale tale)
{
	trial_open(trial, NULL);
	tell(trial, tale);
	double ratio = number(trial, "reflux-ratio", "");
	trial_close(trial);
	return ratio;
}

/*
 * 20 t/h of lean: 20000 / (1 + (0.004 x 34.08 + 0.001 x 44.01) x 0.4 / 119.163) = 19988 kg/h without gas, 67.10 kmol/h of
 * amine, which gives up 0.395: 26.50 kmol/h. 0.9 t/h of water is 49.96 kmol/h: 1.885. Its volume is 0.9089 m3/h at 45 degC
 * (990.2 kg/m3, IAPWS-IF97).
 */
Test(regenerator_column, reflux_by_mass_volume_and_moles)
{
	struct trial trial = {0};
	double mass = reflux_ratio(&trial, (struct tale){.reflux = "flow='0.9 t/h'"});
	double volume = reflux_ratio(&trial, (struct tale){.reflux = "flow='0.9089 m3/h'"});
	double moles = reflux_ratio(&trial, (struct tale){.reflux = "flow='49.96 kmol/h'"});

	cr_expect_float_eq(mass, 1.885, 0.002, "%g", mass);
	cr_expect_float_eq(volume, mass, 0.002 * mass, "%g", volume);
	cr_expect_float_eq(moles, mass, 0.001 * mass, "%g", moles);
}

/*
 * Overhead of 65.9 % water, 21.2 % H2S and 12.9 % CO2: 1.9326 mol of water for each of acid gas. The drum, at 45 degC
 * (9.595 kPa, IAPWS-IF97) and 155 kPa, lets 0.0660 of it go: 1.867 returns.
 */
Test(regenerator_column, reflux_by_the_overhead)
{
	struct trial trial = {0};
	const char *overhead =
		"flow='78 kmol/h' temperature='103 degC' pressure='1.75 bara' h2s='21.2 mol%' co2='12.9 mol%' "
		"water='65.9 mol%'";
	double ratio = reflux_ratio(&trial, (struct tale){.reflux = "flow='t.b.d.'", .overhead = overhead});

	cr_expect_float_eq(ratio, 1.867, 0.002, "%g", ratio);
}

/* 103 degC: 112.78 kPa of water (IAPWS-IF97) in 175 kPa, 1.8125 mol per mol of acid gas, less 0.0660: 1.747. A gas with the
 * 6 % of water that it can hold in the drum is the gas of the drum, and says nothing of the overhead. */
Test(regenerator_column, reflux_by_the_temperature_of_the_overhead)
{
	struct trial trial = {0};
	const char *tower = "trays-below-feed='18' top-temperature='103 degC'";
	const char *gas = "flow='28 kmol/h' temperature='45 degC' pressure='1.55 bara' h2s='58.5 mol%' co2='35.5 mol%' "
			  "water='6 mol%'";
	double ratio = reflux_ratio(&trial, (struct tale){.reflux = "flow='t.b.d.'", .tower = tower});

	cr_expect_float_eq(ratio, 1.747, 0.003, "%g", ratio);
	ratio = reflux_ratio(&trial, (struct tale){.reflux = "flow='t.b.d.'", .tower = tower, .overhead = gas});
	cr_expect_float_eq(ratio, 1.747, 0.003, "%g", ratio);
	/* What follows from a temperature is not held against it. */
	trial_open(&trial, NULL);
	tell(&trial, (struct tale){.reflux = "flow='t.b.d.'", .tower = tower});
	cr_expect_null(trial_value(&trial, "C-1", NULL, "top-difference"));
	trial_close(&trial);
}

/* ---- heat by the reflux ---- */

static double reached_with(struct trial *trial, struct tale tale, const char **basis)
{
	trial_open(trial, NULL);
	tell(trial, tale);
	const struct quantity *reached = trial_value(trial, "C-1", NULL, "reachable-loading");
	const struct quantity *said = trial_value(trial, "C-1", NULL, "column-basis");
	cr_assert_not_null(reached);
	*basis = said ? arena_copy(&kept, said->word) : "";
	double lean = reached->known == UNKNOWN ? (double)NAN : reached->si;
	trial_close(trial);
	return lean;
}

/* A duty that nobody states is that which gives the reflux: the reflux of 1.6 MW gives 1.6 MW back, by its ratio and by its flow. */
Test(regenerator_column, a_duty_not_stated_is_the_one_that_gives_the_reflux)
{
	static const char no_lean[] = "flow='20 t/h'";
	struct trial trial = {0};
	const char *basis, *ratio, *flow;

	trial_open(&trial, NULL);
	tell(&trial, (struct tale){.lean = no_lean});
	double by_duty = number(&trial, "reachable-loading", "mol/mol");
	ratio = arena_format(
		&kept, "trays-below-feed='18' reflux-ratio='%.9g'", number(&trial, "column-reflux-ratio", ""));
	trial_close(&trial);
	double by_ratio = reached_with(&trial,
		(struct tale){.lean = no_lean, .reboiler = "type='kettle'", .reflux = "", .tower = ratio}, &basis);
	cr_expect_float_eq(by_ratio, by_duty, 1e-5 * by_duty, "%g, %g", by_ratio, by_duty);
	cr_expect(strstr(basis, "1600 kW, the duty that gives the reflux ratio"), "%s", basis);

	/* the reflux, kg/s, by the heat that the condenser takes at its ratio is that of a stated flow */
	trial_open(&trial, NULL);
	tell(&trial, (struct tale){.tower = ratio, .reboiler = "type='kettle'", .reflux = "flow='t.b.d.'"});
	double stripped = number(&trial, "acid-gas-stripped", "mol/s"),
	       asked = number(&trial, "column-reflux-ratio", "");
	double by_asked = number(&trial, "reachable-loading", "mol/mol");
	trial_close(&trial);
	flow = arena_format(&kept, "flow='%.9g kg/s'", asked * stripped * MOLAR_MASS_WATER);
	double by_flow = reached_with(&trial, (struct tale){.reboiler = "type='kettle'", .reflux = flow}, &basis);
	cr_expect_float_eq(by_flow, by_asked, 1e-4 * by_asked, "%g, %g", by_flow, by_asked);
	by_flow = reached_with(
		&trial, (struct tale){.lean = no_lean, .reboiler = "type='kettle'", .reflux = flow}, &basis);
	cr_expect_float_eq(by_flow, by_asked, 0.03 * by_asked, "%g, %g", by_flow, by_asked);
	cr_expect(strstr(basis, "the duty that gives the flow of reflux"), "%s", basis);
}

/* More reflux strips more; a duty that is owed is waited for, and a reflux that no duty gives says so. */
Test(regenerator_column, reflux_in_place_of_a_duty)
{
	struct trial trial = {0};
	const char *basis;
	const char *towers[] = {"trays-below-feed='18' reflux-ratio='1.2'", "trays-below-feed='18' reflux-ratio='2.4'"};
	double lean[2];

	for (size_t i = 0; i < 2; i++)
		lean[i] = reached_with(&trial, (struct tale){.reboiler = "type='kettle'", .tower = towers[i]}, &basis);
	cr_expect(lean[1] < lean[0], "%g, %g", lean[1], lean[0]);
	cr_expect(isnan(reached_with(&trial, (struct tale){.reboiler = "duty='t.b.d.'", .tower = towers[0]}, &basis)));
	trial_open(&trial, NULL);
	tell(&trial, (struct tale){.reboiler = "type='kettle'", .tower = "trays-below-feed='18' reflux-ratio='0.01'"});
	const struct quantity *reached = trial_value(&trial, "C-1", NULL, "reachable-loading");
	cr_assert(reached && reached->known == UNKNOWN);
	cr_expect(strstr(reached->reason, "no duty was found that gives its reflux"), "%s", reached->reason);
	trial_close(&trial);
}

/* ---- lean plus gas against rich ---- */

/* 500 kmol/h with 3 % H2S and 2.1 % CO2, of which 0.05 % CO2 is left: 15 and 10.26 kmol/h into 67.10 of amine, 0.3765. */
static const char absorber[] =
	"<gas id='sour' role='feed' flow='500 kmol/h' temperature='35 degC' pressure='50 bara' h2s='3 mol%%' co2='%s'/>"
	"<gas id='sweet' role='treated' temperature='40 degC' pressure='50 bara' h2s='0 mol%%' co2='0.05 mol%%'/>"
	"<absorber tag='C-9' gas='sour' treated='sweet' lean='lean' rich='rich'/>";

static const char *basis_of(struct trial *trial, const char *co2, const char *rich, double *apart)
{
	char more[1024];

	snprintf(more, sizeof more, absorber, co2);
	trial_open(trial, NULL);
	tell(trial, (struct tale){.more = more, .rich = rich});
	const struct quantity *basis = trial_value(trial, "C-1", NULL, "column-basis");
	const struct quantity *found = trial_value(trial, "C-1", NULL, "lean-plus-gas-difference");
	*apart = found && found->known != UNKNOWN ? found->si : (double)NAN;
	return basis ? basis->word : "";
}

Test(regenerator_column, says_which_rich_solution_it_took)
{
	struct trial trial = {0};
	double apart;

	const char *words = basis_of(&trial, "2.1 mol%", NULL, &apart);
	cr_expect(strstr(words, "rich loading as stated") && strstr(words, "0.38"), "%s", words);
	cr_expect_float_eq(apart, 1 - 0.3815 / 0.40, 0.004, "%g", apart);
	double near = number(&trial, "reachable-loading", "mol/mol");
	double narrow = trial_value(&trial, "C-1", NULL, "column-reflux-ratio")->uncertainty;
	trial_close(&trial);

	words = basis_of(&trial, "4 mol%", NULL, &apart);
	cr_expect(strstr(words, "more") != NULL && apart > 0.2, "%s", words);
	cr_expect_float_eq(number(&trial, "reachable-loading", "mol/mol"), near, 1e-9, "the stated one is used");
	double wide = trial_value(&trial, "C-1", NULL, "column-reflux-ratio")->uncertainty;
	cr_expect(wide > 1.5 * narrow, "and what it does not know is wider: %g, %g", wide, narrow);
	trial_close(&trial);

	words = basis_of(&trial, "2.1 mol%", "flow='21.2 t/h'", &apart);
	cr_expect(strstr(words, "lean plus gas, since the rich loading is not stated") != NULL, "%s", words);
	cr_expect(number(&trial, "reachable-loading", "mol/mol") > 0);
	trial_close(&trial);
}

/* ---- always told ---- */

static const char *record_of(struct trial *trial)
{
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	cr_assert(write_json(trial->review, out));
	fclose(out);
	const char *record = arena_copy_span(&trial->arena, bytes, size);
	free(bytes);
	return record;
}

/* Every steady case has its column in the record and in the workings, though no finding rests on it. */
Test(regenerator_column, stands_in_the_record_in_every_steady_case)
{
	static const char *const names[] = {"reachable-loading", "column-bottom-temperature", "column-top-temperature",
		"column-reflux-ratio", "stripping-in-reboiler", "column-condensing-duty"};
	struct trial trial = {0};

	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/saltmarsh-lea.xml");
	cr_assert_not_null(trial.review);
	const char *record = record_of(&trial), *columns = strstr(record, "\"columns\"");
	cr_assert_not_null(columns);
	for (size_t i = 0; i < COUNT(names); i++) {
		size_t worked = 0;

		cr_expect_not_null(strstr(columns, names[i]), "%s", names[i]);
		for (size_t k = 0; k < trial.review->working_count; k++)
			worked += text_same(input_property(&trial.review->workings[k].value), names[i]);
		cr_expect_geq(worked, 2, "%s: normal and turndown, %zu", names[i], worked);
		const struct quantity *normal = trial_value(&trial, "C-402", "normal", names[i]);
		const struct quantity *turndown = trial_value(&trial, "C-402", "turndown", names[i]);
		cr_expect(normal && turndown && normal->si > 0 && fabs(normal->si - turndown->si) > 0, "%s", names[i]);
	}
	trial_close(&trial);
}

/* What cannot be solved says why, and is no number. */
Test(regenerator_column, says_why_it_is_not_solved)
{
	struct trial trial = {0};

	trial_open(&trial, NULL);
	tell(&trial, (struct tale){.reboiler = "duty='3 kW'"});
	const struct quantity *reached = trial_value(&trial, "C-1", NULL, "reachable-loading");
	cr_assert_not_null(reached);
	cr_expect_eq(reached->known, UNKNOWN);
	cr_expect(strstr(reached->reason, "the column of C-1 was not solved") != NULL, "%s", reached->reason);
	trial_close(&trial);
}

/* A bottom that nobody states is as hot as its lean boils; where the lean is not known it is asked for; what is stated stands. */
Test(regenerator_column, a_bottom_temperature_follows_from_what_boils_there)
{
	static const char *const leans[] = {"flow='20 t/h' h2s='0.004' co2='0.001'", "flow='20 t/h'"};
	struct trial trial = {0};

	for (size_t i = 0; i < COUNT(leans); i++) {
		trial_open(&trial, NULL);
		trial_review_unit(&trial, "MDEA",
			arena_format(&trial.arena,
				"<stream id='lean' service='lean' %s/><stream id='rich' service='rich' temperature='97 "
				"degC'/>"
				"<regenerator tag='C-1' feed='rich' lean='lean' bottom-pressure='1.9 bara'/>"
				"<regenerator tag='C-3' feed='rich' lean='lean' bottom-pressure='1.9 bara' "
				"bottom-temperature='130 degC'/>",
				leans[i]));
		const struct quantity *judged = trial_value(&trial, "C-1", NULL, "bottom-temperature-judged");
		cr_assert_not_null(judged);
		cr_expect_eq(judged->known == UNKNOWN, i == 1);
		if (i == 0)
			cr_expect_float_eq(
				judged->si, number(&trial, "boiling-temperature", "degC") + ZERO_CELSIUS, 1e-9);
		cr_expect_float_eq(trial_number(&trial, "C-3", NULL, "bottom-temperature-judged", "degC"), 130, 1e-9);
		trial_close(&trial);
	}
}
