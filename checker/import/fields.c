#include "import/fields.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/fields_meant.h"
#include "quantity/quantity.h"

static const char letters[] = " LSENRAPVB";
static const char *const list_names[LISTS_COUNT] = {
	"-", "lines", "streams", "equipment", "nozzles", "relief", "laboratory", "results", "valves", "basis"};

const char *lists_name(enum sheet_lists lists)
{
	return list_names[lists];
}

enum sheet_lists lists_named(const char *name)
{
	for (int i = LISTS_LINES; i < LISTS_COUNT; i++)
		if (strcmp(list_names[i], name) == 0)
			return (enum sheet_lists)i;
	return LISTS_NOTHING;
}

static const char *named(const struct words *words, enum sheet_lists lists, const char *concepts)
{
	return words_field(words, letters[lists], concepts);
}

/* What heads the figures of a list of results: words that elsewhere say nothing. */
static const char *of_result(struct arena *arena, const char *folded)
{
	static const char *const words[][2] = {
		{"result-value",
			"result|value|results|resultat|valeur|wert|messwert|ergebnis|waarde|resultaat|resultado|valor|"
			"reading|measured value|gemessen|meetwaarde|analysenwert|test result|valor medido|lab result"},
		{"result-unit",
			"unit|units|einheit|einheiten|unite|unites|unidad|unidades|eenheid|uom|unit of "
			"measure|dimension|"
			"result unit|reporting unit"},
		{"result-sign", "qualifier|qual|sign|flag|operator|signe|vorzeichen|zeichen|signo|teken"}};
	for (size_t i = 0; i < COUNT(words); i++)
		if (words_are_one_of(arena, folded, words[i][1]))
			return words[i][0];
	return NULL;
}

/* Words that join others, and head a column when they stand alone. */
static const char *alone(enum sheet_lists lists, const char *folded)
{
	if (text_has_word("de da", folded))
		return "from";
	if (text_has_word("a ad para", folded))
		return "to";
	if (strcmp(folded, "data") == 0 && (lists == LISTS_LABORATORY || lists == LISTS_RESULTS))
		return "date"; /* Italian and Portuguese */
	return strcmp(folded, "di") == 0 && lists == LISTS_EQUIPMENT ? "diameter" : NULL;
}

/* The concepts without those that only say where or how, when nothing is known with them. */
static const char *without_side(struct arena *arena, const char *concepts, const char **of)
{
	static const char *const sides[] = {"internals", "tube-side", "shell-side", "hot-side", "cold-side"};
	if (text_has_word(concepts, "internals") && text_has_word(concepts, "tube-side"))
		concepts =
			words_without(arena, concepts, "tube-side"); /* of columns the one, of exchangers the other */
	for (size_t i = 0; i < COUNT(sides); i++) {
		const char *rest = words_without(arena, concepts, sides[i]);
		bool metal =
			i || text_same(rest, "material") || text_same(rest, "grade"); /* remarks are of the whole */
		if (rest && *rest && metal) {
			*of = sides[i];
			return rest;
		}
	}
	return concepts;
}

/* Does the set name a field, of the item or of a side of it? */
static bool is_named(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *concepts,
	struct field *field)
{
	field->of = NULL;
	field->name = named(words, lists, concepts);
	if (!field->name && lists == LISTS_EQUIPMENT)
		field->name = named(words, lists, without_side(arena, concepts, &field->of));
	const char *share = !field->name && lists == LISTS_STREAMS ? words_without(arena, concepts, "fraction") : NULL;
	if (share && *share && !strchr(share, ' ')) /* "Composition / H2" is that component */
		field->name = named(words, lists, share);
	if (!field->name)
		field->of = NULL;
	return field->name != NULL;
}

static bool is_of_kind(const char *unit, enum kind kind)
{
	double factor, offset;
	return unit_find(kind, unit, 101325, &factor, &offset) || strcmp(unit, "bar") == 0 || strcmp(unit, "psi") == 0;
}

static bool is_degrees(const char *unit)
{
	double factor, offset;
	return unit_find(KIND_TEMPERATURE, unit, 101325, &factor, &offset);
}

