/*
 * What a number that nobody states can be: by the pipe table, by physics, by what is upstream and downstream; and words by the choices of
 * the schema. Each departs whatever it is, meets whatever it is, or turns. Rules and figures are the test's own; bores are those
 * of ASME B36.10M and B36.19M as the pipe table has them.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(possible, .fini = end);

#define RULE(kind, body)                                                                                               \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test' judged='v'>"                     \
	"<select kind='" kind "'/>" body "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define LIMIT(value) "<limit at-most='" value "' source='read' known='read'/>"

struct row {
	const char *rule, *unit, *item;
	enum verdict verdict;
	const char *says; /* in the message, or of what turns it */
};

static void expect_row(const struct row *row)
{
	trial_open_with(&trial, row->rule, NULL);
	trial_review_unit(&trial, "MDEA", row->unit);
	const struct finding *found = trial_finding(&trial, "TST-001", row->item);
	cr_assert_not_null(found, "%s", row->unit);
	const char *says = found->turns ? found->turns : found->message;
	cr_expect(found->verdict == row->verdict, "%s: %s", verdict_word(found->verdict), says);
	if (row->says)
		cr_expect_not_null(strstr(says, row->says), "%s", says);
	trial_close(&trial);
}

static void expect_rows(const struct row *rows, size_t count)
{
	for (size_t i = 0; i < count; i++)
		expect_row(&rows[i]);
}

/* ---- pipes ---- */

#define VELOCITY(limit) RULE("line", "<input name='v' quantity='velocity-judged' kind='velocity'/>" LIMIT(limit))
#define LINE                                                                                                           \
	"<stream id='s' service='rich' flow='64 m3/h' density='1020 kg/m3' temperature='50 degC'/>"                    \
	"<line tag='P' stream='s' size='NPS 6'/>"

/* NPS 6 is made with bores from 124.4 mm to 162.7 mm: 0.855 m/s to 1.46 m/s for 64 m3/h, give or take 3 %. */
Test(possible, of_a_size_every_schedule_is_tried)
{
	const struct row rows[] = {
		{VELOCITY("0.5 m/s"), LINE, "P", VERDICT_DEPARTS,
			"whatever is stated of velocity (in every schedule of NPS 6)"},
		{VELOCITY("2.0 m/s"), LINE, "P", VERDICT_MEETS, NULL},
		{VELOCITY("1.2 m/s"), LINE, "P", VERDICT_NOT_JUDGED, "departs if velocity is above 1.20 m/s; meets"},
		{VELOCITY("2.0 m/s"), "<line tag='P' size='NPS 6'/>", "P", VERDICT_NOT_JUDGED, NULL},
		{VELOCITY("2.0 m/s"), "<stream id='s' flow='64 m3/h'/><line tag='P' stream='s'/>", "P",
			VERDICT_NOT_JUDGED, NULL},
	};
	expect_rows(rows, COUNT(rows));
}

#define BORE(limit) RULE("line", "<input name='v' quantity='bore' kind='length'/>" LIMIT(limit))
#define FLUX(limit) RULE("line", "<input name='v' quantity='momentum-flux' kind='momentum-flux'/>" LIMIT(limit))

Test(possible, bore_and_flux_follow_the_size)
{
	const struct row rows[] = {
		{BORE("100 mm"), "<line tag='P' size='NPS 6'/>", "P", VERDICT_DEPARTS, NULL},
		{BORE("170 mm"), "<line tag='P' size='NPS 6'/>", "P", VERDICT_MEETS, NULL},
		{BORE("150 mm"), "<line tag='P' size='NPS 6'/>", "P", VERDICT_NOT_JUDGED, "150 mm"},
		{FLUX("300 kg/(m s2)"), LINE, "P", VERDICT_DEPARTS, NULL},
		{FLUX("4000 kg/(m s2)"), LINE, "P", VERDICT_MEETS, NULL},
		{FLUX("1300 kg/(m s2)"), LINE, "P", VERDICT_NOT_JUDGED, "above"},
	};
	expect_rows(rows, COUNT(rows));
}

/* ---- physics ---- */

#define SHARE(limit) RULE("filter", "<input name='v' quantity='slip' kind='share'/>" LIMIT(limit))
#define PARTIAL(limit)                                                                                                 \
	RULE("gas", "<input name='v' quantity='h2s-partial-pressure' kind='partial-pressure'/>" LIMIT(limit))
#define CONTENT(limit) RULE("gas", "<input name='v' quantity='co2' kind='mole-fraction'/>" LIMIT(limit))
#define GAS(more) "<gas id='g' role='feed' pressure='20 bara' temperature='40 degC' " more "/>"

Test(possible, physics_bounds_shares_and_partial_pressures)
{
	const struct row rows[] = {
		{SHARE("100 %"), "<filter tag='F'/>", "F", VERDICT_NOT_JUDGED, NULL}, /* nobody is asked */
		{SHARE("20 %"), "<filter tag='F'/>", "F", VERDICT_NOT_JUDGED, "departs if slip is above 20.0 %"},
		{SHARE("-1 %"), "<filter tag='F'/>", "F", VERDICT_DEPARTS, "between zero and all"},
		{PARTIAL("3 MPa"), GAS(""), "g", VERDICT_MEETS, NULL},
		{PARTIAL("0.3 kPa"), GAS(""), "g", VERDICT_NOT_JUDGED, "0.300 kPa"},
		{CONTENT("30 mol%"), GAS("methane='80 mol%'"), "g", VERDICT_MEETS, NULL},
		{CONTENT("10 mol%"), GAS("methane='80 mol%'"), "g", VERDICT_NOT_JUDGED, "above 10"},
		{CONTENT("30 mol%"), GAS(""), "g", VERDICT_NOT_JUDGED, NULL},
	};
	expect_rows(rows, COUNT(rows));
}

