/*
 * Remedies tried: what a change gives as a value, where it is made, what it clears and breaks, and the fewest of them that clear a unit.
 * Rules and units are the test's own, and all numbers are invented; what the search finds is held against trying every set.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "drawn.h"
#include "pipeline/stages.h"
#include "resolve/resolve.h"
#include "review_support.h"
#include "revamp/plan.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(remedy, .fini = end);

#define RULE(judged, select, body)                                                                                     \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test'" judged ">" select body          \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy>"

static const struct element *unit;

/* A unit of two cases with these elements, under rules of the test's own or (NULL) those of the program. */
static void open_unit(const char *rules, const char *body)
{
	if (rules)
		trial_open_with(&trial, rules, NULL);
	else
		trial_open(&trial, NULL);
	const char *text = arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis barometric-pressure='1 bara'><case id='n'/>"
		"<case id='s'/><document id='sheet' title='Data sheet'/></basis>"
		"<solvent amine='MDEA' strength='40 wt%%'/>%s</unit>",
		body);
	unit = element_parse(&trial.arena, "test.xml", text, strlen(text), trial.vocabulary, &trial.problems);
	cr_assert_not_null(unit, "%s", trial_messages(&trial));
	cr_assert_not_null(stages_resolve(&trial.arena, unit, &trial.problems), "%s", trial_messages(&trial));
}

static struct tried_list tried_of(const char *rules, const char *body)
{
	open_unit(rules, body);
	return remedies_try(&trial.arena, verdicts_open(&trial.arena, unit, trial.catalogue), ACTION_CONSIDER);
}

/* What the one change of the one finding says, or why it cannot be made. */
static const char *said(const char *rules, const char *body)
{
	struct tried_list list = tried_of(rules, body);
	cr_assert_eq(list.count, 1, "%zu changes", list.count);
	return list.rows[0].fault ? list.rows[0].fault : list.rows[0].remedy.says;
}

static const char *words_of(const struct tried *tried)
{
	const struct remedy_trial record = tried_record(tried);
	return trial_words(&trial.arena, &record);
}

/* ---- the value ---- */

#define AT(limit, set)                                                                                                 \
	RULE(" judged='t'", "<select kind='line'/>",                                                                   \
		"<input name='t' quantity='design-temperature' kind='temperature'/>"                                   \
		"<limit " limit " source='read' known='read'/>")                                                       \
	"<change><set attribute='design-temperature' " set "/></change></rule>"

#define LINE(words) "<line tag='L' " words "/>"