/* "Design / psig / degF", "Oper. P/T (barg/degC)": a pressure and a temperature in one cell; NULL: no such heading. */
static const char *of_pair(
	struct arena *arena, const struct words *words, const char *heading, const char **units, const char **of)
{
	size_t length = strlen(heading);
	const char *pair[2];
	for (const char *at = heading; *at; at++) {
		bool begins = at == heading || strchr(" ([,/", at[-1]);
		bool bracketed = at > heading && strchr("([", at[-1]) && strchr(")]", heading[length - 1]);
		const char *tail = arena_copy_span(arena, at, (size_t)(heading + length - at) - bracketed);
		bool two = begins && words_unit_pair(arena, words, tail, pair);
		bool turned = two && is_of_kind(pair[1], KIND_PRESSURE) && is_degrees(pair[0]);
		if (!two || (!turned && (!is_of_kind(pair[0], KIND_PRESSURE) || !is_degrees(pair[1]))))
			continue;
		const char *folded = words_fold(arena, arena_copy_span(arena, heading, (size_t)(at - heading)));
		char *said = arena_copy(arena, folded);
		size_t end = strlen(said);
		if (end >= 2 && strcmp(said + end - 2, turned ? "tp" : "pt") == 0 && (end == 2 || said[end - 3] == ' '))
			said[end > 2 ? end - 3 : 0] = '\0';
		const char *concepts = without_side(arena, words_concepts(arena, words, said), of);
		*units = arena_join(arena, pair[0], " / ", pair[1], "");
		return strcmp(concepts, "design") == 0 || strcmp(concepts, "design pressure temperature") == 0
			? (turned ? "design-temperature design-pressure" : "design-pressure-temperature")
			: turned &&
				(!*concepts || strcmp(concepts, "operating") == 0 ||
					strcmp(concepts, "operating pressure temperature") == 0 ||
					strcmp(concepts, "pressure temperature") == 0)
			? "temperature pressure"
			: !*concepts || strcmp(concepts, "operating") == 0 ||
				strcmp(concepts, "operating pressure temperature") == 0 ||
				strcmp(concepts, "pressure temperature") == 0
			? "pressure-temperature"
			: NULL;
	}
	return NULL;
}

/* "Abmessungen Ø x L", "Size (ID x T/T)": two lengths in one cell. */
static bool is_dimensions(struct arena *arena, const char *folded)
{
	static const char words[] = "abmessungen|dimensions|dimensiones|afmetingen|abmessung|size|dim|dims|"
				    "hauptabmessungen|main dimensions|main "
				    "dims|main dim|overall dimensions";
	size_t length = words_within(arena, folded, words);
	return words_are_one_of(arena, folded, words) ||
		(length &&
			(strstr(folded, " x ") || strstr(folded, " xl") || strstr(folded, "oxl") ||
				strstr(folded, "dxl") || strstr(folded, "oxh"))) ||
		words_are_one_of(arena, folded,
			"id x tt|id x t t|dia x length|d x l|dxl|diam x long|od x l|id x length|durchmesser x "
			"lange|diameter x length|id x l|diam x longueur|oxl");
}

/* "C3+" is propane and all that is heavier: no component of a description. */
static bool is_lumped(const char *heading)
{
	const char *plus = strchr(heading, '+');
	return plus && plus > heading && plus[-1] >= '0' && plus[-1] <= '9' && !(plus[1] >= '0' && plus[1] <= '9');
}

/* "Loading (calc)", "PWHT (Y/N)": how it was found and how it is answered make it no other quantity. */
static const char *without_origin(struct arena *arena, const char *heading)
{
	const char *open = strchr(heading, '('), *close = open ? strchr(open, ')') : NULL;
	if (close && open != heading && (strncmp(heading, "pH", 2) == 0 || strncmp(heading, "PH", 2) == 0) &&
		strpbrk(open, "0123456789"))
		return "pH"; /* "pH (20 °C)" */
	if (!close || open == heading ||
		!words_are_one_of(arena,
			words_fold(arena, arena_copy_span(arena, open + 1, (size_t)(close - open) - 1)),
			"calc|calculated|berechnet|ber|calcule|calculado|berekend|yn|y n|yes no|ja nein|ja nee|oui "
			"non|on|si no|"
			"sn|jn|y or n|note 1|note 2|note 3|note 4|note 5|each|ea|pro stuck|"
			"op sp|oper spare|op stby|duty standby|op spare|operating spare|duty spare|run spare"))
		return heading;
	return arena_join(arena, arena_copy_span(arena, heading, (size_t)(open - heading)), close + 1, "", "");
}

