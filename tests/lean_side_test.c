/* The sulfide analysis of whole designs: the circuit, the exchanger, the over-stripping question. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
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

TestSuite(lean_side, .init = begin, .fini = end);

static const struct lean_side *analysis(const char *path)
{
	trial_review_file(&trial, path);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial.review->lean_side;
}

static const struct reading_at *reading(const struct lean_side *all, const char *place)
{
	for (size_t i = 0; i < all->circuit->reading_count; i++)
		if (strcmp(all->circuit->readings[i].location->name, place) == 0)
			return &all->circuit->readings[i];
	cr_assert_fail("no place %s", place);
	return NULL;
}

static const struct window *window(const struct lean_side *all, const char *place)
{
	for (size_t i = 0; i < all->overstripping->window_count; i++)
		if (strcmp(all->overstripping->windows[i].reading->location->name, place) == 0)
			return &all->overstripping->windows[i];
	cr_assert_fail("no window at %s", place);
	return NULL;
}

/* Every number of a sentence is one of its figures, and reads as its value does. */
static void expect_numbers(const struct sentence *sentence)
{
	size_t at = 0;
	for (size_t i = 0; i < sentence->figure_count; i++) {
		const struct figure_said *figure = &sentence->figures[i];
		const char *found = strstr(sentence->words + at, figure->shown);
		cr_assert_not_null(found, "%s not in: %s", figure->shown, sentence->words);
		/* Nothing but the names of items, H2S and CO2 may hold a digit between the figures. */
		at = (size_t)(found - sentence->words) + strlen(figure->shown);
		char plain[64];
		size_t length = 0;
		for (const char *c = figure->shown; *c && *c != ' ' && length < sizeof plain - 1; c++)
			if (*c != ',')
				plain[length++] = *c;
		plain[length] = '\0';
		const char *point = strchr(plain, '.');
		double unit = point && !strchr(plain, 'e') ? pow(10, -(double)strlen(point + 1)) : 1;
		cr_expect(fabs(strtod(plain, NULL) - figure->value) <= 0.5001 * unit,
			"%s is shown as %s, the record has %.9g", figure->name, plain, figure->value);
	}
}

/* Nothing but figures, formulas and tags may hold a digit. */
static void expect_no_other_numbers(const struct sentence *sentence)
{
	static const char *const others[] = {"H2S", "C-1"};
	char *rest = arena_copy(&trial.arena, sentence->words);
	for (size_t i = 0; i < sentence->figure_count; i++) {
		char *at = strstr(rest, sentence->figures[i].shown);
		cr_assert_not_null(at);
		memset(at, ' ', strlen(sentence->figures[i].shown));
	}
	for (size_t i = 0; i < COUNT(others); i++)
		for (char *at; (at = strstr(rest, others[i])) != NULL;)
			memset(at, ' ', strlen(others[i]));
	cr_expect_null(strpbrk(rest, "0123456789"), "%s", rest);
}

/* A lean loading of 0.015 mol/mol in MDEA counts as high (common practice, no source). */
Test(lean_side, hot_lean_through_the_exchanger)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-hot-lean.xml");
	cr_assert_eq(all->exchangers.count, 1);
	const struct profile_of *profile = &all->exchangers.profiles[0];
	cr_assert_null(profile->missing.reason);
	for (int age = 1; age < FILM_AGES; age++) {
		bool middle = false;
		const struct slice *hot = &profile->slices[0], *cold = &profile->slices[EXCHANGER_SLICES];
		cr_expect(hot->lean.by_age[age].scale == SCALE_DENSE, "%g h", *film_ages[age]);
		cr_expect(cold->lean.by_age[age].scale == SCALE_MACKINAWITE, "%g h", *film_ages[age]);
		for (size_t i = 0; i < EXCHANGER_NODES; i++) {
			double dense = fractions_dense(profile->slices[i].lean.by_age[age].fractions);
			middle = middle || (dense > 0.2 && dense < 0.8);
		}
		cr_expect(middle, "%g h", *film_ages[age]);
	}
	for (size_t i = 0; i < EXCHANGER_NODES; i++)
		for (int age = 0; age < FILM_AGES; age++) {
			cr_expect(profile->slices[i].lean.by_age[age].extrapolated);
			cr_expect(profile->slices[i].lean.by_age[age].barrier != YES);
		}
	for (size_t i = 0; i < all->circuit->reading_count; i++)
		if (all->circuit->readings[i].location->side == SIDE_LEAN) {
			cr_expect(all->circuit->readings[i].answer.extrapolated);
			cr_expect(all->circuit->readings[i].answer.barrier != YES);
		}
}

