/*
 * The program against a pilot plant: Morgan et al. 2020, Applied Energy, National Carbon Capture Center 2017, 30 wt% MEA
 * and CO2, measured averages (appendix A tables A1-A3, B1). One setting for all cases, fixed before any of them was
 * looked at: 10 equilibrium stages with the reboiler for 12 m of packing, bottom 5 kPa above the top, reflux at 40 degC, density,
 * heat capacity, heats and equilibrium as the program has them for every design.
 *
 * Loadings are published to 0.01: carbon dioxide by loadings is known to some 10 %, tightly only in 1B, 2B, 2D and 4D.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/range.h"
#include "compute/column.h"
#include "compute/lean_rich.h"
#include "compute/two_phase.h"
#include "csv.h"
#include "heat_taken_up.h"
#include "printed.h"

enum { STAGES = 10 };
static const double bottom_above_top = 5e3, drum = 40 + 273.15, exchanger_area = 114;

struct plant {
	const char *name;
	struct exchange_side lean, rich;
	double amine; /* mol/s */
	double feed_pressure, top_pressure, duty;
	double lean_loading, reboiler, flash_drop; /* measured: mol/mol, K, K */
	double carbon_dioxide;			   /* kg/h, by duty and specific duty */
};

static double amine_of(const struct exchange_side *side)
{
	return side->mass_flow / property_loaded_mass(side->solution.mass_fraction, side->solution.loading);
}

static struct exchange_side side_of(
	const struct csv *csv, size_t i, const char *flow, const char *loading, const char *in, const char *out)
{
	const double second = 3600;
	struct exchange_side side = {.mass_flow = csv_number(csv, i, flow) / second,
		.inlet = csv_number(csv, i, in) + ZERO_CELSIUS,
		.outlet = csv_number(csv, i, out) + ZERO_CELSIUS,
		.outlet_pressure = csv_number(csv, i, "strip_rich_P_in_kPa") * 1e3};

	side.solution.mass_fraction[AMINE_MEA] = csv_number(csv, i, "lean_MEA_w_CO2free");
	side.solution.loading[GAS_CO2] = csv_number(csv, i, loading);
	return side;
}

static struct plant plant_of(const struct csv *csv, size_t i)
{
	struct plant plant = {.name = csv_text(csv, i, "case")};

	plant.lean = side_of(csv, i, "lean_kg_h", "lean_load", "LR_lean_in_C", "LR_lean_out_C");
	plant.lean.outlet_pressure = (double)NAN;
	plant.rich = side_of(csv, i, "rich_kg_h", "rich_load", "LR_rich_in_C", "LR_rich_out_C");
	plant.amine = amine_of(&plant.lean);
	plant.feed_pressure = csv_number(csv, i, "strip_rich_P_in_kPa") * 1e3;
	plant.top_pressure = csv_number(csv, i, "strip_top_P_kPa") * 1e3;
	plant.duty = csv_number(csv, i, "reb_duty_kW") * 1e3;
	plant.lean_loading = csv_number(csv, i, "lean_load");
	plant.reboiler = csv_number(csv, i, "reboiler_T_C") + ZERO_CELSIUS;
	plant.flash_drop = csv_number(csv, i, "LR_rich_out_C") - csv_number(csv, i, "strip_rich_T_in_C");
	plant.carbon_dioxide = csv_number(csv, i, "reb_duty_kW") * 3600 / (1e3 * csv_number(csv, i, "SRD_MJ_kgCO2"));
	return plant;
}

static struct solution_input feed_of(const struct plant *plant)
{
	struct solution_input feed = plant->rich.solution;

	feed.temperature = plant->rich.outlet;
	return feed;
}

static bool stripper(const struct plant *plant, struct column *out)
{
	struct column_input input = {.feed = feed_of(plant),
		.feed_pressure = plant->feed_pressure,
		.stages = STAGES,
		.bottom_pressure = plant->top_pressure + bottom_above_top,
		.top_pressure = plant->top_pressure,
		.duty = plant->duty / plant->amine,
		.drum_temperature = drum,
		.drum_pressure = plant->top_pressure};

	return column_solve(&terms_own, &input, out);
}

static double flash_drop(const struct plant *plant)
{
	struct solution_input feed = feed_of(plant);
	struct two_phase mixture;

	return two_phase_let_down(&terms_own, &feed, plant->feed_pressure, plant->top_pressure, &mixture)
		? feed.temperature - mixture.temperature
		: (double)NAN;
}

