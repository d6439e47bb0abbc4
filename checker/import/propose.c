#include "import/propose.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/blocks.h"
#include "import/draft.h"
#include "import/evidence.h"
#include "import/guess.h"
#include "import/propose_columns.h"

/* Does the text say no more than the letter: "A", "Case A"? */
static bool says_letter_alone(const struct proposing *all, const char *text, const char *letter)
{
	const char *folded = words_fold(all->arena, text), *last = strrchr(folded, ' ');
	last = last ? last + 1 : folded;
	return strcmp(last, letter) == 0 && strcmp(fields_case_letter(all->arena, text), letter) == 0;
}

/* "A" over a column stands before "Case A - summer" of another sheet: that is its title. */
static void name_in_full(struct proposing *all, const char *letter, const char *text, const char *id)
{
	for (size_t i = 0; i < all->named_count; i++) {
		struct proposed_case *one = &all->cases[i];
		if (!text_same(fields_case_letter(all->arena, one->title), letter) ||
			!says_letter_alone(all, one->title, letter) || says_letter_alone(all, text, letter))
			continue;
		one->id = id;
		one->title = propose_one_line(all->arena, text);
		one->written = arena_join(all->arena, one->title, "|", one->written, "");
	}
}

static void add_case(struct proposing *all, const char *text, struct place place, const char *cell)
{
	const char *legend = all->sheet ? evidence_legend(all->arena, all->sheet, text) : NULL,
		   *title = legend ? legend : text;
	const char *plain = legend ? arena_copy_span(all->arena, legend, strcspn(legend, "(")) : text;
	const char *id = fields_case(all->arena, plain);
	id = id ? id : fields_id(all->arena, plain);
	for (size_t i = 0; i < all->case_count; i++)
		if (strcmp(all->case_ids[i], id) == 0)
			return;
	const char *letter = fields_case_letter(all->arena, text);
	for (size_t i = 0; letter && i < all->case_count; i++)
		if (text_same(all->case_letters[i], letter)) {
			name_in_full(all, letter, text, id);
			return; /* it is named so elsewhere in full, or here */
		}
	if (!*id || fields_no_case(all->arena, text))
		return;
	size_t letters = all->case_capacity;
	all->case_letters =
		arena_grow(all->arena, all->case_letters, all->case_count, &letters, sizeof *all->case_letters);
	all->case_letters[all->case_count] = letter;
	all->case_ids =
		arena_grow(all->arena, all->case_ids, all->case_count, &all->case_capacity, sizeof *all->case_ids);
	all->case_ids[all->case_count++] = id;
	struct proposed_case one = {
		.id = id, .written = propose_one_line(all->arena, text), .title = propose_one_line(all->arena, title)};
	const char *folded = words_fold(all->arena, title);
	bool first = text_same(fields_case_word(all->arena, title), "normal") ||
		words_within(all->arena, folded, "base|base case") > 0;
	all->has_normal = all->has_normal || first;
	all->cases = arena_grow(all->arena, all->cases, all->named_count, &all->named_capacity, sizeof *all->cases);
	if (first && all->named_count) /* plain values of a description are those of its first case */
		memmove(all->cases + 1, all->cases, all->named_count * sizeof *all->cases);
	all->cases[first ? 0 : all->named_count] = one;
	all->named_count++;
	propose_guess(all, place, MEDIUM, cell,
		arena_format(all->arena, "'%s' is an operating case", propose_one_line(all->arena, text)));
}

/* "Turndown" over a column is "CASE 2: TURNDOWN 40 %" over a block, where just one case is called so in full. */
static void join_cases(struct proposing *all)
{
	for (size_t i = 0; i < all->named_count; i++) {
		struct proposed_case *bare = &all->cases[i], *whole = NULL;
		size_t found = 0;
		const char *word = fields_case_word(all->arena, bare->title);
		if (!word || !fields_case_is_bare(all->arena, bare->title))
			continue;
		for (size_t k = 0; k < all->named_count; k++) {
			struct proposed_case *other = &all->cases[k];
			bool same =
				k != i && !other->joined && text_same(fields_case_word(all->arena, other->title), word);
			found += same;
			whole = same ? other : whole;
		}
		if (found != 1)
			continue;
		whole->written = arena_join(all->arena, whole->written, "|", bare->written, "");
		bare->joined = true;
	}
}

