#include "pipeline/assumed.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/compute_unit.h"
#include "pipeline/unsettled.h"
#include "resolve/resolve.h"
#include "sulfide/lean_side.h"
#include "sulfide/sulfide.h"

/* One value that may be otherwise, and with what it is tried. */
struct candidate {
	const struct item *item;
	const char *name;
	int operating_case;
	const char *reason;
	const struct quantity *tried[2];
	bool reading; /* of what is stated: a pressure that may be gauge */
};

struct weighing {
	struct arena *arena;
	const struct element *unit;
	const struct catalogue *catalogue;
	const struct table *table;
	struct finding *findings;
	size_t count;
	int only_case;
	struct judged_before before;
	struct candidate candidates[ASSUMED_MOST];
	size_t candidate_count;
	struct assumption assumptions[ASSUMED_MOST];
	size_t assumption_count;
};

/* ---- what may be otherwise ---- */

static const struct quantity *with_number(struct arena *arena, const struct quantity *like, double si)
{
	struct quantity *other = arena_alloc(arena, sizeof *other);
	*other = *like;
	other->known = STATED;
	other->si = si;
	other->undecided = 0;
	other->document = "";
	other->read = NULL;
	other->reason = NULL;
	other->inputs = NULL;
	other->input_count = 0;
	other->written = quantity_show_si(arena, si, like->kind, NULL);
	return other;
}

static bool has(const struct weighing *weighing, const struct item *item, const char *name)
{
	for (size_t i = 0; i < weighing->candidate_count; i++)
		if (weighing->candidates[i].item == item && strcmp(weighing->candidates[i].name, name) == 0)
			return true;
	return weighing->candidate_count == ASSUMED_MOST;
}

/* Does any verdict rest on the sulfide analysis, which the age of the film goes into? */
static bool rests_on_film(const struct weighing *weighing)
{
	for (size_t i = 0; i < weighing->count; i++)
		for (size_t k = 0; weighing->findings[i].verdict != VERDICT_NOT_APPLICABLE && lean_side_names[k]; k++)
			if (rule_reads(weighing->findings[i].rule, lean_side_names[k]))
				return true;
	return false;
}

static void add_film_age(struct weighing *weighing)
{
	static const double month = 720, years = 43800, hour = 3600; /* 30 days; 5 years of 8760 h */
	struct arena *arena = weighing->arena;
	const struct item *basis = table_sole(weighing->table, "basis");
	if (!basis || !rests_on_film(weighing) || table_peek(weighing->table, basis, EVERY_CASE, "film-age"))
		return;
	const struct quantity age = {.kind = KIND_DURATION};
	weighing->candidates[weighing->candidate_count++] = (struct candidate){.item = basis,
		.name = "film-age",
		.operating_case = EVERY_CASE,
		.reason = arena_format(arena, "film-age of %s is not stated: %s h is assumed", basis->tag,
			number_show(arena, FILM_AGE_ASSUMED)),
		.tried = {with_number(arena, &age, month * hour), with_number(arena, &age, years * hour)}};
}

/* Every pressure of which the description leaves it open whether it is gauge. */
static void add_readings(struct weighing *weighing)
{
	struct arena *arena = weighing->arena;
	size_t count;
	const struct statement *statements = table_statements(weighing->table, &count);
	for (size_t i = 0; i < count; i++) {
		const struct statement *statement = &statements[i];
		const struct quantity *value = statement->quantity;
		if (!(value->undecided > 0) || has(weighing, statement->item, statement->name))
			continue;
		weighing->candidates[weighing->candidate_count++] = (struct candidate){.item = statement->item,
			.name = statement->name,
			.operating_case = statement->operating_case,
			.reason = arena_format(arena, "%s of %s, %s, may be gauge or absolute: absolute is taken",
				statement->name, statement->item->tag, value->written),
			.tried = {with_number(arena, value, value->undecided)},
			.reading = true};
	}
}

static void add_assumed(struct weighing *weighing, const struct input *input)
{
	const struct quantity *value = input->quantity;
	struct arena *arena = weighing->arena;
	if (value && value->known == COMPUTED)
		for (size_t i = 0; i < value->input_count; i++)
			add_assumed(weighing, &value->inputs[i]);
	if (!value || value->known != ASSUMED || !kind_is_number(value->kind) || !(value->uncertainty > 0) ||
		!input->item || !input->property || has(weighing, input->item, input->property))
		return;
	weighing->candidates[weighing->candidate_count++] = (struct candidate){.item = input->item,
		.name = input->property,
		.operating_case = EVERY_CASE,
		.reason = arena_format(arena, "%s of %s is not stated: %s is assumed", input->property,
			input->item->tag, quantity_show(arena, value, NULL)),
		.tried = {with_number(arena, value, value->si - value->uncertainty),
			with_number(arena, value, value->si + value->uncertainty)}};
}

