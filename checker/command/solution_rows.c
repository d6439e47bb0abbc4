#include "command/solution_rows.h"

#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/properties.h"
#include "chemistry/range.h"
#include "chemistry/salts.h"
#include "sulfide/sulfide.h"

struct list {
	struct solution_row *rows;
	size_t count;
	const char *group;
};

static void number(struct list *list, const char *name, const char *label, const char *unit, double value)
{
	list->rows[list->count++] = (struct solution_row){list->group, name, label, unit, ROW_NUMBER, value, NULL};
}

static void yes_no(struct list *list, const char *name, const char *label, bool value)
{
	list->rows[list->count++] =
		(struct solution_row){list->group, name, label, "", ROW_YES_NO, value ? 1 : 0, value ? "yes" : "no"};
}

static void word(struct list *list, const char *name, const char *label, const char *value)
{
	list->rows[list->count++] = (struct solution_row){list->group, name, label, "", ROW_WORD, 0, value};
}

/* SI into the units shown. */
static const double kilo = 1e3, per_cent = 100;

static void add_input(struct list *list, const struct solution *s)
{
	static const char *const names[] = {"amine", "second_amine"}, *const labels[] = {"amine", "second amine"};
	static const char *const strengths[] = {"strength_wt_pct", "second_strength_wt_pct"};

	list->group = "Solution";
	for (size_t p = 0; p < s->amine_count && p < COUNT(names); p++) {
		word(list, names[p], labels[p], amine_rows[s->amine[p]].name);
		number(list, strengths[p], "strength, without gases", "wt%",
			per_cent * s->input.mass_fraction[s->amine[p]]);
	}
	number(list, "temperature_degC", "temperature", "degC", s->input.temperature - ZERO_CELSIUS);
	number(list, "h2s_loading", "H2S loading", "mol/mol", s->loading[GAS_H2S]);
	number(list, "co2_loading", "CO2 loading", "mol/mol", s->loading[GAS_CO2]);
	number(list, "bound_amine", "amine bound by salts", "mol/mol", salts_bound_amine(&s->input));
}

static void add_state(struct list *list, const struct solution *s)
{
	struct interval h2s = range_pressure(s, GAS_H2S), co2 = range_pressure(s, GAS_CO2);

	list->group = "State (low and high: nine times in ten it lies between)";
	number(list, "ph", "pH", "", s->ph);
	number(list, "ph_low", "low, tested against no data", "", s->ph - range_ph(s));
	number(list, "ph_high", "high, likewise", "", s->ph + range_ph(s));
	number(list, "ionic_strength_mol_kg", "ionic strength", "mol/kg", s->ionic_strength);
	number(list, "h2s_partial_pressure_kPa", "partial pressure of H2S", "kPa", s->partial_pressure[GAS_H2S] / kilo);
	number(list, "h2s_partial_pressure_low_kPa", "low", "kPa", h2s.low / kilo);
	number(list, "h2s_partial_pressure_high_kPa", "high", "kPa", h2s.high / kilo);
	number(list, "co2_partial_pressure_kPa", "partial pressure of CO2", "kPa", s->partial_pressure[GAS_CO2] / kilo);
	number(list, "co2_partial_pressure_low_kPa", "low", "kPa", co2.low / kilo);
	number(list, "co2_partial_pressure_high_kPa", "high", "kPa", co2.high / kilo);
	number(list, "water_partial_pressure_kPa", "partial pressure of water", "kPa", s->water_pressure / kilo);
	number(list, "bubble_pressure_kPa", "bubble pressure", "kPa", solution_pressure(s) / kilo);
	number(list, "water_activity", "activity of water", "", exp(s->ln_water_activity));
	yes_no(list, "validated", "fitted to data of this amine", s->validated);
	yes_no(list, "in_fitted_range", "and this state lies among them", s->in_fitted_range);
	word(list, "in_fitted_range_reason", "why not", range_outside(s));
}

static void add_species(struct list *list, const struct solution *s)
{
	static const struct {
		enum species species;
		const char *name, *label, *gamma;
	} shown[] = {
		{SPECIES_H2S, "h2s_aq_mol_kg", "H2S (aq)", "h2s_aq_activity_coefficient"},
		{SPECIES_HS, "hs_mol_kg", "HS-", "hs_activity_coefficient"},
		{SPECIES_CO2, "co2_aq_mol_kg", "CO2 (aq)", "co2_aq_activity_coefficient"},
		{SPECIES_HCO3, "hco3_mol_kg", "HCO3-", "hco3_activity_coefficient"},
		{SPECIES_CO3, "co3_mol_kg", "CO3--", "co3_activity_coefficient"},
		{SPECIES_AM, "amine_mol_kg", "amine", "amine_activity_coefficient"},
		{SPECIES_AMH, "protonated_amine_mol_kg", "protonated amine", "protonated_amine_activity_coefficient"},
		{SPECIES_AMCOO, "carbamate_mol_kg", "carbamate", "carbamate_activity_coefficient"},
		{SPECIES_AM_2, "second_amine_mol_kg", "second amine", "second_amine_activity_coefficient"},
		{SPECIES_AMH_2, "second_protonated_amine_mol_kg", "second protonated amine",
			"second_protonated_amine_activity_coefficient"},
		{SPECIES_AMCOO_2, "second_carbamate_mol_kg", "second carbamate",
			"second_carbamate_activity_coefficient"},
		{SPECIES_H, "h_mol_kg", "H+", "h_activity_coefficient"},
		{SPECIES_OH, "oh_mol_kg", "OH-", "oh_activity_coefficient"},
	};

	list->group = "Species (molality in water, activity coefficient)";
	for (size_t i = 0; i < COUNT(shown); i++) {
		enum species species = shown[i].species;

		if (species >= SPECIES_AM_2 && species <= SPECIES_AMCOO_2 && s->amine_count < 2)
			continue;
		number(list, shown[i].name, shown[i].label, "mol/kg", s->molality[species]);
		number(list, shown[i].gamma, "", "", exp(s->ln_gamma[species]));
	}
}

