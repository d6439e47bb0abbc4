#include "import/package.h"

#include <string.h>

#include "base/count.h"
#include "base/progress.h"
#include "import/blocks.h"
#include "import/guess.h"
#include "import/package_columns.h"
#include "import/package_rest.h"
#include "import/records.h"
#include "import/sentence.h"

/* ---- records ---- */

static const char *cells_of(const struct reading_sheet *sheet, size_t at)
{
	struct arena *arena = sheet->package->arena;
	const struct table *table = sheet->table;
	const struct table_column *first = NULL, *last = NULL;
	for (size_t i = 0; i < table->count; i++)
		if (table_at(table, at, table->columns[i].at)->kind != SHEET_EMPTY) {
			last = &table->columns[i];
			first = first ? first : last;
		}
	if (!first)
		return "";
	size_t sheet_name = strlen(table->sheet->name) + 1;
	const char *from = table_cell_name(arena, table, at, first->at) + sheet_name;
	return first == last
		? from
		: arena_join(arena, from, ":", table_cell_name(arena, table, at, last->at) + sheet_name, "");
}

/* The one cell of a row that holds nothing else; NULL: it holds more, or nothing. */
static const struct field_column *only_cell(const struct record *record)
{
	const struct field_column *only = NULL;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *cell = record_cell(record, column);
		if (cell->kind == SHEET_EMPTY || (only && strcmp(cell->text, record_cell(record, only)->text) == 0))
			continue;
		if (only)
			return NULL;
		only = column;
	}
	return only;
}

/* "2. Heat traced", "*) at maximum load", "Notes:": what stands below a list, and never a tag. */
static bool is_footnote(struct arena *arena, const char *text)
{
	static const char words[] =
		"notes|note|bemerkungen|anmerkungen|remarques|notas|opmerkingen|legend|legende|leyenda";
	size_t digits = strspn(text, "0123456789");
	const char *folded = words_fold(arena, text);
	const char *first = arena_copy_span(arena, folded, strcspn(folded, " "));
	return strchr("*(", *text) ||
		(digits && strchr(".):", text[digits]) && text[digits] && text[digits + 1] == ' ') ||
		words_are_one_of(arena, first, words);
}

/* "Pumps", "Columns and vessels": a few words over records that go on below. */
static bool is_section(const struct record *record, const char *text)
{
	enum { LONGEST = 40, MOST_BLANKS = 3 };
	const struct table *table = record->sheet->table;
	size_t blanks = 0, below = 0;
	for (const char *c = text; *c; c++)
		blanks += *c == ' ';
	if (record->at + 1 >= table->last || strlen(text) > LONGEST || blanks > MOST_BLANKS ||
		strpbrk(text, "0123456789.:;!?"))
		return false;
	for (size_t i = 0; i < table->count; i++)
		below += table_at(table, record->at + 1, table->columns[i].at)->kind != SHEET_EMPTY;
	return below > 1;
}

/* A row of words: a heading within the list, the name of a case, or a note below it. */
static bool is_remark(struct record *record, const char **of_case)
{
	const struct field_column *only = only_cell(record);
	struct package *package = record->sheet->package;
	if (!only || record->sheet->table->turned ||
		(!rest_is_sentence(record_cell(record, only)->text) &&
			!is_footnote(record->sheet->package->arena, record_cell(record, only)->text)))
		return false;
	const char *text = record_cell(record, only)->text, *named = fields_case(package->arena, text);
	if (named) {
		*of_case = package_case(package, text);
		record_pass_at(record, only->column->at, OUTCOME_STRUCTURE);
		return true;
	}
	if (is_section(record, text)) {
		record->sheet->section = text;
		record_pass_at(record, only->column->at, OUTCOME_STRUCTURE);
		return true;
	}
	size_t at = (size_t)(record_cell(record, only) - record->sheet->sheet->cells);
	if (at < record->sheet->sheet->rows * record->sheet->sheet->columns)
		sentence_read(package, record->sheet->sheet, record->sheet->document,
			at / record->sheet->sheet->columns, at % record->sheet->sheet->columns);
	draft_add_note(&package->draft, NULL, text, record_source(record));
	record_arrived(record, only);
	return true;
}

