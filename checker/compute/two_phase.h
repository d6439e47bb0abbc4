/*
 * Rich amine that has begun to flash: how much vapour, how dense the mixture, how fast a pipe may carry it.
 *
 * Vapour and liquid are in equilibrium, the vapour an ideal gas, both run at one velocity (no slip: the mixture is
 * then at its lightest and slowest). Erosional velocity by API RP 14E, v = C / sqrt(density), which is a screening rule
 * for clean, non-corrosive service; C in SI is 1.22 times that for ft/s and lb/ft3. Plain doubles in SI; what was
 * flashed before in this run is not flashed again (base/memo.h).
 */
#ifndef LEANRICH_TWO_PHASE_H
#define LEANRICH_TWO_PHASE_H

#include "chemistry/enthalpy.h"

struct two_phase {
	enum solution_fault fault;			/* unless SOLUTION_FINE every number is NaN */
	bool vapour;					/* false: all liquid; the shares are 0 */
	double temperature;				/* K */
	double mass_share, volume_share;		/* of the vapour */
	double density, liquid_density, vapour_density; /* kg/m3; `density` of the mixture */
	double gas_share;				/* of the acid gas of the feed, what has left the liquid */
	double uncertainty;				/* of the mixture's density, relative */
};

/* What a flash is as a mixture in a pipe at `pressure` (Pa). */
struct two_phase two_phase_of(const struct flash *flash, double pressure);

/*
 * The state at its own temperature and `pressure`, or, through a valve from `from` to `to` Pa with no heat lost.
 * Returns out->fault == SOLUTION_FINE; else why there is none (SOLUTION_BOILS_DRY ...).
 */
bool two_phase_at(const struct terms *terms, const struct solution_input *feed, double pressure, struct two_phase *out);
bool two_phase_let_down(
	const struct terms *terms, const struct solution_input *feed, double from, double to, struct two_phase *out);

/* m/s for C in lb/ft3 and ft/s (100 continuous), density in kg/m3. */
double two_phase_erosional(double c, double density);

#endif
