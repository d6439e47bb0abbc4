/*
 * The regenerator as a column of equilibrium stages, all stages solved together.
 *
 * Stage 1 is the partial reboiler, the last is the one that the rich feed enters. On each stage vapour and liquid are in
 * equilibrium by the solution chemistry; H2S, CO2, water and enthalpy balance; pressure is linear from bottom to top.
 * The amine does not evaporate. Above the feed there may be stages of water: the reflux is heated there by the vapour,
 * which loses steam to it; they are at the pressure of the top. The vapour that leaves is cooled to the reflux drum and
 * its water returned. Acid gas dissolved in the reflux, and so in the water above the feed, is left out.
 *
 * Method: Newton on ln of loadings, water and vapour and on temperature, block-tridiagonal, from two guesses that balance
 * the gases roughly; where neither converges, the same equations with the hold-up of each stage, relaxed to the steady
 * state. What does not converge says so: every number is then NaN. (One in some thousand feasible cases: a top so cold that
 * hardly any vapour leaves. Coming down from a larger duty was tried there and did not help.)
 *
 * All amounts are per mole of amine that circulates. A column that was solved before in this run is not solved again
 * (base/memo.h); nothing else is kept between calls.
 */
#ifndef LEANRICH_COLUMN_H
#define LEANRICH_COLUMN_H

#include "chemistry/enthalpy.h"

enum { COLUMN_STAGES_AT_MOST = 40, COLUMN_WASH_AT_MOST = 10 };

struct column_input {
	struct solution_input feed; /* strength without gases, loadings, anions, temperature */
	double feed_pressure;	    /* Pa: where the feed has its temperature, before the valve or in the tower */
	int stages;		    /* with the reboiler, up to the feed; 1 to COLUMN_STAGES_AT_MOST */
	int wash_stages;	    /* of water above the feed; 0 to COLUMN_WASH_AT_MOST */
	double bottom_pressure, top_pressure; /* Pa */
	double duty;			      /* of the reboiler, J per mol of amine */
	double heat_loss; /* to the air, the same from every stage above the reboiler; as the duty */
	double drum_temperature, drum_pressure; /* of the reflux drum, K and Pa; NaN temperature: nothing returns */
};

struct column_stage {
	double temperature, pressure; /* K, Pa */
	double loading[GAS_COUNT];    /* of the liquid that leaves, mol/mol */
	double water;		      /* in it, mol per mol of amine */
	double gas[GAS_COUNT], steam; /* in the vapour that leaves, mol per mol of amine */
};

enum column_fault {
	COLUMN_FINE,
	COLUMN_INPUT,
	COLUMN_NOT_CONVERGED,
	COLUMN_NO_DUTY /* said by whoever looks for one */
};

struct column {
	enum column_fault fault; /* unless COLUMN_FINE every number is NaN */
	int stages;
	struct column_stage stage[COLUMN_STAGES_AT_MOST]; /* [0]: the reboiler; the last: the feed's */
	double top_temperature, top_steam; /* of the vapour that leaves the column: K, mol per mol of amine */
	double reflux;			   /* water returned, mol per mol of amine */
	double reflux_ratio;		   /* mol of water returned per mol of acid gas overhead */
	double condenser_duty;		   /* J per mol of amine */
	double duty;			   /* of the reboiler, as in the input */
	double reboiler_share;		   /* of all acid gas stripped, what boils off in the reboiler */
	double imbalance[GAS_COUNT + 2];   /* H2S, CO2, water, heat: in less out over in, round the whole column */
	int iterations;			   /* Newton steps in all */
};

bool column_solve(const struct terms *terms, const struct column_input *input, struct column *out);

/* What is wrong, as words that can follow "the column of C-1": "was not solved: ...". "" when fine. */
const char *column_fault_words(enum column_fault fault);

double column_lean_loading(const struct column *column);  /* total, of the liquid that leaves the reboiler */
double column_into_reboiler(const struct column *column); /* total, of the liquid that enters it */

#endif
