/*
 * Where rich amine begins to flash, and what runs in a pipe where it does.
 *
 * Of a rich stream: bubble pressure, margin of its pressure over that, vapour and density of the mixture below it.
 * Of an exchanger's rich side: at which share of its duty flashing begins. Of a letdown valve: margin ahead of it, vapour
 * downstream of it. Of what is downstream of the valve (the regenerator's feed nozzle, a line placed downstream of letdown): the
 * mixture at the tower's pressure, and the erosional velocity of API RP 14E beside its own.
 *
 * A stream said to be liquid that is calculated to boil stays liquid in what carries it; the margin is the finding.
 */
#ifndef LEANRICH_FLASH_H
#define LEANRICH_FLASH_H

#include "chemistry/solution.h"
#include "compute/scene.h"

/* One stream, before its density and volume flow are calculated. True: its density is that of the mixture, and put. */
bool flash_stream(const struct scene *scene);
void flash_carriers(struct table *table); /* after carriers took from their streams, before velocities */
void flash_erosion(struct table *table);  /* after velocities */

/* The share of a rich side's duty at which the solution, at its outlet as `state`, begins to flash; 1 where it does not. */
struct flash_way {
	double cold, first, last; /* K at the inlet; Pa at inlet and outlet */
};
double flash_starts(const struct solution_input *state, const struct flash_way *way);

bool flash_is_rich(const struct scene *scene, const struct item *item);

/* The stream that reaches a letdown valve, or NULL: it is none, or the stream is not known or not rich. */
const struct item *flash_before_valve(const struct scene *scene);

/* The tower whose pressure is in a line or nozzle downstream of the valve, and the rich stream that runs there; or NULL. */
const struct item *flash_tower(const struct scene *scene, const struct item **stream);

#endif
