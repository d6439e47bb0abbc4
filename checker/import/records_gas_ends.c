#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/draft_ends.h"

/* Where a gas comes from and goes to. A description says it of the equipment: "To: C-101" makes it the gas of that absorber. */

static const struct {
	const char *field, *element, *attribute, *role;
} ends[] = {{"to", "absorber", "gas", "feed"}, {"from", "absorber", "treated", "treated"},
	{"from", "flash-drum", "gas", "flash gas"}, {"from", "reflux-drum", "acid-gas", "acid gas"},
	{"to", "knock-out-drum", "gas", NULL}, {"from", "knock-out-drum", "gas", NULL}};

/* Which row of `ends` the column makes true; COUNT(ends): none. */
static size_t end_of(const struct record *record, const char *field, struct draft_item **item)
{
	size_t at = 0;
	const char *text = record_text(record, field);
	const struct draft_item *named = text && *text ? draft_find(record_draft(record), text) : NULL;
	named = named || !text || !*text ? named : draft_end_named(record_draft(record), text);
	*item = named ? draft_find(record_draft(record), named->key) : NULL;
	while (at < COUNT(ends) &&
		(!*item || strcmp(ends[at].field, field) != 0 || strcmp(ends[at].element, (*item)->element->name) != 0))
		at++;
	return at;
}

const char *record_role_by_ends(const struct record *record)
{
	const char *const fields[] = {"to", "from"}, *role = NULL;
	struct draft_item *item;
	for (size_t i = 0; i < COUNT(fields); i++) {
		size_t at = end_of(record, fields[i], &item);
		const char *own = at < COUNT(ends) ? ends[at].role : NULL;
		if (own && role)
			return NULL; /* from one absorber to the next */
		role = own ? own : role;
	}
	return role;
}

bool record_state_gas_end(struct record *record, const struct field_column *column)
{
	struct draft_item *item;
	size_t at = end_of(record, column->field, &item);
	if (at == COUNT(ends) || !item || record_cell(record, column)->hidden ||
		!record_state_value(record, column, item, ends[at].attribute, record->item->key))
		return false;
	record_interpreted(record, column, arena_join(record_arena(record), ends[at].attribute, " of ", item->key, ""),
		"an end of a gas");
	return true;
}

const char *record_service_by_ends(const struct record *record)
{
	static const struct {
		const char *field, *element, *service;
	} lines[] = {{"to", "absorber", "sour gas"}, {"from", "absorber", "treated gas"},
		{"from", "flash-drum", "flash gas"}, {"from", "reflux-drum", "acid gas"},
		{"from", "regenerator", "acid gas"}};
	const struct draft *draft = record_draft(record);
	const char *found = NULL;
	for (size_t i = 0; i < COUNT(lines); i++) {
		const char *text = record_text(record, lines[i].field);
		const struct draft_item *item = text && *text ? draft_find(draft, text) : NULL;
		item = item || !text || !*text ? item : draft_end_named(draft, text);
		if (!item || strcmp(item->element->name, lines[i].element) != 0)
			continue;
		if (found)
			return NULL; /* from one absorber to the next */
		found = lines[i].service;
	}
	return found;
}

/* What an absorber says of its gas, or a stream of the absorber at its end. */
static const struct {
	const char *subject, *attribute;
	bool of_absorber;
} at_absorber[] = {{"feed", "gas", true}, {"treated", "treated", true}, {"lean", "to", false}, {"rich", "from", false}};

struct draft_item *record_at_absorber(const struct record *record, const char *subject)
{
	const struct draft *draft = record_draft(record);
	struct draft_item *found = NULL;
	for (size_t row = 0; row < COUNT(at_absorber); row++)
		for (size_t i = 0; i < draft->count && strcmp(at_absorber[row].subject, subject) == 0; i++) {
			struct draft_item *item = draft->items[i], *end = NULL, *flows = NULL;
			bool serves = at_absorber[row].of_absorber;
			for (size_t k = 0; k < item->count; k++) {
				const struct draft_value *value = &item->values[k];
				if (value->reference && strcmp(value->attribute, at_absorber[row].attribute) == 0)
					end = draft_find(draft, value->value);
				serves = serves ||
					(strcmp(value->attribute, "service") == 0 &&
						strcmp(value->value, subject) == 0);
			}
			const struct draft_item *absorber = at_absorber[row].of_absorber ? item : end;
			flows = at_absorber[row].of_absorber ? end : item;
			if (!serves || !end || strcmp(absorber->element->name, "absorber") != 0 ||
				!text_has_word("gas stream", flows->element->name))
				continue;
			if (found && found != flows)
				return NULL;
			found = flows;
		}
	return found;
}