/* "Heat in E-101 / steam": a name that speaks of an item by its tag. */
static bool names_tag(struct arena *arena, const char *name)
{
	for (const char *at = name; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (table_is_tag(arena_copy_span(arena, at, length)))
			return true;
		at += length;
	}
	return false;
}

/* Whether the tag that stands above holds for a record without one. */
static bool continues(const struct record *record)
{
	static const char *const fields[] = {"case", "part", "name", "required"};
	for (size_t i = 0; i < COUNT(fields); i++) {
		const char *text = record_text(record, fields[i]);
		if (text && *text)
			return strcmp(fields[i], "name") != 0 || !names_tag(record->sheet->package->arena, text);
	}
	return false;
}

/* A record of maxima or means of the cases, or of remarks on them: sentences are kept, figures are none of a case. */
static void leave_no_case(struct record *record, const struct field_column *of_case)
{
	struct package *package = record->sheet->package;
	record_pass_at(record, of_case->column->at, OUTCOME_STRUCTURE);
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *cell = record_cell(record, column);
		if (cell->kind != SHEET_TEXT || cell->hidden || !rest_is_sentence(cell->text) ||
			record_is_done(record, column))
			continue;
		draft_add_note(&package->draft, NULL, cell->text, record_source(record));
		record_arrived(record, column);
	}
	record_leave(record, "what stands where the case is named is no case");
}

/* "Rev. 2 entfaellt", "Index B: deleted": what follows the revision that says it. */
static const char *after_revision(struct arena *arena, const char *text)
{
	static const char words[] = "rev|revision|index|ausgabe|ausg|indice|edition|in rev|per rev|seit rev|ab "
				    "rev|with rev|mit rev|as of rev";
	size_t length = strcspn(text, ".:0123456789");
	while (length && text[length - 1] == ' ')
		length--;
	size_t lettered = strcspn(text, " ."); /* "Rev C" */
	bool numbered = words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, text, length)), words);
	length = numbered ? length : lettered;
	if (!numbered && !words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, text, length)), words))
		return text;
	const char *number = text + length + strspn(text + length, ". ");
	size_t digits = strcspn(number, " :;,-");
	enum { LONGEST = 3 };
	return digits && digits <= LONGEST && number[digits] ? number + digits + strspn(number + digits, " :;,-")
							     : text;
}

/* "Line deleted rev B", "Leitung entfaellt": without what the row is of; other subjects are not the row. */
static const char *without_subject(struct arena *arena, const char *folded)
{
	static const char rows[] = "line|item|leitung|ligne|linea|pos|position|equipment|tag|apparat|leiding";
	size_t length = strcspn(folded, " ");
	bool of_row = folded[length] && words_are_one_of(arena, arena_copy_span(arena, folded, length), rows);
	return of_row ? folded + length + 1 : folded;
}

