#include "write/write.h"

#include "base/cells.h"
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
		cells[COLUMN_STATUS] = round_status(row->state);
		cells[COLUMN_UNIT] = review->number;
		cells_row(out, cells, ACTION_COLUMNS);
	}
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
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}
