#include "import/basis.h"

#include <string.h>

#include "base/count.h"
#include "import/guess.h"
#include "import/records.h"

/* What a parameter is of, where its words as a whole say it. Common practice, no source. */
static const struct {
	const char *subject, *field, *written;
} wholes[] = {{"solvent", "amine",
		      "solvent|amine|amine type|type of amine|solvent "
		      "type|losungsmittel|waschmittel|solution|solvant|solvente"},
	{"solvent", "strength",
		"amine strength|amine concentration|amine content|solvent strength|solvent concentration|solution "
		"strength|amine "
		"solution strength|"
		"aminkonzentration|amingehalt|losungskonzentration|concentration d amine|concentracion de amina"},
	{"lean", "flow",
		"lean circulation|lean amine circulation|lean solution circulation|lean amine circulation rate|"
		"lean circulation rate|lean solvent circulation|umlauf|magerlosungsumlauf|debit de circulation|"
		"circulation|circulation rate|amine circulation|solvent circulation|amine circulation rate|solvent "
		"circulation rate|"
		"solution circulation|solution circulation rate|aminumlauf|losungsumlauf|umlaufmenge"},
	{"basis", "water-temperature",
		"cooling water supply|cw supply|cooling water supply temperature|cooling water inlet temperature|cw "
		"supply temperature|cooling water "
		"supply temp|"
		"kuhlwasser vorlauftemperatur|kuhlwassereintrittstemperatur|kuhlwasservorlauftemperatur"},
	{"basis", "air-temperature",
		"air design temperature|design air temperature|design dry bulb temperature|air cooler design "
		"temperature|"
		"design temperature of air|auslegungslufttemperatur|luftkuhler auslegungstemperatur luft|"
		"auslegungstemperatur luft|design ambient temperature for air coolers"},
	{"basis", "barometric-pressure",
		"barometric pressure|atmospheric pressure|luftdruck|barometerstand|barometer|pression "
		"atmospherique|presion atmosferica"},
	{"basis", "design-life",
		"plant life|plant design life|design life|design lifetime|lebensdauer|auslegungslebensdauer"},
	{"solvent", "salts",
		"heat stable salts|heat stable salt|heat stable salt content|hss|hss content|heat stable amine "
		"salts|hsas|hssas|hitzestabile salze|sels thermostables|sales termoestables"},
	{"regenerator", "top-pressure",
		"regenerator top pressure|regenerator overhead pressure|stripper top pressure|stripper overhead "
		"pressure|regeneratorkopfdruck|regenerator kopfdruck|kopfdruck regenerator"},
	{"regenerator", "top-temperature",
		"regenerator top temperature|regenerator overhead temperature|stripper top temperature|stripper "
		"overhead temperature|regenerator kopftemperatur"},
	{"regenerator", "bottom-temperature",
		"regenerator bottom temperature|regenerator bottoms temperature|stripper bottom "
		"temperature|regenerator "
		"sumpftemperatur"},
	{"regenerator", "bottom-pressure",
		"regenerator bottom pressure|stripper bottom pressure|regenerator sumpfdruck"},
	{"reboiler", "duty",
		"reboiler duty|regenerator reboiler duty|aufkocherleistung|verdampferleistung|leistung "
		"verdampfer|leistung "
		"aufkocher"},
	{"reboiler", "steam-pressure", "reboiler steam pressure|steam pressure at reboiler|steam pressure to reboiler"},
	{"reboiler", "steam-temperature", "reboiler steam temperature"}};

/* Words that say nothing of which parameter it is. */
static const char joining[] =
	"in|of|im|der|des|du|de|del|to|the|at|total|content|concentration|gehalt|teneur|contenido|inlet";

static const char *without_joining(struct arena *arena, const char *folded)
{
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (!words_are_one_of(arena, arena_copy_span(arena, at, length), joining))
			text_addf(&out, "%s%.*s", out.length ? " " : "", (int)length, at);
		at += length;
	}
	return out.data;
}

