#include "import/table_heading.h"

#include <string.h>

#include "base/count.h"
#include "import/fields.h"
#include "quantity/quantity.h"

static const struct sheet_cell *cell(const struct finding *finding, size_t row, size_t column)
{
	return table_at(&finding->view, row, column);
}

/* The unit that the text begins with, "wt% as MDEA", and what follows it. */
static const char *unit_of(const struct finding *finding, const char *text, const char **rest)
{
	const char *unit = words_unit(finding->arena, finding->words, text, true), *blank = strchr(text, ' ');
	*rest = "";
	if (unit || !blank)
		return unit;
	*rest = blank + 1;
	if (strchr("/-", **rest))
		return NULL; /* two units */
	return words_unit(
		finding->arena, finding->words, arena_copy_span(finding->arena, text, (size_t)(blank - text)), false);
}

bool table_is_unit(const struct finding *finding, const struct sheet_cell *cell)
{
	const char *rest, *pair[2];
	struct phase_units phases;
	const char *shared = words_without_phases(finding->arena, finding->words, cell->text, &phases);
	if (shared && !*shared)
		return cell->kind == SHEET_TEXT;
	return cell->kind == SHEET_TEXT &&
		(unit_of(finding, cell->text, &rest) != NULL ||
			words_unit_pair(finding->arena, finding->words, cell->text, pair));
}

bool heading_is_dash(const char *text)
{
	return strcmp(text, "-") == 0 || strcmp(text, "--") == 0 || strcmp(text, "–") == 0 ||
		strcmp(text, "[-]") == 0 || strcmp(text, "(-)") == 0;
}

bool heading_knows(const struct finding *finding, const char *heading)
{
	bool key;
	return finding->reader->knows(finding->reader->context, heading, &key);
}

/* A part of a heading; `filled`: a group to the left was taken to reach so far, as lists without merged cells leave it. */
struct part {
	const char *text;
	bool filled;
	const char *of_case; /* what it names beside the names of other cases ("Des" beside "TD"); NULL: nothing */
};

static bool is_of_units(const struct band *band, size_t row)
{
	return band->units[row - band->first];
}

/* Has the column a heading of its own above the row, other than what stands over the group? */
static bool stands_apart(
	const struct finding *finding, const struct band *band, size_t row, size_t group, size_t column)
{
	for (size_t above = band->first; above < row; above++) {
		const struct sheet_cell *own = cell(finding, above, column), *other = cell(finding, above, group);
		if (own->kind != SHEET_EMPTY && strcmp(own->text, other->text) != 0)
			return true;
	}
	return false;
}

/* The heading of the row that holds over the column: its own, or that of a group to its left. */
/* Four words or more in the corner are the title of the sheet, whatever they name, and no group of headings. */
static bool is_title(const char *text, size_t column)
{
	enum { FEWEST = 3 };
	size_t blanks = 0;
	for (const char *c = text; *c; c++)
		blanks += *c == ' ' && c[1] != ' ' && c[1];
	return column == 0 && blanks >= FEWEST && !strpbrk(text, "/,(");
}

static struct part part_of(const struct finding *finding, const struct band *band, size_t row, size_t column)
{
	const struct sheet_cell *here = cell(finding, row, column);
	bool lower = false;
	for (size_t below = row + 1; below <= band->last; below++)
		lower = lower || cell(finding, below, column)->kind != SHEET_EMPTY;
	if (here->kind != SHEET_EMPTY || !lower)
		return (struct part){.text = here->text};
	for (size_t k = column; k-- > 0;) {
		const struct sheet_cell *left = cell(finding, row, k);
		if (left->kind == SHEET_EMPTY)
			continue;
		bool covers = false; /* a heading with nothing under it is no group */
		for (size_t below = row + 1; below <= band->last; below++)
			covers = covers || cell(finding, below, k)->kind != SHEET_EMPTY;
		covers = covers && !stands_apart(finding, band, row, k, column);
		covers = covers && !left->merged && !is_title(left->text, k);
		return (struct part){.text = covers ? left->text : "", .filled = true};
	}
	return (struct part){.text = ""};
}

