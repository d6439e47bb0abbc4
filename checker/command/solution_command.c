#include "command/solution_command.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/json_text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/salts.h"
#include "command/options.h"
#include "command/solution_rows.h"
#include "quantity/quantity.h"
#include "sulfide/sulfide.h"

enum { FINE = 0, BAD_OPTION = 2, NOT_CONVERGED = 3, CANNOT_WRITE = 4 };

static const char help[] =
	"usage: leanrich solution --amine AMINE --strength VALUE --temperature VALUE [OPTION...]\n"
	"\n"
	"  --amine NAME            MEA, DEA, MDEA, DGA or DIPA; twice for MDEA blended with one other\n"
	"  --strength VALUE        of the solution without gases, \"45 wt%\" or \"4 mol/L\"; one for each amine, in "
	"order\n"
	"  --temperature VALUE     0-160 degC\n"
	"  --h2s X, --co2 X        loadings, mol/mol amine (0 when left out)\n"
	"  --h2s-pressure VALUE, --co2-pressure VALUE\n"
	"                          instead of the loading: the partial pressure of a gas it is in equilibrium "
	"with\n"
	"  --anion NAME=CONTENT    heat-stable salt anion, \"formate=420 ppmw\"; any number of them\n"
	"  --salts CONTENT         heat-stable salts in total; what the anions leave is taken as formate\n"
	"  --pressure VALUE        also the bubble temperature and the flash at this pressure\n"
	"  --film-age VALUE        age of the iron scale on carbon steel (8000 h)\n"
	"  --json                  one JSON object\n"
	"  --sweep WHAT --from VALUE --to VALUE [--steps N]\n"
	"                          CSV of N+1 states (20) over temperature, h2s or co2\n"
	"\n"
	"Ideal gas, equilibrium. validated: the terms were fitted to data of this amine, alone; in_fitted_range: this "
	"state\n"
	"lies among those data, and if not, in_fitted_range_reason says why. Between the low and high ends nine "
	"measured\n"
	"partial pressures in ten lie; those of the pH are tested against no data. A screening aid.\n";

enum { AMINES, STRENGTHS, ANIONS, LISTS };

/* What is asked for on the command line. */
struct options {
	struct option_list lists[LISTS];
	const char *temperature, *loading[GAS_COUNT], *gas_pressure[GAS_COUNT], *salts, *pressure, *film_age;
	const char *sweep, *from, *to, *steps;
	bool json;
};

struct command {
	struct arena arena;
	struct command_line line;
	struct problems problems;
	struct options options;
	struct solution_request request;
	FILE *out, *err;
};

