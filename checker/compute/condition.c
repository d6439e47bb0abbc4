#include "compute/condition.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "compute/wall.h"
#include "resolve/equipment.h"

static const double LEAST_HOLDING = 866.15; /* K: 593 degC, 1100 degF; API RP 945, 2003, as quoted */
static const double ROUNDED = 0.5;	    /* K: 593 degC is 1100 degF, rounded */
static const double STEP = 0.0254;	    /* m: the inch that codes count in */
static const double STEPS_IN_FULL = 2;	    /* so far an hour for each; ASME VIII-1, UCS-56, from memory */
static const double HOUR = 3600, OF_AN_HOUR = 0.25;
static const double FORMED_COLD = 0.05;	  /* strain; a contractor's published standard */
static const double ROUNDED_SHARE = 0.05; /* "1.8 h" may be 1.85 h; "1 h" is not from half an hour to one and a half */
static const double SAME = 1e-9;	  /* what the conversion of a unit may take away */

/* ---- stress relief ---- */

enum { INPUTS_MOST = 4 };

struct relief {
	const char *undone; /* why the treatment does not count, or NULL */
	struct input inputs[INPUTS_MOST];
	size_t count;
};

static const char *shown(const struct scene *scene, const struct quantity *quantity)
{
	return quantity_show_first(table_arena(scene->table), quantity);
}

static void rest_on(struct relief *relief, const struct scene *scene, const char *symbol, const char *name)
{
	if (relief->count < INPUTS_MOST)
		relief->inputs[relief->count++] = scene_input(scene, symbol, name);
}

static bool is_yes(const struct scene *scene, const char *name)
{
	const struct quantity *answer = scene_get(scene, name);
	return quantity_truth(answer) == YES;
}

static bool is_no(const struct scene *scene, const char *name)
{
	const struct quantity *answer = scene_get(scene, name);
	return quantity_truth(answer) == NO;
}

/* What is stated of the treatment of the vessel says nothing of one that the part had by itself. */
static bool goes_with_treatment(const struct scene *scene, const char *name)
{
	return !scene_owns(scene, scene->item, "pwht") || scene_owns(scene, scene->item, name);
}

static void held_too_cold(struct relief *relief, const struct scene *scene)
{
	const struct quantity *least = scene_get(scene, "pwht-temperature-least");
	const char *name = is_number(least) ? "pwht-temperature-least" : "pwht-temperature";
	const struct quantity *held = scene_get(scene, name);
	bool known = held && held->known != UNKNOWN && held->bound != BOUND_ABOVE;
	bool option = is_yes(scene, "pwht-lower-temperature-option");
	if (known && held->si < LEAST_HOLDING - ROUNDED) {
		rest_on(relief, scene, "T", name);
		relief->undone = arena_format(
			table_arena(scene->table), "treated at %s, less than 593 degC", shown(scene, held));
	} else if (!known && option) {
		rest_on(relief, scene, "option", "pwht-lower-temperature-option");
		relief->undone = "treated by the construction code's option of lower temperature for longer";
	}
}

/* s, that construction codes ask for a thickness of m */
static double code_time(double thickness)
{
	double steps = thickness / STEP;
	double full = fmin(steps, STEPS_IN_FULL), rest = fmax(steps - STEPS_IN_FULL, 0);
	return HOUR * fmax(full + OF_AN_HOUR * rest, OF_AN_HOUR);
}

/* What rounding may have taken from a stated value, SI. */
static double rounding(const struct quantity *stated)
{
	return fmin(quantity_half_digit(stated), ROUNDED_SHARE * fabs(stated->si));
}

/* How much longer a time that reads "1.8 h" may have been; nothing of one that is not stated. */
static void put_rounding(const struct scene *scene)
{
	const struct quantity *held = scene_get(scene, "pwht-hold");
	if (is_number(held) && held->known == STATED)
		scene_put(scene, "pwht-hold-rounding",
			quantity_assumed(table_arena(scene->table), KIND_DURATION, rounding(held), 0,
				"half of the last digit of the time held, at most a twentieth of it"));
}

