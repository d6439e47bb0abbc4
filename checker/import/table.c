#include "import/table_heading.h"

#include <string.h>

#include "base/count.h"
#include "import/fields.h"

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
			known += heading_knows(finding, here->text) && !is_repeated(finding, row, k);
		else
			figures++;
	}
	return figures > known ? 0 : known;
}

/* A unit that is no heading: "T" and "P" over columns are a temperature and a pressure. */
static bool is_plain_unit(const struct finding *finding, const struct sheet_cell *cell)
{
	return table_is_unit(finding, cell) && !(strlen(cell->text) == 1 && heading_knows(finding, cell->text));
}

static bool is_units_row(const struct finding *finding, size_t row)
{
	size_t units = 0, others = 0;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct sheet_cell *here = cell(finding, row, k);
		if (here->kind == SHEET_EMPTY || heading_is_dash(here->text))
			continue;
		if (is_plain_unit(finding, here))
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

static size_t known_by(const struct finding *finding, const struct band *band, bool *joined)
{
	size_t known = 0;
	*joined = false;
	for (size_t k = 0; k < finding->columns; k++) {
		const struct table_column column = heading_compose(finding, band, k);
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
		const struct sheet_cell *last = cell(finding, finding->rows - 1, k); /* a title reaches over all */
		if (here->merged && here->kind == SHEET_TEXT && strcmp(here->text, above->text) == 0 &&
			!is_copy(finding, row, k) && strcmp(last->text, here->text) != 0)
			return true;
	}
	return false;
}

/* "2017" under "Readings": a year heads a column as a word does. */
static bool is_year(const struct sheet_cell *cell)
{
	enum { DIGITS = 4 };
	return strlen(cell->text) == DIGITS && strspn(cell->text, "0123456789") == DIGITS &&
		(strncmp(cell->text, "19", 2) == 0 || strncmp(cell->text, "20", 2) == 0);
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
		if (here->kind != SHEET_EMPTY && !is_wordy(here) && !is_year(here))
			return false;
		words += here->kind != SHEET_EMPTY && !is_copy(finding, row, k);
	}
	return words > 1;
}

/* Does the row hold a tag where the headings in `head` say that tags stand? */
static bool names_record(const struct finding *finding, size_t head, size_t row)
{
	for (size_t k = 0; k < finding->columns; k++)
		if (table_is_key(finding, cell(finding, head, k)->text) && table_is_tag(cell(finding, row, k)->text))
			return true;
	return false;
}

/* The same below headings of several rows. */
static bool is_record(const struct finding *finding, const struct band *band, size_t row)
{
	for (size_t head = band->first; head <= band->last; head++)
		if (names_record(finding, head, row))
			return true;
	return false;
}

/* Is each column that named the records still known to name them? "Note" over "Line" is no group that it belongs to. */
static bool keeps_keys(const struct finding *finding, const struct band *band, const struct band *wider)
{
	for (size_t k = 0; k < finding->columns; k++) {
		const char *before = heading_compose(finding, band, k).known_as;
		const char *after =
			before && table_is_key(finding, before) ? heading_compose(finding, wider, k).known_as : before;
		if (after != before && !(after && table_is_key(finding, after)))
			return false;
	}
	return true;
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
		if (then < known || !joined || !keeps_keys(finding, &band, &wider))
			break;
		known = then;
		band = wider;
	}
	while (band.last + 1 < finding->rows && band.last - band.first + 1 < MOST_HEAD) {
		struct band longer = band;
		longer.last++;
		if (names_record(finding, band.first, longer.last))
			break;
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
		struct table_column column = heading_compose(finding, band, k);
		if (!*column.heading && !has_records(finding, &table, k))
			continue;
		table.columns[table.count++] = column;
		table.known += column.known_as != NULL;
	}
	if (!finding->view.turned)
		heading_find_letters(finding, &table);
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

/* What stands above the row of tags and a blank row before it is of something else: the first column after that. */
static size_t first_of_list(const struct finding *finding, const struct table *table)
{
	size_t key = 0;
	while (key < table->count && !table_is_key(finding, table->columns[key].known_as))
		key++;
	for (size_t i = key; key < table->count && i > 0; i--)
		if (table->columns[i].at > table->columns[i - 1].at + 1)
			return i;
	return 0;
}

/* A turned table by its blocks, with what each section says. */
static void keep_blocks(const struct finding *finding, struct list *list, const struct table *table)
{
	struct table block = *table;
	const char *unit = NULL, *of_case = NULL, *section = NULL, *begun = NULL;
	block.count = block.known = 0;
	block.columns = arena_alloc(finding->arena, (table->count + 1) * sizeof *block.columns);
	for (size_t i = first_of_list(finding, table); i < table->count; i++) {
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
		if (key && i + 1 < table->count && table_is_key(finding, table->columns[i + 1].known_as) &&
			cell(finding, table->head, table->columns[i + 1].at)->merged)
			continue; /* the groups over tags, beside a heading that is merged over both rows */
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
		bool loading = text_has_word(table_concepts_of(finding, column.heading), "loading");
		if (!column.unit && !loading) /* no share of a whole */
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

/* Two rows of headings that are known by themselves, and no record between them: one table. */
static bool has_headings_below(const struct finding *finding, const struct band *band, size_t least)
{
	size_t row = band->last + 1;
	return !finding->view.turned && row + 1 < finding->rows && row - band->first < MOST_HEAD &&
		known_in(finding, row) >= least && is_heading_row(finding, row) && !is_record(finding, band, row) &&
		known_in(finding, row + 1) < least;
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
		if (has_headings_below(finding, &band, least))
			band.last++;
		size_t end = band.last + 1;
		while (end < finding->rows && (known_in(finding, end) < least || is_record(finding, &band, end)))
			end++; /* "C-1 | Absorber | Column": words that head columns elsewhere */
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
	enum { TALLEST = 4000 };
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
	bool tall = sheet->rows > TALLEST && direction != TURNED; /* no list has so many headings in a column */
	turned.best = direction == UPRIGHT || tall ? 0 : best_row(&turned);
	if (upright.best >= turned.best && upright.best)
		find(&upright, &list);
	else if (turned.best)
		find(&turned, &list);
	*tables = list.rows;
	return list.count;
}
