#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/gas.h"
#include "vapour_support.h"

TestSuite(vapour, .init = suite_trial_begin, .fini = suite_trial_end);

void review(const char *body)
{
	trial_review_unit(&trial, "MDEA", body);
	cr_assert_not_null(trial.table, "%s", trial_messages(&trial));
}

double number(const char *item, const char *name, const char *unit)
{
	return trial_number(&trial, item, NULL, name, unit);
}

void expect_close(double value, double wanted, double relative, const char *what)
{
	cr_expect_float_eq(value, wanted, relative * fabs(wanted), "%s: %.6g, by hand %.6g", what, value, wanted);
}

void expect_unknown(const char *item, const char *name, const char *reason)
{
	const struct quantity *value = trial_value(&trial, item, NULL, name);

	cr_assert_not_null(value, "%s of %s", name, item);
	cr_expect(value->known == UNKNOWN && strstr(value->reason, reason), "%s of %s: %s", name, item,
		value->known == UNKNOWN ? value->reason : "known");
}

double by_hand(double bar, double grams, double z, double celsius)
{
	return bar * 1e5 * grams / 1000 / (z * GAS_CONSTANT * (celsius + ZERO_CELSIUS));
}

double z_of(double methane, double h2s, double co2, double celsius, double bar)
{
	double share[COMPONENT_COUNT] = {
		[COMPONENT_METHANE] = methane, [COMPONENT_HYDROGEN_SULFIDE] = h2s, [COMPONENT_CARBON_DIOXIDE] = co2};
	struct gas_state state;

	cr_assert_eq(gas_state_of(share, celsius + ZERO_CELSIUS, bar * 1e5, &state), GAS_FINE);
	return state.compressibility;
}
