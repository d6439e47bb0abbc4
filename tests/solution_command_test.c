#include <criterion/criterion.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/salts.h"
#include "command/solution_command.h"

enum { ARGUMENTS = 24 };

struct outcome {
	int status;
	char *out, *err;
};

/* Runs the command on words separated by '|'. */
static struct outcome run(const char *words)
{
	struct outcome outcome = {0};
	char copy[512], *argv[ARGUMENTS] = {(char[]){"solution"}};
	size_t out_size, err_size;
	int argc = 1;
	FILE *out = open_memstream(&outcome.out, &out_size), *err = open_memstream(&outcome.err, &err_size);

	snprintf(copy, sizeof copy, "%s", words);
	for (char *word = strtok(copy, "|"); word != NULL && argc < ARGUMENTS; word = strtok(NULL, "|"))
		argv[argc++] = word;
	outcome.status = solution_command(argc, argv, out, err);
	fclose(out);
	fclose(err);
	return outcome;
}

static void forget(struct outcome *outcome)
{
	free(outcome->out);
	free(outcome->err);
}

#define LEAN "--amine|MDEA|--strength|45 wt%|--temperature|122 degC"

Test(solution_command, json_has_the_promised_names)
{
	static const char *const numbers[] = {"ph", "ionic_strength_mol_kg", "h2s_partial_pressure_kPa",
		"co2_partial_pressure_kPa", "water_partial_pressure_kPa", "h2s_aq_mol_kg", "hs_mol_kg", "hco3_mol_kg",
		"density_kg_m3"};
	struct outcome outcome = run(LEAN "|--h2s|0.015|--co2|0.004|--json");
	json_t *object = json_loads(outcome.out, 0, NULL);

	cr_expect_eq(outcome.status, 0);
	cr_expect_str_eq(outcome.err, "");
	cr_assert(json_is_object(object));
	for (size_t i = 0; i < COUNT(numbers); i++)
		cr_expect(json_is_real(json_object_get(object, numbers[i])), "%s", numbers[i]);
	cr_expect(json_is_false(json_object_get(object, "in_fitted_range")));
	cr_expect(json_is_true(json_object_get(object, "validated")));
	cr_expect_not_null(strstr(json_string_value(json_object_get(object, "in_fitted_range_reason")), "one gas"));
	cr_expect_str_eq(json_string_value(json_object_get(object, "amine")), "MDEA");
	/* IAPWS-IF97 saturation at 122 C, 211.6 kPa, less the solutes: 186.5 kPa */
	cr_expect_float_eq(json_real_value(json_object_get(object, "water_partial_pressure_kPa")), 186.5, 0.5);
	json_decref(object);
	forget(&outcome);
}

/* Low and high ends in the unit of the value, no per cent that may be read two ways; as many times below as above. */
Test(solution_command, json_gives_both_ends)
{
	static const char *const gases[] = {"h2s", "co2"};
	struct outcome outcome = run(LEAN "|--h2s|0.015|--co2|0.004|--json");
	json_t *object = json_loads(outcome.out, 0, NULL);
	double ph = json_real_value(json_object_get(object, "ph"));

	for (size_t i = 0; i < COUNT(gases); i++) {
		char name[3][64];

		snprintf(name[0], sizeof name[0], "%s_partial_pressure_low_kPa", gases[i]);
		snprintf(name[1], sizeof name[1], "%s_partial_pressure_kPa", gases[i]);
		snprintf(name[2], sizeof name[2], "%s_partial_pressure_high_kPa", gases[i]);
		double low = json_real_value(json_object_get(object, name[0])),
		       value = json_real_value(json_object_get(object, name[1])),
		       high = json_real_value(json_object_get(object, name[2]));
		cr_expect(low > 0 && low < value && value < high, "%s: %g %g %g", gases[i], low, value, high);
		cr_expect_float_eq(value / low, high / value, 1e-6);
	}
	cr_expect(json_real_value(json_object_get(object, "ph_low")) < ph);
	cr_expect(json_real_value(json_object_get(object, "ph_high")) > ph);
	cr_expect_null(json_object_get(object, "h2s_uncertainty_pct"));
	json_decref(object);
	forget(&outcome);
}

