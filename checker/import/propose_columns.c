#include "import/propose_columns.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/draft.h"
#include "import/guess.h"
#include "quantity/quantity.h"

const char *propose_word(enum confidence confidence)
{
	static const char *const words[] = {"low", "medium", "high"};
	return words[confidence];
}

const struct table_column *propose_column_of(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, const char *name)
{
	return listed_column(all->arena, all->words, proposed, table, name);
}

void propose_add(struct text *out, const char *name, const char *value)
{
	text_addf(out, " %s=\"", name);
	draft_escape(out, value, false);
	text_add_char(out, '"');
}

const char *propose_one_line(struct arena *arena, const char *text)
{
	char *copy = arena_copy(arena, text);
	for (char *c = copy; *c; c++)
		*c = *c == '|' || *c == '\n' || *c == '\r' || *c == '\t' ? ' ' : *c;
	return copy;
}

void propose_guess(
	const struct proposing *all, struct place place, enum confidence confidence, const char *cell, const char *what)
{
	problem_add(all->guesses, PROBLEM_CELL_INTERPRETED, place, "%s: %s (%s)", cell, what, propose_word(confidence));
}

static const struct vocabulary_type *type_of(
	const struct proposing *all, enum sheet_lists lists, const char *field, const char *of)
{
	static const char *const first[LISTS_COUNT] = {
		"", "line", "stream", "exchanger", "nozzle", "relief-valve", "dated-analysis", "", "valve", ""};
	const struct vocabulary_attribute *attribute = NULL;
	for (size_t i = 0; i < all->vocabulary->element_count && !attribute; i++)
		if (strcmp(all->vocabulary->elements[i]->name, of ? of : first[lists]) == 0)
			attribute = vocabulary_attribute(all->vocabulary->elements[i], field);
	for (size_t i = 0; i < all->vocabulary->element_count && !attribute; i++)
		attribute = vocabulary_attribute(all->vocabulary->elements[i], field);
	return attribute ? attribute->type : NULL;
}

static bool is_special(const char *field)
{
	return text_has_word("tag case class name remark count owner date part service phase from to stream "
			     "discharges-to h2s co2 water sized-for parameter value unit sign sample size-schedule "
			     "casing-impeller dimensions "
			     "pressure-temperature design-pressure-temperature",
		field);
}

/* The share of the values that can be read so, in per cent; 100 where there are none. */
static size_t readable(const struct proposing *all, const struct table *table, const struct table_column *column,
	const struct vocabulary_type *type, const struct cell_rules *rules)
{
	enum { LOOKED_AT = 40, ALL = 100 };
	size_t read = 0, count = 0;
	for (size_t i = table->first; i < table->last && count < LOOKED_AT; i++) {
		const struct sheet_cell *cell = table_at(table, i, column->at);
		struct cell_rules own = *rules;
		if (cell->kind == SHEET_EMPTY || cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED)
			continue;
		own.exact = cell->kind == SHEET_NUMBER;
		count++;
		enum cell_fate fate = list_cell(all->arena, cell->text, type, &own).fate;
		read += fate != CELL_LEFT_OUT;
	}
	return count ? ALL * read / count : ALL;
}

/* The words of a column of choices that a description calls otherwise. */
static void add_words(const struct proposing *all, struct text *out, const struct table *table,
	const struct table_column *column, const struct vocabulary_type *type)
{
	enum { MOST = 200 };
	const char *seen[MOST];
	size_t count = 0;
	for (size_t i = table->first; i < table->last && count < MOST; i++) {
		const char *text = table_at(table, i, column->at)->text;
		bool new = *text != '\0';
		for (size_t k = 0; k < count && new; k++)
			new = strcmp(seen[k], text) != 0;
		if (!new)
			continue;
		seen[count++] = text;
		const char *legend = strcmp(type->name, "stream-service") == 0 && all->whole
			? evidence_code(all->arena, all->whole, text)
			: NULL;
		const char *by_legend = legend ? guess_service(all->arena, legend) : NULL;
		const char *meaning = by_legend ? by_legend : list_cell_meaning(all->arena, text, type->name);
		if (!meaning || !vocabulary_choice(type, meaning) || vocabulary_choice(type, text))
			continue;
		text_add(out, "\n      <word");
		propose_add(out, "written", propose_one_line(all->arena, text));
		propose_add(out, "means", meaning);
		text_add(out, "/>");
	}
}

struct column_guess {
	struct field field;
	const char *unit;
	enum confidence confidence;
};

