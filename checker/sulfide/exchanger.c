#include "sulfide/exchanger.h"

#include <math.h>

#include "base/count.h"
#include "chemistry/enthalpy.h"
#include "chemistry/phase.h"
#include "chemistry/solution.h"

/* ---- temperature along the duty ---- */

/* One side between its ends, with the heat capacity of its loaded solution at each, J per mol of amine and K. */
struct stretch {
	const struct reading_at *hot, *cold;
	double at_hot, at_cold;
};

static struct stretch stretch_of(const struct reading_at *hot, const struct reading_at *cold)
{
	return (struct stretch){.hot = hot,
		.cold = cold,
		.at_hot = enthalpy_heat_capacity(&hot->solution.input),
		.at_cold = enthalpy_heat_capacity(&cold->solution.input)};
}

/*
 * Temperature where `share` of the way in enthalpy from the hot to the cold end is done, as a liquid; the heat capacity is taken
 * linear in temperature between the ends.
 */
static double temperature_at(const struct stretch *side, double share)
{
	double hot = side->hot->solution.input.temperature, span = hot - side->cold->solution.input.temperature;
	double mean = (side->at_hot + side->at_cold) / 2, slope = (side->at_cold - side->at_hot) / 2;
	if (!(fabs(span) > 0) || isnan(mean))
		return hot;
	/* at_hot x + slope x^2 = share mean, x the share of the way in temperature */
	double wanted = share * mean;
	double root = sqrt(fmax(0, side->at_hot * side->at_hot + 4 * slope * wanted));
	return hot - span * (2 * wanted / (side->at_hot + root));
}

/* ---- one side of one slice ---- */

/* Stated loadings may differ between the two ends; then they change along with the duty. */
static double between(const struct reading_at *hot, const struct reading_at *cold, enum gas gas, double share)
{
	return (1 - share) * hot->solution.loading[gas] + share * cold->solution.loading[gas];
}

static const char *fill_side(const struct stretch *stretch, double share, bool shown, struct slice_side *side)
{
	const struct reading_at *hot = stretch->hot, *cold = stretch->cold;
	struct solution solution;
	side->temperature = temperature_at(stretch, share);
	if (!circuit_state(hot, side->temperature, between(hot, cold, GAS_H2S, share),
		    between(hot, cold, GAS_CO2, share), &solution))
		return solution_fault_words(solution.fault);
	side->ph = solution.ph;
	side->h2s_pressure = solution.partial_pressure[GAS_H2S];
	side->h2s_aq = solution.molality[SPECIES_H2S];
	side->answer = circuit_answer(hot, &solution, shown ? side->by_age : NULL);
	double saturation = side->answer.saturation_sulfide;
	side->tendency = isinf(saturation) ? (double)NAN : log10(hot->iron / saturation);
	return NULL;
}

/* The rich solution rises in pressure drop from inlet to outlet; the stated pressures are taken linear in duty. */
static bool flashes(const struct profile_of *profile, double share, double temperature)
{
	struct solution_input input = profile->rich_out->solution.input;
	double out = profile->rich_out->pressure.quantity->si, in = profile->rich_in->pressure.quantity->si;
	input.temperature = temperature;
	for (int gas = 0; gas < GAS_COUNT; gas++)
		input.loading[gas] = between(profile->rich_out, profile->rich_in, (enum gas)gas, share);
	return phase_bubble_pressure(&terms_own, &input) > (1 - share) * out + share * in;
}

