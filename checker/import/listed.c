#include "import/listed.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/basis.h"
#include "import/evidence.h"
#include "import/guess.h"
#include "import/instrument.h"
#include "import/list_cell.h"
#include "import/trip_list.h"

struct of_kind {
	struct arena *arena;
	const struct words *words;
	enum sheet_lists lists;
	bool form; /* a data sheet: lines have none */
};

static bool is_key(const char *field)
{
	return strcmp(field, "tag") == 0 || strcmp(field, "date") == 0;
}

static bool knows(void *context, const char *heading, bool *key)
{
	const struct of_kind *kind = context;
	struct arena scratch = {NULL, 0}; /* every cell of a sheet is asked for */
	struct field field = fields_find(&scratch, kind->words, kind->lists, heading);
	bool known = field.name != NULL;
	*key = known && is_key(field.name);
	arena_release(&scratch);
	return known;
}

bool listed_is_key(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading)
{
	struct field field = fields_find(arena, words, lists, heading);
	return field.name && is_key(field.name);
}

const struct table_column *listed_column(struct arena *arena, const struct words *words,
	const struct proposed *proposed, const struct table *table, const char *name)
{
	for (size_t k = 0; k < table->count; k++) {
		const char *known = table->columns[k].known_as;
		if (known && text_same(fields_find(arena, words, proposed->lists, known).name, name))
			return &table->columns[k];
	}
	return NULL;
}

static size_t distinct_fields(const struct of_kind *kind, struct proposed *proposed)
{
	enum { MOST = 64 };
	const char *seen[MOST];
	size_t count = 0;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const char *heading = proposed->tables[t].columns[k].known_as;
			if (!heading)
				continue;
			struct field field = fields_find(kind->arena, kind->words, kind->lists, heading);
			const char *name = arena_join(kind->arena, field.name, field.of ? field.of : "", "", "");
			bool new = true;
			for (size_t i = 0; i < count && new; i++)
				new = strcmp(seen[i], name) != 0;
			proposed->key = proposed->key || is_key(field.name);
			if (new &&count < MOST)
				seen[count++] = name;
		}
	return count;
}

/* Do the names in most of its records speak of equipment? Then "Dia." is that of a vessel. */
static bool names_equipment(const struct of_kind *kind, const struct proposed *proposed)
{
	enum { LOOKED_AT = 40 };
	const struct table *table = proposed->tables;
	const char *const fields[] = {"service", "name", "class"};
	size_t named = 0, records = 0;
	for (size_t i = table->first; i < table->last && records < LOOKED_AT; i++) {
		bool speaks = false;
		records++;
		for (size_t k = 0; k < COUNT(fields) && !speaks; k++) {
			const struct table_column *column =
				listed_column(kind->arena, kind->words, proposed, table, fields[k]);
			const char *text = column ? table_at(table, i, column->at)->text : "";
			speaks = guess_equipment(kind->arena, "", "", text).by_name;
		}
		named += speaks;
	}
	return named * 2 > records;
}

static const struct table_column *key_of(const struct of_kind *kind, const struct table *table)
{
	for (size_t k = 0; k < table->count; k++)
		if (table->columns[k].known_as &&
			listed_is_key(kind->arena, kind->words, kind->lists, table->columns[k].known_as))
			return &table->columns[k];
	return NULL;
}

/* Are the tags known by their looks alone, under a heading that no such list has? */
static bool is_key_strange(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table_column *key = key_of(kind, proposed->tables);
	return key && !strstr(key->heading, key->known_as);
}

/* Do the records carry running numbers, 1 to the last? Nozzles are called so on no list of several vessels. */
static bool counts_on(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table);
	return key && table_counts_rows(table, key->at);
}

/* Do most of the records have tags of items? */
static bool has_tags(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table);
	size_t tags = 0, filled = 0;
	for (size_t i = table->first; key && i < table->last; i++) {
		const char *text = table_at(table, i, key->at)->text;
		filled += *text != '\0';
		tags += table_is_tag(text);
	}
	return tags * 2 > filled;
}

