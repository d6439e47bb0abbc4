#include "write/write_json.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "sulfide/calibration.h"
#include "sulfide/lean_side.h"

static const double hour = 3600, kilo = 1e3, milligrams = 1e6, millimetres_a_year = 1e3 * 8760 * 3600;

struct maker {
	const struct review *review;
	bool failed;
};

static void set(struct maker *maker, json_t *object, const char *name, json_t *value)
{
	if (!value || json_object_set_new_nocheck(object, name, value) != 0)
		maker->failed = true;
}

static void append(struct maker *maker, json_t *array, json_t *value)
{
	if (!value || json_array_append_new(array, value) != 0)
		maker->failed = true;
}

static void set_number(struct maker *maker, json_t *object, const char *name, double value)
{
	set(maker, object, name, isfinite(value) ? json_real(value) : json_null());
}

static void set_words(struct maker *maker, json_t *object, const char *name, const char *words)
{
	set(maker, object, name, words && *words ? json_string(words) : json_null());
}

static void set_case(struct maker *maker, json_t *object, int operating_case)
{
	set_words(maker, object, "case", table_case(maker->review->table, operating_case)->id);
}

static json_t *fractions_row(struct maker *maker, struct fractions fractions)
{
	json_t *row = json_object();
	set_number(maker, row, "mackinawite", fractions.mackinawite);
	set_number(maker, row, "pyrrhotite", fractions.pyrrhotite);
	set_number(maker, row, "pyrite", fractions.pyrite);
	return row;
}

static json_t *sentence_row(struct maker *maker, const struct sentence *sentence)
{
	json_t *row = json_object(), *figures = json_array();
	set_words(maker, row, "sentence", sentence->words);
	for (size_t i = 0; i < sentence->figure_count; i++) {
		json_t *figure = json_object();
		set_words(maker, figure, "name", sentence->figures[i].name);
		set_number(maker, figure, "value", sentence->figures[i].value);
		set_words(maker, figure, "shown", sentence->figures[i].shown);
		append(maker, figures, figure);
	}
	set(maker, row, "figures", figures);
	return row;
}

/* ---- the answer at a place ---- */

static void set_answer(struct maker *maker, json_t *row, const struct scale_answer *answer)
{
	set_words(maker, row, "scale", scale_word(answer->scale));
	set(maker, row, "scale_fractions", fractions_row(maker, answer->fractions));
	set(maker, row, "scale_extrapolated", json_boolean(answer->extrapolated));
	set_words(maker, row, "confidence", confidence_word(answer->confidence));
	set_words(maker, row, "barrier", barrier_word(answer->barrier));
	set_words(maker, row, "scale_by_temperature", scale_word(answer->by_temperature));
	set_number(maker, row, "mackinawite_iron_mg_kg", answer->saturation_sulfide * milligrams);
	set_number(maker, row, "siderite_iron_mg_kg", answer->saturation_carbonate * milligrams);
}

static json_t *age_rows(struct maker *maker, const struct scale_answer *by_age)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < FILM_AGES; i++) {
		json_t *row = json_object();
		set_number(maker, row, "film_age_h", *film_ages[i]);
		set_answer(maker, row, &by_age[i]);
		append(maker, rows, row);
	}
	return rows;
}

static double ratio(double a, double b)
{
	return b > 0 ? a / b : (double)NAN;
}

/* pH and partial pressures, with the ends of what they are nine times in ten. */
static void set_ends(struct maker *maker, json_t *row, const struct solution *s)
{
	struct interval h2s = range_pressure(s, GAS_H2S), co2 = range_pressure(s, GAS_CO2);
	set_number(maker, row, "ph", s->ph);
	set_number(maker, row, "ph_low", s->ph - range_ph(s));
	set_number(maker, row, "ph_high", s->ph + range_ph(s));
	set_number(maker, row, "h2s_partial_pressure_kPa", s->partial_pressure[GAS_H2S] / kilo);
	set_number(maker, row, "h2s_partial_pressure_low_kPa", h2s.low / kilo);
	set_number(maker, row, "h2s_partial_pressure_high_kPa", h2s.high / kilo);
	set_number(maker, row, "co2_partial_pressure_kPa", s->partial_pressure[GAS_CO2] / kilo);
	set_number(maker, row, "co2_partial_pressure_low_kPa", co2.low / kilo);
	set_number(maker, row, "co2_partial_pressure_high_kPa", co2.high / kilo);
}

