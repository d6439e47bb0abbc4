#include "judge/answers.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "judge/claim_figure.h"
#include "judge/claim_subject.h"
#include "judge/deviation.h"

const char *answer_word(enum answer_state state)
{
	static const char *const words[] = {"borne out", "contradicted", "not checkable"};
	return words[state];
}

/* ---- rules on the same quantity ---- */

bool rule_judges(const struct rule *rule, const char *quantity)
{
	if (rule->judged < 0)
		return false;
	const char *judged = rule->inputs[rule->judged].quantity;
	size_t length = strlen(quantity);
	if (strncmp(judged, "liquid-", strlen("liquid-")) == 0 && strcmp(judged + strlen("liquid-"), quantity) == 0)
		return true;
	return strncmp(judged, quantity, length) == 0 &&
		(judged[length] == '\0' || strcmp(judged + length, "-judged") == 0);
}

static bool departs(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_ACCEPTED;
}

const struct finding *departure_on(const struct judgement *judgement, const struct item *item, const char *quantity)
{
	const struct finding *worst = NULL;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->item == item && departs(finding) &&
			(rule_judges(finding->rule, quantity) ||
				(finding->rule->judged < 0 && rule_reads(finding->rule, quantity))) &&
			(!worst || finding->force < worst->force))
			worst = finding;
	}
	return worst;
}

/* ---- figures beside values ---- */

/* What was seen of one claim, over items and cases. */
struct weighing {
	const struct table *table;
	struct answer *answer;
	const char *name;
	size_t seen, open; /* values looked at; those of which nothing follows */
	size_t cases;	   /* cases it speaks of */
	bool differs;	   /* the values differ by case */
	enum truth all;
	const char *second; /* the document whose value decides, or NULL */
};

static void keep(struct weighing *weighing, const struct item *item, int c, const struct quantity *value,
	struct held held, const char *document)
{
	struct answer *answer = weighing->answer;
	bool worse = !answer->value || (held.holds == NO && weighing->all != NO) ||
		((held.holds == NO) == (weighing->all == NO) && held.beyond > answer->beyond);
	if (weighing->answer->value && answer->on == item && !number_same(answer->value->si, value->si))
		weighing->differs = true;
	if (held.holds == PERHAPS) {
		weighing->open++;
		if (!answer->missing.reason)
			answer->missing = (struct missing){.item = item,
				.quantity = weighing->name,
				.reason = arena_format(table_arena(weighing->table),
					"the uncertainty of %s of %s, %s, is larger than its distance from the figure",
					weighing->name, item->tag,
					quantity_show_first(table_arena(weighing->table), value))};
	}
	if (worse && held.holds != PERHAPS) {
		answer->on = item;
		answer->operating_case = c;
		answer->value = value;
		answer->beyond = held.beyond;
		weighing->second = document;
	}
	weighing->all = truth_and(weighing->all, held.holds);
}

static void leave_open(struct weighing *weighing, const struct item *item, struct missing missing)
{
	weighing->open++;
	weighing->all = truth_and(weighing->all, PERHAPS);
	if (!weighing->answer->missing.reason)
		weighing->answer->missing =
			missing.reason ? missing : item_lacks(table_arena(weighing->table), item, weighing->name);
}

static void weigh_value(struct weighing *weighing, const struct item *item, int c)
{
	const struct quantity *value = table_get(weighing->table, item, c, weighing->name);
	struct arena *arena = table_arena(weighing->table);
	weighing->seen++;
	if (!value || value->known == UNKNOWN) {
		leave_open(weighing, item, value ? quantity_missing(value) : nothing_missing);
		return;
	}
	struct figures figures = claim_figures(weighing->table, weighing->answer->claim, value->kind);
	if (!figures_any(&figures))
		leave_open(weighing, item,
			(struct missing){.reason = arena_format(arena, "it states no figure for %s", weighing->name)});
	else
		keep(weighing, item, c, value, figures_hold(&figures, value), NULL);
}

/* What another document states of the same value is a value of it too. */
static void weigh_seconds(struct weighing *weighing, const struct item *item)
{
	size_t count;
	const struct contradiction *all = table_contradictions(weighing->table, &count);
	for (size_t i = 0; i < count; i++) {
		const struct contradiction *row = &all[i];
		const struct quantity *value = row->second;
		if (row->of != item || !text_same(row->name, weighing->name) || !value || value->known == UNKNOWN ||
			(row->operating_case != EVERY_CASE &&
				!claim_is_for_case(weighing->table, weighing->answer->claim, row->operating_case)))
			continue;
		struct figures figures = claim_figures(weighing->table, weighing->answer->claim, value->kind);
		if (figures_any(&figures))
			keep(weighing, item, row->operating_case, value, figures_hold(&figures, value),
				value->document && *value->document ? value->document : "another statement");
	}
}