/* "FV-101", "LCV-12": are most of the records control valves? They are no streams, lines or vessels. */
static bool are_valves(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table);
	size_t valves = 0, filled = 0;
	for (size_t i = table->first; key && i < table->last; i++) {
		const char *text = table_at(table, i, key->at)->text;
		size_t letters = strspn(text, "FLPTICHV");
		filled += *text != '\0';
		valves += letters > 1 && text[letters - 1] == 'V' && strchr("FLPTH", *text) && table_is_tag(text);
	}
	return valves * 2 > filled;
}

/* "FIC-2001", "38-LALL-103": are most of the records loops, under no heading that only lines have? */
static bool are_instruments(const struct of_kind *kind, const struct proposed *proposed)
{
	static const char *const of_lines[] = {"size", "schedule", "size-schedule", "piping-class"};
	size_t loops = 0, filled = 0;
	for (size_t t = 0; t < proposed->count; t++) {
		const struct table *table = &proposed->tables[t];
		const struct table_column *key = key_of(kind, table);
		for (size_t i = 0; i < COUNT(of_lines); i++)
			if (listed_column(kind->arena, kind->words, proposed, table, of_lines[i]))
				return false;
		for (size_t i = table->first; key && i < table->last; i++) {
			const char *text = table_at(table, i, key->at)->text;
			filled += *text != '\0';
			loops += instrument_read(text).is;
		}
	}
	return loops * 2 >= filled && loops;
}

/* "TP-101", "TIE-7" under a title that speaks of tie-ins: points where lines meet, and none of them a line or an item. */
static bool are_tie_ins(const struct of_kind *kind, const struct sheet *sheet, const struct proposed *proposed)
{
	static const char words[] =
		"tie in|tie ins|tie in list|tie in "
		"points|tiein|einbindepunkte|einbindestellen|einbindung|anschlusspunkte|"
		"piquages de raccordement|points de raccordement|puntos de conexion|punti di collegamento|inbindpunten";
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table);
	bool titled = words_within(kind->arena, words_fold(kind->arena, sheet->name), words) > 0;
	size_t points = 0, filled = 0;
	for (size_t i = 0; !table->turned && i < table->head && !titled; i++)
		for (size_t k = 0; k < sheet->columns && !titled; k++)
			titled = words_within(
					 kind->arena, words_fold(kind->arena, sheet_at(sheet, i, k)->text), words) > 0;
	for (size_t i = table->first; key && i < table->last; i++) {
		const char *text = table_at(table, i, key->at)->text;
		filled += *text != '\0';
		points += strncmp(text, "TP", 2) == 0 || strncmp(text, "TIE", 3) == 0 || strncmp(text, "TI-", 3) == 0;
	}
	return titled && points * 2 > filled;
}

/* Is there any day of a sample? */
static bool has_days(const struct of_kind *kind, const struct proposed *proposed)
{
	for (size_t t = 0; t < proposed->count; t++) {
		const struct table *table = &proposed->tables[t];
		const struct table_column *key = key_of(kind, table);
		for (size_t i = table->first; key && i < table->last; i++) {
			const struct sheet_cell *cell = table_at(table, i, key->at);
			if (cell->kind == SHEET_DATE || cell->kind == SHEET_UNCALCULATED ||
				list_cell_date(kind->arena, cell->text, DAY_FIRST))
				return true;
		}
	}
	return false;
}

/* Are the records days? Then they are samples, whatever their headings. */
static bool is_of_days(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table_column *key = key_of(kind, proposed->tables);
	return key && table_names_days(kind->arena, proposed->tables, key->at);
}

/* 1, 2, 3: are the tags figures and nothing else? */
static bool are_numbers(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table);
	for (size_t i = table->first; key && i < table->last; i++) {
		const char *text = table_at(table, i, key->at)->text;
		if (strspn(text, "0123456789") != strlen(text))
			return false;
	}
	return key != NULL;
}

/* Does some column hold a day in each record, as of tests? A stream has none. */
static bool has_column_of_days(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	for (size_t k = 0; !table->turned && k < table->count; k++)
		if (table_names_days(kind->arena, table, table->columns[k].at))
			return true;
	return false;
}

