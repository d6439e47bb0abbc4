/*
 * The amine in a reboiler: its bulk temperature and that of the film on the heated wall, whatever heats it and however it is
 * built.
 */
#ifndef LEANRICH_FILM_H
#define LEANRICH_FILM_H

#include "resolve/table.h"

/* Bulk temperature from the amine that leaves, where none is stated. After the streams, before the metal. */
void film_bulk(struct table *table);

/*
 * Film temperature: half way from the bulk to what heats it, at the medium's hottest; by the heat flux where nothing says how hot
 * that is. An estimate: its uncertainty spans a quarter of the way either side, or half of the rise. After the regenerator.
 */
void film_compute(struct table *table);

#endif
