#include "import/glossary_reading.h"

#include <string.h>

#include "base/text.h"

enum signal {
#define SIGNAL(sort, words) SIGNAL_##sort,
#include "import/glossary.def"
	SIGNAL_COUNT
};

static const char *const signals[SIGNAL_COUNT] = {
#define SIGNAL(sort, words) words,
#include "import/glossary.def"
};

/* ---- how far what stands beside a phrase reaches ---- */

static bool ends_segment(const struct reading *reading, size_t at)
{
	return reading->tokens[at].sort == TOKEN_COMMA || reading->tokens[at].sort == TOKEN_STOP;
}

static bool segment_holds_phrase(const struct reading *reading, size_t at, int step)
{
	for (; at < reading->count && !ends_segment(reading, at); at += (size_t)step)
		if (reading->read[at])
			return true;
	return false;
}

/* The end of the scope in one direction: on over segments without a phrase, up to the end of the clause. */
static size_t reach(const struct reading *reading, size_t at, int step)
{
	for (;;) {
		while (at < reading->count && !ends_segment(reading, at))
			at += (size_t)step;
		bool more = at < reading->count && reading->tokens[at].sort == TOKEN_COMMA &&
			!segment_holds_phrase(reading, at + (size_t)step, step);
		if (!more)
			return at;
		at += (size_t)step;
	}
}

static void set_scope(const struct reading *reading, struct found *found)
{
	found->scope_first = reach(reading, found->first, -1) + 1; /* over the start it wraps, and comes to 0 */
	found->scope_end = reach(reading, found->after - 1, 1);
	found->clause_first = found->scope_first;
	while (found->clause_first && reading->tokens[found->clause_first - 1].sort != TOKEN_STOP)
		found->clause_first--;
	found->clause_end = found->scope_end;
	while (found->clause_end < reading->count && reading->tokens[found->clause_end].sort != TOKEN_STOP)
		found->clause_end++;
}

/* ---- what stands there ---- */

static bool is_signal(const struct reading *reading, size_t at, enum signal signal)
{
	enum token_sort sort = reading->tokens[at].sort;
	return (sort == TOKEN_WORD || sort == TOKEN_MARK) && !reading->read[at] &&
		text_has_word(signals[signal], reading->tokens[at].folded);
}

/* The first token of a sort in the range; `end` when there is none. */
static size_t first_signal(const struct reading *reading, size_t first, size_t end, enum signal signal)
{
	while (first < end && !is_signal(reading, first, signal))
		first++;
	return first;
}

/* A place: "at the top", but not "at 620 degC"; "to 2 m", but not "to be". */
static bool is_local(const struct reading *reading, const struct found *found)
{
	for (size_t i = found->scope_first; i < found->scope_end; i++) {
		bool number = i + 1 < reading->count && reading->tokens[i + 1].sort == TOKEN_NUMBER;
		const char *word = reading->tokens[i].folded;
		bool at = strcmp(word, "at") == 0, to = strcmp(word, "to") == 0 && !reading->read[i];
		if ((to && number) || (is_signal(reading, i, SIGNAL_LOCAL) && !(at && number)))
			return true;
	}
	return false;
}

/* "(3)": the mark of a note. */
static bool is_note_mark(const struct reading *reading, size_t at)
{
	const struct token *token = &reading->tokens[at];
	return at && at + 1 < reading->count && token->sort == TOKEN_NUMBER && !reading->read[at] &&
		token[-1].sort == TOKEN_COMMA && strchr("([", *token[-1].folded) && token[1].sort == TOKEN_COMMA &&
		strchr(")]", *token[1].folded);
}

static bool is_history(const struct found *found)
{
	return found->row->child && text_has_word("repair inspection wall-reading", found->row->child);
}

/* "not traced or insulated": after a denial "or" doubts nothing. */
static bool is_or_denied(const struct reading *reading, const struct found *found, size_t at)
{
	return text_has_word("or oder ou o", reading->tokens[at].folded) &&
		first_signal(reading, found->scope_first, at, SIGNAL_DENIES) < at;
}

