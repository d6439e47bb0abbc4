/*
 * Nothing is calculated from what nobody stated, and a bound gives nothing that some value within it would contradict: for
 * stated numbers of the shipped designs, each made unknown, an upper and a lower bound in turn.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/compute_unit.h"
#include "resolve/resolve.h"
#include "revamp/variant.h"
#include "review_support.h"

static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml", "designs/saltmarsh-lea.xml",
	"designs/heron-gate.xml", "designs/curlew-spit.xml", "tests/designs/f04.xml", "tests/designs/lacq.xml",
	"tests/designs/odds-gas.xml"};

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(unknown, .init = begin, .fini = end, .timeout = 600);

/* A stated number, in the tree of its description. */
struct spot {
	const struct element *element;
	size_t at;
};

/* Calls `visit` for every step-th stated number, beginning with the offset-th. */
static void each_number(
	const struct element *element, size_t step, size_t *count, void (*visit)(struct spot spot, const char *what))
{
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		if (attribute->written[0] < '0' || attribute->written[0] > '9' ||
			!kind_is_number(attribute->meaning->type->accepted.kinds[0]))
			continue;
		if ((*count)++ % step == 0)
			visit((struct spot){element, i},
				arena_format(&trial.arena, "%s:%d %s of %s", attribute->place.file,
					attribute->place.line, attribute->meaning->name, element->meaning->name));
	}
	for (size_t i = 0; i < element->child_count; i++)
		each_number(element->children[i], step, count, visit);
}

static const struct element *unit;

/* NULL where the description is refused. */
static const struct table *compute(struct arena *arena, const struct element *of)
{
	struct problems problems = {.arena = arena};
	const struct table *resolved = resolve(arena, of, &problems);
	return resolved && problems.count == 0 ? compute_table(arena, resolved, ANALYSES_ALL) : NULL;
}

/* Of the unit with the stated number written so; NULL: without it. */
static const struct table *with(struct arena *arena, struct spot spot, const char *written)
{
	struct variant variant = variant_in(arena);
	variant_set(&variant, spot.element, spot.element->attributes[spot.at].meaning->name, written);
	return compute(arena, variant_build(arena, &variant, unit));
}

#ifdef __SANITIZE_ADDRESS__
enum { SPARSE = 3 };
#else
enum { SPARSE = 1 };
#endif

/* Every one of them where the environment asks for it: minutes. */
static size_t step_of(size_t usual)
{
	return getenv("LEANRICH_EVERY_NUMBER") ? 1 : SPARSE * usual;
}

/* ---- every cell ---- */

struct names {
	const char *rows[2048];
	size_t count;
};

static void note(const char *name, void *data)
{
	struct names *names = data;
	for (size_t i = 0; i < names->count; i++)
		if (strcmp(names->rows[i], name) == 0)
			return;
	cr_assert(names->count < COUNT(names->rows));
	names->rows[names->count++] = name;
}

static const char *spot_what;
static const struct table *tables[3];

static void each_cell(const struct table *table,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *quantity))
{
	struct names names = {.count = 0};
	table_each_name(table, note, &names);
	for (size_t i = 0; i < table_item_count(table); i++)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++)
			for (size_t k = 0; k < names.count; k++) {
				const struct quantity *quantity =
					table_get(table, table_item(table, i), c, names.rows[k]);
				if (quantity)
					visit(table_item(table, i), c, names.rows[k], quantity);
			}
}

/* ---- unknown ---- */

static size_t rested;