Test(remedy, a_number_comes_to_lie_just_inside_its_limit_in_the_unit_stated)
{
	static const struct {
		const char *rules, *line, *says;
	} rows[] = {
		{AT("at-most='82 degC'", "to='$limit'"), LINE("design-temperature='95 degC'"),
			"design-temperature of L: 82 degC"},
		{AT("below='82 degC'", "to='$limit'"), LINE("design-temperature='95 degC'"),
			"design-temperature of L: 81.9 degC"},
		{AT("at-least='82 degC'", "to='$limit'"), LINE("design-temperature='60 degC'"),
			"design-temperature of L: 82 degC"},
		{AT("above='82 degC'", "to='$limit'"), LINE("design-temperature='60 degC'"),
			"design-temperature of L: 82.1 degC"},
		{AT("at-most='82.27 degC'", "to='$limit'"), LINE("design-temperature='95 degC'"),
			"design-temperature of L: 82.2 degC"},
		{AT("at-most='82 degC'", "to='$limit'"), LINE("design-temperature='203 degF'"),
			"design-temperature of L: 179 degF"}, /* 82 degC is 179.6 degF */
		{AT("at-most='82 degC'", "to='$now - 20'"), LINE("design-temperature='95.5 degC'"),
			"design-temperature of L: 75.5 degC"},
		{AT("at-most='82 degC'", "is='70 degC'"), LINE("design-temperature='95 degC'"),
			"design-temperature of L: 70 degC"},
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_str_eq(said(rows[i].rules, rows[i].line), rows[i].says, "row %zu", i);
}

#define PRESSURE                                                                                                       \
	RULE("", "<select kind='vessel'/>",                                                                            \
		"<input name='p' quantity='design-pressure' kind='pressure'/><constant name='most' value='9.5 barg' "  \
		"kind='pressure' source='read' known='read'/><assert test='$p &lt;= $most'/>"                          \
		"<limit says='no more' source='read' known='read'/>")                                                  \
	"<change><set attribute='design-pressure' to='$most' toward='lower'/></change></rule>"

/* Gauge at the site's own barometric pressure, 1 bara: the constant of 9.5 barg is so at the standard one, 1.01325 bara. */
Test(remedy, a_pressure_is_written_in_the_unit_in_which_it_is_stated)
{
	cr_expect_str_eq(
		said(PRESSURE, "<vessel tag='V' design-pressure='12 barg'/>"), "design-pressure of V: 9.51 barg");
	cr_expect_str_eq(
		said(PRESSURE, "<vessel tag='V' design-pressure='12 bara'/>"), "design-pressure of V: 10.5 bara");
}

#define VELOCITY(set)                                                                                                  \
	RULE(" judged='v'", "<select kind='line'/>",                                                                   \
		"<input name='v' quantity='velocity' kind='velocity'/>"                                                \
		"<limit at-most='1.5 m/s' source='read' known='read'/>")                                               \
	"<change><set attribute=" set "/></change></rule>"

#define STREAM "<stream id='w' service='lean' flow='100 m3/h' temperature='40 degC' h2s='0.005' co2='0.003'/>"

/*
 * 100 m3/h in NPS 4 schedule 40 (bore 102.3 mm, ASME B36.10) run at 3.4 m/s, in NPS 6 (154.1 mm) at 1.49 m/s: from NPS 3 the next size is
 * taken twice. No heavier schedule slows it down: what clears nothing stays at the first step.
 */
Test(remedy, steps_of_the_table_of_pipes)
{
	cr_expect_str_eq(said(VELOCITY("'size' step='size-that-meets'"),
				 STREAM "<line tag='L' stream='w' size='NPS 4' schedule='40'/>"),
		"size of L: NPS 6");
	cr_expect_str_eq(said(VELOCITY("'size' step='next-size'"),
				 STREAM "<line tag='L' stream='w' size='NPS 3' schedule='40'/>"),
		"size of L: NPS 6");
	cr_expect_str_eq(said(VELOCITY("'schedule' step='next-schedule'"),
				 STREAM "<line tag='L' stream='w' size='NPS 4' schedule='40'/>"),
		"schedule of L: 80");
	cr_expect_str_eq(said(VELOCITY("'size' step='next-size'"), LINE("velocity='2 m/s'")),
		"size and schedule are not both known");
}

/* 120 degC times 0.497 (0.5, half a per cent beyond, in three digits) is 59.64 degC. */
Test(remedy, a_factor_says_what_it_comes_to)
{
	static const char half[] = AT("at-most='82 degC'", "times='0.5'");
	cr_expect_str_eq(said(half, LINE("design-temperature='120 degC'")),
		"design-temperature of L to 59.64 degC, 0.497 of what is stated");
	cr_expect_str_eq(said(half,
				 "<line tag='L' design-temperature='120 degC'><in case='s' "
				 "design-temperature='100 degC'/></line>"),
		"design-temperature of L to 59.64 degC (and the others alike), 0.497 of what is stated");
}

/* ---- what is only stated ---- */

#define HANDLED(changes)                                                                                               \
	RULE("", "<select kind='line'/>",                                                                              \
		"<input name='pwht' quantity='pwht' kind='yes-no'/><assert test='$pwht'/>"                             \
		"<limit says='treat' source='read' known='read'/>")                                                    \
	"<change>" changes "</change></rule>"
#define HIC "<set attribute='hic-tested' is='yes'/>"
#define PWHT "<set attribute='pwht' is='yes'/>"

/* A yes that needs showing, work, and both in one change. */
Test(remedy, what_is_only_stated_is_no_work)
{
	static const struct {
		const char *rule;
		bool works;
		size_t stated;
	} rows[] = {{HANDLED(HIC), false, 1}, {HANDLED(PWHT), true, 0}, {HANDLED(HIC PWHT), true, 1}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct tried_list list = tried_of(rows[i].rule, LINE("pwht='no' hic-tested='no'"));
		cr_assert_eq(list.count, 1);
		const struct remedy *remedy = &list.rows[0].remedy;
		cr_expect_eq(remedy->works, rows[i].works);
		cr_assert_eq(remedy->stated_count, rows[i].stated);
		if (!remedy->stated_count)
			continue;
		cr_expect_str_eq(remedy->stated[0].says, "hic-tested: yes");
		cr_expect_str_eq(remedy->stated[0].item, "L");
		cr_expect_str_eq(remedy->stated[0].by, "a certificate");
	}
}

/* Whatever a remedy sets to yes is in the table of what has to be shown and what is work. */
Test(remedy, every_yes_of_a_remedy_is_known_as_shown_or_as_work)
{
	trial_open(&trial, NULL);
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		for (size_t k = 0; k < rule->change_count; k++)
			for (size_t p = 0; p < rule->changes[k].part_count; p++) {
				const struct change_part *part = &rule->changes[k].parts[p];
				if (part->is && strcmp(part->is, "yes") == 0)
					cr_expect(remedy_proof(part->name), "%s: %s", rule->id, part->name);
			}
	}
	cr_expect_null(remedy_proof("temperature"));
	cr_expect_str_eq(remedy_proof("pwht"), "");
}

