/*
 * The solved circuit against pilot plants whose runs were published. What the equipment can do is found from one run,
 * chosen before any other was looked at, and every other run is calculated from its feeds, flows, heat and pressures.
 *
 * Absorber: Tobiesen, Svendsen and Juliussen 2007, AIChE J 53:846, 30 wt% MEA, 20 runs; found from run 1. Run 15
 * prints 0.01212 for 0.1212 (balance_test.c) and is calculated with the latter. Stripper, lean/rich exchanger, and for
 * two beds without intercooling the absorber too: Morgan and others 2020, Applied Energy (National Carbon Capture
 * Center 2017), 30 wt% MEA; found from case 2D, whose loadings belong together and which has no intercoolers; these
 * are not calculated, so that of the other cases the rich solution is as measured.
 *
 * Bands, set before anything was calculated. Rich loading of the absorber: lean and rich loadings are analysed to some
 * 2 % (0.007), the gas to 3 to 5 % of what is absorbed (0.005), and E is held although the rate falls as amine is
 * bound: 0.03 in the mean square, 0.06 at worst. Lean loading: 0.03 where the loadings belong together, the others are
 * published with a carbon balance open by up to 30 %: 0.06 in the mean square. Reboiler: 2.5 K, as pilot_test.c has
 * it. Rich outlet: 6 K, flows that differ by 3.7 to 1. (With U A held constant it was missed by 8.4 K; so U goes with
 * the flow, by a power of published films and not of this plant: circuit.h.) The rich loading of the three cases
 * without intercoolers has no band.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "circuit/circuit.h"
#include "circuit_support.h"
#include "csv.h"
#include "pipeline/stages.h"
#include "printed.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

static const double kilo = 1000;

static struct circuit read_one(const char *description)
{
	const struct element *unit = element_parse(
		&trial.arena, "pilot.xml", description, strlen(description), trial.vocabulary, &trial.problems);
	const struct table *table = unit ? stages_table(&trial.arena, unit, ANALYSES_NONE, &trial.problems) : NULL;
	cr_assert(table && trial.problems.count == 0, "%s", trial_messages(&trial));
	return circuit_read(&trial.arena, table, 0);
}

static struct circuit base_of(const char *description)
{
	struct circuit base = read_one(description);
	circuit_calibrate(&base);
	return base;
}

/* The conditions of a run, and equipment that does what it was found to do in the base. */
static struct circuit solved(const struct circuit *base, const char *description)
{
	struct circuit other = read_one(description);
	circuit_take(&other, base);
	cr_assert(circuit_solve(&other), "%s", other.why);
	return other;
}

static double loading(const struct circuit *circuit, const char *tag)
{
	return circuit_loading(circuit, stream(circuit, tag))[GAS_CO2];
}

static double celsius(const struct circuit *circuit, const char *tag)
{
	return circuit_temperature(circuit, stream(circuit, tag)) - ZERO_CELSIUS;
}

struct misses {
	double square, worst;
	size_t count;
};

static void miss(struct misses *misses, double apart)
{
	misses->square += apart * apart;
	misses->worst = fmax(misses->worst, fabs(apart));
	misses->count++;
}

static double rms(const struct misses *misses)
{
	return sqrt(misses->square / (double)misses->count);
}

/* ---- the absorber of 2007 ---- */

static double dry_flow(const struct csv *csv, size_t i)
{
	double t = csv_number(csv, i, "gas_T_C") + ZERO_CELSIUS, pressure = csv_number(csv, i, "P_kPa") * kilo;
	return csv_number(csv, i, "gas_m3_h") * (pressure - water_saturation_pressure(t)) / (GAS_CONSTANT * t) / kilo;
}

static double content(const struct csv *csv, size_t i)
{
	double printed = csv_number(csv, i, "y_CO2_in_dry");
	return strcmp(csv_text(csv, i, "run"), "15") == 0 ? 10 * printed : printed;
}

static double left(const struct csv *csv, size_t i)
{
	double t = csv_number(csv, i, "T5") + ZERO_CELSIUS;
	return csv_number(csv, i, "pCO2_out_kPa") * kilo /
		(csv_number(csv, i, "P_kPa") * kilo - water_saturation_pressure(t));
}

