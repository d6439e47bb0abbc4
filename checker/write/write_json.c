#include "write/write.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/json_out.h"
#include "compute/no_data.h"
#include "judge/wording.h"
#include "record/round.h"
#include "sulfide/lean_side.h"
#include "write/write_json.h"

enum { RECORD_VERSION = 2, DIGITS = 9 };

struct writer {
	struct arena arena; /* of the words of one row */
	const struct review *review;
	struct json_out *out;
};

/* In the unit the kind shows first, so that the record reads like the document. */
static void put_number(struct json_out *out, double si, enum kind kind)
{
	json_out_number(out, "value", quantity_in(si, kind, kind_unit(kind)));
	json_out_words(out, "unit", kind_unit(kind));
}

/* Of a file; null where it is in none. */
static void put_line(struct json_out *out, bool any, int line)
{
	if (any)
		json_out_whole(out, "line", line);
	else
		json_out_null(out, "line");
}

static const char *bound_word(enum bound bound)
{
	return bound == BOUND_BELOW ? "below" : bound == BOUND_ABOVE ? "above" : NULL;
}

/* `kind`: whose unit a number is given in; it has the SI unit of the quantity's own. */
static void put_value_as(struct json_out *out, const struct quantity *quantity, enum kind kind)
{
	bool known = quantity && quantity->known != UNKNOWN;
	if (known && kind_is_number(quantity->kind)) {
		put_number(out, quantity->si, kind);
	} else {
		json_out_given(out, "value", known ? quantity->word : NULL);
		json_out_null(out, "unit");
	}
	json_out_given(out, "bound", known ? bound_word(quantity->bound) : NULL);
}

static void put_value(struct json_out *out, const struct quantity *quantity)
{
	put_value_as(out, quantity, quantity ? quantity->kind : KIND_TEXT);
}

/* A value and the limits beside it are given in one unit wherever they can be: 2.5 and 2 wt%, not 25000 ppmw and 2 wt%. */
static enum kind shown_kind(const struct rule *rule, enum kind kind)
{
	enum kind judged = rule->judged >= 0 ? rule->inputs[rule->judged].accepted.kinds[0] : kind;
	bool alike = kind_is_number(judged) && kind_is_number(kind) && strcmp(kind_si(judged), kind_si(kind)) == 0;
	return alike ? judged : kind;
}

const char *json_truth(enum truth met)
{
	return met == YES ? "yes" : met == NO ? "no" : "unknown";
}

static void limit_row(struct writer *writer, const struct rule *rule, const struct limit_result *result)
{
	const struct limit *limit = result->limit;
	json_out_object(writer->out, NULL);
	if (limit->says) {
		json_out_words(writer->out, "says", limit->says);
	} else {
		json_out_words(writer->out, "relation", relation_word(limit->relation));
		put_number(writer->out, result->at, shown_kind(rule, limit->value.kind));
	}
	json_out_words_or_null(writer->out, "source", limit->source ? limit->source->key : NULL);
	json_out_words_or_null(writer->out, "clause", limit->clause);
	json_out_words(writer->out, "known", reading_word(limit->reading));
	json_out_words(writer->out, "how_known", wording_reading(&writer->arena, limit));
	json_out_yes(writer->out, "applies", result->applied);
	json_out_words_or_null(writer->out, "aside", result->aside);
	json_out_words(writer->out, "met", result->applied ? json_truth(result->met) : "unknown");
	json_out_yes(writer->out, "context", limit->context);
	json_out_yes(writer->out, "governs", result->governs);
	json_out_yes(writer->out, "borderline", result->borderline);
	json_out_end(writer->out);
}

static void missing_rows(struct writer *writer, const struct finding *finding)
{
	json_out_array(writer->out, "missing");
	for (size_t i = 0; i < finding->missing_count; i++) {
		const struct missing *missing = &finding->missing[i];
		json_out_object(writer->out, NULL);
		json_out_words_or_null(writer->out, "item", missing->item ? missing->item->tag : NULL);
		json_out_words(writer->out, "quantity", missing->quantity);
		json_out_words(writer->out, "reason", missing->reason);
		json_out_end(writer->out);
	}
	json_out_end(writer->out);
}

