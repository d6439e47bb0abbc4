#include <libxml/xmlreader.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <zip.h>

#include "base/count.h"
#include "base/progress.h"
#include "import/sheet.h"
#include "import/sheet_format.h"

/* Office Open XML, ECMA-376-1:2016: parts 18.2 (workbook), 18.3 (worksheets), 18.4 (shared strings), 18.8 (styles). */

enum { MOST_SHEETS = 500, MOST_STRINGS = 2000000, MOST_ROW = 1048576, MOST_COLUMN = 16384 };

struct strings {
	const char **rows;
	size_t count, capacity;
};

struct listed {
	const char *name, *id;
	bool hidden;
};

struct range {
	size_t top, left, bottom, right;
};

struct unpacking {
	struct arena *arena;
	const char *file;
	zip_t *zip;
	struct problems *faults, *doubts;
	struct strings shared, targets, ids; /* targets and ids: of the relationships, in step */
	struct sheet_formats formats;
	struct listed *listed;
	size_t listed_count, listed_capacity;
	size_t bytes; /* unpacked so far, of all parts */
	bool too_large;
};

/* ---- a part of the archive as a stream of XML ---- */

struct part {
	struct unpacking *all;
	zip_file_t *file;
	xmlTextReader *reader;
};

static int read_part(void *context, char *buffer, int length)
{
	struct part *part = context;
	zip_int64_t got = zip_fread(part->file, buffer, (zip_uint64_t)length);
	if (got < 0)
		return -1;
	part->all->bytes += (size_t)got;
	part->all->too_large = part->all->bytes > SHEET_MOST_BYTES;
	return part->all->too_large ? -1 : (int)got;
}

static int close_part(void *context)
{
	(void)context;
	return 0;
}

static void ignore(void *context, const char *message, xmlParserSeverities severity, xmlTextReaderLocatorPtr locator)
{
	(void)context;
	(void)message;
	(void)severity;
	(void)locator;
}