/* Every end, each with a state: what missing_of() makes sure of. */
static void fill(struct arena *arena, bool shown, struct profile_of *profile)
{
	if (!profile->lean_in || !profile->lean_out || !profile->rich_in || !profile->rich_out)
		return;
	struct slice *slices = arena_alloc(arena, EXCHANGER_NODES * sizeof *slices);
	profile->pressure_known =
		is_number(profile->rich_in->pressure.quantity) && is_number(profile->rich_out->pressure.quantity);
	const struct stretch lean = stretch_of(profile->lean_in, profile->lean_out),
			     rich = stretch_of(profile->rich_out, profile->rich_in);
	for (size_t i = 0; i < EXCHANGER_NODES && !profile->missing.reason; i++) {
		struct slice *slice = &slices[i];
		slice->duty = (double)i / EXCHANGER_SLICES;
		profile->missing.reason = fill_side(&lean, slice->duty, shown, &slice->lean);
		if (!profile->missing.reason)
			profile->missing.reason = fill_side(&rich, slice->duty, shown, &slice->rich);
		slice->wall = (slice->lean.temperature + slice->rich.temperature) / 2;
		slice->flashes =
			shown && profile->pressure_known && flashes(profile, slice->duty, slice->rich.temperature);
	}
	profile->slices = profile->missing.reason ? NULL : slices;
}

/* ---- which exchangers ---- */

static const struct reading_at *end_of(
	const struct circuit *circuit, const struct item *exchanger, int operating_case, enum side side, enum end end)
{
	for (size_t i = 0; i < circuit->reading_count; i++) {
		const struct reading_at *reading = &circuit->readings[i];
		const struct location *location = reading->location;
		if (reading->operating_case == operating_case && location->item->parent == exchanger &&
			location->side == side && location->end == end)
			return reading;
	}
	return NULL;
}

static struct missing missing_of(struct arena *arena, const struct profile_of *profile)
{
	const struct {
		const struct reading_at *reading;
		const char *what;
	} ends[] = {{profile->lean_in, "the lean inlet"}, {profile->lean_out, "the lean outlet"},
		{profile->rich_in, "the rich inlet"}, {profile->rich_out, "the rich outlet"}};
	for (size_t i = 0; i < COUNT(ends); i++) {
		if (!ends[i].reading)
			return item_lacks(arena, profile->exchanger, ends[i].what);
		if (ends[i].reading->missing.reason)
			return ends[i].reading->missing;
	}
	if (profile->lean_in->solution.input.temperature <= profile->lean_out->solution.input.temperature ||
		profile->rich_out->solution.input.temperature <= profile->rich_in->solution.input.temperature)
		return (struct missing){
			.reason = "the stated temperatures do not make the lean side cool and the rich side warm"};
	return (struct missing){.reason = NULL};
}

static bool is_lean_rich(const struct circuit *circuit, const struct item *exchanger)
{
	bool lean = false, rich = false;
	for (size_t i = 0; i < circuit->location_count; i++) {
		const struct location *location = &circuit->locations[i];
		if (location->item->parent != exchanger)
			continue;
		lean = lean || location->side == SIDE_LEAN;
		rich = rich || location->side == SIDE_RICH;
	}
	return lean && rich;
}

struct exchangers exchanger_profiles(struct arena *arena, const struct circuit *circuit, bool shown)
{
	struct exchangers all = {0};
	struct profile_of *profiles =
		arena_alloc(arena, (circuit->reading_count + 1) * sizeof *profiles); /* more than enough */
	for (size_t i = 0; i < circuit->location_count; i++) {
		const struct item *exchanger = circuit->locations[i].item->parent;
		if (!exchanger || circuit->locations[i].side != SIDE_RICH || !is_lean_rich(circuit, exchanger))
			continue;
		bool done = false;
		for (size_t k = 0; k < all.count; k++)
			done = done || profiles[k].exchanger == exchanger;
		for (size_t c = 0; c < circuit->case_count && !done; c++) {
			struct profile_of *profile = &profiles[all.count++];
			int at = circuit->cases[c];
			*profile = (struct profile_of){.exchanger = exchanger,
				.operating_case = at,
				.lean_in = end_of(circuit, exchanger, at, SIDE_LEAN, END_INLET),
				.lean_out = end_of(circuit, exchanger, at, SIDE_LEAN, END_OUTLET),
				.rich_in = end_of(circuit, exchanger, at, SIDE_RICH, END_INLET),
				.rich_out = end_of(circuit, exchanger, at, SIDE_RICH, END_OUTLET)};
			profile->missing = missing_of(arena, profile);
			if (!profile->missing.reason)
				fill(arena, shown, profile);
		}
	}
	all.profiles = profiles;
	return all;
}
