/*
 * The solution of a stream as the chemistry takes it: amine or blend, strength, amine bound by heat-stable salts; and
 * the iron it is said to hold. What a stream does not state itself stands at the solvent.
 */
#ifndef LEANRICH_SOLVENT_H
#define LEANRICH_SOLVENT_H

#include "chemistry/solution.h"
#include "scene.h"

/* `name` of the stream, else of the solvent, as an input of a formula. */
struct input solvent_or_stream(
	const struct scene *scene, const struct item *stream, const char *symbol, const char *name);

/* The amine of the solvent: false when none is stated or it is none of those known by name. */
bool solvent_amine(const struct scene *scene, enum amine *amine);

/* Amine by mass of the solution, whether it is stated by mass or by volume; NaN when it is not known. */
double solvent_mass_fraction(const struct quantity *strength, enum amine amine);

/*
 * Fills amines, strengths and anions of `out`; temperature and loadings are the caller's. NULL, or what is missing:
 * "strength of solvent is not stated".
 */
const char *solvent_solution(const struct scene *scene, const struct item *stream, struct solution_input *out);

/* Dissolved iron as stated, kg/kg; NaN when not stated, stated as a bound, or zero. */
double solvent_iron(const struct scene *scene);

/* Contains something the chemistry does not know (piperazine): CO2 is then not to be judged. */
bool solvent_activated(const struct scene *scene);

#endif
