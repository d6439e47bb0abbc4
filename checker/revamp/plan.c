#include "revamp/plan.h"

#include <string.h>

#include "base/progress.h"
#include "base/text.h"
#include "revamp/plan_cover.h"

enum {
	COVERS_LOOKED_AT = 24, /* of one group, before those with a change more */
	ROUNDS = 12	       /* of meeting what is still open after the groups are put together */
};

struct planning {
	struct arena *arena;
	struct verdicts *verdicts;
	enum action least;
	struct tried_list tried;
	struct plan_goal *goals;
	size_t goal_count;
	const struct tried **choices; /* tried ones that clear any goal, each once */
	size_t choice_count;
	bool *covers;		       /* choices x goals */
	size_t *group;		       /* of each goal: the first goal of its group */
	const struct tried **together; /* two of one goal that clear it only together; in every set */
	size_t together_count, together_capacity;
	bool given_up;
};

/* ---- goals and choices ---- */

static bool is_goal(const struct planning *planning, enum action action)
{
	return action <= planning->least;
}

/* Does the turn end what is to be cleared? What can no longer be judged is not cleared. */
static bool ends(const struct planning *planning, const struct verdict_turn *turn)
{
	return is_goal(planning, turn->before) && !is_goal(planning, turn->after) && turn->after != ACTION_STATE;
}

/* Does it bring something of that kind, or keep what was of it from being judged? */
static bool brings(const struct planning *planning, const struct verdict_turn *turn)
{
	return (!is_goal(planning, turn->before) && is_goal(planning, turn->after));
}

static bool is_about(const struct verdict_turn *turn, const struct finding *finding)
{
	return turn->rule == finding->rule && strcmp(turn->item, finding->item->tag) == 0;
}

static bool clears_goal(const struct planning *planning, const struct verdict_turns *turns, size_t goal)
{
	for (size_t i = 0; i < turns->count; i++)
		if (is_about(&turns->rows[i], planning->goals[goal].finding) && ends(planning, &turns->rows[i]))
			return true;
	return false;
}

static bool brings_any(const struct planning *planning, const struct verdict_turns *turns)
{
	for (size_t i = 0; i < turns->count; i++)
		if (brings(planning, &turns->rows[i]))
			return true;
	return false;
}

static void collect_goals(struct planning *planning)
{
	const struct judgement *judgement = &planning->verdicts->weighed;
	planning->goals = arena_alloc(planning->arena, (judgement->count + 1) * sizeof *planning->goals);
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].verdict == VERDICT_DEPARTS &&
			is_goal(planning, finding_action(&judgement->findings[i])))
			planning->goals[planning->goal_count++].finding = &judgement->findings[i];
}

/* Those that bring nothing first, so that of equally small sets they are found first. */
static void add_choices(struct planning *planning, bool bringing)
{
	for (size_t i = 0; i < planning->tried.count; i++) {
		const struct tried *tried = &planning->tried.rows[i];
		bool *row = &planning->covers[planning->choice_count * planning->goal_count], any = false;
		if (tried->fault || tried->same_as != i || brings_any(planning, &tried->turns) != bringing)
			continue;
		for (size_t g = 0; g < planning->goal_count; g++) {
			row[g] = clears_goal(planning, &tried->turns, g);
			any = any || row[g];
		}
		if (any)
			planning->choices[planning->choice_count++] = tried;
	}
}

static void collect_choices(struct planning *planning)
{
	size_t count = planning->tried.count + 1;
	planning->choices = arena_alloc(planning->arena, count * sizeof *planning->choices);
	planning->covers = arena_alloc(planning->arena, count * (planning->goal_count + 1) * sizeof(bool));
	add_choices(planning, false);
	add_choices(planning, true);
}

/* ---- goals that no change clears ---- */

