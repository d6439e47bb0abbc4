/* Operating cases and days by their names. Part of fields.h. */
#include "import/fields.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/list_cell.h"

const char *fields_id(struct arena *arena, const char *text)
{
	char *id = arena_copy(arena, words_fold(arena, text)), *end = id;
	for (const char *c = id; *c; c++) {
		bool sign = *c == ' ' || *c == '%';
		if (!sign || (end > id && end[-1] != '-'))
			*end++ = sign ? '-' : *c;
	}
	while (end > id && end[-1] == '-')
		end--;
	*end = '\0';
	return id;
}

/* "Operating (max)", "Max. operating conditions": the case is what is left; NULL: nothing says that it operates. */
static const char *without_operating(struct arena *arena, const char *folded)
{
	static const char said[] =
		"operating|oper|op|operation|betrieb|betriebsdaten|bedrijf|bedrijfs|operacion|service|"
		"marche|conditions|cond|condition|condities|betriebsbedingungen|flow|regime|de|en|im|bei|"
		"debit|durchsatz|load|debiet|caudal";
	struct text left = text_in(arena);
	bool found = false;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (words_are_one_of(arena, arena_copy_span(arena, at, length), said))
			found = true;
		else
			text_addf(&left, "%s%.*s", left.length ? " " : "", (int)length, at);
		at += length;
	}
	return found && left.length ? left.data : NULL;
}

const char *fields_case(struct arena *arena, const char *text)
{
	static const char known[] = "normal|summer|winter|turndown|sommer|hiver|ete|verano|invierno|zomer|start of "
				    "run|end of run|sor|eor|normal operation|"
				    "normalbetrieb|sommerbetrieb|winterbetrieb|teillast|volllast|max|min|maximum|"
				    "minimum|rich gas|lean gas|hot day|cold day|"
				    "hot weather|cold weather|upset|normal case|summer case|winter case|turndown "
				    "case|design case|rated case|maximum case|"
				    "minimum case|sommerfall|winterfall|normalfall|cas normal|cas ete|cas hiver|caso "
				    "normal|caso verano|caso invierno|minderlast|"
				    "marche normale|operacion normal|normaal bedrijf|base "
				    "case|present|future|revamp|existing|before revamp|after revamp|pre revamp|post "
				    "revamp|vor "
				    "umbau|nach umbau|avant revamp|apres revamp|start up|startup|"
				    "summer operation|winter operation|turndown operation|maximum load|minimum load";
	static const char *const words[] = {
		"case ", "fall ", "cas ", "caso ", "geval ", "betriebsfall ", "operating case ", "lastfall "};
	enum { LONGEST = 60 };
	const char *folded = words_fold(arena, text);
	if (!*folded || strlen(folded) > LONGEST)
		return NULL;
	if (words_are_one_of(arena, folded, known))
		return fields_id(arena, text);
	for (size_t i = 0; i < COUNT(words); i++)
		if (strncmp(folded, words[i], strlen(words[i])) == 0)
			return fields_id(arena, text);
	const char *rest = without_operating(arena, folded);
	if (rest && words_are_one_of(arena, rest, known))
		return fields_id(arena, rest);
	enum { MOST_BLANKS = 3 };
	size_t length = strlen(folded), blanks = 0;
	for (const char *c = folded; *c; c++)
		blanks += *c == ' ';
	if (blanks <= MOST_BLANKS && length > strlen(" case") &&
		strcmp(folded + length - strlen(" case"), " case") == 0)
		return fields_id(arena, text);
	return NULL;
}

/* Words by which cases are told apart, each with others for the same. */
static const char *const case_words[][2] = {{"turndown", "turndown|turn down|teillast|minderlast"},
	{"summer", "summer|sommer|ete|verano|zomer|sommerfall|sommerbetrieb"},
	{"winter", "winter|hiver|invierno|winterfall|winterbetrieb"},
	{"design", "design|auslegung|auslegungsfall|diseno"}, {"normal", "normal|normalfall|normalbetrieb|normale"}};

