/*
 * What the commands for a revamp rest on: descriptions with values replaced, places where a verdict turns, two descriptions
 * side by side, replies read back. Figures are calculated here from the descriptions, or follow from the definitions.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/stages.h"
#include "record/round.h"
#include "resolve/resolve.h"
#include "revamp/compare.h"
#include "revamp/headroom.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

/* ---- a value times a factor ---- */

Test(revamp, values_are_scaled_as_written, .fini = end)
{
	static const struct {
		const char *written;
		double factor;
		const char *expected;
	} rows[] = {
		{"97.4 t/h", 2, "194.8 t/h"},
		{"120 m3/h", 1.35, "162 m3/h"},
		{"<5 ppmw", 2, "<10 ppmw"},
		{"\u22645 ppmw", 2, "\u226410 ppmw"},
		{"100 +/- 5 t/h", 2, "200 +/- 10 t/h"},
		{"100 +/- 5 % t/h", 2, "200 +/- 5 % t/h"},
		{"0.006", 0.5, "0.003"},
		{"1e2 kg/h", 3, "300 kg/h"},
		{"none", 2, NULL},
		{"", 2, NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *scaled = variant_scaled(&trial.arena, rows[i].written, rows[i].factor);
		cr_expect(text_same(scaled, rows[i].expected), "'%s' times %g is '%s'", rows[i].written, rows[i].factor,
			scaled ? scaled : "nothing");
	}
}

/* ---- where a verdict turns ---- */

/* A line that states its own velocity: the quantity is whatever the test makes of x. */
struct shaped {
	double (*velocity)(double x);
};

static const struct element *at_shape(struct arena *arena, double x, void *data)
{
	const struct shaped *shaped = data;
	struct problems problems = {.arena = arena};
	const char *design = arena_format(arena,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><line tag='L' material='carbon steel' velocity='%.15g "
		"m/s'/></unit>",
		shaped->velocity(x));
	return element_parse(arena, "shape.xml", design, strlen(design), trial.vocabulary, &problems);
}

static const char one_rule[] =
	"<rule id='TST-001' since='1' title='Velocity' force='recommended' why-force='test' judged='v'>"
	"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
	"<limit at-most='1.5 m/s' source='read' clause='c' known='read' confidence='high'/>"
	"<message>{v}</message><why>w</why><remedy>r</remedy>"
	"<example verdict='departs' v='2 m/s'/><example verdict='meets' v='1 m/s'/><example verdict='not "
	"judged'/></rule>";

static struct scan scan_shape(double (*velocity)(double), const double *grid, size_t count)
{
	static struct shaped shaped;
	static struct scan_setup setup;
	shaped.velocity = velocity;
	trial_open_with(&trial, one_rule, NULL);
	setup = (struct scan_setup){.arena = &trial.arena,
		.catalogue = trial.catalogue,
		.at = at_shape,
		.data = &shaped,
		.grid = grid,
		.count = count,
		.tolerance = 1e-6};
	return scan_run(&setup);
}

static double straight(double x)
{
	return 1.1 * x;
}

static double valley(double x) /* below 1.5 only between 1.52 and 1.72 */
{
	return 1.4 + 10 * (x - 1.62) * (x - 1.62);
}

static double high_valley(double x) /* never below 1.5 */
{
	return 1.51 + 10 * (x - 1.62) * (x - 1.62);
}

static double step(double x)
{
	return x < 1.234567 ? 1 : 4;
}

static const double grid[] = {0, 0.5, 1, 1.5, 2, 2.5, 3};
enum { GRID = COUNT(grid) };

static void expect_turns(const struct scan *scan, const double *at, size_t count)
{
	cr_assert_eq(scan->track_count, 1);
	const struct track *track = &scan->tracks[0];
	cr_assert_eq(track->turn_count, count, "%zu turns", track->turn_count);
	for (size_t i = 0; i < count; i++)
		cr_expect_float_eq(track->turns[i].at, at[i], 1e-5, "turn %zu at %.8f", i, track->turns[i].at);
}

Test(revamp, a_turn_is_located, .fini = end)
{
	struct scan scan = scan_shape(straight, grid, GRID);
	expect_turns(&scan, (const double[]){1.5 / 1.1}, 1);
	cr_expect(scan.tracks[0].turns[0].to == POINT_DEPARTS);
}

Test(revamp, a_jump_is_located_by_halving, .fini = end)
{
	struct scan scan = scan_shape(step, grid, GRID);
	expect_turns(&scan, (const double[]){1.234567}, 1);
}

/* The whole window lies between two points of the grid, at both of which the limit is departed from. */
Test(revamp, both_turns_of_a_valley_between_points_are_found, .fini = end)
{
	struct scan scan = scan_shape(valley, grid, GRID);
	expect_turns(&scan, (const double[]){1.62 - 0.1, 1.62 + 0.1}, 2);
}

Test(revamp, a_valley_that_does_not_reach_the_limit_has_no_turns, .fini = end)
{
	struct scan scan = scan_shape(high_valley, grid, GRID);
	expect_turns(&scan, NULL, 0);
}

/* ---- headroom ---- */

static enum point_verdict stand_now(const struct element *unit, const struct limit_row *row)
{
	struct problems problems = {.arena = &trial.arena};
	struct assessed assessed = stages_judge(&trial.arena, unit, trial.catalogue, &problems);
	cr_assert_not_null(assessed.table);
	for (size_t i = 0; i < assessed.judgement.count; i++) {
		const struct finding *finding = &assessed.judgement.findings[i];
		if (finding->rule == row->track->rule && strcmp(finding->item->tag, row->track->item) == 0)
			return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_ACCEPTED
				? POINT_DEPARTS
				: POINT_CLEAR;
	}
	return POINT_CLEAR;
}

/* The review itself, at a hundredth below and above each factor. */
static void expect_flips(const char *path, enum driver driver, size_t least)
{
	trial_open(&trial, NULL);
	const struct element *unit = element_read(&trial.arena, path, trial.vocabulary, &trial.problems);
	const struct table *table = stages_table(&trial.arena, unit, true, &trial.problems);
	struct headroom headroom = headroom_of(&trial.arena, unit, table, trial.catalogue, driver, false);
	size_t flips = 0;
	for (size_t i = 0; i < headroom.limit_count; i++) {
		const struct limit_row *row = &headroom.limits[i];
		if (!row->has_factor)
			continue;
		enum point_verdict below =
			stand_now(headroom_at(&trial.arena, unit, headroom.driven, NULL, 0.99 * row->factor), row);
		enum point_verdict above =
			stand_now(headroom_at(&trial.arena, unit, headroom.driven, NULL, 1.01 * row->factor), row);
		cr_expect(below != POINT_DEPARTS && above == POINT_DEPARTS, "%s %s at %.4f does not flip",
			row->track->rule->id, row->track->item, row->factor);
		cr_expect(row->passed == (row->factor < 1) || row->track->turn_count > 1, "%s %s at %.4f",
			row->track->rule->id, row->track->item, row->factor);
		flips++;
	}
	cr_expect(flips >= least, "%zu limits", flips);
}

Test(revamp, the_review_flips_at_every_factor_of_circulation, .fini = end)
{
	expect_flips("designs/cobble-hythe.xml", DRIVER_CIRCULATION, 10);
}

Test(revamp, the_review_flips_at_every_factor_of_throughput, .fini = end)
{
	expect_flips("designs/curlew-spit.xml", DRIVER_THROUGHPUT, 2);
}

/* Rich velocity in 6-P-2201 is 1.787 m/s by the flow stated, and the limit 1.5: the factor is the ratio, since nothing else moves. */
Test(revamp, the_factor_of_a_velocity_is_its_ratio_and_the_next_size_moves_it_by_the_bore, .fini = end)
{
	trial_open(&trial, NULL);
	const struct element *unit =
		element_read(&trial.arena, "designs/cobble-hythe.xml", trial.vocabulary, &trial.problems);
	const struct table *table = stages_table(&trial.arena, unit, true, &trial.problems);
	struct headroom headroom = headroom_of(&trial.arena, unit, table, trial.catalogue, DRIVER_CIRCULATION, true);
	const struct quantity *velocity = table_get(table, table_find(table, "6-P-2201"), 0, "velocity");
	const struct limit_row *row = NULL;
	for (size_t i = 0; i < headroom.limit_count; i++)
		if (strcmp(headroom.limits[i].track->rule->id, "VEL-002") == 0 &&
			strcmp(headroom.limits[i].track->item, "6-P-2201") == 0)
			row = &headroom.limits[i];
	cr_assert_not_null(row);
	cr_expect_float_eq(row->factor, 1.5 / velocity->si, 1e-5);
	cr_expect_str_eq(row->operating_case, "revamp"); /* of the three the largest flow */
	cr_assert(row->move_count >= 1 && strstr(row->moves[0].what, "NPS 8"), "%s", row->moves[0].what);
	/* ASME B36.10M, schedule 40: NPS 6 has a bore of 154.06 mm, NPS 8 one of 202.72 mm. */
	double wider = 202.72 / 154.06;
	cr_expect_float_eq(row->moves[0].factor, row->factor * wider * wider, 1e-3);
}

/* ---- comparison ---- */

static struct comparison compare_files(const struct element *base, const struct element *revamp)
{
	static struct differences differences;
	const struct resolved_unit was = {base, resolve(&trial.arena, base, &trial.problems)};
	const struct resolved_unit is = {revamp, resolve(&trial.arena, revamp, &trial.problems)};
	cr_assert(was.table && is.table, "%s", trial_messages(&trial));
	const struct review *before = stages_review(&trial.arena, "base.xml", &was, trial.catalogue);
	const struct review *after = stages_review(&trial.arena, "revamp.xml", &is, trial.catalogue);
	differences = differences_of(&trial.arena, base, revamp);
	return compare_reviews(&trial.arena, before, after, &differences);
}

static const struct element *read_file(const char *path)
{
	return element_read(&trial.arena, path, trial.vocabulary, &trial.problems);
}

static const struct element *read_unit(const char *body)
{
	const char *design = arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.01325 bara'/>"
		"<solvent amine='DEA' strength='30 wt%%'/>%s</unit>",
		body);
	return element_parse(&trial.arena, "test.xml", design, strlen(design), trial.vocabulary, &trial.problems);
}