static int fault(struct command *command, const char *option, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

static int fault(struct command *command, const char *option, const char *format, ...)
{
	va_list arguments;

	fprintf(command->err, "leanrich solution: %s: ", option);
	va_start(arguments, format);
	vfprintf(command->err, format, arguments);
	va_end(arguments);
	fputs("\n", command->err);
	return BAD_OPTION;
}

/* Reading the options */

static bool read_options(struct command *command)
{
	struct options *o = &command->options;
	const struct option_row rows[] = {{"temperature", &o->temperature, NULL}, {"h2s", &o->loading[GAS_H2S], NULL},
		{"co2", &o->loading[GAS_CO2], NULL}, {"h2s-pressure", &o->gas_pressure[GAS_H2S], NULL},
		{"co2-pressure", &o->gas_pressure[GAS_CO2], NULL}, {"salts", &o->salts, NULL},
		{"pressure", &o->pressure, NULL}, {"film-age", &o->film_age, NULL}, {"sweep", &o->sweep, NULL},
		{"from", &o->from, NULL}, {"to", &o->to, NULL}, {"steps", &o->steps, NULL}, {"json", NULL, &o->json}};

	o->lists[AMINES] = (struct option_list){.name = "amine", .most = 2};
	o->lists[STRENGTHS] = (struct option_list){.name = "strength", .most = 2};
	o->lists[ANIONS] = (struct option_list){.name = "anion"};
	command->line.lists = o->lists;
	command->line.list_count = LISTS;
	if (!options_read(&command->line, rows, COUNT(rows)))
		return false;
	return command->line.first == command->line.argc ||
		options_fault(&command->line, "%s is not expected here", command->line.argv[command->line.first]);
}

/* Understanding them */

static bool parse(struct command *command, const char *option, const char *written, struct accepted accepted,
	struct quantity *quantity)
{
	command->problems = (struct problems){.arena = &command->arena};
	if (!quantity_parse(&command->arena, written, option + 2, accepted, ATMOSPHERE, (struct place){option, 0, 0},
		    &command->problems, quantity)) {
		fault(command, option, "%s",
			command->problems.count > 0 ? command->problems.rows[0].message : "not understood");
		return false;
	}
	if (quantity->bound == BOUND_NONE)
		return true;
	fault(command, option, "one value is needed, not a bound");
	return false;
}

static bool number(struct command *command, const char *option, const char *written, enum kind kind, double low,
	double high, const char *range, double *value)
{
	struct quantity quantity;

	if (!parse(command, option, written, (struct accepted){{kind}, 1}, &quantity))
		return false;
	if (!(quantity.si >= low && quantity.si <= high)) {
		fault(command, option, "%s is outside %s", written, range);
		return false;
	}
	*value = quantity.si;
	return true;
}

static bool understand_temperature(struct command *command, const char *option, const char *written, double *kelvin)
{
	return number(command, option, written, KIND_TEMPERATURE, COMMAND_LOWEST_TEMPERATURE,
		COMMAND_HIGHEST_TEMPERATURE, "0-160 degC", kelvin);
}

static bool understand_loading(struct command *command, const char *option, const char *written, double *loading)
{
	return number(command, option, written, KIND_LOADING, 0, COMMAND_HIGHEST_LOADING, "0-1.3 mol/mol", loading);
}

static bool understand_strength(struct command *command, const char *written, enum amine amine, double *mass_fraction)
{
	const struct accepted either = {{KIND_MASS_FRACTION, KIND_CONCENTRATION}, 2};
	struct quantity quantity;

	if (!parse(command, "--strength", written, either, &quantity))
		return false;
	*mass_fraction = quantity.kind == KIND_CONCENTRATION ? property_mass_fraction(amine, quantity.si) : quantity.si;
	if (*mass_fraction >= COMMAND_LOWEST_STRENGTH && *mass_fraction <= COMMAND_HIGHEST_STRENGTH)
		return true;
	fault(command, "--strength", "%s is outside 1-70 wt%%", written);
	return false;
}

static bool understand_amines(struct command *command)
{
	const struct option_list *amine = &command->options.lists[AMINES];
	const struct option_list *strength = &command->options.lists[STRENGTHS];
	double *fraction = command->request.input.mass_fraction, sum = 0;
	enum amine amines[2] = {AMINE_MEA, AMINE_MEA};

	if (amine->count == 0)
		return fault(command, "--amine", "must be given: MEA, DEA, MDEA, DGA or DIPA") == FINE;
	if (strength->count != amine->count)
		return fault(command, "--strength", "must be given once for each --amine") == FINE;
	for (size_t p = 0; p < amine->count; p++) {
		if (!amine_find(amine->values[p], &amines[p]))
			return fault(command, "--amine", "'%s' is not one of MEA, DEA, MDEA, DGA, DIPA",
				       amine->values[p]) == FINE;
		if (p == 1 && (amines[0] == amines[1] || (amines[0] != AMINE_MDEA && amines[1] != AMINE_MDEA)))
			return fault(command, "--amine", "a blend is MDEA with one other") == FINE;
		if (!understand_strength(command, strength->values[p], amines[p], &fraction[amines[p]]))
			return false;
		sum += fraction[amines[p]];
	}
	if (sum > COMMAND_HIGHEST_STRENGTH)
		return fault(command, "--strength", "the amines together are outside 1-70 wt%%") == FINE;
	return true;
}

static bool understand_gases(struct command *command)
{
	static const char *const loadings[GAS_COUNT] = {"--h2s", "--co2"};
	static const char *const pressures[GAS_COUNT] = {"--h2s-pressure", "--co2-pressure"};
	const struct options *o = &command->options;
	struct solution_request *request = &command->request;

	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		request->gas_pressure[gas] = (double)NAN;
		if (o->loading[gas] != NULL && o->gas_pressure[gas] != NULL)
			return fault(command, pressures[gas], "not together with %s", loadings[gas]) == FINE;
		if (o->loading[gas] != NULL &&
			!understand_loading(command, loadings[gas], o->loading[gas], &request->input.loading[gas]))
			return false;
		if (o->gas_pressure[gas] != NULL &&
			!number(command, pressures[gas], o->gas_pressure[gas], KIND_PARTIAL_PRESSURE, 0,
				DOMAIN_HIGHEST_PRESSURE, "0-10 MPa", &request->gas_pressure[gas]))
			return false;
	}
	if (request->input.loading[GAS_H2S] + request->input.loading[GAS_CO2] > COMMAND_HIGHEST_LOADING)
		return fault(command, "--h2s and --co2", "together they are above 1.3 mol/mol") == FINE;
	return true;
}

