/*
 * What builds up in the solution: contaminants that come in beside what the circuit holds, and what reclaiming takes out.
 *
 * Puts on the solvent, in a month: `chloride-rise-by-sources`, from the chloride of the make-up water; `salts-by-oxygen`, the salts
 * that the oxygen coming in makes if every mole of it ends as a mole of formate, which is the most; `salts-out`, what the
 * reclaimers take out. Only where the inventory of the circuit is stated. Nothing of it is lost with amine.
 */
#ifndef LEANRICH_LEDGER_H
#define LEANRICH_LEDGER_H

#include "resolve/table.h"

/* Mass fraction gained in a month, of kg/s into kg of solution. */
double ledger_rise(double load, double inventory);

/* After loads_compute. */
void ledger_compute(struct table *table);

#endif
