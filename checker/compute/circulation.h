/*
 * How much solution an acid gas rate asks for: exactly, and by the short form of the gas processors' data book.
 *
 * The exact form is in SI; the short forms keep the units of the book, which their coefficients are made for
 * (circulation.def). They give the first size of a unit: starting points, never a limit.
 */
#ifndef LEANRICH_CIRCULATION_H
#define LEANRICH_CIRCULATION_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/species.h"

enum short_form {
#define SHORT_FORM(code, amine, k, pick_up, what) SHORT_FORM_##code,
#define PER_GPM(code, duty, surface, what)
#define POWER(code, hp, per_psi, what)
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
	SHORT_FORM_COUNT
};

enum sized {
#define SHORT_FORM(code, amine, k, pick_up, what)
#define PER_GPM(code, duty, surface, what) SIZED_##code,
#define POWER(code, hp, per_psi, what)
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
	SIZED_COUNT
};

enum driven {
#define SHORT_FORM(code, amine, k, pick_up, what)
#define PER_GPM(code, duty, surface, what)
#define POWER(code, hp, per_psi, what) DRIVEN_##code,
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
	DRIVEN_COUNT
};

struct short_form_row {
	enum amine amine;
	double k, pick_up; /* gpm wt%/(MMscfd mol%); mol/mol */
	const char *what;
};

extern const struct short_form_row short_form_rows[SHORT_FORM_COUNT];

/* US gpm from MMscfd of gas, mol% of acid gas taken out of it and wt% of amine. */
double circulation_short(enum short_form form, double gas_MMscfd, double acid_gas_percent, double strength_percent);

/* The customary form of an amine; false for amines the book gives none for. */
bool circulation_form(enum amine amine, enum short_form *form);

/* Equipment for a circulation in US gpm: duty in Btu/h, surface in ft2, power in hp (the main pumps by psi of head). */
double circulation_duty_Btu_h(enum sized what, double gpm);
double circulation_surface_ft2(enum sized what, double gpm);
double circulation_power_hp(enum driven what, double gpm, double head_psi);

/* m3/s of solution for mol/s of acid gas: pick-up in mol/mol, strength kg/kg, density kg/m3, molar mass kg/mol. */
double circulation_exact(double acid_gas, double pick_up, double strength, double density, double molar_mass);

#endif
