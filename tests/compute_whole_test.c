/*
 * What holds for every computed value of a description: its trace; and what must not change when flows are scaled or when a
 * design is written in other units.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "revamp/compare.h"
#include "sulfide/lean_side.h"
#include "suite_trial.h"

/* ---- traces ---- */

static size_t traced;

static void check_number(const struct quantity *quantity, const char *what)
{
	bool known = quantity->known != UNKNOWN;
	cr_expect(!known || !kind_is_number(quantity->kind) ||
			(isfinite(quantity->si) && isfinite(quantity->uncertainty)),
		"%s: %g +/- %g", what, quantity->si, quantity->uncertainty);
	cr_expect(!known || quantity->uncertainty >= 0, "%s: uncertainty %g", what, quantity->uncertainty);
	/* Of an unknown there is no number at all, so that none can be calculated from it. */
	cr_expect(known || (isnan(quantity->si) && isnan(quantity->uncertainty)), "%s: unknown and %g", what,
		quantity->si);
}

static void check_trace(const struct quantity *quantity, const char *what)
{
	check_number(quantity, what);
	cr_expect(quantity->known != UNKNOWN || (quantity->reason && *quantity->reason), "%s: no reason", what);
	cr_expect(quantity->known != ASSUMED || (quantity->reason && *quantity->reason), "%s: assumed without a reason",
		what);
	cr_expect(quantity->known != STATED || quantity->place.line > 0, "%s: stated nowhere", what);
	if (quantity->known != COMPUTED)
		return;
	traced++;
	cr_expect(quantity->formula && quantity->input_count > 0, "%s: no trace", what);
	for (size_t i = 0; i < quantity->input_count; i++)
		cr_expect(quantity->inputs[i].quantity && *quantity->inputs[i].name && *quantity->inputs[i].symbol,
			"%s: input %zu", what, i);
}

struct names {
	const char *rows[2048];
	size_t count;
};

static void note(const char *name, void *data)
{
	struct names *names = data;
	for (size_t i = 0; i < names->count; i++)
		if (strcmp(names->rows[i], name) == 0)
			return;
	cr_assert(names->count < COUNT(names->rows));
	names->rows[names->count++] = name;
}

/* Every cell of a table, once for each case and for all. */
static void each_cell(const struct table *table,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *quantity))
{
	static struct names names;
	names.count = 0;
	table_each_name(table, note, &names);
	for (size_t i = 0; i < table_item_count(table); i++)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++)
			for (size_t k = 0; k < names.count; k++) {
				const struct item *item = table_item(table, i);
				const struct quantity *quantity = table_get(table, item, c, names.rows[k]);
				if (quantity)
					visit(item, c, names.rows[k], quantity);
			}
}

static void check_cell(const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	check_trace(quantity, arena_format(&trial.arena, "%s of %s in case %d", name, item->tag, operating_case));
}

Test(compute, every_value_has_its_trace)
{
	static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml",
		"designs/saltmarsh-lea.xml", "designs/heron-gate.xml", "tests/designs/f04.xml",
		"checker/read/template.xml"};
	for (size_t i = 0; i < COUNT(designs); i++) {
		trial_review_file(&trial, designs[i]);
		cr_assert_not_null(trial.table, "%s", trial_messages(&trial));
		each_cell(trial.table, check_cell);
	}
	cr_expect(traced > 1000, "only %zu computed values", traced);
}

Test(compute, what_has_no_number_is_unknown_with_a_reason)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='s' service='lean' flow='0 kg/h' density='0 kg/m3' temperature='50 degC'/>"
		"<line tag='P-1' flow='10 m3/h' bore='0 mm'/>"
		"<line tag='P-2' stream='s' bore='100 mm'/>"
		"<exchanger tag='E-1'><tube-side flow='10 m3/h' tubes='0' passes='2' bore='15 mm'/></exchanger>"
		"<exchanger tag='E-2'><tube-side flow='10 m3/h' tubes='10' passes='0' bore='15 mm'/></exchanger>"
		"<exchanger tag='E-3'><tube-side flow='10 m3/h' tubes='10' passes='2' tube-od='10 mm' tube-wall='5 "
		"mm'/>"
		"</exchanger>");
	each_cell(trial.table, check_cell);
	static const char *const items[] = {"P-1", "P-2", "E-1 tube side", "E-3 tube side"};
	for (size_t i = 0; i < COUNT(items); i++) {
		const struct quantity *velocity = trial_value(&trial, items[i], NULL, "velocity");
		cr_expect(velocity && velocity->known == UNKNOWN, "%s has a velocity", items[i]);
	}
}

