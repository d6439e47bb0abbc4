/* A set of terms fitted independently of this project's, to hold the equations to states computed by others with it. */
#ifndef LEANRICH_CHECK_TERMS_H
#define LEANRICH_CHECK_TERMS_H

#include "chemistry/terms.h"

extern const struct terms terms_check;

#endif
