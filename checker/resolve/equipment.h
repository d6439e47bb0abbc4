/*
 * Kinds of item and the classes they belong to: the one list of kinds (equipment.def), from which calculations, rules
 * and the order of the review take what they know of a kind before they look at any item.
 *
 * A class is a bit, so that an item can be asked for several at once: item_in(item, CLASS_AMINE | CLASS_OVERHEAD)
 * (table.h). A kind without a row belongs to no class and comes last; the suite holds the list to the schema.
 */
#ifndef LEANRICH_EQUIPMENT_H
#define LEANRICH_EQUIPMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/problem.h"
#include "read/vocabulary.h"

enum equipment_class_index {
#define CLASS(code, name, meaning) CLASS_INDEX_##code,
#include "resolve/equipment.def"
	EQUIPMENT_CLASS_COUNT
};

enum equipment_class {
#define CLASS(code, name, meaning) CLASS_##code = 1 << CLASS_INDEX_##code,
#include "resolve/equipment.def"
};

/* Rank of what is placed by its service: streams and lines. Every other rank is zero or more. */
enum { RANK_BY_SERVICE = -1 };

/* The classes of a kind, a bit each; 0: none, or no such kind. */
unsigned equipment_classes(const char *kind);

/* The rank of a kind in the order of flow; that of what has no row is the last. */
int equipment_rank(const char *kind);

/* The i-th kind in the order of equipment.def, and the i-th class with its meaning; NULL after the last. */
const char *equipment_kind(size_t i);
const char *equipment_class_name(size_t i);
const char *equipment_class_meaning(size_t i);

/* The index of a class by its name, without "@"; EQUIPMENT_CLASS_COUNT: there is none. */
size_t equipment_class_named(const char *name);
/* The class whose name is most like a mistyped one, or NULL. */
const char *equipment_nearest_class(const char *name);
/* The kinds of the i-th class, separated by `|`. */
const char *equipment_kinds_of(struct arena *arena, size_t i);

/*
 * The kinds that words of a rule stand for: alternatives separated by `|`, each a kind, taken as it is, or "@class". None is
 * named twice. `words` itself where it names no class, or one that there is not: that is a fault at `place`.
 */
const char *equipment_expand(struct arena *arena, const char *words, struct place place, struct problems *problems);

/*
 * The kinds that a description names, "line @sour-vessel", separated by | or blanks: separated by spaces, classes by what they stand
 * for. A word that is neither is left out, or as it is: a fault that is told when claims are checked.
 */
const char *equipment_written(struct arena *arena, const char *written);

/* The first element of the schema, in its order, that has no row; NULL: each has one. */
const char *equipment_without_row(const struct vocabulary *units);

#endif
