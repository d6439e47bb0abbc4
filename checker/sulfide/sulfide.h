/*
 * Which iron scale to expect on carbon steel in a loaded amine, and whether it can act as a barrier.
 *
 * First what is stable: a solid only where its saturation iron lies below the iron that is there; no sulfide without
 * HS-; siderite where carbonate wins over sulfide. Then which sulfide is expected, by a screening model of two steps
 * in series, first order in the solid (h: molality of molecular H2S):
 *
 *   mackinawite -> troilite, pyrrhotite -> pyrite
 *   k1 = 10^-4.98 (h/0.01)^0.35 exp[-198000/R (1/T - 1/393.15)]                     1/s
 *   k2 = h/[1/(10^-2.07 kR) + 1/kn],  kR = 3.20e-3 exp[-35000/R (1/T - 1/398.15)]   (Rickard 1997)
 *                                     kn = 10^-3.62 exp[-283000/R (1/T - 1/393.15)] L/mol/s
 *   M = exp(-k1 t),  P = k1/(k2 - k1) [exp(-k1 t) - exp(-k2 t)],  Y = 1 - M - P
 *
 * averaged over an independent log-normal scatter of half a decade on k1 and k2. Calibrated on 21-200 degC, h
 * 0.0039-1.8 mol/kg, 24-8760 h (calibration.h); rates are good to a decade. Every lean amine lies below that h: there
 * the answer is extrapolated, and a barrier is never more than doubtful.
 *
 * Plain doubles in SI: K, Pa, s, mol/kg of water, kg of iron per kg of solution. No allocation, no state.
 */
#ifndef LEANRICH_SULFIDE_H
#define LEANRICH_SULFIDE_H

#include <stdbool.h>

#include "base/truth.h"
#include "chemistry/solution.h"

#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
#include "sulfide/sulfide.def"

enum solid {
#define SOLID(code, shown, sulfide, a1, a2, a3, a4, a5) SOLID_##code,
#include "sulfide/sulfide.def"
	SOLID_COUNT
};

enum scale { SCALE_NONE, SCALE_SIDERITE, SCALE_MACKINAWITE, SCALE_DENSE, SCALE_COUNT };
enum side { SIDE_LEAN, SIDE_RICH };

/*
 * ROBUST: mackinawite below 75 degC, where data and practice agree. CALIBRATED: rates good to a decade. SATURATION: no
 * sulfide is expected, which equilibrium alone decides.
 */
enum confidence { CONFIDENCE_ROBUST, CONFIDENCE_CALIBRATED, CONFIDENCE_EXTRAPOLATED, CONFIDENCE_SATURATION };

/* Shares of the sulfide; they sum to 1, or are all 0 where none is stable. */
struct fractions {
	double mackinawite, pyrrhotite, pyrite;
};

struct scale_answer {
	enum scale scale;
	struct fractions fractions;
	bool extrapolated;
	enum confidence confidence;
	enum truth barrier;	     /* does it act as one? PERHAPS: doubtful */
	enum scale by_temperature;   /* what the plain rule says: mackinawite below 120 degC, else dense */
	double saturation_sulfide;   /* iron over mackinawite, kg/kg; infinite where there is no HS- */
	double saturation_carbonate; /* iron over siderite, kg/kg; infinite where there is no HCO3- */
	double carbonate_share; /* activity of HCO3- over HS-, as a share of where siderite takes over; infinite without HS- */
};

/* log10 of the solubility constant as sulfide.def gives it. */
double sulfide_log_k(enum solid solid, double temperature);

/* log10 K* of FeS + 2 H+ = Fe2+ + H2S(aq): log K + pK1(H2S); NaN for siderite. */
double sulfide_log_k_star(enum solid solid, double temperature);
double sulfide_log_k_star_benning(double temperature); /* mackinawite by Benning, Wilkin & Barnes 2000 */

/* Iron in equilibrium with the solid, kg/kg solution; activity coefficient of Fe2+ taken as 1. */
double sulfide_saturation_iron(enum solid solid, const struct solution *solution);

/* The rates without scatter, 1/s. */
double sulfide_rate_first(double temperature, double h2s);
double sulfide_rate_second(double temperature, double h2s);

/* Shares at given rates and age; exact where the two rates meet. */
struct fractions sulfide_point_fractions(double first, double second, double age);

/* Shares averaged over the scatter of both rates; `faster` multiplies them (1: as calibrated). */
struct fractions sulfide_fractions(double temperature, double h2s, double age, double faster);
double fractions_dense(struct fractions fractions);

/* The dense share alone, averaged as above; for searches, because it needs the first rate only. */
double sulfide_dense_share(double temperature, double h2s, double age);

bool sulfide_in_calibration(double temperature, double h2s, double age);
enum scale sulfide_by_temperature(double temperature);

/* min(exposure, thickness/(2.6 rate)), s; `corrosion_rate` m/s, NaN or 0: not known. */
double sulfide_film_age(double exposure, double corrosion_rate);

/* The answer for one state. `iron` kg/kg; `solution` must be fine. */
struct scale_answer sulfide_answer(const struct solution *solution, double iron, double age, enum side side);

/* The same at `count` ages, s: what the solution alone decides is calculated once. */
void sulfide_answers(const struct solution *solution, double iron, enum side side, const double *ages, size_t count,
	struct scale_answer *answers);

/* The scale alone at given shares: what is stable decides first. */
enum scale sulfide_scale(
	double saturation_sulfide, double saturation_carbonate, double iron, struct fractions fractions);

const char *scale_word(enum scale scale);		 /* "mackinawite", "dense", "siderite", "none" */
const char *barrier_word(enum truth barrier);		 /* "no", "doubtful", "yes" */
const char *confidence_word(enum confidence confidence); /* "robust", ..., "by saturation" */

#endif
