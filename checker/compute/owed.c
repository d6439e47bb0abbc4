#include "compute/owed.h"

#include <stdint.h>
#include <string.h>

/* A value for every case that is owed in `operating_case`, and what is there instead. */
struct owed {
	int operating_case;
	const struct quantity *usual, *unknown;
};

/* A calculated cell that rests on one, found before anything is put. */
struct stale {
	const struct item *item;
	int operating_case;
	const char *name;
	const struct quantity *unknown;
};

/* What a value rests on, once for each value and case; open addressing, a power of two. */
struct answer {
	const struct quantity *quantity; /* NULL: free */
	const struct quantity *unknown;	 /* NULL: it rests on nothing that is owed */
};

struct search {
	struct table *table;
	struct arena *arena;
	struct owed *owed;
	size_t owed_count, owed_capacity;
	struct stale *stale;
	size_t stale_count, stale_capacity;
	int operating_case; /* of the answers */
	struct answer *answers;
	size_t answer_count, answer_capacity;
};

static void note_owed(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct search *search = data;
	if (operating_case == EVERY_CASE || quantity->known != UNKNOWN)
		return;
	const struct quantity *usual = table_stated(search->table, item, EVERY_CASE, name);
	if (!usual || usual->known == UNKNOWN)
		return;
	search->owed = arena_grow(
		search->arena, search->owed, search->owed_count, &search->owed_capacity, sizeof *search->owed);
	search->owed[search->owed_count++] = (struct owed){operating_case, usual, quantity};
}

static struct answer *answer_at(const struct search *search, const struct quantity *quantity)
{
	size_t at = ((uintptr_t)quantity >> 4) * 2654435761u;
	for (;; at++) {
		struct answer *answer = &search->answers[at & (search->answer_capacity - 1)];
		if (!answer->quantity || answer->quantity == quantity)
			return answer;
	}
}

static void remember(struct search *search, const struct quantity *quantity, const struct quantity *unknown)
{
	if (2 * (search->answer_count + 1) > search->answer_capacity) {
		struct answer *before = search->answers;
		size_t old = search->answer_capacity;
		search->answer_capacity = old ? 2 * old : 1024;
		search->answers = arena_alloc(search->arena, search->answer_capacity * sizeof *search->answers);
		for (size_t i = 0; i < old; i++)
			if (before[i].quantity)
				*answer_at(search, before[i].quantity) = before[i];
	}
	*answer_at(search, quantity) = (struct answer){quantity, unknown};
	search->answer_count++;
}

/* Why the value may not hold in the case of the search, or NULL. Traces hold no rings: what was made later names the earlier. */
static const struct quantity *owed_by(struct search *search, const struct quantity *quantity)
{
	const struct quantity *unknown = NULL;
	const struct answer *known = search->answer_capacity ? answer_at(search, quantity) : NULL;
	if (known && known->quantity)
		return known->unknown;
	for (size_t i = 0; i < search->owed_count && !unknown; i++)
		if (search->owed[i].operating_case == search->operating_case && search->owed[i].usual == quantity)
			unknown = search->owed[i].unknown;
	for (size_t i = 0; i < quantity->input_count && !unknown; i++)
		if (quantity->inputs[i].quantity)
			unknown = owed_by(search, quantity->inputs[i].quantity);
	remember(search, quantity, unknown);
	return unknown;
}

/* A bound that says what it is a bound for want of is kept: the highest of all cases is at least that of the others. */
static void note_stale(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct search *search = data;
	if (operating_case != EVERY_CASE && operating_case != search->operating_case)
		return;
	quantity = table_get(search->table, item, search->operating_case, name);
	if (quantity->known != COMPUTED || (quantity->bound != BOUND_NONE && quantity->reason))
		return;
	const struct quantity *unknown = owed_by(search, quantity);
	if (!unknown)
		return;
	search->stale = arena_grow(
		search->arena, search->stale, search->stale_count, &search->stale_capacity, sizeof *search->stale);
	search->stale[search->stale_count++] = (struct stale){item, search->operating_case, name,
		quantity_lacking(search->arena, quantity->kind, quantity_missing(unknown))};
}

void owed_compute(struct table *table)
{
	struct search search = {.table = table, .arena = table_arena(table)};
	table_each_cell(table_lowest(table), note_owed, &search);
	for (int c = 0; search.owed_count && c < (int)table_case_count(table); c++) {
		search.operating_case = c;
		search.answers = NULL;
		search.answer_count = search.answer_capacity = 0;
		table_each_cell(table, note_stale, &search);
	}
	for (size_t i = 0; i < search.stale_count; i++)
		table_put(table, search.stale[i].item, search.stale[i].operating_case, search.stale[i].name,
			search.stale[i].unknown);
}
