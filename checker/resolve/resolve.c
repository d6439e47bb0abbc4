#include "resolve/resolve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "resolve/handed_down.h"
#include "resolve/pipe.h"

const double STANDARD_BAROMETRIC_PRESSURE = 101325; /* Pa, the standard atmosphere by definition */

/* Documents round: sizes and counts that differ by less than this share are the same. */
static const double SAME_TO_ROUNDING = 1e-3;

struct resolver {
	struct arena *arena;
	struct table *table;
	struct problems *problems;
	double barometric; /* Pa */
	bool *case_used;   /* by index: some item overrides a value in this case, or tries to */
	bool case_lost;	   /* some override names no case that is declared: it may have been meant for any */
	bool derived;	   /* the description is a variant: an override that changes nothing is no slip of a writer */
};

/* ---- one value ---- */

static bool is_date(const char *written)
{
	static const char shape[] = "dddd-dd-dd";
	if (strlen(written) != sizeof shape - 1)
		return false;
	for (size_t i = 0; shape[i]; i++)
		if (shape[i] == 'd' ? written[i] < '0' || written[i] > '9' : written[i] != '-')
			return false;
	long month = strtol(written + 5, NULL, 10), day = strtol(written + 8, NULL, 10);
	return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

static bool check_date(struct resolver *resolver, const struct attribute *attribute)
{
	bool date = is_date(attribute->written);
	if (!date)
		problem_add(resolver->problems, PROBLEM_NOT_A_DATE, attribute->place,
			"%s: '%s'; a date is written year-month-day: 2026-09-14", attribute->meaning->name,
			attribute->written);
	return date;
}

static bool resolve_word(struct resolver *resolver, const struct attribute *attribute, struct quantity *out)
{
	const struct vocabulary_type *type = attribute->meaning->type;
	const char *written = attribute->written;
	out->word = written;
	switch (out->kind) {
	case KIND_WORD: /* the choice was checked with the structure */
		return vocabulary_choice(type, written) != NULL;
	case KIND_YES_NO:
		out->si = strcmp(written, "yes") == 0;
		out->word = out->si > 0 ? "yes" : "no";
		return true;
	case KIND_DATE:
		return check_date(resolver, attribute);
	default:
		break;
	}
	if (strcmp(type->name, "pipe-size") == 0)
		return (out->word = pipe_size_parse(written, attribute->place, resolver->problems)) != NULL;
	if (strcmp(type->name, "schedule") == 0)
		return (out->word = pipe_schedule_parse(written, attribute->place, resolver->problems)) != NULL;
	return true;
}

/* The quantity an attribute states, or NULL after a fault. */
static const struct quantity *resolve_value(
	struct resolver *resolver, const struct attribute *attribute, const char *document)
{
	const struct vocabulary_type *type = attribute->meaning->type;
	struct quantity *out = arena_alloc(resolver->arena, sizeof *out);
	if (kind_is_number(type->accepted.kinds[0])) {
		if (!quantity_parse(resolver->arena, attribute->written, attribute->meaning->name, type->accepted,
			    resolver->barometric, attribute->place, resolver->problems, out))
			return NULL;
		if (out->uncertainty < 0)
			out->uncertainty =
				type->uncertainty_is_relative ? fabs(out->si) * type->uncertainty : type->uncertainty;
	} else {
		*out = (struct quantity){.known = STATED,
			.kind = type->accepted.kinds[0],
			.place = attribute->place,
			.written = attribute->written};
		if (!resolve_word(resolver, attribute, out))
			return NULL;
	}
	out->document = document;
	return out;
}

/* ---- putting values into the table ---- */

static void put(struct resolver *resolver, const struct item *item, int operating_case,
	const struct attribute *attribute, const struct quantity *quantity)
{
	const char *name = attribute->meaning->name;
	table_put(resolver->table, item, operating_case, name, quantity);
	if (quantity->kind != KIND_WORD)
		return;
	const struct choice *choice = vocabulary_choice(attribute->meaning->type, quantity->word);
	if (!choice || !choice->family)
		return;
	struct quantity *family = arena_alloc(resolver->arena, sizeof *family);
	*family = *quantity;
	family->word = choice->family;
	table_put(resolver->table, item, operating_case, arena_format(resolver->arena, "%s-family", name), family);
}

static bool is_bookkeeping(const struct attribute *attribute)
{
	const char *name = attribute->meaning->name;
	return strcmp(name, "case") == 0 || strcmp(name, "document") == 0;
}

static int case_named(const struct resolver *resolver, const char *id)
{
	for (size_t i = 0; id && i < table_case_count(resolver->table); i++)
		if (strcmp(table_case(resolver->table, (int)i)->id, id) == 0)
			return (int)i;
	return EVERY_CASE;
}

static void no_case(struct resolver *resolver, const char *id, struct place place)
{
	size_t count = table_case_count(resolver->table);
	const char **ids = arena_alloc(resolver->arena, count * sizeof *ids);
	struct text known = text_in(resolver->arena);
	for (size_t i = 0; i < count; i++) {
		ids[i] = table_case(resolver->table, (int)i)->id;
		text_addf(&known, "%s%s", i ? ", " : "", ids[i]);
	}
	const char *nearest = text_nearest(id, ids, count);
	problem_add(resolver->problems, PROBLEM_NO_SUCH_CASE, place,
		"case '%s' is not declared%s%s%s; declared in <basis>: %s", id, nearest ? ", did you mean '" : "",
		nearest ? nearest : "", nearest ? "'" : "", known.data);
}

static bool check_case(struct resolver *resolver, const struct element *element)
{
	const char *id = element_attribute(element, "case");
	bool declared = !id || case_named(resolver, id) != EVERY_CASE;
	if (!declared)
		no_case(resolver, id, element->place);
	return declared;
}

/* Can a number, with its uncertainty, be what a bound says? */
static bool within(const struct quantity *bound, const struct quantity *number)
{
	double beyond = bound->bound == BOUND_BELOW ? number->si - bound->si : bound->si - number->si;
	return beyond <= fmax(number->uncertainty, SAME_TO_ROUNDING * fabs(bound->si));
}

static bool agree(const struct quantity *a, const struct quantity *b)
{
	if (!kind_is_number(a->kind))
		return text_same(a->word, b->word);
	if (a->kind != b->kind || (a->bound != BOUND_NONE && b->bound != BOUND_NONE))
		return true; /* not comparable here: a mass flow and a volume flow, two bounds */
	if (a->bound != BOUND_NONE || b->bound != BOUND_NONE)
		return within(a->bound != BOUND_NONE ? a : b, a->bound != BOUND_NONE ? b : a);
	double allowed = fmax(fmax(a->uncertainty, b->uncertainty), SAME_TO_ROUNDING * fmax(fabs(a->si), fabs(b->si)));
	return fabs(a->si - b->si) <= allowed;
}

/* An override sets what differs in one case. One that changes nothing is a slip of the writer. */
static void resolve_case(struct resolver *resolver, const struct item *item, const struct element *element)
{
	int operating_case = case_named(resolver, element_attribute(element, "case"));
	const char *document = element_attribute(element->parent, "data"); /* <in> has none of its own */
	size_t changed = 0;
	bool declared = check_case(resolver, element) && operating_case != EVERY_CASE;
	bool faulty = !declared || element->incomplete;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		if (is_bookkeeping(attribute))
			continue;
		const struct quantity *value = resolve_value(resolver, attribute, document ? document : "");
		faulty = faulty || !value;
		if (!value || !declared)
			continue;
		const struct quantity *common = table_get(resolver->table, item, EVERY_CASE, attribute->meaning->name);
		if (common && text_same(common->written, value->written))
			continue;
		put(resolver, item, operating_case, attribute, value);
		changed++;
	}
	resolver->case_lost = resolver->case_lost || !declared;
	if (declared)
		resolver->case_used[operating_case] = true;
	if (!changed && !faulty && !resolver->derived)
		problem_add(resolver->problems, PROBLEM_EMPTY_CASE, element->place,
			"<in case=\"%s\"> of %s overrides nothing: give what differs, or remove it",
			element_attribute(element, "case"), item->tag);
}