static void collect(struct weighing *weighing)
{
	add_film_age(weighing);
	add_readings(weighing);
	for (size_t i = 0; i < weighing->count; i++)
		for (size_t k = 0; k < weighing->findings[i].input_count; k++)
			add_assumed(weighing, &weighing->findings[i].inputs[k]);
}

/* ---- what it moves ---- */

static void unsettle(struct arena *arena, struct finding *finding, const struct finding *other, const char *value)
{
	bool departs = finding->verdict == VERDICT_DEPARTS;
	if (!finding->unsettled && (departs || finding->limit_count))
		unsettled_keep_graver(arena, finding, other, value, "as it was taken it");
}

struct moving {
	struct assumption *assumption;
	const struct finding **findings;
	size_t capacity;
	struct text turns;
};

static void note_moved(struct weighing *weighing, struct moving *moving, const struct candidate *candidate,
	const char *value, struct finding *finding, const struct finding *other)
{
	enum { SAID_MOST = 3 };
	const struct finding *departs = finding->verdict == VERDICT_DEPARTS ? finding : other;
	struct assumption *assumption = moving->assumption;
	if (!assumption->count || departs->force < assumption->force)
		assumption->force = departs->force;
	if (assumption->count < SAID_MOST)
		text_addf(&moving->turns, "%swith %s %s on %s %s", assumption->count ? "; " : "", value,
			finding->rule->id, finding->item->tag,
			other->verdict == VERDICT_NOT_APPLICABLE ? "does not apply" : verdict_word(other->verdict));
	moving->findings = arena_grow(
		weighing->arena, moving->findings, assumption->count, &moving->capacity, sizeof *moving->findings);
	moving->findings[assumption->count++] = finding;
	if (candidate->reading)
		unsettle(weighing->arena, finding, other, value);
}

static void try_value(struct weighing *weighing, const struct candidate *candidate, const struct quantity *value,
	struct moving *moving)
{
	struct arena *arena = weighing->arena, another = {0};
	const struct instead instead = {.tag = candidate->item->tag,
		.name = candidate->name,
		.operating_case = candidate->operating_case,
		.quantity = value};
	const struct table *resolved = resolve_instead(&another, weighing->unit, &instead), *table = NULL;
	struct judgement others = {.count = 0};
	if (resolved) {
		table = compute_table(&another, resolved, ANALYSES_SULFIDE);
		others = judge_verdicts(&another, weighing->catalogue, table, weighing->only_case, &weighing->before);
	}
	const char *shown =
		arena_format(arena, "%s%s", quantity_show(arena, value, NULL), candidate->reading ? " (gauge)" : "");
	size_t from = 0;
	for (size_t i = 0; i < weighing->count; i++) {
		struct finding *finding = &weighing->findings[i];
		const struct finding *other =
			item_is(finding->item, "contradiction") || unsettled_of_circuit(finding->rule)
			? NULL
			: unsettled_same_finding(&others, finding, &from);
		if (other && !finding->unsettled && unsettled_differs(finding, other)) {
			const struct finding said = judge_said(arena, &others, table, other);
			note_moved(weighing, moving, candidate, shown, finding, &said);
		}
	}
	arena_release(&another);
}

static void weigh_one(struct weighing *weighing, const struct candidate *candidate)
{
	struct moving moving = {
		.assumption = &weighing->assumptions[weighing->assumption_count], .turns = text_in(weighing->arena)};
	*moving.assumption = (struct assumption){.item = candidate->item,
		.quantity = candidate->name,
		.reason = candidate->reason,
		.reading = candidate->reading,
		.force = FORCE_ADVISORY};
	for (size_t i = 0; i < COUNT(candidate->tried); i++)
		if (candidate->tried[i])
			try_value(weighing, candidate, candidate->tried[i], &moving);
	moving.assumption->findings = moving.findings;
	moving.assumption->turns = moving.turns.data;
	weighing->assumption_count += moving.assumption->count > 0;
}

struct judgement assumed_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct judgement judgement, int only_case)
{
	struct weighing weighing = {.arena = arena,
		.unit = unit,
		.catalogue = catalogue,
		.table = table,
		.findings = judgement_copy(arena, &judgement),
		.count = judgement.count,
		.only_case = only_case,
		.before = {table, judgement.as_judged, judgement.count}};
	collect(&weighing);
	for (size_t i = 0; i < weighing.candidate_count; i++)
		weigh_one(&weighing, &weighing.candidates[i]);
	struct assumption *assumptions = arena_alloc(arena, (weighing.assumption_count + 1) * sizeof *assumptions);
	if (weighing.assumption_count)
		memcpy(assumptions, weighing.assumptions, weighing.assumption_count * sizeof *assumptions);
	judgement.findings = weighing.findings;
	judgement.assumptions = assumptions;
	judgement.assumption_count = weighing.assumption_count;
	return judgement;
}
