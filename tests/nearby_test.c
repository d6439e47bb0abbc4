/* States started from the slopes of one nearby, and what is left out where a salt is absent: the answer stays. */
#include <criterion/criterion.h>
#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/nearby.h"
#include "solution_states.h"

static void same_state(const struct solution *a, const struct solution *b, double relative)
{
	cr_assert_eq(a->fault, b->fault);
	cr_expect(close_to(a->ph, b->ph, relative), "pH %.15g and %.15g", a->ph, b->ph);
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		cr_expect(close_to(a->molality[i], b->molality[i], relative), "%zu: %.15g and %.15g", i, a->molality[i],
			b->molality[i]);
}

Test(nearby, a_state_is_the_same_from_any_start)
{
	static const double strength[] = {0.15, 0.5}, celsius[] = {30, 130};
	const struct offset usual = {5, {0.005, 0.01}};
	uint64_t seed = 11;
	int compared = 0;

	for (int turn = 0; turn < 200; turn++) {
		const struct solution_input input = draw_state(&seed, strength, celsius, 0.5, 0.9);
		struct solution at, straight, started;
		struct nearby nearby;

		if (!solution_solve(&terms_own, &input, &at))
			continue;
		nearby_open(&nearby, &terms_own, &at, usual);
		for (int k = 0; k < 5; k++) {
			const struct offset offset = {
				draw(&seed, -20, 20), {draw(&seed, -0.02, 0.02), draw(&seed, -0.2, 0.2)}};
			struct solution_input there = input;

			there.temperature += offset.temperature;
			for (int gas = 0; gas < GAS_COUNT; gas++)
				there.loading[gas] = fmax(0, there.loading[gas] + offset.loading[gas]);
			solution_solve(&terms_own, &there, &straight);
			nearby_solve(&nearby, offset, &started);
			same_state(&straight, &started, 1e-9);
			compared++;
		}
	}
	cr_expect(compared > 900, "%d", compared);
}

/* The slopes are worth their name: within the usual offsets fewer steps are needed than from the first start. */
Test(nearby, the_slopes_spare_steps)
{
	const struct solution_input input = state(AMINE_MDEA, 0.45, 115, 0.004, 0.006);
	const struct offset usual = {2, {0.0005, 0.0008}}, half = {1, {0.00025, 0.0004}};
	struct solution at, there;
	struct nearby nearby, without;

	cr_assert(solution_solve(&terms_own, &input, &at));
	nearby_open(&nearby, &terms_own, &at, usual);
	nearby_open(&without, &terms_own, &at, (struct offset){0});
	cr_assert(nearby_solve(&nearby, half, &there));
	int by_slopes = there.iterations;
	cr_assert(nearby_solve(&without, half, &there));
	cr_expect(by_slopes < there.iterations, "%d and %d", by_slopes, there.iterations);
}

Test(nearby, a_gas_that_was_absent_and_what_is_out_of_the_domain)
{
	const struct solution_input input = state(AMINE_MDEA, 0.45, 115, 0, 0.006);
	struct solution_input there = input;
	struct solution at, straight, started;
	struct nearby nearby;

	cr_assert(solution_solve(&terms_own, &input, &at));
	nearby_open(&nearby, &terms_own, &at, (struct offset){2, {0.001, 0.001}});
	there.loading[GAS_H2S] = 0.002;
	cr_assert(solution_solve(&terms_own, &there, &straight));
	cr_assert(nearby_solve(&nearby, (struct offset){0, {0.002, 0}}, &started));
	same_state(&straight, &started, 1e-9);
	cr_expect_not(nearby_solve(&nearby, (struct offset){.temperature = 100}, &started));
	cr_expect_eq(started.fault, SOLUTION_TEMPERATURE_RANGE);
	cr_expect(isnan(started.ph));
	cr_expect_not(nearby_solve(&nearby, (struct offset){.temperature = (double)NAN}, &started));
	cr_expect_eq(started.fault, SOLUTION_TEMPERATURE_RANGE);
}

/* A chord gives the answer or says that it has none, from wherever it starts and by whatever inverse. */
Test(nearby, a_chord_gives_the_answer_or_none)
{
	const struct solution_input input = state(AMINE_MDEA, 0.45, 115, 0.004, 0.006);
	const struct solution_input other = state(AMINE_MDEA, 0.45, 40, 0.3, 0.1);
	struct solution at, away, there;
	struct equilibrium_inverse own, far;
	uint64_t seed = 5;
	int solved = 0, left = 0;

	cr_assert(solution_solve(&terms_own, &input, &at));
	cr_assert(solution_solve(&terms_own, &other, &away));
	cr_assert(solution_inverse(&terms_own, &at, &own));
	cr_assert(solution_inverse(&terms_own, &away, &far));
	for (int turn = 0; turn < 400; turn++) {
		double x[SPECIES_COUNT], width = turn % 4 ? 0.02 : 3;

		for (size_t i = 0; i < SPECIES_COUNT; i++)
			x[i] = at.molality[i] > 0 ? log(at.molality[i]) + draw(&seed, -width, width) : 0;
		if (!solution_chord(&terms_own, &input, turn % 2 ? &own : &far, x, &there)) {
			left++;
			continue;
		}
		same_state(&at, &there, 1e-9);
		solved++;
	}
	cr_expect(solved > 150 && left > 50, "%d and %d", solved, left);
}

Test(nearby, an_inverse_of_other_species_and_of_no_answer_is_refused)
{
	const struct solution_input both = state(AMINE_MDEA, 0.45, 115, 0.004, 0.006);
	const struct solution_input carbon = state(AMINE_MDEA, 0.45, 115, 0, 0.006);
	const struct solution_input hot = state(AMINE_MDEA, 0.45, 400, 0.004, 0.006);
	struct solution at, there;
	struct equilibrium_inverse own;
	double x[SPECIES_COUNT] = {0};

	cr_assert(solution_solve(&terms_own, &both, &at));
	cr_assert(solution_inverse(&terms_own, &at, &own));
	cr_expect_not(solution_chord(&terms_own, &carbon, &own, x, &there));
	cr_expect_not(solution_chord(&terms_own, &hot, &own, x, &there));
	cr_expect_eq(there.fault, SOLUTION_TEMPERATURE_RANGE);
	cr_expect_not(solution_solve(&terms_own, &hot, &there));
	cr_expect_not(solution_inverse(&terms_own, &there, &own));
}

/* Pairs of an absent salt are left out: the same as with a trace of it, for each set that can be absent. */
Test(nearby, an_absent_salt_is_the_limit_of_a_trace)
{
	static const double trace = 1e-30;

	for (int set = 1; set < 8; set++) {
		struct solution_input some = state(AMINE_MDEA, 0.45, 110, 0.01, 0.02), all;
		struct solution without, with;

		some.anion[0] = set & 1 ? 0.03 : 0;
		some.anion[1] = set & 2 ? 0.02 : 0;
		some.cation = set & 4 ? 0.025 : 0;
		all = some;
		all.anion[0] += trace;
		all.anion[1] += trace;
		all.cation += trace;
		cr_assert(solution_solve(&terms_own, &some, &without));
		cr_assert(solution_solve(&terms_own, &all, &with));
		cr_expect(close_to(without.ph, with.ph, 1e-12), "%d: %.15g and %.15g", set, without.ph, with.ph);
		for (int gas = 0; gas < GAS_COUNT; gas++)
			cr_expect(
				close_to(without.partial_pressure[gas], with.partial_pressure[gas], 1e-10), "%d", set);
	}
}
