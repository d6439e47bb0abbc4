/*
 * Where high pressure meets low pressure: the two sides of an exchanger by design pressure, a pump by what it is between
 * and by its least flow.
 */
#ifndef LEANRICH_INTERFACE_H
#define LEANRICH_INTERFACE_H

#include "resolve/table.h"

void interface_compute(struct table *table);

#endif
