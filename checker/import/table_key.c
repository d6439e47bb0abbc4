#include "import/table_key.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/guess.h"
#include "import/list_cell.h"

bool table_is_key(const struct finding *finding, const char *heading)
{
	bool key = false;
	return heading && finding->reader->knows(finding->reader->context, heading, &key) && key;
}

static bool knows_name(const struct finding *finding, const char *heading)
{
	bool key = false;
	return finding->reader->knows(finding->reader->context, heading, &key) && !key;
}

/* "2025-01-14", "12 Mar 2025", and dates of the spreadsheet: days of samples. */
bool table_names_days(struct arena *arena, const struct table *table, size_t at)
{
	enum { FEWEST = 2, SHORTEST = 6, LONGEST = 20, LOOKED_AT = 400 };
	size_t days = 0, others = 0;
	for (size_t i = table->first; i < table->last && days + others < LOOKED_AT; i++) {
		const struct sheet_cell *day = table_at(table, i, at);
		size_t length = strlen(day->text), digits = 0;
		for (const char *c = day->text; *c; c++)
			digits += *c >= '0' && *c <= '9';
		bool fits = day->kind == SHEET_TEXT && length >= SHORTEST && length <= LONGEST;
		bool figures = fits && strspn(day->text, "0123456789./-") == length;
		bool written = fits && digits >= 3 &&
			(figures ? digits + 2 == length && length > SHORTEST + 1
				 : list_cell_date(arena, day->text, DAY_FIRST) != NULL &&
						strpbrk(day->text, "0123456789"));
		days += day->kind == SHEET_DATE || written;
		others += day->kind != SHEET_EMPTY && day->kind != SHEET_DATE && !written;
	}
	return days >= FEWEST && days > others;
}

static bool names_days(const struct finding *finding, const struct table *table, size_t at)
{
	return table_names_days(finding->arena, table, at);
}

/* Do its cells name records: short, each another, and one for every record? Under a heading all of them have figures. */
static bool names_records(const struct finding *finding, const struct table *table, size_t at, bool headed)
{
	enum { LONGEST = 40, FEWEST = 2, MOST = 400 };
	size_t named = 0, records = 0;
	if (names_days(finding, table, at))
		return false; /* of samples */
	for (size_t i = table->first; i < table->last && i - table->first < MOST; i++) {
		const struct sheet_cell *name = table_at(&finding->view, i, at);
		size_t filled = 0;
		for (size_t k = 0; k < table->count; k++)
			filled += table->columns[k].known_as &&
				table_at(&finding->view, i, table->columns[k].at)->kind != SHEET_EMPTY;
		records += filled >= FEWEST;
		if (name->kind == SHEET_EMPTY || name->merged)
			continue;
		if (headed && (!strpbrk(name->text, "0123456789") || name->kind == SHEET_NUMBER))
			return false;
		if (strlen(name->text) > LONGEST || (name->kind != SHEET_TEXT && name->kind != SHEET_NUMBER) ||
			table_is_unit(finding, name))
			return false;
		for (size_t k = table->first; k < i; k++)
			if (strcmp(table_at(&finding->view, k, at)->text, name->text) == 0)
				return false;
		named++;
	}
	return named >= FEWEST && named == records;
}

/* "P-101 A/B", "37-K-01", "T 415 Absorber": letters and a number, after that of a unit or not. A grade of steel is none. */
/* "6\"-GS-37001-D2A-N", "200-EG-84001": the number of a line, in parts of letters and figures. */
static bool is_line_number(const char *text)
{
	enum { SHORTEST = 7, LONGEST = 40 };
	size_t length = strlen(text), strokes = 0, figures = 0, letters = 0;
	for (const char *c = text; *c; c++) {
		strokes += *c == '-';
		figures += *c >= '0' && *c <= '9';
		letters += *c >= 'A' && *c <= 'Z';
	}
	return strokes >= 2 && figures >= 3 && letters && length >= SHORTEST && length <= LONGEST &&
		strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-\"/._") == length;
}

