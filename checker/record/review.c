#include "record/review.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "record/opposed.h"
#include "resolve/equipment.h"
#include "sulfide/lean_side.h"

const char *const review_cautions[] = {
	"This review is a screening aid. It is not a design, not a fitness-for-service assessment and not an approval.",
	"Hydrogen sulfide is lethal at concentrations met in this unit. Nothing here replaces the site's own safety "
	"studies and permits.",
	"Amine cracking and wet hydrogen sulfide damage can break vessels and piping without warning, at ordinary "
	"temperatures and without loss of wall.",
	"Standards are to be read in the edition in force. Local codes, the owner's specifications and the authority "
	"having jurisdiction govern over every figure in this document.",
	"Figures marked as from memory or from a secondary text were not read in the standard itself: check them "
	"against a licensed copy before use.",
	"What the description does not state could not be judged. A meets is only as good as the value it rests on.",
	"A licensed engineer who is competent in amine service decides.",
	NULL,
};

static const char *const action_words[] = {"Resolve", "Justify", "Consider", "State", "none"};
static const char *const action_shapes[] = {"\xE2\x96\xA0", "\xE2\x96\xB2", "\xE2\x97\x8F", "\xE2\x97\x87", ""};

const char *action_word(enum action action)
{
	return action_words[action];
}

bool action_from_word(const char *word, enum action *action)
{
	for (int i = 0; i < ACTION_KINDS; i++)
		if (text_same_nocase(word, action_words[i])) {
			*action = (enum action)i;
			return true;
		}
	return false;
}

const char *action_shape(enum action action)
{
	return action_shapes[action];
}

enum action finding_action(const struct finding *finding)
{
	if (finding->verdict == VERDICT_NOT_JUDGED)
		return ACTION_STATE;
	if (finding->verdict != VERDICT_DEPARTS || finding->remark)
		return ACTION_NONE;
	return (enum action)finding->force;
}

const char *finding_case(const struct review *review, const struct finding *finding)
{
	return finding->operating_case == EVERY_CASE ? "every case"
						     : table_case(review->table, finding->operating_case)->title;
}

const char *finding_id(struct arena *arena, const struct finding *finding)
{
	const struct rule *rule = finding->rule;
	const char *cause = rule->judged >= 0 ? rule->inputs[rule->judged].quantity
		: *rule->mechanism	      ? rule->mechanism
					      : rule->family;
	/* The velocity as liquid alone is the velocity by which replies of earlier rounds name the finding. */
	if (strcmp(cause, "liquid-velocity") == 0)
		cause = "velocity";
	/* So is the more careful of a stated and a calculated value: by the name of both. */
	size_t length = strlen(cause), ending = strlen("-judged");
	if (length > ending && strcmp(cause + length - ending, "-judged") == 0)
		cause = arena_copy_span(arena, cause, length - ending);
	return arena_format(arena, "%s/%s/%s", rule->id, finding->item->tag, cause);
}

/* ---- order of flow ---- */

/* Streams and lines are beside the equipment that their service belongs to. */
static int service_rank(const char *service)
{
	static const char *const beside[][2] = {{"sour gas", "gas"}, {"rich", "flash-drum"},
		{"flash gas", "flash-drum"}, {"acid gas", "regenerator"}, {"reflux", "condenser"},
		{"sour water", "condenser"}, {"steam", "reboiler"}, {"condensate", "reboiler"}, {"lean", "reboiler"},
		{"semi-lean", "reboiler"}, {"treated gas", "absorber"}};
	for (size_t i = 0; service && i < COUNT(beside); i++)
		if (strcmp(beside[i][0], service) == 0)
			return equipment_rank(beside[i][1]) + 5;
	return equipment_rank("vessel");
}

static const char *service_of(const struct table *table, const struct item *item)
{
	const struct quantity *service = table_peek(table, item, EVERY_CASE, "service");
	return service && service->known != UNKNOWN ? service->word : NULL;
}

