#include "revamp/permits.h"

#include <stdlib.h>
#include <string.h>

#include "base/progress.h"
#include "judge/screening.h"
#include "revamp/permits_search.h"

static bool is_asked(const struct permits_asked *asked, const struct finding *finding)
{
	return finding->verdict == VERDICT_NOT_JUDGED && !finding->idle && !finding->remark && finding->missing_count &&
		!screening_is_balance(finding->rule) && (!asked->rule || strcmp(finding->rule->id, asked->rule) == 0) &&
		(!asked->item || strcmp(finding->item->tag, asked->item) == 0);
}

static int class_of(const struct permit *permit)
{
	return permit->worst ? 0 : permit->why_not ? 2 : 1;
}

/* Gravest first: consequence, then force, then how far from the limit is left out: margins of different rules are not alike. */
static int by_gravity(const void *a, const void *b)
{
	const struct permit *one = a, *other = b;
	if (class_of(one) != class_of(other))
		return class_of(one) - class_of(other);
	if (one->worst && one->worst->force != other->worst->force)
		return one->worst->force < other->worst->force ? -1 : 1;
	const struct rule *rule = one->finding->rule, *second = other->finding->rule;
	if (one->worst && rule->consequence != second->consequence)
		return rule->consequence < second->consequence ? -1 : 1;
	return one->finding < other->finding ? -1 : 1;
}

static const struct permit *permit_for(const struct permits *permits, const struct finding *finding)
{
	for (size_t i = 0; i < permits->count; i++)
		if (permits->rows[i].finding->rule == finding->rule && permits->rows[i].finding->item == finding->item)
			return &permits->rows[i];
	return NULL;
}

/* False: none of the verdicts that wait for it was asked for. */
static bool weigh_question(const struct permits *permits, struct permit_question *out)
{
	const struct question *question = out->question;
	bool asked = false;
	for (size_t i = 0; i < question->request_count; i++)
		for (size_t k = 0; k < question->requests[i]->finding_count; k++) {
			const struct permit *permit = permit_for(permits, question->requests[i]->findings[k]);
			asked = asked || permit;
			if (!permit || !permit->worst)
				continue;
			out->turned++;
			if (!out->worst || by_gravity(permit, out->worst) < 0)
				out->worst = permit;
		}
	return asked;
}

static int by_worst(const void *a, const void *b)
{
	const struct permit_question *one = a, *other = b;
	if (!one->worst != !other->worst)
		return one->worst ? -1 : 1;
	int order = one->worst ? by_gravity(one->worst, other->worst) : 0;
	bool same = !one->worst || one->worst == other->worst;
	return same ? (one->now < other->now ? -1 : 1) : order;
}

static void rank_questions(const struct asking *asking, struct permits *permits)
{
	const struct questions *questions = &asking->review->questions;
	struct permit_question *rows = arena_alloc(asking->arena, (questions->now + 1) * sizeof *rows);
	bool some = asking->asked->rule || asking->asked->item;
	for (size_t i = 0; i < questions->now; i++) {
		struct permit_question *row = &rows[permits->question_count];
		*row = (struct permit_question){.question = &questions->rows[i], .now = i};
		permits->question_count += weigh_question(permits, row) || !some;
	}
	if (permits->question_count)
		qsort(rows, permits->question_count, sizeof *rows, by_worst);
	permits->questions = rows;
}

struct permits permits_of(
	struct arena *arena, const struct element *unit, const struct review *review, const struct permits_asked *asked)
{
	struct asking asking = {.arena = arena, .unit = unit, .review = review, .asked = asked};
	asking.source = (struct permit_source){.arena = arena,
		.catalogue = review->catalogue,
		.table = review->table,
		.reconciled = review->reconciled};
	const struct judgement *judgement = &review->judgement;
	struct permit *rows = arena_alloc(arena, (judgement->count + 1) * sizeof *rows);
	struct permits permits = {.rows = rows};
	size_t wanted = 0;
	asking.watched = watched_open(arena, unit, review->catalogue);
	asking.contradictions = permit_contradictions(asking.watched.as_it_is.table);
	for (size_t i = 0; i < judgement->count; i++)
		wanted += is_asked(asked, &judgement->findings[i]);
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (!is_asked(asked, finding))
			continue;
		progress_step(arena_format(arena, "%zu of %zu: completing what %s on %s lacks", permits.count + 1,
			wanted, finding->rule->id, finding->item->tag));
		rows[permits.count++] = permit_search(&asking, finding);
	}
	progress_wipe();
	if (permits.count)
		qsort(rows, permits.count, sizeof *rows, by_gravity);
	for (size_t i = 0; i < permits.count; i++) {
		permits.departing += rows[i].worst != NULL;
		permits.tried += rows[i].why_not == NULL;
	}
	rank_questions(&asking, &permits);
	return permits;
}
