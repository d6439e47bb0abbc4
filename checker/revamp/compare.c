#include "revamp/compare.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "pipeline/stages.h"
#include "resolve/resolve.h"
#include "revamp/kept.h"

const char *change_word(enum change change)
{
	static const char *const words[] = {"new", "worse", "better", "resolved", "no longer judged", "unchanged"};
	return words[change];
}

enum action change_action(const struct change_row *row)
{
	bool asked = row->after && row->after->verdict == VERDICT_DEPARTS && !row->after->remark;
	const struct finding *finding = asked ? row->after : row->before;
	finding = finding ? finding : row->after;
	return finding && !finding->remark ? (enum action)finding->force : ACTION_NONE;
}

struct comparer {
	struct arena *arena;
	struct comparison *out;
	const char **mapped; /* by index of the base's items: what the revamp calls it */
	struct change_row *rows;
	size_t capacity;
};

/* ---- which item is which ---- */

/* Items that no element describes (a contradiction, what a module added) are called after the one they are in. */
static const char *mapped_tag(struct comparer *comparer, const struct item *item)
{
	const struct comparison *out = comparer->out;
	const struct element *base = resolve_element(out->differences->base, item);
	const struct element *revamp = base ? paired_with(out->differences, base) : NULL;
	const struct item *other = revamp ? resolve_item(out->revamp->table, revamp) : NULL;
	if (other)
		return other->tag;
	if (!base && item->parent) {
		size_t length = strlen(item->parent->tag);
		if (strncmp(item->tag, item->parent->tag, length) == 0)
			return arena_format(
				comparer->arena, "%s%s", comparer->mapped[item->parent->index], item->tag + length);
	}
	return item->tag;
}

static void map_items(struct comparer *comparer)
{
	const struct table *table = comparer->out->base->table;
	comparer->mapped = arena_alloc(comparer->arena, (table_item_count(table) + 1) * sizeof *comparer->mapped);
	for (size_t i = 0; i < table_item_count(table); i++) /* what an item is in comes before it */
		comparer->mapped[i] = mapped_tag(comparer, table_item(table, i));
}

/* ---- how a finding changed ---- */

static const struct finding *find(const struct judgement *judgement, const struct rule *rule, const char *item)
{
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].rule == rule && strcmp(judgement->findings[i].item->tag, item) == 0)
			return &judgement->findings[i];
	return NULL;
}

static bool is_open(const struct finding *finding)
{
	return finding && (finding->verdict == VERDICT_NOT_JUDGED || finding->verdict == VERDICT_OUT_OF_RANGE);
}

/* 0: nothing to do, as with a remark; 1: accepted; the higher, the more must be done. */
static int grade(const struct finding *finding)
{
	enum { ACCEPTED = 1, LEAST = 2 };
	if (!finding || is_open(finding) || finding->remark)
		return 0;
	if (finding->verdict == VERDICT_ACCEPTED)
		return ACCEPTED;
	return finding->verdict == VERDICT_DEPARTS ? LEAST + (FORCE_ADVISORY - (int)finding->force) : 0;
}

/* How far beyond its limit, as a share of the limit; NaN without one. */
static double excess(const struct finding *finding)
{
	if (!finding->governing || finding->governing->limit->says || !finding->value ||
		!kind_is_number(finding->value->kind))
		return (double)NAN;
	double limit = fabs(finding->governing->limit->value.si);
	return finding->governing->margin / (limit > 0 ? limit : 1);
}

static enum change change_of(const struct finding *before, const struct finding *after)
{
	const double same = 1e-6; /* of the limit: smaller moves are of rounding */
	int was = grade(before), is = grade(after);
	if (was == 0 && is == 0)
		return before && before->verdict == VERDICT_MEETS && is_open(after) ? CHANGE_UNJUDGED : CHANGE_NONE;
	if (was == 0)
		return CHANGE_NEW;
	if (is == 0)
		return is_open(after) ? CHANGE_UNJUDGED : CHANGE_RESOLVED;
	if (is != was)
		return is > was ? CHANGE_WORSE : CHANGE_BETTER;
	double moved = excess(after) - excess(before);
	return moved > same ? CHANGE_WORSE : moved < -same ? CHANGE_BETTER : CHANGE_NONE;
}

