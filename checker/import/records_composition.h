/* What a stream of a sheet is made of, as far as the sheet gives it, and of how much in all. */
#ifndef LEANRICH_IMPORT_RECORDS_COMPOSITION_H
#define LEANRICH_IMPORT_RECORDS_COMPOSITION_H

#include "import/records.h"
#include "quantity/quantity.h"

/* So much may two figures of a sheet differ by their rounding: common practice, no source. */
#define AGREES 0.03

enum basis { BASIS_NONE, BASIS_MOLES, BASIS_MASS };

struct composition {
	double amine, water, h2s, co2; /* moles (or mass, of shares of mass) as the sheet counts them */
	double gases;		       /* moles of what only a gas holds much of */
	double sum;		       /* of all components in this unit */
	double mass;		       /* the same by mass */
	const char *unit;
	enum basis basis;
	bool any, known; /* known: each component's molar mass */
};

/* kg/mol of what streams are made of, by the attribute of a gas; NaN: none. */
double component_molar_mass(const char *field);

/* Is the unit (NULL: none) one of moles or of mass, and is it of shares? */
enum basis component_basis(const char *unit);
bool component_is_share(const char *unit);

bool component_is(const struct field_column *column);
const char *component_unit(const struct field_column *column);
bool component_is_dash(const char *text);

/* The number of a cell in the unit of its column, NaN when it is none; a dash is nothing of it. */
double component_amount(const struct record *record, const struct field_column *column);

/* The components in the first unit in which any is given; `amine_mass`: kg/mol of the amine. */
struct composition composition_first(const struct record *record, double amine_mass);

/* Do the shares that a sheet gives make up a whole? A part of them says nothing of the mass of the rest. */
bool composition_is_whole(const struct composition *all);

/* mol/s or kg/s of one of the unit; NaN: it is no unit of such flows. */
double composition_flow_unit(enum kind kind, const char *unit);

/*
 * What flows in all in the case of a column (NULL: in that of the record), as the sheet states it, in mol/s or kg/s;
 * NaN: it does not, or says two things.
 */
double composition_stated_flow(const struct record *record, enum kind kind, const char *of_case);

/*
 * The moles of the whole stream in the unit of the components' flows: as the sheet states them in any unit, or the
 * sum of the components where they make up the mass that it states. The sum of some says nothing of the whole: NaN.
 */
double composition_moles(const struct record *record, const struct composition *all, const char *of_case);

#endif
