#include "state.h"

#include "absorber.h"
#include "census.h"
#include "contents.h"
#include "holdup.h"
#include "hydraulics.h"
#include "interface.h"
#include "local.h"
#include "metal.h"
#include "reboiler.h"
#include "streams.h"

const struct table *state_compute(struct arena *arena, const struct table *resolved)
{
	struct table *table = table_over(arena, resolved);
	contents_compute(table);
	streams_compute(table);
	hydraulics_compute(table);
	local_compute(table);
	metal_compute(table);
	absorber_compute(table);
	reboiler_compute(table);
	interface_compute(table);
	holdup_compute(table);
	census_compute(table);
	return table;
}
