#include "compute/pump.h"

#include "base/count.h"
#include "compute/derived.h"
#include "resolve/piping.h"

static const double RISE_AT_NO_FLOW = 1.25; /* over the rated rise: common practice, no source */

double pump_shut_off(double highest_suction, double suction, double discharge)
{
	return highest_suction + RISE_AT_NO_FLOW * (discharge - suction);
}

/* Of the pump itself, else of the stream that its reference names. */
static struct input at_pump(const struct scene *scene, const char *symbol, const char *own, const char *reference)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, reference);
	if (scene_get(scene, own) || !item_is(stream, "stream"))
		return scene_input(scene, symbol, own);
	return scene_input_of(scene, stream, symbol, "pressure");
}

/* ---- boosters ---- */

struct pumps {
	struct table *table;
	struct piping piping;
	struct items all;
	const bool **
		reaches; /* of each pump: the nodes that it can press on against a closed valve, up to the first vessel */
	bool *done;
};

static struct pumps pumps_of(struct table *table)
{
	struct arena *arena = table_arena(table);
	struct pumps pumps = {.table = table, .piping = piping_of(arena, table), .all = table_of_kind(table, "pump")};
	pumps.reaches = arena_alloc(arena, (pumps.all.count + 1) * sizeof *pumps.reaches);
	pumps.done = arena_alloc(arena, (pumps.all.count + 1) * sizeof *pumps.done);
	for (size_t i = 0; i < pumps.all.count; i++) {
		size_t start = piping_find(&pumps.piping, pumps.all.rows[i], PIPING_DISCHARGE);
		pumps.reaches[i] = piping_flood(arena, &pumps.piping, start, PASS_DEVICES);
	}
	return pumps;
}

/* Does the first press on the suction of the second, no vessel between? Of two on one suction neither does, for all their recycles. */
static bool boosts(const struct pumps *pumps, size_t first, size_t second)
{
	const struct piping *piping = &pumps->piping;
	size_t before = piping_find(piping, pumps->all.rows[first], PIPING_SUCTION),
	       suction = piping_find(piping, pumps->all.rows[second], PIPING_SUCTION);
	if (first == second || suction == NO_NODE || !pumps->reaches[first][suction])
		return false;
	return before == NO_NODE || !piping_flood(table_arena(pumps->table), piping, before, 0)[suction];
}

/* ---- one pump ---- */

static bool is_higher(const struct quantity *pressure, const struct input *than)
{
	return is_number(pressure) && !(is_number(than->quantity) && than->quantity->si >= pressure->si);
}

/* The highest of all cases, as far as it is known, and of the boosters against a closed valve. */
static struct input highest_suction(const struct scene *scene, const struct pumps *pumps, size_t at)
{
	struct input highest = at_pump(scene, "P_s", "suction-pressure", "suction");
	for (int c = EVERY_CASE; c < (int)table_case_count(scene->table); c++) {
		struct scene other = {.table = scene->table, .item = scene->item, .operating_case = c};
		struct input own = at_pump(&other, "P_s", "suction-pressure", "suction");
		if (is_higher(own.quantity, &highest))
			highest = own;
	}
	for (size_t i = 0; i < pumps->all.count; i++) {
		struct input booster = scene_input_of(scene, pumps->all.rows[i], "P_s", "shut-off-pressure");
		if (boosts(pumps, i, at) && is_higher(booster.quantity, &highest))
			highest = booster;
	}
	return highest;
}

/* A booster of which nobody says what it gives against a closed valve; NULL: none. */
static const struct item *unrated_booster(const struct scene *scene, const struct pumps *pumps, size_t at)
{
	for (size_t i = 0; i < pumps->all.count; i++)
		if (boosts(pumps, i, at) && !is_number(scene_get_of(scene, pumps->all.rows[i], "shut-off-pressure")))
			return pumps->all.rows[i];
	return NULL;
}

static void of_pump(const struct scene *scene, const struct pumps *pumps, size_t at)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {input_rises(highest_suction(scene, pumps, at)),
		input_rises(at_pump(scene, "P_d", "discharge-pressure", "discharge")),
		input_falls(at_pump(scene, "P_r", "suction-pressure", "suction"))};
	double pressure = pump_shut_off(inputs[0].quantity->si, inputs[2].quantity->si, inputs[1].quantity->si);
	double error = inputs[0].quantity->uncertainty + RISE_AT_NO_FLOW * inputs[1].quantity->uncertainty;
	/* A stated one may lie anywhere from the rated discharge to this. */
	double range = (RISE_AT_NO_FLOW - 1) * (inputs[1].quantity->si - inputs[2].quantity->si);
	if (!inputs_known(inputs, COUNT(inputs)))
		return;
	const struct item *unrated = unrated_booster(scene, pumps, at);
	struct quantity *shut_off = arena_alloc(arena, sizeof *shut_off);
	*shut_off = *quantity_computed(
		arena, KIND_PRESSURE, pressure, error, &formulas[FORMULA_SHUT_OFF], inputs, COUNT(inputs));
	shut_off->datum = inputs[1].quantity->datum; /* shown as a gauge shows it where the discharge is */
	derived_put(scene, "shut-off-pressure", CAREFUL_NEITHER,
		unrated ? quantity_at_least(arena, shut_off, item_lacks(arena, unrated, "shut-off-pressure"), NULL)
			: shut_off,
		range);
}

/* After its boosters; in a ring of pumps nobody is first, and the round ends. */
static bool is_ready(const struct pumps *pumps, size_t at)
{
	for (size_t i = 0; i < pumps->all.count; i++)
		if (boosts(pumps, i, at) && !pumps->done[i])
			return false;
	return !pumps->done[at];
}

void pump_compute(struct table *table)
{
	struct pumps pumps = pumps_of(table);
	for (size_t round = 0; round <= pumps.all.count; round++)
		for (size_t i = 0; i < pumps.all.count; i++) {
			if (!is_ready(&pumps, i) && (pumps.done[i] || round < pumps.all.count))
				continue;
			pumps.done[i] = true;
			for (int c = EVERY_CASE; c < (int)table_case_count(table); c++)
				of_pump(&(struct scene){.table = table,
						.into = table,
						.item = pumps.all.rows[i],
						.operating_case = c},
					&pumps, i);
		}
}
