#include "judge/claims.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "resolve/resolve.h"

/* The kinds of elements that may be in a unit, each once. */
struct meanings {
	const struct vocabulary_element **rows;
	size_t count, capacity;
};

struct checking {
	struct arena *arena;
	const struct element *unit;
	const struct table *table;
	const struct catalogue *catalogue;
	struct problems *problems;
	struct meanings all;
};

static void add_meaning(struct arena *arena, struct meanings *meanings, const struct vocabulary_element *element)
{
	for (size_t i = 0; i < meanings->count; i++)
		if (meanings->rows[i] == element)
			return;
	meanings->rows =
		arena_grow(arena, meanings->rows, meanings->count, &meanings->capacity, sizeof *meanings->rows);
	meanings->rows[meanings->count++] = element;
	for (size_t i = 0; i < element->child_count; i++)
		add_meaning(arena, meanings, element->children[i]);
}

/* ---- what it is about ---- */

static const char *own_tag(const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->type->name, "tag") == 0)
			return element->attributes[i].written;
	return NULL;
}

/* By its own tag, or by "E-302 tube side" where it has none: so a claim is checked beside other faults of the description. */
static const struct element *tagged(
	struct arena *arena, const struct element *element, const char *outer, const char *tag)
{
	const char *own = own_tag(element);
	if (!own && element->parent && element->parent->parent) {
		char *made = arena_format(arena, "%s %s", outer, element->meaning->name);
		for (char *c = made + strlen(outer); *c; c++)
			*c = *c == '-' ? ' ' : *c;
		own = made;
	}
	if (own && strcmp(own, tag) == 0)
		return element;
	const struct element *found = NULL;
	for (size_t i = 0; !found && i < element->child_count; i++)
		if (!element_is(element->children[i], "in") && !element_is(element->children[i], "stated"))
			found = tagged(arena, element->children[i], own ? own : "", tag);
	return found;
}

static const struct vocabulary_element *meaning_of(const struct checking *checking, const char *tag)
{
	const struct item *item = checking->table ? table_find(checking->table, tag) : NULL;
	const struct element *element =
		item ? resolve_element(checking->unit, item) : tagged(checking->arena, checking->unit, "", tag);
	return element ? element->meaning : NULL;
}

/* ---- the quantity ---- */

/* Who states it, and of which document and case, is nothing that an item has. */
static bool is_quantity(const struct vocabulary_attribute *attribute)
{
	return !text_has_word("data was document case", attribute->name) && strcmp(attribute->type->name, "tag") != 0;
}

/* Is it calculated for one of these kinds of item? */
static bool is_computed(struct meanings meanings, const char *name)
{
	const struct computed *row;
	for (size_t i = 0; (row = computed_row(i)) != NULL; i++)
		for (size_t k = 0; strcmp(row->name, name) == 0 && k < meanings.count; k++)
			if (computed_is_on(row, meanings.rows[k]->name, false))
				return true;
	return false;
}

static void add_kinds(struct accepted *all, const struct accepted *more)
{
	for (size_t i = 0; i < more->count; i++) {
		bool there = all->count == COUNT(all->kinds);
		for (size_t k = 0; k < all->count; k++)
			there = there || all->kinds[k] == more->kinds[i];
		if (!there)
			all->kinds[all->count++] = more->kinds[i];
	}
}

/* What the attribute of this name accepts, of one kind of item or of all that have one. */
static struct accepted kinds_stated(struct meanings meanings, const char *name)
{
	struct accepted kinds = {.count = 0};
	for (size_t i = 0; i < meanings.count; i++) {
		const struct vocabulary_attribute *attribute = vocabulary_attribute(meanings.rows[i], name);
		if (attribute && is_quantity(attribute))
			add_kinds(&kinds, &attribute->type->accepted);
	}
	return kinds;
}

/* Of a computed name: as the rules read it; none where no rule does. */
static struct accepted kinds_computed(const struct checking *checking, const char *name)
{
	struct accepted kinds = {.count = 0};
	for (size_t i = 0; i < checking->catalogue->rule_count; i++) {
		const struct rule *rule = &checking->catalogue->rules[i];
		for (size_t k = 0; k < rule->input_count; k++)
			if (!rule->inputs[k].constant && strcmp(rule->inputs[k].quantity, name) == 0)
				add_kinds(&kinds, &rule->inputs[k].accepted);
	}
	return kinds;
}