/* "ENTFAELLT, ersetzt durch ...": the words that begin a remark, name or status of a record that holds no more. */
static const char *withdrawn(const struct record *record)
{
	static const char words[] = "entfallt|entfallen|superseded|deleted|cancelled|canceled|void|voided|withdrawn|"
				    "obsolete|ungultig|annule|supprime|annulee|supprimee|eliminada|eliminado|anulada|"
				    "suprimida|removed|anulado|suprimido|vervallen|not used|gestrichen",
			  status[] = "status|state|statut|estado|zustand|validity|gultigkeit",
			  after[] = "by|see|rev|per|durch|siehe|par|voir|por|ver|door|zie";
	struct arena *arena = record->sheet->package->arena;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *cell = record_cell(record, column);
		bool speaks = column->field && text_has_word("remark name tag service class from", column->field);
		speaks = speaks || words_are_one_of(arena, words_fold(arena, column->column->heading), status);
		if (cell->kind != SHEET_TEXT || cell->hidden || !speaks)
			continue; /* elsewhere "entfaellt" says that this one thing is not there */
		const char *said = after_revision(arena, cell->text);
		size_t length = strcspn(said, ",;.:(-!");
		const char *first = without_subject(arena, words_fold(arena, arena_copy_span(arena, said, length)));
		size_t word = strcspn(first, " ");
		const char *next = *(first + word) ? first + word + 1 : "";
		next = arena_copy_span(arena, next, strcspn(next, " "));
		if (words_are_one_of(arena, first, words) ||
			(words_are_one_of(arena, arena_copy_span(arena, first, word), words) &&
				words_are_one_of(arena, next, after)))
			return cell->text;
	}
	return NULL;
}

static bool reads_hidden(const struct reading_sheet *sheet)
{
	return strcmp(element_attribute_or(sheet->map, "hidden", "left out"), "read") == 0;
}

static const char *first_words(const struct record *record)
{
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct sheet_cell *cell = record_cell(record, &record->sheet->columns[i]);
		if (cell->kind == SHEET_TEXT && !cell->hidden)
			return cell->text;
	}
	return "";
}

/* Why nothing of the record is read; NULL: it is. */
static const char *why_not_read(const struct record *record, const struct field_column *of_case, const char *own)
{
	struct arena *arena = record->sheet->package->arena;
	const char *held = withdrawn(record);
	if (of_case && record_cell(record, of_case)->hidden && !reads_hidden(record->sheet))
		return "in a hidden row, column or sheet";
	if (held)
		return arena_join(arena, "it holds no more: ", text_plain(arena, held), "", "");
	const char *speaks = own && *own ? own : first_words(record), *last = strrchr(speaks, ' ');
	bool sum = fields_sum_row(arena, speaks) || (speaks != own && last && fields_sum(arena, last + 1));
	return !record_item(record, speaks) && sum ? "a sum or a balance, and no item" : NULL;
}

/* "Absorber shell", where names stand for tags: the name of the item, with the part in `named`. */
static const char *name_without_part(struct record *record, const char *own)
{
	struct arena *arena = record->sheet->package->arena;
	const char *last = strrchr(own, ' ');
	if (!last || !record_is_part(arena, last + 1))
		return own;
	record->named = last + 1;
	return arena_copy_span(arena, own, (size_t)(last - own));
}

/* The tag without the name that stands with it in the cell, which becomes that of the record. */
static const char *own_tag(struct record *record, const char *own)
{
	struct arena *arena = record->sheet->package->arena;
	if (!own || !*own || record_item(record, own))
		return own;
	const char *bare = guess_without_mark(arena, own);
	if (bare != own && *bare) {
		record_interpreted(record, record_column(record, "tag"), bare, "without the mark of a footnote");
		own = bare;
	}
	if (record_item(record, own))
		return own;
	if (record->sheet->lists == LISTS_EQUIPMENT && !strpbrk(own, "0123456789"))
		return name_without_part(record, own);
	if (record->sheet->lists == LISTS_EQUIPMENT)
		return guess_tag(arena, own, &record->named);
	if (record->sheet->numbered)
		return table_number(arena, own, &record->named);
	return own;
}

/* What holds from one record to those below it. */
struct going_on {
	struct arena *arena; /* where it lives; what else a record makes ends with it */
	const char *section; /* id of the case that a row of words names; NULL: none */
	const char *tag, *last_case, *sheet_case;
};

/* The same text, where it stays. */
static const char *keep(const struct going_on *all, const char *before, const char *text)
{
	return !text || text_same(before, text) ? before : arena_copy(all->arena, text);
}

