#include "reconcile/finding.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

const char *const reconcile_names[] = {"correction-over-scatter", "least-likely", NULL};

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
			if (all->cases[i].accusations[k].conflict)
				put_one(table, all->cases[i].operating_case, &all->cases[i].accusations[k]);
}
