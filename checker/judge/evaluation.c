#include "judge/evaluation.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"

/* ---- what decides ---- */

uint32_t rule_cites(const struct rule *rule)
{
	uint32_t bits = rule->judged >= 0 ? UINT32_C(1) << rule->judged : 0;
	for (size_t i = 0; i < rule->when.count; i++)
		bits |= rule->when.rows[i].cites;
	for (size_t i = 0; i < rule->met_if.count; i++)
		bits |= rule->met_if.rows[i].cites;
	bits |= rule->assertion ? rule->assertion->cites : 0;
	for (size_t i = 0; i < rule->limit_count; i++)
		bits |= rule->limits[i].when ? rule->limits[i].when->cites : 0;
	return bits;
}

static bool narrows(const struct rule *rule, const char *name)
{
	for (size_t i = 0; i < rule->limit_count; i++)
		for (size_t k = 0; k < rule->limits[i].narrowing.count; k++)
			if (strcmp(rule->limits[i].narrowing.rows[k].name, name) == 0)
				return true;
	return false;
}

uint32_t rule_decides(const struct rule *rule)
{
	uint32_t bits = rule_cites(rule);
	for (size_t i = 0; i < rule->input_count; i++)
		bits |= narrows(rule, rule->inputs[i].name) ? UINT32_C(1) << i : 0;
	return bits;
}

uint32_t evaluation_same_quantity(const struct evaluation *evaluation, size_t i)
{
	const struct rule *rule = evaluation->rule;
	uint32_t bits = UINT32_C(1) << i;
	for (size_t k = 0; evaluation->holders[i] && k < rule->input_count; k++)
		if (!rule->inputs[k].constant && evaluation->holders[k] == evaluation->holders[i] &&
			strcmp(rule->inputs[k].quantity, rule->inputs[i].quantity) == 0)
			bits |= UINT32_C(1) << k;
	return bits;
}

/* ---- words of an item ---- */

static bool words_include(const char *alternatives, const char *word)
{
	for (const char *at = alternatives; *at; at += *at == '|') {
		const char *letter = word;
		while (*letter && *at == *letter)
			at++, letter++;
		if (!*letter && (!*at || *at == '|'))
			return true;
		while (*at && *at != '|')
			at++;
	}
	return false;
}

static const char *side_of(const struct item *item)
{
	static const char *const sides[][2] = {{"tube-side", "tube"}, {"shell-side", "shell"}, {"plate-side", "plate"}};
	for (size_t i = 0; i < COUNT(sides); i++)
		if (strcmp(item->kind, sides[i][0]) == 0)
			return sides[i][1];
	return "";
}

/* Whose words select and narrow, the first that has the word: the item, the solvent, the basis. */
struct bearers {
	const struct item *rows[3];
};

static struct bearers bearers_of(const struct evaluation *evaluation)
{
	const struct table *table = evaluation->context->table;
	return (struct bearers){{evaluation->item, table_sole(table, "solvent"), table_sole(table, "basis")}};
}

/* The first of them that has the name decides, be it that its word is not known: that of another would be a guess. */
static const struct quantity *cell_named(const struct evaluation *evaluation, const char *name)
{
	const struct bearers bearers = bearers_of(evaluation);
	const struct quantity *cell = NULL;
	for (size_t i = 0; !cell && i < COUNT(bearers.rows); i++)
		cell = bearers.rows[i]
			? table_get(evaluation->context->table, bearers.rows[i], evaluation->operating_case, name)
			: NULL;
	return cell;
}

