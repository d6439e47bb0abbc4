#include "revamp/watched.h"

#include <stdlib.h>

#include "pipeline/lineage.h"
#include "pipeline/stages.h"

struct watched watched_open(struct arena *arena, const struct element *unit, const struct catalogue *catalogue)
{
	struct problems none = {.arena = arena};
	const struct table *resolved = stages_resolve(arena, unit, &none);
	if (!resolved)
		abort(); /* it has been reviewed */
	struct watched watched = {.catalogue = catalogue, .lineage = lineage_new(arena)};
	watched.as_it_is.table = lineage_learn(watched.lineage, arena, resolved);
	watched.as_it_is.judgement = judge_verdicts(arena, catalogue, watched.as_it_is.table, EVERY_CASE, NULL);
	return watched;
}

struct judged_before watched_before(const struct watched *watched)
{
	return judgement_before(watched->as_it_is.table, &watched->as_it_is.judgement);
}

struct assessed_unit watched_vary(
	const struct watched *watched, struct arena *arena, const struct element *variant, struct problems *problems)
{
	const struct judged_before before = watched_before(watched);
	struct assessed_unit varied = {.table = NULL};
	const struct table *resolved = stages_resolve(arena, variant, problems);
	if (!resolved)
		return varied;
	varied.table = lineage_vary(watched->lineage, arena, resolved);
	varied.judgement = judge_verdicts(arena, watched->catalogue, varied.table, EVERY_CASE, &before);
	return varied;
}
