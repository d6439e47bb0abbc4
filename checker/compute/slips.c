#include "compute/slips.h"

#include <math.h>
#include <string.h>

#include "base/count.h"

static const struct slip slips[] = {
#define SLIP(factor, kind, what) {factor, SLIP_##kind, what},
#define SHIFT(kind, factor, offset, airs, what)
#define BASIS(kind, factor, what)
#include "compute/slips.def"
#undef SLIP
#undef SHIFT
#undef BASIS
};

static const struct shift shifts[] = {
#define SLIP(factor, kind, what)
#define SHIFT(kind, factor, offset, airs, what) {KIND_##kind, factor, offset, airs, what},
#define BASIS(kind, factor, what)
#include "compute/slips.def"
#undef SLIP
#undef SHIFT
#undef BASIS
};

static const struct slip_basis bases[] = {
#define SLIP(factor, kind, what)
#define SHIFT(kind, factor, offset, airs, what)
#define BASIS(kind, factor, what) {KIND_##kind, SLIP_BASIS_##factor, what},
#include "compute/slips.def"
#undef SLIP
#undef SHIFT
#undef BASIS
};

/*
 * How near to one a ratio must come for a slip to be named, how near for two together, and from where on there is something to
 * explain; a temperature that differs by a slip comes out to the rounding of its digits, K.
 */
static const double CLOSE = 0.04, CLOSE_OF_TWO = 0.01, WORTH_EXPLAINING = 0.05, CLOSE_K = 1;

/* Factors above this, or pairs whose product is, are hardly told from a plain difference. */
static const double NEAR_ONE = 0.8;

size_t slip_count(void)
{
	return COUNT(slips);
}

const struct slip *slip_row(size_t i)
{
	return &slips[i];
}

size_t shift_count(void)
{
	return COUNT(shifts);
}

const struct shift *shift_row(size_t i)
{
	return &shifts[i];
}

size_t slip_basis_count(void)
{
	return COUNT(bases);
}

const struct slip_basis *slip_basis_row(size_t i)
{
	return &bases[i];
}

struct slip_site slip_site_of(double barometric)
{
	struct slip_site site = {.barometric = barometric};

	for (size_t i = 0; i < SLIP_BASES; i++)
		site.basis[i] = (double)NAN;
	return site;
}

double shift_reads(const struct shift *shift, double true_one, double barometric)
{
	return shift->factor * true_one + shift->offset + shift->airs * barometric;
}

bool slip_closes(double ratio)
{
	return ratio > 0 && fabs(log(ratio)) < CLOSE;
}

bool slip_wanted(double ratio)
{
	return isfinite(ratio) && !(ratio > 0 && fabs(log(ratio)) < WORTH_EXPLAINING);
}

/* How far the ratio is from the factor of the slip, or from its reciprocal, in ln. */
static double off(double ratio, const struct slip *slip)
{
	return fmin(fabs(log(ratio / slip->factor)), fabs(log(ratio * slip->factor)));
}

/* A factor near one is told from a plain difference only where it fits closely. */
static double close_to(const struct slip *slip, double close)
{
	return slip->factor > NEAR_ONE ? fmin(close, CLOSE_OF_TWO) : close;
}

static const struct slip *nearest(double ratio, unsigned sorts, double close)
{
	const struct slip *found = NULL;

	for (size_t i = 0; ratio > 0 && i < slip_count(); i++)
		if ((sorts >> slips[i].kind & 1) && off(ratio, &slips[i]) < close_to(&slips[i], close)) {
			close = off(ratio, &slips[i]);
			found = &slips[i];
		}
	return found;
}

const struct slip *slip_find(double ratio)
{
	return slip_wanted(ratio) ? nearest(ratio, ~(1U << SLIP_PRESSURE | 1U << SLIP_RATED), CLOSE) : NULL;
}

unsigned slips_of_kind(enum kind kind, bool gas)
{
	const unsigned any = 1U << SLIP_DIGITS;

	switch (kind) {
	case KIND_MASS_FLOW:
	case KIND_LIQUID_FLOW:
	case KIND_MOLAR_FLOW:
	case KIND_GAS_FLOW:
		return any | 1U << SLIP_UNIT | 1U << SLIP_COUNT | 1U << SLIP_RATED |
			(gas ? 1U << SLIP_GAS : 1U << SLIP_LIQUID);
	case KIND_POWER:
		return any | 1U << SLIP_UNIT | 1U << SLIP_COUNT | 1U << SLIP_RATED | 1U << SLIP_HEAT;
	case KIND_PRESSURE:
		return any | 1U << SLIP_PRESSURE;
	case KIND_TEMPERATURE:
		return 0;
	default:
		return any;
	}
}