static const char *subject_named(struct arena *arena, const char *words)
{
	const struct guess guess = guess_stream(arena, words, false);
	if (!guess.by_name || !guess.word)
		return NULL;
	if (strcmp(guess.element, "gas") == 0)
		return text_has_word("feed treated", guess.word) ? guess.word : NULL;
	return text_has_word("lean rich", guess.word) ? guess.word : NULL;
}

static const char *field_named(struct arena *arena, const struct words *words, const char *rest)
{
	static const char known[] =
		"flow temperature pressure loading strength h2s co2 methane ethane propane isobutane butane "
		"isopentane pentane hexane nitrogen hydrogen cos mercaptans o2 nh3 water";
	if (!*rest)
		return NULL;
	const struct field field = fields_find(arena, words, LISTS_STREAMS, rest);
	return field.name && field.exact && text_has_word(known, field.name) ? field.name : NULL;
}

/* Words that stand with the name of a stream and narrow it to nothing. */
static bool is_neutral(struct arena *arena, const char *word)
{
	return words_are_one_of(
		arena, word, "gas|amine|amin|solution|solvent|losung|mdea|dea|mea|dga|dipa|stream|gases|des|der|the");
}

enum { MOST_WORDS = 10 };

/* A parameter by its words, and what stream or gas each run of them names: from one word to another, that one excluded. */
struct parameter_words {
	const char *at[MOST_WORDS + 1];
	size_t count;
	const char *subject[MOST_WORDS][MOST_WORDS + 1];
};

static struct parameter_words words_of(struct arena *arena, const char *folded)
{
	struct parameter_words all = {.count = 0};
	for (const char *c = folded; *c && all.count < MOST_WORDS; c += strspn(c, " ")) {
		all.at[all.count++] = c;
		c += strcspn(c, " ");
	}
	all.at[all.count] = folded + strlen(folded);
	for (size_t i = 0; i < all.count; i++)
		for (size_t k = i + 1; k <= all.count; k++)
			all.subject[i][k] = subject_named(
				arena, arena_copy_span(arena, all.at[i], (size_t)(all.at[k] - all.at[i])));
	return all;
}

/* Do the words name the stream, and no fewer of them do? */
static bool names_at_least(const struct parameter_words *all, size_t first, size_t last, const char *subject)
{
	for (size_t i = first; i < last; i++)
		for (size_t k = i + 1; k <= last; k++) {
			bool whole = i == first && k == last;
			if (text_same(all->subject[i][k], subject) != whole)
				return false;
		}
	return true;
}

/* The words name the stream and say no more of it: each is of a name of it, or narrows nothing. */
static const char *subject_alone(struct arena *arena, const struct parameter_words *all, size_t first, size_t last)
{
	bool of_name[MOST_WORDS] = {false};
	const char *subject = all->subject[first][last];
	for (size_t i = first; i < last && subject; i++)
		for (size_t k = i + 1; k <= last; k++)
			for (size_t w = i; w < k && names_at_least(all, i, k, subject); w++)
				of_name[w] = true;
	for (size_t i = first; i < last && subject; i++)
		if (!of_name[i] && !is_neutral(arena, arena_copy_span(arena, all->at[i], strcspn(all->at[i], " "))))
			return NULL;
	return subject;
}

/* "H2S in feed gas", "Lean amine flow": some words of it name a stream, and what is left a property of that. */
static struct basis_parameter value_named(struct arena *arena, const struct words *words, const char *folded)
{
	for (size_t i = 0; i < COUNT(wholes); i++)
		if (words_are_one_of(arena, folded, wholes[i].written))
			return (struct basis_parameter){.subject = wholes[i].subject, .field = wholes[i].field};
	const struct parameter_words all = words_of(arena, folded);
	for (size_t length = all.count; length > 0; length--)
		for (size_t first = 0; first + length <= all.count; first++) {
			const char *subject = subject_alone(arena, &all, first, first + length);
			if (!subject)
				continue;
			const char *rest =
				arena_join(arena, arena_copy_span(arena, folded, (size_t)(all.at[first] - folded)), " ",
					all.at[first + length], "");
			const char *field = field_named(arena, words, without_joining(arena, rest));
			if (field && !subject_named(arena, rest)) /* of one stream */
				return (struct basis_parameter){.subject = subject, .field = field};
		}
	return (struct basis_parameter){.subject = NULL};
}

