/*
 * What a quantity is called where a person reads of it: "velocity" for velocity-judged, "H2S content" for h2s-content, "calculated
 * duty" for duty-calculated. The names of attributes and rules stay what is typed; these are for questions, workings and tables.
 */
#ifndef LEANRICH_TITLE_H
#define LEANRICH_TITLE_H

#include "base/arena.h"

/*
 * The words of title.def; else the name with spaces for hyphens and its abbreviations in capitals, without what only says which of
 * two values it is ("-judged", "-family"), and "-calculated" in front.
 */
const char *title_of(struct arena *arena, const char *name);

/* The same of a name before " (": what stands in the brackets stays as it is: "relief cases (fire of V-301)". */
const char *title_of_request(struct arena *arena, const char *quantity);

/*
 * Of a quantity that is only ever calculated for this kind of item: what it follows from, "duty, flow of the stream"; NULL: it is an
 * attribute, or follows from nothing that has a name. The words live as long as the process.
 */
const char *title_of_sources(const char *kind, const char *name);

#endif
