/*
 * What an existing unit says of itself: dates, wall readings, inspections, dated analyses, values that nobody recorded, and what
 * the package leaves open.
 *
 * All units here are invented. Rates and slopes are worked by hand beside each check.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "base/date.h"
#include "base/text.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(history, .init = begin, .fini = end);

static void review_unit(const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T' date='2026-06-30'><basis "
			"kind='existing'/>%s</unit>",
			body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static double number(const char *item, const char *name, const char *unit)
{
	return trial_number(&trial, item, NULL, name, unit);
}

static const struct quantity *value(const char *item, const char *name)
{
	return trial_value(&trial, item, NULL, name);
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

/* ---- dates ---- */

/* 1970-01-01 is day 0; 2000-03-01 is day 11017 (a well-known value of Unix time, 951868800 s). */
Test(history, a_year_alone_and_a_month_are_dates)
{
	struct date day, month, year;
	cr_assert(date_read("2000-03-01", &day) && date_read("2000-02", &month) && date_read("2000", &year));
	cr_expect_float_eq(day.middle, 11017.5, 1e-9);
	cr_expect_float_eq(month.middle + month.half_width, 11017, 1e-9, "February 2000 has 29 days");
	cr_expect_float_eq(year.half_width, 183, 1e-9, "and the year 366");
	cr_expect(date_read("1970-01-01", &day) && day.middle > 0.4 && day.middle < 0.6);
	static const char *const never[] = {
		"2026-02-29", "2026-13", "26", "2026-1-1", "14/09/2026", "", "2026-09-14 ", "1900-02-29"};
	for (size_t i = 0; i < COUNT(never); i++)
		cr_expect(!date_read(never[i], &day), "%s", never[i]);
	cr_expect(date_read("2024-02-29", &day));
}

Test(history, dates_that_overlap_are_not_told_apart)
{
	struct date year, month, later;
	cr_assert(date_read("2025", &year) && date_read("2025-06", &month) && date_read("2026-01", &later));
	cr_expect(!date_is_before(&year, &month) && !date_is_before(&month, &year));
	cr_expect(date_is_before(&year, &later) && !date_is_before(&later, &year));
}

/* A deviation that names a year holds to the end of it. */
Test(history, a_deviation_until_a_year_holds_in_that_year)
{
	static const char *const rows[][2] = {
		{"2026", "applies"}, {"2025", "lapsed"}, {"2026-06", "applies"}, {"2026-05", "lapsed"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<solvent amine='MDEA'/><pump tag='P-9'><seal name='ring' material='FKM'/></pump>"
			"<deviation rule='MAT-004' item='P-9 seal ring' because='a' approved='b' until='%s'/>",
			rows[i][0]));
		const struct finding *found = trial_finding(&trial, "MAT-004", "P-9 seal ring");
		cr_assert_not_null(found);
		cr_expect_eq(
			found->verdict == VERDICT_ACCEPTED, strcmp(rows[i][1], "applies") == 0, "until %s", rows[i][0]);
	}
}

/* ---- wall readings ---- */

/* A reading that will follow may be the last and the thinnest; a wall that is too thin without it stays too thin. */
Test(history, an_owed_reading_leaves_the_wall_open)
{
	static const struct {
		const char *date, *thickness, *now;
		enum verdict verdict;
	} rows[] = {{"2020", "10 mm", "12 mm", VERDICT_MEETS}, {"t.b.d.", "10 mm", "12 mm", VERDICT_NOT_JUDGED},
		{"2020", "t.b.d.", "12 mm", VERDICT_NOT_JUDGED}, {"2020", "t.b.d.", "9 mm", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<knock-out-drum tag='V-9' material='carbon steel' required-thickness='9.5 mm'>"
			"<wall-reading date='2010' thickness='%s'/><wall-reading date='%s' "
			"thickness='%s'/></knock-out-drum>",
			rows[i].now, rows[i].date, rows[i].thickness));
		cr_expect_eq(verdict("HIS-001", "V-9"), (int)rows[i].verdict, "row %zu", i);
	}
}

/*
 * 2010-01-01 to 2020-01-01 is 3652 days, 9.9986 Julian years: 12.0 - 10.0 mm is 0.20003 mm/y. From 2018-01-01, 730 days: 10.6 -
 * 10.0 mm in 1.99863 years is 0.30021 mm/y, the larger. (10.0 - 8.0) / 0.30021 is 6.662 years.
 */
