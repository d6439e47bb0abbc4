#include "import/records.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/species.h"
#include "import/guess.h"
#include "import/records_composition.h"

static double amine_mass_of(const struct record *record)
{
	const char *name = record->sheet->package->draft.amine;
	enum amine amine;
	return name && amine_find(name, &amine) ? amine_rows[amine].molar_mass : (double)NAN;
}

/* ---- what becomes a note ---- */

/* What a description has no attribute for: kept with its heading, unit and case. */
static void state_note(struct record *record, const struct field_column *column)
{
	struct package *package = record->sheet->package;
	const struct sheet_cell *cell = record_cell(record, column);
	const char *unit = component_unit(column), *of_case = column->of_case ? column->of_case : record->of_case;
	if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED || cell->hidden) {
		record_left(record, column, "an error of the spreadsheet, or in a hidden row, column or sheet");
		return;
	}
	if (component_is_dash(cell->text)) {
		record_arrived(record, column);
		return;
	}
	if (unit && strpbrk(cell->text, "abcdefghijklmnopqrstuvwxyz%"))
		unit = NULL; /* the cell has its own, or words */
	const char *headed;
	words_without_unit(package->arena, package->words, column->column->heading, &headed);
	const char *shown = headed ? NULL : unit;
	if (component_basis(unit) != BASIS_NONE && unit && component_is_share(unit) &&
		number_same(component_amount(record, column), 0)) {
		record_arrived(record, column); /* nothing of a component */
		return;
	}
	draft_add_note(&package->draft, record->item,
		arena_format(package->arena, "%s: %s%s%s%s%s", column->column->heading, cell->text, shown ? " " : "",
			shown ? shown : "", of_case ? ", case " : "", of_case ? of_case : ""),
		record_source(record));
	record_arrived(record, column);
}

/* What a description cannot hold, kept as a note, and why it is one. */
static void state_instead(struct record *record, const struct field_column *column, const char *why)
{
	const struct sheet_cell *cell = record_cell(record, column);
	if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED || cell->hidden) {
		record_left(record, column, why);
		return;
	}
	state_note(record, column);
	if (!component_is_dash(cell->text))
		record_interpreted(record, column, "a note", why);
}

/* ---- a gas ---- */

static void state_share(
	struct record *record, const struct field_column *column, const struct composition *all, double total)
{
	struct arena *arena = record->sheet->package->arena;
	double value = component_amount(record, column), mass = component_molar_mass(column->field);
	if (all->basis == BASIS_MASS)
		value /= mass;
	double share = value / total;
	if (!isfinite(share) || share > 1) {
		record_left(record, column, "its share of the whole cannot be calculated");
		return;
	}
	const char *shown = share > 0 && share < 1e-4 ? arena_format(arena, "%.4g ppmv", share * 1e6)
						      : arena_format(arena, "%.5g mol%%", share * 100);
	record_state_value(record, column, record->item, column->field, shown);
	record_interpreted(record, column, shown,
		all->basis == BASIS_MASS ? "its moles over those of all components" : "its part of the whole");
}

/* The cell has a share of its own, where its column has flows: "4 ppmv max". */
static bool has_own_share(const struct record *record, const struct field_column *column)
{
	const char *text = record_cell(record, column)->text;
	return strstr(text, "ppmv") || strstr(text, "mol%") || strstr(text, "vol%");
}

static void state_flow_share(struct record *record, const struct field_column *column, const struct composition *all)
{
	double total = composition_moles(record, all, column->of_case);
	if (number_same(component_amount(record, column), 0))
		record_arrived(record, column);
	else if (isnan(total))
		state_instead(record, column, "the whole does not follow: its share cannot be calculated");
	else
		state_share(record, column, all, total);
}

/* "sat.", "gesättigt" where the water of a gas stands. */
static bool state_saturated(struct record *record, const struct field_column *column)
{
	static const char written[] = "sat|satd|saturated|water saturated|sat water|saturated with water|h2o "
				      "saturated|saturation|gesattigt|ges|"
				      "wassergesattigt|wasserdampfgesattigt|sattigung|sature|sature en "
				      "eau|saturado|saturada|verzadigd|saturo";
	const struct sheet_cell *cell = record_cell(record, column);
	struct arena *arena = record_arena(record);
	if (strcmp(column->field, "water") != 0 || cell->kind != SHEET_TEXT || cell->hidden ||
		!words_are_one_of(arena, words_fold(arena, cell->text), written) ||
		!record_state_value(record, column, record->item, "water-saturated", "yes"))
		return false;
	record_interpreted(record, column, "saturated with water", "what the cell says of it");
	return true;
}

