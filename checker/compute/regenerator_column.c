#include "compute/regenerator_column.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "compute/regenerator_solve.h"
#include "compute/rich_basis.h"

/* A value of the solved column; every one is NaN where it does not converge. */
typedef double column_value(const struct column *column);

static double share_in_reboiler(const struct column *column)
{
	return column->reboiler_share;
}

static double top_temperature(const struct column *column)
{
	return column->top_temperature;
}

static double bottom_temperature(const struct column *column)
{
	return column->stage[0].temperature;
}

static double reflux_of_column(const struct column *column)
{
	return column->reflux_ratio;
}

static double condensing(const struct column *column)
{
	return column->condenser_duty;
}

/* The column that is to be solved, which of its values is wanted, and what that is to be multiplied by. */
struct column_of {
	const struct regenerator_inputs *inputs;
	column_value *wanted;
	double factor;
	bool by_factor; /* a loading that the chemistry knows by a factor */
};

static double wanted_of(const struct solution_input *feed, void *data)
{
	const struct column_of *of = data;
	struct column column;

	return regenerator_solve(of->inputs, feed, &column) ? of->factor * of->wanted(&column) : (double)NAN;
}

/* `unsolved`: why there is no column, or NULL. */
static void put_of_column(const struct scene *scene, const char *name, enum kind kind, struct stream_solution feed,
	double value, double error, struct column_of *of, const char *unsolved)
{
	const struct regenerator_inputs *ends = of->inputs;
	struct input inputs[SOLVENT_INPUTS + REGENERATOR_INPUTS];

	if (isfinite(value))
		solvent_weigh(&feed, wanted_of, of, &error);
	memcpy(inputs, feed.inputs, feed.count * sizeof *inputs);
	memcpy(inputs + feed.count, ends->rows, ends->count * sizeof *inputs);
	if (unsolved)
		scene_put_made(scene, name, quantity_unknown(table_arena(scene->table), kind, unsolved));
	else
		(of->by_factor ? scene_compute_by_factor : scene_computed)(
			scene, name, kind, value, error, FORMULA_COLUMN, inputs, feed.count + ends->count);
}

/* `other`: the same column with the feed that lean plus gas makes, where that is apart; else NULL. */
static void put_column(const struct scene *scene, const struct stream_solution *feed,
	const struct regenerator_inputs *ends, const struct column *column, const struct column *other,
	double chemistry, const char *unsolved)
{
	const struct {
		const char *name;
		enum kind kind;
		column_value *value;
		double factor, relative, absolute; /* uncertainty */
	} rows[] = {{"reachable-loading", KIND_LOADING, column_lean_loading, 1, chemistry, 0},
		{"loading-into-reboiler", KIND_LOADING, column_into_reboiler, 1, chemistry, 0},
		{"stripping-in-reboiler", KIND_SHARE, share_in_reboiler, 1, chemistry, 0},
		{"column-bottom-temperature", KIND_TEMPERATURE, bottom_temperature, 1, 0, 2},
		{"column-top-temperature", KIND_TEMPERATURE, top_temperature, 1, 0, 3},
		{"column-reflux-ratio", KIND_RATIO, reflux_of_column, 1, HEAT_OF_ABSORPTION_UNCERTAINTY, 0},
		{"column-condensing-duty", KIND_POWER, condensing, ends->amine, HEAT_OF_ABSORPTION_UNCERTAINTY, 0}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double value = column ? rows[i].factor * rows[i].value(column) : (double)NAN;
		double apart = column && other ? rows[i].factor * rows[i].value(other) - value : 0;
		double error = hypot(rows[i].absolute + rows[i].relative * fabs(value), isfinite(apart) ? apart : 0);
		struct column_of of = {.inputs = ends,
			.wanted = rows[i].value,
			.factor = rows[i].factor,
			.by_factor = rows[i].kind == KIND_LOADING};

		put_of_column(scene, rows[i].name, rows[i].kind, *feed, value, error, &of, unsolved);
	}
}

/* Stated lean loading over the one the column reaches. */
static void loading_against_column(const struct scene *scene, const struct still *still)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, still->lean, "v", "loading")),
		input_falls(scene_input(scene, "v_e", "reachable-loading"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;

	scene_compute_by_factor(scene, "lean-over-reachable", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_RATIO, inputs, 2);
}

/* Of a loading in equilibrium with the gas at the bottom, relative: the larger of the two gases. */
static double chemistry_of(const struct solution_input *feed, const struct column *column)
{
	struct solution_input state = *feed;
	struct solution bottom;

	state.temperature = column->stage[0].temperature;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		state.loading[gas] = column->stage[0].loading[gas];
	if (!solution_solve(&terms_own, &state, &bottom))
		return 0;
	return fmax(range_loading_factor(&bottom, GAS_H2S), range_loading_factor(&bottom, GAS_CO2)) - 1;
}

/* What is to be said of the heat: where it is not the duty of the case, why. */
static const char *heat_words(const struct scene *scene, const struct regenerator_inputs *ends, double duty)
{
	const struct table *table = scene->table;

	if (isfinite(ends->reflux_ratio) || isfinite(ends->reflux))
		return arena_format(table_arena(table), "; %s, the duty that gives the %s, since none is stated",
			quantity_show_si(table_arena(table), duty, KIND_POWER, NULL),
			isfinite(ends->reflux_ratio) ? "reflux ratio" : "flow of reflux");
	if (!ends->heat_assumed)
		return "";
	return arena_format(table_arena(table), "; duty of the reboiler as in %s, since %s states none",
		table_case(table, 0)->id, table_case(table, scene->operating_case)->id);
}

void regenerator_column(const struct scene *scene, const struct still *still)
{
	struct stream_solution feed = still->feed_solution;
	struct rich_basis basis = rich_basis_of(scene, still, &feed);
	struct regenerator_inputs ends = regenerator_inputs(scene, still, &feed);
	struct column column, other;
	bool known = ends.known && regenerator_solve(&ends, &feed.state, &column), twice = false;

	if (known && isfinite(ends.lean_mass_flow)) /* found with the lean loading, and kept for the duty */
		ends.amine = regenerator_amine(&ends, &feed.state, &column);
	if (known) {
		struct solution_input by_gas = feed.state;

		twice = rich_basis_put(scene, still, &basis, ends.amine, column_lean_loading(&column),
				heat_words(scene, &ends, column.duty * ends.amine), &by_gas) &&
			regenerator_solve(&ends, &by_gas, &other);
	}
	const char *unsolved = ends.known && !known ? arena_format(table_arena(scene->table), "the column of %s %s",
							      scene->item->tag, column_fault_words(column.fault))
						    : NULL;
	put_column(scene, &feed, &ends, known ? &column : NULL, twice ? &other : NULL,
		known ? chemistry_of(&feed.state, &column) : 0, unsolved);
	loading_against_column(scene, still);
}