Test(history, the_larger_of_long_and_short_term_stands)
{
	review_unit("<knock-out-drum tag='V-9' material='carbon steel' required-thickness='8 mm'>"
		    "<wall-reading date='2018-01-01' thickness='10.6 mm'/><wall-reading date='2010-01-01' "
		    "thickness='12.0 mm'/>"
		    "<wall-reading date='2020-01-01' thickness='10.0 mm'/></knock-out-drum>");
	cr_expect_float_eq(number("V-9", "rate-by-readings", "mm/y"), 0.30021, 1e-4);
	cr_expect_float_eq(
		number("V-9", "corrosion-rate", "mm/y"), 0.30021, 1e-4, "and stands for the rate nobody states");
	cr_expect_float_eq(number("V-9", "years-left", "y"), 6.662, 2e-3);
	cr_expect_float_eq(number("V-9", "wall-over-required", ""), 1.25, 1e-9);
	cr_expect_eq(verdict("HIS-002", "V-9"), VERDICT_MEETS);
}

Test(history, readings_of_other_places_are_not_mixed)
{
	review_unit("<knock-out-drum tag='V-9' required-thickness='8 mm'>"
		    "<wall-reading date='2010-01-01' thickness='20.0 mm' place='head'/>"
		    "<wall-reading date='2020-01-01' thickness='10.0 mm' place='shell'/></knock-out-drum>");
	cr_expect_null(value("V-9", "rate-by-readings"));
	cr_expect_float_eq(number("V-9", "wall-now", "mm"), 10, 1e-9);
	cr_expect_eq(verdict("HIS-002", "V-9"), VERDICT_NOT_APPLICABLE);
}

/* Metal does not grow: 0.2 mm each way is how walls are read, 0.9 mm is a slip. */
Test(history, a_wall_that_grows_is_misread)
{
	review_unit("<knock-out-drum tag='V-9' required-thickness='8 mm'><wall-reading date='2010' thickness='10 mm'/>"
		    "<wall-reading date='2020' thickness='10.9 mm'/></knock-out-drum>");
	cr_expect_eq(value("V-9", "rate-by-readings")->known, UNKNOWN);
	cr_expect_eq(verdict("HIS-002", "V-9"), VERDICT_NOT_APPLICABLE);
	review_unit("<knock-out-drum tag='V-9' required-thickness='8 mm'><wall-reading date='2010' thickness='10 mm'/>"
		    "<wall-reading date='2020' thickness='10.1 mm'/></knock-out-drum>");
	cr_expect_float_eq(number("V-9", "rate-by-readings", "mm/y"), 0, 1e-12);
	cr_expect_eq(value("V-9", "years-left")->bound, BOUND_ABOVE, "so long at least");
	cr_expect_eq(verdict("HIS-002", "V-9"), VERDICT_MEETS);
}

/* Each side of the limits: 0.5 mm over what is needed at 0.25 mm/y; thinner than needed. */
Test(history, thin_walls_depart)
{
	review_unit("<knock-out-drum tag='V-9' required-thickness='9.5 mm'><wall-reading date='2010-07' "
		    "thickness='12.5 mm'/>"
		    "<wall-reading date='2020-07' thickness='10 mm'/></knock-out-drum>");
	cr_expect_eq(verdict("HIS-002", "V-9"), VERDICT_DEPARTS);
	cr_expect_eq(verdict("HIS-001", "V-9"), VERDICT_MEETS);
	review_unit("<knock-out-drum tag='V-9' thickness='14 mm' corrosion-allowance='3 mm'>"
		    "<wall-reading date='2010-07' thickness='12.5 mm'/>"
		    "<wall-reading date='2020-07' thickness='10 mm'/></knock-out-drum>");
	cr_expect_eq(verdict("HIS-001", "V-9"), VERDICT_DEPARTS, "11 mm are needed where nobody says otherwise");
	review_unit("<knock-out-drum tag='V-9'><wall-reading date='2010-07' thickness='12.5 mm'/>"
		    "<wall-reading date='2020-07' thickness='10 mm'/></knock-out-drum>");
	cr_expect_eq(verdict("HIS-001", "V-9"), VERDICT_NOT_JUDGED);
}