static const char *add_unit(const struct finding *finding, struct table_column *column, const char *text)
{
	const char *rest, *unit = unit_of(finding, text, &rest);
	if (unit && !column->unit)
		column->unit = unit;
	return unit ? rest : text;
}

const char *table_concepts_of(const struct finding *finding, const char *text)
{
	const char *unit;
	return words_concepts(finding->arena, finding->words,
		words_fold(finding->arena, words_without_unit(finding->arena, finding->words, text, &unit)));
}

/* What is in a gas or a solution: "acid gas" over it says nothing more. */
static bool is_component(const char *concepts)
{
	static const char *const components[] = {
		"h2s", "co2", "water", "methane", "ethane", "propane", "nitrogen", "hydrogen"};
	for (size_t i = 0; i < COUNT(components); i++)
		if (strcmp(concepts, components[i]) == 0)
			return true;
	return false;
}

/*
 * Could the group change what the part means? Not when its words are none that are known, or such as say nothing. One that was
 * only taken to reach so far does so for conditions and metals alone.
 */
static bool changes(const struct finding *finding, const struct part *group, const char *part)
{
	static const char *const touched[] = {"temperature", "pressure", "flow", "duty", "level", "density", "hardness",
		"material", "tubes", "shells", "tube-side", "shell-side", "casing", "impeller", "grade", "service",
		"name"};
	enum { CONDITIONS = 6 }; /* the first of them: what is designed, operated or tested for */
	const char *of_group = table_concepts_of(finding, group->text), *of_part = table_concepts_of(finding, part);
	bool known = fields_case(finding->arena, group->text) != NULL, of_conditions = true;
	bool component = is_component(of_part), dimension = text_has_word("length height diameter", of_part);
	for (const char *at = of_group; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(finding->arena, at, length);
		known = known ||
			(*word != '?' && !text_has_word("operating line number stream tag service name", word) &&
				!(dimension && strcmp(word, "size") == 0) && !(component && strcmp(word, "gas") == 0));
		of_conditions = of_conditions && text_has_word("design operating test minimum maximum rated", word);
		at += length;
	}
	bool covering = text_has_word(of_group, "insulated") || text_has_word(of_group, "traced");
	bool condition = covering && (text_has_word(of_part, "thickness") || text_has_word(of_part, "class"));
	for (size_t i = 0; i < (of_conditions && *of_group ? CONDITIONS : COUNT(touched)); i++)
		condition = condition || text_has_word(of_part, touched[i]);
	return known && (!group->filled || condition);
}

bool heading_varies(const struct finding *finding, const char *heading)
{
	static const char *const fixed[] = {"material", "grade", "class", "piping-class", "remark", "tag", "line",
		"from", "to", "size", "schedule", "allowance", "pwht", "insulated", "traced", "name", "fluid",
		"service", "design", "flange", "length", "steamed", "hic", "number"};
	const char *concepts = table_concepts_of(finding, heading);
	for (size_t i = 0; i < COUNT(fixed); i++)
		if (text_has_word(concepts, fixed[i]))
			return false;
	return true;
}

/* What the other parts of the heading are known as, of the case that is left. */
static void know_in_case(struct table_column *column, const struct table_column *rest, const char *of_case)
{
	column->of_case = of_case ? of_case : column->of_case;
	column->known_as = rest->known_as;
	column->unit = rest->unit;
}

