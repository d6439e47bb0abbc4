/*
 * A pair of axes in a figure: from values to places on the paper, ticks, curves, the marks of the scales. One axis of
 * logarithms is up to the caller: it hands in logarithms and the words of its ticks.
 */
#ifndef LEANRICH_PLOT_H
#define LEANRICH_PLOT_H

#include "sulfide/sulfide.h"
#include "write/svg.h"

struct plot {
	struct page *page;
	xmlNode *svg;
	double left, right, top, bottom; /* on the paper */
	double x0, x1, y0, y1;		 /* values at left, right, bottom, top */
};

double plot_x(const struct plot *plot, double x);
double plot_y(const struct plot *plot, double y);

/* A tick with its grid line and words. */
void plot_tick_x(const struct plot *plot, double x, const char *words);
void plot_tick_y(const struct plot *plot, double y, const char *words);
void plot_frame(const struct plot *plot);

/* A curve; breaks where x or y is not finite. `close`: down to the bottom at both ends, for a filled area. */
void plot_curve(const struct plot *plot, const char *class, const double *x, const double *y, size_t count);

/* The area between two curves over the same x; where either is not finite there is none. */
void plot_band(const struct plot *plot, const char *class, const double *x, const double *low, const double *high,
	size_t count);

void plot_words(const struct plot *plot, const char *class, double x, double y, const char *words);

/* Ring for mackinawite, square for dense, diamond for siderite, cross for none; by place on the paper. */
void plot_scale_mark(struct page *page, xmlNode *parent, enum scale scale, double x, double y);

/* The marks of all scales with their words, in a row. */
void plot_scale_key(struct page *page, xmlNode *svg, double x, double y);

#endif