/* One reading beside the wall of 1990: 14.0 - 11.0 mm in the 30 years from the middle of 1990 to that of 2020. */
Test(history, one_reading_stands_beside_the_first_wall)
{
	review_unit("<knock-out-drum tag='V-9' thickness='14 mm' year-built='1990' required-thickness='8 mm'>"
		    "<wall-reading date='2020' thickness='11.0 mm'/></knock-out-drum>");
	cr_expect_float_eq(number("V-9", "rate-by-readings", "mm/y"), 0.1, 1e-3);
}

Test(history, a_stated_rate_is_held_against_the_readings)
{
	static const char body[] =
		"<knock-out-drum tag='V-9' corrosion-rate='%s'><wall-reading date='2010-07' "
		"thickness='12.5 mm'/><wall-reading date='2020-07' thickness='10 mm'/></knock-out-drum>";
	review_unit(arena_format(&trial.arena, body, "0.05 mm/y"));
	cr_expect_eq(verdict("HIS-003", "V-9"), VERDICT_DEPARTS);
	cr_expect_float_eq(number("V-9", "corrosion-rate", "mm/y"), 0.05, 1e-9, "what is stated stays");
	review_unit(arena_format(&trial.arena, body, "0.22 mm/y"));
	cr_expect_eq(verdict("HIS-003", "V-9"), VERDICT_MEETS);
}

/* ---- inspections ---- */

Test(history, inspections_answer_for_the_item)
{
	review_unit(
		"<flash-drum tag='V-9'>"
		"<inspection date='2023' method='phased array ultrasonic' result='no indications' hardness='231 HV'/>"
		"<inspection date='2015-04' method='visual' result='cracks'/></flash-drum>");
	cr_expect_str_eq(value("V-9", "last-inspection")->word, "2023");
	cr_expect_str_eq(value("V-9", "inspected-by")->word, "phased array ultrasonic");
	cr_expect_str_eq(value("V-9", "cracks-found")->word, "yes", "once found is found");
	cr_expect_str_eq(value("V-9", "blisters-found")->word, "no");
	cr_expect_float_eq(number("V-9", "hardness-weld", "HV"), 231, 1e-9);
	review_unit("<flash-drum tag='V-9' cracks-found='no'><inspection date='2023' result='thinning'/></flash-drum>");
	cr_expect_str_eq(value("V-9", "cracks-found")->word, "no", "what is stated stays");
	cr_expect_null(value("V-9", "blisters-found"), "nobody says");
}

/* ---- dated analyses ---- */

/*
 * 4, 6 and 11 ppmw at 0, 181 and 365 days (2025-01-01, 07-01, 2026-01-01): in months of 30.4375 days 0, 5.9466 and 11.9918. Mean
 * 5.9795 and 7; sum of squares 35.755 + 0.001 + 36.149 = 71.905; joint 17.938 + 0.033 + 24.049 = 42.020; slope 0.58438 a month.
 */
Test(history, the_rise_is_the_slope_of_all)
{
	review_unit("<solvent amine='MDEA'><dated-analysis date='2026-01-01' iron='11 ppmw' salts='2 wt%' "
		    "salts-basis='solution'/>"
		    "<dated-analysis date='2025-01-01' iron='4 ppmw' nickel='0.1 ppmw'/>"
		    "<dated-analysis date='2025-07-01' iron='6 ppmw'/></solvent>");
	cr_expect_float_eq(number("solvent", "iron-rise", "ppmw"), 0.58438, 2e-4);
	cr_expect_float_eq(number("solvent", "iron", "ppmw"), 11, 1e-9, "the last one stands");
	cr_expect_float_eq(number("solvent", "nickel", "ppmw"), 0.1, 1e-9);
	cr_expect_null(value("solvent", "nickel-rise"), "one is no trend");
	cr_expect_float_eq(number("solvent", "salts-on-solution", "wt%"), 2, 1e-9);
	cr_expect_eq(verdict("HIS-006", "solvent"), VERDICT_MEETS);
	review_unit("<solvent amine='MDEA' iron='3 ppmw'><dated-analysis date='2025' iron='4 ppmw'/>"
		    "<dated-analysis date='2026' iron='44 ppmw'/></solvent>");
	cr_expect_float_eq(number("solvent", "iron", "ppmw"), 3, 1e-9, "what is stated stays");
	cr_expect_eq(verdict("HIS-006", "solvent"), VERDICT_DEPARTS);
}

