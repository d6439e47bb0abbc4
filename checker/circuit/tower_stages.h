/*
 * An absorber as ten stages from top to bottom, all solved together, for the circuit in cases that a package leaves
 * out.
 *
 * On each stage gas and liquid leave at one temperature; of each acid gas the vapour comes a share E (Murphree's, of
 * the vapour) of the way from what enters to what is in equilibrium with the liquid that leaves:
 *
 *   Y_n = Y_n+1 - E (Y_n+1 - Y*_n),   x_n-1 - x_n + (G/L)(Y_n+1 - Y_n) = 0
 *   h_n-1 - h_n + (G/L)(H_n+1 - H_n) = 0,   H = c_p T + sum(Y h_g) + W latent heat
 *
 * Y mol per mol of gas that is not absorbed, x mol per mol of amine, G and L mol/s of these, W water of saturation. E
 * is found from a case that is known (tower_efficiency): it carries what an equilibrium stage would not know, above
 * all the slow CO2 of tertiary amines. It is held in other cases: of a gas held back by its rate that is an estimate.
 * The solution keeps its water.
 *
 * Method: Newton on ln of loadings and on temperature of all stages, differences for derivatives; where it does not
 * converge, from a small E upwards. What does not converge says so, and every number is NaN. SI; no allocation.
 */
#ifndef LEANRICH_TOWER_STAGES_H
#define LEANRICH_TOWER_STAGES_H

#include "chemistry/enthalpy.h"

enum { TOWER_STAGES = 10 };

struct tower_gas {
	double inert;				     /* mol/s that is not absorbed */
	double acid[GAS_COUNT];			     /* mol/s */
	double temperature, pressure, heat_capacity; /* K, Pa, J/mol/K of the inert */
	bool saturated;
};

struct tower_case {
	struct solution_input lean; /* with its loadings and temperature */
	double amine;		    /* mol/s */
	struct tower_gas gas;
	double efficiency[GAS_COUNT]; /* E: above 0, at most 1 */
};

struct tower_answer {
	bool solved;					/* else every number is NaN */
	double rich[GAS_COUNT], temperature;		/* of the solution that leaves: mol/mol, K */
	double treated[GAS_COUNT], treated_temperature; /* mol/s that is left in the gas; K */
	double hottest;					/* K, of the stages */
};

/* `profile`: of the answer, and, where it holds one (profile[0] is not NaN), where to begin: 3 numbers a stage. */
bool tower_stages(const struct tower_case *in, double profile[3 * TOWER_STAGES], struct tower_answer *out);

/*
 * The E of each gas with which so much of it is left (mol/s); NaN: that gas keeps its own. At the end of the range
 * where none gives that: `reached` is false. False: the tower is not solved.
 */
bool tower_efficiency(struct tower_case *in, const double left[GAS_COUNT], bool reached[GAS_COUNT]);

#endif
