#include "import/words.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/words_inside.h"
#include "quantity/quantity.h"

/* ---- units ---- */

struct unit_word {
	const char *unit, *written;
};

static const struct unit_word unit_words[] = {
	{"barg", "bar(ü)|barü|bar g|bar gauge|bar rel|bar u|barue|bar man|bar eff|bar(e)|bar(man)"},
	{"bara", "bar abs|bara|bar(a)|bar absolu"}, {"kg/cm2g", "kg/cm2 g|kgf/cm2 g|kgf/cm2(g)|kg/cm2 man|kg/sqcm g"},
	{"kPag", "kpa g|kpa gauge"}, {"psig", "psi g|lb/in2 g|lbf/in2 g|psi gauge|lb/sqin g"},
	{"psia", "psi a|psi abs"}, {"degC", "deg c|celsius|grad c|grad|gr c|c deg|oc"}, {"degF", "deg f|fahrenheit|of"},
	{"mol%", "mol.-%|mol-%|mole %|% mol|% molar|mol pct|mol percent|mole pct|mole percent|% molaire|mol.%|molen%"},
	{"vol%", "vol.-%|vol %|%vol|%v|v%|vol pct|vol.%"},
	{"wt%",
		"gew.-%|gew%|gew.%|ma.-%|ma%|masse-%|mass %|% wt|wt pct|wt.-%|wt.%|weight %|%m|m%|% mass|% massique|% "
		"masse|% peso|mass-%|%w|w%|massa%|gewichts%|% en peso|% pds|gew.%|massaprocent|% poids|weight "
		"percent|% p/p|p%"},
	{"ppmw", "ppm w|ppm wt|mg/kg|wppm|ppm (w)|ppm mass|ppm(wt)|ppm gew|ppm masse|ppm en peso|ppm by weight"},
	{"ppmv", "ppm v|ppm vol|vppm|ppm mol|ppm(v)|ppm by volume|molppm|mol ppm"},
	{"kmol/h", "kmol/hr|kgmole/h|kgmole/hr|kgmol/hr|kmole/h|kmol/std|kmole/hr"},
	{"lbmol/h", "lb mol/h|lbmole/hr|lbmol/hr|lb-mol/hr|lb mole/h|lbmole/h|lb-mole/hr|lb mol/hr|lbmoles/hr"},
	{"kg/h", "kg/std|kg/hr|kg/uur|kg/heure|kg/u"},
	{"t/h", "t/std|te/h|tonne/h|tonnes/h|mt/h|to/h|t/hr|ton/uur|t/u|t/uur|tph|metric t/h"},
	{"lb/h", "lb/hr|lbs/hr|lbs/h|pph|lbm/hr|lbm/h|#/hr"}, {"klb/h", "klb/hr|1000 lb/hr|k lb/h|mlb/hr thousand"},
	{"m3/h", "m3/std|cum/h|cbm/h|m3/hr|cu m/h|m3/heure|m3/uur|m3/u|m3ph"},
	{"Nm3/h", "nm3/std|m3(i.n.)/h|m3n/h|m3(n)/h|m3 i.n./h|nm3/hr|nm3/u|ncum/h|m3(n)/hr"},
	{"Sm3/h", "sm3/hr|m3(s)/h|std m3/h"}, {"MMscfd", "mmscf/d|mmscfd|mmsft3/d|mm scfd|mmscf/day|mmcfd std"},
	{"scfh", "scf/hr|scf/h"}, {"gpm", "us gpm|usgpm|gpm us|us gal/min|usg/min|gpm (us)|gal/min|us gpm"},
	{"bbl/d", "bpd|bbl/day|bopd|stb/d"}, {"in", "inch|inches|zoll|pouces|pulg|pulgadas|duim|ins|pouce|\""},
	{"mm", "mm|millimeter|millimetre"}, {"ft", "feet|foot|pies|ft-in|ft in|feet-inches|ft.-in.|ft lc|ft liq"},
	{"m", "meter|metre|metres|metros|mtr|mfs|m fs|mfls|m fls|m flussigkeitssaule|mlc|m lc|mcl|m col liq"},
	{"m2", "sq m|sqm|qm|sq.m"}, {"ft2", "sq ft|sqft|sf|sq.ft"}, {"m3", "cum|cbm|cu m|cu.m"},
	{"ft3", "cu ft|cuft|cf|cu.ft"}, {"kg/m3", "kg/cum|kg/cbm|kg/m³"},
	{"lb/ft3", "lb/cuft|lb/cu ft|lbs/ft3|lb/cf|lbm/ft3|pcf|lbm/cuft"}, {"cP", "cp|centipoise|mpas|mpa s|mpa*s"},
	{"kW", "kw|kilowatt"}, {"MW", "mw|megawatt"}, {"MMBtu/h", "mmbtu/hr|mm btu/hr|mmbtu/h|mm btu/h|million btu/h"},
	{"Btu/h", "btu/hr"}, {"kcal/h", "kcal/hr|kcal/std"}, {"Gcal/h", "gcal/hr|mmkcal/h"},
	{"W/(m2 K)", "w/m2k|w/m2c|w/m2 degc|w/m2 k"},
	{"Btu/(h ft2 degF)", "btu/hr ft2 f|btu/hr-ft2-f|btu/h-ft2-f|btu/hr ft2 degf|btu/(hr ft2 f)"},
	{"mg/L", "mg/l|mg/ltr|mg/litre"}, {"g/L", "g/l|g/ltr"},
	{"g/mol", "kg/kmol|g/mole|lb/lbmol|kg/kgmol|kg/kgmole|lb/lbmole|lb/lb-mol"},
	{"mol/mol",
		"mol/mol|mole/mole|mol/mol amine|mol/mol amin|mol ag/mol amine|mol sg/mol amin|mol h2s/mol amine|mol "
		"co2/mol amine|mol/mole|mol gas/mol amine|mole/mole amine|mol/mol mdea|mol/mol dea|mol/mol "
		"mea|kmol/kmol|mol/mol amina|mol/mol am|mol sauergas/mol amin"},
	{"mm/y", "mm/j|mm/jahr|mm/an|mm/ano|mm/jaar|mm/a"}, {"%", "%|percent|pct|prozent"}, {"ppm", "ppm"},
	{"NPS", "nps"}, {"DN", "dn"}, {"HB", "bhn|brinell"}, {"HV", "hv10|vickers"}};

