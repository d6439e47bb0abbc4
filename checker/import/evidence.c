#include "import/evidence.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"

static const char DIGITS[] = "0123456789";
static const char *const amines[] = {"MDEA", "DEA", "MEA", "DGA", "DIPA"};

/* ---- numbers ---- */

struct signs {
	size_t decimal, grouped,
		other; /* of one sign: parts decimals for certain; stands before three digits; neither */
};

static void look_at(const char *text, char sign, struct signs *signs)
{
	enum { GROUP = 3 };
	const char *at = text + strspn(text, "<>~+- ");
	size_t whole = strspn(at, DIGITS), seen = 0, grouped = 0, last = 0;
	if (!whole)
		return;
	for (at += whole; *at == sign; at += 1 + last) {
		last = strspn(at + 1, DIGITS);
		seen++;
		grouped += last == GROUP;
		if (!last)
			return;
	}
	if (!seen)
		return;
	bool steel = seen == 1 && whole == 1 && last == GROUP + 1 &&
		*(at - last - 2) == '1'; /* 1.4404 is a steel, no number */
	if (steel || (seen > 1 && grouped != seen))
		return;							    /* nor is a date one */
	bool below_one = whole == 1 && text[strspn(text, "<>~+- ")] == '0'; /* 0,125 */
	if (seen == 1 && (last != GROUP || below_one))
		signs->decimal++;
	else if (whole <= GROUP)
		signs->grouped++;
	else
		signs->other++;
}

/* "1.234,5": both signs tell what they are. */
static bool has_both(const char *text, char group, char decimal)
{
	const char *first = strchr(text, group), *second = first ? strchr(first, decimal) : NULL;
	return first && second && strspn(first + 1, DIGITS) == 3 &&
		strspn(text, "0123456789.,") >= strlen(text) - strlen(second) + 1;
}

static void look_at_date(const char *text, size_t *day_first, size_t *month_first)
{
	enum { MONTHS = 12 };
	char *end, *after;
	long first = strtol(text, &end, 10), second = *end == '/' || *end == '-' ? strtol(end + 1, &after, 10) : 0;
	if (end == text || !second || after == end + 1 || (*after != '/' && *after != '-'))
		return;
	*day_first += first > MONTHS && second <= MONTHS;
	*month_first += second > MONTHS && first <= MONTHS;
}

/* Samples stand in their order: where only one reading of "04/03/2026" keeps a column of dates in it, that is how they are written. */
static enum date_order order_of_dates(struct arena *arena, const struct sheet *sheet)
{
	enum { FEWEST = 4 };
	size_t kept[2] = {0, 0};
	for (size_t k = 0; k < sheet->columns; k++) {
		size_t count = 0;
		bool rising[2] = {true, true}, falling[2] = {true, true};
		const char *before[2] = {NULL, NULL};
		for (size_t i = 0; i < sheet->rows; i++) {
			const struct sheet_cell *cell = sheet_at(sheet, i, k);
			const char *as[2] = {list_cell_date(arena, cell->text, DAY_FIRST),
				list_cell_date(arena, cell->text, MONTH_FIRST)};
			if (cell->kind != SHEET_TEXT || !strchr(cell->text, '/') || !as[0] || !as[1])
				continue;
			count++;
			for (size_t n = 0; n < 2; n++) {
				int order = before[n] ? strcmp(as[n], before[n]) : 0;
				rising[n] = rising[n] && order >= 0;
				falling[n] = falling[n] && order <= 0;
				before[n] = as[n];
			}
		}
		for (size_t n = 0; n < 2 && count >= FEWEST; n++)
			kept[n] += rising[n] || falling[n];
	}
	return kept[0] && !kept[1] ? DAY_FIRST : kept[1] && !kept[0] ? MONTH_FIRST : DATES_UNDECIDED;
}

/* Are figures in the units of the United States? There commas part thousands. */
static bool is_in_customary_units(struct arena *arena, const struct sheet *sheet)
{
	static const char units[] =
		"psig|psia|psi|of|f|gpm|usgpm|ft2|lb hr|lb h|mmbtu hr|mmbtu h|lbmol hr|mmscfd|degf|deg f";
	size_t found = 0;
	for (size_t i = 0; i < sheet->rows * sheet->columns && found < 2; i++)
		found += sheet->cells[i].kind == SHEET_TEXT && !sheet->cells[i].merged &&
			words_within(arena, words_fold(arena, sheet->cells[i].text), units) > 0;
	return found >= 2;
}