static bool is_bare(const struct proposing *all, const struct proposed_case *one)
{
	return fields_case_is_bare(all->arena, one->title) &&
		!text_same(fields_case_word(all->arena, one->title), "normal");
}

/* What was before the revamp is not what the other sheets of the package are of. */
static bool is_before(const struct proposing *all, const struct proposed_case *one)
{
	return words_within(all->arena, words_fold(all->arena, one->title),
		"before|existing|present|vor umbau|bestand|pre revamp|avant revamp");
}

/* Those that are called in full first, as the first is that of plain values. */
static const char *cases_of(struct proposing *all)
{
	struct text out = text_in(all->arena);
	join_cases(all);
	for (size_t i = 0; i < 2 * all->named_count; i++) {
		const struct proposed_case *one = &all->cases[i % all->named_count];
		if (one->joined || (is_bare(all, one) || is_before(all, one)) != (i >= all->named_count))
			continue;
		text_add(&out, "\n  <case");
		propose_add(&out, "id", one->id);
		propose_add(&out, "written", one->written);
		propose_add(&out, "title", one->title);
		propose_add(&out, "confidence", "medium");
		text_add(&out, "/>");
	}
	return out.data;
}

/* Those of a heading that names several. */
static void add_cases(struct proposing *all, const struct table *table, const struct table_column *column)
{
	for (const char *at = column->cases; at;) {
		size_t length = strcspn(at, "/|");
		const char *one = arena_copy_span(all->arena, at, length);
		add_case(all, one + strspn(one, " "), table_place(table, table->head, column->at),
			table_cell_name(all->arena, table, table->head, column->at));
		at = at[length] ? at + length + 1 : NULL;
	}
}

/* The columns that name the case of their records. */
static bool *columns_of_cases(const struct proposing *all, const struct proposed *proposed, const struct table *table)
{
	bool *of_cases = arena_alloc(all->arena, (table->count + 1) * sizeof *of_cases);
	for (size_t k = 0; k < table->count && proposed->lists != LISTS_RELIEF; k++) {
		const char *known = table->columns[k].known_as;
		of_cases[k] =
			known && text_same(fields_find(all->arena, all->words, proposed->lists, known).name, "case");
	}
	return of_cases;
}

/* Cases that records name: in a column of theirs, or alone in a row above them. */
static void find_named_cases(struct proposing *all, const struct proposed *proposed, const struct table *table)
{
	const bool *of_cases = columns_of_cases(all, proposed, table);
	const char *last = "";
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *only = NULL, *named = NULL;
		size_t many = 0, where = 0, named_at = 0;
		for (size_t k = 0; k < table->count; k++) {
			const struct sheet_cell *cell = table_at(table, i, table->columns[k].at);
			if (cell->kind == SHEET_EMPTY)
				continue;
			if (of_cases[k] && !cell->hidden) {
				named = cell;
				named_at = table->columns[k].at;
			}
			many += !only || strcmp(only->text, cell->text) != 0;
			only = cell;
			where = table->columns[k].at;
		}
		if (named && many > 1 && strcmp(named->text, last) != 0)
			add_case(all, last = named->text, table_place(table, i, named_at),
				table_cell_name(all->arena, table, i, named_at));
		if (many == 1 && !table->turned && fields_case(all->arena, only->text))
			add_case(all, only->text, table_place(table, i, where),
				table_cell_name(all->arena, table, i, where));
	}
}