/* The word a limit is narrowed by: of the item itself, of the rule's input of that name, of the solvent or the basis. */
static const char *word_named(const struct evaluation *evaluation, const char *name)
{
	if (strcmp(name, "item") == 0)
		return evaluation->item->kind;
	if (strcmp(name, "side") == 0)
		return side_of(evaluation->item);
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (strcmp(evaluation->rule->inputs[i].name, name) == 0)
			return evaluation->values[i]->known != UNKNOWN ? evaluation->values[i]->word : NULL;
	for (size_t i = 0; i < evaluation->supposed_count; i++)
		if (strcmp(evaluation->supposed[i].name, name) == 0)
			return evaluation->supposed[i].words;
	const struct quantity *cell = cell_named(evaluation, name);
	return cell && cell->known != UNKNOWN ? cell->word : NULL;
}

bool evaluation_lacks_word(const struct evaluation *evaluation, const char *name)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (strcmp(evaluation->rule->inputs[i].name, name) == 0)
			return false;
	return !word_named(evaluation, name);
}

static bool same_inputs(const struct evaluation *a, const struct evaluation *b)
{
	for (size_t i = 0; i < a->rule->input_count; i++)
		if (a->values[i] != b->values[i] && !(a->values[i]->known == UNKNOWN && b->values[i]->known == UNKNOWN))
			return false;
	return true;
}

bool evaluation_has_same_inputs(const struct evaluation *a, const struct evaluation *b)
{
	struct bearers bearers = bearers_of(a);
	for (size_t i = 0; i < COUNT(bearers.rows); i++)
		if (bearers.rows[i] && table_varies(a->context->table, bearers.rows[i]))
			return false;
	return same_inputs(a, b);
}

void evaluation_note_missing(
	struct evaluation *evaluation, const struct item *item, const char *quantity, const char *reason)
{
	for (size_t i = 0; i < evaluation->missing_count; i++)
		if (text_is(evaluation->missing[i].reason, reason))
			return;
	evaluation->missing = arena_grow(evaluation->context->arena, evaluation->missing, evaluation->missing_count,
		&evaluation->missing_capacity, sizeof *evaluation->missing);
	evaluation->missing[evaluation->missing_count++] =
		(struct missing){.item = item, .quantity = quantity, .reason = reason};
}

static struct missing not_stated(const struct evaluation *evaluation, const struct item *item, const char *quantity)
{
	struct arena *arena = evaluation->context->arena;
	return item_lacks(arena, item, unstated_word(arena, quantity));
}

void evaluation_note_word(struct evaluation *evaluation, const char *name)
{
	const struct quantity *cell = cell_named(evaluation, name);
	const char *reason =
		cell && cell->reason ? cell->reason : not_stated(evaluation, evaluation->item, name).reason;
	evaluation_note_missing(evaluation, evaluation->item, name, reason);
}

/* All conditions hold, or one surely does not, or some cannot be known. */
enum truth evaluation_conditions(struct evaluation *evaluation, struct conditions conditions, bool note)
{
	enum truth all = YES;
	for (size_t i = 0; i < conditions.count; i++) {
		const char *word = word_named(evaluation, conditions.rows[i].name);
		all = truth_and(all, !word ? PERHAPS : words_include(conditions.rows[i].words, word) ? YES : NO);
	}
	for (size_t i = 0; note && all == PERHAPS && i < conditions.count; i++) {
		if (!word_named(evaluation, conditions.rows[i].name))
			evaluation_note_word(evaluation, conditions.rows[i].name);
	}
	return all;
}

bool rule_selects_kind(const struct rule *rule, const char *kind)
{
	for (size_t i = 0; i < rule->selection_count; i++)
		if (strcmp(rule->selections[i].kinds, "*") == 0 || words_include(rule->selections[i].kinds, kind))
			return true;
	return false;
}

enum truth evaluation_selected(struct evaluation *evaluation)
{
	enum truth any = NO;
	if (table_says_none(evaluation->context->table, evaluation->item, evaluation->operating_case))
		return NO;
	for (size_t i = 0; i < evaluation->rule->selection_count; i++) {
		const struct selection *selection = &evaluation->rule->selections[i];
		if (strcmp(selection->kinds, "*") == 0 || words_include(selection->kinds, evaluation->item->kind))
			any = truth_or(any, evaluation_conditions(evaluation, selection->conditions, false));
	}
	for (size_t i = 0; any == PERHAPS && i < evaluation->rule->selection_count; i++) {
		const struct selection *selection = &evaluation->rule->selections[i];
		if (words_include(selection->kinds, evaluation->item->kind) || strcmp(selection->kinds, "*") == 0)
			evaluation_conditions(evaluation, selection->conditions, true);
	}
	return any;
}

