/*
 * The phase map: temperature against partial pressure of H2S at one film age, and where the kinetics of sulfide.h pass
 * from loose mackinawite to a dense scale, and from pyrrhotite to pyrite. Molecular H2S follows from the partial
 * pressure by Henry's law in water, whose activity coefficient the chemistry takes as 1; what carbonate does, and
 * whether there is iron enough, the map does not show.
 */
#ifndef LEANRICH_PHASE_MAP_H
#define LEANRICH_PHASE_MAP_H

#include <stddef.h>

enum { PHASE_MAP_NODES = 111 };

struct phase_border {
	double temperature; /* K */
	double dense;	    /* Pa of H2S where half of the sulfide is dense; NaN: not within the map */
	double pyrite;	    /* Pa where pyrite overtakes pyrrhotite; NaN likewise */
	double calibrated;  /* Pa of the least calibrated molality */
};

struct phase_map {
	double age;			      /* s */
	double coldest, hottest, least, most; /* K, Pa: the frame */
	struct phase_border borders[PHASE_MAP_NODES];
};

struct phase_map phase_map_at(double age);

#endif
