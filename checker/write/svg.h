/*
 * Figures as SVG inside the page: real text, a title and a description for whoever does not see them, and the marks that all
 * figures share. Lengths are units of the figure's own view box.
 */
#ifndef LEANRICH_SVG_H
#define LEANRICH_SVG_H

#include "write/write_html.h"

/* What a figure says of itself. `id` is unique on the page; `class` is for the style sheet. */
struct svg {
	const char *id, *class, *title, *description, *caption;
	double width, height;
};

/* Adds a figure that scrolls by itself on a narrow screen; gives the svg element. */
xmlNode *svg_open(struct page *page, xmlNode *parent, const struct svg *svg);

void svg_set(struct page *page, xmlNode *node, const char *attribute, double value);
void svg_line(struct page *page, xmlNode *parent, const char *class, double x1, double y1, double x2, double y2);

/* The words start, end or are centred at x as their class says. */
void svg_words(struct page *page, xmlNode *parent, const char *class, double x, double y, const char *words);

/* Square, triangle, disc and diamond as the marks of the actions; an open ring for none. */
void svg_mark(struct page *page, xmlNode *parent, enum action action, double x, double y);

/* A published limit: an upright stroke, broken where it was not read in the source; the one that governs has feet. */
void svg_limit(struct page *page, xmlNode *parent, enum reading reading, bool governs, double x, double y);

#endif
