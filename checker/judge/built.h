/*
 * The catalogue as the program carries it: read once when the program is built, by catalogue_read() as ever, and kept as data of
 * C, so that a run that adds no rules of its own starts without reading any. One for each profile of rules/profiles.
 *
 * Its expressions are compiled when they are first evaluated (expression.h). Whatever is not built in, a pack or a profile of one's
 * own, is read from XML together with the rules and sources that the program carries as text.
 */
#ifndef LEANRICH_BUILT_H
#define LEANRICH_BUILT_H

#include "base/text.h"
#include "judge/catalogue.h"

struct built_catalogue {
	const char *profile; /* the name of its file: "rules/profiles/default.xml" */
	const struct catalogue *catalogue;
};

/* A row with a NULL profile follows the last. Written by built_print() at build time (checker/judge/print). */
extern const struct built_catalogue built_catalogues[];

/* The one of this profile, or NULL. */
const struct catalogue *built_find(const char *profile);

/*
 * Catalogues as the C that defines them as `built_catalogues`. Same catalogues, same text: that a built one and one that was read are the
 * same is seen from it.
 */
void built_print(struct arena *arena, const struct built_catalogue *rows, size_t count, struct text *out);

#endif
