/*
 * The records of headroom and sweep as JSON, and what these share with that of a comparison. Their schemas are beside that of
 * the review (write/headroom.schema.json, write/sweep.schema.json, write/compare.schema.json).
 */
#ifndef LEANRICH_WRITE_RECORD_H
#define LEANRICH_WRITE_RECORD_H

#include <jansson.h>
#include <stdio.h>

#include "revamp/course.h"
#include "revamp/headroom.h"

/* Of whom a record speaks. */
struct record_unit {
	const char *number, *name, *revision, *file;
};

struct record_unit record_unit_of(const struct table *table, const char *file);

struct headroom_report {
	struct arena *arena;
	const struct headroom *headroom;
	struct record_unit unit;
	const char *driver;
};

struct sweep_report {
	struct arena *arena;
	struct course course;
	struct record_unit unit;
};

bool write_headroom_json(const void *report, FILE *out); /* of a struct headroom_report */
bool write_headroom_html(const void *report, FILE *out); /* the page; write_headroom.c */
void write_headroom_text(const struct headroom_report *report, FILE *out);

bool write_sweep_json(const void *report, FILE *out); /* of a struct sweep_report */
bool write_sweep_html(const void *report, FILE *out); /* the page; write_sweep.c */
bool write_sweep_csv(
	const void *report, FILE *out); /* one row for each value, two columns for each finding that moves */
void write_sweep_text(const struct sweep_report *report, FILE *out);

json_t *record_unit(const struct record_unit *unit);
json_t *record_number(double number); /* null where there is none: JSON has no NaN */

/* Adds the cautions, writes the record in one piece and gives it back; NULL in or a full disk: false. */
bool record_save(json_t *root, FILE *out);

#endif
