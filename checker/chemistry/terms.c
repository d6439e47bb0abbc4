#include "chemistry/terms.h"

#define TERMS_ROWS "chemistry/terms.def"
#define TERMS_SET terms_own
#include "chemistry/terms_set.def"
