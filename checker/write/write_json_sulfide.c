#include "write/write_json.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "sulfide/calibration.h"
#include "sulfide/lean_side.h"

static const double hour = 3600, kilo = 1e3, milligrams = 1e6, millimetres_a_year = 1e3 * 8760 * 3600;

struct maker {
	const struct review *review;
	struct json_out *out;
};

static void put_case(struct maker *maker, int operating_case)
{
	json_out_words_or_null(maker->out, "case", table_case(maker->review->table, operating_case)->id);
}

static void fractions_row(struct json_out *out, const char *name, struct fractions fractions)
{
	json_out_object(out, name);
	json_out_number(out, "mackinawite", fractions.mackinawite);
	json_out_number(out, "pyrrhotite", fractions.pyrrhotite);
	json_out_number(out, "pyrite", fractions.pyrite);
	json_out_end(out);
}

/* Members of the object that is open. */
static void put_sentence(struct json_out *out, const struct sentence *sentence)
{
	json_out_words_or_null(out, "sentence", sentence->words);
	json_out_array(out, "figures");
	for (size_t i = 0; i < sentence->figure_count; i++) {
		json_out_object(out, NULL);
		json_out_words_or_null(out, "name", sentence->figures[i].name);
		json_out_number(out, "value", sentence->figures[i].value);
		json_out_words_or_null(out, "shown", sentence->figures[i].shown);
		json_out_end(out);
	}
	json_out_end(out);
}

/* ---- the answer at a place ---- */

static void put_answer(struct json_out *out, const struct scale_answer *answer)
{
	json_out_words_or_null(out, "scale", scale_word(answer->scale));
	fractions_row(out, "scale_fractions", answer->fractions);
	json_out_yes(out, "scale_extrapolated", answer->extrapolated);
	json_out_words_or_null(out, "confidence", confidence_word(answer->confidence));
	json_out_words_or_null(out, "barrier", barrier_word(answer->barrier));
	json_out_words_or_null(out, "scale_by_temperature", scale_word(answer->by_temperature));
	json_out_number(out, "mackinawite_iron_mg_kg", answer->saturation_sulfide * milligrams);
	json_out_number(out, "siderite_iron_mg_kg", answer->saturation_carbonate * milligrams);
}

static void age_rows(struct json_out *out, const struct scale_answer *by_age)
{
	json_out_array(out, "by_film_age");
	for (size_t i = 0; i < FILM_AGES; i++) {
		json_out_object(out, NULL);
		json_out_number(out, "film_age_h", *film_ages[i]);
		put_answer(out, &by_age[i]);
		json_out_end(out);
	}
	json_out_end(out);
}

static double ratio(double a, double b)
{
	return b > 0 ? a / b : (double)NAN;
}

/* pH and partial pressures, with the ends of what they are nine times in ten. */
static void put_ends(struct json_out *out, const struct solution *s)
{
	struct interval h2s = range_pressure(s, GAS_H2S), co2 = range_pressure(s, GAS_CO2);
	json_out_number(out, "ph", s->ph);
	json_out_number(out, "ph_low", s->ph - range_ph(s));
	json_out_number(out, "ph_high", s->ph + range_ph(s));
	json_out_number(out, "h2s_partial_pressure_kPa", s->partial_pressure[GAS_H2S] / kilo);
	json_out_number(out, "h2s_partial_pressure_low_kPa", h2s.low / kilo);
	json_out_number(out, "h2s_partial_pressure_high_kPa", h2s.high / kilo);
	json_out_number(out, "co2_partial_pressure_kPa", s->partial_pressure[GAS_CO2] / kilo);
	json_out_number(out, "co2_partial_pressure_low_kPa", co2.low / kilo);
	json_out_number(out, "co2_partial_pressure_high_kPa", co2.high / kilo);
}

static void put_state(struct json_out *out, const struct reading_at *reading)
{
	const struct solution *s = &reading->solution;
	bool pressure = is_number(reading->pressure.quantity);
	json_out_number(out, "temperature_degC", s->input.temperature - ZERO_CELSIUS);
	json_out_number(out, "pressure_kPa", pressure ? reading->pressure.quantity->si / kilo : (double)NAN);
	json_out_number(out, "h2s_loading", s->loading[GAS_H2S]);
	json_out_number(out, "co2_loading", s->loading[GAS_CO2]);
	put_ends(out, s);
	json_out_number(out, "h2s_aq_mol_kg", s->molality[SPECIES_H2S]);
	json_out_number(out, "hs_mol_kg", s->molality[SPECIES_HS]);
	json_out_number(out, "hco3_mol_kg", s->molality[SPECIES_HCO3]);
	json_out_number(out, "hco3_over_hs", ratio(s->molality[SPECIES_HCO3], s->molality[SPECIES_HS]));
	json_out_yes(out, "in_fitted_range", s->in_fitted_range);
	json_out_number(out, "iron_mg_kg", reading->iron * milligrams);
	json_out_yes(out, "iron_assumed", reading->iron_assumed);
	json_out_number(out, "fes_tendency", reading->tendency);
}

