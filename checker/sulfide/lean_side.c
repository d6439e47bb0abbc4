#include "sulfide/lean_side.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "compute/solvent.h"
#include "compute/streams.h"
#include "resolve/equipment.h"

static const double hour = 3600;

const char *const sulfide_sources[] = {"solvent-maker-guide", "refinery-qa2021", "kohl-nielsen1997", "practitioners",
	"perdu2014", "navabzadeh2017", "thermoddem2020", "own-calibration", "rickard1997", "rickard2006", "benning2000",
	NULL};

/* ---- iron and solids ---- */

/* The largest lean flow of the unit in its first steady case. */
static const struct item *largest_lean(const struct table *table, const struct circuit *circuit, double *flow)
{
	const struct item *largest = NULL;
	*flow = (double)NAN;
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct location *location = circuit->readings[i].location;
		if (location->side != SIDE_LEAN || !location->stream ||
			circuit->readings[i].operating_case != circuit->cases[0])
			continue;
		const struct quantity *mass = table_get(table, location->stream, circuit->cases[0], "mass-flow");
		if (!is_number(mass) || mass->si <= *flow)
			continue;
		*flow = mass->si;
		largest = location->stream;
	}
	return largest;
}

static struct iron_balance iron_of(const struct table *table, const struct circuit *circuit)
{
	const double milligram_per_litre = 1e-6; /* kg/kg, where a litre weighs a kilogram */
	const struct scene scene = {.table = table, .operating_case = EVERY_CASE};
	struct iron_balance iron = {.stated = solvent_iron(&scene), .floor = IRON_FLOOR * milligram_per_litre};
	iron.stream = circuit->case_count ? largest_lean(table, circuit, &iron.flow) : NULL;
	if (circuit->sweet) {
		iron.missing = (struct missing){.reason = "the unit holds no H2S, so its iron is not sulfide"};
		return iron;
	}
	if (isnan(iron.stated)) {
		iron.missing = (struct missing){NULL, "iron", "iron of the solvent is not stated"};
		return iron;
	}
	iron.particles = fmax(0, iron.stated - iron.floor);
	iron.circulating =
		iron.stream ? iron.flow * iron.particles * MOLAR_MASS_IRON_SULFIDE / MOLAR_MASS_IRON : (double)NAN;
	return iron;
}

static bool cold_end_fouls(const struct lean_side *all)
{
	bool loose = false;
	for (size_t i = 0; i < all->circuit->reading_count; i++) {
		const struct reading_at *reading = &all->circuit->readings[i];
		loose = loose ||
			(!reading->missing.reason && reading->location->side == SIDE_LEAN &&
				reading->answer.scale == SCALE_MACKINAWITE);
	}
	return loose && (all->iron.missing.reason || all->iron.particles > 0);
}

/* ---- what rules may cite ---- */

const char *const lean_side_names[] = {"amine-side", "cold-end-scale", "co2-at-wall", "expected-scale", "film-answer",
	"h2s-at-wall", "iron-particles", "over-specification", "siderite-iron", "temperature-at-wall", NULL};

static const struct quantity *word(
	struct arena *arena, const char *is, const struct reading_at *reading, enum formula_code formula)
{
	struct quantity *quantity = arena_alloc(arena, sizeof *quantity);
	struct input *inputs = arena_alloc(arena, 3 * sizeof *inputs);
	inputs[0] = reading->temperature;
	inputs[1] = reading->h2s;
	inputs[2] = reading->co2;
	*quantity = (struct quantity){.known = COMPUTED,
		.kind = KIND_WORD,
		.word = is,
		.formula = &formulas[formula],
		.inputs = inputs,
		.input_count = 3};
	return quantity;
}

/* A stated input of the place under the name that rules know it by. */
static void put_input(const struct scene *scene, const char *name, const struct input *input)
{
	struct arena *arena = table_arena(scene->table);
	struct quantity *taken = arena_alloc(arena, sizeof *taken);
	struct input *from = arena_alloc(arena, sizeof *from);
	*taken = *input->quantity;
	*from = *input;
	from->symbol = "from";
	if (taken->known != UNKNOWN) {
		taken->known = COMPUTED;
		taken->formula = &formulas[FORMULA_TAKEN];
		taken->inputs = from;
		taken->input_count = 1;
	}
	scene_put(scene, name, taken);
}