/* A unit without what spelling leaves open: letters and digits, / and %. */
static const char *unit_key(struct arena *arena, const char *written)
{
	struct text key = text_in(arena);
	char one[2];
	for (const char *at = written; *at;) {
		bool kept = *at == '/' || *at == '\"' || *at == '#';
		char c = *at;
		bool degree = strncmp(at, "°", strlen("°")) == 0 || strncmp(at, "º", strlen("º")) == 0;
		const char *letter = words_plain_letter(&at, one);
		if (kept)
			text_add_char(&key, c);
		else if (degree)
			text_add(&key, "deg");
		else if (*letter != ' ')
			text_add(&key, letter);
	}
	return key.data;
}

static void add_unit(struct arena *arena, struct words *all, size_t *capacity, const char *written, const char *unit)
{
	all->units = arena_grow(arena, all->units, all->unit_count, capacity, sizeof *all->units);
	all->units[all->unit_count] = (struct phrase){unit_key(arena, written), unit, all->unit_count};
	all->unit_count++;
}

/* Stable, so that of two spellings with one key the first holds: our own words, then units.def. */
void words_open_units(struct arena *arena, struct words *all)
{
	size_t capacity = 0, length;
	for (size_t i = 0; i < COUNT(unit_words); i++) {
		const char *at = unit_words[i].written;
		add_unit(arena, all, &capacity, unit_words[i].unit, unit_words[i].unit);
		for (const char *part; (part = text_alternative(&at, &length));)
			add_unit(arena, all, &capacity, arena_copy_span(arena, part, length), unit_words[i].unit);
	}
	for (size_t i = 0; i < unit_count(); i++) {
		enum kind kind;
		const char *unit = unit_spelling(i, &kind);
		if (*unit)
			add_unit(arena, all, &capacity, unit, unit);
	}
	all->unit_count = words_sorted_once(all->units, all->unit_count);
}

