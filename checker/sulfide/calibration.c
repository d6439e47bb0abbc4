#include "sulfide/calibration.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/reaction.h"

static const double bar = 1e5, hour = 3600;

static const struct calibration_point points[] = {
#define POINT(id, source, provenance, trust, celsius, pressure, h2s, hours, seen, accepted, use, note)                 \
	{id, source, provenance, trust, seen, accepted, note, celsius, pressure, h2s, hours, CALIBRATION_##use},
#include "sulfide/sulfide_points.def"
#undef POINT
};

size_t calibration_count(void)
{
	return COUNT(points);
}

const struct calibration_point *calibration_point(size_t i)
{
	return &points[i];
}

static char largest(struct fractions f)
{
	if (f.mackinawite >= f.pyrrhotite && f.mackinawite >= f.pyrite)
		return 'M';
	return f.pyrrhotite >= f.pyrite ? 'P' : 'Y';
}

struct calibration_result calibration_result(const struct calibration_point *point)
{
	double t = point->celsius + ZERO_CELSIUS;
	double h2s = point->h2s > 0 ? point->h2s : point->pressure_bar * bar / exp(reaction_ln_henry(GAS_H2S, t));
	struct calibration_result result = {.h2s = h2s, .fractions = sulfide_fractions(t, h2s, point->hours * hour, 1)};
	bool dense = sulfide_by_temperature(t) == SCALE_DENSE;
	result.hit = strchr(point->accepted, largest(result.fractions)) != NULL;
	result.temperature_hit = strpbrk(point->accepted, dense ? "PY" : "M") != NULL;
	return result;
}

struct calibration_score calibration_score(enum calibration_use use)
{
	struct calibration_score score = {0};
	for (size_t i = 0; i < calibration_count(); i++) {
		if (points[i].use != use)
			continue;
		struct calibration_result result = calibration_result(&points[i]);
		score.rows++;
		score.hits += result.hit;
		score.temperature_hits += result.temperature_hit;
	}
	return score;
}