static void put_reading(struct table *table, const struct reading_at *reading, const struct item *item)
{
	struct arena *arena = table_arena(table);
	const struct scene scene = {
		.table = table, .into = table, .item = item, .operating_case = reading->operating_case};
	const char *side = reading->location->side == SIDE_LEAN ? "lean" : "rich";
	scene_put_made(
		&scene, "amine-side", quantity_assumed_word(arena, KIND_WORD, side, "from the service of its stream"));
	if (reading->missing.reason) {
		static const char *const waiting[] = {
			"expected-scale", "temperature-at-wall", "h2s-at-wall", "co2-at-wall"};
		for (size_t i = 0; i < COUNT(waiting); i++)
			scene_put_made(&scene, waiting[i], quantity_lacking(arena, KIND_WORD, reading->missing));
		return;
	}
	const struct scale_answer *answer = &reading->answer;
	const struct input inputs[] = {reading->temperature, reading->h2s, reading->co2};
	put_input(&scene, "temperature-at-wall", &reading->temperature);
	put_input(&scene, "h2s-at-wall", &reading->h2s);
	put_input(&scene, "co2-at-wall", &reading->co2);
	scene_put(&scene, "expected-scale", word(arena, scale_word(answer->scale), reading, FORMULA_EXPECTED_SCALE));
	if (isfinite(answer->saturation_carbonate))
		scene_compute(&scene, "siderite-iron", KIND_TRACE, answer->saturation_carbonate, 0,
			FORMULA_SIDERITE_IRON, inputs, COUNT(inputs));
}

/* Towers are in lean and rich: neither answer would be that of the item. Of a side the hot end counts. */
static bool speaks_for_item(const struct location *location)
{
	return !item_in(location->item, CLASS_CONTACTOR) &&
		(location->end != END_OUTLET || location->side == SIDE_RICH);
}

/* In one case, by item index: the first line that carries a stream, and after each line the next of the same stream. */
struct carriers {
	const struct item **first, **last, **next;
};

static struct carriers carriers_in(struct arena *arena, const struct table *table, int operating_case)
{
	size_t items = table_item_count(table) + 1;
	struct carriers carriers = {.first = arena_alloc(arena, items * sizeof *carriers.first),
		.last = arena_alloc(arena, items * sizeof *carriers.last),
		.next = arena_alloc(arena, items * sizeof *carriers.next)};
	struct items lines = table_of_kind(table, "line");
	for (size_t i = 0; i < lines.count; i++) {
		const char *carried = table_word(table, lines.rows[i], operating_case, "stream");
		const struct item *stream = carried ? table_find(table, carried) : NULL;
		if (!stream)
			continue;
		const struct item *before = carriers.last[stream->index];
		*(before ? &carriers.next[before->index] : &carriers.first[stream->index]) = lines.rows[i];
		carriers.last[stream->index] = lines.rows[i];
	}
	return carriers;
}

/* The place itself, then the lines that carry its stream. */
static void put_readings(struct table *table, const struct circuit *circuit)
{
	struct carriers *carriers = arena_alloc(table_arena(table), (circuit->case_count + 1) * sizeof *carriers);
	for (size_t c = 0; c < circuit->case_count; c++)
		carriers[c] = carriers_in(table_arena(table), table, circuit->cases[c]);
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		const struct item *stream = reading->location->stream;
		if (speaks_for_item(reading->location))
			put_reading(table, reading, reading->location->item);
		if (!stream || reading->temperature.item != stream)
			continue;
		const struct carriers *here = &carriers[i % circuit->case_count]; /* case by case in each location */
		for (const struct item *line = here->first[stream->index]; line; line = here->next[line->index])
			put_reading(table, reading, line);
	}
}

/* The claim's own figure, and what the strictest absorber is at. */
static size_t claim_inputs(struct arena *arena, const struct film_claim *claim, struct input *inputs)
{
	size_t count = 0;
	const struct quantity *claimed = isnan(claim->claimed)
		? quantity_unknown(arena, KIND_LOADING, "the claimed loading is not a number")
		: quantity_assumed(arena, KIND_LOADING, claim->claimed, 0, "as the claim has it");
	inputs[count++] = scene_input_is("a", "the claimed loading", claimed);
	if (claim->allowance && !claim->allowance->missing.reason) {
		inputs[count++] = claim->allowance->top->temperature;
		inputs[count++] = claim->allowance->top->co2;
	}
	return count;
}

static void put_claim(struct table *table, const struct overstripping *answers, const struct film_claim *claim)
{
	struct arena *arena = table_arena(table);
	const struct scene scene = {.table = table, .into = table, .item = claim->item, .operating_case = EVERY_CASE};
	struct quantity *answer = arena_alloc(arena, sizeof *answer);
	struct input *inputs = arena_alloc(arena, 3 * sizeof *inputs);
	size_t count = claim_inputs(arena, claim, inputs);
	*answer = (struct quantity){.known = COMPUTED,
		.kind = KIND_TEXT,
		.word = claim->sentence.words,
		.formula = &formulas[FORMULA_FILM_WINDOW],
		.inputs = inputs,
		.input_count = (uint32_t)count};
	scene_put(&scene, "film-answer", answer);
	if (isnan(claim->over_allowed)) {
		struct missing missing = {.reason = "the claimed loading is not a number, or more than an amine holds"};
		if (answers->allowance_count && answers->allowances[0].missing.reason)
			missing = answers->allowances[0].missing;
		scene_put_made(&scene, "over-specification", quantity_lacking(arena, KIND_RATIO, missing));
		return;
	}
	double factor = range_factor(&claim->allowance->top->solution, GAS_H2S);
	scene_compute_by_factor(&scene, "over-specification", KIND_RATIO, claim->over_allowed,
		claim->over_allowed * (factor - 1), FORMULA_OVER_SPECIFICATION, inputs, count);
}

