/* Where what a design basis gives stands in the draft: which gas, solution, item or limits. */
#include "import/basis.h"

#include <string.h>

#include "import/records.h"

/* The one item of that kind whose attribute has the word; `*several`: there are more. */
struct draft_item *basis_only(
	const struct draft *draft, const char *element, const char *attribute, const char *word, bool *several)
{
	struct draft_item *found = NULL;
	*several = false;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *item = draft->items[i];
		bool is = strcmp(item->element->name, element) == 0 && !attribute;
		for (size_t k = 0; attribute && k < item->count && strcmp(item->element->name, element) == 0; k++)
			is = is ||
				(strcmp(item->values[k].attribute, attribute) == 0 &&
					strcmp(item->values[k].value, word) == 0);
		*several = *several || (is && found);
		found = is ? item : found;
	}
	return found;
}

/* The gas or stream that the subject names, made where the sheets have none; NULL: they have several. */
static struct draft_item *flowing(struct record *record, const struct field_column *column, struct basis_parameter of)
{
	static const char alike[] = "flow loading strength h2s co2"; /* in all that is called so, or nearly */
	const char *subject = of.subject;
	bool gas = text_has_word("feed treated", subject), several;
	const char *element = gas ? "gas" : "stream", *attribute = gas ? "role" : "service";
	struct draft_item *item = basis_only(record_draft(record), element, attribute, subject, &several);
	if (item || several)
		return !several						   ? item
			: of.at_absorber || text_has_word(alike, of.field) ? record_at_absorber(record, subject)
									   : NULL;
	const char *id = arena_join(record_arena(record), subject, gas ? " gas" : " amine", "", "");
	item = draft_item(record_draft(record), NULL, element, "id", id, id);
	struct field_column of_all = *column;
	of_all.of_case = NULL;
	const char *of_record = record->of_case;
	record->of_case = NULL;
	record_state_value(record, &of_all, item, attribute, subject);
	record->of_case = of_record;
	return item;
}

/* What is known by the name that the design basis gave it; NULL: nothing. */
static struct draft_item *by_name(const struct package *package, const char *name)
{
	for (size_t i = 0; i < package->gas_name_count; i++)
		if (strcmp(package->gas_names[i].name, name) == 0)
			return package->gas_names[i].gas;
	return NULL;
}

static void remember(struct package *package, const char *name, struct draft_item *gas)
{
	if (!name || by_name(package, name))
		return;
	package->gas_names = arena_grow(package->draft.arena, package->gas_names, package->gas_name_count,
		&package->gas_name_capacity, sizeof *package->gas_names);
	package->gas_names[package->gas_name_count++] =
		(struct gas_name){.name = arena_copy(package->draft.arena, name), .gas = gas};
}

static const char *value_of(const struct draft_item *item, const char *attribute)
{
	for (size_t i = 0; i < item->count; i++)
		if (strcmp(item->values[i].attribute, attribute) == 0)
			return item->values[i].value;
	return NULL;
}

/* The one stream of that service that begins or ends there; `*several`: there are more. */
static struct draft_item *stream_at(
	const struct draft *draft, const char *service, const char *end, const struct draft_item *there, bool *several)
{
	struct draft_item *found = NULL;
	*several = false;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *item = draft->items[i];
		const char *at = value_of(item, end);
		if (strcmp(item->element->name, "stream") != 0 || !text_same(value_of(item, "service"), service) ||
			!at || draft_find(draft, at) != there)
			continue;
		*several = *several || found;
		found = item;
	}
	return found;
}