static const struct change_row *row_of(const struct comparison *comparison, const char *rule, const char *item)
{
	for (size_t i = 0; i < comparison->count; i++)
		if (strcmp(comparison->rows[i].rule->id, rule) == 0 && strcmp(comparison->rows[i].item, item) == 0)
			return &comparison->rows[i];
	return NULL;
}

static bool has_input(const struct change_row *row, const char *item, const char *name)
{
	for (size_t i = 0; i < row->input_count; i++)
		if (strcmp(row->inputs[i]->item, item) == 0 && strcmp(row->inputs[i]->name, name) == 0)
			return true;
	return false;
}

Test(revamp, the_demo_revamp_brings_new_findings_each_with_its_cause, .fini = end)
{
	static const struct {
		const char *rule, *item;
		enum change change;
		const char *of, *input;
		enum input_group group; /* that turns it by itself */
	} rows[] = {
		{"VEL-006", "6-P-2205", CHANGE_NEW, "lean-cold", "flow", GROUP_FLOW},
		{"TMP-002", "E-222 tube side", CHANGE_NEW, "rich-hot", "temperature", GROUP_CONDITIONS},
		{"TMP-006", "E-225", CHANGE_NEW, "E-225", "steam-pressure", GROUP_CONDITIONS},
		{"VEL-014", "6-P-2208", CHANGE_NEW, "6-P-2208", "", GROUP_ITEMS},
		{"CRK-002", "10-P-2204", CHANGE_RESOLVED, "10-P-2204", "pwht", GROUP_MATERIAL},
		{"VEL-005", "10-P-2204", CHANGE_RESOLVED, "10-P-2204", "size", GROUP_SIZE},
	};
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_file("designs/cobble-hythe.xml"), read_file("designs/cobble-hythe-revamp.xml"));
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct change_row *row = row_of(&comparison, rows[i].rule, rows[i].item);
		cr_assert_not_null(row, "%s %s", rows[i].rule, rows[i].item);
		cr_expect(row->change == rows[i].change, "%s %s is %s", rows[i].rule, rows[i].item,
			change_word(row->change));
		cr_expect(has_input(row, rows[i].of, rows[i].input), "%s %s", rows[i].rule, rows[i].item);
		for (int g = 0; g < INPUT_GROUPS; g++)
			cr_expect(row->parts[g].turns == (g == (int)rows[i].group), "%s %s: %s", rows[i].rule,
				rows[i].item, group_word((enum input_group)g));
	}
	/* 1.785 m/s in NPS 6 at 120 m3/h; 35 % more is 2.41: all of it is the flow's. */
	const struct change_row *lean = row_of(&comparison, "VEL-006", "6-P-2205");
	cr_assert(lean && lean->before && lean->after && lean->before->value && lean->after->value);
	cr_expect_float_eq(lean->after->value->si / lean->before->value->si, 1.35, 1e-6);
	cr_expect_float_eq(lean->parts[GROUP_FLOW].moved, lean->total, 1e-9);
	cr_expect_str_eq(row_of(&comparison, "CRK-002", "10-P-2204")->item_before, "8-P-2204");
	for (size_t i = 0; i < comparison.count; i++)
		cr_expect(comparison.rows[i].change != CHANGE_NONE &&
			strcmp(comparison.rows[i].rule->id, "WHS-001") != 0);
	cr_expect(comparison.counts[CHANGE_NONE] > 10);
}

