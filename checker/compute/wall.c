#include "compute/wall.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "resolve/equipment.h"
#include "resolve/pipe.h"

/* From memory of ASME B31.3: 304.1.1 (Y up to 482 degC), the tolerance of the pipe standards, table A-1B (single butt weld). */
static const double PIPE_Y = 0.4, MILL_TOLERANCE = 0.125, LEAST_PIPE_JOINT = 0.8;
/* From memory of ASME VIII-1: UG-27(c)(1), table UW-12 (no radiography), the addenda of 1999. */
static const double SHELL_Y = 0.6, SHELL_LIMIT = 0.385, LEAST_SHELL_JOINT = 0.7, YEAR_OF_CHANGE = 1999;

/* m, and of the diameter: thicker is a slip; common practice, no source. */
static const double MOST_PLATE = 0.4, LEAST_SHELL = 0.3, MOST_OF_DIAMETER = 0.1;

#define MEGA(x) ((x)*1e6)
#define KELVIN(x) ((x) + 273.15)
#define SEAMLESS true
#define EITHER false
static const struct allowable allowables[] = {
#define ALLOWABLE(standard, grade, form, stress, old, highest, seamless)                                               \
	{standard, grade, form, MEGA(stress), MEGA(old), KELVIN(highest), seamless},
#include "compute/wall.def"
#undef ALLOWABLE
};

/* ---- grades ---- */

enum { TOKEN = 16 };

/* Letters and digits, in small letters; false at the end. What is longer than any grade is cut. */
static bool next_token(const char **at, char token[TOKEN])
{
	size_t length = 0;
	while (**at && !isalnum((unsigned char)**at))
		(*at)++;
	for (; isalnum((unsigned char)**at); (*at)++)
		if (length < TOKEN - 1)
			token[length++] = (char)tolower((unsigned char)**at);
	token[length] = '\0';
	return length > 0;
}

static const char *past(const char *token, const char *start)
{
	size_t length = strlen(start);
	return strncmp(token, start, length) == 0 ? token + length : token;
}

/* "sa516" and "a516" are one standard; what follows its digits ("a106b") is the grade. NULL: the token names no standard. */
static const char *after_standard(const char *token, const char *standard)
{
	size_t length = strlen(standard);
	const char *own = token[0] == 's' && token[1] == 'a' ? token + 1 : token;
	bool named = strncmp(own, standard, length) == 0 && !isdigit((unsigned char)own[length]);
	return named ? own + length : NULL;
}

static bool is_grade(const char *token, const char *grade)
{
	const char *own = past(past(token, "gr"), "tp");
	size_t length = strlen(grade);
	return strncmp(own, grade, length) == 0 && (!own[length] || strcmp(own + length, "n") == 0);
}

/* Does the text name the standard and, somewhere after it, the grade? */
static bool names(const char *text, const struct allowable *row)
{
	char token[TOKEN], letter[TOKEN] = "";
	bool standard = false;
	while (next_token(&text, token)) {
		char whole[2 * TOKEN];
		memcpy(whole, letter, strlen(letter) + 1);
		memcpy(whole + strlen(letter), token, strlen(token) + 1);
		const char *rest = after_standard(whole, row->standard);
		letter[0] = '\0';
		if (strcmp(token, "a") == 0 || strcmp(token, "sa") == 0)
			memcpy(letter, token, strlen(token) + 1);
		if (standard && is_grade(token, row->grade))
			return true;
		standard = standard || rest;
		if (rest && *rest && is_grade(rest, row->grade))
			return true;
	}
	return false;
}

/* A row for hotter metal stands below that of the same grade for colder. */
static const struct allowable *hotter(const struct allowable *row)
{
	const struct allowable *next = row + 1;
	bool same = next < allowables + COUNT(allowables) && next->form == row->form &&
		strcmp(next->standard, row->standard) == 0 && strcmp(next->grade, row->grade) == 0;
	return same ? next : NULL;
}

const struct allowable *wall_allowable_at(const struct allowable *coldest, double temperature)
{
	const struct allowable *row = coldest;
	while (temperature > row->highest && hotter(row))
		row = hotter(row);
	return row;
}