bool table_is_tag(const char *text)
{
	enum { LONGEST = 48, MOST_LETTERS = 4, FEWEST_FIGURES = 2 };
	const char *at = text + strspn(text, "0123456789");
	if (at > text && *at++ != '-')
		return false;
	size_t letters = strspn(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
	at += letters;
	size_t fewest = *at == '-' ? 1 : FEWEST_FIGURES;
	at += *at == '-' || *at == ' ';
	size_t figures = strspn(at, "0123456789");
	at += figures;
	at += *at >= 'A' && *at <= 'Z';
	return letters && letters <= MOST_LETTERS && figures >= fewest && strlen(text) <= LONGEST &&
		strchr(" /\n", *at);
}

/* Do most of the cells hold tags of items? */
static bool has_tags(const struct finding *finding, const struct table *table, size_t at)
{
	bool lines = table_is_key(finding, "Line") && !table_is_key(finding, "Tag");
	enum { MOST_OF = 60, ALL = 100, LOOKED_AT = 400 };
	size_t tags = 0, filled = 0;
	for (size_t i = table->first; i < table->last && filled < LOOKED_AT; i++) {
		const struct sheet_cell *cell = table_at(&finding->view, i, at);
		filled += cell->kind != SHEET_EMPTY;
		tags += cell->kind == SHEET_TEXT && (lines ? is_line_number(cell->text) : table_is_tag(cell->text));
	}
	return tags && tags * ALL >= filled * MOST_OF;
}

/* Do most of the cells hold names of kinds of equipment, "Absorber shell"? */
static bool has_names(const struct finding *finding, const struct table *table, size_t at)
{
	enum { LOOKED_AT = 40, LONGEST = 48 };
	size_t names = 0, filled = 0;
	for (size_t i = table->first; i < table->last && filled < LOOKED_AT; i++) {
		const struct sheet_cell *cell = table_at(&finding->view, i, at);
		filled += cell->kind != SHEET_EMPTY;
		names += cell->kind == SHEET_TEXT && strlen(cell->text) <= LONGEST &&
			guess_equipment(finding->arena, "", "", cell->text).by_name;
	}
	return names > 1 && names * 2 > filled;
}

static bool counts(const struct table *table, size_t column)
{
	return table_counts_rows(table, table->columns[column].at);
}

static void forget_key(struct table *table, struct table_column *column)
{
	column->known_as = NULL;
	table->known--;
}

/* Of several columns that may be the tags, one of which has them, the others are running numbers or the like. */
static void choose_key(const struct finding *finding, struct table *table)
{
	const struct table_column *chosen = NULL;
	bool days = false;
	for (size_t i = 0; i < table->count; i++)
		days = days ||
			(names_days(finding, table, table->columns[i].at) &&
				table_is_key(finding, table->columns[i].known_as));
	for (size_t i = 0; i < table->count && days; i++)
		if (table_is_key(finding, table->columns[i].known_as) && !table->turned &&
			!names_days(finding, table, table->columns[i].at))
			forget_key(table, &table->columns[i]); /* "Sample" beside the day */
	for (size_t i = 0; i < table->count; i++)
		if (names_days(finding, table, table->columns[i].at))
			return; /* of samples */
	for (size_t i = 0; i < table->count && !chosen; i++)
		if (table_is_key(finding, table->columns[i].known_as) && has_tags(finding, table, table->columns[i].at))
			chosen = &table->columns[i];
	for (size_t i = 0; i < table->count && chosen; i++)
		if (&table->columns[i] != chosen && table_is_key(finding, table->columns[i].known_as) &&
			strcmp(table->columns[i].heading, chosen->heading) != 0)
			forget_key(table, &table->columns[i]);
	bool others = false;
	for (size_t i = 0; i < table->count; i++)
		others = others || (table_is_key(finding, table->columns[i].known_as) && !counts(table, i));
	for (size_t i = 0; i < table->count && others && !chosen; i++)
		if (table_is_key(finding, table->columns[i].known_as) && counts(table, i))
			forget_key(table, &table->columns[i]);
}

/* Does the heading say that lines, streams, nozzles or valves stand below? */
static bool heads_others(const struct finding *finding, const char *heading)
{
	static const char *const others[] = {"line", "stream", "nozzle", "relief", "date", "sample"};
	const char *concepts = table_concepts_of(finding, heading);
	for (size_t i = 0; i < COUNT(others); i++)
		if (text_has_word(concepts, others[i]))
			return true;
	return false;
}

/* The first column of a table without a key, where tags stand in it. */
static bool take_first_tags(const struct finding *finding, struct table *table, const char *name)
{
	enum { LOOKED_AT = 2 };
	for (size_t i = 0; i < table->count && i < LOOKED_AT; i++) {
		struct table_column *column = &table->columns[i];
		if (heads_others(finding, column->heading) && !table_is_key(finding, column->heading))
			continue;
		bool named = i == 0 && strcmp(name, "Tag") == 0 && has_names(finding, table, column->at);
		if (!has_tags(finding, table, column->at) && !named)
			continue;
		table->known += column->known_as == NULL;
		column->known_as = name;
		column->heading = *column->heading ? column->heading : name;
		return true;
	}
	return false;
}

/* Are the cells numbers of records: short, with a figure, each another, none of them over several records unless `spread` (one of each case)? */
static bool has_numbers(const struct finding *finding, const struct table *table, size_t at, bool spread)
{
	enum { LONGEST = 12, FEWEST = 2, MOST = 400 };
	size_t count = 0;
	for (size_t i = table->first; i < table->last && i - table->first < MOST; i++) {
		const struct sheet_cell *cell = table_at(&finding->view, i, at);
		bool copy = spread && cell->merged && i > table->first &&
			strcmp(table_at(&finding->view, i - 1, at)->text, cell->text) == 0;
		if (cell->kind == SHEET_EMPTY || copy)
			continue;
		if (cell->merged || strlen(cell->text) > LONGEST || !strpbrk(cell->text, "0123456789"))
			return false;
		for (size_t k = table->first; k < i; k++)
			if (strcmp(table_at(&finding->view, k, at)->text, cell->text) == 0)
				return false;
		count++;
	}
	return count >= FEWEST;
}

static bool has_words(const struct finding *finding, const struct table *table, size_t at)
{
	size_t count = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *cell = table_at(&finding->view, i, at);
		if (cell->kind == SHEET_EMPTY)
			continue;
		if (cell->kind != SHEET_TEXT || strspn(cell->text, "0123456789") > 0 || strlen(cell->text) < 4)
			return false;
		count++;
	}
	return count > 1;
}

