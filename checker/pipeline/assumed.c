#include "pipeline/assumed.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/solvent.h"
#include "judge/screening.h"
#include "pipeline/lineage.h"
#include "pipeline/unsettled.h"
#include "read/vocabulary.h"
#include "resolve/resolve.h"
#include "sulfide/lean_side.h"
#include "sulfide/sulfide.h"

/* One value that may be otherwise, and with what it is tried. */
struct candidate {
	const struct item *item;
	const char *name;
	int operating_case;
	const char *reason;
	const struct quantity *tried[3];
	bool reading;	      /* of what is stated: a pressure that may be gauge */
	bool careful;	      /* a verdict that turns with it takes the graver */
	const char *words[3]; /* what each is called; NULL: as it is shown */
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
	struct lineage *lineage;
	struct candidate candidates[ASSUMED_MOST];
	size_t candidate_count;
	struct assumption assumptions[ASSUMED_MOST];
	size_t assumption_count;
};

/* ---- what may be otherwise ---- */

static struct quantity *stated_like(struct arena *arena, const struct quantity *like)
{
	struct quantity *other = arena_alloc(arena, sizeof *other);
	*other = *like;
	other->known = STATED;
	other->undecided = 0;
	other->document = "";
	other->read = NULL;
	other->reason = NULL;
	other->inputs = NULL;
	other->input_count = 0;
	return other;
}

static const struct quantity *with_number(struct arena *arena, const struct quantity *like, double si)
{
	struct quantity *other = stated_like(arena, like);
	other->si = si;
	other->written = quantity_show_si(arena, si, like->kind, NULL);
	return other;
}

static const struct quantity *with_word(struct arena *arena, const struct quantity *like, const char *word)
{
	struct quantity *other = stated_like(arena, like);
	other->word = other->written = word;
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
			.reading = true,
			.careful = true};
	}
}

/* A strength of which nobody says whether it counts the amine that salts bind, where that is enough to matter. */
static void add_strength_basis(struct weighing *weighing)
{
	struct arena *arena = weighing->arena;
	const struct item *solvent = table_sole(weighing->table, "solvent");
	for (int c = EVERY_CASE; solvent && c < (int)table_case_count(weighing->table); c++) {
		const struct scene scene = {.table = weighing->table, .operating_case = c};
		const struct quantity *basis = table_peek(weighing->table, solvent, c, "strength-basis");
		if (!basis || basis->known != ASSUMED || has(weighing, solvent, "strength-basis") ||
			!(solvent_without_gases(&scene).other_basis > 1))
			continue;
		weighing->candidates[weighing->candidate_count++] = (struct candidate){.item = solvent,
			.name = "strength-basis",
			.operating_case = EVERY_CASE,
			.reason = arena_format(arena,
				"strength-basis of %s is not stated: all the amine is taken, that which salts bind too",
				solvent->tag),
			.tried = {with_word(arena, basis, "free"), with_word(arena, basis, "total")},
			.words = {"a strength of free amine", "a strength of all amine"},
			.careful = true};
	}
}

/* The choices of the schema, where there are few: the one assumed, too, since a careful value may stand between. False: none. */
static bool other_words(struct weighing *weighing, const struct input *input, const struct quantity *tried[3])
{
	const struct quantity *value = input->quantity;
	const struct vocabulary_attribute *attribute = input->item->meaning && value->kind == KIND_WORD
		? vocabulary_attribute(input->item->meaning, input->property)
		: NULL;
	size_t count = 0;
	if (!attribute || attribute->type->choice_count > 3)
		return false;
	for (size_t i = 0; i < attribute->type->choice_count; i++) {
		struct quantity *other = arena_alloc(weighing->arena, sizeof *other);
		*other = (struct quantity){.known = STATED,
			.kind = KIND_WORD,
			.word = attribute->type->choices[i].word,
			.written = attribute->type->choices[i].word,
			.document = ""};
		tried[count++] = other;
	}
	return count > 0;
}

