#include "write/write_json.h"

#include <math.h>

#include "chemistry/constants.h"
#include "sulfide/calibration.h"
#include "sulfide/lean_side.h"

static const double hour = 3600, kilo = 1e3, milligrams = 1e6, millimetres_a_year = 1e3 * 8760 * 3600;

struct maker {
	const struct review *review;
	struct record *out;
};

static void set_case(struct maker *maker, int operating_case)
{
	record_text_or_null(maker->out, "case", table_case(maker->review->table, operating_case)->id);
}

static void fractions_row(struct maker *maker, struct fractions fractions)
{
	record_object(maker->out, "scale_fractions");
	record_real(maker->out, "mackinawite", fractions.mackinawite);
	record_real(maker->out, "pyrrhotite", fractions.pyrrhotite);
	record_real(maker->out, "pyrite", fractions.pyrite);
	record_close(maker->out);
}

/* The members that every sentence has. */
static void set_sentence(struct maker *maker, const struct sentence *sentence)
{
	record_text_or_null(maker->out, "sentence", sentence->words);
	record_array(maker->out, "figures");
	for (size_t i = 0; i < sentence->figure_count; i++) {
		record_object(maker->out, NULL);
		record_text_or_null(maker->out, "name", sentence->figures[i].name);
		record_real(maker->out, "value", sentence->figures[i].value);
		record_text_or_null(maker->out, "shown", sentence->figures[i].shown);
		record_close(maker->out);
	}
	record_close(maker->out);
}

/* ---- the answer at a place ---- */

static void set_answer(struct maker *maker, const struct scale_answer *answer)
{
	record_text_or_null(maker->out, "scale", scale_word(answer->scale));
	fractions_row(maker, answer->fractions);
	record_flag(maker->out, "scale_extrapolated", answer->extrapolated);
	record_text_or_null(maker->out, "confidence", confidence_word(answer->confidence));
	record_text_or_null(maker->out, "barrier", barrier_word(answer->barrier));
	record_text_or_null(maker->out, "scale_by_temperature", scale_word(answer->by_temperature));
	record_real(maker->out, "mackinawite_iron_mg_kg", answer->saturation_sulfide * milligrams);
	record_real(maker->out, "siderite_iron_mg_kg", answer->saturation_carbonate * milligrams);
}

static void age_rows(struct maker *maker, const struct scale_answer *by_age)
{
	for (size_t i = 0; i < FILM_AGES; i++) {
		record_object(maker->out, NULL);
		record_real(maker->out, "film_age_h", *film_ages[i]);
		set_answer(maker, &by_age[i]);
		record_close(maker->out);
	}
}

static double ratio(double a, double b)
{
	return b > 0 ? a / b : (double)NAN;
}

static void set_state(struct maker *maker, const struct reading_at *reading)
{
	const struct solution *s = &reading->solution;
	bool pressure = is_number(reading->pressure.quantity);
	record_real(maker->out, "temperature_degC", s->input.temperature - ZERO_CELSIUS);
	record_real(maker->out, "pressure_kPa", pressure ? reading->pressure.quantity->si / kilo : (double)NAN);
	record_real(maker->out, "h2s_loading", s->loading[GAS_H2S]);
	record_real(maker->out, "co2_loading", s->loading[GAS_CO2]);
	record_real(maker->out, "ph", s->ph);
	record_real(maker->out, "h2s_partial_pressure_kPa", s->partial_pressure[GAS_H2S] / kilo);
	record_real(maker->out, "co2_partial_pressure_kPa", s->partial_pressure[GAS_CO2] / kilo);
	record_real(maker->out, "h2s_aq_mol_kg", s->molality[SPECIES_H2S]);
	record_real(maker->out, "hs_mol_kg", s->molality[SPECIES_HS]);
	record_real(maker->out, "hco3_mol_kg", s->molality[SPECIES_HCO3]);
	record_real(maker->out, "hco3_over_hs", ratio(s->molality[SPECIES_HCO3], s->molality[SPECIES_HS]));
	record_real(maker->out, "h2s_uncertainty", s->uncertainty[GAS_H2S]);
	record_flag(maker->out, "in_fitted_range", s->in_fitted_range);
	record_real(maker->out, "iron_mg_kg", reading->iron * milligrams);
	record_flag(maker->out, "iron_assumed", reading->iron_assumed);
	record_real(maker->out, "fes_tendency", reading->tendency);
}