/* What a limit is put on; of anything else a highest value is that of some case. */
static bool can_be_limited(struct basis_parameter of)
{
	if (!of.subject)
		return false;
	if (strcmp(of.subject, "treated") == 0)
		return text_has_word("h2s co2 cos mercaptans", of.field);
	return text_has_word("solvent lean rich", of.subject) && text_has_word("loading salts", of.field);
}

/* "rohgasdruck", "restbeladung": the property at the end of a German compound as a word of its own; "rest" says no more. */
static const char *compounds_apart(struct arena *arena, const char *folded)
{
	static const char *const properties[] = {"temperatur", "druck", "menge", "durchsatz", "beladung", "strom"};
	static const char *const gases[] = {"rohgas", "reingas", "sauergas", "feedgas", "produktgas", "magerlosung",
		"reichlosung", "magerlosungs", "reichlosungs", "rest"};
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length);
		text_add(&out, out.length ? " " : "");
		at += length;
		const char *first = word, *second = NULL;
		for (size_t i = 0; i < COUNT(gases) && !second; i++)
			for (size_t k = 0; k < COUNT(properties) && !second; k++) {
				size_t long_first = strlen(gases[i]);
				if (strncmp(word, gases[i], long_first) == 0 &&
					strcmp(word + long_first, properties[k]) == 0) {
					first = strcmp(gases[i], "rest") == 0 ? "" : gases[i];
					second = properties[k];
				}
			}
		text_addf(&out, "%s%s%s", first, second && *first ? " " : "", second ? second : "");
	}
	return out.data;
}

struct basis_parameter basis_parameter(struct arena *arena, const struct words *words, const char *text)
{
	static const char most[] =
		"max|maximum|at most|not to exceed|maximal|hochstens|hochstwert|grenzwert|obergrenze",
			  least[] = "min|minimum|at least|mindestens",
			  held[] = "limit|spec|specification|spezifikation|design|"
				   "allowable|guarantee|guaranteed|garantie";
	const char *folded = compounds_apart(arena, words_fold(arena, text));
	if (strchr(text, '+')) /* "C3+": all that is heavier, too */
		return (struct basis_parameter){.subject = NULL};
	struct basis_parameter found = value_named(arena, words, folded);
	if (found.subject)
		return found;
	struct text rest = text_in(arena);
	bool highest = words_within(arena, folded, most), lowest = words_within(arena, folded, least);
	bool is_limit = words_within(arena, folded, held);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		const char *word = arena_copy_span(arena, at, strcspn(at, " "));
		if (!words_are_one_of(arena, word, most) && !words_are_one_of(arena, word, least) &&
			!words_are_one_of(arena, word, held))
			text_addf(&rest, "%s%s", rest.length ? " " : "", word);
		at += strlen(word);
	}
	if ((!highest && !lowest && !is_limit) || (highest && lowest) || !rest.length)
		return (struct basis_parameter){.subject = NULL};
	found = value_named(arena, words, rest.data);
	bool treated = text_same(found.subject, "treated");
	if (!can_be_limited(found) || (!highest && !lowest && !treated) || (lowest && treated))
		return (struct basis_parameter){.subject = NULL};
	found.limit = lowest ? "at-least" : "at-most";
	if (treated)
		found.limit = NULL; /* the specification is one */
	return found;
}

/* ---- into the draft ---- */

/* The one item of that kind whose attribute has the word; `*several`: there are more. */
static struct draft_item *only(
	const struct draft *draft, const char *element, const char *attribute, const char *word, bool *several)
{
	struct draft_item *found = NULL;
	*several = false;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *item = draft->items[i];
		bool is = strcmp(item->element->name, element) == 0 && !attribute;
		for (size_t k = 0; attribute && k < item->count && strcmp(item->element->name, element) == 0; k++)
			is = is ||
				(strcmp(item->values[k].attribute, attribute) == 0 &&
					strcmp(item->values[k].value, word) == 0);
		*several = *several || (is && found);
		found = is ? item : found;
	}
	return found;
}