/* Samples of other streams are not of the solvent: iron of the reflux water, and the amine that it carries over. */
Test(history, analyses_of_the_lean_solution_speak_for_the_solvent)
{
	static const char unit[] =
		"<solvent amine='MDEA'><dated-analysis date='2025-01-01' stream='%s' strength='0.2 wt%%' iron='30 "
		"ppmw'/>"
		"<dated-analysis date='2024-01-01' strength='44 wt%%' iron='4 ppmw'/></solvent><stream id='7' "
		"service='reflux'/><stream id='8' service='lean'/>";
	review_unit(arena_format(&trial.arena, unit, "7"));
	cr_expect_float_eq(number("solvent", "iron", "ppmw"), 4, 1e-9);
	cr_expect_float_eq(number("solvent", "strength", "wt%"), 44, 1e-9);
	review_unit(arena_format(&trial.arena, unit, "8"));
	cr_expect_float_eq(number("solvent", "iron", "ppmw"), 30, 1e-9, "the later of two lean samples");
}

/* 0.004 and 0.046 mol/mol make 0.050, where the laboratory gives the two gases apart; a total that it gives itself stays. */
Test(history, an_analysis_has_the_sum_of_both_loadings)
{
	static const struct {
		const char *said;
		double loading; /* negative: none */
	} rows[] = {{"h2s='0.004' co2='0.046'", 0.050}, {"loading='0.06' h2s='0.004'", 0.06},
		{"h2s='0.004'", -1}}; /* one gas is not the whole */
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<solvent amine='DEA'><dated-analysis date='2025-01-01' %s/></solvent>", rows[i].said));
		const struct quantity *found =
			table_get(trial.table, table_sole(trial.table, "dated-analysis"), EVERY_CASE, "loading");
		bool known = found && found->known != UNKNOWN;
		cr_expect_float_eq(known ? found->si : -1, rows[i].loading, 1e-9, "%s", rows[i].said);
	}
}

/* The anions of the last analysis that lists any count, and those of no other. */
Test(history, anions_are_those_of_the_last_analysis)
{
	review_unit("<solvent amine='MDEA' strength='45 wt%'><dated-analysis date='2024'><anion name='formate' "
		    "content='9000 ppmw'/>"
		    "</dated-analysis><dated-analysis date='2025'><anion name='formate' content='700 "
		    "ppmw'/></dated-analysis>"
		    "<dated-analysis date='2026' iron='2 ppmw'/></solvent>");
	cr_expect_float_eq(number("solvent", "anions-together", "wt%"), 0.07, 1e-9);
	review_unit(
		"<solvent amine='MDEA' strength='45 wt%'><anion name='acetate' content='100 ppmw'/>"
		"<dated-analysis date='2024'><anion name='formate' content='9000 ppmw'/></dated-analysis></solvent>");
	cr_expect_float_eq(number("solvent", "anions-together", "wt%"), 0.01, 1e-9, "the solvent's own go first");
}

/* ---- limits ---- */

Test(history, limits_of_owner_and_laboratory_are_limits)
{
	static const struct {
		const char *limit;
		enum verdict wanted;
	} rows[] = {{"at-most='2.0 wt%'", VERDICT_MEETS}, {"at-most='1.5 wt%'", VERDICT_DEPARTS},
		{"at-least='1 wt%' at-most='2 wt%'", VERDICT_MEETS}, {"at-least='1.9 wt%'", VERDICT_DEPARTS},
		{"at-most='18000 ppmw'", VERDICT_MEETS}, {"at-most='17000 ppmw'", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<solvent amine='DEA' salts='1.8 wt%%' salts-basis='solution'/>"
			"<operating-limit about='solvent' quantity='salts' set-by='owner' %s/>",
			rows[i].limit));
		cr_expect_eq(verdict("HIS-008", "operating limit"), (int)rows[i].wanted, "%s", rows[i].limit);
		cr_expect_eq(verdict("DAT-004", "operating limit"), VERDICT_NOT_APPLICABLE, "it needs no reason");
	}
	review_unit("<solvent amine='DEA'/><operating-limit about='solvent' quantity='salts' set-by='owner' at-most='2 "
		    "wt%'/>");
	cr_expect_eq(verdict("HIS-008", "operating limit"), VERDICT_NOT_JUDGED, "nobody says how much there is");
	review_unit("<solvent amine='DEA' salts='&lt;3 wt%'/><operating-limit about='solvent' quantity='salts' "
		    "set-by='owner' "
		    "at-most='2 wt%'/>");
	cr_expect_eq(verdict("HIS-008", "operating limit"), VERDICT_NOT_JUDGED, "a bound beyond the limit");
	review_unit("<solvent amine='DEA' salts='9 wt%'/><operating-limit about='solvent' quantity='salts' at-most='2 "
		    "wt%'/>");
	cr_expect_eq(verdict("HIS-008", "operating limit"), VERDICT_NOT_APPLICABLE, "a claim of the package");
}

