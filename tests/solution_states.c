#include "solution_states.h"

#include <math.h>

#include "chemistry/constants.h"

struct solution_input state(enum amine amine, double mass_fraction, double celsius, double h2s, double co2)
{
	struct solution_input input = {.temperature = celsius + ZERO_CELSIUS, .loading = {h2s, co2}};

	input.mass_fraction[amine] = mass_fraction;
	return input;
}

bool close_to(double a, double b, double relative)
{
	return fabs(a - b) <= relative * fmax(fabs(a), fabs(b));
}

/* Numerical Recipes' 64-bit generator: the same states on every machine. */
double draw(uint64_t *seed, double low, double high)
{
	*seed = *seed * 6364136223846793005u + 1442695040888963407u;
	return low + (high - low) * ((double)(*seed >> 11) / 9007199254740992.0);
}

static double draw_loading(uint64_t *seed, double most)
{
	double kind = draw(seed, 0, 4);

	if (kind < 1)
		return 0;
	if (kind < 2)
		return draw(seed, 0, most);
	if (kind < 3)
		return draw(seed, 0, most / 3);
	return exp(draw(seed, log(1e-9), log(most)));
}

struct solution_input draw_state(uint64_t *seed, const double *strength, const double *celsius, double most, double sum)
{
	enum amine amine = (enum amine)draw(seed, 0, AMINE_COUNT);
	double w = draw(seed, strength[0], strength[1]);
	struct solution_input input = state(amine, w, draw(seed, celsius[0], celsius[1]), 0, 0);

	if (amine != AMINE_MDEA && draw(seed, 0, 1) < 0.2) {
		input.mass_fraction[AMINE_MDEA] = w * draw(seed, 0, 1);
		input.mass_fraction[amine] = w - input.mass_fraction[AMINE_MDEA];
	}
	do
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			input.loading[gas] = draw_loading(seed, most);
	while (input.loading[GAS_H2S] + input.loading[GAS_CO2] > sum);
	if (draw(seed, 0, 1) < 0.2) {
		input.anion[0] = draw(seed, 0, 0.1);
		input.anion[1] = draw(seed, 0, 0.03);
	}
	if (draw(seed, 0, 1) < 0.2)
		input.cation = draw(seed, 0, 0.12);
	return input;
}
