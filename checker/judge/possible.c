#include "judge/possible.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/pipe.h"

static const double PI = 3.14159265358979323846;
static const double HEIGHT = 3e5; /* Pa: 30 m of solution, as high as columns stand; common practice, no source */

static const struct possible nothing_known = {.least = -HUGE_VAL, .largest = HUGE_VAL};

/* ---- pipes ---- */

/* Is it this value of the item, or one taken over from it as it is? */
static bool is_value(const struct scene *scene, const char *name, const struct quantity *value, const char *of)
{
	return strcmp(name, of) == 0 ||
		(value && table_peek(scene->table, scene->item, scene->operating_case, of) == value);
}

static struct possible of_velocity(const struct scene *scene, const struct pipe *thin, const struct pipe *thick)
{
	const struct quantity *flow = scene_get(scene, "volume-flow");
	struct possible range = nothing_known;
	if (!is_number(flow))
		return range;
	double area = PI / 4;
	range.least = quantity_low(flow) / (area * thin->bore * thin->bore);
	range.largest = quantity_high(flow) / (area * thick->bore * thick->bore);
	range.why = "";
	range.stated = true;
	return range;
}

static struct possible of_flux(const struct scene *scene, const struct pipe *thin, const struct pipe *thick)
{
	const struct quantity *density = scene_get(scene, "density");
	struct possible range = of_velocity(scene, thin, thick);
	if (!range.why || !is_number(density))
		return nothing_known;
	range.least = quantity_low(density) * pow(fmax(0, range.least), 2);
	range.largest = quantity_high(density) * pow(range.largest, 2);
	return range;
}

/* Of what has a size and no schedule. */
static struct possible by_pipe_table(const struct scene *scene, const char *name, const struct quantity *value)
{
	const char *size = scene_word_of(scene, scene->item, "size");
	struct pipe thin, thick;
	struct possible range = nothing_known;
	if (!size || scene_word_of(scene, scene->item, "schedule") || !pipe_thinnest(size, &thin) ||
		!pipe_thickest(size, &thick))
		return range;
	if (is_value(scene, name, value, "bore") || is_value(scene, name, value, "bore-judged"))
		range = (struct possible){thick.bore, thin.bore, "", true};
	else if (strcmp(name, "thickness") == 0)
		range = (struct possible){thin.wall, thick.wall, "", true};
	else if (is_value(scene, name, value, "velocity") || is_value(scene, name, value, "velocity-judged"))
		range = of_velocity(scene, &thin, &thick);
	else if (strcmp(name, "momentum-flux") == 0)
		range = of_flux(scene, &thin, &thick);
	if (range.why)
		range.why = arena_format(table_arena(scene->table), "in every schedule of %s", size);
	return range;
}

/* ---- physics ---- */

static bool is_share(const char *name)
{
	static const char *const shares[] = {"flow-share", "slip", "slip-judged", "vapour-fraction", "plugged-share",
		"h2s-share", "h2s-share-here", "vapour-volume-share"};
	bool found = false;
	for (size_t i = 0; i < COUNT(shares); i++)
		found = found || strcmp(shares[i], name) == 0;
	return found;
}

/* What the other components of a gas, by mole, leave for one. */
static struct possible of_component(const struct scene *scene, const char *name)
{
	static const char *const components[] = {"h2s", "co2", "nitrogen", "methane", "ethane", "propane", "hydrogen",
		"argon", "co", "ethylene", "propylene"};
	double others = 0;
	bool component = false;
	for (size_t i = 0; i < COUNT(components); i++)
		component = component || strcmp(components[i], name) == 0;
	for (size_t i = 0; component && item_is(scene->item, "gas") && i < COUNT(components); i++) {
		const struct quantity *other =
			strcmp(components[i], name) == 0 ? NULL : scene_get(scene, components[i]);
		if (other && is_number(other) && other->kind == KIND_MOLE_FRACTION)
			others += fmax(0, quantity_low(other));
	}
	if (!(others > 0))
		return nothing_known;
	return (struct possible){0, fmax(0, 1 - others), "with the other contents of the gas", true};
}

static struct possible by_physics(const struct scene *scene, const char *name)
{
	bool partial = strcmp(name, "h2s-partial-pressure") == 0 || strcmp(name, "co2-partial-pressure") == 0;
	const struct quantity *pressure = partial ? scene_get(scene, "pressure") : NULL;
	if (is_share(name))
		return (struct possible){0, 1, "between zero and all", false};
	if (pressure && is_number(pressure))
		return (struct possible){0, quantity_high(pressure), "up to the pressure of the gas", true};
	return of_component(scene, name);
}

/* ---- what the site cools with ---- */

/* K: as warm as air and water are supplied anywhere, and as cold; common practice, no source. */
static const double COLDEST = 263.15, WARMEST_AIR = 328.15, WARMEST_WATER = 313.15;