/* ---- where it is made ---- */

/* What the variant states as the design temperature of the line: its own, then of its cases and documents in their order. */
static const char *stated_after(const char *rules, const char *line)
{
	struct tried_list list = tried_of(rules, line);
	struct text all = text_in(&trial.arena);
	cr_assert_eq(list.count, 1);
	cr_assert_null(list.rows[0].fault, "%s", list.rows[0].fault);
	const struct element *built = variant_build(&trial.arena, &list.rows[0].remedy.edits, unit);
	const struct element *element = element_child(built, "line");
	text_add(&all, element_attribute_or(element, "design-temperature", "none"));
	for (size_t i = 0; i < element->child_count; i++)
		text_addf(&all, ", %s", element_attribute_or(element->children[i], "design-temperature", "none"));
	return all.data;
}

Test(remedy, a_number_is_changed_wherever_it_is_stated_beyond_it_and_nowhere_else)
{
	static const char most[] = AT("at-most='82 degC'", "to='$limit'"),
			  less[] = AT("at-most='82 degC'", "times='0.5'");
	cr_expect_str_eq(stated_after(most,
				 "<line tag='L' design-temperature='60 degC'><in case='s' "
				 "design-temperature='95 degC'/><stated by='sheet' design-temperature='90 degC'/>"
				 "<stated by='sheet' case='s' design-temperature='70 degC'/></line>"),
		"60 degC, 82 degC, 82 degC, 70 degC");
	cr_expect_str_eq(stated_after(most, "<line tag='L'><in case='s' design-temperature='95 degC'/></line>"),
		"none, 82 degC");
	cr_expect_str_eq(stated_after(less,
				 "<line tag='L' design-temperature='120 degC'><in case='s' "
				 "design-temperature='100 degC'/></line>"),
		"59.64 degC, 49.7 degC"); /* times 0.497: half a per cent beyond, in three digits */
}

