/*
 * What is computed from a description, against numbers calculated by hand and published points; and what must not change
 * when flows are scaled or when a design is written in other units.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/species.h"
#include "review_support.h"
#include "sulfide/lean_side.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(compute, .init = begin, .fini = end);

static const double PI = 3.14159265358979323846;

static double number(const char *item, const char *name, const char *unit)
{
	return trial_number(&trial, item, NULL, name, unit);
}

/* ---- one value in two documents ---- */

static const struct finding *restated(const char *own, const char *other_document)
{
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena,
			"<stream id='s' data='balance' %s><stated document='data sheet' %s/></stream>", own,
			other_document));
	return trial_finding(&trial, "DAT-001", "s temperature");
}

Test(compute, documents_that_disagree_are_a_finding_that_names_both)
{
	const struct finding *found = restated("temperature='104 degC'", "temperature='112 degC'");
	cr_assert_not_null(found);
	cr_expect(found->verdict == VERDICT_DEPARTS);
	cr_expect(strstr(found->message, "104") && strstr(found->message, "112") && strstr(found->message, "balance") &&
			strstr(found->message, "data sheet"),
		"%s", found->message);
	cr_expect_float_eq(number("s", "temperature", "degC"), 104, 1e-9); /* its own is used */
}

Test(compute, documents_that_agree_within_their_uncertainty_are_none)
{
	cr_expect_null(restated("temperature='104 degC'", "temperature='105.9 degC'")); /* +/- 2 K */
	cr_expect_null(restated("temperature='104 degC'", "temperature='219.2 degF'")); /* the same */
	cr_expect_not_null(restated("temperature='104 degC'", "temperature='106.1 degC'"));
	cr_expect_null(restated("temperature='104 degC'", "temperature='&lt;110 degC'"));
	cr_expect_not_null(restated("temperature='104 degC'", "temperature='&lt;100 degC'"));
	cr_expect_not_null(restated("temperature='>110 degC'", "temperature='104 degC'"));
	cr_expect_null(restated("temperature='>110 degC'", "temperature='&lt;150 degC'"));
}

Test(compute, what_only_the_other_document_states_is_taken)
{
	cr_expect_null(restated("", "temperature='112 degC'"));
	cr_expect_float_eq(number("s", "temperature", "degC"), 112, 1e-9);
	cr_expect_str_eq(trial_value(&trial, "s", NULL, "temperature")->document, "data sheet");
}

/* ---- lines, tubes, nozzles ---- */

Test(compute, velocity_of_a_line_by_size_and_schedule)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='s' service='rich' flow='99 m3/h'/>"
		"<line tag='P-1' stream='s' size='NPS 8' schedule='40'/>");
	/* ASME B36.10M: NPS 8 is 219.1 mm outside (8.625 in), schedule 40 has 8.18 mm (0.322 in): 8.625 - 2 x 0.322 in bore.
	 * 99 m3/h = 0.0275 m3/s; A = pi/4 x 0.202717^2 = 0.0322757 m2; v = 0.85203 m/s. */
	cr_expect_float_eq(number("P-1", "bore", "in"), 7.981, 2e-3);
	cr_expect_float_eq(number("P-1", "velocity", "m/s"), 0.8520, 5e-4);
	/* The next size is NPS 10: 10.75 - 2 x 0.365 = 10.020 in; v = 0.8520 x (7.981 / 10.020)^2. */
	cr_expect_str_eq(trial_value(&trial, "P-1", NULL, "next-size")->word, "NPS 10 schedule 40");
	cr_expect_float_eq(number("P-1", "velocity-next-size", "m/s"), 0.8520 * pow(7.981 / 10.020, 2), 5e-4);
}

Test(compute, velocity_of_a_published_example)
{
	/* API RP 14E, 5th edition, 1991, worked example: 8 ft3/s in a bore of 4.026 in is 90.5 ft/s; with 12 lb/ft3 and
	 * C = 100 the erosional velocity is 28.9 ft/s, so that density times its square is C^2. */
	trial_review_unit(&trial, "MDEA",
		"<line tag='P-1' bore='4.026 in' flow='8 ft3/s' density='12 lb/ft3'/>"
		"<line tag='P-2' bore='4.026 in' velocity='28.8675 ft/s' density='12 lb/ft3'/>");
	cr_expect_float_eq(number("P-1", "velocity", "ft/s"), 90.493, 1e-3);
	cr_expect_float_eq(number("P-2", "momentum-flux", "lb/(ft s2)"), 10000, 0.1);
}

