#include "compute/regenerator_inputs.h"

#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"

static struct input assumed(const struct scene *scene, const char *symbol, const char *what, enum kind kind, double si,
	double uncertainty, const char *reason)
{
	return scene_input_is(symbol, what, quantity_default(table_arena(scene->table), kind, si, uncertainty, reason));
}

/* ---- stages ---- */

/* Trays below the feed: as stated, else all less those above it. `symbol` of the one that is not stated: n. */
static struct input trays_below(const struct scene *scene)
{
	struct input all = input_rises(scene_input(scene, "n_t", "trays"));
	struct input inputs[] = {all, input_falls(scene_input(scene, "n_w", "wash-trays"))};
	bool by_feed = !scene_get(scene, "wash-trays") && scene_get(scene, "feed-tray");

	if (scene_get(scene, "trays-below-feed"))
		return scene_input(scene, "n", "trays-below-feed");
	if (by_feed)
		inputs[1] = input_falls(scene_input(scene, "n_f", "feed-tray"));
	if (inputs[1].quantity->known == UNKNOWN || all.quantity->known == UNKNOWN)
		return scene_input(scene, "n", "trays");
	return scene_input_is("n", "trays below the feed",
		quantity_computed(table_arena(scene->table), KIND_COUNT,
			all.quantity->si - inputs[1].quantity->si + by_feed, 0,
			&formulas[by_feed ? FORMULA_TRAYS_FROM_FEED : FORMULA_TRAYS_BELOW], inputs, 2));
}

/* Trays above the feed, or NaN where nothing says how many. */
static double trays_above(const struct scene *scene, struct input *input)
{
	const struct quantity *all = scene_get(scene, "trays"), *below = scene_get(scene, "trays-below-feed");

	*input = scene_input(scene, "n_w", "wash-trays");
	if (is_number(input->quantity))
		return input->quantity->si;
	if (is_number(all) && is_number(below)) {
		*input = scene_input(scene, "n_t", "trays");
		return all->si - below->si;
	}
	*input = scene_input(scene, "n_f", "feed-tray");
	return is_number(input->quantity) ? input->quantity->si - 1 : (double)NAN;
}

static struct input tray_efficiency(const struct scene *scene)
{
	struct input each = scene_input(scene, "e", "stage-efficiency");

	return each.quantity->known != UNKNOWN ? each
					       : assumed(scene, "e", "efficiency of a tray", KIND_SHARE,
							 TRAY_EFFICIENCY, 0, "trays at 45 %, common practice");
}

/* Equilibrium stages with the reboiler: trays below the feed times their efficiency, or packing by its height. */
static const struct quantity *put_stages(const struct scene *scene)
{
	bool packed = !scene_get(scene, "trays-below-feed") && !scene_get(scene, "trays") &&
		scene_get(scene, "packing-height");
	struct input of = packed ? scene_input(scene, "n", "packing-height") : trays_below(scene);
	struct input each = packed ? assumed(scene, "e", "height of a stage", KIND_DISTANCE, STAGE_HEIGHT, 0,
					     "1.2 m of packing a stage, common practice")
				   : tray_efficiency(scene);
	struct input inputs[] = {of, each};
	double stages = packed ? of.quantity->si / each.quantity->si : of.quantity->si * each.quantity->si;

	return scene_computed(scene, "equilibrium-stages", KIND_COUNT, round(stages) + 1, 0,
		packed ? FORMULA_STAGES_PACKED : FORMULA_STAGES, inputs, 2);
}

/* The stages, where the column can be solved with so many. */
static struct input stages_of_column(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	struct input stages = scene_input_is("N", "equilibrium stages", put_stages(scene));

	if (is_number(stages.quantity) && stages.quantity->si > COLUMN_STAGES_AT_MOST)
		stages.quantity = quantity_unknown(arena, KIND_COUNT,
			arena_format(arena,
				"the column of %s has %s equilibrium stages, and more than %d are not solved",
				scene->item->tag, number_show(arena, stages.quantity->si), COLUMN_STAGES_AT_MOST));
	return stages;
}

/* Stages of water above the feed; where nothing says that there are trays, none. */
static struct input wash_stages(const struct scene *scene)
{
	struct input inputs[2];
	double trays = trays_above(scene, &inputs[0]);

