#include "compute/agreement.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/basis.h"
#include "resolve/resolve.h"

/* Documents round: sizes and counts that differ by less than this share are the same. */
static const double SAME_TO_ROUNDING = 1e-3;

struct side_stated side_of(const struct item *item, const char *name, const struct quantity *quantity)
{
	return (struct side_stated){.item = item,
		.name = name,
		.quantity = quantity,
		.si = quantity->si,
		.uncertainty = quantity->uncertainty,
		.printed = quantity_half_digit(quantity)};
}

struct side_stated side_times(struct side_stated side, double factor, double relative)
{
	side.uncertainty = fabs(factor) * hypot(side.uncertainty, side.si * relative);
	side.printed = fabs(factor) * (side.printed + fabs(side.si) * relative);
	side.si *= factor;
	return side;
}

/* ---- do they agree? ---- */

bool same_document(const struct side_stated *a, const struct side_stated *b)
{
	const char *one = a->quantity->document, *other = b->quantity->document;

	if (a->quantity->known != STATED || b->quantity->known != STATED || !one || !other)
		return false;
	return *one ? strcmp(one, other) == 0 : !*other && a->item == b->item;
}

static double rounding(const struct meeting *meeting)
{
	return SAME_TO_ROUNDING * fmax(fabs(meeting->used.si), fabs(meeting->other.si));
}

/* A value that states its own uncertainty keeps it, whatever document it shares. */
static double own_uncertainty(const struct side_stated *side)
{
	return quantity_states_uncertainty(side->quantity) ? side->uncertainty : 0;
}

static double allowed_apart(const struct meeting *meeting)
{
	const struct side_stated *a = &meeting->used, *b = &meeting->other;
	double origin = meeting->one_document
		? fmax(a->printed + b->printed, fmax(own_uncertainty(a), own_uncertainty(b)))
		: fmax(a->uncertainty, b->uncertainty);

	return fmax(origin, rounding(meeting)) + meeting->allowed;
}

/* Can a number, with its uncertainty, be what a bound says? */
static bool within(const struct side_stated *bound, const struct side_stated *number, double more)
{
	double beyond = bound->quantity->bound == BOUND_BELOW ? number->si - bound->si : bound->si - number->si;

	return beyond <= fmax(number->uncertainty, SAME_TO_ROUNDING * fabs(bound->si)) + more;
}

/* Two bounds, or what is owed, are not held against each other. */
static bool can_meet(const struct quantity *a, const struct quantity *b)
{
	return !a->owed && !b->owed && (a->bound == BOUND_NONE || b->bound == BOUND_NONE);
}

enum truth meeting_agrees(const struct meeting *meeting)
{
	const struct side_stated *a = &meeting->used, *b = &meeting->other;
	const struct quantity *first = a->quantity, *second = b->quantity;

	if (!can_meet(first, second))
		return YES;
	if (!kind_is_number(first->kind))
		return text_same(first->word, second->word) ? YES : NO;
	if (meeting->missing.reason || isnan(a->si) || isnan(b->si))
		return PERHAPS;
	if (first->bound != BOUND_NONE)
		return within(a, b, meeting->allowed) ? YES : NO;
	if (second->bound != BOUND_NONE)
		return within(b, a, meeting->allowed) ? YES : NO;
	double apart = meeting->at_most ? a->si - b->si : fabs(a->si - b->si);
	return apart <= allowed_apart(meeting) * (1 + 1e-9) ? YES : NO;
}

void meeting_read(const struct table *table, const struct meeting *meeting)
{
	if (!can_meet(meeting->used.quantity, meeting->other.quantity))
		return;
	table_read(table, meeting->used.item, meeting->used.name, meeting->used.quantity);
	table_read(table, meeting->other.item, meeting->other.name, meeting->other.quantity);
}

/* ---- the contradiction ---- */

double agreement_barometric(const struct table *table)
{
	const struct item *basis = table_sole(table, "basis");
	const struct quantity *site = basis ? table_peek(table, basis, EVERY_CASE, "barometric-pressure") : NULL;

	return site && is_number(site) ? site->si : STANDARD_BAROMETRIC_PRESSURE;
}

/* "HMB-310 rev B", "the description itself", "lean-cold, HMB-310 rev B" of what another item says. */
static const char *says_who(struct arena *arena, const struct meeting *meeting, const struct side_stated *side)
{
	const char *document = side->quantity->known == STATED ? side->quantity->document : "";
	bool other = side->item != meeting->item;

	document = document ? document : "";
	if (side->quantity->known != STATED)
		return arena_of(arena, side->name, side->item->tag);
	if (!other)
		return *document ? document : "the description itself";
	return arena_format(arena, "%s%s%s", side->item->tag, *document ? ", " : "", document);
}

