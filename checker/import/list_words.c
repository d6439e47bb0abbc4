#include "import/list_cell.h"

#include <string.h>

#include "base/count.h"
#include "import/metal.h"
#include "import/words.h"

const char *list_cell_metal_named(struct arena *arena, const char *folded)
{
	static const char *const own[] = {"304", "304l", "316", "316l", "316ti", "317l", "321", "347", "904l", "cf3m",
		"cf8m", "410", "410s", "405", "430", "ca6nm", "2205", "2507"},
				 *const words[] = {"304", "304L", "316", "316L", "316Ti", "317L", "321", "347", "904L",
					 "CF3M", "CF8M", "410", "410S", "405", "430", "CA6NM", "2205", "2507"};
	for (size_t i = 0; i < COUNT(own); i++)
		if (strcmp(own[i], folded) == 0)
			return words[i];
	static const struct {
		const char *type, *word, *written;
	} rows[] = {
#define MEANS(type, word, written) {type, word, written},
#include "import/means.def"
#undef MEANS
	};
	for (size_t i = 0; i < COUNT(rows); i++)
		if (strcmp(rows[i].type, "material") == 0 && words_are_one_of(arena, folded, rows[i].written))
			return rows[i].word;
	return NULL;
}

const char *list_cell_meaning(struct arena *arena, const char *written, const char *type)
{
	static const struct {
		const char *type, *word, *written;
	} rows[] = {
#define MEANS(type, word, written) {type, word, written},
#include "import/means.def"
#undef MEANS
	};
	static const char *const issuers[] = {"astm ", "asme ", "en ", "din ", "uns "};
	const char *folded = words_fold(arena, written);
	for (size_t i = 0; i < COUNT(issuers) && strcmp(type, "material") == 0; i++)
		if (strncmp(folded, issuers[i], strlen(issuers[i])) == 0)
			folded += strlen(issuers[i]);
	for (size_t i = 0; i < COUNT(rows); i++)
		if (strcmp(rows[i].type, type) == 0 && words_are_one_of(arena, folded, rows[i].written))
			return rows[i].word;
	return strcmp(type, "material") == 0 || strcmp(type, "cladding-material") == 0
		? metal_by_standard(arena, folded)
		: NULL;
}

/* "Gas blow-by LV-301", "Feuerfall (benetzt)": the one case of relief that the text names; NULL: none, several, or denied. */
static const char *relief_within(struct arena *arena, const char *written)
{
	static const struct {
		const char *type, *word, *written;
	} rows[] = {
#define MEANS(type, word, written) {type, word, written},
#include "import/means.def"
#undef MEANS
	};
	static const char denied[] =
		"no|not|non|nicht|kein|sans|sin|except|without|ohne|only|n a|alt|old|neither|ausser";
	const char *folded = words_fold(arena, written), *found = NULL;
	if (words_within(arena, folded, denied))
		return NULL;
	for (size_t i = 0; i < COUNT(rows); i++) {
		if (strcmp(rows[i].type, "relief-name") != 0 ||
			(!words_within(arena, folded, rows[i].written) && !words_within(arena, folded, rows[i].word)))
			continue;
		if (found && strcmp(found, rows[i].word) != 0)
			return NULL;
		found = rows[i].word;
	}
	return found;
}

const char *list_cell_choice(struct arena *arena, const struct vocabulary_type *type, const char *written)
{
	const char *folded = words_fold(arena, written);
	for (size_t i = 0; i < type->choice_count; i++)
		if (strcmp(words_fold(arena, type->choices[i].word), folded) == 0)
			return type->choices[i].word;
	const char *meaning = list_cell_meaning(arena, written, type->name);
	if (!meaning && strcmp(type->name, "relief-name") == 0)
		meaning = relief_within(arena, written);
	return meaning && vocabulary_choice(type, meaning) ? meaning : NULL;
}

bool list_says_nothing(struct arena *arena, const char *written)
{
	return words_are_one_of(arena, words_fold(arena, written),
		"n a|ka|k a|keine angabe|entf|entfallt|nv|sans objet|so|no aplica|nvt|n v t|nd|nc|not applicable|not "
		"stated|no data|nicht zutreffend|sin dato|"
		"n b|nb|nicht bestimmt|nicht gemessen|not determined|not measured|niet bepaald|non determine|non "
		"mesure|"
		"no determinado|geen|niet van toepassing|non applicable|nr|not required");
}

bool list_is_to_follow(struct arena *arena, const char *written)
{
	return words_are_one_of(arena, words_fold(arena, written),
		"wird nachgereicht|spater|folgt|noch offen|offen|a preciser|a confirmer|a definir|pendiente|por "
		"definir|por confirmar|nader te bepalen|ntb|"
		"to be confirmed|to be advised|to follow|by vendor|vendor|vta|by others|in hold|on hold");
}

/* "HOLD 5" is owed, and 5 the number of the hold. */
bool list_is_hold(const char *written)
{
	static const char hold[] = "HOLD";
	size_t length = sizeof hold - 1;
	for (size_t i = 0; i < length; i++)
		if ((written[i] & ~0x20) != hold[i])
			return false;
	return strspn(written + length, " .#0123456789") == strlen(written + length);
}

/* "(process)", "(note 3)": why it is so. Other words may say where it is so, and where it is not ("yes (shell only)"). */
bool list_says_why(struct arena *arena, const char *bracketed)
{
	static const char why[] =
		"process|service|code|per code|amine|medium|prozess|procede|proceso|proces|asme|wet h2s|"
		"sour service|sour|by code|heat conservation|hc|personnel protection|pp|ih|st";
	const char *folded = words_fold(arena, bracketed);
	return words_are_one_of(arena, folded, why) ||
		(words_within(arena, folded, "note|notes|nota|anm|opm|remarque") &&
			strspn(strchr(folded, ' ') ? strchr(folded, ' ') : "x", " 0123456789") ==
				strlen(strchr(folded, ' ') ? strchr(folded, ' ') : "x"));
}

const char *list_with_face(struct arena *arena, const char *written)
{
	static const char *const units[] = {"bar", "psi", "kPa", "MPa", "kg/cm2"};
	static const char *const faces[][2] = {{"(g)", "g"}, {"(\u00fc)", "g"}, {"(a)", "a"}, {"(abs)", "a"}};
	enum { LONGEST = 64 }; /* more is no pressure */
	if (strlen(written) > LONGEST)
		return written;
	for (size_t i = 0; i < COUNT(units) * COUNT(faces); i++) {
		const char *unit = units[i / COUNT(faces)], *const *face = faces[i % COUNT(faces)];
		const char *whole = arena_join(arena, unit, face[0], "", ""), *at = strstr(written, whole);
		if (at && at != written && strchr("0123456789 ", at[-1]))
			return list_with_face(arena,
				arena_join(arena, arena_copy_span(arena, written, (size_t)(at - written)), unit,
					face[1], at + strlen(whole)));
	}
	return written;
}

bool list_differs_by_part(struct arena *arena, const char *written)
{
	static const char parts[] =
		"top|bottom|upper|lower|shell|head|heads|boot|sump|oben|unten|kopf|sumpf|mantel|boden|haut|bas|"
		"fond|cabeza|fondo|cima|nozzles|stutzen|tubes|rohre|inlet|outlet|section";
	const char *open = strpbrk(written, "([");
	return open && open != written && strpbrk(open, ")]") && strpbrk(open, "0123456789") &&
		words_within(arena, words_fold(arena, open), parts) > 0;
}
