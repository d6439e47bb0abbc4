#include "record/matter.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/answers.h"
#include "record/item_list.h"

/* ---- causes ---- */

enum scope { THE_UNIT, PLACE, CONNECTED, ITS_STATE, STATE_TOO, FOUND };

struct cause {
	const char *matter, *words;
	enum scope scope;
};

static const struct cause causes[] = {
#define CAUSE(matter, words, scope) {matter, words, scope},
#include "record/causes.def"
};

/* A matter without a row is read as the last of the list. */
static const struct cause *cause_of(const struct rule *rule)
{
	for (size_t i = 0; i < COUNT(causes); i++)
		if (text_same(causes[i].matter, rule->matter))
			return &causes[i];
	return &causes[COUNT(causes) - 1];
}

const char *cause_of_rule(const struct rule *rule)
{
	return cause_of(rule)->words;
}

static const struct item *whole_of(const struct item *item)
{
	while (item->parent)
		item = item->parent;
	return item;
}

/* ---- which of two is graver ---- */

/* What is within its uncertainty of the limit comes last: a better value may clear it. */
static int doubt(enum certainty certainty)
{
	static const int order[] = {
		[CERTAINTY_FIRM] = 0, [CERTAINTY_SCREENING] = 1, [CERTAINTY_DISPUTED] = 2, [CERTAINTY_BORDERLINE] = 3};
	return order[certainty];
}

/* By more than twice the uncertainty of the value; a demand in words is met or not. */
static bool is_clear(const struct finding *finding)
{
	enum { CLEAR = 2 };
	const struct limit_result *row = finding->governing;
	if (!row || row->limit->says || !finding->value)
		return true;
	return fabs(row->margin) > CLEAR * quantity_reach(finding->value, row->at);
}

static int compare(int a, int b)
{
	return (a > b) - (a < b);
}

static int compare_certainty(const struct finding *a, const struct finding *b)
{
	int differs = compare(doubt(a->certainty), doubt(b->certainty));
	return differs ? differs : compare(is_clear(b), is_clear(a));
}

/* Negative: `a` is the graver. */
static int compare_findings(const struct finding *a, const struct finding *b)
{
	int differs = compare((int)a->force, (int)b->force);
	if (!differs)
		differs = compare((int)a->rule->consequence, (int)b->rule->consequence);
	return differs ? differs : compare_certainty(a, b);
}

/* ---- grouping ---- */

/* A finding with what it belongs to. */
struct member {
	const struct finding *finding;
	const struct cause *cause;
	const struct item *whole;
	const struct item *state; /* the equipment whose state it is about; NULL: none */
	bool beneath; /* it is told with what it rests on: a contradiction, or the finding that it follows from */
	size_t order; /* of flow */
	bool taken;
};

/* Was damage found, or a repair made, that must be resolved? Then its state is one matter. */
static bool has_state(const struct member *members, size_t count, const struct item *whole)
{
	for (size_t i = 0; i < count; i++)
		if (members[i].whole == whole && members[i].cause->scope == FOUND &&
			members[i].finding->force == FORCE_REQUIRED)
			return true;
	return false;
}

static bool is_about_state(const struct cause *cause)
{
	return cause->scope == ITS_STATE || cause->scope == STATE_TOO || cause->scope == FOUND;
}

/* The finding on the contradiction that another rests on; NULL: it rests on none, or that asks for nothing. */
static const struct member *cause_beneath(const struct member *members, size_t count, const struct finding *finding)
{
	for (size_t i = 0; finding->rests_on && i < count; i++)
		if (members[i].finding->item == finding->rests_on && !members[i].finding->rests_on)
			return &members[i];
	return NULL;
}

/* What the finding read under this name of a quantity, of whatever item; NULL: nothing. */
static const struct quantity *read_as(const struct finding *finding, const char *quantity)
{
	for (size_t i = 0; i < finding->input_count && i < finding->rule->input_count; i++)
		if (text_same(finding->rule->inputs[i].quantity, quantity))
			return finding->inputs[i].quantity;
	return NULL;
}

/*
 * What is open to a vessel sees the set pressure of its relief. Set too high for the vessel itself, it is the one fault of all that
 * is built as strong as the vessel.
 */
static bool follows_from_setting(const struct quantity *sees, const struct quantity *own, const struct finding *cause)
{
	const struct quantity *of = read_as(cause, "design-pressure");
	return read_as(cause, "set-over-design") && sees->inputs[0].item == cause->item && of &&
		own->si >= of->si; /* no number where it is not known */
}

