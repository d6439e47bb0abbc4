#include "import/basis.h"

#include <string.h>

#include "base/count.h"
#include "import/records.h"

/* ---- into the draft ---- */

/* What the columns of remarks say, one after the other. */
static const char *remarks_of(const struct record *record)
{
	struct text out = text_in(record_arena(record));
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const char *text = text_same(column->field, "remark") ? record_cell(record, column)->text : "";
		if (*text)
			text_addf(&out, "%s%s", out.length ? " " : "", text);
	}
	return out.length ? out.data : "";
}

/* "saturated, max. 150 degC": a bound with its own figure is not that of the value beside it. */
static const char *without_figures(struct arena *arena, const char *folded)
{
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " "), blanks = strspn(at + length, " ");
		const char *word = arena_copy_span(arena, at, length);
		bool figure = at[length + blanks] >= '0' && at[length + blanks] <= '9';
		if (!figure || !words_are_one_of(arena, word, "max|min|maximum|minimum|maximal|minimal"))
			text_addf(&out, "%s%s", out.length ? " " : "", word);
		at += length;
	}
	return out.length ? out.data : "";
}

/* "per train", "max", "future": a figure that is not that of the whole in the case at hand. */
static bool is_narrowed(const struct record *record, struct basis_parameter of)
{
	static const char part
		[] = "per train|each|per unit|je strang|par train|por tren|per absorber|je",
	    other[] = "maximum|max|minimum|min|future|design|start of run|end of run|turndown|peak|hold|tbc|estimated|"
		      "preliminary|excluding|without|dry|ohne";
	struct arena *arena = record_arena(record);
	const char *folded = without_figures(arena, words_fold(arena, remarks_of(record)));
	bool limit = strcmp(of.subject, "treated") == 0 || strcmp(of.subject, "basis") == 0;
	return words_within(arena, folded, part) || (!limit && words_within(arena, folded, other));
}

static bool names_amine(const struct record *record, const char *text)
{
	const char *amine = record_draft(record)->amine;
	return amine &&
		words_within(record_arena(record), words_fold(record_arena(record), text),
			words_fold(record_arena(record), amine));
}

/* The amine of the sheets, where the cell names it alone; a mixture, or another amine, is left to the reader. */
static void state_amine(struct record *record, const struct field_column *column)
{
	const char *text = record_cell(record, column)->text, *amine = record_draft(record)->amine;
	if (!names_amine(record, text) || strpbrk(text, "+/") || record_cell(record, column)->hidden)
		return;
	const char *folded = words_fold(record_arena(record), text);
	bool without = words_within(record_arena(record), folded,
		"without activator|no activator|unactivated|not activated|non activated|ohne aktivator|nicht "
		"aktiviert|unaktiviert|sans "
		"activateur|non activee|sin activador");
	struct draft_item *solvent = draft_item(record_draft(record), NULL, "solvent", NULL, NULL, "solvent");
	record_state_value(record, column, solvent, "amine", amine);
	if (without)
		record_state_value(record, column, solvent, "activated", "no");
	if (strcmp(amine, text) == 0)
		record_arrived(record, column);
	else
		draft_add_note(record_draft(record), solvent, text, record_source(record));
	if (strcmp(amine, text) != 0)
		record_interpreted(record, column, amine, "the amine that it names; the words are kept as a note");
	record->item = solvent;
}