/* Text as it is known, tried whole, then by its parts, which stand for it only where nothing else of it would change the sense. */
static void know(const struct finding *finding, struct table_column *column, const struct part *parts, size_t count)
{
	struct arena *arena = finding->arena;
	struct text whole = text_in(arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&whole, "%s%s", i ? " / " : "", parts[i].text);
	column->heading = whole.data;
	if (count > 1 && parts[count - 1].of_case) {
		struct table_column rest = *column;
		know(finding, &rest, parts, count - 1);
		if (rest.known_as && heading_varies(finding, rest.known_as))
			know_in_case(column, &rest, parts[count - 1].of_case);
		return; /* what it is designed for is another thing than what it does in the case "Design" */
	}
	if (count && heading_knows(finding, whole.data)) {
		column->known_as = whole.data;
		return;
	}
	if (count > 1 && fields_case(arena, parts[0].text)) {
		struct table_column rest = *column;
		know(finding, &rest, parts + 1, count - 1);
		if (rest.known_as) {
			bool of_it = !parts[0].filled || heading_varies(finding, rest.known_as);
			know_in_case(column, &rest, of_it ? parts[0].text : NULL);
			return;
		}
	}
	if (count > 1 && !parts[count - 1].filled && fields_case(arena, parts[count - 1].text)) {
		struct table_column rest = *column;
		know(finding, &rest, parts, count - 1);
		if (rest.known_as && heading_varies(finding, rest.known_as)) {
			know_in_case(column, &rest, parts[count - 1].text);
			return;
		}
	}
	for (size_t i = count; count > 1 && i-- > 0;) {
		bool changed = false;
		for (size_t k = 0; k < count; k++)
			changed = changed || (k != i && changes(finding, &parts[k], parts[i].text));
		if (!changed && !(parts[i].filled && i == 0) && heading_knows(finding, parts[i].text)) {
			column->known_as = parts[i].text;
			return;
		}
	}
}

/* "SHELL SIDE (or air side)": a group without what is said in passing, unless that is a unit or tells one case from another. */
static const char *group_in_short(const struct finding *finding, const char *text)
{
	const char *open = strchr(text, '('), *unit;
	words_without_unit(finding->arena, finding->words, text, &unit);
	if (!open || open == text || unit || fields_case(finding->arena, text))
		return text;
	return arena_copy_span(finding->arena, text, (size_t)(open - text) - (open[-1] == ' '));
}

/* Does a heading stand below it in the band? */
static bool is_group(const struct finding *finding, const struct band *band, size_t row, size_t at)
{
	for (size_t below = row + 1; below <= band->last; below++)
		if (!is_of_units(band, below) && cell(finding, below, at)->kind != SHEET_EMPTY &&
			strcmp(cell(finding, below, at)->text, cell(finding, row, at)->text) != 0 &&
			!table_is_unit(finding, cell(finding, below, at)))
			return true;
	return false;
}

/* "Design | psig", "Des. psig": the unit says what of it; the heading is known with that word. */
static void know_by_unit(const struct finding *finding, struct table_column *column, struct part *parts, size_t count)
{
	static const struct {
		enum kind kind;
		const char *word;
	} words[] = {{KIND_PRESSURE, "Pressure"}, {KIND_TEMPERATURE, "Temperature"}, {KIND_MASS_FLOW, "Flow"},
		{KIND_LIQUID_FLOW, "Flow"}, {KIND_VELOCITY, "Velocity"}};
	double factor, offset;
	const char *unit;
	struct table_column named = *column;
	if (strcmp(column->unit, "%") == 0)
		return;
	for (size_t i = 0; i < COUNT(words); i++) {
		if (!unit_find(words[i].kind, column->unit, 101325, &factor, &offset))
			continue;
		for (size_t k = 0; k < count; k++) {
			parts[k].text = words_without_unit(finding->arena, finding->words, parts[k].text, &unit);
			if (strcmp(words_fold(finding->arena, parts[k].text), "rate") == 0)
				return; /* a flow, and not what something is rated for */
		}
		parts[count] = (struct part){.text = words[i].word};
		know(finding, &named, parts, count + 1);
		bool whole = named.known_as && strcmp(named.known_as, named.heading) == 0;
		if (whole || named.of_case) {
			column->known_as = named.known_as;
			column->of_case = named.of_case;
		}
		return;
	}
}