/* A limit of operation was kept by every dated reading, or it was not. */
static void weigh_readings(struct weighing *weighing, const struct item *item)
{
	const struct item *claim = weighing->answer->claim;
	for (size_t i = item->index + 1; i < table_parts_end(weighing->table, item); i++) {
		const struct item *reading = table_item(weighing->table, i);
		const struct quantity *value =
			reading->parent == item && item_is_any(reading, "dated-analysis wall-reading inspection")
			? table_get(weighing->table, reading, EVERY_CASE, weighing->name)
			: NULL;
		if (!item_is(claim, "operating-limit") || !value || value->known == UNKNOWN)
			continue;
		const char *date = table_word(weighing->table, reading, EVERY_CASE, "date");
		struct figures figures = claim_figures(weighing->table, claim, value->kind);
		if (figures_any(&figures))
			keep(weighing, item, EVERY_CASE, value, figures_hold(&figures, value),
				arena_format(table_arena(weighing->table), "the reading of %s",
					date ? date : "a day not stated"));
	}
}

static const char *where(const struct weighing *weighing)
{
	const struct answer *answer = weighing->answer;
	struct arena *arena = table_arena(weighing->table);
	const char *in = !weighing->differs || answer->operating_case == EVERY_CASE
		? ""
		: arena_format(arena, " in %s", table_case(weighing->table, answer->operating_case)->title);
	return weighing->second ? arena_format(arena, "%s by %s", in, weighing->second) : in;
}

static const char *figure_found(const struct weighing *weighing)
{
	const struct answer *answer = weighing->answer;
	struct arena *arena = table_arena(weighing->table);
	if (answer->state == ANSWER_NOT_CHECKABLE)
		return weighing->open > 1 && weighing->seen > weighing->cases
			? arena_format(arena, "%s; so for %zu of %zu values", answer->missing.reason, weighing->open,
				  weighing->seen)
			: answer->missing.reason;
	const char *rule = answer->rule
		? arena_format(arena, "; %s on %s %s", answer->rule->id, answer->rule_on->tag, "departs")
		: "";
	return arena_format(arena, "%s of %s, %s%s%s", weighing->name, answer->on->tag,
		quantity_show_first(arena, answer->value), where(weighing), rule);
}

static void decide(struct weighing *weighing, const struct judgement *judgement)
{
	struct answer *answer = weighing->answer;
	answer->state = weighing->all == NO		 ? ANSWER_CONTRADICTED
		: weighing->all == YES && weighing->seen ? ANSWER_BORNE_OUT
							 : ANSWER_NOT_CHECKABLE;
	if (answer->state == ANSWER_NOT_CHECKABLE) {
		if (!answer->missing.reason)
			answer->missing = (struct missing){.item = answer->claim,
				.quantity = weighing->name,
				.reason = arena_format(table_arena(weighing->table),
					"%s is not stated anywhere in this unit", weighing->name)};
	} else {
		answer->missing = nothing_missing;
		const struct finding *finding = departure_on(judgement, answer->on, weighing->name);
		answer->rule = finding ? finding->rule : NULL;
		answer->rule_on = finding ? finding->item : NULL;
		if (finding && answer->state == ANSWER_CONTRADICTED && finding->force < answer->force)
			answer->force = finding->force;
	}
	answer->found = figure_found(weighing);
}

static void answer_figure(
	const struct table *table, const struct judgement *judgement, struct answer *answer, const char *name)
{
	struct weighing weighing = {.table = table, .answer = answer, .name = name, .all = YES};
	struct subjects subjects = claim_subjects(table, answer->claim, name);
	for (int c = 0; c < (int)table_case_count(table); c++)
		weighing.cases += claim_is_for_case(table, answer->claim, c);
	for (size_t i = 0; i < subjects.count; i++) {
		for (int c = 0; c < (int)table_case_count(table); c++)
			if (claim_is_for_case(table, answer->claim, c))
				weigh_value(&weighing, subjects.rows[i], c);
		weigh_seconds(&weighing, subjects.rows[i]);
		weigh_readings(&weighing, subjects.rows[i]);
	}
	decide(&weighing, judgement);
}

/* ---- deviations ---- */