/* "B1A", "6C2S": letters and figures, where a class of flanges is a number. */
static bool are_piping_classes(const struct table *table, const struct table_column *column)
{
	size_t classes = 0, others = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, column->at)->text;
		bool letter = false;
		for (const char *c = text; *c; c++)
			letter = letter || (*c >= 'A' && *c <= 'Z');
		bool flange = strstr(text, "RF") || strstr(text, "RTJ") || strstr(text, "FF") || strstr(text, "LB") ||
			strstr(text, "CL") || strstr(text, "Cl") || strstr(text, "PN");
		classes += letter && !flange && strlen(text) <= 12 && !strchr(text, ' ');
		others += *text && (!letter || flange);
	}
	return classes > others;
}

static bool is_flow(const char *unit)
{
	double factor, offset;
	static const enum kind kinds[] = {KIND_MASS_FLOW, KIND_MOLAR_FLOW};
	for (size_t i = 0; unit && i < COUNT(kinds); i++)
		if (unit_find(kinds[i], unit, 101325, &factor, &offset))
			return true;
	return false;
}

/* "TUBES", "Mantel" over metals: what that part is made of. */
static const char *part_made_of(
	const struct proposing *all, const struct table *table, const struct table_column *column)
{
	static const char *const parts[][2] = {{"tubes", "tube-side"}, {"tube-side", "tube-side"},
		{"shells", "shell-side"}, {"shell-side", "shell-side"}};
	const char *concepts = words_concepts(all->arena, all->words, words_fold(all->arena, column->heading));
	for (size_t i = 0; i < COUNT(parts); i++)
		if (strcmp(parts[i][0], concepts) == 0 && evidence_are_metals(all->arena, table, column))
			return parts[i][1];
	return NULL;
}

/* Does a cell have two values, "12000 / 3000"? */
static bool holds_strokes(const struct table *table, const struct table_column *column)
{
	for (size_t i = table->first; i < table->last; i++)
		if (strpbrk(table_at(table, i, column->at)->text, "/|"))
			return true;
	return false;
}

/* "Design temp. TS" where no column is of the shell side: of the tubes, or the highest allowed, as equipment is marked? */
static bool is_marked_ts(const struct proposing *all, const struct table *table, const struct table_column *column)
{
	const char *unit, *bare = words_without_unit(all->arena, all->words, column->known_as, &unit);
	const char *folded = words_fold(all->arena, bare), *last = strrchr(folded, ' ');
	for (size_t i = 0; i < table->count; i++) {
		const char *known = table->columns[i].known_as;
		struct field field = known ? fields_find(all->arena, all->words, LISTS_EQUIPMENT, known)
					   : (struct field){.name = NULL};
		if (field.name && text_same(field.of, "shell-side") && strcmp(field.name, "material") != 0)
			return false;
	}
	return last && strcmp(last + 1, "ts") == 0;
}

/* "T in °C" beside "T out °C" is the temperature of the inlet; alone it is in degrees. NULL: nothing says which end it is. */
static const char *as_end(const struct proposing *all, const struct table *table, const struct table_column *column)
{
	const char *in = strstr(column->heading, " in ");
	if (!in)
		return NULL;
	const char *other = words_fold(all->arena,
		arena_join(all->arena, arena_copy_span(all->arena, column->heading, (size_t)(in - column->heading)),
			" out ", in + strlen(" in "), ""));
	for (size_t k = 0; k < table->count; k++)
		if (strcmp(words_fold(all->arena, table->columns[k].heading), other) == 0)
			return "inlet";
	return NULL;
}

/* Columns whose values, or those beside them, say that they are not what their heading gives elsewhere. */
static bool told_otherwise(const struct proposing *all, const struct table *table, const struct table_column *column,
	struct column_guess *guess)
{
	const char *field = guess->field.name, *made_of = NULL;
	if (strcmp(field, "tubes") == 0 || strcmp(field, "shells") == 0)
		made_of = part_made_of(all, table, column);
	bool marked = text_same(guess->field.of, "tube-side") && strstr(field, "temperature") &&
		is_marked_ts(all, table, column);
	if (made_of)
		guess->field = (struct field){.name = "material", .of = made_of};
	else if (marked)
		guess->field = (struct field){.name = "note"};
	guess->confidence = made_of ? MEDIUM : marked ? LOW : guess->confidence;
	return made_of || marked;
}