/* "Norm. vol. flow (0 degC, 1 atm)": at which conditions gas is counted makes it no other quantity. */
static const char *without_reference(struct arena *arena, const char *heading)
{
	const char *open = strchr(heading, '('), *close = open ? strchr(open, ')') : NULL;
	if (!close || open == heading)
		return heading;
	const char *inner = words_fold(arena, arena_copy_span(arena, open + 1, (size_t)(close - open) - 1));
	const char *before = words_fold(arena, arena_copy_span(arena, heading, (size_t)(open - heading)));
	bool gas =
		words_within(arena, before, "norm|std|standard|normal|normvol|norm vol|normvolumen|estandar|norme") > 0;
	bool conditions = strpbrk(inner, "0123456789") &&
		words_within(arena, inner, "atm|bar|bara|kpa|psia|oc|of|c|f|degc|degf|deg c|deg f|0oc|15oc|20oc|60f") >
			0;
	return gas && conditions
		? arena_join(arena, arena_copy_span(arena, heading, (size_t)(open - heading)), close + 1, "", "")
		: heading;
}

/* What the unit alone says of the quantity: "IN °F" is a temperature; NULL: it leaves it open. */
static const char *quantity_of(const char *unit)
{
	static const struct {
		enum kind kind;
		const char *concept;
	} rows[] = {{KIND_TEMPERATURE, "temperature"}, {KIND_PRESSURE, "pressure"}, {KIND_MASS_FLOW, "flow"},
		{KIND_LIQUID_FLOW, "flow"}, {KIND_GAS_FLOW, "flow"}, {KIND_MOLAR_FLOW, "flow"},
		{KIND_VELOCITY, "velocity"}, {KIND_DENSITY, "density"}, {KIND_VISCOSITY, "viscosity"}};
	for (size_t i = 0; unit && i < COUNT(rows); i++)
		if (is_of_kind(unit, rows[i].kind) &&
			(rows[i].kind == KIND_PRESSURE || !text_has_word("bar psi", unit)))
	return rows[i].concept;
	return NULL;
}

/*
 * A heading by its parts, when no set of field.def is all of it: the quantity that its unit is of, and without the words that say
 * only what is listed anyway ("vessel design pressure", "stream temperature"), one after another.
 */
static bool by_parts(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *concepts,
	struct field *field)
{
	static const char *const beside[LISTS_COUNT][8] = {[LISTS_LINES] = {"operating", "line", "service", "fluid"},
		[LISTS_STREAMS] = {"operating", "stream", "fluid", "line", "hot-side", "solution"},
		[LISTS_EQUIPMENT] = {"operating", "tag", "service", "process"},
		[LISTS_NOZZLES] = {"operating", "nozzle", "process"},
		[LISTS_RELIEF] = {"operating", "relief"},
		[LISTS_LABORATORY] = {"operating", "sample", "lean", "rich", "strength", "stream", "liquid",
			"solution"},
		[LISTS_RESULTS] = {"operating", "sample"},
		[LISTS_VALVES] = {"operating", "relief", "service", "process"}};
	static const char keys[] = "tag owner case class date name";
	if (is_named(arena, words, lists, concepts, field) && !text_has_word(keys, field->name))
		return true;
	const char *quantity = quantity_of(field->unit);
	const char *with = quantity && !text_has_word(concepts, quantity)
		? words_sorted(arena, arena_join(arena, concepts, " ", quantity, ""))
		: NULL;
	if (with && is_named(arena, words, lists, with, field))
		return true;
	for (size_t i = 0; i < COUNT(beside[0]) && beside[lists][i]; i++) {
		const char *rest = words_without(arena, concepts, beside[lists][i]);
		if (!rest || !*rest)
			continue;
		concepts = rest;
		if (is_named(arena, words, lists, concepts, field) && !text_has_word(keys, field->name))
			return true;
		const char *more = with ? words_without(arena, with, beside[lists][i]) : NULL;
		with = more ? more : with;
		if (with && is_named(arena, words, lists, with, field) && !text_has_word(keys, field->name))
			return true;
	}
	field->name = field->of = NULL;
	return false;
}

