#include "import/propose.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/draft.h"
#include "import/evidence.h"
#include "import/fields.h"
#include "import/guess.h"
#include "import/list_cell.h"
#include "import/table.h"

static const char *const confidences[] = {"low", "medium", "high"};
enum confidence { LOW, MEDIUM, HIGH };

struct proposing {
	struct arena *arena;
	const struct vocabulary *vocabulary;
	const struct words *words;
	struct problems *guesses;
	struct text cases, sheets;
	enum decimal_sign decimal;
	bool has_normal, needs_normal;	       /* a case for what is stated beside those of others */
	const char **case_ids, **case_letters; /* in step; NULL: a case without one */
	size_t case_count, case_capacity;
};

struct proposed {
	enum sheet_lists lists;
	struct table *tables;
	size_t count, score;
	bool key;
};

struct of_kind {
	const struct proposing *all;
	enum sheet_lists lists;
};

static bool is_key(const char *field)
{
	return strcmp(field, "tag") == 0 || strcmp(field, "date") == 0;
}

static bool knows(void *context, const char *heading, bool *key)
{
	const struct of_kind *kind = context;
	struct field field = fields_find(kind->all->arena, kind->all->words, kind->lists, heading);
	*key = field.name && is_key(field.name);
	return field.name != NULL;
}

/* ---- what a sheet lists ---- */

static size_t distinct_fields(const struct proposing *all, const struct proposed *proposed, bool *key)
{
	enum { MOST = 64 };
	const char *seen[MOST];
	size_t count = 0;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const char *heading = proposed->tables[t].columns[k].known_as;
			if (!heading)
				continue;
			struct field field = fields_find(all->arena, all->words, proposed->lists, heading);
			const char *name = arena_join(all->arena, field.name, field.of ? field.of : "", "", "");
			bool new = true;
			for (size_t i = 0; i < count && new; i++)
				new = strcmp(seen[i], name) != 0;
			*key = *key || is_key(field.name);
			if (new &&count < MOST)
				seen[count++] = name;
		}
	return count;
}

/* Lines have sizes or ends; what has neither is equipment. */
static bool is_of_lines(const struct proposing *all, const struct proposed *proposed)
{
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const char *heading = proposed->tables[t].columns[k].known_as;
			struct field field = heading ? fields_find(all->arena, all->words, proposed->lists, heading)
						     : (struct field){.name = NULL};
			if (field.name &&
				text_has_word("size schedule from to stream piping-class length bore", field.name))
				return true;
		}
	return false;
}

static const struct table_column *column_of(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, const char *name)
{
	for (size_t k = 0; k < table->count; k++) {
		const char *known = table->columns[k].known_as;
		if (known && text_same(fields_find(all->arena, all->words, proposed->lists, known).name, name))
			return &table->columns[k];
	}
	return NULL;
}

/* A list of results has a parameter, its value and a date in each row. */
static bool is_of_results(const struct proposing *all, const struct proposed *proposed)
{
	return proposed->count && column_of(all, proposed, &proposed->tables[0], "parameter") &&
		column_of(all, proposed, &proposed->tables[0], "value") &&
		column_of(all, proposed, &proposed->tables[0], "date");
}

static struct proposed propose_sheet(const struct proposing *all, const struct sheet *sheet)
{
	enum { RESULTS = 40 }; /* its few headings weigh more than the parameters that stand in a column */
	struct proposed best = {.lists = LISTS_NOTHING};
	for (int i = LISTS_LINES; i < LISTS_COUNT; i++) {
		struct proposed one = {.lists = (enum sheet_lists)i};
		struct of_kind kind = {.all = all, .lists = one.lists};
		const struct heading_reader reader = {.knows = knows, .context = &kind, .least = 2};
		one.count = tables_find(all->arena, all->words, sheet,
			one.lists == LISTS_RESULTS ? UPRIGHT : EITHER_WAY, &reader, &one.tables);
		one.score = 2 * distinct_fields(all, &one, &one.key);
		one.score = one.key && one.score ? one.score + evidence_of_name(all->arena, one.lists, sheet->name) : 0;
		if (one.lists == LISTS_LINES && one.score && !is_of_lines(all, &one))
			one.score = 1;
		if (one.lists == LISTS_RESULTS && one.score)
			one.score = is_of_results(all, &one) ? one.score + RESULTS : 0;
		if (one.score > best.score)
			best = one;
	}
	return best;
}

/* ---- columns ---- */

