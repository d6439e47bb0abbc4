/*
 * The regenerator and its reboiler: what the description says of them beside what heat, equilibrium and steam tables say.
 *
 * Reboiler: superheat, steam and heat for each volume of lean, heat flux, film temperature, steam against duty. Regenerator:
 * boiling point of the lean solution at the bottom; where the duty goes (sensible, desorption, stripping steam); the duty
 * that its own heat balance asks for; dew point of the overhead from its reflux ratio; and the column of equilibrium
 * stages (column.h): lean loading that the duty can reach, overhead, and how much of the stripping the reboiler does.
 *
 * Duty and steam are those of the first operating case, unless another case states its own. Volumes of lean are at 40 C.
 */
#ifndef LEANRICH_REGENERATOR_H
#define LEANRICH_REGENERATOR_H

#include "resolve/table.h"

void regenerator_compute(struct table *table);

/* Each regenerator as a column, after the rest, which costs little beside it and which more rules ask for. */
void regenerator_columns(struct table *table);

#endif