static void share_row(struct maker *maker, const struct scale_shares *shares)
{
	record_object(maker->out, "sample_shares");
	record_integer(maker->out, "samples", (long long)shares->samples);
	for (int i = 0; i < SCALE_COUNT; i++)
		record_real(maker->out, scale_word((enum scale)i), shares->share[i]);
	record_close(maker->out);
}

static void reading_row(struct maker *maker, const struct reading_at *reading, const struct scale_shares *shares)
{
	record_object(maker->out, NULL);
	const struct location *location = reading->location;
	record_text_or_null(maker->out, "place", location->name);
	record_text_or_null(maker->out, "item", location->item->tag);
	record_text_or_null(maker->out, "stream", location->stream ? location->stream->tag : NULL);
	record_text_or_null(maker->out, "side", location->side == SIDE_LEAN ? "lean" : "rich");
	set_case(maker, reading->operating_case);
	record_text_or_null(maker->out, "missing", reading->missing);
	if (reading->missing) {
		record_close(maker->out);
		return;
	}
	set_state(maker, reading);
	record_real(maker->out, "film_age_h", reading->age.seconds / hour);
	record_text_or_null(maker->out, "film_age_from",
		reading->age.from_rate	       ? "corrosion rate"
			: reading->age.assumed ? "assumed"
					       : "stated");
	record_real(maker->out, "corrosion_rate_mm_y", reading->age.corrosion_rate * millimetres_a_year);
	set_answer(maker, &reading->answer);
	record_array(maker->out, "by_film_age");
	age_rows(maker, reading->by_age);
	record_close(maker->out);
	if (shares)
		share_row(maker, shares);
	else
		record_null(maker->out, "sample_shares");
	record_close(maker->out);
}

static void circuit_rows(struct maker *maker, const struct lean_side *all)
{
	for (size_t i = 0; i < all->circuit->reading_count; i++)
		reading_row(maker, &all->circuit->readings[i], all->shares ? &all->shares[i] : NULL);
}

/* ---- the exchanger ---- */

static void side_row(struct maker *maker, const char *name, const struct slice_side *side)
{
	record_object(maker->out, name);
	record_real(maker->out, "temperature_degC", side->temperature - ZERO_CELSIUS);
	record_real(maker->out, "ph", side->ph);
	record_real(maker->out, "h2s_partial_pressure_kPa", side->h2s_pressure / kilo);
	record_real(maker->out, "h2s_aq_mol_kg", side->h2s_aq);
	record_real(maker->out, "fes_tendency", side->tendency);
	set_answer(maker, &side->answer);
	record_array(maker->out, "dense_share_by_film_age");
	for (size_t i = 0; i < FILM_AGES; i++)
		record_real(maker->out, NULL, fractions_dense(side->by_age[i].fractions));
	record_close(maker->out);
	record_close(maker->out);
}

static void profile_row(struct maker *maker, const struct profile_of *profile)
{
	record_object(maker->out, NULL);
	record_text_or_null(maker->out, "exchanger", profile->exchanger->tag);
	set_case(maker, profile->operating_case);
	record_text_or_null(maker->out, "missing", profile->missing);
	record_array(maker->out, "slices");
	for (size_t i = 0; i < EXCHANGER_NODES && !profile->missing; i++) {
		const struct slice *slice = &profile->slices[i];
		record_object(maker->out, NULL);
		record_real(maker->out, "duty_share", slice->duty);
		record_real(maker->out, "wall_degC", slice->wall - ZERO_CELSIUS);
		if (profile->pressure_known)
			record_flag(maker->out, "rich_flashes", slice->flashes);
		else
			record_null(maker->out, "rich_flashes");
		side_row(maker, "lean", &slice->lean);
		side_row(maker, "rich", &slice->rich);
		record_close(maker->out);
	}
	record_close(maker->out);
	record_close(maker->out);
}

/* ---- the over-stripping question ---- */