const struct allowable *wall_allowable_in(const char *text, enum wall_form form)
{
	const struct allowable *weakest = NULL;
	for (size_t i = 0; text && i < COUNT(allowables); i++)
		if (allowables[i].form == form && !(i > 0 && hotter(&allowables[i - 1])) &&
			names(text, &allowables[i]) && (!weakest || allowables[i].stress < weakest->stress))
			weakest = &allowables[i];
	return weakest;
}

/* ---- formulas ---- */

double wall_of_pipe(double pressure, double outside, double stress)
{
	double wall = pressure * outside / (2 * (stress + pressure * PIPE_Y));
	return wall < outside / 6 ? wall : (double)NAN;
}

double wall_of_shell(double pressure, double radius, double stress)
{
	return pressure <= SHELL_LIMIT * stress ? pressure * radius / (stress - SHELL_Y * pressure) : (double)NAN;
}

/* ---- what a wall rests on ---- */

struct wall {
	bool pipe;
	const struct allowable *allowable;
	struct input pressure, outside, diameter, there, set_aside; /* outside: the atmosphere */
	double least, most;					    /* S E, Pa */
	struct missing open;					    /* what would tell them apart; no reason: nothing */
	bool allowance_open;
};

static double gauge(const struct wall *wall)
{
	return wall->pressure.quantity->si - wall->outside.quantity->si;
}

static double needed(const struct wall *wall, double stress)
{
	double aside = wall->allowance_open ? 0 : wall->set_aside.quantity->si, across = wall->diameter.quantity->si;
	return wall->pipe ? wall_of_pipe(gauge(wall), across, stress)
			  : wall_of_shell(gauge(wall), across / 2 + aside, stress);
}

/* What is there of a wall when the mill and corrosion have taken theirs. */
static double left(const struct wall *wall)
{
	double aside = wall->allowance_open ? 0 : wall->set_aside.quantity->si;
	return wall->there.quantity->si * (wall->pipe ? 1 - MILL_TOLERANCE : 1) - aside;
}

static void range_of_joint(const struct scene *scene, struct wall *wall)
{
	const struct quantity *joint = scene_get(scene, "joint-efficiency");
	bool seamless =
		wall->pipe && (wall->allowable->seamless || quantity_truth(scene_get(scene, "seamless")) == YES);
	double least = wall->pipe ? LEAST_PIPE_JOINT : LEAST_SHELL_JOINT, most = 1;
	if (is_number(joint))
		least = most = joint->si;
	else if (seamless)
		least = 1;
	else
		wall->open = item_lacks(table_arena(scene->table), scene->item, "joint-efficiency");
	wall->least = least * wall->allowable->stress;
	wall->most = most * wall->allowable->stress;
}

/* Plate of a vessel that may be from before the change was allowed less. False: such a vessel, and its stress is not held. */
static bool range_of_year(const struct scene *scene, struct wall *wall)
{
	const struct quantity *built = scene_get(scene, "year-built");
	bool new_unit = text_same(scene_word_of(scene, table_sole(scene->table, "basis"), "kind"), "new");
	double ratio = wall->allowable->old_stress / wall->allowable->stress;
	if (wall->pipe || (is_number(built) ? built->si >= YEAR_OF_CHANGE : new_unit))
		return true;
	if (!(ratio > 0))
		return false;
	wall->least *= ratio;
	if (is_number(built))
		wall->most *= ratio;
	else if (!wall->open.reason)
		wall->open = item_lacks(table_arena(scene->table), scene->item, "year-built");
	return true;
}

/* ---- what is put ---- */

static const char ratio_name[] = "wall-over-code", needed_name[] = "wall-by-code";

/* Without a formula the wall that the maker calculated decides, where it is stated. */
static void not_held(const struct scene *scene, bool pipe, const char *reason)
{
	struct input inputs[] = {input_rises(scene_input(scene, "T", "thickness")),
		input_falls(scene_input(scene, "c", "corrosion-allowance")),
		input_falls(scene_input(scene, "s_r", "required-thickness"))};
	struct missing missing = {.item = scene->item, .quantity = "required-thickness", .reason = reason};
	double there = inputs[0].quantity->si * (pipe ? 1 - MILL_TOLERANCE : 1) - inputs[1].quantity->si;
	if (!scene_get(scene, "required-thickness"))
		scene_put(scene, ratio_name, quantity_lacking(table_arena(scene->table), KIND_RATIO, missing));
	else
		scene_compute(scene, ratio_name, KIND_RATIO, there / inputs[2].quantity->si, 0,
			pipe ? FORMULA_WALL_OF_MAKER_PIPE : FORMULA_WALL_OF_MAKER, inputs, COUNT(inputs));
}

