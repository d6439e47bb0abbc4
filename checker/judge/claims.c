#include "judge/claims.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "resolve/equipment.h"
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

/* Room for the names of all kinds of item, for the nearest of them. */
enum { EQUIPMENT_KINDS_MOST = 128 };

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
	const char *kinds = element_attribute(claim, "kinds");
	const char *who = about && meanings.count
		? arena_format(checking->arena, "%s %s has no", meanings.rows[0]->name, about)
		: kinds ? arena_format(checking->arena, "no %s has a", kinds)
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

/* The figure, SI; NaN: none, owed, or a fault that was told. */
static double check_figure(struct checking *checking, const struct element *claim, const char *bound, const char *name,
	struct accepted kinds)
{
	const char *written = element_attribute(claim, bound);
	struct quantity figure;
	if (!written || written_is_owed(written))
		return (double)NAN;
	struct place place = element_attribute_place(claim, bound);
	if (kinds.count && !kind_is_number(kinds.kinds[0]))
		problem_add(checking->problems, PROBLEM_WRONG_KIND, place,
			"%s: '%s'; %s is no number, and nothing is at least or at most a word", bound, written, name);
	else if (kinds.count) {
		const char *what = arena_format(checking->arena, "%s, a figure for %s", bound, name);
		if (quantity_parse(checking->arena, written, what, kinds, STANDARD_BAROMETRIC_PRESSURE, place,
			    checking->problems, &figure))
			return figure.si;
	} else if (!strpbrk(written, "0123456789"))
		problem_add(checking->problems, PROBLEM_NOT_A_NUMBER, place, "%s, a figure for %s: '%s' is no number",
			bound, name, written);
	return (double)NAN;
}

static void check_word(struct checking *checking, const struct element *claim, const char *name, struct accepted kinds)
{
	const char *written = element_attribute(claim, "is");
	if (written && !written_is_owed(written) && kinds.count && kind_is_number(kinds.kinds[0]))
		problem_add(checking->problems, PROBLEM_WRONG_KIND, element_attribute_place(claim, "is"),
			"is: '%s'; %s is a number, of which a claim says at-least or at-most", written, name);
}

static void check_figures(
	struct checking *checking, const struct element *claim, const char *name, struct accepted kinds)
{
	double least = check_figure(checking, claim, "at-least", name, kinds),
	       most = check_figure(checking, claim, "at-most", name, kinds);
	if (least > most)
		problem_add(checking->problems, PROBLEM_CANNOT_BE, element_attribute_place(claim, "at-least"),
			"at-least %s is above at-most %s: no %s keeps both", element_attribute(claim, "at-least"),
			element_attribute(claim, "at-most"), name);
	check_word(checking, claim, name, kinds);
}

/* ---- whom and when it speaks of ---- */

static void check_case(struct checking *checking, const struct element *claim)
{
	const char *named = element_attribute(claim, "case");
	const struct element *basis = element_child(checking->unit, "basis");
	size_t count = 0;
	if (!named || written_is_owed(named)) /* owed: said with the structure */
		return;
	const char **ids = arena_alloc(checking->arena, ((basis ? basis->child_count : 0) + 1) * sizeof *ids);
	for (size_t i = 0; basis && i < basis->child_count; i++)
		if (element_is(basis->children[i], "case") && element_attribute(basis->children[i], "id"))
			ids[count++] = element_attribute(basis->children[i], "id");
	if (!count)
		ids[count++] = "normal";
	for (size_t i = 0; i < count; i++)
		if (strcmp(ids[i], named) == 0)
			return;
	const char *nearest = text_nearest(named, ids, count);
	problem_add(checking->problems, PROBLEM_NO_SUCH_CASE, element_attribute_place(claim, "case"),
		"case '%s' is not declared in <basis>%s%s%s", named, nearest ? "; did you mean '" : "",
		nearest ? nearest : "", nearest ? "'?" : "");
}