/* An unknown input makes the result unknown; or a bound, which says what it is a bound for want of. */
static void rests_on_knowns(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	if (quantity->known != COMPUTED)
		return;
	for (size_t i = 0; i < quantity->input_count; i++) {
		const struct quantity *input = quantity->inputs[i].quantity;
		bool bounded = quantity->bound != BOUND_NONE && quantity->reason;
		cr_expect((input && input->known != UNKNOWN) || bounded, "%s missing: %s of %s in case %d rests on %s",
			spot_what, name, item->tag, operating_case, quantity->inputs[i].name);
		rested++;
	}
	double least = quantity->kind == KIND_TEMPERATURE ? 200 : quantity->kind == KIND_PRESSURE ? 1 : -HUGE_VAL;
	cr_expect(!kind_is_number(quantity->kind) || quantity->si > least, "%s missing: %s of %s in case %d is %g",
		spot_what, name, item->tag, operating_case, quantity->si);
}

static void take_away(struct spot spot, const char *what)
{
	struct arena arena = {0};
	const struct table *table = with(&arena, spot, NULL);
	spot_what = what;
	if (table)
		each_cell(table, rests_on_knowns);
	arena_release(&arena);
}

Test(unknown, nothing_is_calculated_from_what_nobody_stated)
{
	for (size_t i = 0; i < COUNT(designs); i++) {
		size_t count = 0;
		unit = element_read(&trial.arena, designs[i], trial.vocabulary, &trial.problems);
		each_number(unit, step_of(11), &count, take_away);
	}
	cr_expect(rested > 10000 / SPARSE, "only %zu inputs looked at", rested);
}

/* ---- bounds ---- */

static size_t bounded;

/*
 * Not held to it: what the metal reaches is told by reasons of its own; iron in equilibrium with siderite is given without an
 * uncertainty, and salts within that of the pH are let pass; a stated bound is as far from what was calculated as the nearest
 * value that it allows.
 */
static bool is_exempt(const char *name)
{
	return text_has_word("metal-reaches metal-temperature siderite-iron density-difference", name);
}

/* `quantity` was calculated with a bound; two values within it must not contradict it. */
static void holds_within(const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	if (quantity->known == UNKNOWN || quantity->known == STATED || is_exempt(name))
		return;
	for (size_t i = 1; i < 3; i++) {
		const struct item *there =
			table_find(tables[i], item->tag); /* contradictions come and go with the value */
		const struct quantity *value = there && strcmp(there->kind, item->kind) == 0
			? table_get(tables[i], there, operating_case, name)
			: NULL;
		if (!value || value->known == UNKNOWN)
			continue;
		if (!kind_is_number(quantity->kind)) {
			cr_expect(quantity->kind == KIND_TEXT || quantity->kind == KIND_REFERENCE ||
					strcmp(quantity->word, value->word) == 0,
				"%s: %s of %s in case %d is %s, and %s within the bound", spot_what, name, item->tag,
				operating_case, quantity->word, value->word);
			continue;
		}
		/* A statistic of all that is stated: a bound takes a statement out of it, and no value within is better. */
		if (strcmp(name, "correction-over-scatter") == 0)
			continue;
		/* What is given without an uncertainty rests on what is uncertain all the same. */
		const double exact = quantity->uncertainty > 0 ? 1e-6 : 1e-3;
		double slack = exact * fmax(fabs(value->si), fabs(quantity->si)), above = value->si - quantity->si;
		bool holds = quantity->bound == BOUND_BELOW ? above <= slack
			: quantity->bound == BOUND_ABOVE    ? above >= -slack
							    : fabs(above) <= quantity->uncertainty + slack;
		cr_expect(holds, "%s: %s of %s in case %d is %s%g +/- %g, and %g within the bound", spot_what, name,
			item->tag, operating_case,
			quantity->bound == BOUND_BELOW		 ? "<"
				: quantity->bound == BOUND_ABOVE ? ">"
								 : "",
			quantity->si, quantity->uncertainty, value->si);
		bounded += quantity->bound != BOUND_NONE && quantity->known == COMPUTED;
	}
}