/* The gas or stream that the subject names, made where the sheets have none; NULL: they have several. */
static struct draft_item *flowing(struct record *record, const struct field_column *column, struct basis_parameter of)
{
	static const char alike[] = "flow loading strength h2s co2"; /* in all that is called so, or nearly */
	const char *subject = of.subject;
	bool gas = text_has_word("feed treated", subject), several;
	const char *element = gas ? "gas" : "stream", *attribute = gas ? "role" : "service";
	struct draft_item *item = only(record_draft(record), element, attribute, subject, &several);
	if (item || several)
		return !several						   ? item
			: of.at_absorber || text_has_word(alike, of.field) ? record_at_absorber(record, subject)
									   : NULL;
	const char *id = arena_join(record_arena(record), subject, gas ? " gas" : " amine", "", "");
	item = draft_item(record_draft(record), NULL, element, "id", id, id);
	struct field_column of_all = *column;
	of_all.of_case = NULL;
	const char *of_record = record->of_case;
	record->of_case = NULL;
	record_state_value(record, &of_all, item, attribute, subject);
	record->of_case = of_record;
	return item;
}

/* Where a description has it: `*attribute` may become another. NULL: nowhere, or in several places. */
static struct draft_item *place_of(
	struct record *record, const struct field_column *column, struct basis_parameter of, const char **why)
{
	struct draft *draft = record_draft(record);
	bool several;
	*why = "the sheets have several of that";
	if (text_has_word("solvent basis", of.subject))
		return draft_item(draft, NULL, of.subject, NULL, NULL, of.subject);
	if (of.tag) {
		struct draft_item *item = draft_find(draft, of.tag);
		bool has = item && vocabulary_attribute(item->element, of.field) && !item->parent;
		*why = item ? "the item has no such value in a description" : "no sheet describes the item";
		return has ? item : NULL;
	}
	if (vocabulary_child(draft->unit, of.subject)) {
		struct draft_item *item = only(draft, of.subject, NULL, NULL, &several);
		*why = "there is no such item, or more than one";
		return several ? NULL : item;
	}
	struct draft_item *item = flowing(record, column, of);
	if (!item || strcmp(of.subject, "treated") != 0 || !text_has_word("h2s co2 cos mercaptans", of.field))
		return item;
	struct draft_item *limits = draft_item(draft, NULL, "specification", NULL, NULL, "specification");
	struct field_column of_all = *column;
	of_all.of_case = NULL;
	if (!limits->count)
		record_state_value(record, &of_all, limits, "gas", item->key);
	return limits;
}

/* "per train", "max", "future": a figure that is not that of the whole in the case at hand. */
static bool is_narrowed(const struct record *record, struct basis_parameter of)
{
	static const char part
		[] = "per train|each|per unit|je strang|par train|por tren|per absorber|je",
	    other[] = "maximum|max|minimum|min|future|design|start of run|end of run|turndown|peak|hold|tbc|estimated|"
		      "preliminary|excluding|without|dry|ohne";
	struct arena *arena = record_arena(record);
	const char *remark = record_text(record, "remark");
	const char *folded = remark ? words_fold(arena, remark) : "";
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
	struct draft_item *solvent = draft_item(record_draft(record), NULL, "solvent", NULL, NULL, "solvent");
	record_state_value(record, column, solvent, "amine", amine);
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
	const struct draft_item *on = solution ? NULL : place_of(record, column, of, why);
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
		struct draft_item *item =
			of.limit ? state_limit(record, &column, of, &why) : place_of(record, &column, of, &why);
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
		state_remark(record, item, parameter);
	}
	if (named && *unit)
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
	const char *remark = record_text(record, "remark");
	const char *folded = remark ? words_fold(package->arena, remark) : "";
	bool most = words_are_one_of(package->arena, folded, "max|maximum|limit|maximal"),
	     least = words_are_one_of(package->arena, folded, "min|minimum|minimal");
	if (!of.limit && (most || least) && can_be_limited(of) && strcmp(of.subject, "treated") != 0)
		of.limit = most ? "at-most" : "at-least"; /* "Rich loading | 0.45 mol/mol | max" */
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
