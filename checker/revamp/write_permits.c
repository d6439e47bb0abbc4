#include "revamp/write_permits.h"

#include <string.h>

#include "base/text.h"
#include "compute/title.h"
#include "record/questions.h"

enum { VERSION = 1 };

static const char *action_of(const struct completion *completion)
{
	return action_word((enum action)completion->force);
}

/* The items of one verdict are mostly one: it is said once, after the first of its values. */
const char *completion_words(struct arena *arena, const struct permit *permit, const struct completion *completion)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < permit->unknown_count; i++) {
		const struct permit_unknown *unknown = &permit->unknowns[i];
		bool same = i && permit->unknowns[i - 1].item == unknown->item;
		text_addf(&text, "%s%s%s%s %s", i ? ", " : "", title_of(arena, unknown->name), same ? "" : " of ",
			same ? "" : unknown->item->tag, completion->shown[i]);
	}
	return text.data ? text.data : "";
}

/* ---- text ---- */

/* Is there a range that says something? Where a number is tried only as far as such numbers go, it would be that of the search. */
static bool is_bounded(const struct permit *permit)
{
	bool bounded = permit->has_range;
	for (size_t i = 0; i < permit->unknown_count; i++)
		bounded = bounded && (!permit->unknowns[i].number || *permit->unknowns[i].within);
	return bounded;
}

static void print_range(const struct permit *permit, struct arena *arena, FILE *out)
{
	bool one = !(permit->largest > permit->least);
	if (permit->has_range && !is_bounded(permit))
		fprintf(out, "    value not bounded by the package; %zu completions of %zu tried are consistent\n",
			permit->consistent, permit->tries);
	else if (permit->has_range)
		fprintf(out, "    value %s%s%s, over %zu consistent completions of %zu tried\n",
			quantity_show_si(arena, permit->least, permit->kind, NULL), one ? "" : " to ",
			one ? "" : quantity_show_si(arena, permit->largest, permit->kind, NULL), permit->consistent,
			permit->tries);
}

static void print_departing(const struct permits_report *report, const struct permit *permit, FILE *out)
{
	struct arena *arena = report->arena;
	const struct finding *finding = permit->finding;
	fprintf(out, "  %-8s  %s %s on %s (%s)\n", action_of(permit->worst), finding->rule->id, finding->rule->title,
		finding->item->tag, consequence_word(finding->rule->consequence));
	fprintf(out, "    departs %swith %s\n", permit->bounded ? "at worst " : "",
		completion_words(arena, permit, permit->worst));
	if (permit->best)
		fprintf(out, "    %s with %s\n", permit->best->verdict == VERDICT_MEETS ? "meets" : "does not apply",
			completion_words(arena, permit, permit->best));
	print_range(permit, arena, out);
	for (size_t i = 0; i < permit->unknown_count; i++) {
		const struct permit_unknown *unknown = &permit->unknowns[i];
		if (*unknown->within)
			fprintf(out, "    %s of %s lies between %s and %s %s\n", title_of(arena, unknown->name),
				unknown->item->tag, quantity_show_si(arena, unknown->least, unknown->kind, NULL),
				quantity_show_si(arena, unknown->largest, unknown->kind, NULL), unknown->within);
	}
}

/* "hardness HAZ 249 HV": without whose it is. */
static const char *values_words(struct arena *arena, const struct permit *permit, const struct completion *completion)
{
	struct text text = text_in(arena);
	for (size_t i = 0; completion && i < permit->unknown_count; i++)
		text_addf(&text, "%s%s %s", i ? ", " : "", title_of(arena, permit->unknowns[i].name),
			completion->shown[i]);
	return text.data ? text.data : "";
}

/* Do they say the same of two items? What the package bounds is bounded for each item by itself. */
static bool is_alike(struct arena *arena, const struct permit *one, const struct permit *other)
{
	return one->finding->rule == other->finding->rule && one->worst->force == other->worst->force &&
		!one->bounded && !other->bounded && !one->best == !other->best &&
		(!one->best || one->best->verdict == other->best->verdict) &&
		strcmp(values_words(arena, one, one->worst), values_words(arena, other, other->worst)) == 0 &&
		strcmp(values_words(arena, one, one->best), values_words(arena, other, other->best)) == 0;
}

