/*
 * The formulas by which the program calculates numbers, for the working in the review (formulas.def).
 */
#ifndef LEANRICH_FORMULA_H
#define LEANRICH_FORMULA_H

#include "quantity/quantity.h"

enum formula_code {
#define FORMULA(code, name, text, source, note) FORMULA_##code,
#include "compute/formulas.def"
#undef FORMULA
	FORMULA_COUNT
};

extern const struct formula formulas[FORMULA_COUNT];

#endif
