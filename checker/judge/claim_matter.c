/* Claims in words: what the rules on their matter found, and figures that a word stands for. */
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/answers.h"
#include "judge/claim_matter.h"
#include "judge/claim_figure.h"
#include "judge/claim_subject.h"
#include "judge/deviation.h"
#include "resolve/equipment.h"

static const struct claim_matter matters[] = {
#define MATTER(word, rules, moot, moot_why) {word, rules, moot, moot_why},
#include "judge/matters.def"
};

const struct claim_matter *claim_matter_row(size_t i)
{
	return i < COUNT(matters) ? &matters[i] : NULL;
}

static const struct claim_matter *matter_of(const char *word)
{
	for (size_t i = 0; i < COUNT(matters); i++)
		if (strcmp(matters[i].word, word) == 0)
			return &matters[i];
	return NULL;
}

bool claim_matter_names_rule(const struct claim_matter *matter, const struct rule *rule)
{
	const char *rest = matter->rules, *part;
	for (size_t length; (part = text_alternative(&rest, &length)) != NULL;)
		if ((strncmp(part, rule->id, length) == 0 && !rule->id[length]) ||
			(strncmp(part, rule->matter, length) == 0 && !rule->matter[length]))
			return true;
	return false;
}

/* What the findings on a matter come to. */
struct tally {
	const struct finding *departs, *open, *meets;
	const struct item *moot;
	size_t departing;
};

/* The item itself or a part of it. */
static bool is_in(const struct item *item, const struct item *whole)
{
	for (; item && item != whole; item = item->parent)
		;
	return item == whole;
}

/* What a rule says of a claim is not what bears out a claim. */
static bool is_spoken_of(const struct subjects *subjects, const struct item *item)
{
	bool found = subjects->of_unit;
	for (size_t i = 0; i < subjects->count && !found; i++)
		found = is_in(item, subjects->rows[i]);
	return found && !item_is_any(item, "claim operating-limit");
}

/* A finding on the unit that lists one of them speaks of it too. */
static bool is_listed(const struct table *table, const struct subjects *subjects, const struct finding *finding)
{
	bool found = false;
	if (subjects->of_unit || !item_is(finding->item, "unit"))
		return false;
	for (size_t i = 0; i < table_item_count(table) && !found; i++) {
		const struct item *item = table_item(table, i);
		found = is_spoken_of(subjects, item) && finding_lists(table, finding, item);
	}
	return found;
}

static bool is_moot(const struct table *table, const struct claim_matter *matter, const struct item *item)
{
	for (int c = 0; *matter->moot && c < (int)table_case_count(table); c++) {
		const struct quantity *value = table_get(table, item, c, matter->moot);
		if (value && value->known != UNKNOWN && quantity_truth(value) == YES)
			return true;
	}
	return false;
}

static void count(struct tally *tally, const struct finding *finding, bool moot)
{
	switch (finding->verdict) {
	case VERDICT_DEPARTS:
	case VERDICT_ACCEPTED:
		tally->departing++;
		if (!tally->departs || finding->force < tally->departs->force)
			tally->departs = finding;
		break;
	case VERDICT_NOT_JUDGED:
	case VERDICT_OUT_OF_RANGE:
		tally->open = tally->open ? tally->open : finding;
		break;
	case VERDICT_MEETS:
		if (moot)
			tally->moot = finding->item;
		else
			tally->meets = tally->meets ? tally->meets : finding;
		break;
	case VERDICT_NOT_APPLICABLE:
		break;
	}
}

static void name_finding(struct answer *answer, const struct finding *finding)
{
	answer->rule = finding->rule;
	answer->rule_on = answer->on = finding->item;
	answer->operating_case = finding->operating_case;
	answer->value = finding->value;
}

static void contradict(struct answer *answer, const struct table *table, const struct tally *tally)
{
	struct arena *arena = table_arena(table);
	const struct finding *finding = tally->departs;
	name_finding(answer, finding);
	answer->state = ANSWER_CONTRADICTED;
	answer->force = finding->force < answer->force ? finding->force : answer->force;
	const char *more = tally->departing > 1 ? arena_format(arena, "; %zu more depart", tally->departing - 1) : "";
	answer->found = arena_format(arena, "%s on %s: %s%s", finding->rule->id, finding->item->tag,
		finding->value ? quantity_show_first(arena, finding->value) : finding->rule->title, more);
}

static void conclude(
	struct answer *answer, const struct table *table, const struct claim_matter *matter, const struct tally *tally)
{
	struct arena *arena = table_arena(table);
	if (tally->departs) {
		contradict(answer, table, tally);
	} else if (tally->open) {
		const struct missing *missing = tally->open->missing_count ? &tally->open->missing[0] : NULL;
		answer->missing = (struct missing){.item = missing ? missing->item : tally->open->item,
			.quantity = missing ? missing->quantity : NULL,
			.reason = arena_format(arena, "%s on %s is not judged%s%s", tally->open->rule->id,
				tally->open->item->tag, missing ? ": " : "", missing ? missing->reason : "")};
	} else if (tally->moot) {
		answer->missing = (struct missing){
			.reason = arena_format(arena, "of %s: %s", tally->moot->tag, matter->moot_why)};
	} else if (tally->meets && !*matter->moot && *matter->moot_why) {
		answer->missing = (struct missing){.reason = matter->moot_why};
	} else if (tally->meets) {
		name_finding(answer, tally->meets);
		answer->state = ANSWER_BORNE_OUT;
		answer->found = arena_format(arena, "%s on %s is met", tally->meets->rule->id, tally->meets->item->tag);
	} else {
		answer->missing = (struct missing){.reason = "no rule on this matter applies to it"};
	}
}