/*
 * What the chemistry here does not hold gives no number, and the reason says which it is: the solution of the absorber's lean, and
 * of the same place in the sulfide analysis, which takes an activated one but for CO2.
 */
Test(compute, a_solution_that_is_not_known_has_its_reason)
{
	static const char other[] = "the amine of the solvent is not stated, or not one whose chemistry is known";
	static const char second[] = "the second amine of the solvent is not one whose chemistry is known";
	static const char activated[] = "the solvent is activated, and the chemistry here has no activator";
	static const struct {
		const char *solvent, *reason, *sulfide;
	} rows[] = {
		{"<solvent amine='MDEA' strength='45 wt%'/>", NULL, NULL},
		{"<solvent amine='MDEA' strength='45 wt%' activated='no' piperazine='0 wt%'/>", NULL, NULL},
		{"<solvent amine='MDEA' strength='45 wt%' activated='yes'/>", activated, NULL},
		{"<solvent amine='MDEA' strength='45 wt%' piperazine='5 wt%'/>", activated, NULL},
		{"<solvent amine='MDEA' strength='30 wt%' second-amine='other' second-strength='15 wt%'/>", second,
			second},
		{"<solvent amine='MDEA' strength='30 wt%' second-amine='DEA'/>",
			"second-strength of solvent is not stated", "second-strength of solvent is not stated"},
		{"<solvent amine='MDEA' strength='40 mol/L'/>", "the strength is more than a solution can hold",
			"the strength is more than a solution can hold"},
		{"<solvent amine='MDEA' strength='30 wt%' second-amine='DEA' second-strength='40 mol/L'/>",
			"the strength is more than a solution can hold",
			"the strength is more than a solution can hold"},
		{"<solvent amine='other' strength='45 wt%'/>", other, other},
		{"<solvent strength='45 wt%'/>", other, other},
		{"<solvent amine='MDEA'/>", "strength of solvent is not stated", "strength of solvent is not stated"},
		{"", "the solvent is not described", "the solvent is not described"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='T' name='T'><basis barometric-pressure='1 "
				"bara'>"
				"<case id='normal'/></basis>%s<gas id='g' temperature='38 degC' pressure='40 bara' "
				"h2s='1 "
				"mol%%'/>"
				"<stream id='l' service='lean' temperature='45 degC' pressure='41 bara' h2s='0.005' "
				"co2='0'/>"
				"<absorber tag='C-1' treated='g' lean='l'/></unit>",
				rows[i].solvent));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct quantity *over = trial_value(&trial, "C-1", NULL, "h2s-over-lean");
		cr_assert_not_null(over);
		cr_expect_eq(over->known == UNKNOWN, rows[i].reason != NULL, "%s", rows[i].solvent);
		if (rows[i].reason)
			cr_expect_str_eq(over->reason, rows[i].reason, "%s: %s", rows[i].solvent, over->reason);
		const struct circuit *circuit = trial.review->lean_side->circuit;
		for (size_t k = 0; k < circuit->reading_count; k++)
			if (circuit->readings[k].location->side == SIDE_LEAN)
				cr_expect(text_same(circuit->readings[k].missing.reason, rows[i].sulfide), "%s: %s",
					rows[i].solvent, circuit->readings[k].missing.reason);
	}
}

/* ---- properties ---- */

