#include "sulfide/circuit.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "compute/no_data.h"
#include "compute/solvent.h"
#include "compute/streams.h"
#include "resolve/equipment.h"
#include "resolve/service.h"

const double *const film_ages[FILM_AGES] = {&FILM_AGE_SHORT, &FILM_AGE_SEASON, &FILM_AGE_YEAR, &FILM_AGE_RUN};

static const double hour = 3600;

/* ---- the places ---- */

/* Order of flow; places of one rank keep the order of the description. */
enum rank {
	RANK_ABSORBER_BOTTOM,
	RANK_RICH_STREAM,
	RANK_FLASH,
	RANK_RICH_FILTER,
	RANK_RICH_INLET,
	RANK_RICH_OUTLET,
	RANK_FEED,
	RANK_BOTTOM,
	RANK_REBOILER,
	RANK_LEAN_INLET,
	RANK_LEAN_OUTLET,
	RANK_LEAN_STREAM,
	RANK_BOOSTER,
	RANK_COOLER_INLET,
	RANK_COOLER_OUTLET,
	RANK_FILTER,
	RANK_CARBON,
	RANK_PUMP,
	RANK_SEMI_LEAN,
	RANK_ABSORBER_TOP,
};

/* Places of each kind; without a reference they are in whatever amine stream touches the item. */
static const struct site {
	const char *kind, *reference, *label, *own_temperature;
	enum side side;
	enum rank rank;
} sites[] = {
#define PLACE(kind, reference, label, own_temperature, side, rank)                                                     \
	{kind, reference, label, own_temperature, SIDE_##side, RANK_##rank},
#include "resolve/equipment.def"
};

struct walk {
	struct arena *arena;
	const struct table *table;
	struct location *locations;
	size_t count, capacity;
	bool *covered; /* streams, by item index */
};

static const char *service_of(const struct walk *walk, const struct item *item)
{
	const char *word = item ? table_word(walk->table, item, EVERY_CASE, "service") : NULL;
	return word ? word : "";
}

static bool is_lean(const char *service)
{
	return service_is(service, SERVICE_LEAN | SERVICE_FLOWING);
}

static bool is_rich(const char *service)
{
	return service_is(service, SERVICE_RICH | SERVICE_FLOWING);
}

static void add_location(struct walk *walk, struct location location, const char *label)
{
	if (!location.item || (location.stream && !item_is(location.stream, "stream")))
		return;
	location.name = *label ? arena_format(walk->arena, "%s %s", location.item->tag, label) : location.item->tag;
	walk->locations =
		arena_grow(walk->arena, walk->locations, walk->count, &walk->capacity, sizeof *walk->locations);
	walk->locations[walk->count++] = location;
	/* At a temperature of the item's own it does not speak for what carries the stream. */
	bool own = location.own_temperature &&
		table_peek(walk->table, location.item, EVERY_CASE, location.own_temperature);
	if (location.stream && !own)
		walk->covered[location.stream->index] = true;
}

/* "a|b": the first that is referred to; "a>b": b of what a refers to. */
static const struct item *refer(const struct walk *walk, const struct item *item, const char *references)
{
	char *list = arena_copy(walk->arena, references), *rest = list;
	for (char *one; (one = strtok_r(rest, "|", &rest)) != NULL;) {
		char *then = strchr(one, '>');
		const struct item *from = item;
		if (then) {
			*then++ = '\0';
			const char *tag = table_word(walk->table, item, EVERY_CASE, one);
			from = tag ? table_find(walk->table, tag) : NULL;
			one = then;
		}
		const char *tag = from ? table_word(walk->table, from, EVERY_CASE, one) : NULL;
		const struct item *found = tag ? table_find(walk->table, tag) : NULL;
		if (found)
			return found;
	}
	return NULL;
}

static void add_sites(struct walk *walk, const struct item *item)
{
	for (size_t i = 0; i < COUNT(sites); i++) {
		const struct site *site = &sites[i];
		if (!site->reference || !item_is(item, site->kind))
			continue;
		const struct item *stream = refer(walk, item, site->reference);
		if (!stream && strcmp(site->reference, "semi-lean") == 0)
			continue;
		char *first = arena_copy(walk->arena, site->reference);
		first[strcspn(first, "|")] = '\0';
		add_location(walk,
			(struct location){.item = item,
				.stream = stream,
				.own_temperature = site->own_temperature,
				.no_stream = item_lacks(walk->arena, item, first),
				.side = site->side,
				.rank = (int)site->rank},
			site->label);
	}
}

/* Both ends of a side that amine flows through. */
static void add_side(struct walk *walk, const struct item *side, const char *label, enum rank inlet, enum rank outlet,
	enum side which)
{
	static const char *const ends[] = {"inlet", "outlet"};
	for (size_t i = 0; i < COUNT(ends); i++)
		add_location(walk,
			(struct location){.item = side,
				.stream = refer(walk, side, ends[i]),
				.no_stream = item_lacks(walk->arena, side, ends[i]),
				.side = which,
				.end = i ? END_OUTLET : END_INLET,
				.rank = (int)(i ? outlet : inlet)},
			arena_format(walk->arena, "%s%s%s", label, *label ? " " : "", ends[i]));
}

static bool is_side(const struct item *item)
{
	return item_in(item, CLASS_SIDE);
}

static const char *amine_of_side(const struct walk *walk, const struct item *side)
{
	const struct item *stream = refer(walk, side, "inlet|outlet");
	return service_of(walk, stream ? stream : side);
}

static void add_exchanger_side(struct walk *walk, const struct item *side)
{
	const char *holder = service_of(walk, side->parent), *amine = amine_of_side(walk, side);
	bool cooler = item_is(side->parent, "cooler") || service_is(holder, SERVICE_COOLING);
	if (is_lean(amine))
		add_side(walk, side, cooler ? "" : "lean", cooler ? RANK_COOLER_INLET : RANK_LEAN_INLET,
			cooler ? RANK_COOLER_OUTLET : RANK_LEAN_OUTLET, SIDE_LEAN);
	else if (is_rich(amine))
		add_side(walk, side, "rich", RANK_RICH_INLET, RANK_RICH_OUTLET, SIDE_RICH);
}

static void add_in_stream(struct walk *walk, const struct item *item)
{
	for (size_t i = 0; i < COUNT(sites); i++) {
		if (sites[i].reference || !item_is(item, sites[i].kind))
			continue;
		const struct scene scene = {.table = walk->table, .item = item, .operating_case = EVERY_CASE};
		const struct item *stream = stream_touching(&scene);
		const char *service = service_of(walk, stream ? stream : item);
		bool rich = is_rich(service), booster = strcmp(service_of(walk, item), "lean booster") == 0;
		if (!rich && !is_lean(service))
			continue;
		add_location(walk,
			(struct location){.item = item,
				.stream = stream,
				.own_temperature = sites[i].own_temperature,
				.no_stream = item_lacks(walk->arena, item, "the stream"),
				.side = rich ? SIDE_RICH : SIDE_LEAN,
				.rank = (int)(rich	  ? RANK_RICH_FILTER
						: booster ? RANK_BOOSTER
							  : sites[i].rank)},
			"");
	}
}

static void add_stream(struct walk *walk, const struct item *item)
{
	const char *service = service_of(walk, item);
	bool rich = is_rich(service);
	if (!item_is(item, "stream") || walk->covered[item->index] || (!rich && !is_lean(service)))
		return;
	add_location(walk,
		(struct location){.item = item,
			.stream = item,
			.side = rich ? SIDE_RICH : SIDE_LEAN,
			.rank = rich ? RANK_RICH_STREAM : RANK_LEAN_STREAM},
		"");
}

struct ordered {
	struct location location;
	size_t found; /* qsort is not stable */
};

static int by_rank(const void *left, const void *right)
{
	const struct ordered *a = left, *b = right;
	if (a->location.rank != b->location.rank)
		return a->location.rank < b->location.rank ? -1 : 1;
	return a->found < b->found ? -1 : a->found > b->found;
}

static void find_locations(struct walk *walk)
{
	size_t items = table_item_count(walk->table);
	walk->covered = arena_alloc(walk->arena, items + 1);
	for (size_t i = 0; i < items; i++) {
		const struct item *item = table_item(walk->table, i);
		add_sites(walk, item);
		if (is_side(item) && item->parent)
			add_exchanger_side(walk, item);
		add_in_stream(walk, item);
	}
	for (size_t i = 0; i < items; i++)
		add_stream(walk, table_item(walk->table, i));
	struct ordered *rows = arena_alloc(walk->arena, (walk->count + 1) * sizeof *rows);
	for (size_t i = 0; i < walk->count; i++)
		rows[i] = (struct ordered){walk->locations[i], i};
	qsort(rows, walk->count, sizeof *rows, by_rank);
	for (size_t i = 0; i < walk->count; i++)
		walk->locations[i] = rows[i].location;
}

/* ---- the age of the film ---- */

/* The rate stated for the place, for what it is part of, or by a coupon in its stream. */
static const struct quantity *corrosion_rate(const struct scene *scene, const struct location *location)
{
	for (const struct item *item = location->item; item; item = item->parent) {
		const struct quantity *rate = scene_get_of(scene, item, "corrosion-rate");
		if (is_number(rate) && rate->si > 0)
			return rate;
	}
	struct items coupons = table_of_kind(scene->table, "coupon");
	for (size_t i = 0; i < coupons.count; i++) {
		const struct item *item = coupons.rows[i];
		const char *at = table_word(scene->table, item, scene->operating_case, "at");
		const struct item *where = at ? table_find(scene->table, at) : NULL;
		const char *stream = where ? table_word(scene->table, where, scene->operating_case, "stream") : NULL;
		const struct quantity *rate = scene_get_of(scene, item, "corrosion-rate");
		if (where && is_number(rate) && rate->si > 0 &&
			(where == location->item || where == location->stream ||
				(stream && location->stream && strcmp(stream, location->stream->tag) == 0)))
			return rate;
	}
	return NULL;
}

static struct known_age age_of(struct arena *arena, const struct scene *scene, const struct location *location)
{
	const struct item *basis = table_sole(scene->table, "basis");
	if (!basis)
		basis = table_sole(scene->table, "unit");
	const struct quantity *stated = scene_get_of(scene, basis, "film-age");
	const struct quantity *rate = corrosion_rate(scene, location);
	bool known = is_number(stated) && stated->si > 0;
	double exposure = known ? stated->si : FILM_AGE_ASSUMED * hour;
	struct known_age age = {.assumed = !known, .corrosion_rate = rate ? rate->si : (double)NAN};
	age.seconds = sulfide_film_age(exposure, age.corrosion_rate);
	age.from_rate = age.seconds < exposure;
	age.assumed = age.assumed && !age.from_rate;
	age.words = arena_format(arena, "%s h%s", number_show(arena, age.seconds / hour),
		age.from_rate	      ? arena_format(arena, ", from the stated %s", quantity_show(arena, rate, NULL))
			: age.assumed ? ", assumed"
				      : ", as stated");
	return age;
}

/* ---- the state at a place ---- */

static struct input input_at(
	const struct scene *scene, const struct location *location, const char *symbol, const char *name)
{
	return scene_input_of(scene, location->stream, symbol, name);
}

static struct missing not_a_number(struct arena *arena, const struct input *input)
{
	return input->quantity->known == UNKNOWN || is_bound(input->quantity) ? input_missing(arena, input)
									      : nothing_missing;
}

/*
 * Salts stated as "<..." were taken at their bounds: is the solution, within what the chemistry is uncertain by, the same
 * without them? More salt means more H2S in the gas and a lower pH, which film and corrosion answer in opposite ways: where it
 * matters there is no careful side.
 */
static bool salts_settled(const struct stream_solution *of, const struct solution *at_bounds)
{
	struct solution_input least;
	struct solution without;
	if (!solvent_least_salts(of, &least))
		return true;
	if (!solution_solve(&terms_own, &least, &without) || !(fabs(without.ph - at_bounds->ph) <= range_ph(at_bounds)))
		return false;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		struct interval ends = range_pressure(at_bounds, (enum gas)gas);

		if (without.partial_pressure[gas] < ends.low || without.partial_pressure[gas] > ends.high)
			return false;
	}
	return true;
}

