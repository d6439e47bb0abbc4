#include "import/table_key.h"

#include <string.h>

#include "base/count.h"

bool table_is_key(const struct finding *finding, const char *heading)
{
	bool key = false;
	return heading && finding->reader->knows(finding->reader->context, heading, &key) && key;
}

/* Do its cells name records: short, each another, and one for every record? Under a heading all of them have figures. */
static bool names_records(const struct finding *finding, const struct table *table, size_t at, bool headed)
{
	enum { LONGEST = 24, FEWEST = 2, MOST = 400 };
	size_t named = 0, records = 0;
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

/* A table whose tags stand without a heading, or under one that nobody knows, before all that is known: its key is given the name that the reader has for it. */
void table_find_key(const struct finding *finding, struct table *table)
{
	enum { LEAST = 3 }; /* so many known headings beside one that is strange */
	static const char *const names[] = {"Stream", "Tag", "Line"};
	const char *name = NULL;
	for (size_t i = 0; i < table->count; i++)
		if (table_is_key(finding, table->columns[i].known_as))
			return;
	for (size_t i = 0; i < COUNT(names) && !name; i++)
		name = table_is_key(finding, names[i]) ? names[i] : NULL;
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
