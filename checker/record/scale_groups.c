#include "record/scale_groups.h"

static bool alike(const struct reading_at *a, const struct reading_at *b)
{
	return a->location->side == b->location->side && number_same(a->age.seconds, b->age.seconds) &&
		circuit_same_state(a, b);
}

struct scale_groups scale_groups_of(struct arena *arena, const struct lean_side *all, size_t steady_case)
{
	const struct circuit *circuit = all->circuit;
	struct scale_group *rows = arena_alloc(arena, (circuit->location_count + 1) * sizeof *rows);
	size_t count = 0;
	if (steady_case >= circuit->case_count)
		return (struct scale_groups){rows, 0};
	for (size_t i = 0; i < circuit->location_count; i++) {
		size_t at = i * circuit->case_count + steady_case, known = 0;
		const struct reading_at *reading = &circuit->readings[at];
		const struct reading_at *first = &circuit->readings[i * circuit->case_count];
		if (reading->missing.reason)
			continue;
		while (known < count && !alike(rows[known].reading, reading))
			known++;
		if (known < count) {
			rows[known].names = arena_format(arena, "%s, %s", rows[known].names, reading->location->name);
			continue;
		}
		rows[count] = (struct scale_group){.reading = reading,
			.shares = all->shares ? &all->shares[at] : NULL,
			.names = reading->location->name,
			.number = (int)count + 1,
			.as_first_case = steady_case > 0 && !first->missing.reason && alike(first, reading)};
		count++;
	}
	return (struct scale_groups){rows, count};
}