static bool is_kind(const char *word)
{
	bool found = false;
	for (size_t i = 0; !found && equipment_kind(i); i++)
		found = strcmp(equipment_kind(i), word) == 0;
	return found;
}

/* One word of `kinds`: a kind, or a class. False after a fault. */
static bool check_kind(struct checking *checking, const char *word, struct place place)
{
	if (*word == '@' ? equipment_class_named(word + 1) != EQUIPMENT_CLASS_COUNT : is_kind(word))
		return true;
	size_t count = 0;
	const char *names[EQUIPMENT_KINDS_MOST], *nearest;
	for (; count < EQUIPMENT_KINDS_MOST && equipment_kind(count); count++)
		names[count] = equipment_kind(count);
	nearest = *word == '@' ? equipment_nearest_class(word + 1) : text_nearest(word, names, count);
	problem_add(checking->problems, PROBLEM_NO_SUCH_ITEM, place, "kinds: '%s' is no %s of item%s%s%s%s", word,
		*word == '@' ? "class" : "kind", nearest ? "; did you mean '" : "", nearest && *word == '@' ? "@" : "",
		nearest ? nearest : "", nearest ? "'?" : "");
	return false;
}

static bool check_kinds(struct checking *checking, const struct element *claim, const char *written)
{
	bool sound = true;
	for (const char *at = written; *at;) {
		at += strspn(at, " |\t\r\n");
		size_t length = strcspn(at, " |\t\r\n");
		if (length)
			sound = check_kind(checking, arena_copy_span(checking->arena, at, length),
					element_attribute_place(claim, "kinds")) &&
				sound;
		at += length;
	}
	return sound;
}

/* The kinds of elements named; of the unit: all. */
static struct meanings meanings_of(struct checking *checking, const char *written)
{
	struct meanings some = {.rows = NULL};
	const char *kinds = equipment_written(checking->arena, written);
	for (size_t i = 0; i < checking->all.count; i++)
		if (text_has_word(kinds, checking->all.rows[i]->name)) {
			some.rows =
				arena_grow(checking->arena, some.rows, some.count, &some.capacity, sizeof *some.rows);
			some.rows[some.count++] = checking->all.rows[i];
		}
	return some;
}

static void excludes(struct checking *checking, const struct element *claim, const char *one, const char *other)
{
	if (element_attribute(claim, one) && element_attribute(claim, other))
		problem_add(checking->problems, PROBLEM_CANNOT_BE, element_attribute_place(claim, other),
			"%s stands beside %s: a claim has one of the two", other, one);
}

static void check_quantity(
	struct checking *checking, const struct element *claim, struct meanings meanings, const char *name)
{
	struct accepted kinds = kinds_stated(meanings, name);
	if (!kinds.count && !is_computed(meanings, name)) {
		no_such_quantity(checking, claim, meanings, name);
		return;
	}
	if (!kinds.count)
		kinds = kinds_stated(checking->all, name);
	if (!kinds.count)
		kinds = kinds_computed(checking, name);
	check_figures(checking, claim, name, kinds);
}

/* A claim speaks of a figure or in words; what does neither could only be answered with nothing. */
static void check_subject(struct checking *checking, const struct element *claim)
{
	bool words = element_is(claim, "claim");
	if (!element_attribute(claim, "quantity") && !element_attribute(claim, "says"))
		problem_add(checking->problems, PROBLEM_MISSING, claim->place,
			"<%s> says nothing: it needs quantity= with at-least=, at-most= or is=%s", claim->meaning->name,
			words ? ", or says= for a claim in words" : "");
}