/* A claim or limit of the package that the finding contradicts: the place is the matter, not that somebody denies it. */
static bool denies(const struct judgement *judgement, const struct finding *claim, const struct finding *finding)
{
	for (size_t i = 0; i < judgement->answer_count; i++) {
		const struct answer *answer = &judgement->answers[i];
		if (answer->claim == claim->item && answer->state == ANSWER_CONTRADICTED &&
			answer->rule == finding->rule && answer->rule_on == finding->item)
			return true;
	}
	return false;
}

/* The finding, as grave at least, that another is a consequence or a denial of; NULL: of none. */
static const struct member *followed(
	const struct judgement *judgement, const struct member *members, size_t count, const struct finding *finding)
{
	const struct quantity *sees = read_as(finding, "connected-pressure"),
			      *own = read_as(finding, "design-pressure");
	bool may_follow = sees && sees->input_count == 1 && own;
	bool may_deny = text_same(finding->rule->matter, "claims") || text_same(finding->rule->matter, "film claim");
	for (size_t i = 0; (may_follow || may_deny) && i < count; i++)
		if (members[i].finding != finding && members[i].finding->force <= finding->force &&
			((may_follow && follows_from_setting(sees, own, members[i].finding)) ||
				(may_deny && denies(judgement, finding, members[i].finding))))
			return &members[i];
	return NULL;
}

static void put_under(struct member *member, const struct member *above)
{
	member->cause = above->cause;
	member->whole = above->whole;
	member->state = above->state;
	member->beneath = true;
}

/* What rests on a contradiction has the cause of that; then what follows from another finding has the cause of it. */
static void put_beneath(const struct judgement *judgement, struct member *members, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct member *above = cause_beneath(members, count, members[i].finding);
		if (above)
			put_under(&members[i], above);
	}
	for (size_t i = 0; i < count; i++) {
		const struct member *above =
			members[i].beneath ? NULL : followed(judgement, members, count, members[i].finding);
		if (above)
			put_under(&members[i], above);
	}
}

static struct member *members_of(
	struct arena *arena, const struct judgement *judgement, const struct finding *const *findings, size_t count)
{
	struct member *members = arena_alloc(arena, (count + 1) * sizeof *members);
	for (size_t i = 0; i < count; i++)
		members[i] = (struct member){.finding = findings[i],
			.cause = cause_of(findings[i]->rule),
			.whole = whole_of(findings[i]->item),
			.order = i};
	for (size_t i = 0; i < count; i++)
		if (is_about_state(members[i].cause) && has_state(members, count, members[i].whole))
			members[i].state = members[i].whole;
	put_beneath(judgement, members, count);
	return members;
}

static bool ends_at(const struct table *table, const struct item *line, const struct item *other)
{
	static const char *const ends[] = {"from", "to"};
	for (size_t i = 0; i < COUNT(ends); i++) {
		const char *tag = table_word(table, line, EVERY_CASE, ends[i]);
		if (tag && text_same(tag, other->tag))
			return true;
	}
	return false;
}

/* One cause at one place; or, of the same rule asked of like places, one demand at all of them. */
static bool belong_together(const struct table *table, const struct member *a, const struct member *b)
{
	if (a->state || b->state)
		return a->state == b->state;
	if (!text_same(a->cause->words, b->cause->words))
		return false;
	if (a->cause->scope == THE_UNIT || a->cause->scope == STATE_TOO)
		return true;
	if (a->whole == b->whole)
		return true;
	return a->cause->scope == CONNECTED &&
		(ends_at(table, a->whole, b->whole) || ends_at(table, b->whole, a->whole));
}

static int before(const void *left, const void *right)
{
	const struct member *a = left, *b = right;
	int differs = compare(a->beneath, b->beneath);
	if (!differs)
		differs = compare_findings(a->finding, b->finding);
	return differs ? differs : (a->order > b->order) - (a->order < b->order);
}

/* Is `item` a part of a place that is listed already? */
static bool is_told(const struct item *const *places, size_t count, const struct item *item)
{
	for (const struct item *around = item; around; around = around->parent)
		for (size_t i = 0; i < count; i++)
			if (places[i] == around)
				return true;
	return false;
}