/* A limit of the package on what a stream or the solution has. NULL: on which of several, or in no value that can be read. */
static struct draft_item *state_limit(
	struct record *record, const struct field_column *column, struct basis_parameter of, const char **why)
{
	struct arena *arena = record_arena(record);
	struct draft *draft = record_draft(record);
	bool solution = strcmp(of.subject, "solvent") == 0;
	const struct vocabulary_element *solvent = vocabulary_child(draft->unit, "solvent");
	const struct draft_item *on = solution ? NULL : basis_place(record, column, of, why);
	const struct vocabulary_element *element = solution ? vocabulary_child(solvent, "dated-analysis")
		: on					    ? on->element
							    : NULL;
	const struct vocabulary_attribute *limited = element ? vocabulary_attribute(element, of.field) : NULL;
	const char *about = solution ? "solvent" : on ? on->key : NULL;
	if (solution)
		draft_item(draft, NULL, "solvent", NULL, NULL, "solvent");
	if (!limited || !about)
		return NULL;
	struct cell_value value = list_cell(arena, record_cell(record, column)->text, limited->type, &column->rules);
	*why = value.why ? value.why : "no value";
	if ((value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED) || record_cell(record, column)->hidden)
		return NULL;
	struct draft_item *limit = record_state_limit(record, column, about, of.field, of.limit, value.value);
	if (limit)
		record_interpreted(record, column,
			arena_join(arena, arena_join(arena, of.limit, " ", value.value, ""), " for ", of.field, ""),
			"what the words of its parameter say");
	return limit;
}

/* "silicone type, intermittent": there is one, and how it is dosed; "none": there is none. */
static void state_antifoam(struct record *record, const struct field_column *column)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *folded = words_fold(arena, text);
	bool none = words_are_one_of(arena, folded,
		"no|none|nil|not used|not "
		"required|nein|kein|keine|keiner|keines|keins|entfallt|non|aucun|ninguno|without|ohne");
	bool unsure = words_within(arena, folded,
			      "tbc|tbd|hold|later|provision|optional|future|if|falls|no|none|nil|not|nicht|nein|kein|"
			      "keine|keiner|keines|keins|entfallt|ohne|without|aucun|sans|ninguno|sin") &&
		!none;
	bool now_and_then = words_within(arena, folded,
		"intermittent|intermittently|batch|shock|as required|when required|on "
		"demand|stossweise|stossdosierung|bei "
		"bedarf|diskontinuierlich|discontinu|intermitente");
	bool always = words_within(arena, folded, "continuous|continuously|kontinuierlich|en continu|continuo") &&
		!now_and_then;
	if (unsure || record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden)
		return;
	struct draft_item *solvent = draft_item(record_draft(record), NULL, "solvent", NULL, NULL, "solvent");
	record_state_value(record, column, solvent, "antifoam", none ? "no" : "yes");
	if (!none && (now_and_then || always))
		record_state_value(record, column, solvent, "antifoam-continuous", always ? "yes" : "no");
	draft_add_note(
		record_draft(record), solvent, arena_join(arena, "antifoam: ", text, "", ""), record_source(record));
	record_interpreted(
		record, column, none ? "no antifoam" : "antifoam", "what its words say; they are kept as a note");
	record->item = solvent;
}

/* Of several fields that which takes the value with its unit; NULL: none, or it has no unit. */
static const char *field_by_unit(
	struct record *record, const struct field_column *column, const struct draft_item *item, const char *fields)
{
	const char *found = NULL, *text = record_cell(record, column)->text;
	if (!strchr(fields, ' '))
		return fields;
	if (!column->rules.unit && strspn(text, "0123456789.,- ") == strlen(text))
		return NULL;
	for (const char *at = fields; *at; at += strspn(at, " ")) {
		const char *field = arena_copy_span(record_arena(record), at, strcspn(at, " "));
		const struct vocabulary_attribute *attribute = vocabulary_attribute(item->element, field);
		struct cell_value value = attribute
			? list_cell(record_arena(record), text, attribute->type, &column->rules)
			: (struct cell_value){.fate = CELL_LEFT_OUT};
		at += strlen(field);
		if (value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED)
			continue;
		if (found)
			return NULL;
		found = field;
	}
	return found;
}

/* "85 / 105 degF" of a supply and a return: the first of the two alone, with the unit of both. */
static void take_first_of_two(struct record *record, struct field_column *column, struct sheet_cell *first)
{
	struct arena *arena = record_arena(record);
	*first = *record_cell(record, column);
	const char *stroke = strchr(first->text, '/');
	if (first->kind != SHEET_TEXT || !stroke)
		return;
	const char *second = stroke + 1 + strspn(stroke + 1, " ");
	const char *unit = second + strspn(second, "0123456789.,");
	size_t length = strspn(first->text, "0123456789.,");
	if (unit == second || !length || first->text + length + strspn(first->text + length, " ") != stroke)
		return;
	first->text = arena_join(arena, arena_copy_span(arena, first->text, length), "", unit, "");
	column->stands = first;
	column->stands_at = record->at;
}

