/*
 * The examples of rules, run: each must give the verdict (and the governing limit and certainty, where it names them) that it
 * claims. For authors of rule packs and for the tests.
 */
#ifndef LEANRICH_EXAMPLES_H
#define LEANRICH_EXAMPLES_H

#include "judge/judge.h"

/* Runs every example of every rule, asks each rule for one that departs, one that meets and one not judged, and for one just below
 * and one just above each of its numbers (a limit or constant moved that far changes what an example comes to). Returns how many
 * were run; what did not come out as claimed is in `problems`. */
size_t examples_run(struct arena *arena, const struct catalogue *catalogue, struct problems *problems);

#endif
