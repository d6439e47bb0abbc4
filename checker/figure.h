/*
 * The figures of the review, drawn as SVG with real text from the record: nothing is measured or computed here but places on
 * the paper. What a mark means is told by its shape and by words; tint only helps.
 */
#ifndef LEANRICH_FIGURE_H
#define LEANRICH_FIGURE_H

#include "write_html.h"

/*
 * The circuit as one line in the order of flow: what was found at each station, and the number that lies nearest to its
 * limit or furthest beyond it.
 */
void figure_circuit(struct page *page, xmlNode *parent);

/* The velocity of every line, nozzle and tube side against all limits published for it. */
void figure_velocity(struct page *page, xmlNode *parent);

#endif
