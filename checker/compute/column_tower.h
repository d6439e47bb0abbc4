/*
 * The inside of column.h: the state of a column while it is solved, its balances and their derivatives, the section of
 * water above the feed, and the search for the steady state. Nothing outside column*.c needs it.
 */
#ifndef LEANRICH_COLUMN_TOWER_H
#define LEANRICH_COLUMN_TOWER_H

#include "compute/column.h"

/* The unknowns of a stage: ln of loadings, of water in the liquid, T in steps of COLUMN_TEMPERATURE_SCALE, ln of vapour. */
enum { H2S, CO2, WATER, HEAT, VAPOUR, UNKNOWNS, COMPONENTS = WATER + 1 };

/* What leaves a stage, and how far it is from its bubble point. */
struct leaving {
	double liquid[COMPONENTS], vapour[COMPONENTS]; /* mol per mol of amine */
	double liquid_heat, vapour_heat;	       /* J per mol of amine */
	double returned_heat; /* of the feed stage: of the water that comes back to it from above, J per mol of amine */
	double bubble;	      /* ln of the sum of partial pressures over the pressure */
};

/* Derivatives of the above by each unknown. */
struct slope {
	struct leaving by[UNKNOWNS];
};

struct tower {
	const struct terms *terms;
	const struct column_input *input;
	double amine_mass;	   /* kg per mol */
	double share[AMINE_COUNT]; /* of each amine in it, by mass */
	double feed[COMPONENTS], feed_heat;
	double drum_ratio; /* water carried off with each mole of acid gas */
	double drum_heat;  /* of the reflux, J/mol */
	double loss[2];	   /* heat lost: by the reboiler, by each stage above it, J per mol of amine */
	bool present[COMPONENTS], refluxed;
	double duty, holdup; /* `holdup` 0: steady state */
	int stages, iterations;
	double pressure[COLUMN_STAGES_AT_MOST];
	double x[COLUMN_STAGES_AT_MOST][UNKNOWNS], before[COLUMN_STAGES_AT_MOST][UNKNOWNS];
	struct leaving leaving[COLUMN_STAGES_AT_MOST], held[COLUMN_STAGES_AT_MOST];
	struct solution solution[COLUMN_STAGES_AT_MOST]; /* of `leaving` */
	bool solved[COLUMN_STAGES_AT_MOST];		 /* `solution` holds one to start the next from */
	double residual[COLUMN_STAGES_AT_MOST][UNKNOWNS];
	struct slope slope[COLUMN_STAGES_AT_MOST];
	double lower[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double diagonal[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double upper[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double step[COLUMN_STAGES_AT_MOST][UNKNOWNS];
};

/* ---- column_stage.c ---- */

/* What enters the chemistry for the unknowns `x` of a stage. */
struct solution_input tower_liquid(const struct tower *tower, const double *x);

/*
 * What leaves stage j with the unknowns of the tower, into tower->leaving; tower_flows() roughly and without heats, for
 * a guess. False: outside what the chemistry takes.
 */
bool tower_flows(struct tower *tower, int j);
bool tower_stage(struct tower *tower, int j);

/* Water that comes back to the feed stage, of what it lets go (or of a derivative of it), mol per mol of amine. */
double tower_returned(const struct tower *tower, const struct leaving *feed_stage);

/* Sum of squares of the residuals of all balances, or NaN where a stage lies outside what the chemistry takes. */
double tower_residuals(struct tower *tower);
double tower_largest_residual(const struct tower *tower);
bool tower_jacobian(struct tower *tower);

/* ---- column_newton.c ---- */

/* From a guess of its own to the steady state in tower->x. False: not converged. */
bool tower_solve(struct tower *tower);

/* ---- column_wash.c ---- */

/* The vapour of the feed stage and what the drum makes of it; amounts in mol per mol of amine. */
struct wash_feed {
	double gas[GAS_COUNT], steam, temperature; /* K */
};

struct wash {
	double temperature, steam; /* of the vapour that leaves the top: K; mol per mol of amine */
	double returned;	   /* K: temperature of the water that falls on the feed stage */
};

/*
 * `stages` equilibrium stages of water at `pressure` (Pa) over the feed stage; reflux of `drum_temperature`, which carries
 * `drum_ratio` mol of water off with each mole of acid gas. The gases are not dissolved in the water. False: the vapour
 * holds no water to return, and nothing changes on its way.
 */
bool wash_solve(const struct wash_feed *feed, int stages, double pressure, double drum_temperature, double drum_ratio,
	struct wash *out);

#endif
