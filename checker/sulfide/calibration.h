/*
 * The observations that the kinetics of sulfide.h were calibrated on, each against the model and against the plain rule
 * by temperature: a self-consistency test, not a validation. Nobody has published which phases form at the two ends
 * of a lean/rich exchanger.
 */
#ifndef LEANRICH_CALIBRATION_H
#define LEANRICH_CALIBRATION_H

#include <stdbool.h>
#include <stddef.h>

#include "sulfide/sulfide.h"

enum calibration_use { CALIBRATION_FIT, CALIBRATION_CHECK };

struct calibration_point {
	const char *id, *source, *provenance, *trust, *seen, *accepted, *note;
	double celsius, pressure_bar, h2s, hours; /* h2s in mol/kg water, 0: follows from the pressure */
	enum calibration_use use;
};

struct calibration_result {
	double h2s; /* mol/kg */
	struct fractions fractions;
	bool hit;	      /* the largest share is among the accepted phases */
	bool temperature_hit; /* the plain rule by temperature is */
};

struct calibration_score {
	size_t rows, hits, temperature_hits;
};

/* Fit rows hit when each in turn is left out of the fit; found when the model was fitted, not computed here. */
enum { CALIBRATION_LEFT_OUT_HITS = 16 };

size_t calibration_count(void);
const struct calibration_point *calibration_point(size_t i); /* i below calibration_count() */
struct calibration_result calibration_result(const struct calibration_point *point);
struct calibration_score calibration_score(enum calibration_use use);

#endif
