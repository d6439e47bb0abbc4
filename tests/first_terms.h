/* The terms of the first regression, kept to hold the solver to states computed by others with the same set. */
#ifndef LEANRICH_FIRST_TERMS_H
#define LEANRICH_FIRST_TERMS_H

#include "chemistry/terms.h"

extern const struct terms terms_first;

#endif