Test(solution_command, text_names_the_state)
{
	struct outcome outcome = run(LEAN "|--h2s|0.015|--pressure|1.9 bara");

	cr_expect_eq(outcome.status, 0);
	cr_expect(strstr(outcome.out, "partial pressure of H2S") != NULL);
	cr_expect(strstr(outcome.out, "bubble temperature") != NULL);
	cr_expect(strstr(outcome.out, "nan") == NULL);
	forget(&outcome);
}

static size_t times_in(const char *text, const char *words)
{
	size_t count = 0;

	for (const char *at = text; (at = strstr(at, words)) != NULL; at++)
		count++;
	return count;
}

Test(solution_command, either_gas_or_none)
{
	static const char *const loadings[] = {"|--h2s|0", "|--co2|0.2", "|--h2s|0.2", "|--h2s|0|--co2|0", ""};

	for (size_t i = 0; i < COUNT(loadings); i++) {
		char words[200];
		struct outcome outcome;

		snprintf(words, sizeof words, "%s%s|--json", LEAN, loadings[i]);
		outcome = run(words);
		cr_expect_eq(outcome.status, 0, "%s: %s", loadings[i], outcome.err);
		/* Iron over a solid whose partner is absent has no bound; nothing else may be missing. */
		cr_expect_eq(
			times_in(outcome.out, "null"), times_in(outcome.out, "_iron_mg_kg\": null"), "%s", outcome.out);
		forget(&outcome);
	}
}

Test(solution_command, strength_by_volume_and_blends)
{
	struct outcome by_volume = run("--amine|DEA|--strength|2 mol/L|--temperature|40 degC|--h2s|0.1|--json");
	struct outcome blend =
		run("--amine|MDEA|--strength|40 wt%|--amine|DEA|--strength|5 wt%|--temperature|40 degC|--json");
	json_t *object = json_loads(by_volume.out, 0, NULL);

	/* 20.6 wt%: 2 mol/L at 1.020 g/mL (Haji-Sulaiman et al. 1998) */
	cr_expect_float_eq(json_real_value(json_object_get(object, "strength_wt_pct")), 20.61, 0.1);
	cr_expect_eq(blend.status, 0);
	cr_expect(strstr(blend.out, "\"second_amine\": \"MDEA\"") != NULL);
	cr_expect(strstr(blend.out, "\"validated\": false") != NULL);
	json_decref(object);
	forget(&by_volume);
	forget(&blend);
}

Test(solution_command, sweep_writes_a_row_for_each_state)
{
	struct outcome outcome = run("--amine|MEA|--strength|20 wt%|--h2s|0.1|--sweep|temperature|--from|40 degC|--to|"
				     "120 degC|--steps|8");
	size_t lines = 0;

	cr_expect_eq(outcome.status, 0, "%s", outcome.err);
	for (const char *at = outcome.out; (at = strstr(at, "\r\n")) != NULL; at += 2)
		lines++;
	cr_expect_eq(lines, 10, "%zu", lines);
	cr_expect_eq(strncmp(outcome.out,
			     "\xef\xbb\xbf"
			     "amine,",
			     9),
		0);
	cr_expect(strstr(outcome.out, "nan") == NULL);
	forget(&outcome);
	outcome = run(LEAN "|--sweep|h2s|--from|0|--to|0.5");
	cr_expect_eq(outcome.status, 0, "%s", outcome.err);
	forget(&outcome);
}

Test(solution_command, a_gas_over_it_gives_the_loading)
{
	struct outcome outcome =
		run("--amine|MEA|--strength|15 wt%|--temperature|40 degC|--h2s-pressure|1.3332 kPa|--json");
	json_t *object = json_loads(outcome.out, 0, NULL);

	/* Jones, Froning & Claytor 1959 (from memory): 0.374 at 10 mmHg; the model to 15 % */
	cr_expect_float_eq(json_real_value(json_object_get(object, "h2s_loading")), 0.374, 0.06);
	cr_expect_float_eq(json_real_value(json_object_get(object, "h2s_partial_pressure_kPa")), 1.3332, 1e-6);
	json_decref(object);
	forget(&outcome);
}