static void state_remark(struct record *record, struct draft_item *item, const char *parameter)
{
	const struct field_column *column = record_column(record, "remark");
	if (!column || record_cell(record, column)->kind == SHEET_EMPTY || record_cell(record, column)->hidden ||
		record_is_done(record, column))
		return;
	draft_add_note(record_draft(record), vocabulary_child(item->element, "note") ? item : NULL,
		arena_join(record_arena(record), parameter, ": ", record_cell(record, column)->text, ""),
		record_source(record));
	record_arrived(record, column);
}

static void state_values(struct record *record, const char *parameter, struct basis_parameter of)
{
	struct package *package = record->sheet->package;
	const struct field_column *named = record_column(record, "unit");
	const char *unit = named ? record_cell(record, named)->text : "";
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		struct field_column column = record->sheet->columns[i];
		const char *why = "the sheets have several of that";
		if (!text_same(column.field, "value") || record_cell(record, &column)->kind == SHEET_EMPTY)
			continue;
		if (strcmp(of.field, "amine") == 0) {
			state_amine(record, &column);
			continue;
		}
		if (strcmp(of.field, "antifoam") == 0) {
			state_antifoam(record, &column);
			continue;
		}
		if (strcmp(of.field, "reflux-ratio") == 0 &&
			words_are_one_of(package->arena, words_fold(package->arena, unit), "mol mol"))
			unit = ""; /* a ratio of moles has no unit */
		if (*unit)
			column.rules.unit = words_unit(package->arena, package->words, unit, true);
		if (*unit && !column.rules.unit && strspn(unit, "-[]() ") != strlen(unit)) {
			record_keep(record, "in a unit that is not known");
			return;
		}
		if (record_says_nothing(record, &column)) {
			record_arrived(record, &column);
			continue;
		}
		struct sheet_cell first;
		const char *whole = record_cell(record, &column)->text;
		if (strcmp(of.field, "water-temperature") == 0)
			take_first_of_two(record, &column, &first);
		struct draft_item *item =
			of.limit ? state_limit(record, &column, of, &why) : basis_place(record, &column, of, &why);
		of.field = item ? field_by_unit(record, &column, item, of.field) : of.field;
		if (!of.field) {
			record_keep(record, "in no unit that tells what it is");
			return;
		}
		record->item = item;
		if (!item) {
			record_keep(record, why);
			return;
		}
		if (!of.limit && record_state(record, &column, item, of.field))
			record_interpreted(record, &column,
				arena_join(
					package->arena, of.field, " of ", item->key ? item->key : item->identity, ""),
				"what the words of its parameter say");
		if (whole != record_cell(record, &column)->text)
			draft_add_note(record_draft(record), vocabulary_child(item->element, "note") ? item : NULL,
				arena_join(package->arena, parameter, ": ", whole, ""), record_source(record));
		state_remark(record, item, parameter);
	}
	if (named && record_cell(record, named)->kind != SHEET_EMPTY)
		record_pass(record, named, OUTCOME_STRUCTURE);
}

/* "Feed gas flow, Maximum: 110 MMscfd": what other columns give of the parameter. */
static void keep_others(struct record *record, struct draft_item *item, const char *parameter)
{
	struct arena *arena = record_arena(record);
	const char *unit = record_text(record, "unit");
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));) {
		const struct sheet_cell *cell = record_cell(record, column);
		if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED || cell->hidden) {
			record_left(record, column, "an error of the spreadsheet, or in a hidden row, column or sheet");
			continue;
		}
		draft_add_note(record_draft(record), vocabulary_child(item->element, "note") ? item : NULL,
			arena_format(arena, "%s, %s: %s%s%s", parameter, column->column->heading, cell->text,
				unit && *unit ? " " : "", unit ? unit : ""),
			record_source(record));
		record_interpreted(record, column, "a note", "no value of a case of operation");
	}
}

