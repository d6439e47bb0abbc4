#include "revamp/remedy.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/change_value.h"
#include "resolve/resolve.h"
#include "resolve/service.h"
#include "revamp/course.h"
#include "revamp/headroom.h"

struct making {
	struct arena *arena;
	const struct remedy_site *site;
	struct change_context context;
	struct variant edits;
	struct text says, sort;
	struct remedy_part *stated;
	size_t stated_count, stated_capacity;
	bool works;
	const char *comes_to; /* what the first statement that is scaled comes to, as written; NULL: none yet */
	size_t values;	      /* of different statements that are scaled */
	const char *fault;
	const char *already; /* what need not be changed, of the last part where it was so */
};

static bool fail(struct making *making, const char *why)
{
	if (!making->fault)
		making->fault = why;
	return false;
}

/* `item` NULL: of the whole unit. */
static void say(struct making *making, const char *what, const struct item *item, const char *becomes)
{
	text_addf(&making->says, "%s%s%s%s%s", making->says.length ? "; " : "", what, item ? " of " : "",
		item ? item->tag : "", becomes);
	text_addf(&making->sort, "%s%s%s", making->sort.length ? "; " : "", what, becomes);
}

/* By how much, and what it comes to: of the first statement where there are several values. */
static void say_scaled(struct making *making, const char *what, const struct item *item, double factor)
{
	const char *share = arena_format(making->arena, "%s of what is stated", number_show(making->arena, factor));
	text_addf(&making->says, "%s%s%s%s", making->says.length ? "; " : "", what, item ? " of " : "",
		item ? item->tag : "");
	text_addf(&making->says, making->comes_to ? " to %s%s, %s" : "%s%s %s",
		making->comes_to ? making->comes_to : "", making->values > 1 ? " (and the others alike)" : "", share);
	text_addf(&making->sort, "%s%s to %s", making->sort.length ? "; " : "", what, share);
}

/* False: the words are no number (t.b.d.). */
static bool read_number(const struct making *making, const struct element *element, const char *name,
	const char *written, struct quantity *out)
{
	const struct vocabulary_attribute *attribute = vocabulary_attribute(element->meaning, name);
	struct problems unheard = {.arena = making->arena};
	const struct quantity *site = table_sole(making->site->table, "basis")
		? table_peek(making->site->table, table_sole(making->site->table, "basis"), EVERY_CASE,
			  "barometric-pressure")
		: NULL;
	double barometric = site && site->known != UNKNOWN ? site->si : STANDARD_BAROMETRIC_PRESSURE;
	return attribute &&
		quantity_parse(making->arena, written, name, attribute->type->accepted, barometric, element->place,
			&unheard, out);
}

static void note_scaled(struct making *making, const struct element *element, const char *name, const char *written)
{
	struct quantity value;
	if (read_number(making, element, name, written, &value))
		written = quantity_show_si(making->arena, value.si, value.kind, NULL);
	if (!making->comes_to)
		making->comes_to = written;
	making->values += making->values == 0 || strcmp(making->comes_to, written) != 0;
}

/* ---- what is only stated ---- */

static const struct {
	const char *attribute, *by;
} proofs[] = {
#define PROOF(attribute, by) {attribute, by},
#define WORK(attribute) {attribute, ""},
#include "revamp/remedy_proof.def"
#undef PROOF
#undef WORK
};

const char *remedy_proof(const char *attribute)
{
	for (size_t i = 0; i < COUNT(proofs); i++)
		if (strcmp(proofs[i].attribute, attribute) == 0)
			return proofs[i].by;
	return NULL;
}

/* Notes what a part that changes the description is: a yes that has to be shown, or work. */
static void note_part(struct making *making, const struct change_part *part, const struct item *item)
{
	const char *by =
		part->verb == CHANGE_SET && part->is && strcmp(part->is, "yes") == 0 ? remedy_proof(part->name) : NULL;
	if (!by || !*by) {
		making->works = true;
		return;
	}
	making->stated = arena_grow(
		making->arena, making->stated, making->stated_count, &making->stated_capacity, sizeof *making->stated);
	making->stated[making->stated_count++] =
		(struct remedy_part){.says = arena_format(making->arena, "%s: yes", part->name),
			.item = arena_copy(making->arena, item->tag),
			.by = by};
}

/* ---- one attribute ---- */

static bool states_for(const struct element *element)
{
	return element_is(element, "in") || element_is(element, "stated");
}

/* Is the number that is written not yet where the new one is to be? What is no number (t.b.d.) is not. */
static bool lies_beyond(const struct making *making, const struct vocabulary_attribute *attribute,
	const struct element *element, const char *written, const struct changed_value *value)
{
	static const double same = 1e-9; /* relative */
	struct quantity there;
	if (!value->number || value->toward == TOWARD_ANY ||
		!read_number(making, element, attribute->name, written, &there))
		return true;
	double over = there.si - value->si, noise = same * fabs(value->si);
	return value->toward == TOWARD_LOWER ? over > noise : over < -noise;
}

