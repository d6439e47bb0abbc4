/* One record of a sheet into the draft, by what the sheet lists. */
#ifndef LEANRICH_IMPORT_RECORDS_H
#define LEANRICH_IMPORT_RECORDS_H

#include "import/package.h"

/* `tag`: its own, or that of the record above which it continues; NULL: none. */
void record_read(struct record *record, const char *tag);

/* In records_streams.c, records_lists.c and records_laboratory.c. */
void record_read_stream(struct record *record, const char *tag);
void record_read_line(struct record *record, const char *tag);
void record_read_nozzle(struct record *record, const char *tag);
void record_read_relief(struct record *record, const char *tag);
void record_read_valve(struct record *record, const char *tag); /* in records_valves.c */
void record_read_analysis(struct record *record);
void record_read_result(struct record *record);
void record_read_basis(struct record *record, const char *parameter); /* in records_basis.c */

struct basis_parameter;
/* In records_basis_place.c: where a description has the parameter, made where it may be; NULL: nowhere, or in several places. */
struct draft_item *basis_place(
	struct record *record, const struct field_column *column, struct basis_parameter of, const char **why);
/* The one item of that kind whose attribute has the word; NULL: none. `*several`: there are more. */
struct draft_item *basis_only(
	const struct draft *draft, const char *element, const char *attribute, const char *word, bool *several);
/* The limits that the treated gas is held to. */
struct draft_item *basis_specification(struct draft *draft, const struct draft_item *gas);

struct arena *record_arena(const struct record *record);
struct draft *record_draft(const struct record *record);

/* The next column, from `*at`, that the map knows and whose cell holds something nobody has dealt with; NULL: no more. */
const struct field_column *record_pending(const struct record *record, size_t *at);

/* The cell as a note of the item, with its heading where `headed`. */
void record_note(struct record *record, struct draft_item *item, const struct field_column *column, bool headed);

/* Does the column, or the cell, speak of walls of tubes by their gauge? */
bool record_is_gauge(const struct record *record, const struct field_column *column, const char *attribute);

/* The cell as what its column gives, of the item or where that stands: a side, a count, two metals. */
void record_state_field(struct record *record, const struct field_column *column, struct draft_item *item);

/* A service, or words that speak of one: these are its name too. */
void record_state_service(struct record *record, const struct field_column *column, struct draft_item *item);

/* In records_equipment.c: the part of the item that the record speaks of, or the item itself. */
struct draft_item *record_part(struct record *record, struct draft_item *item);

/* Do the words name a part of an item: a shell, an impeller, trays? */
bool record_is_part(struct arena *arena, const char *name);

/* The item that the tag in the column names: one that is there, or one of the kind that the map or its name says; NULL: left. */
struct draft_item *record_equipment(struct record *record, const struct field_column *column, const char *tag);

/* In records_metals.c: a metal with what clads it and its grade; two metals in one cell; words that say that there is some. */
void record_state_material(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute);
void record_state_casing_and_impeller(
	struct record *record, const struct field_column *column, struct draft_item *item);
bool record_state_cladding(struct record *record, const struct field_column *column, struct draft_item *item);
bool record_state_insulation(struct record *record, const struct field_column *column, struct draft_item *item);
bool record_state_tracing(struct record *record, const struct field_column *column, struct draft_item *item);

/* In records_pairs.c: two values in one cell; and whether a cell speaks of the two sides of an item and does not say how. */
void record_state_size_and_schedule(struct record *record, const struct field_column *column, struct draft_item *item);
void record_state_pair(struct record *record, const struct field_column *column, struct draft_item *item);
void record_state_dimensions(struct record *record, const struct field_column *column, struct draft_item *item);
/* In records_battery.c: an end of a line beyond the unit, which becomes a battery limit. */
void record_find_limit(struct record *record, const struct field_column *column, const char *text);

/* In records_gas_ends.c: what a gas is by the equipment at its ends; NULL: they do not tell. */
const char *record_role_by_ends(const struct record *record);
/* What a line of gas carries by the equipment at its ends: treated gas from an absorber; NULL: they do not tell. */
const char *record_service_by_ends(const struct record *record);
/* The gas as that of the equipment that the column names; false: it is none that has such a gas. */
bool record_state_gas_end(struct record *record, const struct field_column *column);

/* Of several streams of that service, or gases of that role, the one at the only absorber; NULL: none, or of several absorbers. */
struct draft_item *record_at_absorber(const struct record *record, const char *subject);

/* In records_streams.c: a column whose unit stands in the next has that of this record. */
void record_take_units_beside(struct record *record);

/* In records_trips.c: a trip of the item; false: the tag is of no trip, or nothing is known that it trips. */
bool record_read_trip(struct record *record, const char *tag, struct draft_item *of);

