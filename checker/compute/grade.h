/*
 * What the class of a pump and the grade of bolts say of metal and hardness, where nobody states these (grade.def).
 *
 * Puts `casing` and `impeller` of pumps with their families, `material` of a part named shaft, sleeve or wear ring, and
 * `material`, its family and `hardness` of bolting; what is stated of a part stays. Where a pump states class and
 * metals, `class-agrees`, `class-casing-family` and `class-impeller-family` say whether the class has these metals.
 * Before metal_compute, which takes the metal of a pump from its casing.
 */
#ifndef LEANRICH_GRADE_H
#define LEANRICH_GRADE_H

#include "resolve/table.h"

struct pump_class {
	const char *name, *casing, *casing_family, *impeller, *impeller_family, *shaft, *shaft_family, *wear,
		*wear_family;
};

struct bolting_grade {
	const char *name, *material, *family;
	double least_rockwell, most_rockwell, most_brinell; /* HRC, HRC, HBW; least 0: not known */
};

/*
 * The class or grade that occurs as a word of its own in a text: "A193 Gr. B7M / 2HM". Of several grades the hardest.
 * NULL: none.
 */
const struct pump_class *pump_class_in(const char *text);
const struct bolting_grade *bolting_grade_in(const char *text);

void grade_compute(struct table *table);

#endif