/* The case of the record: its own, which holds on below until another is named, that of its section or its sheet. */
static void find_case(struct record *record, const struct field_column *of_case, struct going_on *all)
{
	struct package *package = record->sheet->package;
	record->of_case = all->section ? all->section : all->sheet_case ? package_case(package, all->sheet_case) : NULL;
	bool sampled = record->sheet->lists == LISTS_LABORATORY || record->sheet->lists == LISTS_RESULTS;
	record->of_case = sampled ? NULL : record->of_case; /* what was found on a day was found: its case is a note */
	if (!of_case || sampled || record->sheet->lists == LISTS_RELIEF)
		return;
	const char *text = record_cell(record, of_case)->text;
	if (*text) {
		all->last_case = keep(all, all->last_case, package_case(package, text));
		record_arrived(record, of_case);
	}
	record->of_case = all->last_case ? all->last_case : record->of_case;
}

static void read_one(struct record *record, struct going_on *all)
{
	const char *section = NULL;
	if (!*record->cells)
		return;
	if (is_remark(record, &section)) {
		all->section = keep(all, all->section, section);
		return;
	}
	const struct field_column *of_case = record_column(record, "case");
	const char *own = record_text(record, "tag"), *not_read = why_not_read(record, of_case, own);
	if (not_read) {
		all->tag = own && *own ? NULL : all->tag; /* what goes on below it is of nothing that is read */
		record_leave(record, not_read);
		return;
	}
	if (of_case && fields_no_case(record->sheet->package->arena, record_cell(record, of_case)->text)) {
		leave_no_case(record, of_case);
		return;
	}
	find_case(record, of_case, all);
	own = own_tag(record, own);
	if (own && *own)
		all->tag = keep(all, all->tag, own);
	record_read(record, own && *own ? own : all->tag && continues(record) ? all->tag : NULL);
	record_say_ditto(record);
}

/* Each record in an arena of its own: the draft and the problems copy what they keep. */
static void read_records(struct reading_sheet *sheet)
{
	struct package *package = sheet->package;
	struct arena scratch = {NULL, 0};
	struct going_on all = {.arena = package->arena, .sheet_case = element_attribute(sheet->map, "case")};
	package->arena = &scratch;
	for (size_t i = sheet->table->first; i < sheet->table->last; i++) {
		struct record record = {.sheet = sheet, .at = i, .cells = cells_of(sheet, i)};
		progress_design(
			i - sheet->table->first + 1, sheet->table->last - sheet->table->first, sheet->sheet->name);
		record_begin(&record);
		read_one(&record, &all);
		arena_release(&scratch);
	}
	package->arena = all.arena;
}

static void say_missing(const struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	for (size_t i = 0; i < sheet->map->child_count; i++) {
		const struct element *column = sheet->map->children[i];
		bool found = false;
		for (size_t t = 0; t < count && !found; t++)
			for (size_t k = 0; k < tables[t].count && !found; k++)
				found = tables[t].columns[k].known_as &&
					map_column(sheet->package, sheet->map, tables[t].columns[k].known_as) == column;
		if (element_is(column, "column") && !found && strcmp(element_attribute(column, "field"), "-") != 0)
			problem_add(sheet->package->doubts, PROBLEM_CELL_LEFT_OUT, sheet_place(sheet->sheet, 0, 0),
				"%s: no heading '%s': the column is gone, or is called otherwise now",
				sheet->sheet->name, element_attribute(column, "heading"));
	}
}

/* Do the two differ in any record in which both state something? */
static bool differ(const struct table *table, size_t a, size_t b)
{
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *one = table_at(table, i, a), *other = table_at(table, i, b);
		bool both = one->kind != SHEET_EMPTY && other->kind != SHEET_EMPTY && !one->hidden && !other->hidden;
		if (both && strcmp(one->text, other->text) != 0)
			return true;
	}
	return false;
}

/*
 * "P | T | P | T" where nothing says which is which, or the words that do are not known: none of them is taken for the
 * operating one. They are kept as notes.
 */
