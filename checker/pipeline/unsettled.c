#include "pipeline/unsettled.h"

#include <string.h>

#include "base/text.h"
#include "pipeline/lineage.h"
#include "reconcile/finding.h"
#include "resolve/resolve.h"

static const char own_family[] = "balance";

struct weighing {
	struct arena *arena;
	const struct element *unit;
	const struct catalogue *catalogue;
	const struct table *table;
	const struct judgement *judgement;
	const struct finding *findings; /* of the judgement */
	size_t count;
	int only_case;
	struct judged_before before;
	struct lineage *lineage;
};

/* Only what is stated can be replaced by something else; a sum of statements cannot. */
static bool can_be_replaced(const struct contradiction *contradiction)
{
	return contradiction->used->known == STATED && (!contradiction->other || contradiction->other->known == STATED);
}

/* What the circuit says of a statement is told beside the contradiction; it is no verdict that hangs on it. */
bool unsettled_of_circuit(const struct rule *rule)
{
	bool reads = false;

	for (size_t i = 0; reconcile_names[i]; i++)
		reads = reads || rule_reads(rule, reconcile_names[i]);
	return reads;
}

/* That of the contradiction, or of the statement that the circuit does not bear out; a balance that names a slip has none. */
static struct finding *finding_of(const struct weighing *weighing, const struct contradiction *contradiction)
{
	bool own = item_is(contradiction->item, "contradiction");

	for (size_t i = 0; i < weighing->count && (own || contradiction->by_circuit); i++) {
		const struct finding *finding = &weighing->findings[i];
		if (finding->item == contradiction->item && finding->verdict == VERDICT_DEPARTS &&
			(own || unsettled_of_circuit(finding->rule)))
			return judgement_change(weighing->arena, weighing->judgement, i);
	}
	return NULL;
}

/* The finding of the same rule on the item of the same tag. Both are in the order of rules: `*from` follows. */
const struct finding *unsettled_same_finding(
	const struct judgement *judgement, const struct finding *finding, size_t *from)
{
	while (*from < judgement->count && judgement->findings[*from].rule < finding->rule)
		++*from;
	for (size_t i = *from; i < judgement->count && judgement->findings[i].rule == finding->rule; i++)
		if (text_same(judgement->findings[i].item->tag, finding->item->tag))
			return &judgement->findings[i];
	return NULL;
}

bool unsettled_differs(const struct finding *a, const struct finding *b)
{
	return (a->verdict == VERDICT_DEPARTS) != (b->verdict == VERDICT_DEPARTS) && a->verdict != VERDICT_ACCEPTED &&
		b->verdict != VERDICT_ACCEPTED;
}

/* "flow of L, 20.0 t/h as by HMB"; of a suspect of a balance "flow of lean, 350 m3/h without the slip". */
static const char *other_value(const struct weighing *weighing, const struct contradiction *contradiction)
{
	struct arena *arena = weighing->arena;
	const char *second = table_word(weighing->table, contradiction->item, EVERY_CASE, "second"),
		   *by = table_word(weighing->table, contradiction->item, EVERY_CASE, "second-document");

	if (contradiction->by_circuit)
		return arena_format(arena, "%s of %s, %s, which would close the circuit", contradiction->name,
			contradiction->of->tag, contradiction->other->written);
	if (!second)
		return arena_format(arena, "%s of %s, %s without the slip that closes the balance of %s",
			contradiction->name, contradiction->of->tag, quantity_show(arena, contradiction->other, NULL),
			contradiction->item->tag);
	return arena_format(arena, "%s of %s, %s by %s", contradiction->name, contradiction->of->tag, second, by);
}

void unsettled_keep_graver(
	struct arena *arena, struct finding *finding, const struct finding *other, const char *with, const char *own)
{
	bool departs = finding->verdict == VERDICT_DEPARTS;