static const char *asked(const struct reading *reading, const struct found *found)
{
	for (size_t i = found->clause_first; i < found->clause_end; i++) {
		if (is_note_mark(reading, i))
			return arena_format(reading->arena, "it refers to note %s", reading->tokens[i].folded);
		if (is_signal(reading, i, SIGNAL_DOUBTS) && !is_or_denied(reading, found, i))
			return arena_format(reading->arena, "'%s' stands beside it", reading->tokens[i].folded);
	}
	enum signal time = is_history(found) ? SIGNAL_AHEAD : SIGNAL_PAST;
	size_t at = first_signal(reading, found->scope_first, found->scope_end, time);
	return at == found->scope_end
		? NULL
		: arena_format(reading->arena, "'%s' stands beside it: %s", reading->tokens[at].folded,
			  time == SIGNAL_AHEAD ? "is it done?" : "is it so now?");
}

/* ---- denials ---- */

/* The token before the phrase that counts, over "to be" and the like; found->first when there is none. */
static size_t denial_before(const struct reading *reading, const struct found *found)
{
	for (size_t i = found->first; i > found->scope_first && !ends_segment(reading, i - 1);) {
		if (is_signal(reading, --i, SIGNAL_DENIES) || text_has_word("or oder ou o", reading->tokens[i].folded))
			return first_signal(reading, found->scope_first, i + 1, SIGNAL_DENIES) <= i ? i : found->first;
		if (!is_signal(reading, i, SIGNAL_BETWEEN))
			return found->first;
	}
	return found->first;
}

/* Is what follows the phrase a denial and nothing else: "none", "not carried out"? */
static bool denied_after(const struct reading *reading, const struct found *found)
{
	size_t denials = 0;
	for (size_t i = found->after; i < found->scope_end; i++) {
		bool joint = ends_segment(reading, i) ||
			(reading->tokens[i].sort == TOKEN_MARK && strchr(":-", *reading->tokens[i].folded));
		bool denies = is_signal(reading, i, SIGNAL_DENIES);
		denials += denies;
		if (!joint && !denies && !is_signal(reading, i, SIGNAL_DONE))
			return false;
	}
	return denials == 1;
}

/* How many there are; "nor" goes on with the one before. `before`: without those that speak of what follows alone. */
static size_t denials_in(const struct reading *reading, size_t first, size_t end, bool before)
{
	size_t denials = 0;
	for (size_t i = first; i < end; i++) {
		const char *word = reading->tokens[i].folded;
		denials += is_signal(reading, i, SIGNAL_DENIES) && !text_has_word("nor noch ni", word) &&
			!(before && text_has_word("without w/o ohne sans sin", word));
	}
	return denials;
}

/* "PWHT no insulated", "PWHT no insulated yes": nobody knows which of the two is denied. */
static bool may_deny_the_other(const struct reading *reading, const struct found *found, size_t denial)
{
	if (denial > found->scope_first && reading->read[denial - 1] &&
		text_has_word("no non nein none nil n/a", reading->tokens[denial].folded))
		return true;
	for (size_t i = found->after; i < found->scope_end && !reading->read[i]; i++)
		if (text_has_word("yes y ja oui sí si", reading->tokens[i].folded))
			return true;
	return false;
}

static bool can_be_denied(const struct phrase *row)
{
	return !strchr(row->sets, ';') && (text_ends(row->sets, "=yes") || text_ends(row->sets, "=no"));
}

static const char *denial(const struct reading *reading, struct found *found)
{
	size_t before = denials_in(reading, found->scope_first, found->first, false);
	size_t after = denials_in(reading, found->after, found->scope_end, true);
	size_t by = denial_before(reading, found);
	bool needed = first_signal(reading, found->scope_first, found->scope_end, SIGNAL_NEEDED) < found->scope_end;
	if (before + after == 0 && by == found->first)
		return NULL;
	bool plain = by < found->first ? after == 0 && !may_deny_the_other(reading, found, by)
				       : before == 0 && denied_after(reading, found);
	if (!plain)
		return "what is denied is not plain";
	if (needed)
		return "that it is not needed does not say whether it is there";
	if (!can_be_denied(found->row))
		return "a description has no word for its absence";
	found->denied = true;
	found->read_first = by;
	if (by == found->first)
		found->read_after = found->scope_end;
	return NULL;
}

/* ---- whose a phrase is ---- */

static bool is_of(const struct found *found, const char *child)
{
	return text_same(found->row->child, child);
}

static bool phrase_sets(const struct phrase *row, const char *attribute)
{
	size_t length = strlen(attribute);
	for (const char *at = strstr(row->sets, attribute); at; at = strstr(at + 1, attribute))
		if (at[length] == '=' && (at == row->sets || at[-1] == ';'))
			return true;
	return false;
}