static void find_unclear(struct reading_sheet *sheet)
{
	static const char several[] = "remark note name flow case part class count -";
	size_t count = sheet->table->count;
	bool *unclear = arena_alloc(sheet->package->arena, (count + 1) * sizeof *unclear);
	for (size_t i = 0; i < count; i++)
		for (size_t k = i + 1; k < count; k++) {
			const struct field_column *a = &sheet->columns[i], *b = &sheet->columns[k];
			bool same = a->field && b->field && !text_has_word(several, a->field) &&
				strcmp(a->field, b->field) == 0 && a->map == b->map && text_same(a->of, b->of) &&
				text_same(a->of_case, b->of_case) && text_same(a->rules.unit, b->rules.unit) &&
				text_same(a->column->section, b->column->section) &&
				!guess_two_solutions(sheet->package->arena, a->column->heading, b->column->heading);
			if (same && differ(sheet->table, a->column->at, b->column->at))
				unclear[i] = unclear[k] = true;
		}
	for (size_t i = 0; i < count; i++) {
		if (!unclear[i])
			continue;
		problem_add(sheet->package->doubts, PROBLEM_CELL_INTERPRETED,
			table_place(sheet->table, sheet->table->head, sheet->columns[i].column->at),
			"%s: '%s' stands over several columns and nothing that is known says which is which: kept as "
			"notes",
			table_cell_name(
				sheet->package->arena, sheet->table, sheet->table->head, sheet->columns[i].column->at),
			text_plain(sheet->package->arena, sheet->columns[i].column->heading));
		sheet->columns[i].field = "note";
	}
}

static void read_table(struct reading_sheet *sheet, const struct table *table)
{
	sheet->table = table;
	sheet->columns = arena_alloc(sheet->package->arena, (table->count + 1) * sizeof *sheet->columns);
	for (size_t k = 0; k < table->count; k++) {
		sheet->columns[k] = columns_bind(sheet, &table->columns[k]);
		if (sheet->columns[k].field && strcmp(sheet->columns[k].field, "-") == 0)
			columns_pass(sheet, &sheet->columns[k]);
	}
	const struct record any = {.sheet = sheet, .at = table->first};
	const struct field_column *tags = record_column(&any, "tag");
	sheet->numbered = sheet->lists == LISTS_STREAMS && tags && table_is_numbered(table, tags->column->at);
	find_unclear(sheet);
	read_records(sheet);
	for (size_t k = 0; k < table->count; k++)
		if (!sheet->columns[k].map)
			columns_leave(sheet, &sheet->columns[k]);
		else if (strcmp(element_attribute(sheet->columns[k].map, "field"), "note") == 0)
			columns_say_noted(sheet, &sheet->columns[k]);
}

static void mark_headings(struct reading_sheet *sheet, const struct table *table)
{
	for (size_t row = 0; row < table->first; row++)
		for (size_t k = 0; k < (table->turned ? sheet->sheet->rows : sheet->sheet->columns); k++) {
			size_t i = table->turned ? k : row, c = table->turned ? row : k;
			enum cell_outcome *outcome = &sheet->outcomes[i * sheet->sheet->columns + c];
			bool known = !table->turned && row >= table->head;
			for (size_t at = 0; table->turned && at < table->count; at++)
				known = known || (table->columns[at].at == k && table->columns[at].known_as);
			if (known && !*outcome)
				*outcome = OUTCOME_STRUCTURE;
		}
}

static void count_outcomes(struct reading_sheet *sheet)
{
	for (size_t i = 0; i < sheet->sheet->rows * sheet->sheet->columns; i++) {
		if (sheet->sheet->cells[i].merged || sheet->sheet->cells[i].kind == SHEET_EMPTY)
			continue;
		sheet->package->arrived += sheet->outcomes[i] == OUTCOME_ARRIVED;
		sheet->package->interpreted += sheet->outcomes[i] == OUTCOME_INTERPRETED;
		sheet->package->left += sheet->outcomes[i] == OUTCOME_LEFT;
	}
}

