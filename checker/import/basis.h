/*
 * Tables of a design basis: a parameter a row, "H2S in feed gas | 1.8 | mol%", with its value, or a value for each operating case.
 *
 * What a parameter is of is told by its words alone: a gas or a solution, the solvent, the site, the reboiler, the specification of
 * the treated gas. What they do not plainly say is kept as a note of the unit, and so is what a remark says of a part or a limit.
 */
#ifndef LEANRICH_IMPORT_BASIS_H
#define LEANRICH_IMPORT_BASIS_H

#include "import/sheet.h"
#include "import/words.h"

struct basis_parameter {
	const char *
		subject; /* feed, treated, lean, rich, named, solvent, basis, a kind of item, or "item" by its tag; NULL: it is none that is known */
	const char *field; /* attribute, "amine" for which amine it is; several: that which has the unit of the value */
	const char *tag;   /* of the item, or the number of the stream, that the words name; NULL: none */
	bool at_absorber;  /* the words say that it is what enters or leaves the absorber */
	bool of_cases;	   /* only where each case has a value of its own */
	const char *limit; /* at-most or at-least where the words say that it is one; NULL: a value */
	const char *of;	   /* tag of the item that it is of, "Feed gas to C-101"; NULL: none is named */
	bool to, from;	   /* it flows to that item, or comes from it */
	const char *name;  /* folded, of the gas, where that is no kind of gas: "kreislaufgas" */
	bool share;	   /* of what the row above gives in all */
};

/* A sheet of parameters with their values beside them and no headings, as a table with headings; itself where it is none. */
const struct sheet *basis_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet);

/* Can a package put a limit on it? Of anything else a highest value is that of some case. */
bool basis_can_be_limited(struct basis_parameter of);

struct basis_parameter basis_parameter(struct arena *arena, const struct words *words, const char *text);

/* The same; and what it is of an item by its tag or kind, or by the unit of its values (NULL or "": not known). */
struct basis_parameter basis_parameter_of(
	struct arena *arena, const struct words *words, const char *text, const char *unit);

#endif
