#include "pipeline/assumed.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/rupture.h"
#include "compute/solvent.h"
#include "compute/title.h"
#include "judge/defaults.h"
#include "judge/narrow.h"
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
	bool reading; /* of what is stated: a pressure that may be gauge */
	bool careful; /* a verdict that turns with it takes the graver */
};

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
	struct candidate candidates[ASSUMED_MOST];
	size_t candidate_count;
	struct assumption_list assumptions;
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

/* The item whose test pressure this ratio takes from its design pressure; NULL: it is stated. */
static const struct input *tested_by_code(const struct quantity *ratio)
{
	for (size_t i = 0; i < ratio->input_count; i++)
		if (text_same(ratio->inputs[i].symbol, "P_1") &&
			text_same(input_property(&ratio->inputs[i]), "design-pressure"))
			return &ratio->inputs[i];
	return NULL;
}

/* A side weaker than a broken tube asks for if it was tested as codes ask today: it may have been tested at half as much again. */
static void add_test_pressure(struct weighing *weighing, const struct quantity *ratio)
{
	static const double HIGH_TEST =
		1.5; /* of the design pressure: ASME VIII-1 UG-99 before the addenda of 1999, from memory */
	struct arena *arena = weighing->arena;
	const struct input *design = ratio->known == COMPUTED && ratio->si < 1 ? tested_by_code(ratio) : NULL;
	const struct scene scene = {.table = weighing->table, .operating_case = EVERY_CASE};
	if (!design || !is_number(design->quantity) || has(weighing, design->item, "test-pressure"))
		return;
	double outside = interface_atmosphere(&scene)->si,
	       taken = rupture_tested_at(&scene, design->item, outside) + outside,
	       high = HIGH_TEST * (design->quantity->si - outside) + outside;
	if (!(high > taken) || !vocabulary_attribute(design->item->meaning, "test-pressure"))
		return;
	weighing->candidates[weighing->candidate_count++] = (struct candidate){.item = design->item,
		.name = "test-pressure",
		.operating_case = EVERY_CASE,
		.reason = arena_format(arena, "test-pressure of %s is not stated: %s is assumed", design->item->tag,
			quantity_show_si(arena, taken, design->quantity->kind, NULL)),
		.tried = {with_number(arena, design->quantity, high)}};
}