/* Slices of equal duty: the ends are the stated temperatures, each slice takes the same heat. */
Test(lean_side, slices_take_equal_duty)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-hot-lean.xml");
	const struct slice *slices = all->exchangers.profiles[0].slices;
	cr_expect_float_eq(slices[0].lean.temperature, 395.15, 1e-9);
	cr_expect_float_eq(slices[EXCHANGER_SLICES].lean.temperature, 338.15, 1e-9);
	cr_expect_float_eq(slices[0].rich.temperature, 373.15, 1e-9);
	cr_expect_float_eq(slices[EXCHANGER_SLICES].rich.temperature, 325.15, 1e-9);
	for (size_t i = 1; i < EXCHANGER_NODES; i++) {
		double step = slices[i - 1].lean.temperature - slices[i].lean.temperature;
		cr_expect(step > 0 && fabs(step - 57.0 / EXCHANGER_SLICES) < 0.1, "slice %zu: %g K", i, step);
		cr_expect_float_eq(slices[i].wall, (slices[i].lean.temperature + slices[i].rich.temperature) / 2, 1e-9);
	}
}

/* Of the loaded solution: the enthalpy of the rich side itself, its loading counted, divides into equal parts. */
Test(lean_side, slices_of_the_rich_side_take_equal_enthalpy)
{
	const struct profile_of *profile = &analysis("tests/designs/sulfide-hot-lean.xml")->exchangers.profiles[0];
	struct solution_input at = profile->rich_out->solution.input;
	double hot = enthalpy_liquid(&at), whole = hot - enthalpy_liquid(&profile->rich_in->solution.input);

	for (size_t i = 0; i < EXCHANGER_NODES; i++) {
		at.temperature = profile->slices[i].rich.temperature;
		double share = (hot - enthalpy_liquid(&at)) / whole;
		cr_expect_float_eq(share, (double)i / EXCHANGER_SLICES, 5e-4, "node %zu: %.6f", i, share);
	}
}

Test(lean_side, no_h2s_left_in_the_lean)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-no-h2s.xml");
	for (size_t i = 0; i < all->circuit->reading_count; i++) {
		const struct reading_at *at = &all->circuit->readings[i];
		if (at->location->side != SIDE_LEAN)
			continue;
		cr_expect(at->answer.scale == SCALE_SIDERITE || at->answer.scale == SCALE_NONE);
		cr_expect((at->answer.scale == SCALE_SIDERITE) == (at->answer.saturation_carbonate < at->iron));
		cr_expect(isnan(at->tendency));
		cr_expect(at->answer.barrier == NO);
	}
	const struct overstripping *answers = all->overstripping;
	bool no_minimum = false;
	for (size_t i = 0; i < answers->answer_count; i++)
		no_minimum = no_minimum || strstr(answers->answers[i].words, "requires no minimum lean H2S loading");
	cr_expect(no_minimum);
	for (size_t i = 0; i < answers->sweep_count; i++) {
		cr_expect(answers->sweeps[i].scale[0] == SCALE_SIDERITE);
		cr_expect_float_eq(answers->sweeps[i].dense[0][FILM_AGES - 1], 0, 1e-12);
	}
}