static double number_of(const char *words, const char *name)
{
	struct outcome outcome = run(words);
	json_t *object = json_loads(outcome.out, 0, NULL);
	double value = json_real_value(json_object_get(object, name));

	json_decref(object);
	forget(&outcome);
	return value;
}

/* What boils dry, or boils nowhere at a pressure, says so beside the numbers that there are not; what has an answer says nothing. */
Test(solution_command, a_flash_without_an_answer_says_why)
{
	static const struct {
		const char *pressure, *flash, *boils;
	} rows[] = {{"0.3 bara", "boils dry", ""}, {"0.01 bara", "boils dry", "at no temperature"}, {"3 bara", "", ""}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		char words[160];

		snprintf(words, sizeof words, "%s|--h2s|0.2|--co2|0.2|--json|--pressure|%s", LEAN, rows[i].pressure);
		struct outcome outcome = run(words);
		json_t *object = json_loads(outcome.out, 0, NULL);
		const char *flash = json_string_value(json_object_get(object, "flash_reason"));
		const char *boils = json_string_value(json_object_get(object, "bubble_temperature_reason"));

		cr_assert(flash && boils);
		cr_expect(
			strstr(flash, rows[i].flash) && !*flash == !*rows[i].flash, "%s: %s", rows[i].pressure, flash);
		cr_expect(
			strstr(boils, rows[i].boils) && !*boils == !*rows[i].boils, "%s: %s", rows[i].pressure, boils);
		cr_expect_eq(json_is_null(json_object_get(object, "flashed_water_mol_mol")), *flash != '\0');
		cr_expect_eq(json_is_null(json_object_get(object, "bubble_temperature_degC")), *boils != '\0');
		json_decref(object);
		forget(&outcome);
	}
}

/* The heats are those of the loaded solution, whether its loading is given or the gas over it is. */
Test(solution_command, heats_count_the_gases)
{
#define RICH_MEA "--amine|MEA|--strength|30 wt%|--temperature|60 degC|--json|"
	static const char *const names[] = {"heat_capacity_kJ_kg_K", "co2_heat_of_desorption_kJ_mol"};
	const double pressure = number_of(RICH_MEA "--co2|0.5", "co2_partial_pressure_kPa");
	char by_gas[128];

	snprintf(by_gas, sizeof by_gas, "%s--co2-pressure|%.9g kPa", RICH_MEA, pressure);
	for (size_t i = 0; i < COUNT(names); i++) {
		double loaded = number_of(RICH_MEA "--co2|0.5", names[i]);

		cr_expect_float_eq(number_of(by_gas, names[i]), loaded, 1e-4 * loaded, "%s", names[i]);
		cr_expect_lt(loaded, 0.95 * number_of(RICH_MEA "--co2|0.1", names[i]), "%s", names[i]);
	}
	/* Weiland and others 1997 (from memory): 30 wt% MEA loses some 8 % of its heat capacity, by mass, to 0.5 of CO2. */
	cr_expect_float_eq(
		number_of(RICH_MEA "--co2|0.5", names[0]) / number_of(RICH_MEA "--co2|0", names[0]), 0.915, 0.05);
}

