#include "resolve/history.h"

#include <string.h>

#include "base/count.h"
#include "base/date.h"

static const double HOTTEST_TREATMENT =
	1273.15; /* K; carbon steel is normalised at 900 degC and stress relieved far below */

static const char *const treatments[] = {"pwht-temperature", "pwht-temperature-least"};
static const char found_or_done[] = "date", built_in[] = "year-built";

bool history_checks(const char *name)
{
	bool any = strcmp(name, found_or_done) == 0 || strcmp(name, built_in) == 0;
	for (size_t i = 0; i < COUNT(treatments); i++)
		any = any || strcmp(name, treatments[i]) == 0;
	return any;
}

/* What is stated of the item itself, not handed down. */
static const struct quantity *own(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_peek(table, item, EVERY_CASE, name);
	const struct quantity *above = item->parent ? table_peek(table, item->parent, EVERY_CASE, name) : NULL;
	return value && value->known == STATED && value != above ? value : NULL;
}

static void check_treatment(const struct table *table, const struct item *item, struct problems *problems)
{
	for (size_t i = 0; i < COUNT(treatments); i++) {
		const struct quantity *value = own(table, item, treatments[i]);
		if (value && value->si > HOTTEST_TREATMENT)
			problem_add(problems, PROBLEM_HISTORY, value->place,
				"%s of %s: %s; no steel is stress relieved above 1000 degC", treatments[i], item->tag,
				value->written);
	}
}

/* The year in which the nearest of what the item is in was built, or NULL. */
static const struct quantity *built(const struct table *table, const struct item *item)
{
	const struct quantity *year = NULL;
	for (const struct item *holder = item->parent; holder && !year; holder = holder->parent) {
		year = table_peek(table, holder, EVERY_CASE, built_in);
		year = year && year->known == STATED ? year : NULL;
	}
	return year;
}

/* Nothing is found on, or done to, what was not there yet; in the year itself it may be. */
static void check_date(const struct table *table, const struct item *item, struct problems *problems)
{
	const struct quantity *at =
		item_is_any(item, "inspection repair wall-reading") ? own(table, item, found_or_done) : NULL;
	const struct quantity *year = built(table, item);
	struct date date, first = {0};
	if (!at || !at->word || !year || year->bound != BOUND_NONE || !date_read(at->word, &date))
		return;
	const char *first_year = arena_format(problems->arena, "%04.0f", year->si);
	if (date_read(first_year, &first) && date_is_before(&date, &first))
		problem_add(problems, PROBLEM_HISTORY, at->place,
			"date of %s, %s, is before the year in which its metal was built, %s (line %d)", item->tag,
			at->word, first_year, year->place.line);
}

void history_check(const struct table *table, struct problems *problems)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		check_treatment(table, table_item(table, i), problems);
		check_date(table, table_item(table, i), problems);
	}
}
