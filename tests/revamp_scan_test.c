/*
 * Where a verdict turns when a description is varied, and headroom, which rests on it. Figures are calculated here from the
 * descriptions, or follow from the definitions.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/stages.h"
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
	const struct table *table = stages_table(&trial.arena, unit, ANALYSES_ALL, &trial.problems);
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

/* Rich velocity in 6-P-2201 is 1.787 m/s by the flow stated, and it is met up to 5.5 ft/s: the factor is the ratio. */
Test(revamp, the_factor_of_a_velocity_is_its_ratio_and_the_next_size_moves_it_by_the_bore, .fini = end)
{
	trial_open(&trial, NULL);
	const struct element *unit =
		element_read(&trial.arena, "designs/cobble-hythe.xml", trial.vocabulary, &trial.problems);
	const struct table *table = stages_table(&trial.arena, unit, ANALYSES_ALL, &trial.problems);
	struct headroom headroom = headroom_of(&trial.arena, unit, table, trial.catalogue, DRIVER_CIRCULATION, true);
	const struct quantity *velocity = table_get(table, table_find(table, "6-P-2201"), 0, "velocity");
	const struct limit_row *row = NULL;
	for (size_t i = 0; i < headroom.limit_count; i++)
		if (strcmp(headroom.limits[i].track->rule->id, "VEL-002") == 0 &&
			strcmp(headroom.limits[i].track->item, "6-P-2201") == 0)
			row = &headroom.limits[i];
	cr_assert_not_null(row);
	cr_expect_float_eq(row->factor, 5.5 * 0.3048 / velocity->si, 1e-5);
	cr_expect_str_eq(row->operating_case, "revamp"); /* of the three the largest flow */
	cr_assert(row->move_count >= 1 && strstr(row->moves[0].what, "NPS 8"), "%s", row->moves[0].what);
	/* ASME B36.10M, schedule 40: NPS 6 has a bore of 154.06 mm, NPS 8 one of 202.72 mm. */
	double wider = 202.72 / 154.06;
	cr_expect_float_eq(row->moves[0].factor, row->factor * wider * wider, 1e-3);
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
	const struct element *unit =
		element_read(&trial.arena, "designs/tern-quay.xml", trial.vocabulary, &trial.problems);
	const struct table *table = stages_table(&trial.arena, unit, ANALYSES_ALL, &trial.problems);
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
	const double held = 5.5 * 0.3048; /* 5 ft/s and half of its digit, m/s */
	cr_expect_float_eq(told->turns[0].at, held / fastest, 1e-5, "told from %.6f on, ends at %.6f",
		told->turns[0].at, held / fastest);
}
