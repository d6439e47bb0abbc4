#include "compute/coverage.h"

/* Heights are read off a drawing: what is nearer than this share of the shell meets. A choice. */
static const double MEETS = 0.005;

/* The highest end of the zones that begin at `reached` or below it; false: one does not say where it lies, or there is none. */
static bool reach_on(const struct scene *scene, const struct item *vessel, double slack, double *reached)
{
	size_t end = table_parts_end(scene->table, vessel), count = 0;
	for (size_t i = vessel->index + 1; i < end; i++) {
		const struct item *zone = table_item(scene->table, i);
		struct extent extent;
		if (!item_is(zone, "zone") || zone->parent != vessel)
			continue;
		if (!extent_of(scene->table, zone, &extent))
			return false;
		count++;
		if (extent.begins <= *reached + slack && extent.ends > *reached)
			*reached = extent.ends;
	}
	return count > 0;
}

/* Where the next zone above `from` begins, else the end of the shell. */
static double next_begin(const struct scene *scene, const struct item *vessel, double from, double shell)
{
	double next = shell;
	size_t end = table_parts_end(scene->table, vessel);
	for (size_t i = vessel->index + 1; i < end; i++) {
		const struct item *zone = table_item(scene->table, i);
		struct extent extent;
		if (item_is(zone, "zone") && zone->parent == vessel && extent_of(scene->table, zone, &extent) &&
			extent.begins > from && extent.begins < next)
			next = extent.begins;
	}
	return next;
}

enum coverage coverage_of(const struct scene *scene, const struct item *vessel, double from, struct extent *gap)
{
	double reached = from, before = -1;
	if (!reach_on(scene, vessel, 0, &reached))
		return COVERAGE_NOT_STATED;
	const struct quantity *shell = extent_of_shell(scene->table, vessel);
	if (!shell)
		return COVERAGE_NOT_STATED;
	while (reached > before) {
		before = reached;
		reach_on(scene, vessel, MEETS * shell->si, &reached);
	}
	if (reached >= shell->si * (1 - MEETS))
		return COVERAGE_WHOLE;
	*gap = (struct extent){.begins = reached, .ends = next_begin(scene, vessel, reached, shell->si)};
	return COVERAGE_GAP;
}