/* Another solvent brings other limits for the same value: one that went away is no improvement, and the review says which came. */
Test(revamp, a_swap_of_the_solvent_hands_the_value_to_another_rule, .fini = end)
{
	static const struct {
		const char *rule, *item, *other;
		enum change change;
		enum verdict verdict; /* of the other */
	} rows[] = {
		{"VEL-008", "E-222 tube side", "VEL-009", CHANGE_RESOLVED, VERDICT_DEPARTS},
		{"VEL-009", "E-222 tube side", "VEL-008", CHANGE_NEW, VERDICT_DEPARTS},
		{"CRK-002", "8-P-2204", "CRK-004", CHANGE_RESOLVED, VERDICT_MEETS},
		{"LOD-002", "rich-cold", "LOD-003", CHANGE_RESOLVED, VERDICT_MEETS},
	};
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_file("designs/cobble-hythe.xml"), read_file("designs/cobble-hythe-mdea.xml"));
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct change_row *row = row_of(&comparison, rows[i].rule, rows[i].item);
		cr_assert(row && row->instead, "%s %s", rows[i].rule, rows[i].item);
		cr_expect(row->change == rows[i].change, "%s %s", rows[i].rule, change_word(row->change));
		cr_expect_str_eq(row->instead->rule->id, rows[i].other);
		cr_expect(row->instead->verdict == rows[i].verdict);
		if (row->change == CHANGE_RESOLVED)
			cr_expect(change_resolution(&comparison, row) == RESOLUTION_NOT_APPLICABLE);
	}
	/* Met by a lower content, not by another rule. */
	const struct change_row *formate = row_of(&comparison, "LOD-013", "solvent anion formate");
	cr_assert_not_null(formate);
	cr_expect(!formate->instead && change_resolution(&comparison, formate) == RESOLUTION_MET);
	cr_expect_eq(comparison.resolutions[RESOLUTION_MET] + comparison.resolutions[RESOLUTION_NOT_APPLICABLE] +
			comparison.resolutions[RESOLUTION_REMOVED],
		comparison.counts[CHANGE_RESOLVED]);
	for (size_t i = 0; i < comparison.count; i++)
		cr_expect(comparison.rows[i].input_count > 0, "%s %s: no input", comparison.rows[i].rule->id,
			comparison.rows[i].item);
}

