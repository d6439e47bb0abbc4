#include "compute/scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "resolve/handed_down.h"

const struct quantity *scene_get(const struct scene *scene, const char *name)
{
	return table_get(scene->table, scene->item, scene->operating_case, name);
}

bool scene_stated(const struct scene *scene, const char *name)
{
	return table_stated(scene->table, scene->item, scene->operating_case, name) != NULL;
}

bool scene_owns(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *stated = table_stated(scene->table, item, scene->operating_case, name);
	const struct item *named = stated && item->parent ? hand_down_from(scene->table, item) : NULL;
	return stated &&
		(!item->parent || stated != table_stated(scene->table, item->parent, scene->operating_case, name)) &&
		(!named || stated != table_stated(scene->table, named, scene->operating_case, name));
}

bool scene_states_case(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *own = table_stated(scene->table, item, scene->operating_case, name);

	return own && own->known != UNKNOWN && scene->operating_case >= 0 &&
		own != table_stated(scene->table, item, EVERY_CASE, name);
}

bool scene_describes(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *own = item ? table_peek(scene->table, item, scene->operating_case, name) : NULL;
	return own && (scene->operating_case <= 0 || own != table_peek(scene->table, item, EVERY_CASE, name));
}

bool scene_repeats(const struct scene *scene, const struct item *const *items, size_t count)
{
	const struct item *solvent = table_sole(scene->table, "solvent");
	bool varies = scene->operating_case == EVERY_CASE || (solvent && table_varies(scene->table, solvent));
	for (size_t i = 0; i < count; i++)
		varies = varies || (items[i] && table_varies(scene->table, items[i]));
	return !varies;
}

const struct quantity *scene_get_of(const struct scene *scene, const struct item *item, const char *name)
{
	return item ? table_get(scene->table, item, scene->operating_case, name) : NULL;
}

const char *scene_word_of(const struct scene *scene, const struct item *item, const char *name)
{
	return item ? table_word(scene->table, item, scene->operating_case, name) : NULL;
}

struct input scene_input_of(const struct scene *scene, const struct item *item, const char *symbol, const char *name)
{
	struct input input = {.symbol = symbol, .name = name, .whose = item->tag, .item = item};
	input.quantity = scene_get_of(scene, item, name);
	if (!input.quantity)
		input.quantity = table_lacking(scene->table, item, KIND_TEXT, name);
	return input;
}

struct input scene_input(const struct scene *scene, const char *symbol, const char *name)
{
	return scene_input_of(scene, scene->item, symbol, name);
}

struct input scene_input_is(const char *symbol, const char *what, const struct quantity *quantity)
{
	return (struct input){.symbol = symbol, .name = what, .quantity = quantity};
}

struct input input_rises(struct input input)
{
	input.effect = EFFECT_RISES;
	return input;
}

struct input input_falls(struct input input)
{
	input.effect = EFFECT_FALLS;
	return input;
}

void input_weigh(struct input *input, double at_bound, double at_far_end, double *uncertainty)
{
	double difference = at_bound - at_far_end;
	if (input->quantity->bound != BOUND_BELOW || !isfinite(difference))
		return;
	if (fabs(difference) <= *uncertainty) {
		*uncertainty = hypot(*uncertainty, difference);
		input->effect = EFFECT_WITHIN;
	} else {
		input->effect = difference > 0 ? EFFECT_RISES : EFFECT_FALLS;
	}
}

void scene_put(const struct scene *scene, const char *name, const struct quantity *quantity)
{
	if (!scene->into)
		abort();
	table_put_if_other(scene->into, scene->item, scene->operating_case, name, quantity);
}

/* Takes memory only where it says something else than in every case. */
static void put_copy(
	const struct scene *scene, const char *name, struct quantity quantity, const struct input *only_input)
{
	if (!scene->into)
		abort();
	if (!table_puts(scene->into, scene->item, scene->operating_case, name, &quantity))
		return;
	struct arena *arena = table_arena(scene->table);
	struct quantity *copy = arena_alloc(arena, sizeof *copy);
	*copy = quantity;
	if (only_input)
		copy->inputs = memcpy(arena_alloc(arena, sizeof *only_input), only_input, sizeof *only_input);
	table_put(scene->into, scene->item, scene->operating_case, name, copy);
}

void scene_put_word(const struct scene *scene, const char *name, enum kind kind, const char *word, const char *reason)
{
	put_copy(scene, name, quantity_word(kind, word, reason), NULL);
}

void scene_put_new(const struct scene *scene, const char *name, const struct quantity *quantity)
{
	if (!scene_stated(scene, name))
		scene_put(scene, name, quantity);
}

const struct quantity *scene_compute(const struct scene *scene, const char *name, enum kind kind, double si,
	double uncertainty, enum formula_code formula, const struct input *inputs, size_t count)
{
	const struct quantity *result =
		quantity_computed(table_arena(scene->table), kind, si, uncertainty, &formulas[formula], inputs, count);
	scene_put(scene, name, result);
	return result;
}

const struct quantity *scene_compute_by_factor(const struct scene *scene, const char *name, enum kind kind, double si,
	double uncertainty, enum formula_code formula, const struct input *inputs, size_t count)
{
	const struct quantity *result = quantity_computed_by_factor(
		table_arena(scene->table), kind, si, uncertainty, &formulas[formula], inputs, count);
	scene_put(scene, name, result);
	return result;
}

void scene_take(const struct scene *scene, const char *name, const struct item *from, const char *name_there)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *there = from ? table_peek(scene->table, from, scene->operating_case, name_there) : NULL;
	if (!there)
		return;
	struct quantity taken = *there;
	const struct input input = {
		.symbol = "from", .name = name_there, .whose = from->tag, .item = from, .quantity = there};
	if (there->known != UNKNOWN) {
		taken.known = COMPUTED;
		taken.formula = &formulas[FORMULA_TAKEN];
		taken.input_count = 1;
		if (is_bound(there))
			quantity_lacks(&taken, input_missing(arena, &input));
	}
	put_copy(scene, name, taken, there->known != UNKNOWN ? &input : NULL);
}

bool is_number(const struct quantity *quantity)
{
	return quantity && quantity->known != UNKNOWN && kind_is_number(quantity->kind) &&
		quantity->bound == BOUND_NONE;
}

bool is_bound(const struct quantity *quantity)
{
	return quantity && quantity->known != UNKNOWN && quantity->bound != BOUND_NONE;
}

double relative_uncertainty(const struct quantity *quantity)
{
	return fabs(quantity->si) > 0 ? quantity->uncertainty / fabs(quantity->si) : 0;
}

/* A case is an item too, and is the same in every other. */
static int cases_of(const struct table *table, const struct item *item)
{
	return item_is(item, "case") ? 0 : (int)table_case_count(table);
}

void scene_each(struct table *table, void (*visit)(const struct scene *scene))
{
	table_pass(table, (uintptr_t)visit);
	for (size_t i = 0; i < table_item_count(table); i++) {
		if (!table_visits(table, table_item(table, i)))
			continue;
		struct scene scene = {.table = table, .into = table, .item = table_item(table, i)};
		const int cases = cases_of(table, scene.item);
		for (scene.operating_case = EVERY_CASE; scene.operating_case < cases; scene.operating_case++)
			visit(&scene);
	}
	table_pass(table, 0);
}
