#include "compute/sour.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "compute/streams.h"
#include "resolve/equipment.h"

static const double SOUR_GAS = 300;			      /* Pa, 0.05 psia; ISO 15156, from memory */
static const double SOUR_WATER = 50e-6;			      /* mass fraction; NACE MR0103, from memory */
static const double ACID = 4, ALKALINE = 7.6, CYANIDE = 2e-5; /* pH, pH, mass fraction; the same */
static const double SOUR_LOADING = 5e-4; /* mol/mol: 50 mg/kg of sulfide in 3 mol/kg of amine; arithmetic */
static const double SAME = 1e-9;	 /* what the conversion of a unit may take away */

static const char SOUR[] = "sour", LIGHTLY[] = "lightly sour", SWEET[] = "sweet";

/* A word with its reason; word NULL: not known, and `open` says for want of what. */
struct answer {
	const char *word, *why;
	struct missing open;
};

static struct answer says(const char *word, const char *why)
{
	return (struct answer){.word = word, .why = why};
}

static const char *shown(const struct scene *scene, double si, enum kind kind)
{
	return quantity_show_si(table_arena(scene->table), si, kind, NULL);
}

/* Known as a number, or as a bound from above, which serves as the value: it is the careful side. */
static bool is_at_most(const struct quantity *value)
{
	return value && value->known != UNKNOWN && kind_is_number(value->kind) && value->bound != BOUND_ABOVE;
}

static bool is_from(const struct quantity *value, double border)
{
	return value && value->known != UNKNOWN && value->bound != BOUND_BELOW && value->si >= border * (1 - SAME);
}

/* ---- the gases that the unit treats ---- */

static bool is_feed(const struct scene *scene, const struct item *item)
{
	const char *role = table_word(scene->table, item, scene->operating_case, "role");
	return item_is(item, "gas") && (!role || strcmp(role, "feed") == 0);
}

/* The largest of all feeds; NaN where one of them does not say, or there is none. */
static double most_of_feeds(const struct scene *scene, const char *name)
{
	double most = (double)NAN;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *gas = table_item(scene->table, i);
		const struct quantity *value = is_feed(scene, gas) ? scene_get_of(scene, gas, name) : NULL;
		if (item_is(gas, "hydrocarbon-feed") || (is_feed(scene, gas) && !is_at_most(value)))
			return (double)NAN;
		if (value)
			most = fmax(most, value->si);
	}
	return most;
}

/* ---- what touches the place ---- */

static struct answer by_gas(const struct scene *scene, const struct item *gas)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *pressure = scene_get_of(scene, gas, "h2s-partial-pressure");
	if (!is_at_most(pressure) && !is_from(pressure, SOUR_GAS))
		return (struct answer){.open = pressure && pressure->reason ? quantity_missing(pressure)
									    : item_lacks(arena, gas, "h2s")};
	const char *much = shown(scene, pressure->si, pressure->kind);
	if (pressure->si >= SOUR_GAS * (1 - SAME))
		return says(SOUR, arena_format(arena, "%s of H2S in %s, 0.3 kPa or more", much, gas->tag));
	return says(LIGHTLY, arena_format(arena, "%s of H2S in %s, less than 0.3 kPa", much, gas->tag));
}

/* Water of the overhead, by what is said of the stream. */
static struct answer by_water(const struct scene *scene, const struct item *water)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *sulfide = scene_get_of(scene, water, "dissolved-sulfide"),
			      *ph = scene_get_of(scene, water, "ph"), *cyanide = scene_get_of(scene, water, "hcn");
	if (!is_at_most(sulfide) && !is_from(sulfide, SOUR_WATER))
		return says(NULL, NULL);
	const char *much = shown(scene, sulfide->si, sulfide->kind);
	if (sulfide->si > SOUR_WATER * (1 + SAME))
		return says(SOUR, arena_format(arena, "%s of sulfide in %s, more than 50 ppmw", much, water->tag));
	if (is_number(ph) && ph->si < ACID && sulfide->si > 0)
		return says(SOUR, arena_format(arena, "sulfide in %s, whose pH is below 4", water->tag));
	if (is_number(ph) && ph->si > ALKALINE && is_from(cyanide, CYANIDE) && sulfide->si > 0)
		return says(SOUR, arena_format(arena, "sulfide and cyanide in %s, whose pH is above 7.6", water->tag));
	return says(LIGHTLY, arena_format(arena, "%s of sulfide in %s, no more than 50 ppmw", much, water->tag));
}

static struct answer by_loading(const struct scene *scene, const struct item *rich)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *loading = scene_get_of(scene, rich, "h2s");
	if (!is_at_most(loading) || loading->kind != KIND_LOADING)
		return says(NULL, NULL);
	const char *much = shown(scene, loading->si, loading->kind);
	if (loading->si >= SOUR_LOADING * (1 - SAME))
		return says(SOUR,
			arena_format(arena, "%s of H2S in %s: more sulfide than sour water holds", much, rich->tag));
	return says(
		LIGHTLY, arena_format(arena, "%s of H2S in %s: less sulfide than sour water holds", much, rich->tag));
}

