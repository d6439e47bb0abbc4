/*
 * What the salts of the solvent do, told once: ph-by-salts and h2s-pressure-by-salts of the solvent, the lean at the top of the
 * first absorber (else the first lean stream) beside the same solution without its salts, sodium and potassium. Where a pH is
 * measured, ph-of-clean is that of the solution without them at 25 degC: acid gas alone lowers it.
 */
#ifndef LEANRICH_SALTS_EFFECT_H
#define LEANRICH_SALTS_EFFECT_H

#include "resolve/table.h"

/* After the streams. */
void salts_effect_compute(struct table *table);

#endif
