#include "write/write.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/json_text.h"
#include "compute/no_data.h"
#include "judge/wording.h"
#include "record/round.h"
#include "sulfide/lean_side.h"
#include "write/write_json.h"

/*
 * jansson refuses what is not UTF-8 and what is not finite, and its *_new setters take ownership: a NULL anywhere makes the
 * whole write fail, which is reported as such.
 */

enum { RECORD_VERSION = 2, DIGITS = 9 };

struct writer {
	struct arena arena;
	const struct review *review;
	bool failed;
};

static void set(struct writer *writer, json_t *object, const char *name, json_t *value)
{
	if (!value || json_object_set_new_nocheck(object, name, value) != 0) /* the names are ours */
		writer->failed = true;
}

static void append(struct writer *writer, json_t *array, json_t *value)
{
	if (!value || json_array_append_new(array, value) != 0)
		writer->failed = true;
}

static json_t *text_or_null(const char *text)
{
	return text && *text ? json_string(text) : json_null();
}

/* In the unit the kind shows first, so that the record reads like the document. */
static void set_number(struct writer *writer, json_t *row, double si, enum kind kind)
{
	double value = quantity_in(si, kind, kind_unit(kind));
	set(writer, row, "value", isfinite(value) ? json_real(value) : json_null());
	set(writer, row, "unit", json_string(kind_unit(kind)));
}

static const char *bound_word(enum bound bound)
{
	return bound == BOUND_BELOW ? "below" : bound == BOUND_ABOVE ? "above" : NULL;
}

/* `kind`: whose unit a number is given in; it has the SI unit of the quantity's own. */
static void set_value_as(struct writer *writer, json_t *row, const struct quantity *quantity, enum kind kind)
{
	bool known = quantity && quantity->known != UNKNOWN;
	if (known && kind_is_number(quantity->kind)) {
		set_number(writer, row, quantity->si, kind);
	} else {
		set(writer, row, "value", known ? json_string(quantity->word) : json_null());
		set(writer, row, "unit", json_null());
	}
	set(writer, row, "bound", text_or_null(known ? bound_word(quantity->bound) : NULL));
}

static void set_value(struct writer *writer, json_t *row, const struct quantity *quantity)
{
	set_value_as(writer, row, quantity, quantity ? quantity->kind : KIND_TEXT);
}

/* A value and the limits beside it are given in one unit wherever they can be: 2.5 and 2 wt%, not 25000 ppmw and 2 wt%. */
static enum kind shown_kind(const struct rule *rule, enum kind kind)
{
	enum kind judged = rule->judged >= 0 ? rule->inputs[rule->judged].accepted.kinds[0] : kind;
	bool alike = kind_is_number(judged) && kind_is_number(kind) && strcmp(kind_si(judged), kind_si(kind)) == 0;
	return alike ? judged : kind;
}

static const char *met_word(enum truth met)
{
	return met == YES ? "yes" : met == NO ? "no" : "unknown";
}

static json_t *limit_row(struct writer *writer, const struct rule *rule, const struct limit_result *result)
{
	const struct limit *limit = result->limit;
	json_t *row = json_object();
	if (limit->says) {
		set(writer, row, "says", json_string(limit->says));
	} else {
		set(writer, row, "relation", json_string(relation_word(limit->relation)));
		set_number(writer, row, result->at, shown_kind(rule, limit->value.kind));
	}
	set(writer, row, "source", text_or_null(limit->source ? limit->source->key : NULL));
	set(writer, row, "clause", text_or_null(limit->clause));
	set(writer, row, "known", json_string(reading_word(limit->reading)));
	set(writer, row, "how_known", json_string(wording_reading(&writer->arena, limit)));
	set(writer, row, "applies", json_boolean(result->applied));
	set(writer, row, "aside", text_or_null(result->aside));
	set(writer, row, "met", json_string(result->applied ? met_word(result->met) : "unknown"));
	set(writer, row, "context", json_boolean(limit->context));
	set(writer, row, "governs", json_boolean(result->governs));
	set(writer, row, "borderline", json_boolean(result->borderline));
	return row;
}