/*
 * One heading over groups, numbers and names of the records, in rows of their own: the numbers are the tags, what
 * stands next to them are names, and the groups above are neither.
 */
void table_join_keys(const struct finding *finding, struct table *table)
{
	static const char name[] = "Stream name";
	size_t number = table->count;
	if (!knows_name(finding, name))
		return;
	for (int spread = 0; spread <= 1; spread++)
		for (size_t i = 0; i < table->count && number == table->count; i++)
			if (table_is_key(finding, table->columns[i].known_as) &&
				has_numbers(finding, table, table->columns[i].at, spread))
				number = i;
	if (number == table->count)
		return;
	const char *key = table->columns[number].known_as;
	for (size_t i = 0; i < number; i++)
		if (text_same(table->columns[i].known_as, key)) {
			table->columns[i].known_as = NULL;
			table->known--;
		}
	struct table_column *next = number + 1 < table->count ? &table->columns[number + 1] : NULL;
	bool same = next && text_same(next->known_as, key);
	if (!next || !(same || !*next->heading) || next->at != table->columns[number].at + 1 ||
		!has_words(finding, table, next->at))
		return;
	table->known += !same;
	next->known_as = next->heading = name;
}

/*
 * "Quantity | Case | 101 Sour gas | ...": where the cases stand beside the headings, the one over them that says so is the corner
 * of the table, and beside it stand the records.
 */
static bool take_corner(const struct finding *finding, struct table *table, const char *name)
{
	struct table_column *corner = NULL;
	bool of_cases = false;
	for (size_t i = 0; i < table->count; i++) {
		const char *last = table->columns[i].heading;
		for (const char *stroke; (stroke = strstr(last, " / "));)
			last = stroke + strlen(" / ");
		if (!corner && strcmp(table_concepts_of(finding, last), "case") == 0)
			corner = &table->columns[i];
		of_cases = of_cases || table->columns[i].of_case;
	}
	if (!corner || !of_cases || !names_records(finding, table, corner->at, false))
		return false;
	table->known += corner->known_as == NULL;
	corner->known_as = name;
	return true;
}

