#include "revamp/write_plan.h"

#include <string.h>

#include "base/text.h"

/* ---- text ---- */

static const char *goal_words(enum action least)
{
	return least == ACTION_RESOLVE ? "to resolve" : "to resolve or to justify";
}

static bool has_same_sort_before(const struct plan_set *set, size_t change)
{
	for (size_t i = 0; i < change; i++)
		if (strcmp(set->changes[i]->sort, set->changes[change]->sort) == 0)
			return true;
	return false;
}

/* Changes of one sort in one line: they are one job on several items. */
static void print_sort(const struct plan_set *set, size_t change, FILE *out)
{
	const struct remedy *first = set->changes[change];
	size_t count = 0;
	for (size_t i = change; i < set->count; i++)
		count += strcmp(set->changes[i]->sort, first->sort) == 0;
	if (count == 1) {
		fprintf(out, "  %s\n", first->says);
		return;
	}
	fprintf(out, "  %s: ", first->sort);
	for (size_t i = change, written = 0; i < set->count; i++)
		if (strcmp(set->changes[i]->sort, first->sort) == 0)
			fprintf(out, "%s%s", written++ ? ", " : "", set->changes[i]->item);
	fprintf(out, " (%zu)\n", count);
}

/* The parts of all changes of a set that only state something. */
struct stated_parts {
	const struct remedy_part **rows;
	size_t count;
};

static struct stated_parts stated_in(struct arena *arena, const struct plan_set *set)
{
	struct stated_parts parts = {.rows = NULL};
	size_t capacity = 0;
	for (size_t i = 0; i < set->count; i++)
		for (size_t k = 0; k < set->changes[i]->stated_count; k++) {
			parts.rows = arena_grow(arena, parts.rows, parts.count, &capacity, sizeof *parts.rows);
			parts.rows[parts.count++] = &set->changes[i]->stated[k];
		}
	return parts;
}

static bool says_before(const struct stated_parts *parts, size_t at)
{
	for (size_t i = 0; i < at; i++)
		if (strcmp(parts->rows[i]->says, parts->rows[at]->says) == 0)
			return true;
	return false;
}

/* What stands behind no calculation: a yes, of which items, and what has to show it. */
static void print_stated(struct arena *arena, const struct plan_set *set, FILE *out)
{
	struct stated_parts parts = stated_in(arena, set);
	if (parts.count)
		fprintf(out, "  to be shown:\n");
	for (size_t i = 0; i < parts.count; i++) {
		if (says_before(&parts, i))
			continue;
		fprintf(out, "    %s: ", parts.rows[i]->says);
		for (size_t k = i, written = 0; k < parts.count; k++)
			if (strcmp(parts.rows[k]->says, parts.rows[i]->says) == 0)
				fprintf(out, "%s%s", written++ ? ", " : "", parts.rows[k]->item);
		fprintf(out, " (stated; to be shown by %s)\n", parts.rows[i]->by);
	}
}

static bool is_left_out(const struct plan *plan, const struct finding *finding)
{
	for (size_t i = 0; i < plan->goal_count; i++)
		if (plan->goals[i].finding == finding)
			return plan->goals[i].left_out != NULL;
	return false;
}

static bool is_goal_in(const struct plan *plan, const struct verdict_turn *turn)
{
	return turn->after <= plan->least && turn->before > plan->least;
}

/* The turn of a finding, or NULL: it asks for what it asked for. */
static const struct verdict_turn *turn_of(const struct plan_set *set, const struct finding *finding)
{
	for (size_t i = 0; i < set->turns.count; i++)
		if (set->turns.rows[i].rule == finding->rule &&
			strcmp(set->turns.rows[i].item, finding->item->tag) == 0)
			return &set->turns.rows[i];
	return NULL;
}

