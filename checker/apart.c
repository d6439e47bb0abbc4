#include "apart.h"

#include <math.h>

static const struct {
	double factor;
	const char *what;
} slips[] = {
#define SLIP(factor, what) {factor, what},
#include "slips.def"
#undef SLIP
};

/* How near to one a ratio must come for a slip to be named, and from where on there is something to explain. */
static const double SLIP_CLOSE = 0.04, SLIP_FROM = 0.05;

const char *slip_name(double ratio)
{
	double nearest = SLIP_CLOSE;
	const char *name = NULL;

	if (!(ratio > 0) || !isfinite(ratio) || fabs(ratio - 1) < SLIP_FROM)
		return NULL;
	for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
		double apart = fmin(fabs(log(ratio / slips[i].factor)), fabs(log(ratio * slips[i].factor)));

		if (apart < nearest) {
			nearest = apart;
			name = slips[i].what;
		}
	}
	return name;
}

const struct quantity *apart_put(const struct scene *scene, const char *name, struct input x, struct input y)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {x, y};
	double a = x.quantity->si, b = y.quantity->si, larger = fmax(fabs(a), fabs(b));
	double error = larger > 0 ? hypot(x.quantity->uncertainty, y.quantity->uncertainty) / larger : 0;
	const struct quantity *apart = scene_compute(
		scene, name, KIND_SHARE, larger > 0 ? fabs(a - b) / larger : 0, error, FORMULA_SHARE_APART, inputs, 2);
	const char *slip = is_number(apart) && larger > 0 ? slip_name(a / b) : NULL;

	if (slip)
		scene_put(scene, "slip",
			quantity_assumed_word(arena, KIND_TEXT,
				arena_format(arena, "One slip would explain it: %s.", slip),
				"the one factor that fits"));
	return apart;
}
