/*
 * Gas through letdown valves whose liquid is lost, beside what the relief of the vessel downstream passes and was sized for.
 *
 * A valve wide open by IEC 60534-2-1 (from memory), m = C Y sqrt(x P1 rho1 rho0) with x at most F xT: xT is 0.75, of a
 * globe valve, where most trims have less and multi-stage ones somewhat more (0.6 to 0.9 is a tenth of the flow); F = k / 1.40 with k = 1.3. Upstream
 * stands the operating pressure of the vessel, and the gas is that of the absorber, at its temperature, or the density
 * scales with the pressure. Downstream stands 1.1 times the set pressure of the relief (or, where none is stated, the
 * operating pressure), which matters to few: most letdowns are choked. All letdown and bypass valves between the same
 * two vessels are counted together: one lost level opens both. A rate in kg/s.
 *
 * Gas that flashes from the liquid, and liquid carried along, are not added.
 */
#ifndef LEANRICH_BLOW_BY_H
#define LEANRICH_BLOW_BY_H

#include "resolve/table.h"

/*
 * kg/s through a flow coefficient in m3/(s Pa^0.5), P absolute in Pa, density at P1 in kg/m3; `choked` is F xT. No flow
 * where P2 is not below P1.
 */
double blow_by_rate(double coefficient, double upstream, double downstream, double density, double choked);

void blow_by_compute(struct table *table);

#endif
