#include "import/sentence.h"

#include <string.h>

#include "base/count.h"
#include "import/glossary_token.h"
#include "import/records.h"

enum { MOST_PAIRS = 6 };

struct sentence {
	struct package *package;
	struct draft_value said; /* where the sentence stands */
	const struct token *tokens;
	size_t first, after; /* of the clause */
	struct text taken;
};

/* "sweet gas|reingas": do its words stand in the clause, one after the other? The token after them; 0: no. */
static size_t stands(const struct sentence *sentence, size_t from, const char *phrases)
{
	size_t length;
	for (const char *list = phrases, *phrase; (phrase = text_alternative(&list, &length));)
		for (size_t at = from; at < sentence->after; at++) {
			size_t token = at, i = 0;
			while (i < length && token < sentence->after) {
				size_t word = 0;
				while (i + word < length && phrase[i + word] != ' ')
					word++;
				const char *folded = sentence->tokens[token].folded;
				if (strlen(folded) != word || strncmp(folded, phrase + i, word) != 0)
					break;
				token++;
				i += word + 1;
			}
			if (i > length)
				return token;
		}
	return 0;
}

static bool has(const struct sentence *sentence, const char *phrases)
{
	return stands(sentence, sentence->first, phrases) > 0;
}

/* Words that make it a question, a plan, a memory or one case of several. */
static bool is_doubtful(const struct sentence *sentence)
{
	static const char doubts[] =
		"if|unless|when|future|later|proposed|formerly|previously|previous|was|were|except|tbc|tbd|hold|t b "
		"c|?|not|option|"
		"optional|alternative|alternatively|either|or|~|about|approx|ca|expected|typical|case|original|"
		"originally|old|wenn|"
		"falls|außer|früher|geplant|nicht|oder|etwa|ursprünglich|si|sauf|ou|futur|actual|measured|gemessen|"
		"test|vendor|"
		"without acid|reduced|can|may|could|should|former|until|bis|after|nach revamp|before";
	return has(sentence, doubts);
}

static void state(struct sentence *sentence, struct draft_item *item, const char *attribute, const char *value)
{
	struct draft_value said = sentence->said;
	said.attribute = attribute;
	said.value = value;
	if (draft_state(&sentence->package->draft, item, &said))
		text_addf(&sentence->taken, "%s%s %s", sentence->taken.length ? ", " : "", attribute, value);
}

/* ---- figures and the substances that they are of ---- */

struct mark {
	const char *value, *substance; /* one of them */
};

static const char *substance(const char *folded)
{
	static const char *const names[][2] = {{"h2s", "h2s"}, {"co2", "co2"}, {"cos", "cos"},
		{"mercaptans", "mercaptans"}, {"mercaptan", "mercaptans"}, {"rsh", "mercaptans"},
		{"merkaptane", "mercaptans"}, {"mercaptane", "mercaptans"}, {"hcn", "hcn"}, {"nh3", "nh3"},
		{"ammonia", "nh3"}, {"ammoniak", "nh3"}, {"o2", "o2"}, {"oxygen", "o2"}, {"sauerstoff", "o2"}};
	for (size_t i = 0; i < COUNT(names); i++)
		if (strcmp(names[i][0], folded) == 0)
			return names[i][1];
	return NULL;
}

/* The unit after a number; its tokens stand apart, "*" is a substance among them. How many tokens; 0: none that is known. */
static size_t unit_after(const struct sentence *sentence, size_t at, const char **unit, const char **of)
{
	static const char *const units[][2] = {{"ppmv", "ppmv"}, {"vppm", "ppmv"}, {"ppm vol", "ppmv"},
		{"ppm v", "ppmv"}, {"ppm by volume", "ppmv"}, {"mol %", "mol%"}, {"mole %", "mol%"},
		{"mol - %", "mol%"}, {"vol %", "vol%"}, {"vol - %", "vol%"}, {"mg / nm3", "mg/Nm3"},
		{"mg / nm\u00b3", "mg/Nm3"}, {"mg / sm3", "mg/Sm3"}, {"gr / 100 scf", "gr/100scf"},
		{"grain / 100 scf", "gr/100scf"}, {"grains / 100 scf", "gr/100scf"}, {"gr * / 100 scf", "gr/100scf"},
		{"grains * / 100 scf", "gr/100scf"}, {"grain * / 100 scf", "gr/100scf"},
		{"gr per 100 scf", "gr/100scf"}, {"grains per 100 scf", "gr/100scf"}};
	for (size_t i = 0; i < COUNT(units); i++) {
		size_t token = at, length;
		const char *c = units[i][0], *found = NULL;
		for (; *c && token < sentence->after; c += strspn(c, " "), token++) {
			const char *folded = sentence->tokens[token].folded;
			length = strcspn(c, " ");
			if (*c == '*' ? !(found = substance(folded))
				      : strlen(folded) != length || strncmp(folded, c, length) != 0)
				break;
			c += length;
		}
		if (*c)
			continue;
		*unit = units[i][1];
		*of = found;
		return token - at;
	}
	return 0;
}

