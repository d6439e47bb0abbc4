#include "resolve/doubtful.h"

#include <string.h>

#include "base/count.h"
#include "resolve/service.h"

struct row {
	const char *kind, *name;
	bool of_amine;
	double least, largest;
	const char *why;
};

static const struct row rows[] = {
#define DOUBTFUL(kind, name, of_amine, least, largest, why) {kind, name, of_amine, least, largest, why},
#include "resolve/doubtful.def"
#undef DOUBTFUL
};

static bool is_of(const struct table *table, const struct row *row, const struct statement *statement)
{
	const char *service;

	if (strcmp(row->name, statement->name) != 0 || !item_is(statement->item, row->kind) ||
		statement->quantity->known != STATED || !kind_is_number(statement->quantity->kind))
		return false;
	service = row->of_amine ? table_word(table, statement->item, statement->operating_case, "service") : NULL;
	return !row->of_amine || service_is(service, SERVICE_STREAM);
}

/* A strength in mol/L has no end here: it is a mass fraction by its density, which is no statement. */
static bool is_comparable(const struct row *row, const struct quantity *value)
{
	return strcmp(row->name, "strength") != 0 || value->kind == KIND_MASS_FRACTION;
}

/* NULL: it may well be. A bound that reaches back among what may be is no reason for doubt. */
static const char *doubt(struct arena *arena, const struct row *row, const struct statement *statement)
{
	const struct quantity *value = statement->quantity;
	bool above = value->si > row->largest && value->bound != BOUND_BELOW;
	bool below = value->si < row->least && value->bound != BOUND_ABOVE;

	if (!is_comparable(row, value) || (!above && !below))
		return NULL;
	return arena_format(arena,
		"%s of %s, %s, is %s %s, which no amine unit has (%s): what rests on it may be wrong", row->name,
		statement->item->tag, value->written, above ? "above" : "below",
		quantity_show_si(arena, above ? row->largest : row->least, value->kind, NULL), row->why);
}

struct doubtful doubtful_statements(struct arena *arena, const struct table *table)
{
	size_t count;
	const struct statement *statements = table_statements(table, &count);
	struct doubtful out = {.words = arena_alloc(arena, (count + 1) * sizeof *out.words)};

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < COUNT(rows); k++) {
			const char *words =
				is_of(table, &rows[k], &statements[i]) ? doubt(arena, &rows[k], &statements[i]) : NULL;

			if (words)
				out.words[out.count++] = words;
		}
	return out;
}
