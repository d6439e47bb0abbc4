#include "import/records.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/guess.h"

/* ---- one sample a row ---- */

static bool is_of_service(const struct draft_item *item, const char *service)
{
	bool of = false;
	for (size_t k = 0; k < item->count && strcmp(item->element->name, "stream") == 0; k++)
		of = of ||
			(strcmp(item->values[k].attribute, "service") == 0 &&
				strcmp(item->values[k].value, service) == 0);
	return of;
}

/* The largest pressure that is stated of the stream, Pa; negative: none. */
static double pressure_of(const struct draft_item *item)
{
	double most = -1;
	for (size_t k = 0; k < item->count; k++) {
		double factor, offset;
		char *unit;
		double value = strtod(item->values[k].value, &unit);
		if (strcmp(item->values[k].attribute, "pressure") == 0 &&
			unit_find(KIND_PRESSURE, unit + strspn(unit, " "), 101325, &factor, &offset) &&
			value * factor + offset > most)
			most = value * factor + offset;
	}
	return most;
}

/* Common practice, no source. */
const struct draft_item *record_stream_of(const struct draft *draft, const char *service, bool *several)
{
	const double apart = 1.5;
	const struct draft_item *first = NULL;
	size_t count = 0;
	double most = -1, next = -1;
	for (size_t i = 0; i < draft->count; i++) {
		if (!is_of_service(draft->items[i], service))
			continue;
		double pressure = pressure_of(draft->items[i]);
		count++;
		if (pressure > most || !first) {
			next = most;
			most = pressure;
			first = draft->items[i];
		} else if (pressure > next) {
			next = pressure;
		}
	}
	*several = count > 1;
	bool leaves_absorber = strcmp(service, "rich") == 0 && next > 0 && most > apart * next;
	return count == 1 || leaves_absorber ? first : NULL;
}

/* "L", "R" (in German "M", "R") where a column has those letters and no other: lean and rich; NULL: it is no such column. */
static const char *by_letter(const struct record *record, const struct field_column *column)
{
	const struct table *table = record->sheet->table;
	const char *own = record_cell(record, column)->text;
	size_t lean = 0, rich = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, column->column->at)->text;
		bool is_lean = strcmp(text, "L") == 0 || strcmp(text, "M") == 0;
		if (*text && !is_lean && strcmp(text, "R") != 0)
			return NULL;
		lean += is_lean;
		rich += *text && !is_lean;
	}
	return !lean || !rich || !*own ? NULL : *own == 'R' ? "rich" : "lean";
}

const char *record_solution_of(struct record *record, const struct field_column *column)
{
	const char *service = guess_service(record_arena(record), record_cell(record, column)->text);
	return service ? service : by_letter(record, column);
}

/* Is it headed as a stream, and its cell the number of one that is described? */
static bool numbers_stream(const struct record *record, const struct field_column *column)
{
	const struct package *package = record->sheet->package;
	const struct draft_item *item = draft_find(&package->draft, record_cell(record, column)->text);
	return item && strcmp(item->element->name, "stream") == 0 &&
		strcmp(words_concepts(
			       package->arena, package->words, words_fold(package->arena, column->column->heading)),
			"stream") == 0;
}

/* Where the sample was taken: its column, or one that nothing is known of whose cell speaks of a solution ("rich"). */
const struct field_column *record_sample_point(struct record *record)
{
	enum { LONGEST = 40 };
	const struct field_column *point = record_column(record, "stream");
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (text_same(column->field, "note") && numbers_stream(record, column))
			return column; /* beside the words of its point */
	}
	for (size_t i = 0; !point && i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const char *text = record_cell(record, column)->text;
		if (text_same(column->field, "note") && strlen(text) <= LONGEST && record_solution_of(record, column))
			point = column;
	}
	return point;
}

/* "Lean amine, stream 12", "Strom 7": the stream whose number follows that word; NULL: none that is described. */
static const struct draft_item *by_number(const struct record *record, const char *text)
{
	static const char words[] = "stream|strom|courant|corriente|stroom|stream no|strom nr";
	struct arena *arena = record_arena(record);
	for (const char *at = text, *before = ""; *at;) {
		size_t length = strcspn(at, " ,:()#");
		const char *word = arena_copy_span(arena, at, length);
		const struct draft_item *item = words_are_one_of(arena, words_fold(arena, before), words)
			? draft_find(record_draft(record), word)
			: NULL;
		if (item && strcmp(item->element->name, "stream") == 0)
			return item;
		before = length && strcmp(words_fold(arena, word), "no") != 0 &&
				strcmp(words_fold(arena, word), "nr") != 0
			? word
			: before;
		at += length + (at[length] != '\0');
	}
	return NULL;
}

