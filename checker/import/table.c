#include "import/table_key.h"

#include <string.h>

#include "base/count.h"
#include "import/fields.h"
#include "quantity/quantity.h"

enum { MOST_HEAD = 4 };

/* ---- cells ---- */

const struct sheet_cell *table_at(const struct table *table, size_t record, size_t at)
{
	return table->turned ? sheet_at(table->sheet, at, record) : sheet_at(table->sheet, record, at);
}

const char *table_cell_name(struct arena *arena, const struct table *table, size_t record, size_t at)
{
	return table->turned ? sheet_cell_name(arena, table->sheet, at, record)
			     : sheet_cell_name(arena, table->sheet, record, at);
}

const char *table_where(struct arena *arena, const struct table *table, size_t at)
{
	struct sheet_origin origin = table->turned ? sheet_origin(table->sheet, at, table->head)
						   : sheet_origin(table->sheet, table->head, at);
	return table->turned ? arena_format(arena, "%zu", (size_t)origin.row + 1)
			     : sheet_column_name(arena, origin.column);
}

struct place table_place(const struct table *table, size_t record, size_t at)
{
	return table->turned ? sheet_place(table->sheet, at, record) : sheet_place(table->sheet, record, at);
}

static const struct sheet_cell *cell(const struct finding *finding, size_t row, size_t column)
{
	return table_at(&finding->view, row, column);
}

/* Words, and none that begin with a figure: what a heading may be. */
static bool is_wordy(const struct sheet_cell *cell)
{
	return cell->kind == SHEET_TEXT && strcspn(cell->text, "0123456789") > 0;
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

static bool is_dash(const char *text)
{
	return strcmp(text, "-") == 0 || strcmp(text, "--") == 0 || strcmp(text, "–") == 0 ||
		strcmp(text, "[-]") == 0 || strcmp(text, "(-)") == 0;
}

static bool knows(const struct finding *finding, const char *heading)
{
	bool key;
	return finding->reader->knows(finding->reader->context, heading, &key);
}

/* ---- rows of headings ---- */

static bool is_copy(const struct finding *finding, size_t row, size_t column)
{
	const struct sheet_cell *here = cell(finding, row, column);
	return here->merged && column && strcmp(cell(finding, row, column - 1)->text, here->text) == 0;
}

/* Did the same words stand before it in the row? A column of "T" for turndown heads no table. */
static bool is_repeated(const struct finding *finding, size_t row, size_t column)
{
	for (size_t k = 0; k < column; k++)
		if (strcmp(cell(finding, row, k)->text, cell(finding, row, column)->text) == 0)
			return true;
	return false;
}

/* How many different headings of the row are known by themselves; none where figures stand among them. */
static size_t known_in(const struct finding *finding, size_t row)
{
	size_t known = 0, figures = 0;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k);
		if (here->kind == SHEET_EMPTY || is_copy(finding, row, k))
			continue;
		if (is_wordy(here))
			known += knows(finding, here->text) && !is_repeated(finding, row, k);
		else
			figures++;
	}
	return figures > known ? 0 : known;
}

static bool is_units_row(const struct finding *finding, size_t row)
{
	size_t units = 0, others = 0;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k);
		if (here->kind == SHEET_EMPTY || is_dash(here->text))
			continue;
		if (table_is_unit(finding, here))
			units++;
		else
			others++;
	}
	return units > 0 && units > others;
}

static bool is_heading_row(const struct finding *finding, size_t row)
{
	size_t texts = 0, figures = 0, copies = 0;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k);
		copies += here->kind != SHEET_EMPTY && is_copy(finding, row, k);
		if (here->kind == SHEET_EMPTY || is_copy(finding, row, k))
			continue;
		texts += is_wordy(here);
		figures += !is_wordy(here);
	}
	bool title = texts == 1 && copies + 1 >= finding->columns; /* or it stands alone */
	return texts + (copies > 0) >= 2 && !title && figures * 4 <= texts;
}

struct band {
	size_t first, last;
	bool units[MOST_HEAD];
};

/* A part of a heading; `filled`: a group to the left was taken to reach so far, as lists without merged cells leave it. */
struct part {
	const char *text;
	bool filled;
};

static bool is_of_units(const struct band *band, size_t row)
{
	return band->units[row - band->first];
}

