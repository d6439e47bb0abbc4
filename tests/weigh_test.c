/*
 * A value beside its limits: which apply, which governs, what is said of the others. Rules of the test's own; all numbers are
 * invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "judge/weigh.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(weigh, .fini = end);

#define TAIL "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define VELOCITY(limits)                                                                                               \
	"<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test' judged='v'>"                  \
	"<select kind='line'/><select kind='tube-side'/><select kind='shell-side'/><select kind='plate-side'/>"        \
	"<input name='t' quantity='traced' kind='yes-no'/>"                                                            \
	"<input name='v' quantity='velocity' kind='velocity'/>" limits TAIL

static const struct finding *of_unit(const char *rules, const char *profile, const char *body, const char *tag)
{
	trial_open_with(&trial, rules, profile);
	trial_review_unit(&trial, "MDEA", body);
	return trial_finding(&trial, "TST-001", tag);
}

static const struct finding *of_line(const char *rules, const char *line)
{
	return of_unit(rules, NULL, line, "P-1");
}

/* The figure that governs, SI; below zero where none does. */
static double governing(const struct finding *found)
{
	cr_assert_not_null(found);
	return found->governing ? found->governing->limit->value.si : -1;
}

static void expect_governing(const char *rules, const char *profile, const char *line, double figure)
{
	double given = governing(of_unit(rules, profile, line, "P-1"));
	cr_expect_float_eq(given, figure, 1e-12, "%s: %g governs, not %g", rules, given, figure);
}

#define AT_MOST(figure, more) "<limit at-most='" figure " m/s' source='read' known='read' " more "/>"
#define FROM_MEMORY(figure, more) "<limit at-most='" figure " m/s' source='memory' known='memory' " more "/>"
#define LINE "<line tag='P-1' velocity='1 m/s' traced='yes' service='rich'/>"

/* ---- which apply ---- */

Test(weigh, a_limit_of_tubes_is_not_held_against_a_pipe)
{
	static const char rule[] = VELOCITY(AT_MOST("3", "where='pipe'") AT_MOST("2", "name='t' where='tube'")
			AT_MOST("4", "name='b' where='pipe tube'"));
	static const char exchanger[] = "<exchanger tag='E-1'><tube-side velocity='1 m/s'/><shell-side "
					"velocity='1 m/s'/></exchanger><exchanger tag='E-2'><plate-side "
					"velocity='1 m/s'/></exchanger>";
	expect_governing(rule, NULL, LINE, 3);
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_expect(found->limits[0].applied && !found->limits[1].applied && found->limits[2].applied);
	cr_expect_str_eq(found->limits[0].aside, "");
	cr_expect_str_eq(found->limits[1].aside, "for tube");
	cr_expect_float_eq(governing(of_unit(rule, NULL, exchanger, "E-1 tube side")), 2, 1e-12);
	cr_expect_float_eq(governing(trial_finding(&trial, "TST-001", "E-2 plate side")), 2, 1e-12);
	cr_expect_float_eq(governing(trial_finding(&trial, "TST-001", "E-1 shell side")), 3, 1e-12);
}

Test(weigh, a_limit_may_be_for_one_side_of_an_exchanger)
{
	static const char rule[] = VELOCITY(AT_MOST("5", "") AT_MOST("4", "name='t' side='tube'")
			AT_MOST("3", "name='s' side='shell'") AT_MOST("2", "name='p' side='plate'"));
	static const char exchanger[] = "<exchanger tag='E-1'><tube-side velocity='1 m/s'/><shell-side "
					"velocity='1 m/s'/></exchanger><exchanger tag='E-2'><plate-side "
					"velocity='1 m/s'/></exchanger>" LINE;
	cr_expect_float_eq(governing(of_unit(rule, NULL, exchanger, "E-1 tube side")), 4, 1e-12);
	cr_expect_float_eq(governing(trial_finding(&trial, "TST-001", "E-1 shell side")), 3, 1e-12);
	cr_expect_float_eq(governing(trial_finding(&trial, "TST-001", "E-2 plate side")), 2, 1e-12);
	cr_expect_float_eq(governing(trial_finding(&trial, "TST-001", "P-1")), 5, 1e-12);
}

