#include "heat_taken_up.h"

#include "chemistry/phase.h"

double heat_taken_up(const struct solution_input *solution)
{
	enum { PARTS = 100 };
	struct solution_input at = *solution;
	double sum = 0;

	at.loading[GAS_CO2] = 0;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		double all = solution->loading[gas];

		/* a = all u^2, midpoints */
		for (int i = 0; i < PARTS && all > 0; i++) {
			double u = (i + 0.5) / PARTS;

			at.loading[gas] = all * u * u;
			sum += phase_heat_of_desorption(&terms_own, &at, gas) * 2 * u * all / PARTS;
		}
		at.loading[gas] = all;
	}
	return sum;
}
