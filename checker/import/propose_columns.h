/* What a proposed map says of the columns of a sheet. Used by propose.c alone. */
#ifndef LEANRICH_IMPORT_PROPOSE_COLUMNS_H
#define LEANRICH_IMPORT_PROPOSE_COLUMNS_H

#include "import/evidence.h"
#include "import/fields.h"
#include "import/list_cell.h"
#include "import/listed.h"
#include "import/table.h"

enum confidence { LOW, MEDIUM, HIGH };

/* An operating case that sheets name. `joined`: it goes by the name of another. */
struct proposed_case {
	const char *id, *written, *title;
	bool joined;
};

struct proposing {
	struct arena *arena;
	const struct vocabulary *vocabulary;
	const struct words *words;
	struct problems *guesses;
	struct text sheets;
	struct proposed_case *cases;
	size_t named_count, named_capacity;
	enum decimal_sign decimal;
	bool has_normal, needs_normal;	       /* a case for what is stated beside those of others */
	const char **case_ids, **case_letters; /* in step; NULL: a case without one */
	size_t case_count, case_capacity;
	const struct sheet *whole; /* of which that is a block, or itself */
	const struct sheet *sheet; /* the one that is looked at */
	bool numbered;		   /* the tags of the table that is looked at stand with a name in one cell */
};

/* An attribute of the map. */
void propose_add(struct text *out, const char *name, const char *value);
const char *propose_one_line(struct arena *arena, const char *text);
const char *propose_word(enum confidence confidence);

/* A guess to be looked at: what was taken of a cell. */
void propose_guess(const struct proposing *all, struct place place, enum confidence confidence, const char *cell,
	const char *what);

/* The first column that gives the field of that name; NULL: none. */
const struct table_column *propose_column_of(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, const char *name);

/* The column of the names of items: one that is headed so, or a second one headed as the tags are; NULL: none. */
const struct table_column *propose_column_of_names(
	const struct proposing *all, const struct proposed *proposed, const struct table *table);

/* All columns: what each gives, the second of two that give the same as a note, and those that nothing is known for. */
void propose_columns(const struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct sheet *sheet, const struct cell_rules *rules);

/* In propose_units.c. "Unit", "Flow unit" at the right of figures that have none: each cell of it is a unit, or a dash. */
bool propose_gives_units(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	const struct table_column *column);

/* Does any cell hold more than a figure? */
bool propose_holds_words(const struct table *table, const struct table_column *column);

#endif
