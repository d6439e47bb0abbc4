#include "sulfide/overstripping.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "resolve/service.h"
#include "sulfide/crossing.h"
#include "sulfide/overstripping_words.h"

static const double hour = 3600;

/* The lean H2S loadings swept: from none to this, closer together at the low end. */
#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
CONSTANT(SWEEP_END, 0.05, "mol/mol", 0, 0, "own-choice", INFERRED)
CONSTANT(MOST_H2S_SOUGHT, 10, "mol/kg", 0, 0, "own-choice", INFERRED)
CONSTANT(LEAST_H2S_SOUGHT, 1e-9, "mol/kg", 0, 0, "own-choice", INFERRED)
CONSTANT(MOST_LOADING_SOUGHT, 1.0, "mol/mol", 0, 0, "own-choice", INFERRED)
#undef CONSTANT

const char *window_word(enum truth answer)
{
	return answer == NO ? "no" : "not determinable";
}

/* ---- what the specification allows ---- */

static const struct quantity *number_of(
	const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct quantity *quantity = item ? table_get(table, item, operating_case, name) : NULL;
	return quantity && quantity->known != UNKNOWN && kind_is_number(quantity->kind) ? quantity : NULL;
}

/* H2S that the treated gas of the absorber may hold, mol/mol; a bound ("< 4 ppmv") is its own limit. */
static double specified(
	const struct table *table, const struct item *gas, int operating_case, const struct item **which)
{
	struct items specifications = table_of_kind(table, "specification");
	for (size_t i = 0; i < specifications.count; i++) {
		const struct item *item = specifications.rows[i];
		const char *of = table_word(table, item, operating_case, "gas");
		const struct quantity *h2s =
			of && gas && strcmp(of, gas->tag) == 0 ? number_of(table, item, operating_case, "h2s") : NULL;
		if (!h2s)
			continue;
		*which = item;
		return h2s->si;
	}
	return (double)NAN;
}

static const struct item *referred(
	const struct table *table, const struct item *item, int operating_case, const char *reference)
{
	const char *tag = table_word(table, item, operating_case, reference);
	return tag ? table_find(table, tag) : NULL;
}

/* Of the treated gas, else of the feed gas, else of the lean that is pumped in. */
static double gas_pressure(const struct table *table, const struct item *absorber, const struct reading_at *top)
{
	int at = top->operating_case;
	const struct quantity *pressure = number_of(table, referred(table, absorber, at, "treated"), at, "pressure");
	if (!pressure)
		pressure = number_of(table, referred(table, absorber, at, "gas"), at, "pressure");
	if (!pressure && is_number(top->pressure.quantity))
		pressure = top->pressure.quantity;
	return pressure ? pressure->si : (double)NAN;
}

/* One absorber; false when it says nothing of H2S in its treated gas. */
static bool allowance_of(
	struct arena *arena, const struct table *table, const struct reading_at *top, struct allowance *out)
{
	const struct item *absorber = top->location->item;
	const struct item *gas = referred(table, absorber, top->operating_case, "treated");
	*out = (struct allowance){.operating_case = top->operating_case, .absorber = absorber, .top = top};
	out->specified = specified(table, gas, top->operating_case, &out->specification);
	if (isnan(out->specified))
		return false;
	out->missing = top->missing;
	if (out->missing.reason)
		return true;
	out->pressure = gas_pressure(table, absorber, top);
	out->temperature = top->solution.input.temperature;
	out->co2 = top->solution.input.loading[GAS_CO2];
	if (isnan(out->pressure)) {
		out->missing = (struct missing){NULL, "the pressure",
			arena_format(arena, "the pressure of the gas of %s is not stated", absorber->tag)};
		return true;
	}
	double partial_pressure[GAS_COUNT] = {out->specified * out->pressure, (double)NAN};
	struct solution solution;
	if (solution_absorb(&terms_own, &top->solution.input, partial_pressure, &solution))
		out->loading = solution.loading[GAS_H2S];
	else
		out->missing.reason = solution_fault_words(solution.fault);
	return true;
}

/*
 * The strictest absorber of the unit in one case. One whose allowance is not known makes the strictest of the others a
 * bound only: it is used, and what is missing is told by the place itself.
 */
static struct allowance strictest(
	struct arena *arena, const struct table *table, const struct circuit *circuit, int operating_case)
{
	struct allowance best = {.operating_case = operating_case,
		.missing = {.reason = "no H2S specification is stated for the treated gas of an absorber"}};
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *top = &circuit->readings[i];
		struct allowance one;
		if (top->operating_case != operating_case || !item_is(top->location->item, "absorber") ||
			top->location->side != SIDE_LEAN || !allowance_of(arena, table, top, &one))
			continue;
		if (best.missing.reason ? !one.missing.reason || !best.absorber
					: !one.missing.reason && one.loading < best.loading)
			best = one;
	}
	return best;
}