/* Is a sample taken there, whose service nobody says, plainly of something else than the solution? */
static bool is_of_something_else(struct arena *arena, const char *where)
{
	static const char *const others[] = {"wasser", "water", "kondensat", "condens", "reflux", "rucklauf",
		"ruckfluss", "agua", "reflujo", "gas", "dampf", "steam"};
	const char *folded = words_fold(arena, where);
	bool other = words_within(arena, folded, "eau|eaux|vapeur|vapor") > 0;
	for (size_t i = 0; i < COUNT(others) && !other; i++)
		other = strstr(folded, others[i]) != NULL;
	return other;
}

/* A result of something that is not described: one note of the unit, whole, though its day and point stand at the head of others. */
static void keep_result(struct record *record, const char *why)
{
	static const char *const fields[] = {"date", "stream", "parameter", "sign", "value", "unit", "remark"};
	struct package *package = record->sheet->package;
	struct text words = text_in(package->arena);
	const struct field_column *value = record_column(record, "value");
	for (size_t i = 0; i < COUNT(fields); i++) {
		const struct field_column *column = record_column(record, fields[i]);
		const char *text = column ? record_cell(record, column)->text : "";
		if (!column || !*text || record_cell(record, column)->hidden)
			continue;
		text_addf(&words, "%s%s",
			!words.length					? ""
				: text_has_word("parameter", fields[i]) ? ": "
									: " ",
			text);
		record_pass(record, column, OUTCOME_INTERPRETED);
	}
	draft_add_note(&package->draft, NULL, words.data, record_source(record));
	if (value)
		problem_add(package->doubts, PROBLEM_CELL_INTERPRETED,
			table_place(record->sheet->table, record->at, value->column->at),
			"%s: %s: kept as a note: of the unit; %s",
			table_cell_name(package->arena, record->sheet->table, record->at, value->column->at),
			words.data, why);
	record_leave(record, why);
}

static void keep_sample(struct record *record, const char *why)
{
	if (record->sheet->lists == LISTS_RESULTS)
		keep_result(record, why);
	else
		record_keep(record, why);
}

struct draft_item *record_analysis(struct record *record, const char *written)
{
	const struct field_column *column = record_column(record, "date"), *point = record_sample_point(record);
	struct arena *arena = record_arena(record);
	struct draft *draft = record_draft(record);
	const char *where = point ? record_cell(record, point)->text : "",
		   *service = *where ? record_solution_of(record, point) : NULL;
	const char *day = record_cell(record, column)->kind == SHEET_DATE
		? written
		: list_cell_date(arena, written, column->rules.dates);
	if (!day && !list_cell_date(arena, written, DAY_FIRST)) {
		keep_sample(record, "no date");
		return NULL;
	}
	const struct draft_item *numbered = *where && !draft_find(draft, where) ? by_number(record, where) : NULL;
	bool several = false;
	const struct draft_item *only = numbered       ? numbered
		: service && !draft_find(draft, where) ? record_stream_of(draft, service, &several)
						       : NULL;
	if (*where && !only && !draft_find(draft, where) && service && strcmp(service, "lean") != 0) {
		keep_sample(record,
			"a sample of a stream that is not described; only those of lean solution speak for the "
			"solvent");
		return NULL;
	}
	if (*where && !only && !draft_find(draft, where) && !service && is_of_something_else(arena, where)) {
		keep_sample(record, "a sample of something else than the solution");
		return NULL;
	}
	struct draft_item *solvent = draft_item(draft, NULL, "solvent", NULL, NULL, "solvent");
	const char *identity = arena_join(arena, day ? day : written, " ", where, "");
	struct draft_item *item = draft_item(draft, solvent, "dated-analysis", day ? "date" : NULL, day, identity);
	record_arrived(record, column);
	if (!day) { /* the analysis without its day, which stands in a note */
		record_note(record, item, column, true);
		record_interpreted(record, column, "a note", "day and month cannot be told apart");
	}
	if (*where && draft_find(draft, where))
		record_state(record, point, item, "stream");
	else if (only && record_state_value(record, point, item, "stream", only->key))
		record_interpreted(record, point, only->key,
			numbered	  ? "the stream of that number"
				: several ? "of several of that service the one at the highest pressure"
					  : "the only stream of that service");
	else if (*where)
		record_note(record, item, point, true);
	return item;
}

