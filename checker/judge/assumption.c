#include "judge/assumption.h"

#include <string.h>

/* The row of that item and quantity; a new one like `begun` where there is none. */
static struct gathered_assumption *row_of(struct assumption_list *list, const struct assumption *begun)
{
	for (size_t i = 0; i < list->count; i++)
		if (list->rows[i].assumption.item == begun->item &&
			strcmp(list->rows[i].assumption.quantity, begun->quantity) == 0)
			return &list->rows[i];
	list->rows = arena_grow(list->arena, list->rows, list->count, &list->capacity, sizeof *list->rows);
	struct gathered_assumption *row = &list->rows[list->count++];
	*row = (struct gathered_assumption){.assumption = *begun, .turns = text_in(list->arena)};
	row->assumption.force = FORCE_ADVISORY;
	return row;
}

/* What a departure is worth; FORCE_ADVISORY where neither departs. */
static enum force worst_of(const struct finding *found, const struct finding *other)
{
	enum force force = FORCE_ADVISORY;
	for (size_t i = 0; i < 2; i++) {
		const struct finding *one = i ? other : found;
		bool may = one->verdict == VERDICT_DEPARTS || one->verdict == VERDICT_NOT_JUDGED;
		force = may && one->force < force ? one->force : force;
	}
	return force;
}

static void say(struct text *turns, const char *value, const struct finding *found, const struct finding *other)
{
	const bool both = found->verdict == VERDICT_DEPARTS && other->verdict == VERDICT_DEPARTS;
	text_addf(turns, "%swith %s %s on %s ", turns->length ? "; " : "", value, found->rule->id, found->item->tag);
	if (both)
		text_addf(turns, "departs as %s instead of %s", force_word(other->force), force_word(found->force));
	else
		text_add(turns,
			other->verdict == VERDICT_NOT_APPLICABLE       ? "does not apply"
				: other->verdict == VERDICT_NOT_JUDGED ? "cannot be judged"
								       : verdict_word(other->verdict));
}

static bool has_finding(const struct gathered_assumption *row, const struct finding *finding)
{
	bool has = false;
	for (size_t i = 0; i < row->assumption.count; i++)
		has = has || row->findings[i] == finding;
	return has;
}

void assumption_note(struct assumption_list *list, const struct assumption *begun, const char *value,
	const struct finding *found, const struct finding *other)
{
	enum { SAID_MOST = 3 };
	struct gathered_assumption *row = row_of(list, begun);
	struct assumption *assumption = &row->assumption;
	enum force worst = worst_of(found, other);
	if (worst < assumption->force)
		assumption->force = worst;
	if (row->said++ < SAID_MOST)
		say(&row->turns, value, found, other);
	if (has_finding(row, found))
		return;
	row->findings =
		arena_grow(list->arena, row->findings, assumption->count, &row->capacity, sizeof(struct finding *));
	row->findings[assumption->count++] = found;
}

void assumption_note_missing(struct assumption_list *list, const struct missing *missing, size_t count,
	const char *value, const struct finding *found, const struct finding *other)
{
	for (size_t i = 0; i < count; i++) {
		const struct assumption begun = {
			.item = missing[i].item, .quantity = missing[i].quantity, .reason = missing[i].reason};
		assumption_note(list, &begun, value, found, other);
	}
}

const struct assumption *assumption_list_end(struct assumption_list *list, size_t *count)
{
	struct assumption *rows = arena_alloc(list->arena, (list->count + 1) * sizeof *rows);
	for (size_t i = 0; i < list->count; i++) {
		rows[i] = list->rows[i].assumption;
		rows[i].findings = list->rows[i].findings;
		rows[i].turns = list->rows[i].turns.data;
	}
	*count = list->count;
	return rows;
}