int flow_rank(const struct table *table, const struct item *item)
{
	while (item->parent)
		item = item->parent;
	int rank = equipment_rank(item->kind);
	const char *service = service_of(table, item);
	if (rank == RANK_BY_SERVICE)
		return service_rank(service);
	if (item_is(item, "exchanger") && service && strcmp(service, "lean/rich") != 0)
		return equipment_rank("cooler");
	return rank;
}

/* ---- making the record ---- */

struct maker {
	struct arena *arena;
	struct review *review;
	int *ranks;  /* of every item */
	size_t open; /* findings that ask for something: the first of those ranked */
};

/* qsort has no room for the table: the rank is kept beside the finding. */
struct ranked {
	const struct finding *finding;
	enum action action;
	int rank;
};

static int before(const void *left, const void *right)
{
	const struct ranked *a = left, *b = right;
	if (a->action != b->action)
		return a->action < b->action ? -1 : 1;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	if (a->finding->item->index != b->finding->item->index)
		return a->finding->item->index < b->finding->item->index ? -1 : 1;
	return strcmp(a->finding->rule->id, b->finding->rule->id);
}

static struct ranked *rank_findings(struct maker *maker)
{
	const struct judgement *judgement = &maker->review->judgement;
	struct ranked *rows = arena_alloc(maker->arena, (judgement->count + 1) * sizeof *rows);
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		rows[i] = (struct ranked){.finding = finding,
			.action = finding_action(finding),
			.rank = maker->ranks[finding->item->index]};
		maker->open += rows[i].action <= ACTION_CONSIDER;
	}
	qsort(rows, judgement->count, sizeof *rows, before);
	return rows;
}

static bool is_of_flag(const struct ranked *row, const struct flag *flag)
{
	return row->action == flag->action && row->finding->rule == flag->rule;
}

/* Its findings: row `first` and those after it. */
static void fill_flag(struct maker *maker, struct flag *flag, const struct ranked *rows, size_t first, bool *taken)
{
	size_t count = 0;
	for (size_t i = first; i < maker->open; i++)
		count += is_of_flag(&rows[i], flag);
	const struct finding **findings = arena_alloc(maker->arena, count * sizeof *findings);
	for (size_t i = first; flag->count < count; i++)
		if (is_of_flag(&rows[i], flag)) {
			findings[flag->count++] = rows[i].finding;
			taken[i] = true;
		}
	flag->findings = findings;
}

/* All departures of one rule with one action are one flag; it is where its first item is. */
static void collect_flags(struct maker *maker, const struct ranked *rows)
{
	struct review *review = maker->review;
	struct flag *flags = NULL;
	size_t capacity = 0;
	bool *taken = arena_alloc(maker->arena, maker->open + 1);
	for (size_t i = 0; i < maker->open; i++) {
		if (taken[i])
			continue;
		flags = arena_grow(maker->arena, flags, review->flag_count, &capacity, sizeof *flags);
		struct flag *flag = &flags[review->flag_count++];
		*flag = (struct flag){.action = rows[i].action, .rule = rows[i].finding->rule};
		fill_flag(maker, flag, rows, i, taken);
		review->counts[flag->action] += flag->count;
	}
	review->flags = flags;
}

/* The findings that ask for something, in the order of flow within each action. */
static void put_matters(struct maker *maker, const struct ranked *rows)
{
	const struct finding **findings = arena_alloc(maker->arena, (maker->open + 1) * sizeof *findings);
	for (size_t i = 0; i < maker->open; i++)
		findings[i] = rows[i].finding;
	maker->review->matters =
		matters_collect(maker->arena, maker->review->table, &maker->review->judgement, findings, maker->open);
}

static const struct finding *const *in_order(struct maker *maker, const struct ranked *rows)
{
	size_t count = maker->review->judgement.count;
	const struct finding **findings = arena_alloc(maker->arena, (count + 1) * sizeof *findings);
	for (size_t i = 0; i < count; i++)
		findings[i] = rows[i].finding;
	return findings;
}

