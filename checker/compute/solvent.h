/*
 * The solution of a stream as the chemistry takes it: amine and strength (its own, else the solvent's), loadings,
 * bound amine, sodium and temperature, each with its trace. Bound amine is net of sodium: what the anions hold is the two
 * together. Sodium without any anions is left out: what it stands beside is then not known.
 *
 * Where something is not stated, or the amine is none whose chemistry is known, an input is unknown with the reason:
 * whoever computes from these inputs gets an unknown result by itself.
 */
#ifndef LEANRICH_SOLVENT_H
#define LEANRICH_SOLVENT_H

#include "chemistry/solution.h"
#include "compute/scene.h"

enum { SOLVENT_INPUTS = 9 };

struct stream_solution {
	bool known;		     /* `state` may be used; a bound stands in it at its bound: see solvent_weigh() */
	struct solution_input state; /* at the temperature of the stream, when that is known */
	struct input inputs[SOLVENT_INPUTS];
	size_t count;
	size_t temperature_at; /* which of the inputs is the temperature */
};

/* With `temperature` false the temperature of the stream is not asked for, and state.temperature is 0. */
struct stream_solution solvent_of_stream(const struct scene *scene, const struct item *stream, bool temperature);

/* Another input in the place of one; as temperature, of the state too. */
void solvent_replace(struct stream_solution *solution, size_t at, struct input input);

/*
 * Says of every loading and salt stated as "<..." how a value calculated from the solution moves with it, by calculating
 * the value at none of it too; what is within `*uncertainty` widens that (input_weigh). Other bounds stay without an
 * effect, so that nothing follows from them. Where the salts are a bound their whole is, which is more than is open.
 */
void solvent_weigh(struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data,
	double *uncertainty);

/*
 * The input, or, where the solution is not known, what is missing of it: for a value that is calculated with the solution but
 * names only some of its inputs.
 */
struct input solvent_or_missing(struct input input, const struct stream_solution *solution);

/* An analysis by mass, kg/kg, whether stated by mass or by volume; a bound at its bound. */
double solvent_content(const struct quantity *content);

/* `what` of the item, else of the solvent. */
struct input solvent_input(const struct scene *scene, const struct item *item, const char *symbol, const char *what);

/* The amine of the solvent: false when none is stated or it is none of those known by name. */
bool solvent_amine(const struct scene *scene, enum amine *amine);

/* Amine by mass of the solution, whether it is stated by mass or by volume, a bound at its bound; NaN when it is not known. */
double solvent_mass_fraction(const struct quantity *strength, enum amine amine);

/*
 * Half width of a value calculated from the solution, from the uncertainties of its inputs, taken as independent;
 * what the chemistry itself is uncertain by comes on top.
 */
double solvent_spread(
	const struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data);

/*
 * kg/s of the stream over kg per mole of amine: mol/s of amine, with its relative uncertainty; NaN when not known. Bounds
 * stand in it at their bounds: the flow and the solution must be among the inputs of what is calculated with it.
 */
double solvent_amine_flow(
	const struct scene *scene, const struct item *stream, const struct stream_solution *solution, double *relative);

/*
 * Fills amines, strengths and anions of `out`; temperature and loadings are the caller's. Gives what is missing:
 * "strength of solvent is not stated"; no reason: nothing. Salts stated as "<..." stand in it at their bounds, and sodium so stated at none of it:
 * the most amine that can be bound.
 */
struct missing solvent_solution(const struct scene *scene, const struct item *stream, struct solution_input *out);

/*
 * Takes the salts that are only bounds out of a state that solvent_solution() filled, and sodium that is one in: the least amine
 * that can be bound. False: there are none such.
 */
bool solvent_least_salts(const struct scene *scene, struct solution_input *state);

/* Dissolved iron as stated, kg/kg; NaN when not stated, stated as a bound, or zero. */
double solvent_iron(const struct scene *scene);

/* The iron to be assumed where it is not stated, kg/kg: the usual, or the bound stated where the usual lies beyond it. */
double solvent_iron_assumed(const struct scene *scene, double usual);

/* Contains something the chemistry does not know (piperazine): CO2 is then not to be judged. */
bool solvent_activated(const struct scene *scene);

#endif