static void state_gas_component(struct record *record, const struct field_column *column, const struct composition *all)
{
	enum { WHOLE = 100 };
	const char *unit = component_unit(column);
	double value = component_amount(record, column);
	if (state_saturated(record, column))
		return;
	if (strcmp(column->field, "strength") == 0 || !vocabulary_attribute(record->item->element, column->field)) {
		if (number_same(value, 0))
			record_arrived(record, column); /* nothing of it */
		else
			state_instead(record, column, "a gas has no such content in a description");
	} else if (unit && component_is_share(unit) && component_basis(unit) == BASIS_MOLES && strcmp(unit, "%") != 0) {
		if (number_same(value, 0) && strspn(record_cell(record, column)->text, "-–") > 0)
			record_arrived(record, column);
		else
			record_state(record, column, record->item, column->field);
	} else if (isnan(value) && has_own_share(record, column)) {
		record_state(record, column, record->item, column->field);
	} else if (isnan(value) || !all->known || !text_same(unit, all->unit)) {
		record_left(record, column,
			all->known ? "a second unit for the same components"
				   : "molar masses of all components are needed");
	} else if (component_is_share(unit) && all->basis == BASIS_MOLES) {
		bool of_hundred = fabs(all->sum - WHOLE) < 3, of_one = fabs(all->sum - 1) < 0.03;
		if (of_hundred || of_one)
			state_share(record, column, all, of_one ? 1 : WHOLE);
		else
			record_left(record, column, "shares without a unit that sum up to neither 1 nor 100");
	} else if (!component_is_share(unit)) {
		state_flow_share(record, column, all);
	} else if (!composition_is_whole(all)) {
		record_left(
			record, column, "the contents that are stated do not sum up to a whole: the rest is not known");
	} else {
		state_share(record, column, all, all->sum);
	}
}

/* ---- a solution ---- */

static void state_loading(
	struct record *record, const struct field_column *column, const struct composition *all, double part)
{
	struct arena *arena = record->sheet->package->arena;
	double loading = part / all->amine;
	if (!isfinite(loading)) {
		record_left(record, column, "its moles for each of amine cannot be calculated");
		return;
	}
	const char *shown = arena_format(arena, "%.4g", loading);
	record_state_value(record, column, record->item, column->field, shown);
	record_interpreted(record, column, arena_join(arena, shown, " mol/mol amine", "", ""),
		"its moles over those of the amine of the same stream");
}

/*
 * Are all components of a solution among those that the sheet gives and a description knows? What follows from the amine and
 * the water of a solution with piperazine in it, or with half of its rows missing, would be of another solution.
 */
static bool is_complete(const struct record *record, const struct composition *all)
{
	enum { HUNDRED = 100 };
	double sum = all->basis == BASIS_MASS ? all->mass : all->sum;
	if (component_is_share(all->unit))
		return fabs(sum - 1) < 0.01 || fabs(sum / HUNDRED - 1) < 0.01;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		bool component = !column->field || strcmp(column->field, "note") == 0;
		if (component && text_same(component_unit(column), all->unit) && component_amount(record, column) > 0)
			return false;
	}
	return true;
}

static void state_strength(
	struct record *record, const struct field_column *column, const struct composition *all, double amine_mass)
{
	enum { ALL = 100 };
	struct arena *arena = record->sheet->package->arena;
	double amine = all->amine * amine_mass, water = all->water * component_molar_mass("water");
	bool all_of_it = all->any && is_complete(record, all);
	if (isfinite(amine / (amine + water)) && amine > 0 && all->known && all_of_it) {
		const char *shown = arena_format(arena, "%.4g wt%%", ALL * amine / (amine + water));
		record_state_value(record, column, record->item, "strength", shown);
		record_interpreted(record, column, shown, "amine over amine and water by mass, free of acid gas");
	} else if (component_basis(component_unit(column)) == BASIS_MASS &&
		component_is_share(component_unit(column))) {
		record_state(record, column, record->item, "strength");
	} else {
		record_left(record, column,
			"amine and water by mass cannot be calculated: the map names no amine, or there is no water");
	}
}

