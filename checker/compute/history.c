#include "compute/history.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/date.h"
#include "base/text.h"
#include "compute/derived.h"
#include "compute/discrepancy.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* Plate is delivered over its nominal wall, pipe up to an eighth under it: a nominal wall is known no better. A choice. */
static const double NOMINAL_WALL_SPREAD = 0.05;

/* ---- readings ---- */

struct reading {
	struct input wall, when;
	double thickness, uncertainty; /* m */
	struct date date;
	const char *place; /* "": nobody says */
};

struct readings {
	struct reading *rows;
	size_t count;
	const struct quantity *owed; /* a wall or a date that the package says will follow; NULL: none */
};

static int by_place_and_date(const void *a, const void *b)
{
	const struct reading *x = a, *y = b;
	int order = strcmp(x->place, y->place);
	return order ? order : (x->date.middle > y->date.middle) - (x->date.middle < y->date.middle);
}

/* A first wall without a date was there in the year of building. */
static bool read_date(const struct scene *scene, const struct item *item, struct reading *reading)
{
	const struct quantity *first = scene_get_of(scene, item, "first"), *built = scene_get(scene, "year-built");
	const char *written = table_word(scene->table, item, scene->operating_case, "date");
	reading->when = scene_input_of(scene, item, "T", "date");
	if (written)
		return date_read(written, &reading->date);
	if (!first || first->known == UNKNOWN || !(first->si > 0) || !is_number(built))
		return false;
	reading->when = scene_input(scene, "T", "year-built");
	return date_read(arena_format(table_arena(scene->table), "%04.0f", built->si), &reading->date);
}

static void add_reading(const struct scene *scene, const struct item *item, struct readings *readings)
{
	const struct quantity *wall = scene_get_of(scene, item, "thickness");
	const char *place = table_word(scene->table, item, scene->operating_case, "place");
	const struct quantity *when = scene_get_of(scene, item, "date");
	struct reading reading = {.place = place ? place : ""};
	if (when && when->owed)
		readings->owed = when;
	if (!wall)
		return;
	if (wall->owed)
		readings->owed = wall;
	if (!is_number(wall) || !read_date(scene, item, &reading))
		return;
	reading.wall = scene_input_of(scene, item, "s", "thickness");
	reading.thickness = wall->si;
	reading.uncertainty = wall->uncertainty;
	readings->rows[readings->count++] = reading;
}

/* One reading alone is beside the wall that the item was built with. */
static void add_nominal(const struct scene *scene, struct readings *readings)
{
	const struct quantity *wall = scene_get(scene, "thickness"), *built = scene_get(scene, "year-built");
	struct reading reading = {.place = readings->rows[0].place};
	if (readings->count != 1 || !is_number(wall) || !is_number(built) ||
		!date_read(arena_format(table_arena(scene->table), "%04.0f", built->si), &reading.date))
		return;
	reading.wall = scene_input(scene, "s", "thickness");
	reading.when = scene_input(scene, "T", "year-built");
	reading.thickness = wall->si;
	reading.uncertainty = NOMINAL_WALL_SPREAD * wall->si;
	readings->rows[readings->count++] = reading;
}

static struct readings readings_of(const struct scene *scene)
{
	struct items all = table_of_kind(scene->table, "wall-reading");
	struct readings readings = {.rows = NULL};
	for (size_t i = 0; i < all.count; i++) {
		if (all.rows[i]->parent != scene->item)
			continue;
		if (!readings.rows)
			readings.rows = arena_alloc(table_arena(scene->table), (all.count + 1) * sizeof *readings.rows);
		add_reading(scene, all.rows[i], &readings);
	}
	if (readings.count)
		add_nominal(scene, &readings);
	if (readings.count)
		qsort(readings.rows, readings.count, sizeof *readings.rows, by_place_and_date);
	return readings;
}

/* ---- rates ---- */

/* The loss between two readings; NULL where their dates do not part them. Metal does not grow: what reads thicker is one or the
 * other misread. */
static const struct quantity *rate_between(
	const struct scene *scene, const struct reading *from, const struct reading *to)
{
	struct arena *arena = table_arena(scene->table);
	double of_time, time = date_apart(&from->date, &to->date, &of_time);
	double lost = from->thickness - to->thickness, of_wall = hypot(from->uncertainty, to->uncertainty);
	struct input inputs[] = {from->wall, to->wall, from->when, to->when};
	static const char *const symbols[] = {"s_1", "s_2", "T_1", "T_2"};
	for (size_t i = 0; i < 4; i++)
		inputs[i].symbol = symbols[i];
	if (!date_is_before(&from->date, &to->date))
		return NULL;
	if (lost < -of_wall)
		return quantity_unknown(arena, KIND_CORROSION_RATE,
			arena_format(arena, "the wall of %s reads thicker in %s than in %s: one of the two is misread",
				scene->item->tag, quantity_show(arena, to->when.quantity, NULL),
				quantity_show(arena, from->when.quantity, NULL)));
	double rate = fmax(lost, 0) / time;
	return quantity_computed(arena, KIND_CORROSION_RATE, rate, hypot(of_wall / time, rate * of_time / time),
		&formulas[FORMULA_RATE_OF_LOSS], inputs, 4);
}