static bool understand_anion(struct command *command, const char *written, struct salt_ions *named)
{
	const char *equals = strchr(written, '=');
	const struct anion_row *anion;
	double content;

	if (equals == NULL)
		return fault(command, "--anion", "'%s' is not NAME=CONTENT", written) == FINE;
	anion = anion_find(arena_copy_span(&command->arena, written, (size_t)(equals - written)));
	if (anion == NULL) {
		struct text known = text_in(&command->arena);

		for (size_t i = 0; i < anion_count(); i++)
			text_addf(&known, "%s%s", i > 0 ? ", " : "", anion_row(i)->name);
		return fault(command, "--anion", "'%.*s' is not one of %s", (int)(equals - written), written,
			       known.data) == FINE;
	}
	if (!number(command, "--anion", equals + 1, KIND_TRACE, 0, COMMAND_HIGHEST_SALTS, "0-20 wt%", &content))
		return false;
	salt_ions_add(named, anion, content);
	return true;
}

static bool understand_salts(struct command *command)
{
	const struct options *o = &command->options;
	const struct option_list *anions = &o->lists[ANIONS];
	struct salt_ions named = {0};
	double total;

	for (size_t i = 0; i < anions->count; i++)
		if (!understand_anion(command, anions->values[i], &named))
			return false;
	if (o->salts != NULL) {
		if (!number(command, "--salts", o->salts, KIND_TRACE, 0, COMMAND_HIGHEST_SALTS, "0-20 wt%", &total))
			return false;
		if (total < named.mass)
			return fault(command, "--salts", "the anions named are more than this total") == FINE;
		named.anion[0] += salts_remainder(&named, total, (double)NAN);
	}
	salts_into(&command->request.input, &named, salts_amine(command->request.input.mass_fraction));
	if (salts_bound_amine(&command->request.input) > DOMAIN_HIGHEST_ANION)
		return fault(command, o->salts != NULL ? "--salts" : "--anion",
			       "they bind more than 0.9 of the amine") == FINE;
	return true;
}

static bool understand(struct command *command)
{
	const struct options *o = &command->options;
	const double hour = 3600;
	bool sweeps_temperature = o->sweep != NULL && strcmp(o->sweep, "temperature") == 0;

	command->request.pressure = (double)NAN;
	command->request.film_age = FILM_AGE_ASSUMED * hour;
	if (!understand_amines(command))
		return false;
	if (o->temperature == NULL && !sweeps_temperature)
		return fault(command, "--temperature", "must be given") == FINE;
	if (o->temperature != NULL &&
		!understand_temperature(command, "--temperature", o->temperature, &command->request.input.temperature))
		return false;
	if (o->pressure != NULL &&
		!number(command, "--pressure", o->pressure, KIND_PRESSURE, COMMAND_LOWEST_PRESSURE,
			DOMAIN_HIGHEST_PRESSURE, "0.01-100 bara", &command->request.pressure))
		return false;
	if (o->film_age != NULL &&
		!number(command, "--film-age", o->film_age, KIND_DURATION, hour, COMMAND_LONGEST_FILM_AGE * hour,
			"1-1000000 h", &command->request.film_age))
		return false;
	return understand_gases(command) && understand_salts(command);
}

/* Writing */

