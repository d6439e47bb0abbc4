#include "write/write.h"

#include <string.h>

#include "write/write_json.h"
#include "write/round.h"

enum { RECORD_VERSION = 1 };

struct writer {
	struct arena arena;
	const struct review *review;
	struct record *out;
};

/* In the unit the kind shows first, so that the record reads like the document. */
static void set_number(struct writer *writer, double si, enum kind kind)
{
	double value = quantity_in(si, kind, kind_unit(kind));
	record_real(writer->out, "value", value);
	record_text(writer->out, "unit", kind_unit(kind));
}

static void set_line(struct writer *writer, int line)
{
	if (line)
		record_integer(writer->out, "line", line);
	else
		record_null(writer->out, "line");
}

static const char *bound_word(enum bound bound)
{
	return bound == BOUND_BELOW ? "below" : bound == BOUND_ABOVE ? "above" : NULL;
}

/* `kind`: whose unit a number is given in; it has the SI unit of the quantity's own. */
static void set_value_as(struct writer *writer, const struct quantity *quantity, enum kind kind)
{
	bool known = quantity && quantity->known != UNKNOWN;
	if (known && kind_is_number(quantity->kind)) {
		set_number(writer, quantity->si, kind);
	} else {
		if (known)
			record_text(writer->out, "value", quantity->word);
		else
			record_null(writer->out, "value");
		record_null(writer->out, "unit");
	}
	record_text_or_null(writer->out, "bound", known ? bound_word(quantity->bound) : NULL);
}