static void read_sheet(
	struct package *package, const struct sheet *sheet, const struct element *map, enum sheet_lists lists)
{
	struct arena *arena = package->arena;
	struct reading_sheet reading = {.package = package, .sheet = sheet, .map = map, .lists = lists};
	const char *document = element_attribute(map, "document");
	struct table *tables;
	reading.document = arena_join(
		arena, document ? document : sheet->file, sheet->csv ? "" : ", ", sheet->csv ? "" : sheet->name, "");
	reading.outcomes = arena_alloc(arena, (sheet->rows * sheet->columns + 1) * sizeof *reading.outcomes);
	size_t count = columns_find(package, map, sheet, &tables);
	if (!count)
		problem_add(package->faults, PROBLEM_MISSING, sheet_place(sheet, 0, 0),
			"%s: no row or column holds headings that the map knows", sheet->name);
	for (size_t i = 0; i < count; i++) {
		mark_headings(&reading, &tables[i]);
		read_table(&reading, &tables[i]);
	}
	say_missing(&reading, tables, count);
	if (count)
		rest_read(&reading, tables, count);
	count_outcomes(&reading);
}

/* ---- sheets ---- */

static bool maps(const struct package *package, const struct element *child, const struct sheet *sheet)
{
	return element_is(child, "sheet") && map_names(package->arena, element_attribute(child, "name"), sheet->name);
}

/* How many columns of the block the map knows, when it is read as the map says. */
static size_t known_by(const struct package *package, const struct element *map, const struct sheet *sheet)
{
	struct table *tables;
	size_t known = 0, count = columns_find(package, map, sheet, &tables);
	for (size_t i = 0; i < count; i++)
		known += tables[i].known;
	return known;
}

/* Of several lists on one sheet that the map has: the one that knows most of the block. NULL: none knows any. */
static const struct element *map_of(const struct package *package, const struct sheet *sheet)
{
	const struct element *best = NULL;
	size_t most = 0;
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (!maps(package, child, sheet))
			continue;
		bool own = text_same(element_attribute(child, "block"), sheet_span(package->arena, sheet));
		size_t known = 2 * known_by(package, child, sheet) + own;
		if (!best || known > most)
			best = child;
		most = known > most ? known : most;
	}
	return best;
}

static const struct element *only_map_of(const struct package *package, const struct sheet *sheet, size_t *count)
{
	const struct element *found = NULL;
	*count = 0;
	for (size_t i = 0; i < package->map->child_count; i++)
		if (maps(package, package->map->children[i], sheet)) {
			found = found ? found : package->map->children[i];
			++*count;
		}
	return found;
}

/* What the map says of the solvent. */
static void state_solvent(struct package *package)
{
	const char *strength = element_attribute(package->map, "strength"),
		   *activator = element_attribute(package->map, "activator"),
		   *unnamed = element_attribute(package->map, "unnamed-activator"),
		   *at = element_attribute_or(package->map, "strength-at", "");
	const char *const values[][2] = {{"amine", package->draft.amine}, {"strength", strength},
		{"piperazine", activator}, {"activated", activator || unnamed ? "yes" : NULL}};
	const char *mark = strchr(at, '!');
	if (!strength || !package->draft.amine)
		return;
	struct draft_item *solvent = draft_item(&package->draft, NULL, "solvent", NULL, NULL, "solvent");
	for (size_t i = 0; i < COUNT(values); i++) {
		if (!values[i][1])
			continue;
		struct draft_value said = {.attribute = values[i][0],
			.value = values[i][1],
			.document = mark ? arena_copy_span(package->arena, at, (size_t)(mark - at)) : at,
			.cells = mark ? mark + 1 : "",
			.place = package->map->place,
			.cell = at};
		draft_state(&package->draft, solvent, &said);
	}
	if (unnamed)
		draft_add_note(&package->draft, solvent,
			arena_join(package->arena, "activator, not named: ", unnamed, "", ""), at);
}