bool fields_sum(struct arena *arena, const char *heading)
{
	return words_are_one_of(arena, words_fold(arena, heading),
		"total|totals|sum|summe|gesamt|somme|suma|totaal|total flow|total mass|total "
		"molar|gesamtmenge|som|totale|totales");
}

/* "gpm" alone over the flows of pumps, "H m" over their heads; NULL: neither. */
static const char *headed_by_unit(
	struct arena *arena, const struct words *words, const char *heading, const char **unit)
{
	const char *folded = words_fold(arena, heading), *alone = words_unit(arena, words, heading, false);
	if (words_are_one_of(arena, folded, "h m|h ft") && strpbrk(heading, " ([,")) {
		*unit = strstr(folded, "ft") ? "ft" : "m";
		return "head";
	}
	if (!alone || !text_has_word("gpm m3/h l/min", alone))
		return NULL;
	*unit = alone;
	return "flow";
}

/* "Case 2: turndown", "Normal" over values; a maximum or minimum is that of all cases. */
static bool is_case_of_basis(struct arena *arena, const char *heading)
{
	return fields_case(arena, heading) && !fields_no_case(arena, heading) &&
		!words_within(arena, words_fold(arena, heading), "min|max|minimum|maximum");
}

/* A case of a design basis is a value; what is lumped is no component: the words need not be looked at. */
static bool is_plain(struct arena *arena, enum sheet_lists lists, const char *heading, struct field *field)
{
	bool of_case = lists == LISTS_BASIS && is_case_of_basis(arena, heading);
	if (fields_of_items(lists) && strpbrk(heading, "0123456789") && fields_reading_day(arena, heading)) {
		*field = (struct field){.name = "wall-reading", .exact = true};
		return true;
	}
	if (!of_case && !(lists == LISTS_STREAMS && is_lumped(heading)))
		return false;
	*field = (struct field){.name = of_case ? "value" : NULL, .exact = of_case};
	return true;
}

/* `loosely`: by its parts too, where no set is all of it. */
static struct field find(
	struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading, bool loosely)
{
	struct field field = {.exact = true};
	heading = without_reference(arena, without_origin(arena, heading));
	heading = fields_of_items(lists) && strchr(heading, '/') ? fields_without_faces(arena, heading) : heading;
	if (is_plain(arena, lists, heading, &field))
		return field;
	const char *bare = words_without_unit(arena, words, heading, &field.unit);
	const char *folded = words_fold(arena, bare);
	const char *single = lists == LISTS_RESULTS || lists == LISTS_BASIS ? of_result(arena, folded) : NULL;
	single = single || !*folded ? single : alone(lists, folded);
	const char *concepts = single ? single : words_concepts(arena, words, folded);
	const char *by_unit = lists == LISTS_EQUIPMENT ? headed_by_unit(arena, words, heading, &field.unit) : NULL;
	concepts = by_unit ? by_unit : concepts;
	const char *alone_unit = lists == LISTS_STREAMS && (!*concepts || strchr(concepts, '?'))
		? words_unit(arena, words, heading, true)
		: NULL;
	if (alone_unit && quantity_of(alone_unit)) /* "LB/HR", "°F" are all that it says */
		return (struct field){.name = quantity_of(alone_unit), .unit = alone_unit, .exact = true};
	if (!*concepts && lists == LISTS_STREAMS && fields_sum(arena, heading))
		return (struct field){.name = "flow", .unit = field.unit, .exact = true}; /* in a unit of flow */
	if (!*concepts)
		return (struct field){.name = NULL};
	concepts = fields_meant_of_samples(arena, lists, heading, folded, concepts, &field);
	const char *of = NULL;
	const char *pair = lists == LISTS_EQUIPMENT || lists == LISTS_LINES
		? of_pair(arena, words, heading, &field.unit, &of)
		: NULL;
	if (pair)
		return (struct field){.name = pair, .of = of, .unit = field.unit, .exact = true};
	if (lists == LISTS_EQUIPMENT && is_dimensions(arena, folded))
		return (struct field){.name = "dimensions", .unit = field.unit, .exact = true};
	concepts = fields_meant_of_items(arena, words, lists, heading, folded, concepts, &field);
	if (is_named(arena, words, lists, concepts, &field))
		return field;
	field.exact = false;
	if (loosely && !by_parts(arena, words, lists, concepts, &field)) {
		const char *spelt = words_respelt(arena, words, folded);
		if (spelt)
			by_parts(arena, words, lists, words_concepts(arena, words, spelt), &field);
	}
	return field;
}

