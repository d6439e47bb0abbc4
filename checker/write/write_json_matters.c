/* What the findings come to: one row for each matter to settle, gravest first; the published failures nearest to a finding, and its remedies tried. */
#include "write/write_json.h"

json_t *json_matters(const struct review *review)
{
	json_t *rows = json_array();
	struct arena arena = {0};
	for (size_t i = 0; rows && i < review->matters.count; i++) {
		const struct open_matter *matter = &review->matters.rows[i];
		json_t *places = json_array(), *findings = json_array();
		for (size_t k = 0; k < matter->place_count; k++)
			json_array_append_new(places, json_string(matter->places[k]->tag));
		for (size_t k = 0; k < matter->count; k++)
			json_array_append_new(findings, json_string(finding_id(&arena, matter->findings[k])));
		json_t *row = json_pack("{s:I, s:s, s:s, s:s, s:s, s:s, s:s, s:o, s:o}", "number", (json_int_t)i + 1,
			"action", action_word((enum action)matter->lead->force), "cause", matter->cause, "consequence",
			consequence_word(matter->consequence), "certainty", certainty_word(matter->lead->certainty),
			"message", matter->lead->message, "remedy", matter->lead->remedy, "places", places, "findings",
			findings);
		json_array_append_new(rows, row);
	}
	arena_release(&arena);
	return rows;
}

json_t *json_nearest(const struct review *review, const struct finding *finding)
{
	const struct nearest *nearest = review_nearest(review, finding);
	json_t *rows = json_array();
	for (size_t i = 0; nearest && i < nearest->count; i++) {
		const struct likeness *row = &nearest->rows[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:s}", "name", row->account->name, "happened",
				row->account->happened, "source", row->account->source, "clause", row->account->clause,
				"alike", row->alike, "unlike", row->unlike, "unknown", row->unknown));
	}
	return rows;
}

static json_t *turns_of(const struct remedy_trial *trial)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < trial->turn_count; i++)
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:s}", "rule", trial->turns[i].rule->id, "item",
				trial->turns[i].item, "before", action_word(trial->turns[i].before), "after",
				action_word(trial->turns[i].after)));
	return rows;
}

json_t *json_trials(const struct review *review, const struct finding *finding)
{
	json_t *rows = json_array();
	size_t at = 0;
	for (const struct remedy_trial *trial; (trial = trials_of(&review->trials, finding, &at)) != NULL;)
		json_array_append_new(rows,
			json_pack("{s:s, s:s?, s:b, s:o}", "change", trial->change, "fault", trial->fault, "clears_own",
				trial->clears_own, "turns", turns_of(trial)));
	return rows;
}