/* "Concentration" below the amine is that of the amine; "of which to C-101" below the circulation is a share of it. */
static void basis_go_on(struct record *record, const char *parameter, struct basis_parameter *of)
{
	struct package *package = record->sheet->package;
	const struct field_column *key = record_column(record, "tag");
	const char *folded = words_fold(package->arena, parameter);
	struct basis_parameter above = {.subject = NULL};
	size_t at = record->at;
	while (key && at > record->sheet->table->first && !above.subject && at + 3 > record->at) {
		const char *text = table_at(record->sheet->table, --at, key->column->at)->text;
		if (*text)
			above = basis_parameter(package->arena, package->words, text);
		if (*text && !above.subject)
			break;
	}
	bool of_amine = text_same(above.subject, "solvent") && text_same(above.field, "amine");
	bool of_circulation = text_same(above.subject, "lean") && text_same(above.field, "flow");
	if (!of->subject && of_amine &&
		words_are_one_of(
			package->arena, folded, "concentration|konzentration|strength|teneur|concentracion|gehalt"))
		*of = (struct basis_parameter){.subject = "solvent", .field = "strength"};
	if (of->share && !of_circulation)
		of->subject = NULL;
}

/* "C-101 only" beside the value: the item that it is of; NULL: no remark says it. */
static const char *item_of_remark(const struct record *record)
{
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!text_same(column->field, "remark"))
			continue;
		const char *text = record_cell(record, column)->text;
		const char *tag = arena_copy_span(record_arena(record), text, strcspn(text, " "));
		const char *rest = words_fold(record_arena(record), text + strlen(tag));
		if (draft_find(record_draft(record), tag) &&
			(!*rest || words_are_one_of(record_arena(record), rest, "only|nur|seulement")))
			return tag;
	}
	return NULL;
}

/* Does each value stand under a case of its own? */
static bool has_cases(const struct record *record)
{
	size_t values = 0, of_cases = 0;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!text_same(column->field, "value") || record_cell(record, column)->kind == SHEET_EMPTY)
			continue;
		values++;
		of_cases += column->of_case != NULL;
	}
	return of_cases > 1 && of_cases == values;
}

void record_read_basis(struct record *record, const char *parameter)
{
	struct package *package = record->sheet->package;
	struct basis_parameter of =
		basis_parameter_of(package->arena, package->words, parameter, record_text(record, "unit"));
	const char *folded = without_figures(package->arena, words_fold(package->arena, remarks_of(record)));
	bool most = words_within(package->arena, folded, "max|maximum|limit|maximal") != 0,
	     least = words_within(package->arena, folded, "min|minimum|minimal") != 0;
	if (!of.limit && (most || least) && basis_can_be_limited(of) && strcmp(of.subject, "treated") != 0)
		of.limit = most ? "at-most" : "at-least"; /* "Rich loading | 0.45 mol/mol | max" */
	basis_go_on(record, parameter, &of);
	if (!of.of)
		of.of = item_of_remark(record);
	if (!of.subject) {
		record_keep(record, "no parameter of a design basis that is known");
		return;
	}
	if (strcmp(of.field, "salts") == 0 && !of.limit) {
		record_keep(record, "a content of the solution that belongs to a day");
		return;
	}
	if (of.of_cases && !has_cases(record)) {
		record_keep(record, "of one day or another, and of which it is not said");
		return;
	}
	if (!of.limit && is_narrowed(record, of)) {
		record_keep(record, "of a part or of another case, by its remark");
		return;
	}
	state_values(record, parameter, of);
	struct draft_item *item = record->item;
	const struct field_column *key = record_column(record, "tag");
	if (item)
		record_pass(record, key, OUTCOME_STRUCTURE);
	record->item = NULL;
	if (item)
		keep_others(record, item, parameter);
	else
		record_keep(record, "nothing is known that it would be a value of");
}