static void add_test_pressures(struct weighing *weighing)
{
	for (size_t i = 0; i < weighing->count; i++) {
		const struct finding *finding = &weighing->findings[i];
		for (size_t k = 0; finding->verdict == VERDICT_DEPARTS && k < finding->input_count; k++) {
			const struct input input = finding_input(finding, k);
			if (text_same(input_property(&input), "test-over-high-side") && input.quantity)
				add_test_pressure(weighing, input.quantity);
		}
	}
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

/* The choices of the schema, where there are few: the one assumed, too, since a careful value may stand between. False: none. */
static bool other_words(struct weighing *weighing, const struct item *item, const char *name,
	const struct quantity *value, const struct quantity *tried[3])
{
	const struct vocabulary_attribute *attribute =
		item->meaning && value->kind == KIND_WORD ? vocabulary_attribute(item->meaning, name) : NULL;
	if (!attribute || attribute->type->choice_count > 3)
		return false;
	for (size_t i = 0; i < attribute->type->choice_count; i++) {
		struct quantity *other = stated_like(weighing->arena, value);
		other->word = other->written = attribute->type->choices[i].word;
		tried[i] = other;
	}
	return attribute->type->choice_count > 0;
}

/* Both ends of its uncertainty, or the other words that it can be; false: it is not assumed, or nothing else is known of it. */
static bool others_of(struct weighing *weighing, const struct item *item, const char *name,
	const struct quantity *value, const struct quantity *tried[3])
{
	if (!kind_is_number(value->kind))
		return other_words(weighing, item, name, value, tried);
	if (!(value->uncertainty > 0))
		return false;
	tried[0] = with_number(weighing->arena, value, quantity_low(value));
	tried[1] = with_number(weighing->arena, value, quantity_high(value));
	return true;
}

static void add_value(struct weighing *weighing, const struct item *item, const char *name,
	const struct quantity *value, bool careful)
{
	struct candidate candidate = {.item = item, .name = name, .operating_case = EVERY_CASE, .careful = careful};
	if (value->known != ASSUMED || !item || !name || has(weighing, item, name) ||
		!others_of(weighing, item, name, value, candidate.tried))
		return;
	candidate.reason = arena_format(weighing->arena, "%s of %s is not stated: %s is assumed", name, item->tag,
		quantity_show(weighing->arena, value, NULL));
	weighing->candidates[weighing->candidate_count++] = candidate;
}

static void add_assumed(struct weighing *weighing, const struct input *input)
{
	const struct quantity *value = input->quantity;
	if (value && value->known == COMPUTED)
		for (size_t i = 0; i < value->input_count; i++)
			add_assumed(weighing, &value->inputs[i]);
	if (value)
		add_value(weighing, input->item, input_property(input), value, false);
}

/* A strength of which nobody says whether it counts the amine that salts bind, where that is enough to matter. */
static void add_strength_basis(struct weighing *weighing)
{
	const struct item *solvent = table_sole(weighing->table, "solvent");
	for (int c = EVERY_CASE; solvent && c < (int)table_case_count(weighing->table); c++) {
		const struct scene scene = {.table = weighing->table, .operating_case = c};
		const struct quantity *basis = table_peek(weighing->table, solvent, c, "strength-basis");
		if (basis && solvent_without_gases(&scene).other_basis > 1)
			add_value(weighing, solvent, "strength-basis", basis, true);
	}
}

static void collect(struct weighing *weighing)
{
	add_film_age(weighing);
	add_readings(weighing);
	add_strength_basis(weighing);
	add_test_pressures(weighing);
	for (size_t i = 0; i < weighing->count; i++)
		for (size_t k = 0; k < weighing->findings[i].input_count; k++) {
			const struct input input = finding_input(&weighing->findings[i], k);
			add_assumed(weighing, &input);
		}
}

/* ---- what it moves ---- */

static void unsettle(struct arena *arena, struct finding *finding, const struct finding *other, const char *value)
{
	bool departs = finding->verdict == VERDICT_DEPARTS;
	if (!finding->unsettled && (departs || finding->limit_count))
		unsettled_keep_graver(arena, finding, other, value, "with the value assumed it");
}

/* A balance that closes with a value speaks for that value. */
static bool is_borne_out(const struct finding *finding)
{
	return finding->verdict == VERDICT_MEETS && screening_is_balance(finding->rule);
}

static const char *shown(struct arena *arena, const struct candidate *candidate, const struct quantity *value)
{
	const char *written = quantity_show(arena, value, NULL);
	return candidate->reading	      ? arena_format(arena, "%s (gauge)", written)
		: kind_is_number(value->kind) ? written
					      : arena_format(arena, "%s %s", title_of(arena, candidate->name), written);
}

static void compare(struct weighing *weighing, const struct candidate *candidate, const struct quantity *value,
	const struct table *table, const struct judgement *others)
{
	struct arena *arena = weighing->arena;
	const char *words = shown(arena, candidate, value);
	const struct assumption begun = {.item = candidate->item,
		.quantity = candidate->name,
		.reason = candidate->reason,
		.reading = candidate->reading};
	size_t from = 0;
	for (size_t i = 0; i < weighing->count; i++) {
		const struct finding *finding = &weighing->findings[i];
		const struct finding *other = unsettled_same_finding(others, finding, &from);
		if (!other || finding->unsettled || !unsettled_differs(finding, other) ||
			item_is(finding->item, "contradiction") || unsettled_of_circuit(finding->rule) ||
			(candidate->careful && !candidate->reading && is_borne_out(finding)))
			continue;
		const struct finding said = judge_said(arena, others, table, other);
		assumption_note(&weighing->assumptions, &begun, words, finding, &said);
		if (candidate->careful)
			unsettle(arena, judgement_change(arena, weighing->judgement, i), &said, words);
	}
}

static void try_value(struct weighing *weighing, const struct candidate *candidate, const struct quantity *value)
{
	struct arena another = {0};
	const struct instead instead = {.tag = candidate->item->tag,
		.name = candidate->name,
		.operating_case = candidate->operating_case,
		.quantity = value,
		.as_is = table_lowest(weighing->table)};
	const struct table *resolved = resolve_instead(&another, weighing->unit, &instead);
	if (resolved) {
		const struct table *table = lineage_vary(weighing->lineage, &another, resolved);
		const struct judgement others =
			judge_verdicts(&another, weighing->catalogue, table, weighing->only_case, &weighing->before);
		compare(weighing, candidate, value, table, &others);
	}
	arena_release(&another);
}

struct judgement assumed_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct lineage *lineage, struct judgement judgement, int only_case)
{
	struct weighing weighing = {.arena = arena,
		.unit = unit,
		.catalogue = catalogue,
		.table = table,
		.judgement = &judgement,
		.findings = judgement.findings,
		.count = judgement.count,
		.only_case = only_case,
		.before = judgement_before(table, &judgement),
		.lineage = lineage,
		.assumptions = {.arena = arena}};
	collect(&weighing);
	for (size_t i = 0; i < weighing.candidate_count; i++)
		for (size_t k = 0; k < COUNT(weighing.candidates[i].tried); k++)
			if (weighing.candidates[i].tried[k])
				try_value(&weighing, &weighing.candidates[i], weighing.candidates[i].tried[k]);
	defaults_weigh(&weighing.assumptions, catalogue, table, weighing.findings, weighing.count, only_case);
	narrow_weigh(&weighing.assumptions, catalogue, table, weighing.findings, weighing.count, only_case);
	judgement.assumptions = assumption_list_end(&weighing.assumptions, &judgement.assumption_count);
	return judgement;
}