static void set_state(struct maker *maker, json_t *row, const struct reading_at *reading)
{
	const struct solution *s = &reading->solution;
	bool pressure = is_number(reading->pressure.quantity);
	set_number(maker, row, "temperature_degC", s->input.temperature - ZERO_CELSIUS);
	set_number(maker, row, "pressure_kPa", pressure ? reading->pressure.quantity->si / kilo : (double)NAN);
	set_number(maker, row, "h2s_loading", s->loading[GAS_H2S]);
	set_number(maker, row, "co2_loading", s->loading[GAS_CO2]);
	set_ends(maker, row, s);
	set_number(maker, row, "h2s_aq_mol_kg", s->molality[SPECIES_H2S]);
	set_number(maker, row, "hs_mol_kg", s->molality[SPECIES_HS]);
	set_number(maker, row, "hco3_mol_kg", s->molality[SPECIES_HCO3]);
	set_number(maker, row, "hco3_over_hs", ratio(s->molality[SPECIES_HCO3], s->molality[SPECIES_HS]));
	set(maker, row, "in_fitted_range", json_boolean(s->in_fitted_range));
	set_number(maker, row, "iron_mg_kg", reading->iron * milligrams);
	set(maker, row, "iron_assumed", json_boolean(reading->iron_assumed));
	set_number(maker, row, "fes_tendency", reading->tendency);
}

static json_t *share_row(struct maker *maker, const struct scale_shares *shares)
{
	json_t *row = json_object();
	set(maker, row, "samples", json_integer((json_int_t)shares->samples));
	for (int i = 0; i < SCALE_COUNT; i++)
		set_number(maker, row, scale_word((enum scale)i), shares->share[i]);
	return row;
}

static json_t *reading_row(struct maker *maker, const struct reading_at *reading, const struct scale_shares *shares)
{
	json_t *row = json_object();
	const struct location *location = reading->location;
	set_words(maker, row, "place", location->name);
	set_words(maker, row, "item", location->item->tag);
	set_words(maker, row, "stream", location->stream ? location->stream->tag : NULL);
	set_words(maker, row, "side", location->side == SIDE_LEAN ? "lean" : "rich");
	set_case(maker, row, reading->operating_case);
	set_words(maker, row, "missing", reading->missing.reason);
	if (reading->missing.reason)
		return row;
	set_state(maker, row, reading);
	set_number(maker, row, "film_age_h", reading->age.seconds / hour);
	set_words(maker, row, "film_age_from",
		reading->age.from_rate	       ? "corrosion rate"
			: reading->age.assumed ? "assumed"
					       : "stated");
	set_number(maker, row, "corrosion_rate_mm_y", reading->age.corrosion_rate * millimetres_a_year);
	set_answer(maker, row, &reading->answer);
	set(maker, row, "by_film_age", age_rows(maker, reading->by_age));
	set(maker, row, "sample_shares", shares ? share_row(maker, shares) : json_null());
	return row;
}

static json_t *circuit_rows(struct maker *maker, const struct lean_side *all)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < all->circuit->reading_count; i++)
		append(maker, rows,
			reading_row(maker, &all->circuit->readings[i], all->shares ? &all->shares[i] : NULL));
	return rows;
}

/* ---- the exchanger ---- */