/* In records_amounts.c: amounts with units in a column of sizes; false: none of them is certain, and nothing was stated. */
bool record_state_amounts(struct record *record, const struct field_column *column, struct draft_item *item);
bool record_is_of_two_sides(const struct record *record, const struct field_column *column,
	const struct draft_item *place, const char *attribute);

/*
 * "12 / 12", "CS / 316L", "Shell CS / tubes 316L": what the shell and the tubes have, where the words, the heading or the sheet say which
 * comes first, or both are the same. False: nothing says it, and nothing was stated.
 */
bool record_state_sides(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute);

/*
 * The stream of a service that a sample or a limit is of: the only one; of several rich ones that which has by far the highest
 * pressure, as it leaves the absorber, before it is let down. `*several`: there are more. NULL: none, or not known.
 */
const struct draft_item *record_stream_of(const struct draft *draft, const char *service, bool *several);

/*
 * In records_limits.c: a limit on a quantity of an item or of "solvent", `bound` at-most or at-least; NULL: another stands already. A
 * row or column of limits of a laboratory: whether its name says so, and what it gives, the rest kept as a note.
 */
struct draft_item *record_state_limit(struct record *record, const struct field_column *column, const char *about,
	const char *quantity, const char *bound, const char *value);
bool record_is_of_limits(const struct record *record, const char *name);
void record_read_limits(struct record *record, const char *name);
/* "43 - 46", "< 0.012" in the cell of the column, `called` "" where its words do not tell which side. False: nothing is certain. */
bool record_state_limit_of_lean(struct record *record, const struct field_column *column, const char *called);

/*
 * In records_laboratory.c, for records_results.c: where the sample was taken (NULL: nothing says it) and its service; the analysis
 * of the day and point (NULL: none, and the record is kept); and what was found, of one parameter.
 */
const struct field_column *record_sample_point(struct record *record);
const char *record_solution_of(struct record *record, const struct field_column *column);
struct draft_item *record_analysis(struct record *record, const char *written);
void record_state_found(struct record *record, const struct field_column *column, struct draft_item *item);

/* Is a strength that of another amine than the solution is of, or of free amine, less than the total? It is none then. */
bool record_is_other_amine(struct record *record, const struct field_column *column);

/* Of two powers in one cell that of the shaft; false: there are not two. */
bool record_state_shaft_power(struct record *record, const struct field_column *column, struct draft_item *item);

/*
 * In records_ends.c: "8.0 -> 61.0 / 45", "49 top, 66 btm", "1000 btm" as values of the ends that an arrow or a word names; quantity: pressure,
 * temperature or pressure-temperature. False: nothing names an end, or not all of it can be read, and nothing was stated.
 */
bool record_state_ends(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *quantity);

/* Two values of operation of a column as those of its top and bottom; false: they are none, and nothing was stated. */
bool record_state_top_and_bottom(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute);

/* The unit that alone fits a bare corrosion allowance; NULL: either may be meant. */
const char *record_allowance_unit(const char *text);

/* The word that a description has for the metal: by the map, or by the program's own words; NULL: none. */
const char *record_metal(const struct record *record, const struct field_column *column, const char *text);

/* In records_sides.c: sides by what is hot, readings of walls, two values under a heading of both, conditions with units. */
struct draft_item *record_side_by_heat(
	struct record *record, struct draft_item *item, const char *side, const char **attribute);
bool record_state_reading(struct record *record, const struct field_column *column, struct draft_item *item);
void record_state_several(struct record *record, const struct field_column *column, struct draft_item *item);
bool record_state_conditions(struct record *record, const struct field_column *column, struct draft_item *item);

/* Plates have no tubes and no shell, whatever the headings of the list. */
bool record_speaks_of_plates(const struct record *record);

/* Is it the flow of vapour, or of liquid, in a record that has both? */
bool record_is_part_of_flow(const struct record *record, const struct field_column *column);

/* Where an attribute stands that the item itself has not: in a side of an exchanger, or by another word. */
struct draft_item *record_place(struct record *record, struct draft_item *item, const char *of, const char **attribute);

/* What a description has no attribute for is kept as it stands. */
void record_keep_as_note(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *why);

/* What the map says the item is, or NULL. */
const struct element *record_item(const struct record *record, const char *tag);

/* Notes of the record's remarks, at the item. */
void record_remarks(struct record *record, struct draft_item *item);

/* Keeps the record as one note of the unit, since nothing that is described is meant; what cannot be kept is left. */
void record_keep(struct record *record, const char *why);

/* Reports and leaves all cells of the record that have no outcome yet. */
void record_leave(struct record *record, const char *why);

#endif
