/*
 * What a package still permits as text and as a record, whose schema is write/permits.schema.json.
 */
#ifndef LEANRICH_WRITE_PERMITS_H
#define LEANRICH_WRITE_PERMITS_H

#include <stdio.h>

#include "resolve/doubtful.h"
#include "revamp/permits.h"
#include "revamp/write_record.h"

struct permits_report {
	struct arena *arena;
	struct permits permits;
	const struct table *table;
	struct record_unit unit;
	struct doubtful doubtful; /* what all of it rests on and no unit has */
};

bool write_permits_json(const struct permits_report *report, FILE *out);
void write_permits_text(const struct permits_report *report, FILE *out);

/* "h2s of lean-cold 0.031 mol/mol, pwht of C-301 no" */
const char *completion_words(struct arena *arena, const struct permit *permit, const struct completion *completion);

#endif