	inputs[1] = tray_efficiency(scene);
	if (!(trays > 0))
		return assumed(scene, "N_w", "stages of water above the feed", KIND_COUNT, 0, 0,
			"no trays above the feed are stated");
	return scene_input_is("N_w", "stages of water above the feed",
		quantity_computed(table_arena(scene->table), KIND_COUNT,
			fmin(round(trays * inputs[1].quantity->si), COLUMN_WASH_AT_MOST), 0,
			&formulas[FORMULA_WASH_STAGES], inputs, 2));
}

/* ---- pressures ---- */

/* One end of the tower: stated, else the other end and the customary drop between them, else what `elsewhere` says. */
static struct input pressure_of(
	const struct scene *scene, const char *symbol, const char *own, const char *other, double sign)
{
	struct input inputs[] = {input_rises(scene_input(scene, "P", other)),
		assumed(scene, "d", "pressure drop of the tower", KIND_PRESSURE_DIFFERENCE, TOWER_PRESSURE_DROP,
			TOWER_PRESSURE_DROP_SPREAD, "0.2 bar over a regenerator, common practice")};
	bool taken = !scene_get(scene, own) && is_number(inputs[0].quantity);

	if (!taken)
		return scene_input(scene, symbol, own);
	return scene_input_is(symbol, own,
		quantity_computed(table_arena(scene->table), KIND_PRESSURE,
			inputs[0].quantity->si + sign * TOWER_PRESSURE_DROP, TOWER_PRESSURE_DROP_SPREAD,
			&formulas[sign > 0 ? FORMULA_PRESSURE_BELOW : FORMULA_PRESSURE_ABOVE], inputs, 2));
}

/* ---- the drum ---- */

static const struct item *condenser_of(const struct scene *scene, const struct still *still)
{
	struct items condensers = table_of_kind(scene->table, "condenser");

	for (size_t i = 0; still->acid_gas && i < condensers.count; i++)
		if (table_follow(scene->table, condensers.rows[i], scene->operating_case, "acid-gas") ==
			still->acid_gas)
			return condensers.rows[i];
	return table_sole(scene->table, "condenser");
}

/* Of the reflux, else what the condenser cools the overhead to, else what is usual. */
static struct input drum_temperature(const struct scene *scene, const struct still *still)
{
	const struct item *condenser = condenser_of(scene, still);

	if (still->reflux && scene_get_of(scene, still->reflux, "temperature"))
		return scene_input_of(scene, still->reflux, "t_d", "temperature");
	if (condenser && scene_get_of(scene, condenser, "outlet-temperature"))
		return scene_input_of(scene, condenser, "t_d", "outlet-temperature");
	return assumed(scene, "t_d", "temperature of the reflux drum", KIND_TEMPERATURE, REFLUX_TEMPERATURE,
		REFLUX_TEMPERATURE_SPREAD, "overhead cooled to 45 degC, common practice");
}

static struct input drum_pressure(const struct scene *scene, const struct still *still, struct input top)
{
	if (still->drum && scene_get_of(scene, still->drum, "pressure"))
		return scene_input_of(scene, still->drum, "P_d", "pressure");
	top.symbol = "P_d";
	return top;
}

/* ---- heat ---- */

static bool steam_describes(const struct scene *scene, const struct item *reboiler)
{
	const struct item *steam = table_follow(scene->table, reboiler, scene->operating_case, "steam");

	return scene_describes(scene, reboiler, "steam-flow") ||
		(item_is(steam, "stream") && scene_describes(scene, steam, "mass-flow"));
}

static bool all_steam_described(const struct scene *scene, const struct item *regenerator)
{
	bool all = true;

	for (size_t i = 0; all && still_reboiler(scene, regenerator, i); i++)
		all = steam_describes(scene, still_reboiler(scene, regenerator, i));
	return all;
}

/* The duty of the case, else the heat of the steam of the case, else the duty of all cases. */
static struct input duty_of(const struct scene *scene, const struct still *still, bool *assumed)
{
	struct input stated = still_together(scene, still->item, "Q", "duty"),
		     steam = still_together(scene, still->item, "Q", "steam-duty");
	bool own = still_describes(scene, still->item, "duty") && stated.quantity->known != UNKNOWN;
	bool by_steam = steam.quantity->known != UNKNOWN &&
		(stated.quantity->known == UNKNOWN || (!own && all_steam_described(scene, still->item)));

