/* What the findings come to: one row for each matter to settle, gravest first; the published failures nearest to a finding, and its remedies tried. */
#include "write/write_json.h"

static void matter_row(struct json_out *out, const struct open_matter *matter, size_t number)
{
	struct arena arena = {0};
	json_out_object(out, NULL);
	json_out_whole(out, "number", (long long)number);
	json_out_words(out, "action", action_word((enum action)matter->lead->force));
	json_out_words(out, "cause", matter->cause);
	json_out_words(out, "consequence", consequence_word(matter->consequence));
	json_out_words(out, "certainty", certainty_word(matter->lead->certainty));
	json_out_words(out, "message", matter->lead->message);
	json_out_words(out, "remedy", matter->lead->remedy);
	json_out_array(out, "places");
	for (size_t i = 0; i < matter->place_count; i++)
		json_out_words(out, NULL, matter->places[i]->tag);
	json_out_end(out);
	json_out_array(out, "findings");
	for (size_t i = 0; i < matter->count; i++)
		json_out_words(out, NULL, finding_id(&arena, matter->findings[i]));
	json_out_end(out);
	json_out_end(out);
	arena_release(&arena);
}

void json_matters(struct json_out *out, const struct review *review)
{
	json_out_array(out, "matters");
	for (size_t i = 0; i < review->matters.count; i++)
		matter_row(out, &review->matters.rows[i], i + 1);
	json_out_end(out);
}

void json_nearest(struct json_out *out, const struct review *review, const struct finding *finding)
{
	const struct nearest *nearest = review_nearest(review, finding);
	json_out_array(out, "nearest");
	for (size_t i = 0; nearest && i < nearest->count; i++) {
		const struct likeness *row = &nearest->rows[i];
		json_out_object(out, NULL);
		json_out_words(out, "name", row->account->name);
		json_out_words(out, "happened", row->account->happened);
		json_out_words(out, "source", row->account->source);
		json_out_words(out, "clause", row->account->clause);
		json_out_words(out, "alike", row->alike);
		json_out_words(out, "unlike", row->unlike);
		json_out_words(out, "unknown", row->unknown);
		json_out_end(out);
	}
	json_out_end(out);
}

static void trial_row(struct json_out *out, const struct remedy_trial *trial)
{
	json_out_object(out, NULL);
	json_out_words(out, "change", trial->change);
	json_out_given(out, "fault", trial->fault);
	json_out_yes(out, "clears_own", trial->clears_own);
	json_out_array(out, "turns");
	for (size_t i = 0; i < trial->turn_count; i++) {
		json_out_object(out, NULL);
		json_out_words(out, "rule", trial->turns[i].rule->id);
		json_out_words(out, "item", trial->turns[i].item);
		json_out_words(out, "before", action_word(trial->turns[i].before));
		json_out_words(out, "after", action_word(trial->turns[i].after));
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}

void json_trials(struct json_out *out, const struct review *review, const struct finding *finding)
{
	size_t at = 0;
	json_out_array(out, "tried");
	for (const struct remedy_trial *trial; (trial = trials_of(&review->trials, finding, &at)) != NULL;)
		trial_row(out, trial);
	json_out_end(out);
}
