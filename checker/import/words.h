/*
 * Headings and names of sheets as they are written in several languages, brought to one form.
 *
 * Folded: small letters without accents (and without the e that German writes in their place), subscripts and superscripts as
 * digits, apostrophes dropped, every other sign a space, letters that stand alone joined (C.A. and CA alike).
 *
 * Concepts: each word of a heading, or phrase of words, is one of a list (concept.def), whatever its language; a compound of
 * two words on the list ("Betriebstemperatur") is both. Their set, sorted, says what is headed; a word that is not on the list
 * is a concept of its own, so that a heading with it means nothing that is known.
 */
#ifndef LEANRICH_IMPORT_WORDS_H
#define LEANRICH_IMPORT_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

struct words;

/* The list, made ready; it lives in the arena. */
const struct words *words_open(struct arena *arena);

/* The same list where the cases of the package are called by these letters, "a b c", folded. */
const struct words *words_with_case_letters(struct arena *arena, const struct words *words, const char *letters);
const char *words_case_letters(const struct words *words);

const char *words_fold(struct arena *arena, const char *written);

/* Is the folded text one of "lean|rich" when those are folded too? */
bool words_are_one_of(struct arena *arena, const char *folded, const char *alternatives);

/* Does one of the alternatives occur in the folded text, as whole words? The length of the longest that does; 0: none. */
size_t words_within(struct arena *arena, const char *folded, const char *alternatives);

/* The concepts of a folded text, sorted and separated by spaces; "" when all its words are such as say nothing. */
const char *words_concepts(struct arena *arena, const struct words *all, const char *folded);

/*
 * The folded text with its unknown words as those of the list that are one letter off (two in a long word), where only one
 * meaning is so near; NULL: none is.
 */
const char *words_respelt(struct arena *arena, const struct words *all, const char *folded);

/* Words separated by spaces, sorted, each once. */
const char *words_sorted(struct arena *arena, const char *set);

/* The field of field.def that the set heads on a sheet of this letter; NULL: none. */
const char *words_field(const struct words *all, char sheet, const char *concepts);

/* The same set without one of them, or NULL when it is not among them. */
const char *words_without(struct arena *arena, const char *concepts, const char *concept);

/*
 * A unit as sheets write it, as units.def spells it: "bar(ü)" is barg, "Gew.-%" wt%, "Zoll" in. NULL: none. One letter is a
 * unit only where `apart` says that it stands where units do: in brackets, in a row of units.
 */
const char *words_unit(struct arena *arena, const struct words *all, const char *written, bool apart);

/* "psig / degF": two units, each of one of the two figures below; one unit with a stroke in it is none. */
bool words_unit_pair(struct arena *arena, const struct words *all, const char *written, const char *pair[2]);

/*
 * "mol% gas, mol/mol amine", "Gas: Mol-% / Loesung: mol/mol": a unit for gases and one for liquids. What else the text
 * has is returned; NULL: it is no such pair. `of_amine`: that of liquids is counted on the solution or its amine.
 */
struct phase_units {
	const char *gas, *liquid;
	bool of_amine;
};
const char *words_without_phases(
	struct arena *arena, const struct words *all, const char *heading, struct phase_units *units);

/* A heading without its unit; `*unit` NULL when it names none. */
const char *words_without_unit(struct arena *arena, const struct words *all, const char *heading, const char **unit);

#endif