static const struct quantity *text_quantity(struct resolver *resolver, const char *word, struct place place)
{
	struct quantity *quantity = arena_alloc(resolver->arena, sizeof *quantity);
	*quantity = (struct quantity){
		.known = STATED, .kind = KIND_TEXT, .word = word, .written = word, .place = place, .document = ""};
	return quantity;
}

static void note_contradiction(struct resolver *resolver, const struct item *item, const struct attribute *attribute,
	const struct quantity *first, const struct quantity *second)
{
	const char *name = attribute->meaning->name;
	struct item entry = {.kind = "contradiction", .parent = item, .text = "", .place = second->place};
	entry.tag = arena_format(resolver->arena, "%s %s", item->tag, name);
	if (table_find(resolver->table, entry.tag))
		entry.tag = arena_format(resolver->arena, "%s (line %d)", entry.tag, second->place.line);
	const struct item *contradiction = table_add_item(resolver->table, entry);
	const struct {
		const char *name, *word;
	} texts[] = {
		{"item", item->tag},
		{"quantity", name},
		{"first", quantity_show(resolver->arena, first, NULL)},
		{"second", quantity_show(resolver->arena, second, NULL)},
		{"first-document", *first->document ? first->document : "the description itself"},
		{"second-document", second->document},
	};
	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
		table_put(resolver->table, contradiction, EVERY_CASE, texts[i].name,
			text_quantity(resolver, texts[i].word, second->place));
	if (!kind_is_number(first->kind))
		return;
	struct quantity *difference = arena_alloc(resolver->arena, sizeof *difference);
	double larger = fmax(fabs(first->si), fabs(second->si)); /* two that differ are not both zero */
	*difference = (struct quantity){.known = STATED,
		.kind = KIND_SHARE,
		.place = second->place,
		.document = "",
		.written = "",
		.si = fabs(first->si - second->si) / larger};
	table_put(resolver->table, contradiction, EVERY_CASE, "difference", difference);
}

