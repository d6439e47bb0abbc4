/*
 * A page made ready for sheets: what paper does not show is taken out, and tables that run on as lines become plain lines.
 *
 * A program that lays out paper spends its time on elements, shown or not: the workings, limits, sources and rules are
 * most of them. Their cells become words with a dash before each, as they are read, and only what is bold, a link or
 * written from right to left keeps an element of its own. The words and their order stay as they are on screen.
 */
#ifndef LEANRICH_PAPER_H
#define LEANRICH_PAPER_H

#include "write/html.h"

/* Changes the page in place. */
void paper_prepare(struct html *html);

#endif
