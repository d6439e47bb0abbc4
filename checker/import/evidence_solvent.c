#include "import/evidence.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"

/* ---- what one text says ---- */

enum { LARGEST_ACTIVATOR = 20, LEAST = 10, MOST = 70, MENTIONS = 8 };

static const struct {
	const char *word, *substance; /* "": piperazine; "?": an activator that is not named */
} substances[] = {{"MDEA", "MDEA"}, {"aMDEA", "MDEA"}, {"DEA", "DEA"}, {"MEA", "MEA"}, {"DGA", "DGA"}, {"DIPA", "DIPA"},
	{"PZ", ""}, {"Piperazin", ""}, {"piperazin", ""}, {"PIPERAZIN", ""}, {"Aktivator", "?"}, {"activator", "?"},
	{"Activator", "?"}, {"piperacin", ""}, {"Piperacin", ""}, {"pip\u00e9razin", ""}, {"Pip\u00e9razin", ""}};

struct mention {
	const char *at, *substance; /* a substance, or NULL: a strength */
	double strength;
};

struct solution {
	const char *amine; /* NULL: none, or more than one */
	double strength, activator;
	bool piperazine; /* it is named */
};

static bool is_letter(char c)
{
	return ((c | 0x20) >= 'a' && (c | 0x20) <= 'z') || (unsigned char)c >= 0x80;
}

/* The substance that is named here; the letters after a Piperazin are its ending ("Piperazine"). */
static const char *substance_at(const char *text, const char *at)
{
	if (at > text && is_letter(at[-1]))
		return NULL;
	for (size_t i = 0; i < COUNT(substances); i++) {
		size_t length = strlen(substances[i].word);
		if (strncmp(at, substances[i].word, length) == 0 &&
			(length > strlen("aMDEA") || !is_letter(at[length])))
			return substances[i].substance;
	}
	return NULL;
}

/* The number before "wt%", "Gew.-%", "% en peso" or "% pds" that begins here, as per cent of mass; NaN: none does. */
static double strength_at(struct arena *arena, const char *text, const char *at)
{
	static const char by_mass[] =
		"wt%|wt %|w%|gew %|gew%|mass %|mass%|ma %|% pds|% en peso|% peso|% poids|% mass|% massique|"
		"% m m|% w w|% by weight|% gew|% masa|gewichts%|massen%|massen %|massa%|massa %|wt pct|% wt|pct wt|% "
		"massa|gew prozent|"
		"m %|% em peso|% in peso|% w|% by mass|weight %|percent by weight|weight percent|% ma";
	static const char DIGITS[] = "0123456789";
	bool begins = *at >= '0' && *at <= '9' && (at == text || strchr(" (~,;:+=", at[-1]));
	size_t digits = strspn(at, DIGITS), decimals = 0, length;
	if (!begins)
		return (double)NAN;
	if (at[digits] == '.' || at[digits] == ',')
		decimals = strspn(at + digits + 1, DIGITS);
	char *number = arena_copy_span(arena, at, digits + (decimals ? 1 + decimals : 0));
	const char *rest = words_fold(arena, at + strlen(number));
	for (char *c = number; *c; c++)
		*c = *c == ',' ? '.' : *c;
	for (const char *list = by_mass, *one; (one = text_alternative(&list, &length));) {
		const char *word = words_fold(arena, arena_copy_span(arena, one, length));
		size_t letters = strlen(word);
		if (strncmp(rest, word, letters) == 0 && (rest[letters] == ' ' || !rest[letters]))
			return strtod(number, NULL);
	}
	return (double)NAN;
}