static void put_claims(struct table *table, const struct overstripping *answers)
{
	for (size_t i = 0; i < answers->claim_count; i++)
		put_claim(table, answers, &answers->claims[i]);
}

/* An exchanger that has no profile says what it lacks, instead of "cold-end-scale is not stated". */
static void put_no_profile(struct table *table)
{
	struct arena *arena = table_arena(table);
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		const struct scene scene = {.table = table, .into = table, .item = item, .operating_case = EVERY_CASE};
		if (item_is(item, "exchanger"))
			scene_put_made(&scene, "cold-end-scale",
				quantity_unknown(arena, KIND_WORD,
					arena_format(
						arena, "inlet and outlet streams of %s are not stated", item->tag)));
	}
}

static void put_fouling(struct table *table, const struct lean_side *all)
{
	struct arena *arena = table_arena(table);
	put_no_profile(table);
	for (size_t i = 0; i < all->exchangers.count; i++) {
		const struct profile_of *profile = &all->exchangers.profiles[i];
		const struct scene scene = {.table = table,
			.into = table,
			.item = profile->exchanger,
			.operating_case = profile->operating_case};
		if (profile->missing.reason) {
			scene_put_made(&scene, "cold-end-scale", quantity_lacking(arena, KIND_WORD, profile->missing));
			continue;
		}
		const struct slice *cold = &profile->slices[EXCHANGER_SLICES];
		scene_put(&scene, "cold-end-scale",
			word(arena, scale_word(cold->lean.answer.scale), profile->lean_out, FORMULA_EXPECTED_SCALE));
	}
}

/* In one case: what is stated for it above the iron that dissolves. */
static void put_iron_of(const struct scene *scene, const struct iron_balance *iron)
{
	const struct input inputs[] = {scene_input(scene, "c", "iron")};
	const struct quantity *stated = inputs[0].quantity;
	if (stated->known == UNKNOWN || iron->missing.reason) {
		scene_put_made(scene, "iron-particles",
			quantity_lacking(table_arena(scene->table), KIND_TRACE,
				stated->known == UNKNOWN && (iron->missing.quantity || !iron->missing.reason)
					? quantity_missing(stated)
					: iron->missing));
		return;
	}
	scene_compute(scene, "iron-particles", KIND_TRACE, fmax(0, stated->si - iron->floor), stated->uncertainty,
		FORMULA_IRON_PARTICLES, inputs, 1);
}

static void put_iron(struct table *table, const struct iron_balance *iron)
{
	const struct item *solvent = table_sole(table, "solvent");
	struct scene scene = {.table = table, .into = table, .item = solvent, .operating_case = EVERY_CASE};
	if (!solvent)
		return;
	const struct quantity *common = scene_get(&scene, "iron");
	put_iron_of(&scene, iron);
	for (int c = 0; c < (int)table_case_count(table); c++) {
		scene.operating_case = c;
		if (scene_get(&scene, "iron") != common)
			put_iron_of(&scene, iron);
	}
}

/* The circuit, its exchangers and the iron: with the claims, all that the table takes anything from. */
static struct lean_side *walk(struct table *table, bool shown)
{
	struct arena *arena = table_arena(table);
	struct lean_side *all = arena_alloc(arena, sizeof *all);
	const struct circuit *circuit = circuit_walk(arena, table);
	all->circuit = circuit;
	all->exchangers = exchanger_profiles(arena, circuit, shown);
	all->iron = iron_of(table, circuit);
	return all;
}

static void put_all(struct table *table, const struct lean_side *all)
{
	put_readings(table, all->circuit);
	put_claims(table, all->overstripping);
	put_fouling(table, all);
	put_iron(table, &all->iron);
}

const struct lean_side *lean_side_compute(struct table *table, bool samples)
{
	struct lean_side *all = walk(table, true);
	const struct circuit *circuit = all->circuit;
	all->overstripping = overstripping_answer(table_arena(table), table, circuit, &all->exchangers);
	all->cold_end_fouls = cold_end_fouls(all);
	const struct scale_shares *shares;
	if (samples && scale_samples(table_arena(table), circuit, SCALE_SEED, &shares))
		all->shares = shares;
	double age = FILM_AGE_ASSUMED * hour;
	for (size_t i = circuit->reading_count; i-- > 0;)
		if (!circuit->readings[i].missing.reason && !circuit->readings[i].age.from_rate)
			age = circuit->readings[i].age.seconds;
	all->map = phase_map_at(age);
	put_all(table, all);
	return all;
}

void lean_side_put(struct table *table)
{
	struct lean_side *all = walk(table, false);
	all->overstripping = overstripping_claims(table_arena(table), table, all->circuit, &all->exchangers);
	put_all(table, all);
}
