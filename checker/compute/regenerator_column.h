/*
 * The regenerator as a column of equilibrium stages (column.h), from its feed before the valve, pressures and duty (or reflux) alone: lean
 * loading that the duty can reach, overhead temperature and reflux ratio, how much of the stripping the reboiler does.
 */
#ifndef LEANRICH_REGENERATOR_COLUMN_H
#define LEANRICH_REGENERATOR_COLUMN_H

#include "compute/still.h"

/* Puts the values of the solved column on the regenerator of the scene; each is unknown with its reason where it is not solved. */
void regenerator_column(const struct scene *scene, const struct still *still);

#endif
