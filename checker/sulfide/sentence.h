/* Sentences whose numbers are kept beside them: built piece by piece. */
#ifndef LEANRICH_SENTENCE_H
#define LEANRICH_SENTENCE_H

#include "base/text.h"
#include "quantity/quantity.h"

/* A number of a sentence: its value in the unit that its name ends in, and as it is printed. */
struct figure_said {
	const char *name; /* "temperature_degC" */
	double value;
	const char *shown; /* "45.0 degC" */
};

struct sentence {
	const char *words;
	const struct figure_said *figures;
	size_t figure_count;
};

struct sentence_builder {
	struct text text;
	struct figure_said *figures;
	size_t count, capacity;
};

struct sentence_builder sentence_in(struct arena *arena);
void sentence_say(struct sentence_builder *builder, const char *words);

/* `name` ends in the unit; `unit` NULL: the one the kind shows first. */
void sentence_figure(struct sentence_builder *builder, const char *name, double si, enum kind kind, const char *unit);

/* A plain number with so many digits after the point, followed by words: "0.03", "8,000 h". */
void sentence_number(struct sentence_builder *builder, const char *name, double value, int decimals, const char *after);
struct sentence sentence_end(struct sentence_builder *builder);

#endif