static void allowance_row(struct maker *maker, const struct allowance *allowance)
{
	const double per_million = 1e6;
	record_object(maker->out, NULL);
	set_case(maker, allowance->operating_case);
	record_text_or_null(maker->out, "missing", allowance->missing);
	if (allowance->missing) {
		record_close(maker->out);
		return;
	}
	record_text_or_null(maker->out, "absorber", allowance->absorber->tag);
	record_real(maker->out, "specified_ppmv", allowance->specified * per_million);
	record_real(maker->out, "gas_pressure_kPa", allowance->pressure / kilo);
	record_real(maker->out, "temperature_degC", allowance->temperature - ZERO_CELSIUS);
	record_real(maker->out, "co2_loading", allowance->co2);
	record_real(maker->out, "largest_loading_mol_mol", allowance->loading);
	record_close(maker->out);
}

static void window_age_row(struct maker *maker, const struct window_age *age)
{
	record_object(maker->out, NULL);
	record_real(maker->out, "film_age_h", age->age / hour);
	record_text_or_null(maker->out, "answer", window_word(age->answer));
	record_real(maker->out, "dense_share", age->dense);
	record_real(maker->out, "dense_share_ten_times_faster", age->dense_faster);
	record_real(maker->out, "least_loading_mol_mol", age->least_loading);
	record_close(maker->out);
}

static void window_row(struct maker *maker, const struct window *window)
{
	record_object(maker->out, NULL);
	set_sentence(maker, &window->sentence);
	record_text_or_null(maker->out, "place", window->reading->location->name);
	set_case(maker, window->reading->operating_case);
	record_text_or_null(maker->out, "answer", window_word(window->governing.answer));
	record_real(maker->out, "temperature_degC", window->reading->solution.input.temperature - ZERO_CELSIUS);
	record_real(maker->out, "largest_loading_mol_mol", window->ceiling);
	record_text_or_null(
		maker->out, "largest_loading_by", window->by_specification ? "specification" : "end of the sweep");
	record_real(maker->out, "h2s_aq_mol_kg", window->h2s_at_ceiling);
	record_real(maker->out, "least_loading_mol_mol", window->governing.least_loading);
	record_real(maker->out, "dense_share", window->governing.dense);
	record_real(maker->out, "dense_share_ten_times_faster", window->governing.dense_faster);
	record_real(maker->out, "film_age_h", window->governing.age / hour);
	record_array(maker->out, "by_film_age");
	for (size_t i = 0; i < FILM_AGES; i++)
		window_age_row(maker, &window->ages[i]);
	record_close(maker->out);
	record_close(maker->out);
}

static void sweep_row(struct maker *maker, const struct sweep *sweep)
{
	record_object(maker->out, NULL);
	record_text_or_null(maker->out, "place", sweep->window->reading->location->name);
	set_case(maker, sweep->window->reading->operating_case);
	record_array(maker->out, "points");
	for (size_t i = 0; i < SWEEP_NODES; i++) {
		record_object(maker->out, NULL);
		record_real(maker->out, "h2s_loading", sweep->loading[i]);
		record_real(maker->out, "h2s_aq_mol_kg", sweep->h2s[i]);
		record_text_or_null(maker->out, "scale", scale_word(sweep->scale[i]));
		fractions_row(maker, sweep->governing[i]);
		record_array(maker->out, "dense_share_by_film_age");
		for (size_t k = 0; k < FILM_AGES; k++)
			record_real(maker->out, NULL, sweep->dense[i][k]);
		record_close(maker->out);
		record_close(maker->out);
	}
	record_close(maker->out);
	record_close(maker->out);
}

static void claim_row(struct maker *maker, const struct film_claim *claim)
{
	record_object(maker->out, NULL);
	set_sentence(maker, &claim->sentence);
	record_text_or_null(maker->out, "item", claim->item->tag);
	record_text_or_null(maker->out, "answer", window_word(claim->answer));
	record_real(maker->out, "claimed_mol_mol", claim->claimed);
	record_real(maker->out, "over_specification", claim->over_allowed);
	record_integer(maker->out, "line", claim->item->place.line);
	record_close(maker->out);
}

