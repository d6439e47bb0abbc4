#include "judge/sitting.h"

#include <string.h>

#include "base/text.h"

/* ---- words of an item ---- */

static bool words_include(const char *alternatives, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = alternatives; *at; at += *at == '|') {
		size_t span = strcspn(at, "|");
		if (span == length && memcmp(at, word, length) == 0)
			return true;
		at += span;
	}
	return false;
}

static const char *side_of(const struct item *item)
{
	static const char *const sides[][2] = {{"tube-side", "tube"}, {"shell-side", "shell"}, {"plate-side", "plate"}};
	for (size_t i = 0; i < sizeof sides / sizeof *sides; i++)
		if (strcmp(item->kind, sides[i][0]) == 0)
			return sides[i][1];
	return "";
}

/* Whose words select and narrow, the first that has the word: the item, the solvent, the basis. */
struct bearers {
	const struct item *rows[3];
};

static struct bearers bearers_of(const struct sitting *sitting)
{
	const struct table *table = sitting->bench->table;
	return (struct bearers){{sitting->item, table_sole(table, "solvent"), table_sole(table, "basis")}};
}

/* The first of them that has the name decides, be it that its word is not known: that of another would be a guess. */
static const struct quantity *cell_named(const struct sitting *sitting, const char *name)
{
	const struct bearers bearers = bearers_of(sitting);
	const struct quantity *cell = NULL;
	for (size_t i = 0; !cell && i < sizeof bearers.rows / sizeof *bearers.rows; i++)
		cell = bearers.rows[i]
			? table_get(sitting->bench->table, bearers.rows[i], sitting->operating_case, name)
			: NULL;
	return cell;
}

/* The word a limit is narrowed by: of the item itself, of the rule's input of that name, of the solvent or the basis. */
static const char *word_named(const struct sitting *sitting, const char *name)
{
	if (strcmp(name, "item") == 0)
		return sitting->item->kind;
	if (strcmp(name, "side") == 0)
		return side_of(sitting->item);
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		if (strcmp(sitting->rule->inputs[i].name, name) == 0)
			return sitting->values[i]->known != UNKNOWN ? sitting->values[i]->word : NULL;
	const struct quantity *cell = cell_named(sitting, name);
	return cell && cell->known != UNKNOWN ? cell->word : NULL;
}

static bool same_inputs(const struct sitting *a, const struct sitting *b)
{
	for (size_t i = 0; i < a->rule->input_count; i++)
		if (a->values[i] != b->values[i] && !(a->values[i]->known == UNKNOWN && b->values[i]->known == UNKNOWN))
			return false;
	return true;
}

bool sitting_sees_the_same(const struct sitting *a, const struct sitting *b)
{
	struct bearers bearers = bearers_of(a);
	for (size_t i = 0; i < sizeof bearers.rows / sizeof *bearers.rows; i++)
		if (bearers.rows[i] && table_varies(a->bench->table, bearers.rows[i]))
			return false;
	return same_inputs(a, b);
}

void sitting_note_missing(struct sitting *sitting, const struct item *item, const char *quantity, const char *reason)
{
	for (size_t i = 0; i < sitting->missing_count; i++)
		if (strcmp(sitting->missing[i].reason, reason) == 0)
			return;
	sitting->missing = arena_grow(sitting->bench->arena, sitting->missing, sitting->missing_count,
		&sitting->missing_capacity, sizeof *sitting->missing);
	sitting->missing[sitting->missing_count++] =
		(struct missing){.item = item, .quantity = quantity, .reason = reason};
}

/* A family follows from the word that is to be stated: "material", not "material-family". */
static struct missing not_stated(const struct sitting *sitting, const struct item *item, const char *quantity)
{
	struct arena *arena = sitting->bench->arena;
	size_t length = strlen(quantity) - (text_ends(quantity, "-family") ? strlen("-family") : 0);
	return item_lacks(arena, item, arena_copy_span(arena, quantity, length));
}

