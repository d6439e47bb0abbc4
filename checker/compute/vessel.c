#include "compute/vessel.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

double vessel_head(const struct vessel *vessel)
{
	/* In diameters: 0.0809 D^3 is the volume of half an ellipsoid 0.1545 D deep. */
	static const double depth[] = {[HEADS_ELLIPTICAL] = 0.25,
		[HEADS_TORISPHERICAL] = 0.1545,
		[HEADS_HEMISPHERICAL] = 0.5,
		[HEADS_FLAT] = 0,
		[HEADS_CONICAL] = 0};
	return PI / 6 * depth[vessel->heads] * pow(vessel->diameter, 3);
}

double vessel_height(const struct vessel *vessel)
{
	return vessel->vertical ? vessel->length : vessel->diameter;
}

double vessel_liquid(const struct vessel *vessel, double level)
{
	double share = fmin(fmax(level / vessel_height(vessel), 0), 1);
	double radius = vessel->diameter / 2, area = PI * radius * radius;
	if (vessel->vertical)
		return area * vessel->length * share + vessel_head(vessel);
	double below = 1 - 2 * share; /* of the radius: from the surface up to the axis */
	double segment = radius * radius * (acos(below) - below * sqrt(fmax(1 - below * below, 0)));
	return segment * vessel->length + 2 * vessel_head(vessel) * share * share * (3 - 2 * share);
}