/* A revamp that says less: what was met and cannot be judged now is told, and what goes with its item as well. */
Test(revamp, what_was_met_and_lacks_its_data_is_no_longer_judged, .fini = end)
{
	trial_open(&trial, NULL);
	struct comparison comparison = compare_files(
		read_unit("<stream id='rich' service='rich' flow='60 m3/h' temperature='60 degC' h2s='0.3' co2='0.02' "
			  "two-phase='no'/><line tag='L' stream='rich' size='NPS 8' schedule='40' material='carbon "
			  "steel'/>"
			  "<line tag='M' stream='rich' size='NPS 4' schedule='40' material='carbon steel'/>"),
		read_unit("<stream id='rich' service='rich' temperature='60 degC' h2s='0.3' co2='0.02' "
			  "two-phase='no'/><line tag='L' stream='rich' size='NPS 8' schedule='40' material='carbon "
			  "steel'/>"));
	const struct change_row *met = row_of(&comparison, "VEL-002", "L"), *gone = row_of(&comparison, "VEL-002", "M");
	cr_assert(met && gone);
	cr_expect(met->before->verdict == VERDICT_MEETS && met->change == CHANGE_UNJUDGED);
	cr_expect(gone->change == CHANGE_RESOLVED && change_resolution(&comparison, gone) == RESOLUTION_REMOVED);
}

Test(revamp, metal_kept_at_new_conditions_stands_out, .fini = end)
{
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_file("designs/cobble-hythe.xml"), read_file("designs/cobble-hythe-revamp.xml"));
	const struct kept_row *tubes = NULL;
	for (size_t i = 0; i < comparison.kept_count; i++)
		if (strcmp(comparison.kept[i].item->tag, "E-222 tube side") == 0)
			tubes = &comparison.kept[i];
	cr_assert_not_null(tubes);
	cr_expect_str_eq(tubes->material, "carbon steel");
	cr_expect(tubes->findings >= 2); /* outlet temperature, velocity */
	for (size_t i = 0; i < tubes->change_count; i++)
		if (strcmp(tubes->changes[i].name, "metal-temperature") == 0)
			cr_expect_float_eq(tubes->changes[i].after - tubes->changes[i].before, 6, 1e-9);
}

Test(revamp, a_unit_compared_with_itself_has_nothing_to_say, .fini = end)
{
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_file("designs/tern-quay.xml"), read_file("designs/tern-quay.xml"));
	cr_expect_eq(comparison.differences->count, 0);
	cr_expect_eq(comparison.count, 0);
	cr_expect_eq(comparison.kept_count, 0);
	cr_expect(comparison.counts[CHANGE_NONE] > 100);
}

static const char rich_line[] =
	"<stream id='rich' service='rich' flow='%s' temperature='60 degC' h2s='0.3' co2='0.02'/>"
	"<line tag='L' stream='rich' size='%s' schedule='40' material='carbon steel'/>";

/*
 * 60 m3/h in NPS 8 runs at 0.52 m/s. Three times the flow, or NPS 4, would each be beyond 1.5 m/s by itself, so that neither put
 * back alone heals it. v = 4 Q / (pi D2): with both, the parts are those of the product and leave something over.
 */
Test(revamp, what_only_groups_together_explain_is_left_over, .fini = end)
{
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_unit(arena_format(&trial.arena, rich_line, "60 m3/h", "NPS 8")),
			read_unit(arena_format(&trial.arena, rich_line, "180 m3/h", "NPS 4")));
	const struct change_row *row = row_of(&comparison, "VEL-002", "L");
	cr_assert_not_null(row);
	cr_expect(row->change == CHANGE_NEW && row->together);
	double before = row->before->value->si, after = row->after->value->si;
	double flow = after - after / 3, size = after - 3 * before;
	cr_expect_float_eq(row->parts[GROUP_FLOW].moved, flow, 1e-6 * after);
	cr_expect_float_eq(row->parts[GROUP_SIZE].moved, size, 1e-6 * after);
	cr_expect_float_eq(row->remainder, (after - before) - flow - size, 1e-6 * after);
}