static bool is_faster(const struct quantity *one, const struct quantity *other)
{
	return one && (!other || one->known == UNKNOWN || (other->known != UNKNOWN && one->si > other->si));
}

/* Of one place, rows `first` to before `end`: the larger of long and short term. What is misread leaves it unknown. */
static const struct quantity *rate_of_place(
	const struct scene *scene, const struct readings *readings, size_t first, size_t end)
{
	const struct reading *last = &readings->rows[end - 1];
	const struct quantity *rate = rate_between(scene, &readings->rows[first], last);
	const struct quantity *lately = end - first > 2 ? rate_between(scene, last - 1, last) : NULL;
	return is_faster(lately, rate) ? lately : rate;
}

/* ---- what is left ---- */

/* What the code needs, else the nominal wall without what was set aside for corrosion. */
static struct input wall_needed(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "s_n", "thickness")),
		input_falls(scene_input(scene, "c", "corrosion-allowance"))};
	if (scene_get(scene, "required-thickness") || !inputs_known(inputs, 2))
		return scene_input(scene, "s_r", "required-thickness");
	return scene_input_is("s_r", "nominal wall without its corrosion allowance",
		quantity_computed(table_arena(scene->table), KIND_LENGTH,
			inputs[0].quantity->si - inputs[1].quantity->si, 0, &formulas[FORMULA_WALL_LESS_ALLOWANCE],
			inputs, 2));
}

static void put_left(const struct scene *scene, const struct reading *now, const struct quantity *rate)
{
	struct input needed = wall_needed(scene);
	struct input inputs[] = {now->wall, needed, scene_input_is("r", "rate of loss", rate)};
	double spare = now->thickness - needed.quantity->si;
	inputs[0].symbol = "s";
	scene_compute(scene, "wall-over-required", KIND_RATIO, now->thickness / needed.quantity->si,
		now->uncertainty / needed.quantity->si, FORMULA_WALL_OVER_REQUIRED, inputs, 2);
	if (!rate)
		return;
	bool is_loss = rate->si > rate->uncertainty;
	double faster = is_loss ? rate->si : rate->si + rate->uncertainty, years = fmax(spare, 0) / faster;
	inputs[2] = input_falls(inputs[2]);
	const struct quantity *left = quantity_computed(table_arena(scene->table), KIND_SERVICE_LIFE, years,
		hypot(now->uncertainty / faster, years * relative_uncertainty(rate)), &formulas[FORMULA_YEARS_LEFT],
		inputs, 3);
	if (left->known == UNKNOWN || is_loss) {
		scene_put(scene, "years-left", left);
		return;
	}
	struct quantity *at_least = arena_alloc(table_arena(scene->table), sizeof *at_least);
	*at_least = *left; /* a loss within what two readings can tell apart: it lasts so long at least */
	at_least->bound = BOUND_ABOVE;
	at_least->reached = true;
	at_least->uncertainty = 0;
	quantity_lacks(at_least, (struct missing){.reason = "the loss is within the uncertainty of the readings"});
	scene_put(scene, "years-left", at_least);
}

/* A reading that is owed may be the last and the thinnest: a wall that is too thin without it stays so, nothing else is told. */
static void leave_open(const struct scene *scene, const struct quantity *owed)
{
	static const struct {
		const char *name;
		enum kind kind;
	} open[] = {{"wall-over-required", KIND_RATIO}, {"years-left", KIND_SERVICE_LIFE},
		{"rate-by-readings", KIND_CORROSION_RATE}, {"corrosion-rate", KIND_CORROSION_RATE}};
	const struct quantity *ratio = scene_get(scene, open[0].name);
	bool thin = is_number(ratio) && ratio->si < 1;
	for (size_t i = thin ? 1 : 0; i < COUNT(open); i++)
		if (scene_get(scene, open[i].name) && !scene_stated(scene, open[i].name))
			scene_put(scene, open[i].name,
				quantity_lacking(table_arena(scene->table), open[i].kind, quantity_missing(owed)));
}