/* The same value said by another document: fills a gap, agrees, or contradicts. */
static void resolve_restatement(struct resolver *resolver, const struct item *item, const struct element *element)
{
	const char *document = element_attribute(element, "document");
	int operating_case = case_named(resolver, element_attribute(element, "case"));
	if (!check_case(resolver, element))
		return;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		if (is_bookkeeping(attribute))
			continue;
		const struct quantity *value = resolve_value(resolver, attribute, document ? document : "");
		if (!value)
			continue;
		const struct quantity *own = table_get(resolver->table, item, operating_case, attribute->meaning->name);
		if (!own && operating_case != EVERY_CASE)
			resolver->case_used[operating_case] = true;
		if (!own)
			put(resolver, item, operating_case, attribute, value);
		else if (!agree(own, value))
			note_contradiction(resolver, item, attribute, own, value);
	}
}

/* ---- items ---- */

static const char *own_tag(const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->type->name, "tag") == 0)
			return element->attributes[i].written;
	return NULL;
}

/* A tag for what has none of its own: "E-302 tube side", "C-301 weld (line 41)" where there are several. */
static const char *made_tag(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	char *kind = arena_copy(resolver->arena, element->meaning->name);
	for (char *c = kind; *c; c++)
		if (*c == '-')
			*c = ' ';
	const char *name = element_attribute(element, "name");
	const char *tag = arena_format(resolver->arena, "%s%s%s%s%s", parent ? parent->tag : "", parent ? " " : "",
		kind, name ? " " : "", name ? name : "");
	if (table_find(resolver->table, tag))
		tag = arena_format(resolver->arena, "%s (line %d)", tag, element->place.line);
	for (int k = 2; table_find(resolver->table, tag); k++)
		tag = arena_format(resolver->arena, "%s (line %d, %d)", kind, element->place.line, k);
	return tag;
}

static const char *tag_of(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	const char *tag = element->parent ? own_tag(element) : NULL;
	if (!tag)
		return made_tag(resolver, element, parent);
	const struct item *taken = table_find(resolver->table, tag);
	if (!taken)
		return tag;
	problem_add(resolver->problems, PROBLEM_DUPLICATE, element->place,
		"tag '%s' of <%s> stands already on <%s> at line %d; every tag and id is used once", tag,
		element->meaning->name, taken->kind, taken->place.line);
	return made_tag(resolver, element, parent);
}