/* A range, an estimate or a fraction has no one figure. */
static bool is_plain_number(const struct sentence *sentence, size_t at)
{
	const struct token *before = at > sentence->first ? &sentence->tokens[at - 1] : NULL;
	return sentence->tokens[at].sort == TOKEN_NUMBER && !strchr(sentence->tokens[at].folded, '-') &&
		!(before && text_has_word("- / ~ > ≥ ± + to bis", before->folded));
}

static size_t marks_of(const struct sentence *sentence, struct mark marks[2 * MOST_PAIRS])
{
	size_t count = 0;
	for (size_t at = sentence->first; at < sentence->after && count + 2 <= 2 * (size_t)MOST_PAIRS; at++) {
		const char *unit, *of, *named = substance(sentence->tokens[at].folded);
		size_t length = is_plain_number(sentence, at) ? unit_after(sentence, at + 1, &unit, &of) : 0;
		if (named)
			marks[count++].substance = named;
		if (!length)
			continue;
		marks[count++].value = arena_join(sentence->package->arena, sentence->tokens[at].folded, " ", unit, "");
		if (of)
			marks[count++].substance = of;
		at += length;
	}
	return count;
}

/* A value that the attribute can have, as a description writes it; NULL: it can have none such. */
static const char *value_for(
	const struct sentence *sentence, const struct draft_item *item, const char *attribute, const char *written)
{
	const struct vocabulary_attribute *of = vocabulary_attribute(item->element, attribute);
	const struct cell_rules rules = {.words = sentence->package->words};
	struct cell_value value = {.fate = CELL_LEFT_OUT};
	if (of)
		value = list_cell(sentence->package->arena, written, of->type, &rules);
	return value.fate == CELL_TAKEN || value.fate == CELL_INTERPRETED ? value.value : NULL;
}

struct pair {
	const char *value, *substance;
};

/* Each figure with its substance, where they stand in pairs and each substance once; else none. */
static size_t pairs_of(const struct sentence *sentence, struct pair pairs[MOST_PAIRS])
{
	struct mark marks[2 * MOST_PAIRS] = {{NULL, NULL}};
	size_t count = marks_of(sentence, marks);
	bool value_first = count && marks[0].value;
	if (count % 2)
		return 0;
	for (size_t i = 0; i < count; i += 2) {
		const struct mark *value = &marks[i + !value_first], *of = &marks[i + value_first];
		if (!value->value || !of->substance)
			return 0;
		for (size_t k = 0; k < i / 2; k++)
			if (strcmp(pairs[k].substance, of->substance) == 0)
				return 0;
		pairs[i / 2] = (struct pair){.value = value->value, .substance = of->substance};
	}
	return count / 2;
}

static void state_pairs(
	struct sentence *sentence, struct draft_item *item, const struct pair *pairs, size_t count, const char *known)
{
	for (size_t i = 0; i < count; i++) {
		const char *value = text_has_word(known, pairs[i].substance)
			? value_for(sentence, item, pairs[i].substance, pairs[i].value)
			: NULL;
		if (value)
			state(sentence, item, pairs[i].substance, value);
	}
}

/* ---- what a clause is about ---- */

static void read_contents(struct sentence *sentence)
{
	static const char
		treated[] = "sweet gas|treated gas|sales gas|product gas|clean gas|purified gas|reingas|süßgas|"
			    "produktgas|gereinigtes gas|gaz traité|gas tratado",
		held[] = "spec|specs|specification|specified|limit|limits|limited|max|maximum|shall|not to exceed|"
			 "guarantee|guaranteed|<|≤|höchstens|grenzwert|spezifikation|garantie|garantiert|spécification|"
			 "limite|especificación",
		feed[] = "feed gas|feed|sour gas|raw gas|rohgas|feedgas|gaz brut", limited[] = "h2s co2 cos mercaptans",
		holds[] = "contains|contain|containing|contaminants|contaminant|enthält|contient|contiene";
	struct draft *draft = &sentence->package->draft;
	bool of_treated = has(sentence, treated) && has(sentence, held), several = false;
	bool of_feed = has(sentence, feed) && has(sentence, holds) && !has(sentence, "max|maximum|<|≤|up to|bis zu");
	if (of_treated == of_feed || (of_treated && has(sentence, feed)) || (of_feed && has(sentence, treated)))
		return;
	struct draft_item *gas = basis_only(draft, "gas", "role", of_treated ? "treated" : "feed", &several);
	struct pair pairs[MOST_PAIRS];
	size_t count = pairs_of(sentence, pairs);
	bool held_to = false;
	if (!gas || several || !count)
		return;
	if (of_feed) {
		state_pairs(sentence, gas, pairs, count, "h2s co2 cos mercaptans hcn nh3 o2");
		return;
	}
	for (size_t i = 0; i < count; i++)
		held_to = held_to || text_has_word(limited, pairs[i].substance);
	if (!held_to)
		return;
	struct draft_item *limits = basis_specification(draft, gas);
	bool new = !limits->count;
	struct draft_value of = sentence->said;
	of.attribute = "gas";
	of.value = gas->key;
	of.reference = true;
	if (new)
		draft_state(draft, limits, &of);
	state_pairs(sentence, limits, pairs, count, limited);
}

