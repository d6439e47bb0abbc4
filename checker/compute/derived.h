/*
 * A quantity that is calculated although a description may state it: what is stated is used, what is calculated is beside it.
 *
 * Of "flux" the calculated value becomes the value itself where nothing is stated. Else it is put as "flux-calculated", and how
 * far the two are apart goes into "stated-difference" of the item, the largest of all its quantities, with the words for the reader in
 * "stated-difference-words". Two values of one operating case are compared, never a stated one of another case.
 */
#ifndef LEANRICH_DERIVED_H
#define LEANRICH_DERIVED_H

#include "compute/scene.h"

/* Which of the two a rule is to be judged by: "flux-judged" is then put too; unknown where the calculated one is owed. */
enum careful { CAREFUL_NEITHER, CAREFUL_SMALLER, CAREFUL_LARGER };

/*
 * `computed` is the calculated value, `range` (SI, half width) what it leaves open without being uncertain: a level that nobody
 * states. A stated value within it is not apart. Returns the value that now is under `name`.
 */
const struct quantity *derived_put(const struct scene *scene, const char *name, enum careful careful,
	const struct quantity *computed, double range);

/* The same of an exact relation, as scene_compute. */
const struct quantity *derived_compute(const struct scene *scene, const char *name, enum careful careful,
	enum kind kind, double si, double uncertainty, enum formula_code formula, const struct input *inputs,
	size_t count);

/* Is the value stated, for this case (scene_describes), and not put by a calculation? */
bool derived_is_stated(const struct scene *scene, const struct item *item, const char *name);

/*
 * What rules judge under "NAME-judged": of the value that stands under `name` and the number under `beside`, in the same case, the
 * more careful one, where the two are further apart than their uncertainties and `range` allow; else the one under `name`.
 */
void derived_judge(const struct scene *scene, const char *name, enum careful careful, const char *beside, double range);

/* "NAME-judged" where nothing could be calculated beside it: the value under `name`; without one it is asked for, a `kind`. */
void derived_judge_as_stated(const struct scene *scene, const char *name, enum kind kind);

/* The sum of the relative uncertainties of inputs. */
double derived_error(const struct input *inputs, size_t count);

#endif