static void answer_deviation(const struct table *table, const struct judgement *judgement, struct answer *answer)
{
	struct arena *arena = table_arena(table);
	const struct item *item = answer->claim;
	enum deviation_state state = deviation_state_of(table, judgement, item);
	bool open = state == DEVIATION_INCOMPLETE || state == DEVIATION_CAP_OPEN;
	answer->state = state == DEVIATION_APPLIES ? ANSWER_BORNE_OUT
		: open				   ? ANSWER_NOT_CHECKABLE
						   : ANSWER_CONTRADICTED;
	const struct finding *finding = deviation_finding(table, judgement, item);
	if (finding) {
		answer->rule = finding->rule;
		answer->rule_on = finding->item;
		answer->on = finding->item;
		answer->operating_case = finding->operating_case;
		answer->value = finding->value;
		answer->force =
			state != DEVIATION_APPLIES && finding->force < answer->force ? finding->force : answer->force;
	}
	const char *approved = table_word(table, item, EVERY_CASE, "approved"),
		   *until = table_word(table, item, EVERY_CASE, "until");
	answer->found = state == DEVIATION_INCOMPLETE
		? arena_format(arena, "it lacks %s", deviation_lacks(arena, table, item))
		: arena_format(arena, "%s%s%s; approved by %s until %s", deviation_word(state),
			  finding && finding->value ? ": " : "",
			  finding && finding->value ? quantity_show_first(arena, finding->value) : "", approved, until);
	if (open)
		answer->missing = (struct missing){.item = item, .reason = answer->found};
}

/* ---- all ---- */

static struct answer answer_of(const struct table *table, const struct judgement *judgement, const struct item *claim)
{
	struct answer answer = {.claim = claim,
		.state = ANSWER_NOT_CHECKABLE,
		.words = claim_words(table, claim),
		.operating_case = EVERY_CASE,
		.beyond = (double)NAN,
		.force = FORCE_RECOMMENDED,
		.against = "none",
		.beside = "not compared",
		.looser_than = ""};
	const char *name = table_word(table, claim, EVERY_CASE, "quantity");
	if (item_is(claim, "deviation"))
		answer_deviation(table, judgement, &answer);
	else if (table_word(table, claim, EVERY_CASE, "says"))
		answer_in_words(table, judgement, &answer);
	else if (name)
		answer_figure(table, judgement, &answer, name);
	else
		answer.missing =
			(struct missing){.item = claim, .quantity = "quantity", .reason = "it names no quantity"};
	if (!answer.found)
		answer.found = answer.missing.reason ? answer.missing.reason : "";
	return answer;
}

struct answers answers_make(const struct table *table, const struct judgement *judgement)
{
	struct answers answers = {
		.rows = arena_alloc(table_arena(table), (table_item_count(table) + 1) * sizeof *answers.rows)};
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (item_is_any(item, "claim operating-limit deviation"))
			answers.rows[answers.count++] = answer_of(table, judgement, item);
	}
	answers_beside(table, judgement, &answers);
	return answers;
}

static void put_text(struct table *told, const struct answer *answer, const char *name, const char *words)
{
	table_put(told, answer->claim, EVERY_CASE, name,
		quantity_assumed_word(table_arena(told), KIND_TEXT, words, "from the subject of the claim"));
}

void answers_put(struct table *told, const struct answers *answers)
{
	for (size_t i = 0; i < answers->count; i++) {
		const struct answer *answer = &answers->rows[i];
		/* Where no value would let it be checked there is nothing to ask for. */
		bool open = answer->state == ANSWER_NOT_CHECKABLE && answer->missing.quantity;
		put_text(told, answer, "claim-words", answer->words);
		put_text(told, answer, "claim-found", answer->found);
		put_text(told, answer, "claim-against", answer->against);
		put_text(told, answer, "beside-catalogue", answer->beside);
		put_text(told, answer, "looser-than", answer->looser_than);
		if (open)
			table_put(told, answer->claim, EVERY_CASE, "claim-answer",
				quantity_lacking(table_arena(told), KIND_TEXT, answer->missing));
		else
			put_text(told, answer, "claim-answer", answer_word(answer->state));
	}
}

void answers_raise(const struct answers *answers, struct finding *finding)
{
	bool answered = rule_reads(finding->rule, "claim-answer"), looser = rule_reads(finding->rule, "looser-than");
	for (size_t i = 0; (answered || looser) && i < answers->count; i++) {
		const struct answer *answer = &answers->rows[i];
		enum force force = answered ? answer->force : answer->looser_force;
		if (answer->claim != finding->item || force >= finding->force || finding->verdict != VERDICT_DEPARTS)
			continue;
		finding->force = force;
		finding->why_force = "it takes the force of the finding it contradicts";
	}
}