static bool open_part(struct unpacking *all, const char *name, struct part *part)
{
	*part = (struct part){.all = all, .file = zip_fopen(all->zip, name, ZIP_FL_NOCASE)};
	if (!part->file)
		return false;
	part->reader = xmlReaderForIO(
		read_part, close_part, part, name, NULL, XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
	if (!part->reader) {
		zip_fclose(part->file);
		return false;
	}
	xmlTextReaderSetErrorHandler(part->reader, ignore, NULL);
	return true;
}

static void close_reading(struct part *part)
{
	xmlFreeTextReader(part->reader);
	zip_fclose(part->file);
}

static void fault(struct unpacking *all, enum problem_code code, const char *what)
{
	problem_add(all->faults, code, (struct place){.file = all->file}, "%s", what);
}

/* To the next node; false at the end. What declares a document type, or breaks off, ends with a fault. */
static bool next(struct part *part)
{
	struct unpacking *all = part->all;
	int got = xmlTextReaderRead(part->reader);
	if (got == 1 && xmlTextReaderNodeType(part->reader) == XML_READER_TYPE_DOCUMENT_TYPE) {
		fault(all, PROBLEM_DOCTYPE, "the workbook declares entities of its own");
		return false;
	}
	if (got < 0 && all->too_large)
		fault(all, PROBLEM_TOO_LARGE, "the workbook unpacks to more than 512 MiB");
	else if (got < 0)
		fault(all, PROBLEM_MALFORMED, "a part of the workbook is broken");
	return got == 1;
}

static bool at_element(const struct part *part, const char *name)
{
	return xmlTextReaderNodeType(part->reader) == XML_READER_TYPE_ELEMENT &&
		strcmp((const char *)xmlTextReaderConstLocalName(part->reader), name) == 0;
}

static bool at_end(const struct part *part, const char *name)
{
	return xmlTextReaderNodeType(part->reader) == XML_READER_TYPE_END_ELEMENT &&
		strcmp((const char *)xmlTextReaderConstLocalName(part->reader), name) == 0;
}

/* An attribute by its local name, whatever its prefix; NULL: it has none. */
static const char *attribute(struct part *part, const char *name)
{
	const char *found = NULL;
	for (int more = xmlTextReaderMoveToFirstAttribute(part->reader); more == 1 && !found;
		more = xmlTextReaderMoveToNextAttribute(part->reader))
		if (strcmp((const char *)xmlTextReaderConstLocalName(part->reader), name) == 0 &&
			xmlTextReaderConstValue(part->reader))
			found = arena_copy(part->all->arena, (const char *)xmlTextReaderConstValue(part->reader));
	xmlTextReaderMoveToElement(part->reader);
	return found;
}

static bool attribute_is_set(struct part *part, const char *name)
{
	const char *value = attribute(part, name);
	return value && (strcmp(value, "1") == 0 || strcmp(value, "true") == 0);
}

/* All text of the <t> within the element at hand, which ends with `name`; that of readings (rPh) aside. */
static const char *text_within(struct part *part, const char *name)
{
	struct text text = text_in(part->all->arena);
	bool inside = false, reading = false;
	if (xmlTextReaderIsEmptyElement(part->reader))
		return "";
	while (next(part) && !at_end(part, name)) {
		int type = xmlTextReaderNodeType(part->reader);
		if (at_element(part, "t"))
			inside = !xmlTextReaderIsEmptyElement(part->reader);
		else if (at_end(part, "t"))
			inside = false;
		else if (at_element(part, "rPh"))
			reading = true;
		else if (at_end(part, "rPh"))
			reading = false;
		else if (inside && !reading &&
			(type == XML_READER_TYPE_TEXT || type == XML_READER_TYPE_CDATA ||
				type == XML_READER_TYPE_SIGNIFICANT_WHITESPACE))
			text_add(&text, (const char *)xmlTextReaderConstValue(part->reader));
	}
	return text.data;
}

/* The text of the element at hand itself. */
static const char *own_text(struct part *part, const char *name)
{
	struct text text = text_in(part->all->arena);
	if (xmlTextReaderIsEmptyElement(part->reader))
		return "";
	while (next(part) && !at_end(part, name))
		if (xmlTextReaderHasValue(part->reader))
			text_add(&text, (const char *)xmlTextReaderConstValue(part->reader));
	return text.data;
}

static void keep(struct arena *arena, struct strings *strings, const char *text)
{
	strings->rows = arena_grow(arena, strings->rows, strings->count, &strings->capacity, sizeof *strings->rows);
	strings->rows[strings->count++] = text;
}

/* ---- the parts about the whole ---- */

static void read_shared(struct unpacking *all)
{
	struct part part;
	if (!open_part(all, "xl/sharedStrings.xml", &part))
		return;
	while (all->shared.count < MOST_STRINGS && next(&part))
		if (at_element(&part, "si"))
			keep(all->arena, &all->shared, text_within(&part, "si"));
	close_reading(&part);
}

static void read_styles(struct unpacking *all)
{
	struct part part;
	bool cells = false;
	if (!open_part(all, "xl/styles.xml", &part))
		return;
	while (next(&part)) {
		if (at_element(&part, "cellXfs"))
			cells = true;
		else if (at_end(&part, "cellXfs"))
			cells = false;
		else if (at_element(&part, "numFmt"))
			sheet_format_declare(all->arena, &all->formats, attribute(&part, "numFmtId"),
				attribute(&part, "formatCode"));
		else if (cells && at_element(&part, "xf"))
			sheet_format_style(all->arena, &all->formats, attribute(&part, "numFmtId"));
	}
	close_reading(&part);
}

static void read_targets(struct unpacking *all)
{
	struct part part;
	if (!open_part(all, "xl/_rels/workbook.xml.rels", &part))
		return;
	while (next(&part))
		if (at_element(&part, "Relationship")) {
			const char *id = attribute(&part, "Id"), *target = attribute(&part, "Target");
			if (!id || !target)
				continue;
			keep(all->arena, &all->ids, id);
			keep(all->arena, &all->targets,
				*target == '/' ? target + 1 : arena_join(all->arena, "xl/", target, "", ""));
		}
	close_reading(&part);
}

static bool read_list(struct unpacking *all)
{
	struct part part;
	if (!open_part(all, "xl/workbook.xml", &part)) {
		fault(all, PROBLEM_MALFORMED, "an archive that holds no workbook (XLSX): save it as XLSX or CSV");
		return false;
	}
	while (next(&part)) {
		if (at_element(&part, "workbookPr"))
			all->formats.from_1904 = attribute_is_set(&part, "date1904");
		if (!at_element(&part, "sheet") || all->listed_count == MOST_SHEETS)
			continue;
		all->listed = arena_grow(
			all->arena, all->listed, all->listed_count, &all->listed_capacity, sizeof *all->listed);
		const char *name = attribute(&part, "name"), *id = attribute(&part, "id"),
			   *state = attribute(&part, "state");
		all->listed[all->listed_count++] = (struct listed){.name = name ? name : "sheet",
			.id = id ? id : "",
			.hidden = state && strcmp(state, "visible") != 0};
	}
	close_reading(&part);
	return true;
}

/* ---- one sheet ---- */

struct found {
	size_t row, column;
	struct sheet_cell cell;
};

struct reading {
	struct unpacking *all;
	struct part part;
	const char *name;
	bool hidden_row;
	size_t row, column; /* of the next cell that does not say where it is */
	struct found *found;
	size_t count, capacity;
	struct range *merged;
	size_t merged_count, merged_capacity;
	struct range *hidden; /* columns: left and right */
	size_t hidden_count, hidden_capacity;
	size_t rows, columns;
};

/* "B7" from 0; false when it names no cell of a sheet. */
static bool read_name(const char *name, size_t *row, size_t *column)
{
	enum { LETTERS = 26, TEN = 10 };
	size_t letters = 0, digits = 0;
	for (; *name >= 'A' && *name <= 'Z' && letters <= MOST_COLUMN; name++)
		letters = letters * LETTERS + (size_t)(*name - 'A') + 1;
	for (; *name >= '0' && *name <= '9' && digits <= MOST_ROW; name++)
		digits = digits * TEN + (size_t)(*name - '0');
	if (!letters || !digits || letters > MOST_COLUMN || digits > MOST_ROW)
		return false;
	*row = digits - 1;
	*column = letters - 1;
	return true;
}

static const char *shared(const struct unpacking *all, const char *index)
{
	char *end;
	unsigned long at = strtoul(index, &end, 10);
	return end != index && at < all->shared.count ? all->shared.rows[at] : "";
}

static const char *trimmed(struct arena *arena, const char *text)
{
	static const char blank[] = " \t\r\n";
	text += strspn(text, blank);
	size_t length = strlen(text);
	while (length && strchr(blank, text[length - 1]))
		length--;
	return text[length] ? arena_copy_span(arena, text, length) : text;
}

static struct sheet_cell cell_of(
	const struct unpacking *all, const char *type, const char *style, const char *value, bool formula)
{
	struct sheet_cell cell = {.text = trimmed(all->arena, value), .kind = SHEET_TEXT};
	if (!*cell.text) {
		cell.kind = formula && strcmp(type, "str") != 0 ? SHEET_UNCALCULATED : SHEET_EMPTY;
		return cell;
	}
	if (strcmp(type, "n") == 0) {
		cell.text = sheet_format_show(all->arena, &all->formats, style, cell.text, &cell.kind);
	} else if (strcmp(type, "b") == 0) {
		cell.text = strcmp(cell.text, "1") == 0 ? "yes" : "no";
	} else if (strcmp(type, "d") == 0) {
		cell.kind = SHEET_DATE;
		cell.text = arena_copy_span(all->arena, cell.text, strcspn(cell.text, "T"));
	} else if (strcmp(type, "e") == 0 || sheet_kind_of(cell.text) == SHEET_FAULT) {
		cell.kind = SHEET_FAULT;
	}
	return cell;
}

static void read_cell(struct reading *reading)
{
	struct part *part = &reading->part;
	struct unpacking *all = reading->all;
	const char *name = attribute(part, "r"), *type = attribute(part, "t"), *style = attribute(part, "s"),
		   *value = "";
	bool formula = false, empty = xmlTextReaderIsEmptyElement(part->reader) == 1;
	if (!type)
		type = "n";
	if (name)
		read_name(name, &reading->row, &reading->column);
	while (!empty && next(part) && !at_end(part, "c")) {
		if (at_element(part, "f"))
			formula = true;
		else if (at_element(part, "v"))
			value = own_text(part, "v");
		else if (at_element(part, "is"))
			value = text_within(part, "is");
	}
	if (strcmp(type, "s") == 0)
		value = shared(all, value);
	struct found found = {
		.row = reading->row, .column = reading->column++, .cell = cell_of(all, type, style, value, formula)};
	found.cell.hidden = reading->hidden_row;
	if (found.cell.kind == SHEET_EMPTY)
		return;
	reading->found =
		arena_grow(all->arena, reading->found, reading->count, &reading->capacity, sizeof *reading->found);
	reading->found[reading->count++] = found;
	reading->rows = found.row >= reading->rows ? found.row + 1 : reading->rows;
	reading->columns = found.column >= reading->columns ? found.column + 1 : reading->columns;
}

static void read_row(struct reading *reading)
{
	const char *number = attribute(&reading->part, "r");
	unsigned long row = number ? strtoul(number, NULL, 10) : 0;
	reading->row = row > 0 && row <= MOST_ROW ? row - 1 : reading->row + 1;
	reading->column = 0;
	reading->hidden_row = attribute_is_set(&reading->part, "hidden");
}

static void read_merged(struct reading *reading)
{
	const char *ref = attribute(&reading->part, "ref"), *colon = ref ? strchr(ref, ':') : NULL;
	struct range range;
	if (!colon || !read_name(ref, &range.top, &range.left) || !read_name(colon + 1, &range.bottom, &range.right))
		return;
	reading->merged = arena_grow(
		reading->all->arena, reading->merged, reading->merged_count, &reading->merged_capacity, sizeof range);
	reading->merged[reading->merged_count++] = range;
}

static void read_columns(struct reading *reading)
{
	const char *first = attribute(&reading->part, "min"), *last = attribute(&reading->part, "max");
	if (!first || !last || !attribute_is_set(&reading->part, "hidden"))
		return;
	struct range range = {.left = strtoul(first, NULL, 10), .right = strtoul(last, NULL, 10)};
	reading->hidden = arena_grow(
		reading->all->arena, reading->hidden, reading->hidden_count, &reading->hidden_capacity, sizeof range);
	reading->hidden[reading->hidden_count++] = range;
}

static void spread_merged(const struct range *range, struct sheet *sheet, struct sheet_cell *cells)
{
	if (range->top >= sheet->rows || range->left >= sheet->columns)
		return;
	const struct sheet_cell first = cells[range->top * sheet->columns + range->left];
	if (first.kind == SHEET_EMPTY)
		return;
	for (size_t i = range->top; i <= range->bottom && i < sheet->rows; i++)
		for (size_t k = range->left; k <= range->right && k < sheet->columns; k++) {
			struct sheet_cell *cell = &cells[i * sheet->columns + k];
			bool hidden = cell->hidden;
			if (cell->kind != SHEET_EMPTY)
				continue;
			*cell = first;
			cell->merged = true;
			cell->hidden = hidden || first.hidden;
		}
}

static bool make_sheet(struct reading *reading, const struct listed *listed, struct sheet *sheet)
{
	struct arena *arena = reading->all->arena;
	*sheet = (struct sheet){.file = reading->all->file, .name = listed->name, .hidden = listed->hidden};
	if (!reading->count)
		return true;
	if (reading->rows > SHEET_MOST_CELLS / reading->columns) {
		problem_add(reading->all->faults, PROBLEM_TOO_LARGE, (struct place){.file = sheet->file},
			"sheet '%s' spans more than %d cells", listed->name, SHEET_MOST_CELLS);
		return false;
	}
	sheet->rows = reading->rows;
	sheet->columns = reading->columns;
	struct sheet_cell *cells = arena_alloc(arena, sheet->rows * sheet->columns * sizeof *cells);
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++)
		cells[i].text = "";
	for (size_t i = 0; i < reading->count; i++)
		cells[reading->found[i].row * sheet->columns + reading->found[i].column] = reading->found[i].cell;
	for (size_t i = 0; i < reading->merged_count; i++)
		spread_merged(&reading->merged[i], sheet, cells);
	for (size_t i = 0; i < reading->hidden_count; i++)
		for (size_t k = reading->hidden[i].left; k >= 1 && k <= reading->hidden[i].right && k <= sheet->columns;
			k++)
			for (size_t row = 0; row < sheet->rows; row++)
				cells[row * sheet->columns + k - 1].hidden = true;
	for (size_t i = 0; listed->hidden && i < sheet->rows * sheet->columns; i++)
		cells[i].hidden = true;
	sheet->cells = cells;
	return true;
}

