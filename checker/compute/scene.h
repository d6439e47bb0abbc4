/*
 * What a computing module looks at: one item in one operating case, and the table it reads from and puts into.
 *
 * A module asks for inputs by name, computes in plain doubles, and puts a traced quantity. It runs once for the values common to all
 * cases and once for each case; a result that is the same as the common one is not put again.
 */
#ifndef LEANRICH_SCENE_H
#define LEANRICH_SCENE_H

#include "compute/formula.h"
#include "resolve/table.h"

struct scene {
	const struct table *table;
	struct table *into; /* the same table, where there is something to put; NULL: who only looks */
	const struct item *item;
	int operating_case; /* EVERY_CASE: the values common to all */
};

/* The item's own value, or NULL. */
const struct quantity *scene_get(const struct scene *scene, const char *name);

/*
 * Does the description state the value? What is computed for all cases must be computed anew for each: asking scene_get
 * whether there is a value already would find the common one.
 */
bool scene_stated(const struct scene *scene, const char *name);

/* Is the value stated of the item itself, not handed down by what it is part of? */
bool scene_owns(const struct scene *scene, const struct item *item, const char *name);

/*
 * Does a value of equipment (a duty, a steam flow) stand for this case? It is stated for the case the plain values describe, the
 * first; for any other only where that case states its own.
 */
bool scene_describes(const struct scene *scene, const struct item *item, const char *name);

/* Does the item state a number under this name for this very case, and not only for all of them? */
bool scene_states_case(const struct scene *scene, const struct item *item, const char *name);

/*
 * Does none of these items (NULL: none), nor the solvent, differ by operating case? Then what was calculated for all cases is
 * valid in this one too, and costly work need not be done again. Never true for EVERY_CASE.
 */
bool scene_repeats(const struct scene *scene, const struct item *const *items, size_t count);

/* A value of another item in the same case. */
const struct quantity *scene_get_of(const struct scene *scene, const struct item *item, const char *name);

/* The word of another item in the case, NULL where there is neither item nor word. */
const char *scene_word_of(const struct scene *scene, const struct item *item, const char *name);

/* An input for a formula. A value nobody stated becomes unknown, with "<name> of <tag> is not stated". */
struct input scene_input(const struct scene *scene, const char *symbol, const char *name);
struct input scene_input_of(const struct scene *scene, const struct item *item, const char *symbol, const char *name);

/* An input for a formula that is at hand already; `what` says what it is. */
struct input scene_input_is(const char *symbol, const char *what, const struct quantity *quantity);

/*
 * The same input, and how the result moves with it where it is only a bound: input_rises(scene_input(...)).
 */
struct input input_rises(struct input input);
struct input input_falls(struct input input);

/*
 * Sets the effect of an input that is a bound from above, from the result at the bound and at the far end of what it leaves
 * open (none of "<0.005"). Where the two lie within `*uncertainty` of each other the bound serves as the value, and the
 * uncertainty is widened by the distance. An input that is a number, and a result that is none, are left alone.
 */
void input_weigh(struct input *input, double at_bound, double at_far_end, double *uncertainty);

void scene_put(const struct scene *scene, const char *name, const struct quantity *quantity);
void scene_put_word(const struct scene *scene, const char *name, enum kind kind, const char *word,
	const char *reason); /* assumed */

/* Puts unless the description states the value. */
void scene_put_new(const struct scene *scene, const char *name, const struct quantity *quantity);

/* Computes and puts: `si` is used only when all inputs are known. Returns what was put. */
const struct quantity *scene_compute(const struct scene *scene, const char *name, enum kind kind, double si,
	double uncertainty, enum formula_code formula, const struct input *inputs, size_t count);

/* The same of a value that is known by a factor (quantity.h). */
const struct quantity *scene_compute_by_factor(const struct scene *scene, const char *name, enum kind kind, double si,
	double uncertainty, enum formula_code formula, const struct input *inputs, size_t count);

/* A value of another item taken over as it is, with a trace that says from where. */
void scene_take(const struct scene *scene, const char *name, const struct item *from, const char *name_there);

bool is_number(const struct quantity *quantity);	      /* known, a number, not only a bound */
bool is_bound(const struct quantity *quantity);		      /* known, but only as a bound */
double relative_uncertainty(const struct quantity *quantity); /* 0 for zero values */

/* Calls `visit` for every item of the table once with EVERY_CASE and then for each case. */
void scene_each(struct table *table, void (*visit)(const struct scene *scene));

#endif
