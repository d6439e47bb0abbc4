/* The plan of changes as text and as a record (write/plan.schema.json), and remedies tried in words. */
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

/* One change tried, without whose remedy it is. */
json_t *tried_object(const struct tried *tried);

/* "clears VEL-001 on 6-P-3107; breaks FIT-002 on N3 (Justify)": "changes no finding" where it does neither. */
const char *tried_words(struct arena *arena, const struct tried *tried);

#endif
