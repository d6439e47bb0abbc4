#include "record/requests.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "compute/solvent.h"

const char *request_id(struct arena *arena, const struct request *request)
{
	return arena_format(arena, "STATE/%s/%s", request->item ? request->item->tag : "unit", request->quantity);
}

/* A request while rules are added to it. */
struct waiting {
	struct request request;
	const struct rule **rules; /* those of the request */
	const struct finding **findings;
	size_t capacity, finding_capacity;
	int rank;
	size_t found; /* in the order of findings: keeps the sort stable */
};

/* Requests in the order in which they were met, found again by their reason. */
struct waiting_list {
	struct arena *arena;
	const int *ranks;
	struct waiting *rows;
	size_t count;
	size_t *by_reason; /* open addressing over index + 1 */
	size_t capacity;   /* a power of two */
};

static struct waiting *waiting_for(struct waiting_list *list, const struct missing *missing)
{
	size_t at = text_hash(missing->reason) & (list->capacity - 1);
	while (list->by_reason[at] && strcmp(list->rows[list->by_reason[at] - 1].request.reason, missing->reason) != 0)
		at = (at + 1) & (list->capacity - 1);
	if (!list->by_reason[at]) {
		list->rows[list->count] = (struct waiting){.request = {.item = missing->item,
								   .quantity = missing->quantity,
								   .reason = missing->reason,
								   .force = FORCE_ADVISORY},
			.rank = missing->item ? list->ranks[missing->item->index] : 0,
			.found = list->count};
		list->by_reason[at] = ++list->count;
	}
	return &list->rows[list->by_reason[at] - 1];
}

static void add(struct waiting_list *list, const struct missing *missing, const struct finding *finding)
{
	struct waiting *waiting = waiting_for(list, missing);
	struct request *request = &waiting->request;
	request->force = finding->force < request->force ? finding->force : request->force;
	waiting->findings = arena_grow(list->arena, waiting->findings, request->finding_count,
		&waiting->finding_capacity, sizeof *waiting->findings);
	waiting->findings[request->finding_count++] = finding;
	request->findings = waiting->findings;
	for (size_t i = 0; i < request->rule_count; i++)
		if (request->rules[i] == finding->rule)
			return;
	waiting->rules = arena_grow(
		list->arena, waiting->rules, request->rule_count, &waiting->capacity, sizeof *waiting->rules);
	waiting->rules[request->rule_count++] = finding->rule;
	request->rules = waiting->rules;
}

static int before(const void *left, const void *right)
{
	const struct waiting *a = left, *b = right;
	if (a->request.force != b->request.force)
		return a->request.force < b->request.force ? -1 : 1;
	int names = strcmp(a->request.quantity, b->request.quantity);
	if (names)
		return names;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	return a->found < b->found ? -1 : a->found > b->found;
}

static bool is_beyond(const char *reason)
{
	size_t length = strlen(reason), ending = strlen(quantity_no_number);
	return strcmp(reason, solvent_beyond) == 0 ||
		(length > ending && strcmp(reason + length - ending, quantity_no_number) == 0);
}

bool finding_is_beyond(const struct finding *finding)
{
	bool beyond = false;
	for (size_t i = 0; finding->verdict == VERDICT_NOT_JUDGED && i < finding->missing_count; i++)
		beyond = beyond || is_beyond(finding->missing[i].reason);
	return beyond;
}

static bool asks(const struct finding *finding)
{
	return finding->verdict == VERDICT_NOT_JUDGED && !finding->idle && !finding_is_beyond(finding);
}

static void add_assumption(struct waiting_list *list, const struct assumption *assumption)
{
	const struct missing missing = {
		.item = assumption->item, .quantity = assumption->quantity, .reason = assumption->reason};
	for (size_t i = 0; i < assumption->count; i++)
		add(list, &missing, assumption->findings[i]);
	struct request *request = &waiting_for(list, &missing)->request;
	bool worst = !request->turns || assumption->force < request->force;
	request->turns = worst ? assumption->turns : request->turns;
	request->reading = request->reading || assumption->reading;
	request->force = worst ? assumption->force : request->force;
}

struct requests requests_collect(struct arena *arena, const struct judgement *judgement,
	const struct finding *const *findings, size_t count, const int *ranks)
{
	size_t most = judgement->assumption_count;
	for (size_t i = 0; i < count; i++)
		most += asks(findings[i]) ? findings[i]->missing_count : 0;
	struct waiting_list list = {.arena = arena, .ranks = ranks, .capacity = 64};
	while (list.capacity < 2 * most)
		list.capacity *= 2;
	list.rows = arena_alloc(arena, (most + 1) * sizeof *list.rows);
	list.by_reason = arena_alloc(arena, list.capacity * sizeof *list.by_reason);
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; asks(findings[i]) && k < findings[i]->missing_count; k++)
			add(&list, &findings[i]->missing[k], findings[i]);
	for (size_t i = 0; i < judgement->assumption_count; i++)
		add_assumption(&list, &judgement->assumptions[i]);
	qsort(list.rows, list.count, sizeof *list.rows, before);
	struct request *requests = arena_alloc(arena, (list.count + 1) * sizeof *requests);
	for (size_t i = 0; i < list.count; i++)
		requests[i] = list.rows[i].request;
	return (struct requests){.rows = requests, .count = list.count};
}
