/*
 * Vapour and liquid in a column against flooding, a screening where diameter and internals are stated: at the bottom of an
 * absorber, by its feed gas and rich amine; at the bottom of a regenerator, by the vapour that its reboilers make of their duty;
 * at the top of either where what leaves it is described. The end that is loaded more is judged. Beside it the velocity in the
 * downcomers, where their area is stated.
 *
 * Trays by the entrainment flooding of Fair (1961), as fitted by Lygeros and Magoulas (1986), with a system factor for foaming;
 * packing by the flooding line of Leva's generalized correlation (1992) and the maker's packing factor. Both are good to
 * some 15 %. Weirs, weeping and what a maker knows of his own internals are not looked at: a stated approach
 * to flooding goes first in the case that it is stated for.
 */
#ifndef LEANRICH_TOWER_H
#define LEANRICH_TOWER_H

#include "resolve/table.h"

/* (L/V) (rho_v/rho_l)^0.5; flows by mass, densities in kg/m3. */
double tower_flow_parameter(double liquid, double vapour, double vapour_density, double liquid_density);

/* m/s over the net area, without a system factor; spacing in m (0.15 to 0.91), surface tension in N/m. */
double tower_tray_flooding(
	double spacing, double parameter, double tension, double vapour_density, double liquid_density);

/* m/s over the cross-section; factor in 1/m, viscosity in Pa s; NaN where the parameter is not 0.01 to 10. */
double tower_packing_flooding(
	double factor, double parameter, double viscosity, double vapour_density, double liquid_density);

/* After the duties and densities. */
void tower_compute(struct table *table);

#endif
