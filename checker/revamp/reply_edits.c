#include "revamp/reply_edits.h"

struct reply_subject reply_subject_of(const struct round_row *row)
{
	struct reply_subject subject = {.operating_case = EVERY_CASE};
	if (row->finding) {
		subject.item = row->finding->item;
		subject.rule = row->finding->rule;
		subject.operating_case = row->finding->operating_case;
		subject.own = row->finding;
	} else if (row->question && row->question->request_count) {
		subject.requests = row->question->requests;
		subject.request_count = row->question->request_count;
	} else if (row->request) {
		subject.requests = &row->request;
		subject.request_count = 1;
	}
	if (subject.request_count) {
		subject.item = subject.requests[0]->item;
		subject.wanted = subject.requests[0]->quantity;
	}
	return subject;
}

static void add_all(struct arena *arena, struct restated_list *all, struct restated_list some)
{
	for (size_t i = 0; i < some.count; i++) {
		all->rows = arena_grow(arena, all->rows, all->count, &all->capacity, sizeof *all->rows);
		all->rows[all->count++] = some.rows[i];
	}
}

struct restated_list reply_edits_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct reply_subject *subject, const struct reply_changes *changes)
{
	struct restated_list all = {.rows = NULL};
	for (size_t i = 0; i < changes->count; i++) {
		const struct reply_change *change = &changes->rows[i];
		size_t items = change->item ? 1 : subject->request_count;
		for (size_t k = 0; k < items; k++) {
			const struct item *item = change->item ? change->item : subject->requests[k]->item;
			if (item)
				add_all(arena, &all,
					restate(arena, unit, table, item, change->name, change->written,
						subject->operating_case));
		}
	}
	return all;
}

struct restated_list reply_edits(
	struct arena *arena, const struct element *unit, const struct table *table, const struct round_row *row)
{
	const struct reply_subject subject = reply_subject_of(row);
	return reply_edits_of(arena, unit, table, &subject, &row->applied->changes);
}
