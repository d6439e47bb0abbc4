#include "record/trials.h"

#include <string.h>

#include "base/text.h"
#include "record/review.h"

enum { NAMED_MOST = 6 };

bool turn_clears(const struct verdict_turn *turn)
{
	return turn->before <= ACTION_CONSIDER && turn->after == ACTION_NONE;
}

bool turn_breaks(const struct verdict_turn *turn)
{
	return turn->after <= ACTION_CONSIDER && turn->after < turn->before;
}

bool turn_eases(const struct verdict_turn *turn)
{
	return turn->before <= ACTION_CONSIDER && turn->after <= ACTION_CONSIDER && turn->after > turn->before;
}

bool turn_opens(const struct verdict_turn *turn)
{
	return turn->after == ACTION_STATE;
}

/* The turns of one sort in a row, the first few of them by name; `shows`: with the action that is asked for then. */
static void add_sort(struct text *out, const struct verdict_turn *turns, size_t count, const char *verb,
	bool (*wanted)(const struct verdict_turn *turn), bool shows)
{
	size_t found = 0;
	for (size_t i = 0; i < count; i++) {
		if (!wanted(&turns[i]) || found++ >= NAMED_MOST)
			continue;
		if (found == 1)
			text_addf(out, "%s%s ", out->length ? "; " : "", verb);
		text_addf(out, "%s%s on %s", found > 1 ? ", " : "", turns[i].rule->id, turns[i].item);
		if (shows)
			text_addf(out, " (%s)", action_word(turns[i].after));
	}
	if (found > NAMED_MOST)
		text_addf(out, " and %zu more", found - NAMED_MOST);
}

const char *turns_words(struct arena *arena, const struct verdict_turn *turns, size_t count, bool clears)
{
	struct text out = text_in(arena);
	if (clears)
		add_sort(&out, turns, count, "clears", turn_clears, false);
	add_sort(&out, turns, count, "eases", turn_eases, true);
	add_sort(&out, turns, count, "breaks", turn_breaks, true);
	add_sort(&out, turns, count, "cannot judge any more", turn_opens, false);
	return out.data;
}

const char *trial_words(struct arena *arena, const struct remedy_trial *trial)
{
	const char *dash = *trial->change ? ": " : "";
	if (trial->fault)
		return arena_format(arena, "%s%scannot be tried: %s", trial->change, dash, trial->fault);
	const char *words = turns_words(arena, trial->turns, trial->turn_count, true);
	return arena_format(arena, "%s%s%s%s", trial->change, dash,
		trial->clears_own ? ""
			: *words  ? "does not clear its own finding; "
				  : "changes no finding",
		words);
}

const struct remedy_trial *trials_of(const struct remedy_trials *trials, const struct finding *finding, size_t *at)
{
	while (*at < trials->count) {
		const struct remedy_trial *trial = &trials->rows[(*at)++];
		if (trial->rule == finding->rule && strcmp(trial->item, finding->item->tag) == 0)
			return trial;
	}
	return NULL;
}

const char *trials_words(struct arena *arena, const struct remedy_trials *trials, const struct finding *finding)
{
	struct text out = text_in(arena);
	size_t at = 0;
	for (const struct remedy_trial *trial; (trial = trials_of(trials, finding, &at)) != NULL;)
		text_addf(&out, "%s%s", out.length ? ". " : "Tried: ", trial_words(arena, trial));
	if (out.length)
		text_add_char(&out, '.');
	return out.data ? out.data : "";
}