/* The one of units that, together with one of count or digits, makes the ratio 1. */
static const struct slip *pair(double ratio, unsigned sorts, const struct slip **second)
{
	const unsigned of_count = 1U << SLIP_COUNT | 1U << SLIP_DIGITS;
	const unsigned of_units = sorts & ~(of_count | 1U << SLIP_RATED);

	for (size_t i = 0; ratio > 0 && fabs(log(ratio)) > -log(NEAR_ONE) && i < slip_count(); i++)
		for (int up = 0; up < 2 && of_units >> slips[i].kind & 1; up++) {
			*second = nearest(
				ratio * (up ? slips[i].factor : 1 / slips[i].factor), sorts & of_count, CLOSE_OF_TWO);
			if (*second)
				return &slips[i];
		}
	return NULL;
}

static bool is_shifted(const struct shift *shift, double true_one, double read, double relative, double barometric)
{
	double expected = shift_reads(shift, true_one, barometric);
	double allowed = shift->kind == KIND_TEMPERATURE ? CLOSE_K : fmax(relative, CLOSE_OF_TWO) * fabs(expected);

	return expected > 0 && fabs(read - expected) <= allowed;
}

static const char *shift_between(enum kind kind, double a, double b, double relative, double barometric)
{
	for (size_t i = 0; i < shift_count(); i++)
		if (shifts[i].kind == kind &&
			(is_shifted(&shifts[i], a, b, relative, barometric) ||
				is_shifted(&shifts[i], b, a, relative, barometric)))
			return shifts[i].what;
	return NULL;
}

/* The nearest slip of basis: alone, or where `second` is asked for together with one of digits. */
static const struct slip_basis *basis_between(
	enum kind kind, double ratio, double close, const struct slip_site *site, const struct slip **second)
{
	const struct slip_basis *found = NULL;

	for (size_t i = 0; ratio > 0 && i < COUNT(bases); i++) {
		double factor = bases[i].kind == kind ? site->basis[bases[i].factor] : (double)NAN;
		for (int up = 0; up < 2 && factor > 0 && fabs(log(factor)) > WORTH_EXPLAINING; up++) {
			double left = ratio * (up ? factor : 1 / factor);
			const struct slip *digits = second ? nearest(left, 1U << SLIP_DIGITS, CLOSE_OF_TWO) : NULL;
			if (second ? digits != NULL : fabs(log(left)) < close) {
				close = fabs(log(left));
				found = &bases[i];
				if (second)
					*second = digits;
			}
		}
	}
	return found;
}

/* The words of one slip, or of two together where no single one fits. */
static const char *factor_between(
	struct arena *arena, enum kind kind, unsigned sorts, double ratio, double close, const struct slip_site *site)
{
	const struct slip *second = NULL, *one = nearest(ratio, sorts, close);
	const struct slip_basis *basis = basis_between(kind, ratio, close, site, NULL);

	if (one || basis)
		return one ? one->what : basis->what;
	one = pair(ratio, sorts, &second);
	if (!one)
		basis = basis_between(kind, ratio, close, site, &second);
	const char *first = one ? one->what : basis ? basis->what : NULL;
	return first && second ? arena_format(arena, "%s, and %s", first, second->what) : NULL;
}

const char *slip_between(struct arena *arena, enum kind kind, unsigned sorts, double a, double b, double relative,
	const struct slip_site *site)
{
	const char *shift = shift_between(kind, a, b, relative, site->barometric);
	double ratio = a / b;

	if (shift)
		return shift;
	if (kind != KIND_PRESSURE ? !slip_wanted(ratio) : !(a > 0 && b > 0 && fabs(log(ratio)) > CLOSE_OF_TWO))
		return NULL;
	double close = kind == KIND_PRESSURE ? CLOSE_OF_TWO : fmin(CLOSE, fmax(CLOSE_OF_TWO, relative));
	return factor_between(arena, kind, sorts, ratio, close, site);
}