/* A metal that is kept: what it passes now, and what was done to it that the base does not have. */
Test(revamp, a_kept_metal_tells_what_it_passes_and_what_was_done_to_it, .fini = end)
{
	static const char unit[] =
		"<gas id='G' role='feed' pressure='60 barg' h2s='%s' co2='5 mol%%'/><absorber tag='C' gas='G' "
		"material='carbon steel' pwht='yes'/><vessel tag='V' service='lean' material='carbon steel' pwht='yes' "
		"temperature='%s' traced='no' steamed-out='no'%s</vessel>";
	trial_open(&trial, NULL);
	struct comparison comparison =
		compare_files(read_unit(arena_format(&trial.arena, unit, "20 ppmv", "70 degC", ">")),
			read_unit(arena_format(&trial.arena, unit, "1 mol%", "90 degC",
				" pwht-covers-all='no'><repair name='tap' work='hot tap'/>")));
	cr_assert_eq(comparison.kept_count, 2);
	cr_expect_str_eq(comparison.kept[0].crossed, "sour, lightly sour before");
	cr_expect_str_eq(comparison.kept[1].crossed,
		"its metal passes 82.0 degC; its stress relief counts no longer: treated, but not all its welds; V "
		"repair "
		"tap is not in the base");
	comparison = compare_files(read_unit(arena_format(&trial.arena, unit, "1 mol%", "70 degC", ">")),
		read_unit(arena_format(&trial.arena, unit, "2 mol%", "75 degC", ">")));
	for (size_t i = 0; i < comparison.kept_count; i++)
		cr_expect_str_eq(comparison.kept[i].crossed, "");
}

/* What is written otherwise and means the same is no difference; a case that only one of the two overrides is one. */
Test(revamp, values_are_compared_and_not_their_spelling, .fini = end)
{
	trial_open(&trial, NULL);
	const struct element *base =
		read_unit("<stream id='a' service='rich' flow='120.0 t/h' temperature='60 degC'/>");
	const struct element *same =
		read_unit("<stream id='b' was='a' service='rich' flow='120000 kg/h' temperature='60.0 degC'/>");
	struct differences none = differences_of(&trial.arena, base, same);
	cr_expect_eq(none.count, 0);
	const struct element *other = read_unit("<stream id='a' service='rich' flow='121 t/h' temperature='60 degC'/>");
	struct differences one = differences_of(&trial.arena, base, other);
	cr_assert_eq(one.count, 1);
	cr_expect(one.rows[0].group == GROUP_FLOW);
}