/* Of a water without amine: what it holds by mass. */
static void state_mass_content(struct record *record, const struct field_column *column, const struct composition *all)
{
	enum { ALL = 100 };
	const char *field = column->field;
	const char *attribute = strcmp(field, "h2s") == 0 ? "h2s-content"
		: strcmp(field, "co2") == 0		  ? "co2-content"
		: strcmp(field, "water") == 0		  ? "water-content"
							  : field;
	double total = component_is_share(all->unit)
		? all->mass
		: composition_stated_flow(record, KIND_MASS_FLOW, column->of_case) /
			composition_flow_unit(KIND_MOLAR_FLOW, all->unit);
	double share = ALL * component_amount(record, column) * component_molar_mass(field) / total;
	if (component_is_share(all->unit) && !composition_is_whole(all)) {
		record_left(
			record, column, "the contents that are stated do not sum up to a whole: the rest is not known");
		return;
	}
	if (!isfinite(share) || all->mass > (1 + AGREES) * total) {
		state_instead(record, column, "the whole does not follow: its share by mass cannot be calculated");
		return;
	}
	const char *shown = arena_format(record->sheet->package->arena, "%.4g wt%%", share);
	record_state_value(record, column, record->item, attribute, shown);
	record_interpreted(record, column, shown, "its mass over that of the whole");
}

static void state_solution_component(
	struct record *record, const struct field_column *column, const struct composition *all, double amine_mass)
{
	const char *unit = component_unit(column), *field = column->field;
	bool h2s = strcmp(field, "h2s") == 0, co2 = strcmp(field, "co2") == 0, same = text_same(unit, all->unit);
	double value = component_amount(record, column);
	bool amine = all->any && all->amine > 0 && all->known;
	if (amine && same && !number_same(value, 0) && !is_complete(record, all) &&
		!(strcmp(field, "strength") == 0 && all->basis == BASIS_MASS && component_is_share(unit))) {
		state_instead(record, column, "the components that are known are not all of this solution");
	} else if (strcmp(field, "strength") == 0 && !(number_same(value, 0))) {
		if (same || !all->any || component_is_share(unit))
			state_strength(record, column,
				same ? all : &(struct composition){.amine = (double)NAN, .water = (double)NAN},
				amine_mass);
		else
			record_left(record, column, "a second unit for the same components");
	} else if ((h2s || co2) && amine && same) {
		state_loading(record, column, all, h2s ? all->h2s : all->co2);
	} else if ((h2s || co2) &&
		((!amine && component_basis(unit) == BASIS_MASS && component_is_share(unit)) ||
			(!(amine && same) && unit && text_has_word("g/L mg/L kg/m3", unit)))) {
		record_state(record, column, record->item, h2s ? "h2s-content" : "co2-content");
	} else if (strcmp(field, "water") == 0 && amine && same) {
		record_interpreted(record, column, "water of the solution", "it gives the strength");
	} else if (number_same(value, 0)) {
		record_arrived(record, column); /* nothing of it */
	} else if (!amine && same && component_basis(unit) == BASIS_MOLES &&
		text_has_word("h2s co2 water nh3 hcn", field)) {
		state_mass_content(record, column, all);
	} else if (text_has_word("nh3 hcn", field) && component_basis(unit) == BASIS_MASS && component_is_share(unit)) {
		record_state(record, column, record->item, field);
	} else if (strcmp(field, "water") == 0 && component_basis(unit) == BASIS_MASS && component_is_share(unit)) {
		record_state(record, column, record->item, "water-content");
	} else {
		if (!same && all->any)
			record_left(record, column, "a second unit for the same components");
		else
			state_instead(record, column, "a liquid has no such content in a description");
	}
}

/* ---- the rest of a stream ---- */

/* Moles of a whole solution would be taken for those of its amine. */
static bool is_moles(const struct field_column *column, const char *text)
{
	const char *unit = component_unit(column);
	return (unit &&
		       text_has_word("kmol/h lbmol/h Nm3/h Sm3/h MMscfd scfh mol/h mol/s kmol/s kgmol/h scfm kmol/d",
			       unit)) ||
		strstr(text, "mol/h");
}

