/*
 * What the tests of one rule before the items and cases of a unit share: rules and units of the test's own, and which case speaks.
 */
#ifndef LEANRICH_TESTS_EVALUATION_SUPPORT_H
#define LEANRICH_TESTS_EVALUATION_SUPPORT_H

#include "suite_trial.h"

#define OPEN(attributes)                                                                                               \
	"<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test' " attributes ">"
#define TAIL "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define VELOCITY "<input name='v' quantity='velocity' kind='velocity'/>"
#define AT_MOST_TWO "<limit at-most='2 m/s' source='read' known='read'/>"
#define OF_LINES OPEN("judged='v'") "<select kind='line'/>" VELOCITY AT_MOST_TWO TAIL
#define UNIT(cases, body)                                                                                              \
	"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'>" cases "</basis>" body "</unit>"
/* Every case has to change something: here it is a stream that nothing looks at. */
#define OF_THREE(body)                                                                                                 \
	UNIT("<case id='normal'/><case id='summer'/><case id='winter'/>",                                              \
		"<stream id='z'><in case='summer' temperature='50 degC'/><in case='winter' temperature='30 "           \
		"degC'/></stream>" body)

/* 2.5 m/s in the normal case and in winter. */
#define IN_SUMMER(velocity)                                                                                            \
	OF_THREE("<line tag='P-1' velocity='2.5 m/s'><in case='summer' velocity='" velocity "'/></line>")

#define TRACED(attributes) "<input name='t' quantity='traced' kind='yes-no' " attributes "/>"
#define PWHT(attributes) "<input name='p' quantity='pwht' kind='yes-no' " attributes "/>"

#define OF_LINE(attributes) UNIT("", "<line tag='P-1' " attributes "/>")

/* The finding of TST-001 on the item `tag`. */
const struct finding *of_design(const char *rules, const char *design, const char *tag);
/* The id of the case that speaks, or "every". */
const char *case_of(const struct finding *found);
void expect_case(const struct finding *found, enum verdict verdict, const char *name);

#endif