/* What the state lacks: an input that is not known, or only a bound. Salts may be bounds (salts_settled()). */
static struct missing lacks(const struct scene *scene, const struct stream_solution *of)
{
	struct missing missing = of->no_salts;
	for (size_t i = of->activated ? 1 : 0; i < of->count && !missing.reason; i++) {
		bool salts = strcmp(of->inputs[i].symbol, "b") == 0;
		missing = salts && of->inputs[i].quantity->known != UNKNOWN
			? nothing_missing
			: not_a_number(table_arena(scene->table), &of->inputs[i]);
	}
	return missing;
}

static struct missing solve(const struct scene *scene, const struct location *location, struct reading_at *reading)
{
	if (!location->stream)
		return location->no_stream;
	const struct stream_solution of =
		solvent_at(scene, location->stream, location->item, location->own_temperature);
	reading->temperature = of.inputs[of.temperature_at];
	reading->co2 = of.inputs[of.temperature_at - 1];
	reading->h2s = of.inputs[of.temperature_at - 2];
	reading->pressure = input_at(scene, location, "P", "pressure");
	const struct input *needed[] = {&reading->temperature, &reading->h2s, &reading->co2};
	for (size_t i = 0; i < COUNT(needed); i++) {
		struct missing missing = not_a_number(table_arena(scene->table), needed[i]);
		if (missing.reason)
			return missing;
	}
	const struct item *basis = table_sole(scene->table, "basis");
	const struct input age = scene_input_of(scene, basis ? basis : scene->item, "", "film-age");
	if (is_bound(age.quantity))
		return input_missing(table_arena(scene->table), &age);
	struct missing missing = lacks(scene, &of);
	if (missing.reason)
		return missing;
	if (!solution_solve(&terms_own, &of.state, &reading->solution))
		missing.reason = solution_fault_words(reading->solution.fault);
	else if (!salts_settled(&of, &reading->solution))
		missing.reason = "salts of the solvent are stated only as bounds, and the pH depends on them";
	return missing;
}