static void find_cases(struct proposing *all, const struct proposed *proposed, const struct table *table)
{
	bool of_case = false, plain = false;
	for (size_t k = 0; k < table->count; k++) {
		const struct table_column *column = &table->columns[k];
		struct field field = column->known_as
			? fields_find(all->arena, all->words, proposed->lists, column->known_as)
			: (struct field){.name = ""};
		of_case = of_case ||
			(column->known_as && column->of_case &&
				!text_has_word(words_case_letters(all->words), column->of_case));
		plain = plain ||
			(!column->of_case && text_has_word("temperature pressure flow", field.name ? field.name : ""));
	}
	all->needs_normal = all->needs_normal || (of_case && plain);
	for (size_t k = 0; k < table->count; k++) {
		const struct table_column *column = &table->columns[k];
		if (proposed->lists == LISTS_BASIS && column->known_as && fields_case(all->arena, column->known_as))
			add_case(all, column->known_as, table_place(table, table->head, column->at),
				table_cell_name(all->arena, table, table->head, column->at));
		if (column->known_as && column->cases)
			add_cases(all, table, column);
		if (column->known_as && column->of_case)
			add_case(all, column->of_case, table_place(table, table->head, column->at),
				table_cell_name(all->arena, table, table->head, column->at));
	}
	find_named_cases(all, proposed, table);
}

/* ---- items ---- */

static const char *text_under(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	size_t record, const char *name)
{
	const struct table_column *column = propose_column_of(all, proposed, table, name);
	return column ? table_at(table, record, column->at)->text : "";
}

/* Hydrocarbons, hydrogen or nitrogen in earnest, and no amine: a gas. */
static bool is_composed(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, size_t record)
{
	static const char *const gases[] = {"methane", "ethane", "propane", "hydrogen", "nitrogen"};
	enum { IN_EARNEST = 20 };
	double most = 0;
	if (guess_is_gas(all->arena, text_under(all, proposed, table, record, "phase")))
		return true;
	for (size_t i = 0; i < COUNT(gases); i++) {
		double value = strtod(text_under(all, proposed, table, record, gases[i]), NULL);
		most = value > most ? value : most;
	}
	return most > IN_EARNEST && strtod(text_under(all, proposed, table, record, "strength"), NULL) < 1;
}

/* Of a data sheet with a column for each item: the word over its tag, "Absorber" over "K-201", where nothing heads such words but what they are. */
static const char *name_before(
	struct arena *arena, const struct table *table, size_t record, const struct table_column *key)
{
	if (!table->turned || !key->at)
		return "";
	const struct sheet_cell *cell = table_at(table, record, key->at - 1);
	const struct sheet_cell *heading = table_at(table, table->head, key->at - 1);
	bool headed = heading->kind != SHEET_EMPTY &&
		!words_are_one_of(arena, words_fold(arena, heading->text),
			"item|equipment|apparatus|column|columns|vessel|apparat|apparate|kolonne|kolonnen|equipement|"
			"equipo|"
			"parameter|description");
	return cell->kind == SHEET_TEXT && !cell->merged && !headed ? cell->text : "";
}

