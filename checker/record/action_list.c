#include "record/action_list.h"

#include <ctype.h>

#include "base/text.h"
#include "judge/wording.h"
#include "record/round.h"

const char *const action_heads[ACTION_COLUMNS] = {"Id", "Action", "Rule", "Item", "Case", "Finding", "Value",
	"Governing limit", "Source", "How known", "Certainty", "What to do", "Description line", "Reply", "Attribute",
	"New value", "As applied", "Status", "Unit", "Matter"};

const char *anchor_of_flag(struct arena *arena, enum action action, const struct rule *rule)
{
	char *anchor = arena_format(arena, "%s-%s", action_word(action), rule->id);
	*anchor = (char)tolower((unsigned char)*anchor);
	return anchor;
}

const char *anchor_of_question(struct arena *arena, const struct question *question)
{
	char *anchor = arena_format(arena, "ask-%s", question->key);
	for (char *at = anchor; *at; at++)
		*at = isalnum((unsigned char)*at) ? (char)tolower((unsigned char)*at) : '-';
	return anchor;
}

/* "3 Stress relief": its row on the first page or among the actions of the review. */
static const char *matter_cell(struct arena *arena, const struct review *review, size_t index)
{
	return arena_format(arena, "%zu %s", index + 1, review->matters.rows[index].cause);
}

/* What to do, and what came of it where it was tried. */
static const char *remedy_cell(struct arena *arena, const struct review *review, const struct finding *finding)
{
	const char *tried = trials_words(arena, &review->trials, finding);
	return *tried ? arena_format(arena, "%s %s", finding->remedy, tried) : finding->remedy;
}

static struct action_row finding_row(
	struct arena *arena, const struct review *review, const struct finding *finding, size_t index)
{
	enum action action = finding_action(finding);
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	const struct round_row *reply = round_of_finding(review, finding);
	return (struct action_row){.action = action,
		.anchor = anchor_of_flag(arena, action, finding->rule),
		.cells = {
			[COLUMN_ID] = finding_id(arena, finding),
			[COLUMN_ACTION] = action_word(action),
			[COLUMN_RULE] = finding->rule->id,
			[COLUMN_ITEM] = finding->item->tag,
			[COLUMN_CASE] = finding_case(review, finding),
			[COLUMN_FINDING] = finding->message,
			[COLUMN_VALUE] = finding->value ? quantity_show_both(arena, finding->value) : "",
			[COLUMN_LIMIT] = limit ? wording_limit(arena, limit) : "",
			[COLUMN_SOURCE] = limit && limit->source ? wording_source(arena, limit->source) : "",
			[COLUMN_KNOWN] = limit ? wording_reading(arena, limit) : "",
			[COLUMN_CERTAINTY] = certainty_word(finding->certainty),
			[COLUMN_REMEDY] = remedy_cell(arena, review, finding),
			[COLUMN_PLACE] =
				arena_format(arena, "%s:%d", finding->item->place.file, finding->item->place.line),
			[COLUMN_REPLY] = reply ? reply->reply : "",
			[COLUMN_ATTRIBUTE] = reply && reply->cells.attribute ? reply->cells.attribute : "",
			[COLUMN_NEW_VALUE] = reply && reply->cells.value ? reply->cells.value : "",
			[COLUMN_APPLIED] = reply && reply->applied ? reply->applied->words : "",
			[COLUMN_STATUS] = reply ? round_status(reply->state) : "open",
			[COLUMN_UNIT] = review->number,
			[COLUMN_MATTER] = matter_cell(arena, review, index),
		}};
}

/* Every item behind the question: who works from the sheet has no other list. */
static struct action_row question_row(struct arena *arena, const struct review *review, const struct question *question)
{
	const struct round_row *reply = round_of_question(review, question);
	struct text rules = text_in(arena);
	for (size_t i = 0; i < question->rule_count; i++)
		text_addf(&rules, "%s%s", i ? " " : "", question->rules[i]->id);
	return (struct action_row){.action = ACTION_STATE,
		.anchor = anchor_of_question(arena, question),
		.cells = {
			[COLUMN_ID] = question_id(arena, question),
			[COLUMN_ACTION] = action_word(ACTION_STATE),
			[COLUMN_RULE] = rules.data,
			[COLUMN_ITEM] = question_items(arena, question, question->request_count),
			[COLUMN_CASE] = "",
			[COLUMN_FINDING] = arena_format(arena, "%s (%s)", question->words, question->what),
			[COLUMN_VALUE] = "",
			[COLUMN_LIMIT] = "",
			[COLUMN_SOURCE] = "",
			[COLUMN_KNOWN] = "",
			[COLUMN_CERTAINTY] = "",
			[COLUMN_REMEDY] =
				arena_format(arena, "Ask %s; can lead to %s. %s", answerer_word(question->who),
					action_word((enum action)question->force), question->turns),
			[COLUMN_PLACE] = "",
			[COLUMN_REPLY] = reply ? reply->reply : "",
			[COLUMN_ATTRIBUTE] = reply && reply->cells.attribute ? reply->cells.attribute : "",
			[COLUMN_NEW_VALUE] = reply && reply->cells.value ? reply->cells.value : "",
			[COLUMN_APPLIED] = reply && reply->applied ? reply->applied->words : "",
			[COLUMN_STATUS] = reply ? round_status(reply->state) : "open",
			[COLUMN_UNIT] = review->number,
			[COLUMN_MATTER] = "",
		}};
}

size_t action_list(struct arena *arena, const struct review *review, const struct action_row **out)
{
	size_t all = review->questions.now, count = 0;
	for (size_t i = 0; i < review->matters.count; i++)
		all += review->matters.rows[i].count;
	struct action_row *rows = arena_alloc(arena, (all + 1) * sizeof *rows);
	for (size_t i = 0; i < review->matters.count; i++)
		for (size_t k = 0; k < review->matters.rows[i].count; k++)
			rows[count++] = finding_row(arena, review, review->matters.rows[i].findings[k], i);
	for (size_t i = 0; i < review->questions.now; i++)
		rows[count++] = question_row(arena, review, &review->questions.rows[i]);
	*out = rows;
	return count;
}