Test(revamp, an_override_that_only_the_base_has_is_put_back, .fini = end)
{
	static const char unit[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis><case id='n'/><case id='s'/></basis>"
		"<stream id='a' service='rich' flow='100 t/h' temperature='60 degC'>%s</stream></unit>";
	trial_open(&trial, NULL);
	const char *with = arena_format(&trial.arena, unit, "<in case='s' flow='130 t/h' temperature='70 degC'/>");
	const char *without = arena_format(&trial.arena, unit, "<in case='s' temperature='70 degC'/>");
	const char *bare = arena_format(&trial.arena, unit, "");
	const struct element *base =
		element_parse(&trial.arena, "b.xml", with, strlen(with), trial.vocabulary, &trial.problems);
	const char *const texts[] = {without, bare};
	for (size_t i = 0; i < 2; i++) {
		const struct element *revamp = element_parse(
			&trial.arena, "r.xml", texts[i], strlen(texts[i]), trial.vocabulary, &trial.problems);
		struct differences differences = differences_of(&trial.arena, base, revamp);
		const struct element *back = difference_put_back(&trial.arena, &differences, GROUP_FLOW);
		const struct table *table = stages_table(&trial.arena, back, true, &trial.problems);
		cr_assert_not_null(table, "%s", trial_messages(&trial));
		const struct quantity *flow = table_get(table, table_find(table, "a"), 1, "flow");
		cr_expect_float_eq(flow->si, 130 / 3.6, 1e-9);
	}
}

/* ---- rounds ---- */

static const struct round_row *round_row(const struct round *round, const char *id)
{
	static const struct round_row none = {.state = ROUND_STATES, .id = "", .reply = "", .why = ""};
	for (size_t i = 0; i < round->count; i++)
		if (strcmp(round->rows[i].id, id) == 0)
			return &round->rows[i];
	return &none;
}

static const char sheet[] = "Action list;of;the last round\r\n"
			    "Id;Action;Value;Answer;Reply;Status\r\n"
			    "CRK-002/8-P-2204/metal-temperature;Resolve;;design changed;new line, relieved;answered\r\n"
			    "VEL-005/8-P-2204/velocity;Consider;;;;open\r\n"
			    "WHS-001/C-221/hydrogen-induced cracking;Resolve;;;certificates;closed\r\n"
			    "VEL-008/E-222 tube side/velocity;Justify;1.685 m/s (5.53 ft/s);;;closed\r\n"
			    "VEL-002/6-P-2201/velocity;Justify;;;read yearly;answered\r\n"
			    "VEL-999/X/velocity;;;;done;\r\n"
			    "VEL-002/no-such-line/velocity;;;;done;\r\n"
			    "STATE/E-225/corrosion-allowance;State;;;3 mm;answered\r\n"
			    "STATE/C-221/thickness;State;;;stated;answered\r\n";

Test(revamp, replies_are_held_against_the_review, .fini = end)
{
	static const struct {
		const char *id;
		enum round_state state;
	} rows[] = {
		{"CRK-002/10-P-2204/metal-temperature", ROUND_CLOSED},
		{"VEL-005/10-P-2204/velocity", ROUND_CLOSED},
		{"WHS-001/C-221/hydrogen-induced cracking", ROUND_REOPENED},
		{"VEL-008/E-222 tube side/velocity", ROUND_REOPENED},
		{"VEL-002/6-P-2201/velocity", ROUND_ANSWERED},
		{"VEL-006/6-P-2205/velocity", ROUND_NEW},
		{"VEL-999/X/velocity", ROUND_UNKNOWN},
		{"VEL-002/no-such-line/velocity", ROUND_UNKNOWN},
		{"STATE/E-225/corrosion-allowance", ROUND_ANSWERED},
		{"STATE/C-221/thickness", ROUND_CLOSED},
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	const struct round *round = round_make(&trial.arena, trial.review, "replies.csv", sheet, &trial.problems);
	cr_assert_not_null(round);
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct round_row *row = round_row(round, rows[i].id);
		cr_expect(row->state == rows[i].state, "%s is %s", rows[i].id, round_word(row->state));
	}
	cr_expect_str_eq(round_row(round, rows[0].id)->reply, "design changed: new line, relieved");
	cr_expect(strstr(round_row(round, rows[2].id)->why, "nothing has changed"));
	cr_expect(strstr(round_row(round, rows[3].id)->why, "1.685 m/s (5.53 ft/s) before, 2.28"));
	cr_expect_str_eq(trial_messages(&trial),
		"replies.csv:8:1: unknown-reply: 'VEL-999/X/velocity': there is no rule 'VEL-999'\n"
		"replies.csv:9:1: unknown-reply: 'VEL-002/no-such-line/velocity': this unit has no item "
		"'no-such-line'\n");
}

/* The same three rows as spreadsheets of several countries, and people, hand them back. */
Test(revamp, a_sheet_is_read_however_a_spreadsheet_saved_it, .fini = end)
{
	static const char *const sheets[] = {
		/* commas, LF */
		"Id,Value,Reply,Status\nVEL-002/6-P-2201/velocity,2.413 m/s (7.916 ft/s),read yearly,answered\n"
		"WHS-001/C-221/hydrogen-induced cracking,,\"certificates, two\",closed\n",
		/* semicolons, byte order mark, CRLF, other order, blank columns after, a line of nothing */
		"\xEF\xBB\xBFStatus;Reply;Id;Value;;\r\nanswered;read yearly;VEL-002/6-P-2201/velocity;2,413 m/s "
		"(7,916 ft/s);;"
		"\r\n;;;;;\r\nCLOSED;certificates, two;WHS-001/C-221/hydrogen-induced cracking;;;\r\n",
		/* tabs, quotes everywhere, CR alone, a title with commas above */
		"\"Action list, U-220, round "
		"2\"\r\"ID\"\t\"reply\"\t\"status\"\t\"value\"\r\"VEL-002/6-P-2201/velocity\"\t\"read "
		"yearly\"\t\"answered\"\t\"2.413 m/s (7.916 ft/s)\"\r\"WHS-001/C-221/hydrogen-induced cracking\"\t"
		"\"certificates, two\"\t\"closed\"\t\r",
		/* a title with a comma over semicolons; the mark of the separator that some write first */
		"sep=;\nAction list, round 2\nId;Reply;Status;Value\nVEL-002/6-P-2201/velocity;read "
		"yearly;answered;2.413 m/s (7.916 "
		"ft/s)\nWHS-001/C-221/hydrogen-induced cracking;certificates, two;closed;\n",
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	for (size_t i = 0; i < COUNT(sheets); i++) {
		const struct round *round = round_make(&trial.arena, trial.review, "r.csv", sheets[i], &trial.problems);
		cr_assert(round, "sheet %zu: %s", i, trial_messages(&trial));
		const struct round_row *read = round_row(round, "VEL-002/6-P-2201/velocity");
		const struct round_row *closed = round_row(round, "WHS-001/C-221/hydrogen-induced cracking");
		cr_expect(read->state == ROUND_ANSWERED && closed->state == ROUND_REOPENED, "sheet %zu", i);
		cr_expect_str_eq(read->reply, "read yearly", "sheet %zu", i);
		cr_expect_str_eq(read->why, "replied to; the value is the same", "sheet %zu: %s", i, read->why);
		cr_expect_str_eq(closed->reply, "certificates, two", "sheet %zu", i);
	}
	cr_expect_eq(trial.problems.count, 0);
}

/* What could be read wrongly is not read: by row and column of the spreadsheet. */
Test(revamp, a_sheet_that_could_be_read_wrongly_is_refused, .fini = end)
{
	static const struct {
		const char *sheet, *expected;
	} rows[] = {
		{"a,b\n1,2\n", "x.csv: not-replies: no line names the columns Id and Reply, as the action list does\n"},
		{"", "x.csv: not-replies: no line names the columns Id and Reply, as the action list does\n"},
		{"Title\nId;Status\nVEL-001/X/velocity;open\n",
			"x.csv:2:1: not-replies: the column Reply is missing\n"},
		{"Reply,Status\nx,open\n", "x.csv:1:1: not-replies: the column Id is missing\n"},
		{"Id,Reply\nVEL-001/X/velocity,x\n",
			"x.csv:1:1: not-replies: the column Status is missing: what was closed cannot be told\n"},
		{"Id,Reply,Status,Reply\nVEL-001/X/velocity,x,open,y\n",
			"x.csv:1:4: not-replies: a second column is headed Reply\n"},
		{"Id,Reply,Status\nVEL-001/X/velocity,new line, relieved,open\n",
			"x.csv:2:4: not-replies: a cell beyond the last column: is a reply with a separator in it not "
			"quoted?\n"},
		{"Id,Reply,Status\n\"VEL-001/X/velocity\",\"two\nlines\",open\nVEL-002/X/velocity,x,Done\n",
			"x.csv:3:3: not-replies: status \"Done\": allowed are open, answered, closed\n"},
		{"Id,Reply,Status\n,for what,open\n",
			"x.csv:2:1: not-replies: a reply without an id: nobody knows what it is for\n"},
		{"Id,Reply,Status\nVEL-001/X/velocity,\"never closed,open\nVEL-002/X/velocity,x,open\n",
			"x.csv:2:1: malformed: a quote is opened here and never closed\n"},
	};
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/curlew-spit.xml");
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial.problems.count = 0;
		cr_expect_null(
			round_make(&trial.arena, trial.review, "x.csv", rows[i].sheet, &trial.problems), "%zu", i);
		cr_expect_str_eq(trial_messages(&trial), rows[i].expected, "%zu: %s", i, trial_messages(&trial));
	}
}

/* Without the column of values nobody can say that nothing has changed. */
Test(revamp, a_sheet_without_values_claims_no_sameness, .fini = end)
{
	trial_open(&trial, NULL);
	trial_review_file(&trial, "designs/cobble-hythe-revamp.xml");
	const struct round *round = round_make(&trial.arena, trial.review, "r.csv",
		"Id,Reply,Status\nWHS-001/C-221/hydrogen-induced "
		"cracking,x,closed\nVEL-002/6-P-2201/velocity,y,closed\n",
		&trial.problems);
	cr_assert_not_null(round);
	cr_expect_str_eq(round_row(round, "WHS-001/C-221/hydrogen-induced cracking")->why,
		"closed, and it still departs: whether anything has changed is not in the sheet");
	cr_expect(strstr(round_row(round, "VEL-002/6-P-2201/velocity")->why, "now, what it was is not in the sheet"));
}

/* ---- the program ---- */

Test(revamp, a_portfolio_is_the_same_on_one_core_and_on_two, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"for jobs in 1 2 7; do \"$LEANRICH\" portfolio --quiet --jobs $jobs --output $SCRATCH/$jobs "
		"designs/*.xml "
		"tests/broken/text.xml designs/curlew-spit.xml; echo $?; done; cmp $SCRATCH/1/portfolio.html "
		"$SCRATCH/2/portfolio.html "
		"&& cmp $SCRATCH/1/portfolio.csv $SCRATCH/7/portfolio.csv && echo $(($(grep -c xml "
		"$SCRATCH/1/portfolio.csv) - $(ls designs/*.xml | wc -l)))");
	cr_expect_str_eq(run.output, "3\n3\n3\n2\n", "%s%s", run.output, run.errors);
}

