/*
 * Two statements that explain a contradiction equally: which of them is named first follows from the order of the rows, never from
 * the last digits of what was calculated.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "reconcile/suspects.h"

enum { HOT, COLD, UNKNOWNS, ROWS = 6 };

static struct dual the_unknown(const struct dual *u, const void *data)
{
	return u[*(const size_t *)data];
}

static struct dual difference(const struct dual *u, const void *data)
{
	(void)data;
	return dual_less(u[HOT], u[COLD]);
}

/* Nothing but their difference tests the two temperatures, and it is stated four times. */
static struct fit *two_ends(struct arena *arena, double hot, double cold)
{
	static const size_t all[] = {HOT, COLD};
	struct fit *fit = fit_new(arena);

	for (size_t i = 0; i < UNKNOWNS; i++)
		fit_add_unknown(fit, (struct fit_unknown){.start = 300, .prior = 1e7, .step = 1e7});
	for (size_t i = 0; i < ROWS; i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_STATEMENT,
				.stated = i == HOT  ? hot
					: i == COLD ? cold
						    : 10,
				.sigma = 1,
				.value = i < UNKNOWNS ? the_unknown : difference,
				.data = i < UNKNOWNS ? &all[i] : NULL,
				.unknowns = i < UNKNOWNS ? &all[i] : all,
				.count = i < UNKNOWNS ? 1 : UNKNOWNS,
				.group = i});
	return fit;
}

Test(suspects, of_equals_the_order_of_rows_decides)
{
	static const double gaps[] = {
		8, 40}; /* by which the difference is missed; from 10 on solved again without each */

	for (size_t g = 0; g < 2; g++)
		for (int nudge = -3; nudge <= 3; nudge++) {
			struct arena arena = {0};
			double hot = (340 + gaps[g]) * (1 + nudge * 1e-15), cold = 330;
			struct fit *fit = two_ends(&arena, hot, cold);
			struct suspects suspects = suspects_find(&arena, fit);

			cr_assert_eq(suspects.found_count, 1);
			const struct suspect *found = &suspects.found[0];
			cr_expect_eq(found->row, COLD, "gap %g, nudge %d", gaps[g], nudge);
			cr_assert_eq(found->member_count, 2);
			cr_expect_eq(found->members[1].row, HOT);
			cr_expect_float_eq(fabs(found->members[0].bias), fabs(found->members[1].bias), 1e-6 * gaps[g]);
			arena_release(&arena);
		}
}
