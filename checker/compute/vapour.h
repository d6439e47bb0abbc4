/*
 * Density of gas, vapour, steam and water: of the gases, and of the streams and whatever carries them that are no amine.
 *
 * A gas is a real gas of its composition at its temperature and pressure (chemistry/gas), with the water it is saturated with;
 * steam and water are those of IAPWS-IF97. A density that the description states goes first, and the computed one is put
 * beside it as `density-by-composition`, with how far the two are apart. What condenses, runs as two phases, or lacks a
 * composition, a temperature or a pressure has no density here, and says why.
 */
#ifndef LEANRICH_VAPOUR_H
#define LEANRICH_VAPOUR_H

#include "compute/scene.h"

/* Of an item of kind `gas`: water-vapour, molar-mass, compressibility, density, phase. */
void vapour_of_gas(const struct scene *scene);

/*
 * The same of a stream, line, nozzle or side by its service; nothing where that is none of gas, steam, water, air and
 * nitrogen. A gas that it does not name is the only one of that role, or what the regenerator it leaves gives off.
 */
void vapour_of_service(const struct scene *scene);

#endif
