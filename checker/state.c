#include "state.h"

#include "absorber.h"
#include "balance.h"
#include "contents.h"
#include "flash.h"
#include "hydraulics.h"
#include "lean_rich.h"
#include "metal.h"
#include "regenerator.h"
#include "streams.h"

const struct table *state_compute(struct arena *arena, const struct table *resolved)
{
	struct table *table = table_over(arena, resolved);
	contents_compute(table);
	streams_compute(table);
	flash_carriers(table);
	hydraulics_compute(table);
	flash_erosion(table);
	metal_compute(table);
	lean_rich_compute(table);
	absorber_compute(table);
	regenerator_compute(table);
	balance_compute(table);
	return table;
}