/* "HSS, wt% as MDEA": in what the salts are counted. */
static void state_basis(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char *const amines[] = {"MEA", "MDEA", "DEA", "DGA", "DIPA"};
	const char *folded = words_fold(record_arena(record), column->column->heading);
	for (size_t i = 0; i < COUNT(amines); i++)
		if (words_within(record_arena(record), folded, words_fold(record_arena(record), amines[i])))
			record_state_value(record, column, item, "salts-as", amines[i]);
}

/* "Reichamin" over the heading of the column, where that names no result itself; NULL: nothing stands over it, or such a one. */
static const char *group_of(struct record *record, const struct field_column *column)
{
	struct package *package = record->sheet->package;
	const char *heading = column->column->heading, *end = strstr(heading, " / ");
	const char *group = end ? arena_copy_span(package->arena, heading, (size_t)(end - heading)) : NULL;
	return group && !fields_find(package->arena, package->words, LISTS_LABORATORY, group).name ? group : NULL;
}

/*
 * The service of another solution than the lean, whose block of a turned table, or group of columns, the column is in; NULL:
 * none.
 */
static const char *other_service(struct record *record, const struct field_column *column)
{
	struct package *package = record->sheet->package;
	const char *section = column->column->section ? column->column->section : group_of(record, column),
		   *service = section ? guess_service(package->arena, section) : NULL, *unit;
	const char *heading = words_without_unit(package->arena, package->words, column->column->heading, &unit);
	if (!service &&
		text_has_word(
			words_concepts(package->arena, package->words, words_fold(package->arena, heading)), "rich"))
		service = "rich"; /* "Rich iron" */
	return service && strcmp(service, "lean") != 0 ? service : NULL;
}

/* What was found in another solution than the lean, in a record about that: "loading" of the rich solution. */
static void state_of_other(struct record *record, const struct field_column *column, struct draft_item *item,
	const char *service, const char *field)
{
	struct arena *arena = record_arena(record);
	bool several;
	const struct draft_item *rich = record_stream_of(record_draft(record), service, &several);
	if (!rich || text_has_word("note remark", field)) {
		draft_add_note(record_draft(record), item,
			arena_join(arena, service, ": ",
				arena_join(arena, column->column->heading, ": ", record_cell(record, column)->text, ""),
				""),
			record_source(record));
		record_arrived(record, column);
		if (!rich)
			record_interpreted(record, column, "a note",
				arena_format(arena,
					"of the %s solution, and there is no stream of it, or which of several is not "
					"told",
					service));
		return;
	}
	struct draft_item *other = draft_item(record_draft(record), item->parent, "dated-analysis", item->key_attribute,
		item->key, arena_join(record_arena(record), item->identity, " of ", rich->key, ""));
	record_state_value(record, column, other, "stream", rich->key);
	if (vocabulary_attribute(other->element, field)) {
		bool stated = record_state(record, column, other, field);
		if (stated && several)
			record_interpreted(record, column, arena_join(arena, field, " of ", rich->key, ""),
				"of several of that service the one at the highest pressure");
	} else
		record_keep_as_note(record, column, other, "an analysis has no such result in a description");
}

/* "h2s", "co2" where the column gives the moles of that for each of amine; NULL: it does not, or its unit does not say so. */
static const char *loading_part(const struct record *record, const struct field_column *column)
{
	const char *unit = column->rules.unit ? column->rules.unit : "";
	bool sure = strcmp(unit, "mol/mol") == 0 ||
		strstr(words_fold(record_arena(record), column->column->heading), "load") ||
		strstr(words_fold(record_arena(record), column->column->heading), "bel");
	return strcmp(column->field, "h2s loading") == 0 && sure    ? "h2s"
		: strcmp(column->field, "co2 loading") == 0 && sure ? "co2"
								    : NULL;
}

