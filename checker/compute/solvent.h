/*
 * The solution of an item in a case, as every chapter takes it: amine and strength (the stream's own, else the solvent's),
 * loadings, all ions of the salts (solvent_salts.h), temperature, each with its trace. One function makes it, so that flash,
 * absorber, column, exchanger, density and the sulfide analysis read the same solution at the same place.
 *
 * Where something is not stated, or the amine is none whose chemistry is known, an input is unknown with the reason:
 * whoever computes from these inputs gets an unknown result by itself. A blend has the mass fractions of both its
 * amines: its molar mass, density and heat capacity are those of the mixture (properties.h, by mass and by moles).
 */
#ifndef LEANRICH_SOLVENT_H
#define LEANRICH_SOLVENT_H

#include "chemistry/solution.h"
#include "compute/scene.h"

enum { SOLVENT_INPUTS = 9 };

struct stream_solution {
	bool known;	/* `state` may be used; a bound is in it at its bound: see solvent_weigh() */
	bool activated; /* holds what the chemistry does not know: `state` is that of the rest, and not `known` */
	struct solution_input state; /* at the temperature of the place, when that is known */
	struct input inputs[SOLVENT_INPUTS];
	size_t count;
	size_t temperature_at;	 /* which of the inputs is the temperature; the loadings are before it */
	struct missing no_salts; /* why the ions are not known */
	double least_anion[2];	 /* as in the state, with all that is stated as "<..." at none, */
	double most_cation;	 /* and with such sodium and potassium at its bound */
	double other_basis; /* all amine in the other reading of the strength, over that of the state; 1: none differs */
	const struct item *stream; /* NULL: the place names none */
};

/* Where at an item. */
enum solution_place {
	PLACE_STREAM, /* of a stream, itself */
	PLACE_TOP,    /* lean of a contactor, at its top temperature where that is stated */
	PLACE_BOTTOM, /* rich of a contactor, lean of a regenerator: at the bottom temperature where that is stated */
	PLACE_FEED,   /* of a regenerator */
	PLACE_SIDE, /* what flows through a side of an exchanger: no temperature is asked for; loadings of the inlet, or of the */
	PLACE_OUTLET, /* outlet where the inlet says nothing; the same as it leaves */
};

/* The solution at a place of an item; `count` is 0 where the item names no stream there. */
struct stream_solution solvent_state(const struct scene *scene, const struct item *item, enum solution_place place);

/* The same by the stream, at a temperature of the item's own (by name) where there is one. Either may be NULL but the stream. */
struct stream_solution solvent_at(
	const struct scene *scene, const struct item *stream, const struct item *item, const char *own_temperature);

/* The solvent at no place: all its amine and its ions, without gases and temperature, which are 0 and not among the inputs. */
struct stream_solution solvent_without_gases(const struct scene *scene);

/* With `temperature` false the temperature of the stream is not asked for, and state.temperature is 0. */
struct stream_solution solvent_of_stream(const struct scene *scene, const struct item *stream, bool temperature);

/* The state with the least bound amine that bounds leave open. False: there are no such bounds. */
bool solvent_least_salts(const struct stream_solution *solution, struct solution_input *least);

/* The state in the other reading of a strength whose basis is not stated. False: nothing is open, or it makes no difference. */
bool solvent_other_basis(const struct stream_solution *solution, struct solution_input *other);

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

/* An analysis by mass, kg/kg, whether stated by mass or by volume; a bound at its bound, NaN where it is not known. */
double solvent_content(const struct quantity *content);

/* `what` of the item, else of the solvent. */
struct input solvent_input(const struct scene *scene, const struct item *item, const char *symbol, const char *what);

/* The amine of the solvent: false when none is stated or it is none of those known by name. */
bool solvent_amine(const struct scene *scene, enum amine *amine);

/* The word of the second amine; NULL: none is stated, or it is said that there is none. */
const char *solvent_blended_with(const struct table *table);

/* The second amine of a blend: false when none is named, or none of those known by name. */
bool solvent_second_amine(const struct scene *scene, enum amine *amine);

/* Amine by mass of the solution, whether it is stated by mass or by volume, a bound at its bound; NaN when it is not known. */
double solvent_mass_fraction(const struct quantity *strength, enum amine amine);

/*
 * Half width of a value calculated from the solution, from the uncertainties of its inputs, taken as independent, salts and the
 * basis of the strength among them; what the chemistry itself is uncertain by comes on top.
 */
double solvent_spread(
	const struct stream_solution *solution, double (*value)(const struct solution_input *, void *), void *data);

/*
 * kg/s of the stream over kg per mole of amine: mol/s of amine, with its relative uncertainty; NaN when not known. Bounds
 * are in it at their bounds: the flow and the solution must be among the inputs of what is calculated with it.
 */
double solvent_amine_flow(
	const struct scene *scene, const struct item *stream, const struct stream_solution *solution, double *relative);

/* The amines of the solvent itself by mass of the solution, as stated; a strength nobody knows is NaN. */
void solvent_fractions(const struct scene *scene, double fraction[AMINE_COUNT]);

/* Dissolved iron as stated, kg/kg; NaN when not stated, stated as a bound, or zero. */
double solvent_iron(const struct scene *scene);

/* The iron to be assumed where it is not stated, kg/kg: the usual, or the bound stated where the usual lies beyond it. */
double solvent_iron_assumed(const struct scene *scene, double usual);

/* Contains something the chemistry does not know (piperazine): CO2 is then not to be judged. */
bool solvent_activated(const struct scene *scene);

/* The reason of what is not calculated of an activated solution. */
extern const char solvent_beyond[];

#endif