/* The element's own statement and those of its cases and other documents; false: none of them has to be changed. */
static bool change_statements(struct making *making, const struct element *element,
	const struct vocabulary_attribute *attribute, const struct changed_value *value)
{
	size_t before = making->edits.count, stated = 0;
	const char *name = attribute->name;
	for (size_t i = 0; i <= element->child_count; i++) {
		const struct element *at = i ? element->children[i - 1] : element;
		const char *written = i && !states_for(at) ? NULL : element_attribute(at, name);
		if (!written)
			continue;
		stated++;
		const char *instead =
			value->written ? value->written : variant_scaled(making->arena, written, value->factor);
		if (!instead || strcmp(instead, written) == 0 || !lies_beyond(making, attribute, at, written, value))
			continue;
		variant_set(&making->edits, at, name, instead);
		if (!value->written)
			note_scaled(making, at, name, instead);
	}
	if (!stated && value->written)
		variant_set(&making->edits, element, name, value->written);
	return making->edits.count > before;
}

/* Has the item the value already, from wherever? */
static bool has_already(const struct making *making, const struct item *item, const char *name, const char *written)
{
	const struct quantity *now =
		table_peek(making->site->table, item, making->context.finding->operating_case, name);
	if (!now || now->known == UNKNOWN)
		return false;
	if (now->kind == KIND_YES_NO)
		return strcmp(now->si > 0 ? "yes" : "no", written) == 0;
	return now->word && strcmp(now->word, written) == 0;
}

static bool set_attribute(struct making *making, const struct change_part *part, const struct item *item)
{
	const struct element *element = resolve_element(making->site->unit, item);
	struct changed_value value = change_value(&making->context, part, item);
	if (value.why)
		return fail(making, value.why);
	if (!element)
		return fail(making, arena_format(making->arena, "no element describes %s", item->tag));
	const struct vocabulary_attribute *attribute = vocabulary_attribute(element->meaning, part->name);
	if (!attribute)
		return fail(making, arena_format(making->arena, "%s carries no %s", item->tag, part->name));
	if ((value.written && has_already(making, item, part->name, value.written)) ||
		!change_statements(making, element, attribute, &value)) {
		making->already = arena_format(making->arena, "%s of %s is %s already", part->name, item->tag,
			value.written ? value.written : "not stated as a number");
		return true;
	}
	if (value.written)
		say(making, part->name, item, arena_format(making->arena, ": %s", value.written));
	else
		say_scaled(making, part->name, item, value.factor);
	return true;
}

static bool drop_attribute(struct making *making, const struct change_part *part, const struct item *item)
{
	const struct element *element = resolve_element(making->site->unit, item);
	size_t before = making->edits.count;
	for (size_t i = 0; element && i <= element->child_count; i++) {
		const struct element *at = i ? element->children[i - 1] : element;
		if ((!i || states_for(at)) && element_attribute(at, part->name))
			variant_set(&making->edits, at, part->name, NULL);
	}
	if (making->edits.count > before)
		say(making, part->name, item, " no longer stated");
	else
		making->already = arena_format(making->arena, "%s states no %s", item->tag, part->name);
	return true;
}

/* ---- what the whole unit has ---- */

static bool vary_flows(struct making *making, enum driver driver, double factor)
{
	struct driven_list driven = headroom_driven(making->arena, making->site->unit, making->site->table, driver);
	for (size_t i = 0; i < driven.count; i++) {
		const char *instead =
			variant_scaled(making->arena, driven.rows[i].written, pow(factor, driven.rows[i].exponent));
		variant_set(&making->edits, driven.rows[i].element, driven.rows[i].name, instead);
		if (instead && fabs(driven.rows[i].exponent - 1) < 1e-9)
			note_scaled(making, driven.rows[i].element, driven.rows[i].name, instead);
	}
	return driven.count > 0;
}

static bool vary_stated(struct making *making, const char *what, double factor)
{
	struct course course = {.what = NULL};
	const struct changed_value value = {.factor = factor};
	bool changed = false;
	if (!course_find(making->arena, making->site->unit, making->site->table, what, &course))
		return false;
	for (size_t i = 0; i < course.target_count; i++) {
		const struct element *element = course.targets[i].element;
		const struct vocabulary_attribute *attribute =
			vocabulary_attribute(element->meaning, course.targets[i].name);
		changed = change_statements(making, element, attribute, &value) || changed;
	}
	return changed;
}

/* Acid gas of every rich stream, which no sweep varies: it follows from the gas. */
static bool vary_rich(struct making *making, double factor)
{
	static const char *const names[] = {"loading", "h2s", "co2", "h2s-content", "co2-content"};
	const struct changed_value value = {.factor = factor};
	const struct items streams = table_of_kind(making->site->table, "stream");
	bool changed = false;
	for (size_t i = 0; i < streams.count; i++) {
		const struct element *element = resolve_element(making->site->unit, streams.rows[i]);
		const char *service = table_word(making->site->table, streams.rows[i], EVERY_CASE, "service");
		for (size_t k = 0; element && service_is(service, SERVICE_RICH) && k < COUNT(names); k++)
			changed = change_statements(
					  making, element, vocabulary_attribute(element->meaning, names[k]), &value) ||
				changed;
	}
	return changed;
}

