/*
 * What a sound package states and is not held against it, with the like that is: slip streams, anions that add up to the total, heads
 * that nobody states, a wall that cannot be. All figures are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "reconcile/reconcile.h"
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

TestSuite(sound, .init = begin, .fini = end);

static void reviewed(const char *solvent, const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.013 "
			"bara'>"
			"<case id='normal'/></basis><solvent amine='MDEA' strength='40 wt%%' %s</solvent>%s</unit>",
			solvent, body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static enum verdict verdict_of(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	cr_assert_not_null(found, "%s of %s", rule, item);
	return found->verdict;
}

Test(sound, anions_that_add_up_to_the_total_are_not_more_than_it)
{
	static const char anions[] =
		"<anion name='formate' content='1200 ppmw'/><anion name='acetate' content='300 ppmw'/>"
		"<anion name='thiosulfate' content='1500 ppmw'/><anion name='sulfate' content='400 "
		"ppmw'/><anion name='chloride' content='100 ppmw'/>";
	static const char of_solution[] = "salts='%s' salts-basis='solution' salts-as='ions'>%s";
	reviewed(arena_format(&trial.arena, of_solution, "0.35 wt%", anions), "");
	cr_expect_eq(verdict_of("BAL-013", "solvent"), VERDICT_MEETS);
	reviewed(arena_format(&trial.arena, of_solution, "0.34 wt%", anions), "");
	cr_expect_eq(verdict_of("BAL-013", "solvent"), VERDICT_DEPARTS);
}

Test(sound, heads_that_nobody_states_leave_their_volume_open)
{
	static const char drum[] =
		"<reflux-drum tag='V' orientation='vertical' diameter='1.2 m' length='2.6 m' level='0.5 m' "
		"liquid-volume='%s' %s/>";
	reviewed(">", arena_format(&trial.arena, drum, "0.6 m3", ""));
	cr_expect_eq(verdict_of("BAL-021", "V"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, drum, "0.6 m3", "heads='2:1 elliptical'"));
	cr_expect_eq(verdict_of("BAL-021", "V"), VERDICT_DEPARTS);
	reviewed(">", arena_format(&trial.arena, drum, "0.4 m3", ""));
	cr_expect_eq(verdict_of("BAL-021", "V"), VERDICT_DEPARTS);
}

Test(sound, a_wall_that_cannot_be_is_a_slip_and_nothing_follows_from_it)
{
	static const char vessel[] =
		"<vessel tag='V' service='lean' material='carbon steel' temperature='115 degC' "
		"diameter='1.4 m' thickness='%s' pwht='yes' pwht-temperature='635 degC' pwht-hold='1 h'/>";
	reviewed(">", arena_format(&trial.arena, vessel, "2396 mm"));
	cr_expect_eq(verdict_of("BAL-021", "V"), VERDICT_DEPARTS);
	cr_expect_eq(verdict_of("CRK-004", "V"), VERDICT_NOT_JUDGED);
	reviewed(">", arena_format(&trial.arena, vessel, "100 mm"));
	cr_expect_eq(verdict_of("BAL-021", "V"), VERDICT_NOT_APPLICABLE);
	cr_expect_eq(verdict_of("CRK-004", "V"), VERDICT_DEPARTS); /* a wall of 100 mm is held for longer */
	reviewed(">", arena_format(&trial.arena, vessel, "12 mm"));
	cr_expect_eq(verdict_of("CRK-004", "V"), VERDICT_MEETS);
}

#define LEAN "service='lean' temperature='40 degC' h2s='0.01' co2='0.01' density='1030 kg/m3'"

/* A fifth of 30 t/h: of the circulation, whether the filter names the circulation or the slip itself. */
Test(sound, a_share_is_of_the_circulation)
{
	static const char filter[] = "<stream id='a' " LEAN " flow='30 t/h'/><stream id='s' from='a' " LEAN
				     " flow='%s'/><filter tag='F' stream='s' slip='20 %%' flow='%s'/>";
	reviewed(">", arena_format(&trial.arena, filter, "6 t/h", "5.83 m3/h"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 0);
	reviewed(">", arena_format(&trial.arena, filter, "6 t/h", "1.2 m3/h"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 1);
	reviewed(">", arena_format(&trial.arena, filter, "15 t/h", "2.91 m3/h"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 0);
}

/* Drawn from what a pump takes up it is a part; the only one that comes from a stream is the stream. */
Test(sound, a_slip_stream_is_no_continuation)
{
	static const char body[] = "<stream id='o' " LEAN " flow='40 t/h'/><stream id='c' " LEAN " flow='10 t/h'/>"
				   "<network><split tag='S' from='o' to='a c'/></network><stream id='a' " LEAN
				   " flow='30 t/h'/><stream id='d' " LEAN " flow='30 t/h'/>"
				   "<stream id='e' " LEAN " flow='30 t/h'/><stream id='s' from='d' " LEAN
				   " flow='6 t/h'/><pump tag='P' suction='a' discharge='d'/>%s";
	reviewed(">", arena_format(&trial.arena, body, "<pump tag='Q' suction='d' discharge='e'/>"));
	struct reconciliation drawn = reconcile_case(&trial.arena, table_overlay(&trial.arena, trial.table), 0);
	cr_expect_null(drawn.why_not, "%s", drawn.why_not);
	cr_expect_eq(drawn.accusation_count, 0);
	reviewed(">", arena_format(&trial.arena, body, ""));
	struct reconciliation whole = reconcile_case(&trial.arena, table_overlay(&trial.arena, trial.table), 0);
	cr_expect_null(whole.why_not, "%s", whole.why_not);
	cr_expect(whole.accusation_count > 0);
}