/* The heading of the row that holds over the column: its own, or that of a group to its left. */
static struct part part_of(const struct finding *finding, const struct band *band, size_t row, size_t column)
{
	const struct sheet_cell *here = cell(finding, row, column);
	bool lower = false;
	for (size_t below = row + 1; below <= band->last; below++)
		lower = lower || cell(finding, below, column)->kind != SHEET_EMPTY;
	if (here->kind != SHEET_EMPTY || !lower)
		return (struct part){here->text, false};
	for (size_t k = column; k-- > 0;) {
		const struct sheet_cell *left = cell(finding, row, k);
		if (left->kind == SHEET_EMPTY)
			continue;
		bool covers = false; /* a heading with nothing under it is no group */
		for (size_t below = row + 1; below <= band->last; below++)
			covers = covers || cell(finding, below, k)->kind != SHEET_EMPTY;
		return (struct part){covers && !left->merged ? left->text : "", true};
	}
	return (struct part){"", false};
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
	const char *concepts = table_concepts_of(finding, group->text);
	bool known = fields_case(finding->arena, group->text) != NULL, condition = false, of_conditions = true;
	for (const char *at = concepts; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(finding->arena, at, length);
		known = known ||
			(*word != '?' && !text_has_word("operating line number stream tag service name", word));
		of_conditions = of_conditions && text_has_word("design operating test minimum maximum rated", word);
		at += length;
	}
	concepts = table_concepts_of(finding, part);
	for (size_t i = 0;
		i < (of_conditions && *table_concepts_of(finding, group->text) ? CONDITIONS : COUNT(touched)); i++)
		condition = condition || text_has_word(concepts, touched[i]);
	return known && (!group->filled || condition);
}

/* Could what the heading gives differ from one operating case to another? A metal, a size or a remark could not. */
static bool varies(const struct finding *finding, const char *heading)
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

/* Text as it is known, tried whole, then by its parts, which stand for it only where nothing else of it would change the sense. */
static void know(const struct finding *finding, struct table_column *column, const struct part *parts, size_t count)
{
	struct arena *arena = finding->arena;
	struct text whole = text_in(arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&whole, "%s%s", i ? " / " : "", parts[i].text);
	column->heading = whole.data;
	if (count && knows(finding, whole.data)) {
		column->known_as = whole.data;
		return;
	}
	if (count > 1 && fields_case(arena, parts[0].text)) {
		struct table_column rest = *column;
		know(finding, &rest, parts + 1, count - 1);
		if (rest.known_as) {
			if (!parts[0].filled || varies(finding, rest.known_as))
				column->of_case = parts[0].text;
			column->known_as = rest.known_as;
			column->unit = rest.unit;
			return;
		}
	}
	if (count > 1 && !parts[count - 1].filled && fields_case(arena, parts[count - 1].text)) {
		struct table_column rest = *column;
		know(finding, &rest, parts, count - 1);
		if (rest.known_as && varies(finding, rest.known_as)) {
			column->of_case = parts[count - 1].text;
			column->known_as = rest.known_as;
			column->unit = rest.unit;
			return;
		}
	}
	for (size_t i = count; count > 1 && i-- > 0;) {
		bool changed = false;
		for (size_t k = 0; k < count; k++)
			changed = changed || (k != i && changes(finding, &parts[k], parts[i].text));
		if (!changed && !(parts[i].filled && i == 0) && knows(finding, parts[i].text)) {
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
	} words[] = {{KIND_PRESSURE, "Pressure"}, {KIND_TEMPERATURE, "Temperature"}, {KIND_MASS_FLOW, "Flow"}};
	double factor, offset;
	const char *unit;
	struct table_column named = *column;
	if (strcmp(column->unit, "%") == 0)
		return;
	for (size_t i = 0; i < COUNT(words); i++) {
		if (!unit_find(words[i].kind, column->unit, 101325, &factor, &offset))
			continue;
		for (size_t k = 0; k < count; k++)
			parts[k].text = words_without_unit(finding->arena, finding->words, parts[k].text, &unit);
		parts[count] = (struct part){words[i].word, false};
		know(finding, &named, parts, count + 1);
		bool whole = named.known_as && strcmp(named.known_as, named.heading) == 0;
		if (whole || named.of_case) {
			column->known_as = named.known_as;
			column->of_case = named.of_case;
		}
		return;
	}
}

static struct table_column compose(const struct finding *finding, const struct band *band, size_t at)
{
	struct table_column column = {.at = at, .heading = ""};
	struct part parts[MOST_HEAD + 1];
	size_t count = 0;
	const char *unit, *of_group = NULL;
	for (size_t row = band->first; row <= band->last; row++) {
		struct part part = part_of(finding, band, row, at);
		if (is_group(finding, band, row, at))
			part.text = group_in_short(finding, part.text);
		if (is_group(finding, band, row, at) &&
			text_has_word(table_concepts_of(finding, part.text), "fraction")) {
			const char *bare = words_without_unit(finding->arena, finding->words, part.text, &of_group);
			part.text = of_group ? bare : part.text; /* "Composition, mol pct" over all of them */
		}
		const char *shared = words_without_phases(finding->arena, finding->words, part.text, &column.phases);
		part.text = shared ? shared : part.text;
		bool repeated = count && strcmp(parts[count - 1].text, part.text) == 0;
		if (!*part.text || repeated)
			continue;
		bool of_case = fields_case(finding->arena, part.text) != NULL;
		if (is_of_units(band, row) ||
			(count && !of_case && table_is_unit(finding, cell(finding, row, at)) &&
				!knows(finding, part.text)))
			part.text = add_unit(finding, &column, part.text);
		if (*part.text && !is_dash(part.text))
			parts[count++] = part;
	}
	know(finding, &column, parts, count);
	words_without_unit(finding->arena, finding->words, column.heading, &unit);
	if (column.known_as && !unit)
		words_without_unit(finding->arena, finding->words, column.known_as, &unit);
	if (unit && !column.unit)
		column.unit = unit;
	if (!column.unit)
		column.unit = of_group;
	if (!column.known_as && column.unit && count && count < MOST_HEAD)
		know_by_unit(finding, &column, parts, count);
	return column;
}

static size_t known_by(const struct finding *finding, const struct band *band, bool *joined)
{
	size_t known = 0;
	*joined = false;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct table_column column = compose(finding, band, k);
		known += column.known_as != NULL;
		*joined = *joined || column.of_case ||
			(column.known_as && strcmp(column.known_as, column.heading) == 0 &&
				strstr(column.heading, " / "));
	}
	return known;
}