/* kg/h of CO2 by the amine's flow and its loadings. */
static double by_loading(const struct plant *plant)
{
	return plant->amine * 3600 * MOLAR_MASS_CO2 *
		(plant->rich.solution.loading[GAS_CO2] - plant->lean.solution.loading[GAS_CO2]);
}

static double lmtd_of(const struct plant *plant)
{
	return exchange_lmtd(plant->lean.inlet - plant->rich.outlet, plant->lean.outlet - plant->rich.inlet);
}

/* What a side gives off less than it would if its loading had no part in the heat capacity, W, from partial pressures alone. */
static double kept_by_loading(const struct exchange_side *side)
{
	struct solution_input in = side->solution, out = side->solution;

	in.temperature = side->inlet;
	out.temperature = side->outlet;
	return amine_of(side) * (heat_taken_up(&in) - heat_taken_up(&out));
}

/*
 * Case 1B. Published are flows, loadings, four temperatures and 114 m2, but no duty. From them by hand, with the heat
 * capacity of MEA without CO2 and CO2 as a gas: 504 kW lean, 503 kW rich, LMTD 4.38 K, 1008 W/m2K.
 *
 * The heat of absorption rises with temperature, so that a loaded solution takes less heat than that; no value with it was
 * read. The program is held to the hand values within 5 %, inside the 3-6 % that heat capacities are known to (it
 * calculates 483 and 486 kW), and within 2 % to the same less what partial pressures say the loading keeps (484 and 481 kW),
 * where 3 % was enough for heat capacities read by hand.
 */
Test(pilot, lean_rich_exchanger_by_hand)
{
	const double by_hand_lean = 504e3, by_hand_rich = 503e3;
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	struct plant plant = plant_of(&csv, csv_row(&csv, "1B"));
	double lean = exchange_duty(&terms_own, &plant.lean), rich = -exchange_duty(&terms_own, &plant.rich);

	cr_expect_float_eq(lean, by_hand_lean, 0.05 * by_hand_lean, "%g", lean);
	cr_expect_float_eq(rich, by_hand_rich, 0.05 * by_hand_rich, "%g", rich);
	cr_expect_float_eq(lean, by_hand_lean - kept_by_loading(&plant.lean), 0.02 * by_hand_lean, "%g", lean);
	cr_expect_float_eq(rich, by_hand_rich + kept_by_loading(&plant.rich), 0.02 * by_hand_rich, "%g", rich);
	cr_expect_float_eq(lmtd_of(&plant), 4.38, 0.1);
	cr_expect_float_eq(lean / exchanger_area / lmtd_of(&plant), 1008, 0.05 * 1008);
	cr_expect_eq(exchange_flashing(&terms_own, &plant.rich), 0, "liquid up to the valve");
}

/* Both sides of one exchanger, from two flow meters and four thermometers: the closures are what the plant was measured
 * to (and 1A lies on the line: 5.01 %). */
Test(pilot, the_two_sides_agree)
{
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	size_t close = 0, measured = 0;

	for (size_t i = 0; i < csv.rows; i++) {
		struct plant plant = plant_of(&csv, i);
		double lean = exchange_duty(&terms_own, &plant.lean), rich = -exchange_duty(&terms_own, &plant.rich);

		if (isnan(rich))
			continue;
		measured++;
		close += fabs(lean - rich) < 0.05 * lean;
		cr_expect(fabs(lean - rich) < 0.15 * lean, "%s: %g, %g W", plant.name, lean, rich);
	}
	cr_expect_eq(measured, csv.rows - 1, "2A gives no rich flow");
	cr_expect_eq(close, 14, "%zu of %zu within 5 %%", close, measured);
}

/* Case 2D by hand: 258.8 kg/h by duty, 257.3 by loadings. */
Test(pilot, carbon_dioxide_by_duty_and_by_loading)
{
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	struct plant plant = plant_of(&csv, csv_row(&csv, "2D"));
	size_t faults = 0, group_a = 0;

	cr_expect_float_eq(plant.carbon_dioxide, 258.8, 0.1);
	cr_expect_float_eq(by_loading(&plant), 257.3, 0.1);
	for (size_t i = 0; i < csv.rows; i++) {
		plant = plant_of(&csv, i);
		if (plant.name[strlen(plant.name) - 1] != 'A')
			continue;
		group_a++;
		faults += by_loading(&plant) < 0.95 * plant.carbon_dioxide;
	}
	cr_expect(faults > group_a / 2, "%zu of %zu", faults, group_a);
}