/* The first stream at the place of which enough is said; the sourest where several are. */
static struct answer by_streams(const struct scene *scene)
{
	struct answer found = says(NULL, NULL);
	const struct item *stream;
	for (size_t at = 0; (stream = stream_next(scene, &at)) != NULL;) {
		const char *service = table_word(scene->table, stream, scene->operating_case, "service");
		struct answer here = says(NULL, NULL);
		if (item_is(stream, "gas"))
			here = by_gas(scene, stream);
		else if (text_same(service, "rich"))
			here = by_loading(scene, stream);
		else if (text_same(service, "reflux") || text_same(service, "sour water"))
			here = by_water(scene, stream);
		if (here.word && (!found.word || here.word == SOUR))
			found = here;
	}
	return found;
}

/* ---- bounds, where nothing at the place says it ---- */

/* Pa, the highest that is stated of the place or of what it is part of; NaN: none. */
static double pressure_at(const struct scene *scene)
{
	static const char *const names[] = {"pressure", "bottom-pressure", "top-pressure", "design-pressure"};
	double most = (double)NAN;
	for (const struct item *item = scene->item; item && isnan(most); item = item->parent)
		for (size_t i = 0; i < COUNT(names) && (i + 1 < COUNT(names) || isnan(most)); i++) {
			const struct quantity *value = scene_get_of(scene, item, names[i]);
			if (is_at_most(value))
				most = fmax(most, value->si);
		}
	return most;
}

static bool is_cold(const struct item *item)
{
	while (item && !item_in(item, CLASS_COLD))
		item = item->parent;
	return item != NULL;
}

static struct answer by_feeds(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	double fed = most_of_feeds(scene, "h2s-partial-pressure"), share = most_of_feeds(scene, "h2s-share");
	double bound = is_cold(scene->item) ? fed : share * pressure_at(scene);
	if (isnan(fed))
		return (struct answer){.open = {NULL, "h2s", "h2s of the feed gases is not stated"}};
	if (fed >= SOUR_GAS * (1 - SAME))
		return says(SOUR, "a feed gas has 0.3 kPa of H2S or more");
	if (bound < SOUR_GAS * (1 - SAME))
		return says(LIGHTLY,
			arena_format(arena, "at most %s of H2S can be here, by the feed gases, less than 0.3 kPa",
				shown(scene, bound, KIND_PARTIAL_PRESSURE)));
	return says(SOUR, "H2S of the feed gases concentrates where acid gas is released, and may exceed 0.3 kPa");
}

/* ---- every place ---- */

static struct answer at_place(const struct scene *scene)
{
	const struct quantity *wet = scene_get(scene, "wet-h2s"), *amine = scene_get(scene, "amine-wetted");
	const struct quantity *holds = scene_get_of(scene, table_sole(scene->table, "unit"), "holds-h2s");
	if (quantity_truth(holds) == NO)
		return says(SWEET, "no gas and no stream of the unit holds H2S");
	if (!wet || wet->known == UNKNOWN)
		return (struct answer){.open = wet ? quantity_missing(wet)
						   : item_lacks(table_arena(scene->table), scene->item, "service")};
	if (wet->si <= 0 && quantity_truth(amine) == YES)
		return says(LIGHTLY, "lean amine: its alkalinity retains the residual H2S");
	if (wet->si <= 0)
		return says(SWEET, "no water containing H2S reaches it");
	const struct item *gas = NULL;
	for (const struct item *holder = scene->item; holder && !gas; holder = holder->parent)
		if (item_in(holder, CLASS_CONTACTOR) || item_is(holder, "knock-out-drum"))
			gas = table_follow(scene->table, holder, scene->operating_case, "gas");
	struct answer found = gas ? by_gas(scene, gas) : by_streams(scene);
	return found.word || found.open.reason ? found : by_feeds(scene);
}

static void put(const struct scene *scene, struct answer answer)
{
	struct arena *arena = table_arena(scene->table);
	if (answer.word)
		scene_put_word(scene, "sourness", KIND_WORD, answer.word, answer.why);
	else
		scene_put(scene, "sourness", quantity_lacking(arena, KIND_WORD, answer.open));
}

static void of_item(const struct scene *scene)
{
	if (item_in(scene->item, CLASS_WETTED))
		put(scene, at_place(scene));
}

/* Of the unit: the sourest of its places; sweet only where every gas says so. */
static void of_unit(const struct scene *scene)
{
	const struct quantity *holds = scene_get(scene, "holds-h2s");
	struct answer answer = {.open = {NULL, "h2s", "h2s of the feed gases is not stated"}};
	if (holds && holds->known != UNKNOWN)
		answer = holds->si > 0 ? says(LIGHTLY, "H2S is present, but no location is sour")
				       : says(SWEET, "no gas and no stream of the unit holds H2S");
	for (size_t i = 0; i < table_item_count(scene->table) && answer.word != SWEET; i++) {
		const struct item *item = table_item(scene->table, i);
		const char *word = table_word(scene->table, item, scene->operating_case, "sourness");
		if (item != scene->item && text_same(word, SOUR)) {
			answer = says(SOUR, arena_format(table_arena(scene->table), "%s is sour", item->tag));
			break;
		}
	}
	put(scene, answer);
}

void sour_compute(struct table *table)
{
	const struct item *unit = table_sole(table, "unit");
	scene_each(table, of_item);
	for (int c = EVERY_CASE; unit && c < (int)table_case_count(table); c++)
		of_unit(&(struct scene){.table = table, .into = table, .item = unit, .operating_case = c});
}