static void write_text(struct text *text, const struct solution_row *rows, size_t count)
{
	const char *group = "";

	for (size_t i = 0; i < count; i++) {
		const struct solution_row *row = &rows[i];

		if (strcmp(group, row->group) != 0)
			text_addf(text, "%s%s\n", i > 0 ? "\n" : "", row->group);
		group = row->group;
		if (row->label[0] == '\0' || (row->kind == ROW_WORD && row->word[0] == '\0'))
			continue; /* shown after the row before it, or nothing to be said */
		text_addf(text, "  %-38s", row->label);
		if (row->kind != ROW_NUMBER)
			text_addf(text, " %11s", row->word);
		else if (isnan(row->value))
			text_addf(text, " %11s", "none");
		else
			text_addf(text, " %11.5g %s", row->value, row->unit);
		if (i + 1 < count && rows[i + 1].label[0] == '\0')
			text_addf(text, "  %10.4g", rows[i + 1].value);
		text_add(text, "\n");
	}
}

/* "a.b": member b of the object a, which is made when its first member comes. Takes `value`, also when it fails. */
static bool set_member(json_t *object, const char *name, json_t *value)
{
	const char *dot = strchr(name, '.');
	enum { NAME = 64 };
	char outer[NAME];

	if (dot == NULL)
		return json_object_set_new(object, name, value) == 0;
	snprintf(outer, sizeof outer, "%.*s", (int)(dot - name), name);
	if (json_object_get(object, outer) == NULL && json_object_set_new(object, outer, json_object()) != 0) {
		json_decref(value);
		return false;
	}
	return json_object_set_new(json_object_get(object, outer), dot + 1, value) == 0;
}

static bool write_json(struct text *text, const struct solution_row *rows, size_t count)
{
	enum { DIGITS = 10 };
	json_t *object = json_object();
	bool made = object != NULL;

	for (size_t i = 0; i < count && made; i++) {
		const struct solution_row *row = &rows[i];
		json_t *value = row->kind == ROW_WORD ? json_string(row->word)
			: row->kind == ROW_YES_NO     ? json_boolean(row->value != 0)
			: isnan(row->value)	      ? json_null()
						      : json_real(row->value);

		made = set_member(object, row->name, value);
	}
	made = made && json_text(text, object, JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS));
	if (made)
		text_add(text, "\n");
	json_decref(object);
	return made;
}

static void write_csv_head(struct text *text, const struct solution_row *rows, size_t count)
{
	text_add(text, "\xef\xbb\xbf"); /* spreadsheets take UTF-8 only after this mark */
	for (size_t i = 0; i < count; i++)
		text_addf(text, "%s,", rows[i].name);
	text_add(text, "fault\r\n");
}

static void write_csv_row(
	struct text *text, const struct solution_row *rows, size_t count, enum solution_fault state_fault)
{
	for (size_t i = 0; i < count; i++) {
		if (rows[i].kind != ROW_NUMBER)
			text_addf(text, strchr(rows[i].word, ',') ? "\"%s\"" : "%s", rows[i].word);
		else if (!isnan(rows[i].value))
			text_addf(text, "%.10g", rows[i].value);
		text_add(text, ",");
	}
	text_addf(text, "%s%s%s\r\n", state_fault == SOLUTION_FINE ? "" : "\"", solution_fault_words(state_fault),
		state_fault == SOLUTION_FINE ? "" : "\"");
}

static int finish(struct command *command, const struct text *text)
{
	if (fwrite(text->data, 1, text->length, command->out) == text->length && fflush(command->out) == 0)
		return FINE;
	fprintf(command->err, "leanrich solution: cannot write: %s\n", strerror(errno));
	return CANNOT_WRITE;
}

/* Doing it */

static int tell_one(struct command *command)
{
	struct solution_row rows[SOLUTION_ROWS];
	struct solution state;
	size_t count = solution_rows(&command->request, &state, rows);
	struct text text = text_in(&command->arena);

	if (state.fault != SOLUTION_FINE) {
		fprintf(command->err, "leanrich solution: no state, because %s\n", solution_fault_words(state.fault));
		return NOT_CONVERGED;
	}
	if (!command->options.json)
		write_text(&text, rows, count);
	else if (!write_json(&text, rows, count)) {
		fputs("leanrich solution: cannot write JSON\n", command->err);
		return CANNOT_WRITE;
	}
	return finish(command, &text);
}

