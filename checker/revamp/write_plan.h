/* The plan of changes as text and as a record (write/plan.schema.json). */
#ifndef LEANRICH_WRITE_PLAN_H
#define LEANRICH_WRITE_PLAN_H

#include "revamp/plan.h"
#include "revamp/write_record.h"

struct plan_report {
	struct arena *arena;
	const struct plan *plan;
	struct record_unit unit;
};

/* `tried`: what each change does by itself too. */
bool write_plan_text(const struct plan_report *report, bool tried, FILE *out);
bool write_plan_json(const struct plan_report *report, FILE *out);

#endif
