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
	if (at == COUNT(ends) || record_cell(record, column)->hidden ||
		!record_state_value(record, column, item, ends[at].attribute, record->item->key))
		return false;
	record_interpreted(record, column, arena_join(record_arena(record), ends[at].attribute, " of ", item->key, ""),
		"an end of a gas");
	return true;
}