/* The amines of `folded`, one bit each; "free" amine apart. */
static unsigned amines_in(struct arena *arena, const char *folded)
{
	static const char *const amines[] = {"mea", "mdea", "dea", "dga", "dipa"};
	unsigned in = 0;
	for (size_t i = 0; i < COUNT(amines); i++)
		in |= words_within(arena, folded, amines[i]) ? 1u << i : 0;
	return in;
}

static bool is_of_free_amine(struct arena *arena, const char *heading)
{
	return words_within(arena, words_fold(arena, heading), "free|frei|freies|freie|libre|vrij|vrije|libero|livre") >
		0;
}

static bool has_stated(const struct draft_item *item, const char *attribute)
{
	bool stated = false;
	for (size_t i = 0; i < item->count; i++)
		stated = stated || strcmp(item->values[i].attribute, attribute) == 0;
	return stated;
}

static bool is_not_found(const struct record *record, const struct field_column *column)
{
	static const char words[] = "n n|nn|not detected|none detected|nicht nachweisbar|nicht nachgewiesen|unter "
				    "nachweisgrenze|unter bestimmungsgrenze|non detecte|no detectado|bdl|below "
				    "detection limit|below detection|bql|u n g|niet detecteerbaar|not found|nil";
	return record_says_nothing(record, column) ||
		words_are_one_of(record_arena(record),
			words_fold(record_arena(record), record_cell(record, column)->text), words);
}

/* A result that was looked for and not found is no value: "n.d." stays a note, and a dash nothing. */
static void note_not_found(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *service)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	bool dash = text[strspn(text, "-\u2013\u2014./ ")] == '\0';
	if (!dash && !record_cell(record, column)->hidden)
		draft_add_note(record_draft(record), item,
			arena_format(arena, "%s%s%s: %s", service ? service : "", service ? ": " : "",
				column->column->heading, text),
			record_source(record));
	record_arrived(record, column);
	if (!dash)
		record_interpreted(record, column, "a note", "no value is given");
}

/*
 * Is it the content of another amine than the solution is of, "DEA" in MDEA, or of the free amine, which is less than all that
 * there is: not the strength.
 */
bool record_is_other_amine(struct record *record, const struct field_column *column)
{
	struct arena *arena = record_arena(record);
	const char *heading = column->column->heading, *amine = record_draft(record)->amine;
	if (strcmp(column->field, "strength") != 0)
		return false;
	unsigned named = amines_in(arena, words_fold(arena, heading)),
		 own = amine ? amines_in(arena, words_fold(arena, amine)) : 0;
	return (named && own && !(named & own)) || is_of_free_amine(arena, heading);
}

/* What the laboratory found, of one parameter. */
void record_state_found(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char anions[] = "formate acetate oxalate thiosulfate sulfate thiocyanate";
	const char *service = other_service(record, column), *part = loading_part(record, column);
	if (is_not_found(record, column)) {
		note_not_found(record, column, item, service);
	} else if (record_is_other_amine(record, column)) {
		record_keep_as_note(
			record, column, item, "not the strength: of another amine, or of the free part of it");
	} else if (part && service) {
		state_of_other(record, column, item, service, part);
	} else if (part) {
		record_state(record, column, item, part);
	} else if (strcmp(column->field, "rich loading") == 0) {
		state_of_other(record, column, item, "rich", "loading");
	} else if (service) {
		state_of_other(record, column, item, service, column->field);
	} else if (text_has_word(anions, column->field)) {
		struct draft_item *anion =
			draft_item(record_draft(record), item, "anion", "name", column->field, column->field);
		record_state(record, column, anion, "content");
	} else {
		record_state_field(record, column, item);
		if (strcmp(column->field, "salts") == 0 && has_stated(item, "salts"))
			state_basis(record, column, item);
	}
}

void record_read_analysis(struct record *record)
{
	const char *date = record_text(record, "date");
	for (size_t i = 0; (!date || !*date) && i < record->sheet->table->count; i++) {
		const char *text = record_cell(record, &record->sheet->columns[i])->text;
		date = *text && record_is_of_limits(record, text) ? text
								  : date; /* "Limit" where the samples are named */
	}
	if (!date || !*date) {
		record_keep(record, "no date");
		return;
	}
	if (record_is_of_limits(record, date)) {
		record_read_limits(record, date);
		return;
	}
	struct draft_item *item = record->item = record_analysis(record, date);
	size_t at = 0;
	for (const struct field_column *column; item && (column = record_pending(record, &at));)
		record_state_found(record, column, item);
}
