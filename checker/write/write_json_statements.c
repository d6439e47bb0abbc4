#include "write/write_json.h"

#include <string.h>

/* Members of the object that is open. */
static void put_statement(struct json_out *out, const struct review *review, const struct statement *statement)
{
	const struct quantity *quantity = statement->quantity;
	int operating_case = statement->operating_case;
	json_out_words(out, "item", statement->item->tag);
	json_out_words(out, "kind", statement->item->kind);
	json_out_words(out, "statement", statement->name);
	json_out_given(
		out, "case", operating_case == EVERY_CASE ? NULL : table_case(review->table, operating_case)->id);
	json_out_words(out, "written", quantity->written);
	json_out_words_or_null(out, "document", quantity->document);
	json_out_whole(out, "line", quantity->place.line);
}

static void owed_rows(
	struct json_out *out, const char *name, const struct review *review, const struct owed *all, size_t count)
{
	json_out_array(out, name);
	for (size_t i = 0; i < count; i++) {
		const struct quantity *instead = all[i].instead;
		json_out_object(out, NULL);
		put_statement(out, review, all[i].statement);
		json_out_given(out, "taken", instead ? instead->written : NULL);
		json_out_words_or_null(out, "taken_from", instead ? instead->document : NULL);
		json_out_end(out);
	}
	json_out_end(out);
}

void json_owed(struct json_out *out, const struct review *review)
{
	owed_rows(out, "owed", review, review->statements.owed, review->statements.owed_count);
}

void json_not_recorded(struct json_out *out, const struct review *review)
{
	owed_rows(out, "not_recorded", review, review->statements.unrecorded, review->statements.unrecorded_count);
}

void json_unread(struct json_out *out, const struct review *review)
{
	json_out_array(out, "unread");
	for (size_t i = 0; i < review->statements.unread_count; i++) {
		json_out_object(out, NULL);
		put_statement(out, review, review->statements.unread[i]);
		json_out_end(out);
	}
	json_out_end(out);
}

static void note_row(struct json_out *out, const struct review *review, const struct item *note)
{
	const struct quantity *document = table_peek(review->table, note, EVERY_CASE, "document");
	json_out_object(out, NULL);
	json_out_given(out, "item", note->parent ? note->parent->tag : NULL);
	json_out_given(out, "document", document && document->known != UNKNOWN ? document->word : NULL);
	json_out_words(out, "text", note->text);
	json_out_whole(out, "line", note->place.line);
	json_out_end(out);
}

void json_notes(struct json_out *out, const struct review *review, const struct item *item)
{
	struct items notes = review->statements.notes;
	json_out_array(out, "notes");
	for (size_t i = 0; i < notes.count; i++)
		if (!item || notes.rows[i]->parent == item)
			note_row(out, review, notes.rows[i]);
	json_out_end(out);
}