static const char *absorber_of(const struct csv *csv, size_t i)
{
	return arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='P'><basis kind='new' barometric-pressure='1.01325 bara'/>"
		"<solvent amine='MEA' strength='30 wt%%'/>"
		"<gas id='in' role='feed' flow='%.4f kmol/h' temperature='%s degC' pressure='%s kPaa' h2s='0 mol%%' "
		"co2='%.5g mol%%' water-saturated='yes'/>"
		"<gas id='out' role='treated' pressure='%s kPaa' h2s='0 mol%%' co2='%.5g mol%%'/>"
		"<stream id='lean' service='lean' flow='%.4f m3/h' temperature='%s degC' density='%s kg/m3' h2s='0' "
		"co2='%s'/>"
		"<stream id='rich' service='rich' h2s='0' co2='%s'/>"
		"<absorber tag='C' gas='in' treated='out' lean='lean' rich='rich'/></unit>",
		dry_flow(csv, i), csv_text(csv, i, "gas_T_C"), csv_text(csv, i, "P_kPa"), 100 * content(csv, i),
		csv_text(csv, i, "P_kPa"), 100 * left(csv, i), 0.06 * csv_number(csv, i, "liq_L_min"),
		csv_text(csv, i, "liq_T_C"), csv_text(csv, i, "lean_rho_kg_m3"), csv_text(csv, i, "lean_load"),
		csv_text(csv, i, "rich_load"));
}

/* One line of the table; what is left in the gas as a partial pressure over gas without its water. */
static void add_run(struct text *text, const struct csv *csv, const struct circuit *base, size_t i, struct misses *rich)
{
	struct circuit found = solved(base, absorber_of(csv, i));
	const struct tower_answer *tower = &found.units[0].tower;
	double calculated = loading(&found, "rich"), measured = csv_number(csv, i, "rich_load");
	double share = tower->treated[GAS_CO2] / (tower->treated[GAS_CO2] + found.units[0].gas.inert);
	double over = csv_number(csv, i, "pCO2_out_kPa") * share / left(csv, i);
	if (i)
		miss(rich, calculated - measured);
	text_addf(text, "%-3s  %5.3f  %5.3f %5.3f %6.3f   %6.3f %6.3f   %4.1f %4.1f\n", csv_text(csv, i, "run"),
		csv_number(csv, i, "lean_load"), measured, calculated, calculated - measured,
		csv_number(csv, i, "pCO2_out_kPa"), over, csv_number(csv, i, "T1"), celsius(&found, "rich"));
}

/* ---- the plant of 2017 ---- */

/* Of the gas a mass flow is published, wet; its composition dry. */
static double feed(const struct csv *csv, size_t i)
{
	double t = csv_number(csv, i, "gas_T_in_C") + ZERO_CELSIUS, share = csv_number(csv, i, "y_CO2_in_dry"),
	       wet = water_saturation_pressure(t) / (csv_number(csv, i, "gas_in_P_kPa") * kilo);
	double oxygen = csv_number(csv, i, "y_O2_in_dry"),
	       dry_mass = 44.01 * share + 32.0 * oxygen + 28.01 * (1 - share - oxygen);
	return csv_number(csv, i, "gas_kg_h") / (dry_mass + 18.015 * wet / (1 - wet));
}

static const char *stream_of(const struct csv *csv, size_t i, const char *id, const char *temperature)
{
	bool lean = strncmp(id, "lean", 4) == 0;
	const char *measured = csv_text(csv, i, temperature);
	return arena_format(&trial.arena, "<stream id='%s' service='%s' %s h2s='0' co2='%s' temperature='%s degC' %s/>",
		id, lean ? "lean" : "rich",
		lean ? arena_format(&trial.arena, "flow='%s kg/h'", csv_text(csv, i, "lean_kg_h")) : "",
		csv_text(csv, i, lean ? "lean_load" : "rich_load"), strcmp(measured, "NA") == 0 ? "45" : measured,
		strcmp(id, "rich-hot") == 0
			? arena_format(&trial.arena, "pressure='%s kPaa'", csv_text(csv, i, "strip_rich_P_in_kPa"))
			: "");
}