/* ---- the window at one place ---- */

static double dense_at(double temperature, double h2s, double age, double faster)
{
	return h2s > 0 ? fractions_dense(sulfide_fractions(temperature, h2s, age, faster)) : 0;
}

struct dense_search {
	double temperature, age;
};

static double dense_beyond_half(double ln_h2s, const void *data)
{
	const struct dense_search *search = data;
	return log(sulfide_dense_share(search->temperature, exp(ln_h2s), search->age) / DENSE_SHARE);
}

/* Molality of H2S at which the formula reaches a dense share of a half; infinite: not below 10 mol/kg. */
static double least_h2s(double temperature, double age)
{
	const struct dense_search search = {temperature, age};
	double low = log(LEAST_H2S_SOUGHT), high = log(MOST_H2S_SOUGHT);
	double at_high = dense_beyond_half(high, &search);
	if (at_high < 0)
		return (double)INFINITY;
	return exp(crossing(dense_beyond_half, &search, low, dense_beyond_half(low, &search), high, at_high));
}

struct loading_search {
	const struct reading_at *reading;
	double h2s; /* mol/kg wanted */
};

static double h2s_beyond(double loading, const void *data)
{
	const struct loading_search *search = data;
	const struct solution_input *input = &search->reading->solution.input;
	struct solution solution;
	return circuit_state(search->reading, input->temperature, loading, input->loading[GAS_CO2], &solution)
		? solution.molality[SPECIES_H2S] - search->h2s
		: (double)NAN;
}

/* The lean loading that brings so much molecular H2S; NaN: above what is sought. */
static double loading_of(const struct reading_at *reading, double h2s)
{
	const struct loading_search search = {reading, h2s};
	double at_high = h2s_beyond(MOST_LOADING_SOUGHT, &search);
	return at_high >= 0 ? crossing(h2s_beyond, &search, 0, -h2s, MOST_LOADING_SOUGHT, at_high) : (double)NAN;
}

static struct window_age at_age(const struct reading_at *reading, double h2s, double age)
{
	double t = reading->solution.input.temperature;
	struct window_age at = {.age = age,
		.dense = dense_at(t, h2s, age, 1),
		.dense_faster = dense_at(t, h2s, age, pow(10, RATE_TRUST)),
		.least_h2s = least_h2s(t, age),
		.least_loading = (double)NAN};
	at.answer = at.dense_faster < DENSE_SHARE ? NO : PERHAPS;
	if (at.least_h2s >= CALIBRATED_LEAST_H2S && isfinite(at.least_h2s))
		at.least_loading = loading_of(reading, at.least_h2s);
	return at;
}

static void fill_window(const struct reading_at *reading, const struct allowance *allowance, struct window *window)
{
	struct solution solution;
	*window = (struct window){.reading = reading, .allowance = allowance};
	window->by_specification = allowance && !allowance->missing.reason;
	window->ceiling = window->by_specification ? fmin(allowance->loading, MOST_LOADING_SOUGHT) : SWEEP_END;
	const struct solution_input *input = &reading->solution.input;
	window->h2s_at_ceiling =
		circuit_state(reading, input->temperature, window->ceiling, input->loading[GAS_CO2], &solution)
		? solution.molality[SPECIES_H2S]
		: (double)NAN;
	window->governing = at_age(reading, window->h2s_at_ceiling, reading->age.seconds);
	for (size_t i = 0; i < FILM_AGES; i++)
		window->ages[i] = at_age(reading, window->h2s_at_ceiling, *film_ages[i] * hour);
}

/* ---- the sweep ---- */

static void fill_sweep(const struct window *window, struct sweep *sweep)
{
	const struct reading_at *reading = window->reading;
	const struct solution_input *input = &reading->solution.input;
	*sweep = (struct sweep){.window = window};
	for (size_t i = 0; i < SWEEP_NODES; i++) {
		double share = (double)i / (SWEEP_NODES - 1);
		struct solution solution;
		sweep->loading[i] = SWEEP_END * share * share;
		if (!circuit_state(
			    reading, input->temperature, sweep->loading[i], input->loading[GAS_CO2], &solution)) {
			sweep->h2s[i] = (double)NAN;
			continue;
		}
		sweep->h2s[i] = solution.molality[SPECIES_H2S];
		struct scale_answer answer = sulfide_answer(&solution, reading->iron, reading->age.seconds, SIDE_LEAN);
		sweep->scale[i] = answer.scale;
		sweep->governing[i] = answer.fractions;
		for (size_t k = 0; k < FILM_AGES; k++)
			sweep->dense[i][k] = dense_at(input->temperature, sweep->h2s[i], *film_ages[k] * hour, 1);
	}
}