/* Does it number the rows of a list, and not measure what stands in them? */
static bool numbers_rows(const struct table *table, const struct table_column *column)
{
	enum { FEWEST = 5 };
	return table->last - table->first >= FEWEST && table_counts_rows(table, column->at);
}

/* Does a column of the table give loadings? Then "of which H2S" in mol/mol beside it is one too, and no share of a gas. */
static bool has_loading(const struct proposing *all, const struct table *table)
{
	for (size_t i = 0; i < table->count; i++) {
		const char *known = table->columns[i].known_as;
		if (known && text_same(fields_find(all->arena, all->words, LISTS_STREAMS, known).name, "loading"))
			return true;
	}
	return false;
}

static struct column_guess judge(const struct proposing *all, const struct proposed *proposed,
	const struct table *table, const struct table_column *column, struct cell_rules rules,
	const struct sheet *sheet)
{
	enum { MOST_READ = 90, HALF = 50 };
	struct column_guess out = {.field = fields_find(all->arena, all->words, proposed->lists, column->known_as),
		.unit = column->unit,
		.confidence = HIGH};
	if (told_otherwise(all, table, column, &out))
		return out;
	if (!text_has_word("tag count date value", out.field.name) && numbers_rows(table, column)) {
		out.field = (struct field){.name = "-"}; /* "Sr." */
		return out;
	}
	const char *end = text_has_word("temperature pressure", out.field.name) ? as_end(all, table, column) : NULL;
	if (end)
		out.field.name = arena_join(all->arena, end, "-", out.field.name, "");
	bool pair = text_has_word("pressure-temperature design-pressure-temperature", out.field.name) ||
		(out.field.unit && strstr(out.field.unit, " / "));
	out.unit = out.unit && !pair ? out.unit : out.field.unit;
	if (proposed->lists == LISTS_STREAMS && text_same(out.unit, "mol/mol") &&
		text_has_word("h2s co2", out.field.name) && has_loading(all, table))
		out.field.name = *out.field.name == 'h' ? "h2s loading" : "co2 loading";
	if (strcmp(out.field.name, "height length") == 0 && !holds_strokes(table, column))
		out.field.name = "length"; /* of a column, how high it is */
	if (strcmp(out.field.name, "tag") == 0 && proposed->lists == LISTS_EQUIPMENT && out.unit &&
		text_has_word("in mm ft m", out.unit))
		out.field.name = "diameter";
	if (proposed->lists == LISTS_STREAMS && fields_sum(all->arena, column->known_as) && !is_flow(out.unit)) {
		out.field.name = "-";
		return out;
	}
	static const char components[] =
		"strength methane ethane propane isobutane butane isopentane pentane hexane heptane octane ethylene "
		"propylene benzene toluene hydrogen nitrogen argon o2 co cos so2 nh3 hcn mercaptans";
	bool component = proposed->lists == LISTS_STREAMS && out.unit && text_has_word(components, out.field.name);
	const struct vocabulary_type *type = component || is_special(out.field.name)
		? NULL
		: type_of(all, proposed->lists, out.field.name, out.field.of);
	bool assumed = false;
	if (strcmp(out.field.name, "size") == 0)
		out.unit = evidence_of_sizes(table, column);
	else if (type && !out.unit &&
		(out.unit = evidence_unit(all->arena, all->words, sheet, type->accepted.kinds[0])))
		assumed = true;
	if (!out.unit && strcmp(out.field.name, "wall-reading") == 0)
		out.unit = evidence_unit(all->arena, all->words, sheet, KIND_LENGTH);
	if (!type)
		return out;
	if (proposed->lists == LISTS_LINES && strcmp(out.field.name, "flange-class") == 0 &&
		are_piping_classes(table, column)) {
		out.field.name = "piping-class";
		return out;
	}
	rules.unit = out.unit;
	size_t read = readable(all, table, column, type, &rules);
	if (read == 0 && strcmp(out.field.name, "duty") == 0 && !out.unit) {
		out.field.name = "name"; /* "Duty: lean amine charge" of a pump */
		return out;
	}
	out.confidence = read >= MOST_READ && out.field.exact && !assumed ? HIGH : read >= HALF ? MEDIUM : LOW;
	return out;
}

/* All columns, or rows, over which the heading stands. */
static const char *places(const struct proposing *all, const struct proposed *proposed, const char *heading)
{
	struct text out = text_in(all->arena);
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const struct table_column *column = &proposed->tables[t].columns[k];
			if (!column->known_as ||
				strcmp(words_fold(all->arena, column->known_as), words_fold(all->arena, heading)) != 0)
				continue;
			const char *place = table_where(all->arena, &proposed->tables[t], column->at);
			if (!text_has_word(out.data, place))
				text_addf(&out, "%s%s", out.length ? " " : "", place);
		}
	return out.data;
}