/* The figure, and what it comes to in the kind of the one that is used where that is another. */
static const char *shown(struct arena *arena, const struct meeting *meeting)
{
	const struct side_stated *used = &meeting->used, *other = &meeting->other;
	const char *as_stated = quantity_show(arena, other->quantity, NULL);

	if (other->quantity->kind == used->quantity->kind || !kind_is_number(used->quantity->kind) ||
		isnan(other->si) || isnan(used->si) || !(fabs(used->si) > 0))
		return as_stated;
	return arena_format(arena, "%s (%s)", as_stated,
		quantity_show_si(arena, other->si / used->si * used->quantity->si, used->quantity->kind, NULL));
}

static void put_text(
	struct table *table, const struct item *item, struct place place, const char *name, const char *word)
{
	struct quantity *quantity = arena_alloc(table_arena(table), sizeof *quantity);

	if (!word || !*word)
		return;
	*quantity = (struct quantity){
		.known = STATED, .kind = KIND_TEXT, .word = word, .written = word, .place = place, .document = ""};
	table_put(table, item, EVERY_CASE, name, quantity);
}

static struct place place_of(const struct meeting *meeting)
{
	return meeting->other.quantity->known == STATED ? meeting->other.quantity->place
							: meeting->used.quantity->place;
}

static const struct item *add_item(struct table *table, const struct meeting *meeting)
{
	struct place place = place_of(meeting);
	struct arena *arena = table_arena(table);
	struct item entry = {.kind = "contradiction", .parent = meeting->item, .text = "", .place = place};

	entry.tag = arena_format(arena, "%s %s", meeting->item->tag, meeting->quantity);
	if (table_find(table, entry.tag))
		entry.tag = arena_format(arena, "%s (line %d)", entry.tag, place.line);
	for (int k = 2; table_find(table, entry.tag); k++)
		entry.tag = arena_format(
			arena, "%s %s (line %d, %d)", meeting->item->tag, meeting->quantity, place.line, k);
	return table_add_item(table, entry);
}

static const char *slip_words(struct table *table, const struct meeting *meeting, const char *hint)
{
	struct arena *arena = table_arena(table);
	const struct side_stated *a = &meeting->used, *b = &meeting->other;
	const struct slip_site site = basis_at(table, meeting->item, meeting->operating_case, meeting->quantity);
	bool numbers = kind_is_number(a->quantity->kind) && !isnan(a->si) && !isnan(b->si);
	const char *slip = hint;

	if (!slip && numbers && fabs(a->si) > 0 && fabs(b->si) > 0)
		slip = slip_between(arena, b->quantity->kind, meeting->sorts, a->si, b->si,
			hypot(a->uncertainty / a->si, b->uncertainty / b->si), &site);
	return slip ? arena_format(arena, "One slip would explain it: %s.", slip) : NULL;
}

static void put_verdict(struct table *table, const struct item *item, const struct meeting *meeting)
{
	struct arena *arena = table_arena(table);
	bool unknown = meeting_agrees(meeting) == PERHAPS;
	const struct quantity *agrees = unknown ? quantity_lacking(arena, KIND_YES_NO, meeting->missing)
						: quantity_assumed_word(arena, KIND_YES_NO, "no", "compared");

	table_put(table, item, EVERY_CASE, "agrees", agrees);
	if (unknown || !kind_is_number(meeting->used.quantity->kind))
		return;
	struct quantity *difference = arena_alloc(arena, sizeof *difference);
	double a = meeting->used.si, b = meeting->other.si, larger = fmax(fabs(a), fabs(b));
	*difference = (struct quantity){.known = STATED,
		.kind = KIND_SHARE,
		.place = place_of(meeting),
		.document = "",
		.written = "",
		.si = larger > 0 ? fabs(a - b) / larger : 0};
	table_put(table, item, EVERY_CASE, "difference", difference);
}

void meeting_put(struct table *table, const struct meeting *meeting, const char *cases, const char *hint)
{
	struct arena *arena = table_arena(table);
	const struct item *item = add_item(table, meeting);
	const struct {
		const char *name, *word;
	} texts[] = {
		{"item", meeting->item->tag},
		{"quantity", meeting->quantity},
		{"first", quantity_show(arena, meeting->used.quantity, NULL)},
		{"second", shown(arena, meeting)},
		{"first-document", says_who(arena, meeting, &meeting->used)},
		{"second-document", says_who(arena, meeting, &meeting->other)},
		{"through", meeting->through},
		{"why-used", meeting->why},
		{"in-cases", cases},
		{"slip", slip_words(table, meeting, hint)},
	};

	for (size_t i = 0; i < COUNT(texts); i++)
		put_text(table, item, place_of(meeting), texts[i].name, texts[i].word);
	put_verdict(table, item, meeting);
	table_add_contradiction(table,
		(struct contradiction){.item = item,
			.of = meeting->item,
			.name = meeting->quantity,
			.operating_case = meeting->operating_case,
			.used = meeting->used.quantity,
			.second = meeting->other.quantity,
			.other = meeting->other.item == meeting->item ? meeting->other.quantity : NULL});
}