static json_t *side_row(struct maker *maker, const struct slice_side *side)
{
	json_t *row = json_object(), *dense = json_array();
	set_number(maker, row, "temperature_degC", side->temperature - ZERO_CELSIUS);
	set_number(maker, row, "ph", side->ph);
	set_number(maker, row, "h2s_partial_pressure_kPa", side->h2s_pressure / kilo);
	set_number(maker, row, "h2s_aq_mol_kg", side->h2s_aq);
	set_number(maker, row, "fes_tendency", side->tendency);
	set_answer(maker, row, &side->answer);
	for (size_t i = 0; i < FILM_AGES; i++)
		append(maker, dense, json_real(fractions_dense(side->by_age[i].fractions)));
	set(maker, row, "dense_share_by_film_age", dense);
	return row;
}

static json_t *profile_row(struct maker *maker, const struct profile_of *profile)
{
	json_t *row = json_object(), *slices = json_array();
	set_words(maker, row, "exchanger", profile->exchanger->tag);
	set_case(maker, row, profile->operating_case);
	set_words(maker, row, "missing", profile->missing.reason);
	for (size_t i = 0; i < EXCHANGER_NODES && !profile->missing.reason; i++) {
		const struct slice *slice = &profile->slices[i];
		json_t *at = json_object();
		set_number(maker, at, "duty_share", slice->duty);
		set_number(maker, at, "wall_degC", slice->wall - ZERO_CELSIUS);
		set(maker, at, "rich_flashes", profile->pressure_known ? json_boolean(slice->flashes) : json_null());
		set(maker, at, "lean", side_row(maker, &slice->lean));
		set(maker, at, "rich", side_row(maker, &slice->rich));
		append(maker, slices, at);
	}
	set(maker, row, "slices", slices);
	return row;
}

/* ---- the over-stripping question ---- */

static json_t *allowance_row(struct maker *maker, const struct allowance *allowance)
{
	const double per_million = 1e6;
	json_t *row = json_object();
	set_case(maker, row, allowance->operating_case);
	set_words(maker, row, "missing", allowance->missing.reason);
	if (allowance->missing.reason)
		return row;
	set_words(maker, row, "absorber", allowance->absorber->tag);
	set_number(maker, row, "specified_ppmv", allowance->specified * per_million);
	set_number(maker, row, "gas_pressure_kPa", allowance->pressure / kilo);
	set_number(maker, row, "temperature_degC", allowance->temperature - ZERO_CELSIUS);
	set_number(maker, row, "co2_loading", allowance->co2);
	set_number(maker, row, "largest_loading_mol_mol", allowance->loading);
	return row;
}

static json_t *window_age_row(struct maker *maker, const struct window_age *age)
{
	json_t *row = json_object();
	set_number(maker, row, "film_age_h", age->age / hour);
	set_words(maker, row, "answer", window_word(age->answer));
	set_number(maker, row, "dense_share", age->dense);
	set_number(maker, row, "dense_share_ten_times_faster", age->dense_faster);
	set_number(maker, row, "least_loading_mol_mol", age->least_loading);
	return row;
}

static json_t *window_row(struct maker *maker, const struct window *window)
{
	json_t *row = sentence_row(maker, &window->sentence), *ages = json_array();
	set_words(maker, row, "place", window->reading->location->name);
	set_case(maker, row, window->reading->operating_case);
	set_words(maker, row, "answer", window_word(window->governing.answer));
	set_number(maker, row, "temperature_degC", window->reading->solution.input.temperature - ZERO_CELSIUS);
	set_number(maker, row, "largest_loading_mol_mol", window->ceiling);
	set_words(maker, row, "largest_loading_by", window->by_specification ? "specification" : "end of the sweep");
	set_number(maker, row, "h2s_aq_mol_kg", window->h2s_at_ceiling);
	set_number(maker, row, "least_loading_mol_mol", window->governing.least_loading);
	set_number(maker, row, "dense_share", window->governing.dense);
	set_number(maker, row, "dense_share_ten_times_faster", window->governing.dense_faster);
	set_number(maker, row, "film_age_h", window->governing.age / hour);
	for (size_t i = 0; i < FILM_AGES; i++)
		append(maker, ages, window_age_row(maker, &window->ages[i]));
	set(maker, row, "by_film_age", ages);
	return row;
}

