/*
 * Temperatures when one thing fails: an exchanger without flow on its other side, a cooler or condenser without cooling.
 *
 * What is cooled then leaves as it entered. Downstream a cooler that still works takes its share: flows and surface are unchanged, so
 * are the transfer units N = UA / C and with them the effectiveness e = (t_1 - t_2) / (t_1 - t_m), t_m: the medium as it enters
 * (method of effectiveness and transfer units: Kays and London 1964, from memory). One failure at a time, and none passes a column or
 * a vessel, but for the reflux drum, which sees the overhead when its condenser fails. Of what gets cold there is gas that blows through
 * a letdown valve (`blow-by-temperature`): 0.5 K for each bar, a screening.
 */
#ifndef LEANRICH_UPSET_H
#define LEANRICH_UPSET_H

#include "resolve/table.h"

/* K: what leaves a cooler that is entered at `upset` instead of `inlet`; NaN where it did not cool towards the medium. */
double upset_outlet(double upset, double inlet, double outlet, double medium);

/* Puts `upset-reach` and `upset-by` on streams and on what they run through, per case. After medium_compute. */
void upset_compute(struct table *table);

#endif