static const char *knowledge_word(const struct quantity *quantity)
{
	static const char *const words[] = {"unknown", "stated", "computed", "assumed"};
	return words[quantity ? quantity->known : UNKNOWN];
}

/*
 * What went into a finding or a number, and how it is known: by which document and where in which file, or why assumed. `assumed`:
 * why it is taken for the case of a working, or NULL.
 */
static void input_row(struct writer *writer, const struct input *input, const char *assumed)
{
	struct json_out *out = writer->out;
	const struct quantity *quantity = input->quantity;
	bool stated = quantity && quantity->known == STATED, placed = stated && quantity->place.line > 0;
	const char *reason = quantity && !stated ? quantity->reason : NULL;
	json_out_object(out, NULL);
	json_out_words(out, "symbol", input->symbol);
	json_out_words(out, "name", input_name(&writer->arena, input));
	put_value(out, quantity);
	json_out_words(out, "known", assumed ? "assumed" : knowledge_word(quantity));
	json_out_words_or_null(out, "reason", assumed ? assumed : reason);
	json_out_words_or_null(out, "document", stated ? quantity->document : NULL);
	json_out_words_or_null(out, "file", placed ? quantity->place.file : NULL);
	put_line(out, placed, placed ? quantity->place.line : 0);
	json_out_end(out);
}

static void limit_rows(struct writer *writer, const struct finding *finding)
{
	json_out_array(writer->out, "limits");
	for (size_t i = 0; i < finding->limit_count; i++)
		limit_row(writer, finding->rule, &finding->limits[i]);
	json_out_end(writer->out);
}

static void outcome_rows(struct writer *writer, const struct finding *finding)
{
	json_out_array(writer->out, "cases");
	for (size_t i = 0; i < finding->outcome_count; i++) {
		const struct outcome *outcome = &finding->cases[i];
		json_out_object(writer->out, NULL);
		json_out_words(writer->out, "case", table_case(writer->review->table, outcome->operating_case)->id);
		json_out_words(writer->out, "verdict", verdict_word(outcome->verdict));
		put_value_as(writer->out, outcome->value,
			outcome->value ? shown_kind(finding->rule, outcome->value->kind) : KIND_TEXT);
		json_out_words_or_null(writer->out, "other_cause", *outcome->cause ? outcome->cause : NULL);
		json_out_end(writer->out);
	}
	json_out_end(writer->out);
}

static void finding_row(struct writer *writer, const struct finding *finding)
{
	json_out_object(writer->out, NULL);
	size_t told = finding->verdict == VERDICT_MEETS ? 0 : finding->input_count; /* a third of the bytes */
	json_out_words(writer->out, "id", finding_id(&writer->arena, finding));
	json_out_words(writer->out, "rule", finding->rule->id);
	json_out_words(writer->out, "title", finding->rule->title);
	json_out_words(writer->out, "matter", finding->rule->matter);
	json_out_words(writer->out, "consequence", consequence_word(finding->rule->consequence));
	json_out_words(writer->out, "item", finding->item->tag);
	json_out_words(writer->out, "kind", finding->item->kind);
	json_out_words(writer->out, "case",
		finding->operating_case == EVERY_CASE ? "every case"
						      : table_case(writer->review->table, finding->operating_case)->id);
	json_out_words(writer->out, "verdict", verdict_word(finding->verdict));
	json_out_words(writer->out, "action", action_word(finding_action(finding)));
	json_out_words(writer->out, "force", force_word(finding->force));
	json_out_words(writer->out, "why_force", finding->why_force);
	json_out_words(writer->out, "certainty", certainty_word(finding->certainty));
	put_value_as(writer->out, finding->value,
		finding->value ? shown_kind(finding->rule, finding->value->kind) : KIND_TEXT);
	limit_rows(writer, finding);
	json_out_given(writer->out, "governing",
		finding->governing && finding->governing->limit->source ? finding->governing->limit->source->key
									: NULL);
	if (finding->outcome_count)
		outcome_rows(writer, finding);
	json_out_words(writer->out, "message", finding->message);
	json_out_words(writer->out, "remedy", finding->remedy);
	json_out_array(writer->out, "inputs");
	for (size_t i = 0; i < told; i++) {
		const struct input input = finding_input(finding, i);
		input_row(writer, &input, NULL);
	}
	json_out_end(writer->out);
	missing_rows(writer, finding);
	json_out_words_or_null(writer->out, "assumed", finding->assumed);
	json_out_yes(writer->out, "remark", finding->remark);
	json_out_words_or_null(
		writer->out, "beneath", finding->beneath ? finding_id(&writer->arena, finding->beneath) : NULL);
	json_out_words_or_null(writer->out, "unsettled", finding->unsettled);
	json_out_words_or_null(writer->out, "turns", finding->turns);
	json_out_words_or_null(writer->out, "whatever", finding->whatever);
	if (review_nearest(writer->review, finding))
		json_nearest(writer->out, writer->review, finding);
	if (writer->review->trials.rows)
		json_trials(writer->out, writer->review, finding);
	json_notes(writer->out, writer->review, finding->item);
	json_out_words_or_null(writer->out, "file", finding->item->place.file);
	json_out_whole(writer->out, "line", finding->item->place.line);
	json_out_end(writer->out);
	arena_release(&writer->arena);
}