/* A table whose tags stand without a heading, or under one that nobody knows, before all that is known: its key is given the name that the reader has for it. */
void table_find_key(const struct finding *finding, struct table *table)
{
	enum { LEAST = 3 }; /* so many known headings beside one that is strange */
	static const char *const names[] = {"Stream", "Tag", "Line"};
	const char *name = NULL;
	choose_key(finding, table);
	for (size_t i = 0; i < table->count; i++)
		if (table_is_key(finding, table->columns[i].known_as))
			return;
	for (size_t i = 0; i < table->count && table_is_key(finding, "Date"); i++)
		if (names_days(finding, table, table->columns[i].at)) {
			table->known += table->columns[i].known_as == NULL;
			table->columns[i].known_as = "Date";
			return;
		}
	for (size_t i = 0; i < COUNT(names) && !name; i++)
		name = table_is_key(finding, names[i]) ? names[i] : NULL;
	if (name && take_corner(finding, table, name))
		return;
	if (name && strcmp(name, "Stream") != 0 && take_first_tags(finding, table, name))
		return;
	for (size_t i = 0; i < table->count && name && !table->columns[i].known_as; i++) {
		struct table_column *column = &table->columns[i];
		bool headed = *column->heading != '\0';
		bool strange =
			headed && table->known >= LEAST && strchr(table_concepts_of(finding, column->heading), '?');
		if ((headed && !strange) || !names_records(finding, table, column->at, headed))
			continue;
		column->known_as = name;
		column->heading = headed ? column->heading : name;
		table->known++;
		return;
	}
}

/*
 * Does a heading that is a key begin another block? The one that began the first does, and one over tags; a word that only
 * may head tags ("Position: horizontal") does not.
 */
bool table_begins_block(
	const struct finding *finding, const struct table *table, const struct table_column *column, const char *first)
{
	if (strcmp(words_fold(finding->arena, first), words_fold(finding->arena, column->known_as)) == 0)
		return true;
	for (size_t i = table->first; i < table->last; i++)
		if (strpbrk(table_at(&finding->view, i, column->at)->text, "0123456789"))
			return true;
	return false;
}

const char *table_number(struct arena *arena, const char *text, const char **name)
{
	enum { LONGEST = 4 };
	size_t digits = strspn(text, "0123456789"), length = digits;
	length += digits && text[digits] >= 'A' && text[digits] <= 'Z';
	const char *rest = text + length + strspn(text + length, " \n-:.");
	bool letters = (*rest >= 'a' && *rest <= 'z') || (*rest >= 'A' && *rest <= 'Z') || (unsigned char)*rest >= 0x80;
	*name = NULL;
	if (!digits || length > LONGEST || !strchr(" \n", text[length]) || !letters || strlen(rest) < LONGEST)
		return text;
	*name = rest;
	return arena ? arena_copy_span(arena, text, length) : text;
}

bool table_is_numbered(const struct table *table, size_t at)
{
	enum { MOST = 1000 };
	size_t numbered = 0;
	if (table->last - table->first > MOST)
		return false;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, at)->text, *name, *other;
		table_number(NULL, text, &name);
		if (!name)
			continue;
		for (size_t k = table->first; k < i; k++) {
			const char *before = table_at(table, k, at)->text;
			table_number(NULL, before, &other);
			size_t length = strcspn(text, " \n");
			if (strcmp(before, text) != 0 && strcspn(before, " \n") == length &&
				strncmp(before, text, length) == 0)
				return false;
			numbered += other && strcmp(before, text) != 0;
		}
	}
	return numbered > 0;
}

bool table_counts_rows(const struct table *table, size_t at)
{
	enum { LONGEST = 12 }; /* more is a footnote */
	long next = 1;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, at)->text;
		char *end;
		if (!*text || strlen(text) > LONGEST)
			continue;
		if (strtol(text, &end, 10) != next++ || (*end && strcmp(end, ".") != 0))
			return false;
	}
	return next > 2;
}
