/*
 * The figures of the review, drawn as SVG with real text from the record: nothing is measured or computed here but places on
 * the paper. What a mark means is told by its shape and by words; tint only helps.
 */
#ifndef LEANRICH_FIGURE_H
#define LEANRICH_FIGURE_H

#include "write/write_html.h"

/*
 * The circuit as one line in the order of flow: what was found at each station, and the number that lies nearest to its
 * limit or furthest beyond it.
 */
void figure_circuit(struct page *page, xmlNode *parent);

/* How far the balances of each node close, in the order of flow, over what is allowed: at most fifteen nodes. */
void figure_closure(struct page *page, xmlNode *parent);

/* The velocity of every line, nozzle and tube side against all limits published for it. */
void figure_velocity(struct page *page, xmlNode *parent);

/*
 * Temperature and loading of every stream of amine in the order of flow, over the operating cases, against the limits that
 * govern them there.
 */
void figure_conditions(struct page *page, xmlNode *parent);

struct profile_of;
struct sweep;

/* Temperature against partial pressure of H2S by dominant phase, with the circuit as a path. */
void figure_phase_map(struct page *page, xmlNode *parent);

/* A lean/rich exchanger from its hot to its cold end; the profile must not be missing. */
void figure_profile(struct page *page, xmlNode *parent, const struct profile_of *profile);

/* Dense share along the lean H2S loading, with the window of the gas specification. */
void figure_sweep(struct page *page, xmlNode *parent);

/* The sweeps that differ, hottest first: what figure_sweep() draws and the table beside it lists. Returns how many. */
size_t sweep_curves(struct page *page, const struct sweep ***out);

#endif