/* A small unit with all flows times `flows` and all bores times `bores`. */
static void review_scaled(struct trial *scaled, double flows, double bores)
{
	trial_open(scaled, NULL);
	trial_review_unit(scaled, "DEA",
		arena_format(&scaled->arena,
			"<gas id='g' flow='%.9g MMscfd' temperature='38 degC' pressure='40 barg' h2s='2 mol%%' co2='1 "
			"mol%%'/>"
			"<stream id='l' service='lean' flow='%.9g m3/h' temperature='45 degC' h2s='0.01' co2='0.01'/>"
			"<stream id='r' service='rich' flow='%.9g m3/h' temperature='60 degC' h2s='0.30' co2='0.12'/>"
			"<absorber tag='C-1' gas='g' lean='l' rich='r' material='carbon steel' pwht='yes'/>"
			"<line tag='P-1' stream='l' bore='%.9g mm' material='carbon steel' pwht='no' traced='no' "
			"steamed-out='no'/>"
			"<line tag='P-2' stream='r' bore='%.9g mm' material='carbon steel' pwht='yes'/>"
			"<exchanger tag='E-1'><tube-side inlet='r' outlet='r' bore='%.9g mm' tubes='400' passes='4' "
			"material='carbon steel'/></exchanger>",
			20 * flows, 60 * flows, 63 * flows, 100 * bores, 120 * bores, 15 * bores));
}

/* Only velocities may hang on the size of the flows. */
static bool is_of_velocity(const struct finding *finding)
{
	const struct rule *rule = finding->rule;
	return strncmp(rule->id, "VEL", 3) == 0 ||
		(rule->judged >= 0 &&
			strncmp(rule->inputs[rule->judged].quantity, "velocity", strlen("velocity")) == 0);
}

/* How far a statement may be off depends on the digits it is printed with: 20 m3/h says less than 88.0573 gpm. */
static bool is_of_digits(const struct finding *finding)
{
	return strcmp(finding->rule->id, "BAL-022") == 0;
}

static void expect_same_verdicts(const struct trial *a, const struct trial *b, bool with_velocities)
{
	const struct judgement *ja = &a->review->judgement, *jb = &b->review->judgement;
	cr_assert(ja->count == jb->count && ja->count > 50);
	for (size_t i = 0; i < ja->count; i++) {
		const struct finding *fa = &ja->findings[i], *fb = &jb->findings[i];
		cr_assert(strcmp(fa->rule->id, fb->rule->id) == 0 && strcmp(fa->item->tag, fb->item->tag) == 0);
		if ((with_velocities || !is_of_velocity(fa)) && !is_of_digits(fa))
			cr_expect(fa->verdict == fb->verdict && fa->certainty == fb->certainty, "%s on %s: %s, %s",
				fa->rule->id, fa->item->tag, verdict_word(fa->verdict), verdict_word(fb->verdict));
	}
}

Test(compute, scaling_flows_and_areas_alike_changes_no_verdict)
{
	struct trial base = {.review = NULL}, scaled = {.review = NULL};
	review_scaled(&base, 1, 1);
	static const double factors[] = {0.04, 0.5, 3, 25};
	for (size_t i = 0; i < COUNT(factors); i++) {
		double factor = factors[i];
		review_scaled(&scaled, factor, sqrt(factor));
		expect_same_verdicts(&base, &scaled, true);
		cr_expect_float_eq(trial_number(&scaled, "P-2", NULL, "velocity", "m/s"),
			trial_number(&base, "P-2", NULL, "velocity", "m/s"), 1e-6);
	}
	trial_close(&base);
	trial_close(&scaled);
}

Test(compute, scaling_flows_alone_leaves_loadings_and_all_that_is_no_velocity)
{
	struct trial base = {.review = NULL}, scaled = {.review = NULL};
	review_scaled(&base, 1, 1);
	static const double factors[] = {0.2, 0.9, 5};
	for (size_t i = 0; i < COUNT(factors); i++) {
		double factor = factors[i];
		review_scaled(&scaled, factor, 1);
		expect_same_verdicts(&base, &scaled, false);
		cr_expect_float_eq(trial_number(&scaled, "r", NULL, "loading", "mol/mol"), 0.42, 1e-12);
		cr_expect_float_eq(trial_number(&scaled, "E-1 tube side", NULL, "velocity", "m/s"),
			factor * trial_number(&base, "E-1 tube side", NULL, "velocity", "m/s"), 1e-6);
	}
	trial_close(&base);
	trial_close(&scaled);
}