/* What was swept at an earlier place that holds the same is taken from there. */
static void add_sweep(
	struct overstripping *out, struct sweep *sweeps, const struct sweep **of, const struct window *window)
{
	struct sweep *sweep = &sweeps[out->sweep_count++];
	const struct window *known = window->alike;
	while (known && !of[known - out->windows])
		known = known->alike;
	if (known)
		*sweep = *of[known - out->windows];
	else
		fill_sweep(window, sweep);
	sweep->window = window;
	of[window - out->windows] = sweep;
}

/* The hottest case of each place. */
static void collect_sweeps(struct arena *arena, struct overstripping *out)
{
	struct sweep *sweeps = arena_alloc(arena, (out->window_count + 1) * sizeof *sweeps);
	const struct sweep **of = arena_alloc(arena, (out->window_count + 1) * sizeof *of);
	for (size_t i = 0; i < out->window_count;) {
		const struct location *location = out->windows[i].reading->location;
		const struct window *hottest = &out->windows[i];
		for (; i < out->window_count && out->windows[i].reading->location == location; i++)
			if (out->windows[i].reading->solution.input.temperature >
				hottest->reading->solution.input.temperature)
				hottest = &out->windows[i];
		add_sweep(out, sweeps, of, hottest);
	}
	out->sweeps = sweeps;
}

/* ---- claims ---- */

static double claimed_loading(struct arena *arena, const struct table *table, const struct item *item)
{
	const char *written = table_word(table, item, EVERY_CASE, "at-least");
	struct problems aside = {.arena = arena};
	struct quantity quantity;
	if (!written ||
		!quantity_parse(arena, written, "loading", (struct accepted){{KIND_LOADING}, 1}, ATMOSPHERE,
			item->place, &aside, &quantity))
		return (double)NAN;
	return quantity.si;
}

static bool asks_for_h2s(const struct table *table, const struct item *item)
{
	const char *quantity = table_word(table, item, EVERY_CASE, "quantity");
	const struct item *about = table_follow(table, item, EVERY_CASE, "about");
	const char *service = about ? table_word(table, about, EVERY_CASE, "service") : NULL;
	return (item_is(item, "claim") || item_is(item, "operating-limit")) && quantity &&
		strcmp(quantity, "h2s") == 0 && table_word(table, item, EVERY_CASE, "at-least") &&
		(!service || service_is(service, SERVICE_LEAN | SERVICE_STREAM));
}

/* H2S over the lean at the absorber top at the claimed loading, over what is specified. */
static double over_allowed(const struct allowance *allowance, double claimed)
{
	struct solution solution;
	if (allowance->missing.reason || isnan(claimed) ||
		!circuit_state(allowance->top, allowance->temperature, claimed, allowance->co2, &solution))
		return (double)NAN;
	return solution.partial_pressure[GAS_H2S] / (allowance->specified * allowance->pressure);
}

static void collect_claims(struct arena *arena, const struct table *table, struct overstripping *out)
{
	struct film_claim *claims = arena_alloc(arena, (table_item_count(table) + 1) * sizeof *claims);
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (!asks_for_h2s(table, item))
			continue;
		struct film_claim *claim = &claims[out->claim_count++];
		*claim = (struct film_claim){
			.item = item, .claimed = claimed_loading(arena, table, item), .over_allowed = (double)NAN};
		for (size_t k = 0; k < out->allowance_count; k++) {
			double over = over_allowed(&out->allowances[k], claim->claimed);
			if (!isnan(over) && !(over <= claim->over_allowed)) {
				claim->over_allowed = over;
				claim->allowance = &out->allowances[k];
			}
		}
		overstripping_say_claim(arena, out, claim);
	}
	out->claims = claims;
}

/* ---- all of it ---- */

/* The windows, and which of them belongs to a reading of the circuit. */
struct places {
	const struct circuit *circuit;
	struct window *windows;
	const struct window **of;
};

static const struct allowance *allowance_in(const struct overstripping *out, int operating_case)
{
	for (size_t i = 0; i < out->allowance_count; i++)
		if (out->allowances[i].operating_case == operating_case)
			return &out->allowances[i];
	return NULL;
}

/* An earlier window of the same solution, film age, iron and allowance. */
static const struct window *alike_before(
	const struct reading_at *reading, const struct allowance *allowance, const struct places *places)
{
	const struct reading_at *before = circuit_alike_before(reading);
	for (; before; before = circuit_alike_before(before)) {
		const struct window *window = places->of[before - places->circuit->readings];
		if (window && window->allowance == allowance)
			return window;
	}
	return NULL;
}