Test(compute, velocity_in_tubes_takes_the_tubes_of_one_pass)
{
	trial_review_unit(&trial, "DEA",
		"<exchanger tag='E-1'><tube-side tubes='412' passes='4' tube-od='19.05 mm' tube-wall='2.11 mm' "
		"flow='99 m3/h'/></exchanger>");
	/* 103 tubes of 14.83 mm: 103 x pi/4 x 0.01483^2 = 0.0177912 m2; 0.0275 / 0.0177912 = 1.5457 m/s */
	cr_expect_float_eq(
		number("E-1 tube side", "velocity", "m/s"), 0.0275 / (103 * PI / 4 * 0.01483 * 0.01483), 1e-9);
	cr_expect_float_eq(number("E-1 tube side", "velocity", "m/s"), 1.5457, 1e-4);
	/* 3 % of the flow is the uncertainty of the velocity. */
	cr_expect_float_eq(trial_value(&trial, "E-1 tube side", NULL, "velocity")->uncertainty, 0.03 * 1.5457, 1e-5);
}

Test(compute, momentum_flux_of_a_nozzle_and_of_the_shell_it_enters)
{
	trial_review_unit(&trial, "MDEA",
		"<exchanger tag='E-1'><shell-side><nozzle tag='N1' bore='100 mm' flow='56.5487 m3/h' density='1000 "
		"kg/m3'/>"
		"<nozzle tag='N2' bore='150 mm' flow='56.5487 m3/h' density='1000 kg/m3'/></shell-side></exchanger>");
	/* pi/4 x 0.1^2 = 0.00785398 m2; 0.0157080 m3/s: 2.0000 m/s and 1000 x 2^2; the wider one has 2 x (100/150)^2 m/s */
	cr_expect_float_eq(number("N1", "velocity", "m/s"), 2, 1e-5);
	cr_expect_float_eq(number("N1", "momentum-flux", "kg/(m s2)"), 4000, 0.05);
	cr_expect_float_eq(number("N2", "momentum-flux", "kg/(m s2)"), 4000 * pow(100. / 150, 4), 0.05);
	cr_expect_float_eq(number("E-1 shell side", "momentum-flux", "kg/(m s2)"), 4000, 0.05);
}

Test(compute, mass_flow_becomes_volume_flow_by_the_density)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='s' service='lean' flow='102000 kg/h' density='1020 kg/m3'/>"
		"<stream id='t' service='lean' flow='100 m3/h' density='1020 kg/m3'/>"
		"<line tag='P-1' stream='s' bore='150 mm'/>");
	cr_expect_float_eq(number("s", "volume-flow", "m3/h"), 100, 1e-9);
	cr_expect_float_eq(number("t", "mass-flow", "kg/h"), 102000, 1e-6);
	cr_expect_float_eq(number("P-1", "velocity", "m/s"), 100 / 3600. / (PI / 4 * 0.15 * 0.15), 1e-9);
}

Test(compute, a_stream_carries_what_the_one_it_comes_from_does)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='c' from='b' temperature='43 degC'/><stream id='b' from='a' temperature='75 degC'/>"
		"<stream id='a' service='lean' flow='100 m3/h' temperature='121 degC' h2s='0.006' co2='0.002'/>");
	cr_expect_float_eq(number("c", "loading", "mol/mol"), 0.008, 1e-12);
	cr_expect_float_eq(number("c", "mass-flow", "kg/h"), number("a", "mass-flow", "kg/h"), 1e-6);
	/* The same mass is less volume when it is colder. */
	cr_expect(number("c", "volume-flow", "m3/h") < 0.97 * number("a", "volume-flow", "m3/h"));
}

Test(compute, a_ring_of_streams_ends)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='a' service='lean' from='b' flow='100 m3/h'/><stream id='b' from='a'/>"
		"<stream id='d' from='d'/>");
	cr_expect(trial_value(&trial, "d", NULL, "loading") == NULL ||
		trial_value(&trial, "d", NULL, "loading")->known == UNKNOWN);
}

/* ---- metal temperature (API RP 581, 3rd edition, 2016, figure 7.1 and table 7.1: the highest of all the part can see) ---- */

static const struct quantity *metal(const char *attributes, const char *overrides)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/><case "
			"id='summer'/>"
			"<case id='upset' upset='yes'/></basis><solvent amine='MDEA'><in case='summer' iron='5 ppmw'/>"
			"<in case='upset' iron='6 ppmw'/></solvent>"
			"<stream id='s' service='lean' temperature='50 degC'>%s</stream>"
			"<line tag='P-1' stream='s' material='carbon steel' %s/></unit>",
			overrides, attributes));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_value(&trial, "P-1", NULL, "metal-temperature");
}