static json_t *sweep_row(struct maker *maker, const struct sweep *sweep)
{
	json_t *row = json_object(), *points = json_array();
	set_words(maker, row, "place", sweep->window->reading->location->name);
	set_case(maker, row, sweep->window->reading->operating_case);
	for (size_t i = 0; i < SWEEP_NODES; i++) {
		json_t *point = json_object(), *dense = json_array();
		set_number(maker, point, "h2s_loading", sweep->loading[i]);
		set_number(maker, point, "h2s_aq_mol_kg", sweep->h2s[i]);
		set_words(maker, point, "scale", scale_word(sweep->scale[i]));
		set(maker, point, "scale_fractions", fractions_row(maker, sweep->governing[i]));
		for (size_t k = 0; k < FILM_AGES; k++)
			append(maker, dense, json_real(sweep->dense[i][k]));
		set(maker, point, "dense_share_by_film_age", dense);
		append(maker, points, point);
	}
	set(maker, row, "points", points);
	return row;
}

static json_t *claim_row(struct maker *maker, const struct film_claim *claim)
{
	json_t *row = sentence_row(maker, &claim->sentence);
	set_words(maker, row, "item", claim->item->tag);
	set_words(maker, row, "answer", window_word(claim->answer));
	set_number(maker, row, "claimed_mol_mol", claim->claimed);
	set_number(maker, row, "over_specification", claim->over_allowed);
	set(maker, row, "line", json_integer(claim->item->place.line));
	return row;
}

static json_t *overstripping_row(struct maker *maker, const struct overstripping *all)
{
	json_t *row = json_object(), *answers = json_array(), *allowances = json_array(), *windows = json_array();
	json_t *sweeps = json_array(), *claims = json_array();
	for (size_t i = 0; i < all->answer_count; i++)
		append(maker, answers, sentence_row(maker, &all->answers[i]));
	for (size_t i = 0; i < all->allowance_count; i++)
		append(maker, allowances, allowance_row(maker, &all->allowances[i]));
	for (size_t i = 0; i < all->window_count; i++)
		append(maker, windows, window_row(maker, &all->windows[i]));
	for (size_t i = 0; i < all->sweep_count; i++)
		append(maker, sweeps, sweep_row(maker, &all->sweeps[i]));
	for (size_t i = 0; i < all->claim_count; i++)
		append(maker, claims, claim_row(maker, &all->claims[i]));
	set(maker, row, "answers", answers);
	set(maker, row, "allowances", allowances);
	set(maker, row, "windows", windows);
	set(maker, row, "sweeps", sweeps);
	set(maker, row, "claims", claims);
	return row;
}

/* ---- the rest ---- */

static json_t *iron_row(struct maker *maker, const struct iron_balance *iron)
{
	json_t *row = json_object();
	set_words(maker, row, "missing", iron->missing.reason);
	set_number(maker, row, "floor_mg_kg", iron->floor * milligrams);
	if (iron->missing.reason)
		return row;
	set_number(maker, row, "stated_mg_kg", iron->stated * milligrams);
	set_number(maker, row, "beyond_floor_mg_kg", iron->particles * milligrams);
	set_number(maker, row, "iron_sulfide_kg_h", iron->circulating * hour);
	set_words(maker, row, "stream", iron->stream ? iron->stream->tag : NULL);
	return row;
}

static void set_of_solvent(
	struct maker *maker, json_t *row, const char *name, int operating_case, const char *quantity, double unit)
{
	const struct table *table = maker->review->table;
	const struct quantity *found = table_peek(table, table_sole(table, "solvent"), operating_case, quantity);
	set_number(maker, row, name, found && found->known != UNKNOWN ? found->si / unit : (double)NAN);
}