enum decimal_sign evidence_decimal(const struct workbook *workbooks, size_t count)
{
	struct signs comma = {.decimal = 0}, point = comma;
	for (size_t i = 0; i < count; i++)
		for (size_t s = 0; s < workbooks[i].count; s++)
			for (size_t k = 0; k < workbooks[i].sheets[s].rows * workbooks[i].sheets[s].columns; k++) {
				const struct sheet_cell *cell = &workbooks[i].sheets[s].cells[k];
				if (cell->kind == SHEET_TEXT && workbooks[i].sheets[s].csv) {
					look_at(cell->text, ',', &comma);
					look_at(cell->text, '.', &point);
				}
			}
	return comma.decimal > 2 * point.decimal    ? DECIMAL_COMMA
		: point.decimal > 2 * comma.decimal ? DECIMAL_POINT
						    : DECIMAL_UNDECIDED;
}

struct cell_rules evidence_rules(struct arena *arena, const struct sheet *sheet, enum decimal_sign of_package)
{
	struct signs comma = {.decimal = 0}, point = comma;
	size_t day_first = 0, month_first = 0, both_comma = 0, both_point = 0;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		if (cell->kind != SHEET_TEXT)
			continue;
		both_comma += has_both(cell->text, '.', ',');
		both_point += has_both(cell->text, ',', '.');
		look_at_date(cell->text, &day_first, &month_first);
		look_at(cell->text, ',', &comma);
		look_at(cell->text, '.', &point);
	}
	bool open = comma.decimal + both_comma == point.decimal + both_point;
	struct cell_rules rules = {.decimal_comma = comma.decimal + both_comma > point.decimal + both_point};
	if (open) /* the sheet by itself does not tell: as its fellows have it, or as such files are parted */
		rules.decimal_comma =
			of_package == DECIMAL_COMMA || (of_package == DECIMAL_UNDECIDED && sheet->separator == ';');
	const struct signs *group = rules.decimal_comma ? &point : &comma;
	bool customary = !rules.decimal_comma && (sheet->separator == ',' || is_in_customary_units(arena, sheet));
	bool sure = !open || customary || of_package != DECIMAL_UNDECIDED;
	if (sure && group->grouped && !group->decimal && !group->other)
		rules.thousands = rules.decimal_comma ? '.' : ',';
	rules.dates = day_first && !month_first ? DAY_FIRST : month_first && !day_first ? MONTH_FIRST : DATES_UNDECIDED;
	if (!day_first && !month_first)
		rules.dates = order_of_dates(arena, sheet);
	return rules;
}

/* ---- words ---- */

/* "Dimensions in mm", "all dims inches": millimetres or inches where a text of the sheet says so of its lengths; NULL: none, or both. */
static const char *unit_of_lengths(struct arena *arena, const struct sheet *sheet)
{
	static const char *const said[][2] = {
		{"mm",
			"dimensions mm|dimensions in mm|dims mm|dims in mm|lengths mm|lengths in mm|all dimensions in "
			"mm|masse in mm|masse mm|masze in mm|abmessungen in mm|abmessungen mm|alle masse in "
			"mm|dimensions en mm|cotes en mm|dimensiones en mm|afmetingen in mm|dimensions are in "
			"mm|dimensions millimetres|dimensions in millimetres|dim mm|dim in mm"},
		{"in",
			"dimensions inches|dimensions in inches|dims inches|dims in inches|all in inches|lengths in "
			"inches|dimensions are in inches|all dimensions inches|all readings in inches|thickness in "
			"inches|thicknesses in inches"}};
	const char *found = NULL;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		const char *folded =
			cell->kind == SHEET_TEXT && strchr(cell->text, ' ') ? words_fold(arena, cell->text) : "";
		for (size_t k = 0; *folded && k < COUNT(said); k++) {
			if (!words_within(arena, folded, said[k][1]))
				continue;
			if (found && strcmp(found, said[k][0]) != 0)
				return NULL;
			found = said[k][0];
		}
	}
	return found;
}

