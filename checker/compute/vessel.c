#include "compute/vessel.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

/* In diameters: 0.0809 D^3 is the volume of half an ellipsoid 0.1545 D deep. */
static const double depth[] = {[HEADS_ELLIPTICAL] = 0.25,
	[HEADS_TORISPHERICAL] = 0.1545,
	[HEADS_HEMISPHERICAL] = 0.5,
	[HEADS_FLAT] = 0,
	[HEADS_CONICAL] = 0};

double vessel_head(const struct vessel *vessel)
{
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

/* Half an ellipsoid of revolution: pi R^2 (1 + (1 - e^2) artanh(e) / e). */
static double head_surface(const struct vessel *vessel)
{
	double radius = vessel->diameter / 2, flatness = 2 * depth[vessel->heads], disc = PI * radius * radius;
	double eccentricity = sqrt(1 - flatness * flatness);
	if (!(flatness > 0))
		return disc;
	return eccentricity > 0 ? disc * (1 + flatness * flatness * atanh(eccentricity) / eccentricity) : 2 * disc;
}

double vessel_wetted(const struct vessel *vessel, double level)
{
	double share = fmin(fmax(level / vessel_height(vessel), 0), 1);
	if (vessel->vertical)
		return PI * vessel->diameter * vessel->length * share + head_surface(vessel);
	double below = 1 - 2 * share, angle = acos(below); /* of half the wetted arc */
	double circle = (angle - below * sqrt(fmax(1 - below * below, 0))) / PI;
	return vessel->diameter * angle * vessel->length + 2 * head_surface(vessel) * circle;
}