/* What is open with the set although a change clears it by itself, and what is new and no change that was found clears. */
static void print_open(const struct plan *plan, const struct plan_set *set, FILE *out)
{
	for (size_t i = 0; !set->clears && i < plan->goal_count; i++) {
		const struct finding *finding = plan->goals[i].finding;
		const struct verdict_turn *turn = turn_of(set, finding);
		if (!is_left_out(plan, finding) && (!turn || turn->after <= plan->least || turn->after == ACTION_STATE))
			fprintf(out, "  still open: %s on %s\n", finding->rule->id, finding->item->tag);
	}
	for (size_t i = 0; i < set->turns.count; i++) {
		const struct verdict_turn *turn = &set->turns.rows[i];
		if (is_goal_in(plan, turn))
			fprintf(out, "  newly open: %s %s on %s%s%s\n", action_word(turn->after), turn->rule->id,
				turn->item, *turn->rule->only ? ", whose remedy is words only: " : "",
				turn->rule->only);
	}
}

static void print_set(const struct plan_report *report, size_t number, FILE *out)
{
	const struct plan *plan = report->plan;
	const struct plan_set *set = &plan->sets[number];
	fprintf(out, "\nSet %zu of %zu: %zu changes, ", number + 1, plan->set_count, set->count);
	if (set->stated)
		fprintf(out, "%zu of them only stated and to be shown; ", set->stated);
	else
		fprintf(out, "none of them only stated; ");
	if (set->fault) {
		fprintf(out, "the unit cannot be computed with them: %s\n", set->fault);
		return;
	}
	fprintf(out, "reviewed in full it leaves Resolve %zu, Justify %zu, Consider %zu, %zu not judged%s\n",
		set->left[ACTION_RESOLVE], set->left[ACTION_JUSTIFY], set->left[ACTION_CONSIDER],
		set->left[ACTION_STATE], set->clears ? "" : "; NOT all is cleared");
	for (size_t i = 0; i < set->count; i++)
		if (set->changes[i]->works && !has_same_sort_before(set, i))
			print_sort(set, i, out);
	print_stated(report->arena, set, out);
	print_open(plan, set, out);
	const char *brings = turns_words(report->arena, set->turns.rows, set->turns.count, false);
	if (*brings)
		fprintf(out, "  beside what they clear: %s\n", brings);
}

static void print_left_out(const struct plan *plan, FILE *out)
{
	if (plan->left_out)
		fprintf(out, "\nNo change clears:\n");
	for (size_t i = 0; i < plan->goal_count; i++)
		if (plan->goals[i].left_out)
			fprintf(out, "  %s %s on %s: %s\n", action_word(finding_action(plan->goals[i].finding)),
				plan->goals[i].finding->rule->id, plan->goals[i].finding->item->tag,
				plan->goals[i].left_out);
}

static void print_tried(const struct plan_report *report, FILE *out)
{
	const struct tried_list *tried = &report->plan->tried;
	fprintf(out, "\nTried one by one:\n");
	for (size_t i = 0; i < tried->count; i++) {
		const struct remedy_trial trial = tried_record(&tried->rows[i]);
		fprintf(out, "  %s on %s: %s\n", trial.rule->id, trial.item, trial_words(report->arena, &trial));
	}
}

bool write_plan_text(const struct plan_report *report, bool tried, FILE *out)
{
	const struct plan *plan = report->plan;
	fprintf(out, "%s %s, revision %s\n", report->unit.number, report->unit.name, report->unit.revision);
	fprintf(out, "%zu findings %s; changes that remedies name clear %zu of them\n", plan->goal_count,
		goal_words(plan->least), plan->goal_count - plan->left_out);
	if (!plan->judged)
		fprintf(out, "Nothing could be judged: this is not all clear.\n");
	else if (plan->not_judged)
		fprintf(out, "%zu verdicts could not be judged, and may be findings too.\n", plan->not_judged);
	for (size_t i = 0; i < plan->set_count; i++)
		print_set(report, i, out);
	print_left_out(plan, out);
	if (tried)
		print_tried(report, out);
	if (plan->given_up)
		fprintf(out, "\nThe search for smaller sets was not carried to its end.\n");
	if (plan->set_count)
		fprintf(out,
			"\nFewest changes, not least cost: what each costs, and whether it can be built, is for "
			"the reader.\n");
	for (size_t i = 0; review_cautions[i]; i++)
		fprintf(out, "%s%s\n", i ? "" : "\n", review_cautions[i]);
	return !ferror(out);
}