/* Records that were cut or made by something else: every one is named by file, line and column, and nothing is written. */
Test(revamp, records_that_are_none_are_named, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; $R portfolio --records $SCRATCH/r designs/heron-gate.xml designs/none.xml; "
		"{ cat $SCRATCH/r; head -c 100 $SCRATCH/r; echo; echo '{\"portfolio\":1,\"file\":\"x\"}'; echo; echo "
		"'[]'; } >$SCRATCH/x; "
		"$R portfolio --collate --output $SCRATCH/out $SCRATCH/x 2>&1 | sed 's/.*x:/x:/'; test -e $SCRATCH/out "
		"|| echo nothing written");
	cr_expect(
		strstr(run.output, "x:3:100: not-a-record: no record of `leanrich portfolio`: premature end of input"),
		"%s", run.output);
	cr_expect(strstr(run.output, "\nx:4:1: not-a-record: no record of `leanrich portfolio`: its counts, families"),
		"%s", run.output);
	cr_expect(strstr(run.output,
			  "\nx:6:1: not-a-record: no record of `leanrich portfolio`: it has no \"portfolio\": 1\n"),
		"%s", run.output);
	cr_expect(strstr(run.output, "nothing written"), "%s", run.output);
}

/* Two rounds as people go through them: the sheet written, answered, read back; written again, read back again. */
Test(revamp, two_rounds_of_the_demo, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; $R review --quiet --output $SCRATCH/1 designs/cobble-hythe.xml; "
		"sed -E '/^CRK-002.8-P/s/,,open/,line relieved,answered/; /^WHS-001/s/,,open/,certificates,closed/' "
		"$SCRATCH/1/U-220/review.csv >$SCRATCH/answered.csv; "
		"$R review --output $SCRATCH/2 --replies $SCRATCH/answered.csv designs/cobble-hythe-revamp.xml | grep "
		"'last round'; "
		"$R review --output $SCRATCH/3 --replies $SCRATCH/2/U-220/review.csv designs/cobble-hythe-revamp.xml | "
		"grep 'last round'; "
		"grep -c 'line relieved' $SCRATCH/3/U-220/review.html; grep -c 'reopened: closed, and nothing has "
		"changed' "
		"$SCRATCH/2/U-220/review.html");
	cr_expect(strstr(run.output, "reopened 1, answered 0"), "%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "closed 2, closed before 0, unknown 0"), "%s", run.output);
	cr_expect(strstr(run.output, "new 0, reopened 0, answered 1"), "%s", run.output);
	cr_expect(strstr(run.output, "closed 0, closed before 2, unknown 0\n1\n1\n"), "%s", run.output);
}