/* ---- inputs ---- */

static bool accepts(const struct accepted *accepted, enum kind kind)
{
	for (size_t i = 0; i < accepted->count; i++) {
		enum kind wanted = accepted->kinds[i];
		if (wanted == kind ||
			(kind_is_number(wanted) && kind_is_number(kind) && strcmp(kind_si(wanted), kind_si(kind)) == 0))
			return true;
		if (!kind_is_number(wanted) && !kind_is_number(kind) && wanted != KIND_YES_NO && kind != KIND_YES_NO)
			return true;
	}
	return false;
}

/* Nobody can state what is only calculated: the rule says what to ask for instead. */
static bool asks_instead(const struct rule_input *input, const struct item *holder, const struct quantity *found)
{
	return input->only_computed && holder && !found;
}

/* What is asked for is the reference: the value may well be stated of what it leads to. */
static struct missing no_holder(const struct evaluation *evaluation, const struct rule_input *input)
{
	const char *asked = input->only_computed ? input->as : input->quantity;
	return (struct missing){.item = evaluation->item,
		.quantity = input->of,
		.reason = arena_format(evaluation->context->arena, "%s is not stated: no %s is given for %s", asked,
			input->of, evaluation->item->tag)};
}

/* Stands for what nobody states until the words for it are made: most rules turn out not to apply. */
static const struct quantity lacking = {.known = UNKNOWN, .si = (double)NAN};

static const struct quantity *lacking_input(const struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &evaluation->rule->inputs[i];
	const struct item *holder = evaluation->holders[i];
	struct arena *arena = evaluation->context->arena;
	enum kind kind = input->accepted.kinds[0];
	if (!holder)
		return quantity_lacking(arena, kind, no_holder(evaluation, input));
	if (asks_instead(input, holder, NULL))
		return quantity_unknown(
			arena, kind, arena_format(arena, "not stated for %s: %s", holder->tag, input->as));
	return table_lacking(evaluation->context->table, holder, kind, unstated_word(arena, input->quantity));
}

void evaluation_put_lacking(struct evaluation *evaluation, uint32_t inputs)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if ((inputs >> i & 1) && evaluation->values[i] == &lacking)
			evaluation->values[i] = lacking_input(evaluation, i);
}

static const struct quantity *unknown_input(const struct evaluation *evaluation, const struct rule_input *input,
	const struct item *holder, const struct quantity *found)
{
	struct arena *arena = evaluation->context->arena;
	if (!found)
		return &lacking;
	if (found->known == UNKNOWN)
		return found;
	return quantity_unknown(arena, input->accepted.kinds[0],
		arena_format(arena, "%s of %s is given as %s, which %s cannot use", input->quantity, holder->tag,
			quantity_show_both(arena, found), evaluation->rule->id));
}

/* What silence is taken for, by the rule or by a calculation, or what is tried in its place. */
static const struct quantity *for_silence(const struct evaluation *evaluation, const struct rule_input *input,
	const struct item *holder, const struct quantity *taken)
{
	const struct instead_of_default *instead = &evaluation->context->instead;
	bool tried = holder && instead->holder == holder && strcmp(instead->quantity, input->quantity) == 0;
	return tried ? instead->value : taken;
}

