/*
 * The wall that the design pressure needs, by the formulas of the codes, beside the wall that is there.
 *
 * Pipe by ASME B31.3, 304.1.2: t = P D / (2 (S E + P Y)), Y = 0.4; of the nominal wall an eighth may be lacking from
 * the mill and the corrosion allowance is set aside. Shells by ASME VIII-1, UG-27(c)(1): t = P R / (S E - 0.6 P), R
 * inside and corroded. P is gauge. Both are from memory. Allowable stresses are those of wall.def, up to their
 * temperature; other grades, clad and lined walls, other codes, thick walls (t over D/6, P over 0.385 S E) are unknown,
 * with the reason, unless the wall that the maker calculated is stated. Heads, openings, external pressure, the load of
 * liquid and wind are not looked at, nor is the fatigue of anything.
 *
 * What is not stated is taken both ways: the efficiency of a longitudinal weld between its least (0.8 of pipe, 0.7 of
 * shells) and 1, the stress of plate of an unknown year by the old and the new allowance. Where both ends agree the
 * result is a bound.
 */
#ifndef LEANRICH_WALL_H
#define LEANRICH_WALL_H

#include "compute/scene.h"

enum wall_form { FORM_PIPE, FORM_PLATE };

struct allowable {
	const char *standard, *grade;
	enum wall_form form;
	double stress, old_stress; /* Pa; old_stress 0: not held */
	double highest;		   /* K */
	bool seamless;
};

/* The grade of that form that a text names, "SA-516 Gr. 70" or "A106B"; of several the weakest, cold. NULL: none that is held. */
const struct allowable *wall_allowable_in(const char *text, enum wall_form form);

/* The same grade at a temperature in K; where none is held so hot, the hottest that is. */
const struct allowable *wall_allowable_at(const struct allowable *coldest, double temperature);

/* Wall in m: P in Pa gauge, outside diameter or inside corroded radius in m, S E in Pa. NaN: thicker than the formula is for. */
double wall_of_pipe(double pressure, double outside, double stress);
double wall_of_shell(double pressure, double radius, double stress);

/*
 * Can it be the wall of this item? Not where it is thicker than plate is rolled, 0.4 m, or than a tenth of the diameter of a shell
 * of 0.3 m and wider, which no pressure of an amine unit asks for: common practice, no source. Pipe and what is not known can.
 */
bool wall_is_credible(const struct scene *scene, const struct quantity *thickness);

extern const char wall_not_credible[]; /* why not */

void wall_compute(struct table *table);

#endif