static void held_too_short(struct relief *relief, const struct scene *scene)
{
	const struct quantity *held = scene_get(scene, "pwht-hold"), *wall = scene_get(scene, "pwht-hold-thickness");
	if (relief->undone || !is_number(held) || !is_number(wall) || wall->known == ASSUMED ||
		held->si + rounding(held) >= code_time(wall->si) * (1 - SAME) - held->uncertainty)
		return;
	rest_on(relief, scene, "t", "pwht-hold");
	rest_on(relief, scene, "s", "pwht-hold-thickness");
	relief->undone =
		arena_format(table_arena(scene->table), "treated for %s at %s, shorter than construction codes require",
			shown(scene, held), shown(scene, wall));
}

static void left_out(struct relief *relief, const struct scene *scene)
{
	if (relief->undone || !is_no(scene, "pwht-covers-all") || !goes_with_treatment(scene, "pwht-covers-all"))
		return;
	rest_on(relief, scene, "all", "pwht-covers-all");
	relief->undone = scene_owns(scene, scene->item, "pwht-covers-all")
		? "treated, but not all its welds"
		: arena_format(table_arena(scene->table),
			  "not all welds of %s were treated, and none is stated for this one",
			  scene->item->parent->tag);
}

static void formed_since(struct relief *relief, const struct scene *scene)
{
	const struct quantity *strain = scene_get(scene, "cold-strain");
	if (relief->undone || !is_number(strain) || strain->si <= FORMED_COLD * (1 + SAME) ||
		!is_no(scene, "heat-treated-after-forming"))
		return;
	rest_on(relief, scene, "e", "cold-strain");
	rest_on(relief, scene, "after", "heat-treated-after-forming");
	relief->undone = arena_format(
		table_arena(scene->table), "cold formed to %s and not heat treated since", shown(scene, strain));
}

static const char *how(const struct scene *scene)
{
	const struct quantity *held = scene_get(scene, "pwht-temperature"), *time = scene_get(scene, "pwht-hold");
	struct text words = text_in(table_arena(scene->table));
	text_addf(&words, "treated");
	if (is_number(held))
		text_addf(&words, " at %s", shown(scene, held));
	if (is_number(time))
		text_addf(&words, " for %s", shown(scene, time));
	if (is_number(held) && held->si < LEAST_HOLDING + ROUNDED)
		text_addf(&words, ", which API RP 945 (2003) accepts and later editions do not");
	return words.data;
}

static void put_words(const struct scene *scene, const char *words)
{
	scene_put_word(scene, "stress-relief", KIND_TEXT, words, "by what is stated of the place");
}

static void put_undone(const struct scene *scene, struct relief *relief)
{
	struct quantity *no = arena_alloc(table_arena(scene->table), sizeof *no);
	rest_on(relief, scene, "pwht", "pwht");
	*no = *quantity_computed(table_arena(scene->table), KIND_YES_NO, 0, 0, &formulas[FORMULA_STRESS_RELIEF_NOW],
		relief->inputs, relief->count);
	no->word = "no";
	scene_put(scene, "stress-relieved", no);
	put_words(scene, relief->undone);
}

/* Whether it was held long enough is not known of a thickness that cannot be. */
static void put_unknown_hold(const struct scene *scene)
{
	struct missing missing = {.item = scene->item, .quantity = "pwht-hold-thickness", .reason = wall_not_credible};
	scene_put(scene, "stress-relieved", quantity_lacking(table_arena(scene->table), KIND_YES_NO, missing));
	put_words(scene, "treated, at a thickness that cannot be");
}