/* The place with the fastest loss, and the thinnest wall of all. */
static void walls_known(const struct scene *scene, const struct readings *readings)
{
	const struct quantity *worst = NULL;
	const struct reading *thinnest = NULL;
	for (size_t first = 0, end; first < readings->count; first = end) {
		for (end = first + 1;
			end < readings->count && strcmp(readings->rows[end].place, readings->rows[first].place) == 0;)
			end++;
		const struct quantity *rate = rate_of_place(scene, readings, first, end);
		worst = is_faster(rate, worst) ? rate : worst;
		if (!thinnest || readings->rows[end - 1].thickness < thinnest->thickness)
			thinnest = &readings->rows[end - 1];
	}
	if (!thinnest)
		return;
	scene_take(scene, "wall-now", thinnest->wall.item, input_property(&thinnest->wall));
	if (scene_get_of(scene, thinnest->wall.item, "date"))
		scene_take(scene, "wall-read-on", thinnest->wall.item, "date");
	if (scene_get_of(scene, thinnest->wall.item, "method"))
		scene_take(scene, "wall-read-by", thinnest->wall.item, "method");
	put_left(scene, thinnest, worst);
	if (!worst)
		return;
	scene_put(scene, "rate-by-readings", worst);
	if (scene_stated(scene, "corrosion-rate"))
		discrepancy_put(scene, "corrosion-rate-difference", scene_input(scene, "x", "corrosion-rate"),
			scene_input_is("y", "rate by the readings", worst));
	else
		scene_put(scene, "corrosion-rate", worst);
}

static void walls(const struct scene *scene)
{
	struct readings readings = readings_of(scene);
	walls_known(scene, &readings);
	if (readings.owed)
		leave_open(scene, readings.owed);
	if (item_in(scene->item, CLASS_METAL))
		derived_judge(scene, "corrosion-rate", CAREFUL_LARGER, "rate-by-readings", 0);
}

static void thinned_tubes(const struct scene *scene)
{
	struct input inputs[] = {input_falls(scene_input(scene, "s", "tube-wall-least")),
		input_rises(scene_input(scene, "s_1", "tube-wall"))};
	if (!item_is(scene->item, "tube-side") || !scene_get(scene, "tube-wall-least"))
		return;
	double lost = 1 - inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "tube-wall-lost", KIND_SHARE, lost,
		inputs[0].quantity->uncertainty / inputs[1].quantity->si, FORMULA_TUBE_WALL_LOST, inputs, 2);
}

/* ---- inspections ---- */

static bool says(
	const struct scene *scene, const struct item *inspection, const char *name, const char *result, bool yes)
{
	const struct quantity *own = scene_get_of(scene, inspection, name);
	const char *word = table_word(scene->table, inspection, scene->operating_case, "result");
	if (own && own->known != UNKNOWN)
		return yes ? own->si > 0 : own->si <= 0;
	return yes ? text_same(word, result) : text_same(word, "no indications");
}

/* Is every inspection described, with all that it found? */
static bool has_all(const struct scene *scene)
{
	const struct item *basis = table_sole(scene->table, "basis");
	return basis && quantity_truth(scene_get_of(scene, basis, "inspections-complete")) == YES;
}

/* Found once is found; what the last one did not find was not there, nor what none of a complete list reports. */
static void put_found(const struct scene *scene, const char *name, const char *result, const struct item *latest)
{
	struct items all = table_of_kind(scene->table, "inspection");
	bool found = false;
	for (size_t i = 0; i < all.count && !found; i++)
		found = all.rows[i]->parent == scene->item && says(scene, all.rows[i], name, result, true);
	if (found || says(scene, latest, name, result, false) || has_all(scene))
		scene_put_new(scene, name,
			quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, found ? "yes" : "no",
				"from the inspections described"));
}

static void take_new(const struct scene *scene, const char *name, const struct item *from, const char *there)
{
	if (!scene_stated(scene, name) && scene_get_of(scene, from, there))
		scene_take(scene, name, from, there);
}

static void inspections(const struct scene *scene)
{
	struct items all = table_of_kind(scene->table, "inspection");
	const struct item *latest = NULL, *hardest = NULL;
	struct date last = {0};
	for (size_t i = 0; i < all.count; i++) {
		struct date date = {.middle = -HUGE_VAL};
		const char *written = table_word(scene->table, all.rows[i], scene->operating_case, "date");
		const struct quantity *hardness = scene_get_of(scene, all.rows[i], "hardness");
		if (all.rows[i]->parent != scene->item)
			continue;
		if (written)
			date_read(written, &date);
		if (!latest || date.middle >= last.middle) {
			latest = all.rows[i];
			last = date;
		}
		if (is_number(hardness) && (!hardest || hardness->si > scene_get_of(scene, hardest, "hardness")->si))
			hardest = all.rows[i];
	}
	if (!latest)
		return;
	take_new(scene, "last-inspection", latest, "date");
	take_new(scene, "inspected-by", latest, "method");
	take_new(scene, "hardness-weld", hardest, "hardness");
	put_found(scene, "cracks-found", "cracks", latest);
	put_found(scene, "blisters-found", "blisters", latest);
}

static void of_item(const struct scene *scene)
{
	walls(scene);
	thinned_tubes(scene);
	inspections(scene);
}

void history_compute(struct table *table)
{
	scene_each(table, of_item);
}
