#include "write/write_json.h"

#include <math.h>

#include "reconcile/finding.h"

/* In the unit the kind shows first. */
static void put_value(struct json_out *out, const char *name, double si, enum kind kind)
{
	json_out_number(out, name, quantity_in(si, kind, kind_unit(kind)));
}

/* Members of the object that is open. */
static void put_statement(struct json_out *out, const struct statement *statement)
{
	json_out_words_or_null(out, "item", statement->item->tag);
	json_out_words_or_null(out, "quantity", statement->name);
	json_out_words_or_null(out, "document", statement->quantity->document);
	json_out_words_or_null(out, "written", statement->quantity->written);
	json_out_words_or_null(out, "unit", kind_unit(statement->quantity->kind));
}

static void reconciled_row(struct json_out *out, const struct reconciled *reconciled)
{
	enum kind kind = reconciled->statement->quantity->kind;

	json_out_object(out, NULL);
	put_statement(out, reconciled->statement);
	put_value(out, "stated", reconciled->stated, kind);
	put_value(out, "reconciled", reconciled->value, kind);
	json_out_number(out, "correction_over_scatter", reconciled->testable ? reconciled->score : (double)NAN);
	json_out_number(out, "redundancy", reconciled->redundancy);
	json_out_yes(out, "tested", reconciled->testable);
	json_out_end(out);
}

static void accusation_row(struct json_out *out, const struct accusation *accusation)
{
	json_out_object(out, NULL);
	json_out_yes(out, "beyond_chance", accusation->conflict);
	json_out_yes(out, "common", accusation->common);
	json_out_number(out, "score", accusation->score);
	json_out_array(out, "one_of");
	for (size_t i = 0; i < accusation->count; i++) {
		const struct accused *accused = &accusation->accused[i];
		json_out_object(out, NULL);
		put_statement(out, accused->statement);
		put_value(out, "stated", accused->stated, accused->statement->quantity->kind);
		put_value(out, "closing", accused->closing, accused->statement->quantity->kind);
		json_out_words_or_null(out, "slip", accused->slip);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}

static void words_list(struct json_out *out, const char *name, const char *const *words, size_t count)
{
	json_out_array(out, name);
	for (size_t i = 0; i < count; i++)
		json_out_words(out, NULL, words[i]);
	json_out_end(out);
}

static void case_row(struct json_out *out, const struct review *review, const struct reconciliation *of)
{
	json_out_object(out, NULL);
	json_out_words_or_null(out, "case", table_case(review->table, of->operating_case)->id);
	json_out_words_or_null(out, "missing", of->why_not);
	json_out_yes(out, "converged", of->converged);
	json_out_number(out, "scatter", of->why_not ? (double)NAN : of->scatter);
	json_out_array(out, "suspects");
	for (size_t i = 0; i < of->accusation_count; i++)
		accusation_row(out, &of->accusations[i]);
	json_out_end(out);
	json_out_array(out, "statements");
	for (size_t i = 0; i < of->count && !of->why_not; i++)
		reconciled_row(out, &of->rows[i]);
	json_out_end(out);
	words_list(out, "left_out", of->notes, of->note_count);
	words_list(out, "undetermined", of->undetermined, of->undetermined_count);
	json_out_end(out);
}

void json_reconciliation(struct json_out *out, const struct review *review)
{
	json_out_array(out, "reconciliation");
	for (size_t i = 0; i < review->reconciled->count; i++)
		case_row(out, review, &review->reconciled->cases[i]);
	json_out_end(out);
}