/* Each names the option at fault, ends with 2 and writes nothing. */
static const struct {
	const char *words, *option;
} bad[] = {
	{"", "--amine"},
	{"--amine|MEA", "--strength"},
	{"--amine|XEA|--strength|20 wt%|--temperature|40 degC", "--amine"},
	{"--amine|MEA|--strength|20 wt%", "--temperature"},
	{"--amine|MEA|--strength|0.5 wt%|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|71 wt%|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|nan wt%|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|20|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|20 kPa|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|900 mol/L|--temperature|40 degC", "--strength"},
	{"--amine|MEA|--strength|20 wt%|--temperature|-1 degC", "--temperature"},
	{"--amine|MEA|--strength|20 wt%|--temperature|161 degC", "--temperature"},
	{"--amine|MEA|--strength|20 wt%|--temperature|nan", "--temperature"},
	{"--amine|MEA|--strength|20 wt%|--temperature|1e999 degC", "--temperature"},
	{"--amine|MEA|--strength|20 wt%|--temperature|40", "--temperature"},
	{"--amine|MEA|--strength|20 wt%|--temperature|<40 degC", "--temperature"},
	{LEAN "|--h2s|-0.1", "--h2s"},
	{LEAN "|--h2s|nan", "--h2s"},
	{LEAN "|--h2s|1.4", "--h2s"},
	{LEAN "|--h2s|0.8|--co2|0.8", "--h2s and --co2"},
	{LEAN "|--co2|inf", "--co2"},
	{LEAN "|--co2|0.1 kPa", "--co2"},
	{LEAN "|--h2s|0.1|--h2s-pressure|1 kPa", "--h2s-pressure"},
	{LEAN "|--co2-pressure|-1 kPa", "--co2-pressure"},
	{LEAN "|--amine|DEA", "--strength"},
	{LEAN "|--amine|MDEA|--strength|5 wt%", "--amine"},
	{LEAN "|--amine|DEA|--strength|40 wt%", "--strength"},
	{"--amine|MEA|--strength|20 wt%|--amine|DEA|--strength|5 wt%|--temperature|40 degC", "--amine"},
	{LEAN "|--anion|formate", "--anion"},
	{LEAN "|--anion|fluoride=3 ppmw", "--anion"},
	{LEAN "|--anion|formate=99 wt%", "--anion"},
	{LEAN "|--salts|30 wt%", "--salts"},
	{LEAN "|--salts|19 wt%", "--salts"},
	{LEAN "|--salts|100 ppmw|--anion|formate=200 ppmw", "--salts"},
	{LEAN "|--pressure|-3 bara", "--pressure"},
	{LEAN "|--from|0", "--sweep"},
	{LEAN "|--sweep|ph|--from|0|--to|1", "--sweep"},
	{LEAN "|--h2s-pressure|1 kPa|--sweep|h2s|--from|0|--to|1", "--sweep"},
	{LEAN "|--co2|0.1|--sweep|co2|--from|0|--to|1", "--sweep"},
	{LEAN "|--sweep|temperature|--from|40 degC|--to|50 degC", "--sweep"},
	{LEAN "|--sweep|h2s|--to|1", "--from"},
	{LEAN "|--sweep|h2s|--from|0", "--to"},
	{LEAN "|--sweep|h2s|--from|0|--to|1|--steps|0", "--steps"},
	{LEAN "|--sweep|h2s|--from|0|--to|1|--json", "--json"},
	{LEAN "|--co2|0.5|--sweep|h2s|--from|0|--to|1", "--to"},
	{"--amine|MEA|--strength|20 wt%|--sweep|temperature|--from|0|--to|500 degC", "--from"},
};

Test(solution_command, bad_options_are_named)
{
	for (size_t i = 0; i < COUNT(bad); i++) {
		struct outcome outcome = run(bad[i].words);
		char start[64];

		snprintf(start, sizeof start, "leanrich solution: %s: ", bad[i].option);
		cr_expect_eq(outcome.status, 2, "%s: exit %d", bad[i].words, outcome.status);
		cr_expect_eq(strncmp(outcome.err, start, strlen(start)), 0, "%s: %s", bad[i].words, outcome.err);
		cr_expect(strlen(outcome.err) > strlen(start) + 5);
		cr_expect_str_eq(outcome.out, "", "%s", bad[i].words);
		forget(&outcome);
	}
}

