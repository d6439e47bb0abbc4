#include "import/trip_list.h"

#include <string.h>

#include "import/instrument.h"
#include "import/words.h"

/* "Low alarm", "HH", "Schaltpunkt max": what an instrument acts at. */
static bool heads_setting(struct arena *arena, const char *heading)
{
	static const char
		whole[] = "ll|l|h|hh|lo lo|lolo|hi hi|hihi|lo|hi|lll|hhh",
		within[] = "alarm|alarms|trip|trips|voralarm|hauptalarm|abschaltung|schaltpunkt|schaltpunkte|"
			   "schaltwert|shutdown|declenchement|seuil|seuils|alarme|alarma|disparo|ll|hh|lo lo|hi hi",
		others[] = "tag|no|number|nr|type|class|list|liste|description|action|valve";
	const char *folded = words_fold(arena, heading);
	return words_are_one_of(arena, folded, whole) ||
		(words_within(arena, folded, within) && !words_within(arena, folded, others));
}

/* "TT-312", "LIRCA 7101": beside settings two letters are enough. */
static bool is_loop(const char *text)
{
	static const char measured[] = "FLPTAQS", functions[] = "IRCASTEHLYGZODQ";
	const char *letters = text + strspn(text, "0123456789");
	letters += letters > text && *letters == '-';
	size_t count = strspn(letters, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
	const char *number = letters + count + strspn(letters + count, "- ");
	bool two = count == 2 && strchr(measured, letters[0]) && strchr(functions, letters[1]) && *number &&
		strchr("0123456789", *number);
	return two || instrument_read(text).is;
}

/* The row under which the settings stand; `rows`: none. */
static size_t row_of_settings(struct arena *arena, const struct sheet *sheet)
{
	enum { FEWEST = 2, LAST = 30, LONGEST = 60 };
	for (size_t i = 0; i < sheet->rows && i < LAST; i++) {
		size_t settings = 0;
		for (size_t k = 0; k < sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			settings += cell->kind == SHEET_TEXT && strlen(cell->text) <= LONGEST &&
				heads_setting(arena, cell->text);
		}
		if (settings >= FEWEST)
			return i;
	}
	return sheet->rows;
}

size_t trip_list_head(struct arena *arena, const struct sheet *sheet)
{
	size_t head = row_of_settings(arena, sheet);
	for (size_t k = 0; k < sheet->columns && head < sheet->rows; k++) {
		size_t loops = 0, filled = 0;
		for (size_t i = head + 1; i < sheet->rows; i++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			filled += cell->kind != SHEET_EMPTY;
			loops += cell->kind == SHEET_TEXT && is_loop(cell->text);
		}
		if (loops > 1 && 2 * loops > filled)
			return head;
	}
	return sheet->rows;
}

bool trip_list_is(struct arena *arena, const struct sheet *sheet)
{
	return trip_list_head(arena, sheet) < sheet->rows;
}