static void state_vapour(struct record *record, const struct field_column *column)
{
	double value = component_amount(record, column);
	if (element_is(record->sheet->map, "sheet") && strcmp(record->item->element->name, "gas") == 0) {
		if (number_same(value, 1) || number_same(value, 100))
			record_arrived(record, column); /* a gas is one */
		else
			record_left(record, column, "a gas has no vapour fraction in a description");
		return;
	}
	record_state(record, column, record->item, "vapour-fraction");
}

static void state_name(struct record *record, const struct field_column *column, const char *tag)
{
	struct package *package = record->sheet->package;
	const char *text = record_cell(record, column)->text;
	if (strcmp(text, tag) != 0)
		draft_add_note(&package->draft, record->item, text, record_source(record));
	record_arrived(record, column);
}

/* A volume of liquid as it would be cold: not what flows. */
static bool is_standard_liquid(const struct record *record, const struct field_column *column)
{
	struct arena *arena = record->sheet->package->arena;
	const char *unit = component_unit(column);
	return words_within(arena, words_fold(arena, column->column->heading),
		       "std|standard|stp|norm volumen|normvolumen|normvolumenstrom|estandar") &&
		(!unit || !text_has_word("Nm3/h Sm3/h MMscfd scfh scfm scfd MMSCFD kNm3/h kSm3/h Nm3/d Sm3/d", unit));
}

/* "Normvolumenstrom, m3/h" of a gas: at which conditions is not said. */
static bool is_norm_volume(const struct record *record, const struct field_column *column)
{
	const char *unit = component_unit(column);
	return unit && strcmp(unit, "m3/h") == 0 && strcmp(record->item->element->name, "gas") == 0 &&
		strstr(words_fold(record->sheet->package->arena, column->column->heading), "norm");
}

static void state_plain(struct record *record, const struct field_column *column, const char *tag)
{
	const char *field = column->field;
	bool gas = strcmp(record->item->element->name, "gas") == 0;
	if (strcmp(field, "name") == 0)
		state_name(record, column, tag);
	else if (strcmp(field, "note") == 0)
		state_note(record, column);
	else if (strcmp(field, "phase") == 0)
		record_arrived(record, column);
	else if (strcmp(field, "vapour-fraction") == 0)
		state_vapour(record, column);
	else if (strcmp(field, "flow") == 0 && record_is_part_of_flow(record, column))
		state_instead(record, column, "of one of the two phases that flow, and not the whole");
	else if (strcmp(field, "flow") == 0 && !gas && is_moles(column, record_cell(record, column)->text))
		state_instead(record, column, "moles of all that flows; a description counts those of amine");
	else if (strcmp(field, "flow") == 0 && (is_standard_liquid(record, column) || is_norm_volume(record, column)))
		state_instead(record, column, "a volume at standard conditions, and whether of gas is not said");
	else if (gas && (strcmp(field, "h2s loading") == 0 || strcmp(field, "co2 loading") == 0) &&
		(!column->rules.unit || strcmp(column->rules.unit, "mol/mol") == 0))
		state_instead(record, column, "a gas has no loading");
	else if (strcmp(field, "h2s loading") == 0 || strcmp(field, "co2 loading") == 0)
		record_state(record, column, record->item, *field == 'h' ? "h2s" : "co2");
	else if ((strcmp(field, "from") == 0 || strcmp(field, "to") == 0) && gas &&
		record_state_gas_end(record, column))
		return;
	else if ((strcmp(field, "from") == 0 || strcmp(field, "to") == 0) && gas)
		state_instead(record, column, "a gas has no ends in a description: the equipment names it");
	else if (text_has_word("from to", field) && record_cell(record, column)->kind == SHEET_TEXT) {
		record_find_limit(record, column, record_cell(record, column)->text);
		record_state(record, column, record->item, field);
	} else if (!vocabulary_attribute(record->item->element, field))
		state_instead(record, column,
			arena_format(
				record->sheet->package->arena, "a %s has no %s", record->item->element->name, field));
	else
		record_state(record, column, record->item, field);
}