static json_t *missing_rows(struct writer *writer, const struct finding *finding)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < finding->missing_count; i++) {
		json_t *row = json_object();
		const struct missing *missing = &finding->missing[i];
		set(writer, row, "item", text_or_null(missing->item ? missing->item->tag : NULL));
		set(writer, row, "quantity", json_string(missing->quantity));
		set(writer, row, "reason", json_string(missing->reason));
		append(writer, rows, row);
	}
	return rows;
}

static const char *knowledge_word(const struct quantity *quantity)
{
	static const char *const words[] = {"unknown", "stated", "computed", "assumed"};
	return words[quantity ? quantity->known : UNKNOWN];
}

/* What went into a finding or a number, and how it is known: by which document and where in which file, or why assumed. */
static json_t *input_row(struct writer *writer, const struct input *input)
{
	json_t *row = json_object();
	const struct quantity *quantity = input->quantity;
	bool stated = quantity && quantity->known == STATED && quantity->place.line > 0;
	set(writer, row, "symbol", json_string(input->symbol));
	set(writer, row, "name", json_string(input->name));
	set_value(writer, row, quantity);
	set(writer, row, "known", json_string(knowledge_word(quantity)));
	set(writer, row, "reason", text_or_null(quantity && quantity->known != STATED ? quantity->reason : NULL));
	set(writer, row, "document", text_or_null(quantity && quantity->known == STATED ? quantity->document : NULL));
	set(writer, row, "file", text_or_null(stated ? quantity->place.file : NULL));
	set(writer, row, "line", stated ? json_integer(quantity->place.line) : json_null());
	return row;
}

static json_t *input_rows(struct writer *writer, const struct input *inputs, size_t count)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < count; i++)
		append(writer, rows, input_row(writer, &inputs[i]));
	return rows;
}

static json_t *limit_rows(struct writer *writer, const struct finding *finding)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < finding->limit_count; i++)
		append(writer, rows, limit_row(writer, finding->rule, &finding->limits[i]));
	return rows;
}

static json_t *outcome_rows(struct writer *writer, const struct finding *finding)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < finding->outcome_count; i++) {
		const struct outcome *outcome = &finding->cases[i];
		json_t *row = json_object();
		set(writer, row, "case", json_string(table_case(writer->review->table, outcome->operating_case)->id));
		set(writer, row, "verdict", json_string(verdict_word(outcome->verdict)));
		set_value_as(writer, row, outcome->value,
			outcome->value ? shown_kind(finding->rule, outcome->value->kind) : KIND_TEXT);
		set(writer, row, "other_cause", text_or_null(*outcome->cause ? outcome->cause : NULL));
		json_array_append_new(rows, row);
	}
	return rows;
}