struct scale_answer circuit_answer(
	const struct reading_at *reading, const struct solution *solution, struct scale_answer by_age[FILM_AGES])
{
	double ages[1 + FILM_AGES] = {reading->age.seconds};
	struct scale_answer answers[1 + FILM_AGES];
	for (size_t i = 0; i < FILM_AGES; i++)
		ages[1 + i] = *film_ages[i] * hour;
	sulfide_answers(solution, reading->iron, reading->location->side, ages, by_age ? COUNT(ages) : 1, answers);
	if (by_age)
		memcpy(by_age, answers + 1, FILM_AGES * sizeof *by_age);
	return answers[0];
}

static void read_at(
	struct arena *arena, const struct scene *scene, const struct location *location, struct reading_at *reading)
{
	*reading = (struct reading_at){.location = location, .operating_case = scene->operating_case};
	reading->missing = solve(scene, location, reading);
	if (reading->missing.reason)
		return;
	double stated = solvent_iron(scene);
	reading->iron_assumed = isnan(stated);
	reading->iron = reading->iron_assumed ? solvent_iron_assumed(scene, IRON_ASSUMED) : stated;
	reading->age = age_of(arena, scene, location);
	reading->answer = circuit_answer(reading, &reading->solution, reading->by_age);
	double saturation = reading->answer.saturation_sulfide;
	reading->tendency = isinf(saturation) ? (double)NAN : log10(reading->iron / saturation);
}