static const char *feed_of(const struct csv *csv, size_t i)
{
	return arena_format(&trial.arena,
		"<gas id='in' role='feed' flow='%.3f kmol/h' temperature='%s degC' pressure='%s kPaa' h2s='0 mol%%' "
		"co2='%.2f mol%%' water-saturated='yes'/>"
		"<gas id='out' role='treated' pressure='%s kPaa' h2s='0 mol%%' co2='%.2f mol%%'/>"
		"<absorber tag='C' gas='in' treated='out' lean='lean' rich='rich'/>",
		feed(csv, i), csv_text(csv, i, "gas_T_in_C"), csv_text(csv, i, "gas_in_P_kPa"),
		100 * csv_number(csv, i, "y_CO2_in_dry"), csv_text(csv, i, "abs_top_P_kPa"),
		100 * csv_number(csv, i, "y_CO2_out_dry"));
}

/* `with_absorber`: else the rich solution is as measured. */
static const char *plant_of(const struct csv *csv, size_t i, bool with_absorber)
{
	return arena_format(&trial.arena,
		"<unit xmlns='urn:leanrich:unit:1' number='P'><basis kind='new' barometric-pressure='1.01325 bara'/>"
		"<solvent amine='MEA' strength='%.0f wt%%'/>%s%s%s%s%s%s"
		"<exchanger tag='E' service='lean/rich' type='plate'><plate-side inlet='rich' outlet='rich-hot'/>"
		"<plate-side inlet='lean-hot' outlet='lean-warm'/></exchanger>"
		"<cooler tag='K' service='lean' type='plate' cooling-medium='cooling water'>"
		"<plate-side inlet='lean-warm' outlet='lean'/></cooler>"
		"<regenerator tag='R' feed='rich-hot' lean='lean-hot' contact='structured packing' packing-height='12 "
		"m' "
		"top-pressure='%s kPaa' bottom-pressure='%.1f kPaa'/><reboiler tag='B' regenerator='R' duty='%s "
		"kW'/></unit>",
		100 * csv_number(csv, i, "lean_MEA_w_CO2free"), stream_of(csv, i, "lean-hot", "LR_lean_in_C"),
		stream_of(csv, i, "lean-warm", "LR_lean_out_C"), stream_of(csv, i, "lean", "lean_T_abs_C"),
		stream_of(csv, i, "rich", "LR_rich_in_C"), stream_of(csv, i, "rich-hot", "LR_rich_out_C"),
		with_absorber ? feed_of(csv, i) : "", csv_text(csv, i, "strip_top_P_kPa"),
		csv_number(csv, i, "strip_top_P_kPa") + 5, csv_text(csv, i, "reb_duty_kW"));
}

static bool has_intercoolers(const struct csv *csv, size_t i)
{
	return csv_number(csv, i, "intercoolers") > 0;
}

static bool is_tight(const char *name)
{
	return text_has_word("1B 2B 4D", name);
}

struct plant_misses {
	struct misses lean, tight, rich, reboiler, outlet;
};

static void add_case(
	struct text *text, const struct csv *csv, const struct circuit *base, size_t i, struct plant_misses *misses)
{
	bool absorber = !has_intercoolers(csv, i);
	struct circuit found = solved(base, plant_of(csv, i, absorber));
	const char *name = csv_text(csv, i, "case");
	double lean = loading(&found, "lean-hot") - csv_number(csv, i, "lean_load");
	double rich = loading(&found, "rich") - csv_number(csv, i, "rich_load");
	double reboiler = celsius(&found, "lean-hot") - csv_number(csv, i, "reboiler_T_C");
	double outlet = celsius(&found, "rich-hot") - csv_number(csv, i, "LR_rich_out_C");
	if (i != csv_row(csv, "2D")) {
		miss(&misses->lean, lean);
		miss(&misses->reboiler, reboiler);
		miss(&misses->outlet, outlet);
		if (is_tight(name))
			miss(&misses->tight, lean);
		if (absorber)
			miss(&misses->rich, rich);
	}
	text_addf(text, "%-3s %s  %5.2f %6.3f %6.3f   %5.2f %6.3f %6.3f   %5.1f %5.1f %5.1f   %5.1f %5.1f %5.1f\n",
		name, absorber ? "solved  " : "measured", csv_number(csv, i, "lean_load"), loading(&found, "lean-hot"),
		lean, csv_number(csv, i, "rich_load"), loading(&found, "rich"), rich,
		csv_number(csv, i, "reboiler_T_C"), celsius(&found, "lean-hot"), reboiler,
		csv_number(csv, i, "LR_rich_out_C"), celsius(&found, "rich-hot"), outlet);
}