static json_t *finding_row(struct writer *writer, const struct finding *finding)
{
	json_t *row = json_object();
	size_t told = finding->verdict == VERDICT_MEETS ? 0 : finding->input_count; /* a third of the bytes */
	set(writer, row, "id", json_string(finding_id(&writer->arena, finding)));
	set(writer, row, "rule", json_string(finding->rule->id));
	set(writer, row, "title", json_string(finding->rule->title));
	set(writer, row, "matter", json_string(finding->rule->matter));
	set(writer, row, "consequence", json_string(consequence_word(finding->rule->consequence)));
	set(writer, row, "item", json_string(finding->item->tag));
	set(writer, row, "kind", json_string(finding->item->kind));
	set(writer, row, "case",
		json_string(finding->operating_case == EVERY_CASE
				? "every case"
				: table_case(writer->review->table, finding->operating_case)->id));
	set(writer, row, "verdict", json_string(verdict_word(finding->verdict)));
	set(writer, row, "action", json_string(action_word(finding_action(finding))));
	set(writer, row, "force", json_string(force_word(finding->force)));
	set(writer, row, "why_force", json_string(finding->why_force));
	set(writer, row, "certainty", json_string(certainty_word(finding->certainty)));
	set_value_as(writer, row, finding->value,
		finding->value ? shown_kind(finding->rule, finding->value->kind) : KIND_TEXT);
	set(writer, row, "limits", limit_rows(writer, finding));
	set(writer, row, "governing",
		finding->governing && finding->governing->limit->source
			? json_string(finding->governing->limit->source->key)
			: json_null());
	if (finding->outcome_count)
		set(writer, row, "cases", outcome_rows(writer, finding));
	set(writer, row, "message", json_string(finding->message));
	set(writer, row, "remedy", json_string(finding->remedy));
	set(writer, row, "inputs", input_rows(writer, finding->inputs, told));
	set(writer, row, "missing", missing_rows(writer, finding));
	set(writer, row, "assumed", text_or_null(finding->assumed));
	set(writer, row, "remark", json_boolean(finding->remark));
	set(writer, row, "beneath",
		text_or_null(finding->beneath ? finding_id(&writer->arena, finding->beneath) : NULL));
	set(writer, row, "unsettled", text_or_null(finding->unsettled));
	set(writer, row, "turns", text_or_null(finding->turns));
	set(writer, row, "whatever", text_or_null(finding->whatever));
	if (review_nearest(writer->review, finding))
		set(writer, row, "nearest", json_nearest(writer->review, finding));
	if (writer->review->trials.rows)
		set(writer, row, "tried", json_trials(writer->review, finding));
	set(writer, row, "notes", json_notes(writer->review, finding->item));
	set(writer, row, "file", text_or_null(finding->item->place.file));
	set(writer, row, "line", json_integer(finding->item->place.line));
	return row;
}

static json_t *request_row(struct writer *writer, const struct request *request)
{
	json_t *row = json_object(), *rules = json_array();
	set(writer, row, "item", text_or_null(request->item ? request->item->tag : NULL));
	set(writer, row, "quantity", json_string(request->quantity));
	set(writer, row, "reason", json_string(request->reason));
	for (size_t i = 0; i < request->rule_count; i++)
		append(writer, rules, json_string(request->rules[i]->id));
	set(writer, row, "rules", rules);
	set(writer, row, "line", request->item ? json_integer(request->item->place.line) : json_null());
	return row;
}

static json_t *question_row(struct writer *writer, const struct question *question)
{
	static const char *const actions[] = {"resolve", "justify", "consider"};
	json_t *row = json_object(), *rules = json_array(), *items = json_array();
	set(writer, row, "id", json_string(question_id(&writer->arena, question)));
	set(writer, row, "question", json_string(question->words));
	set(writer, row, "who", json_string(answerer_word(question->who)));
	set(writer, row, "stage", json_string(stage_word(question->stage)));
	set(writer, row, "now", json_boolean(!question->later));
	set(writer, row, "worst", json_string(actions[question->force]));
	set(writer, row, "alone", json_boolean(question->alone));
	set(writer, row, "verdicts", json_integer((json_int_t)question->verdicts));
	set(writer, row, "turns", text_or_null(*question->turns ? question->turns : NULL));
	for (size_t i = 0; i < question->rule_count; i++)
		append(writer, rules, json_string(question->rules[i]->id));
	for (size_t i = 0; i < question->request_count; i++) {
		const struct request *request = question->requests[i];
		json_t *item = json_object();
		set(writer, item, "item", text_or_null(request->item ? request->item->tag : NULL));
		set(writer, item, "quantity", json_string(request->quantity));
		append(writer, items, item);
	}
	set(writer, row, "rules", rules);
	set(writer, row, "items", items);
	return row;
}

static json_t *source_row(struct writer *writer, const struct source *source)
{
	json_t *row = json_object();
	set(writer, row, "key", json_string(source->key));
	set(writer, row, "author", json_string(source->author));
	set(writer, row, "title", json_string(source->title));
	set(writer, row, "year", text_or_null(source->year));
	set(writer, row, "edition", text_or_null(source->edition));
	set(writer, row, "through", text_or_null(source->through));
	set(writer, row, "known", json_string(reading_word(source->reading)));
	set(writer, row, "how_known", json_string(wording_known(source->reading)));
	set(writer, row, "named", json_boolean(source->named));
	return row;
}

