#include "reconcile/finding.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"

const char *const reconcile_names[] = {"correction-over-scatter", "least-likely", "not-borne-out", NULL};

enum { MOST_NAMED = 3 };

const char *reconcile_statement_words(struct arena *arena, const struct statement *statement)
{
	const struct quantity *quantity = statement->quantity;
	char *name = arena_copy(arena, statement->name);

	for (char *c = name; *c; c++)
		*c = *c == '-' ? ' ' : *c;
	return arena_format(arena, "%s of %s, %s%s%s%s", name, statement->item->tag, quantity->written,
		*quantity->document ? " (" : "", quantity->document, *quantity->document ? ")" : "");
}

static const char *closing_words(struct arena *arena, const struct accused *accused)
{
	enum kind kind = accused->statement->quantity->kind;

	return quantity_show_si(arena, accused->closing, kind, kind_unit(kind));
}

const char *reconcile_words(struct arena *arena, const struct accusation *accusation)
{
	struct text words = text_in(arena);
	size_t named = accusation->count < MOST_NAMED ? accusation->count : MOST_NAMED;

	text_add(&words,
		accusation->common		? "All statements of one value fit nothing else: "
			: accusation->count > 1 ? "One of these does not fit the rest: "
						: "It does not fit the rest: ");
	for (size_t i = 0; i < named; i++) {
		const struct accused *accused = &accusation->accused[i];
		text_addf(&words, "%s%s, where %s would close", i ? "; " : "",
			reconcile_statement_words(arena, accused->statement), closing_words(arena, accused));
		if (accused->slip)
			text_addf(&words, " (%s)", accused->slip);
	}
	if (accusation->count > named)
		text_addf(&words, "; %zu more", accusation->count - named);
	return words.data;
}

/* ---- what another finding says already ---- */

/* The contradiction that has the statement for one of its two values, and the value against it; NULL: none has. */
static const struct contradiction *contradiction_with(
	const struct table *table, const struct statement *statement, const struct quantity **against)
{
	size_t count;
	const struct contradiction *all = table_contradictions(table, &count);

	for (size_t i = 0; i < count; i++) {
		if (!all[i].second)
			continue;
		*against = all[i].used == statement->quantity ? all[i].second : all[i].used;
		if (all[i].used == statement->quantity || all[i].second == statement->quantity)
			return &all[i];
	}
	return NULL;
}

/* Is the value that would close nearer to the other one of the contradiction than to the statement? */
static bool speaks_for(const struct quantity *against, const struct accused *accused)
{
	return is_number(against) && against->kind == accused->statement->quantity->kind &&
		fabs(accused->closing - against->si) < fabs(accused->closing - accused->stated);
}

/*
 * Two documents contradict each other, and the circuit is against one of them: that is one finding, at the contradiction.
 */
static bool put_at_contradiction(struct table *table, const struct accusation *accusation)
{
	struct arena *arena = table_arena(table);
	const struct accused *first = &accusation->accused[0];
	const struct quantity *against = NULL;
	const struct contradiction *found = contradiction_with(table, first->statement, &against);

	if (!found || !speaks_for(against, first))
		return false;
	if (!table_peek(table, found->item, EVERY_CASE, reconcile_names[2]))
		table_put(table, found->item, EVERY_CASE, reconcile_names[2],
			quantity_assumed_word(arena, KIND_TEXT,
				arena_format(arena, "The balances of the circuit do not bear out %s: %s would close.",
					first->statement->quantity->written, closing_words(arena, first)),
				"the circuit reconciled"));
	return true;
}

static void put_one(struct table *table, int operating_case, const struct accusation *accusation)
{
	struct arena *arena = table_arena(table);
	const struct item *item = accusation->accused[0].statement->item;

	if (table_peek(table, item, operating_case, reconcile_names[0]))
		return; /* the likeliest was put already */
	table_put(table, item, operating_case, reconcile_names[0],
		quantity_assumed(arena, KIND_RATIO, fabs(accusation->score), 0, "the circuit reconciled"));
	table_put(table, item, operating_case, reconcile_names[1],
		quantity_assumed_word(arena, KIND_TEXT, reconcile_words(arena, accusation), "the circuit reconciled"));
}

void reconcile_put(struct table *table, const struct reconciliations *all)
{
	for (size_t i = 0; i < all->count; i++)
		for (size_t k = 0; k < all->cases[i].accusation_count; k++)
			if (all->cases[i].accusations[k].conflict &&
				!put_at_contradiction(table, &all->cases[i].accusations[k]))
				put_one(table, all->cases[i].operating_case, &all->cases[i].accusations[k]);
}
