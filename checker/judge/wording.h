/*
 * The words of a finding: {places} of a rule's message and remedy filled with what was judged.
 */
#ifndef LEANRICH_WORDING_H
#define LEANRICH_WORDING_H

#include "judge/judge.h"
#include "resolve/pipe.h"

/* A limit as a reader says it: "at most 1.50 m/s (4.92 ft/s)", or the words of a demand without a number. */
const char *wording_limit(struct arena *arena, const struct limit *limit);

/* How a source or a figure of it is known, for the reader: "read", "from memory: check against a licensed copy". */
const char *wording_known(enum reading reading);

/*
 * The same of a limit, with what else bears on it: "read; unnamed source, never firm alone;
 * confidence medium". High is not said.
 */
const char *wording_reading(struct arena *arena, const struct limit *limit);

/* A constant of a rule: "90 degC (common practice, no source; hot lean begins)", of another source with how it is known. */
const char *wording_constant(struct arena *arena, const struct rule_input *input);

/* The kinds that a rule selects: "line|nozzle"; with what its classes stand for, "@contactor: absorber|treater". */
const char *wording_kinds(struct arena *arena, const struct selection *selection);

/* A source as it is cited in running text: "DuPart, Bacon and Edwards 1993". */
const char *wording_source(struct arena *arena, const struct source *source);

/* The smallest pipe of the line's own schedule in which the judged velocity would meet the governing limit. False: there is none. */
bool wording_pipe_that_meets(const struct finding *finding, const struct table *table, struct pipe *pipe);

/*
 * Fills the places of `words`; `finding` must be complete but for message and remedy. A clause in brackets with a place that is not
 * known is left out, and so is a sentence that has such a place outside of them: "" where nothing is left. Brackets without a
 * place in them are words.
 */
const char *wording_fill(
	struct arena *arena, const char *words, const struct finding *finding, const struct table *table);

#endif
