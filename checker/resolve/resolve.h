/*
 * From what is written to what is meant: units, kinds, choices, references, operating cases, restatements.
 *
 * Fills a table (table.h) with one item per element of the description. Defaults are recorded as ASSUMED, never silently
 * used. Nested parts inherit the metal they are made of. A word whose choice has a family adds
 * "<name>-family". Every statement of a value is kept with its document, place and case (table_statements); the item's own
 * attribute is used, else the first restatement, and the others are compared once everything is computed (compute/restated.h).
 */
#ifndef LEANRICH_RESOLVE_H
#define LEANRICH_RESOLVE_H

#include "read/element.h"
#include "resolve/table.h"

/* NULL when the description has faults; all of them are in `problems`. */
struct table *resolve(struct arena *arena, const struct element *unit, struct problems *problems);

/*
 * Another value in the place of one that is stated: what a contradiction would have instead. `quantity` NULL: the value is left out, in
 * every case.
 */
struct instead {
	const char *tag, *name;
	int operating_case;
	const struct quantity *quantity;
	const struct table *as_is; /* the description resolved as it is, whose values need not be read again; or NULL */
};

/* As resolve, of a description that has no faults, with one value replaced before it is handed down to parts. */
const struct table *resolve_instead(struct arena *arena, const struct element *unit, const struct instead *instead);

/* The element that an item was made of, and the item that was made of an element, told by their places. NULL: none. */
const struct element *resolve_element(const struct element *unit, const struct item *item);
const struct item *resolve_item(const struct table *table, const struct element *element);

/* 101.325 kPa: taken when the site's barometric pressure is not stated. */
extern const double STANDARD_BAROMETRIC_PRESSURE;

#endif
