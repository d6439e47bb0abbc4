#include "record/first_page.h"

#include <string.h>

#include "base/text.h"
#include "resolve/equipment.h"

/* ---- how much of the unit is described ---- */

static size_t count_verdict(const struct review *review, enum verdict verdict)
{
	size_t count = 0;
	for (size_t i = 0; i < review->judgement.count; i++)
		count += review->judgement.findings[i].verdict == verdict;
	return count;
}

static bool has_metal(const struct table *table, const struct item *item)
{
	const struct quantity *metal = table_peek(table, item, EVERY_CASE, "material");
	return metal && metal->known != UNKNOWN;
}

/* Of itself or of a side or part of it. */
static bool states_metal(const struct table *table, const struct item *whole)
{
	if (has_metal(table, whole))
		return true;
	for (size_t i = 0; i < table_item_count(table); i++)
		if (table_item(table, i)->parent == whole && has_metal(table, table_item(table, i)))
			return true;
	return false;
}

/* Equipment and lines by themselves, not what is nested in them. */
static bool is_metal(const struct table *table, const struct item *item)
{
	return !item->parent && item_in(item, CLASS_METAL) && !item_in(item, CLASS_MONITORING) &&
		!table_says_none(table, item, EVERY_CASE);
}

static size_t count_metal(const struct table *table)
{
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(table); i++)
		count += is_metal(table, table_item(table, i));
	return count;
}

/* Those of which no material is stated: how many, and the names of the first few in `names`. */
static size_t without_metal(const struct table *table, struct text *names)
{
	enum { NAMED_MOST = 3 };

	size_t count = 0;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (!is_metal(table, item) || states_metal(table, item))
			continue;
		if (count < NAMED_MOST)
			text_addf(names, "%s%s", count ? ", " : "", item->tag);
		count++;
	}
	if (count > NAMED_MOST)
		text_addf(names, " and %zu more", count - NAMED_MOST);
	return count;
}

/* Checks that no answer settles. */
static size_t count_beyond(const struct review *review)
{
	size_t count = 0;
	for (size_t i = 0; i < review->judgement.count; i++)
		count += finding_is_beyond(&review->judgement.findings[i]);
	return count;
}

/* Checks that came to a verdict. */
static size_t count_judged(const struct review *review)
{
	return count_verdict(review, VERDICT_MEETS) + count_verdict(review, VERDICT_DEPARTS) +
		count_verdict(review, VERDICT_ACCEPTED);
}

/* Of what says so little nothing is called sound: no equipment and no line, or most checks that apply are not judged. */
static bool is_hardly_described(const struct review *review)
{
	return count_metal(review->table) == 0 || count_judged(review) < count_verdict(review, VERDICT_NOT_JUDGED);
}

/* ---- how sound it is ---- */

static bool is_to(const struct review *review, size_t index, enum action action)
{
	return (enum action)review->matters.rows[index].lead->force == action;
}

size_t matter_count(const struct review *review, enum action action)
{
	size_t count = 0;
	for (size_t i = 0; i < review->matters.count; i++)
		count += is_to(review, i, action);
	return count;
}

/* What only fabrication, operation and inspection can show is no gap in the design of a unit that is not built. */
static bool is_beyond_design(const struct question *question)
{
	return question->later && question->stage == STAGE_BUILT;
}

/* Questions, of a later stage of the design too, of which some answer is to be resolved or justified; or those beyond it. */
static size_t grave_questions(const struct review *review, bool beyond_design)
{
	size_t count = 0;
	for (size_t i = 0; i < review->questions.count; i++) {
		const struct question *question = &review->questions.rows[i];
		count += question->force != FORCE_ADVISORY && is_beyond_design(question) == beyond_design;
	}
	return count;
}

enum soundness review_soundness(const struct review *review)
{
	if (matter_count(review, ACTION_RESOLVE))
		return NOT_READY;
	if (matter_count(review, ACTION_JUSTIFY))
		return SOUND_BUT_FOR;
	return grave_questions(review, false) || is_hardly_described(review) ? SOUND_AS_FAR : SOUND;
}

