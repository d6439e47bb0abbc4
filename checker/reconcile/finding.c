#include "reconcile/finding.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"
#include "compute/title.h"

const char *const reconcile_names[] = {"correction-over-scatter", "least-likely", "not-borne-out", NULL};

enum { MOST_NAMED = 3 };

const char *reconcile_statement_words(struct arena *arena, const struct statement *statement)
{
	const struct quantity *quantity = statement->quantity;

	return arena_format(arena, "%s of %s, %s%s%s%s", title_of(arena, statement->name), statement->item->tag,
		quantity->written, *quantity->document ? " (" : "", quantity->document, *quantity->document ? ")" : "");
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
		accusation->common		? "All statements of one value disagree with the rest: "
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

/* ---- what is put ---- */

/* The statement on which the review rests, of those that are meant; NULL: it rests on none of them. */
static const struct accused *used_of(const struct accusation *accusation)
{
	for (size_t i = 0; i < accusation->count && (accusation->common || i == 0); i++)
		if (!accusation->accused[i].statement->restated)
			return &accusation->accused[i];
	return NULL;
}

/* What rests on the value is judged with the one that would close too (pipeline/unsettled.h), told at `item`. */
static void put_closing(struct table *table, const struct item *item, const struct accusation *accusation)
{
	const struct accused *accused = used_of(accusation);

	if (!accused)
		return;
	const struct statement *statement = accused->statement;
	struct quantity *closing = arena_alloc(table_arena(table), sizeof *closing);
	*closing = *statement->quantity;
	closing->si = accused->closing;
	closing->written = closing_words(table_arena(table), accused);
	table_add_contradiction(table,
		(struct contradiction){.item = item,
			.of = statement->item,
			.name = statement->name,
			.operating_case = statement->operating_case,
			.used = statement->quantity,
			.other = closing,
			.by_circuit = true});
}

/* Two documents contradict each other, and the circuit is against one of them: that is one finding, at the contradiction. */
static const struct contradiction *contradiction_of(const struct table *table, const struct accusation *accusation)
{
	const struct accused *first = &accusation->accused[0];
	const struct quantity *against = NULL;
	const struct contradiction *found = contradiction_with(table, first->statement, &against);

	return found && speaks_for(against, first) ? found : NULL;
}

static void put_at_contradiction(struct table *table, const struct item *item, const struct accusation *accusation)
{
	struct arena *arena = table_arena(table);
	const struct accused *first = &accusation->accused[0];

	if (table_peek(table, item, EVERY_CASE, reconcile_names[2]))
		return;
	table_put(table, item, EVERY_CASE, reconcile_names[2],
		quantity_assumed_word(arena, KIND_TEXT,
			arena_format(arena, "The balances of the circuit contradict %s: %s would close them.",
				first->statement->quantity->written, closing_words(arena, first)),
			"the circuit reconciled"));
	put_closing(table, item, accusation);
}

/* Is it to be told at this item, and not at a contradiction? */
static bool is_of(const struct table *table, const struct accusation *accusation, const struct item *item)
{
	return accusation->conflict && accusation->accused[0].statement->item == item &&
		!contradiction_of(table, accusation);
}

/* All that is suspect of one item in one case is one finding: the likeliest, then the others. */
static void put_item(struct table *table, const struct reconciliation *of, size_t from)
{
	struct arena *arena = table_arena(table);
	const struct accusation *first = &of->accusations[from];
	const struct item *item = first->accused[0].statement->item;
	struct text words = text_in(arena);

	if (table_peek(table, item, of->operating_case, reconcile_names[0]))
		return;
	for (size_t k = from; k < of->accusation_count; k++)
		if (is_of(table, &of->accusations[k], item)) {
			text_addf(&words, "%s%s", k == from ? "" : ". ", reconcile_words(arena, &of->accusations[k]));
			put_closing(table, item, &of->accusations[k]);
		}
	table_put(table, item, of->operating_case, reconcile_names[0],
		quantity_assumed(arena, KIND_RATIO, fabs(first->score), 0, "the circuit reconciled"));
	table_put(table, item, of->operating_case, reconcile_names[1],
		quantity_assumed_word(arena, KIND_TEXT, words.data, "the circuit reconciled"));
}

void reconcile_put(struct table *table, const struct reconciliations *all)
{
	for (size_t i = 0; i < all->count; i++)
		for (size_t k = 0; k < all->cases[i].accusation_count; k++) {
			const struct accusation *accusation = &all->cases[i].accusations[k];
			if (!accusation->conflict)
				continue;
			const struct contradiction *found = contradiction_of(table, accusation);
			if (found)
				put_at_contradiction(table, found->item, accusation);
			else
				put_item(table, &all->cases[i], k);
		}
}
