#include "revamp/kept.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static bool highest(const struct table *table, const struct item *item, const char *name, double *si, enum kind *kind)
{
	bool found = false;
	for (int c = 0; c < (int)table_case_count(table); c++) {
		const struct quantity *quantity = table_get(table, item, c, name);
		if (!quantity || quantity->known == UNKNOWN || !kind_is_number(quantity->kind) ||
			(found && quantity->kind != *kind))
			continue;
		*si = found ? fmax(*si, quantity->si) : quantity->si;
		*kind = quantity->kind;
		found = true;
	}
	return found;
}

static size_t findings_on(const struct comparison *out, const struct item *item)
{
	size_t count = 0;
	for (size_t i = 0; i < out->count; i++) {
		const struct change_row *row = &out->rows[i];
		bool counts = row->change == CHANGE_NEW || row->change == CHANGE_WORSE;
		const struct item *on = row->after ? row->after->item : NULL;
		while (counts && on && on != item)
			on = on->parent;
		count += counts && on;
	}
	return count;
}

static void compare_conditions(struct arena *arena, const struct comparison *out, const struct item *before,
	const struct item *after, struct kept_row *row)
{
	static const char *const names[] = {"metal-temperature", "temperature", "pressure", "velocity", "momentum-flux",
		"loading", "h2s-partial-pressure", "bulk-temperature", "heat-flux"};
	enum { NAMES = COUNT(names) };
	const double rounding = 1e-3; /* of the larger: what documents round away */
	struct condition_change *changes = arena_alloc(arena, NAMES * sizeof *changes);
	for (size_t i = 0; i < NAMES; i++) {
		struct condition_change change = {.name = names[i]};
		enum kind kind;
		if (highest(out->base->table, before, names[i], &change.before, &kind) &&
			highest(out->revamp->table, after, names[i], &change.after, &change.kind) &&
			kind == change.kind &&
			fabs(change.after - change.before) > rounding * fmax(fabs(change.after), fabs(change.before)))
			changes[row->change_count++] = change;
	}
	row->changes = changes;
}

/* ---- what a kept metal passes, and what was done to it ---- */

/* K. Older practice asks for stress relief in DEA and in MDEA from here; API RP 945, 2003, from memory. */
static const double THRESHOLDS[] = {333.15, 355.15};

static void add(struct text *words, const char *what)
{
	text_addf(words, "%s%s", words->length ? "; " : "", what);
}

static void add_thresholds(struct arena *arena, struct text *words, const struct comparison *out,
	const struct item *before, const struct item *after)
{
	double was, is;
	enum kind kind, kind_now;
	if (!highest(out->base->table, before, "metal-reaches", &was, &kind) ||
		!highest(out->revamp->table, after, "metal-reaches", &is, &kind_now))
		return;
	for (size_t i = 0; i < COUNT(THRESHOLDS); i++)
		if (was < THRESHOLDS[i] && is >= THRESHOLDS[i])
			add(words,
				arena_format(arena, "its metal passes %s",
					quantity_show_si(arena, THRESHOLDS[i], KIND_TEMPERATURE, NULL)));
}

static void add_condition(struct arena *arena, struct text *words, const struct comparison *out,
	const struct item *before, const struct item *after)
{
	const char *was = table_word(out->base->table, before, EVERY_CASE, "sourness"),
		   *is = table_word(out->revamp->table, after, EVERY_CASE, "sourness");
	const struct quantity *relieved = table_get(out->base->table, before, EVERY_CASE, "stress-relieved"),
			      *still = table_get(out->revamp->table, after, EVERY_CASE, "stress-relieved");
	if (was && is && strcmp(was, is) != 0)
		add(words, arena_format(arena, "%s, %s before", is, was));
	if (relieved && still && relieved->si > 0 && still->known != UNKNOWN && still->si <= 0)
		add(words,
			arena_format(arena, "its stress relief counts no longer: %s",
				table_word(out->revamp->table, after, EVERY_CASE, "stress-relief")));
}

/* Does the base have what the revamp calls this? */
static bool is_mapped(const struct comparison *out, const char *const *mapped, const struct item *item)
{
	for (size_t i = 0; i < table_item_count(out->base->table); i++)
		if (text_same(mapped[i], item->tag))
			return true;
	return false;
}

static void add_history(struct arena *arena, struct text *words, const struct comparison *out,
	const char *const *mapped, const struct item *after)
{
	const struct table *table = out->revamp->table;
	size_t end = table_parts_end(table, after);
	for (size_t i = after->index + 1; i < end; i++) {
		const struct item *part = table_item(table, i);
		if (item_is(part, "repair") && part->parent == after && !is_mapped(out, mapped, part))
			add(words, arena_format(arena, "%s is not in the base", part->tag));
	}
}

static const char *crossed(struct arena *arena, const struct comparison *out, const char *const *mapped,
	const struct item *before, const struct item *after)
{
	struct text words = text_in(arena);
	text_addf(&words, "%s", "");
	add_thresholds(arena, &words, out, before, after);
	add_condition(arena, &words, out, before, after);
	add_history(arena, &words, out, mapped, after);
	return words.data;
}

void kept_collect(struct arena *arena, struct comparison *out, const char *const *mapped)
{
	size_t count = table_item_count(out->base->table);
	struct kept_row *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	for (size_t i = 0; i < count; i++) {
		const struct item *before = table_item(out->base->table, i);
		const struct item *after = table_find(out->revamp->table, mapped[i]);
		const struct quantity *metal = table_stated(out->base->table, before, EVERY_CASE, "material");
		const struct quantity *now =
			after ? table_stated(out->revamp->table, after, EVERY_CASE, "material") : NULL;
		if (!metal || !now || !text_same(metal->word, now->word) || strcmp(before->kind, after->kind) != 0)
			continue;
		struct kept_row *row = &rows[out->kept_count];
		*row = (struct kept_row){.item = after, .material = now->word, .findings = findings_on(out, after)};
		compare_conditions(arena, out, before, after, row);
		row->crossed = crossed(arena, out, mapped, before, after);
		out->kept_count += row->change_count > 0 || *row->crossed;
	}
	out->kept = rows;
}