static void inherit(struct resolver *resolver, const struct element *element, const struct item *item)
{
	if (!item->parent)
		return;
	for (size_t i = 0; i < element->meaning->attribute_count; i++) {
		const struct vocabulary_attribute *attribute = &element->meaning->attributes[i];
		if (!attribute->inherited || table_get(resolver->table, item, EVERY_CASE, attribute->name))
			continue;
		const char *family = arena_format(resolver->arena, "%s-family", attribute->name);
		const char *names[] = {attribute->name, family};
		for (size_t k = 0; k < 2; k++)
			for (int c = EVERY_CASE; c < (int)table_case_count(resolver->table); c++) {
				const struct quantity *value = table_get(resolver->table, item->parent, c, names[k]);
				if (value)
					table_put_if_other(resolver->table, item, c, names[k], value);
			}
	}
}

static void add_item(struct resolver *resolver, const struct element *element, const struct item *parent);

static void resolve_children(struct resolver *resolver, const struct element *element, const struct item *item)
{
	for (size_t i = 0; i < element->child_count; i++) {
		const struct element *child = element->children[i];
		if (element_is(child, "in"))
			resolve_case(resolver, item, child);
		else if (element_is(child, "stated"))
			resolve_restatement(resolver, item, child);
	}
	inherit(resolver, element, item);
	for (size_t i = 0; i < element->child_count; i++) {
		const struct element *child = element->children[i];
		if (!element_is(child, "in") && !element_is(child, "stated"))
			add_item(resolver, child, element->parent ? item : NULL);
	}
}

static void add_item(struct resolver *resolver, const struct element *element, const struct item *parent)
{
	const char *document = element_attribute(element, "data");
	struct item entry = {
		.kind = element->meaning->name, .parent = parent, .text = element->text, .place = element->place};
	entry.tag = tag_of(resolver, element, parent);
	const struct item *item = table_add_item(resolver->table, entry);
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct quantity *value =
			resolve_value(resolver, &element->attributes[i], document ? document : "");
		if (value)
			put(resolver, item, EVERY_CASE, &element->attributes[i], value);
	}
	resolve_children(resolver, element, item);
}

/* ---- what must be known first, and what can be checked only last ---- */

static void read_cases(struct resolver *resolver, const struct element *basis)
{
	size_t count = 0, all = basis ? basis->child_count : 0;
	struct operating_case *cases =
		arena_alloc(resolver->arena, (all + 1) * sizeof *cases); /* or the one there always is */
	for (size_t i = 0; i < all; i++) {
		const struct element *child = basis->children[i];
		if (!element_is(child, "case") || !element_attribute(child, "id"))
			continue;
		const char *title = element_attribute(child, "title"), *upset = element_attribute(child, "upset");
		cases[count++] = (struct operating_case){.id = element_attribute(child, "id"),
			.title = title ? title : element_attribute(child, "id"),
			.upset = upset && strcmp(upset, "yes") == 0};
	}
	if (count == 0)
		cases[count++] = (struct operating_case){.id = "normal", .title = "normal"};
	resolver->table = table_new(resolver->arena, cases, count);
	resolver->case_used = arena_alloc(resolver->arena, count * sizeof *resolver->case_used);
}

static void read_barometric(struct resolver *resolver, const struct element *basis)
{
	resolver->barometric = STANDARD_BAROMETRIC_PRESSURE;
	for (size_t i = 0; basis && i < basis->attribute_count; i++)
		if (strcmp(basis->attributes[i].meaning->name, "barometric-pressure") == 0) {
			struct problems unheard = {.arena = resolver->arena}; /* reported when the basis is resolved */
			struct quantity value;
			const struct attribute *attribute = &basis->attributes[i];
			if (quantity_parse(resolver->arena, attribute->written, attribute->meaning->name,
				    attribute->meaning->type->accepted, STANDARD_BAROMETRIC_PRESSURE, attribute->place,
				    &unheard, &value))
				resolver->barometric = value.si;
		}
}

static void assume_barometric(struct resolver *resolver)
{
	const struct item *basis = table_sole(resolver->table, "basis");
	if (basis && !table_get(resolver->table, basis, EVERY_CASE, "barometric-pressure"))
		table_put(resolver->table, basis, EVERY_CASE, "barometric-pressure",
			quantity_default(resolver->arena, KIND_PRESSURE, STANDARD_BAROMETRIC_PRESSURE, 0,
				"standard atmosphere, since the site's barometric pressure is not stated"));
}