static void add_column(const struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct table *table, const struct table_column *column, const struct column_guess *said)
{
	struct arena *arena = all->arena;
	const struct vocabulary_type *type = type_of(all, proposed->lists, said->field.name, said->field.of);
	text_add(out, "\n    <column");
	propose_add(out, "heading", propose_one_line(arena, column->known_as));
	propose_add(out, "field", said->field.name);
	if (said->field.of)
		propose_add(out, "of", said->field.of);
	if (said->unit)
		propose_add(out, "unit", said->unit);
	propose_add(out, "at", places(all, proposed, column->known_as));
	propose_add(out, "confidence", propose_word(said->confidence));
	struct text words = text_in(arena);
	if (type && type->choice_count)
		add_words(all, &words, table, column, type);
	else if (strcmp(said->field.name, "name") == 0 && proposed->lists == LISTS_RELIEF)
		add_words(all, &words, table, column, type_of(all, LISTS_RELIEF, "sized-for", NULL));
	text_addf(out, words.length ? ">%s\n    </column>" : "/>", words.data);
	propose_guess(all, table_place(table, table->head, column->at), said->confidence,
		table_cell_name(arena, table, table->head, column->at),
		arena_format(arena, "'%s' gives %s%s%s%s%s", propose_one_line(arena, column->known_as),
			said->field.name, said->field.of ? " of " : "", said->field.of ? said->field.of : "",
			said->unit ? " in " : "", said->unit ? said->unit : ""));
}

static size_t letters_in(const struct table *table, const struct table_column *column)
{
	size_t letters = 0;
	for (size_t i = table->first; i < table->last; i++)
		letters += strlen(table_at(table, i, column->at)->text);
	return letters;
}

/* "SVC | FLUID", "RA | rich amine": codes beside a column that has the same in words, or the second that is alike. */
static bool is_said_better(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, size_t at)
{
	size_t own = letters_in(table, &table->columns[at]);
	for (size_t i = 0; i < table->count; i++) {
		const char *known = i == at ? NULL : table->columns[i].known_as;
		if (!known || !text_same(fields_find(all->arena, all->words, proposed->lists, known).name, "service"))
			continue;
		size_t other = letters_in(table, &table->columns[i]);
		if (other > own || (other == own && i < at))
			return true;
	}
	return false;
}

/* Of two columns that give one value of one case in one unit, which holds is not ours to choose: the second is not proposed. */
static bool is_second(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, size_t at)
{
	static const char several[] = "flow remark case name value dimensions wall-reading";
	const struct table_column *column = &table->columns[at];
	struct field field = fields_find(all->arena, all->words, proposed->lists, column->known_as);
	if (text_has_word(several, field.name))
		return false;
	if (proposed->lists == LISTS_LINES && strcmp(field.name, "service") == 0)
		return is_said_better(all, proposed, table, at);
	for (size_t i = 0; i < at; i++) {
		const struct table_column *other = &table->columns[i];
		if (!other->known_as || !text_same(other->unit, column->unit) ||
			guess_two_solutions(all->arena, other->heading, column->heading) ||
			!text_same(other->of_case, column->of_case) || !text_same(other->section, column->section))
			continue;
		struct field first = fields_find(all->arena, all->words, proposed->lists, other->known_as);
		if (text_same(first.name, field.name) && text_same(first.of, field.of))
			return true;
	}
	return false;
}

/* Known by a heading over several columns alone: none of them is proposed, for the first is no likelier to be the value. */
static bool is_unclear(const struct proposing *all, const struct proposed *proposed, const struct table_column *column)
{
	static const char several[] = "flow remark case name tag";
	return column->shared &&
		!text_has_word(several, fields_find(all->arena, all->words, proposed->lists, column->known_as).name);
}

/* "V", "H": how vessels stand, whatever the heading ("Position"). */
static bool are_orientations(const struct proposing *all, const struct table *table, const struct table_column *column)
{
	size_t read = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, column->at)->text;
		if (*text && !list_cell_meaning(all->arena, text, "orientation") &&
			!text_same_nocase(text, "horizontal") && !text_same_nocase(text, "vertical"))
			return false;
		read += *text != '\0';
	}
	return read > 0;
}