static struct window *add_window(
	struct arena *arena, struct overstripping *out, const struct reading_at *reading, struct places *places)
{
	const struct allowance *allowance = allowance_in(out, reading->operating_case);
	const struct window *alike = alike_before(reading, allowance, places);
	struct window *window = &places->windows[out->window_count++];
	if (alike)
		*window = *alike;
	else
		fill_window(reading, allowance, window);
	window->reading = reading;
	window->alike = alike;
	overstripping_say_window(arena, window);
	return window;
}

/* The lean side part of the way through an exchanger, as a place of its own; NULL: no state. */
static const struct reading_at *inside(
	struct arena *arena, const struct profile_of *profile, const struct location *location, size_t node)
{
	struct reading_at *reading = arena_alloc(arena, sizeof *reading);
	*reading = *profile->lean_in;
	reading->location = location;
	reading->before = NULL;
	const struct solution_input *input = &profile->lean_in->solution.input;
	return circuit_state(profile->lean_in, profile->slices[node].lean.temperature, input->loading[GAS_H2S],
		       input->loading[GAS_CO2], &reading->solution)
		? reading
		: NULL;
}

enum { PARTS = 4 };
static const char *const part_words[PARTS] = {"", "a quarter", "half", "three quarters"};

/* A quarter, half and three quarters of the duty, in every case that has a profile. */
static void add_inside(struct arena *arena, const struct exchangers *exchangers, const struct item *exchanger,
	struct overstripping *out, struct places *places)
{
	for (int part = 1; part < PARTS; part++) {
		struct location *location = arena_alloc(arena, sizeof *location);
		for (size_t i = 0; i < exchangers->count; i++) {
			const struct profile_of *profile = &exchangers->profiles[i];
			if (profile->exchanger != exchanger || profile->missing.reason)
				continue;
			*location = *profile->lean_in->location;
			location->name = arena_format(
				arena, "%s lean side after %s of the duty", exchanger->tag, part_words[part]);
			size_t node = (size_t)part * EXCHANGER_SLICES / PARTS;
			const struct reading_at *reading = inside(arena, profile, location, node);
			if (reading)
				add_window(arena, out, reading, places);
		}
	}
}

static void collect_windows(struct arena *arena, const struct circuit *circuit, const struct exchangers *exchangers,
	struct overstripping *out)
{
	size_t most = circuit->reading_count + (PARTS - 1) * exchangers->count;
	struct places places = {.circuit = circuit,
		.windows = arena_alloc(arena, (most + 1) * sizeof *places.windows),
		.of = arena_alloc(arena, (circuit->reading_count + 1) * sizeof *places.of)};
	out->windows = places.windows;
	for (size_t i = 0; i < circuit->reading_count && !circuit->sweet; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		const struct location *location = reading->location;
		if (location->side != SIDE_LEAN)
			continue;
		if (location->end == END_OUTLET && reading->operating_case == circuit->cases[0])
			add_inside(arena, exchangers, location->item->parent, out, &places);
		if (!reading->missing.reason)
			places.of[i] = add_window(arena, out, reading, &places);
	}
}

static struct overstripping *with_windows(struct arena *arena, const struct table *table, const struct circuit *circuit,
	const struct exchangers *exchangers)
{
	struct overstripping *out = arena_alloc(arena, sizeof *out);
	out->sweet = circuit->sweet;
	struct allowance *allowances = arena_alloc(arena, (circuit->case_count + 1) * sizeof *allowances);
	for (size_t c = 0; c < circuit->case_count; c++)
		allowances[out->allowance_count++] = strictest(arena, table, circuit, circuit->cases[c]);
	out->allowances = allowances;
	collect_windows(arena, circuit, exchangers, out);
	return out;
}

const struct overstripping *overstripping_answer(struct arena *arena, const struct table *table,
	const struct circuit *circuit, const struct exchangers *exchangers)
{
	struct overstripping *out = with_windows(arena, table, circuit, exchangers);
	collect_sweeps(arena, out);
	overstripping_say_answers(arena, circuit, out);
	collect_claims(arena, table, out);
	return out;
}

const struct overstripping *overstripping_claims(struct arena *arena, const struct table *table,
	const struct circuit *circuit, const struct exchangers *exchangers)
{
	bool any = false;
	for (size_t i = 0; i < table_item_count(table); i++)
		any = any || asks_for_h2s(table, table_item(table, i));
	struct overstripping *out =
		any ? with_windows(arena, table, circuit, exchangers) : arena_alloc(arena, sizeof *out);
	collect_claims(arena, table, out);
	return out;
}
