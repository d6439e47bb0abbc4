#include "compute/derived.h"

#include <math.h>
#include <string.h>

bool derived_is_stated(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *own = item ? table_stated(scene->table, item, scene->operating_case, name) : NULL;
	return own && (scene->operating_case <= 0 || own != table_stated(scene->table, item, EVERY_CASE, name));
}

double derived_error(const struct input *inputs, size_t count)
{
	double error = 0;
	for (size_t i = 0; i < count; i++)
		error += relative_uncertainty(inputs[i].quantity);
	return error;
}

/* SI: how far the stated value is from the nearest that the calculated one allows; a stated bound that holds is not apart. */
static double distance(const struct quantity *stated, const struct quantity *computed, double range)
{
	double apart = stated->si - computed->si;
	if ((stated->bound == BOUND_BELOW && apart > 0) || (stated->bound == BOUND_ABOVE && apart < 0))
		return 0;
	return fmax(fabs(apart) - range, 0);
}

/* The words of this case alone; NULL where it has none, and `*common` those that stand for all cases. */
static const char *words_so_far(const struct scene *scene, const char **common)
{
	const char *name = "stated-difference-words";
	const struct quantity *own = table_peek(scene->table, scene->item, scene->operating_case, name);
	const struct quantity *every = table_peek(scene->table, scene->item, EVERY_CASE, name);
	*common = every ? every->word : NULL;
	return own && (scene->operating_case == EVERY_CASE || own != every) ? own->word : NULL;
}

/* One more quantity of the item whose two values are apart: "residence-time 20 min stated, 5 min calculated". */
static void add_words(const struct scene *scene, const char *name, const struct quantity *stated,
	const struct quantity *computed, double apart)
{
	const double worth_a_word = 0.1;
	struct arena *arena = table_arena(scene->table);
	const char *common, *before = words_so_far(scene, &common);
	if (apart < worth_a_word)
		return;
	const char *words = arena_format(arena, "%s %s stated, %s calculated", name, quantity_show_first(arena, stated),
		quantity_show_first(arena, computed));
	if (!common || !strstr(common, words))
		scene_put_word(scene, "stated-difference-words", KIND_TEXT,
			before ? arena_format(arena, "%s; %s", before, words) : words,
			"the calculated value stands beside the stated one");
}

static void compare(const struct scene *scene, const char *name, const struct quantity *computed, double range)
{
	struct input inputs[] = {scene_input(scene, "x", name),
		scene_input_is("y", arena_format(table_arena(scene->table), "%s calculated", name), computed)};
	const struct quantity *stated = inputs[0].quantity;
	if (!inputs_known(inputs, 1) || !is_number(computed) || stated->kind != computed->kind)
		return;
	double larger = fmax(fabs(stated->si), fabs(computed->si));
	double apart = larger > 0 ? distance(stated, computed, range) / larger : 0;
	const struct quantity *before = scene_get(scene, "stated-difference");
	inputs[0].effect = EFFECT_WITHIN;
	if (!is_number(before) || apart >= before->si)
		scene_compute(scene, "stated-difference", KIND_SHARE, apart,
			larger > 0 ? hypot(stated->uncertainty, computed->uncertainty) / larger : 0,
			FORMULA_STATED_APART, inputs, 2);
	add_words(scene, name, stated, computed, apart);
}

/* Of two known numbers the smaller or the larger; the stated one where the two agree within what they are uncertain by. */
static bool is_overruled(
	const struct quantity *stated, const struct quantity *computed, enum careful careful, double range)
{
	bool both = is_number(stated) && is_number(computed) && stated->kind == computed->kind;
	if (!both || distance(stated, computed, range) <= stated->uncertainty + computed->uncertainty)
		return false;
	return (computed->si < stated->si) == (careful == CAREFUL_SMALLER);
}

static const char *judged_name(const struct scene *scene, const char *name)
{
	return arena_format(table_arena(scene->table), "%s-judged", name);
}

void derived_judge_as_stated(const struct scene *scene, const char *name, enum kind kind)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *value = scene_get(scene, name);
	scene_put(scene, judged_name(scene, name),
		value ? value : quantity_lacking(arena, kind, item_lacks(arena, scene->item, name)));
}

void derived_judge(const struct scene *scene, const char *name, enum careful careful, const char *beside, double range)
{
	const struct quantity *value = scene_get(scene, name);
	if (is_overruled(value, scene_get(scene, beside), careful, range))
		scene_take(scene, judged_name(scene, name), scene->item, beside);
	else if (value)
		scene_put(scene, judged_name(scene, name), value);
}

const struct quantity *derived_put(const struct scene *scene, const char *name, enum careful careful,
	const struct quantity *computed, double range)
{
	const char *beside = name;
	if (scene_stated(scene, name)) {
		beside = arena_format(table_arena(scene->table), "%s-calculated", name);
		scene_put(scene, beside, computed);
		if (derived_is_stated(scene, scene->item, name))
			compare(scene, name, computed, range);
	} else {
		scene_put(scene, name, computed);
	}
	if (careful != CAREFUL_NEITHER && computed->owed)
		scene_put(scene, judged_name(scene, name), computed);
	else if (careful != CAREFUL_NEITHER)
		derived_judge(scene, name, careful, beside, range);
	return scene_get(scene, name);
}

const struct quantity *derived_compute(const struct scene *scene, const char *name, enum careful careful,
	enum kind kind, double si, double uncertainty, enum formula_code formula, const struct input *inputs,
	size_t count)
{
	return derived_put(scene, name, careful,
		quantity_computed(table_arena(scene->table), kind, si, uncertainty, &formulas[formula], inputs, count),
		0);
}