static bool share_attribute(const struct phrase *one, const struct phrase *other)
{
	for (const char *at = one->sets; *at;) {
		size_t name = strcspn(at, "=");
		char attribute[64] = "";
		if (name < sizeof attribute && phrase_sets(other, memcpy(attribute, at, name)))
			return true;
		at += strcspn(at, ";");
		at += *at == ';';
	}
	return false;
}

/* The child that the phrase adds to: of its clause, and with none of its attributes stated yet; else a new one. */
static size_t which_child(const struct reading *reading, size_t index, size_t *children)
{
	const struct found *found = &reading->founds[index];
	for (size_t i = index; i-- > 0;) {
		const struct found *earlier = &reading->founds[i];
		if (!is_of(earlier, found->row->child))
			continue;
		bool joins = earlier->clause_first == found->clause_first;
		for (size_t k = 0; k < index && joins; k++)
			joins = reading->founds[k].which != earlier->which ||
				!share_attribute(reading->founds[k].row, found->row);
		return joins ? earlier->which : ++*children;
	}
	return ++*children;
}

/* Stress relief beside a repair is of the repair where it follows in the same clause, and else of nobody knows what. */
static void place_stress_relief(const struct reading *reading, struct found *found)
{
	static const struct phrase of_repair = {.child = "repair", .sets = "pwht=yes"};
	static const struct phrase of_repair_at = {.child = "repair", .sets = "pwht=yes;pwht-temperature=$1"};
	const struct found *repair = NULL;
	if (!phrase_sets(found->row, "pwht") || found->row->child)
		return;
	for (size_t i = 0; i < reading->found_count; i++)
		if (is_of(&reading->founds[i], "repair") && (!repair || &reading->founds[i] < found))
			repair = &reading->founds[i];
	if (!repair)
		return;
	if (repair < found && repair->clause_first == found->clause_first) {
		found->row = phrase_sets(found->row, "pwht-temperature") ? &of_repair_at : &of_repair;
		found->which = repair->which;
	} else if (!found->doubt) {
		found->doubt = "it may be that of the repair";
	}
}

static void place_local(const struct reading *reading, struct found *found, size_t *children)
{
	found->local = !found->row->child && !found->which && is_local(reading, found);
	if (!found->local || found->doubt)
		return;
	if (phrase_sets(found->row, "cladding") && reading->takes_part && !found->denied)
		found->which = ++*children;
	else
		found->doubt = "it may hold for a part only";
}

static bool is_harmless(const struct reading *reading, size_t at)
{
	return reading->read[at] || reading->tokens[at].sort == TOKEN_NUMBER ||
		text_has_word(": - / & +", reading->tokens[at].folded) || is_signal(reading, at, SIGNAL_HARMLESS) ||
		is_signal(reading, at, SIGNAL_DONE) || is_signal(reading, at, SIGNAL_BETWEEN) ||
		is_signal(reading, at, SIGNAL_DENIES) || text_has_word("or oder ou o", reading->tokens[at].folded);
}

/*
 * Of the item itself nothing is taken beside a word that nobody here knows: "waived", "per code" or "lapsed" turn what the
 * phrase says. What a child says is a thing or an event; words beside it tell more of it.
 */
static void doubt_unknown_words(const struct reading *reading, struct found *found)
{
	size_t first = found->first, end = found->after;
	if (found->row->child || found->local || found->doubt)
		return;
	while (first && !ends_segment(reading, first - 1))
		first--;
	while (end < reading->count && !ends_segment(reading, end))
		end++;
	for (size_t i = first; i < end && !found->doubt; i++)
		if (!is_harmless(reading, i))
			found->doubt = arena_format(reading->arena, "'%s' stands beside it", reading->tokens[i].folded);
}

void reading_judge(struct reading *reading)
{
	size_t children = 0;
	for (size_t i = 0; i < reading->found_count; i++)
		set_scope(reading, &reading->founds[i]);
	for (size_t i = 0; i < reading->found_count; i++) {
		struct found *found = &reading->founds[i];
		found->doubt = asked(reading, found);
		if (!found->doubt)
			found->doubt = denial(reading, found);
		if (found->row->child)
			found->which = which_child(reading, i, &children);
		place_stress_relief(reading, found);
		place_local(reading, found, &children);
		doubt_unknown_words(reading, found);
	}
}