const char *evidence_unit(struct arena *arena, const struct words *words, const struct sheet *sheet, enum kind kind)
{
	const char *found = NULL;
	if (kind == KIND_LENGTH)
		return unit_of_lengths(arena, sheet);
	if (kind != KIND_TEMPERATURE && kind != KIND_PRESSURE)
		return NULL;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		if (cell->kind != SHEET_TEXT || cell->merged || !strchr(cell->text, ' '))
			continue;
		for (const char *at = cell->text; *at; at += strspn(at, " ,;.\n")) {
			size_t length = strcspn(at, " ,;\n");
			const char *unit =
				length > 1 ? words_unit(arena, words, arena_copy_span(arena, at, length), false) : NULL;
			double factor, offset;
			at += length ? length : 1;
			if (!unit || !unit_find(kind, unit, 101325, &factor, &offset) ||
				(found && strcmp(found, unit) == 0))
				continue;
			if (found)
				return NULL;
			found = unit;
		}
	}
	return found;
}

static const char *base_name(struct arena *arena, const char *path)
{
	const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path, *dot = strrchr(name, '.');
	return arena_copy_span(arena, name, dot && dot != name ? (size_t)(dot - name) : strlen(name));
}

/* "Rev. C", "Revision: 2", or "Rev" with its sign in the next cell. */
static const char *revision_in(struct arena *arena, const struct sheet *sheet, size_t row, size_t column)
{
	static const char *const words[] = {"rev", "revision", "revisie", "revision no", "rev no"};
	const char *folded = words_fold(arena, sheet_at(sheet, row, column)->text);
	for (size_t i = 0; i < COUNT(words); i++) {
		size_t length = strlen(words[i]);
		for (const char *at = folded; (at = strstr(at, words[i])); at++) {
			bool begins = at == folded || at[-1] == ' ';
			if (begins && at[length] == ' ' && strcspn(at + length + 1, " ") <= 3 &&
				strncmp(at + length + 1, "no", 2) != 0)
				return arena_copy_span(arena, at + length + 1, strcspn(at + length + 1, " "));
			const char *beside = sheet_at(sheet, row, column + 1)->text;
			if (at == folded && !at[length] && *beside && strlen(beside) <= 3)
				return beside;
		}
	}
	return NULL;
}

const char *evidence_document(struct arena *arena, const struct sheet *sheet)
{
	enum { ROWS = 8 };
	const char *name = base_name(arena, sheet->file);
	for (size_t i = 0; i < sheet->rows && i < ROWS; i++)
		for (size_t k = 0; k < sheet->columns; k++) {
			const char *revision = revision_in(arena, sheet, i, k);
			if (!revision)
				continue;
			char *letters = arena_copy(arena, revision);
			for (char *c = letters; *c; c++)
				*c = *c >= 'a' && *c <= 'z' ? (char)(*c - 'a' + 'A') : *c;
			return arena_join(arena, name, " rev ", letters, "");
		}
	return name;
}

const char *evidence_amine(struct arena *arena, const struct workbook *workbooks, size_t count)
{
	size_t said[COUNT(amines)] = {0}, most = 0;
	for (size_t i = 0; i < count; i++)
		for (size_t s = 0; s < workbooks[i].count; s++) {
			const struct sheet *sheet = &workbooks[i].sheets[s];
			for (size_t k = 0; k < sheet->rows * sheet->columns; k++)
				for (size_t a = 0; sheet->cells[k].kind == SHEET_TEXT && a < COUNT(amines); a++)
					said[a] += strstr(sheet->cells[k].text, amines[a]) &&
						words_within(arena, words_fold(arena, sheet->cells[k].text), amines[a]);
		}
	for (size_t a = 1; a < COUNT(amines); a++)
		most = said[a] > said[most] ? a : most;
	return said[most] ? amines[most] : NULL;
}

/* The end of one entry of a legend: a comma or semicolon outside of brackets. */
static size_t entry_length(const char *text)
{
	size_t length = 0, depth = 0;
	for (; text[length] && (depth || !strchr(",;\n", text[length])); length++)
		depth = text[length] == '(' ? depth + 1 : text[length] == ')' && depth ? depth - 1 : depth;
	return length;
}