/* A byte of nothing would hide the replies after it. */
Test(revamp, files_of_lines_with_a_byte_of_nothing_are_refused, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"R=\"$LEANRICH\"; printf 'Id,Reply,Status\\nVEL-002/6-P-2201/velocity,a\\0b,open\\n' >$SCRATCH/x; "
		"$R review --quiet --output $SCRATCH --replies $SCRATCH/x designs/cobble-hythe.xml 2>&1 | sed "
		"'s/.*x:/x:/'; "
		"$R import $SCRATCH/x --map tests/data/line_list_map.xml 2>&1 | sed 's/.*x:/x:/'; "
		"$R portfolio --quiet --output $SCRATCH --files-from $SCRATCH/x 2>&1 | sed 's/.*x:/x:/'");
	cr_expect_str_eq(run.output,
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n"
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n"
		"x:2:28: not-xml: byte 0x00 is no text in UTF-8; save the file as CSV in UTF-8\n",
		"%s%s", run.output, run.errors);
}

struct circulating {
	const struct element *unit;
	struct driven_list driven;
};

static const struct element *at_circulation(struct arena *arena, double x, void *data)
{
	const struct circulating *of = data;
	return headroom_at(arena, of->unit, of->driven, NULL, x);
}

/*
 * What is told of a deviation rests on the findings of all rules, wherever along a sweep it is asked: it matches nothing from
 * where its departure ends, which is where the rich velocity, which goes with the flow, is 1.5 m/s.
 */
Test(revamp, a_deviation_matches_nothing_from_where_its_departure_ends, .fini = end)
{
	static const double some[] = {0.6, 0.8, 1};
	trial_open(&trial, NULL);
	const struct element *unit = read_file("designs/tern-quay.xml");
	const struct table *table = stages_table(&trial.arena, unit, true, &trial.problems);
	const struct item *line = table_find(table, "4-P-3102");
	double fastest = 0;
	for (int c = 0; c < (int)table_case_count(table); c++)
		if (!table_case(table, c)->upset)
			fastest = fmax(fastest, table_get(table, line, c, "velocity")->si);
	struct circulating of = {
		.unit = unit, .driven = headroom_driven(&trial.arena, unit, table, DRIVER_CIRCULATION)};
	struct scan_setup setup = {.arena = &trial.arena,
		.catalogue = trial.catalogue,
		.at = at_circulation,
		.data = &of,
		.grid = some,
		.count = COUNT(some),
		.tolerance = 1e-6,
		.only_item = "deviation"};
	struct scan scan = scan_run(&setup);
	const struct track *told = NULL;
	for (size_t t = 0; t < scan.track_count; t++)
		told = scan.tracks[t].turn_count ? &scan.tracks[t] : told;
	cr_assert(told && told->turn_count == 1 && strcmp(told->rule->id, "DAT-009") == 0);
	cr_expect_float_eq(told->turns[0].at, 1.5 / fastest, 1e-5, "told from %.6f on, ends at %.6f", told->turns[0].at,
		1.5 / fastest);
}

Test(revamp, a_sweep_turns_where_the_limit_is, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"\"$LEANRICH\" sweep --vary lean-temperature --from '30 degC' --to '70 degC' --steps 5 --output "
		"$SCRATCH "
		"designs/cobble-hythe.xml | grep -c 'TMP-011 C-221\\|57 degC'; head -n 3 $SCRATCH/U-220/sweep.csv | wc "
		"-l; "
		"\"$LEANRICH\" sweep --vary nothing --from 1 --to 2 designs/cobble-hythe.xml; echo $?; "
		"\"$LEANRICH\" sweep --vary strength --from '20 wt%' --to '3 kg' designs/cobble-hythe.xml; echo $?");
	cr_expect_str_eq(run.output, "1\n3\n2\n2\n", "%s%s", run.output, run.errors);
}
