/*
 * The style of the page. On a screen it is in the head, once. A program that lays out paper may know neither variables in
 * composed values nor style from outside a drawing: for it every variable is replaced by what it means on paper.
 *
 * One page serves a screen, a printer and WeasyPrint 57, which lays out the PDF and knows less: no CSS grid, no var() inside
 * a composed value, no style from outside of an SVG, minutes for a word of thousands of letters. So `@media print` in
 * review.css uses floats and tables and comes last, where it also gives every variable its meaning on paper; figure.css
 * names nothing outside of a drawing and goes into each; long words are cut on paper only. The script (review.js) only adds
 * the bar: what it filters away is still printed, and the policy of the page names its digest.
 */
#ifndef LEANRICH_STYLE_H
#define LEANRICH_STYLE_H

#include "base/arena.h"

/* review.css and figure.css, as they are. */
const char *style_for_screen(struct arena *arena);

/* review.css with its variables replaced; the size of the sheet is "A4" or "letter". */
const char *style_for_paper(struct arena *arena, const char *sheet);

/* figure.css with the variables of review.css replaced. */
const char *style_for_figure(struct arena *arena);

#endif
