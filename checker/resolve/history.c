#include "resolve/history.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"

static const double HOTTEST_TREATMENT =
	1273.15; /* K; carbon steel is normalised at 900 degC and stress relieved far below */

/* What is stated of the item itself, not handed down. */
static const struct quantity *own(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_peek(table, item, EVERY_CASE, name);
	const struct quantity *above = item->parent ? table_peek(table, item->parent, EVERY_CASE, name) : NULL;
	return value && value->known == STATED && value != above ? value : NULL;
}

static void check_treatment(const struct table *table, const struct item *item, struct problems *problems)
{
	static const char *const names[] = {"pwht-temperature", "pwht-temperature-least"};
	for (size_t i = 0; i < COUNT(names); i++) {
		const struct quantity *value = own(table, item, names[i]);
		if (value && value->si > HOTTEST_TREATMENT)
			problem_add(problems, PROBLEM_HISTORY, value->place,
				"%s of %s: %s; no steel is stress relieved above 1000 degC", names[i], item->tag,
				value->written);
	}
}

/* The year in which the nearest of what the item is in was built, or NULL. */
static const struct quantity *built(const struct table *table, const struct item *item)
{
	const struct quantity *year = NULL;
	for (const struct item *holder = item->parent; holder && !year; holder = holder->parent) {
		year = table_peek(table, holder, EVERY_CASE, "year-built");
		year = year && year->known == STATED ? year : NULL;
	}
	return year;
}

static void check_repair(const struct table *table, const struct item *item, struct problems *problems)
{
	const struct quantity *date = own(table, item, "date"), *year = built(table, item);
	if (!item_is(item, "repair") || !date || !date->word || !year)
		return;
	long done = strtol(date->word, NULL, 10);
	if (done > 0 && (double)done < year->si)
		problem_add(problems, PROBLEM_HISTORY, date->place,
			"%s was made in %ld; what it repairs was built in %s", item->tag, done, year->written);
}

void history_check(const struct table *table, struct problems *problems)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		check_treatment(table, table_item(table, i), problems);
		check_repair(table, table_item(table, i), problems);
	}
}