static void expect_metal(const char *attributes, const char *overrides, double celsius, const char *open)
{
	const struct quantity *found = metal(attributes, overrides);
	cr_assert(found && found->known == COMPUTED, "%s", attributes);
	cr_expect_float_eq(found->si - 273.15, celsius, 1e-9, "%s %s: %g degC, not %g", attributes, overrides,
		found->si - 273.15, celsius);
	cr_expect(found->bound == (open ? BOUND_ABOVE : BOUND_NONE), "%s", attributes);
	if (open)
		cr_expect_str_eq(found->reason, open);
}

Test(compute, highest_metal_temperature)
{
	expect_metal("traced='no' steamed-out='no'", "", 50, NULL);
	expect_metal("traced='no' steamed-out='no'", "<in case='summer' temperature='62 degC'/>", 62, NULL);
	expect_metal("traced='no' steamed-out='no'", "<in case='upset' temperature='130 degC'/>", 130, NULL);
	expect_metal("traced='no' steamed-out='no' upset-temperature='88 degC'", "", 88, NULL);
	expect_metal("traced='yes' tracing-temperature='95 degC' steamed-out='no'", "", 95, NULL);
	expect_metal("traced='no' tracing-temperature='95 degC' steamed-out='no'", "", 50, NULL);
	expect_metal("traced='no' steamed-out='yes' steam-out-temperature='120 degC'", "", 120, NULL);
	expect_metal("traced='no' steamed-out='yes' steam-out-temperature='120 degC' washed-before-steam-out='yes'", "",
		50, NULL);
	expect_metal("traced='no' steamed-out='yes' steam-out-temperature='120 degC' washed-before-steam-out='no'", "",
		120, NULL);
	/* What nobody says leaves it open upwards. */
	expect_metal("traced='no'", "", 50, "steamed-out of P-1 is not stated");
	expect_metal("steamed-out='no'", "", 50, "traced of P-1 is not stated");
	expect_metal("traced='no' steamed-out='yes'", "", 50, "steam-out-temperature of P-1 is not stated");
	expect_metal("traced='yes' steamed-out='no'", "", 50, "tracing-temperature of P-1 is not stated");
	/* Washed first: steam-out need not be known. */
	expect_metal("traced='no' washed-before-steam-out='yes'", "", 50, NULL);
}

Test(compute, a_lower_bound_condemns_and_does_not_acquit)
{
	/* MDEA as welded: below 82 degC. At least 50 leaves it open, at least 90 departs. */
	metal("traced='no' pwht='no'", "");
	cr_expect(trial_finding(&trial, "CRK-004", "P-1")->verdict == VERDICT_NOT_JUDGED);
	metal("traced='no' pwht='no'", "<in case='summer' temperature='90 degC'/>");
	cr_expect(trial_finding(&trial, "CRK-004", "P-1")->verdict == VERDICT_DEPARTS);
	metal("traced='no' pwht='no' steamed-out='no'", "");
	cr_expect(trial_finding(&trial, "CRK-004", "P-1")->verdict == VERDICT_MEETS);
}

/* ---- contents ---- */

Test(compute, loading_from_the_composition_of_a_published_case)
{
	/* Practitioners' discussion, no published source: DEA 7.5 %, H2S 2.5 %, CO2 1 %. 2.5/34.081 + 1/44.009 over 7.5/105.136:
	 * (0.073355 + 0.022723) / 0.071336 = 1.3468, called 1.35 mol/mol. */
	trial_review_unit(
		&trial, "DEA", "<stream id='s' strength='7.5 wt%' h2s-content='2.5 wt%' co2-content='1 wt%'/>");
	cr_expect_float_eq(number("s", "loading-from-composition", "mol/mol"), 1.3468, 1e-4);
}

/* Pal, Banat and others, Journal of Natural Gas Science and Engineering 24 (2015) 124: acetate and propionate in lean MDEA and
 * the amine they bind; the others are 1000 ppmw each, by arithmetic: c z M_amine / M_anion. */
static const struct {
	const char *anion, *ppmw;
	double mdea, dea, mea; /* bound amine, wt% of the solution; 0: not given */
} bound[] = {
	{"acetate", "2806", 0.566, 0, 0},
	{"propionate", "1614", 0.263, 0, 0},
	{"sulfate", "1000", 0.2481, 0.2189, 0.1272},
	{"formate", "1000", 0.2647, 0.2335, 0.1357},
	{"thiosulfate", "1000", 0.2126, 0.1875, 0.1090},
	{"chloride", "1000", 0.3361, 0.2966, 0.1723},
	{"thiocyanate", "1000", 0.2052, 0.1810, 0.1052},
	{"oxalate", "1000", 0.2708, 0.2389, 0.1388},
};

