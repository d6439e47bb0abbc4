#include "compute/grade.h"

#include <ctype.h>
#include <string.h>

#include "base/count.h"
#include "compute/derived.h"

static const struct pump_class classes[] = {
#define PUMP_CLASS(...) {__VA_ARGS__},
#define BOLTING(...)
#include "compute/grade.def"
#undef PUMP_CLASS
#undef BOLTING
};

static const struct bolting_grade grades[] = {
#define PUMP_CLASS(...)
#define BOLTING(...) {__VA_ARGS__},
#include "compute/grade.def"
#undef PUMP_CLASS
#undef BOLTING
};

/* Between blanks, hyphens, slashes and the like: "A193-B7/A194-2H" has B7. */
static bool has_word(const char *text, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = strstr(text, word); at; at = strstr(at + 1, word))
		if ((at == text || !isalnum((unsigned char)at[-1])) && !isalnum((unsigned char)at[length]))
			return true;
	return false;
}

const struct pump_class *pump_class_in(const char *text)
{
	for (size_t i = 0; i < COUNT(classes); i++)
		if (has_word(text, classes[i].name))
			return &classes[i];
	return NULL;
}

const struct bolting_grade *bolting_grade_in(const char *text)
{
	const struct bolting_grade *hardest = NULL;
	for (size_t i = 0; i < COUNT(grades); i++)
		if (has_word(text, grades[i].name) && (!hardest || grades[i].most_rockwell > hardest->most_rockwell))
			hardest = &grades[i];
	return hardest;
}

static void put_word(const struct scene *scene, const char *name, const char *word, const char *reason)
{
	scene_put_word(scene, name, KIND_WORD, word, reason);
}

/* A metal and its family, where the item states none. */
static void put_metal(
	const struct scene *scene, const char *name, const char *metal, const char *family, const char *reason)
{
	if (scene_stated(scene, name))
		return;
	put_word(scene, name, metal, reason);
	put_word(scene, arena_format(table_arena(scene->table), "%s-family", name), family, reason);
}

/* Are the metals that the pump states those of its class? Nothing where it states none of the two. */
static void put_agreement(const struct scene *scene, const struct pump_class *class, const char *reason)
{
	static const char *const names[] = {"casing", "impeller"};
	const char *const families[] = {class->casing_family, class->impeller_family};
	bool any = false, agree = true;
	for (size_t i = 0; i < COUNT(names); i++) {
		const char *own = table_word(
			scene->table, scene->item, scene->operating_case, i == 0 ? "casing-family" : "impeller-family");
		if (!scene_stated(scene, names[i]) || !own)
			continue;
		any = true;
		agree = agree && strcmp(own, families[i]) == 0;
	}
	if (!any)
		return;
	scene_put_word(scene, "class-agrees", KIND_YES_NO, agree ? "yes" : "no", reason);
	put_word(scene, "class-casing-family", class->casing_family, reason);
	put_word(scene, "class-impeller-family", class->impeller_family, reason);
}

static void of_pump(const struct scene *scene)
{
	const char *text = table_word(scene->table, scene->item, scene->operating_case, "material-class");
	const struct pump_class *class = text ? pump_class_in(text) : NULL;
	if (!class)
		return;
	const char *reason =
		arena_format(table_arena(scene->table), "class %s of API 610, 11th edition (from memory)", class->name);
	put_metal(scene, "casing", class->casing, class->casing_family, reason);
	put_metal(scene, "impeller", class->impeller, class->impeller_family, reason);
	put_agreement(scene, class, reason);
}