Test(weigh, a_limit_may_be_for_one_kind_of_item_or_one_word_of_an_input)
{
	expect_governing(
		VELOCITY(AT_MOST("5", "") AT_MOST("4", "name='i' item='line'") AT_MOST("3", "name='o' item='nozzle'")),
		NULL, LINE, 4);
	/* An input of that name comes before the item's own word. */
	static const char rule[] =
		"<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test' judged='v'>"
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<input name='service' quantity='service' of='stream' kind='word'/>" AT_MOST("3", "")
			AT_MOST("2", "name='r' service='rich|gas'") TAIL;
#define CARRIES(stream) stream "<line tag='P-1' velocity='2.5 m/s' service='lean' stream='s'/>"
	expect_governing(rule, NULL, CARRIES("<stream id='s' service='rich'/>"), 2);
	expect_governing(rule, NULL, CARRIES("<stream id='s' service='lean'/>"), 3);
	const struct finding *found = of_line(rule, CARRIES("<stream id='s'/>"));
	cr_expect(found->verdict == VERDICT_NOT_JUDGED, "%s", found->message);
}

Test(weigh, a_limit_with_a_condition_applies_where_it_holds)
{
	static const char rule[] = VELOCITY(AT_MOST("3", "") AT_MOST("2", "name='w' when='$t'"));
	expect_governing(rule, NULL, LINE, 2);
	expect_governing(rule, NULL, "<line tag='P-1' velocity='1 m/s' traced='no'/>", 3);
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_expect_str_eq(found->limits[1].aside, "not for this case");
	cr_expect_str_eq(found->limits[0].aside, "");
	/* Where it is not known whether it holds it matters only between the two figures, and then it is asked for. */
	cr_expect(of_line(rule, "<line tag='P-1' velocity='1 m/s'/>")->verdict == VERDICT_MEETS);
	cr_expect(of_line(rule, "<line tag='P-1' velocity='4 m/s'/>")->verdict == VERDICT_DEPARTS);
	found = of_line(rule, "<line tag='P-1' velocity='2.5 m/s'/>");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1, "%s", found->message);
	cr_expect_str_eq(found->missing[0].reason, "traced of P-1 is not stated");
	/* Both a word that surely differs and a condition that is unknown: it surely does not apply. */
	static const char narrow[] = VELOCITY(AT_MOST("3", "") AT_MOST("2", "name='w' when='$t' amine='DEA'"));
	cr_expect(of_line(narrow, "<line tag='P-1' velocity='2.5 m/s'/>")->verdict == VERDICT_MEETS);
	/* A word that fits and a condition that is unknown leaves it open. */
	static const char open[] = VELOCITY(AT_MOST("3", "") AT_MOST("2", "name='w' when='$t' amine='MDEA'"));
	cr_expect(of_line(open, "<line tag='P-1' velocity='2.5 m/s'/>")->verdict == VERDICT_NOT_JUDGED);
}

Test(weigh, a_doubtful_limit_that_never_governs_leaves_nothing_open)
{
	static const char context[] = VELOCITY(AT_MOST("3", "") AT_MOST("2", "name='w' when='$t' context='yes'"));
	cr_expect(of_line(context, "<line tag='P-1' velocity='2.5 m/s'/>")->verdict == VERDICT_MEETS);
	static const char says[] =
		VELOCITY(AT_MOST("3", "") "<limit says='slowly' source='memory' known='memory' when='$t'/>");
	cr_expect(of_line(says, "<line tag='P-1' velocity='2.5 m/s'/>")->verdict == VERDICT_MEETS);
}

Test(weigh, where_no_limit_applies_nothing_is_judged)
{
	const struct finding *found = of_line(VELOCITY(AT_MOST("3", "amine='DEA'")), LINE);
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && !found->governing, "%s", found->message);
	cr_expect_str_eq(
		found->missing[0].reason, "no limit of TST-001 can be compared with velocity of P-1 as stated");
	cr_expect_str_eq(found->missing[0].quantity, "velocity");
}