/*
 * The same unit in SI and in the units of the United States trade; the conversions are exact or given to twelve digits. Its flows
 * close: what the circuit makes of a contradiction depends on the digits printed, and so do verdicts that rest on it.
 */
static const char metric[] =
	"<gas id='g' temperature='40 degC' pressure='5 MPaa' h2s='2 mol%' co2='1 mol%' hydrocarbon-dew-point='30 "
	"degC'/>"
	"<stream id='l' service='lean' flow='24 m3/h' temperature='45 degC' pressure='1 MPaa' h2s='0.01' co2='0.01'/>"
	"<stream id='r' service='rich' flow='25401.17272 kg/h' temperature='60 degC' h2s='0.30' co2='0.12'/>"
	"<absorber tag='C-1' gas='g' lean='l' rich='r' material='carbon steel' pwht='yes' pwht-temperature='620 degC' "
	"thickness='25.4 mm' pwht-hold='60 min' design-temperature='100 degC'/>"
	"<line tag='P-1' stream='l' size='DN 100' schedule='40' material='carbon steel' pwht='no' traced='no' "
	"steamed-out='yes' steam-out-temperature='150 degC' hardness-weld='190 HBW'/>"
	"<line tag='P-2' stream='r' bore='101.6 mm' material='carbon steel' pwht='yes'/>"
	"<exchanger tag='E-1'><tube-side inlet='r' outlet='r' tube-od='19.05 mm' tube-wall='2.1082 mm' tubes='400' "
	"passes='4' "
	"material='carbon steel'/></exchanger>";
static const char customary[] =
	"<gas id='g' temperature='104 degF' pressure='725.188688651 psia' h2s='0.02 mol/mol' co2='1 mol%' "
	"hydrocarbon-dew-point='86 degF'/>"
	"<stream id='l' service='lean' flow='105.668820943 gpm' temperature='113 degF' pressure='145.037737730 psia' "
	"h2s='0.01' co2='0.01'/>"
	"<stream id='r' service='rich' flow='56000 lb/h' temperature='140 degF' h2s='0.30' co2='0.12'/>"
	"<absorber tag='C-1' gas='g' lean='l' rich='r' material='carbon steel' pwht='yes' pwht-temperature='1148 degF' "
	"thickness='1 in' pwht-hold='1 h' design-temperature='212 degF'/>"
	"<line tag='P-1' stream='l' size='NPS 4' schedule='40' material='carbon steel' pwht='no' traced='no' "
	"steamed-out='yes' steam-out-temperature='302 degF' hardness-weld='190 HBW'/>"
	"<line tag='P-2' stream='r' bore='4 in' material='carbon steel' pwht='yes'/>"
	"<exchanger tag='E-1'><tube-side inlet='r' outlet='r' tube-od='0.75 in' tube-wall='0.083 in' tubes='400' "
	"passes='4' "
	"material='carbon steel'/></exchanger>";

static const struct table *other;
static size_t compared;

static void compare_cell(const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	const struct quantity *there = table_get(other, table_find(other, item->tag), operating_case, name);
	cr_assert(there && there->known == quantity->known, "%s of %s", name, item->tag);
	if (quantity->known == UNKNOWN || !kind_is_number(quantity->kind))
		return;
	if (strcmp(name, "pwht-hold-rounding") == 0)
		return; /* of the figure as it is printed, "60 min" or "1 h" */
	compared++;
	cr_expect(fabs(there->si - quantity->si) <= 1e-9 * fabs(quantity->si), "%s of %s: %.12g and %.12g", name,
		item->tag, quantity->si, there->si);
}

Test(compute, a_design_in_other_units_is_the_same_design)
{
	struct trial us = {.review = NULL};
	trial_review_unit(&trial, "DEA", metric);
	trial_open(&us, NULL);
	trial_review_unit(&us, "DEA", customary);
	expect_same_verdicts(&trial, &us, true);
	other = us.table;
	each_cell(trial.table, compare_cell);
	cr_expect(compared > 100, "%zu", compared);
	trial_close(&us);
}