/* Rich solution before the valve, pressure and duty alone: lean loading within 0.025, reboiler within 2.5 K, flash drop
 * within 4 K in the four cases whose loadings are tight. */
Test(pilot, stripper_of_the_tight_cases)
{
	static const char *const tight[] = {"1B", "2B", "2D", "4D"};
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);

	for (size_t k = 0; k < COUNT(tight); k++) {
		struct plant plant = plant_of(&csv, csv_row(&csv, tight[k]));
		struct column column;

		cr_assert(stripper(&plant, &column), "%s", tight[k]);
		cr_expect_float_eq(column_lean_loading(&column), plant.lean_loading, 0.025, "%s: %g, measured %g",
			tight[k], column_lean_loading(&column), plant.lean_loading);
		cr_expect_float_eq(column.stage[0].temperature, plant.reboiler, 2.5, "%s: %g K, measured %g", tight[k],
			column.stage[0].temperature, plant.reboiler);
		cr_expect_float_eq(flash_drop(&plant), plant.flash_drop, 4, "%s: %g K, measured %g", tight[k],
			flash_drop(&plant), plant.flash_drop);
	}
}

/* ---- bias, rms and worst ---- */

/* Lean loading and the carbon dioxide by duty make the rich loading within 2 %: the loadings of the case are to be trusted. */
static bool is_tight(const struct plant *plant)
{
	const double close = 0.02;
	double rich = plant->rich.solution.loading[GAS_CO2];
	double made = plant->lean_loading + plant->carbon_dioxide / 3600 / MOLAR_MASS_CO2 / plant->amine;

	return fabs(made - rich) < close * rich;
}

struct misses {
	size_t count;
	double loading_sum, loading_square, loading_worst; /* mol/mol */
	double bottom_sum, bottom_square, bottom_worst;	   /* K */
};

static struct misses misses_of(const struct csv *csv, bool tight)
{
	struct misses out = {.count = 0};

	for (size_t i = 0; i < csv->rows; i++) {
		struct plant plant = plant_of(csv, i);
		struct column column;

		if ((tight && !is_tight(&plant)) || !stripper(&plant, &column))
			continue;
		double loading = column_lean_loading(&column) - plant.lean_loading;
		double bottom = column.stage[0].temperature - plant.reboiler;
		out.count++;
		out.loading_sum += loading;
		out.loading_square += loading * loading;
		out.loading_worst = fmax(out.loading_worst, fabs(loading));
		out.bottom_sum += bottom;
		out.bottom_square += bottom * bottom;
		out.bottom_worst = fmax(out.bottom_worst, fabs(bottom));
	}
	return out;
}

static void add_misses(struct text *text, const char *what, const struct misses *misses)
{
	double count = (double)misses->count;

	text_addf(text, "%-31s %2zu cases   %7.4f %6.4f %6.4f     %5.2f %4.2f %4.2f\n", what, misses->count,
		misses->loading_sum / count, sqrt(misses->loading_square / count), misses->loading_worst,
		misses->bottom_sum / count, sqrt(misses->bottom_square / count), misses->bottom_worst);
}

/* Aimed at: 0.010 mol/mol and 1.3 K in the mean square, of the cases whose three loadings belong together. */
Test(pilot, the_tight_cases_are_met)
{
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	struct misses tight = misses_of(&csv, true);

	cr_expect_eq(tight.count, 4, "%zu: 1B, 2B, 2D, 4D", tight.count);
	cr_expect_leq(sqrt(tight.loading_square / (double)tight.count), 0.010);
	cr_expect_leq(sqrt(tight.bottom_square / (double)tight.count), 1.3);
}

/* ---- the other cases ---- */

/* Published to 0.01, and to 0.1 K. */
static const double half_digit = 0.005, half_tenth = 0.05;

struct ends {
	double low, high;
};

/* The column with another flow of amine and another rich loading. */
static struct column column_with(const struct plant *plant, double flow, double rich)
{
	struct plant other = *plant;
	struct column column;

	other.amine *= flow;
	other.rich.solution.loading[GAS_CO2] += rich;
	cr_assert(stripper(&other, &column), "%s", plant->name);
	return column;
}

/* From the flow as stated to the one at which carbon dioxide by loadings is that by duty. */
static double closing_flow(const struct plant *plant)
{
	return plant->carbon_dioxide / by_loading(plant);
}