Test(weigh, without_a_value_no_limit_is_met_or_broken)
{
	const struct finding *found =
		of_line(VELOCITY(AT_MOST("3", "") AT_MOST("2", "name='w' when='$t'")), "<line tag='P-1'/>");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && !found->value);
	cr_expect_not_null(strstr(found->message, "flow of P-1 is not stated"), "%s", found->message);
	cr_expect(found->limits[0].met == PERHAPS && found->limits[1].met == PERHAPS);
	cr_expect_float_eq(found->limits[0].at, 3, 1e-12);
	cr_expect(found->limits[0].applied && !found->limits[1].applied);
	cr_expect(!found->limits[0].borderline && found->limits[0].margin <= 0 && found->limits[0].margin >= 0);
}

Test(weigh, words_beside_numbers_apply_and_are_neither_met_nor_broken)
{
	const struct finding *found = of_line(
		VELOCITY(AT_MOST("3", "") "<limit says='slow' name='w' source='memory' known='memory'/>"), LINE);
	cr_expect(found->verdict == VERDICT_MEETS && found->limits[1].applied && found->limits[1].met == PERHAPS);
	cr_expect_str_eq(found->limits[1].aside, "");
	cr_expect_float_eq(found->limits[1].margin, 0, 1e-12);
}

Test(weigh, a_limit_in_another_scale_is_put_aside_only_where_the_value_is_known)
{
	static const char rule[] =
		"<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test' judged='h'>"
		"<select kind='line'/><input name='h' quantity='hardness-weld' "
		"kind='hardness-brinell|hardness-vickers'/>"
		"<limit at-most='200 HBW' source='read' known='read'/>"
		"<limit at-most='248 HV' name='v' source='read' known='read'/>" TAIL;
	const struct finding *found = of_line(rule, "<line tag='P-1'/>");
	cr_expect(found->limits[0].applied && found->limits[1].applied);
	cr_expect_str_eq(found->limits[1].aside, "");
	found = of_line(rule, "<line tag='P-1' hardness-weld='190 HBW'/>");
	cr_expect(found->limits[0].applied && !found->limits[1].applied && found->limits[1].met == PERHAPS);
	cr_expect_str_eq(found->limits[1].aside, "in HV; the value is stated in HBW");
}

Test(weigh, a_bound_that_decides_nothing_is_told)
{
	const struct finding *found = of_line(VELOCITY(AT_MOST("2", "")), "<line tag='P-1' velocity='&lt;3 m/s'/>");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1, "%s", found->message);
	cr_expect_str_eq(found->missing[0].quantity, "velocity");
}

/* ---- which governs ---- */

Test(weigh, the_stricter_of_two_equals_governs_in_either_order)
{
	expect_governing(VELOCITY(AT_MOST("2", "") AT_MOST("1.5", "name='b'")), NULL, LINE, 1.5);
	expect_governing(VELOCITY(AT_MOST("1.5", "") AT_MOST("2", "name='b'")), NULL, LINE, 1.5);
	static const char *const pairs[][3] = {{"at-most", "below", "below"}, {"below", "at-most", "below"},
		{"at-least", "above", "above"}, {"above", "at-least", "above"}};
	for (size_t i = 0; i < COUNT(pairs); i++) {
		struct arena arena = {0};
		const char *rule = arena_format(&arena,
			VELOCITY("<limit %s='2 m/s' source='read' known='read' name='first'/>"
				 "<limit %s='2 m/s' source='read' known='read' name='second'/>"),
			pairs[i][0], pairs[i][1]);
		const struct finding *found = of_line(rule, LINE);
		bool second = strcmp(pairs[i][1], pairs[i][2]) == 0;
		cr_expect_str_eq(
			found->governing->limit->name, second ? "second" : "first", "%s, %s", pairs[i][0], pairs[i][1]);
		arena_release(&arena);
	}
	/* Two that say the same: the one that is first. */
	const struct finding *found =
		of_line(VELOCITY(AT_MOST("2", "name='first'") AT_MOST("2", "name='second'")), LINE);
	cr_expect_str_eq(found->governing->limit->name, "first");
	cr_expect(found->limits[0].governs && !found->limits[1].governs);
	found = of_line(VELOCITY("<limit below='2 m/s' source='read' known='read' name='first'/>"
				 "<limit below='2 m/s' source='read' known='read' name='second'/>"),
		LINE);
	cr_expect_str_eq(found->governing->limit->name, "first");
}

