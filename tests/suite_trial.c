#include "suite_trial.h"

struct trial trial;

void suite_trial_begin(void)
{
	trial_open(&trial, NULL);
}

void suite_trial_end(void)
{
	trial_close(&trial);
}