Test(lean_side, a_claimed_minimum_where_the_gas_needs_4_ppmv)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-claim.xml");
	cr_assert_eq(all->overstripping->claim_count, 1);
	const struct film_claim *claim = &all->overstripping->claims[0];
	cr_expect_float_eq(claim->claimed, 0.010, 1e-12);
	cr_expect(claim->answer == NO);
	cr_expect(claim->over_allowed > 1, "the claimed loading is above what 4 ppmv allows");
	cr_expect_not_null(strstr(claim->sentence.words, "does not protect the cold side"));
	cr_expect_not_null(strstr(claim->sentence.words, "4 ppmv"));
	cr_expect_eq(strchr(claim->sentence.words, '\0')[-1], '.');
	expect_numbers(&claim->sentence);
	/* At the largest allowed loading the H2S over the lean just meets the specification. */
	const struct allowance *allowance = &all->overstripping->allowances[0];
	struct solution solution;
	cr_assert(circuit_state(allowance->top, allowance->temperature, allowance->loading, allowance->co2, &solution));
	cr_expect_float_eq(solution.partial_pressure[GAS_H2S] / (allowance->specified * allowance->pressure), 1, 1e-6);
	const struct finding *disputed = trial_finding(&trial, "SUL-001", claim->item->tag);
	cr_assert_not_null(disputed);
	cr_expect(disputed->verdict == VERDICT_DEPARTS);
	cr_expect(disputed->certainty == CERTAINTY_DISPUTED, "never suppressed, never firm");
	cr_expect_str_eq(disputed->message, claim->sentence.words);
	bool for_it = false, against_it = false;
	for (size_t i = 0; i < disputed->limit_count; i++) {
		const char *says = disputed->limits[i].limit->says;
		for_it = for_it || (says && strncmp(says, "for:", 4) == 0);
		against_it = against_it || (says && strncmp(says, "against:", 8) == 0);
	}
	cr_expect(for_it && against_it, "both sides");
	cr_expect(trial_finding(&trial, "SUL-002", claim->item->tag)->verdict == VERDICT_DEPARTS);
}

Test(lean_side, co2_only)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-sweet.xml");
	cr_expect(all->circuit->sweet);
	cr_expect_eq(all->overstripping->window_count, 0);
	cr_expect_not_null(strstr(all->overstripping->answers[0].words, "iron carbonate"));
	for (size_t i = 0; i < all->circuit->reading_count; i++) {
		const struct reading_at *at = &all->circuit->readings[i];
		cr_assert_null(at->missing.reason, "%s", at->missing.reason);
		cr_expect(at->answer.scale == SCALE_SIDERITE);
		cr_expect(isfinite(at->answer.saturation_carbonate) && at->answer.saturation_carbonate > 0);
		cr_expect(isinf(at->answer.saturation_sulfide));
		cr_expect(at->answer.barrier == NO);
		cr_expect_float_eq(fractions_dense(at->answer.fractions) + at->answer.fractions.mackinawite, 0, 1e-15);
	}
	cr_expect(trial_finding(&trial, "SUL-004", "E-3 tube side")->verdict == VERDICT_DEPARTS);
	/* Its iron is no sulfide, and the rule of loose sulfide says nothing. */
	cr_expect_not_null(all->iron.missing.reason);
	cr_expect_eq(trial_finding(&trial, "SUL-005", "E-3")->verdict, VERDICT_NOT_APPLICABLE);
}

Test(lean_side, h2s_rich_at_99_to_104_degrees)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-rich.xml");
	static const char *const places[] = {"E-3 tube side rich outlet", "C-4 feed"};
	for (size_t i = 0; i < COUNT(places); i++) {
		const struct reading_at *at = reading(all, places[i]);
		cr_expect(at->answer.scale == SCALE_DENSE);
		cr_expect(at->answer.barrier == YES);
		cr_expect(!at->answer.extrapolated);
	}
}

/* ---- twins ---- */

static const char twin[] =
	"<unit xmlns='urn:leanrich:unit:1' number='T' name='Twin'><basis kind='new' barometric-pressure='1.013 bara'>"
	"<case id='normal'/></basis><solvent amine='MDEA' strength='45 wt%%'/>"
	"<gas id='treated' role='treated' pressure='60 barg'/><specification gas='treated' h2s='4 ppmv'/>"
	"<stream id='lean-cold' service='lean' temperature='45 degC' pressure='61 barg' h2s='0.004' co2='0.003'/>"
	"<stream id='lean-x' service='lean' temperature='%s' pressure='3 barg' h2s='0.004' co2='0.003'/>"
	"<stream id='rich' service='rich' temperature='60 degC' pressure='60 barg' h2s='0.3' co2='0.1'/>"
	"<absorber tag='C-1' treated='treated' lean='lean-cold' rich='rich'/></unit>";

static struct sentence twin_sentence(const char *temperature, enum truth answer)
{
	trial_review(&trial, arena_format(&trial.arena, twin, temperature));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct window *at = window(trial.review->lean_side, "lean-x");
	cr_expect(at->governing.answer == answer);
	cr_expect(isnan(at->governing.least_loading) || answer == NO, "no number below the calibrated H2S");
	expect_numbers(&at->sentence);
	expect_no_other_numbers(&at->sentence);
	for (size_t i = 0; i < trial.review->lean_side->overstripping->answer_count; i++)
		expect_numbers(&trial.review->lean_side->overstripping->answers[i]);
	return at->sentence;
}