Test(weigh, the_narrower_governs_in_either_order_by_words_condition_and_place)
{
	expect_governing(VELOCITY(AT_MOST("2", "amine='MDEA'") AT_MOST("1", "name='b'")), NULL, LINE, 2);
	expect_governing(VELOCITY(AT_MOST("1", "") AT_MOST("2", "name='b' when='$t'")), NULL, LINE, 2);
	expect_governing(VELOCITY(AT_MOST("2", "name='b' when='$t'") AT_MOST("1", "")), NULL, LINE, 2);
	expect_governing(VELOCITY(AT_MOST("1", "") AT_MOST("2", "name='b' where='pipe'")), NULL, LINE, 2);
	/* Two places are no place in particular. */
	expect_governing(VELOCITY(AT_MOST("1", "") AT_MOST("2", "name='b' where='pipe tube'")), NULL, LINE, 1);
	/* Each counts: two of them before one. */
	expect_governing(
		VELOCITY(AT_MOST("1", "when='$t'") AT_MOST("2", "name='b' when='$t' where='pipe'")), NULL, LINE, 2);
	expect_governing(
		VELOCITY(AT_MOST("1", "amine='MDEA'") AT_MOST("2", "name='b' when='$t' amine='MDEA'")), NULL, LINE, 2);
	expect_governing(VELOCITY(AT_MOST("1", "amine='MDEA'") AT_MOST("2", "name='b' where='pipe' amine='MDEA'")),
		NULL, LINE, 2);
}

Test(weigh, what_was_read_goes_before_what_was_not_where_neither_is_stricter_or_narrower)
{
	expect_governing(VELOCITY(AT_MOST("2", "") FROM_MEMORY("1", "")), NULL, LINE, 2);
	expect_governing(VELOCITY(FROM_MEMORY("1", "") AT_MOST("2", "")), NULL, LINE, 2);
	/* The stricter read one governs over a narrower remembered one, in either order. */
	expect_governing(VELOCITY(FROM_MEMORY("2", "amine='MDEA'") AT_MOST("1", "")), NULL, LINE, 1);
	expect_governing(VELOCITY(AT_MOST("1", "") FROM_MEMORY("2", "amine='MDEA'")), NULL, LINE, 1);
	/* Of two remembered ones the stricter. */
	expect_governing(VELOCITY(FROM_MEMORY("2", "") FROM_MEMORY("1", "name='b'")), NULL, LINE, 1);
	/* A looser read one that is narrower governs over a stricter remembered one. */
	expect_governing(VELOCITY(FROM_MEMORY("1", "") AT_MOST("2", "amine='MDEA'")), NULL, LINE, 2);
}

/* ---- the choice does not hang on the order ---- */

enum { SET = 5, SETS = 3000 };

/* A row of numbers that is the same on every machine: the generator of Lehmer with the multiplier of Park and Miller (1988). */
static unsigned drawn(unsigned below)
{
	static unsigned long long state = 20261130;
	state = state * 48271 % 2147483647;
	return (unsigned)(state % below);
}

static void draw_limits(struct limit *limits, bool upper)
{
	static const struct condition words[] = {{"amine", "DEA"}, {"service", "rich"}};
	static const struct source sources[] = {{.key = "a"}, {.key = "b"}, {.key = "c"}};
	static const char *const clauses[] = {"1", "2", "3", "4", "5"};
	for (unsigned i = 0; i < SET; i++)
		limits[i] = (struct limit){.relation = (enum relation)(drawn(2) + (upper ? 0 : 2)),
			.value = {.si = 1 + drawn(4)},
			.reading = (enum reading)drawn(4),
			.narrowing = {words, drawn(3)},
			.governs = drawn(8) == 0,
			.overridden = drawn(2) == 0,
			.source = &sources[drawn(3)],
			.clause = clauses[i],
			.name = "",
			.where = drawn(4) == 0 ? "pipe" : ""};
}