static void put_treatment(const struct scene *scene, const struct quantity *pwht)
{
	struct relief relief = {.undone = NULL};
	if (!wall_is_credible(scene, scene_get(scene, "pwht-hold-thickness"))) {
		put_unknown_hold(scene);
		return;
	}
	put_rounding(scene);
	held_too_cold(&relief, scene);
	held_too_short(&relief, scene);
	left_out(&relief, scene);
	formed_since(&relief, scene);
	if (relief.undone) {
		put_undone(scene, &relief);
		return;
	}
	scene_put(scene, "stress-relieved", pwht);
	put_words(scene, how(scene));
}

bool condition_is_later_work(const struct table *table, const struct item *item)
{
	const char *type = item_is(item, "weld") ? table_word(table, item, EVERY_CASE, "type") : NULL;
	return item_is(item, "repair") || text_same(type, "repair");
}

/* Work on metal in service of which no treatment is stated. A bolted clamp has no weld, and the metal under it is what it was. */
static void of_later_work(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const char *work = scene_word_of(scene, scene->item, "work");
	const char *done = work ? work : "weld repair";
	if (text_same(work, "leak clamp bolted on") && scene->item->parent) {
		scene_take(scene, "stress-relieved", scene->item->parent, "stress-relieved");
		scene_take(scene, "stress-relief", scene->item->parent, "stress-relief");
		return;
	}
	const char *words = arena_format(arena, "%s, and no heat treatment after it is stated", done);
	scene_put_word(scene, "stress-relieved", KIND_YES_NO, "no", words);
	put_words(scene, words);
}

/* A certificate that nobody has any more is another matter than one that will come, or that nobody mentions. */
static const char *not_known_words(const struct quantity *pwht)
{
	if (pwht && pwht->unrecorded)
		return "no record of stress relief";
	return pwht && pwht->owed ? "stress relief is to be stated (t.b.d.)" : "with or without stress relief";
}

/* Is there a record of it? Said where anything at all is said of the treatment. */
static void record(const struct scene *scene, const struct quantity *pwht)
{
	bool said = pwht && (pwht->known != UNKNOWN || pwht->unrecorded);
	if (said)
		scene_put_word(scene, "stress-relief-recorded", KIND_YES_NO, pwht->unrecorded ? "no" : "yes",
			"by what is stated of the treatment");
}

static void stress_relief(const struct scene *scene)
{
	const struct quantity *pwht = scene_get(scene, "pwht");
	bool later = condition_is_later_work(scene->table, scene->item);
	if (!later || scene_owns(scene, scene->item, "pwht"))
		record(scene, pwht);
	if (later && !scene_owns(scene, scene->item, "pwht")) {
		of_later_work(scene);
	} else if (!pwht || pwht->known == UNKNOWN) {
		struct missing lacking = pwht && pwht->reason
			? quantity_missing(pwht)
			: item_lacks(table_arena(scene->table), scene->item, "pwht");
		scene_put(scene, "stress-relieved",
			pwht ? pwht : quantity_lacking(table_arena(scene->table), KIND_YES_NO, lacking));
		put_words(scene, not_known_words(pwht));
	} else if (pwht->si > 0) {
		put_treatment(scene, pwht);
	} else {
		scene_put(scene, "stress-relieved", pwht);
		put_words(scene, "as welded");
	}
}

/* ---- what was found ---- */

/* "wet fluorescent magnetic particle, 2010-02", as far as the inspection says. */
static const char *by_and_when(const struct scene *scene, const struct item *inspection)
{
	const char *method = scene_word_of(scene, inspection, "method"),
		   *date = scene_word_of(scene, inspection, "date");
	if (!method)
		return date ? arena_format(table_arena(scene->table), "inspection, %s", date) : "inspection";
	return date ? arena_format(table_arena(scene->table), "%s, %s", method, date) : method;
}

static const struct item *next_inspection(const struct scene *scene, size_t *at)
{
	size_t end = table_parts_end(scene->table, scene->item);
	while (*at < end) {
		const struct item *made = table_item(scene->table, (*at)++);
		if (item_is(made, "inspection") && made->parent == scene->item)
			return made;
	}
	return NULL;
}

