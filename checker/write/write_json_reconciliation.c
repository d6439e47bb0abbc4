#include "write/write_json.h"

#include <math.h>

#include "reconcile/finding.h"

struct maker {
	const struct review *review;
	bool failed;
};

static void set(struct maker *maker, json_t *object, const char *name, json_t *value)
{
	if (!value || json_object_set_new_nocheck(object, name, value) != 0)
		maker->failed = true;
}

static void append(struct maker *maker, json_t *array, json_t *value)
{
	if (!value || json_array_append_new(array, value) != 0)
		maker->failed = true;
}

static void set_words(struct maker *maker, json_t *object, const char *name, const char *words)
{
	set(maker, object, name, words && *words ? json_string(words) : json_null());
}

static void set_number(struct maker *maker, json_t *object, const char *name, double value)
{
	set(maker, object, name, isfinite(value) ? json_real(value) : json_null());
}

/* In the unit the kind shows first. */
static void set_value(struct maker *maker, json_t *object, const char *name, double si, enum kind kind)
{
	set_number(maker, object, name, quantity_in(si, kind, kind_unit(kind)));
}

static json_t *statement_row(struct maker *maker, const struct statement *statement)
{
	json_t *row = json_object();

	set_words(maker, row, "item", statement->item->tag);
	set_words(maker, row, "quantity", statement->name);
	set_words(maker, row, "document", statement->quantity->document);
	set_words(maker, row, "written", statement->quantity->written);
	set_words(maker, row, "unit", kind_unit(statement->quantity->kind));
	return row;
}

static json_t *reconciled_row(struct maker *maker, const struct reconciled *reconciled)
{
	enum kind kind = reconciled->statement->quantity->kind;
	json_t *row = statement_row(maker, reconciled->statement);

	set_value(maker, row, "stated", reconciled->stated, kind);
	set_value(maker, row, "reconciled", reconciled->value, kind);
	set_number(maker, row, "correction_over_scatter", reconciled->testable ? reconciled->score : (double)NAN);
	set_number(maker, row, "redundancy", reconciled->redundancy);
	set(maker, row, "tested", json_boolean(reconciled->testable));
	return row;
}

static json_t *accusation_row(struct maker *maker, const struct accusation *accusation)
{
	json_t *row = json_object(), *statements = json_array();

	set(maker, row, "beyond_chance", json_boolean(accusation->conflict));
	set(maker, row, "common", json_boolean(accusation->common));
	set_number(maker, row, "score", accusation->score);
	for (size_t i = 0; i < accusation->count; i++) {
		const struct accused *accused = &accusation->accused[i];
		json_t *statement = statement_row(maker, accused->statement);
		set_value(maker, statement, "stated", accused->stated, accused->statement->quantity->kind);
		set_value(maker, statement, "closing", accused->closing, accused->statement->quantity->kind);
		set_words(maker, statement, "slip", accused->slip);
		append(maker, statements, statement);
	}
	set(maker, row, "one_of", statements);
	return row;
}

static json_t *words_list(struct maker *maker, const char *const *words, size_t count)
{
	json_t *list = json_array();

	for (size_t i = 0; i < count; i++)
		append(maker, list, json_string(words[i]));
	return list;
}

static json_t *case_row(struct maker *maker, const struct reconciliation *of)
{
	json_t *row = json_object(), *statements = json_array(), *suspects = json_array();

	set_words(maker, row, "case", table_case(maker->review->table, of->operating_case)->id);
	set_words(maker, row, "missing", of->why_not);
	set(maker, row, "converged", json_boolean(of->converged));
	set_number(maker, row, "scatter", of->why_not ? (double)NAN : of->scatter);
	for (size_t i = 0; i < of->count && !of->why_not; i++)
		append(maker, statements, reconciled_row(maker, &of->rows[i]));
	for (size_t i = 0; i < of->accusation_count; i++)
		append(maker, suspects, accusation_row(maker, &of->accusations[i]));
	set(maker, row, "suspects", suspects);
	set(maker, row, "statements", statements);
	set(maker, row, "left_out", words_list(maker, of->notes, of->note_count));
	set(maker, row, "undetermined", words_list(maker, of->undetermined, of->undetermined_count));
	return row;
}

json_t *json_reconciliation(const struct review *review)
{
	struct maker maker = {.review = review};
	json_t *cases = json_array();

	for (size_t i = 0; i < review->reconciled->count; i++)
		append(&maker, cases, case_row(&maker, &review->reconciled->cases[i]));
	if (maker.failed) {
		json_decref(cases);
		return NULL;
	}
	return cases;
}