	finding->unsettled = departs
		? arena_format(arena, "Unsettled: with %s, it %s.", with, verdict_word(other->verdict))
		: arena_format(arena, "Unsettled: this verdict is with %s; %s %s.", with, own,
			  verdict_word(finding->verdict));
	if (!departs) {
		finding->message = other->message;
		finding->remedy = other->remedy;
		finding->verdict = VERDICT_DEPARTS;
		finding->force = other->force;
		finding->why_force = other->why_force;
		finding->missing_count = 0;
	}
	finding->message = arena_format(arena, "%s %s", finding->message, finding->unsettled);
	if (finding->certainty < CERTAINTY_SCREENING)
		finding->certainty = CERTAINTY_SCREENING;
}

/* A finding that shows no limits cannot be a departure in the record. */
static bool can_be_turned(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || (finding->limit_count > 0 && finding->governing);
}

/* Findings named in a sentence, the first few of them. */
struct turned {
	struct text names;
	size_t count;
	enum force worst;
};

static void note_turned(struct turned *turned, const struct finding *departs)
{
	enum { NAMED_MOST = 4 };

	if (!turned->count || departs->force < turned->worst)
		turned->worst = departs->force;
	if (turned->count < NAMED_MOST)
		text_addf(
			&turned->names, "%s%s on %s", turned->count ? ", " : "", departs->rule->id, departs->item->tag);
	else if (turned->count == NAMED_MOST)
		text_addf(&turned->names, " and others");
	turned->count++;
}

/* What hangs on a contradiction, and the balances that would close with the other value. */
struct hanging {
	struct turned turned, closing;
};

/* A balance that closes with the value that the circuit would have says no more than the finding on that statement. */
static bool goes_beneath(const struct finding *finding, const struct finding *other)
{
	return strcmp(finding->rule->family, own_family) == 0 && finding->verdict == VERDICT_DEPARTS &&
		other->verdict == VERDICT_MEETS && !finding->remark;
}

static void put_beneath(struct finding *finding, const struct finding *own)
{
	finding->beneath = own;
	finding->remark = true;
}

static bool is_own(const struct finding *finding, const struct contradiction *contradiction)
{
	return item_is(finding->item, "contradiction") || unsettled_of_circuit(finding->rule) ||
		(finding->item == contradiction->item && !contradiction->by_circuit);
}

/* The unit with the other value; its memory goes with it. */
struct other_unit {
	struct arena arena;
	const struct table *table;
	struct judgement judgement;
};

static void keep_graver(struct weighing *weighing, const struct contradiction *contradiction,
	const struct other_unit *others, struct finding *finding, const struct finding *other)
{
	const struct finding said = judge_said(weighing->arena, &others->judgement, others->table, other);

	unsettled_keep_graver(
		weighing->arena, finding, &said, other_value(weighing, contradiction), "with the value used it");
}

static void compare(struct weighing *weighing, const struct contradiction *contradiction,
	const struct other_unit *others, const struct finding *own, struct hanging *hanging)
{
	size_t from = 0;

	for (size_t i = 0; i < weighing->count; i++) {
		const struct finding *finding = &weighing->findings[i];
		const struct finding *other = unsettled_same_finding(&others->judgement, finding, &from);
		if (!other || !unsettled_differs(finding, other) || finding->remark || is_own(finding, contradiction))
			continue;
		if (own && contradiction->by_circuit && goes_beneath(finding, other)) {
			put_beneath(judgement_change(weighing->arena, weighing->judgement, i), own);
			note_turned(&hanging->closing, finding);
			continue;
		}
		if (finding->unsettled)
			continue;
		note_turned(&hanging->turned, finding->verdict == VERDICT_DEPARTS ? finding : other);
		if (!can_be_turned(finding))
			continue;
		struct finding *changed = judgement_change(weighing->arena, weighing->judgement, i);
		keep_graver(weighing, contradiction, others, changed, other);
		changed->rests_on = own ? own->item : NULL;
	}
}

static void set_force(struct weighing *weighing, struct finding *own, const struct turned *turned)
{
	struct arena *arena = weighing->arena;

	own->remark = turned->count == 0;
	own->force = turned->count ? turned->worst : FORCE_ADVISORY;
	own->why_force = turned->count ? arena_format(arena, "the value decides %s", turned->names.data)
				       : "no verdict differs between the two values";
	own->message = turned->count ? arena_format(arena, "%s It decides %s.", own->message, turned->names.data)
				     : arena_format(arena, "%s No verdict differs between the two.", own->message);
}