static void set_value(struct writer *writer, const struct quantity *quantity)
{
	set_value_as(writer, quantity, quantity ? quantity->kind : KIND_TEXT);
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

static void limit_row(struct writer *writer, const struct rule *rule, const struct limit_result *result)
{
	const struct limit *limit = result->limit;
	record_object(writer->out, NULL);
	if (limit->says) {
		record_text(writer->out, "says", limit->says);
	} else {
		record_text(writer->out, "relation", relation_word(limit->relation));
		set_number(writer, result->at, shown_kind(rule, limit->value.kind));
	}
	record_text_or_null(writer->out, "source", limit->source ? limit->source->key : NULL);
	record_text_or_null(writer->out, "clause", limit->clause);
	record_text(writer->out, "known", reading_word(limit->reading));
	record_flag(writer->out, "applies", result->applied);
	record_text_or_null(writer->out, "aside", result->aside);
	record_text(writer->out, "met", result->applied ? met_word(result->met) : "unknown");
	record_flag(writer->out, "context", limit->context);
	record_flag(writer->out, "governs", result->governs);
	record_flag(writer->out, "borderline", result->borderline);
	record_close(writer->out);
}

static void missing_rows(struct writer *writer, const struct finding *finding)
{
	for (size_t i = 0; i < finding->missing_count; i++) {
		record_object(writer->out, NULL);
		const struct missing *missing = &finding->missing[i];
		record_text_or_null(writer->out, "item", missing->item ? missing->item->tag : NULL);
		record_text(writer->out, "quantity", missing->quantity);
		record_text(writer->out, "reason", missing->reason);
		record_close(writer->out);
	}
}

static const char *knowledge_word(const struct quantity *quantity)
{
	static const char *const words[] = {"unknown", "stated", "computed", "assumed"};
	return words[quantity ? quantity->known : UNKNOWN];
}

/* What went into a finding or a number, and how it is known: by which document and where in which file, or why assumed. */
static void input_row(struct writer *writer, const struct input *input)
{
	record_object(writer->out, NULL);
	const struct quantity *quantity = input->quantity;
	bool stated = quantity && quantity->known == STATED && quantity->place.line > 0;
	record_text(writer->out, "symbol", input->symbol);
	record_text(writer->out, "name", input->name);
	set_value(writer, quantity);
	record_text(writer->out, "known", knowledge_word(quantity));
	record_text_or_null(writer->out, "reason", quantity && quantity->known != STATED ? quantity->reason : NULL);
	record_text_or_null(writer->out, "document", stated ? quantity->document : NULL);
	record_text_or_null(writer->out, "file", stated ? quantity->place.file : NULL);
	set_line(writer, stated ? quantity->place.line : 0);
	record_close(writer->out);
}

static void input_rows(struct writer *writer, const struct input *inputs, size_t count)
{
	for (size_t i = 0; i < count; i++)
		input_row(writer, &inputs[i]);
}

static void limit_rows(struct writer *writer, const struct finding *finding)
{
	for (size_t i = 0; i < finding->limit_count; i++)
		limit_row(writer, finding->rule, &finding->limits[i]);
}

static void finding_row(struct writer *writer, const struct finding *finding)
{
	record_object(writer->out, NULL);
	size_t told = finding->verdict == VERDICT_MEETS ? 0 : finding->input_count; /* a third of the bytes */
	record_text(writer->out, "id", finding_id(&writer->arena, finding));
	record_text(writer->out, "rule", finding->rule->id);
	record_text(writer->out, "title", finding->rule->title);
	record_text(writer->out, "item", finding->item->tag);
	record_text(writer->out, "kind", finding->item->kind);
	record_text(writer->out, "case",
		finding->operating_case == EVERY_CASE ? "every case"
						      : table_case(writer->review->table, finding->operating_case)->id);
	record_text(writer->out, "verdict", verdict_word(finding->verdict));
	record_text(writer->out, "action", action_word(finding_action(finding)));
	record_text(writer->out, "force", force_word(finding->force));
	record_text(writer->out, "why_force", finding->why_force);
	record_text(writer->out, "certainty", certainty_word(finding->certainty));
	set_value_as(
		writer, finding->value, finding->value ? shown_kind(finding->rule, finding->value->kind) : KIND_TEXT);
	record_array(writer->out, "limits");
	limit_rows(writer, finding);
	record_close(writer->out);
	const struct limit *governing = finding->governing ? finding->governing->limit : NULL;
	record_text_or_null(writer->out, "governing", governing && governing->source ? governing->source->key : NULL);
	record_text(writer->out, "message", finding->message);
	record_text(writer->out, "remedy", finding->remedy);
	record_array(writer->out, "inputs");
	input_rows(writer, finding->inputs, told);
	record_close(writer->out);
	record_array(writer->out, "missing");
	missing_rows(writer, finding);
	record_close(writer->out);
	record_text_or_null(writer->out, "file", finding->item->place.file);
	record_integer(writer->out, "line", finding->item->place.line);
	record_close(writer->out);
}

static void request_row(struct writer *writer, const struct request *request)
{
	record_object(writer->out, NULL);
	record_text_or_null(writer->out, "item", request->item ? request->item->tag : NULL);
	record_text(writer->out, "quantity", request->quantity);
	record_text(writer->out, "reason", request->reason);
	record_array(writer->out, "rules");
	for (size_t i = 0; i < request->rule_count; i++)
		record_text(writer->out, NULL, request->rules[i]->id);
	record_close(writer->out);
	set_line(writer, request->item ? request->item->place.line : 0);
	record_close(writer->out);
}

static void source_row(struct writer *writer, const struct source *source)
{
	record_object(writer->out, NULL);
	record_text(writer->out, "key", source->key);
	record_text(writer->out, "author", source->author);
	record_text(writer->out, "title", source->title);
	record_text_or_null(writer->out, "year", source->year);
	record_text_or_null(writer->out, "edition", source->edition);
	record_text_or_null(writer->out, "through", source->through);
	record_text(writer->out, "known", reading_word(source->reading));
	record_flag(writer->out, "named", source->named);
	record_close(writer->out);
}

static void working_row(struct writer *writer, const struct working *working)
{
	record_object(writer->out, NULL);
	const struct quantity *quantity = working->quantity;
	record_text(writer->out, "item", working->item->tag);
	record_text(writer->out, "name", working->name);
	set_value(writer, quantity);
	record_text_or_null(writer->out, "formula", quantity->formula ? quantity->formula->text : NULL);
	record_text_or_null(writer->out, "source", quantity->formula ? quantity->formula->source : NULL);
	record_array(writer->out, "inputs");
	input_rows(writer, quantity->inputs, quantity->input_count);
	record_close(writer->out);
	record_close(writer->out);
}

/* A deviation that the description records, and whether it sets anything aside. */
static void deviation_row(struct writer *writer, const struct deviation *deviation)
{
	static const char *const words[] = {"rule", "item", "because", "approved", "until"};
	record_object(writer->out, NULL);
	for (size_t i = 0; i < sizeof words / sizeof *words; i++)
		record_text_or_null(writer->out, words[i],
			table_word(writer->review->table, deviation->item, EVERY_CASE, words[i]));
	record_text(writer->out, "state", deviation_word(deviation->state));
	record_integer(writer->out, "line", deviation->item->place.line);
	record_close(writer->out);
}

static void mechanism_rows(struct writer *writer)
{
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		record_object(writer->out, NULL);
		record_text(writer->out, "name", mechanisms[m].name);
		record_text(writer->out, "where", mechanisms[m].where);
		record_text(writer->out, "how", mechanisms[m].how);
		record_text(writer->out, "source", mechanisms[m].source);
		record_close(writer->out);
	}
}

