#include "write/write.h"

#include "base/cells.h"
#include "judge/answers.h"
#include "record/action_list.h"
#include "record/round.h"

/* What is closed stays in the sheet, so that a departure that comes back is known to have been closed. */
static void add_closed(struct text *out, const struct review *review)
{
	const struct round *round = review->round;
	for (size_t i = 0; round && i < round->count; i++) {
		const struct round_row *row = &round->rows[i];
		const char *cells[ACTION_COLUMNS];
		if (row->state != ROUND_CLOSED && row->state != ROUND_STAYS && row->state != ROUND_UNCERTAIN)
			continue;
		for (size_t k = 0; k < ACTION_COLUMNS; k++)
			cells[k] = "";
		cells[COLUMN_ID] = row->id;
		cells[COLUMN_ACTION] = action_word(row->state == ROUND_UNCERTAIN ? ACTION_STATE : ACTION_NONE);
		cells[COLUMN_RULE] = row->finding ? row->finding->rule->id : "";
		cells[COLUMN_ITEM] = row->finding ? row->finding->item->tag : "";
		cells[COLUMN_FINDING] = row->why;
		cells[COLUMN_REPLY] = row->reply;
		cells[COLUMN_ATTRIBUTE] = row->cells.attribute ? row->cells.attribute : "";
		cells[COLUMN_NEW_VALUE] = row->cells.value ? row->cells.value : "";
		cells[COLUMN_APPLIED] = row->applied ? row->applied->words : "";
		cells[COLUMN_STATUS] = round_status(row->state);
		cells[COLUMN_UNIT] = review->number;
		cells_row(out, cells, ACTION_COLUMNS);
	}
}

/* What the package claims, with the answer. Nothing is to be replied to these: they have no id, and a next round leaves them out. */
static void add_claim(struct text *out, const struct review *review, const struct answer *answer)
{
	const char *cells[ACTION_COLUMNS];
	bool in_case = answer->on && answer->operating_case != EVERY_CASE;
	for (size_t k = 0; k < ACTION_COLUMNS; k++)
		cells[k] = "";
	cells[COLUMN_ACTION] = answer_word(answer->state);
	cells[COLUMN_RULE] = answer->rule ? answer->rule->id : "";
	cells[COLUMN_ITEM] = answer->on ? answer->on->tag : "";
	cells[COLUMN_CASE] = in_case ? table_case(review->table, answer->operating_case)->title : "";
	cells[COLUMN_FINDING] = arena_format(out->arena, "%s: %s", answer->claim->kind, answer->words);
	cells[COLUMN_VALUE] = answer->value ? quantity_show_both(out->arena, answer->value) : "";
	cells[COLUMN_LIMIT] =
		*answer->looser_than ? arena_format(out->arena, "looser than %s", answer->looser_than) : "";
	cells[COLUMN_REMEDY] = answer->found;
	cells[COLUMN_PLACE] = arena_format(out->arena, "%s:%d", answer->claim->place.file, answer->claim->place.line);
	cells[COLUMN_UNIT] = review->number;
	cells_row(out, cells, ACTION_COLUMNS);
}

bool write_csv(const struct review *review, FILE *out)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);
	const struct action_row *rows;
	size_t count = action_list(&arena, review, &rows);
	cells_begin(&text);
	cells_row(&text, action_heads, ACTION_COLUMNS);
	for (size_t i = 0; i < count; i++)
		cells_row(&text, rows[i].cells, ACTION_COLUMNS);
	add_closed(&text, review);
	for (size_t i = 0; i < review->judgement.answer_count; i++)
		add_claim(&text, review, &review->judgement.answers[i]);
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}