const char *evidence_legend(struct arena *arena, const struct sheet *sheet, const char *word)
{
	static const char begin[] =
		"case|cases|operating cases|fall|falle|lastfalle|lastfall|betriebsfalle|cas|casos|key|legend|legende";
	enum { LONGEST = 4 };
	if (!*word || strlen(word) > LONGEST)
		return NULL;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		if (cell->kind != SHEET_TEXT || cell->merged || !strchr(cell->text, '='))
			continue;
		for (const char *at = cell->text; *at; at += strspn(at, ",; \n")) {
			size_t length = entry_length(at);
			const char *entry = arena_copy_span(arena, at, length), *sign = strchr(entry, '=');
			const char *before = sign ? arena_copy_span(arena, entry, (size_t)(sign - entry)) : "";
			const char *colon = strchr(before, ':');
			if (colon &&
				words_are_one_of(arena,
					words_fold(arena, arena_copy_span(arena, before, (size_t)(colon - before))),
					begin))
				before = colon + 1;
			at += length;
			if (sign && strcmp(words_fold(arena, before), words_fold(arena, word)) == 0 &&
				*words_fold(arena, sign + 1))
				return sign + 1 + strspn(sign + 1, " ");
		}
	}
	return NULL;
}

/* "RX reflux", "RX = reflux", "RX: reflux": what follows the code in an entry; NULL: it is of another. */
static const char *after_code(const char *entry, const char *code)
{
	size_t length = strlen(code);
	entry += strspn(entry, " ");
	if (strncmp(entry, code, length) != 0 || !strchr(" =:-", entry[length]))
		return NULL;
	const char *rest = entry + length + strspn(entry + length, " =:-");
	return *rest ? rest : NULL;
}

const char *evidence_code(struct arena *arena, const struct sheet *sheet, const char *code)
{
	static const char begin[] =
		"service code|service codes|services|fluid codes|fluid code|codes|code|legend|key|abbreviations|medien|"
		"medium|medienkurzel|kurzel|legende|abkurzungen|codes fluides|fluides|abreviations|fluidos|codigos";
	enum { LONGEST = 4 };
	if (!*code || strlen(code) > LONGEST || strspn(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") != strlen(code))
		return NULL;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		const char *colon = cell->kind == SHEET_TEXT && !cell->merged ? strchr(cell->text, ':') : NULL;
		if (!colon ||
			!words_are_one_of(arena,
				words_fold(arena, arena_copy_span(arena, cell->text, (size_t)(colon - cell->text))),
				begin))
			continue;
		for (const char *at = colon + 1; *at; at += strspn(at, ",; \n")) {
			size_t length = entry_length(at);
			const char *meaning = after_code(arena_copy_span(arena, at, length), code);
			if (meaning)
				return meaning;
			at += length;
		}
	}
	return NULL;
}

static void add_letter(struct text *letters, const char *letter)
{
	if (letter && strlen(letter) == 1 && !text_has_word(letters->data, letter))
		text_addf(letters, "%s%s", letters->length ? " " : "", letter);
}

/* "Cases: A = summer, B = winter" */
static void add_legend_letters(struct arena *arena, struct text *letters, const char *legend)
{
	static const char begin[] = "case|cases|operating cases|falle|lastfalle|betriebsfalle|cas|casos";
	const char *colon = strchr(legend, ':');
	if (!colon ||
		!words_are_one_of(
			arena, words_fold(arena, arena_copy_span(arena, legend, (size_t)(colon - legend))), begin))
		return;
	for (const char *at = colon + 1; *at; at += strspn(at, ",; \n")) {
		size_t length = entry_length(at);
		const char *entry = arena_copy_span(arena, at, length), *sign = strchr(entry, '=');
		if (sign)
			add_letter(letters, words_fold(arena, arena_copy_span(arena, entry, (size_t)(sign - entry))));
		at += length;
	}
}

const char *evidence_case_letters(struct arena *arena, const struct workbook *workbooks, size_t count)
{
	enum { LONGEST = 80 };
	struct text letters = text_in(arena);
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < workbooks[i].count; k++) {
			const struct sheet *sheet = &workbooks[i].sheets[k];
			for (size_t at = 0; at < sheet->rows * sheet->columns; at++) {
				const struct sheet_cell *cell = &sheet->cells[at];
				if (cell->kind != SHEET_TEXT || cell->merged || !strpbrk(cell->text, "CcFLlBb"))
					continue;
				if (strlen(cell->text) <= LONGEST)
					add_letter(&letters, fields_named_case_letter(arena, cell->text));
				if (strchr(cell->text, '='))
					add_legend_letters(arena, &letters, cell->text);
			}
		}
	return letters.data;
}

