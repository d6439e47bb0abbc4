/*
 * What a profile changes in a rule, and what the review says of it. Rules and profiles of the test's own; all numbers are
 * invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "judge/profile.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(profile, .fini = end);

static const char rule[] = "<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test' "
			   "judged='v'><select kind='line'/>"
			   "<input name='v' quantity='velocity' kind='velocity'/>"
			   "<limit at-most='2 m/s' source='read' known='read' governs='yes'/>"
			   "<limit at-most='1.5 m/s' source='read' known='read' name='narrow' clause='4.1'/>"
			   "<limit at-most='1.2 m/s' source='memory' known='memory'/>"
			   "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>";

#define OWN "<source key='own' author='Own' title='Own specification' known='read' year='2024' edition='2nd edition'/>"

/* The rule under a profile; the changes it notes, one a line, with their reasons. */
static const char *changes(const char *profile)
{
	trial_open_with(&trial, rule, profile);
	const char *all = "";
	for (size_t i = 0; i < trial.catalogue->change_count; i++) {
		const struct profile_change *change = &trial.catalogue->changes[i];
		cr_expect_str_eq(change->rule->id, "TST-001");
		all = arena_format(
			&trial.arena, "%s%s%s%s\n", all, change->what, *change->why ? ": " : "", change->why);
	}
	return all;
}

static const struct limit *limit(size_t i)
{
	cr_assert(i < trial.catalogue->rules[0].limit_count);
	return &trial.catalogue->rules[0].limits[i];
}

Test(profile, without_one_nothing_is_changed)
{
	cr_expect_str_eq(changes(NULL), "");
	cr_expect(limit(0)->governs && !limit(0)->overridden && trial.catalogue->rules[0].limit_count == 3);
}

Test(profile, a_limit_is_found_by_its_name_before_its_source)
{
	cr_expect_str_eq(changes("><override rule='TST-001' limit='narrow' governs='yes' why='w'/>"),
		"at most 1.5 m/s (4.921 ft/s) (A, 4.1) governs: w\n");
	cr_expect(!limit(0)->governs && limit(1)->governs && limit(1)->overridden && !limit(0)->overridden);
	/* Of two limits of one source its key means the first. */
	cr_expect_str_eq(changes("><override rule='TST-001' limit='read' governs='no'/>"),
		"at most 2 m/s (6.562 ft/s) (A) no longer governs by rule\n");
	cr_expect(!limit(0)->governs && !limit(1)->governs && limit(0)->overridden);
	cr_expect_str_eq(changes("><override rule='TST-001' limit='memory' governs='yes'/>"),
		"at most 1.2 m/s (3.937 ft/s) (B) governs\n");
	cr_expect(limit(2)->governs && !limit(0)->governs);
}

Test(profile, a_pin_that_stands_already_is_said_without_more)
{
	cr_expect_str_eq(
		changes("><override rule='TST-001' limit='read' governs='yes'/>"), "at most 2 m/s (6.562 ft/s) (A)\n");
	cr_expect(limit(0)->governs);
}

Test(profile, a_number_is_replaced_or_added_in_each_of_its_relations)
{
	static const struct {
		const char *relation, *words;
		enum relation is;
	} rows[] = {{"at-most", "at most", RELATION_AT_MOST}, {"below", "below", RELATION_BELOW},
		{"at-least", "at least", RELATION_AT_LEAST}, {"above", "above", RELATION_ABOVE}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const char *said = changes(arena_format(&arena,
			">" OWN
			"<override rule='TST-001' limit='narrow' %s='1 m/s' source='own' known='read' clause='7'/>",
			rows[i].relation));
		cr_expect_str_eq(said,
			arena_format(&arena,
				"%s 1 m/s (3.281 ft/s) (Own 2024, 2nd edition, 7) in place of at most 1.5 m/s "
				"(4.921 ft/s) (A)\n",
				rows[i].words));
		cr_expect(limit(1)->relation == rows[i].is && limit(1)->overridden &&
			trial.catalogue->rules[0].limit_count == 3);
		said = changes(arena_format(&arena,
			">" OWN "<override rule='TST-001' limit='own' %s='3 m/s' source='own' known='secondary' "
			"governs='yes'/>",
			rows[i].relation));
		cr_expect_str_eq(said,
			arena_format(&arena, "%s 3 m/s (9.843 ft/s) (Own 2024, 2nd edition) is added and governs\n",
				rows[i].words));
		cr_expect(trial.catalogue->rules[0].limit_count == 4 && limit(3)->relation == rows[i].is);
		cr_expect(limit(3)->governs && !limit(0)->governs && limit(3)->reading == READING_SECONDARY);
		arena_release(&arena);
	}
}

Test(profile, the_same_number_from_another_source_is_no_other_number)
{
	cr_expect_str_eq(
		changes(">" OWN
			"<override rule='TST-001' limit='narrow' at-most='1.5 m/s' source='own' known='read'/>"),
		"at most 1.5 m/s (4.921 ft/s) (Own 2024, 2nd edition)\n");
	cr_expect_str_eq(
		changes(">" OWN
			"<override rule='TST-001' limit='narrow' at-most='1.8 m/s' source='own' known='read'/>"),
		"at most 1.8 m/s (5.906 ft/s) (Own 2024, 2nd edition) in place of at most 1.5 m/s (4.921 ft/s) (A)\n");
}

Test(profile, a_force_is_set_with_its_reason)
{
	cr_expect_str_eq(changes("><override rule='TST-001' force='required' why='here'/>"),
		"required, by itself recommended: here\n");
	cr_expect(trial.catalogue->rules[0].force == FORCE_REQUIRED);
	cr_expect_str_eq(trial.catalogue->rules[0].why_force, "here");
	cr_expect_str_eq(changes("><override rule='TST-001' force='advisory'/>"), "advisory, by itself recommended\n");
	cr_expect_str_eq(trial.catalogue->rules[0].why_force, "the profile says so");
}
