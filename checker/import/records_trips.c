#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/instrument.h"

/* Trips that stand in a list of relief valves: what they watch by the letters of their tags, and where they act. */

/* What it watches; NULL: its letters name nothing that a description has. */
static const char *watched(const struct instrument *instrument)
{
	static const struct {
		char measures;
		const char *low, *high;
	} words[] = {{'L', "low level", "high level"}, {'F', "low flow", "high flow"},
		{'P', "low pressure", "high pressure"}, {'T', "low temperature", "high temperature"},
		{'D', NULL, "high pressure drop"}};
	for (size_t i = 0; i < COUNT(words); i++)
		if (words[i].measures == instrument->measures && instrument->low != instrument->high)
			return instrument->low ? words[i].low : words[i].high;
	return NULL;
}

/* "2oo3", "1 oo 2", in German "2v3" or "2 von 3": so many of so many. */
static const char *voting_of(struct arena *arena, const char *text)
{
	static const char *const between[] = {"oo", "von", "v"};
	size_t first = strspn(text, "0123456789");
	const char *at = text + first + strspn(text + first, " ");
	for (size_t i = 0; first && i < COUNT(between); i++) {
		if (strncmp(at, between[i], strlen(between[i])) != 0)
			continue;
		const char *rest = at + strlen(between[i]);
		rest += strspn(rest, " ");
		return *rest && strspn(rest, "0123456789") == strlen(rest)
			? arena_join(arena, arena_copy_span(arena, text, first), " out of ", rest, "")
			: NULL;
	}
	return NULL;
}

/* "closes LV-12", "LL stoppt P-3": the attribute that the verb gives, and the tag after it; NULL: it says nothing of the kind. */
static const char *action_of(struct arena *arena, const char *text, const char **tag)
{
	static const char *const verbs[][2] = {{"closes", "closes|close|shuts|shut|schliesst|zu|ferme|cierra|sluit"},
		{"stops", "stops|stop|trips|stoppt|arrete|para|stopt"}};
	const char *attribute = NULL;
	for (const char *at = text; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, strcspn(at, " ,;."));
		at += length;
		if (attribute && table_is_tag(word)) {
			*tag = word;
			return attribute;
		}
		for (size_t i = 0; i < COUNT(verbs); i++)
			if (words_are_one_of(arena, words_fold(arena, word), verbs[i][1]))
				attribute = verbs[i][0];
	}
	return NULL;
}

/* What the trip closes or stops, stated beside the note of its words; false: the cell does not say it. */
static bool state_action(struct record *record, const struct field_column *column, struct draft_item *trip)
{
	const struct sheet_cell *cell = record_cell(record, column);
	const char *tag = NULL;
	const char *attribute =
		cell->kind == SHEET_TEXT && !cell->hidden ? action_of(record_arena(record), cell->text, &tag) : NULL;
	if (!attribute || !record_state_value(record, column, trip, attribute, tag))
		return false;
	record_note(record, trip, column, true);
	record_interpreted(record, column, arena_join(record_arena(record), attribute, " ", tag, ""),
		"what it does, by its words, which are kept as a note");
	return true;
}

/* The cell of the setting with the unit that stands beside it; false: it is none, and nothing was stated. */
static bool state_setting(struct record *record, const struct field_column *column, struct draft_item *trip)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	struct cell_value value = {.fate = CELL_LEFT_OUT};
	struct cell_rules rules = column->rules;
	rules.exact = cell->kind == SHEET_NUMBER;
	if (!cell->hidden && (rules.unit || strpbrk(cell->text, "abcdefghijklmnopqrstuvwxyz%")))
		value = list_cell(arena, cell->text, vocabulary_attribute(trip->element, "setting")->type, &rules);
	if (value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED)
		return false;
	record_state_value(record, column, trip, "setting", value.value);
	record_interpreted(record, column, value.value, "what the trip acts at");
	return true;
}

bool record_read_trip(struct record *record, const char *tag, struct draft_item *of)
{
	const struct instrument instrument = instrument_read(tag);
	const char *on = instrument.is && instrument.trips ? watched(&instrument) : NULL;
	const struct field_column *key = record_column(record, "tag");
	if (!on || !of || !vocabulary_child(of->element, "trip"))
		return false;
	struct draft_item *trip = draft_item(record_draft(record), of, "trip", "tag", tag, tag);
	record->item = trip;
	record_state_value(record, key, trip, "on", on);
	if (record_column(record, "owner"))
		record_arrived(record, record_column(record, "owner"));
	record_interpreted(record, key, on, "by the letters of its tag");
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));) {
		const char *voting = voting_of(record_arena(record), record_cell(record, column)->text);
		bool setting = strcmp(column->field, "set-pressure") == 0;
		if (voting && record_state_value(record, column, trip, "voting", voting))
			record_interpreted(record, column, voting, "how many must agree");
		else if (!(setting && state_setting(record, column, trip)) && !state_action(record, column, trip))
			record_note(record, trip, column, true);
	}
	return true;
}