static struct possible of_medium(const struct scene *scene, const char *name, const struct quantity *value)
{
	bool approach = strcmp(name, "approach-to-medium") == 0, inlet = strcmp(name, "medium-inlet-temperature") == 0;
	const char *medium = approach || inlet ? scene_word_of(scene, scene->item, "cooling-medium") : NULL;
	bool air = text_same(medium, "air");
	double warmest = air ? WARMEST_AIR : WARMEST_WATER;
	if (!air && !text_same(medium, "cooling water") && !text_same(medium, "sea water") &&
		!text_same(medium, "brackish water"))
		return nothing_known;
	if (inlet)
		return (struct possible){COLDEST, warmest, "as air and water are supplied", false};
	const struct quantity *leaves = approach && value->input_count ? value->inputs[0].quantity : NULL;
	if (!leaves || !is_number(leaves) || leaves->kind != KIND_TEMPERATURE)
		return nothing_known;
	return (struct possible){
		quantity_low(leaves) - warmest, quantity_high(leaves) - COLDEST, "as air and water are supplied", true};
}

/* ---- neighbours ---- */

/* What neither heats nor cools what passes, nor pumps it. */
static bool is_passive(const struct item *item)
{
	return item_is_any(item, "line filter carbon-bed valve vessel");
}

/* The stream that reaches `stream` through nothing but what is passive; NULL: none is described. */
static const struct item *upstream(const struct scene *scene, const struct item *stream)
{
	const struct item *from = table_follow(scene->table, stream, scene->operating_case, "from");
	if (!from || !is_passive(from))
		return NULL;
	const struct item *before = table_follow(scene->table, from, scene->operating_case, "stream");
	return before != stream && item_is(before, "stream") ? before : NULL;
}

static const struct item *downstream(const struct scene *scene, const struct item *stream)
{
	struct items streams = table_of_kind(scene->table, "stream");
	const struct item *after = NULL;
	size_t count = 0;
	for (size_t i = 0; i < streams.count; i++)
		if (streams.rows[i] != stream && upstream(scene, streams.rows[i]) == stream) {
			after = streams.rows[i];
			count++;
		}
	return count == 1 ? after : NULL;
}

typedef const struct item *step(const struct scene *scene, const struct item *stream);

/* The first value that is known on the way; NULL: there is none. */
static const struct quantity *known_on_the_way(
	const struct scene *scene, const struct item *stream, const char *name, step *next)
{
	size_t left = table_of_kind(scene->table, "stream").count;
	for (const struct item *at = next(scene, stream); at && left--; at = next(scene, at)) {
		const struct quantity *value = scene_get_of(scene, at, name);
		if (value && is_number(value))
			return value;
	}
	return NULL;
}

static struct possible by_neighbours(const struct scene *scene, const char *name, const struct quantity *value)
{
	bool pressure = is_value(scene, name, value, "pressure");
	const char *what = pressure ? "pressure" : "temperature";
	const struct item *stream = scene->item;
	if (!pressure && !is_value(scene, name, value, "temperature") && strcmp(name, "temperature-judged") != 0)
		return nothing_known;
	if (!item_is(stream, "stream"))
		stream = table_follow(scene->table, stream, scene->operating_case, "stream");
	if (!item_is(stream, "stream"))
		return nothing_known;
	const struct quantity *one = known_on_the_way(scene, stream, what, upstream),
			      *other = known_on_the_way(scene, stream, what, downstream);
	if (!one || !other)
		return nothing_known;
	double height = pressure ? HEIGHT : 0;
	return (struct possible){fmin(quantity_low(one), quantity_low(other)) - height,
		fmax(quantity_high(one), quantity_high(other)) + height, "between what is upstream and downstream",
		true};
}

/* ---- drains ---- */

/* What a drain drum collects has run off the unit: it is no hotter than the hottest amine of the circuit. */
static struct possible of_drain(const struct scene *scene, const char *name)
{
	bool temperature = strcmp(name, "temperature") == 0 || strcmp(name, "highest-temperature") == 0;
	struct items streams = table_of_kind(scene->table, "stream");
	double hottest = 0;
	if (!temperature || !item_is_any(scene->item, "pump sump") ||
		(item_is(scene->item, "pump") && !text_same(scene_word_of(scene, scene->item, "service"), "sump")))
		return nothing_known;
	for (size_t i = 0; i < streams.count; i++) {
		const char *service = scene_word_of(scene, streams.rows[i], "service");
		const struct quantity *there = scene_get_of(scene, streams.rows[i], "temperature");
		if (service && text_has_word("lean semi-lean rich", service) && is_number(there))
			hottest = fmax(hottest, quantity_high(there));
	}
	if (!(hottest > 0))
		return nothing_known;
	return (struct possible){COLDEST, hottest, "no hotter than the hottest amine of the unit", true};
}

struct possible possible_values(const struct table *table, const struct item *item, int operating_case,
	const char *name, const struct quantity *value)
{
	const struct scene scene = {.table = table, .item = item, .operating_case = operating_case};
	struct possible range = nothing_known;
	if (!item || value->known != UNKNOWN)
		return range;
	range = by_pipe_table(&scene, name, value);
	if (!range.why)
		range = by_physics(&scene, name);
	if (!range.why)
		range = of_medium(&scene, name, value);
	if (!range.why)
		range = of_drain(&scene, name);
	return range.why ? range : by_neighbours(&scene, name, value);
}