static const char *why_left_out(const struct planning *planning, const struct finding *finding)
{
	const char *fault = NULL, *says = NULL;
	if (!finding->rule->change_count)
		return *finding->rule->only
			? arena_format(planning->arena, "its remedy is words only: %s", finding->rule->only)
			: "its remedy names no change";
	for (size_t i = 0; i < planning->tried.count; i++)
		if (planning->tried.rows[i].finding == finding) {
			fault = fault ? fault : planning->tried.rows[i].fault;
			says = says || planning->tried.rows[i].fault ? says : planning->tried.rows[i].remedy.says;
		}
	return says ? arena_format(planning->arena, "tried, and it stays: %s", says)
		    : arena_format(planning->arena, "what it names cannot be tried, because %s", fault);
}

static struct verdict_turns turns_of_two(const struct planning *planning, struct arena *arena, size_t a, size_t b)
{
	const struct tried *rows = planning->tried.rows;
	struct variant edits = variant_in(arena);
	variant_append(&edits, &rows[a].remedy.edits);
	variant_append(&edits, &rows[b].remedy.edits);
	return verdicts_quickly(planning->verdicts, arena, variant_build(arena, &edits, planning->verdicts->unit));
}

static void put_together_with(struct planning *planning, const struct tried *tried)
{
	planning->together = arena_grow(planning->arena, planning->together, planning->together_count,
		&planning->together_capacity, sizeof *planning->together);
	planning->together[planning->together_count++] = tried;
}

/* A goal that none of its changes clears by itself: do two of them? */
static bool clears_by_two(struct planning *planning, size_t goal)
{
	const struct tried *rows = planning->tried.rows;
	const struct finding *finding = planning->goals[goal].finding;
	bool cleared = false;
	for (size_t a = 0; !cleared && a < planning->tried.count; a++)
		for (size_t b = a + 1; !cleared && b < planning->tried.count && rows[a].finding == finding &&
			rows[b].finding == finding;
			b++) {
			struct arena another = {0};
			struct verdict_turns turns = {.rows = NULL};
			if (!rows[a].fault && !rows[b].fault)
				turns = turns_of_two(planning, &another, a, b);
			cleared = clears_goal(planning, &turns, goal);
			arena_release(&another);
			if (cleared) {
				put_together_with(planning, &rows[a]);
				put_together_with(planning, &rows[b]);
			}
		}
	return cleared;
}

static size_t leave_out(struct planning *planning)
{
	size_t left_out = 0;
	for (size_t g = 0; g < planning->goal_count; g++) {
		planning->goals[g].apart = true;
		for (size_t c = 0; c < planning->choice_count; c++)
			if (planning->covers[c * planning->goal_count + g])
				planning->goals[g].apart = false;
		if (planning->goals[g].apart && !clears_by_two(planning, g)) {
			planning->goals[g].left_out = why_left_out(planning, planning->goals[g].finding);
			left_out++;
		}
	}
	return left_out;
}

/* ---- groups of goals that share changes ---- */

static void join(struct planning *planning, size_t a, size_t b)
{
	size_t from = planning->group[a] > planning->group[b] ? planning->group[a] : planning->group[b];
	size_t to = planning->group[a] + planning->group[b] - from;
	for (size_t g = 0; g < planning->goal_count; g++)
		if (planning->group[g] == from)
			planning->group[g] = to;
}

static void find_groups(struct planning *planning)
{
	planning->group = arena_alloc(planning->arena, (planning->goal_count + 1) * sizeof *planning->group);
	for (size_t g = 0; g < planning->goal_count; g++)
		planning->group[g] = g;
	for (size_t c = 0; c < planning->choice_count; c++) {
		const bool *row = &planning->covers[c * planning->goal_count];
		size_t first = planning->goal_count;
		for (size_t g = 0; g < planning->goal_count; g++) {
			if (row[g] && first < planning->goal_count)
				join(planning, first, g);
			else if (row[g])
				first = g;
		}
	}
}

/* One group as a problem of covers. */
struct part_problem {
	struct cover_problem problem;
	size_t *goals, *choices; /* of the planning */
};