static const char *target_of(const struct unpacking *all, const char *id)
{
	for (size_t i = 0; i < all->ids.count; i++)
		if (strcmp(all->ids.rows[i], id) == 0)
			return all->targets.rows[i];
	return "";
}

static bool read_sheet(struct unpacking *all, const struct listed *listed, struct sheet *sheet)
{
	struct reading reading = {.all = all, .name = listed->name, .row = (size_t)-1};
	if (!open_part(all, target_of(all, listed->id), &reading.part)) {
		*sheet = (struct sheet){.file = all->file, .name = listed->name};
		return true; /* a sheet that is a chart, or one that is not there */
	}
	size_t before = all->faults->count;
	while (reading.count <= SHEET_MOST_CELLS && next(&reading.part)) {
		if (at_element(&reading.part, "row"))
			read_row(&reading);
		else if (at_element(&reading.part, "c"))
			read_cell(&reading);
		else if (at_element(&reading.part, "mergeCell"))
			read_merged(&reading);
		else if (at_element(&reading.part, "col"))
			read_columns(&reading);
	}
	close_reading(&reading.part);
	return all->faults->count == before && make_sheet(&reading, listed, sheet);
}

/* ---- the archive ---- */

static bool is_locked(zip_t *zip)
{
	zip_stat_t about;
	for (zip_int64_t i = 0; i < zip_get_num_entries(zip, 0); i++)
		if (zip_stat_index(zip, (zip_uint64_t)i, 0, &about) == 0 &&
			(about.valid & ZIP_STAT_ENCRYPTION_METHOD) && about.encryption_method != ZIP_EM_NONE)
			return true;
	return false;
}