Test(lean_side, twins_at_45_and_110_degrees)
{
	struct sentence cold = twin_sentence("45 degC", NO);
	struct sentence hot = twin_sentence("110 degC", PERHAPS);
	cr_expect_not_null(strstr(cold.words, "cannot protect this place: at 45.0 degC"));
	cr_expect_not_null(strstr(hot.words, "not determinable: at 110.0 degC"));
	cr_expect_str_neq(cold.words, hot.words);
}

/* ---- two exchangers, ends that are not stated ---- */

static const char exchanging[] = "<stream id='hot' service='lean' temperature='122 degC' h2s='0.010' co2='0.003'/>"
				 "<stream id='warm' service='lean' %s h2s='0.010' co2='0.003'/>"
				 "<stream id='rich' service='rich' temperature='52 degC' h2s='0.30' co2='0.05'/>"
				 "<stream id='rich-hot' service='rich' temperature='100 degC' h2s='0.30' co2='0.05'/>"
				 "<gas id='g' h2s='2 mol%%'/>"
				 "<exchanger tag='E-1'><tube-side inlet='rich' outlet='rich-hot'/><shell-side "
				 "inlet='hot' outlet='%s'/></exchanger>"
				 "<exchanger tag='E-2'><tube-side inlet='rich' outlet='rich-hot'/><shell-side "
				 "inlet='hot' outlet='warm'/></exchanger>";

static const struct exchangers *exchangers_of(const char *warm, const char *outlet)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, exchanging, warm, outlet));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return &trial.review->lean_side->exchangers;
}

/* In the order of flow the ends of two exchangers lie between each other: each has one profile, not one for every end. */
Test(lean_side, exchangers_beside_each_other_have_one_profile_each)
{
	const struct exchangers *all = exchangers_of("temperature='65 degC'", "warm");
	cr_assert_eq(all->count, 2);
	cr_expect_str_eq(all->profiles[0].exchanger->tag, "E-1");
	cr_expect_str_eq(all->profiles[1].exchanger->tag, "E-2");
	for (size_t i = 0; i < all->count; i++)
		cr_expect(!all->profiles[i].missing.reason && all->profiles[i].slices);
}