/* Both ends of its uncertainty, or the other words that it can be; false: it is not assumed, or nothing else is known of it. */
static bool others_of(struct weighing *weighing, const struct input *input, const struct quantity *tried[3])
{
	const struct quantity *value = input->quantity;
	if (value->known != ASSUMED || !input->item || !input->property)
		return false;
	if (!kind_is_number(value->kind))
		return other_words(weighing, input, tried);
	tried[0] = with_number(weighing->arena, value, value->si - value->uncertainty);
	tried[1] = with_number(weighing->arena, value, value->si + value->uncertainty);
	return value->uncertainty > 0;
}

static void add_assumed(struct weighing *weighing, const struct input *input)
{
	const struct quantity *value = input->quantity;
	struct candidate candidate = {.item = input->item, .name = input->property, .operating_case = EVERY_CASE};
	if (value && value->known == COMPUTED)
		for (size_t i = 0; i < value->input_count; i++)
			add_assumed(weighing, &value->inputs[i]);
	if (!value || value->known != ASSUMED || !input->item || !input->property ||
		has(weighing, input->item, input->property) || !others_of(weighing, input, candidate.tried))
		return;
	candidate.reason = arena_format(weighing->arena, "%s of %s is not stated: %s is assumed", input->property,
		input->item->tag, quantity_show(weighing->arena, value, NULL));
	weighing->candidates[weighing->candidate_count++] = candidate;
}

static void collect(struct weighing *weighing)
{
	add_film_age(weighing);
	add_readings(weighing);
	add_strength_basis(weighing);
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
	if (candidate->careful)
		unsettle(weighing->arena, finding, other, value);
}

/* A balance that closes with a value speaks for that value. */
static bool is_borne_out(const struct finding *finding)
{
	return finding->verdict == VERDICT_MEETS && screening_is_balance(finding->rule);
}

static void try_value(struct weighing *weighing, const struct candidate *candidate, size_t tried, struct moving *moving)
{
	const struct quantity *value = candidate->tried[tried];
	struct arena *arena = weighing->arena, another = {0};
	const struct instead instead = {.tag = candidate->item->tag,
		.name = candidate->name,
		.operating_case = candidate->operating_case,
		.quantity = value};
	const struct table *resolved = resolve_instead(&another, weighing->unit, &instead), *table = NULL;
	struct judgement others = {.count = 0};
	if (resolved) {
		table = lineage_vary(weighing->lineage, &another, resolved);
		others = judge_verdicts(&another, weighing->catalogue, table, weighing->only_case, &weighing->before);
	}
	const char *shown = candidate->words[tried]
		? candidate->words[tried]
		: arena_format(arena, "%s%s", quantity_show(arena, value, NULL), candidate->reading ? " (gauge)" : "");
	size_t from = 0;
	for (size_t i = 0; i < weighing->count; i++) {
		struct finding *finding = &weighing->findings[i];
		const struct finding *other =
			item_is(finding->item, "contradiction") || unsettled_of_circuit(finding->rule)
			? NULL
			: unsettled_same_finding(&others, finding, &from);
		if (other && !finding->unsettled && unsettled_differs(finding, other) &&
			!(candidate->careful && !candidate->reading && is_borne_out(finding))) {
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
			try_value(weighing, candidate, i, &moving);
	moving.assumption->findings = moving.findings;
	moving.assumption->turns = moving.turns.data;
	weighing->assumption_count += moving.assumption->count > 0;
}

struct judgement assumed_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct lineage *lineage, struct judgement judgement, int only_case)
{
	struct weighing weighing = {.arena = arena,
		.unit = unit,
		.catalogue = catalogue,
		.table = table,
		.findings = judgement_copy(arena, &judgement),
		.count = judgement.count,
		.only_case = only_case,
		.before = {table, judgement.as_judged, judgement.count},
		.lineage = lineage};
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