static struct solution_input bottom_of(const struct plant *plant, const struct column *column)
{
	struct solution_input bottom = feed_of(plant);

	bottom.temperature = column->stage[0].temperature;
	bottom.loading[GAS_CO2] = column_lean_loading(column);
	return bottom;
}

/*
 * Of the lean loading: what moves with the flow, and what the last digits and the chemistry leave open at either end.
 */
static struct ends lean_ends(const struct plant *plant)
{
	struct column stated = column_with(plant, 1, 0), closed = column_with(plant, closing_flow(plant), 0);
	double a = column_lean_loading(&stated), b = column_lean_loading(&closed);
	struct column richer = column_with(plant, 1, half_digit);
	struct solution_input input = bottom_of(plant, &stated);
	struct solution bottom;

	cr_assert(solution_solve(&terms_own, &input, &bottom));
	double chemistry = (a + b) / 2 * (range_loading_factor(&bottom, GAS_CO2) - 1);
	double wide = hypot(hypot(half_digit, column_lean_loading(&richer) - a), chemistry);
	return (struct ends){fmin(a, b) - wide, fmax(a, b) + wide};
}

/* Of the reboiler: likewise, with the 5 kPa over the column, which are a setting and not measured, in doubt as a whole. */
static struct ends reboiler_ends(const struct plant *plant)
{
	struct column stated = column_with(plant, 1, 0), closed = column_with(plant, closing_flow(plant), 0);
	double a = stated.stage[0].temperature, b = closed.stage[0].temperature;
	struct solution_input input = bottom_of(plant, &stated);
	double bubble = phase_bubble_temperature(&terms_own, &input, stated.stage[0].pressure);
	double lower = phase_bubble_temperature(&terms_own, &input, stated.stage[0].pressure - bottom_above_top);
	struct solution bottom;

	cr_assert(solution_solve(&terms_own, &input, &bottom));
	input.pressure_factor[GAS_CO2] = range_factor(&bottom, GAS_CO2);
	double chemistry = bubble - phase_bubble_temperature(&terms_own, &input, stated.stage[0].pressure);
	double wide = hypot(hypot(half_tenth, bubble - lower), chemistry);
	return (struct ends){fmin(a, b) - wide, fmax(a, b) + wide};
}

static bool lies_in(double value, struct ends ends)
{
	return value >= ends.low && value <= ends.high;
}

/*
 * What leaves the bottom is read twice: in the reboiler, and where it enters the exchanger, 1.6 to 6.8 K colder. Loss of heat it is
 * not: in 6A, 10A, 14A and 15A that would be more than an eighth of the duty. The colder reading is, in every case, that of the
 * solution at the bottom of the packing (table C4, 0.9 of its depth) less 1.6 K at most: what leaves is, at least in part, what
 * comes down, and the reboiler's outlet is hotter than what leaves. The one temperature of an equilibrium stage lies between.
 */
Test(pilot, what_leaves_the_bottom_is_as_hot_as_the_bottom_of_the_packing)
{
	struct csv csv, profile;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	csv_read("tests/data/pilot_mea_2017_stripper.csv", &profile);
	const double cp = 3.8, eighth = 0.125; /* kJ/kg K, about */
	size_t beyond_loss = 0;

	for (size_t i = 0; i < csv.rows; i++) {
		struct plant plant = plant_of(&csv, i);
		double bed = csv_number(&profile, csv_row(&profile, plant.name), "0.90") + ZERO_CELSIUS;
		double loss = plant.lean.mass_flow * cp * 1e3 * (plant.reboiler - plant.lean.inlet);

		cr_expect(plant.lean.inlet <= bed && plant.lean.inlet > bed - 1.6, "%s: %.1f, %.1f", plant.name,
			plant.lean.inlet, bed);
		cr_expect(plant.reboiler > bed + 0.8, "%s", plant.name);
		beyond_loss += loss > eighth * plant.duty;
	}
	cr_expect_eq(beyond_loss, 4, "%zu: 6A, 10A, 14A, 15A", beyond_loss);
}

/*
 * Carbon dioxide by duty and by loadings differ in these cases by up to 44 %: flow, a loading or the duty is wrong by that. Put on the
 * flow of amine it explains the lean loading of all but 8A, where it is to be put on the lean loading itself (0.163 mol/mol closes the
 * balance, 0.24 is measured). Of the reboilers' own reading it explains 14 of 18; in 10A, 12A, 13A and 15A it is hotter, by 0.8 K at
 * most, and there the colder reading of the same solution, 4 to 7 K below, lies under what is calculated.
 */