static void print_alike(const struct permits_report *report, const struct permit *const *rows, size_t count, FILE *out)
{
	const struct permit *first = rows[0];
	const struct rule *rule = first->finding->rule;
	fprintf(out, "  %-8s  %s %s on %zu items (%s):", action_of(first->worst), rule->id, rule->title, count,
		consequence_word(rule->consequence));
	for (size_t i = 0; i < count; i++)
		fprintf(out, "%s %s", i ? "," : "", rows[i]->finding->item->tag);
	fprintf(out, "\n    each departs with %s\n", values_words(report->arena, first, first->worst));
	if (first->best)
		fprintf(out, "    each %s with %s\n",
			first->best->verdict == VERDICT_MEETS ? "meets" : "does not apply",
			values_words(report->arena, first, first->best));
}

/* Rows of one rule with the same turn are one. */
static void print_all_departing(const struct permits_report *report, FILE *out)
{
	const struct permits *permits = &report->permits;
	bool *done = arena_alloc(report->arena, permits->departing + 1);
	const struct permit **alike = arena_alloc(report->arena, (permits->departing + 1) * sizeof *alike);
	for (size_t i = 0; i < permits->departing; i++) {
		size_t count = 0;
		if (done[i])
			continue;
		for (size_t k = i; k < permits->departing; k++)
			if (k == i || (!done[k] && is_alike(report->arena, &permits->rows[i], &permits->rows[k]))) {
				alike[count++] = &permits->rows[k];
				done[k] = true;
			}
		if (count == 1)
			print_departing(report, alike[0], out);
		else
			print_alike(report, alike, count, out);
	}
}

static void print_rest(const struct permits *permits, FILE *out)
{
	bool head = false;
	for (size_t i = permits->departing; i < permits->count; i++) {
		const struct permit *permit = &permits->rows[i];
		const struct finding *finding = permit->finding;
		if (!head)
			fputs("\nNo consistent completion that departs was found\n", out);
		head = true;
		fprintf(out, "  %s on %s: ", finding->rule->id, finding->item->tag);
		if (permit->why_not)
			fprintf(out, "not tried, %s\n", permit->why_not);
		else
			fprintf(out, "%zu of %zu tried are consistent%s\n", permit->consistent, permit->tries,
				permit->whole ? ", and these are all there are" : "");
	}
}

static void print_questions(const struct permits_report *report, FILE *out)
{
	const struct permits *permits = &report->permits;
	if (permits->question_count)
		fputs("\nQuestions by what their answers could turn at worst (in brackets: their place in the "
		      "review)\n",
			out);
	for (size_t i = 0; i < permits->question_count; i++) {
		const struct permit_question *row = &permits->questions[i];
		fprintf(out, "  %zu (%zu) %s", i + 1, row->now + 1, row->question->words);
		if (row->worst)
			fprintf(out, " %s: %s on %s departs with %s; %zu verdicts can turn\n",
				action_of(row->worst->worst), row->worst->finding->rule->id,
				row->worst->finding->item->tag,
				completion_words(report->arena, row->worst, row->worst->worst), row->turned);
		else
			fputs(" no consistent answer that departs was found\n", out);
	}
}

void write_permits_text(const struct permits_report *report, FILE *out)
{
	const struct permits *permits = &report->permits;
	fprintf(out,
		"%s %s, revision %s: %zu open verdicts; %zu can depart by values with which the package stays "
		"consistent, %zu were not found to, %zu not tried\n",
		report->unit.number, report->unit.name, report->unit.revision, permits->count, permits->departing,
		permits->tried - permits->departing, permits->count - permits->tried);
	for (size_t i = 0; i < report->doubtful.count; i++)
		fprintf(out, "Note: %s\n", report->doubtful.words[i]);
	if (permits->departing)
		fputs("\nCan depart: a completion of each, the worst that was found where the package bounds it\n",
			out);
	print_all_departing(report, out);
	print_rest(permits, out);
	print_questions(report, out);
	fputc('\n', out);
	for (size_t i = 0; review_cautions[i]; i++)
		fprintf(out, "%s\n", review_cautions[i]);
}

