/*
 * What may have been wrong with a statement that does not fit: the slip of unit, gauge or basis, or the value of another operating
 * case, that leads from what it says to what would close.
 */
#ifndef LEANRICH_WRONG_H
#define LEANRICH_WRONG_H

#include "reconcile/stated.h"

struct wrong {
	const struct table *table;
	const struct stated *stated;
	int operating_case; /* that is reconciled */
	double bias, sigma; /* metric of the statement; what the bias is uncertain by */
};

/* Words, or NULL: none lies within 2.4 times what the bias is uncertain by. The nearest of several. */
const char *wrong_slip(struct arena *arena, const struct wrong *wrong);

#endif