static void check_claim(struct checking *checking, const struct element *claim)
{
	const char *name = element_attribute(claim, "quantity"), *about = element_attribute(claim, "about"),
		   *kinds = element_attribute(claim, "kinds");
	check_subject(checking, claim);
	check_case(checking, claim);
	excludes(checking, claim, "about", "kinds");
	const char *says = element_attribute(claim, "says");
	if (!says || strcmp(says, "turndown only") != 0) /* which has a quantity that it is about, and no figure */
		excludes(checking, claim, "quantity", "says");
	if (kinds && (written_is_owed(kinds) || !check_kinds(checking, claim, kinds)))
		return;
	const struct vocabulary_element *meaning = about ? meaning_of(checking, about) : NULL;
	if (!name || written_is_owed(name) || (about && !meaning)) /* that nothing has the tag is said elsewhere */
		return;
	struct meanings meanings = about ? (struct meanings){&meaning, 1, 1}
		: kinds			 ? meanings_of(checking, kinds)
					 : checking->all;
	check_quantity(checking, claim, meanings, name);
}

/* The cap of a deviation is a figure for what its rule judges. */
static void check_deviation(struct checking *checking, const struct element *deviation)
{
	const char *id = element_attribute(deviation, "rule");
	const struct rule *rule = id ? catalogue_rule(checking->catalogue, id) : NULL;
	const char *first = element_attribute(deviation, "at-most") ? "at-most" : "at-least";
	check_case(checking, deviation);
	if (!rule || !element_attribute(deviation, first))
		return;
	if (rule->judged < 0) {
		problem_add(checking->problems, PROBLEM_NO_SUCH_QUANTITY, element_attribute_place(deviation, first),
			"%s: %s judges no figure, so that a deviation from it has none up to which it holds", first,
			id);
		return;
	}
	const struct rule_input *input = &rule->inputs[rule->judged];
	check_figures(checking, deviation, input->quantity, input->accepted);
}

/* Its value is one that the attribute takes. */
static void check_owner_value(
	struct checking *checking, const struct element *rule, const char *name, const struct vocabulary_type *type)
{
	const char *written = element_attribute(rule, "is");
	struct place place = element_attribute_place(rule, "is");
	enum kind kind = type->accepted.kinds[0];
	struct quantity value;
	if (!written || written_is_owed(written))
		return;
	if (kind_is_number(kind))
		quantity_parse(checking->arena, written, name, type->accepted, STANDARD_BAROMETRIC_PRESSURE, place,
			checking->problems, &value);
	else if ((kind == KIND_WORD && !vocabulary_choice(type, written)) ||
		(kind == KIND_YES_NO && strcmp(written, "yes") != 0 && strcmp(written, "no") != 0))
		problem_add(checking->problems, PROBLEM_NOT_A_CHOICE, place, "is: '%s' is not one of the words of %s",
			written, name);
}

static void check_owner_rule(struct checking *checking, const struct element *rule)
{
	const char *name = element_attribute(rule, "quantity"), *kinds = element_attribute(rule, "kinds");
	if (!name || !kinds || written_is_owed(name) || written_is_owed(kinds) || !check_kinds(checking, rule, kinds))
		return;
	struct meanings meanings = meanings_of(checking, kinds);
	const struct vocabulary_attribute *attribute = NULL;
	for (size_t i = 0; i < meanings.count && !attribute; i++) {
		attribute = vocabulary_attribute(meanings.rows[i], name);
		if (attribute && !is_quantity(attribute))
			attribute = NULL;
	}
	if (attribute)
		check_owner_value(checking, rule, name, attribute->type);
	else
		no_such_quantity(checking, rule, meanings, name);
}

void claims_check(const struct element *unit, const struct table *table, const struct catalogue *catalogue,
	struct problems *problems)
{
	struct checking checking = {
		.arena = problems->arena, .unit = unit, .table = table, .catalogue = catalogue, .problems = problems};
	add_meaning(checking.arena, &checking.all, unit->meaning);
	for (size_t i = 0; i < unit->child_count; i++) {
		if (element_is(unit->children[i], "claim") || element_is(unit->children[i], "operating-limit"))
			check_claim(&checking, unit->children[i]);
		if (element_is(unit->children[i], "deviation"))
			check_deviation(&checking, unit->children[i]);
		if (element_is(unit->children[i], "owner-rule"))
			check_owner_rule(&checking, unit->children[i]);
	}
}
