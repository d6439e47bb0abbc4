/*
 * The metal that a fluid touches: the same fact stated on the item, its side, its zone or by its cladding gives the same answer;
 * what covers a place in part does not cover it; what nobody states is asked for. And how hot metal gets that many cases heat.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
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

TestSuite(contact, .init = begin, .fini = end);

/* `word`: the metal, or where it is unknown the words that ask for it. */
static void expect(const char *body, const char *tag, const char *name, const char *word)
{
	trial_review_unit(&trial, "MDEA", body);
	const struct quantity *found = trial_value(&trial, tag, NULL, name);
	cr_assert_not_null(found, "%s: no %s of %s", body, name, tag);
	const char *got = found->known == UNKNOWN ? found->reason : found->word;
	cr_expect_str_eq(got, word, "%s: %s of %s is '%s', not '%s'", body, name, tag, got, word);
}

#define WETTED "wetted-material"
#define FAMILY "wetted-material-family"
#define SURFACE "surface-material"

Test(contact, one_fact_in_any_place)
{
	static const struct {
		const char *body, *tag, *name, *word;
	} rows[] = {
		/* The item itself, bare and covered. */
		{"<line tag='P' material='carbon steel'/>", "P", WETTED, "carbon steel"},
		{"<line tag='P' material='carbon steel' cladding='none'/>", "P", FAMILY, "carbon steel"},
		{"<line tag='P' material='carbon steel' cladding='625'/>", "P", WETTED, "625"},
		{"<line tag='P' material='carbon steel' cladding='625'/>", "P", FAMILY, "nickel alloy"},
		{"<line tag='P' cladding='316L'/>", "P", FAMILY, "austenitic"},
		{"<line tag='P'/>", "P", FAMILY, "material of P is not stated"},
		{"<tank tag='T' material='carbon steel' lined-with='FRP'/>", "T", WETTED, "FRP"},
		{"<pump tag='G' casing='CF3M'/>", "G", FAMILY, "austenitic"},
		/* Parts of what is clad; a part of an alloy of its own is that alloy. */
		{"<vessel tag='V' material='carbon steel' cladding='316L'><nozzle tag='N'/></vessel>", "N", WETTED,
			"316L"},
		{"<vessel tag='V' material='carbon steel' cladding='316L'><nozzle tag='N' material='2205'/></vessel>",
			"N", WETTED, "2205"},
		{"<vessel tag='V' material='carbon steel' cladding='316L'><nozzle tag='N' cladding='none'/></vessel>",
			"N", WETTED, "carbon steel"},
		{"<line tag='P' material='carbon steel' cladding='304L'><elbow name='first'/></line>", "P elbow first",
			WETTED, "304L"},
		/* A nozzle of the zone it names. */
		{"<vessel tag='V' material='carbon steel'><nozzle tag='N' zone='upper'/>"
		 "<zone name='upper' cladding='904L'/></vessel>",
			"N", WETTED, "904L"},
		{"<vessel tag='V' material='carbon steel'><nozzle tag='N' zone='upper' cladding='none'/>"
		 "<zone name='upper' cladding='904L'/></vessel>",
			"N", WETTED, "carbon steel"},
		/* A repair cuts through the cladding: lined again or not. */
		{"<vessel tag='V' material='carbon steel' cladding='316L'><repair name='r' re-lined='yes'/></vessel>",
			"V repair r", WETTED, "316L"},
		{"<vessel tag='V' material='carbon steel' cladding='316L'><repair name='r' re-lined='no'/></vessel>",
			"V repair r", WETTED, "carbon steel"},
		{"<vessel tag='V' material='carbon steel' cladding='316L'><repair name='r'/></vessel>", "V repair r",
			WETTED, "re-lined of V repair r is not stated"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect(rows[i].body, rows[i].tag, rows[i].name, rows[i].word);
}

Test(contact, a_vessel_has_the_least_protected_metal_of_shell_and_zones)
{
	static const struct {
		const char *body, *word;
	} rows[] = {
		{"material='carbon steel' cladding='316L'><zone name='lower' cladding='none'/>", "carbon steel"},
		{"material='carbon steel'><zone name='top' cladding='316L'/>", "carbon steel"},
		{"material='carbon steel'><zone name='top' cladding='316L'/><zone name='bottom' cladding='316L'/>",
			"carbon steel"},
		{"material='carbon steel'><zone name='top' cladding='316L'/><zone name='middle' cladding='316L'/>"
		 "<zone name='bottom' cladding='316L'/>",
			"316L"},
		{"material='carbon steel'><zone name='upper' cladding='316L'/><zone name='lower' cladding='316L'/>",
			"316L"},
		{"material='carbon steel'><zone name='upper' cladding='316L'/><zone name='lower' cladding='825'/>",
			"that of its zones"},
		{"material='316L'><zone name='boot' material='carbon steel'/>", "carbon steel"},
		/* Stated by its zones only. */
		{"><zone name='upper' material='316L'/><zone name='lower' material='316L'/>", "316L"},
		{"><zone name='upper' material='316L'/><zone name='lower' material='carbon steel'/>", "carbon steel"},
		{"><zone name='upper' material='316L'/>", "material of V is not stated"},
		{"><zone name='upper' material='316L'/><zone name='lower'/>", "material of V is not stated"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect(arena_format(&trial.arena, "<vessel tag='V' %s</vessel>", rows[i].body), "V", WETTED,
			rows[i].word);
	expect("<vessel tag='V'><zone name='lower' material='carbon steel'/></vessel>", "V", "material-family",
		"carbon steel");
}

Test(contact, tubes_are_found_wherever_they_are_stated)
{
	static const struct {
		const char *body, *tag, *name, *word;
	} rows[] = {
		{"<cooler tag='E' material='titanium'/>", "E", SURFACE, "titanium"},
		{"<cooler tag='E'><tube-side material='titanium'/></cooler>", "E", SURFACE, "titanium"},
		{"<cooler tag='E' material='carbon steel'><tube-side material='titanium'/></cooler>", "E", SURFACE,
			"titanium"},
		{"<cooler tag='E' material='carbon steel'><tube-side><part name='tubes' material='titanium'/>"
		 "</tube-side></cooler>",
			"E", SURFACE, "titanium"},
		{"<exchanger tag='E' material='carbon steel'><part name='tube bundle' material='2507'/></exchanger>",
			"E", SURFACE, "2507"},
		{"<exchanger tag='E' material='316L'><tube-side/><shell-side material='carbon steel'/></exchanger>",
			"E tube side", WETTED, "316L"},
		{"<exchanger tag='E' material='316L'><tube-side/><shell-side material='carbon steel'/></exchanger>",
			"E shell side", WETTED, "carbon steel"},
		{"<exchanger tag='E'><tube-side material='316L'/><shell-side material='carbon steel'/></exchanger>",
			"E", WETTED, "that of its sides"},
		{"<exchanger tag='E' type='plate'><plate-side material='titanium'/></exchanger>", "E", SURFACE,
			"titanium"},
		/* The shell of a kettle says nothing of its tubes. */
		{"<reboiler tag='E' material='carbon steel' cladding='316L'><tube-side/></reboiler>", "E", SURFACE,
			"material of E tube side is not stated"},
		{"<reboiler tag='E' material='carbon steel'/>", "E", SURFACE,
			"material of the tubes of E is not stated"},
		{"<exchanger tag='E'><tube-side material='carbon steel'><tubesheet faced-with='316L'/></tube-side>"
		 "</exchanger>",
			"E tube side tubesheet", WETTED, "316L"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect(rows[i].body, rows[i].tag, rows[i].name, rows[i].word);
}

Test(contact, amine_touches_tubes_on_either_face)
{
	static const struct {
		const char *body, *tag;
		int wetted; /* -1: unknown */
	} rows[] = {
		{"<reboiler tag='E'><tube-side service='hot oil'/><shell-side service='lean'/></reboiler>",
			"E tube side", 1},
		{"<reboiler tag='E'><tube-side service='hot oil'/></reboiler>", "E tube side", 1},
		{"<cooler tag='E' service='lean'><tube-side service='cooling water'/></cooler>", "E tube side", 1},
		{"<cooler tag='E' service='lean'><tube-side service='lean'/><shell-side service='cooling water'/>"
		 "</cooler>",
			"E shell side", 0},
		{"<cooler tag='E' service='lean'><tube-side service='lean'/><part name='fins' service='air'/></cooler>",
			"E part fins", 0},
		{"<exchanger tag='E' service='other'><tube-side service='sour gas'/><shell-side service='steam'/>"
		 "</exchanger>",
			"E tube side", 0},
		{"<exchanger tag='E' service='other'><tube-side service='steam'/><shell-side/></exchanger>",
			"E tube side", -1},
		{"<line tag='E' service='rich'/>", "E", 1},
		{"<line tag='E' service='steam'/>", "E", 0},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA", rows[i].body);
		const struct quantity *found = trial_value(&trial, rows[i].tag, NULL, "wetted-by-amine");
		cr_assert_not_null(found, "%s", rows[i].body);
		int wetted = found->known == UNKNOWN ? -1 : found->si > 0;
		cr_expect_eq(wetted, rows[i].wetted, "%s: %d", rows[i].body, wetted);
	}
}

/* ---- many cases ---- */

Test(contact, the_hottest_of_many_cases_counts_wherever_it_stands)
{
	enum { CASES = 200 };
	for (int hottest = 0; hottest < CASES; hottest += 66) {
		struct text text = text_in(&trial.arena), streams = text_in(&trial.arena);
		text_add(&text, "<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'>");
		for (int c = 0; c < CASES; c++) {
			text_addf(&text, "<case id='c%d'/>", c);
			text_addf(&streams, "<in case='c%d' temperature='%.1f degC'/>", c,
				c == hottest ? 159.0 : 30 + 0.05 * c);
		}
		text_addf(&text,
			"</basis><solvent amine='MDEA'/><stream id='s' service='lean'>%s</stream>"
			"<line tag='P' stream='s' material='carbon steel' pwht='no' traced='no' "
			"steamed-out='no'/></unit>",
			streams.data);
		trial_review(&trial, text.data);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_float_eq(
			trial_number(&trial, "P", NULL, "metal-temperature", "degC"), 159, 1e-9, "case %d", hottest);
		cr_expect_eq(trial_finding(&trial, "CRK-004", "P")->verdict, VERDICT_DEPARTS);
	}
}

/* ---- heights ---- */

#define LINED(from, to) "<zone name='other' label='" from "' cladding='316L' begins-at='" from "' ends-at='" to "'/>"
#define COLUMN(height, zones)                                                                                          \
	"<vessel tag='V' service='lean' material='carbon steel' length='" height "'>" zones "</vessel>"

/* By their heights, in whatever order they stand; without heights by their names. */
Test(contact, zones_that_leave_a_part_of_the_height_leave_its_metal)
{
	static const struct {
		const char *body, *metal, *left;
	} rows[] = {
		{COLUMN("12 m", LINED("0 m", "6 m") LINED("6 m", "12 m")), "316L", NULL},
		{COLUMN("12 m", LINED("6 m", "12 m") LINED("0 m", "6.02 m")), "316L", NULL},
		{COLUMN("12 m", LINED("0 m", "6 m") LINED("7 m", "12 m")), "carbon steel", "6 to 7 m"},
		{COLUMN("12 m", LINED("7 m", "12 m") LINED("0 m", "6 m")), "carbon steel", "6 to 7 m"},
		{COLUMN("12 m", LINED("1 m", "12 m")), "carbon steel", "0 to 1 m"},
		{COLUMN("12 m", LINED("0 m", "9 m") LINED("2 m", "8 m")), "carbon steel", "9 to 12 m"},
		{COLUMN("12 m", "<zone name='upper' cladding='316L'/><zone name='lower' cladding='316L'/>"), "316L",
			NULL},
		/* Zones that differ in something else than a cover leave nothing bare. */
		{COLUMN("12 m", "<zone name='bottom' pwht='no' begins-at='0 m' ends-at='2 m'/>"), "carbon steel", NULL},
		/* One that does not say where it lies: their names decide. */
		{COLUMN("12 m",
			 "<zone name='upper' cladding='316L'/><zone name='lower' cladding='316L' begins-at='0 "
			 "m' ends-at='3 m'/>"),
			"316L", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		expect(rows[i].body, "V", WETTED, rows[i].metal);
		const struct quantity *left = trial_value(&trial, "V", NULL, "left-by-zones");
		cr_expect_str_eq(left ? left->word : "", rows[i].left ? rows[i].left : "", "%s", rows[i].body);
		cr_expect_eq(trial_finding(&trial, "CRK-030", "V")->verdict,
			rows[i].left ? VERDICT_DEPARTS : VERDICT_NOT_APPLICABLE, "%s", rows[i].body);
	}
}

/* Steel that is stress relieved, above or below what is clad, is judged as any steel; a course that a liner leaves out is not. */
Test(contact, a_relieved_shell_beyond_its_cladding_is_no_gap)
{
#define RELIEVED(relief, zones)                                                                                        \
	"<vessel tag='V' service='lean' material='carbon steel' length='12 m' pwht='" relief "'>" zones "</vessel>"
	static const struct {
		const char *body, *left;
		enum verdict verdict;
	} rows[] = {
		{RELIEVED("yes", LINED("0 m", "4 m")), "4 to 12 m", VERDICT_MEETS},
		{RELIEVED("yes", LINED("1 m", "12 m")), "0 to 1 m", VERDICT_MEETS},
		{RELIEVED("no", LINED("0 m", "4 m")), "4 to 12 m", VERDICT_DEPARTS},
		{RELIEVED("yes", LINED("0 m", "6 m") LINED("7 m", "12 m")), "6 to 7 m", VERDICT_DEPARTS},
		/* The end is left bare as well as a course: the course decides. */
		{RELIEVED("yes", LINED("1 m", "6 m") LINED("7 m", "12 m")), "6 to 7 m", VERDICT_DEPARTS},
		/* What lies above is a zone of bare steel. */
		{RELIEVED("yes",
			 LINED("0 m", "4 m") "<zone name='top' hic-tested='no' begins-at='11 m' ends-at='12 m'/>"),
			"4 to 11 m", VERDICT_MEETS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		expect(rows[i].body, "V", WETTED, "carbon steel");
		cr_expect_str_eq(
			trial_value(&trial, "V", NULL, "left-by-zones")->word, rows[i].left, "%s", rows[i].body);
		cr_expect_eq(trial_finding(&trial, "CRK-030", "V")->verdict, rows[i].verdict, "%s", rows[i].body);
	}
}

/* ---- one end of a column ---- */

#define HOT_BOTTOM                                                                                                     \
	"<stream id='lean' service='lean' temperature='122 degC' h2s='0.001' co2='0.006'/>"                            \
	"<stream id='rich' service='rich' temperature='88 degC' h2s='0.03' co2='0.37'/>"                               \
	"<regenerator tag='C' feed='rich' lean='lean' material='carbon steel' bottom-temperature='122 degC' "

/* A zone is as hot as the end at which it lies, where that is known; between the ends, and where it is not, as the hottest. */
Test(contact, the_top_of_a_column_is_as_hot_as_its_top)
{
	static const struct {
		const char *top, *zone, *tag;
		double celsius;
	} rows[] = {
		{"top-temperature='101 degC'", "<zone name='top'/>", "C zone top", 101},
		{"top-temperature='101 degC'", "<zone name='wash section'/>", "C zone wash section", 101},
		{"top-temperature='101 degC'", "<part name='manway' zone='top'/>", "C part manway", 101},
		{"top-temperature='101 degC'", "<zone name='bottom'/>", "C zone bottom", 122},
		{"top-temperature='101 degC'", "<zone name='feed zone'/>", "C zone feed zone", 122},
		{"top-temperature='101 degC'", "<zone name='top' temperature='109 degC'/>", "C zone top", 109},
		{"", "<zone name='top'/>", "C zone top", 122},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		trial_review_unit(&trial, "MDEA",
			arena_format(&arena, HOT_BOTTOM "%s>%s</regenerator>", rows[i].top, rows[i].zone));
		cr_assert_not_null(trial.table, "%s", trial_messages(&trial));
		cr_expect_float_eq(trial_number(&trial, rows[i].tag, NULL, "metal-reaches", "degC"), rows[i].celsius,
			1e-9, "%s %s", rows[i].top, rows[i].zone);
		arena_release(&arena);
	}
}

/* ---- what is said not to be there ---- */

/* "none" is an answer wherever a part may be absent: it is taken, it covers nothing, and nobody is asked again. */
Test(contact, a_part_that_is_not_there_is_stated_as_none)
{
	static const char *const bodies[] = {
		"<tank tag='V' service='lean' material='carbon steel' lined-with='none' heating-coil='none'/>",
		"<filter tag='V' service='lean' material='carbon steel' core='none'/>",
		"<vessel tag='V' service='lean' material='carbon steel' cladding='none' cladding-type='none'>"
		"<gasket name='g' winding='none'/></vessel>",
		"<vessel tag='V' service='lean' material='carbon steel'><valve tag='LV' seat='none' packing='none' "
		"role='letdown' specification-break='none'/></vessel>"};
	for (size_t i = 0; i < COUNT(bodies); i++) {
		trial_review_unit(&trial, "MDEA", bodies[i]);
		cr_assert_not_null(trial.review, "%s: %s", bodies[i], trial_messages(&trial));
		cr_expect_str_eq(trial_put(&trial, "V", WETTED)->word, "carbon steel", "%s", bodies[i]);
		for (size_t k = 0; k < trial.review->judgement.count; k++) {
			const struct finding *finding = &trial.review->judgement.findings[k];
			bool of_part = rule_reads(finding->rule, "heating-coil") ||
				rule_reads(finding->rule, "winding") || rule_reads(finding->rule, "seat") ||
				rule_reads(finding->rule, "packing");
			cr_expect(!of_part || finding->verdict == VERDICT_MEETS, "%s: %s", finding->rule->id,
				finding->message);
		}
		for (size_t k = 0; k < trial.review->request_count; k++)
			cr_expect_str_neq(trial.review->requests[k].quantity, "core of the filter elements");
	}
}

Test(contact, a_second_amine_of_none_is_no_blend)
{
	static const char unit[] = "<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'/>"
				   "<solvent amine='DEA' strength='28 wt%%'%s/><stream id='s' service='lean' "
				   "temperature='50 degC' h2s='0.02' co2='0.02'/></unit>";
	double densities[2];
	for (size_t i = 0; i < 2; i++) {
		struct arena arena = {0};
		trial_open(&trial, NULL);
		trial_review(&trial, arena_format(&arena, unit, i ? " second-amine='none'" : ""));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		densities[i] = trial_si(&trial, "s", "density");
		arena_release(&arena);
	}
	cr_expect_eq(densities[0], densities[1]);
}