static struct part_problem problem_of(const struct planning *planning, size_t group)
{
	struct part_problem part = {
		.goals = arena_alloc(planning->arena, (planning->goal_count + 1) * sizeof *part.goals),
		.choices = arena_alloc(planning->arena, (planning->choice_count + 1) * sizeof *part.choices)};
	for (size_t g = 0; g < planning->goal_count; g++)
		if (planning->group[g] == group && !planning->goals[g].apart)
			part.goals[part.problem.goals++] = g;
	for (size_t c = 0; c < planning->choice_count; c++) {
		bool any = false;
		for (size_t g = 0; g < part.problem.goals; g++)
			any = any || planning->covers[c * planning->goal_count + part.goals[g]];
		if (any)
			part.choices[part.problem.choices++] = c;
	}
	bool *covers = arena_alloc(planning->arena, part.problem.choices * part.problem.goals + 1);
	for (size_t c = 0; c < part.problem.choices; c++)
		for (size_t g = 0; g < part.problem.goals; g++)
			covers[c * part.problem.goals + g] =
				planning->covers[part.choices[c] * planning->goal_count + part.goals[g]];
	part.problem.covers = covers;
	return part;
}

/* ---- a cover held against what it does ---- */

static struct variant edits_of(struct arena *arena, const struct remedy *const *changes, size_t count)
{
	struct variant edits = variant_in(arena);
	for (size_t i = 0; i < count; i++)
		variant_append(&edits, &changes[i]->edits);
	return edits;
}

static const struct remedy *const *remedies_of(
	const struct planning *planning, const struct part_problem *part, const struct cover *cover)
{
	const struct remedy **changes = arena_alloc(planning->arena, (cover->count + 1) * sizeof *changes);
	for (size_t i = 0; i < cover->count; i++)
		changes[i] = &planning->choices[part->choices[cover->choices[i]]]->remedy;
	return changes;
}

/* Are all goals of the group cleared, as far as judging quickly sees them, and nothing new brought? */
static bool holds(const struct planning *planning, const struct part_problem *part, const struct verdict_turns *turns)
{
	const struct judgement *weighed = &planning->verdicts->weighed;
	if (turns->fault || brings_any(planning, turns))
		return false;
	for (size_t g = 0; g < part->problem.goals; g++) {
		const struct finding *finding = planning->goals[part->goals[g]].finding;
		if (verdicts_follows(planning->verdicts, (size_t)(finding - weighed->findings)) &&
			!clears_goal(planning, turns, part->goals[g]))
			return false;
	}
	return true;
}

static bool cover_holds(const struct planning *planning, const struct part_problem *part, const struct cover *cover)
{
	if (cover->count == 1) {
		const struct tried *tried = planning->choices[part->choices[cover->choices[0]]];
		return holds(planning, part, &tried->turns);
	}
	struct arena another = {0};
	struct variant edits = edits_of(&another, remedies_of(planning, part, cover), cover->count);
	struct verdict_turns turns = verdicts_quickly(
		planning->verdicts, &another, variant_build(&another, &edits, planning->verdicts->unit));
	bool held = holds(planning, part, &turns);
	arena_release(&another);
	return held;
}

/* The covers of a group that hold, of the least size at which one does; else the first that there is. */
static struct covers covers_that_hold(struct planning *planning, const struct part_problem *part)
{
	struct covers all = covers_least(planning->arena, &part->problem, COVERS_LOOKED_AT), held = {.rows = NULL};
	struct cover first = all.rows[0];
	size_t size = first.count;
	for (size_t beyond = 0; !held.count && beyond < 2; beyond++) {
		for (size_t i = 0; i < all.count && held.count < PLAN_SETS; i++)
			if (cover_holds(planning, part, &all.rows[i])) {
				held.rows = arena_grow(
					planning->arena, held.rows, held.count, &held.capacity, sizeof *held.rows);
				held.rows[held.count++] = all.rows[i];
			}
		planning->given_up = planning->given_up || all.given_up;
		if (!held.count)
			all = covers_of_size(planning->arena, &part->problem, size + 1, COVERS_LOOKED_AT);
	}
	if (held.count)
		return held;
	held.rows = arena_grow(planning->arena, held.rows, 0, &held.capacity, sizeof *held.rows);
	held.rows[held.count++] = first;
	return held;
}