/* "LINE NUMBER\nsize-fluid-no", "Leitung (DN-Medium-Nr)": the words before a break or a bracket, where they name the records. */
static void know_key_by_start(const struct finding *finding, struct table_column *column, const struct part *parts)
{
	const char *text = parts[0].text;
	size_t length = strcspn(text, "\n(");
	if (!text[length] || !length)
		return;
	while (length && strchr(" \n", text[length - 1]))
		length--;
	const char *start = arena_copy_span(finding->arena, text, length);
	if (table_is_key(finding, start))
		column->known_as = start;
}

/* ---- what stands before a revamp, and after it ---- */

enum standing { STANDS_EITHER_WAY, STANDS_BEFORE, STANDS_AFTER };

static enum standing standing_of(struct arena *arena, const char *text)
{
	static const char before[] =
		"exist|exist g|existing|before|before revamp|vorh|vorhanden|bestand|bestehend|alt|old|"
		"original|existant|existente|bestaand|esistente|vor umbau",
			  after[] =
				  "new|revamp|revamped|after|after revamp|proposed|neu|nouveau|nuevo|nieuw|nuovo|novo|"
				  "future|modified|nach umbau|umbau";
	const char *folded = words_fold(arena, text);
	return words_are_one_of(arena, folded, before)	 ? STANDS_BEFORE
		: words_are_one_of(arena, folded, after) ? STANDS_AFTER
							 : STANDS_EITHER_WAY;
}

static bool stands_in_band(const struct finding *finding, const struct band *band, enum standing standing)
{
	for (size_t row = band->first; row <= band->last; row++)
		for (size_t k = 0; k < finding->columns; k++)
			if (cell(finding, row, k)->kind == SHEET_TEXT &&
				standing_of(finding->arena, cell(finding, row, k)->text) == standing)
				return true;
	return false;
}

/* "Exist | New" under or over a heading: what is new is the value; what was before is none, and keeps its whole heading. */
static bool know_by_standing(const struct finding *finding, const struct band *band, struct table_column *column,
	const struct part *parts, size_t count)
{
	if (count < 2 || count > MOST_HEAD || !stands_in_band(finding, band, STANDS_BEFORE) ||
		!stands_in_band(finding, band, STANDS_AFTER))
		return false;
	size_t at = standing_of(finding->arena, parts[0].text) ? 0 : count - 1;
	enum standing standing = standing_of(finding->arena, parts[at].text);
	if (!standing)
		return false;
	struct part others[MOST_HEAD + 1];
	struct text whole = text_in(finding->arena);
	for (size_t i = 0, n = 0; i < count; i++) {
		text_addf(&whole, "%s%s", i ? " / " : "", parts[i].text);
		if (i != at)
			others[n++] = (struct part){.text = parts[i].text};
	}
	if (standing == STANDS_AFTER)
		know(finding, column, others, count - 1);
	else if (heading_knows(finding, whole.data))
		column->known_as = whole.data; /* a map has it */
	column->heading = whole.data;
	return true;
}

/* What stands below the first row of the headings, units apart; NULL: nothing does. */
static const char *own_words(const struct finding *finding, const struct band *band, size_t at)
{
	for (size_t row = band->first + 1; row <= band->last; row++) {
		const struct sheet_cell *here = cell(finding, row, at);
		if (here->kind == SHEET_TEXT && !is_of_units(band, row) && !table_is_unit(finding, here) &&
			!heading_is_dash(here->text) && strcmp(here->text, cell(finding, band->first, at)->text) != 0)
			return here->text;
	}
	return NULL;
}

/* Does the heading of the first row stand over the columns at both places, with words below that differ? */
static bool stands_over_both(const struct finding *finding, const struct band *band, size_t left, size_t right)
{
	const struct sheet_cell *group = cell(finding, band->first, left), *other = cell(finding, band->first, right);
	const char *one = own_words(finding, band, left), *two = own_words(finding, band, right);
	bool reaches = other->kind == SHEET_EMPTY || (other->merged && strcmp(other->text, group->text) == 0);
	return group->kind == SHEET_TEXT && reaches && one && two && strcmp(one, two) != 0;
}