/* "lean", "Rich solution": which solution a sample is of, under whatever heading. */
static bool are_solutions(const struct proposing *all, const struct table *table, const struct table_column *column)
{
	enum { LONGEST = 30 };
	size_t named = 0, filled = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, column->at)->text;
		filled += *text != '\0';
		named += *text && strlen(text) <= LONGEST && guess_service(all->arena, text) != NULL;
	}
	return named && named * 2 > filled;
}

/*
 * A second column that is headed as the tags are ("No." and "Stream", "SV-Nr." and "Apparat"): what the valves of a relief list
 * protect, where it holds tags; else the names of the items, where no other column has them.
 */
static bool is_second_key(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	const struct table_column *column)
{
	const struct table_column *key = propose_column_of(all, proposed, table, "tag");
	bool relief = proposed->lists == LISTS_RELIEF;
	size_t tags = 0, words = 0;
	if (!key || key == column || !text_has_word("relief streams equipment", lists_name(proposed->lists)) ||
		!text_same(fields_find(all->arena, all->words, proposed->lists, column->heading).name, "tag") ||
		propose_column_of(all, proposed, table, relief ? "owner" : "name"))
		return false;
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *cell = table_at(table, i, column->at);
		tags += table_is_tag(cell->text);
		words += cell->kind == SHEET_TEXT && !table_is_tag(cell->text);
	}
	return relief ? tags > words : words > tags;
}

const struct table_column *propose_column_of_names(
	const struct proposing *all, const struct proposed *proposed, const struct table *table)
{
	const struct table_column *column = propose_column_of(all, proposed, table, "name");
	for (size_t k = 0; k < table->count && !column && proposed->lists != LISTS_RELIEF; k++)
		column = is_second_key(all, proposed, table, &table->columns[k]) ? &table->columns[k] : NULL;
	return column;
}

static bool is_area(const char *unit)
{
	double factor, offset;
	return unit_find(KIND_AREA, unit, 101325, &factor, &offset);
}

/* "PWHT / trim" over yes and no alone: the answer is to the one that can be answered so. NULL: none, or both. */
static const char *answered_field(const struct proposing *all, const struct proposed *proposed,
	const struct table *table, const struct table_column *column)
{
	enum { ALL = 100 };
	static const char answers[] = "pwht insulated traced steamed-out hic-tested";
	const char *slash = strchr(column->heading, '/'), *found = NULL;
	if (!slash || strchr(slash + 1, '/'))
		return NULL;
	const char *const parts[] = {
		arena_copy_span(all->arena, column->heading, (size_t)(slash - column->heading)), slash + 1};
	for (size_t i = 0; i < COUNT(parts); i++) {
		const struct field field = fields_find(all->arena, all->words, proposed->lists, parts[i]);
		if (!field.name || !field.exact || !text_has_word(answers, field.name))
			continue;
		if (found)
			return NULL;
		found = field.name;
	}
	const struct vocabulary_type *type = found ? type_of(all, proposed->lists, found, NULL) : NULL;
	const struct cell_rules rules = {.words = all->words};
	return type && readable(all, table, column, type, &rules) == ALL ? found : NULL;
}

/* "Unit", "Flow unit" at the right of figures that have none: each cell of it is a unit, or a dash. */
static bool gives_units(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	const struct table_column *column)
{
	static const char headings[] = "unit|units|uom|einheit|einh|unite|unidad|unita|unidade|eenheid|"
				       "flow unit|duty unit|eng unit|engineering unit|mengeneinheit";
	size_t units = 0;
	if (column == table->columns || !column[-1].known_as || column[-1].unit ||
		!words_are_one_of(all->arena, words_fold(all->arena, column->heading), headings))
		return false;
	if (proposed->lists == LISTS_STREAMS || proposed->lists == LISTS_RELIEF)
		return true;
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *cell = table_at(table, i, column->at);
		bool unit = words_unit(all->arena, all->words, cell->text, true) != NULL;
		if (cell->kind != SHEET_EMPTY && !cell->merged && !unit && strlen(cell->text) > 1)
			return false; /* the number of the unit, as of a plant */
		units += unit;
	}
	return units > 0;
}