static void request_row(struct json_out *out, const struct request *request)
{
	json_out_object(out, NULL);
	json_out_words_or_null(out, "item", request->item ? request->item->tag : NULL);
	json_out_words(out, "quantity", request->quantity);
	json_out_words(out, "reason", request->reason);
	json_out_array(out, "rules");
	for (size_t i = 0; i < request->rule_count; i++)
		json_out_words(out, NULL, request->rules[i]->id);
	json_out_end(out);
	put_line(out, request->item != NULL, request->item ? request->item->place.line : 0);
	json_out_end(out);
}

static void question_row(struct writer *writer, const struct question *question)
{
	static const char *const actions[] = {"resolve", "justify", "consider"};
	struct json_out *out = writer->out;
	json_out_object(out, NULL);
	json_out_words(out, "id", question_id(&writer->arena, question));
	json_out_words(out, "question", question->words);
	json_out_words(out, "who", answerer_word(question->who));
	json_out_words(out, "stage", stage_word(question->stage));
	json_out_yes(out, "now", !question->later);
	json_out_words(out, "worst", actions[question->force]);
	json_out_yes(out, "alone", question->alone);
	json_out_whole(out, "verdicts", (long long)question->verdicts);
	json_out_words_or_null(out, "turns", question->turns);
	json_out_array(out, "rules");
	for (size_t i = 0; i < question->rule_count; i++)
		json_out_words(out, NULL, question->rules[i]->id);
	json_out_end(out);
	json_out_array(out, "items");
	for (size_t i = 0; i < question->request_count; i++) {
		const struct request *request = question->requests[i];
		json_out_object(out, NULL);
		json_out_words_or_null(out, "item", request->item ? request->item->tag : NULL);
		json_out_words(out, "quantity", request->quantity);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}

static void source_row(struct json_out *out, const struct source *source)
{
	json_out_object(out, NULL);
	json_out_words(out, "key", source->key);
	json_out_words(out, "author", source->author);
	json_out_words(out, "title", source->title);
	json_out_words_or_null(out, "year", source->year);
	json_out_words_or_null(out, "edition", source->edition);
	json_out_words_or_null(out, "through", source->through);
	json_out_words(out, "known", reading_word(source->reading));
	json_out_words(out, "how_known", wording_known(source->reading));
	json_out_yes(out, "named", source->named);
	json_out_end(out);
}

static void working_row(struct writer *writer, const struct working *working)
{
	json_out_object(writer->out, NULL);
	const struct quantity *quantity = working->value.quantity;
	json_out_words(writer->out, "item", working->item->tag);
	json_out_words_or_null(writer->out, "case",
		working->operating_case == EVERY_CASE ? NULL
						      : table_case(writer->review->table, working->operating_case)->id);
	json_out_words(writer->out, "name", input_name(&writer->arena, &working->value));
	put_value(writer->out, quantity);
	const struct quantity *second = quantity->second;
	bool number = second && kind_is_number(second->kind);
	json_out_number(writer->out, "second",
		number ? quantity_in(second->si, second->kind, kind_unit(second->kind)) : (double)NAN);
	json_out_words_or_null(writer->out, "second_by", number ? second->formula->name : NULL);
	json_out_yes(
		writer->out, "estimated", writer->review->lean_side->circuit->no_data && no_data_reaches(quantity));
	json_out_words_or_null(writer->out, "formula", quantity->formula ? quantity->formula->text : NULL);
	json_out_words_or_null(writer->out, "source", quantity->formula ? quantity->formula->source : NULL);
	json_out_array(writer->out, "inputs");
	for (size_t i = 0; i < quantity->input_count; i++)
		input_row(writer, &quantity->inputs[i],
			working_assumption(&writer->arena, writer->review->table, working, &quantity->inputs[i]));
	json_out_end(writer->out);
	json_out_end(writer->out);
	arena_release(&writer->arena);
}

/* A deviation that the description records, and whether it sets anything aside. */
static void deviation_row(struct writer *writer, const struct deviation *deviation)
{
	static const char *const words[] = {"rule", "item", "because", "approved", "until"};
	json_out_object(writer->out, NULL);
	for (size_t i = 0; i < COUNT(words); i++)
		json_out_words_or_null(writer->out, words[i],
			table_word(writer->review->table, deviation->item, EVERY_CASE, words[i]));
	json_out_words(writer->out, "state", deviation_word(deviation->state));
	json_out_whole(writer->out, "line", deviation->item->place.line);
	json_out_end(writer->out);
}

static void case_rows(struct writer *writer)
{
	json_out_array(writer->out, "cases");
	const struct table *table = writer->review->table;
	for (size_t i = 0; i < table_case_count(table); i++) {
		json_out_object(writer->out, NULL);
		json_out_words(writer->out, "id", table_case(table, (int)i)->id);
		json_out_words(writer->out, "title", table_case(table, (int)i)->title);
		json_out_yes(writer->out, "upset", table_case(table, (int)i)->upset);
		json_out_end(writer->out);
	}
	json_out_end(writer->out);
}

static void change_rows(struct writer *writer)
{
	json_out_array(writer->out, "profile_changes");
	const struct catalogue *catalogue = writer->review->catalogue;
	for (size_t i = 0; i < catalogue->change_count; i++) {
		json_out_object(writer->out, NULL);
		json_out_words(writer->out, "rule", catalogue->changes[i].rule->id);
		json_out_words(writer->out, "what", catalogue->changes[i].what);
		json_out_words_or_null(writer->out, "why", catalogue->changes[i].why);
		json_out_end(writer->out);
	}
	json_out_end(writer->out);
}

static void unit_row(struct writer *writer)
{
	const struct review *review = writer->review;
	json_out_object(writer->out, "unit");
	json_out_words_or_null(writer->out, "number", review->number);
	json_out_words_or_null(writer->out, "name", review->name);
	json_out_words_or_null(writer->out, "revision", review->revision);
	json_out_words_or_null(writer->out, "date", review->date);
	json_out_words_or_null(writer->out, "document_number", review->document_number);
	json_out_words(writer->out, "file", review->file);
	json_out_words_or_null(writer->out, "profile", review->catalogue->profile_name);
	change_rows(writer);
	json_out_whole(writer->out, "items", (long long)review->item_count);
	json_out_whole(writer->out, "rules", (long long)review->catalogue->rule_count);
	case_rows(writer);
	json_out_end(writer->out);
}

static void count_row(struct writer *writer)
{
	static const char *const names[] = {"resolve", "justify", "consider", "state"};
	json_out_object(writer->out, "counts");
	for (size_t i = 0; i < ACTION_KINDS; i++)
		json_out_whole(writer->out, names[i], (long long)writer->review->counts[i]);
	json_out_end(writer->out);
}

static void begin_silent(struct json_out *out, const struct finding *finding)
{
	json_out_object(out, NULL);
	json_out_words(out, "rule", finding->rule->id);
	json_out_array(out, "quantities");
	for (size_t i = 0; i < finding->missing_count; i++)
		json_out_words(out, NULL, finding->missing[i].quantity);
	json_out_end(out);
	json_out_array(out, "items");
}

static void end_silent(struct json_out *out, const struct rule *begun)
{
	if (!begun)
		return;
	json_out_end(out);
	json_out_end(out);
}

/* By rule: what it would have to be told, and of which items, to be judged at all. */
static void silent_rows(struct writer *writer)
{
	const struct judgement *judgement = &writer->review->judgement;
	struct json_out *out = writer->out;
	const struct rule *last = NULL;
	json_out_array(out, "judged_if_stated");
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->verdict != VERDICT_NOT_APPLICABLE || !finding->missing_count)
			continue;
		if (finding->rule != last) {
			end_silent(out, last);
			begin_silent(out, finding);
			last = finding->rule;
		}
		json_out_words(out, NULL, finding->item->tag);
	}
	end_silent(out, last);
	json_out_end(out);
}

