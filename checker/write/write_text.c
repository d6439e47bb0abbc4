#include "write/write.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "judge/outcomes.h"
#include "judge/wording.h"
#include "record/round.h"
#include "sulfide/lean_side.h"

/* The summary on a terminal: counts, then one line for each row of the action list. */

enum { NARROWEST = 60, DEFAULT_COLUMNS = 120 };

static const char *const colours[] = {"\033[1;31m", "\033[1;33m", "\033[1;36m", "\033[1;35m"};

struct summary {
	struct arena arena;
	struct text text;
	const struct review *review;
	size_t columns;
	bool colour;
};

static void add_padded(struct summary *summary, const char *word, size_t width)
{
	size_t taken = text_columns(word);
	text_add(&summary->text, word);
	for (; taken < width; taken++)
		text_add_char(&summary->text, ' ');
}

static void add_action(struct summary *summary, enum action action, size_t width)
{
	if (summary->colour)
		text_add(&summary->text, colours[action]);
	add_padded(summary, action_word(action), width);
	if (summary->colour)
		text_add(&summary->text, "\033[0m");
}

/* Words that fit the rest of the line; what follows goes on the next, under it. */
static void add_wrapped(struct summary *summary, const char *words, size_t indent, size_t used)
{
	for (const char *at = text_plain(&summary->arena, words); *at;) {
		size_t length = strcspn(at, " ");
		char *word = arena_copy_span(&summary->arena, at, length);
		size_t width = text_columns(word);
		if (used > indent && used + 1 + width > summary->columns) {
			text_add_char(&summary->text, '\n');
			for (size_t i = 0; i < indent; i++)
				text_add_char(&summary->text, ' ');
			used = indent;
		} else if (used > indent) {
			text_add_char(&summary->text, ' ');
			used++;
		}
		text_add(&summary->text, word);
		used += width;
		at += length + (at[length] == ' ');
	}
	text_add_char(&summary->text, '\n');
}

static const char *tags_of(struct summary *summary, const struct flag *flag)
{
	const char *first = flag->findings[0]->item->tag;
	return flag->count == 1 ? first : arena_format(&summary->arena, "%s and %zu more", first, flag->count - 1);
}

/* Its limit is to be checked against the text before anyone relies on it. */
static bool is_from_memory(const struct finding *finding)
{
	return finding->governing && finding->governing->limit->reading == READING_MEMORY;
}

static void add_flag(struct summary *summary, const struct flag *flag)
{
	enum { ACTION_WIDTH = 10 };
	const struct finding *first = flag->findings[0];
	add_action(summary, flag->action, ACTION_WIDTH);
	const char *others = outcomes_words(&summary->arena, first, summary->review->table, true);
	const char *line = arena_format(&summary->arena, "%s, %s: %s%s%s%s [%s%s, %s:%d]", tags_of(summary, flag),
		finding_case(summary->review, first), first->message, others ? " Also " : "", others ? others : "",
		others ? "." : "", flag->rule->id, is_from_memory(first) ? ", from memory" : "",
		first->item->place.file, first->item->place.line);
	add_wrapped(summary, line, ACTION_WIDTH, ACTION_WIDTH);
}

/*
 * Everything to resolve; of what weighs less as many rows as can be read at one go. Flags are by action, gravest first.
 */
static void add_flags(struct summary *summary)
{
	static const size_t most[] = {SIZE_MAX, 10, 5};
	const struct review *review = summary->review;
	size_t shown[ACTION_KINDS] = {0}, left[ACTION_KINDS] = {0};
	for (size_t i = 0; i < review->flag_count; i++) {
		enum action action = review->flags[i].action;
		if (shown[action] < most[action]) {
			shown[action]++;
			add_flag(summary, &review->flags[i]);
		} else {
			left[action]++;
		}
		if (left[action] && (i + 1 == review->flag_count || review->flags[i + 1].action != action))
			text_addf(&summary->text, "          and %zu more to %s, listed in the review\n", left[action],
				action == ACTION_JUSTIFY ? "justify" : "consider");
	}
}

static void add_head(struct summary *summary)
{
	const struct review *review = summary->review;
	size_t cases = table_case_count(review->table);
	add_wrapped(summary,
		arena_format(&summary->arena, "%s %s%s%s: %zu items, %zu case%s, %zu rules considered", review->number,
			review->name, *review->revision ? ", revision " : "", review->revision, review->item_count,
			cases, cases == 1 ? "" : "s", review->judgement.considered),
		0, 0);
	for (size_t i = 0; i < ACTION_KINDS; i++) {
		add_action(summary, (enum action)i, 0);
		text_addf(&summary->text, " %zu%s", review->counts[i], i + 1 < ACTION_KINDS ? "   " : "\n\n");
	}
}

