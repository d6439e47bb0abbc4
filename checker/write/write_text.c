#include "write/write.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "judge/wording.h"
#include "record/first_page.h"
#include "record/round.h"
#include "sulfide/lean_side.h"

/* The summary on a terminal: the first page of the review in some forty lines. */

enum { NARROWEST = 60, DEFAULT_COLUMNS = 120, ACTION_WIDTH = 10, INDENT = 12, PLACES = 3 };

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

/* Its limit is to be checked against the text before anyone relies on it. */
static bool is_from_memory(const struct finding *finding)
{
	return finding->governing && finding->governing->limit->reading == READING_MEMORY;
}

/* A place, the figure, what it leads to and what to do: what a lead engineer wants of each. */
static void add_matter(struct summary *summary, size_t index)
{
	const struct open_matter *matter = &summary->review->matters.rows[index];
	const struct finding *lead = matter->lead;
	struct arena *arena = &summary->arena;
	text_addf(&summary->text, "%zu ", index + 1);
	add_action(summary, (enum action)lead->force, ACTION_WIDTH);
	add_wrapped(summary,
		arena_format(arena, "%s%s: %s [%s%s, %s; %s]", matter_places(arena, matter, PLACES),
			matter_case(arena, summary->review, lead), lead->message, lead->rule->id,
			is_from_memory(lead) ? ", from memory" : "", certainty_word(lead->certainty),
			consequence_word(matter->consequence)),
		INDENT, INDENT);
	const char *advice = first_advice(arena, lead->remedy, summary->columns - INDENT - strlen("To do: ")),
		   *tried = trials_words(arena, &summary->review->trials, lead);
	if (*advice) {
		text_addf(&summary->text, "%*s", INDENT, "");
		add_wrapped(summary, arena_format(arena, "To do: %s", advice), INDENT, INDENT);
	}
	if (*tried) {
		text_addf(&summary->text, "%*s", INDENT, "");
		add_wrapped(summary, tried, INDENT, INDENT);
	}
}

static void add_matters(struct summary *summary)
{
	const struct review *review = summary->review;
	for (size_t i = 0; i < review->matters.count && i < FIRST_MATTERS; i++)
		add_matter(summary, i);
	const char *others = also_to_resolve(&summary->arena, review, 1),
		   *fewer = fewer_matters(&summary->arena, review);
	if (*others)
		others = arena_format(&summary->arena, "Also to resolve: %s.", others);
	if (*fewer)
		fewer = arena_format(&summary->arena, "%s %s, in the review", *others ? " And" : "and", fewer);
	if (*others || *fewer) {
		text_addf(&summary->text, "%*s", INDENT, "");
		add_wrapped(summary, arena_format(&summary->arena, "%s%s", others, fewer), INDENT, INDENT);
	}
	if (review->matters.count)
		text_addf(&summary->text, "\n");
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
		text_addf(&summary->text, " %zu%s", review->counts[i], i + 1 < ACTION_KINDS ? "   " : "\n");
	}
	add_wrapped(summary, verdict_sentence(&summary->arena, review), 0, 0);
	text_addf(&summary->text, "\n");
}

static void add_question(struct summary *summary, const struct question *question)
{
	struct arena *arena = &summary->arena;
	text_add(&summary->text, "  ");
	add_wrapped(summary,
		arena_format(arena, "%s %s (%s; can lead to %s)", question->words,
			question_items(arena, question, PLACES), answerer_word(question->who),
			action_word((enum action)question->force)),
		2, 2);
}

/* Those that decide most; of the others how many. */
static void add_questions(struct summary *summary)
{
	const struct questions *questions = &summary->review->questions;
	size_t later = questions->count - questions->now;
	if (questions->now)
		text_addf(&summary->text, "Ask first\n");
	for (size_t i = 0; i < questions->now && i < FIRST_QUESTIONS; i++)
		add_question(summary, &questions->rows[i]);
	size_t more = questions->now > FIRST_QUESTIONS ? questions->now - FIRST_QUESTIONS : 0;
	if (more)
		text_addf(&summary->text, "  and %zu more to state", more);
	if (later)
		text_addf(&summary->text, "%s%zu%s at a later stage of the project",
			more			 ? ", "
				: questions->now ? "  and "
						 : "Nothing to ask now, ",
			later, more ? "" : " to state");
	if (more || later)
		text_addf(&summary->text, "\n");
	if (questions->count)
		text_addf(&summary->text, "\n");
}

/* What is owed is not passed over here: how much of it, for the review to list. */
static void add_statements(struct summary *summary)
{
	const struct statements *statements = &summary->review->statements;
	size_t owed = statements->owed_count, unrecorded = statements->unrecorded_count;
	if (owed)
		text_addf(&summary->text, "To follow: %zu value%s stated as t.b.d.\n", owed, owed == 1 ? "" : "s");
	if (unrecorded)
		text_addf(&summary->text, "No record: of %zu value%s.\n", unrecorded, unrecorded == 1 ? "" : "s");
	add_wrapped(summary, described_sentence(&summary->arena, summary->review), 0, 0);
	add_wrapped(summary, not_looked_at(&summary->arena, summary->review), 0, 0);
}

static void add_memory_note(struct summary *summary)
{
	const struct review *review = summary->review;
	for (size_t i = 0; i < review->matters.count && i < FIRST_MATTERS; i++)
		if (is_from_memory(review->matters.rows[i].lead)) {
			add_wrapped(summary,
				arena_format(
					&summary->arena, "A limit marked so is %s.", wording_known(READING_MEMORY)),
				0, 0);
			return;
		}
}

/* What came of replies that name values: one line, and none where none does. */
static void add_applied(struct summary *summary, const struct round *round)
{
	const char *before = "Values that replies name: ";
	for (int o = 0; o < REPLY_OUTCOMES; o++) {
		if (!round->outcomes[o])
			continue;
		text_addf(&summary->text, "%s%s %zu", before, reply_outcome_word((enum reply_outcome)o),
			round->outcomes[o]);
		before = ", ";
	}
	text_add(&summary->text, *before == ',' ? "\n" : "");
}

static void add_round(struct summary *summary)
{
	const struct round *round = summary->review->round;
	if (!round)
		return;
	text_add(&summary->text, "Since the last round: ");
	for (int s = 0; s < ROUND_STATES; s++)
		text_addf(&summary->text, "%s %zu%s", round_word((enum round_state)s), round->counts[s],
			s + 1 < ROUND_STATES ? ", " : "\n");
	add_applied(summary, round);
	text_add_char(&summary->text, '\n');
}

bool write_text(const struct review *review, FILE *out, int columns, bool colour)
{
	struct summary summary = {.review = review, .colour = colour};
	summary.text = text_in(&summary.arena);
	summary.columns = columns <= 0 ? DEFAULT_COLUMNS : columns < NARROWEST ? NARROWEST : (size_t)columns;
	add_head(&summary);
	add_round(&summary);
	add_matters(&summary);
	add_questions(&summary);
	if (!review->lean_side->circuit->sweet)
		add_wrapped(&summary, review->lean_side->overstripping->answers[0].words, 0, 0);
	add_statements(&summary);
	add_memory_note(&summary);
	add_wrapped(
		&summary, "A screening aid: local codes, the editions in force and a licensed engineer decide.", 0, 0);
	bool whole = fwrite(summary.text.data, 1, summary.text.length, out) == summary.text.length;
	arena_release(&summary.arena);
	return whole;
}