static void add_row(struct comparer *comparer, const struct rule *rule, const char *item, const char *item_before,
	const struct finding *before, const struct finding *after)
{
	struct comparison *out = comparer->out;
	enum change change = change_of(before, after);
	if (change == CHANGE_NONE && grade(after) == 0)
		return;
	out->counts[change]++;
	if (change == CHANGE_NONE)
		return;
	comparer->rows =
		arena_grow(comparer->arena, comparer->rows, out->count, &comparer->capacity, sizeof *comparer->rows);
	comparer->rows[out->count++] = (struct change_row){.change = change,
		.rule = rule,
		.item = item,
		.item_before = item_before,
		.before = before,
		.after = after};
}

static void collect_rows(struct comparer *comparer)
{
	const struct judgement *base = &comparer->out->base->judgement, *revamp = &comparer->out->revamp->judgement;
	bool *seen = arena_alloc(comparer->arena, revamp->count + 1);
	for (size_t i = 0; i < base->count; i++) {
		const struct finding *before = &base->findings[i];
		const char *tag = comparer->mapped[before->item->index];
		const struct finding *after = find(revamp, before->rule, tag);
		if (after)
			seen[after - revamp->findings] = true;
		add_row(comparer, before->rule, tag, before->item->tag, before, after);
	}
	for (size_t i = 0; i < revamp->count; i++) {
		const struct finding *after = &revamp->findings[i];
		if (!seen[i])
			add_row(comparer, after->rule, after->item->tag, after->item->tag, NULL, after);
	}
	comparer->out->rows = comparer->rows;
}

/* ---- another rule instead ---- */

static bool applies(const struct finding *finding)
{
	return finding && finding->verdict != VERDICT_NOT_APPLICABLE;
}

/* The finding of a rule that speaks of the same quantity of the same item in one of the two reviews, and not in the other. */
static const struct finding *instead(const struct change_row *row, const struct review *here, const char *item,
	const struct review *there, const char *item_there)
{
	const char *judged = row->rule->judged >= 0 ? row->rule->inputs[row->rule->judged].quantity : NULL;
	const struct finding *worst = NULL;
	for (size_t i = 0; judged && i < here->judgement.count; i++) {
		const struct finding *other = &here->judgement.findings[i];
		if (other->rule == row->rule || other->rule->judged < 0 || !applies(other) ||
			strcmp(other->item->tag, item) != 0 ||
			strcmp(other->rule->inputs[other->rule->judged].quantity, judged) != 0 ||
			applies(find(&there->judgement, other->rule, item_there)))
			continue;
		if (!worst || other->verdict < worst->verdict)
			worst = other;
	}
	return worst;
}

/* A rule that applies on one side only: which other judges the value on the other side. */
static void find_instead(const struct comparison *out, struct change_row *row)
{
	if (applies(row->before) && !applies(row->after))
		row->instead = instead(row, out->revamp, row->item, out->base, row->item_before);
	else if (applies(row->after) && !applies(row->before))
		row->instead = instead(row, out->base, row->item_before, out->revamp, row->item);
}

enum resolution change_resolution(const struct comparison *out, const struct change_row *row)
{
	if (!table_find(out->revamp->table, row->item))
		return RESOLUTION_REMOVED;
	return applies(row->after) ? RESOLUTION_MET : RESOLUTION_NOT_APPLICABLE;
}

/* ---- traced causes ---- */

/* Every quantity is looked at once: workings share their inputs. */
struct trace {
	struct arena *arena;
	const struct quantity **seen;
	size_t count, capacity;
};

