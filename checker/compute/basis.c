#include "compute/basis.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/species.h"
#include "compute/agreement.h"
#include "compute/solvent.h"

static const double normal_temperature = 273.15, normal_pressure = 101325;
static const double usual_density = 1020; /* of amine solutions, to 5 %: a slip of a factor of 100 is known by less */

static double number_of(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct quantity *quantity = item ? table_peek(table, item, operating_case, name) : NULL;

	return quantity && quantity->known != UNKNOWN ? quantity->si : (double)NAN;
}

static bool amine_of(const struct table *table, const struct item *solvent, enum amine *amine)
{
	const struct quantity *word = solvent ? table_peek(table, solvent, EVERY_CASE, "amine") : NULL;

	return !solvent_blended_with(table) && word && word->known != UNKNOWN && word->word &&
		amine_find(word->word, amine);
}

static double strength_of(const struct table *table, int operating_case)
{
	const struct item *solvent = table_sole(table, "solvent");
	enum amine amine;

	return amine_of(table, solvent, &amine)
		? solvent_mass_fraction(table_peek(table, solvent, operating_case, "strength"), amine)
		: (double)NAN;
}

/* Molar mass of the gas over that of the content. */
static double mass_share(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	bool h2s = strcmp(name, "h2s") == 0;

	if (!item_is(item, "gas") || (!h2s && strcmp(name, "co2") != 0))
		return (double)NAN;
	return number_of(table, item, operating_case, "molar-mass") / (h2s ? MOLAR_MASS_H2S : MOLAR_MASS_CO2);
}

double basis_gas_volume(double strength, double density, double molar_mass)
{
	return strength * density / molar_mass * GAS_CONSTANT * normal_temperature / normal_pressure;
}

/* A density that is calculated rests on the loading that may be wrong: the stated one, or the usual. */
static double gas_volume(const struct table *table, const struct item *item, int operating_case)
{
	const struct quantity *stated = table_stated(table, item, operating_case, "density");
	double density = stated && is_number(stated) ? stated->si : usual_density;
	enum amine amine;

	if (!item_is(item, "stream") || !amine_of(table, table_sole(table, "solvent"), &amine))
		return (double)NAN;
	return basis_gas_volume(strength_of(table, operating_case), density, amine_rows[amine].molar_mass);
}

struct slip_site basis_at(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	struct slip_site site = slip_site_of(agreement_barometric(table));

	operating_case = operating_case == EVERY_CASE ? 0 : operating_case;
	bool salts = (item_is(item, "solvent") && strcmp(name, "strength") != 0) || item_is(item, "anion");

	site.basis[SLIP_BASIS_MASS_SHARE] = mass_share(table, item, operating_case, name);
	site.basis[SLIP_BASIS_STRENGTH] = salts ? strength_of(table, operating_case) : (double)NAN;
	site.basis[SLIP_BASIS_GAS_VOLUME] = gas_volume(table, item, operating_case);
	return site;
}