/* What follows "mol", "kmol", "mole", "moles" in the text; NULL: it is none of these. */
static const char *after_moles(const char *text)
{
	text += *text == 'k';
	if (strncmp(text, "mol", strlen("mol")) != 0)
		return NULL;
	text += strlen("mol");
	text += *text == 'e';
	return text + (*text == 's');
}

/* "mol AG / mol DEA", "kmol acid gas/kmol amine": moles of all acid gas for each of amine. Of one gas alone the heading tells. */
static bool is_loading(struct arena *arena, const char *key)
{
	static const char gases[] = "ag sg acidgas acidgases gas sauergas totalacidgas totalag",
			  amines[] = "amine amin amina am mdea dea mea dga dipa solvent";
	const char *slash = strchr(key, '/'), *below = slash ? after_moles(slash + 1) : NULL;
	const char *above = slash ? after_moles(arena_copy_span(arena, key, (size_t)(slash - key))) : NULL;
	return above && below && (!*above || text_has_word(gases, above)) && *below && text_has_word(amines, below);
}

const char *words_unit(struct arena *arena, const struct words *all, const char *written, bool apart)
{
	enum { LONGEST = 24 };
	if (strlen(written) > LONGEST)
		return NULL;
	const struct phrase key = {.folded = unit_key(arena, written)};
	if (!*key.folded || strspn(key.folded, "0123456789") == strlen(key.folded))
		return NULL;
	if (strcmp(key.folded, "min") == 0 && strcmp(written, "min") != 0)
		return NULL; /* "Min." is the least */
	bool weak = strlen(key.folded) == 1 ? !strchr("%\"", *key.folded) : text_has_word("in of oc", key.folded);
	if (weak && !apart)
		return NULL;
	const struct phrase *found = bsearch(&key, all->units, all->unit_count, sizeof key, words_by_folded);
	return found ? found->concepts : is_loading(arena, key.folded) ? "mol/mol" : NULL;
}

bool words_unit_pair(struct arena *arena, const struct words *all, const char *written, const char *pair[2])
{
	if (words_unit(arena, all, written, true))
		return false; /* "kg/h" is one */
	for (const char *slash = written; (slash = strpbrk(slash, "/@")); slash++) {
		const char *before = slash, *after = slash + 1 + strspn(slash + 1, " ");
		while (before > written && before[-1] == ' ')
			before--;
		pair[0] = words_unit(arena, all, arena_copy_span(arena, written, (size_t)(before - written)), true);
		pair[1] = words_unit(arena, all, after, true);
		if (pair[0] && pair[1])
			return true;
	}
	return false;
}

/* ---- headings ---- */

static const char *closing(const char *open)
{
	int depth = 0;
	for (const char *c = open; *c; c++) {
		depth += *c == '(' || *c == '[';
		depth -= *c == ')' || *c == ']';
		if (!depth)
			return c;
	}
	return NULL;
}

/* "Temp. (degC) normal": the unit is within the brackets. */
static const char *without_bracketed(
	struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *open = heading; (open = strpbrk(open, "([")); open++) {
		const char *close = closing(open);
		if (!close)
			return NULL;
		const char *inner = arena_copy_span(arena, open + 1, (size_t)(close - open) - 1), *rest = "";
		*unit = words_unit(arena, all, inner, true);
		if (!*unit && strchr(inner, ' ')) { /* "(wt% as MDEA)" */
			rest = strchr(inner, ' ');
			*unit = words_unit(arena, all, arena_copy_span(arena, inner, strcspn(inner, " ,")), false);
		}
		if (*unit && open != heading &&
			!(close[1] == '/' || (open[-1] != ' ' && open[-1] != '\n' && strlen(*unit) == 1)))
			return arena_join(
				arena, arena_copy_span(arena, heading, (size_t)(open - heading)), rest, " ", close + 1);
	}
	return NULL;
}

/* "Temp., degC", "Temp. degC", "Temp. / degC", "Temp. in degC": the longest end that is a unit. */
static const char *without_ending(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *at = heading; *at; at++) {
		if (!strchr(", /\n:;-", *at) || at == heading)
			continue;
		const char *end = at + 1 + strspn(at + 1, " \n");
		if (strncmp(end, "in ", strlen("in ")) == 0)
			end += strlen("in ");
		if (!*end)
			continue;
		*unit = words_unit(arena, all, end, *at == ',');
		if (*unit)
			return arena_copy_span(arena, heading, (size_t)(at - heading));
	}
	return NULL;
}

