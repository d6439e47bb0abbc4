#include "write/write_json.h"

#include <math.h>

#include "sulfide/lean_side.h"
#include "record/columns.h"

/* A number in the unit its kind shows first; one that is not known is null and has its reason. */
static json_t *value_row(const struct quantity *quantity, const char *name)
{
	bool known = quantity && quantity->known != UNKNOWN;
	const char *unit = quantity ? kind_unit(quantity->kind) : "";
	json_t *value = known ? json_real(quantity_in(quantity->si, quantity->kind, unit)) : json_null();
	double error = known && quantity->kind == KIND_TEMPERATURE ? quantity->uncertainty
		: known ? quantity_in(quantity->uncertainty, quantity->kind, unit)
			: 0;

	return json_pack("{s:s, s:o, s:s, s:o, s:s?}", "name", name, "value", value, "unit", unit, "uncertainty",
		known ? json_real(error) : json_null(), "reason", known || !quantity ? NULL : quantity->reason);
}

static json_t *values_of(const struct table *table, const struct item *item, int operating_case)
{
	json_t *rows = json_array();

	for (size_t i = 0; rows && column_names[i]; i++)
		if (json_array_append_new(rows,
			    value_row(table_peek(table, item, operating_case, column_names[i]), column_names[i])) !=
			0) {
			json_decref(rows);
			rows = NULL;
		}
	return rows;
}

static json_t *column_row(const struct table *table, const struct item *item, int operating_case, const char *no_data)
{
	return json_pack("{s:s, s:s, s:s?, s:s?, s:o}", "item", item->tag, "case",
		table_case(table, operating_case)->id, "basis", table_word(table, item, operating_case, "column-basis"),
		"no_data", no_data, "values", values_of(table, item, operating_case));
}

json_t *json_columns(const struct review *review)
{
	json_t *rows = json_array();
	struct items regenerators = table_of_kind(review->table, "regenerator");

	for (size_t i = 0; rows && i < regenerators.count; i++)
		for (int c = 0; rows && c < (int)table_case_count(review->table); c++) {
			if (!column_is_reported(review->table, regenerators.rows[i], c))
				continue;
			if (json_array_append_new(rows,
				    column_row(review->table, regenerators.rows[i], c,
					    review->lean_side->circuit->no_data)) != 0) {
				json_decref(rows);
				rows = NULL;
			}
		}
	return rows;
}