#define TREATED                                                                                                        \
	RULE("", "<select kind='line|nozzle'/>",                                                                       \
		"<input name='pwht' quantity='pwht' kind='yes-no'/><assert test='$pwht'/>"                             \
		"<limit says='treat' source='read' known='read'/>")                                                    \
	"<change><set attribute='pwht' is='yes'/></change></rule>"

/* An owner's rule, and what it is part of, hand it down: the item's own statement goes before both. */
Test(remedy, what_is_handed_down_is_stated_by_the_item_itself)
{
	static const char owner[] =
		"<owner-rule kinds='line' quantity='pwht' is='no'/><line tag='L'/><line tag='M' pwht='yes'/>";
	static const char vessel[] = "<vessel tag='V' pwht='no'><nozzle name='N1'/></vessel>";
	struct tried_list list = tried_of(TREATED, owner);
	cr_assert_eq(list.count, 1);
	cr_expect(list.rows[0].clears_own, "%s", words_of(&list.rows[0]));
	list = tried_of(TREATED, vessel);
	cr_assert_eq(list.count, 1);
	cr_expect(list.rows[0].clears_own, "%s", words_of(&list.rows[0]));
}

Test(remedy, what_cannot_be_made_says_why)
{
	static const struct {
		const char *change, *why;
	} rows[] = {
		{"<set attribute='pwht' is='no'/>", "pwht of L is no already"},
		{"<set attribute='temperature' of='stream' is='40 degC'/>", "L names no stream"},
		{"<set attribute='design-temperature' to='$limit'/>", "limit is not known"},
		{"<drop attribute='grade'/>", "L states no grade"},
		{"<vary what='circulation' times='2'/>", "the description states no circulation"},
		{"<vary what='steam' times='2'/>", "the description states no steam"},
	};
	struct arena arena = {0}; /* a trial that is opened again gives back what it held */
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *rules = arena_format(&arena,
			RULE("", "<select kind='line'/>",
				"<input name='pwht' quantity='pwht' kind='yes-no'/><assert test='$pwht'/>"
				"<limit says='treat' source='read' known='read'/>") "<change>%s</change></rule>",
			rows[i].change);
		struct tried_list list = tried_of(rules, LINE("pwht='no'"));
		cr_assert_eq(list.count, 1);
		cr_expect_str_eq(list.rows[0].fault ? list.rows[0].fault : "made", rows[i].why, "row %zu", i);
	}
	arena_release(&arena);
}

/* ---- whole items, and the whole unit ---- */

#define HAS(change)                                                                                                    \
	RULE("", "<select kind='vessel'/>",                                                                            \
		"<input name='pwht' quantity='pwht' kind='yes-no'/><assert test='$pwht'/>"                             \
		"<limit says='treat' source='read' known='read'/>")                                                    \
	"<change>" change "</change></rule>"

Test(remedy, an_element_is_added_or_taken_out)
{
	struct tried_list list = tried_of(HAS("<remove/>"), "<vessel tag='V' pwht='no'/><vessel tag='W' pwht='yes'/>");
	cr_assert_eq(list.count, 1);
	cr_expect(list.rows[0].clears_own, "%s", words_of(&list.rows[0]));
	list = tried_of(HAS("<add element='nozzle' name='N-{item}'/>"), "<vessel tag='V' pwht='no'/>");
	cr_assert_eq(list.count, 1);
	cr_assert_null(list.rows[0].fault, "%s", list.rows[0].fault);
	const struct element *built = variant_build(&trial.arena, &list.rows[0].remedy.edits, unit);
	const struct element *nozzle = element_child(element_child(built, "vessel"), "nozzle");
	cr_assert_not_null(nozzle);
	cr_expect_str_eq(element_attribute_or(nozzle, "name", ""), "N-V");
	cr_expect(!list.rows[0].clears_own);
	cr_expect_str_eq(words_of(&list.rows[0]), "another nozzle of V, with name N-V: changes no finding");
}

