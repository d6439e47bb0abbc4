/*
 * The circuit of the amine, walked in the order of flow: every place of the unit where carbon steel could be in rich
 * or lean amine, in every steady operating case, from the design's own streams.
 *
 *   absorber bottom, flash drum, exchanger rich side, regenerator feed, regenerator bottom, reboiler, exchanger lean
 *   side, pumps, cooler, filters, absorber top; a stream that none of these touches is a place of its own.
 *
 * What a place needs and nobody stated is named; nothing is invented. Only two things are assumed, and said to be: the
 * iron at the wall (1 mg/kg) and the age of the film (8,000 h).
 */
#ifndef LEANRICH_CIRCUIT_H
#define LEANRICH_CIRCUIT_H

#include "compute/scene.h"
#include "sulfide/sulfide.h"

enum { FILM_AGES = 4 };
extern const double *const film_ages[FILM_AGES]; /* hours: 500, 2000, 8000, 25000 */

enum end { END_NONE, END_INLET, END_OUTLET };

/* A place of the circuit. */
struct location {
	const char *name;	     /* "E-302 lean inlet" */
	const struct item *item;     /* equipment, a side of it, or the stream itself */
	const struct item *stream;   /* NULL: the design names none */
	const char *own_temperature; /* name of the item's own temperature, or NULL: the stream's holds */
	struct missing no_stream;    /* why there is no stream: "rich of C-301 is not stated" */
	enum side side;
	enum end end; /* of a side of an exchanger */
	int rank;     /* place in the order of flow */
};

struct known_age {
	double seconds;
	bool from_rate, assumed;
	double corrosion_rate; /* m/s, NaN: none stated */
	const char *words;     /* "8,000 h, assumed", "326 h, from 0.31 mm/y and a film of 30 um" */
};

/* A location in one operating case. Where `missing` has a reason nothing below it holds. */
struct reading_at {
	const struct location *location;
	int operating_case;
	struct missing missing; /* "h2s of lean-hot is not stated", or why there is no state */

	struct input temperature, h2s, co2, pressure; /* pressure may be unknown */
	struct solution solution;
	double iron; /* kg/kg, at the wall */
	bool iron_assumed;
	struct known_age age;
	struct scale_answer answer; /* at the governing age */
	struct scale_answer by_age[FILM_AGES];
	/* The last one before it that holds the same solution at the same temperature to the last bit, or NULL. */
	const struct reading_at *before;
	double tendency; /* log10 of iron over the iron in equilibrium with mackinawite; NaN without HS- */
};

struct circuit {
	const struct location *locations; /* in the order of flow */
	size_t location_count;
	struct reading_at *readings; /* location by location, case by case */
	size_t reading_count;
	const int *cases; /* the steady ones */
	size_t case_count;
	bool sweet;	     /* the unit is sweet: no gas and no stream holds H2S (compute/sour.h) */
	bool activated;	     /* contains piperazine */
	const char *no_data; /* why the solvent's chemistry rests on no measurement, or NULL (no_data.h) */
};

const struct circuit *circuit_walk(struct arena *arena, const struct table *table);

/* The answer for a solution under the iron and at the age of the reading; with `by_age`, not NULL, at the others too. */
struct scale_answer circuit_answer(
	const struct reading_at *reading, const struct solution *solution, struct scale_answer by_age[FILM_AGES]);

/* The state of a location's solution with other temperature or loadings; false: no state. */
bool circuit_state(const struct reading_at *reading, double temperature, double h2s, double co2, struct solution *out);

/* Of the readings before it the last that holds the same solution for the same film age at the same iron, or NULL. */
const struct reading_at *circuit_alike_before(const struct reading_at *reading);

/* Do both hold the same solution at the same temperature, to the last bit? */
bool circuit_same_state(const struct reading_at *a, const struct reading_at *b);

#endif