static void check_reference(struct resolver *resolver, const struct attribute *attribute, const char *tag)
{
	if (!*tag || table_find(resolver->table, tag))
		return;
	size_t count = table_item_count(resolver->table);
	const char **tags = arena_alloc(resolver->arena, count * sizeof *tags);
	for (size_t i = 0; i < count; i++)
		tags[i] = table_item(resolver->table, i)->tag;
	const char *nearest = text_nearest(tag, tags, count);
	problem_add(resolver->problems, PROBLEM_NO_SUCH_ITEM, attribute->place,
		"%s: there is no '%s' in this unit%s%s%s", attribute->meaning->name, tag,
		nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

static void check_references(struct resolver *resolver, const struct element *element)
{
	for (size_t i = 0; i < element->attribute_count; i++) {
		const struct attribute *attribute = &element->attributes[i];
		const char *type = attribute->meaning->type->name;
		if (strcmp(type, "reference") == 0)
			check_reference(resolver, attribute, attribute->written);
		if (strcmp(type, "references") != 0)
			continue;
		for (const char *at = attribute->written; *at;) {
			size_t length = strcspn(at, " \t\r\n");
			check_reference(resolver, attribute, arena_copy_span(resolver->arena, at, length));
			at += length + strspn(at + length, " \t\r\n");
		}
	}
	for (size_t i = 0; i < element->child_count; i++)
		check_references(resolver, element->children[i]);
}

/* The first case is the one the plain values describe; every other must change something. */
static void check_cases(struct resolver *resolver, const struct element *basis)
{
	int index = -1;
	for (size_t i = 0; basis && i < basis->child_count; i++) {
		const struct element *child = basis->children[i];
		if (!element_is(child, "case") || !element_attribute(child, "id"))
			continue;
		bool first_of_its_name = case_named(resolver, element_attribute(child, "id")) == ++index;
		if (index > 0 && first_of_its_name && !resolver->case_used[index] && !resolver->case_lost)
			problem_add(resolver->problems, PROBLEM_EMPTY_CASE, child->place,
				"case '%s' overrides nothing: no element has <in case=\"%s\"> with a value of its own",
				table_case(resolver->table, index)->id, table_case(resolver->table, index)->id);
	}
}

/* The review speaks of one solvent and one basis: a second would make every value of the first doubtful. */
static void check_single(struct resolver *resolver, const struct element *unit, const char *name)
{
	const struct element *first = element_child(unit, name);
	for (size_t i = 0; i < unit->child_count; i++)
		if (element_is(unit->children[i], name) && unit->children[i] != first)
			problem_add(resolver->problems, PROBLEM_DUPLICATE, unit->children[i]->place,
				"a second <%s>; the first stands at line %d, and a unit has one", name,
				first->place.line);
}

const struct table *resolve(struct arena *arena, const struct element *unit, struct problems *problems)
{
	struct resolver resolver = {.arena = arena, .problems = problems, .derived = unit->derived};
	size_t before = problems->count;
	const struct element *basis = element_child(unit, "basis");
	read_cases(&resolver, basis);
	read_barometric(&resolver, basis);
	check_single(&resolver, unit, "basis");
	check_single(&resolver, unit, "solvent");
	add_item(&resolver, unit, NULL);
	hand_down(resolver.table, unit);
	assume_barometric(&resolver);
	if (!unit->cut_off) {
		check_references(&resolver, unit);
		if (!unit->derived)
			check_cases(&resolver, basis);
	}
	return problems->count == before ? resolver.table : NULL;
}

static bool became(const struct element *element, const struct item *item)
{
	return item->place.line == element->place.line && item->place.column == element->place.column &&
		text_same(item->kind, element->meaning->name);
}

const struct element *resolve_element(const struct element *unit, const struct item *item)
{
	if (became(unit, item))
		return unit;
	const struct element *found = NULL;
	for (size_t i = 0; !found && i < unit->child_count; i++)
		found = resolve_element(unit->children[i], item);
	return found;
}

const struct item *resolve_item(const struct table *table, const struct element *element)
{
	for (size_t i = 0; i < table_item_count(table); i++)
		if (became(element, table_item(table, i)))
			return table_item(table, i);
	return NULL;
}