static void share_row(struct json_out *out, const struct scale_shares *shares)
{
	json_out_object(out, "sample_shares");
	json_out_whole(out, "samples", (long long)shares->samples);
	for (int i = 0; i < SCALE_COUNT; i++)
		json_out_number(out, scale_word((enum scale)i), shares->share[i]);
	json_out_end(out);
}

/* What is known where nothing is missing. */
static void put_reading(struct json_out *out, const struct reading_at *reading, const struct scale_shares *shares)
{
	put_state(out, reading);
	json_out_number(out, "film_age_h", reading->age.seconds / hour);
	json_out_words_or_null(out, "film_age_from",
		reading->age.from_rate	       ? "corrosion rate"
			: reading->age.assumed ? "assumed"
					       : "stated");
	json_out_number(out, "corrosion_rate_mm_y", reading->age.corrosion_rate * millimetres_a_year);
	put_answer(out, &reading->answer);
	age_rows(out, reading->by_age);
	if (shares)
		share_row(out, shares);
	else
		json_out_null(out, "sample_shares");
}

static void reading_row(struct maker *maker, const struct reading_at *reading, const struct scale_shares *shares)
{
	json_out_object(maker->out, NULL);
	const struct location *location = reading->location;
	json_out_words_or_null(maker->out, "place", location->name);
	json_out_words_or_null(maker->out, "item", location->item->tag);
	json_out_words_or_null(maker->out, "stream", location->stream ? location->stream->tag : NULL);
	json_out_words_or_null(maker->out, "side", location->side == SIDE_LEAN ? "lean" : "rich");
	put_case(maker, reading->operating_case);
	json_out_words_or_null(maker->out, "missing", reading->missing.reason);
	if (!reading->missing.reason)
		put_reading(maker->out, reading, shares);
	json_out_end(maker->out);
}

static void circuit_rows(struct maker *maker, const struct lean_side *all)
{
	json_out_array(maker->out, "circuit");
	for (size_t i = 0; i < all->circuit->reading_count; i++)
		reading_row(maker, &all->circuit->readings[i], all->shares ? &all->shares[i] : NULL);
	json_out_end(maker->out);
}

/* ---- the exchanger ---- */

static void side_row(struct json_out *out, const char *name, const struct slice_side *side)
{
	json_out_object(out, name);
	json_out_number(out, "temperature_degC", side->temperature - ZERO_CELSIUS);
	json_out_number(out, "ph", side->ph);
	json_out_number(out, "h2s_partial_pressure_kPa", side->h2s_pressure / kilo);
	json_out_number(out, "h2s_aq_mol_kg", side->h2s_aq);
	json_out_number(out, "fes_tendency", side->tendency);
	put_answer(out, &side->answer);
	json_out_array(out, "dense_share_by_film_age");
	for (size_t i = 0; i < FILM_AGES; i++)
		json_out_number(out, NULL, fractions_dense(side->by_age[i].fractions));
	json_out_end(out);
	json_out_end(out);
}

static void slice_row(struct json_out *out, const struct slice *slice, bool pressure_known)
{
	json_out_object(out, NULL);
	json_out_number(out, "duty_share", slice->duty);
	json_out_number(out, "wall_degC", slice->wall - ZERO_CELSIUS);
	if (pressure_known)
		json_out_yes(out, "rich_flashes", slice->flashes);
	else
		json_out_null(out, "rich_flashes");
	side_row(out, "lean", &slice->lean);
	side_row(out, "rich", &slice->rich);
	json_out_end(out);
}

static void profile_row(struct maker *maker, const struct profile_of *profile)
{
	json_out_object(maker->out, NULL);
	json_out_words_or_null(maker->out, "exchanger", profile->exchanger->tag);
	put_case(maker, profile->operating_case);
	json_out_words_or_null(maker->out, "missing", profile->missing.reason);
	json_out_array(maker->out, "slices");
	for (size_t i = 0; i < EXCHANGER_NODES && !profile->missing.reason; i++)
		slice_row(maker->out, &profile->slices[i], profile->pressure_known);
	json_out_end(maker->out);
	json_out_end(maker->out);
}

/* ---- the over-stripping question ---- */

static void put_allowance(struct json_out *out, const struct allowance *allowance)
{
	const double per_million = 1e6;
	json_out_words_or_null(out, "absorber", allowance->absorber->tag);
	json_out_number(out, "specified_ppmv", allowance->specified * per_million);
	json_out_number(out, "gas_pressure_kPa", allowance->pressure / kilo);
	json_out_number(out, "temperature_degC", allowance->temperature - ZERO_CELSIUS);
	json_out_number(out, "co2_loading", allowance->co2);
	json_out_number(out, "largest_loading_mol_mol", allowance->loading);
}

