/*
 * What force a departure has: that of the limits it departs from, and more several times beyond them; and limits held
 * as their source prints them. Rules of the test's own; all numbers are invented.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "judge_support.h"

TestSuite(force, .fini = suite_trial_end);

#define COMPUTED(attributes, limits)                                                                                   \
	"<rule id='TST-001' since='1' title='Title' why-force='test' judged='v' " attributes ">"                       \
	"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>" limits                            \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"

static enum force force_at(const char *rules, const char *velocity)
{
	struct arena arena = {0};
	const struct finding *found =
		judge_line(rules, arena_format(&arena, "<line tag='P-1' velocity='%s'/>", velocity));
	expect_verdict(found, VERDICT_DEPARTS);
	arena_release(&arena);
	return found->force;
}

/* Both figures are departed from, or the cautious one of a company alone would be: then it is not judged by that one at all. */
Test(force, a_companys_figure_governs_only_where_nothing_better_founded_stands_beside_it)
{
	static const char both[] = COMPUTED("consequence='loss of containment'",
		"<limit at-most='1 m/s' source='read' known='read' evidence='company'/>"
		"<limit at-most='2 m/s' source='memory' known='memory' evidence='recommended practice'/>");
	static const char alone[] = COMPUTED("consequence='loss of containment'",
		"<limit at-most='1 m/s' source='read' known='read' evidence='company'/>");
	expect_verdict(judge_line(both, "<line tag='P-1' velocity='1.5 m/s'/>"), VERDICT_MEETS);
	cr_expect_eq(force_at(both, "2.5 m/s"), FORCE_RECOMMENDED);
	cr_expect_eq(force_at(alone, "1.5 m/s"), FORCE_ADVISORY);
}

/* Economy above zero, physics at zero: the same rule asks for more where more is departed from. */
Test(force, a_departure_has_the_force_of_what_it_departs_from)
{
	static const char rule[] = COMPUTED("consequence='capacity'",
		"<limit at-least='4 m/s' source='read' known='read' evidence='practice' governs='yes'/>"
		"<limit at-least='2 m/s' source='read' known='read' evidence='code' name='code'/>");
	cr_expect_eq(force_at(rule, "3 m/s"), FORCE_ADVISORY);
	cr_expect_eq(force_at(rule, "1.9 m/s"), FORCE_RECOMMENDED);
}

Test(force, a_rule_that_names_its_force_keeps_it_whatever_it_rests_on)
{
	cr_expect_eq(force_at(COMPUTED("force='required' consequence='cost'",
				      "<limit at-most='1 m/s' source='read' known='read' evidence='practice'/>"),
			     "1.5 m/s"),
		FORCE_REQUIRED);
}

/* On either side of three times, above an upper limit and below a lower one. */
Test(force, several_times_beyond_an_advisory_limit_is_to_be_justified)
{
	static const char upper[] = RULE("TST-001", "advisory", "judged='v'",
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-most='1 m/s' source='read' known='read'/>");
	static const char lower[] = RULE("TST-001", "advisory", "judged='v'",
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-least='3 m/s' source='read' known='read'/>");
	static const char cost[] = RULE("TST-001", "advisory", "judged='v' consequence='cost'",
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-most='1 m/s' source='read' known='read'/>");
	static const char disputed[] = RULE("TST-001", "advisory", "judged='v' certainty='disputed'",
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-most='1 m/s' source='read' known='read'/>");
	cr_expect_eq(force_at(upper, "2.9 m/s"), FORCE_ADVISORY);
	cr_expect_eq(force_at(upper, "3.1 m/s"), FORCE_RECOMMENDED);
	cr_expect_eq(force_at(lower, "1.1 m/s"), FORCE_ADVISORY);
	cr_expect_eq(force_at(lower, "0.9 m/s"), FORCE_RECOMMENDED);
	cr_expect_eq(force_at(cost, "9 m/s"), FORCE_ADVISORY);
	cr_expect_eq(force_at(disputed, "9 m/s"), FORCE_ADVISORY);
}

/* A temperature of 120 degC is not four times one of 30: neither scale has a zero that counts. */
Test(force, degrees_are_not_counted_in_times)
{
	static const char rule[] = RULE("TST-001", "advisory", "judged='t'",
		"<select kind='line'/><input name='t' quantity='temperature' kind='temperature'/>"
		"<limit at-most='30 degC' source='read' known='read'/>");
	const struct finding *found = judge_line(rule, "<line tag='P-1' temperature='1200 degC'/>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect_eq(found->force, FORCE_ADVISORY);
}

/* ---- as printed ---- */

Test(force, a_departure_smaller_than_half_of_the_last_digit_is_none)
{
	static const struct {
		const char *limit, *velocity;
		enum verdict verdict;
	} rows[] = {
		{"at-most='5 ft/s' as-printed='yes'", "1.52 m/s", VERDICT_MEETS},
		{"at-most='5 ft/s' as-printed='yes'", "1.67 m/s", VERDICT_MEETS}, /* 5.48 ft/s */
		{"at-most='5 ft/s' as-printed='yes'", "1.69 m/s", VERDICT_DEPARTS},
		{"at-most='5 ft/s'", "1.53 m/s", VERDICT_DEPARTS},
		{"at-most='3.3 ft/s' as-printed='yes'", "1.02 m/s", VERDICT_MEETS}, /* 3.346 ft/s */
		{"at-most='3.3 ft/s' as-printed='yes'", "1.03 m/s", VERDICT_DEPARTS},
		{"at-least='20 ft/s' as-printed='yes'", "4.6 m/s",
			VERDICT_MEETS}, /* the zero that ends it is no digit */
		{"at-least='20 ft/s' as-printed='yes'", "4.5 m/s", VERDICT_DEPARTS},
	};
	struct arena arena = {0};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *rule =
			arena_format(&arena, VELOCITY("<limit %s source='read' known='read'/>"), rows[i].limit);
		const struct finding *found =
			judge_line(rule, arena_format(&arena, "<line tag='P-1' velocity='%s'/>", rows[i].velocity));
		cr_expect(found->verdict == rows[i].verdict, "%s, %s: %s", rows[i].limit, rows[i].velocity,
			verdict_word(found->verdict));
	}
	arena_release(&arena);
}

/* Within the digit it is on the border, not clear of it. */
Test(force, within_the_last_digit_a_value_is_borderline)
{
	const struct finding *found =
		judge_line(VELOCITY("<limit at-most='5 ft/s' as-printed='yes' source='read' known='read'/>"),
			"<line tag='P-1' velocity='1.6 m/s'/>");
	expect_verdict(found, VERDICT_MEETS);
	cr_expect_eq(found->certainty, CERTAINTY_BORDERLINE);
}