/* The next permutation of the numbers below SET in the order of the dictionary; false after the last. */
static bool next_order(unsigned *order)
{
	unsigned i = SET - 1, k = SET - 1;
	while (i > 0 && order[i - 1] > order[i])
		i--;
	if (i == 0)
		return false;
	while (order[k] < order[i - 1])
		k--;
	unsigned swap = order[i - 1];
	order[i - 1] = order[k];
	order[k] = swap;
	for (unsigned a = i, b = SET - 1; a < b; a++, b--) {
		swap = order[a];
		order[a] = order[b];
		order[b] = swap;
	}
	return true;
}

/* What is never allowed, whichever governs. */
static void expect_sound(const struct limit *first, const struct limit *limits, bool strictest)
{
	bool upper = first->relation <= RELATION_BELOW;
	for (size_t i = 0; i < SET; i++) {
		const struct limit *other = &limits[i];
		double beyond = upper ? first->value.si - other->value.si : other->value.si - first->value.si;
		bool pin = first->governs && (!strictest || first->overridden);
		cr_assert(pin || !(other->governs && (!strictest || other->overridden)), "a pin holds");
		cr_assert(pin || !strictest || beyond <= 0, "the strictest governs");
		cr_assert(pin || strictest || first->reading == READING_READ || other->reading != READING_READ ||
				beyond <= 0,
			"never a looser unread over a stricter read");
	}
}

Test(weigh, the_governing_limit_is_the_same_in_every_order_of_the_file)
{
	size_t narrower = 0, orders = 0;
	for (unsigned n = 0; n < SETS; n++) {
		struct limit limits[SET];
		const struct catalogue catalogue = {.strictest = n % 3 == 0};
		unsigned order[SET] = {0, 1, 2, 3, 4};
		draw_limits(limits, n % 2 == 0);
		const struct limit *first = NULL;
		do {
			const struct limit *rows[SET];
			for (size_t i = 0; i < SET; i++)
				rows[i] = &limits[order[i]];
			const struct limit *governing = limit_that_governs(&catalogue, rows, SET);
			cr_assert_not_null(governing);
			first = first ? first : governing;
			cr_assert(governing == first, "set %u", n);
			orders++;
		} while (next_order(order));
		expect_sound(first, limits, catalogue.strictest);
		narrower += first->narrowing.count > 0;
	}
	cr_expect(orders == (size_t)120 * SETS && narrower > 0 && narrower < SETS, "%zu, %zu", orders, narrower);
	cr_expect_null(limit_that_governs(&(struct catalogue){.strictest = false}, NULL, 0));
}

/* The three that go round in pairs: read and strict; remembered, narrow, looser; remembered, less narrow, strictest. */
Test(weigh, three_limits_of_which_each_goes_before_the_next_end_in_one)
{
#define STRICT_READ AT_MOST("2", "")
#define NARROW_LOOSE FROM_MEMORY("3", "name='n' service='rich' amine='MDEA'")
#define NARROW_STRICT FROM_MEMORY("1", "name='s' service='rich'")
	expect_governing(VELOCITY(STRICT_READ NARROW_LOOSE), NULL, LINE, 2);
	expect_governing(VELOCITY(NARROW_LOOSE NARROW_STRICT), NULL, LINE, 3);
	expect_governing(VELOCITY(NARROW_STRICT STRICT_READ), NULL, LINE, 1);
	expect_governing(VELOCITY(STRICT_READ NARROW_LOOSE NARROW_STRICT), NULL, LINE, 1);
	expect_governing(VELOCITY(NARROW_STRICT STRICT_READ NARROW_LOOSE), NULL, LINE, 1);
	expect_governing(VELOCITY(NARROW_LOOSE NARROW_STRICT STRICT_READ), NULL, LINE, 1);
}

