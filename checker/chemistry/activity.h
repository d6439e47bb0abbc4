/*
 * Activity coefficients on the molality scale, all from one excess Gibbs energy g per kg of water over RT, so that
 * ln gamma, the activity of water and the enthalpy agree with each other:
 *
 *   g = -A_phi (4 I/b) ln(1 + b sqrt I) + 2 sum_pairs lambda_ij(I) m_i m_j + sum_amines phi(m_T) sum_X z_X^2 m_X
 *   lambda = beta/(1 + I/s),   phi = B m_T/(1 + m_T/m0),   m_T = m_Am + m_AmH of one amine,   X = HCO3-, CO3--
 *   ln gamma_i = dg/dm_i,   ln a_w = -M_w [ sum m + sum m_i ln gamma_i - g ]
 *
 * with Pitzer's slope A_phi(T), b = 1.2, and the pairs and media of terms.h. Without them partial pressures come out
 * two to four times too high. The medium goes as the square of the charge, as every effect of a less polar solvent
 * does (Born).
 *
 * Salts: no data. Their anions are given the term of the amine's (AmH+, HS-), by equivalents, and sodium and potassium
 * those of AmH+: an inference. With no terms at all neutralised salts would act by the Debye-Hueckel part unopposed.
 */
#ifndef LEANRICH_ACTIVITY_H
#define LEANRICH_ACTIVITY_H

#include "chemistry/species.h"
#include "chemistry/terms.h"

enum { ACTIVITY_PLACES = 2, ACTIVITY_PAIRS = 64 };

struct pair {
	enum species i, j;
	double beta;		   /* kg/mol, at the temperature; of ions of two charges by equivalents */
	double inverse_saturation; /* kg/mol, 0: linear */
};

/* What g needs at one temperature and solvent; g is linear in slope, beta and medium. */
struct activity {
	double slope; /* A_phi */
	struct pair pairs[ACTIVITY_PAIRS];
	size_t count;
	double medium[ACTIVITY_PLACES];	       /* B, kg/mol, of the amine in that place */
	double inverse_reach[ACTIVITY_PLACES]; /* 1/m0 */
};

/* Coefficients at one composition, and what their derivatives need. */
struct coefficients {
	double ionic_strength;
	double ln_gamma[SPECIES_COUNT];
	double ln_water;
	double curvature;		/* of g by I at fixed molalities, over 4 */
	double by_ionic[SPECIES_COUNT]; /* sum over the pairs of a species of lambda' m */
	double pair[ACTIVITY_PAIRS];	/* 2 lambda */
	double phi[ACTIVITY_PLACES][3]; /* phi and its first two derivatives by m_T */
	double bicarbonates;		/* sum z^2 m of HCO3- and CO3-- */
};

/* What of a solution decides its terms beside the temperature: amines in the order of their places, one or two. */
struct solvent {
	const enum amine *amines;
	size_t amine_count;
	double share[ACTIVITY_PLACES]; /* of each in all the amine, by moles: whose terms sodium takes */
	bool anion[2], cation; /* whether salts of each charge and sodium are present: pairs without are left out */
};

struct activity activity_at(const struct terms *terms, const struct solvent *solvent, double temperature);

/* The derivatives of slope, beta and medium by temperature, in the same places. */
struct activity activity_by_temperature(const struct terms *terms, const struct solvent *solvent, double temperature);

/* `share` 0 to 1 scales pairs and medium: 1 is the model, less is a way towards it. */
void activity_coefficients(
	const struct activity *activity, const double *molality, double share, struct coefficients *out);

/* g itself, mol/kg; with activity_by_temperature(), dg/dT at fixed molalities. */
double activity_excess(const struct activity *activity, const double *molality);

/* d(sum_i weight_i ln gamma_i)/dm_k for every species k, at the composition `coefficients` were computed for. */
void activity_slopes(
	const struct activity *activity, const struct coefficients *coefficients, const double *weight, double *slope);

/* The same where few species have a weight: those of a reaction. */
void activity_slopes_of(const struct activity *activity, const struct coefficients *coefficients,
	const enum species *species, const int *nu, int parts, double *slope);

#endif
