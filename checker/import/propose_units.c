/* Columns of units, and columns of words. Part of propose_columns.h. */
#include <string.h>

#include "import/propose_columns.h"

bool propose_holds_words(const struct table *table, const struct table_column *column)
{
	static const char figures[] = "0123456789.,+- /<>~()";
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *cell = table_at(table, i, column->at);
		if (cell->kind == SHEET_TEXT && strspn(cell->text, figures) != strlen(cell->text))
			return true;
	}
	return false;
}

bool propose_gives_units(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	const struct table_column *column)
{
	static const char headings[] = "unit|units|uom|einheit|einh|unite|unidad|unita|unidade|eenheid|"
				       "flow unit|flow units|duty units|unit of flow|units of flow|uoms|duty unit|eng "
				       "unit|engineering unit|mengeneinheit";
	const char *last = strrchr(column->heading, '/');
	const char *heading = last ? last + 1 : column->heading; /* "Operating data / Unit" */
	size_t units = 0;
	if (column == table->columns || !column[-1].known_as || column[-1].unit ||
		!words_are_one_of(all->arena, words_fold(all->arena, heading), headings))
		return false;
	if (proposed->lists == LISTS_STREAMS || proposed->lists == LISTS_RELIEF)
		return true;
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *cell = table_at(table, i, column->at);
		bool unit = words_unit(all->arena, all->words, cell->text, true) != NULL;
		if (cell->kind != SHEET_EMPTY && !cell->merged && !unit && strlen(cell->text) > 1)
			return false; /* the number of the unit, as of a plant */
		units += unit;
	}
	return units > 0;
}
