/*
 * Liquid in a cylindrical vessel with heads, by its dimensions and its level. Geometry alone: plain doubles in SI, no allocation.
 *
 * Horizontal, level h over the lowest point: L R^2 (acos(1 - h/R) - (1 - h/R) sqrt(1 - (1 - h/R)^2)) in the shell, and in the two
 * heads together their volume times 3 f^2 - 2 f^3, f = h/D (exact for half an ellipsoid of revolution). Vertical, level over the
 * lower tangent line: pi D^2/4 h, and the lower head full. A head of depth a holds pi D^2 a/6: 2:1 elliptical a = D/4,
 * hemispherical a = D/2, flat none; torispherical (dish of D, knuckle of 6 %) 0.0809 D^3, from memory, taken as the half ellipsoid
 * of that volume; of a cone nothing is counted, since its angle is not stated. Internals, boots and weirs are left out.
 */
#ifndef LEANRICH_VESSEL_H
#define LEANRICH_VESSEL_H

#include <stdbool.h>

enum heads { HEADS_ELLIPTICAL, HEADS_TORISPHERICAL, HEADS_HEMISPHERICAL, HEADS_FLAT, HEADS_CONICAL };

struct vessel {
	bool vertical;
	enum heads heads;
	double diameter, length; /* m; inside, and between the tangent lines */
};

/* Volume of one head, m3. */
double vessel_head(const struct vessel *vessel);

/* Liquid at a level of `level` m, m3; a level below nothing or above the vessel counts as empty or full. */
double vessel_liquid(const struct vessel *vessel, double level);

/*
 * Surface that liquid of that level wets from inside, m2: of the shell, of the lower head of a vertical vessel, of both heads of a
 * horizontal one by the share of the circle below the level. Heads as half ellipsoids, cones as flat.
 */
double vessel_wetted(const struct vessel *vessel, double level);

/* What the level is a share of, m: the diameter of a horizontal one, the length of a vertical one. */
double vessel_height(const struct vessel *vessel);

#endif