/* ---- not recorded ---- */

Test(history, what_is_not_recorded_is_unknown_and_no_debt)
{
	review_unit("<exchanger tag='E-9' material='carbon steel' pwht='Not Recorded' thickness='not recorded'>"
		    "<tube-side pwht='t.b.d.'/></exchanger>");
	const struct quantity *pwht = value("E-9", "pwht");
	cr_expect(pwht->known == UNKNOWN && pwht->owed && pwht->unrecorded);
	cr_expect_not_null(strstr(pwht->reason, "not on record"), "%s", pwht->reason);
	cr_expect_eq(trial.review->statements.unrecorded_count, 2);
	cr_expect_eq(trial.review->statements.owed_count, 1);
	cr_expect(!value("E-9 tube side", "pwht")->unrecorded);
}

/* ---- alternatives ---- */

Test(history, each_alternative_is_judged)
{
	review_unit("<solvent amine='MDEA'/><gas id='g' role='feed' hydrocarbon-liquid='no'/><pump tag='P-9' "
		    "service='lean'>"
		    "<seal name='rings' material='EPDM' grade='a'><alternative material='FKM'><note>Vendor's "
		    "choice.</note></alternative>"
		    "<alternative material='FFKM' grade='b'/></seal></pump>");
	cr_expect_eq(verdict("MAT-004", "P-9 seal rings"), VERDICT_MEETS);
	cr_expect_eq(verdict("MAT-004", "P-9 seal rings, alternative 1"), VERDICT_DEPARTS);
	cr_expect_eq(verdict("MAT-004", "P-9 seal rings, alternative 2"), VERDICT_MEETS);
	cr_expect_str_eq(value("P-9 seal rings, alternative 1", "grade")->word, "a", "as with the first");
	cr_expect_str_eq(value("P-9 seal rings, alternative 2", "grade")->word, "b");
	cr_expect_str_eq(value("P-9 seal rings, alternative 1", "material-family")->word, "elastomer");
	cr_expect_eq(trial.review->statements.notes.count, 1);
}

/* ---- tubes ---- */

/* 10 kg/s of 1000 kg/m3 through 90 tubes of 20 mm in 2 passes: 0.01 / (45 x 3.14159e-4) is 0.7074 m/s; of 100 tubes 0.6366. */
Test(history, plugged_tubes_take_no_flow)
{
	static const char body[] =
		"<exchanger tag='E-9'><tube-side service='lean' flow='36 m3/h' tubes='100' %s passes='2' "
		"bore='20 mm' tube-wall='2 mm' tube-wall-least='0.9 mm'/></exchanger>";
	review_unit(arena_format(&trial.arena, body, "tubes-plugged='10'"));
	cr_expect_float_eq(number("E-9 tube side", "velocity", "m/s"), 0.7074, 1e-4);
	cr_expect_float_eq(number("E-9 tube side", "tube-wall-lost", "%"), 55, 1e-6);
	cr_expect_eq(verdict("HIS-004", "E-9 tube side"), VERDICT_MEETS, "ten per cent, and on the border");
	cr_expect_eq(verdict("HIS-005", "E-9 tube side"), VERDICT_DEPARTS);
	review_unit(arena_format(&trial.arena, body, "tubes-plugged='12'"));
	cr_expect_eq(verdict("HIS-004", "E-9 tube side"), VERDICT_DEPARTS);
	review_unit(arena_format(&trial.arena, body, ""));
	cr_expect_float_eq(number("E-9 tube side", "velocity", "m/s"), 0.6366, 1e-4);
	cr_expect_eq(verdict("HIS-004", "E-9 tube side"), VERDICT_NOT_APPLICABLE);
}