/* The gas or solution of that absorber: which it refers to, or which begins or ends there, or made for it. */
static struct draft_item *flowing_at(struct record *record, const struct field_column *column,
	struct basis_parameter of, struct draft_item *absorber)
{
	struct arena *arena = record_arena(record);
	struct draft *draft = record_draft(record);
	bool gas = text_has_word("feed treated", of.subject), several = false;
	const char *attribute = strcmp(of.subject, "feed") == 0 ? "gas" : of.subject;
	const char *there = value_of(absorber, attribute);
	struct draft_item *item = there ? draft_find(draft, there) : NULL;
	if (!item && !gas)
		item = stream_at(
			draft, of.subject, strcmp(of.subject, "lean") == 0 ? "to" : "from", absorber, &several);
	if (item || several || there)
		return several ? NULL : item;
	const char *id = arena_join(arena, of.subject, gas ? " gas of " : " amine of ", absorber->key, "");
	struct field_column of_all = *column;
	of_all.of_case = NULL;
	const char *of_record = record->of_case;
	record->of_case = NULL;
	item = draft_item(draft, NULL, gas ? "gas" : "stream", "id", id, id);
	record_state_value(record, &of_all, item, gas ? "role" : "service", of.subject);
	record_state_value(record, &of_all, absorber, attribute, id);
	record->of_case = of_record;
	return item;
}

/* What flows, of the item that the parameter names; `*why`: nothing does. */
static struct draft_item *what_flows(
	struct record *record, const struct field_column *column, struct basis_parameter of, const char **why)
{
	struct package *package = record->sheet->package;
	struct draft_item *at = of.of ? draft_find(&package->draft, of.of) : NULL, *item;
	if (strcmp(of.subject, "named") == 0) {
		*why = "no row above says where the gas of that name goes";
		return by_name(package, of.name);
	}
	if (!of.of)
		return of.name ? NULL : flowing(record, column, of);
	*why = "the item that it names is no absorber";
	bool absorber = at && text_has_word("absorber", at->element->name);
	if (!absorber || (text_has_word("feed lean", of.subject) && of.from) ||
		(text_has_word("treated rich", of.subject) && of.to))
		return NULL;
	*why = "what flows there is not plain";
	item = flowing_at(record, column, of, at);
	if (item)
		remember(package, of.name, item);
	return item;
}

struct draft_item *basis_specification(struct draft *draft, const struct draft_item *gas)
{
	struct draft_item *first = draft_item(draft, NULL, "specification", NULL, NULL, "specification");
	const char *of = value_of(first, "gas");
	if (!of || draft_find(draft, of) == gas)
		return first;
	return draft_item(draft, NULL, "specification", NULL, NULL,
		arena_join(draft->arena, "specification of ", gas->key, "", ""));
}

/* Where a description has it: `*attribute` may become another. NULL: nowhere, or in several places. */
struct draft_item *basis_place(
	struct record *record, const struct field_column *column, struct basis_parameter of, const char **why)
{
	struct draft *draft = record_draft(record);
	bool several;
	*why = "the sheets have several of that";
	if (text_has_word("solvent basis", of.subject))
		return draft_item(draft, NULL, of.subject, NULL, NULL, of.subject);
	if (of.tag) {
		struct draft_item *item = draft_find(draft, of.tag);
		bool has = item && vocabulary_attribute(item->element, of.field) && !item->parent;
		*why = item ? "the item has no such value in a description" : "no sheet describes the item";
		return has ? item : NULL;
	}
	if (vocabulary_child(draft->unit, of.subject)) {
		struct draft_item *item =
			of.of ? draft_find(draft, of.of) : basis_only(draft, of.subject, NULL, NULL, &several);
		*why = "there is no such item, or more than one";
		return (of.of ? item && strcmp(item->element->name, of.subject) != 0 : several) ? NULL : item;
	}
	struct draft_item *item = what_flows(record, column, of, why);
	if (!item || strcmp(of.subject, "treated") != 0 || !text_has_word("h2s co2 cos mercaptans", of.field))
		return item;
	struct draft_item *limits = basis_specification(draft, item);
	struct field_column of_all = *column;
	of_all.of_case = NULL;
	if (!limits->count)
		record_state_value(record, &of_all, limits, "gas", item->key);
	return limits;
}