bool circuit_state(const struct reading_at *reading, double temperature, double h2s, double co2, struct solution *out)
{
	struct solution_input input = reading->solution.input;
	input.temperature = temperature;
	input.loading[GAS_H2S] = h2s;
	input.loading[GAS_CO2] = co2;
	return solution_solve(&terms_own, &input, out);
}

bool circuit_same_state(const struct reading_at *a, const struct reading_at *b)
{
	const struct solution_input *x = &a->solution.input, *y = &b->solution.input;
	bool alike = number_same(x->temperature, y->temperature) && number_same(x->anion[0], y->anion[0]) &&
		number_same(x->anion[1], y->anion[1]) && number_same(x->cation, y->cation);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		alike = alike && number_same(x->mass_fraction[i], y->mass_fraction[i]);
	for (size_t i = 0; i < GAS_COUNT; i++)
		alike = alike && number_same(x->loading[i], y->loading[i]);
	return alike;
}

const struct reading_at *circuit_alike_before(const struct reading_at *reading)
{
	const struct reading_at *before = reading->before;
	while (before &&
		!(number_same(before->iron, reading->iron) && number_same(before->age.seconds, reading->age.seconds)))
		before = before->before;
	return before;
}

static uint32_t state_hash(const struct solution_input *input)
{
	const double values[] = {input->temperature, input->loading[GAS_H2S], input->loading[GAS_CO2]};
	uint32_t hash = 0;
	for (size_t i = 0; i < COUNT(values); i++) {
		double value = values[i] + 0.0; /* no negative zero */
		uint64_t bits;
		memcpy(&bits, &value, sizeof bits);
		hash = (hash ^ (uint32_t)(bits ^ bits >> 32)) * 2654435761u;
	}
	return hash ^ hash >> 16;
}

