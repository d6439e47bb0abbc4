#include "compute/formula.h"

const struct formula formulas[FORMULA_COUNT] = {
#define FORMULA(code, name, text, source, note) {name, text, source, note},
#include "compute/formulas.def"
#undef FORMULA
};