static bool understand_steps(struct command *command, long *steps)
{
	const char *written = command->options.steps;
	char *end;

	*steps = (long)COMMAND_SWEEP_STEPS;
	if (written == NULL)
		return true;
	*steps = strtol(written, &end, 10);
	if (end != written && *end == '\0' && *steps >= 1 && *steps <= (long)COMMAND_SWEEP_MOST)
		return true;
	return fault(command, "--steps", "'%s' is not a number of steps from 1 to 10000", written) == FINE;
}

/* What is swept, and between which values. */
static double *understand_sweep(struct command *command, double *from, double *to, long *steps)
{
	const struct options *o = &command->options;
	struct solution_input *input = &command->request.input;
	double *swept = strcmp(o->sweep, "temperature") == 0 ? &input->temperature
		: strcmp(o->sweep, "h2s") == 0		     ? &input->loading[GAS_H2S]
		: strcmp(o->sweep, "co2") == 0		     ? &input->loading[GAS_CO2]
							     : NULL;
	bool (*read)(struct command *, const char *, const char *, double *) =
		swept == &input->temperature ? understand_temperature : understand_loading;

	if (swept == NULL)
		fault(command, "--sweep", "'%s' is not one of temperature, h2s, co2", o->sweep);
	else if (o->json)
		fault(command, "--json", "a sweep writes CSV");
	else if (swept == &input->loading[GAS_H2S] && (o->loading[GAS_H2S] || o->gas_pressure[GAS_H2S]))
		fault(command, "--sweep", "h2s is given already");
	else if (swept == &input->loading[GAS_CO2] && (o->loading[GAS_CO2] || o->gas_pressure[GAS_CO2]))
		fault(command, "--sweep", "co2 is given already");
	else if (swept == &input->temperature && o->temperature)
		fault(command, "--sweep", "the temperature is given already");
	else if (o->from == NULL || o->to == NULL)
		fault(command, o->from == NULL ? "--from" : "--to", "a sweep needs it");
	else if (read(command, "--from", o->from, from) && read(command, "--to", o->to, to) &&
		understand_steps(command, steps)) {
		double other = input->loading[GAS_H2S] + input->loading[GAS_CO2] - *swept;

		if (swept == &input->temperature || other + fmax(*from, *to) <= COMMAND_HIGHEST_LOADING)
			return swept;
		fault(command, *from > *to ? "--from" : "--to", "the loadings together are above 1.3 mol/mol");
	}
	return NULL;
}

static int tell_sweep(struct command *command)
{
	struct solution_row rows[SOLUTION_ROWS];
	struct text text = text_in(&command->arena);
	double from, to;
	long steps;
	double *swept = understand_sweep(command, &from, &to, &steps);

	if (swept == NULL)
		return BAD_OPTION;
	for (long i = 0; i <= steps; i++) {
		struct solution state;
		size_t count;

		*swept = from + (to - from) * (double)i / (double)steps;
		count = solution_rows(&command->request, &state, rows);
		if (i == 0)
			write_csv_head(&text, rows, count);
		write_csv_row(&text, rows, count, state.fault);
	}
	return finish(command, &text);
}

static int run(struct command *command)
{
	const struct options *o = &command->options;

	if (!read_options(command)) {
		struct text text = text_in(&command->arena);

		if (!command->line.help) {
			fprintf(command->err, "leanrich solution: %s; `leanrich solution --help` lists the options\n",
				command->line.fault);
			return BAD_OPTION;
		}
		text_add(&text, help);
		return finish(command, &text);
	}
	if (o->sweep == NULL && (o->from != NULL || o->to != NULL || o->steps != NULL))
		return fault(command, "--sweep", "must be given with --from, --to and --steps");
	if (!understand(command))
		return BAD_OPTION;
	return o->sweep != NULL ? tell_sweep(command) : tell_one(command);
}

int solution_command(int argc, char **argv, FILE *out, FILE *err)
{
	struct command command = {.line = {.argc = argc, .argv = argv}, .out = out, .err = err};
	int status = run(&command);

	arena_release(&command.line.arena);
	arena_release(&command.arena);
	return status;
}
