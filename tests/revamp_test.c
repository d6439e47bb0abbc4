/*
 * Two descriptions beside each other: what came, what went, and by what change of the description.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "pipeline/stages.h"
#include "resolve/resolve.h"
#include "revamp/compare.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
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
		{"TMP-006", "E-225", CHANGE_NEW, "E-225", "steam-pressure", GROUP_CONDITIONS},
		{"VEL-014", "6-P-2208", CHANGE_NEW, "6-P-2208", "", GROUP_ITEMS},
		{"CRK-002", "10-P-2204", CHANGE_RESOLVED, "10-P-2204", "pwht", GROUP_MATERIAL},
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
	cr_expect(tubes->findings >= 1); /* velocity; the outlet temperature lies within 2 K of its usual figure */
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
		compare_files(read_unit(arena_format(&trial.arena, rich_line, "70 m3/h", "NPS 8")),
			read_unit(arena_format(&trial.arena, rich_line, "210 m3/h", "NPS 4")));
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
		const struct table *table = stages_table(&trial.arena, back, ANALYSES_ALL, &trial.problems);
		cr_assert_not_null(table, "%s", trial_messages(&trial));
		const struct quantity *flow = table_get(table, table_find(table, "a"), 1, "flow");
		cr_expect_float_eq(flow->si, 130 / 3.6, 1e-9);
	}
}