static void add_properties(struct list *list, const struct solution *s)
{
	const struct solution_input *input = &s->input;
	struct property density = property_density(input->mass_fraction, input->temperature, s->loading);
	struct property viscosity = property_viscosity(input->mass_fraction, input->temperature, s->loading);
	struct property unloaded = property_heat_capacity(input->mass_fraction, input->temperature);
	double heat_capacity = enthalpy_heat_capacity(input) / property_loaded_mass(input->mass_fraction, s->loading);

	list->group = "Properties";
	number(list, "density_kg_m3", "density", "kg/m3", density.value);
	number(list, "density_uncertainty_pct", "its uncertainty", "%", per_cent * density.uncertainty);
	number(list, "viscosity_mPa_s", "viscosity", "mPa s", kilo * viscosity.value);
	number(list, "viscosity_uncertainty_pct", "its uncertainty", "%", per_cent * viscosity.uncertainty);
	number(list, "heat_capacity_kJ_kg_K", "heat capacity, gases counted", "kJ/kg/K", heat_capacity / kilo);
	number(list, "heat_capacity_uncertainty_pct", "its uncertainty", "%", per_cent * unloaded.uncertainty);
	number(list, "h2s_heat_of_desorption_kJ_mol", "heat of desorption of H2S", "kJ/mol",
		phase_heat_of_desorption(&terms_own, input, GAS_H2S) / kilo);
	number(list, "co2_heat_of_desorption_kJ_mol", "heat of desorption of CO2", "kJ/mol",
		phase_heat_of_desorption(&terms_own, input, GAS_CO2) / kilo);
}

/* Where there is no state the words are empty and the numbers NaN, so that every line of a sweep has the same columns. */
static void add_scale(struct list *list, const struct solution *s, double film_age)
{
	const double hour = 3600, milligrams = 1e6, nothing = (double)NAN;
	bool solved = s->fault == SOLUTION_FINE;
	struct scale_answer answer = {.fractions = {nothing, nothing, nothing}};

	if (solved)
		answer = sulfide_answer(s, IRON_ASSUMED, film_age, SIDE_LEAN);
	double sulfide = solved && isfinite(answer.saturation_sulfide) ? answer.saturation_sulfide : nothing;
	double carbonate = solved && isfinite(answer.saturation_carbonate) ? answer.saturation_carbonate : nothing;
	list->group = "Iron scale on carbon steel (screening; 1 mg/kg of iron assumed at the wall)";
	word(list, "scale", "expected scale", solved ? scale_word(answer.scale) : "");
	number(list, "scale_fractions.mackinawite", "mackinawite, of the sulfide", "", answer.fractions.mackinawite);
	number(list, "scale_fractions.pyrrhotite", "pyrrhotite or troilite", "", answer.fractions.pyrrhotite);
	number(list, "scale_fractions.pyrite", "pyrite", "", answer.fractions.pyrite);
	yes_no(list, "scale_extrapolated", "outside the calibrated range", !solved || answer.extrapolated);
	word(list, "scale_confidence", "confidence", solved ? confidence_word(answer.confidence) : "");
	word(list, "scale_by_temperature", "by temperature alone", solved ? scale_word(answer.by_temperature) : "");
	number(list, "film_age_h", "age of the film", "h", film_age / hour);
	number(list, "mackinawite_iron_mg_kg", "iron over mackinawite", "mg/kg", sulfide * milligrams);
	number(list, "siderite_iron_mg_kg", "iron over siderite", "mg/kg", carbonate * milligrams);
}

/* At the pressure asked for: when it boils, and what it gives off at its temperature. */
static void add_pressure(struct list *list, const struct solution *s, double pressure)
{
	struct flash flash;
	double boils = phase_bubble_temperature(&terms_own, &s->input, pressure);
	bool solved = s->fault == SOLUTION_FINE;

	phase_flash(&terms_own, &s->input, 0, pressure, &flash);
	list->group = "At the stated pressure";
	number(list, "pressure_kPa", "pressure", "kPa", pressure / kilo);
	number(list, "bubble_temperature_degC", "bubble temperature", "degC", boils - ZERO_CELSIUS);
	word(list, "bubble_temperature_reason", "why there is none",
		solved && isnan(boils) ? "it boils at this pressure at no temperature from 0 to 180 degC" : "");
	number(list, "flashed_h2s_mol_mol", "H2S flashed off, per amine", "mol/mol", flash.gas[GAS_H2S]);
	number(list, "flashed_co2_mol_mol", "CO2 flashed off, per amine", "mol/mol", flash.gas[GAS_CO2]);
	number(list, "flashed_water_mol_mol", "water flashed off, per amine", "mol/mol", flash.water);
	word(list, "flash_reason", "why there is none", solved ? solution_fault_words(flash.fault) : "");
}

size_t solution_rows(const struct solution_request *request, struct solution *state, struct solution_row *rows)
{
	struct list list = {.rows = rows};
	bool solved = solution_absorb(&terms_own, &request->input, request->gas_pressure, state);

	if (solved)
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			state->input.loading[gas] = state->loading[gas];
	add_input(&list, state);
	add_state(&list, state);
	add_species(&list, state);
	add_properties(&list, state);
	add_scale(&list, state, request->film_age);
	if (!isnan(request->pressure))
		add_pressure(&list, state, request->pressure);
	return list.count;
}
