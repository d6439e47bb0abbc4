/*
 * The vocabulary of unit descriptions as the program carries it: read once from unit.xsd when the program is built, by
 * vocabulary_read() as ever, and kept as data of C beside the catalogue (judge/built.h), so that no run begins with reading it. The
 * text of the schema itself, which libxml2 checks files against, is embedded as it is.
 */
#ifndef LEANRICH_BUILT_VOCABULARY_H
#define LEANRICH_BUILT_VOCABULARY_H

#include "base/text.h"
#include "read/vocabulary.h"

/* Without its text. No element: none is built in, which is so while the program is built. */
extern const struct vocabulary built_units;

/*
 * A vocabulary as the C that defines it as `built_units`. Same vocabulary, same text: that the built one and one that was read are the
 * same is seen from it.
 */
void built_vocabulary_print(struct arena *arena, const struct vocabulary *vocabulary, struct text *out);

#endif