/* ---- sets ---- */

/* The changes of a set while it is put together. */
struct making {
	struct planning *planning;
	const struct remedy **changes;
	size_t count, capacity;
};

static void add_change(struct making *making, const struct remedy *change)
{
	for (size_t i = 0; i < making->count; i++)
		if (strcmp(making->changes[i]->says, change->says) == 0)
			return;
	making->changes = arena_grow(
		making->planning->arena, making->changes, making->count, &making->capacity, sizeof *making->changes);
	making->changes[making->count++] = change;
}

static struct plan_set reviewed(struct making *making)
{
	struct planning *planning = making->planning;
	struct arena another = {0};
	struct plan_set set = {.changes = making->changes, .count = making->count};
	set.edits = edits_of(planning->arena, making->changes, making->count);
	for (size_t i = 0; i < making->count; i++)
		set.stated += !making->changes[i]->works;
	progress_step("reviewing a set of changes");
	set.turns = verdicts_in_full(
		planning->verdicts, planning->arena, variant_build(&another, &set.edits, planning->verdicts->unit));
	set.fault = set.turns.fault;
	set.clears = !set.fault && !brings_any(planning, &set.turns);
	for (size_t g = 0; g < planning->goal_count; g++)
		set.clears = set.clears && (planning->goals[g].left_out || clears_goal(planning, &set.turns, g));
	arena_release(&another);
	return set;
}

/* How many goals are open in the set, and how many new findings are of their kind. */
static size_t open_in(const struct planning *planning, const struct plan_set *set)
{
	size_t open = 0;
	for (size_t g = 0; g < planning->goal_count; g++)
		open += !planning->goals[g].left_out && !clears_goal(planning, &set->turns, g);
	for (size_t i = 0; i < set->turns.count; i++)
		open += brings(planning, &set->turns.rows[i]);
	return open;
}

/* The changes that the remedies of what is open in the variant name there, made on the description as it was written. */
static void offers_of(struct making *making, const struct plan_set *set, struct making *offers)
{
	struct planning *planning = making->planning;
	struct problems problems = {.arena = planning->arena};
	const struct element *variant = variant_build(planning->arena, &set->edits, planning->verdicts->unit);
	struct assessed_unit assessed =
		verdicts_review(planning->arena, variant, planning->verdicts->catalogue, &problems);
	const struct remedy_site site = {
		.unit = planning->verdicts->unit, .table = assessed.table, .evaluator = evaluator_new()};
	planning->verdicts->full++;
	for (size_t i = 0; assessed.table && i < assessed.judgement.count; i++) {
		const struct finding *finding = &assessed.judgement.findings[i];
		bool open = finding->verdict == VERDICT_DEPARTS && is_goal(planning, finding_action(finding));
		for (size_t g = 0; open && g < planning->goal_count; g++)
			open = !(planning->goals[g].left_out && planning->goals[g].finding->rule == finding->rule &&
				strcmp(planning->goals[g].finding->item->tag, finding->item->tag) == 0);
		for (size_t k = 0; open && k < finding->rule->change_count; k++) {
			struct remedy *remedy = arena_alloc(planning->arena, sizeof *remedy);
			*remedy = remedy_make(planning->arena, &site, finding, &finding->rule->changes[k]);
			if (!remedy->fault)
				add_change(offers, remedy);
		}
	}
	evaluator_release(site.evaluator);
}