	*assumed = !own && !by_steam && scene->operating_case > 0;
	return by_steam ? steam : stated;
}

/* Where neither duty nor steam is stated, the reflux that is: its ratio, else its flow. A duty that is owed is waited for. */
static struct input heat_of(const struct scene *scene, const struct still *still, struct regenerator_inputs *out)
{
	struct input duty = duty_of(scene, still, &out->heat_assumed), ratio = scene_input(scene, "R", "reflux-ratio");

	out->reflux_ratio = out->reflux = (double)NAN;
	if (duty.quantity->known != UNKNOWN || duty.quantity->owed)
		return duty;
	struct input flow = still->reflux ? scene_input_of(scene, still->reflux, "m_r", "mass-flow") : ratio;
	bool by_ratio = is_number(ratio.quantity) && ratio.quantity->si > 0;
	if (!by_ratio && !(still->reflux && is_number(flow.quantity) && flow.quantity->si > 0))
		return duty;
	out->heat_assumed = false;
	if (by_ratio)
		out->reflux_ratio = ratio.quantity->si;
	else
		out->reflux = flow.quantity->si / MOLAR_MASS_WATER;
	return by_ratio ? ratio : flow;
}

struct input regenerator_heat_loss(const struct scene *scene)
{
	struct input loss = scene_input(scene, "Q_l", "heat-loss");

	return loss.quantity->known != UNKNOWN || loss.quantity->owed
		? loss
		: assumed(scene, "Q_l", "heat lost by the column", KIND_POWER, 0, 0,
			  "no loss is stated: an insulated column is assumed to lose no heat");
}

/* ---- amine ---- */

/* mol/s, by the lean where its loading is stated, else by the feed, else by the lean as the column strips it. */
static struct input amine_of(const struct scene *scene, const struct still *still, const struct stream_solution *feed,
	struct regenerator_inputs *out)
{
	struct input lean = scene_input_of(scene, still->lean, "m", "mass-flow"),
		     rich = scene_input_of(scene, still->feed, "m", "mass-flow");
	double relative = 0;

	out->lean_mass_flow = (double)NAN;
	if (lean.quantity->known != UNKNOWN && still->lean_solution.known) {
		out->amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);
		return lean;
	}
	if (rich.quantity->known != UNKNOWN) {
		out->amine = solvent_amine_flow(scene, still->feed, feed, &relative);
		return rich;
	}
	out->lean_mass_flow = lean.quantity->si;
	out->amine = out->lean_mass_flow / property_mass_per_amine(feed->state.mass_fraction);
	return lean;
}

struct regenerator_inputs regenerator_inputs(
	const struct scene *scene, const struct still *still, const struct stream_solution *feed)
{
	struct regenerator_inputs out = {.count = 0};
	struct input top = pressure_of(scene, "P_t", "top-pressure", "bottom-pressure", -1);
	const struct input rows[] = {scene_input_of(scene, still->feed, "P", "pressure"), stages_of_column(scene),
		wash_stages(scene), pressure_of(scene, "P_b", "bottom-pressure", "top-pressure", 1), top,
		heat_of(scene, still, &out), regenerator_heat_loss(scene), amine_of(scene, still, feed, &out),
		drum_temperature(scene, still), drum_pressure(scene, still, top)};

	for (size_t i = 0; i < COUNT(rows); i++)
		out.rows[out.count++] = rows[i];
	out.known = feed->known && inputs_known(out.rows, out.count);
	if (!out.known)
		return out;
	out.column = (struct column_input){.feed = feed->state,
		.feed_pressure = rows[0].quantity->si,
		.stages = (int)rows[1].quantity->si,
		.wash_stages = (int)rows[2].quantity->si,
		.bottom_pressure = rows[3].quantity->si,
		.top_pressure = rows[4].quantity->si,
		.duty = rows[5].quantity->si / out.amine,
		.heat_loss = rows[6].quantity->si / out.amine,
		.drum_temperature = rows[8].quantity->si,
		.drum_pressure = rows[9].quantity->si};
	return out;
}