/* "MDEA 38 / PZ 5 wt%": a bare number between a substance and a stroke or plus has the unit of the one after it. */
static double bare_strength_at(struct arena *arena, const char *text, const char *at, const struct mention *before)
{
	size_t length = strspn(at, "0123456789.,");
	const char *sign = at + length + strspn(at + length, " ");
	bool follows = before && before->substance && at > text && at[-1] == ' ' &&
		strspn(before->at, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") + 1 ==
			(size_t)(at - before->at);
	if (!follows || !length || !strchr("/+", *sign) || !*sign)
		return (double)NAN;
	for (const char *next = sign + 1; *next && !strchr("/+;,", *next); next++)
		if (isfinite(strength_at(arena, text, next)))
			return strtod(at, NULL);
	return (double)NAN;
}

static size_t mentions_in(struct arena *arena, const char *text, struct mention *mentions)
{
	size_t count = 0;
	for (const char *at = text; *at && count < MENTIONS; at++) {
		const char *substance = substance_at(text, at);
		double strength = substance ? (double)NAN : strength_at(arena, text, at);
		if (!substance && !isfinite(strength))
			strength = bare_strength_at(arena, text, at, count ? &mentions[count - 1] : NULL);
		if (substance || isfinite(strength))
			mentions[count++] = (struct mention){at, substance, strength};
	}
	return count;
}

static bool is_amine(const struct mention *mention)
{
	return mention->substance && *mention->substance && *mention->substance != '?';
}

static double *place_in(struct solution *solution, const struct mention *mention)
{
	return is_amine(mention) ? &solution->strength : &solution->activator;
}

/* Which substance a strength is of: the one before it that has none yet, else the one after it; `count`: none. */
static size_t substance_of(const struct mention *mentions, size_t count, size_t strength, struct solution *solution)
{
	for (size_t i = strength; i-- > 0 && mentions[i].substance;)
		if (!isfinite(*place_in(solution, &mentions[i])))
			return i;
	return strength + 1 < count && mentions[strength + 1].substance ? strength + 1 : count;
}

/* "MDEA 40 wt% + PZ 5 wt%", "30 wt% DEA"; what is said twice, or of two amines, is no amine. */
static struct solution solution_in(struct arena *arena, const char *text)
{
	struct mention mentions[MENTIONS];
	struct solution out = {.strength = (double)NAN, .activator = (double)NAN};
	size_t count = mentions_in(arena, text, mentions);
	for (size_t i = 0; i < count; i++) {
		const char *amine = mentions[i].substance;
		out.piperazine = out.piperazine || (amine && !*amine);
		if (!is_amine(&mentions[i]))
			continue;
		if (out.amine && strcmp(out.amine, amine) != 0)
			return (struct solution){.strength = (double)NAN, .activator = (double)NAN};
		out.amine = amine;
	}
	for (size_t i = 0; i < count; i++) {
		size_t of = mentions[i].substance ? count : substance_of(mentions, count, i, &out);
		if (of == count)
			continue;
		double *there = place_in(&out, &mentions[of]);
		if (isfinite(*there) && !number_same(*there, mentions[i].strength))
			return (struct solution){.strength = (double)NAN, .activator = (double)NAN};
		*there = mentions[i].strength;
	}
	return out;
}

/* ---- what the sheets say ---- */

/* The text of a cell, with that of the next where one names what the other gives: "MDEA-Gehalt | 38 Ma.-%". */
static const char *text_at(struct arena *arena, const struct sheet *sheet, size_t row, size_t column)
{
	const struct sheet_cell *cell = sheet_at(sheet, row, column);
	if (cell->kind != SHEET_TEXT || cell->merged || cell->hidden)
		return "";
	const struct sheet_cell *next = sheet_at(sheet, row, column + 1);
	bool valued = !strchr(cell->text, '%') && column + 1 < sheet->columns && next->kind == SHEET_TEXT &&
		!next->merged && !next->hidden && strchr(next->text, '%');
	return valued ? arena_join(arena, cell->text, " ", next->text, "") : strchr(cell->text, '%') ? cell->text : "";
}

static bool differ(double a, double b)
{
	return isfinite(a) && isfinite(b) && !number_same(a, b);
}

struct evidence_solvent evidence_solvent(struct arena *arena, const struct workbook *workbooks, size_t count)
{
	const struct evidence_solvent none = {.amine = ""};
	struct evidence_solvent out = none;
	struct solution said = {.strength = (double)NAN, .activator = (double)NAN};
	for (size_t i = 0; i < count; i++)
		for (size_t s = 0; s < workbooks[i].count; s++) {
			const struct sheet *sheet = &workbooks[i].sheets[s];
			for (size_t k = 0; k < sheet->rows * sheet->columns; k++) {
				size_t row = k / sheet->columns, column = k % sheet->columns;
				const char *text = text_at(arena, sheet, row, column);
				struct solution one =
					*text ? solution_in(arena, text) : (struct solution){.amine = NULL};
				bool strong = one.amine && one.strength >= LEAST && one.strength <= MOST;
				bool active = *text && one.activator > 0 && one.activator <= LARGEST_ACTIVATOR;
				if ((strong && differ(said.strength, one.strength)) ||
					(active && differ(said.activator, one.activator)) ||
					(strong && said.amine && strcmp(said.amine, one.amine) != 0))
					return none;
				said.piperazine = said.piperazine || one.piperazine;
				if (active)
					said.activator = one.activator;
				if (!strong || said.amine)
					continue;
				said.amine = one.amine;
				said.strength = one.strength;
				out.amine = one.amine;
				out.strength = arena_format(arena, "%.6g wt%%", one.strength);
				out.cell = sheet_cell_name(arena, sheet, row, column);
				out.place = sheet_place(sheet, row, column);
			}
		}
	out.piperazine = said.piperazine;
	if (said.amine && isfinite(said.activator))
		out.activator = arena_format(arena, "%.6g wt%%", said.activator);
	return out;
}
