#include "compute/discrepancy.h"

#include <math.h>

#include "base/count.h"

static const struct slip slips[] = {
#define SLIP(factor, kind, what) {factor, SLIP_##kind, what},
#include "compute/slips.def"
#undef SLIP
};

/* How near to one a ratio must come for a slip to be named, and from where on there is something to explain. */
static const double CLOSE = 0.04, WORTH_EXPLAINING = 0.05;

size_t slip_count(void)
{
	return COUNT(slips);
}

const struct slip *slip_row(size_t i)
{
	return &slips[i];
}

bool slip_closes(double ratio)
{
	return ratio > 0 && fabs(log(ratio)) < CLOSE;
}

bool slip_wanted(double ratio)
{
	return isfinite(ratio) && !(ratio > 0 && fabs(log(ratio)) < WORTH_EXPLAINING);
}

const struct slip *slip_find(double ratio)
{
	const struct slip *nearest = NULL;
	double least = CLOSE;

	for (size_t i = 0; slip_wanted(ratio) && ratio > 0 && i < slip_count(); i++) {
		double difference = fmin(fabs(log(ratio / slips[i].factor)), fabs(log(ratio * slips[i].factor)));

		if (difference < least) {
			least = difference;
			nearest = &slips[i];
		}
	}
	return nearest;
}

void slip_put(const struct scene *scene, const char *name, const char *words)
{
	struct arena *arena = table_arena(scene->table);

	scene_put(scene, name,
		quantity_assumed_word(arena, KIND_TEXT, arena_format(arena, "One slip would explain it: %s.", words),
			"the one slip that fits"));
}

const struct quantity *discrepancy_put(const struct scene *scene, const char *name, struct input x, struct input y)
{
	struct input inputs[] = {x, y};
	double a = x.quantity->si, b = y.quantity->si, larger = fmax(fabs(a), fabs(b));
	double error = larger > 0 ? hypot(x.quantity->uncertainty, y.quantity->uncertainty) / larger : 0;

	return scene_compute(scene, name, KIND_SHARE, larger > 0 ? fabs(a - b) / larger : 0, error,
		FORMULA_RELATIVE_DIFFERENCE, inputs, 2);
}

const struct quantity *discrepancy_put_and_explain(
	const struct scene *scene, const char *name, struct input x, struct input y)
{
	const struct quantity *difference = discrepancy_put(scene, name, x, y);
	const struct slip *slip = is_number(difference) ? slip_find(x.quantity->si / y.quantity->si) : NULL;

	if (slip)
		slip_put(scene, "slip", slip->what);
	return difference;
}