/* ---- an erosional velocity with its constant ---- */

/* C squared is the momentum flux at that velocity, in lb/(ft s2). API RP 14E, from memory. */
static bool answer_erosional(const struct table *table, struct answer *answer, const struct subjects *subjects)
{
	const struct quantity *constant = table_get(table, answer->claim, EVERY_CASE, "erosional-constant");
	const double most_taken = 100; /* continuous service, as rule VEL-015 has it */
	double c = constant && constant->known != UNKNOWN ? constant->si : most_taken, factor, offset;
	struct arena *arena = table_arena(table);
	if (!unit_find(KIND_MOMENTUM_FLUX, "lb/(ft s2)", 0, &factor, &offset))
		return false;
	struct figures figures = {.least = (double)NAN, .most = c * c * factor};
	enum truth all = YES;
	for (size_t i = 0; i < subjects->count; i++)
		for (int k = 0; k < (int)table_case_count(table); k++) {
			if (!claim_is_for_case(table, answer->claim, k))
				continue;
			const struct quantity *flux = table_get(table, subjects->rows[i], k, "momentum-flux");
			bool known = flux && flux->known != UNKNOWN;
			struct held held = known ? figures_hold(&figures, flux) : (struct held){.holds = PERHAPS};
			if (held.holds == PERHAPS && !answer->missing.reason)
				answer->missing = known ? (struct missing){.item = subjects->rows[i],
								  .reason = "the uncertainty of the momentum flux is "
									    "larger than its distance from C squared"}
							: item_lacks(arena, subjects->rows[i], "momentum-flux");
			if (known && (!answer->value || held.beyond > answer->beyond)) {
				answer->on = subjects->rows[i];
				answer->operating_case = k;
				answer->value = flux;
				answer->beyond = held.beyond;
			}
			all = truth_and(all, held.holds);
		}
	if (!subjects->count || all == PERHAPS)
		return true;
	answer->state = all == YES ? ANSWER_BORNE_OUT : ANSWER_CONTRADICTED;
	answer->missing = nothing_missing;
	answer->found = arena_format(arena, "momentum flux of %s, %s: C = %s in ft/s and lb/ft3, %s claimed",
		answer->on->tag, quantity_show_first(arena, answer->value),
		number_show(arena, sqrt(answer->value->si / factor)), number_show(arena, c));
	return true;
}

/* ---- in one case only ---- */

static bool departs_in(const struct finding *finding, int operating_case)
{
	if (finding->operating_case == EVERY_CASE || finding->operating_case == operating_case)
		return true;
	for (size_t i = 0; i < finding->outcome_count; i++)
		if (finding->cases[i].operating_case == operating_case && finding->cases[i].verdict == VERDICT_DEPARTS)
			return true;
	return false;
}

/* Departures that the item has in another case than the one named: of the quantity it names, or of any. */
static void answer_one_case(const struct table *table, const struct judgement *judgement, struct answer *answer,
	const struct subjects *subjects)
{
	struct arena *arena = table_arena(table);
	struct tally there = {0}, elsewhere = {0};
	const char *named = table_word(table, answer->claim, EVERY_CASE, "case");
	const char *name = table_word(table, answer->claim, EVERY_CASE, "quantity");
	for (size_t i = 0; named && i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if ((finding->verdict != VERDICT_DEPARTS && finding->verdict != VERDICT_ACCEPTED) ||
			!is_spoken_of(subjects, finding->item) || item_in(finding->item, CLASS_DOCUMENT) ||
			(name && !rule_judges(finding->rule, name)))
			continue;
		for (int c = 0; c < (int)table_case_count(table); c++)
			if (departs_in(finding, c))
				count(strcmp(table_case(table, c)->id, named) == 0 ? &there : &elsewhere, finding,
					false);
	}
	if (elsewhere.departs) {
		elsewhere.departing = 1;
		contradict(answer, table, &elsewhere);
	} else if (there.departs) {
		name_finding(answer, there.departs);
		answer->state = ANSWER_BORNE_OUT;
		answer->found = arena_format(
			arena, "%s on %s departs in no other case", there.departs->rule->id, there.departs->item->tag);
	} else {
		answer->missing = (struct missing){
			.reason = named ? "nothing departs in any case" : "it names no operating case"};
	}
}

void answer_in_words(const struct table *table, const struct judgement *judgement, struct answer *answer)
{
	const char *word = table_word(table, answer->claim, EVERY_CASE, "says");
	const struct claim_matter *matter = matter_of(word);
	struct subjects subjects = claim_subjects(table, answer->claim, NULL);
	struct tally tally = {0};
	if (strcmp(word, "turndown only") == 0) {
		answer_one_case(table, judgement, answer, &subjects);
		return;
	}
	if (strcmp(word, "erosional velocity") == 0 && subjects.of_unit)
		subjects.rows = table_of_kind(table, "line").rows, subjects.count = table_of_kind(table, "line").count;
	if (strcmp(word, "erosional velocity") == 0 && answer_erosional(table, answer, &subjects))
		return;
	for (size_t i = 0; matter && i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (claim_matter_names_rule(matter, finding->rule) &&
			(is_spoken_of(&subjects, finding->item) || is_listed(table, &subjects, finding)))
			count(&tally, finding, is_moot(table, matter, finding->item));
	}
	conclude(answer, table, matter, &tally);
}
