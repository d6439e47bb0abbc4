#include "compute/no_data.h"

#include <string.h>

#include "base/count.h"
#include "chemistry/species.h"
#include "compute/formula.h"
#include "compute/solvent.h"

/* Formulas whose figures are those of the equilibrium or of the heats that follow from it. */
static const enum formula_code by_chemistry[] = {FORMULA_EXPECTED_SCALE, FORMULA_SIDERITE_IRON, FORMULA_FILM_WINDOW,
	FORMULA_OVER_SPECIFICATION, FORMULA_BUBBLE_PRESSURE, FORMULA_FLASH, FORMULA_FLASH_DOWNSTREAM,
	FORMULA_MIXTURE_DENSITY, FORMULA_FLASHED_LIQUID_DENSITY, FORMULA_FLASH_STARTS, FORMULA_EXCHANGER_DUTY,
	FORMULA_BOILING, FORMULA_DUTY_SENSIBLE, FORMULA_DUTY_DESORPTION, FORMULA_DUTY_ASKED, FORMULA_COLUMN,
	FORMULA_OVER_LEAN, FORMULA_EFFECT_OF_SALTS, FORMULA_EQUILIBRIUM_LOADING, FORMULA_BOTTOM_BY_HEAT};

bool no_data_reaches(const struct quantity *quantity)
{
	if (!quantity || quantity->known != COMPUTED)
		return false;
	for (size_t i = 0; i < COUNT(by_chemistry); i++)
		if (quantity->formula == &formulas[by_chemistry[i]])
			return true;
	for (size_t i = 0; i < quantity->input_count; i++)
		if (no_data_reaches(quantity->inputs[i].quantity))
			return true;
	return false;
}

const char *no_data_of(struct arena *arena, const struct table *table)
{
	const struct scene scene = {.table = table, .operating_case = EVERY_CASE};
	const struct item *solvent = table_sole(table, "solvent");
	const char *second = solvent_blended_with(table);
	enum amine amine;

	if (!solvent || !solvent_amine(&scene, &amine))
		return NULL;
	if (solvent_activated(&scene))
		return arena_format(arena, "no measured data of activated %s were read", amine_rows[amine].name);
	if (second)
		return arena_format(arena,
			"no measured data of %s with %s were read: its chemistry is put together from that of each",
			amine_rows[amine].name, second);
	if (amine == AMINE_DGA || amine == AMINE_DIPA)
		return arena_format(arena, "no measured data of %s were read: its chemistry is that of its relatives",
			amine_rows[amine].name);
	return NULL;
}
