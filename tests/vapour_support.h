/*
 * What the tests of gases, vapour and steam share: a unit reviewed, a number asked for, and the equation of state by hand.
 */
#ifndef LEANRICH_TESTS_VAPOUR_SUPPORT_H
#define LEANRICH_TESTS_VAPOUR_SUPPORT_H

#include "suite_trial.h"

/* A regenerator and the stream off its top, with room for more attributes of that. */
#define TOWER                                                                                                          \
	"<stream id='top' service='acid gas' from='C-2' flow='3 t/h' temperature='100 degC' pressure='1.8 bara' %s/>"  \
	"<stream id='rich' service='rich' h2s='0.30' co2='0.10'/><stream id='lean' service='lean' h2s='0.01' "         \
	"co2='0.005'/>"                                                                                                \
	"<regenerator tag='C-2' feed='rich' lean='lean' acid-gas='top'/>"

/* A unit on MDEA; fails where it is refused. */
void review(const char *body);
double number(const char *item, const char *name, const char *unit);
void expect_close(double value, double wanted, double relative, const char *what);
void expect_unknown(const char *item, const char *name, const char *reason);

/* Density, kg/m3, of a gas of `grams` per mol at `bar` absolute: P M / (z R T). */
double by_hand(double bar, double grams, double z, double celsius);
/* Of shares by mole. */
double z_of(double methane, double h2s, double co2, double celsius, double bar);

#endif
