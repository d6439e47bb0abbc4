#include "reconcile/wrong.h"

#include <math.h>
#include <string.h>

#include "compute/basis.h"

static const double within = 2.4; /* of what the bias is uncertain by; set on simulated packages (tests/circuits) */
static const double least_bias =
	0.04; /* ln: nearer than that no factor of slips.def is shown separately from none at all */

static const double of_factor = 0.05; /* ln: what a factor that follows from density or molar mass is uncertain by */

struct nearest {
	const char *words;
	double distance;
};

static void hold(struct nearest *nearest, double distance, const char *words)
{
	if (fabs(distance) < nearest->distance)
		*nearest = (struct nearest){words, fabs(distance)};
}

/* The sorts of slip that may befall a value, bits of 1 << SLIP_...; a rated figure is near the normal one, and no slip. */
static unsigned sorts_of(const struct wrong *wrong)
{
	enum kind kind = wrong->stated->statement->quantity->kind;
	bool gas = kind == KIND_GAS_FLOW || kind == KIND_MOLAR_FLOW;

	return slips_of_kind(kind, gas) & ~(1U << SLIP_RATED);
}

static void try_factors(const struct wrong *wrong, struct nearest *nearest)
{
	unsigned sorts = sorts_of(wrong);

	for (size_t i = 0; i < slip_count(); i++) {
		const struct slip *slip = slip_row(i);
		if (!(sorts >> slip->kind & 1))
			continue;
		hold(nearest, wrong->bias - log(slip->factor), slip->what);
		hold(nearest, wrong->bias + log(slip->factor), slip->what);
	}
}

/* By mass for by moles, m3 of gas for moles: the factor is of the item. */
static void try_bases(const struct wrong *wrong, const struct slip_site *site, struct nearest *nearest)
{
	const struct statement *statement = wrong->stated->statement;

	for (size_t i = 0; i < slip_basis_count(); i++) {
		const struct slip_basis *basis = slip_basis_row(i);
		double factor = site->basis[basis->factor];
		if (basis->kind != statement->quantity->kind || !(factor > 0) || fabs(log(factor)) < least_bias)
			continue;
		double share = fmin(1, within * wrong->sigma / of_factor);
		hold(nearest, share * (wrong->bias - log(factor)), basis->what);
		hold(nearest, share * (wrong->bias + log(factor)), basis->what);
	}
}

static double metric_of(const struct wrong *wrong, double si)
{
	return wrong->stated->linear ? si : log(si);
}

/* Gauge taken for absolute, Fahrenheit for Celsius, and the reverse. */
static void try_shifts(const struct wrong *wrong, const struct slip_site *site, struct nearest *nearest)
{
	const struct stated *stated = wrong->stated;
	double closing = stated_si(stated, stated->metric - wrong->bias), read = stated_si(stated, stated->metric);

	for (size_t i = 0; i < shift_count(); i++) {
		const struct shift *shift = shift_row(i);
		if (shift->kind != stated->statement->quantity->kind)
			continue;
		double there = shift_reads(shift, closing, site->barometric),
		       back = shift_reads(shift, read, site->barometric);
		if (there > 0)
			hold(nearest, metric_of(wrong, there) - metric_of(wrong, read), shift->what);
		if (back > 0)
			hold(nearest, metric_of(wrong, back) - metric_of(wrong, closing), shift->what);
	}
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
	const struct statement *statement = wrong->stated->statement;
	struct slip_site site = basis_at(wrong->table, statement->item, wrong->operating_case, statement->name);
	if (!wrong->stated->linear) {
		try_factors(wrong, &nearest);
		try_bases(wrong, &site, &nearest);
	}
	try_shifts(wrong, &site, &nearest);
	try_other_cases(arena, wrong, &nearest);
	return nearest.words;
}
