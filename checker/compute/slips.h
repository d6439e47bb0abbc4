/*
 * The slips of unit, gauge, basis and digits that would explain two figures for one thing: slips.def lists them.
 *
 * A slip is named when it brings the two within 4 % of each other, or within their uncertainty where that is less, and only
 * where they are more than 5 % apart. Two slips together are tried where no single one fits, at 1 %: one of units and one of
 * count or digits, or one of basis and one of digits, since among more pairs than those some pair fits any two numbers.
 */
#ifndef LEANRICH_SLIPS_H
#define LEANRICH_SLIPS_H

#include "base/arena.h"
#include "quantity/quantity.h"

enum slip_kind { SLIP_UNIT, SLIP_HEAT, SLIP_LIQUID, SLIP_GAS, SLIP_DIGITS, SLIP_COUNT, SLIP_PRESSURE, SLIP_RATED };

struct slip {
	double factor; /* below 1 */
	enum slip_kind kind;
	const char *what;
};

/* What a figure reads: factor times the true one, offset (SI) and so many barometric pressures more. */
struct shift {
	enum kind kind;
	double factor, offset, airs;
	const char *what;
};

/* Factors that follow from the state where a value stands. */
enum slip_basis_factor { SLIP_BASIS_MASS_SHARE, SLIP_BASIS_STRENGTH, SLIP_BASIS_GAS_VOLUME, SLIP_BASES };

struct slip_basis {
	enum kind kind;
	enum slip_basis_factor factor;
	const char *what;
};

/* Where a value stands: basis.h fills it in. */
struct slip_site {
	double barometric;	  /* Pa */
	double basis[SLIP_BASES]; /* factor or its reciprocal; NaN: not known, or none of this value */
};

/* Without a factor of basis. */
struct slip_site slip_site_of(double barometric);

size_t slip_count(void);
const struct slip *slip_row(size_t i);
size_t shift_count(void);
const struct shift *shift_row(size_t i);
size_t slip_basis_count(void);
const struct slip_basis *slip_basis_row(size_t i);

/* What is there where `true_one` was meant, SI; `barometric`: Pa. */
double shift_reads(const struct shift *shift, double true_one, double barometric);

/* Are two figures whose ratio this is the same for a slip's purposes; are they apart enough to look for one? */
bool slip_closes(double ratio);
bool slip_wanted(double ratio);

/* The slip of flows, duties or digits that makes `ratio` (the one figure over the other) 1, or NULL: none does, or they agree. */
const struct slip *slip_find(double ratio);

/*
 * The words of the slip, or of the two slips, that turn one figure of a kind into another, SI; NULL: none does. `relative`: how far
 * the two may differ for other reasons, as a share. Flows of liquid and gas by whatever kind: `sorts` says what may befall
 * them, bits of 1 << SLIP_...
 */
const char *slip_between(struct arena *arena, enum kind kind, unsigned sorts, double a, double b, double relative,
	const struct slip_site *site);

/* The slips that may befall a quantity of this kind: a flow of gas where `gas`, else of liquid. */
unsigned slips_of_kind(enum kind kind, bool gas);

#endif
