#include "reconcile/acid_gas.h"

#include "base/text.h"

/* Only what is named: not the sole item of a kind. */
static const struct item *named(const struct table *table, const struct item *item, int operating_case, const char *of)
{
	const char *tag = table_word(table, item, operating_case, of);
	return tag ? table_find(table, tag) : NULL;
}

static const struct item *gas_named(const struct table *table, const struct item *item, int operating_case)
{
	const struct item *found = named(table, item, operating_case, "acid-gas");
	return item_is(found, "stream") ? named(table, found, operating_case, "gas") : found;
}

/* What a drum gives off: by its own word, else by the stream that leaves it with a gas. */
static const struct item *gas_of_drum(const struct table *table, const struct item *drum, int operating_case)
{
	struct items streams = table_of_kind(table, "stream");
	const struct item *gas = gas_named(table, drum, operating_case);
	for (size_t i = 0; !gas && i < streams.count; i++)
		if (named(table, streams.rows[i], operating_case, "from") == drum)
			gas = named(table, streams.rows[i], operating_case, "gas");
	return gas;
}

static const struct item *gas_by_role(const struct table *table, int operating_case)
{
	struct items gases = table_of_kind(table, "gas");
	for (size_t i = 0; i < gases.count; i++)
		if (text_same(table_word(table, gases.rows[i], operating_case, "role"), "acid gas"))
			return gases.rows[i];
	return NULL;
}

const struct item *acid_gas_of(const struct table *table, const struct item *column, int operating_case)
{
	struct items drums = table_of_kind(table, "reflux-drum");
	const struct item *found = drums.count == 1 ? gas_of_drum(table, drums.rows[0], operating_case) : NULL;
	if (!item_is(found, "gas"))
		found = gas_named(table, column, operating_case);
	if (!found)
		found = gas_by_role(table, operating_case);
	return item_is(found, "gas") ? found : NULL;
}