/* Of a name that is calculated for other kinds of item: for which. */
static const char *calculated_for(const char *name)
{
	const struct computed *row;
	for (size_t i = 0; (row = computed_row(i)) != NULL; i++)
		if (strcmp(row->name, name) == 0)
			return row->on;
	return NULL;
}

static void no_such_quantity(
	struct checking *checking, const struct element *claim, struct meanings meanings, const char *name)
{
	size_t count = 0, room = 1;
	for (size_t i = 0; i < meanings.count; i++)
		room += meanings.rows[i]->attribute_count;
	for (size_t i = 0; computed_name(i); i++)
		room++;
	const char **names = arena_alloc(checking->arena, room * sizeof *names);
	for (size_t i = 0; i < meanings.count; i++)
		for (size_t k = 0; k < meanings.rows[i]->attribute_count; k++)
			if (is_quantity(&meanings.rows[i]->attributes[k]))
				names[count++] = meanings.rows[i]->attributes[k].name;
	for (size_t i = 0; computed_name(i); i++)
		if (is_computed(meanings, computed_name(i)))
			names[count++] = computed_name(i);
	const char *nearest = text_nearest(name, names, count), *about = element_attribute(claim, "about");
	const char *who = about ? arena_format(checking->arena, "%s %s has no", meanings.rows[0]->name, about)
				: "no item of a unit has a";
	const char *elsewhere = calculated_for(name);
	if (elsewhere) {
		problem_add(checking->problems, PROBLEM_NO_SUCH_QUANTITY, element_attribute_place(claim, "quantity"),
			"quantity: %s quantity '%s', which is calculated for: %s", who, name, elsewhere);
		return;
	}
	problem_add(checking->problems, PROBLEM_NO_SUCH_QUANTITY, element_attribute_place(claim, "quantity"),
		"quantity: %s quantity '%s'%s%s%s", who, name, nearest ? "; did you mean '" : "",
		nearest ? nearest : "", nearest ? "'?" : "");
}

/* ---- its figures ---- */

static void check_figure(struct checking *checking, const struct element *claim, const char *bound, const char *name,
	struct accepted kinds)
{
	const char *written = element_attribute(claim, bound);
	struct quantity aside;
	if (!written || written_is_owed(written))
		return;
	struct place place = element_attribute_place(claim, bound);
	if (kinds.count && !kind_is_number(kinds.kinds[0]))
		problem_add(checking->problems, PROBLEM_WRONG_KIND, place,
			"%s: '%s'; %s is no number, and nothing is at least or at most a word", bound, written, name);
	else if (kinds.count)
		quantity_parse(checking->arena, written,
			arena_format(checking->arena, "%s, a figure for %s", bound, name), kinds,
			STANDARD_BAROMETRIC_PRESSURE, place, checking->problems, &aside);
	else if (!strpbrk(written, "0123456789"))
		problem_add(checking->problems, PROBLEM_NOT_A_NUMBER, place, "%s, a figure for %s: '%s' is no number",
			bound, name, written);
}

static void check_claim(struct checking *checking, const struct element *claim)
{
	const char *name = element_attribute(claim, "quantity"), *about = element_attribute(claim, "about");
	const struct vocabulary_element *meaning = about ? meaning_of(checking, about) : NULL;
	if (!name || written_is_owed(name) || (about && !meaning)) /* that nothing has the tag is said elsewhere */
		return;
	struct meanings meanings = about ? (struct meanings){&meaning, 1, 1} : checking->all;
	struct accepted kinds = kinds_stated(meanings, name);
	if (!kinds.count && !is_computed(meanings, name)) {
		no_such_quantity(checking, claim, meanings, name);
		return;
	}
	if (!kinds.count)
		kinds = kinds_stated(checking->all, name);
	if (!kinds.count)
		kinds = kinds_computed(checking, name);
	check_figure(checking, claim, "at-least", name, kinds);
	check_figure(checking, claim, "at-most", name, kinds);
}

void claims_check(const struct element *unit, const struct table *table, const struct catalogue *catalogue,
	struct problems *problems)
{
	struct checking checking = {
		.arena = problems->arena, .unit = unit, .table = table, .catalogue = catalogue, .problems = problems};
	add_meaning(checking.arena, &checking.all, unit->meaning);
	for (size_t i = 0; i < unit->child_count; i++)
		if (element_is(unit->children[i], "claim") || element_is(unit->children[i], "operating-limit"))
			check_claim(&checking, unit->children[i]);
}