#define LOADING(change)                                                                                                \
	RULE(" judged='l'", "<select kind='stream' service='rich'/>",                                                  \
		"<input name='l' quantity='h2s' kind='loading'/><limit at-most='0.4' source='read' known='read'/>")    \
	"<change>" change "</change></rule>"

Test(remedy, what_the_whole_unit_has_is_varied)
{
	static const char body[] =
		STREAM "<stream id='r' service='rich' flow='102 m3/h' temperature='60 degC' h2s='0.5' co2='0.1'/>";
	struct tried_list list =
		tried_of(LOADING("<vary what='circulation' times='$l div $limit'/><vary what='rich-loading' "
				 "times='$limit div $l'/>"),
			body);
	cr_assert_eq(list.count, 1);
	cr_expect(list.rows[0].clears_own, "%s", words_of(&list.rows[0]));
	const struct element *built = variant_build(&trial.arena, &list.rows[0].remedy.edits, unit);
	const struct element *lean = element_child(built, "stream");
	cr_expect_str_eq(element_attribute_or(lean, "flow", ""), "126 m3/h"); /* 1.25 x 1.005 in three digits, upward */
}

/* ---- the plan: changes that act on each other ---- */

#define HEAD(id)                                                                                                       \
	"<rule id='TST-" id "' since='1' title='Title' force='required' why-force='test'><select kind='line'/>"        \
	"<input name='metal' quantity='material' kind='word'/><input name='pwht' quantity='pwht' kind='yes-no'/>"      \
	"<input name='traced' quantity='traced' kind='yes-no'/>"
#define TAIL                                                                                                           \
	"<limit says='so' source='read' known='read'/><message>{item} departs</message><why>w</why><remedy>r</remedy>"

static const char in_alloy[] = HEAD("001") "<assert test=\"$metal = '316L'\"/>" TAIL
					   "<change><set attribute='material' is='316L'/></change></rule>";
static const char alloy_is_not_traced[] =
	HEAD("002") "<when test=\"$metal = '316L'\"/><assert test='not($traced)'/>" TAIL
		    "<change><set attribute='traced' is='no'/></change></rule>";
static const char alloy_or_treated[] = HEAD("001") "<assert test=\"$metal = '316L' or $pwht\"/>" TAIL
						   "<change><set attribute='material' is='316L'/></change><change><set "
						   "attribute='pwht' is='yes'/></change></rule>";
static const char both[] = HEAD("001") "<assert test=\"$metal = '316L' and $pwht\"/>" TAIL
				       "<change><set attribute='material' is='316L'/></change><change><set "
				       "attribute='pwht' is='yes'/></change></rule>";
static const char never[] = HEAD("003") "<assert test=\"$metal = 'titanium'\"/>" TAIL
					"<change><set attribute='material' is='316L'/></change></rule>";

static struct plan plan_of(const char *rules)
{
	open_unit(rules, "<line tag='L' material='carbon steel' pwht='no' traced='yes'/>");
	return plan_make(&trial.arena, unit, trial.catalogue, ACTION_RESOLVE);
}

/* The changes of the first set, in their order. */
static const char *first_set(const struct plan *plan)
{
	struct text text = text_in(&trial.arena);
	for (size_t i = 0; plan->set_count && i < plan->sets[0].count; i++)
		text_addf(&text, "%s%s", i ? ", " : "", plan->sets[0].changes[i]->says);
	return text.data;
}

Test(remedy, a_plan_mends_what_its_own_change_breaks)
{
	struct arena arena = {0};
	struct plan plan = plan_of(arena_format(&arena, "%s%s", in_alloy, alloy_is_not_traced));
	cr_assert_eq(plan.set_count, 1);
	cr_expect(plan.sets[0].clears);
	cr_expect_str_eq(first_set(&plan), "material of L: 316L, traced of L: no");
	arena_release(&arena);
}