static json_t *working_row(struct writer *writer, const struct working *working)
{
	json_t *row = json_object();
	const struct quantity *quantity = working->value.quantity;
	set(writer, row, "item", json_string(working->item->tag));
	set(writer, row, "case",
		text_or_null(working->operating_case == EVERY_CASE
				? NULL
				: table_case(writer->review->table, working->operating_case)->id));
	set(writer, row, "name", json_string(working->value.name));
	set_value(writer, row, quantity);
	const struct quantity *second = quantity->second;
	bool number = second && kind_is_number(second->kind);
	set(writer, row, "second",
		number ? json_real(quantity_in(second->si, second->kind, kind_unit(second->kind))) : json_null());
	set(writer, row, "second_by", text_or_null(number ? second->formula->name : NULL));
	set(writer, row, "estimated",
		json_boolean(writer->review->lean_side->circuit->no_data && no_data_reaches(quantity)));
	set(writer, row, "formula", text_or_null(quantity->formula ? quantity->formula->text : NULL));
	set(writer, row, "source", text_or_null(quantity->formula ? quantity->formula->source : NULL));
	json_t *inputs = input_rows(writer, quantity->inputs, quantity->input_count);
	set(writer, row, "inputs", inputs);
	for (size_t i = 0; i < quantity->input_count; i++) {
		const char *assumed =
			working_assumption(&writer->arena, writer->review->table, working, &quantity->inputs[i]);
		if (!assumed)
			continue;
		set(writer, json_array_get(inputs, i), "known", json_string("assumed"));
		set(writer, json_array_get(inputs, i), "reason", json_string(assumed));
	}
	return row;
}

/* A deviation that the description records, and whether it sets anything aside. */
static json_t *deviation_row(struct writer *writer, const struct deviation *deviation)
{
	static const char *const words[] = {"rule", "item", "because", "approved", "until"};
	json_t *row = json_object();
	for (size_t i = 0; i < COUNT(words); i++)
		set(writer, row, words[i],
			text_or_null(table_word(writer->review->table, deviation->item, EVERY_CASE, words[i])));
	set(writer, row, "state", json_string(deviation_word(deviation->state)));
	set(writer, row, "line", json_integer(deviation->item->place.line));
	return row;
}

static json_t *mechanism_rows(struct writer *writer)
{
	json_t *rows = json_array();
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		if (!damage_concerns(writer->review->table, (enum mechanism)m))
			continue;
		json_t *row = json_object();
		set(writer, row, "name", json_string(mechanisms[m].name));
		set(writer, row, "where", json_string(mechanisms[m].where));
		set(writer, row, "how", json_string(mechanisms[m].how));
		set(writer, row, "source", json_string(mechanisms[m].source));
		append(writer, rows, row);
	}
	return rows;
}

static json_t *damage_row(struct writer *writer, const struct damage *damage)
{
	json_t *row = json_object(), *answers = json_array();
	set(writer, row, "item", json_string(damage->item->tag));
	set(writer, row, "condition", json_string(damage->condition));
	set(writer, row, "look", json_string(urgency_word(damage->urgency)));
	set(writer, row, "not_known", json_string(damage->open));
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		if (!damage_concerns(writer->review->table, (enum mechanism)m))
			continue;
		json_t *one = json_object();
		set(writer, one, "mechanism", json_string(mechanisms[m].name));
		set(writer, one, "credible", json_string(met_word(damage->answers[m].credible)));
		set(writer, one, "why", json_string(damage->answers[m].why));
		append(writer, answers, one);
	}
	set(writer, row, "mechanisms", answers);
	return row;
}

static json_t *damage_rows(struct writer *writer)
{
	json_t *root = json_object(), *items = json_array();
	set(writer, root, "mechanisms", mechanism_rows(writer));
	for (size_t i = 0; i < writer->review->damage_count; i++)
		append(writer, items, damage_row(writer, &writer->review->damage[i]));
	set(writer, root, "items", items);
	return root;
}