static void expect_within(const struct misses *misses, double mean_square, double worst, const char *what)
{
	cr_expect_leq(rms(misses), mean_square, "%s: rms %g of %zu", what, rms(misses), misses->count);
	cr_expect_leq(misses->worst, worst, "%s: worst %g", what, misses->worst);
}

Test(circuit_pilot, printed_table_of_the_absorber, .fini = end)
{
	static struct csv csv;
	struct misses rich = {0};
	trial_open(&trial, NULL);
	struct text text = text_in(&trial.arena);
	text_add(&text,
		"Pilot absorber, 30 wt% MEA and CO2 (Tobiesen, Svendsen and Juliussen 2007): measured, and solved by "
		"this "
		"program.\n"
		"Found from run 1. Loading of the rich solution, kPa of CO2 left in the gas, degC at the bottom.\n\n"
		"run  lean   rich  here   apart    left   here     T1  here\n");
	csv_read("tests/data/pilot_absorber_2007.csv", &csv);
	struct circuit base = base_of(absorber_of(&csv, 0));
	for (size_t i = 0; i < csv.rows; i++)
		add_run(&text, &csv, &base, i, &rich);
	text_addf(&text, "\nRich loading of %zu runs: rms %.4f, worst %.4f\n", rich.count, rms(&rich), rich.worst);
	expect_within(&rich, 0.03, 0.06, "rich loading");
	cr_expect(printed_holds("tests/data/circuit_absorber_table.txt", text.data),
		"make tables, and look at what moved");
}

Test(circuit_pilot, printed_table_of_the_plant, .fini = end)
{
	static struct csv csv;
	struct plant_misses plant = {0};
	trial_open(&trial, NULL);
	struct text text = text_in(&trial.arena);
	text_add(&text,
		"Pilot plant, 30 wt% MEA and CO2 (Morgan and others 2020): measured, and solved by this program.\n"
		"Found from case 2D. Rich solution solved, or as measured where the absorber has intercoolers.\n\n"
		"case rich      lean   here   apart    rich   here   apart   reboiler here apart   rich outlet here "
		"apart\n");
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	struct circuit base = base_of(plant_of(&csv, csv_row(&csv, "2D"), true));
	for (size_t i = 0; i < csv.rows; i++)
		add_case(&text, &csv, &base, i, &plant);
	text_addf(&text,
		"\nLean loading of %zu cases: rms %.4f, worst %.4f; of %zu whose loadings belong together: rms %.4f, "
		"worst %.4f\n"
		"Rich loading of %zu: rms %.4f, worst %.4f; reboiler rms %.2f, worst %.2f K; rich outlet rms %.2f, "
		"worst %.2f K\n",
		plant.lean.count, rms(&plant.lean), plant.lean.worst, plant.tight.count, rms(&plant.tight),
		plant.tight.worst, plant.rich.count, rms(&plant.rich), plant.rich.worst, rms(&plant.reboiler),
		plant.reboiler.worst, rms(&plant.outlet), plant.outlet.worst);
	expect_within(&plant.lean, 0.06, 0.15, "lean loading");
	expect_within(&plant.tight, 0.03, 0.03, "lean loading, tight");
	expect_within(&plant.reboiler, 2.5, 2.5, "reboiler");
	expect_within(&plant.outlet, 6, 6, "rich outlet");
	cr_expect(
		printed_holds("tests/data/circuit_plant_table.txt", text.data), "make tables, and look at what moved");
}
