/*
 * The sheets of a package read into a draft (draft.h), by a map (map.xsd).
 *
 * Each cell under a heading has one fate: it arrived, it arrived as it was interpreted, or it was left; the last two are
 * reported by their cell ("Streams!B7") with the reason, and all are counted. Headings are looked for wherever they stand.
 * Equipment is read first, then streams, lines, nozzles, relief and laboratory, whatever the order of the sheets.
 */
#ifndef LEANRICH_IMPORT_PACKAGE_H
#define LEANRICH_IMPORT_PACKAGE_H

#include "import/draft.h"
#include "import/fields.h"
#include "import/list_cell.h"
#include "import/table.h"
#include "read/element.h"

enum cell_outcome { OUTCOME_NONE, OUTCOME_STRUCTURE, OUTCOME_ARRIVED, OUTCOME_INTERPRETED, OUTCOME_LEFT };

/* The columns of a sheet of the map: beside thousands of items they are few, and every cell is held against them. */
struct map_sheet {
	const struct element *const *columns;
	size_t count;
};

struct package {
	struct arena *arena;
	const struct vocabulary *vocabulary;
	const struct words *words;
	const struct element *map; /* its root */
	struct problems *faults, *doubts;
	struct draft draft;
	const struct workbook *workbooks; /* those that are read */
	size_t workbook_count;
	struct hashed items;		    /* of the map, by their tags */
	const struct map_sheet *map_sheets; /* in step with the children of the map */
	size_t arrived, interpreted, left;
	struct gas_name {
		const char *name; /* as the design basis calls it, folded */
		struct draft_item *gas;
	} * gas_names;
	size_t gas_name_count, gas_name_capacity;
};

/* A column of a table beside what the map says of it. */
struct field_column {
	const struct table_column *column;
	const struct element *map; /* NULL: the map does not know it */
	const char *field, *of, *of_case;
	struct cell_rules rules;
	const struct sheet_cell *stands; /* at record `stands_at`: the cell, or what its ditto mark stands for */
	size_t stands_at;
};

/* One sheet being read. */
struct reading_sheet {
	struct package *package;
	const struct sheet *sheet;
	const struct element *map;
	enum sheet_lists lists;
	const char *document; /* with the name of the sheet */
	enum cell_outcome *outcomes;
	const struct table *table;
	struct field_column *columns; /* of the table, in step with its own */
	bool numbered;		      /* tags of streams stand with a name in one cell */
	const char *section;	      /* what the rows below a row of words are: "Pumps"; NULL: nothing is said */
	const char *owner;	      /* of nozzles and relief: the tag that stands above */
};

/* One record of it. */
struct record {
	struct reading_sheet *sheet;
	size_t at;
	const char *of_case; /* id, or NULL */
	const char *cells;   /* "D5:D20" */
	struct draft_item *item;
	const char *named; /* what stands beside the tag in its cell, or NULL */
};

/* Makes the items of the map known by their tags, and its columns. */
void package_open_map(struct package *package);

/* From here on record_cell() gives the cells of this record without a search; records come in their order. */
void record_begin(const struct record *record);

/* Reads what the map has a sheet for; what it has none for is reported. */
void package_read(struct package *package, const struct workbook *workbooks, size_t count);

/* Has the cell been dealt with? */
bool record_is_done(const struct record *record, const struct field_column *column);

/* Leaves without a report of its own. */
void record_pass_at(const struct record *record, size_t at, enum cell_outcome outcome);
void record_pass(struct record *record, const struct field_column *column, enum cell_outcome outcome);

/* Of a record: the text under a field (NULL: no such column, "" nothing there), and its column. */
const struct field_column *record_column(const struct record *record, const char *field);
const char *record_text(const struct record *record, const char *field);
const struct sheet_cell *record_cell(const struct record *record, const struct field_column *column);
/* record_cell gives what a ditto mark stands for; this says so, once the record is read. */
void record_say_ditto(const struct record *record);

void record_arrived(struct record *record, const struct field_column *column);
void record_interpreted(struct record *record, const struct field_column *column, const char *as, const char *why);
/* Not read, for this reason: kept as a note of the record's item, or left where there is none or nothing to keep. */
void record_left(struct record *record, const struct field_column *column, const char *why);

/* A dash, "n/a": the cell says that there is nothing. */
bool record_says_nothing(const struct record *record, const struct field_column *column);

/* The document and the cells of the record. */
const char *record_source(const struct record *record);

/* The text of the cell as a note of the item: with its heading, its case, and whose it is where that has no notes. */
const char *record_as_note(
	const struct record *record, const struct field_column *column, const struct draft_item *item);

/* The cell as an attribute of the item; false when it was left, which is said then. */
bool record_state(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute);

/* A value that was calculated from the cell, or that it implies. */
bool record_state_value(struct record *record, const struct field_column *column, struct draft_item *item,
	const char *attribute, const char *value);

#endif