static void overstripping_row(struct maker *maker, const struct overstripping *all)
{
	record_object(maker->out, "overstripping");
	record_array(maker->out, "answers");
	for (size_t i = 0; i < all->answer_count; i++) {
		record_object(maker->out, NULL);
		set_sentence(maker, &all->answers[i]);
		record_close(maker->out);
	}
	record_close(maker->out);
	record_array(maker->out, "allowances");
	for (size_t i = 0; i < all->allowance_count; i++)
		allowance_row(maker, &all->allowances[i]);
	record_close(maker->out);
	record_array(maker->out, "windows");
	for (size_t i = 0; i < all->window_count; i++)
		window_row(maker, &all->windows[i]);
	record_close(maker->out);
	record_array(maker->out, "sweeps");
	for (size_t i = 0; i < all->sweep_count; i++)
		sweep_row(maker, &all->sweeps[i]);
	record_close(maker->out);
	record_array(maker->out, "claims");
	for (size_t i = 0; i < all->claim_count; i++)
		claim_row(maker, &all->claims[i]);
	record_close(maker->out);
	record_close(maker->out);
}

/* ---- the rest ---- */

static void iron_row(struct maker *maker, const struct iron_balance *iron)
{
	record_object(maker->out, "iron");
	record_text_or_null(maker->out, "missing", iron->missing);
	record_real(maker->out, "floor_mg_kg", iron->floor * milligrams);
	if (iron->missing) {
		record_close(maker->out);
		return;
	}
	record_real(maker->out, "stated_mg_kg", iron->stated * milligrams);
	record_real(maker->out, "beyond_floor_mg_kg", iron->particles * milligrams);
	record_real(maker->out, "iron_sulfide_kg_h", iron->circulating * hour);
	record_text_or_null(maker->out, "stream", iron->stream ? iron->stream->tag : NULL);
	record_close(maker->out);
}

static void map_row(struct maker *maker, const struct phase_map *map)
{
	record_object(maker->out, "phase_map");
	record_real(maker->out, "film_age_h", map->age / hour);
	record_array(maker->out, "borders");
	for (size_t i = 0; i < PHASE_MAP_NODES; i++) {
		const struct phase_border *border = &map->borders[i];
		record_object(maker->out, NULL);
		record_real(maker->out, "temperature_degC", border->temperature - ZERO_CELSIUS);
		record_real(maker->out, "dense_from_kPa", border->dense / kilo);
		record_real(maker->out, "pyrite_from_kPa", border->pyrite / kilo);
		record_real(maker->out, "calibrated_from_kPa", border->calibrated / kilo);
		record_close(maker->out);
	}
	record_close(maker->out);
	record_close(maker->out);
}

static void score_row(struct maker *maker, const char *name, enum calibration_use use)
{
	struct calibration_score score = calibration_score(use);
	record_object(maker->out, name);
	record_integer(maker->out, "rows", (long long)score.rows);
	record_integer(maker->out, "hits", (long long)score.hits);
	record_integer(maker->out, "temperature_rule_hits", (long long)score.temperature_hits);
	record_close(maker->out);
}

static void consistency_row(struct maker *maker)
{
	record_object(maker->out, "self_consistency");
	score_row(maker, "calibration", CALIBRATION_FIT);
	score_row(maker, "check", CALIBRATION_CHECK);
	record_close(maker->out);
}

void write_json_sulfide(const struct review *review, struct record *out)
{
	const struct lean_side *all = review->lean_side;
	struct maker maker = {.review = review, .out = out};
	record_flag(out, "sweet", all->circuit->sweet);
	overstripping_row(&maker, all->overstripping);
	record_array(out, "circuit");
	circuit_rows(&maker, all);
	record_close(out);
	record_array(out, "exchangers");
	for (size_t i = 0; i < all->exchangers.count; i++)
		profile_row(&maker, &all->exchangers.profiles[i]);
	record_close(out);
	iron_row(&maker, &all->iron);
	record_flag(out, "cold_end_fouls", all->cold_end_fouls);
	map_row(&maker, &all->map);
	consistency_row(&maker);
	if (all->shares)
		record_integer(out, "sample_seed", SCALE_SEED);
	else
		record_null(out, "sample_seed");
}