static bool unpack_sheets(struct unpacking *all, struct workbook *workbook)
{
	struct sheet *sheets = arena_alloc(all->arena, (all->listed_count + 1) * sizeof *sheets);
	for (size_t i = 0; i < all->listed_count; i++) {
		progress_design(i + 1, all->listed_count, all->listed[i].name);
		if (!read_sheet(all, &all->listed[i], &sheets[workbook->count]))
			return false;
		if (sheets[workbook->count].rows)
			workbook->count++;
		else
			workbook->unread++;
	}
	workbook->sheets = sheets;
	return true;
}

static bool unpack(struct unpacking *all, struct workbook *workbook)
{
	if (is_locked(all->zip)) {
		fault(all, PROBLEM_MALFORMED, "the workbook is protected by a password: have it taken off");
		return false;
	}
	if (zip_name_locate(all->zip, "xl/vbaProject.bin", ZIP_FL_NOCASE) >= 0)
		problem_add(all->doubts, PROBLEM_CELL_LEFT_OUT, (struct place){.file = all->file},
			"the workbook holds macros: they are passed over, and values are those it was saved with");
	size_t before = all->faults->count;
	if (!read_list(all))
		return false;
	read_targets(all);
	read_styles(all);
	read_shared(all);
	bool fine = all->faults->count == before && unpack_sheets(all, workbook);
	progress_wipe();
	return fine && all->faults->count == before;
}

bool workbook_unpack(struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *faults,
	struct problems *doubts, struct workbook *workbook)
{
	struct unpacking all = {.arena = arena, .file = name, .faults = faults, .doubts = doubts};
	zip_error_t error;
	zip_error_init(&error);
	zip_source_t *source = zip_source_buffer_create(bytes, size, 0, &error);
	all.zip = source ? zip_open_from_source(source, ZIP_RDONLY, &error) : NULL;
	if (source && !all.zip)
		zip_source_free(source);
	bool fine = false;
	if (all.zip) {
		fine = unpack(&all, workbook);
		zip_discard(all.zip);
	} else {
		fault(&all, PROBLEM_MALFORMED, "the archive of the workbook is broken");
	}
	zip_error_fini(&error);
	return fine;
}
