/*
 * The trial of a suite whose tests are in several files: Criterion begins and ends a suite once, wherever it is declared.
 */
#ifndef LEANRICH_TESTS_SUITE_TRIAL_H
#define LEANRICH_TESTS_SUITE_TRIAL_H

#include "review_support.h"

extern struct trial trial;

/* With the rules inside the program. */
void suite_trial_begin(void);
void suite_trial_end(void);

#endif