Test(lean_side, an_exchanger_without_its_ends_has_no_profile)
{
	static const struct {
		const char *warm, *outlet, *missing;
	} rows[] = {
		{"temperature='65 degC'", "g", "the lean outlet of E-1 is not stated"},
		{"temperature='122 degC'", "warm",
			"the stated temperatures do not make the lean side cool and the rich side warm"},
		{"temperature='125 degC'", "warm",
			"the stated temperatures do not make the lean side cool and the rich side warm"},
		{"", "warm", "temperature of warm is not stated"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct exchangers *all = exchangers_of(rows[i].warm, rows[i].outlet);
		cr_assert_eq(all->count, 2);
		cr_expect_null(all->profiles[0].slices);
		cr_assert_not_null(all->profiles[0].missing.reason, "%zu", i);
		cr_expect_str_eq(all->profiles[0].missing.reason, rows[i].missing, "%zu: %s", i,
			all->profiles[0].missing.reason);
	}
}

/* ---- what the treated gas allows ---- */

static const struct allowance *allowance(const char *body)
{
	trial_review_unit(&trial, "MDEA", body);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct overstripping *answers = trial.review->lean_side->overstripping;
	cr_assert_eq(answers->allowance_count, 1);
	return &answers->allowances[0];
}

/* Of the treated gas, else of the feed, else of the lean pumped in; without any nothing is made up. */
Test(lean_side, the_pressure_over_the_lean_is_looked_for)
{
	static const char body[] = "<gas id='sour' h2s='1 mol%%' %s/><gas id='sweet' role='treated' %s/>"
				   "<specification gas='sweet' h2s='4 ppmv'/>"
				   "<stream id='l' service='lean' temperature='45 degC' h2s='0.004' co2='0.003' %s/>"
				   "<absorber tag='C-1' gas='sour' treated='sweet' lean='l'/>";
	static const struct {
		const char *feed, *treated, *lean;
		double bara; /* 0: not stated */
	} rows[] = {
		{"pressure='61 bara'", "pressure='60 bara'", "pressure='62 bara'", 60},
		{"pressure='61 bara'", "", "pressure='62 bara'", 61},
		{"", "", "pressure='62 bara'", 62},
		{"", "", "", 0},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct allowance *found =
			allowance(arena_format(&trial.arena, body, rows[i].feed, rows[i].treated, rows[i].lean));
		if (rows[i].bara > 0) {
			cr_expect_null(found->missing.reason);
			cr_expect_float_eq(found->pressure, rows[i].bara * 1e5, 1e-6 * found->pressure, "%zu", i);
			cr_expect(found->loading > 0);
		} else {
			cr_assert_not_null(found->missing.reason);
			cr_expect_str_eq(found->missing.reason, "the pressure of the gas of C-1 is not stated");
		}
	}
}

/* A quarter grain in 100 cubic feet is 4 ppmv (gas processors' data book, from memory), and a bound is its own limit. */
Test(lean_side, a_specification_is_read_however_it_is_written)
{
	static const char body[] =
		"<gas id='sweet' role='treated' pressure='60 bara'/><specification gas='sweet' h2s='%s'/>"
		"<stream id='l' service='lean' temperature='45 degC' h2s='0.004' co2='0.003'/>"
		"<absorber tag='C-1' treated='sweet' lean='l'/>";
	cr_expect_float_eq(allowance(arena_format(&trial.arena, body, "4 ppmv"))->specified, 4e-6, 1e-12);
	cr_expect_float_eq(allowance(arena_format(&trial.arena, body, "&lt; 4 ppmv"))->specified, 4e-6, 1e-12);
	cr_expect_float_eq(allowance(arena_format(&trial.arena, body, "0.25 grain/100scf"))->specified, 4e-6, 0.05e-6);
}

/* Of several absorbers the one that allows least; one that cannot be calculated gives way to one that can. */
Test(lean_side, the_strictest_absorber_governs)
{
	static const char body[] =
		"<gas id='a' role='treated' %s/><gas id='b' role='treated' pressure='60 bara'/>"
		"<specification gas='a' h2s='%s'/><specification gas='b' h2s='20 ppmv'/>"
		"<stream id='l' service='lean' temperature='45 degC' h2s='0.004' co2='0.003'/>"
		"<absorber tag='C-1' treated='a' lean='l'/><absorber tag='C-2' treated='b' lean='l'/>";
	static const struct {
		const char *pressure, *h2s, *strictest;
	} rows[] = {
		{"pressure='60 bara'", "4 ppmv", "C-1"},
		{"pressure='60 bara'", "100 ppmv", "C-2"},
		{"pressure='3 bara'", "100 ppmv", "C-1"},
		{"", "4 ppmv", "C-2"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct allowance *found =
			allowance(arena_format(&trial.arena, body, rows[i].pressure, rows[i].h2s));
		cr_expect_null(found->missing.reason);
		cr_expect_str_eq(found->absorber->tag, rows[i].strictest, "%zu", i);
	}
}

/* ---- what a package claims ---- */

Test(lean_side, a_claim_is_answered_by_what_is_stated)
{
	static const char gas[] = "<gas id='g' role='treated' pressure='60 bara'/><specification gas='g' h2s='4 ppmv'/>"
				  "<absorber tag='C-1' treated='g' lean='l'/>";
	static const char none[] = "no H2S specification is stated for the treated gas of an absorber";
	static const char no_number[] = "the claimed loading is not a number, or more than an amine holds";
	static const struct {
		const char *temperature, *least, *gas;
		const char *says, *over; /* of the sentence; why H2S over the specification is not known */
	} rows[] = {
		{"temperature='45 degC'", "0.010", "",
			"loading of at least 0.0100 mol/mol does not protect the cold side", none},
		{"temperature='115 degC'", "0.010", "",
			"loading of at least 0.0100 mol/mol cannot be shown to maintain a film: at 115.0 degC the "
			"answer "
			"is not "
			"determinable",
			none},
		{"temperature='115 degC'", "0.010", gas, "times the specified H2S at the top of C-1.", NULL},
		{"temperature='45 degC'", "40", gas, "loading of at least 40.0 mol/mol does not protect the cold side",
			no_number},
		{"", "0.010", "", "cannot be assessed: no sulfide film can be calculated from the description.", none},
		{"", "0.010", gas, "no sulfide film can be calculated", "temperature of l is not stated"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA",
			arena_format(&trial.arena,
				"<stream id='l' service='lean' %s h2s='0.010' co2='0.003'/>%s"
				"<claim about='l' quantity='h2s' at-least='%s' because='film'/>",
				rows[i].temperature, rows[i].gas, rows[i].least));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct overstripping *answers = trial.review->lean_side->overstripping;
		cr_assert_eq(answers->claim_count, 1);
		const struct sentence *sentence = &answers->claims[0].sentence;
		cr_expect_not_null(strstr(sentence->words, rows[i].says), "%zu: %s", i, sentence->words);
		cr_expect_eq(!strstr(sentence->words, "times the specified H2S"), rows[i].over != NULL, "%zu: %s", i,
			sentence->words);
		expect_numbers(sentence);
		const struct quantity *over = trial_value(&trial, "claim", NULL, "over-specification");
		cr_assert_not_null(over);
		cr_expect_eq(over->known == UNKNOWN, rows[i].over != NULL, "%zu", i);
		if (rows[i].over)
			cr_expect_str_eq(over->reason, rows[i].over, "%zu: %s", i, over->reason);
	}
}

/* ---- what is not stated is named ---- */

Test(lean_side, missing_data_are_named)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='a' service='lean' temperature='120 degC' h2s='0.01'/>"
		"<stream id='b' service='lean' h2s='0.01' co2='0.01'/>"
		"<regenerator tag='C-9' lean='a'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct lean_side *all = trial.review->lean_side;
	cr_expect_str_eq(reading(all, "C-9 feed")->missing.reason, "feed of C-9 is not stated");
	cr_expect_str_eq(reading(all, "C-9 bottom")->missing.reason, "co2 of a is not stated");
	cr_expect_str_eq(reading(all, "b")->missing.reason, "temperature of b is not stated");
	cr_expect_eq(all->overstripping->window_count, 0);
	cr_expect_not_null(strstr(all->overstripping->answers[0].words, "cannot be answered for this unit"));
}

Test(lean_side, the_corrosion_rate_governs_the_age)
{
	const struct lean_side *all = analysis("designs/tern-quay.xml");
	const struct reading_at *drum = reading(all, "V-305"), *other = reading(all, "C-301 bottom");
	cr_expect(drum->age.from_rate && fabs(drum->age.seconds / 3600 - 326) < 1, "0.31 mm/y");
	cr_expect(!other->age.from_rate && !other->age.assumed && fabs(other->age.seconds / 3600 - 8000) < 1e-6);
}

/* ---- samples ---- */

Test(lean_side, samples_repeat_and_sum_to_one)
{
	const struct lean_side *all = analysis("tests/designs/sulfide-hot-lean.xml");
	const struct scale_shares *again, *other;
	cr_assert(scale_samples(&trial.arena, all->circuit, SCALE_SEED, &again));
	cr_assert(scale_samples(&trial.arena, all->circuit, SCALE_SEED + 1, &other));
	for (size_t i = 0; i < all->circuit->reading_count; i++) {
		double sum = 0;
		cr_expect_eq(all->shares[i].samples, SCALE_SAMPLES);
		for (int k = 0; k < SCALE_COUNT; k++) {
			sum += all->shares[i].share[k];
			cr_expect(!(all->shares[i].share[k] < again[i].share[k]) &&
					!(all->shares[i].share[k] > again[i].share[k]),
				"same seed");
			cr_expect(fabs(all->shares[i].share[k] - other[i].share[k]) < 0.03, "another seed is near");
		}
		cr_expect_float_eq(sum, 1, 1e-12);
	}
}

/* In the middle of the exchanger, where the average is half and half, samples are divided too: kinetics count once. */
Test(lean_side, samples_agree_with_the_average)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='warm' service='lean' temperature='92 +/- 0.001 degC' h2s='0.015 +/- 0.0000001' co2='0.004 "
		"+/- "
		"0.0000001'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct lean_side *all = trial.review->lean_side;
	double average = fractions_dense(all->circuit->readings[0].answer.fractions);
	cr_expect(fabs(all->shares[0].share[SCALE_DENSE] - average) < 0.1, "%g of the samples, average %g",
		all->shares[0].share[SCALE_DENSE], average);
}