/* "Loading, mol/mol DEA", "Flow kg/h total": a unit with a stroke or per cent and words after it, which stay. */
static const char *without_inner(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *at = heading; *at; at++) {
		if (!strchr(" ,\n", *at) || at == heading)
			continue;
		const char *begin = at + strspn(at, " ,\n");
		size_t length = strcspn(begin, " ,\n");
		const char *word = arena_copy_span(arena, begin, length);
		if (!begin[length] || strlen(word) < 3)
			continue;
		*unit = words_unit(arena, all, word, false);
		double factor, offset;
		if (*unit && !strchr(word, '/') && !strchr(word, '%') &&
			!unit_find(KIND_PRESSURE, *unit, 101325, &factor, &offset) &&
			!unit_find(KIND_TEMPERATURE, *unit, 101325, &factor, &offset))
			*unit = NULL;
		if (*unit)
			return arena_join(
				arena, arena_copy_span(arena, heading, (size_t)(at - heading)), begin + length, "", "");
	}
	return NULL;
}

const char *words_without_unit(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	*unit = NULL;
	const char *rest = without_bracketed(arena, all, heading, unit);
	if (!rest)
		rest = without_ending(arena, all, heading, unit);
	if (!rest)
		rest = without_inner(arena, all, heading, unit);
	if (rest)
		return rest;
	*unit = NULL;
	return heading;
}

const char *words_without_phases(
	struct arena *arena, const struct words *all, const char *heading, struct phase_units *units)
{
	static const char gases[] = "gas|gase|vapour|vapor|vap|gaz|dampf",
			  liquids[] = "liq|liquid|liquids|flussig|flussigkeit|liquide|liquido|vloeistof",
			  solutions[] = "losung|solution|amine|amin|amina|solucion|oplossing|solvent";
	/* what no liquid is given in, and what no gas is: the two say by themselves which is which */
	static const char of_gases[] = "mol% vol% ppmv Nm3/h Sm3/h", of_liquids[] = "mol/mol m3/h gpm l/min";
	const char *found[2] = {NULL, NULL};
	int phases[2] = {0, 0}; /* 1 gas, 2 liquid, 3 solution */
	size_t unit_count = 0, phase_count = 0;
	struct text rest = text_in(arena);
	for (const char *at = heading + strspn(heading, " ,;:()\n"); *at; at += strspn(at, " ,;:()\n")) {
		size_t length = strcspn(at, " ,;:()\n");
		const char *word = arena_copy_span(arena, at, length), *folded = words_fold(arena, word);
		const char *unit = words_unit(arena, all, word, false);
		int phase = words_are_one_of(arena, folded, gases)   ? 1
			: words_are_one_of(arena, folded, liquids)   ? 2
			: words_are_one_of(arena, folded, solutions) ? 3
								     : 0;
		at += length;
		if (unit && unit_count < 2)
			found[unit_count++] = unit;
		else if (phase && phase_count < 2)
			phases[phase_count++] = phase;
		else if (unit_count == 1 && words_are_one_of(arena, folded, "bzw|resp|or|oder|ou"))
			continue;
		else if (unit || phase || (*folded && unit_count + phase_count > 0))
			return NULL; /* more than a pair */
		else if (*folded)
			text_addf(&rest, "%s%s", rest.length ? " " : "", word);
	}
	if (unit_count == 2 && phase_count == 0 && text_has_word(of_gases, found[0]) &&
		text_has_word(of_liquids, found[1]) &&
		(strcmp(found[1], "mol/mol") == 0) == (strchr(found[0], '/') == NULL) &&
		strcmp(found[0], "MMscfd") != 0) {
		*units = (struct phase_units){.gas = found[0], .liquid = found[1], .of_amine = true};
		return rest.data;
	}
	if (unit_count < 2 || phase_count < 2 || (phases[0] == 1) == (phases[1] == 1))
		return NULL;
	size_t gas = phases[0] == 1 ? 0 : 1;
	*units = (struct phase_units){.gas = found[gas], .liquid = found[1 - gas], .of_amine = phases[1 - gas] == 3};
	return rest.data;
}