static void allowance_row(struct maker *maker, const struct allowance *allowance)
{
	json_out_object(maker->out, NULL);
	put_case(maker, allowance->operating_case);
	json_out_words_or_null(maker->out, "missing", allowance->missing.reason);
	if (!allowance->missing.reason)
		put_allowance(maker->out, allowance);
	json_out_end(maker->out);
}

static void window_age_row(struct json_out *out, const struct window_age *age)
{
	json_out_object(out, NULL);
	json_out_number(out, "film_age_h", age->age / hour);
	json_out_words_or_null(out, "answer", window_word(age->answer));
	json_out_number(out, "dense_share", age->dense);
	json_out_number(out, "dense_share_ten_times_faster", age->dense_faster);
	json_out_number(out, "least_loading_mol_mol", age->least_loading);
	json_out_end(out);
}

static void window_row(struct maker *maker, const struct window *window)
{
	json_out_object(maker->out, NULL);
	put_sentence(maker->out, &window->sentence);
	json_out_words_or_null(maker->out, "place", window->reading->location->name);
	put_case(maker, window->reading->operating_case);
	json_out_words_or_null(maker->out, "answer", window_word(window->governing.answer));
	json_out_number(maker->out, "temperature_degC", window->reading->solution.input.temperature - ZERO_CELSIUS);
	json_out_number(maker->out, "largest_loading_mol_mol", window->ceiling);
	json_out_words_or_null(
		maker->out, "largest_loading_by", window->by_specification ? "specification" : "end of the sweep");
	json_out_number(maker->out, "h2s_aq_mol_kg", window->h2s_at_ceiling);
	json_out_number(maker->out, "least_loading_mol_mol", window->governing.least_loading);
	json_out_number(maker->out, "dense_share", window->governing.dense);
	json_out_number(maker->out, "dense_share_ten_times_faster", window->governing.dense_faster);
	json_out_number(maker->out, "film_age_h", window->governing.age / hour);
	json_out_array(maker->out, "by_film_age");
	for (size_t i = 0; i < FILM_AGES; i++)
		window_age_row(maker->out, &window->ages[i]);
	json_out_end(maker->out);
	json_out_end(maker->out);
}

static void sweep_point(struct json_out *out, const struct sweep *sweep, size_t i)
{
	json_out_object(out, NULL);
	json_out_number(out, "h2s_loading", sweep->loading[i]);
	json_out_number(out, "h2s_aq_mol_kg", sweep->h2s[i]);
	json_out_words_or_null(out, "scale", scale_word(sweep->scale[i]));
	fractions_row(out, "scale_fractions", sweep->governing[i]);
	json_out_array(out, "dense_share_by_film_age");
	for (size_t k = 0; k < FILM_AGES; k++)
		json_out_number(out, NULL, sweep->dense[i][k]);
	json_out_end(out);
	json_out_end(out);
}

static void sweep_row(struct maker *maker, const struct sweep *sweep)
{
	json_out_object(maker->out, NULL);
	json_out_words_or_null(maker->out, "place", sweep->window->reading->location->name);
	put_case(maker, sweep->window->reading->operating_case);
	json_out_array(maker->out, "points");
	for (size_t i = 0; i < SWEEP_NODES; i++)
		sweep_point(maker->out, sweep, i);
	json_out_end(maker->out);
	json_out_end(maker->out);
}

static void claim_row(struct json_out *out, const struct film_claim *claim)
{
	json_out_object(out, NULL);
	put_sentence(out, &claim->sentence);
	json_out_words_or_null(out, "item", claim->item->tag);
	json_out_words_or_null(out, "answer", window_word(claim->answer));
	json_out_number(out, "claimed_mol_mol", claim->claimed);
	json_out_number(out, "over_specification", claim->over_allowed);
	json_out_whole(out, "line", claim->item->place.line);
	json_out_end(out);
}