static void add_trace(struct trace *trace, const struct quantity *quantity)
{
	if (!quantity)
		return;
	for (size_t i = 0; i < trace->count; i++)
		if (trace->seen[i] == quantity)
			return;
	trace->seen = arena_grow(trace->arena, trace->seen, trace->count, &trace->capacity, sizeof *trace->seen);
	trace->seen[trace->count++] = quantity;
	for (size_t i = 0; i < quantity->input_count; i++)
		add_trace(trace, quantity->inputs[i].quantity);
}

static struct trace trace_of(struct arena *arena, const struct finding *finding)
{
	struct trace trace = {.arena = arena};
	for (size_t i = 0; finding && i < finding->input_count; i++)
		add_trace(&trace, finding->inputs[i].quantity);
	return trace;
}

static bool traces(const struct trace *trace, struct place place)
{
	for (size_t i = 0; place.line && i < trace->count; i++)
		if (trace->seen[i]->place.line == place.line && trace->seen[i]->place.column == place.column)
			return true;
	return false;
}

/* Does the difference lie on the item of the row? By what each description calls it: tags made for what has none differ from words. */
static bool is_on(const struct comparison *out, const struct difference *difference, const struct change_row *row)
{
	bool here = difference->revamp != NULL;
	const struct element *element = here ? difference->revamp : difference->base;
	if (element && (element_is(element, "in") || element_is(element, "stated")))
		element = element->parent;
	const struct item *item = element ? resolve_item((here ? out->revamp : out->base)->table, element) : NULL;
	return item && text_same(item->tag, here ? row->item : row->item_before);
}

/* What selects a rule is no input of its working: a word of the item itself, of the solvent or of the basis. */
static bool selects(const struct comparison *out, const struct change_row *row, const struct difference *difference)
{
	const struct item *item = table_find(out->revamp->table, difference->item);
	bool own = is_on(out, difference, row);
	bool common = item && (item_is(item, "solvent") || item_is(item, "basis"));
	return *difference->name && (own || common) && rule_reads(row->rule, difference->name);
}

static void trace_inputs(struct comparer *comparer, struct change_row *row)
{
	const struct differences *differences = comparer->out->differences;
	struct trace before = trace_of(comparer->arena, row->before), after = trace_of(comparer->arena, row->after);
	const struct difference **found = arena_alloc(comparer->arena, (differences->count + 1) * sizeof *found);
	for (size_t i = 0; i < differences->count; i++) {
		const struct difference *difference = &differences->rows[i];
		bool whole = difference->group == GROUP_ITEMS && is_on(comparer->out, difference, row);
		if (whole || selects(comparer->out, row, difference) || traces(&before, difference->before_place) ||
			traces(&after, difference->after_place))
			found[row->input_count++] = difference;
	}
	row->inputs = found;
}

/* ---- groups put back ---- */

static bool number_of(const struct finding *finding, double *si, enum kind *kind)
{
	if (!finding || !finding->value || finding->value->known == UNKNOWN || !kind_is_number(finding->value->kind))
		return false;
	*si = finding->value->si;
	*kind = finding->value->kind;
	return true;
}

static struct part part_of(const struct change_row *row, const struct finding *then)
{
	struct part part = {.tried = true, .found = then != NULL};
	double now, value;
	enum kind kind, kind_then;
	bool departs = grade(row->after) > 0, departed = grade(then) > 0;
	part.verdict = then ? then->verdict : VERDICT_NOT_APPLICABLE;
	part.turns = departs != departed;
	if (number_of(row->after, &now, &kind) && number_of(then, &value, &kind_then) && kind == kind_then) {
		part.has_value = true;
		part.value = value;
		part.moved = now - value;
	}
	return part;
}

static void put_back_group(struct comparer *comparer, enum input_group group)
{
	struct comparison *out = comparer->out;
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct element *unit = difference_put_back(&arena, out->differences, group);
	struct assessed then = stages_judge(&arena, unit, out->revamp->catalogue, &problems);
	if (!then.table)
		out->faults[group] = arena_copy(comparer->arena,
			problems.count ? problems.rows[0].message : "the description cannot be computed so");
	for (size_t i = 0; i < out->count; i++) {
		struct change_row *row = &comparer->rows[i];
		if (then.table)
			row->parts[group] = part_of(row, find(&then.judgement, row->rule, row->item));
		else
			row->parts[group] = (struct part){.tried = true, .failed = true};
	}
	arena_release(&arena);
}

