#include "compute/discrepancy.h"

#include <math.h>

void slip_put(const struct scene *scene, const char *name, const char *words)
{
	struct arena *arena = table_arena(scene->table);

	scene_put_word(scene, name, KIND_TEXT, arena_format(arena, "One slip would explain it: %s.", words),
		"the one slip that fits");
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