/* Adds the change that leaves the fewest open, if any leaves fewer. */
static bool grow(struct making *making, struct plan_set *set)
{
	struct making offers = {.planning = making->planning};
	struct plan_set best = *set;
	size_t fewest = open_in(making->planning, set), before = making->count;
	offers_of(making, set, &offers);
	for (size_t i = 0; i < offers.count && fewest; i++) {
		struct making with = {.planning = making->planning};
		for (size_t k = 0; k < before; k++)
			add_change(&with, making->changes[k]);
		add_change(&with, offers.changes[i]);
		struct plan_set tried = reviewed(&with);
		size_t open = tried.fault ? SIZE_MAX : open_in(making->planning, &tried);
		if (open < fewest) {
			fewest = open;
			best = tried;
			*making = with;
		}
	}
	bool better = making->count > before;
	*set = best;
	return better;
}

/* Leaves out, from the last to the first, what the set does as much without. */
static void prune(struct making *making, struct plan_set *set)
{
	for (size_t i = making->count; i > 0 && making->count > 1; i--) {
		struct making without = {.planning = making->planning};
		for (size_t k = 0; k < making->count; k++)
			if (k != i - 1)
				add_change(&without, making->changes[k]);
		struct plan_set tried = reviewed(&without);
		if (tried.clears) {
			*making = without;
			*set = tried;
		}
	}
}

static void count_left(const struct planning *planning, struct plan_set *set)
{
	const struct judgement *weighed = &planning->verdicts->weighed;
	for (size_t i = 0; i < weighed->count; i++) {
		enum action action = finding_action(&weighed->findings[i]);
		bool idle = weighed->findings[i].verdict == VERDICT_NOT_JUDGED && weighed->findings[i].idle;
		if (action != ACTION_NONE && !idle)
			set->left[action]++;
	}
	for (size_t i = 0; i < set->turns.count; i++) {
		if (set->turns.rows[i].before != ACTION_NONE)
			set->left[set->turns.rows[i].before]--;
		if (set->turns.rows[i].after != ACTION_NONE)
			set->left[set->turns.rows[i].after]++;
	}
}

/* The groups' covers of one number put together, mended where they act on each other, and reviewed. */
static struct plan_set put_together(struct planning *planning, const struct part_problem *parts,
	const struct covers *found, size_t count, size_t number)
{
	struct making making = {.planning = planning};
	for (size_t i = 0; i < planning->together_count; i++)
		add_change(&making, &planning->together[i]->remedy);
	for (size_t p = 0; p < count; p++) {
		const struct cover *cover = &found[p].rows[number < found[p].count ? number : 0];
		const struct remedy *const *changes = remedies_of(planning, &parts[p], cover);
		for (size_t i = 0; i < cover->count; i++)
			add_change(&making, changes[i]);
	}
	struct plan_set set = reviewed(&making);
	bool mended = false;
	for (int round = 0; round < ROUNDS && !set.clears && !set.fault && grow(&making, &set); round++)
		mended = true;
	if (mended && set.clears)
		prune(&making, &set);
	count_left(planning, &set);
	return set;
}

static bool is_new(const struct plan_set *sets, size_t count, const struct plan_set *set)
{
	for (size_t s = 0; s < count; s++) {
		size_t same = 0;
		for (size_t i = 0; i < set->count; i++)
			for (size_t k = 0; k < sets[s].count; k++)
				same += strcmp(set->changes[i]->says, sets[s].changes[k]->says) == 0;
		if (same == set->count && same == sets[s].count)
			return false;
	}
	return true;
}