Test(remedy, a_plan_prefers_a_change_that_breaks_nothing)
{
	struct arena arena = {0};
	struct plan plan = plan_of(arena_format(&arena, "%s%s", alloy_or_treated, alloy_is_not_traced));
	cr_assert_eq(plan.set_count, 1);
	cr_expect(plan.sets[0].clears);
	cr_expect_str_eq(first_set(&plan), "pwht of L: yes");
	arena_release(&arena);
}

Test(remedy, a_plan_tries_two_changes_of_one_finding_together)
{
	struct plan plan = plan_of(both);
	cr_assert_eq(plan.set_count, 1);
	cr_expect(plan.sets[0].clears);
	cr_expect_eq(plan.left_out, 0);
	cr_expect_str_eq(first_set(&plan), "material of L: 316L, pwht of L: yes");
}

Test(remedy, what_no_change_clears_is_said_and_left_out)
{
	struct arena arena = {0};
	struct plan plan = plan_of(arena_format(&arena, "%s%s", alloy_or_treated, never));
	cr_expect_eq(plan.goal_count, 2);
	cr_expect_eq(plan.left_out, 1);
	cr_expect_str_eq(plan.goals[1].left_out, "tried, and it stays: material of L: 316L");
	cr_assert_eq(plan.set_count, 2);
	cr_expect(plan.sets[0].clears && plan.sets[1].clears);
	cr_expect_eq(plan.sets[0].left[ACTION_RESOLVE], 1);
	arena_release(&arena);
}

Test(remedy, a_unit_without_goals_needs_no_plan)
{
	open_unit(in_alloy, "<line tag='L' material='316L' pwht='no' traced='yes'/>");
	struct plan plan = plan_make(&trial.arena, unit, trial.catalogue, ACTION_JUSTIFY);
	cr_expect_eq(plan.goal_count, 0);
	cr_expect_eq(plan.set_count, 0);
}

/* ---- the plan, against every set ---- */

/* Does this set of changes, reviewed in full, clear every goal that any of them clears, with nothing new of that kind? */
static bool set_clears(const struct plan *plan, const size_t *choices, size_t count, size_t set)
{
	struct arena another = {0};
	struct variant edits = variant_in(&another);
	for (size_t c = 0; c < count; c++)
		if (set >> c & 1)
			variant_append(&edits, &plan->tried.rows[choices[c]].remedy.edits);
	struct verdict_turns turns =
		verdicts_in_full(plan->verdicts, &another, variant_build(&another, &edits, plan->verdicts->unit));
	size_t cleared = 0;
	bool brings = turns.fault != NULL;
	for (size_t i = 0; i < turns.count; i++)
		brings = brings || (turns.rows[i].after <= plan->least && turns.rows[i].before > plan->least);
	for (size_t g = 0; g < plan->goal_count; g++)
		for (size_t i = 0; !plan->goals[g].left_out && i < turns.count; i++)
			cleared += turns.rows[i].rule == plan->goals[g].finding->rule &&
				strcmp(turns.rows[i].item, plan->goals[g].finding->item->tag) == 0 &&
				turns.rows[i].after > plan->least && turns.rows[i].after != ACTION_STATE;
	arena_release(&another);
	return !brings && cleared == plan->goal_count - plan->left_out;
}

enum { CHOICES_MOST = 12 };

/* The changes tried that clear a goal, each once; more than are tried here: 0. */
static size_t choices_of(const struct plan *plan, size_t choices[CHOICES_MOST])
{
	size_t count = 0;
	for (size_t i = 0; i < plan->tried.count; i++) {
		const struct tried *tried = &plan->tried.rows[i];
		bool any = false;
		for (size_t k = 0; !tried->fault && tried->same_as == i && k < tried->turns.count; k++)
			any = any || tried->turns.rows[k].before <= plan->least;
		if (any && count == CHOICES_MOST)
			return 0;
		if (any)
			choices[count++] = i;
	}
	return count;
}