/* "Circuit", "Abschnitt": materials are chosen for a circuit of pipes, which has neither a size nor, in every list, ends. */
static bool names_circuits(const struct of_kind *kind, const struct table_column *key)
{
	return text_has_word(
		words_concepts(kind->arena, kind->words, words_fold(kind->arena, key->known_as)), "circuit");
}

/* What only such a list has: lines have sizes or ends, relief valves a set pressure or what they protect. */
static bool has_own(const struct of_kind *kind, const struct proposed *proposed)
{
	static const char *const own[LISTS_COUNT] = {
		[LISTS_LINES] = "schedule size-schedule from to stream piping-class",
		[LISTS_NOZZLES] = "size schedule flange-class",
		[LISTS_VALVES] = "upstream-pressure downstream-pressure cv fails trim",
		[LISTS_RELIEF] = "set-pressure orifice required owner capacity sized-for discharges-to"};
	const struct table_column *key = key_of(kind, proposed->tables);
	bool weak = false;
	if (!own[kind->lists] || (kind->lists == LISTS_LINES && key && names_circuits(kind, key)))
		return true;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const char *heading = proposed->tables[t].columns[k].known_as;
			struct field field = heading ? fields_find(kind->arena, kind->words, kind->lists, heading)
						     : (struct field){.name = NULL};
			if (field.name && text_has_word(own[kind->lists], field.name))
				return true;
			weak = weak || (field.name && text_has_word("size length bore", field.name));
		}
	return kind->lists == LISTS_LINES && weak && !kind->form && !names_equipment(kind, proposed);
}

/* What a list of items is made of: something of a stream, a size or a condition of an item, and not names and remarks alone. */
static bool says_something(const struct of_kind *kind, const struct proposed *proposed)
{
	static const char nothing[] = "tag name remark case phase from to class count part service stream";
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const char *heading = proposed->tables[t].columns[k].known_as;
			struct field field = heading ? fields_find(kind->arena, kind->words, kind->lists, heading)
						     : (struct field){.name = NULL};
			if (field.name && !text_has_word(nothing, field.name))
				return true;
		}
	return false;
}

/* How much the title over the first table, else the name of the sheet, speaks for such a list. */
static size_t named_so(const struct of_kind *kind, const struct sheet *sheet, const struct proposed *proposed)
{
	enum { LONGEST = 60 };
	const struct table *first = proposed->tables;
	size_t rows = first->turned ? 0 : first->head, titles = 0;
	for (size_t i = 0; i < rows; i++)
		for (size_t k = 0; k < sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			if (cell->kind != SHEET_TEXT || cell->merged || strlen(cell->text) > LONGEST)
				continue;
			titles++;
			if (evidence_of_name(kind->arena, kind->lists, cell->text))
				return evidence_of_name(kind->arena, kind->lists, cell->text);
		}
	return sheet->origins && titles ? 0 : evidence_of_name(kind->arena, kind->lists, sheet->name);
}

/* A list of results has a parameter, its value and a date in each row. */
static bool is_of_results(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *first = proposed->tables;
	return proposed->count && listed_column(kind->arena, kind->words, proposed, first, "parameter") &&
		listed_column(kind->arena, kind->words, proposed, first, "value") &&
		listed_column(kind->arena, kind->words, proposed, first, "date");
}

/* A parameter and its unit before a value for each of several cases: no other list has that. */
static bool has_values_of_cases(const struct of_kind *kind, const struct proposed *proposed)
{
	const struct table *table = proposed->tables;
	size_t values = 0;
	for (size_t k = 0; k < table->count; k++) {
		const char *heading = table->columns[k].heading;
		values += *heading &&
			text_same(fields_find(kind->arena, kind->words, LISTS_BASIS, heading).name, "value");
	}
	return values > 1 && listed_column(kind->arena, kind->words, proposed, table, "unit");
}

/* Do the words of its rows, three at least and a third of them, name what a design basis gives? */
static bool is_of_basis(const struct of_kind *kind, const struct proposed *proposed)
{
	enum { LEAST = 3 };
	const struct table *table = proposed->tables;
	const struct table_column *key = key_of(kind, table),
				  *units = listed_column(kind->arena, kind->words, proposed, table, "unit");
	size_t known = 0, filled = 0;
	if (!key || !listed_column(kind->arena, kind->words, proposed, table, "value"))
		return false;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, key->at)->text;
		const char *unit = units ? table_at(table, i, units->at)->text : NULL;
		filled += *text != '\0';
		known += *text && basis_parameter_of(kind->arena, kind->words, text, unit).subject;
	}
	return (known >= LEAST || (known && has_values_of_cases(kind, proposed))) && known * LEAST >= filled;
}

