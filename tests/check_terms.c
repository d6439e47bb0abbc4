#include "check_terms.h"

#define TERMS_ROWS "../tests/data/check_terms.def"
#define TERMS_SET terms_check
#include "chemistry/terms_set.def"