/* A yes or no that was concluded has no inputs to trace: then whatever differs in the groups that turn the finding. */
static void name_turning_groups(const struct comparison *out, struct change_row *row)
{
	for (size_t i = 0; i < out->differences->count; i++)
		if (row->parts[out->differences->rows[i].group].turns)
			row->inputs[row->input_count++] = &out->differences->rows[i];
}

/* Of two groups the one that says more of the row: what turns it by itself, then the larger part. */
static bool says_more(const struct part *a, const struct part *b)
{
	if (a->turns != b->turns)
		return a->turns;
	return fabs(a->moved) > fabs(b->moved);
}

/* The inputs of the groups that did most come first; else they stay in the order of the descriptions. */
static void order_inputs(struct change_row *row)
{
	for (size_t i = 1; i < row->input_count; i++) {
		const struct difference *moving = row->inputs[i];
		size_t at = i;
		for (; at > 0 && says_more(&row->parts[moving->group], &row->parts[row->inputs[at - 1]->group]); at--)
			row->inputs[at] = row->inputs[at - 1];
		row->inputs[at] = moving;
	}
}

/* What the parts leave over of the whole change. */
static void close_row(struct change_row *row)
{
	double before = 0, after = 0;
	enum kind kind_before = KIND_TEXT, kind_after = KIND_TEXT;
	bool any_turns = false;
	row->has_total = number_of(row->before, &before, &kind_before) && number_of(row->after, &after, &kind_after) &&
		kind_before == kind_after;
	for (int g = 0; g < INPUT_GROUPS; g++)
		any_turns = any_turns || row->parts[g].turns;
	row->together = (grade(row->before) > 0) != (grade(row->after) > 0) && !any_turns;
	if (!row->has_total)
		return;
	row->kind = kind_after;
	row->total = row->remainder = after - before;
	for (int g = 0; g < INPUT_GROUPS; g++)
		row->remainder -= row->parts[g].has_value ? row->parts[g].moved : 0;
}

/* ---- order ---- */

static int row_before(const void *left, const void *right)
{
	const struct change_row *a = left, *b = right;
	if (a->change != b->change)
		return a->change < b->change ? -1 : 1;
	if (change_action(a) != change_action(b))
		return change_action(a) < change_action(b) ? -1 : 1;
	int rules = strcmp(a->rule->id, b->rule->id);
	return rules ? rules : strcmp(a->item, b->item);
}

struct comparison compare_reviews(struct arena *arena, const struct review *base, const struct review *revamp,
	const struct differences *differences)
{
	struct comparison out = {.base = base, .revamp = revamp, .differences = differences};
	struct comparer comparer = {.arena = arena, .out = &out};
	map_items(&comparer);
	collect_rows(&comparer);
	if (out.count)
		qsort(comparer.rows, out.count, sizeof *comparer.rows, row_before);
	for (size_t i = 0; i < out.count; i++)
		trace_inputs(&comparer, &comparer.rows[i]);
	for (int g = 0; out.count && g < INPUT_GROUPS; g++)
		if (differences->of_group[g])
			put_back_group(&comparer, (enum input_group)g);
	for (size_t i = 0; i < out.count; i++) {
		close_row(&comparer.rows[i]);
		if (!comparer.rows[i].input_count)
			name_turning_groups(&out, &comparer.rows[i]);
		order_inputs(&comparer.rows[i]);
		find_instead(&out, &comparer.rows[i]);
		out.resolutions[change_resolution(&out, &comparer.rows[i])] +=
			comparer.rows[i].change == CHANGE_RESOLVED;
	}
	kept_collect(arena, &out, comparer.mapped);
	return out;
}