static void put_requests(struct maker *maker, const struct finding *const *findings)
{
	struct review *review = maker->review;
	struct requests requests =
		requests_collect(maker->arena, &review->judgement, findings, review->judgement.count, maker->ranks);
	review->requests = requests.rows;
	review->request_count = requests.count;
	review->questions = questions_collect(maker->arena, review->table, requests);
	review->counts[ACTION_STATE] = review->questions.now;
}

static void put_workings(struct maker *maker, const struct finding *const *findings)
{
	struct workings workings =
		workings_collect(maker->arena, maker->review->table, findings, maker->review->judgement.count);
	maker->review->workings = workings.rows;
	maker->review->working_count = workings.count;
}

static void collect_near_and_accepted(struct maker *maker, const struct ranked *rows)
{
	struct review *review = maker->review;
	const struct finding **near = NULL, **accepted = NULL;
	size_t near_capacity = 0, accepted_capacity = 0;
	for (size_t i = 0; i < review->judgement.count; i++) {
		const struct finding *finding = rows[i].finding;
		if (finding->verdict == VERDICT_MEETS && finding->governing && finding->governing->borderline) {
			near = arena_grow(maker->arena, near, review->near_count, &near_capacity, sizeof *near);
			near[review->near_count++] = finding;
		}
		if (finding->verdict == VERDICT_ACCEPTED) {
			accepted = arena_grow(
				maker->arena, accepted, review->accepted_count, &accepted_capacity, sizeof *accepted);
			accepted[review->accepted_count++] = finding;
		}
	}
	review->near = near;
	review->accepted = accepted;
}

/* In the order of the judgement, so that a finding is found by where it is. */
static void collect_nearest(struct maker *maker)
{
	struct review *review = maker->review;
	struct nearest *rows = NULL;
	size_t capacity = 0;
	for (size_t i = 0; i < review->judgement.count; i++) {
		const struct finding *finding = &review->judgement.findings[i];
		if (finding_action(finding) > ACTION_CONSIDER)
			continue;
		rows = arena_grow(maker->arena, rows, review->nearest_count, &capacity, sizeof *rows);
		rows[review->nearest_count] = accounts_nearest(maker->arena, review->table, review->catalogue, finding);
		review->nearest_count += rows[review->nearest_count].count > 0;
	}
	review->nearest = rows;
}

static int by_finding(const void *key, const void *row)
{
	const struct finding *finding = key, *other = ((const struct nearest *)row)->finding;
	return finding < other ? -1 : finding > other;
}

const struct nearest *review_nearest(const struct review *review, const struct finding *finding)
{
	if (!review->nearest_count)
		return NULL;
	return bsearch(finding, review->nearest, review->nearest_count, sizeof *review->nearest, by_finding);
}

static void collect_deviations(struct maker *maker)
{
	struct review *review = maker->review;
	size_t count = table_item_count(review->table);
	struct deviation *rows = arena_alloc(maker->arena, (count + 1) * sizeof *rows);
	for (size_t i = 0; i < count; i++) {
		const struct item *item = table_item(review->table, i);
		if (item_is(item, "deviation"))
			rows[review->deviation_count++] = (struct deviation){
				.item = item, .state = deviation_state_of(review->table, &review->judgement, item)};
	}
	review->deviations = rows;
}

/* Does a place go before another: more urgent, or as urgent and upstream? */
static bool goes_before(const struct maker *maker, const struct damage *a, const struct damage *b)
{
	if (a->urgency != b->urgency)
		return a->urgency < b->urgency;
	return maker->ranks[a->item->index] < maker->ranks[b->item->index];
}

/* By urgency, then in the order of flow; in that of the description where the flow does not tell. */
static void collect_damage(struct maker *maker)
{
	struct review *review = maker->review;
	const struct damage *found = damage_make(maker->arena, review->table, &review->damage_count);
	struct damage *rows = arena_alloc(maker->arena, (review->damage_count + 1) * sizeof *rows);
	size_t count = 0;
	for (size_t i = 0; i < review->damage_count; i++) {
		size_t at = count++;
		for (; at > 0 && goes_before(maker, &found[i], &rows[at - 1]); at--)
			rows[at] = rows[at - 1];
		rows[at] = found[i];
	}
	review->damage = rows;
}