static bool vary(struct making *making, const struct change_part *part)
{
	static const char *const drivers[] = {"circulation", "gas", "throughput"};
	struct changed_value value = change_value(&making->context, part, making->context.finding->item);
	bool changed = false, flow = false;
	if (value.why)
		return fail(making, value.why);
	for (int i = 0; i <= (int)DRIVER_THROUGHPUT; i++)
		if (strcmp(drivers[i], part->name) == 0) {
			changed = vary_flows(making, (enum driver)i, value.factor);
			flow = true;
		}
	if (!flow)
		changed = strcmp(part->name, "rich-loading") == 0 ? vary_rich(making, value.factor)
								  : vary_stated(making, part->name, value.factor);
	if (!changed)
		return fail(making, arena_format(making->arena, "the description states no %s", part->name));
	say_scaled(making, part->name, NULL, value.factor);
	return true;
}

/* ---- whole items ---- */

/* The element of a name that the schema allows in this one, with the attributes of the part; NULL after a fault. */
static const struct element *new_element(
	struct making *making, const struct change_part *part, const struct element *parent)
{
	const struct vocabulary_element *meaning = vocabulary_child(parent->meaning, part->name);
	struct attribute *rows = arena_alloc(making->arena, (part->attributes.count + 1) * sizeof *rows);
	struct element *element = arena_alloc(making->arena, sizeof *element);
	if (!meaning)
		return NULL;
	*element = (struct element){
		.meaning = meaning, .parent = parent, .attributes = rows, .text = "", .place = parent->place};
	for (size_t i = 0; i < part->attributes.count; i++) {
		const struct condition *row = &part->attributes.rows[i];
		const struct vocabulary_attribute *attribute = vocabulary_attribute(meaning, row->name);
		const char *written = change_words(&making->context, row->words);
		if (attribute && *written)
			rows[element->attribute_count++] =
				(struct attribute){.meaning = attribute, .written = written, .place = parent->place};
	}
	return element;
}

static bool add_element(struct making *making, const struct change_part *part, const struct item *item)
{
	const struct element *parent = resolve_element(making->site->unit, item);
	const struct element *element = parent ? new_element(making, part, parent) : NULL;
	if (!element)
		return fail(making, arena_format(making->arena, "%s takes no %s", item->tag, part->name));
	variant_add(&making->edits, parent, element);
	struct text with = text_in(making->arena);
	for (size_t i = 0; i < element->attribute_count; i++)
		text_addf(&with, "%s %s %s", i ? "," : ", with", element->attributes[i].meaning->name,
			element->attributes[i].written);
	say(making, arena_format(making->arena, "another %s", part->name), item, with.data);
	return true;
}

static bool remove_element(struct making *making, const struct item *item)
{
	const struct element *element = resolve_element(making->site->unit, item);
	if (!element || !element->parent)
		return fail(making, arena_format(making->arena, "no element describes %s", item->tag));
	variant_remove(&making->edits, element);
	say(making, "the description", item, " taken out");
	return true;
}

/* ---- a change ---- */

static bool change_item(struct making *making, const struct change_part *part, const struct item *item)
{
	making->comes_to = NULL;
	making->values = 0;
	switch (part->verb) {
	case CHANGE_SET:
		return set_attribute(making, part, item);
	case CHANGE_DROP:
		return drop_attribute(making, part, item);
	case CHANGE_VARY:
		return vary(making, part);
	case CHANGE_ADD:
		return add_element(making, part, item);
	default:
		return remove_element(making, item);
	}
}

static bool make_part(struct making *making, const struct change_part *part)
{
	const struct finding *finding = making->context.finding;
	const struct item *item = table_follow(making->site->table, finding->item, finding->operating_case, part->of);
	if (!item)
		return fail(making, arena_format(making->arena, "%s names no %s", finding->item->tag, part->of));
	size_t before = making->edits.count;
	bool made = change_item(making, part, item);
	if (making->edits.count > before)
		note_part(making, part, item);
	return made;
}

struct remedy remedy_make(struct arena *arena, const struct remedy_site *site, const struct finding *finding,
	const struct rule_change *change)
{
	struct making making = {.arena = arena,
		.site = site,
		.context = {.arena = arena, .table = site->table, .finding = finding, .evaluator = site->evaluator},
		.edits = variant_in(arena),
		.says = text_in(arena),
		.sort = text_in(arena)};
	bool made = true;
	for (size_t i = 0; made && i < change->part_count; i++)
		made = make_part(&making, &change->parts[i]);
	return (struct remedy){.change = change,
		.says = making.says.length ? making.says.data : change->says,
		.sort = making.sort.data,
		.item = finding->item->tag,
		.stated = making.stated,
		.stated_count = making.stated_count,
		.works = making.works,
		.edits = making.edits,
		.fault = made && !making.edits.count ? making.already : making.fault};
}