/* Does a heading of the row above reach down into the row, as a cell merged over both? */
static bool reaches_down(const struct finding *finding, size_t row)
{
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k), *above = cell(finding, row - 1, k);
		if (here->merged && here->kind == SHEET_TEXT && strcmp(here->text, above->text) == 0 &&
			!is_copy(finding, row, k))
			return true;
	}
	return false;
}

/* Words alone below the headings, where no record is named: a second row of headings, under the groups of the first. */
static bool goes_on_below(const struct finding *finding, size_t row)
{
	size_t key = 0, words = 0;
	while (key < finding->columns && !table_is_key(finding, cell(finding, row - 1, key)->text))
		key++;
	if (finding->view.turned || key == finding->columns || cell(finding, row, key)->kind != SHEET_EMPTY)
		return false;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k);
		if (here->kind != SHEET_EMPTY && !is_wordy(here))
			return false;
		words += here->kind != SHEET_EMPTY && !is_copy(finding, row, k);
	}
	return words > 1;
}

/* The rows above and below that belong to the headings in `row`. */
static struct band band_at(const struct finding *finding, size_t row)
{
	struct band band = {.first = row, .last = row};
	bool joined;
	size_t known = known_by(finding, &band, &joined);
	while (band.first > 0 && band.last - band.first + 1 < MOST_HEAD - 1 &&
		is_heading_row(finding, band.first - 1)) {
		struct band wider = {.first = band.first - 1, .last = band.last};
		size_t then = known_by(finding, &wider, &joined);
		if (then < known || !joined)
			break;
		known = then;
		band = wider;
	}
	while (band.last + 1 < finding->rows && band.last - band.first + 1 < MOST_HEAD) {
		struct band longer = band;
		longer.last++;
		if (is_units_row(finding, longer.last)) {
			longer.units[longer.last - longer.first] = true;
			return longer;
		}
		if (reaches_down(finding, longer.last) || goes_on_below(finding, longer.last)) {
			known = known_by(finding, &longer, &joined);
			band = longer;
			continue;
		}
		if (!is_heading_row(finding, longer.last))
			break;
		size_t then = known_by(finding, &longer, &joined);
		if (then <= known || !joined)
			break;
		known = then;
		band = longer;
	}
	return band;
}

/* ---- tables ---- */

static bool has_records(const struct finding *finding, const struct table *table, size_t at)
{
	for (size_t i = table->first; i < table->last; i++)
		if (cell(finding, i, at)->kind != SHEET_EMPTY && !cell(finding, i, at)->merged)
			return true;
	return false;
}