static void bound(struct spot spot, const char *what)
{
	static const struct {
		const char *sign;
		double factor;
	} rows[] = {{"<", 0.93}, {">", 1.07}};
	const char *written = spot.element->attributes[spot.at].written;
	char *unit_of;
	/* What every gauge value refers to is taken as it is; a corrosion rate that is a bound bounds the age of no film. */
	if (text_has_word("barometric-pressure corrosion-rate", spot.element->attributes[spot.at].meaning->name))
		return;
	double number = strtod(written, &unit_of);
	if (strstr(written, "+/-") || !(number > 0) || strpbrk(unit_of, "0123456789.,") == unit_of)
		return;
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		tables[0] = with(&arena, spot, arena_format(&arena, "%s%s", rows[i].sign, written));
		tables[1] = with(&arena, spot, written);
		tables[2] = with(&arena, spot, arena_format(&arena, "%.6g%s", number * rows[i].factor, unit_of));
		spot_what = arena_format(&trial.arena, "%s %s%s", what, rows[i].sign, written);
		if (tables[0] && tables[1] && tables[2])
			each_cell(tables[0], holds_within);
		arena_release(&arena);
	}
}

Test(unknown, no_value_within_a_bound_contradicts_what_follows_from_it)
{
	for (size_t i = 0; i < COUNT(designs); i++) {
		size_t count = 0;
		unit = element_read(&trial.arena, designs[i], trial.vocabulary, &trial.problems);
		each_number(unit, step_of(29), &count, bound);
	}
	cr_expect(bounded > 500 / SPARSE, "only %zu results that are bounds", bounded);
}

/* ---- what is owed in one case ---- */

static const struct quantity *owed;
static int owed_case;
static size_t looked_at;

static bool rests_on(const struct quantity *quantity, const struct quantity *on, int depth)
{
	if (quantity == on)
		return true;
	for (size_t i = 0; depth > 0 && i < quantity->input_count; i++)
		if (quantity->inputs[i].quantity && rests_on(quantity->inputs[i].quantity, on, depth - 1))
			return true;
	return false;
}

static void does_not_fall_back(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	enum { DEEP = 12 };
	bool says = quantity->bound != BOUND_NONE && quantity->reason; /* "at least", for want of what is owed */
	if (operating_case != owed_case || quantity->known != COMPUTED || says)
		return;
	looked_at++;
	cr_expect_not(rests_on(quantity, owed, DEEP), "%s owed in case %d: %s of %s rests on the value of the others",
		spot_what, operating_case, name, item->tag);
}

/* A value that is unknown in the last case alone: nothing in that case may rest on the value of the others. */
static void owe(const struct item *item, const char *name)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct table *resolved = resolve(&arena, unit, &problems);
	const struct item *here = table_item(resolved, item->index);
	owed = table_get(resolved, here, EVERY_CASE, name);
	owed_case = (int)table_case_count(resolved) - 1;
	spot_what = arena_format(&trial.arena, "%s of %s", name, item->tag);
	table_put(resolved, here, owed_case, name,
		quantity_unknown(&arena, owed->kind, arena_format(&arena, "%s of %s is t.b.d.", name, item->tag)));
	each_cell(compute_table(&arena, resolved, ANALYSES_ALL), does_not_fall_back);
	arena_release(&arena);
}

static size_t owed_count;

static void owe_some(const struct item *item, int operating_case, const char *name, const struct quantity *quantity)
{
	if (operating_case == EVERY_CASE && quantity->known == STATED && kind_is_number(quantity->kind) &&
		quantity->place.line > 0 && owed_count++ % step_of(17) == 0)
		owe(item, name);
}

Test(unknown, what_is_owed_in_a_case_is_not_taken_from_the_others)
{
	for (size_t i = 0; i < COUNT(designs); i++) {
		unit = element_read(&trial.arena, designs[i], trial.vocabulary, &trial.problems);
		const struct table *resolved = resolve(&trial.arena, unit, &trial.problems);
		if (table_case_count(resolved) > 1)
			each_cell(resolved, owe_some);
	}
	cr_expect(looked_at > 10000 / SPARSE, "only %zu values looked at", looked_at);
}