static double bound_amine_of(const char *amine, const char *anions)
{
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'/><solvent amine='%s' "
			"strength='40 wt%%'>%s</solvent></unit>",
			amine, anions));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return number("solvent", "bound-amine", "") * 40; /* of the amine to wt% of the solution */
}

Test(compute, amine_bound_by_anions)
{
	for (size_t i = 0; i < COUNT(bound); i++) {
		const double expected[] = {bound[i].mdea, bound[i].dea, bound[i].mea};
		static const char *const amines[] = {"MDEA", "DEA", "MEA"};
		const char *anion = arena_format(
			&trial.arena, "<anion name='%s' content='%s ppmw'/>", bound[i].anion, bound[i].ppmw);
		for (size_t k = 0; k < 3 && expected[k] > 0; k++)
			cr_expect_float_eq(bound_amine_of(amines[k], anion), expected[k], k || i > 1 ? 6e-5 : 6e-4,
				"%s in %s", bound[i].anion, amines[k]);
	}
	/* both of the published lean solution together */
	cr_expect_float_eq(bound_amine_of("MDEA",
				   "<anion name='acetate' content='2806 ppmw'/>"
				   "<anion name='propionate' content='1614 ppmw'/>"),
		0.829, 6e-4);
}

/* An anion the schema lets in and the table does not know would be left out of the sum. */
Test(compute, every_anion_of_the_schema_is_in_the_table)
{
	size_t choices = 0;
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *element = trial.vocabulary->elements[i];
		const struct vocabulary_attribute *name = vocabulary_attribute(element, "name");
		if (strcmp(element->name, "anion") != 0)
			continue;
		for (size_t k = 0; k < name->type->choice_count; k++, choices++)
			cr_expect(anion_find(name->type->choices[k].word), "%s", name->type->choices[k].word);
	}
	cr_expect(choices > 10);
}

Test(compute, partial_pressure_of_h2s)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='a' pressure='75 psig' h2s='0.06 mol%' co2='1 mol%'/>"
		"<gas id='b' pressure='1014.7 psia' h2s='15.0 mol%' co2='10 mol%'/>");
	/* (75 + 14.696) x 0.0006 = 0.0538 psia: just sour, the limit of NACE MR0103 being 0.05 psia (from memory) */
	cr_expect_float_eq(number("a", "h2s-partial-pressure", "psia"), 0.0538, 5e-5);
	/* Kohl and Nielsen, Gas Purification, 5th edition, 1997, table 2-24, Lacq: 152.2 psia = 1049 kPa */
	cr_expect_float_eq(number("b", "h2s-partial-pressure", "psia"), 152.2, 0.05);
	cr_expect_float_eq(number("b", "h2s-partial-pressure", "kPa"), 1049, 0.5);
	cr_expect_float_eq(number("b", "h2s-share", "%"), 60, 1e-9);
}

Test(compute, grains_per_hundred_cubic_feet_become_a_mole_fraction)
{
	trial_review_unit(&trial, "MDEA", "<gas id='a' pressure='60 barg' h2s='0.25 grain/100scf'/>");
	/* 0.25 grain = 0.0161997 g / 34.081 g/mol = 4.7533e-4 mol; 100 ft3 at 60 degF and 14.696 psia = 119.53 mol: 3.977 ppmv,
	 * which the trade rounds to 4. */
	cr_expect_float_eq(number("a", "h2s", "ppmv"), 3.977, 1e-3);
	cr_expect_float_eq(number("a", "h2s-partial-pressure", "kPa"), 3.977e-6 * (6000 + 101.325), 1e-5);
}

Test(compute, salts_by_mass_of_the_solution)
{
	trial_review(&trial,
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'/>"
		"<solvent amine='MDEA' strength='40 wt%' salts='10 wt%' salts-basis='amine'/></unit>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_float_eq(number("solvent", "salts-on-solution", "wt%"), 4, 1e-9);
}

Test(compute, approach_of_the_lean_amine)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='g' temperature='38 degC' hydrocarbon-dew-point='31 degC'/><stream id='l' temperature='44 "
		"degC'/>"
		"<stream id='r'/><absorber tag='C-1' gas='g' lean='l' rich='r'/>");
	cr_expect_float_eq(number("C-1", "approach-to-gas", "K"), 6, 1e-9);
	cr_expect_float_eq(number("C-1", "approach-to-dew-point", "K"), 13, 1e-9);
	/* two temperatures of +/- 2 K each: sqrt(8) */
	cr_expect_float_eq(trial_value(&trial, "C-1", NULL, "approach-to-gas")->uncertainty, sqrt(8), 1e-9);
}

