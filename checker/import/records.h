/* One record of a sheet into the draft, by what the sheet lists. */
#ifndef LEANRICH_IMPORT_RECORDS_H
#define LEANRICH_IMPORT_RECORDS_H

#include "import/package.h"

/* `tag`: its own, or that of the record above which it continues; NULL: none. */
void record_read(struct record *record, const char *tag);

/* In records_streams.c. */
void record_read_stream(struct record *record, const char *tag);

/* What the map says the item is, or NULL. */
const struct element *record_item(const struct record *record, const char *tag);

/* Notes of the record's remarks, at the item. */
void record_remarks(struct record *record, struct draft_item *item);

/* Reports and leaves all cells of the record that have no outcome yet. */
void record_leave(struct record *record, const char *why);

#endif