static struct guess what_it_is(const struct record *record, const char *tag, const char *name, bool composed)
{
	const struct element *said = record_item(record, tag);
	if (!said)
		return guess_stream(record->sheet->package->arena, name, composed);
	return (struct guess){
		.element = element_attribute(said, "is"), .word = element_attribute(said, "word"), .by_name = true};
}

/* "Sauergas" that is acid gas for the most part, or goes to a Claus plant: its role; NULL: nothing says it. */
static const char *role_of_sour(const struct record *record, const char *name, const struct composition *all)
{
	static const char beyond[] =
		"claus|clausanlage|sru|schwefelgewinnung|sulfur recovery|sulphur recovery|schwefelanlage|"
		"schwefelruckgewinnung|acid gas flare|sauergasfackel";
	struct arena *arena = record->sheet->package->arena;
	const char *const fields[] = {"remark", "to"};
	if (!guess_is_acid_or_sour(arena, name))
		return NULL;
	bool leaves = words_within(arena, words_fold(arena, name), beyond) > 0;
	for (size_t i = 0; i < COUNT(fields); i++) {
		const char *text = record_text(record, fields[i]);
		leaves = leaves || (text && words_within(arena, words_fold(arena, text), beyond));
	}
	enum { HUNDRED = 100 };
	double whole = !component_is_share(all->unit) ? all->sum
		: all->sum > 1			      ? HUNDRED
						      : 1; /* what the sheet leaves out is other gas */
	bool mostly = all->any && all->basis == BASIS_MOLES && all->h2s + all->co2 > whole / 2;
	return leaves || mostly ? "acid gas" : NULL;
}

/* Did the map say what it is, and not as a low guess, or does its name? */
static bool is_sure(const struct element *said, const struct guess *guess)
{
	return said ? strcmp(element_attribute_or(said, "confidence", "high"), "low") != 0 : guess->by_name;
}

static struct draft_item *stream_item(struct record *record, const char *tag, const struct composition *all)
{
	struct package *package = record->sheet->package;
	const struct element *said = record_item(record, tag);
	const struct field_column *column = record_column(record, "tag");
	const char *name = record_text(record, "name");
	name = (!name || !*name) && record->named ? record->named : name;
	bool composed = guess_is_gas(package->arena, record_text(record, "phase")) ||
		(all->any && all->gases > 0.3 * all->sum && !(all->amine > 0.01 * all->sum));
	struct draft_item *there = draft_find(&package->draft, tag);
	const struct guess guess = what_it_is(record, tag, name && *name ? name : tag, composed);
	if (strcmp(guess.element, "-") == 0)
		return NULL;
	if (there && (strcmp(there->element->name, "stream") == 0 || strcmp(there->element->name, "gas") == 0)) {
		record_arrived(record, column);
		return there;
	}
	if (there || (strcmp(guess.element, "stream") != 0 && strcmp(guess.element, "gas") != 0))
		return NULL;
	struct draft_item *item = draft_item(&package->draft, NULL, guess.element, "id", tag, tag);
	if (record->named)
		draft_add_note(&package->draft, item, record->named, record_source(record));
	const char *attribute = strcmp(guess.element, "gas") == 0 ? "role" : "service";
	bool sure = is_sure(said, &guess);
	bool open = *attribute == 'r' && (!guess.word || strcmp(guess.word, "other") == 0) && !sure;
	const char *by_ends = open ? record_role_by_ends(record) : NULL;
	const char *role = !guess.word && name && *attribute == 'r' ? role_of_sour(record, name, all) : NULL;
	if (by_ends && (!role || strcmp(role, by_ends) == 0)) {
		record_state_value(record, column, item, attribute, by_ends);
		record_interpreted(record, column, by_ends, "by the equipment at its ends");
		return item;
	}
	if (role) {
		record_state_value(record, column, item, attribute, role);
		record_interpreted(record, column, role, "it is acid gas for the most part, or goes to a sulfur plant");
		return item;
	}
	if (guess.word && vocabulary_choice(vocabulary_attribute(item->element, attribute)->type, guess.word))
		record_state_value(record, column, item, attribute, guess.word);
	if (said)
		record_arrived(record, column);
	else
		record_interpreted(record, column,
			arena_format(package->arena, "%s%s%s", guess.element, guess.word ? ", " : "",
				guess.word ? guess.word : ""),
			guess.by_name ? "by its name" : "nothing says what it is");
	return item;
}

