#include "write/write_json.h"

static void mechanism_rows(struct json_out *out, const struct table *table)
{
	json_out_array(out, "mechanisms");
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		if (!damage_concerns(table, (enum mechanism)m))
			continue;
		json_out_object(out, NULL);
		json_out_words(out, "name", mechanisms[m].name);
		json_out_words(out, "where", mechanisms[m].where);
		json_out_words(out, "how", mechanisms[m].how);
		json_out_words(out, "source", mechanisms[m].source);
		json_out_end(out);
	}
	json_out_end(out);
}

static void damage_row(struct json_out *out, const struct table *table, const struct damage *damage)
{
	json_out_object(out, NULL);
	json_out_words(out, "item", damage->item->tag);
	json_out_words(out, "condition", damage->condition);
	json_out_words(out, "look", urgency_word(damage->urgency));
	json_out_words(out, "not_known", damage->open);
	json_out_array(out, "mechanisms");
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		if (!damage_concerns(table, (enum mechanism)m))
			continue;
		json_out_object(out, NULL);
		json_out_words(out, "mechanism", mechanisms[m].name);
		json_out_words(out, "credible", json_truth(damage->answers[m].credible));
		json_out_words(out, "why", damage->answers[m].why);
		json_out_end(out);
	}
	json_out_end(out);
	json_out_end(out);
}

void json_damage(struct json_out *out, const struct review *review)
{
	json_out_object(out, "damage");
	mechanism_rows(out, review->table);
	json_out_array(out, "items");
	for (size_t i = 0; i < review->damage_count; i++)
		damage_row(out, review->table, &review->damage[i]);
	json_out_end(out);
	json_out_end(out);
}