#define NEAR                                                                                                           \
	RULE("cooler",                                                                                                 \
		"<input name='v' quantity='approach-to-medium' kind='temperature-difference'/>"                        \
		"<limit above='0 K' source='read' known='read'/>")
#define COOLER(medium, outlet)                                                                                         \
	"<cooler tag='E' service='lean' cooling-medium='" medium "' outlet-temperature='" outlet "'/>"

/* Nobody supplies water above 40 degC, or air above 55 degC. */
Test(possible, a_site_cools_with_what_it_has)
{
	const struct row rows[] = {
		{NEAR, COOLER("cooling water", "46 degC"), "E", VERDICT_MEETS, NULL},
		{NEAR, COOLER("cooling water", "36 degC"), "E", VERDICT_NOT_JUDGED,
			"approach to medium is at most 0 K"},
		{NEAR, COOLER("cooling water", "-15 degC"), "E", VERDICT_DEPARTS, "as air and water are supplied"},
		{NEAR, COOLER("air", "46 degC"), "E", VERDICT_NOT_JUDGED, NULL},
		{NEAR, COOLER("process stream", "46 degC"), "E", VERDICT_NOT_JUDGED, NULL},
	};
	expect_rows(rows, COUNT(rows));
}

/* ---- neighbours ---- */

#define WARM(limit) RULE("stream", "<input name='v' quantity='temperature' kind='temperature'/>" LIMIT(limit))
#define PRESSED(limit) RULE("stream", "<input name='v' quantity='pressure' kind='pressure'/>" LIMIT(limit))
/* a - filter - b - carbon bed - c, of which b states neither. */
#define BETWEEN(first)                                                                                                 \
	"<stream id='a' service='lean' temperature='60 degC' pressure='9 bara'/>"                                      \
	"<stream id='b' service='lean' from='" first "'/>"                                                             \
	"<stream id='c' service='lean' temperature='52 degC' pressure='8 bara' from='B'/>"                             \
	"<filter tag='F' stream='a'/><cooler tag='E' service='lean'/><carbon-bed tag='B' stream='b'/>"

Test(possible, a_stream_lies_between_its_neighbours)
{
	const struct row rows[] = {
		{WARM("45 degC"), BETWEEN("F"), "b", VERDICT_DEPARTS, "between what is upstream and downstream"},
		{WARM("70 degC"), BETWEEN("F"), "b", VERDICT_MEETS, NULL},
		{WARM("56 degC"), BETWEEN("F"), "b", VERDICT_NOT_JUDGED, "above 56"},
		{WARM("70 degC"), BETWEEN("E"), "b", VERDICT_NOT_JUDGED, NULL}, /* cooled: nobody knows from what */
		{WARM("70 degC"), BETWEEN("a"), "b", VERDICT_NOT_JUDGED, NULL}, /* a pump may stand there */
		{PRESSED("2 bara"), BETWEEN("F"), "b", VERDICT_DEPARTS, NULL},
		{PRESSED("20 bara"), BETWEEN("F"), "b", VERDICT_MEETS, NULL},
		{PRESSED("10 bara"), BETWEEN("F"), "b", VERDICT_NOT_JUDGED, NULL}, /* within the head of a column */
	};
	expect_rows(rows, COUNT(rows));
}

/* Another case sets no range: this one may be the hottest of all. */
Test(possible, other_cases_bound_nothing)
{
	trial_open_with(&trial, WARM("60 degC"), NULL);
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'><case id='normal'/><case "
		"id='summer'/>"
		"<case id='winter'/></basis><solvent amine='MDEA' strength='45 wt%'/><stream id='s' service='lean' "
		"temperature='50 degC'><in case='summer' temperature='t.b.d.'/><in case='winter' temperature='40 "
		"degC'/>"
		"</stream></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_eq(trial_finding(&trial, "TST-001", "s")->verdict, VERDICT_NOT_JUDGED);
}

/* ---- words ---- */

#define WORDS(words)                                                                                                   \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test'><select kind='basis'/>"          \
	"<input name='k' quantity='stage' kind='word'/><assert test=\"" words "\"/>"                                   \
	"<limit says='so' source='read' known='read'/><message>{item} "                                                \
	"departs</message><why>w</why><remedy>r</remedy></rule>"

/* The stages of a project are four. */
Test(possible, a_word_is_one_of_the_choices_of_the_schema)
{
	static const struct {
		const char *words;
		enum verdict verdict;
	} rows[] = {
		{"$k = 'concept' or $k = 'front-end' or $k = 'detailed' or $k = 'built'", VERDICT_NOT_JUDGED},
		{"$k != 'concept' and $k != 'front-end' and $k != 'detailed' and $k != 'built'", VERDICT_DEPARTS},
		{"$k = 'concept' or $k = 'built'", VERDICT_NOT_JUDGED},
		{"$k != 'nothing of the kind'", VERDICT_NOT_JUDGED},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		trial_open_with(&trial, arena_format(&arena, WORDS("%s"), rows[i].words), NULL);
		trial_review_unit(&trial, "MDEA", "<line tag='P'/>");
		const struct finding *found = trial_finding(&trial, "TST-001", "basis");
		cr_assert_not_null(found);
		cr_expect(found->verdict == rows[i].verdict, "%s: %s", rows[i].words, verdict_word(found->verdict));
		cr_expect_eq(found->idle, i == 0 || i == 3, "%s", rows[i].words);
		trial_close(&trial);
		arena_release(&arena);
	}
}