static void add_item(struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct table *table, size_t record, const char **seen, size_t *count, size_t most)
{
	if (*count == most)
		return;
	const struct table_column *key = propose_column_of(all, proposed, table, "tag");
	const char *tag = key ? propose_one_line(all->arena, table_at(table, record, key->at)->text) : "",
		   *named = NULL;
	tag = guess_without_mark(all->arena, tag);
	if (proposed->lists == LISTS_EQUIPMENT)
		tag = guess_tag(all->arena, tag, &named);
	else if (all->numbered)
		tag = table_number(all->arena, tag, &named);
	for (size_t i = 0; i < *count; i++)
		if (strcmp(seen[i], tag) == 0)
			return;
	if (!*tag || *count == most || strcmp(tag, "-") == 0 || fields_sum_row(all->arena, tag))
		return;
	const struct table_column *names = propose_column_of_names(all, proposed, table);
	const char *name = names ? table_at(table, record, names->at)->text : "";
	name = !*name && named ? named : name;
	bool streams = proposed->lists == LISTS_STREAMS;
	if (!*name && !streams && key)
		name = name_before(all->arena, table, record, key);
	struct guess is = streams
		? guess_stream(all->arena, *name ? name : tag, is_composed(all, proposed, table, record))
		: guess_equipment(all->arena, tag, text_under(all, proposed, table, record, "class"), name);
	enum confidence confidence = is.by_name ? HIGH : LOW;
	if (streams ? guess_bound(all->arena, tag) != NULL : guess_is_measured(all->arena, name))
		return;
	if (!key || !is.element || (!streams && !strpbrk(tag, "0123456789")))
		return;
	seen[(*count)++] = tag;
	text_add(out, "\n    <item");
	propose_add(out, "written", tag);
	propose_add(out, "is", is.element);
	if (is.word)
		propose_add(out, "word", is.word);
	propose_add(out, "confidence", propose_word(confidence));
	text_add(out, "/>");
	propose_guess(all, table_place(table, record, key->at), confidence,
		table_cell_name(all->arena, table, record, key->at),
		arena_format(
			all->arena, "'%s' is a %s%s%s", tag, is.element, is.word ? ", " : "", is.word ? is.word : ""));
}

static void add_items(struct proposing *all, struct text *out, const struct proposed *proposed)
{
	enum { MOST = 2000 };
	const char **seen = arena_alloc(all->arena, MOST * sizeof *seen);
	size_t count = 0;
	if (proposed->lists != LISTS_EQUIPMENT && proposed->lists != LISTS_STREAMS)
		return;
	for (size_t t = 0; t < proposed->count; t++) {
		const struct table_column *key = propose_column_of(all, proposed, &proposed->tables[t], "tag");
		all->numbered = key && table_is_numbered(&proposed->tables[t], key->at);
		for (size_t i = proposed->tables[t].first; i < proposed->tables[t].last; i++)
			add_item(all, out, proposed, &proposed->tables[t], i, seen, &count, MOST);
	}
}

/* ---- sheets ---- */

/* The case that the name of the sheet, or a title above its table, names for all of it. */
static void add_sheet_case(
	struct proposing *all, struct text *out, const struct proposed *proposed, const struct sheet *sheet)
{
	const struct table *table = &proposed->tables[0];
	const char *text = fields_case(all->arena, sheet->name) ? sheet->name : NULL;
	for (size_t k = 0; k < table->count; k++)
		if (table->columns[k].of_case)
			return;
	if (propose_column_of(all, proposed, table, "case") || (proposed->lists != LISTS_STREAMS && !text))
		return;
	for (size_t i = 0; !table->turned && !text && i < table->head; i++)
		for (size_t k = 0; k < sheet->columns && !text; k++)
			if (fields_case(all->arena, sheet_at(sheet, i, k)->text))
				text = sheet_at(sheet, i, k)->text;
	if (!text)
		return;
	add_case(all, text, sheet_place(sheet, 0, 0), arena_join(all->arena, sheet->name, "!", "A1", ""));
	propose_add(out, "case", propose_one_line(all->arena, text));
}