/* Do its headings give conditions of gases? A laboratory has none: it is a design basis with a date. */
static bool speaks_of_gases(const struct of_kind *kind, const struct proposed *proposed)
{
	size_t gases = 0;
	for (size_t k = 0; k < proposed->tables->count; k++) {
		const char *heading = proposed->tables->columns[k].heading;
		const char *end = strstr(heading, " / ");
		const char *over = end
			? guess_service(kind->arena, arena_copy_span(kind->arena, heading, (size_t)(end - heading)))
			: NULL;
		if (over && text_has_word("lean rich", over))
			return false; /* beside what was found in the solution */
		const char *subject = *heading ? basis_parameter(kind->arena, kind->words, heading).subject : NULL;
		gases += subject && text_has_word("feed treated", subject);
	}
	return gases > 1;
}

struct proposed listed_find(struct arena *arena, const struct words *words, const struct sheet *sheet)
{
	enum { STRANGE = 4, RESULTS = 40 }; /* its few headings weigh more than the parameters that stand in a column */
	struct proposed best = {.lists = LISTS_NOTHING};
	bool trips = trip_list_is(arena, sheet);
	for (int i = LISTS_LINES; i < LISTS_COUNT; i++) {
		struct proposed one = {.lists = (enum sheet_lists)i};
		struct of_kind kind = {.arena = arena, .words = words, .lists = one.lists, .form = sheet->form};
		const struct heading_reader reader = {.knows = knows, .context = &kind, .least = 2};
		one.count = tables_find(
			arena, words, sheet, one.lists >= LISTS_RESULTS ? UPRIGHT : EITHER_WAY, &reader, &one.tables);
		one.score = 2 * distinct_fields(&kind, &one);
		one.score = one.key && one.score ? one.score + named_so(&kind, sheet, &one) : 0;
		if (one.score && !has_own(&kind, &one))
			one.score = 1;
		if (one.score && is_key_strange(&kind, &one))
			one.score = one.score > STRANGE ? one.score - STRANGE : 1;
		if (one.score && one.lists == LISTS_NOZZLES && counts_on(&kind, &one))
			one.score = 1;
		if (one.score && one.lists <= LISTS_RELIEF && counts_on(&kind, &one) && !says_something(&kind, &one))
			one.score = 0; /* the numbers are those of its rows */
		if (one.score && has_column_of_days(&kind, &one) &&
			(one.lists == LISTS_STREAMS || (one.lists <= LISTS_RELIEF && are_numbers(&kind, &one))))
			one.score = 0; /* tests, by their numbers and days */
		if (one.score && one.lists == LISTS_STREAMS && has_tags(&kind, &one) && names_equipment(&kind, &one))
			one.score = 1;
		if (one.score && one.lists != LISTS_LABORATORY && one.lists != LISTS_RESULTS &&
			are_valves(&kind, &one) != (one.lists == LISTS_VALVES))
			one.score = 0;
		if (one.score && one.lists <= LISTS_NOZZLES && (trips || are_instruments(&kind, &one)))
			one.score = 0;
		if (one.score && are_tie_ins(&kind, sheet, &one))
			one.score = 0;
		if (one.score && one.lists == LISTS_LABORATORY &&
			(!has_days(&kind, &one) || speaks_of_gases(&kind, &one)))
			one.score = 0;
		if (one.score && one.lists != LISTS_LABORATORY && one.lists < LISTS_RESULTS && is_of_days(&kind, &one))
			one.score = 0;
		if (one.lists == LISTS_RESULTS && one.score)
			one.score = is_of_results(&kind, &one) ? one.score + RESULTS : 0;
		if (one.lists == LISTS_BASIS && one.score)
			one.score = is_of_basis(&kind, &one) ? one.score + RESULTS : 0;
		if (one.score > best.score)
			best = one;
	}
	return best;
}