/* The least number of changes of which a set clears the unit, by trying every set; SIZE_MAX: none does. */
static size_t least_by_trying(const struct plan *plan, const size_t *choices, size_t count)
{
	for (size_t size = 0; size <= count; size++)
		for (size_t set = 0; set < (size_t)1 << count; set++)
			if ((size_t)__builtin_popcountll(set) == size && set_clears(plan, choices, count, set))
				return size;
	return SIZE_MAX;
}

static const char *one_of(unsigned *seed, const char *const *words, size_t count)
{
	return words[drawn(seed) % count];
}

/* A small unit of lines, a pump, a cooler and a vessel with random faults. */
static const char *random_body(struct arena *arena, unsigned seed)
{
	static const char *const metals[] = {"carbon steel", "316L"}, *const answers[] = {"yes", "no"},
				 *const sizes[] = {"NPS 3", "NPS 4", "NPS 6"},
				 *const parts[] = {"bronze", "316", "carbon steel"},
				 *const temperatures[] = {"45 degC", "85 degC", "115 degC"};
	struct text body = text_in(arena);
	text_addf(&body,
		"<stream id='w' service='lean' flow='%u m3/h' temperature='%s' h2s='0.005' co2='0.01'/>"
		"<stream id='r' service='rich' flow='62 m3/h' temperature='%s' h2s='0.2' co2='0.2'/>",
		40 + drawn(&seed) % 60, one_of(&seed, temperatures, 3), one_of(&seed, temperatures, 2));
	for (unsigned i = 0; i < 2; i++)
		text_addf(&body,
			"<line tag='L-%u' stream='%s' size='%s' schedule='40' material='%s' pwht='%s' steamed-out='%s' "
			"steam-out-temperature='140 degC'/>",
			i, i ? "r" : "w", one_of(&seed, sizes, 3), one_of(&seed, metals, 2), one_of(&seed, answers, 2),
			one_of(&seed, answers, 2));
	text_addf(&body,
		"<pump tag='P' service='lean' casing='%s' impeller='%s'/><vessel tag='V' service='rich' material='%s' "
		"pwht='%s' design-pressure='7 barg' design-temperature='120 degC'><relief-valve tag='PSV' "
		"set-pressure='%u barg'/></vessel>",
		one_of(&seed, parts, 3), one_of(&seed, parts, 3), one_of(&seed, metals, 2), one_of(&seed, answers, 2),
		6 + drawn(&seed) % 3);
	return body.data;
}

/* As many units as PLANS says (make plans); the suite tries fewer. */
Test(remedy, the_plan_is_as_small_as_trying_every_set_finds)
{
	enum { UNITS = 3 };
	const char *asked = getenv("PLANS");
	unsigned units = asked ? (unsigned)strtoul(asked, NULL, 10) : UNITS, compared = 0, larger = 0;
	struct arena arena = {0};
	for (unsigned seed = 1; compared < units && seed < 20 * units; seed++) {
		size_t choices[CHOICES_MOST];
		open_unit(NULL, random_body(&arena, seed * 2654435761u));
		struct plan plan = plan_make(&trial.arena, unit, trial.catalogue, ACTION_JUSTIFY);
		size_t count = choices_of(&plan, choices);
		if (!count || (!asked && count > 6))
			continue;
		size_t least = least_by_trying(&plan, choices, count);
		bool clears = plan.set_count && plan.sets[0].clears;
		compared++;
		larger += least != SIZE_MAX && (!clears || plan.sets[0].count > least);
		cr_expect(least == SIZE_MAX || (clears && plan.sets[0].count <= least),
			"unit %u: %zu changes, where %zu do", seed, clears ? plan.sets[0].count : 0, least);
		for (size_t s = 0; s < plan.set_count; s++)
			cr_expect_eq(plan.sets[s].count, plan.sets[0].count);
	}
	arena_release(&arena);
	cr_expect_eq(compared, units);
	if (asked)
		fprintf(stderr, "%u units of up to %d changes: %u plans are larger than they need to be\n", compared,
			CHOICES_MOST, larger);
}