static json_t *case_rows(struct writer *writer)
{
	json_t *rows = json_array();
	const struct table *table = writer->review->table;
	for (size_t i = 0; i < table_case_count(table); i++) {
		json_t *row = json_object();
		set(writer, row, "id", json_string(table_case(table, (int)i)->id));
		set(writer, row, "title", json_string(table_case(table, (int)i)->title));
		set(writer, row, "upset", json_boolean(table_case(table, (int)i)->upset));
		append(writer, rows, row);
	}
	return rows;
}

static json_t *change_rows(struct writer *writer)
{
	json_t *rows = json_array();
	const struct catalogue *catalogue = writer->review->catalogue;
	for (size_t i = 0; i < catalogue->change_count; i++) {
		json_t *row = json_object();
		set(writer, row, "rule", json_string(catalogue->changes[i].rule->id));
		set(writer, row, "what", json_string(catalogue->changes[i].what));
		set(writer, row, "why", text_or_null(catalogue->changes[i].why));
		append(writer, rows, row);
	}
	return rows;
}

static json_t *unit_row(struct writer *writer)
{
	const struct review *review = writer->review;
	json_t *row = json_object();
	set(writer, row, "number", text_or_null(review->number));
	set(writer, row, "name", text_or_null(review->name));
	set(writer, row, "revision", text_or_null(review->revision));
	set(writer, row, "date", text_or_null(review->date));
	set(writer, row, "document_number", text_or_null(review->document_number));
	set(writer, row, "file", json_string(review->file));
	set(writer, row, "profile", text_or_null(review->catalogue->profile_name));
	set(writer, row, "profile_changes", change_rows(writer));
	set(writer, row, "items", json_integer((json_int_t)review->item_count));
	set(writer, row, "rules", json_integer((json_int_t)review->catalogue->rule_count));
	set(writer, row, "cases", case_rows(writer));
	return row;
}

static json_t *count_row(struct writer *writer)
{
	static const char *const names[] = {"resolve", "justify", "consider", "state"};
	json_t *row = json_object();
	for (size_t i = 0; i < ACTION_KINDS; i++)
		set(writer, row, names[i], json_integer((json_int_t)writer->review->counts[i]));
	return row;
}

/* The values that a reply names, and what came of them. */
static json_t *applied_object(struct writer *writer, const struct reply_applied *applied)
{
	if (!applied)
		return json_null();
	json_t *object = json_object(), *rows = json_array();
	for (size_t i = 0; i < applied->changes.count; i++) {
		const struct reply_change *change = &applied->changes.rows[i];
		json_t *row = json_object();
		set(writer, row, "item", text_or_null(change->item ? change->item->tag : ""));
		set(writer, row, "name", json_string(change->name));
		set(writer, row, "value", json_string(change->written));
		set(writer, row, "interpreted", json_boolean(change->interpreted));
		append(writer, rows, row);
	}
	set(writer, object, "changes", rows);
	set(writer, object, "outcome", json_string(reply_outcome_word(applied->outcome)));
	set(writer, object, "words", json_string(applied->words));
	return object;
}

/* What became of the replies to the last round. */
static json_t *round_object(struct writer *writer, const struct round *round)
{
	json_t *object = json_object(), *rows = json_array(), *counts = json_object();
	for (int s = 0; s < ROUND_STATES; s++)
		set(writer, counts, round_word((enum round_state)s), json_integer((json_int_t)round->counts[s]));
	for (size_t i = 0; i < round->count; i++) {
		json_t *row = json_object();
		set(writer, row, "id", json_string(round->rows[i].id));
		set(writer, row, "state", json_string(round_word(round->rows[i].state)));
		set(writer, row, "status", json_string(round_status(round->rows[i].state)));
		set(writer, row, "reply", text_or_null(round->rows[i].reply));
		set(writer, row, "why", json_string(round->rows[i].why));
		set(writer, row, "line", round->rows[i].line ? json_integer(round->rows[i].line) : json_null());
		set(writer, row, "applied", applied_object(writer, round->rows[i].applied));
		append(writer, rows, row);
	}
	set(writer, object, "file", json_string(round->file));
	set(writer, object, "counts", counts);
	set(writer, object, "rows", rows);
	return object;
}