static void write_lists(struct writer *writer)
{
	const struct review *review = writer->review;
	struct json_out *out = writer->out;
	json_out_rows(out, "deviations");
	for (size_t i = 0; i < review->deviation_count; i++)
		deviation_row(writer, &review->deviations[i]);
	json_out_end(out);
	json_claims(out, review);
	json_damage(out, review);
	json_columns(out, review);
	json_out_rows(out, "workings");
	for (size_t i = 0; i < review->working_count; i++)
		working_row(writer, &review->workings[i]);
	json_out_end(out);
	json_out_rows(out, "sources");
	for (size_t i = 0; i < review->source_count; i++)
		source_row(out, review->sources[i]);
	json_out_end(out);
	json_out_rows(out, "not_applicable");
	for (size_t i = 0; i < review->judgement.idle_count; i++)
		json_out_words(out, NULL, review->judgement.idle[i]->id);
	json_out_end(out);
	silent_rows(writer);
}

static void write_findings(struct writer *writer)
{
	const struct judgement *judgement = &writer->review->judgement;
	json_out_rows(writer->out, "findings");
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].verdict != VERDICT_NOT_APPLICABLE)
			finding_row(writer, &judgement->findings[i]);
	json_out_end(writer->out);
}

static void write_asked(struct writer *writer)
{
	const struct review *review = writer->review;
	json_out_rows(writer->out, "questions");
	for (size_t i = 0; i < review->questions.count; i++)
		question_row(writer, &review->questions.rows[i]);
	json_out_end(writer->out);
	json_out_rows(writer->out, "requests");
	for (size_t i = 0; i < review->request_count; i++)
		request_row(writer->out, &review->requests[i]);
	json_out_end(writer->out);
}

static void write_record(struct writer *writer)
{
	const struct review *review = writer->review;
	struct json_out *out = writer->out;
	json_out_words(out, "record", "leanrich review");
	json_out_whole(out, "version", RECORD_VERSION);
	unit_row(writer);
	json_out_rows(out, "cautions");
	for (size_t i = 0; review_cautions[i]; i++)
		json_out_words(out, NULL, review_cautions[i]);
	json_out_end(out);
	count_row(writer);
	write_findings(writer);
	json_matters(out, review);
	write_asked(writer);
	json_sulfide(out, review);
	if (review->reconciled)
		json_reconciliation(out, review);
	if (review->round)
		json_round(out, review->round);
	write_lists(writer);
	json_owed(out, review);
	json_not_recorded(out, review);
	json_unread(out, review);
	json_notes(out, review, NULL);
}

bool write_json(const struct review *review, FILE *file)
{
	struct json_out out;
	struct writer writer = {.review = review, .out = &out};
	json_out_open(&out, file, DIGITS);
	write_record(&writer);
	arena_release(&writer.arena);
	return json_out_close(&out);
}