/* Open addressing over the last reading of each state. */
static void link_alike(struct arena *arena, struct circuit *circuit)
{
	size_t capacity = 64;
	while (capacity < 2 * circuit->reading_count)
		capacity *= 2;
	const struct reading_at **last = arena_alloc(arena, capacity * sizeof *last);
	for (size_t i = 0; i < circuit->reading_count; i++) {
		struct reading_at *reading = &circuit->readings[i];
		if (reading->missing.reason)
			continue;
		size_t at = state_hash(&reading->solution.input) & (capacity - 1);
		while (last[at] && !circuit_same_state(last[at], reading))
			at = (at + 1) & (capacity - 1);
		reading->before = last[at];
		last[at] = reading;
	}
}

const struct circuit *circuit_walk(struct arena *arena, const struct table *table)
{
	struct walk walk = {.arena = arena, .table = table};
	const struct item *unit = table_sole(table, "unit");
	struct circuit *circuit = arena_alloc(arena, sizeof *circuit);
	int *cases = arena_alloc(arena, table_case_count(table) * sizeof *cases);
	find_locations(&walk);
	for (size_t c = 0; c < table_case_count(table); c++)
		if (!table_case(table, (int)c)->upset)
			cases[circuit->case_count++] = (int)c;
	circuit->cases = cases;
	circuit->locations = walk.locations;
	circuit->location_count = walk.count;
	circuit->readings = arena_alloc(arena, (walk.count * circuit->case_count + 1) * sizeof *circuit->readings);
	struct scene scene = {.table = table};
	for (size_t i = 0; i < walk.count; i++)
		for (size_t c = 0; c < circuit->case_count; c++) {
			scene.operating_case = cases[c];
			scene.item = walk.locations[i].item;
			read_at(arena, &scene, &walk.locations[i], &circuit->readings[circuit->reading_count++]);
		}
	link_alike(arena, circuit);
	scene.operating_case = EVERY_CASE;
	circuit->activated = solvent_activated(&scene);
	circuit->no_data = no_data_of(arena, table);
	circuit->sweet = unit && text_same(table_word(table, unit, EVERY_CASE, "sourness"), "sweet");
	return circuit;
}