static void find_sets(struct planning *planning, struct plan *plan)
{
	struct part_problem *parts = arena_alloc(planning->arena, (planning->goal_count + 1) * sizeof *parts);
	struct covers *found = arena_alloc(planning->arena, (planning->goal_count + 1) * sizeof *found);
	struct plan_set *sets = arena_alloc(planning->arena, PLAN_SETS * sizeof *sets);
	size_t count = 0, most = 1;
	for (size_t g = 0; g < planning->goal_count; g++) {
		if (planning->group[g] != g || planning->goals[g].apart)
			continue;
		parts[count] = problem_of(planning, g);
		found[count] = covers_that_hold(planning, &parts[count]);
		most = found[count].count > most ? found[count].count : most;
		count++;
	}
	for (size_t number = 0; count + planning->together_count && number < most && plan->set_count < PLAN_SETS;
		number++) {
		struct plan_set set = put_together(planning, parts, found, count, number);
		if (is_new(sets, plan->set_count, &set) && (!plan->set_count || set.clears))
			sets[plan->set_count++] = set;
	}
	plan->sets = sets;
}

/* Does it leave no more of any kind than the other, less of one, and state no more that has to be shown? */
static bool is_better_set(const struct plan_set *set, const struct plan_set *other)
{
	bool better = false;
	if (set->fault || set->stated > other->stated)
		return false;
	for (size_t k = 0; k < ACTION_KINDS; k++) {
		if (set->left[k] > other->left[k])
			return false;
		better = better || set->left[k] < other->left[k];
	}
	return better;
}

static bool is_dominated(const struct plan_set *sets, size_t count, const struct plan_set *set)
{
	for (size_t s = 0; s < count; s++)
		if (is_better_set(&sets[s], set))
			return true;
	return false;
}

static void drop_dominated(struct plan_set *sets, size_t *count)
{
	size_t kept = 0;
	for (size_t s = 0; s < *count; s++)
		if (!is_dominated(sets, kept, &sets[s]) && !is_dominated(&sets[s + 1], *count - s - 1, &sets[s]))
			sets[kept++] = sets[s];
	*count = kept;
}

/* Only the smallest are kept, and those that clear everything before one that does not. */
static void keep_smallest(struct plan *plan)
{
	struct plan_set *sets = arena_alloc(plan->verdicts->arena, PLAN_SETS * sizeof *sets);
	size_t smallest = SIZE_MAX, count = 0;
	bool clears = false;
	for (size_t s = 0; s < plan->set_count; s++)
		clears = clears || plan->sets[s].clears;
	for (size_t s = 0; s < plan->set_count; s++)
		if (plan->sets[s].clears == clears && plan->sets[s].count < smallest)
			smallest = plan->sets[s].count;
	for (size_t s = 0; s < plan->set_count; s++)
		if (plan->sets[s].clears == clears && plan->sets[s].count == smallest)
			sets[count++] = plan->sets[s];
	drop_dominated(sets, &count);
	plan->sets = sets;
	plan->set_count = count;
}

/* A verdict on the unit as a whole can be met by nothing at all (no line is in lean amine): it shows that nothing was described. */
static void count_judged(struct plan *plan)
{
	const struct judgement *weighed = &plan->verdicts->weighed;
	for (size_t i = 0; i < weighed->count; i++) {
		const struct finding *finding = &weighed->findings[i];
		plan->judged += finding->verdict == VERDICT_DEPARTS ||
			(finding->verdict == VERDICT_MEETS && !item_is(finding->item, "unit"));
		plan->not_judged += finding->verdict == VERDICT_NOT_JUDGED && !finding->idle;
	}
}

struct plan plan_make(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, enum action least)
{
	struct planning planning = {.arena = arena, .verdicts = verdicts_open(arena, unit, catalogue), .least = least};
	planning.tried = remedies_try(arena, planning.verdicts, least);
	collect_goals(&planning);
	collect_choices(&planning);
	struct plan plan = {.least = least, .verdicts = planning.verdicts, .tried = planning.tried};
	plan.left_out = leave_out(&planning);
	find_groups(&planning);
	find_sets(&planning, &plan);
	keep_smallest(&plan);
	count_judged(&plan);
	progress_wipe();
	plan.goals = planning.goals;
	plan.goal_count = planning.goal_count;
	plan.given_up = planning.given_up;
	return plan;
}
