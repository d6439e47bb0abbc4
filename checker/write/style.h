/*
 * The style of the page. On a screen it stands in the head, once. A program that lays out paper may know neither variables in
 * composed values nor style from outside a drawing: for it every variable is replaced by what it means on paper.
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