/* The amine that the map names, where no sheet says which it is. */
static void state_amine_of_map(struct package *package)
{
	if (!package->draft.amine)
		return;
	struct draft_item *solvent = draft_item(&package->draft, NULL, "solvent", NULL, NULL, "solvent");
	for (size_t i = 0; i < solvent->count; i++)
		if (strcmp(solvent->values[i].attribute, "amine") == 0)
			return;
	const struct draft_value said = {.attribute = "amine",
		.value = package->draft.amine,
		.document = package->map->place.file,
		.cells = "",
		.place = package->map->place,
		.cell = package->map->place.file};
	draft_state(&package->draft, solvent, &said);
}

/* A sheet, or a block of one, with what the map says of it. */
struct mapped {
	const struct sheet *sheet;
	const struct element *map; /* NULL: nothing */
	enum sheet_lists lists;
};

struct mapped_list {
	struct mapped *rows;
	size_t count, capacity;
};

static void add_mapped(
	struct package *package, struct mapped_list *list, const struct sheet *sheet, const struct element *map)
{
	list->rows = arena_grow(package->arena, list->rows, list->count, &list->capacity, sizeof *list->rows);
	list->rows[list->count++] = (struct mapped){.sheet = sheet,
		.map = map,
		.lists = map ? lists_named(element_attribute(map, "lists")) : LISTS_NOTHING};
}

/* A sheet for which the map has several is cut into blocks. */
static void map_sheet(struct package *package, struct mapped_list *list, const struct sheet *sheet)
{
	size_t maps_of_it;
	const struct element *only = only_map_of(package, sheet, &maps_of_it);
	const struct sheet **blocks;
	if (maps_of_it < 2 && !(only && element_attribute(only, "block"))) {
		add_mapped(package, list, sheet, only);
		return;
	}
	size_t count = blocks_find(package->arena, package->words, sheet, &blocks);
	for (size_t i = 0; i < count; i++)
		add_mapped(package, list, blocks[i], map_of(package, blocks[i]));
}

static void read_in_order(struct package *package, const struct mapped_list *list)
{
	static const enum sheet_lists order[] = {LISTS_EQUIPMENT, LISTS_STREAMS, LISTS_LINES, LISTS_NOZZLES,
		LISTS_VALVES, LISTS_RELIEF, LISTS_BASIS, LISTS_LABORATORY, LISTS_RESULTS};
	for (size_t k = 0; k < 2 * COUNT(order); k++)
		for (size_t i = 0; i < list->count; i++) {
			const struct mapped *one = &list->rows[i];
			/* what says what the items are, before what adds to them */
			bool first = one->map && element_child(one->map, "item");
			if (one->lists == order[k / 2] && first == (k % 2 == 0))
				read_sheet(package, one->sheet, one->map, one->lists);
		}
	for (size_t i = 0; i < list->count; i++)
		if (list->rows[i].lists == LISTS_NOTHING)
			rest_pass(package, list->rows[i].sheet, list->rows[i].map != NULL);
}

void package_read(struct package *package, const struct workbook *workbooks, size_t count)
{
	struct mapped_list list = {.count = 0};
	package->workbooks = workbooks;
	package->workbook_count = count;
	package_open_cases(package);
	package->words = words_with_case_letters(package->arena, package->words, map_case_letters(package));
	package_open_map(package);
	state_solvent(package);
	for (size_t i = 0; i < count; i++)
		for (size_t s = 0; s < workbooks[i].count; s++)
			map_sheet(package, &list, &workbooks[i].sheets[s]);
	read_in_order(package, &list);
	state_amine_of_map(package);
	progress_wipe();
	size_t dropped = draft_resolve(&package->draft, package->doubts);
	package->interpreted += dropped;
	package->arrived -= dropped < package->arrived ? dropped : package->arrived;
}