static void add_question(struct summary *summary, const struct question *question)
{
	enum { ACTION_WIDTH = 10, TAGS = 4 };
	struct arena *arena = &summary->arena;
	add_action(summary, ACTION_STATE, ACTION_WIDTH);
	add_wrapped(summary,
		arena_format(arena, "%s %s: %s (ask %s; can lead to %s) [%s%s]", question->words,
			question_items(arena, question, TAGS), question->what, answerer_word(question->who),
			action_word((enum action)question->force), question->rules[0]->id,
			question->rule_count > 1 ? " and others" : ""),
		ACTION_WIDTH, ACTION_WIDTH);
}

/* Those that decide most; of the others how many. */
static void add_questions(struct summary *summary)
{
	enum { SHOWN = 3 };
	const struct questions *questions = &summary->review->questions;
	for (size_t i = 0; i < questions->now && i < SHOWN; i++)
		add_question(summary, &questions->rows[i]);
	if (questions->now > SHOWN)
		text_addf(&summary->text, "          and %zu more to state, listed in the review\n",
			questions->now - SHOWN);
	if (questions->count > questions->now)
		text_addf(&summary->text, "          and %zu that a later stage of the project can answer\n",
			questions->count - questions->now);
}

/* What is owed and what nothing read is not passed over here: how much of it, for the review to list. */
static void add_statements(struct summary *summary)
{
	enum { WIDTH = 10 };
	const struct statements *statements = &summary->review->statements;
	size_t owed = statements->owed_count, unread = statements->unread_count;
	if (owed) {
		text_addf(&summary->text, "%-*s", WIDTH, "Owed");
		add_wrapped(summary,
			arena_format(&summary->arena, "%zu value%s stated as t.b.d., listed in the review", owed,
				owed == 1 ? "" : "s"),
			WIDTH, WIDTH);
	}
	size_t unrecorded = statements->unrecorded_count;
	if (unrecorded) {
		text_addf(&summary->text, "%-*s", WIDTH, "No record");
		add_wrapped(summary,
			arena_format(&summary->arena, "of %zu value%s, listed in the review", unrecorded,
				unrecorded == 1 ? "" : "s"),
			WIDTH, WIDTH);
	}
	if (unread) {
		text_addf(&summary->text, "%-*s", WIDTH, "Unread");
		add_wrapped(summary,
			arena_format(&summary->arena,
				"%zu statement%s that no rule and no calculation read, listed in the review", unread,
				unread == 1 ? "" : "s"),
			WIDTH, WIDTH);
	}
}

static void add_memory_note(struct summary *summary)
{
	const struct review *review = summary->review;
	for (size_t i = 0; i < review->flag_count; i++)
		if (is_from_memory(review->flags[i].findings[0])) {
			text_addf(&summary->text, "\n");
			add_wrapped(summary,
				arena_format(
					&summary->arena, "A limit marked so is %s.", wording_known(READING_MEMORY)),
				0, 0);
			return;
		}
}

static void add_round(struct summary *summary)
{
	const struct round *round = summary->review->round;
	if (!round)
		return;
	text_add(&summary->text, "Since the last round: ");
	for (int s = 0; s < ROUND_STATES; s++)
		text_addf(&summary->text, "%s %zu%s", round_word((enum round_state)s), round->counts[s],
			s + 1 < ROUND_STATES ? ", " : "\n\n");
}

bool write_text(const struct review *review, FILE *out, int columns, bool colour)
{
	struct summary summary = {.review = review, .colour = colour};
	summary.text = text_in(&summary.arena);
	summary.columns = columns <= 0 ? DEFAULT_COLUMNS : columns < NARROWEST ? NARROWEST : (size_t)columns;
	add_head(&summary);
	add_round(&summary);
	add_flags(&summary);
	add_questions(&summary);
	add_statements(&summary);
	text_addf(&summary.text, "\n");
	for (size_t i = 0; i < review->lean_side->overstripping->answer_count; i++)
		add_wrapped(&summary, review->lean_side->overstripping->answers[i].words, 0, 0);
	add_memory_note(&summary);
	text_addf(&summary.text, "\n");
	add_wrapped(
		&summary, "A screening aid: local codes, the editions in force and a licensed engineer decide.", 0, 0);
	bool whole = fwrite(summary.text.data, 1, summary.text.length, out) == summary.text.length;
	arena_release(&summary.arena);
	return whole;
}