Test(compute, superheat_of_steam)
{
	/* IAPWS-IF97 (2007), table 36: saturation at 1 MPa is 453.035632 K, at 0.1 MPa 372.755919 K */
	trial_review_unit(&trial, "MDEA",
		"<reboiler tag='E-1' steam-pressure='1 MPaa' steam-temperature='463.035632 K'/>"
		"<reboiler tag='E-2' steam-pressure='0.1 MPaa' steam-temperature='372.755919 K'/>");
	cr_expect_float_eq(number("E-1", "superheat", "K"), 10, 1e-6);
	cr_expect_float_eq(number("E-2", "superheat", "K"), 0, 1e-6);
}

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

/* Twice as much H2S as amine cannot be dissolved: no pressure over it is known, least of all one that meets a specification. */
Test(compute, a_state_that_cannot_be_solved_meets_nothing)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='g' role='treated' pressure='40 bara'/><specification gas='g' h2s='4 ppmv'/>"
		"<stream id='l' service='lean' temperature='45 degC' h2s='2' co2='0'/>"
		"<absorber tag='C-1' treated='g' lean='l'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct quantity *over = trial_value(&trial, "C-1", NULL, "h2s-over-lean");
	cr_assert_not_null(over);
	cr_expect(over->known == UNKNOWN && over->reason && *over->reason);
	cr_expect_eq(trial_finding(&trial, "ABS-001", "C-1")->verdict, VERDICT_NOT_JUDGED);
}

/* 5 mol/L of MEA is 30 wt% by custom (no source); iron by volume is taken as by mass of 1000 kg/m3. */
Test(compute, a_strength_or_iron_by_volume_is_taken_by_mass)
{
	static const char *const solvents[] = {"strength='30 wt%' iron='8 ppmw'", "strength='5 mol/L' iron='8 mg/L'"};
	double over[2], iron[2] = {0};
	for (size_t i = 0; i < COUNT(solvents); i++) {
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='T' name='T'><basis barometric-pressure='1 "
				"bara'>"
				"<case id='normal'/></basis><solvent amine='MEA' %s/><gas id='g' role='treated' "
				"pressure='40 "
				"bara'/><specification gas='g' h2s='4 ppmv'/><stream id='l' service='lean' "
				"temperature='45 degC' "
				"pressure='41 bara' h2s='0.005' co2='0'/><absorber tag='C-1' treated='g' "
				"lean='l'/></unit>",
				solvents[i]));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		over[i] = trial_number(&trial, "C-1", NULL, "h2s-over-lean", "Pa");
		const struct circuit *circuit = trial.review->lean_side->circuit;
		for (size_t k = 0; k < circuit->reading_count; k++)
			if (circuit->readings[k].location->side == SIDE_LEAN)
				iron[i] = circuit->readings[k].iron;
	}
	cr_expect_float_eq(over[1] / over[0], 1, 0.01, "%g and %g Pa", over[0], over[1]);
	cr_expect_float_eq(iron[0], 8e-6, 1e-12, "%g", iron[0]);
	cr_expect_float_eq(iron[1], 8e-6, 1e-12, "%g", iron[1]);
}

/* Stress relief of a blend is another demand than that of plain MDEA (API RP 945): piperazine makes one, named so or not. */
Test(compute, piperazine_makes_an_activated_solvent)
{
	static const struct {
		const char *says;
		bool plain;
	} rows[] = {{"", true}, {"piperazine='4 wt%'", false}, {"activated='yes'", false}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='T' name='T'><basis barometric-pressure='1 "
				"bara'/>"
				"<solvent amine='MDEA' strength='40 wt%%' %s/><stream id='l' service='lean' "
				"temperature='95 "
				"degC'/><line tag='P-1' stream='l' material='carbon steel' pwht='no' traced='no' "
				"steamed-out='no'/></unit>",
				rows[i].says));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct finding *mdea = trial_finding(&trial, "CRK-004", "P-1"),
				     *blend = trial_finding(&trial, "CRK-005", "P-1");
		cr_assert(mdea && blend);
		cr_expect_eq(
			mdea->verdict, rows[i].plain ? VERDICT_DEPARTS : VERDICT_NOT_APPLICABLE, "%s", rows[i].says);
		cr_expect_eq(blend->verdict, rows[i].plain ? VERDICT_NOT_APPLICABLE : VERDICT_NOT_JUDGED, "%s",
			rows[i].says);
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
	return strncmp(finding->rule->id, "VEL", 3) == 0;
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
