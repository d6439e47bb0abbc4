/*
 * The density of a stream of amine solution, in steps that a reader can follow: water, pure amine, the change on mixing,
 * the gas in it. The value is that of property_density(); the steps are its terms.
 */
#ifndef LEANRICH_DENSITY_H
#define LEANRICH_DENSITY_H

#include "compute/scene.h"

/*
 * Puts "density" of a stream that states none, which must be in amine service; without a loading as of the solution without
 * gas, 5 % less certain.
 */
void density_of_solution(const struct scene *scene);

#endif
