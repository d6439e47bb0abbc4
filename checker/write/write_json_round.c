#include "write/write_json.h"

#include "record/round.h"

/* The values that a reply names, and what came of them. */
static void applied_object(struct json_out *out, const struct reply_applied *applied)
{
	if (!applied) {
		json_out_null(out, "applied");
		return;
	}
	json_out_object(out, "applied");
	json_out_array(out, "changes");
	for (size_t i = 0; i < applied->changes.count; i++) {
		const struct reply_change *change = &applied->changes.rows[i];
		json_out_object(out, NULL);
		json_out_words_or_null(out, "item", change->item ? change->item->tag : NULL);
		json_out_words(out, "name", change->name);
		json_out_words(out, "value", change->written);
		json_out_yes(out, "interpreted", change->interpreted);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_words(out, "outcome", reply_outcome_word(applied->outcome));
	json_out_words(out, "words", applied->words);
	json_out_end(out);
}

/* What became of the replies to the last round. */
void json_round(struct json_out *out, const struct round *round)
{
	json_out_object(out, "round");
	json_out_words(out, "file", round->file);
	json_out_object(out, "counts");
	for (int s = 0; s < ROUND_STATES; s++)
		json_out_whole(out, round_word((enum round_state)s), (long long)round->counts[s]);
	json_out_end(out);
	json_out_array(out, "rows");
	for (size_t i = 0; i < round->count; i++) {
		const struct round_row *row = &round->rows[i];
		json_out_object(out, NULL);
		json_out_words(out, "id", row->id);
		json_out_words(out, "state", round_word(row->state));
		json_out_words(out, "status", round_status(row->state));
		json_out_words_or_null(out, "reply", row->reply);
		json_out_words(out, "why", row->why);
		if (row->line)
			json_out_whole(out, "line", row->line);
		else
			json_out_null(out, "line");
		applied_object(out, row->applied);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}