/* "Regenerator reflux ratio 1.5 mol H2O/mol acid gas." */
static void read_reflux(struct sentence *sentence)
{
	bool several;
	size_t at = stands(sentence, sentence->first, "reflux ratio|rücklaufverhältnis|taux de reflux");
	struct draft_item *regenerator = basis_only(&sentence->package->draft, "regenerator", NULL, NULL, &several);
	while (at && at < sentence->after && text_has_word("of is = : ist von", sentence->tokens[at].folded))
		at++;
	if (!at || at >= sentence->after || several || !regenerator || !is_plain_number(sentence, at))
		return;
	const char *next = at + 1 < sentence->after ? sentence->tokens[at + 1].folded : "";
	const char *value = value_for(sentence, regenerator, "reflux-ratio", sentence->tokens[at].folded);
	if (value && text_has_word("mol mole , )", *next ? next : ","))
		state(sentence, regenerator, "reflux-ratio", value);
}

static void read_solvent(struct sentence *sentence)
{
	static const char
		without[] =
			"no activator|without activator|unactivated|ohne aktivator|nicht aktiviert|sans activateur|sin "
			"activador",
		antifoam[] = "antifoam|antischaummittel|entschäumer|antimousse|antiespumante",
		dosed[] = "injected|dosed|added|injection|dosing|dosiert|zugegeben|zudosiert|injecté|dosé",
		at_times[] =
			"intermittent|intermittently|batch|batchwise|shock|stossweise|stoßweise|bei bedarf|as required|"
			"discontinu",
		always[] = "continuous|continuously|kontinuierlich|en continu";
	struct draft *draft = &sentence->package->draft;
	if (has(sentence, without) && draft->amine)
		state(sentence, draft_item(draft, NULL, "solvent", NULL, NULL, "solvent"), "activated", "no");
	if (!has(sentence, antifoam) || !has(sentence, dosed) || has(sentence, "no|kein|keine|never|nie|aucun"))
		return;
	struct draft_item *solvent = draft_item(draft, NULL, "solvent", NULL, NULL, "solvent");
	state(sentence, solvent, "antifoam", "yes");
	if (has(sentence, at_times) != has(sentence, always))
		state(sentence, solvent, "antifoam-continuous", has(sentence, always) ? "yes" : "no");
}

void sentence_read(struct package *package, const struct sheet *sheet, const char *document, size_t row, size_t column)
{
	enum { LONGEST = 400 };
	const struct sheet_cell *cell = sheet_at(sheet, row, column);
	struct token *tokens;
	if (cell->kind != SHEET_TEXT || cell->hidden || cell->merged || strlen(cell->text) > LONGEST)
		return;
	const char *name = sheet_cell_name(package->arena, sheet, row, column);
	size_t count = glossary_tokens(package->arena, cell->text, &tokens);
	struct sentence sentence = {.package = package,
		.tokens = tokens,
		.taken = text_in(package->arena),
		.said = {.document = document,
			.cells = name + strlen(sheet->name) + 1,
			.place = sheet_place(sheet, row, column),
			.cell = name}};
	for (size_t first = 0, at = 0; at <= count; at++) {
		if (at < count && tokens[at].sort != TOKEN_STOP)
			continue;
		sentence.first = first;
		sentence.after = at;
		first = at + 1;
		if (is_doubtful(&sentence))
			continue;
		read_contents(&sentence);
		read_reflux(&sentence);
		read_solvent(&sentence);
	}
	if (sentence.taken.length)
		problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, sheet_place(sheet, row, column),
			"%s: %s read as %s: what its words say", name, text_quoted(package->arena, cell->text),
			sentence.taken.data);
}