const char *fields_case_word(struct arena *arena, const char *text)
{
	const char *folded = words_fold(arena, text), *found = NULL;
	for (size_t i = 0; i < COUNT(case_words); i++) {
		if (!words_within(arena, folded, case_words[i][1]))
			continue;
		if (found)
			return NULL;
		found = case_words[i][0];
	}
	return found;
}

bool fields_case_is_bare(struct arena *arena, const char *text)
{
	const char *folded = words_fold(arena, text), *last = strrchr(folded, ' ');
	if (last && words_are_one_of(arena, last + 1, "case|operation|fall"))
		folded = arena_copy_span(arena, folded, (size_t)(last - folded));
	for (size_t i = 0; i < COUNT(case_words); i++)
		if (words_are_one_of(arena, folded, case_words[i][1]))
			return true;
	return false;
}

/* "CASE B WINTER (100 %)": b; "B" too, where it may be `bare`. */
static const char *case_letter(struct arena *arena, const char *text, bool bare)
{
	static const char *const words[] = {"case ", "fall ", "cas ", "caso ", "lastfall ", "betriebsfall "};
	const char *folded = words_fold(arena, text);
	bool named = false;
	for (size_t i = 0; i < COUNT(words) && !named; i++)
		if (strncmp(folded, words[i], strlen(words[i])) == 0) {
			named = true;
			folded += strlen(words[i]);
		}
	size_t length = strcspn(folded, " ");
	if (!length || length > 2 || (!named && (!bare || folded[length])))
		return NULL;
	return arena_copy_span(arena, folded, length);
}

const char *fields_case_letter(struct arena *arena, const char *text)
{
	return case_letter(arena, text, true);
}

const char *fields_named_case_letter(struct arena *arena, const char *text)
{
	return case_letter(arena, text, false);
}

/* A column or row of maxima, means or remarks beside the cases is none of them. */
bool fields_no_case(struct arena *arena, const char *text)
{
	static const char of_all[] = "all cases|of cases|alle falle|tous les cas|todos los casos|alle gevallen",
			  alone[] = "remark|remarks|note|notes|comment|comments|bemerkung|bemerkungen|remarques|"
				    "observaciones|opmerkingen|average|mean|mittelwert|moyenne|promedio|gemiddelde|sum|"
				    "summe|total|difference|differenz|margin|basis|source|quelle";
	const char *folded = words_fold(arena, text);
	return words_within(arena, folded, of_all) > 0 || words_are_one_of(arena, folded, alone);
}

/* "2017", "03/2021", "Mar 2021": a year, a month or a day. */
static const char *day_of(struct arena *arena, const char *text)
{
	enum { DIGITS = 4 };
	const char *at = text + strspn(text, " ");
	size_t digits = strspn(at, "0123456789");
	bool year = digits == DIGITS && !at[digits + strspn(at + digits, " ")] &&
		(strncmp(at, "19", 2) == 0 || strncmp(at, "20", 2) == 0);
	return year ? arena_copy_span(arena, at, DIGITS) : list_cell_date(arena, at, DATES_UNDECIDED);
}

const char *fields_reading_day(struct arena *arena, const char *heading)
{
	static const char measured[] =
		"reading|readings|ut|ut reading|ut readings|ut thickness|measured|measured thickness|thickness "
		"measured|measured wall|thickness reading|thickness readings|measured thk|thk measured|survey|ut "
		"survey|messung|messwert|messwerte|gemessen|restwanddicke|wanddicke gemessen|gemessene "
		"wanddicke|mesure|epaisseur mesuree|espesor medido|gemeten|gemeten wanddikte|t act|t actual|t "
		"measured|min reading|lowest reading";
	if (!strpbrk(heading, "0123456789"))
		return NULL;
	for (const char *at = heading; *at; at++) {
		if (at != heading && !strchr(" /,\n(", at[-1]))
			continue;
		const char *end = at + strcspn(at, "),(\n"),
			   *day = day_of(arena, arena_copy_span(arena, at, (size_t)(end - at)));
		const char *rest =
			arena_join(arena, arena_copy_span(arena, heading, (size_t)(at - heading)), " ", end, "");
		if (day && words_are_one_of(arena, words_fold(arena, rest), measured))
			return day;
	}
	return NULL;
}
