#include "compute/regenerator_column.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "compute/column.h"

/* Equilibrium stages with the reboiler: trays below the feed times their efficiency, or packing by its height. */
static const struct quantity *put_stages(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	bool packed = !scene_get(scene, "trays-below-feed") && !scene_get(scene, "trays") &&
		scene_get(scene, "packing-height");
	struct input of = packed
		? scene_input(scene, "n", "packing-height")
		: scene_input(scene, "n", scene_get(scene, "trays-below-feed") ? "trays-below-feed" : "trays");
	struct input each = scene_input(scene, "e", "stage-efficiency");

	if (packed)
		each = scene_input_is("e", "height of a stage",
			quantity_default(
				arena, KIND_DISTANCE, STAGE_HEIGHT, 0, "1.2 m of packing a stage, common practice"));
	else if (each.quantity->known == UNKNOWN)
		each = scene_input_is("e", "efficiency of a tray",
			quantity_default(arena, KIND_SHARE, TRAY_EFFICIENCY, 0, "trays at 45 %, common practice"));
	struct input inputs[] = {of, each};
	double stages = packed ? of.quantity->si / each.quantity->si : of.quantity->si * each.quantity->si;
	return scene_compute(scene, "equilibrium-stages", KIND_COUNT, round(stages) + 1, 0,
		packed ? FORMULA_STAGES_PACKED : FORMULA_STAGES, inputs, 2);
}

/* A value of the solved column; every one is NaN where it does not converge. */
typedef double column_value(const struct column *column);

static double share_in_reboiler(const struct column *column)
{
	return column->reboiler_share;
}

static double top_temperature(const struct column *column)
{
	return column->stages > 0 ? column->stage[column->stages - 1].temperature : (double)NAN;
}

static double reflux_of_column(const struct column *column)
{
	return column->reflux_ratio;
}

/* The column that is to be solved, and which of its values is wanted. */
struct column_of {
	struct column_input input;
	column_value *wanted;
};

static double wanted_of(const struct solution_input *feed, void *data)
{
	struct column_of *of = data;
	struct column column;

	of->input.feed = *feed;
	return column_solve(&terms_own, &of->input, &column) ? of->wanted(&column) : (double)NAN;
}

/* Everything the column is calculated from but its feed. */
struct column_ends {
	struct input rows[8];
	size_t count;
};

static void put_of_column(const struct scene *scene, const char *name, enum kind kind, struct stream_solution feed,
	const struct column_ends *ends, double value, double error, struct column_of *of)
{
	struct input inputs[SOLVENT_INPUTS + COUNT(ends->rows)];

	if (isfinite(value))
		solvent_weigh(&feed, wanted_of, of, &error);
	memcpy(inputs, feed.inputs, feed.count * sizeof *inputs);
	memcpy(inputs + feed.count, ends->rows, ends->count * sizeof *inputs);
	scene_compute(scene, name, kind, value, error, FORMULA_COLUMN, inputs, feed.count + ends->count);
}

static void put_column(const struct scene *scene, const struct stream_solution *feed, const struct column_ends *ends,
	const struct column *column, struct column_of *of, double chemistry)
{
	const struct {
		const char *name;
		enum kind kind;
		column_value *value;
		double relative, absolute; /* uncertainty */
	} rows[] = {{"reachable-loading", KIND_LOADING, column_lean_loading, chemistry, 0},
		{"loading-into-reboiler", KIND_LOADING, column_into_reboiler, chemistry, 0},
		{"stripping-in-reboiler", KIND_SHARE, share_in_reboiler, chemistry, 0},
		{"column-top-temperature", KIND_TEMPERATURE, top_temperature, 0, 3},
		{"column-reflux-ratio", KIND_RATIO, reflux_of_column, HEAT_OF_ABSORPTION_UNCERTAINTY, 0}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double value = column ? rows[i].value(column) : (double)NAN;

		of->wanted = rows[i].value;
		put_of_column(scene, rows[i].name, rows[i].kind, *feed, ends, value,
			rows[i].absolute + rows[i].relative * fabs(value), of);
	}
}

/* Stated lean loading over the one the column reaches. */
static void loading_against_column(const struct scene *scene, const struct still *still)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, still->lean, "v", "loading")),
		input_falls(scene_input(scene, "v_e", "reachable-loading"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;

	scene_compute(scene, "lean-over-reachable", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_RATIO, inputs, 2);
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

void regenerator_column(const struct scene *scene, const struct still *still)
{
	double relative = 0, amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative),
	       chemistry = 0;
	struct input temperature, pressure;

	still_carried_off(scene, still, &temperature, &pressure);
	const struct column_ends ends = {
		.rows = {scene_input_of(scene, still->feed, "P", "pressure"), stages_of_column(scene),
			scene_input(scene, "P_b", "bottom-pressure"), scene_input(scene, "P_t", "top-pressure"),
			still_together(scene, still->item, "Q", "duty"),
			solvent_or_missing(scene_input_of(scene, still->lean, "m", "mass-flow"), &still->lean_solution),
			temperature, pressure},
		.count = COUNT(ends.rows)};
	struct column_of of = {.input.stages = 0};
	struct column column;
	bool known = still->feed_solution.known && inputs_known(ends.rows, ends.count);
	if (known) {
		struct solution rich;

		of.input = (struct column_input){.feed = still->feed_solution.state,
			.feed_pressure = ends.rows[0].quantity->si,
			.stages = (int)ends.rows[1].quantity->si,
			.bottom_pressure = ends.rows[2].quantity->si,
			.top_pressure = ends.rows[3].quantity->si,
			.duty = ends.rows[4].quantity->si / amine,
			.drum_temperature = temperature.quantity->si,
			.drum_pressure = pressure.quantity->si};
		known = column_solve(&terms_own, &of.input, &column);
		if (solution_solve(&terms_own, &of.input.feed, &rich))
			chemistry = fmax(rich.uncertainty[GAS_H2S], rich.uncertainty[GAS_CO2]);
	}
	put_column(scene, &still->feed_solution, &ends, known ? &column : NULL, &of, chemistry);
	loading_against_column(scene, still);
}