static const char *matters_word(size_t count)
{
	return count == 1 ? "matter is" : "matters are";
}

static const char *not_ready(struct arena *arena, const struct review *review)
{
	size_t all = matter_count(review, ACTION_RESOLVE), containment = 0;
	for (size_t i = 0; i < review->matters.count; i++)
		containment += is_to(review, i, ACTION_RESOLVE) &&
			review->matters.rows[i].consequence == CONSEQUENCE_LOSS_OF_CONTAINMENT;
	size_t findings = review->counts[ACTION_RESOLVE];
	const char *first = arena_format(arena, "Not ready: %zu %s to be resolved (%zu finding%s)", all,
		matters_word(all), findings, findings == 1 ? "" : "s");
	if (!containment)
		return arena_format(arena, "%s.", first);
	return containment == all
		? arena_format(
			  arena, "%s, and %s can lead to loss of containment.", first, all == 1 ? "it" : "each of them")
		: arena_format(arena, "%s, and %zu of them can lead to loss of containment.", first, containment);
}

static const char *sound_but_for(struct arena *arena, const struct review *review)
{
	enum { NAMED = 3, PLACES = 2 };
	size_t all = matter_count(review, ACTION_JUSTIFY), named = 0;
	struct text text = text_in(arena);
	text_add(&text, "Sound but for ");
	for (size_t i = 0; i < review->matters.count && named < NAMED; i++)
		if (is_to(review, i, ACTION_JUSTIFY))
			text_addf(&text, "%s%s", named++ ? "; " : "", matter_title(arena, review, i, PLACES));
	if (all > NAMED)
		text_addf(&text, "; and %zu more to justify", all - NAMED);
	text_add(&text, ". Nothing is to be resolved in what is described.");
	return text.data;
}

/* How sound, and what stays open even so. */
static const char *sound_words(struct arena *arena, const struct review *review)
{
	bool built = grave_questions(review, true);
	size_t beyond = count_beyond(review);
	const char *words = arena_format(arena,
		"Sound as described: nothing is to be resolved or justified, and no missing answer%s can change "
		"that.%s",
		built ? " of the design" : "",
		built ? " What makers' drawings, hardness and inspection will show is not known." : "");
	return beyond ? arena_format(arena, "%s %zu checks were not made: they rest on what is not calculated here.",
				words, beyond)
		      : words;
}

static const char *questions_words(struct arena *arena, const struct review *review)
{
	size_t count = grave_questions(review, false), later = 0;
	for (size_t i = review->questions.now; i < review->questions.count; i++)
		later += !is_beyond_design(&review->questions.rows[i]);
	return count ? arena_format(arena, " %zu open question%s can lead to more%s.", count, count == 1 ? "" : "s",
			       later ? ", some of a later stage of the project" : "")
		     : "";
}

const char *verdict_sentence(struct arena *arena, const struct review *review)
{
	switch (review_soundness(review)) {
	case NOT_READY:
		return not_ready(arena, review);
	case SOUND_BUT_FOR:
		return arena_format(arena, "%s%s", sound_but_for(arena, review), questions_words(arena, review));
	case SOUND_AS_FAR:
		return arena_format(arena,
			"Not called sound yet: nothing is to be resolved or justified in what is described, but the "
			"description does not go far enough.%s",
			questions_words(arena, review));
	case SOUND:
		break;
	}
	return sound_words(arena, review);
}

/* ---- matters ---- */

const char *matter_title(struct arena *arena, const struct review *review, size_t index, size_t places)
{
	const struct open_matter *matter = &review->matters.rows[index];
	return arena_format(arena, "%s (%s)", matter->cause, matter_places(arena, matter, places));
}

static bool is_beneath(const struct review *review, size_t index)
{
	return index >= FIRST_MATTERS && is_to(review, index, ACTION_RESOLVE);
}