/* ---- sources of what is shown ---- */

static void collect_sources(struct maker *maker)
{
	struct review *review = maker->review;
	const struct catalogue *catalogue = review->catalogue;
	bool *cited = arena_alloc(maker->arena, catalogue->source_count + 1);
	for (size_t i = 0; i < review->judgement.count; i++) {
		const struct rule *rule = review->judgement.findings[i].rule;
		for (size_t k = 0; k < rule->limit_count; k++)
			if (rule->limits[k].source)
				cited[rule->limits[k].source - catalogue->sources] = true;
		for (size_t k = 0; k < rule->input_count; k++)
			if (rule->inputs[k].source)
				cited[rule->inputs[k].source - catalogue->sources] = true;
	}
	for (size_t i = 0; review->workings && i < review->working_count; i++) {
		const struct formula *formula = review->workings[i].value.quantity->formula;
		const struct source *source =
			formula && *formula->source ? catalogue_source(catalogue, formula->source) : NULL;
		if (source)
			cited[source - catalogue->sources] = true;
	}
	for (size_t i = 0; sulfide_sources[i]; i++) {
		const struct source *source = catalogue_source(catalogue, sulfide_sources[i]);
		if (source)
			cited[source - catalogue->sources] = true;
	}
	for (size_t i = 0; i < review->nearest_count; i++)
		for (size_t k = 0; k < review->nearest[i].count; k++)
			cited[review->nearest[i].rows[k].source - catalogue->sources] = true;
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		const struct source *source = catalogue_source(catalogue, mechanisms[m].source);
		if (source && review->damage_count)
			cited[source - catalogue->sources] = true;
	}
	const struct source **sources = arena_alloc(maker->arena, (catalogue->source_count + 1) * sizeof *sources);
	for (size_t i = 0; i < catalogue->source_count; i++)
		if (cited[i])
			sources[review->source_count++] = &catalogue->sources[i];
	review->sources = sources;
}

static size_t count_items(const struct table *table)
{
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(table); i++)
		count += !item_in(table_item(table, i), CLASS_DOCUMENT);
	return count;
}

const struct review *review_make(struct arena *arena, const char *file, const struct table *table,
	const struct lean_side *lean_side, const struct reconciliations *reconciled, const struct catalogue *catalogue,
	struct judgement judgement)
{
	struct review *review = arena_alloc(arena, sizeof *review);
	struct maker maker = {.arena = arena, .review = review};
	*review = (struct review){
		.file = file,
		.number = table_unit_word(table, "number"),
		.name = table_unit_word(table, "name"),
		.revision = table_unit_word(table, "revision"),
		.date = table_unit_word(table, "date"),
		.document_number = table_unit_word(table, "document-number"),
		.table = table,
		.catalogue = catalogue,
		.judgement = opposed_mark(arena, judgement),
		.lean_side = lean_side,
		.reconciled = reconciled,
		.item_count = count_items(table),
	};
	maker.ranks = arena_alloc(arena, (table_item_count(table) + 1) * sizeof *maker.ranks);
	for (size_t i = 0; i < table_item_count(table); i++)
		maker.ranks[i] = flow_rank(table, table_item(table, i));
	const struct ranked *rows = rank_findings(&maker);
	const struct finding *const *findings = in_order(&maker, rows);
	collect_flags(&maker, rows);
	put_matters(&maker, rows);
	put_requests(&maker, findings);
	collect_near_and_accepted(&maker, rows);
	collect_nearest(&maker);
	collect_deviations(&maker);
	collect_damage(&maker);
	review->statements = statements_collect(arena, table);
	put_workings(&maker, findings);
	collect_sources(&maker);
	return review;
}