static struct table table_of(const struct finding *finding, const struct band *band, size_t end)
{
	struct table table = finding->view;
	table.head = band->first;
	table.first = band->last + 1;
	table.last = end;
	table.columns = arena_alloc(finding->arena, (finding->columns + 1) * sizeof *table.columns);
	for (size_t k = 0; k < finding->columns; k++) {
		struct table_column column = compose(finding, band, k);
		if (!*column.heading && !has_records(finding, &table, k))
			continue;
		table.columns[table.count++] = column;
		table.known += column.known_as != NULL;
	}
	table_join_keys(finding, &table);
	table_find_key(finding, &table);
	return table;
}

struct list {
	struct table *rows;
	size_t count, capacity;
};

static void keep(struct arena *arena, struct list *list, const struct table *table)
{
	if (!table->known)
		return;
	list->rows = arena_grow(arena, list->rows, list->count, &list->capacity, sizeof *list->rows);
	list->rows[list->count++] = *table;
}

/* A turned table by its blocks, with what each section says. */
static void keep_blocks(const struct finding *finding, struct list *list, const struct table *table)
{
	struct table block = *table;
	const char *unit = NULL, *of_case = NULL, *section = NULL, *begun = NULL;
	block.count = block.known = 0;
	block.columns = arena_alloc(finding->arena, (table->count + 1) * sizeof *block.columns);
	for (size_t i = 0; i < table->count; i++) {
		struct table_column column = table->columns[i];
		bool key, empty = *column.heading && !has_records(finding, table, column.at);
		const char *named = empty ? fields_case(finding->arena, column.heading) : NULL;
		if (empty && !named && column.known_as && !column.unit)
			continue; /* a row that is headed and not filled in */
		if (empty) {
			unit = begun ? column.unit : NULL;
			of_case = named ? column.heading : of_case;
			section = begun && !column.unit ? column.heading : section;
			continue;
		}
		key = table_is_key(finding, column.known_as);
		if (key && begun && !table_begins_block(finding, table, &column, begun)) {
			key = false;
			column.known_as = NULL;
		}
		if (key && begun) {
			keep(finding->arena, list, &block);
			block.columns = arena_alloc(finding->arena, (table->count + 1) * sizeof *block.columns);
			block.count = block.known = 0;
			unit = section = NULL;
		}
		begun = begun ? begun : key ? column.known_as : NULL;
		if (!begun && !column.known_as)
			continue; /* titles beside and above the first row */
		if (!column.unit)
			column.unit = unit;
		if (!column.of_case)
			column.of_case = of_case;
		column.section = section;
		block.columns[block.count++] = column;
		block.known += column.known_as != NULL;
	}
	keep(finding->arena, list, &block);
}

static size_t best_row(const struct finding *finding)
{
	enum { LOOKED_AT = 2000 };
	size_t best = 0;
	for (size_t i = 0; i < finding->rows && i < LOOKED_AT; i++) {
		size_t known = known_in(finding, i);
		best = known > best ? known : best;
	}
	return best;
}

static void find(const struct finding *finding, struct list *list)
{
	size_t least =
		finding->reader->least > (finding->best + 1) / 2 ? finding->reader->least : (finding->best + 1) / 2;
	for (size_t i = 0; i < finding->rows;) {
		if (known_in(finding, i) < least) {
			i++;
			continue;
		}
		struct band band = band_at(finding, i);
		size_t end = band.last + 1;
		while (end < finding->rows && known_in(finding, end) < least)
			end++;
		size_t next = end;
		while (end > band.last + 1 && end < finding->rows && is_heading_row(finding, end - 1) &&
			known_in(finding, end - 1) && !is_units_row(finding, end - 1))
			end--; /* the groups over the next headings */
		struct table table = table_of(finding, &band, end);
		if (finding->view.turned)
			keep_blocks(finding, list, &table);
		else
			keep(finding->arena, list, &table);
		i = next;
	}
}

size_t tables_find(struct arena *arena, const struct words *words, const struct sheet *sheet,
	enum table_direction direction, const struct heading_reader *reader, struct table **tables)
{
	struct finding upright = {.arena = arena,
		.words = words,
		.reader = reader,
		.view = {.sheet = sheet},
		.rows = sheet->rows,
		.columns = sheet->columns};
	struct finding turned = upright;
	struct list list = {.count = 0};
	turned.view.turned = true;
	turned.rows = sheet->columns;
	turned.columns = sheet->rows;
	upright.best = direction == TURNED ? 0 : best_row(&upright);
	turned.best = direction == UPRIGHT ? 0 : best_row(&turned);
	if (upright.best >= turned.best && upright.best)
		find(&upright, &list);
	else if (turned.best)
		find(&turned, &list);
	*tables = list.rows;
	return list.count;
}