/* ---- the record ---- */

static json_t *turn_rows(const struct verdict_turns *turns)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < turns->count; i++)
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:s}", "rule", turns->rows[i].rule->id, "item", turns->rows[i].item,
				"before", action_word(turns->rows[i].before), "after",
				action_word(turns->rows[i].after)));
	return rows;
}

static json_t *stated_rows(const struct remedy *change)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < change->stated_count; i++)
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s}", "part", change->stated[i].says, "item", change->stated[i].item,
				"shown_by", change->stated[i].by));
	return rows;
}

static json_t *set_object(const struct plan_set *set)
{
	json_t *changes = json_array();
	for (size_t i = 0; i < set->count; i++)
		json_array_append_new(changes,
			json_pack("{s:s, s:s, s:s, s:b, s:o}", "change", set->changes[i]->says, "sort",
				set->changes[i]->sort, "item", set->changes[i]->item, "only_stated",
				!set->changes[i]->works, "stated", stated_rows(set->changes[i])));
	return json_pack("{s:o, s:i, s:b, s:s?, s:{s:i, s:i, s:i, s:i}, s:o}", "changes", changes, "only_stated",
		(int)set->stated, "clears", set->clears, "fault", set->fault, "leaves", "resolve",
		(int)set->left[ACTION_RESOLVE], "justify", (int)set->left[ACTION_JUSTIFY], "consider",
		(int)set->left[ACTION_CONSIDER], "not_judged", (int)set->left[ACTION_STATE], "turns",
		turn_rows(&set->turns));
}

static json_t *goal_rows(const struct plan *plan)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < plan->goal_count; i++) {
		const struct finding *finding = plan->goals[i].finding;
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:s?}", "rule", finding->rule->id, "item", finding->item->tag,
				"action", action_word(finding_action(finding)), "left_out", plan->goals[i].left_out));
	}
	return rows;
}

static json_t *tried_object(const struct tried *tried)
{
	return json_pack("{s:s, s:s?, s:b, s:o}", "change", tried->remedy.says, "fault", tried->fault, "clears_own",
		tried->clears_own, "turns", turn_rows(&tried->turns));
}

static json_t *tried_rows(const struct tried_list *tried)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < tried->count; i++) {
		json_t *row = tried_object(&tried->rows[i]);
		json_object_set_new(row, "rule", json_string(tried->rows[i].finding->rule->id));
		json_object_set_new(row, "item", json_string(tried->rows[i].finding->item->tag));
		json_array_append_new(rows, row);
	}
	return rows;
}

bool write_plan_json(const struct plan_report *report, FILE *out)
{
	const struct plan *plan = report->plan;
	json_t *sets = json_array();
	for (size_t i = 0; i < plan->set_count; i++)
		json_array_append_new(sets, set_object(&plan->sets[i]));
	return record_save(json_pack("{s:s, s:i, s:o, s:s, s:i, s:i, s:o, s:o, s:b, s:o}", "record", "leanrich plan",
				   "version", 1, "unit", record_unit(&report->unit), "to_clear",
				   plan->least == ACTION_RESOLVE ? "resolve" : "justify", "judged", (int)plan->judged,
				   "not_judged", (int)plan->not_judged, "goals", goal_rows(plan), "sets", sets,
				   "given_up", plan->given_up, "tried", tried_rows(&plan->tried)),
		out);
}