Test(pilot, the_other_cases_lie_within_their_own_closure)
{
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	size_t others = 0, by_one_reading = 0;

	for (size_t i = 0; i < csv.rows; i++) {
		struct plant plant = plant_of(&csv, i);
		double made = plant.carbon_dioxide / 3600 / MOLAR_MASS_CO2 / plant.amine;

		if (is_tight(&plant))
			continue;
		struct ends lean = lean_ends(&plant), reboiler = reboiler_ends(&plant);
		bool by_loading_itself = strcmp(plant.name, "8A") == 0;
		double loading = by_loading_itself ? plant.rich.solution.loading[GAS_CO2] - made : plant.lean_loading;

		others++;
		cr_expect(
			lies_in(loading, lean), "%s: %.3f outside %.3f-%.3f", plant.name, loading, lean.low, lean.high);
		by_one_reading += lies_in(plant.reboiler, reboiler);
		cr_expect(plant.reboiler >= reboiler.low && plant.lean.inlet <= reboiler.high,
			"%s: %.2f to %.2f outside %.2f-%.2f", plant.name, plant.lean.inlet, plant.reboiler,
			reboiler.low, reboiler.high);
		cr_expect(!by_loading_itself || !lies_in(plant.lean_loading, lean), "8A needs no word of its own");
	}
	cr_expect_eq(others, 18);
	cr_expect_eq(by_one_reading, 14, "%zu", by_one_reading);
}

static void add_case(struct text *text, const struct plant *plant)
{
	struct column column;
	double lean = exchange_duty(&terms_own, &plant->lean), rich = -exchange_duty(&terms_own, &plant->rich);
	bool found = stripper(plant, &column);

	text_addf(text,
		"%-3s  %4.0f %4.0f %5.1f  %4.2f %5.0f   %3.0f %3.0f %4.0f   %4.2f %5.3f %6.3f   %5.1f %5.1f %4.1f   "
		"%4.1f %4.1f\n",
		plant->name, lean / 1e3, isnan(rich) ? 0 : rich / 1e3,
		isnan(rich) ? 0 : 100 * (lean - rich) / fmax(lean, rich), lmtd_of(plant),
		lean / exchanger_area / lmtd_of(plant), plant->carbon_dioxide, by_loading(plant),
		100 * (by_loading(plant) - plant->carbon_dioxide) / plant->carbon_dioxide, plant->lean_loading,
		found ? column_lean_loading(&column) : 0,
		found ? column_lean_loading(&column) - plant->lean_loading : 0, plant->reboiler - ZERO_CELSIUS,
		found ? column.stage[0].temperature - ZERO_CELSIUS : 0,
		found ? column.stage[0].temperature - plant->reboiler : 0, plant->flash_drop, flash_drop(plant));
}

Test(pilot, printed_table_of_all_cases)
{
	struct csv csv;
	csv_read("tests/data/pilot_mea_2017.csv", &csv);
	struct arena arena = {0};
	struct text text = text_in(&arena);

	text_add(&text,
		"Pilot plant, 30 wt% MEA and CO2 (Morgan et al. 2020, Applied Energy): measured, and calculated by "
		"this program.\n"
		"One setting for all: 10 equilibrium stages with the reboiler, 5 kPa over the column, reflux at 40 "
		"degC; nothing fitted.\n"
		"Stripper: from the rich solution before its valve, pressure and duty alone. 0: not measured (the rich "
		"flow of 2A).\n\n"
		"      exchanger, kW    LMTD  U        CO2, kg/h by    lean loading         reboiler, degC      flash "
		"drop, K\n"
		"case  lean rich  %     K    W/m2K   duty load  %    meas. here  apart   meas.  here apart  meas. "
		"here\n");
	for (size_t i = 0; i < csv.rows; i++) {
		struct plant plant = plant_of(&csv, i);
		add_case(&text, &plant);
	}
	struct misses tight = misses_of(&csv, true), all = misses_of(&csv, false);
	text_add(&text,
		"\nCalculated less measured                       lean loading, mol/mol    reboiler, K\n"
		"                                             bias    rms    worst      bias  rms worst\n");
	add_misses(&text, "lean plus gas is rich within 2 %", &tight);
	add_misses(&text, "all", &all);
	cr_expect(printed_holds("tests/data/pilot_table.txt", text.data), "make tables, and look at what moved");
	arena_release(&arena);
}