static bool has_service(const struct draft_item *item)
{
	for (size_t i = 0; i < item->count; i++)
		if (strcmp(item->values[i].attribute, "service") == 0)
			return true;
	return false;
}

/*
 * "mol% gas, mol/mol amine" over a column: the unit of this record, and of a solution the loading. Of a stream that
 * nothing says what it is, the figures are notes.
 */
static void choose_units(struct record *record, bool gas)
{
	bool sure = gas || has_service(record->item);
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		struct field_column *column = &record->sheet->columns[i];
		const struct phase_units *phases = &column->column->phases;
		if (!phases->gas || !column->map)
			continue;
		const char *field = element_attribute(column->map, "field");
		bool loading = !gas && strcmp(phases->liquid, "mol/mol") == 0;
		column->rules.unit = !sure ? NULL : gas ? phases->gas : phases->liquid;
		column->field = !sure				       ? "note"
			: !loading || !text_has_word("h2s co2", field) ? field
			: !phases->of_amine			       ? "note"
			: strcmp(field, "h2s") == 0		       ? "h2s loading"
								       : "co2 loading";
	}
}

/* The column of units that stands at the right of the column, or of those that have the same for other cases; NULL: none does. */
static const struct field_column *units_beside(const struct record *record, size_t at)
{
	const struct field_column *columns = record->sheet->columns;
	for (size_t i = at + 1; i < record->sheet->table->count; i++) {
		if (text_same(columns[i].field, "unit"))
			return &columns[i];
		if (!columns[i].of_case || !columns[i].map || !columns[at].map ||
			!text_same(element_attribute(columns[i].map, "field"),
				element_attribute(columns[at].map, "field")))
			return NULL;
	}
	return NULL;
}

/* "4 | mol %", "0.36 | mol/mol": where the column to the right has the unit of each row; a loading where its heading says so. */
void record_take_units_beside(struct record *record)
{
	static const char of_words[] = "tag name owner class service phase from to stream case date remark";
	struct package *package = record->sheet->package;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		struct field_column *column = &record->sheet->columns[i];
		const struct field_column *beside = units_beside(record, i);
		if (!column->map || !beside || text_has_word(of_words, element_attribute(column->map, "field")) ||
			(record->sheet->lists == LISTS_STREAMS && element_attribute(column->map, "unit")))
			continue;
		const char *heading = words_fold(package->arena, column->column->heading);
		column->rules.unit =
			words_unit(package->arena, package->words, record_cell(record, beside)->text, true);
		column->field = element_attribute(column->map, "field");
		if (column->rules.unit && strcmp(column->rules.unit, "mol/mol") == 0 &&
			text_has_word(words_concepts(package->arena, package->words, heading), "loading"))
			column->field = "loading";
		if (!column->rules.unit)
			column->field = "note";
		record_arrived(record, beside);
	}
}

void record_read_stream(struct record *record, const char *tag)
{
	record_take_units_beside(record);
	if (record_is_of_limits(record, tag) && !record_item(record, tag)) {
		record_keep(record, "limits of streams beside it, and no stream");
		return;
	}
	double amine_mass = amine_mass_of(record);
	struct composition all = composition_first(record, amine_mass);
	record->item = stream_item(record, tag, &all);
	if (!record->item) {
		record_leave(record, "no stream of a description");
		return;
	}
	bool gas = strcmp(record->item->element->name, "gas") == 0;
	choose_units(record, gas);
	all = composition_first(record, amine_mass);
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!column->map || text_has_word("- unit", column->field) ||
			record_cell(record, column)->kind == SHEET_EMPTY || record_is_done(record, column) ||
			strcmp(column->field, "remark") == 0)
			continue;
		enum sheet_kind kind = record_cell(record, column)->kind;
		if (kind == SHEET_FAULT || kind == SHEET_UNCALCULATED || record_cell(record, column)->hidden ||
			!component_is(column))
			state_plain(record, column, tag);
		else if (gas)
			state_gas_component(record, column, &all);
		else
			state_solution_component(record, column, &all, amine_mass);
	}
	record_remarks(record, record->item);
}