static const struct vocabulary_type *type_of(
	const struct proposing *all, enum sheet_lists lists, const char *field, const char *of)
{
	static const char *const first[] = {
		"", "line", "stream", "exchanger", "nozzle", "relief-valve", "dated-analysis", ""};
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
			     "discharges-to h2s co2 water sized-for parameter value unit sign sample size-schedule casing-impeller",
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

static void add(struct text *out, const char *name, const char *value)
{
	text_addf(out, " %s=\"", name);
	draft_escape(out, value, false);
	text_add_char(out, '"');
}

static const char *one_line(struct arena *arena, const char *text)
{
	char *copy = arena_copy(arena, text);
	for (char *c = copy; *c; c++)
		*c = *c == '|' || *c == '\n' || *c == '\r' || *c == '\t' ? ' ' : *c;
	return copy;
}

/* The words of a column of choices that a description calls otherwise. */
static void add_words(const struct proposing *all, struct text *out, const struct table *table,
	const struct table_column *column, const struct vocabulary_type *type)
{
	enum { MOST = 60 };
	const char *seen[MOST];
	size_t count = 0;
	for (size_t i = table->first; i < table->last && count < MOST; i++) {
		const char *text = table_at(table, i, column->at)->text;
		const char *meaning = *text ? list_cell_meaning(all->arena, text, type->name) : NULL;
		bool new = meaning &&vocabulary_choice(type, meaning) && !vocabulary_choice(type, text);
		for (size_t k = 0; k < count && new; k++)
			new = strcmp(seen[k], text) != 0;
		if (!new)
			continue;
		seen[count++] = text;
		text_add(out, "\n      <word");
		add(out, "written", one_line(all->arena, text));
		add(out, "means", meaning);
		text_add(out, "/>");
	}
}

static void guess(
	const struct proposing *all, struct place place, enum confidence confidence, const char *cell, const char *what)
{
	problem_add(all->guesses, PROBLEM_CELL_INTERPRETED, place, "%s: %s (%s)", cell, what, confidences[confidence]);
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

static struct column_guess judge(const struct proposing *all, const struct proposed *proposed,
	const struct table *table, const struct table_column *column, struct cell_rules rules,
	const struct sheet *sheet)
{
	enum { MOST_READ = 90, HALF = 50 };
	struct column_guess out = {.field = fields_find(all->arena, all->words, proposed->lists, column->known_as),
		.unit = column->unit,
		.confidence = HIGH};
	out.unit = out.unit ? out.unit : out.field.unit;
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
	if (!type)
		return out;
	if (proposed->lists == LISTS_LINES && strcmp(out.field.name, "flange-class") == 0 &&
		are_piping_classes(table, column)) {
		out.field.name = "piping-class";
		return out;
	}
	rules.unit = out.unit;
	size_t read = readable(all, table, column, type, &rules);
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
			const char *place = proposed->tables[t].turned ? arena_format(all->arena, "%zu", column->at + 1)
								       : sheet_column_name(all->arena, column->at);
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
	add(out, "heading", one_line(arena, column->known_as));
	add(out, "field", said->field.name);
	if (said->field.of)
		add(out, "of", said->field.of);
	if (said->unit)
		add(out, "unit", said->unit);
	add(out, "at", places(all, proposed, column->known_as));
	add(out, "confidence", confidences[said->confidence]);
	struct text words = text_in(arena);
	if (type && type->choice_count)
		add_words(all, &words, table, column, type);
	else if (strcmp(said->field.name, "name") == 0 && proposed->lists == LISTS_RELIEF)
		add_words(all, &words, table, column, type_of(all, LISTS_RELIEF, "sized-for", NULL));
	text_addf(out, words.length ? ">%s\n    </column>" : "/>", words.data);
	guess(all, table_place(table, table->head, column->at), said->confidence,
		table_cell_name(arena, table, table->head, column->at),
		arena_format(arena, "'%s' gives %s%s%s%s%s", one_line(arena, column->known_as), said->field.name,
			said->field.of ? " of " : "", said->field.of ? said->field.of : "", said->unit ? " in " : "",
			said->unit ? said->unit : ""));
}

/* Of two columns that give one value of one case in one unit, which holds is not ours to choose: the second is not proposed. */
static bool is_second(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, size_t at)
{
	static const char several[] = "flow remark case name";
	const struct table_column *column = &table->columns[at];
	struct field field = fields_find(all->arena, all->words, proposed->lists, column->known_as);
	if (text_has_word(several, field.name))
		return false;
	for (size_t i = 0; i < at; i++) {
		const struct table_column *other = &table->columns[i];
		if (!other->known_as || !text_same(other->unit, column->unit) ||
			!text_same(other->of_case, column->of_case))
			continue;
		struct field first = fields_find(all->arena, all->words, proposed->lists, other->known_as);
		if (text_same(first.name, field.name) && text_same(first.of, field.of))
			return true;
	}
	return false;
}

static void add_case(struct proposing *all, const char *text, struct place place, const char *cell)
{
	const char *id = fields_case(all->arena, text);
	id = id ? id : fields_id(all->arena, text);
	for (size_t i = 0; i < all->case_count; i++)
		if (strcmp(all->case_ids[i], id) == 0)
			return;
	const char *letter = fields_case_letter(all->arena, text);
	for (size_t i = 0; letter && i < all->case_count; i++)
		if (text_same(all->case_letters[i], letter))
			return; /* it is named so elsewhere in full, or here */
	if (!*id || fields_no_case(all->arena, text))
		return;
	size_t letters = all->case_capacity;
	all->case_letters =
		arena_grow(all->arena, all->case_letters, all->case_count, &letters, sizeof *all->case_letters);
	all->case_letters[all->case_count] = letter;
	all->case_ids =
		arena_grow(all->arena, all->case_ids, all->case_count, &all->case_capacity, sizeof *all->case_ids);
	all->case_ids[all->case_count++] = id;
	struct text one = text_in(all->arena);
	text_add(&one, "\n  <case");
	add(&one, "id", id);
	add(&one, "written", one_line(all->arena, text));
	add(&one, "title", one_line(all->arena, text));
	add(&one, "confidence", "medium");
	text_add(&one, "/>");
	bool first = words_within(all->arena, words_fold(all->arena, text),
			     "normal|base|normalbetrieb|normale|normalfall") > 0;
	all->has_normal = all->has_normal || first;
	if (first) { /* plain values of a description are those of its first case */
		text_add(&one, all->cases.data);
		all->cases = one;
	} else {
		text_add(&all->cases, one.data);
	}
	guess(all, place, MEDIUM, cell,
		arena_format(all->arena, "'%s' is an operating case", one_line(all->arena, text)));
}

static void find_cases(struct proposing *all, const struct proposed *proposed, const struct table *table)
{
	bool of_case = false, plain = false;
	for (size_t k = 0; k < table->count; k++) {
		const struct table_column *column = &table->columns[k];
		struct field field = column->known_as
			? fields_find(all->arena, all->words, proposed->lists, column->known_as)
			: (struct field){.name = ""};
		of_case = of_case || (column->known_as && column->of_case);
		plain = plain ||
			(!column->of_case && text_has_word("temperature pressure flow", field.name ? field.name : ""));
	}
	all->needs_normal = all->needs_normal || (of_case && plain);
	for (size_t k = 0; k < table->count; k++) {
		const struct table_column *column = &table->columns[k];
		if (column->known_as && column->of_case)
			add_case(all, column->of_case, table_place(table, table->head, column->at),
				table_cell_name(all->arena, table, table->head, column->at));
	}
	for (size_t i = table->first; i < table->last; i++) {
		const struct sheet_cell *only = NULL, *named = NULL;
		size_t many = 0, where = 0, named_at = 0;
		for (size_t k = 0; k < table->count; k++) {
			const struct sheet_cell *cell = table_at(table, i, table->columns[k].at);
			const char *known = table->columns[k].known_as;
			struct field field = known ? fields_find(all->arena, all->words, proposed->lists, known)
						   : (struct field){.name = ""};
			if (cell->kind == SHEET_EMPTY)
				continue;
			if (known && strcmp(field.name, "case") == 0 && proposed->lists != LISTS_RELIEF) {
				named = cell;
				named_at = table->columns[k].at;
			}
			many += !only || strcmp(only->text, cell->text) != 0;
			only = cell;
			where = table->columns[k].at;
		}
		if (named && many > 1)
			add_case(all, named->text, table_place(table, i, named_at),
				table_cell_name(all->arena, table, i, named_at));
		if (many == 1 && !table->turned && fields_case(all->arena, only->text))
			add_case(all, only->text, table_place(table, i, where),
				table_cell_name(all->arena, table, i, where));
	}
}

/* ---- items ---- */

static const char *text_under(const struct proposing *all, const struct proposed *proposed, const struct table *table,
	size_t record, const char *name)
{
	const struct table_column *column = column_of(all, proposed, table, name);
	return column ? table_at(table, record, column->at)->text : "";
}

/* Hydrocarbons, hydrogen or nitrogen in earnest, and no amine: a gas. */
static bool is_composed(
	const struct proposing *all, const struct proposed *proposed, const struct table *table, size_t record)
{
	static const char *const gases[] = {"methane", "ethane", "propane", "hydrogen", "nitrogen"};
	enum { IN_EARNEST = 20 };
	double most = 0;
	for (size_t i = 0; i < COUNT(gases); i++) {
		double value = strtod(text_under(all, proposed, table, record, gases[i]), NULL);
		most = value > most ? value : most;
	}
	return most > IN_EARNEST && strtod(text_under(all, proposed, table, record, "strength"), NULL) < 1;
}

static void add_item(struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct table *table, size_t record, const char **seen, size_t *count, size_t most)
{
	const struct table_column *key = column_of(all, proposed, table, "tag");
	const char *tag = key ? one_line(all->arena, table_at(table, record, key->at)->text) : "", *named = NULL;
	if (proposed->lists == LISTS_EQUIPMENT)
		tag = guess_tag(all->arena, tag, &named);
	for (size_t i = 0; i < *count; i++)
		if (strcmp(seen[i], tag) == 0)
			return;
	if (!*tag || *count == most || strcmp(tag, "-") == 0)
		return;
	const char *name = text_under(all, proposed, table, record, "name");
	name = !*name && named ? named : name;
	bool streams = proposed->lists == LISTS_STREAMS;
	struct guess is = streams
		? guess_stream(all->arena, *name ? name : tag, is_composed(all, proposed, table, record))
		: guess_equipment(all->arena, tag, text_under(all, proposed, table, record, "class"), name);
	enum confidence confidence = is.by_name ? HIGH : LOW;
	if (!is.element || (!streams && !strpbrk(tag, "0123456789")))
		return;
	seen[(*count)++] = tag;
	text_add(out, "\n    <item");
	add(out, "written", tag);
	add(out, "is", is.element);
	if (is.word)
		add(out, "word", is.word);
	add(out, "confidence", confidences[confidence]);
	text_add(out, "/>");
	guess(all, table_place(table, record, key->at), confidence, table_cell_name(all->arena, table, record, key->at),
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
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t i = proposed->tables[t].first; i < proposed->tables[t].last; i++)
			add_item(all, out, proposed, &proposed->tables[t], i, seen, &count, MOST);
}

/* ---- sheets ---- */

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

/* What no attribute is known for, in a list of items: kept as notes. */
static void add_unknown(struct proposing *all, struct text *out, const struct proposed *proposed, const char **seen,
	size_t *count, size_t most)
{
	if (!text_has_word("lines streams equipment nozzles relief laboratory results", lists_name(proposed->lists)))
		return;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const struct table *table = &proposed->tables[t];
			const struct table_column *column = &table->columns[k];
			const char *folded = words_fold(all->arena, column->heading);
			bool sum = words_are_one_of(
				all->arena, folded, "total|sum|summe|check sum|checksum|gesamt|totals");
			bool second = column->known_as && is_second(all, proposed, table, k);
			bool new = (!column->known_as || second) &&*folded && !sum &&*count < most;
			for (size_t i = 0; i < *count && new; i++)
				new = strcmp(seen[i], folded) != 0;
			if (!new)
				continue;
			seen[(*count)++] = folded;
			bool stands = proposed->lists == LISTS_EQUIPMENT && are_orientations(all, table, column);
			text_add(out, "\n    <column");
			add(out, "heading", one_line(all->arena, column->heading));
			add(out, "field", stands ? "orientation" : "note");
			add(out, "confidence", "low");
			text_add(out, "/>");
			guess(all, table_place(table, table->head, column->at), LOW,
				table_cell_name(all->arena, table, table->head, column->at),
				arena_format(all->arena,
					stands ? "'%s' gives orientation" : "'%s' has no attribute: its cells become notes",
					one_line(all->arena, column->heading)));
		}
}

static void add_columns(struct proposing *all, struct text *out, const struct proposed *proposed,
	const struct sheet *sheet, const struct cell_rules *rules)
{
	enum { MOST = 400 };
	const char **seen = arena_alloc(all->arena, MOST * sizeof *seen);
	size_t count = 0;
	for (size_t t = 0; t < proposed->count; t++)
		for (size_t k = 0; k < proposed->tables[t].count; k++) {
			const struct table *table = &proposed->tables[t];
			const struct table_column *column = &table->columns[k];
			bool new = column->known_as &&count < MOST && !is_second(all, proposed, table, k);
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

/* The case that the name of the sheet, or a title above its table, names for all of it. */
static void add_sheet_case(
	struct proposing *all, struct text *out, const struct proposed *proposed, const struct sheet *sheet)
{
	const struct table *table = &proposed->tables[0];
	const char *text = fields_case(all->arena, sheet->name) ? sheet->name : NULL;
	for (size_t k = 0; k < table->count; k++)
		if (table->columns[k].of_case)
			return;
	if (column_of(all, proposed, table, "case") || (proposed->lists != LISTS_STREAMS && !text))
		return;
	for (size_t i = 0; !table->turned && !text && i < table->head; i++)
		for (size_t k = 0; k < sheet->columns && !text; k++)
			if (fields_case(all->arena, sheet_at(sheet, i, k)->text))
				text = sheet_at(sheet, i, k)->text;
	if (!text)
		return;
	add_case(all, text, sheet_place(sheet, 0, 0), arena_join(all->arena, sheet->name, "!", "A1", ""));
	add(out, "case", one_line(all->arena, text));
}

static void add_sheet(struct proposing *all, const struct sheet *sheet)
{
	struct proposed proposed = propose_sheet(all, sheet);
	struct text *out = &all->sheets;
	text_add(out, "\n  <sheet");
	add(out, "name", one_line(all->arena, sheet->name));
	add(out, "lists", lists_name(proposed.lists));
	const char *name = arena_join(all->arena, sheet->name, "!", "A1", "");
	if (proposed.lists == LISTS_NOTHING) {
		add(out, "confidence", "low");
		text_add(out, "/>");
		guess(all, sheet_place(sheet, 0, 0), LOW, name,
			"no table with headings of tags is found: the sheet is passed over");
		return;
	}
	struct cell_rules rules = evidence_rules(all->arena, sheet, all->decimal);
	rules.words = all->words;
	add(out, "records", proposed.tables[0].turned ? "columns" : "rows");
	add(out, "document", one_line(all->arena, evidence_document(all->arena, sheet)));
	if (rules.decimal_comma)
		add(out, "decimal", "comma");
	if (rules.thousands)
		add(out, "thousands", rules.thousands == '.' ? "point" : "comma");
	if (rules.dates != DATES_UNDECIDED)
		add(out, "dates", rules.dates == DAY_FIRST ? "day" : "month");
	add_sheet_case(all, out, &proposed, sheet);
	enum { SURE = 10 };
	add(out, "confidence", proposed.score >= SURE ? "high" : "medium");
	text_add_char(out, '>');
	guess(all, sheet_place(sheet, 0, 0), proposed.score >= SURE ? HIGH : MEDIUM, name,
		arena_format(all->arena, "it lists %s, one in a %s", lists_name(proposed.lists),
			proposed.tables[0].turned ? "column" : "row"));
	add_columns(all, out, &proposed, sheet, &rules);
	for (size_t t = 0; t < proposed.count; t++)
		find_cases(all, &proposed, &proposed.tables[t]);
	add_items(all, out, &proposed);
	text_add(out, "\n  </sheet>");
}

const char *propose_map(struct arena *arena, const struct vocabulary *unit, const struct workbook *workbooks,
	size_t count, struct problems *guesses)
{
	struct proposing all = {.arena = arena,
		.decimal = evidence_decimal(workbooks, count),
		.vocabulary = unit,
		.words = words_open(arena),
		.guesses = guesses,
		.cases = text_in(arena),
		.sheets = text_in(arena)};
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < workbooks[i].count; k++)
			add_sheet(&all, &workbooks[i].sheets[k]);
	struct text out = text_in(arena);
	const char *amine = evidence_amine(arena, workbooks, count);
	text_add(&out,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- Proposed from headings and values: every line is a "
		"guess to be looked at, "
		"the low ones first. -->\n<map xmlns=\"urn:leanrich:map:1\" number=\"draft\" name=\"Draft from "
		"sheets\"");
	struct evidence_solvent solvent = evidence_solvent(arena, workbooks, count);
	if (amine)
		add(&out, "amine", amine);
	if (amine && solvent.strength && strcmp(solvent.amine, amine) == 0) {
		add(&out, "strength", solvent.strength);
		add(&out, "strength-at", solvent.cell);
		guess(&all, solvent.place, MEDIUM, solvent.cell,
			arena_format(arena, "the solvent is %s, %s", solvent.amine, solvent.strength));
	}
	const char *normal = all.needs_normal && !all.has_normal
		? "\n  <case id=\"normal\" written=\"Normal\" title=\"Normal\" confidence=\"low\"/>"
		: "";
	text_addf(&out, ">%s%s%s\n</map>\n", normal, all.cases.data, all.sheets.data);
	return out.data;
}