/* Of its first `own` findings: where a contradiction bears on verdicts, its message says. */
static void put_places(struct arena *arena, struct open_matter *matter, size_t own)
{
	const struct item **places = arena_alloc(arena, (own + 1) * sizeof *places);
	for (size_t i = 0; i < own; i++)
		if (!is_told(places, matter->place_count, matter->findings[i]->item))
			places[matter->place_count++] = matter->findings[i]->item;
	size_t kept = 0;
	for (size_t i = 0; i < matter->place_count; i++) {
		const struct item *place = places[i];
		if (!place->parent || !is_told(places, matter->place_count, place->parent))
			places[kept++] = place;
	}
	matter->places = places;
	matter->place_count = kept;
}

/* One or more findings, the lead first. */
static enum consequence worst_consequence(const struct open_matter *matter)
{
	enum consequence worst = matter->lead->rule->consequence;
	for (size_t i = 0; i < matter->count; i++) {
		const struct finding *finding = matter->findings[i];
		if (finding->force == matter->lead->force && finding->rule->consequence < worst)
			worst = finding->rule->consequence;
	}
	return worst;
}

/* Of the state of one piece of equipment what was found there, or done to it, says more than what its metal is like. */
static void lead_by_found(struct open_matter *matter, const struct finding **findings)
{
	for (size_t i = 1; i < matter->count; i++) {
		const struct finding *found = findings[i];
		if (cause_of(found->rule)->scope != FOUND || found->force != matter->lead->force ||
			found->rule->consequence != matter->lead->rule->consequence)
			continue;
		memmove(findings + 1, findings, i * sizeof *findings);
		findings[0] = matter->lead = found;
		return;
	}
}

static struct open_matter matter_of(
	struct arena *arena, const struct table *table, struct member *members, size_t count, size_t first)
{
	const struct finding **findings = arena_alloc(arena, (count - first) * sizeof *findings);
	struct open_matter matter = {.lead = members[first].finding, .findings = findings};
	size_t own = 0;
	for (size_t i = first; i < count; i++)
		if (!members[i].taken && belong_together(table, &members[first], &members[i])) {
			members[i].taken = true;
			own += !members[i].beneath;
			matter.denied = matter.denied ||
				(members[i].beneath && item_is_any(members[i].finding->item, "claim operating-limit"));
			findings[matter.count++] = members[i].finding;
		}
	matter.cause = members[first].state ? arena_format(arena, "State of %s", members[first].state->tag)
					    : members[first].cause->words;
	if (members[first].state && members[first].cause->scope != FOUND)
		lead_by_found(&matter, findings);
	matter.consequence = worst_consequence(&matter);
	put_places(arena, &matter, own);
	return matter;
}

/* What may not be so, or only with one of two values, stands with what weighs one less, and there behind what is firm. */
static int level(const struct finding *finding)
{
	return (int)finding->force + (finding->certainty == CERTAINTY_BORDERLINE || finding->unsettled);
}

static int before_matter(const void *left, const void *right)
{
	const struct open_matter *a = left, *b = right;
	int differs = compare(level(a->lead), level(b->lead));
	if (!differs)
		differs = compare((int)a->consequence, (int)b->consequence);
	if (!differs)
		differs = compare_certainty(a->lead, b->lead);
	if (!differs)
		differs = compare((int)a->lead->force, (int)b->lead->force);
	if (!differs)
		differs = compare(b->denied, a->denied);
	if (!differs)
		differs = compare((int)a->lead->rule->evidence, (int)b->lead->rule->evidence);
	if (!differs)
		differs = compare((int)b->place_count, (int)a->place_count);
	return differs ? differs : strcmp(a->cause, b->cause);
}

struct open_matters matters_collect(struct arena *arena, const struct table *table, const struct judgement *judgement,
	const struct finding *const *findings, size_t count)
{
	struct member *members = members_of(arena, judgement, findings, count);
	struct open_matter *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	struct open_matters matters = {.rows = rows};
	qsort(members, count, sizeof *members, before);
	for (size_t i = 0; i < count; i++)
		if (!members[i].taken)
			rows[matters.count++] = matter_of(arena, table, members, count, i);
	qsort(rows, matters.count, sizeof *rows, before_matter);
	return matters;
}

/* ---- words ---- */

const char *matter_places(struct arena *arena, const struct open_matter *matter, size_t most)
{
	return item_list(arena, matter->places, matter->place_count, most);
}

bool matter_has(const struct open_matter *matter, const struct finding *finding)
{
	for (size_t i = 0; i < matter->count; i++)
		if (matter->findings[i] == finding)
			return true;
	return false;
}