/* What the salts of the solvent are and do, in each steady case. */
static json_t *salts_rows(struct maker *maker, const struct circuit *circuit)
{
	const double per_cent = 0.01;
	const struct table *table = maker->review->table;
	const struct item *solvent = table_sole(table, "solvent");
	json_t *rows = json_array();
	for (size_t i = 0; i < circuit->case_count; i++) {
		int at = circuit->cases[i];
		json_t *row = json_object();
		if (!solvent || !table_peek(table, solvent, at, "bound-amine")) {
			json_decref(row);
			continue;
		}
		set_words(maker, row, "case", table_case(table, at)->id);
		set_of_solvent(maker, row, "bound_amine_pct", at, "bound-amine", per_cent);
		set_words(maker, row, "strength_basis", table_word(table, solvent, at, "strength-basis"));
		set_of_solvent(maker, row, "total_strength_wt_pct", at, "total-strength", per_cent);
		set_of_solvent(maker, row, "ph_shift", at, "ph-by-salts", 1);
		set_of_solvent(maker, row, "h2s_pressure_factor", at, "h2s-pressure-by-salts", 1);
		append(maker, rows, row);
	}
	return rows;
}

static json_t *map_row(struct maker *maker, const struct phase_map *map)
{
	json_t *row = json_object(), *borders = json_array();
	set_number(maker, row, "film_age_h", map->age / hour);
	for (size_t i = 0; i < PHASE_MAP_NODES; i++) {
		const struct phase_border *border = &map->borders[i];
		json_t *at = json_object();
		set_number(maker, at, "temperature_degC", border->temperature - ZERO_CELSIUS);
		set_number(maker, at, "dense_from_kPa", border->dense / kilo);
		set_number(maker, at, "pyrite_from_kPa", border->pyrite / kilo);
		set_number(maker, at, "calibrated_from_kPa", border->calibrated / kilo);
		append(maker, borders, at);
	}
	set(maker, row, "borders", borders);
	return row;
}

static json_t *score_row(struct maker *maker, enum calibration_use use)
{
	struct calibration_score score = calibration_score(use);
	json_t *row = json_object();
	set(maker, row, "rows", json_integer((json_int_t)score.rows));
	set(maker, row, "hits", json_integer((json_int_t)score.hits));
	set(maker, row, "temperature_rule_hits", json_integer((json_int_t)score.temperature_hits));
	return row;
}

static json_t *consistency_row(struct maker *maker)
{
	json_t *row = json_object();
	set(maker, row, "calibration", score_row(maker, CALIBRATION_FIT));
	set(maker, row, "check", score_row(maker, CALIBRATION_CHECK));
	return row;
}

json_t *json_sulfide(const struct review *review)
{
	const struct lean_side *all = review->lean_side;
	struct maker maker = {.review = review};
	json_t *row = json_object(), *profiles = json_array();
	set(&maker, row, "sweet", json_boolean(all->circuit->sweet));
	set(&maker, row, "overstripping", overstripping_row(&maker, all->overstripping));
	set(&maker, row, "circuit", circuit_rows(&maker, all));
	for (size_t i = 0; i < all->exchangers.count; i++)
		append(&maker, profiles, profile_row(&maker, &all->exchangers.profiles[i]));
	set(&maker, row, "exchangers", profiles);
	set(&maker, row, "salts", salts_rows(&maker, all->circuit));
	set(&maker, row, "iron", iron_row(&maker, &all->iron));
	set(&maker, row, "cold_end_fouls", json_boolean(all->cold_end_fouls));
	set(&maker, row, "phase_map", map_row(&maker, &all->map));
	set(&maker, row, "self_consistency", consistency_row(&maker));
	set(&maker, row, "sample_seed", all->shares ? json_integer(SCALE_SEED) : json_null());
	if (!maker.failed)
		return row;
	json_decref(row);
	return NULL;
}