static void add_sheet(struct proposing *all, const struct sheet *sheet)
{
	struct proposed proposed = listed_find(all->arena, all->words, sheet);
	struct text *out = &all->sheets;
	all->sheet = sheet;
	text_add(out, "\n  <sheet");
	propose_add(out, "name", propose_one_line(all->arena, sheet->name));
	propose_add(out, "lists", lists_name(proposed.lists));
	const char *name = sheet_cell_name(all->arena, sheet, 0, 0);
	if (sheet->origins)
		propose_add(out, "block", sheet_span(all->arena, sheet));
	if (proposed.lists == LISTS_NOTHING) {
		propose_add(out, "confidence", "low");
		text_add(out, "/>");
		propose_guess(all, sheet_place(sheet, 0, 0), LOW, name,
			"no table with headings of tags is found: the sheet is passed over");
		return;
	}
	struct cell_rules rules = evidence_rules(all->arena, all->whole, all->decimal);
	rules.words = all->words;
	propose_add(out, "records", proposed.tables[0].turned ? "columns" : "rows");
	propose_add(out, "document", propose_one_line(all->arena, evidence_document(all->arena, all->whole)));
	if (rules.decimal_comma)
		propose_add(out, "decimal", "comma");
	if (rules.thousands)
		propose_add(out, "thousands", rules.thousands == '.' ? "point" : "comma");
	if (rules.dates != DATES_UNDECIDED)
		propose_add(out, "dates", rules.dates == DAY_FIRST ? "day" : "month");
	add_sheet_case(all, out, &proposed, sheet);
	enum { SURE = 10 };
	propose_add(out, "confidence", proposed.score >= SURE ? "high" : "medium");
	text_add_char(out, '>');
	propose_guess(all, sheet_place(sheet, 0, 0), proposed.score >= SURE ? HIGH : MEDIUM, name,
		arena_format(all->arena, "it lists %s, one in a %s", lists_name(proposed.lists),
			proposed.tables[0].turned ? "column" : "row"));
	propose_columns(all, out, &proposed, sheet, &rules);
	for (size_t t = 0; t < proposed.count; t++)
		find_cases(all, &proposed, &proposed.tables[t]);
	add_items(all, out, &proposed);
	text_add(out, "\n  </sheet>");
}

static void add_blocks(struct proposing *all, const struct sheet *sheet)
{
	const struct sheet **blocks;
	size_t count = blocks_find(all->arena, all->words, sheet, &blocks);
	all->whole = sheet;
	for (size_t i = 0; i < count; i++)
		add_sheet(all, blocks[i]);
}

const char *propose_map(struct arena *arena, const struct vocabulary *unit, const struct workbook *workbooks,
	size_t count, struct problems *guesses)
{
	struct proposing all = {.arena = arena,
		.decimal = evidence_decimal(workbooks, count),
		.vocabulary = unit,
		.words = words_with_case_letters(
			arena, words_open(arena), evidence_case_letters(arena, workbooks, count)),
		.guesses = guesses,
		.sheets = text_in(arena)};
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < workbooks[i].count; k++)
			add_blocks(&all, &workbooks[i].sheets[k]);
	struct text out = text_in(arena);
	const char *amine = evidence_amine(arena, workbooks, count);
	text_add(&out,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- Proposed from headings and values: every line is a "
		"guess to be looked at, "
		"the low ones first. -->\n<map xmlns=\"urn:leanrich:map:1\" number=\"draft\" name=\"Draft from "
		"sheets\"");
	struct evidence_solvent solvent = evidence_solvent(arena, workbooks, count);
	if (amine)
		propose_add(&out, "amine", amine);
	if (amine && solvent.strength && strcmp(solvent.amine, amine) == 0) {
		propose_add(&out, "strength", solvent.strength);
		propose_add(&out, "strength-at", solvent.cell);
		if (solvent.activator)
			propose_add(&out, solvent.piperazine ? "activator" : "unnamed-activator", solvent.activator);
		propose_guess(&all, solvent.place, MEDIUM, solvent.cell,
			arena_format(arena, "the solvent is %s, %s%s%s%s", solvent.amine, solvent.strength,
				solvent.activator ? "; its activator, " : "",
				solvent.activator ? solvent.activator : "",
				!solvent.activator	     ? ""
					: solvent.piperazine ? ", is piperazine"
							     : ", is not named: it becomes a note"));
	}
	const char *normal = all.needs_normal && !all.has_normal
		? "\n  <case id=\"normal\" written=\"Normal\" title=\"Normal\" confidence=\"low\"/>"
		: "";
	text_addf(&out, ">%s%s%s\n</map>\n", normal, cases_of(&all), all.sheets.data);
	return out.data;
}