size_t evidence_of_name(struct arena *arena, enum sheet_lists lists, const char *name)
{
	static const char *const words[LISTS_COUNT] = {"",
		"line list|lines|line schedule|rohrleitungsliste|leitungsliste|liste des lignes|lista de "
		"lineas|leidinglijst|piping|rohrleitungen|linelist|leitungen",
		"stream|streams|stream table|heat and material balance|hmb|h mb|material "
		"balance|stoffstrome|stromtabelle|bilan|corrientes|stromen|mass "
		"balance|stoffstromliste|mengenbilanz|balance|strome|bilan matiere|stoffbilanz",
		"equipment|equipment list|exchangers|exchanger|pumps|pump "
		"list|apparateliste|equipements|equipos|materials|material "
		"selection|apparate|werkstoffe|pumpen|warmetauscher|vessels|ausrustung|columns|heat "
		"exchangers|apparaten|pompes|bombas|materialien|werkstoffliste|warmeubertrager|behalter|pumpenliste",
		"nozzle|nozzles|nozzle list|nozzle schedule|stutzen|stutzenliste|tubulures|boquillas|tubelures",
		"relief|psv|relief cases|relief summary|sicherheitsventile|soupapes|valvulas|psv list|psvs|safety "
		"valves|relief loads|relief valves|abblasefalle",
		"laboratory|lab|analysis|analyses|labor|laborwerte|laboratoire|laboratorio|lab data|lab results|lab "
		"history|laborhistorie|laboranalysen|amine analyses|analysen|lab log|amine analysis",
		"laboratory|lab|results|labor|laborwerte|laboratoire|laboratorio|lab data|lab "
		"results|resultados|resultats",
		"control valve|control valves|control valve list|cv list|valve "
		"list|cv|regelventile|regelventilliste|regelarmaturen|"
		"vannes de regulation|vannes de reglage|valvulas de control|regelkleppen|valves",
		"design basis|basis of design|design data|process design basis|auslegungsgrundlage|"
		"auslegungsgrundlagen|auslegungsdaten|bases de calcul|base de calcul|bases de diseno|ontwerpbasis"};
	return words_within(arena, words_fold(arena, name), words[lists]) ? 3 : 0;
}

/* "1.4404": the number of a steel. */
static bool is_steel_number(const char *text)
{
	enum { LENGTH = 6 };
	return strlen(text) == LENGTH && text[0] == '1' && text[1] == '.' &&
		strspn(text + 2, "0123456789") == LENGTH - 2;
}

bool evidence_are_metals(struct arena *arena, const struct table *table, const struct table_column *column)
{
	size_t metals = 0, others = 0;
	for (size_t i = table->first; i < table->last; i++) {
		const char *text = table_at(table, i, column->at)->text;
		bool none = !*text || strcmp(text, "-") == 0 ||
			words_are_one_of(arena, words_fold(arena, text), "na|n a") || list_says_nothing(arena, text) ||
			list_is_to_follow(arena, text);
		bool numbered = strspn(text, "0123456789.,") == strlen(text); /* "316" may be so many tubes */
		bool steel = is_steel_number(text);
		if (none)
			continue;
		metals += steel || (!numbered && list_cell_meaning(arena, text, "material"));
		others += !steel && (numbered || !list_cell_meaning(arena, text, "material"));
	}
	return metals > 0 && !others;
}

const char *evidence_of_sizes(const struct table *table, const struct table_column *column)
{
	enum { SMALLEST_DN = 15, LARGEST_NPS = 48 };
	double least = 1e9, most = 0;
	const char *heading = column->known_as ? column->known_as : column->heading;
	if (!column->unit && (strstr(heading, "NPS") || strstr(heading, "DN")))
		return strstr(heading, "NPS") && strstr(heading, "DN") ? NULL : strstr(heading, "NPS") ? "NPS" : "DN";
	if (column->unit && strcmp(column->unit, "mm") == 0)
		return "DN";
	if (column->unit && strcmp(column->unit, "in") == 0)
		return "NPS";
	if (column->unit)
		return column->unit;
	for (size_t i = table->first; i < table->last; i++) {
		double value = strtod(table_at(table, i, column->at)->text, NULL);
		least = value > 0 && value < least ? value : least;
		most = value > most ? value : most;
	}
	return most <= 0				     ? NULL
		: least >= SMALLEST_DN && most > LARGEST_NPS ? "DN"
		: most <= LARGEST_NPS && least < SMALLEST_DN ? "NPS"
							     : NULL;
}