/* What no command understands is told as every command tells it. */
Test(solution_command, words_that_are_no_options_are_told)
{
	static const char *const rows[][2] = {
		{LEAN "|--temperature|40 degC", "--temperature is given more often than it can be; "},
		{LEAN "|--temperature=40 degC", "--temperature is given more often than it can be; "},
		{LEAN "|--amine|DEA|--amine|MEA", "--amine is given more often than it can be; "},
		{LEAN "|--h2s", "--h2s needs a value; "},
		{LEAN "|--nonsense", "--nonsense is no option; "},
		{LEAN "|--tempreature|3", "--tempreature is no option: did you mean --temperature; "},
		{LEAN "|--st=45 wt%", "--st is short for several: --steps, --strength; "},
		{LEAN "|--json=yes", "--json takes no value; "},
		{LEAN "|-j", "-j is no option; "},
		{LEAN "|40", "40 is not expected here; "},
	};

	for (size_t i = 0; i < COUNT(rows); i++) {
		struct outcome outcome = run(rows[i][0]);
		char start[128];

		snprintf(start, sizeof start, "leanrich solution: %s", rows[i][1]);
		cr_expect_eq(outcome.status, 2, "%s: exit %d", rows[i][0], outcome.status);
		cr_expect_eq(strncmp(outcome.err, start, strlen(start)), 0, "%s: %s", rows[i][0], outcome.err);
		cr_expect_str_eq(outcome.out, "", "%s", rows[i][0]);
		forget(&outcome);
	}
}

/* Names in full or short, values after a blank or an equals sign: the same state. */
Test(solution_command, options_are_written_as_in_every_command)
{
	static const char *const rows[] = {"--amine=MDEA|--strength=45 wt%|--temperature=122 degC|--h2s=0.015|--json",
		"--am|MDEA|--str|45 wt%|--te|122 degC|--h2s|0.015|--j",
		"--js|--te=122 degC|--h2s=0.015|--am=MDEA|--str=45 wt%"};
	struct outcome wanted = run(LEAN "|--h2s|0.015|--json");

	cr_assert_eq(wanted.status, 0, "%s", wanted.err);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct outcome outcome = run(rows[i]);

		cr_expect_eq(outcome.status, 0, "%s: %s", rows[i], outcome.err);
		cr_expect_str_eq(outcome.out, wanted.out, "%s", rows[i]);
		forget(&outcome);
	}
	forget(&wanted);
	wanted = run(
		"--amine=MDEA|--amine=DEA|--strength=40 wt%|--strength=5 wt%|--temperature=40 degC|--anion=formate=100 "
		"ppmw|--anion=acetate=100 ppmw");
	cr_expect_eq(wanted.status, 0, "%s", wanted.err);
	forget(&wanted);
}

Test(solution_command, a_full_disk_is_told)
{
	FILE *full = fopen("/dev/full", "w");
	char *err = NULL;
	size_t size;
	FILE *errors = open_memstream(&err, &size);
	char *argv[] = {(char[]){"solution"}, (char[]){"--help"}};

	cr_assert_not_null(full);
	cr_expect_eq(solution_command(2, argv, full, errors), 4);
	fclose(errors);
	cr_expect(strstr(err, "cannot write") != NULL);
	free(err);
	fclose(full);
}

/* 420 ppmw formate (45.017 g/mol) in 45 wt% MDEA (119.163 g/mol): 9.330e-3 over 3.7763 mol/kg; by arithmetic. */
Test(salts, bound_amine)
{
	struct solution_input input = {.mass_fraction = {[AMINE_MDEA] = 0.45}};

	salts_add(&input, anion_find("formate"), 420e-6);
	cr_expect_float_eq(salts_bound_amine(&input), 2.4706e-3, 1e-6);
	/* Thiosulfate (112.122 g/mol) binds twice: 2 x 900e-6/0.112122/3.7763 */
	salts_add(&input, anion_find("Thiosulfate"), 900e-6);
	cr_expect_float_eq(salts_bound_amine(&input), 2.4706e-3 + 4.2512e-3, 2e-6);
	cr_expect_str_eq(salts_assumed_anion(), "formate");
	cr_expect_null(anion_find("fluoride"));
	struct solution_input water = {.mass_fraction = {0}};
	salts_add(&water, anion_find("formate"), 420e-6);
	cr_expect_float_eq(salts_bound_amine(&water), 0, 1e-15, "there is no amine to bind");
}
