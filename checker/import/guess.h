/* What kind of item a name or a tag speaks of, where no map says so. A guess: whoever uses one says it. */
#ifndef LEANRICH_IMPORT_GUESS_H
#define LEANRICH_IMPORT_GUESS_H

#include "import/words.h"

struct guess {
	const char *element; /* NULL: nothing speaks for any */
	const char *word;    /* service of the item or role of the gas, or NULL */
	bool by_name;	     /* else by the letter of its tag alone */
};

struct guess guess_equipment(struct arena *arena, const char *tag, const char *class, const char *name);

/* "Rich flash drum skim pump": a pump named after another item, so that what flows there is not what its name begins with. */
bool guess_is_at_another(struct arena *arena, const char *name);

/* A stream, or a gas with its role. `composed`: the sheet gives components of gas for it. */
struct guess guess_stream(struct arena *arena, const char *name, bool composed);

/* "Sauergas": what enters an absorber, and what leaves a regenerator, are called so; the name alone does not say which. */
bool guess_is_acid_or_sour(struct arena *arena, const char *name);

/* "Lean / H2S" and "Rich / H2S": groups of columns for two solutions, in which the same is found. */
bool guess_two_solutions(struct arena *arena, const char *heading, const char *other);

/* Is it a phase that only a gas has? NULL is none. */
bool guess_is_gas(struct arena *arena, const char *phase);

/* "Kreislaufgas", "process gas": some word ends in gas, and none speaks of a liquid. */
bool guess_is_called_gas(struct arena *arena, const char *name);

/* "C-311*", "P-7 A/B¹": the tag without the mark of a footnote, which no tag has; the text itself where there is none. */
const char *guess_without_mark(struct arena *arena, const char *tag);

/* "C-201 Absorber": the tag, with what it is called in `*name`; a tag alone as it is, and NULL. */
const char *guess_tag(struct arena *arena, const char *written, const char **name);

/* The service that a name speaks of, among those of streams; NULL: none. */
const char *guess_service(struct arena *arena, const char *name);

/* Which bound a row or column of that name holds, "at-most" of "Grenzwert"; "": either. NULL: it is called no limit. */
const char *guess_bound(struct arena *arena, const char *name);

/* "Flash drum level", "Reboiler outlet temp": what is measured there, and no drum. */
bool guess_is_measured(struct arena *arena, const char *name);

#endif