static void damage_row(struct writer *writer, const struct damage *damage)
{
	record_object(writer->out, NULL);
	record_text(writer->out, "item", damage->item->tag);
	record_array(writer->out, "mechanisms");
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		record_object(writer->out, NULL);
		record_text(writer->out, "mechanism", mechanisms[m].name);
		record_text(writer->out, "credible", met_word(damage->answers[m].credible));
		record_text(writer->out, "why", damage->answers[m].why);
		record_close(writer->out);
	}
	record_close(writer->out);
	record_close(writer->out);
}

static void damage_rows(struct writer *writer)
{
	record_array(writer->out, "mechanisms");
	mechanism_rows(writer);
	record_close(writer->out);
	record_array(writer->out, "items");
	for (size_t i = 0; i < writer->review->damage_count; i++)
		damage_row(writer, &writer->review->damage[i]);
	record_close(writer->out);
}

static void case_rows(struct writer *writer)
{
	const struct table *table = writer->review->table;
	for (size_t i = 0; i < table_case_count(table); i++) {
		record_object(writer->out, NULL);
		record_text(writer->out, "id", table_case(table, (int)i)->id);
		record_text(writer->out, "title", table_case(table, (int)i)->title);
		record_flag(writer->out, "upset", table_case(table, (int)i)->upset);
		record_close(writer->out);
	}
}

static void change_rows(struct writer *writer)
{
	const struct catalogue *catalogue = writer->review->catalogue;
	for (size_t i = 0; i < catalogue->change_count; i++) {
		record_object(writer->out, NULL);
		record_text(writer->out, "rule", catalogue->changes[i].rule->id);
		record_text(writer->out, "what", catalogue->changes[i].what);
		record_text_or_null(writer->out, "why", catalogue->changes[i].why);
		record_close(writer->out);
	}
}

static void unit_row(struct writer *writer)
{
	const struct review *review = writer->review;
	record_object(writer->out, "unit");
	record_text_or_null(writer->out, "number", review->number);
	record_text_or_null(writer->out, "name", review->name);
	record_text_or_null(writer->out, "revision", review->revision);
	record_text_or_null(writer->out, "date", review->date);
	record_text_or_null(writer->out, "document_number", review->document_number);
	record_text(writer->out, "file", review->file);
	record_text_or_null(writer->out, "profile", review->catalogue->profile_name);
	record_array(writer->out, "profile_changes");
	change_rows(writer);
	record_close(writer->out);
	record_integer(writer->out, "items", (long long)review->item_count);
	record_integer(writer->out, "rules", (long long)review->catalogue->rule_count);
	record_array(writer->out, "cases");
	case_rows(writer);
	record_close(writer->out);
	record_close(writer->out);
}