bool fields_sum_row(struct arena *arena, const char *tag)
{
	static const char words[] = "bilanz|balance|summe|sum|total|totals|bilan|somme|suma|totaal|totale|gesamt|"
				    "differenz|difference|check|kontrolle|average|mean|mittelwert|in out|in minus "
				    "out|out in|closure|imbalance|"
				    "gemiddelde|moyenne|promedio|media";
	const char *folded = words_fold(arena, tag);
	if (words_within(arena, folded, "in out|in minus out") || strncmp(folded, "max of", strlen("max of")) == 0)
		return true;
	return words_are_one_of(arena, arena_copy_span(arena, folded, strcspn(folded, " ")), words);
}

/* "NPSHA m", "Op temp C": the letter is a unit after what is measured in metres or degrees alone. */
static const char *letter_after(const char *field, char letter)
{
	static const char metres[] = "rated-head npsh-available npsh-required length height diameter";
	if (letter == 'm' && text_has_word(metres, field))
		return "m";
	if (!strstr(field, "temperature") || strchr(field, ' '))
		return NULL;
	return letter == 'C' ? "degC" : letter == 'F' ? "degF" : NULL;
}

/* May stand with another in one cell, "118 / 68"? */
static bool may_be_of_two(const struct field *field)
{
	static const char never[] = "tag name remark case class owner part date stream count phase value unit sign "
				    "sample parameter size-schedule dimensions casing-impeller pressure-temperature "
				    "design-pressure-temperature sized-for discharges-to";
	return field->name && !text_has_word(never, field->name) && !strchr(field->name, ' ');
}

/* "T in/out (°C)", "NPSH A / R, m", "Druck Mantel/Rohr": a heading with each of the two in place of both. */
static struct field of_two(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading)
{
	const char *unit, *bare = words_without_unit(arena, words, heading, &unit);
	for (const char *slash = bare; (slash = strpbrk(slash, "/&")); slash++) {
		const char *before = slash, *after = slash + 1;
		while (before > bare && before[-1] == ' ')
			before--;
		while (before > bare && !strchr(" ([,\n", before[-1]))
			before--;
		after += strspn(after, " ");
		after += strcspn(after, " )],\n");
		const char *prefix = arena_copy_span(arena, bare, (size_t)(before - bare));
		const char *first = arena_copy_span(arena, before, (size_t)(slash - before)),
			   *second = arena_copy_span(arena, slash + 1, (size_t)(after - slash) - 1);
		const char *ending = unit ? arena_join(arena, after, " (", unit, ")") : after;
		struct field a = find(arena, words, lists, arena_join(arena, prefix, first, ending, ""), true),
			     b = find(arena, words, lists, arena_join(arena, prefix, second, ending, ""), true);
		if (!may_be_of_two(&a) || !may_be_of_two(&b) || (strcmp(a.name, b.name) == 0 && text_same(a.of, b.of)))
			continue;
		bool sided = a.of || b.of, ends = text_has_word("from to", a.name) || text_has_word("from to", b.name);
		if (ends && (strcmp(a.name, "from") != 0 || strcmp(b.name, "to") != 0 || lists != LISTS_LINES))
			continue;
		return (struct field){.name = arena_join(arena, a.name, " ", b.name, ""),
			.of = sided ? arena_join(arena, a.of ? a.of : "-", " ", b.of ? b.of : "-", "") : NULL,
			.unit = unit ? unit : a.unit,
			.exact = false};
	}
	return (struct field){.name = NULL};
}

