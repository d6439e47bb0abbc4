/*
 * What gases and the solvent contain, on the bases that rules use: mole fractions and partial pressures of a gas, the share
 * of H2S in its acid gas; the salts of the solvent (solvent_salts.h).
 */
#ifndef LEANRICH_CONTENTS_H
#define LEANRICH_CONTENTS_H

#include "resolve/table.h"

void contents_compute(struct table *table);

/* Molar masses, kg/mol (IUPAC 2021 atomic weights). */
extern const double MOLAR_MASS_H2S, MOLAR_MASS_CO2;

#endif
