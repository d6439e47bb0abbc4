#include "write/write_json.h"

#include <string.h>

static json_t *appended(json_t *rows, json_t *row)
{
	if (rows && json_array_append_new(rows, row) == 0)
		return rows;
	json_decref(rows);
	return NULL;
}

static const char *or_null(const char *text)
{
	return text && *text ? text : NULL;
}

static json_t *statement_row(const struct review *review, const struct statement *statement)
{
	const struct quantity *quantity = statement->quantity;
	int operating_case = statement->operating_case;
	return json_pack("{s:s, s:s, s:s, s:s?, s:s, s:s?, s:i}", "item", statement->item->tag, "kind",
		statement->item->kind, "statement", statement->name, "case",
		operating_case == EVERY_CASE ? NULL : table_case(review->table, operating_case)->id, "written",
		quantity->written, "document", or_null(quantity->document), "line", quantity->place.line);
}

static json_t *owed_rows(const struct review *review, const struct owed *all, size_t count)
{
	json_t *rows = json_array();
	for (size_t i = 0; rows && i < count; i++) {
		json_t *row = statement_row(review, all[i].statement);
		const struct quantity *instead = all[i].instead;
		json_t *taken = json_pack("{s:s?, s:s?}", "taken", instead ? instead->written : NULL, "taken_from",
			instead ? or_null(instead->document) : NULL);
		if (row && (!taken || json_object_update(row, taken) != 0)) {
			json_decref(row);
			row = NULL;
		}
		json_decref(taken);
		rows = appended(rows, row);
	}
	return rows;
}

json_t *json_owed(const struct review *review)
{
	return owed_rows(review, review->statements.owed, review->statements.owed_count);
}

json_t *json_not_recorded(const struct review *review)
{
	return owed_rows(review, review->statements.unrecorded, review->statements.unrecorded_count);
}

json_t *json_unread(const struct review *review)
{
	json_t *rows = json_array();
	for (size_t i = 0; rows && i < review->statements.unread_count; i++)
		rows = appended(rows, statement_row(review, review->statements.unread[i]));
	return rows;
}

static json_t *note_row(const struct review *review, const struct item *note)
{
	const struct quantity *document = table_peek(review->table, note, EVERY_CASE, "document");
	return json_pack("{s:s?, s:s?, s:s, s:i}", "item", note->parent ? note->parent->tag : NULL, "document",
		document && document->known != UNKNOWN ? document->word : NULL, "text", note->text, "line",
		note->place.line);
}

json_t *json_notes(const struct review *review, const struct item *item)
{
	json_t *rows = json_array();
	struct items notes = review->statements.notes;
	for (size_t i = 0; rows && i < notes.count; i++)
		if (!item || notes.rows[i]->parent == item)
			rows = appended(rows, note_row(review, notes.rows[i]));
	return rows;
}