/* ---- the record ---- */

static json_t *completion_object(const struct permit *permit, const struct completion *completion)
{
	if (!completion)
		return json_null();
	json_t *values = json_array();
	for (size_t i = 0; i < permit->unknown_count; i++)
		json_array_append_new(values,
			json_pack("{s:s, s:s, s:s}", "item", permit->unknowns[i].item->tag, "name",
				permit->unknowns[i].name, "value", completion->shown[i]));
	return json_pack("{s:s, s:s, s:o, s:s}", "verdict", verdict_word(completion->verdict), "action",
		action_of(completion), "values", values, "message", completion->message);
}

static json_t *unknown_rows(struct arena *arena, const struct permit *permit)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < permit->unknown_count; i++) {
		const struct permit_unknown *unknown = &permit->unknowns[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s?, s:s?, s:s, s:i}", "item", unknown->item->tag, "name", unknown->name,
				"least",
				unknown->number ? quantity_show_si(arena, unknown->least, unknown->kind, NULL) : NULL,
				"largest",
				unknown->number ? quantity_show_si(arena, unknown->largest, unknown->kind, NULL) : NULL,
				"within", unknown->within, "values", (int)unknown->count));
	}
	return rows;
}

static json_t *value_in(const struct permit *permit, double si)
{
	return is_bounded(permit) ? record_number(quantity_in(si, permit->kind, kind_unit(permit->kind))) : json_null();
}

static json_t *permit_object(struct arena *arena, const struct permit *permit)
{
	const struct rule *rule = permit->finding->rule;
	return json_pack("{s:s, s:s, s:s, s:s, s:s, s:o, s:i, s:i, s:b, s:b, s:o, s:o, s:s?, s:o, s:o, s:s?}", "id",
		finding_id(arena, permit->finding), "rule", rule->id, "title", rule->title, "item",
		permit->finding->item->tag, "consequence", consequence_word(rule->consequence), "unknowns",
		unknown_rows(arena, permit), "tries", (int)permit->tries, "consistent", (int)permit->consistent,
		"whole", (int)permit->whole, "bounded", (int)permit->bounded, "least", value_in(permit, permit->least),
		"largest", value_in(permit, permit->largest), "unit",
		is_bounded(permit) ? kind_unit(permit->kind) : NULL, "worst", completion_object(permit, permit->worst),
		"best", completion_object(permit, permit->best), "not_tried", permit->why_not);
}

static json_t *question_object(struct arena *arena, const struct permit_question *row)
{
	return json_pack("{s:s, s:s, s:i, s:i, s:s?}", "id", question_id(arena, row->question), "question",
		row->question->words, "place_in_review", (int)row->now + 1, "verdicts", (int)row->turned, "worst",
		row->worst ? finding_id(arena, row->worst->finding) : NULL);
}

bool write_permits_json(const struct permits_report *report, FILE *out)
{
	const struct permits *permits = &report->permits;
	json_t *rows = json_array(), *questions = json_array(), *notes = json_array();
	for (size_t i = 0; i < report->doubtful.count; i++)
		json_array_append_new(notes, json_string(report->doubtful.words[i]));
	for (size_t i = 0; i < permits->count; i++)
		json_array_append_new(rows, permit_object(report->arena, &permits->rows[i]));
	for (size_t i = 0; i < permits->question_count; i++)
		json_array_append_new(questions, question_object(report->arena, &permits->questions[i]));
	return record_save(
		json_pack("{s:s, s:i, s:o, s:o, s:o, s:o}", "record", "leanrich permits", "version", VERSION, "unit",
			record_unit(&report->unit), "verdicts", rows, "questions", questions, "notes", notes),
		out);
}
