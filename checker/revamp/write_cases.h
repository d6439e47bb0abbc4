/* The solved cases as text, as a page and as a record (write/cases.schema.json); each prints what cases.h holds. */
#ifndef LEANRICH_WRITE_CASES_H
#define LEANRICH_WRITE_CASES_H

#include "revamp/cases.h"
#include "revamp/write_record.h"

struct cases_report {
	struct arena *arena;
	const struct cases *cases;
	struct record_unit unit;
};

bool write_cases_json(const void *report, FILE *out); /* of a struct cases_report */
bool write_cases_html(const void *report, FILE *out);
void write_cases_text(const struct cases_report *report, FILE *out);

/* Words and counts that these share. */
const char *cases_equipment(struct arena *arena, const struct circuit_unit *unit); /* what it was found to do */

const char *cases_number(struct arena *arena, double value, enum kind kind); /* "not stated" where it is NaN */
const char *cases_off(struct arena *arena, const struct off_specification *off);
size_t cases_departures(const struct solved_case *row, bool into); /* turns into a departure, or out of one */

/* Values worth a line: of streams, towers and coolers that changed, or (of a stated case) that the case states. */
bool cases_is_told(const struct case_turn *turn);
bool cases_is_shown(const struct solved_case *row, const struct solved_value *value);

#endif