Test(weigh, a_pin_of_the_rule_holds_against_all_but_the_strictest)
{
	static const char rule[] = VELOCITY(FROM_MEMORY("2", "governs='yes'") AT_MOST("1", "amine='MDEA'"));
	static const char turned[] = VELOCITY(AT_MOST("1", "amine='MDEA'") FROM_MEMORY("2", "governs='yes'"));
	expect_governing(rule, NULL, LINE, 2);
	expect_governing(turned, NULL, LINE, 2);
	expect_governing(rule, "govern='strictest'>", LINE, 1);
	expect_governing(turned, "govern='strictest'>", LINE, 1);
	/* Two pins: the stricter read one is not put aside by a looser pinned one. */
	expect_governing(
		VELOCITY(FROM_MEMORY("2", "governs='yes' amine='MDEA'") AT_MOST("1", "governs='yes'")), NULL, LINE, 2);
}

Test(weigh, the_side_of_a_range_that_is_nearer_to_being_broken_is_shown)
{
	static const char range[] =
		VELOCITY("<limit at-least='1 m/s' source='read' known='read'/>" AT_MOST("2", "name='u'"));
	static const struct {
		const char *line;
		double figure;
	} rows[] = {
		{"<line tag='P-1' velocity='1.2 m/s'/>", 1},
		{"<line tag='P-1' velocity='1.8 m/s'/>", 2},
		{"<line tag='P-1' velocity='1.5 m/s'/>", 2},
		{"<line tag='P-1' velocity='0.5 m/s'/>", 1},
		{"<line tag='P-1' velocity='2.5 m/s'/>", 2},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		expect_governing(range, NULL, rows[i].line, rows[i].figure);
	/* Both broken, as no value can help: the lower one, whichever is further. */
	static const char closed[] =
		VELOCITY("<limit at-least='3 m/s' source='read' known='read'/>" AT_MOST("2", "name='u'"));
	expect_governing(closed, NULL, "<line tag='P-1' velocity='2.9 m/s'/>", 3);
	/* A bound that breaks the upper one decides, whatever it leaves open of the lower. */
	expect_governing(range, NULL, "<line tag='P-1' velocity='>2.5 m/s'/>", 2);
	cr_expect(trial_finding(&trial, "TST-001", "P-1")->verdict == VERDICT_DEPARTS);
}

/* ---- margins ---- */

Test(weigh, a_margin_counts_beyond_the_limit)
{
	static const struct {
		const char *relation, *velocity;
		double margin;
	} rows[] = {{"at-most", "2.5", 0.5}, {"at-most", "1.5", -0.5}, {"at-least", "2.5", -0.5},
		{"at-least", "1.5", 0.5}, {"below", "2", 0}, {"above", "2.0000000000001", 0}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found =
			of_line(arena_format(&arena, VELOCITY("<limit %s='2 m/s' source='read' known='read'/>"),
					rows[i].relation),
				arena_format(&arena, "<line tag='P-1' velocity='%s m/s'/>", rows[i].velocity));
		cr_expect_float_eq(found->limits[0].margin, rows[i].margin, 1e-12, "%s %s: %g", rows[i].relation,
			rows[i].velocity, found->limits[0].margin);
		arena_release(&arena);
	}
}

Test(weigh, a_gauge_limit_stands_on_the_air_of_the_site_and_an_absolute_one_does_not)
{
	static const char rule[] =
		"<rule id='TST-001' since='1' title='Title' force='required' why-force='test' judged='p'>"
		"<select kind='vessel'/><input name='p' quantity='design-pressure' kind='pressure'/>"
		"<limit at-most='5 barg' source='read' known='read'/>"
		"<limit at-most='7 bara' source='memory' known='memory'/>" TAIL;
	trial_open_with(&trial, rule, NULL);
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis barometric-pressure='0.75 bara'/>"
		"<vessel tag='V-1' design-pressure='5.2 barg'/></unit>");
	const struct finding *found = trial_finding(&trial, "TST-001", "V-1");
	cr_assert_not_null(found, "%s", trial_messages(&trial));
	cr_expect_float_eq(found->limits[0].at, 5.75e5, 1e-3, "%g", found->limits[0].at);
	cr_expect_float_eq(found->limits[0].margin, 0.2e5, 1e-3);
	cr_expect_float_eq(found->limits[1].at, 7e5, 1e-3, "%g", found->limits[1].at);
}