/* Found by the item's own statement or by an inspection of it; `by`: by which, where one did. */
static void found(const struct scene *scene, const char *stated, const char *result, const char *name, const char *by)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *own = scene_get(scene, stated), *seen = own;
	const struct item *made, *finder = NULL;
	for (size_t at = scene->item->index + 1; (made = next_inspection(scene, &at)) != NULL;) {
		const struct quantity *there = scene_get_of(scene, made, stated);
		if (text_same(scene_word_of(scene, made, "result"), result))
			there = quantity_assumed_word(arena, KIND_YES_NO, "yes", "the inspection came to that");
		bool is_found = there && there->known != UNKNOWN && there->si > 0;
		finder = is_found ? made : finder;
		if (there && there->known != UNKNOWN && (!seen || seen->known == UNKNOWN || there->si > seen->si))
			seen = there;
	}
	scene_put(scene, name,
		seen ? seen : quantity_lacking(arena, KIND_YES_NO, item_lacks(arena, scene->item, stated)));
	if (finder)
		scene_put_word(scene, by, KIND_TEXT, by_and_when(scene, finder), "the last that found it");
	else if (seen && seen->known != UNKNOWN && seen->si > 0 && scene_get(scene, "inspected-by"))
		scene_take(scene, by, scene->item, "inspected-by");
}

/* A loss beyond what two readings can tell apart, or an inspection that came to thinning. */
static void thinned(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *rate = scene_get(scene, "rate-by-readings");
	const struct item *made;
	const char *why = NULL;
	for (size_t at = scene->item->index + 1; (made = next_inspection(scene, &at)) != NULL;)
		if (text_same(scene_word_of(scene, made, "result"), "thinning"))
			why = arena_format(arena, "found by %s", by_and_when(scene, made));
	if (is_number(rate) && rate->si > rate->uncertainty)
		why = arena_format(arena, "%s by its readings", shown(scene, rate));
	if (why)
		scene_put_word(scene, "thinned", KIND_YES_NO, "yes", why);
}

/* ---- what is lost ---- */

static const double YEAR = 31557600; /* s, 365.25 days */

/* How long the allowance lasts at the measured rate, from the start; a rate of nothing wears out nothing. */
static void allowance_lasts(const struct scene *scene)
{
	const struct quantity *rate = scene_get(scene, "corrosion-rate-judged"),
			      *allowance = scene_get(scene, "corrosion-allowance");
	if (!is_number(rate) || !is_number(allowance) || rate->si <= 0)
		return;
	struct input inputs[] = {
		scene_input(scene, "c", "corrosion-allowance"), scene_input(scene, "r", "corrosion-rate-judged")};
	double lasts = allowance->si / rate->si;
	scene_compute(scene, "allowance-lasts", KIND_DURATION, lasts,
		lasts * (relative_uncertainty(rate) + relative_uncertainty(allowance)), FORMULA_ALLOWANCE_LASTS, inputs,
		2);
}

/* From the year of building to the date of the description; within a year. */
static void in_service(const struct scene *scene)
{
	const struct quantity *built = scene_get(scene, "year-built");
	long now = strtol(table_unit_word(scene->table, "date"), NULL, 10);
	if (!is_number(built) || now <= 0 || (double)now < built->si)
		return;
	struct input input = scene_input(scene, "built", "year-built");
	scene_compute(scene, "in-service", KIND_DURATION, ((double)now - built->si) * YEAR, YEAR, FORMULA_IN_SERVICE,
		&input, 1);
}

/* ---- every item ---- */

static void of_item(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_WETTED) ||
		(scene->operating_case != EVERY_CASE && !table_varies(scene->table, scene->item)))
		return;
	stress_relief(scene);
	found(scene, "cracks-found", "cracks", "cracked", "cracked-by");
	found(scene, "blisters-found", "blisters", "blistered", "blistered-by");
	thinned(scene);
	allowance_lasts(scene);
	in_service(scene);
}

void condition_compute(struct table *table)
{
	scene_each(table, of_item);
}