static const struct quantity *ratio_at(const struct scene *scene, const struct wall *wall, double stress)
{
	struct arena *arena = table_arena(scene->table);
	struct input se = scene_input_is("S E", "allowable stress and weld",
		quantity_constant(arena, KIND_STRESS, stress, "ASME B31.3 table A-1 or II-D table 1A"));
	struct input inputs[] = {wall->pressure, wall->outside, wall->diameter, se, wall->there, wall->set_aside};
	size_t count = COUNT(inputs) - (wall->allowance_open ? 1 : 0);
	double wanted = needed(wall, stress);
	enum formula_code pressure = wall->pipe ? FORMULA_WALL_OF_PIPE : FORMULA_WALL_OF_SHELL;
	enum formula_code there = wall->pipe ? FORMULA_WALL_LEFT_OF_PIPE : FORMULA_WALL_LEFT_OF_SHELL;
	scene_compute(scene, needed_name, KIND_LENGTH, wanted, 0, pressure, inputs, 4);
	return quantity_computed(arena, KIND_RATIO, left(wall) / wanted, 0, &formulas[there], inputs, count);
}

/* Too thin whatever is open: at most so much. Thick enough whatever is open: at least so much. Else what is open is missing. */
static void put_range(const struct scene *scene, const struct wall *wall)
{
	struct arena *arena = table_arena(scene->table);
	double best = left(wall) / needed(wall, wall->most), worst = left(wall) / needed(wall, wall->least);
	struct missing open = wall->allowance_open ? item_lacks(arena, scene->item, "corrosion-allowance") : wall->open;
	if (isnan(best) || isnan(worst)) {
		not_held(scene, wall->pipe, "the wall is thicker than the formula is for");
	} else if (!open.reason) {
		scene_put(scene, ratio_name, ratio_at(scene, wall, wall->most));
	} else if (best < 1) {
		struct quantity *bound = arena_alloc(arena, sizeof *bound);
		*bound = *ratio_at(scene, wall, wall->most);
		bound->bound = BOUND_BELOW;
		bound->reached = true;
		scene_put(scene, ratio_name, bound);
	} else if (worst >= 1 && !wall->allowance_open) {
		scene_put(scene, ratio_name, quantity_at_least(arena, ratio_at(scene, wall, wall->least), open, NULL));
	} else {
		scene_put(scene, ratio_name, quantity_lacking(arena, KIND_RATIO, open));
	}
}

static bool is_bare(const struct scene *scene)
{
	const char *cladding = scene_word_of(scene, scene->item, "cladding");
	return !scene_get(scene, "cladding") || text_same(cladding, "none");
}

/* Inside diameter of a shell; outside diameter of a pipe, which only its size tells. */
static struct input diameter_of(const struct scene *scene, bool pipe)
{
	struct pipe found;
	const char *size = scene_word_of(scene, scene->item, "size");
	if (!pipe)
		return scene_input(scene, "D", "diameter");
	if (!pipe_thinnest(size, &found))
		return scene_input(scene, "D", "size");
	return scene_input_is("D", "outside diameter of the size",
		quantity_constant(table_arena(scene->table), KIND_LENGTH, found.outside, "ASME B36.10M or B36.19M"));
}