/* The one finding in the place of the balances that its value explains, as grave as the gravest of them. */
static void add_force(struct weighing *weighing, struct finding *own, const struct turned *turned, const char *says)
{
	if (!turned->count)
		return;
	own->message = arena_format(weighing->arena, "%s %s %s.", own->message, says, turned->names.data);
	if (own->remark || turned->worst < own->force) {
		own->force = turned->worst;
		own->why_force = arena_format(weighing->arena, "%s %s", says, turned->names.data);
	}
	own->remark = false;
}

/* A slip that one balance names, of a value that the whole circuit is against: weighed as that. */
static bool is_covered(const struct weighing *weighing, const struct contradiction *contradiction)
{
	size_t count;
	const struct contradiction *all = table_contradictions(weighing->table, &count);
	bool covered = false;

	for (size_t i = 0; i < count; i++)
		covered = covered || (all[i].by_circuit && all[i].used == contradiction->used);
	return covered && !contradiction->by_circuit && !item_is(contradiction->item, "contradiction");
}

/* False: the value cannot be put in its place. */
static bool compare_with(struct weighing *weighing, const struct contradiction *contradiction,
	const struct instead *instead, const struct finding *own, struct hanging *hanging)
{
	struct other_unit others = {.table = NULL};
	const struct table *resolved = resolve_instead(&others.arena, weighing->unit, instead);

	if (resolved) {
		others.table = lineage_vary(weighing->lineage, &others.arena, resolved);
		others.judgement = judge_verdicts(
			&others.arena, weighing->catalogue, others.table, weighing->only_case, &weighing->before);
		compare(weighing, contradiction, &others, own, hanging);
	}
	arena_release(&others.arena);
	return resolved != NULL;
}

static void weigh_one(struct weighing *weighing, const struct contradiction *contradiction)
{
	struct finding *own = finding_of(weighing, contradiction);
	bool balance = !item_is(contradiction->item, "contradiction");

	if ((!own && !balance) || !can_be_replaced(contradiction) || is_covered(weighing, contradiction))
		return;
	const struct instead instead = {.tag = contradiction->of->tag,
		.name = contradiction->name,
		.operating_case = contradiction->operating_case,
		.quantity = contradiction->other,
		.as_is = table_lowest(weighing->table)};
	struct hanging hanging = {
		{text_in(weighing->arena), 0, FORCE_ADVISORY}, {text_in(weighing->arena), 0, FORCE_ADVISORY}};
	if (!compare_with(weighing, contradiction, &instead, own, &hanging))
		return;
	if (own && contradiction->by_circuit) {
		add_force(weighing, own, &hanging.closing, "It explains");
		add_force(weighing, own, &hanging.turned, "It decides");
	} else if (own) {
		set_force(weighing, own, &hanging.turned);
	}
}

/* The circuit's own last: what a contradiction turns is settled by then. */
static void weigh_all(struct weighing *weighing, bool by_circuit)
{
	size_t count, weighed = 0;
	const struct contradiction *all = table_contradictions(weighing->table, &count);

	for (size_t i = 0; i < count && weighed < UNSETTLED_MOST; i++)
		if (all[i].by_circuit == by_circuit) {
			weigh_one(weighing, &all[i]);
			weighed++;
		}
}

struct judgement unsettled_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct lineage *lineage, struct judgement judgement, int only_case)
{
	size_t count;

	table_contradictions(table, &count);
	if (!count || !judgement.count)
		return judgement;
	struct weighing weighing = {.arena = arena,
		.unit = unit,
		.catalogue = catalogue,
		.table = table,
		.judgement = &judgement,
		.findings = judgement.findings,
		.count = judgement.count,
		.only_case = only_case,
		.before = judgement_before(table, &judgement),
		.lineage = lineage};
	weigh_all(&weighing, false);
	weigh_all(&weighing, true);
	return judgement;
}