Test(history, a_clad_channel_is_clad)
{
	static const char body[] =
		"<solvent amine='MEA'/><stream id='l' service='lean' temperature='90 degC'/><exchanger tag='E-9'>"
		"<tube-side inlet='l' material='316L' channel-material='carbon steel' %s/></exchanger>";
	review_unit(arena_format(&trial.arena, body, "channel-cladding='316L'"));
	cr_expect_str_eq(value("E-9 tube side", "wall-clad")->word, "yes");
	review_unit(arena_format(&trial.arena, body, "channel-cladding='none'"));
	cr_expect_str_eq(value("E-9 tube side", "wall-clad")->word, "no");
}

/* ---- which alloy the solution tells of ---- */

#define GAINS(chromium, nickel)                                                                                        \
	"<solvent amine='MDEA'><dated-analysis date='2025-01-01' chromium='0 ppmw' nickel='0 ppmw'/>"                  \
	"<dated-analysis date='2026-01-01' chromium='" chromium "' nickel='" nickel "'/></solvent>"
#define FEED(h2s) "<gas id='G' role='feed' h2s='" h2s "' co2='5 mol%' pressure='60 barg'/>"
#define LINE(metal) "<line tag='P' service='lean' material='" metal "'/>"

/* Type 304 holds 8 to 10.5 nickel with 18 to 20 chromium: 0.4 to 0.58 (ASTM A240, from memory); 410 holds hardly any. */
Test(history, nickel_and_chromium_name_the_alloy_that_dissolves)
{
	static const struct {
		const char *body, *what;
		int verdict;
	} rows[] = {
		{FEED("0 mol%") GAINS("20 ppmw", "10 ppmw") LINE("304L"), "austenitic (P)", VERDICT_MEETS},
		{FEED("0 mol%") GAINS("20 ppmw", "10 ppmw") LINE("carbon steel"),
			"austenitic (none described in amine)", VERDICT_DEPARTS},
		{FEED("0 mol%") GAINS("20 ppmw", "0.4 ppmw") LINE("410"), "ferritic or martensitic (P)", VERDICT_MEETS},
		{FEED("0 mol%") GAINS("20 ppmw", "0.4 ppmw") LINE("304L"),
			"ferritic or martensitic (none described in amine)", VERDICT_DEPARTS},
		/* Sour: nickel falls out, and what is richer in nickel may be it. */
		{FEED("1 mol%") GAINS("20 ppmw", "0.4 ppmw") LINE("304L"),
			"ferritic or martensitic (none described in amine); duplex (none described in amine); "
			"austenitic "
			"(P); nickel alloy (none described in amine)",
			VERDICT_MEETS},
		{FEED("0 mol%") GAINS("0 ppmw", "10 ppmw") LINE("alloy 400"), "nickel alloy (P)", VERDICT_MEETS},
		{FEED("0 mol%") GAINS("0 ppmw", "0 ppmw") LINE("304L"), NULL, VERDICT_NOT_APPLICABLE},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(rows[i].body);
		const struct quantity *what = value("solvent", "dissolving");
		cr_expect_str_eq(what ? what->word : "", rows[i].what ? rows[i].what : "", "row %zu: %s", i,
			what ? what->word : "");
		cr_expect_eq(verdict("HIS-020", "solvent"), rows[i].verdict, "row %zu", i);
	}
}

/* 2 wt% of a solution of 40 wt% with 10 ppmw brings 0.5 ppmw along. */
Test(history, iron_of_the_reflux_is_the_overheads_but_for_what_is_carried_over)
{
	static const struct {
		const char *reflux;
		double iron;
		int verdict;
	} rows[] = {
		{"iron='6 ppmw'", 6, VERDICT_DEPARTS},
		{"iron='6 ppmw' strength='2 wt%'", 5.5, VERDICT_DEPARTS},
		{"iron='0.9 ppmw' strength='2 wt%'", 0.4, VERDICT_MEETS},
		{"iron='0.3 ppmw' strength='2 wt%'", 0, VERDICT_MEETS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		review_unit(arena_format(&trial.arena,
			"<solvent amine='MDEA' strength='40 wt%%' iron='10 ppmw'/><stream id='r' service='reflux' %s/>",
			rows[i].reflux));
		cr_expect_float_eq(number("r", "iron-of-overhead", "ppmw"), rows[i].iron, 1e-9, "%s", rows[i].reflux);
		cr_expect_eq(verdict("HIS-021", "r"), rows[i].verdict, "%s", rows[i].reflux);
	}
	review_unit("<solvent amine='MDEA'/><stream id='r' service='reflux'/>");
	cr_expect_null(value("r", "iron-of-overhead"));
}
