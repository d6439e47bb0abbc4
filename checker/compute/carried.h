/*
 * What an item states of the stream that it carries, held against what the stream states: flow, temperature, pressure and service of
 * lines, nozzles and sides, flow of filters and beds; and what a pump is rated for beside what it moves.
 *
 * A statement for no case in particular describes the first case. Flows are compared as mass. Items that are beside each other
 * carry parts of the stream: together all of it, each not more. The stated temperature of an item may be that of its hottest case.
 */
#ifndef LEANRICH_CARRIED_H
#define LEANRICH_CARRIED_H

#include "resolve/table.h"

void carried_compute(struct table *table);

#endif