const char *fields_conditions(
	struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading)
{
	if (lists != LISTS_EQUIPMENT && lists != LISTS_LINES)
		return NULL;
	const char *folded = words_fold(arena, heading);
	size_t length = strlen(folded);
	if (length > 3 && strcmp(folded + length - 3, " pt") == 0)
		folded = arena_copy_span(arena, folded, length - 3);
	const char *concepts = words_concepts(arena, words, folded);
	return strcmp(concepts, "design") == 0 || strcmp(concepts, "design pressure temperature") == 0
		? "design-pressure-temperature"
		: strcmp(concepts, "operating") == 0 || strcmp(concepts, "operating pressure temperature") == 0 ||
			strcmp(concepts, "pressure temperature") == 0
		? "pressure-temperature"
		: NULL;
}

/* "Leitung (DN-Medium-Nr)", "LINE NUMBER\nSIZE-FLUID-NO": what explains the heading makes it no other; NULL: nothing does. */
static const char *without_explanation(struct arena *arena, const struct words *words, const char *heading)
{
	static const char narrowing[] =
		"minimum maximum design test rated case standard operating hot-side cold-side tube-side "
		"shell-side inlet outlet revision h2s co2 lean rich suction discharge required test "
		"required-thickness top bottom dry";
	const char *open = strpbrk(heading, "(["), *line = strchr(heading, '\n');
	const char *at = open && open > heading ? open : line;
	if (!at || at == heading)
		return NULL;
	const char *close = open == at ? strpbrk(open, ")]") : NULL;
	const char *inner = close ? arena_copy_span(arena, open + 1, (size_t)(close - open) - 1) : at;
	const char *said = words_concepts(arena, words, words_fold(arena, inner));
	for (const char *word = said; *word; word += strspn(word, " ")) {
		size_t length = strcspn(word, " ");
		if (text_has_word(narrowing, arena_copy_span(arena, word, length)))
			return NULL;
		word += length;
	}
	return arena_join(
		arena, arena_copy_span(arena, heading, (size_t)(at - heading)), close ? close + 1 : "", "", "");
}

struct field fields_find(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading)
{
	const char *shorter = without_explanation(arena, words, heading);
	struct field field = find(arena, words, lists, heading, !shorter);
	size_t length = strlen(heading);
	bool in_short = !field.name && shorter && !field.unit;
	if (in_short) {
		field = find(arena, words, lists, shorter, true);
		field.exact = false;
	}
	if (!field.name && shorter)
		field = find(arena, words, lists, heading, true);
	if (!field.name && strpbrk(heading, "/&")) {
		struct field two = of_two(arena, words, lists, heading);
		if (two.name)
			return two;
	}
	size_t inches = length > 4 && strcmp(heading + length - 4, " IN.") == 0 ? 4
		: length > 3 && (strcmp(heading + length - 3, " IN") == 0 || strcmp(heading + length - 3, " in") == 0)
		? 3
		: 0;
	if (!field.name && inches) {
		static const char lengths[] = "corrosion-allowance wall-thickness thickness diameter tube-od "
					      "cladding-thickness insulated size";
		struct field of = find(arena, words, lists, arena_copy_span(arena, heading, length - inches), true);
		of.unit = "in";
		return of.name && text_has_word(lengths, of.name) ? of : field;
	}
	if (field.name || length < 3 || heading[length - 2] != ' ' || !strchr("mCF", heading[length - 1]))
		return field;
	struct field lettered =
		find(arena, words, lists, arena_copy_span(arena, heading, length - 2), heading[length - 1] != 'm');
	const char *letter = lettered.name && !lettered.unit ? letter_after(lettered.name, heading[length - 1]) : NULL;
	if (!letter)
		return field;
	lettered.unit = letter;
	return lettered;
}
