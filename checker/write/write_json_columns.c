#include "write/write_json.h"

#include <math.h>

#include "sulfide/lean_side.h"
#include "record/columns.h"

/* A number in the unit its kind shows first; one that is not known is null and has its reason. */
static void value_row(struct json_out *out, const struct quantity *quantity, const char *name)
{
	bool known = quantity && quantity->known != UNKNOWN;
	const char *unit = quantity ? kind_unit(quantity->kind) : "";
	double value = known ? quantity_in(quantity->si, quantity->kind, unit) : (double)NAN;
	double error = known && quantity->kind == KIND_TEMPERATURE ? quantity->uncertainty
		: known ? quantity_in(quantity->uncertainty, quantity->kind, unit)
			: (double)NAN;

	json_out_object(out, NULL);
	json_out_words(out, "name", name);
	json_out_number(out, "value", value);
	json_out_words(out, "unit", unit);
	json_out_number(out, "uncertainty", error);
	json_out_given(out, "reason", known || !quantity ? NULL : quantity->reason);
	json_out_end(out);
}

static void column_row(struct json_out *out, const struct review *review, const struct item *item, int operating_case)
{
	const struct table *table = review->table;

	json_out_object(out, NULL);
	json_out_words(out, "item", item->tag);
	json_out_words(out, "case", table_case(table, operating_case)->id);
	json_out_given(out, "basis", table_word(table, item, operating_case, "column-basis"));
	json_out_given(out, "no_data", review->lean_side->circuit->no_data);
	json_out_array(out, "values");
	for (size_t i = 0; column_names[i]; i++)
		value_row(out, table_peek(table, item, operating_case, column_names[i]), column_names[i]);
	json_out_end(out);
	json_out_end(out);
}

void json_columns(struct json_out *out, const struct review *review)
{
	struct items regenerators = table_of_kind(review->table, "regenerator");

	json_out_array(out, "columns");
	for (size_t i = 0; i < regenerators.count; i++)
		for (int c = 0; c < (int)table_case_count(review->table); c++)
			if (column_is_reported(review->table, regenerators.rows[i], c))
				column_row(out, review, regenerators.rows[i], c);
	json_out_end(out);
}