Test(weigh, the_width_of_a_value_reaches_the_limit_or_does_not)
{
	static const char rule[] = VELOCITY(AT_MOST("2", ""));
	cr_expect(of_line(rule, "<line tag='P-1' velocity='2.25 m/s +/- 0.25 m/s'/>")->limits[0].borderline);
	cr_expect_not(of_line(rule, "<line tag='P-1' velocity='2.25 m/s +/- 0.24 m/s'/>")->limits[0].borderline);
	cr_expect(of_line(rule, "<line tag='P-1' velocity='1.75 m/s +/- 0.25 m/s'/>")->limits[0].borderline);
}

Test(weigh, zero_on_a_limit_of_zero_is_on_it)
{
	cr_expect(of_line(
		VELOCITY("<limit at-most='0 m/s' source='read' known='read'/>"), "<line tag='P-1' velocity='0 m/s'/>")
			  ->limits[0]
			  .borderline);
	cr_expect(trial_finding(&trial, "TST-001", "P-1")->verdict == VERDICT_MEETS);
}

/* ---- assertions with words beside them ---- */

Test(weigh, words_beside_an_assertion_share_its_answer_and_the_first_that_applies_is_shown)
{
	static const char rule[] =
		"<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test'>"
		"<select kind='line'/><input name='t' quantity='traced' kind='yes-no'/>"
		"<limit says='traced, for others' source='read' known='read' name='o' amine='DEA'/>"
		"<limit says='shown only' source='read' known='read' name='c' context='yes'/>"
		"<limit says='traced' source='memory' known='memory' name='a'/>"
		"<limit says='traced throughout' source='memory' known='memory' name='b'/><assert test='$t'/>" TAIL;
	static const struct {
		const char *line;
		enum truth met;
	} rows[] = {{"<line tag='P-1' traced='yes'/>", YES}, {"<line tag='P-1' traced='no'/>", NO},
		{"<line tag='P-1'/>", PERHAPS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct finding *found = of_line(rule, rows[i].line);
		cr_assert(found && found->governing);
		cr_expect_str_eq(found->governing->limit->name, "a");
		static const bool governs[] = {false, false, true, false}, applied[] = {false, true, true, true};
		for (size_t k = 0; k < 4; k++) {
			cr_expect(found->limits[k].governs == governs[k] && found->limits[k].applied == applied[k],
				"%zu", k);
			cr_expect(found->limits[k].met == (k < 2 ? PERHAPS : rows[i].met), "row %zu, limit %zu", i, k);
		}
	}
	/* Read text that is for others or shown for context makes nothing firm. */
	cr_expect(of_line(rule, "<line tag='P-1' traced='no'/>")->certainty == CERTAINTY_SCREENING);
	cr_expect(of_line(rule, "<line tag='P-1'/>")->certainty == CERTAINTY_SCREENING);
}

/* ---- certainty ---- */

Test(weigh, a_read_limit_makes_firm_only_where_it_applies_and_governs_or_could)
{
	static const char context[] = VELOCITY(FROM_MEMORY("1", "") AT_MOST("1", "name='c' context='yes'"));
	static const char for_others[] = VELOCITY(FROM_MEMORY("1", "") AT_MOST("1", "name='o' amine='DEA'"));
	static const char read[] = VELOCITY(FROM_MEMORY("1", "") AT_MOST("1", "name='c'"));
	cr_expect(of_line(context, "<line tag='P-1' velocity='1.1 m/s'/>")->certainty == CERTAINTY_SCREENING);
	cr_expect(of_line(for_others, "<line tag='P-1' velocity='1.1 m/s'/>")->certainty == CERTAINTY_SCREENING);
	cr_expect(of_line(for_others, "<line tag='P-1'/>")->certainty == CERTAINTY_SCREENING);
	cr_expect(of_line(read, "<line tag='P-1' velocity='1.1 m/s'/>")->certainty == CERTAINTY_FIRM);
	/* No limit at all: an assertion of the rule's own is firm. */
	cr_expect(of_line("<rule id='TST-001' since='1' title='T' force='required' why-force='w'><select kind='line'/>"
			  "<input name='t' quantity='traced' kind='yes-no'/><assert test='$t'/>" TAIL,
			  "<line tag='P-1' traced='no'/>")
			  ->certainty == CERTAINTY_FIRM);
}

/* A figure as uncertain as itself is known to a factor: a hundred times the limit is not close to it, one and a half is. */
Test(weigh, what_is_known_to_a_factor_is_not_close_to_a_limit_that_it_exceeds_many_times)
{
	static const char read[] = VELOCITY(AT_MOST("1", "name='c'"));
	static const struct {
		const char *line;
		enum certainty certainty;
	} rows[] = {
		{"<line tag='P-1' velocity='90 m/s +/- 89.5 m/s'/>", CERTAINTY_FIRM},
		{"<line tag='P-1' velocity='1.5 m/s +/- 0.9 m/s'/>", CERTAINTY_BORDERLINE},
		{"<line tag='P-1' velocity='1.05 m/s +/- 0.1 m/s'/>", CERTAINTY_BORDERLINE},
		{"<line tag='P-1' velocity='0.5 m/s +/- 0.6 m/s'/>", CERTAINTY_BORDERLINE},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_eq(of_line(read, rows[i].line)->certainty, rows[i].certainty, "%s", rows[i].line);
}

#define RICH                                                                                                           \
	"<stream id='R' service='rich' temperature='105 degC' pressure='7 bara' flow='30 t/h' h2s='0.30' co2='0.05'/>"

/* A bubble pressure of the chemistry is known by a factor: a limit just inside of its low end is close, one just outside is not. */
Test(weigh, what_the_chemistry_gives_is_judged_by_both_its_ends)
{
	static const struct {
		double of_end;
		bool low;
		enum certainty certainty;
		enum verdict verdict;
	} rows[] = {{1.02, true, CERTAINTY_BORDERLINE, VERDICT_DEPARTS}, {0.98, true, CERTAINTY_FIRM, VERDICT_DEPARTS},
		{0.98, false, CERTAINTY_BORDERLINE, VERDICT_MEETS}, {1.02, false, CERTAINTY_FIRM, VERDICT_MEETS}};
	trial_open(&trial, NULL);
	trial_review_unit(&trial, "MDEA", RICH);
	const struct quantity *bubble = trial_value(&trial, "R", NULL, "bubble-pressure");
	const double low = quantity_low(bubble), high = quantity_high(bubble);

	cr_expect_gt(low, bubble->si - bubble->uncertainty, "as many times less, not as much less");
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const char *rule = arena_format(&arena,
			"<rule id='TST-001' since='1' title='T' force='recommended' why-force='w' judged='p'>"
			"<select kind='stream'/><input name='p' quantity='bubble-pressure' kind='pressure'/>"
			"<limit at-most='%.6g bara' source='read' known='read'/>" TAIL,
			rows[i].of_end * (rows[i].low ? low : high) / 1e5);
		const struct finding *found = of_unit(rule, NULL, RICH, "R");
		cr_expect_eq(found->verdict, rows[i].verdict, "row %zu", i);
		cr_expect_eq(found->certainty, rows[i].certainty, "row %zu", i);
		arena_release(&arena);
	}
}

Test(weigh, a_cap_is_put_before_or_behind_the_border)
{
	static const char *const caps[] = {"disputed", "screening"};
	static const enum certainty on_the_border[] = {CERTAINTY_DISPUTED, CERTAINTY_BORDERLINE},
				    beyond[] = {CERTAINTY_DISPUTED, CERTAINTY_SCREENING};
	for (size_t i = 0; i < COUNT(caps); i++) {
		struct arena arena = {0};
		const char *rule = arena_format(&arena,
			"<rule id='TST-001' since='1' title='T' force='advisory' why-force='w' judged='v' "
			"certainty='%s'>"
			"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>" AT_MOST("2", "")
				TAIL,
			caps[i]);
		cr_expect(of_line(rule, "<line tag='P-1' velocity='2 m/s'/>")->certainty == on_the_border[i], "%s",
			caps[i]);
		cr_expect(of_line(rule, "<line tag='P-1' velocity='9 m/s'/>")->certainty == beyond[i], "%s", caps[i]);
		arena_release(&arena);
	}
}
