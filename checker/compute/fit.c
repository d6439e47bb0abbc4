#include "compute/fit.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "resolve/pipe.h"

/* ---- flanges ---- */

enum { TEMPERATURES = 7 };

static const double PASCAL_OF_BAR = 1e5, COLDEST = 244.15; /* K, -29 degC */
static const double temperatures[TEMPERATURES] = {311.15, 323.15, 373.15, 423.15, 473.15, 523.15, 573.15};

static const struct rating {
	enum flange_group group;
	double class;
	double bar[TEMPERATURES];
} ratings[] = {
#define RATING(group, class, ...) {group, class, {__VA_ARGS__}},
#include "compute/flange.def"
#undef RATING
};

static double rating_at(const struct rating *rating, double temperature)
{
	size_t i = 1;
	if (temperature <= temperatures[0])
		return rating->bar[0] * PASCAL_OF_BAR;
	while (temperatures[i] < temperature)
		i++;
	double share = (temperature - temperatures[i - 1]) / (temperatures[i] - temperatures[i - 1]);
	return (rating->bar[i - 1] + share * (rating->bar[i] - rating->bar[i - 1])) * PASCAL_OF_BAR;
}

double flange_rating(enum flange_group group, double class, double temperature)
{
	if (!(temperature >= COLDEST && temperature <= temperatures[TEMPERATURES - 1]))
		return (double)NAN;
	for (size_t i = 0; i < COUNT(ratings); i++)
		if (ratings[i].group == group && number_same(ratings[i].class, class))
			return rating_at(&ratings[i], temperature);
	return (double)NAN;
}

static const struct flange_metal {
	const char *material;
	enum flange_group group;
} metals[] = {{"carbon steel", GROUP_1_1}, {"316", GROUP_2_2}, {"304L", GROUP_2_3}, {"316L", GROUP_2_3}};

static const struct flange_metal *metal_of(const struct scene *scene)
{
	const char *material = scene_word_of(scene, scene->item, "material");
	for (size_t i = 0; i < COUNT(metals); i++)
		if (text_same(metals[i].material, material))
			return &metals[i];
	return NULL;
}

static void rated(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const struct flange_metal *metal = metal_of(scene);
	struct input inputs[] = {scene_input(scene, "class", "flange-class"),
		scene_input(scene, "T", "design-temperature"), scene_input(scene, "metal", "material"),
		scene_input_is("P_a", "outside pressure", interface_atmosphere(scene))};
	if (!scene_get(scene, "flange-class"))
		return;
	double rating =
		metal ? flange_rating(metal->group, inputs[0].quantity->si, inputs[1].quantity->si) : (double)NAN;
	if (inputs_known(inputs, COUNT(inputs)) && isnan(rating)) {
		scene_put_made(scene, "flange-allows",
			quantity_unknown(arena, KIND_PRESSURE,
				"no rating is available for its class, material and temperature"));
		return;
	}
	struct quantity *allowed = arena_alloc(arena, sizeof *allowed);
	*allowed = *quantity_computed(arena, KIND_PRESSURE, rating + inputs[3].quantity->si, 0,
		&formulas[FORMULA_FLANGE_RATING], inputs, COUNT(inputs));
	allowed->datum = inputs[3].quantity->si;
	scene_put(scene, "flange-allows", allowed);
}

/* ---- nozzles and lines ---- */

static const struct item *equipment_of(const struct item *item)
{
	const struct item *holder = item->parent;
	while (holder && !holder->tag)
		holder = holder->parent;
	return holder;
}

/* The line that carries the stream of the nozzle to or from its equipment; NULL: none, or several that differ in `name`. */
static const struct item *line_of(const struct scene *scene, const char *name)
{
	const struct item *holder = equipment_of(scene->item), *found = NULL;
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	struct items lines = table_of_kind(scene->table, "line");
	for (size_t i = 0; stream && i < lines.count; i++) {
		const struct item *line = lines.rows[i];
		bool ends_there = holder &&
			(table_follow(scene->table, line, scene->operating_case, "from") == holder ||
				table_follow(scene->table, line, scene->operating_case, "to") == holder);
		const struct quantity *own = scene_get_of(scene, line, name);
		if (!ends_there || !own || table_follow(scene->table, line, scene->operating_case, "stream") != stream)
			continue;
		const struct quantity *before = found ? scene_get_of(scene, found, name) : own;
		if (!number_same(before->si, own->si) || !text_same(before->word, own->word))
			return NULL;
		found = line;
	}
	return found;
}

static struct input nominal(const struct scene *scene, const char *symbol, const struct item *item)
{
	struct arena *arena = table_arena(scene->table);
	struct input input = scene_input_of(scene, item, symbol, "size");
	struct pipe pipe;
	if (pipe_thinnest(input.quantity->word, &pipe))
		input.quantity = quantity_constant(arena, KIND_COUNT, pipe.diameter_nominal, "ASME B36.10M or B36.19M");
	return input;
}

static void beside_line(const struct scene *scene)
{
	const struct item *line = line_of(scene, "size"), *flanged = line_of(scene, "flange-class");
	if (line && scene_get(scene, "size")) {
		struct input inputs[] = {nominal(scene, "DN", scene->item), nominal(scene, "DN_l", line)};
		scene_compute(scene, "nozzle-over-line", KIND_RATIO, inputs[0].quantity->si / inputs[1].quantity->si, 0,
			FORMULA_NOMINAL_RATIO, inputs, COUNT(inputs));
		scene_take(scene, "line-size", line, "size");
	}
	if (flanged && scene_get(scene, "flange-class"))
		scene_take(scene, "line-flange-class", flanged, "flange-class");
}

static void of_item(const struct scene *scene)
{
	if (item_is_any(scene->item, "line nozzle"))
		rated(scene);
	if (item_is(scene->item, "nozzle"))
		beside_line(scene);
}

void fit_compute(struct table *table)
{
	scene_each(table, of_item);
}