/* What a column gives whose heading says nothing that is known, by its values; a note when they do not tell. */
static const char *unheaded_field(const struct proposing *all, const struct proposed *proposed,
	const struct table *table, const struct table_column *column, const char **of, const char **says)
{
	const char *conditions = fields_conditions(all->arena, all->words, proposed->lists, column->heading);
	bool equipment = proposed->lists == LISTS_EQUIPMENT;
	*of = equipment ? part_made_of(all, table, column) : NULL;
	*says = "stands beside the tags, and names the item or what it is of";
	if (is_second_key(all, proposed, table, column))
		return proposed->lists == LISTS_RELIEF ? "owner" : "name";
	*says = "gives the corrosion allowance, by its unit";
	if (proposed->lists == LISTS_EQUIPMENT && column->unit && text_has_word("mm in", column->unit) &&
		words_are_one_of(all->arena, words_fold(all->arena, column->heading), "kz|c2"))
		return "corrosion-allowance";
	*says = "gives a surface, by its unit";
	if (equipment && column->unit && is_area(column->unit))
		return "area";
	*says = "gives the unit of the figures to its left";
	if (gives_units(all, proposed, table, column))
		return "unit";
	*says = "says yes or no to the first that its heading names";
	if (answered_field(all, proposed, table, column))
		return answered_field(all, proposed, table, column);
	*says = "numbers the rows";
	if (table_counts_rows(table, column->at))
		return "-";
	*says = "gives the solution that was sampled";
	if (proposed->lists == LISTS_LABORATORY && are_solutions(all, table, column))
		return "stream";
	*says = "gives orientation";
	if (equipment && are_orientations(all, table, column))
		return "orientation";
	*says = "gives the material, by what stands in it";
	if (*of)
		return "material";
	*says = "gives the stream that is sampled";
	if (proposed->lists == LISTS_LABORATORY &&
		words_are_one_of(all->arena, words_fold(all->arena, column->heading),
			"sample|probe|echantillon|muestra|monster|campione|amostra|sample "
			"type|solution|losung|oplossing"))
		return "stream";
	*says = "gives pressure and temperature, each by its unit";
	if (conditions)
		return conditions;
	*says = "has no attribute: its cells become notes";
	return "note";
}

/* What no attribute is known for, in a list of items: kept as notes, or told by its values. */
static void add_unknown(const struct proposing *all, struct text *out, const struct proposed *proposed,
	const char **seen, size_t *count, size_t most)
{
	if (!text_has_word("lines streams equipment nozzles relief laboratory results valves basis",
		    lists_name(proposed->lists)))
		return;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const struct table *table = &proposed->tables[t];
			const struct table_column *column = &table->columns[k];
			const char *folded = words_fold(all->arena, column->heading);
			bool sum = words_are_one_of(
				all->arena, folded, "total|sum|summe|check sum|checksum|gesamt|totals");
			bool second = column->known_as &&
				(is_second(all, proposed, table, k) || is_unclear(all, proposed, column));
			bool new = (!column->known_as || second) && *folded && !sum &&*count < most;
			for (size_t i = 0; i < *count && new; i++)
				new = strcmp(seen[i], folded) != 0;
			if (!new)
				continue;
			seen[(*count)++] = folded;
			const char *says, *of = NULL, *field = unheaded_field(all, proposed, table, column, &of, &says);
			text_add(out, "\n    <column");
			propose_add(out, "heading", propose_one_line(all->arena, column->heading));
			propose_add(out, "field", field);
			if (of)
				propose_add(out, "of", of);
			propose_add(out, "confidence", "low");
			text_add(out, "/>");
			propose_guess(all, table_place(table, table->head, column->at), LOW,
				table_cell_name(all->arena, table, table->head, column->at),
				arena_format(
					all->arena, "'%s' %s", propose_one_line(all->arena, column->heading), says));
		}
}

void propose_columns(const struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct sheet *sheet, const struct cell_rules *rules)
{
	enum { MOST = 400 };
	const char **seen = arena_alloc(all->arena, MOST * sizeof *seen);
	size_t count = 0;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const struct table *table = &proposed->tables[t];
			const struct table_column *column = &table->columns[k];
			bool new = column->known_as &&count < MOST && !is_second(all, proposed, table, k) &&
				!is_unclear(all, proposed, column);
			for (size_t i = 0; i < count && new; i++)
				new = strcmp(seen[i], words_fold(all->arena, column->known_as)) != 0;
			if (!new)
				continue;
			seen[count++] = words_fold(all->arena, column->known_as);
			struct column_guess said = judge(all, proposed, table, column, *rules, sheet);
			add_column(all, out, proposed, table, column, &said);
		}
	add_unknown(all, out, proposed, seen, &count, MOST);
}