/* Parts of a pump that its class names besides casing and impeller, by what they are called. */
static void of_part(const struct scene *scene)
{
	const char *text = table_word(scene->table, scene->item->parent, scene->operating_case, "material-class");
	const char *name = table_word(scene->table, scene->item, scene->operating_case, "name");
	const struct pump_class *class = text && name ? pump_class_in(text) : NULL;
	if (!class)
		return;
	const char *reason =
		arena_format(table_arena(scene->table), "class %s of API 610, 11th edition (from memory)", class->name);
	if (strstr(name, "shaft") || strstr(name, "Shaft"))
		put_metal(scene, "material", class->shaft, class->shaft_family, reason);
	else if (strstr(name, "wear") || strstr(name, "Wear") || strstr(name, "sleeve") || strstr(name, "Sleeve"))
		put_metal(scene, "material", class->wear, class->wear_family, reason);
}

/* Between the least and the most that the grade allows; a bound where only the most is known. On the scale that is stated, else HRC. */
static const struct quantity *hardness_of(
	const struct scene *scene, const struct bolting_grade *grade, const char *reason)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *stated = scene_get(scene, "hardness");
	bool brinell = stated && stated->kind == KIND_HARDNESS_BRINELL;
	if (grade->least_rockwell > 0 && !brinell)
		return quantity_assumed(arena, KIND_HARDNESS_ROCKWELL,
			(grade->least_rockwell + grade->most_rockwell) / 2,
			(grade->most_rockwell - grade->least_rockwell) / 2, reason);
	struct quantity *most = arena_alloc(arena, sizeof *most);
	*most = *quantity_assumed(arena, brinell ? KIND_HARDNESS_BRINELL : KIND_HARDNESS_ROCKWELL,
		brinell ? grade->most_brinell : grade->most_rockwell, 0, reason);
	most->bound = BOUND_BELOW;
	most->reached = true;
	return most;
}

/* Is the stated hardness within what the grade allows? Nothing where none is stated. */
static void put_hardness_agreement(const struct scene *scene, const struct bolting_grade *grade, const char *reason)
{
	const struct quantity *stated = scene_get(scene, "hardness");
	bool brinell = stated && stated->kind == KIND_HARDNESS_BRINELL;
	bool rockwell = stated && stated->kind == KIND_HARDNESS_ROCKWELL;
	if (!is_number(stated) || !scene_stated(scene, "hardness") || (!brinell && !rockwell))
		return;
	double most = brinell ? grade->most_brinell : grade->most_rockwell;
	bool hard = stated->si - stated->uncertainty > most;
	bool soft = rockwell && stated->si + stated->uncertainty < grade->least_rockwell;
	const char *unit = brinell ? "HBW" : "HRC";
	const char *words = rockwell && grade->least_rockwell > 0
		? arena_format(table_arena(scene->table), "%g to %g %s", grade->least_rockwell, most, unit)
		: arena_format(table_arena(scene->table), "at most %g %s", most, unit);
	scene_put_word(scene, "grade-hardness", KIND_TEXT, words, reason);
	scene_put_word(scene, "grade-agrees", KIND_YES_NO, hard || soft ? "no" : "yes", reason);
}

static void of_bolting(const struct scene *scene)
{
	const char *text = table_word(scene->table, scene->item, scene->operating_case, "grade");
	const struct bolting_grade *grade = text ? bolting_grade_in(text) : NULL;
	if (!grade)
		return;
	const char *reason =
		arena_format(table_arena(scene->table), "grade %s of ASTM A193 or A320 (from memory)", grade->name);
	put_metal(scene, "material", grade->material, grade->family, reason);
	put_hardness_agreement(scene, grade, reason);
	const struct quantity *by_grade = hardness_of(scene, grade, reason);
	scene_put(scene, scene_stated(scene, "hardness") ? "hardness-calculated" : "hardness", by_grade);
}

static void of_item(const struct scene *scene)
{
	if (item_is(scene->item, "pump"))
		of_pump(scene);
	else if (item_is(scene->item, "bolting"))
		of_bolting(scene);
	else if (item_is(scene->item, "part") && item_is(scene->item->parent, "pump"))
		of_part(scene);
}

void grade_compute(struct table *table)
{
	scene_each(table, of_item);
}