static void overstripping_row(struct maker *maker, const struct overstripping *all)
{
	struct json_out *out = maker->out;
	json_out_object(out, "overstripping");
	json_out_array(out, "answers");
	for (size_t i = 0; i < all->answer_count; i++) {
		json_out_object(out, NULL);
		put_sentence(out, &all->answers[i]);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_array(out, "allowances");
	for (size_t i = 0; i < all->allowance_count; i++)
		allowance_row(maker, &all->allowances[i]);
	json_out_end(out);
	json_out_array(out, "windows");
	for (size_t i = 0; i < all->window_count; i++)
		window_row(maker, &all->windows[i]);
	json_out_end(out);
	json_out_array(out, "sweeps");
	for (size_t i = 0; i < all->sweep_count; i++)
		sweep_row(maker, &all->sweeps[i]);
	json_out_end(out);
	json_out_array(out, "claims");
	for (size_t i = 0; i < all->claim_count; i++)
		claim_row(out, &all->claims[i]);
	json_out_end(out);
	json_out_end(out);
}

/* ---- the rest ---- */

static void iron_row(struct json_out *out, const struct iron_balance *iron)
{
	json_out_object(out, "iron");
	json_out_words_or_null(out, "missing", iron->missing.reason);
	json_out_number(out, "floor_mg_kg", iron->floor * milligrams);
	if (!iron->missing.reason) {
		json_out_number(out, "stated_mg_kg", iron->stated * milligrams);
		json_out_number(out, "beyond_floor_mg_kg", iron->particles * milligrams);
		json_out_number(out, "iron_sulfide_kg_h", iron->circulating * hour);
		json_out_words_or_null(out, "stream", iron->stream ? iron->stream->tag : NULL);
	}
	json_out_end(out);
}

static void put_of_solvent(struct maker *maker, const char *name, int operating_case, const char *quantity, double unit)
{
	const struct table *table = maker->review->table;
	const struct quantity *found = table_peek(table, table_sole(table, "solvent"), operating_case, quantity);
	json_out_number(maker->out, name, found && found->known != UNKNOWN ? found->si / unit : (double)NAN);
}

/* What the salts of the solvent are and do, in each steady case. */
static void salts_rows(struct maker *maker, const struct circuit *circuit)
{
	const double per_cent = 0.01;
	const struct table *table = maker->review->table;
	const struct item *solvent = table_sole(table, "solvent");
	json_out_array(maker->out, "salts");
	for (size_t i = 0; i < circuit->case_count; i++) {
		int at = circuit->cases[i];
		if (!solvent || !table_peek(table, solvent, at, "bound-amine"))
			continue;
		json_out_object(maker->out, NULL);
		json_out_words_or_null(maker->out, "case", table_case(table, at)->id);
		put_of_solvent(maker, "bound_amine_pct", at, "bound-amine", per_cent);
		json_out_words_or_null(maker->out, "strength_basis", table_word(table, solvent, at, "strength-basis"));
		put_of_solvent(maker, "total_strength_wt_pct", at, "total-strength", per_cent);
		put_of_solvent(maker, "ph_shift", at, "ph-by-salts", 1);
		put_of_solvent(maker, "h2s_pressure_factor", at, "h2s-pressure-by-salts", 1);
		json_out_end(maker->out);
	}
	json_out_end(maker->out);
}

static void map_row(struct json_out *out, const struct phase_map *map)
{
	json_out_object(out, "phase_map");
	json_out_number(out, "film_age_h", map->age / hour);
	json_out_array(out, "borders");
	for (size_t i = 0; i < PHASE_MAP_NODES; i++) {
		const struct phase_border *border = &map->borders[i];
		json_out_object(out, NULL);
		json_out_number(out, "temperature_degC", border->temperature - ZERO_CELSIUS);
		json_out_number(out, "dense_from_kPa", border->dense / kilo);
		json_out_number(out, "pyrite_from_kPa", border->pyrite / kilo);
		json_out_number(out, "calibrated_from_kPa", border->calibrated / kilo);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}

static void score_row(struct json_out *out, const char *name, enum calibration_use use)
{
	struct calibration_score score = calibration_score(use);
	json_out_object(out, name);
	json_out_whole(out, "rows", (long long)score.rows);
	json_out_whole(out, "hits", (long long)score.hits);
	json_out_whole(out, "temperature_rule_hits", (long long)score.temperature_hits);
	json_out_end(out);
}

static void consistency_row(struct json_out *out)
{
	json_out_object(out, "self_consistency");
	score_row(out, "calibration", CALIBRATION_FIT);
	score_row(out, "check", CALIBRATION_CHECK);
	json_out_end(out);
}

void json_sulfide(struct json_out *out, const struct review *review)
{
	const struct lean_side *all = review->lean_side;
	struct maker maker = {.review = review, .out = out};
	json_out_object(out, "sulfide");
	json_out_yes(out, "sweet", all->circuit->sweet);
	overstripping_row(&maker, all->overstripping);
	circuit_rows(&maker, all);
	json_out_array(out, "exchangers");
	for (size_t i = 0; i < all->exchangers.count; i++)
		profile_row(&maker, &all->exchangers.profiles[i]);
	json_out_end(out);
	salts_rows(&maker, all->circuit);
	iron_row(out, &all->iron);
	json_out_yes(out, "cold_end_fouls", all->cold_end_fouls);
	map_row(out, &all->map);
	consistency_row(out);
	if (all->shares)
		json_out_whole(out, "sample_seed", SCALE_SEED);
	else
		json_out_null(out, "sample_seed");
	json_out_end(out);
}
