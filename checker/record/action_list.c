#include "record/action_list.h"

#include <ctype.h>

#include "base/text.h"
#include "judge/wording.h"
#include "record/round.h"

const char *const action_heads[ACTION_COLUMNS] = {"Id", "Action", "Rule", "Item", "Case", "Finding", "Value",
	"Governing limit", "Source", "How known", "Certainty", "What to do", "Description line", "Reply", "Status",
	"Unit"};

const char *anchor_of_flag(struct arena *arena, enum action action, const struct rule *rule)
{
	char *anchor = arena_format(arena, "%s-%s", action_word(action), rule->id);
	*anchor = (char)tolower((unsigned char)*anchor);
	return anchor;
}

const char *anchor_of_request(struct arena *arena, const struct item *item)
{
	return item ? arena_format(arena, "state-%zu", item->index) : "state";
}

static struct action_row finding_row(
	struct arena *arena, const struct review *review, const struct finding *finding, enum action action)
{
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
			[COLUMN_REMEDY] = finding->remedy,
			[COLUMN_PLACE] =
				arena_format(arena, "%s:%d", finding->item->place.file, finding->item->place.line),
			[COLUMN_REPLY] = reply ? reply->reply : "",
			[COLUMN_STATUS] = reply ? round_status(reply->state) : "open",
			[COLUMN_UNIT] = review->number,
		}};
}

static struct action_row request_row(struct arena *arena, const struct review *review, const struct request *request)
{
	const struct round_row *reply = round_of_request(review, request);
	struct text rules = text_in(arena);
	for (size_t i = 0; i < request->rule_count; i++)
		text_addf(&rules, "%s%s", i ? " " : "", request->rules[i]->id);
	const struct item *item = request->item;
	return (struct action_row){.action = ACTION_STATE,
		.anchor = anchor_of_request(arena, item),
		.cells = {
			[COLUMN_ID] = request_id(arena, request),
			[COLUMN_ACTION] = action_word(ACTION_STATE),
			[COLUMN_RULE] = rules.data,
			[COLUMN_ITEM] = item ? item->tag : "",
			[COLUMN_CASE] = "",
			[COLUMN_FINDING] = request->reason,
			[COLUMN_VALUE] = "",
			[COLUMN_LIMIT] = "",
			[COLUMN_SOURCE] = "",
			[COLUMN_KNOWN] = "",
			[COLUMN_CERTAINTY] = "",
			[COLUMN_REMEDY] = "State it in the description.",
			[COLUMN_PLACE] = item ? arena_format(arena, "%s:%d", item->place.file, item->place.line) : "",
			[COLUMN_REPLY] = reply ? reply->reply : "",
			[COLUMN_STATUS] = reply ? round_status(reply->state) : "open",
			[COLUMN_UNIT] = review->number,
		}};
}

size_t action_list(struct arena *arena, const struct review *review, const struct action_row **out)
{
	size_t all = review->request_count, count = 0;
	for (size_t i = 0; i < review->flag_count; i++)
		all += review->flags[i].count;
	struct action_row *rows = arena_alloc(arena, (all + 1) * sizeof *rows);
	for (size_t i = 0; i < review->flag_count; i++)
		for (size_t k = 0; k < review->flags[i].count; k++)
			rows[count++] =
				finding_row(arena, review, review->flags[i].findings[k], review->flags[i].action);
	for (size_t i = 0; i < review->request_count; i++)
		rows[count++] = request_row(arena, review, &review->requests[i]);
	*out = rows;
	return count;
}