/* Is an earlier one of the same cause named beneath, with which it is told? */
static bool is_told_before(const struct review *review, size_t index)
{
	for (size_t i = 0; i < index; i++)
		if (is_beneath(review, i) &&
			text_same(review->matters.rows[i].cause, review->matters.rows[index].cause))
			return true;
	return false;
}

const char *also_to_resolve(struct arena *arena, const struct review *review, size_t places)
{
	const struct open_matters *matters = &review->matters;
	struct text text = text_in(arena);
	for (size_t i = 0; i < matters->count; i++) {
		if (!is_beneath(review, i) || is_told_before(review, i))
			continue;
		text_addf(&text, "%s%s (%s", text.length ? "; " : "", matters->rows[i].cause,
			matter_places(arena, &matters->rows[i], places));
		for (size_t k = i + 1; k < matters->count; k++)
			if (is_beneath(review, k) && text_same(matters->rows[i].cause, matters->rows[k].cause))
				text_addf(&text, ", %s", matter_places(arena, &matters->rows[k], places));
		text_add(&text, ")");
	}
	return text.data ? text.data : "";
}

const char *fewer_matters(struct arena *arena, const struct review *review)
{
	size_t left[ACTION_KINDS] = {0};
	for (size_t i = FIRST_MATTERS; i < review->matters.count; i++)
		left[review->matters.rows[i].lead->force]++;
	struct text text = text_in(arena);
	if (left[ACTION_JUSTIFY])
		text_addf(&text, "%zu more to justify", left[ACTION_JUSTIFY]);
	if (left[ACTION_CONSIDER])
		text_addf(&text, "%s%zu to consider", text.length ? ", " : "", left[ACTION_CONSIDER]);
	return text.data ? text.data : "";
}

const char *matter_case(struct arena *arena, const struct review *review, const struct finding *finding)
{
	bool any = finding->operating_case != EVERY_CASE && table_case_count(review->table) > 1;
	return any ? arena_format(arena, ", %s", finding_case(review, finding)) : "";
}

const char *first_advice(struct arena *arena, const char *remedy, size_t columns)
{
	size_t first = strcspn(remedy, ";");
	if (text_columns(remedy) <= columns)
		return remedy;
	const char *offer = remedy[first] ? arena_format(arena, "%s …", arena_copy_span(arena, remedy, first)) : remedy;
	if (text_columns(offer) <= columns)
		return offer;
	const char *cut = text_cut(arena, offer, columns), *blank = strrchr(cut, ' ');
	return blank ? arena_format(arena, "%s …", arena_copy_span(arena, cut, (size_t)(blank - cut))) : cut;
}

/* ---- how far the description goes ---- */

const char *described_sentence(struct arena *arena, const struct review *review)
{
	struct text names = text_in(arena);
	size_t judged = count_judged(review), open = count_verdict(review, VERDICT_NOT_JUDGED),
	       without = without_metal(review->table, &names), beyond = count_beyond(review);
	const char *first =
		arena_format(arena, "Of %zu checks that apply to this unit, %zu could be judged from the description.",
			judged + open - beyond, judged);
	if (beyond)
		first = arena_format(arena,
			"%s %zu more rest on what is not calculated here; no answer of the designer settles them.",
			first, beyond);
	return without
		? arena_format(arena, "%s No material is stated for %zu of %zu pieces of equipment and lines (%s).",
			  first, without, count_metal(review->table), names.data)
		: first;
}

const char *not_looked_at(struct arena *arena, const struct review *review)
{
	static const char always[] =
		"Not reviewed: piping stress and supports, foundations, the flare, instruments and electrical design, "
		"and what is beyond the battery limits.";
	size_t unread = review->statements.unread_count;
	return unread ? arena_format(arena, "%s No rule or calculation used %zu statement%s of the description.",
				always, unread, unread == 1 ? "" : "s")
		      : always;
}