void evaluation_bind_wordless(struct evaluation *evaluation)
{
	const struct table *table = evaluation->context->table;
	for (size_t i = 0; i < evaluation->rule->input_count; i++) {
		const struct rule_input *input = &evaluation->rule->inputs[i];
		if (input->constant) {
			evaluation->values[i] = input->constant;
			continue;
		}
		const struct item *holder =
			table_follow(table, evaluation->item, evaluation->operating_case, input->of);
		const struct quantity *found =
			holder ? table_peek(table, holder, evaluation->operating_case, input->quantity) : NULL;
		evaluation->holders[i] = holder;
		if (found && found->known != UNKNOWN && accepts(&input->accepted, found->kind)) {
			evaluation->values[i] = found->silent ? for_silence(evaluation, input, holder, found) : found;
		} else if ((!found || (found->known == UNKNOWN && !found->owed)) && input->absent) {
			evaluation->values[i] = for_silence(evaluation, input, holder, input->absent);
		} else {
			evaluation->values[i] = unknown_input(evaluation, input, holder, found);
			evaluation->asked_instead |= asks_instead(input, holder, found) ? UINT32_C(1) << i : 0;
		}
	}
}

void evaluation_bind(struct evaluation *evaluation)
{
	evaluation_bind_wordless(evaluation);
	evaluation_put_lacking(evaluation, UINT32_MAX);
}

void evaluation_read(const struct evaluation *evaluation)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (evaluation->holders[i])
			table_read(evaluation->context->table, evaluation->holders[i],
				evaluation->rule->inputs[i].quantity, evaluation->values[i]);
}

void evaluation_name_variables(struct evaluation *evaluation, struct variable *variables)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		variables[i] = (struct variable){.name = evaluation->rule->inputs[i].name,
			.kind = evaluation->rule->inputs[i].accepted.kinds[0]};
	evaluation->binding = (struct binding){
		.variables = variables, .values = evaluation->values, .count = evaluation->rule->input_count};
}

/* Does this input leave the value open: nobody stated it, or it is a bound for want of something nobody stated? */
static bool leaves_open(const struct input *input)
{
	const struct quantity *given = input->quantity;
	return given && (given->known == UNKNOWN || (given->bound != BOUND_NONE && given->reason)) &&
		input->effect != EFFECT_WITHIN;
}

/* Is this input stated as a bound from which nothing follows, or which makes the value a bound? */
static bool only_bounds(const struct quantity *value, const struct input *input)
{
	bool matters = value->known == UNKNOWN ? input->effect == EFFECT_UNSAID : input->effect != EFFECT_WITHIN;
	return input->quantity && input->quantity->known != UNKNOWN && input->quantity->bound != BOUND_NONE &&
		matters && (value->known == UNKNOWN || value->bound != BOUND_NONE);
}

/* A value that lacks nothing but is only a bound, or is to be divided by and zero. */
static const char *of_no_use(struct arena *arena, const struct item *holder, const struct input *input)
{
	const struct quantity *value = input->quantity;
	bool named = input->item || !holder;
	const char *name = named ? input_name(arena, input) : arena_of(arena, input->name, holder->tag);
	return arena_format(arena, "%s is %s %s", name,
		value->bound == BOUND_NONE ? "to be divided by and is" : "given only as a bound,",
		quantity_show_both(arena, value));
}

/*
 * Whom to ask for what: the value to be stated, whatever was being computed from it; else the input itself, of the item that
 * the rule looked at.
 */
static void note_root(struct evaluation *evaluation, const struct item *holder, const struct input *input)
{
	const struct missing missing = quantity_missing(input->quantity);
	const char *reason = missing.reason
		? unstated_reason(evaluation->context->arena, &missing)
		: of_no_use(evaluation->context->arena, holder ? holder : evaluation->item, input);
	if (missing.quantity)
		evaluation_note_missing(evaluation, missing.item ? missing.item : holder, missing.quantity, reason);
	else
		evaluation_note_missing(evaluation, holder, input->name, reason);
}