static void of_wall(const struct scene *scene, struct wall *wall)
{
	const struct quantity *hot = scene_get(scene, "design-temperature");
	struct arena *arena = table_arena(scene->table);
	bool nominal = wall->pipe && scene_get(scene, "wall-thickness");
	wall->outside = scene_input_is("P_a", "outside pressure", interface_atmosphere(scene));
	wall->diameter = diameter_of(scene, wall->pipe);
	wall->there = scene_input(scene, "T", nominal ? "wall-thickness" : "thickness");
	wall->set_aside = scene_input(scene, "c", "corrosion-allowance");
	wall->allowance_open = !is_number(wall->set_aside.quantity);
	struct input must[] = {
		wall->pressure, wall->diameter, wall->there, scene_input(scene, "T_d", "design-temperature")};
	if (!is_number(hot) || !is_number(must[0].quantity) || !is_number(must[1].quantity) ||
		!is_number(must[2].quantity)) {
		scene_put(scene, ratio_name,
			quantity_computed(arena, KIND_RATIO, (double)NAN, 0, &formulas[FORMULA_WALL_LEFT_OF_SHELL],
				must, COUNT(must)));
		return;
	}
	wall->allowable = wall_allowable_at(wall->allowable, hot->si);
	range_of_joint(scene, wall);
	if (hot->si > wall->allowable->highest)
		not_held(scene, wall->pipe, "no allowable stress is available at its design temperature");
	else if (!is_bare(scene))
		not_held(scene, wall->pipe, "whether its wall includes the cladding is not stated");
	else if (!range_of_year(scene, wall))
		not_held(scene, wall->pipe, "no allowable stress is available for its year of construction");
	else if (gauge(wall) > 0)
		put_range(scene, wall);
}

/* Only what is built to the American codes, or to one that nobody names. */
static bool is_of_these_codes(const struct scene *scene)
{
	const char *code = scene_word_of(scene, scene->item, "construction-code");
	return !code || strstr(code, "ASME") || strstr(code, "B31") || strstr(code, "VIII");
}

const char wall_not_credible[] = "the thickness stated is no wall of plate on this diameter";

bool wall_is_credible(const struct scene *scene, const struct quantity *thickness)
{
	const struct quantity *diameter = scene_get(scene, "diameter");
	if (!is_number(diameter) && scene->item->parent)
		diameter = scene_get_of(scene, scene->item->parent, "diameter");
	if (!is_number(thickness) || item_is(scene->item, "line"))
		return true;
	return thickness->si <= MOST_PLATE &&
		!(is_number(diameter) && diameter->si >= LEAST_SHELL &&
			thickness->si > MOST_OF_DIAMETER * diameter->si);
}

/* A wall that cannot be: said of the item that states it, as of any value that its own data contradict. */
static void slip_of_wall(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {scene_input(scene, "x", "thickness"),
		scene_input_is("y", "the thickest plate",
			quantity_constant(arena, KIND_LENGTH, MOST_PLATE, "common practice, no source"))};
	const struct quantity *wall = inputs[0].quantity;
	if (scene->operating_case != EVERY_CASE || !scene_owns(scene, scene->item, "thickness") ||
		wall_is_credible(scene, wall))
		return;
	const struct quantity *diameter = scene_get(scene, "diameter");
	const char *words = arena_format(arena, "thickness %s stated%s%s, which is no wall of plate",
		quantity_show_first(arena, wall), is_number(diameter) ? " at a diameter of " : "",
		is_number(diameter) ? quantity_show_first(arena, diameter) : "");
	scene_compute(scene, "stated-difference", KIND_SHARE, 1, 0, FORMULA_STATED_APART, inputs, 2);
	scene_put_word(scene, "stated-difference-words", KIND_TEXT, words, "thicker than shells of plate are made");
}

static void of_item(const struct scene *scene)
{
	slip_of_wall(scene);
	bool pipe = item_is(scene->item, "line");
	struct wall wall = {.pipe = pipe};
	if (!pipe &&
		(!item_in(scene->item, CLASS_RELIEVED) || item_is(scene->item, "tank") ||
			!scene_get(scene, "diameter")))
		return;
	const char *grade = scene_word_of(scene, scene->item, "grade");
	wall.pressure = scene_input(scene, "P", "design-pressure");
	wall.allowable = wall_allowable_in(grade, pipe ? FORM_PIPE : FORM_PLATE);
	if (!scene_get(scene, "design-pressure") || !grade)
		return;
	if (!is_of_these_codes(scene))
		not_held(scene, pipe, "it is built to another code than ASME B31.3 and VIII-1");
	else if (!wall_is_credible(scene, scene_get(scene, "thickness")))
		scene_put(scene, ratio_name,
			quantity_lacking(table_arena(scene->table), KIND_RATIO,
				(struct missing){
					.item = scene->item, .quantity = "thickness", .reason = wall_not_credible}));
	else if (!wall.allowable)
		not_held(scene, pipe, "no allowable stress is available for its grade");
	else
		of_wall(scene, &wall);
}

void wall_compute(struct table *table)
{
	scene_each(table, of_item);
}