/* By rule: what it would have to be told, and of which items, to be judged at all. */
static json_t *silent_rows(struct writer *writer)
{
	const struct judgement *judgement = &writer->review->judgement;
	json_t *rows = json_array(), *items = NULL;
	const struct rule *last = NULL;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->verdict != VERDICT_NOT_APPLICABLE || !finding->missing_count)
			continue;
		if (finding->rule != last) {
			json_t *row = json_object(), *quantities = json_array();
			items = json_array();
			for (size_t k = 0; k < finding->missing_count; k++)
				append(writer, quantities, json_string(finding->missing[k].quantity));
			set(writer, row, "rule", json_string(finding->rule->id));
			set(writer, row, "quantities", quantities);
			set(writer, row, "items", items);
			append(writer, rows, row);
			last = finding->rule;
		}
		append(writer, items, json_string(finding->item->tag));
	}
	return rows;
}

static void write_lists(struct writer *writer, struct json_record *record)
{
	const struct review *review = writer->review;
	json_record_rows(record, "deviations");
	for (size_t i = 0; i < review->deviation_count; i++)
		json_record_row(record, deviation_row(writer, &review->deviations[i]));
	json_record_end_rows(record);
	json_record_member(record, "claims", json_claims(review));
	json_record_member(record, "damage", damage_rows(writer));
	json_record_member(record, "columns", json_columns(review));
	json_record_rows(record, "workings");
	for (size_t i = 0; i < review->working_count; i++)
		json_record_row(record, working_row(writer, &review->workings[i]));
	json_record_end_rows(record);
	json_record_rows(record, "sources");
	for (size_t i = 0; i < review->source_count; i++)
		json_record_row(record, source_row(writer, review->sources[i]));
	json_record_end_rows(record);
	json_record_rows(record, "not_applicable");
	for (size_t i = 0; i < review->judgement.idle_count; i++)
		json_record_row(record, json_string(review->judgement.idle[i]->id));
	json_record_end_rows(record);
	json_record_member(record, "judged_if_stated", silent_rows(writer));
}

static void write_record(struct writer *writer, struct json_record *record)
{
	const struct review *review = writer->review;
	json_record_member(record, "record", json_string("leanrich review"));
	json_record_member(record, "version", json_integer(RECORD_VERSION));
	json_record_member(record, "unit", unit_row(writer));
	json_record_rows(record, "cautions");
	for (size_t i = 0; review_cautions[i]; i++)
		json_record_row(record, json_string(review_cautions[i]));
	json_record_end_rows(record);
	json_record_member(record, "counts", count_row(writer));
	json_record_rows(record, "findings");
	for (size_t i = 0; i < review->judgement.count; i++)
		if (review->judgement.findings[i].verdict != VERDICT_NOT_APPLICABLE)
			json_record_row(record, finding_row(writer, &review->judgement.findings[i]));
	json_record_end_rows(record);
	json_record_member(record, "matters", json_matters(review));
	json_record_rows(record, "questions");
	for (size_t i = 0; i < review->questions.count; i++)
		json_record_row(record, question_row(writer, &review->questions.rows[i]));
	json_record_end_rows(record);
	json_record_rows(record, "requests");
	for (size_t i = 0; i < review->request_count; i++)
		json_record_row(record, request_row(writer, &review->requests[i]));
	json_record_end_rows(record);
	json_record_member(record, "sulfide", json_sulfide(review));
	if (review->reconciled)
		json_record_member(record, "reconciliation", json_reconciliation(review));
	if (review->round)
		json_record_member(record, "round", round_object(writer, review->round));
	write_lists(writer, record);
	json_record_member(record, "owed", json_owed(review));
	json_record_member(record, "not_recorded", json_not_recorded(review));
	json_record_member(record, "unread", json_unread(review));
	json_record_member(record, "notes", json_notes(review, NULL));
}

bool write_json(const struct review *review, FILE *out)
{
	struct writer writer = {.review = review};
	struct json_record record;
	json_record_open(&record, out, JSON_REAL_PRECISION(DIGITS));
	write_record(&writer, &record);
	arena_release(&writer.arena);
	return json_record_close(&record) && !writer.failed;
}