/* What lies at the root of an unknown or merely bounded value: the inputs of inputs that nobody stated. */
static void note_roots(struct evaluation *evaluation, const struct item *holder, const struct input *of)
{
	const struct quantity *value = of->quantity;
	bool deeper = false;
	for (int pass = 0; pass < 2 && !deeper; pass++) /* a bound is asked about where nothing is missing */
		for (size_t i = 0; i < value->input_count; i++) {
			const struct input *input = &value->inputs[i];
			if (pass == 0 ? leaves_open(input) : only_bounds(value, input)) {
				note_roots(evaluation, holder, input);
				deeper = true;
			}
		}
	if (!deeper)
		note_root(evaluation, holder, of);
}

/* The same of a value by the name that the rule reads it by. */
static void note_roots_of(
	struct evaluation *evaluation, const struct item *holder, const char *name, const struct quantity *value)
{
	const struct input input = {.name = name, .quantity = value};
	note_roots(evaluation, holder, &input);
}

/* What nobody states, of an item that is there: the words are all that is made of it. */
static void note_lacking(struct evaluation *evaluation, size_t i)
{
	const struct judge_context *context = evaluation->context;
	const struct missing missing = unstated_missing(
		context->unstated, context->arena, evaluation->holders[i], evaluation->rule->inputs[i].quantity);
	evaluation_note_missing(evaluation, missing.item, missing.quantity, missing.reason);
}

static void note_unknown(struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &evaluation->rule->inputs[i];
	bool instead = evaluation->asked_instead >> i & 1;
	if (evaluation->values[i] == &lacking && evaluation->holders[i] && !instead) {
		note_lacking(evaluation, i);
		return;
	}
	evaluation_put_lacking(evaluation, UINT32_C(1) << i);
	if (instead)
		evaluation_note_missing(evaluation, evaluation->holders[i], input->as, evaluation->values[i]->reason);
	else
		note_roots_of(evaluation, evaluation->holders[i], input->quantity, evaluation->values[i]);
}

void evaluation_note_unknown(struct evaluation *evaluation)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (evaluation->unknown >> i & 1)
			note_unknown(evaluation, i);
}

/* Asks for what would take the place of the default: where it is only computed, for what it would follow from. */
static void note_silent(struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &evaluation->rule->inputs[i];
	const struct item *holder = evaluation->holders[i] ? evaluation->holders[i] : evaluation->item;
	const struct quantity *found =
		table_get(evaluation->context->table, holder, evaluation->operating_case, input->quantity);
	if (found && found->known == UNKNOWN)
		note_roots_of(evaluation, holder, input->quantity, found);
	else if (asks_instead(input, holder, found) || (found && found->silent && *input->as))
		evaluation_note_missing(evaluation, holder, input->as,
			arena_format(evaluation->context->arena, "not stated for %s: %s", holder->tag, input->as));
	else {
		const struct missing missing = not_stated(evaluation, holder, input->quantity);
		evaluation_note_missing(evaluation, holder, missing.quantity, missing.reason);
	}
}

/* Is there an attribute of the item for it, or an attribute whose family it is? */
static bool can_be_stated(struct arena *arena, const struct item *item, const char *quantity)
{
	return item->meaning && vocabulary_attribute(item->meaning, unstated_word(arena, quantity));
}

void evaluation_note_default(struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &evaluation->rule->inputs[i];
	const struct item *holder = evaluation->holders[i];
	const struct quantity *found = holder
		? table_peek(evaluation->context->table, holder, evaluation->operating_case, input->quantity)
		: NULL;
	if (holder &&
		(found || asks_instead(input, holder, found) ||
			can_be_stated(evaluation->context->arena, holder, input->quantity)))
		note_silent(evaluation, i);
}

void evaluation_note_silent(struct evaluation *evaluation, uint32_t inputs)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++) {
		const struct rule_input *input = &evaluation->rule->inputs[i];
		bool declared = evaluation->values[i] == input->absent && *input->absent_why;
		if ((inputs >> i & 1) && evaluation->values[i]->silent && !declared)
			note_silent(evaluation, i);
	}
}
