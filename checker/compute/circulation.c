#include "compute/circulation.h"

const struct short_form_row short_form_rows[SHORT_FORM_COUNT] = {
#define SHORT_FORM(code, amine, k, pick_up, what) {AMINE_##amine, k, pick_up, what},
#define PER_GPM(code, duty, surface, what)
#define POWER(code, hp, per_psi, what)
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
};

static const struct {
	double duty, surface;
} sized_rows[SIZED_COUNT] = {
#define SHORT_FORM(code, amine, k, pick_up, what)
#define PER_GPM(code, duty, surface, what) {duty, surface},
#define POWER(code, hp, per_psi, what)
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
};

static const struct {
	double power;
	bool per_psi;
} driven_rows[DRIVEN_COUNT] = {
#define SHORT_FORM(code, amine, k, pick_up, what)
#define PER_GPM(code, duty, surface, what)
#define POWER(code, hp, per_psi, what) {hp, per_psi},
#include "compute/circulation.def"
#undef SHORT_FORM
#undef PER_GPM
#undef POWER
};

double circulation_short(enum short_form form, double gas_MMscfd, double acid_gas_percent, double strength_percent)
{
	return short_form_rows[form].k * gas_MMscfd * acid_gas_percent / strength_percent;
}

bool circulation_form(enum amine amine, enum short_form *form)
{
	for (size_t i = 0; i < SHORT_FORM_COUNT; i++)
		if (short_form_rows[i].amine == amine) {
			*form = (enum short_form)i;
			return true;
		}
	return false;
}

double circulation_duty_Btu_h(enum sized what, double gpm)
{
	return sized_rows[what].duty * gpm;
}

double circulation_surface_ft2(enum sized what, double gpm)
{
	return sized_rows[what].surface * gpm;
}

double circulation_power_hp(enum driven what, double gpm, double head_psi)
{
	return driven_rows[what].power * gpm * (driven_rows[what].per_psi ? head_psi : 1);
}

double circulation_exact(double acid_gas, double pick_up, double strength, double density, double molar_mass)
{
	return acid_gas / pick_up * molar_mass / (strength * density);
}
