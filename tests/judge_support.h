/*
 * What the tests of judging share: a rule about lines with everything a rule must have around what is tested.
 */
#ifndef LEANRICH_TESTS_JUDGE_SUPPORT_H
#define LEANRICH_TESTS_JUDGE_SUPPORT_H

#include "suite_trial.h"

#define RULE(id, force, attributes, body)                                                                              \
	"<rule id='" id "' since='1' title='Title' force='" force "' why-force='test' " attributes ">" body            \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define VELOCITY(limits)                                                                                               \
	RULE("TST-001", "recommended", "judged='v'",                                                                   \
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>" limits)

/* The finding of TST-001 on the line P-1. */
const struct finding *judge_line(const char *rules, const char *line);

/* Not judged, for this one reason. */
void expect_missing(const struct finding *found, const char *reason);
void expect_verdict(const struct finding *found, enum verdict verdict);

#endif