static void count_row(struct writer *writer)
{
	static const char *const names[] = {"resolve", "justify", "consider", "state"};
	record_object(writer->out, "counts");
	for (size_t i = 0; i < ACTION_KINDS; i++)
		record_integer(writer->out, names[i], (long long)writer->review->counts[i]);
	record_close(writer->out);
}

/* What became of the replies to the last round. */
static void round_fields(struct writer *writer, const struct round *round)
{
	record_text(writer->out, "file", round->file);
	record_object(writer->out, "counts");
	for (int i = 0; i < ROUND_STATES; i++)
		record_integer(writer->out, round_word((enum round_state)i), (long long)round->counts[i]);
	record_close(writer->out);
	record_array(writer->out, "rows");
	for (size_t i = 0; i < round->count; i++) {
		record_object(writer->out, NULL);
		record_text(writer->out, "id", round->rows[i].id);
		record_text(writer->out, "state", round_word(round->rows[i].state));
		record_text(writer->out, "status", round_status(round->rows[i].state));
		record_text_or_null(writer->out, "reply", round->rows[i].reply);
		record_text(writer->out, "why", round->rows[i].why);
		set_line(writer, round->rows[i].line);
		record_close(writer->out);
	}
	record_close(writer->out);
}

/* ---- the parts of the record, in their order ---- */

static void head(struct writer *writer)
{
	record_text(writer->out, "record", "leanrich review");
	record_integer(writer->out, "version", RECORD_VERSION);
	unit_row(writer);
	record_array(writer->out, "cautions");
	for (size_t i = 0; review_cautions[i]; i++)
		record_text(writer->out, NULL, review_cautions[i]);
	record_close(writer->out);
	count_row(writer);
}

static void findings(struct writer *writer)
{
	const struct judgement *judgement = &writer->review->judgement;
	record_array(writer->out, "findings");
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].verdict != VERDICT_NOT_APPLICABLE)
			finding_row(writer, &judgement->findings[i]);
	record_close(writer->out);
	record_array(writer->out, "requests");
	for (size_t i = 0; i < writer->review->request_count; i++)
		request_row(writer, &writer->review->requests[i]);
	record_close(writer->out);
}

static void analyses(struct writer *writer)
{
	const struct review *review = writer->review;
	record_object(writer->out, "sulfide");
	write_json_sulfide(review, writer->out);
	record_close(writer->out);
	if (review->round) {
		record_object(writer->out, "round");
		round_fields(writer, review->round);
		record_close(writer->out);
	}
	record_array(writer->out, "deviations");
	for (size_t i = 0; i < review->deviation_count; i++)
		deviation_row(writer, &review->deviations[i]);
	record_close(writer->out);
	record_object(writer->out, "damage");
	damage_rows(writer);
	record_close(writer->out);
}

static void ground(struct writer *writer)
{
	const struct review *review = writer->review;
	record_array(writer->out, "workings");
	for (size_t i = 0; i < review->working_count; i++)
		working_row(writer, &review->workings[i]);
	record_close(writer->out);
	record_array(writer->out, "sources");
	for (size_t i = 0; i < review->source_count; i++)
		source_row(writer, review->sources[i]);
	record_close(writer->out);
	record_array(writer->out, "not_applicable");
	for (size_t i = 0; i < review->judgement.idle_count; i++)
		record_text(writer->out, NULL, review->judgement.idle[i]->id);
	record_close(writer->out);
}

bool write_json(const struct review *review, FILE *out)
{
	struct record record;
	struct writer writer = {.review = review, .out = &record};
	record_begin(&record, out);
	record_object(&record, NULL);
	head(&writer);
	findings(&writer);
	analyses(&writer);
	ground(&writer);
	record_close(&record);
	arena_release(&writer.arena);
	return record_end(&record);
}
