/*
 * What a sound package states and is not held against it, with the like that is: slip streams, anions that add up to the total, heads
 * that nobody states, a wall that cannot be. All figures are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "reconcile/reconcile.h"
#include "record/item_list.h"
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

static void reviewed_in(const char *amine, const char *solvent, const char *body)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.013 "
			"bara'>"
			"<case id='normal'/></basis><solvent amine='%s' strength='40 wt%%' %s</solvent>%s</unit>",
			amine, solvent, body));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static void reviewed(const char *solvent, const char *body)
{
	reviewed_in("MDEA", solvent, body);
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
	reviewed(arena_format(&trial.arena, of_solution, "0.33 wt%", anions), "");
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

/* What goes on from a slip stream is the same share of the same circulation. */
Test(sound, a_slip_stream_goes_on)
{
	static const char filter[] = "<stream id='a' " LEAN " flow='30 t/h'/><stream id='s' from='a' " LEAN
				     " flow='6 t/h'/><stream id='t' from='s' " LEAN
				     " flow='6 t/h'/><filter tag='F' stream='t' slip='%s' flow='5.83 m3/h'/>";
	reviewed(">", arena_format(&trial.arena, filter, "20 %"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 0);
	reviewed(">", arena_format(&trial.arena, filter, "50 %"));
	cr_expect_eq(table_of_kind(trial.table, "contradiction").count, 1);
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

/* ---- good practice in another form ---- */

/* A draw at its lowest level needs D (1 + 2.3 Fr) over it: ANSI/HI 9.8, from memory. NPS 6 at 20 t/h: Fr 0.26; at 30 t/h: 0.39. */
Test(sound, a_draw_under_its_level_may_run_full)
{
	static const char draw[] =
		"<stream id='a' service='lean' from='R' to='E' temperature='120 degC' h2s='0.01' co2='0.01' "
		"density='960 "
		"kg/m3' flow='%s'/><regenerator tag='R' lean='a' %s/><line tag='L' from='R' to='E' stream='a' "
		"size='NPS 6' schedule='40S' place='hot lean draw' material='316L'/><exchanger tag='E' "
		"service='lean/rich'/>";
	static const struct {
		const char *flow, *level;
		enum verdict verdict;
	} rows[] = {{"20 t/h", "", VERDICT_MEETS}, {"35 t/h", "", VERDICT_NOT_JUDGED},
		{"35 t/h", "low-level='0.8 m'", VERDICT_MEETS}, {"35 t/h", "low-level='0.2 m'", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">", arena_format(&trial.arena, draw, rows[i].flow, rows[i].level));
		cr_expect_eq(verdict_of("VEL-007", "L"), rows[i].verdict, "row %zu", i);
	}
}

/* What a head adds to a design pressure counts where it is more than a twentieth of it. */
Test(sound, a_small_head_is_no_departure)
{
	static const char bottom[] = "<stream id='a' service='lean' from='R' to='E' temperature='120 degC' h2s='0.01' "
				     "co2='0.01' flow='30 t/h'/>"
				     "<regenerator tag='R' lean='a' design-pressure='4 barg' level='%s'/><line tag='L' "
				     "from='R' to='E' stream='a' "
				     "design-pressure='4 barg'/><exchanger tag='E' service='lean/rich'/>";
	reviewed(">", arena_format(&trial.arena, bottom, "1.4 m"));
	cr_expect_eq(verdict_of("ENV-005", "L"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, bottom, "4 m"));
	cr_expect_eq(verdict_of("ENV-005", "L"), VERDICT_DEPARTS);
}

/* Near the atmosphere 1.7 bar would be many times the pressure; at 5 barg it is what is usual. */
Test(sound, margin_over_operation_near_the_atmosphere)
{
	static const struct {
		const char *operating, *design;
		enum verdict verdict;
	} rows[] = {{"0.15 barg", "1.5 barg", VERDICT_MEETS}, {"0.15 barg", "0.4 barg", VERDICT_DEPARTS},
		{"1 barg", "2.1 barg", VERDICT_MEETS}, {"1 barg", "1.8 barg", VERDICT_DEPARTS},
		{"5 barg", "6.5 barg", VERDICT_DEPARTS}, {"5 barg", "6.8 barg", VERDICT_MEETS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">",
			arena_format(&trial.arena,
				"<vessel tag='V' service='lean' pressure='%s' design-pressure='%s'/>",
				rows[i].operating, rows[i].design));
		cr_expect_eq(verdict_of("ENV-002", "V"), rows[i].verdict, "row %zu", i);
	}
}

/* The relief of what is always open to a vessel speaks for it too, unless it opens above what the vessel is built for. */
Test(sound, a_relief_case_next_door_is_listed)
{
	static const char pair[] =
		"<stream id='o' service='acid gas' from='R' to='V' flow='1 t/h' temperature='60 degC' pressure='0.8 "
		"barg'/>"
		"<regenerator tag='R' acid-gas='o' design-pressure='4 barg'><relief-valve tag='P' set-pressure='4 "
		"barg'>"
		"<relief-case name='fire' covered='yes'/><relief-case name='blocked outlet' "
		"covered='yes'/><relief-case "
		"name='cooling failure' covered='yes'/><relief-case name='reflux failure' covered='yes'/><relief-case "
		"name='steam failure open' covered='yes'/></relief-valve></regenerator>"
		"<reflux-drum tag='V' inlet='o' design-pressure='%s'/>";
	reviewed(">", arena_format(&trial.arena, pair, "4 barg"));
	cr_expect_eq(verdict_of("RLF-024", "unit"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, pair, "3 barg"));
	cr_expect_eq(verdict_of("RLF-024", "unit"), VERDICT_NOT_JUDGED);
}

/* A capacity for liquid says nothing against a load of vapour that the study calls covered; unsaid it is asked for. */
Test(sound, a_relief_case_in_other_terms)
{
	static const char valve[] =
		"<absorber tag='C'><relief-valve tag='P' capacity='40 m3/h'><relief-case name='fire' "
		"required='2500 kg/h' %s/></relief-valve></absorber>";
	reviewed(">", arena_format(&trial.arena, valve, "covered='yes'"));
	cr_expect_eq(verdict_of("RLF-002", "P relief case fire"), VERDICT_NOT_APPLICABLE);
	reviewed(">", arena_format(&trial.arena, valve, ""));
	cr_expect_eq(verdict_of("RLF-002", "P relief case fire"), VERDICT_NOT_JUDGED);
}

/* A feed of which something may be hydrocarbon has a dew point that somebody has to state. */
Test(sound, what_cannot_condense_has_no_dew_point)
{
	static const char feed[] =
		"<gas id='g' role='feed' h2s='1.5 mol%%' co2='4 mol%%' hydrogen='3 mol%%' nitrogen='%s' water='5 "
		"mol%%'/><stream id='l' " LEAN " flow='20 t/h'/><absorber tag='C' gas='g' lean='l'/>";
	reviewed(">", arena_format(&trial.arena, feed, "86.5 mol%"));
	cr_expect_eq(verdict_of("TMP-013", "C"), VERDICT_NOT_APPLICABLE);
	reviewed(">", arena_format(&trial.arena, feed, "84 mol%"));
	cr_expect_eq(verdict_of("TMP-013", "C"), VERDICT_NOT_JUDGED);
}

/* What drains from a unit is no hotter than its hottest amine; a drum that is built for less can see too much. */
Test(sound, drains_are_no_hotter_than_the_amine)
{
	static const char drains[] =
		"<stream id='h' service='lean' temperature='122 degC' h2s='0.01' co2='0.01' flow='20 t/h'/>"
		"<stream id='c' service='lean' temperature='80 degC' h2s='0.01' co2='0.01' flow='20 t/h'/>"
		"<pump tag='P' service='sump' rated-flow='6 m3/h' rated-head='30 m' design-temperature='%s'/>";
	reviewed(">", arena_format(&trial.arena, drains, "150 degC"));
	cr_expect(trial_finding(&trial, "ENV-011", "P")->verdict == VERDICT_MEETS ||
		trial_finding(&trial, "ENV-011", "P")->idle);
	cr_expect_eq(verdict_of("PMP-005", "P"), VERDICT_NOT_APPLICABLE);
	reviewed(">", arena_format(&trial.arena, drains, "100 degC"));
	cr_expect(trial_finding(&trial, "ENV-011", "P")->verdict == VERDICT_NOT_JUDGED &&
		!trial_finding(&trial, "ENV-011", "P")->idle);
}

/* Filters and an allowance are what loose sulfide asks for; not where the package relies on a film, nor where the iron has a source. */
Test(sound, loose_sulfide_that_filters_catch)
{
	static const char unit[] =
		"<gas id='g' role='feed' h2s='5 mol%%' co2='2 mol%%'/>%s<exchanger tag='E' service='lean/rich' "
		"fouling-allowance='10 %%'/><filter tag='F' service='lean' slip='%s'/>";
	reviewed(">", arena_format(&trial.arena, unit, "", "100 %"));
	cr_expect_str_eq(trial_value(&trial, "unit", NULL, "film-claimed")->word, "no");
	cr_expect_float_eq(trial_value(&trial, "unit", NULL, "lean-filtered")->si, 1, 1e-9);
	reviewed(">", arena_format(&trial.arena, unit, "<claim says='film protects'/>", "5 %"));
	cr_expect_str_eq(trial_value(&trial, "unit", NULL, "film-claimed")->word, "yes");
	cr_expect_float_eq(trial_value(&trial, "unit", NULL, "lean-filtered")->si, 0.05, 1e-9);
}

/* Clean water of stated analysis is sampled where it is made, and a coupon in the overhead hangs at the top of the regenerator. */
Test(sound, monitoring_in_another_form)
{
	static const char watched[] =
		"<monitoring complete='yes'><coupon tag='K' place='%s'/><sample-point what='lean'/><sample-point "
		"what='rich'/><sample-point what='reflux'/></monitoring>";
	static const char water[] = "><make-up-water quality='%s'/>";
	reviewed(arena_format(&trial.arena, water, "condensate' dissolved-solids='2 mg/L"),
		arena_format(&trial.arena, watched, "overhead"));
	cr_expect_null(strstr(trial_value(&trial, "unit", NULL, "coupons-missing")->word, "regenerator top"));
	cr_expect_str_eq(trial_value(&trial, "unit", NULL, "samples-missing")->word, "none");
	reviewed(arena_format(&trial.arena, water, "raw' dissolved-solids='200 mg/L"),
		arena_format(&trial.arena, watched, "reflux"));
	cr_expect_not_null(strstr(trial_value(&trial, "unit", NULL, "coupons-missing")->word, "regenerator top"));
	cr_expect_str_eq(trial_value(&trial, "unit", NULL, "samples-missing")->word, "make-up");
}

/* ---- names ---- */

Test(sound, places_without_a_tag_are_named_once_with_their_lines)
{
	static const struct item items[] = {{.tag = "monitoring analysis (line 313)"}, {.tag = "V-1"},
		{.tag = "monitoring analysis (line 320)"}, {.tag = "T-1 internals (line 9)"}, {.tag = "V-2"},
		{.tag = "monitoring analysis (line 331)"}, {.tag = "V-3"}};
	const struct item *rows[COUNT(items)];
	for (size_t i = 0; i < COUNT(items); i++)
		rows[i] = &items[i];
	cr_expect_str_eq(item_list(&trial.arena, rows, COUNT(rows), 9),
		"monitoring analyses (lines 313, 320, 331), V-1, T-1 internals (line 9), V-2, V-3");
	cr_expect_str_eq(item_list(&trial.arena, rows, COUNT(rows), 2),
		"monitoring analyses (lines 313, 320, 331), V-1 and 3 more");
	cr_expect_str_eq(item_list(&trial.arena, rows, 0, 2), "");
}

/* A relief valve sized for something else is all that the gas of a lost level finds, unless the package says what relieves it. */
Test(sound, the_only_valve_of_a_drum_is_held_against_blow_by)
{
	static const char unit[] =
		"<gas id='g' role='feed' h2s='1 mol%%' co2='4 mol%%' methane='95 mol%%' temperature='40 degC' "
		"pressure='60 "
		"barg'/><stream id='r' service='rich' from='C' to='D' flow='50 t/h' temperature='55 degC' pressure='60 "
		"barg'/>"
		"<absorber tag='C' gas='g' rich='r' pressure='60 barg' design-pressure='70 barg'><valve tag='LV' "
		"to='D' "
		"role='letdown' cv='40 Cv' upstream-pressure='59 barg' downstream-pressure='5 barg'/></absorber>"
		"<flash-drum tag='D' rich='r' pressure='5 barg' design-pressure='8 barg'><relief-valve tag='P' "
		"set-pressure='8 barg' sized-for='fire' capacity='%s'>%s</relief-valve></flash-drum>";
	static const struct {
		const char *capacity, *relief_case;
		enum verdict verdict;
	} rows[] = {{"3 t/h", "", VERDICT_DEPARTS}, {"60 t/h", "", VERDICT_MEETS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">", arena_format(&trial.arena, unit, rows[i].capacity, rows[i].relief_case));
		cr_expect_eq(verdict_of("RLF-020", "LV"), rows[i].verdict, "row %zu", i);
	}
	reviewed(">",
		arena_format(&trial.arena, unit, "3 t/h",
			"</relief-valve><relief-case name='gas blow-by' covered='yes' "
			"because='a rupture disc'/><relief-valve tag='Q' sized-for='fire'>"));
	cr_expect(!trial_finding(&trial, "RLF-020", "LV") || verdict_of("RLF-020", "LV") != VERDICT_DEPARTS);
}

/* ---- figures as they are printed, and two customs of counting ---- */

/* 46 mm / 25.4 = 1.811 h, which "1.8 h" may be; 1.7 h is not, nor is 1 h the hour and a quarter of 32 mm. */
Test(sound, a_time_that_is_rounded_is_not_too_short)
{
	static const struct {
		const char *hold, *thickness;
		enum verdict relief, hold_time;
	} rows[] = {
		{"1.8 h", "46 mm", VERDICT_MEETS, VERDICT_MEETS},
		{"1.7 h", "46 mm", VERDICT_DEPARTS, VERDICT_NOT_APPLICABLE},
		{"1 h", "32 mm", VERDICT_DEPARTS, VERDICT_NOT_APPLICABLE},
		{"2.5 h", "90 mm", VERDICT_MEETS, VERDICT_DEPARTS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">",
			arena_format(&trial.arena,
				"<vessel tag='V' service='lean' material='carbon steel' temperature='115 degC' "
				"steamed-out='no' traced='no' pwht='yes' pwht-temperature='635 degC' pwht-hold='%s' "
				"pwht-hold-thickness='%s'/>",
				rows[i].hold, rows[i].thickness));
		cr_expect_eq(verdict_of("CRK-004", "V"), rows[i].relief, "row %zu", i);
		cr_expect_eq(verdict_of("CRK-012", "V"), rows[i].hold_time, "row %zu", i);
	}
}

/* pi 0.0254 m x 12 m x 200 = 191.5 m2 as 200 tubes of 12 m in all, twice that as 200 of 12 m a leg. */
Test(sound, tubes_bent_to_a_u_are_counted_in_two_ways)
{
	static const struct {
		const char *area, *bent;
		enum verdict verdict;
	} rows[] = {
		{"190 m2", "yes", VERDICT_MEETS},
		{"385 m2", "yes", VERDICT_MEETS},
		{"280 m2", "yes", VERDICT_DEPARTS},
		{"385 m2", "no", VERDICT_DEPARTS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">",
			arena_format(&trial.arena,
				"<reboiler tag='K' type='kettle' area='%s'><tube-side service='steam' tubes='200' "
				"tube-od='25.4 mm' tube-wall='2.11 mm' tube-length='12 m' u-tubes='%s'/></reboiler>",
				rows[i].area, rows[i].bent));
		cr_expect_eq(verdict_of("BAL-021", "K"), rows[i].verdict, "row %zu", i);
	}
}

/* 1.2 m, 0.9 m of level: 1.018 m3 in the shell, 1.244 m3 with the lower head: 30 and 37 min at 2.03 m3/h. */
Test(sound, a_time_held_with_or_without_the_head)
{
	static const struct {
		const char *time;
		enum verdict verdict;
	} rows[] = {{"30 min", VERDICT_MEETS}, {"37 min", VERDICT_MEETS}, {"22 min", VERDICT_DEPARTS},
		{"48 min", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		reviewed(">",
			arena_format(&trial.arena,
				"<stream id='r' service='reflux' flow='2.01 t/h' temperature='45 degC' pressure='4 "
				"barg'/><reflux-drum tag='V' reflux='r' orientation='vertical' diameter='1.2 m' "
				"length='3.2 m' level='0.9 m' residence-time='%s'/>",
				rows[i].time));
		cr_expect_eq(verdict_of("BAL-021", "V"), rows[i].verdict, "row %zu", i);
	}
}

/* pi/4 x 2^2 x 4.5 = 14.1 m3 as a drum that lies, 18 m3 as a pit. */
Test(sound, a_sump_that_lies_is_a_drum)
{
	static const char sump[] = "<sump tag='S' volume='%s' length='4.5 m' width='2.0 m' depth='2.0 m' %s/>";
	reviewed(">", arena_format(&trial.arena, sump, "14 m3", "orientation='horizontal'"));
	cr_expect_eq(verdict_of("BAL-021", "S"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, sump, "18 m3", "orientation='horizontal'"));
	cr_expect_eq(verdict_of("BAL-021", "S"), VERDICT_DEPARTS);
	reviewed(">", arena_format(&trial.arena, sump, "18 m3", ""));
	cr_expect_eq(verdict_of("BAL-021", "S"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, sump, "14 m3", ""));
	cr_expect_eq(verdict_of("BAL-021", "S"), VERDICT_DEPARTS);
}

/* Steam of 1.96 bara and 122 degC has P M / (R T) = 1.08 kg/m3 and a little more by its compressibility; acid gas has twice that. */
Test(sound, what_a_reboiler_boils_up_is_steam)
{
	static const char boil_up[] =
		"<gas id='a' role='acid gas' h2s='30 mol%%' co2='70 mol%%' water-saturated='no'/><reboiler "
		"tag='K'/><vessel tag='V'/>"
		"<stream id='s' service='acid gas' from='%s' density='%s' temperature='121.6 degC' pressure='0.95 "
		"barg'/>";
	reviewed(">", arena_format(&trial.arena, boil_up, "K", "1.09 kg/m3"));
	cr_expect_eq(verdict_of("BAL-015", "s"), VERDICT_MEETS);
	reviewed(">", arena_format(&trial.arena, boil_up, "K", "2.3 kg/m3"));
	cr_expect_eq(verdict_of("BAL-015", "s"), VERDICT_DEPARTS);
	reviewed(">", arena_format(&trial.arena, boil_up, "V", "1.09 kg/m3"));
	cr_expect_eq(verdict_of("BAL-015", "s"), VERDICT_DEPARTS);
}

/* Steam cannot empty the vessel that it heats; the letdown valve can. */
Test(sound, a_trip_may_close_the_steam_valve_alone)
{
	reviewed(">",
		"<reboiler tag='K'><trip tag='T-1' on='low level' closes='FV'/><valve tag='FV' "
		"role='control'/></reboiler>"
		"<vessel tag='V'><trip tag='T-2' on='low level' closes='LV'/></vessel>"
		"<line tag='L' from='V'><valve tag='LV' role='control'/></line>");
	cr_expect_eq(verdict_of("RLF-022", "T-1"), VERDICT_MEETS);
	cr_expect_eq(verdict_of("RLF-022", "T-2"), VERDICT_DEPARTS);
}

/* What a hired reclaimer could take out is not taken out while the salts rise. */
Test(sound, a_reclaimer_that_is_hired_for_a_campaign_does_not_run_now)
{
	static const char unit[] = "<reclaimer tag='R' type='vacuum' salts-removed='3 kg/h' permanent='%s'/>";
	static const char solvent[] = "inventory='90 t' salts-rise='80 ppmw'>";
	reviewed(solvent, arena_format(&trial.arena, unit, "yes"));
	cr_expect_eq(verdict_of("PRA-024", "solvent"), VERDICT_DEPARTS);
	reviewed(solvent, arena_format(&trial.arena, unit, "no"));
	cr_expect_eq(verdict_of("PRA-024", "solvent"), VERDICT_NOT_APPLICABLE);
}

/* What leaves over the weir of a kettle is not drawn from the bottom of the column. */
Test(sound, a_column_that_feeds_a_kettle_holds_nothing_for_the_pump)
{
	static const char column[] =
		"<stream id='l' service='lean' from='%s' flow='60 t/h' temperature='120 degC' pressure='1 barg'/>"
		"<reboiler tag='K' type='kettle'/><regenerator tag='C' lean='l' diameter='1.2 m' level='1.0 m'/>";
	reviewed(">", arena_format(&trial.arena, column, "C"));
	cr_expect_eq(verdict_of("CAP-008", "C"), VERDICT_DEPARTS);
	reviewed(">", arena_format(&trial.arena, column, "K"));
	cr_expect_eq(verdict_of("CAP-008", "C"), VERDICT_NOT_APPLICABLE);
}

/* A reclaimer that the description names to say that there is none is no equipment; that MEA has none is told of the solution. */
Test(sound, a_reclaimer_that_is_none_is_asked_for_nothing)
{
	static const char none[] = "<reclaimer tag='R' type='none'/>",
			  thermal[] = "<reclaimer tag='R' type='thermal'/>";
	reviewed_in("MEA", ">", none);
	cr_expect_eq(verdict_of("RBR-005", "solvent"), VERDICT_DEPARTS);
	cr_expect_null(trial_finding(&trial, "CRK-001", "R"));
	reviewed_in("MEA", ">", thermal);
	cr_expect_eq(verdict_of("RBR-005", "solvent"), VERDICT_MEETS);
	cr_expect_eq(verdict_of("CRK-001", "R"), VERDICT_NOT_JUDGED);
	reviewed_in("DEA", ">", none);
	cr_expect_eq(verdict_of("RBR-005", "solvent"), VERDICT_NOT_APPLICABLE);
}

/* The molar mass of a whole analysis may be stated with or without the water: 0.577 of 18.015 and 0.423 of 43.36 g/mol make 28.7. */
Test(sound, a_molar_mass_is_with_or_without_water_as_its_contents_say)
{
	static const char gas[] =
		"<gas id='g' role='other' flow='325.2 kmol/h' temperature='97.6 degC' pressure='0.6 barg' "
		"co2='39.45 mol%%' h2s='2.75 mol%%' water='57.71 mol%%' methane='0.09 mol%%' "
		"molar-mass='%s'/><stream id='s' gas='g' service='acid gas' flow='325.2 kmol/h' "
		"temperature='97.6 degC' pressure='0.6 barg'/>";
	static const char *const stated[] = {"28.7 g/mol", "43.36 g/mol"};
	for (size_t i = 0; i < COUNT(stated); i++) {
		reviewed(">", arena_format(&trial.arena, gas, stated[i]));
		const struct quantity *mass =
			table_get(trial.table, table_find(trial.table, "s"), EVERY_CASE, "mass-flow");
		cr_assert(mass && mass->known == COMPUTED, "%s", stated[i]);
		cr_expect_float_eq(mass->si * 3600, 325.2 * 28.7, 30, "%s: %g kg/h", stated[i], mass->si * 3600);
	}
}

/* What the chemistry does not cover no designer can answer: it is told how many checks that is, and asked of nobody. */
Test(sound, an_activator_is_asked_of_nobody)
{
	static const char body[] =
		"<gas id='f' role='feed' flow='60 MMscfd' temperature='36 degC' pressure='68 barg' "
		"h2s='0.3 mol%' co2='4.5 mol%' molar-mass='18.5 g/mol'/><stream id='l' service='lean' to='C' "
		"flow='90 t/h' "
		"temperature='45 degC' pressure='69 barg' h2s='0.002' co2='0.01'/><stream id='r' service='rich' "
		"from='C' "
		"flow='98 t/h' temperature='64 degC' pressure='68 barg' h2s='0.03' co2='0.4'/><absorber tag='C' "
		"gas='f' "
		"lean='l' rich='r' bottom-temperature='64 degC'/>";
	for (int activated = 0; activated < 2; activated++) {
		reviewed(activated ? "activated='yes'>" : "activated='no'>", body);
		size_t beyond = 0;
		for (size_t i = 0; i < trial.review->judgement.count; i++)
			beyond += finding_is_beyond(&trial.review->judgement.findings[i]);
		cr_expect_eq(beyond > 0, activated);
		for (size_t i = 0; i < trial.review->request_count; i++)
			cr_expect_null(strstr(trial.review->requests[i].reason, "activator"));
	}
}

/*
 * Nobody can state the density of a liquid that boils: an activated one is asked of nobody, of any other what its flash lacks. Where
 * only the line is said to be two-phase, the density calculated is that of the liquid: as such it runs at 0.5 m/s in L-2, and at
 * more than 5 m/s in L-3 (98 t/h, about 1080 kg/m3, bores of 254.5 and 77.9 mm of ASME B36.19M).
 */
Test(sound, the_liquid_of_a_boiling_solution_is_asked_of_nobody)
{
	static const char body[] =
		"<stream id='r' service='rich' flow='98 t/h' temperature='64 degC' pressure='9 bara' h2s='0.03' %s "
		"two-phase='yes' %s/>"
		"<stream id='s' service='rich' flow='98 t/h' temperature='64 degC' pressure='9 bara' h2s='0.03' %s/>"
		"<line tag='L-1' stream='r' size='NPS 10' schedule='40S' material='316L'/>"
		"<line tag='L-2' stream='s' size='NPS 10' schedule='40S' material='316L' two-phase='yes'/>"
		"<line tag='L-3' stream='s' size='NPS 3' schedule='40S' material='316L' two-phase='yes'/>";
	static const struct {
		const char *amine, *co2, *more, *reason;
	} rows[] = {
		{"MDEA' activated='yes", "co2='0.4'", "", "activator"},
		{"MDEA' activated='yes", "co2='0.4'", "vapour-fraction='1 wt%'", "activator"},
		{"MDEA' activated='yes", "co2='0.4'", "density='300 kg/m3'", "activator"},
		{"MDEA", "", "", "co2 of "},
		{"MDEA", "", "density='300 kg/m3'", "co2 of r"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' "
				"barometric-pressure='1.013 bara'>"
				"<case id='normal'/></basis><solvent strength='44 wt%%' amine='%s'/>%s</unit>",
				rows[i].amine,
				arena_format(&trial.arena, body, rows[i].co2, rows[i].more, rows[i].co2)));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct finding *finding = trial_finding(&trial, "VEL-011", "L-1");
		cr_assert(finding && finding->verdict == VERDICT_NOT_JUDGED, "%zu", i);
		cr_expect_not_null(
			strstr(finding->missing[0].reason, rows[i].reason), "%zu: %s", i, finding->missing[0].reason);
		cr_expect_eq(trial_finding(&trial, "VEL-011", "L-2")->verdict, VERDICT_NOT_APPLICABLE, "%zu", i);
		cr_expect_eq(trial_finding(&trial, "VEL-011", "L-3")->verdict, VERDICT_DEPARTS, "%zu", i);
	}
}
