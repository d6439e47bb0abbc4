/*
 * The lean-side sulfide analysis of a unit: everything of it that the review prints, in one record.
 *
 *   circuit         which scale where, in every steady case (circuit.h)
 *   profiles        the inside of the lean/rich exchangers (exchanger.h)
 *   overstripping   does leaving H2S in protect: windows, sweeps, claims, sentences (overstripping.h)
 *   shares          how far the scales hold against what is uncertain (scale_samples.h)
 *   map             the phase map at the governing film age (phase_map.h)
 *   iron            what of the stated iron circulates as particles
 *
 * lean_side_compute() puts what rules may cite into the table: amine-side, expected-scale, siderite-iron and the
 * temperature and loadings they hold for (temperature-at-wall, h2s-at-wall, co2-at-wall) on the places and on the lines
 * of their streams; film-answer and over-specification on claims; iron-particles on the solvent; cold-end-scale on the
 * lean/rich exchanger.
 */
#ifndef LEANRICH_LEAN_SIDE_H
#define LEANRICH_LEAN_SIDE_H

#include "sulfide/exchanger.h"
#include "sulfide/overstripping.h"
#include "sulfide/phase_map.h"
#include "sulfide/scale_samples.h"

struct iron_balance {
	struct missing missing; /* why there is none; without a reason: there is */
	double stated, floor;	/* kg/kg */
	double particles;	/* stated less floor, kg/kg; 0 where it is below */
	double flow;		/* of lean amine, kg/s; NaN: not stated */
	double circulating;	/* iron sulfide passing with it, kg/s, were all of it particles; NaN without flow */
	const struct item *stream;
};

struct lean_side {
	const struct circuit *circuit;
	struct exchangers exchangers;
	const struct overstripping *overstripping;
	const struct scale_shares *shares; /* by reading of the circuit; NULL: not sampled */
	struct phase_map map;
	struct iron_balance iron;
	bool cold_end_fouls; /* loose mackinawite at a cold lean place, and particles or no iron stated to say otherwise */
};

/* Keys of the sources that the analysis rests on and that both sides of the dispute cite; NULL ends the list. */
extern const char *const sulfide_sources[];

/* `samples`: with the shares of scale_samples.h, by far the most expensive part. */
const struct lean_side *lean_side_compute(struct table *table, bool samples);

/* Only what rules may cite, for who computes a unit many times: no samples, no map, no record. */
void lean_side_put(struct table *table);

/* The names under which the analysis puts anything into the table; NULL ends the list. Nothing else rests on it. */
extern const char *const lean_side_names[];

#endif