static bool is_shared(const struct finding *finding, const struct band *band, size_t at)
{
	return (at + 1 < finding->columns && stands_over_both(finding, band, at, at + 1)) ||
		(at > 0 && stands_over_both(finding, band, at - 1, at));
}

/* The title of the sheet above the tags is no part of their heading. How many parts are left. */
static size_t without_title(const struct finding *finding, struct part *parts, size_t count, size_t at)
{
	if (at != 0 || count < 2 || !table_is_key(finding, parts[count - 1].text) ||
		(!is_title(parts[0].text, at) && heading_knows(finding, parts[0].text)))
		return count;
	parts[0] = parts[count - 1];
	return 1;
}

/* The unit that the heading gives, or the row of units, or the group; NULL: none. */
static const char *unit_given(const struct finding *finding, const struct table_column *column, const char *of_group)
{
	const char *unit, *known = column->known_as;
	words_without_unit(finding->arena, finding->words, column->heading, &unit);
	if (known && words_unit(finding->arena, finding->words, known, true))
		unit = words_unit(finding->arena, finding->words, known, true); /* the heading is a unit and no more */
	if (known && !unit)
		words_without_unit(finding->arena, finding->words, known, &unit);
	return column->unit ? column->unit : unit ? unit : of_group;
}

struct table_column heading_compose(const struct finding *finding, const struct band *band, size_t at)
{
	struct table_column column = {.at = at, .heading = ""};
	struct part parts[MOST_HEAD + 1] = {{.text = ""}};
	size_t count = 0;
	const char *of_group = NULL;
	bool before = false;
	for (size_t row = band->first; row <= band->last; row++) {
		struct part part = part_of(finding, band, row, at);
		if (is_group(finding, band, row, at))
			part.text = group_in_short(finding, part.text);
		if (is_group(finding, band, row, at) && !fields_case(finding->arena, part.text)) {
			const char *of_this,
				*bare = words_without_unit(finding->arena, finding->words, part.text, &of_this);
			if (of_this && strchr(bare, '(') && !strchr(bare, ')'))
				of_this = NULL; /* one of two units in a bracket */
			of_group = of_this ? of_this : of_group;
			part.text = of_this ? bare : part.text; /* "Composition, mol pct" over all of them */
		}
		part.of_case = heading_among_cases(finding, band, row, at);
		if (strchr(part.text, '/') && !column.cases)
			part.text = heading_take_cases(finding, part.text, &column.cases);
		const char *shared = words_without_phases(finding->arena, finding->words, part.text, &column.phases);
		part.text = shared ? shared : part.text;
		bool repeated = count && strcmp(parts[count - 1].text, part.text) == 0;
		if (!*part.text || repeated)
			continue;
		bool of_case = fields_case(finding->arena, part.text) != NULL;
		if (is_of_units(band, row) ||
			(count && !of_case && table_is_unit(finding, cell(finding, row, at)) &&
				(!heading_knows(finding, part.text) ||
					(!words_are_one_of(finding->arena, part.text, "T|P") &&
						heading_knows(finding, parts[count - 1].text)))))
			part.text = add_unit(finding, &column, part.text);
		if (*part.text && !heading_is_dash(part.text))
			parts[count++] = part;
	}
	count = without_title(finding, parts, count, at);
	if (know_by_standing(finding, band, &column, parts, count))
		before = !column.known_as;
	else
		know(finding, &column, parts, count);
	column.shared = count > 1 && column.known_as && !before && !column.of_case &&
		strcmp(column.known_as, parts[0].text) == 0 && !table_is_key(finding, column.known_as) &&
		!standing_of(finding->arena, parts[count - 1].text) && is_shared(finding, band, at);
	column.unit = unit_given(finding, &column, of_group);
	if (!column.known_as && !before && column.unit && count && count < MOST_HEAD)
		know_by_unit(finding, &column, parts, count);
	if (!column.known_as && count == 1)
		know_key_by_start(finding, &column, parts);
	return column;
}