/* All conditions hold, or one surely does not, or some cannot be known. */
enum truth sitting_conditions(struct sitting *sitting, struct conditions conditions, bool note)
{
	enum truth all = YES;
	for (size_t i = 0; i < conditions.count; i++) {
		const char *word = word_named(sitting, conditions.rows[i].name);
		all = truth_and(all, !word ? PERHAPS : words_include(conditions.rows[i].words, word) ? YES : NO);
	}
	for (size_t i = 0; note && all == PERHAPS && i < conditions.count; i++) {
		const char *name = conditions.rows[i].name;
		if (!word_named(sitting, name)) {
			const struct quantity *cell = cell_named(sitting, name);
			const char *reason =
				cell && cell->reason ? cell->reason : not_stated(sitting, sitting->item, name).reason;
			sitting_note_missing(sitting, sitting->item, name, reason);
		}
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

enum truth sitting_selected(struct sitting *sitting)
{
	enum truth any = NO;
	for (size_t i = 0; i < sitting->rule->selection_count; i++) {
		const struct selection *selection = &sitting->rule->selections[i];
		if (strcmp(selection->kinds, "*") == 0 || words_include(selection->kinds, sitting->item->kind))
			any = truth_or(any, sitting_conditions(sitting, selection->conditions, false));
	}
	for (size_t i = 0; any == PERHAPS && i < sitting->rule->selection_count; i++) {
		const struct selection *selection = &sitting->rule->selections[i];
		if (words_include(selection->kinds, sitting->item->kind) || strcmp(selection->kinds, "*") == 0)
			sitting_conditions(sitting, selection->conditions, true);
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

/* Nobody can state what is only worked out: the rule says what to ask for instead. */
static bool asks_instead(const struct rule_input *input, const struct item *holder, const struct quantity *found)
{
	return input->only_computed && holder && !found;
}

static const struct quantity *unknown_input(struct sitting *sitting, const struct rule_input *input,
	const struct item *holder, const struct quantity *found)
{
	struct arena *arena = sitting->bench->arena;
	enum kind kind = input->accepted.kinds[0];
	if (found && found->known != UNKNOWN)
		return quantity_unknown(arena, kind,
			arena_format(arena, "%s of %s is given as %s, which %s cannot use", input->quantity,
				holder->tag, quantity_show_both(arena, found), sitting->rule->id));
	if (found)
		return found;
	if (!holder)
		return quantity_unknown(arena, kind,
			arena_format(arena, "%s is not stated: no %s is given for %s", input->quantity, input->of,
				sitting->item->tag));
	if (asks_instead(input, holder, found))
		return quantity_unknown(
			arena, kind, arena_format(arena, "not stated for %s: %s", holder->tag, input->as));
	return quantity_lacking(arena, kind, not_stated(sitting, holder, input->quantity));
}

void sitting_bind(struct sitting *sitting)
{
	const struct table *table = sitting->bench->table;
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		if (input->constant) {
			sitting->values[i] = input->constant;
			continue;
		}
		const struct item *holder = table_follow(table, sitting->item, sitting->operating_case, input->of);
		const struct quantity *found =
			holder ? table_peek(table, holder, sitting->operating_case, input->quantity) : NULL;
		sitting->holders[i] = holder;
		if (found && found->known != UNKNOWN && accepts(&input->accepted, found->kind)) {
			sitting->values[i] = found;
		} else if ((!found || (found->known == UNKNOWN && !found->owed)) && input->absent) {
			sitting->values[i] = input->absent;
		} else {
			sitting->values[i] = unknown_input(sitting, input, holder, found);
			sitting->asked_instead |= asks_instead(input, holder, found) ? UINT32_C(1) << i : 0;
		}
	}
}

void sitting_read(const struct sitting *sitting)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		if (sitting->holders[i])
			table_read(sitting->bench->table, sitting->holders[i], sitting->rule->inputs[i].quantity,
				sitting->values[i]);
}

void sitting_name_variables(struct sitting *sitting, struct variable *variables)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		variables[i] = (struct variable){
			.name = sitting->rule->inputs[i].name, .kind = sitting->rule->inputs[i].accepted.kinds[0]};
	sitting->binding = (struct binding){
		.variables = variables, .values = sitting->values, .count = sitting->rule->input_count};
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
	const char *name = named ? input->name : arena_format(arena, "%s of %s", input->name, holder->tag);
	return arena_format(arena, "%s is %s %s", name,
		value->bound == BOUND_NONE ? "to be divided by and is" : "given only as a bound,",
		quantity_show_both(arena, value));
}

/*
 * Whom to ask for what: the value to be stated, whatever was being computed from it; else the input itself, of the item that
 * the rule looked at.
 */
static void note_root(struct sitting *sitting, const struct item *holder, const struct input *input)
{
	const struct missing missing = quantity_missing(input->quantity);
	const char *reason = missing.reason ? missing.reason
					    : of_no_use(sitting->bench->arena, holder ? holder : sitting->item, input);
	if (missing.quantity)
		sitting_note_missing(sitting, missing.item ? missing.item : holder, missing.quantity, reason);
	else
		sitting_note_missing(sitting, holder, input->property ? input->property : input->name, reason);
}

/* What lies at the root of an unknown or merely bounded value: the inputs of inputs that nobody stated. */
static void note_roots(struct sitting *sitting, const struct item *holder, const struct input *of)
{
	const struct quantity *value = of->quantity;
	bool deeper = false;
	for (int pass = 0; pass < 2 && !deeper; pass++) /* a bound is asked about where nothing is missing */
		for (size_t i = 0; i < value->input_count; i++) {
			const struct input *input = &value->inputs[i];
			if (pass == 0 ? leaves_open(input) : only_bounds(value, input)) {
				note_roots(sitting, holder, input);
				deeper = true;
			}
		}
	if (!deeper)
		note_root(sitting, holder, of);
}

/* The same of a value by the name that the rule reads it by. */
static void note_roots_of(
	struct sitting *sitting, const struct item *holder, const char *name, const struct quantity *value)
{
	const struct input input = {.name = name, .property = name, .quantity = value};
	note_roots(sitting, holder, &input);
}

void sitting_note_unknown(struct sitting *sitting)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		const struct quantity *value = sitting->values[i];
		if (!(sitting->unknown >> i & 1))
			continue;
		if (sitting->asked_instead >> i & 1)
			sitting_note_missing(sitting, sitting->holders[i], input->as, value->reason);
		else
			note_roots_of(sitting, sitting->holders[i], input->quantity, value);
	}
}

/* Asks for what would take the place of the default: where it is only computed, for what it would follow from. */
static void note_silent(struct sitting *sitting, size_t i)
{
	const struct rule_input *input = &sitting->rule->inputs[i];
	const struct item *holder = sitting->holders[i] ? sitting->holders[i] : sitting->item;
	const struct quantity *found =
		table_get(sitting->bench->table, holder, sitting->operating_case, input->quantity);
	if (found && found->known == UNKNOWN)
		note_roots_of(sitting, holder, input->quantity, found);
	else if (asks_instead(input, holder, found))
		sitting_note_missing(sitting, holder, input->as,
			arena_format(sitting->bench->arena, "not stated for %s: %s", holder->tag, input->as));
	else
		sitting_note_missing(
			sitting, holder, input->quantity, not_stated(sitting, holder, input->quantity).reason);
}

void sitting_note_silent(struct sitting *sitting, uint32_t inputs)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		bool declared = sitting->values[i] == input->absent && *input->absent_why;
		if ((inputs >> i & 1) && sitting->values[i]->silent && !declared)
			note_silent(sitting, i);
	}
}
