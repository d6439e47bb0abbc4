#include "reconcile/wrong.h"

#include <math.h>
#include <string.h>

#include "compute/apart.h"

static const double within = 2.4; /* of what the bias is uncertain by; set on simulated packages (tests/circuits) */
static const double least_bias = 0.04;	 /* ln: nearer than that no factor of slips.def stands apart from none at all */
static const double atmosphere = 101325; /* Pa */

struct nearest {
	const char *words;
	double distance;
};

static void hold(struct nearest *nearest, double distance, const char *words)
{
	if (fabs(distance) < nearest->distance)
		*nearest = (struct nearest){words, fabs(distance)};
}

/* Which sorts of slip may befall a value of this kind. */
static bool may_befall(enum slip_sort sort, enum kind kind)
{
	bool flow =
		kind == KIND_MASS_FLOW || kind == KIND_LIQUID_FLOW || kind == KIND_GAS_FLOW || kind == KIND_MOLAR_FLOW;

	switch (sort) {
	case SLIP_LIQUID:
		return kind == KIND_LIQUID_FLOW;
	case SLIP_GAS:
		return kind == KIND_GAS_FLOW || kind == KIND_MOLAR_FLOW;
	case SLIP_UNIT:
		return flow || kind == KIND_POWER;
	case SLIP_HEAT:
		return kind == KIND_POWER || kind == KIND_PRESSURE;
	default:
		return kind != KIND_TEMPERATURE;
	}
}

static void try_factors(const struct wrong *wrong, struct nearest *nearest)
{
	enum kind kind = wrong->stated->statement->quantity->kind;

	for (size_t i = 0; i < slip_count(); i++) {
		const struct slip *slip = slip_row(i);
		if (!may_befall(slip->sort, kind))
			continue;
		hold(nearest, wrong->bias - log(slip->factor), slip->what);
		hold(nearest, wrong->bias + log(slip->factor), slip->what);
	}
}

/* Gauge taken for absolute, and the reverse. */
static void try_gauge(const struct wrong *wrong, struct nearest *nearest)
{
	const struct quantity *quantity = wrong->stated->statement->quantity;
	double closing = exp(wrong->stated->metric - wrong->bias);

	if (quantity->kind != KIND_PRESSURE)
		return;
	hold(nearest, log((closing + atmosphere) / quantity->si), "an absolute pressure read as gauge");
	if (closing > atmosphere)
		hold(nearest, log((closing - atmosphere) / quantity->si), "a gauge pressure read as absolute");
}

static void try_fahrenheit(const struct wrong *wrong, struct nearest *nearest)
{
	const double zero = 273.15, step = 1.8, ice = 32;
	double closing = wrong->stated->metric - wrong->bias - zero, stated = wrong->stated->metric - zero;

	if (wrong->stated->statement->quantity->kind != KIND_TEMPERATURE)
		return;
	hold(nearest, stated - (step * closing + ice), "degrees Fahrenheit read as Celsius");
	hold(nearest, stated - (closing - ice) / step, "degrees Celsius read as Fahrenheit");
}

/* What the same item states for another case; a value equal to the one that is wrong leads nowhere. */
static void try_other_cases(struct arena *arena, const struct wrong *wrong, struct nearest *nearest)
{
	const struct stated *stated = wrong->stated;
	size_t count;
	const struct statement *all = table_statements(wrong->table, &count), *own = stated->statement;

	for (size_t i = 0; i < count; i++) {
		const struct quantity *other = all[i].quantity;
		if (all[i].item != own->item || strcmp(all[i].name, own->name) != 0 || other->known != STATED ||
			other->kind != own->quantity->kind || all[i].operating_case == own->operating_case ||
			!(other->si > 0))
			continue;
		int operating_case = all[i].operating_case == EVERY_CASE ? 0 : all[i].operating_case;
		double metric = stated->linear ? other->si : log(other->si);
		if (metric != stated->metric)
			continue;
		hold(nearest, 0,
			arena_format(arena, "the value of case %s", table_case(wrong->table, operating_case)->id));
	}
}

const char *wrong_slip(struct arena *arena, const struct wrong *wrong)
{
	struct nearest nearest = {NULL, within * wrong->sigma};

	if (!wrong->stated->linear && fabs(wrong->bias) < fmax(least_bias, nearest.distance))
		return NULL;
	if (wrong->stated->linear && fabs(wrong->bias) < nearest.distance)
		return NULL;
	if (!wrong->stated->linear)
		try_factors(wrong, &nearest);
	try_gauge(wrong, &nearest);
	try_fahrenheit(wrong, &nearest);
	try_other_cases(arena, wrong, &nearest);
	return nearest.words;
}
