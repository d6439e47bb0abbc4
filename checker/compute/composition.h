/*
 * What a gas consists of, from what the description says of it: its contents, its molar mass or gravity, whether it is
 * saturated with water. What the contents leave over is hydrocarbon, of the molar mass that the whole asks for.
 *
 * Of a treated gas whose molar mass nobody states the rest is that of the feed of its absorber; of the overhead of a regenerator
 * that names no gas, the acid gas is what the amine gives up between its rich and its lean stream.
 */
#ifndef LEANRICH_COMPOSITION_H
#define LEANRICH_COMPOSITION_H

#include "chemistry/gas.h"
#include "compute/scene.h"

enum { COMPOSITION_INPUTS = COMPONENT_COUNT + 4 };

enum wetness {
	WETNESS_STATED,	   /* `water` of the gas as it is; zero where it is said not to be saturated */
	WETNESS_SATURATED, /* with water, at its own temperature and pressure */
	WETNESS_UNKNOWN,   /* between dry and saturated */
};

struct composition {
	double dry[COMPONENT_COUNT]; /* mole fractions without water, which sum to one; what is a bound at its bound */
	const struct quantity *mass; /* molar mass of that, with its trace; unknown where the composition is */
	double spread;		     /* of that molar mass by the uncertainty of the contents, relative */
	bool complete;		     /* the contents stated are all there is */
	enum wetness wetness;
	double water;				      /* WETNESS_STATED: mole fraction in the wet gas */
	struct input inputs[COMPOSITION_INPUTS];      /* each with its effect on the molar mass, where it is a bound */
	enum component component[COMPOSITION_INPUTS]; /* whose share that input is; COMPONENT_COUNT: it is none */
	size_t count;
};

/* Of an item of kind `gas`. */
struct composition composition_of_gas(const struct scene *scene, const struct item *gas);

/* Of the acid gas that a regenerator gives off, saturated with water. */
struct composition composition_of_stripped(const struct scene *scene, const struct item *regenerator);

/* Of a gas without contents of its own: nitrogen, air. */
struct composition composition_of_pure(const struct scene *scene, const char *name);

#endif
