#include "first_terms.h"

#define TERMS_ROWS "../tests/data/first_terms.def"
#define TERMS_SET terms_first
#include "chemistry/terms_set.def"
